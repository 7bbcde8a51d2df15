//! What is shown of one attempt.

use egui::{RichText, Ui, vec2};

use super::timeline::called;
use crate::notebook::{Attempt, Author, Note, ShownAnswer};
use crate::review::opened::OpenedAttempt;
use crate::review::session::ReviewIntent;
use crate::ui::icons::Icon;
use crate::ui::noted;
use crate::ui::parts::{self, Button};
use crate::ui::theme::{self, palette};
use crate::wording;

/// The five rulings with their keys, and whose they are.
pub fn ruling(ui: &mut Ui, opened: &OpenedAttempt, author: Author, out: &mut Vec<ReviewIntent>) {
    ui.add_space(4.0);
    parts::section(ui, "What was really said?");
    let own = opened.attempt.edits.ruling_by(author);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        for (i, words) in wording::VERDICTS.iter().enumerate() {
            let verdict = words.verdict;
            let on = own.is_some_and(|r| r.verdict == verdict);
            let text = format!("{}  {}", i + 1, words.ruling);
            let name = format!("Rule: {}", called(verdict));
            if Button::text(&text).name(&name).selected(on).show(ui).clicked() {
                out.push(ReviewIntent::Rule(Some(verdict)));
            }
        }
        if own.is_some() && Button::text("0  take back").quiet().show(ui).clicked() {
            out.push(ReviewIntent::Rule(None));
        }
    });
    if let Some(author) = who(ui, author) {
        out.push(ReviewIntent::Author(author));
    }
    let rulings = &opened.attempt.edits.rulings;
    for r in rulings {
        parts::note(
            ui,
            &format!("The {} ruled: {}.", r.by, wording::verdict(r.verdict).full),
        );
    }
    if opened.earlier > 0 && !rulings.is_empty() {
        parts::note(ui, &format!("Earlier states kept: {}.", opened.earlier));
    }
}

/// Who sits at the window; the other person, once that is said.
pub fn who(ui: &mut Ui, author: Author) -> Option<Author> {
    let mut chosen = author;
    ui.horizontal(|ui| {
        ui.label("I am the");
        let who = [(Author::Parent, "parent"), (Author::Consultant, "consultant")];
        parts::choice(ui, "I am the", &mut chosen, &who);
    });
    (chosen != author).then_some(chosen)
}

/// When it was said: `27 Nov 2026, 15:07`; the day alone where no hour is known.
pub fn said_when(a: &Attempt) -> String {
    let hour = a.hour().map_or(String::new(), |hour| format!(", {hour}"));
    format!("{}{hour}", wording::short_day(a.day))
}

/// Word, time, and the three counts.
pub fn head(ui: &mut Ui, opened: &OpenedAttempt) {
    let a = &opened.attempt;
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(&a.word).font(theme::bold_font(28.0)));
        let before = a.before.as_ref().map_or(String::new(), |b| format!(", after {b}"));
        // Without a recording nobody knows how it was said.
        let said = match a.recording.is_some() || a.heard.is_some() {
            true => format!("said {}", a.speaking.name()),
            false => "not recorded".to_owned(),
        };
        parts::note(ui, &format!("{said}{before}, {}", said_when(a)));
    });
    ui.columns(3, |columns| {
        for (i, (title, count)) in [
            ("The word", Some(a.expected_now)),
            ("The child", a.edits.child),
            ("The recording", a.settled_count()),
        ]
        .into_iter()
        .enumerate()
        {
            let off = match i {
                1 => a.miscounted(),
                _ => count.is_some_and(|c| c != a.expected_now),
            };
            let unsettled = i == 2 && a.heard.is_some();
            let text = count.map_or(if unsettled { "?" } else { "–" }.to_owned(), |c| c.to_string());
            columns[i].horizontal(|ui| {
                let p = palette(ui);
                let colour = if off { p.warm } else { p.ink };
                ui.label(RichText::new(text).font(theme::bold_font(26.0)).color(colour));
                parts::note(ui, title);
            });
        }
    });
    answers(ui, a);
}

/// What the child answered, first and after a hint, and what was shown.
fn answers(ui: &mut Ui, a: &Attempt) {
    if a.recounted() {
        let then = format!(
            "Counted by the learner's rules as they are now; when it was said the word had {}.",
            a.expected
        );
        parts::note(ui, &then);
    }
    let after = &a.edits.after;
    if let Some(last) = after.child {
        parts::note(ui, &format!("The child's count after a hint: {last}"));
    }
    if !a.edits.letters.is_empty() {
        parts::note(ui, &format!("Letters written first: {}", a.edits.letters.join(" · ")));
    }
    if !after.letters.is_empty() {
        parts::note(ui, &format!("Then, after a hint: {}", after.letters.join(" · ")));
    }
    for shown in &after.shown {
        parts::note(ui, shown_line(*shown));
    }
    for (first, pointed) in [
        ("Pointed at", &a.edits.pointed),
        ("Then, after a hint, at", &after.pointed),
    ] {
        if let Some(pointed) = pointed {
            let right = if pointed.right {
                "the one that changed"
            } else {
                "not the one that changed"
            };
            parts::note(ui, &format!("{first} sound {}: {right}", pointed.at + 1));
        }
    }
}

/// What the program showed the child.
fn shown_line(shown: ShownAnswer) -> &'static str {
    match shown {
        ShownAnswer::Count => "The count was shown in the end.",
        ShownAnswer::Which => "Which sound changed was shown in the end.",
        ShownAnswer::Letters => "The letters were shown in the end.",
    }
}

/// What the program said, and how sure.
pub fn verdict(ui: &mut Ui, opened: &OpenedAttempt) {
    let Some(judgement) = &opened.judgement else {
        if opened.sound.is_ok() {
            parts::note(ui, "The recording was not judged.");
        }
        return;
    };
    let sure = judgement
        .sure()
        .map_or(String::new(), |s| format!(", sure: {}", wording::per_cent(s)));
    let found = judgement.verdict.map_or("no verdict", |v| wording::verdict(v).full);
    ui.label(RichText::new(format!("The program heard: {found}{sure}")).size(17.0));
    if let Some(listen) = &judgement.said {
        ui.label(listen);
    }
    for warning in &judgement.quality.warnings {
        parts::note(ui, &format!("The recording: {warning}."));
    }
    parts::note(ui, &format!("Judged by the model {}.", opened.attempt.model));
}

/// Notes, the latest first; the moment that one is to be heard at, in seconds.
pub fn notes(ui: &mut Ui, notes: &[&Note], heard: bool) -> Option<(f32, f32)> {
    let mut part = None;
    for note in notes {
        ui.add_space(4.0);
        ui.horizontal_wrapped(|ui| {
            parts::note(
                ui,
                &format!(
                    "{}, {}, on {}",
                    wording::short_day(note.day),
                    note.author,
                    wording::note_subject(&note.on)
                ),
            );
            if let Some(moment) = note.body.moment.filter(|_| heard) {
                let name = format!("Hear what the note of {} points at", note.day);
                if Button::both(Icon::Play, "Hear it")
                    .name(&name)
                    .quiet()
                    .show(ui)
                    .clicked()
                {
                    part = Some(moment.seconds());
                }
            }
        });
        noted::body(ui, &note.body);
    }
    part
}
