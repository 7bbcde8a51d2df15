//! What stands around each step: the way so far, the word, the beads, and what comes next.

use egui::{Align, Align2, Layout, Panel, RichText, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use soundbead_data::chain::ChangeKind;
use soundbead_dsp::judgement::Speaking;

use super::beads::{self, BeadLook};
use super::room::{asking, low, spelling, tall};
use super::{Scene, hear, letters, look, picture, record, room, string, which};
use crate::drill::session::{Intent, OpenQuestion};
use crate::drill::{Lesson, Next, WordStep};
use crate::recorder::Stage;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::theme::palette;

/// A window narrower than this, in points, has less at its foot.
const NARROW: f32 = 900.0;

/// How wide a note under the word may be, in points.
const NOTED: f32 = 320.0;

/// What the buttons at the top take at most in a narrow window, in points.
const BUTTONS: f32 = 440.0;

/// The way so far, undo, the child's view.
pub fn top(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    // In a narrow window the drawings alone stand for these two.
    let narrow = ui.available_width() < NARROW;
    let (leave, undo) = match narrow {
        true => (
            Button::icon(Icon::Close, "Leave the lesson"),
            Button::icon(Icon::Undo, "Undo"),
        ),
        false => (
            Button::both(Icon::Close, "Leave").name("Leave the lesson"),
            Button::both(Icon::Undo, "Undo"),
        ),
    };
    ui.horizontal(|ui| {
        way(ui, scene.lesson);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if leave.quiet().show(ui).clicked() {
                // What was begun is ended, or goes on another day: nobody loses a lesson by one press.
                out.push(match scene.lesson.begun() {
                    true => Intent::Ask(Some(OpenQuestion::Leave)),
                    false => Intent::End,
                });
            }
            peek(ui, scene);
            let undo = undo.quiet().key("Ctrl Z").enabled(scene.lesson.can_undo());
            if undo.show(ui).clicked() {
                out.push(Intent::Undo);
            }
            // Left of the others, which stay where they are: a hand that reaches for the word opens nothing else.
            if scene.lesson.step() == WordStep::Look {
                let view = Button::text("For the grown-up").selected(!scene.child).key("V");
                if view.show(ui).clicked() {
                    out.push(Intent::GrownUp(scene.child));
                }
            }
        });
    });
}

/// A bead for each word: done, in hand, to come.
fn way(ui: &mut Ui, lesson: &Lesson) {
    let p = palette(ui);
    let (at, of) = (lesson.at(), lesson.words().len());
    let room = (ui.available_width() - BUTTONS).clamp(80.0, 420.0);
    let step = (room / of as f32).min(24.0);
    let (rect, response) = ui.allocate_exact_size(vec2(step * of as f32 + 10.0, 44.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Word {} of {of}", at + 1)));
    let y = rect.center().y;
    ui.painter().hline(rect.x_range(), y, egui::Stroke::new(2.0, p.edge));
    for i in 0..of {
        let centre = pos2(rect.left() + 5.0 + step * (i as f32 + 0.5), y);
        let (radius, look) = match i.cmp(&at) {
            std::cmp::Ordering::Less => (step * 0.32, BeadLook::Plain),
            std::cmp::Ordering::Equal => (step * 0.46, BeadLook::Plain),
            std::cmp::Ordering::Greater => (step * 0.28, BeadLook::Empty),
        };
        beads::paint(ui.painter(), look, centre, radius, &p);
    }
}

/// The one thing to do next, at the foot.
pub fn foot(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let free = scene.session.free() && scene.recorder.stage() == Stage::Idle;
    let frame = egui::Frame::new().inner_margin(egui::Margin {
        top: 8,
        ..egui::Margin::ZERO
    });
    // Room for the caution, which takes two lines, or three in a narrow window.
    let whole = ui.available_width();
    let height = if whole >= NARROW { 56.0 } else { 78.0 };
    let panel = Panel::bottom("drill foot")
        .resizable(false)
        .exact_size(height)
        .frame(frame);
    panel.show_separator_line(false).show(ui, |ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let (text, ready) = next(scene);
            let mut button = Button::text(text).enabled(free && ready).key("Enter");
            if scene.lesson.step() != WordStep::Beads {
                button = button.lead();
            }
            if button.show(ui).clicked() {
                out.push(Intent::GoOn);
            }
            if matches!(scene.lesson.next(), Next::Wait | Next::CheckBeads | Next::CheckLetters)
                && Button::text("Skip this step").quiet().enabled(free).show(ui).clicked()
            {
                out.push(Intent::Skip);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                left(ui, scene, whole, free, out);
            });
        });
    });
}

