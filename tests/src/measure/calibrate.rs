//! Setting priors, temperatures and thresholds on the speakers kept from training.

use std::path::Path;

use soundbead_data::Rules;
use soundbead_dsp::ear::{Ear, Evidence, Settings};
use soundbead_dsp::judgement::{Speaking, Target, Verdict};

use super::report::spread;
use super::speech::{self, Word};

/// What is asked about one word: itself, and real words one sound away.
struct Case {
    word: Word,
    evidence: Evidence,
    others: Vec<Vec<soundbead_data::Sound>>,
}

/// Prints what each candidate gives; a person, not the program, puts the values into `Settings::default`.
///
/// # Errors
/// When the speech or the alignment cannot be read.
pub fn run(speech: &Path, alignment: &Path, rows: &str) -> Result<(), String> {
    let words: Vec<Word> = speech::words(alignment)?
        .into_iter()
        .filter(|w| w.held_out && w.phones.len() >= 2 && w.gap_before_ms >= 10 && w.gap_after_ms >= 10)
        .collect();
    // The training speech travels as Opus, which the program does not read: turn it into FLAC first (training/README.md).
    let source = speech::source(&speech.join("read_train.flac"))?;
    let neighbours = Neighbours::new();
    let cases: Vec<Option<Case>> = spread(&words, |ear, word| {
        let evidence = ear.listen(&speech::cut(&source, word)?, Speaking::Whole).ok()?;
        Some(Case {
            word: word.clone(),
            evidence,
            others: neighbours.of(&word.sounds()),
        })
    });
    let cases: Vec<Case> = cases.into_iter().flatten().collect();
    println!("{} words of {} speakers kept from training", cases.len(), {
        let mut who: Vec<&str> = cases.iter().map(|c| c.word.speaker.as_str()).collect();
        who.sort_unstable();
        who.dedup();
        who.len()
    });
    if rows.is_empty() || rows.contains("blind") {
        blind(&cases);
    }
    if rows.is_empty() || rows.contains("target") {
        target(&cases);
    }
    if rows.contains("doubt") {
        doubt(&source, &cases);
    }
    if rows.contains("apart") {
        apart(&source, &cases);
    }
    if rows.contains("thresholds") {
        thresholds(&answers(&cases, &Settings::default()));
    }
    Ok(())
}

/// Real words by their sounds.
struct Neighbours(std::collections::HashSet<Vec<soundbead_data::Sound>>);

impl Neighbours {
    fn new() -> Neighbours {
        let common = soundbead_data::lexicon::words().filter(|e| e.zipf() >= 3.0);
        Neighbours(
            common
                .flat_map(|e| e.variants().map(|p| p.sounds().to_vec()).collect::<Vec<_>>())
                .collect(),
        )
    }

