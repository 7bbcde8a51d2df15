//! The kinds of slips whose shares are learned: what a reading counts as.

use super::tie::{self, is_vowel_letter};
use super::{Finding, SpellingAnalysis, place};

/// What each sound of a reading, and each letter added, counts as in `data/tables/slips.tsv`.
///
/// Of a consonant that is not left out, `consonant`; of one that is, what stands beside it. A run of swapped sounds is `across` when
/// it holds more than one box.
pub fn kinds(reading: &SpellingAnalysis) -> Vec<String> {
    let sounds = (0..reading.of()).map(|at| kind(reading, at));
    let letters = reading.added.iter().flat_map(|a| a.wrote.bytes());
    let added = letters.map(|letter| match is_vowel_letter(letter) {
        true => "added vowel".to_owned(),
        false => "added consonant".to_owned(),
    });
    sounds.chain(added).collect()
}

fn kind(reading: &SpellingAnalysis, at: usize) -> String {
    let sounds = reading.said.sounds();
    let class = match sounds[at].is_vowel() {
        true if place::is_loud(&reading.said, at) => "loud",
        true => "weak",
        false => "consonant",
    };
    match reading.sounds[at].finding {
        Finding::Kept => format!("kept {class}"),
        Finding::SpelledOtherwise { .. } => format!("spelled {class}"),
        Finding::NearSound => format!("near {class}"),
        Finding::OtherSound => format!("other {class}"),
        Finding::Omitted if class == "consonant" => tie::OMITTED[tie::omitted_kind(sounds, at)].to_owned(),
        Finding::Omitted => format!("omitted {class}"),
        Finding::Swapped if beside_swapped(reading, at) => "swapped across".to_owned(),
        Finding::Swapped => "swapped inside".to_owned(),
    }
}

/// Whether a sound next to it, of another box, was swapped too.
fn beside_swapped(reading: &SpellingAnalysis, at: usize) -> bool {
    let own = &reading.sounds[at].letters;
    let neighbors = [at.checked_sub(1), Some(at + 1)];
    let mut written = neighbors.iter().filter_map(|n| reading.sounds.get((*n)?));
    written.any(|w| w.finding == Finding::Swapped && w.letters != *own)
}

/// Every kind of the table.
pub fn all() -> Vec<String> {
    let classes = ["loud", "weak", "consonant"];
    let sorts = ["kept", "spelled", "near", "other"];
    let by_class = sorts
        .iter()
        .flat_map(|sort| classes.map(|class| format!("{sort} {class}")));
    let rest = [
        "omitted loud",
        "omitted weak",
        "swapped inside",
        "swapped across",
        "added vowel",
        "added consonant",
    ];
    let omitted = tie::OMITTED.iter().chain(&rest).map(|kind| (*kind).to_owned());
    by_class.chain(omitted).collect()
}

/// What a kind is a share of: a class of sounds, consonants in one place, or `sound`.
pub fn chance(kind: &str) -> &str {
    match kind.rsplit_once(' ') {
        _ if tie::OMITTED.contains(&kind) => kind,
        Some((_, class @ ("loud" | "weak"))) => class,
        Some(("added" | "swapped", _)) => "sound",
        _ => "consonant",
    }
}

/// The chances that a reading gives: for each sound `sound`, its class, and for a consonant its place.
pub fn chances(reading: &SpellingAnalysis) -> Vec<String> {
    let sounds = reading.said.sounds();
    let mut chances = Vec::new();
    for at in 0..sounds.len() {
        chances.push("sound".to_owned());
        if sounds[at].is_vowel() {
            let loud = place::is_loud(&reading.said, at);
            chances.push(if loud { "loud" } else { "weak" }.to_owned());
        } else {
            chances.push("consonant".to_owned());
            chances.push(tie::OMITTED[tie::omitted_kind(sounds, at)].to_owned());
        }
    }
    chances
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::word;

    /// A sound that was left out is told by what it is: a vowel by its loudness, a consonant by its place.
    #[test]
    fn a_vowel_left_out_is_no_consonant_left_out() {
        let kinds_of = |meant: &str, written: &str| {
            let meant = word::find(meant, &Default::default()).unwrap();
            kinds(&crate::writing::read(&meant, written).unwrap())
        };
        let left_out = |meant: &str, written: &str| -> Vec<String> {
            let all = kinds_of(meant, written).into_iter();
            all.filter(|kind| !kind.starts_with("kept ") && !kind.starts_with("spelled "))
                .collect()
        };
        assert_eq!(left_out("stop", "stp"), ["omitted loud"]);
        assert_eq!(left_out("rabbit", "rabt"), ["omitted weak"]);
        let consonant = left_out("stop", "sop");
        assert!(
            matches!(&consonant[..], [one] if tie::OMITTED.contains(&one.as_str())),
            "{consonant:?}"
        );
    }
}
