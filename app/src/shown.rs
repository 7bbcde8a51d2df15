//! A judgement in words and a picture, for people.

use std::io;

use soundbead_data::word::Source;
use soundbead_data::{Rules, inventory};
use soundbead_dsp::judgement::{Judgement, Speaking, Verdict};
use soundbead_dsp::voice::Warning;

use crate::page::{OutputPage, TextTone, WIDTH, fold, fold_keeping, pad};
use crate::say;
use crate::strip::{self, StripSound};
use crate::wording;
pub use crate::wording::{guess_note, per_cent, rules_in_full as rules_line};

/// A judgement and what it is about.
pub struct ShownJudgement<'a> {
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
///
/// # Errors
/// When standard output can no longer be written to.
pub fn full(page: &mut OutputPage, name: &str, heard: &ShownJudgement) -> io::Result<()> {
    let judgement = heard.judgement;
    let title = page.tone(TextTone::Strong, heard.word.unwrap_or("(no word given)"));
    page.line(&format!("{title}, {}: {name}", wording::speaking(judgement.speaking)))?;
    page.line("")?;
    rows(page, heard)?;
    recording(page, judgement)?;
    page.line("")?;
    picture(page, judgement)?;
    if let Some(said) = listen_for(judgement) {
        page.paragraph(0, said)?;
    }
    if heard.source == Some(Source::Guess) {
        page.paragraph(0, &wording::guess_note(heard.word.unwrap_or_default()))?;
    }
    page.paragraph(0, &wording::rules_in_full(heard.rules))?;
    caution(page)
}

/// What was expected, what was heard, the verdict and how sure it is: a line each.
///
/// # Errors
/// When standard output can no longer be written to.
pub fn rows(page: &mut OutputPage, heard: &ShownJudgement) -> io::Result<()> {
    let judgement = heard.judgement;
    if let Some(expected) = judgement.expected {
        let said = say::with_stress(heard.word, &judgement.expected_sounds);
        let written = say::CountedSounds::new(heard.word.unwrap_or_default(), said, heard.rules);
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
        TextTone::Good
    } else {
        TextTone::Other
    };
    let text = page.tone(tone, wording::verdict(verdict).full);
    row(page, "verdict", &format!("{text}   {}", sureness(judgement, verdict)))
}

/// A named line of the answer, folded under itself where it is too long.
///
/// # Errors
/// When standard output can no longer be written to.
pub fn row(page: &mut OutputPage, name: &str, text: &str) -> io::Result<()> {
    let lines = fold_keeping(text, WIDTH - 13);
    let name = |i| if i == 0 { name } else { "" };
    lines
        .iter()
        .enumerate()
        .try_for_each(|(i, line)| page.line(&format!("  {:10} {line}", name(i))))
}

/// The sounds to scale with their times, then each with its times and how clearly it was there.
///
/// # Errors
/// When standard output can no longer be written to.
pub fn picture(page: &mut OutputPage, judgement: &Judgement) -> io::Result<()> {
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
    let heading = page.tone(TextTone::Quiet, &format!("  {whose:16}    from       to   how clear"));
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
///
/// # Errors
/// When standard output can no longer be written to.
pub fn strip(page: &mut OutputPage, judgement: &Judgement) -> io::Result<()> {
    let pieces: Vec<StripSound> = judgement
        .sounds
        .iter()
        .map(|p| StripSound {
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

fn recording(page: &mut OutputPage, judgement: &Judgement) -> io::Result<()> {
    let q = &judgement.quality;
    row(page, "recording", &wording::recording(q.speech_s, q.snr_db))?;
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
    let shown: Vec<String> = shown.map(|(n, p)| format!("{n}: {}", wording::per_cent(*p))).collect();
    shown.join(", ")
}

/// How sure a verdict is, in words and as a share.
fn sureness(judgement: &Judgement, verdict: Verdict) -> String {
    let Some(fit) = &judgement.fit else {
        return String::new();
    };
    if let Some(p) = fit.of(verdict) {
        return format!("{} ({})", wording::sureness(p), wording::in_hundred(p));
    }
    let shares = Verdict::ALL.into_iter().filter_map(|v| Some((v, fit.of(v)?)));
    let each: Vec<String> = shares.map(|(v, p)| format!("{} {:.0}", v.name(), p * 100.0)).collect();
    format!("(in 100: {})", each.join(", "))
}

/// What to listen for, where the verdict is not plainly "the same".
fn listen_for(judgement: &Judgement) -> Option<&str> {
    judgement
        .said
        .as_deref()
        .filter(|_| judgement.verdict != Some(Verdict::Same))
}

/// What every verdict is shown with.
///
/// # Errors
/// When standard output can no longer be written to.
pub fn caution(page: &mut OutputPage) -> io::Result<()> {
    for line in fold(wording::CAUTION, WIDTH) {
        let line = page.tone(TextTone::Quiet, &line);
        page.line(&line)?;
    }
    Ok(())
}
