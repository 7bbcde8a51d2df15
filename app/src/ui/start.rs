//! The opening: who is learning, and one large way into today's lesson. Quiet, and without a word of the lesson on it: the
//! child is looking.

mod name;

use std::collections::HashSet;

use egui::{Key, Modifiers, Rect, RichText, Role, Sense, TextEdit, Ui, WidgetInfo, vec2};
use soundbead_data::course;

use super::drill::beads;
use super::icons::{self, Icon};
use super::parts::{self, BannerTone, Button};
use super::shared::{MainView, Shared};
use super::theme::{self, TOUCH, palette};
use super::today::{TodayAction, TodayView};
use crate::ask::{coming_back, tonight};
use crate::drill::course::{EvidenceLoader, WritingEvidence};
use crate::drill::opening::{InHand, Opening, OpeningIntent, OpeningOutcome, holds};
use crate::drill::plan_parts::PlanPart;
use crate::drill::reading::LEAST_WORDS;
use crate::equipment::News;
use crate::plan::PlanItem;
use crate::say::many;

/// Width of the column in the middle, in points.
const COLUMN: f32 = 620.0;
/// The large button, and its shorter form where there is little height.
const START: [egui::Vec2; 2] = [vec2(430.0, 96.0), vec2(400.0, 64.0)];
/// Height at the foot of the window where lines come up, in points: no button lies under them.
const LINES: f32 = 76.0;
/// Height of the lines on what would start, in points.
const TOLD: f32 = 72.0;
/// Height from which there is room to breathe, in points.
const TALL: f32 = 620.0;

/// What a lesson is often about (common practice, no source); every other line can be typed.
const EXAMPLES: [&str; 4] = ["what is due", "short e and short i", "s and sh", "ck or k"];

/// The opening as it is drawn.
#[derive(Default)]
pub struct StartView {
    opening: Opening,
    name: name::NameField,
    /// Whether somebody new is being named.
    naming: bool,
    news: Vec<News>,
    /// What was wanted and waits for what is known of the learner.
    held: Vec<OpeningIntent>,
    course: EvidenceLoader,
    /// Where the learner stands, while that is shown in the place of the opening.
    stands: Option<TodayView>,
    /// What is due; worked out when the evidence comes.
    due: Vec<String>,
    due_of: Option<WritingEvidence>,
    /// What was not kept in each word that is due.
    lost: Vec<Vec<String>>,
    /// What comes back with a plan that is made now.
    brought_again: Option<String>,
}

impl StartView {
    /// Takes in what came, whether the view is shown or not; what is to happen, if something is.
    pub fn poll(&mut self, shared: &mut Shared) -> Option<OpeningOutcome> {
        let go = self.opening.poll(&mut shared.equipment(), &mut self.news);
        self.course
            .poll(&shared.notebook, shared.learner.as_ref().map(|l| l.id));
        if self.due_of.as_ref() != self.course.evidence() {
            self.due_of = self.course.evidence().cloned();
            self.due = self
                .due_of
                .as_ref()
                .map_or_else(Vec::new, |e| course::due(&e.tries, e.today));
            let known = self.due_of.as_ref().filter(|_| !self.due.is_empty());
            self.lost = known.map_or_else(Vec::new, |e| coming_back::of_each(&e.tries, &self.due));
            self.brought_again = known.and_then(|e| {
                let words = tonight::brought_again(&e.tries, &e.named, e.today);
                coming_back_today(&coming_back::of_each(&e.tries, &words))
            });
        }
        for news in self.news.drain(..) {
            match news {
                News::Said(line) => shared.say(line),
                News::Failed(line) => shared.say_failed(line),
            }
        }
        go
    }

    /// The view is gone to: another one may have changed who there is.
    pub fn renew(&mut self, shared: &mut Shared) {
        self.opening.stale(&shared.equipment());
        self.course.renew(&shared.notebook);
    }

