//! Inputs at and beyond the edge of sense: always an answer, never a number that is none.

use measure::{CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres};
use proptest::prelude::*;
use slide::{Body, Breaks, Conditions, Method, Outcome, Run, SLIDE_LIMIT, Surface, integrate, run};

const BASE: Conditions = Conditions {
    body: Body {
        mass: Kilograms::kg(600.0),
        wing_area: SquareMetres::m2(14.0),
        lift_coefficient: 0.6,
        drag_coefficient: 0.10,
        idle_thrust: Newtons::ZERO,
    },
    surface: Surface { friction: 0.40, slope: Slope::ZERO },
    density: CubicDensity::kg_m3(1.225),
    headwind: Headwind::ZERO,
};

const V: GroundSpeed = GroundSpeed::mps(20.0);

/// Walks what every outcome must keep to.
#[track_caller]
fn check(c: &Conditions, v: GroundSpeed, room: Option<Metres>) -> Outcome {
    let outcome = run(c, v, room).outcome;
    match outcome {
        Outcome::StopsAt(d) => {
            assert!(d >= Metres::ZERO && d <= SLIDE_LIMIT, "{d:?}");
            assert!(v <= GroundSpeed::ZERO || room.is_none_or(|room| d <= room), "{d:?} in {room:?}");
        }
        Outcome::RunsOff { speed } => {
            assert!(speed >= GroundSpeed::ZERO && speed.to_mps().is_finite(), "{speed:?}");
            assert!(room.is_some());
        }
        Outcome::NeverStops => {}
    }
    outcome
}

fn surface(friction: f64, slope: f64) -> Conditions {
    Conditions { surface: Surface { friction, slope: Slope::ratio(slope) }, ..BASE }
}

fn thrust(newtons: f64) -> Conditions {
    let body = Body { idle_thrust: Newtons::n(newtons), ..BASE.body };
    Conditions { body, ..BASE }
}

fn wind(headwind: f64) -> Conditions {
    Conditions { headwind: Headwind::mps(headwind), ..BASE }
}

#[test]
fn ice_without_slope_never_stops_for_only_drag_slows() {
    assert_eq!(check(&surface(0.0, 0.0), V, None), Outcome::NeverStops);
    let Outcome::RunsOff { speed } = check(&surface(0.0, 0.0), V, Some(Metres::m(100.0))) else { panic!() };
    // Drag alone: v = V exp(-C d), C = 0.5 x 1.225 x 14 x 0.1/600 = 0.00142916667.
    assert!((speed.to_mps() - 20.0 * (-0.142_916_666_7_f64).exp()).abs() < 1e-9, "{speed:?}");
}

#[test]
fn ice_uphill_still_stops() {
    let Outcome::StopsAt(d) = check(&surface(0.0, 0.05), V, None) else { panic!() };
    // ln(1 + 400 C/(G sin a))/(2C), sin a = 0.0499376169: 274.0 m.
    let (c, a) = (0.001_429_166_667_f64, 9.80665 * 0.049_937_616_9);
    assert!((d.to_m() - (1.0 + 400.0 * c / a).ln() / (2.0 * c)).abs() < 1e-6, "{d:?}");
}

#[test]
fn a_slope_steeper_than_the_friction_never_stops_and_a_cliff_neither() {
    assert_eq!(check(&surface(0.4, -0.5), V, None), Outcome::NeverStops);
    assert_eq!(check(&surface(0.4, -1e9), V, None), Outcome::NeverStops);
    let Outcome::RunsOff { speed } = check(&surface(0.4, -0.5), V, Some(Metres::m(200.0))) else { panic!() };
    assert!(speed > V);
    assert!(matches!(check(&surface(0.4, 1e9), V, None), Outcome::StopsAt(_)));
}

#[test]
fn lift_over_weight_slows_by_drag_until_the_keels_bear() {
    let body = Body { lift_coefficient: 3.0, ..BASE.body };
    assert!(matches!(check(&Conditions { body, ..BASE }, V, None), Outcome::StopsAt(_)));
    // Without drag nothing slows it while it is carried by the wing.
    let body = Body { lift_coefficient: 3.0, drag_coefficient: 0.0, ..BASE.body };
    assert_eq!(check(&Conditions { body, ..BASE }, V, None), Outcome::NeverStops);
}

