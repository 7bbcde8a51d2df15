//! A sort: cards are dragged under headings, then the rule is said, then its shares are seen.
//!
//! What happens is the [`SortSession`]'s; this draws its state and sends it [`SortIntent`]s.

use egui::{
    Align, Align2, Id, Key, LayerId, Layout, Modifiers, Order, Panel, Pos2, Rect, Response, RichText, Role, Sense,
    Stroke, TextEdit, Ui,
};
use egui::{StrokeKind, WidgetInfo, vec2};

use super::room;
use crate::drill::TaskStanding;
use crate::drill::sorting::{SortCard, SortIntent, SortSession, SortStep};
use crate::equipment::News;
use crate::plan::SortGroup;
use crate::ui::icons::{self, Icon};
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, Palette, palette};

/// Room on both sides of a card's word, and a card's height, in points.
const PAD: f32 = 18.0;
const HIGH: f32 = 48.0;
/// Height that is left free under the columns, in points.
const FOOT: f32 = 26.0;
/// Width of the column in the middle, in points: in a wide window the hand has no long way to go.
const COLUMN: f32 = 1200.0;
const DIGITS: [Key; 6] = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6];

/// The sort as it is drawn.
#[derive(Default)]
pub struct SortView {
    session: SortSession,
    /// The card that was touched and waits for a column.
    chosen: Option<usize>,
    /// Whether the field for the rule has had the keyboard.
    asked: bool,
}

impl SortView {
    /// Deals the cards of these columns.
    pub fn deal(&mut self, shared: &mut Shared, groups: Vec<SortGroup>) {
        (self.chosen, self.asked) = (None, false);
        self.act(shared, SortIntent::Deal(groups));
    }

    /// Whether there are cards.
    pub fn is_open(&self) -> bool {
        self.session.is_open()
    }

    /// Whether every card lies where it belongs, by the child or in the end.
    pub fn is_settled(&self) -> bool {
        self.is_open() && self.session.settled()
    }

    /// What the child did with them, once they lie as they belong.
    pub fn deed(&self) -> Option<String> {
        self.session.deed().filter(|_| self.is_open())
    }

    fn act(&mut self, shared: &mut Shared, intent: SortIntent) {
        self.session.apply(&mut shared.equipment(), intent);
    }

    /// Takes in what came.
    pub fn poll(&mut self, shared: &mut Shared) {
        self.session.poll(&shared.equipment());
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
        let by_key = self.keys(ui, shared, &mut out);
        parts::column(ui, COLUMN, |ui| self.top(ui, &mut out));
        self.foot(ui, &mut out);
        egui::ScrollArea::vertical()
            .id_salt("sort")
            .auto_shrink(false)
            .show(ui, |ui| {
                parts::column(ui, COLUMN, |ui| {
                    ui.spacing_mut().item_spacing.y = 10.0;
                    match self.session.step() {
                        SortStep::Cards => self.cards(ui, &mut out),
                        SortStep::Rule => self.rule(ui, shared.learner.is_some(), &mut out),
                        SortStep::Shares => self.shares(ui),
                    }
                });
            });
        for intent in out {
            if matches!(intent, SortIntent::Lay(..)) {
                self.chosen = None;
            }
            self.act(shared, intent);
        }
        if by_key {
            // The next card comes into the hand by itself.
            self.chosen = self.session.cards().iter().position(|card| card.lies.is_none());
        }
    }

