//! The best tie of what was written to the sounds of a word.
//!
//! Letters are taken from the left; each step gives some letters to some sounds (or to none, or a sound no letters) and costs
//! what its kind and its letters cost in likelihood: how often writers slip so (`data/tables/slips.tsv`), times how often the
//! dictionary writes the sound so (`data/tables/writing.tsv`). The cheapest way through is the tie.

use std::sync::LazyLock;

use super::figures::{self, Likeness, Slips, SpellingCounts};
use super::own::{OwnBox, OwnBoxes};
use super::place::{self, SoundContext};
use crate::Sound;
use crate::lexicon::Pronunciation;

/// What a step says of its sounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum StepFinding {
    Kept,
    Spelled {
        fits: bool,
    },
    Near,
    Other,
    Omitted,
    Added,
    /// As many of the word's own boxes as this, in another order.
    Swapped(usize),
}

/// One step: letters of what was written, sounds of the word, and what is said of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct TieStep {
    pub found: StepFinding,
    /// First letter and number of letters; the e of a split vowel is not counted.
    pub letters: (usize, usize),
    /// First sound and number of sounds.
    pub sounds: (usize, usize),
    /// The consonant inside a split vowel: its letters, sounds and finding.
    pub inside: Option<Inside>,
    cost: f32,
}

/// The consonant inside a split vowel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Inside {
    pub found: StepFinding,
    pub letters: (usize, usize),
    pub sounds: (usize, usize),
}

impl TieStep {
    /// Letters and sounds used up after it.
    fn to(&self) -> (usize, usize) {
        match self.inside {
            // The e stands behind the consonant.
            Some(inside) => (
                inside.letters.0 + inside.letters.1 + 1,
                inside.sounds.0 + inside.sounds.1,
            ),
            None => (self.letters.0 + self.letters.1, self.sounds.0 + self.sounds.1),
        }
    }
}

/// A tie: its steps from the left, and what they cost (nats; lower is likelier).
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tie {
    pub steps: Vec<TieStep>,
    pub cost: f32,
}

/// The costs of kinds of steps, in nats.
struct Costs {
    spelled: [f32; 3],
    near: [f32; 3],
    other: [f32; 3],
    omitted_vowel: [f32; 2],
    omitted_consonant: [f32; 4],
    swapped_inside: f32,
    swapped_across: f32,
    added_vowel: f32,
    added_consonant: f32,
}

static COSTS: LazyLock<Costs> = LazyLock::new(|| {
    let slips = Slips::builtin();
    // Against keeping the letters, so that a way of speaking with fewer sounds is not the likelier for that alone.
    let against = |kind: &str, class: &str| (slips.share(&format!("kept {class}")) / slips.share(kind)).ln();
    let three = |kind: &str| ["loud", "weak", "consonant"].map(|class| against(&format!("{kind} {class}"), class));
    let cost = |kind: &str| against(kind, "consonant");
    Costs {
        spelled: three("spelled"),
        near: three("near"),
        other: three("other"),
        omitted_vowel: [against("omitted loud", "loud"), against("omitted weak", "weak")],
        omitted_consonant: OMITTED.map(cost),
        swapped_inside: cost("swapped inside"),
        swapped_across: cost("swapped across"),
        added_vowel: cost("added vowel"),
        added_consonant: cost("added consonant"),
    }
});

