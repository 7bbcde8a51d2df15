//! Miscounts that have one cause: found by a stated test on words, not by eye.
//!
//! Each cause says which words it touches and which counts would follow from it. Words are the evidence, not tries: a word that
//! was counted wrong fourteen times is one word. Each weighs once, with the share of its tries. A cause is looked for in
//! stretches of two months, and is called a pattern of a stretch where
//!
//! - it touches [`LEAST_WORDS`] different words or more, tried [`LEAST_ATTEMPTS`] times or more, and there are as many tries
//!   without any cause of its side to compare with;
//! - three words or more show it ([`LEAST_SEEN`]) in half of their tries;
//! - chance would put so many of these miscounts on its words seldom enough, both held against words that no cause of that side
//!   touches ([`tail::fisher`]) and after what the words' length and the other causes explain, all estimated together
//!   ([`fit::beside`]).
//!
//! "Seldom enough" is [`FALSE_ALARMS`] for all causes and all stretches together (Holm 1979). Of 100 learners without any pattern
//! one at most is said to have one: `measure patterns` holds that in simulation.
//!
//! Who counts letters counts silent and doubled letters and teams alike; who takes any cluster as one, those with nasals and
//! liquids too. So these two ([`Cause::parts`]) are found only where two of their parts or more were tried and none is clearly
//! rarer than the rest; what they explain is then set aside for all other causes.

mod cause;
mod counted;
pub mod fit;
mod rest;
mod shape;
pub mod tail;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use serde::Serialize;

pub use cause::Cause;
use counted::{ByWord, CountsInTime};
pub use counted::{CountedAlike, FALSE_ALARMS, LEAST_ATTEMPTS, LEAST_SEEN, LEAST_WORDS, Month};
pub use rest::{SoundRest, sounds};
pub use shape::{AskedWord, WordShape};

use crate::share::Share;

/// Fewest words of a part that can speak against the whole.
const PART_WORDS: usize = 3;
/// How seldom by chance a part is as rare as it is, for it to speak against the whole: the usual 1 in 20.
const CLEARLY: f64 = 0.05;
/// Most words that are named as evidence.
const NAMED: usize = 8;

/// What may be said of a cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Claim {
    /// It is a pattern.
    Found,
    /// What there is does not show one.
    NotShown,
    /// There is too little to say.
    TooLittle,
}

/// One cause, and what speaks for it in the latest two months.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pattern {
    /// The cause.
    pub cause: Cause,
    /// What may be said of it.
    pub claim: Claim,
    /// Attempts that were counted as the cause would have it, of all attempts at words that it touches.
    pub share: Share,
    /// Attempts that missed to the same side, of all at words that no cause of that side touches.
    pub background: Share,
    /// Different words that it touches and that were tried.
    pub words: usize,
    /// Of them, those that were counted as it would have it in half of their tries or more.
    pub seen: usize,
    /// Words that were counted as it would have it, and how often; those where it was so most regularly first.
    pub evidence: Vec<(String, u64)>,
    /// Where it is not found now, but was before.
    pub before: Option<Before>,
}

/// A pattern that was found before the latest two months.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Before {
    /// The last month in which it was seen then.
    pub until: Month,
    /// Different words that it touches and that were tried in those two months.
    pub words: usize,
    /// Of them, those that showed it.
    pub seen: usize,
    /// Words that showed it, and how often.
    pub evidence: Vec<(String, u64)>,
    /// Different words that it touches and that were tried since.
    pub words_since: usize,
    /// Of them, those that were counted so at all.
    pub seen_since: usize,
}

/// One cause in one stretch.
struct Look<'a> {
    touched: ByWord<'a>,
    background: Share,
    enough: bool,
    /// How seldom chance would do as much.
    chance: f64,
}

