//! A key word drawn with the letters of its sound in bold.

use soundbead_data::inventory::SoundEntry;

use super::font::{self, FontFace};
use super::lay::{Align, Style, fit};
use super::page::{Area, PageItem};
use crate::keyed::pieces;

/// Ink may lean out of the advance of its letters by so much, in points.
const LEAN: f32 = 3.0;

/// The word in the middle of `room`, of `size` points where it fits.
pub(super) fn word_in(entry: &SoundEntry, word: &str, size: f32, room: Area) -> Vec<PageItem> {
    let pieces = pieces(entry, word);
    let face = |own: bool| if own { FontFace::Bold } else { FontFace::Regular };
    let each = |size: f32| {
        pieces
            .iter()
            .map(move |(text, own)| font::width(face(*own), size, text))
    };
    let natural: f32 = each(size).sum();
    let size = size * ((room.w - 2.0 * LEAN) / natural.max(0.01)).min(1.0);
    let mut x = room.x + (room.w - each(size).sum::<f32>()) / 2.0;
    let mut items = Vec::new();
    for ((text, own), wide) in pieces.iter().zip(each(size)) {
        let style = Style {
            face: face(*own),
            ..Style::plain(size)
        };
        let piece = Area::new(x - LEAN, room.y, wide + 2.0 * LEAN, room.h);
        // The pen stands where the word's would, so that the pieces look like one word.
        if let PageItem::Text(mut put) = fit(text, style, piece, Align::Left) {
            put.at.x = x;
            items.push(PageItem::Text(put));
        }
        x += wide;
    }
    items
}
