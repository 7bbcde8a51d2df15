//! Characters that cannot be seen, or that drive a terminal or turn the line round, made visible.
//!
//! Words, notes, names and file names may come from anywhere: another family's notebook, a downloaded list. A control
//! character in them must not reach the terminal of whoever reads them, nor a program that reads our output.

use std::borrow::Cow;
use std::io::{self, Write};

use serde_json::ser::{CompactFormatter, Formatter};

/// Whether a character is not to be written as it is.
///
/// - The controls of ASCII and of ISO 6429 (C0, DEL, C1). A tab is let through: it does no harm, and parts the columns of
///   some of our own lines.
/// - The marks by which Unicode turns the direction of writing (Unicode Standard Annex 9, section 2).
/// - Unicode's line and paragraph separators.
/// - Characters without a shape of their own: zero-width space, byte order mark, interlinear marks, tags.
pub fn is_hidden(c: char) -> bool {
    (c.is_control() && c != '\t')
        || matches!(c,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
            | '\u{2028}' | '\u{2029}' | '\u{200b}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The text with a visible sign in the place of each hidden character: Unicode's pictures of controls (␛ for escape), or
/// the character's number where there is none.
pub fn signs(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_hidden) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            c if !is_hidden(c) => shown.push(c),
            // The pictures stand in the order of the controls from U+2400 on, that of delete at U+2421.
            '\0'..='\u{1f}' => shown.extend(char::from_u32(0x2400 + u32::from(c))),
            '\u{7f}' => shown.push('\u{2421}'),
            c => shown.push_str(&format!("<U+{:04X}>", u32::from(c))),
        }
    }
    Cow::Owned(shown)
}

/// Writes JSON on one line with every hidden character escaped (RFC 8259, section 7, allows it for all; it demands it for
/// C0 alone).
pub struct Escaping;

impl Formatter for Escaping {
    fn write_string_fragment<W: ?Sized + Write>(&mut self, writer: &mut W, fragment: &str) -> io::Result<()> {
        let mut rest = fragment;
        while let Some((at, c)) = rest.char_indices().find(|(_, c)| is_hidden(*c)) {
            CompactFormatter.write_string_fragment(writer, &rest[..at])?;
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                write!(writer, "\\u{unit:04x}")?;
            }
            rest = &rest[at + c.len_utf8()..];
        }
        CompactFormatter.write_string_fragment(writer, rest)
    }
}

/// Writes a value as JSON on one line, without a line break after it.
///
/// # Errors
/// When `to` takes no more.
pub fn json(to: &mut dyn Write, value: &impl serde::Serialize) -> io::Result<()> {
    let mut writer = serde_json::Serializer::with_formatter(to, Escaping);
    Ok(value.serialize(&mut writer)?)
}

/// A value as JSON on one line.
pub fn json_text(value: &serde_json::Value) -> String {
    let mut text = Vec::new();
    // A JSON value in memory is written without fail.
    json(&mut text, value).map_or_else(|_| String::new(), |()| String::from_utf8_lossy(&text).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_characters_get_signs_and_others_stay() {
        assert_eq!(signs("/t͡ʃɛs/\té 한 🐷"), "/t͡ʃɛs/\té 한 🐷");
        assert_eq!(signs("a\u{1b}[2Jb\u{7f}\n"), "a␛[2Jb␡␊");
        assert_eq!(signs("\u{9b}31m\u{202e}gip"), "<U+009B>31m<U+202E>gip");
    }

    /// What is written is read back as it was.
    #[test]
    fn json_is_escaped_and_the_same() {
        let text = "a\u{1b}\u{7f}\u{85}\u{202e}\u{e0041}\"\\é\n";
        let mut written = Vec::new();
        json(&mut written, &serde_json::json!({ text: [text, 1.5, null] })).unwrap();
        let written = String::from_utf8(written).unwrap();
        assert!(!written.chars().any(is_hidden), "{written:?}");
        let read: serde_json::Value = serde_json::from_str(&written).unwrap();
        assert_eq!(read, serde_json::json!({ text: [text, 1.5, null] }));
    }
}
