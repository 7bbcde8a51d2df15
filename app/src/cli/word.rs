//! `soundbead word`: a word's sounds, letters and syllables; remembering a family's own pronunciation.

use clap::Args;
use serde::Serialize;
use serde_json::{Map, Value, json};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::rule::Fire;
use soundbead_data::spelling::LetterBox;
use soundbead_data::surprise::{self, Surprise};
use soundbead_data::syllable::{self, Syllable};
use soundbead_data::which;
use soundbead_data::word::{Source, Word};
use soundbead_data::{Rules, Sound};

use super::{options, questioned, values};
use crate::answer::{names, rules_map};
use crate::ask::boxes::{BoxesAnswer, BoxesRequest};
use crate::fault::Fault;
use crate::page::{OutputPage, TextTone, WIDTH};
use crate::{say, shown, store, target};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct WordArgs {
    /// The word
    word: String,
    /// Remembers that your family says it so, such as "P IH G"; stress may be marked on the vowels, 1 main, 2 second,
    /// 0 none: "P IH0 K AA1 N"
    #[arg(long, value_name = "SOUNDS", group = "keep", value_parser = values::pronunciation)]
    set: Option<Pronunciation>,
    /// Forgets that again
    #[arg(long, group = "keep")]
    unset: bool,
    /// Keeps this word out of chains and lists from now on; with a star at its end all words that begin so
    #[arg(long, group = "keep", conflicts_with_all = ["changes", "rule_set", "json"])]
    block: bool,
    /// Undoes --block
    #[arg(long, group = "keep", conflicts_with_all = ["changes", "rule_set", "json"])]
    unblock: bool,
    #[command(flatten)]
    counting: options::CountingArgs,
    /// The answer as one JSON object
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Shows a word's sounds, its letters in sound boxes, its syllables, its count by
the rules in force and by each other rule, and where its sounds come from: the
dictionary, you, or a guess from its letters. A split vowel is written a_e; a
letter over two sounds is one box with both.

Syllables have types: closed, open, silent e, vowel team, vowel and r, consonant
and le. Where a word is said in two ways that mean two things, each has a cue.
Letters that no rule foretells stand in brackets, with why they are there.
With --json: syllable_types, syllables_by_rule (fire and hour, one beat or two),
ways (sounds and cue), surprising (marked, letters, why), american, and
did_you_mean where WORD looks like a slip for another.

What you set is kept in pronunciations.txt in SOUNDBEAD_HOME, or in the folder
where your system keeps programs' data, what you block in blocked.txt there.

For example:
  $ soundbead word chess
  chess, from the dictionary

    count      3 sounds   CH EH S
  ...";

impl WordArgs {
    /// Remembers or forgets when asked to; shows the word.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let (word, rules) = (&self.word, self.counting.rules()?);
        if self.block || self.unblock {
            store::block(word, self.block)?;
            let what = match self.block {
                true => "is kept out of chains and lists",
                false => "may stand in chains and lists",
            };
            return Ok(page.line(&format!("`{}` {what} from now on.", word.trim()))?);
        }
        if let Some(said) = &self.set {
            store::set(word, said)?;
        }
        if self.unset {
            store::unset(word)?;
        }
        let request = BoxesRequest { word, rules: &rules };
        let own = store::overrides()?;
        let answer = request.answer(&own).map_err(Fault::input)?;
        let found = answer.word.clone();
        let facts = WordFacts::of(answer, rules.fire);
        if self.json {
            Ok(page.json(&facts.answer(&found, &rules))?)
        } else {
            facts.show(page, &found, &rules)?;
            let mut questions = questioned::questions([word.as_str()], &own).into_iter();
            Ok(questions.try_for_each(|question| page.paragraph(0, &question))?)
        }
    }
}

/// What there is to say of the first way of saying a word.
struct WordFacts {
    said: Pronunciation,
    boxes: Option<Vec<LetterBox>>,
    syllables: Vec<String>,
    /// What there is to say of each of them.
    kinds: Vec<Syllable>,
    /// How many there are where *fire* and *hour* are given one beat, and two.
    beats: [usize; 2],
}

/// The answer for programs, in the contract's order.
#[derive(Serialize)]
struct WordAnswer<'a> {
    word: &'a str,
    source: &'static str,
    sounds: Vec<&'static str>,
    count: usize,
    boxes: Option<Vec<Value>>,
    syllables: &'a [String],
    variants: Vec<Vec<&'static str>>,
    counts_by_rule: Map<String, Value>,
    rules: Map<String, Value>,
    /// Letters, type, stress and schwa of each syllable.
    syllable_types: Vec<Value>,
    /// How many syllables the rule for *fire* and *hour* makes.
    syllables_by_rule: Value,
    /// The ways of saying the word that mean different things; empty where there is nothing to ask.
    ways: Vec<Value>,
    /// Letters that no rule foretells, and why they are there.
    surprising: Option<Value>,
    /// The American spelling of a British one.
    american: Option<&'static str>,
    /// The word that was most likely meant, where this one looks like a slip.
    #[serde(skip_serializing_if = "Option::is_none")]
    did_you_mean: Option<String>,
}

