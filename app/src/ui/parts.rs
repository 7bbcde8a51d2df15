//! The pieces that views are made of. Whatever can be touched is at least [`TOUCH`] high and wide, shows the keyboard's
//! focus, and has a name for screen readers.

use std::sync::Arc;

use egui::{
    Align2, Area, Color32, CornerRadius, Frame, Galley, Margin, Order, Popup, Pos2, Rect, Response, RichText, Role,
    Sense, Stroke, StrokeKind, TextStyle, Tooltip, Ui, UiBuilder, Vec2, WidgetInfo, vec2,
};

use super::icons::{self, Icon};
use super::taken::TakenPlaces;
use super::theme::{self, TOUCH, palette};

/// Room between a thing and its hint, in points.
const HINT_GAP: f32 = 4.0;

/// What a banner or a mark is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BannerTone {
    /// Plain news.
    Plain,
    /// Well.
    Good,
    /// Unsure, take care.
    Care,
    /// Failed.
    Alarm,
}

impl BannerTone {
    /// Its text and ground.
    pub fn colours(self, ui: &Ui) -> (Color32, Color32) {
        let p = palette(ui);
        match self {
            BannerTone::Plain => (p.ink, p.lead_wash),
            BannerTone::Good => (p.good, p.good_wash),
            BannerTone::Care => (p.care, p.care_wash),
            BannerTone::Alarm => (p.alarm, p.alarm_wash),
        }
    }
}

/// The name of a view.
pub fn heading(ui: &mut Ui, text: &str) -> Response {
    titled(ui, text, 26.0)
}

/// The name of a part of a view.
pub fn section(ui: &mut Ui, text: &str) -> Response {
    titled(ui, text, 18.0)
}

fn titled(ui: &mut Ui, text: &str, size: f32) -> Response {
    let response = ui.label(RichText::new(text).font(theme::bold_font(size)));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Heading);
        node.set_label(text);
    });
    response
}

/// A line of less weight.
pub fn note(ui: &mut Ui, text: &str) -> Response {
    let soft = palette(ui).soft;
    ui.label(RichText::new(text).size(14.5).color(soft))
}

/// A card on the paper.
pub fn card<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    let p = palette(ui);
    Frame::new()
        .fill(p.card)
        .stroke(Stroke::new(1.0, p.line))
        .corner_radius(CornerRadius::same(16))
        .inner_margin(Margin::same(16))
        .show(ui, add)
        .inner
}

/// A row of a list that can be picked: its ground, what `cells` draws on it, and the ring of the keyboard. Whether it was picked.
pub fn list_row(
    ui: &Ui,
    (rect, response): (Rect, &Response),
    chosen: bool,
    said: &str,
    cells: impl FnOnce(&Ui),
) -> bool {
    let p = palette(ui);
    response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, chosen, said));
    let (fill, edge) = match (chosen, response.hovered()) {
        (true, _) => (p.lead_wash, p.lead),
        (_, true) => (p.lead_wash, p.line),
        _ => (p.card, p.line),
    };
    let stroke = Stroke::new(if chosen { 2.0 } else { 1.0 }, edge);
    ui.painter()
        .rect(rect, CornerRadius::same(10), fill, stroke, StrokeKind::Inside);
    cells(ui);
    ring(ui, response, rect, 10);
    response.clicked()
}

/// A line on a tinted ground, for what must be noticed.
pub fn banner(ui: &mut Ui, tone: BannerTone, text: &str) -> Response {
    let (ink, wash) = tone.colours(ui);
    Frame::new()
        .fill(wash)
        .corner_radius(CornerRadius::same(12))
        .inner_margin(Margin::symmetric(14, 10))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(RichText::new(text).color(ink));
        })
        .response
}

