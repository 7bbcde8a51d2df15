//! For the grown-up, before the lesson: its words to hear, and models of them to record one after another.

use egui::{Key, Modifiers, RichText, Ui};
use soundbead_dsp::judgement::Speaking;

use super::beads::{Bead, BeadLook, Strand};
use super::room;
use crate::drill::model_pass::{ModelPass, ModelPassIntent};
use crate::drill::voice::A_COMPUTER_VOICE;
use crate::recorder::Stage;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::palette;

/// The pass as it is drawn.
#[derive(Default)]
pub struct ModelPassView {
    pass: ModelPass,
}

impl ModelPassView {
    /// Whether it stands in the place of the start.
    pub fn is_open(&self) -> bool {
        self.pass.is_open()
    }

    /// Does what a person wants.
    pub fn act(&mut self, shared: &mut Shared, intent: ModelPassIntent) {
        self.pass.apply(&mut shared.equipment(), intent);
    }

    /// Takes in what came. Another view ends a recording.
    pub fn poll(&mut self, shared: &mut Shared, shown: bool) {
        if !shown && self.pass.recorder().stage() != Stage::Idle {
            self.act(shared, ModelPassIntent::Cancel);
        }
        if self.pass.poll(&mut shared.equipment()) {
            shared.ctx.request_repaint();
        }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let mut out = Vec::new();
        let says = self.pass.says(&shared.equipment());
        self.keys(ui, shared, &mut out);
        ui.horizontal(|ui| {
            if Button::both(Icon::Back, "Back").quiet().key("Esc").show(ui).clicked() {
                out.push(ModelPassIntent::Close);
            }
            parts::heading(ui, "Hear and record the words");
        });
        parts::note(
            ui,
            "For the grown-up: the words stand here. Record one after another; the next comes up by itself.",
        );
        ui.add_space(6.0);
        egui::ScrollArea::vertical()
            .id_salt("models")
            .auto_shrink(false)
            .show(ui, |ui| {
                self.list(ui, &mut out);
                ui.add_space(10.0);
                self.word(ui, says, &mut out);
            });
        for intent in out {
            self.act(shared, intent);
        }
    }

    fn keys(&self, ui: &Ui, shared: &mut Shared, out: &mut Vec<ModelPassIntent>) {
        shared.key("Space", "record, and stop");
        shared.key("M , N , B", "hear it, drawn out, sound by sound");
        shared.key("← , →", "the word before, the next");
        let free = ui.memory(|m| m.focused().is_none() && m.top_modal_layer().is_none());
        let pressed = |key| free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
        if pressed(Key::Escape) {
            out.push(match self.pass.recorder().stage() {
                Stage::Idle => ModelPassIntent::Close,
                _ => ModelPassIntent::Cancel,
            });
        }
        if pressed(Key::Space) {
            out.push(ModelPassIntent::Record);
        }
        for (key, speaking) in [
            (Key::M, Speaking::Whole),
            (Key::N, Speaking::Stretched),
            (Key::B, Speaking::Separate),
        ] {
            if pressed(key) {
                out.push(ModelPassIntent::Hear(speaking));
            }
        }
        let at = self.pass.at();
        if pressed(Key::ArrowLeft) {
            out.push(ModelPassIntent::Pick(at.saturating_sub(1)));
        }
        if pressed(Key::ArrowRight) {
            out.push(ModelPassIntent::Pick(at + 1));
        }
    }

    fn list(&self, ui: &mut Ui, out: &mut Vec<ModelPassIntent>) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = egui::vec2(6.0, 6.0);
            for (i, word) in self.pass.words().iter().enumerate() {
                let recorded = self.pass.has_model(word);
                let name = match recorded {
                    true => format!("{}, recorded", word.spelling),
                    false => word.spelling.clone(),
                };
                let button = match recorded {
                    true => Button::both(Icon::Done, &word.spelling),
                    false => Button::text(&word.spelling),
                };
                if button.name(&name).selected(i == self.pass.at()).show(ui).clicked() {
                    out.push(ModelPassIntent::Pick(i));
                }
            }
        });
        let (recorded, all) = (self.pass.recorded(), self.pass.words().len());
        if all > 0 {
            parts::note(ui, &format!("{recorded} of {all} in your own voice."));
        }
    }

    fn word(&self, ui: &mut Ui, says: Option<usize>, out: &mut Vec<ModelPassIntent>) {
        let Some(word) = self.pass.word() else {
            if let Some(line) = self.pass.line() {
                parts::banner(ui, BannerTone::Care, line);
            }
            return;
        };
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.vertical_centered(|ui| {
                room::spelling(ui, &word.spelling, 44.0);
                ui.label(RichText::new(word.ipa()).size(17.0).color(palette(ui).soft));
            });
            let each = |(i, (_, plain)): (usize, &(String, String))| Bead {
                label: plain.clone(),
                look: if says == Some(i) {
                    BeadLook::Sounding
                } else {
                    BeadLook::Plain
                },
                name: super::sound_name(i, plain, says),
            };
            let beads: Vec<Bead> = word.written.iter().enumerate().map(each).collect();
            Strand {
                id: "model",
                beads: &beads,
                size: room::bead(ui),
                touch: false,
                loose: false,
            }
            .show(ui);
            parts::row_in_the_middle(ui, "hear", |ui| self.hear(ui, word, out));
            ui.add_space(8.0);
            parts::row_in_the_middle(ui, "record", |ui| self.record(ui, out));
            if let Some(line) = self.pass.line() {
                parts::banner(ui, BannerTone::Plain, line);
            }
        });
    }

    fn hear(&self, ui: &mut Ui, word: &crate::drill::LessonWord, out: &mut Vec<ModelPassIntent>) {
        for (speaking, text, key) in [
            (Speaking::Whole, "Hear it", "M"),
            (Speaking::Stretched, "Drawn out", "N"),
            (Speaking::Separate, "Sound by sound", "B"),
        ] {
            if Button::text(text).key(key).show(ui).clicked() {
                out.push(ModelPassIntent::Hear(speaking));
            }
        }
        parts::note(ui, A_COMPUTER_VOICE);
        if self.pass.has_model(word) && Button::both(Icon::Play, "Your own").show(ui).clicked() {
            out.push(ModelPassIntent::HearOwn);
        }
    }

    fn record(&self, ui: &mut Ui, out: &mut Vec<ModelPassIntent>) {
        let (icon, text, line) = match self.pass.recorder().stage() {
            Stage::Idle => (Icon::Microphone, "Record", ""),
            Stage::Opening => (Icon::Stop, "That was it", "One moment ..."),
            Stage::Checking => (Icon::Stop, "That was it", "Quiet, please: listening to the room."),
            Stage::Waiting => (Icon::Stop, "That was it", "Now say it for the child to hear."),
            Stage::Hearing => (Icon::Stop, "That was it", "Listening."),
        };
        if Button::both(icon, text).lead().key("Space").show(ui).clicked() {
            out.push(ModelPassIntent::Record);
        }
        if !line.is_empty() {
            ui.label(RichText::new(line).size(19.0));
        }
    }
}
