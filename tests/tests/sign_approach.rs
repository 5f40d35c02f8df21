//! The way in, in a whole assessment: worked by hand, and what nobody knows is unknown.
//!
//! Which way each input hurts: `laws_of_approach`. Closed touchdowns by themselves: `slide::approach`.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::{CIRCLE_95, ONE_SIDED_95, TrueHeading};
use strip::record::{
    DirectionRecord, EdgeRecord, GlideRecord, HazardKindRecord, HazardRecord, HazardStateRecord, LevelRecord,
    ObstacleKindRecord, ObstacleRecord, PlaceRecord,
};
use strip::{AssessedLane, Assessment, Clearance, Code, Settings, Strip, Verdict, What, assess_line};
use support::Trio;
use support::plain::{FIELD, by_hand_settings, northward, plain, tree_at};

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

/// The lane northward behind a bank so far before it and so high, with the room that is asked over rising ground.
fn behind_a_bank((ahead, height): (f64, f64), obstacle_margin_m: f64) -> AssessedLane {
    let mut trio = plain();
    let level = |e: f64, n: f64, z: f64| LevelRecord { e, n, z, sigma_m: 0.0 };
    let row = |n: f64, z: f64| [level(-100.0, n, z), level(160.0, n, z)];
    trio.strip.levels = [row(-ahead, height), row(-20.0, 0.0), row(FIELD.1, 0.0)].concat();
    northward(&trio, Settings { obstacle_margin_m, ..bare() })
}

/// Once ground was looked at every 2.5 m along three lines, and a narrow bank, or a mound beside them, was not there.
#[test]
fn a_narrow_bank_or_a_mound_aside_is_not_overlooked_wherever_it_lies() {
    let lane_behind = |ground: &[(f64, f64, f64)]| {
        let mut trio = plain();
        let level = |&(e, n, z): &(f64, f64, f64)| LevelRecord { e, n, z, sigma_m: 0.0 };
        let (south, north) = (-200.0, FIELD.1 + 100.0);
        let flat =
            [(-150.0, south), (210.0, south), (30.0, 0.0), (-150.0, north), (30.0, 500.0), (210.0, north)];
        let flat = flat.map(|(e, n)| (e, n, 0.0));
        trio.strip.levels = flat.iter().chain(ground).map(level).collect();
        northward(&trio, bare())
    };
    for shift in [0.0, 0.6, 1.2, 1.8, 2.4] {
        let crest = -40.0 - shift;
        let row = |n: f64, z: f64| [-150.0, 30.0, 210.0].map(|e| (e, n, z));
        let bank = [row(crest - 0.5, 0.0), row(crest, 3.0), row(crest + 0.5, 0.0)].concat();
        let lane = lane_behind(&bank);
        check_earliest(&lane, crest + 3.0 / TWENTIETH);
    }
    // A cone 12 m high and 8 m across, 100 m before the lane and in the corridor there, passes for what a building there does.
    for aside in [0.0, 4.0, 7.5, 11.0, 14.5] {
        let (e, n) = (FIELD.0 / 2.0 + aside, -100.0);
        let foot = [(4.0, 0.0), (0.0, 4.0), (-4.0, 0.0), (0.0, -4.0)].map(|(x, y)| (e + x, n + y, 0.0));
        let lane = lane_behind(&[&[(e, n, 12.0)], &foot[..]].concat());
        check_earliest(&lane, n + 12.0 / TWENTIETH);
    }
    // 60 m aside nothing of it lies in the corridor.
    let (e, n) = (FIELD.0 / 2.0 + 60.0, -100.0);
    let foot = [(4.0, 0.0), (0.0, 4.0), (-4.0, 0.0), (0.0, -4.0)].map(|(x, y)| (e + x, n + y, 0.0));
    let outside = lane_behind(&[&[(e, n, 12.0)], &foot[..]].concat());
    assert_eq!(outside.approach.earliest_over, None, "{:?}", outside.approach);
}

#[test]
fn over_levelled_ground_before_the_lane_a_path_keeps_room_that_grows_away_from_the_lane() {
    let level = behind_a_bank((100.0, 0.0), 5.0);
    assert_eq!(level.approach.earliest_over, None, "level ground asks for nothing");
    // A path of one in twenty would be 5 m over level ground there, and half of that is asked, or as much as the setting says.
    for (asked, margin) in [(2.5, 5.0), (1.0, 1.0)] {
        let lane = behind_a_bank((100.0, 5.0), margin);
        check_earliest(&lane, -100.0 + (5.0 + asked) / TWENTIETH);
        let over = row(&lane, "the ground before the lane");
        assert!(over.rules && (over.fixed_m - asked).abs() < HAIR, "{over:?}");
        assert!((over.vertical_m.expect("levelled") - over.required_m).abs() < HAIR, "{over:?}");
    }
}

