//! Parts of lanes, held against the whole.

use super::*;
use crate::assessment::Verdict;
use crate::demand::Look;
use crate::drift::Drifts;
use crate::drift_room::with_room_to_drift;
use crate::hunt::tests::{bog, check_no_better, judged, make_level, rock};
use crate::record::{
    LevelRecord, ObstacleKindRecord, ObstacleRecord, PatchRecord, PlaceRecord, StrengthRecord, StripRecord,
};
use crate::samples::inputs_with;
use crate::{Assessment, Inputs};
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
    let among =
        with_room_to_drift(bench, &bench.obstructions, &longest(&bench.obstructions).lane).expect("known");
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
        strip.hazards.push(rock(PlaceRecord::Point(100.0, 60.0)));
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
        strip.hazards.push(rock(PlaceRecord::Line(vec![(415.0, -50.0), (415.0, 300.0)])));
    });
    check_no_better(&judged(SAMPLE, bogged), &with);
}

/// A level field of firm ground, so long and wide, changed.
fn level_field(size: (f64, f64), change: impl FnOnce(&mut StripRecord)) -> Assessment {
    judged(SAMPLE, |strip| {
        make_level(strip, size);
        change(strip);
    })
}

/// Other ground at the east end of that field from an easting on.
fn east_end(from: f64, strength: Option<StrengthRecord>) -> PatchRecord {
    let area = vec![(from, -1.0), (501.0, -1.0), (501.0, 101.0), (from, 101.0)];
    PatchRecord { id: "p1".to_owned(), area, cover: None, always_wet: false, strength }
}

/// What bad ground at the end of a field costs is its own length: the same field without it is as good, and a rock on it
/// makes nothing better. Once half of a lane was left out, or nothing, and a rock led to more.
#[track_caller]
fn check_costs_its_own_length(length: f64, from: f64, strength: Option<StrengthRecord>) {
    let end = east_end(from, strength);
    let spoilt = level_field((length, 100.0), |strip| strip.patches.push(end.clone()));
    let cut = level_field((from, 100.0), |_| ());
    assert_eq!(spoilt.verdict, cut.verdict, "{:?}", spoilt.lanes.first());
    let spare = |a: &Assessment| a.lanes.first().and_then(|lane| lane.spare_m).expect("a lane");
    let lost = spare(&cut) - spare(&spoilt);
    assert!((0.0..5.0).contains(&lost), "{} of {}", spare(&spoilt), spare(&cut));
    let with_rock = level_field((length, 100.0), |strip| {
        strip.patches.push(end);
        strip.hazards.push(rock(PlaceRecord::Point(f64::midpoint(from, length), 50.0)));
    });
    check_no_better(&spoilt, &with_rock);
}

#[test]
fn a_soft_end_of_a_field_costs_its_own_length() {
    check_costs_its_own_length(
        500.0,
        450.0,
        Some(StrengthRecord::HeelTest { mm: 60.0, person_kg: Some(70.0) }),
    );
}

#[test]
fn an_untested_end_of_a_field_costs_its_own_length() {
    check_costs_its_own_length(340.0, 330.0, None);
}

/// Once ground that may trip the aircraft up, though it holds the keels, was never left out.
#[test]
fn lanes_either_way_leave_out_ground_that_may_trip() {
    let soft = east_end(450.0, Some(StrengthRecord::HeelTest { mm: 60.0, person_kg: Some(70.0) }));
    let lanes = level_field((500.0, 100.0), |strip| strip.patches.push(soft)).lanes;
    let best = |east: bool| lanes.iter().find(|l| (l.far_end[0] > l.near_end[0]) == east).expect("a lane");
    let (east, west) = (best(true), best(false));
    assert_eq!((east.verdict, west.verdict), (Verdict::Tight, Verdict::Tight));
    assert!(east.far_end[0] < 450.0 && west.near_end[0] < 450.0);
}

#[test]
fn a_lane_leaves_out_a_hollow_at_an_end_of_the_field() {
    for (from, to) in [(475.0, 485.0), (15.0, 25.0)] {
        let hollow = |strip: &mut StripRecord| {
            let row = |(e, z): (f64, f64)| [0.0, 50.0, 100.0].map(|n| LevelRecord { e, n, z, sigma_m: 0.02 });
            let middle = f64::midpoint(from, to);
            strip.levels.extend([(from, 0.0), (middle, -0.5), (to, 0.0)].map(row).concat());
        };
        let with = level_field((500.0, 100.0), hollow);
        let lane = with.lanes.first().expect("a lane");
        assert_eq!(with.verdict, Verdict::Tight, "{:?}", lane.reasons);
        let bottom = f64::midpoint(from, to);
        assert_eq!(
            lane.near_end[0] < bottom,
            lane.far_end[0] < bottom,
            "{:?} {:?}",
            lane.near_end,
            lane.far_end
        );
    }
}

/// Once lanes were looked for as if a bog were not there, and a rock in it led to one that passes it.
#[test]
fn a_lane_passes_a_bog_in_the_middle_of_a_field() {
    let (west, east, south, north) = (150.0, 250.0, 60.0, 90.0);
    let corners = vec![(west, south), (east, south), (east, north), (west, north)];
    let spoilt = level_field((400.0, 150.0), |strip| strip.patches.push(bog(corners.clone())));
    let lane = spoilt.lanes.first().expect("a lane");
    assert_eq!(spoilt.verdict, Verdict::Tight, "{:?}", lane.reasons);
    assert!(lane.length_m > 390.0 && lane.patches.is_empty(), "{} {:?}", lane.length_m, lane.patches);
    let with_rocks = level_field((400.0, 150.0), |strip| {
        strip.patches.push(bog(corners.clone()));
        strip.hazards.push(rock(PlaceRecord::Area(corners)));
    });
    check_no_better(&spoilt, &with_rocks);
}
