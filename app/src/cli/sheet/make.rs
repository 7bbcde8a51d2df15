//! From what was asked for to the sheet.

use std::collections::BTreeMap;
use std::path::Path;

use soundbead_data::Rules;
use soundbead_data::chain::{Graph, Range};
use soundbead_data::inventory::{self, SoundEntry};
use soundbead_data::sort::{self as weighed, Corpus};
use soundbead_data::word::Overrides;
use soundbead_dsp::formant::VoiceKind;

use super::{SheetArgs, WHOLE, people};
use crate::ask::chain::ChainRequest;
use crate::ask::dictation::{self, DictationRequest};
use crate::ask::sort::{SortNamed, for_a_sheet, named};
use crate::cli::{questioned, sounds};
use crate::fault::{Fault, one_line};
use crate::keyed::called;
use crate::plan::{Content, Plan, PlanItem, PlanWord};
use crate::sheet::sort::{self, SheetColumn, SortKind, SortSheet};
use crate::sheet::words::{self, SheetWord};
use crate::sheet::{Sheet, SheetOptions, boxes, card, chain, consonants, vowels, wall};
use crate::{store, typed};

/// Makes the sheet that was asked for of `texts`, its words.
///
/// # Errors
/// One line when a word, a plan or the kind's own options cannot be used.
pub fn make(kind: &str, asked: &SheetArgs, texts: Vec<String>) -> Result<Sheet, Fault> {
    let about = SheetOptions {
        paper: asked.paper.unwrap_or_default(),
        key: asked.key,
        title: asked.title.as_deref().map(one_line),
        spare: asked.spare,
        cards: asked.cards,
        rules: asked.counting.rules()?,
    };
    let own = store::overrides()?;
    // The name of a sort, or what a lesson is about, is no word of a sheet.
    let named_sort = kind == "sort" && matches!(texts.as_slice(), [name] if !name.contains('='));
    if !named_sort && !matches!(kind, "vowels" | "consonants" | "card" | "lesson" | "string") {
        questions(kind, asked, &texts, &own);
    }
    if let Some(path) = &asked.plan {
        return make_plan(kind, path, asked, about, &own);
    }
    if let Some([from, to]) = asked.chain.as_deref() {
        return make_found_chain(kind, from, to, &texts, &about, &own);
    }
    match kind {
        "vowels" => {
            let voice = asked.voice.unwrap_or(VoiceKind::Child);
            return no_words(kind, &texts).map(|()| match asked.wall {
                true => wall::vowels(&about),
                false => vowels::sheet(voice, &about),
            });
        }
        "consonants" => {
            return no_words(kind, &texts).map(|()| match asked.wall {
                true => wall::consonants(&about),
                false => consonants::sheet(&about),
            });
        }
        "lesson" => return people::lesson(&texts.join(" "), asked.learner.as_deref(), about, &own),
        "string" => return people::string(&texts, asked.learner.as_deref(), &about),
        _ if texts.is_empty() => return Err(needs(kind)),
        _ => {}
    }
    match kind {
        "boxes" => Ok(boxes::sheet(&spell_all(&texts, &about.rules, &own)?, &about)),
        "chain" => make_chain(&texts, &about, &own),
        "sort" => make_sort(&texts, asked, &about, &own),
        "card" => make_cards(&texts, &about),
        _ => make_dictation(texts, asked, &about, &own),
    }
}

/// Asks about words that look like slips, and says which words are said in two ways and which sounds are guessed.
fn questions(kind: &str, asked: &SheetArgs, texts: &[String], own: &Overrides) {
    let named: Vec<&str> = asked
        .chain
        .iter()
        .flatten()
        .chain(texts)
        .flat_map(|text| single_words(text))
        .filter(|word| !word.contains(':'))
        .collect();
    let taken = match (kind, &asked.chain) {
        ("chain", Some(_)) => questioned::WhichTaken::Either,
        _ => questioned::WhichTaken::Printed,
    };
    questioned::ask(named.iter().copied(), own);
    questioned::ways(named.iter().copied(), own, taken);
    // A dictation says of its words which have no sentence; boxes stand on the sounds alone.
    if kind == "boxes" || kind == "chain" {
        questioned::say_guessed(named, own);
    }
}

