//! Records that cannot be used: each is refused with its place, what was found and what was expected.
//!
//! What is changed is one passage of a sample, so that nothing but the fault under test is wrong.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use strip::file::RecordKind;
use strip::record::{AircraftRecord, DayRecord, StripRecord};
use strip::{Aircraft, BadRecord, Day, Settings, Strip, text};
use support::{changed, sample};

const FLAT: &str = "bramblewick-flat";
const FIELD: &str = "greywether-long-field";

fn strip_of(bytes: &[u8]) -> Result<Strip, BadRecord> {
    let record: StripRecord = text::parse("strip", bytes)?;
    Strip::new(&record, &Settings::default())
}

fn aircraft_of(bytes: &[u8]) -> Result<Aircraft, BadRecord> {
    let record: AircraftRecord = text::parse("aircraft", bytes)?;
    Aircraft::new(&record)
}

fn day_of(bytes: &[u8]) -> Result<Day, BadRecord> {
    let record: DayRecord = text::parse("day", bytes)?;
    Day::new(&record)
}

fn settings_of(bytes: &[u8]) -> Result<Settings, BadRecord> {
    text::parse::<Settings>("settings", bytes)?.checked()
}

#[track_caller]
fn check_message(outcome: Result<impl std::fmt::Debug, BadRecord>, message: &str) {
    let bad = outcome.expect_err("a record that cannot be used");
    assert_eq!(bad.to_string(), message);
    assert_eq!(bad.in_file("one.ron").to_string(), format!("one.ron: {message}"));
}

#[track_caller]
fn check_strip(sample_name: &str, from: &str, to: &str, message: &str) {
    let text = changed(&sample(sample_name, RecordKind::Strip), from, to);
    check_message(strip_of(text.as_bytes()), message);
}

#[track_caller]
fn check_aircraft(from: &str, to: &str, message: &str) {
    let text = changed(&sample(FLAT, RecordKind::Aircraft), from, to);
    check_message(aircraft_of(text.as_bytes()), message);
}

#[track_caller]
fn check_day(from: &str, to: &str, message: &str) {
    let text = changed(&sample(FLAT, RecordKind::Day), from, to);
    check_message(day_of(text.as_bytes()), message);
}

#[test]
fn a_test_of_the_ground_that_is_none_is_named_by_its_path() {
    let whole = "strength: HeelTest(mm: 5.0, person_kg: 70.0)";
    let cases = [
        ("HeelTest(mm: NaN)", "strength.mm: found NaN, expected a number from 0 to 500 mm"),
        ("HeelTest(mm: 5.0, person_kg: 12.0)", "strength: found a person of 12 kg, expected 40 kg to 150 kg"),
        (
            "Penetrometer(kpa: [900.0])",
            "strength: found 1 penetrometer readings, expected 3 or more at a place",
        ),
        (
            "Penetrometer(kpa: [900.0, -1.0, 900.0])",
            "strength: found penetrometer reading 2 negative or not a number, expected a cone index",
        ),
    ];
    for (bad, message) in cases {
        check_strip(FLAT, whole, &format!("strength: {bad}"), message);
    }
    let path = "patches[1] (p1).strength.mm: found";
    let of_patch = format!("{path} -3, expected a number from 0 to 500 mm");
    check_strip(FIELD, "HeelTest(mm: 22.0, person_kg: 70.0)", "HeelTest(mm: -3.0)", &of_patch);
}

#[test]
fn a_strip_without_a_test_of_the_ground_is_read_and_untested() {
    let text =
        changed(&sample(FLAT, RecordKind::Strip), " strength: HeelTest(mm: 5.0, person_kg: 70.0),\n", "");
    assert_eq!(strip_of(text.as_bytes()).expect("a valid strip").strength, None);
    let tested = strip_of(sample(FLAT, RecordKind::Strip).as_bytes()).expect("a valid strip");
    assert_eq!(tested.strength.map(|s| s.class().name), Some("hard"));
}

