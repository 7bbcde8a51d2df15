//! The window. One file a view, each a view over one [`Shared`] state.
//!
//! A view is a struct with `fn show(&mut self, ui: &mut egui::Ui, shared: &mut Shared)`. It opens no file and runs no
//! transform: it shows what it knows and starts work elsewhere for the rest. To add one: a file here, a field in
//! [`App`], and for one that the rail leads to, a [`MainView`].

mod day;
mod dictation;
mod drill;
mod fonts;
pub mod icons;
pub mod jobs;
mod notebook;
mod noted;
pub mod opening_files;
pub mod parts;
mod path;
mod plan;
mod prefs;
mod preview;
pub mod settings;
mod shared;
mod shell;
mod sounds;
mod start;
mod taken;
pub mod theme;
pub mod to_print;
mod toasts;
mod today;
mod which;

use std::path::PathBuf;

pub use prefs::{Prefs, ThemeChoice};
pub use shared::{MainView, Shared, Undo};

pub use crate::equipment::LearnerInHand;

use crate::drill::opening::{InHand, OpeningOutcome};
use crate::drill::plan_parts::PlanPart;
use crate::fault::Fault;
use crate::later::{Later, WorkResult};
use crate::plan::Plan;
use crate::store;

/// The window's program: the shared state, the frame around the views, and the views.
pub struct App {
    /// What the views share.
    pub shared: Shared,
    shell: shell::Shell,
    start: start::StartView,
    sounds: sounds::SoundsView,
    plan: plan::PlanView,
    drill: drill::DrillView,
    writing: dictation::DictationView,
    notebook: notebook::NotebookView,
    settings: settings::SettingsView,
    /// The sheet that is looked at before it is printed, over the view.
    preview: Option<preview::Preview>,
    /// The settings as they are kept, and the look of the window as it is.
    kept: Prefs,
    shown: Option<(ThemeChoice, f32)>,
    keeping: Option<Later<Result<(), String>>>,
    /// Where the window was when it was shown last.
    was: Option<MainView>,
}

impl App {
    /// The program in `ctx`, with what is kept in `folder`. Settings that cannot be read are said, and plain ones used.
    pub fn new(ctx: &egui::Context, folder: PathBuf) -> App {
        fonts::install(ctx);
        theme::install(ctx);
        // Text sizes are steps of our own, on the same keys.
        ctx.options_mut(|o| o.zoom_with_keyboard = false);
        let loaded = Prefs::load(&folder);
        let prefs = loaded.clone().unwrap_or_default();
        let mut shared = Shared::new(ctx, folder, prefs.clone());
        if let Err(line) = loaded {
            shared.say_failed(format!("{line} The plain settings are used."));
        }
        App {
            shared,
            shell: shell::Shell::default(),
            start: start::StartView::default(),
            sounds: sounds::SoundsView::default(),
            plan: plan::PlanView::default(),
            drill: drill::DrillView::default(),
            writing: dictation::DictationView::default(),
            notebook: notebook::NotebookView::default(),
            settings: settings::SettingsView::default(),
            preview: None,
            kept: prefs,
            shown: None,
            keeping: None,
            was: None,
        }
    }

    /// The attempt that is shown in the Notebook view's review, if one is.
    pub fn reviewed(&self) -> Option<crate::notebook::Id> {
        self.notebook.reviewed()
    }

    /// Does what the opening says is to happen.
    fn go(&mut self, go: OpeningOutcome) {
        let shared = &mut self.shared;
        match go {
            OpeningOutcome::Made(plan) => return self.plan.take_in_place(*plan, &mut self.shared),
            OpeningOutcome::Lesson => {}
            OpeningOutcome::Resume => self.drill.resume(shared),
            OpeningOutcome::Reading => self.drill.read(shared),
            OpeningOutcome::Plan(plan) => {
                if self.plan.in_hand() != Some(&*plan) {
                    self.plan.take((*plan).clone());
                }
                shared.plan = Some(*plan);
            }
            OpeningOutcome::Writing => {
                shared.dictate = true;
                return shared.go(MainView::Writing);
            }
            OpeningOutcome::Cards => self.drill.sort_cards(shared),
        }
        shared.go(MainView::Drill);
    }

    /// Puts the look and the text size in force when they changed.
    fn apply(&mut self, ctx: &egui::Context) {
        let wanted = (self.shared.prefs.look, self.shared.prefs.text);
        if self.shown != Some(wanted) {
            self.shown = Some(wanted);
            ctx.set_theme(match wanted.0 {
                ThemeChoice::System => egui::ThemePreference::System,
                ThemeChoice::Light => egui::ThemePreference::Light,
                ThemeChoice::Dark => egui::ThemePreference::Dark,
            });
            ctx.set_zoom_factor(wanted.1);
        }
    }

    /// Keeps the settings when they changed, off the window's thread, one writing at a time.
    fn keep(&mut self, ctx: &egui::Context) {
        if let Some(job) = &mut self.keeping {
            match job.take() {
                None => return,
                Some(WorkResult::Done(Err(line))) => {
                    self.shared.say_failed(format!("The settings were not kept. {line}"))
                }
                Some(_) => {}
            }
            self.keeping = None;
        }
        if self.shared.prefs != self.kept {
            self.kept = self.shared.prefs.clone();
            let (prefs, folder) = (self.kept.clone(), self.shared.folder.clone());
            self.keeping = Some(Later::start(ctx, "Keeping the settings", move |_| prefs.save(&folder)));
        }
    }
}

impl App {
    /// Takes in hand the lesson that was made for a noted sound.
    fn take_noted_plan(&mut self) {
        if let Some(plan) = self.notebook.take_plan() {
            self.plan.take_in_place(plan, &mut self.shared);
            self.shared.go(MainView::Plan);
        }
    }

