//! The second half of hearing: what was asked is held against the evidence. Each stage takes values and returns one.
//!
//! With a target: the pronunciation that fits best ([`Variant::best`]), where its sounds lie ([`placing`]), whether it was
//! said ([`Ear::shares`]), and the counts and places that follow ([`Variant::heard`]).

use soundbead_data::{Rules, Sound};

use super::align::Lattice;
#[cfg(feature = "measure")]
use super::align::NEVER;
use super::blind::{self, RowCounts};
use super::count::{self, ScoredReading, Slip};
#[cfg(feature = "measure")]
use super::decide::Measures;
use super::decide::{self, Comparison};
use super::heard::{self, Gathered, PieceScores, TiedLetters};
use super::listen::Evidence;
use super::model::{Mark, classes_of};
use super::{Ear, EarError, apart};
use crate::judgement::Target;

/// How probable it must be that there are as many pieces as sounds, before those are joined: a choice. On 52 training speakers half of
/// the right words are affirmed then (three in ten without), and 3 in 100 of the words beside.
pub const SURE_OF_COUNT: f32 = 0.9;

/// How like its sound the piece that is least like it must be, before they are joined: a choice. On those speakers it costs 1 in 100 of
/// the right words that are affirmed, and spares a third of the adults' that are asked about as words with one sound changed.
pub const LIKE_ITS_SOUND: f32 = 0.9;

/// First and one past the last frame of each sound.
type Cuts = Vec<(usize, usize)>;

/// The pronunciation of the target that stands for it, and what may have been said in its place.
struct Variant<'a> {
    sounds: &'a [Sound],
    letters: &'a TiedLetters,
    /// The target itself first, then everything one sound away.
    readings: Vec<ScoredReading>,
    /// For each reading, its slip; none where the rules, or another pronunciation, hold it to be the same word.
    slips: Vec<Slip>,
}

/// The probability of each reading, in order, and of something else altogether; together 1.
struct Shares {
    readings: Vec<f32>,
    other: f32,
    /// Probability that another reading was said, whatever a listener would mark.
    unlike: f32,
    /// Probability of the target's readings together.
    same: f32,
}

impl Shares {
    /// The share `p` of a reading, or of something else altogether, were no listener asked: what one would mark is no other reading.
    fn unmarked(&self, p: f32, own: bool) -> f32 {
        let (now, alone) = match own {
            true => (self.same, 1.0 - self.unlike),
            false => (1.0 - self.same, self.unlike),
        };
        p * alone / now.max(f32::MIN_POSITIVE)
    }
}

impl Ear {
    /// Words said whole or drawn out, with a target.
    pub(super) fn judge_target(
        &self,
        evidence: &Evidence,
        target: &Target,
        rules: &Rules,
    ) -> Result<Gathered, EarError> {
        let lattice = self.lattice(evidence);
        let variant = Variant::best(&lattice, target, rules);
        let row = blind::row(&lattice, self.model.path(), &self.settings.blind);
        let cuts = lattice.cuts(&classes_of(variant.sounds)).ok_or(EarError::TooShort)?;
        let own = variant.own();
        let marks = self.marks(evidence, variant.sounds, &cuts);
        let comparison = Comparison {
            readings: &variant.readings,
            own: &own,
            row: row.total as f32,
            sounds: variant.sounds,
            cuts: &cuts,
            scores: &evidence.scores,
            marks: &marks,
        };
        let shares = self.shares(&comparison);
        let mut heard = variant.heard(&shares, &row, rules);
        let cuts = cuts_as_read(&lattice, variant.sounds, &cuts, variant.likeliest(&shares));
        let evidence_of = variant.evidence(&shares);
        heard.place(variant.sounds, &cuts, &evidence_of, |frame| evidence.place.at(frame));
        heard.mark(marks.iter().map(|m| self.settings.right.of(m.right)));
        Ok(heard)
    }

    /// What trained listeners would say of each sound.
    fn marks(&self, evidence: &Evidence, sounds: &[Sound], cuts: &Cuts) -> Vec<Mark> {
        let listened = evidence.listened.get_or_init(|| self.model.hear(&evidence.frames));
        self.model.marks(listened, &classes_of(sounds), cuts)
    }

