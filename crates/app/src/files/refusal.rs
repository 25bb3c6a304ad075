//! What is wrong with a file, to be shown beside the place in its text.

use std::fmt::Write as _;

use session::Finding;

/// Why a file was not opened, or what is to be known about one that was.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Refusal {
    /// What happened: `tug.ron was not opened`.
    pub what: String,
    /// Why, in one sentence; empty where the findings say it.
    pub why: String,
    /// The mistakes and warnings in the order of the text.
    pub findings: Vec<Finding>,
}

impl Refusal {
    /// All of it as text, for the clipboard.
    pub fn text(&self) -> String {
        let mut text = self.what.clone();
        if !self.why.is_empty() {
            add(&mut text, format_args!(": {}", self.why));
        }
        text.push('\n');
        for finding in &self.findings {
            let parts = [finding.place_text(), finding.path.clone(), finding.message.clone()];
            let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
            add(&mut text, format_args!("{}: {}\n", finding.word(), parts.join(": ")));
            if !finding.remedy.is_empty() {
                add(&mut text, format_args!("  remedy: {}\n", finding.remedy));
            }
        }
        text
    }
}

fn add(text: &mut String, part: std::fmt::Arguments<'_>) {
    text.write_fmt(part).expect("writing to a string cannot fail");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_text_names_place_and_remedy() {
        let finding = Finding {
            is_error: true,
            place: Some((4, 13)),
            path: "loops.stator.path.hose.length".into(),
            message: "\"2 degC\" is a temperature".into(),
            remedy: "write a length".into(),
            line: String::new(),
        };
        let refusal =
            Refusal { what: "rig.ron was not opened".into(), why: String::new(), findings: vec![finding] };
        assert_eq!(
            refusal.text(),
            "rig.ron was not opened\nmistake: line 4, column 13: loops.stator.path.hose.length: \"2 degC\" is a \
             temperature\n  remedy: write a length\n"
        );
    }
}
