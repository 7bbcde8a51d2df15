//! From a recording to a judgement: features, model, hypotheses, words.

mod settings;

use std::fmt;

pub use settings::Settings;

use soundbead_data::{Rules, Sound};

use crate::align::{Lattice, NEVER, Weighing};
use crate::apart::{self, Lift};
use crate::audio::{Clip, RATE, Recording};
use crate::blind;
use crate::count::{self, Reading, Slip};
use crate::decide::{Comparison, MEASURES};
use crate::frame::{FRAME, Mel};
use crate::heard::{self, Heard, PieceScores};
use crate::judgement::{Judgement, Speaking, Target};
use crate::model::{Model, ModelError, Scores, classes_of};
use crate::voice::{self, Quality, Span};

/// Samples kept on each side of the word: real where the recording has them, else near-silence (150 ms).
const MARGIN: usize = 2400;
/// Recordings up to this long are heard whole, in seconds.
const WHOLE_S: f64 = 2.0;
/// Longest stretch that is judged as one word, in seconds; a word drawn out by a patient child takes about six.
pub const LONGEST_S: f32 = 15.0;

/// Why there is no judgement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EarError {
    /// Nothing that sounds like speech was found.
    NoSpeech,
    /// The speech is longer than one word can be; seconds found.
    TooLong(u32),
    /// A target or choice without sounds.
    NoSounds,
    /// The recording is too short for the sounds asked about.
    TooShort,
}

impl fmt::Display for EarError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            EarError::NoSpeech => {
                f.write_str("no speech was found in the recording; record again, closer to the microphone")
            }
            EarError::TooLong(s) => {
                write!(
                    f,
                    "the speech is {s} s long, more than one word; record one word, or give its start and end"
                )
            }
            EarError::NoSounds => f.write_str("the target has no sounds; name at least one"),
            EarError::TooShort => f.write_str("the recording is too short for so many sounds; record the whole word"),
        }
    }
}

impl std::error::Error for EarError {}

/// Listens. Made once, it keeps its working space between words.
pub struct Ear {
    model: Model,
    mel: Mel,
    settings: Settings,
    samples: Vec<f32>,
    frames: Vec<f32>,
}

/// What was heard in one recording, before anything is asked about it.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// Log-probabilities over time.
    pub scores: Scores,
    /// How good the recording is.
    pub quality: Quality,
    /// How far each frame stands out of the recording's quiet; only for sounds said apart.
    lift: Vec<Lift>,
    place: Place,
}

/// Where the scored frames lie in the recording.
#[derive(Clone, Copy, Debug)]
struct Place {
    /// Seconds from the recording's start to the first frame (negative where silence was put before it).
    offset_s: f32,
    /// Length of the recording in seconds.
    end_s: f32,
}

impl Place {
    fn at(&self, frame: usize) -> f32 {
        (self.offset_s + (frame * FRAME) as f32 / RATE as f32).clamp(0.0, self.end_s)
    }
}

impl Ear {
    /// Loads the model.
    ///
    /// # Errors
    /// When the weights that come with the program are broken.
    pub fn new() -> Result<Ear, ModelError> {
        Ok(Ear::with_model(Model::new()?))
    }

    /// Listens with another network than the program's own.
    pub fn with_model(model: Model) -> Ear {
        Ear {
            model,
            mel: Mel::new(1.0),
            settings: Settings::default(),
            samples: Vec::new(),
            frames: Vec::new(),
        }
    }

    /// Finds the word in a recording and scores its frames: everything that does not depend on what is asked.
    ///
    /// # Errors
    /// When there is no speech, or more than one word of it.
    pub fn listen(&mut self, recording: &Recording, speaking: Speaking) -> Result<Evidence, EarError> {
        let voice = voice::find(&recording.clip);
        let word = voice.word.ok_or(EarError::NoSpeech)?;
        let span = match speaking {
            // A soft sound said by itself is easily taken for a click or a breath: let the model hear them all.
            Speaking::Separate => Span {
                start: 0,
                end: recording.clip.samples.len(),
            },
            _ => whole_if_short(&recording.clip, word),
        };
        if span.seconds() > LONGEST_S {
            return Err(EarError::TooLong(span.seconds().round() as u32));
        }
        // The model was trained on words laid on near-silence; sounds said apart are counted against the room's noise.
        let noise_dbfs = if speaking == Speaking::Separate {
            voice.noise_dbfs
        } else {
            f32::NEG_INFINITY
        };
        let place = self.cut(&recording.clip.samples, span, noise_dbfs);
        self.mel.frames(&self.samples, &mut self.frames);
        let mut scores = Scores::default();
        self.model.score(&self.frames, &mut scores);
        Ok(Evidence {
            scores,
            lift: match speaking {
                Speaking::Separate => apart::lift(&self.frames),
                _ => Vec::new(),
            },
            place,
            quality: voice::quality(recording, &voice),
        })
    }

