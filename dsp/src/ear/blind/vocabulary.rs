//! The words that are listened for without a target, on a tree of shared beginnings; and which sounds follow which.

use std::ops::Range;
use std::sync::OnceLock;

use soundbead_data::{Sound, lexicon};

use super::MOST;
use crate::ear::model::{CLASSES, SILENCE, class_of};

/// Words rarer than this on the Zipf scale (1 in 10 to the 6) are left to the row of any sounds.
pub(super) const RAREST: f32 = 3.0;

/// Times that each sound is held to have followed each other before any word is looked at, so that no pair is impossible.
const BEFOREHAND: f32 = 0.3;
/// Power on a word's frequency in what follows what: common words shape it, but not in full proportion.
const COMMON_POWER: f32 = 0.4;
/// Least probability of one sound after another.
const LEAST_FOLLOW: f32 = 1e-9;

/// A node of the tree: a sound after its parent's. Nodes lie level by level, so that children lie side by side. Small,
/// for tens of thousands of them are walked in each frame.
#[derive(Clone, Copy)]
pub(super) struct TreeNode {
    pub parent: u32,
    pub class: u8,
    /// Whether a word ends here.
    pub is_word: bool,
}

/// The words on a tree, and which sounds follow which.
pub struct Vocabulary {
    pub(super) nodes: Vec<TreeNode>,
    children: Vec<Range<u32>>,
    /// For each node, the frequencies of the words that end there, as a range of `zipfs`.
    words: Vec<Range<u32>>,
    /// Nodes of first sounds: the first of `nodes`.
    pub(super) roots: u32,
    zipfs: Vec<f32>,
    /// Each frequency that occurs, and how many words have it.
    frequencies: Vec<(f32, f32)>,
    /// Natural log of each class after each; silence stands for the start and the end.
    follow: Vec<[f32; CLASSES]>,
}

/// A pronunciation and how common its word is.
type Pronounced = (Vec<Sound>, f32);

