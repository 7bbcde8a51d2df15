//! What attempts add up to: plots, patterns, what to practice next.

use egui::{Color32, CornerRadius, Role, ScrollArea, Sense, Ui, WidgetInfo, vec2};

use super::diagnosis::question;
use crate::later::Latest;
use crate::notebook::{Id, NotebookError};
use crate::report::collect;
use crate::report::content::short::{of_days, verdicts};
use crate::report::content::{low_rows, none_yet};
use crate::report::data::{Habit, ReportData, ShownShare};
use crate::report::plots::{self, Plot};
use crate::say::many;
use crate::sheet::paint;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::settings;
use crate::ui::shared::Shared;
use crate::ui::to_print::ToPrint;

/// How wide a plot is drawn, in its own points.
const WIDE: f32 = 500.0;

/// The figures, once they are there; or why there are none.
#[derive(Default)]
pub struct ProgressPart {
    data: Latest<Result<Box<ReportData>, String>, NotebookError>,
}

/// Adds up on the notebook's thread. That nothing was said yet is no failure.
pub fn errand(
    learner: Id,
) -> impl FnOnce(&mut crate::notebook::Notebook) -> crate::notebook::Result<Result<Box<ReportData>, String>> {
    move |n| match collect(n, learner, None, None) {
        Ok(data) => Ok(Ok(Box::new(data))),
        Err(NotebookError::Refused(line)) => Ok(Err(line)),
        Err(e) => Err(e),
    }
}

impl ProgressPart {
    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id) {
        if self.data.untouched() {
            self.data.ask(shared.notebook.ask(errand(learner)));
        }
        self.data.take(shared);
        match &self.data.value {
            None => {
                ui.spinner();
                ui.label("Adding up");
            }
            Some(Err(_)) => parts::empty(
                ui,
                Icon::Notebook,
                "Nothing to add up yet",
                "After a lesson or two, this shows how often the count was right, where it was not, and what to practice.",
            ),
            Some(Ok(data)) => {
                let height = ui.available_height();
                ScrollArea::vertical()
                    .id_salt(("progress", learner))
                    .auto_shrink([false, false])
                    .max_height(height)
                    .show(ui, |ui| {
                        figures(ui, shared, data);
                    });
            }
        }
    }
}

fn figures(ui: &mut Ui, shared: &mut Shared, data: &ReportData) {
    ui.horizontal_wrapped(|ui| {
        let lessons = of_days(&data.lessons, "lesson");
        let old = of_days(&data.old, "day").map(|told| format!("old recordings of {told}"));
        let parts = [
            Some(format!(
                "{} at {}",
                many(data.attempts, "attempt"),
                many(data.words, "word")
            )),
            lessons,
            old,
        ];
        ui.label(parts.into_iter().flatten().collect::<Vec<_>>().join("; "));
        if data.names_diagnosis().is_none() && Button::both(Icon::Print, "Report").show(ui).clicked() {
            shared.print(ToPrint::report(data.clone()));
        }
    });
    asked(ui, shared, data);
    if data.counted.of == 0 {
        parts::banner(
            ui,
            BannerTone::Plain,
            "No count of the child's is kept yet, so there is no agreement to show.",
        );
    }
    parts::note(ui, &verdicts(data));
    practice(ui, data);
    patterns(ui, &data.patterns);
    let mut all: Vec<Plot> = Vec::new();
    if !data.trend.is_empty() {
        all.push(plots::trend(&data.trend, WIDE));
    }
    all.extend(data.groups.iter().map(|g| plots::bars(&g.title, &g.rows, WIDE)));
    all.extend(plots::matrix(&data.heard, WIDE));
    all.extend(plots::vowels(data, WIDE));
    let any = !all.is_empty();
    flow(ui, all);
    for caption in data.groups.iter().map(|g| &g.caption).filter(|c| !c.is_empty()) {
        parts::note(ui, caption);
    }
    if !data.groups.is_empty() {
        parts::note(ui, &low_rows(data));
    }
    if any {
        parts::note(
            ui,
            "Lines and whiskers show where the true share may lie: 95 % intervals by Wilson (1927).",
        );
    }
    settings::rules_line(ui, &data.rules);
    settings::care_line(ui);
}

