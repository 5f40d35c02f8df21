//! The way in, in a whole assessment: which way each input hurts, and the same mirrored and turned.
//!
//! More cases: `PROPTEST_CASES=500 cargo test --release -p acceptance --test laws_of_approach`.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::{Centreline, Point};
use measure::TrueHeading;
use proptest::prelude::*;
use strip::record::{DirectionRecord, LevelRecord, ObstacleKindRecord, ObstacleRecord, PlaceRecord};
use strip::{AssessedLane, Settings, assess_line};
use support::plain::{FIELD, by_hand_settings, northward, plain, tree_at};
use support::{Trio, config};

/// Chainages agree to this, m: lanes keep a hair clear of what bounds them.
const HAIR: f64 = 0.01;

/// Obstacles about the plain field.
fn around() -> impl Strategy<Value = Vec<ObstacleRecord>> {
    let one = (-80.0..140.0_f64, -250.0..500.0_f64, 1.0..15.0_f64, 0.0..5.0_f64, 0..4_usize);
    prop::collection::vec(one, 1..6).prop_map(|all| {
        let made = all.into_iter().enumerate().map(|(i, (e, n, height, radius, kind))| {
            let kinds = [
                ObstacleKindRecord::Tree,
                ObstacleKindRecord::Building,
                ObstacleKindRecord::Hedge,
                ObstacleKindRecord::Pole,
            ];
            ObstacleRecord {
                id: format!("t{i}"),
                kind: kinds[kind],
                at: PlaceRecord::Point(e, n),
                top_m: None,
                height_m: Some(height),
                radius_m: radius,
                pos_sigma_m: Some(0.5),
                height_sigma_m: Some(0.3),
                surveyed: "2025-05-02".to_owned(),
                ..tree_at(0.0, 0.0, 0.0)
            }
        });
        made.collect()
    })
}

fn field(obstacles: Vec<ObstacleRecord>) -> Trio {
    let mut trio = plain();
    trio.strip.obstacles = obstacles;
    trio
}

/// Whether nothing that was closed is open, and no more is left to spare.
fn no_better(before: &AssessedLane, after: &AssessedLane) -> bool {
    let spare = |lane: &AssessedLane| lane.spare_m.unwrap_or(f64::NEG_INFINITY);
    spare(after) <= spare(before) + HAIR
}

/// Whether every touchdown that is closed before is closed after, on lanes that begin at one place.
fn still_closed(before: &AssessedLane, after: &AssessedLane) -> bool {
    let held = |(from, to): (f64, f64)| {
        after.approach.closed_m.iter().any(|&(a, b)| a <= from + HAIR && to <= b + HAIR)
    };
    before.approach.closed_m.iter().all(|&c| held(c))
}

/// Makes something worse by a share.
type Change = fn(&mut Trio, &mut Settings, f64);

/// Rows of the sign table: what makes clearance and earliest touchdown worse, or never better.
const ROWS: [(&str, Change); 12] = [
    ("height", |t, _, x| each(t, |o| o.height_m = o.height_m.map(|h| h + 4.0 * x))),
    ("its accuracy", |t, _, x| each(t, |o| o.height_sigma_m = Some(0.3 + x))),
    ("accuracy of the place", |t, _, x| each(t, |o| o.pos_sigma_m = Some(0.5 + x))),
    ("spread", |t, _, x| each(t, |o| o.radius_m += 3.0 * x)),
    ("age", |t, _, x| {
        let surveyed = if x > 0.5 { "2022-01-02" } else { "2024-12-03" };
        each(t, |o| surveyed.clone_into(&mut o.surveyed));
    }),
    ("shallowest path", |_, s, x| s.glide_low_deg -= 0.7 * x),
    ("margin over trees", |_, s, x| s.obstacle_margin_m += 5.0 * x),
    ("margin over hedges", |_, s, x| s.low_margin_m += x),
    ("width of the corridor", |_, s, x| s.corridor_beside_m += 10.0 * x),
    ("splay", |_, s, x| s.corridor_splay += 0.1 * x),
    ("growth", |_, s, x| (s.tree_growth_m, s.crown_growth_m) = (0.5 + x, 0.25 + x)),
    ("levels not taken", |t, _, _| t.strip.levels.clear()),
];

fn each(trio: &mut Trio, change: impl Fn(&mut ObstacleRecord)) {
    trio.strip.obstacles.iter_mut().for_each(change);
}

/// A place turned about the middle of the plain field, and carried off.
fn moved((e, n): (f64, f64), turn: f64, (east, north): (f64, f64)) -> (f64, f64) {
    let (x, y) = (e - FIELD.0 / 2.0, n - FIELD.1 / 2.0);
    let (sin, cos) = turn.to_radians().sin_cos();
    (x * cos + y * sin + east, y * cos - x * sin + north)
}

/// The whole field with every place changed.
fn with_places(trio: &Trio, place: impl Fn((f64, f64)) -> (f64, f64)) -> Trio {
    let mut out = trio.clone();
    for c in &mut out.strip.outline.corners {
        (c.e, c.n) = place((c.e, c.n));
    }
    for l in &mut out.strip.levels {
        (l.e, l.n) = place((l.e, l.n));
    }
    for o in &mut out.strip.obstacles {
        if let PlaceRecord::Point(e, n) = &mut o.at {
            (*e, *n) = place((*e, *n));
        }
    }
    out
}

