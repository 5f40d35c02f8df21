//! Which way each input hurts the reserve against tipping forward, and whole slides walked through for it.
//!
//! More cases: `PROPTEST_CASES=10000 cargo test --release -p slide --test tipping`.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{
    AirSpeed, CubicDensity, GroundSpeed, Headwind, Interval, Kilograms, Metres, Newtons, STANDARD_GRAVITY,
    Slope, SquareMetres,
};
use proptest::prelude::*;
use slide::soft::strength::Strength;
use slide::soft::{Change, Keels, Outside};
use slide::tipping::corners::Ends;
use slide::tipping::passage::{BadPassage, Carried, Least, Passage, Place};
use slide::tipping::sunk::Sunk;
use slide::tipping::{NoseDown, Stance, Tipping};
use slide::{Body, Outcome, Slide, Station, Touchdown, Track};

/// What is rounding in a reserve.
const ROUNDING: f64 = 1e-9;

/// One moment of a slide.
#[derive(Clone, Copy, Debug)]
struct Case {
    mass: f64,
    airspeed: f64,
    headwind: f64,
    /// Lift coefficient.
    lift: f64,
    thrust: f64,
    thrust_line: f64,
    /// Nose-down moment over dynamic pressure, m3.
    air: f64,
    friction: f64,
    strength: Option<Strength>,
    change: Change,
    cg_height: f64,
    forward: f64,
}

impl Case {
    /// 600 kg on two plates of 5 cm by 2 m, at rest in still air.
    const PLAIN: Self = Self {
        mass: 600.0,
        airspeed: 0.0,
        headwind: 0.0,
        lift: 0.0,
        thrust: 0.0,
        thrust_line: 0.0,
        air: 0.0,
        friction: 0.4,
        strength: Some(Strength::Hard),
        change: Change::Steady,
        cg_height: 1.3,
        forward: 1.1,
    };

    fn tipping(&self) -> Tipping {
        self.sunk().tipping
    }

    /// Whether the forward end of the contact presses no less than the aft one, if it comes to rest at all.
    fn presses_forward(&self) -> bool {
        self.sunk().rests.is_none_or(|rests| rests.forward >= rests.aft)
    }

    fn sunk(&self) -> Sunk {
        let stance = Stance {
            keels: Keels { count: 2, width: Metres::m(0.05), length: Metres::m(2.0) },
            cg_height: Metres::m(self.cg_height),
            cg_to_forward_end: Metres::m(self.forward),
        };
        let carried = Carried {
            stance,
            mass: Kilograms::kg(self.mass),
            thrust: Newtons::n(self.thrust),
            nose_down: NoseDown { air: self.air, thrust_line: Metres::m(self.thrust_line) },
            density: CubicDensity::kg_m3(1.225),
            headwind: Headwind::mps(self.headwind),
        };
        let u = self.airspeed;
        let lifted = if u > 0.0 { 0.5 * 1.225 * 14.0 * self.lift * u * u } else { 0.0 };
        let place = Place {
            at: Metres::ZERO,
            speed: AirSpeed::mps(u).over_ground(Headwind::mps(self.headwind)),
            load: Newtons::n((self.mass * STANDARD_GRAVITY - lifted).max(0.0)),
            friction: self.friction,
            strength: self.strength,
            change: self.change,
        };
        carried.at(&place)
    }

    /// What is left; over and digging in are one.
    fn left(&self) -> f64 {
        match self.tipping() {
            Tipping::Reserve(left) if left > 0.0 => left,
            Tipping::Reserve(_) | Tipping::DigsIn => 0.0,
            Tipping::Light { .. } => panic!("a light load in {self:?}"),
        }
    }

    fn is_light(&self) -> bool {
        matches!(self.tipping(), Tipping::Light { .. })
    }
}

fn softer(strength: Option<Strength>) -> Option<Strength> {
    strength.and_then(|s| Strength::ALL.get(s as usize + 1).copied())
}

