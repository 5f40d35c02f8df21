//! From where the way in can be broken off, in a whole assessment: worked by hand, which way each input hurts, and what
//! nobody knows.
//!
//! The motion by itself: `slide::abandon`. More cases: `PROPTEST_CASES=500 cargo test --release -p acceptance --test
//! abandoning`.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::TrueHeading;
use proptest::prelude::*;
use strip::record::{ClimbRecord, DirectionRecord, ObstacleRecord};
use strip::{AbandonFigures, AssessedLane, Code, NotJudged, Settings, Verdict, What, assess_line};
use support::plain::{FIELD, by_hand_settings, plain, tree_at};
use support::{Trio, config};

/// True airspeed of the plain aircraft on the way in and in its climb, m/s: 1.3 x 17.
const SPEED: f64 = 22.1;

/// Rate of climb of the plain aircraft here, m/s.
const RATE: f64 = 2.21;

/// No time to react, hardly any to pull up, a path of one in twenty.
fn at_once() -> Settings {
    let deg = 0.05_f64.atan().to_degrees();
    Settings {
        reaction_s: 0.0,
        pull_up_load: 0.5,
        turn_roll_s: 0.0,
        glide_low_deg: deg,
        glide_high_deg: deg,
        obstacle_margin_m: 0.0,
        low_margin_m: 0.0,
        ..by_hand_settings()
    }
}

fn climbing(rate_mps: f64) -> Trio {
    let mut trio = plain();
    let mass_kg = trio.aircraft.reference_mass_kg;
    let ceiling = 11_000.0;
    trio.aircraft.climb =
        Some(ClimbRecord { rate_mps, airspeed_mps: SPEED, mass_kg, absolute_ceiling_m: ceiling });
    trio
}

fn tree(east: f64, north: f64, top: f64) -> ObstacleRecord {
    ObstacleRecord { id: format!("t{north:.0}"), ..tree_at(east, north, top) }
}

fn northward(trio: &Trio, settings: Settings) -> AssessedLane {
    let inputs = trio.inputs(settings);
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
    assess_line(&inputs, line, true).expect("a lane")
}

fn figures(trio: &Trio, settings: Settings) -> AbandonFigures {
    northward(trio, settings).approach.abandon.expect("known")
}

#[test]
fn a_tree_past_the_far_end_is_climbed_over_from_where_the_slopes_say() {
    // Down one in twenty to the touchdown at 10 m, up one in ten (2.21 of 22.1 m/s): decided x before it, a tree of 80 m
    // 640 m past it is reached at x/20 + (x + 640)/10, so x = 106.7 m; pulling up over 3.3 m/s at 4.9 m/s2 loses 1.1 m of
    // height at most (1.1 squared... of a second on the way down), another 8 m of way.
    let mut trio = climbing(RATE);
    trio.strip.obstacles.push(tree(FIELD.0 / 2.0, 650.0, 80.0));
    let by = figures(&trio, at_once()).straight_by_m.expect("from somewhere");
    let before = 10.0 - by;
    assert!((106.6..118.0).contains(&before), "{before}");
    let over = figures(&trio, at_once()).straight_over.expect("something");
    assert_eq!(over, "tree t650");
}

#[test]
fn reacting_for_four_seconds_costs_what_is_flown_in_them() {
    let mut trio = climbing(RATE);
    trio.strip.obstacles.push(tree(FIELD.0 / 2.0, 650.0, 80.0));
    let at =
        |reaction_s| figures(&trio, Settings { reaction_s, ..at_once() }).straight_by_m.expect("somewhere");
    // In 4 s 88.4 m are flown down instead of up: 0.15 of height for each, made good at 0.15 for each of the way before.
    assert!((at(0.0) - at(4.0) - 4.0 * SPEED).abs() < 0.5, "{} {}", at(0.0), at(4.0));
}

#[test]
fn a_wood_ahead_leaves_the_turn_to_the_side_that_is_clear() {
    let mut trio = climbing(RATE);
    for i in 0..12 {
        let east = -150.0 + 60.0 * f64::from(i);
        trio.strip.obstacles.push(ObstacleRecord { id: format!("w{i}"), ..tree(east, 900.0, 140.0) });
    }
    let ahead = figures(&trio, at_once());
    // West of the lane stands something higher than it climbs within the turn.
    for i in 0..8 {
        let north = 150.0 + 60.0 * f64::from(i);
        trio.strip.obstacles.push(ObstacleRecord {
            id: format!("v{i}"),
            radius_m: 40.0,
            ..tree(-220.0, north, 90.0)
        });
    }
    let beside = figures(&trio, at_once());
    assert_eq!(beside.turn_to, Some("right"));
    assert!(beside.turn_by_m <= ahead.turn_by_m, "{beside:?} {ahead:?}");
    assert!(beside.turn_by_m > beside.straight_by_m, "{beside:?}");
}

