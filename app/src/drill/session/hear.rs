//! Playing the recording in hand, a sound of it, or the model.

use super::LessonSession;
use crate::equipment::Equipment;
use crate::playback::PlayedPart;

/// What is played before and after a sound, in seconds: its edges are not sharp.
const AROUND_SOUND_S: f32 = 0.015;
/// What is played before and after a word, in seconds: enough to hear that nothing else was said.
const AROUND_WORD_S: f32 = 0.15;

impl LessonSession {
    pub(super) fn hear_model(&mut self, at: &mut Equipment) {
        let word = self.lesson.as_ref().map(|l| &l.word().spelling);
        if let Some(clip) = word.and_then(|word| self.models.get(word)) {
            self.no_sound = None;
            self.sounding = Some(at.playback.play(&clip.samples, PlayedPart::WHOLE, at.wake));
        }
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
        self.no_sound = None;
        self.sounding = Some(at.playback.play(&latest.take.recording.clip.samples, part, at.wake));
    }

    pub(super) fn silence(&mut self, at: &mut Equipment) {
        at.playback.stop();
        self.sounding = None;
    }
}
