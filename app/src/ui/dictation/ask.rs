//! Before a dictation: which words, or what was written on paper.

use egui::{Key, RichText, TextEdit, Ui, vec2};
use soundbead_data::course::{CourseWords, set};

use crate::drill::dictation::session::{DictationIntent, DictationSession, with_sentences};
use crate::plan::{Content, Plan, PlanWord};
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::shared::{MainView, Shared};
use crate::ui::theme::{TOUCH, palette};
use crate::ui::which::{self, WhichWay};

/// Width of the column in the middle, in points.
const COLUMN: f32 = 1000.0;

/// Words that are due and are dictated at one sitting.
const MOST_DUE: usize = 12;

/// What is typed before a dictation.
#[derive(Default)]
pub struct DictationForm {
    words: String,
    which: WhichWay,
    paper: String,
}

impl DictationForm {
    /// With these words from paper still to be taken in: what was meant is written behind each.
    pub fn with_left(untaken: &[String]) -> DictationForm {
        let lines: Vec<String> = untaken.iter().map(|text| format!("{text} = ")).collect();
        DictationForm {
            paper: lines.join("\n"),
            ..DictationForm::default()
        }
    }

    /// Shows it.
    pub fn show(
        &mut self,
        ui: &mut Ui,
        shared: &mut Shared,
        session: &DictationSession,
        (due, plan): (&[String], Option<&Plan>),
        out: &mut Vec<DictationIntent>,
    ) {
        parts::column(ui, COLUMN, |ui| whose(ui, shared));
        if shared.learner.is_none() {
            return;
        }
        egui::ScrollArea::vertical()
            .id_salt("before the dictation")
            .auto_shrink(false)
            .show(ui, |ui| {
                parts::column(ui, COLUMN, |ui| {
                    ui.spacing_mut().item_spacing.y = 12.0;
                    if let Some(fault) = session.fault() {
                        parts::banner(ui, BannerTone::Care, fault);
                    }
                    broken_off(ui, session, out);
                    planned(ui, plan, session.no_sound(), out);
                    due_again(ui, due, out);
                    self.own(ui, out);
                    standing(ui, out);
                    self.paper(ui, out);
                });
            });
    }

    fn own(&mut self, ui: &mut Ui, out: &mut Vec<DictationIntent>) {
        card(ui, "Your own words", "One after another, with spaces between.", |ui| {
            let width = (ui.available_width() - 150.0).clamp(160.0, 620.0);
            let edit = TextEdit::singleline(&mut self.words)
                .desired_width(width)
                .min_size(vec2(160.0, TOUCH))
                .align(egui::Align2::LEFT_CENTER);
            let field = ui.add(edit);
            ui.ctx()
                .accesskit_node_builder(field.id, |node| node.set_label("Words to dictate"));
            let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            let ready = !self.words.trim().is_empty();
            let pressed = Button::both(Icon::Writing, "Dictate these")
                .enabled(ready)
                .show(ui)
                .clicked();
            let words = self.words.replace([',', ';'], " ");
            ui.end_row();
            ui.vertical(|ui| self.which.ask(ui, &words));
            if entered && ready && self.which.point_out(&words) {
                field.request_focus();
            } else if ready && (pressed || entered) {
                let words: Vec<String> = self.which.told(&words).split_whitespace().map(str::to_owned).collect();
                out.push(DictationIntent::Start(with_sentences(&words, 0)));
            }
        });
    }

    fn paper(&mut self, ui: &mut Ui, out: &mut Vec<DictationIntent>) {
        let text = "What was written on paper, a list or a passage: each word as it was written, and where it was meant otherwise, \
                    what was meant behind it, as in  siter = sister.";
        card(ui, "From paper", text, |ui| {
            let edit = TextEdit::multiline(&mut self.paper)
                .desired_rows(3)
                .desired_width(620.0);
            let field = ui.add(edit);
            ui.ctx()
                .accesskit_node_builder(field.id, |node| node.set_label("Written on paper"));
            let ready = !self.paper.trim().is_empty();
            if Button::text("Keep it and see what it shows")
                .enabled(ready)
                .show(ui)
                .clicked()
            {
                out.push(DictationIntent::Paper(self.paper.clone()));
            }
        });
    }
}

/// Whose writing it is; without a learner, the question.
fn whose(ui: &mut Ui, shared: &mut Shared) {
    parts::heading(ui, "Writing");
    if let Some(learner) = &shared.learner {
        let line = format!("For {}. What is written is kept in the notebook.", learner.name);
        parts::note(ui, &line);
        return;
    }
    let line = "Say who is learning first: then what is written is kept.";
    parts::banner(ui, BannerTone::Care, line);
    let say_who = Button::both(Icon::Today, "Say who is learning").lead();
    if say_who.show(ui).clicked() {
        shared.go(MainView::Today);
    }
}

