//! Tipping, digging in, the propeller and the tail in a whole assessment: worked by hand, which way each input hurts, and
//! what nobody knows is unknown.
//!
//! All cases: `PROPTEST_CASES=100 cargo test --release -p acceptance --test sign_balance`. The rows at one place of a
//! slide, and whole slides: `crates/slide/tests/tipping.rs`.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::TrueHeading;
use proptest::prelude::*;
use strip::record::{
    CoverRecord, Ends, GrassRecord, LevelRecord, PatchRecord, SideRecord, StrengthRecord, SurveyedRecord,
};
use strip::{AssessedLane, Code, Settings, Verdict, What, assess_line};
use support::plain::{by_hand_settings, demand, drag_test, plain};
use support::{Trio, config};

/// Direction of the one lane that is looked at, along the length of the plain field.
const HEADING: f64 = 0.0;

/// What is rounding in a reserve.
const ROUNDING: f64 = 1e-9;

fn lane_of(trio: &Trio, settings: Settings) -> AssessedLane {
    let inputs = trio.inputs(settings);
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(HEADING));
    assess_line(&inputs, line, false).expect("a lane")
}

fn lane(change: impl Fn(&mut Trio, &mut Settings)) -> AssessedLane {
    let (mut trio, mut settings) = (plain(), by_hand_settings());
    change(&mut trio, &mut settings);
    lane_of(&trio, settings)
}

fn side(trio: &mut Trio) -> &mut SideRecord {
    trio.aircraft.side.as_mut().expect("known from the side")
}

fn heel(mm: f64) -> StrengthRecord {
    StrengthRecord::HeelTest { mm, person_kg: Some(70.0) }
}

/// Ground right across the plain field.
fn patch(from: f64, to: f64, strength: Option<StrengthRecord>) -> PatchRecord {
    let area = vec![(0.0, from), (60.0, from), (60.0, to), (0.0, to)];
    PatchRecord { id: "p1".to_owned(), area, cover: None, always_wet: false, strength }
}

fn verdict_of(lane: &AssessedLane, code: Code) -> Option<Verdict> {
    lane.reasons.iter().find(|r| r.code == code).and_then(|r| r.verdict)
}

/// What is left, with all that goes over or digs in one.
fn left(lane: &AssessedLane) -> f64 {
    lane.balance.tipping_reserve.map_or(0.0, |left| left.max(0.0))
}

#[track_caller]
fn near(found: Option<f64>, expected: f64, by: f64) {
    let found = found.expect("a figure");
    assert!((found - expected).abs() < by, "{found} for {expected}");
}

#[test]
fn the_balance_of_a_plain_lane_is_worked_by_hand() {
    let b = lane(|_, _| ()).balance;
    // At 22.1 m/s in 1.225 kg/m3 air of 2.0 m3 turns the nose down by 299.15 x 2 = 598.3 N m; on a fifth of 560 kg,
    // 1098.3 N, with friction of 0.50 on 1.45 m, to 1.9 m ahead: 1 - (0.725 + 0.5447)/1.9 = 0.3317, less what a
    // tenth of a millimetre of sinkage takes. A scan for the first balance in steps of 0.1 mm, then halving, in Python:
    near(b.tipping_reserve, 0.331_246_6, 2e-6);
    near(b.tipping_at_m, 10.0, 1e-9);
    // The same at one and a half times the weight, with the centre of gravity 2.2 m behind.
    near(b.keel_sinkage_m, 0.001_575_05, 1e-8);
    near(b.ploughing_n, 11.835_3, 1e-3);
    // 0.62 - 0.1 x 0.000388 - 0.001575 - 0.06 of grass on level ground.
    near(b.propeller_clearance_m, 0.558_386, 2e-6);
    near(b.tail_reserve, 1.0, 1e-9);
    assert!(!b.digs_in && b.outside_range.is_none());
    let ground: Vec<_> = b.ground_on_lane.iter().map(|g| (g.id.clone(), g.strength)).collect();
    assert_eq!(ground, [(None, Some("hard"))]);
}

