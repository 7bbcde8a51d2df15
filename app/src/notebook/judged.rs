//! What the ear found in an attempt, read back from the answer that was kept.

use std::collections::BTreeMap;

use serde::Deserialize;
use soundbead_dsp::judgement::{Fit, Placed, Verdict};

use super::Attempt;
use super::code;

/// What the ear found in an attempt.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The most probable count.
    pub heard: u16,
    /// Each count and how probable it is, 0 to 1, small counts first.
    pub counts: Vec<(u16, f32)>,
    /// The verdict.
    pub verdict: Option<Verdict>,
    /// How probable each reading is.
    pub fit: Option<Fit>,
    /// The sounds where they lie, in seconds from the recording's start.
    pub sounds: Vec<Placed>,
    /// Level of the speech, dBFS.
    pub level_dbfs: Option<f32>,
    /// Signal to noise, dB.
    pub snr_db: Option<f32>,
    /// Whether the recording is clipped.
    pub clipped: bool,
    /// Seconds of speech.
    pub speech_s: Option<f32>,
    /// What is wrong with the recording, by name.
    pub warnings: Vec<String>,
    /// Where to listen, in a line.
    pub listen: Option<String>,
}

/// The answer line as it is kept; fields of no use here are passed over.
#[derive(Deserialize)]
struct Kept {
    heard: u16,
    #[serde(default)]
    count_probabilities: BTreeMap<u16, f32>,
    verdict: Option<String>,
    fit: Option<KeptFit>,
    #[serde(default)]
    sounds: Vec<KeptSound>,
    quality: KeptQuality,
}

#[derive(Deserialize)]
struct KeptFit {
    same: f32,
    fewer: f32,
    more: f32,
    changed: f32,
}

#[derive(Deserialize)]
struct KeptSound {
    sound: String,
    start_s: f32,
    end_s: f32,
    evidence: f32,
}

#[derive(Deserialize)]
struct KeptQuality {
    level_dbfs: Option<f32>,
    snr_db: Option<f32>,
    clipped: bool,
    speech_s: Option<f32>,
    warnings: Vec<String>,
}

impl Judged {
    /// Reads an answer; an error is one line.
    pub(super) fn read(answer: &str, listen: Option<&str>) -> Result<Judged, String> {
        let wrong = |e: &dyn std::fmt::Display| format!("the ear's answer that was kept cannot be read: {e}");
        let kept: Kept = serde_json::from_str(answer).map_err(|e| wrong(&e))?;
        let verdict = kept
            .verdict
            .as_deref()
            .map(|name| code::verdict_named(name).ok_or(name));
        let placed = |s: KeptSound| {
            let sound = s.sound.parse().map_err(|e| wrong(&e))?;
            Ok(Placed {
                sound,
                start_s: s.start_s,
                end_s: s.end_s,
                evidence: s.evidence,
            })
        };
        Ok(Judged {
            heard: kept.heard,
            counts: kept.count_probabilities.into_iter().collect(),
            verdict: verdict
                .transpose()
                .map_err(|name| wrong(&format!("no verdict is `{name}`")))?,
            fit: kept.fit.map(|f| Fit {
                same: f.same,
                fewer: f.fewer,
                more: f.more,
                changed: f.changed,
            }),
            sounds: kept.sounds.into_iter().map(placed).collect::<Result<_, String>>()?,
            level_dbfs: kept.quality.level_dbfs,
            snr_db: kept.quality.snr_db,
            clipped: kept.quality.clipped,
            speech_s: kept.quality.speech_s,
            warnings: kept.quality.warnings,
            listen: listen.map(str::to_owned),
        })
    }

    /// How probable the verdict is; none for "unsure".
    pub fn sure(&self) -> Option<f32> {
        let fit = self.fit?;
        match self.verdict? {
            Verdict::Same => Some(fit.same),
            Verdict::Fewer => Some(fit.fewer),
            Verdict::More => Some(fit.more),
            Verdict::Changed => Some(fit.changed),
            Verdict::Unsure => None,
        }
    }

    /// Puts what a list of attempts shows of it into the attempt.
    pub(super) fn sum_up(&self, attempt: &mut Attempt) {
        attempt.heard = Some(self.heard);
        attempt.verdict = self.verdict;
        attempt.sure = self.sure().map(f64::from);
    }
}