    /// Words said whole or drawn out, without a target.
    pub(super) fn judge_blind(&self, evidence: &Evidence, rules: &Rules) -> Gathered {
        let lattice = self.lattice(evidence);
        let blind = blind::count(&lattice, self.model.path(), rules, &self.settings.blind);
        let mut heard = Gathered::blind(&blind);
        if let Some(cuts) = lattice.cuts(&classes_of(&blind.best)) {
            let sure = heard::sureness(&evidence.scores, &blind.best, &cuts);
            heard.place(&blind.best, &cuts, &sure, |frame| evidence.place.at(frame));
        }
        heard
    }

    /// Sounds said one by one.
    pub(super) fn judge_apart(&self, evidence: &Evidence, target: Option<&Target>, rules: &Rules) -> Gathered {
        let pieces = apart::pieces(&evidence.scores, &evidence.lift, &self.settings.apart);
        let heard_so = PieceScores {
            scores: &evidence.scores,
            path: self.model.path(),
            calibration: &self.settings.apart,
            affirm: self.settings.affirm,
        };
        let heard = heard::judge_pieces(&heard_so, &pieces, target, rules, |frame| evidence.place.at(frame));
        let joined = || self.judge_joined(evidence.joined.as_deref()?, target?, heard.expected_sounds(), rules);
        match joined() {
            Some(joined) if may_be_joined(&heard) => heard.affirmed_by(&joined),
            _ => heard,
        }
    }

    /// Sounds said one by one, joined: what is heard where they are affirmed as a word said whole is. They are never contradicted by that:
    /// a child says them otherwise than in a word.
    fn judge_joined(&self, joined: &Evidence, target: &Target, sounds: &[Sound], rules: &Rules) -> Option<Gathered> {
        let at = target.variants.iter().position(|v| v == sounds)?;
        let same_sounds = Target {
            variants: vec![sounds.to_vec()],
            letters: target.letters.get(at).cloned().into_iter().collect(),
        };
        let heard = self.judge_target(joined, &same_sounds, rules).ok()?;
        (heard.same() >= self.settings.whole.affirm).then_some(heard)
    }

    /// What trained listeners would say of a word, for choosing between words: its part of a choice's log-odds.
    pub(super) fn liked(&self, evidence: &Evidence, lattice: &Lattice<'_>, sounds: &[Sound]) -> f32 {
        let settings = &self.settings;
        if (settings.compare_right, settings.compare_added) == (0.0, 0.0) {
            return 0.0;
        }
        let Some(cuts) = lattice.cuts(&classes_of(sounds)) else {
            return 0.0;
        };
        let told = decide::marked(&self.marks(evidence, sounds, &cuts));
        settings.compare_right * told.all_right + settings.compare_added * told.most_added
    }

    /// What trained listeners would say of each of `sounds` in a word said whole, as the network has it; none where they do not
    /// fit.
    #[cfg(feature = "measure")]
    pub fn marks_of(&self, evidence: &Evidence, sounds: &[Sound]) -> Option<Vec<Mark>> {
        let cuts = self.lattice(evidence).cuts(&classes_of(sounds))?;
        Some(self.marks(evidence, sounds, &cuts))
    }

    /// By how much the lattice prefers one word to another, in nepers, a bonus for each sound counted in; none where one does not fit.
    #[cfg(feature = "measure")]
    pub fn margin(&self, evidence: &Evidence, said: &[Sound], other: &[Sound]) -> Option<f32> {
        let lattice = self.lattice(evidence);
        let score = |sounds: &[Sound]| {
            let score = lattice.score(&classes_of(sounds));
            (score > NEVER / 2.0).then_some(score + self.settings.each_sound * sounds.len() as f32)
        };
        Some(score(said)? - score(other)?)
    }

