//! What the words and steps of a chain must be like.

use std::fmt;
use std::ops::RangeInclusive;

use super::graph::{Edge, SpelledWord, place};
use super::{ChangeKind, Place, Unit};
use crate::lexicon::Pronunciation;
use crate::rule::Fire;
use crate::{Sound, spelling, syllable};

/// What every word and every step of a chain must be like. The default asks nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Limits {
    /// Kinds that a step may have; none named means any.
    pub kinds: Vec<ChangeKind>,
    /// Places that a step may change; none named means any.
    pub places: Vec<Place>,
    /// Sounds that the words may be made of; none named means any. A unit of several sounds is allowed when it is named,
    /// or each of its sounds is.
    pub sounds: Vec<Unit>,
    /// Spellings (box letters, as `ck` or `a_e`) that the words may be made of; none named means any.
    pub spellings: Vec<String>,
    /// Number of syllables of each word.
    pub syllables: Option<RangeInclusive<usize>>,
    /// Number of counted sounds of each word.
    pub count: Option<RangeInclusive<usize>>,
    /// Sounds of which every word has at least one; none named asks nothing.
    pub with_sounds: Vec<Unit>,
    /// Spellings (box letters, as `ck` or `a_e`) of which every word has at least one; none named asks nothing.
    pub with_spellings: Vec<String>,
    /// Clusters (rows of sounds that stand side by side in a word, as `N T`) of which every word has at least one; none named
    /// asks nothing.
    pub with_clusters: Vec<Vec<Unit>>,
    /// Words that are said in several ways, in small letters, each with the way that is meant: no other way of such a word stands in
    /// the chain.
    pub said: Vec<(String, Pronunciation)>,
    /// Only the letters of the changed sound change: *pig* to *peg*, not *kit* to *cat*.
    pub letters: bool,
    /// Only vowels change.
    pub vowels: bool,
    /// Only consonants beside a consonant come and go.
    pub clusters: bool,
    /// Only swaps of these pairs count as practice, and as many steps as can be are such swaps. Of use in
    /// [`super::Graph::practice`] alone.
    pub contrasts: Vec<(Unit, Unit)>,
    /// Sounds that are to come and go beside another consonant, as the N of *wet*, *went* and the L of *back*, *black*; as many
    /// steps as can be are such. Of use in [`super::Graph::practice`] alone.
    pub toggles: Vec<Unit>,
}

/// One of the limits, for saying which stands in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// [`Limits::places`].
    Places,
    /// [`Limits::kinds`].
    Kinds,
    /// [`Limits::vowels`].
    Vowels,
    /// [`Limits::clusters`].
    Clusters,
    /// [`Limits::sounds`].
    Sounds,
    /// [`Limits::spellings`].
    Spellings,
    /// [`Limits::syllables`].
    Syllables,
    /// [`Limits::count`].
    Count,
    /// [`Limits::with_sounds`].
    WithSounds,
    /// [`Limits::with_spellings`].
    WithSpellings,
    /// [`Limits::with_clusters`].
    WithClusters,
    /// [`Limits::said`].
    Said,
    /// [`Limits::letters`].
    Letters,
    /// [`Limits::contrasts`].
    Contrasts,
    /// [`Limits::toggles`].
    Toggles,
}

impl Limit {
    /// Every limit, the one that is eased first standing first.
    pub const ALL: [Limit; 15] = [
        Limit::Places,
        Limit::Kinds,
        Limit::Vowels,
        Limit::Clusters,
        Limit::Syllables,
        Limit::Count,
        Limit::Spellings,
        Limit::Sounds,
        Limit::Letters,
        Limit::WithSpellings,
        Limit::WithClusters,
        Limit::WithSounds,
        Limit::Contrasts,
        Limit::Toggles,
        Limit::Said,
    ];
}

