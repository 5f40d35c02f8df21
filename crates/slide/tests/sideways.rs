//! Which way each upset hurts the half-width of a slide: laws on random ground, each with a worked number.
//!
//! More cases: `PROPTEST_CASES=10000 cargo test --release -p slide --test sideways`.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{
    AirSpeed, Crosswind, CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, STANDARD_GRAVITY,
    Slope, SquareMetres,
};
use proptest::prelude::*;
use slide::{
    Body, Drift, Fin, Heading, Outcome, Plan, Sideways, Slide, Station, TRIP_SPEED, Touchdown, Track, Upset,
};

/// A slide that owns its ground.
#[derive(Clone, Debug)]
struct Case {
    body: Body,
    headwind: f64,
    track: Track,
    friction: Vec<f64>,
    settling: f64,
    carried: f64,
    speed: f64,
    plan: Plan,
    upset: Upset,
}

impl Case {
    fn drift(&self) -> Drift<'_> {
        let slide = Slide {
            body: self.body,
            density: CubicDensity::kg_m3(1.225),
            headwind: Headwind::mps(self.headwind),
            track: &self.track,
            friction: &self.friction,
            settling: self.settling,
            carried: Metres::m(self.carried),
            slope_score: 0.0,
            curvature_score: 0.0,
        };
        Drift { slide, plan: self.plan, upset: self.upset }
    }

    fn touchdown(&self) -> Touchdown {
        Touchdown { at: Metres::ZERO, speed: GroundSpeed::mps(self.speed) }
    }

    fn sideways(&self) -> Sideways {
        self.drift().sideways(self.touchdown(), None, Metres::ZERO).expect("it stops")
    }

    fn with_cross(&self, cross: f64) -> Self {
        let track = self.track.mapped(|s| Station { cross: Slope::ratio(cross), ..s });
        Self { track, ..self.clone() }
    }

    /// Where the middle rests, right of the line, and the nose's heading there.
    fn rest(&self) -> (f64, f64) {
        let ending = self.drift().trace(self.touchdown(), None, |_| ());
        assert!(matches!(ending.outcome, Outcome::StopsAt(_)), "{ending:?}");
        (ending.place.right.to_m(), ending.place.heading)
    }

    /// 20 m/s, friction 0.4, no air, nothing that turns; keels of no length, so that widths are those of the middle.
    fn plain() -> Self {
        Self {
            body: Body {
                mass: Kilograms::kg(600.0),
                wing_area: SquareMetres::m2(14.0),
                lift_coefficient: 0.0,
                drag_coefficient: 0.0,
                idle_thrust: Newtons::ZERO,
            },
            headwind: 0.0,
            track: Track::even(Slope::ZERO),
            friction: vec![0.4],
            settling: 0.0,
            carried: 0.0,
            speed: 20.0,
            plan: Plan {
                keel_length: Metres::ZERO,
                keel_spacing: Metres::m(2.0),
                half_span: Metres::m(5.5),
                contact_ahead: Metres::ZERO,
                gyration: Metres::m(2.4),
                side_area: SquareMetres::m2(10.0),
                side_slope: 1.0,
                fin: Some(Fin::NONE),
                steered_above: None,
            },
            upset: Upset::NONE,
        }
    }
}

#[track_caller]
fn check_near(found: f64, expected: f64, room: f64) {
    assert!((found - expected).abs() <= room, "found {found}, expected {expected}");
}

#[test]
fn two_in_a_hundred_across_carry_a_slide_from_20_mps_1_3_m_aside() {
    // Nose ahead, no air, w small beside v: dw/dv = w/v - cross/mu, so w = v (cross/mu) ln(v0/v), and the integral of
    // w/(mu G) over v is cross v0^2/(4 mu^2 G) = 0.02 x 400/(4 x 0.16 x 9.80665) = 1.2746 m. That w also slows it is of second
    // order in cross/mu = 0.05.
    let case = Case { plan: Plan { side_area: SquareMetres::ZERO, ..Case::plain().plan }, ..Case::plain() };
    let case = case.with_cross(0.02);
    check_near(case.rest().0, -1.2746, 0.004);
    let widest = case.sideways().widths.widest().to_m();
    check_near(widest, 1.2746, 0.004);
    assert!(widest >= case.rest().0.abs());
}

