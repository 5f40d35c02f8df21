//! Sun, magnetic variation and spread of the wind as an assessment tells them.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::TrueHeading;
use proptest::prelude::*;
use strip::record::{DirectionRecord, LevelRecord, WindWhereRecord};
use strip::{AssessedLane, Assessment, Code, Reason, Settings, Verdict, What, assess_line};
use support::plain::{coarse, demand, plain};
use support::{Trio, config};

/// The plain strip at a time of its day.
fn at(time: &str) -> Assessment {
    let mut trio = plain();
    trio.day.time = time.into();
    trio.day.rewalk =
        trio.day.rewalk.map(|walk| strip::record::RewalkRecord { on: time[..10].into(), ..walk });
    trio.glanced(coarse())
}

fn reason(reasons: &[Reason], code: Code) -> Option<&Reason> {
    reasons.iter().find(|r| r.code == code)
}

#[test]
fn a_low_sun_ahead_makes_a_lane_tight_and_one_behind_or_high_does_not() {
    // An evening in May at 54 north: the sun stands a little north of west.
    let a = at("2026-05-02T19:00:00+01:00");
    let sun = a.sun.expect("a day");
    assert!(
        (5.0..15.0).contains(&sun.elevation_deg) && (270.0..290.0).contains(&sun.azimuth_true_deg),
        "{sun:?}"
    );
    let of = |a: &Assessment, near: f64| {
        let (azimuth, trio) = (a.sun.expect("a day").azimuth_true_deg, {
            let mut trio = plain();
            trio.day.time = "2026-05-02T19:00:00+01:00".into();
            trio
        });
        let inputs = trio.inputs(coarse());
        let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(azimuth + near));
        assess_line(&inputs, line, false).expect("a lane")
    };
    let ahead = of(&a, 20.0);
    let told = reason(&ahead.reasons, Code::LowSun).expect("a low sun");
    assert_eq!((told.verdict, told.unit, told.limit), (Some(Verdict::Tight), Some("deg"), Some(30.0)));
    assert!((told.value.expect("an angle") - 20.0).abs() < 1e-6);
    assert!((ahead.sun_off_heading_deg.expect("the sun is up") - 20.0).abs() < 1e-6);
    for aside in [31.0, -31.0, 90.0, 180.0] {
        assert!(reason(&of(&a, aside).reasons, Code::LowSun).is_none(), "{aside}");
    }
    // Three hours before it stands too high to blind on any lane.
    let high = at("2026-05-02T16:00:00+01:00");
    assert!(high.lanes.iter().all(|l| reason(&l.reasons, Code::LowSun).is_none()));
}

#[test]
fn in_the_dark_it_is_unknown_and_twilight_is_named() {
    for (time, words) in [
        ("2026-05-02T21:10:00+01:00", "in civil twilight"),
        ("2026-05-02T23:30:00+01:00", "past civil twilight"),
    ] {
        let a = at(time);
        let dark = reason(&a.reasons, Code::Dark).expect("dark");
        assert!(dark.text.ends_with(words) && dark.verdict == Some(Verdict::Unknown), "{}", dark.text);
        assert_eq!(a.verdict, Verdict::Unknown);
        assert!(a.lanes.iter().all(|l| l.sun_off_heading_deg.is_none()));
        assert!(a.sun.expect("a day").elevation_deg < 0.0);
    }
}

#[test]
fn the_offset_of_the_time_counts() {
    // The same moment by two clocks, and the same clock an hour's offset apart.
    let [here, elsewhere, later] =
        ["2026-05-02T12:00:00+01:00", "2026-05-02T07:00:00-04:00", "2026-05-02T12:00:00+00:00"]
            .map(|time| at(time).sun);
    assert_eq!(here, elsewhere);
    let turned = later.expect("a day").azimuth_true_deg - here.expect("a day").azimuth_true_deg;
    assert!((15.0..35.0).contains(&turned), "{turned}");
}

#[test]
fn outside_the_magnetic_model_a_true_wind_stands_and_no_magnetic_heading_is_given() {
    let a = at("2031-05-02T12:00:00+01:00");
    assert!(a.magnetic.is_none() && a.lanes.iter().all(|l| l.heading_magnetic_deg.is_none()));
    let note = reason(&a.reasons, Code::NoMagnetic).expect("a note");
    assert_eq!(note.verdict, None);
    assert!(reason(&a.reasons, Code::LeftOut).is_none());
    let within = at("2026-05-02T12:00:00+01:00");
    assert!(reason(&within.reasons, Code::NoMagnetic).is_none());
    let told = within.magnetic.expect("a model");
    let lane = &within.lanes[0];
    let off = lane.heading_true_deg - lane.heading_magnetic_deg.expect("a heading");
    assert!((off - told.declination_deg).abs() < 1e-9, "{off} {}", told.declination_deg);
}

