//! The table.

use std::path::Path;

use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Recording;
use soundbead_dsp::ear::{Ear, Evidence};
use soundbead_dsp::judgement::{Judgement, Speaking, Verdict};

use super::boundary;
use super::figure::likeliest;
use super::listeners;
use super::made;
use super::speech::{self, ReadWord, asked, parse};
use super::spread::{MeasuredModel, spread_by};
use super::stored::{self, Measurement, Rows};

/// What came of one word.
pub struct MeasuredWord {
    child: bool,
    blind: Option<(usize, f32)>,
    count: usize,
    /// Told from a real word one sound away: its kind, whether the said word was preferred, and how sure the choice was.
    pairs: Vec<(String, bool, f32)>,
    right: Option<Verdict>,
    counted: Option<(f32, bool)>,
    wrong: Vec<(String, Verdict)>,
    /// Probability of "same" asked about what was said, and about each wrong reading.
    same: (Vec<f32>, Vec<f32>),
    /// Sounds said one by one: the noise in dB, whether a sound is lost in it, whether the count was exact, how sure it was.
    apart: Vec<(u32, bool, bool, f32)>,
    /// Sounds said one by one (20 dB): asked about the word, and about real words with one sound changed.
    pieces: AskedVerdicts,
    /// The word drawn out: asked about the word, and about real words one sound away; counted without a target.
    drawn: AskedVerdicts,
    drawn_blind: Option<(usize, f32)>,
}

/// What is said of one recording.
#[derive(Default)]
struct AskedVerdicts {
    /// Asked about the word that was said: the verdict, and whether the count was exact.
    right: Option<(Verdict, bool)>,
    /// Asked about words that were not said.
    wrong: Vec<Verdict>,
}

/// The rows of read speech, as `--rows` names them.
const READ: [&str; 3] = ["words", "apart", "stretched"];
/// The row of what trained listeners marked.
const MARKED: &str = "listeners";
/// The row of made voices.
const MADE: &str = "boundaries";

/// Prints the whole table and returns it; `rows` may name a part of it, with commas between: some of [`READ`], and [`MADE`]
/// with `voices`. `model` is another package than the program's own.
///
/// # Errors
/// When the speech or the model cannot be read or has learned from these speakers, or a row is not known or cannot be had.
pub fn run(speech: &Path, voices: Option<&Path>, rows: &str, model: Option<&Path>) -> Result<Measurement, String> {
    let named = rows.split(',').filter(|r| !r.is_empty());
    if let Some(other) = named.clone().find(|r| ![MADE, MARKED].contains(r) && !READ.contains(r)) {
        return Err(format!(
            "--rows: `{other}` is no row; choose from {}, {MARKED}, {MADE}",
            READ.join(", ")
        ));
    }
    if voices.is_none() && named.clone().any(|r| r == MADE) {
        return Err(format!("--rows {MADE}: name the folder of made voices with --voices"));
    }
    let model = MeasuredModel::new(model)?;
    if wanted(rows, MARKED) || READ.iter().any(|name| wanted(rows, name)) {
        let list = speech.join("read_dev_words.jsonl");
        let list = std::fs::read(&list).map_err(|e| format!("{}: {e}", list.display()))?;
        stored::kept()?.refuse_heard(&model.weights(), &list)?;
    }
    let mut table = Measurement::of(model.ear().id());
    if READ.iter().any(|name| wanted(rows, name)) {
        read_rows(&mut table, &model, speech, rows)?;
    }
    if wanted(rows, MARKED) {
        listeners::run(&mut table, || model.ear(), speech)?;
    }
    if let Some(folder) = voices.filter(|_| wanted(rows, MADE)) {
        boundary::boundaries(&mut table, &model, folder)?;
    }
    Ok(table)
}

/// The rows of read speech.
fn read_rows(table: &mut Measurement, model: &MeasuredModel, speech: &Path, rows: &str) -> Result<(), String> {
    let all = speech::words(&speech.join("read_dev_words.jsonl"))?;
    let apart: Vec<ReadWord> = all.into_iter().filter(ReadWord::is_apart).collect();
    let source = speech::source(&speech.join("read_dev.ogg"))?;
    let cuts: Vec<(ReadWord, Recording)> = apart
        .into_iter()
        .filter_map(|w| Some((w.clone(), speech::cut(&source, &w)?)))
        .collect();
    eprintln!("{} words with silence on both sides", cuts.len());
    let outcomes = spread_by(
        &cuts,
        || model.ear(),
        |ear, (word, recording)| outcome(ear, word, recording, rows),
    );
    print_table(table, &outcomes, rows);
    Ok(())
}