    /// Judges what was said against the target, or counts blindly when there is none.
    ///
    /// # Errors
    /// As [`Ear::listen`], and for a target without sounds or with more than the recording can hold.
    pub fn judge(
        &mut self,
        recording: &Recording,
        target: Option<&Target>,
        speaking: Speaking,
        rules: &Rules,
    ) -> Result<Judgement, EarError> {
        let evidence = self.listen(recording, speaking)?;
        self.judge_evidence(&evidence, target, speaking, rules)
    }

    /// [`Ear::judge`] for what has been listened to already.
    ///
    /// # Errors
    /// As [`Ear::judge`].
    pub fn judge_evidence(
        &self,
        evidence: &Evidence,
        target: Option<&Target>,
        speaking: Speaking,
        rules: &Rules,
    ) -> Result<Judgement, EarError> {
        if target.is_some_and(|t| t.variants.is_empty() || t.variants.iter().any(Vec::is_empty)) {
            return Err(EarError::NoSounds);
        }
        let heard = match (speaking, target) {
            (Speaking::Separate, _) => self.judge_apart(evidence, target, rules),
            (_, Some(target)) => self.judge_target(evidence, target, speaking, rules)?,
            (_, None) => self.judge_blind(evidence, speaking, rules),
        };
        Ok(heard.settle(&self.settings, speaking, evidence.quality.clone()))
    }

    /// Which of several words was said: one probability a choice. Each choice is a list of pronunciations.
    ///
    /// # Errors
    /// As [`Ear::judge`].
    pub fn compare(&mut self, recording: &Recording, choices: &[Vec<Vec<Sound>>]) -> Result<Vec<f32>, EarError> {
        let evidence = self.listen(recording, Speaking::Whole)?;
        self.compare_evidence(&evidence, choices)
    }

    /// [`Ear::compare`] for what has been listened to already.
    ///
    /// # Errors
    /// As [`Ear::judge`].
    pub fn compare_evidence(&self, evidence: &Evidence, choices: &[Vec<Vec<Sound>>]) -> Result<Vec<f32>, EarError> {
        if choices.is_empty() || choices.iter().any(|c| c.is_empty() || c.iter().any(Vec::is_empty)) {
            return Err(EarError::NoSounds);
        }
        let lattice = Lattice::new(&evidence.scores, self.model.path(), Weighing::default());
        let best = |choice: &Vec<Vec<Sound>>| {
            let score = |sounds: &Vec<Sound>| {
                lattice.score(&classes_of(sounds)) + self.settings.each_sound * sounds.len() as f32
            };
            let scores = choice.iter().map(score);
            scores.fold(f32::MIN, f32::max) * self.settings.compare
        };
        let scores: Vec<f32> = choices.iter().map(best).collect();
        let top = scores.iter().fold(f32::MIN, |m, s| m.max(*s));
        if top < NEVER * self.settings.compare / 2.0 {
            return Err(EarError::TooShort);
        }
        let sum: f32 = scores.iter().map(|s| (s - top).exp()).sum();
        Ok(scores.iter().map(|s| (s - top).exp() / sum).collect())
    }

    /// The samples that were scored last.
    pub fn heard_samples(&self) -> &[f32] {
        &self.samples
    }

    /// The settings, for calibration.
    pub fn settings_mut(&mut self) -> &mut Settings {
        &mut self.settings
    }

