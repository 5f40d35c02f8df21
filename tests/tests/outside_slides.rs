//! Slides over changing ground against an independent oracle: fifty that SciPy 1.17.1 solved (`oracle/slides.py`,
//! its answers in `oracle/slides.jsonl`), and against tables of distances and slopes.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use acceptance::{Kind, Rows};
use measure::{CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres};
use serde::Deserialize;
use slide::{Body, Outcome, Slide, Station, Touchdown, Track, march};
use std::path::Path;

/// Agreement asked for where the ground carries throughout, m and m/s.
const SMOOTH: f64 = 1e-6;

/// The same where it stops carrying: the bend is found by step control, not by an event.
const SKIPPING: f64 = 1e-5;

#[derive(Deserialize)]
struct Case {
    name: String,
    mass: f64,
    wing_area: f64,
    cl: f64,
    cd: f64,
    thrust: f64,
    rho: f64,
    headwind: f64,
    tau: f64,
    carried: f64,
    stations: Vec<(f64, f64, f64, f64, f64)>,
    friction: Vec<f64>,
    touchdown: f64,
    v0: f64,
    room: Option<f64>,
    outcome: String,
    distance: Option<f64>,
    speed: Option<f64>,
    on_the_way: Vec<(f64, f64)>,
    smooth: bool,
}

impl Case {
    fn track(&self) -> Track {
        let station = |&(from, along, across, curvature, zone): &(f64, f64, f64, f64, f64)| Station {
            cross: Slope::ratio(across),
            curvature,
            ..Station::even(Metres::m(from), Slope::ratio(along), zone as usize)
        };
        Track::new(self.stations.iter().map(station).collect()).expect("rising")
    }

    fn slide<'a>(&'a self, track: &'a Track) -> Slide<'a> {
        Slide {
            body: Body {
                mass: Kilograms::kg(self.mass),
                wing_area: SquareMetres::m2(self.wing_area),
                lift_coefficient: self.cl,
                drag_coefficient: self.cd,
                idle_thrust: Newtons::n(self.thrust),
            },
            density: CubicDensity::kg_m3(self.rho),
            headwind: Headwind::mps(self.headwind),
            track,
            friction: &self.friction,
            settling: self.tau,
            carried: Metres::m(self.carried),
            slope_score: 0.0,
            curvature_score: 0.0,
        }
    }

    fn touchdown(&self) -> Touchdown {
        Touchdown { at: Metres::m(self.touchdown), speed: GroundSpeed::mps(self.v0) }
    }
}

fn cases() -> Vec<Case> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("oracle/slides.jsonl");
    let text = std::fs::read_to_string(path).expect("the oracle's answers");
    text.lines().skip(1).map(|line| serde_json::from_str(line).expect("a case")).collect()
}

#[test]
fn slides_over_changing_ground_are_those_of_an_ode_library() {
    let cases = cases();
    assert_eq!(cases.len(), 50);
    let mut rows = Rows::new(
        "slides over changing ground",
        "SciPy 1.17.1 solve_ivp DOP853, rtol 1e-12, restarted at every jump",
        Kind::Library,
    );
    for case in &cases {
        let track = case.track();
        let slide = case.slide(&track);
        let room = if case.smooth { SMOOTH } else { SKIPPING };
        let limit = case.room.map(Metres::m);
        let found = slide.traced(case.touchdown(), limit, |_, _| ()).outcome;
        let name = &case.name;
        match (found, case.outcome.as_str()) {
            (Outcome::StopsAt(s), "stops") => {
                rows.row(format!("{name}: length, m"), case.distance.expect("a length"), s.to_m(), room);
            }
            (Outcome::RunsOff { speed }, "runs_off") => {
                rows.row(format!("{name}: speed, m/s"), case.speed.expect("a speed"), speed.to_mps(), room);
            }
            (Outcome::NeverStops, "never") => {}
            (found, expected) => panic!("{name}: found {found:?}, expected {expected}"),
        }
        for &(s, v) in &case.on_the_way {
            let there = slide.traced(case.touchdown(), Some(Metres::m(s)), |_, _| ()).outcome;
            let Outcome::RunsOff { speed } = there else { panic!("{name}: {there:?} before {s} m") };
            rows.row(format!("{name}: speed after {s} m, m/s"), v, speed.to_mps(), room);
        }
    }
    rows.finish();
}

