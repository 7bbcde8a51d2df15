//! The consonants on one page, by where and how they are made, as on the IPA chart.

use soundbead_data::inventory::{self, Features, Manner, Place, SoundEntry, Voicing};

use super::SheetOptions;
use super::keyed::word_in;
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Colour, PageItem, Pen, Sheet};
use crate::keyed::key_word;

/// The chart's columns, front to back; the lips-and-velum sound w stands at the end.
pub const PLACES: [Place; 9] = [
    Place::Bilabial,
    Place::Labiodental,
    Place::Dental,
    Place::Alveolar,
    Place::Postalveolar,
    Place::Palatal,
    Place::Velar,
    Place::Glottal,
    Place::LabialVelar,
];

/// The chart's rows, from the tightest to the loosest.
pub const MANNERS: [Manner; 6] = [
    Manner::Plosive,
    Manner::Affricate,
    Manner::Fricative,
    Manner::Nasal,
    Manner::LateralApproximant,
    Manner::Approximant,
];

/// The consonant made so, if English has it.
pub fn at(place: Place, manner: Manner, voicing: Voicing) -> Option<&'static SoundEntry> {
    inventory::all().iter().find(|entry| {
        matches!(entry.features, Features::Consonant(c)
            if (c.place, c.manner, c.voicing) == (place, manner, voicing))
    })
}

/// A place in a few plain words.
pub fn place_in_words(place: Place) -> &'static str {
    match place {
        Place::Bilabial => "both lips",
        Place::Labiodental => "lip and teeth",
        Place::Dental => "tongue and teeth",
        Place::Alveolar => "behind the teeth",
        Place::Postalveolar => "behind the ridge",
        Place::Palatal => "hard roof",
        Place::Velar => "soft roof",
        Place::Glottal => "throat",
        Place::LabialVelar => "lips and soft roof",
    }
}

/// A manner in a few plain words.
pub fn manner_in_words(manner: Manner) -> &'static str {
    match manner {
        Manner::Plosive => "stopped, then let go",
        Manner::Nasal => "through the nose",
        Manner::Fricative => "through a narrow gap",
        Manner::Affricate => "stopped, then a gap",
        Manner::Approximant => "nearly free",
        Manner::LateralApproximant => "past the tongue's sides",
    }
}

const LABEL: f32 = 92.0;
const TOP: f32 = 40.0;
const ROW: f32 = 54.0;

/// The page.
pub fn sheet(about: &SheetOptions) -> Sheet {
    let foot = [
        "Places, manners and voicing as on the chart of the International Phonetic Association (revised 2020). General \
         American English; key words show the sound, not its spelling."
            .to_owned(),
    ];
    let mut page = Composer::new(about.paper.wide(), about.title_or("The consonants"), &foot);
    page.start(PageHead {
        title: about.title_or("The consonants"),
        named: false,
        how:
            "Across: where the sound is made, from the lips to the throat. Down: how the air gets out. In each box the \
              left side is with the voice off, the shaded right side with the voice on."
                .into(),
    });
    let (left, top) = (page.left(), page.y);
    let column = (page.width() - LABEL) / PLACES.len() as f32;
    for (at, place) in PLACES.iter().enumerate() {
        let room = Area::new(left + LABEL + at as f32 * column, top, column, TOP).shrunk(2.0);
        label(
            &mut page,
            room,
            place_in_words(*place),
            &place.to_string(),
            Align::Centre,
        );
    }
    for (down, manner) in MANNERS.iter().enumerate() {
        let y = top + TOP + down as f32 * ROW;
        let room = Area::new(left, y + 6.0, LABEL - 6.0, ROW - 12.0);
        label(
            &mut page,
            room,
            manner_in_words(*manner),
            &manner.to_string().replace('-', " "),
            Align::Left,
        );
        for (across, place) in PLACES.iter().enumerate() {
            let area = Area::new(left + LABEL + across as f32 * column, y, column, ROW);
            square(&mut page, area, *place, *manner);
        }
    }
    page.y = top + TOP + MANNERS.len() as f32 * ROW;
    page.finish()
}

/// What it means over the chart's term.
fn label(page: &mut Composer, room: Area, plain: &str, term: &str, align: Align) {
    let half = room.h / 2.0;
    page.push(fit(
        plain,
        Style::bold(9.5),
        Area::new(room.x, room.y, room.w, half),
        align,
    ));
    page.push(fit(
        term,
        Style::quiet(8.0),
        Area::new(room.x, room.y + half, room.w, half),
        align,
    ));
}

fn square(page: &mut Composer, area: Area, place: Place, manner: Manner) {
    let half = area.w / 2.0;
    for (side, voicing) in [(0.0, Voicing::Voiceless), (1.0, Voicing::Voiced)] {
        let Some(entry) = at(place, manner, voicing) else {
            continue;
        };
        let room = Area::new(area.x + side * half, area.y, half, area.h);
        if voicing == Voicing::Voiced {
            page.push(PageItem::Box {
                area: room,
                fill: Some(Colour::SHADE),
                pen: None,
            });
        }
        let word = Area::new(room.x, room.y + 4.0, room.w, room.h * 0.5).shrunk(1.5);
        let marked = word_in(entry, key_word(entry), 13.0, word);
        marked.into_iter().for_each(|item| page.push(item));
        let sign = Area::new(room.x, room.y + room.h * 0.56, room.w, room.h * 0.36).shrunk(1.0);
        page.push(fit(&entry.ipa, Style::quiet(12.0), sign, Align::Centre));
    }
    page.push(PageItem::Box {
        area,
        fill: None,
        pen: Some(Pen::solid(0.75, Colour::LINE)),
    });
}
