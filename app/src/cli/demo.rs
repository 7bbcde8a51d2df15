//! `soundbead demo`: the main job on the made recordings, each beside what was really made.

use std::fs::File;
use std::io::BufReader;
use std::path::PathBuf;

use clap::Args;
use serde_json::Value;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::Verdict;

use super::options;
use crate::ask::ear::ear;
use crate::ask::line::{self, Setting};
use crate::clips::Clips;
use crate::fault::{Fault, unusable};
use crate::manifest::{Choices, LineQuestion, Lines, ManifestLine, WantedWord};
use crate::page::{OutputPage, TextTone};
use crate::{answer, shown, store};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct DemoArgs {
    /// Where the recordings and their manifest.jsonl are, when they are not found beside the program or here
    #[arg(long)]
    folder: Option<PathBuf>,
    #[command(flatten)]
    spoken: options::SpeakingArgs,
    #[command(flatten)]
    counting: options::CountingArgs,
}

const MORE: &str = "\
The recordings are spoken by machine voices. For each it shows what was really
made, what was expected and heard, where each sound lies, how sure the program
is, and whether it is right.

For example:
  $ soundbead demo
  ...
    made       G OW T (...)
  ...";

impl DemoArgs {
    /// Finds the recordings and goes through them.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let folder = match self.folder {
            Some(folder) => folder,
            None => find().ok_or_else(|| {
                Fault::input("recordings-demo was not found beside the program or here; it is in the project's own folder: say where with --folder")
            })?,
        };
        let setting = Setting {
            rules: self.counting.rules()?,
            speaking: self.spoken.speaking(),
            overrides: store::overrides()?,
            clips: Clips::default(),
            folder,
        };
        go_through(&setting, page)
    }
}

/// `recordings-demo` in the folder of the program or of this run, or in any folder above either; or where a package puts
/// it, in `share/soundbead` beside the program's `bin`.
fn find() -> Option<PathBuf> {
    let starts = [std::env::current_exe().ok(), std::env::current_dir().ok()];
    let above = starts.iter().flatten().flat_map(|start| start.ancestors());
    above
        .flat_map(|folder| {
            [
                folder.join("recordings-demo"),
                folder.join("share/soundbead/recordings-demo"),
            ]
        })
        .find(|folder| folder.join("manifest.jsonl").is_file())
}

fn go_through(setting: &Setting, page: &mut OutputPage) -> Result<(), Fault> {
    let manifest = setting.folder.join("manifest.jsonl");
    let fault = |e: &str| Fault::input(format_args!("{}: {e}", manifest.display()));
    let unread = |e| unusable(&manifest, "the list of recordings cannot be read", &e);
    let file = File::open(&manifest).map_err(unread)?;
    page.paragraph(
        0,
        "Made recordings of an invented family's afternoon: machine voices, no person's. Under each word stand \
        what was really made, what was expected, what was heard, and whether the program is right.",
    )?;
    page.line("")?;
    let (mut ear, mut tally) = (ear()?, DemoTally::default());
    let mut lines = Lines::new(BufReader::new(file));
    let mut rules = None;
    while let Some(line) = lines.next().map_err(|why| fault(&why))? {
        let line = line.map_err(|bad| fault(&bad.error))?;
        let outcome = match &line.question {
            LineQuestion::Count(wanted) => show_count(&mut ear, setting, &line, wanted, page)?,
            LineQuestion::Choose(choices) => show_choice(&mut ear, setting, &line, choices, page)?,
        };
        tally.add(outcome);
        rules.get_or_insert_with(|| shown::rules_line(&setting.rules));
        page.flush()?;
    }
    tally.show(page)?;
    if let Some(rules) = rules {
        page.paragraph(0, &format!("{rules} Where a recording has its own, it says so."))?;
    }
    Ok(shown::caution(page)?)
}

/// How the program's answer stands to what was made.
#[derive(Clone, Copy, PartialEq, Eq)]
enum DemoOutcome {
    /// The verdict is what was made.
    Right,
    /// It is another.
    Wrong,
    /// The program says that it does not know.
    Unsure,
    /// Nothing to be right about: the start is missing, or nobody spoke.
    Open,
    /// The recording was refused.
    Refused,
}

/// What the manifest says was really made: for the reader, after the judgement, never for the judge.
struct GroundTruth {
    /// Whether the manifest says anything at all.
    told: bool,
    sounds: String,
    how: String,
    verdict: Option<String>,
    word: Option<String>,
}

impl GroundTruth {
    fn of(line: &ManifestLine) -> GroundTruth {
        let made = line.extra.get("made").unwrap_or(&Value::Null);
        let sounds = made["sounds"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Value::as_str);
        let sounds: Vec<&str> = sounds.collect();
        let text = |field: &str| made[field].as_str().map(str::to_owned);
        GroundTruth {
            told: made.is_object(),
            sounds: sounds.join(" "),
            how: text("how").unwrap_or_default(),
            verdict: text("verdict"),
            word: text("word"),
        }
    }

    fn count(&self) -> usize {
        self.sounds.split_whitespace().count()
    }

    fn show(&self, page: &mut OutputPage) -> Result<(), Fault> {
        let sounds = if self.sounds.is_empty() {
            "nothing"
        } else {
            &self.sounds
        };
        let text = if self.told {
            format!("{sounds} ({})", self.how)
        } else {
            "the manifest does not say".to_owned()
        };
        Ok(shown::row(page, "made", &text)?)
    }
}

