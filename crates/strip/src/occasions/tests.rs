//! Cells of pictures against the bench of their own occasion.

use super::*;
use crate::assess;
use crate::hunt::tests::{bog, make_level};
use crate::samples::{inputs, inputs_with};
use ground::{Centreline, Point};
use std::sync::atomic::AtomicBool;

/// The day itself with an occasion put into it.
fn on(inputs: &Inputs, occasion: Occasion) -> Inputs {
    let mut inputs = inputs.clone();
    let day = inputs.day.as_mut().expect("a day");
    match occasion {
        Occasion::Wind { from_deg, mean_mps, gust_mps } => {
            let from = Direction::True(TrueHeading::deg(from_deg));
            day.wind = GivenWind {
                from: Some(from),
                mean_mps: Interval::exact(mean_mps),
                gust_mps: Interval::exact(gust_mps),
                ..day.wind
            };
        }
        Occasion::Load { mass_kg, temperature_c } => {
            day.mass = Some(Kilograms::kg(mass_kg));
            day.temperature = Some(Kelvins::celsius(temperature_c));
        }
    }
    inputs
}

/// Every `stride`-th cell: each of its lanes has to spare what a bench of that day says at a first look, to the last
/// digit, and is kept from fitting by the same.
#[track_caller]
fn check_is_the_bench_of_the_day(name: &str, question: Question, stride: usize) {
    let inputs = inputs(name);
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    let picture =
        occasions(&inputs, question, &control, &mut |_| ()).expect("not cancelled").expect("a picture");
    for (i, cell) in picture.cells.iter().enumerate().step_by(stride) {
        let occasion = picture.grid.occasion(question, i, picture.assumed.gusts);
        let changed = on(&inputs, occasion);
        let bench = Bench::new(&changed, Look::Preview, Drifts::default()).expect("an aircraft");
        for lane in &cell.as_ref().expect("worked out").lanes {
            let judged = bench.judge(&lane.stretch, &bench.obstructions).lane;
            assert_eq!(judged.spare_m, lane.spare_m, "{name} {occasion:?}");
            let limits = |r: &&Reason| r.verdict.is_some_and(|v| v != Verdict::Fits);
            let reasons: Vec<&Reason> = judged.reasons.iter().filter(limits).collect();
            assert_eq!(reasons, lane.reasons.iter().collect::<Vec<_>>(), "{name} {occasion:?}");
        }
    }
}

#[test]
fn every_lane_of_a_cell_is_what_the_bench_of_that_day_says_of_it() {
    check_is_the_bench_of_the_day("bramblewick-flat", Question::Wind, 9);
    check_is_the_bench_of_the_day("bramblewick-flat", Question::Load, 9);
    check_is_the_bench_of_the_day("greywether-long-field", Question::Wind, 5);
    check_is_the_bench_of_the_day("cobblesea-moor", Question::Wind, 5);
    check_is_the_bench_of_the_day("thimble-croft", Question::Load, 5);
}

#[test]
fn cells_are_judged_once_each_the_first_few_all_over_the_picture() {
    let grid = Grid { columns: vec![0.0; 36], rows: vec![0.0; 12] };
    let parts = grid.order();
    assert!(parts.iter().take(grid::EARLY).all(|part| part.len() <= grid::AT_ONCE_EARLY), "few at first");
    assert!(parts.iter().all(|part| part.len() <= grid::AT_ONCE));
    let mut all: Vec<usize> = parts.iter().flatten().copied().collect();
    assert_eq!(all.len(), 432);
    let first: Vec<usize> = all[..36].iter().map(|cell| cell % 36 + 100 * (cell / 36)).collect();
    assert!(first.iter().all(|at| at % 4 == 0 && [0, 3, 7, 11].contains(&(at / 100))), "{first:?}");
    all.sort_unstable();
    all.dedup();
    assert_eq!(all.len(), 432);
}

