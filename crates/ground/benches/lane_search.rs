//! Speed of the search for the best lane, beside a general-purpose peer run once in the same run: the
//! oracle of GEOS and numpy, which looks at 60 headings and more and proves nothing.
//!
//! Run: `cargo bench -p ground`

#![allow(missing_docs, clippy::expect_used, reason = "a bench, not a library")]

#[path = "../../../tests/src/rocks.rs"]
mod rocks;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use ground::{Aim, Cover, FINE, Goal, Obstructions, found};
use measure::Metres;
use rocks::{CORNER_SIGMA, HEIGHT_SIGMA, ROCK_SIGMA, Rock, SIZE, field, rocks as strewn};
use std::hint::black_box;
use std::io::Write;
use std::ops::ControlFlow;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// As in the default settings, metres.
const HALF_WIDTH: f64 = 3.0;

const COUNTS: [usize; 4] = [40, 500, 2_000, 5_000];

/// The peer takes minutes with more.
const PEER_COUNTS: [usize; 2] = [40, 500];

fn refined(cover: Cover) -> Cover {
    let goal = Goal::within(Metres::m(0.5), None);
    cover.refined(&Aim::longest(), goal, &|_| ControlFlow::Continue(())).expect("nobody breaks off")
}

fn searched(all: &Obstructions) -> Cover {
    refined(Cover::new(all))
}

fn whole_search(c: &mut Criterion) {
    let mut group = c.benchmark_group("longest lane within 0.5 m");
    group.sample_size(20).measurement_time(Duration::from_secs(5));
    let mut before: Option<usize> = None;
    for count in COUNTS {
        let all = field(&strewn(count), HALF_WIDTH);
        let cover = searched(&all);
        let best = found(&cover, FINE);
        let growth = before
            .map_or_else(String::new, |b| format!(", {:.2} times as many", best.boxes as f64 / b as f64));
        println!(
            "{count} hazards: longest {:.2} m, bound {:.2} m, {} boxes{growth}, {} lines",
            best.worth.unwrap_or(0.0),
            best.bound,
            best.boxes,
            best.lines
        );
        before = Some(best.boxes);
        group.bench_function(format!("{count} hazards"), |b| b.iter(|| searched(black_box(&all))));
    }
    group.finish();
}

/// One rock out of many carried to and fro by a metre.
fn while_dragging(c: &mut Criterion) {
    let mut group = c.benchmark_group("one rock moved");
    group.sample_size(20).measurement_time(Duration::from_secs(5));
    for count in COUNTS {
        let here = strewn(count);
        let mut there = here.clone();
        there[0].0.0 += 1.0;
        let (from, to) = (searched(&field(&here, HALF_WIDTH)), field(&there, HALF_WIDTH));
        group.bench_function(format!("{count} hazards"), |b| {
            b.iter_batched(
                || from.clone(),
                |cover| refined(cover.changed_to(black_box(&to))),
                BatchSize::LargeInput,
            );
        });
    }
    group.finish();
}

fn peer(_: &mut Criterion) {
    for count in PEER_COUNTS {
        match oracle(&strewn(count)) {
            Ok(answer) => println!("peer, {count} hazards: {}", answer.trim()),
            Err(why) => {
                println!("peer, {count} hazards: not timed ({why}); needs python3 with shapely and numpy");
            }
        }
    }
}

fn oracle(rocks: &[Rock]) -> std::io::Result<String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/oracle/lanes.py");
    let mut child = Command::new("python3")
        .arg(script)
        .arg("--solve")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()?;
    if let Some(mut input) = child.stdin.take() {
        input.write_all(as_oracle_reads_it(rocks).as_bytes())?;
    }
    let out = child.wait_with_output()?;
    if !out.status.success() {
        return Err(std::io::Error::other(format!("{}", out.status)));
    }
    Ok(String::from_utf8_lossy(&out.stdout).into_owned())
}

fn as_oracle_reads_it(rocks: &[Rock]) -> String {
    let (east, north) = SIZE;
    let hazard = |&((x, y), radius, height): &Rock| {
        serde_json::json!({
            "shape": "point", "at": [[x, y]], "radius": radius, "sigma": ROCK_SIGMA,
            "height_sigma": HEIGHT_SIGMA, "relief": ["raised", height],
        })
    };
    serde_json::json!({
        "name": "rocks", "family": "plain", "outer": [[0.0, 0.0], [east, 0.0], [east, north], [0.0, north]],
        "edges": [["open", 0], ["open", 0], ["open", 0], ["open", 0]], "islands": [], "island_edges": [],
        "sigma": CORNER_SIGMA, "share": 0, "half_width": [[0, HALF_WIDTH]], "bridged": 0,
        "hazards": rocks.iter().map(hazard).collect::<Vec<_>>(),
    })
    .to_string()
}

criterion_group!(benches, peer, whole_search, while_dragging);
criterion_main!(benches);
