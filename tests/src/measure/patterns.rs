//! How often a pattern is claimed that is not there, and how often one that is there is found: made-up learners, whose habits
//! are known. Needs no speech.
//!
//! Each learner has words of their own, drawn from the common short ones, tries them through some months, some words many
//! times and most of them seldom, and slips now and then.

use std::collections::BTreeMap;

use soundbead_data::miscount::{self, AskedWord, Cause, Claim, CountedAlike, Month, WordShape};
use soundbead_data::{Rules, lexicon};

use super::figure;

/// The seed that is used when none is given.
pub const SEED: u64 = 20;
/// Learners of each kind.
pub const LEARNERS: usize = 500;
/// From this Zipf value on a word counts as common.
const COMMON: f32 = 4.3;
/// Most sounds of a word, as in first lessons.
const LONGEST: usize = 6;

/// A generator that gives the same numbers on every machine (splitmix64: Steele, Lea, Flood 2014, OOPSLA).
pub struct Draw(pub u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 to 1.
    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() % n as u64) as usize
    }
}

/// What a made-up learner's miscounts come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Slips, as likely in one word as in another.
    Even,
    /// Such slips, and no word is tried twice: what chance does is then not evened out.
    Once,
    /// Some words are counted wrong nearly always, whichever they are, and are tried again and again.
    Memorised,
    /// The longer the word, the more often a sound is passed over.
    Longer,
    /// Slips that grow fewer, with new words every month.
    Improving,
    /// Slips, and what follows from a cause in eight of ten tries at the words that it touches.
    Habit(Cause),
    /// A habit, that ends after the first half of the months.
    Overcome(Cause),
}

/// The kinds of learners without any pattern.
pub const NONE: [(&str, Kind); 5] = [
    ("even slips", Kind::Even),
    ("even slips, each word once", Kind::Once),
    ("single words memorised wrong", Kind::Memorised),
    ("longer words are harder", Kind::Longer),
    ("improving, new words each month", Kind::Improving),
];

/// The habits that are looked for.
pub fn habits() -> Vec<Cause> {
    vec![
        Cause::Letters,
        Cause::SilentE,
        Cause::DoubledLetters,
        Cause::ConsonantTeams,
        Cause::VowelTeams,
        Cause::Clusters,
        Cause::LostNasal,
        Cause::LostLiquid,
        Cause::OtherClusters,
    ]
}

/// Common short words under the usual rules.
pub fn pool() -> Vec<WordShape> {
    let rules = Rules::default();
    let made = lexicon::words().filter(|e| e.zipf() >= COMMON && e.spelling().len() > 2);
    let shapes = made.filter_map(|e| {
        let said = e.variants().next()?;
        let vowels = said.sounds().iter().filter(|s| s.is_vowel()).count();
        let fits =
            said.sounds().len() <= LONGEST && vowels <= 2 && e.spelling().bytes().all(|b| b.is_ascii_lowercase());
        let asked = || AskedWord {
            word: e.spelling().to_owned(),
            sounds: said.sounds().to_vec(),
        };
        fits.then(|| WordShape::new(&asked(), &rules))
    });
    shapes.collect()
}

/// One try: which word, in which month, and the child's count.
struct SimulatedTries<'a> {
    pool: &'a [WordShape],
    kind: Kind,
    months: usize,
    slips: f64,
    /// The words that this learner has memorised wrong, each with its count.
    memorised: BTreeMap<usize, u16>,
}

impl SimulatedTries<'_> {
    fn count(&self, draw: &mut Draw, at: usize, month: usize) -> u16 {
        let shape = &self.pool[at];
        let right = shape.units.len() as u16;
        if let Some(wrong) = self.memorised.get(&at).filter(|_| draw.unit() < 0.9) {
            return *wrong;
        }
        let early = 2 * month < self.months;
        match self.kind {
            Kind::Habit(cause) => self.follow(draw, cause, shape),
            Kind::Overcome(cause) if early => self.follow(draw, cause, shape),
            _ => None,
        }
        .unwrap_or_else(|| self.slip(draw, right, month))
    }

    /// A count that would follow from the cause, in eight of ten tries.
    fn follow(&self, draw: &mut Draw, cause: Cause, shape: &WordShape) -> Option<u16> {
        let counts = shape.by(cause).filter(|_| draw.unit() < 0.8)?;
        let (from, to) = (*counts.start(), *counts.end());
        Some(from + draw.below(usize::from(to - from) + 1) as u16)
    }

    fn slip(&self, draw: &mut Draw, right: u16, month: usize) -> u16 {
        let longer = f64::from(right) - 3.0;
        let (chance, fewer) = match self.kind {
            // At three sounds the learner's own share; about twice the odds for each sound more.
            Kind::Longer => (1.0 / (1.0 + (1.0 / self.slips - 1.0) * (-0.8 * longer).exp()), 0.9),
            Kind::Improving => (2.0 * self.slips * (1.0 - month as f64 / self.months as f64), 0.5),
            _ => (self.slips, 0.5),
        };
        match (draw.unit() < chance, draw.unit() < fewer) {
            (true, true) => right.saturating_sub(1).max(1),
            (true, false) => right + 1,
            _ => right,
        }
    }
}