    /// Words of the learner in hand that are due.
    pub fn due(&self) -> &[String] {
        &self.due
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, in_hand: &InHand) {
        let mut out = Vec::new();
        if let Some(plan) = self.standing(ui, shared) {
            if plan {
                self.held
                    .extend([OpeningIntent::About(String::new()), OpeningIntent::Make]);
                ui.ctx().request_repaint();
            }
            return;
        }
        self.keys(ui, shared, &mut out);
        let tall = ui.available_height() > TALL;
        let mut stands = false;
        egui::ScrollArea::vertical()
            .id_salt("opening")
            .auto_shrink(false)
            .show(ui, |ui| {
                // The bar of the scroll area lies over its right edge.
                let width = (ui.available_width() - 14.0).min(COLUMN);
                let side = (ui.available_width() - width) / 2.0;
                ui.horizontal(|ui| {
                    ui.add_space(side);
                    ui.vertical(|ui| {
                        ui.set_width(width);
                        ui.spacing_mut().item_spacing.y = 10.0;
                        ui.add_space(if tall { 40.0 } else { 6.0 });
                        self.who(ui, shared, &mut out);
                        ui.add_space(if tall { 30.0 } else { 8.0 });
                        self.start(ui, in_hand, tall, &mut out);
                        ui.add_space(if tall { 30.0 } else { 8.0 });
                        self.about(ui, in_hand, &mut out);
                    });
                });
                let worked = self.course.evidence().map_or(0, |e| e.worked);
                let reading = worked >= LEAST_WORDS && !in_hand.lesson;
                stands = foot(ui, shared, reading, &mut out);
            });
        if stands {
            self.stands = Some(TodayView::default());
        }
        // What is known of the learner comes a moment after the learner: a plan waits for it.
        let known = self.course.evidence().is_some() || self.course.fault().is_some() || shared.learner.is_none();
        let evidence = self.course.evidence().cloned().unwrap_or_default();
        for intent in self.held.drain(..).chain(out).collect::<Vec<_>>() {
            match intent {
                OpeningIntent::Start | OpeningIntent::Make if !known => self.held.push(intent),
                intent => self.opening.apply(&mut shared.equipment(), &evidence, in_hand, intent),
            }
        }
    }

    /// Where the learner stands, if that is shown: whether today's plan is to be made of it.
    fn standing(&mut self, ui: &mut Ui, shared: &mut Shared) -> Option<bool> {
        let view = self.stands.as_mut()?;
        let free = ui.memory(|m| m.focused().is_none() && m.top_modal_layer().is_none());
        let escape = free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
        let pressed = view
            .show(ui, shared, &mut self.course)
            .or(escape.then_some(TodayAction::Back));
        if pressed.is_some() {
            self.stands = None;
        }
        Some(pressed == Some(TodayAction::Plan))
    }

