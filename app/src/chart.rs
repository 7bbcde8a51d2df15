//! The vowel chart as geometry: where each vowel lies, how it moves, how talkers spread, and labels that do not collide.
//!
//! All of it is computed from published formants (`soundbead_data::norm`); nothing is placed by hand. Across runs F2,
//! high at the left (tongue forward). Down runs F1, low at the top (mouth nearly shut). Both are on logarithmic scales,
//! as phoneticians have drawn it since Joos (1948), Acoustic Phonetics, Language 24 (2), supplement. Coordinates are 0
//! to 1 in a frame that holds every vowel of the voice; whoever draws it scales them.

use std::f32::consts::TAU;

use soundbead_data::Sound;
use soundbead_data::inventory::{self, Features, SoundEntry, Stress};
use soundbead_data::norm::{self, NORMS, VoiceKind, VowelResonances};

/// A point: 0 at the left (front) and top (close), 1 at the right (back) and bottom (open).
pub type ChartPoint = [f32; 2];

/// Where one vowel lies.
#[derive(Clone, Debug)]
pub struct ChartSpot {
    /// The inventory's entry.
    pub entry: &'static SoundEntry,
    /// What kind of vowel it is, for showing some at a time.
    pub kind: VowelKind,
    /// Its start, or all of it if it does not move.
    pub at: ChartPoint,
    /// Where it ends, if it moves.
    pub to: Option<ChartPoint>,
    /// Whether its place is in the published table; if not, it is put together from others that are.
    pub measured: bool,
}

/// Kinds of vowels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum VowelKind {
    /// One quality throughout.
    Still,
    /// Moves (a diphthong).
    Moving,
    /// With r in it.
    WithR,
}

/// The chart of one voice.
#[derive(Clone, Debug)]
pub struct Chart {
    /// The voice.
    pub voice: VoiceKind,
    /// Every vowel of the inventory, in its order.
    pub spots: Vec<ChartSpot>,
    /// Natural logarithms of F1 at the top and bottom of the frame.
    f1: [f32; 2],
    /// Natural logarithms of F2 at the left and right of the frame.
    f2: [f32; 2],
}

/// How far beyond the outermost vowels the frame reaches, as a factor on Hz: talkers spread by about this much.
const MARGIN: f32 = 1.17;

