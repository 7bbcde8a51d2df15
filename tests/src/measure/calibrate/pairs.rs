//! Telling the word that was said from a real word one sound away.

use soundbead_dsp::ear::Ear;

use super::super::figure::{calibration_error, share};
use super::{Fold, over};

/// Bonuses for each sound that are tried, in nepers.
const BONUSES: [f32; 10] = [-1.0, -0.5, 0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0];
/// Factors on the margin that are tried.
const FACTORS: [f32; 9] = [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.2];

/// How far the word that was said beats each other, by kind (fewer, changed, more), in nepers.
type Margins = [Vec<f32>; 3];

/// Prints, for children and adults, how often the said word is preferred, what a bonus for each sound would change, and how
/// sure the choice is under each factor on the margin. Returns the bonus and the factor that give the least log loss, children
/// and adults weighing alike.
pub fn run(folds: &[Fold]) -> (f32, f32) {
    let own = Ear::new()
        .expect("the model comes with the program")
        .settings()
        .each_sound;
    let both = [("children", true), ("adults", false)].map(|(who, child)| {
        let margins = margins(folds, child);
        println!("{who}, said alone: preferred to a real word with one sound fewer / changed / more");
        for bonus in BONUSES {
            let row = with_bonus(&margins, bonus).map(|of| share(of.iter().filter(|m| **m > 0.0).count(), of.len()));
            println!("  bonus {bonus:>5}: {} | {} | {}", row[0], row[1], row[2]);
        }
        sureness(&with_bonus(&margins, own));
        margins
    });
    let all = BONUSES.iter().flat_map(|b| FACTORS.iter().map(move |f| (*b, *f)));
    let cost = |(bonus, factor): &(f32, f32)| both.iter().map(|m| loss(&with_bonus(m, *bonus), *factor)).sum::<f32>();
    all.min_by(|a, b| cost(a).total_cmp(&cost(b))).unwrap_or((own, 1.0))
}

/// Mean log loss of the choices under a factor on the margin.
fn loss(margins: &Margins, factor: f32) -> f32 {
    let n = margins.iter().map(Vec::len).sum::<usize>().max(1);
    margins
        .iter()
        .flatten()
        .map(|m| (-factor * m).exp().ln_1p())
        .sum::<f32>()
        / n as f32
}

/// Against a word with one sound fewer the said one has a sound, and so a bonus, more; the other way round too.
fn with_bonus(margins: &Margins, bonus: f32) -> Margins {
    [0usize, 1, 2].map(|kind| margins[kind].iter().map(|m| m + bonus * (1.0 - kind as f32)).collect())
}

fn sureness(margins: &Margins) {
    let all: Vec<f32> = margins.iter().flatten().copied().collect();
    for factor in FACTORS {
        let sure: Vec<(f32, bool)> = all.iter().map(|m| (sigmoid(factor * m.abs()), *m > 0.0)).collect();
        println!(
            "  factor {factor}: calibration error {:.3}, log loss {:.4}",
            calibration_error(&sure),
            loss(margins, factor)
        );
    }
}

fn sigmoid(x: f32) -> f32 {
    1.0 / (1.0 + (-x).exp())
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
