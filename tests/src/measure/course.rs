//! Simulated children: how truly and how soon it is seen where a child stands, and whether review at growing gaps keeps what was
//! learned at fewer words than drilling all.
//!
//! The goal of review is the project's own: what was learned is kept with fewer words written than drilling all takes. It is looked
//! at both ways: at the same number of words what is kept, and for the same kept how many words.
//!
//! Forgetting is one of three models, so that no finding hangs on one of them:
//! - `exponential`: after a half life a word is recalled one time in two (the falling curve is Ebbinghaus 1885, its form as an
//!   exponential a common model; from memory). A success helps more when it comes late, up to doubling the half life when half of it
//!   had gone by (the spacing effect: Cepeda et al. 2006, Psychological Bulletin 132, 354-380, from memory; the figures are ours).
//! - `power`: the same, but recall falls as a power of time, which fits long delays better (Wixted and Ebbesen 1991, Psychological
//!   Science 2, 409-415, from memory).
//! - `unspaced`: exponential, and every success doubles the half life whenever it comes. Nothing speaks for gaps here but the words
//!   that they save.

use std::collections::BTreeMap;

use soundbead_data::course::{self, Choice, CourseWord, CourseWords, Sitting, WrittenTry, set, standing};

use super::hits::Hits;

/// Children of a row.
const CHILDREN: u64 = 200;
/// Half lives of a word just learned, in days: a child that forgets soon, and one that keeps longer (ours).
const HALF_LIVES: [f64; 2] = [3.0, 5.0];
/// Days with lessons: two of three, up to this day; and the day on which is looked at what is known, a month later.
const LAST_LESSON: i64 = 60;
const LOOKED_AT: i64 = 90;
/// A word that was missed is half forgotten, but never worse than this many days of half life.
const LEAST: f64 = 1.5;

/// How recall falls and what a success does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Forgetting {
    /// See the top of the file.
    Exponential,
    /// See the top of the file.
    Power,
    /// See the top of the file.
    Unspaced,
}

/// Which words are written in a lesson.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PracticeWay {
    /// Those that are due ([`course::due`]).
    Due,
    /// All that were learned, in every so many lessons.
    All(usize),
    /// All that were learned in turn, so many a lesson on average.
    InTurn(f64),
}

/// When words are learned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Learning {
    /// Twelve on the first day.
    Once,
    /// Six every week, as a week's proposal has them.
    Weekly,
}

/// What some children knew in the end, and what they wrote for it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Kept {
    /// Words known.
    pub known: Hits,
    /// Words written in lessons.
    pub written: usize,
}

/// Random numbers of a seed (SplitMix64; Steele, Lea and Flood 2014), so that the children are the same on every run.
struct CourseDice(u64);

impl CourseDice {
    /// Evenly from 0 to 1.
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        // 53 bits are what a float holds.
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// What a child remembers of a word.
struct Memory {
    half_life: f64,
    last: i64,
    model: Forgetting,
}

impl Memory {
    fn recall(&self, day: i64) -> f64 {
        let gone = (day - self.last) as f64 / self.half_life;
        match self.model {
            Forgetting::Power => 1.0 / (1.0 + gone),
            Forgetting::Exponential | Forgetting::Unspaced => 0.5_f64.powf(gone),
        }
    }

    fn write(&mut self, day: i64, right: bool) {
        let gone = (day - self.last) as f64 / self.half_life;
        self.half_life *= match (right, self.model) {
            (false, _) => 0.5,
            (true, Forgetting::Unspaced) => 2.0,
            (true, _) => 1.0 + (2.0 * gone).min(1.0),
        };
        self.half_life = self.half_life.max(LEAST);
        self.last = day;
    }
}

/// One child's words over the days.
struct SimulatedLearner {
    dice: CourseDice,
    memories: BTreeMap<String, Memory>,
    tries: Vec<WrittenTry>,
    written: usize,
    /// Words that the turn still owes, and the word it stands at.
    owed: f64,
    turn: usize,
}

impl SimulatedLearner {
    fn learn(&mut self, day: i64, (half_life, model): (f64, Forgetting), count: usize) {
        for _ in 0..count {
            let word = format!("word{:03}", self.memories.len());
            self.memories.insert(
                word.clone(),
                Memory {
                    half_life,
                    last: day,
                    model,
                },
            );
            self.tries.push(tried(day, word, false));
        }
    }

