//! Sheets as pages of text.

use super::{NAMES, rows, sheet};
use proptest::prelude::*;
use report::sheet::{Cell, Column, Sheet};

/// Every cell of a name of two hundred characters is there although the page is a hundred wide.
#[test]
fn a_sheet_that_is_too_wide_folds() {
    let name = "word ".repeat(40);
    let columns = [Column::text("first"), Column::text("second"), Column::count("n")];
    let row = vec![name.as_str().into(), name.as_str().into(), Cell::count(7)];
    let text = Sheet::new("wide", columns).with_rows([row]).text();
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    assert_eq!(text.matches("word").count(), 80, "{text}");
}

proptest! {
    #[test]
    fn any_sheet_stays_inside_the_page(rows in rows()) {
        let text = sheet(rows).text();
        // characters of other widths are counted by their columns on screen
        let is_plain = |line: &str| line.bytes().all(|byte| (b' '..=b'~').contains(&byte));
        prop_assert!(text.lines().filter(|line| is_plain(line)).all(|line| line.len() <= 100), "{}", text);
    }
}

#[test]
fn names_are_written_as_they_are() {
    let rows = NAMES.iter().map(|name| vec![Cell::from(*name)]);
    let text = Sheet::new("names", [Column::text("name")]).with_rows(rows).text();
    assert!(text.contains("\u{2212}10 K") && text.contains("=HYPERLINK(\"x\")"), "{text}");
}
