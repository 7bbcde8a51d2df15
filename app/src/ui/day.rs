//! A day that is typed, or picked from a month's calendar.

use egui::{
    Align2, CornerRadius, EventFilter, Id, Key, Margin, Modifiers, Popup, PopupCloseBehavior, Rect, Response, RichText,
    Role, Sense, Stroke, StrokeKind, TextEdit, Ui, Vec2, WidgetInfo, vec2,
};
use jiff::civil::Date;

use super::icons::Icon;
use super::parts::{self, Button};
use super::theme::{self, TOUCH, palette};
use crate::review::days::{CalendarStep, typed_day, weeks};

/// The days of a week in two letters, from Sunday.
const WEEKDAYS: [&str; 7] = ["Su", "Mo", "Tu", "We", "Th", "Fr", "Sa"];

/// What a field for a day asks for.
pub struct DayAsk<'a> {
    /// What the field is called by those who cannot see it.
    pub name: &'a str,
    /// What stands in it while it is empty.
    pub hint: &'a str,
    /// How wide it is, in points.
    pub width: f32,
    /// The day on which the calendar opens where none is typed.
    pub at: Date,
    /// A typed day without a year is the last such day up to this one.
    pub newest: Date,
    /// The first and the last day that can be picked.
    pub within: (Option<Date>, Option<Date>),
    /// Days on which something was done: they have a dot.
    pub marked: &'a dyn Fn(Date) -> bool,
}

/// What became of a field for a day.
pub struct DayShown {
    /// The field itself.
    pub field: Response,
    /// The day that was picked from the calendar just now; the field says it too.
    pub picked: Option<Date>,
}

/// A day as it is typed, and the calendar that may be open below it.
#[derive(Default)]
pub struct DayField {
    /// What is typed.
    pub text: String,
    /// Where the ring is while the calendar is open.
    cursor: Option<Date>,
    /// Whether the keyboard is to go to the ring's day.
    moved: bool,
}

impl DayField {
    /// The field and the button of its calendar.
    pub fn show(&mut self, ui: &mut Ui, ask: &DayAsk) -> DayShown {
        let edit = TextEdit::singleline(&mut self.text)
            .hint_text(ask.hint)
            .desired_width(ask.width)
            .margin(Margin::symmetric(10, 4))
            .min_size(vec2(ask.width, TOUCH))
            .align(Align2::LEFT_CENTER);
        let field = ui.add(edit);
        field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, ask.name));
        let button = Button::icon(Icon::Calendar, &format!("Pick a day: {}", ask.name)).show(ui);
        if button.clicked() {
            let typed = typed_day(&self.text, ask.newest);
            self.cursor = Some(CalendarStep::Days(0).from(typed.unwrap_or(ask.at), ask.within));
            self.moved = true;
        }
        let mut picked = None;
        let calendar = Popup::from_toggle_button_response(&button)
            .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
            .accessible_name(format!("A month: {}", ask.name));
        calendar.show(|ui| picked = self.calendar(ui, ask));
        if let Some(day) = picked {
            self.text = day.to_string();
            button.request_focus();
        }
        DayShown { field, picked }
    }

    /// The calendar; the day that was picked.
    fn calendar(&mut self, ui: &mut Ui, ask: &DayAsk) -> Option<Date> {
        let base = ui.scope_id();
        let mut cursor = self.cursor.unwrap_or(ask.at);
        ui.spacing_mut().item_spacing = Vec2::splat(2.0);
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
            ui.close();
        }
        // Arrows are the calendar's own while a day has the keyboard; elsewhere they lead on to it.
        let on_day = ui.memory(|m| m.has_focus(base.with(cursor)));
        if let Some(step) = on_day.then(|| step(ui)).flatten() {
            cursor = step.from(cursor, ask.within);
            self.moved = true;
        }
        if let Some(step) = head(ui, cursor, ask.within) {
            cursor = step.from(cursor, ask.within);
        }
        if self.moved {
            ui.memory_mut(|m| m.request_focus(base.with(cursor)));
            // In the frame in which the calendar finds its size nothing can have the keyboard yet.
            self.moved = ui.is_sizing_pass();
        }
        let typed = typed_day(&self.text, ask.newest);
        let mut picked = None;
        for week in weeks(cursor) {
            ui.horizontal(|ui| {
                for day in week {
                    let shown = |day| CalendarDay {
                        day,
                        id: base.with(day),
                        chosen: typed == Some(day),
                        marked: (ask.marked)(day),
                        open: CalendarStep::Days(0).from(day, ask.within) == day,
                    };
                    let Some(one) = cell(ui, day.map(shown)) else { continue };
                    if one.gained_focus() {
                        cursor = day.unwrap_or(cursor);
                    }
                    if one.clicked() {
                        picked = day;
                        ui.close();
                    }
                }
            });
        }
        self.cursor = Some(cursor);
        picked
    }
}

