//! The lesson by the keyboard alone.

use egui::{Key, Modifiers, Ui};
use soundbead_data::chain::ChangeKind;
use soundbead_dsp::judgement::Speaking;

use super::letters;
use crate::drill::session::{Intent, LessonSession, OpenQuestion};
use crate::drill::{Lesson, WordStep};
use crate::recorder::Stage;
use crate::ui::shared::Shared;

const DIGITS: [Key; 10] = [
    Key::Num0,
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
    Key::Num9,
];

/// Reads the keys of the step in hand. A widget that has the focus keeps Space and Enter, a text its letters; one that had it
/// when the last frame ended (`held`) lets it go at the first Esc, and the lesson is asked about at the next.
pub fn read(
    ui: &Ui,
    shared: &mut Shared,
    session: &LessonSession,
    (playing, held): (bool, bool),
    out: &mut Vec<Intent>,
) {
    let Some(lesson) = session.lesson() else { return };
    if session.question().is_some() || session.close_up().is_some() {
        return over_the_lesson(ui, shared, session, out);
    }
    let typing = ui.ctx().text_edit_focused();
    let focused = ui.ctx().memory(|m| m.focused().is_some());
    // The help page, which has its own use for Esc.
    let over = ui.memory(|m| m.top_modal_layer().is_some());
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let (running, free) = (session.recorder().stage() != Stage::Idle, session.free());
    name(lesson.step(), shared);
    if (running || !free) && pressed(Key::Escape) {
        out.push(Intent::Cancel);
    } else if !focused && !held && !over && pressed(Key::Escape) {
        out.push(Intent::Ask(Some(OpenQuestion::Leave)));
    }
    if !typing && ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Z)) {
        out.push(Intent::Undo);
    }
    if !free {
        return;
    }
    let writing = typing && lesson.step() == WordStep::Letters;
    if writing {
        letters::space(ui, lesson);
        letters::back_and_again(ui, lesson, out);
    }
    if (!focused || writing) && !running && pressed(Key::Enter) && !(writing && letters::on_to_empty(ui, lesson)) {
        out.push(Intent::GoOn);
    }
    if typing {
        return;
    }
    if pressed(Key::V) {
        out.push(Intent::GrownUp(!session.grown_up()));
    }
    for (key, speaking) in [
        (Key::M, Speaking::Whole),
        (Key::N, Speaking::Stretched),
        (Key::B, Speaking::Separate),
    ] {
        if !running && pressed(key) {
            out.push(Intent::HearModel(speaking));
        }
    }
    match lesson.step() {
        WordStep::Beads => beads(lesson, running, focused, &pressed, out),
        WordStep::Look if session.grown_up() || lesson.work().count.settled() => look(playing, focused, &pressed, out),
        WordStep::Look => recount(lesson, focused, &pressed, out),
        WordStep::Which => which(lesson, &pressed, out),
        WordStep::Letters => {}
    }
}

/// While a question is asked, or a sound is looked at closely: Esc closes that. Enter takes the answer that stands out, where
/// no widget has the focus.
fn over_the_lesson(ui: &Ui, shared: &mut Shared, session: &LessonSession, out: &mut Vec<Intent>) {
    // Taken here: in its first frame a dialog does not take Esc yet, and the view would be left by it.
    if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
        out.push(match session.question() {
            Some(_) => Intent::Ask(None),
            None => Intent::CloseUp(None),
        });
    }
    let free = ui.memory(|m| m.focused().is_none());
    if free
        && let Some(answer) = session.question().and_then(|(question, _)| leading(question))
        && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter))
    {
        out.push(answer);
    }
    if session.close_up().is_some() {
        shared.key("1 , 2 , 3", "the model, yourself, the model again");
    }
}

