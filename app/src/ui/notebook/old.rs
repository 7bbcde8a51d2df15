//! Old recordings come in by the folder: what would be kept is shown first, and what was kept can be taken back.

use std::path::{Path, PathBuf};

use egui::{ScrollArea, Ui};
use jiff::civil::Date;
use soundbead_dsp::judgement::Speaking;

use crate::ask::import::{ImportOutcome, Importing, OldRecording, RefusedRecording};
use crate::equipment::LearnerInHand;
use crate::fault::Fault;
use crate::later::{Later, Latest, WorkProgress, WorkResult};
use crate::notebook::{Id, Notebook, NotebookError};
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::jobs;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::path::{FileUse, PathField};
use crate::ui::shared::Shared;
use crate::wording;

/// Height of the list of what is in the folder, in points: some ten lines.
const LIST: f32 = 240.0;

/// How the words were said, as people call it.
const WAYS: [(Speaking, &str); 3] = [
    (Speaking::Whole, "As whole words"),
    (Speaking::Stretched, "Drawn out"),
    (Speaking::Separate, "Sound by sound"),
];

/// What came of a folder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct FolderTold {
    /// Whether it was only looked at.
    looked: bool,
    /// A line for each that is kept, or would be.
    kept: Vec<String>,
    /// The first and the last day of those.
    days: Option<(Date, Date)>,
    there: usize,
    /// What is refused, and why.
    refused: Vec<(String, String)>,
    others: usize,
}

impl FolderTold {
    fn take(&mut self, outcome: ImportOutcome) {
        match outcome {
            ImportOutcome::Kept(old, _) => {
                let (first, last) = self.days.unwrap_or((old.day, old.day));
                self.days = Some((first.min(old.day), last.max(old.day)));
                self.kept.push(line(&old));
            }
            ImportOutcome::There(_) => self.there += 1,
            ImportOutcome::Refused(RefusedRecording { name, why }) => self.refused.push((name, why)),
        }
    }

    /// All of it in a line.
    fn words(&self) -> String {
        let kept = many(self.kept.len(), "recording");
        let days = self
            .days
            .map_or(String::new(), |(a, b)| format!(" of {}", wording::days(a, b)));
        let verb = if self.looked { "would come in" } else { "came in" };
        let mut all = vec![format!("{kept}{days} {verb}")];
        all.extend((self.there > 0).then(|| format!("{} there already", self.there)));
        all.extend((!self.refused.is_empty()).then(|| format!("{} refused", self.refused.len())));
        all.extend((self.others > 0).then(|| format!("{} passed over", many(self.others, "other file"))));
        format!("{}.", all.join("; "))
    }
}

/// `3 May 2024, pig (tape/0007.wav, day by its folder)`.
fn line(old: &OldRecording) -> String {
    format!(
        "{}, {} ({}, day {})",
        wording::short_day(old.day),
        old.word.spelling,
        old.name,
        old.day_source.words()
    )
}

/// Old recordings of the learner in hand.
#[derive(Default)]
pub struct OldPart {
    whose: Option<Id>,
    folder: PathField,
    speaking: Speaking,
    /// The folder that was looked through, and how: what is brought in is what was shown.
    looked: Option<(PathBuf, Speaking)>,
    job: Option<Later<Result<FolderTold, String>>>,
    /// Whether the job only looks.
    looking: bool,
    told: Option<FolderTold>,
    /// Whether the last import stands, or was taken back.
    stands: Latest<Option<bool>, NotebookError>,
    /// How many were taken back or brought back.
    marked: Latest<(bool, usize), NotebookError>,
}

impl OldPart {
    /// Takes in what came; whether the notebook is another now.
    pub fn work(&mut self, shared: &mut Shared) -> bool {
        let mut changed = false;
        if let Some(outcome) = self.job.as_mut().and_then(Later::take) {
            self.job = None;
            match outcome {
                WorkResult::Done(Ok(told)) => {
                    changed = !told.looked;
                    self.told = Some(told);
                }
                WorkResult::Done(Err(line)) => shared.say_failed(line),
                WorkResult::Cancelled if self.looking => shared.say("Stopped."),
                WorkResult::Cancelled => {
                    changed = true;
                    shared.say("Stopped. What came in until then is kept, and can be taken back.");
                }
                WorkResult::Failed => shared.say_failed("The program itself failed in it; please report it."),
            }
        }
        if self.marked.take(shared)
            && let Some((back, count)) = self.marked.value.take()
        {
            let verb = if back { "taken back" } else { "back again" };
            shared.say(format!("{} {verb}.", many(count, "recording")));
            (changed, self.told) = (true, None);
        }
        if changed {
            self.stands = Latest::default();
        }
        self.stands.take(shared);
        changed
    }