#[test]
fn twice_the_cross_slope_and_half_the_friction_are_two_and_four_times_as_far() {
    let case = Case { plan: Plan { side_area: SquareMetres::ZERO, ..Case::plain().plan }, ..Case::plain() };
    let one = case.with_cross(0.01).rest().0;
    check_near(case.with_cross(0.02).rest().0 / one, 2.0, 0.01);
    check_near(Case { friction: vec![0.2], ..case.with_cross(0.01) }.rest().0 / one, 4.0, 0.02);
}

#[test]
fn a_course_two_degrees_off_is_its_sine_of_the_way() {
    let course = 2.0_f64.to_radians();
    let case = Case {
        plan: Plan { side_area: SquareMetres::ZERO, ..Case::plain().plan },
        upset: Upset { course, ..Upset::NONE },
        ..Case::plain()
    };
    // v^2/(2 mu G) = 400/(2 x 0.4 x 9.80665) = 50.9858 m; x 0.0348995 = 1.77938 m.
    check_near(case.rest().0, 1.77938, 1e-4);
    check_near(case.sideways().widths.widest().to_m(), 1.77938, 3e-4);
    // Keels 5 m long, 2 degrees off: 5 x 0.0348995 = 0.1745 m more.
    let long = Case { plan: Plan { keel_length: Metres::m(5.0), ..case.plan }, ..case.clone() };
    check_near(long.sideways().widths.widest().to_m(), 1.77938 + 0.1745, 3e-4);
}

#[test]
fn a_crosswind_on_the_side_alone_pushes_by_its_dynamic_pressure() {
    // With mu = 0.4, v0 = 20 and side force a = rho A c/(2m) = 0.0102083/m: the push at first is a |A| b =
    // 0.0102083 x 20.6155 x 5 = 1.0522 m/s2, towards lee; over a hundredth of a second it moves 1/2 a t^2.
    let case = Case { upset: Upset { crosswind: Crosswind::mps(5.0), ..Upset::NONE }, ..Case::plain() };
    let mut early = None;
    case.drift().trace(case.touchdown(), None, |p| {
        if p.seconds > 0.0 && early.is_none() {
            early = Some(*p);
        }
    });
    let early = early.expect("a step");
    // Friction at w/v takes mu G w/v = at most 2 % of it in the first tenth of a second, and growing w some 0.5 %.
    check_near(early.across.to_mps() / early.seconds, -1.0522, 0.03 * 1.0522);
    assert!(case.rest().0 < 0.0, "the wind comes from the right");
}

#[test]
fn uneven_friction_turns_by_a_constant_acceleration() {
    // mu G (w/2) f/k^2 = 0.4 x 9.80665 x 1 x 0.05/5.76 = 0.0340509 rad/s2, lessened by cos(psi) at last.
    // 10 degrees (0.174533 rad) after sqrt(2 x 0.174533/0.0340509) = 3.2017 s (psi small: cos 10 degrees is 0.985), when v = 20 -
    // 3.92266 x 3.2017 = 7.441 m/s, and 7.441^2/(2 x 3.92266) = 7.06 m are left.
    let case = Case {
        plan: Plan { side_area: SquareMetres::ZERO, ..Case::plain().plan },
        upset: Upset { uneven: 0.05, ..Upset::NONE },
        ..Case::plain()
    };
    let sideways = case.sideways();
    let Heading::Lost { after, before_stop: Some(left) } = sideways.heading else {
        panic!("{:?}", sideways.heading)
    };
    // It is told for the step in which it happens, of 0.1 s, from its beginning: at most 0.8 m sooner.
    assert!((7.0..7.9).contains(&left.to_m()), "{left:?}");
    check_near((after + left).to_m(), 400.0 / (0.8 * STANDARD_GRAVITY), 1e-6);
    // From half the span before that on, half the span is kept clear.
    let at = |s: f64| sideways.widths.at(Metres::m(s)).to_m();
    assert!(at(after.to_m() - 5.5) >= 1.25 * 5.5 && at(after.to_m() - 7.5) < 0.1);
}

