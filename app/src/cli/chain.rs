//! `soundbead chain`: words, each one sound from the one before.

use std::path::{Path, PathBuf};

use clap::{ArgGroup, Args};
use serde_json::{Value, json};
use soundbead_data::chain::{Graph, Limits, Range};

use super::{options, questioned, values};
use crate::answer::{names, rules_map};
use crate::ask::chain::{ChainAnswer, ChainRequest, WORDS};
use crate::fault::{Fault, Unusable, one_line};
use crate::list::{self, ListEntry};
use crate::page::{OutputPage, TextTone};
use crate::{links, store, typed};

#[derive(Args)]
#[command(after_help = MORE, group = ArgGroup::new("limit").multiple(true))]
pub struct ChainArgs {
    /// The first word; with neither word a chain to practice with is made by the options alone
    from: Option<String>,
    /// The last word
    to: Option<String>,
    /// Exactly N words, the first and last counted; 8 of a chain to practice with when not given
    #[arg(long, value_name = "N", value_parser = values::number("a number of words", WORDS))]
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
    /// Practices telling A from B: every other step swaps them, or every third; several with commas: "EH IH,S SH"
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
    spelling: Option<values::SpellingValues>,
    /// Every word has one of these sounds: --with-sound "SH"
    #[arg(long, value_name = "SOUNDS", group = "limit", value_parser = values::units)]
    with_sound: Option<values::Units>,
    /// Every word has one of these spellings: --with-spelling "ck,a_e"
    #[arg(long, value_name = "LETTERS", group = "limit", value_parser = values::spellings)]
    with_spelling: Option<values::SpellingValues>,
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
    counting: options::CountingArgs,
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
sought in the longer word. Of a word that is said in two ways either may stand,
unless one stands behind it: wind:W-AY-N-D.

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
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let rules = self.counting.rules()?;
        let limits = self.limits();
        if self.from.is_none() && self.pairs.is_none() && !self.list && limits.is_empty() {
            return Err(Fault::input(
                "missing: FROM (the word to start from), or options that say what to practice; see `soundbead help chain`",
            ));
        }
        let list = store::word_list(range(self.words.as_deref())?)?;
        let asker = Asker {
            graph: Graph::new(&list, &rules),
            words: self.words.unwrap_or_else(|| "common".into()),
        };
        let request = ChainRequest {
            from: self.from,
            to: self.to,
            words: self.length,
            limits,
            seed: self.seed,
        };
        let own = store::overrides()?;
        let ends = || [&request.from, &request.to].into_iter().flatten();
        for end in ends() {
            typed::meant(end).map_err(Fault::input)?;
        }
        let named = || ends().map(String::as_str).filter(|end| !end.contains(':'));
        questioned::ask(named(), &own);
        let ways = questioned::way_lines(named(), &own, questioned::WhichTaken::Either);
        match self.pairs {
            _ if self.list => asker.list(page, self.json),
            Some(file) => asker.pairs(page, &file, &request),
            None => asker.one(page, &request, self.json, &ways),
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
            let words = list::texts(path, "one word")?;
            questioned::ask(words.iter().map(String::as_str), &store::overrides()?);
            Ok(Range::Given(words))
        }
    }
}

/// The graph, and the name of its words.
struct Asker {
    graph: Graph,
    words: String,
}

impl Asker {
    /// Answers one request; `ways` are told below the chain, where a person reads it.
    fn one(&self, page: &mut OutputPage, request: &ChainRequest, json: bool, ways: &[String]) -> Result<(), Fault> {
        let answer = request.answer(&self.graph);
        if json {
            page.json(&self.object(request, &answer))?;
            page.flush()?;
        }
        let chain = answer.found.map_err(Fault::input)?;
        if json {
            return Ok(());
        }
        links::show(page, &chain, &answer.rules)?;
        for line in ways {
            page.paragraph(0, line)?;
        }
        let again = match answer.seed {
            0 => "--seed 1 draws another.".to_owned(),
            seed => format!("--seed {seed} gives the same again."),
        };
        Ok(page.line(&page.tone(TextTone::Quiet, &again))?)
    }

    /// Answers every line, whatever stands on it.
    fn pairs(&self, page: &mut OutputPage, file: &Path, request: &ChainRequest) -> Result<(), Fault> {
        let lines = list::read(file, "`from<TAB>to`")?;
        let words = lines.iter().flat_map(|entry| entry.text.split('\t'));
        questioned::ask(words, &store::overrides()?);
        for ListEntry { line, text } in lines {
            let Some((from, to)) = text.split_once('\t') else {
                let text = one_line(&text);
                let error = format!("line {line}: found `{text}`, wanted two words with a tab between them");
                page.json(&Unusable { id: text.into(), error })?;
                continue;
            };
            let request = ChainRequest {
                from: Some(from.trim().to_owned()),
                to: Some(to.trim().to_owned()),
                ..request.clone()
            };
            page.json(&self.object(&request, &request.answer(&self.graph)))?;
        }
        Ok(())
    }

    fn object(&self, request: &ChainRequest, answer: &ChainAnswer) -> Value {
        let mut object = json!({ "from": request.from, "to": request.to });
        match &answer.found {
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
        object["seed"] = answer.seed.into();
        object["words"] = self.words.clone().into();
        object["rules"] = rules_map(&answer.rules).into();
        object
    }

    fn list(&self, page: &mut OutputPage, json: bool) -> Result<(), Fault> {
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
