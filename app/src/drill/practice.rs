//! The grown-up's own practice: count words that fool readers, say stops without a vowel, hear near pairs apart.
//!
//! Whoever reads well sees letters where a child hears sounds. Nothing of it is kept: it is no record of any learner.

use soundbead_data::word::Overrides;
use soundbead_data::{Rules, Sound, inventory};
use soundbead_dsp::audio::Recording;
use soundbead_dsp::judgement::Speaking;
use soundbead_dsp::stop::{self, StopVowel};

use super::LessonWord;
use super::voice::WordVoice;
use crate::equipment::Equipment;
use crate::later::{Later, WorkResult};
use crate::mic::{Capture, Flow};

/// Words that fool readers, with how many sounds they have and why; our own list. Counted sound by sound, as the phoneme rules have it.
const FOOLERS: [(&str, usize, &str); 14] = [
    ("box", 4, "The x is two sounds: k and s."),
    ("chin", 3, "The ch is one sound."),
    ("sing", 3, "The ng is one sound; no g is heard."),
    ("queen", 4, "The qu is two sounds: k and w."),
    ("stretched", 6, "Nine letters: tch is one sound, and the ed is a t."),
    ("knee", 2, "The k is silent, and ee is one sound."),
    ("judge", 3, "The dge is one sound, the same as the j."),
    ("thumb", 3, "The th is one sound, and the b is silent."),
    ("scratch", 5, "The tch is one sound."),
    ("few", 3, "Before the vowel there is a y: f, y, oo."),
    ("laugh", 3, "The au is one sound, and so is the gh."),
    ("hopped", 4, "The pp is one sound, and the ed is a t."),
    ("shrink", 5, "The sh is one sound; the n is an ng, and then comes a k."),
    ("eight", 2, "The eigh is one sound."),
];

/// The sounds that readers say with a vowel behind them.
const STOPS: [Sound; 8] = [
    Sound::P,
    Sound::B,
    Sound::T,
    Sound::D,
    Sound::K,
    Sound::G,
    Sound::CH,
    Sound::JH,
];

/// Words that differ in one near sound; our own list.
const PAIRS: [[&str; 2]; 12] = [
    ["pig", "peg"],
    ["bit", "beat"],
    ["bed", "bad"],
    ["cup", "cap"],
    ["pull", "pool"],
    ["fan", "van"],
    ["thin", "fin"],
    ["ship", "chip"],
    ["rock", "lock"],
    ["sun", "sung"],
    ["pin", "pen"],
    ["mud", "mug"],
];

/// How long a stop is listened to, in seconds, once the microphone is open.
const LISTEN_S: f32 = 2.0;

/// What is practiced.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Exercise {
    /// How many sounds?
    #[default]
    Count,
    /// A stop without a vowel.
    Stops,
    /// Which of two was it?
    Pairs,
}

/// What a person wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PracticeIntent {
    /// Begin with this.
    Open(Exercise),
    /// The word has so many sounds.
    Count(usize),
    /// Hear the word, or the sound, in the model voice; of a pair, the one that is asked for.
    Hear,
    /// Hear this one of the pair, once it was answered.
    HearOne(usize),
    /// It was this one of the pair.
    Was(usize),
    /// Record the stop.
    Record,
    /// The next word, sound or pair.
    Next,
    /// That is enough.
    Close,
}

/// What came of a recorded stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StopTold {
    /// The vowel after it, in seconds, and what that comes to.
    Vowel(f32, StopVowel),
    /// No burst stood out of the room.
    NotHeard,
}

/// A stop that is being listened to.
struct ListeningToStop {
    capture: Box<dyn Capture>,
    samples: Vec<f32>,
}

/// The practice.
#[derive(Default)]
pub struct GrownUpPractice {
    open: bool,
    exercise: Exercise,
    /// How far along its list each exercise is.
    at: [usize; 3],
    answered: Option<usize>,
    /// Which of the pair is asked for, and whether it was heard: nothing is answered unheard.
    asked: usize,
    heard: bool,
    /// Right answers, and all, since it was opened.
    right: [usize; 2],
    dice: u64,
    voice: WordVoice,
    listening: Option<ListeningToStop>,
    measuring: Option<Later<Option<f32>>>,
    told: Option<StopTold>,
    fault: Option<String>,
}

