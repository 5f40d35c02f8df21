//! The aircraft: what the slide and the clearance are worked out from.

use super::super::desk::{Command, Desk};
use super::super::edition::Action;
use super::typed_field::{Kind, typed_ui};
use eframe::egui::Ui;
use strip::record::{AircraftRecord, StallRecord};

/// The panel.
pub(super) fn aircraft_ui(ui: &mut Ui, desk: Desk, out: &mut Vec<Command>) {
    let Some(record) = &desk.document.edition().aircraft else {
        ui.label("No aircraft given, so no lane is judged.");
        if ui.button("Give an aircraft").clicked() {
            out.push(Command::AskAircraft);
        }
        return;
    };
    let mut new = record.clone();
    ui.heading(&record.name);
    if ui.button("Take another aircraft").clicked() {
        out.push(Command::AskAircraft);
    }
    numbers_ui(ui, desk, record, &mut new);
    ui.separator();
    ui.heading("From ahead, one side");
    ui.label(format!(
        "keels {} apart, shoes {} wide, floats {} wide, deadrise {} degrees",
        desk.near(record.keels.spacing_m),
        desk.near(record.keels.shoe_width_m),
        desk.near(record.keels.float_beam_m),
        record.keels.deadrise_deg
    ));
    for part in &record.parts {
        ui.label(format!(
            "{}: {} to {} out, {} to {} up",
            part.name,
            desk.near(part.from_m),
            desk.near(part.to_m),
            desk.near(part.from_height_m),
            desk.near(part.to_height_m)
        ));
    }
    if new != *record {
        out.push(Command::Act(Action::SetAircraft(Box::new(new)), None));
    }
}

fn numbers_ui(ui: &mut Ui, desk: Desk, record: &AircraftRecord, new: &mut AircraftRecord) {
    let mut field = |label: &str, kind: Kind, slot: &mut f64| {
        if let Some(value) = typed_ui(ui, desk, label, kind, Some(*slot)) {
            *slot = value;
        }
    };
    let (StallRecord::Calibrated { mps } | StallRecord::Indicated { mps, .. }) = &mut new.stall;
    let stall = if matches!(record.stall, StallRecord::Calibrated { .. }) {
        "stall speed, calibrated"
    } else {
        "stall speed, indicated"
    };
    field(stall, Kind::Speed, mps);
    field("at mass", Kind::Mass, &mut new.reference_mass_kg);
    field("empty mass", Kind::Mass, &mut new.empty_mass_kg);
    field("greatest landing mass", Kind::Mass, &mut new.max_landing_mass_kg);
    field("wing area", Kind::Number("m2"), &mut new.wing_area_m2);
    field("lift coefficient on the keels, least", Kind::Number(""), &mut new.lift_coefficient.low);
    field("lift coefficient on the keels, most", Kind::Number(""), &mut new.lift_coefficient.high);
    field("drag coefficient on the keels, least", Kind::Number(""), &mut new.drag_coefficient.low);
    field("drag coefficient on the keels, most", Kind::Number(""), &mut new.drag_coefficient.high);
    field("idle thrust, least", Kind::Number("N"), &mut new.idle_thrust_n.low);
    field("idle thrust, most", Kind::Number("N"), &mut new.idle_thrust_n.high);
    if let Some(limit) = typed_ui(ui, desk, "crosswind limit", Kind::Speed, record.limits.crosswind_mps) {
        new.limits.crosswind_mps = Some(limit);
    }
}