/// What stands beside that button: the caution where a verdict is shown, the ways without a microphone where one
/// records.
fn left(ui: &mut Ui, scene: &Scene, whole: f32, free: bool, out: &mut Vec<Intent>) {
    match scene.lesson.step() {
        WordStep::Look if !scene.child && whole >= room::CRAMPED => {
            let room = vec2(ui.available_width() - 12.0, ui.available_height());
            ui.allocate_ui_with_layout(room, Layout::top_down(Align::Min), |ui| {
                parts::note(ui, crate::wording::CAUTION_BESIDE_EAR)
            });
        }
        WordStep::Beads if whole >= NARROW && free => others(ui, scene, out),
        _ => {}
    }
}

/// The ways besides the microphone, while nothing is recorded.
fn others(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    if scene.recorder.stage() != Stage::Idle {
        return;
    }
    let model = if scene.session.has_model() {
        "Record the model anew"
    } else {
        "Record a model"
    };
    let each = [
        (
            Icon::Folder,
            "Bring in a recording",
            Intent::Ask(Some(OpenQuestion::File)),
        ),
        (Icon::Speaker, model, Intent::Ask(Some(OpenQuestion::Model))),
        (Icon::Microphone, "Microphone", Intent::Ask(Some(OpenQuestion::Device))),
    ];
    for (icon, text, intent) in each {
        if Button::both(icon, text).quiet().show(ui).clicked() {
            out.push(intent);
        }
    }
}

/// What the button at the foot says, and whether it can be pressed.
fn next(scene: &Scene) -> (&'static str, bool) {
    let lesson = scene.lesson;
    match (lesson.next(), lesson.step()) {
        (Next::End, _) if scene.more => ("Done with the words", true),
        (Next::End, _) => ("End the lesson", true),
        (Next::Word, _) => ("Next word", true),
        (Next::Step(WordStep::Which), _) => match lesson.change().map(|c| c.kind) {
            Some(ChangeKind::Swap) | None => ("Which sound changed?", true),
            Some(ChangeKind::Add) => ("Which sound is new?", true),
            Some(ChangeKind::Drop) => ("Which sound is gone?", true),
        },
        (Next::Step(_), _) => ("Now the letters", true),
        (Next::CheckLetters, _) => ("Check the letters", true),
        (Next::CheckBeads, WordStep::Beads) => ("Check without recording", true),
        (Next::CheckBeads, _) => ("Check the beads", true),
        (Next::Wait, WordStep::Beads) => ("Check without recording", false),
        (Next::Wait, WordStep::Look) => ("Check the beads", false),
        (Next::Wait, WordStep::Which) => ("Now the letters", false),
        (Next::Wait, WordStep::Letters) => ("Check the letters", false),
    }
}

