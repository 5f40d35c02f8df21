//! What the best lane's answer says of a thing on the way in: where it is passed, what there is over it, what is asked.

use super::super::desk::Desk;
use eframe::egui::{Label, Ui};
use measure::Metres;
use measure::shown::{Side, Units};
use strip::{AssessedLane, Clearance};

/// Decimals of heights, in the unit shown.
const DECIMALS: u8 = 1;

/// Of the thing with this mark.
pub(super) fn passed_ui(ui: &mut Ui, desk: Desk, id: &str) {
    let Some(lane) = desk.best() else { return };
    let stale = if desk.stale { ", before the last change" } else { "" };
    ui.label(format!("On the way in to lane {}{stale}:", lane.id));
    for line in lines(lane, id, desk.units) {
        ui.add(Label::new(line).wrap());
    }
}

fn lines(lane: &AssessedLane, id: &str, units: Units) -> Vec<String> {
    let Some(c) = lane.approach.clearances.iter().find(|c| c.id.as_deref() == Some(id)) else {
        let off = "it lies off the way in, or beyond the earliest touchdown, or others leave less room";
        return vec![format!("nothing told: {off}")];
    };
    let sets = "the earliest touchdown is reached over it";
    let mut out = vec![passed_at(c, units), over_it(c, units), asked(c, units)];
    out.extend(c.rules.then(|| {
        let earliest = units.length(Metres::m(lane.earliest_touchdown_m), Side::AtMost, 0);
        format!("{sets}, {earliest} from the near end")
    }));
    out
}

/// "passed 120 m before the near end, in the corridor".
fn passed_at(c: &Clearance, units: Units) -> String {
    let by = units.length(Metres::m(c.chainage_m.abs()), Side::Nearest, 0);
    let end = if c.chainage_m < 0.0 { "before" } else { "past" };
    let aside = if c.lateral_m > 0.0 {
        format!("{} outside the corridor", units.length(Metres::m(c.lateral_m), Side::AtLeast, DECIMALS))
    } else {
        "in the corridor".to_owned()
    };
    format!("passed {by} {end} the near end, {aside}")
}

/// "the shallowest path to the earliest touchdown is 7.2 m over its top".
fn over_it(c: &Clearance, units: Units) -> String {
    let path = "the shallowest path to the earliest touchdown";
    match c.vertical_m {
        None => "nobody measured its height, so nothing passes over it".to_owned(),
        Some(over) if over >= 0.0 => {
            format!("{path} is {} over its top", units.length(Metres::m(over), Side::AtLeast, DECIMALS))
        }
        Some(under) => {
            format!("{path} is {} below its top", units.length(Metres::m(-under), Side::AtMost, DECIMALS))
        }
    }
}

/// "asked over it: 6.1 m (5.0 m in any case, 1.1 m it may have grown); 1.0 m to spare".
fn asked(c: &Clearance, units: Units) -> String {
    let most = |m: f64| units.length(Metres::m(m), Side::AtMost, DECIMALS);
    let parts = [
        (c.fixed_m, "in any case"),
        (c.growth_m, "it may have grown"),
        (c.accuracy_m, "for the accuracy of its height"),
        (c.ground_m, "for the ground under it and under the touchdown"),
    ];
    let parts: Vec<String> =
        parts.into_iter().filter(|(m, _)| *m > 0.0).map(|(m, why)| format!("{} {why}", most(m))).collect();
    let made_of = if parts.is_empty() { String::new() } else { format!(" ({})", parts.join(", ")) };
    let left = c.left();
    let left = if !left.is_finite() || c.lateral_m > 0.0 {
        // Beside the corridor nothing is asked over it.
        String::new()
    } else if left >= 0.0 {
        format!("; {} to spare", units.length(Metres::m(left), Side::AtLeast, DECIMALS))
    } else {
        format!("; {} too little", most(-left))
    };
    format!("asked over it: {}{made_of}{left}", most(c.required_m))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree() -> Clearance {
        Clearance {
            id: Some("t1".to_owned()),
            name: "tree t1".to_owned(),
            chainage_m: -120.4,
            top_m: Some(11.0),
            vertical_m: Some(7.27),
            required_m: 6.11,
            fixed_m: 5.0,
            growth_m: 0.31,
            accuracy_m: 0.8,
            ground_m: 0.0,
            lateral_m: 0.0,
            rules: false,
        }
    }

    #[test]
    fn what_there_is_is_rounded_down_and_what_is_asked_up() {
        let (c, units) = (tree(), Units::METRIC);
        assert_eq!(passed_at(&c, units), "passed 120 m before the near end, in the corridor");
        assert_eq!(over_it(&c, units), "the shallowest path to the earliest touchdown is 7.2 m over its top");
        let made_of = "5.0 m in any case, 0.4 m it may have grown, 0.8 m for the accuracy of its height";
        assert_eq!(asked(&c, units), format!("asked over it: 6.2 m ({made_of}); 1.1 m to spare"));
    }

    #[test]
    fn too_little_room_is_rounded_up_and_no_height_has_none() {
        let (units, low) = (Units::METRIC, Clearance { vertical_m: Some(-0.31), ..tree() });
        assert_eq!(
            over_it(&low, units),
            "the shallowest path to the earliest touchdown is 0.4 m below its top"
        );
        assert!(asked(&low, units).ends_with("; 6.5 m too little"), "{}", asked(&low, units));
        let unmeasured = Clearance { vertical_m: None, top_m: None, ..tree() };
        assert_eq!(over_it(&unmeasured, units), "nobody measured its height, so nothing passes over it");
        assert!(asked(&unmeasured, units).ends_with(')'));
    }
}
