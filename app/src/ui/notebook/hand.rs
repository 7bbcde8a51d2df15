//! Report, hand-over and files for other programs. Each is made on a thread of its own, with its progress.

use std::path::PathBuf;

use egui::{ScrollArea, TextEdit, Ui, vec2};
use jiff::Zoned;

use super::diagnosis::question;
use super::old::OldPart;
use super::people::{self, People};
use crate::equipment::LearnerInHand;
use crate::later::Latest;
use crate::later::{Later, WorkResult};
use crate::notebook::handover::{Handover, Merged};
use crate::notebook::progress::DaySpan;
use crate::notebook::{Notebook, NotebookError, export};
use crate::report::data::ReportData;
use crate::review::days::typed_day;
use crate::say::many;
use crate::ui::day::{DayAsk, DayField};
use crate::ui::icons::Icon;
use crate::ui::jobs;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::path::{FileUse, PathField};
use crate::ui::shared::Shared;
use crate::ui::theme::TOUCH;
use crate::ui::to_print::ToPrint;

/// What a job came to: a line to say, and what was taken in.
type JobResult = Result<(String, Option<Merged>), String>;

/// Report and hand-over.
#[derive(Default)]
pub struct HandoverPart {
    whose: Option<crate::notebook::Id>,
    from: DayField,
    to: DayField,
    /// Who makes the report; may be empty.
    by: String,
    recordings: bool,
    passphrase: String,
    out: PathField,
    table: PathField,
    incoming: PathField,
    old: OldPart,
    key: String,
    job: Option<Later<JobResult>>,
    report: Latest<Result<Box<ReportData>, String>, NotebookError>,
    /// A report that names a diagnosis and is not printed yet.
    asked: Option<Box<ReportData>>,
}

impl HandoverPart {
    /// Takes in what jobs have come to.
    pub fn work(&mut self, shared: &mut Shared, people: &mut People) {
        if let Some(outcome) = self.job.as_mut().and_then(Later::take) {
            self.job = None;
            match outcome {
                WorkResult::Done(Ok((line, merged))) => {
                    shared.say(line);
                    if let Some(merged) = merged {
                        people::pick(shared, &merged.learner);
                        people.stale(shared);
                    }
                }
                WorkResult::Done(Err(line)) => shared.say_failed(line),
                WorkResult::Cancelled => shared.say("Stopped. Nothing was changed."),
                WorkResult::Failed => shared.say_failed("The program itself failed in it; please report it."),
            }
        }
        if self.old.work(shared) {
            people.stale(shared);
        }
        if self.report.take(shared) {
            match self.report.value.take() {
                // Where a note names a diagnosis, the question stands in the view until it is answered.
                Some(Ok(data)) if data.names_diagnosis().is_some() => self.asked = Some(data),
                Some(Ok(data)) => shared.print(ToPrint::report(*data)),
                Some(Err(line)) => shared.say_failed(line),
                None => {}
            }
        }
    }