/// Words, the sentences among what was given, and those that are made of the words.
fn make_dictation(
    texts: Vec<String>,
    asked: &SheetArgs,
    about: &SheetOptions,
    own: &Overrides,
) -> Result<Sheet, Fault> {
    let (mut all, singles): (Vec<String>, Vec<String>) = texts
        .into_iter()
        .partition(|text| text.trim().contains(char::is_whitespace));
    let words = spell_all(&singles, &about.rules, own)?;
    if let Some(count) = asked.sentences {
        let given: Vec<&str> = words.iter().map(|word| word.word.as_str()).collect();
        let block = store::word_list(Range::Common)?.block;
        let request = DictationRequest {
            words: &given,
            sentences: count,
            seed: asked.seed.unwrap_or(0),
        };
        let made = request.answer(&block);
        for line in dictation::without(&made)
            .into_iter()
            .chain(dictation::fewer(&made, count))
        {
            eprintln!("soundbead: sentences: {}", one_line(&line));
        }
        all.extend(made.sentences.into_iter().map(|s| s.text));
    }
    Ok(crate::sheet::dictation::sheet(&words, &all, about))
}

/// The words of what was typed: of a column `HEADING=word,word` those behind its heading, of a sentence none.
fn single_words(text: &str) -> impl Iterator<Item = &str> {
    let words = text.split_once('=').map_or(text, |(_, words)| words);
    words
        .split(',')
        .map(str::trim)
        .filter(|word| !word.contains(char::is_whitespace))
}

fn needs(kind: &str) -> Fault {
    let what = match kind {
        "card" => "a sound: write it after `card`, such as TH",
        "sort" => "columns: write them after `sort`, such as ck=back,duck k=milk,bank, or give --list FILE",
        _ => "words: write them after its name, or give --list FILE",
    };
    Fault::input(format_args!("a {kind} sheet needs {what}"))
}

fn no_words(kind: &str, texts: &[String]) -> Result<(), Fault> {
    texts.first().map_or(Ok(()), |text| {
        Err(Fault::input(format_args!(
            "the {kind} sheet shows all of them and takes no words, but found `{}`",
            one_line(text)
        )))
    })
}

/// Columns as they are given, each `HEADING=word,word,...`; or one of the sorts of `soundbead sort`, by its name.
fn make_sort(texts: &[String], asked: &SheetArgs, about: &SheetOptions, own: &Overrides) -> Result<Sheet, Fault> {
    if let [name] = texts
        && !name.contains('=')
    {
        return make_weighed_sort(name, asked.most, about, own);
    }
    let one = |text: &String| {
        let (heading, words) = text.split_once('=').ok_or_else(|| {
            Fault::input(format_args!(
                "`{}` is no column; write HEADING=word,word, such as ck=back,duck, or one name that `soundbead sort` lists",
                one_line(text)
            ))
        })?;
        let words: Vec<String> = words
            .split(',')
            .map(|w| w.trim().to_owned())
            .filter(|w| !w.is_empty())
            .collect();
        Ok(SheetColumn {
            heading: one_line(heading.trim()),
            words: spell_all(&words, &about.rules, own)?,
            ..SheetColumn::default()
        })
    };
    let sort = SortSheet {
        columns: texts.iter().map(one).collect::<Result<_, Fault>>()?,
        cards: about.cards,
        ..SortSheet::default()
    };
    Ok(sort::sheet(&sort, about))
}

