//! The frame around the views: the rail, the keys that work everywhere, and help.

use egui::{Align2, CornerRadius, Frame, Id, Key, Margin, Modal, Modifiers, Panel, Role, Sense, Ui, Vec2};
use egui::{RichText, WidgetInfo, vec2};

use super::icons::{self, Icon};
use super::parts;
use super::prefs::TEXT_SIZES;
use super::shared::{MainView, Shared};
use super::taken::TakenPlaces;
use super::theme::{self, palette};
use super::toasts::Toasts;

const RAIL: f32 = 104.0;
/// Height of a thing on the rail where there is room, and the height from which its key is shown.
const ITEM: f32 = 66.0;
const WITH_KEY: f32 = 62.0;

/// Frames for which the keyboard is given back after the help page: in the first, nothing under the page takes it.
const GIVES_BACK: usize = 2;

/// What the frame itself remembers.
#[derive(Default)]
pub struct Shell {
    help: bool,
    /// Whether a widget had the keyboard's focus when the last frame ended: its first Esc only lets that go.
    focused: bool,
    /// What had the keyboard's focus when help was opened: it has it again once help is closed.
    typing: Option<Id>,
    /// What is to have it now, and for how many frames that is asked.
    gives_back: Option<(Id, usize)>,
    toasts: Toasts,
}

impl Shell {
    /// The keys that work everywhere, but for Esc; before the view is shown.
    pub fn keys(&mut self, ui: &Ui, shared: &mut Shared) {
        shared.keys.clear();
        let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
        let numbers = [
            Key::Num1,
            Key::Num2,
            Key::Num3,
            Key::Num4,
            Key::Num5,
            Key::Num6,
            Key::Num7,
        ];
        for (place, key) in MainView::ALL.into_iter().zip(numbers) {
            if pressed(Modifiers::COMMAND, key) {
                self.help = false;
                shared.go(place);
            }
        }
        if pressed(Modifiers::NONE, Key::F1) {
            self.toggle_help(ui.ctx());
        }
        let size = TEXT_SIZES
            .iter()
            .position(|(_, s)| *s == shared.prefs.text)
            .unwrap_or(1);
        if pressed(Modifiers::COMMAND, Key::Plus) || pressed(Modifiers::COMMAND, Key::Equals) {
            shared.prefs.text = TEXT_SIZES[(size + 1).min(TEXT_SIZES.len() - 1)].1;
        }
        if pressed(Modifiers::COMMAND, Key::Minus) {
            shared.prefs.text = TEXT_SIZES[size.saturating_sub(1)].1;
        }
    }

    fn toggle_help(&mut self, ctx: &egui::Context) {
        self.help = !self.help;
        match self.help {
            true => self.typing = ctx.memory(|m| m.focused()),
            false => self.gives_back = self.typing.take().map(|id| (id, GIVES_BACK)),
        }
    }

    /// The rail at the left.
    pub fn rail(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let p = palette(ui);
        let frame = Frame::new().fill(p.well).inner_margin(Margin::symmetric(8, 10));
        let panel = Panel::left("rail").resizable(false).exact_size(RAIL).frame(frame);
        panel.show_separator_line(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            // The sign above, the eight things of the rail, and the room between them.
            let high = ((ui.available_height() - 44.0 - 8.0 * 4.0) / 8.0).clamp(theme::TOUCH, ITEM);
            let (rect, sign) = ui.allocate_exact_size(vec2(RAIL - 16.0, 44.0), Sense::hover());
            sign.widget_info(|| WidgetInfo::labeled(Role::Image, true, "Soundbead"));
            let beads = egui::Rect::from_center_size(rect.center(), vec2(64.0, 40.0));
            icons::beads(ui.painter(), beads, p.edge, [p.lead, p.warm, p.good]);
            let last = MainView::ALL.len() - 1;
            for (at, place) in MainView::ALL.into_iter().enumerate().take(last) {
                self.item(ui, shared, place, at, high);
            }
            ui.with_layout(egui::Layout::bottom_up(egui::Align::Min), |ui| {
                if rail_button(ui, Icon::Help, ("Help", "F1"), high, self.help) {
                    self.toggle_help(ui.ctx());
                }
                self.item(ui, shared, MainView::Settings, last, high);
            });
        });
    }

    fn item(&mut self, ui: &mut Ui, shared: &mut Shared, place: MainView, at: usize, high: f32) {
        let key = format!("Ctrl {}", at + 1);
        if rail_button(ui, icon(place), (place.name(), &key), high, shared.place() == place) {
            shared.go(place);
        }
    }

    /// Help and the lines at the foot, over the view; then Esc, if the view had no use for it.
    pub fn over(&mut self, ui: &mut Ui, shared: &mut Shared) {
        if self.help && help(ui.ctx(), shared) {
            self.toggle_help(ui.ctx());
        }
        for line in shared.notebook.cautions() {
            shared.say_failed(line);
        }
        let mut room = ui.ctx().content_rect();
        room.min.x += RAIL;
        self.toasts.show(ui.ctx(), shared, room);
        TakenPlaces::now(ui.ctx(), ui.ctx().content_rect(), Toasts::layer()).remember(ui.ctx());
        if let Some((id, frames)) = self.gives_back.take() {
            ui.memory_mut(|m| m.request_focus(id));
            self.gives_back = frames.checked_sub(1).map(|left| (id, left));
            ui.ctx().request_repaint();
        }
        let escape = !self.focused && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
        if escape && self.help {
            self.toggle_help(ui.ctx());
        } else if escape {
            shared.back();
        }
        self.focused = ui.ctx().memory(|m| m.focused().is_some());
    }
}

