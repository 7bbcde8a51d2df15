//! Words drawn out, and sounds said one by one, brought back to the length of words said whole.
//!
//! What was learned of words said whole does not hold where sounds are held or stand apart: each frame of a held sound says the
//! same again. So of every stretch in which one class stays the likeliest only some frames are kept, evenly spread over it, and what
//! is left is heard anew. Which sounds were asked about makes no difference.

use super::frame::{FRAME_WIDTH, take_mean};
use super::model::{CLASSES, SILENCE, Scores};

/// Frames that are kept of a sound that is held, and of a silence inside a word drawn out, such as a stop's closure. On 52 training
/// speakers 8 and 14 did less well.
const MOST: usize = 10;
/// A silence inside a word of more frames than this is a gap between sounds, and not a stop's closure.
const CLOSURE: usize = 12;
/// Frames that are kept of such a gap, and of silence at the edges of sounds said one by one.
const MOST_BETWEEN: usize = 2;
/// Frames around each such sound that are looked at, for its start and end are weak.
const AROUND: usize = 3;
/// Frames on each side over which a frame's class is smoothed, so that one odd frame does not part a held sound.
const SMOOTH: usize = 2;
/// Frames of what is around sounds said one by one that stay before the first and after the last (150 ms).
const MARGIN: usize = 15;

/// First and one past the last frame.
type FrameSpan = (usize, usize);

/// Which frames of a word drawn out are kept, in order.
pub fn held(scores: &Scores) -> Vec<usize> {
    kept(scores, &[(0, scores.rows.len())])
}

/// Which frames of sounds said one by one are kept, in order: `pieces` are where they lie.
pub fn joined(scores: &Scores, pieces: &[FrameSpan]) -> Vec<usize> {
    let widened = |&(from, to): &FrameSpan| (from.saturating_sub(AROUND), (to + AROUND).min(scores.rows.len()));
    let mut spans: Vec<FrameSpan> = pieces.iter().map(widened).collect();
    if let Some(first) = spans.first_mut() {
        first.0 = first.0.saturating_sub(MARGIN);
    }
    if let Some(last) = spans.last_mut() {
        last.1 = (last.1 + MARGIN).min(scores.rows.len());
    }
    kept(scores, &spans)
}

/// Of each stretch of one class inside the `spans` at most [`MOST`] frames, of a gap [`MOST_BETWEEN`]; silence before all and after all
/// stays.
fn kept(scores: &Scores, spans: &[FrameSpan]) -> Vec<usize> {
    let classes = likeliest(scores);
    let (Some(first), Some(last)) = (spans.first(), spans.last()) else {
        return Vec::new();
    };
    let mut kept = Vec::with_capacity(classes.len());
    for &(start, end) in spans {
        let mut from = start;
        for stretch in classes[start..end].chunk_by(|a, b| a == b) {
            let to = from + stretch.len();
            let most = match stretch[0] {
                SILENCE if from == first.0 || to == last.1 => stretch.len(),
                SILENCE if from == start || to == end || stretch.len() > CLOSURE => MOST_BETWEEN,
                _ => MOST,
            };
            let n = stretch.len().min(most);
            kept.extend((0..n).map(|i| from + (2 * i + 1) * stretch.len() / (2 * n)));
            from = to;
        }
    }
    kept
}

/// The likeliest class of each frame, by the frames around it.
fn likeliest(scores: &Scores) -> Vec<usize> {
    let rows = &scores.rows;
    let one = |t: usize| {
        let around = &rows[t.saturating_sub(SMOOTH)..(t + SMOOTH + 1).min(rows.len())];
        let sum = |class: usize| around.iter().map(|row| row[class]).sum::<f32>();
        let sums: [f32; CLASSES] = std::array::from_fn(sum);
        (0..CLASSES)
            .max_by(|a, b| sums[*a].total_cmp(&sums[*b]))
            .unwrap_or(SILENCE)
    };
    (0..rows.len()).map(one).collect()
}

/// These frames alone, their level taken anew.
pub fn thinned(frames: &[f32], kept: &[usize]) -> Vec<f32> {
    let row = |t: &usize| &frames[t * FRAME_WIDTH..(t + 1) * FRAME_WIDTH];
    let mut out: Vec<f32> = kept.iter().flat_map(row).copied().collect();
    take_mean(&mut out, &mut Vec::new());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// So many frames of each class, the likeliest by far.
    fn scores(stretches: &[(usize, usize)]) -> Scores {
        let row = |class: usize| std::array::from_fn(|c| if c == class { -0.01 } else { -8.0 });
        let rows = stretches
            .iter()
            .flat_map(|(class, n)| std::iter::repeat_n(row(*class), *n));
        Scores { rows: rows.collect() }
    }

    #[test]
    fn a_held_sound_keeps_ten_frames_from_all_of_it_and_a_short_one_all() {
        let kept = held(&scores(&[(SILENCE, 30), (5, 60), (7, 6), (SILENCE, 40)]));
        assert_eq!(kept.len(), 30 + 10 + 6 + 40);
        assert!(kept.is_sorted());
        let of_held: Vec<usize> = kept.iter().copied().filter(|t| (30..90).contains(t)).collect();
        assert_eq!(of_held, [33, 39, 45, 51, 57, 63, 69, 75, 81, 87]);
    }

    #[test]
    fn an_odd_frame_does_not_part_a_held_sound() {
        let kept = held(&scores(&[(SILENCE, 20), (5, 30), (6, 1), (5, 30), (SILENCE, 20)]));
        assert_eq!(kept.len(), 20 + 10 + 20);
    }

    #[test]
    fn of_a_gap_in_a_word_drawn_out_two_frames_are_kept_and_of_a_closure_ten() {
        let kept = |gap: usize| {
            held(&scores(&[
                (SILENCE, 20),
                (5, 30),
                (SILENCE, gap),
                (6, 30),
                (SILENCE, 20),
            ]))
            .len()
        };
        assert_eq!((kept(40), kept(11), kept(6)), (60 + 2, 60 + 10, 60 + 6));
    }

    #[test]
    fn sounds_said_apart_are_joined_without_their_gaps() {
        let apart = scores(&[(SILENCE, 40), (5, 30), (SILENCE, 30), (7, 8), (SILENCE, 40)]);
        let kept = joined(&apart, &[(40, 70), (100, 108)]);
        // The margins and what is around, ten frames of the held sound, two of silence on each side of the gap, all of the short one.
        assert_eq!(kept.len(), (MARGIN + AROUND) + 10 + 2 + 2 + 8 + (MARGIN + AROUND));
        assert!(
            kept.is_sorted() && kept.iter().filter(|t| (72..98).contains(*t)).count() <= 2,
            "{kept:?}"
        );
    }
}