    /// Reads the keys; whether a card was laid by one.
    fn keys(&mut self, ui: &Ui, shared: &mut Shared, out: &mut Vec<SortIntent>) -> bool {
        shared.key("← , →", "choose a card");
        shared.key("1 , 2", "lay the card under this heading");
        shared.key("Enter", "check the cards, go on");
        shared.key("Ctrl Z", "undo");
        let over = ui.memory(|m| m.top_modal_layer().is_some());
        let free = !over && ui.memory(|m| m.focused().is_none());
        if free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
            out.push(SortIntent::GoOn);
        }
        if free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            out.push(SortIntent::Close);
        }
        let typing = ui.ctx().text_edit_focused();
        if !over && !typing && ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Z)) {
            out.push(SortIntent::Undo);
        }
        let laying = self.session.step() == SortStep::Cards && !self.session.settled();
        if !free || !laying {
            return false;
        }
        let (count, step) = (self.session.cards().len(), |key| {
            ui.input_mut(|i| i.consume_key(Modifiers::NONE, key))
        });
        if step(Key::ArrowRight) {
            self.chosen = Some(self.chosen.map_or(0, |at| (at + 1) % count));
        }
        if step(Key::ArrowLeft) {
            self.chosen = Some(self.chosen.map_or(0, |at| (at + count - 1) % count));
        }
        let Some(card) = self.chosen else { return false };
        let column = DIGITS.into_iter().take(self.session.headings().len()).position(step);
        out.extend(column.map(|column| SortIntent::Lay(card, Some(column))));
        column.is_some()
    }

    /// What is asked, and what comes next.
    fn top(&self, ui: &mut Ui, out: &mut Vec<SortIntent>) {
        let asked = match (self.session.step(), self.session.standing()) {
            (SortStep::Cards, TaskStanding::Open) => "Lay each card under its heading.",
            (SortStep::Cards, TaskStanding::Hint) => "Look at the marked cards once more.",
            (SortStep::Cards, TaskStanding::Right) => "Every card lies where it belongs.",
            (SortStep::Cards, TaskStanding::Shown) => "The marked cards lie where they belong now.",
            (SortStep::Rule, _) => "How do you know where a card goes? Say it in your own words.",
            (SortStep::Shares, _) if self.session.shares().is_some_and(<[String]>::is_empty) => match self.by_heart() {
                true => "These are known by heart.",
                false => "Your ear tells you.",
            },
            (SortStep::Shares, _) => "How often is it so?",
        };
        ui.horizontal_wrapped(|ui| {
            if Button::both(Icon::Close, "End")
                .name("Leave the sort")
                .quiet()
                .key("Esc")
                .show(ui)
                .clicked()
            {
                out.push(SortIntent::Close);
            }
            let undo = Button::both(Icon::Undo, "Undo").quiet().key("Ctrl Z");
            if undo.enabled(self.session.can_undo()).show(ui).clicked() {
                out.push(SortIntent::Undo);
            }
        });
        ui.label(RichText::new(asked).font(room::asking(ui)));
        if (self.session.step(), self.session.standing()) == (SortStep::Cards, TaskStanding::Open) {
            parts::note(ui, "Drag a card, or touch it and then its heading.");
        }
        ui.add_space(4.0);
    }

    /// The one thing to do next, at the foot as everywhere in the lesson.
    fn foot(&self, ui: &mut Ui, out: &mut Vec<SortIntent>) {
        let (text, ready) = match self.session.step() {
            SortStep::Cards if self.session.settled() => ("Now the rule", true),
            SortStep::Cards => ("Check the cards", self.session.ready()),
            SortStep::Rule if self.session.rule().trim().is_empty() => ("Go on without", true),
            SortStep::Rule => ("That is it", true),
            SortStep::Shares => ("Done", true),
        };
        let panel = Panel::bottom("sort foot")
            .resizable(false)
            .exact_size(56.0)
            .frame(egui::Frame::NONE);
        panel.show_separator_line(false).show(ui, |ui| {
            parts::column(ui, COLUMN, |ui| {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if Button::text(text).lead().key("Enter").enabled(ready).show(ui).clicked() {
                        out.push(SortIntent::GoOn);
                    }
                });
            });
        });
    }

    /// The cards in the hand over the columns.
    fn cards(&mut self, ui: &mut Ui, out: &mut Vec<SortIntent>) {
        let mut dropped: Option<(usize, Pos2)> = None;
        let hand = self.hand(ui, &mut dropped, out);
        let mut places = Vec::new();
        let count = self.session.headings().len().max(1);
        ui.columns(count, |columns| {
            for (at, column) in columns.iter_mut().enumerate() {
                places.push(self.column(column, at, &mut dropped, out));
            }
        });
        if let Some((card, at)) = dropped {
            let column = places.iter().position(|place| place.expand(8.0).contains(at));
            if column.is_some() || hand.contains(at) {
                out.push(SortIntent::Lay(card, column));
            }
        }
    }

    fn hand(&mut self, ui: &mut Ui, dropped: &mut Option<(usize, Pos2)>, out: &mut Vec<SortIntent>) -> Rect {
        let p = palette(ui);
        let frame = egui::Frame::new().fill(p.well).corner_radius(14).inner_margin(10);
        frame
            .show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.set_min_height(HIGH);
                ui.horizontal_wrapped(|ui| {
                    ui.spacing_mut().item_spacing = vec2(8.0, 8.0);
                    for i in 0..self.session.cards().len() {
                        if self.session.cards()[i].lies.is_none() {
                            self.card(ui, i, dropped, out);
                        }
                    }
                });
            })
            .response
            .rect
    }

    /// A column: its heading, which takes the chosen card when it is touched, and what lies under it.
    fn column(
        &mut self,
        ui: &mut Ui,
        at: usize,
        dropped: &mut Option<(usize, Pos2)>,
        out: &mut Vec<SortIntent>,
    ) -> Rect {
        let p = palette(ui);
        let frame = egui::Frame::new()
            .fill(p.card)
            .stroke(Stroke::new(1.0, p.line))
            .corner_radius(14)
            .inner_margin(10);
        let heading = self.session.headings().get(at).cloned().unwrap_or_default();
        frame
            .show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.set_min_height((room::in_view(ui) - FOOT).max(150.0));
                let name = format!("Column {}: {heading}", at + 1);
                if Button::text(&heading).name(&name).show(ui).clicked()
                    && let Some(card) = self.chosen
                {
                    out.push(SortIntent::Lay(card, Some(at)));
                }
                ui.horizontal_wrapped(|ui| {
                    ui.spacing_mut().item_spacing = vec2(8.0, 8.0);
                    for i in 0..self.session.cards().len() {
                        if self.session.cards()[i].lies == Some(at) {
                            self.card(ui, i, dropped, out);
                        }
                    }
                });
            })
            .response
            .rect
    }

    /// One card: dragged, or chosen by a touch, or laid by the number of a column while it has the keyboard's focus.
    fn card(&mut self, ui: &mut Ui, i: usize, dropped: &mut Option<(usize, Pos2)>, out: &mut Vec<SortIntent>) {
        let p = palette(ui);
        let card = &self.session.cards()[i];
        let font = theme::bold_font(20.0);
        let galley = ui.painter().layout_no_wrap(card.word.clone(), font, p.ink);
        let mark = if card.again { 22.0 } else { 0.0 };
        let size = vec2((galley.size().x + 2.0 * PAD + mark).max(theme::TOUCH), HIGH);
        let open = !self.session.settled();
        let sense = if open { Sense::click_and_drag() } else { Sense::hover() };
        let (rect, response) = ui.allocate_exact_size(size, sense);
        let name = self.name(card);
        let chosen = self.chosen == Some(i);
        response.widget_info(|| WidgetInfo::selected(Role::Button, open, chosen, &name));
        let near = response.hovered() || chosen;
        if response.dragged() {
            carried(ui, &response, card, size);
        } else {
            face(ui, rect, card, near, &p);
        }
        parts::ring(ui, &response, rect, 12);
        if response.has_focus() {
            for (column, key) in DIGITS.into_iter().enumerate().take(self.session.headings().len()) {
                if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
                    out.push(SortIntent::Lay(i, Some(column)));
                }
            }
            if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Num0)) {
                out.push(SortIntent::Lay(i, None));
            }
        }
        if response.drag_stopped() {
            *dropped = response.interact_pointer_pos().map(|at| (i, at)).or(*dropped);
        } else if response.clicked() {
            self.chosen = (!chosen).then_some(i);
        }
    }

    /// A card for those who do not see it.
    fn name(&self, card: &SortCard) -> String {
        let lies = card.lies.and_then(|at| self.session.headings().get(at));
        let lies = lies.map_or_else(String::new, |heading| format!(", under {heading}"));
        let again = match (card.again, self.session.settled()) {
            (true, false) => ", look again",
            (true, true) => ", moved",
            (false, _) => "",
        };
        format!("Card {}{lies}{again}", card.word)
    }

    fn rule(&mut self, ui: &mut Ui, kept: bool, out: &mut Vec<SortIntent>) {
        self.laid(ui);
        let mut text = self.session.rule().to_owned();
        let edit = TextEdit::multiline(&mut text)
            .desired_rows(3)
            .desired_width(ui.available_width().min(680.0))
            .font(theme::font(20.0));
        // Enter goes on as everywhere in the sort: a rule is one line, however long.
        let id = ui.scope_id().with("rule");
        let typing = ui.memory(|m| m.has_focus(id));
        if typing && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
            out.push(SortIntent::GoOn);
        }
        let field = ui.add(edit.id(id));
        ui.ctx()
            .accesskit_node_builder(field.id, |node| node.set_label("What decides"));
        if !std::mem::replace(&mut self.asked, true) {
            field.request_focus();
        }
        if field.changed() {
            out.push(SortIntent::Say(text));
        }
        parts::note(
            ui,
            match kept {
                true => "Child or parent, whoever writes. It is kept in the notebook as it stands, right or not.",
                false => "Nothing is kept: no learner is picked.",
            },
        );
    }

    /// Whether the cards are words with letters known by heart, beside others: their columns are "like" a word and "not like" it.
    fn by_heart(&self) -> bool {
        self.session
            .headings()
            .iter()
            .any(|heading| heading.starts_with("not like "))
    }

    /// The columns in words, to look at while one thinks.
    fn laid(&self, ui: &mut Ui) {
        for (at, heading) in self.session.headings().iter().enumerate() {
            let lies = self.session.cards().iter().filter(|card| card.lies == Some(at));
            let words: Vec<&str> = lies.map(|card| card.word.as_str()).collect();
            ui.horizontal_wrapped(|ui| {
                ui.label(RichText::new(heading).font(theme::bold_font(20.0)));
                ui.label(RichText::new(words.join(", ")).size(20.0));
            });
        }
    }

    fn shares(&self, ui: &mut Ui) {
        self.laid(ui);
        let said = self.session.rule().trim();
        if !said.is_empty() {
            parts::card(ui, |ui| {
                ui.set_width(ui.available_width());
                parts::section(ui, "You said");
                ui.label(RichText::new(said).size(19.0));
            });
        }
        match self.session.shares() {
            None => drop(ui.add(egui::Spinner::new().size(32.0))),
            Some([]) => drop(parts::banner(
                ui,
                BannerTone::Plain,
                match self.by_heart() {
                    true => "Say each word, then look for the letters that say something else.",
                    false => "Say each word slowly, and listen to the sound that its heading names.",
                },
            )),
            Some(lines) => {
                parts::section(ui, "Counted on the common words of the dictionary");
                for line in lines {
                    ui.label(RichText::new(line).size(19.0));
                }
            }
        }
    }
}

