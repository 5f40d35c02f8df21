//! The wind along a heading, by hand and by its laws.

use super::*;
use proptest::prelude::*;

/// A wind measured at wing height on the field.
fn wind(from_deg: f64, mean: f64, gust: f64, settings: &Settings) -> FieldWind {
    let given = GivenWind {
        from: Some(Direction::True(TrueHeading::deg(from_deg))),
        mean_mps: Interval::exact(mean),
        gust_mps: Interval::exact(gust),
        at_height: Interval::exact(Metres::m(settings.wing_height_m)),
        on_field: true,
        known: true,
    };
    FieldWind::new(&given, None, settings)
}

fn steady(spread_deg: f64) -> Settings {
    Settings { wind_direction_spread_on_field_deg: spread_deg, ..Settings::default() }
}

fn point(score: f64, share: f64) -> Point {
    let mut point = Point::MIDDLE;
    (point.normal[DIRECTION], point.uniform[STRENGTH]) = (score, share);
    point
}

#[test]
fn half_a_head_wind_and_one_and_a_half_of_a_tail_wind_are_counted() {
    let along = |heading: f64| wind(0.0, 4.0, 4.0, &steady(0.0)).along(TrueHeading::deg(heading));
    let at = |heading: f64| along(heading).at(&point(3.0, 0.9)).to_mps();
    assert!((at(0.0) - 2.0).abs() < 1e-12 && (at(180.0) + 6.0).abs() < 1e-12);
    assert!((at(60.0) - 1.0).abs() < 1e-12 && (at(120.0) + 3.0).abs() < 1e-12);
    let ends = along(60.0).ends();
    assert!((ends.low().to_mps() - 1.0).abs() < 1e-12 && (ends.high().to_mps() - 2.0).abs() < 1e-12);
}

#[test]
fn a_direction_off_by_fifteen_degrees_costs_what_its_cosine_says() {
    // 4 m/s from 60 degrees off the nose, off by another 15: half of 4 cos 75 is 0.517638.
    let along = wind(60.0, 4.0, 4.0, &steady(15.0)).along(TrueHeading::deg(0.0));
    assert!((along.at(&point(-SCORE_95, 0.5)).to_mps() - 0.517_638).abs() < 1e-6);
    assert!((along.ends().low().to_mps() - 0.517_638).abs() < 1e-6);
    // At the best 45 degrees off: 4 cos 45.
    assert!((along.ends().high().to_mps() - 2.828_427).abs() < 1e-6);
}

#[test]
fn a_gust_from_behind_pushes_and_a_lull_from_ahead_is_less_than_half_counted() {
    let at = |heading: f64, share: f64| {
        wind(0.0, 2.0, 5.0, &steady(0.0)).along(TrueHeading::deg(heading)).at(&point(0.0, share)).to_mps()
    };
    // From behind 1.5 x 2, or 2 + 3 x 0.8 where that is more; from ahead 0.5 x 2, or 2 - 3 x 0.5.
    assert!((at(180.0, 0.1) + 3.0).abs() < 1e-12 && (at(180.0, 0.8) + 4.4).abs() < 1e-12);
    assert!((at(0.0, 0.1) - 1.0).abs() < 1e-12 && (at(0.0, 0.5) - 0.5).abs() < 1e-12);
    assert!(at(0.0, 0.9).abs() < 1e-12);
}

#[test]
fn the_crosswind_is_that_of_the_gust_at_the_end_of_the_spread_that_hurts() {
    let across = |from: f64| wind(from, 3.0, 4.0, &steady(15.0)).crosswind(TrueHeading::deg(0.0));
    // sin 45 = 0.707107, sin 15 = 0.258819.
    assert!((across(30.0).high() - 2.828_427).abs() < 1e-6 && (across(30.0).low() - 1.035_276).abs() < 1e-6);
    assert!((across(80.0).high() - 4.0).abs() < 1e-12);
    assert!(across(10.0).low().abs() < 1e-12 && across(170.0).low().abs() < 1e-12);
    assert!(wind(30.0, 0.0, 4.0, &steady(15.0)).crosswind(TrueHeading::deg(30.0)).high() > 3.9);
}

