//! Hear the sound: by the model voice, or the parent's own.

use std::path::{Path, PathBuf};

use egui::Ui;
use soundbead_data::inventory::{Features, Manner, SoundEntry, Stress};
use soundbead_dsp::audio;
use soundbead_dsp::formant::VoiceKind;
use soundbead_dsp::judgement::Speaking;
use soundbead_dsp::synth;

use crate::ask::say;
use crate::drill::voice::A_COMPUTER_VOICE;
use crate::later::{Later, WorkResult};
use crate::playback::{PlayedPart, Sounding};
use crate::recorder::{Recorder, RecordingOutcome as Recorded, Stage};
use crate::storage::{self, Access};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone};
use crate::ui::shared::Shared;

type HeardSamples = Result<Option<Vec<f32>>, String>;

/// What is being heard or recorded.
#[derive(Default)]
pub struct HearPart {
    fetching: Option<Later<HeardSamples>>,
    keeping: Option<Later<Result<(), String>>>,
    recorder: Recorder,
    sounding: Option<Sounding>,
    /// The sound that is being recorded.
    recording: Option<&'static SoundEntry>,
}

impl HearPart {
    /// The buttons for a sound.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, entry: &'static SoundEntry) {
        self.poll(ui, shared, entry);
        let running = self.recorder.stage() != Stage::Idle;
        ui.horizontal_wrapped(|ui| {
            let hear = parts::Button::both(Icon::Speaker, "Hear it")
                .lead()
                .enabled(!running)
                .key("H");
            let key = !running && !ui.ctx().text_edit_focused() && ui.input(|i| i.key_pressed(egui::Key::H));
            if hear.show(ui).clicked() || key {
                let voice = shared.prefs.voice;
                self.fetch(ui, move || Ok(model_sound(entry, voice)));
            }
            let own = parts::Button::text("Your own").name("Hear your own recording").quiet();
            if own.enabled(!running).show(ui).clicked() {
                let path = own_file(&shared.folder, entry);
                self.fetch(ui, move || read(&path));
            }
            let (icon, name) = if running {
                (Icon::Stop, "Stop recording")
            } else {
                (Icon::Microphone, "Record your own")
            };
            if parts::Button::icon(icon, name).show(ui).clicked() {
                self.record(shared, entry);
            }
        });
        shared.key("H", "hear the sound");
        if running {
            let line = match self.recorder.stage() {
                Stage::Opening => "Opening the microphone …",
                Stage::Checking => "Listening to the room …",
                _ => "Say the sound now.",
            };
            parts::banner(ui, BannerTone::Plain, line);
        }
        parts::note(ui, A_COMPUTER_VOICE);
        if is_stopped(entry) {
            parts::note(ui, HARDLY_A_VOWEL);
        }
    }

    /// Drops a recording that is under way.
    pub fn leave(&mut self) {
        if self.recording.take().is_some() {
            self.recorder.cancel();
        }
    }

    fn poll(&mut self, ui: &Ui, shared: &mut Shared, entry: &'static SoundEntry) {
        match self.fetching.as_mut().and_then(Later::take) {
            None => {}
            Some(WorkResult::Done(Ok(Some(samples)))) => {
                self.sounding = Some(shared.playback.play(&samples, PlayedPart::WHOLE, &shared.wake));
            }
            Some(WorkResult::Done(Ok(None))) => {
                shared.say("There is no recording of your own for this sound yet. The microphone makes one.");
            }
            Some(WorkResult::Done(Err(line))) => shared.say_failed(line),
            Some(WorkResult::Cancelled | WorkResult::Failed) => shared.say_failed("The sound could not be made."),
        }
        shared.playback.poll();
        if let Some(fault) = self.sounding.and_then(|s| shared.playback.take_fault(s)) {
            shared.say_failed(fault.to_string());
        }
        match self.keeping.as_mut().and_then(Later::take) {
            Some(WorkResult::Done(Ok(()))) => shared.say("Kept. Your own recording can be heard beside the made one."),
            Some(WorkResult::Done(Err(line))) => shared.say_failed(line),
            _ => {}
        }
        if self.recording.is_some_and(|of| !std::ptr::eq(of, entry)) {
            // Another sound was picked meanwhile.
            self.recorder.cancel();
            self.recording = None;
        }
        if let Some(outcome) = self.recorder.poll() {
            self.recorded(ui, shared, outcome);
        }
        if self.recorder.stage() != Stage::Idle {
            ui.ctx().request_repaint_after_secs(0.03);
        }
    }

    fn fetch(&mut self, ui: &Ui, get: impl FnOnce() -> HeardSamples + Send + 'static) {
        self.fetching = Some(Later::start(ui.ctx(), "Making the sound", move |_| get()));
    }

    fn record(&mut self, shared: &mut Shared, entry: &'static SoundEntry) {
        if self.recorder.stage() == Stage::Idle {
            let device = shared.device.clone();
            self.recorder
                .start(shared.mic.as_mut(), device.as_deref(), Speaking::Whole);
            self.recording = Some(entry);
        } else if let Some(outcome) = self.recorder.stop() {
            let ctx = shared.ctx.clone();
            self.finish(&ctx, shared, outcome);
        }
    }

    fn recorded(&mut self, ui: &Ui, shared: &mut Shared, outcome: Recorded) {
        let ctx = ui.ctx().clone();
        self.finish(&ctx, shared, outcome);
    }

    fn finish(&mut self, ctx: &egui::Context, shared: &mut Shared, outcome: Recorded) {
        let Some(entry) = self.recording.take() else { return };
        match outcome {
            Recorded::Take(take) => {
                let path = own_file(&shared.folder, entry);
                let samples = take.recording.clip.samples;
                self.keeping = Some(Later::start(ctx, "Keeping your recording", move |_| {
                    keep(&path, &samples)
                }));
            }
            Recorded::NotHeard => shared.say("Nothing was heard. Come closer and try again."),
            Recorded::Fault(fault) => shared.say_failed(fault.to_string()),
        }
    }
}

/// What a stop needs besides.
const HARDLY_A_VOWEL: &str = "This sound stops the air and cannot be held. Let go of it with hardly a vowel behind it, \
     for a child may count the vowel.";

fn is_stopped(entry: &SoundEntry) -> bool {
    match entry.features {
        Features::Vowel(_) => false,
        Features::Consonant(c) => matches!(c.manner, Manner::Plosive | Manner::Affricate),
    }
}

/// The sound in the model voice; should it have none, as a buzz in the voice of the chart.
fn model_sound(entry: &SoundEntry, voice: VoiceKind) -> Option<Vec<f32>> {
    say::model_of_sound(&entry.arpabet).or_else(|| {
        let weak = entry.arpabet.stress() == Some(Stress::Weak);
        synth::say(entry.arpabet.sounds(), weak, voice)
    })
}

/// Where a parent's own recording of a sound is kept.
fn own_file(folder: &Path, entry: &SoundEntry) -> PathBuf {
    let name = entry.arpabet.to_string().replace(' ', "-");
    folder.join("own-sounds").join(format!("{name}.wav"))
}

fn read(path: &Path) -> HeardSamples {
    if !path.is_file() {
        return Ok(None);
    }
    let recording = audio::decode(path).map_err(|e| e.to_string())?;
    Ok(Some(recording.clip.samples))
}

/// Keeps the parent's own recording of a sound.
fn keep(path: &Path, samples: &[f32]) -> Result<(), String> {
    let write = || {
        storage::folder(path.parent().unwrap_or(path), Access::Private)?;
        storage::write(path, &storage::wav(samples), Access::Private)
    };
    write().map_err(storage::cannot_write(path))
}
