//! When the field would work: each cell of a picture against an assessment of its own occasion, the picture of a field
//! that is the same from both sides, of one lane, without a day; and the wind that a lane bears along it.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::{Centreline, Point};
use measure::TrueHeading;
use std::cell::Cell;
use std::cmp::Ordering;
use std::sync::atomic::{AtomicBool, Ordering as Memory};
use strip::record::{DirectionRecord, SurveyedRecord, WindRecord};
use strip::{
    Code, Control, Inputs, Occasion, Occasions, Question, Settings, Told, Verdict, assess_line, occasions,
    wind_limits,
};
use support::plain::{coarse, plain};
use support::{Trio, judged};

/// A picture that nobody breaks off.
fn picture(inputs: &Inputs, question: Question) -> Occasions {
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    occasions(inputs, question, &control, &mut |_| ()).expect("not cancelled").expect("an aircraft")
}

fn told(picture: &Occasions, cell: usize) -> Told {
    picture.told(cell).expect("every cell is worked out")
}

const fn rank(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Fits => 0,
        Verdict::Tight => 1,
        Verdict::Unknown => 2,
        Verdict::DoesNotFit => 3,
    }
}

/// The day of a sample with the occasion of a cell.
fn on(trio: &Trio, occasion: Occasion) -> Trio {
    let mut trio = trio.clone();
    match occasion {
        Occasion::Wind { from_deg, mean_mps, gust_mps } => {
            let from = DirectionRecord::True(from_deg);
            trio.day.wind = WindRecord { from, mean_mps, gust_mps, ..trio.day.wind };
        }
        Occasion::Load { mass_kg, temperature_c } => {
            (trio.day.landing_mass_kg, trio.day.temperature_c) = (Some(mass_kg), temperature_c);
        }
    }
    trio
}

/// Every `stride`-th cell against a first look at its own occasion, which searches anew for it: how many are worse because
/// another lane would have done better, and how many better because the picture keeps more lanes. That each lane is what
/// the bench says of it is a test beside the code.
#[track_caller]
fn check_agrees(name: &str, question: Question, stride: usize, (most_worse, most_better): (usize, usize)) {
    let trio = Trio::sample(name);
    let settings = Settings::default();
    let picture = picture(&trio.inputs(settings), question);
    let (mut worse, mut better) = (Vec::new(), Vec::new());
    for cell in (0..picture.count()).step_by(stride) {
        let told = told(&picture, cell);
        let first = on(&trio, told.occasion).glanced(settings).verdict;
        match rank(told.verdict).cmp(&rank(first)) {
            Ordering::Greater => worse.push((told.occasion, told.verdict, first)),
            Ordering::Less => better.push((told.occasion, told.verdict, first)),
            Ordering::Equal => {}
        }
    }
    let looked_at = picture.count().div_ceil(stride);
    assert!(
        worse.len() <= most_worse && better.len() <= most_better,
        "{name}, of {looked_at}: {worse:?} {better:?}"
    );
}

#[test]
fn cells_agree_with_an_assessment_of_the_day_in_that_wind() {
    check_agrees("bramblewick-flat", Question::Wind, 17, (0, 4));
    check_agrees("greywether-long-field", Question::Wind, 31, (0, 0));
    check_agrees("cobblesea-moor", Question::Wind, 31, (0, 0));
    check_agrees("thimble-croft", Question::Wind, 61, (0, 0));
}

#[test]
fn cells_agree_with_an_assessment_of_the_day_with_that_load() {
    check_agrees("bramblewick-flat", Question::Load, 7, (1, 0));
}

/// Cells of the wind picture of the plain field, which is the same from left and right and from both ends.
fn at(picture: &Occasions, from_deg: usize, row: usize) -> Told {
    told(picture, row * picture.grid.columns.len() + from_deg % 360 / 10)
}

