//! Speed of the surface: joining levels strewn over 600 m by 190 m, and the keel along a lane of 560 m.
//!
//! Run: `cargo bench -p ground --bench surface`

#![allow(missing_docs, clippy::expect_used, reason = "a bench, not a library")]

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use ground::{Breakline, Lane, Level, Point, Surface, keel_path, keel_report};
use measure::{Metres, TrueHeading};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::hint::black_box;

const COUNTS: [usize; 3] = [1_000, 10_000, 100_000];

/// Levels on gentle waves, the same ones every time.
fn levels(count: usize) -> Vec<Level> {
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let place = (0.0..600.0_f64, 0.0..190.0_f64);
    let places =
        prop::collection::vec(place, count).new_tree(&mut runner).expect("nothing refused").current();
    places.into_iter().map(|(x, y)| level(x, y)).collect()
}

fn level(x: f64, y: f64) -> Level {
    Level { at: Point { x, y }, height: Metres::m(0.3 * (x / 15.0).sin()), sigma: Metres::m(0.02) }
}

/// Ten ditches across, each a line of 19 points.
fn breaklines() -> Vec<Breakline> {
    let line = |i: u32| {
        let east = 30.0 + 60.0 * f64::from(i);
        Breakline { points: (0..19).map(|j| level(east, 5.0 + 10.0 * f64::from(j))).collect() }
    };
    (0..10).map(line).collect()
}

fn surfaces(c: &mut Criterion) {
    let mut group = c.benchmark_group("surface");
    group.sample_size(10);
    let breaklines = breaklines();
    let lane =
        Lane { near: Point { x: 20.0, y: 95.0 }, heading: TrueHeading::deg(90.0), length: Metres::m(560.0) };
    let keel = Metres::m(4.0);
    for count in COUNTS {
        let levels = levels(count);
        let built = Surface::new(&levels, &breaklines).expect("a surface");
        assert!(built.height_at(lane.near).is_some(), "the lane lies on the levels");
        group.bench_function(format!("{count} joined"), |b| {
            b.iter_batched(
                || &levels,
                |levels| Surface::new(black_box(levels), &breaklines),
                BatchSize::PerIteration,
            );
        });
        let path = keel_path(&built, &lane, keel);
        assert!(path.len() > 100 && path.iter().all(|s| s.ground.is_some()), "measured all along");
        group.bench_function(format!("{count} path"), |b| {
            b.iter(|| keel_path(black_box(&built), &lane, keel));
        });
        assert!(keel_report(&built, &lane, keel).hollow.is_some_and(|w| w.amount > Metres::ZERO));
        group.bench_function(format!("{count} report"), |b| {
            b.iter(|| keel_report(black_box(&built), &lane, keel));
        });
    }
    group.finish();
}

criterion_group!(benches, surfaces);
criterion_main!(benches);
