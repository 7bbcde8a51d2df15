//! `soundbead say`: the model voice, into a file.

use std::path::PathBuf;

use clap::Args;
use soundbead_data::inventory::Arpabet;
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::word::Source;
use soundbead_dsp::audio::RATE;
use soundbead_dsp::say::Made;

use super::{options, values};
use crate::ask::say::{SayAnswer, SayRequest};
use crate::fault::Fault;
use crate::page::OutputPage;
use crate::storage::{self, Access};
use crate::store;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct SayArgs {
    /// The word to say
    #[arg(required_unless_present = "sound")]
    word: Option<String>,
    /// One sound alone instead of a word: TH, or AA+R for the vowel of car
    #[arg(long, value_parser = values::lone_sound, conflicts_with_all = ["word", "sounds", "speaking"])]
    sound: Option<Arpabet>,
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
long.

The file is mono, 16 bits, 16 kHz.

For example:
  $ soundbead say pig --out pig.wav
  pig.wav: pig, P IH1 G, ...
  $ soundbead say --sound TH --out th.wav
  th.wav: TH alone, ...";

impl SayArgs {
    /// Says it and writes the file.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let request = match (self.sound, self.word.clone()) {
            (Some(sound), _) => SayRequest::Sound(sound),
            (None, word) => SayRequest::Word {
                word: word.unwrap_or_default(),
                sounds: self.sounds,
                speaking: self.spoken.speaking(),
            },
        };
        let answer = request.answer(&store::overrides()?)?;
        let bytes = storage::wav(&answer.said.samples);
        storage::write(&self.out, &bytes, Access::Usual)
            .map_err(|e| Fault::input(storage::cannot_write(&self.out)(e)))?;
        let seconds = answer.said.samples.len() as f64 / f64::from(RATE);
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