#[test]
fn thrust_beyond_friction_never_stops() {
    assert_eq!(check(&thrust(3000.0), V, None), Outcome::NeverStops);
    for newtons in [1e6, 1e12, 1e300] {
        assert_eq!(check(&thrust(newtons), V, None), Outcome::NeverStops);
        check(&thrust(newtons), V, Some(Metres::m(100.0)));
    }
    // Thrust that pulls back is a brake.
    assert!(matches!(check(&thrust(-1e6), V, None), Outcome::StopsAt(_)));
}

#[test]
fn thrust_held_only_by_drag_settles_at_a_speed_and_never_stops() {
    // Fast, drag slows it; slow, thrust wins: the root lies between.
    let body = Body { idle_thrust: Newtons::n(2500.0), drag_coefficient: 0.5, ..BASE.body };
    let c = Conditions { body, ..BASE };
    assert!(c.deceleration(GroundSpeed::mps(30.0)) > 0.0 && c.deceleration(GroundSpeed::ZERO) < 0.0);
    assert_eq!(check(&c, GroundSpeed::mps(30.0), None), Outcome::NeverStops);
    let Outcome::RunsOff { speed } = check(&c, GroundSpeed::mps(30.0), Some(Metres::m(5000.0))) else {
        panic!()
    };
    assert!(c.deceleration(speed).abs() < 1e-6, "{speed:?}");
}

#[test]
fn thrust_that_wins_only_while_the_wing_carries_never_stops() {
    // At rest friction holds and at 40 m/s drag does, but where lift equals weight (18.5 m/s) drag
    // is 0.7 against 1.5 m/s2 of thrust.
    let body =
        Body { lift_coefficient: 2.0, drag_coefficient: 0.14, idle_thrust: Newtons::n(900.0), ..BASE.body };
    let c = Conditions { body, ..BASE };
    let slows = |v| c.deceleration(GroundSpeed::mps(v)) > 0.0;
    assert!(slows(0.0) && !slows(18.5) && slows(40.0));
    let found = run(&c, GroundSpeed::mps(40.0), None);
    assert_eq!(found, Run { outcome: Outcome::NeverStops, method: Method::ClosedForm });
}

#[test]
fn a_speed_that_only_approaches_rest_is_no_stop() {
    // On ice in a headwind, thrust a hair above the drag at rest: the distance stays finite, and
    // rounding is larger than the speed that is left.
    for hair in [0.0, 1e-15, 1e-13] {
        let drag_at_rest = 0.5 * 1.225 * 14.0 * 0.10 * 100.0;
        let c = Conditions { headwind: Headwind::mps(10.0), ..thrust(drag_at_rest * (1.0 + hair)) };
        let surface = Surface { friction: 0.0, ..c.surface };
        let body = Body { lift_coefficient: 0.0, ..c.body };
        let c = Conditions { surface, body, ..c };
        for room in [None, Some(Metres::m(9000.0))] {
            let outcome = check(&c, V, room);
            let stops = c.deceleration(GroundSpeed::ZERO) > 0.0;
            assert!(stops || !matches!(outcome, Outcome::StopsAt(_)), "{hair} {room:?}: {outcome:?}");
        }
    }
}

#[test]
fn nothing_to_slide_stops_at_once() {
    for v in [0.0, -0.0, -5.0] {
        assert_eq!(check(&BASE, GroundSpeed::mps(v), None), Outcome::StopsAt(Metres::ZERO));
    }
}

#[test]
fn no_room_is_run_off_at_touchdown_speed() {
    for room in [0.0, -3.0, f64::NAN] {
        assert_eq!(check(&BASE, V, Some(Metres::m(room))), Outcome::RunsOff { speed: V });
    }
}

#[test]
fn a_tail_wind_faster_than_the_slide_pushes_all_the_way() {
    let Outcome::StopsAt(d) = check(&wind(-30.0), V, None) else { panic!() };
    let Outcome::StopsAt(still) = check(&surface(0.4, 0.0), V, None) else { panic!() };
    assert!(d > still);
    // At 60 m/s from behind the push is 5.1 m/s2 against 3.9 of friction.
    assert_eq!(check(&wind(-60.0), V, None), Outcome::NeverStops);
}

