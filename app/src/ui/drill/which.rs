//! "Which sound changed?": two strings of beads, one above the other.

use egui::{RichText, Ui};
use soundbead_data::chain::{Change, Kind};

use super::Scene;
use super::beads::{Bead, Look, Strand, Touched};
use crate::drill::session::Intent;
use crate::drill::{Word, words};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button, Tone};
use crate::ui::theme;

/// Shows it.
pub fn show(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let lesson = scene.lesson;
    let (Some(before), Some(change)) = (lesson.before(), lesson.change()) else {
        return;
    };
    ui.vertical_centered(|ui| {
        ui.label(RichText::new(words::which(&change)).font(theme::bold_font(26.0)));
    });
    string(ui, scene, before, &change, true, out);
    string(ui, scene, lesson.word(), &change, false, out);
    match lesson.work().pointed {
        None => {
            ui.vertical_centered(|ui| {
                if Button::both(Icon::Help, "Show me").quiet().show(ui).clicked() {
                    out.push(Intent::Point(change.at, change.kind == Kind::Drop));
                }
            });
        }
        Some(pointed) if pointed.right => {
            parts::banner(ui, Tone::Good, &format!("Yes. {}", words::changed(&change)));
        }
        Some(_) => {
            let line = format!("Say both words again, slowly. {}", words::changed(&change));
            parts::banner(ui, Tone::Plain, &line);
        }
    }
}

fn string(ui: &mut Ui, scene: &Scene, word: &Word, change: &Change, earlier: bool, out: &mut Vec<Intent>) {
    let told = scene.lesson.work().pointed.is_some();
    // Where a sound changed, the answer is marked on both strings; where one came or went, on its own.
    let here = match change.kind {
        Kind::Swap => true,
        Kind::Add => !earlier,
        Kind::Drop => earlier,
    };
    let each = |(i, (_, plain)): (usize, &(String, String))| Bead {
        label: if told { plain.clone() } else { String::new() },
        look: if told && here && i == change.at {
            Look::Pointed
        } else {
            Look::Plain
        },
        name: name(earlier, i, word.count(), told.then_some(plain)),
    };
    let beads: Vec<Bead> = word.written.iter().enumerate().map(each).collect();
    let title = match (earlier, scene.child && !told) {
        (true, true) => "The word before".to_owned(),
        (false, true) => "This word".to_owned(),
        (true, false) => format!("The word before: {}", word.spelling),
        (false, false) => format!("This word: {}", word.spelling),
    };
    ui.label(RichText::new(title).size(20.0).color(theme::palette(ui).soft));
    let strand = Strand {
        id: if earlier { "before" } else { "now" },
        beads: &beads,
        size: 72.0,
        touch: here && !told,
        loose: false,
    };
    if let (_, Some(Touched::Bead(at) | Touched::Off(at))) = strand.show(ui) {
        out.push(Intent::Point(at, earlier));
    }
}

fn name(earlier: bool, at: usize, of: usize, told: Option<&String>) -> String {
    let whose = if earlier { "the word before" } else { "this word" };
    let sound = told.map_or_else(String::new, |s| format!(": {s}"));
    format!("Sound {} of {of} of {whose}{sound}", at + 1)
}