fn title(page: &mut OutputPage, line: &ManifestLine, what: &str) -> Result<(), Fault> {
    let name = line.id.as_str().unwrap_or_default();
    let rules: Vec<String> = line
        .rules
        .iter()
        .map(|(name, value)| format!(", {name}={value}"))
        .collect();
    let name = page.tone(TextTone::Strong, name);
    Ok(page.line(&format!("{name}   {what}{}", rules.concat()))?)
}

fn show_count(
    ear: &mut Ear,
    setting: &Setting,
    asked: &ManifestLine,
    wanted: &WantedWord,
    page: &mut OutputPage,
) -> Result<DemoOutcome, Fault> {
    let word = wanted.word.as_deref();
    let speaking = asked.speaking.unwrap_or(setting.speaking).name();
    title(page, asked, &format!("{}, {speaking}", word.unwrap_or("no word given")))?;
    let made = GroundTruth::of(asked);
    let counted = match line::count(ear, setting, asked, wanted) {
        Ok(counted) => counted,
        Err(wrong) => return refused(page, &made, &wrong.what),
    };
    let judgement = &counted.judgement;
    made.show(page)?;
    let heard = shown::ShownJudgement {
        word,
        source: counted.source,
        judgement,
        rules: &counted.rules,
    };
    shown::rows(page, &heard)?;
    let outcome = match (judgement.verdict, made.verdict.as_deref()) {
        _ if !made.told => DemoOutcome::Open,
        (None, _) if judgement.heard == made.count() => DemoOutcome::Right,
        (None, _) => DemoOutcome::Wrong,
        (_, None | Some("unsure")) => DemoOutcome::Open,
        (Some(Verdict::Unsure), _) => DemoOutcome::Unsure,
        (Some(verdict), Some(made)) if verdict.name() == made => DemoOutcome::Right,
        _ => DemoOutcome::Wrong,
    };
    say_outcome(page, outcome)?;
    shown::strip(page, judgement)?;
    if judgement.sounds.is_empty() {
        page.line("")?;
    }
    Ok(outcome)
}

fn show_choice(
    ear: &mut Ear,
    setting: &Setting,
    asked: &ManifestLine,
    choices: &Choices,
    page: &mut OutputPage,
) -> Result<DemoOutcome, Fault> {
    let words: Vec<String> = match choices {
        Choices::Words(words) => words.clone(),
        Choices::Sounds(rows) => rows.iter().map(|row| answer::names(row).join(" ")).collect(),
    };
    title(page, asked, &format!("which of: {}", words.join(", ")))?;
    let made = GroundTruth::of(asked);
    let answer = match line::choose(ear, setting, asked, choices) {
        Ok(answer) => answer,
        Err(wrong) => return refused(page, &made, &wrong.what),
    };
    made.show(page)?;
    let each: Vec<String> = words
        .iter()
        .zip(&answer.probabilities)
        .map(|(w, p)| format!("{w} {}", shown::per_cent(*p)))
        .collect();
    shown::row(page, "heard", &each.join(", "))?;
    let best = &words[answer.best];
    let outcome = match made.word.as_deref() {
        None => DemoOutcome::Open,
        Some(word) if word == best => DemoOutcome::Right,
        Some(_) => DemoOutcome::Wrong,
    };
    say_outcome(page, outcome)?;
    page.line("")?;
    Ok(outcome)
}

fn refused(page: &mut OutputPage, made: &GroundTruth, error: &str) -> Result<DemoOutcome, Fault> {
    made.show(page)?;
    shown::row(page, "not used", error)?;
    page.line("")?;
    // Refusing a recording in which nobody speaks is what should happen; refusing a word is not.
    Ok(if made.sounds.is_empty() {
        DemoOutcome::Open
    } else {
        DemoOutcome::Refused
    })
}

fn say_outcome(page: &mut OutputPage, outcome: DemoOutcome) -> Result<(), Fault> {
    let (tone, text) = match outcome {
        DemoOutcome::Right => (TextTone::Good, "right"),
        DemoOutcome::Wrong => (TextTone::Other, "WRONG"),
        DemoOutcome::Unsure => (TextTone::Quiet, "left open: unsure, though a clear answer was possible"),
        DemoOutcome::Open => (
            TextTone::Quiet,
            "no right answer: too little was recorded, or the list does not say",
        ),
        DemoOutcome::Refused => (TextTone::Other, "not judged"),
    };
    let text = page.tone(tone, text);
    Ok(shown::row(page, "result", &text)?)
}

/// How many of each outcome.
#[derive(Default)]
struct DemoTally {
    outcomes: Vec<DemoOutcome>,
}

impl DemoTally {
    fn add(&mut self, outcome: DemoOutcome) {
        self.outcomes.push(outcome);
    }

    fn show(&self, page: &mut OutputPage) -> Result<(), Fault> {
        let number = |outcome| self.outcomes.iter().filter(|o| **o == outcome).count();
        page.paragraph(
            0,
            &format!(
                "{} questions: {} right, {} wrong, {} unsure, {} not judged, {} without a right answer.",
                self.outcomes.len(),
                number(DemoOutcome::Right),
                number(DemoOutcome::Wrong),
                number(DemoOutcome::Unsure),
                number(DemoOutcome::Refused),
                number(DemoOutcome::Open),
            ),
        )?;
        page.paragraph(
            0,
            "Machine voices are not children: these figures show how the program works, not how well.",
        )?;
        Ok(())
    }
}
