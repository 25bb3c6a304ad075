//! Inputs as fields of a page.

use schema::{Evidence as Basis, InputEntry};

use crate::views::field::{Evidence, InputField};

pub(super) fn field(entry: &InputEntry) -> InputField {
    let path = entry.path.to_string();
    let label = match (field_label(&path), entry.kind) {
        // the power of a pump or fan may be told as its efficiency, its speed as a share of that of its curve
        (label, units::Kind::Ratio) if label == "power" => "efficiency".to_owned(),
        (label, units::Kind::Ratio) if label == "speed" => "speed ratio".to_owned(),
        (label, _) => label,
    };
    let mut note = entry.doc.trim().to_owned();
    if !entry.stated {
        note.push_str(" Default, not stated in the file.");
    }
    if let Some(source) = &entry.source {
        note.push_str(" Source: ");
        note.push_str(source);
        note.push('.');
    }
    if let Some(tolerance) = &entry.tolerance {
        note.push_str(" Tolerance ");
        note.push_str(tolerance);
        note.push('.');
    }
    InputField {
        label,
        path,
        text: entry.text.clone(),
        evidence: match entry.evidence {
            Basis::Vendor => Evidence::Vendor,
            Basis::Measured => Evidence::Measured,
            Basis::Fitted => Evidence::Fitted,
            _ => Evidence::Assumed,
        },
        note,
        is_whole: entry.whole,
    }
}

/// The short name of an input: the last step of its path. "value" alone says nothing, so the limit or law that it belongs
/// to stands in its place; one without a name has its number.
fn field_label(path: &str) -> String {
    let mut steps = path.rsplit('.');
    let last = steps.next().unwrap_or_default();
    let owner = steps.next().filter(|_| last == "value");
    match (owner, steps.next()) {
        (Some(number), Some(list)) if number.bytes().all(|b| b.is_ascii_digit()) => {
            format!("{} {number}", list.trim_end_matches('s').replace('_', " "))
        }
        (Some(owner), _) => owner.replace('_', " "),
        (None, _) => last.replace('_', " "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inputs_are_called_by_what_they_are() {
        assert_eq!(field_label("loops.stator.boiling_margin"), "boiling margin");
        assert_eq!(field_label("loops.stator.limits.1.value"), "limit 1");
        assert_eq!(field_label("loops.stator.limits.core inlet.value"), "core inlet");
    }
}