/// A card as it lies.
fn face(ui: &Ui, rect: Rect, card: &SortCard, near: bool, p: &Palette) {
    let (fill, edge) = match (card.again, near) {
        (true, _) => (p.warm_wash, p.warm),
        (false, true) => (p.lead_wash, p.lead),
        (false, false) => (p.paper, p.edge),
    };
    let painter = ui.painter();
    painter.rect(rect, 12, fill, Stroke::new(2.0, edge), StrokeKind::Inside);
    let shift = if card.again { 10.0 } else { 0.0 };
    let at = rect.center() - vec2(shift, 0.0);
    painter.text(at, Align2::CENTER_CENTER, &card.word, theme::bold_font(20.0), p.ink);
    if card.again {
        // Said by a mark as well as by a colour.
        let square = Rect::from_center_size(rect.right_center() - vec2(18.0, 0.0), vec2(16.0, 16.0));
        icons::paint(painter, Icon::Undo, square, p.warm);
    }
}

/// A card under the finger, over everything else.
fn carried(ui: &Ui, response: &Response, card: &SortCard, size: egui::Vec2) {
    let Some(at) = response.interact_pointer_pos() else {
        return;
    };
    let p = palette(ui);
    let painter = ui
        .ctx()
        .layer_painter(LayerId::new(Order::Tooltip, Id::unique("card in hand")));
    let rect = Rect::from_center_size(at, size);
    painter.rect(rect, 12, p.lead_wash, Stroke::new(2.0, p.lead), StrokeKind::Inside);
    painter.text(
        rect.center(),
        Align2::CENTER_CENTER,
        &card.word,
        theme::bold_font(20.0),
        p.ink,
    );
    ui.ctx().request_repaint();
}