#[test]
fn a_number_of_a_strip_that_is_none_or_out_of_range_is_named_by_its_path() {
    let e = "outline.corners[2] easting: found";
    check_strip(FLAT, "e: 470.0", "e: NaN", &format!("{e} NaN, expected a number from -20000 to 20000 m"));
    check_strip(FLAT, "e: 470.0", "e: inf", &format!("{e} inf, expected a number from -20000 to 20000 m"));
    check_strip(FLAT, "e: 470.0", "e: -inf", &format!("{e} -inf, expected a number from -20000 to 20000 m"));
    let r = "hazards[1] (r1).radius_m: found";
    for (bad, shown) in [("0.0", "0"), ("-0.5", "-0.5"), ("NaN", "NaN"), ("inf", "inf")] {
        let message = format!("{r} {shown}, expected a number above 0, at most 500 m");
        check_strip(FLAT, "radius_m: 0.5", &format!("radius_m: {bad}"), &message);
    }
    check_strip(
        FLAT,
        "height_m: 0.25",
        "height_m: -0.25",
        "hazards[1] (r1).height_m: found -0.25, expected a number above 0, at most 100 m",
    );
    check_strip(
        FLAT,
        "lat_deg: 54.2",
        "lat_deg: 94.2",
        "datum.lat_deg: found 94.2, expected a number from -89 to 89 degrees",
    );
    check_strip(FLAT, "z: 0.94", "z: NaN", "levels[6].z: found NaN, expected a number from -1000 to 1000 m");
    check_strip(
        FLAT,
        "Hedge(1.6)",
        "Hedge(inf)",
        "outline.edges[3]: found inf, expected a number above 0, at most 100 m",
    );
    check_strip(
        FLAT,
        "sigma_m: 0.3",
        "sigma_m: -0.3",
        "outline.corners[1].sigma_m: found -0.3, expected a number from 0 to 10000 m",
    );
    check_strip(
        FLAT,
        "height_m: 11.0",
        "height_m: NaN",
        "obstacles[1] (t1).height_m: found NaN, expected a number from 0.1 to 500 m",
    );
}

#[test]
fn two_things_with_one_mark_are_refused_whatever_they_are() {
    let again = |path: &str, id: &str| {
        format!("{path}: found \"{id}\" again, expected a mark that nothing else in the strip has")
    };
    check_strip(FLAT, "id: \"s1\"", "id: \"r1\"", &again("hazards[2].id", "r1"));
    check_strip(FLAT, "id: \"t1\"", "id: \"r1\"", &again("obstacles[1].id", "r1"));
    check_strip(FIELD, "id: \"p1\"", "id: \"h1\"", &again("patches[1].id", "h1"));
    check_strip(FIELD, "id: \"w1\"", "id: \"p1\"", &again("obstacles[1].id", "p1"));
}

#[test]
fn height_and_depth_are_taken_only_where_they_belong() {
    check_strip(
        FIELD,
        "depth_m: 0.4,",
        "height_m: 0.4,",
        "hazards[2] (h1).height_m: found 0.4 for a hole, expected depth_m for what goes into the ground",
    );
    check_strip(
        FLAT,
        "height_m: 0.25",
        "depth_m: 0.25",
        "hazards[1] (r1).depth_m: found 0.25 for a rock, expected height_m for what stands on the ground",
    );
    check_strip(
        FLAT,
        "height_m: 0.25",
        "height_m: 0.25, depth_m: 0.1",
        "hazards[1] (r1): found both height_m and depth_m, expected one of them, or neither if not measured",
    );
}

#[test]
fn an_outline_that_is_no_simple_ring_is_refused() {
    let check = |name: &str, from: &str, to: &str, said: &str| {
        let text = changed(&sample(name, RecordKind::Strip), from, to);
        let bad = strip_of(text.as_bytes()).expect_err("an outline that cannot be used").to_string();
        assert!(bad.starts_with(said), "{bad}");
    };
    // Two corners swapped make a bow tie.
    check(
        FLAT,
        "(e: 470.0, n: 28.0, sigma_m: 0.3), (e: 462.0, n: 160.0, sigma_m: 0.3)",
        "(e: 462.0, n: 160.0, sigma_m: 0.3), (e: 470.0, n: 28.0, sigma_m: 0.3)",
        "outline: found a ring that crosses or touches itself (edges 1 and 3)",
    );
    check(FLAT, "Hedge(1.6), Open]", "Hedge(1.6)]", "outline: found 3 edges for 4 corners");
    check(FLAT, "Hedge(1.6), Open]", "Hedge(1.6), Open, Open]", "outline: found 5 edges for 4 corners");
    check(
        FLAT,
        "islands: []",
        "islands: [(corners: [(e: 900.0, n: 900.0), (e: 910.0, n: 900.0), (e: 900.0, n: 910.0)], edges: [Open, Open, Open])]",
        "outline.islands[1]: found it outside the outline",
    );
    check(
        FLAT,
        "islands: []",
        "islands: [(corners: [(e: 100.0, n: 50.0), (e: 110.0, n: 50.0)], edges: [Open, Open])]",
        "outline.islands[1]: found 2 corners, expected at least 3",
    );
    check(
        FIELD,
        "(e: 150.0, n: 120.0, sigma_m: 0.4)",
        "(e: -150.0, n: 120.0, sigma_m: 0.4)",
        "outline.islands[1]: ",
    );
}