impl Chart {
    /// The chart of a voice.
    pub fn new(voice: VoiceKind) -> Chart {
        let ways: Vec<(&'static SoundEntry, VowelResonances)> = inventory::all()
            .iter()
            .filter_map(|e| Some((e, way(e, voice)?)))
            .collect();
        let ends = |k: usize| {
            ways.iter()
                .flat_map(move |(_, w)| [Some(w.from_hz), w.to_hz])
                .flatten()
                .map(move |f| f[k].ln())
        };
        let low = |k| ends(k).fold(f32::INFINITY, f32::min) - MARGIN.ln();
        let high = |k| ends(k).fold(f32::NEG_INFINITY, f32::max) + MARGIN.ln();
        let mut chart = Chart {
            voice,
            spots: Vec::new(),
            f1: [low(0), high(0)],
            f2: [high(1), low(1)],
        };
        chart.spots = ways
            .iter()
            .map(|(entry, way)| ChartSpot {
                entry,
                kind: kind(entry),
                at: chart.place(way.from_hz[0], way.from_hz[1]),
                to: way.to_hz.map(|f| chart.place(f[0], f[1])),
                measured: way.measured,
            })
            .collect();
        chart
    }

    /// Where F1 and F2 (Hz, above 0) lie; outside 0 to 1 for what is beyond the frame.
    pub fn place(&self, f1: f32, f2: f32) -> ChartPoint {
        let share = |hz: f32, [from, to]: [f32; 2]| (hz.ln() - from) / (to - from);
        [share(f2, self.f2), share(f1, self.f1)]
    }

    /// The F1 and F2 in Hz of a point.
    pub fn hz(&self, [x, y]: ChartPoint) -> [f32; 2] {
        let hz = |share: f32, [from, to]: [f32; 2]| (from + share * (to - from)).exp();
        [hz(y, self.f1), hz(x, self.f2)]
    }

    /// The ring that holds about two of three talkers' vowels (a closed line); `None` for a vowel not in the table.
    ///
    /// For two normally distributed quantities the share within r standard deviations is 1 - exp(-r²/2), so r is 1.48.
    /// Logarithms of F1 and F2 are taken as such.
    pub fn ring(&self, vowel: Sound) -> Option<Vec<ChartPoint>> {
        let norm = NORMS.iter().find(|n| n.voice == self.voice && n.vowel == vowel)?;
        let [a, b, _, c, ..] = norm.covariance.map(|x| x * 1e-4);
        // Cholesky's factor of the covariance turns a circle into the ring.
        let l11 = a.sqrt();
        let (l21, r) = (b / l11, TWO_OF_THREE);
        let l22 = (c - l21 * l21).max(0.0).sqrt();
        let ring = (0..64).map(|i| TAU * i as f32 / 64.0).map(|t| {
            let (u, v) = (r * t.cos(), r * t.sin());
            let (d1, d2) = (l11 * u, l21 * u + l22 * v);
            self.place(norm.means_hz[0] * d1.exp(), norm.means_hz[1] * d2.exp())
        });
        Some(ring.collect())
    }

    /// The room the vowels take up: the convex hull of where they start, a closed line (Andrew's monotone chain, 1979).
    pub fn room(&self) -> Vec<ChartPoint> {
        let mut points: Vec<ChartPoint> = self.spots.iter().map(|s| s.at).collect();
        points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
        let turn =
            |o: ChartPoint, a: ChartPoint, b: ChartPoint| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
        let half = |points: &mut dyn Iterator<Item = ChartPoint>| {
            let mut chain: Vec<ChartPoint> = Vec::new();
            for p in points {
                while chain.len() > 1 && turn(chain[chain.len() - 2], chain[chain.len() - 1], p) <= 0.0 {
                    chain.pop();
                }
                chain.push(p);
            }
            chain.pop();
            chain
        };
        let mut hull = half(&mut points.iter().copied());
        hull.extend(half(&mut points.iter().rev().copied()));
        hull
    }
}

/// Radius in standard deviations of the ring that holds two thirds.
const TWO_OF_THREE: f32 = 1.482_303_8;

/// The vowel's way in a voice; `None` for a consonant.
pub fn way(entry: &SoundEntry, voice: VoiceKind) -> Option<VowelResonances> {
    let weak = entry.arpabet.stress() == Some(Stress::Weak);
    let vowel = matches!(entry.features, Features::Vowel(_));
    vowel.then(|| norm::way(entry.arpabet.sounds(), weak, voice)).flatten()
}

/// What kind of vowel a sound is; a consonant stays as it is.
pub fn kind(entry: &SoundEntry) -> VowelKind {
    match entry.features {
        Features::Vowel(v) if v.r_coloured => VowelKind::WithR,
        Features::Vowel(v) if v.glide_to.is_some() => VowelKind::Moving,
        _ => VowelKind::Still,
    }
}

/// Centres for labels of `size` (width, height), each as near its anchor as it can be without touching another or leaving
/// `frame` (width, height). The same input gives the same output.
///
/// Labels that overlap push each other apart along the shorter way while a weak spring draws each home; labels of the
/// same anchor start a little apart. If they cannot all fit, some go on overlapping.
pub fn spread_labels(anchors: &[ChartPoint], size: [f32; 2], frame: [f32; 2], gap: f32) -> Vec<ChartPoint> {
    // The golden angle keeps equal anchors from starting in line.
    let start = |(i, a): (usize, &ChartPoint)| {
        let angle = i as f32 * 2.399_963;
        [a[0] + 0.5 * angle.cos(), a[1] + 0.5 * angle.sin()]
    };
    let mut at: Vec<ChartPoint> = anchors.iter().enumerate().map(start).collect();
    const ROUNDS: usize = 500;
    for round in 0..ROUNDS {
        // The spring lets go towards the end, so that what is left is free of overlap.
        let spring = 0.06 * (1.0 - round as f32 / (0.8 * ROUNDS as f32)).max(0.0);
        for (p, a) in at.iter_mut().zip(anchors) {
            for k in 0..2 {
                p[k] += spring * (a[k] - p[k]);
            }
        }
        for i in 0..at.len() {
            for j in 0..i {
                part(&mut at, i, j, size, gap);
            }
        }
        for p in &mut at {
            for k in 0..2 {
                let half = size[k] / 2.0;
                p[k] = p[k].clamp(half, (frame[k] - half).max(half));
            }
        }
    }
    at
}

/// Pushes two labels apart, half each, if they overlap.
fn part(at: &mut [ChartPoint], i: usize, j: usize, size: [f32; 2], gap: f32) {
    let over: [f32; 2] = std::array::from_fn(|k| size[k] + gap - (at[i][k] - at[j][k]).abs());
    if over[0] <= 0.0 || over[1] <= 0.0 {
        return;
    }
    let k = usize::from(over[1] < over[0]);
    let way = if at[i][k] >= at[j][k] { 0.5 } else { -0.5 };
    at[i][k] += way * over[k];
    at[j][k] -= way * over[k];
}

#[cfg(test)]
mod tests {
    use super::*;

    const VOICES: [VoiceKind; 3] = [VoiceKind::Child, VoiceKind::Woman, VoiceKind::Man];

    fn spot(chart: &Chart, arpabet: &str) -> ChartPoint {
        let entry = inventory::find(arpabet).expect("in the inventory");
        chart
            .spots
            .iter()
            .find(|s| std::ptr::eq(s.entry, entry))
            .expect("on the chart")
            .at
    }

