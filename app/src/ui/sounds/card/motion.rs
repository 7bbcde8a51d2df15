//! The mouth of a sound, still or on its way to another.

use egui::{Key, Modifiers, RichText, Role, Sense, Ui, WidgetInfo, vec2};
use soundbead_data::inventory::SoundEntry;
use soundbead_dsp::formant::VoiceKind;

use crate::chart;
use crate::mouth::{self, Articulation};
use crate::ui::icons::Icon;
use crate::ui::parts;
use crate::ui::shared::Shared;
use crate::ui::sounds::{key_word, mouth as paint, spoken, tile};
use crate::ui::theme::palette;

/// Seconds from one articulation to the next.
const STEP_S: f32 = 1.1;

/// A mouth and where it is going.
pub struct Motion {
    from: &'static SoundEntry,
    to: Option<&'static SoundEntry>,
    poses: Vec<Articulation>,
    /// Where it is, 0 to 1 over all poses.
    at: f32,
    playing: bool,
    /// Whether the next sound picked is the one to turn into.
    aiming: bool,
}

impl Motion {
    /// The mouth of one sound.
    pub fn of(entry: &'static SoundEntry) -> Motion {
        Motion {
            from: entry,
            to: None,
            poses: mouth::movement(entry),
            at: 0.0,
            playing: false,
            aiming: false,
        }
    }

    /// Whether the next sound picked is the one to turn into.
    pub fn is_aiming(&self) -> bool {
        self.aiming
    }

    /// Takes `entry` as the sound to turn into, if one is being chosen.
    pub fn aim(&mut self, entry: &'static SoundEntry) -> bool {
        if !self.aiming {
            return false;
        }
        self.aiming = false;
        self.to = Some(entry);
        self.poses = [mouth::movement(self.from), mouth::movement(entry)].concat();
        (self.at, self.playing) = (0.0, true);
        true
    }

    fn pose(&self) -> Articulation {
        let legs = self.poses.len() - 1;
        if legs == 0 {
            return self.poses[0];
        }
        let along = self.at * legs as f32;
        let leg = (along as usize).min(legs - 1);
        self.poses[leg].towards(&self.poses[leg + 1], along - leg as f32)
    }

    /// F1 and F2 on the way, if it goes from vowel to vowel or the vowel moves by itself.
    pub fn formants(&self, voice: VoiceKind) -> Option<[f32; 2]> {
        if self.poses.len() < 2 || (self.at == 0.0 && !self.playing) {
            return None;
        }
        let mut stops = Vec::new();
        for entry in [Some(self.from), self.to].into_iter().flatten() {
            let way = chart::way(entry, voice)?;
            stops.push(way.from_hz);
            stops.extend(way.to_hz);
        }
        let legs = stops.len() - 1;
        let along = self.at * legs as f32;
        let leg = (along as usize).min(legs.saturating_sub(1));
        let (a, b) = (stops[leg], stops[(leg + 1).min(legs)]);
        let share = along - leg as f32;
        let s = share * share * (3.0 - 2.0 * share);
        Some(std::array::from_fn(|k| a[k] * (b[k] / a[k]).powf(s)))
    }

