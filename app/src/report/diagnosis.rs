//! Notes that name a diagnosis: a report goes to many hands, so the question is asked before one is printed.

/// Names of diagnoses, in small letters, as they stand in notes on learning, speech and hearing (common practice, no source). A
/// name may miss here: the question is a help, not a lock.
const NAMES: [&str; 26] = [
    "adhd",
    "add",
    "apraxia",
    "articulation disorder",
    "asperger",
    "asperger's",
    "attention deficit",
    "auditory processing",
    "autism",
    "autistic",
    "cleft palate",
    "deaf",
    "developmental delay",
    "dysarthria",
    "dyscalculia",
    "dysgraphia",
    "dyslexia",
    "dyslexic",
    "dyspraxia",
    "hearing loss",
    "language disorder",
    "learning disability",
    "learning disorder",
    "phonological disorder",
    "speech disorder",
    "tourette",
];

/// The first diagnosis that a text names.
pub fn named(text: &str) -> Option<&'static str> {
    let words: Vec<String> = text.split_whitespace().map(bare).collect();
    let plain = format!(" {} ", words.join(" "));
    // "add" is a word like any other; only in capitals is it the name.
    let capital = text.split(|c: char| !c.is_alphanumeric()).any(|w| w == "ADD");
    NAMES
        .into_iter()
        .find(|name| (*name != "add" || capital) && plain.contains(&format!(" {name} ")))
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
        assert_eq!(named("The school says Dyslexia; he is tired."), Some("dyslexia"));
        assert_eq!(named("a mild (hearing  loss), left"), Some("hearing loss"));
        assert_eq!(named("ADD was named"), Some("add"));
        assert_eq!(named("Add a counter for the last sound; deafening noise outside"), None);
    }
}
