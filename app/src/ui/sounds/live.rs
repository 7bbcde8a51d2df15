//! Say a vowel and see where it lands: three corners first, then any vowel.

use egui::{Align2, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use soundbead_data::inventory::SoundEntry;
use soundbead_data::norm::NORMS;
use soundbead_data::{Sound, inventory};
use soundbead_dsp::formant::{self, VoiceKind, VowelName};

use crate::later::Later;
use crate::live::{CORNERS, Live, LiveReading, VoiceFit, VowelHold, hold};
use crate::notebook::VowelMeasure;
use crate::ui::icons::{self, Icon};
use crate::ui::parts::{self, BannerTone};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};

/// A corner must be held this long, this steadily.
const HOLD_S: f32 = 0.7;
const STEADY: f32 = 0.09;
/// Readings kept for the trail: three seconds.
const TRAIL: usize = 60;

/// What the dot on the chart shows.
pub struct Dot {
    /// Where it has been, oldest first, F1 and F2 in Hz as the chart's voice would have them.
    pub trail: Vec<[f32; 2]>,
    /// Whether there is a voice now.
    pub now: bool,
}

/// The page's live part.
#[derive(Default)]
pub struct LivePart {
    live: Option<(Live, VoiceKind)>,
    readings: Vec<LiveReading>,
    corners: Vec<[f32; 3]>,
    /// Whether the voice has let go since the last corner: one hold does not make two.
    let_go: bool,
    fit: Option<VoiceFit>,
    trouble: Option<String>,
    /// The learner whose earlier corners were asked for, and the answer when it comes.
    earlier: Option<Later<crate::notebook::Result<Vec<VowelMeasure>>>>,
}

impl LivePart {
    /// The button that sets it going, for the row of controls.
    pub fn button(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let on = self.live.is_some();
        let (icon, text) = if on {
            (Icon::Stop, "Stop")
        } else {
            (Icon::Microphone, "Say a vowel")
        };
        let button = parts::Button::both(icon, text).name(if on { "Stop listening" } else { text });
        let pressed = parts::hint(button.selected(on).show(ui), "Watch where your vowel lands").clicked();
        if pressed && on {
            *self = LivePart::default();
        } else if pressed {
            self.start(shared);
        }
    }

    fn start(&mut self, shared: &mut Shared) {
        let (voice, wake) = (shared.prefs.voice, shared.ctx.clone());
        let live = Live::start(shared.mic.as_mut(), shared.device.as_deref(), voice, move || {
            wake.request_repaint()
        });
        *self = LivePart {
            live: Some((live, voice)),
            let_go: true,
            ..LivePart::default()
        };
        self.earlier = shared.learner.as_ref().map(|learner| {
            let id = learner.id;
            shared.notebook.ask(move |n| n.vowels(id))
        });
    }

