//! Laws of the slide, each beside a worked number, and the integrator against the closed form.

#![allow(clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{
    AirSpeed, CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres,
};
use proptest::prelude::*;
use slide::{Body, Breaks, Conditions, Method, Outcome, SLIDE_LIMIT, Surface, closed, integrate, run};

/// Agreement claimed between integrator and closed form, relative.
const AGREEMENT: f64 = 1e-9;

/// A light floatplane; every test changes what it is about.
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

fn with_friction(c: Conditions, friction: f64) -> Conditions {
    Conditions { surface: Surface { friction, ..c.surface }, ..c }
}

fn with_slope(c: Conditions, slope: f64) -> Conditions {
    Conditions { surface: Surface { slope: Slope::ratio(slope), ..c.surface }, ..c }
}

fn with_headwind(c: Conditions, headwind: f64) -> Conditions {
    Conditions { headwind: Headwind::mps(headwind), ..c }
}

fn with_coefficients(c: Conditions, lift: f64, drag: f64) -> Conditions {
    let body = Body { lift_coefficient: lift, drag_coefficient: drag, ..c.body };
    Conditions { body, ..c }
}

/// Length of a slide without end of room; nothing if it never stops.
fn length(c: &Conditions, v: f64) -> Option<f64> {
    match run(c, GroundSpeed::mps(v), None).outcome {
        Outcome::StopsAt(d) => Some(d.to_m()),
        Outcome::NeverStops => None,
        Outcome::RunsOff { .. } => panic!("ran off although no room was given"),
    }
}

/// Length of a slide step by step, whatever the closed form says.
fn integrated(c: &Conditions, v: f64) -> Outcome {
    let still = GroundSpeed::mps(-c.headwind.to_mps());
    let breaks = Breaks { speeds: &[still], ..Breaks::default() };
    integrate(|_, v, _| c.deceleration(v), GroundSpeed::mps(v), None, breaks)
}

/// Whether the first slide is no longer than the second, within the agreement of the methods.
fn no_longer(first: Option<f64>, second: Option<f64>) -> bool {
    match (first, second) {
        (_, None) => true,
        (None, Some(_)) => false,
        (Some(a), Some(b)) => a <= b * (1.0 + AGREEMENT) + f64::MIN_POSITIVE,
    }
}

#[track_caller]
fn check_length(c: &Conditions, v: f64, expected: f64, method: Method) {
    let found = run(c, GroundSpeed::mps(v), None);
    let Outcome::StopsAt(d) = found.outcome else { panic!("{found:?}") };
    assert!((d.to_m() - expected).abs() < AGREEMENT * expected, "{d:?} for {expected}");
    assert_eq!(found.method, method);
}

#[test]
fn the_worked_slide_is_57_m_and_less_friction_lengthens_it() {
    // m 600 kg, S 14 m2, CL 0.6, CD 0.10, 20 m/s (SciPy 1.17.1 solve_ivp: 57.0241261 m).
    let d = length(&BASE, 20.0).unwrap();
    assert!((d - 57.024_126_1).abs() < 5e-8);
    assert!(length(&with_friction(BASE, 0.3), 20.0).unwrap() > d);
}

#[test]
fn the_same_slide_downhill_is_60_m() {
    // As above at -2 %: 60.4320473 m.
    let d = length(&with_slope(BASE, -0.02), 20.0).unwrap();
    assert!((d - 60.432_047_3).abs() < 5e-8);
}

#[test]
fn a_slide_that_starts_with_more_lift_than_weight_is_integrated() {
    // mpmath 1.3.0 quad of v/D(v), 30 digits, split where lift equals weight (u = 18.522683 m/s).
    let c = with_coefficients(BASE, 2.0, 0.15);
    check_length(&c, 30.0, 315.033_191_519_9, Method::Integrated);
    check_length(&with_headwind(c, 5.0), 25.0, 231.324_091_268_9, Method::Integrated);
}

