//! What the best lane's answer says of a thing on the way in: where it is passed, what there is over it, what is asked.

use super::super::desk::Desk;
use crate::words::clearance;
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
    let mut out = vec![passed_at(c, units), clearance(c, units)];
    out.extend(left(c, units));
    out.extend(c.rules.then(|| {
        let earliest = units.length(Metres::m(lane.earliest_touchdown_m), Side::AtMost, 0);
        format!("the earliest touchdown is reached over it, {earliest} from the near end")
    }));
    out
}

/// "passed 120 m before the near end by the shallowest path to the earliest touchdown".
fn passed_at(c: &Clearance, units: Units) -> String {
    let by = units.length(Metres::m(c.chainage_m.abs()), Side::Nearest, 0);
    let end = if c.chainage_m < 0.0 { "before" } else { "past" };
    format!("passed {by} {end} the near end by the shallowest path to the earliest touchdown")
}

/// What is left over what is asked; beside the corridor nothing is.
fn left(c: &Clearance, units: Units) -> Option<String> {
    let left = c.left();
    let asked = left.is_finite() && c.lateral_m <= 0.0;
    asked.then(|| {
        if left < 0.0 {
            format!("{} too little", units.length(Metres::m(-left), Side::AtMost, DECIMALS))
        } else {
            format!("{} to spare", units.length(Metres::m(left), Side::AtLeast, DECIMALS))
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(vertical_m: Option<f64>) -> Clearance {
        Clearance {
            id: Some("t1".to_owned()),
            name: "tree t1".to_owned(),
            chainage_m: -120.4,
            top_m: vertical_m.map(|_| 11.0),
            vertical_m,
            required_m: 6.11,
            fixed_m: 5.0,
            growth_m: 0.31,
            accuracy_m: 0.8,
            ground_m: 0.0,
            lateral_m: 0.0,
            hangs_m: None,
            rules: false,
        }
    }

    #[test]
    fn what_is_left_is_rounded_down_and_what_is_lacking_up() {
        let left = |over: Option<f64>| left(&tree(over), Units::METRIC);
        assert_eq!(left(Some(7.27)).as_deref(), Some("1.1 m to spare"));
        assert_eq!(left(Some(-0.31)).as_deref(), Some("6.5 m too little"));
        assert_eq!(left(None), None, "nobody measured it");
        let beside = Clearance { lateral_m: 0.5, ..tree(Some(7.27)) };
        assert_eq!(super::left(&beside, Units::METRIC), None);
        let at = "passed 120 m before the near end by the shallowest path to the earliest touchdown";
        assert_eq!(passed_at(&beside, Units::METRIC), at);
    }
}
