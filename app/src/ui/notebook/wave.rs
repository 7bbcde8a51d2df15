//! A recording as it is seen: its sounds at their places over the waveform.

use egui::{Align2, Color32, Mesh, Pos2, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use soundbead_data::inventory;
use soundbead_dsp::judgement::Placed;

use crate::notebook::{NoteSubject, NotedMoment};
use crate::review::opened::{AttemptRecording, OpenedAttempt};
use crate::ui::parts;
use crate::ui::theme::{self, palette};

/// Evidence under which a sound is marked as one to listen for.
const DOUBT: f32 = 0.5;
const STRIP: f32 = 40.0;
const WAVE: f32 = 78.0;

/// What was asked of a recording.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WaveAction {
    /// Play from here to there, in seconds.
    Play(f32, f32),
}

/// Shows the recording; a sound that is touched is asked to be played. `playing_s` is where it is playing.
pub fn show(ui: &mut Ui, opened: &OpenedAttempt, playing_s: Option<f32>) -> Option<WaveAction> {
    let p = palette(ui);
    let sound = match &opened.sound {
        Ok(sound) => sound,
        Err(line) => {
            parts::note(ui, line);
            return None;
        }
    };
    let placed = opened.judgement.as_ref().map_or(&[][..], |j| &j.sounds);
    let strip = if placed.is_empty() { 0.0 } else { STRIP };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), strip + WAVE), Sense::hover());
    let name = format!("Waveform of {}, {:.2} seconds", opened.attempt.word, sound.seconds());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    let (from, to) = opened.reach();
    let x = |s: f32| rect.left() + (s - from) / (to - from).max(0.01) * rect.width();
    let well = Rect::from_min_max(rect.min + vec2(0.0, strip), rect.max);
    ui.painter().rect_filled(well, 10.0, p.well);
    ui.painter().add(Shape::mesh(wave(sound, (from, to), well, p.lead)));
    let mut out = None;
    for (i, one) in placed.iter().enumerate() {
        let block = Rect::from_min_max(
            pos2(x(one.start_s) + 1.0, rect.top()),
            pos2((x(one.end_s) - 1.0).max(x(one.start_s) + 4.0), rect.top() + STRIP - 4.0),
        );
        if self::block(ui, opened, i, one, block.intersect(rect)) {
            out = Some(WaveAction::Play((one.start_s - 0.015).max(0.0), one.end_s + 0.015));
        }
        let edge = Stroke::new(1.0, p.edge.gamma_multiply(0.7));
        ui.painter()
            .vline(x(one.start_s).max(rect.left()), well.y_range(), edge);
    }
    // Where notes on this attempt point, a bar at the foot.
    let own = opened
        .notes
        .iter()
        .filter(|n| n.on == NoteSubject::Attempt(opened.attempt.id));
    for (from_s, to_s) in own.filter_map(|n| n.body.moment).map(NotedMoment::seconds) {
        let at = |s: f32| x(s).clamp(rect.left(), rect.right());
        let foot = well.bottom() - 3.0;
        ui.painter()
            .hline(at(from_s)..=at(to_s), foot, Stroke::new(5.0, p.warm));
    }
    if let Some(at) = playing_s {
        let at = x(at).clamp(rect.left(), rect.right());
        ui.painter().vline(at, well.y_range(), Stroke::new(2.5, p.warm));
    }
    out
}

/// One sound of the strip; whether it was touched.
fn block(ui: &mut Ui, opened: &OpenedAttempt, i: usize, placed: &Placed, rect: Rect) -> bool {
    let p = palette(ui);
    let entry = inventory::of(placed.sound);
    let doubt = placed.sure() < DOUBT;
    let response = ui.interact(
        rect,
        ui.scope_id().with(("sound", opened.attempt.id, i)),
        Sense::click(),
    );
    let clear = if doubt { "listen for it" } else { "clear" };
    let name = format!(
        "Hear sound {} of {}: {}, {clear}",
        i + 1,
        opened.attempt.word,
        entry.shown()
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let (fill, edge) = if doubt {
        (p.warm_wash, p.warm)
    } else {
        (p.lead_wash, p.lead)
    };
    let width = if response.hovered() { 2.5 } else { 1.0 };
    ui.painter()
        .rect(rect, 8.0, fill, Stroke::new(width, edge), StrokeKind::Inside);
    if doubt {
        // Said by shape as well as by colour.
        let line = [
            rect.left_bottom() + vec2(6.0, -5.0),
            rect.right_bottom() + vec2(-6.0, -5.0),
        ];
        ui.painter().extend(Shape::dotted_line(&line, p.warm, 7.0, 2.0));
    }
    if rect.width() > 14.0 {
        let font = theme::bold_font(if rect.width() > 30.0 { 18.0 } else { 13.0 });
        ui.painter()
            .text(rect.center(), Align2::CENTER_CENTER, entry.letters(), font, p.ink);
    }
    parts::ring(ui, &response, rect, 8);
    response.clicked()
}

fn wave(sound: &AttemptRecording, (from, to): (f32, f32), rect: Rect, colour: Color32) -> Mesh {
    let peak = sound.wave.iter().fold(0.05f32, |m, (a, b)| m.max(-a).max(*b));
    let each = sound.seconds() / sound.wave.len().max(1) as f32;
    let x = |s: f32| rect.left() + (s - from) / (to - from).max(0.01) * rect.width();
    let y = |v: f32| rect.center().y - v / peak * rect.height() * 0.46;
    let mut mesh = Mesh::default();
    for (i, (low, high)) in sound.wave.iter().enumerate() {
        let (a, b) = (i as f32 * each, (i + 1) as f32 * each);
        if b < from || a > to {
            continue;
        }
        let top: Pos2 = pos2(x(a).max(rect.left()), y(*high) - 0.6);
        let bar = Rect::from_min_max(top, pos2(x(b).min(rect.right()), y(*low) + 0.6));
        mesh.add_colored_rect(bar, colour);
    }
    mesh
}
