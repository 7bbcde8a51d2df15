//! `soundbead chain`: words, each one sound from the one before.

use std::hash::{BuildHasher, RandomState};
use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args};
use serde_json::{Value, json};
use soundbead_data::Rules;
use soundbead_data::chain::{Chain, Graph, Limits, NoChain, Range};

use super::{options, values};
use crate::answer::{names, rules_map};
use crate::fault::{Fault, one_line};
use crate::list::{self, Entry};
use crate::page::Page;
use crate::{links, store};

/// Words of a practice chain when nothing is said.
const USUAL: usize = 8;
/// Most words that can be asked for.
const MOST: usize = 200;

#[derive(Args)]
#[command(after_help = MORE, group = ArgGroup::new("limit").multiple(true))]
pub struct ChainArgs {
    /// The first word; with neither word a chain to practise with is made by the options alone
    from: Option<String>,
    /// The last word
    to: Option<String>,
    /// Exactly N words, the first and last counted; 8 of a chain to practise with when not given
    #[arg(long, value_name = "N", value_parser = values::number("a number of words", 2..=MOST))]
    length: Option<usize>,
    /// Words made of these sounds alone: --only "P IH EH G T"
    #[arg(long, value_name = "SOUNDS", group = "limit", value_parser = values::units)]
    only: Option<values::Units>,
    /// Where every change is: initial, medial, final or any; several with commas
    #[arg(long, value_name = "PLACE", group = "limit", value_parser = values::places)]
    change: Option<values::Places>,
    /// What every change is: swap, add, drop or any; several with commas
    #[arg(long, value_name = "KIND", group = "limit", value_parser = values::kinds)]
    kind: Option<values::Kinds>,
    /// Practises telling A from B: every other step swaps them, or every third; several with commas: "EH IH,S SH"
    #[arg(long, value_name = "A B", group = "limit", value_parser = values::contrasts)]
    contrast: Option<values::Contrasts>,
    /// Only vowels change
    #[arg(long, group = "limit")]
    vowels: bool,
    /// Only consonants beside a consonant come and go
    #[arg(long, group = "limit")]
    clusters: bool,
    /// Words spelled with these alone: --spelling "p,i,g,e,ck,a_e"
    #[arg(long, value_name = "LETTERS", group = "limit", value_parser = values::spellings)]
    spelling: Option<values::Spellings>,
    /// Every word has one of these sounds: --with-sound "SH"
    #[arg(long, value_name = "SOUNDS", group = "limit", value_parser = values::units)]
    with_sound: Option<values::Units>,
    /// Every word has one of these spellings: --with-spelling "ck,a_e"
    #[arg(long, value_name = "LETTERS", group = "limit", value_parser = values::spellings)]
    with_spelling: Option<values::Spellings>,
    /// Every word has one of these rows of sounds: --with-cluster "N T,S T"
    #[arg(long, value_name = "ROWS", group = "limit", value_parser = values::clusters)]
    with_cluster: Option<values::Clusters>,
    /// Every other step adds or drops one of these in a cluster: "N M NG" (wet, went), "L R" (back, black)
    #[arg(long, value_name = "SOUNDS", group = "limit", value_parser = values::units)]
    toggle: Option<values::Units>,
    /// Only the letters of the changed sound change: pig, peg; not kit, cat
    #[arg(long, group = "limit")]
    letters_stay: bool,
    /// Words of N syllables, or of N-M
    #[arg(long, value_name = "N", group = "limit", value_parser = values::syllables)]
    syllables: Option<values::Syllables>,
    /// Another chain for each N; the same N gives the same again
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::seed)]
    seed: Option<u64>,
    /// Where the words between come from: common (when not given), dictionary, or a file of your own words
    #[arg(long, value_name = "LIST")]
    words: Option<String>,
    /// Answers many, one `from<TAB>to` on a line of FILE
    #[arg(long, value_name = "FILE", conflicts_with = "from")]
    pairs: Option<PathBuf>,
    /// Every word of the list with its sounds, and no chain
    #[arg(long, conflicts_with_all = ["from", "pairs", "length", "limit", "seed"])]
    list: bool,
    #[command(flatten)]
    counting: options::Counting,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
A chain of words, each one sound from the one before it: swapped, added or
dropped. With FROM and TO a shortest one, or one of exactly N words; with FROM
alone, or neither, one for practice. No word comes twice. FROM and TO may be any
words. Without --seed, the commonest words stand between FROM and TO, and chance
draws otherwise. A sound that is the whole word is initial; an added sound is
sought in the longer word.

The common list: some 28,000 words that a child of 8 to 12 may meet, those that
stand in small letters in the SCOWL lists of size 35 with a Zipf frequency of
2.5 or more (size 60: 3.0), without names and short forms, and without unkind,
crude, sexual and violent words. `soundbead word WORD --block` keeps a word of
your choice out as well. All the ways in which the dictionary says a word count,
except those without stress where another has it. A file of your own has one
word on each line; # begins a remark.

The JSON answer: from, to, steps, seed, words, rules. A step has word, sounds,
units (sounds as they are counted), also (words said the same), ways (in how
many ways the word is said), source and change: null, or kind, place, at, from,
to and letters (from, to, and others: whether letters over other sounds change
too). Where there is none: steps null, error, and nearest, the nearest
chain there is; exit status 2, but 0 with --pairs, which answers every line. A
line of FILE that cannot be used is answered with id, the line, and error.

For example:
  $ soundbead chain pig peg
  ...
    pig  /pɪɡ/  p-ih-g
    peg  /pɛɡ/  p-eh-g   inside: /ɪ/ (i) to /ɛ/ (e)
  ...";