/// The commonest words of a sort, 12 to 24 or `most` of each column; on the key the exceptions are marked, and each rule says how
/// often it holds.
fn make_weighed_sort(name: &str, most: Option<usize>, about: &SheetOptions, own: &Overrides) -> Result<Sheet, Fault> {
    let corpus = Corpus::new(&store::word_list(Range::Common)?);
    let wanted = match named(name).map_err(Fault::input)? {
        SortNamed::Sort(wanted) => wanted,
        SortNamed::Ladders => return make_ladders(&corpus, most, about, own),
    };
    let sorted = corpus.sort_at(wanted, weighed::Level::default());
    let picked = match most {
        Some(_) => sorted.columns.clone(),
        None => weighed::sheet(&sorted, *weighed::SHEET.end(), 0),
    };
    let filled: Vec<weighed::Column> = picked.into_iter().filter(|c| !c.members.is_empty()).collect();
    // Groups made by hand are headed by their own words.
    let groups = filled.iter().all(|c| c.heading.contains(','));
    let cues: BTreeMap<&str, &str> = weighed::said_alike().into_iter().flatten().collect();
    let columns = filled
        .iter()
        .map(|column| {
            let mut made = column_of(column, &sorted, most, about, own)?;
            let cue = |w: &SheetWord| Some((w.word.clone(), (*cues.get(w.word.as_str())?).to_owned()));
            made.remarks = made.words.iter().filter(|_| groups).filter_map(cue).collect();
            Ok(made)
        })
        .collect::<Result<Vec<SheetColumn>, Fault>>()?;
    // A rule whose column is not on this sheet tells nobody anything.
    let shown = |r: &&weighed::HeldRule| r.is_choice() || columns.iter().any(|c| c.heading == r.then);
    let why = sorted.rules.iter().filter(shown).map(|r| match r.is_choice() {
        true => format!("{}: a choice, {}", r.when, r.choices()),
        false => format!("{}: {} ({} of {})", r.then, r.when, r.holds, r.of),
    });
    let why = why.collect();
    let sort = SortSheet {
        about: about_sort(wanted, &columns, groups),
        columns,
        why,
        kind: if groups { SortKind::Groups } else { SortKind::Headed },
        cards: about.cards,
    };
    Ok(sort::sheet(&sort, about))
}

/// What is sorted, and which of its columns have no room or no plain words here: nobody is to look for them.
fn about_sort(wanted: &weighed::Sort, columns: &[SheetColumn], groups: bool) -> String {
    let here = |heading: &&&str| !columns.iter().any(|c| c.heading == ***heading);
    let missing: Vec<&str> = wanted.columns.iter().filter(here).copied().collect();
    match missing.is_empty() || groups {
        true => wanted.title.to_owned(),
        false => format!("{}. Not on this sheet: {}.", wanted.title, missing.join(", ")),
    }
}

/// A column with its words and those that the rule would put elsewhere.
fn column_of(
    column: &weighed::Column,
    sorted: &weighed::Sorted,
    most: Option<usize>,
    about: &SheetOptions,
    own: &Overrides,
) -> Result<SheetColumn, Fault> {
    let words = for_a_sheet(&column.members, most.unwrap_or(usize::MAX));
    let breaks = column
        .members
        .iter()
        .filter(|m| sorted.status(m) == weighed::SortStatus::Breaks);
    Ok(SheetColumn {
        heading: column.heading.clone(),
        words: spell_all(&words, &about.rules, own)?,
        exceptions: breaks.map(|m| m.word.clone()).filter(|w| words.contains(w)).collect(),
        ..SheetColumn::default()
    })
}

/// Ladders that fill a page, and the rungs of each that a child can climb in one go.
const LADDERS: usize = 8;
const RUNGS: usize = 6;
/// Fewest rungs of a ladder, and how common its words are at least, on the Zipf scale.
const FEWEST: usize = 4;
const FAMILIAR: f32 = 4.0;

/// Ladders of everyday words, none of them with an ending, `most` rungs or six each.
fn make_ladders(corpus: &Corpus, most: Option<usize>, about: &SheetOptions, own: &Overrides) -> Result<Sheet, Fault> {
    let plain = |word: &str| {
        let known = corpus.word(word);
        known.is_some_and(|k| !k.inflected() && weighed::Level::default().has(word, k.zipf))
    };
    let mut columns = Vec::new();
    for ladder in corpus.ladders(FEWEST, FAMILIAR) {
        let rungs = ladder.rungs.iter().filter(|(_, word)| plain(word));
        let rungs: Vec<_> = rungs.take(most.unwrap_or(RUNGS)).collect();
        if rungs.len() < FEWEST || columns.len() == LADDERS {
            continue;
        }
        let words: Vec<String> = rungs.iter().map(|(_, word)| word.clone()).collect();
        columns.push(SheetColumn {
            heading: format!("{}", columns.len() + 1),
            words: spell_all(&words, &about.rules, own)?,
            remarks: rungs
                .iter()
                .map(|(vowel, word)| (word.clone(), called(*vowel)))
                .collect(),
            ..SheetColumn::default()
        });
    }
    let sort = SortSheet {
        columns,
        kind: SortKind::Ladders,
        cards: about.cards,
        ..SortSheet::default()
    };
    Ok(sort::sheet(&sort, about))
}