/// The kinds of consonants left out, by what stands beside them.
pub(super) const OMITTED: [&str; 4] = [
    "omitted nasal before a consonant",
    "omitted r, l or w beside a consonant",
    "omitted beside a consonant",
    "omitted consonant",
];
/// Letters of a wrong kind are chosen among about so many (consonant letters; vowel letters with their teams).
const CHOICES: [f32; 2] = [20.0, 12.0];
/// Share assumed for a letter doubled or undoubled, or a silent letter put in or left out, where the dictionary's is lower.
const DOUBLED_SHARE: f32 = 0.02;
/// The same for a silent e put at the end of the word, which children do oftenest.
const FINAL_E_SHARE: f32 = 0.05;
/// The same for a letter put in that spells the sound itself (edjucation): it was written for the sound, and is no letter too many.
const SAYS_SHARE: f32 = 0.05;
/// Two consonant letters are one sound, the second silent, where so much of the sound is spelled so in such a place (mb, kn).
const SILENT_SHARE: f32 = 0.005;
/// Nats for taking the word's own vowel letter as part of a split vowel of another sound.
const RIGHT_LETTER: f32 = 1.5;
/// Nats for letters that end in a vowel letter and leave the vowel sound behind them without any: the letter was written for that
/// vowel (the e of *wudent* is no silent one).
const BARE: f32 = 2.5;
/// Nats for taking a vowel letter beside another as added: two that stand together are one spelling (thier).
const TEAM: f32 = 2.0;
/// Nats for a letter of another sound that is one of two doubled: seldom are the two meant for two sounds.
const TORN: f32 = 3.0;
/// Share assumed for *ed* as the ending of a word that has it: the writer knows the ending and fails at the join (carryed).
const ENDING_SHARE: f32 = 0.3;
/// Letters that spell a sound elsewhere but never in such a place cost more by this many nats: about one in two writers knows.
const UNFIT: f32 = 0.7;
/// Nats by which the letters of one box in another order go before the same letters given one by one (littel).
const INSIDE_FIRST: f32 = 1.5;
/// Nats for each letter beyond two in a swap across boxes: a whole stretch is seldom written in another order.
const LONGER_SWAP: f32 = 1.0;
/// What is looked for first, in nats: what one slip or two cost. It spares looking at what nobody would take for the word.
const FEW_SLIPS: f32 = 9.0;
/// Most letters of three boxes: none has more than five, but for a few of the dictionary's words.
const MOST_REORDERED: usize = 32;
/// Longest stretch of letters, and number of boxes, whose order is compared.
const MOST_SWAPPED: (usize, usize) = (6, 3);

/// What is needed to tie: the letters, how the word is said, its own boxes.
pub(super) struct TieInput<'a> {
    pub letters: &'a [u8],
    pub said: &'a Pronunciation,
    pub own: &'a OwnBoxes,
    /// Whether the letters are another word that is said the same (*break* for *brake*): its letters spell, and nothing was swapped.
    pub homophone: bool,
}

