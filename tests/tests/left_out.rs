//! What a strip's record holds and cannot be true of the field is left out with one message, and the rest
//! stands; what is no number or misspelt stops the whole; and what is new in a record leaves files
//! already written as they are.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use serde::Serialize;
use serde::de::DeserializeOwned;
use slide::{Sledge, Wetness};
use strip::file::RecordKind;
use strip::record::{
    AircraftRecord, BreaklineRecord, DayRecord, DragTestRecord, EngineRecord, GrassRecord, LevelRecord,
    LimitsRecord, PatchRecord, RecoveryRecord, SideRecord, StripRecord,
};
use strip::{Aircraft, AssessedLane, BadRecord, Code, Day, DragTestTaken, Settings, Strip, Verdict, text};
use support::plain::{coarse, plain};
use support::{SAMPLES, Trio, changed, sample};

const FLAT: &str = "bramblewick-flat";

fn valid(record: &StripRecord) -> Result<Strip, BadRecord> {
    Strip::new(record, &Settings::default())
}

/// The flat after a change, which leaves out what these messages say.
#[track_caller]
fn check_left_out(change: impl FnOnce(&mut StripRecord), messages: &[&str]) -> Strip {
    let mut record = Trio::sample(FLAT).strip;
    change(&mut record);
    let strip = valid(&record).expect("the rest stands");
    assert_eq!(strip.left_out.iter().map(ToString::to_string).collect::<Vec<_>>(), messages);
    strip
}

#[track_caller]
fn check_stops(change: impl FnOnce(&mut StripRecord), message: &str) {
    let mut record = Trio::sample(FLAT).strip;
    change(&mut record);
    assert_eq!(valid(&record).expect_err("a record that cannot be used").to_string(), message);
}

fn test_of(pulls: &[f64]) -> DragTestRecord {
    DragTestRecord {
        id: Some("d1".into()),
        on: "2026-04-30".into(),
        by: "A. Nonesuch".into(),
        grass: GrassRecord::Dry,
        weight_n: Some(250.0),
        weight_kg: None,
        pulls_n: pulls.to_vec(),
        hitch_deg: 0.0,
        slope: 0.0,
        loaded: false,
        patch: None,
    }
}

fn patch(id: &str, east: f64) -> PatchRecord {
    PatchRecord {
        id: id.into(),
        area: vec![(east, 60.0), (east + 40.0, 60.0), (east + 40.0, 90.0), (east, 90.0)],
        cover: None,
        always_wet: true,
        strength: None,
    }
}

#[test]
fn a_good_pull_test_stays_and_is_reduced_for_the_day() {
    let one = DragTestRecord { weight_n: None, weight_kg: Some(25.0), ..test_of(&[95.0, 98.0, 101.0]) };
    let patched = DragTestRecord {
        id: None,
        loaded: true,
        hitch_deg: 20.0,
        patch: Some("p1".into()),
        grass: GrassRecord::Dew,
        ..test_of(&[60.0])
    };
    let change = |r: &mut StripRecord| {
        r.patches.push(patch("p1", 200.0));
        r.drag_tests = vec![one, patched];
    };
    let strip = check_left_out(change, &[]);
    let [first, second] = &strip.drag_tests[..] else { panic!("{:?}", strip.drag_tests) };
    let DragTestTaken { id, on, wetness, patch, pulls, sledge } = second;
    assert_eq!((id.as_deref(), patch.as_deref(), pulls.len()), (None, Some("p1"), 1));
    assert_eq!((*wetness, *sledge), (Wetness::Dew, Sledge::Loaded));
    let settings = Settings::default();
    let on_the_day = first.reduced(&settings, *on).expect("a test").belief;
    // Geometric mean of the pulls over 25 kg of standard gravity.
    let by_hand = (95.0 * 98.0 * 101.0_f64).cbrt() / (25.0 * 9.806_65);
    assert!((on_the_day.median - by_hand).abs() < 1e-12);
    let later = first.reduced(&settings, "2026-05-02".parse().expect("a date")).expect("a test").belief;
    // 0.20 from day to day on top.
    let days = later.spread_below.powi(2) - on_the_day.spread_below.powi(2);
    assert!((days - 0.04).abs() < 1e-12, "{days}");
}

