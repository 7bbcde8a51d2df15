//! What stands around each step: the way so far, the word, the beads, and what comes next.

use egui::{Align, Layout, Panel, Rect, RichText, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use soundbead_data::chain::Kind;

use super::beads::{self, Bead, Look, Strand, Touched};
use super::room::{in_view, spelling, tall};
use super::{Scene, letters, look, picture, record, which};
use crate::drill::session::{Intent, Question};
use crate::drill::{Lesson, MOST_BEADS, Step};
use crate::recorder::Stage;
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};
use crate::ui::theme::{self, palette};

/// A window narrower than this, in points, has less at its foot.
const NARROW: f32 = 900.0;

/// The way so far, undo, the child's view.
pub fn top(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    ui.horizontal(|ui| {
        way(ui, scene.lesson);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if Button::both(Icon::Close, "End")
                .name("Leave the lesson")
                .quiet()
                .show(ui)
                .clicked()
            {
                out.push(Intent::End);
            }
            let view = Button::text("Child's view").selected(scene.child).key("V");
            if view.show(ui).clicked() {
                out.push(Intent::GrownUp(scene.child));
            }
            let undo = Button::both(Icon::Undo, "Undo")
                .quiet()
                .key("Ctrl Z")
                .enabled(scene.lesson.can_undo());
            if undo.show(ui).clicked() {
                out.push(Intent::Undo);
            }
        });
    });
}

/// A bead for each word: done, in hand, to come.
fn way(ui: &mut Ui, lesson: &Lesson) {
    let p = palette(ui);
    let (at, of) = (lesson.at(), lesson.words().len());
    let step = (420.0 / of as f32).min(24.0);
    let (rect, response) = ui.allocate_exact_size(vec2(step * of as f32 + 10.0, 44.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Word {} of {of}", at + 1)));
    let y = rect.center().y;
    ui.painter().hline(rect.x_range(), y, egui::Stroke::new(2.0, p.edge));
    for i in 0..of {
        let centre = pos2(rect.left() + 5.0 + step * (i as f32 + 0.5), y);
        let (radius, look) = match i.cmp(&at) {
            std::cmp::Ordering::Less => (step * 0.32, Look::Plain),
            std::cmp::Ordering::Equal => (step * 0.46, Look::Plain),
            std::cmp::Ordering::Greater => (step * 0.28, Look::Empty),
        };
        beads::paint(ui.painter(), look, centre, radius, &p);
    }
}

/// The one thing to do next, at the foot.
pub fn foot(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let free = scene.session.free();
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
            let (text, lead) = next(scene);
            let mut button = Button::text(&text).enabled(free && scene.recorder.stage() == Stage::Idle);
            if lead {
                button = button.lead().key("Enter");
            }
            if button.show(ui).clicked() {
                out.push(if scene.lesson.coming().is_none() {
                    Intent::End
                } else {
                    Intent::GoOn
                });
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
        _ if scene.child => {}
        Step::Look => {
            let room = vec2(ui.available_width() - 12.0, ui.available_height());
            ui.allocate_ui_with_layout(room, Layout::top_down(Align::Min), |ui| {
                parts::note(ui, crate::wording::CAUTION_BESIDE_EAR)
            });
        }
        Step::Beads if whole >= NARROW && free => others(ui, scene, out),
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
        (Icon::Folder, "Bring in a recording", Intent::Ask(Some(Question::File))),
        (Icon::Speaker, model, Intent::RecordModel),
        (Icon::Microphone, "Microphone", Intent::Ask(Some(Question::Device))),
    ];
    for (icon, text, intent) in each {
        if Button::both(icon, text).quiet().show(ui).clicked() {
            out.push(intent);
        }
    }
}

/// What the button at the foot says, and whether it is the thing to do.
fn next(scene: &Scene) -> (String, bool) {
    use crate::drill::Coming;
    let lesson = scene.lesson;
    let text = match lesson.coming() {
        None => "End the lesson",
        Some(Coming::Word) => "Next word",
        Some(Coming::Step(Step::Which)) => match lesson.change().map(|c| c.kind) {
            Some(Kind::Swap) | None => "Which sound changed?",
            Some(Kind::Add) => "Which sound is new?",
            Some(Kind::Drop) => "Which sound is gone?",
        },
        Some(Coming::Step(_)) => "Now the letters",
    };
    match lesson.step() {
        Step::Beads => (format!("Without a recording: {}", lower(text)), false),
        Step::Look | Step::Letters => (text.to_owned(), true),
        Step::Which => (text.to_owned(), lesson.work().pointed.is_some()),
    }
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|c| c.to_lowercase().collect::<String>() + letters.as_str())
        .unwrap_or_default()
}

/// The step in hand.
pub fn step(ui: &mut Ui, scene: &Scene, cache: &mut picture::Cache, fresh: bool, out: &mut Vec<Intent>) {
    ui.spacing_mut().item_spacing.y = 8.0;
    match scene.lesson.step() {
        Step::Beads => {
            word(ui, scene, out);
            if scene.child {
                heard_word(ui, scene, out);
            }
            let room = ((in_view(ui) - 410.0) / 3.0).clamp(0.0, 70.0);
            ui.add_space(room);
            string(ui, scene, out);
            ui.add_space(room);
            record::show(ui, scene, tall(ui), out);
            if !scene.child && ui.available_width() < NARROW {
                ui.horizontal_wrapped(|ui| others(ui, scene, out));
            }
        }
        Step::Look => {
            word(ui, scene, out);
            look::show(ui, scene, cache, out);
        }
        Step::Which => {
            ui.add_space(((in_view(ui) - 430.0) / 3.0).clamp(0.0, 90.0));
            which::show(ui, scene, out);
        }
        Step::Letters => {
            ui.add_space(((in_view(ui) - 400.0) / 3.0).clamp(0.0, 90.0));
            letters::show(ui, scene, fresh, out);
        }
    }
}

/// The word for the parent; the child hears it, and does not see its letters before writing them.
fn word(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    if scene.child {
        return;
    }
    let word = scene.lesson.word();
    let soft = palette(ui).soft;
    if scene.lesson.step() == Step::Look || !tall(ui) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 18.0;
            spelling(ui, &word.spelling, 30.0);
            ui.label(
                RichText::new(format!("{}    {}", word.ipa(), word.plain()))
                    .size(16.0)
                    .color(soft),
            );
            if scene.session.has_model() {
                model(ui, out);
            }
        });
        return;
    }
    ui.vertical_centered(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        spelling(ui, &word.spelling, 76.0);
        ui.label(
            RichText::new(format!("{}    {}", word.ipa(), word.plain()))
                .size(24.0)
                .color(soft),
        );
        if scene.session.has_model() {
            model(ui, out);
        }
    });
}

