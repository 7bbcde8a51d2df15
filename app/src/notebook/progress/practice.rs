//! What to practice next, from what was found in the latest two months and from nothing else.

use serde::Serialize;
use soundbead_data::chain::{Graph, Limits, Unit};
use soundbead_data::miscount::{AskedWord, Cause, Claim, Pattern, SoundRest, WordShape};
use soundbead_data::{Sound, lexicon, surprise};

use super::whole::Progress;
use crate::keyed::unit_name;

/// How frequent a word must be to be offered (Zipf scale: 4 is ten times in a million words).
const LEAST_ZIPF: f32 = 4.0;
/// How frequent it may be at most: more frequent ones are *that*, *from*, *and*, which children write long before they count sounds.
const MOST_ZIPF: f32 = 5.9;
/// How frequent a word of a chain must be: a link may be rarer than a word that is practiced, but not strange.
const LEAST_ZIPF_LINK: f32 = 3.6;
/// How many words are offered.
const WORDS: usize = 12;
/// Fewest sounds of a word that is offered.
const SHORTEST: usize = 3;
/// Most sounds of a word that is offered.
const LONGEST: usize = 5;
/// Words of the chain that is made.
const CHAIN: usize = 8;
/// Chains that are tried from each word.
const TRIES: u64 = 6;

/// Words that show a miscount at least before it is worth a try: one word may be known by heart.
const HINT: usize = 2;

/// Letters that together spell one consonant, each as a lesson teaches it (common practice, no source). Rare ones, as the tw of
/// *two*, are no team to learn.
const CONSONANT_TEAMS: [&str; 6] = ["sh", "ch", "th", "ck", "ng", "tch"];
/// Doubled letters at the end of short words.
const DOUBLED: [&str; 4] = ["ff", "ll", "ss", "zz"];
/// Letters that together spell one vowel.
const VOWEL_TEAMS: [&str; 10] = ["ee", "ea", "ai", "ay", "oa", "oo", "ou", "ow", "oi", "oy"];
/// Vowels with a silent e after the consonant.
const SILENT_E: [&str; 4] = ["a_e", "i_e", "o_e", "u_e"];

/// Something to practice.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Practice {
    /// What.
    pub what: String,
    /// Why: the evidence in a line.
    pub why: String,
    /// Frequent words for it, and beside each its count by the rules.
    pub words: Vec<(String, usize)>,
    /// A chain for it, each word one sound from the one before; empty where none was found.
    pub chain: Vec<String>,
}

/// What to practice next, the surest first; empty when nothing stands out. Words come from the graph's list, and are
/// counted by its rules.
pub fn practice(progress: &Progress, graph: &Graph) -> Vec<Practice> {
    let found: Vec<&Pattern> = progress.patterns.iter().filter(|p| p.claim == Claim::Found).collect();
    let sounds: Vec<&SoundRest> = progress.sounds.iter().filter(|s| s.stands_out).collect();
    if found.is_empty() && sounds.is_empty() {
        return Vec::new();
    }
    let offered = offered(graph);
    let found = found.into_iter().map(|p| for_pattern(p, graph, &offered));
    let sounds = sounds.into_iter().map(|s| for_sound(s, graph, &offered));
    found.chain(sounds).collect()
}

/// What to try where nothing stands out yet: the miscount that was seen in most words, though in too few to be called a habit. None
/// where not even two words show one.
pub fn to_try(progress: &Progress, graph: &Graph) -> Option<Practice> {
    let early = |p: &&Pattern| p.claim == Claim::TooLittle && p.before.is_none() && p.seen >= HINT;
    // Of two that were seen in as many words, the one that was looked for in fewer.
    let most = |p: &&Pattern| (p.seen, std::cmp::Reverse(p.words));
    let pattern = progress.patterns.iter().filter(early).max_by_key(most)?;
    let why = format!(
        "Seen in {} of {} such words, too few to call it a habit; these words will show whether it is one",
        pattern.seen, pattern.words
    );
    Some(Practice {
        why,
        ..for_pattern(pattern, graph, &offered(graph))
    })
}

fn for_pattern(pattern: &Pattern, graph: &Graph, offered: &[WordShape]) -> Practice {
    let fits = |shape: &WordShape| touched(shape, pattern.cause) && taught(shape, pattern.cause);
    let words = words(offered, fits);
    let chain = chain(graph, &words, &limits(pattern.cause), |shape| {
        shape.by(pattern.cause).is_some()
    });
    Practice {
        what: pattern.cause.to_string(),
        why: format!(
            "Seen in {} of {} such words in the last two months ({} of {} tries); elsewhere {} of {} tries miss that way",
            pattern.seen,
            pattern.words,
            pattern.share.hits,
            pattern.share.of,
            pattern.background.hits,
            pattern.background.of
        ),
        words,
        chain,
    }
}

/// A sound whose words are counted right less often than their length and what else is in them explains.
fn for_sound(rest: &SoundRest, graph: &Graph, offered: &[WordShape]) -> Practice {
    let has = |shape: &WordShape| shape.units.iter().any(|(u, _)| *u == rest.sound);
    let words = words(offered, has);
    let limits = Limits {
        with_sounds: vec![rest.sound],
        ..short()
    };
    Practice {
        what: format!("Words with the sound {}", unit_name(rest.sound)),
        why: format!(
            "{:.0} % counted right at {} words in the last two months; by their length and what else is in them it would be \
             {:.0} %",
            100.0 * rest.right,
            rest.words,
            100.0 * rest.expected
        ),
        chain: chain(graph, &words, &limits, has),
        words,
    }
}