impl Vocabulary {
    /// The vocabulary of the dictionary, made on first use and kept.
    pub fn shared() -> &'static Vocabulary {
        static SHARED: OnceLock<Vocabulary> = OnceLock::new();
        SHARED.get_or_init(|| {
            let mut rows: Vec<Pronounced> = Vec::new();
            for entry in lexicon::words().filter(|e| e.zipf() >= RAREST) {
                rows.extend(entry.variants().map(|p| (p.sounds().to_vec(), entry.zipf())));
            }
            Vocabulary::new(rows)
        })
    }

    /// Of `rows`: sounds and Zipf frequency each. Those without sounds or longer than [`MOST`] are left out.
    pub fn new(mut rows: Vec<Pronounced>) -> Vocabulary {
        rows.retain(|(sounds, _)| !sounds.is_empty() && sounds.len() <= MOST);
        rows.sort_by(|a, b| a.0.cmp(&b.0));
        let follow = follow(&rows);
        let (mut nodes, mut children, mut words, mut zipfs) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        // Each node of the level above, with the rows that begin as it does.
        let mut level: Vec<(u32, Range<usize>)> = vec![(u32::MAX, 0..rows.len())];
        let mut roots = 0;
        for depth in 0..MOST {
            let mut below = Vec::new();
            for (parent, begun) in level {
                let ended = rows[begun.clone()].iter().take_while(|r| r.0.len() == depth).count();
                let first = nodes.len() as u32;
                for same in by_sound(&rows, begun.start + ended..begun.end, depth) {
                    let ends = rows[same.clone()].iter().take_while(|r| r.0.len() == depth + 1);
                    let before = zipfs.len() as u32;
                    zipfs.extend(ends.map(|r| r.1));
                    words.push(before..zipfs.len() as u32);
                    children.push(0..0);
                    below.push((nodes.len() as u32, same.clone()));
                    nodes.push(TreeNode {
                        parent,
                        class: class_of(rows[same.start].0[depth]) as u8,
                        is_word: zipfs.len() as u32 > before,
                    });
                }
                match children.get_mut(parent as usize) {
                    Some(of) => *of = first..nodes.len() as u32,
                    None => roots = nodes.len() as u32,
                }
            }
            level = below;
        }
        Vocabulary {
            nodes,
            children,
            words,
            roots,
            frequencies: counted(&zipfs),
            zipfs,
            follow,
        }
    }

    /// The sum of all words' weights, where a word weighs `10^(power (zipf - RAREST))`.
    pub(super) fn weight(&self, power: f32) -> f32 {
        let weigh = |(zipf, many): &(f32, f32)| many * 10f32.powf(power * (zipf - RAREST));
        self.frequencies.iter().map(weigh).sum()
    }

    /// The nodes of the sounds that may follow `node`.
    pub(super) fn children(&self, node: u32) -> Range<u32> {
        self.children[node as usize].clone()
    }

    /// The Zipf frequencies of the words that end at `node`.
    pub(super) fn zipfs(&self, node: u32) -> &[f32] {
        let range = &self.words[node as usize];
        &self.zipfs[range.start as usize..range.end as usize]
    }

    /// The probability of each class after each, to the power `follow`.
    pub(super) fn follow_weights(&self, follow: f32) -> Vec<[f32; CLASSES]> {
        self.follow.iter().map(|r| r.map(|x| (x * follow).exp())).collect()
    }

    /// The sounds of the word that ends at `node`.
    pub(super) fn sounds(&self, mut node: u32) -> Vec<Sound> {
        let mut out = Vec::new();
        while let Some(n) = self.nodes.get(node as usize) {
            out.extend(usize::from(n.class).checked_sub(1).and_then(Sound::from_index));
            node = n.parent;
        }
        out.reverse();
        out
    }

    /// The greatest Zipf frequency of the words said so; none where there is no such word.
    pub fn zipf(&self, sounds: &[Sound]) -> Option<f32> {
        let (mut among, mut at) = (0..self.roots, None);
        for sound in sounds {
            let class = class_of(*sound) as u8;
            let nodes = &self.nodes[among.start as usize..among.end as usize];
            let found = among.start + nodes.binary_search_by_key(&class, |n| n.class).ok()? as u32;
            (at, among) = (Some(found), self.children(found));
        }
        self.zipfs(at?).iter().copied().reduce(f32::max)
    }
}

/// How often each number occurs.
fn counted(numbers: &[f32]) -> Vec<(f32, f32)> {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f32::total_cmp);
    sorted
        .chunk_by(|a, b| a == b)
        .map(|same| (same[0], same.len() as f32))
        .collect()
}

/// Parts sorted rows into those with the same sound at `depth`.
fn by_sound(rows: &[Pronounced], mut of: Range<usize>, depth: usize) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    while !of.is_empty() {
        let sound = rows[of.start].0[depth];
        let many = rows[of.clone()].iter().take_while(|r| r.0[depth] == sound).count();
        out.push(of.start..of.start + many);
        of.start += many;
    }
    out
}

fn follow(rows: &[Pronounced]) -> Vec<[f32; CLASSES]> {
    let mut counts = vec![[BEFOREHAND; CLASSES]; CLASSES];
    for (sounds, zipf) in rows {
        let weight = 10f32.powf(COMMON_POWER * (zipf - RAREST));
        let classes = sounds.iter().map(|s| class_of(*s)).chain([SILENCE]);
        classes.fold(SILENCE, |before, now| {
            counts[before][now] += weight;
            now
        });
    }
    counts[SILENCE][SILENCE] = 0.0;
    let share = |row: &[f32; CLASSES]| {
        let sum: f32 = row.iter().sum();
        row.map(|c| (c / sum).max(LEAST_FOLLOW).ln())
    };
    counts.iter().map(share).collect()
}
