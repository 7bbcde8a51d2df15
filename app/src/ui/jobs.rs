//! Work off the window's thread, as the window shows it: a line with its name, a bar and a way to cancel.

use crate::later::{Later, Wake};

impl From<&egui::Context> for Wake {
    fn from(ctx: &egui::Context) -> Wake {
        let ctx = ctx.clone();
        Wake::new(move || ctx.request_repaint())
    }
}

/// Shows how far a piece of work is, with a way to cancel it.
pub fn show<T>(work: &Later<T>, ui: &mut egui::Ui) {
    ui.horizontal(|ui| {
        match work.share() {
            Some(share) => {
                let bar = egui::ProgressBar::new(share).desired_width(200.0).desired_height(14.0);
                ui.add(bar);
            }
            None => {
                ui.spinner();
            }
        }
        ui.label(work.name());
        if ui.button("Cancel").clicked() {
            work.cancel();
        }
    });
}
