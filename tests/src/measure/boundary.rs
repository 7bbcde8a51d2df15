//! Where sounds begin and end in words of synthesisers not trained on, against the synthesisers' own times.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::{RATE, Recording};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::Speaking;

use super::speech;
use super::spread::{MeasuredModel, spread_by};
use super::stored::{Measurement, Rows};

/// A boundary may lie so far from the synthesiser's own, in seconds.
const NEAR_S: f64 = 0.020;

/// A word of a made voice with its times.
#[derive(Deserialize)]
struct MadeWord {
    voice: String,
    off: usize,
    n: usize,
    /// Start, end (samples from `off`) and ARPAbet name, silence as SIL.
    segments: Vec<(usize, usize, String)>,
}

/// Where the given time of a boundary comes from, by what stands on its sides. Most synthesisers cut theirs out of recordings
/// that a program laid out; `dsp/training/voices/snap.py` moves those that the sound itself can place.
#[derive(Clone, Copy, Debug, PartialEq)]
enum BoundaryKind {
    /// The word's own beginning: found in the sound.
    First,
    /// The word's own end: found in the sound.
    Last,
    /// Found in the sound: S, SH or CH beside a voiced sound, P, T or K before a vowel, a nasal beside a vowel.
    Shown,
    /// The synthesiser's own, as it is.
    Stated,
}

impl BoundaryKind {
    fn of(before: Option<Sound>, after: Option<Sound>) -> BoundaryKind {
        let (a, b) = match (before, after) {
            (None, _) => return BoundaryKind::First,
            (_, None) => return BoundaryKind::Last,
            (Some(a), Some(b)) => (a, b),
        };
        let is = |sound: Sound, names: &[&str]| names.contains(&sound.arpabet());
        let nasal = |sound| is(sound, &["M", "N", "NG"]);
        let voiced = |sound: Sound| sound.is_vowel() || nasal(sound) || is(sound, &["L", "R", "W", "Y"]);
        let shown = voiced(a) && is(b, &["S", "SH"])
            || is(a, &["S", "SH", "CH"]) && voiced(b)
            || is(a, &["P", "T", "K"]) && b.is_vowel()
            || nasal(a) && b.is_vowel()
            || a.is_vowel() && nasal(b);
        if shown {
            BoundaryKind::Shown
        } else {
            BoundaryKind::Stated
        }
    }

    fn name(self) -> &'static str {
        match self {
            BoundaryKind::First => "the word's beginning, placed by the sound",
            BoundaryKind::Last => "the word's end, placed by the sound",
            BoundaryKind::Shown => "inside, placed by the sound",
            BoundaryKind::Stated => "inside, the synthesiser's own",
        }
    }
}

/// A boundary, and how far it lies from the synthesiser's own, in seconds (later is more).
type BoundaryError = (BoundaryKind, f64);

/// Each of the word's boundaries; None where it is not judged.
fn found(ear: &mut Ear, word: &MadeWord, recording: &Recording) -> Option<Vec<BoundaryError>> {
    let said: Vec<&(usize, usize, String)> = word.segments.iter().filter(|s| s.2 != "SIL").collect();
    let sounds: Vec<Sound> = said.iter().map(|s| s.2.parse().ok()).collect::<Option<_>>()?;
    let target = speech::asked(&sounds);
    let judged = ear
        .judge(recording, Some(&target), Speaking::Whole, &Rules::default())
        .ok()?;
    let off = |placed: f32, given: usize| f64::from(placed) - given as f64 / f64::from(RATE);
    let mut out = Vec::new();
    for (i, (given, placed)) in said.iter().zip(&judged.sounds).enumerate() {
        let before = i.checked_sub(1).map(|i| sounds[i]);
        out.push((BoundaryKind::of(before, Some(sounds[i])), off(placed.start_s, given.0)));
    }
    let last = said.iter().zip(&judged.sounds).next_back();
    out.extend(last.map(|(given, placed)| (BoundaryKind::Last, off(placed.end_s, given.1))));
    Some(out)
}

/// Prints how many boundaries of `heldout.ogg` lie within 20 ms of the synthesiser's own: by voice, and by where the given
/// times come from.
///
/// # Errors
/// When the files cannot be read.
pub fn boundaries(table: &mut Measurement, model: &MeasuredModel, folder: &Path) -> Result<(), String> {
    let path = folder.join("heldout.jsonl");
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    let made: Result<Vec<MadeWord>, _> = text.lines().map(serde_json::from_str).collect();
    let made = made.map_err(|e| format!("{}: {e}", path.display()))?;
    let source = speech::source(&folder.join("heldout.ogg"))?;
    let rate = f64::from(RATE);
    let judge = |ear: &mut Ear, word: &MadeWord| {
        let recording = source.cut(word.off as f64 / rate, (word.off + word.n) as f64 / rate);
        found(ear, word, &recording.ok()?)
    };
    let results = spread_by(&made, || model.ear(), judge);
    let mut voices: BTreeMap<&str, (Vec<BoundaryError>, usize)> = BTreeMap::new();
    for (made, result) in made.iter().zip(results) {
        let (all, lost) = voices.entry(&made.voice).or_default();
        match result {
            Some(some) => all.extend(some),
            None => *lost += 1,
        }
    }
    for (voice, (all, lost)) in voices {
        println!("{voice}: {lost} words not judged");
        let rows = &mut table.of_whom(voice);
        within(rows, "boundaries within 20 ms", &all);
        for kind in [
            BoundaryKind::First,
            BoundaryKind::Last,
            BoundaryKind::Shown,
            BoundaryKind::Stated,
        ] {
            let some: Vec<_> = all.iter().copied().filter(|b| b.0 == kind).collect();
            within(rows, &format!("boundaries within 20 ms, {}", kind.name()), &some);
            println!("    median {:+.0} ms", 1000.0 * median(&some));
        }
    }
    Ok(())
}

fn within(rows: &mut Rows<'_>, name: &str, all: &[BoundaryError]) {
    rows.row(name, all.iter().filter(|b| b.1.abs() <= NEAR_S).count(), all.len());
}

/// The middle one (the upper of two), in seconds; nought of none.
fn median(all: &[BoundaryError]) -> f64 {
    let mut off: Vec<f64> = all.iter().map(|b| b.1).collect();
    off.sort_by(f64::total_cmp);
    off.get(off.len() / 2).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_boundary_is_of_the_kind_that_its_neighbours_make_it() {
        let sound = |name: &str| -> Option<Sound> { name.parse().ok() };
        let kind = |a, b| BoundaryKind::of(sound(a), sound(b));
        assert_eq!(BoundaryKind::of(None, sound("S")), BoundaryKind::First);
        assert_eq!(BoundaryKind::of(sound("S"), None), BoundaryKind::Last);
        assert_eq!(kind("AE", "S"), BoundaryKind::Shown);
        assert_eq!(kind("CH", "IH"), BoundaryKind::Shown);
        assert_eq!(kind("IH", "CH"), BoundaryKind::Stated);
        assert_eq!(kind("K", "AE"), BoundaryKind::Shown);
        assert_eq!(kind("AE", "K"), BoundaryKind::Stated);
        assert_eq!(kind("AE", "N"), BoundaryKind::Shown);
        assert_eq!(kind("N", "D"), BoundaryKind::Stated);
        assert_eq!(kind("L", "IH"), BoundaryKind::Stated);
    }
}
