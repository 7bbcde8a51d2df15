//! Words drawn out and brought back to length: from which probability on they are affirmed and contradicted, and how sure their counts
//! are.

use std::collections::BTreeSet;

use soundbead_dsp::ear::inside::{Bounds, Settings};

use super::super::decision::{Sample, SampleKind};
use super::marked::MarkedResult;
use super::{blind, sure};

/// Most that may be affirmed of each kind of wrong reading: a choice, as many of words beside, near sounds and last sounds as were when
/// words drawn out had a decision of their own, and fewer slips (16 % were).
const AFFIRMED: [(SampleKind, f64); 5] = [
    (SampleKind::Word, 0.042),
    (SampleKind::Strange, 0.084),
    (SampleKind::Near, 0.084),
    (SampleKind::Ending, 0.084),
    (SampleKind::Slipped, 0.1),
];
/// Most of the right words that may be contradicted.
const CONTRADICTED: f64 = 0.005;
/// Parts that the speakers are cut into: the bounds for each come from the others.
pub const PARTS: usize = 8;

/// A word asked about: probability that it was said as it should be, and that it was not another reading.
pub struct MarkedAnswer<'a> {
    /// What was asked, of whom, and what was compared.
    pub sample: &'a Sample,
    /// That it was said as it should be.
    pub same: f32,
    reading: f32,
}

/// Every word asked about, for the decision.
pub fn asked<'a>(found: &'a [MarkedResult], settings: &Settings) -> Vec<MarkedAnswer<'a>> {
    found
        .iter()
        .flat_map(|f| &f.samples)
        .map(|s| answer(s, settings))
        .collect()
}

/// What the settings make of one.
pub fn answer<'a>(sample: &'a Sample, settings: &Settings) -> MarkedAnswer<'a> {
    MarkedAnswer {
        sample,
        same: settings.same(&sample.measures),
        reading: settings.decision.probability(&sample.measures),
    }
}

/// Prints what the bounds give, each speaker's from the others, and returns those of all, and the power on the counts.
pub fn run(found: &[MarkedResult], settings: &Settings, children: &BTreeSet<String>) -> (Bounds, f32) {
    let all = asked(found, settings);
    let mut who: Vec<&str> = all.iter().map(|a| a.sample.speaker.as_str()).collect();
    who.sort_unstable();
    who.dedup();
    let part = |a: &MarkedAnswer<'_>| who.binary_search(&a.sample.speaker.as_str()).unwrap_or(0) % PARTS;
    let each: Vec<Bounds> = (0..PARTS)
        .map(|k| bounds(all.iter().filter(|a| part(a) != k)))
        .collect();
    println!("words drawn out, each speaker's bounds from the others:");
    show(&all, |a| {
        let own = &each[part(a)];
        (a.same >= own.affirm, a.reading <= 1.0 - own.contradict)
    });
    let counts: Vec<_> = found.iter().filter_map(|f| f.count.clone()).collect();
    let counted = blind::figures(&counts);
    println!("counted without a target: {}", counted.line);
    sure::run("drawn out", found, children);
    let bounds = bounds(all.iter());
    println!("{bounds:?}");
    (bounds, settings.doubt_drawn * counted.doubt)
}

/// The least bounds that keep to [`AFFIRMED`] and [`CONTRADICTED`], to a hundredth.
fn bounds<'a>(words: impl Iterator<Item = &'a MarkedAnswer<'a>> + Clone) -> Bounds {
    let of = |kind: SampleKind| words.clone().filter(move |a| a.sample.kind == kind);
    let affirm = AFFIRMED.iter().map(|(kind, most)| {
        let mut same: Vec<f32> = of(*kind).map(|a| a.same).collect();
        quantile(&mut same, 1.0 - most)
    });
    let mut reading: Vec<f32> = of(SampleKind::Right).map(|a| a.reading).collect();
    let round = |x: f32| (100.0 * x).round() / 100.0;
    Bounds {
        affirm: round(affirm.fold(0.0, f32::max)),
        contradict: round(1.0 - quantile(&mut reading, CONTRADICTED)),
    }
}

fn quantile(values: &mut [f32], share: f64) -> f32 {
    values.sort_by(f32::total_cmp);
    let at = (share * values.len().saturating_sub(1) as f64) as usize;
    values.get(at).copied().unwrap_or_default()
}

/// Prints of each kind how many are affirmed and contradicted.
pub fn show(all: &[MarkedAnswer<'_>], told: impl Fn(&MarkedAnswer<'_>) -> (bool, bool)) {
    let kinds = [
        ("right", SampleKind::Right),
        ("slips", SampleKind::Slipped),
        ("words beside", SampleKind::Word),
        ("the same as no word", SampleKind::Strange),
        ("near sounds", SampleKind::Near),
        ("last sounds", SampleKind::Ending),
    ];
    for (name, only_alone) in [("all", false), ("said alone", true)] {
        let cell = |(what, kind): &(&str, SampleKind)| {
            let these = all
                .iter()
                .filter(|a| a.sample.kind == *kind && (a.sample.alone || !only_alone));
            let told: Vec<(bool, bool)> = these.map(&told).collect();
            let share = |of: &dyn Fn(&(bool, bool)) -> bool| {
                100.0 * told.iter().filter(|t| of(t)).count() as f64 / told.len().max(1) as f64
            };
            let (affirmed, against) = (share(&|t| t.0), share(&|t| t.1 && !t.0));
            format!("{what} {affirmed:.1} / {against:.1} % of {}", told.len())
        };
        let cells: Vec<String> = kinds.iter().map(cell).collect();
        println!("  {name}, affirmed / contradicted: {}", cells.join("; "));
    }
}
