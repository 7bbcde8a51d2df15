//! Ways besides the microphone: a file brought in or dropped, a file played as if spoken, another device.

use std::path::PathBuf;

use egui::{Id, Modal, TextEdit, Ui, vec2};

use crate::drill::session::{Intent, LessonSession, OpenQuestion};
use crate::later::{Later, WorkResult};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};

/// What is typed, and the system's own file window while it is open.
#[derive(Default)]
pub struct BringView {
    path: String,
    picking: Option<Later<Option<PathBuf>>>,
    fault: Option<String>,
}

/// Takes in a file that was let go over the window, and says that it may be.
pub fn dropped(ui: &Ui, lesson: bool, out: &mut Vec<Intent>) {
    let path = ui.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_owned()));
    out.extend(path.map(Intent::BringIn));
    if lesson && ui.input(|i| !i.raw.hovered_files.is_empty()) {
        let layer = egui::LayerId::new(egui::Order::Foreground, Id::unique("drop here"));
        let (p, rect) = (palette(ui), ui.ctx().content_rect());
        let painter = ui.ctx().layer_painter(layer);
        painter.rect_filled(rect, 0.0, p.lead_wash.gamma_multiply(0.9));
        let text = "Let go to bring the recording in";
        let font = theme::bold_font(30.0);
        painter.text(rect.center(), egui::Align2::CENTER_CENTER, text, font, p.ink);
    }
}

impl BringView {
    /// Shows the question that is open, over the view.
    pub fn show(&mut self, ui: &mut Ui, shared: &Shared, session: &LessonSession, out: &mut Vec<Intent>) {
        if let Some(picked) = self.picking.as_mut().and_then(Later::take) {
            self.picking = None;
            match picked {
                WorkResult::Done(Some(path)) => self.path = path.display().to_string(),
                WorkResult::Failed => {
                    self.fault = Some("No file window could be opened. Write the path instead.".into())
                }
                WorkResult::Done(None) | WorkResult::Cancelled => {}
            }
        }
        let Some((question, fault)) = session.question() else {
            self.fault = None;
            return;
        };
        let fault = fault.map(str::to_owned).or_else(|| self.fault.clone());
        let modal = Modal::new(Id::unique("bring")).show(ui.ctx(), |ui| {
            ui.set_width(520.0);
            ui.spacing_mut().item_spacing.y = 10.0;
            match question {
                OpenQuestion::File => self.file(ui, fault.as_deref(), out),
                OpenQuestion::Device => {
                    devices(ui, shared, session, out);
                    self.spoken(ui, fault.as_deref(), out);
                }
                OpenQuestion::Model => model(ui, out),
                OpenQuestion::Leave => leave(ui, out),
                OpenQuestion::Unkept => unkept(ui, session, out),
            }
        });
        if modal.should_close() {
            out.push(Intent::Ask(None));
        }
    }

    fn file(&mut self, ui: &mut Ui, fault: Option<&str>, out: &mut Vec<Intent>) {
        parts::section(ui, "Bring in a recording");
        parts::note(
            ui,
            "WAV, FLAC, MP3, Ogg or M4A. You can also drop a file anywhere on the window.",
        );
        let entered = self.path_field(ui, fault);
        ui.horizontal(|ui| {
            let named = !self.path.trim().is_empty();
            let bring = Button::both(Icon::Done, "Bring it in").lead().enabled(named);
            if bring.show(ui).clicked() || (entered && named) {
                out.push(Intent::BringIn(PathBuf::from(self.path.trim())));
            }
            close(ui, out);
        });
    }

