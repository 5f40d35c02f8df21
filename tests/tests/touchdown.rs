//! The touchdown in a whole assessment: worked by hand on the plain strip, what hurts never helps, and what nobody
//! knows is unknown.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use strip::record::{DirectionRecord, Ends, LevelRecord, StallRecord};
use strip::{Assessment, Code, Settings, TouchdownFigures, Verdict, What};
use support::Trio;
use support::plain::{by_hand_settings, plain};

fn judged(change: impl Fn(&mut Trio, &mut Settings)) -> Assessment {
    let (mut trio, mut settings) = (plain(), by_hand_settings());
    change(&mut trio, &mut settings);
    trio.judged(settings)
}

fn figures(change: impl Fn(&mut Trio, &mut Settings)) -> TouchdownFigures {
    judged(change).lanes.first().expect("a lane").touchdown.clone()
}

fn verdict_of(a: &Assessment, code: Code) -> Verdict {
    let reason = a.lanes[0].reasons.iter().find(|r| r.code == code);
    reason.and_then(|r| r.verdict).unwrap_or_else(|| panic!("{code:?} in {:?}", a.lanes[0].reasons))
}

#[test]
fn sink_and_load_factor_are_worked_by_hand() {
    let t = figures(|t, _| t.aircraft.give_mm = Some(Ends { low: 90.0, high: 140.0 }));
    // 22.1 m/s down 3.5 degrees onto level ground; over 90 mm at one half; over 45 mm for one float.
    let sink = 22.1 * 3.5_f64.to_radians().tan();
    let load = |depth: f64| 1.0 + sink * sink / (2.0 * 9.806_65 * depth) / 0.5;
    assert!((sink - 1.351_69).abs() < 1e-5 && (t.sink_mps - sink).abs() < 1e-5, "{}", t.sink_mps);
    assert!((load(0.09) - 3.070_1).abs() < 1e-3 && (t.load_factor - load(0.09)).abs() < 1e-4);
    assert!((t.load_factor_one_float - load(0.045)).abs() < 1e-4);
    assert!((t.equivalent_drop_m - sink * sink / (2.0 * 9.806_65)).abs() < 1e-5);
}

