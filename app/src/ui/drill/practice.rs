//! The grown-up's own practice, as it is drawn.

use egui::{Key, Modifiers, RichText, Ui};
use soundbead_data::inventory;
use soundbead_dsp::stop::StopVowel;

use super::room;
use crate::drill::LessonWord;
use crate::drill::practice::{Exercise, GrownUpPractice, PracticeIntent, StopTold, stop_told};
use crate::drill::voice::A_COMPUTER_VOICE;
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::Shared;
use crate::ui::theme;

/// Most sounds that can be answered.
const MOST: usize = 8;
const DIGITS: [Key; MOST] = [
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
];

/// The practice as it is drawn.
#[derive(Default)]
pub struct PracticeView {
    practice: GrownUpPractice,
}

impl PracticeView {
    /// Whether it stands in the place of the lesson.
    pub fn is_open(&self) -> bool {
        self.practice.is_open()
    }

    /// Does what a person wants.
    pub fn act(&mut self, shared: &mut Shared, intent: PracticeIntent) {
        self.practice.apply(&mut shared.equipment(), intent);
    }

    /// Takes in what came. Another view lets the microphone go.
    pub fn poll(&mut self, shared: &mut Shared, shown: bool) {
        if !shown {
            self.practice.leave();
        }
        if self.practice.poll(&mut shared.equipment()) {
            shared.ctx.request_repaint();
        }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let mut out = Vec::new();
        self.keys(ui, shared, &mut out);
        ui.horizontal_wrapped(|ui| {
            if Button::both(Icon::Back, "Back").quiet().key("Esc").show(ui).clicked() {
                out.push(PracticeIntent::Close);
            }
            parts::heading(ui, "For the grown-up");
        });
        let mut exercise = self.practice.exercise();
        let all = [
            (Exercise::Count, "Count the sounds"),
            (Exercise::Stops, "Stops without a vowel"),
            (Exercise::Pairs, "Near pairs"),
        ];
        if parts::choice(ui, "Practice", &mut exercise, &all) {
            out.push(PracticeIntent::Open(exercise));
        }
        parts::note(ui, "Nothing of this is kept.");
        egui::ScrollArea::vertical()
            .id_salt("practice")
            .auto_shrink(false)
            .show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 12.0;
                ui.add_space(((room::in_view(ui) - 380.0) / 3.0).clamp(0.0, 60.0));
                match self.practice.exercise() {
                    Exercise::Count => self.count(ui, &mut out),
                    Exercise::Stops => self.stops(ui, &mut out),
                    Exercise::Pairs => self.pairs(ui, &mut out),
                }
                if let Some(fault) = self.practice.fault() {
                    parts::banner(ui, BannerTone::Alarm, fault);
                }
            });
        for intent in out {
            self.act(shared, intent);
        }
    }

    fn keys(&self, ui: &Ui, shared: &mut Shared, out: &mut Vec<PracticeIntent>) {
        shared.key("1 … 8", "the answer");
        shared.key("M", "hear it");
        shared.key("Space", "record, where something is said");
        shared.key("Enter", "the next");
        let free = ui.memory(|m| m.focused().is_none() && m.top_modal_layer().is_none());
        let pressed = |key| free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
        if pressed(Key::Escape) {
            out.push(PracticeIntent::Close);
        }
        if pressed(Key::M) {
            out.push(PracticeIntent::Hear);
        }
        if pressed(Key::Space) {
            out.push(PracticeIntent::Record);
        }
        if pressed(Key::Enter) {
            out.push(PracticeIntent::Next);
        }
        if let Some(at) = DIGITS.iter().position(|key| pressed(*key)) {
            out.push(match self.practice.exercise() {
                Exercise::Pairs if at < 2 => PracticeIntent::Was(at),
                _ => PracticeIntent::Count(at + 1),
            });
        }
    }

    fn count(&self, ui: &mut Ui, out: &mut Vec<PracticeIntent>) {
        let (word, count, why) = self.practice.fooler();
        let answered = self.practice.answered();
        ui.vertical_centered(|ui| {
            ui.label(RichText::new("How many sounds do you hear?").font(room::asking(ui)));
            room::spelling(ui, word, 52.0);
        });
        parts::row_in_the_middle(ui, "numbers", |ui| {
            for (at, name) in ["1", "2", "3", "4", "5", "6", "7", "8"].into_iter().enumerate() {
                let chosen = answered == Some(at + 1);
                let button = Button::text(name)
                    .selected(chosen)
                    .enabled(answered.is_none() || chosen);
                if button.show(ui).clicked() {
                    out.push(PracticeIntent::Count(at + 1));
                }
            }
        });
        if let Some(given) = answered {
            let has = sounds_of(word);
            let line = match given == count {
                true => format!("Yes, {}: {has}. {why}", many(count, "sound")),
                false => format!("It has {}: {has}. {why}", many(count, "sound")),
            };
            let tone = if given == count {
                BannerTone::Good
            } else {
                BannerTone::Plain
            };
            parts::banner(ui, tone, &line);
        }
        self.foot(ui, true, out);
    }

    fn stops(&self, ui: &mut Ui, out: &mut Vec<PracticeIntent>) {
        let entry = inventory::of(self.practice.stop());
        ui.vertical_centered(|ui| {
            ui.label(RichText::new("Say this sound by itself, with no vowel behind it.").font(room::asking(ui)));
            ui.label(RichText::new(entry.shown()).font(theme::bold_font(64.0)));
            let line = match self.practice.listens() {
                true => "Listening for two seconds …",
                false => "The program measures how long the vowel behind it is. Over 30 ms, a child may count it.",
            };
            parts::note(ui, line);
        });
        parts::row_in_the_middle(ui, "record", |ui| {
            let record = Button::both(Icon::Microphone, "Record").lead().key("Space");
            if record.enabled(!self.practice.listens()).show(ui).clicked() {
                out.push(PracticeIntent::Record);
            }
        });
        if let Some(told) = self.practice.told() {
            let tone = match told {
                StopTold::Vowel(_, StopVowel::Hardly) => BannerTone::Good,
                StopTold::Vowel(_, StopVowel::Counted) => BannerTone::Plain,
                _ => BannerTone::Care,
            };
            parts::banner(ui, tone, &stop_told(told));
        }
        self.foot(ui, false, out);
    }

    fn pairs(&self, ui: &mut Ui, out: &mut Vec<PracticeIntent>) {
        let (pair, was) = (self.practice.pair(), self.practice.was());
        ui.vertical_centered(|ui| {
            ui.label(RichText::new("Hear it first. Which of the two was it?").font(room::asking(ui)));
        });
        parts::row_in_the_middle(ui, "which", |ui| {
            for (at, word) in pair.into_iter().enumerate() {
                let given = self.practice.answered() == Some(at);
                let open = self.practice.heard() && was.is_none();
                let button = Button::text(word).selected(given).enabled(open || given);
                if button.show(ui).clicked() {
                    out.push(PracticeIntent::Was(at));
                }
            }
        });
        if let Some(was) = was {
            let right = self.practice.answered() == Some(was);
            let line = match right {
                true => format!("Yes: {}.", pair[was]),
                false => format!("It was {}. Hear both once more.", pair[was]),
            };
            parts::banner(ui, if right { BannerTone::Good } else { BannerTone::Plain }, &line);
            parts::row_in_the_middle(ui, "both", |ui| {
                for (at, word) in pair.into_iter().enumerate() {
                    let name = format!("Hear {word}");
                    if Button::both(Icon::Speaker, &name).quiet().show(ui).clicked() {
                        out.push(PracticeIntent::HearOne(at));
                    }
                }
            });
        }
        self.foot(ui, true, out);
    }

    /// Hear it, go on, and how many were right so far.
    fn foot(&self, ui: &mut Ui, counted: bool, out: &mut Vec<PracticeIntent>) {
        let fresh = self.practice.exercise() == Exercise::Pairs && self.practice.answered().is_none();
        parts::row_in_the_middle(ui, "foot", |ui| {
            let hear = Button::both(Icon::Speaker, "Hear it").key("M");
            let hear = if fresh { hear.lead() } else { hear };
            if hear.show(ui).clicked() {
                out.push(PracticeIntent::Hear);
            }
            if Button::text("Next").key("Enter").show(ui).clicked() {
                out.push(PracticeIntent::Next);
            }
            parts::note(ui, A_COMPUTER_VOICE);
        });
        let [right, all] = self.practice.right();
        if counted && all > 0 {
            ui.vertical_centered(|ui| parts::note(ui, &format!("{right} of {all} this time.")));
        }
    }
}

/// A word's sounds in plain letters.
fn sounds_of(word: &str) -> String {
    let found = LessonWord::find(word, &Default::default(), &Default::default());
    found.map_or_else(|_| String::new(), |word| word.plain())
}
