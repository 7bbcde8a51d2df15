//! Playing the recording in hand, a sound of it, or the model.

use soundbead_dsp::judgement::Speaking;

use super::{CloseUpVoice, LessonSession};
use crate::drill::voice::WordVoice;
use crate::equipment::Equipment;
use crate::playback::PlayedPart;
use crate::recorder::Stage;

/// What is played before and after a sound, in seconds: its edges are not sharp.
const AROUND_SOUND_S: f32 = 0.015;
/// What is played before and after a word, in seconds: enough to hear that nothing else was said.
const AROUND_WORD_S: f32 = 0.15;

impl LessonSession {
    /// Says the word in hand.
    pub(super) fn hear_model(&mut self, at: &mut Equipment, speaking: Speaking) {
        let Some(lesson) = self.lesson.as_mut().filter(|_| self.recorder.stage() == Stage::Idle) else {
            return;
        };
        if speaking == Speaking::Separate && !lesson.work().count.settled() {
            return;
        }
        lesson.help();
        let which = lesson.at();
        self.say_at(at, which, speaking);
    }

    /// Says the word before it.
    pub(super) fn hear_before(&mut self, at: &mut Equipment) {
        let before = self.lesson.as_ref().and_then(|l| l.at().checked_sub(1));
        if let Some(before) = before.filter(|_| self.recorder.stage() == Stage::Idle) {
            self.say_at(at, before, Speaking::Whole);
        }
    }

    /// Says a word of the lesson: in the parent's own voice where it was recorded, and is to be whole.
    fn say_at(&mut self, at: &mut Equipment, which: usize, speaking: Speaking) {
        self.silence(at);
        self.no_sound = None;
        let Some(word) = self.lesson.as_ref().and_then(|l| l.words().get(which)) else {
            return;
        };
        let own = self.models.get(&word.spelling).filter(|_| speaking == Speaking::Whole);
        match own {
            Some(clip) => self.voice.play(at, clip),
            None => self.voice.say(at, word, speaking),
        }
    }

    /// Opens a doubtful sound of the recording, or closes it.
    pub(super) fn look_closely(&mut self, at: &mut Equipment, which: Option<usize>) {
        self.silence(at);
        let number = self
            .lesson
            .as_ref()
            .and_then(|l| Some(l.work().latest.as_ref()?.number));
        self.close_up = which.zip(number).map(|(which, number)| (which, number, None));
    }

    /// Plays something of the sound that is looked at.
    pub(super) fn hear_close(&mut self, at: &mut Equipment, what: CloseUpVoice) {
        let Some((close_up, _)) = self.close_up() else { return };
        let Some((which, _, last)) = &mut self.close_up else {
            return;
        };
        let which = *which;
        *last = Some(what);
        let entry = match what {
            CloseUpVoice::Own => return self.play(at, Some((which, which)), 1.0),
            CloseUpVoice::Model | CloseUpVoice::ModelAgain => close_up.entry,
            CloseUpVoice::Other => match close_up.other() {
                Some(other) => other,
                None => return,
            },
        };
        self.silence(at);
        self.no_sound = None;
        self.voice.say_sound(at, entry);
    }

    /// Plays the recording in hand, or some sounds of it, at a speed.
    pub(super) fn play(&mut self, at: &mut Equipment, sounds: Option<(usize, usize)>, speed: f32) {
        let Some(latest) = self.lesson.as_ref().and_then(|l| l.work().latest.as_ref()) else {
            return;
        };
        let placed = latest.judgement().map_or(&[][..], |j| &j.sounds);
        let (from_s, to_s) = match sounds {
            Some((first, last)) => match (placed.get(first), placed.get(last)) {
                (Some(a), Some(b)) => (a.start_s - AROUND_SOUND_S, b.end_s + AROUND_SOUND_S),
                _ => return,
            },
            None => match (placed.first(), placed.last()) {
                (Some(a), Some(b)) => (a.start_s - AROUND_WORD_S, b.end_s + AROUND_WORD_S),
                _ => (0.0, f32::INFINITY),
            },
        };
        let part = PlayedPart { from_s, to_s, speed };
        self.voice = WordVoice::default();
        self.no_sound = None;
        self.sounding = Some(at.playback.play(&latest.take.recording.clip.samples, part, at.wake));
    }

    pub(super) fn silence(&mut self, at: &mut Equipment) {
        at.playback.stop();
        (self.sounding, self.voice) = (None, WordVoice::default());
    }
}
