//! A figure of the day that cannot be true is left out with one message, the rest is judged, and never better for it;
//! what it makes impossible to know is not said to fail.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::TrueHeading;
use proptest::prelude::*;
use strip::record::{
    DayRecord, DirectionRecord, Ends, LevelRecord, PressureRecord, StallRecord, WindWhereRecord,
};
use strip::{AssessedLane, Code, Day, Verdict, What, assess_line};
use support::plain::{coarse, demand, plain};
use support::{Trio, config};

const FLAT: &str = "bramblewick-flat";

/// The flat's day after a change.
#[track_caller]
fn day(change: impl FnOnce(&mut DayRecord)) -> Day {
    let mut record = Trio::sample(FLAT).day;
    change(&mut record);
    Day::new(&record).expect("the rest stands")
}

/// Fails unless a change leaves out what this message says.
#[track_caller]
fn check_left_out(change: impl FnOnce(&mut DayRecord), message: &str) -> Day {
    let day = day(change);
    assert_eq!(day.left_out.iter().map(ToString::to_string).collect::<Vec<_>>(), [message]);
    day
}

#[test]
fn every_figure_that_cannot_be_true_is_named_and_no_longer_known() {
    let lost = check_left_out(
        |d| d.wind.from = DirectionRecord::True(400.0),
        "wind.from: found 400, expected a number from 0 to 360 degrees",
    );
    assert_eq!(lost.wind.from, None);
    let cold = check_left_out(
        |d| d.temperature_c = -300.0,
        "temperature_c: found -300, expected a number from -45 to 55 degrees Celsius",
    );
    assert_eq!(cold.temperature, None);
    // Hectopascals where pascals are asked for.
    let thin = check_left_out(
        |d| d.pressure = PressureRecord::Qnh(1016.0),
        "pressure.Qnh: found 1016, expected a number from 87000 to 109000 Pa",
    );
    assert_eq!(thin.pressure, None);
    check_left_out(
        |d| d.pressure = PressureRecord::Station(39_000.0),
        "pressure.Station: found 39000, expected a number from 40000 to 120000 Pa",
    );
    let moist =
        check_left_out(|d| d.humidity = Some(70.0), "humidity: found 70, expected a number from 0 to 1");
    assert_eq!(moist.humidity, None);
    for (bad, shown) in [(0.0, "0"), (-520.0, "-520"), (20_001.0, "20001")] {
        let message = format!("landing_mass_kg: found {shown}, expected a number above 0, at most 20000 kg");
        assert_eq!(check_left_out(|d| d.landing_mass_kg = Some(bad), &message).mass, None);
    }
    check_left_out(
        |d| d.wind.at_height_m = 0.0,
        "wind.at_height_m: found 0, expected a number from 0.5 to 200 m",
    );
}

#[test]
fn a_magnetic_wind_on_a_date_of_which_no_model_speaks_comes_from_anywhere() {
    let lost = check_left_out(
        |d| {
            d.time = "2031-05-02T09:30:00+01:00".into();
            d.wind.from = DirectionRecord::Magnetic(262.0);
        },
        "wind.from: found Magnetic in 2031, expected a year from 2020 to 2029, for which the magnetic model speaks, or True",
    );
    assert_eq!(lost.wind.from, None);
    assert!(day(|d| d.time = "2031-05-02T09:30:00+01:00".into()).left_out.is_empty());
}

#[test]
fn a_time_with_an_offset_that_no_place_has_is_refused() {
    let mut record = Trio::sample("bramblewick-flat").day;
    for (offset, fine) in [("+14:00", true), ("-12:00", true), ("+14:01", false), ("+25:00", false)] {
        record.time = format!("2026-05-02T09:30:00{offset}");
        let read = Day::new(&record);
        assert_eq!(read.is_ok(), fine, "{offset}");
        assert!(read.err().is_none_or(|e| e.to_string().contains("expected an offset from UTC")), "{offset}");
    }
}

#[test]
fn of_gusts_below_the_mean_either_may_be_wrong() {
    let torn = check_left_out(
        |d| (d.wind.mean_mps, d.wind.gust_mps) = (2.5, 2.4),
        "wind.gust_mps: found 2.4, expected 2.5 to 60 m/s beside a mean of 2.5 m/s; either may be wrong",
    );
    let ends = |i: measure::Interval<f64>| (i.low(), i.high());
    assert_eq!((ends(torn.wind.mean_mps), ends(torn.wind.gust_mps)), ((0.0, 2.5), (2.4, 60.0)));
    // A gust alone holds the mean below it, and a mean the gust above it.
    let no_mean = check_left_out(
        |d| (d.wind.mean_mps, d.wind.gust_mps) = (-1.0, 4.0),
        "wind.mean_mps: found -1, expected a number from 0 to 40 m/s",
    );
    assert_eq!((ends(no_mean.wind.mean_mps), ends(no_mean.wind.gust_mps)), ((0.0, 4.0), (4.0, 4.0)));
    let no_gust = check_left_out(
        |d| (d.wind.mean_mps, d.wind.gust_mps) = (4.0, 61.0),
        "wind.gust_mps: found 61, expected a number from 0 to 60 m/s",
    );
    assert_eq!((ends(no_gust.wind.mean_mps), ends(no_gust.wind.gust_mps)), ((4.0, 4.0), (4.0, 60.0)));
}