/// Plots in one column or two.
fn flow(ui: &mut Ui, all: Vec<Plot>) {
    let each = vec2(WIDE + 32.0, 0.0);
    let columns = ((ui.available_width() / (each.x + 12.0)) as usize).clamp(1, 2);
    // The plots flow down the columns, each into the shorter one.
    let mut columns_of: Vec<Vec<Plot>> = vec![Vec::new(); columns];
    let mut heights = vec![0.0f32; columns];
    for plot in all {
        let shortest = (0..columns)
            .min_by(|a, b| heights[*a].total_cmp(&heights[*b]))
            .unwrap_or(0);
        heights[shortest] += plot.height + 60.0;
        columns_of[shortest].push(plot);
    }
    ui.add_space(8.0);
    ui.horizontal_top(|ui| {
        for plots in &columns_of {
            ui.vertical(|ui| {
                ui.set_max_width(WIDE + 24.0);
                plots.iter().for_each(|p| on_paper(ui, p));
            });
            ui.add_space(12.0);
        }
    });
}

/// Where a note names a diagnosis, the question whether it is to be in the report, in a row of its own.
fn asked(ui: &mut Ui, shared: &mut Shared, data: &ReportData) {
    let mut printed = None;
    if data.names_diagnosis().is_some() {
        ui.horizontal_wrapped(|ui| printed = question(ui, data));
    }
    if let Some(data) = printed {
        shared.print(ToPrint::report(data));
    }
}

/// A plot on white, as it is printed.
fn on_paper(ui: &mut Ui, plot: &Plot) {
    parts::section(ui, &plot.title);
    let size = vec2(plot.width + 24.0, plot.height + 20.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Plot: {}", plot.title)));
    ui.painter().rect_filled(rect, CornerRadius::same(10), Color32::WHITE);
    paint::draw_items(ui.painter(), &plot.items, rect.min + vec2(12.0, 10.0), 1.0);
    ui.add_space(10.0);
}

fn practice(ui: &mut Ui, data: &ReportData) {
    parts::section(ui, "To practice next");
    if data.next.is_empty() {
        ui.label(none_yet(data));
    }
    for step in &data.next {
        ui.label(format!("{}. {}.", step.what, step.why));
        if !step.words.is_empty() {
            ui.label(format!("Words: {}", step.words.join(", ")));
        }
        if !step.chain.is_empty() {
            ui.label(format!("A chain for it: {}", step.chain.join(", ")));
        }
    }
    ui.add_space(6.0);
}

fn patterns(ui: &mut Ui, patterns: &[Habit]) {
    let shown = |s: &ShownShare| {
        format!(
            "{} of {} ({:.0} to {:.0} in 100)",
            s.right,
            s.of,
            s.low * 100.0,
            s.high * 100.0
        )
    };
    for (enough, past, title) in [
        (true, false, "Patterns of the last two months"),
        (false, true, "Earlier"),
        (false, false, "Seen, but too little yet to say"),
    ] {
        let of: Vec<&Habit> = patterns
            .iter()
            .filter(|p| p.enough == enough && p.past.is_some() == past)
            .collect();
        if of.is_empty() {
            continue;
        }
        parts::section(ui, title);
        for p in of {
            let told = match &p.past {
                Some(past) => past.clone(),
                None => format!(
                    "in {} of {}, tries {}",
                    p.seen.0,
                    many(p.seen.1, "word"),
                    shown(&p.evidence)
                ),
            };
            ui.label(format!("{}: {told}. Seen in {}.", p.what, p.words.join(", ")));
        }
        ui.add_space(6.0);
    }
}