    /// The card.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, learner: &LearnerInHand) {
        if self.whose != Some(learner.id) {
            *self = OldPart {
                whose: Some(learner.id),
                ..OldPart::default()
            };
        }
        let id = learner.id;
        if self.stands.untouched() {
            self.stands.ask(shared.notebook.ask(move |n| n.import_stands(id)));
        }
        ui.set_width(ui.available_width());
        parts::section(ui, "Bring old recordings in");
        parts::note(
            ui,
            "A folder of recordings, one word each. The word comes from the file's name (2024-05-03 pig.wav) or from a CSV list \
             beside them (path, word, date); the day from the list, the name, the folder or the file's time.",
        );
        self.folder.show(ui, shared, "Folder", FileUse::Folder);
        ui.horizontal_wrapped(|ui| {
            ui.label("They were said");
            parts::choice(ui, "They were said", &mut self.speaking, &WAYS);
        });
        if let Some(job) = &self.job {
            jobs::show(job, ui);
        }
        let now = (PathBuf::from(self.folder.path.trim()), self.speaking);
        if self.looked.as_ref() != Some(&now) && self.told.as_ref().is_some_and(|told| told.looked) {
            self.told = None;
        }
        self.buttons(ui, shared, id, now);
        if let Some(told) = &self.told {
            show_told(ui, told);
        }
    }

    fn buttons(&mut self, ui: &mut Ui, shared: &mut Shared, id: Id, now: (PathBuf, Speaking)) {
        let idle = self.job.is_none() && !self.marked.busy();
        let ready = idle && !now.0.as_os_str().is_empty();
        let would = self
            .told
            .as_ref()
            .filter(|told| told.looked)
            .map_or(0, |told| told.kept.len());
        ui.horizontal_wrapped(|ui| {
            let look = Button::both(Icon::Folder, "Look through the folder");
            if look.enabled(ready).show(ui).clicked() {
                self.start(shared, id, now.clone(), true);
            }
            if would > 0 {
                let text = format!("Bring {} in", many(would, "recording"));
                if Button::text(&text).lead().enabled(ready).show(ui).clicked() {
                    self.start(shared, id, now, false);
                }
            }
            let back = match self.stands.value {
                Some(Some(true)) => Some((true, "Take the last ones back")),
                Some(Some(false)) => Some((false, "Bring them back again")),
                _ => None,
            };
            if let Some((back, text)) = back
                && Button::both(Icon::Undo, text).quiet().enabled(idle).show(ui).clicked()
            {
                self.marked.ask(shared.notebook.ask(move |n| {
                    let count = if back {
                        n.take_back_import(id)
                    } else {
                        n.bring_back_import(id)
                    };
                    Ok((back, count?))
                }));
            }
        });
    }

    fn start(&mut self, shared: &Shared, id: Id, (folder, speaking): (PathBuf, Speaking), dry: bool) {
        let home = shared.folder.clone();
        (self.told, self.looking) = (None, dry);
        self.looked = Some((folder.clone(), speaking));
        let name = if dry { "Looking through" } else { "Bringing in" };
        self.job = Some(Later::start(&shared.ctx, name, move |progress| {
            through(&home, id, (&folder, speaking), (dry, progress)).map_err(|e| e.into_line("it was stopped"))
        }));
    }
}

/// Goes through a folder; with `dry` nothing is kept.
fn through(
    home: &Path,
    id: Id,
    (folder, speaking): (&Path, Speaking),
    (dry, progress): (bool, &WorkProgress),
) -> Result<FolderTold, Fault> {
    let notebook = Notebook::open_in(home)?;
    let learner = notebook.learner(id)?;
    let learner = learner.ok_or_else(|| Fault::input("this learner is not in the notebook any more"))?;
    let mut importing = Importing::new(notebook, learner, speaking, dry)?;
    let found = importing.find(folder, None)?;
    let mut told = FolderTold {
        looked: dry,
        others: found.others,
        ..FolderTold::default()
    };
    let all = found.each.len();
    for (done, each) in found.each.into_iter().enumerate() {
        if !progress.at(done as f32 / all as f32) {
            break;
        }
        told.take(importing.take(each));
    }
    Ok(told)
}

/// What came of the folder: what is refused first, for it wants to be read.
fn show_told(ui: &mut Ui, told: &FolderTold) {
    let tone = match (told.kept.is_empty(), told.refused.is_empty()) {
        (_, false) => BannerTone::Care,
        (true, true) => BannerTone::Plain,
        (false, true) => BannerTone::Good,
    };
    parts::banner(ui, tone, &told.words());
    let area = ScrollArea::vertical().id_salt("what is in the folder");
    // Inside an area that scrolls itself: without a least height hardly a line would be left.
    area.max_height(LIST).min_scrolled_height(LIST).show(ui, |ui| {
        ui.set_width(ui.available_width());
        for (name, why) in &told.refused {
            ui.label(format!("Refused: {name}: {}.", why.trim_end_matches('.')));
        }
        for line in &told.kept {
            parts::note(ui, line);
        }
    });
}
