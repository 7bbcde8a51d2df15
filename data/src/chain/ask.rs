//! Asking the graph for chains, and what is answered.

use std::fmt;

use super::graph::Graph;
use super::letters::{LetterChange, letters, over_units};
use super::limits::{Limit, Limits};
use super::search::Net;
use super::{Change, Unit, difference_in_units};
use crate::lexicon::Pronunciation;
use crate::word::{self, Source};

/// Words from which a practice chain without a first word is tried.
const OPENINGS: usize = 20;

/// One word of a chain, and how it came from the word before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChainStep {
    /// The spelling shown.
    pub word: String,
    /// How it is meant to be said.
    pub said: Pronunciation,
    /// Its counted sounds.
    pub units: Vec<Unit>,
    /// Other words of the list that are said the same, commonest first.
    pub also: Vec<String>,
    /// How many ways there are of saying this spelling; `said` is one of them.
    pub ways: usize,
    /// How its sounds are known.
    pub source: Source,
    /// The change from the word before; `None` for the first word.
    pub change: Option<Change>,
    /// What the change does to the letters; `None` for the first word.
    pub letters: Option<LetterChange>,
}

/// Words, each one sound from the one before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chain {
    /// At least one word.
    pub steps: Vec<ChainStep>,
}

impl Chain {
    /// What step `at` changes in letters; `None` for the first word.
    pub fn letters(&self, at: usize) -> Option<LetterChange> {
        self.steps.get(at)?.letters.clone()
    }
}

/// Why there is no such chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// The text is no word.
    NoWord(word::WordError),
    /// The two words are said alike.
    Alike,
    /// A word asked for does not itself keep a limit.
    Breaks(String, Limit),
    /// No word of the list is one sound from this one.
    Alone(String),
    /// No way leads from one to the other, limits or not.
    Apart,
    /// The limits cut every way; without this one there would be a chain.
    Cut(Option<Limit>),
    /// There is a chain, but it takes at least this many words.
    Longer(usize),
    /// No chain of so many words exists under the limits.
    NotSoMany,
    /// None was found in the time that a search may take; there may be one.
    GaveUp,
    /// No word keeps the limits.
    Nothing,
}

/// There is no such chain: why, and the nearest there is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoChain {
    /// Why.
    pub why: Why,
    /// The nearest chain that exists, if any.
    pub nearest: Option<Chain>,
    /// In what it is not what was asked.
    pub nearest_is: String,
}

impl NoChain {
    fn bare(why: Why) -> NoChain {
        NoChain {
            why,
            nearest: None,
            nearest_is: String::new(),
        }
    }

    fn near(why: Why, nearest: Option<Chain>, nearest_is: impl Into<String>) -> NoChain {
        NoChain {
            why,
            nearest,
            nearest_is: nearest_is.into(),
        }
    }
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Why::NoWord(error) => write!(f, "{error}"),
            Why::Alike => f.write_str("the two words are said alike, so no sound changes between them"),
            Why::Breaks(word, limit) => write!(f, "`{word}` itself does not keep the limit on {limit}"),
            Why::Alone(word) => write!(f, "no word of the list is one sound from `{word}`"),
            Why::Apart => f.write_str("no way of one-sound changes leads from the one word to the other"),
            Why::Cut(Some(limit)) => write!(f, "the limit on {limit} leaves no way"),
            Why::Cut(None) => f.write_str("the limits together leave no way"),
            Why::Longer(words) => write!(f, "the shortest chain has {words} words"),
            Why::NotSoMany => f.write_str("no chain under these limits has so many words"),
            Why::GaveUp => f.write_str("no chain of so many words was found in the time a search may take"),
            Why::Nothing => f.write_str("no word keeps these limits"),
        }
    }
}

impl fmt::Display for NoChain {
    /// One line: why, and the nearest.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.why)?;
        let Some(nearest) = &self.nearest else { return Ok(()) };
        let words: Vec<&str> = nearest.steps.iter().map(|s| s.word.as_str()).collect();
        write!(f, "; nearest, {}: {}", self.nearest_is, words.join(" "))
    }
}

impl std::error::Error for NoChain {}

impl Graph {
    /// A shortest chain from `from` to `to`, both of which may be words that the list lacks.
    ///
    /// Where there are several, `seed` 0 takes the commonest words, any other draws among them. Takes some milliseconds.
    ///
    /// # Errors
    /// When there is none: why, and the nearest there is.
    pub fn shortest(&self, from: &str, to: &str, limits: &Limits, seed: u64) -> Result<Chain, NoChain> {
        let mut net = Net::new(self, limits, seed);
        let (from, to) = (spelled(from)?, spelled(to)?);
        let (starts, ends) = ends(&mut net, &from, &to).map_err(|e| self.eased(e, &from, &to, limits))?;
        let far = net.distances(&ends, true);
        match net.descend(&starts, &far, seed != 0) {
            Some(path) => Ok(finish(&net, &path, &from, Some(&to))),
            None => Err(self.no_way(net, (&from, &starts), (&to, &ends))),
        }
    }

