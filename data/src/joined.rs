//! A word as its parts lie in its letters, without its sounds: what the boxes of letters and the seams between beats both ask.

use std::collections::{HashMap, HashSet};
use std::ops::Range;
use std::sync::LazyLock;

use crate::lexicon;
use crate::parts::{self, Piece, PieceRole};

/// Endings that are a beat by themselves. The others are divided by their sounds: *ac-tive*, *na-tion*.
pub(crate) const ENDINGS: &[&str] = &[
    "ing", "ery", "er", "est", "en", "y", "ish", "able", "ist", "or", "ous", "al", "age", "ance", "ence", "ancy",
    "ency", "ess", "ize", "ism", "ade", "ly", "ful", "less", "ness", "ment", "ship", "hood", "ward", "some", "dom",
    "ling", "teen", "ty", "ed", "es", "s",
];

/// Words that are divided otherwise than their parts say.
struct OwnDivisions {
    /// By their sounds alone.
    whole: HashSet<&'static str>,
    /// As written, where no part is known: *out-rage*. By word, the letters at which they part.
    given: HashMap<String, Vec<usize>>,
}

static OWN: LazyLock<OwnDivisions> = LazyLock::new(|| {
    let lines = include_str!("../tables/whole.txt").lines();
    let words = lines
        .filter(|line| !line.starts_with('#'))
        .flat_map(str::split_whitespace);
    let (given, whole): (Vec<&str>, Vec<&str>) = words.partition(|word| word.contains('-'));
    let places = |word: &str| {
        let hyphens = word.match_indices('-').enumerate();
        hyphens.map(|(before, (at, _))| at - before).collect()
    };
    OwnDivisions {
        whole: whole.into_iter().collect(),
        given: given
            .into_iter()
            .map(|word| (word.replace('-', ""), places(word)))
            .collect(),
    }
});

/// Whether a word (small letters) is divided by its sounds alone, whatever its parts are.
pub(crate) fn is_whole(word: &str) -> bool {
    OWN.whole.contains(word)
}

/// The letters (a to z, from 0) before which a part of `word` (small letters) begins, where joining changed no letter before
/// it: no spelling of a sound lies across them. Endings that are no beat by themselves share sounds: the ti of *action*.
pub(crate) fn walls(word: &str) -> Vec<usize> {
    let joined = JoinedWord::new(word);
    let parts = (1..joined.pieces.len()).filter(|&k| {
        let piece = &joined.pieces[k];
        let apart = piece.role != PieceRole::Suffix || ENDINGS.contains(&piece.text.as_str());
        apart && joined.is_clean(k) && !joined.is_whole_over(k)
    });
    parts.map(|k| joined.start(k)).chain(joined.given()).collect()
}

/// A word as its pieces, those of every word that hyphens or an apostrophe join.
pub(crate) struct JoinedWord {
    pub pieces: Vec<Piece>,
    /// Its letters a to z.
    pub letters: String,
}

impl JoinedWord {
    pub fn new(word: &str) -> JoinedWord {
        // Before an apostrophe stands a word of its own, but not in *aren't*.
        let (front, marked) = word.split_once('\'').unwrap_or((word, ""));
        let mut joined = JoinedWord {
            pieces: Vec::new(),
            letters: String::new(),
        };
        for one in front.split('-').filter(|_| marked != "t") {
            let at = joined.letters.len();
            joined.letters.push_str(one);
            let moved = |piece: Piece| Piece {
                letters: piece.letters.start + at..piece.letters.end + at,
                ..piece
            };
            joined
                .pieces
                .extend(parts::take_apart(one).pieces.into_iter().map(moved));
        }
        let rest = if marked == "t" { word } else { marked };
        joined.letters.extend(rest.chars().filter(char::is_ascii_lowercase));
        joined
    }

    pub fn start(&self, k: usize) -> usize {
        self.pieces[k].letters.start
    }

    /// Whether the piece before piece `k` stands in the word as it is alone.
    pub fn is_clean(&self, k: usize) -> bool {
        let before = &self.pieces[k - 1];
        self.letters.get(before.letters.clone()) == Some(before.text.as_str())
    }

    /// The letters at which the word, or a longer part of it, is divided as given.
    pub fn given(&self) -> Vec<usize> {
        let fronts = self.pieces.iter().map(|piece| piece.letters.end);
        let words = fronts.flat_map(|end| self.alone(0..end));
        words
            .filter_map(|word| OWN.given.get(&word))
            .flatten()
            .copied()
            .collect()
    }

    /// Whether a run of pieces over the place before piece `k` makes a word that is divided by its sounds: the *factor* of
    /// *factors*, the *difficulty* of *difficulties*, but not the *porter* of *importer*.
    pub fn is_whole_over(&self, k: usize) -> bool {
        let word = lexicon::look_up(&self.letters[..self.start(k)]).is_some();
        let begins = |&from: &usize| from == 0 || !word || self.pieces[from - 1].role != PieceRole::Prefix;
        let starts = (0..k).filter(begins).map(|from| self.start(from));
        let ends = || self.pieces[k..].iter().map(|piece| piece.letters.end);
        let mut runs = starts.flat_map(|start| ends().map(move |end| start..end));
        runs.any(|run| self.alone(run).iter().any(|text| OWN.whole.contains(text.as_str())))
    }

    /// What some letters of the word may be alone: as they stand, with an e that went, with a y that became i.
    fn alone(&self, letters: Range<usize>) -> Vec<String> {
        let Some(text) = self.letters.get(letters) else {
            return Vec::new();
        };
        let y = text.strip_suffix('i').map(|front| format!("{front}y"));
        [text.to_owned(), format!("{text}e")].into_iter().chain(y).collect()
    }
}
