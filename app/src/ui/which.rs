//! "Which one?": words that are written alike and said in two ways, each way with what it means.

use std::collections::{BTreeMap, BTreeSet};

use egui::{RichText, Ui};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::which::{self, HomographReading};

use super::parts;
use super::theme::palette;
use crate::plan::PlanWord;

/// What was answered for words that are typed. An unasked word is said in the way that is likelier for a child.
#[derive(Clone, Debug, Default)]
pub struct WhichWay {
    chosen: BTreeMap<String, usize>,
    /// Words whose question was pointed out: another Enter takes the answer that stands there.
    pointed_out: BTreeSet<String>,
    /// Whether Enter waits for a question to be seen.
    waits: bool,
}

impl WhichWay {
    /// Asks which way is meant of each word of the text that is said in two.
    pub fn ask(&mut self, ui: &mut Ui, text: &str) {
        let mut asked = false;
        for word in typed(text) {
            if let Some(ways) = which::ask(&word) {
                asked = true;
                let chosen = self.chosen.entry(word.clone()).or_default();
                // An answer that was touched needs no pointing out.
                if question(ui, &word, ways, chosen) {
                    self.pointed_out.insert(word);
                    self.waits = false;
                }
            }
        }
        if self.waits && asked {
            parts::note(ui, "Choose which is meant, or press Enter once more.");
        }
    }

    /// Points out the questions that came up with the last words typed; whether there are such. Enter right behind a word
    /// would answer its question unseen.
    pub fn point_out(&mut self, text: &str) -> bool {
        let asked = typed(text).into_iter().filter(|word| which::ask(word).is_some());
        let fresh: Vec<String> = asked.filter(|word| self.pointed_out.insert(word.clone())).collect();
        self.waits = !fresh.is_empty();
        self.waits
    }

    /// The text with sounds behind each word that was asked about, `read:R-EH-D`, as a lesson's words are read.
    pub fn told(&self, text: &str) -> String {
        let told = |word: &str| match (self.chosen.get(&bare(word)), which::ask(&bare(word))) {
            (Some(&at), Some(ways)) => format!("{}:{}", bare(word), sounds(&ways[at].said)),
            _ => word.to_owned(),
        };
        text.split_whitespace().map(told).collect::<Vec<_>>().join(" ")
    }
}

/// The word, with its sounds behind it where it is said in two ways and the plan says which: `read:R-EH-D`.
pub fn meant(word: &PlanWord) -> String {
    let asked = which::ask(&word.spelling).and(word.said.as_ref());
    asked.map_or_else(
        || word.spelling.clone(),
        |said| format!("{}:{}", word.spelling, sounds(said)),
    )
}

/// Asks which way is meant of each of these words that is said in two; whether an answer was changed.
pub fn ask(ui: &mut Ui, words: &mut [PlanWord]) -> bool {
    let mut changed = false;
    for word in words {
        let Some(ways) = which::ask(&word.spelling) else {
            continue;
        };
        let is = |way: &HomographReading| {
            word.said
                .as_ref()
                .is_some_and(|said| said.sounds() == way.said.sounds())
        };
        let mut chosen = ways.iter().position(is).unwrap_or_default();
        if question(ui, &word.spelling, ways, &mut chosen) {
            word.said = Some(ways[chosen].said.clone());
            changed = true;
        }
    }
    changed
}

/// One word's question: a button for each way, named by what it means.
fn question(ui: &mut Ui, word: &str, ways: &[HomographReading], chosen: &mut usize) -> bool {
    let options: Vec<(usize, &str)> = ways.iter().map(|way| way.cue).enumerate().collect();
    let name = format!("Which {word}?");
    let asked = ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(&name).color(palette(ui).soft));
        parts::choice(ui, &name, chosen, &options)
    });
    asked.inner
}

/// The words that are typed, each once, in small letters.
fn typed(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace().map(bare) {
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words
}

/// A typed word without the signs around it.
fn bare(word: &str) -> String {
    word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase()
}

fn sounds(said: &Pronunciation) -> String {
    let names: Vec<&str> = said.sounds().iter().map(|sound| sound.arpabet()).collect();
    names.join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_that_was_chosen_stands_behind_its_word() {
        let mut which = WhichWay::default();
        assert_eq!(which.told("red, Read rid"), "red, Read rid");
        which.chosen.insert("read".into(), 1);
        assert_eq!(which.told("red, Read rid"), "red, read:R-EH-D rid");
        assert_eq!(typed("Wind, wind; pig"), ["wind", "pig"]);
    }

    #[test]
    fn a_question_is_pointed_out_once() {
        let mut which = WhichWay::default();
        assert!(!which.point_out("pig peg"), "nothing is asked of these");
        assert!(which.point_out("pig wind"));
        assert!(!which.point_out("pig wind"), "the second Enter goes on");
        assert!(which.point_out("wind, Read"), "another word, another question");
    }
}