/// One row: the input and the way that hurts, and the change by some amount from 0 to 1. Of each it is claimed that it
/// never leaves more.
type Row = (&'static str, fn(&Case, f64) -> Case);

const TABLE: [Row; 7] = [
    ("friction high", |c, by| Case { friction: c.friction + 0.2 * by, ..*c }),
    ("ploughing high, softer ground", |c, _| Case { strength: softer(c.strength), ..*c }),
    ("ploughing high, sudden change", |c, _| Case { change: Change::Sudden, ..*c }),
    ("ground not tested", |c, _| Case { strength: None, ..*c }),
    ("idle thrust high, line above", |c, by| Case { thrust: c.thrust + 400.0 * by, ..*c }),
    ("thrust line high", |c, by| Case { thrust_line: c.thrust_line + 0.5 * by, ..*c }),
    ("centre of gravity high", |c, by| Case { cg_height: c.cg_height + 0.2 * by, ..*c }),
];

prop_compose! {
    fn case()(
        (mass, airspeed, headwind, lift) in (400.0..900.0_f64, 0.0..22.0_f64, -4.0..6.0_f64, 0.0..0.6_f64),
        (thrust, thrust_line, air) in (0.0..300.0_f64, 0.0..0.5_f64, -1.0..2.0_f64),
        friction in 0.05..0.6_f64,
        strength in proptest::sample::select(Strength::ALL.to_vec()),
        change in proptest::sample::select(vec![Change::Steady, Change::Sudden]),
        (cg_height, forward) in (0.6..1.5_f64, 0.8..1.5_f64),
    ) -> Case {
        let strength = Some(strength);
        Case {
            mass, airspeed, headwind, lift, thrust, thrust_line, air, friction, strength, change, cg_height, forward,
        }
    }
}

proptest! {
    #[test]
    fn no_change_that_hurts_ever_leaves_more(case in case(), by in 0.0..1.0_f64) {
        prop_assume!(!case.is_light());
        for (row, change) in TABLE {
            let (a, b) = (case.left(), change(&case, by).left());
            prop_assert!(b <= a + ROUNDING, "{row}: {a} then {b}");
        }
    }

    #[test]
    fn a_centre_of_gravity_further_forward_leaves_less_where_the_load_lies_forward(case in case(), by in 0.0..1.0_f64) {
        prop_assume!(!case.is_light() && case.presses_forward());
        let forward = Case { forward: case.forward - 0.2 * by, ..case };
        prop_assert!(forward.left() <= case.left() + ROUNDING);
    }

    #[test]
    fn thrust_below_the_centre_of_gravity_never_helps(case in case(), by in 0.0..1.0_f64) {
        let below = Case { thrust_line: -case.thrust_line, ..case };
        prop_assume!(!below.is_light());
        let more = Case { thrust: below.thrust + 400.0 * by, ..below };
        prop_assert!((more.left() - below.left()).abs() <= ROUNDING);
    }
}

#[track_caller]
fn check(row: &str, from: Case, before: f64, after: f64) {
    let (_, change) = TABLE.iter().find(|(name, ..)| *name == row).expect("a row");
    let (a, b) = (from.left(), change(&from, 1.0).left());
    assert!((a - before).abs() < 1e-6 && (b - after).abs() < 1e-6, "{row}: {a} {b}");
}

#[track_caller]
fn check_left(case: Case, expected: f64) {
    assert!((case.left() - expected).abs() < 1e-6, "{}", case.left());
}

// The expected figures down to the walks: a scan for the first balance in steps of 0.1 mm, then halving, in Python.

#[test]
fn each_row_is_worked_apart() {
    let plain = Case::PLAIN;
    check("friction high", plain, 0.519_434_7, 0.255_977_4);
    check("ploughing high, softer ground", plain, 0.519_434_7, 0.512_009_3);
    check("ploughing high, sudden change", plain, 0.519_434_7, 0.512_797_3);
    // Boggy ground digs this keel in even with friction 0.2.
    check("ground not tested", plain, 0.519_434_7, 0.0);
    check(
        "idle thrust high, line above",
        Case { thrust: 100.0, thrust_line: 0.3, ..plain },
        0.514_648_5,
        0.495_455_3,
    );
    check("thrust line high", Case { thrust: 300.0, ..plain }, 0.519_434_7, 0.495_455_3);
    check("centre of gravity high", plain, 0.519_434_7, 0.441_897_1);
}

#[test]
fn a_centre_of_gravity_further_forward_leaves_less_unless_it_lies_far_aft() {
    check_left(Case { forward: 0.9, ..Case::PLAIN }, 0.396_518_6);
    // Far aft the load sits on the aft end and ploughs there; a little further forward it lies flatter.
    let far_aft = |forward| Case {
        mass: 850.0,
        friction: 0.05,
        cg_height: 0.6,
        forward,
        strength: Some(Strength::Yielding),
        ..Case::PLAIN
    };
    check_left(far_aft(1.44), 0.968_050_8);
    check_left(far_aft(1.26), 0.968_917_0);
}

#[test]
fn thrust_below_counts_as_none() {
    check_left(Case { thrust: 300.0, thrust_line: -0.5, ..Case::PLAIN }, 0.519_434_7);
}

#[test]
fn a_faster_touchdown_leaves_less_or_more_by_the_moment_of_the_air() {
    let of = |airspeed, air| Case { airspeed, air, lift: 0.3, ..Case::PLAIN };
    check_left(of(12.0, 1.5), 0.497_569_3);
    check_left(of(18.0, 1.5), 0.465_587_8);
    check_left(of(12.0, -1.5), 0.542_485_3);
    check_left(of(18.0, -1.5), 0.575_622_8);
}

#[test]
fn a_headwind_at_the_same_speed_over_the_ground_leaves_less_or_more() {
    // 12 m/s over the ground; a headwind of 6 m/s makes it 18 m/s through the air: the figures above.
    let of = |headwind: f64, air| Case { airspeed: 12.0 + headwind, headwind, air, lift: 0.3, ..Case::PLAIN };
    check_left(of(6.0, 1.5), 0.465_587_8);
    check_left(of(6.0, -1.5), 0.575_622_8);
    assert!(of(6.0, 1.5).left() < of(0.0, 1.5).left() && of(6.0, -1.5).left() > of(0.0, -1.5).left());
}

#[test]
fn more_lift_leaves_less_where_the_air_turns_the_nose_down_and_more_on_soft_ground() {
    let of = |lift, air| Case { airspeed: 18.0, lift, air, ..Case::PLAIN };
    check_left(of(0.2, 1.5), 0.467_902_3);
    check_left(of(0.4, 1.5), 0.462_938_7);
    let soft = |lift| Case { strength: Some(Strength::Soft), friction: 0.3, ..of(lift, 0.0) };
    check_left(soft(0.2), 0.593_932_1);
    check_left(soft(0.4), 0.599_561_9);
}

#[test]
fn more_mass_leaves_more_against_a_moment_and_less_on_soft_ground() {
    // No slogan either way: thrust weighs less against a heavier aircraft, and ploughing more.
    let thrust = |mass| Case { mass, thrust: 400.0, thrust_line: 0.5, ..Case::PLAIN };
    check_left(thrust(500.0), 0.482_958_2);
    check_left(thrust(700.0), 0.490_040_8);
    let soft = |mass| Case { mass, strength: Some(Strength::Soft), friction: 0.3, ..Case::PLAIN };
    check_left(soft(500.0), 0.598_250_8);
    check_left(soft(700.0), 0.577_502_8);
}

#[test]
fn wetter_grass_lowers_the_tipping_moment() {
    // Medians of dry short grass and of wet grass: what lengthens the slide keeps the nose up.
    let of = |friction| Case { friction, strength: Some(Strength::Soft), ..Case::PLAIN };
    check_left(of(0.38), 0.466_350_6);
    check_left(of(0.26), 0.644_997_8);
}

fn stance() -> Stance {
    Stance {
        keels: Keels { count: 2, width: Metres::m(0.05), length: Metres::m(2.0) },
        cg_height: Metres::m(1.3),
        cg_to_forward_end: Metres::m(1.1),
    }
}

/// Zone 0 to 20 m, then zone 1.
fn two_zones() -> Track {
    let station = |from, zone| Station::even(Metres::m(from), Slope::ZERO, zone);
    Track::new(vec![station(0.0, 0), station(20.0, 1)]).expect("rising")
}

/// No air but what the nose feels; 20 m/s at 0 m.
fn passage<'a>(
    track: &'a Track,
    low: &'a [f64],
    high: &'a [f64],
    strength: &'a [Option<Strength>],
) -> Passage<'a> {
    let body = Body {
        mass: Kilograms::kg(600.0),
        wing_area: SquareMetres::m2(14.0),
        lift_coefficient: 0.0,
        drag_coefficient: 0.0,
        idle_thrust: Newtons::ZERO,
    };
    Passage {
        slide: Slide {
            body,
            density: CubicDensity::kg_m3(1.225),
            headwind: Headwind::ZERO,
            track,
            friction: low,
            settling: 0.0,
            carried: Metres::ZERO,
            slope_score: 0.0,
            curvature_score: 0.0,
        },
        touchdown: Touchdown { at: Metres::ZERO, speed: GroundSpeed::mps(20.0) },
        room: None,
        stance: stance(),
        nose_down: NoseDown { air: 0.0, thrust_line: Metres::ZERO },
        high_friction: high,
        strength,
    }
}

