//! The vowel chart of the chosen voice.

use std::collections::HashMap;

use egui::{Align2, Color32, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, pos2, vec2};
use soundbead_data::inventory::{self, SoundEntry};
use soundbead_dsp::formant::VoiceKind;

use super::live::{Dot, LivePart};
use super::tile::{self, TileMark};
use crate::chart::{Chart, ChartPoint, ChartSpot, VowelKind, spread_labels};
use crate::ui::parts;
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};

/// Size of a label.
const TILE: [f32; 2] = [54.0, 45.0];

/// What the chart shows and remembers.
pub struct Vowels {
    kinds: [bool; 3],
    talkers: bool,
    listening: LivePart,
    chart: Option<Chart>,
    /// Labels by what they depend on, so that they are laid out once and not in every frame.
    labels: HashMap<(VoiceKind, [bool; 3], [u32; 2]), Vec<ChartPoint>>,
}

impl Default for Vowels {
    fn default() -> Self {
        Vowels {
            kinds: [true, true, false],
            talkers: false,
            listening: LivePart::default(),
            chart: None,
            labels: HashMap::new(),
        }
    }
}

const KINDS: [(VowelKind, &str); 3] = [
    (VowelKind::Still, "Still"),
    (VowelKind::Moving, "Moving"),
    (VowelKind::WithR, "With r"),
];

/// The source of the figures, as it stands under the chart.
const SOURCE: &str = "Whose voices: 78 men, 76 women and 61 children, measured in 1952 (Peterson and Barney) and 1995 \
     (Hillenbrand and others), pooled. Accents differ. A dashed line: put together from the vowels in its IPA.";

/// On a chart lower than this, in points, the tiles lie over one another; where there is no room for it the page scrolls.
const LOWEST: f32 = 300.0;

/// What the card around the chart takes of the height, in points.
const FRAME: f32 = 46.0;

/// What the tile beside the source is.
const LONG_U: &str = "Long u is two sounds, y and oo.";

