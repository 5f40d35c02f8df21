//! Laws of breaking off an approach, each beside a number worked by hand.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{AirSpeed, Crosswind, Headwind, Metres};
use proptest::prelude::*;
use slide::abandon::{Station, Turn, TurnTo};
use slide::{Abandon, Approach, Climbing, Latest, Manoeuvre, NoAbandon};

fn approach(glide_deg: f64, airspeed: f64, headwind: f64) -> Approach {
    Approach {
        glide_rad: glide_deg.to_radians(),
        airspeed: AirSpeed::mps(airspeed),
        headwind: Headwind::mps(headwind),
    }
}

fn climbing(rate_mps: f64, airspeed: f64) -> Climbing {
    Climbing { rate_mps, airspeed: AirSpeed::mps(airspeed) }
}

fn abandon(approach: Approach, climbing: Climbing) -> Abandon {
    Abandon::new(approach, climbing, &Manoeuvre::default()).expect("it climbs")
}

/// 3 degrees at 22 m/s into 2 m/s, climbing 2.4 m/s at 27 m/s.
fn worked() -> Abandon {
    abandon(approach(3.0, 22.0, 2.0), climbing(2.4, 27.0))
}

#[track_caller]
fn check(got: Metres, by_hand: f64) {
    assert!((got.to_m() - by_hand).abs() < 1e-3, "{got:?} for {by_hand}");
}

#[test]
fn one_abandoned_approach_is_worked_by_hand() {
    // Over the ground 20 m/s, sinking 20 tan 3 = 1.048156; pulled up with 0.980665 m/s2 it is level after 21.3764 m and
    // the 80 m of four seconds. (27^2 - 22^2)/(2 x 0.7 G x 2.4) = 7.43543 s to gain the speed of the climb, in
    // (27^3 - 22^3)/(3 x 0.7 G x 2.4) - 2 x 7.43543 = 167.9294 m; then 25 x 2.4/0.980665 = 61.1830 m into the climb.
    let it = worked();
    check(it.settled(), 330.4888);
    let before = Metres::m(300.0);
    // Lost: 101.3764 tan 3 - 1.048156^2/(2 x 0.980665) = 5.312911 - 0.560145.
    let lowest = it.lowest(before);
    check(lowest.height, 15.722_332 - 4.752_766);
    check(lowest.past, 101.3764 - 300.0);
    // On the path still, level, into the climb, and climbing 2.4 in 25.
    check(it.height_over(before, Metres::m(-250.0)), 13.101_944);
    check(it.height_over(before, Metres::m(-100.0)), 10.969_566);
    check(it.height_over(before, Metres::m(30.4888)), 10.969_566 + 2.936_783);
    check(it.height_over(before, Metres::m(130.4888)), 10.969_566 + 2.936_783 + 9.6);
}

#[test]
fn latest_places_are_worked_by_hand() {
    let it = worked();
    // 2 m over the ground: (2 + 4.752766)/tan 3.
    check(it.latest_above(Metres::m(2.0)), 128.8505);
    // 12 m 200 m past it: 12 + 200 tan 3 over the path, 15.504180 of it when the climb is established, the rest at
    // tan 3 + 2.4/25.
    let Latest::Before(trees) = it.latest_over(Metres::m(200.0), Metres::m(12.0)) else { panic!("a place") };
    check(trees, 177.5034);
    // The path itself lies over what is low before the touchdown point.
    assert_eq!(it.latest_over(Metres::m(-100.0), Metres::m(5.24)), Latest::AnyTime);
    assert!(matches!(it.latest_over(Metres::m(-100.0), Metres::m(5.25)), Latest::Before(_)));
    // Far enough beyond, even what is decided at touchdown would clear it; that it touches is another question.
    assert_eq!(it.latest_over(Metres::m(2_000.0), Metres::m(12.0)), Latest::AnyTime);
    assert_eq!(it.latest_over(Metres::m(f64::NAN), Metres::m(12.0)), Latest::Never);
}

#[test]
fn too_much_speed_is_not_turned_into_height() {
    // At 30 m/s the climb is that of 27, over more ground: 2.4 in 28.
    let it = abandon(approach(3.0, 30.0, 2.0), climbing(2.4, 27.0));
    let (a, b) = (Metres::m(400.0), Metres::m(500.0));
    check(it.height_over(Metres::ZERO, b) - it.height_over(Metres::ZERO, a), 100.0 * 2.4 / 28.0);
}

