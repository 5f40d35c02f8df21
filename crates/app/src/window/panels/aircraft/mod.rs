//! The aircraft: drawn from its record, its limits, and what slide and clearance are worked out from.

mod climb_fields;
mod front_view;
mod side_fields;
mod side_view;

use super::super::desk::{Command, Desk};
use super::super::edition::Action;
use super::typed_field::{Kind, text_ui, typed_ui};
use eframe::egui::Ui;
use measure::shown::Side;
use strip::record::{AircraftRecord, LimitsRecord, StallRecord};

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
    if let Some(side) = &record.side {
        side_view::side_view_ui(ui, desk, record, side);
    }
    front_view::front_view_ui(ui, desk, record);
    ui.heading("Limits");
    limits_ui(ui, desk, &record.limits, &mut new.limits);
    ui.heading("Numbers");
    numbers_ui(ui, desk, record, &mut new);
    ui.heading("Climb");
    climb_fields::climb_fields_ui(ui, desk, record, &mut new);
    ui.heading("From the side");
    side_fields::side_fields_ui(ui, desk, record, &mut new);
    ui.heading("From ahead, one side");
    parts_ui(ui, desk, record);
    if new != *record {
        out.push(Command::Act(Action::SetAircraft(Box::new(new)), None));
    }
}

/// What the owner accepts, and who said so.
fn limits_ui(ui: &mut Ui, desk: Desk, limits: &LimitsRecord, new: &mut LimitsRecord) {
    ui.label(limits_words(desk, limits));
    if let Some(limit) = typed_ui(ui, desk, "crosswind limit", Kind::Speed, limits.crosswind_mps) {
        new.crosswind_mps = Some(limit);
    }
    if let Some(limit) =
        typed_ui(ui, desk, "load factor limit at touchdown", Kind::Number(""), limits.load_factor)
    {
        new.load_factor = Some(limit);
    }
    let who = limits.given_by.as_deref().unwrap_or_default();
    if let Some(who) = text_ui(ui, desk, "limits given by", who, |_| Ok(())) {
        new.given_by = Some(who);
    }
}

fn limits_words(desk: Desk, limits: &LimitsRecord) -> String {
    let crosswind = limits.crosswind_mps.map_or_else(
        || "no crosswind limit".to_owned(),
        |mps| format!("crosswind up to {}", desk.units.speed(mps, Side::AtLeast, 1)),
    );
    let load = limits.load_factor.map_or_else(
        || "no limit of load factor at touchdown".to_owned(),
        |n| format!("load factor at touchdown up to {n}"),
    );
    let who = match &limits.given_by {
        Some(who) => format!("given by {who}"),
        None => "nobody is named as giving limits".to_owned(),
    };
    format!("{crosswind}; {load}; {who}")
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
    let keel = typed_ui(ui, desk, "length of the flat keel", Kind::Length, record.keels.length_m);
    if let Some(length) = keel {
        new.keels.length_m = Some(length);
    }
}

/// The parts of the front view, by the numbers that they carry there.
fn parts_ui(ui: &mut Ui, desk: Desk, record: &AircraftRecord) {
    ui.label(format!(
        "keels {} apart, shoes {} wide, floats {} wide, deadrise {} degrees",
        desk.near(record.keels.spacing_m),
        desk.near(record.keels.shoe_width_m),
        desk.near(record.keels.float_beam_m),
        record.keels.deadrise_deg
    ));
    for (i, part) in record.parts.iter().enumerate() {
        ui.label(format!(
            "{} {}: {} to {} out, {} to {} up",
            i + 1,
            part.name,
            desk.near(part.from_m),
            desk.near(part.to_m),
            desk.near(part.from_height_m),
            desk.near(part.to_height_m)
        ));
    }
}