    /// A chain of exactly `words` words, none twice, from `from` to `to`.
    ///
    /// # Errors
    /// As [`Graph::shortest`]; and when the shortest is longer, or none of that length is found.
    pub fn exact(&self, from: &str, to: &str, words: usize, limits: &Limits, seed: u64) -> Result<Chain, NoChain> {
        let shortest = self.shortest(from, to, limits, seed)?;
        if shortest.steps.len() > words {
            let why = Why::Longer(shortest.steps.len());
            return Err(NoChain::near(why, Some(shortest), "of that many words"));
        }
        let mut net = Net::new(self, limits, seed);
        let (from, to) = (spelled(from)?, spelled(to)?);
        let (starts, ends) = ends(&mut net, &from, &to)?;
        let far = net.distances(&ends, true);
        let walk = net.walk(&starts, words, Some(&far));
        if walk.path.is_empty() {
            let why = if walk.left == 0 { Why::GaveUp } else { Why::NotSoMany };
            return Err(NoChain::near(why, Some(shortest), "the shortest"));
        }
        Ok(finish(&net, &walk.path, &from, Some(&to)))
    }

    /// A chain of exactly `words` words, none twice, from `from`, or from a word that `seed` picks.
    ///
    /// With contrasts, every other step swaps the sounds of one, or every third where that cannot be.
    ///
    /// # Errors
    /// When none is found: why, and the longest that was.
    pub fn practice(&self, from: Option<&str>, words: usize, limits: &Limits, seed: u64) -> Result<Chain, NoChain> {
        let mut net = Net::new(self, limits, seed);
        let from = from.map(spelled).transpose()?;
        let starts = match &from {
            Some(word) => {
                let nodes = net.enter(word);
                kept(&net, word, nodes)?
            }
            None => self.openings(&mut net, seed),
        };
        let walk = net.walk(&starts, words, None);
        let word = from.as_deref().unwrap_or("");
        if !walk.path.is_empty() {
            return Ok(finish(&net, &walk.path, word, None));
        }
        let longest = (!walk.longest.is_empty()).then(|| finish(&net, &walk.longest, word, None));
        let why = match &longest {
            None => Why::Nothing,
            Some(chain) if chain.steps.len() == 1 && limits.is_empty() => Why::Alone(chain.steps[0].word.clone()),
            Some(_) if walk.left == 0 => Why::GaveUp,
            Some(_) => Why::NotSoMany,
        };
        Err(NoChain::near(why, longest, "the longest"))
    }

    /// Where a word itself breaks a limit: the chain without that limit is the nearest.
    fn eased(&self, none: NoChain, from: &str, to: &str, limits: &Limits) -> NoChain {
        match none.why {
            Why::Breaks(_, limit) => {
                let nearest = self.shortest(from, to, &limits.without(limit), 0).ok();
                NoChain::near(none.why, nearest, format!("without the limit on {limit}"))
            }
            _ => none,
        }
    }

    /// Some words to start from, drawn by commonness; with contrasts, words from which one can be practiced.
    fn openings(&self, net: &mut Net<'_>, seed: u64) -> Vec<u32> {
        let draw = |node: u32| (super::graph::mix(seed ^ u64::from(node)) >> 40) as f32 / (1 << 24) as f32;
        // Between 0 and 3 on the Zipf scale: of the words that are not rare any may begin.
        let rate = |node: u32| self.spelled_of(node)[0].worth().min(4.5) + draw(node) * 3.0;
        let mut rated: Vec<(f32, u32)> = (0..self.len() as u32).map(|node| (rate(node), node)).collect();
        rated.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
        let mut openings = Vec::new();
        for (_, node) in rated {
            if leads(net, node) && net.allows(node) {
                openings.push(node);
            }
            if openings.len() == OPENINGS {
                break;
            }
        }
        openings
    }

    /// Why there is no way between two words, and the nearest chain.
    fn no_way(&self, net: Net<'_>, (from, starts): (&str, &[u32]), (to, ends): (&str, &[u32])) -> NoChain {
        let limits = net.limits;
        for limit in Limit::ALL.into_iter().filter(|l| limits.has(*l)) {
            if let Ok(chain) = self.shortest(from, to, &limits.without(limit), 0) {
                return NoChain::near(
                    Why::Cut(Some(limit)),
                    Some(chain),
                    format!("without the limit on {limit}"),
                );
            }
        }
        if !limits.is_empty()
            && let Ok(chain) = self.shortest(from, to, &Limits::default(), 0)
        {
            return NoChain::near(Why::Cut(None), Some(chain), "without limits");
        }
        let alone = |nodes: &[u32]| nodes.iter().all(|&n| net.all_edges(n).next().is_none());
        let why = match (alone(starts), alone(ends)) {
            (true, _) => Why::Alone(from.to_owned()),
            (_, true) => Why::Alone(to.to_owned()),
            _ => Why::Apart,
        };
        let nearest = toward(net, from, starts, ends);
        NoChain::near(why, nearest, format!("toward `{to}`"))
    }
}