/// What the child sees in place of the word.
fn heard_word(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    ui.vertical_centered(|ui| {
        ui.add_space(12.0);
        ui.label(RichText::new("Listen to the word. Put on a bead for each sound.").font(theme::bold_font(26.0)));
        if scene.session.has_model() {
            model(ui, out);
        }
    });
}

/// Plays the parent's own recording of the word.
fn model(ui: &mut Ui, out: &mut Vec<Intent>) {
    if Button::both(Icon::Play, "Hear the word").key("M").show(ui).clicked() {
        out.push(Intent::HearModel);
    }
}

/// The child's string and the pile.
fn string(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    let count = scene.lesson.work().beads;
    let each = |i: usize| Bead {
        label: String::new(),
        look: Look::Plain,
        name: format!("Bead {} of {count}; touch to take it off", i + 1),
    };
    let row: Vec<Bead> = (0..count).map(each).collect();
    let strand = Strand {
        id: "string",
        beads: &row,
        size: if tall(ui) { 108.0 } else { 80.0 },
        touch: true,
        loose: true,
    };
    let (rect, touched) = strand.show(ui);
    name_string(ui, rect, count);
    if touched.is_some_and(|t| matches!(t, Touched::Bead(_) | Touched::Off(_))) {
        out.push(Intent::Beads(count.saturating_sub(1)));
    }
    let row = vec2(ui.available_width(), 78.0);
    ui.allocate_ui_with_layout(row, Layout::left_to_right(Align::Center), |ui| {
        ui.add_space(((ui.available_width() - 132.0) / 2.0 - 64.0).max(0.0));
        if Button::both(Icon::Less, "")
            .name("Take a bead off")
            .key("-")
            .enabled(count > 0)
            .show(ui)
            .clicked()
        {
            out.push(Intent::Beads(count.saturating_sub(1)));
        }
        if beads::pile(ui, rect, count < MOST_BEADS) {
            out.push(Intent::Beads(count + 1));
        }
        let hint = match (count, scene.child) {
            (0, _) => "one bead for each sound".to_owned(),
            (_, true) => String::new(),
            (n, false) => many(n, "bead"),
        };
        ui.label(RichText::new(hint).size(20.0).color(palette(ui).soft));
    });
}

/// The count for screen readers, as a thing of its own.
fn name_string(ui: &mut Ui, rect: Rect, count: usize) {
    let response = ui.interact(
        rect.shrink2(vec2(0.0, rect.height() / 2.0 - 1.0)),
        ui.scope_id().with("count"),
        Sense::hover(),
    );
    let name = format!("Beads on the string: {count}");
    response.widget_info(|| WidgetInfo::labeled(Role::Status, true, &name));
}

/// While a recording is read, listened to or written.
pub fn working(ui: &mut Ui, scene: &Scene, (text, loose): (&str, bool), out: &mut Vec<Intent>) {
    word(ui, scene, out);
    ui.add_space(40.0);
    ui.vertical_centered(|ui| {
        ui.add(egui::Spinner::new().size(44.0));
        ui.label(RichText::new(text).size(20.0));
        if loose && Button::text("Cancel").key("Esc").show(ui).clicked() {
            out.push(Intent::Cancel);
        }
    });
}