fn along(trio: &Trio, heading: f64, through: (f64, f64)) -> AssessedLane {
    let inputs = trio.inputs(by_hand_settings());
    let point = Point { x: through.0, y: through.1 };
    assess_line(&inputs, Centreline::through(point, TrueHeading::deg(heading)), false).expect("a lane")
}

/// What does not hang on where the field lies or which way it faces.
fn figures(lane: &AssessedLane) -> Vec<f64> {
    let clearances = lane.approach.clearances.iter();
    let rows =
        clearances.flat_map(|c| [c.chainage_m, c.vertical_m.unwrap_or(-1.0), c.required_m, c.lateral_m]);
    let lengths = [lane.length_m, lane.earliest_touchdown_m, lane.end_margin_at_m];
    let spare = [lane.latest_touchdown_m, lane.spare_m, lane.demand_m, lane.crosswind_mps.map(f64::abs)];
    lengths.into_iter().chain(spare.map(|s| s.unwrap_or(-1.0))).chain(rows).collect()
}

fn same(a: &AssessedLane, b: &AssessedLane) -> Result<(), TestCaseError> {
    let (x, y) = (figures(a), figures(b));
    prop_assert_eq!(x.len(), y.len());
    for (x, y) in x.iter().zip(&y) {
        prop_assert!((x - y).abs() < 1e-6, "{} and {}", x, y);
    }
    prop_assert_eq!(a.verdict, b.verdict);
    Ok(())
}

/// Levels that slope, so that the ground takes part.
fn sloping(trio: &mut Trio) {
    let level = |e: f64, n: f64, z| LevelRecord { e, n, z, sigma_m: 0.05 };
    trio.strip.levels = vec![
        level(0.0, 0.0, 0.0),
        level(FIELD.0, 0.0, 0.4),
        level(FIELD.0, FIELD.1, 5.0),
        level(0.0, FIELD.1, 4.0),
        level(25.0, 280.0, 3.0),
    ];
}

proptest! {
    #![proptest_config(config(24))]

    #[test]
    fn every_row_of_the_table_is_never_better(obstacles in around(), row in 0..ROWS.len(), x in 0.05..1.0_f64) {
        let trio = field(obstacles);
        let settings = by_hand_settings();
        let before = northward(&trio, settings);
        let (mut worse, mut changed) = (trio, settings);
        ROWS[row].1(&mut worse, &mut changed, x);
        let after = northward(&worse, changed);
        prop_assert!(no_better(&before, &after), "{}: {:?} to {:?}", ROWS[row].0, before.spare_m, after.spare_m);
        let same_ends = (before.near_end[1] - after.near_end[1]).abs() < 1e-9
            && (before.end_margin_at_m - after.end_margin_at_m).abs() < 1e-9;
        if same_ends {
            prop_assert!(
                still_closed(&before, &after),
                "{}: {:?} to {:?}", ROWS[row].0, before.approach.closed_m, after.approach.closed_m
            );
        }
    }

    #[test]
    fn one_more_obstacle_never_leaves_more(obstacles in around()) {
        let (fewer, all) = (field(obstacles[1..].to_vec()), field(obstacles));
        let (before, after) = (northward(&fewer, by_hand_settings()), northward(&all, by_hand_settings()));
        prop_assert!(no_better(&before, &after), "{:?} to {:?}", before.spare_m, after.spare_m);
    }

    #[test]
    fn a_mirrored_field_is_judged_as_the_field(obstacles in around(), from in 0.0..360.0_f64, mean in 0.0..4.0_f64) {
        let mut trio = field(obstacles);
        sloping(&mut trio);
        (trio.day.wind.from, trio.day.wind.mean_mps, trio.day.wind.gust_mps) =
            (DirectionRecord::True(from), mean, mean + 1.0);
        let mut mirrored = with_places(&trio, |(e, n)| (FIELD.0 - e, n));
        mirrored.day.wind.from = DirectionRecord::True(360.0 - from);
        mirrored.strip.outline.corners.reverse();
        // The edge from each corner to the next is the one before it, reversed; all of them are open.
        let middle = (FIELD.0 / 2.0, FIELD.1 / 2.0);
        for heading in [0.0, 2.0, 180.0, 178.0] {
            same(&along(&trio, heading, middle), &along(&mirrored, 360.0 - heading, middle))?;
        }
    }

    #[test]
    fn a_field_turned_and_carried_off_with_its_wind_is_judged_as_before(
        obstacles in around(), from in 0.0..360.0_f64, turn in 0.0..360.0_f64,
        to in (-200.0..200.0_f64, -200.0..200.0_f64),
    ) {
        let mut trio = field(obstacles);
        sloping(&mut trio);
        (trio.day.wind.from, trio.day.wind.mean_mps, trio.day.wind.gust_mps) = (DirectionRecord::True(from), 3.0, 4.0);
        let mut turned = with_places(&trio, |place| moved(place, turn, to));
        turned.day.wind.from = DirectionRecord::True((from + turn) % 360.0);
        for heading in [0.0, 181.0] {
            let here = along(&trio, heading, (FIELD.0 / 2.0, FIELD.1 / 2.0));
            same(&here, &along(&turned, heading + turn, to))?;
        }
    }
}
