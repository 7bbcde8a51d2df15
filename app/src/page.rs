//! What is written for people: where it goes and what the terminal can show.

use std::io::{self, BufWriter, IsTerminal, Write};

use crate::visible;

/// Standard output, and what may be used on it.
pub struct OutputPage {
    out: BufWriter<Box<dyn Write>>,
    /// Whether letters beyond ASCII can be shown.
    pub unicode: bool,
    /// Whether colour may be used.
    pub colour: bool,
}

/// Columns that every line for people fits in.
pub const WIDTH: usize = 80;

/// For each tone, the sign that stands for its beginning in a line, and the code by which a terminal shows it (ECMA-48,
/// SGR: 1 bold, 2 faint, 32 green, 33 yellow). The signs are noncharacters, which Unicode keeps for use inside programs:
/// the codes themselves are written at the very last, when every escape that came from elsewhere has become visible.
const TONES: [(char, &str); 4] = [
    ('\u{fdd0}', "\x1b[1m"),
    ('\u{fdd1}', "\x1b[32m"),
    ('\u{fdd2}', "\x1b[33m"),
    ('\u{fdd3}', "\x1b[2m"),
];
/// The end of any tone.
const END: char = '\u{fdd4}';
/// The code that ends it.
const PLAIN: &str = "\x1b[0m";

/// The line with the codes of its tones. A line ends as plain as it began.
fn coloured(line: &str) -> String {
    let mut out = String::with_capacity(line.len());
    let mut open = false;
    for c in line.chars() {
        if c == END {
            out.push_str(PLAIN);
            open = false;
        } else if let Some((_, code)) = TONES.iter().find(|(mark, _)| *mark == c) {
            out.push_str(code);
            open = true;
        } else {
            out.push(c);
        }
    }
    if open {
        out.push_str(PLAIN);
    }
    out
}

/// How a piece of text is to stand out.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum TextTone {
    /// A heading or the word itself.
    Strong,
    /// Said the same.
    Good,
    /// Said differently.
    Other,
    /// Less important.
    Quiet,
}

impl OutputPage {
    /// Standard output, with what its terminal can show.
    pub fn stdout() -> OutputPage {
        let set = |name: &str| std::env::var_os(name).is_some_and(|v| !v.is_empty());
        // NO_COLOR, when set to anything, asks programs to leave colour out.
        let colour =
            io::stdout().is_terminal() && !set("NO_COLOR") && std::env::var_os("TERM").is_some_and(|t| t != "dumb");
        OutputPage {
            out: BufWriter::new(Box::new(io::stdout())),
            unicode: locale_is_utf8(),
            colour,
        }
    }

    /// A page that nothing is written to: what it can show is what the window can.
    pub fn window() -> OutputPage {
        OutputPage {
            out: BufWriter::new(Box::new(io::sink())),
            unicode: true,
            colour: false,
        }
    }

    /// A page kept in memory, as the tests read it.
    #[cfg(test)]
    pub fn plain(unicode: bool) -> OutputPage {
        OutputPage {
            out: BufWriter::new(Box::new(io::sink())),
            unicode,
            colour: false,
        }
    }

    /// The text in its tone, or bare where colour may not be used.
    pub fn tone(&self, tone: TextTone, text: &str) -> String {
        if !self.colour {
            return text.to_owned();
        }
        let mark = TONES[tone as usize].0;
        format!("{mark}{text}{END}")
    }

    /// One line. What cannot be seen gets a visible sign, and what ASCII cannot show is written in its place when the
    /// terminal knows no more.
    ///
    /// # Errors
    /// When standard output can no longer be written to.
    pub fn line(&mut self, text: &str) -> io::Result<()> {
        let text = visible::signs(text.trim_end());
        let text = match self.unicode {
            true => text.into_owned(),
            false => ascii(&text),
        };
        writeln!(self.out, "{}", coloured(&text))
    }

    /// A paragraph, folded to the page's width and set in by `indent` columns.
    ///
    /// # Errors
    /// When standard output can no longer be written to.
    pub fn paragraph(&mut self, indent: usize, text: &str) -> io::Result<()> {
        for line in fold(text, WIDTH - indent) {
            self.line(&format!("{:indent$}{line}", ""))?;
        }
        Ok(())
    }

