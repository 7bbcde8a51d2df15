//! Agreement by sound, place, cluster, length and way of speaking, and counts against counts.

use std::collections::BTreeMap;

use serde::Serialize;
use soundbead_data::chain::{Place, Unit};
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::super::code;
use super::agree::Agreement;
use super::tally::Tallies;
use soundbead_data::share::Share;

/// What attempts add up to, looked at from several sides. Agreement is the child's count against the sounds that were said.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Sums {
    /// The child's count over all attempts.
    pub child: Agreement,
    /// How often the word's own sounds were said, of the attempts where a person, or else the program, could tell.
    pub saying: Share,
    /// The program's most probable count over all judged attempts, against the one expected at the time.
    pub heard: Agreement,
    /// For each counted sound: the count of words that have it.
    pub by_sound: Vec<SoundRow>,
    /// For each cluster: the count of words that have it.
    pub by_cluster: Vec<ClusterRow>,
    /// By the expected count.
    pub by_length: BTreeMap<u16, Agreement>,
    /// By the way of speaking.
    pub by_way: Vec<WayRow>,
    /// How many sounds were said, the child's count, and how often the two met.
    pub child_counts: Counts,
    /// Expected count, the program's count, and how often the two met.
    pub heard_counts: Counts,
    /// How often each verdict was given: same, fewer, more, changed, unsure.
    pub verdicts: [u64; 5],
    /// How often a person ruled.
    pub ruled: u64,
    /// How often a person ruled otherwise than the program, both being sure; where two people differ, one of them does.
    pub disagreed: u64,
    /// Counts of the child's where nobody can say how many sounds were said: they are in no share.
    pub unsettled: u64,
}

/// A matrix of counts as (expected, counted, attempts), in order; pairs that never met are left out.
pub type Counts = Vec<(u16, u16, u64)>;

/// A counted sound.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SoundRow {
    /// Which, in ARPAbet; `AA+R` where the rules count two as one.
    #[serde(serialize_with = "as_text")]
    pub sound: Unit,
    /// Anywhere in the word.
    pub all: Agreement,
    /// At its start.
    pub initial: Agreement,
    /// Inside it.
    pub medial: Agreement,
    /// At its end.
    #[serde(rename = "final")]
    pub last: Agreement,
}

/// A cluster of consonants.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClusterRow {
    /// Its sounds, in ARPAbet with spaces.
    pub cluster: String,
    /// Before the vowel of its syllable (initial) or after it (final).
    pub place: &'static str,
    /// The word with it that was tried most often.
    pub example: String,
    /// The count of words that have it.
    pub all: Agreement,
}

/// A way of speaking.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WayRow {
    /// Which.
    pub way: Speaking,
    /// The child's count.
    pub child: Agreement,
    /// The program's.
    pub heard: Agreement,
}

fn as_text<S: serde::Serializer>(unit: &Unit, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(unit)
}

