//! What is about to be printed, page by page, as the printer will have it; and where to save it.
//!
//! A view opens one with [`Shared::print`](super::Shared::print); it stands over the view until it is closed. The sheet is
//! made and written off the window's thread.

mod saving;

use std::sync::Arc;

use egui::{Key, Modifiers, Panel, Role, ScrollArea, Sense, Ui, WidgetInfo, vec2};

use super::icons::Icon;
use super::parts::{self, BannerTone, Button};
use super::shared::{MainView, Shared};
use super::theme::palette;
use super::to_print::{SheetMaker, ToPrint};
use crate::later::{Later, WorkResult};
use crate::sheet::{Paper, Sheet, paint};
use crate::ui::jobs;
use saving::SavePanel;

/// A sheet that is looked at before it is printed.
pub struct Preview {
    name: String,
    make: SheetMaker,
    /// Whether there are answers that can be left out.
    has_key: bool,
    key: bool,
    /// Where the window was when it was opened.
    pub(super) place: MainView,
    making: Option<Later<Result<Sheet, String>>>,
    /// What `sheet` was made for.
    made: Option<(Paper, bool)>,
    sheet: Option<Result<Arc<Sheet>, String>>,
    /// What is to be said of the sheet beside what it shows.
    note: Option<String>,
    page: usize,
    /// Window points to a point of paper; the whole page when none.
    zoom: Option<f32>,
    saving: SavePanel,
}

/// The steps of enlargement, in window points to a point of paper.
const ZOOMS: [f32; 6] = [0.5, 0.75, 1.0, 1.35, 1.8, 2.5];

impl Preview {
    /// A preview of this sheet, over the view of `place`.
    pub fn of(sheet: ToPrint, place: MainView) -> Preview {
        let mut saving = SavePanel::new(&sheet.name);
        saving.as_html = sheet.as_html;
        Preview {
            saving,
            name: sheet.name,
            make: sheet.make,
            has_key: sheet.has_key,
            key: sheet.has_key,
            place,
            making: None,
            made: None,
            sheet: None,
            note: None,
            page: 0,
            zoom: None,
        }
    }

