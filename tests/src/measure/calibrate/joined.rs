//! Sounds said one by one and joined: what is affirmed then, under several bounds.

use std::collections::BTreeSet;

use soundbead_dsp::ear::inside::{LIKE_ITS_SOUND, SURE_OF_COUNT, Settings};

use super::super::decision::{Sample, SampleKind};
use super::super::figure::share;
use super::drawn::{MarkedAnswer, PARTS, answer, asked, show};
use super::marked::MarkedResult;

/// Bounds that are tried for the probability of "same", from the least on.
const JOINED: [f32; 5] = [0.92, 0.94, 0.95, 0.96, 0.97];
/// Bounds that are tried for how like its sound the least like piece must be.
const LIKE: [f32; 6] = [0.0, 0.8, 0.9, 0.93, 0.95, 0.96];
/// Most that may be affirmed of words asked about as others with a sound changed.
const CHANGED_AFFIRMED: f64 = 0.03;

/// A bound for the probability of "same", and one for the piece that is least like its sound.
type JoinedBounds = [f32; 2];

/// What is tried on.
struct JoinedWords<'a> {
    settings: &'a Settings,
    /// For the decision.
    all: Vec<MarkedAnswer<'a>>,
    /// Any word, asked about as one with a sound changed.
    changed: Vec<MarkedAnswer<'a>>,
    children: &'a BTreeSet<String>,
}

/// Prints what is affirmed by the pieces alone, and joined as well.
pub fn run(found: &[MarkedResult], settings: &Settings, children: &BTreeSet<String>) {
    let changed = found.iter().flat_map(|f| &f.changed);
    let words = JoinedWords {
        settings,
        all: asked(found, settings),
        changed: changed.map(|s| answer(s, settings)).collect(),
        children,
    };
    let tried = LIKE.iter().flat_map(|like| JOINED.map(|bound| [bound, *like]));
    let tried: Vec<JoinedBounds> = tried.collect();
    println!("sounds said one by one, by the pieces alone:");
    words.print(|_| [2.0, 1.0]);
    println!(
        "joined as well, affirmed of right words; of words beside; of slips; of children's, of adults' words with a sound changed:"
    );
    tried
        .iter()
        .for_each(|t| println!("  from {:.2}, pieces from {:.2}: {}", t[0], t[1], words.line(*t)));
    println!("joined as well, as it is:");
    words.print(|_| words.as_it_is());
    let each: Vec<JoinedBounds> = (0..PARTS).map(|k| words.best(&tried, Some(k))).collect();
    println!(
        "each speaker's bounds from the others ({each:?}; of all {:?}):",
        words.best(&tried, None)
    );
    words.print(|a| each[part_of(a.sample)]);
}

/// The part of the speakers that a sample's belongs to; the readers of the corpus have numbers.
fn part_of(sample: &Sample) -> usize {
    sample.speaker.bytes().fold(0, |n, b| 10 * n + usize::from(b)) % PARTS
}

/// How probable the pieces alone make it that the word was said.
fn by_pieces(a: &MarkedAnswer<'_>) -> f32 {
    let [count, like] = a.sample.pieces.unwrap_or_default();
    count * like
}

impl JoinedWords<'_> {
    /// The bounds of the program: joined, a word is affirmed as one said whole is.
    fn as_it_is(&self) -> JoinedBounds {
        [self.settings.whole.affirm, LIKE_ITS_SOUND]
    }

    fn affirmed(&self, a: &MarkedAnswer<'_>, [bound, least]: JoinedBounds) -> bool {
        let [count, like] = a.sample.pieces.unwrap_or_default();
        let joined = count >= SURE_OF_COUNT && like >= least && a.same >= bound;
        by_pieces(a) >= self.settings.affirm || joined
    }

    /// How many of those are affirmed, of how many.
    fn hits<'a>(
        &self,
        these: impl Iterator<Item = &'a MarkedAnswer<'a>> + Clone,
        tried: JoinedBounds,
    ) -> (usize, usize) {
        (these.clone().filter(|a| self.affirmed(a, tried)).count(), these.count())
    }

    fn line(&self, tried: JoinedBounds) -> String {
        let kind = |kind: SampleKind| self.hits(self.all.iter().filter(move |a| a.sample.kind == kind), tried);
        let of = |child: bool| {
            let these = self.changed.iter();
            self.hits(
                these.filter(|a| self.children.contains(&a.sample.speaker) == child),
                tried,
            )
        };
        let kinds = [SampleKind::Right, SampleKind::Word, SampleKind::Slipped].map(kind);
        let cells = kinds.into_iter().chain([of(true), of(false)]);
        cells.map(|(hits, n)| share(hits, n)).collect::<Vec<_>>().join("; ")
    }

    /// What affirms most right words of all but the part `k` of the speakers, and keeps to [`CHANGED_AFFIRMED`] there.
    fn best(&self, tried: &[JoinedBounds], k: Option<usize>) -> JoinedBounds {
        let others = |a: &&MarkedAnswer<'_>| k.is_none_or(|k| part_of(a.sample) != k);
        let keeps = |t: &&JoinedBounds| {
            let (hits, n) = self.hits(self.changed.iter().filter(others), **t);
            hits as f64 <= CHANGED_AFFIRMED * n as f64
        };
        let right = |t: &&JoinedBounds| {
            let right = self.all.iter().filter(others);
            self.hits(right.filter(|a| a.sample.kind == SampleKind::Right), **t).0
        };
        let best = tried.iter().filter(keeps).max_by_key(right);
        best.copied().unwrap_or(self.as_it_is())
    }

    fn print(&self, bounds: impl Fn(&MarkedAnswer<'_>) -> JoinedBounds) {
        show(&self.all, |a| {
            let against = by_pieces(a) <= 1.0 - self.settings.contradict;
            (self.affirmed(a, bounds(a)), against)
        });
        let own = self.changed.iter().filter(|a| self.affirmed(a, bounds(a))).count();
        println!(
            "  any word asked about as one with a sound changed: {}",
            share(own, self.changed.len())
        );
    }
}
