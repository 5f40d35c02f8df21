//! Worst places: worked numbers, and the keel tried at many positions.

use super::*;
use crate::surface::tests::{moved, strewn};
use crate::{Breakline, Level, Point};
use measure::TrueHeading;
use proptest::prelude::*;

fn level(x: f64, y: f64, z: f64) -> Level {
    Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(0.02) }
}

fn lane(x: f64, y: f64, heading: f64, length: f64) -> Lane {
    Lane { near: Point { x, y }, heading: TrueHeading::deg(heading), length: Metres::m(length) }
}

/// Ground that is the same at every northing: straight between (easting, height).
fn profile(points: &[(f64, f64)]) -> Surface {
    let line = |&(x, z): &(f64, f64)| Breakline { points: [-20.0, 0.0, 20.0].map(|y| level(x, y, z)).into() };
    let lines: Vec<Breakline> = points.iter().map(line).collect();
    Surface::new(&[], &lines).expect("a surface")
}

#[track_caller]
fn check(worst: Option<Worst>, amount: f64, chainage: f64) {
    let worst = worst.expect("measured");
    let at = (worst.amount.to_m(), worst.chainage.to_m());
    assert!((at.0 - amount).abs() < 1e-9 && (at.1 - chainage).abs() < 1e-6, "{at:?}");
}

#[test]
fn a_plane_has_no_worst_place() {
    let report =
        keel_report(&profile(&[(0.0, 0.0), (100.0, 5.0)]), &lane(10.0, 0.0, 90.0, 80.0), Metres::m(4.0));
    for worst in [report.hollow, report.crest, report.bow_step] {
        assert!(worst.expect("measured").amount < Metres::m(1e-12));
    }
    assert!((report.measured - Metres::m(80.0)).abs() < Metres::m(1e-9));
}

#[test]
fn a_ditch_shorter_than_the_keel_is_hollow_by_its_depth() {
    // 1 m wide, 0.4 m deep in its middle, 50 m from the near end.
    let ditch = profile(&[(0.0, 0.0), (50.0, 0.0), (50.5, -0.4), (51.0, 0.0), (100.0, 0.0)]);
    let report = keel_report(&ditch, &lane(0.0, 0.0, 90.0, 100.0), Metres::m(4.0));
    check(report.hollow, 0.4, 50.5);
    // With the bow at its bottom the keel falls by 0.1 a metre: 0.35 over the near edge, and level
    // ground one length ahead is twice the depth above the line of the keel.
    check(report.crest, 0.35, 50.0);
    check(report.bow_step, 0.8, 54.5);
    // From the other end it is the same ditch.
    let back = keel_report(&ditch, &lane(100.0, 0.0, 270.0, 100.0), Metres::m(4.0));
    check(back.hollow, 0.4, 49.5);
    check(back.bow_step, 0.8, 53.5);
}

#[test]
fn a_step_rises_by_its_height_before_the_bow() {
    let step = profile(&[(0.0, 0.0), (50.0, 0.0), (50.1, 0.2), (100.0, 0.2)]);
    let up = keel_report(&step, &lane(0.0, 0.0, 90.0, 100.0), Metres::m(4.0));
    check(up.bow_step, 0.2, 50.1);
    // Stern at the foot: the chord has risen by 0.2 x 0.1 / 4 where its top is.
    check(up.crest, 0.195, 50.1);
    check(up.hollow, 0.195, 50.0);
    let down = keel_report(&step, &lane(100.0, 0.0, 270.0, 100.0), Metres::m(4.0));
    // Down it: with the bow just over it the keel falls by 0.05 a metre, which level ground does not.
    check(down.bow_step, 0.2, 54.0);
}

#[test]
fn the_worst_position_may_be_one_at_which_nothing_passes_a_bend() {
    // A ridge of 1 in 5 under a keel of 8 m: stern and bow at the same height is the worst, 4 m each way.
    let ridge = profile(&[(0.0, 0.0), (50.0, 10.0), (100.0, 0.0)]);
    let report = keel_report(&ridge, &lane(0.0, 0.0, 90.0, 100.0), Metres::m(8.0));
    check(report.crest, 0.8, 50.0);
    let valley = profile(&[(0.0, 0.0), (50.0, -10.0), (100.0, 0.0)]);
    let report = keel_report(&valley, &lane(0.0, 0.0, 90.0, 100.0), Metres::m(8.0));
    check(report.hollow, 0.8, 50.0);
}

#[test]
fn the_error_of_a_worst_place_is_that_of_the_ground_and_of_both_ends() {
    // Over the middle of the valley: 0.02 there; the ends between rows 50 m apart, taken together 0.02.
    let valley = profile(&[(0.0, 0.0), (50.0, -10.0), (100.0, 0.0)]);
    let report = keel_report(&valley, &lane(0.0, 0.0, 90.0, 100.0), Metres::m(8.0));
    assert!((report.hollow.expect("measured").sigma.to_m() - 0.04).abs() < 1e-9);
}

