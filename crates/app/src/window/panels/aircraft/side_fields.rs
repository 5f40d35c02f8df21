//! The numbers of the aircraft from the side, each typed; a block that is not there is made once every number that
//! it needs is given.
//!
//! Invariant: no number of the record comes from anywhere but what was typed.

use super::super::typed_field::{Kind, typed_ui};
use crate::window::desk::Desk;
use eframe::egui::{CollapsingHeader, Id, Ui};
use strip::record::{AircraftRecord, Ends, SideRecord};

/// One number: what it is called, and where it stands.
struct Field {
    label: &'static str,
    kind: Kind,
    slot: fn(&mut SideRecord) -> &mut f64,
}

const DEGREES: Kind = Kind::Number("deg");

/// Every number that the block needs.
const NEEDED: [Field; 16] = [
    Field {
        label: "lift slope per degree, least",
        kind: Kind::Number(""),
        slot: |s| &mut s.lift_slope_per_deg.low,
    },
    Field {
        label: "lift slope per degree, most",
        kind: Kind::Number(""),
        slot: |s| &mut s.lift_slope_per_deg.high,
    },
    Field {
        label: "keel above zero-lift line, least",
        kind: DEGREES,
        slot: |s| &mut s.keel_above_zero_lift_deg.low,
    },
    Field {
        label: "keel above zero-lift line, most",
        kind: DEGREES,
        slot: |s| &mut s.keel_above_zero_lift_deg.high,
    },
    Field { label: "bow first below", kind: DEGREES, slot: |s| &mut s.bow_limit_deg },
    Field { label: "step to stern post", kind: DEGREES, slot: |s| &mut s.sternpost_deg },
    Field { label: "CG behind, most forward", kind: Kind::Length, slot: |s| &mut s.cg_behind_m.low },
    Field { label: "CG behind, most aft", kind: Kind::Length, slot: |s| &mut s.cg_behind_m.high },
    Field { label: "CG up, lowest", kind: Kind::Length, slot: |s| &mut s.cg_height_m.low },
    Field { label: "CG up, highest", kind: Kind::Length, slot: |s| &mut s.cg_height_m.high },
    Field { label: "thrust line up", kind: Kind::Length, slot: |s| &mut s.thrust_line_height_m },
    Field { label: "propeller behind", kind: Kind::Length, slot: |s| &mut s.propeller_behind_m },
    Field { label: "propeller tip up", kind: Kind::Length, slot: |s| &mut s.propeller_tip_height_m },
    Field { label: "bow of the floats behind", kind: Kind::Length, slot: |s| &mut s.bow_behind_m },
    Field { label: "stern of the floats behind", kind: Kind::Length, slot: |s| &mut s.stern_behind_m },
    Field { label: "float depth", kind: Kind::Length, slot: |s| &mut s.float_depth_m },
];

/// What may be left out, in pairs that belong together.
const MOMENT: [(&str, Kind); 2] =
    [("nose-down moment, least", Kind::Number("m3")), ("nose-down moment, most", Kind::Number("m3"))];
const AREA: [(&str, Kind); 2] =
    [("side area", Kind::Number("m2")), ("centre of side area behind", Kind::Length)];

/// The fields of the block that is there, or those that make one.
pub(super) fn side_fields_ui(ui: &mut Ui, desk: Desk, record: &AircraftRecord, new: &mut AircraftRecord) {
    let Some(side) = &mut new.side else {
        ui.label("Nothing known of it from the side, so attitude and tipping are unknown.");
        CollapsingHeader::new("Give it from the side").id_salt("give side").show(ui, |ui| {
            ui.label("Every number is needed before any is taken into the record.");
            how_ui(ui);
            new.side = needed_ui(ui, desk, &record.id, None);
        });
        return;
    };
    how_ui(ui);
    if let Some(typed) = needed_ui(ui, desk, &record.id, Some(*side)) {
        *side = typed;
    }
    let id = |name: &'static str| Id::unique((name, &record.id));
    let now = side.nose_down_moment_m3.map(|m| vec![m.low, m.high]);
    if let Some([low, high]) = pair(given_ui(ui, desk, id("moment"), &MOMENT, now)) {
        side.nose_down_moment_m3 = Some(Ends { low, high });
    }
    let now = side.side_area_m2.zip(side.side_area_behind_m).map(|(area, at)| vec![area, at]);
    if let Some([area, behind]) = pair(given_ui(ui, desk, id("area"), &AREA, now)) {
        (side.side_area_m2, side.side_area_behind_m) = (Some(area), Some(behind));
    }
    if let Some(mps) =
        typed_ui(ui, desk, "rudder holds the nose down to", Kind::Speed, side.rudder_holds_to_mps)
    {
        side.rudder_holds_to_mps = Some(mps);
    }
    if let Some(radius) = typed_ui(ui, desk, "radius of gyration in yaw", Kind::Length, side.yaw_radius_m) {
        side.yaw_radius_m = Some(radius);
    }
}

