//! The list of attempts, the latest first, and what is looked for in it.

use egui::{Align2, ComboBox, CornerRadius, Rect, Role, ScrollArea, Sense, Stroke, StrokeKind, TextEdit, Ui};
use egui::{WidgetInfo, pos2, vec2};
use soundbead_data::{Sound, inventory};
use soundbead_dsp::judgement::Verdict;

use crate::later::Latest;
use crate::notebook::{Attempt, Filter, Id, ListRange, NotebookError};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, TOUCH, palette};
use crate::wording;

/// Height of a row.
const ROW: f32 = 52.0;
/// Rows that are fetched at once.
const TAKE: u64 = 200;

/// What a verdict is called in the list.
pub fn called(verdict: Verdict) -> &'static str {
    wording::verdict(verdict).short
}

/// The list.
#[derive(Default)]
pub struct Timeline {
    /// What is looked for.
    pub filter: Filter,
    asked: Option<Filter>,
    count: Latest<u64, NotebookError>,
    rows: Latest<(u64, Vec<Attempt>), NotebookError>,
    /// Which row is in hand.
    pub at: u64,
    /// Whether that row is to be brought into sight.
    pub follow: bool,
    /// The rows that were in sight.
    seen: std::ops::Range<u64>,
}

impl Timeline {
    /// How many attempts there are.
    pub fn len(&self) -> u64 {
        self.count.value.unwrap_or(0)
    }

    /// Whether there is nothing at all, whatever is looked for.
    pub fn is_empty_notebook(&self) -> bool {
        self.len() == 0 && self.filter == Filter::default()
    }

    /// Whether the number is not known yet.
    pub fn is_opening(&self) -> bool {
        self.count.value.is_none()
    }

    /// Asks for everything anew.
    pub fn stale(&mut self) {
        self.asked = None;
    }

    /// The attempt of a row, if it is here.
    pub fn row(&self, at: u64) -> Option<&Attempt> {
        let (skip, rows) = self.rows.value.as_ref()?;
        rows.get(usize::try_from(at.checked_sub(*skip)?).ok()?)
    }

    /// Puts an attempt in the place of its older self.
    pub fn renew(&mut self, attempt: &Attempt) {
        let rows = self.rows.value.iter_mut().flat_map(|(_, rows)| rows);
        rows.filter(|row| row.id == attempt.id)
            .for_each(|row| *row = attempt.clone());
    }

    /// Moves the row in hand by so many; whether it moved.
    pub fn step(&mut self, by: i64) -> bool {
        let last = self.len().saturating_sub(1);
        let to = self.at.saturating_add_signed(by).min(last);
        let moved = to != self.at;
        (self.at, self.follow) = (to, true);
        moved
    }

    /// Asks for what is missing, and takes in what came.
    pub fn poll(&mut self, shared: &mut Shared, learner: Id) {
        if self.asked.as_ref() != Some(&self.filter) {
            let anew = self.asked.is_some() || self.count.value.is_none();
            let filter = self.filter.clone();
            self.asked = Some(filter.clone());
            self.count
                .ask(shared.notebook.ask(move |n| n.count_attempts(learner, &filter)));
            self.fetch(shared, learner, if anew { 0 } else { self.at });
            if anew {
                (self.at, self.follow) = (0, true);
            }
        }
        self.count.take(shared);
        self.rows.take(shared);
        let here = |at: u64| self.row(at).is_some();
        let last = self.len().saturating_sub(1);
        let wanted = [
            self.at.min(last),
            self.seen.start.min(last),
            self.seen.end.saturating_sub(1).min(last),
        ];
        if self.len() > 0
            && !self.rows.busy()
            && let Some(missing) = wanted.into_iter().find(|at| !here(*at))
        {
            self.fetch(shared, learner, missing);
        }
    }

