//! The nearest of a set of names, for suggestions.

use strsim::osa_distance;

/// The candidate that most resembles `word`, if one is close enough to be meant.
///
/// Letter case counts little: `Stator` suggests `stator`. At most a third of the letters may
/// differ (insert, delete, replace, or swap of neighbours count as one).
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let allowed = (word.chars().count() / 3).max(1);
    candidates
        .into_iter()
        .map(|candidate| (osa_distance(&lower, &candidate.to_lowercase()), candidate))
        .filter(|(edits, _)| *edits <= allowed)
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, candidate)| candidate)
}

/// Names in quotes, separated by commas: at most twelve, then how many more.
pub fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.into_iter().collect();
    let shown = names.iter().take(12).map(|name| format!("{name:?}")).collect::<Vec<_>>().join(", ");
    if names.len() > 12 { format!("{shown} and {} more", names.len() - 12) } else { shown }
}

/// "a hose", "an inlet".
pub(crate) fn with_article(name: &str) -> String {
    let article = if name.to_lowercase().starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {name}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_pen_are_recognised() {
        let names = ["length", "diameter", "roughness"];
        assert_eq!(nearest("lenght", names), Some("length"));
        assert_eq!(nearest("Diameter", names), Some("diameter"));
        assert_eq!(nearest("rougness", names), Some("roughness"));
        assert_eq!(nearest("colour", names), None);
    }

    #[test]
    fn swapped_neighbours_are_one_slip() {
        assert_eq!(nearest("pmup", ["pump", "fan"]), Some("pump"));
    }

    #[test]
    fn long_lists_are_cut() {
        let names: Vec<String> = (0..14).map(|n| format!("n{n}")).collect();
        assert!(listed(names.iter().map(String::as_str)).ends_with("and 2 more"));
    }
}
