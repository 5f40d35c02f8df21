//! Parts of lanes, held against the whole.

use super::*;
use crate::Inputs;
use crate::assessment::Verdict;
use crate::demand::Look;
use crate::drift::Drifts;
use crate::hunt::tests::{check_no_better, judged, rock};
use crate::hunt::with_room_to_drift;
use crate::record::{
    ObstacleKindRecord, ObstacleRecord, PatchRecord, PlaceRecord, StrengthRecord, StripRecord,
};
use crate::samples::inputs_with;
use ground::{Centreline, Point, clear_stretches};
use measure::TrueHeading;

const SAMPLE: &str = "bramblewick-flat";

/// The sample without its obstacles, changed.
fn sample(change: impl FnOnce(&mut StripRecord)) -> Inputs {
    inputs_with(SAMPLE, |strip| {
        strip.obstacles.clear();
        change(strip);
    })
}

/// The best stretch of a line with room to drift, whole and in its best part.
fn judged_on(bench: &Bench, through: Point, heading: f64) -> (Judged, Judged) {
    let line = Centreline::through(through, TrueHeading::deg(heading));
    let longer = |a: Stretch, b: Stretch| if b.lane.length > a.lane.length { b } else { a };
    let longest =
        |among: &Obstructions| clear_stretches(among, line).into_iter().reduce(longer).expect("a lane");
    let among = with_room_to_drift(bench, &longest(&bench.obstructions).lane).expect("known");
    let stretch = longest(&among);
    (
        bench.judge(&stretch, &among),
        bench.judge_best_part(&stretch, &among, Sought { floor: Verdict::Fits, known: None }),
    )
}

fn on_line(through: Point, heading: f64, change: impl FnOnce(&mut StripRecord)) -> (Judged, Judged) {
    let inputs = sample(change);
    let bench = Bench::new(&inputs, Look::Preview, Drifts::default()).expect("an aircraft");
    judged_on(&bench, through, heading)
}

fn does_better(part: &Judged, whole: &Judged) -> bool {
    ruling(&part.lane.reasons).rank() < ruling(&whole.lane.reasons).rank()
}

fn unknown(judged: &Judged, code: Code) -> bool {
    judged.lane.reasons.iter().any(|r| r.code == code && r.verdict == Some(Verdict::Unknown))
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
    assert!(unknown(&whole, Code::DigsIn) && !unknown(&part, Code::DigsIn));
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
fn a_lane_that_begins_in_a_bog_begins_past_it() {
    let area = vec![(420.0, -50.0), (600.0, -50.0), (600.0, 300.0), (420.0, 300.0)];
    let (whole, part) = on_line(MIDDLE, EAST + 180.0, |strip| strip.patches.push(bog(area)));
    assert!(unknown(&whole, Code::DigsIn) && !unknown(&part, Code::DigsIn));
    assert!(does_better(&part, &whole));
    let near = part.stretch.lane.near;
    assert!(near.x < 420.0 && near.x > 405.0, "{near:?}");
    assert_eq!(told(&part, Code::EndsSooner), None);
    assert_eq!(
        (part.stretch.hard_beyond, &part.lane.far_end_at),
        (whole.stretch.hard_beyond, &whole.lane.far_end_at)
    );
    // Straight ahead from there nothing is nearer than it was.
    let (a, b) = (whole.stretch.lane.far(), part.stretch.lane.far());
    assert!(libm::hypot(a.x - b.x, a.y - b.y) < 1e-6);
}

#[test]
fn a_lane_begins_at_the_first_place_where_touching_down_is_better() {
    // The sample's ground may rise more where the lane begins than a few metres on.
    let inputs = sample(|_| ());
    let bench = Bench::new(&inputs, Look::Preview, Drifts::default()).expect("an aircraft");
    let (whole, part) = judged_on(&bench, MIDDLE, EAST);
    assert!(does_better(&part, &whole));
    let by = told(&part, Code::BeginsLater).expect("told");
    let near = bench.margins.near;
    let (short, long) = bench.scatter();
    let rank = |by: f64| {
        let from = near + Metres::m(by);
        ruling(&touchdown::reasons(&bench, &whole.spread, &whole.way, (from, from + short + long))).rank()
    };
    let tried: Vec<f64> = (0..=50).map(|i| f64::from(i) * 5.0).take_while(|x| *x <= by).collect();
    let (last, before) = tried.split_last().expect("some");
    assert!((last - by).abs() < 1e-9 && before.iter().all(|x| rank(*x) > rank(by)), "{by}");
    let best = (0..=40).map(|i| rank(f64::from(i) * 5.0)).min();
    assert_eq!(best, Some(rank(by)), "no place of two hundred metres is better");
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

/// Once a rock at the beginning of a lane made a field tight that was unknown without it: the ground behind it rises less.
#[test]
fn a_rock_where_a_lane_begins_never_makes_a_field_better() {
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
    let with = judged(SAMPLE, |strip| {
        rows(strip);
        strip.hazards.push(rock(strip, PlaceRecord::Point(100.0, 60.0)));
    });
    check_no_better(&judged(SAMPLE, rows), &with);
}

/// Once a row of rocks before a bog made a field fit that was tight without it: lanes began past the rocks.
#[test]
fn a_row_of_rocks_before_a_bog_never_makes_a_field_better() {
    let bogged = |strip: &mut StripRecord| {
        strip.obstacles.clear();
        strip.patches.push(bog(vec![(420.0, -50.0), (600.0, -50.0), (600.0, 300.0), (420.0, 300.0)]));
    };
    let with = judged(SAMPLE, |strip| {
        bogged(strip);
        strip.hazards.push(rock(strip, PlaceRecord::Line(vec![(415.0, -50.0), (415.0, 300.0)])));
    });
    check_no_better(&judged(SAMPLE, bogged), &with);
}
