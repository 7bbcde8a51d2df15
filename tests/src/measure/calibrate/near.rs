//! Which near sounds the ear tells apart: each word asked about with one of its sounds changed into a near one.

use std::collections::BTreeMap;

use soundbead_data::Sound;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::ear::inside::near;

use super::super::figure::share;
use super::{Fold, over};

/// Wrong readings of a pair below which nothing is printed.
const FEWEST: usize = 20;

/// Every way to put a near sound in the place of one of `said`.
pub fn asked(said: &[Sound]) -> Vec<Vec<Sound>> {
    let places = (0..said.len()).flat_map(|at| Sound::all().map(move |s| (at, s)));
    let changed = |(at, sound): (usize, Sound)| {
        let mut asked = said.to_vec();
        asked[at] = sound;
        asked
    };
    places.filter(|(at, s)| near(said[*at], *s)).map(changed).collect()
}

/// Prints, for each sound asked about and each near sound that was said in its place, how often the word asked about
/// is affirmed; the worst first.
pub fn run(folds: &[Fold]) {
    let own = Ear::new().expect("the model comes with the program");
    let settings = *own.settings();
    let all = over(folds, |ear, case| {
        let said = case.word.sounds();
        let ask = |asked: &Vec<Sound>| {
            let p = settings.same(&ear.measures(&case.evidence, asked, &said)?);
            let at = (0..said.len()).find(|i| asked[*i] != said[*i])?;
            Some(((asked[at], said[at]), p))
        };
        asked(&said).iter().filter_map(ask).collect::<Vec<_>>()
    });
    let mut pairs: BTreeMap<(Sound, Sound), Vec<f32>> = BTreeMap::new();
    for (pair, p) in all.into_iter().flatten() {
        pairs.entry(pair).or_default().push(p);
    }
    let mut rows: Vec<(f64, String)> = pairs
        .iter()
        .filter(|(_, p)| p.len() >= FEWEST)
        .map(|((asked, said), p)| {
            let from = |from: f32| 100.0 * p.iter().filter(|p| **p >= from).count() as f64 / p.len() as f64;
            let row = format!(
                "{asked} asked, {said} said: affirmed {:.1} %, not contradicted {:.1} %, of {}",
                from(settings.whole.affirm),
                from(1.0 - settings.whole.contradict),
                p.len()
            );
            (from(settings.whole.affirm), row)
        })
        .collect();
    rows.sort_by(|a, b| b.0.total_cmp(&a.0));
    let every: Vec<f32> = pairs.into_values().flatten().collect();
    let part = |of: &dyn Fn(f32) -> bool| every.iter().filter(|p| of(**p)).count();
    println!(
        "near sounds, as if the sound said made no word: affirmed {}; contradicted {}",
        share(part(&|p| p >= settings.whole.affirm), every.len()),
        share(part(&|p| p <= 1.0 - settings.whole.contradict), every.len())
    );
    rows.iter().for_each(|r| println!("  {}", r.1));
}
