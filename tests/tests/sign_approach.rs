//! The way in, in a whole assessment: worked by hand, which way each input hurts, the same mirrored and turned, and what
//! nobody knows is unknown.
//!
//! More cases: `PROPTEST_CASES=500 cargo test --release -p acceptance --test sign_approach`. Closed touchdowns by
//! themselves: `slide::approach`.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::{Centreline, Point};
use measure::{ONE_SIDED_95, TrueHeading};
use proptest::prelude::*;
use strip::record::{
    DirectionRecord, EdgeRecord, GlideRecord, HazardKindRecord, HazardRecord, HazardStateRecord, LevelRecord,
    ObstacleKindRecord, ObstacleRecord, PlaceRecord,
};
use strip::{AssessedLane, Assessment, Clearance, Code, Settings, Strip, Verdict, What, assess_line};
use support::plain::{FIELD, by_hand_settings, plain, tree_at};
use support::{Trio, config};

/// 1 m down in 20 m: the slope of ICAO Annex 14's approach surface for code 1 and of 14 CFR 77.19's for utility runways
/// (5 %, 20:1, 2.8624 degrees).
const TWENTIETH: f64 = 0.05;

/// Chainages agree to this, m: lanes keep a hair clear of what bounds them.
const HAIR: f64 = 0.01;

/// Everything known, nothing asked on top, a path of one in twenty.
fn bare() -> Settings {
    let deg = TWENTIETH.atan().to_degrees();
    Settings {
        obstacle_margin_m: 0.0,
        wire_margin_m: 0.0,
        low_margin_m: 0.0,
        glide_low_deg: deg,
        glide_high_deg: deg,
        ..by_hand_settings()
    }
}

/// A tree on the middle line of the field, its foot on the datum's level.
fn tree(north: f64, top: f64) -> ObstacleRecord {
    tree_at(FIELD.0 / 2.0, north, top)
}

fn wire(north: f64, heights: &[f64]) -> ObstacleRecord {
    let count = heights.len().max(2) - 1;
    let at = |i: usize| (-70.0 + 200.0 * i as f64 / count as f64, north);
    ObstacleRecord {
        kind: ObstacleKindRecord::Wire,
        at: PlaceRecord::Line((0..heights.len()).map(at).collect()),
        top_m: None,
        heights_m: heights.to_vec(),
        ..tree(north, 0.0)
    }
}

/// The plain field with something before it, judged along its middle toward the north.
fn northward(trio: &Trio, settings: Settings) -> AssessedLane {
    let inputs = trio.inputs(settings);
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
    assess_line(&inputs, line, false).expect("a lane")
}

fn before(obstacle: ObstacleRecord, settings: Settings) -> AssessedLane {
    northward(&with(obstacle), settings)
}

fn with(obstacle: ObstacleRecord) -> Trio {
    let mut trio = plain();
    trio.strip.obstacles.push(obstacle);
    trio
}

#[track_caller]
fn check_earliest(lane: &AssessedLane, metres: f64) {
    assert!(
        (lane.earliest_touchdown_m - metres).abs() < HAIR,
        "{} is not {metres}",
        lane.earliest_touchdown_m
    );
}

fn row<'a>(lane: &'a AssessedLane, name: &str) -> &'a Clearance {
    lane.approach.clearances.iter().find(|c| c.name == name).expect("told")
}

// The surface rises from the inner edge, here the earliest touchdown, 60 m and 8 m on ICAO's 5 %, 200 ft and 10 ft on the
// 20:1 of 14 CFR 77.19: what just touches it is just passed over.
#[test]
fn what_an_approach_surface_of_one_in_twenty_just_touches_is_just_passed_over() {
    check_earliest(&before(tree(-60.0, 8.0), bare()), 100.0);
    let feet = 0.3048;
    let lane = before(tree(-200.0 * feet + 50.0, 10.0 * feet), bare());
    check_earliest(&lane, 50.0);
}

