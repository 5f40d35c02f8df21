//! The aircraft from the side, valid: what attitude, tipping and swing are worked out from.
//!
//! Invariants: angles in radians; the centre of gravity lies over the floats and behind the forward end of the flat
//! keel; the stern touches at a larger angle than the bow.
//!
//! Not here: what is seen from ahead (the parts of the record).

use crate::error::BadRecord;
use crate::fields::number;
use crate::record::{Ends, SideRecord};
use measure::{CalibratedSpeed, Height, Interval, Metres, SquareMetres};
use slide::KeelLimits;

/// The aircraft from the side. Distances lie behind the forward end of the flat keel, heights above the keel line.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Side {
    /// Lift coefficient for each radian.
    pub lift_slope: Interval<f64>,
    /// Angle of the keel line above the zero-lift line, radians.
    pub keel_above_zero_lift_rad: Interval<f64>,
    /// Between which angles the keels touch first.
    pub limits: KeelLimits,
    /// Centre of gravity, most forward to most aft.
    pub cg: Interval<Metres>,
    /// Its height.
    pub cg_height: Interval<Height>,
    /// Height of the thrust line.
    pub thrust_line: Height,
    /// Where the propeller turns.
    pub propeller: Metres,
    /// Its lowest tip.
    pub propeller_tip: Height,
    /// Tip of the floats.
    pub bow: Metres,
    /// Stern of the floats or their rudders.
    pub stern: Metres,
    /// From the keel to the deck of a float.
    pub float_depth: Metres,
    /// Nose-down moment of the air over its dynamic pressure, m3, where known.
    pub nose_down_moment_m3: Option<Interval<f64>>,
    /// Area seen from the side, where known.
    pub side_area: Option<SquareMetres>,
    /// Centre of that area, where known.
    pub side_centre: Option<Metres>,
    /// Calibrated airspeed down to which the rudder surely holds the nose, where known.
    pub rudder_holds_to: Option<CalibratedSpeed>,
    /// Radius of gyration about the upright axis, where known.
    pub yaw_radius: Option<Metres>,
}

impl Side {
    /// From its record, and the length of the flat keel where that was measured.
    ///
    /// # Errors
    /// [`BadRecord`] for the first field that is not valid, or does not go with another.
    pub fn new(record: &SideRecord, keel_length: Option<Metres>) -> Result<Self, BadRecord> {
        let per_deg = ends("lift_slope_per_deg", record.lift_slope_per_deg, 0.03, 0.15)?;
        let keel = ends("keel_above_zero_lift_deg", record.keel_above_zero_lift_deg, -30.0, 20.0)?;
        let place = |name: &str, value| number(&path(name), value, -10.0..=10.0, "m").map(Metres::m);
        let height = |name: &str, value| number(&path(name), value, 0.0..=10.0, "m").map(Height::m);
        let side = Self {
            lift_slope: per_deg.map_growing(|k| k / 1_f64.to_radians()),
            keel_above_zero_lift_rad: keel.map_growing(f64::to_radians),
            limits: limits(record)?,
            cg: ends("cg_behind_m", record.cg_behind_m, -10.0, 10.0)?.map_growing(Metres::m),
            cg_height: ends("cg_height_m", record.cg_height_m, 0.0, 10.0)?.map_growing(Height::m),
            thrust_line: height("thrust_line_height_m", record.thrust_line_height_m)?,
            propeller: place("propeller_behind_m", record.propeller_behind_m)?,
            propeller_tip: height("propeller_tip_height_m", record.propeller_tip_height_m)?,
            bow: place("bow_behind_m", record.bow_behind_m)?,
            stern: place("stern_behind_m", record.stern_behind_m)?,
            float_depth: Metres::m(number(&path("float_depth_m"), record.float_depth_m, 0.05..=3.0, "m")?),
            nose_down_moment_m3: record
                .nose_down_moment_m3
                .map(|m| ends("nose_down_moment_m3", m, -50.0, 50.0))
                .transpose()?,
            side_area: record
                .side_area_m2
                .map(|m2| number(&path("side_area_m2"), m2, 0.5..=100.0, "m2").map(SquareMetres::m2))
                .transpose()?,
            side_centre: record.side_area_behind_m.map(|m| place("side_area_behind_m", m)).transpose()?,
            rudder_holds_to: record
                .rudder_holds_to_mps
                .map(|v| number(&path("rudder_holds_to_mps"), v, 1.0..=60.0, "m/s").map(CalibratedSpeed::mps))
                .transpose()?,
            yaw_radius: record
                .yaw_radius_m
                .map(|m| number(&path("yaw_radius_m"), m, 0.3..=10.0, "m").map(Metres::m))
                .transpose()?,
        };
        in_order(record, keel_length)?;
        Ok(side)
    }
}

