//! The fast way through a slide against the exact one, and the laws of slides over changing ground.

#![allow(clippy::expect_used, reason = "helpers of a test fail by panicking")]

use measure::{CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres};
use proptest::prelude::*;
use slide::{Body, Outcome, Slide, Station, Touchdown, Track, march};

/// Share by which friction may differ where the two ways are compared.
const FRICTION_ROOM: f64 = 1e-3;

/// No aircraft flies slower, m/s (judgement).
const SLOWEST_FLYING: f64 = 10.0;

/// A slide that owns its ground.
#[derive(Clone, Debug)]
struct Case {
    body: Body,
    headwind: f64,
    track: Track,
    friction: Vec<f64>,
    settling: f64,
    carried: f64,
    at: f64,
    speed: f64,
}

impl Case {
    fn slide(&self) -> Slide<'_> {
        Slide {
            body: self.body,
            density: CubicDensity::kg_m3(1.2),
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
        Touchdown { at: Metres::m(self.at), speed: GroundSpeed::mps(self.speed) }
    }

    fn marched(&self) -> Option<f64> {
        self.slide().length(self.touchdown()).map(Metres::to_m)
    }

    fn traced(&self) -> Option<f64> {
        match self.slide().traced(self.touchdown(), None, |_, _| ()).outcome {
            Outcome::StopsAt(s) => Some(s.to_m()),
            Outcome::RunsOff { .. } | Outcome::NeverStops => None,
        }
    }
}

fn station() -> impl Strategy<Value = (f64, f64, f64, f64, usize)> {
    (0.5..30.0_f64, -0.05..0.06_f64, -0.05..0.05_f64, -0.01..0.01_f64, 0..3_usize)
}

fn track() -> impl Strategy<Value = Track> {
    proptest::collection::vec(station(), 1..40).prop_map(|list| {
        let mut from = 0.0;
        let stations = list.into_iter().map(|(length, slope, cross, curvature, zone)| {
            from += length;
            Station {
                cross: Slope::ratio(cross),
                curvature,
                ..Station::even(Metres::m(from), Slope::ratio(slope), zone)
            }
        });
        Track::new(stations.collect()).expect("rising")
    })
}

prop_compose! {
    fn case()(
        track in track(),
        friction in proptest::collection::vec(0.12..0.6_f64, 3),
        (mass, lift, drag, thrust) in (350.0..1200.0_f64, 0.0..0.9_f64, 0.03..0.2_f64, 0.0..250.0_f64),
        headwind in -6.0..9.0_f64,
        (settling, carried) in (0.0..2.5_f64, 0.0..15.0_f64),
        (at, airspeed) in (0.0..60.0_f64, SLOWEST_FLYING..32.0_f64),
    ) -> Case {
        let body = Body {
            mass: Kilograms::kg(mass),
            wing_area: SquareMetres::m2(mass / 45.0),
            lift_coefficient: lift,
            drag_coefficient: drag,
            idle_thrust: Newtons::n(thrust),
        };
        let speed = (airspeed - headwind).max(1.0);
        Case { body, headwind, track, friction, settling, carried, at, speed }
    }
}

/// A slide that any reader can work out: 20 m/s, friction 0.4, no air to speak of.
fn plain() -> Case {
    let body = Body {
        mass: Kilograms::kg(600.0),
        wing_area: SquareMetres::m2(14.0),
        lift_coefficient: 0.0,
        drag_coefficient: 0.0,
        idle_thrust: Newtons::ZERO,
    };
    Case {
        body,
        headwind: 0.0,
        track: Track::even(Slope::ZERO),
        friction: vec![0.4],
        settling: 0.0,
        carried: 0.0,
        at: 0.0,
        speed: 20.0,
    }
}

#[track_caller]
fn check(case: &Case, expected: f64, room: f64) {
    let (fast, exact) = (case.marched().expect("stops"), case.traced().expect("stops"));
    assert!((exact - expected).abs() < room, "exact {exact} for {expected}");
    assert!((fast - exact).abs() < march::ACCURACY.to_m(), "fast {fast}, exact {exact}");
}

#[test]
fn friction_alone_takes_speed_squared_over_twice_the_deceleration() {
    // 400/(2 x 0.4 x 9.80665) = 50.985810649.
    check(&plain(), 50.985_810_649, 1e-8);
}

#[test]
fn a_length_carried_is_added_whole_where_nothing_slows() {
    check(&Case { carried: 12.5, ..plain() }, 63.485_810_649, 1e-8);
}

#[test]
fn lift_that_settles_costs_what_friction_did_not_do_meanwhile() {
    // Lift over u^2 falls from G/400 to 0 in 2 s. With v near 20 the load grows as 1 - (1 - t/2) = t/2, so
    // the speed lost in 2 s is near 0.4 x 9.80665 x 1 = 3.9 of 7.8 m/s, and about 20 m are added. Worked
    // out apart by a fixed-step Runge-Kutta of 1e-5 s in Python: 69.0376.
    check(&Case { settling: 2.0, ..plain() }, 69.037_6, 2e-4);
}