const HARD: Option<Strength> = Some(Strength::Hard);
const SOFT: Option<Strength> = Some(Strength::Soft);

/// Reserve that is left, floored at none, and where.
fn worst_of(least: &Least) -> (f64, f64) {
    let worst = least.worst.expect("a place that carries");
    match worst.sunk.tipping {
        Tipping::Reserve(left) => (left.max(0.0), worst.place.at.to_m()),
        Tipping::DigsIn => (0.0, worst.place.at.to_m()),
        Tipping::Light { .. } => panic!("a light load as the worst"),
    }
}

#[test]
fn the_least_reserve_lies_where_hard_ground_turns_soft() {
    let track = two_zones();
    let (outcome, least) = passage(&track, &[0.2, 0.2], &[0.3, 0.3], &[HARD, SOFT]).walk().expect("a slide");
    // 400/(2 x 0.2 G) m; in Python: soft and sudden 0.5216965, soft 0.5881497, hard 0.6404139.
    let Outcome::StopsAt(length) = outcome else { panic!("{outcome:?}") };
    assert!((length.to_m() - 1000.0 / STANDARD_GRAVITY).abs() < 1e-6);
    let (left, at) = worst_of(&least);
    assert!((left - 0.521_696_5).abs() < 1e-6 && (at - 20.0).abs() < 1e-9, "{left} at {at}");
    assert_eq!(least.worst.map(|w| w.place.change), Some(Change::Sudden));
    assert!(least.leaves(0.52) && !least.leaves(0.53));
    assert_eq!((least.light, least.untested_at), (None, None));
}

