//! Sentences in the model voice: how long they are, where the voice rests, and whether their words are still understood.

use std::fs;
use std::ops::Range;
use std::path::Path;
use std::time::Instant;

use soundbead_data::Sound;
use soundbead_data::chain::WordList;
use soundbead_data::sentence::aloud::{AloudWord, Rest, aloud};
use soundbead_data::word::Overrides;
use soundbead_dsp::audio::{RATE, Recording};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::Speaking;
use soundbead_dsp::say::{ModelVoice, SaidSentence};

use super::figure::share;
use super::say::{keep, others, place};
use super::teaching;

/// Sentences measured, drawn by a fixed seed from our own.
const SENTENCES: usize = 100;
/// Words cut out of them and asked about, and how many a sentence gives at most.
const CUT: usize = 200;
const CUT_EACH: usize = 3;
/// Fewest words among which the ear picks.
const CHOICES: usize = 4;
/// How many sentences are left for a recogniser.
const KEPT: usize = 50;
/// Samples of a frame in which a level is taken (5 ms).
const FRAME: usize = RATE as usize / 200;
/// What lies so far under a sentence's loudest frame is quiet, in dB.
const QUIET_DB: f32 = -40.0;
/// Bounds of the quiet between two words of a phrase, in ms: what a teacher's even dictation is asked to have.
const BOUNDS: Range<f32> = 60.0..120.0;

/// A sentence and how it came out.
struct ReadSentence {
    text: String,
    words: Vec<AloudWord>,
    said: SaidSentence,
    took_ms: f64,
}

/// Prints the figures. With a folder, fifty sentences are left there for a recogniser, with `sentences.tsv` and `list.txt`.
///
/// # Errors
/// When the voice or the ear is broken, or the folder cannot be written.
pub fn run(folder: Option<&Path>, misses: bool) -> Result<(), String> {
    let voice = ModelVoice::new().map_err(|e| e.to_string())?;
    let mut drawn = teaching::dictated();
    drawn.sort_by_key(|text| place(text));
    drawn.truncate(SENTENCES);
    let all: Vec<ReadSentence> = drawn
        .into_iter()
        .map(|text| said(&voice, text))
        .collect::<Result<_, _>>()?;
    lengths(&all);
    rests(&all);
    cut(&voice, &all, misses)?;
    folder.map_or(Ok(()), |folder| leave(folder, &all[..KEPT]))
}

fn said(voice: &ModelVoice, text: String) -> Result<ReadSentence, String> {
    let words = aloud(&text, None, &Overrides::default()).map_err(|e| format!("{text}: {e}"))?;
    let begun = Instant::now();
    let said = voice.sentence(&words).map_err(|e| format!("{text}: {e}"))?;
    let took_ms = 1e3 * begun.elapsed().as_secs_f64();
    Ok(ReadSentence {
        text,
        words,
        said,
        took_ms,
    })
}

/// The least, the middle and the most.
fn spread(mut values: Vec<f64>) -> String {
    values.sort_by(f64::total_cmp);
    match values.as_slice() {
        [] => "none".into(),
        [least, .., most] => format!("{least:.1}, {:.1}, {most:.1}", values[values.len() / 2]),
        [one] => format!("{one:.1}"),
    }
}

fn lengths(all: &[ReadSentence]) {
    let words: usize = all.iter().map(|m| m.words.len()).sum();
    let seconds = |m: &ReadSentence| m.said.samples.len() as f64 / f64::from(RATE);
    let full = all
        .iter()
        .flat_map(|m| &m.said.samples)
        .filter(|x| x.abs() >= 1.0)
        .count();
    let peak = all
        .iter()
        .flat_map(|m| &m.said.samples)
        .fold(0.0f32, |most, x| most.max(x.abs()));
    println!("{} sentences, {words} words; least, middle, most", all.len());
    println!("  duration, s: {}", spread(all.iter().map(seconds).collect()));
    println!(
        "  words a minute: {}",
        spread(all.iter().map(|m| 60.0 * m.words.len() as f64 / seconds(m)).collect())
    );
    println!("  ready after, ms: {}", spread(all.iter().map(|m| m.took_ms).collect()));
    println!("  samples at full scale: {full}; loudest sample {peak:.2}");
}

/// How long it is quiet about the middle of what lies between two words, in ms; heard, not taken from what was laid.
fn quiet_ms(samples: &[f32], between: &Range<usize>) -> f64 {
    let power = |frame: &[f32]| frame.iter().map(|x| x * x).sum::<f32>() / frame.len() as f32;
    let powers: Vec<f32> = samples.chunks(FRAME).map(power).collect();
    let least = powers.iter().fold(0.0f32, |most, p| most.max(*p)) * 10.0f32.powf(QUIET_DB / 10.0);
    let middle = (between.start + between.end) / 2 / FRAME;
    let quiet = |at: &usize| powers[*at] < least;
    let after = (middle..powers.len()).take_while(quiet).count();
    let before = (0..middle).rev().take_while(quiet).count();
    ((before + after) * FRAME) as f64 * 1e3 / f64::from(RATE)
}

