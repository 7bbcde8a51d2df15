//! Ways besides the microphone: a file brought in, a file played as if spoken, another device.

use std::path::PathBuf;

use soundbead_dsp::audio;

use super::{LessonSession, OpenQuestion};
use crate::equipment::{Equipment, News};
use crate::later::Later;
use crate::mic::device::Devices;
use crate::mic::spoken::SpokenFiles;
use crate::recorder::Stage;

impl LessonSession {
    pub(super) fn ask(&mut self, at: &Equipment, question: Option<OpenQuestion>) {
        (self.question, self.question_fault) = (question, None);
        if question == Some(OpenQuestion::Device) {
            (self.looking, self.devices) = (Some(at.mic.look()), None);
        }
    }

    pub(super) fn bring_in(&mut self, at: &Equipment, path: PathBuf) {
        if self.lesson.is_none() {
            let line = "Start a lesson first, then drop the recording of its word.";
            self.news.push(News::Said(line.into()));
            return;
        }
        self.question = None;
        self.reading = Some(Later::start(at.wake.clone(), "Reading the recording", move |_| {
            audio::decode(&path).map_err(|e| e.to_string())
        }));
    }

    pub(super) fn use_device(&mut self, at: &mut Equipment, device: Option<String>) {
        if self.recorder.stage() == Stage::Idle {
            *at.device = device;
            self.recorder.forget_room();
        }
    }

    pub(super) fn speak_from(&mut self, at: &mut Equipment, path: PathBuf) {
        match SpokenFiles::from_path(&path) {
            Ok(spoken) => {
                (*at.mic, *at.device) = (Box::new(spoken), None);
                self.recorder.forget_room();
                self.question = None;
                self.news
                    .push(News::Said("The next recording is played from the file.".into()));
            }
            Err(fault) => self.question_fault = Some(fault.to_string()),
        }
    }

    pub(super) fn real_microphones(&mut self, at: &mut Equipment) {
        (*at.mic, *at.device) = (Box::new(Devices), None);
        self.recorder.forget_room();
        self.ask(at, Some(OpenQuestion::Device));
    }
}
