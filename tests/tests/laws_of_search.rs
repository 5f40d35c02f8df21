//! Laws of the search, on fields such as nobody draws: what it finds is clear and as good as its bound but
//! for the tolerance; what is added never helps; a field turned and moved is the same field; what is
//! remembered changes nothing; threads change no digit; who breaks off is let go.
//!
//! More cases: `PROPTEST_CASES=20000 cargo test -p acceptance --test laws_of_search --release`

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::{
    Aim, Cancelled, Cover, EdgeKind, FINE, Found, Goal, Margins, Obstructions, Relief, SECTORS, by_heading,
    check_lane, found,
};
use measure::Metres;
use proptest::prelude::*;
use std::cell::Cell;
use std::ops::ControlFlow;
use support::config;
use support::wild::{Thing, Wild, any_wild};

const TOLERANCE: f64 = 0.5;

/// Rounding of coordinates tens of thousands of kilometres off, metres.
const ROUNDED: f64 = 1e-5;

fn goal() -> Goal {
    Goal::within(Metres::m(TOLERANCE), None)
}

fn refined(cover: Cover, aim: &Aim) -> Cover {
    cover.refined(aim, goal(), &|_| ControlFlow::Continue(())).expect("nobody breaks off")
}

fn searched(all: &Obstructions) -> Found {
    let aim = Aim::longest();
    found(&refined(Cover::new(all), &aim), FINE)
}

/// No lane is as good as one of no length.
fn length(of: &Found) -> f64 {
    of.worth.unwrap_or(0.0)
}

fn any_aim() -> impl Strategy<Value = Aim> {
    let margins = (0.0..20.0_f64, 0.0..20.0_f64, 0.0..40.0_f64);
    let needs = prop::option::of(prop::collection::vec(0.0..60.0_f64, SECTORS));
    (margins, needs).prop_map(|((near, end, hard), needs)| Aim {
        margins: Margins { near: Metres::m(near), end: Metres::m(end), hard_end: Metres::m(hard) },
        needs,
    })
}

/// Worth of a lane of no length in the best direction.
fn nothing_at(aim: &Aim) -> f64 {
    let least_need = aim.needs.iter().flatten().copied().reduce(f64::min).unwrap_or(0.0);
    -(aim.margins.near + aim.margins.end).to_m() - least_need
}

/// Worse in one way.
fn worsened(mut wild: Wild, how: u8, by: &Wild) -> Wild {
    match how {
        0 => wild.things.extend(by.things.iter().cloned()),
        1 => wild.things.iter_mut().for_each(|t| t.radius += 0.7),
        2 => wild.things.iter_mut().for_each(|t| t.sigma += 0.3),
        3 => wild.half_width.0 += 0.4,
        4 => wild.bridged = 0.0,
        _ => wild.island = true,
    }
    wild
}

