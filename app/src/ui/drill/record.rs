//! The foot of the beads: how to say it, the record button, the level, and the ways without a microphone.

use egui::{Color32, Mesh, Rect, RichText, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};
use soundbead_dsp::judgement::Speaking;

use super::{Scene, room};
use crate::drill::session::Intent;
use crate::recorder::{NOISY_ROOM_DBFS, Recorder, Stage};
use crate::ui::icons::{self, Icon};
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::theme::{self, palette};

/// Levels at the ends of the meter, in dBFS.
const METER: std::ops::RangeInclusive<f32> = -60.0..=0.0;
/// Above this it is too loud, in dBFS; below the other, too soft to be heard well.
const LOUD_DBFS: f32 = -3.0;
const SOFT_DBFS: f32 = -42.0;
/// Hundredths of a second of the sound that are shown while it comes in.
const SHOWN: usize = 400;

/// Width of the row of ways to say it, in points; of its caption, and the room from which it has one.
const WAYS: f32 = 360.0;
const CAPTION: f32 = 92.0;
const CAPTIONED: f32 = 760.0;

/// Shows it; `tall` where there is height to spread.
pub fn show(ui: &mut Ui, scene: &Scene, tall: bool, out: &mut Vec<Intent>) {
    let recorder = scene.recorder;
    let running = recorder.stage() != Stage::Idle;
    if running {
        stop(ui, scene, out);
        coming_in(ui, recorder);
    } else if tall {
        let captioned = ui.available_width() > CAPTIONED;
        let width = WAYS + if captioned { CAPTION } else { 0.0 };
        centred(ui, width, |ui| ways(ui, scene, captioned, out));
        ui.add_space(6.0);
        ui.vertical_centered(|ui| {
            if record(ui, vec2(232.0, 72.0) * room::grown(ui).min(1.2)).clicked() {
                out.push(Intent::Record);
            }
        });
    } else {
        let size = if room::low(ui) {
            vec2(150.0, 52.0)
        } else {
            vec2(176.0, 56.0)
        };
        centred(ui, WAYS + size.x + 14.0, |ui| {
            ways(ui, scene, false, out);
            if record(ui, size).clicked() {
                out.push(Intent::Record);
            }
        });
    }
    if let Some(notice) = scene.session.notice() {
        let tone = if notice.failed {
            BannerTone::Alarm
        } else {
            BannerTone::Care
        };
        parts::banner(ui, tone, &notice.text);
    }
    if let Some(line) = scene.session.no_sound() {
        let line = format!("{line} Or hold W to see the word, and say it yourself.");
        parts::banner(ui, BannerTone::Care, &line);
    }
    if recorder.room_dbfs().is_some_and(|n| n > NOISY_ROOM_DBFS) {
        parts::banner(
            ui,
            BannerTone::Care,
            "The room is rather loud. A quieter place would help the ear.",
        );
    }
}

/// A row of about `width` points in the middle.
fn centred(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.add_space(((ui.available_width() - width) / 2.0).max(0.0));
        add(ui);
    });
}

/// The large button.
fn record(ui: &mut Ui, size: egui::Vec2) -> egui::Response {
    let p = palette(ui);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), "Record"));
    let near = response.hovered() || response.is_pointer_button_down_on();
    let fill = if near {
        p.lead.lerp_to_gamma(p.ink, 0.15)
    } else {
        p.lead
    };
    ui.painter().rect_filled(rect, 36.0, fill);
    let square = Rect::from_center_size(rect.center() - vec2(size.x * 0.25, 0.0), vec2(30.0, 30.0));
    icons::paint(ui.painter(), Icon::Microphone, square, p.on_lead);
    let at = rect.center() + vec2(16.0, 0.0);
    ui.painter().text(
        at,
        egui::Align2::CENTER_CENTER,
        "Record",
        theme::bold_font((size.y * 0.4).min(25.0)),
        p.on_lead,
    );
    parts::ring(ui, &response, rect, 36);
    parts::hint_besides(response, "Record   Space")
}