/// The step that a key asks for.
fn step(ui: &Ui) -> Option<CalendarStep> {
    let keys = [
        (Key::ArrowLeft, CalendarStep::Days(-1)),
        (Key::ArrowRight, CalendarStep::Days(1)),
        (Key::ArrowUp, CalendarStep::Days(-7)),
        (Key::ArrowDown, CalendarStep::Days(7)),
        (Key::PageUp, CalendarStep::Months(-1)),
        (Key::PageDown, CalendarStep::Months(1)),
    ];
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    keys.into_iter().find(|(key, _)| pressed(*key)).map(|(_, step)| step)
}

/// The month's name between the ways to the months beside it, and the days of the week.
fn head(ui: &mut Ui, cursor: Date, (first, last): (Option<Date>, Option<Date>)) -> Option<CalendarStep> {
    let mut step = None;
    ui.horizontal(|ui| {
        let before = first.is_none_or(|first| first < cursor.first_of_month());
        let after = last.is_none_or(|last| last > cursor.last_of_month());
        let way = |icon, name, open| Button::icon(icon, name).enabled(open);
        if way(Icon::Back, "The month before", before).show(ui).clicked() {
            step = Some(CalendarStep::Months(-1));
        }
        let wide = (TOUCH + 2.0) * 5.0 - 2.0;
        ui.allocate_ui_with_layout(
            vec2(wide, TOUCH),
            egui::Layout::centered_and_justified(egui::Direction::LeftToRight),
            |ui| parts::section(ui, &cursor.strftime("%B %Y").to_string()),
        );
        if way(Icon::Next, "The month after", after).show(ui).clicked() {
            step = Some(CalendarStep::Months(1));
        }
    });
    ui.horizontal(|ui| {
        for name in WEEKDAYS {
            let soft = palette(ui).soft;
            let text = RichText::new(name).font(theme::font(13.0)).color(soft);
            ui.add_sized(vec2(TOUCH, 20.0), egui::Label::new(text).selectable(false));
        }
    });
    step
}

/// A day on the calendar.
struct CalendarDay {
    day: Date,
    id: Id,
    /// Whether it is the one that is typed.
    chosen: bool,
    /// Whether something was done on it.
    marked: bool,
    /// Whether it can be picked.
    open: bool,
}

/// A day's place on the calendar; no response where there is no day, or none that can be picked.
fn cell(ui: &mut Ui, shown: Option<CalendarDay>) -> Option<Response> {
    let (rect, _) = ui.allocate_exact_size(Vec2::splat(TOUCH), Sense::hover());
    let CalendarDay {
        day,
        id,
        chosen,
        marked,
        open,
    } = shown?;
    let p = palette(ui);
    let sense = if open { Sense::click() } else { Sense::hover() };
    let response = ui.interact(rect, id, sense);
    let told = if marked { ", a lesson" } else { "" };
    let said = format!("{}{told}", day.strftime("%A %-d %B %Y"));
    response.widget_info(|| WidgetInfo::selected(Role::Button, open, chosen, &said));
    if response.has_focus() {
        // Arrows and Esc are the calendar's; Tab goes on.
        let filter = EventFilter {
            tab: false,
            horizontal_arrows: true,
            vertical_arrows: true,
            escape: true,
        };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
    }
    let near = open && response.hovered();
    if chosen || near {
        let stroke = Stroke::new(if chosen { 2.0 } else { 1.0 }, if chosen { p.lead } else { p.line });
        ui.painter().rect(
            rect.shrink(1.0),
            CornerRadius::same(10),
            p.lead_wash,
            stroke,
            StrokeKind::Inside,
        );
    }
    let colour = if open { p.ink } else { p.edge };
    let text = day.day().to_string();
    ui.painter()
        .text(rect.center(), Align2::CENTER_CENTER, text, theme::font(16.0), colour);
    if marked {
        dot(ui, rect);
    }
    parts::ring(ui, &response, rect.shrink(3.0), 8);
    open.then_some(response)
}

/// The dot of a day on which something was done.
fn dot(ui: &Ui, rect: Rect) {
    let at = rect.center_bottom() - vec2(0.0, 7.0);
    ui.painter().circle_filled(at, 2.5, palette(ui).lead);
}
