//! What went wrong once and must not again, through public interfaces.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use strip::file::RecordKind;
use strip::record::{BreaklineRecord, EdgeRecord, Ends, LevelRecord, StripRecord};
use strip::{Settings, Strip, Verdict, text};
use support::plain::{coarse, demands, northward, plain};
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

/// Verdict of the plain trio after a change; it fits without one.
fn verdict_after(change: impl FnOnce(&mut support::Trio)) -> Verdict {
    let mut trio = plain();
    assert_eq!(trio.judged(coarse()).verdict, Verdict::Fits);
    change(&mut trio);
    trio.judged(coarse()).verdict
}

fn longest_demand(trio: &support::Trio) -> f64 {
    demands(&trio.judged(coarse())).into_iter().fold(0.0, f64::max)
}

#[test]
fn levels_far_from_the_lane_or_not_looked_at_are_no_better_than_none() {
    let mut none = plain();
    none.strip.levels.clear();
    let worst = longest_demand(&none);
    let mut far = plain();
    for level in &mut far.strip.levels {
        (level.e, level.n) = (level.e + 2000.0, level.n + 2000.0);
    }
    let mut unlooked = plain();
    unlooked.strip.survey.levels = strip::record::SurveyedRecord::NotLooked;
    for (name, trio) in [("far", far), ("not looked at", unlooked)] {
        assert!(longest_demand(&trio) >= worst - 1e-9, "{name}: {} under {worst}", longest_demand(&trio));
    }
}

#[test]
fn a_steep_line_of_levels_is_not_forgotten_because_it_is_a_line() {
    let mut none = plain();
    none.strip.levels.clear();
    let mut steep = plain();
    for (i, level) in steep.strip.levels.iter_mut().enumerate() {
        (level.e, level.n, level.z) = (30.0, 100.0 * i as f64, 10.0 * i as f64);
    }
    assert!(longest_demand(&steep) > longest_demand(&none) * 1.2);
}

/// Once a hill 4 km off made every slope of a flat field steep, and a cluster of levels far off made all of them a line.
#[test]
fn levels_of_other_ground_do_not_make_a_field_steeper() {
    let mut flat = plain();
    let level = |e: f64, n: f64, z: f64| LevelRecord { e, n, z, sigma_m: 0.02 };
    let across = |n: f64| [0.0, 30.0, 60.0].map(|e| level(e, n, 0.0));
    flat.strip.levels = [0.0, 300.0, 600.0].map(across).concat();
    let known = longest_demand(&flat);
    let hill = vec![level(4000.0, 300.0, 100.0)];
    let cluster = (0..60).map(|i| level(-3000.0 + f64::from(i), 300.0 + f64::from(i % 7), 0.0)).collect();
    for (name, more) in [("hill", hill), ("cluster", cluster)] {
        let mut with: support::Trio = flat.clone();
        with.strip.levels.extend::<Vec<LevelRecord>>(more);
        let judged = with.judged(coarse());
        assert!((longest_demand(&with) - known).abs() < 0.1, "{name}: {} not {known}", longest_demand(&with));
        assert!(
            judged.reasons.iter().all(|r| r.code != strip::Code::LeftOut),
            "{name}: {:?}",
            judged.reasons
        );
    }
}

/// Once a hill beyond a field carried facets over ground that nobody levelled, and shortened the slides on it.
#[test]
fn levels_beyond_a_field_never_shorten_slides_where_it_is_not_levelled() {
    let level = |e: f64, n: f64, z: f64| LevelRecord { e, n, z, sigma_m: 0.02 };
    let mut part = plain();
    part.strip.levels = [0.0, 50.0, 100.0].map(|n| [0.0, 60.0].map(|e| level(e, n, 0.0))).concat();
    let without = longest_demand(&part);
    for z in [-15.0, 0.0, 15.0, 60.0] {
        let mut with = part.clone();
        with.strip.levels.extend([0.0, 60.0].map(|e| level(e, 900.0, z)));
        assert!(longest_demand(&with) >= without - 0.1, "{z}: {} of {without}", longest_demand(&with));
    }
}