#[test]
fn the_room_over_a_tree_is_told_in_its_parts() {
    // 3 m of tree seen two years before, 1 m more since (0.5 m a year, 731 days), 5 m kept, 1.645 x 0.4 m of accuracy.
    let settings = Settings { obstacle_margin_m: 5.0, ..bare() };
    let old =
        ObstacleRecord { height_sigma_m: Some(0.4), surveyed: "2024-05-01".to_owned(), ..tree(-20.0, 3.0) };
    let lane = before(old, settings);
    let tree = row(&lane, "tree t9");
    assert!((tree.growth_m - 1.0).abs() < 0.01 && (tree.accuracy_m - 0.658).abs() < 1e-9, "{tree:?}");
    assert!((tree.required_m - (5.0 + tree.growth_m + 0.658)).abs() < 1e-9, "{tree:?}");
    // The crown too has grown by half a metre to the near side.
    check_earliest(&lane, -20.0 + 0.25 * tree.growth_m / 0.5 + (3.0 + tree.required_m) / TWENTIETH);
    assert!(tree.rules && (tree.vertical_m.expect("measured") - tree.required_m).abs() < HAIR, "{tree:?}");
    assert_eq!(lane.approach.earliest_over.as_deref(), Some("tree t9"));
}

#[test]
fn a_height_over_its_own_ground_counts_from_the_highest_that_this_may_be() {
    // The nearest levels, which are exact, are the corners: 3 % of the way there.
    let own = ObstacleRecord { top_m: None, height_m: Some(6.0), ..tree(-60.0, 0.0) };
    check_earliest(&before(own.clone(), bare()), -60.0 + (6.0 + 0.03 * 30_f64.hypot(60.0)) / TWENTIETH);
    // Without levels the ground may fall away by 3 % all the way to the touchdown: the path is 2 % steep over it.
    let mut trio = with(own);
    trio.strip.levels.clear();
    check_earliest(&northward(&trio, bare()), -60.0 + 6.0 / (TWENTIETH - 0.03));
}

#[test]
fn the_higher_support_of_a_wire_rules_and_what_it_sags_is_not_counted() {
    let settings = Settings { wire_margin_m: 10.0, mean_slope_not_measured: 0.0, ..bare() };
    let lane = before(wire(-40.0, &[4.0, 6.0]), settings);
    check_earliest(&lane, -40.0 + 16.0 / TWENTIETH);
    let sagging = before(ObstacleRecord { sag_m: Some(3.0), ..wire(-40.0, &[4.0, 6.0]) }, settings);
    check_earliest(&sagging, lane.earliest_touchdown_m);
    // Half way along 200 m the straight line is 1 m below the higher support, and the wire 3 m below that.
    assert!((row(&sagging, "wire t9").hangs_m.expect("seen") - 4.0).abs() < HAIR);
    // The wire itself surveyed before the field: there the higher of what was seen rules.
    check_earliest(&before(wire(-40.0, &[6.0, 3.0, 3.5, 3.5, 3.0, 6.0]), settings), -40.0 + 13.5 / TWENTIETH);
}

#[test]
fn edges_with_a_height_and_what_stands_on_the_field_have_to_be_passed_over() {
    let mut fenced = plain();
    fenced.strip.outline.edges[0] = EdgeRecord::Fence(1.2);
    let settings = Settings { low_margin_m: 1.0, ..bare() };
    // Taped: its height may be off by 1.645 times 0.2 %.
    check_earliest(&northward(&fenced, settings), (2.2 + 1.2 * 0.002 * 1.645) / TWENTIETH);
    let mut road = plain();
    road.strip.outline.edges[0] = EdgeRecord::Road;
    check_earliest(&northward(&road, settings), (4.57 + 1.0) / TWENTIETH);
    // A post right across the middle line, where the lane then begins.
    let mut post = plain();
    post.strip.hazards.push(HazardRecord {
        id: "p9".to_owned(),
        kind: HazardKindRecord::Post,
        at: PlaceRecord::Point(30.0, 100.0),
        radius_m: 0.1,
        height_m: Some(2.5),
        depth_m: None,
        pos_sigma_m: Some(0.0),
        height_sigma_m: Some(0.0),
        state: HazardStateRecord::Present,
    });
    let lane = northward(&post, settings);
    // About its foot the ground may rise by 3 % of its radius.
    check_earliest(&lane, (3.5 + 0.03 * 0.1) / TWENTIETH);
    assert!((lane.near_end[1] - 100.1).abs() < HAIR, "{:?}", lane.near_end);
}

