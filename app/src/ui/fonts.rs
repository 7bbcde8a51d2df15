//! The type: Andika, which SIL made for beginning readers; it has the IPA (licence beside it in `app/fonts`).

use std::sync::Arc;

use egui::{FontData, FontDefinitions, FontFamily};

use crate::sheet::font::{BOLD, REGULAR};

/// Makes Andika the only type of the window, so that what is not in it is noticed by the tests.
pub fn install(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::empty();
    for (name, bytes) in [("regular", REGULAR), ("bold", BOLD)] {
        fonts
            .font_data
            .insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    for (family, face) in [
        (FontFamily::Proportional, "regular"),
        (FontFamily::Monospace, "regular"),
        (super::theme::bold(), "bold"),
    ] {
        fonts.families.insert(family, vec![face.to_owned()]);
    }
    ctx.set_fonts(fonts);
}
