//! Three counts side by side, what was heard, and the parent's ruling.

use std::sync::Arc;

use egui::{RichText, Ui, vec2};
use soundbead_dsp::judgement::{Judgement, Speaking};

use super::{Scene, beads, hear, picture, room, string};
use crate::drill::close_up::doubtful;
use crate::drill::session::Intent;
use crate::drill::{EarOutcome, TaskStanding, Try, TryKept, words};
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::settings;
use crate::ui::theme::{self, palette};
use crate::wording;

/// Shows it.
pub fn show(ui: &mut Ui, scene: &Scene, cache: &mut picture::PictureCache, out: &mut Vec<Intent>) {
    let latest = scene.lesson.work().latest.as_ref();
    if scene.child {
        together(ui, scene, out);
    } else if let Some(heard) = latest {
        // In a low window what it comes to stands first: the counts may lie under the edge.
        match room::low(ui) {
            true => {
                said(ui, scene, heard);
                counts(ui, scene, heard);
            }
            false => {
                counts(ui, scene, heard);
                said(ui, scene, heard);
            }
        }
    }
    let Some(heard) = latest else { return };
    ui.add_space(2.0);
    picture::show(ui, scene, heard, cache, out);
    play(ui, scene, heard, out);
    if scene.child {
        if room::low(ui) {
            over_the_wave(ui, scene);
        }
        if let EarOutcome::Not(line) = &heard.heard {
            parts::banner(ui, BannerTone::Care, line);
        }
        // Once the beads are settled it no longer matters.
        let open = !scene.lesson.work().count.settled();
        for note in heard.take.notes().iter().filter(|_| open) {
            parts::banner(ui, BannerTone::Care, note);
        }
    } else {
        ruling(ui, scene, out);
        if ui.available_width() < room::CRAMPED {
            parts::note(ui, wording::CAUTION_BESIDE_EAR);
        }
    }
}

/// The child's side: beads, which can be put right until the count is settled, and one line without a number.
fn together(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let work = scene.lesson.work();
    ui.add_space(8.0);
    ui.vertical_centered(|ui| {
        let line = words::to_the_child(scene.lesson.word(), work);
        ui.label(RichText::new(line).font(room::asking(ui)));
    });
    if !work.count.settled() {
        string::show(ui, scene, room::bead(ui), out);
        hear::in_the_middle(ui, scene, out);
        ui.vertical_centered(|ui| {
            let asks = work.count.standing() == TaskStanding::Hint;
            if asks && Button::both(Icon::Help, "Show us").quiet().show(ui).clicked() {
                out.push(Intent::Show);
            }
        });
        return;
    }
    let count = match work.count.standing() {
        TaskStanding::Shown => scene.lesson.word().count(),
        _ => work.beads,
    };
    // Counted in another way than the voice says it, the beads do not light.
    let says = scene.says.filter(|_| count == scene.lesson.word().count());
    let each = |i: usize| beads::Bead {
        label: String::new(),
        look: match says == Some(i) {
            true => beads::BeadLook::Sounding,
            false => beads::BeadLook::Plain,
        },
        name: super::sound_name(i, "", says),
    };
    let row: Vec<beads::Bead> = (0..count).map(each).collect();
    let strand = beads::Strand {
        id: "mine",
        beads: &row,
        size: room::bead(ui),
        touch: false,
        loose: false,
    };
    strand.show(ui);
    hear::in_the_middle(ui, scene, out);
    if let Some(other) = work.latest.as_ref().and_then(|latest| latest.other_word.as_ref()) {
        ui.vertical_centered(|ui| ui.label(RichText::new(words::sounded_like(other)).size(19.0)));
    }
    // In a low window it stands under the wave, so that more of the wave is in sight.
    if !room::low(ui) {
        over_the_wave(ui, scene);
    }
}