#[test]
fn a_fin_holds_the_nose_that_friction_ahead_would_turn() {
    // q Kf against mu N x: 0.5 x 1.225 x 400 x 12 = 2940 Nm/rad against 0.4 x 5884 x 0.3 = 706 Nm/rad at 20 m/s.
    let case = Case {
        plan: Plan { contact_ahead: Metres::m(0.3), ..Case::plain().plan },
        upset: Upset { nose: 0.05, ..Upset::NONE },
        ..Case::plain()
    };
    let finned =
        Case { plan: Plan { fin: Some(Fin { volume: 12.0, damping: 60.0 }), ..case.plan }, ..case.clone() };
    let at_half = |case: &Case| {
        let mut heading = f64::NAN;
        case.drift().trace(case.touchdown(), Some(Metres::m(25.0)), |p| heading = p.heading);
        heading
    };
    assert!(at_half(&finned).abs() < 0.05 && at_half(&case) > 0.06);
}

#[test]
fn an_unknown_fin_is_none_or_the_strongest_whichever_is_wider() {
    let case = Case {
        upset: Upset { crosswind: Crosswind::mps(4.0), uneven: 0.02, ..Upset::NONE },
        plan: Plan { keel_length: Metres::m(4.0), ..Case::plain().plan },
        ..Case::plain()
    };
    let with = |fin| Case { plan: Plan { fin, ..case.plan }, ..case.clone() }.sideways().widths;
    // 0.2 x 14 m2 x 11 m = 30.8 m3.
    let (unknown, none, strong) =
        (with(None), with(Some(Fin::NONE)), with(Some(Fin { volume: 30.8, damping: 0.0 })));
    for s in 0..60 {
        let at = Metres::m(f64::from(s));
        check_near(unknown.at(at).to_m(), none.at(at).max(strong.at(at)).to_m(), 1e-9);
    }
}

#[test]
fn a_keel_that_comes_sideways_to_soft_ground_may_trip() {
    // Nose 2 degrees off the course at 20 m/s: 20 sin(2 degrees) = 0.698 m/s; at 10 m/s half of it.
    let upset = Upset { nose: 2.0_f64.to_radians(), ..Upset::NONE };
    let plan = Plan { side_area: SquareMetres::ZERO, ..Case::plain().plan };
    let sideways = Case { plan, upset, ..Case::plain() }.sideways();
    check_near(sideways.speed_between(Metres::ZERO, Metres::m(0.5)).to_mps(), 0.698, 0.001);
    assert!(sideways.speed_between(Metres::m(10.0), Metres::m(12.0)) >= TRIP_SPEED);
    // 0.5 m/s is 14.327 m/s, after (400 - 205.26)/(2 x 3.92266) = 24.8 m.
    assert!(sideways.speed_between(Metres::m(28.0), Metres::m(60.0)) < TRIP_SPEED);
}

#[test]
fn what_does_not_stop_has_no_width() {
    let none = |case: &Case| case.drift().sideways(case.touchdown(), None, Metres::ZERO).is_none();
    assert!(!none(&Case::plain()));
    // A cross slope steeper than friction, and values that are no physics.
    assert!(none(&Case { friction: vec![0.05], ..Case::plain().with_cross(0.1) }));
    assert!(none(&Case { upset: Upset { uneven: f64::NAN, ..Upset::NONE }, ..Case::plain() }));
    assert!(none(&Case { plan: Plan { gyration: Metres::ZERO, ..Case::plain().plan }, ..Case::plain() }));
    assert!(none(&Case { speed: f64::INFINITY, ..Case::plain() }));
    let still = Case { speed: 0.0, ..Case::plain() };
    assert_eq!(still.sideways().outcome, Outcome::StopsAt(Metres::ZERO));
}

