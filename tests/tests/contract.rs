//! What is written is what the contract says: keys, types, units, words, verdicts, and figures that
//! follow from each other.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use serde_json::{Map, Value};
use strip::{CAUTION, Code, NotJudged, Settings, What};
use support::SAMPLES;
use support::answers::{ROUNDING, answer, close, list, number, said, text};

/// Every object of a tree with the key it stands under.
fn objects<'a>(under: &'a str, value: &'a Value, found: &mut Vec<(&'a str, &'a Map<String, Value>)>) {
    match value {
        Value::Object(map) => {
            found.push((under, map));
            map.iter().for_each(|(key, inner)| objects(key, inner, found));
        }
        Value::Array(inner) => inner.iter().for_each(|one| objects(under, one, found)),
        _ => {}
    }
}

#[derive(Clone, Copy, PartialEq, Debug)]
enum Kind {
    Number,
    Text,
    Truth,
    List,
    Object,
    Point,
}

fn is_kind(value: &Value, kind: Kind) -> bool {
    match kind {
        Kind::Number => value.as_f64().is_some_and(f64::is_finite),
        Kind::Text => value.as_str().is_some_and(|s| !s.is_empty()),
        Kind::Truth => value.is_boolean(),
        Kind::List => value.is_array(),
        Kind::Object => value.is_object(),
        Kind::Point => {
            value.as_array().is_some_and(|p| p.len() == 2 && p.iter().all(|c| is_kind(c, Kind::Number)))
        }
    }
}

#[track_caller]
fn check_keys(of: &Value, kind: Kind, keys: &[&str]) {
    for key in keys {
        assert!(of.get(key).is_some_and(|v| is_kind(v, kind)), "{key} should be a {kind:?} in {of}");
    }
}

#[test]
fn every_key_of_the_contract_is_there_with_its_type() {
    for name in SAMPLES {
        let a = answer("assess", name);
        check_keys(&a, Kind::Number, &["schema"]);
        check_keys(
            &a,
            Kind::Text,
            &["model_version", "input_fingerprint", "caution", "verdict", "strip_id", "strip_name"],
        );
        check_keys(&a, Kind::Truth, &["preview"]);
        check_keys(&a, Kind::List, &["reasons", "missing", "not_judged", "lanes"]);
        check_keys(&a, Kind::Object, &["certificate"]);
        check_keys(&a["certificate"], Kind::Number, &["longest_lane_m", "heading_true_deg", "upper_bound_m"]);
        check_keys(&a, Kind::Object, &["air", "sun", "magnetic"]);
        let air = ["pressure_altitude_m", "density_altitude_m", "density_altitude_least_m", "density_kg_m3"];
        check_keys(&a["air"], Kind::Number, &air);
        check_keys(&a["sun"], Kind::Number, &["azimuth_true_deg", "elevation_deg"]);
        check_keys(&a["magnetic"], Kind::Number, &["declination_deg"]);
        check_keys(&a["magnetic"], Kind::Text, &["model", "valid_from", "valid_until"]);
        assert!(!list(&a, "lanes").is_empty(), "{name}");
        for lane in list(&a, "lanes") {
            check_keys(lane, Kind::Text, &["id", "verdict", "far_end_at"]);
            check_keys(lane, Kind::Point, &["near_end", "far_end"]);
            check_keys(lane, Kind::Truth, &["stops"]);
            check_keys(lane, Kind::List, &["reasons", "hazards", "patches"]);
            check_keys(
                lane,
                Kind::Number,
                &[
                    "heading_true_deg",
                    "heading_magnetic_deg",
                    "length_m",
                    "earliest_touchdown_m",
                    "end_margin_at_m",
                    "usable_slide_m",
                ],
            );
            check_keys(
                lane,
                Kind::Number,
                &["aim_m", "scatter_m", "headwind_mps", "crosswind_mps", "sun_off_heading_deg"],
            );
            let worked = ["demand_m", "latest_touchdown_m", "spare_m"];
            if lane["stops"] == true {
                check_keys(lane, Kind::Number, &worked);
            } else {
                assert!(worked.iter().all(|key| lane.get(key).is_none()), "{lane}");
            }
            for hazard in list(lane, "hazards") {
                check_keys(hazard, Kind::Text, &["id"]);
                check_keys(hazard, Kind::Number, &["offset_m"]);
                check_keys(hazard, Kind::Truth, &["conflict"]);
            }
        }
    }
}

