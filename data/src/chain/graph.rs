//! The graph of words one sound apart.

use std::borrow::Cow;
use std::collections::HashMap;

use super::words::{Listed, WordList};
use super::{ChangeKind, Place, Unit, difference_in_units, units};
use crate::lexicon::Pronunciation;
use crate::rule::CotCaught;
use crate::{Rules, Sound};

/// A row of counted sounds that some word of the list has: one node for all its spellings.
#[derive(Clone, Debug)]
struct Node {
    /// Where its units begin in [`Graph::units`].
    units: u32,
    /// Where its spellings begin in [`Graph::spelled`].
    spelled: u32,
    /// Where its edges begin in [`Graph::edges`].
    edges: u32,
}

/// A spelling, said in one way.
#[derive(Clone, Debug, PartialEq)]
pub struct SpelledWord {
    /// In small letters.
    pub word: Cow<'static, str>,
    /// How it is said here.
    pub said: Pronunciation,
    /// How common the word is; see [`crate::lexicon::Entry::zipf`].
    pub zipf: f32,
    /// Which of its ways of saying this is, from 0, in the dictionary's order.
    pub variant: usize,
    /// How many ways it is said, as the rules in force count sounds.
    pub ways: usize,
}

impl SpelledWord {
    /// How fit it is to stand for its sounds: common words first, a word's first way of saying before its others.
    pub(super) fn worth(&self) -> f32 {
        self.zipf - if self.variant > 0 { 4.0 } else { 0.0 }
    }
}

/// One step that can be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Edge {
    /// The node it leads to.
    pub to: u32,
    /// What it does.
    pub kind: ChangeKind,
    /// Number of the changed sound, as in [`super::Change::at`].
    pub at: u8,
}

/// Words one sound apart under the rules it was made with.
///
/// Making it takes a fraction of a second and a few megabytes; `cargo bench -p soundbead-data --bench chain` measures it.
#[derive(Clone, Debug)]
pub struct Graph {
    rules: Rules,
    list: WordList,
    nodes: Vec<Node>,
    units: Vec<Unit>,
    spelled: Vec<SpelledWord>,
    edges: Vec<Edge>,
    /// Nodes of each spelling.
    by_word: HashMap<Cow<'static, str>, Vec<u32>>,
}

impl Graph {
    /// Joins all words of `list` that are one counted sound apart.
    pub fn new(list: &WordList, rules: &Rules) -> Graph {
        let mut said: Vec<(Vec<Unit>, SpelledWord)> = Vec::new();
        for word in list.words() {
            said.extend(ways(word, rules));
        }
        said.sort_unstable_by(|(a, s), (b, t)| {
            a.cmp(b).then(t.worth().total_cmp(&s.worth())).then(s.word.cmp(&t.word))
        });
        let mut graph = Graph {
            rules: rules.clone(),
            list: list.clone(),
            nodes: Vec::new(),
            units: Vec::new(),
            spelled: Vec::with_capacity(said.len()),
            edges: Vec::new(),
            by_word: HashMap::with_capacity(said.len()),
        };
        for (units, spelled) in said {
            graph.push(&units, spelled);
        }
        graph.close();
        graph.join();
        graph
    }

    fn push(&mut self, units: &[Unit], spelled: SpelledWord) {
        let last = self.nodes.last().map(|n| &self.units[n.units as usize..]);
        if last != Some(units) {
            self.nodes.push(Node {
                units: self.units.len() as u32,
                spelled: self.spelled.len() as u32,
                edges: 0,
            });
            self.units.extend_from_slice(units);
        }
        let node = self.nodes.len() as u32 - 1;
        self.by_word.entry(spelled.word.clone()).or_default().push(node);
        self.spelled.push(spelled);
    }

    /// One node past the end, so that each node's parts end where the next one's begin.
    fn close(&mut self) {
        self.nodes.push(Node {
            units: self.units.len() as u32,
            spelled: self.spelled.len() as u32,
            edges: 0,
        });
    }