impl ChainArgs {
    /// Finds the chain, or lists what chains are made of.
    pub fn run(self, page: &mut Page) -> Result<(), Fault> {
        let rules = self.counting.rules()?;
        let limits = self.limits();
        if self.from.is_none() && self.pairs.is_none() && !self.list && limits.is_empty() {
            return Err(Fault::input(
                "missing: FROM (the word to start from), or options that say what to practise; see `soundbead help chain`",
            ));
        }
        let list = store::word_list(range(self.words.as_deref())?)?;
        let asker = Asker {
            graph: Graph::new(&list, &rules),
            limits,
            length: self.length,
            seed: self.seed,
            words: self.words.unwrap_or_else(|| "common".into()),
            rules,
        };
        match self.pairs {
            _ if self.list => asker.list(page, self.json),
            Some(file) => asker.pairs(page, &file),
            None => asker.one(page, self.from.as_deref(), self.to.as_deref(), self.json),
        }
    }

    fn limits(&self) -> Limits {
        Limits {
            sounds: self.only.clone().unwrap_or_default(),
            places: self.change.clone().unwrap_or_default(),
            kinds: self.kind.clone().unwrap_or_default(),
            contrasts: self.contrast.clone().unwrap_or_default(),
            spellings: self.spelling.clone().unwrap_or_default(),
            syllables: self.syllables.clone(),
            vowels: self.vowels,
            clusters: self.clusters,
            with_sounds: self.with_sound.clone().unwrap_or_default(),
            with_spellings: self.with_spelling.clone().unwrap_or_default(),
            with_clusters: self.with_cluster.clone().unwrap_or_default(),
            toggles: self.toggle.clone().unwrap_or_default(),
            letters: self.letters_stay,
            ..Limits::default()
        }
    }
}

/// The word list that `--words` names.
pub(super) fn range(name: Option<&str>) -> Result<Range, Fault> {
    match name.map(str::to_lowercase).as_deref() {
        None | Some("common") => Ok(Range::Common),
        Some("dictionary") => Ok(Range::Dictionary),
        Some(_) => {
            let path = Path::new(name.unwrap_or_default());
            Ok(Range::Given(list::texts(path, "one word")?))
        }
    }
}

/// The graph and everything that holds for each question to it.
struct Asker {
    graph: Graph,
    limits: Limits,
    length: Option<usize>,
    seed: Option<u64>,
    words: String,
    rules: Rules,
}

impl Asker {
    fn answer(&self, from: Option<&str>, to: Option<&str>, seed: u64) -> Result<Chain, NoChain> {
        let practice = || {
            self.graph
                .practice(from, self.length.unwrap_or(USUAL), &self.limits, seed)
        };
        match (from, to, self.length) {
            (Some(from), Some(to), None) => self.graph.shortest(from, to, &self.limits, seed),
            (Some(from), Some(to), Some(words)) => self.graph.exact(from, to, words, &self.limits, seed),
            _ => practice(),
        }
    }

    fn one(&self, page: &mut Page, from: Option<&str>, to: Option<&str>, json: bool) -> Result<(), Fault> {
        let chance = || RandomState::new().hash_one(0u8) % 1_000_000;
        let seed = self.seed.unwrap_or_else(|| if to.is_some() { 0 } else { chance() });
        let answer = self.answer(from, to, seed);
        if json {
            page.json(&self.object(from, to, seed, &answer))?;
            page.flush()?;
        }
        match answer {
            Ok(chain) if !json => Ok(links::show(page, &chain, &self.rules, seed)?),
            Ok(_) => Ok(()),
            Err(none) => Err(Fault::input(none)),
        }
    }

    fn pairs(&self, page: &mut Page, file: &Path) -> Result<(), Fault> {
        for Entry { line, text } in list::read(file, "`from<TAB>to`")? {
            let object = match text.split_once('\t') {
                Some((from, to)) => {
                    let (from, to) = (from.trim(), to.trim());
                    let seed = self.seed.unwrap_or(0);
                    self.object(Some(from), Some(to), seed, &self.answer(Some(from), Some(to), seed))
                }
                None => {
                    let text = one_line(&text);
                    let error = format!("line {line}: found `{text}`, wanted two words with a tab between them");
                    json!({ "id": text, "error": error })
                }
            };
            page.json(&object)?;
        }
        Ok(())
    }

    fn object(&self, from: Option<&str>, to: Option<&str>, seed: u64, answer: &Result<Chain, NoChain>) -> Value {
        let mut object = json!({ "from": from, "to": to });
        match answer {
            Ok(chain) => object["steps"] = links::steps(chain),
            Err(none) => {
                object["steps"] = Value::Null;
                object["error"] = none.to_string().into();
                object["reason"] = none.why.to_string().into();
                let nearest = none.nearest.as_ref();
                object["nearest"] = nearest.map_or(
                    Value::Null,
                    |n| json!({ "is": none.nearest_is, "steps": links::steps(n) }),
                );
            }
        }
        object["seed"] = seed.into();
        object["words"] = self.words.clone().into();
        object["rules"] = rules_map(&self.rules).into();
        object
    }

    fn list(&self, page: &mut Page, json: bool) -> Result<(), Fault> {
        for (spelled, units) in self.graph.words() {
            if json {
                let units: Vec<String> = units.iter().map(links::arpabet).collect();
                page.json(&json!({ "word": spelled.word, "sounds": names(spelled.said.sounds()), "units": units, "zipf": spelled.zipf }))?;
            } else {
                page.line(&format!("{}\t{}", spelled.word, names(spelled.said.sounds()).join(" ")))?;
            }
        }
        Ok(())
    }
}
