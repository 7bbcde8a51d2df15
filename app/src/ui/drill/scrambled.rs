//! A sentence in mixed order, as it is drawn: its words are cards that are dragged, or moved by the keyboard.
//!
//! What happens is the [`ScrambledSession`]'s; this draws its state and sends it [`ScrambledIntent`]s.

use egui::{Align2, Id, Key, LayerId, Modifiers, Order, Pos2, Rect, RichText, Role, Sense, Stroke, Ui};
use egui::{StrokeKind, WidgetInfo, vec2};

use super::room;
use crate::drill::scrambled::{OrderStanding, ScrambledIntent, ScrambledSession};
use crate::equipment::News;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};

/// Room on both sides of a card's word, a card's height and its type, in points.
const PAD: f32 = 18.0;
const HIGH: f32 = 56.0;
const TYPE: f32 = 24.0;

/// The sentence as it is drawn.
#[derive(Default)]
pub struct ScrambledView {
    session: ScrambledSession,
    /// The card that was touched, or is moved by the keyboard.
    chosen: Option<usize>,
}

/// Where the cards of this frame lie, and the one that was let go.
#[derive(Default)]
struct LaidCards {
    rects: Vec<Rect>,
    dropped: Option<(usize, Pos2)>,
    clicked: Option<usize>,
}

impl ScrambledView {
    /// Lays out these sentences, one after the other.
    pub fn deal(&mut self, shared: &mut Shared, sentences: Vec<String>) {
        self.chosen = None;
        self.act(shared, ScrambledIntent::Deal(sentences));
    }

    /// Whether there are cards.
    pub fn is_open(&self) -> bool {
        self.session.is_open()
    }

    fn act(&mut self, shared: &mut Shared, intent: ScrambledIntent) {
        self.session.apply(&mut shared.equipment(), intent);
    }

    /// Takes in what came.
    pub fn poll(&mut self, shared: &mut Shared) {
        self.session.poll();
        for news in self.session.news() {
            match news {
                News::Said(line) => shared.say(line),
                News::Failed(line) => shared.say_failed(line),
            }
        }
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let mut out = Vec::new();
        self.keys(ui, shared, &mut out);
        self.top(ui, &mut out);
        egui::ScrollArea::vertical()
            .id_salt("scrambled")
            .auto_shrink(false)
            .show(ui, |ui| {
                room::in_the_middle(ui, |ui| {
                    ui.spacing_mut().item_spacing.y = 12.0;
                    ui.add_space(room::above(ui, 320.0) * 0.7);
                    ui.vertical_centered(|ui| ui.label(RichText::new(self.asked()).font(room::asking(ui))));
                    ui.add_space(8.0);
                    self.cards(ui, &mut out);
                    self.below(ui, shared.learner.is_some(), &mut out);
                });
            });
        for intent in out {
            if matches!(
                intent,
                ScrambledIntent::GoOn | ScrambledIntent::Undo | ScrambledIntent::Show
            ) {
                self.chosen = None;
            }
            self.act(shared, intent);
        }
    }

