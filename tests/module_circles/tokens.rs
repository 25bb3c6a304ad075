//! Names and signs of a Rust text; comments, texts, characters, lifetimes and numbers are left out.

/// A piece of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Token {
    Name(String),
    /// `::`
    Path,
    Sign(char),
}

pub(super) fn tokens(text: &str) -> Vec<Token> {
    let mut reader = Reader { text, tokens: Vec::new() };
    while reader.step() {}
    reader.tokens
}

struct Reader<'a> {
    text: &'a str,
    tokens: Vec<Token>,
}

impl Reader<'_> {
    /// Reads one piece; false at the end.
    fn step(&mut self) -> bool {
        let Some(next) = self.text.chars().next() else { return false };
        let length = match next {
            '/' if self.text.starts_with("//") => self.text.find('\n').unwrap_or(self.text.len()),
            '/' if self.text.starts_with("/*") => comment(self.text),
            '"' => quoted(self.text),
            '\'' => character(self.text),
            ':' if self.text.starts_with("::") => {
                self.tokens.push(Token::Path);
                2
            }
            c if is_name(c) => self.word(),
            c => {
                if !c.is_whitespace() {
                    self.tokens.push(Token::Sign(c));
                }
                c.len_utf8()
            }
        };
        self.text = &self.text[length..];
        true
    }

    /// A name, a number, or a text with letters before it.
    fn word(&mut self) -> usize {
        let end = self.text.find(|c| !is_name(c)).unwrap_or(self.text.len());
        let (word, rest) = self.text.split_at(end);
        let is_prefix = ["r", "b", "br", "c", "cr"].contains(&word);
        if is_prefix && rest.starts_with(['"', '#']) {
            let hashes = rest.len() - rest.trim_start_matches('#').len();
            if rest[hashes..].starts_with('"') {
                return end + if word.contains('r') { raw(rest, hashes) } else { quoted(rest) };
            }
        }
        if word == "b" && rest.starts_with('\'') {
            return end + character(rest);
        }
        if !word.starts_with(|c: char| c.is_ascii_digit()) {
            self.tokens.push(Token::Name(word.to_owned()));
        }
        end
    }
}

fn is_name(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Length of a comment in `/* */`, which may hold others.
fn comment(text: &str) -> usize {
    let (mut depth, mut at) = (0, 0);
    while at < text.len() {
        let rest = &text.as_bytes()[at..];
        match rest {
            [b'/', b'*', ..] => (depth, at) = (depth + 1, at + 2),
            [b'*', b'/', ..] => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            break;
        }
    }
    at
}

/// Length of a text in quotes.
fn quoted(text: &str) -> usize {
    let mut is_escaped = false;
    for (at, c) in text.char_indices().skip(1) {
        match c {
            _ if is_escaped => is_escaped = false,
            '\\' => is_escaped = true,
            '"' => return at + 1,
            _ => {}
        }
    }
    text.len()
}

/// Length of a raw text behind its letters.
fn raw(text: &str, hashes: usize) -> usize {
    let end = format!("\"{}", "#".repeat(hashes));
    let from = hashes + 1;
    text[from..].find(&end).map_or(text.len(), |at| from + at + end.len())
}

/// Length of a character in quotes, or of a lifetime.
fn character(text: &str) -> usize {
    let mut inside = text.char_indices().skip(1);
    match inside.next() {
        Some((_, '\\')) => {
            text[2..].char_indices().skip(1).find(|(_, c)| *c == '\'').map_or(1, |(at, _)| at + 3)
        }
        Some((at, c)) if text[at + c.len_utf8()..].starts_with('\'') => at + c.len_utf8() + 1,
        _ => 1 + text[1..].find(|c| !is_name(c)).unwrap_or(text.len() - 1),
    }
}
