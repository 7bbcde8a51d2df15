//! The child's string of beads and the pile that they are taken from.

use egui::{Align, Layout, Rect, RichText, Role, Sense, Ui, WidgetInfo, vec2};

use super::Scene;
use super::beads::{self, Bead, BeadLook, Strand, Touched};
use crate::drill::MOST_BEADS;
use crate::drill::session::Intent;
use crate::ui::icons::Icon;
use crate::ui::parts::Button;
use crate::ui::theme::palette;

/// Room that the hint takes, in points.
const HINT: f32 = 240.0;

/// Shows both; beads are at most `size` wide.
pub fn show(ui: &mut Ui, scene: &Scene, size: f32, out: &mut Vec<Intent>) {
    let count = scene.lesson.work().beads;
    let each = |i: usize| Bead {
        label: String::new(),
        look: BeadLook::Plain,
        name: format!("Bead {} of {count}; touch to take it off", i + 1),
    };
    let row: Vec<Bead> = (0..count).map(each).collect();
    let strand = Strand {
        id: "string",
        beads: &row,
        size,
        touch: true,
        loose: true,
    };
    let (rect, touched) = strand.show(ui);
    name_string(ui, rect, count);
    if touched.is_some_and(|t| matches!(t, Touched::Bead(_) | Touched::Off(_))) {
        out.push(Intent::Beads(count.saturating_sub(1)));
    }
    let grown = super::room::grown(ui);
    let row = vec2(ui.available_width(), 78.0 * grown);
    ui.allocate_ui_with_layout(row, Layout::left_to_right(Align::Center), |ui| {
        ui.add_space(((ui.available_width() - 132.0 * grown) / 2.0 - 64.0).max(0.0));
        if Button::both(Icon::Less, "")
            .name("Take a bead off")
            .key("-")
            .enabled(count > 0)
            .show(ui)
            .clicked()
        {
            out.push(Intent::Beads(count.saturating_sub(1)));
        }
        if beads::pile(ui, rect, grown, count < MOST_BEADS) {
            out.push(Intent::Beads(count + 1));
        }
        // Beside the pile, where there is room for it.
        if count == 0 && ui.available_width() > HINT {
            let hint = RichText::new("one bead for each sound").size(20.0);
            ui.label(hint.color(palette(ui).soft));
        }
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
