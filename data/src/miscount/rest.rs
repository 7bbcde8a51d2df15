//! What remains of a cause or a sound when the words' length and what else touches them is taken into account.

use std::collections::BTreeMap;

use serde::Serialize;

use super::cause::Cause;
use super::counted::{CountedAlike, CountsInTime, FALSE_ALARMS, LEAST_ATTEMPTS, LEAST_SEEN, LEAST_WORDS, Month, Side};
use super::fit::{self, Alike, EffectFit};
use super::shape::WordShape;
use super::tail::{self, WordSum};
use crate::chain::Unit;

/// Most effects that are estimated beside the length of words: as many as there are bits.
const MOST: usize = 120;

/// The single causes that touch a word here, but for `cause` and what it is made of or belongs to.
fn others(stretch: &CountsInTime, cause: Option<Cause>, side: Option<Side>) -> Vec<Cause> {
    let mut all: Vec<Cause> = stretch
        .pairs()
        .flat_map(|(_, s)| s.astray.iter().map(|(c, _)| *c))
        .collect();
    all.sort();
    all.dedup();
    all.retain(|c| {
        let own = cause.is_some_and(|own| own == *c || own.parts().contains(c));
        c.parts().is_empty() && !own && side.is_none_or(|side| stretch.side(*c) == side)
    });
    all.truncate(MOST);
    all
}

/// How seldom chance would do as much as a cause does beside the words' length and the other causes.
pub fn of_cause(stretch: &CountsInTime, cause: Cause, side: Side, aside: &[Cause]) -> f64 {
    let mut all = others(stretch, Some(cause), Some(side));
    all.push(cause);
    let (alike, _) = stretch.alike(&all, aside, |child, expected| side.missed(child, expected));
    fit::beside(&alike, all.len(), all.len() - 1)
}

/// A sound, and how the words with it were counted in the latest two months.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SoundRest {
    /// Which, in ARPAbet.
    #[serde(serialize_with = "as_text")]
    pub sound: Unit,
    /// Different words with it that were tried.
    pub words: usize,
    /// The mean share counted right, each word with weight 1, 0 to 1.
    pub right: f64,
    /// What that share would be by the words' length, the causes and the sounds found before it.
    pub expected: f64,
    /// Whether words with it are surely counted right less often than that.
    pub stands_out: bool,
    /// Words with it that were miscounted in half of their tries or more.
    pub missed: Vec<String>,
}

fn as_text<S: serde::Serializer>(unit: &Unit, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(unit)
}

/// Every word of a stretch as it is looked at here: the sounds that it has, its length, causes and share of misses.
struct Sounded<'a> {
    shape: &'a WordShape,
    tries: u64,
    longer: f64,
    touched: u128,
    misses: f64,
}

/// Every sound with enough words in the latest two months. Those that stand out come first: the surest, then what stands out beside
/// it, and so on; each is then part of what is expected of the next, so that sounds that go together are not all blamed.
/// `latest` is the month up to which there are attempts, counted or not; none where that is the last with a count.
pub fn sounds(shapes: &[WordShape], counts: &[CountedAlike], latest: Option<Month>) -> Vec<SoundRest> {
    let Some(stretch) = CountsInTime::stretches(shapes, counts, latest).into_iter().next() else {
        return Vec::new();
    };
    let causes = others(&stretch, None, None);
    let mut words = sounded(&stretch, &causes);
    let units = enough(&words);
    if units.is_empty() {
        return Vec::new();
    }
    // Every sound that is asked about counts, also those found before (Bonferroni).
    let limit = FALSE_ALARMS / units.len().max(1) as f64;
    let (mut found, mut all): (Vec<Unit>, Vec<SoundRest>) = (Vec::new(), Vec::new());
    while causes.len() + found.len() < MOST {
        let effects = causes.len() + found.len();
        let fit = EffectFit::of(&alike(&words, None), effects);
        let open = units.iter().filter(|u| !found.contains(u));
        let told: Vec<(f64, SoundRest)> = open.map(|unit| rest(&words, &fit, effects, limit, *unit)).collect();
        let surest = told
            .iter()
            .filter(|(p, rest)| *p <= limit && rest.missed.len() >= LEAST_SEEN);
        let Some((_, next)) = surest.min_by(|a, b| a.0.total_cmp(&b.0)) else {
            all.extend(told.into_iter().map(|(_, rest)| rest));
            break;
        };
        let bit = 1u128 << (causes.len() + found.len());
        let with = words.iter_mut().filter(|w| has(w.shape, next.sound));
        with.for_each(|w| w.touched |= bit);
        found.push(next.sound);
        all.push(SoundRest {
            stands_out: true,
            ..next.clone()
        });
    }
    all
}

