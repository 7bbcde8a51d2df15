//! Finding a chain.

use std::sync::Arc;

use egui::Ui;
use soundbead_data::Rules;
use soundbead_data::chain::{Chain, ChangeKind, Limits, Place, Unit};
use soundbead_data::which;
use soundbead_data::word::Source;

use super::super::parts::{self, BannerTone, Button};
use super::super::shared::Shared;
use super::super::which::WhichWay;
use super::super::{icons::Icon, settings};
use super::words::{WordStock, WordStockLoader};
use super::{FoundItem, rows};
use crate::ask::chain::{ChainAnswer, ChainRequest, USUAL, WORDS};
use crate::later::{Later, WorkResult};
use crate::links;
use crate::page::OutputPage;
use crate::plan::{Content, PlanItem, PlanWord};
use crate::typed;
use crate::ui::jobs;

/// What a chain is to practice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum ChainFocus {
    #[default]
    Anything,
    Pair(&'static str, &'static str),
    Vowels,
    Clusters,
}

/// Mix-ups that lessons name most often (common practice, no source); every other pair can be typed.
const PRACTISE: [(ChainFocus, &str); 11] = [
    (ChainFocus::Anything, "anything"),
    (ChainFocus::Pair("EH", "IH"), "short e, i"),
    (ChainFocus::Pair("AE", "EH"), "short a, e"),
    (ChainFocus::Pair("AA", "AH"), "short o, u"),
    (ChainFocus::Pair("S", "SH"), "s, sh"),
    (ChainFocus::Pair("CH", "SH"), "ch, sh"),
    (ChainFocus::Pair("F", "TH"), "f, th"),
    (ChainFocus::Pair("P", "B"), "p, b"),
    (ChainFocus::Pair("T", "D"), "t, d"),
    (ChainFocus::Vowels, "vowels only"),
    (ChainFocus::Clusters, "clusters"),
];

/// The question and its answer.
pub struct ChainFinder {
    from: String,
    to: String,
    which: WhichWay,
    words: usize,
    exactly: bool,
    practice: ChainFocus,
    places: Vec<Place>,
    kinds: Vec<ChangeKind>,
    syllables: usize,
    sounds: String,
    spellings: String,
    more: bool,
    seed: Option<u64>,
    asking: Option<Later<ChainAnswer>>,
    answer: Option<ChainAnswer>,
    wrong: Option<String>,
}

impl Default for ChainFinder {
    fn default() -> Self {
        ChainFinder {
            from: String::new(),
            to: String::new(),
            which: WhichWay::default(),
            words: USUAL,
            exactly: false,
            practice: ChainFocus::default(),
            places: Vec::new(),
            kinds: Vec::new(),
            syllables: 0,
            sounds: String::new(),
            spellings: String::new(),
            more: false,
            seed: None,
            asking: None,
            answer: None,
            wrong: None,
        }
    }
}