/// Whether a step may be taken from `node`; with contrasts, one that practices them.
fn leads(net: &Net<'_>, node: u32) -> bool {
    let from = net.units(node);
    net.all_edges(node).any(|edge| {
        let to = net.units(edge.to);
        let wanted = !net.limits.practice_something() || net.limits.practices(from, to, edge);
        wanted && net.limits.step(from, to, edge)
    })
}

/// The chain from `from` to the reachable word whose sounds are nearest those of the target.
fn toward(mut net: Net<'_>, from: &str, starts: &[u32], ends: &[u32]) -> Option<Chain> {
    let far = net.distances(starts, false);
    let reached = (0..far.len() as u32).filter(|&n| far[n as usize] != u32::MAX);
    let apart = |n: u32| ends.iter().map(|&e| sounds_apart(net.units(n), net.units(e))).min();
    let best = reached.min_by_key(|&n| (apart(n), far[n as usize]))?;
    let back = net.distances(&[best], true);
    let path = net.descend(starts, &back, false)?;
    Some(finish(&net, &path, from, None))
}

/// Edit distance in sounds (Levenshtein 1966).
fn sounds_apart(a: &[Unit], b: &[Unit]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut corner = std::mem::replace(&mut row[0], i + 1);
        for (j, y) in b.iter().enumerate() {
            let swap = corner + usize::from(x != y);
            corner = row[j + 1];
            row[j + 1] = swap.min(row[j] + 1).min(corner + 1);
        }
    }
    row[b.len()]
}

fn spelled(text: &str) -> Result<String, NoChain> {
    word::normal(text).map_err(|e| NoChain::bare(Why::NoWord(e)))
}

/// The nodes to go from and to, apart from each other.
fn ends(net: &mut Net<'_>, from: &str, to: &str) -> Result<(Vec<u32>, Vec<u32>), NoChain> {
    let starts = net.enter(from);
    if from == to {
        return Ok((starts.clone(), starts));
    }
    let mut targets = net.enter(to);
    // Two words said alike in one of their ways: another of their ways may still be a chain away.
    targets.retain(|&t| !starts.iter().any(|&s| s == t || net.units(s) == net.units(t)));
    if targets.is_empty() {
        let chain = starts.first().map(|&node| finish(net, &[node], from, None));
        return Err(NoChain::near(Why::Alike, chain, "of one word"));
    }
    Ok((kept(net, from, starts)?, kept(net, to, targets)?))
}

/// The ways of saying `word` that keep the limits in its own spelling; an error when there is none.
fn kept(net: &Net<'_>, word: &str, nodes: Vec<u32>) -> Result<Vec<u32>, NoChain> {
    let first = nodes.first().copied();
    let (limits, mut fit) = (net.limits, nodes);
    fit.retain(|&node| {
        let own = net.spelled(node).iter().filter(|s| s.word == word);
        limits.broken_by(net.units(node)).is_none() && own.into_iter().any(|s| net.fits(s))
    });
    if !fit.is_empty() {
        return Ok(fit);
    }
    let broken = first.and_then(|node| limits.broken_by(net.units(node)));
    let spelled = |node| net.spelled(node).iter().find(|s| s.word == word);
    let unspelled = || {
        first
            .and_then(spelled)
            .map_or(Limit::Spellings, |s| limits.unspelled_by(s, net.graph.rules().fire))
    };
    let limit = broken.unwrap_or_else(unspelled);
    Err(NoChain::bare(Why::Breaks(word.to_owned(), limit)))
}

/// The path as words; the first and last under the spellings asked for, where they have them.
fn finish(net: &Net<'_>, path: &[u32], from: &str, to: Option<&str>) -> Chain {
    let last = path.len() - 1;
    let step = |(at, &node): (usize, &u32)| {
        let asked = match at {
            0 => Some(from),
            at if at == last => to,
            _ => None,
        };
        step(net, node, asked, at.checked_sub(1).map(|before| path[before]))
    };
    let mut steps: Vec<ChainStep> = path.iter().enumerate().map(step).collect();
    for at in 1..steps.len() {
        let over = |step: &ChainStep| over_units(&step.word, &step.said, &step.units);
        let (was, is) = (over(&steps[at - 1]), over(&steps[at]));
        steps[at].letters = steps[at].change.map(|change| letters(&change, was, is));
    }
    Chain { steps }
}

fn step(net: &Net<'_>, node: u32, asked: Option<&str>, before: Option<u32>) -> ChainStep {
    let all = net.spelled(node);
    let wanted = asked.and_then(|word| all.iter().find(|s| s.word == word));
    let face = wanted.or_else(|| all.iter().find(|s| net.fits(s))).unwrap_or(&all[0]);
    let others = all.iter().filter(|s| s.word != face.word && net.fits(s));
    let source = word::find(&face.word, &net.graph.list().overrides).map_or(Source::Guess, |w| w.source);
    ChainStep {
        word: face.word.clone().into_owned(),
        said: face.said.clone(),
        units: net.units(node).to_vec(),
        also: others.map(|s| s.word.clone().into_owned()).collect(),
        ways: face.ways,
        source,
        change: before.and_then(|b| difference_in_units(net.units(b), net.units(node))),
        letters: None,
    }
}