    /// The path, and the way to look for it; whether Enter was pressed in it.
    fn path_field(&mut self, ui: &mut Ui, fault: Option<&str>) -> bool {
        let entered = ui.horizontal(|ui| {
            let edit = TextEdit::singleline(&mut self.path)
                .hint_text("path of the file")
                .desired_width(360.0);
            let response = ui.add(edit.min_size(vec2(200.0, 44.0)).align(egui::Align2::LEFT_CENTER));
            ui.ctx()
                .accesskit_node_builder(response.id, |node| node.set_label("Path of the file"));
            if Button::both(Icon::Folder, "Look for it").show(ui).clicked() && self.picking.is_none() {
                self.picking = Some(Later::start(ui.ctx(), "Choosing a file", |_| pick()));
            }
            response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter))
        });
        if let Some(fault) = fault {
            parts::banner(ui, BannerTone::Alarm, fault);
        }
        entered.inner
    }

    fn spoken(&mut self, ui: &mut Ui, fault: Option<&str>, out: &mut Vec<Intent>) {
        ui.separator();
        parts::note(
            ui,
            "Or play a file, or all files of a folder, as if they were spoken into a microphone:",
        );
        let entered = self.path_field(ui, fault);
        ui.horizontal(|ui| {
            let named = !self.path.trim().is_empty();
            let speak = Button::both(Icon::Play, "Speak from it").enabled(named);
            if speak.show(ui).clicked() || (entered && named) {
                out.push(Intent::SpeakFrom(PathBuf::from(self.path.trim())));
            }
            if Button::text("Real microphones").quiet().show(ui).clicked() {
                out.push(Intent::RealMicrophones);
            }
            close(ui, out);
        });
    }
}

/// Whose voice a model is: it is no child's recording, and stays when a learner is erased.
fn model(ui: &mut Ui, out: &mut Vec<Intent>) {
    parts::section(ui, "A model of this word, in your voice");
    parts::note(
        ui,
        "For the grown-up. It is played to every learner on this computer, and erasing a learner does not erase it.",
    );
    ui.horizontal(|ui| {
        if Button::both(Icon::Microphone, "Record my voice")
            .lead()
            .key("Enter")
            .show(ui)
            .clicked()
        {
            out.push(Intent::RecordModel);
        }
        close(ui, out);
    });
}

/// Whether the lesson is to be left.
fn leave(ui: &mut Ui, out: &mut Vec<Intent>) {
    parts::section(ui, "Leave the lesson?");
    ui.horizontal_wrapped(|ui| {
        if Button::text("Stay").lead().key("Enter").show(ui).clicked() {
            out.push(Intent::Ask(None));
        }
        if Button::text("Go on another day").show(ui).clicked() {
            out.push(Intent::Pause);
        }
        if Button::text("End the lesson")
            .name("End the lesson now")
            .show(ui)
            .clicked()
        {
            out.push(Intent::End);
        }
    });
}

/// Whether the lesson is to end although something of it is not in the notebook.
fn unkept(ui: &mut Ui, session: &LessonSession, out: &mut Vec<Intent>) {
    parts::section(ui, "Not everything is in the notebook");
    let line = match session.unkept() {
        Some(why) => format!("It is tried again: {why}."),
        None => "Now it is.".to_owned(),
    };
    ui.label(line);
    ui.horizontal(|ui| {
        if Button::text("Try again, then end").lead().show(ui).clicked() {
            out.push(Intent::End);
        }
        if Button::text("End without it").show(ui).clicked() {
            out.push(Intent::EndAnyway);
        }
        close(ui, out);
    });
}

fn close(ui: &mut Ui, out: &mut Vec<Intent>) {
    if Button::text("Close").key("Esc").show(ui).clicked() {
        out.push(Intent::Ask(None));
    }
}

fn devices(ui: &mut Ui, shared: &Shared, session: &LessonSession, out: &mut Vec<Intent>) {
    parts::section(ui, "Microphone");
    match session.devices() {
        None => drop(ui.spinner()),
        Some(Err(fault)) => drop(parts::banner(ui, BannerTone::Care, &fault.to_string())),
        Some(Ok(devices)) => {
            let now = shared.device.as_ref();
            let system = Button::text("The system's choice").selected(now.is_none());
            if system.show(ui).clicked() {
                out.push(Intent::Device(None));
            }
            egui::ScrollArea::vertical().max_height(220.0).show(ui, |ui| {
                for device in devices {
                    let button = Button::text(&device.name).selected(now == Some(&device.id));
                    if button.show(ui).clicked() {
                        out.push(Intent::Device(Some(device.id.clone())));
                    }
                }
            });
        }
    }
}

/// The system's own file window.
fn pick() -> Option<PathBuf> {
    let kinds = ["wav", "flac", "mp3", "ogg", "oga", "m4a", "mp4", "aac"];
    rfd::FileDialog::new()
        .set_title("A recording")
        .add_filter("Recordings", &kinds)
        .pick_file()
}
