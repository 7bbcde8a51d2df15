//! What verdicts, counting rules, cautions and units are called: one wording for the command line, the window, the report
//! and the sheets. The rules' own words stand beside the rules, in the data.

mod choices;
pub mod misspelling;

use jiff::civil::Date;
use soundbead_data::Rules;
use soundbead_data::miscount::{Before, Month};
use soundbead_dsp::judgement::{Speaking, Verdict};

use crate::notebook::progress::{CountedAgain, LastSeen, SoundFared};
use crate::notebook::{Attempt, Goal, Help, IMPORTED, Moment, Note, NoteBody, NoteSubject, WritingSource, is_imported};
use crate::say::many;

pub use choices::{choice_in_short, choice_title};

/// Letters of a note that are shown in a lesson: a line and a half.
const NOTE: usize = 160;

/// What a verdict is called in each place where it stands.
pub struct VerdictWords {
    /// The verdict.
    pub verdict: Verdict,
    /// In a list or on a button: `a sound fewer`.
    pub short: &'static str,
    /// In a sentence: `fewer sounds than the word has`.
    pub full: &'static str,
    /// As the choice of a person who listened with a child: `A sound missing`.
    pub ruling: &'static str,
    /// As a sentence to the parent. It never says that a child was wrong.
    pub to_parent: &'static str,
}

/// Every verdict, in the order of [`Verdict::ALL`].
pub const VERDICTS: [VerdictWords; 5] = [
    VerdictWords {
        verdict: Verdict::Same,
        short: "own sounds",
        full: "the word's own sounds",
        ruling: "All its sounds",
        to_parent: "The recording has the word's own sounds.",
    },
    VerdictWords {
        verdict: Verdict::Fewer,
        short: "a sound fewer",
        full: "fewer sounds than the word has",
        ruling: "A sound missing",
        to_parent: "The recording seems to have a sound fewer. Listen together.",
    },
    VerdictWords {
        verdict: Verdict::More,
        short: "a sound more",
        full: "more sounds than the word has",
        ruling: "A sound added",
        to_parent: "The recording seems to have a sound more. Listen together.",
    },
    VerdictWords {
        verdict: Verdict::Changed,
        short: "a sound changed",
        full: "as many sounds, but one is another",
        ruling: "Another sound",
        to_parent: "One sound seems to be another. Listen together.",
    },
    VerdictWords {
        verdict: Verdict::Unsure,
        short: "unsure",
        full: "unsure",
        ruling: "Cannot tell",
        to_parent: "The recording does not settle it. Your ear decides.",
    },
];

/// What a verdict is called.
pub fn verdict(verdict: Verdict) -> &'static VerdictWords {
    let at = Verdict::ALL.iter().position(|v| *v == verdict).unwrap_or(0);
    &VERDICTS[at]
}

/// How sure a probability makes a verdict.
pub fn sureness(probability: f32) -> &'static str {
    match probability {
        p if p >= 0.95 => "sure",
        p if p >= 0.8 => "fairly sure",
        _ => "leaning that way",
    }
}

/// Whether and when a child was helped with a word.
pub fn help(help: Help) -> &'static str {
    match help {
        Help::None => "without help",
        Help::AfterFirst => "help after the first try",
        Help::BeforeFirst => "with help",
    }
}

/// Where something was written.
pub fn writing_source(source: WritingSource) -> &'static str {
    match source {
        WritingSource::Dictation => "dictation",
        WritingSource::Paper => "paper",
        WritingSource::Boxes => "lesson boxes",
    }
}

/// How a word was said.
pub fn speaking(speaking: Speaking) -> &'static str {
    match speaking {
        Speaking::Whole => "said whole",
        Speaking::Stretched => "drawn out",
        Speaking::Separate => "sound by sound",
    }
}

/// Which rules made the counts, each by its name.
pub fn rules_in_full(rules: &Rules) -> String {
    let set = rules
        .set_name()
        .map_or("rules of your own".to_owned(), |name| format!("the {name} rules"));
    format!("Counted by {set}: {rules}.")
}

/// The same for people who do not know the rules' names: each with its example and what it is counted as.
pub fn rules_in_words(rules: &Rules) -> String {
    let set = rules
        .set_name()
        .map_or("rules of your own".to_owned(), |name| format!("the {name} rules"));
    let each = Rules::about().iter().zip(rules.iter());
    let each: Vec<String> = each
        .map(|(info, (_, value))| {
            format!(
                "{} ({}): {}",
                info.title,
                info.example,
                info.choice(value).to_lowercase()
            )
        })
        .collect();
    format!("Counted by {set}. {}.", each.join("; "))
}

