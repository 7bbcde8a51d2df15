//! `soundbead help`, and the page of each command.

mod notebook;

use super::COMMANDS;
use super::args::{self, Given, Next};
use crate::fault::{Fault, nearest, one_line};
use crate::page::{Page, Tone};

/// Shows the page of the command that is named, or the overview.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let mut name = None;
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(value) if name.is_none() => name = Some(args::text_of("help", value)?),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
    }
    let Some(name) = name else {
        return self::page(page, None);
    };
    let found = COMMANDS.iter().map(|(c, _)| *c).find(|c| *c == name);
    match found {
        Some(command) => self::page(page, Some(command)),
        None => {
            let hint = nearest(&name, COMMANDS.iter().map(|(c, _)| *c))
                .map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
            let name = one_line(&name);
            Err(Fault::input(format_args!(
                "there is no command `{name}`{hint}; `soundbead help` lists the commands"
            )))
        }
    }
}

/// The page of a command, or the overview of all.
pub fn page(page: &mut Page, command: Option<&str>) -> Result<(), Fault> {
    match command {
        Some(name) => Ok(text(name).lines().try_for_each(|line| page.line(line))?),
        None => overview(page),
    }
}

fn overview(page: &mut Page) -> Result<(), Fault> {
    page.line("soundbead COMMAND ...")?;
    page.line("")?;
    for (name, what) in COMMANDS {
        page.line(&format!("  {} {what}", page.tone(Tone::Strong, &format!("{name:9}"))))?;
    }
    page.line("")?;
    Ok(OVERVIEW.lines().try_for_each(|line| page.line(line))?)
}

const OVERVIEW: &str = "\
`soundbead` alone opens the window.
`soundbead help COMMAND`, or --help after any command, shows its page.
`soundbead --version` shows the version.

Sounds are written in ARPAbet (P IH G); `soundbead sounds` lists them.
With --json an answer is one JSON object on a line of standard output, and
anything else that must be said goes to standard error.
Exit status: 0 done; 2 something given cannot be used (one line says what, where
and what to do); 1 the program itself failed.
Recordings: WAV, FLAC, MP3, Ogg Vorbis, M4A; 8 to 192 kHz; any channels.
The environment: SOUNDBEAD_HOME, the folder for what is remembered; NO_COLOR, to
leave colour out. Nothing is ever sent anywhere: there is no network code.";

fn text(command: &str) -> &'static str {
    match command {
        "count" => COUNT,
        "batch" => BATCH,
        "compare" => COMPARE,
        "word" => WORD,
        "sheet" => SHEET,
        "boxes" => BOXES,
        "sort" => SORT,
        "parts" => PARTS,
        "chain" => CHAIN,
        "vowel" => VOWEL,
        "learner" => notebook::LEARNER,
        "attempts" => notebook::ATTEMPTS,
        "note" => notebook::NOTE,
        "progress" => notebook::PROGRESS,
        "report" => notebook::REPORT,
        "handover" => notebook::HANDOVER,
        "export" => notebook::EXPORT,
        "demo" => DEMO,
        "sounds" => SOUNDS,
        "rules" => RULES,
        _ => HELP,
    }
}

const COUNT: &str = r#"soundbead count AUDIO [--word WORD] [--sounds "P IH G"]
                [--speaking whole|stretched|separate] [--rule NAME=VALUE ...]
                [--rules SET] [--learner NAME [--counted N]] [--json]

Counts the sounds in a recording of one word, and says whether they are the
word's own.

  --word WORD       the word that was to be said; its sounds come from the
                    dictionary, from you, or from a guess that is called one
  --sounds "P IH G" its sounds, where the dictionary's are not meant
  --speaking HOW    whole: said as usual (when nothing is given)
                    stretched: each sound held, sss-uuu-nnn
                    separate: sound by sound, with gaps
  --rule NAME=VALUE a counting rule; may be given many times
  --rules SET       a set of rules: phoneme (when nothing is given) or phonics
  --learner NAME    keep the attempt and its recording in the notebook
  --counted N       the child's own count, to be kept with it
  --json            the answer as one JSON object

