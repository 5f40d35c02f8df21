//! Which way each input hurts the length of a slide, through a whole assessment with all its sampling: one table,
//! each row a law on random strips with the same points, for the figures themselves and as they are shown.
//!
//! All cases: `PROPTEST_CASES=100 cargo test --release -p acceptance --test sign_table`. The rows at one corner, and a
//! worked number for each: `crates/slide/tests/signs.rs`.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::TrueHeading;
use measure::shown::{Side, rounded};
use proptest::prelude::*;
use strip::record::{CoverRecord, DirectionRecord, Ends, LevelRecord, StallRecord};
use strip::{AssessedLane, Settings, assess_line};
use support::plain::{FIELD, coarse, demand, drag_test, plain};
use support::{Trio, config};

/// Direction of the one lane that is looked at, along the length of the plain field.
const HEADING: f64 = 0.0;

/// One row: the input and the way that hurts, and how it is set by some amount from 0 to 1.
type Row = (&'static str, fn(&mut Trio, &mut Settings, f64));

const TABLE: [Row; 11] = [
    ("friction low", |t, _, by| {
        let newtons = 500.0 * (1.0 - 0.6 * by);
        t.strip.drag_tests = vec![drag_test(1000.0, &[newtons, 1.03 * newtons, 0.97 * newtons])];
    }),
    ("touchdown airspeed high", |_, s, by| s.touchdown_factor_high += 0.2 * by),
    ("stall speed high", |t, _, by| {
        if let StallRecord::Calibrated { mps } = &mut t.aircraft.stall {
            *mps += by;
        }
    }),
    ("headwind low", |t, _, by| {
        let mean = 6.0 * (1.0 - by);
        (t.day.wind.from, t.day.wind.mean_mps) = (DirectionRecord::True(HEADING), mean);
        t.day.wind.gust_mps = mean;
    }),
    ("tail wind high", |t, _, by| {
        (t.day.wind.from, t.day.wind.mean_mps) = (DirectionRecord::True(HEADING + 180.0), 5.0 * by);
        t.day.wind.gust_mps = 5.0 * by;
    }),
    ("mass high, without thrust", |t, _, by| {
        t.aircraft.idle_thrust_n.high = 0.0;
        t.day.landing_mass_kg = t.day.landing_mass_kg.map(|kg| kg + 30.0 * by);
    }),
    ("lift after touchdown high", |t, _, by| t.aircraft.lift_coefficient.high += 0.3 * by),
    ("lift slow to settle", |_, s, by| s.lift_settling_s += 2.0 * by),
    ("drag low", |t, _, by| t.aircraft.drag_coefficient.low *= 1.0 - by),
    ("idle thrust high", |t, _, by| t.aircraft.idle_thrust_n.high += 150.0 * by),
    ("slope downhill", |t, _, by| t.strip.levels.iter_mut().for_each(|l| l.z -= 0.02 * by * l.n)),
];

/// A strip with changing slopes, some wind, mass, coefficients and speeds.
fn strips() -> impl Strategy<Value = Trio> {
    let ground = (
        -0.02..0.02_f64,
        -0.02..0.02_f64,
        prop::sample::select(vec![CoverRecord::ShortGrass, CoverRecord::LongGrass]),
    );
    let aircraft = (15.0..19.0_f64, 0.1..0.5_f64, 0.02..0.15_f64, 0.0..120.0_f64);
    (ground, aircraft, 420.0..520.0_f64, 0.0..360.0_f64, 0.0..5.0_f64).prop_map(
        |(ground, aircraft, mass, from, wind)| {
            let mut t = plain();
            let (width, length) = FIELD;
            let level = |e: f64, n: f64, z: f64| LevelRecord { e, n, z, sigma_m: 0.02 };
            let middle = ground.0 * length / 2.0;
            let far = middle + ground.1 * length / 2.0;
            let across = [0.0, width];
            t.strip.levels = across
                .iter()
                .flat_map(|&e| [level(e, 0.0, 0.0), level(e, length / 2.0, middle), level(e, length, far)])
                .collect();
            t.strip.cover = Some(ground.2);
            t.aircraft.stall = StallRecord::Calibrated { mps: aircraft.0 };
            t.aircraft.lift_coefficient = Ends { low: 0.0, high: aircraft.1 };
            t.aircraft.drag_coefficient = Ends { low: aircraft.2, high: 0.2 };
            t.aircraft.idle_thrust_n = Ends { low: 0.0, high: aircraft.3 };
            t.day.landing_mass_kg = Some(mass);
            t.day.wind.from = DirectionRecord::True(from);
            (t.day.wind.mean_mps, t.day.wind.gust_mps) = (wind, wind);
            t
        },
    )
}

/// The lane along the middle of the field.
fn lane(trio: &Trio, row: &Row, by: f64) -> AssessedLane {
    let (mut trio, mut settings) = (trio.clone(), coarse());
    (row.1)(&mut trio, &mut settings, by);
    let inputs = trio.inputs(settings);
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(HEADING));
    assess_line(&inputs, line, true).expect("a lane")
}

/// Fails unless the second is nowhere better than the first, as worked out and as shown.
fn check(name: &str, before: &AssessedLane, after: &AssessedLane) -> Result<(), TestCaseError> {
    let [a, b] = [before, after].map(demand);
    prop_assert!(b >= a, "{name}: demand {a} became {b}");
    let whole_metres = |m: f64| rounded(m, Side::AtMost, 0).parse::<f64>().unwrap_or(f64::INFINITY);
    prop_assert!(whole_metres(b) >= whole_metres(a) && whole_metres(b) >= b, "{name}: {a} and {b} as shown");
    let spare = |l: &AssessedLane| l.spare_m.unwrap_or(f64::NEG_INFINITY);
    let shown = |m: f64| rounded(m, Side::AtLeast, 0).parse::<f64>().unwrap_or(f64::NEG_INFINITY);
    let [a, b] = [before, after].map(spare);
    prop_assert!(b <= a && shown(b) <= shown(a) && shown(b) <= b, "{name}: spare {a} became {b}");
    Ok(())
}

proptest! {
    #![proptest_config(config(4))]

    #[test]
    fn what_hurts_by_the_table_never_helps_through_the_whole_sampling(
        trio in strips(), some in 0.0..1.0_f64, more in 0.0..1.0_f64,
    ) {
        for row in &TABLE {
            let (less, more) = (some.min(more), some.max(more));
            check(row.0, &lane(&trio, row, less), &lane(&trio, row, more))?;
        }
    }
}
