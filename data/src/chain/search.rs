//! Walking the graph: shortest chains, chains of a given number of words, practice.

use std::cell::RefCell;
use std::collections::{HashMap, VecDeque};

use super::graph::{Edge, Graph, SpelledWord, mix, ways};
use super::letters::{letters, over_units};
use super::limits::Limits;
use super::words::listed;
use super::{Unit, difference_in_units};

/// Nodes that a search for a chain of given length may enter: some milliseconds. Beyond it the search gives up and says so.
const PATIENCE: usize = 6_000;

/// How much one step of the Zipf scale weighs against chance (the spread of the Gumbel distribution is 1.28): common words
/// first, and a rare one seldom. Our own judgement, from reading chains.
const COMMONER: f32 = 2.0;
/// What it costs a step that letters change over other sounds too (*kit*, *cat*): more than commonness and chance weigh together,
/// so that such a step is taken where there is no other, or the other leads nowhere.
const MOVED: f32 = 8.0;

/// The graph with the words that were asked for and which the list lacks, under limits, with a seed for variety.
pub(super) struct Net<'g> {
    pub graph: &'g Graph,
    pub limits: &'g Limits,
    /// Rows and spellings of the words that the list lacks; their nodes are numbered on from the graph's.
    extra: Vec<(Vec<Unit>, SpelledWord)>,
    extra_edges: HashMap<u32, Vec<Edge>>,
    random: u64,
    /// Whether each node may be used, as far as it has been asked.
    usable: Vec<Option<bool>>,
    /// The letters over each sound of the nodes that have been asked for.
    letters: RefCell<HashMap<u32, Vec<String>>>,
}