#[test]
fn soft_ground_that_turns_hard_counts_as_soft_and_sudden() {
    let track = two_zones();
    let (_, least) = passage(&track, &[0.2, 0.2], &[0.3, 0.3], &[SOFT, HARD]).walk().expect("a slide");
    let (left, at) = worst_of(&least);
    assert!((left - 0.521_696_5).abs() < 1e-6 && (at - 20.0).abs() < 1e-9, "{left} at {at}");
}

#[test]
fn ground_that_is_not_come_to_does_not_tip() {
    let track = two_zones();
    // 400/(2 x 1.1 G) = 18.5 m.
    let (_, least) = passage(&track, &[1.1, 1.1], &[1.1, 1.1], &[HARD, None]).walk().expect("a slide");
    assert_eq!(least.untested_at, None);
    let (_, least) = passage(&track, &[0.2, 0.2], &[0.3, 0.3], &[HARD, None]).walk().expect("a slide");
    assert_eq!(least.untested_at, Some(Metres::m(20.0)));
    assert_eq!(least.worst.map(|w| w.sunk.tipping), Some(Tipping::DigsIn));
}

#[test]
fn friction_tips_where_it_is_not_credited_to_length() {
    let track = two_zones();
    let plain = passage(&track, &[0.2, 0.2], &[0.3, 0.3], &[HARD, HARD]);
    let carried = Passage { slide: Slide { carried: Metres::m(10.0), ..plain.slide }, ..plain };
    let (_, least) = carried.walk().expect("a slide");
    let (left, at) = worst_of(&least);
    assert!((left - 0.640_413_9).abs() < 1e-6 && at.abs() < 1e-12, "{left} at {at}");
}

