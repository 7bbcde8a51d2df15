//! The model voice, listened to: by the ear, by the burst and the voice of its stops, and by its size and speed.

use std::fs;
use std::path::Path;
use std::time::Instant;

use soundbead_data::chain::WordList;
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::{RATE, Recording};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target};
use soundbead_dsp::say::{Made, ModelSpeech, ModelVoice, SIZE};

use super::burst;
use super::figure::share;

/// Words measured.
const REPORTED: usize = 500;
/// Words that the voice is tuned on; none of them is measured.
const TUNED: usize = 300;

/// Others kept for a recogniser's list of 1,000: some are not in its dictionary.
const OTHERS: usize = 1_200;

/// Which words are said.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Words {
    /// The 500 measured.
    Reported,
    /// The 300 for tuning.
    Tuning,
}

/// A place in a fixed shuffle: the finalizer of SplitMix64 (Steele, Lea, Flood 2014) over FNV-1a of the letters.
pub(super) fn place(word: &str) -> u64 {
    let letters = word.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
    });
    let mut z = letters.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// Words that a recogniser may take those for that are said, one a line.
pub(super) fn others() -> String {
    let mut all: Vec<String> = WordList::default()
        .words()
        .into_iter()
        .map(|w| w.spelling.to_string())
        .collect();
    all.sort_by_key(|word| place(word));
    all.drain(REPORTED + TUNED..)
        .take(OTHERS)
        .map(|word| word + "\n")
        .collect()
}

/// The words of a part, drawn once and for all from the common words.
pub fn drawn(words: Words) -> Vec<(String, Pronunciation)> {
    let all = WordList::default().words();
    let mut all: Vec<(String, Pronunciation)> = all
        .into_iter()
        .filter_map(|w| Some((w.spelling.to_string(), w.variants.first()?.clone())))
        .collect();
    all.sort_by_key(|(word, _)| place(word));
    match words {
        Words::Reported => all.drain(..REPORTED).collect(),
        Words::Tuning => all.drain(REPORTED..REPORTED + TUNED).collect(),
    }
}

/// How often something was so, among recorded words and words put together.
#[derive(Default)]
struct JoinRow {
    recorded: [usize; 2],
    joined: [usize; 2],
}

impl JoinRow {
    fn add(&mut self, made: Made, right: bool) {
        let side = match made {
            Made::Recorded => &mut self.recorded,
            Made::Joined(_) => &mut self.joined,
        };
        *side = [side[0] + usize::from(right), side[1] + 1];
    }

    fn print(&self, what: &str) {
        let [r, j] = [self.recorded, self.joined];
        println!("{what}");
        println!("  all           {}", share(r[0] + j[0], r[1] + j[1]));
        println!("  recorded      {}", share(r[0], r[1]));
        println!("  put together  {}", share(j[0], j[1]));
    }
}

/// Whether the ear finds the word's own sounds more likely than fewer, more or others.
fn own_sounds(ear: &mut Ear, word: &Pronunciation, said: &ModelSpeech, speaking: Speaking) -> Result<bool, String> {
    let recording = Recording::from_samples(said.samples.clone()).map_err(|e| e.to_string())?;
    let target = Target {
        variants: vec![word.sounds().to_vec()],
        letters: Vec::new(),
    };
    let judged = ear.judge(&recording, Some(&target), speaking, &Rules::default());
    let Ok(judged) = judged else { return Ok(false) };
    let fit = judged.fit.unwrap_or_default();
    Ok(fit.same > fit.fewer && fit.same > fit.more && fit.same > fit.changed)
}

/// Says the words, with the program's own bank or another, asks the ear and prints the figures. With a folder, each word is left there as a WAV file, and
/// `words.tsv` lists them for a recogniser.
///
/// # Errors
/// When the voice or the ear is broken, or the folder cannot be written.
pub fn run(words: Words, bank: Option<&Path>, folder: Option<&Path>, misses: bool) -> Result<(), String> {
    let voice = timed(bank)?;
    let mut ear = Ear::new().map_err(|e| e.to_string())?;
    let list = drawn(words);
    let (mut row, mut stretches, mut table) = (JoinRow::default(), 0, String::new());
    for (word, way) in &list {
        let said = voice.word(way, Speaking::Whole).map_err(|e| format!("{word}: {e}"))?;
        let right = own_sounds(&mut ear, way, &said, Speaking::Whole)?;
        row.add(said.made, right);
        let kind = match said.made {
            Made::Recorded => "recorded",
            Made::Joined(n) => {
                stretches += n;
                "joined"
            }
        };
        if misses && !right {
            println!("  not found: {word} {way} {:?}", said.made);
        }
        table += &format!("{word}\t{kind}\t{right}\n");
        if let Some(folder) = folder {
            keep(&folder.join(format!("{word}.wav")), &said.samples)?;
        }
    }
    if let Some(folder) = folder {
        let write = |name: &str, text: &str| fs::write(folder.join(name), text);
        let both = write("words.tsv", &table).and_then(|()| write("list.txt", &others()));
        both.map_err(|e| format!("{}: {e}", folder.display()))?;
    }
    row.print("the ear finds the word's own sounds");
    println!(
        "  stretches in a word put together: {:.2}",
        stretches as f64 / row.joined[1].max(1) as f64
    );
    paces(&voice, &mut ear, &list[..100])?;
    singles(&voice, &mut ear)?;
    burst::run(&voice)
}

