//! A first look's slide is a bound: looking closer hardly ever makes it longer, in at most 1 of 1,000 cases.
//!
//! The test command tries some; all of them: `PREVIEW_CASES=10000 cargo test --release -p acceptance --test preview`.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use acceptance::say;
use ground::Centreline;
use measure::TrueHeading;
use measure::points::{COORDINATES, MOST_POINTS, REPLICATES, replicate};
use strip::assess_line;
use strip::record::{CoverRecord, DirectionRecord, Ends, GrassRecord, LevelRecord, StallRecord};
use support::Trio;
use support::plain::{coarse, plain};

const COVERS: [CoverRecord; 3] = [CoverRecord::ShortGrass, CoverRecord::LongGrass, CoverRecord::BareSoil];
const STATES: [Option<GrassRecord>; 4] =
    [Some(GrassRecord::Dry), Some(GrassRecord::Wet), Some(GrassRecord::Frost), None];

/// A case from a point of the unit cube: wind, speeds, coefficients, mass, cover and state, slope.
fn case(u: [f64; COORDINATES]) -> Trio {
    let mut trio = plain();
    let (day, aircraft) = (&mut trio.day, &mut trio.aircraft);
    day.wind.from = DirectionRecord::True(360.0 * u[0]);
    (day.wind.mean_mps, day.wind.gust_mps) = (6.0 * u[1], 6.0 * u[1] + 3.0 * u[2]);
    aircraft.stall = StallRecord::Calibrated { mps: 15.0 + 5.0 * u[3] };
    aircraft.lift_coefficient = Ends { low: 0.0, high: 0.6 * u[4] };
    aircraft.drag_coefficient = Ends { low: 0.05, high: 0.2 };
    day.landing_mass_kg = (u[5] < 0.8).then_some(400.0 + 180.0 * u[5]);
    trio.strip.cover = Some(COVERS[(u[6] * 3.0) as usize % 3]);
    day.grass = STATES[(u[6] * 12.0) as usize % 4];
    let slope = 0.04 * u[7] - 0.02;
    if u[7] < 0.7 {
        let level = |(e, n): (f64, f64)| LevelRecord { e, n, z: slope * n, sigma_m: 0.02 };
        trio.strip.levels = [(0.0, 0.0), (60.0, 0.0), (60.0, 600.0), (0.0, 600.0)].map(level).to_vec();
    } else {
        trio.strip.levels.clear();
    }
    trio
}

#[test]
fn looking_closer_hardly_ever_makes_a_slide_longer() {
    let wanted = std::env::var("PREVIEW_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(200);
    let (mut compared, mut longer) = (0_usize, 0_usize);
    // Points of several replicates; past their number they come again with coordinates turned round.
    let each = MOST_POINTS / REPLICATES;
    for i in 0..wanted {
        let point = replicate(i % REPLICATES, MOST_POINTS)[(i / REPLICATES) % each];
        let mut u = point.uniform;
        u.rotate_left(i / MOST_POINTS);
        let trio = case(u);
        let inputs = trio.inputs(coarse());
        let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
        let [first, closer] =
            [false, true].map(|in_full| assess_line(&inputs, line, in_full).expect("a lane"));
        compared += 1;
        let [said, now] = [first, closer].map(|l| l.demand_m.unwrap_or(f64::INFINITY));
        longer += usize::from(now > said);
    }
    say(&format!("{compared} of {wanted} lanes looked at twice, {longer} longer at the second look"));
    assert!(compared >= wanted, "too few lanes were found by both looks");
    assert!(longer * 1_000 <= compared.max(1_000), "{longer} of {compared}");
}