#[test]
fn where_lift_carries_the_moment_is_given_and_then_the_reserve() {
    let track = Track::even(Slope::ZERO);
    let plain = passage(&track, &[0.3], &[0.3], &[HARD]);
    let settling = Passage {
        slide: Slide { settling: 1.0, ..plain.slide },
        nose_down: NoseDown { air: 1.0, thrust_line: Metres::ZERO },
        ..plain
    };
    let (_, least) = settling.walk().expect("a slide");
    let (at, moment) = least.light.expect("a light load");
    // Between the moment of the air at touchdown, 0.5 x 1.225 x 400 = 245 N m, and that with friction on a fifth of the
    // weight, 0.3 x 0.2 x 5883.99 x 1.3 = 458.95 N m, and ploughing of less than 2 N more.
    assert!(at > Metres::ZERO && (500.0..707.0).contains(&moment), "{moment} at {at:?}");
    let (left, at) = worst_of(&least);
    assert!(left < 0.64 && at > 1.0, "{left} at {at}");
}

#[test]
fn a_rest_outside_the_fitted_range_is_named() {
    let track = two_zones();
    let plain = passage(&track, &[0.2, 0.2], &[0.2, 0.2], &[HARD, HARD]);
    let keels = Keels { width: Metres::m(0.01), ..stance().keels };
    let narrow = Passage { stance: Stance { keels, ..stance() }, ..plain };
    let (_, least) = narrow.walk().expect("a slide");
    assert_eq!(least.outside_at, Some((Metres::ZERO, Outside::Width)));
}

#[test]
fn a_passage_without_its_figures_is_refused() {
    let track = two_zones();
    let text = |passage: Passage<'_>| passage.walk().unwrap_err().to_string();
    let all = [HARD, HARD];
    assert_eq!(
        text(passage(&track, &[0.2, 0.2], &[0.3], &all)),
        "found no high friction for zone 1, expected one for each zone of the track"
    );
    assert_eq!(
        text(passage(&track, &[0.2, 0.2], &[0.3, 0.1], &all)),
        "found the high friction of zone 1 below the slide's, expected it at or above"
    );
    assert_eq!(
        text(passage(&track, &[0.2, 0.2], &[0.3, 0.3], &all[..1])),
        "found no strength for zone 1, expected one, or that nobody tested, for each zone of the track"
    );
    let good = passage(&track, &[0.2, 0.2], &[0.3, 0.3], &all);
    let unsure = NoseDown { air: f64::NAN, thrust_line: Metres::ZERO };
    assert_eq!(
        text(Passage { nose_down: unsure, ..good }),
        "found values of the slide or the stance outside their range, expected a physical slide"
    );
    let nan = passage(&track, &[0.2, 0.2], &[0.3, f64::NAN], &all);
    assert_eq!(nan.walk(), Err(BadPassage::NotHigh(1)));
}

