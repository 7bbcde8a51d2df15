//! Finding sums of word parts: prefixes, bases and suffixes.

use egui::{RichText, Ui};
use soundbead_data::parts::{self as table, Join, Origin, Part, Sum};

use super::super::icons::Icon;
use super::super::parts::{self, Button};
use super::super::theme::{bold_font, palette};
use super::{Found, chain};
use crate::plan::{Content, Item, PlanWord};

/// The part that was chosen.
#[derive(Default)]
pub struct SumFinder {
    chosen: Option<&'static Part>,
}

impl SumFinder {
    /// Shows the sums of the part that is chosen, and under them every part; gives what is to go into the plan.
    pub fn show(&mut self, ui: &mut Ui) -> Option<Found> {
        // Above: under all the parts it would lie out of sight.
        let found = self.chosen.and_then(|part| show_part(ui, part));
        if self.chosen.is_none() {
            parts::note(
                ui,
                "Pick a part for words that have it: how they are written and what becomes of their sounds.",
            );
        }
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            for origin in [Origin::AngloSaxon, Origin::Latin, Origin::Greek] {
                ui.horizontal_wrapped(|ui| {
                    parts::note(ui, &origin.to_string());
                    for part in table::all().iter().filter(|p| p.origin == origin) {
                        self.chip(ui, part);
                    }
                });
            }
        });
        found
    }

    fn chip(&mut self, ui: &mut Ui, part: &'static Part) {
        let name = format!("Part: {}", part.form);
        let chip = Button::text(&part.form)
            .name(&name)
            .selected(self.chosen == Some(part))
            .show(ui);
        if chip.on_hover_text(&part.meaning).clicked() {
            self.chosen = Some(part);
        }
    }
}

fn show_part(ui: &mut Ui, part: &Part) -> Option<Found> {
    // Every sum of the table makes a word; the tests of the data hold it.
    let sums: Vec<Sum> = part.sums.iter().filter_map(|text| Sum::read(text)).collect();
    let item = Item {
        title: format!("{}: {}", part.form, part.meaning),
        note: sums.iter().map(in_letters).collect::<Vec<_>>().join("; "),
        content: Content::Boxes(sums.iter().map(|s| PlanWord::new(s.word.clone())).collect()),
    };
    let mut found = None;
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        parts::section(ui, &part.form);
        ui.label(format!("{} ({})", part.meaning, part.origin));
        ui.horizontal_wrapped(|ui| {
            if Button::both(Icon::Add, "Add words to the plan")
                .lead()
                .show(ui)
                .clicked()
            {
                found = Some(Found(item.clone()));
            }
            chain::drag_handle(ui, "sums", item);
        });
        let soft = palette(ui).soft;
        // Nothing here is touched: the rows may be as close as they can be read.
        ui.spacing_mut().interact_size.y = 30.0;
        for sum in &sums {
            ui.horizontal_wrapped(|ui| {
                ui.label(format!("{} =", sum.parts.join(" + ")));
                ui.label(RichText::new(&sum.word).font(bold_font(19.0)));
                ui.label(RichText::new(changes(sum)).color(soft));
            });
        }
    });
    found
}

fn in_letters(sum: &Sum) -> String {
    format!("{} = {}", sum.parts.join(" + "), sum.word)
}

/// What happens to the letters and to the sounds.
fn changes(sum: &Sum) -> String {
    let joins = sum.joins.iter().filter(|j| **j != Join::Plain);
    let heard = sum.heard().map(|h| h.to_string());
    let all: Vec<String> = joins.map(ToString::to_string).chain(heard).collect();
    if all.is_empty() {
        return "nothing changes".to_owned();
    }
    all.join("; ")
}
