//! Ways besides the microphone: a file brought in or dropped, a file played as if spoken, another device.

use std::path::{Path, PathBuf};
use std::sync::mpsc::Receiver;

use egui::{Id, Modal, TextEdit, Ui, vec2};
use soundbead_dsp::audio::{self, Recording};

use crate::mic::device::Devices;
use crate::mic::spoken::Spoken;
use crate::mic::{Device, MicFault};
use crate::recorder::Recorder;
use crate::ui::icons::Icon;
use crate::ui::jobs::{Job, Outcome};
use crate::ui::parts::{self, Button, Tone};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};

/// What is open, and what is being read.
#[derive(Default)]
pub struct Bring {
    asking: Option<Asking>,
    path: String,
    picking: Option<Job<Option<PathBuf>>>,
    reading: Option<Job<Result<Recording, String>>>,
    looking: Option<Receiver<Result<Vec<Device>, MicFault>>>,
    devices: Option<Result<Vec<Device>, MicFault>>,
    fault: Option<String>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Asking {
    File,
    Device,
}

impl Bring {
    /// Whether a question is open.
    pub fn open(&self) -> bool {
        self.asking.is_some()
    }

    /// Whether a file is being read.
    pub fn reading(&self) -> bool {
        self.reading.is_some()
    }

    /// Asks which file.
    pub fn ask_for_file(&mut self) {
        (self.asking, self.fault) = (Some(Asking::File), None);
    }

    /// Asks which microphone.
    pub fn ask_for_device(&mut self, shared: &Shared) {
        (self.asking, self.fault, self.devices) = (Some(Asking::Device), None, None);
        self.looking = Some(shared.mic.look());
    }

    /// Lets what is being read go.
    pub fn cancel(&mut self) {
        self.reading = None;
    }