#[test]
fn a_slide_beyond_the_limit_never_stops_by_either_method() {
    let vanishing = Conditions { density: CubicDensity::ZERO, ..surface(1e-4, 0.0) };
    assert_eq!(check(&vanishing, V, None), Outcome::NeverStops);
    assert_eq!(check(&vanishing, V, Some(SLIDE_LIMIT * 3.0)), Outcome::NeverStops);
    let stepped = integrate(|_, v, _| vanishing.deceleration(v), V, None, Breaks::default());
    assert_eq!(stepped, Outcome::NeverStops);
}

#[test]
fn a_deceleration_that_is_not_a_number_never_stops() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(integrate(|_, _, _| bad, V, None, Breaks::default()), Outcome::NeverStops);
        let later = |s: Metres, _, _| if s.to_m() < 10.0 { 4.0 } else { bad };
        let breaks = Breaks { chainages: &[Metres::m(10.0)], ..Breaks::default() };
        assert_eq!(integrate(later, V, None, breaks), Outcome::NeverStops);
    }
}

#[test]
fn a_touchdown_at_a_crawl_in_a_gale_is_integrated_rather_than_lost_in_rounding() {
    // Found by random magnitudes: the closed form's two parts cancelled to less than nothing.
    let c = wind(20.0);
    let found = run(&c, GroundSpeed::mps(1e-9), None);
    // At rest in 20 m/s the deceleration D is the same as at 20 m/s in calm: d = v^2/(2 D).
    let expected = 1e-18 / (2.0 * c.deceleration(GroundSpeed::ZERO));
    let Outcome::StopsAt(d) = found.outcome else { panic!("{found:?}") };
    assert_eq!(found.method, Method::Integrated);
    assert!((d.to_m() / expected - 1.0).abs() < 1e-9, "{d:?} for {expected}");
}

#[test]
fn a_brake_far_beyond_life_still_gives_its_distance() {
    // Found by random magnitudes: a step tried far beyond the stop lost the stop in rounding.
    for exponent in 0..200 {
        let (v, brake) = (1.6e-9, 10_f64.powf(0.3 * f64::from(exponent)));
        let outcome = integrate(|_, _, _| brake, GroundSpeed::mps(v), None, Breaks::default());
        let Outcome::StopsAt(d) = outcome else { panic!("{brake}: {outcome:?}") };
        assert!((d.to_m() * 2.0 * brake / (v * v) - 1.0).abs() < 1e-9, "{brake}: {d:?}");
    }
}

proptest! {
    #[test]
    fn whatever_the_values_there_is_an_answer(
        x in proptest::array::uniform10(any::<f64>()), v in any::<f64>(), room in proptest::option::of(any::<f64>()),
    ) {
        let [m, s, cl, cd, t, mu, slope, rho, w, _] = x;
        let body = Body {
            mass: Kilograms::kg(m),
            wing_area: SquareMetres::m2(s),
            lift_coefficient: cl,
            drag_coefficient: cd,
            idle_thrust: Newtons::n(t),
        };
        let surface = Surface { friction: mu, slope: Slope::ratio(slope) };
        let c = Conditions { body, surface, density: CubicDensity::kg_m3(rho), headwind: Headwind::mps(w) };
        check(&c, GroundSpeed::mps(v), room.map(Metres::m));
    }

    #[test]
    fn magnitudes_far_from_life_give_an_answer(
        e in proptest::array::uniform10(-12.0..12.0_f64), signs in any::<[bool; 3]>(), room in any::<bool>(),
    ) {
        let [m, s, cl, cd, t, mu, slope, rho, w, v] = e.map(|e| 10_f64.powf(e));
        let sign = |on: bool, x: f64| if on { -x } else { x };
        let body = Body {
            mass: Kilograms::kg(m),
            wing_area: SquareMetres::m2(s),
            lift_coefficient: cl,
            drag_coefficient: cd,
            idle_thrust: Newtons::n(sign(signs[0], t)),
        };
        let surface = Surface { friction: mu, slope: Slope::ratio(sign(signs[1], slope)) };
        let headwind = Headwind::mps(sign(signs[2], w));
        let c = Conditions { body, surface, density: CubicDensity::kg_m3(rho), headwind };
        check(&c, GroundSpeed::mps(v), room.then_some(Metres::m(300.0)));
    }
}
