//! The box of states against whole slides: never better than any walk, and worked by hand.
//!
//! More cases: `PROPTEST_CASES=10000 cargo test --release -p slide --test envelope`.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{AirSpeed, CubicDensity, Headwind, Interval, Kilograms, Metres, Newtons, Slope, SquareMetres};
use proptest::prelude::*;
use slide::soft::strength::Strength;
use slide::soft::{Change, Keels, Soil};
use slide::tipping::corners::Ends;
use slide::tipping::envelope::Envelope;
use slide::tipping::sunk::Sunk;
use slide::tipping::{Stance, Tipping};
use slide::{Station, Track};

/// What is rounding in a reserve, and what the integrator's speed may be off.
const ROUNDING: f64 = 1e-6;

const KEELS: Keels = Keels { count: 2, width: Metres::m(0.05), length: Metres::m(2.0) };

/// Bearing in on which the keels leave no mark.
const ROCK: Soil = Soil::bekker(1.0, 0.0, 1e12);

/// 500 kg or 600 kg, 1.3 m high and 1.1 m behind the forward end, with thrust and air that turn the nose down.
fn envelope() -> Envelope {
    Envelope {
        keels: KEELS,
        cg_to_forward_end: Interval::exact(Metres::m(1.1)),
        cg_height: Interval::exact(Metres::m(1.3)),
        mass: Interval::spanning(Kilograms::kg(500.0), Kilograms::kg(600.0)),
        load_factor: 1.0,
        friction: Interval::spanning(0.2, 0.4),
        fastest: AirSpeed::mps(20.0),
        headwind: Interval::spanning(Headwind::mps(-2.0), Headwind::mps(3.0)),
        density: Interval::exact(CubicDensity::kg_m3(1.2)),
        thrust: Interval::spanning(Newtons::ZERO, Newtons::n(200.0)),
        thrust_line: Metres::m(1.5),
        air: Interval::spanning(-0.2, 0.5),
    }
}

fn left(sunk: Sunk) -> f64 {
    match sunk.tipping {
        Tipping::Reserve(left) => left,
        Tipping::DigsIn => f64::NEG_INFINITY,
        Tipping::Light { .. } => panic!("no corner is light"),
    }
}

#[test]
fn on_rock_the_worst_is_the_light_load_at_touchdown() {
    // 0.6 x 400 x 0.5 + 200 x 0.2 = 160 N m; the lightest load is 0.2 x 500 x 9.80665 = 980.665 N;
    // 1 - (0.4 x 1.3 + 160/980.665)/1.1 = 0.3789502.
    let worst = left(envelope().worst(&ROCK, Change::Steady));
    assert!((worst - 0.378_950_2).abs() < 1e-6, "{worst}");
}

#[test]
fn air_that_lifts_the_nose_is_not_credited_at_rest() {
    let lifting =
        Envelope { air: Interval::exact(-0.5), thrust: Interval::exact(Newtons::ZERO), ..envelope() };
    // Air from behind, 2 m/s, counts as turning the nose down: 0.6 x 4 x 0.5 = 1.2 N m on 980.665 N.
    let worst = left(lifting.worst(&ROCK, Change::Steady));
    assert!((worst - (1.0 - (0.52 + 1.2 / 980.665) / 1.1)).abs() < 1e-6, "{worst}");
}

#[test]
fn the_best_is_that_of_the_end_of_a_slide_with_every_end_that_helps() {
    // 3 m/s ahead: 0.6 x 9 x -0.2 = -1.08 N m on 500 kg, 4903.325 N: 1 - (0.2 x 1.3 - 1.08/4903.325)/1.1.
    let best = left(envelope().best(&ROCK));
    assert!((best - (1.0 - (0.26 - 1.08 / 4903.325) / 1.1)).abs() < 1e-6, "{best}");
}

#[test]
fn a_hollow_sinks_the_keels_deeper() {
    let soil = Strength::Yielding.softest_soil();
    let still = Envelope { air: Interval::exact(0.0), thrust: Interval::exact(Newtons::ZERO), ..envelope() };
    let hollow = Envelope { load_factor: 1.5, ..still };
    let [even, deep] = [still, hollow].map(|e| left(e.worst(soil, Change::Steady)));
    assert!(deep < even - 0.01, "{deep} for {even}");
}

#[test]
fn a_moment_that_is_no_number_digs_in() {
    let unsure = Envelope { air: Interval::exact(f64::NAN), ..envelope() };
    assert_eq!(unsure.worst(&ROCK, Change::Steady).tipping, Tipping::DigsIn);
}

/// A slide with some of its inputs open, over two kinds of ground.
#[derive(Clone, Debug)]
struct Case {
    forward: f64,
    height: f64,
    mass: [f64; 2],
    friction: [f64; 2],
    lift: f64,
    settling: f64,
    thrust: f64,
    line: f64,
    air: [f64; 2],
    wind: f64,
    strength: [Strength; 2],
    curvature: f64,
}