impl Vowels {
    /// Shows the chart; the vowel that was picked, if one was. `dot` is where a mouth in motion is, in F1 and F2 (Hz).
    pub fn show(
        &mut self,
        ui: &mut Ui,
        shared: &mut Shared,
        picked: &'static SoundEntry,
        dot: Option<[f32; 2]>,
    ) -> Option<&'static SoundEntry> {
        self.controls(ui, shared);
        let spoken = self.listening.show(ui, shared, picked);
        let voice = shared.prefs.voice;
        if self.chart.as_ref().is_none_or(|c| c.voice != voice) {
            self.chart = Some(Chart::new(voice));
        }
        let high = ui.available_height() - FRAME;
        if high >= LOWEST {
            return self.card(ui, high, picked, (dot, spoken.as_ref()));
        }
        egui::ScrollArea::vertical()
            .id_salt("vowels")
            .auto_shrink(false)
            .show(ui, |ui| {
                // The bar of the scroll area lies over its right edge.
                ui.set_max_width(ui.available_width() - 10.0);
                self.card(ui, LOWEST, picked, (dot, spoken.as_ref()))
            })
            .inner
    }

    /// The chart, this high, and whose voices it shows.
    fn card(
        &mut self,
        ui: &mut Ui,
        high: f32,
        picked: &'static SoundEntry,
        (dot, spoken): (Option<[f32; 2]>, Option<&Dot>),
    ) -> Option<&'static SoundEntry> {
        let mut chosen = None;
        parts::card(ui, |ui| {
            let size = vec2(ui.available_width(), high);
            let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
            chosen = self.draw(ui, rect, picked, dot, spoken);
            ui.horizontal_top(|ui| {
                // Two sounds that lessons name as one: a card, and no place of its own among the vowels.
                for entry in inventory::pairs() {
                    let (rect, _) = ui.allocate_exact_size(TILE.into(), Sense::hover());
                    if tile::show(ui, rect, entry, std::ptr::eq(entry, picked), TileMark::Moves).clicked() {
                        chosen = Some(entry);
                    }
                }
                ui.vertical(|ui| parts::note(ui, &format!("{LONG_U} {SOURCE}")));
            });
        });
        chosen
    }

    /// The button that listens, for the head of the view.
    pub fn listen_button(&mut self, ui: &mut Ui, shared: &mut Shared) {
        self.listening.button(ui, shared);
    }

    /// Lets go of the microphone.
    pub fn stop_listening(&mut self) {
        self.listening = LivePart::default();
    }

    fn controls(&mut self, ui: &mut Ui, shared: &mut Shared) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            let voices = [
                (VoiceKind::Child, "Child"),
                (VoiceKind::Woman, "Woman"),
                (VoiceKind::Man, "Man"),
            ];
            parts::choice(ui, "Voice", &mut shared.prefs.voice, &voices);
            ui.add_space(14.0);
            for (on, (_, name)) in self.kinds.iter_mut().zip(KINDS) {
                let said = format!("Show vowels: {name}");
                if parts::Button::text(name).name(&said).selected(*on).show(ui).clicked() {
                    *on = !*on;
                }
            }
            ui.add_space(14.0);
            let talkers = parts::Button::text("Talkers")
                .name("Show how talkers spread")
                .selected(self.talkers);
            let about = "A ring around two of three talkers of this voice";
            if parts::hint(talkers.show(ui), about).clicked() {
                self.talkers = !self.talkers;
            }
        });
    }

    fn draw(
        &mut self,
        ui: &mut Ui,
        rect: Rect,
        picked: &'static SoundEntry,
        dot: Option<[f32; 2]>,
        spoken: Option<&Dot>,
    ) -> Option<&'static SoundEntry> {
        let frame = axes(ui, rect);
        let p = palette(ui);
        let chart = self.chart.take()?;
        let on = |[x, y]: ChartPoint| frame.min + vec2(x * frame.width(), y * frame.height());
        let room: Vec<Pos2> = chart.room().into_iter().map(on).collect();
        ui.painter()
            .add(Shape::convex_polygon(room, p.card, Stroke::new(1.0, p.line)));
        if self.talkers {
            figures(ui, frame, &chart);
            rings(ui, frame, &chart, picked, &on);
        }
        let shown: Vec<&ChartSpot> = chart.spots.iter().filter(|s| self.shows(s.kind)).collect();
        for spot in &shown {
            way(ui, spot, std::ptr::eq(spot.entry, picked), &on);
        }
        let places = self.places(&shown, frame, chart.voice);
        let mut chosen = None;
        // Under the labels, so that it hides nothing that it points at; the label that it lies under gets a ring.
        let said = spoken.and_then(|spoken| trail(ui, frame, spoken, &|[f1, f2]| on(chart.place(f1, f2))));
        for (spot, at) in shown.iter().zip(&places) {
            leader(ui, spot, *at, &on);
        }
        for (spot, at) in shown.iter().zip(&places) {
            let tile = Rect::from_center_size(*at, TILE.into());
            let mark = if spot.to.is_some() {
                TileMark::Moves
            } else {
                TileMark::None
            };
            if tile::show(ui, tile, spot.entry, std::ptr::eq(spot.entry, picked), mark).clicked() {
                chosen = Some(spot.entry);
            }
        }
        if let Some([f1, f2]) = dot {
            let at = on(chart.place(f1, f2));
            ui.painter().circle(at, 8.0, p.warm, Stroke::new(2.0, p.card));
        }
        let tiles = places.iter().map(|at| Rect::from_center_size(*at, TILE.into()));
        for tile in tiles.filter(|tile| said.is_some_and(|at| tile.contains(at))) {
            let ring = Stroke::new(3.0, p.warm);
            ui.painter()
                .rect_stroke(tile.expand(2.0), 13, ring, StrokeKind::Outside);
        }
        self.chart = Some(chart);
        chosen
    }

    fn shows(&self, kind: VowelKind) -> bool {
        KINDS.iter().zip(self.kinds).any(|((k, _), on)| *k == kind && on)
    }

    /// Middles of the labels on the screen.
    fn places(&mut self, shown: &[&ChartSpot], frame: Rect, voice: VoiceKind) -> Vec<Pos2> {
        let size = [frame.width(), frame.height()];
        let key = (voice, self.kinds, size.map(|s| s.round() as u32));
        if self.labels.len() > 40 {
            self.labels.clear();
        }
        let laid = self.labels.entry(key).or_insert_with(|| {
            let anchors: Vec<ChartPoint> = shown.iter().map(|s| [s.at[0] * size[0], s.at[1] * size[1]]).collect();
            spread_labels(&anchors, TILE, size, 4.0)
        });
        laid.iter().map(|[x, y]| frame.min + vec2(*x, *y)).collect()
    }
}

/// The ground and the names of its sides; the frame for the vowels.
fn axes(ui: &Ui, rect: Rect) -> Rect {
    let p = palette(ui);
    let frame = Rect::from_min_max(rect.min + vec2(0.0, 24.0), rect.max - vec2(0.0, 24.0));
    let painter = ui.painter();
    painter.rect(frame, 14, p.well, Stroke::NONE, StrokeKind::Inside);
    let (small, y) = (theme::font(14.0), rect.top() + 9.0);
    let side = |at: Pos2, align: Align2, plain: &str, ipa: &str| {
        let ink = painter.text(at, align, plain, small.clone(), p.ink);
        let (at, align) = if align == Align2::RIGHT_CENTER {
            (ink.left_center() - vec2(8.0, 0.0), Align2::RIGHT_CENTER)
        } else {
            (ink.right_center() + vec2(8.0, 0.0), Align2::LEFT_CENTER)
        };
        painter.text(at, align, ipa, small.clone(), p.soft);
    };
    side(pos2(rect.left(), y), Align2::LEFT_CENTER, "← tongue forward", "front");
    side(pos2(rect.right(), y), Align2::RIGHT_CENTER, "tongue back →", "back");
    side(
        pos2(rect.center().x - 70.0, y),
        Align2::LEFT_CENTER,
        "↑ mouth nearly shut",
        "close",
    );
    let foot = rect.bottom() - 9.0;
    side(
        pos2(rect.center().x - 70.0, foot),
        Align2::LEFT_CENTER,
        "↓ mouth wide open",
        "open",
    );
    frame
}

