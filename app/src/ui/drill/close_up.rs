//! A doubtful sound from close by: two mouths side by side, one cue, and model, self, model again.

use egui::{Id, Key, Modal, Modifiers, Rect, RichText, Role, Sense, Ui, Vec2, WidgetInfo, vec2};
use soundbead_data::inventory::SoundEntry;

use crate::drill::session::{CloseUpVoice, Intent, LessonSession};
use crate::drill::voice::A_COMPUTER_VOICE;
use crate::keyed::key_word;
use crate::mouth::{self, Articulation};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::sounds::mouth as paint;
use crate::ui::theme::{self, palette};

/// Largest and smallest side of a mouth from the side, in points.
const SIDE: std::ops::RangeInclusive<f32> = 110.0..=260.0;
/// What stands over and under the mouths, in points.
const AROUND: f32 = 330.0;
/// Seconds from one articulation to the next, in sounds that move, and how long the last is held.
const STEP_S: f64 = 1.1;
const HOLD_S: f64 = 0.8;

/// What is heard in turn, with what stands on the buttons and their keys.
const TURN: [(CloseUpVoice, &str, &str, Key); 3] = [
    (CloseUpVoice::Model, "The model", "1", Key::Num1),
    (CloseUpVoice::Own, "Yourself", "2", Key::Num2),
    (CloseUpVoice::ModelAgain, "The model again", "3", Key::Num3),
];

/// Shows it over the lesson, while a sound is looked at.
pub fn show(ui: &Ui, session: &LessonSession, out: &mut Vec<Intent>) {
    let Some((close_up, last)) = session.close_up() else {
        return;
    };
    let modal = Modal::new(Id::unique("close up")).show(ui.ctx(), |ui| {
        let screen = ui.ctx().content_rect();
        ui.set_width((screen.width() - 60.0).min(820.0));
        ui.spacing_mut().item_spacing.y = 8.0;
        ui.vertical_centered(|ui| {
            ui.label(RichText::new(close_up.question()).font(theme::bold_font(24.0)));
        });
        let side = (screen.height() - AROUND).clamp(*SIDE.start(), *SIDE.end());
        match close_up.other() {
            None => mouth(ui, close_up.entry, side),
            Some(other) => ui.columns(2, |columns| {
                mouth(&mut columns[0], close_up.entry, side);
                mouth(&mut columns[1], other, side);
                columns[1].vertical_centered(|ui| {
                    let name = format!("Hear {}", other.shown());
                    if Button::both(Icon::Speaker, &name).quiet().show(ui).clicked() {
                        out.push(Intent::HearClose(CloseUpVoice::Other));
                    }
                });
            }),
        }
        ui.vertical_centered(|ui| ui.label(RichText::new(close_up.cue).size(18.0)));
        parts::row_in_the_middle(ui, "turn", |ui| turn(ui, last, out));
        ui.vertical_centered(|ui| {
            parts::note(ui, session.no_sound().unwrap_or(A_COMPUTER_VOICE));
            if Button::both(Icon::Done, "Back to the word")
                .quiet()
                .key("Esc")
                .show(ui)
                .clicked()
            {
                out.push(Intent::CloseUp(None));
            }
        });
    });
    if modal.should_close() {
        out.push(Intent::CloseUp(None));
    }
}

/// Model, self, model again; the one whose turn it is leads.
fn turn(ui: &mut Ui, last: Option<CloseUpVoice>, out: &mut Vec<Intent>) {
    let now = match last {
        Some(CloseUpVoice::Model) => 1,
        Some(CloseUpVoice::Own) => 2,
        None | Some(CloseUpVoice::ModelAgain | CloseUpVoice::Other) => 0,
    };
    for (i, (what, text, key, code)) in TURN.into_iter().enumerate() {
        let button = Button::both(Icon::Play, text).key(key);
        let button = if i == now { button.lead() } else { button };
        let typed = ui.input_mut(|input| input.consume_key(Modifiers::NONE, code));
        if button.show(ui).clicked() || typed {
            out.push(Intent::HearClose(what));
        }
    }
}

/// The mouth of a sound from the side and from the front, under its letters and a word.
fn mouth(ui: &mut Ui, entry: &'static SoundEntry, side: f32) {
    let p = palette(ui);
    let pose = pose(ui, entry);
    ui.vertical_centered(|ui| {
        ui.label(RichText::new(format!("{}  as in {}", entry.letters(), key_word(entry))).font(theme::bold_font(19.0)));
        let width = (ui.available_width() - 8.0).min(side * 1.55);
        let (rect, response) = ui.allocate_exact_size(vec2(width, side.min(width / 1.5)), Sense::hover());
        let name = format!("The mouth of {} from the side and from the front", entry.shown());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
        let square = Rect::from_min_size(rect.min, Vec2::splat(rect.height()));
        ui.painter().rect_filled(square, 14, p.well);
        paint::paint(ui, square, &mouth::side(&pose));
        let left = square.right() + 6.0;
        let beside = Rect::from_min_max(egui::pos2(left, rect.top()), rect.max);
        let around = Rect::from_center_size(beside.center(), Vec2::splat(beside.width() * 1.25));
        let lips = beside.intersect(around);
        ui.painter().rect_filled(lips, 14, p.well);
        let mut clipped = ui.new_child(egui::UiBuilder::new().max_rect(lips));
        clipped.set_clip_rect(lips.intersect(ui.clip_rect()));
        paint::paint(&clipped, around, &mouth::lips(&pose));
    });
}

/// How the mouth stands now: sounds that move go from pose to pose, again and again.
fn pose(ui: &Ui, entry: &SoundEntry) -> Articulation {
    let poses = mouth::movement(entry);
    let legs = poses.len().saturating_sub(1);
    if legs == 0 {
        return poses[0];
    }
    ui.ctx().request_repaint();
    let round = legs as f64 * STEP_S + HOLD_S;
    let along = ((ui.input(|i| i.time) % round) / STEP_S).min(legs as f64) as f32;
    let leg = (along as usize).min(legs - 1);
    poses[leg].towards(&poses[leg + 1], along - leg as f32)
}