/// The count, and how sure it is.
fn top(j: &Judgement) -> (usize, f32) {
    (j.heard, likeliest(&j.count_probabilities).1)
}

/// The count without a target, and how sure it is; none of nothing where nothing was heard.
fn blind(ear: &Ear, evidence: Option<&Evidence>, speaking: Speaking) -> (usize, f32) {
    let judged = evidence.and_then(|e| ear.judge_evidence(e, None, speaking, &Rules::default()).ok());
    judged.as_ref().map_or((0, 0.0), top)
}

fn wanted(rows: &str, name: &str) -> bool {
    rows.is_empty() || rows.split(',').any(|r| r == name)
}

fn outcome(ear: &mut Ear, word: &ReadWord, recording: &Recording, rows: &str) -> MeasuredWord {
    let sounds = word.sounds();
    let rules = Rules::default();
    let mut out = MeasuredWord {
        child: word.is_child(),
        blind: None,
        count: sounds.len(),
        pairs: Vec::new(),
        right: None,
        counted: None,
        wrong: Vec::new(),
        same: (Vec::new(), Vec::new()),
        apart: Vec::new(),
        pieces: AskedVerdicts::default(),
        drawn: AskedVerdicts::default(),
        drawn_blind: None,
    };
    // A word in which no speech is found stays in every row, as a miss.
    let Ok(evidence) = ear.listen(recording, Speaking::Whole) else {
        out.pairs = word.neighbours.keys().map(|k| (k.clone(), false, 0.5)).collect();
        out.right = Some(Verdict::Unsure);
        return out;
    };
    if wanted(rows, "words") {
        out.blind = ear
            .judge_evidence(&evidence, None, Speaking::Whole, &rules)
            .ok()
            .map(|j| top(&j));
        if let Ok(j) = ear.judge_evidence(&evidence, Some(&asked(&sounds)), Speaking::Whole, &rules) {
            out.right = j.verdict;
            out.same.0.extend(j.fit.map(|f| f.same));
            out.counted = Some((top(&j).1, j.heard == sounds.len()));
        }
        for (kind, other) in &word.neighbours {
            let other = parse(&other.sounds);
            let choices = [vec![sounds.clone()], vec![other.clone()]];
            let told = ear.compare_evidence(&evidence, &choices).unwrap_or(vec![0.5; 2]);
            out.pairs.push((kind.clone(), told[0] > told[1], told[0].max(told[1])));
            if let Ok(j) = ear.judge_evidence(&evidence, Some(&asked(&other)), Speaking::Whole, &rules) {
                out.wrong.push((kind.clone(), j.verdict.unwrap_or(Verdict::Unsure)));
                out.same.1.extend(j.fit.map(|f| f.same));
            }
        }
    }
    let placed = ear
        .judge_evidence(&evidence, Some(&asked(&sounds)), Speaking::Whole, &rules)
        .ok();
    if let Some(placed) = placed {
        made_rows(ear, word, recording, &placed, rows, &mut out);
    }
    out
}

fn made_rows(
    ear: &mut Ear,
    word: &ReadWord,
    recording: &Recording,
    placed: &Judgement,
    rows: &str,
    out: &mut MeasuredWord,
) {
    let seed = word.start as u64;
    if wanted(rows, "apart") {
        for snr in [20u32, 10] {
            let Some(made) = made::apart(recording, &placed.sounds, f64::from(snr), seed) else {
                continue;
            };
            let evidence = ear.listen(&made.recording, Speaking::Separate).ok();
            let (count, p) = blind(ear, evidence.as_ref(), Speaking::Separate);
            out.apart.push((snr, made.is_lost(), count == word.phones.len(), p));
            if snr == 20 {
                out.pieces = ask(ear, evidence.as_ref(), Speaking::Separate, word, |kind| {
                    kind == "changed"
                });
            }
        }
    }
    if wanted(rows, "stretched")
        && let Some(made) = made::stretched(recording, &placed.sounds, seed)
    {
        let evidence = ear.listen(&made, Speaking::Stretched).ok();
        out.drawn = ask(ear, evidence.as_ref(), Speaking::Stretched, word, |_| true);
        out.drawn_blind = Some(blind(ear, evidence.as_ref(), Speaking::Stretched));
    }
}