/// Looks at every cause; those found come first, the surest first, then those that were found before. `latest` is the month up to
/// which there are attempts, counted or not: what was found and has no counts in the two months up to it is past. None where that
/// is the last month with a count.
pub fn patterns(shapes: &[WordShape], counts: &[CountedAlike], latest: Option<Month>) -> Vec<Pattern> {
    let causes: BTreeSet<Cause> = shapes.iter().flat_map(|s| s.astray.iter().map(|(c, _)| *c)).collect();
    let causes: Vec<Cause> = causes.into_iter().collect();
    let stretches = CountsInTime::stretches(shapes, counts, latest);
    // Where nothing was counted that the words' shapes speak of, nothing can be said.
    if stretches.iter().all(|s| s.pairs().next().is_none()) {
        return Vec::new();
    }
    let claims = claims(&stretches, &causes);
    let told = causes.iter().enumerate();
    let mut all: Vec<(f64, Pattern)> = told.map(|(at, cause)| tell(*cause, at, &stretches, &claims)).collect();
    let rank = |p: &Pattern| (p.claim != Claim::Found, p.before.is_none(), p.claim == Claim::TooLittle);
    all.sort_by(|a, b| rank(&a.1).cmp(&rank(&b.1)).then(a.0.total_cmp(&b.0)));
    all.into_iter().map(|(_, pattern)| pattern).collect()
}

/// What is claimed of each cause in each stretch, and what was looked at.
fn claims<'a>(stretches: &[CountsInTime<'a>], causes: &[Cause]) -> Vec<Vec<(Claim, Look<'a>)>> {
    let first: Vec<Vec<Look>> = stretches
        .iter()
        .map(|s| causes.iter().map(|c| look(s, *c, &[])).collect())
        .collect();
    let asked = first.iter().flatten().filter(|l| l.enough).count().max(1);
    let mut looked = Vec::new();
    for (stretch, first) in stretches.iter().zip(first) {
        let wholes = causes.iter().zip(&first).filter(|(c, _)| !c.parts().is_empty());
        let clear = |l: &Look| l.enough && l.touched.seen() >= LEAST_SEEN && l.chance <= FALSE_ALARMS / asked as f64;
        let found = wholes.filter(|(c, l)| clear(l) && is_whole(stretch, **c) == Some(true));
        let aside: Vec<Cause> = found.map(|(c, _)| *c).collect();
        looked.push((aside, first));
    }
    let stretches = stretches.iter().zip(looked);
    let again: Vec<Vec<(Claim, Look)>> = stretches
        .map(|(s, (aside, first))| again(s, causes, &aside, first))
        .collect();
    settle(causes, again)
}

/// Looks once more where something is set aside. A whole is settled here; all others wait for [`settle`].
fn again<'a>(
    stretch: &CountsInTime<'a>,
    causes: &[Cause],
    aside: &[Cause],
    first: Vec<Look<'a>>,
) -> Vec<(Claim, Look<'a>)> {
    let one = |(cause, first): (&Cause, Look<'a>)| {
        let claim = match (aside.contains(cause), cause.parts().is_empty()) {
            (true, _) => return (Claim::Found, first),
            (_, false) if is_whole(stretch, *cause).is_none() || !first.enough => return (Claim::TooLittle, first),
            (_, false) => return (Claim::NotShown, first),
            _ => Claim::NotShown,
        };
        (
            claim,
            if aside.is_empty() {
                first
            } else {
                look(stretch, *cause, aside)
            },
        )
    };
    causes.iter().zip(first).map(one).collect()
}

/// Claims what is seldom enough by chance, over all causes and stretches. Wholes are settled already, but were asked about.
fn settle<'a>(causes: &[Cause], mut all: Vec<Vec<(Claim, Look<'a>)>>) -> Vec<Vec<(Claim, Look<'a>)>> {
    let single: Vec<bool> = all.iter().flat_map(|_| causes).map(|c| c.parts().is_empty()).collect();
    let chances: Vec<Option<f64>> = all
        .iter()
        .flatten()
        .map(|(_, l)| l.enough.then_some(l.chance))
        .collect();
    let asked: Vec<f64> = chances.iter().flatten().copied().collect();
    let mut held = tail::held(&asked, FALSE_ALARMS).into_iter();
    for (((claim, look), single), chance) in all.iter_mut().flatten().zip(single).zip(chances) {
        let held = chance.is_some() && held.next() == Some(true);
        if !look.enough && *claim != Claim::Found {
            *claim = Claim::TooLittle;
        } else if single && held && look.touched.seen() >= LEAST_SEEN {
            *claim = Claim::Found;
        }
    }
    all
}

