//! Slides that drift and swing against an independent oracle: 32 that `SciPy` solved (`tests/oracle/drift.py`, which
//! writes forces as vectors in a frame of the field; its answers and versions in `tests/oracle/drift.jsonl`).

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{
    Crosswind, CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres,
};
use serde_json::Value;
use slide::{Body, Drift, Fin, Outcome, Place, Plan, Slide, Station, Touchdown, Track, Upset, drift};
use std::path::Path;

/// Agreement asked of headings, rad: 0.006 degrees. Of places it is what `drift` claims.
const HEADING: f64 = 1e-4;

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("no {key}"))
}

fn numbers(of: &Value) -> Vec<f64> {
    of.as_array().expect("a list").iter().filter_map(Value::as_f64).collect()
}

fn track(case: &Value) -> Track {
    let station = |row: &Value| {
        let [from, along, across, curvature, zone] = numbers(row)[..] else { panic!("five figures") };
        Station {
            cross: Slope::ratio(across),
            curvature,
            ..Station::even(Metres::m(from), Slope::ratio(along), zone as usize)
        }
    };
    Track::new(case["stations"].as_array().expect("stations").iter().map(station).collect()).expect("rising")
}

fn drift_of<'a>(case: &Value, track: &'a Track, friction: &'a [f64]) -> Drift<'a> {
    let n = |key: &str| number(case, key);
    let body = Body {
        mass: Kilograms::kg(n("mass")),
        wing_area: SquareMetres::m2(n("wing_area")),
        lift_coefficient: n("cl"),
        drag_coefficient: n("cd"),
        idle_thrust: Newtons::n(n("thrust")),
    };
    let slide = Slide {
        body,
        density: CubicDensity::kg_m3(n("rho")),
        headwind: Headwind::mps(n("headwind")),
        track,
        friction,
        settling: n("tau"),
        carried: Metres::m(n("carried")),
        slope_score: 0.0,
        curvature_score: 0.0,
    };
    let plan = Plan {
        keel_length: Metres::m(5.0),
        keel_spacing: Metres::m(n("keel_spacing")),
        half_span: Metres::m(5.0),
        contact_ahead: Metres::m(n("ahead")),
        gyration: Metres::m(n("gyration")),
        side_area: SquareMetres::m2(n("side_area")),
        side_slope: n("side_slope"),
        fin: Some(Fin { volume: n("fin_volume"), damping: n("fin_damping") }),
        steered_above: None,
    };
    let upset = Upset {
        course: n("course"),
        nose: n("nose"),
        crosswind: Crosswind::mps(n("crosswind")),
        uneven: n("uneven"),
        tilt: 1.0,
    };
    Drift { slide, plan, upset }
}

/// Value at a moment between two places, from values and rates at both (Hermite's cubic).
fn between(t: f64, (a, b): (&Place, &Place), of: impl Fn(&Place) -> (f64, f64)) -> f64 {
    let h = b.seconds - a.seconds;
    let x = (t - a.seconds) / h;
    let ((p, dp), (q, dq)) = (of(a), of(b));
    let (y, z) = (1.0 - x, x);
    p * y * y * (1.0 + 2.0 * z) + q * z * z * (1.0 + 2.0 * y) + h * (dp * y * y * z - dq * z * z * y)
}

#[test]
fn slides_that_drift_and_swing_are_those_of_an_ode_library() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/oracle/drift.jsonl");
    let text = std::fs::read_to_string(path).expect("the oracle's answers");
    let lines: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    assert_eq!(lines.len(), 33);
    let mut worst = [0.0_f64; 4];
    for case in &lines[1..] {
        let (track, friction) = (track(case), numbers(&case["friction"]));
        let drift = drift_of(case, &track, &friction);
        let at = Metres::m(number(case, "touchdown"));
        let touchdown = Touchdown { at, speed: GroundSpeed::mps(number(case, "v0")) };
        let mut places: Vec<Place> = Vec::new();
        let ending = drift.trace(touchdown, None, |place| places.push(*place));
        let Outcome::StopsAt(_) = ending.outcome else { panic!("{case}: {ending:?}") };
        let end = ending.place;
        let [slid, right, heading, seconds] = numbers(&case["halfway"])[..] else { panic!("halfway") };
        let after = places.iter().position(|p| p.seconds >= seconds).expect("it lasts longer");
        let pair = (&places[after - 1], &places[after]);
        let off = [
            (end.slid.to_m() - number(case, "slid"))
                .abs()
                .max((end.right.to_m() - number(case, "right")).abs()),
            (end.heading - number(case, "heading")).abs(),
            (between(seconds, pair, |p| (p.slid.to_m(), p.along.to_mps())) - slid)
                .abs()
                .max((between(seconds, pair, |p| (p.right.to_m(), p.across.to_mps())) - right).abs()),
            (between(seconds, pair, |p| (p.heading, p.turning)) - heading).abs(),
        ];
        let room = drift::ACCURACY.to_m();
        assert!(off[0] <= room && off[2] <= room, "{}: {off:?} m", case["name"]);
        assert!(off[1] <= HEADING && off[3] <= HEADING, "{}: {off:?} rad", case["name"]);
        worst = std::array::from_fn(|i| worst[i].max(off[i]));
    }
    println!("worst, place at rest (m), heading at rest (rad), the same halfway: {worst:?}");
}
