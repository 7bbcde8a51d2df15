//! How the window looks: named colour roles for light and dark, sizes, type.
//!
//! Views ask for a role, never for a colour: [`palette`] gives the roles of the theme in force. Every text role can stand
//! on every ground role at a contrast of at least 4.5 to 1 (WCAG 2.2, success criterion 1.4.3), and the outlines of
//! controls keep 3 to 1 (1.4.11); the tests compute both. Blue and orange carry the differences, which people with the
//! common kinds of colour blindness tell apart, and a word, a shape or a pattern always says the same thing again.

use egui::style::{Selection, WidgetVisuals};
use egui::{Color32, CornerRadius, FontFamily, FontId, Margin, Shadow, Stroke, TextStyle, Theme, Vec2};

/// Smallest side of anything that is touched, in points.
pub const TOUCH: f32 = 44.0;

/// The colours of one theme, by what they are for.
#[derive(Clone, Copy, Debug)]
pub struct Palette {
    /// Ground of the window.
    pub paper: Color32,
    /// Ground of a card that lies on the paper.
    pub card: Color32,
    /// Ground of what is sunk into the paper: fields, tracks, charts.
    pub well: Color32,
    /// Text.
    pub ink: Color32,
    /// Text of less weight.
    pub soft: Color32,
    /// Lines that only divide.
    pub line: Color32,
    /// Outlines of controls, and lines that carry meaning.
    pub edge: Color32,
    /// The leading colour: what is chosen, what is to be done next.
    pub lead: Color32,
    /// Text on the leading colour.
    pub on_lead: Color32,
    /// Ground tinted with the leading colour.
    pub lead_wash: Color32,
    /// The second colour, told from the first by every eye: orange to its blue.
    pub warm: Color32,
    /// Ground tinted with it.
    pub warm_wash: Color32,
    /// Unsure, take care.
    pub care: Color32,
    /// Ground of what asks for care.
    pub care_wash: Color32,
    /// Something failed or will be lost.
    pub alarm: Color32,
    /// Ground of it.
    pub alarm_wash: Color32,
    /// Well, agreed, kept.
    pub good: Color32,
    /// Ground of it.
    pub good_wash: Color32,
}