    /// What was compared when `sounds` were asked about, for calibration; `strange` is held to be no word, as if a slip
    /// had made none. None where they do not fit.
    #[cfg(feature = "measure")]
    pub fn measures(&self, evidence: &Evidence, sounds: &[Sound], strange: &[Sound]) -> Option<Measures> {
        let lattice = self.lattice(evidence);
        let mut readings = count::readings(&lattice, sounds);
        for reading in readings
            .iter_mut()
            .filter(|r| count::sounds_of(sounds, r.slip) == strange)
        {
            reading.zipf = None;
        }
        let cuts = lattice.cuts(&classes_of(sounds))?;
        let comparison = Comparison {
            own: &readings.iter().map(|r| r.slip == Slip::None).collect::<Vec<_>>(),
            readings: &readings,
            row: blind::row(&lattice, self.model.path(), &self.settings.blind).total as f32,
            sounds,
            cuts: &cuts,
            scores: &evidence.scores,
            marks: &self.marks(evidence, sounds, &cuts),
        };
        Some(comparison.measures(&self.settings.target))
    }

    /// Shares probability out: the target's own readings get what the decision gives them, the others what is left, by
    /// their weights.
    fn shares(&self, comparison: &Comparison<'_>) -> Shares {
        let calibration = &self.settings.target;
        let measures = comparison.measures(calibration);
        let same = self.settings.same(&measures);
        let pick = |own: bool| {
            let all = comparison.readings.iter().zip(comparison.own);
            all.filter(move |(_, o)| **o == own).map(|(r, _)| r.weight(calibration))
        };
        let mine = count::shared(&pick(true).collect::<Vec<_>>(), same);
        let other = calibration.other + calibration.temperature * comparison.row;
        let mut not_mine = count::shared(&pick(false).chain([other]).collect::<Vec<_>>(), 1.0 - same);
        let other = not_mine.pop().unwrap_or(0.0);
        let (mut mine, mut not_mine) = (mine.into_iter(), not_mine.into_iter());
        let next = |own: &bool| if *own { mine.next() } else { not_mine.next() };
        Shares {
            readings: comparison.own.iter().filter_map(next).collect(),
            other,
            unlike: 1.0 - self.settings.decision.probability(&measures),
            same,
        }
    }

    fn lattice(&self, evidence: &Evidence) -> Lattice<'_> {
        Lattice::new(&evidence.scores, self.model.path())
    }
}

impl<'a> Variant<'a> {
    /// The pronunciation that fits best stands for the target; the others count as the same word.
    fn best(lattice: &Lattice<'_>, target: &'a Target, rules: &Rules) -> Variant<'a> {
        let mut all: Vec<Vec<ScoredReading>> = target.variants.iter().map(|v| count::readings(lattice, v)).collect();
        let best = (0..all.len())
            .max_by(|a, b| all[*a][0].score.total_cmp(&all[*b][0].score))
            .unwrap_or(0);
        let (sounds, readings) = (target.variants[best].as_slice(), all.swap_remove(best));
        let slip = |r: &ScoredReading| heard::forgiven(target, sounds, r.slip, rules);
        Variant {
            sounds,
            letters: target.letters.get(best).map_or(&[], Vec::as_slice),
            slips: readings.iter().map(slip).collect(),
            readings,
        }
    }

    /// For each reading, whether it counts as the target.
    fn own(&self) -> Vec<bool> {
        self.slips.iter().map(|s| *s == Slip::None).collect()
    }

    /// The counts, and how probable each relation to the target is. What is something else altogether is counted as any row
    /// of sounds. A slip that a listener would mark says nothing of the count.
    fn heard(&self, shares: &Shares, row: &RowCounts, rules: &Rules) -> Gathered {
        let expected = rules.count(self.sounds, &heard::borrowed(self.letters));
        let mut heard = Gathered::new(expected, self.sounds.to_vec());
        for (slip, p) in self.slips.iter().zip(&shares.readings) {
            let p = shares.unmarked(*p, *slip == Slip::None);
            heard.add(count::count_of(self.sounds, self.letters, *slip, rules), *slip, p);
        }
        heard.add_other(&row.counts, shares.unmarked(shares.other, false));
        heard.doubt(heard.same() - shares.same);
        heard.unlike = Some(shares.unlike);
        heard
    }

    /// The slip of the likeliest reading.
    fn likeliest(&self, shares: &Shares) -> Slip {
        let p = &shares.readings;
        let likeliest = (0..p.len()).max_by(|a, b| p[*a].total_cmp(&p[*b]));
        likeliest.map_or(Slip::None, |i| self.slips[i])
    }

    /// For each sound, the probability that it was said: 1 less that of every reading in which it is missing.
    fn evidence(&self, shares: &Shares) -> Vec<f32> {
        let mut missing = vec![shares.other; self.sounds.len()];
        for (slip, p) in self.slips.iter().zip(&shares.readings) {
            if let Slip::Fewer(i) | Slip::Changed(i, _) = *slip {
                missing[i] += p;
            }
        }
        missing.iter().map(|m| 1.0 - m).collect()
    }
}

