//! What every view sees: the settings in force, the learner in hand, and the way to the other views.

use std::path::PathBuf;

use soundbead_data::Rules;

use super::opening_files::{self, FileOpener};
use super::prefs::Prefs;
use super::to_print::ToPrint;
use crate::equipment::{LearnerInHand, News};
use crate::later::{Hears, Wake};
use crate::mic::Microphone;
use crate::mic::device::Devices;
use crate::mic::speaker::Speaker;
use crate::notebook::Desk;
use crate::playback::Playback;

/// A view that the rail leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MainView {
    /// Who learns, and the lesson that starts.
    Today,
    /// How each sound is made.
    Sounds,
    /// The words of a lesson.
    Plan,
    /// The lesson.
    Drill,
    /// What the child writes as it is dictated.
    Writing,
    /// What was done, and what the consultant wrote.
    Notebook,
    /// Rules, voice, look.
    Settings,
}

impl MainView {
    /// Every place, in the rail's order; the shortcut of each is Ctrl and its number from 1.
    pub const ALL: [MainView; 7] = [
        MainView::Today,
        MainView::Sounds,
        MainView::Plan,
        MainView::Drill,
        MainView::Writing,
        MainView::Notebook,
        MainView::Settings,
    ];

    /// Its name on the rail.
    pub fn name(self) -> &'static str {
        match self {
            MainView::Today => "Today",
            MainView::Sounds => "Sounds",
            MainView::Plan => "Plan",
            MainView::Drill => "Drill",
            MainView::Writing => "Writing",
            MainView::Notebook => "Notebook",
            MainView::Settings => "Settings",
        }
    }
}

/// A promise that what was just done can be undone for a while; see [`Shared::say_with_undo`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Undo(u64);

/// A line that comes up at the foot of the window for a while.
#[derive(Clone, Debug)]
pub(super) struct Toast {
    /// Tells it from the other lines, also while those come and go.
    pub serial: u64,
    pub text: String,
    /// Whether it tells of something that failed.
    pub failed: bool,
    pub undo: Option<Undo>,
    /// When it goes, in the window's seconds; set when it is first shown.
    pub until: Option<f64>,
}

/// The state that all views share.
pub struct Shared {
    /// Rules, voice, look. Views change them in place; the window keeps and applies them.
    pub prefs: Prefs,
    /// The folder in which everything is kept.
    pub folder: PathBuf,
    /// The learner in hand, if one was picked.
    pub learner: Option<LearnerInHand>,
    /// The notebook, on a thread of its own; it is opened with the first errand.
    pub notebook: Desk,
    /// The plan that the drill starts from; the Plan view sets it.
    pub plan: Option<crate::plan::Plan>,
    /// Whether the plan's words are to be dictated as soon as the Writing view is shown.
    pub(super) dictate: bool,
    /// The sheet that is to be looked at before it is printed, over the view; see [`Shared::print`].
    pub(super) to_print: Option<ToPrint>,
    /// Opens a file that was saved; none where the desktop has no way.
    pub opens: Option<FileOpener>,
    /// What is recorded from.
    pub mic: Box<dyn Microphone>,
    /// The device of it that was chosen; none for the system's choice.
    pub device: Option<String>,
    /// What sounds are played on.
    pub playback: Playback,
    /// The window.
    pub ctx: egui::Context,
    /// Calls for its next frame, from any thread.
    pub wake: Wake,
    place: MainView,
    before: Vec<MainView>,
    pub(super) toasts: Vec<Toast>,
    pub(super) keys: Vec<(&'static str, &'static str)>,
    undone: Vec<Undo>,
    undos: u64,
    said: u64,
}

impl Shared {
    /// The state of a fresh window.
    pub fn new(ctx: &egui::Context, folder: PathBuf, prefs: Prefs) -> Shared {
        Shared {
            prefs,
            notebook: Desk::new(folder.clone(), Wake::from(ctx)),
            folder,
            learner: None,
            plan: None,
            dictate: false,
            to_print: None,
            opens: opening_files::of_this_desktop(),
            mic: Box::new(Devices),
            device: None,
            playback: Playback::on(Box::new(Speaker::default())),
            ctx: ctx.clone(),
            wake: ctx.into(),
            place: MainView::Today,
            before: Vec::new(),
            toasts: Vec::new(),
            keys: Vec::new(),
            undone: Vec::new(),
            undos: 0,
            said: 0,
        }
    }