    fn asked(&self) -> &'static str {
        match self.session.standing() {
            OrderStanding::Open => "Put the words in order.",
            OrderStanding::Another if self.session.moved() => "Put the words in order.",
            OrderStanding::Another => "Another order. Read it aloud: does it say something?",
            OrderStanding::AsWritten => "That is the sentence.",
            OrderStanding::RightToo => "That is a sentence too.",
            OrderStanding::Shown => "This is the sentence. Read it aloud.",
        }
    }

    fn keys(&mut self, ui: &Ui, shared: &mut Shared, out: &mut Vec<ScrambledIntent>) {
        shared.key("← , →", "choose a card");
        shared.key("Shift ← , →", "move the card");
        shared.key("Enter", "look at the order, go on");
        shared.key("Ctrl Z", "undo");
        let free = ui.memory(|m| m.focused().is_none() && m.top_modal_layer().is_none());
        if !free {
            return;
        }
        let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
        if pressed(Modifiers::COMMAND, Key::Z) {
            out.push(ScrambledIntent::Undo);
        }
        if pressed(Modifiers::NONE, Key::Escape) {
            out.push(ScrambledIntent::Close);
        }
        self.arrows(ui, out);
        if pressed(Modifiers::NONE, Key::Enter) {
            out.push(ScrambledIntent::GoOn);
        }
    }

    /// The arrows choose a card, with Shift they move it.
    fn arrows(&mut self, ui: &Ui, out: &mut Vec<ScrambledIntent>) {
        let count = self.session.cards().len();
        if self.session.settled() || count == 0 {
            return;
        }
        for (key, step) in [(Key::ArrowLeft, count - 1), (Key::ArrowRight, 1)] {
            // The more particular one first: without Shift the key would be taken for both.
            if ui.input_mut(|i| i.consume_key(Modifiers::SHIFT, key)) {
                let at = self.chosen.unwrap_or(0);
                let to = (at + step) % count;
                out.push(ScrambledIntent::Move(at, to));
                self.chosen = Some(to);
            } else if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
                self.chosen = Some(self.chosen.map_or(0, |at| (at + step) % count));
            }
        }
    }

    fn top(&self, ui: &mut Ui, out: &mut Vec<ScrambledIntent>) {
        ui.horizontal_wrapped(|ui| {
            let leave = Button::both(Icon::Close, "End")
                .name("Leave the sentence")
                .quiet()
                .key("Esc");
            if leave.show(ui).clicked() {
                out.push(ScrambledIntent::Close);
            }
            let undo = Button::both(Icon::Undo, "Undo").quiet().key("Ctrl Z");
            if undo.enabled(self.session.can_undo()).show(ui).clicked() {
                out.push(ScrambledIntent::Undo);
            }
            let (at, of) = self.session.place();
            let text = match (self.session.settled(), at + 1 < of) {
                (false, _) => "Look at the order",
                (true, true) => "The next sentence",
                (true, false) => "Done",
            };
            let ready = self.session.settled() || self.session.moved();
            if Button::text(text).lead().key("Enter").enabled(ready).show(ui).clicked() {
                out.push(ScrambledIntent::GoOn);
            }
        });
    }

    /// The cards in a row that wraps, and the mark at their end.
    fn cards(&mut self, ui: &mut Ui, out: &mut Vec<ScrambledIntent>) {
        let mut laid = LaidCards::default();
        let p = palette(ui);
        let frame = egui::Frame::new().fill(p.well).corner_radius(14).inner_margin(14);
        frame.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(10.0, 12.0);
                for at in 0..self.session.cards().len() {
                    self.card(ui, at, &mut laid);
                }
                self.mark(ui, &mut laid);
            });
        });
        if let Some((from, at)) = laid.dropped {
            let to = place(&laid.rects, from, at);
            out.push(ScrambledIntent::Move(from, to));
            self.chosen = None;
        }
        if let Some(clicked) = laid.clicked {
            // A touch takes a card up, the next one says before which it is to lie.
            self.chosen = match self.chosen {
                None => Some(clicked).filter(|at| *at < self.session.cards().len()),
                // The mark at the end comes after every card.
                Some(from) => {
                    let to = if from < clicked { clicked - 1 } else { clicked };
                    out.push(ScrambledIntent::Move(from, to));
                    None
                }
            };
        }
    }

    /// The mark at the end of the sentence: a touch lays the card in hand before it.
    fn mark(&self, ui: &mut Ui, laid: &mut LaidCards) {
        let waits = self.chosen.is_some() && !self.session.settled();
        let sense = if waits { Sense::click() } else { Sense::hover() };
        let (rect, response) = ui.allocate_exact_size(vec2(theme::TOUCH, HIGH), sense);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, waits, "The end of the sentence"));
        let p = palette(ui);
        let ink = if waits && response.hovered() { p.lead } else { p.ink };
        let font = theme::bold_font(TYPE * 1.4);
        ui.painter()
            .text(rect.left_center(), Align2::LEFT_CENTER, self.session.mark(), font, ink);
        parts::ring(ui, &response, rect, 12);
        if response.clicked() {
            laid.clicked = Some(self.session.cards().len());
        }
    }

    fn card(&self, ui: &mut Ui, at: usize, laid: &mut LaidCards) {
        let p = palette(ui);
        let word = &self.session.cards()[at];
        let galley = ui.painter().layout_no_wrap(word.clone(), theme::bold_font(TYPE), p.ink);
        let size = vec2((galley.size().x + 2.0 * PAD).max(theme::TOUCH), HIGH);
        let open = !self.session.settled();
        let sense = if open { Sense::click_and_drag() } else { Sense::hover() };
        let (rect, response) = ui.allocate_exact_size(size, sense);
        let chosen = self.chosen == Some(at);
        let name = format!("Card {} of {}: {word}", at + 1, self.session.cards().len());
        response.widget_info(|| WidgetInfo::selected(Role::Button, open, chosen, &name));
        let near = response.hovered() || chosen;
        if response.dragged() {
            carried(ui, &response, word, size);
        } else {
            face(ui.painter(), rect, word, near && open, ui);
        }
        parts::ring(ui, &response, rect, 12);
        laid.rects.push(rect);
        if response.drag_stopped() {
            laid.dropped = response.interact_pointer_pos().map(|pointer| (at, pointer));
        } else if response.clicked() {
            laid.clicked = Some(at);
        }
    }

    /// What can be done with another order, and the sentence once it may be seen.
    fn below(&self, ui: &mut Ui, kept: bool, out: &mut Vec<ScrambledIntent>) {
        if let Some(sentence) = self.session.sentence() {
            let tone = match self.session.standing() {
                OrderStanding::Shown => BannerTone::Plain,
                _ => BannerTone::Good,
            };
            parts::banner(ui, tone, &sentence);
            return;
        }
        if self.session.standing() == OrderStanding::Another && !self.session.moved() {
            parts::row_in_the_middle(ui, "rule", |ui| {
                if Button::both(Icon::Done, "The grown-up: it is right too")
                    .show(ui)
                    .clicked()
                {
                    out.push(ScrambledIntent::RuleRight);
                }
                if Button::both(Icon::Help, "Show us").quiet().show(ui).clicked() {
                    out.push(ScrambledIntent::Show);
                }
            });
            ui.vertical_centered(|ui| parts::note(ui, "Or move the cards once more."));
            return;
        }
        ui.vertical_centered(|ui| {
            parts::note(
                ui,
                "Drag a card, or touch it and then the card, or the mark at the end, before which it is to lie.",
            );
            if !kept {
                parts::note(ui, "Nothing is kept: no learner is picked.");
            }
        });
    }
}