/// What is said when the word is asked about, and when its neighbours of the `kinds` are; where nothing was heard, "unsure".
fn ask(
    ear: &Ear,
    evidence: Option<&Evidence>,
    speaking: Speaking,
    word: &ReadWord,
    kinds: impl Fn(&str) -> bool,
) -> AskedVerdicts {
    let judged = |sounds: Vec<Sound>| {
        let judged = ear.judge_evidence(evidence?, Some(&asked(&sounds)), speaking, &Rules::default());
        judged.ok()
    };
    let verdict = |j: &Option<Judgement>| j.as_ref().and_then(|j| j.verdict).unwrap_or(Verdict::Unsure);
    let right = judged(word.sounds());
    let exact = right.as_ref().is_some_and(|j| j.heard == word.phones.len());
    let others = word.neighbours.iter().filter(|(kind, _)| kinds(kind));
    AskedVerdicts {
        right: Some((verdict(&right), exact)),
        wrong: others.map(|(_, n)| verdict(&judged(parse(&n.sounds)))).collect(),
    }
}

/// Prints the `rows` asked for, children and adults apart; a row that was not asked for is not printed.
fn print_table(table: &mut Measurement, outcomes: &[MeasuredWord], rows: &str) {
    for (who, child) in [("children", true), ("adults", false)] {
        let these: Vec<&MeasuredWord> = outcomes.iter().filter(|o| o.child == child).collect();
        println!("{who}: {} words", these.len());
        let table = &mut table.of_whom(who);
        if wanted(rows, "words") {
            word_rows(table, &these);
        }
        if wanted(rows, "apart") {
            apart_rows(table, &these);
        }
        if wanted(rows, "stretched") {
            drawn_rows(table, &these);
        }
    }
}

/// Counts without a target: what was counted, how sure, and what the word has.
fn blind_rows(table: &mut Rows<'_>, name: &str, counts: &[(usize, f32, usize)]) {
    let within = |most: usize| counts.iter().filter(|b| b.0.abs_diff(b.2) <= most).count();
    table.row(&format!("{name} exact"), within(0), counts.len());
    table.row(&format!("{name} within one"), within(1), counts.len());
}

fn word_rows(table: &mut Rows<'_>, these: &[&MeasuredWord]) {
    let blind = |o: &&MeasuredWord| {
        let (count, p) = o.blind.unwrap_or_default();
        (count, p, o.count)
    };
    blind_rows(table, "blind count", &these.iter().map(blind).collect::<Vec<_>>());
    for kind in ["fewer", "more", "changed"] {
        let told = these.iter().flat_map(|o| &o.pairs).filter(|p| p.0 == kind);
        let name = format!("said word preferred to a real word with one {kind}");
        table.hits(&name, &told.map(|p| p.1).collect::<Vec<_>>());
    }
    verdict_rows(table, these);
    let same =
        |which: fn(&MeasuredWord) -> &Vec<f32>| -> Vec<f32> { these.iter().flat_map(|o| which(o)).copied().collect() };
    let (right, wrong) = (same(|o| &o.same.0), same(|o| &o.same.1));
    super::decision::print_curve(&right, &wrong);
    let caught = super::decision::point(&right, &wrong, 0.01, 0.8).caught;
    table.point("caught at 80 % answered, 1 % contradicted", caught);
    table.calibration(
        "calibration error, told from one other word",
        these.iter().flat_map(|o| &o.pairs).map(|p| (p.2, p.1)).collect(),
    );
    table.calibration(
        "calibration error, count given the right target",
        these.iter().filter_map(|o| o.counted).collect(),
    );
    let blind = |o: &&MeasuredWord| o.blind.map(|b| (b.1, b.0 == o.count));
    table.calibration(
        "calibration error, blind count",
        these.iter().filter_map(blind).collect(),
    );
}