prop_compose! {
    fn case()(
        (forward, height, mass, more) in (0.9..1.6_f64, 0.8..1.5_f64, 400.0..800.0_f64, 0.0..100.0_f64),
        (low, wider) in (0.1..0.3_f64, 0.0..0.3_f64),
        (lift, settling, thrust, line) in (0.0..0.6_f64, 0.0..2.0_f64, 0.0..250.0_f64, -0.2..0.4_f64),
        (air, air_more, wind) in (-1.0..1.0_f64, 0.0..1.0_f64, -4.0..5.0_f64),
        strength in (
            proptest::sample::select(Strength::ALL[..4].to_vec()),
            proptest::sample::select(Strength::ALL[..4].to_vec()),
        ),
        curvature in -0.003..0.01_f64,
    ) -> Case {
        Case {
            forward, height, lift, settling, thrust, line, wind, curvature,
            mass: [mass, mass + more],
            friction: [low, low + wider],
            air: [air, air + air_more],
            strength: [strength.0, strength.1],
        }
    }
}

impl Case {
    /// The least that any corner of the walks leaves, going over included.
    fn walked(&self) -> Option<f64> {
        let station = |from: f64, zone| Station {
            curvature: self.curvature,
            ..Station::even(Metres::m(from), Slope::ZERO, zone)
        };
        let track = Track::new(vec![station(0.0, 0), station(30.0, 1)]).expect("a track");
        let strength = self.strength.map(Some);
        let [low, high] = self.friction;
        let (low, high) = ([low, low], [high, high]);
        let ends = Ends {
            stance: Stance {
                keels: KEELS,
                cg_height: Metres::m(self.height),
                cg_to_forward_end: Metres::m(self.forward),
            },
            wing_area: SquareMetres::m2(14.0),
            drag_coefficient: 0.1,
            density: CubicDensity::kg_m3(1.225),
            track: &track,
            low_friction: &low,
            high_friction: &high,
            strength: &strength,
            at: Metres::ZERO,
            room: Some(Metres::m(250.0)),
            airspeed: Interval::exact(AirSpeed::mps(21.0)),
            headwind: Interval::exact(Headwind::mps(self.wind)),
            mass: Interval::spanning(Kilograms::kg(self.mass[0]), Kilograms::kg(self.mass[1])),
            lift_coefficient: Interval::exact(self.lift),
            settling: Interval::exact(self.settling),
            idle_thrust: Interval::exact(Newtons::n(self.thrust)),
            thrust_line: Metres::m(self.line),
            air: Interval::spanning(self.air[0], self.air[1]),
        };
        ends.worst().expect("slides").worst.map(|worst| left(worst.sunk))
    }

    fn envelope(&self) -> Envelope {
        let speed = 21.0 - self.wind;
        Envelope {
            keels: KEELS,
            cg_to_forward_end: Interval::exact(Metres::m(self.forward)),
            cg_height: Interval::exact(Metres::m(self.height)),
            mass: Interval::spanning(Kilograms::kg(self.mass[0]), Kilograms::kg(self.mass[1])),
            load_factor: 1.0 + speed * speed * self.curvature.max(0.0) / measure::STANDARD_GRAVITY,
            friction: Interval::spanning(self.friction[0], self.friction[1]),
            fastest: AirSpeed::mps(21.0),
            headwind: Interval::exact(Headwind::mps(self.wind)),
            density: Interval::exact(CubicDensity::kg_m3(1.225)),
            thrust: Interval::exact(Newtons::n(self.thrust)),
            thrust_line: Metres::m(self.height + self.line),
            air: Interval::spanning(self.air[0], self.air[1]),
        }
    }

    /// The least over both kinds of ground and the border between them.
    fn bounded(&self) -> f64 {
        let [a, b] = self.strength;
        let softer = a.max(b);
        let change = if a == b { Change::Steady } else { Change::Sudden };
        let of = |s: Strength, change| left(self.envelope().worst(s.softest_soil(), change));
        of(a, Change::Steady).min(of(b, Change::Steady)).min(of(softer, change))
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_slide_ever_leaves_less_than_the_box(case in case()) {
        let (walked, bounded) = (case.walked(), case.bounded());
        // What goes over or digs in is over, by however much.
        let over = |left: f64| left.max(0.0);
        if let Some(walked) = walked {
            prop_assert!(over(bounded) <= over(walked) + ROUNDING, "{bounded} and a walk {walked}");
        }
    }

    #[test]
    fn the_end_that_helps_is_never_worse_than_the_one_that_hurts(case in case()) {
        let envelope = case.envelope();
        for strength in case.strength {
            let soil = strength.softest_soil();
            let (worst, best) = (left(envelope.worst(soil, Change::Steady)), left(envelope.best(soil)));
            prop_assert!(worst <= best + ROUNDING, "{worst} and {best}");
            prop_assert!(left(envelope.best(&strength.class().firmest)) >= best - ROUNDING);
        }
    }
}