With neither --word nor --sounds the count is blind: far less sure.

The JSON answer:
  id                     the recording
  word, speaking         as asked
  expected               sounds expected by the rules; null when blind
  expected_sounds        the pronunciation that fits best; null when blind
  heard                  the most probable count
  count_probabilities    how probable each count is
  verdict                same, fewer, more, changed or unsure; null when blind
  fit                    how probable each of the four readings is
  sounds                 each sound with start_s, end_s (seconds from the start
                         of the file) and evidence, 0 to 1
  quality                level_dbfs, snr_db, clipped, speech_s, warnings
  rules                  the rules in force
  model                  the id of the model that judged"#;

const BATCH: &str = r#"soundbead batch MANIFEST.jsonl [--jobs N] [--speaking HOW]
                [--rule NAME=VALUE ...] [--rules SET] --json

Answers many questions, one JSON object a line, in the order of the manifest.

  --jobs N          threads; as many as there are processor cores when not given
  --speaking HOW    for lines that do not say (see `soundbead help count`)
  --rule, --rules   counting rules for every line (see `soundbead rules`)
  --json            the form of the answers; it is the only one, so it may be
                    left out

A manifest line:
  {"id": "a1", "audio": "pig.wav", "start_s": 0.0, "end_s": 1.2, "word": "pig",
   "sounds": ["P","IH","G"], "speaking": "whole", "rules": {"r_vowels": "one"}}
Only id and audio must be there. Paths start at the manifest's folder. start_s
and end_s cut a word out of a long file, which is decoded once; each end is
moved out to where the speech falls quiet, if that is near. Times in the answer
are seconds from the start of the file. With no word and no sounds the count is
blind. The answer is that of `soundbead count`.
  {"id": "a2", "audio": "pig.wav", "words": ["pig", "peg"]}
  {"id": "a3", "audio": "pig.wav", "choices": [["P","IH","G"], ["P","EH","G"]]}
ask which was said: {"id": "a2", "best": 0, "probabilities": [0.97, 0.03]}.
A line that cannot be used is answered {"id": ..., "error": "line 4, ..."} and
the rest go on. Fields of your own are passed over."#;

const COMPARE: &str = r#"soundbead compare AUDIO --words pig,peg [--rule NAME=VALUE ...] [--json]

Says which of several words was said.

  --words A,B,...   two or more words, with commas between them
  --rule, --rules   counting rules (see `soundbead rules`)
  --json            {"best": "pig", "probabilities": {"pig": 0.97, "peg": 0.03}}

The probabilities hold if one of the words was said; no other is thought of."#;

const WORD: &str = r#"soundbead word WORD [--rule NAME=VALUE ...] [--rules SET] [--json]
soundbead word WORD --set "P IH G"
soundbead word WORD --unset
soundbead word WORD --block | --unblock

Shows a word's sounds, its letters in sound boxes, its syllables, its count by
the rules in force and by each other rule, and where its sounds come from: the
dictionary, you, or a guess from its letters.

  --set "P IH G"    remember that your family says it so; stress may be marked
                    on the vowels, 1 main, 2 second, 0 none: "P IH0 K AA1 N"
  --unset           forget that again
  --block           keep this word out of chains and lists from now on; with a
                    star at its end all words that begin so. --unblock undoes it
  --rule, --rules   counting rules (see `soundbead rules`)
  --json            the answer as one JSON object

A split vowel is written a_e; a letter over two sounds is one box with both.
What you set is kept in pronunciations.txt in SOUNDBEAD_HOME, or in the folder
where your system keeps programs' data, what you block in blocked.txt there."#;

const BOXES: &str = r#"soundbead boxes WORD ... [--list FILE] [--rule NAME=VALUE ...] [--rules SET]
                [--json]