#[test]
fn where_nothing_leads_out_the_lane_is_tight_at_best_and_says_so() {
    let mut trio = climbing(0.3);
    // Woods on both sides of a long valley, and across its end.
    let wood =
        |id: String, east: f64, north: f64| ObstacleRecord { id, radius_m: 60.0, ..tree(east, north, 200.0) };
    for i in 0..48 {
        let along = 60.0 * f64::from(i);
        trio.strip.obstacles.push(wood(format!("l{i}"), FIELD.0 / 2.0 - 320.0, along - 1_900.0));
        trio.strip.obstacles.push(wood(format!("r{i}"), FIELD.0 / 2.0 + 320.0, along - 1_900.0));
    }
    for i in 0..12 {
        trio.strip.obstacles.push(wood(format!("e{i}"), FIELD.0 / 2.0 - 330.0 + 60.0 * f64::from(i), 950.0));
    }
    let lane = northward(&trio, at_once());
    let abandon = lane.approach.abandon.expect("asked for");
    assert_eq!((abandon.straight_by_m, abandon.turn_by_m), (None, None));
    let reason = lane.reasons.iter().find(|r| r.code == Code::NoWayOut).expect("said");
    assert_eq!(reason.verdict, Some(Verdict::Tight));
}

#[test]
fn without_a_climb_nobody_knows_and_it_is_asked_for() {
    let mut trio = plain();
    trio.aircraft.climb = None;
    let a = trio.judged(by_hand_settings());
    assert!(a.lanes.iter().all(|l| l.approach.abandon.is_none()));
    assert!(a.missing.iter().any(|m| m.what == What::Climb));
    assert!(a.not_judged.iter().any(|n| n.what == NotJudged::Abandoning));
}

#[test]
fn an_obstacle_without_a_height_ahead_is_climbed_over_from_nowhere() {
    let mut trio = climbing(RATE);
    trio.strip.obstacles.push(ObstacleRecord { top_m: None, ..tree(FIELD.0 / 2.0, 700.0, 0.0) });
    assert_eq!(figures(&trio, at_once()).straight_by_m, None);
}

/// Earlier is worse; from nowhere worst of all.
fn by(trio: &Trio, settings: Settings) -> f64 {
    figures(trio, settings).straight_by_m.unwrap_or(f64::NEG_INFINITY)
}

proptest! {
    #![proptest_config(config(12))]

    #[test]
    fn less_climb_more_reaction_a_tail_wind_heat_and_one_more_tree_never_leave_it_open_longer(
        north in 300.0..1500.0_f64, east in -20.0..80.0_f64, top in 2.0..60.0_f64, rate in 1.0..4.0_f64,
        row in 0..6_usize, x in 0.1..1.0_f64,
    ) {
        let mut trio = climbing(rate);
        trio.strip.obstacles.push(tree(east, north, top));
        (trio.day.wind.from, trio.day.wind.mean_mps, trio.day.wind.gust_mps) = (DirectionRecord::True(180.0), 1.0, 1.0);
        let (mut worse, mut settings) = (trio.clone(), Settings::default());
        match row {
            0 => worse.aircraft.climb.as_mut().expect("climbs").rate_mps *= 1.0 - 0.5 * x,
            1 => settings.reaction_s += 4.0 * x,
            2 => (worse.day.wind.mean_mps, worse.day.wind.gust_mps) = (1.0 + 2.0 * x, 1.0 + 2.0 * x),
            3 => worse.day.temperature_c += 20.0 * x,
            4 => worse.strip.obstacles.push(tree(east + 10.0 * x, north + 50.0, 1.2 * top)),
            _ => settings.obstacle_margin_m += 5.0 * x,
        }
        let (before, after) = (by(&trio, Settings::default()), by(&worse, settings));
        prop_assert!(after <= before + 1e-6, "row {}: {} to {}", row, before, after);
    }
}
