//! "Which sound changed?": two strings of beads, one above the other.

use egui::{RichText, Ui};
use soundbead_data::chain::{Change, ChangeKind};
use soundbead_dsp::judgement::Speaking;

use super::beads::{Bead, BeadLook, Strand, Touched};
use super::{Scene, room};
use crate::drill::session::Intent;
use crate::drill::{LessonWord, TaskStanding, words};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::theme;

/// Shows it.
pub fn show(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let lesson = scene.lesson;
    let (Some(before), Some(change)) = (lesson.before(), lesson.change()) else {
        return;
    };
    // In a low window what became of the answer stands in the place of the question, else it would lie under the edge.
    let low = room::low(ui);
    if !low || lesson.work().which.standing() == TaskStanding::Open {
        ui.vertical_centered(|ui| {
            ui.label(RichText::new(words::which(&change)).font(room::asking(ui)));
        });
    }
    if low {
        answered(ui, scene, &change, out);
    }
    string(ui, scene, before, &change, true, out);
    string(ui, scene, lesson.word(), &change, false, out);
    if !low {
        answered(ui, scene, &change, out);
    }
}

/// What became of the answer.
fn answered(ui: &mut Ui, scene: &Scene, change: &Change, out: &mut Vec<Intent>) {
    match scene.lesson.work().which.standing() {
        TaskStanding::Open => {}
        TaskStanding::Hint => {
            parts::banner(ui, BannerTone::Plain, words::WHICH_HINT);
            ui.vertical_centered(|ui| {
                if Button::both(Icon::Help, "Show us").quiet().show(ui).clicked() {
                    out.push(Intent::Show);
                }
            });
        }
        TaskStanding::Right => drop(parts::banner(
            ui,
            BannerTone::Good,
            &format!("Yes. {}", words::changed_where(change)),
        )),
        TaskStanding::Shown => drop(parts::banner(ui, BannerTone::Plain, &words::changed_where(change))),
    }
}

fn string(ui: &mut Ui, scene: &Scene, word: &LessonWord, change: &Change, earlier: bool, out: &mut Vec<Intent>) {
    let which = &scene.lesson.work().which;
    let told = which.settled();
    // Where a sound changed, the answer is marked on both strings; where one came or went, on its own.
    let here = match change.kind {
        ChangeKind::Swap => true,
        ChangeKind::Add => !earlier,
        ChangeKind::Drop => earlier,
    };
    let touched = |i: usize| which.last().is_some_and(|p| p.at == i && p.earlier == earlier);
    // No sound is named: the letters are written next.
    let each = |i: usize| {
        let answer = told && here && i == change.at;
        Bead {
            label: String::new(),
            look: match (answer, touched(i)) {
                (true, _) => BeadLook::Pointed,
                (false, true) => BeadLook::Touched,
                (false, false) => BeadLook::Plain,
            },
            name: name((earlier, i, word.count()), answer, touched(i)),
        }
    };
    let beads: Vec<Bead> = (0..word.written.len()).map(each).collect();
    let title = if earlier { "The word before" } else { "This word" };
    let (hear, intent) = match earlier {
        true => ("Hear the word before", Intent::HearBefore),
        false => ("Hear this word", Intent::HearModel(Speaking::Whole)),
    };
    parts::row_in_the_middle(ui, title, |ui| {
        ui.label(RichText::new(title).size(20.0).color(theme::palette(ui).soft));
        if Button::icon(Icon::Speaker, hear).show(ui).clicked() {
            out.push(intent);
        }
    });
    let strand = Strand {
        id: if earlier { "before" } else { "now" },
        beads: &beads,
        size: room::bead(ui),
        touch: here && !told,
        loose: false,
    };
    if let (_, Some(Touched::Bead(at) | Touched::Off(at))) = strand.show(ui) {
        out.push(Intent::Point(at, earlier));
    }
}

fn name((earlier, at, of): (bool, usize, usize), changed: bool, touched: bool) -> String {
    let whose = if earlier { "the word before" } else { "this word" };
    let changed = if changed { ", changed" } else { "" };
    let touched = if touched { ", touched" } else { "" };
    format!("Sound {} of {of} of {whose}{changed}{touched}", at + 1)
}
