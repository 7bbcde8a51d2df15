//! The learners: which one is in hand; adding, renaming, erasing.

use egui::{ComboBox, Id as WidgetId, Modal, Popup, ScrollArea, TextEdit, Ui, vec2};
use soundbead_data::Rules;

use crate::later::Latest;
use crate::notebook::{Erased, Id, Learner, NotebookError};
use crate::say::many;
use crate::ui::icons::Icon;
use crate::ui::parts::{self, BannerTone, Button};
use crate::ui::settings;
use crate::ui::shared::{Shared, Undo};
use crate::ui::theme::TOUCH;

/// Height that a dialog's title, text and buttons take besides the rules, and a little of the window around it.
const ROOM_AROUND: f32 = 270.0;

/// Learners that have a button each; more are picked from a list.
const IN_A_ROW: usize = 6;

/// What is being asked of the person.
#[derive(Clone, Debug, PartialEq)]
enum LearnerDialog {
    Add,
    Rename(Learner),
    /// How the learner is counted, as it was and as it is chosen.
    Rules(Learner, Rules),
    Erase(Learner),
}

/// The learners as they are shown.
#[derive(Default)]
pub struct People {
    all: Latest<Vec<Learner>, NotebookError>,
    asking: Option<LearnerDialog>,
    /// What was typed for it: a name, and the family's.
    typed: String,
    family: String,
    changed: Latest<Learner, NotebookError>,
    /// New rules on their way, the learner as it was before, and the way back.
    recounted: Latest<Learner, NotebookError>,
    before: Option<Learner>,
    offer: Option<(Undo, Learner)>,
    /// Whether rules changed, so that what is shown is to be asked for anew.
    anew: bool,
    erased: Latest<Erased, NotebookError>,
}

impl People {
    /// Asks for the learners anew.
    pub fn stale(&mut self, shared: &Shared) {
        self.all.ask(shared.notebook.ask(|n| n.learners()));
    }

    /// What is said while nobody is picked.
    pub fn nobody(&self) -> (&'static str, &'static str) {
        match &self.all.value {
            None => ("Opening the notebook", "One moment."),
            Some(all) if all.is_empty() => (
                "Nobody is in the notebook yet",
                "Add the child who learns, and lessons are kept here: on this computer and nowhere else. Or take in what \
                 was handed over to you.",
            ),
            Some(_) => ("Whose notebook?", "Pick a learner above."),
        }
    }

    /// Whether anyone is in the notebook.
    pub fn any(&self) -> bool {
        self.all.value.as_ref().is_some_and(|all| !all.is_empty())
    }

    /// Whether several are.
    pub fn several(&self) -> bool {
        self.all.value.as_ref().is_some_and(|all| all.len() > 1)
    }