/// What hurts by the design's table, by some amount from 0 to 1.
type Row = (&'static str, fn(&mut Trio, &mut Settings, f64));

const TABLE: [Row; 8] = [
    ("friction high", |t, _, by| {
        let newtons = 300.0 * (1.0 + by);
        t.strip.drag_tests = vec![drag_test(1000.0, &[newtons, 1.03 * newtons, 0.97 * newtons])];
    }),
    ("softer ground", |t, _, by| t.strip.strength = Some(heel(5.0 + 60.0 * by))),
    ("idle thrust high", |t, _, by| t.aircraft.idle_thrust_n.high += 150.0 * by),
    ("thrust line high, with thrust", |t, _, by| {
        t.aircraft.idle_thrust_n.high = 150.0;
        side(t).thrust_line_height_m += 0.3 * by;
    }),
    ("centre of gravity forward", |t, _, by| side(t).cg_behind_m.low -= 0.4 * by),
    ("centre of gravity high", |t, _, by| side(t).cg_height_m.high += 0.3 * by),
    ("moment of the air high", |t, _, by| {
        side(t).nose_down_moment_m3 = Some(Ends { low: 0.5, high: 2.0 + by });
    }),
    ("hollow sharp", |_, s, by| s.unseen_hollow_load += by),
];

/// A strip with some ground, aircraft and day.
fn strips() -> impl Strategy<Value = Trio> {
    let cover = prop::sample::select(vec![CoverRecord::ShortGrass, CoverRecord::LongGrass]);
    ((0.0..40.0_f64, cover), 420.0..560.0_f64, (1.7..2.0_f64, 1.1..1.4_f64)).prop_map(
        |((mm, cover), mass, (forward, height))| {
            let mut t = plain();
            t.strip.strength = Some(heel(mm));
            t.strip.cover = Some(cover);
            t.day.landing_mass_kg = Some(mass);
            side(&mut t).cg_behind_m = Ends { low: forward, high: 2.2 };
            side(&mut t).cg_height_m = Ends { low: 1.0, high: height };
            t
        },
    )
}

proptest! {
    #![proptest_config(config(4))]

    #[test]
    fn what_hurts_by_the_table_never_leaves_more(
        trio in strips(), some in 0.0..1.0_f64, more in 0.0..1.0_f64,
    ) {
        for (name, change) in &TABLE {
            let of = |by: f64| {
                let (mut trio, mut settings) = (trio.clone(), by_hand_settings());
                change(&mut trio, &mut settings, by);
                left(&lane_of(&trio, settings))
            };
            let (a, b) = (of(some.min(more)), of(some.max(more)));
            prop_assert!(b <= a + ROUNDING, "{name}: {a} became {b}");
        }
    }

    #[test]
    fn what_nobody_knows_never_makes_the_verdict_better(trio in strips()) {
        for (name, forget) in FORGOTTEN {
            let mut less = trio.clone();
            forget(&mut less);
            let [known, unknown] = [&trio, &less].map(|t| lane_of(t, by_hand_settings()).verdict);
            // What is proven not to fit with more known may be unknown with less, but nothing better.
            let kept = known.ruling(unknown) == unknown || (known, unknown) == (Verdict::DoesNotFit, Verdict::Unknown);
            prop_assert!(kept, "{name}: {known:?} became {unknown:?}");
        }
    }
}

/// Something left out of the records, and how.
type Forgotten = (&'static str, fn(&mut Trio));

/// What may be left out of the records.
const FORGOTTEN: [Forgotten; 5] = [
    ("strength", |t| t.strip.strength = None),
    ("side", |t| t.aircraft.side = None),
    ("moment of the air", |t| side(t).nose_down_moment_m3 = None),
    ("keel length", |t| t.aircraft.keels.length_m = None),
    ("state of the grass", |t| t.day.grass = None),
];

#[test]
fn every_row_of_the_table_takes_something_away() {
    for (name, change) in TABLE {
        let of = |by: f64| left(&lane(|t, s| change(t, s, by)));
        let (a, b) = (of(0.0), of(1.0));
        // A hollow presses hard ground by little: all is ruled by the light load there.
        let least = if name == "hollow sharp" { 0.0 } else { 1e-3 };
        assert!(a - b >= least, "{name}: {a} became {b}");
    }
}

#[test]
fn more_mass_can_go_either_way() {
    let of = |kg: f64, mm: f64, moment: f64| {
        left(&lane(|t, _| {
            t.day.landing_mass_kg = Some(kg);
            t.strip.strength = Some(heel(mm));
            side(t).nose_down_moment_m3 = Some(Ends { low: 0.0, high: moment });
        }))
    };
    // With a moment of the air on hard ground a heavier aircraft is held down better, although it touches down faster...
    assert!(of(560.0, 5.0, 2.0) < of(560.0, 5.0, 0.0));
    let (light, heavy) = (of(420.0, 50.0, 0.0), of(560.0, 50.0, 0.0));
    // ... and on soft ground without one it ploughs more than in proportion.
    assert!(heavy < light - 1e-3, "{light} {heavy}");
}

#[test]
fn wetter_grass_lengthens_the_slide_and_leaves_more_of_the_balance() {
    let on = |grass| lane(move |t, _| t.day.grass = Some(grass));
    let (dry, wet) = (on(GrassRecord::Dry), on(GrassRecord::Wet));
    assert!(demand(&wet) > demand(&dry));
    // Friction of 0.40 instead of 0.50 at the high end: 0.1 x 1.45/1.9 = 0.0763 more.
    near(Some(left(&wet) - left(&dry)), 0.0763, 1e-3);
}

#[test]
fn the_reserve_is_held_against_the_one_asked_for() {
    let asking = |asked: f64| lane(|_, s| s.tipping_reserve = asked);
    for (asked, verdict) in
        [(0.2, Verdict::Fits), (0.32, Verdict::Tight), (0.4, Verdict::Unknown), (0.9, Verdict::DoesNotFit)]
    {
        let lane = asking(asked);
        assert_eq!(verdict_of(&lane, Code::Tipping), Some(verdict), "{asked}");
        let reason = lane.reasons.iter().find(|r| r.code == Code::Tipping).expect("a reason");
        near(reason.value, 33.124_66, 2e-4);
        near(reason.limit, 100.0 * asked, 1e-9);
    }
}

#[test]
fn ground_on_which_the_keels_dig_in_is_named_and_unknown() {
    let soft = lane(|t, _| t.strip.patches = vec![patch(200.0, 250.0, Some(heel(120.0)))]);
    let b = &soft.balance;
    assert!(b.digs_in && b.tipping_reserve.is_none());
    near(b.tipping_at_m, 200.0, 4.0);
    assert_eq!(verdict_of(&soft, Code::DigsIn), Some(Verdict::Unknown));
    let reason = soft.reasons.iter().find(|r| r.code == Code::DigsIn).expect("a reason");
    assert!(reason.text.ends_with("on patch p1"), "{}", reason.text);
    let ground: Vec<_> = b.ground_on_lane.iter().map(|g| (g.strength, g.reserve.is_some())).collect();
    assert_eq!(ground, [(Some("hard"), true), (Some("boggy"), false)]);
}

#[test]
fn ground_before_the_earliest_touchdown_does_not_count() {
    let soft = lane(|t, _| t.strip.patches = vec![patch(0.0, 5.0, Some(heel(120.0)))]);
    assert!(!soft.balance.digs_in && soft.balance.ground_on_lane.len() == 1, "{:?}", soft.balance);
}

#[test]
fn ground_that_nobody_tested_is_unknown_and_missing() {
    let mut trio = plain();
    trio.strip.strength = None;
    let a = trio.glanced(by_hand_settings());
    assert_eq!(verdict_of(&a.lanes[0], Code::SoftGround), Some(Verdict::Unknown));
    let reason = a.lanes[0].reasons.iter().find(|r| r.code == Code::SoftGround).expect("a reason");
    assert!(reason.text.ends_with(": the field"), "{}", reason.text);
    assert!(a.missing.iter().any(|m| m.what == What::Ground && m.decides));
    assert_eq!(a.verdict, Verdict::Unknown);
    let b = &a.lanes[0].balance;
    assert!(b.tipping_reserve.is_none() && !b.digs_in && b.keel_sinkage_m.is_none());
    // A patch that was not tested is named by its mark.
    let one = lane(|t, _| t.strip.patches = vec![patch(200.0, 250.0, None)]);
    let reason = one.reasons.iter().find(|r| r.code == Code::SoftGround).expect("a reason");
    assert!(reason.text.ends_with(": patch p1"), "{}", reason.text);
}

#[test]
fn what_of_the_aircraft_was_not_measured_is_named() {
    let lane = lane(|t, _| {
        side(t).nose_down_moment_m3 = None;
        t.aircraft.keels.length_m = None;
    });
    let reason = lane.reasons.iter().find(|r| r.code == Code::Tipping).expect("a reason");
    let named = "nobody measured the nose-down moment of the air and the length of the flat keel";
    assert!(reason.text.ends_with(named), "{}", reason.text);
    assert_eq!((reason.verdict, lane.balance.tipping_reserve), (Some(Verdict::Unknown), None));
}

#[test]
fn the_propeller_is_held_clear_of_grass_and_rising_ground() {
    let with_grass = |height: Option<f64>| {
        lane(move |t, _| {
            if let SurveyedRecord::Looked { grass_m, .. } = &mut t.strip.survey.hazards {
                *grass_m = height;
            }
        })
    };
    // 0.62 m less what sinkage takes: 0.0016 m.
    for (grass, verdict) in
        [(0.3, Verdict::Fits), (0.565, Verdict::Tight), (0.569, Verdict::Unknown), (0.6, Verdict::DoesNotFit)]
    {
        assert_eq!(verdict_of(&with_grass(Some(grass)), Code::Propeller), Some(verdict), "{grass}");
    }
    // Short grass that nobody measured is 0.15 m high.
    near(with_grass(None).balance.propeller_clearance_m, 0.618_386 - 0.15, 2e-6);
    let crest = lane(|_, s| s.unseen_crest_m = 0.1);
    near(crest.balance.propeller_clearance_m, 0.458_386, 2e-6);
}

#[test]
fn the_tail_is_held_up_on_the_steepest_ground() {
    let on = |rise: f64, aft: f64| {
        lane(move |t, _| {
            let level = |(e, n): (f64, f64)| LevelRecord { e, n, z: rise * n, sigma_m: 0.0 };
            t.strip.levels = [(0.0, 0.0), (60.0, 0.0), (60.0, 600.0), (0.0, 600.0)].map(level).to_vec();
            side(t).cg_behind_m = Ends { low: 1.9, high: aft };
        })
    };
    // 1 - 1.45 x 0.05/0.3.
    near(on(0.05, 2.2).balance.tail_reserve, 1.0 - 1.45 * 0.05 / 0.3, 1e-9);
    near(on(-0.05, 2.2).balance.tail_reserve, 1.0, 1e-9);
    assert_eq!(verdict_of(&on(0.05, 2.2), Code::TailOver), Some(Verdict::Fits));
    // 1 - 1.45 x 0.05/0.09 = 0.194 aft, and enough with the centre of gravity forward.
    assert_eq!(verdict_of(&on(0.05, 2.41), Code::TailOver), Some(Verdict::Unknown));
    // At the end of the flat keel it sits on its tail.
    let sits = on(0.0, 2.5);
    assert_eq!(
        (sits.balance.tail_reserve, verdict_of(&sits, Code::TailOver)),
        (None, Some(Verdict::Unknown))
    );
}
