//! Wall charts of the vowels and of the consonants: a word in large letters first, then what the sound is called, then its sign.

use soundbead_data::inventory::{self, Features, SoundEntry, Stress, Voicing};

use super::SheetOptions;
use super::consonants::{MANNERS, PLACES, at};
use super::keyed::word_in;
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Colour, PageItem, Pen, Sheet};
use crate::chart::{self, VowelKind};
use crate::keyed::{called, key_word};

/// Letters of a key word, in points: read from two meters away.
const WORD: f32 = 30.0;
/// Height of a heading over a group.
const GROUP: f32 = 20.0;
const FOOT: &str =
    "General American English. The bold letters spell the sound in this word; in other words other letters may.";

/// Sounds that stand together on a chart, under a heading.
struct WallGroup {
    heading: &'static str,
    entries: Vec<&'static SoundEntry>,
}

/// The vowels: short ones and long ones that stay, those that move, those with r.
pub fn vowels(about: &SheetOptions) -> Sheet {
    let of = |kind: VowelKind| {
        let all = inventory::all()
            .iter()
            .filter(|e| matches!(e.features, Features::Vowel(_)));
        all.filter(move |e| chart::kind(e) == kind).collect::<Vec<_>>()
    };
    let groups = [
        WallGroup {
            heading: "The mouth stays",
            entries: of(VowelKind::Still),
        },
        WallGroup {
            heading: "The mouth moves",
            entries: of(VowelKind::Moving),
        },
        WallGroup {
            heading: "With r",
            entries: of(VowelKind::WithR),
        },
    ];
    wall(&groups, 5, "Vowels", about)
}

/// The consonants by the way the air gets out, those with the voice on shaded.
pub fn consonants(about: &SheetOptions) -> Sheet {
    let every = MANNERS.iter().flat_map(|manner| {
        let pair = |place| [Voicing::Voiceless, Voicing::Voiced].map(|voicing| at(place, *manner, voicing));
        PLACES.iter().flat_map(move |place| pair(*place)).flatten()
    });
    let groups = [WallGroup {
        heading: "Shaded: the voice is on. Feel your throat.",
        entries: every.collect(),
    }];
    wall(&groups, 4, "Consonants", about)
}

fn wall(groups: &[WallGroup], across: usize, title: &str, about: &SheetOptions) -> Sheet {
    let title = about.title_or(title);
    let mut page = Composer::new(about.paper, &title, &[FOOT.to_owned()]);
    page.start(PageHead {
        title,
        named: false,
        how: String::new(),
    });
    let rows: usize = groups.iter().map(|g| g.entries.len().div_ceil(across)).sum();
    let free = page.bottom() - page.y - groups.len() as f32 * (GROUP + 4.0);
    let (wide, high) = (page.width() / across as f32, free / rows.max(1) as f32);
    for group in groups {
        let heading = Area::new(page.left(), page.y, page.width(), GROUP - 2.0);
        page.push(fit(group.heading, Style::bold(11.5), heading, Align::Left));
        page.y += GROUP;
        for (row, entries) in group.entries.chunks(across).enumerate() {
            for (column, entry) in entries.iter().enumerate() {
                let (x, y) = (page.left() + column as f32 * wide, page.y + row as f32 * high);
                place(&mut page, entry, Area::new(x, y, wide, high));
            }
        }
        page.y += group.entries.len().div_ceil(across) as f32 * high + 4.0;
    }
    page.finish()
}

/// The word, large; below it what the sound is called in plain letters, and its sign.
fn place(page: &mut Composer, entry: &SoundEntry, area: Area) {
    let voiced = matches!(entry.features, Features::Consonant(c) if c.voicing == Voicing::Voiced);
    page.push(PageItem::Box {
        area: area.shrunk(2.0),
        fill: voiced.then_some(Colour(0xee, 0xee, 0xee)),
        pen: Some(Pen::solid(0.75, Colour::LINE)),
    });
    let room = area.shrunk(5.0);
    let upper = Area::new(room.x, room.y, room.w, room.h * 0.62);
    let word = word_in(entry, key_word(entry), WORD, upper);
    word.into_iter().for_each(|item| page.push(item));
    let lower = Area::new(room.x, room.y + room.h * 0.64, room.w, room.h * 0.34);
    let half = lower.w / 2.0;
    let plain = Area::new(lower.x, lower.y, half - 4.0, lower.h);
    let name = match entry.arpabet.sounds() {
        [sound] if entry.arpabet.stress().is_none_or(|s| s == Stress::Strong) => called(*sound),
        _ => entry.letters().to_owned(),
    };
    // The key word stands above: th, not th (this).
    let name = if name == entry.shown() { entry.letters() } else { &name };
    page.push(fit(name, Style::plain(14.0), plain, Align::Right));
    let sign = Area::new(lower.x + half + 4.0, lower.y, half - 4.0, lower.h);
    page.push(fit(&format!("/{}/", entry.ipa), Style::quiet(13.0), sign, Align::Left));
}