/// Opens the voice and says a word, the first time; prints how long that took, and the bank's size.
fn timed(bank: Option<&Path>) -> Result<ModelVoice, String> {
    let other = bank.map(|path| fs::read(path).map_err(|e| format!("{}: {e}", path.display())));
    // Read once, and needed to the end of the program.
    let other: Option<&'static [u8]> = other.transpose()?.map(|bytes| &*bytes.leak());
    let size = other.map_or(SIZE, <[u8]>::len);
    let begun = Instant::now();
    let voice = other
        .map_or_else(ModelVoice::new, ModelVoice::from_bank)
        .map_err(|e| e.to_string())?;
    let opened = begun.elapsed();
    let (word, way) = drawn(Words::Tuning)
        .into_iter()
        .find(|(_, way)| !voice.has_recorded(way))
        .ok_or("no word")?;
    let begun = Instant::now();
    voice.word(&way, Speaking::Whole).map_err(|e| e.to_string())?;
    println!(
        "opened in {:.0} ms, the first word ({word}, put together) ready after {:.0} ms more; bank {:.2} MB",
        1e3 * opened.as_secs_f64(),
        1e3 * begun.elapsed().as_secs_f64(),
        size as f64 / 1e6
    );
    Ok(voice)
}

/// Words drawn out, and sound by sound.
fn paces(voice: &ModelVoice, ear: &mut Ear, words: &[(String, Pronunciation)]) -> Result<(), String> {
    for (speaking, name) in [
        (Speaking::Stretched, "drawn out"),
        (Speaking::Separate, "sound by sound"),
    ] {
        let mut right = 0;
        for (word, way) in words {
            let said = voice.word(way, speaking).map_err(|e| format!("{word}: {e}"))?;
            right += usize::from(own_sounds(ear, way, &said, speaking)?);
        }
        println!(
            "{name}, the ear finds the word's own sounds: {}",
            share(right, words.len())
        );
    }
    Ok(())
}

/// Each of the dictionary's sounds alone: whether it is one piece, and where it stands among all of them by the ear.
fn singles(voice: &ModelVoice, ear: &mut Ear) -> Result<(), String> {
    let choices: Vec<Vec<Vec<Sound>>> = Sound::all().map(|sound| vec![vec![sound]]).collect();
    let (mut pieces, mut first, mut third, mut missed) = (0, 0, 0, Vec::new());
    for sound in Sound::all() {
        let said = padded(&voice.sound(&[sound], false).map_err(|e| e.to_string())?);
        let recording = Recording::from_samples(said.samples).map_err(|e| e.to_string())?;
        let judged = ear.judge(&recording, None, Speaking::Separate, &Rules::default());
        pieces += usize::from(judged.is_ok_and(|judged| judged.heard == 1));
        let Ok(odds) = ear.compare(&recording, &choices) else {
            missed.push(format!("{sound} (no speech found)"));
            continue;
        };
        let before = odds.iter().filter(|p| **p > odds[sound.index()]).count();
        (first, third) = (first + usize::from(before == 0), third + usize::from(before < 3));
        if before > 0 {
            missed.push(format!("{sound} ({})", before + 1));
        }
    }
    println!(
        "sounds alone, of {}: one piece {pieces}; the ear's first among all {first}, among its first three {third}",
        Sound::COUNT
    );
    println!("  not first (their place): {}", missed.join(", "));
    Ok(())
}

/// With the silence around it that a recording has.
fn padded(said: &ModelSpeech) -> ModelSpeech {
    let mut samples = vec![0.0; RATE as usize / 4];
    samples.extend_from_slice(&said.samples);
    samples.resize(samples.len() + RATE as usize / 4, 0.0);
    ModelSpeech {
        samples,
        ..said.clone()
    }
}

/// A mono WAV file of 16 bits (RIFF, WAVE_FORMAT_PCM).
pub(super) fn keep(path: &Path, samples: &[f32]) -> Result<(), String> {
    let bytes = 2 * samples.len() as u32;
    let mut file = Vec::with_capacity(44 + bytes as usize);
    let mut put = |part: &[u8]| file.extend_from_slice(part);
    put(b"RIFF");
    put(&(36 + bytes).to_le_bytes());
    put(b"WAVEfmt ");
    put(&16u32.to_le_bytes());
    put(&[1, 0, 1, 0]);
    put(&RATE.to_le_bytes());
    put(&(2 * RATE).to_le_bytes());
    put(&[2, 0, 16, 0]);
    put(b"data");
    put(&bytes.to_le_bytes());
    samples.iter().for_each(|x| put(&((x * 32_767.0) as i16).to_le_bytes()));
    fs::write(path, file).map_err(|e| format!("{}: {e}", path.display()))
}