fn how_ui(ui: &mut Ui) {
    ui.label(
        "Standing on even ground, keels flat: behind the forward end of the flat keel (ahead of it negative), up \
         from the keel line.",
    );
}

/// The needed numbers; returns the block when one was typed and none is missing.
fn needed_ui(ui: &mut Ui, desk: Desk, mark: &str, now: Option<SideRecord>) -> Option<SideRecord> {
    let fields = NEEDED.map(|field| (field.label, field.kind));
    let shown = now.map(|mut side| NEEDED.iter().map(|field| *(field.slot)(&mut side)).collect());
    let values = given_ui(ui, desk, Id::unique(("side", mark)), &fields, shown)?;
    let mut side = now.unwrap_or_else(blank);
    for (field, value) in NEEDED.iter().zip(values) {
        *(field.slot)(&mut side) = value;
    }
    Some(side)
}

/// A block of which [`NEEDED`] overwrites every number.
fn blank() -> SideRecord {
    let none = Ends { low: f64::NAN, high: f64::NAN };
    SideRecord {
        lift_slope_per_deg: none,
        keel_above_zero_lift_deg: none,
        bow_limit_deg: f64::NAN,
        sternpost_deg: f64::NAN,
        cg_behind_m: none,
        cg_height_m: none,
        thrust_line_height_m: f64::NAN,
        propeller_behind_m: f64::NAN,
        propeller_tip_height_m: f64::NAN,
        bow_behind_m: f64::NAN,
        stern_behind_m: f64::NAN,
        float_depth_m: f64::NAN,
        nose_down_moment_m3: None,
        side_area_m2: None,
        side_area_behind_m: None,
        rudder_holds_to_mps: None,
        yaw_radius_m: None,
    }
}

/// Fields that are taken together: what is typed while some are empty waits here, not in the record. Returns all of
/// them in the frame in which one was typed and none is empty.
pub(super) fn given_ui(
    ui: &mut Ui,
    desk: Desk,
    id: Id,
    fields: &[(&str, Kind)],
    now: Option<Vec<f64>>,
) -> Option<Vec<f64>> {
    let is_there = now.is_some();
    let waiting = || ui.data(|d| d.get_temp::<Vec<Option<f64>>>(id)).unwrap_or(vec![None; fields.len()]);
    let mut values = now.map_or_else(waiting, |all| all.into_iter().map(Some).collect());
    let mut typed = false;
    for ((label, kind), slot) in fields.iter().zip(&mut values) {
        if let Some(value) = typed_ui(ui, desk, label, *kind, *slot) {
            *slot = Some(value);
            typed = true;
        }
    }
    // Kept until the record has them: it may refuse numbers that do not go together.
    ui.data_mut(|d| {
        if is_there {
            d.remove_temp::<Vec<Option<f64>>>(id);
        } else if typed {
            d.insert_temp(id, values.clone());
        }
    });
    if typed { values.into_iter().collect() } else { None }
}

fn pair(values: Option<Vec<f64>>) -> Option<[f64; 2]> {
    values.and_then(|all| all.try_into().ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_that_the_block_needs_has_one_field() {
        let mut side = blank();
        for (i, field) in NEEDED.iter().enumerate() {
            let slot = (field.slot)(&mut side);
            assert!(slot.is_nan(), "{} twice", field.label);
            *slot = i as f64;
        }
        let text = strip::text::write(&side).expect("text");
        assert!(!text.contains("NaN"), "{text}");
    }
}