#[test]
fn what_cannot_be_flown_is_refused_in_words() {
    let refused = |approach, climbing, manoeuvre| {
        Abandon::new(approach, climbing, &manoeuvre).expect_err("refused").to_string()
    };
    let usual = Manoeuvre::default();
    assert_eq!(
        refused(approach(3.0, 22.0, 0.0), climbing(-0.2, 27.0), usual),
        "found a rate of climb of -0.2 m/s, expected one above 0: it cannot climb away"
    );
    assert_eq!(
        refused(approach(3.0, 22.0, 22.0), climbing(2.0, 27.0), usual),
        "found a wind of 22 m/s, expected less than the airspeed, 22 m/s"
    );
    assert_eq!(
        refused(approach(f64::NAN, 22.0, 0.0), climbing(2.0, 27.0), usual),
        "glide angle: found a value that is not a number or out of its range"
    );
    let flat = Manoeuvre { pull_up: 0.0, ..usual };
    assert_eq!(
        refused(approach(3.0, 22.0, 0.0), climbing(2.0, 27.0), flat),
        "load in the pull-up: found a value that is not a number or out of its range"
    );
}

fn turned(it: &Abandon, turn: &Turn) -> Vec<Station> {
    it.turn(Metres::m(300.0), turn).expect("it turns")
}

fn right(crosswind: f64) -> Turn {
    Turn {
        to: TurnTo::Right,
        angle_rad: std::f64::consts::FRAC_PI_2,
        crosswind: Crosswind::mps(crosswind),
        wind_off_mps: 0.0,
        rate_mps: 2.0,
        beyond: Metres::m(100.0),
        spacing: Metres::m(20.0),
    }
}

#[test]
fn a_turn_in_calm_air_is_a_quarter_of_a_circle() {
    // 27^2/(G tan 15) = 277.4306 m, in 277.4306 x 1.570796/27 = 16.1404 s after one second of straight flight.
    let it = abandon(approach(3.0, 22.0, 0.0), climbing(2.4, 27.0));
    check(it.turn_radius(), 277.4306);
    let stations = turned(&it, &right(0.0));
    let begin = it.settled() - Metres::m(300.0);
    let (last, corner) = (stations[stations.len() - 1], stations[stations.len() - 6]);
    check(corner.past, begin.to_m() + 27.0 + 277.4306);
    check(corner.right, 277.4306);
    check(corner.height - stations[0].height, 2.0 * 16.1404);
    // No height in the second before the bank is on. 100 m on, straight, with the climb of straight flight.
    check(last.past, corner.past.to_m());
    check(last.right, 377.4306);
    check(last.height - corner.height, 100.0 / 27.0 * 2.4);
    // A turn may begin a second sooner or later; between two stations of the arc it swings out by a little more.
    check(stations[0].reach, 27.0);
    check(last.reach, 27.0);
    assert!(stations[5].reach > Metres::m(27.1) && stations[5].reach < Metres::m(27.3), "{:?}", stations[5]);
}

#[test]
fn a_turn_that_cannot_be_made_is_refused() {
    let it = worked();
    let refused = |turn: &Turn| it.turn(Metres::m(300.0), turn).expect_err("refused").to_string();
    assert_eq!(
        refused(&right(27.0)),
        NoAbandon::WindTooStrong { wind_mps: 27.0_f64.hypot(2.0), airspeed_mps: 27.0 }.to_string()
    );
    let spacing = Turn { spacing: Metres::ZERO, ..right(0.0) };
    assert_eq!(refused(&spacing), "spacing: found a value that is not a number or out of its range");
}

/// Something flown: approach and climb.
fn flown() -> impl Strategy<Value = (Approach, Climbing)> {
    (1.0..6.0_f64, 15.0..28.0_f64, -5.0..9.0_f64, 0.3..5.0_f64, 18.0..30.0_f64)
        .prop_map(|(glide, v, head, rate, u)| (approach(glide, v, head), climbing(rate, u)))
}

fn any_turn() -> impl Strategy<Value = Turn> {
    let parts = (any::<bool>(), 0.1..1.57_f64, -6.0..6.0_f64, 0.0..3.0_f64, -0.5..4.0_f64, 0.0..300.0_f64);
    (parts, 3.0..40.0_f64).prop_map(|((to, angle_rad, cross, wind_off_mps, rate_mps, beyond), spacing)| {
        Turn {
            to: if to { TurnTo::Left } else { TurnTo::Right },
            angle_rad,
            crosswind: Crosswind::mps(cross),
            wind_off_mps,
            rate_mps,
            beyond: Metres::m(beyond),
            spacing: Metres::m(spacing),
        }
    })
}

/// Rounding of heights of some ten metres.
const ROUNDING: f64 = 1e-9;

