//! The Sounds view: how each sound is made, for the parent who models it.

mod card;
mod consonants;
mod live;
pub(super) mod mouth;
mod tile;
mod vowels;

use egui::Ui;
use soundbead_data::inventory::{self, SoundEntry};

use super::icons::Icon;
use super::parts;
use super::shared::Shared;
use super::to_print::ToPrint;
use crate::keyed::key_word;

/// The pages of the view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum SoundsPage {
    #[default]
    Vowels,
    Consonants,
}

/// Charts of the sounds and a card for each.
#[derive(Default)]
pub struct SoundsView {
    page: SoundsPage,
    vowels: vowels::Vowels,
    card: card::Card,
    /// Whether the card has taken the chart's place, where there is no room for both.
    open: bool,
}

/// Narrower than this there is no room for a chart and a card.
const BOTH: f32 = 900.0;
/// Width of the card beside the chart.
const CARD: f32 = 440.0;

impl SoundsView {
    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let both = ui.available_width() >= BOTH;
        if !both && self.open {
            let escape = ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::Escape));
            if parts::Button::both(Icon::Back, "All sounds")
                .key("Esc")
                .quiet()
                .show(ui)
                .clicked()
                || escape
            {
                self.open = false;
            } else {
                self.card.show(ui, shared);
            }
            return;
        }
        if both {
            let left = ui.available_width() - CARD - 16.0;
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 16.0;
                ui.vertical(|ui| {
                    ui.set_width(left);
                    ui.spacing_mut().item_spacing.x = 10.0;
                    self.head(ui, shared);
                    self.chart(ui, shared);
                });
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.x = 10.0;
                    self.card.show(ui, shared);
                });
            });
        } else {
            self.head(ui, shared);
            self.chart(ui, shared);
        }
    }

    /// Another view is shown: the microphone is let go.
    pub fn leave(&mut self) {
        self.vowels.stop_listening();
        self.card.leave();
    }

    fn head(&mut self, ui: &mut Ui, shared: &mut Shared) {
        ui.horizontal(|ui| {
            parts::heading(ui, "Sounds");
            ui.add_space(10.0);
            let pages = [(SoundsPage::Vowels, "Vowels"), (SoundsPage::Consonants, "Consonants")];
            // While a sound to turn into is being chosen, the other chart shows its own without choosing one.
            if parts::choice(ui, "Chart", &mut self.page, &pages) && !self.card.is_aiming() {
                let first = match self.page {
                    SoundsPage::Vowels => "IY",
                    SoundsPage::Consonants => "P",
                };
                self.card.pick(inventory::find(first).expect("in the inventory"));
            }
            if self.page == SoundsPage::Vowels {
                self.vowels.listen_button(ui, shared);
            } else {
                self.vowels.stop_listening();
            }
            self.print(ui, shared);
        });
        shared.key("Enter", "pick the sound that has the ring");
    }

    /// What can be printed of the sounds.
    fn print(&self, ui: &mut Ui, shared: &mut Shared) {
        let button = parts::Button::icon(Icon::Print, "Print").show(ui);
        // Opened by the keyboard, its first line has the ring.
        let mut ring = parts::opened_by_key(ui, &button);
        let mut chosen = None;
        egui::Popup::menu(&button).show(|ui| {
            let (chart, wall): (ToPrint, ToPrint) = match self.page {
                SoundsPage::Vowels => (ToPrint::vowels(shared.prefs.voice), ToPrint::vowel_wall()),
                SoundsPage::Consonants => (ToPrint::consonants(), ToPrint::consonant_wall()),
            };
            for (text, sheet) in [
                ("This chart", chart),
                ("A chart for the wall", wall),
                ("Cards to cut apart", ToPrint::cards(self.page_sounds())),
            ] {
                let item = parts::Button::text(text).quiet().show(ui);
                if std::mem::take(&mut ring) {
                    item.request_focus();
                }
                if item.clicked() {
                    chosen = Some(sheet);
                    ui.close();
                }
            }
        });
        if let Some(sheet) = chosen {
            shared.print(sheet);
        }
    }

    /// The sounds of the page that is open.
    fn page_sounds(&self) -> Vec<&'static SoundEntry> {
        let vowels = self.page == SoundsPage::Vowels;
        let on_page = |e: &&SoundEntry| matches!(e.features, inventory::Features::Vowel(_)) == vowels;
        inventory::all().iter().filter(on_page).collect()
    }

    fn chart(&mut self, ui: &mut Ui, shared: &mut Shared) {
        let picked = self.card.entry();
        let dot = self.card.moving_dot(shared.prefs.voice);
        let now = match self.page {
            SoundsPage::Vowels => self.vowels.show(ui, shared, picked, dot),
            SoundsPage::Consonants => consonants::show(ui, picked),
        };
        if let Some(entry) = now {
            self.pick(entry);
        }
        if let Some(entry) = self.card.take_asked() {
            self.pick(entry);
        }
    }

    fn pick(&mut self, entry: &'static SoundEntry) {
        self.card.pick(entry);
        self.open = true;
        self.page = match self.card.entry().features {
            inventory::Features::Vowel(_) => SoundsPage::Vowels,
            inventory::Features::Consonant(_) => SoundsPage::Consonants,
        };
    }
}

/// A sound as it is said aloud to those who cannot see the chart: its letters and a word with it.
fn spoken(entry: &SoundEntry) -> String {
    format!("{} as in {}", entry.letters(), key_word(entry))
}