/// Everything that [`Ends`] leaves open, each at a share of its interval.
fn ends<'a>(track: &'a Track, frictions: [&'a [f64]; 2], strength: &'a [Option<Strength>]) -> Ends<'a> {
    let span = |a, b| Interval::spanning(a, b);
    Ends {
        stance: stance(),
        wing_area: SquareMetres::m2(14.0),
        drag_coefficient: 0.1,
        density: CubicDensity::kg_m3(1.225),
        track,
        low_friction: frictions[0],
        high_friction: frictions[1],
        strength,
        at: Metres::ZERO,
        room: None,
        airspeed: Interval::spanning(AirSpeed::mps(18.0), AirSpeed::mps(22.0)),
        headwind: Interval::spanning(Headwind::mps(-1.0), Headwind::mps(4.0)),
        mass: Interval::spanning(Kilograms::kg(500.0), Kilograms::kg(650.0)),
        lift_coefficient: span(0.1, 0.5),
        settling: span(0.5, 2.0),
        idle_thrust: Interval::spanning(Newtons::n(50.0), Newtons::n(250.0)),
        thrust_line: Metres::m(0.2),
        air: span(-0.3, 0.8),
    }
}

fn within<T>(interval: &Interval<T>, share: f64) -> T
where
    T: Copy
        + PartialOrd
        + std::fmt::Debug
        + std::ops::Sub<Output = T>
        + std::ops::Mul<f64, Output = T>
        + std::ops::Add<Output = T>,
{
    interval.low() + (interval.high() - interval.low()) * share
}

/// The same with every input known, each at its share.
fn inside<'a>(ends: &Ends<'a>, friction: &'a [f64], shares: &[f64; 7]) -> Ends<'a> {
    let [airspeed, headwind, mass, lift, settling, thrust, air] = *shares;
    Ends {
        low_friction: friction,
        airspeed: Interval::exact(within(&ends.airspeed, airspeed)),
        headwind: Interval::exact(within(&ends.headwind, headwind)),
        mass: Interval::exact(within(&ends.mass, mass)),
        lift_coefficient: Interval::exact(within(&ends.lift_coefficient, lift)),
        settling: Interval::exact(within(&ends.settling, settling)),
        idle_thrust: Interval::exact(within(&ends.idle_thrust, thrust)),
        air: Interval::exact(within(&ends.air, air)),
        ..*ends
    }
}

#[test]
fn the_worst_corner_is_that_of_all_ends_worked_one_by_one() {
    let track = two_zones();
    let frictions = [&[0.25, 0.25][..], &[0.4, 0.4][..]];
    let strength = [HARD, Some(Strength::Yielding)];
    let ends = ends(&track, frictions, &strength);
    let (worst, _) = worst_of(&ends.worst().expect("slides"));
    let mut least = f64::INFINITY;
    for bits in 0..256_u32 {
        let share = |i: u32| f64::from(bits >> i & 1);
        let shares = [0, 1, 2, 3, 4, 5, 6].map(share);
        let friction = frictions[(bits >> 7) as usize];
        let one = inside(&ends, friction, &shares);
        // Each end by itself: a high friction that is both ends.
        least = least.min(worst_of(&Ends { high_friction: frictions[1], ..one }.worst().expect("slides")).0);
    }
    assert!((worst - least).abs() < 1e-9, "{worst} {least}");
}

/// Opens one input of a case otherwise known, where its high end leaves less, and shows that it is looked at.
#[track_caller]
fn check_high_end<'a>(name: &str, ends: &Ends<'a>, shares: [f64; 7], open: impl Fn(Ends<'a>) -> Ends<'a>) {
    let low = inside(ends, ends.low_friction, &shares);
    let low = Ends { high_friction: ends.high_friction, ..low };
    let left = |ends: &Ends<'_>| worst_of(&ends.worst().expect("slides")).0;
    let (a, b) = (left(&low), left(&open(low)));
    assert!(b < a - 1e-6, "{name}: {a} at the low end, {b} with both");
}