    /// The IPA chart (revised 2020): close vowels at the top, open ones at the bottom, front at the left, back at the right.
    #[test]
    fn the_chart_lies_as_the_ipa_chart_does() {
        for voice in VOICES {
            let chart = Chart::new(voice);
            assert_eq!(chart.spots.len(), 22);
            for (upper, lower) in [
                ("IY", "IH"),
                ("IH", "EH"),
                ("EH", "AE"),
                ("UW", "AO"),
                ("UH", "AA"),
                ("AH1", "AA"),
                ("IY", "AE"),
            ] {
                assert!(
                    spot(&chart, upper)[1] < spot(&chart, lower)[1],
                    "{voice}: {upper} over {lower}"
                );
            }
            for (front, back) in [
                ("IY", "UW"),
                ("IH", "UH"),
                ("EH", "AH1"),
                ("AE", "AA"),
                ("AH1", "AO"),
                ("AH0", "AO"),
            ] {
                assert!(
                    spot(&chart, front)[0] < spot(&chart, back)[0],
                    "{voice}: {front} before {back}"
                );
            }
            for s in &chart.spots {
                for p in [Some(s.at), s.to].into_iter().flatten() {
                    assert!(
                        p.iter().all(|c| (0.0..=1.0).contains(c)),
                        "{voice} {}: {p:?}",
                        s.entry.ipa
                    );
                }
                assert_eq!(
                    s.to.is_some(),
                    s.kind == VowelKind::Moving || s.entry.arpabet.sounds().len() == 2
                );
            }
        }
    }

    /// Handbooks of phonetics: the vowels of day and boat close as they go on; that of bird has its own low third formant
    /// and lies in the middle.
    #[test]
    fn moving_vowels_move_as_they_are_described() {
        for voice in VOICES {
            let chart = Chart::new(voice);
            for arpabet in ["EY", "OW", "AY", "AW", "OY"] {
                let entry = inventory::find(arpabet).expect("in the inventory");
                let s = chart
                    .spots
                    .iter()
                    .find(|s| std::ptr::eq(s.entry, entry))
                    .expect("on the chart");
                assert!(s.to.expect("it moves")[1] < s.at[1], "{voice} {arpabet} closes");
            }
            let [x, _] = spot(&chart, "ER1");
            assert!((0.25..0.75).contains(&x), "{voice}: {x}");
        }
    }

    #[test]
    fn a_place_and_its_figures_are_the_same_thing() {
        let chart = Chart::new(VoiceKind::Child);
        let [f1, f2] = chart.hz(chart.place(640.0, 1830.0));
        assert!((f1 - 640.0).abs() < 0.1 && (f2 - 1830.0).abs() < 0.5);
    }

    /// Every point of a ring is the same number of standard deviations from the mean, by the inverse covariance.
    #[test]
    fn rings_hold_two_of_three() {
        let chart = Chart::new(VoiceKind::Child);
        let norm = NORMS
            .iter()
            .find(|n| n.voice == VoiceKind::Child && n.vowel == Sound::UW)
            .expect("in the table");
        let [a, b, _, c, ..] = norm.covariance.map(|x| f64::from(x) * 1e-4);
        for p in chart.ring(Sound::UW).expect("in the table") {
            let [f1, f2] = chart.hz(p);
            let d = [(f1 / norm.means_hz[0]).ln(), (f2 / norm.means_hz[1]).ln()].map(f64::from);
            let q = (c * d[0] * d[0] - 2.0 * b * d[0] * d[1] + a * d[1] * d[1]) / (a * c - b * b);
            assert!((1.0 - (-q / 2.0).exp() - 2.0 / 3.0).abs() < 2e-3, "{q}");
        }
        assert!(chart.ring(Sound::AY).is_none());
    }

    #[test]
    fn labels_neither_touch_nor_leave_the_frame() {
        for voice in VOICES {
            for frame in [[620.0, 480.0], [460.0, 380.0]] {
                let chart = Chart::new(voice);
                let anchors: Vec<ChartPoint> = chart
                    .spots
                    .iter()
                    .map(|s| [s.at[0] * frame[0], s.at[1] * frame[1]])
                    .collect();
                let size = [56.0, 44.0];
                let at = spread_labels(&anchors, size, frame, 3.0);
                for i in 0..at.len() {
                    for k in 0..2 {
                        assert!(at[i][k] >= size[k] / 2.0 - 0.01 && at[i][k] <= frame[k] - size[k] / 2.0 + 0.01);
                    }
                    for j in 0..i {
                        let apart = (0..2).any(|k| (at[i][k] - at[j][k]).abs() >= size[k]);
                        assert!(
                            apart,
                            "{voice} {frame:?}: {} on {}",
                            chart.spots[i].entry.ipa, chart.spots[j].entry.ipa
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn the_room_holds_every_vowel() {
        for voice in VOICES {
            let chart = Chart::new(voice);
            let room = chart.room();
            assert!(room.len() >= 4, "corners: {}", room.len());
            for s in &chart.spots {
                let inside = (0..room.len()).all(|i| {
                    let (a, b, p) = (room[i], room[(i + 1) % room.len()], s.at);
                    (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) >= -1e-5
                });
                assert!(inside, "{voice} {}", s.entry.ipa);
            }
        }
    }
}