impl GrownUpPractice {
    /// Does what a person wants.
    pub fn apply(&mut self, at: &mut Equipment, intent: PracticeIntent) {
        match intent {
            PracticeIntent::Open(exercise) => self.begin(at, exercise),
            PracticeIntent::Count(count) if self.exercise == Exercise::Count => self.answer(count, self.fooler().1),
            PracticeIntent::Was(which) if self.exercise == Exercise::Pairs && self.heard => {
                self.answer(which, self.asked);
            }
            PracticeIntent::Hear => self.hear(at),
            PracticeIntent::HearOne(which) if self.answered.is_some() => self.say(at, self.pair()[which.min(1)]),
            PracticeIntent::Record => self.record(at),
            PracticeIntent::Next => self.next(at),
            PracticeIntent::Close => {
                self.voice.silence(at);
                *self = GrownUpPractice::default();
            }
            PracticeIntent::Count(_) | PracticeIntent::Was(_) | PracticeIntent::HearOne(_) => {}
        }
    }

    fn begin(&mut self, at: &mut Equipment, exercise: Exercise) {
        self.voice.silence(at);
        if !self.open {
            // Another beginning each time, so that no order is learned.
            let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
            self.dice = now.map_or(1, |t| t.as_nanos() as u64) | 1;
            self.at = [FOOLERS.len(), STOPS.len(), PAIRS.len()].map(|of| self.below(of));
        }
        (self.open, self.exercise, self.right) = (true, exercise, [0, 0]);
        self.fresh();
    }

    /// A number below `of`, drawn by chance (xorshift with the shifts 13, 7, 17: Marsaglia 2003).
    fn below(&mut self, of: usize) -> usize {
        self.dice ^= self.dice << 13;
        self.dice ^= self.dice >> 7;
        self.dice ^= self.dice << 17;
        (self.dice % of as u64) as usize
    }

    fn fresh(&mut self) {
        (self.answered, self.told, self.fault) = (None, None, None);
        (self.listening, self.measuring) = (None, None);
        (self.asked, self.heard) = (self.below(2), false);
    }

    fn answer(&mut self, given: usize, wanted: usize) {
        if self.answered.is_none() {
            self.answered = Some(given);
            self.right[0] += usize::from(given == wanted);
            self.right[1] += 1;
        }
    }

    fn next(&mut self, at: &mut Equipment) {
        self.voice.silence(at);
        self.at[self.exercise as usize] += 1;
        self.fresh();
    }

    fn hear(&mut self, at: &mut Equipment) {
        self.heard = true;
        match self.exercise {
            Exercise::Count => self.say(at, self.fooler().0),
            Exercise::Stops => self.voice.say_sound(at, inventory::of(self.stop())),
            Exercise::Pairs => self.say(at, self.pair()[self.asked]),
        }
    }

    fn say(&mut self, at: &mut Equipment, word: &str) {
        if let Ok(word) = LessonWord::find(word, &Overrides::default(), &Rules::default()) {
            self.voice.say(at, &word, Speaking::Whole);
        }
    }

    fn record(&mut self, at: &mut Equipment) {
        if self.exercise == Exercise::Stops && self.listening.is_none() && self.measuring.is_none() {
            self.voice.silence(at);
            (self.told, self.fault) = (None, None);
            self.listening = Some(ListeningToStop {
                capture: at.mic.open(at.device.as_deref()),
                samples: Vec::new(),
            });
        }
    }

    /// Takes in what came; whether it wants to be polled again soon.
    pub fn poll(&mut self, at: &mut Equipment) -> bool {
        self.poll_listening(at);
        match self.measuring.as_mut().and_then(Later::take) {
            Some(WorkResult::Done(vowel)) => {
                self.measuring = None;
                self.told = Some(vowel.map_or(StopTold::NotHeard, |s| StopTold::Vowel(s, stop::told(s))));
            }
            Some(WorkResult::Failed | WorkResult::Cancelled) => self.measuring = None,
            None => {}
        }
        self.voice.poll(at) || self.listening.is_some()
    }

    /// Lets the microphone go.
    pub fn leave(&mut self) {
        self.listening = None;
    }

