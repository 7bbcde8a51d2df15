//! Hear the word: whole, drawn out, and sound by sound once that tells nothing any more.

use egui::Ui;
use soundbead_dsp::judgement::Speaking;

use super::{Scene, room};
use crate::drill::session::Intent;
use crate::drill::voice::{A_COMPUTER_VOICE, YOUR_OWN_VOICE};
use crate::ui::icons::Icon;
use crate::ui::parts::{self, Button};

/// The ways, with what stands on their buttons and their keys.
const WAYS: [(Speaking, &str, &str); 3] = [
    (Speaking::Whole, "Hear it", "M"),
    (Speaking::Stretched, "Drawn out", "N"),
    (Speaking::Separate, "Sound by sound", "B"),
];

/// The buttons, one after another, for a row of whoever calls; whose voice it is stands behind them.
pub fn buttons(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    // Sound by sound tells how many sounds there are.
    let settled = scene.lesson.work().count.settled();
    // In a narrow view there is no room for a drawing on each.
    let drawn = ui.clip_rect().width() >= room::CRAMPED;
    for (speaking, text, key) in WAYS {
        if speaking == Speaking::Separate && !settled {
            continue;
        }
        let button = match speaking {
            Speaking::Whole => Button::both(Icon::Speaker, text),
            _ if drawn => Button::both(Icon::Speaker, text).quiet(),
            _ => Button::text(text).quiet(),
        };
        if button.key(key).show(ui).clicked() {
            out.push(Intent::HearModel(speaking));
        }
    }
    let whose = if scene.session.has_model() {
        YOUR_OWN_VOICE
    } else {
        A_COMPUTER_VOICE
    };
    parts::note(ui, whose);
}

/// The same in the middle of the view.
pub fn in_the_middle(ui: &mut Ui, scene: &Scene, out: &mut Vec<Intent>) {
    parts::row_in_the_middle(ui, "hear", |ui| buttons(ui, scene, out));
}