/// What can be done with the beads over the wave, once they are there.
fn over_the_wave(ui: &mut Ui, scene: &Scene) {
    let work = scene.lesson.work();
    if let (Some(latest), true) = (&work.latest, work.count.settled()) {
        ui.vertical_centered(|ui| {
            let ringed = latest.judgement().is_some_and(|j| j.sounds.iter().any(doubtful));
            let line = match ringed {
                true => "Touch a bead over the wave to hear it; one with a ring shows its mouth. The ears in the room know best.",
                false => "Touch a bead over the wave to hear it. The ears in the room know best.",
            };
            parts::note(ui, line);
        });
    }
}

fn counts(ui: &mut Ui, scene: &Scene, heard: &Arc<Try>) {
    let (word, work) = (scene.lesson.word(), scene.lesson.work());
    let expected = heard.judgement().and_then(|j| j.expected).unwrap_or(word.count());
    ui.columns(3, |columns| {
        one(&mut columns[0], "The word", Some(expected), |ui| {
            ui.label(RichText::new(word.plain()).size(20.0));
        });
        one(&mut columns[1], "The beads", Some(work.beads), |ui| {
            beads::row(ui, work.beads, &format!("{} beads", work.beads));
            // The first count stays told, whatever became of it.
            if let Some(first) = work.count.first().filter(|first| **first != work.beads) {
                ui.label(RichText::new(format!("at first {first}")).size(15.5));
            }
        });
        // A count that the recording does not settle is no count: the number would be taken for one.
        // Said sound by sound or drawn out, the count stands by itself, whatever the sounds were.
        let apart = heard.speaking != Speaking::Whole;
        let settled = |j: &&Judgement| apart || counts_as_it_says(j);
        let count = heard.judgement().filter(settled).map(|j| j.heard);
        one(&mut columns[2], "The recording", count, |ui| match heard.judgement() {
            Some(_) if count.is_none() => {
                let line = if room::low(ui) {
                    "not settled"
                } else {
                    "not settled: your ear decides"
                };
                ui.label(RichText::new(line).size(15.5));
            }
            Some(judgement) => {
                let others = words::others(judgement).map_or_else(String::new, |o| format!(", {o}"));
                ui.label(RichText::new(format!("{}{others}", words::sure(judgement))).size(17.0));
            }
            None => drop(ui.label("not counted")),
        });
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().interact_size.y = 20.0;
        settings::rules_line(ui, scene.lesson.rules());
        if heard.kept == TryKept::Nowhere {
            parts::note(ui, "Nothing is kept: no learner is picked in the notebook.");
        }
    });
}

/// Whether the count that was heard is what the verdict says. The two are weighed apart: "3" beside "a sound more" than the three
/// of the word would contradict itself, and settles nothing.
fn counts_as_it_says(judgement: &Judgement) -> bool {
    let (Some(verdict), Some(expected)) = (judgement.verdict, judgement.expected) else {
        return true;
    };
    verdict.settles(judgement.heard, expected)
}

/// One count: its name, the number, and a line.
fn one(ui: &mut Ui, name: &str, count: Option<usize>, add: impl FnOnce(&mut Ui)) {
    let p = palette(ui);
    // In a low window all of the page is to be in sight.
    let (size, margin, down) = match (room::tall(ui), room::low(ui)) {
        (true, _) => (54.0, vec2(18.0, 8.0), 10.0),
        (false, false) => (36.0, vec2(18.0, 2.0), 0.0),
        (false, true) => (28.0, vec2(8.0, 2.0), 0.0),
    };
    let frame = egui::Frame::new()
        .fill(p.card)
        .stroke(egui::Stroke::new(1.0, p.line))
        .corner_radius(16)
        .inner_margin(margin);
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing = vec2(if room::low(ui) { 8.0 } else { 16.0 }, 2.0);
            let number = count.map_or("?".to_owned(), |n| n.to_string());
            let response = ui.label(RichText::new(&number).font(theme::bold_font(size)));
            let said = count.map_or("no count".to_owned(), |n| many(n, "sound"));
            ui.ctx().accesskit_node_builder(response.id, |node| {
                node.set_role(egui::Role::Status);
                node.set_label(format!("{name}: {said}"));
            });
            ui.vertical(|ui| {
                ui.add_space(down);
                ui.spacing_mut().interact_size.y = 20.0;
                ui.label(RichText::new(name).color(p.soft));
                add(ui);
            });
        });
    });
}

