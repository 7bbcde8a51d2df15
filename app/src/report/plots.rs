//! Plots as drawing items, for the report and the window alike; each stands at the page's corner and can be moved.
//!
//! Grey, shape and figures carry the meaning, so that a plot says the same on a black-and-white printer.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use soundbead_data::chain::Unit;
use soundbead_data::inventory;

use super::data::{HeardFor, ReportData, ShownShare, TrendStretch, VowelSpot};
use crate::chart::{Chart, ChartSpot, VowelKind};
use crate::keyed::key_word;
use crate::sheet::lay::{Align, Style, fit};
use crate::sheet::page::{Area, Colour, PageItem, Pen, Point};
use crate::sheet::vowels::rings;

/// A plot and the room that it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Plot {
    /// What it shows, in words, for those who cannot see it.
    pub title: String,
    /// Its items, from the corner 0, 0.
    pub items: Vec<PageItem>,
    /// Width in points.
    pub width: f32,
    /// Height in points.
    pub height: f32,
}

const SMALL: Style = Style::quiet(8.0);
pub(super) const PALE: Pen = Pen::solid(0.5, Colour::SHADE);
const INK: Pen = Pen::solid(1.2, Colour::INK);
/// Words under which a point is drawn hollow: its interval then spans more than half of the scale.
const FEW: usize = 10;

/// A share of 0 to 1 as `81 %`.
pub fn per_cent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

/// The share of the child's counts that were the expected ones, over time, with intervals.
pub fn trend(spans: &[TrendStretch], width: f32) -> Plot {
    let (left, top, high, low) = (36.0, 8.0, 150.0, 34.0);
    let frame = Area::new(left, top, width - left - 12.0, high);
    let mut items = Vec::new();
    let y = |share: f64| frame.bottom() - share as f32 * frame.h;
    for step in 0..=4 {
        let share = f64::from(step) / 4.0;
        items.push(line(
            Point::new(frame.x, y(share)),
            Point::new(frame.right(), y(share)),
            PALE,
        ));
        let room = Area::new(0.0, y(share) - 6.0, left - 5.0, 12.0);
        items.push(fit(&per_cent(share), SMALL, room, Align::Right));
    }
    let places = across(spans, frame);
    let mut joined = Vec::new();
    for (span, &x) in spans.iter().zip(&places) {
        let Some(share) = share_of(span.counted) else { continue };
        let at = Point::new(x, y(share));
        joined.push(at);
        items.push(line(
            Point::new(x, y(span.counted.high)),
            Point::new(x, y(span.counted.low)),
            INK,
        ));
        for end in [span.counted.high, span.counted.low] {
            items.push(line(Point::new(x - 3.0, y(end)), Point::new(x + 3.0, y(end)), INK));
        }
    }
    items.push(PageItem::points(
        joined,
        false,
        None,
        Some(Pen::dashed(0.8, Colour::GREY)),
    ));
    dates(&mut items, spans, &places, &y, frame);
    Plot {
        title: "Share of the child's counts that were those of the sounds that were said, over time".into(),
        items,
        width,
        height: top + high + low,
    }
}

/// Dots over the intervals, and as many dates and numbers of words below as there is room for.
fn dates(items: &mut Vec<PageItem>, spans: &[TrendStretch], places: &[f32], y: &dyn Fn(f64) -> f32, frame: Area) {
    let mut free = f32::NEG_INFINITY;
    let monthly = spans.len() > 1 && spans.iter().all(|span| span.from.day() == 1);
    for (span, &x) in spans.iter().zip(places) {
        if let Some(share) = share_of(span.counted) {
            let fill = if span.counted.of < FEW {
                Colour::WHITE
            } else {
                Colour::INK
            };
            items.push(PageItem::dot(Point::new(x, y(share)), 3.2, Some(fill), Some(INK)));
        }
        let room = Area::new(x - 22.0, frame.bottom() + 4.0, 44.0, 12.0);
        if room.x < free {
            continue;
        }
        free = room.right() + 2.0;
        // A stretch that begins with a month is that month.
        let when = match span.from.day() {
            1 if monthly => span.from.strftime("%b").to_string(),
            _ => day(span.from),
        };
        items.push(fit(&when, SMALL, room, Align::Centre));
        let below = Area {
            y: room.bottom(),
            ..room
        };
        items.push(fit(&format!("of {}", span.counted.of), SMALL, below, Align::Centre));
    }
}