#[test]
fn a_direction_that_nobody_knows_is_from_behind_from_ahead_and_from_the_side() {
    let mut lost = wind(0.0, 3.0, 4.0, &steady(15.0));
    lost.from = None;
    let ends = lost.along(TrueHeading::deg(123.0)).ends();
    assert!((ends.low().to_mps() + 4.5).abs() < 1e-12 && (ends.high().to_mps() - 4.0).abs() < 1e-12);
    assert_eq!(lost.given_headwind(TrueHeading::deg(123.0)), None);
    assert!((lost.crosswind(TrueHeading::deg(123.0)).high() - 4.0).abs() < 1e-12);
}

proptest! {
    #[test]
    fn a_wider_spread_never_leaves_more_wind_from_ahead(
        off in 0.0..180.0_f64, mean in 0.0..12.0_f64, excess in 0.0..8.0_f64,
        spread in 0.0..60.0_f64, by in 0.0..60.0_f64, score in -4.0..4.0_f64, share in 0.0..1.0_f64,
    ) {
        let of = |spread: f64| wind(off, mean, mean + excess, &steady(spread)).along(TrueHeading::deg(0.0));
        let (narrow, wide) = (of(spread), of(spread + by));
        let p = point(score, share);
        prop_assert!(wide.at(&p) <= narrow.at(&p) + Headwind::mps(1e-12));
        prop_assert!(wide.ends().low() <= narrow.ends().low() + Headwind::mps(1e-12));
        prop_assert!(wide.ends().high() >= narrow.ends().high() - Headwind::mps(1e-12));
        prop_assert!(wide.least_of_all() <= wide.at(&p) || score.abs() > *FARTHEST_SCORE);
        prop_assert!(wide.ends().low() <= wide.at(&p) + Headwind::mps(1e-12) || score.abs() > SCORE_95);
        prop_assert!(wide.ends().high() >= wide.at(&p) - Headwind::mps(1e-12));
    }

    #[test]
    fn stronger_gusts_never_leave_more_wind_from_ahead(
        off in 0.0..180.0_f64, mean in 0.1..12.0_f64, excess in 0.0..8.0_f64, by in 0.0..8.0_f64,
        score in -4.0..4.0_f64, share in 0.0..1.0_f64,
    ) {
        let at = |gust| wind(off, mean, gust, &Settings::default()).along(TrueHeading::deg(0.0)).at(&point(score, share));
        prop_assert!(at(mean + excess + by) <= at(mean + excess));
    }

    #[test]
    fn what_is_not_known_of_the_wind_holds_whatever_it_was(
        from in 0.0..360.0_f64, mean in 0.0..40.0_f64, excess in 0.0..20.0_f64, height in 0.5..200.0_f64,
        score in -4.0..4.0_f64, share in 0.0..1.0_f64, unknown in 0..4_usize,
    ) {
        let settings = Settings::default();
        let (gust, heading) = (mean + excess, TrueHeading::deg(0.0));
        let exact = GivenWind {
            from: Some(Direction::True(TrueHeading::deg(from))),
            mean_mps: Interval::exact(mean),
            gust_mps: Interval::exact(gust),
            at_height: Interval::exact(Metres::m(height)),
            on_field: false,
            known: true,
        };
        let lost = match unknown {
            0 => GivenWind { from: None, ..exact },
            1 => GivenWind { mean_mps: Interval::spanning(0.0, gust.min(40.0)), ..exact },
            2 => GivenWind { gust_mps: Interval::spanning(mean, 60.0), ..exact },
            _ => GivenWind { at_height: Interval::spanning(Metres::m(0.5), Metres::m(200.0)), ..exact },
        };
        let [known, lost] = [exact, lost].map(|given| FieldWind::new(&given, None, &settings));
        let p = point(score, share);
        prop_assert!(lost.along(heading).at(&p) <= known.along(heading).at(&p));
        let (ends, held) = (known.along(heading).ends(), lost.along(heading).ends());
        prop_assert!(held.low() <= ends.low() && held.high() >= ends.high());
        let (cross, held) = (known.crosswind(heading), lost.crosswind(heading));
        prop_assert!(held.low() <= cross.low() + 1e-12 && held.high() >= cross.high() - 1e-12);
        prop_assert!(lost.gust().high() >= known.gust().high());
    }
}