#[test]
fn a_tail_wind_that_overtakes_the_aircraft_has_a_closed_form_on_each_side() {
    // mpmath 1.3.0 quad of v/D(v), 30 digits, split at still air (v = 6 m/s).
    let c = with_headwind(with_friction(BASE, 0.3), -6.0);
    check_length(&c, 20.0, 70.096_019_763_3, Method::ClosedForm);
}

#[test]
fn the_end_of_the_room_is_met_at_the_speed_that_is_left() {
    // 400 - 2 x 3.92266 x 25 = 203.867, root 14.278200...
    let c = with_coefficients(BASE, 0.0, 0.0);
    let found = run(&c, GroundSpeed::mps(20.0), Some(Metres::m(25.0)));
    let Outcome::RunsOff { speed } = found.outcome else { panic!("{found:?}") };
    assert!((speed.to_mps() - 203.867_f64.sqrt()).abs() < 1e-12);
}

#[test]
fn a_stop_just_at_the_end_of_the_room_is_a_stop() {
    let d = Metres::m(length(&BASE, 20.0).unwrap());
    let at = |room| run(&BASE, GroundSpeed::mps(20.0), Some(room)).outcome;
    assert_eq!(at(d), Outcome::StopsAt(d));
    assert!(matches!(at(d - Metres::m(1e-9)), Outcome::RunsOff { .. }));
}

#[test]
fn a_jump_of_friction_counts_from_its_chainage_whichever_side_owns_it() {
    // 18^2 - 2 x 1.96133 x 30 = 206.3202; 206.3202/(2 x 3.92266) = 26.2985...; SciPy: 56.298506626.
    let edge = [Metres::m(30.0)];
    let breaks = Breaks { chainages: &edge, ..Breaks::default() };
    let before = |s: Metres, _, _| if s < edge[0] { 1.961_33 } else { 3.922_66 };
    let upto = |s: Metres, _, _| if s <= edge[0] { 1.961_33 } else { 3.922_66 };
    for outcome in [
        integrate(before, GroundSpeed::mps(18.0), None, breaks),
        integrate(upto, GroundSpeed::mps(18.0), None, breaks),
    ] {
        let Outcome::StopsAt(d) = outcome else { panic!("{outcome:?}") };
        assert!((d.to_m() - 56.298_506_626).abs() < 1e-9, "{d:?}");
    }
}

#[test]
fn many_jumps_in_any_order_add_up_like_the_energies() {
    // Decelerations 1, 3, 1, 3, ... over 4 m each: 2 m/s2 on average, 400/(2 x 2) = 100 m.
    let mut edges: Vec<Metres> = (1..40).map(|i| Metres::m(4.0 * f64::from(i))).collect();
    edges.reverse();
    let deceleration = |s: Metres, _, _| if (s.to_m() / 4.0).floor() % 2.0 < 0.5 { 1.0 } else { 3.0 };
    let breaks = Breaks { chainages: &edges, ..Breaks::default() };
    let outcome = integrate(deceleration, GroundSpeed::mps(20.0), None, breaks);
    // 25 strips: 13 x 4 + 12 x 12 = 196 of the 200 m2/s2 at 100 m; the last 4 at 3 m/s2.
    let Outcome::StopsAt(d) = outcome else { panic!("{outcome:?}") };
    assert!((d.to_m() - (100.0 + 4.0 / 3.0)).abs() < 1e-9, "{d:?}");
}

