//! The same word at two times, side by side.

use egui::{RichText, Ui, vec2};

use super::opened::{self, OpenedAttempt};
use super::timeline::{self, called};
use super::wave::{self, WaveAction};
use crate::later::Latest;
use crate::notebook::{Attempt, Filter, Id, ListRange, NotebookError};
use crate::playback::PlayedPart;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::shared::Shared;
use crate::ui::theme;

/// Most attempts of the word that can be gone through.
const MOST: u64 = 500;

/// One side.
#[derive(Default)]
struct ComparedSide {
    /// Which of the word's attempts, the earliest first.
    at: usize,
    wanted: Option<Id>,
    opened: Latest<OpenedAttempt, NotebookError>,
}

/// Two attempts at one word.
pub struct Compare {
    word: String,
    all: Latest<Vec<Attempt>, NotebookError>,
    sides: [ComparedSide; 2],
}

impl Compare {
    /// The first and the last attempt at this word.
    pub fn new(word: &str) -> Compare {
        Compare {
            word: word.to_owned(),
            all: Latest::default(),
            sides: Default::default(),
        }
    }

    /// Asks for what is missing, and takes in what came.
    pub fn poll(&mut self, shared: &mut Shared, learner: Id) {
        if self.all.untouched() {
            let filter = Filter {
                word: Some(self.word.clone()),
                ..Filter::default()
            };
            let page = ListRange { skip: 0, take: MOST };
            self.all.ask(shared.notebook.ask(move |n| {
                let mut all = n.attempts(learner, &filter, page)?;
                all.reverse();
                Ok(all)
            }));
        }
        if self.all.take(shared) {
            self.sides[1].at = self.all.value.as_ref().map_or(0, |all| all.len().saturating_sub(1));
        }
        let Some(all) = &self.all.value else { return };
        for side in &mut self.sides {
            let id = all.get(side.at).map(|a| a.id);
            if id.is_some() && id != side.wanted {
                side.wanted = id;
                if let Some(id) = id {
                    side.opened
                        .ask(shared.notebook.ask(move |n| opened::fetch(n, learner, id)));
                }
            }
            side.opened.take(shared);
        }
    }

    /// Shows both; whether it is to be closed.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) -> bool {
        let mut close = ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::Escape));
        ui.horizontal(|ui| {
            parts::section(ui, &format!("{}, then and later", self.word));
            close |= Button::both(Icon::Back, "Back to the attempt")
                .quiet()
                .show(ui)
                .clicked();
        });
        let count = self.all.value.as_ref().map_or(0, Vec::len);
        match count {
            0 => drop(ui.spinner()),
            1 => drop(parts::note(
                ui,
                "It was said once so far; when it is said again, the two can be put side by side.",
            )),
            _ => drop(parts::note(ui, &format!("It was said {count} times."))),
        }
        for (i, side) in self.sides.iter_mut().enumerate() {
            ui.add_space(8.0);
            parts::card(ui, |ui| {
                ui.set_width(ui.available_width());
                side.show(ui, shared, ["Then", "Later"][i], count);
            });
        }
        close
    }
}

impl ComparedSide {
    fn show(&mut self, ui: &mut Ui, shared: &mut Shared, name: &str, count: usize) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            ui.label(RichText::new(name).font(theme::bold_font(19.0)));
            let (earlier, later) = (format!("{name}: one earlier"), format!("{name}: one later"));
            let back = Button::text("Earlier").name(&earlier).quiet().enabled(self.at > 0);
            if back.show(ui).clicked() {
                self.at -= 1;
            }
            let on = Button::text("Later").name(&later).quiet().enabled(self.at + 1 < count);
            if on.show(ui).clicked() {
                self.at += 1;
            }
            let Some(opened) = &self.opened.value else { return };
            let play = format!("{name}: play");
            let has = opened.sound.is_ok();
            if Button::both(Icon::Play, "Play")
                .name(&play)
                .enabled(has)
                .show(ui)
                .clicked()
            {
                part(shared, opened, wave::reach(opened));
            }
            parts::note(ui, &opened.attempt.at.local());
        });
        let Some(opened) = &self.opened.value else {
            ui.spinner();
            return;
        };
        if let Some(WaveAction::Play(from, to)) = wave::show(ui, opened, None) {
            part(shared, opened, (from, to));
        }
        let a = &opened.attempt;
        let number = |n: Option<u16>| n.map_or("–".to_owned(), |n| n.to_string());
        let ruling = timeline::rulings(a).map_or(String::new(), |r| format!("; {r}"));
        let verdict = a.verdict.map_or("not judged", called);
        ui.label(format!(
            "word {}, child {}, recording {}; the program: {verdict}{ruling}",
            a.expected_now,
            number(a.edits.child),
            number(a.heard)
        ));
    }
}

fn part(shared: &mut Shared, opened: &OpenedAttempt, (from, to): (f32, f32)) {
    let Ok(sound) = &opened.sound else { return };
    let part = PlayedPart {
        from_s: from,
        to_s: to,
        speed: 1.0,
    };
    shared.playback.play(&sound.samples, part, &shared.wake);
}