#[test]
fn the_wind_that_a_lane_bears_is_borne_and_a_little_more_is_not() {
    // Nothing stands before either end.
    let inputs = inputs_with("bramblewick-flat", |strip| strip.obstacles.clear());
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    let lane = assess(&inputs, &control).expect("not cancelled").lanes.into_iter().next().expect("a lane");
    let winds = wind_limits(&inputs, &lane, &control).expect("not cancelled");
    assert_eq!(winds.len(), 2);
    let turned = (winds[1].heading_true_deg - winds[0].heading_true_deg).rem_euclid(360.0);
    assert!((turned - 180.0).abs() < 1e-9);
    let near = Point { x: lane.near_end[0], y: lane.near_end[1] };
    for wind in &winds {
        // Nothing else is against this field.
        assert_eq!(wind.everywhere, Vec::new());
        let heading = TrueHeading::deg(wind.heading_true_deg);
        let line = Centreline::through(near, heading);
        let borne = |tail: f64| {
            let from_deg = heading.reversed().to_deg();
            let windy = on(&inputs, Occasion::Wind { from_deg, mean_mps: tail, gust_mps: tail });
            let at = |look| Bench::new(&windy, look, Drifts::default()).expect("an aircraft");
            let stretch = limits::best_on(&at(Look::Glance), line).expect("a lane").stretch;
            let bench = at(Look::Preview);
            ruling(&bench.judge(&stretch, &bench.obstructions).lane.reasons)
        };
        for (along, at_worst) in [(wind.fits, Verdict::Fits), (wind.tight, Verdict::Tight)] {
            let Some(tail) = along.greatest_tail_mps else {
                // Tight in a calm.
                assert_eq!((at_worst, borne(0.0)), (Verdict::Fits, Verdict::Tight));
                continue;
            };
            assert_eq!(along.least_head_mps, Some(0.0));
            assert!(borne(tail).rank() <= at_worst.rank(), "{tail}");
            // Halved to a sixteenth of a metre a second.
            assert!(borne(tail + 1.001 / 16.0).rank() > at_worst.rank(), "{tail}");
        }
    }
}

#[test]
fn a_lane_whose_reverse_cannot_be_reached_bears_no_wind_that_way_and_says_why() {
    let inputs = inputs("bramblewick-flat");
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    let lane = assess(&inputs, &control).expect("not cancelled").lanes.into_iter().next().expect("a lane");
    let winds = wind_limits(&inputs, &lane, &control).expect("not cancelled");
    let [there, back] = winds.as_slice() else { panic!("{winds:?}") };
    let calm = there.tight.greatest_tail_mps.expect("a calm is borne");
    assert!(calm >= 1.0, "{calm}: on the day itself it fits with some wind across it");
    assert_eq!((back.fits, back.tight), (Along::default(), Along::default()));
    let approach = back.everywhere.iter().find(|r| r.code == Code::Approach).expect("told");
    assert_eq!(approach.verdict, Some(Verdict::Unknown));
}

/// Once the lanes of cells were looked for as if a bog were not there.
#[test]
fn lanes_of_cells_pass_a_bog_in_the_middle_of_a_field() {
    let inputs = inputs_with("bramblewick-flat", |strip| {
        make_level(strip, (400.0, 150.0));
        strip.patches.push(bog(vec![(150.0, 60.0), (250.0, 60.0), (250.0, 90.0), (150.0, 90.0)]));
    });
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    let picture =
        occasions(&inputs, Question::Wind, &control, &mut |_| ()).expect("not cancelled").expect("a picture");
    let lanes = picture.cells.iter().flatten().flat_map(|cell| &cell.lanes);
    let passes = |lane: &&LaneThen| {
        ruling(&lane.reasons).rank() <= Verdict::Tight.rank() && lane.stretch.lane.length > Metres::m(390.0)
    };
    assert!(lanes.filter(passes).count() > picture.cells.len() / 20);
}
