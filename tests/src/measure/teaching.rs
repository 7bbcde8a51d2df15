//! What the program teaches of words, held against lists made by hand before: divisions into syllables, sound boxes, guesses
//! at new words, and sentences read again. Needs no speech.

use hypher::Lang;
use soundbead_data::chain::WordList;
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::word::{self, Overrides, Source};
use soundbead_data::{Sound, guess, lexicon, parts, spelling, syllable};

/// The divided words.
pub const SYLLABLES: &str = include_str!("../../reference/syllables_gold.tsv");
/// More divided words, written after the code and before it was run on them.
pub const FRESH: &str = include_str!("../../reference/syllables_fresh.tsv");
/// Still more, written before the code was run on them; the head tells the first share.
pub const THIRD: &str = include_str!("../../reference/syllables_third.tsv");
/// A fourth list, of common words, written before the code was run on them; the head tells the first share.
pub const FOURTH: &str = include_str!("../../reference/syllables_fourth.tsv");
/// The words in sound boxes.
pub const BOXES: &str = include_str!("../../reference/boxes_gold.tsv");
/// The new words with their sounds.
pub const GUESSES: &str = include_str!("../../reference/guess_gold.tsv");
/// More new words, in the order in which they were written; all have been seen since, and the heads of the lists tell their first
/// shares.
pub const GUESSES_LATER: [(&str, &str); 5] = [
    ("the second list", include_str!("../../reference/guess_second.tsv")),
    ("the third list", include_str!("../../reference/guess_third.tsv")),
    ("the fourth list", include_str!("../../reference/guess_fourth.tsv")),
    ("the fifth list", include_str!("../../reference/guess_fifth.tsv")),
    ("the sixth list", include_str!("../../reference/guess_sixth.tsv")),
];

/// Words read by hand as a teacher and a phonetician would: sounds, boxes, count, syllables, types, parts. The second was written
/// when the misses of the first had been mended.
pub const READ: [(&str, &str); 2] = [
    ("read by hand", include_str!("../../reference/teacher_first.tsv")),
    (
        "read by hand, the second list",
        include_str!("../../reference/teacher_second.tsv"),
    ),
];

/// Sentences for dictation, drawn at random and judged; its head says by whom.
pub const SENTENCES: &str = include_str!("../../reference/sentences_judged.tsv");
/// Sentences as the program gave them for common words, judged blind by a fresh reader.
pub const BLIND: &str = include_str!("../../reference/sentences_blind.tsv");
/// Another sample, after the commonest words had sentences by hand, by another fresh reader.
pub const BLIND_SECOND: &str = include_str!("../../reference/sentences_blind_second.tsv");
/// A third sample and a third reader, after every sentence had been read again.
pub const BLIND_THIRD: &str = include_str!("../../reference/sentences_blind_third.tsv");
/// A fourth sample, of the whole table, by a fourth reader, who knew what the others had found.
pub const READ_FOURTH: &str = include_str!("../../reference/sentences_fourth.tsv");
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

/// The divided words, in the way that the program says first.
pub fn syllables(text: &str) -> TeachingScore {
    let mut score = TeachingScore::default();
    for line in lines(text) {
        let allowed: Vec<String> = line.split('|').map(str::to_owned).collect();
        let word = allowed[0].replace('-', "");
        score.add(&word, &allowed, divided(&word));
    }
    score
}

/// The way in which the program says a word of the dictionary first: of *record* the one that a child meets sooner.
fn first_way(word: &str) -> Option<Pronunciation> {
    let found = word::find(word, &Overrides::default()).ok()?;
    let known = found.source == Source::Dictionary;
    found.variants.into_iter().next().filter(|_| known)
}