impl ChainFinder {
    /// Shows the question and the answer; gives what is to go into the plan.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, known: &WordStockLoader) -> Option<FoundItem> {
        let made = known.made()?;
        self.take();
        parts::card(ui, |ui| {
            ui.set_width(ui.available_width());
            self.question(ui, shared, &made);
        });
        if let Some(line) = &self.wrong {
            parts::banner(ui, BannerTone::Alarm, line);
        }
        if let Some(job) = &self.asking {
            jobs::show(job, ui);
        }
        match &self.answer {
            None => {
                parts::note(
                    ui,
                    "With both words: the shortest chain between them. With one or none: a chain to practice with.",
                );
                None
            }
            Some(answer) => show_answer(ui, answer),
        }
    }

    fn question(&mut self, ui: &mut Ui, shared: &Shared, made: &Arc<WordStock>) {
        let mut go = false;
        ui.horizontal_wrapped(|ui| {
            for (name, text, hint) in [("From", &mut self.from, "pig"), ("to", &mut self.to, "any word")] {
                let field = rows::field(ui, name, text, hint, 120.0);
                go |= rows::entered(ui, &field);
            }
            self.how_many(ui);
        });
        self.which.ask(ui, &format!("{} {}", self.from, self.to));
        ui.horizontal_wrapped(|ui| {
            ui.label("Practice");
            for (practice, text) in PRACTISE {
                let name = format!("Practice: {text}");
                if Button::text(text)
                    .name(&name)
                    .selected(self.practice == practice)
                    .show(ui)
                    .clicked()
                {
                    self.practice = practice;
                }
            }
        });
        if self.more {
            self.limits(ui);
        }
        ui.horizontal_wrapped(|ui| {
            go |= Button::text("Find a chain").lead().key("Enter").show(ui).clicked();
            if go {
                self.seed = None;
            }
            let seed = self.answer.as_ref().map(|answer| answer.seed);
            if let Some(seed) = seed.filter(|_| Button::both(Icon::Undo, "Another").show(ui).clicked()) {
                self.seed = Some(seed.wrapping_add(1));
                go = true;
            }
            let text = if self.more { "Fewer limits" } else { "More limits" };
            if Button::text(text).quiet().selected(self.more).show(ui).clicked() {
                self.more = !self.more;
            }
        });
        if go {
            self.ask(shared, made.clone());
        }
    }

    fn how_many(&mut self, ui: &mut Ui) {
        let both = !self.from.trim().is_empty() && !self.to.trim().is_empty();
        if both && Button::text("Shortest").selected(!self.exactly).show(ui).clicked() {
            self.exactly = !self.exactly;
        }
        if both && !self.exactly {
            return;
        }
        if Button::icon(Icon::Less, "One word fewer")
            .enabled(self.words > *WORDS.start())
            .show(ui)
            .clicked()
        {
            self.words -= 1;
        }
        ui.label(format!("{} words", self.words));
        if Button::icon(Icon::Add, "One word more")
            .enabled(self.words < *WORDS.end())
            .show(ui)
            .clicked()
        {
            self.words += 1;
        }
    }

    fn limits(&mut self, ui: &mut Ui) {
        ui.horizontal_wrapped(|ui| {
            ui.label("Change");
            let places = [
                (Place::Initial, "first sound"),
                (Place::Medial, "inside"),
                (Place::Final, "last sound"),
            ];
            rows::chips(ui, "Change", &mut self.places, &places);
            let kinds = [
                (ChangeKind::Swap, "swap"),
                (ChangeKind::Add, "add"),
                (ChangeKind::Drop, "drop"),
            ];
            rows::chips(ui, "Kind", &mut self.kinds, &kinds);
        });
        ui.horizontal_wrapped(|ui| {
            ui.label("Syllables");
            for (count, text) in [(0, "any"), (1, "1"), (2, "2"), (3, "3")] {
                let name = format!("Syllables: {text}");
                if Button::text(text)
                    .name(&name)
                    .selected(self.syllables == count)
                    .show(ui)
                    .clicked()
                {
                    self.syllables = count;
                }
            }
        });
        ui.horizontal_wrapped(|ui| {
            rows::field(ui, "Only the sounds", &mut self.sounds, "P IH G EH T", 170.0);
            rows::field(ui, "only the spellings", &mut self.spellings, "p i g e ck", 170.0);
        });
    }

    fn asked(&self) -> Result<Limits, String> {
        let mut limits = Limits {
            places: self.places.clone(),
            kinds: self.kinds.clone(),
            syllables: (self.syllables > 0).then_some(self.syllables..=self.syllables),
            ..Limits::default()
        };
        if !self.sounds.trim().is_empty() {
            limits.sounds = typed::units(&self.sounds).map_err(|e| format!("Only the sounds: {e}"))?;
        }
        if !self.spellings.trim().is_empty() {
            limits.spellings = typed::spellings(&self.spellings).map_err(|e| format!("Only the spellings: {e}"))?;
        }
        match self.practice {
            ChainFocus::Anything => {}
            ChainFocus::Vowels => limits.vowels = true,
            ChainFocus::Clusters => limits.clusters = true,
            ChainFocus::Pair(a, b) => {
                let sound = |name: &str| name.parse::<Unit>().expect("the pairs are sounds of the inventory");
                limits.contrasts = vec![(sound(a), sound(b))];
            }
        }
        Ok(limits)
    }

    fn ask(&mut self, shared: &Shared, made: Arc<WordStock>) {
        self.wrong = None;
        let limits = match self.asked() {
            Ok(limits) => limits,
            Err(line) => return self.wrong = Some(line),
        };
        let word = |text: &str| Some(self.which.told(text)).filter(|w| !w.is_empty());
        let (from, to) = (word(&self.from), word(&self.to));
        let shortest = from.is_some() && to.is_some() && !self.exactly;
        let request = ChainRequest {
            words: (!shortest).then_some(self.words),
            seed: self.seed,
            from,
            to,
            limits,
        };
        self.asking = Some(Later::start(&shared.ctx, "Looking for a chain", move |_| {
            request.answer(&made.graph)
        }));
    }

    fn take(&mut self) {
        let Some(outcome) = self.asking.as_mut().and_then(Later::take) else {
            return;
        };
        self.asking = None;
        match outcome {
            WorkResult::Done(answer) => self.answer = Some(answer),
            WorkResult::Cancelled => {}
            WorkResult::Failed => self.wrong = Some("The program itself failed at this; please report it.".into()),
        }
    }
}