The sound boxes of many words: a box for each sound, the letters of each, and
the count by the rules in force. Boxes are of the first way in which the
dictionary says the word, or of your own way; a word that is guessed says so.

  --list FILE       takes the words from FILE, one on each line
  --rule, --rules   counting rules (see `soundbead rules`)
  --json            one JSON object a line: word, source, sounds, count, units
                    (sounds as they are counted), boxes (letters and sounds),
                    ways; a word that cannot be used has error in their place

`soundbead sheet boxes` prints them."#;

const SORT: &str = r#"soundbead sort [NAME] [--most N] [--syllables N] [--words LIST] [--json]

Sorts the words of the list by what decides a spelling. Without NAME it lists
the sorts. Each rule says how often it holds among the words of the list, and
its exceptions are shown; nothing is claimed that was not counted.

  --most N          words shown in a column, and exceptions of a rule; 12 when
                    not given. The commonest stand first. With --json all are
                    given unless this is set
  --syllables N     words of N syllables, or of N-M, are shown; rules are
                    weighed on all
  --words LIST      as for `soundbead chain`
  --json            name, title, words (how many were looked at), columns
                    (heading, count, words), others (what no column takes),
                    rules (when, then, holds, of, exceptions). A word has word,
                    letters and sounds

`ladders` are words of one syllable that differ in their vowel alone.
`soundbead sheet sort` prints columns of your choice."#;

const PARTS: &str = r#"soundbead parts [PART ...] [--json]

Lists common prefixes, bases and suffixes of Anglo-Saxon, Latin and Greek
descent. With a PART (un, ion, port) it shows sums with it: the word that
comes out, what the spelling does where the parts meet, and which sounds of the
base change, as the dictionary has them.

  --json            one JSON object a line: form, origin, meaning, sums (parts,
                    word, joins, base_heard with changes and stress_moves; null
                    where no part is a word by itself)"#;

const CHAIN: &str = r#"soundbead chain FROM [TO] [--length N] [--only SOUNDS]
                [--change initial|medial|final|any] [--kind swap|add|drop|any]
                [--contrast "EH IH"] [--vowels] [--clusters]
                [--spelling LETTERS] [--syllables N] [--seed N] [--words LIST]
                [--json]
soundbead chain --pairs FILE [the same options] --json
soundbead chain --list [--words LIST] --json

A chain of words, each one sound from the one before it: swapped, added or
dropped. With FROM and TO a shortest one, or one of exactly N words; with FROM
alone, or neither, one of N words (8 when not given) for practice. No word comes
twice. FROM and TO may be any words; those between come from the list.

  --length N        exactly N words, the first and last counted
  --only SOUNDS     words made of these sounds alone: --only "P IH EH G T"
  --change PLACE    every change at the start, inside or at the end of the word;
                    several with commas. A sound that is the whole word is
                    initial; an added sound is sought in the longer word
  --kind KIND       swap, add or drop; several with commas
  --contrast "A B"  practise telling A from B: every other step swaps them, or
                    every third; several with commas: "EH IH,S SH"
  --vowels          only vowels change
  --clusters        only consonants beside a consonant come and go
  --spelling LIST   words spelled with these alone: --spelling "p,i,g,e,ck,a_e"
  --syllables N     words of N syllables, or of N-M
  --seed N          another chain for each N; the same N gives the same again.
                    Not given: the commonest words between FROM and TO, chance
                    otherwise
  --words LIST      common (when not given): some 28,000 words that a child of 8
                    to 12 may meet; dictionary: every word of the dictionary;
                    or a file of your own words, one on each line
  --pairs FILE      answers many, one `from<TAB>to` on a line of FILE
  --list            every word of the list with its sounds, and no chain
  --rule, --rules   counting rules decide what one sound is (`soundbead rules`)
  --json            one JSON object a line