/// A learner's counts over some months: `tries` in all.
pub fn learner(draw: &mut Draw, pool: &[WordShape], kind: Kind, tries: usize) -> Vec<CountedAlike> {
    let months = 2 + draw.below(5);
    let words = if kind == Kind::Once {
        tries
    } else {
        40 + draw.below(160)
    };
    let own: Vec<usize> = (0..words).map(|_| draw.below(pool.len())).collect();
    let mut lesson = SimulatedTries {
        pool,
        kind,
        months,
        slips: draw.between(0.02, 0.25),
        memorised: BTreeMap::new(),
    };
    if kind == Kind::Memorised {
        let share = draw.between(0.05, 0.25);
        let wrong: Vec<usize> = own.iter().filter(|_| draw.unit() < share).copied().collect();
        for at in &wrong {
            let right = pool[*at].units.len() as u16;
            let wrong = if draw.unit() < 0.5 {
                right + 1
            } else {
                right.saturating_sub(1).max(1)
            };
            lesson.memorised.insert(*at, wrong);
        }
    }
    let mut sums: BTreeMap<(usize, usize, u16), u64> = BTreeMap::new();
    for n in 0..tries {
        let month = n * months / tries;
        let at = own[drawn(draw, n, own.len(), month, &lesson)];
        *sums.entry((at, month, lesson.count(draw, at, month))).or_default() += 1;
    }
    let alike = |((shape, month, child), attempts): ((usize, usize, u16), u64)| CountedAlike {
        shape,
        month: Month::new(2026, 1 + month as i32),
        expected: pool[shape].units.len() as u16,
        child,
        attempts,
    };
    sums.into_iter().map(alike).collect()
}

/// Which of the learner's words comes at the `n`th try. Some come again and again: the square brings the first ones often.
fn drawn(draw: &mut Draw, n: usize, words: usize, month: usize, lesson: &SimulatedTries) -> usize {
    let at = draw.unit().powi(2) * words as f64;
    match lesson.kind {
        Kind::Improving => (words * month / lesson.months + (at / lesson.months as f64) as usize).min(words - 1),
        Kind::Once => n,
        _ => at as usize,
    }
}

/// What was said of some learners.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LearnersTally {
    /// Learners.
    pub of: usize,
    /// Those of whom a pattern was claimed that they do not have, now or earlier.
    pub false_pattern: usize,
    /// Those of whom a sound was said to stand out.
    pub false_sound: usize,
    /// Either of the two.
    pub either: usize,
    /// Those whose habit was found.
    pub found: usize,
}

/// Whether `claimed` is said rightly of a learner with this habit: it is the habit, or what that is made of or part of.
fn belongs(kind: Kind, claimed: Cause) -> bool {
    match kind {
        Kind::Habit(cause) | Kind::Overcome(cause) => {
            claimed == cause || cause.parts().contains(&claimed) || claimed.parts().contains(&cause)
        }
        _ => false,
    }
}

/// What the program says of `learners` made-up ones of a kind, each with from 100 to 700 tries, or as many as `tries` has.
pub fn said(pool: &[WordShape], kind: Kind, learners: usize, tries: Option<usize>, seed: u64) -> LearnersTally {
    let (mut draw, mut said) = (Draw(seed), LearnersTally::default());
    for _ in 0..learners {
        let tries = tries.unwrap_or_else(|| 100 + draw.below(600));
        let counts = learner(&mut draw, pool, kind, tries);
        let patterns = miscount::patterns(pool, &counts, None);
        let now = |p: &&miscount::Pattern| p.claim == Claim::Found;
        let claimed = patterns.iter().filter(|p| now(p) || p.before.is_some());
        let wrong = claimed.clone().any(|p| !belongs(kind, p.cause));
        let sound = miscount::sounds(pool, &counts, None).iter().any(|s| s.stands_out);
        said.of += 1;
        said.false_pattern += usize::from(wrong);
        said.false_sound += usize::from(sound);
        said.either += usize::from(wrong || sound);
        said.found += usize::from(match kind {
            Kind::Habit(_) => patterns.iter().filter(now).any(|p| belongs(kind, p.cause)),
            Kind::Overcome(_) => patterns.iter().any(|p| p.before.is_some() && belongs(kind, p.cause)),
            _ => false,
        });
    }
    said
}

/// Prints every figure.
pub fn run(seed: u64) {
    let pool = pool();
    println!(
        "{} common words; {LEARNERS} made-up learners of each kind, 100 to 700 tries each; seed {seed}\n",
        pool.len()
    );
    println!("Learners without any pattern: one is claimed (at most 1 % is promised)");
    let mut all = LearnersTally::default();
    for (name, kind) in NONE {
        let said = said(&pool, kind, LEARNERS, None, seed);
        println!("  {name:<34} {}", figure::share(said.either, said.of));
        all.of += said.of;
        all.either += said.either;
        all.false_pattern += said.false_pattern;
        all.false_sound += said.false_sound;
    }
    println!("  {:<34} {}", "all", figure::share(all.either, all.of));
    println!(
        "  {:<34} {}",
        "of them a cause",
        figure::share(all.false_pattern, all.of)
    );
    println!(
        "  {:<34} {}\n",
        "of them a sound",
        figure::share(all.false_sound, all.of)
    );
    println!("Learners with a known habit, followed in 8 of 10 tries: it is found; another is claimed beside it");
    for cause in habits() {
        for tries in [150, 600] {
            let said = said(&pool, Kind::Habit(cause), LEARNERS / 5, Some(tries), seed);
            let (found, beside) = (figure::share(said.found, said.of), figure::share(said.either, said.of));
            println!("  {:<16} {tries} tries  found {found}  beside {beside}", cause.name());
        }
    }
    println!("\nLearners who overcame a silent e half way: said to be so no more");
    let said = said(&pool, Kind::Overcome(Cause::SilentE), LEARNERS / 5, Some(600), seed);
    println!("  {:<34} {}", "silent_e, 600 tries", figure::share(said.found, said.of));
}
