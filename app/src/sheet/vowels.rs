//! The vowels on one page, where talkers were measured to make them.

use soundbead_dsp::formant::VoiceKind;

use super::SheetOptions;
use super::font::{self, FontFace};
use super::lay::{Align, Composer, PageHead, Style, fit};
use super::page::{Area, Colour, PageItem, Pen, Point, Sheet};
use crate::chart::{Chart, ChartSpot, VowelKind, spread_labels};
use crate::keyed::key_word;

/// Width of the list beside the chart.
const LIST: f32 = 196.0;
/// Of a label on the chart, in points.
const LABEL: [f32; 2] = [40.0, 30.0];

/// The page for this voice.
pub fn sheet(voice: VoiceKind, about: &SheetOptions) -> Sheet {
    let foot = [
        "Places of the vowels: pooled means of F1 and F2, on logarithmic scales, of the talkers measured by Peterson and \
         Barney (1952), J. Acoust. Soc. Am. 24, 175-184, and by Hillenbrand and others (1995), J. Acoust. Soc. Am. 97, \
         3099-3111. Each ring holds about two of three of them. Vowels without a ring are put together from those."
            .to_owned(),
        "General American English. One person's vowels lie elsewhere and are none the worse for it.".to_owned(),
    ];
    let title = about.title_or("The vowels");
    let mut page = Composer::new(about.paper.wide(), &title, &foot);
    page.start(PageHead {
        title,
        named: false,
        how: format!(
            "As {} say them. Left: the tongue is forward; right: back. Top: the mouth is nearly shut; bottom: wide open. \
             An arrow shows where a vowel moves to.",
            talkers(voice)
        ),
    });
    let chart = Chart::new(voice);
    let area = Area::new(
        page.left(),
        page.y,
        page.width() - LIST - 16.0,
        page.bottom() - page.y - 4.0,
    );
    let items = draw(&chart, area, &|spot| spot.kind != VowelKind::WithR || spot.to.is_none());
    items.into_iter().for_each(|item| page.push(item));
    let list = Area::new(area.right() + 16.0, area.y, LIST, area.h);
    rows(&mut page, &chart, list);
    page.finish()
}

fn talkers(voice: VoiceKind) -> &'static str {
    match voice {
        VoiceKind::Child => "children",
        VoiceKind::Woman => "women",
        VoiceKind::Man => "men",
    }
}

/// The chart of those vowels that `shown` picks, in `area`.
pub fn draw(chart: &Chart, area: Area, shown: &dyn Fn(&ChartSpot) -> bool) -> Vec<PageItem> {
    let mut items = vec![PageItem::Box {
        area,
        fill: None,
        pen: Some(Pen::solid(1.0, Colour::LINE)),
    }];
    let on = |p: [f32; 2]| Point::new(area.x + p[0] * area.w, area.y + p[1] * area.h);
    let spots: Vec<&ChartSpot> = chart.spots.iter().filter(|s| shown(s)).collect();
    let room = chart.room().into_iter().map(on);
    items.push(PageItem::points(room, true, Some(Colour(0xf3, 0xf3, 0xf3)), None));
    items.extend(rings(chart, area, shown));
    for spot in &spots {
        let at = on(spot.at);
        match spot.to {
            Some(to) => arrow(&mut items, at, on(to)),
            None => items.push(PageItem::dot(at, 2.6, Some(Colour::INK), None)),
        }
    }
    labels(&mut items, &spots, area);
    items
}

/// The ring of each measured vowel that stays where it is and that `shown` picks: two of three talkers lie inside.
pub fn rings(chart: &Chart, area: Area, shown: &dyn Fn(&ChartSpot) -> bool) -> Vec<PageItem> {
    let inside = |[x, y]: [f32; 2]| {
        let (x, y) = (x.clamp(0.0, 1.0), y.clamp(0.0, 1.0));
        Point::new(area.x + x * area.w, area.y + y * area.h)
    };
    let still = |s: &&ChartSpot| s.kind != VowelKind::Moving && s.to.is_none() && s.measured && shown(s);
    let rings = chart.spots.iter().filter(still).filter_map(|spot| {
        let [sound] = spot.entry.arpabet.sounds() else {
            return None;
        };
        chart.ring(*sound)
    });
    let pen = Some(Pen::dashed(0.6, Colour::LINE));
    rings
        .map(|ring| PageItem::points(ring.into_iter().map(inside), true, None, pen))
        .collect()
}