#[test]
fn all_that_is_wrong_of_a_day_is_named_at_once() {
    let lost = day(|d| {
        d.wind.from = DirectionRecord::True(400.0);
        d.temperature_c = -300.0;
        d.humidity = Some(-0.1);
    });
    let paths: Vec<String> = lost.left_out.iter().map(ToString::to_string).collect();
    let starts = ["wind.from", "temperature_c", "humidity"];
    assert!(paths.len() == 3 && paths.iter().zip(starts).all(|(p, s)| p.starts_with(s)), "{paths:?}");
}

#[test]
fn a_pressure_at_the_field_that_its_height_does_not_allow_is_left_out() {
    // 1013 hPa at 1,500 m would be 1210 hPa at the sea: a QNH given as the pressure there.
    let mut trio = plain();
    trio.strip.datum.height_m = 1500.0;
    trio.day.pressure = PressureRecord::Station(84_556.0);
    assert!(trio.judged(coarse()).reasons.iter().all(|r| r.code != Code::LeftOut));
    trio.day.pressure = PressureRecord::Station(101_300.0);
    let a = trio.judged(coarse());
    let told = a.reasons.iter().find(|r| r.code == Code::LeftOut).expect("left out");
    assert!(told.text.contains("pressure.Station: found 101300, expected a number from "), "{}", told.text);
    assert_eq!(a.verdict, Verdict::Unknown);
    let air = a.air.expect("a day");
    assert_eq!((air.pressure_altitude_m, air.density_altitude_m, air.density_kg_m3), (None, None, None));
}