/// Lines at round figures, for those who measure.
fn figures(ui: &Ui, frame: Rect, chart: &Chart) {
    let p = palette(ui);
    let painter = ui.painter_at(frame);
    let stroke = Stroke::new(1.0, p.line);
    for f1 in [300.0, 400.0, 500.0, 600.0, 800.0, 1000.0] {
        let y = frame.top() + chart.place(f1, 1500.0)[1] * frame.height();
        painter.hline(frame.x_range(), y, stroke);
        painter.text(
            pos2(frame.left() + 6.0, y),
            Align2::LEFT_BOTTOM,
            format!("F1 {f1}"),
            theme::font(11.5),
            p.soft,
        );
    }
    for f2 in [800.0, 1000.0, 1500.0, 2000.0, 2500.0, 3000.0] {
        let x = frame.left() + chart.place(500.0, f2)[0] * frame.width();
        painter.vline(x, frame.y_range(), stroke);
        painter.text(
            pos2(x + 4.0, frame.bottom() - 4.0),
            Align2::LEFT_BOTTOM,
            format!("F2 {f2}"),
            theme::font(11.5),
            p.soft,
        );
    }
}

fn rings(ui: &Ui, frame: Rect, chart: &Chart, picked: &SoundEntry, on: &impl Fn(ChartPoint) -> Pos2) {
    let p = palette(ui);
    let painter = ui.painter_at(frame);
    for spot in chart.spots.iter().filter(|s| s.measured) {
        let [vowel] = spot.entry.arpabet.sounds() else { continue };
        let Some(ring) = chart.ring(*vowel) else { continue };
        let line: Vec<Pos2> = ring.into_iter().map(on).collect();
        if std::ptr::eq(spot.entry, picked) {
            let fill = p.lead.gamma_multiply(0.18);
            painter.add(Shape::convex_polygon(line, fill, Stroke::new(2.5, p.lead)));
        } else {
            painter.add(Shape::closed_line(line, Stroke::new(1.2, p.edge)));
        }
    }
}

/// The path of a vowel that moves: solid if measured, dashed if put together.
fn way(ui: &Ui, spot: &ChartSpot, picked: bool, on: &impl Fn(ChartPoint) -> Pos2) {
    let Some(to) = spot.to else { return };
    let p = palette(ui);
    let (colour, width) = if picked { (p.lead, 4.0) } else { (p.edge, 1.4) };
    let (from, to) = (on(spot.at), on(to));
    line(ui, from, to, Stroke::new(width, colour), !spot.measured);
    let along = (to - from).normalized();
    let back = to - along * (7.0 + width);
    let side = along.rot90() * (3.0 + width);
    ui.painter().add(Shape::convex_polygon(
        vec![to, back + side, back - side],
        colour,
        Stroke::NONE,
    ));
}

fn line(ui: &Ui, from: Pos2, to: Pos2, stroke: Stroke, dashed: bool) {
    if dashed {
        ui.painter().extend(Shape::dashed_line(&[from, to], stroke, 6.0, 5.0));
    } else {
        ui.painter().line_segment([from, to], stroke);
    }
}

/// The dot at a vowel's place, tied to its label when that had to stand aside.
fn leader(ui: &Ui, spot: &ChartSpot, label: Pos2, on: &impl Fn(ChartPoint) -> Pos2) {
    let p = palette(ui);
    let at = on(spot.at);
    let tile = Rect::from_center_size(label, TILE.into());
    if !tile.expand(2.0).contains(at) {
        let colour: Color32 = p.edge;
        line(ui, at, tile.clamp(at), Stroke::new(1.2, colour), !spot.measured);
        ui.painter().circle(at, 4.0, p.card, Stroke::new(1.6, p.ink));
    }
}

/// Where a spoken vowel is and has been: a dot that fades behind, hollow while there is no voice. Gives where it is.
fn trail(ui: &Ui, frame: Rect, spoken: &Dot, on: &impl Fn([f32; 2]) -> Pos2) -> Option<Pos2> {
    let p = palette(ui);
    let painter = ui.painter_at(frame.expand(12.0));
    let points: Vec<Pos2> = spoken.trail.iter().map(|hz| frame.clamp(on(*hz))).collect();
    let last = points.last()?;
    for (i, at) in points.iter().enumerate() {
        let age = (i + 1) as f32 / points.len() as f32;
        painter.circle_filled(*at, 3.0 + 3.0 * age, p.warm.gamma_multiply(0.1 + 0.4 * age));
    }
    let fill = if spoken.now { p.warm } else { p.card };
    painter.circle(*last, 10.0, fill, Stroke::new(3.0, p.warm));
    painter.circle_stroke(*last, 13.0, Stroke::new(2.0, p.card));
    spoken.now.then_some(*last)
}