#[test]
fn a_crown_beside_the_lane_keeps_the_lane_away_and_closes_touchdowns_past_it() {
    let crown = ObstacleRecord {
        at: PlaceRecord::Point(FIELD.0 / 2.0 + 22.0, 200.0),
        radius_m: 4.0,
        ..tree(0.0, 20.0)
    };
    let lane = before(crown.clone(), bare());
    // 18 m off: 10 % of 132 m and 4.8 m of wing reach it (found cell by cell, at most 30 m early); nobody gets 20 m over
    // it within the field.
    let from = lane.approach.closed_m.first().expect("closed past it").0;
    assert!((196.0 + 102.0..=200.0 + 133.0).contains(&from), "{from}");
    assert!(lane.latest_touchdown_m.is_some_and(|latest| latest <= from + HAIR));
    // Where it hangs over the lane, the lane ends there.
    let over = ObstacleRecord { at: PlaceRecord::Point(FIELD.0 / 2.0 + 8.0, 200.0), ..crown };
    let lane = before(over, bare());
    assert!(lane.length_m < 401.0, "{}", lane.length_m);
}

#[test]
fn a_tail_wind_flattens_a_path_that_is_held_through_the_air() {
    let held = |from: f64, glide: Option<GlideRecord>| {
        let mut trio = with(tree(-60.0, 8.0));
        trio.aircraft.glide_deg = glide;
        (trio.day.wind.from, trio.day.wind.mean_mps) = (DirectionRecord::True(from), 2.0);
        trio.day.wind.gust_mps = 2.0;
        northward(&trio, bare()).earliest_touchdown_m
    };
    let deg = TWENTIETH.atan().to_degrees();
    let through = Some(GlideRecord::ThroughAir { low: deg, high: deg });
    let over = Some(GlideRecord::OverGround { low: deg, high: deg });
    assert!((held(180.0, over) - 100.0).abs() < HAIR && (held(0.0, over) - 100.0).abs() < HAIR);
    assert!(held(180.0, through) > 105.0, "{}", held(180.0, through));
    // A head wind is counted on with half of what it is near the ground, so a little steeper at least.
    assert!(held(0.0, through) < 100.0, "{}", held(0.0, through));
}

#[test]
fn an_obstacle_without_a_height_is_passed_over_by_nothing_and_never_better_for_it() {
    let unknown = ObstacleRecord { top_m: None, ..tree(-60.0, 0.0) };
    let trio = with(unknown);
    let lane = northward(&trio, bare());
    let told = lane.reasons.iter().find(|r| r.code == Code::Approach).expect("a reason");
    assert_eq!(told.verdict, Some(Verdict::Unknown));
    assert!(told.text.contains("tree t9, whose height is not known"), "{}", told.text);
    assert!(lane.spare_m.is_none_or(|spare| spare < 0.0));
    let missing = trio.judged(bare()).missing;
    let height = missing.iter().find(|m| m.what == What::ObstacleHeight).expect("asked for");
    assert_eq!(height.id.as_deref(), Some("t9"));
}

/// What is missing about the only obstacle of a field, in metres that it takes from the best lane.
fn takes(trio: &Trio, settings: Settings, what: What) -> Option<f64> {
    let missing = trio.judged(settings).missing;
    let found = missing.into_iter().find(|m| m.what == what && m.id.as_deref() == Some("t9"));
    found.map(|m| m.effect_m.expect("a figure"))
}

/// A tree on either side of the way in, so that no lane escapes it.
#[test]
fn what_a_badly_known_tree_takes_from_the_best_lane_is_told_in_metres() {
    let settings = Settings { mean_slope_not_measured: 0.0, ..bare() };
    let row = |sigma: f64, top: Option<f64>| {
        let mut trio = plain();
        let at = PlaceRecord::Line(vec![(-500.0, -60.0), (500.0, -60.0)]);
        let north = ObstacleRecord {
            kind: ObstacleKindRecord::TreeRow,
            at,
            top_m: top,
            pos_sigma_m: Some(0.0),
            height_sigma_m: Some(sigma),
            ..tree(-60.0, 6.0)
        };
        let at = PlaceRecord::Line(vec![(-500.0, FIELD.1 + 60.0), (500.0, FIELD.1 + 60.0)]);
        let south = ObstacleRecord { id: "t8".to_owned(), at, top_m: None, ..north.clone() };
        trio.strip.obstacles.extend([north, south]);
        trio
    };
    assert_eq!(takes(&row(0.0, Some(6.0)), settings, What::ObstacleAccuracy), None);
    // 1.645 m higher at the worst is 32.9 m farther along a path of one in twenty.
    let told = takes(&row(1.0, Some(6.0)), settings, What::ObstacleAccuracy).expect("told");
    assert!((told - ONE_SIDED_95 / TWENTIETH).abs() < 0.5, "{told}");
}

