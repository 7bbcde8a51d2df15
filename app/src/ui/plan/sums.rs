//! Finding sums of word parts: prefixes, bases and suffixes.

use egui::{RichText, Ui};
use soundbead_data::chain::WordList;
use soundbead_data::parts::{self as table, Families, Origin, Part, Sum};

use super::super::icons::Icon;
use super::super::jobs;
use super::super::parts::{self, Button};
use super::super::theme::{bold_font, palette};
use super::{FoundItem, chain};
use crate::ask::parts::{AffixCount, sums};
use crate::later::{Later, WorkResult};
use crate::plan::{Content, PlanItem, PlanWord};

/// The part that was chosen.
#[derive(Default)]
pub struct SumFinder {
    chosen: Option<ChosenPart>,
    counting: FamilyCount,
}

/// The common words taken apart, on which is counted what an affix joins. It takes a second, so it is done once, off the window's
/// thread, when the first affix is chosen.
#[derive(Default)]
enum FamilyCount {
    #[default]
    Unasked,
    Coming(Later<Families>),
    There(Box<Families>),
    /// It was cancelled: the sums are shown without it.
    Without,
}

impl FamilyCount {
    /// Takes what is done, and starts it where an affix is chosen and nothing was asked yet.
    fn keep_up(&mut self, ui: &Ui, affix: bool) {
        match self {
            FamilyCount::Unasked if affix => {
                let count = Later::start(ui.ctx(), "Counting what it joins", |_| {
                    Families::new(&WordList::default())
                });
                *self = FamilyCount::Coming(count);
            }
            FamilyCount::Coming(work) => match work.take() {
                Some(WorkResult::Done(families)) => *self = FamilyCount::There(Box::new(families)),
                Some(_) => *self = FamilyCount::Without,
                None => {}
            },
            _ => {}
        }
    }
}

/// A part with its sums, worked out once: each asks the dictionary several times.
struct ChosenPart {
    part: &'static Part,
    rows: Vec<SumRow>,
    item: PlanItem,
    /// What it joins, counted, with the exceptions; none before it is counted, empty for a base.
    joins: Option<Vec<String>>,
}

/// One sum as it is shown.
struct SumRow {
    sum: String,
    word: String,
    changes: String,
}

impl SumFinder {
    /// Shows the sums of the part that is chosen, and under them every part; gives what is to go into the plan.
    pub fn show(&mut self, ui: &mut Ui) -> Option<FoundItem> {
        let affix = self.chosen.as_ref().is_some_and(|chosen| chosen.part.joins.is_some());
        self.counting.keep_up(ui, affix);
        if let (FamilyCount::There(families), Some(chosen)) = (&self.counting, &mut self.chosen) {
            chosen.count(families);
        }
        // Above: under all the parts it would lie out of sight.
        let found = self.chosen.as_ref().and_then(|chosen| chosen.show(ui, &self.counting));
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
            .selected(self.chosen.as_ref().is_some_and(|c| c.part == part))
            .show(ui);
        if parts::hint(chip, &part.meaning).clicked() {
            self.chosen = Some(ChosenPart::new(part));
        }
    }
}

impl ChosenPart {
    fn new(part: &'static Part) -> ChosenPart {
        let rows: Vec<SumRow> = sums(part).map(SumRow::new).collect();
        let written = rows.iter().map(|r| format!("{} = {}", r.sum, r.word));
        let item = PlanItem {
            title: format!("{}: {}", part.form, part.meaning),
            note: written.collect::<Vec<_>>().join("; "),
            content: Content::Boxes(rows.iter().map(|r| PlanWord::new(r.word.clone())).collect()),
        };
        ChosenPart {
            part,
            rows,
            item,
            joins: None,
        }
    }

    fn count(&mut self, families: &Families) {
        let counted = || AffixCount::of(families, self.part).map_or_else(Vec::new, |count| count.sentences());
        if self.joins.is_none() {
            self.joins = Some(counted());
        }
    }

    fn show(&self, ui: &mut Ui, counting: &FamilyCount) -> Option<FoundItem> {
        let mut found = None;
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            parts::section(ui, &self.part.form);
            ui.label(format!("{} ({})", self.part.meaning, self.part.origin));
            ui.horizontal_wrapped(|ui| {
                if Button::both(Icon::Add, "Add words to the plan")
                    .lead()
                    .show(ui)
                    .clicked()
                {
                    found = Some(FoundItem(self.item.clone()));
                }
                chain::drag_handle(ui, "sums", self.item.clone());
            });
            match counting {
                FamilyCount::Coming(work) if self.part.joins.is_some() => jobs::show(work, ui),
                _ => {
                    for line in self.joins.iter().flatten() {
                        parts::note(ui, line);
                    }
                }
            }
            let soft = palette(ui).soft;
            // Nothing here is touched: the rows may be as close as they can be read.
            ui.spacing_mut().interact_size.y = 30.0;
            for row in &self.rows {
                ui.horizontal_wrapped(|ui| {
                    ui.label(format!("{} =", row.sum));
                    ui.label(RichText::new(&row.word).font(bold_font(19.0)));
                    ui.label(RichText::new(&row.changes).color(soft));
                });
            }
        });
        found
    }
}

impl SumRow {
    fn new(sum: Sum) -> SumRow {
        let changes = sum.changes();
        SumRow {
            sum: sum.parts.join(" + "),
            word: sum.word,
            changes: match changes.is_empty() {
                true => "nothing changes".to_owned(),
                false => changes.join("; "),
            },
        }
    }
}
