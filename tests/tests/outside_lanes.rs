//! The search for the best lane against an independent oracle: the lanes that GEOS, through shapely 2.2.0,
//! finds on 300 invented fields (`oracle/lanes.py`, its answers in `oracle/lanes.jsonl`).
//!
//! The oracle looks at some headings only, so what it finds is a lane that is really there, not the
//! longest: nothing found here may be shorter than it by more than the tolerance, and no bound below it.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use acceptance::say;
use ground::{Aim, Cover, FINE, Goal, Margins, Obstructions, by_heading, found, sector_of};
use measure::{Metres, TrueHeading};
use std::collections::BTreeMap;
use std::ops::ControlFlow;
use support::oracle::{Field, fields};

/// What the searches are asked for, metres.
const TOLERANCE: f64 = 0.5;

/// The oracle rounds to 1e-6 m; the rest is rounding of coordinates some kilometres from the origin.
const ROUNDED: f64 = 1e-5;

fn refined(all: &Obstructions, aim: &Aim, by_heading: Option<Metres>) -> Cover {
    let goal = Goal::within(Metres::m(TOLERANCE), by_heading);
    Cover::new(all).refined(aim, goal, &|_| ControlFlow::Continue(())).expect("nobody breaks off")
}

/// What is wrong with what was found on a field; empty where nothing is.
fn faults(field: &Field) -> Vec<String> {
    let all = field.obstructions();
    let mut out = Vec::new();
    let mut ask = |holds: bool, what: String| {
        if !holds {
            out.push(format!("{}: {what}", field.name));
        }
    };
    let cover = refined(&all, &Aim::longest(), Some(Metres::m(2.0)));
    let longest = found(&cover, FINE);
    let length = longest.worth.unwrap_or(0.0);
    let best = field.best_length;
    // Here a lane ends a millimetre before it widens, there where it does.
    let hair = if field.grows() { 0.001 + ROUNDED } else { ROUNDED };
    ask(length >= best - TOLERANCE, format!("found {length} of {best} m"));
    ask(longest.bound.max(0.0) >= best - hair, format!("bound {} of {best} m", longest.bound));
    ask(longest.bound <= length + TOLERANCE + ROUNDED, format!("bound left at {}", longest.bound));
    if let Some(stretch) = &longest.best {
        ask(field.blocking(&stretch.lane).is_none(), format!("blocked: {:?}", field.blocking(&stretch.lane)));
    }
    let sectors = by_heading(&cover);
    for &(heading, length) in &field.by_heading {
        // Several steps tell the ways along a line apart; else the oracle gives half a turn.
        let back = (!field.grows()).then_some(heading + 180.0);
        for heading in back.into_iter().chain([heading]) {
            let bound = sectors[sector_of(TrueHeading::deg(heading))].bound.unwrap_or(0.0);
            ask(bound >= length - hair, format!("bound {bound} of {length} m at {heading} degrees"));
        }
    }
    if let Some(usable) = field.best_usable {
        let margins = Margins { near: Metres::m(10.0), end: Metres::m(15.0), hard_end: Metres::m(30.0) };
        let aim = Aim { margins, needs: None };
        let cover = refined(&all, &aim, None);
        let most = found(&cover, FINE);
        // A lane worth less than one of no length at all is as good as none.
        let nothing = -25.0;
        let worth = most.worth.unwrap_or(nothing);
        ask(worth >= usable.max(nothing) - TOLERANCE, format!("usable {worth} of {usable} m"));
        ask(cover.bound() >= usable - ROUNDED, format!("usable bound {} of {usable} m", cover.bound()));
        if let Some(stretch) = &most.best {
            ask(
                field.blocking(&stretch.lane).is_none(),
                format!("usable blocked: {:?}", field.blocking(&stretch.lane)),
            );
        }
    }
    out
}

#[test]
fn no_lane_found_is_blocked_none_is_shorter_than_the_oracles_and_no_bound_lies_below_it() {
    let fields = fields();
    assert_eq!(fields.len(), 300);
    let halves: Vec<&[Field]> = fields.chunks(fields.len() / 2).collect();
    let wrong: Vec<String> = std::thread::scope(|scope| {
        let running: Vec<_> = halves
            .iter()
            .map(|half| scope.spawn(|| half.iter().flat_map(faults).collect::<Vec<_>>()))
            .collect();
        running.into_iter().flat_map(|r| r.join().expect("no panic")).collect()
    });
    let mut families: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for field in &fields {
        let (count, none) = families.entry(field.family.as_str()).or_default();
        *count += 1;
        *none += usize::from(field.best_length <= 0.0);
    }
    say(&format!("fields against the oracle, by family (how many, of these without any lane): {families:?}"));
    assert!(wrong.is_empty(), "{} faults\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_lane_moved_onto_what_blocks_it_is_seen_as_blocked() {
    // The judge of the test above, judged: each best lane a metre longer at either end meets something.
    let mut seen = 0;
    for field in fields().iter().filter(|f| f.family == "plain" || f.family == "islands").step_by(9) {
        let best = found(&refined(&field.obstructions(), &Aim::longest(), None), FINE).best;
        let Some(mut lane) = best.map(|s| s.lane) else { continue };
        lane.near = lane.point_at(Metres::m(-1.0), Metres::ZERO);
        lane.length = lane.length + Metres::m(2.0);
        assert!(field.blocking(&lane).is_some(), "{}", field.name);
        seen += 1;
    }
    assert!(seen > 10);
}
