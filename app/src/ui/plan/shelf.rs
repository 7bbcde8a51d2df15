//! The plans that are kept: taken in hand, copied, removed, brought from a file and written to one.

use std::path::{Path, PathBuf};

use egui::Ui;

use super::super::parts::{self, Button};
use super::super::path::{FileUse, PathField};
use super::super::shared::{Shared, Undo};
use super::today::Today;
use crate::later::{Later, WorkResult};
use crate::plan::{Plan, PlanFault, Shelf, Shelved};

/// What a worker was sent for, done.
enum ShelfOutcome {
    Listed(Vec<Shelved>),
    Kept(PathBuf, Plan),
    /// A plan to take in hand, and its file when it lies on the shelf.
    Brought(Option<PathBuf>, Plan),
    Written(PathBuf),
    Removed(PathBuf, Plan),
}

type ShelfResult = Result<ShelfOutcome, PlanFault>;

/// The shelf and what is under way with it.
#[derive(Default)]
pub struct ShelfView {
    plans: Vec<Shelved>,
    listed: bool,
    /// The file of the plan in hand.
    path: Option<PathBuf>,
    /// A file elsewhere, to be opened or written.
    file: PathField,
    errand: Option<Later<ShelfResult>>,
    removed: Option<(Undo, PathBuf, Plan)>,
}

impl ShelfView {
    /// Takes what workers have done, and keeps the plan when that was asked for.
    pub fn keep_up(&mut self, shared: &mut Shared, today: &mut Today) {
        if let Some(outcome) = self.errand.as_mut().and_then(Later::take) {
            self.errand = None;
            match outcome {
                WorkResult::Done(Ok(errand)) => self.done(errand, shared, today),
                WorkResult::Done(Err(fault)) => shared.say_failed(fault.to_string()),
                WorkResult::Cancelled => {}
                WorkResult::Failed => shared.say_failed("The program itself failed at the plans; please report it."),
            }
        }
        if self.removed.as_ref().is_some_and(|(undo, ..)| shared.take_undo(*undo))
            && let Some((_, path, plan)) = self.removed.take()
        {
            self.send(shared, "Putting the plan back", move |shelf| {
                plan.save(&path)?;
                Ok(ShelfOutcome::Listed(shelf.list()?))
            });
        }
        if !self.listed && self.errand.is_none() {
            self.listed = true;
            self.send(shared, "Looking at the plans", |shelf| {
                Ok(ShelfOutcome::Listed(shelf.list()?))
            });
        }
        if self.errand.is_none() && today.wants_keeping() {
            self.keep(shared, today.plan().clone());
        }
    }

    fn keep(&mut self, shared: &mut Shared, plan: Plan) {
        let path = self.path.clone();
        self.send(shared, "Keeping the plan", move |shelf| {
            let path = path.unwrap_or_else(|| shelf.fresh(&plan.title));
            plan.save(&path)?;
            Ok(ShelfOutcome::Kept(path, plan))
        });
    }

    fn send(&mut self, shared: &Shared, name: &'static str, work: impl FnOnce(&Shelf) -> ShelfResult + Send + 'static) {
        let shelf = Shelf::new(&shared.folder);
        self.errand = Some(Later::start(&shared.ctx, name, move |_| work(&shelf)));
    }

    fn done(&mut self, errand: ShelfOutcome, shared: &mut Shared, today: &mut Today) {
        match errand {
            ShelfOutcome::Listed(plans) => self.plans = plans,
            ShelfOutcome::Kept(path, plan) => {
                self.path = Some(path);
                today.was_kept(plan);
                self.listed = false;
                shared.say("The plan is kept.");
            }
            ShelfOutcome::Brought(path, plan) => {
                today.take(plan);
                self.path = path;
                shared.say("The plan is in hand; Ctrl+Z gives the one before back.");
            }
            ShelfOutcome::Written(path) => shared.say(format!("Written to {}.", path.display())),
            ShelfOutcome::Removed(path, plan) => {
                let undo = shared.say_with_undo("The plan was removed.");
                if self.path.as_ref() == Some(&path) {
                    self.path = None;
                }
                self.removed = Some((undo, path, plan));
                self.listed = false;
            }
        }
    }

    /// Shows the plans kept.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, today: &mut Today) {
        // A plan begun afresh has no file yet.
        if today.plan() == &Plan::default() {
            self.path = None;
        }
        ui.add_space(10.0);
        parts::section(ui, "Plans kept");
        if self.plans.is_empty() {
            parts::note(
                ui,
                "None yet. A plan that is kept can be used again, copied, or mailed as a file.",
            );
        }
        for at in 0..self.plans.len() {
            let shelved = self.plans[at].clone();
            ui.push_id(at, |ui| self.row(ui, shared, &shelved));
        }
        self.elsewhere(ui, shared, today);
    }

    /// A plan that came by mail, or is to go.
    fn elsewhere(&mut self, ui: &mut Ui, shared: &Shared, today: &Today) {
        ui.add_space(10.0);
        self.file.show(ui, shared, "Plan file", FileUse::Open("toml"));
        let path = PathBuf::from(self.file.path.trim());
        let ready = self.errand.is_none() && !path.as_os_str().is_empty();
        let some = !today.plan().items.is_empty();
        ui.horizontal_wrapped(|ui| {
            if Button::text("Open it").enabled(ready).show(ui).clicked() {
                let path = path.clone();
                self.send(shared, "Opening the plan", move |_| {
                    Ok(ShelfOutcome::Brought(None, Plan::load(&path)?))
                });
            }
            let text = if path.is_file() { "Replace it" } else { "Write it" };
            if Button::text(text).enabled(ready && some).show(ui).clicked() {
                let plan = today.plan().clone();
                self.send(shared, "Writing the plan", move |_| {
                    plan.save(&path)?;
                    Ok(ShelfOutcome::Written(path))
                });
            }
        });
    }

    fn row(&mut self, ui: &mut Ui, shared: &Shared, shelved: &Shelved) {
        let title = match &shelved.title {
            Ok(title) if title.is_empty() => "without a title",
            Ok(title) => title,
            Err(fault) => {
                parts::banner(ui, parts::BannerTone::Care, &fault.to_string());
                return;
            }
        };
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(title);
            ui.horizontal_wrapped(|ui| {
                let button = |text: &'static str, ui: &mut Ui| {
                    let name = format!("{text}: {title}");
                    Button::text(text).name(&name).quiet().show(ui).clicked()
                };
                let path = shelved.path.clone();
                if button("Use", ui) {
                    self.send(shared, "Opening the plan", move |_| {
                        Ok(ShelfOutcome::Brought(Some(path.clone()), Plan::load(&path)?))
                    });
                } else if button("Copy", ui) {
                    self.send(shared, "Opening the plan", move |_| copy(&path));
                } else if button("Remove", ui) {
                    self.send(shared, "Removing the plan", move |_| remove(path));
                }
            });
        });
    }
}

/// The plan as the start of a new one.
fn copy(path: &Path) -> ShelfResult {
    let mut plan = Plan::load(path)?;
    plan.title = format!("{} (copy)", plan.title);
    Ok(ShelfOutcome::Brought(None, plan))
}

fn remove(path: PathBuf) -> ShelfResult {
    let plan = Plan::load(&path)?;
    Plan::remove(&path)?;
    Ok(ShelfOutcome::Removed(path, plan))
}