    /// One line of JSON, whatever the terminal.
    ///
    /// # Errors
    /// When standard output can no longer be written to.
    pub fn json(&mut self, value: &impl serde::Serialize) -> io::Result<()> {
        visible::json(&mut self.out, value)?;
        writeln!(self.out)
    }

    /// A file for another program, as it is.
    ///
    /// # Errors
    /// When standard output can no longer be written to.
    pub fn raw(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.out.write_all(bytes)
    }

    /// Sends on what is written so far, so that a reader down a pipe has each answer as it comes.
    ///
    /// # Errors
    /// When standard output can no longer be written to.
    pub fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }

    /// Writes what is left.
    ///
    /// # Errors
    /// When standard output can no longer be written to.
    pub fn finish(mut self) -> io::Result<()> {
        self.out.flush()
    }
}

/// Whether the locale's character set is UTF-8, by the order in which the variables count (POSIX locale rules).
/// Windows and macOS terminals take UTF-8 without saying so.
fn locale_is_utf8() -> bool {
    if cfg!(not(unix)) || cfg!(target_os = "macos") {
        return true;
    }
    let value = ["LC_ALL", "LC_CTYPE", "LANG"]
        .iter()
        .find_map(|name| std::env::var(name).ok().filter(|v| !v.is_empty()));
    value.is_some_and(|v| {
        let v = v.to_ascii_lowercase();
        v.contains("utf-8") || v.contains("utf8")
    })
}

/// The text with each sign beyond ASCII in its plain form; `?` for those that have none.
fn ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            c if c.is_ascii() || c == END || TONES.iter().any(|(mark, _)| *mark == c) => out.push(c),
            '\u{2421}' => out.push_str("^?"),
            // The pictures of controls, as they are typed: ^[ for escape.
            '\u{2400}'..='\u{241f}' => out.extend(['^', char::from(c as u8 + b'@')]),
            '…' => out.push_str("..."),
            '–' | '—' | '─' => out.push('-'),
            '·' => out.push('.'),
            '’' | '‘' | 'ˈ' => out.push('\''),
            '“' | '”' => out.push('"'),
            '█' => out.push('#'),
            '▒' | '░' => out.push('='),
            '│' => out.push('|'),
            '┌' | '┬' | '┐' | '└' | '┴' | '┘' => out.push('+'),
            '→' => out.push_str("->"),
            '●' => out.push('*'),
            '○' => out.push('.'),
            '≥' => out.push_str(">="),
            '≤' => out.push_str("<="),
            _ => out.push('?'),
        }
    }
    out
}

/// Columns that the text takes: marks that are set over a letter (the tie of an affricate in IPA) take none.
pub fn columns(text: &str) -> usize {
    let bare = |c: &char| !('\u{300}'..='\u{36f}').contains(c) && !('\u{fdd0}'..=END).contains(c);
    text.chars().filter(bare).count()
}

/// The text with spaces after it up to `width` columns.
pub fn pad(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(columns(text))))
}

/// The text in lines of at most `width` columns, broken at spaces; a longer word keeps its own line.
pub fn fold(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last_mut().expect("there is always a line");
        if line.is_empty() {
            line.push_str(word);
        } else if columns(line) + 1 + columns(word) <= width {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

/// As [`fold`], but a text that fits keeps its own spacing.
pub fn fold_keeping(text: &str, width: usize) -> Vec<String> {
    if columns(text) <= width {
        vec![text.to_owned()]
    } else {
        fold(text, width)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_no_word_is_lost() {
        let text = "one two three four five six seven eight nine ten";
        let lines = fold(text, 11);
        assert!(lines.iter().all(|l| l.chars().count() <= 11), "{lines:?}");
        assert_eq!(lines.join(" "), text);
    }

    #[test]
    fn a_tone_is_written_and_an_escape_from_elsewhere_is_not() {
        let page = OutputPage {
            colour: true,
            ..OutputPage::plain(true)
        };
        let line = visible::signs(&page.tone(TextTone::Good, "a\u{1b}[2Jb")).into_owned();
        assert_eq!(coloured(&line), "\u{1b}[32ma␛[2Jb\u{1b}[0m");
        assert_eq!(coloured("a\u{fdd0}b"), "a\u{1b}[1mb\u{1b}[0m");
        assert_eq!(ascii("a␛[2J␡"), "a^[[2J^?");
    }

    #[test]
    fn without_colour_no_escape_is_written() {
        assert_eq!(OutputPage::plain(true).tone(TextTone::Good, "same"), "same");
    }
}