impl WordFacts {
    fn of(answer: BoxesAnswer, fire: Fire) -> WordFacts {
        let BoxesAnswer { word, said, boxes, .. } = answer;
        // Letters that cannot be tied to their sounds: the sounds stand in, in capitals.
        let sounds = |s: &Syllable| names(&said.sounds()[s.onset.start..s.rime.end]).join(" ");
        let by = |fire| syllable::syllables_by(&word.spelling, &said, fire);
        let kinds = by(fire);
        let letters = |s: &Syllable| s.letters.clone().unwrap_or_else(|| sounds(s));
        let syllables = kinds.iter().map(letters).collect();
        let beats = [Fire::One, Fire::Two].map(|fire| by(fire).len());
        WordFacts {
            said,
            boxes,
            syllables,
            kinds,
            beats,
        }
    }

    fn sounds(&self) -> &[Sound] {
        self.said.sounds()
    }

    fn count(&self, rules: &Rules) -> usize {
        let boxes = self.boxes.as_deref().unwrap_or_default();
        let letters: Vec<_> = boxes.iter().map(|b| (b.letters.as_str(), b.sounds.clone())).collect();
        rules.count(self.sounds(), &letters)
    }

    /// For each rule, the count that each of its values makes with all other rules as they are.
    fn counts_by_rule(&self, rules: &Rules) -> Vec<(&'static str, Vec<(&'static str, usize)>)> {
        let count = |name: &str, value: &str| {
            let mut other = rules.clone();
            // The names and values are the rules' own, so this cannot fail.
            let _ = other.set(name, value);
            self.count(&other)
        };
        let each = |info: &soundbead_data::rule::RuleInfo| {
            (
                info.name,
                info.values
                    .iter()
                    .map(|value| (*value, count(info.name, value)))
                    .collect(),
            )
        };
        Rules::about().iter().map(each).collect()
    }

    fn answer<'a>(&'a self, word: &'a Word, rules: &Rules) -> WordAnswer<'a> {
        let one = |b: &LetterBox| json!({ "letters": b.letters, "sounds": names(&self.sounds()[b.sounds.clone()]) });
        let counts = self.counts_by_rule(rules).into_iter().map(|(name, values)| {
            let values: Map<String, Value> = values
                .into_iter()
                .map(|(v, n)| (v.to_owned(), Value::from(n)))
                .collect();
            (name.to_owned(), Value::Object(values))
        });
        WordAnswer {
            word: &word.spelling,
            source: word.source.name(),
            sounds: names(self.sounds()),
            count: self.count(rules),
            boxes: self.boxes.as_ref().map(|boxes| boxes.iter().map(one).collect()),
            syllables: &self.syllables,
            syllable_types: self.syllable_types(),
            syllables_by_rule: json!({ "fire": { "one": self.beats[0], "two": self.beats[1] } }),
            variants: target::variants(word).iter().map(|v| names(v)).collect(),
            counts_by_rule: counts.collect(),
            rules: rules_map(rules),
            ways: ways(&word.spelling),
            surprising: surprise::find(&word.spelling).map(surprising),
            american: which::american(&word.spelling),
            did_you_mean: target::doubt(word).and_then(|doubt| doubt.meant),
        }
    }

    /// Type, stress and schwa of each syllable, for programs.
    fn syllable_types(&self) -> Vec<Value> {
        let one = |(letters, s): (&String, &Syllable)| {
            let kind = s.kind.map(syllable::SyllableType::name);
            json!({ "letters": letters, "type": kind, "stress": s.stress, "schwa": s.schwa })
        };
        self.syllables.iter().zip(&self.kinds).map(one).collect()
    }

    /// Type of each syllable in words, with its beat where there are several.
    fn kinds_in_words(&self) -> String {
        let several = self.kinds.len() > 1;
        let one = |s: &Syllable| {
            let kind = s.kind.map_or_else(|| "not known".to_owned(), |kind| kind.to_string());
            let beat = match (s.schwa, s.stress) {
                (true, _) => "schwa",
                (_, 1) => "strong",
                (_, 2) => "half strong",
                _ => "weak",
            };
            if several { format!("{kind} ({beat})") } else { kind }
        };
        self.kinds.iter().map(one).collect::<Vec<_>>().join(" · ")
    }

    /// The syllables, and how else they are clapped.
    fn syllables_in_words(&self) -> String {
        let text = self.syllables.join(" · ");
        match self.beats.iter().find(|&&beats| beats != self.kinds.len()) {
            None => text,
            Some(&beats) => format!("{text}   (some clap {})", say::many(beats, "beat")),
        }
    }

    fn show(&self, page: &mut OutputPage, word: &Word, rules: &Rules) -> std::io::Result<()> {
        let title = page.tone(TextTone::Strong, &word.spelling);
        page.line(&format!("{title}, {}", source_in_words(word.source)))?;
        page.line("")?;
        let written = |said: &Pronunciation| say::CountedSounds::new(&word.spelling, said.clone(), rules);
        let count = self.count(rules);
        let arpabet = written(&self.said).arpabet();
        shown::row(page, "count", &format!("{}   {arpabet}", say::many(count, "sound")))?;
        shown::row(page, "said", &written(&self.said).both(page))?;
        shown::row(page, "syllables", &self.syllables_in_words())?;
        shown::row(page, "types", &self.kinds_in_words())?;
        let cue = |said: &Pronunciation| which::cue(&word.spelling, said);
        if let Some(cue) = cue(&self.said) {
            shown::row(page, "meaning", cue)?;
        }
        for (i, other) in word.variants.iter().skip(1).enumerate() {
            let meaning = cue(other).map_or_else(String::new, |cue| format!("   {cue}"));
            let text = written(other).both(page) + &meaning;
            shown::row(page, if i == 0 { "also" } else { "" }, &text)?;
        }
        page.line("")?;
        match &self.boxes {
            Some(boxes) => self.draw_boxes(page, boxes)?,
            None => page.line("  Its letters could not be tied to its sounds.")?,
        }
        page.line("")?;
        notes(page, word, self.sounds())?;
        self.show_rules(page, rules, count)?;
        if word.source == Source::Guess {
            page.paragraph(0, &shown::guess_note(&word.spelling))?;
        }
        page.paragraph(0, &shown::rules_line(rules))
    }

    /// The rules that would change the count.
    fn show_rules(&self, page: &mut OutputPage, rules: &Rules, count: usize) -> std::io::Result<()> {
        let others = self.counts_by_rule(rules).into_iter().flat_map(|(name, values)| {
            values
                .into_iter()
                .filter(move |(_, n)| *n != count)
                .map(move |(value, n)| format!("{n} with {name}={value}"))
        });
        let others: Vec<String> = others.collect();
        match others.is_empty() {
            true => page.line("No rule would change the count."),
            false => page.paragraph(0, &format!("Other counts: {}.", others.join(", "))),
        }
    }

    /// A box for each letter or group of letters, its sounds below, as many boxes to a row as fit.
    fn draw_boxes(&self, page: &mut OutputPage, boxes: &[LetterBox]) -> std::io::Result<()> {
        let sounds = |b: &LetterBox| names(&self.sounds()[b.sounds.clone()]).join(" ");
        let cells: Vec<(String, String, usize)> = boxes
            .iter()
            .map(|b| (b.letters.clone(), sounds(b)))
            .map(|(letters, sounds)| (letters.chars().count().max(sounds.len()) + 2, letters, sounds))
            .map(|(wide, letters, sounds)| (letters, sounds, wide))
            .collect();
        let mut rest = &cells[..];
        while !rest.is_empty() {
            let mut used = 3;
            let fits = rest.iter().take_while(|(_, _, wide)| {
                used += wide + 1;
                used <= WIDTH
            });
            let (row, after) = rest.split_at(fits.count().max(1));
            rest = after;
            let rule = |ends: [&str; 3]| {
                let bars: Vec<String> = row.iter().map(|(_, _, wide)| "─".repeat(*wide)).collect();
                format!("  {}{}{}", ends[0], bars.join(ends[1]), ends[2])
            };
            let filled = |text: &dyn Fn(&(String, String, usize)) -> String, bar: &str| {
                let cells: Vec<String> = row.iter().map(|c| format!("{:^1$}", text(c), c.2)).collect();
                format!("  {bar}{}{bar}", cells.join(bar))
            };
            page.line(&rule(["┌", "┬", "┐"]))?;
            page.line(&filled(&|c| c.0.clone(), "│"))?;
            page.line(&rule(["└", "┴", "┘"]))?;
            page.line(&filled(&|c| c.1.clone(), " "))?;
        }
        Ok(())
    }
}

