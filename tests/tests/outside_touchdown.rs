//! The touchdown against published design rules: they are compared with, never taken as an allowance. The table is
//! printed; a row without a source fails.

use acceptance::{Kind, Rows};
use measure::{CalibratedSpeed, Kilograms, Metres, STANDARD_GRAVITY, SquareMetres};
use slide::StallSpeed;
use slide::hardness::{
    LIFT_IN_A_DROP, SKID_DRAG_SHARE, design_descent_mps, design_drop, equivalent_drop, sink_of_a_drop_mps,
    water_landing_factor,
};

const FOOT: f64 = 0.3048;
const POUND_KG: f64 = 0.453_592_37;

/// Mass and wing of a wing loading in pounds to the square foot.
fn loading(lb_ft2: f64) -> (Kilograms, SquareMetres) {
    (Kilograms::kg(1_000.0 * lb_ft2 * POUND_KG), SquareMetres::m2(1_000.0 * FOOT * FOOT))
}

#[test]
fn design_descent_velocities() {
    let source = "14 CFR 23.473(d) before 2017 (public copy of the rule): 4.4 (W/S)^(1/4) ft/s, 7 to 10";
    let mut rows = Rows::new("design descent velocity, ft/s", source, Kind::Standard);
    for (w_s, feet) in [
        (3.0, 7.0),
        (5.0, 7.0),
        (6.4058, 7.0),
        (8.0, 7.3999),
        (10.0, 7.8244),
        (12.0, 8.1893),
        (15.0, 8.6592),
        (20.0, 9.3049),
        (26.6799, 10.0),
        (30.0, 10.0),
        (40.0, 10.0),
    ] {
        let (mass, wing) = loading(w_s);
        rows.row(format!("{w_s} lb/ft2"), feet, design_descent_mps(mass, wing) / FOOT, 6e-5);
    }
    rows.finish();
}

#[test]
fn design_drop_heights_and_the_speeds_they_end_with() {
    let source = "14 CFR 23.725(a) before 2017 (public copy of the rule): 3.6 (W/S)^(1/2) in, 9.2 to 18.7";
    let mut rows = Rows::new("design drop, in", source, Kind::Standard);
    for (w_s, inches) in
        [(5.0, 9.2), (6.53, 9.2), (10.0, 11.384), (15.0, 13.943), (20.0, 16.1), (27.0, 18.7), (30.0, 18.7)]
    {
        let (mass, wing) = loading(w_s);
        rows.row(format!("{w_s} lb/ft2"), inches, design_drop(mass, wing).to_m() / 0.0254, 6e-4);
    }
    rows.finish();
    let mut rows = Rows::new("free fall, ft/s", "derived: root of 2 g h, g 32.174 ft/s2", Kind::Library);
    for (inches, feet) in [(9.2, 7.024), (13.94, 8.646), (18.7, 10.014)] {
        let height = Metres::m(inches * 0.0254);
        rows.row(format!("{inches} in"), feet, sink_of_a_drop_mps(height, 0.0) / FOOT, 6e-4);
        let back = equivalent_drop(sink_of_a_drop_mps(height, 0.0)).to_m() / 0.0254;
        rows.row(format!("{inches} in and back"), inches, back, 1e-9);
    }
    rows.finish();
}

#[test]
fn water_landing_factors() {
    let source =
        "14 CFR 23.527 before 2017 (C1 and least factor from a public copy of the rule, shape from memory)";
    let mut rows = Rows::new("step landing on water", source, Kind::FromMemory);
    for (knots, beta, pounds, n) in [
        (40.0, 20.0, 2_000.0, 2.989_38),
        (45.0, 22.0, 2_300.0, 3.368_40),
        (50.0, 25.0, 3_500.0, 3.285_87),
        (55.0, 20.0, 5_500.0, 4.034_06),
        (60.0, 25.0, 8_000.0, 3.592_02),
        (35.0, 15.0, 1_500.0, 3.089_72),
    ] {
        let ours = water_landing_factor(
            CalibratedSpeed::kt(knots),
            f64::to_radians(beta),
            Kilograms::kg(pounds * POUND_KG),
        );
        rows.row(format!("{knots} kt, {beta} deg, {pounds} lb"), n, ours, 6e-6);
    }
    rows.row(
        "10 kt: the least".to_owned(),
        2.33,
        water_landing_factor(CalibratedSpeed::kt(10.0), 0.4, Kilograms::kg(500.0)),
        1e-12,
    );
    rows.finish();
}

#[test]
fn shares_that_a_designer_reckons_with() {
    let mut rows = Rows::new(
        "design shares",
        "14 CFR 23.473(e), 27.501, 29.501 (public copies of the rules)",
        Kind::Standard,
    );
    rows.row("lift in a drop".to_owned(), 0.667, LIFT_IN_A_DROP, 4e-4);
    rows.row("skid drag over load".to_owned(), 0.5, SKID_DRAG_SHARE, 1e-12);
    rows.finish();
}

#[test]
fn stall_speed_goes_with_the_root_of_mass() {
    let mut rows =
        Rows::new("stall speed at another mass, kt", "derived: Vs2 = Vs1 root(W2/W1)", Kind::Library);
    for (knots, from, to, at) in [
        (45.0, 1_320.0, 1_200.0, 42.905_82),
        (45.0, 1_320.0, 1_100.0, 41.079_19),
        (50.0, 2_300.0, 2_530.0, 52.440_44),
        (48.0, 2_300.0, 2_070.0, 45.536_80),
        (40.0, 600.0, 550.0, 38.297_08),
    ] {
        let stall = StallSpeed { calibrated: CalibratedSpeed::kt(knots), at_mass: Kilograms::kg(from) };
        rows.row(format!("{knots} kt from {from} to {to}"), at, stall.at(Kilograms::kg(to)).to_kt(), 6e-6);
    }
    rows.finish();
    // What 47.88 Pa to the pound and square foot rests on.
    let mut rows = Rows::new("pressure", "definitions of pound, foot and standard gravity", Kind::Library);
    rows.row("lb/ft2 in Pa".to_owned(), 47.880_259, POUND_KG * STANDARD_GRAVITY / (FOOT * FOOT), 1e-6);
    rows.finish();
}
