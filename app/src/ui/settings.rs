//! The Settings view: counting rules with their reasons, voice, look, text size; where things are kept, privacy, care.

use egui::{RichText, Ui};
use soundbead_data::Rules;
use soundbead_data::rule::RuleInfo;
use soundbead_dsp::formant::VoiceKind;

use super::parts::{self, BannerTone};
use super::prefs::{TEXT_SIZES, ThemeChoice};
use super::shared::Shared;
use super::theme::{self, palette};
use crate::wording;

/// What stays on this machine.
pub const PRIVACY: &str = "Recordings and notes stay on this machine, in the folder below. The program has no network \
     code: nothing is sent and nothing is looked up elsewhere. Deleting a learner deletes every recording and note of \
     that learner. Where you live there may be rules on recording children and on records of them; ask before you begin.";

/// Rules, voice, look.
#[derive(Default)]
pub struct SettingsView {}

impl SettingsView {
    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        parts::heading(ui, "Settings");
        egui::ScrollArea::vertical()
            .id_salt("settings")
            .auto_shrink(false)
            .show(ui, |ui| {
                let wide = ui.available_width() > 900.0;
                if wide {
                    let half = (ui.available_width() - 26.0) / 2.0;
                    ui.horizontal_top(|ui| {
                        let column = |ui: &mut Ui, add: &mut dyn FnMut(&mut Ui)| {
                            ui.vertical(|ui| {
                                ui.set_width(half);
                                add(ui);
                            });
                        };
                        column(ui, &mut |ui| rules(ui, shared));
                        column(ui, &mut |ui| about_here(ui, shared));
                    });
                } else {
                    about_here(ui, shared);
                    rules(ui, shared);
                }
            });
    }
}

fn about_here(ui: &mut Ui, shared: &mut Shared) {
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        parts::section(ui, "Look");
        let looks = [
            (ThemeChoice::System, "As the desktop"),
            (ThemeChoice::Light, "Light"),
            (ThemeChoice::Dark, "Dark"),
        ];
        parts::choice(ui, "Look", &mut shared.prefs.look, &looks);
        parts::section(ui, "Text size");
        let sizes = TEXT_SIZES.map(|(name, size)| (size, name));
        parts::choice(ui, "Text size", &mut shared.prefs.text, &sizes);
        parts::section(ui, "Voice");
        parts::note(ui, "Whose voice the vowel chart shows and the model sounds have.");
        let voices = [
            (VoiceKind::Child, "Child"),
            (VoiceKind::Woman, "Woman"),
            (VoiceKind::Man, "Man"),
        ];
        parts::choice(ui, "Voice", &mut shared.prefs.voice, &voices);
    });
    ui.add_space(4.0);
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        parts::section(ui, "Privacy");
        ui.label(PRIVACY);
        parts::note(ui, &format!("Kept in {}", shared.folder.display()));
        parts::section(ui, "Care");
        ui.label(wording::CAUTION_BESIDE_EAR);
    });
    ui.add_space(4.0);
}

fn rules(ui: &mut Ui, shared: &mut Shared) {
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        parts::section(ui, "Counting rules");
        parts::note(
            ui,
            "Teachers count some sounds differently. The rules in force stand beside every count.",
        );
        if let Some(learner) = &shared.learner {
            let line = format!(
                "{} is counted by rules of their own: Notebook, Counting rules. These hold for a learner who is added, and \
                 while nobody is in hand.",
                learner.name
            );
            parts::banner(ui, BannerTone::Plain, &line);
        }
        rules_choice(ui, &mut shared.prefs.rules);
    });
    ui.add_space(4.0);
}

/// Every counting rule to be chosen, and the sets to start from.
pub fn rules_choice(ui: &mut Ui, rules: &mut Rules) {
    ui.add_space(4.0);
    ui.label("Start from a set:");
    ui.horizontal_wrapped(|ui| {
        for (name, about) in Rules::SETS {
            let set = Rules::named(name).expect("a set is known by its own name");
            let said = format!("Set of rules: {name}");
            let button = parts::Button::text(name).name(&said).selected(*rules == set);
            if parts::hint(button.show(ui), about).clicked() {
                *rules = set;
            }
        }
    });
    for info in Rules::about() {
        ui.add_space(10.0);
        rule(ui, rules, info);
    }
}

fn rule(ui: &mut Ui, rules: &mut Rules, info: &'static RuleInfo) {
    let soft = palette(ui).soft;
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(info.title).font(theme::bold_font(17.0)));
        ui.label(RichText::new(format!("as in {}", info.example)).color(soft));
    });
    let now = rules
        .iter()
        .find(|(name, _)| *name == info.name)
        .map_or("", |(_, value)| value);
    let mut value = now;
    let options: Vec<(&str, &str)> = info.values.iter().map(|v| (*v, info.choice(v))).collect();
    if parts::choice(ui, info.title, &mut value, &options) {
        rules.set(info.name, value).expect("the values are the rule's own");
    }
    parts::note(ui, info.reason);
}

/// The rules in force on one line, for the foot of a count.
pub fn rules_line(ui: &mut Ui, rules: &Rules) {
    parts::note(ui, &wording::rules_in_short(rules));
}

/// The caution that stands wherever a verdict does.
pub fn care_line(ui: &mut Ui) {
    parts::banner(ui, BannerTone::Care, wording::CAUTION_BESIDE_EAR);
}
