//! The choice of a cover, for the field and for patches.

use eframe::egui::{ComboBox, Ui};
use strip::record::CoverRecord;

/// A choice of cover, or none.
pub(super) fn cover_ui(ui: &mut Ui, label: &str, cover: &mut Option<CoverRecord>, none: &str) {
    ComboBox::from_label(label).selected_text(name(*cover, none)).show_ui(ui, |ui| {
        let covers = [CoverRecord::ShortGrass, CoverRecord::LongGrass, CoverRecord::BareSoil];
        for choice in std::iter::once(None).chain(covers.map(Some)) {
            ui.selectable_value(cover, choice, name(choice, none));
        }
    });
}

fn name(cover: Option<CoverRecord>, none: &str) -> &str {
    match cover {
        None => none,
        Some(CoverRecord::ShortGrass) => "short grass",
        Some(CoverRecord::LongGrass) => "long grass",
        Some(CoverRecord::BareSoil) => "bare soil",
    }
}
