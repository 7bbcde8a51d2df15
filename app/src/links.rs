//! A chain in writing: as JSON for programs, as lines for people.

use serde_json::{Value, json};
use soundbead_data::chain::{Chain, Change, Kind, Letters, Place, Step, Unit};
use soundbead_data::word::Source;
use soundbead_data::{Rules, Sound, inventory};

use crate::answer::names;
use crate::page::{Page, Tone, columns, pad};
use crate::{say, shown};

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

fn change_object(change: &Change, letters: Option<Letters>) -> Value {
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

/// The chain, a word a line with what changed; then the rules and the seed.
pub fn show(page: &mut Page, chain: &Chain, rules: &Rules, seed: u64) -> std::io::Result<()> {
    let widest = chain.steps.iter().map(|s| columns(&s.word)).max().unwrap_or(0);
    page.line("")?;
    for (at, step) in chain.steps.iter().enumerate() {
        let written = say::Written::new(&step.word, step.said.clone(), rules).both(page);
        let word = page.tone(Tone::Strong, &pad(&step.word, widest));
        let what = step
            .change
            .map_or(String::new(), |c| in_words(page, &c, chain.letters(at)));
        page.line(&format!("  {word}  {} {what}", pad(&written, 24)))?;
    }
    page.line("")?;
    for note in notes(chain) {
        page.paragraph(0, &note)?;
    }
    for step in chain.steps.iter().filter(|s| s.source == Source::Guess) {
        page.paragraph(0, &shown::guess_note(&step.word))?;
    }
    page.paragraph(0, &shown::rules_line(rules))?;
    let again = if seed == 0 {
        "--seed 1 draws another.".into()
    } else {
        format!("--seed {seed} gives the same again.")
    };
    page.line(&page.tone(Tone::Quiet, &again))
}

/// What changed, for people: `i to e, in the middle`.
pub fn in_words(page: &Page, change: &Change, letters: Option<Letters>) -> String {
    let letters = letters.unwrap_or(Letters {
        from: None,
        to: None,
        others: false,
    });
    let sound = |unit: Option<Unit>, letters: Option<String>| {
        let sound = unit.map_or(String::new(), |u| in_plain(page, u));
        letters.map_or(sound.clone(), |l| format!("{sound} ({l})"))
    };
    let (from, to) = (sound(change.from, letters.from), sound(change.to, letters.to));
    let place = match change.place {
        Place::Initial => "first",
        Place::Medial => "inside",
        Place::Final => "last",
    };
    match change.kind {
        Kind::Swap => format!("{place}: {from} to {to}"),
        Kind::Add => format!("{place}: {to} added"),
        Kind::Drop => format!("{place}: {from} dropped"),
    }
}

/// One counted sound as IPA between slashes, or as its respelling where IPA cannot be shown.
fn in_plain(page: &Page, unit: Unit) -> String {
    let sounds: Vec<Sound> = unit.sounds().collect();
    let entries = match inventory::of_unit(&sounds) {
        Some(entry) => vec![entry],
        None => sounds.iter().map(|s| inventory::of(*s)).collect(),
    };
    let written = |e: &&inventory::Entry| {
        if page.unicode {
            e.ipa.clone()
        } else {
            e.respelling.clone()
        }
    };
    let text: String = entries.iter().map(|e| written(e)).collect();
    if page.unicode { format!("/{text}/") } else { text }
}

/// What must be known of its words: other spellings of the same sounds, other ways of saying the same spelling.
fn notes(chain: &Chain) -> Vec<String> {
    let also = |step: &&Step| !step.also.is_empty();
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