impl TieInput<'_> {
    /// The cheapest tie. There always is one: everything left out, everything added.
    pub fn best(&self) -> Tie {
        let plain = self.plainest();
        let near = Some(FEW_SLIPS.min(plain)).and_then(|most| self.best_within(most));
        near.or_else(|| self.best_within(plain))
            .expect("the plainest way is within its own cost")
    }

    /// The cheapest tie, if it costs `most` or less. No step costs less than nothing, so that what costs more half way is no part
    /// of it, and need not be gone on from.
    pub(super) fn best_within(&self, most: f32) -> Option<Tie> {
        let (rows, width) = (self.letters.len(), self.said.sounds().len() + 1);
        let mut best: Vec<Option<(f32, usize, TieStep)>> = vec![None; (rows + 1) * width];
        for i in 0..=rows {
            for j in 0..width {
                let so_far = match best[i * width + j] {
                    Some((cost, ..)) if cost <= most => cost,
                    None if (i, j) == (0, 0) => 0.0,
                    _ => continue,
                };
                self.steps((i, j), &mut |step| {
                    let to = step.to();
                    let cell = &mut best[to.0 * width + to.1];
                    let cost = so_far + step.cost;
                    if cell.is_none_or(|(other, ..)| cost < other) {
                        *cell = Some((cost, i * width + j, step));
                    }
                });
            }
        }
        // Where there is neither letter nor sound, there is nothing to tie.
        let done = best.last().copied().flatten().map(|(cost, ..)| cost <= most);
        done.unwrap_or(best.len() == 1).then(|| walk_back(&best))
    }

    /// What the way costs on which every sound has its own letters or none, and every other letter is added.
    fn plainest(&self) -> f32 {
        let (rows, width) = (self.letters.len(), self.said.sounds().len() + 1);
        let mut least = vec![f32::INFINITY; (rows + 1) * width];
        least[0] = 0.0;
        for i in 0..=rows {
            for j in 0..width {
                let so_far = least[i * width + j];
                let mut put = |to: (usize, usize), cost: f32| {
                    let cell = &mut least[to.0 * width + to.1];
                    *cell = cell.min(so_far + cost);
                };
                if let Some(to) = self.kept((i, j)) {
                    put(to, 0.0);
                }
                if let Some(&letter) = self.letters.get(i) {
                    put((i + 1, j), self.added((i, j), letter).cost);
                }
                if j + 1 < width {
                    put((i, j + 1), self.omitted_cost(j));
                }
            }
        }
        least[(rows + 1) * width - 1]
    }

    /// Letters and sounds used up where the next sounds have their own letters.
    fn kept(&self, (i, j): (usize, usize)) -> Option<(usize, usize)> {
        let own = self.own.starting(j)?;
        let rest = &self.letters[i..];
        if !own.split {
            return own.is_plain(rest).then(|| (i + own.letters.len(), own.sounds.end));
        }
        let inside = self.own.starting(own.sounds.end).filter(|b| !b.split)?;
        let behind = rest.strip_prefix(&own.letters[..1])?;
        let whole = inside.is_plain(behind) && inside_split(&inside.letters);
        let silent = behind.get(inside.letters.len()) == Some(&b'e');
        (whole && silent && own.sounds.len() <= 2).then(|| (i + inside.letters.len() + 2, inside.sounds.end))
    }

    /// Every step from `from` = (letters, sounds) used up.
    fn steps(&self, from: (usize, usize), give: &mut impl FnMut(TieStep)) {
        self.plain_steps(from, give);
        self.split_steps(from, give);
        self.swapped_steps(from, give);
        if let Some(&letter) = self.letters.get(from.0) {
            give(self.added(from, letter));
        }
        if from.1 < self.said.sounds().len() {
            let cost = self.omitted_cost(from.1);
            give(step(StepFinding::Omitted, (from.0, 0), (from.1, 1), cost));
        }
    }

    /// Steps that give a run of letters to one to three sounds.
    fn plain_steps(&self, (i, j): (usize, usize), give: &mut impl FnMut(TieStep)) {
        let sounds = self.said.sounds();
        let longest = figures::MOST_LETTERS
            .max(self.own.longest())
            .min(self.letters.len() - i);
        for count in 1..=figures::MOST_SOUNDS.min(sounds.len() - j) {
            let own = self.own.starting(j).filter(|b| b.sounds.len() == count);
            for len in 1..=longest {
                let letters = &self.letters[i..i + len];
                let kept = own.is_some_and(|b| !b.split && b.letters == letters);
                if kept || self.is_rest_of_own(letters, (j, count)) {
                    give(step(StepFinding::Kept, (i, len), (j, count), 0.0));
                } else if let Some((found, cost)) = self.judge(letters, (i + len, j, count)) {
                    let cost = cost + self.bare((i + len, j + count));
                    give(step(found, (i, len), (j, count), cost));
                }
            }
        }
    }

    /// Whether the letters are the word's own over several sounds, of which they spell the last alone: the n of *couldn't*, with a letter
    /// of its own for the vowel before it.
    fn is_rest_of_own(&self, letters: &[u8], (j, count): (usize, usize)) -> bool {
        let own = self.own.holding(j).filter(|b| count == 1 && b.sounds.len() > 1);
        own.is_some_and(|b| b.sounds.end == j + 1 && b.letters == letters)
            && letters.iter().all(|l| !is_vowel_letter(*l))
            && spells_alone(letters, &self.said.sounds()[j..=j])
    }

    /// What it costs that letters up to `end` leave the vowel sound `next` without any, though the last of them is a vowel letter.
    fn bare(&self, (end, next): (usize, usize)) -> f32 {
        let vowel = |at: usize| self.letters.get(at).is_some_and(|l| is_vowel_letter(*l));
        let sounds = self.said.sounds();
        let said = |at: usize| sounds.get(at).is_some_and(|s| s.is_vowel() && *s != Sound::ER);
        match said(next) && !said(next - 1) && vowel(end - 1) && !vowel(end) {
            true => BARE,
            false => 0.0,
        }
    }

    /// What it costs that letters in another order end in a vowel letter, as they should not, right before a vowel sound (the *re* of
    /// *litrecher*): the letter was written for that vowel, alone or with what follows.
    fn opens(&self, (written, right): (&[u8], &[u8]), next: usize) -> f32 {
        let vowel = |letters: &[u8]| letters.last().is_some_and(|l| is_vowel_letter(*l));
        let said = self.said.sounds().get(next).is_some_and(|s| s.is_vowel());
        match said && vowel(written) && !vowel(right) {
            true => BARE,
            false => 0.0,
        }
    }

    /// Steps over a split vowel, the consonant inside it and its e.
    fn split_steps(&self, (i, j): (usize, usize), give: &mut impl FnMut(TieStep)) {
        let sounds = self.said.sounds();
        let Some(&first) = self.letters.get(i).filter(|letter| is_vowel_letter(**letter)) else {
            return;
        };
        for count in 1..=2.min(sounds.len() - j) {
            let own = self.own.starting(j).filter(|b| b.sounds.len() == count);
            let kept = own.is_some_and(|b| b.split && b.letters[0] == first);
            let (found, cost) = if kept {
                (StepFinding::Kept, 0.0)
            } else if let Some((found, cost)) = self.judge(&[first, b'_', b'e'], (i + 1, j, count)) {
                // The writer has the right letter for the vowel, and an e behind it that may have other reasons (scrameled).
                let right = own.is_some_and(|b| b.letters == [first]) && !matches!(found, StepFinding::Spelled { .. });
                (found, cost + if right { RIGHT_LETTER } else { 0.0 })
            } else {
                continue;
            };
            if !sounds[j..j + count].iter().any(|s| s.is_vowel()) {
                continue;
            }
            self.plain_steps((i + 1, j + count), &mut |inner: TieStep| {
                let (at, len) = inner.letters;
                let behind = &self.letters[at + len..];
                // An e before y belongs to the y (unhapey).
                let silent = behind.starts_with(b"e") && (kept || !behind.starts_with(b"ey"));
                if silent && inside_split(&self.letters[at..at + len]) {
                    let inside = Inside {
                        found: inner.found,
                        letters: inner.letters,
                        sounds: inner.sounds,
                    };
                    let next = inner.sounds.0 + inner.sounds.1;
                    let bare = if kept { 0.0 } else { self.bare((at + len + 1, next)) };
                    give(TieStep {
                        found,
                        letters: (i, 1),
                        sounds: (j, count),
                        inside: Some(inside),
                        cost: cost + inner.cost + bare,
                    });
                }
            });
        }
    }

    /// Steps over the letters of one to three of the word's own boxes in another order.
    fn swapped_steps(&self, (i, j): (usize, usize), give: &mut impl FnMut(TieStep)) {
        let most = if self.homophone { 0 } else { MOST_SWAPPED.1 };
        for boxes in 1..=most {
            let Some(right) = self.own.run_of_letters(j, boxes) else {
                continue;
            };
            let Some(written) = self.letters.get(i..i + right.letters.len()) else {
                break;
            };
            if right.letters.len() > MOST_SWAPPED.0
                || written == right.letters
                || !same_letters(written, &right.letters)
            {
                continue;
            }
            if boxes == 2 && self.splits(written, (i, j)) {
                continue;
            }
            let cost = match boxes {
                1 => COSTS.swapped_inside - INSIDE_FIRST,
                more if one_step_moved(written, &right.letters) => COSTS.swapped_across * (more - 1) as f32,
                more => COSTS.swapped_across * (more - 1) as f32 + LONGER_SWAP * (written.len() - 2) as f32,
            };
            let sounds = (j, right.sounds);
            let cost = cost + self.opens((written, &right.letters), j + right.sounds);
            give(step(StepFinding::Swapped(boxes), (i, written.len()), sounds, cost));
        }
    }

    /// Whether letters in another order make a split vowel that spells the sound (bare for bear): then it is spelled otherwise.
    fn splits(&self, written: &[u8], (i, j): (usize, usize)) -> bool {
        let [vowel, inside @ .., b'e'] = written else {
            return false;
        };
        let judged = || self.judge(&[*vowel, b'_', b'e'], (i + 1, j, 1));
        self.said.sounds()[j].is_vowel()
            && inside_split(inside)
            && matches!(judged(), Some((StepFinding::Spelled { .. }, _)))
    }

    /// A letter that stands for no sound.
    fn added(&self, (i, j): (usize, usize), letter: u8) -> TieStep {
        let cost = match is_vowel_letter(letter) {
            true if self.in_team(i) => COSTS.added_vowel + CHOICES[1].ln() + TEAM,
            true => COSTS.added_vowel + CHOICES[1].ln(),
            false if self.tears_double(i, letter) => COSTS.added_consonant + CHOICES[0].ln() + TORN,
            false => COSTS.added_consonant + CHOICES[0].ln(),
        };
        step(StepFinding::Added, (i, 1), (j, 0), cost)
    }

    /// Whether a vowel letter stands beside the one at `i`.
    fn in_team(&self, i: usize) -> bool {
        let beside = [i.checked_sub(1), Some(i + 1)];
        let vowel = |at: Option<usize>| {
            at.and_then(|at| self.letters.get(at))
                .is_some_and(|l| is_vowel_letter(*l))
        };
        beside.into_iter().any(vowel)
    }

    /// Whether the consonant letter at `i` is one of two that stand doubled: the two belong together (*conner*).
    fn tears_double(&self, i: usize, letter: u8) -> bool {
        let beside = [i.checked_sub(1), Some(i + 1)];
        let same = |at: Option<usize>| at.and_then(|at| self.letters.get(at)) == Some(&letter);
        !is_vowel_letter(letter) && beside.into_iter().any(same)
    }

    /// What letters that are not the word's own say of `count` sounds from `j` on; `end` is the place after the letters.
    fn judge(&self, letters: &[u8], (end, j, count): (usize, usize, usize)) -> Option<(StepFinding, f32)> {
        let sounds = &self.said.sounds()[j..j + count];
        let place = SoundContext::of(self.said, j, j + count, self.letters.get(end).copied());
        let class = self.class(j, count);
        let last = end == self.letters.len();
        let own = self.own.holding(j).filter(|b| !b.split);
        let silent_e = last || own.is_some_and(|b| with_e(&b.letters).is_some());
        let table = match likeness(letters, sounds, (place, silent_e)) {
            // n says ng before k and g alone: think and finger, not kingdom.
            Some(Likeness::Spells { share, .. }) if letters == b"n" && self.is_plain_ng(j, count) => {
                Some(Likeness::Near { share })
            }
            table => table,
        };
        if table.is_none() && own.is_none() || self.only_reordered(letters, j, count) {
            return None;
        }
        let own_letters: &[u8] = own.map_or(b"", |b| &b.letters);
        if holds_more(letters, own_letters, (sounds, table)) || self.takes_next(letters, own_letters, j + count) {
            return None;
        }
        let spelled = match table {
            Some(Likeness::Spells { fits, share }) => parts_together(letters, sounds, fits).then_some((fits, share)),
            _ => {
                let whole = own.filter(|b| b.sounds.len() == count);
                let changed = |b: &OwnBox| changed_share(&b.letters, letters, (last, table));
                let Some(share) = whole.and_then(changed) else {
                    return self.judge_wrong(letters, table, (end, j, count));
                };
                Some((false, share))
            }
        };
        let (fits, share) = spelled?;
        let least = own.map_or(0.0, |b| least_share(&b.letters, letters, (sounds, fits, last)));
        let unfit = if fits { 0.0 } else { UNFIT };
        let cost = COSTS.spelled[class] - share.max(least).ln() + unfit;
        Some((StepFinding::Spelled { fits }, cost))
    }

    /// What letters say that do not spell the sounds in any word.
    fn judge_wrong(
        &self,
        letters: &[u8],
        table: Option<Likeness>,
        (end, j, count): (usize, usize, usize),
    ) -> Option<(StepFinding, f32)> {
        let class = self.class(j, count);
        if let Some(share) = self.near_before_r(letters, j, count) {
            return Some((StepFinding::Near, COSTS.near[class] - share.ln()));
        }
        match table? {
            Likeness::Near { share } => {
                // In another word that is said the same (boulder for bolder) the letters spell this very sound.
                let found = match self.homophone {
                    true => StepFinding::Spelled { fits: false },
                    false => StepFinding::Near,
                };
                Some((found, COSTS.near[class] - share.ln()))
            }
            _ if letters.len() > 1 && !known_team(letters) => None,
            _ => {
                let choices = CHOICES[usize::from(class < 2)].ln() * letters.len() as f32;
                let torn = letters.len() == 1 && self.tears_double(end - 1, letters[0]);
                let torn = if torn { TORN } else { 0.0 };
                Some((StepFinding::Other, COSTS.other[class] + choices + torn))
            }
        }
    }

    /// Whether the sound at `j` is an ng with no k or g behind it.
    fn is_plain_ng(&self, j: usize, count: usize) -> bool {
        let sounds = self.said.sounds();
        count == 1 && sounds[j] == Sound::NG && !matches!(sounds.get(j + 1), Some(&Sound::K | &Sound::G))
    }

    /// Whether vowel letters end in the l that is written for the next sound (the oul of *bouletin*).
    fn takes_next(&self, letters: &[u8], own: &[u8], next: usize) -> bool {
        let l = |letters: &[u8]| letters.last() == Some(&b'l');
        let vowel = letters.len() > 1 && is_vowel_letter(letters[0]);
        vowel && l(letters) && !l(own) && self.said.sounds().get(next) == Some(&Sound::L)
    }

    /// Whether the letters are the word's own for these sounds, in another order: that is said so ([`StepFinding::Swapped`]), even where
    /// they spell the sounds in other words.
    fn only_reordered(&self, letters: &[u8], j: usize, count: usize) -> bool {
        let mut own = [0; MOST_REORDERED];
        let (mut at, mut len) = (j, 0);
        while at < j + count {
            let held = self.own.starting(at).filter(|b| !b.split && b.sounds.end <= j + count);
            // As many letters or none: more are no other order of these.
            let Some((held, room)) = held.and_then(|b| Some((b, own.get_mut(len..len + b.letters.len())?))) else {
                return false;
            };
            room.copy_from_slice(&held.letters);
            (at, len) = (held.sounds.end, len + held.letters.len());
        }
        own[..len] != *letters && same_letters(&own[..len], letters)
    }

    /// Before r, t is made far back and sounds like ch (chrain), d like j (jrive); and ch at times like tr (trest).
    fn near_before_r(&self, letters: &[u8], j: usize, count: usize) -> Option<f32> {
        let sounds = self.said.sounds();
        let before_r = count == 1 && sounds.get(j + 1) == Some(&Sound::R);
        match (sounds[j], letters) {
            (Sound::T, b"ch") | (Sound::D, b"j") if before_r => Some(0.5),
            (Sound::T, b"tch") | (Sound::D, b"dg" | b"g") if before_r => Some(0.05),
            (Sound::CH, b"tr") | (Sound::JH, b"dr") if count == 1 => Some(0.05),
            _ => None,
        }
    }

    /// Loud vowel 0, weak vowel 1, consonant 2.
    fn class(&self, j: usize, count: usize) -> usize {
        let vowel = (j..j + count).find(|&at| self.said.sounds()[at].is_vowel());
        match vowel {
            Some(at) if place::is_loud(self.said, at) => 0,
            Some(_) => 1,
            None => 2,
        }
    }

    fn omitted_cost(&self, j: usize) -> f32 {
        match self.class(j, 1) {
            2 => COSTS.omitted_consonant[omitted_kind(self.said.sounds(), j)],
            class => COSTS.omitted_vowel[class],
        }
    }
}

