//! The recording as it can be seen and touched: its sounds at their times over waveform and spectrogram.

use std::sync::Arc;

use egui::{Color32, ColorImage, Mesh, Rect, Role, Sense, Shape, Stroke, TextureHandle, TextureOptions, Ui};
use egui::{WidgetInfo, pos2, vec2};
use soundbead_data::inventory;
use soundbead_dsp::judgement::Placed;

use super::{Scene, beads, room};
use crate::drill::Try;
use crate::drill::close_up::doubtful;
use crate::drill::picture::{ROWS, TOP_HZ};
use crate::drill::session::Intent;
use crate::ui::parts;
use crate::ui::theme::{self, Palette, palette};

/// Seconds shown on each side of the word.
const MARGIN_S: f32 = 0.12;
const STRIP: f32 = 50.0;
const WAVE: f32 = 64.0;
/// Lowest and highest spectrogram, in points.
const GRAIN: std::ops::RangeInclusive<f32> = 48.0..=230.0;
/// What stands under the picture in the parent's view, in points.
const BELOW: f32 = 122.0;

/// What is kept between frames: drawn once for a recording, a place and a theme.
#[derive(Default)]
pub struct PictureCache {
    of: Option<(Arc<Try>, bool)>,
    texture: Option<TextureHandle>,
    wave: Option<(Rect, Arc<Mesh>)>,
}

/// The stretch of time that is shown.
struct TimeView {
    from: f32,
    to: f32,
    rect: Rect,
}

impl TimeView {
    fn x(&self, s: f32) -> f32 {
        self.rect.left() + (s - self.from) / (self.to - self.from) * self.rect.width()
    }
}

/// Shows the recording of `heard`.
pub fn show(ui: &mut Ui, scene: &Scene, heard: &Arc<Try>, cache: &mut PictureCache, out: &mut Vec<Intent>) {
    let placed = heard.judgement().map_or(&[][..], |j| &j.sounds);
    let (from, to) = reach(placed, heard.picture.seconds);
    let p = palette(ui);
    let strip = if placed.is_empty() { 0.0 } else { STRIP };
    let high = (room::in_view(ui) - strip - WAVE - BELOW).clamp(*GRAIN.start(), *GRAIN.end());
    // The child sees the wave alone.
    let grain = if scene.child { 0.0 } else { high };
    let high = WAVE * if scene.child { wave_grown(ui) } else { 1.0 };
    let size = vec2(ui.available_width(), strip + high + grain);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let view = TimeView { from, to, rect };
    let wave = Rect::from_min_size(rect.min + vec2(0.0, strip), vec2(rect.width(), high));
    let grain = Rect::from_min_max(wave.left_bottom(), rect.max);
    ui.painter().rect_filled(wave.union(grain), 10.0, p.well);
    cache.renew(ui, heard);
    if !scene.child {
        cache.grain(ui, heard, &view, grain);
    }
    cache.wave(ui, heard, &view, wave, p.lead);
    if scene.child {
        // As many beads as the word has sounds: not before the count is settled.
        if scene.lesson.work().count.settled() {
            beads_over(ui, scene, &view, placed, out);
        }
    } else {
        for (i, sound) in placed.iter().enumerate() {
            block(ui, &view, i, sound, out);
        }
    }
    if let Some(at) = scene.playing_s {
        let x = view.x(at).clamp(rect.left(), rect.right());
        ui.painter()
            .vline(x, wave.top()..=grain.bottom(), Stroke::new(2.5, p.warm));
    }
    if !scene.child {
        axis(ui, grain, &p);
    }
}

/// How much higher the child's wave is where there is room: it has no spectrum under it.
fn wave_grown(ui: &Ui) -> f32 {
    (room::in_view(ui) / 260.0).clamp(1.0, 2.4)
}

/// From a little before the first sound to a little after the last; all of it where none was placed.
fn reach(placed: &[Placed], seconds: f32) -> (f32, f32) {
    match (placed.first(), placed.last()) {
        (Some(a), Some(b)) => (
            (a.start_s - MARGIN_S).max(0.0),
            (b.end_s + MARGIN_S).min(seconds.max(b.end_s)),
        ),
        _ => (0.0, seconds.max(0.1)),
    }
}