/// Whether there are surely as many pieces as sounds, each of them like its sound.
fn may_be_joined(pieces: &Gathered) -> bool {
    let count = pieces.sure_of_count();
    count >= SURE_OF_COUNT && pieces.same() >= LIKE_ITS_SOUND * count
}

/// Where the target's sounds lie in the likeliest reading: a sound that was added has a place of its own there, and does
/// not push the target's from theirs. A sound left out, and any other way that does not fit, is laid as the target is.
fn cuts_as_read(lattice: &Lattice<'_>, target: &[Sound], as_target: &Cuts, slip: Slip) -> Cuts {
    let read = || lattice.cuts(&classes_of(&count::sounds_of(target, slip)));
    let cuts = match slip {
        Slip::None | Slip::Fewer(_) => None,
        Slip::Changed(..) => read(),
        Slip::More(at, _) => read().map(|mut cuts| {
            cuts.remove(at);
            cuts
        }),
    };
    cuts.unwrap_or_else(|| as_target.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audio::{RATE, Recording};
    use crate::judgement::Speaking;

    /// A second with a buzz in its middle.
    fn second() -> Recording {
        let sample = |i: usize| {
            let buzz = (1..20).map(|h| (std::f32::consts::TAU * 250.0 * (h * i) as f32 / RATE as f32).sin() / h as f32);
            if (4_000..12_000).contains(&i) {
                0.1 * buzz.sum::<f32>()
            } else {
                0.0
            }
        };
        Recording::from_samples((0..RATE as usize).map(sample).collect()).expect("samples")
    }

    #[test]
    fn sounds_said_one_by_one_are_joined_only_where_count_and_pieces_are_sure() {
        let pieces = |fewer: f32, like: f32| {
            let mut heard = Gathered::new(2, vec![Sound::S, Sound::IY]);
            heard.add(1, Slip::Fewer(0), fewer);
            heard.add(2, Slip::None, (1.0 - fewer) * like);
            heard.add(2, Slip::Changed(0, Sound::Z), (1.0 - fewer) * (1.0 - like));
            may_be_joined(&heard)
        };
        assert!(pieces(0.05, 0.95) && !pieces(0.15, 0.99) && !pieces(0.05, 0.8));
    }

    #[test]
    fn asked_about_many_words_the_listener_hears_once_and_marks_as_if_asked_about_each_alone() {
        let mut ear = Ear::new().expect("the model comes with the program");
        let rules = Rules::default();
        let evidence = ear.listen(&second(), Speaking::Whole).expect("speech");
        assert!(evidence.listened.get().is_none(), "nothing was asked yet");
        let word = |vowel| Target {
            variants: vec![vec![Sound::M, vowel, Sound::N]],
            letters: Vec::new(),
        };
        let words = [Sound::AH, Sound::IY, Sound::AE].map(word);
        let asked =
            |evidence: &Evidence, word: &Target| ear.judge_evidence(evidence, Some(word), Speaking::Whole, &rules);
        let first = asked(&evidence, &words[0]).expect("an answer");
        let heard: *const _ = evidence.listened.get().expect("the listener was asked");
        assert!(first.sounds.iter().all(|s| s.right.is_some()));
        for word in &words {
            let mut fresh = evidence.clone();
            fresh.listened.take();
            assert_eq!(
                asked(&evidence, word).expect("an answer"),
                asked(&fresh, word).expect("an answer")
            );
        }
        assert!(std::ptr::eq(heard, evidence.listened.get().expect("still there")));
    }
}