/// Which of [`OMITTED`] a consonant at `j` would be.
pub(super) fn omitted_kind(sounds: &[Sound], j: usize) -> usize {
    let consonant = |at: Option<usize>| at.and_then(|at| sounds.get(at)).is_some_and(|s| !s.is_vowel());
    let (before, after) = (consonant(j.checked_sub(1)), consonant(Some(j + 1)));
    match sounds[j] {
        Sound::M | Sound::N | Sound::NG if after => 0,
        Sound::R | Sound::L | Sound::W if before || after => 1,
        _ if before || after => 2,
        _ => 3,
    }
}

/// What the dictionary says of letters for `sounds`. Two doubled consonant letters say at least what one of them says, and so do
/// consonant letters with a silent e at the end of the word.
fn likeness(letters: &[u8], sounds: &[Sound], (place, last): (SoundContext, bool)) -> Option<Likeness> {
    let table = SpellingCounts::builtin();
    let found = table.likeness(letters, sounds, place);
    if matches!(found, Some(Likeness::Spells { .. })) {
        return found;
    }
    let (one, share) = match letters {
        [one, two] if one == two && !is_vowel_letter(*one) => (&letters[..1], DOUBLED_SHARE),
        _ => match with_e(letters).filter(|_| last) {
            Some(consonants) => (consonants, FINAL_E_SHARE),
            None => return found,
        },
    };
    match table.likeness(one, sounds, place) {
        // Letters that seldom spell the sound alone (the s of *question*) do not spell it doubled.
        Some(Likeness::Spells { share: whole, .. }) if spells_alone(one, sounds) => Some(Likeness::Spells {
            fits: false,
            share: whole * share,
        }),
        Some(Likeness::Near { share: whole }) => Some(Likeness::Near { share: whole * share }),
        _ => found,
    }
}