fn rests(all: &[ReadSentence]) {
    for (rest, name) in [
        (Rest::Word, "within a phrase"),
        (Rest::Phrase, "between phrases"),
        (Rest::Mark, "at a mark"),
    ] {
        let mut quiet = Vec::new();
        for m in all {
            let pairs = m
                .said
                .words
                .windows(2)
                .zip(&m.words)
                .filter(|(_, word)| word.rest == rest);
            quiet.extend(pairs.map(|(pair, _)| quiet_ms(&m.said.samples, &(pair[0].end..pair[1].start))));
        }
        println!("  quiet {name}, ms: {} ({})", spread(quiet.clone()), quiet.len());
        if rest == Rest::Word {
            let within = quiet.iter().filter(|ms| BOUNDS.contains(&(**ms as f32))).count();
            println!(
                "    of {:.0} to {:.0} ms: {}",
                BOUNDS.start,
                BOUNDS.end,
                share(within, quiet.len())
            );
        }
    }
}

/// Common words that have one sound otherwise.
fn near(list: &[(String, Vec<Sound>)], word: &AloudWord) -> Vec<Vec<Sound>> {
    let sounds = word.said.sounds();
    let apart = |other: &[Sound]| other.iter().zip(sounds).filter(|(a, b)| a != b).count();
    let other = list.iter().filter(|(_, other)| other.len() == sounds.len());
    let mut other: Vec<&(String, Vec<Sound>)> = other.filter(|(_, other)| apart(other) > 0).collect();
    other.sort_by_key(|(spelling, other)| (apart(other), place(spelling)));
    // All that are one sound away, and of others as many as make the choices full.
    let wanted = other
        .iter()
        .filter(|(_, other)| apart(other) == 1)
        .count()
        .max(CHOICES - 1);
    other
        .into_iter()
        .take(wanted)
        .map(|(_, sounds)| sounds.clone())
        .collect()
}

/// Whether the ear picks the first of these ways, with the quiet around the word that a recording has.
fn picks(ear: &mut Ear, word: &[f32], ways: &[Vec<Vec<Sound>>]) -> Result<bool, String> {
    let quiet = vec![0.0; RATE as usize / 4];
    let recording = Recording::from_samples([&quiet, word, &quiet].concat()).map_err(|e| e.to_string())?;
    let odds = ear.compare(&recording, ways).unwrap_or_default();
    let best = odds.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
    Ok(best.is_some_and(|(at, _)| at == 0))
}

/// Whether the ear picks a word that is cut out of a sentence, among words like it.
fn cut(voice: &ModelVoice, all: &[ReadSentence], misses: bool) -> Result<(), String> {
    let mut ear = Ear::new().map_err(|e| e.to_string())?;
    let words = WordList::default().words();
    let list = words
        .iter()
        .filter_map(|w| Some((w.spelling.to_string(), w.variants.first()?.sounds().to_vec())));
    let list: Vec<(String, Vec<Sound>)> = list.collect();
    let full = all.iter().flat_map(|m| {
        let words = m.words.iter().zip(&m.said.words).filter(|(word, _)| !word.weak);
        words.take(CUT_EACH).map(move |(word, place)| (m, word, place))
    });
    let (mut picked, mut alone, mut asked, mut choices, mut missed) = (0, 0, 0, 0, Vec::new());
    for (m, word, place) in full.take(CUT) {
        let ways = std::iter::once(word.said.sounds().to_vec()).chain(near(&list, word));
        let ways: Vec<Vec<Vec<Sound>>> = ways.map(|sounds| vec![sounds]).collect();
        (asked, choices) = (asked + 1, choices + ways.len());
        let by_itself = voice.word(&word.said, Speaking::Whole).map_err(|e| e.to_string())?;
        alone += usize::from(picks(&mut ear, &by_itself.samples, &ways)?);
        match picks(&mut ear, &m.said.samples[place.clone()], &ways)? {
            true => picked += 1,
            false => missed.push(word.spelling.clone()),
        }
    }
    println!(
        "  cut out of them, the ear picks the word among {:.0} like it: {}",
        choices as f64 / asked.max(1) as f64,
        share(picked, asked)
    );
    println!("    the same words said by themselves: {}", share(alone, asked));
    if misses {
        println!("    not picked: {}", missed.join(", "));
    }
    Ok(())
}

fn leave(folder: &Path, all: &[ReadSentence]) -> Result<(), String> {
    let mut table = String::new();
    for (number, m) in all.iter().enumerate() {
        let words: Vec<&str> = m.words.iter().map(|word| word.spelling.as_str()).collect();
        table += &format!("{number}\t{}\t{}\n", words.join(" "), m.text);
        keep(&folder.join(format!("{number}.wav")), &m.said.samples)?;
    }
    let write = |name: &str, text: &str| fs::write(folder.join(name), text);
    let both = write("sentences.tsv", &table).and_then(|()| write("list.txt", &others()));
    both.map_err(|e| format!("{}: {e}", folder.display()))
}