#[test]
fn the_fast_way_keeps_to_the_accuracy_that_it_claims() {
    let mut rows = Rows::new(
        "slides by the fast way",
        "SciPy 1.17.1 solve_ivp DOP853, rtol 1e-12, restarted at every jump",
        Kind::Library,
    );
    for case in cases().iter().filter(|case| case.outcome == "stops" && case.smooth) {
        let track = case.track();
        let expected = case.distance.expect("a length");
        let found = case.slide(&track).length(case.touchdown()).expect("it stops");
        let room = march::accuracy(Metres::m(expected)).to_m();
        rows.row(format!("{}: length, m", case.name), expected, found.to_m(), room);
    }
    rows.finish();
}

/// Length on even ground of friction and slope alone, m.
fn on_a_slope(friction: f64, slope: f64) -> f64 {
    let track = Track::even(Slope::ratio(slope));
    let slide = Slide {
        body: Body {
            mass: Kilograms::kg(600.0),
            wing_area: SquareMetres::m2(14.0),
            lift_coefficient: 0.0,
            drag_coefficient: 0.0,
            idle_thrust: Newtons::ZERO,
        },
        density: CubicDensity::ZERO,
        headwind: Headwind::ZERO,
        track: &track,
        friction: &[friction],
        settling: 0.0,
        carried: Metres::ZERO,
        slope_score: 0.0,
        curvature_score: 0.0,
    };
    let touchdown = Touchdown { at: Metres::ZERO, speed: GroundSpeed::mps(20.0) };
    match slide.traced(touchdown, None, |_, _| ()).outcome {
        Outcome::StopsAt(s) => s.to_m(),
        found => panic!("{found:?}"),
    }
}

#[test]
fn one_in_a_hundred_downhill_is_the_published_five_in_a_hundred_only_near_a_friction_of_a_fifth() {
    // The rule (5 % of landing distance for each 1 % of slope down) is a comparison, not a reference of the
    // model: it speaks of braked wheels, and of the whole distance from 50 ft.
    let mut rows = Rows::new(
        "longer by 1 % of slope down, share",
        "mu/(mu cos a - sin a) - 1, plain arithmetic; UK Air Operations Regulations, CAT.POL.A.430 AMC2: 0.05",
        Kind::Standard,
    );
    let longer = |mu: f64| on_a_slope(mu, -0.01) / on_a_slope(mu, 0.0) - 1.0;
    for (mu, expected) in [(0.2, 0.052_684), (0.4, 0.025_692)] {
        rows.row(format!("friction {mu}"), expected, longer(mu), 1e-6);
    }
    rows.finish();
    assert!((longer(0.2) - 0.05).abs() < 0.005 && (longer(0.4) - 0.05).abs() > 0.02);
}

#[test]
fn a_heavier_aircraft_needs_longer_to_stop() {
    // Common practice, no source: more weight, longer to stop. By the model it comes of the stall speed, which
    // grows with the root of mass: 10 % more mass, 10 % more v^2, and on friction alone 10 % more length.
    let mut rows =
        Rows::new("longer by a tenth more mass", "v^2 goes with mass, plain arithmetic", Kind::Standard);
    let stall =
        slide::StallSpeed { calibrated: measure::CalibratedSpeed::mps(18.0), at_mass: Kilograms::kg(600.0) };
    let squared = |kg: f64| {
        let v = slide::touchdown_airspeed(&stall, Kilograms::kg(kg), 1.2, 0.0, CubicDensity::kg_m3(1.225));
        v.to_mps() * v.to_mps()
    };
    rows.row("ratio of lengths", 1.1, squared(660.0) / squared(600.0), 1e-12);
    rows.finish();
}
