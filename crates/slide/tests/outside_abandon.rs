//! Approaches broken off against an independent oracle: 24 that `SciPy` flew step by step (`tests/oracle/abandon.py`; its
//! answers and versions in `tests/oracle/abandon.jsonl`).

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

use measure::{AirSpeed, Crosswind, Headwind, Metres};
use serde_json::Value;
use slide::abandon::{Station, Turn, TurnTo};
use slide::{Abandon, Approach, Climbing, Latest, Manoeuvre};
use std::path::Path;

/// Agreement asked of places and heights, m: the oracle integrates to some 1e-9.
const AGREES: f64 = 1e-6;

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("no {key}"))
}

fn rows(of: &Value) -> Vec<Vec<f64>> {
    let row = |row: &Value| row.as_array().expect("a row").iter().filter_map(Value::as_f64).collect();
    of.as_array().expect("rows").iter().map(row).collect()
}

#[track_caller]
fn check(what: &str, got: Metres, oracle: f64) {
    assert!((got.to_m() - oracle).abs() < AGREES, "{what}: {got:?}, oracle {oracle}");
}

fn abandon(case: &Value) -> Abandon {
    let n = |key: &str| number(case, key);
    let approach = Approach {
        glide_rad: n("glide").to_radians(),
        airspeed: AirSpeed::mps(n("airspeed")),
        headwind: Headwind::mps(n("head")),
    };
    let climbing = Climbing { rate_mps: n("rate"), airspeed: AirSpeed::mps(n("climb_airspeed")) };
    let manoeuvre = Manoeuvre {
        reaction_s: n("reaction"),
        pull_up: n("pull_up"),
        gaining_share: n("gaining_share"),
        bank_rad: n("bank").to_radians(),
        roll_s: n("roll"),
    };
    Abandon::new(approach, climbing, &manoeuvre).expect("it climbs")
}

fn turn(case: &Value) -> Turn {
    Turn {
        to: if case["to"] == "left" { TurnTo::Left } else { TurnTo::Right },
        angle_rad: number(case, "angle").to_radians(),
        crosswind: Crosswind::mps(number(case, "cross")),
        wind_off_mps: 0.0,
        rate_mps: number(case, "turn_rate"),
        beyond: Metres::m(number(case, "beyond")),
        spacing: Metres::m(0.1),
    }
}

/// The place at a moment, straight between two stations a tenth of a metre apart.
fn at(stations: &[Station], seconds: f64) -> [f64; 3] {
    let i = stations.partition_point(|s| s.seconds < seconds).clamp(1, stations.len() - 1);
    let (a, b) = (stations[i - 1], stations[i]);
    let share = (seconds - a.seconds) / (b.seconds - a.seconds);
    let between = |of: fn(&Station) -> Metres| of(&a).to_m() + share * (of(&b) - of(&a)).to_m();
    [between(|s| s.past), between(|s| s.right), between(|s| s.height)]
}

#[test]
fn approaches_broken_off_are_those_that_scipy_flew() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/oracle/abandon.jsonl");
    let text = std::fs::read_to_string(file).expect("the oracle's answers");
    let mut cases = 0;
    for line in text.lines() {
        let case: Value = serde_json::from_str(line).expect("a case");
        let (it, before) = (abandon(&case), Metres::m(number(&case, "before")));
        for row in rows(&case["heights"]) {
            check("height", it.height_over(before, Metres::m(row[0])), row[1]);
        }
        let [past, height] = [0, 1].map(|i| case["lowest"][i].as_f64().expect("a number"));
        check("place of the lowest", it.lowest(before).past, past);
        check("lowest", it.lowest(before).height, height);
        check("settled", it.settled(), case["settled"][1].as_f64().expect("a number"));
        for row in rows(&case["latest"]) {
            let latest = it.latest_over(Metres::m(row[0]), Metres::m(row[1]));
            let Latest::Before(latest) = latest else { panic!("{latest:?} for {row:?}") };
            check("latest", latest, row[2]);
        }
        let stations = it.turn(before, &turn(&case)).expect("it turns");
        for row in rows(&case["turn"]) {
            let [past, right, height] =
                at(&stations, case["settled"][0].as_f64().expect("a number") + row[0]);
            for (got, oracle) in [(past, row[1]), (right, row[2]), (height, row[3])] {
                // Between two stations the arc leaves the line by 5e-6 m.
                assert!((got - oracle).abs() < 2e-5, "{got} for {oracle} at {}", row[0]);
            }
        }
        cases += 1;
    }
    assert_eq!(cases, 24);
}
