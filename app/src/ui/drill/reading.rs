//! A minute of quick reading, as it is drawn: one word, large, and what whoever sits beside says of it.
//!
//! What happens is the [`ReadingSession`]'s; this draws its state and sends it [`ReadingIntent`]s.

use egui::{Key, Modifiers, Rect, RichText, Role, Sense, Ui, WidgetInfo, vec2};

use super::room;
use crate::drill::reading::{LEAST_WORDS, ReadingIntent, ReadingSession, ReadingStep};
use crate::equipment::News;
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::{self, palette};

/// Size of the word that is read, in points; a large window has it larger.
const WORD: f32 = 84.0;
/// Width and height of the line that fills in a minute, in points.
const LINE: [f32; 2] = [420.0, 10.0];
/// How often the line is drawn anew, in seconds.
const DRAWN_S: f32 = 0.2;

/// The minute as it is drawn.
#[derive(Default)]
pub struct ReadingView {
    session: ReadingSession,
}

impl ReadingView {
    /// Opens it.
    pub fn open(&mut self, shared: &mut Shared) {
        self.act(shared, ReadingIntent::Open);
    }

    /// Whether it stands in the place of the lesson.
    pub fn is_open(&self) -> bool {
        self.session.is_open()
    }

    fn act(&mut self, shared: &mut Shared, intent: ReadingIntent) {
        self.session.apply(&mut shared.equipment(), intent);
    }

