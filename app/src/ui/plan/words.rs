//! What the finders search: the graph and the sorted words, made off the window's thread when the rules change.

use std::sync::Arc;

use egui::Ui;
use soundbead_data::Rules;
use soundbead_data::chain::{BlockList, Graph, Range};
use soundbead_data::sort::Corpus;
use soundbead_data::word::Overrides;

use super::super::parts::{self, BannerTone};
use super::super::shared::Shared;
use crate::later::{Later, WorkResult};
use crate::store;

/// What is known under one set of rules.
pub struct WordStock {
    /// Words one sound apart.
    pub graph: Graph,
    /// Words with their boxes.
    pub corpus: Corpus,
}

/// The words in hand, or on the way.
#[derive(Default)]
pub struct WordStockLoader {
    made: Option<Arc<WordStock>>,
    making: Option<(Rules, Later<Result<WordStock, String>>)>,
    failed: Option<String>,
    none: Overrides,
}

impl WordStockLoader {
    /// Starts the making where the rules in force are new, and takes what is done.
    pub fn keep_up(&mut self, shared: &Shared) {
        let rules = shared.rules();
        let has = self.made.as_ref().is_some_and(|m| m.graph.rules() == rules);
        let coming = self.making.as_ref().is_some_and(|(r, _)| r == rules);
        if !has && !coming && self.failed.is_none() {
            let (rules, folder) = (rules.clone(), shared.folder.clone());
            let wanted = rules.clone();
            let job = Later::start(&shared.ctx, "Laying out the words", move |_| {
                let list = store::word_list_in(&folder, Range::Common)
                    .map_err(|e| e.into_line("the word list cannot be made"))?;
                let (graph, corpus) = (Graph::new(&list, &rules), Corpus::new(&list));
                Ok(WordStock { graph, corpus })
            });
            self.making = Some((wanted, job));
        }
        let Some((_, job)) = &mut self.making else { return };
        match job.take() {
            None => return,
            Some(WorkResult::Done(Ok(made))) => self.made = Some(Arc::new(made)),
            Some(WorkResult::Done(Err(line))) => self.failed = Some(line),
            Some(WorkResult::Cancelled) => self.failed = Some("Laying out the words was canceled.".into()),
            Some(WorkResult::Failed) => self.failed = Some("The program itself failed at laying out the words.".into()),
        }
        self.making = None;
    }

    /// Shows that they are on the way, or why there are none; whether there are.
    pub fn show(&mut self, ui: &mut Ui) -> bool {
        if let Some(line) = &self.failed {
            parts::banner(ui, BannerTone::Alarm, line);
            if parts::Button::text("Try again").show(ui).clicked() {
                self.failed = None;
            }
        }
        match (&self.made, &self.making) {
            (Some(_), _) => true,
            (None, making) => {
                if making.is_some() {
                    ui.horizontal(|ui| {
                        ui.spinner();
                        ui.label("Laying out the words");
                    });
                }
                false
            }
        }
    }

    /// What is known, if it is there.
    pub fn made(&self) -> Option<Arc<WordStock>> {
        self.made.clone()
    }

    /// The words that are kept out, once they are known.
    pub fn block(&self) -> Option<&BlockList> {
        self.made.as_ref().map(|made| &made.graph.list().block)
    }

    /// The family's own pronunciations.
    pub fn overrides(&self) -> &Overrides {
        self.made
            .as_ref()
            .map_or(&self.none, |made| &made.graph.list().overrides)
    }
}