/// Where a card that is let go here comes to lie: before the first card of that row whose middle is farther right.
fn place(rects: &[Rect], from: usize, at: Pos2) -> usize {
    let far = |rect: &Rect| (rect.center().y - at.y).abs();
    let Some(row) = rects.iter().map(far).min_by(f32::total_cmp) else {
        return from;
    };
    let in_row = |rect: &Rect| (far(rect) - row).abs() < HIGH / 2.0;
    let before = rects.iter().position(|rect| in_row(rect) && rect.center().x > at.x);
    let last = rects.iter().rposition(in_row).map_or(from, |last| last + 1);
    let to = before.unwrap_or(last);
    // The card itself is taken out first.
    if from < to { to - 1 } else { to }
}

/// A card as it lies.
fn face(painter: &egui::Painter, rect: Rect, word: &str, near: bool, ui: &Ui) {
    let p = palette(ui);
    let (fill, edge) = if near { (p.lead_wash, p.lead) } else { (p.paper, p.edge) };
    painter.rect(rect, 12, fill, Stroke::new(2.0, edge), StrokeKind::Inside);
    painter.text(
        rect.center(),
        Align2::CENTER_CENTER,
        word,
        theme::bold_font(TYPE),
        p.ink,
    );
}

/// A card under the finger, over everything else.
fn carried(ui: &Ui, response: &egui::Response, word: &str, size: egui::Vec2) {
    let Some(at) = response.interact_pointer_pos() else {
        return;
    };
    let layer = LayerId::new(Order::Tooltip, Id::unique("word in hand"));
    face(
        &ui.ctx().layer_painter(layer),
        Rect::from_center_size(at, size),
        word,
        true,
        ui,
    );
    ui.ctx().request_repaint();
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    #[test]
    fn a_card_comes_to_lie_before_the_card_that_it_is_let_go_at() {
        let rect = |column: f32, row: f32| Rect::from_min_size(pos2(column * 100.0, row * 70.0), vec2(90.0, HIGH));
        let rects = [
            rect(0.0, 0.0),
            rect(1.0, 0.0),
            rect(2.0, 0.0),
            rect(0.0, 1.0),
            rect(1.0, 1.0),
        ];
        for (from, (x, y), to) in [
            (0, (105.0, 20.0), 0),
            (0, (170.0, 20.0), 1),
            (0, (400.0, 20.0), 2),
            (0, (20.0, 90.0), 2),
            (0, (400.0, 90.0), 4),
            (4, (20.0, 20.0), 0),
            (4, (400.0, 20.0), 3),
            (2, (250.0, 400.0), 4),
        ] {
            assert_eq!(place(&rects, from, pos2(x, y)), to, "{from} at {x}, {y}");
        }
    }
}