/// The same in a few words: only what differs from the usual rules.
pub fn rules_in_short(rules: &Rules) -> String {
    if let Some(name) = rules.set_name() {
        return format!("Counted by the {name} rules.");
    }
    let usual = Rules::default();
    let values = Rules::about().iter().zip(rules.iter()).zip(usual.iter());
    let changed = values.filter(|((_, now), usual)| now.1 != usual.1);
    let each = changed.map(|((info, now), _)| format!("{}: {}", info.title, info.choice(now.1).to_lowercase()));
    format!(
        "Counted by the phoneme rules, but {}.",
        each.collect::<Vec<_>>().join(", ")
    )
}

/// What is said where words were counted by other rules than the learner's.
pub fn recounted(words: u64) -> String {
    let were = if words == 1 {
        "1 word was".to_owned()
    } else {
        format!("{words} words were")
    };
    format!("{were} counted by other rules at the time; here all are counted by the learner's rules as they are now.")
}

/// Fewest different words after the day on which a pattern was seen last, for it to be called not seen since.
const LEAST_SINCE: usize = 3;

/// What is said of a pattern that is past: `so until October 2026 (7 of 9 words); not seen since, at 12 words`. Where it was seen
/// now and then after those months, the day on which it was seen last decides.
pub fn before(before: &Before, last: Option<&LastSeen>) -> String {
    let then = format!(
        "so until {} ({} of {})",
        month(before.until),
        before.seen,
        many(before.words, "word")
    );
    let words = many(before.words_since, "word");
    match (before.words_since, before.seen_since) {
        (0, _) => format!("{then}; no such words counted since"),
        (1..=2, _) => format!("{then}; too few such words since to say ({words})"),
        (_, 0) => format!("{then}; not seen since, at {words}"),
        (_, seen) => match last {
            Some(last) if last.words >= LEAST_SINCE => format!(
                "{then}; seen last on {}, and not since, at {} of {}",
                last.day.strftime("%-d %B %Y"),
                if last.tries == 1 {
                    "1 try".to_owned()
                } else {
                    format!("{} tries", last.tries)
                },
                many(last.words, "word")
            ),
            _ => {
                let day = last.map_or(String::new(), |l| {
                    format!(", the last time on {}", l.day.strftime("%-d %B %Y"))
                });
                format!(
                    "{then}; since then seen in {seen} of {words}{day}, which by itself does not show that it goes on"
                )
            }
        },
    }
}

/// What is said besides of a choice whose words were not the same the first time as the latest: `, 1 the first time`.
pub fn kept_first(kept: usize, first: usize) -> String {
    match kept == first {
        true => String::new(),
        false => format!(", {first} the first time"),
    }
}

/// What a note is on, in plain letters: `the sound th`, `the word moth`.
pub fn note_subject(on: &NoteSubject) -> String {
    match on {
        NoteSubject::Sound(sound) => format!("the sound {}", soundbead_data::inventory::of(*sound).shown()),
        other => other.to_string(),
    }
}

/// An attempt that a note is on: `moth as said on 3 November 2026`.
pub fn said_on(attempt: Option<&Attempt>) -> String {
    attempt.map_or("one attempt that is not here any more".to_owned(), |a| {
        format!("{} as said on {}", a.word, a.day.strftime("%-d %B %Y"))
    })
}

/// What came after a note, a line each: the moment that it points at, answers, and what settled it.
pub fn after_note(body: &NoteBody) -> Vec<String> {
    let day = |at: Moment| at.day().strftime("%-d %B %Y").to_string();
    let moment = body.moment.map(|moment| {
        let (from, to) = moment.seconds();
        format!("In the recording from {from:.1} to {to:.1} s.")
    });
    let answers = body.answers.iter();
    let answers = answers.map(|a| format!("The {}, {}: {}", a.by, day(a.at), a.text));
    let settled = body.settled.iter();
    let settled = settled.map(|s| format!("Settled by the {}, {}: {}", s.by, day(s.at), s.evidence));
    moment.into_iter().chain(answers).chain(settled).collect()
}

