use super::*;
use soundbead_data::inventory::{self, Features, Manner, Place, Rounding, SoundEntry, Voicing};

fn all() -> impl Iterator<Item = (&'static SoundEntry, Vec<Articulation>)> {
    inventory::all().iter().map(|e| (e, movement(e)))
}

fn shape(a: &Articulation, part: MouthPart) -> Vec<Vec<MouthPoint>> {
    let of = |s: &MouthShape| s.part == part;
    side(a).into_iter().filter(of).map(|s| s.points).collect()
}

fn highest(points: &[MouthPoint]) -> MouthPoint {
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
        let (a, tongue) = (&steps[0], &shape(&steps[0], MouthPart::Tongue)[0]);
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
        highest(&shape(&movement(entry)[0], MouthPart::Tongue)[0])
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
        let tooth = &shape(&a, MouthPart::Tooth)[0];
        let edge = tooth.iter().map(|p| p[1]).fold(0.0, f32::max);
        let lip = highest(&shape(&a, MouthPart::LipCut)[1]);
        assert!((lip[1] - edge).abs() < 0.03, "{name}: lip {lip:?}, teeth end at {edge}");
    }
    for name in ["TH", "DH"] {
        let a = movement(inventory::find(name).expect("in the inventory"))[0];
        let tongue = &shape(&a, MouthPart::Tongue)[0];
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

/// The shortest way from a point to a line of points.
fn to_line(p: MouthPoint, line: &[MouthPoint]) -> f32 {
    let along = |w: &[MouthPoint]| {
        let (ab, ap) = ([w[1][0] - w[0][0], w[1][1] - w[0][1]], [p[0] - w[0][0], p[1] - w[0][1]]);
        let share = (ab[0] * ap[0] + ab[1] * ap[1]) / (ab[0] * ab[0] + ab[1] * ab[1]).max(1e-9);
        let share = share.clamp(0.0, 1.0);
        ((ap[0] - share * ab[0]).powi(2) + (ap[1] - share * ab[1]).powi(2)).sqrt()
    };
    line.windows(2).map(along).fold(f32::MAX, f32::min)
}

/// The smallest gap between the tongue and what is above it, for `x` in a range: teeth, hard roof and soft roof.
fn gap(a: &Articulation, zone: std::ops::Range<f32>) -> f32 {
    let above: Vec<Vec<MouthPoint>> = shape(a, MouthPart::Line)
        .into_iter()
        .filter(|line| {
            let inside = |p: &MouthPoint| (0.24..0.76).contains(&p[0]) && (0.29..0.53).contains(&p[1]);
            line.iter().filter(|p| inside(p)).count() * 2 > line.len()
        })
        .chain([shape(a, MouthPart::Tooth)[0].clone()])
        .collect();
    assert!(above.len() >= 3, "hard roof, soft roof and teeth: {}", above.len());
    let tongue = &shape(a, MouthPart::Tongue)[0];
    let points = tongue.iter().filter(|p| zone.contains(&p[0]) && p[1] < 0.6);
    points
        .map(|p| above.iter().map(|line| to_line(*p, line)).fold(f32::MAX, f32::min))
        .fold(f32::MAX, f32::min)
}

fn lip_gap(a: &Articulation) -> f32 {
    let lips = shape(a, MouthPart::LipCut);
    let lowest = lips[0].iter().map(|p| p[1]).fold(0.0, f32::max);
    highest(&lips[1])[1] - lowest
}

/// Contact where there is contact, a narrow gap for a hiss, room for the rest, at the place that the IPA chart (revised 2020)
/// gives each of the 24 consonants. Sizes are in heads: 0.01 is about 2 mm, and a hiss needs a few square millimetres (common
/// knowledge of phonetics, no source).
#[test]
fn each_consonant_closes_or_narrows_where_the_chart_puts_it() {
    let mut seen = 0;
    for (entry, steps) in all() {
        let Features::Consonant(c) = entry.features else {
            continue;
        };
        seen += 1;
        let a = &steps[0];
        let (zone, name) = match c.place {
            Place::Dental => (0.17..0.25, "teeth"),
            Place::Alveolar => (0.24..0.32, "ridge"),
            Place::Postalveolar => (0.26..0.40, "behind the ridge"),
            Place::Palatal => (0.32..0.50, "hard roof"),
            Place::Velar | Place::LabialVelar => (0.50..0.70, "soft roof"),
            _ => (0.0..0.0, "lips"),
        };
        let gap = match name {
            "lips" if c.place == Place::Glottal => continue,
            "lips" => lip_gap(a),
            _ => gap(a, zone),
        };
        let says = format!("{} at the {name}: {gap}", entry.ipa);
        match c.manner {
            Manner::Plosive | Manner::Nasal | Manner::Affricate | Manner::LateralApproximant => {
                assert!(gap < 0.008, "{says}");
            }
            Manner::Fricative if c.place == Place::Labiodental => {
                let edge = shape(a, MouthPart::Tooth)[0].iter().map(|p| p[1]).fold(0.0, f32::max);
                let lip = highest(&shape(a, MouthPart::LipCut)[1])[1];
                assert!(
                    (lip - edge).abs() < 0.012,
                    "{}: the lip is {} from the teeth",
                    entry.ipa,
                    lip - edge
                );
            }
            Manner::Fricative => assert!((0.003..0.032).contains(&gap), "{says}"),
            _ => assert!((0.012..0.12).contains(&gap), "{says}"),
        }
    }
    assert_eq!(seen, 24);
}

/// The soft roof shuts the nose off for every sound but m, n and ng (IPA: nasals).
#[test]
fn the_soft_roof_opens_the_nose_for_nasals_alone() {
    let gate = |a: &Articulation| {
        let soft = shape(a, MouthPart::Soft).pop().expect("a soft roof");
        let back = soft.iter().map(|p| p[0]).fold(0.0, f32::max);
        0.752 - back
    };
    for (entry, steps) in all() {
        let nasal = matches!(entry.features, Features::Consonant(c) if c.manner == Manner::Nasal);
        for a in &steps {
            let open = gate(a);
            assert!(
                if nasal { open > 0.05 } else { open.abs() < 0.008 },
                "{}: {open}",
                entry.ipa
            );
        }
    }
}

/// The lips are a ring where the cards say so (oo, w, ch, j, sh, zh) and narrower than at ease; drawn wide for ee.
#[test]
fn lips_are_round_where_the_cards_say_so() {
    let width = |a: &Articulation| {
        let red = lips(a)
            .into_iter()
            .filter(|s| s.part == MouthPart::Lip)
            .flat_map(|s| s.points);
        let (low, high) = red.fold((1.0f32, 0.0f32), |(low, high), p| (low.min(p[0]), high.max(p[0])));
        high - low
    };
    let of = |name| movement(inventory::find(name).expect("in the inventory"));
    let ease = width(&of("AH")[0]);
    for name in ["UW", "W", "CH", "JH", "SH", "ZH"] {
        assert!(of(name).iter().all(|a| width(a) < 0.82 * ease), "{name}");
    }
    assert!(width(&of("IY")[0]) > ease);
}
