//! Time of a first look, which has to follow a finger, and of a full answer, on the sample strips.
//!
//! Run: `cargo bench -p strip`

#![allow(missing_docs, clippy::expect_used, reason = "a bench, not a library")]

mod support;

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::sync::atomic::AtomicBool;
use strip::record::{HazardRecord, ObstacleRecord, PlaceRecord};
use strip::{Assessment, Control, Inputs, Memory, assess, assess_preview};
use support::{inputs, inputs_with};

/// Without levels, with levels far apart, and with many hazards.
const SAMPLES: [&str; 3] = ["greywether-long-field", "bramblewick-flat", "cobblesea-moor"];

fn answers(c: &mut Criterion) {
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    let known = SAMPLES.map(|name| (name.to_owned(), inputs(name)));
    // Without the side view nothing of keel attitude, tipping, soft ground, drift and swing is worked out.
    let unknown = known.clone().map(|(name, mut inputs)| {
        if let Some(aircraft) = &mut inputs.aircraft {
            aircraft.side = None;
        }
        (format!("{name}, not known from the side"), inputs)
    });
    for (name, inputs) in known.into_iter().chain(unknown) {
        let mut memory = Memory::default();
        let mut first =
            |i: &Inputs| -> Assessment { assess_preview(i, &control, &mut memory).expect("answered") };
        assert_eq!(first(&inputs).samples, 1_024);
        c.bench_function(&format!("first look, {name}"), |b| b.iter(|| first(black_box(&inputs))));
        // Anew, as after a change of the day: nothing is remembered.
        c.bench_function(&format!("first look anew, {name}"), |b| {
            b.iter(|| assess_preview(black_box(&inputs), &control, &mut Memory::default()));
        });
        let full = |i: &Inputs| assess(i, &control).expect("answered");
        assert_eq!(full(&inputs).samples, 4_096);
        let mut group = c.benchmark_group("full answer");
        group.sample_size(10);
        group.bench_function(&name, |b| b.iter(|| full(black_box(&inputs))));
        group.finish();
    }
}

/// Numbers from 0 to 1 that are the same in every run (a linear congruence, Knuth's MMIX constants, from memory).
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// A sample with 500 rocks on it and 2,000 trees within a kilometre around it.
fn crowded() -> Inputs {
    inputs_with("bramblewick-flat", |strip| {
        let mut n = Numbers(7);
        let rock = strip.hazards[0].clone();
        strip.hazards = (0..500)
            .map(|i| {
                let at = PlaceRecord::Point(10.0 + 440.0 * n.next(), 35.0 + 105.0 * n.next());
                HazardRecord { id: format!("r{i}"), at, radius_m: 0.2, height_m: Some(0.15), ..rock.clone() }
            })
            .collect();
        let tree = strip.obstacles[0].clone();
        strip.obstacles = (0..2_000)
            .map(|i| {
                let (round, away) = (std::f64::consts::TAU * n.next(), 300.0 + 900.0 * n.next());
                let at = PlaceRecord::Point(230.0 + away * round.cos(), 80.0 + away * round.sin());
                let height_m = Some(1.0 + 9.0 * n.next());
                ObstacleRecord { id: format!("t{i}"), at, height_m, ..tree.clone() }
            })
            .collect();
    })
}

fn crowded_first_look(c: &mut Criterion) {
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    let inputs = crowded();
    let mut moved = inputs.clone();
    moved.strip.hazards.swap_remove(250);
    let mut memory = Memory::default();
    let mut group = c.benchmark_group("2,000 obstacles and 500 hazards");
    group.sample_size(10);
    // One rock comes and goes, as while it is moved.
    let mut there = [&inputs, &moved].into_iter().cycle();
    group.bench_function("first look", |b| {
        b.iter(|| {
            let inputs = there.next().expect("endless");
            assess_preview(black_box(inputs), &control, &mut memory)
        });
    });
    group.bench_function("first look anew", |b| {
        b.iter(|| assess_preview(black_box(&inputs), &control, &mut Memory::default()));
    });
    group.finish();
}

criterion_group!(benches, answers, crowded_first_look);
criterion_main!(benches);
