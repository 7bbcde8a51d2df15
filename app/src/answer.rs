//! A judgement as the answer line that programs read. The order of the fields is the contract's.

use serde::{Serialize, Serializer};
use serde_json::{Map, Value};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::{Judgement, Verdict};

/// One answer line of `count` and `batch`.
#[derive(Serialize)]
pub struct CountAnswer {
    id: Value,
    word: Option<String>,
    speaking: &'static str,
    expected: Option<usize>,
    expected_sounds: Option<Vec<&'static str>>,
    heard: usize,
    count_probabilities: Map<String, Value>,
    verdict: Option<&'static str>,
    fit: Option<AnswerFit>,
    sounds: Vec<AnswerSound>,
    quality: AnswerQuality,
    rules: Map<String, Value>,
    /// The id of the model that judged.
    model: Option<String>,
}

#[derive(Serialize)]
struct AnswerFit {
    same: Rounded<4>,
    fewer: Rounded<4>,
    more: Rounded<4>,
    changed: Rounded<4>,
}

#[derive(Serialize)]
struct AnswerSound {
    sound: &'static str,
    start_s: Rounded<3>,
    end_s: Rounded<3>,
    evidence: Rounded<3>,
    right: Rounded<3>,
}

#[derive(Serialize)]
struct AnswerQuality {
    level_dbfs: Rounded<1>,
    snr_db: Option<Rounded<1>>,
    clipped: bool,
    speech_s: Rounded<2>,
    warnings: Vec<&'static str>,
}

/// A number written with at most `PLACES` places after the point; null when it is none (JSON has no NaN).
pub struct Rounded<const PLACES: i32>(pub f32);

impl<const PLACES: i32> Rounded<PLACES> {
    fn value(&self) -> f64 {
        let unit = 10f64.powi(PLACES);
        // Adding zero turns -0 into 0.
        (f64::from(self.0) * unit).round() / unit + 0.0
    }
}

impl<const PLACES: i32> Serialize for Rounded<PLACES> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0.is_finite() {
            serializer.serialize_f64(self.value())
        } else {
            serializer.serialize_none()
        }
    }
}

/// The answer to a count question. `offset_s` is added to every time: where the cut began in its recording.
pub fn answer(id: Value, word: Option<&str>, judgement: &Judgement, rules: &Rules, offset_s: f32) -> CountAnswer {
    let blind = judgement.expected.is_none();
    CountAnswer {
        id,
        word: word.map(str::to_owned),
        speaking: judgement.speaking.name(),
        expected: judgement.expected,
        expected_sounds: (!blind).then(|| names(&judgement.expected_sounds)),
        heard: judgement.heard,
        count_probabilities: probabilities(&judgement.count_probabilities),
        verdict: judgement.verdict.map(Verdict::name),
        fit: judgement.fit.as_ref().map(|f| AnswerFit {
            same: Rounded(f.same),
            fewer: Rounded(f.fewer),
            more: Rounded(f.more),
            changed: Rounded(f.changed),
        }),
        sounds: judgement
            .sounds
            .iter()
            .map(|p| AnswerSound {
                sound: p.sound.arpabet(),
                start_s: Rounded(p.start_s + offset_s),
                end_s: Rounded(p.end_s + offset_s),
                evidence: Rounded(p.evidence),
                right: Rounded(p.sure()),
            })
            .collect(),
        quality: quality(&judgement.quality),
        rules: rules_map(rules),
        model: judgement.model.map(|id| id.to_string()),
    }
}

fn quality(q: &soundbead_dsp::voice::Quality) -> AnswerQuality {
    AnswerQuality {
        level_dbfs: Rounded(q.level_dbfs),
        snr_db: q.snr_db.map(Rounded),
        clipped: q.clipped,
        speech_s: Rounded(q.speech_s),
        warnings: q.warnings.iter().map(|w| w.name()).collect(),
    }
}

/// Counts and how likely each is, small counts first; those that would be written as 0 are left out.
fn probabilities(pairs: &[(usize, f32)]) -> Map<String, Value> {
    let mut pairs: Vec<_> = pairs.to_vec();
    pairs.sort_by_key(|(count, _)| *count);
    let rounded = pairs
        .iter()
        .map(|(count, p)| (count.to_string(), Rounded::<4>(*p).value()));
    rounded
        .filter(|(_, p)| *p > 0.0)
        .map(|(count, p)| (count, Value::from(p)))
        .collect()
}

/// The rules in force, by name.
pub fn rules_map(rules: &Rules) -> Map<String, Value> {
    rules
        .iter()
        .map(|(name, value)| (name.to_owned(), Value::from(value)))
        .collect()
}

/// Sounds as their ARPAbet names.
pub fn names(sounds: &[Sound]) -> Vec<&'static str> {
    sounds.iter().map(|s| s.arpabet()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_nan() {
        let written = |n: f32| serde_json::to_string(&Rounded::<3>(n)).unwrap();
        assert_eq!(written(0.1 + 0.2), "0.3");
        assert_eq!(written(-0.0001), "0.0");
        assert_eq!(written(f32::NAN), "null");
    }

    #[test]
    fn counts_come_in_order_and_specks_are_left_out() {
        let map = probabilities(&[(3, 0.93), (2, 0.06999), (9, 0.000001)]);
        assert_eq!(serde_json::to_string(&map).unwrap(), r#"{"2":0.07,"3":0.93}"#);
    }
}