#[test]
fn ground_that_curves_upward_presses_the_keels_down() {
    // dE/ds = -2 mu (G + k E): E = (E0 + G/k) exp(-2 mu k s) - G/k; s = ln(1 + k E0/G)/(2 mu k).
    let k = 0.005;
    let track = Track::even(Slope::ZERO).mapped(|s| Station { curvature: k, ..s });
    let expected = (1.0_f64 + k * 400.0 / 9.806_65).ln() / (0.8 * k);
    check(&Case { track, ..plain() }, expected, 1e-8);
}

#[test]
fn a_crest_sharp_enough_is_skipped_over_and_said_so() {
    let ground = |k: f64| {
        let at =
            |from: f64, curvature| Station { curvature, ..Station::even(Metres::m(from), Slope::ZERO, 0) };
        Track::new(vec![at(0.0, 0.0), at(10.0, k), at(14.0, 0.0)]).expect("rising")
    };
    let skips = |k| {
        let case = Case { track: ground(k), ..plain() };
        case.slide().traced(case.touchdown(), None, |_, _| ()).skips_at.map(Metres::to_m)
    };
    // At 10 m: v^2 = 400 - 78.45 = 321.5; G/v^2 = 0.0305.
    assert_eq!(skips(-0.030), None);
    assert!((skips(-0.031).expect("skips") - 10.0).abs() < 1e-6);
}

#[test]
fn it_stays_where_friction_holds_slope_thrust_and_wind() {
    let stays = |case: &Case| case.slide().stays(Metres::m(50.0));
    assert!(stays(&plain()));
    // On a slope of 0.4 friction of 0.4 just holds: G sin a = mu G cos a.
    let slope = |s: f64| Case { track: Track::even(Slope::ratio(s)), ..plain() };
    assert!(stays(&slope(0.399)) && !stays(&slope(0.401)) && !stays(&slope(-0.401)));
    // 0.4 x 9.80665 x 600 = 2353.6 N.
    let thrust = |n: f64| Case { body: Body { idle_thrust: Newtons::n(n), ..plain().body }, ..plain() };
    assert!(stays(&thrust(2_353.0)) && !stays(&thrust(2_354.0)));
}

#[test]
fn thrust_above_friction_never_stops_by_either_way() {
    let body = Body { idle_thrust: Newtons::n(2_400.0), ..plain().body };
    let case = Case { body, ..plain() };
    assert_eq!((case.marched(), case.traced()), (None, None));
}

#[test]
fn values_that_are_no_physics_never_stop() {
    for bad in [
        Case { friction: vec![f64::NAN], ..plain() },
        Case { friction: vec![-0.1], ..plain() },
        Case { settling: -1.0, ..plain() },
        Case { carried: f64::INFINITY, ..plain() },
        Case { speed: f64::NAN, ..plain() },
    ] {
        assert_eq!((bad.marched(), bad.traced()), (None, None), "{bad:?}");
    }
    assert_eq!(Case { speed: -1.0, ..plain() }.marched(), Some(0.0));
}

proptest! {
    #[test]
    fn the_fast_way_is_as_long_as_the_exact_one_of_all_but_the_same_friction(case in case()) {
        // Close to never stopping, a length hangs on digits that nobody knows, so the room is one of friction.
        let exact = |factor: f64| {
            let friction = case.friction.iter().map(|mu| mu * factor).collect();
            Case { friction, ..case.clone() }.traced()
        };
        let (short, long) = (exact(1.0 + FRICTION_ROOM), exact(1.0 - FRICTION_ROOM));
        // Where it leaves the ground, the load has a bend that no station marks; no verdict rests on it then.
        let skips = case.slide().traced(case.touchdown(), None, |_, _| ()).skips_at.is_some();
        let share = if skips { 0.01 } else { 0.001 };
        let room = march::ACCURACY.to_m().max(share * case.marched().unwrap_or(0.0));
        match case.marched() {
            Some(fast) => {
                prop_assert!(short.is_some_and(|short| fast >= short - room), "{fast} {short:?}");
                prop_assert!(long.is_none_or(|long| fast <= long + room), "{fast} {long:?}");
            }
            None => prop_assert!(long.is_none(), "none, {long:?}"),
        }
    }

    #[test]
    fn touching_down_later_never_ends_sooner(case in case(), later in 0.0..40.0_f64) {
        // Where it gains speed on the way, the one that came from behind may be the faster.
        let track = case.track.mapped(|s| Station { slope: s.slope.max(Slope::ZERO), ..s });
        let body = Body { idle_thrust: Newtons::ZERO, ..case.body };
        let case = Case { track, body, headwind: case.headwind.max(0.0), ..case };
        let after = Case { at: case.at + later, ..case.clone() };
        let (Some(a), Some(b)) = (case.marched(), after.marched()) else { return Ok(()) };
        prop_assert!(after.at + b >= case.at + a - 2.0 * march::ACCURACY.to_m(), "{a} {b}");
    }
}