fn apart_rows(table: &mut Rows<'_>, these: &[&MeasuredWord]) {
    for snr in [20, 10] {
        let apart = these.iter().flat_map(|o| &o.apart).filter(|a| a.0 == snr);
        let all = apart.clone().map(|a| a.2).collect::<Vec<_>>();
        table.hits(&format!("separate sounds, count exact, {snr} dB"), &all);
        let heard = apart.clone().filter(|a| !a.1).map(|a| a.2).collect::<Vec<_>>();
        table.hits(
            &format!("separate sounds, count exact, {snr} dB, no sound lost"),
            &heard,
        );
        table.calibration(
            &format!("calibration error, separate sounds, {snr} dB"),
            apart.map(|a| (a.3, a.2)).collect(),
        );
    }
    let pieces = |whole: bool| {
        these
            .iter()
            .filter(move |o| !(whole && o.apart.iter().any(|a| a.0 == 20 && a.1)))
            .map(|o| &o.pieces)
            .collect::<Vec<_>>()
    };
    asked_rows(table, "separate sounds, 20 dB", &pieces(false));
    asked_rows(table, "separate sounds, 20 dB, no sound lost", &pieces(true));
}

fn drawn_rows(table: &mut Rows<'_>, these: &[&MeasuredWord]) {
    let drawn: Vec<&AskedVerdicts> = these.iter().map(|o| &o.drawn).collect();
    let exact: Vec<bool> = drawn.iter().filter_map(|a| a.right).map(|r| r.1).collect();
    table.hits("stretched, count exact", &exact);
    asked_rows(table, "stretched", &drawn);
    let blind: Vec<(usize, f32, usize)> = these
        .iter()
        .filter_map(|o| o.drawn_blind.map(|b| (b.0, b.1, o.count)))
        .collect();
    blind_rows(table, "stretched, blind count", &blind);
    table.calibration(
        "calibration error, stretched, blind count",
        blind.iter().map(|b| (b.1, b.0 == b.2)).collect(),
    );
}

fn asked_rows(table: &mut Rows<'_>, name: &str, all: &[&AskedVerdicts]) {
    let right: Vec<Verdict> = all.iter().filter_map(|a| a.right).map(|r| r.0).collect();
    let wrong: Vec<Verdict> = all.iter().flat_map(|a| &a.wrong).copied().collect();
    let count = |of: &[Verdict], which: fn(&Verdict) -> bool| of.iter().filter(|v| which(v)).count();
    for (asked, of) in [("the word", right), ("another", wrong)] {
        table.row(
            &format!("{name}, asked about {asked}: affirmed"),
            count(&of, |v| *v == Verdict::Same),
            of.len(),
        );
        let against = count(&of, |v| !matches!(v, Verdict::Same | Verdict::Unsure));
        table.row(&format!("{name}, asked about {asked}: contradicted"), against, of.len());
    }
}

fn verdict_rows(table: &mut Rows<'_>, these: &[&MeasuredWord]) {
    let right: Vec<Verdict> = these.iter().filter_map(|o| o.right).collect();
    let answered: Vec<Verdict> = right.iter().copied().filter(|v| *v != Verdict::Unsure).collect();
    table.row("right readings answered", answered.len(), right.len());
    table.row(
        "right readings contradicted (of all)",
        answered.iter().filter(|v| **v != Verdict::Same).count(),
        right.len(),
    );
    let wrong: Vec<(&str, Verdict)> = these
        .iter()
        .flat_map(|o| &o.wrong)
        .map(|(k, v)| (k.as_str(), *v))
        .collect();
    let told: Vec<&(&str, Verdict)> = wrong.iter().filter(|w| w.1 != Verdict::Unsure).collect();
    table.row("one-off readings answered", told.len(), wrong.len());
    table.row(
        "one-off readings caught (of those answered)",
        told.iter().filter(|w| w.1 != Verdict::Same).count(),
        told.len(),
    );
    for kind in ["fewer", "more", "changed"] {
        // Asked about a word with one sound more, a reading of the plain word has one fewer; and the other way round.
        let of: Vec<_> = told.iter().filter(|w| w.0 == kind).collect();
        table.row(
            &format!("  asked about a word with one {kind}: caught"),
            of.iter().filter(|w| w.1 != Verdict::Same).count(),
            of.len(),
        );
    }
}