    /// One real word for each kind of slip, where there is one: the first in ARPAbet order from a place set by the word.
    fn of(&self, sounds: &[soundbead_data::Sound]) -> Vec<Vec<soundbead_data::Sound>> {
        use soundbead_data::Sound;
        let n = sounds.len();
        let without = |i: usize| [&sounds[..i], &sounds[i + 1..]].concat();
        let with = |i: usize, s: Sound| [&sounds[..i], &[s], &sounds[i..]].concat();
        let swapped = |i: usize, s: Sound| [&sounds[..i], &[s], &sounds[i + 1..]].concat();
        let pick = |mut all: Vec<Vec<Sound>>| {
            all.retain(|s| s.as_slice() != sounds && self.0.contains(s));
            all.sort();
            all.dedup();
            let at = sounds.iter().map(|s| s.index()).sum::<usize>();
            (!all.is_empty()).then(|| all[at % all.len()].clone())
        };
        let each = |f: &dyn Fn(usize, Sound) -> Vec<Sound>, places: usize| -> Vec<Vec<Sound>> {
            (0..places)
                .flat_map(|i| Sound::all().map(move |s| (i, s)))
                .map(|(i, s)| f(i, s))
                .collect()
        };
        [
            pick((0..n).map(without).collect()),
            pick(each(&with, n + 1)),
            pick(each(&swapped, n)),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

fn blind(cases: &[Case]) {
    println!("blind: strange frequency follow temperature: exact %, log loss");
    let mut best = (f64::MAX, String::new());
    for strange in [-6.0f32, -4.0, -2.0] {
        for frequency in [0.2f32, 0.4, 0.6] {
            for temperature in [0.5f32, 0.7, 1.0] {
                for follow in [0.5f32, 1.0] {
                    let mut settings = Settings::default();
                    settings.blind.strange = strange;
                    settings.blind.frequency = frequency;
                    settings.blind.temperature = temperature;
                    settings.blind.follow = follow;
                    let answers = spread(cases, |ear: &mut Ear, case: &Case| {
                        *ear.settings_mut() = settings;
                        let j = ear
                            .judge_evidence(&case.evidence, None, Speaking::Whole, &Rules::default())
                            .ok();
                        let n = case.word.phones.len();
                        j.map_or((false, 7.0), |j| {
                            let p = j.count_probabilities.iter().find(|c| c.0 == n).map_or(1e-3, |c| c.1);
                            (j.heard == n, -f64::from(p).ln())
                        })
                    });
                    let exact = answers.iter().filter(|a| a.0).count() as f64 / answers.len() as f64;
                    let loss = answers.iter().map(|a| a.1).sum::<f64>() / answers.len() as f64;
                    let line = format!(
                        "{strange} {frequency} {follow} {temperature}: {:.1} {loss:.3}",
                        100.0 * exact
                    );
                    println!("  {line}");
                    if loss < best.0 {
                        best = (loss, line);
                    }
                }
            }
        }
    }
    println!("least loss: {}", best.1);
}

/// How much less sure to be than the model is: the same words as poorer recordings, which is what a room gives.
fn doubt(source: &soundbead_dsp::audio::Source, cases: &[Case]) {
    let rough: Vec<Option<(usize, Target, Evidence)>> = spread(cases, |ear, case| {
        let recording = super::made::roughened(&speech::cut(source, &case.word)?, case.word.start as u64)?;
        let target = Target {
            variants: vec![case.word.sounds()],
            letters: Vec::new(),
        };
        Some((
            case.word.phones.len(),
            target,
            ear.listen(&recording, Speaking::Whole).ok()?,
        ))
    });
    let rough: Vec<(usize, Target, Evidence)> = rough.into_iter().flatten().collect();
    for power in [0.3f32, 0.4, 0.5, 0.6, 0.7, 0.8, 1.0] {
        let both: Vec<[Option<(f32, bool)>; 2]> = spread(&rough, |ear: &mut Ear, (count, target, evidence)| {
            (ear.settings_mut().doubt_target, ear.settings_mut().doubt_blind) = (power, power);
            [Some(target), None].map(|t| {
                let j = ear
                    .judge_evidence(evidence, t, Speaking::Whole, &Rules::default())
                    .ok()?;
                Some((
                    j.count_probabilities.iter().fold(0.0, |m: f32, c| m.max(c.1)),
                    j.heard == *count,
                ))
            })
        });
        for (name, which) in [("target", 0), ("blind", 1)] {
            let answers: Vec<(f32, bool)> = both.iter().filter_map(|b| b[which]).collect();
            let error = super::figure::calibration_error(&answers);
            let right = answers.iter().filter(|a| a.1).count() as f64 / answers.len() as f64;
            println!(
                "doubt {power}: {name} calibration error {error:.3}, exact {:.1} %",
                100.0 * right
            );
        }
    }
}

/// Sounds said one by one, made of the words' own sounds.
fn apart(source: &soundbead_dsp::audio::Source, cases: &[Case]) {
    let made: Vec<Vec<(usize, f64, Evidence)>> = spread(cases, |ear, case| {
        let rules = Rules::default();
        let target = Target {
            variants: vec![case.word.sounds()],
            letters: Vec::new(),
        };
        let Some(recording) = speech::cut(source, &case.word) else {
            return Vec::new();
        };
        let Ok(placed) = ear.judge(&recording, Some(&target), Speaking::Whole, &rules) else {
            return Vec::new();
        };
        let one = |snr: f64| {
            let made = super::made::apart(&recording, &placed.sounds, snr, case.word.start as u64)?;
            Some((placed.sounds.len(), snr, ear.listen(&made, Speaking::Separate).ok()?))
        };
        [20.0, 10.0].into_iter().filter_map(one).collect()
    });
    let made: Vec<(usize, f64, Evidence)> = made.into_iter().flatten().collect();
    let mut all = Vec::new();
    for belief in [0.2f32, 0.4, 0.8] {
        for lift in [0.5f32, 1.0, 2.0, 3.0] {
            for level in [0.9f32, 1.1, 1.3, 1.5] {
                for turn in [0.0f32, -1.0, -2.0] {
                    all.push(soundbead_dsp::apart::ApartCalibration {
                        belief,
                        lift,
                        level,
                        turn,
                    });
                }
            }
        }
    }
    let mut results: Vec<(f64, f64, f64, String)> = spread(&all, |ear: &mut Ear, c| {
        ear.settings_mut().apart = *c;
        let (mut hits, mut n, mut loss) = ([0usize, 0], [0usize, 0], 0.0);
        for (count, snr, evidence) in &made {
            let Ok(j) = ear.judge_evidence(evidence, None, Speaking::Separate, &Rules::default()) else {
                continue;
            };
            let which = usize::from(*snr < 15.0);
            n[which] += 1;
            hits[which] += usize::from(j.heard == *count);
            let p = j
                .count_probabilities
                .iter()
                .find(|c| c.0 == *count)
                .map_or(1e-3, |c| c.1);
            loss -= f64::from(p).ln();
        }
        let share = |i: usize| 100.0 * hits[i] as f64 / n[i].max(1) as f64;
        (loss / made.len() as f64, share(0), share(1), format!("{c:?}"))
    });
    results.sort_by(|a, b| (b.1 + b.2).total_cmp(&(a.1 + a.2)));
    println!("apart: loss, exact at 20 dB, at 10 dB");
    results
        .iter()
        .take(25)
        .for_each(|r| println!("  {:.3} {:.1} {:.1} {}", r.0, r.1, r.2, r.3));
}

/// Probabilities of "same" for right and for wrong readings under one setting, and the loss of telling them apart.
fn answers(cases: &[Case], settings: &Settings) -> Vec<(f32, Vec<f32>, f64)> {
    spread(cases, |ear: &mut Ear, case: &Case| {
        *ear.settings_mut() = *settings;
        let ask = |sounds: &[soundbead_data::Sound]| {
            let target = Target {
                variants: vec![sounds.to_vec()],
                letters: Vec::new(),
            };
            let j = ear
                .judge_evidence(&case.evidence, Some(&target), Speaking::Whole, &Rules::default())
                .ok()?;
            Some((
                j.fit?.same,
                j.count_probabilities
                    .iter()
                    .find(|c| c.0 == case.word.phones.len())
                    .map_or(1e-3, |c| c.1),
            ))
        };
        let right = ask(&case.word.sounds()).unwrap_or((0.0, 1e-3));
        let wrong: Vec<(f32, f32)> = case.others.iter().filter_map(|o| ask(o)).collect();
        let loss = -f64::from(right.1.max(1e-4)).ln();
        let loss = loss + wrong.iter().map(|w| -f64::from(w.1.max(1e-4)).ln()).sum::<f64>();
        (
            right.0,
            wrong.iter().map(|w| w.0).collect(),
            loss / (1 + wrong.len()) as f64,
        )
    })
}

fn target(cases: &[Case]) {
    let mut settings = Settings::default();
    let mut least = f64::MAX;
    type Knob = (&'static str, fn(&mut Settings, f32));
    let knobs: [Knob; 5] = [
        ("temperature", |s, d| s.target.temperature *= 1.0 + 0.25 * d),
        ("fewer", |s, d| s.target.fewer += 0.5 * d),
        ("more", |s, d| s.target.more += 0.5 * d),
        ("changed", |s, d| s.target.changed += 0.5 * d),
        ("other", |s, d| s.target.other += 2.0 * d),
    ];
    let loss = |s: &Settings| {
        let all = answers(cases, s);
        all.iter().map(|a| a.2).sum::<f64>() / all.len() as f64
    };
    for round in 0..6 {
        for (name, turn) in &knobs {
            for step in [0.0f32, 1.0, -1.0] {
                let mut tried = settings;
                turn(&mut tried, step);
                let value = loss(&tried);
                if value < least - 1e-5 {
                    println!("round {round} {name} {step:+}: loss {value:.4} {:?}", tried.target);
                    (least, settings) = (value, tried);
                }
            }
        }
    }
    println!("least count loss {least:.4}: {:?}", settings.target);
    thresholds(&answers(cases, &settings));
}

/// For each pair of thresholds: right readings contradicted and answered, wrong ones caught among the answered.
fn thresholds(all: &[(f32, Vec<f32>, f64)]) {
    println!("affirm contradict: right contradicted %, right answered %, wrong answered %, caught of answered %");
    for affirm in [0.6f32, 0.7, 0.8, 0.85, 0.9] {
        for contradict in [0.95f32, 0.99, 0.995, 0.998, 0.999, 0.9995, 0.9999, 0.99999] {
            let say = |same: f32| match same {
                s if s >= affirm => Verdict::Same,
                s if 1.0 - s >= contradict => Verdict::Changed,
                _ => Verdict::Unsure,
            };
            let right: Vec<Verdict> = all.iter().map(|a| say(a.0)).collect();
            let wrong: Vec<Verdict> = all.iter().flat_map(|a| &a.1).map(|s| say(*s)).collect();
            let share = |v: &[Verdict], f: &dyn Fn(&Verdict) -> bool| {
                100.0 * v.iter().filter(|x| f(x)).count() as f64 / v.len() as f64
            };
            let answered = |v: &Verdict| *v != Verdict::Unsure;
            let contradicted = |v: &Verdict| *v == Verdict::Changed;
            println!(
                "  {affirm} {contradict}: {:.1} {:.1} {:.1} {:.1}",
                share(&right, &contradicted),
                share(&right, &answered),
                share(&wrong, &answered),
                100.0 * share(&wrong, &contradicted) / share(&wrong, &answered).max(1e-9)
            );
        }
    }
}
