//! The aircraft: what the slide and the clearance are worked out from.

use super::super::desk::{Command, Desk};
use super::super::edition::Action;
use super::typed_field::{Kind, typed_ui};
use super::views::{front_ui, side_ui};
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
    ui.separator();
    match &record.side {
        Some(side) => side_ui(ui, desk, record, side),
        None => {
            ui.label("Nothing is known of it from the side, so attitude and tipping are unknown; give it in its file");
        }
    }
    front_ui(ui, desk, record);
    ui.separator();
    numbers_ui(ui, desk, record, &mut new);
    side_numbers_ui(ui, desk, &mut new);
    ui.separator();
    ui.heading("Parts from ahead, one side");
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
    let load_factor = record.limits.load_factor;
    if let Some(limit) =
        typed_ui(ui, desk, "greatest load factor at touchdown", Kind::Number(""), load_factor)
    {
        new.limits.load_factor = Some(limit);
    }
    let by = record.limits.given_by.as_deref().unwrap_or("nobody said who");
    ui.label(format!("limits given by: {by}"));
}

/// What was measured from the side, where anything was.
fn side_numbers_ui(ui: &mut Ui, desk: Desk, new: &mut AircraftRecord) {
    let Some(side) = &mut new.side else { return };
    ui.separator();
    ui.heading("Measured from the side");
    ui.label("behind the forward end of the flat keel, and above the keel line");
    let mut field = |label: &str, kind: Kind, slot: &mut f64| {
        if let Some(value) = typed_ui(ui, desk, label, kind, Some(*slot)) {
            *slot = value;
        }
    };
    let degrees = Kind::Number("degrees");
    field("centre of gravity, most forward", Kind::Length, &mut side.cg_behind_m.low);
    field("centre of gravity, most aft", Kind::Length, &mut side.cg_behind_m.high);
    field("centre of gravity, lowest", Kind::Length, &mut side.cg_height_m.low);
    field("centre of gravity, highest", Kind::Length, &mut side.cg_height_m.high);
    field("bow of the floats", Kind::Length, &mut side.bow_behind_m);
    field("stern of the floats", Kind::Length, &mut side.stern_behind_m);
    field("depth of a float", Kind::Length, &mut side.float_depth_m);
    field("angle to the stern post", degrees, &mut side.sternpost_deg);
    field("angle at which the bow touches", degrees, &mut side.bow_limit_deg);
    field("keel above the zero-lift line, least", degrees, &mut side.keel_above_zero_lift_deg.low);
    field("keel above the zero-lift line, most", degrees, &mut side.keel_above_zero_lift_deg.high);
    field("lift for each degree, least", Kind::Number(""), &mut side.lift_slope_per_deg.low);
    field("lift for each degree, most", Kind::Number(""), &mut side.lift_slope_per_deg.high);
    field("thrust line", Kind::Length, &mut side.thrust_line_height_m);
    field("propeller", Kind::Length, &mut side.propeller_behind_m);
    field("lowest tip of the propeller", Kind::Length, &mut side.propeller_tip_height_m);
}