    /// Takes in what was heard and shows the line over the chart; the dot, once there is one. `picked` is the sound on the card,
    /// which is aimed at if it is a vowel.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, picked: &'static SoundEntry) -> Option<Dot> {
        let voice = self.live.as_ref()?.1;
        if voice != shared.prefs.voice {
            // Another chart, another fit.
            self.start(shared);
        }
        self.take_earlier(shared.prefs.voice);
        let (live, _) = self.live.as_mut()?;
        let (fresh, fault, running) = (live.poll(), live.fault.clone(), live.running);
        // One by one, so that no pause is overlooked when several come at once.
        for reading in fresh {
            self.readings.push(reading);
            let much = self.readings.len().saturating_sub(TRAIL);
            self.readings.drain(..much);
            self.let_go |= self.readings.iter().rev().take(3).all(|r| r.vowel.is_none());
            if self.fit.is_none() {
                self.learn(hold(&self.readings), shared);
            }
        }
        if let Some(fault) = fault {
            parts::banner(ui, BannerTone::Alarm, &fault.to_string());
            return None;
        }
        ui.ctx().request_repaint_after_secs(0.03);
        let held = hold(&self.readings);
        self.line(ui, running, held, (shared.prefs.voice, picked));
        self.dot()
    }

    /// Corners that the learner said before: no need to say them again.
    fn take_earlier(&mut self, voice: VoiceKind) {
        let Some(answer) = self.earlier.as_mut().and_then(Later::answer) else {
            return;
        };
        self.earlier = None;
        let Ok(known) = answer else { return };
        let last = |vowel| {
            let mine = known.iter().rev().find(|m| m.vowel == vowel && m.word.is_none());
            mine.and_then(|m| Some([m.f1 as f32, m.f2 as f32, m.f3? as f32]))
        };
        if let [Some(ee), Some(ah), Some(oo)] = CORNERS.map(last)
            && self.corners.is_empty()
        {
            self.fit = VoiceFit::new(&[ee, ah, oo], voice).ok();
        }
    }

    /// Takes a corner when one has been held; after the third, fits.
    fn learn(&mut self, held: Option<VowelHold>, shared: &mut Shared) {
        let steady = held.filter(|h| h.seconds >= HOLD_S && h.spread.iter().all(|s| *s <= STEADY));
        let Some(steady) = steady.filter(|_| self.let_go) else {
            return;
        };
        self.corners.push(steady.hz);
        self.let_go = false;
        self.trouble = None;
        keep(shared, self.corners.len() - 1, &steady);
        if let [ee, ah, oo] = self.corners[..] {
            match VoiceFit::new(&[ee, ah, oo], shared.prefs.voice) {
                Ok(fit) => self.fit = Some(fit),
                Err(line) => {
                    self.trouble = Some(line.to_owned());
                    self.corners.clear();
                }
            }
        }
    }

    fn line(&mut self, ui: &mut Ui, running: bool, held: Option<VowelHold>, aim: (VoiceKind, &'static SoundEntry)) {
        if let Some(line) = &self.trouble {
            parts::banner(ui, BannerTone::Care, line);
        }
        let Some(fit) = self.fit else {
            self.corner(ui, running, held);
            return;
        };
        ui.horizontal_wrapped(|ui| {
            match &held {
                // The third corner is still being held: it is taken, and no vowel of its own.
                Some(_) if !self.let_go && !self.corners.is_empty() => took(ui, "All three are there. Now any vowel."),
                Some(held) => nearest(ui, held, fit, aim),
                None => drop(ui.label("Say any vowel and hold it.")),
            }
            if parts::Button::both(Icon::Undo, "New voice").quiet().show(ui).clicked() {
                (self.fit, self.let_go) = (None, true);
                self.corners.clear();
            }
        });
        // The line is there all the time, so that the chart does not jump.
        let figures = held.as_ref().map_or_else(|| "–".to_owned(), figures);
        parts::note(ui, &figures);
    }

    /// The corners that are taken, and the next.
    fn corner(&self, ui: &mut Ui, running: bool, held: Option<VowelHold>) {
        let at = self.corners.len();
        ui.horizontal_wrapped(|ui| {
            for (i, vowel) in CORNERS.into_iter().enumerate() {
                mark(ui, inventory::of(vowel).shown(), i < at);
            }
            ui.add_space(8.0);
            match at.checked_sub(1).filter(|_| !self.let_go) {
                Some(last) => {
                    let line = format!(
                        "\u{201c}{}\u{201d} is there. Breathe, then comes the next.",
                        inventory::of(CORNERS[last]).shown()
                    );
                    took(ui, &line);
                }
                None => corner_line(ui, running, at, held),
            }
        });
    }

    fn dot(&self) -> Option<Dot> {
        let fit = self.fit.unwrap_or(VoiceFit::NONE);
        let voiced = self.readings.iter().rev().take(24).rev().filter_map(|r| r.vowel);
        let trail: Vec<[f32; 2]> = voiced.map(|(_, hz)| fit.apply(hz)).map(|hz| [hz[0], hz[1]]).collect();
        let now = self.readings.last().is_some_and(|r| r.vowel.is_some());
        self.fit.filter(|_| !trail.is_empty()).map(|_| Dot { trail, now })
    }
}

/// A corner: ticked once it is taken.
fn mark(ui: &mut Ui, letters: &str, taken: bool) {
    let p = palette(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(52.0, 30.0), Sense::hover());
    let name = if taken {
        format!("{letters}: taken")
    } else {
        format!("{letters}: to come")
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    let (fill, ink) = if taken { (p.good_wash, p.good) } else { (p.well, p.soft) };
    ui.painter().rect_filled(rect, 10, fill);
    let square = Rect::from_center_size(rect.left_center() + vec2(13.0, 0.0), vec2(14.0, 14.0));
    if taken {
        icons::paint(ui.painter(), Icon::Done, square, ink);
    } else {
        ui.painter().circle_stroke(square.center(), 5.0, Stroke::new(1.5, ink));
    }
    let at = rect.left_center() + vec2(25.0, 0.0);
    ui.painter()
        .text(at, Align2::LEFT_CENTER, letters, theme::bold_font(16.0), ink);
}

/// What went well, with a tick.
fn took(ui: &mut Ui, line: &str) {
    let good = palette(ui).good;
    let (rect, _) = ui.allocate_exact_size(vec2(20.0, 20.0), Sense::hover());
    icons::paint(ui.painter(), Icon::Done, rect, good);
    ui.label(RichText::new(line).font(theme::bold_font(17.0)).color(good));
}

/// Asks for the next corner, with how long it has been held, and why it is not taken yet.
fn corner_line(ui: &mut Ui, running: bool, at: usize, held: Option<VowelHold>) {
    let entry = inventory::of(CORNERS[at.min(2)]);
    if !running {
        ui.label("Opening the microphone …");
        return;
    }
    ui.label(format!("{} of 3: say", at + 1));
    let p = palette(ui);
    ui.label(RichText::new(entry.shown()).font(theme::bold_font(22.0)).color(p.lead));
    ui.label(format!("as in {} and hold it", super::key_word(entry)));
    let share = held.map_or(0.0, |h| (h.seconds / HOLD_S).min(1.0));
    ui.add(egui::ProgressBar::new(share).desired_width(90.0).desired_height(12.0));
    if let Some(held) = held {
        parts::note(ui, not_yet(&held));
    }
}

/// Why a corner that is being said is not taken yet.
fn not_yet(held: &VowelHold) -> &'static str {
    match held.seconds >= HOLD_S {
        true => "hold it steadier: the mouth still moves",
        false => "a little longer",
    }
}

