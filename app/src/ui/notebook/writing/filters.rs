//! What is looked for: a sound, a choice of spelling, a finding.

use egui::{ComboBox, Ui, vec2};
use soundbead_data::course::Choice;
use soundbead_data::writing::Finding;
use soundbead_data::{Sound, inventory};

use crate::notebook::WritingFilter;
use crate::ui::parts::Button;
use crate::wording::misspelling::LOOKED_FOR;

/// The row of filters.
pub fn show(ui: &mut Ui, filter: &mut WritingFilter) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        sound(ui, &mut filter.sound);
        choice(ui, &mut filter.choice);
        finding(ui, filter);
        if *filter != WritingFilter::default() && Button::text("Show all").quiet().show(ui).clicked() {
            *filter = WritingFilter::default();
        }
    });
}

fn sound(ui: &mut Ui, chosen: &mut Option<Sound>) {
    let name = |s: Option<Sound>| {
        s.map_or("Any sound".to_owned(), |s| {
            format!("Sound {}", inventory::of(s).shown())
        })
    };
    let combo = ComboBox::from_id_salt("written sound")
        .selected_text(name(*chosen))
        .width(120.0);
    combo.show_ui(ui, |ui| {
        ui.selectable_value(chosen, None, name(None));
        for sound in Sound::all() {
            let entry = inventory::of(sound);
            let key = entry.words.initial.as_ref().or(entry.words.medial.as_ref());
            let as_in = key.map_or(String::new(), |word| format!(", as in {word}"));
            ui.selectable_value(chosen, Some(sound), format!("{}{as_in}", entry.letters()));
        }
    });
}

fn choice(ui: &mut Ui, chosen: &mut Option<Choice>) {
    let name = |c: Option<Choice>| c.map_or("Any choice of spelling", Choice::name);
    let combo = ComboBox::from_id_salt("written choice")
        .selected_text(name(*chosen))
        .width(250.0);
    combo.show_ui(ui, |ui| {
        ui.selectable_value(chosen, None, name(None));
        for choice in Choice::ALL.iter().copied() {
            let text = format!("{}, as in {}", choice.name(), choice.example());
            ui.selectable_value(chosen, Some(choice), text);
        }
    });
}

/// A finding at a sound, or letters that stand for none.
fn finding(ui: &mut Ui, filter: &mut WritingFilter) {
    let is = |looked: Option<Finding>, filter: &WritingFilter| match looked {
        Some(finding) => filter.finding.is_some_and(|f| f.name() == finding.name()),
        None => filter.added,
    };
    let chosen = LOOKED_FOR.iter().find(|(looked, _)| is(*looked, filter));
    let combo = ComboBox::from_id_salt("written finding")
        .selected_text(chosen.map_or("Any finding", |(_, name)| *name))
        .width(200.0);
    combo.show_ui(ui, |ui| {
        if ui.selectable_label(chosen.is_none(), "Any finding").clicked() {
            (filter.finding, filter.added) = (None, false);
        }
        for (looked, name) in LOOKED_FOR {
            if ui.selectable_label(is(looked, filter), name).clicked() {
                (filter.finding, filter.added) = (looked, looked.is_none());
            }
        }
    });
}
