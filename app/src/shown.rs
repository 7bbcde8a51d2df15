//! A judgement in words and a picture, for people.

use std::io;

use soundbead_data::word::Source;
use soundbead_data::{Rules, inventory};
use soundbead_dsp::judgement::{Judgement, Speaking, Verdict};
use soundbead_dsp::voice::Warning;

use crate::page::{Page, Tone, WIDTH, fold, fold_keeping, pad};
use crate::say;
use crate::strip::{self, Piece};

/// A judgement and what it is about.
pub struct Heard<'a> {
    /// The word that was asked about, if one was.
    pub word: Option<&'a str>,
    /// Where its sounds come from.
    pub source: Option<Source>,
    /// What the ear found.
    pub judgement: &'a Judgement,
    /// The rules that counted.
    pub rules: &'a Rules,
}

/// The whole answer to one question.
pub fn full(page: &mut Page, name: &str, heard: &Heard) -> io::Result<()> {
    let judgement = heard.judgement;
    let title = page.tone(Tone::Strong, heard.word.unwrap_or("(no word given)"));
    page.line(&format!("{title}, {}: {name}", spoken(judgement.speaking)))?;
    page.line("")?;
    rows(page, heard)?;
    recording(page, judgement)?;
    page.line("")?;
    picture(page, judgement)?;
    if let Some(said) = listen_for(judgement) {
        page.paragraph(0, said)?;
    }
    if heard.source == Some(Source::Guess) {
        page.paragraph(0, &guess_note(heard.word.unwrap_or_default()))?;
    }
    page.paragraph(0, &rules_line(heard.rules))?;
    caution(page)
}

/// What was expected, what was heard, the verdict and how sure it is: a line each.
pub fn rows(page: &mut Page, heard: &Heard) -> io::Result<()> {
    let judgement = heard.judgement;
    if let Some(expected) = judgement.expected {
        let said = say::with_stress(heard.word, &judgement.expected_sounds);
        let written = say::Written::new(heard.word.unwrap_or_default(), said, heard.rules);
        let text = format!("{}   {}   {}", count(expected), written.arpabet(), written.both(page));
        row(page, "expected", &text)?;
    }
    row(
        page,
        "heard",
        &format!("{}   {}", count(judgement.heard), spread(judgement)),
    )?;
    let Some(verdict) = judgement.verdict else {
        return row(page, "verdict", "none: no word was given to hold it against");
    };
    let tone = if verdict == Verdict::Same {
        Tone::Good
    } else {
        Tone::Other
    };
    let text = page.tone(tone, in_words(verdict));
    row(page, "verdict", &format!("{text}   {}", sureness(judgement, verdict)))
}

/// A named line of the answer, folded under itself where it is too long.
pub fn row(page: &mut Page, name: &str, text: &str) -> io::Result<()> {
    let lines = fold_keeping(text, WIDTH - 13);
    let name = |i| if i == 0 { name } else { "" };
    lines
        .iter()
        .enumerate()
        .try_for_each(|(i, line)| page.line(&format!("  {:10} {line}", name(i))))
}

/// The sounds to scale with their times, then each with its times and how clearly it was there.
pub fn picture(page: &mut Page, judgement: &Judgement) -> io::Result<()> {
    strip(page, judgement)?;
    if judgement.sounds.is_empty() {
        return Ok(());
    }
    // As a rule these are the word's own sounds, each where it fits best, whatever the verdict. With no word, or where
    // a word said sound by sound came in another number of pieces, they are what each piece is most like.
    let own = judgement.sounds.iter().map(|p| &p.sound);
    let whose = if own.eq(&judgement.expected_sounds) {
        "word's sounds"
    } else {
        "sounds heard"
    };
    let heading = page.tone(Tone::Quiet, &format!("  {whose:16}    from       to   how clear"));
    page.line(&heading)?;
    for placed in &judgement.sounds {
        let (a, b) = (placed.start_s, placed.end_s);
        let entry = inventory::of(placed.sound);
        let name = format!(
            "{:3} {} {:5}",
            placed.sound,
            pad(&say::slashed(page, entry), 6),
            entry.respelling
        );
        page.line(&format!(
            "  {name} {a:6.2} s {b:6.2} s   {}  {:.2}",
            dots(placed.evidence),
            placed.evidence
        ))?;
    }
    page.line("")
}

/// The strip alone.
pub fn strip(page: &mut Page, judgement: &Judgement) -> io::Result<()> {
    let pieces: Vec<Piece> = judgement
        .sounds
        .iter()
        .map(|p| Piece {
            label: p.sound.to_string(),
            start_s: p.start_s,
            end_s: p.end_s,
        })
        .collect();
    for line in strip::draw(&pieces, WIDTH - 6) {
        page.line(&format!("  {line}"))?;
    }
    if pieces.is_empty() { Ok(()) } else { page.line("") }
}

/// Five dots for evidence from 0 to 1.
fn dots(evidence: f32) -> String {
    let full = (evidence.clamp(0.0, 1.0) * 5.0).round() as usize;
    format!("{}{}", "●".repeat(full), "○".repeat(5 - full))
}

