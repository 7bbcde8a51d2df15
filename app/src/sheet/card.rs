//! One sound on a page: how it is made, words that have it, and the sound it is most often mixed up with.

use soundbead_data::Sound;
use soundbead_data::inventory::{self, Features, Mixup, SoundEntry};

use super::cut::CardGrid;
use super::keyed::word_in;
use super::lay::{Align, Composer, PageHead, Style, fit, wrap};
use super::page::{Area, Colour, PageItem, Pen, Point, Sheet};
use super::{SheetOptions, fewest};
use crate::keyed::key_word;
use crate::mouth::{self, MouthPart, MouthShape};

/// From the largest drawings and gaps to the smallest with which every card keeps to its page.
const SCALES: [f32; 5] = [1.0, 0.92, 0.84, 0.76, 0.68];

/// The card.
pub fn sheet(entry: &SoundEntry, about: &SheetOptions) -> Sheet {
    fewest(&SCALES, |scale| at(entry, about, scale))
}

fn at(entry: &SoundEntry, about: &SheetOptions, scale: f32) -> Sheet {
    let title = about.title_or(&format!("The sound {}, as in {}", entry.letters(), key_word(entry)));
    let foot = [
        "Features as on the chart of the International Phonetic Association (revised 2020); what to do and how to tell it \
         from its nearest: common practice. General American English."
            .to_owned(),
        crate::wording::CAUTION.to_owned(),
    ];
    let mut page = Composer::new(about.paper, &title, &foot);
    page.start(PageHead {
        title,
        named: false,
        how: String::new(),
    });
    sign(&mut page, entry);
    words(&mut page, entry);
    page.heading("How it is made", 60.0 + MOUTH * scale);
    mouths(&mut page, entry, MOUTH * scale);
    for (part, cue) in entry.cues.iter() {
        row(&mut page, part_name(part), cue, scale);
    }
    mixed_up(&mut page, entry, scale);
    page.finish()
}

/// Cards to cut apart, six to a page: word, name and sign, mouth, and what lips and tongue do.
pub fn six(entries: &[&SoundEntry], about: &SheetOptions) -> Sheet {
    let title = about.title_or("Sound cards");
    let mut page = Composer::new(about.paper, &title, &[crate::wording::CAUTION.to_owned()]);
    page.start(PageHead {
        title,
        named: false,
        how: "Cut along the broken lines.".into(),
    });
    let high = ((page.bottom() - page.y).min(page.bottom() - page.top()) - CardGrid::CLEAR) / 3.0;
    CardGrid { across: 2, high }.lay(&mut page, entries.len(), |page, at, area| {
        small(page, entries[at], area)
    });
    page.finish()
}

/// A sixth of a page.
fn small(page: &mut Composer, entry: &SoundEntry, area: Area) {
    let room = area.shrunk(6.0);
    let fits = |(mouth, letters): &(f32, f32)| {
        let style = Style::plain(*letters);
        let lines: usize = small_cues(entry)
            .map(|(_, cue)| wrap(cue, style, room.w - SMALL_NAME).len())
            .sum();
        mouth + 6.0 + lines as f32 * style.line() + 2.0 * 2.0 <= room.h
    };
    // At the smallest everything fits on both papers, which the tests hold.
    let (side, letters) = SMALL.into_iter().find(fits).unwrap_or(SMALL[SMALL.len() - 1]);
    let mouth = Area::new(room.right() - side, room.y, side, side);
    let first = mouth::movement(entry).first().map(mouth::side);
    first.iter().for_each(|shapes| framed(page, shapes, mouth));
    small_head(page, entry, Area::new(room.x, room.y, room.w - side - 8.0, side));
    let style = Style::plain(letters);
    let mut y = mouth.bottom() + 6.0;
    for (part, cue) in small_cues(entry) {
        let name = Area::new(room.x, y, SMALL_NAME, style.line());
        page.push(fit(part_name(part), Style::bold(9.5), name, Align::Left));
        for line in wrap(cue, style, room.w - SMALL_NAME) {
            let at = Area::new(room.x + SMALL_NAME, y, room.w - SMALL_NAME, style.line());
            page.push(fit(&line, style, at, Align::Left));
            y += style.line();
        }
        y += 2.0;
    }
}