/// What a view shows while there is nothing in it: a drawing, a line, and what to do.
pub fn empty(ui: &mut Ui, icon: Icon, title: &str, text: &str) {
    let p = palette(ui);
    ui.vertical_centered(|ui| {
        ui.add_space((ui.available_height() * 0.22).min(120.0));
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(64.0), Sense::hover());
        icons::paint(ui.painter(), icon, rect, p.edge);
        ui.add_space(12.0);
        section(ui, title);
        ui.set_max_width(ui.available_width().min(460.0));
        ui.label(RichText::new(text).color(p.soft));
    });
}

/// How much a button asks to be pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// The one thing to do next.
    Lead,
    /// Anything else.
    Plain,
    /// Hardly there until it is pointed at.
    Quiet,
}

/// A button with a drawing, a text, or both.
pub struct Button<'a> {
    icon: Option<Icon>,
    text: &'a str,
    name: Option<&'a str>,
    weight: Weight,
    selected: Option<bool>,
    enabled: bool,
    key: Option<&'a str>,
}

/// A button's text, the sizes of its drawing and of the gap before the text, and of all of it, in points.
struct ButtonFace {
    galley: Arc<Galley>,
    drawing: f32,
    gap: f32,
    size: Vec2,
}

impl<'a> Button<'a> {
    /// A button that says `text`.
    pub fn text(text: &'a str) -> Self {
        Button {
            icon: None,
            text,
            name: None,
            weight: Weight::Plain,
            selected: None,
            enabled: true,
            key: None,
        }
    }

    /// A drawing and a text.
    pub fn both(icon: Icon, text: &'a str) -> Self {
        Button {
            icon: Some(icon),
            ..Button::text(text)
        }
    }

    /// A drawing alone; `name` is shown when pointed at and read to those who cannot see it.
    pub fn icon(icon: Icon, name: &'a str) -> Self {
        Button {
            icon: Some(icon),
            name: Some(name),
            weight: Weight::Quiet,
            ..Button::text("")
        }
    }

    /// The one thing to do next.
    pub fn lead(mut self) -> Self {
        self.weight = Weight::Lead;
        self
    }

    /// Hardly there until it is pointed at.
    pub fn quiet(mut self) -> Self {
        self.weight = Weight::Quiet;
        self
    }

    /// A button that stays in: whether it is in.
    pub fn selected(mut self, selected: bool) -> Self {
        self.selected = Some(selected);
        self
    }

    /// Whether it can be pressed.
    pub fn enabled(mut self, enabled: bool) -> Self {
        self.enabled = enabled;
        self
    }

    /// The name for screen readers where it is not the text.
    pub fn name(mut self, name: &'a str) -> Self {
        self.name = Some(name);
        self
    }

    /// The key that does the same, shown when pointed at.
    pub fn key(mut self, key: &'a str) -> Self {
        self.key = Some(key);
        self
    }

    /// Puts it there.
    pub fn show(self, ui: &mut Ui) -> Response {
        if self.enabled {
            return self.add(ui);
        }
        // A scope takes whatever room there is, so a row of them would never wrap: this one has the button's own place.
        let (rect, _) = ui.allocate_exact_size(self.face(ui).size, Sense::hover());
        let mut place = ui.new_child(UiBuilder::new().max_rect(rect));
        place.disable();
        self.add(&mut place)
    }

    /// The text laid out, and the room that all of it takes.
    fn face(&self, ui: &Ui) -> ButtonFace {
        let font = if self.weight == Weight::Lead {
            theme::bold_font(17.0)
        } else {
            theme::font(17.0)
        };
        let galley = ui
            .painter()
            .layout_no_wrap(self.text.to_owned(), font, Color32::PLACEHOLDER);
        let (drawing, gap) = match (self.icon, self.text.is_empty()) {
            (Some(_), true) => (22.0, 0.0),
            (Some(_), false) => (20.0, 9.0),
            (None, _) => (0.0, 0.0),
        };
        let pad = if self.text.is_empty() { 11.0 } else { 16.0 };
        let size = vec2(drawing + gap + galley.size().x + 2.0 * pad, TOUCH).max(Vec2::splat(TOUCH));
        ButtonFace {
            galley,
            drawing,
            gap,
            size,
        }
    }

