//! Sinkage, compaction resistance and what presses them against outside values.
//!
//! Each row's source stands beside it, as the project's list of reference values has it; nothing was opened again for this
//! file. Soils are rows of a public table that cites Wong, Theory of Ground Vehicles, 2008; sinkage and resistance were
//! worked out there from the closed form apart from this program, the integral checked with SciPy 1.17.1, integrate.quad.
//! Tolerance: half the last digit printed, and a hair for rounding.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{Depth, Kilograms, Metres, Newtons, Pascals, STANDARD_GRAVITY};
use slide::soft::{Keels, Outside, Soil};

const DERIVED: &str = "closed form worked out apart, integral by SciPy 1.17.1 integrate.quad";

#[track_caller]
fn check(quantity: &str, source: &str, expected: f64, got: f64, tolerance: f64) {
    assert!(!source.is_empty() && expected.is_finite() && got.is_finite());
    assert!((got - expected).abs() <= tolerance, "{quantity}: {got}, expected {expected} ({source})");
}

/// Half of the last digit that is printed, and a hair.
const fn half(digit: f64) -> f64 {
    0.500_001 * digit
}

const DRY_SAND: Soil = Soil::bekker(1.1, 0.99, 1528.43);
const SANDY_LOAM_15: Soil = Soil::bekker(0.7, 5.27, 1515.04);
const SANDY_LOAM_22: Soil = Soil::bekker(0.2, 2.56, 43.12);
const SANDY_LOAM_11: Soil = Soil::bekker(0.9, 52.53, 1127.97);
const CLAYEY_38: Soil = Soil::bekker(0.5, 13.19, 692.15);
const LETE_SAND: Soil = Soil::bekker(0.79, 102.0, 5301.0);
const UPLAND: Soil = Soil::bekker(1.10, 74.6, 2080.0);
const RUBICON: Soil = Soil::bekker(0.66, 6.9, 752.0);
const NORTH_GOWER: Soil = Soil::bekker(0.73, 41.6, 2471.0);
const GRENVILLE: Soil = Soil::bekker(1.01, 0.06, 5880.0);
const SNOW: Soil = Soil::bekker(1.6, 4.37, 196.72);