#[test]
fn a_field_that_is_the_same_from_both_sides_has_a_picture_that_is() {
    let picture = picture(&plain().inputs(coarse()), Question::Wind);
    let mut marks = Vec::new();
    for row in 0..picture.grid.rows.len() {
        for from in (0..=90).step_by(10) {
            let here = at(&picture, from, row);
            marks.push(here.mark);
            for mirrored in [360 - from, 180 - from, 180 + from] {
                let there = at(&picture, mirrored, row);
                assert_eq!(here.mark, there.mark, "{here:?} {there:?}");
                // Where nothing is good, another lane may stand for all of them.
                let good = rank(here.mark) <= rank(Verdict::Tight);
                let Some((a, b)) = here.spare_m.zip(there.spare_m).filter(|_| good) else { continue };
                // Two lanes within the tolerance of the search may change places.
                assert!((a - b).abs() <= coarse().search_tolerance_m, "{here:?} {there:?}");
            }
        }
    }
    // It says something: winds along it are good, and winds across it are not.
    assert!(marks.contains(&Verdict::Fits) && marks.contains(&Verdict::Unknown), "{marks:?}");
}

#[test]
fn more_head_wind_never_leaves_less_to_spare_until_it_is_too_strong_to_say_anything() {
    let picture = picture(&plain().inputs(coarse()), Question::Wind);
    let calm = told(&picture, picture.grid.len());
    let mut last = calm.spare_m.expect("it stops");
    for row in 0..picture.grid.rows.len() {
        let here = at(&picture, 0, row);
        if here.ruling.as_ref().is_some_and(|r| r.code == Code::StrongWind) {
            continue;
        }
        let spare = here.spare_m.expect("it stops");
        // Gusts spread the touchdown speeds, so the keels may come down otherwise: that is not asked here.
        assert!(spare >= last && here.ruling.is_none_or(|r| r.code != Code::Spare), "{spare} after {last}");
        last = spare;
    }
    assert!(last > calm.spare_m.expect("it stops") + 2.0, "{last}: some head wind was looked at");
}

#[test]
fn a_head_wind_spares_what_it_takes_off_the_square_of_the_ground_speed() {
    let trio = plain();
    let settings = support::plain::by_hand_settings();
    let picture = picture(&trio.inputs(settings), Question::Wind);
    // Of a head wind of 2 m/s half counts, and half of what gusts of 3 m/s are more is flown on top: 22.1 + 0.5 - 1.0
    // m/s over the ground, so the slide is (21.6 / 22.1)^2 = 0.9553 of that in a calm, along the wind.
    let row = picture.grid.rows.iter().position(|mean| (mean - 2.0).abs() < 1e-9).expect("2 m/s");
    let (calm, windy) = (told(&picture, picture.grid.len()), at(&picture, 0, row));
    let heading = windy.heading_true_deg.expect("a lane");
    let line = |told: &Told| {
        let near = told.near_end.expect("a lane");
        Centreline::through(Point { x: near[0], y: near[1] }, TrueHeading::deg(heading))
    };
    let in_calm = assess_line(&trio.inputs(settings), line(&windy), false).expect("clear");
    let demand = in_calm.demand_m.expect("it stops");
    let along = 2.0 * heading.to_radians().cos();
    let share = ((22.1 + 0.25 * 2.0 - 0.5 * along) / 22.1_f64).powi(2);
    let expected = in_calm.spare_m.expect("it stops") + demand * (1.0 - share);
    let spare = windy.spare_m.expect("it stops");
    assert!((spare - expected).abs() < 0.002 * demand, "{spare} is not {expected}; calm {calm:?}");
}

#[test]
fn what_nobody_looked_at_is_said_once_and_left_out_of_the_marks() {
    let looked = plain();
    let mut blind = looked.clone();
    blind.strip.survey.wires = SurveyedRecord::NotLooked;
    let settings = coarse();
    let (whole, open) =
        (picture(&looked.inputs(settings), Question::Wind), picture(&blind.inputs(settings), Question::Wind));
    let codes: Vec<Code> = open.everywhere().iter().map(|r| r.code).collect();
    assert!(codes.contains(&Code::NotLooked), "{codes:?}");
    for cell in 0..open.count() {
        let (seen, unseen) = (told(&whole, cell), told(&open, cell));
        assert_eq!(seen.mark, unseen.mark);
        assert!(rank(unseen.verdict) >= rank(Verdict::Unknown), "{unseen:?}");
    }
}

#[test]
fn a_crosswind_limit_that_nobody_gave_is_never_left_out() {
    let mut trio = plain();
    trio.aircraft.limits.crosswind_mps = None;
    let picture = picture(&trio.inputs(coarse()), Question::Wind);
    assert!(picture.everywhere().iter().all(|r| r.code != Code::CrosswindLimit));
    let across = at(&picture, 90, 0);
    assert_eq!(across.mark, Verdict::Unknown);
    assert_eq!(across.ruling.expect("a reason").code, Code::CrosswindLimit);
}

