//! Charts and tables, each with its caption.

use super::super::data::{ReportData, ShareTable};
use super::super::passage::ReportPassage;
use super::super::{plots, written};
use super::{ChartPart, Widths, heading, text};

/// One part, under its heading.
pub fn chart(blocks: &mut Vec<ReportPassage>, part: ChartPart, data: &ReportData, widths: Widths) {
    match part {
        ChartPart::Trend => trend(blocks, data, widths.whole),
        ChartPart::Tables => tables(blocks, data, widths),
        ChartPart::Heard => sounds(blocks, data, widths.whole),
        ChartPart::Vowels => vowels(blocks, data, widths.whole),
        ChartPart::Choices => {
            let Some(writing) = &data.writing else { return };
            let parted = writing.since.map_or("", |_| ", then and now");
            heading(blocks, &format!("Choices of spelling{parted}"));
            blocks.extend(written::chart(writing, widths.page));
        }
        ChartPart::Letters => {
            let writing = data.writing.iter();
            blocks.extend(writing.flat_map(|w| written::for_each_sound(w, widths.page)));
        }
    }
}

/// One point is no trend, and its share is said in words.
pub fn has_trend(data: &ReportData) -> bool {
    data.trend.iter().filter(|s| s.counted.of > 0).count() > 1
}

fn trend(blocks: &mut Vec<ReportPassage>, data: &ReportData, width: f32) {
    heading(blocks, "Counting over time");
    blocks.push(ReportPassage::Charts {
        plots: vec![plots::trend(&data.trend, width)],
        caption:
            "How often the child counted the sounds that were said, with the range in which the true share probably \
                  lies. Hollow points stand on fewer than ten words: they say little."
                .into(),
    });
}

fn tables(blocks: &mut Vec<ReportPassage>, data: &ReportData, widths: Widths) {
    let tables = data.groups.iter().filter(|g| g.rows.iter().any(|(_, s)| s.of > 0));
    let tables: Vec<&ShareTable> = tables.collect();
    heading(blocks, "Counted right, by kind of word");
    let pairs: Vec<ReportPassage> = tables.chunks(2).map(|pair| bars(pair, widths)).collect();
    blocks.extend(pairs);
    text(
        blocks,
        format!(
            "A bar is the share counted right, the line across its end where the true share probably lies; hollow bars stand on fewer \
             than ten tries and say little. {}",
            low_rows(data)
        ),
    );
}

/// One table or two side by side, with what is to be known of them.
fn bars(tables: &[&ShareTable], widths: Widths) -> ReportPassage {
    let width = if tables.len() == 1 { widths.whole } else { widths.half };
    let captions: Vec<&str> = tables
        .iter()
        .map(|t| t.caption.as_str())
        .filter(|c| !c.is_empty())
        .collect();
    ReportPassage::Charts {
        plots: tables
            .iter()
            .map(|t| plots::titled_bars(&t.title, &t.rows, width))
            .collect(),
        caption: captions.join(" "),
    }
}

/// Why a row may be low, and what was found beyond that.
pub fn low_rows(data: &ReportData) -> String {
    let looked = match &data.sounds {
        None => "Too few words were tried in the last two months to tell the reasons apart.",
        Some(out) if out.is_empty() => {
            "Length, spelling and clusters together were taken into account for the last two months: no sound stands out beyond them."
        }
        Some(_) => "What stands out beyond length, spelling and clusters is named above.",
    };
    format!("A row may be low for what else its words hold: short i for the sh and th in ship and thin. {looked}")
}

fn sounds(blocks: &mut Vec<ReportPassage>, data: &ReportData, width: f32) {
    let Some(plot) = plots::matrix(&data.heard, width) else {
        return;
    };
    heading(blocks, "Sounds heard against sounds expected");
    let caption = "Of words that a person ruled on. Down: the sound that the word has. Across: what the person heard in its place; \
         gone: it was left out. The heavy frames are the word's own sounds. Only the sounds that strayed most are shown.";
    blocks.push(ReportPassage::Charts {
        plots: vec![plot],
        caption: caption.into(),
    });
}

fn vowels(blocks: &mut Vec<ReportPassage>, data: &ReportData, width: f32) {
    let Some(plot) = plots::vowels(data, width) else { return };
    heading(blocks, "Vowels");
    blocks.push(ReportPassage::Charts {
        plots: vec![plot],
        caption: format!(
            "Left: the tongue is forward; top: the mouth is nearly shut. Each ring holds about two of three {} measured by \
             Peterson and Barney (1952) and by Hillenbrand and others (1995), pooled. Other accents and smaller or larger heads have other places, and \
             formants of high voices are hard to measure: a place outside its ring is no fault.",
            match data.voice {
                soundbead_dsp::formant::VoiceKind::Child => "children",
                soundbead_dsp::formant::VoiceKind::Woman => "women",
                soundbead_dsp::formant::VoiceKind::Man => "men",
            }
        ),
    });
}
