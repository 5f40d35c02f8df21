//! One half-width of a slide over sixty stations, every sign of its upsets followed; and those of all slides of a field.
//!
//! Run: `cargo bench -p slide --bench drift`

#![allow(missing_docs, clippy::expect_used, reason = "a bench, not a library")]

use criterion::{Criterion, criterion_group, criterion_main};
use measure::{
    Crosswind, CubicDensity, GroundSpeed, Headwind, Interval, Kilograms, Metres, Newtons, Slope, SquareMetres,
};
use slide::{Body, Drift, Fin, Plan, Slide, Station, Touchdown, Track, Upset, Window};
use std::hint::black_box;

/// Ground that slopes either way, of three kinds, by stations as many metres apart.
fn track(stations: u32, apart: f64) -> Track {
    let station = |i: u32| Station {
        cross: Slope::ratio(0.004 * f64::from(i % 5) - 0.008),
        ..Station::even(
            Metres::m(apart * f64::from(i)),
            Slope::ratio(0.002 * f64::from(i % 7) - 0.006),
            (i % 3) as usize,
        )
    };
    Track::new((0..stations).map(station).collect()).expect("rising")
}

fn drift(track: &Track, fin: Option<Fin>) -> Drift<'_> {
    let body = Body {
        mass: Kilograms::kg(600.0),
        wing_area: SquareMetres::m2(14.0),
        lift_coefficient: 0.4,
        drag_coefficient: 0.1,
        idle_thrust: Newtons::n(100.0),
    };
    let slide = Slide {
        body,
        density: CubicDensity::kg_m3(1.2),
        headwind: Headwind::mps(2.0),
        track,
        friction: &[0.38, 0.3, 0.26],
        settling: 1.0,
        carried: Metres::m(5.0),
        slope_score: 0.0,
        curvature_score: 0.0,
    };
    let plan = Plan {
        keel_length: Metres::m(4.5),
        keel_spacing: Metres::m(2.0),
        half_span: Metres::m(5.5),
        contact_ahead: Metres::m(0.3),
        gyration: Metres::m(2.4),
        side_area: SquareMetres::m2(10.0),
        side_slope: 0.8,
        fin,
        steered_above: None,
    };
    let angle = 2.0_f64.to_radians();
    let upset = Upset { course: angle, nose: angle, crosswind: Crosswind::mps(3.0), uneven: 0.05, tilt: 1.0 };
    Drift { slide, plan, upset }
}

fn half_widths(c: &mut Criterion) {
    let touchdown = Touchdown { at: Metres::ZERO, speed: GroundSpeed::mps(20.0) };
    let known = Some(Fin { volume: 12.0, damping: 50.0 });
    let (fine, even) = (track(60, 5.0), track(1, 1.0));
    let mut group = c.benchmark_group("half-width");
    for (name, track, fin) in [
        ("even ground, fin known", &even, known),
        ("60 stations, fin known", &fine, known),
        ("60 stations, fin not known", &fine, None),
    ] {
        let drift = drift(track, fin);
        let found = drift.sideways(touchdown, None, Metres::m(3.0)).expect("it stops");
        println!("{name}: {:?}, {:?}, {:?}", found.outcome, found.heading, found.widths.steps(8));
        assert!(found.widths.widest() > Metres::m(3.0));
        group.bench_function(name, |b| {
            b.iter(|| black_box(&drift).sideways(touchdown, None, Metres::m(3.0)));
        });
    }
    let drift = drift(&even, known);
    let window = Window {
        short: drift,
        long: drift,
        friction: Interval::spanning(0.26, 0.45),
        speeds: Interval::spanning(GroundSpeed::mps(18.0), GroundSpeed::mps(21.0)),
        parts: 2,
        room: Metres::m(300.0),
    };
    group.sample_size(20);
    group.bench_function("all slides of a field", |b| {
        b.iter(|| black_box(&window).sideways(Metres::m(10.0), Metres::m(3.0)));
    });
    group.finish();
}

criterion_group!(benches, half_widths);
criterion_main!(benches);
