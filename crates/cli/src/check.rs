//! `check`: every problem of a project.

use crate::input;
use crate::page::{Outcome, Page};

/// Every problem of a project. The list is the result of this command, so it goes to standard output.
pub(crate) fn check(file: &str) -> anyhow::Result<Page> {
    let read = input::read(file)?;
    let found = read.findings();
    let mut text = found.lines.join("\n");
    if !text.is_empty() {
        text.push('\n');
    }
    let plural = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    let total =
        format!("{}: {}, {}\n", read.name, plural(found.errors, "error"), plural(found.warnings, "warning"));
    text.push_str(&total);
    Ok(Page { text, outcome: if found.errors > 0 { Outcome::BadInput } else { Outcome::Fine } })
}