prop_compose! {
    fn case(fins: bool)(
        stations in proptest::collection::vec((2.0..30.0_f64, -0.02..0.03_f64, -0.03..0.03_f64, -0.002..0.002_f64, 0..3_usize), 1..12),
        friction in proptest::collection::vec(0.2..0.6_f64, 3),
        (mass, lift, drag, thrust) in (400.0..900.0_f64, 0.0..0.5_f64, 0.03..0.2_f64, 0.0..150.0_f64),
        (headwind, speed) in (-3.0..6.0_f64, 12.0..26.0_f64),
        (settling, carried) in (0.0..2.0_f64, 0.0..10.0_f64),
        (keel_length, keel_spacing, ahead, gyration) in (2.0..6.0_f64, 1.5..2.6_f64, -0.2..0.6_f64, 1.8..3.0_f64),
        (side_area, side_slope, volume, damping) in (5.0..14.0_f64, 0.2..1.5_f64, 0.0..25.0_f64, 0.0..90.0_f64),
        (course, nose, wind, uneven) in (-0.05..0.05_f64, -0.05..0.05_f64, -5.0..5.0_f64, -0.06..0.06_f64),
    ) -> Case {
        let mut from = 0.0;
        let stations = stations.into_iter().map(|(length, slope, cross, curvature, zone)| {
            let station = Station {
                cross: Slope::ratio(cross),
                curvature,
                ..Station::even(Metres::m(from), Slope::ratio(slope), zone)
            };
            from += length;
            station
        });
        Case {
            body: Body {
                mass: Kilograms::kg(mass),
                wing_area: SquareMetres::m2(14.0),
                lift_coefficient: lift,
                drag_coefficient: drag,
                idle_thrust: Newtons::n(thrust),
            },
            headwind,
            track: Track::new(stations.collect()).expect("rising"),
            friction,
            settling,
            carried,
            speed,
            plan: Plan {
                keel_length: Metres::m(keel_length),
                keel_spacing: Metres::m(keel_spacing),
                half_span: Metres::m(5.5),
                contact_ahead: Metres::m(ahead),
                gyration: Metres::m(gyration),
                side_area: SquareMetres::m2(side_area),
                side_slope,
                fin: Some(if fins { Fin { volume, damping } } else { Fin::NONE }),
                steered_above: None,
            },
            upset: Upset { course, nose, crosswind: Crosswind::mps(wind), uneven, tilt: 1.0 },
        }
    }
}

proptest! {
    #[test]
    fn without_an_upset_it_is_the_straight_slide(case in case(true)) {
        let case = Case { upset: Upset::NONE, ..case.with_cross(0.0) };
        let drift = case.drift();
        let ending = drift.trace(case.touchdown(), None, |_| ());
        let straight = drift.slide.traced(case.touchdown(), None, |_, _| ()).outcome;
        let (Outcome::StopsAt(found), Outcome::StopsAt(expected)) = (ending.outcome, straight) else {
            return Err(TestCaseError::fail(format!("{ending:?} {straight:?}")));
        };
        prop_assert!((found - expected).abs() <= slide::drift::ACCURACY, "{found:?} {expected:?}");
        prop_assert!(ending.place.right == Metres::ZERO && ending.place.heading == 0.0);
    }

    #[test]
    fn the_mirror_of_a_slide_is_its_mirror(case in case(true)) {
        let Upset { course, nose, crosswind, uneven, tilt } = case.upset;
        let upset = Upset { course: -course, nose: -nose, crosswind: -crosswind, uneven: -uneven, tilt: -tilt };
        let (one, other) = (case.rest(), Case { upset, ..case.clone() }.rest());
        prop_assert!((one.0 + other.0).abs() < 1e-9 && (one.1 + other.1).abs() < 1e-9);
    }

    #[test]
    fn no_part_of_the_upsets_goes_beyond_the_width_that_is_returned(
        case in case(true), shares in proptest::array::uniform5(-1.0..=1.0_f64), whole in proptest::array::uniform5(any::<bool>()),
    ) {
        let sideways = case.sideways();
        let [a, b, c, d, e] = std::array::from_fn(|i| if whole[i] { shares[i].signum() } else { shares[i] });
        let Upset { course, nose, crosswind, uneven, tilt } = case.upset;
        let upset =
            Upset { course: course * a, nose: nose * b, crosswind: crosswind * c, uneven: uneven * d, tilt: tilt * e };
        let length = case.plan.keel_length.to_m();
        let mut beyond = None;
        Case { upset, ..case.clone() }.drift().trace(case.touchdown(), None, |p| {
            let swing = p.heading.abs();
            let reach = if swing > slide::sideways::HEADING_HELD { 5.5 } else { length * swing.sin() };
            if p.right.abs().to_m() + reach > sideways.widths.at(p.slid).to_m() {
                beyond = Some(*p);
            }
        });
        prop_assert!(beyond.is_none(), "{:?} {:?}", beyond, sideways.widths.at(beyond.map_or(Metres::ZERO, |p| p.slid)));
    }
}