    /// The learners in a row; whether one was picked.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) -> bool {
        if self.all.untouched() {
            self.stale(shared);
        }
        self.take(shared);
        let mut picked = false;
        let all = self.all.value.clone().unwrap_or_default();
        if let Some(learner) = match all.len() {
            0..=IN_A_ROW => in_a_row(ui, shared, &all),
            _ => from_a_list(ui, shared, &all),
        } {
            pick(shared, learner);
            picked = true;
        }
        if Button::both(Icon::Add, "Add learner").quiet().show(ui).clicked() {
            self.open(LearnerDialog::Add, "");
        }
        let in_hand = all
            .iter()
            .find(|l| shared.learner.as_ref().is_some_and(|s| s.id == l.id));
        if let Some(learner) = in_hand {
            self.more(ui, learner);
        }
        picked
    }

    /// What can be done with the learner in hand, in a menu: none of it is wanted every day.
    fn more(&mut self, ui: &mut Ui, learner: &Learner) {
        let name = format!("More on {}", learner.name);
        let button = Button::text("More …").name(&name).quiet().show(ui);
        let mut ring = parts::opened_by_key(ui, &button);
        let mut asked = None;
        Popup::menu(&button).show(|ui| {
            for (text, dialog) in [
                ("Rename", LearnerDialog::Rename(learner.clone())),
                (
                    "Counting rules",
                    LearnerDialog::Rules(learner.clone(), learner.rules.clone()),
                ),
                ("Erase", LearnerDialog::Erase(learner.clone())),
            ] {
                let item = Button::text(text).quiet().show(ui);
                if std::mem::take(&mut ring) {
                    item.request_focus();
                }
                if item.clicked() {
                    asked = Some(dialog);
                    ui.close();
                }
            }
        });
        if let Some(dialog) = asked {
            let typed = match &dialog {
                LearnerDialog::Rename(learner) => learner.name.clone(),
                _ => String::new(),
            };
            self.open(dialog, &typed);
        }
    }

    fn open(&mut self, asking: LearnerDialog, typed: &str) {
        self.family = match &asking {
            LearnerDialog::Rename(learner) => learner.family.clone(),
            _ => String::new(),
        };
        self.asking = Some(asking);
        self.typed = typed.to_owned();
    }

    /// What came of what was asked of the notebook.
    fn take(&mut self, shared: &mut Shared) {
        if self.all.take(shared) {
            // Another program may have erased the learner in hand, and who is alone needs no picking.
            let all = self.all.value.as_deref().unwrap_or_default();
            let gone = shared
                .learner
                .as_ref()
                .is_some_and(|s| all.iter().all(|l| l.id != s.id));
            if gone {
                shared.learner = None;
            }
            if let (None, [one]) = (&shared.learner, all) {
                pick(shared, one);
            }
        }
        if self.changed.take(shared) {
            if let Some(learner) = self.changed.value.take() {
                pick(shared, &learner);
            }
            self.asking = None;
            self.stale(shared);
        }
        self.take_rules(shared);
        if self.erased.take(shared) {
            if let Some(erased) = self.erased.value.take() {
                shared.say(format!(
                    "Erased: {}, {}, {}, {}.",
                    many(erased.attempts, "attempt"),
                    many(erased.notes, "note"),
                    many(erased.writings, "written word"),
                    many(erased.recordings, "recording")
                ));
            }
            shared.learner = None;
            self.asking = None;
            self.stale(shared);
        }
    }

    /// What came of changed rules: said, with a way back.
    fn take_rules(&mut self, shared: &mut Shared) {
        if self.recounted.take(shared)
            && let Some(learner) = self.recounted.value.take()
        {
            let line = format!(
                "{} What is shown of earlier lessons is counted anew.",
                counted(&learner)
            );
            self.offer = self.before.take().map(|before| (shared.say_with_undo(line), before));
            if shared.learner.as_ref().is_some_and(|l| l.id == learner.id) {
                pick(shared, &learner);
            }
            (self.asking, self.anew) = (None, true);
            self.stale(shared);
        }
        if let Some((_, before)) = self.offer.take_if(|(undo, _)| shared.take_undo(*undo)) {
            self.recount(shared, before.id, before.rules);
        }
    }

    fn recount(&mut self, shared: &Shared, id: Id, rules: Rules) {
        self.recounted.ask(shared.notebook.ask(move |n| {
            // The name may have changed meanwhile; it stays.
            let gone = || NotebookError::Refused("this learner is not in the notebook any more".into());
            let name = n.learner(id)?.ok_or_else(gone)?.name;
            n.change_learner(id, &name, &rules)
        }));
    }

    /// Whether a learner's rules changed since this was asked: what is shown is to be counted anew.
    pub fn take_anew(&mut self) -> bool {
        std::mem::take(&mut self.anew)
    }

    /// The question that is open, over the view.
    pub fn question(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let Some(asking) = self.asking.clone() else { return };
        let modal = Modal::new(WidgetId::unique("learner")).show(ui.ctx(), |ui| {
            ui.set_width(480.0);
            ui.spacing_mut().item_spacing.y = 10.0;
            match &asking {
                LearnerDialog::Add => self.name(ui, shared, "Who learns?", "Add", None),
                LearnerDialog::Rename(l) => {
                    self.name(ui, shared, &format!("Another name for {}", l.name), "Rename", Some(l))
                }
                LearnerDialog::Rules(l, rules) => self.rules(ui, shared, l, rules.clone()),
                LearnerDialog::Erase(l) => self.erase(ui, shared, l),
            }
        });
        if modal.should_close() {
            self.asking = None;
        }
    }

    /// The field for a name; whether Enter was pressed in it.
    fn field(&mut self, ui: &mut Ui, label: &str) -> bool {
        let label = ui.label(label);
        let field = TextEdit::singleline(&mut self.typed)
            .desired_width(ui.available_width())
            .min_size(vec2(0.0, TOUCH))
            .align(egui::Align2::LEFT_CENTER);
        let field = ui.add(field).labelled_by(label.id);
        let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if !entered && ui.memory(|m| m.focused().is_none()) {
            field.request_focus();
        }
        entered
    }

    fn name(&mut self, ui: &mut Ui, shared: &mut Shared, title: &str, verb: &str, learner: Option<&Learner>) {
        parts::section(ui, title);
        let entered = self.field(ui, "Name");
        parts::note(ui, "A first name or a nickname is enough. It stays on this computer.");
        ui.horizontal(|ui| {
            let label = ui.label("Family, only where two have one name");
            let field = TextEdit::singleline(&mut self.family)
                .desired_width(ui.available_width())
                .min_size(vec2(0.0, TOUCH))
                .align(egui::Align2::LEFT_CENTER);
            ui.add(field).labelled_by(label.id);
        });
        ui.horizontal(|ui| {
            let ready = !self.typed.trim().is_empty() && !self.changed.busy();
            let pressed = Button::text(verb).lead().enabled(ready).show(ui).clicked();
            if (pressed || entered) && ready {
                let (name, family, rules) = (self.typed.clone(), self.family.clone(), shared.prefs.rules.clone());
                self.changed.ask(match learner {
                    None => shared.notebook.ask(move |n| n.add_learner_of(&family, &name, &rules)),
                    Some(l) => {
                        let id = l.id;
                        shared.notebook.ask(move |n| n.name_learner(id, &family, &name))
                    }
                });
            }
            if Button::text("Cancel").show(ui).clicked() {
                self.asking = None;
            }
        });
    }

    /// How the learner is counted.
    fn rules(&mut self, ui: &mut Ui, shared: &mut Shared, learner: &Learner, mut rules: Rules) {
        parts::section(ui, &format!("How {} is counted", learner.name));
        let text = "Lessons, progress and report go by these. What the child did stays as it was; every count that is shown \
                    is made anew. A lesson under way ends by the rules with which it began.";
        parts::note(ui, text);
        let most = ui.ctx().content_rect().height() - ROOM_AROUND;
        let area = ScrollArea::vertical().id_salt("rules").max_height(most);
        area.show(ui, |ui| settings::rules_choice(ui, &mut rules));
        let ready = rules != learner.rules && !self.recounted.busy();
        ui.horizontal(|ui| {
            if Button::text("Count by these").lead().enabled(ready).show(ui).clicked() {
                self.before = Some(learner.clone());
                self.recount(shared, learner.id, rules.clone());
            }
            if Button::text("Cancel").show(ui).clicked() {
                self.asking = None;
            }
        });
        if let Some(LearnerDialog::Rules(_, chosen)) = &mut self.asking {
            *chosen = rules;
        }
    }

    /// Erasing: the name must be typed again.
    fn erase(&mut self, ui: &mut Ui, shared: &mut Shared, learner: &Learner) {
        parts::section(ui, &format!("Erase {}", learner.name));
        let text = "Every attempt, recording, note and draft of this learner is removed from this computer's notebook for \
                    good. There is no way back. Reports and hand-overs that you saved elsewhere are not touched.";
        parts::banner(ui, BannerTone::Alarm, text);
        self.field(ui, &format!("To erase, type the name again: {}", learner.name));
        ui.horizontal(|ui| {
            let ready = self.typed.trim() == learner.name && !self.erased.busy();
            if Button::text("Erase for good").enabled(ready).show(ui).clicked() {
                let id = learner.id;
                self.erased.ask(shared.notebook.ask(move |n| n.erase(id)));
            }
            if Button::text("Keep everything").lead().show(ui).clicked() {
                self.asking = None;
            }
            if self.erased.busy() {
                ui.spinner();
                ui.label("Erasing");
            }
        });
    }
}