/// Where each span stands: by its middle day, from 22 points inside the left edge to as far inside the right.
fn across(spans: &[TrendStretch], frame: Area) -> Vec<f32> {
    let number = |d: Date| {
        d.to_zoned(jiff::tz::TimeZone::UTC)
            .map_or(0, |z| z.timestamp().as_second() / 86_400)
    };
    let middles: Vec<f32> = spans
        .iter()
        .map(|s| (number(s.from) + number(s.to)) as f32 / 2.0)
        .collect();
    let (Some(&first), Some(&last)) = (middles.first(), middles.last()) else {
        return Vec::new();
    };
    let (from, wide) = (frame.x + 22.0, frame.w - 44.0);
    let place = |m: &f32| match last > first {
        true => from + (m - first) / (last - first) * wide,
        false => from + wide / 2.0,
    };
    middles.iter().map(place).collect()
}

fn share_of(share: ShownShare) -> Option<f64> {
    (share.of > 0).then(|| share.right as f64 / share.of as f64)
}

/// `3 Sep`.
pub fn day(date: Date) -> String {
    date.strftime("%-d %b").to_string()
}

pub(super) fn line(from: Point, to: Point, pen: Pen) -> PageItem {
    PageItem::Line { from, to, pen }
}

/// Bars with intervals for the rows of a table, with the figures beside them.
pub fn bars(title: &str, rows: &[(String, ShownShare)], width: f32) -> Plot {
    // Narrow ones, half a page or a telephone wide, keep more of their width for the names.
    let (name, figures, row) = if width < 400.0 {
        (width * 0.34, 76.0, 17.0)
    } else {
        (width * 0.26, 96.0, 19.0)
    };
    let frame = Area::new(name + 8.0, 0.0, width - name - figures - 16.0, rows.len() as f32 * row);
    let mut items = Vec::new();
    let x = |share: f64| frame.x + share as f32 * frame.w;
    for step in 0..=4 {
        let share = f64::from(step) / 4.0;
        items.push(line(Point::new(x(share), 0.0), Point::new(x(share), frame.h), PALE));
        // There is room for the ends and the middle.
        if step % 2 == 0 {
            let room = Area::new(x(share) - 18.0, frame.h + 1.0, 36.0, SCALE - 1.0);
            items.push(fit(&per_cent(share), SMALL, room, Align::Centre));
        }
    }
    for (at, (label, share)) in rows.iter().enumerate() {
        let top = at as f32 * row;
        let middle = top + row / 2.0;
        items.push(fit(
            label,
            Style::plain(9.5),
            Area::new(0.0, top, name, row),
            Align::Right,
        ));
        if let Some(part) = share_of(*share) {
            items.push(PageItem::Box {
                area: Area::new(frame.x, middle - 4.0, x(part) - frame.x, 8.0),
                fill: Some(if share.of < FEW { Colour::WHITE } else { Colour::LINE }),
                pen: Some(Pen::solid(0.6, Colour::GREY)),
            });
            items.push(line(
                Point::new(x(share.low), middle),
                Point::new(x(share.high), middle),
                INK,
            ));
        }
        let room = Area::new(frame.right() + 8.0, top, figures, row);
        items.push(fit(&figures_of(*share), Style::plain(9.0), room, Align::Left));
    }
    Plot {
        title: title.to_owned(),
        items,
        width,
        height: rows.len() as f32 * row + SCALE,
    }
}

/// Height of the scale below bars.
const SCALE: f32 = 11.0;

/// As [`bars`], with the title above them: for plots that stand side by side under one heading.
pub fn titled_bars(title: &str, rows: &[(String, ShownShare)], width: f32) -> Plot {
    const TITLE: f32 = 16.0;
    let plain = bars(title, rows, width);
    let head = fit(
        title,
        Style::bold(9.5),
        Area::new(0.0, 0.0, width, TITLE - 2.0),
        Align::Left,
    );
    let below = plain.items.iter().map(|item| item.moved(0.0, TITLE));
    Plot {
        items: std::iter::once(head).chain(below).collect(),
        height: plain.height + TITLE,
        ..plain
    }
}

/// `162 of 200, 81 %`, or `none yet`.
pub fn figures_of(share: ShownShare) -> String {
    match share_of(share) {
        Some(part) => format!("{} of {}, {}", share.right, share.of, per_cent(part)),
        None => "none yet".into(),
    }
}

/// Most sounds on each side of the matrix, and the least width of a cell.
const MOST: usize = 14;
const CELL: f32 = 19.0;
/// What stands to the left of the cells.
const LEFT: f32 = 106.0;