    /// Takes in what came. The time of another view does not count.
    pub fn poll(&mut self, shared: &mut Shared, shown: bool) {
        let now_s = shared.ctx.input(|i| i.time);
        if self.session.poll(now_s, shown) {
            shared.ctx.request_repaint_after_secs(DRAWN_S);
        }
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
        egui::ScrollArea::vertical().id_salt("reading").auto_shrink(false).show(ui, |ui| {
            room::in_the_middle(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 14.0;
                match self.session.step() {
                    ReadingStep::Closed | ReadingStep::Fetching => drop(ui.spinner()),
                    ReadingStep::TooFew => parts::empty(
                        ui,
                        Icon::Today,
                        "Not enough words yet",
                        &format!(
                            "It is made of words that the child has worked on: {LEAST_WORDS} at least. After a lesson or two there are \
                             enough."
                        ),
                    ),
                    ReadingStep::Ready => self.ready(ui, &mut out),
                    ReadingStep::Reading | ReadingStep::LastWord => self.reading(ui, &mut out),
                    ReadingStep::Done | ReadingStep::Stopped => self.done(ui, &mut out),
                }
            });
        });
        for intent in out {
            self.act(shared, intent);
        }
    }

    fn keys(&self, ui: &Ui, shared: &mut Shared, out: &mut Vec<ReadingIntent>) {
        shared.key("→ , Space", "the word was read");
        shared.key("←", "the word comes again");
        shared.key("Enter", "begin, and close");
        shared.key("Ctrl Z", "undo");
        let free = ui.memory(|m| m.focused().is_none() && m.top_modal_layer().is_none());
        let pressed = |key| free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
        let runs = self.session.word().is_some();
        if pressed(Key::Escape) {
            out.push(if runs {
                ReadingIntent::Stop
            } else {
                ReadingIntent::Close
            });
        }
        if free && ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Z)) {
            out.push(ReadingIntent::Undo);
        }
        if runs {
            if pressed(Key::ArrowRight) || pressed(Key::Space) {
                out.push(ReadingIntent::Read);
            }
            if pressed(Key::ArrowLeft) {
                out.push(ReadingIntent::Again);
            }
        } else if pressed(Key::Enter) {
            out.push(match self.session.step() {
                ReadingStep::Ready => ReadingIntent::Start,
                _ => ReadingIntent::Close,
            });
        }
    }

    fn top(&self, ui: &mut Ui, out: &mut Vec<ReadingIntent>) {
        let runs = self.session.word().is_some();
        ui.horizontal_wrapped(|ui| {
            if runs {
                if Button::both(Icon::Close, "Stop").quiet().key("Esc").show(ui).clicked() {
                    out.push(ReadingIntent::Stop);
                }
                let undo = Button::both(Icon::Undo, "Undo").quiet().key("Ctrl Z");
                if undo.enabled(self.session.can_undo()).show(ui).clicked() {
                    out.push(ReadingIntent::Undo);
                }
            } else {
                if Button::both(Icon::Back, "Back").quiet().key("Esc").show(ui).clicked() {
                    out.push(ReadingIntent::Close);
                }
                parts::heading(ui, "A minute of reading");
            }
        });
    }

    fn ready(&self, ui: &mut Ui, out: &mut Vec<ReadingIntent>) {
        ui.add_space(room::above(ui, 300.0));
        ui.vertical_centered(|ui| {
            ui.label(RichText::new("Words come one by one. Read each aloud.").font(room::asking(ui)));
            let text = format!(
                "For the grown-up: press → when a word is read, ← when it is to come again. {} to read.",
                many(self.session.words(), "word")
            );
            ui.label(RichText::new(text).color(palette(ui).soft));
            ui.add_space(10.0);
            let start = Button::both(Icon::Play, "Begin the minute").lead().key("Enter");
            if start.show(ui).clicked() {
                out.push(ReadingIntent::Start);
            }
        });
    }

    fn reading(&self, ui: &mut Ui, out: &mut Vec<ReadingIntent>) {
        ui.add_space(room::above(ui, 380.0));
        let last = self.session.step() == ReadingStep::LastWord;
        ui.vertical_centered(|ui| {
            self.line(ui);
            ui.add_space(24.0 * room::grown(ui));
            let size = if room::low(ui) { 56.0 } else { WORD * room::grown(ui) };
            room::spelling(ui, self.session.word().unwrap_or_default(), size);
            // As high with a line as without: the buttons stay where they are.
            ui.scope(|ui| {
                ui.set_min_height(30.0);
                if last {
                    ui.label(RichText::new("The minute is over. This word still counts.").size(19.0));
                }
            });
            ui.add_space(16.0);
        });
        parts::row_in_the_middle(ui, "read", |ui| {
            if Button::both(Icon::Undo, "Again later").key("←").show(ui).clicked() {
                out.push(ReadingIntent::Again);
            }
            if Button::both(Icon::Done, "Read").lead().key("→").show(ui).clicked() {
                out.push(ReadingIntent::Read);
            }
        });
    }

    /// A line that fills in a minute: no numbers run.
    fn line(&self, ui: &mut Ui) {
        let p = palette(ui);
        let share = self.session.share();
        let width = LINE[0].min(ui.available_width());
        let (rect, response) = ui.allocate_exact_size(vec2(width, LINE[1]), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::ProgressIndicator, true, "The minute"));
        let round = LINE[1] / 2.0;
        ui.painter().rect_filled(rect, round, p.well);
        let filled = Rect::from_min_size(rect.min, vec2((rect.width() * share).max(LINE[1]), rect.height()));
        ui.painter().rect_filled(filled, round, p.edge);
    }

    fn done(&self, ui: &mut Ui, out: &mut Vec<ReadingIntent>) {
        ui.add_space(room::above(ui, 340.0));
        let whole = self.session.step() == ReadingStep::Done;
        ui.vertical_centered(|ui| match whole {
            true => {
                ui.label(RichText::new(self.session.told()).font(room::asking(ui)));
                parts::note(
                    ui,
                    "Words that were read at once. Each day is a day of its own: tired or awake, new words or old.",
                );
            }
            false => {
                ui.label(RichText::new("Ended before the minute was over.").font(room::asking(ui)));
                parts::note(ui, "Nothing of it is counted or kept.");
            }
        });
        let again = self.session.again();
        if !again.is_empty() {
            ui.vertical_centered(|ui| {
                ui.label(RichText::new("To look at once more").font(theme::bold_font(18.0)));
                ui.label(RichText::new(again.join(", ")).size(24.0));
            });
        }
        ui.add_space(10.0);
        parts::row_in_the_middle(ui, "done", |ui| {
            if Button::both(Icon::Done, "Close")
                .name("Close the minute")
                .lead()
                .key("Enter")
                .show(ui)
                .clicked()
            {
                out.push(ReadingIntent::Close);
            }
            if Button::text("Another minute").quiet().show(ui).clicked() {
                out.push(ReadingIntent::Start);
            }
        });
    }
}