/// The vowel of the chart that it comes nearest to, or the two that it lies between; with a tick where that is the one aimed at,
/// else what would bring it there.
fn nearest(ui: &mut Ui, held: &VowelHold, fit: VoiceFit, (voice, picked): (VoiceKind, &'static SoundEntry)) {
    let near = formant::nearest(fit.apply(held.hz), voice);
    let Some(name) = formant::named(&near) else { return };
    let text = match name {
        VowelName::One(vowel) => format!("near {}", spoken(vowel)),
        VowelName::Between(one, other) => format!("between {} and {}", spoken(one), spoken(other)),
    };
    let aimed = |vowel: Sound| std::ptr::eq(inventory::of(vowel), picked);
    if let VowelName::One(vowel) = name
        && aimed(vowel)
    {
        took(ui, &format!("{text}: that is it."));
        return;
    }
    ui.label(RichText::new(text).font(theme::bold_font(17.0)));
    if let Some(way) = toward(fit.apply(held.hz), voice, picked) {
        parts::note(
            ui,
            &format!("For {} as in {}: {way}.", picked.letters(), super::key_word(picked)),
        );
    }
}

/// What brings a vowel nearer to the one aimed at: the jaw by F1, the tongue by F2, whichever is further off. F1 rises as the
/// mouth opens, F2 as the tongue comes forward (a fact of the trade: Peterson and Barney 1952). None for sounds that are not in the
/// table of vowels.
fn toward(hz: [f32; 3], voice: VoiceKind, picked: &SoundEntry) -> Option<&'static str> {
    let [vowel] = picked.arpabet.sounds() else { return None };
    let norm = NORMS.iter().find(|n| n.voice == voice && n.vowel == *vowel)?;
    let off = |k: usize| (norm.means_hz[k] / hz[k]).ln();
    Some(match (off(0).abs() >= off(1).abs(), off(0) > 0.0, off(1) > 0.0) {
        (true, true, _) => "open the mouth a little more",
        (true, false, _) => "close the mouth a little",
        (false, _, true) => "bring the tongue forward",
        (false, _, false) => "draw the tongue back",
    })
}

/// A vowel as the line names it: its sign and its key word.
fn spoken(vowel: Sound) -> String {
    let entry = inventory::of(vowel);
    format!("/{}/ {}", entry.ipa, super::key_word(entry))
}

/// What was measured, and how steadily it is held.
fn figures(held: &VowelHold) -> String {
    let spread = 100.0 * held.spread[0].max(held.spread[1]);
    let steady = if spread <= 5.0 { "steady" } else { "moving" };
    format!(
        "{steady}, held {:.1} s within {:.0} %; F1 {:.0} Hz, F2 {:.0} Hz, pitch {:.0} Hz",
        held.seconds,
        spread.max(1.0).ceil(),
        held.hz[0],
        held.hz[1],
        held.pitch
    )
}

/// Keeps a corner with the learner in hand, if there is one.
fn keep(shared: &Shared, at: usize, held: &VowelHold) {
    let Some(learner) = &shared.learner else { return };
    let Some(vowel) = CORNERS.get(at) else { return };
    // The notebook gives a measure its own name.
    let Ok(id) = "0".repeat(32).parse() else { return };
    let measure = VowelMeasure {
        id,
        at: crate::notebook::Moment::now(),
        day: jiff::Zoned::now().date(),
        vowel: *vowel,
        word: None,
        f0: Some(f64::from(held.pitch)),
        f1: f64::from(held.hz[0]),
        f2: f64::from(held.hz[1]),
        f3: Some(f64::from(held.hz[2])),
        recording: None,
    };
    let learner = learner.id;
    // Whether it was kept changes nothing here: the corners in hand are used either way.
    drop(shared.notebook.ask(move |n| n.keep_vowel(learner, &measure)));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Peterson and Barney 1952, by way of the pooled table: the vowel of bed has a higher F1 than that of pig, and the vowel of
    /// moon a lower F2 than that of feet.
    #[test]
    fn what_brings_a_vowel_nearer_is_said_by_jaw_and_tongue() {
        let norm = |v: Sound| {
            NORMS
                .iter()
                .find(|n| n.voice == VoiceKind::Child && n.vowel == v)
                .expect("there")
                .means_hz
        };
        let hz = |v: Sound| [norm(v)[0], norm(v)[1], norm(v)[2]];
        let way = |said: Sound, aim: Sound| toward(hz(said), VoiceKind::Child, inventory::of(aim));
        assert_eq!(way(Sound::IH, Sound::EH), Some("open the mouth a little more"));
        assert_eq!(way(Sound::AE, Sound::IY), Some("close the mouth a little"));
        assert_eq!(way(Sound::IY, Sound::UW), Some("draw the tongue back"));
        assert_eq!(way(Sound::UW, Sound::IY), Some("bring the tongue forward"));
        assert_eq!(way(Sound::IY, Sound::T), None);
    }
}