proptest! {
    #[test]
    fn deciding_earlier_is_never_lower_at_any_place(
        (approach, climbing) in flown(), before in 0.0..800.0_f64, sooner in 0.0..200.0_f64, past in -800.0..1500.0_f64,
    ) {
        let it = abandon(approach, climbing);
        let at = |before| it.height_over(Metres::m(before), Metres::m(past)).to_m();
        prop_assert!(at(before + sooner) >= at(before) - ROUNDING);
        let low = |before| it.lowest(Metres::m(before)).height.to_m();
        prop_assert!(low(before + sooner) >= low(before) - ROUNDING);
    }

    #[test]
    fn nowhere_is_lower_than_the_lowest(
        (approach, climbing) in flown(), before in 0.0..800.0_f64, past in -800.0..1500.0_f64,
    ) {
        let it = abandon(approach, climbing);
        let lowest = it.lowest(Metres::m(before));
        let here = it.height_over(Metres::m(before), Metres::m(past));
        prop_assert!(here.to_m() >= lowest.height.to_m() - ROUNDING);
        let there = it.height_over(Metres::m(before), lowest.past);
        prop_assert!((there - lowest.height).to_m().abs() < ROUNDING);
    }

    #[test]
    fn more_head_wind_never_lowers_it(
        (approach, climbing) in flown(), before in 0.0..800.0_f64, past in -800.0..1500.0_f64, more in 0.0..4.0_f64,
    ) {
        let height = |headwind| {
            let it = abandon(Approach { headwind, ..approach }, climbing);
            it.height_over(Metres::m(before), Metres::m(past)).to_m()
        };
        prop_assert!(height(approach.headwind + Headwind::mps(more)) >= height(approach.headwind) - ROUNDING);
    }

    #[test]
    fn less_climb_never_raises_it(
        (approach, climb) in flown(), before in 0.0..800.0_f64, past in -800.0..1500.0_f64, share in 0.1..1.0_f64,
    ) {
        let height = |rate_mps| {
            let it = abandon(approach, Climbing { rate_mps, ..climb });
            it.height_over(Metres::m(before), Metres::m(past)).to_m()
        };
        prop_assert!(height(climb.rate_mps * share) <= height(climb.rate_mps) + ROUNDING);
    }

    #[test]
    fn a_slower_answer_or_a_softer_pull_never_raises_it(
        (approach, climb) in flown(), before in 0.0..800.0_f64, past in -800.0..1500.0_f64, by in 0.0..1.0_f64,
    ) {
        let height = |manoeuvre: Manoeuvre| {
            let it = Abandon::new(approach, climb, &manoeuvre).expect("it climbs");
            it.height_over(Metres::m(before), Metres::m(past)).to_m()
        };
        let usual = Manoeuvre::default();
        let here = height(usual) + ROUNDING;
        let slower = Manoeuvre { reaction_s: usual.reaction_s + 3.0 * by, ..usual };
        let softer = Manoeuvre { pull_up: usual.pull_up * (1.0 - 0.5 * by), ..usual };
        let weaker = Manoeuvre { gaining_share: usual.gaining_share * (1.0 - 0.5 * by), ..usual };
        for worse in [slower, softer, weaker] {
            prop_assert!(height(worse) <= here, "{:?}", worse);
        }
    }

    #[test]
    fn the_latest_place_just_clears_it(
        (approach, climbing) in flown(), past in -400.0..1500.0_f64, needed in 0.5..60.0_f64,
    ) {
        let it = abandon(approach, climbing);
        let (place, needed_m) = (Metres::m(past), Metres::m(needed));
        match it.latest_over(place, needed_m) {
            Latest::Before(before) => {
                prop_assert!((it.height_over(before, place).to_m() - needed).abs() < 1e-8);
                prop_assert!(it.height_over(before - Metres::m(1e-3), place).to_m() < needed);
            }
            Latest::AnyTime => prop_assert!(it.height_over(Metres::ZERO, place).to_m() >= needed - ROUNDING),
            Latest::Never => prop_assert!(false, "a number was asked for"),
        }
        let low = it.latest_above(needed_m);
        prop_assert!((it.lowest(low).height.to_m() - needed).abs() < 1e-8);
    }

    #[test]
    fn stations_lie_no_farther_apart_than_asked_and_hold_the_arc(
        (approach, climbing) in flown(), turn in any_turn(), within in 0.0..1.0_f64,
    ) {
        // With nothing unknown of wind and roll only the arc is left to reach for.
        let at_once = Manoeuvre { roll_s: 0.0, ..Manoeuvre::default() };
        let it = Abandon::new(approach, climbing, &at_once).expect("it climbs");
        let turn = Turn { wind_off_mps: 0.0, ..turn };
        let stations = turned(&it, &turn);
        prop_assert!(stations.len() >= 2);
        // The same turn in steps a hundred times finer: every place of it lies within the reach of its line.
        let fine = turned(&it, &Turn { spacing: turn.spacing / 100.0, ..turn });
        let seconds = fine[0].seconds + within * (fine[fine.len() - 1].seconds - fine[0].seconds);
        let probe = fine.iter().rev().find(|s| s.seconds <= seconds).expect("not before the first");
        for pair in stations.windows(2) {
            let ([a, b], apart) = ([pair[0], pair[1]], |a: Metres, b: Metres| (b - a).to_m());
            let (dx, dy) = (apart(a.past, b.past), apart(a.right, b.right));
            let length = dx.hypot(dy);
            prop_assert!(length <= turn.spacing.to_m() + ROUNDING, "{length}");
            if a.seconds <= probe.seconds && probe.seconds < b.seconds {
                let (px, py) = (apart(a.past, probe.past), apart(a.right, probe.right));
                let along = ((px * dx + py * dy) / (length * length)).clamp(0.0, 1.0);
                let off = (px - along * dx).hypot(py - along * dy);
                prop_assert!(off <= a.reach.to_m() + 1e-6, "{off} of {}", a.reach.to_m());
                let low = a.height.min(b.height).to_m();
                prop_assert!(probe.height.to_m() >= low - ROUNDING);
            }
        }
    }

    #[test]
    fn every_turn_of_the_kind_lies_within_reach_and_no_lower(
        (approach, climbing) in flown(), turn in any_turn(), delay in 0.0..1.0_f64, from in 0.0..6.3_f64,
        off in 0.0..1.0_f64, share in 0.0..1.0_f64, roll in prop_oneof![Just(0.0_f64), Just(2.0)],
    ) {
        let manoeuvre = Manoeuvre { roll_s: roll, ..Manoeuvre::default() };
        let it = Abandon::new(approach, climbing, &manoeuvre).expect("it climbs");
        let stations = turned(&it, &turn);
        let (begin, end) = (stations[0], stations[stations.len() - 1]);
        // Flown here in small steps: the bank put on at any moment, in a wind that is off in any direction, the line held
        // until then.
        let u = climbing.airspeed.to_mps().max(approach.airspeed.to_mps());
        let head = approach.headwind.to_mps() + turn.wind_off_mps * off * from.cos();
        let cross = turn.crosswind.to_mps() + turn.wind_off_mps * off * from.sin();
        let sign = if turn.to == TurnTo::Right { 1.0 } else { -1.0 };
        let turning = 9.806_65 * 15_f64.to_radians().tan() / u;
        let (delay, arc) = (delay * roll, turn.angle_rad / turning);
        let until = share * (end.seconds - begin.seconds - 0.5 * roll + delay);
        let (steps, held) = (4_000_u32, (cross / u).asin());
        let dt = until / f64::from(steps);
        let (mut past, mut right) = (begin.past.to_m(), 0.0);
        for k in 0..steps {
            let t = (f64::from(k) + 0.5) * dt;
            let heading = held + sign * turning * (t - delay).clamp(0.0, arc);
            past += (u * heading.cos() - head) * dt;
            right += (u * heading.sin() - cross) * dt;
        }
        let rate = turn.rate_mps.min(climbing.rate_mps);
        let banked = until.min(delay + arc);
        // Before the bank is on it climbs no worse than in it.
        let height = begin.height.to_m() + rate * banked + climbing.rate_mps * (until - banked);
        let held_by = |pair: &[Station]| {
            let (a, b) = (pair[0], pair[1]);
            let (dx, dy) = ((b.past - a.past).to_m(), (b.right - a.right).to_m());
            let (px, py) = (past - a.past.to_m(), right - a.right.to_m());
            let along = ((px * dx + py * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
            let off = (px - along * dx).hypot(py - along * dy);
            off <= a.reach.to_m() + 1e-3 && a.height.min(b.height).to_m() <= height + 1e-6
        };
        prop_assert!(stations.windows(2).any(held_by), "{past} {right} {height}, {stations:?}");
    }

    #[test]
    fn left_and_right_are_mirrors((approach, climbing) in flown(), turn in any_turn()) {
        let it = abandon(approach, climbing);
        let to = if turn.to == TurnTo::Left { TurnTo::Right } else { TurnTo::Left };
        let mirrored = turned(&it, &Turn { to, crosswind: -turn.crosswind, ..turn });
        for (a, b) in turned(&it, &turn).iter().zip(&mirrored) {
            prop_assert!((a.right + b.right).to_m().abs() < 1e-6 && (a.past - b.past).to_m().abs() < 1e-6);
            prop_assert!((a.height - b.height).to_m().abs() < ROUNDING);
        }
    }
}