    /// Copies the word with its margins, in whole frames, into the working space.
    fn cut(&mut self, samples: &[f32], span: Span, noise_dbfs: f32) -> Place {
        let first = span.start as isize - MARGIN as isize;
        let wanted = (span.end + MARGIN) as isize - first;
        let length = (wanted as usize).next_multiple_of(FRAME);
        let inside = &samples[first.max(0) as usize..(span.end + MARGIN).min(samples.len())];
        let peak = inside.iter().fold(0.0f32, |m, x| m.max(x.abs()));
        self.samples.clear();
        // Where the recording has nothing, a hiss of `noise_dbfs` stands for silence (at least 60 dB under the peak): a
        // fixed one, so that the same recording always gives the same answer (the multiplier is that of
        // Numerical Recipes, 2nd ed., section 7.1). A hiss even between -a and a has the power a^2 / 3.
        let faint = 1.7e-3 * peak;
        let noise = (3f32.sqrt() * 10f32.powf(noise_dbfs / 20.0)).clamp(faint, 0.2 * peak.max(1e-6));
        let mut seed = 1u32;
        let mut hiss = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 8) as f32 / (1u32 << 23) as f32 - 1.0
        };
        for i in 0..length as isize {
            let real = usize::try_from(first + i).ok().and_then(|at| samples.get(at)).copied();
            let h = hiss();
            self.samples.push(real.map_or(noise * h, |x| x + faint * h));
        }
        Place {
            offset_s: first as f32 / RATE as f32,
            end_s: samples.len() as f32 / RATE as f32,
        }
    }

    fn judge_target(
        &self,
        evidence: &Evidence,
        target: &Target,
        speaking: Speaking,
        rules: &Rules,
    ) -> Result<Heard, EarError> {
        let longest = target.variants.iter().map(Vec::len).max().unwrap_or(1);
        let lattice = self.lattice(evidence, speaking, drawn_weight(evidence, longest));
        let all: Vec<Vec<Reading>> = target.variants.iter().map(|v| count::readings(&lattice, v)).collect();
        // The variant that fits best stands for the target; the others count as the same word.
        let best = (0..all.len())
            .max_by(|a, b| all[*a][0].score.total_cmp(&all[*b][0].score))
            .unwrap_or(0);
        let (sounds, readings) = (&target.variants[best], &all[best]);
        let slips: Vec<Slip> = readings
            .iter()
            .map(|r| heard::forgiven(target, sounds, r.slip, rules))
            .collect();
        let blind = blind::row(&lattice, self.model.path(), &self.settings.blind);
        let placing = self.placing(evidence, speaking);
        let cuts = placing.cuts(&classes_of(sounds)).ok_or(EarError::TooShort)?;
        let comparison = Comparison {
            readings,
            own: &slips.iter().map(|s| *s == Slip::None).collect::<Vec<_>>(),
            row: blind.total as f32,
            sounds,
            cuts: &cuts,
            scores: &evidence.scores,
        };
        let (probabilities, other) = self.share_out(&comparison, speaking);
        let no_letters = Vec::new();
        let letters = target.letters.get(best).unwrap_or(&no_letters);
        let mut heard = Heard::new(rules.count(sounds, &heard::borrowed(letters)), sounds.clone());
        let mut missing = vec![other; sounds.len()];
        for (slip, p) in slips.iter().zip(&probabilities) {
            heard.add(count::count_of(sounds, letters, *slip, rules), *slip, *p);
            if let Slip::Fewer(i) | Slip::Changed(i, _) = *slip {
                missing[i] += p;
            }
        }
        heard.add_other(&blind.counts, other);
        let likeliest = (0..probabilities.len()).max_by(|a, b| probabilities[*a].total_cmp(&probabilities[*b]));
        let cuts = cuts_as_read(&placing, sounds, cuts, likeliest.map_or(Slip::None, |i| slips[i]));
        let sure: Vec<f32> = missing.iter().map(|m| 1.0 - m).collect();
        heard.place(sounds, &cuts, &sure, |frame| evidence.place.at(frame));
        Ok(heard)
    }

    /// What was compared when `sounds` were asked about, for calibration; `strange` is held to be no word, as if a slip
    /// had made none. None where they do not fit.
    pub fn measures(
        &self,
        evidence: &Evidence,
        sounds: &[Sound],
        strange: &[Sound],
        speaking: Speaking,
    ) -> Option<[f32; MEASURES]> {
        let lattice = self.lattice(evidence, speaking, drawn_weight(evidence, sounds.len()));
        let mut readings = count::readings(&lattice, sounds);
        for reading in readings
            .iter_mut()
            .filter(|r| count::sounds_of(sounds, r.slip) == strange)
        {
            reading.zipf = None;
        }
        let comparison = Comparison {
            own: &readings.iter().map(|r| r.slip == Slip::None).collect::<Vec<_>>(),
            readings: &readings,
            row: blind::row(&lattice, self.model.path(), &self.settings.blind).total as f32,
            sounds,
            cuts: &self.placing(evidence, speaking).cuts(&classes_of(sounds))?,
            scores: &evidence.scores,
        };
        Some(comparison.measures(&self.settings.target))
    }

    /// The probability of each reading, in order, and of something else altogether: the target's own by the calibrated
    /// stage, and what is left by the readings' weights.
    fn share_out(&self, comparison: &Comparison<'_>, speaking: Speaking) -> (Vec<f32>, f32) {
        let calibration = &self.settings.target;
        let decision = match speaking {
            Speaking::Stretched => &self.settings.decision_drawn,
            _ => &self.settings.decision,
        };
        let same = decision.probability(&comparison.measures(calibration));
        let pick = |own: bool| {
            let all = comparison.readings.iter().zip(comparison.own);
            all.filter(move |(_, o)| **o == own).map(|(r, _)| r.weight(calibration))
        };
        let mine = count::shared(&pick(true).collect::<Vec<_>>(), same);
        let other = calibration.other + calibration.temperature * comparison.row;
        let mut not_mine = count::shared(&pick(false).chain([other]).collect::<Vec<_>>(), 1.0 - same);
        let other = not_mine.pop().unwrap_or(0.0);
        let (mut mine, mut not_mine) = (mine.into_iter(), not_mine.into_iter());
        let next = |own: &bool| if *own { mine.next() } else { not_mine.next() };
        let probabilities = comparison.own.iter().filter_map(next).collect();
        (probabilities, other)
    }

    fn judge_blind(&self, evidence: &Evidence, speaking: Speaking, rules: &Rules) -> Heard {
        let lattice = self.lattice(evidence, speaking, self.settings.drawn_weight);
        let blind = blind::count(&lattice, self.model.path(), rules, &self.settings.blind);
        let mut heard = Heard::blind(&blind);
        if let Some(cuts) = self.placing(evidence, speaking).cuts(&classes_of(&blind.best)) {
            let sure = heard::sureness(&evidence.scores, &blind.best, &cuts);
            heard.place(&blind.best, &cuts, &sure, |frame| evidence.place.at(frame));
        }
        heard
    }

    /// Where sounds lie is settled by the whole evidence of each frame, also in speech drawn out: weighed down as for the
    /// count, a held sound would be given up for silence.
    fn placing(&self, evidence: &Evidence, speaking: Speaking) -> Lattice<'_> {
        self.lattice(evidence, speaking, 1.0)
    }

    /// The evidence of a word said in this way. In speech drawn out each frame weighs `drawn`, and there may be silence between
    /// sounds.
    fn lattice(&self, evidence: &Evidence, speaking: Speaking, drawn: f32) -> Lattice<'_> {
        let weighing = match speaking {
            Speaking::Stretched => Weighing {
                slow: drawn,
                pauses: true,
            },
            _ => Weighing::default(),
        };
        Lattice::new(&evidence.scores, self.model.path(), weighing)
    }

    fn judge_apart(&self, evidence: &Evidence, target: Option<&Target>, rules: &Rules) -> Heard {
        let pieces = apart::pieces(&evidence.scores, &evidence.lift, &self.settings.apart);
        let heard_so = PieceScores {
            scores: &evidence.scores,
            path: self.model.path(),
            calibration: &self.settings.apart,
            affirm: self.settings.affirm,
        };
        heard::judge_pieces(&heard_so, &pieces, target, rules, |frame| evidence.place.at(frame))
    }
}