/// Key word, name and further words of a small card.
fn small_head(page: &mut Composer, entry: &SoundEntry, area: Area) {
    let word = Area::new(area.x, area.y, area.w, area.h * 0.48);
    word_in(entry, key_word(entry), 30.0, word)
        .into_iter()
        .for_each(|item| page.push(item));
    let name = Area::new(area.x, area.y + area.h * 0.52, area.w, 20.0);
    let named = format!("{}   /{}/", entry.shown(), entry.ipa);
    page.push(fit(&named, Style::plain(14.0), name, Align::Centre));
    let others = [&entry.words.initial, &entry.words.medial, &entry.words.final_];
    let others = others.into_iter().flatten().filter(|w| *w != key_word(entry));
    let others: Vec<&str> = others.map(String::as_str).collect();
    let below = Area::new(area.x, area.y + area.h * 0.78, area.w, 18.0);
    page.push(fit(&others.join(", "), Style::quiet(12.0), below, Align::Centre));
}

/// What lips, tongue and air do: what a small card has room for.
fn small_cues(entry: &SoundEntry) -> impl Iterator<Item = (&'static str, &str)> {
    let wanted = |(part, _): &(&str, &str)| ["lips", "tongue", "airflow"].contains(part);
    entry.cues.iter().filter(wanted)
}

/// Side of the mouth on a small card and size of its letters, the largest first; and width of what its lines begin with.
const SMALL: [(f32, f32); 4] = [(92.0, 10.5), (82.0, 10.5), (74.0, 10.0), (68.0, 9.5)];
const SMALL_NAME: f32 = 46.0;

/// What a line of cues begins with.
fn part_name(part: &str) -> &'static str {
    match part {
        "lips" => "Lips",
        "tongue" => "Tongue",
        "jaw" => "Jaw",
        "airflow" => "Air",
        _ => "Voice",
    }
}

/// The sign, large, with its names and features beside it.
fn sign(page: &mut Composer, entry: &SoundEntry) {
    const SIDE: f32 = 118.0;
    let area = Area::new(page.left(), page.y, SIDE, SIDE);
    page.push(PageItem::Box {
        area,
        fill: None,
        pen: Some(Pen::solid(1.5, Colour::INK)),
    });
    page.push(fit(&entry.ipa, Style::plain(66.0), area.shrunk(10.0), Align::Centre));
    let (x, w) = (area.right() + 20.0, page.width() - SIDE - 20.0);
    let rows = [
        ("In the IPA", format!("/{}/", entry.ipa)),
        ("In plain letters", entry.shown().to_owned()),
        ("In ARPAbet", entry.arpabet.to_string()),
        ("Made", made(entry)),
    ];
    for (at, (name, value)) in rows.iter().enumerate() {
        let y = area.y + 6.0 + at as f32 * 27.0;
        page.push(fit(name, Style::quiet(10.5), Area::new(x, y, 92.0, 24.0), Align::Left));
        page.push(fit(
            value,
            Style::plain(14.0),
            Area::new(x + 98.0, y, w - 98.0, 24.0),
            Align::Left,
        ));
    }
    page.y = area.bottom() + 14.0;
}

/// The features in the chart's words.
pub fn made(entry: &SoundEntry) -> String {
    match entry.features {
        Features::Consonant(c) => format!("{}, {}, {}", c.voicing, c.place, c.manner.to_string().replace('-', " ")),
        Features::Vowel(v) => {
            let mut text = format!("{}, {}, {}", v.height, v.backness, v.rounding);
            if let Some(end) = v.glide_to {
                text += &format!(", moving to {} {}", end.height, end.backness);
            }
            if v.r_coloured {
                text += ", with r";
            }
            text
        }
    }
}

/// Key words, each in its box under the place of the sound.
fn words(page: &mut Composer, entry: &SoundEntry) {
    let places = [
        ("at the start", &entry.words.initial),
        ("inside", &entry.words.medial),
        ("at the end", &entry.words.final_),
    ];
    let (gap, high) = (12.0, 54.0);
    let wide = (page.width() - 2.0 * gap) / 3.0;
    let top = page.y;
    for (at, (place, word)) in places.into_iter().enumerate() {
        let area = Area::new(page.left() + at as f32 * (wide + gap), top, wide, high);
        page.push(PageItem::Box {
            area,
            fill: None,
            pen: Some(Pen::solid(0.75, Colour::LINE)),
        });
        let label = Area::new(area.x, area.y + 4.0, area.w, 14.0);
        page.push(fit(place, Style::quiet(9.5), label, Align::Centre));
        let room = Area::new(area.x, area.y + 18.0, area.w, high - 22.0).shrunk(2.0);
        let text = word.as_deref().unwrap_or("not in everyday words");
        let style = if word.is_some() {
            Style::bold(19.0)
        } else {
            Style::quiet(10.0)
        };
        page.push(fit(text, style, room, Align::Centre));
    }
    page.y = top + high + 4.0;
}

/// Side of a drawing of the mouth, in points, at scale 1.
const MOUTH: f32 = 112.0;