#[test]
fn ground_that_was_not_measured_has_no_worst_place() {
    let flat = profile(&[(0.0, 0.0), (10.0, 0.0)]);
    let nothing = keel_report(&flat, &lane(0.0, 50.0, 90.0, 60.0), Metres::m(4.0));
    assert_eq!((nothing.hollow, nothing.crest, nothing.bow_step), (None, None, None));
    assert_eq!(nothing.measured, Metres::ZERO);
    let short = keel_report(&flat, &lane(0.0, 0.0, 90.0, 60.0), Metres::m(12.0));
    assert_eq!(short.hollow, None);
    assert!((short.measured - Metres::m(10.0)).abs() < Metres::m(1e-9));
    for keel in [0.0, -1.0, f64::NAN] {
        assert_eq!(keel_report(&flat, &lane(0.0, 0.0, 90.0, 10.0), Metres::m(keel)).hollow, None);
    }
}

fn amounts(report: &KeelReport) -> [f64; 3] {
    [report.hollow, report.crest, report.bow_step].map(|w| w.expect("measured").amount.to_m())
}

proptest! {
    #[test]
    fn ground_of_very_many_bends_is_never_reported_better_than_it_is(
        heights in prop::collection::vec(-0.1..0.1_f64, 400), keel in 2.0..4.0_f64,
    ) {
        // 400 bends in 10 m, with 30 more in each of some centimetres of it.
        let more = |i: usize| if i.is_multiple_of(40) { 30 } else { 1 };
        let place = |i: usize| (0..more(i)).map(move |j| 0.025 * (i as f64 + f64::from(j) / 30.0));
        let places = (0..400).flat_map(place).enumerate();
        let points: Vec<(f64, f64)> = places.map(|(n, at)| (at, heights[n % 400])).collect();
        let run = Run::through(&points);
        let mut exact = [None; 3];
        try_positions(&run, keel, &mut exact);
        let mut report =
            KeelReport { hollow: None, crest: None, bow_step: None, measured: Metres::ZERO };
        look_along(&run, keel, &mut report);
        for (exact, got) in exact.into_iter().zip(amounts(&report)) {
            let exact = exact.map_or(0.0, |w: Worst| w.amount.to_m());
            prop_assert!(got >= exact && got <= exact + 4.0 * 0.2 * 2.0, "{got} {exact}");
        }
    }

    #[test]
    fn no_position_tried_is_worse_and_the_best_tried_is_nearly_as_bad(
        levels in strewn(), heading in 0.0..90.0_f64, keel in 2.0..8.0_f64,
    ) {
        let surface = Surface::new(&levels, &[]).expect("a surface");
        let lane = lane(25.0, 25.0, heading, 50.0);
        let height = |s: f64| surface.height_at(lane.point_at(Metres::m(s), Metres::ZERO)).expect("inside").0.to_m();
        let mut tried = [0.0_f64; 3];
        let mut at = 0.0;
        while at + keel <= 50.0 {
            let (a, b) = (height(at), height(at + keel));
            for i in 0..=40 {
                let share = f64::from(i) / 20.0;
                let s = at + keel * share;
                if s <= 50.0 {
                    let above = height(s) - (a + (b - a) * share);
                    if share <= 1.0 {
                        tried[0] = tried[0].max(-above);
                        tried[1] = tried[1].max(above);
                    } else {
                        tried[2] = tried[2].max(above);
                    }
                }
            }
            at += 0.05;
        }
        let report = amounts(&keel_report(&surface, &lane, Metres::m(keel)));
        // Tried every 5 cm of stern and 20th of a keel: 0.2 m off at most, where the steepest is known.
        let steepest = surface.steepest().to_ratio();
        for (got, tried) in report.into_iter().zip(tried) {
            prop_assert!(got >= tried - 1e-9, "{got} {tried}");
            prop_assert!(got <= tried + steepest * (0.05 * 3.0 + keel / 40.0 * 2.0), "{got} {tried}");
        }
    }

    #[test]
    fn turning_and_shifting_changes_no_worst_place(
        levels in strewn(), turn in 0.0..360.0_f64, by in (-900.0..900.0_f64, -900.0..900.0_f64),
        heading in 0.0..90.0_f64, keel in 2.0..8.0_f64,
    ) {
        let there: Vec<Level> = levels.iter().map(|l| Level { at: moved(l.at, turn, by), ..*l }).collect();
        let at = moved(Point { x: 25.0, y: 25.0 }, turn, by);
        let report = |levels: &[Level], lane: &Lane| {
            amounts(&keel_report(&Surface::new(levels, &[]).expect("a surface"), lane, Metres::m(keel)))
        };
        let here = report(&levels, &lane(25.0, 25.0, heading, 50.0));
        let there = report(&there, &lane(at.x, at.y, heading + turn, 50.0));
        for (a, b) in here.into_iter().zip(there) {
            prop_assert!((a - b).abs() < 1e-9, "{a} {b}");
        }
    }
}
