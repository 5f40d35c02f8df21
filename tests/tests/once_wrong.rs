//! What went wrong once and must not again, through public interfaces.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use strip::file::RecordKind;
use strip::record::{EdgeRecord, Ends, StripRecord};
use strip::{Settings, Strip, Verdict, text};
use support::plain::{coarse, demands, plain};
use support::{changed, sample};

fn message(text: &str) -> Option<String> {
    let record = text::parse::<StripRecord>("strip", text.as_bytes());
    record.and_then(|r| Strip::new(&r, &Settings::default())).err().map(|bad| bad.to_string())
}

#[test]
fn a_date_of_two_lines_is_refused_in_one() {
    let good = sample("bramblewick-flat", RecordKind::Strip);
    let bad =
        message(&changed(&good, "surveyed: \"2026-04-11\"", "surveyed: \"2026\n04\"")).expect("refused");
    assert_eq!(bad.lines().count(), 1, "{bad}");
}

#[test]
fn a_word_of_a_hundred_thousand_letters_is_refused_in_a_line_that_can_be_read() {
    let good = sample("bramblewick-flat", RecordKind::Strip);
    let bad =
        message(&changed(&good, "kind: Rock", &format!("kind: {}", "x".repeat(100_000)))).expect("refused");
    assert!(bad.len() < 1000, "{} letters", bad.len());
}

#[test]
fn a_slide_that_never_stops_even_at_best_rules_every_lane_out() {
    let mut trio = plain();
    trio.aircraft.idle_thrust_n = Ends { low: 6000.0, high: 6000.0 };
    let a = trio.judged(coarse());
    assert_eq!(a.verdict, Verdict::DoesNotFit, "{:?}", a.reasons);
}

#[test]
fn corners_on_one_line_or_given_twice_make_no_outline() {
    let mut line = plain().strip;
    line.outline.corners.truncate(3);
    line.outline.edges.truncate(3);
    for (i, c) in line.outline.corners.iter_mut().enumerate() {
        (c.e, c.n) = (10.0 * i as f64, 0.0);
    }
    assert!(Strip::new(&line, &coarse()).is_err(), "a field without area");
    let mut twice = plain().strip;
    twice.outline.corners.insert(1, twice.outline.corners[0]);
    twice.outline.edges.insert(1, EdgeRecord::Open);
    assert!(Strip::new(&twice, &coarse()).is_err(), "a corner twice");
}

#[test]
fn a_tail_wind_measured_low_is_stronger_at_the_wing() {
    let at = |height: f64| {
        let mut trio = plain();
        (trio.day.wind.mean_mps, trio.day.wind.gust_mps, trio.day.wind.at_height_m) = (4.0, 4.0, height);
        demands(&trio.judged(coarse())).into_iter().fold(0.0, f64::max)
    };
    assert!(at(0.5) > at(2.0), "{} {}", at(0.5), at(2.0));
}

#[test]
fn settings_may_name_their_schema_as_every_record_does() {
    assert!(text::parse::<Settings>("settings", b"(schema: 1, near_margin_m: 12.0)").is_ok());
}
