//! Notices as text.

use model::result::Notice;

/// Columns of a sheet.
const COLUMNS: usize = 100;

/// A notice under the head of a case, its words wrapped at the columns of a sheet.
pub(crate) fn notice_text(notice: &Notice) -> String {
    let whole = format!("notice ({}) {}: {}", notice.kind, notice.place, notice.message);
    let mut text = String::new();
    let mut line = String::from(" ");
    for word in whole.split(' ') {
        if line.chars().count() + 1 + word.chars().count() > COLUMNS {
            text.push_str(&line);
            text.push('\n');
            line = String::from("   ");
        }
        line.push(' ');
        line.push_str(word);
    }
    text.push_str(&line);
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_notices_are_wrapped_and_short_ones_are_one_line() {
        let notice = |message: &str| Notice {
            about: "",
            kind: "derate",
            place: "drive".to_owned(),
            message: message.to_owned(),
        };
        assert_eq!(notice_text(&notice("takes 2 kW")), "  notice (derate) drive: takes 2 kW\n");
        let long = notice_text(&notice(&"word ".repeat(60)));
        assert!(
            long.lines().all(|line| line.chars().count() <= COLUMNS) && long.lines().count() > 2,
            "{long}"
        );
        assert_eq!(long.split_whitespace().filter(|word| *word == "word").count(), 60);
    }
}
