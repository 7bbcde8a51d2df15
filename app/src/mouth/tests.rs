use super::*;
use soundbead_data::inventory::{self, Entry, Features, Manner, Place, Rounding, Voicing};

fn all() -> impl Iterator<Item = (&'static Entry, Vec<Articulation>)> {
    inventory::all().iter().map(|e| (e, movement(e)))
}

fn shape(a: &Articulation, part: Part) -> Vec<Vec<Point>> {
    let of = |s: &Shape| s.part == part;
    side(a).into_iter().filter(of).map(|s| s.points).collect()
}

fn highest(points: &[Point]) -> Point {
    *points
        .iter()
        .min_by(|a, b| a[1].total_cmp(&b[1]))
        .expect("a shape has points")
}

/// The IPA chart (revised 2020): voicing of each symbol; nasals, and nothing else, let air through the nose; rounded vowels
/// round the lips.
#[test]
fn each_sound_has_the_features_of_its_symbol() {
    for (entry, steps) in all() {
        for a in &steps {
            match entry.features {
                Features::Consonant(c) => {
                    assert_eq!(a.voice > 0.5, c.voicing == Voicing::Voiced, "{}", entry.ipa);
                    assert_eq!(a.nose > 0.5, c.manner == Manner::Nasal, "{}", entry.ipa);
                }
                Features::Vowel(_) => assert!(a.voice > 0.5 && a.nose < 0.1 && a.breath > 0.5, "{}", entry.ipa),
            }
        }
        if let Features::Vowel(v) = entry.features
            && !v.r_coloured
        {
            let round = |a: &Articulation| a.round > 0.4;
            assert_eq!(round(&steps[0]), v.rounding == Rounding::Rounded, "{}", entry.ipa);
            let end = v.glide_to.map_or(v.rounding, |to| to.rounding);
            assert_eq!(
                round(&steps[steps.len() - 1]),
                end == Rounding::Rounded,
                "{}",
                entry.ipa
            );
        }
    }
}

/// What shuts the mouth for a stop or nasal: lips, tip at the ridge, or body at the soft roof (IPA places).
#[test]
fn stops_and_nasals_shut_the_mouth_where_their_place_says() {
    for (entry, steps) in all() {
        let Features::Consonant(c) = entry.features else {
            continue;
        };
        if !matches!(c.manner, Manner::Plosive | Manner::Nasal) {
            continue;
        }
        let (a, tongue) = (&steps[0], &shape(&steps[0], Part::Tongue)[0]);
        match c.place {
            Place::Bilabial => assert_eq!(a.lips, 0.0, "{}", entry.ipa),
            Place::Alveolar => {
                let touches = tongue.iter().any(|p| (0.25..0.30).contains(&p[0]) && p[1] < 0.447);
                assert!(touches && a.lips > 0.1, "{}", entry.ipa);
            }
            Place::Velar => {
                let [x, _] = highest(tongue);
                assert!(x > 0.52 && a.high > 0.99, "{}: {x}", entry.ipa);
            }
            _ => panic!("no stop of English is made at {}", c.place),
        }
    }
}

/// The vowel chart of the IPA: heights and backness of the tongue in order.
#[test]
fn the_tongue_is_where_the_vowel_chart_has_it() {
    let peak = |name: &str| {
        let entry = inventory::find(name).expect("in the inventory");
        highest(&shape(&movement(entry)[0], Part::Tongue)[0])
    };
    let front = ["IY", "IH", "EH", "AE"].map(peak);
    assert!(
        front.windows(2).all(|w| w[0][1] < w[1][1]),
        "front vowels fall: {front:?}"
    );
    let back = ["UW", "UH", "AO", "AA"].map(peak);
    assert!(back.windows(2).all(|w| w[0][1] < w[1][1]), "back vowels fall: {back:?}");
    for (a, b) in front.iter().zip(&back) {
        assert!(a[0] < b[0], "front before back: {a:?} {b:?}");
    }
}

/// A tooth-and-lip sound has the lip at the teeth, a tooth-and-tongue sound the tip between them (IPA places).
#[test]
fn lips_and_tip_meet_the_teeth() {
    for name in ["F", "V"] {
        let a = movement(inventory::find(name).expect("in the inventory"))[0];
        let tooth = &shape(&a, Part::Tooth)[0];
        let edge = tooth.iter().map(|p| p[1]).fold(0.0, f32::max);
        let lip = highest(&shape(&a, Part::LipCut)[1]);
        assert!((lip[1] - edge).abs() < 0.03, "{name}: lip {lip:?}, teeth end at {edge}");
    }
    for name in ["TH", "DH"] {
        let a = movement(inventory::find(name).expect("in the inventory"))[0];
        let tongue = &shape(&a, Part::Tongue)[0];
        let foremost = tongue.iter().map(|p| p[0]).fold(1.0, f32::min);
        assert!(foremost < 0.215, "{name}: the tip is at {foremost}");
    }
}

/// No shape leaves the frame, the tongue never goes into the roof, nothing is undefined: for every sound, and on the way
/// from every sound to every other.
#[test]
fn every_mouth_on_every_way_is_whole() {
    let poses: Vec<Articulation> = all().flat_map(|(_, steps)| steps).chain([Articulation::REST]).collect();
    for a in &poses {
        for b in &poses {
            for share in [0.0, 0.35, 0.7] {
                let pose = a.towards(b, share);
                for s in side(&pose).iter().chain(&lips(&pose)) {
                    for p in &s.points {
                        assert!(p.iter().all(|c| (-0.02..=1.02).contains(c)), "{:?} at {p:?}", s.part);
                    }
                    assert!(s.points.len() > 2, "{:?}", s.part);
                }
            }
        }
    }
}

/// A way starts at one sound, ends at the other, and is gentle at both ends.
#[test]
fn one_sound_turns_into_another_without_a_leap() {
    let of = |name| movement(inventory::find(name).expect("in the inventory"))[0];
    let (ee, oo) = (of("IY"), of("UW"));
    assert_eq!(ee.towards(&oo, 0.0), ee);
    assert_eq!(ee.towards(&oo, 1.0), oo);
    let at = |share: f32| ee.towards(&oo, share).round;
    let steps: Vec<f32> = (0..50)
        .map(|i| at((i + 1) as f32 / 50.0) - at(i as f32 / 50.0))
        .collect();
    assert!(steps.iter().all(|s| *s >= 0.0 && *s < 0.06), "{steps:?}");
    assert!(steps[0] < steps[25] / 5.0 && steps[49] < steps[25] / 5.0);
}