#[test]
fn without_a_day_the_picture_says_what_it_takes_for_granted_and_proves_nothing() {
    for name in ["bramblewick-flat", "thimble-croft"] {
        let mut inputs = Trio::sample(name).inputs(coarse());
        inputs.day = None;
        for question in [Question::Wind, Question::Load] {
            let picture = picture(&inputs, question);
            assert!(!picture.assumed.of_day && !picture.assumed.gusts.of_day && picture.day.is_none());
            assert!(picture.everywhere().iter().any(|r| r.code == Code::NoDay));
            for cell in 0..picture.count() {
                assert_eq!(told(&picture, cell).verdict, Verdict::Unknown);
            }
        }
    }
}

#[test]
fn the_picture_of_winds_does_not_hang_on_the_wind_of_the_day() {
    let mut trio = Trio::sample("bramblewick-flat");
    // Nothing is known of drift, so no cell looks for lanes of its own.
    trio.aircraft.side = None;
    let in_wind = |from: f64, mean_mps: f64| {
        let mut trio = trio.clone();
        let from = DirectionRecord::True(from);
        trio.day.wind = WindRecord { from, mean_mps, gust_mps: 1.4 * mean_mps, ..trio.day.wind };
        picture(&trio.inputs(coarse()), Question::Wind)
    };
    let (light, strong) = (in_wind(262.0, 2.5), in_wind(82.0, 10.0));
    for cell in 0..light.count() {
        let (a, b) = (told(&light, cell), told(&strong, cell));
        assert_eq!((a.mark, a.spare_m), (b.mark, b.spare_m), "{a:?} {b:?}");
    }
}

#[test]
fn gusts_follow_the_mean_as_on_the_day() {
    let trio = Trio::sample("bramblewick-flat");
    let picture = picture(&trio.inputs(coarse()), Question::Wind);
    let Occasion::Wind { mean_mps, gust_mps, .. } = at(&picture, 0, 3).occasion else { panic!("a wind") };
    // 3.5 over 2.5 m/s on the day.
    assert!((gust_mps - 1.4 * mean_mps).abs() < 1e-9 && picture.assumed.gusts.of_day);
    assert_eq!(picture.day, Some((262.0, 2.5)));
}

#[test]
fn the_first_cells_are_told_early_and_spread_out_and_a_picture_can_be_broken_off() {
    let inputs = plain().inputs(coarse());
    let stop = AtomicBool::new(false);
    let last = Cell::new(0.0);
    let progress = |share: f64| {
        assert!(share >= last.get(), "{share} after {}", last.get());
        last.set(share);
    };
    let control = Control { cancelled: &stop, progress: &progress };
    let mut tellings: Vec<Vec<usize>> = Vec::new();
    let broken = occasions(&inputs, Question::Wind, &control, &mut |picture| {
        tellings.push((0..picture.count()).filter(|cell| picture.told(*cell).is_some()).collect());
        stop.store(tellings.len() == 4, Memory::Relaxed);
    });
    assert!(broken.is_err());
    assert_eq!((tellings.len(), tellings[0].len()), (4, 1), "the calm first");
    let (columns, rows): (Vec<usize>, Vec<usize>) =
        tellings[3][..tellings[3].len() - 1].iter().map(|cell| (cell % 36, cell / 36)).unzip();
    assert_eq!(columns.len(), 36);
    for quarter in 0..4 {
        assert!(columns.iter().any(|c| c / 9 == quarter) && rows.iter().any(|r| r / 3 == quarter));
    }
}

#[test]
fn equal_inputs_give_an_equal_picture_on_any_number_of_threads() {
    let inputs = plain().inputs(coarse());
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| picture(&inputs, Question::Load))
    };
    assert_eq!(on(1), on(3));
}

#[test]
fn a_field_that_no_calm_fits_bears_no_tail_wind_and_asks_for_a_head_wind_or_none_does() {
    let inputs = Trio::sample("thimble-croft").inputs(Settings::default());
    let lane = judged(&inputs).lanes[0].clone();
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    for limit in wind_limits(&inputs, &lane, &control).expect("not cancelled") {
        assert_eq!((limit.tight.greatest_tail_mps, limit.tight.least_head_mps), (None, None), "{limit:?}");
    }
}