/// Once a ditch that was levelled right across a field was forgotten, as both its ends lie beyond what is near.
#[test]
fn a_breakline_across_a_field_counts_wherever_its_ends_lie() {
    let uneven = |beyond: f64| {
        let mut trio = plain();
        let level = |e: f64, n: f64| LevelRecord { e, n, z: 0.0, sigma_m: 0.02 };
        let across = |n: f64| [0.0, 30.0, 60.0].map(|e| level(e, n));
        trio.strip.levels = [0.0, 150.0, 300.0, 450.0, 600.0].map(across).concat();
        let line = |n: f64, z: f64| BreaklineRecord {
            points: [-beyond, 60.0 + beyond].map(|e| (e, n, z)).to_vec(),
            sigma_m: 0.02,
        };
        trio.strip.levels.retain(|l| l.n < 290.0 || l.n > 310.0);
        trio.strip.breaklines = vec![line(298.0, 0.0), line(300.5, -0.6), line(303.0, 0.0)];
        let line = northward(&trio, coarse());
        line.reasons.iter().any(|r| r.code == strip::Code::KeelGround && r.verdict != Some(Verdict::Fits))
    };
    assert!(uneven(10.0));
    assert!(uneven(80.0));
}

#[test]
fn a_gale_is_unknown_and_changed_settings_are_named() {
    assert_eq!(
        verdict_after(|t| (t.day.wind.mean_mps, t.day.wind.gust_mps) = (40.0, 40.0)),
        Verdict::Unknown
    );
    let a = plain().judged(Settings { near_margin_m: 0.0, ..coarse() });
    let note = a.reasons.iter().find(|r| r.code == strip::Code::SettingsChanged).expect("a note");
    assert!(note.text.contains("near_margin_m = 0 (default 10)"), "{}", note.text);
}

#[test]
fn a_building_on_the_field_is_not_slid_through() {
    let mut trio = plain();
    let before = trio.judged(coarse()).lanes[0].length_m;
    trio.strip.obstacles.push(strip::record::ObstacleRecord {
        id: "b1".to_owned(),
        kind: strip::record::ObstacleKindRecord::Building,
        at: strip::record::PlaceRecord::Point(30.0, 300.0),
        height_m: Some(9.0),
        top_m: None,
        heights_m: Vec::new(),
        sag_m: None,
        how: None,
        radius_m: 30.0,
        pos_sigma_m: Some(0.0),
        height_sigma_m: None,
        surveyed: "2026-04-11".to_owned(),
    });
    let after = trio.judged(coarse());
    assert!(after.lanes[0].length_m < before / 2.0 + 1.0, "{} of {before}", after.lanes[0].length_m);
}

#[test]
fn a_closed_strip_a_future_survey_and_an_old_one_are_unknown() {
    use strip::record::{ReviewRecord, ReviewStatus, SurveyedRecord};
    let word = |status| ReviewRecord { on: "2026-05-01".into(), by: "X".into(), status, note: String::new() };
    for status in [ReviewStatus::Closed, ReviewStatus::NeedsLook] {
        assert_eq!(verdict_after(|t| t.strip.review.push(word(status))), Verdict::Unknown);
    }
    // Once an approval of next year opened a strip that is closed on the day.
    let next_year = |status| ReviewRecord { on: "2027-05-01".into(), ..word(status) };
    let closed_then = |later| verdict_after(|t| t.strip.review.extend([word(ReviewStatus::Closed), later]));
    assert_eq!(closed_then(next_year(ReviewStatus::Approved)), Verdict::Unknown);
    assert_eq!(
        closed_then(ReviewRecord { on: "2026-05-02".into(), ..word(ReviewStatus::Approved) }),
        Verdict::Fits
    );
    assert_eq!(verdict_after(|t| t.strip.review.push(next_year(ReviewStatus::Closed))), Verdict::Unknown);
    for on in ["2030-04-11", "2010-04-11"] {
        let looked = SurveyedRecord::Looked {
            on: on.into(),
            by: "X".into(),
            how: None,
            spacing_m: None,
            grass_m: None,
        };
        assert_eq!(verdict_after(|t| t.strip.survey.wires = looked), Verdict::Unknown, "{on}");
    }
}

#[test]
fn a_hazard_seen_gone_only_after_the_day_is_still_there() {
    use strip::record::{HazardKindRecord, HazardRecord, HazardStateRecord, PlaceRecord};
    let lengths = |on: &str| {
        let mut trio = plain();
        trio.strip.hazards.push(HazardRecord {
            id: "r1".into(),
            kind: HazardKindRecord::Rock,
            at: PlaceRecord::Point(30.0, 300.0),
            radius_m: 30.0,
            height_m: Some(0.5),
            depth_m: None,
            pos_sigma_m: Some(0.0),
            height_sigma_m: Some(0.0),
            state: HazardStateRecord::Removed { on: on.into(), by: "X".into() },
        });
        trio.judged(coarse()).lanes[0].length_m
    };
    assert!(lengths("2036-01-01") < lengths("2026-04-28") / 2.0 + 1.0);
}