#[test]
fn without_a_day_there_is_no_air_no_sun_and_no_variation() {
    let mut inputs = plain().inputs(coarse());
    inputs.day = None;
    let a = support::judged(&inputs);
    assert!(a.air.is_none() && a.sun.is_none() && a.magnetic.is_none());
}

#[test]
fn humidity_not_stated_is_told_at_the_thinner_end_and_named() {
    let mut trio = plain();
    let of = |trio: &Trio| trio.glanced(coarse()).air.expect("a day");
    trio.day.temperature_c = 35.0;
    let [dry, moist, unknown] = [Some(0.0), Some(1.0), None].map(|humidity| {
        trio.day.humidity = humidity;
        of(&trio)
    });
    assert_eq!(unknown.density_altitude_m, moist.density_altitude_m);
    assert_eq!(unknown.density_altitude_least_m, dry.density_altitude_m);
    assert_eq!(unknown.density_kg_m3, moist.density_kg_m3);
    assert!(
        dry.density_altitude_m < moist.density_altitude_m
            && dry.pressure_altitude_m == moist.pressure_altitude_m
    );
}

fn spread(deg: f64) -> Settings {
    Settings { wind_direction_spread_on_field_deg: deg, wind_direction_spread_reported_deg: deg, ..coarse() }
}

fn northwards(trio: &Trio, settings: Settings) -> AssessedLane {
    let inputs = trio.inputs(settings);
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
    assess_line(&inputs, line, true).expect("a lane")
}

/// A wind of so much, with gusts, from so far off the nose of the plain strip's lane.
fn blown(from: f64, mean: f64, gust: f64) -> Trio {
    let mut trio = plain();
    trio.day.wind.from = DirectionRecord::True(from);
    (trio.day.wind.mean_mps, trio.day.wind.gust_mps) = (mean, gust);
    trio
}

#[test]
fn a_reported_wind_may_be_farther_off_than_one_measured_on_the_field() {
    let demand_of = |measured: WindWhereRecord| {
        let mut trio = blown(60.0, 5.0, 6.0);
        trio.day.wind.measured = measured;
        northwards(&trio, coarse())
    };
    let (here, there) = (demand_of(WindWhereRecord::OnField), demand_of(WindWhereRecord::Reported));
    assert!(demand(&there) > demand(&here), "{} {}", demand(&there), demand(&here));
    assert!(there.crosswind_mps.expect("a wind") > here.crosswind_mps.expect("a wind"));
}

#[test]
fn what_a_sure_direction_would_change_is_told() {
    let a = blown(70.0, 6.0, 8.0).judged(coarse());
    let wind = a.missing.iter().find(|m| m.what == What::Wind).expect("the wind");
    assert!(!wind.decides && wind.effect_m.expect("an effect") > 0.5, "{wind:?}");
}

proptest! {
    #![proptest_config(config(6))]

    #[test]
    fn more_spread_of_the_wind_never_leaves_more_to_spare(
        from in 0.0..360.0_f64, mean in 0.0..8.0_f64, excess in 0.0..5.0_f64,
        some in 0.0..60.0_f64, by in 0.0..40.0_f64, slope in -0.015..0.015_f64,
    ) {
        let mut trio = blown(from, mean, mean + excess);
        let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 600.0), (0.0, 600.0)];
        trio.strip.levels = corners.map(|(e, n)| LevelRecord { e, n, z: slope * n, sigma_m: 0.02 }).to_vec();
        let [narrow, wide] = [some, some + by].map(|deg| northwards(&trio, spread(deg)));
        prop_assert!(demand(&wide) >= demand(&narrow));
        let left = |l: &AssessedLane| l.spare_m.unwrap_or(f64::NEG_INFINITY);
        prop_assert!(left(&wide) <= left(&narrow));
        prop_assert!(wide.touchdown.load_factor >= narrow.touchdown.load_factor);
        let cross = |l: &AssessedLane| l.crosswind_mps.map_or(0.0, f64::abs);
        prop_assert!(cross(&wide) >= cross(&narrow));
    }

    #[test]
    fn no_lane_is_better_than_the_bound_whatever_the_spread(
        from in 0.0..360.0_f64, mean in 0.0..8.0_f64, deg in 0.0..60.0_f64, length in 120.0..260.0_f64,
    ) {
        let mut trio = blown(from, mean, mean + 2.0);
        for corner in &mut trio.strip.outline.corners {
            corner.n *= length / 600.0;
        }
        trio.strip.levels.iter_mut().for_each(|l| l.n *= length / 600.0);
        let a = trio.judged(spread(deg));
        let too_short = reason(&a.reasons, Code::LengthBound).and_then(|r| r.value);
        let least = |l: &AssessedLane| l.demand_least_m.map(|d| l.usable_slide_m - d);
        for (lane, left) in a.lanes.iter().filter_map(|l| Some((l, least(l)?))) {
            prop_assert!(too_short.is_none_or(|most| left <= most + 1e-6), "{} {left} {too_short:?}", lane.id);
        }
    }
}
