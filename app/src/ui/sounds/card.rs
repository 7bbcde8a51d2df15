//! One sound in full: its signs, words, mouth, what to say about it, its mix-up and its spellings.

mod hear;
mod motion;
mod notes;
mod spelled;
mod words;

use egui::{RichText, Ui, vec2};
use soundbead_data::inventory::{self, Features, SoundEntry};

use crate::ui::icons::Icon;
use crate::ui::parts;
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};
use crate::ui::to_print::ToPrint;

/// From this width on the card has two columns.
const WIDE: f32 = 620.0;
/// Width of the column with the mouth, where there are two.
const SEEN: f32 = 350.0;

/// The card and what it remembers.
pub struct Card {
    entry: &'static SoundEntry,
    motion: motion::Motion,
    spelled: spelled::SpellingsPart,
    hear: hear::HearPart,
    notes: notes::Notes,
    /// Another sound that was asked for on this card.
    asked: Option<&'static SoundEntry>,
}

impl Default for Card {
    fn default() -> Self {
        let entry = inventory::find("IY").expect("in the inventory");
        Card {
            entry,
            motion: motion::Motion::of(entry),
            spelled: spelled::SpellingsPart::default(),
            hear: hear::HearPart::default(),
            notes: notes::Notes::default(),
            asked: None,
        }
    }
}

impl Card {
    /// The sound on the card.
    pub fn entry(&self) -> &'static SoundEntry {
        self.entry
    }

    /// Puts a sound on the card, or, while one is being chosen to turn into, makes it the one.
    pub fn pick(&mut self, entry: &'static SoundEntry) {
        if !self.motion.aim(entry) {
            self.entry = entry;
            self.motion = motion::Motion::of(entry);
        }
    }

    /// Whether the next sound picked is the one that this one turns into.
    pub fn is_aiming(&self) -> bool {
        self.motion.is_aiming()
    }

    /// Another sound that was asked for on this card; once.
    pub fn take_asked(&mut self) -> Option<&'static SoundEntry> {
        self.asked.take()
    }

    /// Another view is shown: the microphone is let go.
    pub fn leave(&mut self) {
        self.hear.leave();
    }

    /// F1 and F2 (Hz) of a moving mouth, for the chart.
    pub fn moving_dot(&self, voice: soundbead_dsp::formant::VoiceKind) -> Option<[f32; 2]> {
        self.motion.formants(voice)
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        parts::card(ui, |ui| {
            egui::ScrollArea::vertical()
                .id_salt("card")
                .auto_shrink(false)
                .show(ui, |ui| {
                    ui.set_max_width(ui.available_width() - 8.0);
                    if ui.available_width() < WIDE {
                        self.seen(ui, shared);
                        self.told(ui, shared);
                        return;
                    }
                    // By itself the card has room for what is seen beside what is told.
                    let (left, right) = (SEEN, ui.available_width() - SEEN - 20.0);
                    ui.horizontal_top(|ui| {
                        ui.spacing_mut().item_spacing.x = 20.0;
                        let parts = [
                            (Card::seen as fn(&mut Card, &mut Ui, &mut Shared), left),
                            (Card::told, right),
                        ];
                        for (part, width) in parts {
                            ui.vertical(|ui| {
                                ui.set_width(width);
                                ui.spacing_mut().item_spacing.x = 10.0;
                                part(self, ui, shared);
                            });
                        }
                    });
                });
        });
    }

    /// Signs, words, mouth.
    fn seen(&mut self, ui: &mut Ui, shared: &mut Shared) {
        self.head(ui, shared);
        self.hear.show(ui, shared, self.entry);
        ui.add_space(4.0);
        words::show(ui, self.entry);
        ui.add_space(6.0);
        self.motion.show(ui, shared);
        ui.add_space(6.0);
    }

    /// What to say, the mix-up, the spellings.
    fn told(&mut self, ui: &mut Ui, shared: &mut Shared) {
        self.notes.show(ui, shared, self.entry);
        self.cues(ui);
        self.mix_up(ui);
        self.spelled.show(ui, self.entry);
    }

    fn head(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let p = palette(ui);
        let entry = self.entry;
        ui.horizontal(|ui| {
            ui.label(
                RichText::new(format!("/{}/", entry.ipa))
                    .font(theme::bold_font(40.0))
                    .color(p.lead),
            );
            ui.add_space(6.0);
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                ui.add_space(6.0);
                ui.label(RichText::new(entry.shown()).font(theme::bold_font(22.0)));
                parts::note(ui, &in_terms(&entry.features));
            });
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
                if parts::Button::icon(Icon::Print, "Print this card").show(ui).clicked() {
                    shared.print(ToPrint::card(entry));
                }
            });
        });
    }

    fn cues(&self, ui: &mut Ui) {
        let p = palette(ui);
        parts::section(ui, "Say to the child");
        egui::Grid::new("cues")
            .num_columns(2)
            .spacing(vec2(14.0, 8.0))
            .min_row_height(20.0)
            .show(ui, |ui| {
                for (part, cue) in self.entry.cues.iter() {
                    let name = if part == "airflow" { "air" } else { part };
                    ui.with_layout(egui::Layout::top_down(egui::Align::Min), |ui| {
                        ui.add(egui::Label::new(RichText::new(name).size(15.0).color(p.soft)).extend());
                    });
                    ui.add(egui::Label::new(cue).wrap());
                    ui.end_row();
                }
            });
        ui.add_space(6.0);
    }

    fn mix_up(&mut self, ui: &mut Ui) {
        let confused = &self.entry.confused;
        let other = inventory::find(&confused.with.to_string()).expect("a mix-up names an entry");
        parts::section(ui, "Often mixed up with");
        ui.horizontal_top(|ui| {
            let name = format!("Show {}", super::spoken(other));
            let text = format!("/{}/  {}", other.ipa, super::key_word(other));
            if parts::Button::text(&text).name(&name).show(ui).clicked() {
                self.asked = Some(other);
            }
            ui.add(egui::Label::new(&confused.tell_apart).wrap());
        });
        for mixup in &self.entry.also {
            ui.horizontal_top(|ui| {
                ui.label(RichText::new(crate::sheet::card::mixed_with(mixup)).strong());
                ui.add(egui::Label::new(&mixup.tell_apart).wrap());
            });
        }
        ui.add_space(6.0);
    }
}

/// The features in the terms of the IPA.
fn in_terms(features: &Features) -> String {
    match features {
        Features::Consonant(c) => {
            let manner = c.manner.to_string().replace('-', " ");
            format!("{} {} {manner}", c.voicing, c.place)
        }
        Features::Vowel(v) => {
            let r = if v.r_coloured { ", r-colored" } else { "" };
            match v.glide_to {
                Some(to) => format!("{} {} to {} {}", v.height, v.backness, to.height, to.backness),
                None => format!("{} {} {}{r}", v.height, v.backness, v.rounding),
            }
        }
    }
}