fn recording(page: &mut Page, judgement: &Judgement) -> io::Result<()> {
    let q = &judgement.quality;
    let noise = q
        .snr_db
        .map_or(String::new(), |snr| format!(", {snr:.0} dB above the room's noise"));
    row(page, "recording", &format!("{:.2} s of speech{noise}", q.speech_s))?;
    // Pauses are what is wanted of sounds said apart.
    let apart = judgement.speaking == Speaking::Separate;
    for warning in q
        .warnings
        .iter()
        .filter(|w| !(apart && **w == Warning::SeveralStretches))
    {
        row(page, "", &warning.to_string())?;
    }
    Ok(())
}

fn count(n: usize) -> String {
    if n == 1 {
        "1 sound ".into()
    } else {
        format!("{n} sounds")
    }
}

/// How likely each count is, the likeliest first, leaving out those under one in a hundred.
fn spread(judgement: &Judgement) -> String {
    let mut pairs = judgement.count_probabilities.clone();
    pairs.sort_by(|a, b| b.1.total_cmp(&a.1));
    let shown = pairs.iter().filter(|(_, p)| *p >= 0.01).take(5);
    let shown: Vec<String> = shown.map(|(n, p)| format!("{n}: {}", per_cent(*p))).collect();
    shown.join(", ")
}

/// A probability for people. Nothing heard is ever quite certain, nor quite out of the question.
pub fn per_cent(p: f32) -> String {
    match p {
        p if p > 0.99 => "> 99 %".to_owned(),
        p if p < 0.01 => "< 1 %".to_owned(),
        p => format!("{:.0} %", p * 100.0),
    }
}

/// The verdict as a person would say it.
pub fn in_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Same => "the word's own sounds",
        Verdict::Fewer => "fewer sounds than the word has",
        Verdict::More => "more sounds than the word has",
        Verdict::Changed => "as many sounds, but one is another",
        Verdict::Unsure => "unsure",
    }
}

/// How sure a verdict is, in words and as a share.
fn sureness(judgement: &Judgement, verdict: Verdict) -> String {
    let Some(fit) = &judgement.fit else {
        return String::new();
    };
    let shares = [
        (Verdict::Same, fit.same),
        (Verdict::Fewer, fit.fewer),
        (Verdict::More, fit.more),
        (Verdict::Changed, fit.changed),
    ];
    if let Some((_, p)) = shares.iter().find(|(v, _)| *v == verdict) {
        let word = match p {
            p if *p >= 0.95 => "sure",
            p if *p >= 0.8 => "fairly sure",
            _ => "leaning that way",
        };
        // As in `per_cent`.
        let share = if *p > 0.99 {
            "more than 99".to_owned()
        } else {
            format!("{:.0}", p * 100.0)
        };
        return format!("{word} ({share} in 100)");
    }
    let each: Vec<String> = shares
        .iter()
        .map(|(v, p)| format!("{} {:.0}", v.name(), p * 100.0))
        .collect();
    format!("(in 100: {})", each.join(", "))
}

/// What to listen for, where the verdict is not plainly "the same".
fn listen_for(judgement: &Judgement) -> Option<&str> {
    judgement
        .said
        .as_deref()
        .filter(|_| judgement.verdict != Some(Verdict::Same))
}

fn spoken(speaking: Speaking) -> &'static str {
    match speaking {
        Speaking::Whole => "said whole",
        Speaking::Stretched => "stretched",
        Speaking::Separate => "sound by sound",
    }
}

/// Which rules made the counts.
pub fn rules_line(rules: &Rules) -> String {
    let each: Vec<String> = rules.iter().map(|(name, value)| format!("{name}={value}")).collect();
    let set = Rules::SETS
        .iter()
        .find(|(name, _)| Rules::named(name).as_ref() == Some(rules));
    let set = set.map_or("rules of your own".to_owned(), |(name, _)| format!("the {name} rules"));
    format!("Counted by {set}: {}.", each.join(" "))
}

/// What is said of a word whose sounds are a guess.
pub fn guess_note(word: &str) -> String {
    format!(
        "`{word}` is not in the dictionary: its sounds are a guess from its letters. To put them right, use \
         soundbead word {word} --set \"...\"."
    )
}

/// What every verdict is shown with.
pub fn caution(page: &mut Page) -> io::Result<()> {
    for line in fold(CAUTION, WIDTH) {
        let line = page.tone(Tone::Quiet, &line);
        page.line(&line)?;
    }
    Ok(())
}

/// What stands wherever a verdict is shown.
pub const CAUTION: &str = "A teaching aid, not a test of speech or hearing. If a child's speech or hearing worries you, \
                           ask a speech-language pathologist or an audiologist.";

#[cfg(test)]
mod tests {
    use super::per_cent;

    #[test]
    fn nothing_is_said_to_be_certain_or_impossible() {
        let said = [1.0, 0.991, 0.99, 0.5, 0.01, 0.0099, 0.0].map(per_cent);
        assert_eq!(said, ["> 99 %", "> 99 %", "99 %", "50 %", "1 %", "< 1 %", "< 1 %"]);
    }
}
