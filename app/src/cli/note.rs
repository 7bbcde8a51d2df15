//! `soundbead note`: articulation notes, read and written.

use serde_json::json;

use super::args::Given;
use super::who::Who;
use crate::fault::Fault;
use crate::notebook::{Author, Id, NewNote, Note, NoteBody, Notebook, On};
use crate::page::Page;

/// Lists the notes on a learner, or writes one.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut who, mut on, mut author) = (Who::default(), None, Author::Parent);
    while let Some(arg) = given.next()? {
        let wrong = |flag: &str, e: &dyn std::fmt::Display| Fault::input(format_args!("--{flag}: {e}"));
        match who.take(arg, 2, &mut given)? {
            None => {}
            Some("word") => on = Some(On::Word(given.text()?.trim().to_lowercase())),
            Some("sounds") => on = Some(On::Sound(given.text()?.parse().map_err(|e| wrong("sounds", &e))?)),
            Some("attempt") => {
                let id: Result<Id, String> = given.text()?.parse();
                on = Some(On::Attempt(id.map_err(|e| wrong("attempt", &e))?));
            }
            Some("by") => {
                let name = given.text()?;
                let known = Author::ALL.iter().copied().find(|a| a.name() == name);
                author =
                    known.ok_or_else(|| wrong("by", &format_args!("`{name}` is neither parent nor consultant")))?;
            }
            Some(flag) => return Err(given.strange(flag)),
        }
    }
    let mut notebook = Notebook::open()?;
    let learner = who.learner(0, &notebook, &given)?;
    let Some(text) = who.words.get(1) else {
        let notes = match &on {
            Some(on) => notebook.notes_on(learner.id, on)?,
            None => notebook.notes(learner.id)?,
        };
        return list(page, &notes, who.json);
    };
    if let Some(On::Attempt(id)) = on
        && notebook.attempt(id)?.is_none()
    {
        return Err(Fault::input(format_args!(
            "--attempt: there is no attempt {id} in the notebook"
        )));
    }
    let new = NewNote {
        on: on.unwrap_or(On::Learner),
        author,
        body: NoteBody {
            text: text.clone(),
            ..NoteBody::default()
        },
    };
    let note = notebook.add_note(learner.id, &new)?;
    list(page, &[note], who.json)
}

fn list(page: &mut Page, notes: &[Note], as_lines: bool) -> Result<(), Fault> {
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
        page.line(&format!("{}  {}, on {}", note.day, note.author, note.on))?;
        for text in [note.body.in_a_line(), note.body.text.clone()] {
            if !text.is_empty() {
                page.paragraph(2, &text)?;
            }
        }
    }
    Ok(())
}