/// Whether the letters spell the sounds in a good share of their words.
fn spells_alone(letters: &[u8], sounds: &[Sound]) -> bool {
    SpellingCounts::builtin().read_anywhere(letters, sounds) >= figures::READ_SHARE
}

/// The consonant letters before a last e, where the letters are such.
fn with_e(letters: &[u8]) -> Option<&[u8]> {
    let (last, consonants) = letters.split_last()?;
    let all = !consonants.is_empty() && consonants.iter().all(|l| !is_vowel_letter(*l));
    (*last == b'e' && all).then_some(consonants)
}

/// Whether the letters would be read as more than `sounds`, so that some of them were added. The word's own letters may hold as much.
fn holds_more(letters: &[u8], own: &[u8], (sounds, table): (&[Sound], Option<Likeness>)) -> bool {
    let [first, .., last] = letters else { return false };
    let consonant = |l: &u8| !is_vowel_letter(*l);
    if sounds.iter().any(|s| s.is_vowel()) {
        // An r after a vowel where none is said (orgust); er, ir and ur are a vowel by themselves.
        let said = sounds.iter().any(|s| matches!(*s, Sound::R | Sound::ER));
        return matches!(first, b'a' | b'o') && letters.contains(&b'r') && !own.contains(&b'r') && !said;
    }
    if is_vowel_letter(*first) {
        // A vowel letter before a consonant (the ar of garass), but for the endings.
        let own = own.first().is_some_and(|l| is_vowel_letter(*l));
        return letters.iter().any(consonant) && !own && !matches!(letters, b"ed" | b"es");
    }
    let alone = spells_alone(&[*first], sounds);
    match table {
        // A vowel letter behind letters that spell the sound alone: it is the next vowel, or added (the ti of buletion).
        Some(Likeness::Near { .. } | Likeness::Other) if is_vowel_letter(*last) => *last != b'e' && alone,
        // A second consonant letter: silent before the sound's own letter (kn), or behind it where that is usual (mb, not nd).
        Some(Likeness::Spells { fits, share }) => {
            let silent = spells_alone(&[*last], sounds) || fits && (!alone || share >= SILENT_SHARE);
            two_consonants(letters) && sounds.len() == 1 && !silent && !own.starts_with(letters)
        }
        _ => false,
    }
}