/// Once ground that closes every touchdown left the last of them open.
#[test]
fn behind_a_bank_that_no_path_clears_nothing_is_reached() {
    let mut trio = plain();
    let level = |n: f64, z: f64| [-200.0, 260.0].map(|e| LevelRecord { e, n, z, sigma_m: 0.0 });
    let rows = [(-60.0, 60.0), (-20.0, 0.0), (300.0, 0.0), (FIELD.1 + 20.0, 0.0), (FIELD.1 + 60.0, 60.0)];
    trio.strip.levels = rows.map(|(n, z)| level(n, z)).concat();
    let lane = northward(&trio, bare());
    assert!(!lane.approach.touchdown_reached, "{:?}", lane.approach);
    let told = lane.reasons.iter().find(|r| r.code == Code::Approach).expect("a reason");
    assert!(told.text.contains("the ground before the lane"), "{}", told.text);
    let lanes = trio.judged(bare()).lanes;
    let trade = &lanes.first().expect("a lane").approach.glide_trade;
    let shallow = trade.iter().filter(|t| t.glide_deg < 5.0);
    assert!(!trade.is_empty() && shallow.clone().all(|t| t.earliest_touchdown_m.is_none()), "{trade:?}");
}

/// Once the ground was looked at only as far back as the path of the pilot could meet it, and a shallower one met it beyond.
#[test]
fn another_path_over_the_ground_is_looked_at_as_far_back_as_it_is_low() {
    let mut trio = plain();
    let level = |n: f64, z: f64| [-200.0, 260.0].map(|e| LevelRecord { e, n, z, sigma_m: 0.0 });
    let far = 230.0;
    let rows = [(-far, 5.0), (-20.0, 0.0), (FIELD.1 + 20.0, 0.0), (FIELD.1 + far, 5.0)];
    trio.strip.levels = rows.map(|(n, z)| level(n, z)).concat();
    let lanes = trio.judged(Settings { obstacle_margin_m: 5.0, ..bare() }).lanes;
    let trade = &lanes.first().expect("a lane").approach.glide_trade;
    let at = |deg: f64| {
        let path = trade.iter().find(|t| (t.glide_deg - deg).abs() < 0.01);
        path.expect("told").earliest_touchdown_m
    };
    let by_hand = -far + 5.0 / 1.5_f64.to_radians().tan() + far / 2.0;
    assert!(at(1.5).is_none_or(|at| at > by_hand - HAIR), "{trade:?} {by_hand}");
    assert!(at(3.0).is_some_and(|at| at < 20.0), "{trade:?}");
}

#[test]
fn levelled_ground_before_the_lane_is_passed_over_as_it_lies() {
    let earliest = |bank: f64| behind_a_bank((40.0, bank), 0.0);
    let (level, low, high) = (earliest(0.0), earliest(1.0), earliest(3.0));
    assert_eq!(level.approach.earliest_over, None);
    assert!((low.earliest_touchdown_m - level.earliest_touchdown_m).abs() < HAIR, "the near margin rules");
    // 3 m at 40 m before the lane: 60 m along a path of one in twenty.
    check_earliest(&high, 20.0);
    assert_eq!(high.approach.earliest_over.as_deref(), Some("the ground before the lane"));
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
    let rows = |place: f64, height: f64, top: Option<f64>| {
        let mut trio = plain();
        let at = PlaceRecord::Line(vec![(-500.0, -60.0), (500.0, -60.0)]);
        let north = ObstacleRecord {
            kind: ObstacleKindRecord::TreeRow,
            at,
            top_m: top,
            pos_sigma_m: Some(place),
            height_sigma_m: Some(height),
            ..tree(-60.0, 6.0)
        };
        let at = PlaceRecord::Line(vec![(-500.0, FIELD.1 + 60.0), (500.0, FIELD.1 + 60.0)]);
        let south = ObstacleRecord { id: "t8".to_owned(), at, top_m: None, ..north.clone() };
        trio.strip.obstacles.extend([north, south]);
        trio
    };
    assert_eq!(takes(&rows(0.0, 0.0, Some(6.0)), settings, What::ObstacleAccuracy), None);
    // 1.645 m higher at the worst is 32.9 m farther along a path of one in twenty, and what stands 4.9 m nearer is 4.9 m.
    let of_height = takes(&rows(0.0, 1.0, Some(6.0)), settings, What::ObstacleAccuracy).expect("told");
    assert!((of_height - ONE_SIDED_95 / TWENTIETH).abs() < 0.5, "{of_height}");
    let of_place = takes(&rows(2.0, 0.0, Some(6.0)), settings, What::ObstacleAccuracy).expect("told");
    assert!((of_place - 2.0 * CIRCLE_95).abs() < 0.5, "{of_place}");
    // Both rows are of unknown height, and nothing lands there: asked for all the same.
    let missing = rows(0.0, 0.0, None).judged(settings).missing;
    let asked: Vec<&str> =
        missing.iter().filter(|m| m.what == What::ObstacleHeight).filter_map(|m| m.id.as_deref()).collect();
    assert_eq!(asked.len(), 2, "{asked:?}");
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