    /// Shows it; whether it is to be closed.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) -> bool {
        self.made_ready(shared);
        let closed = self.bar(ui, shared) | self.keys(ui, shared);
        match &self.sheet {
            None => {
                if let Some(job) = &self.making {
                    jobs::show(job, ui);
                }
            }
            Some(Err(line)) => {
                parts::banner(ui, BannerTone::Alarm, line);
            }
            Some(Ok(sheet)) => {
                let sheet = sheet.clone();
                Panel::bottom("preview-saving")
                    .frame(egui::Frame::new().inner_margin(egui::Margin::symmetric(0, 8)))
                    .show_separator_line(false)
                    .show(ui, |ui| self.saving.show(ui, shared, &sheet));
                if let Some(note) = &self.note {
                    parts::banner(ui, BannerTone::Care, note);
                }
                self.page(ui, &sheet);
            }
        }
        closed
    }

    /// Starts making what is wanted and takes what is made.
    fn made_ready(&mut self, shared: &mut Shared) {
        let wanted = (shared.prefs.paper, self.key);
        if let Some(job) = &mut self.making {
            match job.take() {
                None => return,
                Some(WorkResult::Done(sheet)) => {
                    self.note = sheet.as_ref().ok().and_then(Sheet::unprintable_note);
                    self.sheet = Some(sheet.map(Arc::new));
                }
                Some(WorkResult::Cancelled | WorkResult::Failed) => {
                    self.sheet = Some(Err("The pages could not be made. Close this and try again.".into()));
                }
            }
            self.making = None;
        }
        if self.made != Some(wanted) {
            self.made = Some(wanted);
            let make = self.make.clone();
            let (paper, key) = wanted;
            self.making = Some(Later::start(&shared.ctx, "Making the pages", move |_| make(paper, key)));
        }
        let pages = self.pages();
        self.page = self.page.min(pages.saturating_sub(1));
    }

    fn pages(&self) -> usize {
        match &self.sheet {
            Some(Ok(sheet)) => sheet.pages.len(),
            _ => 0,
        }
    }

    /// Name, paper, key, pages and size; whether it is to be closed.
    fn bar(&mut self, ui: &mut Ui, shared: &mut Shared) -> bool {
        let mut closed = false;
        ui.horizontal_wrapped(|ui| {
            closed = Button::icon(Icon::Back, "Close the preview")
                .key("Esc")
                .show(ui)
                .clicked();
            parts::heading(ui, &self.name);
        });
        // In a narrow window the pages and the size have a row of their own.
        let one_row = ui.available_width() >= 960.0 || (!self.has_key && self.pages() < 2);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            let sizes = [(Paper::Letter, "US Letter"), (Paper::A4, "A4")];
            parts::choice(ui, "Paper", &mut shared.prefs.paper, &sizes);
            if self.has_key {
                ui.add_space(12.0);
                let kinds = [(true, "With the key"), (false, "Without the key")];
                parts::choice(ui, "Answers", &mut self.key, &kinds);
            }
            if one_row {
                ui.add_space(12.0);
                self.turn(ui);
            }
        });
        if !one_row {
            ui.horizontal(|ui| self.turn(ui));
        }
        ui.add_space(6.0);
        closed
    }

    /// The page in view and its size.
    fn turn(&mut self, ui: &mut Ui) {
        let pages = self.pages();
        if pages > 1 {
            let back = Button::text("‹")
                .name("Page before")
                .key("Page Up")
                .enabled(self.page > 0);
            if back.show(ui).clicked() {
                self.page -= 1;
            }
            ui.label(format!("Page {} of {pages}", self.page + 1));
            let on = Button::text("›").name("Next page").key("Page Down");
            if on.enabled(self.page + 1 < pages).show(ui).clicked() {
                self.page += 1;
            }
            ui.add_space(12.0);
        }
        if Button::icon(Icon::Less, "Smaller").key("-").show(ui).clicked() {
            self.resize(-1);
        }
        if Button::icon(Icon::Add, "Larger").key("+").show(ui).clicked() {
            self.resize(1);
        }
        let whole = Button::text("Whole page").key("0").selected(self.zoom.is_none());
        if whole.show(ui).clicked() {
            self.zoom = None;
        }
    }

    fn resize(&mut self, by: i32) {
        let now = self.zoom.unwrap_or(ZOOMS[1]);
        let at = ZOOMS.iter().position(|z| *z >= now).unwrap_or(ZOOMS.len() - 1);
        let to = at.saturating_add_signed(by as isize).min(ZOOMS.len() - 1);
        self.zoom = Some(ZOOMS[to]);
    }

    /// The keys; whether it is to be closed.
    fn keys(&mut self, ui: &mut Ui, shared: &mut Shared) -> bool {
        for (key, does) in [
            ("Page Up, Page Down", "another page"),
            ("+, -, 0", "larger, smaller, the whole page"),
            ("Esc", "close the preview"),
        ] {
            shared.key(key, does);
        }
        // Whoever writes a file name has these keys.
        if ui.ctx().text_edit_focused() {
            return false;
        }
        let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
        if pressed(Key::PageUp) {
            self.page = self.page.saturating_sub(1);
        }
        if pressed(Key::PageDown) {
            self.page = (self.page + 1).min(self.pages().saturating_sub(1));
        }
        if pressed(Key::Plus) || pressed(Key::Equals) {
            self.resize(1);
        }
        if pressed(Key::Minus) {
            self.resize(-1);
        }
        if pressed(Key::Num0) {
            self.zoom = None;
        }
        pressed(Key::Escape)
    }

    /// The page on its ground, scrolled where it is larger than the room.
    fn page(&self, ui: &mut Ui, sheet: &Sheet) {
        let Some(page) = sheet.pages.get(self.page) else { return };
        let (width, height) = sheet.paper.size();
        let room = ui.available_size() - vec2(24.0, 24.0);
        let whole = (room.x / width).min(room.y / height).max(0.2);
        let scale = self.zoom.unwrap_or(whole);
        let size = vec2(width, height) * scale;
        let ground = egui::Frame::new().fill(palette(ui).well).corner_radius(12);
        ground.show(ui, |ui| {
            ScrollArea::both().auto_shrink(false).id_salt(self.page).show(ui, |ui| {
                let all = (size + vec2(20.0, 20.0)).max(ui.available_size());
                let (outer, _) = ui.allocate_exact_size(all, Sense::hover());
                let rect = egui::Rect::from_center_size(outer.center(), size);
                let response = ui.interact(rect, ui.scope_id().with(("page", self.page)), Sense::hover());
                response.widget_info(|| WidgetInfo::labeled(Role::Document, true, self.spoken(sheet)));
                paint::draw(ui.painter(), page, sheet.paper, rect);
                let edge = egui::Stroke::new(1.0, palette(ui).edge);
                ui.painter().rect_stroke(rect, 0.0, edge, egui::StrokeKind::Outside);
            });
        });
    }

    /// The page for those who cannot see it: its number and its words.
    fn spoken(&self, sheet: &Sheet) -> String {
        let words: Vec<&str> = sheet.words(self.page).collect();
        format!("Page {} of {}: {}", self.page + 1, sheet.pages.len(), words.join(" "))
    }
}
