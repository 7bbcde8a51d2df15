//! The row that saves: a file name, a dialog to pick one, and what to do where there is such a file.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{TextEdit, Ui, vec2};

use crate::later::{Later, WorkResult};
use crate::notebook::handover;
use crate::report;
use crate::sheet::{Sheet, save};
use crate::storage::Access;
use crate::ui::icons::Icon;
use crate::ui::jobs;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::TOUCH;
use crate::ui::to_print::Html;

/// Where to save, and how far that is.
pub struct SavePanel {
    /// The same as HTML, for what has such a form.
    pub as_html: Option<Html>,
    path: String,
    /// The file that the platform's dialog gave: it has asked about replacing already.
    picked: Option<PathBuf>,
    picking: Option<Later<Option<PathBuf>>>,
    writing: Option<Later<Result<Vec<PathBuf>, String>>>,
    /// The file that is there already, until the person says what to do.
    there: Option<PathBuf>,
    /// The files that were saved last, for as long as the preview is open.
    saved: Vec<PathBuf>,
    /// What is being opened.
    opening: Vec<Later<Result<(), String>>>,
}

impl SavePanel {
    /// A file called `name` in the folder of documents.
    pub fn new(name: &str) -> SavePanel {
        let plain = |c: char| {
            if c.is_alphanumeric() || "-_ ".contains(c) {
                c
            } else {
                '-'
            }
        };
        let name: String = name.chars().map(plain).collect();
        let path = documents().join(format!("{}.pdf", name.trim()));
        SavePanel {
            as_html: None,
            path: path.to_string_lossy().into_owned(),
            picked: None,
            picking: None,
            writing: None,
            there: None,
            saved: Vec::new(),
            opening: Vec::new(),
        }
    }

    /// The row.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, sheet: &Arc<Sheet>) {
        self.take(shared);
        if let Some(path) = self.there.clone() {
            self.ask(ui, shared, sheet, &path);
            return;
        }
        self.saved(ui, shared);
        ui.horizontal(|ui| {
            let label = ui.label("Save as");
            let wide = (ui.available_width() - 340.0).max(160.0);
            let field = TextEdit::singleline(&mut self.path)
                .desired_width(wide)
                .min_size(vec2(wide, TOUCH))
                .align(egui::Align2::LEFT_CENTER);
            let field = ui.add(field).labelled_by(label.id);
            let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            let free = self.picking.is_none() && self.writing.is_none();
            if Button::both(Icon::Folder, "Browse").enabled(free).show(ui).clicked() {
                self.pick(shared);
            }
            let save = Button::both(Icon::Print, "Save to print").lead().enabled(free);
            if save.show(ui).clicked() || (entered && free) {
                self.start(shared, sheet, false);
            }
        });
        if let Some(job) = &self.writing {
            jobs::show(job, ui);
        }
    }

    /// Where the file lies that was saved, with the ways to it.
    fn saved(&mut self, ui: &mut Ui, shared: &Shared) {
        let Some(first) = self.saved.first().cloned() else {
            return;
        };
        parts::banner(ui, BannerTone::Good, &said(&self.saved));
        let Some(opens) = &shared.opens else { return };
        let mut wanted = None;
        ui.horizontal(|ui| {
            if Button::text("Open").name("Open the file").show(ui).clicked() {
                wanted = Some(first.clone());
            }
            if Button::both(Icon::Folder, "Open its folder").show(ui).clicked() {
                wanted = std::path::absolute(&first)
                    .ok()
                    .and_then(|whole| whole.parent().map(Path::to_owned));
            }
        });
        if let Some(path) = wanted {
            let opens = opens.clone();
            self.opening
                .push(Later::start(&shared.ctx, "Opening", move |_| opens(&path)));
        }
    }

    /// The question about a file that is there.
    fn ask(&mut self, ui: &mut Ui, shared: &mut Shared, sheet: &Arc<Sheet>, path: &Path) {
        let text = format!("{} is there already.", path.display());
        parts::banner(ui, BannerTone::Care, &text);
        ui.horizontal(|ui| {
            if Button::text("Replace it").show(ui).clicked() {
                self.there = None;
                self.start(shared, sheet, true);
            }
            if Button::text("Keep it, and change the name").lead().show(ui).clicked() {
                self.there = None;
            }
        });
    }

    fn pick(&mut self, shared: &Shared) {
        let path = PathBuf::from(&self.path);
        let has_html = self.as_html.is_some();
        self.picking = Some(Later::start(&shared.ctx, "Browsing", move |_| {
            let mut dialog = rfd::FileDialog::new().add_filter("PDF", &["pdf"]);
            if has_html {
                dialog = dialog.add_filter("HTML", &["html"]);
            }
            let dialog = dialog
                .add_filter("SVG, one file a page", &["svg"])
                .set_file_name(path.file_name().unwrap_or_default().to_string_lossy());
            let folder = path.parent().filter(|f| f.is_dir());
            folder.map_or(dialog.clone(), |f| dialog.set_directory(f)).save_file()
        }));
    }

    fn start(&mut self, shared: &Shared, sheet: &Arc<Sheet>, replace: bool) {
        let path = PathBuf::from(self.path.trim());
        let replace = replace || self.picked.as_ref() == Some(&path);
        if !replace && path.is_file() {
            self.there = Some(path);
            return;
        }
        self.saved.clear();
        let (sheet, html, folder) = (sheet.clone(), self.as_html.clone(), shared.folder.clone());
        // What is offered as HTML too is a report, which tells of a child.
        let access = match html.is_some() {
            true => Access::Private,
            false => Access::Usual,
        };
        let work = move |_: &_| {
            handover::outside(&folder, &path).map_err(|e| e.to_string())?;
            let written = match html.filter(|_| report::is_html(&path)) {
                Some(html) => save::write(&path, html().as_bytes(), access, replace).map(|()| vec![path]),
                None => save::save(&sheet, &path, access, replace),
            };
            written.map_err(|why| why.to_string())
        };
        self.writing = Some(Later::start(&shared.ctx, "Saving", work));
    }

    /// What the dialog and the writing have come to.
    fn take(&mut self, shared: &mut Shared) {
        if let Some(outcome) = self.picking.as_mut().and_then(Later::take) {
            self.picking = None;
            if let WorkResult::Done(Some(path)) = outcome {
                self.path = path.to_string_lossy().into_owned();
                self.picked = Some(path);
            }
        }
        self.opening.retain_mut(|opening| match opening.take() {
            None => true,
            Some(ending) => {
                if let WorkResult::Done(Err(line)) = ending {
                    shared.say_failed(line);
                }
                false
            }
        });
        let Some(outcome) = self.writing.as_mut().and_then(Later::take) else {
            return;
        };
        self.writing = None;
        match outcome {
            WorkResult::Done(Ok(files)) => self.saved = files,
            // A page's own file of several; the name in the field is not there.
            WorkResult::Done(Err(line)) => shared.say_failed(line),
            WorkResult::Cancelled => {}
            WorkResult::Failed => shared.say_failed("The file could not be made."),
        }
    }
}

fn said(files: &[PathBuf]) -> String {
    match files {
        [one] => format!("Saved as {}.", one.display()),
        [first, .., last] => format!("Saved as {} to {}.", first.display(), last.display()),
        [] => String::new(),
    }
}

/// The folder of documents where there is one, else the person's own folder.
fn documents() -> PathBuf {
    let home = etcetera::home_dir().unwrap_or_default();
    let documents = home.join("Documents");
    if documents.is_dir() { documents } else { home }
}
