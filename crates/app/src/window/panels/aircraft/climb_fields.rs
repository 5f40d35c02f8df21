//! The numbers of the climb with floats, taken together once all four are typed.
//!
//! Invariant: no number of the record comes from anywhere but what was typed.

use super::super::typed_field::Kind;
use super::side_fields::given_ui;
use crate::window::desk::Desk;
use eframe::egui::{Id, Ui};
use strip::record::{AircraftRecord, ClimbRecord};

const FIELDS: [(&str, Kind); 4] = [
    ("rate of climb", Kind::Speed),
    ("climbed at airspeed, calibrated", Kind::Speed),
    ("climbed at mass", Kind::Mass),
    ("absolute ceiling", Kind::Length),
];

/// The fields; without a climb they wait until the last of them is typed.
pub(super) fn climb_fields_ui(ui: &mut Ui, desk: Desk, record: &AircraftRecord, new: &mut AircraftRecord) {
    ui.label("With floats, in standard air at the sea, as measured or in the handbook.");
    if record.climb.is_none() {
        ui.label("Not known; every number is needed before any is taken into the record.");
    }
    let now = record.climb.map(|c| vec![c.rate_mps, c.airspeed_mps, c.mass_kg, c.absolute_ceiling_m]);
    let typed = given_ui(ui, desk, Id::unique(("climb", &record.id)), &FIELDS, now);
    if let Some(&[rate_mps, airspeed_mps, mass_kg, absolute_ceiling_m]) = typed.as_deref() {
        new.climb = Some(ClimbRecord { rate_mps, airspeed_mps, mass_kg, absolute_ceiling_m });
    }
}