impl fmt::Display for Limit {
    /// As in "without the limit on ...".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Limit::Places => "where the change may be",
            Limit::Kinds => "the kind of change",
            Limit::Vowels => "changing vowels only",
            Limit::Clusters => "changing clusters only",
            Limit::Sounds => "the sounds",
            Limit::Spellings => "the spellings",
            Limit::Syllables => "the syllables",
            Limit::Count => "the number of sounds",
            Limit::WithSounds => "the sound in every word",
            Limit::WithSpellings => "the spelling in every word",
            Limit::WithClusters => "the cluster in every word",
            Limit::Said => "the way a word is said",
            Limit::Letters => "letters that stay",
            Limit::Contrasts => "the contrast",
            Limit::Toggles => "the sound that comes and goes",
        })
    }
}

impl Limits {
    /// Whether nothing is asked.
    pub fn is_empty(&self) -> bool {
        *self == Limits::default()
    }

    /// Whether `limit` asks anything.
    pub fn has(&self, limit: Limit) -> bool {
        self.without(limit) != *self
    }

    /// These limits with one taken off.
    pub fn without(&self, limit: Limit) -> Limits {
        let mut eased = self.clone();
        match limit {
            Limit::Places => eased.places.clear(),
            Limit::Kinds => eased.kinds.clear(),
            Limit::Vowels => eased.vowels = false,
            Limit::Clusters => eased.clusters = false,
            Limit::Sounds => eased.sounds.clear(),
            Limit::Spellings => eased.spellings.clear(),
            Limit::Syllables => eased.syllables = None,
            Limit::Count => eased.count = None,
            Limit::WithSounds => eased.with_sounds.clear(),
            Limit::WithSpellings => eased.with_spellings.clear(),
            Limit::WithClusters => eased.with_clusters.clear(),
            Limit::Said => eased.said.clear(),
            Limit::Letters => eased.letters = false,
            Limit::Contrasts => eased.contrasts.clear(),
            Limit::Toggles => eased.toggles.clear(),
        }
        eased
    }

    /// The first limit that a word of these sounds does not keep, spelling and syllables aside.
    pub(super) fn broken_by(&self, units: &[Unit]) -> Option<Limit> {
        let fits =
            |range: &Option<RangeInclusive<usize>>, count: usize| range.as_ref().is_none_or(|r| r.contains(&count));
        if !self.sounds.is_empty() && !units.iter().all(|u| self.allows(*u)) {
            Some(Limit::Sounds)
        } else if !fits(&self.count, units.len()) {
            Some(Limit::Count)
        } else if !self.with_sounds.is_empty() && !units.iter().any(|u| self.with_sounds.contains(u)) {
            Some(Limit::WithSounds)
        } else if !self.with_clusters.is_empty() && !self.with_clusters.iter().any(|row| holds(units, row)) {
            Some(Limit::WithClusters)
        } else {
            None
        }
    }

    fn allows(&self, unit: Unit) -> bool {
        self.sounds.contains(&unit) || unit.sounds().all(|s| self.sounds.contains(&s.into()))
    }

    /// Whether this spelling is made of allowed spellings only, and has one of those that are wanted.
    pub(super) fn spells(&self, spelled: &SpelledWord) -> bool {
        if self.spellings.is_empty() && self.with_spellings.is_empty() {
            return true;
        }
        spelling::boxes(&spelled.word, spelled.said.sounds()).is_some_and(|boxes| {
            let allowed = self.spellings.is_empty() || boxes.iter().all(|b| self.spellings.contains(&b.letters));
            let wanted =
                self.with_spellings.is_empty() || boxes.iter().any(|b| self.with_spellings.contains(&b.letters));
            allowed && wanted
        })
    }

    /// Whether this spelling is one that [`Self::spells`] allows and has so many syllables, with *fire* and its kin by the rule: its
    /// letters decide whether *flower* and *flour*, said alike, have one or two. A word of several ways is said as it is meant.
    pub(super) fn fits(&self, spelled: &SpelledWord, fire: Fire) -> bool {
        self.means(spelled) && self.spells(spelled) && self.beats(spelled, fire)
    }