/// A change of the day that leaves something out.
type Slip = (&'static str, fn(&mut DayRecord), Option<What>);

const SLIPS: [Slip; 8] = [
    ("direction", |d| d.wind.from = DirectionRecord::True(400.0), Some(What::Wind)),
    ("mean", |d| d.wind.mean_mps = 41.0, Some(What::Wind)),
    ("gust", |d| d.wind.gust_mps = -1.0, Some(What::Wind)),
    ("height", |d| d.wind.at_height_m = 0.0, Some(What::Wind)),
    ("temperature", |d| d.temperature_c = -300.0, Some(What::Air)),
    ("pressure", |d| d.pressure = PressureRecord::Qnh(1016.0), Some(What::Air)),
    ("humidity", |d| d.humidity = Some(70.0), None),
    ("mass", |d| d.landing_mass_kg = Some(-1.0), None),
];

#[test]
fn the_rest_is_judged_said_and_no_better_than_unknown() {
    let own = plain().judged(coarse());
    assert_eq!(own.verdict, Verdict::Fits);
    for (name, slip, what) in SLIPS {
        let mut trio = plain();
        slip(&mut trio.day);
        let a = trio.judged(coarse());
        let said = a.reasons.iter().filter(|r| r.code == Code::LeftOut).count();
        assert_eq!((a.verdict, said), (Verdict::Unknown, 1), "{name}: {:?}", a.reasons);
        assert!(
            !a.lanes.is_empty()
                && a.lanes.iter().all(|l| matches!(l.verdict, Verdict::Unknown | Verdict::DoesNotFit)),
            "{name}"
        );
        let decides = |what| a.missing.iter().any(|m| m.what == what && m.decides);
        assert!(what.is_none_or(decides), "{name}: {:?}", a.missing);
    }
}

#[test]
fn a_day_of_nothing_but_slips_is_still_answered() {
    let mut trio = Trio::sample(FLAT);
    for (_, slip, _) in SLIPS {
        slip(&mut trio.day);
    }
    let a = trio.glanced(coarse());
    assert_eq!((a.verdict, a.lanes.is_empty()), (Verdict::Unknown, false));
    assert_eq!(a.reasons.iter().filter(|r| r.code == Code::LeftOut).count(), SLIPS.len());
}

#[test]
fn a_limit_that_only_a_stand_in_passes_is_unknown_and_one_passed_anyway_is_not_met() {
    let crosswind = |change: fn(&mut Trio)| {
        let mut trio = plain();
        trio.aircraft.limits.crosswind_mps = Some(4.0);
        (trio.day.wind.from, trio.day.wind.mean_mps, trio.day.wind.gust_mps) =
            (DirectionRecord::True(90.0), 5.0, 6.0);
        change(&mut trio);
        let lane = along_the_field(&trio);
        lane.reasons.iter().find(|r| r.code == Code::Crosswind).and_then(|r| r.verdict).expect("a crosswind")
    };
    assert_eq!(crosswind(|_| ()), Verdict::DoesNotFit);
    assert_eq!(crosswind(|t| t.day.wind.from = DirectionRecord::True(400.0)), Verdict::Unknown);
    // Whatever the temperature.
    assert_eq!(crosswind(|t| t.day.temperature_c = -300.0), Verdict::DoesNotFit);
}

fn along_the_field(trio: &Trio) -> AssessedLane {
    let inputs = trio.inputs(coarse());
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
    assess_line(&inputs, line, true).expect("a lane")
}

/// A figure of a day that is valid, in the place of one that a slip left out.
#[derive(Clone, Copy, Debug)]
struct Valid {
    from: f64,
    mean: f64,
    excess: f64,
    height: f64,
    celsius: f64,
    qnh: f64,
    humidity: f64,
    mass: f64,
}

fn valid() -> impl Strategy<Value = Valid> {
    let wind = (0.0..=360.0_f64, 0.0..=12.0_f64, 0.0..=8.0_f64, 0.5..=200.0_f64);
    let air = (-45.0..=55.0_f64, 87_000.0..=109_000.0_f64, 0.0..=1.0_f64);
    (wind, air, 0.0..=1.0_f64).prop_map(|((from, mean, excess, height), (celsius, qnh, humidity), mass)| {
        Valid { from, mean, excess, height, celsius, qnh, humidity, mass }
    })
}

/// A plain strip with coefficients, thrust, a slope and a day.
fn trio_of(v: &Valid, slope: f64, stall: f64) -> Trio {
    let mut t = plain();
    let levels = [(0.0, 0.0), (60.0, 0.0), (60.0, 600.0), (0.0, 600.0)];
    t.strip.levels = levels.map(|(e, n)| LevelRecord { e, n, z: slope * n, sigma_m: 0.02 }).to_vec();
    t.aircraft.stall = StallRecord::Calibrated { mps: stall };
    t.aircraft.lift_coefficient = Ends { low: 0.0, high: 0.4 };
    t.aircraft.drag_coefficient = Ends { low: 0.05, high: 0.2 };
    t.aircraft.idle_thrust_n = Ends { low: 0.0, high: 80.0 };
    t.day.wind.measured = WindWhereRecord::Reported;
    t.day.wind.from = DirectionRecord::True(v.from);
    (t.day.wind.mean_mps, t.day.wind.gust_mps, t.day.wind.at_height_m) =
        (v.mean, v.mean + v.excess, v.height);
    (t.day.temperature_c, t.day.pressure, t.day.humidity) =
        (v.celsius, PressureRecord::Qnh(v.qnh), Some(v.humidity));
    let (empty, most) = (t.aircraft.empty_mass_kg, t.aircraft.max_landing_mass_kg);
    t.day.landing_mass_kg = Some(empty + v.mass * (most - empty));
    t
}

proptest! {
    #![proptest_config(config(6))]

    #[test]
    fn no_valid_figure_in_the_place_of_a_bad_one_leaves_less_to_spare(
        v in valid(), slope in -0.015..0.015_f64, stall in 15.0..19.0_f64,
    ) {
        let known = trio_of(&v, slope, stall);
        let own = along_the_field(&known);
        let spare = |l: &AssessedLane| l.spare_m.unwrap_or(f64::NEG_INFINITY);
        for (name, slip, _) in SLIPS {
            let mut lost = known.clone();
            slip(&mut lost.day);
            let lost = along_the_field(&lost);
            prop_assert!(spare(&lost) <= spare(&own) && demand(&lost) >= demand(&own), "{name}");
            prop_assert!(lost.touchdown.load_factor >= own.touchdown.load_factor, "{name}");
            prop_assert!(lost.touchdown.sink_mps >= own.touchdown.sink_mps, "{name}");
            let cross = |l: &AssessedLane| l.crosswind_mps.map_or(0.0, f64::abs);
            prop_assert!(cross(&lost) >= cross(&own) - 1e-9, "{name}: {} {}", cross(&lost), cross(&own));
            // What is said to fail fails whatever the figure was.
            prop_assert!(lost.verdict != Verdict::DoesNotFit || own.verdict == Verdict::DoesNotFit, "{name}");
        }
    }
}