#[test]
fn nothing_is_null_and_every_number_says_its_unit() {
    const UNITS: [&str; 7] = ["_m", "_mps", "_deg", "_kg", "_n", "_kg_m3", "_s"];
    // Numbers without a unit, and those of a reason, whose unit is a key of its own.
    const PURE: [&str; 23] = [
        "climb_slope",
        "corridor_splay",
        "schema",
        "value",
        "limit",
        "friction",
        "slope",
        "slope_mean",
        "lift_coefficient",
        "drag_coefficient",
        "lines_tried",
        "bundles_bounded",
        "samples",
        "demand_share",
        "overrun_probability",
        "factor",
        "load_factor",
        "load_factor_least",
        "load_factor_one_float",
        "water_landing_factor",
        "tipping_reserve",
        "tail_reserve",
        "reserve",
    ];
    for name in SAMPLES {
        for verb in ["assess", "lanes"] {
            assert!(!said(verb, name, true).contains("null"), "{verb} {name}");
            let answer = answer(verb, name);
            let mut found = Vec::new();
            objects("", &answer, &mut found);
            for (under, map) in found {
                for (key, _) in map.iter().filter(|(_, v)| v.is_number()) {
                    let known = UNITS.iter().any(|unit| key.ends_with(unit)) || PURE.contains(&key.as_str());
                    assert!(known, "{key} under {under} says no unit");
                }
                let has = |key: &str| map.contains_key(key);
                assert_eq!(has("value"), has("unit"), "{map:?}");
                // A note may tell a figure that is held against nothing.
                assert_eq!(has("limit"), has("unit") && under == "reasons" && has("verdict"), "{map:?}");
            }
        }
    }
}

#[test]
fn chances_are_in_order_and_none_is_told_as_nothing() {
    for name in SAMPLES {
        let answer = answer("assess", name);
        assert!((number(&answer, "samples") - 4096.0).abs() < 0.5, "{name}");
        assert_eq!(answer["preview"], false);
        for lane in list(&answer, "lanes") {
            let of = |keys: [&str; 3]| keys.map(|key| lane[key].as_f64().unwrap_or(f64::INFINITY));
            for [low, middle, high] in [
                of(["demand_p50_m", "demand_p95_m", "demand_p99_m"]),
                of(["stop_p05_m", "stop_p50_m", "stop_p95_m"]),
            ] {
                assert!(low <= middle && middle <= high, "{name}: {low} {middle} {high}");
            }
            let chance = number(lane, "overrun_probability");
            assert!((0.001..=1.0).contains(&chance), "{name}: {chance}");
            let share = number(lane, "demand_share");
            assert!((share - 0.95).abs() < 1e-9 || (share - 0.99).abs() < 1e-9, "{name}: {share}");
        }
    }
}

#[test]
fn every_word_comes_from_the_tables() {
    let codes: Vec<&str> = Code::ALL.iter().map(|c| c.word()).collect();
    let whats: Vec<&str> = What::ALL.iter().map(|w| w.word()).collect();
    // Every sample's aircraft says how it climbs.
    let not_judged = NotJudged::ALL.iter().filter(|&&n| n != NotJudged::Abandoning);
    let not_judged: Vec<&str> = not_judged.map(|n| n.word()).collect();
    let verdicts = ["fits", "tight", "unknown", "does_not_fit"];
    for name in SAMPLES {
        let a = answer("assess", name);
        let reasons = list(&a, "lanes").iter().chain([&a]).flat_map(|of| list(of, "reasons"));
        for reason in reasons {
            assert!(codes.contains(&text(reason, "code")), "{reason}");
            assert!(
                reason.get("verdict").is_none_or(|v| verdicts.contains(&v.as_str().expect("a word"))),
                "{reason}"
            );
            assert!(!text(reason, "text").is_empty());
        }
        for missing in list(&a, "missing") {
            let what = What::ALL.iter().find(|w| w.word() == text(missing, "what"));
            assert_eq!(what.map(|w| w.help()), Some(text(missing, "how")), "{missing}");
            assert!(whats.contains(&text(missing, "what")) && missing["decides"].is_boolean(), "{missing}");
        }
        let named: Vec<&str> = list(&a, "not_judged").iter().map(|n| text(n, "what")).collect();
        assert_eq!(named, not_judged, "{name}");
    }
}

#[test]
fn the_figures_of_a_lane_follow_from_each_other() {
    for name in SAMPLES {
        for lane in list(&answer("assess", name), "lanes") {
            let n = |key: &str| number(lane, key);
            close(n("usable_slide_m"), n("end_margin_at_m") - n("earliest_touchdown_m"));
            assert!(n("earliest_touchdown_m") >= Settings::default().near_margin_m - ROUNDING);
            for row in list(lane, "clearances") {
                let parts = ["fixed_m", "growth_m", "accuracy_m", "ground_m"].map(|key| number(row, key));
                close(number(row, "required_m"), parts.iter().sum());
                let inside = number(row, "lateral_m") == 0.0 && n("usable_slide_m") > ROUNDING;
                assert!(!inside || number(row, "vertical_m") >= number(row, "required_m") - 1e-6, "{row}");
            }
            assert!(n("length_m") - n("end_margin_at_m") >= Settings::default().end_margin_m - ROUNDING);
            assert!((0.0..=n("scatter_m")).contains(&(n("aim_m") - n("earliest_touchdown_m"))));
            if lane["stops"] == true {
                assert!(n("latest_touchdown_m") <= n("end_margin_at_m") - n("demand_m") + ROUNDING);
                close(n("spare_m"), n("latest_touchdown_m") - n("earliest_touchdown_m") - n("scatter_m"));
                assert!(number(lane, "demand_least_m") <= n("demand_m"));
            }
            let (sin, cos) = n("heading_true_deg").to_radians().sin_cos();
            let end = |key: &str, i: usize| lane[key][i].as_f64().expect("a coordinate");
            close(end("far_end", 0), end("near_end", 0) + n("length_m") * sin);
            close(end("far_end", 1), end("near_end", 1) + n("length_m") * cos);
            assert!(
                list(lane, "hazards").iter().all(|h| h["conflict"] == false),
                "a lane through a hazard: {lane}"
            );
        }
    }
}