/// What is added for the bend of the path within a step differs with the steps: by some tenths of a millimetre (0.7 mm was
/// the most seen in 6,000 cases).
const STEPS_DIFFER: Metres = Metres::m(2e-3);

/// One row: what grows, the change by some amount from 0 to 1, and by a worked case how much wider the widest gets,
/// as a ratio: of [`worked`], by an amount of 1, with room.
struct Row {
    name: &'static str,
    change: fn(&Case, f64) -> Case,
    worked: (f64, f64),
}

/// Claimed of even ground and of slides that hold their heading, the rows at the end of slides without crosswind
/// whose nose points where they go: the widest never gets narrower. At one chainage less friction, a faster touchdown
/// and a slope downhill do make it narrower: there is less time to drift.
const TABLE: [Row; 8] = [
    // Proportional, to second order.
    Row {
        name: "cross slope",
        change: |c, by| {
            let more = |s: Station| Station { cross: Slope::ratio(s.cross.to_ratio() * (1.0 + by)), ..s };
            Case { track: c.track.mapped(more), ..c.clone() }
        },
        worked: (2.0, 0.01),
    },
    Row {
        name: "crosswind",
        change: |c, by| {
            let crosswind = Crosswind::mps(c.upset.crosswind.to_mps() * (1.0 + by));
            Case { upset: Upset { crosswind, ..c.upset }, ..c.clone() }
        },
        // Nothing blows in the worked case.
        worked: (1.0, 1e-9),
    },
    Row {
        name: "course off the lane",
        change: |c, by| {
            let course = c.upset.course * (1.0 + by);
            Case { upset: Upset { course, ..c.upset }, ..c.clone() }
        },
        worked: (1.0, 1e-9),
    },
    Row {
        name: "nose off the course",
        change: |c, by| {
            let nose = c.upset.nose * (1.0 + by);
            Case { upset: Upset { nose, ..c.upset }, ..c.clone() }
        },
        worked: (1.0, 1e-9),
    },
    Row {
        name: "uneven friction",
        change: |c, by| {
            let uneven = c.upset.uneven * (1.0 + by);
            Case { upset: Upset { uneven, ..c.upset }, ..c.clone() }
        },
        worked: (1.0, 1e-9),
    },
    // 1/mu^2: 1/0.49.
    Row {
        name: "friction low, at the end",
        change: |c, by| {
            let friction = c.friction.iter().map(|mu| mu * (1.0 - 0.3 * by)).collect();
            Case { friction, ..c.clone() }
        },
        worked: (2.0408, 0.01),
    },
    // v^2: 1.44.
    Row {
        name: "a longer slide by a faster touchdown, at the end",
        change: |c, by| Case { speed: c.speed * (1.0 + 0.2 * by), ..c.clone() },
        worked: (1.44, 0.005),
    },
    // With a slope s the deceleration is (mu + s) G instead of mu G: dw/dv = mu w/((mu + s) v) - cross/(mu + s); with q =
    // mu/(mu + s) the widest is cross v0^2/((mu + s)^2 G 2 (1 + q)): for s = -0.02, q = 1.05263, 0.16/0.1444 x 2/2.05263 = 1.0796.
    Row {
        name: "a longer slide by a slope downhill, at the end",
        change: |c, by| Case {
            track: c.track.mapped(|s| Station { slope: s.slope - Slope::ratio(0.02 * by), ..s }),
            ..c.clone()
        },
        worked: (1.0796, 0.005),
    },
];

#[test]
fn every_row_changes_the_worked_case_as_arithmetic_says() {
    // 1 in 100 across, from 20 m/s on friction 0.4: 0.01 x 400/(4 x 0.16 x 9.80665) = 0.6373 m.
    let case = Case { plan: Plan { side_area: SquareMetres::ZERO, ..Case::plain().plan }, ..Case::plain() };
    let case = case.with_cross(0.01);
    let widest = |case: &Case| case.sideways().widths.widest().to_m();
    check_near(widest(&case), 0.6373, 0.001);
    for row in TABLE {
        let (ratio, room) = row.worked;
        let found = widest(&(row.change)(&case, 1.0)) / widest(&case);
        assert!((found - ratio).abs() <= room, "{}: {found}, expected {ratio}", row.name);
    }
}

