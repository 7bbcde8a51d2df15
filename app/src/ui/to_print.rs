//! What a view asks to be printed: its name, and how its pages are made. The window shows it as a preview.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use jiff::Zoned;
use soundbead_data::inventory::SoundEntry;
use soundbead_data::word::Overrides;
use soundbead_dsp::formant::VoiceKind;

use crate::later::Later;
use crate::notebook::{BeadDays, Result as Noted};
use crate::plan::Plan;
use crate::report::{self, ReportData};
use crate::sheet::{self, Paper, Sheet, SheetOptions, card, consonants, string, vowels, wall};

/// Makes the sheet on this paper, with the key or without.
pub(super) type SheetMaker = Arc<dyn Fn(Paper, bool) -> Result<Sheet, String> + Send + Sync>;
/// Makes the same as HTML.
pub(super) type Html = Arc<dyn Fn() -> String + Send + Sync>;

/// On this paper, all else as usual.
fn plain(paper: Paper) -> SheetOptions {
    SheetOptions {
        paper,
        ..SheetOptions::default()
    }
}

/// A sheet that is to be looked at before it is printed.
pub struct ToPrint {
    pub(super) name: String,
    pub(super) make: SheetMaker,
    /// Whether there are answers that can be left out.
    pub(super) has_key: bool,
    /// The same as HTML, for what has such a form.
    pub(super) as_html: Option<Html>,
}

impl ToPrint {
    /// A sheet called `name`, which is also the name of the file until it is changed. `make` may take its time: it runs
    /// on a thread of its own, again for another paper, or for the key where `has_key` says that there is one.
    pub fn new(
        name: impl Into<String>,
        has_key: bool,
        make: impl Fn(Paper, bool) -> Result<Sheet, String> + Send + Sync + 'static,
    ) -> ToPrint {
        ToPrint {
            name: name.into(),
            make: Arc::new(make),
            has_key,
            as_html: None,
        }
    }

    /// The vowel chart of a voice.
    pub fn vowels(voice: VoiceKind) -> ToPrint {
        ToPrint::new("The vowels", false, move |paper, _| {
            Ok(vowels::sheet(voice, &plain(paper)))
        })
    }

    /// The consonants by place and manner.
    pub fn consonants() -> ToPrint {
        ToPrint::new("The consonants", false, |paper, _| Ok(consonants::sheet(&plain(paper))))
    }

    /// A chart of the vowels for the wall.
    pub fn vowel_wall() -> ToPrint {
        let name = "The vowels, for the wall";
        ToPrint::new(name, false, |paper, _| Ok(wall::vowels(&plain(paper))))
    }

    /// A chart of the consonants for the wall.
    pub fn consonant_wall() -> ToPrint {
        let name = "The consonants, for the wall";
        ToPrint::new(name, false, |paper, _| Ok(wall::consonants(&plain(paper))))
    }

    /// Cards of these sounds to cut apart, six to a page.
    pub fn cards(entries: Vec<&'static SoundEntry>) -> ToPrint {
        let make = move |paper, _| Ok(card::six(&entries, &plain(paper)));
        ToPrint::new("Sound cards", false, make)
    }

    /// One sound's card.
    pub fn card(entry: &'static SoundEntry) -> ToPrint {
        ToPrint::new(format!("The sound {}", entry.shown()), false, move |paper, _| {
            Ok(card::sheet(entry, &plain(paper)))
        })
    }

    /// A lesson: the child's page, and the grown-up's before it or not.
    pub fn plan(plan: Plan, own: Overrides) -> ToPrint {
        let name = if plan.title.is_empty() {
            "Lesson plan".to_owned()
        } else {
            plan.title.clone()
        };
        ToPrint::new(name, true, move |paper, key| {
            let about = SheetOptions {
                paper,
                key,
                ..SheetOptions::new(plan.rules.clone())
            };
            sheet::plan::sheet(&plan, &about, &own)
        })
    }

    /// A learner's string of beads, of the days that the notebook was asked for.
    pub fn string(learner: String, days: Later<Noted<BeadDays>>) -> ToPrint {
        let name = format!("The string of {learner}");
        let (asked, known) = (Mutex::new(Some(days)), OnceLock::new());
        ToPrint::new(name, false, move |paper, _| {
            // The notebook answers once; the sheet may be made again for another paper.
            let days = known.get_or_init(|| {
                let asked = asked.lock().unwrap_or_else(PoisonError::into_inner).take();
                asked.map_or_else(|| Ok(Vec::new()), |later| later.wait().map_err(|e| e.to_string()))
            });
            let page = string::BeadPage {
                learner: learner.clone(),
                days: days.clone()?,
                made: Zoned::now().date(),
            };
            string::sheet(&page, &plain(paper))
        })
    }

    /// The report on a learner; it can be saved as HTML too.
    pub fn report(data: ReportData) -> ToPrint {
        let data = Arc::new(data);
        let pages = data.clone();
        let make = move |paper, _| Ok(report::pages::sheet(&pages, paper));
        let mut sheet = ToPrint::new(format!("Report on {}", data.learner), false, make);
        sheet.as_html = Some(Arc::new(move || report::html::page(&data)));
        sheet
    }
}