/// A page on each sound, or six to a page; `all` stands for every sound.
fn make_cards(texts: &[String], about: &SheetOptions) -> Result<Sheet, Fault> {
    let entries: Vec<&SoundEntry> = match texts {
        [all] if all.eq_ignore_ascii_case("all") => inventory::all().iter().collect(),
        texts => texts.iter().map(|name| sounds::find(name)).collect::<Result<_, _>>()?,
    };
    if about.cards {
        return Ok(card::six(&entries, about));
    }
    Sheet::joined(entries.into_iter().map(|entry| card::sheet(entry, about))).ok_or_else(|| needs("card"))
}

fn make_chain(texts: &[String], about: &SheetOptions, own: &Overrides) -> Result<Sheet, Fault> {
    let ways = |text: &String| ways(text, &about.rules, own);
    let all = texts.iter().map(ways).collect::<Result<Vec<_>, _>>()?;
    Ok(chain::sheet(&chain::steps(&all).map_err(Fault::input)?, about))
}

/// The plan's items, all of them or those of one kind, by the plan's own rules unless others are asked for.
fn make_plan(kind: &str, path: &Path, asked: &SheetArgs, about: SheetOptions, own: &Overrides) -> Result<Sheet, Fault> {
    let plan = Plan::load(path).map_err(Fault::input)?;
    let unsaid = plan
        .items
        .iter()
        .flat_map(PlanItem::words)
        .filter(|word| word.said.is_none());
    questioned::ask(unsaid.map(|word| word.spelling.as_str()), own);
    if !matches!(kind, WHOLE | "boxes" | "chain" | "sort" | "dictation") || !asked.words.is_empty() {
        return Err(Fault::input(
            "--plan takes its words from the plan: give no words, and none of the kinds but boxes, chain, sort, dictation",
        ));
    }
    let rules = if asked.counting.any() {
        about.rules.clone()
    } else {
        plan.rules.clone()
    };
    let about = SheetOptions { rules, ..about };
    let made = match kind {
        WHOLE => crate::sheet::plan::sheet(&plan, &about, own),
        kind => crate::sheet::plan::apart(&plan, &about, own, |item| kind_of(item) == kind),
    };
    made.map_err(|e| Fault::input(format_args!("{}: {e}", path.display())))
}

fn kind_of(item: &PlanItem) -> &'static str {
    match item.content {
        Content::Chain(_) => "chain",
        Content::Boxes(_) => "boxes",
        Content::Sort(_) => "sort",
        Content::Dictation { .. } => "dictation",
    }
}

/// The shortest chain between two words of the common list.
fn make_found_chain(
    kind: &str,
    from: &str,
    to: &str,
    texts: &[String],
    about: &SheetOptions,
    own: &Overrides,
) -> Result<Sheet, Fault> {
    if kind != "chain" || !texts.is_empty() {
        return Err(Fault::input(
            "--chain FROM TO finds the words of a chain sheet itself; give no other words",
        ));
    }
    let graph = Graph::new(&store::word_list(Range::Common)?, &about.rules);
    let request = ChainRequest {
        from: Some(from.to_owned()),
        to: Some(to.to_owned()),
        ..ChainRequest::default()
    };
    let found = request.answer(&graph).found.map_err(Fault::input)?;
    let said = found
        .steps
        .into_iter()
        .map(|step| PlanWord::said_as(step.word, step.said));
    let chain = PlanItem::of(Content::Chain(said.collect()));
    crate::sheet::plan::item(&chain, about, own).map_err(Fault::input)
}

fn spell_all(texts: &[String], rules: &Rules, own: &Overrides) -> Result<Vec<SheetWord>, Fault> {
    let one = |text: &String| ways(text, rules, own).map(|mut all| all.swap_remove(0));
    texts.iter().map(one).collect()
}

/// Every way of saying a word that was typed; the one behind it alone, where one stands there (`read:R-EH-D`). At least one.
fn ways(text: &str, rules: &Rules, own: &Overrides) -> Result<Vec<SheetWord>, Fault> {
    let (word, meant) = typed::meant(text).map_err(Fault::input)?;
    let all = words::ways(word, rules, own).map_err(Fault::input)?;
    Ok(match meant {
        Some(said) => vec![words::spelled(&all[0].word, all[0].source, &said, rules)],
        None => all,
    })
}