/// Adds everything up.
pub fn sums(tallies: &Tallies) -> Sums {
    let mut sums = Sums::default();
    let mut ways = [(Agreement::default(), Agreement::default()); 3];
    let (mut child_counts, mut heard_counts) = (BTreeMap::new(), BTreeMap::new());
    // Words first, then their sounds: a word is looked at once however often it was said.
    let mut by_shape = vec![Agreement::default(); tallies.shapes.len()];
    for t in &tallies.rows {
        let way = &mut ways[code::of_way(t.speaking) as usize];
        // What was neither heard nor ruled on was counted without a recording: nobody knows how it was said.
        let spoken = t.heard.is_some() || t.verdict.is_some() || t.ruling.is_some();
        if let Some((child, said)) = t.child.zip(t.said()) {
            let length = sums.by_length.entry(t.expected).or_default();
            for agreement in [&mut sums.child, length, &mut by_shape[t.shape]] {
                agreement.put(child, said, t.attempts);
            }
            if spoken {
                way.0.put(child, said, t.attempts);
            }
            *child_counts.entry((said, child)).or_insert(0) += t.attempts;
        }
        if let Some(heard) = t.heard {
            sums.heard.put(heard, t.expected_then, t.attempts);
            way.1.put(heard, t.expected_then, t.attempts);
            *heard_counts.entry((t.expected_then, heard)).or_insert(0) += t.attempts;
        }
        if let Some(verdict) = t.verdict {
            sums.verdicts[code::of_verdict(verdict) as usize] += t.attempts;
        }
        if t.child.is_some() && t.said().is_none() {
            sums.unsettled += t.attempts;
        }
        sums.ruled += t.ruling.map_or(0, |_| t.attempts);
        let sure = |v: Option<Verdict>| v.filter(|v| *v != Verdict::Unsure);
        if let Some(verdict) = sure(t.ruling).or(sure(t.verdict)) {
            sums.saying.of += t.attempts;
            sums.saying.hits += if verdict == Verdict::Same { t.attempts } else { 0 };
        }
        if sure(t.ruling).zip(sure(t.verdict)).is_some_and(|(r, v)| r != v) {
            sums.disagreed += t.attempts;
        }
    }
    let rows = |counts: BTreeMap<(u16, u16), u64>| counts.into_iter().map(|((e, c), n)| (e, c, n)).collect();
    (sums.child_counts, sums.heard_counts) = (rows(child_counts), rows(heard_counts));
    let used = Speaking::ALL
        .into_iter()
        .zip(ways)
        .filter(|(_, (c, h))| c.total() + h.total() > 0);
    sums.by_way = used
        .map(|((way, _), (child, heard))| WayRow { way, child, heard })
        .collect();
    parts(tallies, &by_shape, &mut sums);
    sums
}

/// Adds up by what the words are made of.
fn parts(tallies: &Tallies, by_shape: &[Agreement], sums: &mut Sums) {
    let mut sounds: BTreeMap<Unit, SoundRow> = BTreeMap::new();
    let mut clusters: BTreeMap<(Vec<Unit>, &str), (Agreement, u64, &str)> = BTreeMap::new();
    for (shape, of) in tallies.shapes.iter().zip(by_shape).filter(|(_, of)| of.total() > 0) {
        for (i, (unit, place)) in shape.units.iter().enumerate() {
            let row = sounds.entry(*unit).or_insert_with(|| SoundRow::none(*unit));
            // A word that has a sound twice is still one word.
            if !shape.units[..i].iter().any(|(u, _)| u == unit) {
                add(&mut row.all, of);
            }
            if !shape.units[..i].contains(&(*unit, *place)) {
                add(row.at(*place), of);
            }
        }
        for (i, (units, place)) in shape.clusters.iter().enumerate() {
            if !shape.clusters[..i].contains(&(units.clone(), *place)) {
                let row = clusters.entry((units.clone(), place.name())).or_default();
                add(&mut row.0, of);
                if of.total() > row.1 {
                    (row.1, row.2) = (of.total(), &shape.word);
                }
            }
        }
    }
    sums.by_sound = sounds.into_values().collect();
    let text = |units: Vec<Unit>| units.iter().map(Unit::to_string).collect::<Vec<_>>().join(" ");
    let rows = clusters
        .into_iter()
        .map(|((units, place), (all, _, example))| ClusterRow {
            cluster: text(units),
            place,
            example: example.to_owned(),
            all,
        });
    sums.by_cluster = rows.collect();
}

fn add(to: &mut Agreement, more: &Agreement) {
    to.right += more.right;
    to.fewer += more.fewer;
    to.more += more.more;
}

impl SoundRow {
    fn none(sound: Unit) -> SoundRow {
        let none = Agreement::default();
        SoundRow {
            sound,
            all: none,
            initial: none,
            medial: none,
            last: none,
        }
    }

    fn at(&mut self, place: Place) -> &mut Agreement {
        match place {
            Place::Initial => &mut self.initial,
            Place::Medial => &mut self.medial,
            Place::Final => &mut self.last,
        }
    }
}