fn has(shape: &WordShape, sound: Unit) -> bool {
    shape.units.iter().any(|(unit, _)| *unit == sound)
}

fn sounded<'a>(stretch: &CountsInTime<'a>, causes: &[Cause]) -> Vec<Sounded<'a>> {
    let (_, words) = stretch.alike(causes, &[], |child, expected| child != expected);
    let mut tries: BTreeMap<usize, u64> = BTreeMap::new();
    stretch
        .pairs()
        .for_each(|(row, _)| *tries.entry(row.shape).or_default() += row.attempts);
    let one = |(at, tries): (usize, u64)| {
        let look = words.get(&at)?;
        let shape = stretch.shape(at);
        Some(Sounded {
            shape,
            tries,
            longer: look.longer,
            touched: look.touched,
            misses: look.misses,
        })
    };
    tries.into_iter().filter_map(one).collect()
}

/// The sounds of which there is enough, and enough without them.
fn enough(words: &[Sounded]) -> Vec<Unit> {
    let mut all: Vec<Unit> = words
        .iter()
        .flat_map(|w| w.shape.units.iter().map(|(u, _)| *u))
        .collect();
    all.sort();
    all.dedup();
    all.retain(|unit| {
        let (with, without): (Vec<&Sounded>, Vec<&Sounded>) = words.iter().partition(|w| has(w.shape, *unit));
        let tries: u64 = with.iter().map(|w| w.tries).sum();
        with.len() >= LEAST_WORDS && tries >= LEAST_ATTEMPTS && without.len() >= LEAST_WORDS
    });
    all
}

/// Words put together with those that are alike; a sound's words are marked with a bit of their own, the first that is free.
fn alike(words: &[Sounded], marked: Option<(Unit, usize)>) -> Vec<Alike> {
    let mut cells: BTreeMap<(i64, u128), (f64, f64)> = BTreeMap::new();
    for w in words {
        let bit = marked.map_or(0, |(sound, at)| u128::from(has(w.shape, sound)) << at);
        let cell = cells.entry((w.longer as i64, w.touched | bit)).or_default();
        *cell = (cell.0 + w.misses, cell.1 + 1.0);
    }
    let made = |((longer, touched), (misses, words)): ((i64, u128), (f64, f64))| Alike {
        longer: longer as f64,
        touched,
        misses,
        words,
    };
    cells.into_iter().map(made).collect()
}

/// One sound against what is expected of its words, and how seldom chance would do as much.
fn rest(words: &[Sounded], fit: &EffectFit, effects: usize, limit: f64, sound: Unit) -> (f64, SoundRest) {
    let (with, without): (Vec<&Sounded>, Vec<&Sounded>) = words.iter().partition(|w| has(w.shape, sound));
    let sum = |group: &[&Sounded]| {
        let mut sum = WordSum::default();
        group.iter().for_each(|w| sum.put(w.misses));
        sum
    };
    let chances: Vec<f64> = with.iter().map(|w| fit.chance(w.longer, w.touched)).collect();
    let missed = with.iter().filter(|w| w.misses >= 0.5).map(|w| w.shape.word.clone());
    let own = sum(&with);
    let against = tail::fisher(own, sum(&without));
    // The joint estimate takes longer, and cannot make a sound surer.
    let chance = match against <= limit {
        true => against.max(fit::beside(&alike(words, Some((sound, effects))), effects + 1, effects)),
        false => against,
    };
    let rest = SoundRest {
        sound,
        words: with.len(),
        right: 1.0 - own.mean(),
        expected: 1.0 - chances.iter().sum::<f64>() / chances.len().max(1) as f64,
        stands_out: false,
        missed: missed.collect(),
    };
    (chance, rest)
}
