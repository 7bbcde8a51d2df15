//! One doubtful sound of a recording looked at closely: how it is made, beside the sound that it is perhaps taken for, or alone
//! where it was perhaps left out.

use soundbead_data::inventory::{self, Features, Place, SoundEntry};
use soundbead_dsp::judgement::{Judgement, Placed, Verdict};

/// Below this a sound is one to listen for: as likely not right as right.
const DOUBT: f32 = 0.5;

/// Whether a placed sound is one to listen for.
pub fn doubtful(placed: &Placed) -> bool {
    placed.sure() < DOUBT || placed.taken_for.is_some() || placed.left_out
}

/// What stands beside the sound, and why.
#[derive(Clone, Copy, Debug)]
pub enum Beside {
    /// Another, to which the recording may be nearer.
    PerhapsHeard(&'static SoundEntry),
    /// The one that it is mixed up with most.
    OftenMixedUp(&'static SoundEntry),
    /// Nothing: it was perhaps not said at all.
    PerhapsLeftOut,
}

/// A sound and what stands beside it.
#[derive(Clone, Copy, Debug)]
pub struct CloseUp {
    /// The sound that was to be said.
    pub entry: &'static SoundEntry,
    /// What stands beside it.
    pub beside: Beside,
    /// What tells the two apart; the cue of what makes the sound where it stands alone or nothing is written of the pair.
    pub cue: &'static str,
}

impl CloseUp {
    /// Of the sound at this place of a judgement; none where it is not in doubt.
    pub fn of(judgement: &Judgement, at: usize) -> Option<CloseUp> {
        let placed = judgement.sounds.get(at).filter(|placed| doubtful(placed))?;
        let entry = inventory::of(placed.sound);
        let usual = inventory::find(&entry.confused.with.to_string());
        let heard = placed.taken_for.filter(|_| judgement.verdict != Some(Verdict::Same));
        let beside = match heard {
            Some(other) => Beside::PerhapsHeard(inventory::of(other)),
            None if placed.left_out => Beside::PerhapsLeftOut,
            None => Beside::OftenMixedUp(usual?),
        };
        let told = |other| apart(entry, other).or_else(|| apart(other, entry));
        let close_up = CloseUp {
            entry,
            beside,
            cue: first_cue(entry),
        };
        Some(CloseUp {
            cue: close_up.other().and_then(told).unwrap_or(close_up.cue),
            ..close_up
        })
    }

    /// The sound beside it, where there is one.
    pub fn other(&self) -> Option<&'static SoundEntry> {
        match self.beside {
            Beside::PerhapsHeard(other) | Beside::OftenMixedUp(other) => Some(other),
            Beside::PerhapsLeftOut => None,
        }
    }

    /// The question that it puts, to parent and child alike.
    pub fn question(&self) -> String {
        let one = self.entry.shown();
        match self.beside {
            Beside::PerhapsHeard(other) => {
                format!(
                    "Is it \u{201c}{one}\u{201d}, or nearer to \u{201c}{}\u{201d}?",
                    other.shown()
                )
            }
            Beside::OftenMixedUp(other) => {
                format!(
                    "\u{201c}{one}\u{201d} is often mixed up with \u{201c}{}\u{201d}.",
                    other.shown()
                )
            }
            Beside::PerhapsLeftOut => format!("Is the \u{201c}{one}\u{201d} there? Say it, and feel your mouth."),
        }
    }
}

/// The cue of what makes the sound: the lips, the breath, or else the tongue.
fn first_cue(entry: &'static SoundEntry) -> &'static str {
    let place = match entry.features {
        Features::Consonant(consonant) => Some(consonant.place),
        Features::Vowel(_) => None,
    };
    match place {
        Some(Place::Bilabial | Place::Labiodental | Place::LabialVelar) => &entry.cues.lips,
        Some(Place::Glottal) => &entry.cues.airflow,
        _ => &entry.cues.tongue,
    }
}

/// What is written of telling these two apart.
fn apart(entry: &'static SoundEntry, other: &SoundEntry) -> Option<&'static str> {
    if entry.confused.with == other.arpabet {
        return Some(&entry.confused.tell_apart);
    }
    let with = |mixup: &&inventory::Mixup| {
        mixup
            .with
            .as_ref()
            .is_some_and(|with| with.to_string() == other.arpabet.to_string())
    };
    entry.also.iter().find(with).map(|mixup| mixup.tell_apart.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where each is made is a fact of the trade (common practice, no source).
    #[test]
    fn the_cue_is_of_what_makes_the_sound() {
        let cue = |name: &str| first_cue(inventory::find(name).expect("a sound"));
        for lips in ["P", "B", "M", "F", "V", "W"] {
            assert_eq!(cue(lips), inventory::find(lips).unwrap().cues.lips, "{lips}");
        }
        for tongue in ["T", "R", "TH", "K", "EH"] {
            assert_eq!(cue(tongue), inventory::find(tongue).unwrap().cues.tongue, "{tongue}");
        }
        assert!(cue("HH").contains("breath"));
    }
}