#[test]
fn a_pull_test_that_shows_nothing_is_left_out() {
    let with = |test: DragTestRecord| move |r: &mut StripRecord| r.drag_tests = vec![test, good()];
    let good_one_stays = |test, message: &str| {
        let strip = check_left_out(with(test), &[message]);
        assert_eq!(strip.drag_tests.len(), 1);
        assert_eq!(strip.drag_tests[0].id.as_deref(), Some("good"));
    };
    good_one_stays(
        DragTestRecord { weight_n: None, ..test_of(&[95.0]) },
        "drag_tests[1] (d1): found no weight, expected weight_n or weight_kg of the loaded sledge",
    );
    good_one_stays(
        DragTestRecord { weight_kg: Some(25.0), ..test_of(&[95.0]) },
        "drag_tests[1] (d1): found both weight_n and weight_kg, expected one of them",
    );
    good_one_stays(
        DragTestRecord { weight_n: Some(0.0), ..test_of(&[95.0]) },
        "drag_tests[1] (d1).weight_n: found 0, expected more than 0",
    );
    good_one_stays(
        test_of(&[95.0, 0.0]),
        "drag_tests[1] (d1).pulls_n[2]: found a pull of 0 N, expected more than 0",
    );
    good_one_stays(
        DragTestRecord { id: None, ..test_of(&[1750.0]) },
        "drag_tests[1].pulls_n[1]: found a friction of 7.000, expected from 0.02 to 1.5",
    );
    good_one_stays(test_of(&[]), "drag_tests[1] (d1).pulls_n: found no pulls, expected at least one");
    good_one_stays(
        DragTestRecord { hitch_deg: 80.0, ..test_of(&[95.0]) },
        "drag_tests[1] (d1).pulls_n[1]: found a rope 80 degrees above the horizontal, expected from -60 to 60",
    );
    good_one_stays(
        DragTestRecord { slope: 2.0, ..test_of(&[95.0]) },
        "drag_tests[1] (d1).pulls_n[1]: found a slope of 2, expected from -0.5 to 0.5",
    );
    good_one_stays(
        DragTestRecord { patch: Some("p9".into()), ..test_of(&[95.0]) },
        "drag_tests[1] (d1).patch: found \"p9\", expected the mark of a patch that lies on the field",
    );
}

fn good() -> DragTestRecord {
    DragTestRecord { id: Some("good".into()), ..test_of(&[95.0, 97.0]) }
}

#[test]
fn a_patch_wholly_outside_is_left_out_with_what_was_pulled_on_it() {
    let on_it = DragTestRecord { patch: Some("far".into()), ..test_of(&[95.0]) };
    let strip = check_left_out(
        |r| {
            r.patches = [("far", 900.0), ("in", 200.0), ("edge", 455.0), ("near", 470.0), ("off", 472.0)]
                .map(|(id, east)| patch(id, east))
                .to_vec();
            r.drag_tests = vec![on_it, good()];
        },
        &[
            "patches[1] (far).area: found an area wholly outside the outline, expected one that lies on the field",
            "patches[5] (off).area: found an area wholly outside the outline, expected one that lies on the field",
            "drag_tests[1] (d1).patch: found \"far\", expected the mark of a patch that lies on the field",
        ],
    );
    // The outline's east side is at 468.1 m there; a taped place some 496 m away is within 2.45 x 0.2 % of
    // that, 2.4 m: 470 m east may be on the field, 472 m is not.
    let kept: Vec<&str> = strip.patches.iter().map(|p| p.id.as_str()).collect();
    assert_eq!(kept, ["in", "edge", "near"]);
}

#[test]
fn levels_on_one_line_are_told_and_their_steepness_is_not_forgotten() {
    let level = |e: f64, n: f64, z: f64| LevelRecord { e, n, z, sigma_m: 0.02 };
    let strip = check_left_out(
        |r| r.levels = vec![level(20.0, 20.0, 0.0), level(120.0, 30.0, 9.0), level(220.0, 40.0, 18.0)],
        &["levels: found all levels on one line, expected some to either side of it"],
    );
    assert_eq!(strip.levels.len(), 3);
    check_left_out(
        |r| r.levels = vec![level(20.0, 20.0, 0.0), level(120.0, 30.0, 9.0)],
        &["levels: found 2 levels, expected at least 3"],
    );
    check_left_out(|r| r.levels.clear(), &[]);
}