    /// Takes in what the lesson and the child's writing were waiting for.
    fn poll_lesson(&mut self) {
        let at_drill = self.shared.place() == MainView::Drill;
        self.drill.hold_plan(self.plan.in_hand());
        self.drill.poll(&mut self.shared, at_drill);
        for part in self.drill.parts_done() {
            if let Some(plan) = self.drill.plan() {
                self.plan.set_done(plan, part);
            }
        }
        if let Some(done) = self.drill.sorted() {
            let words_done = self.words_done(self.drill.plan());
            self.drill.besides(&mut self.shared, (done, words_done));
        }
        self.writing.poll(&mut self.shared);
        let written = self.plan.in_hand().filter(|plan| self.writing.wrote(plan)).cloned();
        if let Some(plan) = written {
            self.plan.set_done(&plan, PlanPart::Writing);
            if let Some(done) = self.writing.deed() {
                let words_done = self.words_done(Some(&plan));
                self.drill.besides(&mut self.shared, (done, words_done));
            }
        }
    }

    /// Whether this plan's words are done.
    fn words_done(&self, plan: Option<&Plan>) -> bool {
        plan.is_some_and(|plan| {
            let (held, left) = (PlanPart::of(plan), self.plan.left(plan));
            held.contains(&PlanPart::Words) && !left.contains(&PlanPart::Words)
        })
    }

    /// The view in hand, or the page that is looked at before it is printed.
    fn view(&mut self, ui: &mut egui::Ui) {
        let shared = &mut self.shared;
        let place = shared.place();
        if let Some(sheet) = shared.to_print.take() {
            self.preview = Some(preview::Preview::of(sheet, place));
        }
        // Going elsewhere closes it; it can be opened again as it was.
        if let Some(mut preview) = self.preview.take().filter(|p| p.place == place) {
            if !preview.show(ui, shared) {
                self.preview = Some(preview);
            }
            return;
        }
        match place {
            MainView::Today => {
                let plan = self.plan.to_do();
                let left = plan.map_or_else(Vec::new, |plan| self.plan.left(plan));
                let begun = plan.is_some_and(|plan| left.len() < PlanPart::of(plan).len());
                let in_hand = InHand {
                    lesson: self.drill.under_way(),
                    draft: self.drill.broken_off(),
                    plan: plan.cloned(),
                    next: left.first().copied().filter(|_| begun),
                    done: plan.is_none() && self.plan.in_hand().is_some(),
                };
                self.start.show(ui, shared, &in_hand);
            }
            MainView::Sounds => self.sounds.show(ui, shared),
            MainView::Plan => self.plan.show(ui, shared),
            MainView::Drill => {
                let left = self.drill.plan().map_or_else(Vec::new, |plan| self.plan.left(plan));
                self.drill.show(ui, shared, &left);
            }
            MainView::Writing => {
                let due = self.start.due();
                if self.writing.show(ui, shared, due, self.plan.in_hand()) {
                    // On to the end of the lesson; where its words were another evening's, to where one began.
                    if self.drill.has_ending() {
                        self.writing.tell_faults(shared);
                        shared.go(MainView::Drill);
                    } else {
                        shared.go(MainView::Today);
                    }
                }
            }
            MainView::Notebook => self.notebook.show(ui, shared),
            MainView::Settings => self.settings.show(ui, shared),
        }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        self.apply(&ctx);
        let place = self.shared.place();
        if self.was.replace(place) != Some(place) {
            match place {
                MainView::Notebook => self.notebook.renew(&mut self.shared),
                MainView::Today => self.start.renew(&mut self.shared),
                _ => {}
            }
        }
        self.plan.poll(&self.shared);
        if let Some(go) = self.start.poll(&mut self.shared) {
            self.go(go);
        }
        self.poll_lesson();
        self.take_noted_plan();
        self.shell.keys(ui, &mut self.shared);
        self.shell.rail(ui, &mut self.shared);
        let paper = egui::Frame::new()
            .fill(theme::palette(ui).paper)
            .inner_margin(egui::Margin::symmetric(20, 14));
        egui::CentralPanel::default().frame(paper).show(ui, |ui| self.view(ui));
        if self.shared.place() != MainView::Sounds {
            self.sounds.leave();
        }
        self.shell.over(ui, &mut self.shared);
        self.keep(&ctx);
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        // What was changed a moment before closing.
        if self.shared.prefs != self.kept || self.keeping.is_some() {
            let _ = self.shared.prefs.save(&self.shared.folder);
        }
    }
}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// When there is no display, or it cannot draw; the line names the commands that need none.
pub fn open() -> Result<(), Fault> {
    let folder = store::folder()?;
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Soundbead")
            .with_app_id("soundbead")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([800.0, 500.0]),
        ..Default::default()
    };
    let made = eframe::run_native(
        "soundbead",
        options,
        Box::new(move |cc| {
            let mut app = App::new(&cc.egui_ctx, folder);
            match crate::mic::from_environment() {
                Ok(mic) => app.shared.mic = mic,
                Err(fault) => app.shared.say_failed(fault.to_string()),
            }
            Ok(Box::new(app))
        }),
    );
    made.map_err(|e| Fault::input(no_window(&e.to_string())))
}

fn no_window(why: &str) -> String {
    // The window library puts its own source file before the reason.
    let why = why.rsplit(": ").next().unwrap_or(why);
    format!(
        "the window cannot be opened here ({}); without a display use the commands: `soundbead count`, `word`, \
         `compare`, `batch`, `demo` (`soundbead help` lists them)",
        why.trim_end_matches('.')
    )
}