    /// The words of a lesson.
    fn words(&mut self, day: i64, lesson: usize, way: PracticeWay) -> Vec<String> {
        let all: Vec<String> = self.memories.keys().cloned().collect();
        match way {
            PracticeWay::Due => course::due(&self.tries, day),
            PracticeWay::All(every) if lesson.is_multiple_of(every) => all,
            PracticeWay::All(_) => Vec::new(),
            PracticeWay::InTurn(each) => {
                self.owed += each;
                // No word twice in a lesson.
                let count = (self.owed as usize).min(all.len());
                self.owed -= count as f64;
                let first = self.turn;
                self.turn += count;
                (first..first + count).map(|at| all[at % all.len()].clone()).collect()
            }
        }
    }

    fn lesson(&mut self, day: i64, lesson: usize, way: PracticeWay) {
        for word in self.words(day, lesson, way) {
            let memory = self.memories.get_mut(&word).expect("it was learned");
            let right = self.dice.roll() < memory.recall(day);
            memory.write(day, right);
            self.written += 1;
            self.tries.push(tried(day, word, right));
        }
    }
}

fn tried(day: i64, word: String, right: bool) -> WrittenTry {
    WrittenTry {
        day,
        word,
        kept: vec![(Choice::ShortVowel, right)],
    }
}

/// Sixty days of many children.
pub fn sixty_days(learning: Learning, half_life: f64, model: Forgetting, way: PracticeWay) -> Kept {
    let mut kept = Kept::default();
    for seed in 0..CHILDREN {
        let mut child = SimulatedLearner {
            dice: CourseDice(seed),
            memories: BTreeMap::new(),
            tries: Vec::new(),
            written: 0,
            owed: 0.0,
            turn: 0,
        };
        let mut lesson = 0;
        for day in 0..=LAST_LESSON {
            match learning {
                Learning::Once if day == 0 => child.learn(0, (half_life, model), 12),
                Learning::Weekly if day % 7 == 0 => child.learn(day, (half_life, model), 6),
                _ => {}
            }
            if day % 3 != 0 {
                lesson += 1;
                child.lesson(day, lesson, way);
            }
        }
        let known = child.memories.values().map(|m| m.recall(LOOKED_AT)).sum::<f64>();
        kept.known.add(known.round() as usize, child.memories.len());
        kept.written += child.written;
    }
    kept
}

/// The pace, in words a lesson, at which words in turn come to what `reaches`; a pace is found to a hundredth of a word.
fn pace(learning: Learning, half_life: f64, model: Forgetting, reaches: impl Fn(Kept) -> bool) -> Option<f64> {
    let at = |pace: f64| sixty_days(learning, half_life, model, PracticeWay::InTurn(pace));
    let (mut low, mut high) = (0.0, 60.0);
    if !reaches(at(high)) {
        return None;
    }
    while high - low > 0.01 {
        let middle = (low + high) / 2.0;
        if reaches(at(middle)) {
            high = middle
        } else {
            low = middle
        }
    }
    Some(high)
}

/// Prints the figures of standing and of review.
pub fn run() {
    sitting();
    for learning in [Learning::Once, Learning::Weekly] {
        let told = match learning {
            Learning::Once => "twelve words learned on the first day",
            Learning::Weekly => "six words learned every week",
        };
        println!("review, {told}; lessons on two of three days for {LAST_LESSON} days, known on day {LOOKED_AT}:");
        for model in [Forgetting::Exponential, Forgetting::Power, Forgetting::Unspaced] {
            for half_life in HALF_LIVES {
                review(learning, half_life, model);
            }
        }
    }
}

/// One child's kind: review, drilling all, and both comparisons.
fn review(learning: Learning, half_life: f64, model: Forgetting) {
    let of = |way| sixty_days(learning, half_life, model, way);
    let shown = |kept: Kept| {
        format!(
            "{:.1} % kept, {:.1} words a child",
            100.0 * kept.known.share(),
            kept.written as f64 / CHILDREN as f64
        )
    };
    let due = of(PracticeWay::Due);
    println!("  {model:?}, half life {half_life} days");
    println!("    due, at growing gaps          {}", shown(due));
    for (name, every) in [
        ("every lesson", 1),
        ("every third lesson", 3),
        ("every sixth lesson", 6),
    ] {
        println!("    all in {name:<23}{}", shown(of(PracticeWay::All(every))));
    }
    let same = pace(learning, half_life, model, |kept| kept.written >= due.written);
    if let Some(same) = same {
        println!(
            "    all in turn, as many words    {}",
            shown(of(PracticeWay::InTurn(same)))
        );
    }
    match pace(learning, half_life, model, |kept| {
        kept.known.share() >= due.known.share()
    }) {
        Some(same) => println!(
            "    all in turn, as much kept     {}",
            shown(of(PracticeWay::InTurn(same)))
        ),
        None => println!("    all in turn, as much kept     not at any number of words"),
    }
}

/// A child who keeps each choice with a chance of its own.
struct Writer {
    chances: Vec<f64>,
    dice: CourseDice,
}

impl Writer {
    fn new(seed: u64) -> Writer {
        let mut dice = CourseDice(seed);
        let chances = Choice::ALL.iter().map(|_| dice.roll()).collect();
        Writer { chances, dice }
    }