fn icon(place: MainView) -> Icon {
    match place {
        MainView::Today => Icon::Today,
        MainView::Sounds => Icon::Sounds,
        MainView::Plan => Icon::Plan,
        MainView::Drill => Icon::Drill,
        MainView::Writing => Icon::Writing,
        MainView::Notebook => Icon::Notebook,
        MainView::Settings => Icon::Settings,
    }
}

/// A button of the rail: drawing, name, and the key where there is height for it.
fn rail_button(ui: &mut Ui, icon: Icon, (name, key): (&str, &str), high: f32, here: bool) -> bool {
    let p = palette(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(RAIL - 16.0, high), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, here, name));
    let ground = match (here, response.hovered()) {
        (true, _) => p.card,
        (false, true) => p.lead_wash,
        (false, false) => egui::Color32::TRANSPARENT,
    };
    let painter = ui.painter();
    painter.rect_filled(rect, CornerRadius::same(14), ground);
    if here {
        // Said by shape as well as by ground: a bead at the edge.
        painter.circle_filled(rect.left_center() + vec2(8.0, -12.0), 4.0, p.lead);
    }
    let colour = if here { p.lead } else { p.ink };
    let keyed = high >= WITH_KEY;
    // The drawing and the name, and the key below them, in the middle of what height there is.
    let top = rect.top() + ((high - if keyed { 66.0 } else { 50.0 }) / 2.0).max(-3.0);
    let middle = |y: f32| egui::pos2(rect.center().x, top + y);
    let square = egui::Rect::from_center_size(middle(17.0), Vec2::splat(23.0));
    icons::paint(painter, icon, square, colour);
    let font = if here {
        theme::bold_font(15.0)
    } else {
        theme::font(15.0)
    };
    painter.text(middle(40.0), Align2::CENTER_CENTER, name, font, colour);
    if keyed {
        painter.text(middle(57.0), Align2::CENTER_CENTER, key, theme::font(11.5), p.soft);
    }
    parts::ring(ui, &response, rect.shrink(3.0), 12);
    response.clicked()
}

/// The help page; whether it was closed.
fn help(ctx: &egui::Context, shared: &Shared) -> bool {
    let everywhere = [
        ("Ctrl 1 … 7", "go to a view"),
        ("Tab, Shift Tab", "next, previous thing"),
        ("Space, Enter", "press it"),
        ("Esc", "back"),
        ("Ctrl + , Ctrl −", "larger, smaller text"),
        ("F1", "this page"),
    ];
    let frame = Frame::popup(&ctx.global_style())
        .inner_margin(Margin::same(24))
        .corner_radius(CornerRadius::same(18));
    let modal = Modal::new(Id::unique("help")).frame(frame).show(ctx, |ui| {
        ui.set_width(460.0);
        parts::heading(ui, shared.place().name());
        let most = ui.ctx().content_rect().height() - 190.0;
        egui::ScrollArea::vertical()
            .id_salt("help")
            .max_height(most)
            .show(ui, |ui| {
                ui.set_max_width(440.0);
                ui.label(about(shared.place()));
                if !shared.keys.is_empty() {
                    ui.add_space(6.0);
                    keys(ui, "Keys here", &shared.keys);
                }
                ui.add_space(6.0);
                keys(ui, "Keys everywhere", &everywhere);
            });
        ui.add_space(6.0);
        parts::Button::text("Close").lead().key("Esc").show(ui).clicked()
    });
    modal.inner || modal.should_close()
}

fn keys(ui: &mut Ui, title: &str, keys: &[(&str, &str)]) {
    parts::section(ui, title);
    ui.scope(|ui| {
        ui.spacing_mut().interact_size.y = 24.0;
        let grid = egui::Grid::new(title).num_columns(2).spacing(vec2(20.0, 4.0));
        grid.show(ui, |ui| {
            for (key, does) in keys {
                ui.label(RichText::new(*key).font(theme::bold_font(16.0)));
                ui.label(*does);
                ui.end_row();
            }
        });
    });
}

fn about(place: MainView) -> &'static str {
    match place {
        MainView::Today => {
            "Say who is learning and start today's lesson. What it is about can be typed in one line; what is due, and \
             what is secure, is one press away."
        }
        MainView::Sounds => {
            "Pick a sound to see how the mouth makes it, hear it, and read what to say about it. Say a vowel and watch \
             where it lands on the chart."
        }
        MainView::Plan => {
            "Choose the words of a lesson: a chain in which each word differs from the last in one sound."
        }
        MainView::Drill => {
            "Say a word; the child puts down a bead for each sound, says it back, then changes one sound."
        }
        MainView::Writing => {
            "Say a word and its sentence; the child writes it. Nothing is corrected before the child is done. Or type in \
             what was written on paper."
        }
        MainView::Notebook => "What each learner did, and what the consultant wrote about it.",
        MainView::Settings => "How sounds are counted, whose voice the charts show, how the window looks.",
    }
}