/// A note in one line, for whoever leads a lesson: `A note on the sound th (consultant): tongue at the teeth, at the start.`
pub fn noted(note: &Note) -> String {
    let text: String = note.body.text.split_whitespace().collect::<Vec<_>>().join(" ");
    let parts: Vec<String> = [note.body.in_a_line(), text]
        .into_iter()
        .filter(|p| !p.is_empty())
        .collect();
    let said = parts.join(". ");
    let short: String = said.chars().take(NOTE).collect();
    let more = if short.len() < said.len() { "…" } else { "" };
    // What the other person found is as much worth as the note.
    let answer = note.body.answers.last().map_or(String::new(), |a| {
        let text: Vec<&str> = a.text.split_whitespace().collect();
        format!(" The {} answered: {}", a.by, text.join(" "))
    });
    format!(
        "A note on {} ({}): {}{more}{answer}",
        note_subject(&note.on),
        note.author,
        short.trim_end()
    )
}

/// Days without a lesson from which on the desk says so: three weeks are more than a holiday of one.
const LONG_GAP: i32 = 21;

/// What a lesson was to be about, told as a plan: nobody need have come to all of it. None where nothing was planned; what was recorded
/// before and brought in is named as that.
pub fn planned(plan: &str) -> Option<String> {
    match plan.trim() {
        "" => None,
        imported if is_imported(imported) => Some(IMPORTED.to_owned()),
        plan => Some(format!("planned: {plan}")),
    }
}

/// How long ago a last lesson was, where that is long: `no lesson for 26 weeks`.
pub fn long_gap(last: Date, today: Date) -> Option<String> {
    let days = last.until(today).ok()?.get_days();
    (days >= LONG_GAP).then(|| format!("no lesson for {} weeks", days / 7))
}

/// A day for people, short: `20 Dec 2026`.
pub fn short_day(day: Date) -> String {
    day.strftime("%-d %b %Y").to_string()
}

/// A day for people with its day of the week: `Tue 24 Nov 2026`.
pub fn week_day(day: Date) -> String {
    day.strftime("%a %-d %b %Y").to_string()
}

/// A goal in a line: `The sound th, by 20 Dec 2026, set by the consultant. To settle it: 9 of 10 words right.`
pub fn goal(goal: &Goal, today: Date) -> String {
    let body = &goal.body;
    let by = body.by.map_or(String::new(), |day| format!(", by {}", short_day(day)));
    let about = crate::say::capital(&body.about.to_string());
    let late = if body.is_late(today) {
        " (that day has passed)"
    } else {
        ""
    };
    let evidence = match body.evidence.is_empty() {
        true => String::new(),
        false => format!(" To settle it: {}.", body.evidence.trim_end_matches('.')),
    };
    match &body.settled {
        None => format!("{about}{by}{late}, set by the {}.{evidence}", goal.author),
        Some(settled) => format!(
            "{about}{by}: settled on {} by the {}. {}",
            short_day(settled.at.day()),
            settled.by,
            settled.evidence
        ),
    }
}

/// How a noted sound fared at one place: `at the start, without help: 4 of 5 as itself (thin 2 of 2, thumb 2 of 3)`.
pub fn fared(fared: &SoundFared) -> String {
    let words: Vec<String> = fared
        .words
        .iter()
        .map(|(word, share)| format!("{word} {} of {}", share.hits, share.of))
        .collect();
    let help = fared.cued.map_or("help not known".to_owned(), |cued| cued.to_string());
    let at = format!("{}, {help}", fared.place);
    let told = match fared.said.of {
        0 => None,
        of => Some(format!("{} of {of} as itself ({})", fared.said.hits, words.join(", "))),
    };
    let named =
        |what: &str, words: &[(String, u64)]| (!words.is_empty()).then(|| format!("{what}: {}", and_how_often(words)));
    let rest = [
        named("heard, but not told", &fared.untold),
        named("not judged yet", &fared.unjudged),
    ];
    let parts: Vec<String> = told.into_iter().chain(rest.into_iter().flatten()).collect();
    format!("{at}: {}", parts.join("; "))
}

/// `thin, thumb 2 times`.
fn and_how_often(words: &[(String, u64)]) -> String {
    let each = words.iter().map(|(word, times)| match times {
        1 => word.clone(),
        n => format!("{word} {n} times"),
    });
    each.collect::<Vec<_>>().join(", ")
}