#[test]
fn a_breakline_of_one_point_is_left_out_and_longer_ones_stay() {
    let line = |points: &[(f64, f64, f64)]| BreaklineRecord { points: points.to_vec(), sigma_m: 0.05 };
    let strip = check_left_out(
        |r| r.breaklines = vec![line(&[(20.0, 30.0, 0.1)]), line(&[(20.0, 30.0, 0.1), (80.0, 35.0, 0.4)])],
        &["breaklines[1].points: found 1 points, expected at least 2"],
    );
    assert_eq!(strip.breaklines.len(), 1);
    let points = strip.breaklines[0].points();
    assert!((points[1].height.to_m() - 0.4).abs() < 1e-12 && (points[1].sigma.to_m() - 0.05).abs() < 1e-12);
}

#[test]
fn the_rest_is_judged_as_if_what_is_left_out_were_not_there() {
    let own = plain().judged(coarse());
    let mut trio = plain();
    trio.strip.patches = vec![patch("far", 5000.0)];
    trio.strip.drag_tests = vec![test_of(&[0.0]), DragTestRecord { weight_n: None, ..good() }];
    trio.strip.breaklines = vec![BreaklineRecord { points: vec![(1.0, 1.0, 0.0)], sigma_m: 0.1 }];
    let judged = trio.judged(coarse());
    assert_eq!(trio.inputs(coarse()).strip.left_out.len(), 4);
    // All figures are the same, and what was left out is said and lets it be no better than unknown.
    let bare = |mut lane: AssessedLane| {
        lane.reasons.retain(|r| r.code != Code::LeftOut);
        AssessedLane { verdict: Verdict::Fits, ..lane }
    };
    let said = judged.reasons.iter().filter(|r| r.code == Code::LeftOut).count();
    assert_eq!((own.verdict, judged.verdict, said), (Verdict::Fits, Verdict::Unknown, 4));
    let [with, without] = [judged.lanes, own.lanes].map(|l| l.into_iter().map(bare).collect::<Vec<_>>());
    assert_eq!(with, without);
}

#[test]
fn what_is_no_number_in_the_new_fields_stops_the_whole() {
    let nan = f64::NAN;
    let tests = |test: DragTestRecord| move |r: &mut StripRecord| r.drag_tests = vec![test];
    check_stops(tests(test_of(&[95.0, nan])), "drag_tests[1] (d1).pulls_n[2]: found NaN, expected a number");
    check_stops(
        tests(DragTestRecord { weight_n: Some(f64::INFINITY), ..test_of(&[95.0]) }),
        "drag_tests[1] (d1).weight_n: found inf, expected a number",
    );
    check_stops(
        tests(DragTestRecord { weight_n: None, weight_kg: Some(nan), ..test_of(&[95.0]) }),
        "drag_tests[1] (d1).weight_kg: found NaN, expected a number",
    );
    check_stops(
        tests(DragTestRecord { hitch_deg: nan, ..test_of(&[95.0]) }),
        "drag_tests[1] (d1).hitch_deg: found NaN, expected a number",
    );
    check_stops(
        tests(DragTestRecord { slope: -f64::INFINITY, ..test_of(&[95.0]) }),
        "drag_tests[1] (d1).slope: found -inf, expected a number",
    );
    check_stops(
        tests(DragTestRecord { on: "30.4.2026".into(), ..test_of(&[95.0]) }),
        "drag_tests[1] (d1).on: found \"30.4.2026\", expected a date such as \"2026-04-02\"",
    );
    check_stops(
        tests(DragTestRecord { id: Some("r1".into()), ..test_of(&[95.0]) }),
        "drag_tests[1].id: found \"r1\" again, expected a mark that nothing else in the strip has",
    );
    check_stops(
        |r| r.breaklines = vec![BreaklineRecord { points: vec![(0.0, 0.0, nan); 2], sigma_m: 0.1 }],
        "breaklines[1].points[1] height: found NaN, expected a number from -1000 to 1000 m",
    );
    check_stops(
        |r| r.breaklines = vec![BreaklineRecord { points: vec![(0.0, 0.0, 0.0); 2], sigma_m: nan }],
        "breaklines[1].sigma_m: found NaN, expected a number from 0 to 100 m",
    );
    let slid = |airspeed, headwind| {
        move |r: &mut StripRecord| r.recoveries = vec![recovery(Some(airspeed), Some(headwind))]
    };
    check_stops(
        slid(0.0, 1.0),
        "recoveries[1].touchdown_airspeed_mps: found 0, expected a number above 0, at most 100 m/s",
    );
    check_stops(
        slid(22.0, nan),
        "recoveries[1].headwind_mps: found NaN, expected a number from -60 to 60 m/s",
    );
}