#[test]
fn a_date_that_no_calendar_has_is_refused() {
    for bad in ["2026-4-11", "11.04.2026", "", "soon"] {
        let message = format!("survey.outline.on: found \"{bad}\", expected a date such as \"2026-04-02\"");
        check_strip(FLAT, "on: \"2026-04-11\"", &format!("on: \"{bad}\""), &message);
    }
    let message = "survey.outline.on: found \"2026-02-30\", expected a day that the calendar has";
    check_strip(FLAT, "on: \"2026-04-11\"", "on: \"2026-02-30\"", message);
    let message = "obstacles[1] (t1).surveyed: found \"2026-13-01\", expected a day that the calendar has";
    check_strip(FLAT, "surveyed: \"2026-04-11\"", "surveyed: \"2026-13-01\"", message);
    let message = "review[1].on: found \"2025-02-29\", expected a day that the calendar has";
    check_strip(FLAT, "on: \"2026-04-12\"", "on: \"2025-02-29\"", message);
}

#[test]
fn what_the_reader_cannot_make_out_is_told_as_it_stands() {
    let point = "at: Point(-120.0, 80.0)";
    let (line, at) =
        ("line 24, column ", |found: &str, expected: &str| format!("found {found}, expected {expected}"));
    for (from, to, told) in [
        (point, "at: Point(20.0)", at("one value", "2 values")),
        (
            "kind: Tree, at: Point(-120",
            "kind: \"Tree, tall\", at: Point(-120",
            at("\"Tree, tall\"", "a word"),
        ),
        ("kind: Tree, at: Point(-120", "kind: 5, at: Point(-120", at("5", "a word")),
        ("height_m: 11.0", "height_m: tall", at("tall", "a number")),
        ("height_m: 11.0", "height_m: ,", at("\",\"", "a number")),
    ] {
        let text = changed(&sample(FLAT, RecordKind::Strip), from, to);
        let bad = strip_of(text.as_bytes()).expect_err("refused").to_string();
        assert!(bad.starts_with(line) && bad.ends_with(&told), "{to}: {bad}");
    }
}

#[test]
fn a_time_needs_a_date_that_exists_and_its_offset() {
    for bad in ["2026-05-02T09:30:00", "2026-05-02", "09:30:00+01:00", "noon", ""] {
        let message = format!(
            "time: found \"{bad}\", expected a time with offset such as \"2026-05-02T09:30:00+01:00\""
        );
        check_day("2026-05-02T09:30:00+01:00", bad, &message);
    }
    for bad in ["2026-02-30T09:30:00+01:00", "2025-02-29T09:30:00Z", "2026-13-01"] {
        let message = format!("time: found \"{bad}\", expected a day that the calendar has");
        check_day("2026-05-02T09:30:00+01:00", bad, &message);
    }
    // Zulu is an offset.
    let utc = changed(&sample(FLAT, RecordKind::Day), "+01:00", "Z");
    assert!(day_of(utc.as_bytes()).is_ok());
}

#[test]
fn a_day_with_what_is_no_number_is_refused() {
    check_day("mean_mps: 2.5", "mean_mps: NaN", "wind.mean_mps: found NaN, expected a number");
    check_day("gust_mps: 3.5", "gust_mps: inf", "wind.gust_mps: found inf, expected a number");
    check_day("True(262.0)", "Magnetic(NaN)", "wind.from: found NaN, expected a number");
    check_day("at_height_m: 2.0", "at_height_m: NaN", "wind.at_height_m: found NaN, expected a number");
    check_day("Qnh(101600.0)", "Station(-inf)", "pressure.Station: found -inf, expected a number");
    check_day("humidity: 0.7", "humidity: NaN", "humidity: found NaN, expected a number");
    check_day("temperature_c: 12.0", "temperature_c: inf", "temperature_c: found inf, expected a number");
    check_day(
        "landing_mass_kg: 520.0",
        "landing_mass_kg: inf",
        "landing_mass_kg: found inf, expected a number",
    );
    check_day(
        "on: \"2026-05-02\"",
        "on: \"2026-05-32\"",
        "rewalk.on: found \"2026-05-32\", expected a day that the calendar has",
    );
}