fn worst(reasons: &[Value]) -> &str {
    const PRECEDENCE: [&str; 4] = ["does_not_fit", "unknown", "tight", "fits"];
    let given = |verdict: &str| reasons.iter().any(|r| r["verdict"] == verdict);
    PRECEDENCE.into_iter().find(|verdict| given(verdict)).unwrap_or("fits")
}

#[test]
fn a_verdict_is_the_worst_of_its_reasons_and_the_best_lane_speaks_for_the_strip() {
    const PREFERENCE: [&str; 4] = ["fits", "tight", "unknown", "does_not_fit"];
    let rank = |of: &Value| PREFERENCE.iter().position(|v| of["verdict"] == **v).expect("a verdict");
    for name in SAMPLES {
        let a = answer("assess", name);
        assert_eq!(text(&a, "verdict"), worst(list(&a, "reasons")), "{name}");
        let lanes = list(&a, "lanes");
        for (i, lane) in lanes.iter().enumerate() {
            assert_eq!(text(lane, "verdict"), worst(list(lane, "reasons")), "{name}");
            assert_eq!(text(lane, "id"), format!("L{}", i + 1));
            let spare = list(lane, "reasons").iter().find(|r| r["code"] == "spare");
            if let Some(spare) = spare {
                let (value, limit) = (number(spare, "value"), number(spare, "limit"));
                close(value, number(lane, "spare_m"));
                close(limit, 0.15 * number(lane, "demand_m"));
                let allowed = if value < 0.0 {
                    &["unknown", "does_not_fit"][..]
                } else if value < limit {
                    &["tight"]
                } else {
                    &["fits"]
                };
                assert!(allowed.contains(&text(spare, "verdict")), "{spare}");
            }
        }
        assert!(lanes.windows(2).all(|pair| rank(&pair[0]) <= rank(&pair[1])), "{name}: lanes out of order");
        let bound = list(&a, "reasons").iter().any(|r| r["code"] == "length_bound");
        if !bound && lanes[0]["verdict"] != "does_not_fit" {
            assert_eq!(a["verdict"], lanes[0]["verdict"], "{name}");
        }
    }
}

#[test]
fn the_same_files_give_the_same_digits() {
    for name in SAMPLES {
        for verb in ["assess", "lanes"] {
            assert_eq!(said(verb, name, true), said(verb, name, true), "{verb} {name}");
        }
    }
}

#[test]
fn length_by_heading_goes_once_round_in_order() {
    for name in SAMPLES {
        let a = answer("lanes", name);
        let pairs = |key: &str| -> Vec<(f64, f64)> {
            let pair = |p: &Value| (p[0].as_f64().expect("degrees"), p[1].as_f64().expect("metres"));
            list(&a, key).iter().map(pair).collect()
        };
        let (found, bound) = (pairs("length_by_heading"), pairs("upper_bound_by_heading"));
        assert_eq!((found.len(), bound.len()), (192, 192), "{name}");
        let certificate = &a["certificate"];
        for (i, ((degrees, length), (same, most))) in found.iter().zip(&bound).enumerate() {
            close(*degrees, (i as f64 + 0.5) * 1.875);
            close(*degrees, *same);
            let over_all = number(certificate, "upper_bound_m");
            assert!(length <= most && *most <= over_all + ROUNDING, "{name}: {length} {most} {over_all}");
            // Without a half-width that grows, a lane is as long either way, as far as it was looked for.
            assert!(
                (length - found[(i + 96) % 192].1).abs() <= 10.0 + ROUNDING,
                "{name} {i} {length} {}",
                found[(i + 96) % 192].1
            );
        }
        let longest = found.iter().map(|(_, length)| *length).fold(0.0, f64::max);
        assert!(longest > 0.0 && longest <= number(certificate, "longest_lane_m") + ROUNDING, "{name}");
        assert!(number(certificate, "longest_lane_m") <= number(certificate, "upper_bound_m"), "{name}");
        assert_eq!(a["certificate"], answer("assess", name)["certificate"]);
        for (lane, judged) in list(&a, "lanes").iter().zip(list(&answer("assess", name), "lanes")) {
            for key in
                ["id", "heading_true_deg", "near_end", "far_end", "length_m", "usable_slide_m", "far_end_at"]
            {
                assert_eq!(lane[key], judged[key], "{name} {key}");
            }
        }
    }
}

#[test]
fn the_caution_stands_on_every_answer() {
    assert!(CAUTION.contains("planning aid") && CAUTION.contains("landowner"));
    for name in SAMPLES {
        for verb in ["assess", "lanes"] {
            assert_eq!(text(&answer(verb, name), "caution"), CAUTION);
            assert!(said(verb, name, false).contains(CAUTION), "{verb} {name}");
        }
    }
}