fn recovery(touchdown_airspeed_mps: Option<f64>, headwind_mps: Option<f64>) -> RecoveryRecord {
    RecoveryRecord {
        on: "2025-05-01".into(),
        aircraft: "wren-f".into(),
        mass_kg: 500.0,
        grass: GrassRecord::Wet,
        touchdown: (100.0, 60.0),
        stopped: (160.0, 140.0),
        stopped_by: Some("the hedge".into()),
        touchdown_airspeed_mps,
        headwind_mps,
    }
}

#[test]
fn a_recovery_keeps_all_that_it_was_given() {
    let strip = check_left_out(|r| r.recoveries = vec![recovery(Some(22.0), Some(-1.5))], &[]);
    let one = &strip.recoveries[0];
    // A 3-4-5 triangle of 60 and 80 m.
    assert!((one.length().to_m() - 100.0).abs() < 1e-12);
    assert_eq!(strip.longest_recovery, Some(one.length()));
    assert_eq!((one.wetness, one.stopped_by.as_deref()), (Wetness::Wet, Some("the hedge")));
    assert_eq!(one.airspeed.map(measure::AirSpeed::to_mps), Some(22.0));
    assert_eq!(one.headwind.map(measure::Headwind::to_mps), Some(-1.5));
}

#[test]
fn a_keel_has_a_length_from_0_3_to_15_m_or_none() {
    let keel = |length_m| {
        let mut record = Trio::sample(FLAT).aircraft;
        record.keels.length_m = length_m;
        Aircraft::new(&record).map(|a| a.keel_length.map(measure::Metres::to_m))
    };
    assert_eq!(keel(None).expect("valid"), None);
    assert_eq!(keel(Some(4.2)).expect("valid"), Some(4.2));
    for (bad, shown) in [(0.2, "0.2"), (16.0, "16"), (f64::NAN, "NaN"), (f64::INFINITY, "inf")] {
        let message = format!("keels.length_m: found {shown}, expected a number from 0.3 to 15 m");
        assert_eq!(keel(Some(bad)).expect_err("no keel").to_string(), message);
    }
}

#[test]
fn an_engine_idles_unless_the_day_says_that_it_is_stopped() {
    let own = sample(FLAT, RecordKind::Day);
    let stopped = |text: &str| {
        let record: DayRecord = text::parse("day", text.as_bytes()).expect("a day");
        Day::new(&record).expect("valid").engine_stopped
    };
    assert!(!stopped(&own));
    assert!(!stopped(&changed(&own, "grass: Dry", "engine: Idling, grass: Dry")));
    assert!(stopped(&changed(&own, "grass: Dry", "engine: Stopped, grass: Dry")));
    let misspelt = changed(&own, "grass: Dry", "engine: Off, grass: Dry");
    let bad = text::parse::<DayRecord>("day", misspelt.as_bytes()).expect_err("a misspelt word").to_string();
    assert!(bad.contains("found unknown word \"Off\", expected one of: Idling, Stopped"), "{bad}");
}