proptest! {
    #![proptest_config(config(96))]

    #[test]
    fn what_is_found_is_clear_and_as_good_as_the_bound_but_for_the_tolerance(wild in any_wild(), aim in any_aim()) {
        let Some(all) = wild.obstructions() else { return Ok(()) };
        let cover = refined(Cover::new(&all), &aim);
        let best = found(&cover, FINE);
        // The check that the lane passes shares nothing with the bound; were it to refuse one that the
        // search took for clear, what is found would fall short of the bound.
        let worth = best.worth.unwrap_or(f64::NEG_INFINITY);
        let nothing = nothing_at(&aim);
        let close = cover.bound() <= worth.max(nothing) + TOLERANCE + ROUNDED;
        // A field as large as a county may need more boxes than are looked at.
        prop_assert!(close || wild.size.0 > 1e4, "{} {worth} {nothing} {}", cover.bound(), cover.looked());
        if let Some(stretch) = best.best {
            prop_assert!(check_lane(&all, &stretch.lane).is_clear());
            prop_assert!(worth <= cover.bound() + ROUNDED);
        }
    }

    #[test]
    fn what_is_added_raised_or_grown_never_helps(wild in any_wild(), other in any_wild(), how in 0..6_u8) {
        let worse = worsened(wild.clone(), how, &other);
        let (Some(before), Some(after)) = (wild.obstructions(), worse.obstructions()) else { return Ok(()) };
        let (before, after) = (searched(&before), searched(&after));
        prop_assert!(length(&after) <= before.bound.max(0.0) + ROUNDED, "{after:?} {before:?} after {how}");
    }

    #[test]
    fn a_field_turned_and_moved_has_the_same_longest_lane(wild in any_wild(), turn in 0.0..360.0_f64, east in -500.0..500.0_f64) {
        let moved = Wild { turn: wild.turn + turn, shift: (wild.shift.0 + east, wild.shift.1 - east), ..wild.clone() };
        let (Some(here), Some(there)) = (wild.obstructions(), moved.obstructions()) else { return Ok(()) };
        let (here, there) = (searched(&here), searched(&there));
        for (one, other) in [(&here, &there), (&there, &here)] {
            prop_assert!(length(one) <= other.bound.max(0.0) + ROUNDED, "{one:?} {other:?}");
        }
    }

    #[test]
    fn what_was_known_before_a_thing_moved_changes_no_answer(wild in any_wild(), other in any_wild(), aim in any_aim()) {
        let mut moved = wild.clone();
        moved.things.truncate(wild.things.len() / 2);
        moved.things.extend(other.things.iter().take(2).cloned());
        let (Some(before), Some(after)) = (wild.obstructions(), moved.obstructions()) else { return Ok(()) };
        let known = refined(refined(Cover::new(&before), &aim).changed_to(&after), &aim);
        let anew = refined(Cover::new(&after), &aim);
        for (one, other) in [(&known, &anew), (&anew, &known)] {
            if let Some(worth) = found(one, FINE).worth {
                prop_assert!(worth <= other.bound() + ROUNDED);
            }
        }
        let worth = |cover: &Cover| found(cover, FINE).worth.unwrap_or(f64::NEG_INFINITY);
        // Where there is none in one, there is none worth more than one of no length in the other.
        let (one, other) = (worth(&known).max(nothing_at(&aim)), worth(&anew).max(nothing_at(&aim)));
        prop_assert!((one - other).abs() <= TOLERANCE + ROUNDED || wild.size.0 > 1e4, "{one} {other}");
    }

    #[test]
    fn no_sector_holds_more_than_its_bound_nor_than_the_whole(wild in any_wild()) {
        let Some(all) = wild.obstructions() else { return Ok(()) };
        let aim = Aim::longest();
        let goal = Goal::within(Metres::m(TOLERANCE), Some(Metres::m(20.0)));
        let cover = Cover::new(&all).refined(&aim, goal, &|_| ControlFlow::Continue(())).expect("nobody breaks off");
        for sector in by_heading(&cover) {
            let (length, bound) = (sector.found.unwrap_or(0.0), sector.bound.unwrap_or(0.0));
            prop_assert!(length <= bound.max(0.0) + ROUNDED && bound <= cover.bound() + ROUNDED, "{sector:?}");
        }
    }

    #[test]
    fn who_breaks_off_is_let_go_at_once(wild in any_wild(), after in 0..6_u32) {
        let Some(all) = wild.obstructions() else { return Ok(()) };
        let asked = Cell::new(0);
        let answer = Cover::new(&all).refined(&Aim::longest(), goal(), &|_| {
            asked.set(asked.get() + 1);
            if asked.get() > after { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        });
        // Asked once more at most than it was told to go on.
        prop_assert!(asked.get() <= after + 1);
        prop_assert_eq!(answer.is_err(), asked.get() > after);
        prop_assert!(answer.is_ok() || matches!(answer, Err(Cancelled)));
    }
}

#[test]
fn threads_change_no_digit() {
    let all = acceptance::rocks::field(&acceptance::rocks::rocks(500), 3.0);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| {
            let cover = refined(Cover::new(&all), &Aim::longest());
            (found(&cover, FINE), cover.bound_by_heading())
        })
    };
    assert_eq!(on(1), on(2));
}

#[test]
fn a_ditch_is_the_same_by_however_many_corners_it_is_given() {
    let ditch = |corners: &[f64]| Thing {
        at: corners.iter().map(|north| (0.5, *north)).collect(),
        area: false,
        radius: 0.15,
        sigma: 0.0,
        relief: Relief::Sunk(None),
    };
    for bridged in [0.0, 1e-4, 0.7, 2.0] {
        let longest = |corners: &[f64]| {
            let wild = Wild {
                corners: [45.0, 135.0, 225.0, 315.0].map(|angle| (angle, 1.0)).to_vec(),
                size: (400.0, 60.0),
                turn: 0.0,
                shift: (0.0, 0.0),
                edge: EdgeKind::Open,
                sigma: 0.0,
                island: false,
                things: vec![ditch(corners)],
                half_width: (3.0, Vec::new()),
                bridged,
            };
            searched(&wild.obstructions().expect("a valid outline"))
        };
        let (two, three) = (longest(&[-0.2, 1.2]), longest(&[-0.2, 0.5, 1.2]));
        assert!((length(&two) - length(&three)).abs() <= TOLERANCE, "{bridged}: {two:?} {three:?}");
        assert!(two.bound <= length(&two) + TOLERANCE + ROUNDED, "{bridged}: {two:?}");
    }
}