/// The word with a hyphen between its syllables; what is wrong, where it has none.
pub fn divided(word: &str) -> String {
    let Some(said) = first_way(word) else {
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
    let Some(said) = first_way(word) else {
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

/// The words read by hand: right where everything is; each miss tells what is otherwise.
pub fn read(text: &str) -> TeachingScore {
    let mut score = TeachingScore::default();
    for line in lines(text) {
        score.of += 1;
        let fields: Vec<&str> = line.split('\t').collect();
        let [word, sounds, boxes, count, syllables, types, parts] = fields[..] else {
            panic!("{line}: not seven fields")
        };
        match otherwise(word, [sounds, boxes, count, syllables, types, parts]) {
            None => score.right += 1,
            Some((wanted, got)) => score.missed.push(Miss {
                word: word.to_owned(),
                wanted,
                got,
            }),
        }
    }
    score
}

/// The first thing that the program has otherwise than the hand: what was wanted, what it has.
fn otherwise(word: &str, by_hand: [&str; 6]) -> Option<(String, String)> {
    let Some(said) = first_way(word) else {
        return Some((by_hand[0].to_owned(), "not in the dictionary".to_owned()));
    };
    let kinds = syllable::syllables(word, &said).into_iter().map(|s| s.kind);
    let kinds: Vec<&str> = kinds.map(|kind| kind.map_or("none", |k| k.name())).collect();
    let have = [
        names(said.sounds()),
        boxed(word),
        said.sounds().len().to_string(),
        divided(word),
        kinds.join(" "),
        parts::take_apart(word).sum(),
    ];
    let one_of = |wanted: &str, got: &str| wanted.split('|').any(|one| one == got);
    let right = |at: usize, wanted: &str, got: &str| match at {
        0 => wanted.split(" / ").any(|one| said_so(one, got)),
        4 => {
            wanted.split(' ').count() == kinds.len()
                && wanted
                    .split(' ')
                    .zip(&kinds)
                    .all(|(any, k)| any.split('/').any(|one| one == *k))
        }
        _ => one_of(wanted, got),
    };
    let mut pairs = by_hand.into_iter().zip(have).enumerate();
    let (_, (wanted, got)) = pairs.find(|(at, (wanted, got))| !right(*at, wanted, got))?;
    Some((wanted.to_owned(), got))
}

/// Whether the program's sounds are those by hand, where @ stands for a weak vowel.
fn said_so(by_hand: &str, got: &str) -> bool {
    let alike = |(hand, got): (&str, &str)| hand == got || (hand == "@" && ["AH", "IH"].contains(&got));
    by_hand.split(' ').count() == got.split(' ').count() && by_hand.split(' ').zip(got.split(' ')).all(alike)
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
pub fn sentences(text: &str) -> TeachingScore {
    let mut score = TeachingScore::default();
    for line in lines(text) {
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

/// All sentences for dictation, as they are read.
pub fn dictated() -> Vec<String> {
    let plain = |line: &str| line.replace('*', "").replace("/2", "");
    lines(DICTATION).map(plain).collect()
}

/// Sentences that were judged odd and still stand in the table.
pub fn still_odd() -> Vec<String> {
    let today = dictated();
    let missed = [SENTENCES, BLIND, BLIND_SECOND, BLIND_THIRD, READ_FOURTH]
        .into_iter()
        .flat_map(|text| sentences(text).missed);
    missed
        .map(|miss| miss.word)
        .filter(|text| today.contains(text))
        .collect()
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
    let lists = [
        (
            SENTENCES,
            "of the table, by their builder in a second reading, not blind",
        ),
        (
            BLIND,
            "as the program gave them for common words, by a fresh reader, blind",
        ),
        (BLIND_SECOND, "the same later, by another fresh reader, blind"),
        (BLIND_THIRD, "later still, by a third fresh reader, blind"),
        (
            READ_FOURTH,
            "of the table, last, by a fourth fresh reader, who knew the verdicts before",
        ),
    ];
    for (text, who) in lists {
        let score = sentences(text);
        println!(
            "sentences judged natural when drawn, {who}: {} of {}, {:.1} % (goal 98 %)",
            score.right,
            score.of,
            100.0 * score.share()
        );
        if misses {
            let told = |miss: &Miss| println!("  {}: {}", miss.word, miss.got);
            score.missed.iter().for_each(told);
        }
    }
    println!("of those judged odd, {} still stand in the table", still_odd().len());
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
    for (name, text) in READ {
        show(
            &format!("words {name}: sounds, boxes, count, syllables, types and parts all right"),
            0.95,
            &read(text),
        );
    }
    show("syllables: words divided as by hand", 0.95, &syllables(SYLLABLES));
    show("syllables: the second list", 0.95, &syllables(FRESH));
    show("syllables: the third list", 0.95, &syllables(THIRD));
    show("syllables: the fourth list", 0.95, &syllables(FOURTH));
    show("boxes: words laid as by hand", 1.0, &boxes(BOXES));
    show("boxes: common words (Zipf 4 and more) that can be laid", 1.0, &laid());
    show("guesses: new words with the sounds foretold", 0.92, &guesses(GUESSES));
    for (name, text) in GUESSES_LATER {
        show(&format!("guesses: {name}"), 0.92, &guesses(text));
    }
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
