//! `soundbead say`: the model voice, into a file.

use std::path::PathBuf;

use clap::Args;
use soundbead_data::inventory::Arpabet;
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sentence::aloud::AloudWord;
use soundbead_data::word::Source;
use soundbead_dsp::audio::RATE;
use soundbead_dsp::say::Made;

use super::{options, questioned, values};
use crate::ask::aloud::SentenceRequest;
use crate::ask::say::{SayAnswer, SayRequest};
use crate::fault::Fault;
use crate::page::OutputPage;
use crate::say::many;
use crate::storage::{self, Access};
use crate::store;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct SayArgs {
    /// The word to say
    #[arg(required_unless_present_any = ["sound", "sentence"])]
    word: Option<String>,
    /// One sound alone instead of a word: TH, or AA+R for the vowel of car
    #[arg(long, value_parser = values::lone_sound, conflicts_with_all = ["word", "sounds", "speaking"])]
    sound: Option<Arpabet>,
    /// A sentence instead of a word, read word by word as for a dictation
    #[arg(long, value_name = "TEXT", conflicts_with_all = ["word", "sound", "sounds", "speaking"])]
    sentence: Option<String>,
    /// The word's sounds, where the dictionary's are not meant: "P IH G", p-ih-g or /pɪɡ/
    #[arg(long, value_parser = values::pronunciation)]
    sounds: Option<Pronunciation>,
    #[command(flatten)]
    spoken: options::SpeakingArgs,
    /// The WAV file to write; one that is there is replaced
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
}

const MORE: &str = "\
A synthetic voice, part of the program: nothing is sent or fetched. Some common
words are played as the voice spoke them; every other word is put together from
pieces of such recordings and sounds a little less smooth. A stop said alone
(P, B, CH ...) is its burst, with no vowel to speak of after it.
Stretched holds every sound that can be held: the word takes about 2.2 times as
long. A sentence is read word by word in phrases, with no melody: to write after,
not to talk like. A word that is said in two ways (wind, read) has the first one,
unless the sentence is one of the program's own, which say the way they mean.

The file is mono, 16 bits, 16 kHz.

For example:
  $ soundbead say pig --out pig.wav
  pig.wav: pig, P IH1 G, ...
  $ soundbead say --sound TH --out th.wav
  th.wav: TH alone, ...
  $ soundbead say --sentence \"The frog sat in the pond.\" --out frog.wav
  frog.wav: 6 words, read word by word, ...";

impl SayArgs {
    /// Says it and writes the file.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        if let Some(text) = &self.sentence {
            return self.sentence(text, page);
        }
        let request = match (self.sound.clone(), self.word.clone()) {
            (Some(sound), _) => SayRequest::Sound(sound),
            (None, word) => SayRequest::Word {
                word: word.unwrap_or_default(),
                sounds: self.sounds.clone(),
                speaking: self.spoken.speaking(),
            },
        };
        let own = store::overrides()?;
        if self.sounds.is_none() {
            questioned::ways(self.word.as_deref(), &own, questioned::WhichTaken::First);
        }
        let answer = request.answer(&own)?;
        let seconds = self.write(&answer.said.samples)?;
        let what = match &self.word {
            Some(word) => format!("{word}, {}{}", answer.sounds, origin(&answer)),
            None => format!("{} alone", answer.sounds),
        };
        Ok(page.line(&format!(
            "{}: {what}, {seconds:.2} s, {}",
            self.out.display(),
            how(&answer)
        ))?)
    }

    fn sentence(&self, text: &str, page: &mut OutputPage) -> Result<(), Fault> {
        let answer = SentenceRequest { text, asked: None }.answer(&store::overrides()?)?;
        let seconds = self.write(&answer.said.samples)?;
        let count = many(answer.words.len(), "word");
        let told = told(&answer.words);
        let place = self.out.display();
        Ok(page.line(&format!("{place}: {count}, read word by word, {seconds:.2} s{told}"))?)
    }

    /// Writes the file; how long it is, in seconds.
    fn write(&self, samples: &[f32]) -> Result<f64, Fault> {
        storage::write(&self.out, &storage::wav(samples), Access::Usual)
            .map_err(|e| Fault::input(storage::cannot_write(&self.out)(e)))?;
        Ok(samples.len() as f64 / f64::from(RATE))
    }
}

/// What is to be known of a sentence's words: which were guessed, and which of two ways was taken.
fn told(words: &[AloudWord]) -> String {
    let each = |word: &AloudWord| match (word.source, word.cue) {
        (Source::Guess, _) => Some(format!("; {} is a guess from its letters", word.spelling)),
        (_, Some(cue)) => Some(format!("; {} as {} ({cue})", word.spelling, word.said)),
        _ => None,
    };
    words.iter().filter_map(each).collect()
}

fn origin(answer: &SayAnswer) -> &'static str {
    match answer.source {
        Some(Source::Guess) => " (a guess from its letters)",
        Some(Source::Override) => " (your own way)",
        _ => "",
    }
}

fn how(answer: &SayAnswer) -> &'static str {
    match answer.said.made {
        Made::Recorded => "as recorded",
        Made::Joined(_) => "put together",
    }
}
