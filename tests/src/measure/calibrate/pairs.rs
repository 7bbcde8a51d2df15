//! Telling the word that was said from a real word one sound away.

use super::super::figure::share;
use super::{Fold, over};

/// How far the word that was said beats each other, by kind (fewer, changed, more), in nepers.
type Margins = [Vec<f32>; 3];

/// Prints, for children and adults, how often the said word is preferred, and what a bonus for each sound would change.
pub fn run(folds: &[Fold]) {
    for (who, child) in [("children", true), ("adults", false)] {
        let margins = margins(folds, child);
        println!("{who}, said alone: preferred to a real word with one sound fewer / changed / more");
        for bonus in [-1.0f32, -0.5, 0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0] {
            let row = [0usize, 1, 2].map(|kind| {
                // Against a word with one fewer the said one has a sound, and so a bonus, more; the other way round too.
                let gain = bonus * (1.0 - kind as f32);
                let hits = margins[kind].iter().filter(|m| **m + gain > 0.0).count();
                share(hits, margins[kind].len())
            });
            println!("  bonus {bonus:>5}: {} | {} | {}", row[0], row[1], row[2]);
        }
    }
}

fn margins(folds: &[Fold], child: bool) -> Margins {
    let each = over(folds, |ear, case| {
        if !case.alone || case.word.is_child() != child {
            return Vec::new();
        }
        (ear.settings_mut().compare, ear.settings_mut().each_sound) = (1.0, 0.0);
        let said = case.word.sounds();
        let margin = |other: &Vec<_>| {
            let p = ear
                .compare_evidence(&case.evidence, &[vec![said.clone()], vec![other.clone()]])
                .ok()?;
            let kind = 1 + usize::from(other.len() > said.len()) - usize::from(other.len() < said.len());
            Some((kind, (p[0].max(1e-30) / p[1].max(1e-30)).ln()))
        };
        case.others.iter().filter_map(margin).collect()
    });
    let mut out = Margins::default();
    each.into_iter()
        .flatten()
        .for_each(|(kind, margin)| out[kind].push(margin));
    out
}