    fn fetch(&mut self, shared: &Shared, learner: Id, around: u64) {
        let (filter, skip) = (self.filter.clone(), around.saturating_sub(TAKE / 2));
        let page = ListRange { skip, take: TAKE };
        self.rows.ask(
            shared
                .notebook
                .ask(move |n| Ok((skip, n.attempts(learner, &filter, page)?))),
        );
    }

    /// The row of filters.
    pub fn filters(&mut self, ui: &mut Ui) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            let mut word = self.filter.word.clone().unwrap_or_default();
            let field = TextEdit::singleline(&mut word)
                .hint_text("Word")
                .desired_width(96.0)
                .min_size(vec2(96.0, TOUCH))
                .align(Align2::LEFT_CENTER);
            let field = ui.add(field);
            field.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "Only this word"));
            if field.changed() {
                let word = word.trim().to_lowercase();
                self.filter.word = Some(word).filter(|w| !w.is_empty());
            }
            sound(ui, &mut self.filter.sound);
            verdict(ui, &mut self.filter.verdict);
            for (on, text, name) in [
                (
                    &mut self.filter.disagreed,
                    "Disagreed",
                    "Only where person and program disagree",
                ),
                (&mut self.filter.unruled, "No ruling", "Only those nobody has ruled on"),
                (
                    &mut self.filter.miscounted,
                    "Miscounted",
                    "Only where the child's count was not the word's",
                ),
            ] {
                if Button::text(text).name(name).selected(*on).show(ui).clicked() {
                    *on = !*on;
                }
            }
            if self.filter != Filter::default() && Button::text("Show all").quiet().show(ui).clicked() {
                self.filter = Filter::default();
            }
        });
    }

    /// The list; whether a row was picked.
    pub fn list(&mut self, ui: &mut Ui) -> bool {
        let count = self.len();
        if count == 0 {
            if self.is_opening() {
                ui.spinner();
            } else if self.is_empty_notebook() {
                parts::empty(
                    ui,
                    Icon::Drill,
                    "No attempts yet",
                    "What the learner says in a lesson is listed here, the latest first.",
                );
            } else {
                parts::section(ui, "None of this kind");
                parts::note(ui, "Take a filter off to see more.");
            }
            return false;
        }
        parts::note(
            ui,
            &format!(
                "Attempt {} of {count}.  J next, K back, Space plays, N notes",
                self.at + 1
            ),
        );
        let mut area = ScrollArea::vertical().id_salt("timeline").auto_shrink([false, false]);
        if std::mem::take(&mut self.follow) {
            // The row in hand is brought to the middle when it is out of sight.
            let sight = self.seen.end.saturating_sub(self.seen.start).max(1);
            if !(self.seen.start..self.seen.end.saturating_sub(1)).contains(&self.at) {
                let top = self.at.saturating_sub(sight / 2) as f32 * (ROW + ui.spacing().item_spacing.y);
                area = area.vertical_scroll_offset(top);
            }
        }
        let mut picked = None;
        area.show_rows(ui, ROW, usize::try_from(count).unwrap_or(usize::MAX), |ui, range| {
            self.seen = range.start as u64..range.end as u64;
            for at in self.seen.clone() {
                if self.one(ui, at) {
                    picked = Some(at);
                }
            }
        });
        if let Some(at) = picked {
            self.at = at;
        }
        picked.is_some()
    }

    /// One row; whether it was picked.
    fn one(&self, ui: &mut Ui, at: u64) -> bool {
        let p = palette(ui);
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width() - 6.0, ROW), Sense::click());
        let Some(a) = self.row(at) else {
            ui.painter().text(
                rect.left_center() + vec2(14.0, 0.0),
                Align2::LEFT_CENTER,
                "…",
                theme::font(17.0),
                p.soft,
            );
            return false;
        };
        let chosen = at == self.at;
        response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, chosen, said(a)));
        let (fill, edge) = match (chosen, response.hovered()) {
            (true, _) => (p.lead_wash, p.lead),
            (_, true) => (p.lead_wash, p.line),
            _ => (p.card, p.line),
        };
        let stroke = Stroke::new(if chosen { 2.0 } else { 1.0 }, edge);
        ui.painter()
            .rect(rect, CornerRadius::same(10), fill, stroke, StrokeKind::Inside);
        cells(ui, a, rect);
        parts::ring(ui, &response, rect, 10);
        response.clicked()
    }
}

