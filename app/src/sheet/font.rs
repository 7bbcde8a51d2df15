//! The font that everything is written in, and how wide it runs.
//!
//! Andika (SIL International, Open Font License) is made for beginning readers: its a and g have the shapes that are
//! taught, no two letters look alike, and it has the letters of the IPA. Text is measured with the font's own advances and
//! kerning by the same shaper that writes the PDF.

use std::sync::LazyLock;

use rustybuzz::ttf_parser::{GlyphId, OutlineBuilder};
use rustybuzz::{Direction, GlyphBuffer, UnicodeBuffer};

use super::place::Area;

/// The regular cut, as the file that it is.
pub static REGULAR: &[u8] = include_bytes!("../../fonts/Andika-Regular.ttf");
/// The bold cut.
pub static BOLD: &[u8] = include_bytes!("../../fonts/Andika-Bold.ttf");

/// Which cut of the font.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum FontFace {
    /// For reading.
    #[default]
    Regular,
    /// For headings.
    Bold,
}

impl FontFace {
    /// The font's file.
    pub fn bytes(self) -> &'static [u8] {
        match self {
            FontFace::Regular => REGULAR,
            FontFace::Bold => BOLD,
        }
    }

    fn loaded(self) -> &'static rustybuzz::Face<'static> {
        // Cannot fail in a build whose tests have passed: the fonts are part of the program.
        static LOADED: [LazyLock<rustybuzz::Face<'static>>; 2] = [
            LazyLock::new(|| rustybuzz::Face::from_slice(REGULAR, 0).expect("the regular font is well formed")),
            LazyLock::new(|| rustybuzz::Face::from_slice(BOLD, 0).expect("the bold font is well formed")),
        ];
        match self {
            FontFace::Regular => &LOADED[0],
            FontFace::Bold => &LOADED[1],
        }
    }
}

/// A letter's shape at its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glyph {
    /// Which shape of the font.
    pub id: u16,
    /// Points to the right of where the text begins.
    pub x: f32,
    /// Points below the line that it is written on.
    pub y: f32,
}

#[cfg(test)]
thread_local! {
    /// Bytes of text that were shaped on this thread, so that a test can tell how much work was done.
    static SHAPED: std::cell::Cell<usize> = const { std::cell::Cell::new(0) };
}

/// Bytes of text that were shaped on this thread so far.
#[cfg(test)]
pub fn shaped() -> usize {
    SHAPED.get()
}

fn glyphs(face: FontFace, text: &str) -> GlyphBuffer {
    #[cfg(test)]
    SHAPED.set(SHAPED.get() + text.len());
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.set_direction(Direction::LeftToRight);
    rustybuzz::shape(face.loaded(), &[], buffer)
}

/// For each letter, with the marks on it: the byte at which it begins, and how far the text runs with it, in points.
pub fn ends(face: FontFace, size: f32, text: &str) -> Vec<(usize, f32)> {
    let scale = size / face.loaded().units_per_em() as f32;
    let shaped = glyphs(face, text);
    let mut ends: Vec<(usize, f32)> = Vec::with_capacity(shaped.len());
    let mut pen = 0.0;
    for (info, place) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
        pen += place.x_advance as f32 * scale;
        let at = info.cluster as usize;
        match ends.last_mut() {
            Some((last, end)) if *last == at => *end = pen,
            _ => ends.push((at, pen)),
        }
    }
    ends
}

/// The shapes of `text` in order, and how far it runs, in points.
pub fn shape(face: FontFace, size: f32, text: &str) -> (Vec<Glyph>, f32) {
    let scale = size / face.loaded().units_per_em() as f32;
    let shaped = glyphs(face, text);
    let mut pen = 0.0;
    let mut glyphs = Vec::with_capacity(shaped.len());
    for (info, place) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
        glyphs.push(Glyph {
            id: u16::try_from(info.glyph_id).unwrap_or(0),
            x: pen + place.x_offset as f32 * scale,
            y: -(place.y_offset as f32) * scale,
        });
        pen += place.x_advance as f32 * scale;
    }
    (glyphs, pen)
}

/// How far `text` runs, in points.
pub fn width(face: FontFace, size: f32, text: &str) -> f32 {
    shape(face, size, text).1
}

/// What the ink of `text` covers and the advance of its last letter with it, from where the text begins on its line
/// (above it is negative); nothing for text without ink.
pub fn ink(face: FontFace, size: f32, text: &str) -> Option<Area> {
    let font = face.loaded();
    let scale = size / font.units_per_em() as f32;
    let (glyphs, advance) = shape(face, size, text);
    let mut ink: Option<(f32, f32, f32, f32)> = None;
    for glyph in &glyphs {
        let Some(b) = font.glyph_bounding_box(GlyphId(glyph.id)) else {
            continue;
        };
        let (left, right) = (
            glyph.x + f32::from(b.x_min) * scale,
            glyph.x + f32::from(b.x_max) * scale,
        );
        let (top, bottom) = (
            glyph.y - f32::from(b.y_max) * scale,
            glyph.y - f32::from(b.y_min) * scale,
        );
        ink = Some(ink.map_or((left, top, right, bottom), |i| {
            (i.0.min(left), i.1.min(top), i.2.max(right), i.3.max(bottom))
        }));
    }
    let (left, top, right, bottom) = ink?;
    Some(Area::new(
        left.min(0.0),
        top,
        right.max(advance) - left.min(0.0),
        bottom - top,
    ))
}

/// Whether the font has every letter of `text`.
pub fn covers(face: FontFace, text: &str) -> bool {
    text.chars()
        .all(|c| c.is_control() || face.loaded().glyph_index(c).is_some())
}

/// Draws a shape into `pen`, in the font's units (upwards is positive), of which [`units_per_em`] make the size.
pub fn outline(face: FontFace, glyph: u16, pen: &mut dyn OutlineBuilder) {
    // A shape without ink, such as the space, has no outline; there is nothing to draw then.
    let _ = face.loaded().outline_glyph(GlyphId(glyph), pen);
}

/// The font's units in its size.
pub fn units_per_em(face: FontFace) -> f32 {
    face.loaded().units_per_em() as f32
}

/// The height of capitals as a part of the size; letters are set in the middle of a box by it.
pub fn capitals(face: FontFace) -> f32 {
    let font = face.loaded();
    font.capital_height()
        .map_or(0.7, |h| f32::from(h) / font.units_per_em() as f32)
}
