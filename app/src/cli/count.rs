//! `soundbead count`: one recording, one question.

use std::ffi::OsString;
use std::path::Path;

use soundbead_data::word::Source;

use super::args::{Common, Given, Next};
use super::who;
use crate::clips::Clips;
use crate::fault::Fault;
use crate::notebook::{MODEL, NewAttempt, NewSession, Notebook};
use crate::page::Page;
use crate::{answer, ask, settings, shown, store, target};

/// Reads the options, asks the ear, shows the answer.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut common, mut audio, mut word, mut sounds) = (Common::default(), None::<OsString>, None, None);
    let (mut learner, mut counted) = (None, None);
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("word") => word = Some(given.text()?),
            Next::Flag("sounds") => sounds = Some(given.text()?),
            Next::Flag("learner") => learner = Some(given.text()?),
            Next::Flag("counted") => counted = Some(number(&given.text()?)?),
            Next::Flag(flag) if common.take_spoken(flag, &mut given)? => {}
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(path) if audio.is_none() => audio = Some(path),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
    }
    let audio = audio.ok_or_else(|| given.missing("the recording"))?;
    let (rules, speaking) = (common.rules()?, common.speaking()?);
    let sounds = sounds.map(|s: String| settings::sounds(&s)).transpose();
    let sounds = sounds.map_err(|e| Fault::input(format_args!("--sounds: {e}")))?;
    let asked = target::resolve(word.as_deref(), sounds.as_deref(), &store::overrides()?);
    let asked = asked.map_err(|e| Fault::input(format_args!("--word: {e}")))?;
    let cut = Clips::default()
        .cut(Path::new(&audio), None, None)
        .map_err(Fault::input)?;
    let judged = ask::ear()?.judge(&cut.recording, asked.as_ref().map(|a| &a.target), speaking, &rules);
    let name = audio.to_string_lossy();
    let judgement = judged.map_err(|e| Fault::input(format_args!("{name}: {e}")))?;
    let source = asked.as_ref().and_then(|a| a.source);
    if let Some(learner) = learner {
        let asked = asked.zip(word.as_deref());
        let (asked, word) =
            asked.ok_or_else(|| given.missing("--word, without which nothing is kept for --learner,"))?;
        let attempt = NewAttempt {
            word,
            sounds: &asked.target.variants[0],
            speaking,
            rules: rules.clone(),
            child: counted,
            judgement: Some(&judgement),
            model: MODEL,
            clip: Some(&cut.recording.clip),
            ..NewAttempt::default()
        };
        keep(&learner, &attempt)?;
    }
    if common.json {
        if source == Some(Source::Guess) {
            eprintln!("soundbead: {}", shown::guess_note(word.as_deref().unwrap_or_default()));
        }
        let id = serde_json::Value::from(name.as_ref());
        return Ok(page.json(&answer::answer(id, word.as_deref(), &judgement, &rules, 0.0))?);
    }
    let heard = shown::Heard {
        word: word.as_deref(),
        source,
        judgement: &judgement,
        rules: &rules,
    };
    Ok(shown::full(page, &name, &heard)?)
}

/// How many counters the child pushed.
fn number(text: &str) -> Result<u16, Fault> {
    let counted = text.parse().ok().filter(|n| usize::from(*n) <= settings::LONGEST);
    counted.ok_or_else(|| Fault::input(format_args!("--counted: `{text}` is no count of sounds; write it as 3")))
}

/// Writes the attempt into the notebook, in a session of its own.
fn keep(learner: &str, attempt: &NewAttempt) -> Result<(), Fault> {
    let mut notebook = Notebook::open()?;
    let learner = who::learner(&notebook, learner)?;
    let session = notebook.begin_session(learner.id, &NewSession::default())?.id;
    notebook.record(session, attempt)?;
    Ok(notebook.end_session(session)?)
}