The common list: words that stand in small letters in the SCOWL lists of size 35
with a Zipf frequency of 2.5 or more (size 60: 3.0), without names and short
forms, and without unkind, crude, sexual and violent words. `soundbead word WORD
--block` keeps a word of your choice out as well. All the ways in which the
dictionary says a word count, except those without stress where another has it.

The JSON answer: from, to, steps, seed, words, rules. A step has word, sounds,
units (sounds as they are counted), also (words said the same), ways (in how
many ways the word is said), source and change: null, or kind, place, at, from,
to and letters. Where there is none: steps null, error, and nearest, the nearest
chain there is; exit status 2, but 0 with --pairs, which answers every line."#;

const SHEET: &str = r#"soundbead sheet KIND [WORD ...] [--list FILE] --out FILE.pdf|FILE.svg
                [--key] [--paper letter|a4] [--title TEXT] [--force]
                [--rule NAME=VALUE ...] [--rules SET]
soundbead sheet [KIND] --plan FILE --out FILE ...
soundbead sheet --chain FROM TO --out FILE ...

Makes a sheet to print, for the child to write on.

  boxes             one box a sound, for the letters, and a line for the word
  chain             words one sound apart, in their order; the child writes them
                    and what changed
  sort              columns to sort words into: one name that `soundbead sort`
                    lists, or columns of your own, each HEADING=word,word
  dictation         numbered lines; what has a space in it is a sentence
  vowels            all vowels, where talkers were measured to make them
  consonants        all consonants, by where and how they are made
  card              a page on each sound that is named (TH, /θ/ or th)

  --out FILE        where to write it: .pdf, or .svg with one file a page
                    (sheet-1.svg, sheet-2.svg)
  --key             the answers too, on pages of their own at the end
  --list FILE       words from a text file, one a line; # begins a remark
  --plan FILE       everything in a lesson's plan, or its items of
                    one KIND, by the plan's own counting rules
  --chain FROM TO   the shortest chain from one word to another
  --paper SIZE      letter (when nothing is given) or a4
  --title TEXT      a heading of your own
  --most N          words in each column of a sort; 6 when not given
  --sentences N     N sentences made of the dictation's words; --seed N gives
                    others
  --voice WHO       whose vowels: child (when nothing is given), woman or man
  --force           replace a file that is there; without it none is touched
  --rule, --rules   counting rules (see `soundbead rules`); they stand at the
                    foot of every page"#;

const VOWEL: &str = r#"soundbead vowel AUDIO [--voice child|woman|man] [--json]

Measures a vowel that is held: pitch (F0) and the first three resonances of the
mouth (formants F1 to F3), and which vowels of English they are nearest to.

  --voice WHO       whose voice it is; child when not given
  --json            medians, tracks and the nearest vowels

How near it is to each is the probability among twelve vowels as talkers of that
group say them: Hillenbrand, Getty, Clark and Wheeler (1995), J. Acoust. Soc.
Am. 97, 3099-3111.
Formants of high voices are hard to measure: take them as a rough guide."#;

const DEMO: &str = r#"soundbead demo [--folder FOLDER] [--rule NAME=VALUE ...] [--rules SET]

Goes through the recordings of recordings-demo, spoken by machine voices, and
shows for each what was really made, what was expected and heard, where each
sound lies, how sure the program is, and whether it is right.

  --folder FOLDER   where the recordings and their manifest.jsonl are, when they
                    are not found beside the program or here
  --rule, --rules   counting rules (see `soundbead rules`)"#;

const SOUNDS: &str = r#"soundbead sounds [SOUND ...] [--json]

Lists the sounds of General American English: ARPAbet, IPA, a plain spelling,
words that have it, and how it is made. With a SOUND (TH, /θ/ or th) it tells
how to make it and which sound it is most often mixed up with."#;

const RULES: &str = r#"soundbead rules [--rule NAME=VALUE ...] [--rules SET] [--json]

Lists the rules by which sounds are counted, with the reason for each, and marks
those in force."#;

const HELP: &str = r#"soundbead help [COMMAND]

Shows all commands, or the page of one."#;