/// What hurts by the design's table, by some amount.
type Row = (&'static str, fn(&mut Trio, &mut Settings));

const HARDER: [Row; 8] = [
    ("touchdown airspeed high", |_, s| s.touchdown_factor_high += 0.1),
    ("stall speed high", |t, _| t.aircraft.stall = StallRecord::Calibrated { mps: 17.5 }),
    ("glide high", |_, s| s.glide_high_deg += 0.5),
    ("tail wind", |t, _| {
        (t.day.wind.from, t.day.wind.mean_mps, t.day.wind.gust_mps) = (DirectionRecord::True(0.0), 3.0, 3.0);
    }),
    ("mass high", |t, _| t.day.landing_mass_kg = t.day.landing_mass_kg.map(|kg| kg * 1.05)),
    ("ground rising", |t, _| {
        let level = |(e, n): (f64, f64), z: f64| LevelRecord { e, n, z, sigma_m: 0.0 };
        // A valley along the middle, so that either way along it the ground rises at one end.
        t.strip.levels = vec![
            level((0.0, 0.0), 3.0),
            level((60.0, 0.0), 3.0),
            level((0.0, 300.0), 0.0),
            level((60.0, 300.0), 0.0),
            level((0.0, 600.0), 3.0),
            level((60.0, 600.0), 3.0),
        ];
    }),
    ("give small", |_, s| s.give_low_mm -= 10.0),
    ("efficiency low", |_, s| s.give_efficiency -= 0.1),
];

#[test]
fn what_hurts_by_the_table_never_softens_the_touchdown() {
    let hardest = |change: fn(&mut Trio, &mut Settings)| {
        let a = judged(|t, s| {
            t.aircraft.give_mm = None;
            change(t, s);
        });
        a.lanes.iter().map(|l| l.touchdown.load_factor).fold(0.0, f64::max)
    };
    let before = hardest(|_, _| ());
    for (name, change) in HARDER {
        assert!(hardest(change) > before, "{name}: {} from {before}", hardest(change));
    }
}

#[test]
fn without_levels_the_ground_may_rise_at_the_touchdown() {
    let (measured, bare) = (figures(|_, _| ()), figures(|t, _| t.strip.levels.clear()));
    assert!((bare.slope - 0.05).abs() < 1e-12 && measured.slope.abs() < 1e-9);
    assert!(bare.load_factor > measured.load_factor);
}

#[test]
fn a_load_factor_is_held_against_the_owners_limit() {
    let with_limit = |limit: Option<f64>| judged(move |t, _| t.aircraft.limits.load_factor = limit);
    // 3.07 at the worst and little over 1 at the best.
    for (limit, verdict) in
        [(4.5, Verdict::Fits), (3.2, Verdict::Tight), (2.5, Verdict::Unknown), (1.01, Verdict::DoesNotFit)]
    {
        assert_eq!(verdict_of(&with_limit(Some(limit)), Code::Hardness), verdict, "{limit}");
    }
    let none = with_limit(None);
    assert_eq!(verdict_of(&none, Code::HardnessLimit), Verdict::Unknown);
    assert!(none.missing.iter().any(|m| m.what == What::HardnessLimit && m.decides));
    assert_ne!(none.verdict, Verdict::Fits);
}

#[test]
fn an_aircraft_not_known_from_the_side_is_unknown() {
    let a = judged(|t, _| t.aircraft.side = None);
    assert_eq!(verdict_of(&a, Code::SideUnknown), Verdict::Unknown);
    assert!(a.missing.iter().any(|m| m.what == What::AircraftSide && m.decides));
    assert_eq!(a.lanes[0].touchdown.keel_attitude_deg, None);
}

#[test]
fn bow_and_stern_are_held_against_their_limits() {
    let limits = |bow: f64, sternpost: f64| {
        judged(move |t, s| {
            s.touchdown_factor_low = 1.1;
            let side = t.aircraft.side.as_mut().expect("known");
            (side.bow_limit_deg, side.sternpost_deg) = (bow, sternpost);
        })
    };
    let wide = limits(-9.0, 25.0);
    assert_eq!(verdict_of(&wide, Code::KeelAttitude), Verdict::Fits);
    let (least, most) = wide.lanes[0].touchdown.keel_attitude_range_deg.expect("known");
    // One end of the pilot's speeds is out: told with the speeds that are left.
    let narrower = limits(least + 0.2, 25.0);
    assert_eq!(verdict_of(&narrower, Code::KeelAttitude), Verdict::Tight);
    let (from, to) = narrower.lanes[0].touchdown.speed_window.expect("a window");
    // What the reason tells lies within, by less than a hundredth.
    let reason = narrower.lanes[0].reasons.iter().find(|r| r.code == Code::KeelAttitude).expect("a reason");
    let (_, safe) = reason.text.split_once("keels first from ").expect("speeds");
    let told: Vec<f64> = safe.split(' ').filter_map(|word| word.parse().ok()).collect();
    let &[low, high] = &told[..] else { panic!("two numbers in {safe}") };
    assert!((0.0..0.01).contains(&(low - from)) && (0.0..0.01).contains(&(to - high)), "{safe}: {from} {to}");
    // Everything out.
    assert_eq!(verdict_of(&limits(most + 0.5, 25.0), Code::KeelAttitude), Verdict::DoesNotFit);
}

#[test]
fn a_flare_that_ends_in_a_drop_is_worked_by_hand() {
    let drop = figures(|t, _| t.aircraft.give_mm = Some(Ends { low: 90.0, high: 140.0 })).flare_drop;
    // sqrt(2 x 9.80665 x 0.3); 2/3 + (0.3 / 0.09 + 1/3) / 0.5.
    assert!((drop.height_m - 0.3).abs() < 1e-12 && (drop.sink_mps - 2.425_69).abs() < 1e-5, "{drop:?}");
    assert!((drop.load_factor - 8.0).abs() < 1e-9, "{drop:?}");
    let softer = figures(|t, _| t.aircraft.give_mm = Some(Ends { low: 100.0, high: 140.0 })).flare_drop;
    assert!(softer.load_factor < drop.load_factor);
}

#[test]
fn the_curve_of_the_keels_agrees_with_range_window_and_limits() {
    let t = figures(|t, s| {
        s.touchdown_factor_low = 1.1;
        let side = t.aircraft.side.as_mut().expect("known");
        (side.bow_limit_deg, side.sternpost_deg) = (0.0, 8.5);
    });
    let (bow, stern) = t.keel_limits_deg.expect("known");
    // The stern counts 1 degree sooner than the line of its post.
    assert!(bow.abs() < 1e-9 && (stern - 7.5).abs() < 1e-9, "{bow} {stern}");
    let curve = &t.attitude_curve;
    // From 1.0 to 1.4 in steps of a sixtieth: the pilot's 1.1 and 1.3 are the 7th and the 19th of 25.
    assert_eq!(curve.len(), 25);
    let (slow, fast) = (curve[6], curve[18]);
    assert!((slow.factor - 1.1).abs() < 1e-9 && (fast.factor - 1.3).abs() < 1e-9);
    let (least, most) = t.keel_attitude_range_deg.expect("known");
    assert!((fast.least_deg - least).abs() < 1e-9 && (slow.greatest_deg - most).abs() < 1e-9);
    assert!(curve.windows(2).all(|w| w[0].least_deg > w[1].least_deg && w[0].factor < w[1].factor));
    let (from, to) = t.speed_window.expect("a window");
    assert!(1.1 < from && from < to && to < 1.3, "{from} {to}");
    for at in &curve[6..=18] {
        assert_eq!(at.touches_first == "keels", (from..=to).contains(&at.factor), "{at:?} {from} {to}");
    }
    assert_eq!((curve[0].touches_first, curve[24].touches_first), ("stern", "bow"));
}

#[test]
fn an_airspeed_of_the_window_is_in_it_at_every_stall_speed_mass_and_gust() {
    let t = figures(|t, s| {
        (s.touchdown_factor_low, s.stall_sigma) = (1.1, 0.01);
        (t.day.wind.mean_mps, t.day.wind.gust_mps) = (3.0, 4.0);
    });
    let (from, to) = t.speed_window.expect("a window");
    let (slow, fast) = t.speed_window_mps.expect("airspeeds");
    // 17 m/s give or take 1.6449 times 1 %; half of 1 m/s of gust on top, or none of it.
    let stalls = [17.0 * (1.0 - 0.016_449), 17.0 * (1.0 + 0.016_449)];
    assert!((slow - (from * stalls[1] + 0.5)).abs() < 1e-3, "{slow}");
    for airspeed in [slow, f64::midpoint(slow, fast), fast] {
        for stall in stalls {
            for gust in [0.0, 1.0] {
                let factor = (airspeed - gust / 2.0) / stall;
                assert!((from - 1e-4..=to + 1e-4).contains(&factor), "{airspeed} {stall} {gust}: {factor}");
            }
        }
    }
}

#[test]
fn no_curve_is_worked_out_for_a_first_look_or_without_the_side() {
    let touchdown = |a: &Assessment| a.lanes[0].touchdown.clone();
    let mut trio = plain();
    assert!(!touchdown(&trio.judged(by_hand_settings())).attitude_curve.is_empty());
    let glanced = touchdown(&trio.glanced(by_hand_settings()));
    assert!(glanced.attitude_curve.is_empty() && glanced.keel_limits_deg.is_some());
    trio.aircraft.side = None;
    let t = touchdown(&trio.judged(by_hand_settings()));
    assert!(t.attitude_curve.is_empty() && t.keel_limits_deg.is_none() && t.speed_window_mps.is_none());
}