fn any_conditions() -> impl Strategy<Value = (Conditions, f64)> {
    let body = (300.0..1500.0_f64, 8.0..20.0_f64, 0.0..1.2_f64, 0.03..0.25_f64, 0.0..300.0_f64);
    let rest = (0.05..0.6_f64, -0.06..0.06_f64, 0.9..1.3_f64, -12.0..12.0_f64, 0.5..35.0_f64);
    (body, rest).prop_map(|((m, s, cl, cd, t), (mu, slope, rho, w, v))| {
        let body = Body {
            mass: Kilograms::kg(m),
            wing_area: SquareMetres::m2(s),
            lift_coefficient: cl,
            drag_coefficient: cd,
            idle_thrust: Newtons::n(t),
        };
        let surface = Surface { friction: mu, slope: Slope::ratio(slope) };
        let density = CubicDensity::kg_m3(rho);
        (Conditions { body, surface, density, headwind: Headwind::mps(w) }, v)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn the_integrator_equals_the_closed_form((c, v) in any_conditions()) {
        let closed = closed::slide_length(&c, GroundSpeed::mps(v), GroundSpeed::ZERO).filter(|&d| d <= SLIDE_LIMIT);
        // Near a root of the deceleration both are sensitive to the last digit of their inputs.
        let slows = (0..=100).all(|i| c.deceleration(GroundSpeed::mps(v * f64::from(i) / 100.0)) > 0.02);
        prop_assume!(closed.is_some() && slows);
        let (closed, outcome) = (closed.unwrap().to_m(), integrated(&c, v));
        let Outcome::StopsAt(d) = outcome else { return Err(TestCaseError::fail(format!("{outcome:?}"))) };
        prop_assert!((d.to_m() - closed).abs() <= AGREEMENT * closed, "{d:?} for {closed}");
    }

    #[test]
    fn both_methods_leave_the_room_at_the_same_speed((c, v) in any_conditions(), part in 0.05..0.95_f64) {
        let closed = closed::slide_length(&c, GroundSpeed::mps(v), GroundSpeed::ZERO).filter(|&d| d <= SLIDE_LIMIT);
        let slows = (0..=100).all(|i| c.deceleration(GroundSpeed::mps(v * f64::from(i) / 100.0)) > 0.02);
        prop_assume!(closed.is_some() && slows);
        let room = closed.unwrap() * part;
        let still = [GroundSpeed::mps(-c.headwind.to_mps())];
        let breaks = Breaks { speeds: &still, ..Breaks::default() };
        let stepped = integrate(|_, v, _| c.deceleration(v), GroundSpeed::mps(v), Some(room), breaks);
        let whole = run(&c, GroundSpeed::mps(v), Some(room));
        prop_assert_eq!(whole.method, Method::ClosedForm);
        let (Outcome::RunsOff { speed: a }, Outcome::RunsOff { speed: b }) = (stepped, whole.outcome) else {
            return Err(TestCaseError::fail(format!("{stepped:?}, {whole:?}")));
        };
        prop_assert!((a - b).to_mps().abs() < AGREEMENT * v, "{a:?} and {b:?}");
    }

    #[test]
    fn less_friction_never_shortens((c, v) in any_conditions(), less in 0.0..1.0_f64) {
        let slippery = with_friction(c, c.surface.friction * less);
        prop_assert!(no_longer(length(&c, v), length(&slippery, v)));
    }

    #[test]
    fn more_headwind_never_lengthens_at_the_same_airspeed((c, v) in any_conditions(), more in 0.0..10.0_f64) {
        // At the same ground speed it may: more lift takes weight off the keels.
        let windier = with_headwind(c, c.headwind.to_mps() + more);
        let air = AirSpeed::mps(v + 12.0);
        let over = |c: &Conditions| length(c, air.over_ground(c.headwind).to_mps());
        prop_assert!(no_longer(over(&windier), over(&c)));
    }

    #[test]
    fn steeper_downhill_never_shortens((c, v) in any_conditions(), steeper in 0.0..0.1_f64) {
        let down = with_slope(c, c.surface.slope.to_ratio() - steeper);
        prop_assert!(no_longer(length(&c, v), length(&down, v)));
    }

    #[test]
    fn more_touchdown_speed_never_shortens((c, v) in any_conditions(), more in 0.0..10.0_f64) {
        prop_assert!(no_longer(length(&c, v), length(&c, v + more)));
    }

    #[test]
    fn more_room_never_turns_a_stop_into_running_off((c, v) in any_conditions(), room in 1.0..400.0_f64) {
        let stops = |room: f64| {
            matches!(run(&c, GroundSpeed::mps(v), Some(Metres::m(room))).outcome, Outcome::StopsAt(_))
        };
        prop_assert!(!stops(room) || stops(room + 1.0));
    }
}
