//! Plays recordings: a part of one, at a speed, with its position. The one way in which the program plays sound.
//!
//! One sound plays at a time. Stretching runs on a thread of its own; the sound begins when it is done. Something calls
//! [`Playback::poll`] once a frame.

use crate::later::{Later, Wake, WorkResult};
use crate::mic::{MicFault, Player, Playing};
use soundbead_dsp::audio::RATE;
use soundbead_dsp::slow;

/// A part of a recording and how fast it is played.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlayedPart {
    /// Where it begins, in seconds; before the recording's beginning means there.
    pub from_s: f32,
    /// Where it ends, in seconds; beyond the recording's end means there.
    pub to_s: f32,
    /// Share of the spoken speed, above 0 and up to 1; 1 is as it was spoken.
    pub speed: f32,
}

impl PlayedPart {
    /// All of a recording, as it was spoken.
    pub const WHOLE: PlayedPart = PlayedPart {
        from_s: 0.0,
        to_s: f32::INFINITY,
        speed: 1.0,
    };
}

/// Names one sound that was asked for, so that its asker can tell it from what others play.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sounding(u64);

/// What is being played.
struct NowPlaying {
    sounding: Sounding,
    part: PlayedPart,
    at_s: Option<f32>,
}

/// The loudspeaker and what plays on it.
pub struct Playback {
    player: Box<dyn Player>,
    stretching: Option<Later<Vec<f32>>>,
    now: Option<NowPlaying>,
    fault: Option<(Sounding, MicFault)>,
    asked: u64,
}

impl Playback {
    /// Plays on this player.
    pub fn on(player: Box<dyn Player>) -> Playback {
        Playback {
            player,
            stretching: None,
            now: None,
            fault: None,
            asked: 0,
        }
    }

    /// Plays a part of `samples` (mono, 16 kHz). What was playing stops.
    pub fn play(&mut self, samples: &[f32], part: PlayedPart, wake: &Wake) -> Sounding {
        self.stop();
        self.asked += 1;
        let sounding = Sounding(self.asked);
        let at = |s: f32| ((s.max(0.0) * RATE as f32) as usize).min(samples.len());
        let (from, to) = (at(part.from_s), at(part.to_s));
        let wanted = &samples[from..to.max(from)];
        if part.speed < 1.0 {
            let (wanted, speed) = (wanted.to_vec(), part.speed);
            self.stretching = Some(Later::start(wake.clone(), "Slowing it down", move |_| {
                slow::stretch(&wanted, speed)
            }));
        } else {
            self.player.play(wanted);
        }
        self.now = Some(NowPlaying {
            sounding,
            part,
            at_s: None,
        });
        sounding
    }

    /// Stops what plays.
    pub fn stop(&mut self) {
        self.player.stop();
        (self.stretching, self.now, self.fault) = (None, None, None);
    }

    /// Takes in how far it is; whether something plays or is about to.
    pub fn poll(&mut self) -> bool {
        match self.stretching.as_mut().and_then(Later::take) {
            Some(WorkResult::Done(slow)) => {
                self.stretching = None;
                self.player.play(&slow);
            }
            Some(WorkResult::Cancelled | WorkResult::Failed) => (self.stretching, self.now) = (None, None),
            None => {}
        }
        let Some(now) = &mut self.now else { return false };
        if self.stretching.is_some() {
            return true;
        }
        match self.player.playing() {
            Playing::At(s) => now.at_s = Some(now.part.from_s.max(0.0) + s * now.part.speed),
            Playing::Nothing => self.now = None,
            Playing::Failed(fault) => {
                self.fault = Some((now.sounding, fault));
                self.now = None;
            }
        }
        self.now.is_some()
    }

    /// Whether this sound plays or is about to.
    pub fn plays(&self, sounding: Sounding) -> bool {
        self.now.as_ref().is_some_and(|now| now.sounding == sounding)
    }

    /// Where in its recording this sound is, in seconds; none when it does not play (yet, or any more).
    pub fn position_s(&self, sounding: Sounding) -> Option<f32> {
        self.now.as_ref().filter(|now| now.sounding == sounding)?.at_s
    }

    /// Why this sound could not be played, once.
    pub fn take_fault(&mut self, sounding: Sounding) -> Option<MicFault> {
        let (_, fault) = self.fault.take_if(|(of, _)| *of == sounding)?;
        Some(fault)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mic::spoken::KeepingPlayer;

    fn tone() -> Vec<f32> {
        let turn = |i: usize| i as f32 * 220.0 / RATE as f32 * std::f32::consts::TAU;
        (0..RATE as usize).map(|i| 0.3 * turn(i).sin()).collect()
    }

    #[test]
    fn a_part_is_played_and_only_its_asker_is_told_where_it_is() {
        let kept = KeepingPlayer::default();
        let mut playback = Playback::on(Box::new(kept.clone()));
        let part = PlayedPart {
            from_s: 0.25,
            to_s: 0.5,
            speed: 1.0,
        };
        let first = playback.play(&tone(), part, &Wake::nobody());
        assert!(playback.poll() && playback.plays(first));
        assert!(playback.position_s(first).is_some_and(|s| (0.25..0.5).contains(&s)));
        let second = playback.play(&tone(), PlayedPart::WHOLE, &Wake::nobody());
        playback.poll();
        assert!(playback.position_s(first).is_none() && playback.plays(second));
        let lengths: Vec<usize> = kept.sounds().iter().map(Vec::len).collect();
        assert_eq!(lengths, [4_000, 16_000]);
    }

    #[test]
    fn a_slow_part_is_stretched_elsewhere_and_then_played_and_a_stop_forgets_it() {
        let kept = KeepingPlayer::default();
        let mut playback = Playback::on(Box::new(kept.clone()));
        let slow = PlayedPart {
            speed: 0.5,
            ..PlayedPart::WHOLE
        };
        let sounding = playback.play(&tone(), slow, &Wake::nobody());
        assert!(kept.sounds().is_empty(), "nothing is stretched on the asker's thread");
        while kept.sounds().is_empty() {
            assert!(playback.poll() && playback.plays(sounding));
            std::thread::yield_now();
        }
        let length = kept.sounds()[0].len() as f32 / RATE as f32;
        assert!((length / 2.0 - 1.0).abs() < 0.02, "{length}");
        playback.play(&tone(), slow, &Wake::nobody());
        playback.stop();
        assert!(!playback.poll() && kept.sounds().len() == 1);
    }

    #[test]
    fn parts_beyond_the_recording_are_cut_to_it() {
        let kept = KeepingPlayer::default();
        let mut playback = Playback::on(Box::new(kept.clone()));
        for (from_s, to_s) in [(-1.0, 0.1), (0.9, 7.0), (5.0, 6.0), (0.5, 0.2)] {
            let part = PlayedPart {
                from_s,
                to_s,
                speed: 1.0,
            };
            playback.play(&tone(), part, &Wake::nobody());
        }
        let lengths: Vec<usize> = kept.sounds().iter().map(Vec::len).collect();
        assert_eq!(lengths, [1_600, 1_600, 0, 0]);
    }
}