    /// Shows it with what sets it going.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        self.run(ui);
        let pose = self.pose();
        ui.horizontal_top(|ui| {
            let side = (ui.available_width() - 168.0).clamp(180.0, 250.0);
            let (rect, response) = ui.allocate_exact_size(vec2(side, side), Sense::hover());
            response.widget_info(|| WidgetInfo::labeled(Role::Image, true, described(self.from, &pose)));
            ui.painter().rect_filled(rect, 14, palette(ui).well);
            paint::paint(ui, rect, &mouth::side(&pose));
            paint::round_off(ui, rect, 14.0, palette(ui).card);
            ui.vertical(|ui| front(ui, &pose));
        });
        self.controls(ui, shared);
    }

    fn run(&mut self, ui: &Ui) {
        if !self.playing {
            return;
        }
        let legs = (self.poses.len() - 1).max(1) as f32;
        self.at += ui.input(|i| i.stable_dt).min(0.1) / (legs * STEP_S);
        if self.at >= 1.0 {
            (self.at, self.playing) = (1.0, false);
        }
        ui.ctx().request_repaint();
    }

    fn controls(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let moves = self.poses.len() > 1;
        ui.horizontal(|ui| {
            let free = ui.ctx().memory(|m| m.focused().is_none());
            let space = moves && free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Space));
            if moves {
                shared.key("Space", "watch the mouth move, hold it");
                let (icon, name) = if self.playing {
                    (Icon::Pause, "Hold the mouth")
                } else {
                    (Icon::Play, "Watch the mouth move")
                };
                if parts::Button::icon(icon, name).key("Space").show(ui).clicked() || space {
                    self.at = if self.at >= 1.0 { 0.0 } else { self.at };
                    self.playing = !self.playing;
                }
                ui.spacing_mut().slider_width = 130.0;
                let slider = egui::Slider::new(&mut self.at, 0.0..=1.0).show_value(false);
                let response = ui.add(slider).accessible_name("How far the mouth has moved");
                self.playing &= !response.dragged();
            }
            let text = match (self.aiming, self.to) {
                (true, _) => "Pick a sound on the chart".to_owned(),
                (false, Some(to)) => format!("into /{}/ {}", to.ipa, key_word(to)),
                (false, None) => "Turn into …".to_owned(),
            };
            let button = parts::Button::text(&text).selected(self.aiming);
            if parts::hint(button.show(ui), "Watch the mouth go from this sound to another").clicked() {
                self.aiming = !self.aiming;
            }
        });
    }
}

/// The lips from the front, and what the voice and the nose do, in words.
fn front(ui: &mut Ui, pose: &Articulation) {
    let p = palette(ui);
    let wide = ui.available_width().min(150.0);
    let (rect, response) = ui.allocate_exact_size(vec2(wide, wide * 0.9), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "The lips from the front"));
    ui.painter().rect_filled(rect, 14, p.well);
    let square = egui::Rect::from_center_size(rect.center(), egui::Vec2::splat(wide * 1.3));
    paint::paint_part(ui, square, rect, &mouth::lips(pose));
    paint::round_off(ui, rect, 14.0, p.card);
    ui.spacing_mut().item_spacing.y = 2.0;
    let voice = if pose.voice > 0.5 { "voice on" } else { "voice off" };
    ui.horizontal(|ui| {
        ui.spacing_mut().interact_size.y = 22.0;
        ui.label(RichText::new(voice).size(15.0));
        if pose.voice > 0.5 {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
            tile::buzz(ui, rect.center(), p.warm);
        }
    });
    let air = match (pose.nose > 0.5, pose.breath > 0.5) {
        (true, _) => "air by the nose",
        (false, true) if pose.hiss > 0.5 => "air hisses out",
        (false, true) => "air flows out",
        (false, false) => "air held, then let go",
    };
    ui.label(RichText::new(air).size(15.0));
}

/// The drawing in words.
fn described(entry: &SoundEntry, pose: &Articulation) -> String {
    let lips = match (pose.lips, pose.round) {
        (l, _) if l < 0.03 => "lips shut",
        _ if pose.tuck > 0.5 => "bottom lip under the top teeth",
        (_, r) if r > 0.4 => "lips round",
        (_, r) if r < -0.4 => "lips wide",
        _ => "lips apart",
    };
    let tongue = match (pose.high > 0.65, pose.back > 0.5) {
        _ if pose.tip_high > 0.8 && pose.tip < 0.5 => "tongue tip between the teeth",
        _ if pose.tip_high > 0.8 => "tongue tip up behind the teeth",
        (true, true) => "tongue high at the back",
        (true, false) => "tongue high at the front",
        (false, true) => "tongue low and back",
        (false, false) => "tongue low",
    };
    let jaw = if pose.jaw > 0.55 {
        "jaw wide"
    } else {
        "jaw nearly closed"
    };
    format!("The mouth for {} from the side: {lips}, {tongue}, {jaw}", spoken(entry))
}