impl<'g> Net<'g> {
    pub fn new(graph: &'g Graph, limits: &'g Limits, seed: u64) -> Net<'g> {
        Net {
            graph,
            limits,
            extra: Vec::new(),
            extra_edges: HashMap::new(),
            random: mix(seed),
            usable: vec![None; graph.len()],
            letters: RefCell::default(),
        }
    }

    /// The nodes of `word`, made when the list lacks it; none when it is no word.
    pub fn enter(&mut self, word: &str) -> Vec<u32> {
        let known = self.graph.nodes_of(word);
        if !known.is_empty() {
            return known.to_vec();
        }
        let Some(listed) = listed(word, &self.graph.list().overrides) else {
            return Vec::new();
        };
        let rows = ways(listed, self.graph.rules()).into_iter();
        rows.map(|(units, spelled)| self.add(units, spelled)).collect()
    }

    fn add(&mut self, units: Vec<Unit>, spelled: SpelledWord) -> u32 {
        let node = (self.graph.len() + self.extra.len()) as u32;
        let mut out = Vec::new();
        for other in 0..node {
            if let Some(c) = difference_in_units(&units, self.units(other)) {
                let edge = |to, kind| Edge {
                    to,
                    kind,
                    at: c.at as u8,
                };
                out.push(edge(other, c.kind));
                self.extra_edges
                    .entry(other)
                    .or_default()
                    .push(edge(node, c.kind.reversed()));
            }
        }
        self.extra_edges.entry(node).or_default().extend(out);
        self.extra.push((units, spelled));
        self.usable.push(None);
        node
    }

    pub fn units(&self, node: u32) -> &[Unit] {
        match (node as usize).checked_sub(self.graph.len()) {
            None => self.graph.units_of(node),
            Some(extra) => &self.extra[extra].0,
        }
    }

    pub fn spelled(&self, node: u32) -> &[SpelledWord] {
        match (node as usize).checked_sub(self.graph.len()) {
            None => self.graph.spelled_of(node),
            Some(extra) => std::slice::from_ref(&self.extra[extra].1),
        }
    }

    /// Whether this is a node of a word that the list lacks.
    pub fn is_extra(&self, node: u32) -> bool {
        node as usize >= self.graph.len()
    }

    /// Every edge from `node`, limits or not.
    pub fn all_edges(&self, node: u32) -> impl Iterator<Item = Edge> {
        let listed = if self.is_extra(node) {
            &[]
        } else {
            self.graph.edges_of(node)
        };
        let extra = self.extra_edges.get(&node).into_iter().flatten();
        listed.iter().chain(extra).copied()
    }

    /// Whether a spelling keeps the limits on spellings and syllables.
    pub fn fits(&self, spelled: &SpelledWord) -> bool {
        self.limits.fits(spelled, self.graph.rules().fire)
    }

    /// Whether the limits allow the word.
    pub fn allows(&mut self, node: u32) -> bool {
        if let Some(known) = self.usable[node as usize] {
            return known;
        }
        let sounds = self.limits.broken_by(self.units(node)).is_none();
        let allowed = sounds && self.spelled(node).iter().any(|s| self.fits(s));
        self.usable[node as usize] = Some(allowed);
        allowed
    }

    /// Steps to each node from the nearest of `from`, going with the steps or (`back`) against them; `u32::MAX` where there
    /// is no way. A plain breadth-first search.
    pub fn distances(&mut self, from: &[u32], back: bool) -> Vec<u32> {
        let mut far = vec![u32::MAX; self.usable.len()];
        let mut queue: VecDeque<u32> = VecDeque::new();
        for &node in from {
            if self.allows(node) && far[node as usize] == u32::MAX {
                far[node as usize] = 0;
                queue.push_back(node);
            }
        }
        let mut edges = Vec::new();
        while let Some(node) = queue.pop_front() {
            edges.clear();
            edges.extend(self.all_edges(node).filter(|e| far[e.to as usize] == u32::MAX));
            for &edge in &edges {
                if self.passes(node, edge, back) && self.allows(edge.to) {
                    far[edge.to as usize] = far[node as usize] + 1;
                    queue.push_back(edge.to);
                }
            }
        }
        far
    }

    /// Whether the limits allow the step from `node` along `edge`, or, going back, the step that came along it.
    fn passes(&self, node: u32, edge: Edge, back: bool) -> bool {
        // What other letters do is the same both ways.
        if self.limits.letters && self.moves_letters(node, edge.to) {
            return false;
        }
        if !back {
            return self.limits.step(self.units(node), self.units(edge.to), edge);
        }
        let came = Edge {
            to: node,
            kind: edge.kind.reversed(),
            at: edge.at,
        };
        self.limits.step(self.units(edge.to), self.units(node), came)
    }

    /// Whether letters change over other sounds than the one that does.
    fn moves_letters(&self, from: u32, to: u32) -> bool {
        let change = difference_in_units(self.units(from), self.units(to));
        change.is_none_or(|change| letters(&change, self.over(from), self.over(to)).others)
    }

    /// The letters over each sound of the spelling that a node is shown under.
    fn over(&self, node: u32) -> Vec<String> {
        if let Some(known) = self.letters.borrow().get(&node) {
            return known.clone();
        }
        let all = self.spelled(node);
        let face = all.iter().find(|s| self.fits(s)).unwrap_or(&all[0]);
        let over = over_units(&face.word, &face.said, self.units(node));
        self.letters.borrow_mut().insert(node, over.clone());
        over
    }

    /// The steps that may be taken from `node`, in a random order in which commoner words tend to stand first.
    pub fn choices(&mut self, node: u32, last: Option<u8>) -> Vec<Edge> {
        let edges: Vec<Edge> = self.all_edges(node).collect();
        let mut rated: Vec<(f32, Edge)> = Vec::with_capacity(edges.len());
        for edge in edges {
            if self.passes(node, edge, false) && self.allows(edge.to) {
                let again = if last == Some(edge.at) { 1.0 } else { 0.0 };
                let moved = if self.moves_letters(node, edge.to) { MOVED } else { 0.0 };
                let worth = COMMONER * self.worth(edge.to);
                rated.push((worth + self.gumbel() - again - moved, edge));
            }
        }
        rated.sort_by(|a, b| b.0.total_cmp(&a.0));
        rated.into_iter().map(|(_, edge)| edge).collect()
    }

    /// The worth of the best spelling that the limits allow.
    pub fn worth(&self, node: u32) -> f32 {
        let fit = self.spelled(node).iter().filter(|s| self.fits(s));
        fit.map(SpelledWord::worth).fold(f32::MIN, f32::max)
    }

    /// A random number of the standard Gumbel distribution: added to log-weights and sorted, it draws without
    /// replacement by weight.
    fn gumbel(&mut self) -> f32 {
        self.random = self.random.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let uniform = (mix(self.random) >> 40) as f32 / (1u32 << 24) as f32;
        -(-(uniform.max(1e-7)).ln()).ln()
    }

    /// The chain along `far` (distances going back from the targets) from the nearest of `from`: the commonest words at
    /// each step when `seed` is zero, drawn by commonness otherwise.
    pub fn descend(&mut self, from: &[u32], far: &[u32], vary: bool) -> Option<Vec<u32>> {
        let near = |n: &u32| far[*n as usize];
        let start = from.iter().copied().filter(|n| near(n) != u32::MAX).min_by_key(near)?;
        let mut path = vec![start];
        let mut node = start;
        while far[node as usize] > 0 {
            let nearer = far[node as usize] - 1;
            let edges = self.all_edges(node).filter(|e| far[e.to as usize] == nearer);
            let edges: Vec<Edge> = edges.filter(|e| self.passes(node, *e, false)).collect();
            let noise: Vec<f32> = edges.iter().map(|_| if vary { self.gumbel() } else { 0.0 }).collect();
            let moved = |e: &Edge| if self.moves_letters(node, e.to) { MOVED } else { 0.0 };
            let rated = edges
                .iter()
                .zip(noise)
                .map(|(e, noise)| (COMMONER * self.worth(e.to) + noise - moved(e), e.to));
            node = rated.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))?.1;
            path.push(node);
        }
        Some(path)
    }

    /// A chain of exactly `words` words without repeats from one of `from`, to a node where `far` is 0 when it is given.
    pub fn walk(&mut self, from: &[u32], words: usize, far: Option<&[u32]>) -> Walk {
        let mut walk = Walk {
            path: Vec::new(),
            longest: Vec::new(),
            left: PATIENCE,
        };
        for &start in from {
            walk.path = vec![start];
            if self.allows(start) && self.extend(&mut walk, words, far, None, usize::MAX) {
                return walk;
            }
        }
        walk.path.clear();
        walk
    }

    /// Depth first. `since`: free steps since the last that practiced a contrast.
    fn extend(&mut self, walk: &mut Walk, words: usize, far: Option<&[u32]>, last: Option<u8>, since: usize) -> bool {
        let (Some(&node), Some(left)) = (walk.path.last(), walk.left.checked_sub(1)) else {
            return false;
        };
        walk.left = left;
        if walk.path.len() > walk.longest.len() {
            walk.longest.clone_from(&walk.path);
        }
        if walk.path.len() == words {
            return far.is_none_or(|far| far[node as usize] == 0);
        }
        let steps_after = (words - walk.path.len() - 1) as u32;
        let choices = self.choices(node, last);
        for (edge, free) in self.by_contrast(node, choices, since) {
            let reaches = far.is_none_or(|far| far[edge.to as usize] <= steps_after);
            if reaches && !self.repeats(&walk.path, edge.to) {
                walk.path.push(edge.to);
                if self.extend(walk, words, far, Some(edge.at), free) {
                    return true;
                }
                walk.path.pop();
            }
        }
        false
    }

    /// The choices with the free steps that each leaves behind it; with contrasts, every other step is to practice one, or
    /// every third where that cannot be.
    fn by_contrast(&mut self, node: u32, choices: Vec<Edge>, since: usize) -> Vec<(Edge, usize)> {
        if !self.limits.practice_something() {
            return choices.into_iter().map(|edge| (edge, 0)).collect();
        }
        let practices =
            |net: &Self, from: u32, edge: &Edge| net.limits.practices(net.units(from), net.units(edge.to), *edge);
        let (hits, others): (Vec<Edge>, Vec<Edge>) = choices.into_iter().partition(|e| practices(self, node, e));
        let (ready, rest): (Vec<Edge>, Vec<Edge>) = others.into_iter().partition(|e| {
            self.all_edges(e.to)
                .any(|next| next.to != node && practices(self, e.to, &next))
        });
        let hits = hits.into_iter().map(|edge| (edge, 0));
        let count = since.saturating_add(1);
        let free = ready.into_iter().chain(rest).map(|edge| (edge, count));
        match since {
            0 => free.chain(hits).collect(),
            1 => hits.chain(free).collect(),
            usize::MAX => hits.chain(free.map(|(edge, _)| (edge, 1))).collect(),
            _ => hits.collect(),
        }
    }

    /// Whether `node` or its word is in the path already (*read* may not follow *read*).
    fn repeats(&self, path: &[u32], node: u32) -> bool {
        let face = |node: u32| self.spelled(node).iter().find(|s| self.fits(s)).map(|s| &s.word);
        let word = face(node);
        path.iter().any(|&other| other == node || face(other) == word)
    }
}

/// A search for a chain of given length.
pub(super) struct Walk {
    /// What was found; empty when nothing was.
    pub path: Vec<u32>,
    /// The longest chain that was entered.
    pub longest: Vec<u32>,
    /// What is left of the patience; 0 when the search was given up.
    pub left: usize,
}