/// Sounds heard (across) against sounds expected (down); nothing where none strayed. Rows are the sounds that were most often heard
/// as another, or left out.
pub fn matrix(heard: &[HeardFor], width: f32) -> Option<Plot> {
    let mut rows: BTreeMap<Unit, BTreeMap<Option<Unit>, usize>> = BTreeMap::new();
    for one in heard.iter().filter(|h| h.times > 0) {
        *rows.entry(one.expected).or_default().entry(one.heard).or_default() += one.times;
    }
    let strayed = |sound: &Unit, row: &BTreeMap<Option<Unit>, usize>| -> usize {
        row.iter().filter(|(h, _)| **h != Some(*sound)).map(|(_, n)| n).sum()
    };
    let by_strays = rows.iter().map(|(s, row)| (strayed(s, row), *s));
    let mut by_strays: Vec<(usize, Unit)> = by_strays.filter(|(strays, _)| *strays > 0).collect();
    by_strays.sort_by_key(|(strays, _)| std::cmp::Reverse(*strays));
    // As many as fit beside each other, with the columns of what is gone and of all others.
    let most = (((width - LEFT) / CELL) as usize).saturating_sub(4).clamp(3, MOST);
    let down: BTreeSet<Unit> = by_strays.iter().take(most).map(|(_, s)| *s).collect();
    let columns = columns(&rows, &down, most);
    (!down.is_empty()).then(|| draw_matrix(&rows, &down, &columns, width))
}

/// The expected sounds themselves, then those most often heard in their place, up to `most`, in the sounds' order.
fn columns(rows: &BTreeMap<Unit, BTreeMap<Option<Unit>, usize>>, down: &BTreeSet<Unit>, most: usize) -> Vec<Unit> {
    let mut times: BTreeMap<Unit, usize> = BTreeMap::new();
    for row in down.iter().filter_map(|s| rows.get(s)) {
        for (sound, n) in row {
            if let Some(sound) = sound.filter(|s| !down.contains(s)) {
                *times.entry(sound).or_default() += n;
            }
        }
    }
    let mut others: Vec<(usize, Unit)> = times.into_iter().map(|(s, n)| (n, s)).collect();
    others.sort_by_key(|(n, _)| std::cmp::Reverse(*n));
    let room = most.saturating_sub(down.len()).max(2);
    let mut all: Vec<Unit> = down
        .iter()
        .copied()
        .chain(others.into_iter().take(room).map(|(_, s)| s))
        .collect();
    all.sort();
    all
}

fn draw_matrix(
    rows: &BTreeMap<Unit, BTreeMap<Option<Unit>, usize>>,
    down: &BTreeSet<Unit>,
    columns: &[Unit],
    width: f32,
) -> Plot {
    let left = LEFT;
    let cell = ((width - left) / (columns.len() + 2) as f32).min(30.0);
    let (high, top) = (20.0, 30.0);
    let mut items = Vec::new();
    let heads = columns.iter().map(|u| (ipa(*u), key(*u)));
    let heads = heads.chain([("gone".into(), ""), ("other".into(), "")]);
    for (at, (head, word)) in heads.enumerate() {
        let room = Area::new(left + at as f32 * cell, 0.0, cell, top * 0.56);
        items.push(fit(&head, Style::plain(10.0), room.shrunk(1.0), Align::Centre));
        let below = Area::new(room.x, room.bottom(), cell, top * 0.36);
        items.push(fit(word, Style::quiet(7.5), below.shrunk(0.5), Align::Centre));
    }
    for (at, sound) in down.iter().enumerate() {
        let y = top + at as f32 * high;
        let row = &rows[sound];
        let total: usize = row.values().sum();
        items.push(fit(
            &ipa(*sound),
            Style::plain(11.0),
            Area::new(0.0, y, 22.0, high),
            Align::Right,
        ));
        let word = Area::new(26.0, y, 42.0, high);
        items.push(fit(key(*sound), Style::plain(9.0), word, Align::Left));
        let room = Area::new(70.0, y, left - 74.0, high);
        items.push(fit(&format!("of {total}"), SMALL, room, Align::Right));
        let named = columns
            .iter()
            .map(|c| row.get(&Some(*c)).copied().unwrap_or(0))
            .collect::<Vec<_>>();
        let gone = row.get(&None).copied().unwrap_or(0);
        let other = total - gone - named.iter().sum::<usize>();
        for (across, times) in named.iter().copied().chain([gone, other]).enumerate() {
            let area = Area::new(left + across as f32 * cell, y, cell, high);
            let own = columns.get(across) == Some(sound);
            square(&mut items, area, times, total, own);
        }
    }
    Plot {
        title: "Sounds heard in the recordings (across) against sounds expected (down)".into(),
        items,
        width,
        height: top + down.len() as f32 * high + 4.0,
    }
}

