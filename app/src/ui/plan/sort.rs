//! Finding a sort.

use egui::{RichText, Ui};
use soundbead_data::sort::{self, Column, HeldRule, Level, Member, SHEET, Sorted};

use super::super::icons::Icon;
use super::super::parts::{self, BannerTone, Button};
use super::super::shared::Shared;
use super::super::theme::palette;
use super::words::{WordStock, WordStockLoader};
use super::{FoundItem, chain};
use crate::later::{Later, WorkResult};
use crate::plan::{Content, PlanItem, PlanWord, SortGroup};
use crate::ui::jobs;

/// By how many words a sheet is made longer or shorter: one in each of four columns.
const STEP: usize = 4;
/// Exceptions shown of a rule.
const SHOWN: usize = 10;

/// The sort that was chosen and what it found.
pub struct SortFinder {
    chosen: Option<usize>,
    /// How many words all columns have together.
    words: usize,
    level: Level,
    one_syllable: bool,
    /// How many rows of words the columns have been moved on by, for other words.
    turn: usize,
    left_out: Vec<String>,
    sorting: Option<Later<Sorted>>,
    sorted: Option<Sorted>,
}

impl Default for SortFinder {
    fn default() -> Self {
        SortFinder {
            chosen: None,
            words: *SHEET.end(),
            level: Level::default(),
            one_syllable: false,
            turn: 0,
            left_out: Vec::new(),
            sorting: None,
            sorted: None,
        }
    }
}

impl SortFinder {
    /// Shows the sorts and the one chosen; gives what is to go into the plan.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, known: &WordStockLoader) -> Option<FoundItem> {
        let made = known.made()?;
        self.choose(ui, shared, &made);
        if let Some(outcome) = self.sorting.as_mut().and_then(Later::take) {
            self.sorting = None;
            match outcome {
                WorkResult::Done(sorted) => self.sorted = Some(sorted),
                WorkResult::Cancelled => {}
                WorkResult::Failed => shared.say_failed("The program itself failed at sorting; please report it."),
            }
        }
        if let Some(job) = &self.sorting {
            jobs::show(job, ui);
        }
        let Some(sorted) = self.sorted.take() else {
            parts::note(
                ui,
                "Each sort shows how often its rules hold among the words of the list, and the exceptions.",
            );
            return None;
        };
        let found = self.show_sorted(ui, &sorted, &made);
        self.sorted = Some(sorted);
        found
    }

    fn choose(&mut self, ui: &mut Ui, shared: &Shared, made: &std::sync::Arc<WordStock>) {
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_wrapped(|ui| {
                for (number, sort) in sort::all().iter().enumerate() {
                    let chosen = self.chosen == Some(number);
                    let name = format!("Sort: {}", sort.title);
                    let button = Button::text(sort.name).name(&name).selected(chosen);
                    if parts::hint(button.show(ui), sort.title).clicked() {
                        self.chosen = Some(number);
                        self.turn = 0;
                        self.left_out.clear();
                        self.start(shared, made);
                    }
                }
            });
            ui.horizontal_wrapped(|ui| {
                for level in Level::ALL {
                    let name = format!("Level: {}", level.about());
                    let button = Button::text(level.name()).name(&name).selected(self.level == level);
                    if parts::hint(button.show(ui), level.about()).clicked() {
                        self.level = level;
                        self.turn = 0;
                        self.start(shared, made);
                    }
                }
            });
        });
    }

    /// Sorts the words of the level by the sort that is chosen.
    fn start(&mut self, shared: &Shared, made: &std::sync::Arc<WordStock>) {
        let Some(sort) = self.chosen.and_then(|number| sort::all().get(number)) else {
            return;
        };
        let (made, level) = (made.clone(), self.level);
        let work = move |_: &_| made.corpus.sort_at(sort, level);
        self.sorting = Some(Later::start(&shared.ctx, "Sorting", work));
    }

    fn show_sorted(&mut self, ui: &mut Ui, sorted: &Sorted, made: &WordStock) -> Option<FoundItem> {
        let sort = &sort::all()[self.chosen?];
        let mut found = None;
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            parts::section(ui, sort.title);
            self.controls(ui);
            let picked = sort::sheet(&self.wanted(sorted), self.words, self.turn);
            let item = as_item(sort, &picked, sorted, made);
            ui.horizontal_wrapped(|ui| {
                if Button::both(Icon::Add, "Add sort to the plan")
                    .lead()
                    .show(ui)
                    .clicked()
                {
                    found = Some(FoundItem(item.clone()));
                }
                chain::drag_handle(ui, "sort", item);
            });
            let total = sorted.total();
            for column in &picked {
                let all = sorted.columns.iter().find(|c| c.heading == column.heading);
                self.column(ui, column, all.map_or(0, |c| c.members.len()), total);
            }
        });
        for held in &sorted.rules {
            show_rule(ui, held);
        }
        found
    }

    fn controls(&mut self, ui: &mut Ui) {
        ui.horizontal_wrapped(|ui| {
            if Button::icon(Icon::Less, "Fewer words")
                .enabled(self.words > *SHEET.start())
                .show(ui)
                .clicked()
            {
                self.words -= STEP;
            }
            ui.label(format!("{} words", self.words));
            if Button::icon(Icon::Add, "More words")
                .enabled(self.words < *SHEET.end())
                .show(ui)
                .clicked()
            {
                self.words += STEP;
            }
            if Button::text("One syllable")
                .selected(self.one_syllable)
                .show(ui)
                .clicked()
            {
                self.one_syllable = !self.one_syllable;
                self.turn = 0;
            }
            if Button::text("Other words").show(ui).clicked() {
                self.turn += 1;
            }
        });
    }

    /// What was sorted, less what is left out and longer words where they are not wanted.
    fn wanted(&self, sorted: &Sorted) -> Sorted {
        let fits = |m: &Member| (!self.one_syllable || m.syllables == 1) && !self.left_out.contains(&m.word);
        let mut wanted = sorted.clone();
        for column in &mut wanted.columns {
            column.members.retain(fits);
        }
        wanted
    }

    fn column(&mut self, ui: &mut Ui, column: &Column, of: usize, total: usize) {
        ui.add_space(4.0);
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new(&column.heading).font(super::super::theme::bold_font(19.0)));
            parts::note(ui, &format!("{of} of {total}"));
        });
        ui.horizontal_wrapped(|ui| {
            for member in &column.members {
                let name = format!("Leave out {}", member.word);
                let button = Button::text(&member.word).name(&name).quiet();
                if parts::hint(button.show(ui), "Leave out").clicked() {
                    self.left_out.push(member.word.clone());
                }
            }
        });
    }
}

