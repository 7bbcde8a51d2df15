//! `soundbead note`: articulation notes, read and written.

use clap::Args;
use serde_json::json;
use soundbead_data::Sound;

use super::{options, values};
use crate::fault::{Fault, one_line};
use crate::notebook::{
    Attempt, Author, Filter, Learner, ListRange as Stretch, NewNote, Note, NoteBody, NoteSubject, Notebook,
};
use crate::page::OutputPage;
use crate::wording;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct NoteArgs {
    /// The learner's name
    learner: String,
    /// What to write down; without it the notes are shown
    text: Option<String>,
    /// On this word
    #[arg(long, group = "on")]
    word: Option<String>,
    /// On this sound
    #[arg(long = "sounds", value_name = "SOUND", value_parser = values::sound, group = "on")]
    sound: Option<Sound>,
    /// On one attempt: last, or the sign that `soundbead attempts` shows before it
    #[arg(long, value_name = "WHICH", group = "on")]
    attempt: Option<String>,
    /// Who writes; the parent when not given
    #[arg(long, value_name = "WHO", value_parser = values::author(), ignore_case = true, requires = "text")]
    by: Option<Author>,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Write what you saw and heard; what it means is for those who are trained to say
so. With none of --word, --sounds and --attempt a note is on the learner.

For example:
  $ soundbead note Juno \"Lips stay flat.\" --sounds SH
  ...  parent, on the sound SH
    Lips stay flat.
  $ soundbead note Juno
  ...";

impl NoteArgs {
    /// Lists the notes on a learner, or writes one.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let mut notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        let on = self.on(&notebook, &learner)?;
        let Some(text) = self.text else {
            let notes = match &on {
                Some(on) => notebook.notes_on(learner.id, on)?,
                None => notebook.notes(learner.id)?,
            };
            options::cautions(&notebook);
            return list(page, &notebook, &notes, self.json);
        };
        let new = NewNote {
            on: on.unwrap_or(NoteSubject::Learner),
            author: self.by.unwrap_or(Author::Parent),
            body: NoteBody {
                text,
                ..NoteBody::default()
            },
        };
        let note = notebook.add_note(learner.id, &new)?;
        list(page, &notebook, &[note], self.json)
    }

    fn on(&self, notebook: &Notebook, learner: &Learner) -> Result<Option<NoteSubject>, Fault> {
        if let Some(word) = &self.word {
            return Ok(Some(NoteSubject::Word(word.trim().to_lowercase())));
        }
        if let Some(sound) = self.sound {
            return Ok(Some(NoteSubject::Sound(sound)));
        }
        let attempt = self.attempt.as_deref().map(|which| attempt(notebook, learner, which));
        Ok(attempt.transpose()?.map(|a| NoteSubject::Attempt(a.id)))
    }
}

/// The attempt that is named by `last`, by its id, or by the beginning of it.
fn attempt(notebook: &Notebook, learner: &Learner, which: &str) -> Result<Attempt, Fault> {
    let named = which.trim().to_lowercase();
    // Every attempt of a learner: some ten thousand after years of lessons, read in a fraction of a second.
    let take = if named == "last" { 1 } else { u64::from(u32::MAX) };
    let all = notebook.attempts(learner.id, &Filter::default(), Stretch { skip: 0, take })?;
    let fits = |a: &Attempt| named == "last" || (!named.is_empty() && a.id.to_string().starts_with(&named));
    let mut found = all.into_iter().filter(fits);
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (None, _) => Err(Fault::input(format_args!(
            "--attempt: there is no attempt {} of {} in the notebook; `soundbead attempts` shows the sign of each, and \
             last is the latest",
            one_line(&named),
            learner.name
        ))),
        (Some(one), Some(other)) => Err(Fault::input(format_args!(
            "--attempt: more than one attempt has the sign {}; write more of it: {} is of {}, {} of {}",
            one_line(&named),
            one.id,
            one.word,
            other.id,
            other.word
        ))),
    }
}

fn list(page: &mut OutputPage, notebook: &Notebook, notes: &[Note], as_lines: bool) -> Result<(), Fault> {
    if notes.is_empty() && !as_lines {
        return Ok(page.line("There is no such note; `soundbead note LEARNER TEXT` writes one.")?);
    }
    for note in notes {
        if as_lines {
            page.json(
                &json!({"id": note.id, "on": note.on, "author": note.author, "day": note.day.to_string(),
                "body": note.body}),
            )?;
            continue;
        }
        let on = match &note.on {
            NoteSubject::Attempt(id) => wording::said_on(notebook.attempt(*id)?.as_ref()),
            other => other.to_string(),
        };
        page.line(&format!("{}  {}, on {on}", note.day, note.author))?;
        let own = [note.body.in_a_line(), note.body.text.clone()];
        for text in own.into_iter().chain(wording::after_note(&note.body)) {
            if !text.is_empty() {
                page.paragraph(2, &text)?;
            }
        }
    }
    Ok(())
}
