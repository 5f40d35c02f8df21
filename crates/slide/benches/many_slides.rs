//! 100,000 slides over 60 stations of three kinds of ground, beside a general-purpose peer run once in the same
//! run: the same equation in numpy (`tests/oracle/slides_speed.py`).
//!
//! Run: `cargo bench -p slide`

#![allow(missing_docs, clippy::expect_used, clippy::panic, reason = "a bench, not a library")]

use criterion::{Criterion, criterion_group, criterion_main};
use measure::{CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres};
use rayon::prelude::*;
use serde_json::Value;
use slide::{Body, Slide, Station, Touchdown, Track};
use std::hint::black_box;
use std::path::Path;
use std::process::Command;

/// Slides of one run.
const SLIDES: u32 = 100_000;

/// How far the percentiles may lie from those of the peer's fine steps, m.
const ROOM: f64 = 0.05;

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().expect("a number of the oracle's file")
}

fn numbers(of: &Value) -> Vec<f64> {
    of.as_array().expect("a list").iter().filter_map(Value::as_f64).collect()
}

/// What the oracle's file says.
struct Given {
    file: Value,
    track: Track,
    alpha: Vec<f64>,
    parameters: Vec<(f64, f64)>,
}

impl Given {
    fn read() -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/oracle/slides_speed.json");
        let text = std::fs::read_to_string(path).expect("the oracle's file");
        let file: Value = serde_json::from_str(&text).expect("JSON");
        let station = |row: &Value| {
            let [from, slope, cross, curvature, zone] = numbers(row)[..] else { panic!("five figures") };
            let even = Station::even(Metres::m(from), Slope::ratio(slope), zone as usize);
            // One standard deviation is the whole shift, so that the score is the shift itself.
            Station { cross: Slope::ratio(cross), curvature, slope_sigma: Slope::ratio(1.0), ..even }
        };
        let stations = file["stations"].as_array().expect("stations").iter().map(station).collect();
        let track = Track::new(stations).expect("rising");
        let alpha = numbers(&file["alpha"]);
        let pair = |row: &Value| (row[1].as_f64().expect("low"), row[2].as_f64().expect("width"));
        let parameters = file["parameters"].as_array().expect("parameters").iter().map(pair).collect();
        Self { file, track, alpha, parameters }
    }

    fn body(&self) -> Body {
        Body {
            mass: Kilograms::kg(number(&self.file, "mass")),
            wing_area: SquareMetres::m2(number(&self.file, "wing_area")),
            lift_coefficient: number(&self.file, "cl"),
            drag_coefficient: number(&self.file, "cd"),
            idle_thrust: Newtons::n(number(&self.file, "thrust")),
        }
    }

    fn length(&self, body: Body, air: (CubicDensity, Headwind, f64, Metres), i: u32) -> f64 {
        let values: [f64; 5] = std::array::from_fn(|j| {
            let (low, width) = self.parameters[j];
            low + width * (f64::from(i + 1) * self.alpha[j]).fract()
        });
        let (density, headwind, settling, carried) = air;
        let slide = Slide {
            body,
            density,
            headwind,
            track: &self.track,
            friction: &values[..3],
            settling,
            carried,
            slope_score: values[4],
            curvature_score: 0.0,
        };
        let touchdown = Touchdown { at: Metres::ZERO, speed: GroundSpeed::mps(values[3]) };
        slide.length(touchdown).map_or(f64::INFINITY, Metres::to_m)
    }

    fn lengths(&self, out: &mut Vec<f64>) {
        let air = (
            CubicDensity::kg_m3(number(&self.file, "rho")),
            Headwind::mps(number(&self.file, "headwind")),
            number(&self.file, "tau"),
            Metres::m(number(&self.file, "carried")),
        );
        let body = self.body();
        (0..SLIDES).into_par_iter().map(|i| self.length(body, air, i)).collect_into_vec(out);
    }
}

fn many_slides(c: &mut Criterion) {
    let given = Given::read();
    let mut lengths = Vec::new();
    given.lengths(&mut lengths);
    let stations: f64 = lengths.iter().map(|s| (s / 5.0).ceil().min(60.0)).sum();
    println!("stations slid over: {stations:.0}, {:.1} a slide", stations / f64::from(SLIDES));
    let mut sorted = lengths.clone();
    sorted.sort_by(f64::total_cmp);
    for (p, key) in [(0.50, "p50"), (0.95, "p95"), (0.99, "p99")] {
        let found = sorted[(p * f64::from(SLIDES - 1)) as usize];
        let expected = number(&given.file, key);
        assert!((found - expected).abs() < ROOM, "{key} {found}, the peer's fine steps {expected}");
    }
    let mut group = c.benchmark_group("100,000 slides");
    group.sample_size(20);
    group.bench_function("all cores", |b| b.iter(|| given.lengths(black_box(&mut lengths))));
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("one thread");
    group.bench_function("one core", |b| b.iter(|| one.install(|| given.lengths(black_box(&mut lengths)))));
    group.finish();
    peer();
}

fn peer() {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/oracle/slides_speed.py");
    match Command::new("python3").arg(script).output() {
        Ok(out) if out.status.success() => println!("numpy: {}", String::from_utf8_lossy(&out.stdout)),
        Ok(out) => println!("numpy did not run: {}", String::from_utf8_lossy(&out.stderr)),
        Err(why) => println!("numpy did not run: {why}"),
    }
}

criterion_group!(benches, many_slides);
criterion_main!(benches);