/// Whether a word shows this cause and no other of its side but the whole that it is part of.
fn touched(shape: &WordShape, cause: Cause) -> bool {
    let related = |c: &Cause| *c == cause || !c.parts().is_empty() || cause.parts().contains(c);
    shape.by(cause).is_some() && shape.astray.iter().all(|(c, _)| related(c))
}

/// The spellings that a lesson on a cause is about; none where it is not about spellings.
fn spellings(cause: Cause) -> Vec<&'static str> {
    match cause {
        Cause::ConsonantTeams => CONSONANT_TEAMS.to_vec(),
        Cause::DoubledLetters => DOUBLED.to_vec(),
        Cause::VowelTeams => VOWEL_TEAMS.to_vec(),
        Cause::SilentE => SILENT_E.to_vec(),
        Cause::Letters => [&CONSONANT_TEAMS[..], &DOUBLED, &VOWEL_TEAMS, &SILENT_E].concat(),
        Cause::Rule { rule: "x", .. } => vec!["x"],
        Cause::Rule { rule: "qu", .. } => vec!["qu"],
        _ => Vec::new(),
    }
}

/// Whether one of the word's letters are what a lesson on the cause is about.
fn taught(shape: &WordShape, cause: Cause) -> bool {
    let wanted = spellings(cause);
    wanted.is_empty() || shape.letters.iter().any(|l| wanted.contains(&l.as_str()))
}

fn short() -> Limits {
    Limits {
        syllables: Some(1..=1),
        count: Some(2..=LONGEST),
        ..Limits::default()
    }
}

/// What a chain on a cause holds to: its spellings in every word, or its sounds coming and going beside another consonant.
fn limits(cause: Cause) -> Limits {
    let units = |sounds: &[Sound]| sounds.iter().map(|s| Unit::from(*s)).collect::<Vec<Unit>>();
    let mut limits = Limits {
        with_spellings: spellings(cause).into_iter().map(str::to_owned).collect(),
        ..short()
    };
    match cause {
        Cause::Clusters => limits.toggles = units(&[Sound::S, Sound::L, Sound::R, Sound::N]),
        Cause::LostNasal => limits.toggles = units(&[Sound::N, Sound::M, Sound::NG]),
        Cause::LostLiquid => limits.toggles = units(&[Sound::L, Sound::R]),
        Cause::OtherClusters => limits.toggles = units(&[Sound::S]),
        // Two sounds side by side where the rules count them apart (barn, fork).
        Cause::Rule { rule: "r_vowels", .. } => {
            limits.with_clusters = [Sound::AA, Sound::AO].map(|vowel| units(&[vowel, Sound::R])).to_vec();
        }
        _ => {}
    }
    limits
}

/// Frequent short words of one syllable that have no surprising letters, the most frequent first.
fn offered(graph: &Graph) -> Vec<WordShape> {
    let mut frequent = graph.list().words();
    frequent.retain(|w| {
        (LEAST_ZIPF..=MOST_ZIPF).contains(&w.zipf) && w.spelling.len() > 2 && surprise::find(&w.spelling).is_none()
    });
    frequent.sort_by(|a, b| b.zipf.total_cmp(&a.zipf).then_with(|| a.spelling.cmp(&b.spelling)));
    let shapes = frequent.into_iter().filter_map(|word| {
        let said = word.variants.first()?.sounds().to_vec();
        let one_syllable = said.iter().filter(|s| s.is_vowel()).count() == 1;
        (one_syllable && (SHORTEST..=LONGEST).contains(&said.len())).then(|| shape(graph, &word.spelling, said))
    });
    shapes.collect()
}

/// The first of them that fit, each with its count.
fn words(offered: &[WordShape], fits: impl Fn(&WordShape) -> bool) -> Vec<(String, usize)> {
    let fitting = offered.iter().filter(|shape| fits(shape));
    fitting.take(WORDS).map(|s| (s.word.clone(), s.units.len())).collect()
}

fn shape(graph: &Graph, word: &str, sounds: Vec<Sound>) -> WordShape {
    let word = word.to_owned();
    WordShape::new(&AskedWord { word, sounds }, graph.rules())
}

/// A chain of short words from the first of these from which there is one that fits: half of its words or more are touched.
fn chain(
    graph: &Graph,
    words: &[(String, usize)],
    limits: &Limits,
    touched: impl Fn(&WordShape) -> bool,
) -> Vec<String> {
    let known = |word: &str| lexicon::look_up(word).is_some_and(|entry| entry.zipf() >= LEAST_ZIPF_LINK);
    let fits = |chain: &soundbead_data::chain::Chain| {
        let steps = chain.steps.iter();
        let plain = |step: &soundbead_data::chain::ChainStep| surprise::find(&step.word).is_none() && known(&step.word);
        let own = steps
            .clone()
            .filter(|s| touched(&shape(graph, &s.word, s.said.sounds().to_vec())))
            .count();
        2 * own >= chain.steps.len() && steps.clone().all(plain)
    };
    let made = words.iter().flat_map(|(word, _)| {
        let seeds = 0..TRIES;
        seeds.filter_map(move |seed| graph.practice(Some(word), CHAIN, limits, seed).ok())
    });
    made.filter(fits)
        .map(|c| c.steps.into_iter().map(|s| s.word).collect())
        .next()
        .unwrap_or_default()
}
