//! What was once wrong about the way in: each of these made a worse or unknown input better.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::TrueHeading;
use strip::record::{GlideRecord, ObstacleKindRecord, ObstacleRecord, PlaceRecord};
use strip::{AssessedLane, Code, Settings, Strip, Verdict, assess_line};
use support::Trio;
use support::plain::{FIELD, by_hand_settings, plain, tree_at};

fn tree(north: f64) -> ObstacleRecord {
    ObstacleRecord { top_m: None, height_m: Some(6.0), ..tree_at(FIELD.0 / 2.0, north, 0.0) }
}

fn with(obstacle: ObstacleRecord) -> Trio {
    let mut trio = plain();
    trio.strip.obstacles.push(obstacle);
    trio
}

fn northward(trio: &Trio) -> AssessedLane {
    let inputs = trio.inputs(by_hand_settings());
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
    assess_line(&inputs, line, false).expect("a lane")
}

fn verdict_of(lane: &AssessedLane, code: Code) -> Option<Verdict> {
    lane.reasons.iter().find(|r| r.code == code).and_then(|r| r.verdict)
}

#[test]
fn a_path_that_clears_sooner_because_it_is_steep_also_lands_harder() {
    let mut trio = with(tree(-60.0));
    let usual = northward(&trio);
    trio.aircraft.glide_deg = Some(GlideRecord::OverGround { low: 6.0, high: 8.0 });
    let steep = northward(&trio);
    assert!(steep.earliest_touchdown_m < usual.earliest_touchdown_m);
    // 22.1 m/s down 8 degrees onto level ground is 3.1 m/s, against 1.35 m/s down 3.5 degrees.
    assert!((steep.touchdown.sink_mps - 22.1 * 8_f64.to_radians().tan()).abs() < 0.01);
    assert!(steep.touchdown.load_factor > usual.touchdown.load_factor);
}

/// Trees in a row right across, 15 m high.
fn row(id: &str, north: f64) -> ObstacleRecord {
    ObstacleRecord {
        id: id.to_owned(),
        kind: ObstacleKindRecord::TreeRow,
        at: PlaceRecord::Line(vec![(-150.0, north), (FIELD.0 + 150.0, north)]),
        ..tree_at(0.0, 0.0, 15.0)
    }
}

fn told_of_a_closed_way_in(trio: &Trio) -> Option<String> {
    let told = trio.judged(by_hand_settings()).reasons;
    told.into_iter().find(|r| r.code == Code::ClosedWayIn).map(|r| r.text)
}

#[test]
fn what_a_lane_is_lost_over_is_told() {
    let mut trio = with(row("south", -40.0));
    assert_eq!(told_of_a_closed_way_in(&trio), None, "southward nothing is lost");
    trio.strip.obstacles.push(row("north", FIELD.1 + 40.0));
    let told = told_of_a_closed_way_in(&trio).expect("either way something is lost");
    assert!(told.contains("row of trees south") || told.contains("row of trees north"), "{told}");
    assert!(told.contains("would leave"), "{told}");
}

#[test]
fn a_crown_that_may_have_grown_over_the_field_proves_nothing() {
    let long_ago = ObstacleRecord { surveyed: "0001-01-01".to_owned(), radius_m: 3.0, ..tree(-20.0) };
    let a = with(long_ago).judged(by_hand_settings());
    assert_eq!(a.verdict, Verdict::Unknown, "{:?}", a.reasons);
}

#[test]
fn an_aircraft_that_cannot_climb_has_no_way_out() {
    let mut trio = plain();
    let climb = trio.aircraft.climb.as_mut().expect("a sample that climbs");
    climb.absolute_ceiling_m = 300.0;
    trio.strip.datum.height_m = 900.0;
    let lane = northward(&trio);
    assert_eq!(verdict_of(&lane, Code::NoWayOut), Some(Verdict::Tight));
    trio.aircraft.climb = None;
    assert_eq!(verdict_of(&northward(&trio), Code::ClimbUnknown), Some(Verdict::Tight));
}

#[test]
fn a_wire_told_by_one_height_hangs_from_its_supports() {
    let wire = ObstacleRecord {
        kind: ObstacleKindRecord::Wire,
        at: PlaceRecord::Line(vec![(-170.0, -40.0), (230.0, -40.0)]),
        ..tree(0.0)
    };
    let each = ObstacleRecord { height_m: None, heights_m: vec![6.0, 6.0], ..wire.clone() };
    let (one, each) = (northward(&with(wire)), northward(&with(each)));
    assert!((one.earliest_touchdown_m - each.earliest_touchdown_m).abs() < 1e-9);
}

#[test]
fn a_top_below_its_own_ground_clears_nothing() {
    let wrong = ObstacleRecord { height_m: None, top_m: Some(-20.0), ..tree(-60.0) };
    let lane = northward(&with(wrong));
    assert_eq!(verdict_of(&lane, Code::Approach), Some(Verdict::Unknown));
}

#[test]
fn an_obstacle_surveyed_after_the_day_leaves_the_verdict_unknown() {
    let later = ObstacleRecord { surveyed: "2036-04-11".to_owned(), ..tree(-60.0) };
    let a = with(later).judged(by_hand_settings());
    let told = a.reasons.iter().find(|r| r.code == Code::SurveyAge).expect("told");
    assert_eq!((told.verdict, told.text.contains("tree t9")), (Some(Verdict::Unknown), true));
}

#[test]
fn heights_of_supports_belong_to_wires_alone() {
    let hedge = ObstacleRecord {
        kind: ObstacleKindRecord::Hedge,
        at: PlaceRecord::Line(vec![(-20.0, -40.0), (80.0, -40.0)]),
        height_m: None,
        heights_m: vec![2.2, 2.2],
        ..tree(0.0)
    };
    let bad = Strip::new(&with(hedge).strip, &Settings::default()).unwrap_err();
    let expected = "obstacles[1] (t9): found heights_m or sag_m, expected these of a wire alone";
    assert_eq!(bad.to_string(), expected);
}