fn show_rule(ui: &mut Ui, held: &HeldRule) {
    let p = palette(ui);
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        if held.is_choice() {
            ui.label(format!("{}: a choice of spellings", capital(held.when)));
            ui.label(RichText::new(format!("{} ({} words)", held.choices(), held.of)).color(p.soft));
            return;
        }
        ui.label(format!("{}: {}", capital(held.when), held.then));
        let percent = (held.share() * 100.0).round();
        let tone = if held.share() >= 0.9 {
            BannerTone::Good
        } else {
            BannerTone::Care
        };
        let (ink, _) = tone.colours(ui);
        ui.label(RichText::new(format!("Holds in {} of {} words ({percent} %).", held.holds, held.of)).color(ink));
        if !held.exceptions.is_empty() {
            let words: Vec<&str> = held.exceptions.iter().take(SHOWN).map(|m| m.word.as_str()).collect();
            let more = if held.exceptions.len() > SHOWN { " …" } else { "" };
            ui.label(RichText::new(format!("Not in {}{more}", words.join(", "))).color(p.soft));
        }
    });
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
}

fn as_item(sort: &sort::Sort, groups: &[Column], sorted: &Sorted, made: &WordStock) -> PlanItem {
    let word = |m: &Member| match made.corpus.known(m) {
        Some(known) => PlanWord::said_as(m.word.clone(), known.said.clone()),
        None => PlanWord::new(m.word.clone()),
    };
    let groups = groups.iter().map(|column| SortGroup {
        heading: column.heading.clone(),
        words: column.members.iter().map(word).collect(),
    });
    let rule = |held: &HeldRule| match held.is_choice() {
        true => format!("{}: a choice, {}", capital(held.when), held.choices()),
        false => format!("{}: {} ({} of {})", capital(held.when), held.then, held.holds, held.of),
    };
    PlanItem {
        title: capital(sort.title),
        note: sorted.rules.iter().map(rule).collect::<Vec<_>>().join(". "),
        content: Content::Sort(groups.collect()),
    }
}