    fn poll_listening(&mut self, at: &Equipment) {
        let Some(listening) = &mut self.listening else { return };
        let format = match listening.capture.read(&mut listening.samples) {
            Flow::Opening => return,
            Flow::Running(format) => format,
            Flow::Lost(fault) => {
                (self.listening, self.fault) = (None, Some(fault.to_string()));
                return;
            }
        };
        let channels = usize::from(format.channels.max(1));
        if listening.samples.len() < (LISTEN_S * format.rate as f32) as usize * channels {
            return;
        }
        let samples = std::mem::take(&mut listening.samples);
        self.listening = None;
        self.measuring = Some(Later::start(at.wake.clone(), "Measuring", move |_| {
            let apart: Vec<Vec<f32>> = (0..channels)
                .map(|c| samples.iter().skip(c).step_by(channels).copied().collect())
                .collect();
            let recording = Recording::from_channels(format.rate, &apart, format.bits).ok()?;
            stop::vowel_after(&recording.clip)
        }));
    }

    /// Whether it stands in the place of the lesson.
    pub fn is_open(&self) -> bool {
        self.open
    }

    /// What is practiced.
    pub fn exercise(&self) -> Exercise {
        self.exercise
    }

    /// The word that is counted, its sounds, and why.
    pub fn fooler(&self) -> (&'static str, usize, &'static str) {
        FOOLERS[self.at[0] % FOOLERS.len()]
    }

    /// The stop that is said.
    pub fn stop(&self) -> Sound {
        STOPS[self.at[1] % STOPS.len()]
    }

    /// The two words, one of which is heard.
    pub fn pair(&self) -> [&'static str; 2] {
        PAIRS[self.at[2] % PAIRS.len()]
    }

    /// Which of the pair it was, once it was answered.
    pub fn was(&self) -> Option<usize> {
        self.answered.map(|_| self.asked)
    }

    /// Whether it was heard.
    pub fn heard(&self) -> bool {
        self.heard
    }

    /// The answer that was given.
    pub fn answered(&self) -> Option<usize> {
        self.answered
    }

    /// Right answers, and all, since this was opened.
    pub fn right(&self) -> [usize; 2] {
        self.right
    }

    /// Whether the microphone is open, or what it heard is being measured.
    pub fn listens(&self) -> bool {
        self.listening.is_some() || self.measuring.is_some()
    }

    /// What came of the last stop.
    pub fn told(&self) -> Option<StopTold> {
        self.told
    }

    /// What went wrong.
    pub fn fault(&self) -> Option<&str> {
        self.fault.as_deref().or(self.voice.fault())
    }
}

/// What is said of a recorded stop.
pub fn stop_told(told: StopTold) -> String {
    let ms = |s: f32| (100.0 * s).round() as usize * 10;
    match told {
        StopTold::NotHeard => {
            "Nothing was louder than the room. Come closer, and say it with a little more push.".into()
        }
        StopTold::Vowel(_, StopVowel::Hardly) => "Hardly any vowel: so a child hears one sound.".into(),
        StopTold::Vowel(s, StopVowel::Counted) => format!(
            "A vowel of about {} ms follows it: a child may count two sounds. Let go, and stop the voice at once.",
            ms(s)
        ),
        StopTold::Vowel(s, StopVowel::Unsure) => {
            format!(
                "About {} ms of vowel, too near the line of 30 ms to say. Try it once more.",
                ms(s)
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counted by hand, sound by sound (common practice, no source); the dictionary must agree.
    #[test]
    fn the_words_that_fool_readers_have_as_many_sounds_as_is_said() {
        for (word, count, _) in FOOLERS {
            let found = LessonWord::find(word, &Overrides::default(), &Rules::default()).unwrap();
            assert_eq!(
                (found.count(), found.guess),
                (count, false),
                "{word}: {}",
                found.plain()
            );
        }
    }

    #[test]
    fn the_words_of_a_pair_differ_in_one_sound() {
        for [a, b] in PAIRS {
            let find = |w: &str| LessonWord::find(w, &Overrides::default(), &Rules::default()).unwrap();
            assert!(find(a).change(&find(b)).is_some(), "{a} {b}");
        }
    }
}
