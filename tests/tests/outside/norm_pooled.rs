//! The vowels that the program teaches, held against the two published sets of which they are made.

use soundbead_data::Sound;
use soundbead_data::norm::{GLIDES, MEASURED_1995, NORMS, VoiceKind, means_1952, way};

/// Covariances are kept as 11, 12, 13, 22, 23, 33.
const PAIRS: [(usize, usize); 6] = [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)];

/// Both sets count the same: the mean of their logarithms, and the talkers' own spread with that of the two means about it.
#[test]
fn a_pooled_norm_lies_between_its_sets_and_is_wider_where_they_differ() {
    let mut pooled = 0;
    for (own, norm) in MEASURED_1995.iter().zip(NORMS.iter()) {
        assert_eq!((own.voice, own.vowel), (norm.voice, norm.vowel));
        let Some(other) = means_1952(own.voice, own.vowel) else {
            assert_eq!((own.means_hz, own.covariance), (norm.means_hz, norm.covariance));
            continue;
        };
        pooled += 1;
        let ln = |hz: f32| f64::from(hz).ln();
        let sets: [[f64; 3]; 2] = [
            std::array::from_fn(|k| ln(own.means_hz[k])),
            std::array::from_fn(|k| ln(other[k])),
        ];
        let mean: [f64; 3] = std::array::from_fn(|k| (sets[0][k] + sets[1][k]) / 2.0);
        for (pooled, mean) in norm.means_hz.into_iter().zip(mean) {
            assert!((ln(pooled) - mean).abs() < 1e-4, "{norm:?}");
        }
        assert_eq!(norm.means_hz[3], own.means_hz[3], "F4 was measured in one set alone");
        for (at, (row, column)) in PAIRS.into_iter().enumerate() {
            let about = |set: &[f64; 3]| (set[row] - mean[row]) * (set[column] - mean[column]);
            let between = 1e4 * sets.iter().map(about).sum::<f64>() / 2.0;
            let more = f64::from(norm.covariance[at] - own.covariance[at]);
            // The table has four figures.
            assert!((more - between).abs() < 0.05, "{norm:?}: {more} {between}");
        }
    }
    // Ten vowels of three groups stand in both sets.
    assert_eq!(pooled, 30);
}

/// A shorter tract resonates higher (handbooks of phonetics): children above women above men, in every vowel of 1952.
#[test]
fn children_resonate_above_women_and_women_above_men() {
    for norm in NORMS.iter().filter(|n| n.voice == VoiceKind::Child) {
        let of = |voice| means_1952(voice, norm.vowel).map(|f| f[2]);
        let Some(child) = of(VoiceKind::Child) else { continue };
        let (woman, man) = (of(VoiceKind::Woman).unwrap(), of(VoiceKind::Man).unwrap());
        assert!(child > woman && woman > man, "{}: {child} {woman} {man}", norm.vowel);
    }
    assert!(VoiceKind::Child.tract_scale() > VoiceKind::Woman.tract_scale());
    assert!(VoiceKind::Woman.tract_scale() > VoiceKind::Man.tract_scale());
    for voice in [VoiceKind::Child, VoiceKind::Woman, VoiceKind::Man] {
        assert_eq!(voice.to_string().parse(), Ok(voice));
    }
    let stranger = "robot".parse::<VoiceKind>().unwrap_err().to_string();
    assert!(stranger.contains("robot") && stranger.contains("child"), "{stranger}");
}

/// Diphthongs go where their IPA says (aɪ, aʊ, ɔɪ), a vowel before r goes to the vowel of bird, schwa lies in the middle of all.
#[test]
fn vowels_that_no_table_has_are_put_together_from_those_that_it_has() {
    for voice in [VoiceKind::Child, VoiceKind::Woman, VoiceKind::Man] {
        let of = |vowel| way(&[vowel], false, voice).unwrap();
        for (moving, end) in [(Sound::AY, Sound::IH), (Sound::AW, Sound::UH), (Sound::OY, Sound::IH)] {
            assert!(!of(moving).measured);
            assert_eq!(of(moving).to_hz, Some(of(end).from_hz), "{moving}");
        }
        assert_eq!(of(Sound::OY).from_hz, of(Sound::AO).from_hz);
        let (back, front) = (of(Sound::AA).from_hz, of(Sound::AE).from_hz);
        for start in [of(Sound::AY).from_hz, of(Sound::AW).from_hz] {
            for k in 0..4 {
                let (part, whole) = ((start[k] / back[k]).ln(), (front[k] / back[k]).ln());
                assert!((3.0 * part - whole).abs() < 1e-4, "a third of the way: {part} {whole}");
            }
        }
        let ear = way(&[Sound::IY, Sound::R], false, voice).unwrap();
        assert_eq!(
            (ear.from_hz, ear.to_hz),
            (of(Sound::IY).from_hz, Some(of(Sound::ER).from_hz))
        );
        assert!(of(Sound::IY).measured && of(Sound::IY).to_hz.is_none());
        for glide in [Sound::EY, Sound::OW] {
            let table = GLIDES.iter().find(|g| g.voice == voice && g.vowel == glide).unwrap();
            let found = of(glide);
            assert_eq!(found.from_hz[..3], table.from_hz);
            assert_eq!(found.to_hz.unwrap()[..3], table.to_hz);
            assert!(found.measured);
        }
        let weak = way(&[Sound::AH], true, voice).unwrap();
        assert!(!weak.measured && weak.to_hz.is_none() && of(Sound::AH).measured);
        let mine: Vec<_> = NORMS.iter().filter(|n| n.voice == voice).collect();
        for k in 0..4 {
            let logs: f32 = mine.iter().map(|n| n.means_hz[k].ln()).sum();
            assert!((weak.from_hz[k].ln() - logs / 12.0).abs() < 1e-4, "{voice}: {weak:?}");
        }
        // Only schwa has a weak form of its own here.
        assert_eq!(way(&[Sound::IY], true, voice), way(&[Sound::IY], false, voice));
        for none in [&[][..], &[Sound::S], &[Sound::S, Sound::R], &[Sound::IY, Sound::IH]] {
            assert!(way(none, false, voice).is_none(), "{none:?}");
        }
    }
}