    /// Finds all pairs by their deletion neighbourhoods: words that become the same when one sound is taken out at the
    /// same place differ there alone; a word that becomes another has one sound more (Mor and Fraenkel 1982, *A hash code
    /// method for detecting and correcting spelling errors*, Communications of the ACM 25(12), 935-938).
    fn join(&mut self) {
        let whole: HashMap<u64, u32> = (0..self.len() as u32)
            .map(|n| (hash(self.units_of(n), usize::MAX), n))
            .collect();
        let mut pairs: Vec<(u32, Edge)> = Vec::new();
        let mut holes: Vec<(u64, u32)> = Vec::with_capacity(self.units.len());
        for node in 0..self.len() as u32 {
            let units = self.units_of(node);
            for at in 0..units.len() {
                let shorter = hash(units, at);
                holes.push((shorter ^ mix(at as u64 + 1), node));
                // Of equal neighbours the first stands for all, as in `difference`.
                let first = at == 0 || units[at] != units[at - 1];
                if let Some(&to) = whole.get(&shorter).filter(|_| first) {
                    pairs.extend(self.both_ways(node, to));
                }
            }
        }
        holes.sort_unstable();
        for same in holes.chunk_by(|a, b| a.0 == b.0) {
            for (i, &(_, a)) in same.iter().enumerate() {
                pairs.extend(same[i + 1..].iter().flat_map(|&(_, b)| self.both_ways(a, b)));
            }
        }
        self.store(pairs);
    }

    /// The edges between two nodes: two, or none when their hashes were alike by chance.
    fn both_ways(&self, a: u32, b: u32) -> impl Iterator<Item = (u32, Edge)> + use<> {
        let change = difference_in_units(self.units_of(a), self.units_of(b));
        let pair = change.map(|c| {
            let edge = |to, kind| Edge {
                to,
                kind,
                at: c.at as u8,
            };
            [(a, edge(b, c.kind)), (b, edge(a, c.kind.reversed()))]
        });
        pair.into_iter().flatten()
    }

    fn store(&mut self, mut pairs: Vec<(u32, Edge)>) {
        pairs.sort_unstable_by_key(|(from, edge)| (*from, edge.to));
        let mut next = 0;
        for (number, node) in self.nodes.iter_mut().enumerate() {
            node.edges = next as u32;
            next += pairs[next..]
                .iter()
                .take_while(|(from, _)| *from as usize == number)
                .count();
        }
        self.edges = pairs.into_iter().map(|(_, edge)| edge).collect();
    }

    /// The rules it was made with.
    pub fn rules(&self) -> &Rules {
        &self.rules
    }

    /// The words it was made from.
    pub fn list(&self) -> &WordList {
        &self.list
    }

    /// How many different rows of sounds there are.
    pub fn len(&self) -> usize {
        self.nodes.len() - 1
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// How many pairs of them are one sound apart.
    pub fn pairs(&self) -> usize {
        self.edges.len() / 2
    }

    /// Every spelling with each way of saying it, and its counted sounds.
    pub fn words(&self) -> impl Iterator<Item = (&SpelledWord, &[Unit])> {
        let nodes = 0..self.len() as u32;
        nodes.flat_map(move |n| self.spelled_of(n).iter().map(move |s| (s, self.units_of(n))))
    }

    /// The counted sounds of `word`, one row for each way of saying it in the list; none when the list lacks it.
    pub fn rows(&self, word: &str) -> impl Iterator<Item = &[Unit]> {
        self.nodes_of(word).iter().map(|&n| self.units_of(n))
    }

    /// Every row of sounds one step from `units`, whether or not `units` is in the list.
    pub fn neighbours<'g>(&'g self, units: &'g [Unit]) -> impl Iterator<Item = (&'g [Unit], super::Change)> {
        let nodes = (0..self.len() as u32).map(|n| self.units_of(n));
        nodes.filter_map(move |other| Some((other, difference_in_units(units, other)?)))
    }

    pub(super) fn nodes_of(&self, word: &str) -> &[u32] {
        self.by_word.get(word).map_or(&[], Vec::as_slice)
    }

    pub(super) fn units_of(&self, node: u32) -> &[Unit] {
        let node = node as usize;
        &self.units[self.nodes[node].units as usize..self.nodes[node + 1].units as usize]
    }

    pub(super) fn spelled_of(&self, node: u32) -> &[SpelledWord] {
        let node = node as usize;
        &self.spelled[self.nodes[node].spelled as usize..self.nodes[node + 1].spelled as usize]
    }

    pub(super) fn edges_of(&self, node: u32) -> &[Edge] {
        let node = node as usize;
        &self.edges[self.nodes[node].edges as usize..self.nodes[node + 1].edges as usize]
    }
}

