//! `soundbead vowel`: pitch and formants of a held vowel.

use std::path::PathBuf;

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::inventory;
use soundbead_dsp::formant::{self, VoiceKind, VowelReading};
use soundbead_dsp::{audio, voice};

use super::values;
use crate::answer::Rounded;
use crate::fault::Fault;
use crate::page::{OutputPage, TextTone};
use crate::{say, shown};

/// Vowels shown to people; the rest are of no use to them.
const SHOWN: usize = 4;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct VowelArgs {
    /// The recording
    audio: PathBuf,
    /// Whose voice it is; child when not given
    #[arg(long, value_name = "WHO", value_parser = values::voice(), ignore_case = true)]
    voice: Option<VoiceKind>,
    /// Medians, tracks and the nearest vowels, as one JSON object
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Measures a vowel that is held: pitch (F0) and the first three resonances of the
mouth (formants F1 to F3), and which vowels of English they are nearest to.

How near it is to each is the probability among twelve vowels as talkers of that
group say them: Hillenbrand, Getty, Clark and Wheeler (1995), J. Acoust. Soc.
Am. 97, 3099-3111.
Formants of high voices are hard to measure: take them as a rough guide.

For example:
  $ soundbead vowel recordings-demo/10-lamb.wav --voice child
  vowel, a child's voice: recordings-demo/10-lamb.wav
  ...";

impl VowelArgs {
    /// Measures and shows.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let who = self.voice.unwrap_or(VoiceKind::Child);
        let name = self.audio.to_string_lossy();
        let recording = audio::decode(&self.audio).map_err(Fault::input)?;
        let span = voice::find(&recording.clip)
            .word
            .ok_or_else(|| Fault::input(format_args!("{name}: {}", voice::Warning::NoSpeech)))?;
        let reading = formant::vowel(&recording.clip, span, who);
        let Some(steady) = reading.steady else {
            return Err(Fault::input(format_args!(
                "{name}: no steady voiced sound was found; hold the vowel for half a second, not whispered"
            )));
        };
        if self.json {
            return Ok(page.json(&as_json(who, &reading, steady))?);
        }
        Ok(show(page, &name, who, &reading, steady)?)
    }
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

fn show(
    page: &mut OutputPage,
    name: &str,
    who: VoiceKind,
    reading: &VowelReading,
    steady: [f32; 3],
) -> std::io::Result<()> {
    let title = page.tone(TextTone::Strong, "vowel");
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
         (Peterson and Barney 1952, Hillenbrand and others 1995, pooled). High voices are hard to measure: a rough guide.",
    )?;
    shown::caution(page)
}
