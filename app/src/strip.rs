//! The strip under a word: each sound drawn to scale over a time axis.

/// One sound to draw.
#[derive(Clone, Debug, PartialEq)]
pub struct StripSound {
    /// What is written under it.
    pub label: String,
    /// Start in seconds.
    pub start_s: f32,
    /// End in seconds, not before the start.
    pub end_s: f32,
}

/// Rows of labels at most; very short sounds step down a row rather than lose their name.
const LABEL_ROWS: usize = 3;
/// Columns that a time on the axis needs, with the space after it.
const TICK_ROOM: f32 = 8.0;

/// The strip in lines of at most `width` columns: times, the sounds as blocks in turn dark and light with
/// dots for the gaps between them, and their names, each under its block's start. Empty for no sounds.
pub fn draw(pieces: &[StripSound], width: usize) -> Vec<String> {
    let Some((from, to)) = reach(pieces) else {
        return Vec::new();
    };
    let scale = Scale {
        from,
        per_s: width as f32 / (to - from),
        width,
    };
    let mut lines = vec![scale.axis(to), bar(pieces, &scale)];
    lines.extend(labels(pieces, &scale));
    lines
}

/// From the first start to the last end, at least a hundredth of a second.
fn reach(pieces: &[StripSound]) -> Option<(f32, f32)> {
    let from = pieces
        .iter()
        .map(|p| p.start_s)
        .filter(|s| s.is_finite())
        .min_by(f32::total_cmp)?;
    let to = pieces
        .iter()
        .map(|p| p.end_s)
        .filter(|s| s.is_finite())
        .max_by(f32::total_cmp)?;
    Some((from, to.max(from + 0.01)))
}

struct Scale {
    from: f32,
    per_s: f32,
    width: usize,
}

impl Scale {
    fn column(&self, s: f32) -> usize {
        (((s - self.from) * self.per_s).round().max(0.0) as usize).min(self.width)
    }

    /// Times at round steps, each written from its own column on, and the unit at the end.
    fn axis(&self, to: f32) -> String {
        let steps = [0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 30.0, 60.0];
        let step = steps.into_iter().find(|s| s * self.per_s >= TICK_ROOM).unwrap_or(60.0);
        let mut row = TextRow::new(self.width);
        for n in (self.from / step).ceil() as usize..=(to / step).floor() as usize {
            let at = n as f32 * step;
            row.put(self.column(at), &format!("{at:.2}"));
        }
        let text = row.text();
        if text.trim().is_empty() {
            String::new()
        } else {
            format!("{text} s")
        }
    }
}

/// The blocks. Each sound has at least one column: its own start's, or the next that is free.
fn bar(pieces: &[StripSound], scale: &Scale) -> String {
    let mut cells = vec!['·'; scale.width];
    let mut free = 0;
    for (i, piece) in pieces.iter().enumerate() {
        let from = scale.column(piece.start_s).max(free).min(scale.width - 1);
        let to = scale.column(piece.end_s).max(from + 1).min(scale.width);
        free = to;
        cells[from..to].fill(if i % 2 == 0 { '█' } else { '▒' });
    }
    cells.into_iter().collect()
}

fn labels(pieces: &[StripSound], scale: &Scale) -> Vec<String> {
    let mut rows: Vec<TextRow> = (0..LABEL_ROWS).map(|_| TextRow::new(scale.width)).collect();
    for piece in pieces {
        let at = scale.column(piece.start_s);
        // A label that fits nowhere is left out of the picture; the table above it has every sound.
        let _ = rows.iter_mut().any(|row| row.put(at, &piece.label));
    }
    rows.iter().map(TextRow::text).filter(|text| !text.is_empty()).collect()
}

/// A row of text into which labels are put at columns.
struct TextRow {
    cells: Vec<char>,
    end: usize,
}

impl TextRow {
    fn new(width: usize) -> TextRow {
        TextRow {
            cells: vec![' '; width],
            end: 0,
        }
    }

    /// Writes `text` from column `at` on, further left if it would pass the end; `false` if its place is taken.
    fn put(&mut self, at: usize, text: &str) -> bool {
        let letters: Vec<char> = text.chars().collect();
        let Some(last) = self.cells.len().checked_sub(letters.len()) else {
            return false;
        };
        let at = at.min(last);
        if self.end > 0 && at < self.end + 1 {
            return false;
        }
        self.cells[at..at + letters.len()].copy_from_slice(&letters);
        self.end = at + letters.len();
        true
    }

    fn text(&self) -> String {
        self.cells.iter().collect::<String>().trim_end().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(times: &[(f32, f32)]) -> Vec<StripSound> {
        let named = times.iter().enumerate();
        named
            .map(|(i, &(start_s, end_s))| StripSound {
                label: format!("N{i}"),
                start_s,
                end_s,
            })
            .collect()
    }

    #[test]
    fn blocks_are_as_long_as_the_sounds_and_gaps_stay_empty() {
        let lines = draw(&pieces(&[(0.0, 0.25), (0.5, 1.0)]), 40);
        assert_eq!(
            lines[1],
            format!("{}{}{}", "█".repeat(10), "·".repeat(10), "▒".repeat(20))
        );
        assert_eq!(lines[2], "N0                  N1");
    }

    #[test]
    fn a_sound_too_short_for_its_name_still_shows_both() {
        let lines = draw(&pieces(&[(0.0, 0.01), (0.01, 0.02), (0.02, 3.0)]), 40);
        assert_eq!(lines[1].chars().count(), 40);
        for name in ["N0", "N1", "N2"] {
            assert!(lines[2..].iter().any(|l| l.contains(name)), "{lines:?}");
        }
    }

    #[test]
    fn sounds_closer_than_a_column_stand_side_by_side() {
        let lines = draw(&pieces(&[(0.0, 0.001), (0.001, 0.002), (0.002, 1.0)]), 40);
        assert_eq!(lines[1], format!("█▒{}", "█".repeat(38)));
    }

    #[test]
    fn nothing_odd_in_means_no_panic_out() {
        for times in [
            vec![],
            vec![(0.5, 0.5)],
            vec![(f32::NAN, f32::NAN)],
            vec![(2.0, 1.0)],
            vec![(0.0, 1e6)],
        ] {
            for width in [1, 2, 72] {
                let lines = draw(&pieces(&times), width);
                assert!(lines.iter().skip(1).all(|l| l.chars().count() <= width), "{times:?}");
            }
        }
    }
}