/// The mouth from the side and from the front; twice, at its start and its end, for a sound that moves.
fn mouths(page: &mut Composer, entry: &SoundEntry, side: f32) {
    let moments = mouth::movement(entry);
    let when = match moments.len() {
        1 => [""; 2],
        _ => [", at the start", ", at the end"],
    };
    let (gap, top) = (10.0, page.y);
    let mut x = page.left();
    for (articulation, when) in moments.iter().take(2).zip(when) {
        for (shapes, view) in [
            (mouth::side(articulation), "from the side"),
            (mouth::lips(articulation), "from the front"),
        ] {
            let area = Area::new(x, top, side, side);
            framed(page, &shapes, area);
            let room = Area::new(x, area.bottom() + 1.0, side, 13.0);
            page.push(fit(&format!("{view}{when}"), Style::quiet(8.5), room, Align::Centre));
            x += side + gap;
        }
    }
    page.y = top + side + 22.0;
}

/// One drawing of the mouth in its frame.
fn framed(page: &mut Composer, shapes: &[MouthShape], area: Area) {
    shapes.iter().for_each(|shape| page.push(flesh(shape, area)));
    page.push(PageItem::Box {
        area,
        fill: None,
        pen: Some(Pen::solid(0.75, Colour::LINE)),
    });
}

/// A part of the mouth in greys that a black-and-white printer keeps apart. What juts out of the square is cut off at
/// its edge.
fn flesh(shape: &MouthShape, area: Area) -> PageItem {
    let (fill, line) = match shape.part {
        MouthPart::Head => (0xee, 0.0),
        MouthPart::Hollow => (0xff, 0.0),
        MouthPart::Inside => (0x4a, 0.0),
        MouthPart::Soft => (0xd2, 0.0),
        MouthPart::Tongue => (0xa8, 0.9),
        MouthPart::Tooth => (0xff, 0.7),
        MouthPart::Lip => (0xc4, 0.7),
        MouthPart::LipCut => (0xc4, 0.0),
        MouthPart::Fold => (0x77, 0.0),
        MouthPart::Line => (0x1c, 0.9),
        MouthPart::Wave | MouthPart::Air | MouthPart::Hiss => (0x1c, 0.7),
    };
    let points = shape.points.iter().map(|[x, y]| {
        let (x, y) = (x.clamp(0.0, 1.0), y.clamp(0.0, 1.0));
        Point::new(area.x + x * area.w, area.y + y * area.h)
    });
    let pen = match shape.part {
        MouthPart::Hiss => Some(Pen::dashed(line, Colour::INK)),
        _ if line > 0.0 => Some(Pen::solid(line, Colour::INK)),
        _ => None,
    };
    let fill = shape.is_area().then_some(Colour(fill, fill, fill));
    PageItem::points(points, shape.is_area(), fill, pen)
}

/// A name at the left and a text of as many lines as it takes.
fn row(page: &mut Composer, name: &str, text: &str, scale: f32) {
    // Letters shrink half as fast as drawings: they are what is read.
    let style = Style::plain(12.5 * (1.0 + scale) / 2.0);
    page.need(style.line());
    page.labeled((name, Style::bold(11.5 * (1.0 + scale) / 2.0)), 70.0, text, style);
    page.y += 4.0 * scale;
}

fn mixed_up(page: &mut Composer, entry: &SoundEntry, scale: f32) {
    let Some(other) = inventory::find(&entry.confused.with.to_string()) else {
        return;
    };
    page.heading("Not to be mixed up with", 60.0);
    let name = format!("/{}/", other.ipa);
    let features: Vec<String> = entry.confused.differs_in.iter().map(ToString::to_string).collect();
    row(page, &name, &entry.confused.tell_apart, scale);
    row(page, "", &format!("The two differ in {}.", features.join(", ")), scale);
    if let Some(why) = &entry.confused.one_way {
        row(page, "", why, scale);
    }
    // The window's card tells how each is told apart; here there is room for their signs, so that a card stays one page.
    if !entry.also.is_empty() {
        let signs: Vec<String> = entry.also.iter().map(mixed_with).collect();
        row(page, "", &format!("Also taken for: {}.", signs.join(", ")), scale);
    }
}

/// What a sound is taken for, in IPA; `left out` where it is lost.
pub fn mixed_with(mixup: &Mixup) -> String {
    let Some(with) = &mixup.with else {
        return "left out".to_owned();
    };
    let ipa = |s: &Sound| inventory::of(*s).ipa.as_str();
    let whole = inventory::find(&with.to_string()).map(|entry| entry.ipa.clone());
    let parts = || with.sounds().iter().map(ipa).collect();
    format!("/{}/", whole.unwrap_or_else(parts))
}