/// The ways of saying a word that mean different things, for programs.
fn ways(word: &str) -> Vec<Value> {
    let ways = which::ask(word).unwrap_or_default().iter();
    ways.map(|way| json!({ "sounds": names(way.said.sounds()), "cue": way.cue }))
        .collect()
}

/// Surprising letters, for programs.
fn surprising(found: &Surprise) -> Value {
    let letters: Vec<&str> = found.letters().collect();
    json!({ "marked": found.marked(), "letters": letters, "why": found.why })
}

/// What there is to know of a word beside its sounds: surprising letters, a British spelling, the vowel of cot and caught.
fn notes(page: &mut OutputPage, word: &Word, sounds: &[Sound]) -> std::io::Result<()> {
    if let Some(found) = surprise::find(&word.spelling) {
        page.paragraph(
            0,
            &format!(
                "No rule foretells the letters in brackets: {}. {}",
                found.marked(),
                found.why
            ),
        )?;
    }
    if let Some(american) = which::american(&word.spelling) {
        page.paragraph(0, &format!("A British spelling; Americans write {american}."))?;
    }
    if which::cot_or_caught(sounds) {
        page.paragraph(
            0,
            "Many Americans say this vowel as in cot, others as in caught; both are right.",
        )?;
    }
    Ok(())
}

fn source_in_words(source: Source) -> &'static str {
    match source {
        Source::Dictionary => "from the dictionary",
        Source::Override => "as you set it",
        Source::Guess => "a guess from its letters",
    }
}