/// Whether the parts of a cause are all alike; none where fewer than two were tried.
fn is_whole(stretch: &CountsInTime, cause: Cause) -> Option<bool> {
    let parts: Vec<ByWord> = cause.parts().iter().map(|part| stretch.touched(*part, &[])).collect();
    let tried: Vec<&ByWord> = parts.iter().filter(|p| p.words.len() >= PART_WORDS).collect();
    let rarer = |part: &&&ByWord| {
        let mut rest = tail::WordSum::default();
        for other in tried.iter().filter(|other| !std::ptr::eq(**other, **part)) {
            let only = other.words.iter().filter(|(word, _)| !part.words.contains_key(*word));
            only.for_each(|(_, share)| rest.put(share.value().unwrap_or(0.0)));
        }
        rest.of > 0 && tail::fisher_few(part.sum(), rest) < CLEARLY
    };
    (tried.len() >= 2).then(|| !tried.iter().any(|part| rarer(&part)))
}

fn look<'a>(stretch: &CountsInTime<'a>, cause: Cause, aside: &[Cause]) -> Look<'a> {
    let side = stretch.side(cause);
    let (touched, plain) = (stretch.touched(cause, aside), stretch.plain(side));
    let (tries, background) = (touched.tries(), plain.tries());
    let enough = tries.of >= LEAST_ATTEMPTS && touched.words.len() >= LEAST_WORDS && background.of >= LEAST_ATTEMPTS;
    let against = tail::fisher(touched.sum(), plain.sum());
    // The joint estimate takes longer, and cannot make a cause surer.
    let chance = match enough && against <= FALSE_ALARMS {
        true => against.max(rest::of_cause(stretch, cause, side, aside)),
        false => against,
    };
    Look {
        touched,
        background,
        enough,
        chance,
    }
}

/// One cause in words and figures, with how seldom chance would do as much.
fn tell(cause: Cause, at: usize, stretches: &[CountsInTime], claims: &[Vec<(Claim, Look)>]) -> (f64, Pattern) {
    let (claim, now) = &claims[0][at];
    let before = match claim {
        Claim::Found => None,
        _ => before(cause, at, stretches, claims),
    };
    let mut evidence = now.touched.evidence();
    evidence.truncate(NAMED);
    let pattern = Pattern {
        cause,
        claim: *claim,
        share: now.touched.tries(),
        background: now.background,
        words: now.touched.words.len(),
        seen: now.touched.seen(),
        evidence,
        before,
    };
    (now.chance, pattern)
}

/// The latest stretch in which it was found, and what came since.
fn before(cause: Cause, at: usize, stretches: &[CountsInTime], claims: &[Vec<(Claim, Look)>]) -> Option<Before> {
    let then = claims.iter().position(|c| c[at].0 == Claim::Found)?;
    let touched = &claims[then][at].1.touched;
    let hit = |shape: &WordShape, child: u16| shape.by(cause).is_some_and(|counts| counts.contains(&child));
    let (mut words, mut seen) = (BTreeSet::new(), BTreeSet::new());
    for since in &claims[..then] {
        words.extend(since[at].1.touched.words.keys().copied());
        let hits = since[at].1.touched.words.iter().filter(|(_, s)| s.hits > 0);
        seen.extend(hits.map(|(word, _)| *word));
    }
    let mut evidence = touched.evidence();
    evidence.truncate(NAMED);
    Some(Before {
        until: stretches[then].last_month(hit)?,
        words: touched.words.len(),
        seen: touched.seen(),
        evidence,
        words_since: words.len(),
        seen_since: seen.len(),
    })
}