#[test]
fn a_steered_nose_points_where_it_did_until_the_airspeed_is_gone() {
    let plan = Plan { contact_ahead: Metres::m(0.8), keel_length: Metres::m(4.0), ..Case::plain().plan };
    let upset = Upset { nose: 5.0_f64.to_radians(), ..Upset::NONE };
    let free = Case { plan, upset, ..Case::plain() };
    let held = Case { plan: Plan { steered_above: Some(AirSpeed::mps(8.0)), ..plan }, ..free.clone() };
    held.drift().trace(held.touchdown(), None, |place| {
        if place.along.to_mps() * place.heading.cos() > 8.0 + 1e-6 {
            assert!((place.heading - 5.0_f64.to_radians()).abs() < 1e-12, "{place:?}");
        }
    });
    let lost_after = |case: &Case| match case.sideways().heading {
        Heading::Lost { after, .. } => after.to_m(),
        Heading::Held => f64::INFINITY,
    };
    // From 20 to 8.0/cos(5 degrees) m/s on 0.4: (400 - 64.49)/(2 x 0.4 x 9.80665) = 42.76 m.
    assert!(
        lost_after(&held) > 42.7 && lost_after(&free) < 42.7,
        "{} {}",
        lost_after(&held),
        lost_after(&free)
    );
    assert!(held.sideways().widths.widest() < free.sideways().widths.widest());
}

#[test]
fn at_one_chainage_less_friction_is_narrower() {
    // Where friction 0.4 stops, 50.99 m on, v/v0 on 0.2 is sqrt(1/2); the integral of z ln(1/z) from there to 1 is 0.0384, so the
    // drift is 0.02 x 400/(0.04 x 9.80665) x 0.0384 = 0.783 m, against 1.2746 m on 0.4.
    let plan = Plan { side_area: SquareMetres::ZERO, ..Case::plain().plan };
    let at = |mu: f64| {
        let case = Case { plan, friction: vec![mu], ..Case::plain() }.with_cross(0.02);
        case.sideways().widths.at(Metres::m(50.0)).to_m()
    };
    check_near(at(0.4), 1.2746, 0.004);
    check_near(at(0.2), 0.783, 0.03);
}

prop_compose! {
    /// One kind of even ground, and a fin and upsets with which most slides hold their heading.
    fn steady()(case in case(true), volume in 8.0..25.0_f64, part in 0.0..0.3_f64, cross in -0.02..0.02_f64) -> Case {
        let Upset { course, nose, crosswind, uneven, tilt } = case.upset;
        let upset =
            Upset { course: course * part, nose: nose * part, crosswind: crosswind * part, uneven: uneven * part, tilt };
        let slope = case.track.stations()[0].slope;
        let plan = Plan { fin: Some(Fin { volume, damping: 4.0 * volume }), ..case.plan };
        Case { upset, plan, track: Track::even(slope), ..case }.with_cross(cross)
    }
}

proptest! {
    // One in four swings too far to be asked.
    #![proptest_config(ProptestConfig { max_global_rejects: 1_000_000, ..ProptestConfig::default() })]

    #[test]
    fn what_is_claimed_to_hurt_never_makes_a_steady_slide_narrower(case in steady(), by in 0.0..1.0_f64) {
        let one = case.sideways();
        prop_assume!(one.heading == Heading::Held);
        // A nose that swings when the slide begins, in a crosswind or by uneven friction, is somewhere else in its swing
        // when the slide ends elsewhere: with those a longer slide may be wider or narrower.
        let steady = Upset { crosswind: Crosswind::ZERO, nose: 0.0, uneven: 0.0, ..case.upset };
        let calm = Case { upset: steady, ..case.clone() };
        for row in TABLE {
            let case = if row.name.ends_with("at the end") { &calm } else { &case };
            let ends = |case: &Case| case.drift().sideways(case.touchdown(), None, Metres::ZERO);
            let (Some(one), Some(other)) = (ends(case), ends(&(row.change)(case, by))) else { continue };
            let (one, other) = (one.widths.widest(), other.widths.widest());
            prop_assert!(other >= one - STEPS_DIFFER, "{}: {one:?}, then {other:?}", row.name);
        }
    }
}