/// Things that lie one behind the other, or one above the other, do.
fn in_order(record: &SideRecord, keel: Option<Metres>) -> Result<(), BadRecord> {
    let must = |holds: bool, name: &str, found: f64, expected: &str| {
        if holds { Ok(()) } else { Err(BadRecord::field(&path(name), &found.to_string(), expected)) }
    };
    let SideRecord { cg_behind_m: cg, bow_behind_m: bow, stern_behind_m: stern, .. } = *record;
    must(bow <= 0.0, "bow_behind_m", bow, "at most 0: the floats begin no farther aft than their flat keel")?;
    let stands = "more than 0: ahead of the flat keel it would stand on its bows";
    must(cg.low > 0.0, "cg_behind_m.low", cg.low, stands)?;
    must(cg.high < stern, "cg_behind_m.high", cg.high, &format!("less than stern_behind_m, {stern}"))?;
    if let Some(keel) = keel.map(Metres::to_m) {
        let sits =
            format!("at most keels.length_m, {keel}: behind the flat keel it would sit back on its sterns");
        must(cg.high <= keel, "cg_behind_m.high", cg.high, &sits)?;
        must(stern >= keel, "stern_behind_m", stern, &format!("at least keels.length_m, {keel}"))?;
    }
    let (tip, thrust) = (record.propeller_tip_height_m, record.thrust_line_height_m);
    must(tip < thrust, "propeller_tip_height_m", tip, &format!("less than thrust_line_height_m, {thrust}"))?;
    if record.side_area_m2.is_some() != record.side_area_behind_m.is_some() {
        return Err(BadRecord::field(
            "side",
            "one of side_area_m2 and side_area_behind_m",
            "both or neither",
        ));
    }
    Ok(())
}

fn limits(record: &SideRecord) -> Result<KeelLimits, BadRecord> {
    let bow = number(&path("bow_limit_deg"), record.bow_limit_deg, -10.0..=10.0, "degrees")?;
    let sternpost = number(&path("sternpost_deg"), record.sternpost_deg, 0.0..=25.0, "degrees")?;
    let limits = KeelLimits::new(bow.to_radians(), sternpost.to_radians());
    if limits.stern_rad <= limits.bow_rad {
        let expected = format!("more than a degree above bow_limit_deg, {bow}");
        return Err(BadRecord::field(&path("sternpost_deg"), &sternpost.to_string(), &expected));
    }
    Ok(limits)
}

fn ends(name: &str, ends: Ends, low: f64, high: f64) -> Result<Interval<f64>, BadRecord> {
    crate::fields::ends(&path(name), ends, low, high)
}

fn path(name: &str) -> String {
    format!("side.{name}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ends(low: f64, high: f64) -> Ends {
        Ends { low, high }
    }

    fn record() -> SideRecord {
        SideRecord {
            lift_slope_per_deg: ends(0.075, 0.085),
            keel_above_zero_lift_deg: ends(-14.0, -12.0),
            bow_limit_deg: 0.0,
            sternpost_deg: 8.0,
            cg_behind_m: ends(0.9, 1.1),
            cg_height_m: ends(1.0, 1.1),
            thrust_line_height_m: 1.6,
            propeller_behind_m: -0.4,
            propeller_tip_height_m: 0.6,
            bow_behind_m: -1.0,
            stern_behind_m: 3.9,
            float_depth_m: 0.55,
            nose_down_moment_m3: None,
            side_area_m2: None,
            side_area_behind_m: None,
            rudder_holds_to_mps: None,
            yaw_radius_m: None,
        }
    }

    #[test]
    fn angles_are_radians_and_the_stern_is_kept_a_degree_clear() {
        let side = Side::new(&record(), None).expect("valid");
        assert!((side.lift_slope.low() - 0.075 * 180.0 / std::f64::consts::PI).abs() < 1e-12);
        assert!((side.limits.stern_rad - 7_f64.to_radians()).abs() < 1e-12);
    }

    #[track_caller]
    fn check_refused(change: impl Fn(&mut SideRecord), text: &str) {
        let mut changed = record();
        change(&mut changed);
        assert_eq!(Side::new(&changed, Some(Metres::m(2.5))).unwrap_err().to_string(), text);
    }

    #[test]
    fn what_cannot_be_an_aircraft_is_refused_with_its_field() {
        check_refused(
            |r| r.sternpost_deg = 0.5,
            "side.sternpost_deg: found 0.5, expected more than a degree above bow_limit_deg, 0",
        );
        check_refused(
            |r| r.cg_behind_m = ends(-0.1, 1.0),
            "side.cg_behind_m.low: found -0.1, expected more than 0: ahead of the flat keel it would stand on its bows",
        );
        check_refused(
            |r| r.cg_behind_m = ends(0.9, 4.0),
            "side.cg_behind_m.high: found 4, expected less than stern_behind_m, 3.9",
        );
        check_refused(
            |r| r.cg_behind_m = ends(1.1, 0.9),
            "side.cg_behind_m.low: found 1.1, expected at most side.cg_behind_m.high, 0.9",
        );
        check_refused(
            |r| r.bow_behind_m = 0.3,
            "side.bow_behind_m: found 0.3, expected at most 0: the floats begin no farther aft than their flat keel",
        );
        check_refused(
            |r| r.lift_slope_per_deg = ends(0.08, 1.0),
            "side.lift_slope_per_deg.high: found 1, expected a number from 0.03 to 0.15",
        );
        check_refused(
            |r| r.cg_behind_m = ends(0.9, 2.6),
            "side.cg_behind_m.high: found 2.6, expected at most keels.length_m, 2.5: behind the flat keel it would sit \
             back on its sterns",
        );
        check_refused(
            |r| r.stern_behind_m = 2.0,
            "side.stern_behind_m: found 2, expected at least keels.length_m, 2.5",
        );
        check_refused(
            |r| r.propeller_tip_height_m = 1.7,
            "side.propeller_tip_height_m: found 1.7, expected less than thrust_line_height_m, 1.6",
        );
        check_refused(
            |r| r.side_area_m2 = Some(8.0),
            "side: found one of side_area_m2 and side_area_behind_m, expected both or neither",
        );
        check_refused(
            |r| r.float_depth_m = f64::NAN,
            "side.float_depth_m: found NaN, expected a number from 0.05 to 3 m",
        );
    }
}
