//! Which way each input hurts the length of a slide: one table, each row a law on random ground and a worked number.
//!
//! More cases: `PROPTEST_CASES=10000 cargo test --release -p slide --test signs`.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{
    CalibratedSpeed, CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres,
};
use proptest::prelude::*;
use slide::{Body, Outcome, Slide, StallSpeed, Station, Touchdown, Track, march, touchdown_airspeed};

/// Tolerance of the exact integrator: of a length up to 10 m, m; of a longer one in proportion.
const EXACT: f64 = 1e-6;

/// A slide by its airspeed at touchdown.
#[derive(Clone, Debug)]
struct Case {
    mass: f64,
    lift: f64,
    drag: f64,
    thrust: f64,
    headwind: f64,
    track: Track,
    friction: Vec<f64>,
    settling: f64,
    carried: f64,
    airspeed: f64,
}

/// One row: the input and the way that hurts, and the change by some amount from 0 to 1. Of each it is claimed that it
/// never shortens a slide, on ground that curves and slopes as well.
type Row = (&'static str, fn(&Case, f64) -> Case);

const TABLE: [Row; 9] = [
    ("friction low", |c, by| Case {
        friction: c.friction.iter().map(|mu| mu * (1.0 - 0.5 * by)).collect(),
        ..c.clone()
    }),
    ("lift after touchdown high", |c, by| Case { lift: c.lift + 0.3 * by, ..c.clone() }),
    ("lift slow to settle", |c, by| Case { settling: c.settling + 2.0 * by, ..c.clone() }),
    ("drag low", |c, by| Case { drag: c.drag * (1.0 - by), ..c.clone() }),
    ("idle thrust high", |c, by| Case { thrust: c.thrust + 200.0 * by, ..c.clone() }),
    ("length carried high", |c, by| Case { carried: c.carried + 10.0 * by, ..c.clone() }),
    ("slope downhill", |c, by| Case {
        track: c.track.mapped(|s| Station { slope: s.slope - Slope::ratio(0.02 * by), ..s }),
        ..c.clone()
    }),
    ("headwind low", |c, by| Case { headwind: c.headwind - 5.0 * by, ..c.clone() }),
    ("mass high, without thrust", |c, by| {
        let mass = c.mass * (1.0 + 0.3 * by);
        // The same stall speed by mass, as the touchdown is flown.
        let stall =
            StallSpeed { calibrated: CalibratedSpeed::mps(c.airspeed), at_mass: Kilograms::kg(c.mass) };
        let air = CubicDensity::kg_m3(1.225);
        let airspeed = touchdown_airspeed(&stall, Kilograms::kg(mass), 1.0, 0.0, air).to_mps();
        Case { mass, airspeed, thrust: 0.0, ..c.clone() }
    }),
];

impl Case {
    fn slide(&self) -> Slide<'_> {
        Slide {
            body: Body {
                mass: Kilograms::kg(self.mass),
                wing_area: SquareMetres::m2(14.0),
                lift_coefficient: self.lift,
                drag_coefficient: self.drag,
                idle_thrust: Newtons::n(self.thrust),
            },
            density: CubicDensity::kg_m3(1.225),
            headwind: Headwind::mps(self.headwind),
            track: &self.track,
            friction: &self.friction,
            settling: self.settling,
            carried: Metres::m(self.carried),
            slope_score: 0.0,
            curvature_score: 0.0,
        }
    }

    fn touchdown(&self) -> Touchdown {
        Touchdown { at: Metres::ZERO, speed: GroundSpeed::mps(self.airspeed - self.headwind) }
    }

    /// Never stopping is longer than any.
    fn exact(&self) -> f64 {
        match self.slide().traced(self.touchdown(), None, |_, _| ()).outcome {
            Outcome::StopsAt(s) => s.to_m(),
            Outcome::RunsOff { .. } | Outcome::NeverStops => f64::INFINITY,
        }
    }

    fn fast(&self) -> f64 {
        self.slide().length(self.touchdown()).map_or(f64::INFINITY, Metres::to_m)
    }

    /// No friction but that, no air, no slope: v^2/(2 mu G).
    fn plain() -> Self {
        Self {
            mass: 600.0,
            lift: 0.0,
            drag: 0.0,
            thrust: 0.0,
            headwind: 0.0,
            track: Track::even(Slope::ZERO),
            friction: vec![0.4],
            settling: 0.0,
            carried: 0.0,
            airspeed: 20.0,
        }
    }
}

