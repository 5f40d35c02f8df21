//! The same digits for one and two threads, twice, and for debug and release builds: what is stored was made by a debug
//! build and is compared in both.
//!
//! Made anew by `UPDATE_DIGITS=1 cargo test -p acceptance --test digits`.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use std::path::Path;
use strip::Settings;
use support::{SAMPLES, Trio};

/// Figures of every lane of a sample, to the last digit.
fn figures(name: &str) -> String {
    let answer = Trio::sample(name).judged(Settings::default());
    let lane = |l: &strip::AssessedLane| {
        let b = &l.balance;
        let balance = [b.tipping_reserve, b.keel_sinkage_m, b.ploughing_n, b.propeller_clearance_m];
        let figures = [l.demand_p50_m, l.demand_p95_m, l.demand_p99_m, l.stop_p50_m, l.overrun_probability];
        format!("{name} {} {figures:?} {balance:?}\n", l.id)
    };
    answer.lanes.iter().map(lane).collect()
}

fn all(threads: usize) -> String {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
    pool.install(|| SAMPLES.iter().map(|name| figures(name)).collect())
}

#[test]
fn one_thread_two_threads_and_another_build_give_the_same_digits() {
    let one = all(1);
    assert_eq!(one, all(2));
    assert_eq!(one, all(2), "a second time");
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("oracle/digits.txt");
    if std::env::var_os("UPDATE_DIGITS").is_some() {
        std::fs::write(&file, &one).expect("a file that can be written");
    }
    assert_eq!(std::fs::read_to_string(&file).expect("stored digits"), one);
}