const fn hex(rgb: u32) -> Color32 {
    Color32::from_rgb((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8)
}

/// Ink on warm paper.
pub const LIGHT: Palette = Palette {
    paper: hex(0xF5F1E8),
    card: hex(0xFFFDF8),
    well: hex(0xEBE5D8),
    ink: hex(0x22303A),
    soft: hex(0x4E5B65),
    line: hex(0xD9D0BF),
    edge: hex(0x857C6B),
    lead: hex(0x17597A),
    on_lead: hex(0xFFFFFF),
    lead_wash: hex(0xD6E6EC),
    warm: hex(0x93470F),
    warm_wash: hex(0xF8E2CC),
    care: hex(0x7A4B00),
    care_wash: hex(0xF9E8BD),
    alarm: hex(0x9B2430),
    alarm_wash: hex(0xF8DEDC),
    good: hex(0x1D6046),
    good_wash: hex(0xD8EADC),
};

/// Chalk on slate.
pub const DARK: Palette = Palette {
    paper: hex(0x161B20),
    card: hex(0x1F262C),
    well: hex(0x11161A),
    ink: hex(0xECE7DC),
    soft: hex(0xB4BCC2),
    line: hex(0x38424B),
    edge: hex(0x78848E),
    lead: hex(0x86C9DF),
    on_lead: hex(0x0C2430),
    lead_wash: hex(0x1E4351),
    warm: hex(0xF2AE7A),
    warm_wash: hex(0x4A311E),
    care: hex(0xF0C869),
    care_wash: hex(0x443614),
    alarm: hex(0xF7A29E),
    alarm_wash: hex(0x4E2729),
    good: hex(0x8AD0AE),
    good_wash: hex(0x1E3F31),
};

impl Palette {
    /// The roles that text is written in, with their names.
    pub fn texts(&self) -> [(&'static str, Color32); 7] {
        [
            ("ink", self.ink),
            ("soft", self.soft),
            ("lead", self.lead),
            ("warm", self.warm),
            ("care", self.care),
            ("alarm", self.alarm),
            ("good", self.good),
        ]
    }

    /// The roles that text stands on, with their names.
    pub fn grounds(&self) -> [(&'static str, Color32); 8] {
        [
            ("paper", self.paper),
            ("card", self.card),
            ("well", self.well),
            ("lead_wash", self.lead_wash),
            ("warm_wash", self.warm_wash),
            ("care_wash", self.care_wash),
            ("alarm_wash", self.alarm_wash),
            ("good_wash", self.good_wash),
        ]
    }
}

/// The roles of the theme in force.
pub fn palette(ui: &egui::Ui) -> Palette {
    if ui.visuals().dark_mode { DARK } else { LIGHT }
}

/// Contrast of two colours, 1 to 21 (WCAG 2.2, "contrast ratio" and "relative luminance").
pub fn contrast(a: Color32, b: Color32) -> f32 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn luminance(colour: Color32) -> f32 {
    let linear = |c: u8| {
        let c = f32::from(c) / 255.0;
        // The threshold as WCAG prints it; the sRGB standard's 0.04045 gives the same for 8-bit values.
        if c <= 0.03928 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * linear(colour.r()) + 0.7152 * linear(colour.g()) + 0.0722 * linear(colour.b())
}

/// The family of the bold face.
pub fn bold() -> FontFamily {
    FontFamily::Name("bold".into())
}

/// A bold font of `size` points.
pub fn bold_font(size: f32) -> FontId {
    FontId::new(size, bold())
}

/// A plain font of `size` points.
pub fn font(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// Puts both themes into the window.
pub fn install(ctx: &egui::Context) {
    ctx.set_visuals_of(Theme::Light, visuals(&LIGHT, false));
    ctx.set_visuals_of(Theme::Dark, visuals(&DARK, true));
    ctx.all_styles_mut(|style| {
        style.text_styles = [
            (TextStyle::Small, font(14.5)),
            (TextStyle::Body, font(17.0)),
            (TextStyle::Button, font(17.0)),
            (TextStyle::Heading, bold_font(26.0)),
            (TextStyle::Monospace, font(17.0)),
        ]
        .into();
        let spacing = &mut style.spacing;
        spacing.item_spacing = Vec2::new(10.0, 8.0);
        spacing.button_padding = Vec2::new(16.0, 8.0);
        spacing.interact_size = Vec2::new(TOUCH, TOUCH);
        spacing.icon_width = 24.0;
        spacing.icon_width_inner = 14.0;
        spacing.icon_spacing = 10.0;
        spacing.combo_width = 160.0;
        spacing.slider_width = 220.0;
        spacing.text_edit_width = 320.0;
        spacing.tooltip_width = 360.0;
        spacing.menu_margin = Margin::same(8);
        spacing.window_margin = Margin::same(20);
        style.interaction.selectable_labels = false;
        style.animation_time = 0.12;
        // A pixel off the grid is drawn in red by debug builds; the charts are off it by design.
        #[cfg(debug_assertions)]
        {
            style.debug.show_unaligned = false;
        }
    });
}

fn visuals(p: &Palette, dark: bool) -> egui::Visuals {
    let base = if dark {
        egui::Visuals::dark()
    } else {
        egui::Visuals::light()
    };
    let shadow = Shadow {
        offset: [0, 6],
        blur: 24,
        spread: 0,
        color: Color32::from_black_alpha(if dark { 120 } else { 36 }),
    };
    let widget = |fill: Color32, edge: Color32, width: f32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(width, edge),
        fg_stroke: Stroke::new(1.5, p.ink),
        corner_radius: CornerRadius::same(12),
        expansion: 0.0,
    };
    let mut v = egui::Visuals {
        weak_text_color: Some(p.soft),
        hyperlink_color: p.lead,
        faint_bg_color: p.well,
        extreme_bg_color: p.well,
        text_edit_bg_color: Some(p.card),
        code_bg_color: p.well,
        warn_fg_color: p.care,
        error_fg_color: p.alarm,
        window_fill: p.card,
        window_stroke: Stroke::new(1.0, p.line),
        window_corner_radius: CornerRadius::same(18),
        menu_corner_radius: CornerRadius::same(12),
        window_shadow: shadow,
        popup_shadow: shadow,
        panel_fill: p.paper,
        slider_trailing_fill: true,
        handle_shape: egui::style::HandleShape::Circle,
        selection: Selection {
            bg_fill: p.lead_wash,
            stroke: Stroke::new(2.0, p.lead),
        },
        ..base
    };
    v.widgets.noninteractive = widget(p.paper, p.line, 1.0);
    v.widgets.inactive = widget(p.card, p.edge, 1.0);
    v.widgets.hovered = widget(p.lead_wash, p.edge, 1.5);
    // `active` is also how a widget with the keyboard's focus is drawn: a strong ring.
    v.widgets.active = widget(p.lead_wash, p.lead, 2.5);
    v.widgets.open = widget(p.lead_wash, p.edge, 1.0);
    v.text_cursor.stroke = Stroke::new(2.0, p.lead);
    v
}

#[cfg(test)]
mod tests {
    use super::*;

    /// WCAG 2.2, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (outlines of controls, 3 to 1).
    #[test]
    fn every_text_can_be_read_on_every_ground() {
        for (theme, p) in [("light", LIGHT), ("dark", DARK)] {
            for (text, colour) in p.texts() {
                for (ground, under) in p.grounds() {
                    let ratio = contrast(colour, under);
                    assert!(ratio >= 4.5, "{theme}: {text} on {ground} is {ratio:.2} to 1");
                }
            }
            let ratio = contrast(p.on_lead, p.lead);
            assert!(ratio >= 4.5, "{theme}: text on the leading colour is {ratio:.2} to 1");
            for (ground, under) in &p.grounds()[..3] {
                let ratio = contrast(p.edge, *under);
                assert!(ratio >= 3.0, "{theme}: an outline on {ground} is {ratio:.2} to 1");
            }
        }
    }

    /// WCAG 2.2's own examples: black on white is 21 to 1, and #777777 on white the well-known near miss of 4.48.
    #[test]
    fn the_formula_gives_the_published_ratios() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 0.01);
        assert!((contrast(hex(0x777777), Color32::WHITE) - 4.48).abs() < 0.01);
    }
}