prop_compose! {
    fn case()(
        stations in proptest::collection::vec((2.0..30.0_f64, -0.03..0.04_f64, -0.04..0.04_f64, -0.004..0.004_f64, 0..3_usize), 1..20),
        friction in proptest::collection::vec(0.2..0.6_f64, 3),
        (mass, lift, drag, thrust) in (400.0..900.0_f64, 0.0..0.6_f64, 0.03..0.2_f64, 0.0..150.0_f64),
        (headwind, airspeed) in (-4.0..6.0_f64, 14.0..28.0_f64),
        (settling, carried) in (0.0..2.0_f64, 0.0..10.0_f64),
    ) -> Case {
        let mut from = 0.0;
        let station = |(length, slope, cross, curvature, zone)| {
            from += length;
            let even = Station::even(Metres::m(from), Slope::ratio(slope), zone);
            Station { cross: Slope::ratio(cross), curvature, ..even }
        };
        let track = Track::new(stations.into_iter().map(station).collect()).expect("rising");
        Case { mass, lift, drag, thrust, headwind, track, friction, settling, carried, airspeed }
    }
}

/// The worked lengths of the plain slide and of it changed to the full.
#[track_caller]
fn check(row: &str, before: f64, after: f64) {
    let (_, change) = TABLE.iter().find(|(name, ..)| *name == row).expect("a row");
    let changed = change(&Case::plain(), 1.0);
    let (a, b) = (Case::plain().exact(), changed.exact());
    assert!((a - before).abs() < 1e-3 && (b - after).abs() < 1e-3, "{row}: {a} {b}");
}

#[test]
fn each_row_is_worked_by_hand() {
    let g = measure::STANDARD_GRAVITY;
    let plain = 400.0 / (0.8 * g);
    check("friction low", plain, 2.0 * plain);
    // ln(1 + B V^2/A)/(2B) with A = 0.4 G, B = -mu rho S CL/(2m) = -0.4 x 1.225 x 14 x 0.3/1200.
    let b = -0.4 * 1.225 * 14.0 * 0.3 / 1200.0;
    check("lift after touchdown high", plain, (1.0 + b * 400.0 / (0.4 * g)).ln() / (2.0 * b));
    // A fixed-step Runge-Kutta of 1e-5 s in Python: 69.0376.
    check("lift slow to settle", plain, 69.037_6);
    check("drag low", plain, plain);
    check("idle thrust high", plain, 200.0 / (0.4 * g - 200.0 / 600.0));
    check("length carried high", plain, plain + 10.0);
    // (mu cos a - sin a) G with tan a = 0.02.
    check("slope downhill", plain, 200.0 * f64::hypot(1.0, 0.02) / (0.38 * g));
    // 25 m/s over the ground.
    check("headwind low", plain, plain * 1.5625);
    check("mass high, without thrust", plain, plain * 1.3);
}

#[test]
fn a_higher_touchdown_speed_needs_the_square_more() {
    let faster = Case { airspeed: 22.0, ..Case::plain() };
    assert!((faster.exact() / Case::plain().exact() - 1.21).abs() < 1e-9);
}

#[test]
fn with_thrust_more_mass_may_lengthen_or_shorten() {
    // Friction grows with mass and thrust does not: near balance the heavier stops sooner, far from it later.
    let of = |mass: f64, thrust: f64, friction: f64| {
        let airspeed = 20.0 * (mass / 600.0).sqrt();
        Case { mass, thrust, friction: vec![friction], airspeed, ..Case::plain() }.exact()
    };
    assert!(of(700.0, 500.0, 0.12) < of(600.0, 500.0, 0.12));
    assert!(of(700.0, 100.0, 0.40) > of(600.0, 100.0, 0.40));
}

proptest! {
    #[test]
    fn no_change_that_hurts_ever_shortens_a_slide(case in case(), by in 0.0..1.0_f64) {
        for (row, change) in TABLE {
            let before = if row.starts_with("mass") { Case { thrust: 0.0, ..case.clone() } } else { case.clone() };
            let after = change(&case, by);
            let (a, b) = (before.exact(), after.exact());
            prop_assert!(b >= a - EXACT * (a.min(1e6) / 10.0).max(1.0), "{row}: {a} then {b}");
            let (a, b) = (before.fast(), after.fast());
            if a.is_infinite() || b.is_infinite() {
                prop_assert!(b.is_infinite(), "{row}, the fast way: {a} then {b}");
                continue;
            }
            let room = march::accuracy(Metres::m(a)).to_m() + march::accuracy(Metres::m(b)).to_m();
            prop_assert!(b >= a - room, "{row}, the fast way: {a} then {b}");
        }
    }
}