    fn add(&self, ui: &mut Ui) -> Response {
        let ButtonFace {
            galley,
            drawing,
            gap,
            size,
        } = self.face(ui);
        let (rect, response) = ui.allocate_exact_size(size, Sense::click());
        let name = self.name.unwrap_or(self.text);
        let info = || match self.selected {
            Some(selected) => WidgetInfo::selected(Role::Button, ui.is_enabled(), selected, name),
            None => WidgetInfo::labeled(Role::Button, ui.is_enabled(), name),
        };
        response.widget_info(info);
        let ink = self.ground(ui, rect, &response);
        let left = rect.center().x - (drawing + gap + galley.size().x) / 2.0;
        if let Some(icon) = self.icon {
            let square = Rect::from_min_size(egui::pos2(left, rect.center().y - drawing / 2.0), Vec2::splat(drawing));
            icons::paint(ui.painter(), icon, square, ink);
        }
        let at = egui::pos2(left + drawing + gap, rect.center().y - galley.size().y / 2.0);
        ui.painter().galley(at, galley, ink);
        ring(ui, &response, rect, 12);
        match (self.key, self.text.is_empty()) {
            (Some(key), true) => hint(response, &format!("{name}   {key}")),
            (Some(key), false) => hint_besides(response, &format!("{name}   {key}")),
            (None, true) => hint(response, name),
            (None, false) => response,
        }
    }

    /// Paints the ground; the colour for what stands on it.
    fn ground(&self, ui: &Ui, rect: Rect, response: &Response) -> Color32 {
        let p = palette(ui);
        let near = response.hovered() || response.is_pointer_button_down_on();
        let (fill, edge, ink) = match (self.weight, self.selected == Some(true)) {
            (_, true) => (p.lead_wash, p.lead, p.ink),
            (Weight::Lead, _) => (p.lead, p.lead, p.on_lead),
            // What is only pointed at does not look chosen.
            (Weight::Plain, _) if near && self.selected.is_some() => (p.well, p.edge, p.ink),
            (Weight::Plain, _) if near => (p.lead_wash, p.edge, p.ink),
            (Weight::Plain, _) => (p.card, p.edge, p.ink),
            (Weight::Quiet, _) if near => (p.lead_wash, Color32::TRANSPARENT, p.ink),
            (Weight::Quiet, _) => (Color32::TRANSPARENT, Color32::TRANSPARENT, p.ink),
        };
        let pressed = if response.is_pointer_button_down_on() { 1.0 } else { 0.0 };
        ui.painter().rect(
            rect.shrink(0.5 + pressed),
            CornerRadius::same(12),
            fill,
            Stroke::new(if self.selected == Some(true) { 2.0 } else { 1.0 }, edge),
            egui::StrokeKind::Inside,
        );
        ink
    }
}

/// A line that comes up beside what is pointed at, where it covers neither words nor what can be pressed; where there is no such
/// place, at least nothing that can be pressed.
pub fn hint(response: Response, text: &str) -> Response {
    hinted(response, text, true)
}

/// The same for a thing that says by itself what it is: without a place that covers nothing, there is no hint.
pub fn hint_besides(response: Response, text: &str) -> Response {
    hinted(response, text, false)
}

fn hinted(response: Response, text: &str, needed: bool) -> Response {
    let mut tooltip = Tooltip::for_enabled(&response);
    if !tooltip.popup.is_open() {
        return response;
    }
    let ctx = &response.ctx;
    let style = ctx.global_style();
    let font = TextStyle::Body.resolve(&style);
    let most = style.spacing.tooltip_width;
    let words = ctx.fonts_mut(|f| f.layout(text.to_owned(), font, Color32::PLACEHOLDER, most).size());
    let size = words.ceil() + Frame::popup(&style).total_margin().sum();
    let (taken, room) = (TakenPlaces::remembered(ctx), ctx.content_rect());
    let side = match taken.free_side((response.rect, HINT_GAP), size, room) {
        None if !needed => return response,
        None => taken.side_to_press((response.rect, HINT_GAP), size, room),
        free => free,
    };
    if let Some(side) = side {
        tooltip.popup = tooltip.popup.align(side);
    }
    tooltip.gap(HINT_GAP).width(size.x).show(|ui| ui.label(text));
    response
}