/// Each way of saying `word` that differs in counted sounds.
pub(super) fn ways(word: Listed, rules: &Rules) -> Vec<(Vec<Unit>, SpelledWord)> {
    let mut rows: Vec<(Vec<Unit>, SpelledWord)> = Vec::new();
    for said in word.variants {
        let row = units(&word.spelling, said.sounds(), rules);
        if !row.is_empty() && !rows.iter().any(|(other, _)| *other == row) {
            let (word, zipf, variant) = (word.spelling.clone(), word.zipf, rows.len());
            rows.push((
                row,
                SpelledWord {
                    word,
                    said,
                    zipf,
                    variant,
                    ways: 0,
                },
            ));
        }
    }
    if rules.cot_caught == CotCaught::Apart {
        drop_merged(&mut rows);
    }
    let ways = rows.len();
    rows.iter_mut().for_each(|(_, spelled)| spelled.ways = ways);
    rows
}

/// The merged way of saying a word spelled with au, aw, ough or al (*caught* as K AA T) is left out where *cot* and
/// *caught* differ and the dictionary also gives the other way.
fn drop_merged(rows: &mut Vec<(Vec<Unit>, SpelledWord)>) {
    let apart = |s: &SpelledWord| ["au", "aw", "ough", "al"].iter().any(|team| s.word.contains(team));
    if rows.len() < 2 || !apart(&rows[0].1) {
        return;
    }
    let raised = |row: &[Unit]| -> Vec<Unit> {
        let raise = |u: &Unit| if *u == Sound::AA.into() { Sound::AO.into() } else { *u };
        row.iter().map(raise).collect()
    };
    let all: Vec<Vec<Unit>> = rows.iter().map(|(row, _)| row.clone()).collect();
    rows.retain(|(row, _)| {
        let other = raised(row);
        other == *row || !all.contains(&other)
    });
    rows.iter_mut()
        .enumerate()
        .for_each(|(number, (_, spelled))| spelled.variant = number);
}

/// The place of the change that `edge` makes from a word of `count` sounds.
pub(super) fn place(edge: Edge, count: usize) -> Place {
    Place::of(usize::from(edge.at), count + usize::from(edge.kind == ChangeKind::Add))
}

/// A hash of the units without the one at `hole`.
fn hash(units: &[Unit], hole: usize) -> u64 {
    let kept = units.iter().enumerate().filter(|(i, _)| *i != hole);
    kept.fold(0, |sum, (_, unit)| mix(sum ^ u64::from(unit.code())))
}

/// The finaliser of SplitMix64 (Steele, Lea, Flood 2014, *Fast splittable pseudorandom number generators*), constants
/// from memory; any good mixing of bits would do, since equal hashes are checked.
pub(crate) fn mix(x: u64) -> u64 {
    let x = x.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(word: &'static str, said: &[&str]) -> Vec<(Vec<Unit>, SpelledWord)> {
        let row = |(variant, said): (usize, &&str)| {
            let sounds: Vec<Sound> = said.split(' ').map(|s| s.parse().unwrap()).collect();
            let spelled = SpelledWord {
                word: word.into(),
                said: Pronunciation::new(sounds.clone(), &[]),
                zipf: 5.0,
                variant,
                ways: said.len(),
            };
            (sounds.into_iter().map(Unit::from).collect(), spelled)
        };
        said.iter().enumerate().map(row).collect()
    }

    fn left(word: &'static str, said: &[&str]) -> Vec<String> {
        let mut rows = rows(word, said);
        drop_merged(&mut rows);
        assert!(rows.iter().enumerate().all(|(at, (_, spelled))| spelled.variant == at));
        let text =
            |(units, _): &(Vec<Unit>, SpelledWord)| units.iter().map(Unit::to_string).collect::<Vec<_>>().join(" ");
        rows.iter().map(text).collect()
    }

    /// Where *cot* and *caught* differ, *caught* has the vowel of *cot* only for those who merge the two; *want* is said in both ways
    /// by those who do not (common practice, no source).
    #[test]
    fn the_merged_way_goes_where_the_letters_say_which_vowel_it_is() {
        assert_eq!(left("caught", &["K AA T", "K AO T"]), ["K AO T"]);
        assert_eq!(left("caught", &["K AA T"]), ["K AA T"]);
        assert_eq!(left("want", &["W AA N T", "W AO N T"]), ["W AA N T", "W AO N T"]);
        assert_eq!(left("auto", &["AA T OW", "AO T OW", "AO T AH"]), ["AO T OW", "AO T AH"]);
    }

    #[test]
    fn a_graph_knows_the_words_it_was_made_from() {
        let mut list = WordList::default();
        list.block.add("cat");
        let graph = Graph::new(&list, &Rules::default());
        let listed = |word: &str| graph.list().words().iter().any(|w| w.spelling == word);
        assert!(listed("dog") && !listed("cat"));
    }
}