/// What the button that stands out does, of the questions that have one.
fn leading(question: OpenQuestion) -> Option<Intent> {
    match question {
        OpenQuestion::Leave => Some(Intent::Ask(None)),
        OpenQuestion::Unkept => Some(Intent::End),
        OpenQuestion::Model => Some(Intent::RecordModel),
        OpenQuestion::File | OpenQuestion::Device => None,
    }
}

fn beads(lesson: &Lesson, running: bool, focused: bool, pressed: &impl Fn(Key) -> bool, out: &mut Vec<Intent>) {
    let count = lesson.work().beads;
    if !focused && pressed(Key::Space) {
        out.push(if running { Intent::Stop } else { Intent::Record });
    }
    if let Some(digit) = DIGITS.iter().position(|key| pressed(*key)) {
        out.push(Intent::Beads(digit));
    }
    if [Key::Plus, Key::Equals].into_iter().any(pressed) || (!focused && pressed(Key::ArrowRight)) {
        out.push(Intent::Beads(count + 1));
    }
    if [Key::Minus, Key::Backspace].into_iter().any(pressed) || (!focused && pressed(Key::ArrowLeft)) {
        out.push(Intent::Beads(count.saturating_sub(1)));
    }
}

/// The beads beside the recording, as on the string.
fn recount(lesson: &Lesson, focused: bool, pressed: &impl Fn(Key) -> bool, out: &mut Vec<Intent>) {
    if !focused && pressed(Key::Space) {
        out.push(Intent::Again);
    }
    if pressed(Key::P) {
        out.push(Intent::Play(1.0));
    }
    beads(lesson, false, focused, pressed, out);
}

fn look(playing: bool, focused: bool, pressed: &impl Fn(Key) -> bool, out: &mut Vec<Intent>) {
    if !focused && pressed(Key::Space) {
        out.push(Intent::Again);
    }
    for (key, speed) in [(Key::P, 1.0), (Key::S, 0.75), (Key::D, 0.5)] {
        if pressed(key) {
            out.push(if playing && key == Key::P {
                Intent::Silence
            } else {
                Intent::Play(speed)
            });
        }
    }
    if let Some(digit) = DIGITS.iter().skip(1).position(|key| pressed(*key)) {
        out.push(Intent::Hear(digit, digit));
    }
}

fn which(lesson: &Lesson, pressed: &impl Fn(Key) -> bool, out: &mut Vec<Intent>) {
    let (Some(change), false) = (lesson.change(), lesson.work().which.settled()) else {
        return;
    };
    let earlier = change.kind == ChangeKind::Drop;
    let beads = if earlier {
        lesson.before().map_or(0, |w| w.count())
    } else {
        lesson.word().count()
    };
    if let Some(digit) = DIGITS.iter().skip(1).take(beads).position(|key| pressed(*key)) {
        out.push(Intent::Point(digit, earlier));
    }
}

/// Names the keys for the help page.
fn name(step: WordStep, shared: &mut Shared) {
    match step {
        WordStep::Beads => {
            shared.key("0 … 9", "so many beads");
            shared.key("+ , −", "a bead more, fewer");
            shared.key("Space", "record, and stop");
        }
        WordStep::Look => {
            shared.key("P , S , D", "play, slower, slowest");
            shared.key("1 … 9", "hear one sound");
            shared.key("Space", "say it again");
        }
        WordStep::Which => shared.key("1 … 9", "the bead that changed"),
        WordStep::Letters => {
            // The other keys are letters here.
            shared.key("Space, Tab", "the next box");
            shared.key("Enter", "the next empty box, then go on");
            shared.key("Ctrl Z, Ctrl Y", "take back letters, and bring them again");
            shared.key("F2", "hold to see the word");
            return;
        }
    }
    shared.key("M , N", "hear the word, drawn out");
    shared.key("B", "hear it sound by sound, once the beads are settled");
    shared.key("Enter", "go on");
    shared.key("W , F2", "hold to see the word");
    shared.key("V", "what is for the grown-up, beside the recording");
    shared.key("Ctrl Z", "undo");
}