/// A cell: the darker the more often; the expected sound's own has a heavy frame.
fn square(items: &mut Vec<PageItem>, area: Area, times: usize, total: usize, own: bool) {
    let share = times as f32 / total.max(1) as f32;
    // Never darker than leaves ink readable on it.
    let grey = (255.0 - 110.0 * share.sqrt()) as u8;
    items.push(PageItem::Box {
        area: area.shrunk(0.5),
        fill: (times > 0).then_some(Colour(grey, grey, grey)),
        pen: Some(Pen::solid(
            if own { 1.4 } else { 0.4 },
            if own { Colour::INK } else { Colour::LINE },
        )),
    });
    if times > 0 {
        items.push(fit(
            &times.to_string(),
            Style::plain(9.0),
            area.shrunk(2.0),
            Align::Centre,
        ));
    }
}

/// A counted sound in IPA.
pub fn ipa(unit: Unit) -> String {
    let sounds: Vec<_> = unit.sounds().collect();
    match inventory::of_unit(&sounds) {
        Some(entry) => entry.ipa.clone(),
        None => sounds.iter().map(|s| inventory::of(*s).ipa.as_str()).collect(),
    }
}

/// The key word of a counted sound; empty for what is no sound of the inventory.
pub fn key(unit: Unit) -> &'static str {
    let sounds: Vec<_> = unit.sounds().collect();
    inventory::of_unit(&sounds).map_or("", key_word)
}

/// The learner's vowels month by month over the norms of the voice; nothing when none were measured.
pub fn vowels(data: &ReportData, width: f32) -> Option<Plot> {
    let spots: Vec<&VowelSpot> = data.vowels.iter().filter(|v| v.f1_hz > 0.0 && v.f2_hz > 0.0).collect();
    let months: BTreeSet<Date> = spots.iter().map(|v| v.month).collect();
    let (first, last) = (*months.first()?, *months.last()?);
    let chart = Chart::new(data.voice);
    let area = Area::new(0.5, 0.5, width - 1.0, 250.0);
    let mut items = norms(&chart, area);
    let on = |v: &VowelSpot| {
        let [x, y] = chart.place(v.f1_hz, v.f2_hz).map(|c| c.clamp(0.012, 0.988));
        Point::new(area.x + x * area.w, area.y + y * area.h)
    };
    let shade = |month: Date| {
        let all = months.len().max(2) - 1;
        let at = months.iter().position(|m| *m == month).unwrap_or(0);
        (220.0 - 200.0 * at as f32 / all as f32) as u8
    };
    for vowel in spots.iter().map(|v| v.vowel).collect::<BTreeSet<_>>() {
        let mut own: Vec<&&VowelSpot> = spots.iter().filter(|v| v.vowel == vowel).collect();
        own.sort_by_key(|v| v.month);
        let way = own.iter().map(|v| on(v));
        items.push(PageItem::points(way, false, None, Some(Pen::solid(0.8, Colour::GREY))));
        for spot in &own {
            let g = if months.len() == 1 { 20 } else { shade(spot.month) };
            let pen = Some(Pen::solid(0.9, Colour::INK));
            items.push(PageItem::dot(on(spot), 3.4, Some(Colour(g, g, g)), pen));
        }
        if let Some(latest) = own.last() {
            let at = on(latest);
            let x = at.x + 5.0;
            let y = (at.y - 16.0).max(area.y + 1.0);
            let entry = inventory::of(vowel);
            let name = format!("{} {}", entry.ipa, key_word(entry));
            let x = x.min(area.right() - 46.0);
            items.push(fit(&name, Style::bold(10.5), Area::new(x, y, 44.0, 15.0), Align::Left));
        }
    }
    let when = if first == last {
        month(first)
    } else {
        format!("{} (light) to {} (dark)", month(first), month(last))
    };
    items.push(fit(
        &when,
        SMALL,
        Area::new(area.x + 6.0, area.bottom() - 15.0, area.w - 12.0, 12.0),
        Align::Left,
    ));
    Some(Plot {
        title: "The learner's vowels by month, over the rings of the norms".into(),
        items,
        width,
        height: area.bottom() + 1.0,
    })
}

/// Frame, and the rings of the norms with their signs in grey.
fn norms(chart: &Chart, area: Area) -> Vec<PageItem> {
    let mut items = vec![PageItem::Box {
        area,
        fill: None,
        pen: Some(Pen::solid(1.0, Colour::LINE)),
    }];
    let still = |s: &ChartSpot| s.kind == VowelKind::Still;
    items.extend(rings(chart, area, &still));
    for spot in chart.spots.iter().filter(|s| still(s) && s.measured) {
        let [x, y] = spot.at.map(|c| c.clamp(0.0, 1.0));
        let at = Point::new(area.x + x * area.w, area.y + y * area.h);
        let room = Area::new(at.x - 9.0, at.y - 8.0, 18.0, 16.0);
        items.push(fit(&spot.entry.ipa, Style::quiet(10.0), room, Align::Centre));
    }
    items
}

/// `September 2026`.
pub fn month(date: Date) -> String {
    date.strftime("%B %Y").to_string()
}
