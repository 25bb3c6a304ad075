//! Standard output, colour and progress.

use indicatif::{ProgressBar, ProgressStyle};
use std::io::{self, ErrorKind, IsTerminal as _, Write as _};

/// Writes a page. A reader that has seen enough, such as `head`, is no failure.
pub(crate) fn write(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Marks what is short in red and bold; the word stays, so colour is never the only sign. Only on a terminal, and not where
/// the environment asks for none (the NO_COLOR convention).
pub(crate) fn coloured(text: String) -> String {
    let wanted = io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    if wanted { text.replace("SHORT", "\x1b[1;31mSHORT\x1b[0m") } else { text }
}

/// A bar over cases or other pieces of work; it hides itself where standard error is no terminal.
pub(crate) fn progress(pieces: usize) -> ProgressBar {
    let style =
        ProgressStyle::with_template("{bar:40} {pos}/{len}").unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::new(pieces as u64).with_style(style)
}