/// Where the target's sounds lie in the likeliest reading: a sound that was added has a place of its own there, and does
/// not push the target's from theirs. A sound left out, and any other way that does not fit, is laid as the target is.
fn cuts_as_read(
    lattice: &Lattice<'_>,
    target: &[Sound],
    as_target: Vec<(usize, usize)>,
    slip: Slip,
) -> Vec<(usize, usize)> {
    let read = || lattice.cuts(&classes_of(&count::sounds_of(target, slip)));
    let cuts = match slip {
        Slip::None | Slip::Fewer(_) => None,
        Slip::Changed(..) => read(),
        Slip::More(at, _) => read().map(|mut cuts| {
            cuts.remove(at);
            cuts
        }),
    };
    cuts.unwrap_or(as_target)
}

/// A short recording is heard from end to end: in so little time there is hardly room for anything but the word, and a
/// weak first or last sound is safer with the model than with the search for speech.
fn whole_if_short(clip: &Clip, word: Span) -> Span {
    if clip.seconds() <= WHOLE_S {
        Span {
            start: 0,
            end: clip.samples.len(),
        }
    } else {
        word
    }
}

/// Speech drawn out has more frames a sound, each of which says the same again: weigh them down to nine a sound. Nine is
/// a choice on the careful side: in words said alone by the children of the training speech the median is fourteen.
fn drawn_weight(evidence: &Evidence, sounds: usize) -> f32 {
    let spoken = evidence.scores.rows.len().saturating_sub(2 * MARGIN / FRAME) as f32;
    (9.0 * sounds as f32 / spoken.max(1.0)).clamp(0.15, 1.0)
}
