//! `soundbead vowel`: pitch and formants of a held vowel.

use std::ffi::OsString;
use std::path::Path;

use serde_json::{Value, json};
use soundbead_data::inventory;
use soundbead_dsp::formant::{self, VoiceKind, VowelReading};
use soundbead_dsp::{audio, voice};

use super::args::{Given, Next};
use crate::answer::Rounded;
use crate::fault::Fault;
use crate::page::{Page, Tone};
use crate::{say, shown};

/// Vowels shown to people; the rest are of no use to them.
const SHOWN: usize = 4;

/// Reads the options, measures, shows.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut json, mut who, mut audio) = (false, VoiceKind::Child, None::<OsString>);
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("json") => json = true,
            Next::Flag("voice") => {
                who = given
                    .text()?
                    .parse()
                    .map_err(|e| Fault::input(format_args!("--voice: {e}")))?;
            }
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(path) if audio.is_none() => audio = Some(path),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
    }
    let audio = audio.ok_or_else(|| given.missing("the recording"))?;
    let name = audio.to_string_lossy();
    let recording = audio::decode(Path::new(&audio)).map_err(Fault::input)?;
    let span = voice::find(&recording.clip)
        .word
        .ok_or_else(|| Fault::input(format_args!("{name}: {}", voice::Warning::NoSpeech)))?;
    let reading = formant::vowel(&recording.clip, span, who);
    let Some(steady) = reading.steady else {
        return Err(Fault::input(format_args!(
            "{name}: no steady voiced sound was found; hold the vowel for half a second, not whispered"
        )));
    };
    if json {
        return Ok(page.json(&as_json(who, &reading, steady))?);
    }
    Ok(show(page, &name, who, &reading, steady)?)
}

fn as_json(who: VoiceKind, reading: &VowelReading, steady: [f32; 3]) -> Value {
    let track = |pick: &dyn Fn(&formant::Formants) -> f32| -> Vec<Value> {
        reading.track.iter().map(|f| json!(Rounded::<1>(pick(f)))).collect()
    };
    let times: Vec<Value> = reading.track.iter().map(|f| json!(Rounded::<3>(f.time_s))).collect();
    let sure: Vec<Value> = reading
        .track
        .iter()
        .map(|f| json!(Rounded::<2>(f.confidence)))
        .collect();
    let nearest: Vec<Value> = reading
        .nearest
        .iter()
        .map(|n| json!({ "sound": n.vowel.arpabet(), "probability": Rounded::<4>(n.probability) }))
        .collect();
    json!({
        "voice": who.to_string(),
        "f0_hz": reading.f0.map(|f| json!(Rounded::<1>(f))),
        "f1_hz": Rounded::<1>(steady[0]),
        "f2_hz": Rounded::<1>(steady[1]),
        "f3_hz": Rounded::<1>(steady[2]),
        "nearest": nearest,
        "tracks": {
            "time_s": times, "f0_hz": track(&|f| f.f0), "f1_hz": track(&|f| f.hz[0]), "f2_hz": track(&|f| f.hz[1]),
            "f3_hz": track(&|f| f.hz[2]), "confidence": sure,
        },
    })
}

fn show(page: &mut Page, name: &str, who: VoiceKind, reading: &VowelReading, steady: [f32; 3]) -> std::io::Result<()> {
    let title = page.tone(Tone::Strong, "vowel");
    page.line(&format!("{title}, a {who}'s voice: {name}"))?;
    page.line("")?;
    if let Some(f0) = reading.f0 {
        page.line(&format!("  pitch      {f0:5.0} Hz"))?;
    }
    for (i, hz) in steady.iter().enumerate() {
        page.line(&format!("  F{}         {hz:5.0} Hz", i + 1))?;
    }
    page.line("")?;
    page.line("  nearest vowels")?;
    for near in reading.nearest.iter().take(SHOWN) {
        let entry = inventory::of(near.vowel);
        let word = entry
            .words
            .medial
            .as_deref()
            .or(entry.words.initial.as_deref())
            .unwrap_or_default();
        let bar = "█".repeat((near.probability * 20.0).round() as usize);
        let ipa = say::slashed(page, entry);
        page.line(&format!(
            "    {:3} {ipa:5} as in {word:10} {:>6}  {bar}",
            near.vowel,
            shown::per_cent(near.probability)
        ))?;
    }
    page.line("")?;
    page.paragraph(
        0,
        "Measured where the vowel is steadiest, and held against the vowels of American talkers of that group \
         (Hillenbrand and others 1995). High voices are hard to measure: a rough guide.",
    )?;
    shown::caution(page)
}