/// How a learner is counted, in a line.
fn counted(learner: &Learner) -> String {
    let set = learner.rules.set_name();
    let how = set.map_or("rules of their own".to_owned(), |name| format!("the {name} rules"));
    format!("{} is counted by {how} now.", learner.name)
}

/// Takes a learner in hand.
pub fn pick(shared: &mut Shared, learner: &Learner) {
    shared.learner = Some(learner.clone().into());
}

fn in_hand(shared: &Shared, learner: &Learner) -> bool {
    shared.learner.as_ref().is_some_and(|l| l.id == learner.id)
}

/// A button each; the learner that was picked.
fn in_a_row<'a>(ui: &mut Ui, shared: &Shared, all: &'a [Learner]) -> Option<&'a Learner> {
    let mut picked = None;
    for learner in all {
        let called = learner.called(all);
        let name = format!("Learner: {called}");
        let button = Button::text(&called).name(&name).selected(in_hand(shared, learner));
        if button.show(ui).clicked() {
            picked = Some(learner);
        }
    }
    picked
}

/// A list that opens; the learner that was picked.
fn from_a_list<'a>(ui: &mut Ui, shared: &Shared, all: &'a [Learner]) -> Option<&'a Learner> {
    let chosen = all.iter().find(|l| in_hand(shared, l));
    let shown = chosen.map_or("Pick a learner".to_owned(), |l| l.called(all));
    let mut picked = None;
    let combo = ComboBox::from_id_salt("learners").selected_text(shown).width(180.0);
    combo.height(LIST).show_ui(ui, |ui| {
        for learner in all {
            let called = learner.called(all);
            if ui.selectable_label(in_hand(shared, learner), called).clicked() {
                picked = Some(learner);
            }
        }
    });
    picked
}

/// Height of the list that opens: a dozen learners.
const LIST: f32 = 420.0;