#[test]
fn an_aircraft_with_an_impossible_figure_is_refused() {
    for (field, value) in [("reference_mass_kg", "560.0"), ("empty_mass_kg", "380.0")] {
        for bad in ["0.0", "-1.0", "NaN", "inf"] {
            let shown = bad.trim_end_matches(".0");
            let message = format!("{field}: found {shown}, expected a number above 0, at most 20000 kg");
            check_aircraft(&format!("{field}: {value}"), &format!("{field}: {bad}"), &message);
        }
    }
    check_aircraft(
        "empty_mass_kg: 380.0",
        "empty_mass_kg: 600.0",
        "empty_mass_kg: found 600, expected at most max_landing_mass_kg",
    );
    check_aircraft(
        "Calibrated(mps: 17.0)",
        "Calibrated(mps: 0.0)",
        "stall.mps: found 0, expected a number above 0, at most 100 m/s",
    );
    check_aircraft(
        "Calibrated(mps: 17.0)",
        "Indicated(mps: 17.0, position_error: [(18.0, 18.9), (22.0, 22.6)])",
        "stall.position_error: found a table that does not reach it, expected a table that holds the indicated stall speed between two rows",
    );
    check_aircraft(
        "(low: 0.3, high: 0.6)",
        "(low: 0.6, high: 0.3)",
        "lift_coefficient.low: found 0.6, expected at most lift_coefficient.high, 0.3",
    );
    check_aircraft(
        "wing_area_m2: 13.4",
        "wing_area_m2: 0.0",
        "wing_area_m2: found 0, expected a number above 0, at most 500 m2",
    );
    check_aircraft(
        "from_m: 0.7, to_m: 2.6",
        "from_m: 2.6, to_m: 0.7",
        "parts[3] (wing strut).from_m: found 2.6, expected at most to_m, 0.7",
    );
    check_aircraft(
        "short_m: 15.0",
        "short_m: NaN",
        "scatter.short_m: found NaN, expected a number from 0 to 1000 m",
    );
    check_aircraft(
        "rate_mps: 2.6",
        "rate_mps: 512.0",
        "climb.rate_mps: found 512, expected a number from 0.1 to 15 m/s",
    );
    check_aircraft(
        "airspeed_mps: 27.0",
        "airspeed_mps: 16.5",
        "climb.airspeed_mps: found 16.5, expected more than the stall speed at that mass, 17.0 m/s",
    );
    check_aircraft(
        "mass_kg: 560.0, absolute",
        "mass_kg: 350.0, absolute",
        "climb.mass_kg: found 350, expected at least empty_mass_kg, 380",
    );
    check_aircraft(
        "absolute_ceiling_m: 3600.0",
        "absolute_ceiling_m: 0.0",
        "climb.absolute_ceiling_m: found 0, expected a number from 300 to 11000 m",
    );
    check_aircraft(
        "load_factor: 4.5",
        "load_factor: 0.4",
        "limits.load_factor: found 0.4, expected a number from 1 to 20",
    );
    check_aircraft(
        "given_by: \"owner (invented)\"",
        "given_by: \"\"",
        "limits.given_by: found \"\", expected 1 to 200 characters on one line",
    );
    check_aircraft(
        "cg_behind_m: (low: 1.9, high: 2.2)",
        "cg_behind_m: (low: -1.9, high: 2.2)",
        "side.cg_behind_m.low: found -1.9, expected more than 0: ahead of the flat keel it would stand on its bows",
    );
    check_aircraft(
        "length_m: 2.5",
        "length_m: 2.1",
        "side.cg_behind_m.high: found 2.2, expected at most keels.length_m, 2.1: behind the flat keel it would sit back on its sterns",
    );
}

#[test]
fn a_setting_out_of_its_range_is_named() {
    check_message(
        settings_of(b"(hazard_margin_m: NaN)"),
        "hazard_margin_m: found NaN, expected a number from 0 to 1",
    );
    check_message(
        settings_of(b"(touchdown_factor_low: 1.5)"),
        "touchdown_factor_low: found 1.5, expected at most touchdown_factor_high, 1.3",
    );
    check_message(
        settings_of(b"(search_tolerance_m: 0.0)"),
        "search_tolerance_m: found 0, expected a number from 0.05 to 50",
    );
    for (bad, message) in [
        ("(near_margin_m: \"ten\")", "line 1, column 16: found \"ten\", expected a number"),
        ("(near_margin_m: , end_margin_m: 3.0)", "line 1, column 16: found \",\", expected a number"),
        ("near_margin_m: 3.0", "line 1, column 1: found near_margin_m, expected an opening ("),
        ("(near_margin_m: 3.0))", "line 1, column 21: found \")\", expected the end of the settings record"),
        ("(5: 3.0)", "line 1, column 2: found 5, expected a word"),
        (
            "(near_margin_m: 3,5)",
            "line 1, column 19: found 5, expected a word (a number takes a point, not a comma)",
        ),
    ] {
        check_message(settings_of(bad.as_bytes()), message);
    }
    let known =
        "line 1, column 2: found unknown field \"end_margin\", expected one of: schema, near_margin_m";
    let bad = settings_of(b"(end_margin: 3.0)").expect_err("a misspelt setting").to_string();
    assert!(bad.starts_with(known), "{bad}");
}
