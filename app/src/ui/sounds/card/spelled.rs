//! How a sound is usually spelled, and how common each spelling is.

use egui::{RichText, Sense, Ui, vec2};
use soundbead_data::inventory::SoundEntry;

use crate::later::{Later, WorkResult};
use crate::spellings::{SoundSpelling, Spellings};
use crate::ui::jobs;
use crate::ui::parts;
use crate::ui::theme::{self, palette};

/// The spellings, counted once.
#[derive(Default)]
pub struct SpellingsPart {
    counted: Option<Spellings>,
    counting: Option<Later<Option<Spellings>>>,
    failed: bool,
}

/// Spellings shown; the rest are rare.
const SHOWN: usize = 6;

impl SpellingsPart {
    /// Shows those of a sound, or that they are being counted.
    pub fn show(&mut self, ui: &mut Ui, entry: &SoundEntry) {
        parts::section(ui, "Usual spellings");
        self.fetch(ui);
        match (&self.counted, &self.counting) {
            (Some(counted), _) => {
                let ways = counted.of(entry);
                ui.scope(|ui| ways.iter().take(SHOWN).for_each(|way| row(ui, way)));
                let words = format!("{},{:03}", counted.words() / 1000, counted.words() % 1000);
                parts::note(
                    ui,
                    &format!("Share of the sound's places in the {words} commonest words of the dictionary."),
                );
            }
            (None, Some(job)) => jobs::show(job, ui),
            (None, None) => {
                parts::note(ui, "Not counted.");
                if parts::Button::text("Count them").show(ui).clicked() {
                    self.failed = false;
                }
            }
        }
    }

    fn fetch(&mut self, ui: &Ui) {
        if let Some(job) = &mut self.counting
            && let Some(outcome) = job.take()
        {
            self.counting = None;
            match outcome {
                WorkResult::Done(Some(counted)) => self.counted = Some(counted),
                _ => self.failed = true,
            }
        }
        if self.counted.is_none() && self.counting.is_none() && !self.failed {
            let count = |progress: &crate::later::WorkProgress| Spellings::count(|share| progress.at(share));
            self.counting = Some(Later::start(ui.ctx(), "Counting spellings", count));
        }
    }
}

/// A spelling, a bar, its share, words with it.
fn row(ui: &mut Ui, way: &SoundSpelling) {
    let p = palette(ui);
    ui.spacing_mut().interact_size.y = 26.0;
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(52.0, 26.0), Sense::hover());
        let font = theme::bold_font(18.0);
        ui.painter()
            .text(rect.left_center(), egui::Align2::LEFT_CENTER, &way.letters, font, p.ink);
        let (bar, _) = ui.allocate_exact_size(vec2(90.0, 26.0), Sense::hover());
        let bar = egui::Rect::from_center_size(bar.center(), vec2(bar.width(), 12.0));
        ui.painter().rect_filled(bar, 6, p.well);
        let full = egui::Rect::from_min_size(bar.min, vec2((bar.width() * way.share).max(4.0), bar.height()));
        ui.painter().rect_filled(full, 6, p.lead);
        let share = match (100.0 * way.share).round() as u32 {
            0 => "< 1 %".to_owned(),
            n => format!("{n} %"),
        };
        let text = format!("{} {share}", way.letters);
        let label = ui.label(RichText::new(share).size(15.0).color(p.soft));
        ui.ctx().accesskit_node_builder(label.id, |node| node.set_value(text));
        let examples = RichText::new(way.examples.join(", ")).size(15.5);
        ui.add(egui::Label::new(examples).wrap());
    });
}