/// The step in hand.
pub fn step(ui: &mut Ui, scene: &Scene, cache: &mut picture::PictureCache, fresh: bool, out: &mut Vec<Intent>) {
    // A low window has to hold the record button as well.
    ui.spacing_mut().item_spacing.y = if low(ui) { 3.0 } else { 8.0 };
    match scene.lesson.step() {
        WordStep::Beads => {
            heard_word(ui, scene, out);
            let room = room::above(ui, 410.0).min(70.0 * room::grown(ui));
            ui.add_space(room);
            let size = match (tall(ui), low(ui)) {
                (true, _) => 108.0 * room::grown(ui),
                (_, false) => 80.0,
                (_, true) => 56.0,
            };
            string::show(ui, scene, size, out);
            ui.add_space(room);
            record::show(ui, scene, tall(ui), out);
            if ui.available_width() < NARROW {
                ui.horizontal_wrapped(|ui| others(ui, scene, out));
            }
        }
        WordStep::Look => {
            if !scene.child {
                word(ui, scene, out);
            }
            if scene.child && ui.clip_rect().height() > 560.0 {
                // The wave and what stands over it, with room to breathe on a large screen.
                ui.add_space(room::above(ui, 520.0) * 0.6);
            }
            look::show(ui, scene, cache, out);
        }
        WordStep::Which => {
            ui.add_space(room::above(ui, 430.0));
            which::show(ui, scene, out);
        }
        WordStep::Letters => {
            ui.add_space(room::above_growing(ui, 400.0, 580.0));
            letters::show(ui, scene, fresh, out);
        }
    }
}

/// The word for the grown-up, beside the recording.
fn word(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let word = scene.lesson.word();
    let soft = palette(ui).soft;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        spelling(ui, &word.spelling, 30.0);
        let sounds = format!("{}    {}", word.ipa(), word.plain());
        ui.label(RichText::new(sounds).size(16.0).color(soft));
        hear::buttons(ui, scene, out);
    });
    noted(ui, scene);
}

/// What was noted of a sound of the word: one quiet line for the grown-up.
fn noted(ui: &mut Ui, scene: &Scene) {
    if let Some(note) = scene.session.noted() {
        parts::note(ui, &crate::wording::noted(note));
    }
}

/// The word for whoever leads the lesson, as long as the button or its key is held: the child does not see it otherwise.
fn peek(ui: &mut Ui, scene: &Scene) {
    let button = Button::text("Hold: the word")
        .name("Hold to see the word")
        .quiet()
        .key(if scene.lesson.step() == WordStep::Letters {
            "F2"
        } else {
            "W"
        })
        .show(ui);
    // Where letters are typed, W is a letter.
    let free = !ui.ctx().text_edit_focused();
    let key = ui.input(|i| i.key_down(egui::Key::F2) || (free && i.key_down(egui::Key::W)));
    let below = (Align2::RIGHT_TOP, button.rect.right_bottom() + vec2(0.0, 6.0));
    parts::while_held(&button, key, below, |ui| {
        let word = scene.lesson.word();
        // In one line each, however long the word: a fixed place leaves no width of its own.
        ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
        spelling(ui, &word.spelling, 30.0);
        ui.label(RichText::new(word.plain()).size(18.0));
        ui.style_mut().wrap_mode = None;
        ui.set_max_width(NOTED);
        noted(ui, scene);
    });
}

/// What the child sees in place of the word.
fn heard_word(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    ui.vertical_centered(|ui| {
        let low = low(ui);
        ui.add_space(if low { 0.0 } else { 12.0 });
        let font = asking(ui);
        let line = match (scene.recorder.stage(), scene.session.modelling()) {
            (Stage::Idle, _) => "Listen to the word. Put on a bead for each sound.",
            (_, true) => "Say the word for the child to hear.",
            (_, false) => match scene.lesson.speaking() {
                Speaking::Whole => "Say the word.",
                Speaking::Stretched => "Say the word, and hold each sound.",
                Speaking::Separate => "Say the word sound by sound.",
            },
        };
        ui.label(RichText::new(line).font(font));
    });
    hear::in_the_middle(ui, scene, out);
}

/// While a recording is read, listened to or written.
pub fn working(ui: &mut Ui, (text, loose): (&str, bool), out: &mut Vec<Intent>) {
    ui.add_space(40.0);
    ui.vertical_centered(|ui| {
        ui.add(egui::Spinner::new().size(44.0));
        ui.label(RichText::new(text).size(20.0));
        if loose && Button::text("Cancel").key("Esc").show(ui).clicked() {
            out.push(Intent::Cancel);
        }
    });
}