/// Days from the first to the last, with no more said twice than is needed: `2 to 26 November 2026`.
pub fn days(first: Date, last: Date) -> String {
    let end = last.strftime("%-d %B %Y");
    match (first.year() == last.year(), first.month() == last.month()) {
        _ if first == last => end.to_string(),
        (true, true) => format!("{} to {end}", first.day()),
        (true, false) => format!("{} to {end}", first.strftime("%-d %B")),
        _ => format!("{} to {end}", first.strftime("%-d %B %Y")),
    }
}

/// What came after first counts that missed. First tries are what is counted everywhere else.
pub fn again(again: &CountedAgain) -> String {
    let shown = match again.shown {
        0 => String::new(),
        shown => format!("; in {shown} the program showed the count"),
    };
    format!(
        "First tries are counted. Of {} that missed, {} came again after a hint, and {} of these right{shown}.",
        again.missed, again.again, again.right
    )
}

/// `October 2026`.
pub fn month(month: Month) -> String {
    let names = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let name = usize::try_from(month.month() - 1).ok().and_then(|at| names.get(at));
    format!("{} {}", name.unwrap_or(&""), month.year())
}

/// What stands wherever a verdict is shown on the command line and on paper.
pub const CAUTION: &str = "A teaching aid, not a test of speech or hearing. If a child's speech or hearing worries you, \
                           ask a speech-language pathologist or an audiologist.";

/// The same in the window, where a parent has just listened.
pub const CAUTION_BESIDE_EAR: &str = "A teaching aid, not a test of speech or hearing. Where your ear and the program \
     differ, trust your ear. If a child's speech worries you, ask a speech-language pathologist; if hearing does, an \
     audiologist.";

/// The same at the foot of a report's pages.
pub const CAUTION_FOOT: &str = "A teaching aid: not an assessment of speech, hearing or learning.";

/// The same at the end of a report.
pub const CAUTION_REPORT: &str = "This is a teaching aid. It is not an assessment of speech, hearing or learning, and \
     nothing in it is a diagnosis. If a child's speech worries you, ask a speech-language pathologist; if the hearing does, \
     an audiologist; if reading or spelling stays hard in spite of good teaching, the school's specialists or a psychologist.";

/// What is said of a word whose sounds are a guess.
pub fn guess_note(word: &str) -> String {
    format!(
        "`{word}` is not in the dictionary: its sounds are a guess from its letters. `soundbead help word` says how to \
         put them right."
    )
}

/// A probability for people. Nothing heard is ever quite certain, nor quite out of the question.
pub fn per_cent(p: f32) -> String {
    match p {
        p if p > 0.99 => "> 99 %".to_owned(),
        p if p < 0.01 => "< 1 %".to_owned(),
        p => format!("{:.0} %", p * 100.0),
    }
}

/// A probability within a sentence: `97 in 100`.
pub fn in_hundred(p: f32) -> String {
    match p {
        p if p > 0.99 => "more than 99 in 100".to_owned(),
        p => format!("{:.0} in 100", p * 100.0),
    }
}

/// How good a recording is: `0.61 s of speech, 42 dB above the room's noise`.
pub fn recording(speech_s: f32, snr_db: Option<f32>) -> String {
    let noise = snr_db.map_or(String::new(), |snr| format!(", {snr:.0} dB above the room's noise"));
    format!("{speech_s:.2} s of speech{noise}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_verdict_and_every_rule_has_its_words() {
        assert!(Verdict::ALL.into_iter().all(|v| verdict(v).verdict == v));
        for info in Rules::about() {
            assert_eq!(info.values.len(), info.choices.len(), "{}", info.name);
            assert!(!info.title.is_empty() && !info.title.contains('_'), "{}", info.name);
        }
    }

    #[test]
    fn nothing_is_said_to_be_certain_or_impossible() {
        let said = [1.0, 0.991, 0.99, 0.5, 0.01, 0.0099, 0.0].map(per_cent);
        assert_eq!(said, ["> 99 %", "> 99 %", "99 %", "50 %", "1 %", "< 1 %", "< 1 %"]);
    }

    #[test]
    fn rules_are_told_by_what_differs() {
        let mut rules = Rules::default();
        assert_eq!(rules_in_short(&rules), "Counted by the phoneme rules.");
        rules.set("x", "one").unwrap();
        assert_eq!(
            rules_in_short(&rules),
            "Counted by the phoneme rules, but The letter x: one sound."
        );
        assert!(rules_in_full(&rules).contains("rules of your own") && rules_in_full(&rules).contains("x=one"));
    }
}