/// Whether the letters are two different consonant letters that are no team.
fn two_consonants(letters: &[u8]) -> bool {
    let different = matches!(letters, [a, b, ..] if a != b);
    let all = letters.iter().all(|l| !is_vowel_letter(*l));
    different && all && letters.len() == 2 && letters[1] != b'h' && !known_team(letters)
}

/// Whether one pair of neighboring letters changed places.
fn one_step_moved(written: &[u8], right: &[u8]) -> bool {
    let other: Vec<usize> = (0..right.len()).filter(|&k| written[k] != right[k]).collect();
    matches!(other[..], [a, b] if b == a + 1)
}

/// Whether the letters are the word's own with one letter doubled, or a pair of its own undoubled; of several letters a consonant
/// (the *ssi* of *ocassion*).
fn doubled(own: &[u8], letters: &[u8]) -> bool {
    let twice = |one: &[u8], two: &[u8]| {
        let at = |k: &usize| two[..=*k] == one[..=*k] && two[k + 1..] == one[*k..];
        let double = (0..one.len()).filter(|k| one.len() == 1 || !is_vowel_letter(one[*k]));
        two.len() == one.len() + 1 && double.into_iter().any(|k| at(&k))
    };
    twice(own, letters) || twice(letters, own)
}

/// Whether the letters are a vowel's own long spelling (igh, ough, oul) without one of its letters; the r of a vowel is not silent.
fn one_left_out(own: &[u8], letters: &[u8]) -> bool {
    let long = own.len() >= 3 && own.len() == letters.len() + 1 && !own.contains(&b'r');
    let vowel = || is_vowel_letter(own[0]) && is_vowel_letter(letters[0]);
    let without = |k: usize| letters[..k] == own[..k] && letters[k..] == own[k + 1..];
    long && vowel() && with_consonant(own) && (0..own.len()).any(without)
}