    fn keys(&self, ui: &Ui, shared: &mut Shared, out: &mut Vec<OpeningIntent>) {
        shared.key("Enter", "start today's lesson");
        let free = ui.memory(|m| m.focused().is_none() && m.top_modal_layer().is_none());
        if free && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
            out.push(OpeningIntent::Start);
        }
    }

    fn who(&mut self, ui: &mut Ui, shared: &Shared, out: &mut Vec<OpeningIntent>) {
        middle(ui, |ui| parts::heading(ui, "Who is learning?"));
        let Some(all) = self.opening.learners() else {
            middle(ui, |ui| ui.spinner());
            return;
        };
        let nobody = all.is_empty();
        self.naming &= !self.name.take_added(shared);
        if !nobody {
            parts::row_in_the_middle(ui, "learners", |ui| {
                for learner in all {
                    let on = shared.learner.as_ref().is_some_and(|l| l.id == learner.id);
                    let called = learner.called(all);
                    let name = format!("Learner: {called}");
                    if Button::text(&called).name(&name).selected(on).show(ui).clicked() {
                        out.push(OpeningIntent::Pick(learner.id));
                    }
                }
                if !self.naming && Button::both(Icon::Add, "Somebody new").quiet().show(ui).clicked() {
                    self.naming = true;
                }
            });
        }
        // There as soon as somebody is in hand, so that nothing moves when the count comes.
        if shared.learner.is_some() {
            let beads = self.course.evidence().map(|e| e.beads);
            beads::won(ui, beads.unwrap_or(0), 0);
            let line = match beads {
                None => " ".to_owned(),
                Some(0) => "Each word puts a bead on your string.".to_owned(),
                Some(n) => format!("{} on your string", many(n, "bead")),
            };
            middle(ui, |ui| parts::note(ui, &line));
        }
        if nobody || self.naming {
            let added = self.name.show(ui, shared);
            out.extend(added.map(OpeningIntent::Add));
        }
        if self.opening.unnamed() {
            let line = "Say who is learning first: then nothing of the lesson is lost.";
            parts::banner(ui, BannerTone::Care, line);
        }
    }

    fn start(&mut self, ui: &mut Ui, in_hand: &InHand, tall: bool, out: &mut Vec<OpeningIntent>) {
        if let Some(what) = self.opening.making() {
            middle(ui, |ui| {
                // As high as what stands here otherwise.
                ui.set_min_height(START[usize::from(!tall)].y + TOLD + ui.spacing().item_spacing.y);
                ui.add(egui::Spinner::new().size(40.0));
                ui.label(RichText::new(what).size(20.0));
                if Button::text("Cancel").quiet().show(ui).clicked() {
                    out.push(OpeningIntent::Cancel);
                }
            });
            return;
        }
        let text = match (in_hand.lesson, in_hand.draft || self.goes_on(in_hand)) {
            (true, _) => "Back to the lesson",
            (false, true) => "Go on with the lesson",
            (false, false) => "Start today's lesson",
        };
        middle(ui, |ui| {
            if large(ui, text, START[usize::from(!tall)]).clicked() {
                out.push(OpeningIntent::Start);
            }
            let soft = palette(ui).soft;
            // Three lines, whatever is told: what stands below stays where it is.
            ui.scope(|ui| {
                ui.set_min_height(TOLD);
                ui.spacing_mut().item_spacing.y = 4.0;
                ui.label(RichText::new(self.told(in_hand)).color(soft));
                if let Some(line) = self.comes_back(in_hand) {
                    ui.label(line);
                }
            });
        });
    }

    /// Whether a start goes on with a plan of which a part is done.
    fn goes_on(&self, in_hand: &InHand) -> bool {
        in_hand.next.is_some() && self.opening.about().trim().is_empty()
    }

    /// One line on what would start, without a word of it.
    fn told(&self, in_hand: &InHand) -> String {
        match (in_hand.lesson || in_hand.draft, &in_hand.plan) {
            (true, _) => "It is where you left it.".into(),
            (false, Some(_)) if self.goes_on(in_hand) => match in_hand.next {
                Some(PlanPart::Writing) => "Next: the writing.".into(),
                Some(PlanPart::Cards) => "Next: the cards to sort.".into(),
                _ => "Next: the words.".into(),
            },
            (false, Some(plan)) if self.opening.about().trim().is_empty() => match plan.title.as_str() {
                "" => format!("The plan in hand: {}.", holds(plan)),
                title => format!("{title}: {}.", holds(plan)),
            },
            _ if in_hand.done && self.opening.about().trim().is_empty() => {
                "That lesson is done. Another takes about 20 minutes.".into()
            }
            _ => "About 20 minutes: a chain of words, cards to sort, and some writing.".into(),
        }
    }

    /// One line on what comes back from earlier, without a word of it; none where nothing is due.
    fn comes_back(&self, in_hand: &InHand) -> Option<String> {
        if in_hand.lesson || in_hand.draft || self.goes_on(in_hand) || !self.opening.about().trim().is_empty() {
            return None;
        }
        let Some(plan) = &in_hand.plan else {
            return self.brought_again.clone();
        };
        let planned: HashSet<&str> = plan
            .items
            .iter()
            .flat_map(PlanItem::words)
            .map(|word| word.spelling.as_str())
            .collect();
        let each = self.due.iter().zip(&self.lost);
        let (comes, waits): (Vec<_>, Vec<_>) = each.partition(|(word, _)| planned.contains(word.as_str()));
        coming_back_today(comes.into_iter().map(|(_, lost)| lost)).or_else(|| {
            let waits = coming_back::once(waits.into_iter().map(|(_, lost)| lost));
            (!waits.is_empty()).then(|| format!("Due, but not in this plan: {}.", coming_back::list(&waits)))
        })
    }

    fn about(&mut self, ui: &mut Ui, in_hand: &InHand, out: &mut Vec<OpeningIntent>) {
        if in_hand.lesson {
            return;
        }
        let label = ui.label(RichText::new("For the grown-up: what is it about?").color(palette(ui).soft));
        let mut text = self.opening.about().to_owned();
        let edit = TextEdit::singleline(&mut text)
            .min_size(vec2(0.0, TOUCH))
            .desired_width(f32::INFINITY)
            .align(egui::Align2::LEFT_CENTER);
        let field = ui.add(edit).labelled_by(label.id);
        if field.changed() {
            out.push(OpeningIntent::About(text));
        }
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            for example in EXAMPLES {
                let name = format!("About: {example}");
                if Button::text(example).name(&name).quiet().show(ui).clicked() {
                    out.push(OpeningIntent::About(example.into()));
                    out.push(OpeningIntent::Make);
                }
            }
        });
        let asked = !self.opening.about().trim().is_empty();
        if entered && asked {
            out.push(OpeningIntent::Make);
        }
        if let Some(fault) = self.opening.fault() {
            parts::banner(ui, BannerTone::Care, fault);
        }
    }
}

