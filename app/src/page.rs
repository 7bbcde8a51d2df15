//! What is written for people: where it goes and what the terminal can show.

use std::io::{self, BufWriter, IsTerminal, Write};

/// Standard output, and what may be used on it.
pub struct Page {
    out: BufWriter<Box<dyn Write>>,
    /// Whether letters beyond ASCII can be shown.
    pub unicode: bool,
    /// Whether colour may be used.
    pub colour: bool,
}

/// Columns that every line for people fits in.
pub const WIDTH: usize = 80;

/// How a piece of text is to stand out.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// A heading or the word itself.
    Strong,
    /// Said the same.
    Good,
    /// Said differently.
    Other,
    /// Less important.
    Quiet,
}

impl Page {
    /// Standard output, with what its terminal can show.
    pub fn stdout() -> Page {
        let set = |name: &str| std::env::var_os(name).is_some_and(|v| !v.is_empty());
        // NO_COLOR, when set to anything, asks programs to leave colour out.
        let colour =
            io::stdout().is_terminal() && !set("NO_COLOR") && std::env::var_os("TERM").is_some_and(|t| t != "dumb");
        Page {
            out: BufWriter::new(Box::new(io::stdout())),
            unicode: locale_is_utf8(),
            colour,
        }
    }

    /// A page that nothing is written to: what it can show is what the window can.
    pub fn window() -> Page {
        Page {
            out: BufWriter::new(Box::new(io::sink())),
            unicode: true,
            colour: false,
        }
    }

    /// A page kept in memory, as the tests read it.
    #[cfg(test)]
    pub fn plain(unicode: bool) -> Page {
        Page {
            out: BufWriter::new(Box::new(io::sink())),
            unicode,
            colour: false,
        }
    }

    /// The text in its tone, or bare where colour may not be used.
    pub fn tone(&self, tone: Tone, text: &str) -> String {
        if !self.colour {
            return text.to_owned();
        }
        let code = match tone {
            Tone::Strong => "1",
            Tone::Good => "32",
            Tone::Other => "33",
            Tone::Quiet => "2",
        };
        format!("\x1b[{code}m{text}\x1b[0m")
    }

    /// One line; what ASCII cannot show is written in its place when the terminal knows no more.
    pub fn line(&mut self, text: &str) -> io::Result<()> {
        if self.unicode {
            writeln!(self.out, "{}", text.trim_end())
        } else {
            writeln!(self.out, "{}", ascii(text.trim_end()))
        }
    }

    /// A paragraph, folded to the page's width and set in by `indent` columns.
    pub fn paragraph(&mut self, indent: usize, text: &str) -> io::Result<()> {
        for line in fold(text, WIDTH - indent) {
            self.line(&format!("{:indent$}{line}", ""))?;
        }
        Ok(())
    }

    /// One line of JSON, whatever the terminal.
    pub fn json(&mut self, value: &impl serde::Serialize) -> io::Result<()> {
        serde_json::to_writer(&mut self.out, value)?;
        writeln!(self.out)
    }

    /// A file for another program, as it is.
    pub fn raw(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.out.write_all(bytes)
    }

    /// Sends on what is written so far, so that a reader down a pipe has each answer as it comes.
    pub fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }

    /// Writes what is left.
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
            c if c.is_ascii() => out.push(c),
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
    text.chars().filter(|c| !('\u{300}'..='\u{36f}').contains(c)).count()
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
    fn without_colour_no_escape_is_written() {
        assert_eq!(Page::plain(true).tone(Tone::Good, "same"), "same");
    }
}
