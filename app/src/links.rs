//! A chain in writing: as JSON for programs, as lines for people.

use serde_json::{Value, json};
use soundbead_data::chain::{Chain, ChainStep, Change, ChangeKind, LetterChange, Place, Unit};
use soundbead_data::word::Source;
use soundbead_data::{Rules, Sound, inventory};

use crate::answer::names;
use crate::page::{OutputPage, TextTone, columns, pad};
use crate::{say, wording};

/// The steps, each as the contract has it.
pub fn steps(chain: &Chain) -> Value {
    let each = chain.steps.iter().enumerate();
    each.map(|(at, step)| {
        let units: Vec<String> = step.units.iter().map(arpabet).collect();
        json!({
            "word": step.word,
            "sounds": names(step.said.sounds()),
            "change": step.change.map(|change| change_object(&change, chain.letters(at))),
            "units": units,
            "also": step.also,
            "ways": step.ways,
            "source": step.source.name(),
        })
    })
    .collect()
}

fn change_object(change: &Change, letters: Option<LetterChange>) -> Value {
    json!({
        "kind": change.kind.name(),
        "place": change.place.name(),
        "from": change.from.as_ref().map(arpabet),
        "to": change.to.as_ref().map(arpabet),
        "at": change.at,
        "letters": letters.map(|l| json!({ "from": l.from, "to": l.to, "others": l.others })),
    })
}

/// ARPAbet, with spaces between sounds that count as one.
pub fn arpabet(unit: &Unit) -> String {
    names(&unit.sounds().collect::<Vec<_>>()).join(" ")
}

/// The chain, a word a line with what changed; then the rules.
///
/// # Errors
/// Standard output that takes no more.
pub fn show(page: &mut OutputPage, chain: &Chain, rules: &Rules) -> std::io::Result<()> {
    let widest = chain.steps.iter().map(|s| columns(&s.word)).max().unwrap_or(0);
    page.line("")?;
    let written = chain
        .steps
        .iter()
        .map(|s| say::CountedSounds::new(&s.word, s.said.clone(), rules).both(page));
    let written: Vec<(String, String)> = written.map(|both| halves(&both)).collect();
    let ipa = written.iter().map(|w| columns(&w.0)).max().unwrap_or(0);
    let plain = written.iter().map(|w| columns(&w.1)).max().unwrap_or(0);
    for (at, (step, said)) in chain.steps.iter().zip(&written).enumerate() {
        let word = page.tone(TextTone::Strong, &pad(&step.word, widest));
        let what = in_words(page, chain, at);
        page.line(&format!(
            "  {word}  {}  {}   {what}",
            pad(&said.0, ipa),
            pad(&said.1, plain)
        ))?;
    }
    page.line("")?;
    for note in notes(chain) {
        page.paragraph(0, &note)?;
    }
    for step in chain.steps.iter().filter(|s| s.source == Source::Guess) {
        page.paragraph(0, &wording::guess_note(&step.word))?;
    }
    page.paragraph(0, &wording::rules_in_full(rules))
}

/// IPA and plain letters, which are written with a gap between them; the first is empty where IPA cannot be shown.
fn halves(both: &str) -> (String, String) {
    let (ipa, plain) = both.split_once("   ").unwrap_or(("", both));
    (ipa.to_owned(), plain.to_owned())
}

/// What step `at` changed, for people: `inside: /ɪ/ (i) to /ɛ/ (e)`. Empty for the first word.
pub fn in_words(page: &OutputPage, chain: &Chain, at: usize) -> String {
    let (Some(change), Some(before)) = (chain.steps[at].change, at.checked_sub(1)) else {
        return String::new();
    };
    let letters = chain.letters(at).unwrap_or(LetterChange {
        from: None,
        to: None,
        others: false,
    });
    let sound = |step: &ChainStep, unit: Option<Unit>, letters: Option<String>| {
        let sound = unit.map_or(String::new(), |_| in_plain(page, step, change.at));
        letters.map_or(sound.clone(), |l| format!("{sound} ({l})"))
    };
    let from = sound(&chain.steps[before], change.from, letters.from.clone());
    let to = sound(&chain.steps[at], change.to, letters.to.clone());
    let place = match change.place {
        Place::Initial => "first",
        Place::Medial => "inside",
        Place::Final => "last",
    };
    let others = if letters.others {
        "; other letters change too"
    } else {
        ""
    };
    match change.kind {
        ChangeKind::Swap => format!("{place}: {from} to {to}{others}"),
        ChangeKind::Add => format!("{place}: {to} added{others}"),
        ChangeKind::Drop => format!("{place}: {from} dropped{others}"),
    }
}

/// Counted sound `at` of a word as IPA between slashes, or as its respelling where IPA cannot be shown.
fn in_plain(page: &OutputPage, step: &ChainStep, at: usize) -> String {
    let start: usize = step.units[..at].iter().map(|u| u.sounds().count()).sum();
    let sounds: Vec<Sound> = step.units[at].sounds().collect();
    let weak = |i: usize| sounds[i].is_vowel() && step.said.stress()[start + i] == 0;
    let one = |i: usize| {
        let weak = weak(i).then(|| inventory::find(&format!("{}0", sounds[i]))).flatten();
        weak.unwrap_or_else(|| inventory::of(sounds[i]))
    };
    let entries = match inventory::of_unit(&sounds).filter(|_| sounds.len() > 1) {
        Some(entry) => vec![entry],
        None => (0..sounds.len()).map(one).collect(),
    };
    let written = |e: &&inventory::SoundEntry| {
        if page.unicode {
            e.ipa.clone()
        } else {
            e.respelling.clone()
        }
    };
    let text: String = entries.iter().map(written).collect();
    if page.unicode { format!("/{text}/") } else { text }
}

/// What must be known of its words: other spellings of the same sounds, other ways of saying the same spelling.
fn notes(chain: &Chain) -> Vec<String> {
    let also = |step: &&ChainStep| !step.also.is_empty();
    let alike: Vec<String> = chain
        .steps
        .iter()
        .filter(also)
        .map(|s| format!("{}: {}", s.word, s.also.join(", ")))
        .collect();
    let several: Vec<&str> = chain
        .steps
        .iter()
        .filter(|s| s.ways > 1)
        .map(|s| s.word.as_str())
        .collect();
    let mut notes = Vec::new();
    if !alike.is_empty() {
        notes.push(format!("Said the same: {}.", alike.join("; ")));
    }
    if !several.is_empty() {
        notes.push(format!(
            "Said in more than one way, here as written above: {}.",
            several.join(", ")
        ));
    }
    notes
}
