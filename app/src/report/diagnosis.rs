//! Notes that name a diagnosis: a report goes to many hands, so the question is asked before one is printed.

/// Names of diagnoses as people write them in notes on learning, speech and hearing (common practice, no source). A name may miss
/// here: the question is a help, not a lock.
const NAMES: [&str; 37] = [
    "ADHD",
    "ADD",
    "anxiety disorder",
    "apraxia",
    "articulation disorder",
    "Asperger",
    "Asperger's",
    "attention deficit",
    "auditory processing",
    "autism",
    "autistic",
    "cerebral palsy",
    "cleft palate",
    "deaf",
    "developmental delay",
    "Down syndrome",
    "dysarthria",
    "dyscalculia",
    "dysgraphia",
    "dysgraphic",
    "dyslexia",
    "dyslexic",
    "dyspraxia",
    "dyspraxic",
    "epilepsy",
    "hearing impaired",
    "hearing impairment",
    "hearing loss",
    "intellectual disability",
    "language delay",
    "language disorder",
    "learning disability",
    "learning disorder",
    "phonological disorder",
    "speech delay",
    "speech disorder",
    "Tourette",
];

/// Every diagnosis that a text names, by the alphabet.
pub fn named(text: &str) -> Vec<&'static str> {
    let words: Vec<String> = text.split_whitespace().map(bare).collect();
    let plain = format!(" {} ", words.join(" "));
    // "add" is a word like any other; only in capitals is it the name.
    let capital = text.split(|c: char| !c.is_alphanumeric()).any(|w| w == "ADD");
    let stands = |name: &str| plain.contains(&format!(" {} ", name.to_lowercase()));
    let named = |name: &&str| (*name != "ADD" || capital) && stands(name);
    NAMES.into_iter().filter(named).collect()
}

/// A word without what stands around it.
fn bare(word: &str) -> String {
    word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_found_and_plain_words_are_not() {
        assert_eq!(named("The school says Dyslexia; he is tired."), ["dyslexia"]);
        assert_eq!(named("dyslexia or apraxia, they are not sure"), ["apraxia", "dyslexia"]);
        assert_eq!(named("a mild (hearing  loss), left"), ["hearing loss"]);
        assert_eq!(named("ADD was named"), ["ADD"]);
        assert_eq!(
            named("Add a counter for the last sound; deafening noise outside"),
            [""; 0]
        );
    }
}