    /// The counting rules in force: those of the learner in hand, or the settings' where nobody is.
    pub fn rules(&self) -> &Rules {
        self.learner.as_ref().map_or(&self.prefs.rules, |l| &l.rules)
    }

    /// Where the window is.
    pub fn place(&self) -> MainView {
        self.place
    }

    /// Goes to a place; Esc comes back from it.
    pub fn go(&mut self, place: MainView) {
        if place != self.place {
            self.before.push(self.place);
            self.place = place;
        }
    }

    /// Back to where the window was before; whether there was such a place.
    pub fn back(&mut self) -> bool {
        match self.before.pop() {
            Some(place) => {
                self.place = place;
                true
            }
            None => false,
        }
    }

    /// Shows a sheet as it will be printed, over the view, until it is closed.
    pub fn print(&mut self, sheet: ToPrint) {
        self.to_print = Some(sheet);
    }

    /// Says a line at the foot of the window.
    pub fn say(&mut self, text: impl Into<String>) {
        self.toast(text.into(), false, None);
    }

    /// Says that something failed: what, and what to do.
    pub fn say_failed(&mut self, text: impl Into<String>) {
        self.toast(text.into(), true, None);
    }

    /// Says what a machine without a window has to say.
    pub fn tell(&mut self, news: Vec<News>) {
        for news in news {
            match news {
                News::Said(line) => self.say(line),
                News::Failed(line) => self.say_failed(line),
            }
        }
    }

    /// Says what was done, with a way to undo it. Ask [`Shared::take_undo`] once a frame whether it was used.
    pub fn say_with_undo(&mut self, text: impl Into<String>) -> Undo {
        self.undos += 1;
        let undo = Undo(self.undos);
        self.toast(text.into(), false, Some(undo));
        undo
    }

    /// Whether the person asked for this undo; true once.
    pub fn take_undo(&mut self, undo: Undo) -> bool {
        let at = self.undone.iter().position(|u| *u == undo);
        at.map(|i| self.undone.swap_remove(i)).is_some()
    }

    pub(super) fn undo(&mut self, undo: Undo) {
        self.undone.push(undo);
    }

    /// Names a key that works here and now; the help page shows it. Call it every frame.
    pub fn key(&mut self, key: &'static str, does: &'static str) {
        self.keys.push((key, does));
    }

    /// Names the keys of a table, each with what it does. Call it every frame.
    pub fn keys(&mut self, table: &[(&'static str, &'static str)]) {
        self.keys.extend_from_slice(table);
    }

    fn toast(&mut self, text: String, failed: bool, undo: Option<Undo>) {
        // Said twice, a line stays once and for longer.
        if undo.is_none()
            && let Some(same) = self.toasts.iter_mut().find(|t| t.undo.is_none() && t.text == text)
        {
            same.until = None;
            self.ctx.request_repaint();
            return;
        }
        // Two at most: more than that nobody reads.
        if self.toasts.len() > 1 {
            self.toasts.remove(0);
        }
        self.said += 1;
        self.toasts.push(Toast {
            serial: self.said,
            text,
            failed,
            undo,
            until: None,
        });
        self.ctx.request_repaint();
    }
}

impl Hears for Shared {
    fn failed(&mut self, line: String) {
        self.say_failed(line);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn back_goes_where_one_was_and_an_undo_is_given_once() {
        let mut shared = Shared::new(&egui::Context::default(), PathBuf::new(), Prefs::default());
        shared.go(MainView::Plan);
        shared.go(MainView::Plan);
        shared.go(MainView::Drill);
        assert!(shared.back());
        assert_eq!(shared.place(), MainView::Plan);
        assert!(shared.back());
        assert!(!shared.back(), "there is nothing before the first place");
        let (one, two) = (shared.say_with_undo("one"), shared.say_with_undo("two"));
        shared.undo(two);
        assert!(!shared.take_undo(one));
        assert!(shared.take_undo(two));
        assert!(!shared.take_undo(two));
    }
}
