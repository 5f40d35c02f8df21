//! Parts of lanes, held against the whole.

use super::*;
use crate::assessment::Verdict;
use crate::demand::Look;
use crate::drift::Drifts;
use crate::hunt::with_room_to_drift;
use crate::record::{
    ObstacleKindRecord, ObstacleRecord, PatchRecord, PlaceRecord, StrengthRecord, StripRecord,
};
use crate::samples::inputs_with;
use crate::{Assessment, Control, assess};
use ground::{Centreline, Point, clear_stretches};
use measure::TrueHeading;
use std::sync::atomic::AtomicBool;

/// The best stretch of a line of a changed sample, whole and in its best part.
fn on_line(through: Point, heading: f64, change: impl FnOnce(&mut StripRecord)) -> (Judged, Judged) {
    let inputs = inputs_with("bramblewick-flat", |strip| {
        strip.obstacles.clear();
        change(strip);
    });
    let bench = Bench::new(&inputs, Look::Preview, Drifts::default()).expect("an aircraft");
    let line = Centreline::through(through, TrueHeading::deg(heading));
    let longer = |a: Stretch, b: Stretch| if b.lane.length > a.lane.length { b } else { a };
    let longest =
        |among: &Obstructions| clear_stretches(among, line).into_iter().reduce(longer).expect("a lane");
    let among = with_room_to_drift(&bench, &longest(&bench.obstructions).lane).expect("known");
    let stretch = longest(&among);
    (bench.judge(&stretch, &among), bench.judge_best_part(&stretch, &among))
}

fn told(judged: &Judged, code: Code) -> Option<f64> {
    judged.lane.reasons.iter().find(|r| r.code == code).and_then(|r| r.value)
}

/// Too soft to hold up: a heel sinks in by its whole height.
fn bog(area: Vec<(f64, f64)>) -> PatchRecord {
    let strength = Some(StrengthRecord::HeelTest { mm: 120.0, person_kg: None });
    PatchRecord { id: "bog".to_owned(), area, cover: None, always_wet: false, strength }
}

/// Along the middle of the field towards the east; the bog lies across its end.
const MIDDLE: Point = Point { x: 100.0, y: 83.0 };
const EAST: f64 = 86.0;

#[test]
fn a_lane_that_runs_into_a_bog_ends_before_it() {
    let area = vec![(420.0, -50.0), (600.0, -50.0), (600.0, 300.0), (420.0, 300.0)];
    let (whole, part) = on_line(MIDDLE, EAST, |strip| strip.patches.push(bog(area)));
    let worse = |judged: &Judged, code| {
        judged.lane.reasons.iter().any(|r| r.code == code && r.verdict == Some(Verdict::Unknown))
    };
    assert!(worse(&whole, Code::DigsIn) && !worse(&part, Code::DigsIn));
    assert!(does_better(&part, &whole));
    let far = part.stretch.lane.far();
    assert!(far.x < 420.0 && far.x > 360.0, "{far:?}");
    let left_out = (whole.stretch.lane.length - part.stretch.lane.length).to_m();
    let (later, sooner) = (told(&part, Code::BeginsLater), told(&part, Code::EndsSooner).expect("told"));
    assert!((later.unwrap_or(0.0) + sooner - left_out).abs() < 1e-9);
    assert_eq!(part.lane.far_end_at, "ground that is left out");
    // What is left out is no ground to overrun onto: the margin of a hard end.
    assert_eq!(part.stretch.hard_beyond, Some(Metres::ZERO));
    assert!(part.lane.end_margin_at_m < part.stretch.lane.length.to_m());
}

#[test]
fn a_lane_that_begins_where_the_ground_rises_begins_later() {
    // The sample's ground may rise more where the lane begins than a few metres on.
    let (whole, part) = on_line(MIDDLE, EAST, |_| ());
    assert!(does_better(&part, &whole));
    let by = told(&part, Code::BeginsLater).expect("told");
    assert!(by > 0.0 && by <= 20.0, "{by}");
    assert!(told(&whole, Code::BeginsLater).is_none());
    let (from, to) = (whole.stretch.lane.near, part.stretch.lane.near);
    assert!((libm::hypot(to.x - from.x, to.y - from.y) - by).abs() < 1e-6);
    let (a, b) = (whole.stretch.lane.far(), part.stretch.lane.far());
    assert!(libm::hypot(a.x - b.x, a.y - b.y) < 1e-6 || told(&part, Code::EndsSooner).is_some());
    assert!(part.lane.touchdown.slope < whole.lane.touchdown.slope);
}

#[test]
fn a_lane_that_fits_or_is_no_longer_than_it_need_be_is_left_whole() {
    let (whole, part) = on_line(MIDDLE, EAST + 180.0, |_| ());
    assert_eq!(ruling(&whole.lane.reasons), Verdict::Fits);
    assert_eq!(part.stretch, whole.stretch);
    // Nothing to spare: the bog lies where the slides still go.
    let area = vec![(150.0, -50.0), (600.0, -50.0), (600.0, 300.0), (150.0, 300.0)];
    let (whole, part) = on_line(MIDDLE, EAST, |strip| strip.patches.push(bog(area)));
    assert_eq!(part.stretch, whole.stretch);
}

fn judged(change: impl FnOnce(&mut StripRecord)) -> Assessment {
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    assess(&inputs_with("bramblewick-flat", change), &control).expect("not cancelled")
}

/// Once a rock at the beginning of a lane made a field tight that was unknown without it: the ground behind it rises less.
#[test]
fn a_rock_never_makes_a_field_better() {
    let rows = |strip: &mut StripRecord| {
        let row = ObstacleRecord {
            id: "row".to_owned(),
            kind: ObstacleKindRecord::TreeRow,
            at: PlaceRecord::Line(vec![(600.0, -50.0), (600.0, 300.0)]),
            height_m: Some(15.0),
            ..strip.obstacles[0].clone()
        };
        strip.obstacles.push(row);
    };
    let without = judged(rows);
    let with = judged(|strip| {
        rows(strip);
        let rock = crate::record::HazardRecord {
            id: "r9".to_owned(),
            at: PlaceRecord::Point(100.0, 60.0),
            ..rock(strip)
        };
        strip.hazards.push(rock);
    });
    assert!(with.verdict.rank() >= without.verdict.rank(), "{:?} {:?}", with.verdict, without.verdict);
    let spare = |a: &Assessment| a.lanes.first().and_then(|lane| lane.spare_m).expect("a lane");
    assert!(with.verdict != without.verdict || spare(&with) <= spare(&without) + 0.5);
}

/// A rock as it stands in the samples.
fn rock(strip: &StripRecord) -> crate::record::HazardRecord {
    strip.hazards.first().cloned().expect("a rock")
}
