//! The question before a report is printed whose notes name a diagnosis.

use egui::Ui;

use crate::report::ReportData;
use crate::ui::icons::Icon;
use crate::ui::parts::Button;

/// Asks, and gives the report to be printed once it was answered; nothing is asked of a report without such notes.
pub fn question(ui: &mut Ui, data: &ReportData) -> Option<ReportData> {
    let (day, what, name) = data.names_diagnosis()?;
    ui.label(format!(
        "A {what} of {} names a diagnosis ({name}). Is it meant for everyone who will read the report?",
        day.strftime("%-d %B %Y")
    ));
    let without = Button::both(Icon::Print, "Report without such notes")
        .show(ui)
        .clicked();
    let with = Button::text("Report with them").quiet().show(ui).clicked();
    let mut data = (without || with).then(|| data.clone())?;
    if without {
        data.leave_diagnoses_out();
    }
    Some(data)
}