    /// Takes in a file that was let go over the window, and says that it may be.
    pub fn dropped(&mut self, ui: &Ui, shared: &mut Shared, lesson: bool) {
        let path = ui.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_owned()));
        match path {
            Some(path) if lesson => self.read(ui.ctx(), path),
            Some(_) => shared.say("Start a lesson first, then drop the recording of its word."),
            None => {}
        }
        if lesson && ui.input(|i| !i.raw.hovered_files.is_empty()) {
            let layer = egui::LayerId::new(egui::Order::Foreground, Id::unique("drop here"));
            let (p, rect) = (palette(ui), ui.ctx().content_rect());
            let painter = ui.ctx().layer_painter(layer);
            painter.rect_filled(rect, 0.0, p.lead_wash.gamma_multiply(0.9));
            let text = "Let go to bring the recording in";
            painter.text(
                rect.center(),
                egui::Align2::CENTER_CENTER,
                text,
                theme::bold_font(30.0),
                p.ink,
            );
        }
    }

    /// The recording that was brought in, once it is read.
    pub fn take(&mut self) -> Option<Result<Recording, String>> {
        let ended = self.reading.as_mut()?.take()?;
        self.reading = None;
        match ended {
            Outcome::Done(read) => Some(read),
            Outcome::Cancelled => None,
            Outcome::Failed => Some(Err("The file could not be read. Please report it.".into())),
        }
    }

    fn read(&mut self, ctx: &egui::Context, path: PathBuf) {
        self.asking = None;
        self.reading = Some(Job::start(ctx, "Reading the recording", move |_| {
            audio::decode(&path).map_err(|e| e.to_string())
        }));
    }

    /// Shows what is open, over the view.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, recorder: &mut Recorder) {
        if let Some(picked) = self.picking.as_mut().and_then(|job| job.take()) {
            self.picking = None;
            match picked {
                Outcome::Done(Some(path)) => self.path = path.display().to_string(),
                Outcome::Failed => self.fault = Some("No file window could be opened. Write the path instead.".into()),
                _ => {}
            }
        }
        if let Some(found) = self.looking.as_ref().and_then(|l| l.try_recv().ok()) {
            (self.looking, self.devices) = (None, Some(found));
        }
        let Some(asking) = self.asking else { return };
        let modal = Modal::new(Id::unique("bring")).show(ui.ctx(), |ui| {
            ui.set_width(520.0);
            ui.spacing_mut().item_spacing.y = 10.0;
            match asking {
                Asking::File => self.file(ui),
                Asking::Device => self.device(ui, shared, recorder),
            }
        });
        if modal.should_close() {
            self.asking = None;
        }
    }

    fn file(&mut self, ui: &mut Ui) {
        parts::section(ui, "Bring in a recording");
        parts::note(
            ui,
            "WAV, FLAC, MP3, Ogg or M4A. You can also drop a file anywhere on the window.",
        );
        self.path_field(ui);
        ui.horizontal(|ui| {
            let named = !self.path.trim().is_empty();
            if Button::both(Icon::Done, "Bring it in")
                .lead()
                .enabled(named)
                .show(ui)
                .clicked()
            {
                self.read(ui.ctx(), PathBuf::from(self.path.trim()));
            }
            if Button::text("Close").key("Esc").show(ui).clicked() {
                self.asking = None;
            }
        });
    }

    fn path_field(&mut self, ui: &mut Ui) {
        ui.horizontal(|ui| {
            let edit = TextEdit::singleline(&mut self.path)
                .hint_text("path of the file")
                .desired_width(360.0);
            let response = ui.add(edit.min_size(vec2(200.0, 44.0)).align(egui::Align2::LEFT_CENTER));
            ui.ctx()
                .accesskit_node_builder(response.id, |node| node.set_label("Path of the file"));
            if Button::both(Icon::Folder, "Look for it").show(ui).clicked() && self.picking.is_none() {
                self.picking = Some(Job::start(ui.ctx(), "Choosing a file", |_| pick()));
            }
        });
        if let Some(fault) = &self.fault {
            parts::banner(ui, Tone::Alarm, fault);
        }
    }

    fn device(&mut self, ui: &mut Ui, shared: &mut Shared, recorder: &mut Recorder) {
        parts::section(ui, "Microphone");
        let mut chosen = None;
        match &self.devices {
            None => drop(ui.spinner()),
            Some(Err(fault)) => drop(parts::banner(ui, Tone::Care, &fault.to_string())),
            Some(Ok(devices)) => {
                let now = shared.device.clone();
                if Button::text("The system's choice")
                    .selected(now.is_none())
                    .show(ui)
                    .clicked()
                {
                    chosen = Some(None);
                }
                egui::ScrollArea::vertical().max_height(220.0).show(ui, |ui| {
                    for device in devices {
                        let selected = now.as_ref() == Some(&device.id);
                        if Button::text(&device.name).selected(selected).show(ui).clicked() {
                            chosen = Some(Some(device.id.clone()));
                        }
                    }
                });
            }
        }
        if let Some(device) = chosen {
            shared.device = device;
            recorder.forget_room();
        }
        ui.separator();
        parts::note(
            ui,
            "Or play a file, or all files of a folder, as if they were spoken into a microphone:",
        );
        self.path_field(ui);
        ui.horizontal(|ui| {
            let named = !self.path.trim().is_empty();
            if Button::both(Icon::Play, "Speak from it")
                .enabled(named)
                .show(ui)
                .clicked()
            {
                self.speak(shared, recorder);
            }
            if Button::text("Real microphones").quiet().show(ui).clicked() {
                (shared.mic, shared.device) = (Box::new(Devices), None);
                recorder.forget_room();
                self.ask_for_device(shared);
            }
            if Button::text("Close").key("Esc").show(ui).clicked() {
                self.asking = None;
            }
        });
    }

    fn speak(&mut self, shared: &mut Shared, recorder: &mut Recorder) {
        match Spoken::from_path(Path::new(self.path.trim())) {
            Ok(spoken) => {
                (shared.mic, shared.device) = (Box::new(spoken), None);
                recorder.forget_room();
                self.asking = None;
                shared.say("The next recording is played from the file.");
            }
            Err(fault) => self.fault = Some(fault.to_string()),
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