    /// Whether the word is said here as it is meant.
    fn means(&self, spelled: &SpelledWord) -> bool {
        let mut meant = self.said.iter().filter(|(word, _)| *word == spelled.word);
        meant.all(|(_, said)| said.sounds() == spelled.said.sounds())
    }

    fn beats(&self, spelled: &SpelledWord, fire: Fire) -> bool {
        let count = || syllable::count(&spelled.word, &spelled.said, fire);
        self.syllables.as_ref().is_none_or(|range| range.contains(&count()))
    }

    /// The first of the limits on syllables and spellings that this word does not keep.
    pub(super) fn unspelled_by(&self, spelled: &SpelledWord, fire: Fire) -> Limit {
        if !self.means(spelled) {
            return Limit::Said;
        }
        if !self.beats(spelled, fire) {
            return Limit::Syllables;
        }
        match self.without(Limit::WithSpellings).spells(spelled) {
            true => Limit::WithSpellings,
            false => Limit::Spellings,
        }
    }

    /// Whether some steps are wanted more than others.
    pub(super) fn practice_something(&self) -> bool {
        !self.contrasts.is_empty() || !self.toggles.is_empty()
    }

    /// Whether a step from a word of `from` sounds by `edge` is allowed.
    pub(super) fn step(&self, from: &[Unit], to: &[Unit], edge: Edge) -> bool {
        let one_of = |kinds: &[ChangeKind]| kinds.is_empty() || kinds.contains(&edge.kind);
        let at = usize::from(edge.at);
        let (longer, changed) = match edge.kind {
            ChangeKind::Add => (to, [to[at], to[at]]),
            ChangeKind::Drop => (from, [from[at], from[at]]),
            ChangeKind::Swap => (from, [from[at], to[at]]),
        };
        let beside = || {
            let consonant = |i: Option<usize>| i.and_then(|i| longer.get(i)).is_some_and(|u| !u.is_vowel());
            consonant(at.checked_sub(1)) || consonant(Some(at + 1))
        };
        one_of(&self.kinds)
            && (self.places.is_empty() || self.places.contains(&place(edge, from.len())))
            && (!self.vowels || changed.iter().all(|u| u.is_vowel()))
            && (!self.clusters || (edge.kind != ChangeKind::Swap && changed.iter().all(|u| !u.is_vowel()) && beside()))
    }

    /// Whether the step swaps the two sounds of a contrast. Vowels before an r of their own syllable do not count (*ear* and
    /// *air*): r colours them, and they are not what is meant by short e and short i.
    pub(super) fn practices(&self, from: &[Unit], to: &[Unit], edge: Edge) -> bool {
        let at = usize::from(edge.at);
        match edge.kind {
            ChangeKind::Swap => {}
            ChangeKind::Add => return self.toggled(to, at),
            ChangeKind::Drop => return self.toggled(from, at),
        }
        let (was, is) = (from[at], to[at]);
        let coloured = was.is_vowel() && from.get(at + 1).is_some_and(|next| *next == Sound::R.into());
        let meant = |&(a, b): &(Unit, Unit)| (was, is) == (a, b) || (was, is) == (b, a);
        !coloured && self.contrasts.iter().any(meant)
    }

    /// Whether the sound at `at` of the longer word is one of those that come and go, and stands beside a consonant.
    fn toggled(&self, longer: &[Unit], at: usize) -> bool {
        let consonant = |i: Option<usize>| i.and_then(|i| longer.get(i)).is_some_and(|u| !u.is_vowel());
        self.toggles.contains(&longer[at]) && (consonant(at.checked_sub(1)) || consonant(Some(at + 1)))
    }
}

/// Whether `row` stands in the word.
fn holds(units: &[Unit], row: &[Unit]) -> bool {
    !row.is_empty() && units.windows(row.len()).any(|window| window == row)
}
