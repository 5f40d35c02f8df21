//! The choice of a cover and the mark of a heel, for the field and for patches.

use super::super::desk::Desk;
use super::typed_field::{Kind, typed_ui};
use eframe::egui::{ComboBox, Ui};
use strip::record::{CoverRecord, StrengthRecord};

/// A choice of cover, or none.
pub(super) fn cover_ui(ui: &mut Ui, label: &str, cover: &mut Option<CoverRecord>, none: &str) {
    ComboBox::from_label(label).selected_text(name(*cover, none)).show_ui(ui, |ui| {
        let covers = [CoverRecord::ShortGrass, CoverRecord::LongGrass, CoverRecord::BareSoil];
        for choice in std::iter::once(None).chain(covers.map(Some)) {
            ui.selectable_value(cover, choice, name(choice, none));
        }
    });
}

/// The mark of a heel on the ground, and what the test on record says; a mark typed here takes the place of another test.
pub(super) fn heel_ui(ui: &mut Ui, desk: Desk, label: &str, strength: &mut Option<StrengthRecord>) {
    let heel = match strength {
        Some(StrengthRecord::HeelTest { mm, person_kg }) => Some((*mm, *person_kg)),
        Some(StrengthRecord::Penetrometer { .. }) | None => None,
    };
    if let Some(mm) = typed_ui(ui, desk, label, Kind::Number("mm"), heel.map(|(mm, _)| mm)) {
        let person_kg = heel.and_then(|(_, person)| person);
        *strength = Some(StrengthRecord::HeelTest { mm, person_kg });
    }
    if let Some(class) = strength.as_ref().and_then(StrengthRecord::class_name) {
        ui.label(format!("tested as {class} ground"));
    }
}

fn name(cover: Option<CoverRecord>, none: &str) -> &str {
    match cover {
        None => none,
        Some(CoverRecord::ShortGrass) => "short grass",
        Some(CoverRecord::LongGrass) => "long grass",
        Some(CoverRecord::BareSoil) => "bare soil",
    }
}