/// One sound of the strip; touching it plays just it.
fn block(ui: &mut Ui, view: &TimeView, i: usize, placed: &Placed, out: &mut Vec<Intent>) {
    let p = palette(ui);
    let (a, b) = (view.x(placed.start_s), view.x(placed.end_s));
    let rect = Rect::from_min_max(
        pos2(a + 1.0, view.rect.top()),
        pos2((b - 1.0).max(a + 4.0), view.rect.top() + STRIP - 4.0),
    );
    let entry = inventory::of(placed.sound);
    let doubt = doubtful(placed);
    let response = ui.interact(rect, ui.scope_id().with(("sound", i)), Sense::click());
    let name = match doubt {
        true => format!("Look at sound {}: {}, listen for it", i + 1, entry.shown()),
        false => format!("Hear sound {}: {}, clear", i + 1, entry.shown()),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let (fill, ink) = if doubt {
        (p.warm_wash, p.ink)
    } else {
        (p.lead_wash, p.ink)
    };
    let edge = if doubt { p.warm } else { p.lead };
    let width = if response.hovered() { 2.5 } else { 1.0 };
    ui.painter()
        .rect(rect, 8.0, fill, Stroke::new(width, edge), egui::StrokeKind::Inside);
    if doubt {
        dashes(ui, rect, p.warm);
    }
    let text = entry.letters();
    if rect.width() > 16.0 {
        let font = theme::bold_font(if rect.width() > 30.0 { 19.0 } else { 14.0 });
        ui.painter()
            .text(rect.center(), egui::Align2::CENTER_CENTER, text, font, ink);
    }
    ui.painter().vline(
        a,
        view.rect.top() + STRIP..=view.rect.bottom(),
        Stroke::new(1.0, p.edge.gamma_multiply(0.7)),
    );
    parts::ring(ui, &response, rect, 8);
    if response.clicked() {
        out.push(match doubt {
            true => Intent::CloseUp(Some(i)),
            false => Intent::Hear(i, i),
        });
    }
    response.on_hover_ui(|ui| {
        let share = crate::wording::per_cent(placed.evidence);
        ui.label(format!(
            "/{}/ from {:.2} to {:.2} s, how clear: {share}",
            entry.ipa, placed.start_s, placed.end_s
        ));
    });
}

/// A bead for each counted sound at its place over the wave; touching it plays the child's own sound. Where the sounds
/// that were placed are not those that are counted, there are none.
fn beads_over(ui: &mut Ui, scene: &Scene, view: &TimeView, placed: &[Placed], out: &mut Vec<Intent>) {
    let p = palette(ui);
    let lengths: Vec<usize> = scene.lesson.word().units.iter().map(|u| u.sounds().count()).collect();
    if lengths.iter().sum::<usize>() != placed.len() {
        return;
    }
    let mut first = 0;
    for (i, length) in lengths.into_iter().enumerate() {
        let last = first + length - 1;
        let x = view.x((placed[first].start_s + placed[last].end_s) / 2.0);
        let at = pos2(x, view.rect.top() + STRIP / 2.0);
        let place = Rect::from_center_size(at, vec2(theme::TOUCH, theme::TOUCH));
        let response = ui.interact(place, ui.scope_id().with(("bead over", i)), Sense::click());
        let doubt = (first..=last).find(|at| doubtful(&placed[*at]));
        let name = match doubt {
            Some(_) => format!("Look at sound {}", i + 1),
            None => format!("Hear sound {}", i + 1),
        };
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
        let radius = if response.hovered() { 21.0 } else { 19.0 };
        let heard = placed[first].start_s..placed[last].end_s;
        let look = match scene.playing_s.is_some_and(|now| heard.contains(&now)) {
            true => beads::BeadLook::Sounding,
            false => beads::BeadLook::Plain,
        };
        beads::paint(ui.painter(), look, at, radius, &p);
        parts::ring(ui, &response, place, 22);
        if doubt.is_some() {
            // A mouth to look at: said by a ring as well as by the name.
            ui.painter().circle_stroke(at, radius + 3.5, Stroke::new(2.5, p.warm));
        }
        if response.clicked() {
            out.push(match doubt {
                Some(which) => Intent::CloseUp(Some(which)),
                None => Intent::Hear(first, last),
            });
        }
        first = last + 1;
    }
}

/// A dotted foot under a sound that is in doubt: said by shape as well as by colour.
fn dashes(ui: &Ui, rect: Rect, colour: Color32) {
    let line = [
        rect.left_bottom() + vec2(6.0, -6.0),
        rect.right_bottom() + vec2(-6.0, -6.0),
    ];
    ui.painter().extend(Shape::dotted_line(&line, colour, 7.0, 2.0));
}

fn axis(ui: &Ui, grain: Rect, p: &Palette) {
    for khz in [2.0, 4.0, 6.0] {
        let y = grain.bottom() - grain.height() * khz * 1000.0 / TOP_HZ;
        ui.painter()
            .hline(grain.left()..=grain.left() + 8.0, y, Stroke::new(1.0, p.edge));
        let at = pos2(grain.left() + 11.0, y);
        ui.painter().text(
            at,
            egui::Align2::LEFT_CENTER,
            format!("{khz:.0} kHz"),
            theme::font(11.5),
            p.soft,
        );
    }
}

impl PictureCache {
    fn renew(&mut self, ui: &Ui, heard: &Arc<Try>) {
        let dark = ui.visuals().dark_mode;
        let same = self
            .of
            .as_ref()
            .is_some_and(|(of, was)| Arc::ptr_eq(of, heard) && *was == dark);
        if !same {
            *self = PictureCache {
                of: Some((heard.clone(), dark)),
                ..PictureCache::default()
            };
        }
    }

    /// The spectrogram: one texture, of which the part in view is drawn.
    fn grain(&mut self, ui: &Ui, heard: &Try, view: &TimeView, rect: Rect) {
        let columns = heard.picture.columns();
        if columns == 0 {
            return;
        }
        let p = palette(ui);
        let texture = self.texture.get_or_insert_with(|| {
            let image = image(&heard.picture.grain, columns, p.well, p.ink);
            ui.ctx().load_texture("spectrogram", image, TextureOptions::LINEAR)
        });
        let share = |s: f32| (s / heard.picture.seconds.max(0.001)).clamp(0.0, 1.0);
        let part = Rect::from_min_max(pos2(share(view.from), 0.0), pos2(share(view.to), 1.0));
        ui.painter().image(texture.id(), rect, part, Color32::WHITE);
    }

    /// The waveform: a mesh that is made anew only when its place changes.
    fn wave(&mut self, ui: &Ui, heard: &Try, view: &TimeView, rect: Rect, colour: Color32) {
        if self.wave.as_ref().is_none_or(|(at, _)| *at != rect) {
            self.wave = Some((rect, Arc::new(wave_mesh(heard, view, rect, colour))));
        }
        if let Some((_, mesh)) = &self.wave {
            ui.painter().add(Shape::Mesh(mesh.clone()));
        }
    }
}

fn wave_mesh(heard: &Try, view: &TimeView, rect: Rect, colour: Color32) -> Mesh {
    let picture = &heard.picture;
    let peak = picture.wave.iter().fold(0.05f32, |m, (a, b)| m.max(-a).max(*b));
    let each = picture.seconds / picture.wave.len().max(1) as f32;
    let mut mesh = Mesh::default();
    for (i, (low, high)) in picture.wave.iter().enumerate() {
        let (a, b) = (i as f32 * each, (i + 1) as f32 * each);
        if b < view.from || a > view.to {
            continue;
        }
        let y = |x: f32| rect.center().y - x / peak * rect.height() * 0.46;
        let top_left = pos2(view.x(a).max(rect.left()), y(*high) - 0.6);
        let bar = Rect::from_min_max(top_left, pos2(view.x(b).min(rect.right()), y(*low) + 0.6));
        mesh.add_colored_rect(bar, colour);
    }
    mesh
}

/// Grain as a picture: from the ground's colour to the ink's, low frequencies at the bottom.
fn image(grain: &[u8], columns: usize, ground: Color32, ink: Color32) -> ColorImage {
    let shades: Vec<Color32> = (0..=255u8)
        .map(|v| ground.lerp_to_gamma(ink, f32::from(v) / 255.0))
        .collect();
    let pixel = |y: usize, x: usize| shades[usize::from(grain[x * ROWS + (ROWS - 1 - y)])];
    let pixels = (0..ROWS)
        .flat_map(|y| (0..columns).map(move |x| (y, x)))
        .map(|(y, x)| pixel(y, x));
    ColorImage::new([columns, ROWS], pixels.collect())
}