/// The line on what comes back of several words, if anything does.
fn coming_back_today<'a>(each: impl IntoIterator<Item = &'a Vec<String>>) -> Option<String> {
    let named = coming_back::once(each);
    (!named.is_empty()).then(|| format!("Coming back today: {}.", coming_back::list(&named)))
}

/// Ways on for the grown-up, at the foot where there is height; whether where the learner stands is asked for. `reading` where
/// words enough were taught for a minute of it.
fn foot(ui: &mut Ui, shared: &mut Shared, reading: bool, out: &mut Vec<OpeningIntent>) -> bool {
    let mut stands = false;
    ui.add_space((ui.clip_rect().bottom() - ui.cursor().top() - TOUCH - LINES).max(8.0));
    parts::row_in_the_middle(ui, "foot", |ui| {
        let what = Button::both(Icon::Notebook, "What is due, and what is secure");
        stands = what.quiet().show(ui).clicked();
        if reading && Button::text("A minute of reading").quiet().show(ui).clicked() {
            out.push(OpeningIntent::Read);
        }
        let charts = (MainView::Sounds, "The charts");
        // In a small window there is room for four.
        for (place, text) in [
            (MainView::Plan, "The words of the plan"),
            (MainView::Writing, "A dictation"),
        ]
        .into_iter()
        .chain((!reading).then_some(charts))
        {
            if Button::text(text).quiet().show(ui).clicked() {
                shared.go(place);
            }
        }
    });
    stands
}

/// In the middle of the column.
fn middle<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    ui.vertical_centered(add).inner
}

/// The one large button.
pub(super) fn large(ui: &mut Ui, text: &str, size: egui::Vec2) -> egui::Response {
    let p = palette(ui);
    let (rect, response) = ui.allocate_exact_size(size.min(vec2(ui.available_width(), size.y)), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), text));
    let near = response.hovered() || response.is_pointer_button_down_on();
    let fill = if near {
        p.lead.lerp_to_gamma(p.ink, 0.15)
    } else {
        p.lead
    };
    ui.painter().rect_filled(rect, size.y / 2.0, fill);
    let font = theme::bold_font((size.y * 0.29).clamp(20.0, 28.0));
    let galley = ui.painter().layout_no_wrap(text.to_owned(), font, p.on_lead);
    let whole = galley.size().x + 46.0;
    let left = rect.center().x - whole / 2.0;
    let square = Rect::from_center_size(egui::pos2(left + 15.0, rect.center().y), vec2(30.0, 30.0));
    icons::paint(ui.painter(), Icon::Drill, square, p.on_lead);
    let at = egui::pos2(left + 46.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, p.on_lead);
    parts::ring(ui, &response, rect, (size.y / 2.0) as u8);
    parts::hint_besides(response, &format!("{text}   Enter"))
}