/// What stands in a row: word and time, the three counts, verdict and ruling.
fn cells(ui: &Ui, a: &Attempt, rect: Rect) {
    let p = palette(ui);
    let painter = ui.painter_at(rect.shrink(6.0));
    let text = |x: f32, y: f32, text: &str, font, colour| {
        let at = pos2(rect.left() + x, rect.top() + y);
        painter.text(at, Align2::LEFT_CENTER, text, font, colour);
    };

    text(14.0, 18.0, &a.word, theme::bold_font(17.0), p.ink);
    text(14.0, 37.0, &a.at.local(), theme::font(13.0), p.soft);
    let number = |n: Option<u16>| n.map_or("–".to_owned(), |n| n.to_string());
    let counts = format!("{} · {} · {}", a.expected_now, number(a.edits.child), number(a.heard));
    let off = a.miscounted();
    text(
        170.0,
        18.0,
        &counts,
        theme::font(16.0),
        if off { p.warm } else { p.ink },
    );
    text(170.0, 37.0, "word · child · heard", theme::font(11.5), p.soft);
    let verdict = a.verdict.map_or("not judged", called);
    text(286.0, 18.0, verdict, theme::font(14.5), p.ink);
    let rulings = rulings(a);
    let colour = if a.disagreed() { p.warm } else { p.good };
    text(
        286.0,
        37.0,
        rulings.as_deref().unwrap_or("no ruling yet"),
        theme::font(13.0),
        if rulings.is_some() { colour } else { p.soft },
    );
}

/// Who ruled what, side by side; none where nobody did.
pub fn rulings(a: &Attempt) -> Option<String> {
    let each = a
        .edits
        .rulings
        .iter()
        .map(|r| format!("{}: {}", r.by, called(r.verdict)));
    let each: Vec<String> = each.collect();
    (!each.is_empty()).then(|| each.join("; "))
}

/// A row in words.
fn said(a: &Attempt) -> String {
    let number = |n: Option<u16>| n.map_or("none".to_owned(), |n| n.to_string());
    let ruling = rulings(a).unwrap_or("no ruling".to_owned());
    format!(
        "{}, {}, expected {}, child {}, heard {}, {}, {ruling}",
        a.word,
        a.at.local(),
        a.expected_now,
        number(a.edits.child),
        number(a.heard),
        a.verdict.map_or("not judged", called)
    )
}

fn sound(ui: &mut Ui, chosen: &mut Option<Sound>) {
    let name = |s: Option<Sound>| {
        s.map_or("Any sound".to_owned(), |s| {
            format!("Sound {}", inventory::of(s).respelling)
        })
    };
    let combo = ComboBox::from_id_salt("filter by sound")
        .selected_text(name(*chosen))
        .width(116.0);
    combo.show_ui(ui, |ui| {
        ui.selectable_value(chosen, None, name(None));
        for sound in Sound::all() {
            let entry = inventory::of(sound);
            ui.selectable_value(chosen, Some(sound), format!("{}  /{}/", entry.respelling, entry.ipa));
        }
    });
}

fn verdict(ui: &mut Ui, chosen: &mut Option<Verdict>) {
    let name = |v: Option<Verdict>| v.map_or("Any verdict", called);
    let combo = ComboBox::from_id_salt("filter by verdict")
        .selected_text(name(*chosen))
        .width(150.0);
    combo.show_ui(ui, |ui| {
        ui.selectable_value(chosen, None, name(None));
        for verdict in Verdict::ALL {
            ui.selectable_value(chosen, Some(verdict), called(verdict));
        }
    });
}
