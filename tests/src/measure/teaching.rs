//! What the program teaches of words, held against lists made by hand before: divisions into syllables, sound boxes, guesses
//! at new words, and sentences read again. Needs no speech.

use hypher::Lang;
use soundbead_data::chain::WordList;
use soundbead_data::{Sound, guess, lexicon, spelling, syllable};

/// The divided words.
pub const SYLLABLES: &str = include_str!("../../reference/syllables_gold.tsv");
/// More divided words, written after the code and before it was run on them.
pub const FRESH: &str = include_str!("../../reference/syllables_fresh.tsv");
/// The words in sound boxes.
pub const BOXES: &str = include_str!("../../reference/boxes_gold.tsv");
/// The new words with their sounds.
pub const GUESSES: &str = include_str!("../../reference/guess_gold.tsv");

/// Sentences for dictation, drawn at random and judged; its head says by whom.
pub const SENTENCES: &str = include_str!("../../reference/sentences_judged.tsv");
/// The sentences as they stand today.
const DICTATION: &str = include_str!("../../../data/tables/dictation.txt");

/// From this Zipf value on a word counts as common (about one in 100,000 words): a child of 8 to 12 has met most of them.
const COMMON: f32 = 4.0;

/// A line of a list that the program has otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Miss {
    /// The word.
    pub word: String,
    /// What the list has; where several are right, the first.
    pub wanted: String,
    /// What the program has.
    pub got: String,
}

/// How a list came out.
#[derive(Clone, Debug, Default)]
pub struct TeachingScore {
    /// Lines of the list.
    pub of: usize,
    /// Those that the program has as the list has them.
    pub right: usize,
    /// The rest, in the list's order.
    pub missed: Vec<Miss>,
}

impl TeachingScore {
    /// The share that is right, from 0 to 1.
    pub fn share(&self) -> f64 {
        self.right as f64 / self.of.max(1) as f64
    }

    fn add(&mut self, word: &str, allowed: &[String], got: String) {
        self.of += 1;
        if allowed.contains(&got) {
            self.right += 1;
        } else {
            let wanted = allowed.first().cloned().unwrap_or_default();
            let word = word.to_owned();
            self.missed.push(Miss { word, wanted, got });
        }
    }
}

/// Lines that hold something.
fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|line| !line.is_empty() && !line.starts_with('#'))
}

/// The divided words: the program divides the dictionary's first pronunciation.
pub fn syllables(text: &str) -> TeachingScore {
    let mut score = TeachingScore::default();
    for line in lines(text) {
        let allowed: Vec<String> = line.split('|').map(str::to_owned).collect();
        let word = allowed[0].replace('-', "");
        score.add(&word, &allowed, divided(&word));
    }
    score
}

/// The word with a hyphen between its syllables; what is wrong, where it has none.
pub fn divided(word: &str) -> String {
    let Some(said) = lexicon::look_up(word).and_then(|e| e.variants().next()) else {
        return "not in the dictionary".to_owned();
    };
    let parts = syllable::syllables(word, &said);
    let letters: Option<Vec<String>> = parts.into_iter().map(|s| s.letters).collect();
    letters.map_or_else(|| "no letters".to_owned(), |l| l.join("-"))
}

/// The words in boxes: right when a division of the list is the program's for the first pronunciation.
pub fn boxes(text: &str) -> TeachingScore {
    let mut score = TeachingScore::default();
    for line in lines(text) {
        let (word, rest) = line.split_once('\t').unwrap_or((line, ""));
        let allowed: Vec<String> = rest.split('|').map(str::to_owned).collect();
        score.add(word, &allowed, boxed(word));
    }
    score
}

/// The word's boxes with a space between; what is wrong, where it has none.
fn boxed(word: &str) -> String {
    let Some(said) = lexicon::look_up(word).and_then(|e| e.variants().next()) else {
        return "not in the dictionary".to_owned();
    };
    let Some(boxes) = spelling::boxes(word, said.sounds()) else {
        return format!("not laid under {said}");
    };
    let letters: Vec<&str> = boxes.iter().map(|b| b.letters.as_str()).collect();
    letters.join(" ")
}

/// The new words: right when the guess has the sounds of one of the list's pronunciations.
pub fn guesses(text: &str) -> TeachingScore {
    let mut score = TeachingScore::default();
    for line in lines(text) {
        let (word, rest) = line.split_once('\t').unwrap_or((line, ""));
        let allowed: Vec<String> = rest.split('/').map(|s| s.trim().to_owned()).collect();
        let said = guess::guess(word);
        let got = said.map_or_else(String::new, |s| names(s.sounds()));
        score.add(word, &allowed, got);
    }
    score
}

/// ARPAbet with spaces, without stress.
fn names(sounds: &[Sound]) -> String {
    let names: Vec<&str> = sounds.iter().map(|s| s.arpabet()).collect();
    names.join(" ")
}