    fn writes(&mut self, entry: &CourseWord) -> WrittenTry {
        let mut kept = |choice: Choice| self.dice.roll() < self.chances[choice.index()];
        WrittenTry {
            day: 0,
            word: entry.word.clone(),
            kept: entry.met.iter().map(|(choice, _)| (*choice, kept(*choice))).collect(),
        }
    }
}

/// How many words a sitting takes, whether the true shares lie in their intervals, and how true "about so many to come" is.
fn sitting() {
    let words = set(CourseWords::builtin(), 0);
    let (mut within, mut asked, mut off, mut bias, mut told) = (Hits::default(), 0, 0.0, 0.0, 0);
    for seed in 0..CHILDREN {
        let mut child = Writer::new(seed);
        let mut sitting = Sitting::new(words.clone());
        let mut abouts = Vec::new();
        while let Some(entry) = sitting.next_word() {
            abouts.push(sitting.about_left());
            let tried = child.writes(entry);
            sitting.take(tried);
        }
        let all = sitting.tries().len();
        asked += all;
        for (at, about) in abouts.into_iter().enumerate() {
            let error = about as f64 - (all - at) as f64;
            (off, bias, told) = (off + error.abs(), bias + error, told + 1);
        }
        for at in standing(sitting.tries()) {
            let Some(share) = at.share else { continue };
            let truth = child.chances[at.choice.index()];
            within.add(usize::from((share.low..=share.high).contains(&truth)), 1);
        }
    }
    println!("standing: true shares within their 95 % intervals {}", within.shown());
    println!(
        "standing: words asked {:.1} of {} on average",
        asked as f64 / CHILDREN as f64,
        words.len()
    );
    println!(
        "standing: words to come, told and true: {:.1} apart on average, {:+.1} with its sign",
        off / told as f64,
        bias / told as f64
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is recalled after a half life is one in two by every model, and more words written never keep less by much.
    #[test]
    fn the_models_forget_as_they_say() {
        for model in [Forgetting::Exponential, Forgetting::Power, Forgetting::Unspaced] {
            let memory = Memory {
                half_life: 4.0,
                last: 10,
                model,
            };
            assert!((memory.recall(14) - 0.5).abs() < 1e-12 && memory.recall(10) == 1.0);
        }
    }

    #[test]
    fn words_in_turn_come_at_their_pace_and_none_twice_in_a_lesson() {
        let kept = sixty_days(Learning::Once, 3.0, Forgetting::Exponential, PracticeWay::InTurn(2.5));
        // 40 lessons of two and a half words.
        assert_eq!(kept.written, 100 * CHILDREN as usize);
        let all = sixty_days(Learning::Once, 3.0, Forgetting::Exponential, PracticeWay::InTurn(60.0));
        assert_eq!(all.written, 12 * 40 * CHILDREN as usize);
    }
}
