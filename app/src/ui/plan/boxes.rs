//! Finding words for sound boxes and dictation.

use std::sync::Arc;

use egui::Ui;
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::word::find;

use super::super::icons::Icon;
use super::super::parts::{self, BannerTone, Button};
use super::super::settings;
use super::super::shared::Shared;
use super::super::which;
use super::words::{WordStock, WordStockLoader};
use super::{FoundItem, chain, rows};
use crate::ask::boxes::WordsRequest;
use crate::later::{Later, WorkResult};
use crate::plan::{Content, PlanItem, PlanWord};
use crate::say::many;
use crate::typed;

/// Most words that a search shows: the commonest.
const MOST: usize = 60;

/// What is asked of a word.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct WordQuery {
    sound: String,
    spelling: String,
    count: usize,
    syllables: usize,
}

type SaidWord = (String, Pronunciation);

/// Typed words, a search, and what was picked.
#[derive(Default)]
pub struct WordFinder {
    typed: String,
    wanted: WordQuery,
    searched: Option<WordQuery>,
    searching: Option<Later<Result<Vec<SaidWord>, String>>>,
    rows: Option<Result<Vec<SaidWord>, String>>,
    picked: Vec<PlanWord>,
}

impl WordFinder {
    /// Shows the search, the words found and those picked; gives what is to go into the plan.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, known: &WordStockLoader) -> Option<FoundItem> {
        let made = known.made()?;
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            self.typing(ui, shared, known);
            self.filters(ui);
        });
        self.search(shared, made);
        let found = self.show_picked(ui);
        match &self.rows {
            None => {}
            Some(Err(line)) => drop(parts::banner(ui, BannerTone::Alarm, line)),
            Some(Ok(rows)) if rows.is_empty() => drop(parts::note(ui, "No word of the list is like that.")),
            Some(Ok(_)) => self.show_rows(ui, shared),
        }
        found
    }

    fn typing(&mut self, ui: &mut Ui, shared: &mut Shared, known: &WordStockLoader) {
        ui.horizontal_wrapped(|ui| {
            let field = rows::field(ui, "Type words", &mut self.typed, "chess, shelf, think", 260.0);
            let entered = rows::entered(ui, &field);
            if Button::text("Pick them").show(ui).clicked() || entered {
                self.pick_typed(shared, known);
            }
        });
    }

    fn pick_typed(&mut self, shared: &mut Shared, known: &WordStockLoader) {
        let texts = self.typed.split([',', ' ', ';', '\n']).filter(|t| !t.trim().is_empty());
        let mut left = Vec::new();
        for text in texts {
            match find(text, known.overrides()) {
                Ok(word) => pick(&mut self.picked, word.spelling.clone(), word.variants[0].clone()),
                Err(e) => {
                    shared.say_failed(e.to_string());
                    left.push(text.to_owned());
                }
            }
        }
        self.typed = left.join(", ");
    }

    fn filters(&mut self, ui: &mut Ui) {
        ui.horizontal_wrapped(|ui| {
            rows::field(ui, "or find: sound", &mut self.wanted.sound, "SH", 80.0);
            rows::field(ui, "spelling", &mut self.wanted.spelling, "tch", 80.0);
        });
        let number = |ui: &mut Ui, name: &str, value: &mut usize, most: usize| {
            ui.horizontal_wrapped(|ui| {
                ui.label(name);
                for count in 0..=most {
                    let text = if count == 0 {
                        "any".to_owned()
                    } else {
                        count.to_string()
                    };
                    let said = format!("{name}: {text}");
                    if Button::text(&text)
                        .name(&said)
                        .selected(*value == count)
                        .show(ui)
                        .clicked()
                    {
                        *value = count;
                    }
                }
            });
        };
        number(ui, "Sounds", &mut self.wanted.count, 7);
        number(ui, "Syllables", &mut self.wanted.syllables, 4);
    }

    fn search(&mut self, shared: &Shared, made: Arc<WordStock>) {
        if self.searched.as_ref() != Some(&self.wanted) {
            self.searched = Some(self.wanted.clone());
            let wanted = self.wanted.clone();
            self.searching = Some(Later::start(&shared.ctx, "Looking for words", move |_| {
                search(&made, &wanted)
            }));
        }
        if let Some(outcome) = self.searching.as_mut().and_then(Later::take) {
            self.searching = None;
            if let WorkResult::Done(rows) = outcome {
                self.rows = Some(rows);
            }
        }
    }

    fn show_rows(&mut self, ui: &mut Ui, shared: &Shared) {
        let Some(Ok(rows)) = &self.rows else { return };
        let width = rows::widest(ui, rows.iter().map(|(word, _)| word.as_str()));
        parts::note(ui, "The commonest words first.");
        for (word, said) in rows {
            let is_in = self.picked.iter().position(|p| p.spelling == *word);
            ui.horizontal(|ui| {
                let (icon, does) = if is_in.is_some() {
                    (Icon::Done, "Leave out")
                } else {
                    (Icon::Add, "Pick")
                };
                if Button::icon(icon, &format!("{does} {word}")).show(ui).clicked() {
                    match is_in {
                        Some(at) => drop(self.picked.remove(at)),
                        None => pick(&mut self.picked, word.clone(), said.clone()),
                    }
                }
                rows::word(ui, word, said, shared.rules(), width);
            });
        }
        settings::rules_line(ui, shared.rules());
    }

    fn show_picked(&mut self, ui: &mut Ui) -> Option<FoundItem> {
        if self.picked.is_empty() {
            return None;
        }
        let mut found = None;
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            parts::section(ui, &format!("{} picked", many(self.picked.len(), "word")));
            let words: Vec<&str> = self.picked.iter().map(|w| w.spelling.as_str()).collect();
            ui.label(words.join(", "));
            which::ask(ui, &mut self.picked);
            let boxes = PlanItem::of(Content::Boxes(self.picked.clone()));
            let dictation = Content::Dictation {
                words: self.picked.clone(),
                sentences: Vec::new(),
            };
            ui.horizontal_wrapped(|ui| {
                if Button::both(Icon::Add, "Add as sound boxes").lead().show(ui).clicked() {
                    found = Some(FoundItem(boxes.clone()));
                }
                if Button::both(Icon::Add, "Add as dictation").show(ui).clicked() {
                    found = Some(FoundItem(PlanItem::of(dictation)));
                }
                if Button::text("Pick none").quiet().show(ui).clicked() {
                    self.picked.clear();
                }
                chain::drag_handle(ui, "boxes", boxes);
            });
        });
        if found.is_some() {
            self.picked.clear();
        }
        found
    }
}

fn pick(picked: &mut Vec<PlanWord>, word: String, said: Pronunciation) {
    if !picked.iter().any(|p| p.spelling == word) {
        picked.push(PlanWord::said_as(word, said));
    }
}

/// The commonest words that are as wanted; the line says what cannot be read.
fn search(made: &WordStock, wanted: &WordQuery) -> Result<Vec<SaidWord>, String> {
    let (sound, spelling) = (wanted.sound.trim(), wanted.spelling.trim());
    let sound = match sound {
        "" => None,
        text => match typed::units(text)?[..] {
            [one] => Some(one),
            _ => return Err(format!("`{text}` is more than one sound; look for one at a time")),
        },
    };
    let number = |count: usize| Some(count).filter(|n| *n > 0);
    let request = WordsRequest {
        sound,
        spelling: Some(spelling.to_lowercase()).filter(|s| !s.is_empty()),
        count: number(wanted.count),
        syllables: number(wanted.syllables),
    };
    let found = request.answer(&made.corpus, made.graph.rules(), MOST);
    Ok(found.into_iter().map(|k| (k.word.clone(), k.said.clone())).collect())
}