#[test]
fn a_misspelt_field_of_a_drag_test_is_refused_with_its_line() {
    let own = sample(FLAT, RecordKind::Strip);
    let test = "drag_tests: [(on: \"2026-04-30\", by: \"A. Nonesuch\", grass: Dry, wieght_n: 250.0, pulls_n: [95.0])],\n cover: ShortGrass";
    let text = changed(&own, "cover: ShortGrass", test);
    let bad = text::parse::<StripRecord>("strip", text.as_bytes()).expect_err("a misspelt field").to_string();
    assert!(bad.starts_with("line 20, column ") && bad.contains("unknown field \"wieght_n\""), "{bad}");
}

/// Written, read and written again: the same record and the same bytes, which are given back.
#[track_caller]
fn check_round_trip<T>(kind: RecordKind, record: &T) -> String
where
    T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug,
{
    let first = text::write(record).expect("text");
    let read: T = text::parse(kind.name(), first.as_bytes()).expect("what was written can be read");
    assert_eq!(read, *record);
    assert_eq!(text::write(&read).expect("text"), first);
    first
}

#[test]
fn records_with_all_that_is_new_come_back_byte_for_byte() {
    let mut trio = Trio::sample(FLAT);
    trio.strip.patches.push(patch("p1", 200.0));
    trio.strip.drag_tests = vec![
        test_of(&[95.0, 0.1, 1e-7]),
        DragTestRecord {
            id: None,
            weight_n: None,
            weight_kg: Some(25.5),
            hitch_deg: -3.5,
            slope: 0.02,
            loaded: true,
            patch: Some("p1".into()),
            ..test_of(&[])
        },
    ];
    trio.strip.breaklines =
        vec![BreaklineRecord { points: vec![(1.0, 2.0, -0.25), (3.0, 4.5, 1e-3)], sigma_m: 0.02 }];
    trio.strip.recoveries = vec![recovery(Some(21.5), None), recovery(None, Some(-0.5))];
    trio.aircraft.keels.length_m = Some(4.25);
    let side = trio.aircraft.side.expect("it from the side");
    let bare = SideRecord {
        nose_down_moment_m3: None,
        side_area_m2: None,
        side_area_behind_m: None,
        rudder_holds_to_mps: None,
        yaw_radius_m: None,
        ..side
    };
    trio.day.engine = EngineRecord::Stopped;
    let written = check_round_trip(RecordKind::Strip, &trio.strip);
    for field in ["drag_tests", "breaklines", "touchdown_airspeed_mps", "headwind_mps", "loaded: true"] {
        assert!(written.contains(field), "{field}");
    }
    let written = check_round_trip(RecordKind::Aircraft, &trio.aircraft);
    let optional =
        ["nose_down_moment_m3", "side_area_m2", "side_area_behind_m", "rudder_holds_to_mps", "yaw_radius_m"];
    for field in ["length_m: 4.25", "load_factor: 4.5", "given_by"].into_iter().chain(optional) {
        assert!(written.contains(field), "{field}");
    }
    trio.aircraft.side = Some(bare);
    let written = check_round_trip(RecordKind::Aircraft, &trio.aircraft);
    assert!(written.contains(" side:") && !optional.iter().any(|field| written.contains(field)), "{written}");
    assert!(check_round_trip(RecordKind::Day, &trio.day).contains("engine: Stopped"));
}

#[test]
fn what_was_not_given_is_not_written() {
    for name in SAMPLES {
        let mut trio = Trio::sample(name);
        (trio.aircraft.keels.length_m, trio.aircraft.side, trio.aircraft.limits) =
            (None, None, LimitsRecord::default());
        trio.aircraft.give_mm = None;
        let strip = check_round_trip(RecordKind::Strip, &trio.strip);
        let aircraft = check_round_trip::<AircraftRecord>(RecordKind::Aircraft, &trio.aircraft);
        let day = check_round_trip(RecordKind::Day, &trio.day);
        let new = ["drag_tests", "breaklines", "touchdown_airspeed", "headwind_mps", " length_m", "engine"];
        for new in new.into_iter().chain([" side:", "load_factor", "given_by", "give_mm"]) {
            assert!(![&strip, &aircraft, &day].iter().any(|text| text.contains(new)), "{name}: {new}");
        }
    }
}
