//! `soundbead count`: one recording, one question.

use std::ffi::OsString;
use std::path::Path;

use soundbead_data::word::Source;

use super::args::{Common, Given, Next};
use crate::clips::Clips;
use crate::fault::Fault;
use crate::page::Page;
use crate::{answer, ask, settings, shown, store, target};

/// Reads the options, asks the ear, shows the answer.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut common, mut audio, mut word, mut sounds) = (Common::default(), None::<OsString>, None, None);
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("word") => word = Some(given.text()?),
            Next::Flag("sounds") => sounds = Some(given.text()?),
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
    let source = asked.and_then(|a| a.source);
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