/// What is shown over everything for as long as a button is held, or the key that does the same (`key`): its corner `pivot` is at `at`.
pub fn while_held(button: &Response, key: bool, (pivot, at): (Align2, Pos2), add: impl FnOnce(&mut Ui)) {
    if !(button.is_pointer_button_down_on() || key) {
        return;
    }
    let frame = Frame::popup(&button.ctx.global_style()).inner_margin(Margin::same(14));
    Area::new(button.id.with("held"))
        // Over the hint of the button itself.
        .order(Order::Tooltip)
        .pivot(pivot)
        .fixed_pos(at)
        .show(&button.ctx, |ui| {
            frame.show(ui, add);
        });
}

/// Whether a button that opens a menu was pressed by the keyboard: the menu then takes the ring.
pub fn opened_by_key(ui: &Ui, button: &Response) -> bool {
    button.clicked() && ui.input(|i| i.key_pressed(egui::Key::Enter) || i.key_pressed(egui::Key::Space))
}

/// Whether Esc is pressed for the part that asks, which takes it. A list, menu or calendar that is open over the part is closed first.
pub fn escape(ui: &Ui) -> bool {
    let pressed = ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::Escape));
    let over = pressed && Popup::is_any_open(ui.ctx());
    if over {
        Popup::close_all(ui.ctx());
    }
    pressed && !over
}

/// The ring around what has the keyboard's focus, which is brought into sight when it gets it.
pub fn ring(ui: &Ui, response: &Response, rect: Rect, radius: u8) {
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if response.has_focus() {
        let stroke = Stroke::new(3.0, palette(ui).lead);
        ui.painter().rect_stroke(
            rect.expand(3.0),
            radius.saturating_add(3),
            stroke,
            egui::StrokeKind::Inside,
        );
    }
}

/// One of several, side by side: the chosen one is filled and has a bead before it. Whether the choice changed.
pub fn choice<T: PartialEq + Copy>(ui: &mut Ui, name: &str, value: &mut T, options: &[(T, &str)]) -> bool {
    let mut changed = false;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        for (option, text) in options {
            let said = format!("{name}: {text}");
            let button = Button::text(text).name(&said).selected(*value == *option);
            if button.show(ui).clicked() && *value != *option {
                *value = *option;
                changed = true;
            }
        }
    });
    changed
}

/// A column in the middle, at most so wide: in a large window lines stay short enough to read, and things stay together.
pub fn column(ui: &mut Ui, most: f32, add: impl FnOnce(&mut Ui)) {
    // The bar of a scroll area lies over its right edge.
    let width = (ui.available_width() - 14.0).min(most);
    let side = (ui.available_width() - width) / 2.0;
    ui.horizontal(|ui| {
        ui.add_space(if width < most { 0.0 } else { side });
        ui.vertical(|ui| {
            ui.set_width(width);
            add(ui);
        });
    });
}

/// A row of buttons in the middle, as wide as it was in the frame before; wrapped from the left where it has no room.
pub fn row_in_the_middle(ui: &mut Ui, name: &str, add: impl FnOnce(&mut Ui)) {
    let id = ui.scope_id().with(name);
    let known: f32 = ui.data(|d| d.get_temp(id)).unwrap_or(0.0);
    let room = ui.available_width();
    if known > room {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            add(ui);
        });
        return;
    }
    let row = ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        // In the first frame the width is not known yet.
        ui.add_space(if known > 0.0 { (room - known) / 2.0 } else { 0.0 });
        let left = ui.cursor().left();
        add(ui);
        ui.min_rect().right() - left
    });
    if (row.inner - known).abs() > 0.5 {
        ui.data_mut(|d| d.insert_temp(id, row.inner));
        ui.ctx().request_repaint();
    }
}