fn said(ui: &mut Ui, scene: &Scene, heard: &Try) {
    match &heard.heard {
        EarOutcome::Not(line) => drop(parts::banner(ui, BannerTone::Care, line)),
        EarOutcome::Judged(judgement) => {
            let same = words::listen_for(judgement).is_none();
            let tone = if same { BannerTone::Good } else { BannerTone::Care };
            let other = heard.other_word.as_deref().map(words::sounded_like);
            let line = other.map_or_else(|| in_full(judgement), |other| format!("{other} {}", in_full(judgement)));
            parts::banner(ui, tone, &line);
        }
    }
    for note in heard.take.notes() {
        parts::banner(ui, BannerTone::Care, &note);
    }
    if scene.lesson.word().guess {
        parts::note(
            ui,
            "This word is not in the dictionary: its sounds are a guess from its letters.",
        );
    }
    if let TryKept::Failed(why) = &heard.kept {
        parts::banner(
            ui,
            BannerTone::Alarm,
            &format!("This recording could not be kept. {why}"),
        );
    }
}

fn in_full(judgement: &Judgement) -> String {
    match words::listen_for(judgement) {
        Some(line) => format!("{} {line}", words::verdict(judgement)),
        None => words::verdict(judgement).to_owned(),
    }
}

fn play(ui: &mut Ui, scene: &Scene, heard: &Try, out: &mut Vec<Intent>) {
    if scene.child {
        // The child's side stands in the middle, all of it.
        parts::row_in_the_middle(ui, "play", |ui| play_row(ui, scene, heard, out));
    } else {
        ui.horizontal_wrapped(|ui| play_row(ui, scene, heard, out));
    }
    if let Some(line) = scene.session.no_sound() {
        parts::note(ui, line);
    }
}

fn play_row(ui: &mut Ui, scene: &Scene, heard: &Try, out: &mut Vec<Intent>) {
    let playing = scene.playing_s.is_some();
    let (icon, text) = if playing {
        (Icon::Stop, "Stop")
    } else {
        (Icon::Play, "Play")
    };
    if Button::both(icon, text).key("P").show(ui).clicked() {
        out.push(if playing { Intent::Silence } else { Intent::Play(1.0) });
    }
    for (speed, text, name, key) in [
        (0.75, "Slower", "Play slower, at three quarters", "S"),
        (0.5, "Slowest", "Play slowest, at half", "D"),
    ] {
        if Button::both(Icon::Speaker, text).name(name).key(key).show(ui).clicked() {
            out.push(Intent::Play(speed));
        }
    }
    ui.add_space(12.0);
    let again = if heard.take.again() {
        "Say it again"
    } else {
        "Say it once more"
    };
    if Button::both(Icon::Microphone, again)
        .name("Say it again")
        .key("Space")
        .show(ui)
        .clicked()
    {
        out.push(Intent::Again);
    }
}

/// The parent's ruling, kept beside the program's.
fn ruling(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let now = scene.lesson.work().ruling.map(|(verdict, _)| verdict);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        ui.label(RichText::new("You heard:").font(theme::bold_font(17.0)));
        for choice in &wording::VERDICTS {
            let (verdict, text) = (choice.verdict, choice.ruling);
            let chosen = now == Some(verdict);
            let name = format!("You heard: {text}");
            if Button::text(text).name(&name).selected(chosen).show(ui).clicked() {
                out.push(Intent::Rule((!chosen).then_some(verdict)));
            }
        }
        if now.is_some() {
            parts::note(ui, "Your ear counts.");
        }
    });
}