/// Common words that the dictionary has: how many there are, and those whose letters cannot be laid under the first
/// pronunciation.
pub fn laid() -> TeachingScore {
    let mut score = TeachingScore::default();
    for entry in lexicon::words().filter(|e| e.zipf() >= COMMON) {
        let Some(said) = entry.variants().next() else { continue };
        let laid = spelling::boxes(entry.spelling(), said.sounds()).is_some();
        let got = if laid { "laid".to_owned() } else { said.to_string() };
        score.add(entry.spelling(), &["laid".to_owned()], got);
    }
    score
}

/// The sentences that were judged: right where the judgement is `natural`.
pub fn sentences() -> TeachingScore {
    let mut score = TeachingScore::default();
    for line in lines(SENTENCES) {
        let mut fields = line.split('\t');
        let (text, judged) = (fields.next().unwrap_or(""), fields.next().unwrap_or(""));
        let got = format!("{judged}, {}", fields.next().unwrap_or(""));
        score.of += 1;
        match judged {
            "natural" => score.right += 1,
            _ => score.missed.push(Miss {
                word: text.to_owned(),
                wanted: "natural".to_owned(),
                got,
            }),
        }
    }
    score
}

/// Sentences that were judged odd and still stand in the table.
pub fn still_odd() -> Vec<String> {
    let today: Vec<String> = lines(DICTATION).map(|line| line.replace('*', "")).collect();
    let odd = sentences().missed.into_iter().map(|miss| miss.word);
    odd.filter(|text| today.contains(text)).collect()
}

/// Divisions of common words against the hyphenation patterns of a general library (crate `hypher`: Liang's patterns for
/// American English): right where every place at which the library parts the word is a place at which we do. The patterns
/// know not every place, and never part off one letter, so the other way round is no test.
pub fn second_opinion() -> TeachingScore {
    let mut score = TeachingScore::default();
    for listed in WordList::default().words() {
        let word = listed.spelling.as_ref();
        let theirs: Vec<usize> = places(hypher::hyphenate(word, Lang::English));
        let ours = divided(word);
        if listed.zipf < COMMON || theirs.is_empty() || !ours.contains('-') {
            continue;
        }
        let own = places(ours.split('-'));
        let agrees = theirs.iter().all(|place| own.contains(place));
        score.of += 1;
        score.right += usize::from(agrees);
        if !agrees {
            let wanted = hypher::hyphenate(word, Lang::English).collect::<Vec<_>>().join("-");
            let word = word.to_owned();
            score.missed.push(Miss {
                word,
                wanted,
                got: ours,
            });
        }
    }
    score
}

/// After how many letters a word is parted.
fn places<'p>(parts: impl Iterator<Item = &'p str>) -> Vec<usize> {
    let ends = parts.scan(0, |sum, part| {
        *sum += part.len();
        Some(*sum)
    });
    let mut ends: Vec<usize> = ends.collect();
    ends.pop();
    ends
}

/// Prints the figures of some rows, `sentences` or `hyphens`, each with what it names; of any other rows every figure and
/// each line that was missed.
pub fn run(rows: &str) {
    match rows {
        "sentences" => told_sentences(true),
        "hyphens" => told_hyphens(true),
        _ => all(),
    }
}

/// The sentences, and who judged them.
fn told_sentences(misses: bool) {
    let score = sentences();
    println!(
        "sentences judged natural when drawn: {} of {}, {:.1} % (goal 98 %); by the builder in a second reading, not blind and \
         by no other person",
        score.right,
        score.of,
        100.0 * score.share()
    );
    println!("of those judged odd, {} still stand in the table", still_odd().len());
    if misses {
        score
            .missed
            .iter()
            .for_each(|miss| println!("  {}: {}", miss.word, miss.got));
    }
}

/// The share of divisions with which a general hyphenation library agrees.
fn told_hyphens(misses: bool) {
    let score = second_opinion();
    println!(
        "syllables: common words parted wherever a hyphenation library parts them: {} of {}, {:.1} % (a second opinion, no goal)",
        score.right,
        score.of,
        100.0 * score.share()
    );
    if misses {
        let other = |miss: &Miss| println!("  {}: {} (library: {})", miss.word, miss.got, miss.wanted);
        score.missed.iter().for_each(other);
    }
}

fn all() {
    show("syllables: words divided as by hand", 0.95, &syllables(SYLLABLES));
    show("syllables: the second list", 0.95, &syllables(FRESH));
    show("boxes: words laid as by hand", 1.0, &boxes(BOXES));
    show("boxes: common words (Zipf 4 and more) that can be laid", 1.0, &laid());
    show("guesses: new words with the sounds foretold", 0.92, &guesses(GUESSES));
    told_hyphens(false);
    told_sentences(false);
}

/// One figure with its goal and its misses.
fn show(what: &str, goal: f64, score: &TeachingScore) {
    let reached = if score.share() >= goal {
        "reached"
    } else {
        "not reached"
    };
    println!(
        "{what}: {} of {}, {:.1} % (goal {:.0} %, {reached})",
        score.right,
        score.of,
        100.0 * score.share(),
        100.0 * goal
    );
    for miss in &score.missed {
        println!("  {}: {} (by hand: {})", miss.word, miss.got, miss.wanted);
    }
}
