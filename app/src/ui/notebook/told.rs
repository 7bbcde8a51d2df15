//! Telling, sound by sound, what was said.

use egui::{CollapsingHeader, ComboBox, Ui, vec2};
use soundbead_data::{Sound, inventory};

use crate::review::opened::OpenedAttempt;
use crate::review::session::ReviewIntent;
use crate::review::told::ToldSounds;
use crate::ui::parts::{self, Button};

/// Shows a choice for each sound of the word.
pub fn show(ui: &mut Ui, opened: &OpenedAttempt, told: &ToldSounds, out: &mut Vec<ReviewIntent>) {
    let head = CollapsingHeader::new("Tell the sounds that were said").id_salt("told");
    head.show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            for (i, (own, said)) in opened.attempt.sounds.iter().zip(told.chosen()).enumerate() {
                if let Some(said) = one(ui, i, *own, *said) {
                    out.push(ReviewIntent::Tell(i, said));
                }
            }
        });
        if told.ruling(&opened.attempt).is_none() {
            parts::note(ui, "At least one sound was said.");
        } else if Button::text("Keep these sounds").show(ui).clicked() {
            out.push(ReviewIntent::KeepTold);
        }
    });
}

/// One sound: itself, left out, or another. What was chosen, once another is.
fn one(ui: &mut Ui, i: usize, own: Sound, said: Option<Sound>) -> Option<Option<Sound>> {
    let name = |s: Sound| inventory::of(s).shown().to_owned();
    let shown = match said {
        None => format!("{}: left out", name(own)),
        Some(s) if s == own => name(own),
        Some(s) => format!("{} → {}", name(own), name(s)),
    };
    let mut chosen = said;
    ComboBox::from_id_salt(("told", i))
        .selected_text(shown)
        .width(86.0)
        .show_ui(ui, |ui| {
            ui.selectable_value(&mut chosen, Some(own), format!("{}, as it should be", name(own)));
            ui.selectable_value(&mut chosen, None, "left out");
            // A vowel is taken for a vowel and a consonant for a consonant: those stand first.
            let mut others: Vec<Sound> = Sound::all().filter(|s| *s != own).collect();
            others.sort_by_key(|s| s.is_vowel() != own.is_vowel());
            for other in others {
                let entry = inventory::of(other);
                let text = format!("{}  /{}/", entry.shown(), entry.ipa);
                ui.selectable_value(&mut chosen, Some(other), text);
            }
        });
    (chosen != said).then_some(chosen)
}