/// While it records: what it does, how loud it is, and the ways to end it.
fn stop(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    ui.horizontal(|ui| {
        if Button::both(Icon::Stop, "That was it")
            .name("Stop recording")
            .key("Space")
            .show(ui)
            .clicked()
        {
            out.push(Intent::Stop);
        }
        if Button::text("Cancel").quiet().key("Esc").show(ui).clicked() {
            out.push(Intent::Cancel);
        }
        meter(ui, scene.recorder);
        let line = match (scene.recorder.stage(), scene.session.modelling()) {
            (Stage::Waiting, true) => "Now say it for the child to hear.",
            _ => state(scene.recorder),
        };
        ui.label(RichText::new(line).font(theme::bold_font(24.0)));
    });
}

fn ways(ui: &mut Ui, scene: &Scene, captioned: bool, out: &mut Vec<Intent>) {
    let mut way = scene.lesson.speaking();
    if captioned {
        ui.label(RichText::new("You say it:").color(palette(ui).soft));
    }
    let options = [
        (Speaking::Whole, "Whole"),
        (Speaking::Stretched, "Drawn out"),
        (Speaking::Separate, "Sound by sound"),
    ];
    if parts::choice(ui, "Say it", &mut way, &options) {
        out.push(Intent::Say(way));
    }
}

/// What the recorder is doing, in the child's words.
fn state(recorder: &Recorder) -> &'static str {
    match recorder.stage() {
        Stage::Idle => "",
        Stage::Opening => "One moment ...",
        Stage::Checking => "Quiet, please: listening to the room.",
        Stage::Waiting => "Now say it.",
        Stage::Hearing => "Listening.",
    }
}

/// The level: a bar, the highest peak, and a word, since a colour alone tells not everyone.
fn meter(ui: &mut Ui, recorder: &Recorder) {
    let p = palette(ui);
    let meter = recorder.meter();
    let (rect, response) = ui.allocate_exact_size(vec2(220.0, 26.0), Sense::hover());
    let share = |dbfs: f32| ((dbfs - METER.start()) / (METER.end() - METER.start())).clamp(0.0, 1.0);
    let (word, colour) = match (meter.held_dbfs(), meter.clipped()) {
        (_, true) => ("too loud", p.alarm),
        (peak, _) if peak > LOUD_DBFS => ("loud", p.care),
        (peak, _) if peak < SOFT_DBFS && recorder.stage() == Stage::Hearing => ("soft", p.care),
        _ => ("", p.lead),
    };
    let name = if word.is_empty() {
        "Level".to_owned()
    } else {
        format!("Level: {word}")
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Meter, true, &name));
    let painter = ui.painter();
    painter.rect_filled(rect, 13.0, p.well);
    let filled = Rect::from_min_size(rect.min, vec2(rect.width() * share(meter.rms_dbfs()), rect.height()));
    painter.rect_filled(filled, 13.0, colour);
    let x = rect.left() + rect.width() * share(meter.held_dbfs());
    painter.vline(x, rect.y_range(), Stroke::new(3.0, p.ink));
    painter.rect_stroke(rect, 13.0, Stroke::new(1.0, p.edge), egui::StrokeKind::Inside);
    if !word.is_empty() {
        painter.text(
            rect.center(),
            egui::Align2::CENTER_CENTER,
            word,
            theme::bold_font(15.0),
            p.ink,
        );
    }
}

/// The sound as it comes in: one mesh a frame, from peaks that were measured when they came.
fn coming_in(ui: &mut Ui, recorder: &Recorder) {
    let p = palette(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 64.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "The sound as it comes in"));
    ui.painter().rect_filled(rect, 12.0, p.well);
    let peaks = recorder.follow().peaks();
    let from = peaks.len().saturating_sub(SHOWN);
    let step = rect.width() / SHOWN as f32;
    let bar = |(i, peak): (usize, &f32)| {
        let height = (peak.powf(0.7) * rect.height() * 0.9).max(2.0);
        let x = rect.left() + i as f32 * step;
        Rect::from_center_size(pos2(x + step / 2.0, rect.center().y), vec2(step * 0.8, height))
    };
    let bars = peaks[from..].iter().enumerate().map(bar);
    ui.painter().add(bars_mesh(bars, p.lead));
}

/// Many filled rectangles as one shape.
pub fn bars_mesh(bars: impl Iterator<Item = Rect>, colour: Color32) -> Shape {
    let mut mesh = Mesh::default();
    bars.for_each(|bar| mesh.add_colored_rect(bar, colour));
    Shape::mesh(mesh)
}