/// Soil, width m, length m, pressure kPa, sinkage mm, resistance N, resistance over a load of 5000 N.
type Row = (&'static str, Soil, f64, f64, f64, f64, f64, f64);

const ROWS: [Row; 17] = [
    ("dry sand", DRY_SAND, 0.05, 2.0, 50.000, 44.123, 52.528, 0.01051),
    ("sandy loam 15 %", SANDY_LOAM_15, 0.05, 2.0, 50.000, 6.949, 10.219, 0.00204),
    ("sandy loam 22 %", SANDY_LOAM_22, 0.05, 2.0, 50.000, 41.863, 87.215, 0.01744),
    ("sandy loam 11 %", SANDY_LOAM_11, 0.05, 2.0, 50.000, 15.089, 19.854, 0.00397),
    ("clayey 38 %", CLAYEY_38, 0.05, 2.0, 50.000, 2.736, 4.560, 0.00091),
    ("LETE sand", LETE_SAND, 0.05, 2.0, 50.000, 1.808, 2.525, 0.00051),
    ("upland sandy loam", UPLAND, 0.05, 2.0, 50.000, 20.635, 24.565, 0.00491),
    ("Rubicon sandy loam", RUBICON, 0.05, 2.0, 50.000, 12.747, 19.198, 0.00384),
    ("North Gower", NORTH_GOWER, 0.05, 2.0, 50.000, 3.213, 4.643, 0.00093),
    ("Grenville loam", GRENVILLE, 0.05, 2.0, 50.000, 8.913, 11.085, 0.00222),
    ("snow", SNOW, 0.05, 2.0, 50.000, 337.612, 324.627, 0.06493),
    ("dry sand", DRY_SAND, 0.10, 3.0, 16.667, 16.348, 12.974, 0.00259),
    ("sandy loam 15 %", SANDY_LOAM_15, 0.10, 3.0, 16.667, 1.516, 1.487, 0.00030),
    ("snow", SNOW, 0.10, 3.0, 16.667, 188.603, 120.899, 0.02418),
    ("dry sand", DRY_SAND, 0.30, 3.0, 5.556, 6.045, 4.798, 0.00096),
    ("LETE sand", LETE_SAND, 0.30, 3.0, 5.556, 0.156, 0.146, 0.00003),
    ("snow", SNOW, 0.30, 3.0, 5.556, 102.899, 65.961, 0.01319),
];

/// Load on one keel in every row, N.
const LOAD: f64 = 5000.0;

#[test]
fn sinkage_and_compaction_resistance() {
    for (name, soil, width, length, kpa, mm, resistance, share) in ROWS {
        let keels = Keels { count: 1, width: Metres::m(width), length: Metres::m(length) };
        let pressure = keels.even_pressure(Newtons::n(LOAD));
        let rut = soil.rut(keels.width, pressure);
        let at = |what: &str| format!("{name}, b {width} m: {what}");
        check(&at("pressure kPa"), DERIVED, kpa, pressure.to_pa() / 1000.0, half(0.001));
        check(&at("sinkage mm"), DERIVED, mm, rut.depth.to_m() * 1000.0, half(0.001));
        check(&at("resistance N"), DERIVED, resistance, rut.resistance.to_n(), half(0.001));
        check(&at("resistance over load"), DERIVED, share, rut.resistance.to_n() / LOAD, half(0.00001));
    }
}

#[test]
fn rows_outside_the_fitted_range_say_so() {
    let outside: Vec<(&str, f64, Outside)> = ROWS
        .iter()
        .filter_map(|(name, soil, width, length, ..)| {
            let pressure = Pascals::pa(LOAD / (width * length));
            soil.rut(Metres::m(*width), pressure).outside.map(|o| (*name, *width, o))
        })
        .collect();
    assert_eq!(outside, [("snow", 0.05, Outside::Sinkage), ("LETE sand", 0.30, Outside::Sinkage)]);
    // The stiff clays of the same table: micrometres and less, which no plate test shows.
    for (n, kc, kphi) in
        [(0.13, 12.70, 1555.95), (0.11, 1.84, 103.27), (0.2, 16.43, 1724.69), (0.15, 1.52, 119.61)]
    {
        let rut = Soil::bekker(n, kc, kphi).rut(Metres::m(0.10), Pascals::pa(16_667.0));
        assert_eq!(rut.outside, Some(Outside::Sinkage), "n {n}: {rut:?}");
    }
}

#[test]
fn pressures_of_plates_and_heels() {
    // Plain arithmetic: W/(n b L) with 600 kg; and 70 kg on 0.002 m2, printed as 343 kPa.
    let source = "plain arithmetic";
    let weight = Newtons::n(600.0 * STANDARD_GRAVITY);
    let of = |width: f64, length: f64| {
        Keels { count: 2, width: Metres::m(width), length: Metres::m(length) }.even_pressure(weight).to_pa()
    };
    check("two plates of 0.05 x 2.0 m, Pa", source, 29_420.0, of(0.05, 2.0), half(1.0));
    // Printed 98,067; 5883.99/0.06 is 98,066.5 exactly.
    check("two plates of 0.03 x 1.0 m, Pa", source, 98_066.5, of(0.03, 1.0), 1e-6);
    // Through the heel's sinkage into a soil with n = 1, kc = 0, kphi = 1000 kN/m3: 343 kPa sinks 343 mm.
    let z: Depth = slide::soft::strength::heel_sinkage(&Soil::bekker(1.0, 0.0, 1000.0), Kilograms::kg(70.0));
    check("a heel, kPa", source, 343.0, z.to_m() * 1000.0, half(1.0));
}

#[test]
fn skids_that_drag_half_their_load_leave_one_half_where_arm_and_reach_are_equal() {
    // 14 CFR 29.501, by the list: drag of skids 50 % of the vertical ground reaction. With h = b the reserve is then one
    // half; the rule is a structural maximum and bounds friction here.
    use slide::tipping::{Acting, Stance, Tipping, tipping};
    let stance = Stance {
        keels: Keels { count: 2, width: Metres::m(0.05), length: Metres::m(2.0) },
        cg_height: Metres::m(1.0),
        cg_to_forward_end: Metres::m(1.0),
    };
    let weight = Newtons::n(600.0 * STANDARD_GRAVITY);
    let acting = Acting { weight, load: weight, friction: weight * 0.5, nose_down: 0.0 };
    let Tipping::Reserve(left) = tipping(&stance, &acting, Newtons::ZERO) else { panic!() };
    check("reserve at 50 % drag", "14 CFR 29.501 (drag share), plain arithmetic", 0.5, left, 1e-12);
}