/// Each vowel's key word and sign, as near as can be to its place.
fn labels(items: &mut Vec<PageItem>, spots: &[&ChartSpot], area: Area) {
    let anchors: Vec<[f32; 2]> = spots
        .iter()
        .map(|s| {
            // Names stand over their dots; that of a moving vowel a little behind its start, so that its arrow stays free.
            let away = s.to.map_or([0.0, -1.0], |to| {
                let back = [(s.at[0] - to[0]) * area.w, (s.at[1] - to[1]) * area.h];
                back.map(|d| d / back[0].hypot(back[1]).max(0.01))
            });
            let [x, y] = [s.at[0] * area.w, s.at[1] * area.h];
            [x + away[0] * LABEL[0] * 0.4, y + away[1] * (LABEL[1] / 2.0 + 4.0)]
        })
        .collect();
    let places = spread_labels(&anchors, LABEL, [area.w, area.h], 1.0);
    for (spot, [x, y]) in spots.iter().zip(places) {
        let whole = Area::new(
            area.x + x - LABEL[0] / 2.0,
            area.y + y - LABEL[1] / 2.0,
            LABEL[0],
            LABEL[1],
        );
        let at = Point::new(area.x + spot.at[0] * area.w, area.y + spot.at[1] * area.h);
        let near = Point::new(
            at.x.clamp(whole.x + 8.0, whole.right() - 8.0),
            at.y.clamp(whole.y + 4.0, whole.bottom() - 4.0),
        );
        if (near.x - at.x).hypot(near.y - at.y) > 4.0 {
            items.push(PageItem::Line {
                from: at,
                to: near,
                pen: Pen::solid(0.4, Colour::LINE),
            });
        }
        let word = font::width(FontFace::Bold, 10.0, key_word(spot.entry)).max(12.0) + 3.0;
        items.push(PageItem::Box {
            area: Area::new(whole.x + (whole.w - word) / 2.0, whole.y + 2.0, word, whole.h - 3.0),
            fill: Some(Colour::WHITE),
            pen: None,
        });
        let upper = Area::new(whole.x, whole.y, whole.w, whole.h * 0.6);
        items.push(fit(key_word(spot.entry), Style::bold(10.0), upper, Align::Centre));
        let lower = Area::new(whole.x, whole.y + whole.h * 0.56, whole.w, whole.h * 0.44);
        items.push(fit(&spot.entry.ipa, Style::plain(10.0), lower, Align::Centre));
    }
}

/// A line with a head at its end.
fn arrow(items: &mut Vec<PageItem>, from: Point, to: Point) {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = dx.hypot(dy).max(0.01);
    let (ux, uy) = (dx / length, dy / length);
    let (back, side) = (7.0_f32.min(length), 2.8);
    let root = Point::new(to.x - ux * back, to.y - uy * back);
    items.push(PageItem::dot(from, 2.0, Some(Colour::INK), None));
    items.push(PageItem::Line {
        from,
        to: root,
        pen: Pen::solid(1.1, Colour::INK),
    });
    let head = [
        to,
        Point::new(root.x - uy * side, root.y + ux * side),
        Point::new(root.x + uy * side, root.y - ux * side),
    ];
    items.push(PageItem::points(head, true, Some(Colour::INK), None));
}

/// Every vowel: a word, its plain letters, its sign.
fn rows(page: &mut Composer, chart: &Chart, area: Area) {
    let kinds = [
        (VowelKind::Still, "Stay where they are"),
        (VowelKind::Moving, "Move"),
        (VowelKind::WithR, "With r"),
    ];
    let count = chart.spots.len() + kinds.len();
    let high = area.h / count as f32;
    let mut y = area.y;
    for (kind, heading) in kinds {
        let style = Style {
            face: FontFace::Bold,
            ..Style::quiet(9.0)
        };
        page.push(fit(heading, style, Area::new(area.x, y, area.w, high), Align::Left));
        y += high;
        for spot in chart.spots.iter().filter(|s| s.kind == kind) {
            let cells = [
                (0.0, 84.0, key_word(spot.entry), Style::bold(11.0)),
                (88.0, 40.0, spot.entry.letters(), Style::plain(10.5)),
                (132.0, area.w - 132.0, spot.entry.ipa.as_str(), Style::quiet(11.0)),
            ];
            for (x, w, text, style) in cells {
                page.push(fit(text, style, Area::new(area.x + x, y, w, high), Align::Left));
            }
            y += high;
        }
    }
}