fn show_answer(ui: &mut Ui, answer: &ChainAnswer) -> Option<FoundItem> {
    let rules = &answer.rules;
    let chain = match &answer.found {
        Ok(chain) => chain,
        Err(none) => {
            let why = none.why.to_string();
            let first = why
                .chars()
                .next()
                .map(|c| c.to_uppercase().collect::<String>())
                .unwrap_or_default();
            let rest: String = why.chars().skip(1).collect();
            parts::banner(ui, BannerTone::Care, &format!("{first}{rest}."));
            let nearest = none.nearest.as_ref().filter(|n| n.steps.len() > 1)?;
            parts::note(ui, &format!("The nearest that there is, {}:", none.nearest_is));
            nearest
        }
    };
    let mut found = None;
    parts::card(ui, |ui| {
        ui.set_width(ui.available_width());
        let item = PlanItem::of(Content::Chain(planned(chain)));
        ui.horizontal_wrapped(|ui| {
            parts::section(ui, &format!("{} words", chain.steps.len()));
            if Button::both(Icon::Add, "Add chain to the plan")
                .lead()
                .show(ui)
                .clicked()
            {
                found = Some(FoundItem(item.clone()));
            }
            drag_handle(ui, "chain", item);
        });
        steps(ui, chain, rules);
        settings::rules_line(ui, rules);
    });
    found
}

/// What can be taken hold of and dropped on today's plan.
pub(super) fn drag_handle(ui: &mut Ui, id: &str, item: PlanItem) {
    ui.dnd_drag_source(egui::Id::unique(("drag", id)), FoundItem(item), |ui| {
        let soft = super::super::theme::palette(ui).soft;
        let text = egui::RichText::new("or drag it over").size(14.5).color(soft);
        ui.add(egui::Label::new(text).extend());
    });
}

fn steps(ui: &mut Ui, chain: &Chain, rules: &Rules) {
    let width = rows::widest(ui, chain.steps.iter().map(|s| s.word.as_str()));
    let page = OutputPage::window();
    // Nothing here is touched: the rows may be as close as they can be read.
    ui.spacing_mut().interact_size.y = 30.0;
    for (at, step) in chain.steps.iter().enumerate() {
        ui.horizontal_wrapped(|ui| {
            rows::word(ui, &step.word, &step.said, rules, width);
            if at > 0 {
                ui.label(links::in_words(&page, chain, at));
            }
        });
        let mut notes = Vec::new();
        if !step.also.is_empty() {
            notes.push(format!("said the same: {}", step.also.join(", ")));
        }
        if step.ways > 1 {
            notes.push(match which::cue(&step.word, &step.said) {
                Some(cue) => format!("here: {cue}"),
                None => "said in more than one way; meant is the one shown".to_owned(),
            });
        }
        if step.source == Source::Guess {
            notes.push("its sounds are guessed from its letters".to_owned());
        }
        if !notes.is_empty() {
            ui.indent(at, |ui| parts::note(ui, &notes.join("; ")));
        }
    }
}

fn planned(chain: &Chain) -> Vec<PlanWord> {
    chain
        .steps
        .iter()
        .map(|s| PlanWord::said_as(s.word.clone(), s.said.clone()))
        .collect()
}
