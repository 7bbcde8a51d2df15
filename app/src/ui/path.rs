//! A file that is named or picked.

use std::path::PathBuf;

use egui::{TextEdit, Ui, vec2};

use crate::later::{Later, WorkResult};
use crate::ui::icons::Icon;
use crate::ui::parts::Button;
use crate::ui::shared::Shared;
use crate::ui::theme::TOUCH;

/// A path that is typed or picked.
#[derive(Default)]
pub struct PathField {
    /// The path as it is typed.
    pub path: String,
    picked: Option<PathBuf>,
    picking: Option<Later<Option<PathBuf>>>,
}

/// Which kind of file is picked.
#[derive(Clone, Copy)]
pub enum FileUse {
    /// One to be written, with this ending.
    Save(&'static str),
    /// One to be read, with this ending.
    Open(&'static str),
    /// A folder to be read.
    Folder,
}

impl PathField {
    /// The field and its button.
    pub fn show(&mut self, ui: &mut Ui, shared: &Shared, name: &str, kind: FileUse) {
        if let Some(outcome) = self.picking.as_mut().and_then(Later::take) {
            self.picking = None;
            if let WorkResult::Done(Some(path)) = outcome {
                self.path = path.to_string_lossy().into_owned();
                self.picked = Some(path);
            }
        }
        ui.horizontal(|ui| {
            let label = ui.label(name);
            let wide = (ui.available_width() - 130.0).max(160.0);
            let field = TextEdit::singleline(&mut self.path)
                .desired_width(wide)
                .min_size(vec2(wide, TOUCH))
                .align(egui::Align2::LEFT_CENTER);
            ui.add(field).labelled_by(label.id);
            let browse = format!("Browse: {name}");
            let free = self.picking.is_none();
            if Button::both(Icon::Folder, "Browse")
                .name(&browse)
                .enabled(free)
                .show(ui)
                .clicked()
            {
                self.pick(shared, kind);
            }
        });
    }

    fn pick(&mut self, shared: &Shared, kind: FileUse) {
        let path = PathBuf::from(self.path.trim());
        self.picking = Some(Later::start(&shared.ctx, "Browsing", move |_| {
            let dialog = rfd::FileDialog::new();
            let folder = path.parent().filter(|f| f.is_dir());
            let dialog = folder.map_or(dialog.clone(), |f| dialog.set_directory(f));
            match kind {
                FileUse::Save(ending) => {
                    let name = path.file_name().unwrap_or_default().to_string_lossy();
                    dialog.add_filter(ending, &[ending]).set_file_name(name).save_file()
                }
                FileUse::Open(ending) => dialog.add_filter(ending, &[ending]).pick_file(),
                FileUse::Folder => dialog.pick_folder(),
            }
        }));
    }

    /// Whether the file is there, and the platform's own dialog has not asked about it.
    pub fn would_replace(&self) -> bool {
        let path = PathBuf::from(self.path.trim());
        path.is_file() && self.picked.as_ref() != Some(&path)
    }
}
