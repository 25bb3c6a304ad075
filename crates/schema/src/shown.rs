//! Text of a file as it may be shown: nothing in it can steer a terminal or turn the order of letters around.

use std::borrow::Cow;
use std::fmt::Write as _;

/// Whether a character is a control character other than line break and tab, or turns the direction of writing
/// (U+0000-001F, 007F-009F, 200E-200F, 202A-202E, 2066-2069).
pub fn is_steering(character: char) -> bool {
    match character {
        '\n' | '\t' => false,
        '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        other => other.is_control(),
    }
}

/// The text with every such character written as `\u001b`: the form that JSON has too, so that what is shown in a result reads back.
///
/// ```
/// assert_eq!(schema::shown("glycol"), "glycol");
/// assert_eq!(schema::shown("\u{1b}[31mred \u{202e}"), "\\u001b[31mred \\u202e");
/// ```
pub fn shown(text: &str) -> Cow<'_, str> {
    if !text.contains(is_steering) {
        return Cow::Borrowed(text);
    }
    let mut safe = String::with_capacity(text.len() + 10);
    for character in text.chars() {
        if is_steering(character) {
            let _infallible = write!(safe, "\\u{:04x}", u32::from(character));
        } else {
            safe.push(character);
        }
    }
    Cow::Owned(safe)
}