#[test]
fn a_wire_with_one_support_is_told_and_judged_as_a_pole() {
    let mut lone = wire(-40.0, &[6.0]);
    lone.at = PlaceRecord::Line(vec![(30.0, -40.0)]);
    let lane = before(lone.clone(), Settings { mean_slope_not_measured: 0.0, ..bare() });
    check_earliest(&lane, -40.0 + 6.0 / TWENTIETH);
    let a = with(lone).judged(bare());
    assert_eq!(a.verdict, Verdict::Unknown);
    let told = a.reasons.iter().find(|r| r.code == Code::LeftOut).expect("told");
    let expected =
        "obstacles[1] (t9).at: found a wire with one support, expected a line through two supports or more";
    assert!(told.text.contains(expected), "{}", told.text);
}

#[test]
fn a_wire_whose_supports_are_one_place_is_told_and_judged_as_a_pole() {
    let told =
        |a: &Assessment| a.reasons.iter().find(|r| r.code == Code::LeftOut).expect("told").text.clone();
    for (second, heights) in [((30.0, -40.0), vec![6.0, 6.0]), ((30.3, -40.0), vec![6.0, 2.0])] {
        let mut wire = wire(-40.0, &heights);
        wire.at = PlaceRecord::Line(vec![(30.0, -40.0), second]);
        let lane = before(wire.clone(), Settings { mean_slope_not_measured: 0.0, ..bare() });
        check_earliest(&lane, -40.0 + 6.0 / TWENTIETH);
        let a = with(wire).judged(bare());
        assert_eq!(a.verdict, Verdict::Unknown);
        assert!(told(&a).contains("found a wire with all its supports at one place"), "{}", told(&a));
    }
}

#[test]
fn a_top_below_its_own_ground_is_told_and_counts_as_not_measured() {
    let sunk = ObstacleRecord { top_m: Some(-500.0), ..tree(-40.0, 6.0) };
    let a = with(sunk.clone()).judged(bare());
    assert_eq!(a.verdict, Verdict::Unknown);
    let told = &a.reasons.iter().find(|r| r.code == Code::LeftOut).expect("told").text;
    assert!(
        told.contains("t9: found a top -500.0 m over the datum, expected one above the ground there"),
        "{told}"
    );
    let unmeasured = ObstacleRecord { top_m: None, ..sunk.clone() };
    let by = |o: ObstacleRecord| before(o, bare()).earliest_touchdown_m;
    assert!((by(sunk) - by(unmeasured)).abs() < 1e-12);
}

#[test]
fn a_height_of_nothing_is_refused() {
    let none = ObstacleRecord { top_m: None, height_m: Some(0.0), ..tree(-40.0, 6.0) };
    let mut trio = plain();
    trio.strip.obstacles.push(none);
    let refused = Strip::new(&trio.strip, &Settings::default()).expect_err("no tree is that high");
    assert!(refused.to_string().contains("height_m: found 0"), "{refused}");
}

#[test]
fn heights_that_do_not_belong_to_the_supports_count_as_none() {
    for (heights, found) in [(vec![6.0, 7.0, 8.0], "3 heights"), (vec![6.0], "1 height")] {
        let wrong = ObstacleRecord { heights_m: heights, ..wire(-40.0, &[6.0, 7.0]) };
        let a = with(wrong).judged(bare());
        assert_eq!(a.verdict, Verdict::Unknown);
        let told = a.reasons.iter().find(|r| r.code == Code::LeftOut).expect("told");
        let told = &told.text;
        assert!(told.contains(&format!("found {found}, expected one for each point of the line")), "{told}");
    }
}

#[test]
fn a_steeper_path_trades_sink_for_length() {
    let lane = {
        let inputs = with(tree(-60.0, 8.0)).inputs(bare());
        let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
        assess_line(&inputs, line, true).expect("a lane")
    };
    let trade = &lane.approach.glide_trade;
    assert!(trade.len() > 5);
    assert!(trade.windows(2).all(|w| w[0].sink_mps < w[1].sink_mps));
    assert!(trade.windows(2).all(|w| w[0].earliest_touchdown_m >= w[1].earliest_touchdown_m));
    // 3 degrees: 8 m / tan 3 less 60 m.
    let three = trade.iter().find(|t| (t.glide_deg - 3.0).abs() < 1e-9).expect("3 degrees");
    assert!(
        (three.earliest_touchdown_m.expect("reached") - (8.0 / 3_f64.to_radians().tan() - 60.0)).abs() < HAIR
    );
}

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
                ..tree(0.0, 0.0)
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