fn with_consonant(letters: &[u8]) -> bool {
    letters.iter().any(|l| !is_vowel_letter(*l))
}

/// The share of the word's own letters doubled, undoubled, with a silent e at the end of the word, or without one of a long
/// vowel's letters where what is left spells nothing else.
fn changed_share(own: &[u8], letters: &[u8], (last, table): (bool, Option<Likeness>)) -> Option<f32> {
    match doubled(own, letters) || table.is_none() && one_left_out(own, letters) {
        true => Some(DOUBLED_SHARE),
        false => (last && with_e(letters) == Some(own)).then_some(FINAL_E_SHARE),
    }
}

/// The share that letters are given at least for what they have in common with the word's own: a letter more or less at either
/// end (kn for n, te for t, q for qu; put in only where it can stand, or where it spells the sound itself: dj for d), or the ending.
fn least_share(own: &[u8], letters: &[u8], (sounds, fits, last): (&[Sound], bool, bool)) -> f32 {
    let more = own.len() < letters.len();
    let (short, long) = if more { (own, letters) } else { (letters, own) };
    let says = || {
        letters
            .last()
            .is_some_and(|l| !is_vowel_letter(*l) && spells_alone(&[*l], sounds))
    };
    let one_more = long.len() == short.len() + 1
        && (long.starts_with(short) || long.ends_with(short))
        && (fits || !more || says());
    match (own, letters) {
        (b"d", b"ed") => ENDING_SHARE,
        _ if last && letters.split_last() == Some((&b'e', own)) => FINAL_E_SHARE,
        _ if one_more && !short.is_empty() && says() => SAYS_SHARE,
        _ if one_more && !short.is_empty() => DOUBLED_SHARE,
        _ => 0.0,
    }
}