#[test]
fn both_ends_of_every_input_are_looked_at() {
    let track = two_zones();
    let equal = [&[0.3, 0.3][..], &[0.3, 0.3][..]];
    let hard = [HARD, HARD];
    let all = ends(&track, equal, &hard);
    // Lift settled at once: no light load, so what each end does to the reserve is plain. Air that turns the nose down.
    let at_once = Interval::exact(0.0);
    let settled = Ends { settling: at_once, ..all };
    let down = [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0];
    check_high_end("airspeed", &settled, down, |e| Ends { airspeed: all.airspeed, ..e });
    check_high_end("lift", &settled, down, |e| Ends { lift_coefficient: all.lift_coefficient, ..e });
    check_high_end("thrust", &settled, down, |e| Ends { idle_thrust: all.idle_thrust, ..e });
    check_high_end("settling", &Ends { settling: Interval::exact(0.0), ..all }, down, |e| Ends {
        settling: Interval::spanning(0.0, 2.0),
        ..e
    });
    let up = [0.0; 7];
    check_high_end("moment of the air", &settled, up, |e| Ends { air: all.air, ..e });
    // With the same airspeed a headwind is a slower slide, so a nose held up by air sinks sooner where ground turns soft.
    let edge = [HARD, Some(Strength::Yielding)];
    let soft = Ends { strength: &edge, ..settled };
    check_high_end("headwind", &soft, up, |e| Ends { headwind: all.headwind, ..e });
    check_high_end("mass", &Ends { thrust_line: Metres::ZERO, ..soft }, up, |e| Ends { mass: all.mass, ..e });
    // The same tipping friction, with the slide driven by the high end as well as by the low one.
    let slow = [0.3, 0.3];
    let driven = |low| worst_of(&inside(&soft, low, &up).worst().expect("slides")).0;
    assert!(driven(&[0.1, 0.1]) <= driven(&slow) + ROUNDING);
}

#[test]
fn a_corner_that_cannot_be_walked_gives_no_answer() {
    let track = two_zones();
    let frictions = [&[0.25, 0.25][..], &[0.4, 0.4][..]];
    let strength = [HARD, HARD];
    let bad = Ends {
        mass: Interval::spanning(Kilograms::ZERO, Kilograms::kg(600.0)),
        ..ends(&track, frictions, &strength)
    };
    assert_eq!(bad.worst(), Err(BadPassage::NotPhysical));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(ProptestConfig::default().cases / 8))]

    #[test]
    fn no_case_between_the_corners_found_so_far_leaves_less(
        shares in proptest::array::uniform7(0.0..1.0_f64), mu in 0.25..0.4_f64,
        one in proptest::sample::select(Strength::ALL[..3].to_vec()),
        two in proptest::sample::select(Strength::ALL[..3].to_vec()),
    ) {
        let track = two_zones();
        let frictions = [&[0.25, 0.25][..], &[0.4, 0.4][..]];
        let strength = [Some(one), Some(two)];
        let ends = ends(&track, frictions, &strength);
        let between = [mu, mu];
        let (worst, _) = worst_of(&ends.worst().expect("slides"));
        let (left, _) = worst_of(&inside(&ends, &between, &shares).worst().expect("slides"));
        prop_assert!(left >= worst - ROUNDING, "{left} inside, {worst} at the corners");
    }

    #[test]
    fn a_track_in_finer_pieces_finds_hardly_less(
        mu in 0.15..0.4_f64, settling in 0.0..2.0_f64, lift in 0.0..0.5_f64, air in -0.5..1.0_f64, headwind in -2.0..4.0_f64,
        strength in proptest::sample::select(Strength::ALL[..4].to_vec()),
    ) {
        let coarse = Track::even(Slope::ZERO);
        let fine = Track::new(
            (0..800).map(|i| Station::even(Metres::m(f64::from(i) * 0.25), Slope::ZERO, 0)).collect(),
        ).expect("rising");
        let (frictions, strength) = ([mu], [Some(strength)]);
        let [a, b] = [&coarse, &fine].map(|track| {
            let plain = passage(track, &frictions, &frictions, &strength);
            let slide = Slide {
                body: Body { lift_coefficient: lift, drag_coefficient: 0.1, ..plain.slide.body },
                headwind: Headwind::mps(headwind),
                settling,
                ..plain.slide
            };
            let nose_down = NoseDown { air, thrust_line: Metres::ZERO };
            worst_of(&Passage { slide, nose_down, ..plain }.walk().expect("a slide").1).0
        });
        prop_assert!((a - b).abs() < 2e-3, "{a} by its steps, {b} in pieces of 0.25 m");
    }
}