#[test]
fn a_stall_speed_that_no_wing_has_is_refused() {
    for mps in [1.0, 10.0, 40.0] {
        let mut trio = plain();
        trio.aircraft.stall = strip::record::StallRecord::Calibrated { mps };
        assert!(strip::Aircraft::new(&trio.aircraft).is_err(), "{mps} m/s");
    }
}

#[test]
fn soft_ground_and_a_longer_slide_on_record_are_unknown() {
    use strip::record::{GrassRecord, PatchRecord, RecoveryRecord, StrengthRecord};
    let patch = PatchRecord {
        id: "p1".into(),
        area: vec![(0.5, 0.5), (59.0, 0.5), (59.0, 599.0), (0.5, 599.0)],
        cover: None,
        always_wet: false,
        strength: Some(StrengthRecord::HeelTest { mm: 500.0, person_kg: None }),
    };
    assert_eq!(verdict_after(|t| t.strip.patches.push(patch)), Verdict::Unknown);
    let slide = RecoveryRecord {
        on: "2025-05-01".into(),
        aircraft: "wren-f".into(),
        mass_kg: 500.0,
        grass: GrassRecord::Dry,
        touchdown: (30.0, 10.0),
        stopped: (30.0, 590.0),
        stopped_by: None,
        touchdown_airspeed_mps: None,
        headwind_mps: None,
    };
    assert_eq!(verdict_after(|t| t.strip.recoveries.push(slide)), Verdict::Unknown);
}

#[test]
fn gusts_out_of_a_calm_lengthen_the_slide_as_much_as_out_of_a_breath() {
    let gusty = |mean: f64| {
        let mut trio = plain();
        (trio.day.wind.mean_mps, trio.day.wind.gust_mps) = (mean, 6.0);
        longest_demand(&trio)
    };
    assert!(gusty(0.0) >= gusty(0.01) - 1e-9, "{} {}", gusty(0.0), gusty(0.01));
}

#[test]
fn without_a_day_nothing_is_said_not_to_fit() {
    let mut inputs = support::read_inputs(&support::sample_path("thimble-croft", RecordKind::Strip));
    assert_eq!(support::judged(&inputs).verdict, Verdict::DoesNotFit);
    inputs.day = None;
    let a = support::judged(&inputs);
    assert_eq!(a.verdict, Verdict::Unknown);
    assert!(a.lanes.iter().all(|l| l.verdict == Verdict::Unknown));
}

#[test]
fn naming_the_cover_promises_no_more_than_it_can_give() {
    let mut trio = plain();
    trio.strip.cover = None;
    let a = trio.judged(coarse());
    let promised =
        a.missing.iter().find(|m| m.what == strip::What::Cover).and_then(|m| m.effect_m).expect("cover");
    let unnamed = a.lanes[0].demand_m.expect("stops");
    let named = [strip::record::CoverRecord::ShortGrass, strip::record::CoverRecord::LongGrass]
        .map(|cover| {
            let mut t = plain();
            t.strip.cover = Some(cover);
            demands(&t.judged(coarse()))[0]
        })
        .into_iter()
        .fold(f64::INFINITY, f64::min);
    assert!((promised - (unnamed - named)).abs() < 1e-6, "{promised} {unnamed} {named}");
}

#[test]
#[cfg(unix)]
fn a_pipe_is_refused_instead_of_waited_for() {
    let folder = tempfile::tempdir().expect("a folder");
    let pipe = folder.path().join("pipe.strip.ron");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status().expect("mkfifo runs");
    assert!(made.success());
    let bad = strip::file::read::<StripRecord>(RecordKind::Strip, &pipe).expect_err("refused");
    assert!(bad.to_string().contains("something that is not a file"), "{bad}");
}

#[test]
fn a_byte_order_mark_is_no_part_of_the_record_and_hidden_letters_are_refused() {
    let good = sample("bramblewick-flat", RecordKind::Strip);
    assert_eq!(message(&format!("\u{feff}{good}")), None);
    let bad = message(&changed(&good, "Bramblewick", "Bramble\u{202e}wick")).expect("refused");
    assert!(bad.starts_with("name: found"), "{bad}");
}