/// Whether letters over more than one sound may be taken so. They have to fit; consonant letters may not swallow a vowel (the n of
/// *elfnt*: the vowel was left out), nor may two letters over two consonants be taken together when each spells one (tz).
fn parts_together(letters: &[u8], sounds: &[Sound], fits: bool) -> bool {
    let vowels = letters.iter().any(|&l| is_vowel_letter(l));
    let swallows = !vowels && sounds.iter().any(|s| s.is_vowel());
    let apart = letters.len() >= sounds.len() && !vowels;
    let one = letters.len() == 1 || letters.contains(&b'_');
    sounds.len() == 1 || ((fits || one) && !swallows && !apart)
}

/// Whether these letters may stand inside a split vowel: one consonant, or th, ch, ph, gn (bathe, ache, cologne).
fn inside_split(letters: &[u8]) -> bool {
    matches!(letters, b"th" | b"ch" | b"ph" | b"gn") || (letters.len() == 1 && !is_vowel_letter(letters[0]))
}

fn step(found: StepFinding, letters: (usize, usize), sounds: (usize, usize), cost: f32) -> TieStep {
    TieStep {
        found,
        letters,
        sounds,
        inside: None,
        cost,
    }
}

/// The steps of the way to the last cell.
fn walk_back(best: &[Option<(f32, usize, TieStep)>]) -> Tie {
    let (mut at, mut steps) = (best.len() - 1, Vec::new());
    let cost = best[at].map_or(0.0, |(cost, ..)| cost);
    while let Some((_, from, step)) = best[at].filter(|_| at > 0) {
        steps.push(step);
        at = from;
    }
    steps.reverse();
    Tie { steps, cost }
}

/// Whether the two have the same letters, each as often.
fn same_letters(a: &[u8], b: &[u8]) -> bool {
    let often = |letters: &[u8], one: &u8| letters.iter().filter(|l| *l == one).count();
    a.len() == b.len() && a.iter().all(|l| often(a, l) == often(b, l))
}

/// Letters that belong together and so stand for one other sound when they are wrong: sh, th, ee, a_e; not *tl* or *si*.
fn known_team(letters: &[u8]) -> bool {
    matches!(
        letters,
        b"sh" | b"ch" | b"th" | b"ph" | b"wh" | b"ck" | b"ng" | b"tch" | b"dge"
    ) || letters.iter().all(|&l| is_vowel_letter(l) || l == b'_')
        || letters[1..].iter().all(|l| *l == letters[0])
}

pub(super) fn is_vowel_letter(letter: u8) -> bool {
    matches!(letter, b'a' | b'e' | b'i' | b'o' | b'u' | b'y')
}