    /// The part of the view.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, learner: &LearnerInHand) {
        if self.whose != Some(learner.id) {
            let home = etcetera::home_dir().unwrap_or_default();
            let path = |ending: &str| {
                home.join(format!("{}.{ending}", file_name(&learner.name)))
                    .display()
                    .to_string()
            };
            self.asked = None;
            (self.whose, self.out.path, self.table.path) = (Some(learner.id), path("soundbead"), path("csv"));
        }
        let area = ScrollArea::vertical().id_salt(("hand-over", learner.id));
        area.auto_shrink([false, false]).show(ui, |ui| {
            ui.set_max_width(860.0);
            if let Some(job) = &self.job {
                jobs::show(job, ui);
            }
            self.days(ui);
            parts::card(ui, |ui| self.a_report(ui, shared, learner));
            ui.add_space(8.0);
            parts::card(ui, |ui| self.hand_over(ui, shared, learner));
            ui.add_space(8.0);
            self.bring_in(ui, shared);
            ui.add_space(8.0);
            parts::card(ui, |ui| self.old.show(ui, shared, learner));
            ui.add_space(8.0);
            parts::card(ui, |ui| self.tables(ui, shared, learner));
        });
    }

    fn days(&mut self, ui: &mut Ui) {
        let today = Zoned::now().date();
        ui.horizontal_wrapped(|ui| {
            for (text, name, field) in [
                ("From", "From this day on", &mut self.from),
                ("to", "Up to this day", &mut self.to),
            ] {
                ui.label(text);
                field.show(
                    ui,
                    &DayAsk {
                        name,
                        hint: "",
                        width: 130.0,
                        at: today,
                        newest: today,
                        within: (None, Some(today)),
                        marked: &|_| false,
                    },
                );
            }
            parts::note(ui, "Days such as 25 Nov. Left empty: everything.");
        });
        if let Err(line) = self.span() {
            parts::banner(ui, BannerTone::Care, &line);
        }
    }

    fn span(&self) -> Result<DaySpan, String> {
        let today = Zoned::now().date();
        let day = |field: &DayField| match field.text.trim() {
            "" => Ok(None),
            text => typed_day(text, today)
                .map(Some)
                .ok_or_else(|| format!("{text} is not a day; write it as 25 Nov or 2026-11-25.")),
        };
        let span = DaySpan {
            from: day(&self.from)?,
            to: day(&self.to)?,
        };
        match span.from.zip(span.to) {
            Some((from, to)) if from > to => Err("The first day comes after the last.".into()),
            _ => Ok(span),
        }
    }

    fn a_report(&mut self, ui: &mut Ui, shared: &mut Shared, learner: &LearnerInHand) {
        ui.set_width(ui.available_width());
        parts::section(ui, "Report");
        parts::note(
            ui,
            "A few pages: what was practiced, how the counts went, patterns, notes, and the limits of it all.",
        );
        ui.horizontal_wrapped(|ui| {
            let label = ui.label("Report by (may be left empty)");
            let field = TextEdit::singleline(&mut self.by)
                .desired_width(300.0)
                .min_size(vec2(0.0, TOUCH))
                .align(egui::Align2::LEFT_CENTER);
            ui.add(field).labelled_by(label.id);
        });
        let span = self.span();
        let ready = span.is_ok() && !self.report.busy();
        if Button::both(Icon::Print, "Make the report")
            .enabled(ready)
            .show(ui)
            .clicked()
            && let Ok(span) = span
        {
            let id = learner.id;
            let by = Some(self.by.trim().to_owned()).filter(|by| !by.is_empty());
            self.asked = None;
            self.report.ask(shared.notebook.ask(move |n| {
                let made = crate::report::collect(n, id, span.from, span.to);
                Ok(made
                    .map(|data| Box::new(ReportData { by, ..data }))
                    .map_err(|e| e.to_string()))
            }));
        }
        if let Some(data) = self.asked.as_deref().and_then(|data| question(ui, data)) {
            self.asked = None;
            shared.print(ToPrint::report(data));
        }
    }

    fn hand_over(&mut self, ui: &mut Ui, shared: &mut Shared, learner: &LearnerInHand) {
        ui.set_width(ui.available_width());
        parts::section(ui, &format!("Hand {} over", learner.name));
        parts::note(
            ui,
            "One file with lessons, attempts, writing, notes, goals and plans, for another computer's notebook. It can come back with \
             more notes.",
        );
        self.out.show(ui, shared, "Hand over to", FileUse::Save("soundbead"));
        ui.checkbox(&mut self.recordings, "The recordings go along");
        if !self.recordings {
            parts::note(
                ui,
                "Without them nobody there can listen: what was said cannot be ruled on, and notes that point at a moment point \
                 at nothing.",
            );
        }
        secret(ui, "Passphrase (may be left empty)", &mut self.passphrase);
        if self.passphrase.is_empty() {
            parts::note(
                ui,
                "Without a passphrase, anyone who has the file can read a child's records.",
            );
        }
        let there = self.out.would_replace();
        if there {
            parts::banner(
                ui,
                BannerTone::Care,
                "There is such a file already. It will be replaced.",
            );
        }
        let text = if there { "Replace and hand over" } else { "Hand over" };
        let span = self.span();
        let ready = span.is_ok() && self.job.is_none() && !self.out.path.trim().is_empty();
        if Button::text(text).lead().enabled(ready).show(ui).clicked()
            && let Ok(span) = span
        {
            self.start_out(shared, learner, span);
        }
    }

    fn start_out(&mut self, shared: &Shared, learner: &LearnerInHand, span: DaySpan) {
        let what = Handover {
            from: span.from,
            to: span.to,
            recordings: self.recordings,
            passphrase: Some(self.passphrase.clone()).filter(|p| !p.is_empty()),
        };
        let (folder, id, name) = (shared.folder.clone(), learner.id, learner.name.clone());
        let to = PathBuf::from(self.out.path.trim());
        self.job = Some(Later::start(&shared.ctx, "Handing over", move |progress| {
            let made = Notebook::open_in(&folder).and_then(|mut n| n.hand_over(id, &what, &to, &|s| progress.at(s)));
            let written = made.map_err(|e| e.to_string())?;
            let missing = match written.missing {
                0 => String::new(),
                n => format!(" {n} recordings are missing here and were left out."),
            };
            let line = format!("{name}: {} in {}.{missing}", written.told(), to.display());
            Ok((line, None))
        }));
    }

    /// The card for what comes in; also shown while nobody is in the notebook.
    pub fn bring_in(&mut self, ui: &mut Ui, shared: &mut Shared) {
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width().min(828.0));
            parts::section(ui, "Take a hand-over in");
            parts::note(
                ui,
                "What comes in is added; nothing is doubled and nothing is lost. A damaged file is refused whole.",
            );
            self.incoming.show(ui, shared, "Take in", FileUse::Open("soundbead"));
            secret(ui, "Its passphrase, if it has one", &mut self.key);
            let ready = self.job.is_none() && !self.incoming.path.trim().is_empty();
            if Button::text("Take it in").enabled(ready).show(ui).clicked() {
                let (folder, from) = (shared.folder.clone(), PathBuf::from(self.incoming.path.trim()));
                let key = Some(self.key.clone()).filter(|k| !k.is_empty());
                self.job = Some(Later::start(&shared.ctx, "Taking in", move |progress| {
                    let done = Notebook::open_in(&folder)
                        .and_then(|mut n| n.take_in(&from, key.as_deref(), &|s| progress.at(s)));
                    done.map(|merged| (said(&merged), Some(merged)))
                        .map_err(|e| e.to_string())
                }));
            }
        });
    }

    fn tables(&mut self, ui: &mut Ui, shared: &mut Shared, learner: &LearnerInHand) {
        ui.set_width(ui.available_width());
        parts::section(ui, "For other programs");
        parts::note(ui, "A table of attempts as CSV, or everything written down as JSON.");
        self.table.show(ui, shared, "Export to", FileUse::Save("csv"));
        ui.horizontal_wrapped(|ui| {
            for (form, text) in [
                (export::ExportForm::Csv, "Export CSV"),
                (export::ExportForm::Json, "Export JSON"),
            ] {
                let span = self.span();
                let ready = span.is_ok() && self.job.is_none() && !self.table.path.trim().is_empty();
                if Button::text(text)
                    .enabled(ready && !self.table.would_replace())
                    .show(ui)
                    .clicked()
                    && let Ok(span) = span
                {
                    let (folder, id) = (shared.folder.clone(), learner.id);
                    let to = PathBuf::from(self.table.path.trim());
                    self.job = Some(Later::start(&shared.ctx, "Exporting", move |_| {
                        let count = Notebook::open_in(&folder).and_then(|n| export::write(&n, id, span, form, &to));
                        let line = count.map(|n| (format!("{} in {}.", many(n, "attempt"), to.display()), None));
                        line.map_err(|e| e.to_string())
                    }));
                }
            }
            if self.table.would_replace() {
                parts::note(ui, "There is such a file already; choose another name.");
            }
        });
    }
}

fn said(merged: &Merged) -> String {
    [vec![merged.told()], merged.besides()].concat().join(" ")
}

/// A field whose text is not shown.
fn secret(ui: &mut Ui, name: &str, text: &mut String) {
    ui.horizontal(|ui| {
        let label = ui.label(name);
        let field = TextEdit::singleline(text)
            .password(true)
            .desired_width(220.0)
            .min_size(vec2(0.0, TOUCH))
            .align(egui::Align2::LEFT_CENTER);
        ui.add(field).labelled_by(label.id);
    });
}

/// A name as a file may have it.
fn file_name(name: &str) -> String {
    let plain = |c: char| {
        if c.is_alphanumeric() {
            c.to_ascii_lowercase()
        } else {
            '-'
        }
    };
    name.chars().map(plain).collect()
}
