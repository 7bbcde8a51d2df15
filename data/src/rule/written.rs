//! Rules as text and in files.

use std::fmt;
use std::str::FromStr;

use serde::de::{Error, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{RuleError, Rules};

/// Writes the rules in force as `r_vowels=two yu=two ...`, the form in which they are printed beside a count.
impl fmt::Display for Rules {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, (name, value)) in self.iter().enumerate() {
            let gap = if place == 0 { "" } else { " " };
            write!(f, "{gap}{name}={value}")?;
        }
        Ok(())
    }
}

/// Reads what [`Rules`] writes. A rule that is not named has its default: what was written before there was such a rule
/// was counted without it.
impl FromStr for Rules {
    type Err = RuleError;

    fn from_str(text: &str) -> Result<Rules, RuleError> {
        let mut rules = Rules::default();
        for change in text.split(' ').filter(|c| !c.is_empty()) {
            let (name, value) = change.split_once('=').unwrap_or((change, ""));
            rules.set(name, value)?;
        }
        Ok(rules)
    }
}

/// Written as an object of names and values: `{"r_vowels": "two", "yu": "two", ...}`.
impl Serialize for Rules {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.iter())
    }
}

/// Read from such an object, or from the text of [`Rules::from_str`], in which older files have them.
impl<'de> Deserialize<'de> for Rules {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Rules, D::Error> {
        from.deserialize_any(Either)
    }
}

struct Either;

impl<'de> Visitor<'de> for Either {
    type Value = Rules;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("counting rules, such as {\"r_vowels\": \"one\"}")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Rules, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Rules, A::Error> {
        let mut rules = Rules::default();
        while let Some((name, value)) = map.next_entry::<String, String>()? {
            rules.set(&name, &value).map_err(A::Error::custom)?;
        }
        Ok(rules)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_are_read_as_they_are_written() {
        for (name, _) in Rules::SETS {
            let set = Rules::named(name).unwrap();
            assert_eq!(set.to_string().parse(), Ok(set.clone()));
            for (.., changed) in set.alternatives() {
                assert_eq!(changed.to_string().parse(), Ok(changed));
            }
        }
        assert!("r_vowels=five".parse::<Rules>().is_err() && "r_vowels".parse::<Rules>().is_err());
        let yu = Rules::default().to_string().replace("yu=two", "yu=one");
        assert_eq!("yu=one".parse::<Rules>().unwrap().to_string(), yu);
    }

    /// TOML has texts and tables too, so it stands for every format here.
    #[test]
    fn files_have_them_as_a_table_and_older_ones_as_text() {
        #[derive(Debug, PartialEq, Serialize, Deserialize)]
        struct File {
            rules: Rules,
        }
        let phonics = File {
            rules: Rules::named("phonics").unwrap(),
        };
        assert_eq!(toml::from_str::<File>("rules = \"r_vowels=one yu=one\""), Ok(phonics));
        let table = toml::from_str::<File>("[rules]\nr_vowels = \"one\"\nyu = \"one\"").unwrap();
        assert_eq!(table.rules, Rules::named("phonics").unwrap());
        let fault = toml::from_str::<File>("[rules]\nr_vowels = \"five\"").unwrap_err();
        assert!(fault.to_string().contains("r_vowels cannot be `five`"), "{fault}");
    }
}