fn card(ui: &mut Ui, title: &str, text: &str, add: impl FnOnce(&mut Ui)) {
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        parts::section(ui, title);
        if !text.is_empty() {
            ui.label(RichText::new(text).color(palette(ui).soft));
        }
        ui.horizontal_wrapped(add);
    });
}

fn broken_off(ui: &mut Ui, session: &DictationSession, out: &mut Vec<DictationIntent>) {
    let Some(left) = session.draft() else { return };
    let (written, of) = left.place();
    let about = if left.chosen_on_the_way() { "about " } else { "" };
    let text = format!("{written} of {about}{} written.", many(of, "word"));
    card(ui, "A dictation was broken off", &text, |ui| {
        if Button::both(Icon::Play, "Go on with it").lead().show(ui).clicked() {
            out.push(DictationIntent::Resume);
        }
        if Button::text("That was all of it").quiet().show(ui).clicked() {
            out.push(DictationIntent::DropDraft);
        }
    });
}

/// The words of the plan's dictation.
fn planned(ui: &mut Ui, plan: Option<&Plan>, no_sound: Option<&str>, out: &mut Vec<DictationIntent>) {
    let Some(plan) = plan else { return };
    let (words, sentences) = dictated(plan);
    if words.is_empty() {
        return;
    }
    let mut text = format!("{}, each said in a sentence.", many(words.len(), "word"));
    if !sentences.is_empty() {
        text += &format!(
            " Its {} are for paper: they are printed with the plan, and what was written goes below. A computer voice reads \
             them word by word.",
            many(sentences.len(), "sentence")
        );
    }
    card(ui, "The words of today's plan", &text, |ui| {
        if Button::both(Icon::Writing, "Dictate the plan's words")
            .lead()
            .show(ui)
            .clicked()
        {
            out.extend(start_planned(plan));
        }
        for_paper(ui, &sentences, out);
        if let Some(line) = no_sound {
            ui.end_row();
            parts::note(ui, line);
        }
    });
}

/// Begins with the words that a plan dictates, where it has any.
pub(super) fn start_planned(plan: &Plan) -> Option<DictationIntent> {
    let words = dictations(plan).flat_map(|(words, _)| words);
    let meant: Vec<String> = words.map(which::meant).collect();
    (!meant.is_empty()).then(|| DictationIntent::Start(with_sentences(&meant, 0)))
}

/// The words and the sentences that a plan dictates.
pub(super) fn dictated(plan: &Plan) -> (Vec<String>, Vec<&str>) {
    let words = dictations(plan)
        .flat_map(|(words, _)| words)
        .map(|w| w.spelling.clone());
    let sentences = dictations(plan)
        .flat_map(|(_, sentences)| sentences)
        .map(String::as_str);
    (words.collect(), sentences.collect())
}

fn dictations(plan: &Plan) -> impl Iterator<Item = (&Vec<PlanWord>, &Vec<String>)> {
    plan.items.iter().filter_map(|item| match &item.content {
        Content::Dictation { words, sentences } => Some((words, sentences)),
        _ => None,
    })
}

/// A button for each sentence that is written on paper: the computer voice reads it.
pub(super) fn for_paper(ui: &mut Ui, sentences: &[&str], out: &mut Vec<DictationIntent>) {
    for (number, sentence) in sentences.iter().enumerate() {
        let text = format!("Say sentence {}", number + 1);
        if Button::both(Icon::Speaker, &text).quiet().show(ui).clicked() {
            out.push(DictationIntent::HearPlanned((*sentence).to_owned()));
        }
    }
}

fn due_again(ui: &mut Ui, due: &[String], out: &mut Vec<DictationIntent>) {
    if due.is_empty() {
        return;
    }
    let words: Vec<String> = due.iter().take(MOST_DUE).cloned().collect();
    card(
        ui,
        "Due again",
        &format!("{} to write once more.", many(words.len(), "word")),
        |ui| {
            if Button::both(Icon::Writing, "Dictate what is due").show(ui).clicked() {
                out.push(DictationIntent::Start(with_sentences(&words, 0)));
            }
        },
    );
}

/// Words that show where a child stands; two sets, so that spring can be compared with autumn.
fn standing(ui: &mut Ui, out: &mut Vec<DictationIntent>) {
    let most = set(CourseWords::builtin(), 0).len();
    let text = format!(
        "Common words that meet each choice of spelling three times, {most} at most. Each next word is chosen from what was written, \
         and it stops where more would tell nothing new. It may be spread over some days. The second set is of the same kind, to \
         compare later with now."
    );
    card(ui, "Where does the child stand?", &text, |ui| {
        for (number, name) in ["The first set", "The second set"].into_iter().enumerate() {
            if Button::text(name).show(ui).clicked() {
                out.push(DictationIntent::Stand(number));
            }
        }
    });
}
