//! Time of the pictures of when a field would work: 36 directions by 12 strengths of the wind, and mass by temperature;
//! and of the winds that the best lane bears.
//!
//! Run: `cargo bench -p strip --bench occasions`

#![allow(missing_docs, clippy::expect_used, reason = "a bench, not a library")]

mod support;

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::sync::atomic::{AtomicBool, Ordering};
use strip::{Control, Inputs, Question, assess, occasions, wind_limits};
use support::inputs;

/// With levels, without, and with many hazards.
const SAMPLES: [&str; 3] = ["bramblewick-flat", "greywether-long-field", "cobblesea-moor"];

fn pictures(c: &mut Criterion) {
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    for name in SAMPLES {
        let inputs = inputs(name);
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        for (question, said) in [(Question::Wind, "wind picture"), (Question::Load, "load picture")] {
            let whole = |i: &Inputs| {
                let picture =
                    occasions(i, question, &control, &mut |_| ()).expect("answered").expect("a picture");
                assert!(picture.is_whole());
            };
            group.bench_function(said, |b| b.iter(|| whole(black_box(&inputs))));
        }
        // Broken off as soon as something is told.
        let first = |i: &Inputs| {
            let stop = AtomicBool::new(false);
            let control = Control { cancelled: &stop, progress: &|_| {} };
            let broken = occasions(i, Question::Wind, &control, &mut |p| {
                assert!(p.told(p.grid.len()).is_some());
                stop.store(true, Ordering::Relaxed);
            });
            assert!(broken.is_err());
        };
        group.bench_function("first cell", |b| b.iter(|| first(black_box(&inputs))));
        let lane = assess(&inputs, &control).expect("answered").lanes.into_iter().next().expect("a lane");
        let winds = |i: &Inputs| {
            let limits = wind_limits(i, &lane, &control).expect("answered");
            assert_eq!(limits.len(), 2);
        };
        group.bench_function("winds of the best lane", |b| b.iter(|| winds(black_box(&inputs))));
        group.finish();
    }
}

criterion_group!(benches, pictures);
criterion_main!(benches);
