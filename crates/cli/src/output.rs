//! Standard output, colour and progress.

use indicatif::{ProgressBar, ProgressStyle};
use schema::shown;
use std::io::{self, ErrorKind, IsTerminal as _, Write as _};

/// Characters of private use that stand for colour on and off until a page is written.
const MARK: char = '\u{e000}';
const END_OF_MARK: char = '\u{e001}';

/// Tells something on standard error. What a file or a name holds cannot steer the terminal.
pub(crate) fn tell(text: &str) {
    eprintln!("{}", shown(text));
}

/// Writes a page. A reader that has seen enough, such as `head`, is no failure.
pub(crate) fn write(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    // what a file holds cannot steer the terminal; the marks of colour are our own
    let safe = shown(text).replace(MARK, "\x1b[1;31m").replace(END_OF_MARK, "\x1b[0m");
    match out.write_all(safe.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Marks what is short in red and bold; the word stays, so colour is never the only sign. Only on a terminal, and not where
/// the environment asks for none (the NO_COLOR convention).
pub(crate) fn coloured(text: String) -> String {
    let wanted = io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    if !wanted {
        return text;
    }
    ["SHORT", "PAST LIMIT", "NO RESULT"]
        .iter()
        .fold(text, |text, mark| text.replace(mark, &format!("{MARK}{mark}{END_OF_MARK}")))
}

/// A bar over cases or other pieces of work; it hides itself where standard error is no terminal.
pub(crate) fn progress(pieces: usize) -> ProgressBar {
    let style =
        ProgressStyle::with_template("{bar:40} {pos}/{len}").unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::new(pieces as u64).with_style(style)
}
