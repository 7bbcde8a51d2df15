//! Small closed sets as the numbers the database keeps, and as the words that files have.

use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::{Speaking, Verdict};

/// Every verdict, at the place that is its number in the database. Never change the order.
pub const VERDICTS: [Verdict; 5] = [
    Verdict::Same,
    Verdict::Fewer,
    Verdict::More,
    Verdict::Changed,
    Verdict::Unsure,
];

/// Every way of speaking, at the place that is its number in the database. Never change the order.
pub const WAYS: [Speaking; 3] = [Speaking::Whole, Speaking::Stretched, Speaking::Separate];

/// A verdict's number.
pub fn of_verdict(verdict: Verdict) -> i64 {
    VERDICTS.iter().position(|v| *v == verdict).map_or(0, |i| i as i64)
}

/// The verdict of a number.
pub fn verdict(number: i64) -> Option<Verdict> {
    usize::try_from(number).ok().and_then(|i| VERDICTS.get(i)).copied()
}

/// The verdict of a word.
pub fn verdict_named(name: &str) -> Option<Verdict> {
    VERDICTS.into_iter().find(|v| v.name() == name)
}

/// A way of speaking's number.
pub fn of_way(way: Speaking) -> i64 {
    WAYS.iter().position(|w| *w == way).map_or(0, |i| i as i64)
}

/// The way of speaking of a number.
pub fn way(number: i64) -> Option<Speaking> {
    usize::try_from(number).ok().and_then(|i| WAYS.get(i)).copied()
}

/// Sounds as text: ARPAbet names with a space between.
pub fn of_sounds(sounds: &[Sound]) -> String {
    crate::answer::names(sounds).join(" ")
}

/// Sounds from text; an error is one line.
pub fn sounds(text: &str) -> Result<Vec<Sound>, String> {
    let names = text.split(' ').filter(|n| !n.is_empty());
    names.map(|n| n.parse::<Sound>().map_err(|e| e.to_string())).collect()
}

/// Rules from the text that [`Rules`] writes; an error is one line.
pub fn rules(text: &str) -> Result<Rules, String> {
    let mut rules = Rules::default();
    for change in text.split(' ').filter(|c| !c.is_empty()) {
        let (name, value) = change
            .split_once('=')
            .ok_or_else(|| format!("`{change}` is no counting rule"))?;
        rules.set(name, value).map_err(|e| e.to_string())?;
    }
    Ok(rules)
}

/// Declares how a type is written in files: as the text that `$write` makes and `$read` reads.
macro_rules! as_text {
    ($module:ident, $type:ty, $write:expr, $read:expr) => {
        pub mod $module {
            #[allow(unused_imports, reason = "each of these modules uses a part")]
            use super::*;
            use serde::{Deserialize, Deserializer, Serializer, de::Error};

            pub fn serialize<S: Serializer>(value: &$type, to: S) -> Result<S::Ok, S::Error> {
                let write: fn(&$type) -> String = $write;
                to.serialize_str(&write(value))
            }

            pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<$type, D::Error> {
                let read: fn(&str) -> Result<$type, String> = $read;
                read(&String::deserialize(from)?).map_err(D::Error::custom)
            }
        }
    };
}

as_text!(sounds_text, Vec<Sound>, |s| of_sounds(s), sounds);
as_text!(sound_text, Sound, |s| s.arpabet().to_owned(), |t| t
    .parse::<Sound>()
    .map_err(|e| e.to_string()));
as_text!(rules_text, Rules, Rules::to_string, rules);
as_text!(way_text, Speaking, |w| w.name().to_owned(), |t| t
    .parse::<Speaking>()
    .map_err(|e| e.to_string()));
as_text!(verdict_text, Verdict, |v| v.name().to_owned(), |t| {
    verdict_named(t).ok_or_else(|| format!("`{t}` is no verdict"))
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_means_one_thing_both_ways() {
        assert!(
            VERDICTS
                .into_iter()
                .all(|v| verdict(of_verdict(v)) == Some(v) && verdict_named(v.name()) == Some(v))
        );
        assert!(WAYS.into_iter().all(|w| way(of_way(w)) == Some(w)));
        assert_eq!((verdict(5), way(-1)), (None, None));
    }

    #[test]
    fn rules_are_read_as_they_are_written() {
        for (name, _) in Rules::SETS {
            let set = Rules::named(name).unwrap();
            assert_eq!(rules(&set.to_string()), Ok(set));
        }
        assert!(rules("r_vowels=five").is_err());
    }
}
