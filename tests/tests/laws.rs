//! Laws of the slide in a whole assessment: what is worse never helps, and unknown never helps.
//!
//! Each law is paired with a figure worked by hand on the plain strip of `support::plain`. More cases:
//! `PROPTEST_CASES=100 cargo test --release -p acceptance --test laws`.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::TrueHeading;
use proptest::prelude::*;
use strip::record::{
    CoverRecord, DirectionRecord, Ends, GrassRecord, LevelRecord, PressureRecord, StallRecord, SurveyedRecord,
};
use strip::{AssessedLane, Assessment, Code, Settings, Verdict, assess_line};
use support::plain::{
    GRAVITY, TOUCHDOWN, by_hand_settings, by_place, coarse, demand, demands, nowhere_shorter, plain,
};
use support::{Trio, config};

const COVERS: [CoverRecord; 3] = [CoverRecord::ShortGrass, CoverRecord::LongGrass, CoverRecord::BareSoil];
const STATES: [GrassRecord; 5] =
    [GrassRecord::Dry, GrassRecord::Dew, GrassRecord::Wet, GrassRecord::Frost, GrassRecord::Frozen];

/// Judged with the lanes of fixed lines through the middle of the field: which lanes are best depends on
/// the slide itself.
fn judged(trio: &Trio) -> Assessment {
    Assessment { lanes: on_fixed_lines(trio, coarse()), ..trio.glanced(coarse()) }
}

fn on_fixed_lines(trio: &Trio, settings: Settings) -> Vec<AssessedLane> {
    let inputs = trio.inputs(settings);
    let middle = inputs.strip.outline.middle();
    let line = |i: u32| Centreline::through(middle, TrueHeading::deg(30.0 * f64::from(i) + 17.0));
    (0..12).filter_map(|i| assess_line(&inputs, line(i), false)).collect()
}

fn with(trio: &Trio, change: impl Fn(&mut Trio)) -> Assessment {
    let mut changed = trio.clone();
    change(&mut changed);
    judged(&changed)
}

/// Share by which a percentile of some thousand samples may lie off, its own allowance for that included.
const SAMPLED: f64 = 0.01;

/// The plain strip with something changed, where nothing but friction is uncertain.
fn simple(change: impl Fn(&mut Trio)) -> Assessment {
    let mut changed = plain();
    change(&mut changed);
    changed.judged(by_hand_settings())
}

/// Every lane of the plain strip that is long enough needs the same length: that of the friction which 5 in 100 fall
/// short of. A slide that leaves its lane comes to ground of which nothing is known, and is no shorter for it.
#[track_caller]
fn check_demand(a: &Assessment, metres: f64) {
    let mut held = 0;
    for lane in &a.lanes {
        let demand = demand(lane);
        if lane.aim_m + metres < lane.length_m {
            assert!((demand - metres).abs() < SAMPLED * metres, "{demand} is not {metres}");
            held += 1;
        } else {
            assert!(demand > (1.0 - SAMPLED) * metres, "{demand} is less than {metres}");
            assert!(lane.stops || metres > lane.length_m, "{} m never end within {}", metres, lane.length_m);
        }
    }
    assert!(held > 0, "no lane is long enough");
}

/// V^2 / (2 mu g).
fn by_hand(speed: f64, friction: f64) -> f64 {
    speed * speed / (2.0 * friction * GRAVITY)
}

/// Levels of a plane that rises by a share of the way east and of the way north.
fn sloping(east: f64, north: f64) -> Vec<LevelRecord> {
    [(0.0, 0.0), (460.0, 20.0), (450.0, 150.0), (10.0, 140.0)]
        .map(|(e, n)| LevelRecord { e, n, z: east * e + north * n, sigma_m: 0.01 })
        .to_vec()
}

/// The flat with another day, another load and another slope: mild enough that friction rules.
fn any_trio() -> impl Strategy<Value = Trio> {
    let wind = (0.0..360.0_f64, 0.0..8.0_f64, 0.0..4.0_f64);
    let air = (-15.0..35.0_f64, 95_000.0..104_000.0_f64, prop::option::of(0.0..1.0_f64));
    let aircraft = (15.0..20.0_f64, 0.0..0.6_f64, 0.0..0.15_f64, 0.0..180.0_f64);
    let ground = (prop::sample::select(COVERS.to_vec()), -0.015..0.015_f64, -0.015..0.015_f64);
    (wind, air, aircraft, ground, 400.0..540.0_f64).prop_map(|(wind, air, aircraft, ground, mass)| {
        let mut trio = Trio::sample("bramblewick-flat");
        let day = &mut trio.day;
        day.wind.from = DirectionRecord::True(wind.0);
        (day.wind.mean_mps, day.wind.gust_mps) = (wind.1, wind.1 + wind.2);
        (day.temperature_c, day.pressure, day.humidity) = (air.0, PressureRecord::Qnh(air.1), air.2);
        day.landing_mass_kg = Some(mass);
        trio.aircraft.stall = StallRecord::Calibrated { mps: aircraft.0 };
        trio.aircraft.lift_coefficient = Ends { low: 0.0, high: aircraft.1 };
        trio.aircraft.drag_coefficient = Ends { low: aircraft.2, high: 0.2 };
        trio.aircraft.idle_thrust_n = Ends { low: 0.0, high: aircraft.3 };
        trio.strip.cover = Some(ground.0);
        trio.strip.levels = sloping(ground.1, ground.2);
        trio
    })
}

#[test]
fn dry_wet_and_frozen_grass_need_the_lengths_worked_by_hand() {
    for (state, friction, metres) in [
        (GrassRecord::Dry, 0.28, 88.935_6),
        (GrassRecord::Dew, 0.15, 166.013),
        (GrassRecord::Wet, 0.15, 166.013),
        (GrassRecord::Frost, 0.07, 355.742),
        (GrassRecord::Frozen, 0.07, 355.742),
    ] {
        let a = simple(|t| t.day.grass = Some(state));
        check_demand(&a, by_hand(TOUCHDOWN, friction));
        assert!((by_hand(TOUCHDOWN, friction) - metres).abs() < 0.001);
    }
}

#[test]
fn more_mass_a_higher_stall_speed_and_a_tail_wind_need_the_lengths_worked_by_hand() {
    // The square of the stall speed goes with the mass.
    check_demand(&simple(|t| t.day.landing_mass_kg = Some(420.0)), 88.935_6 * 0.75);
    let faster = simple(|t| t.aircraft.stall = StallRecord::Calibrated { mps: 18.7 });
    check_demand(&faster, 88.935_6 * 1.21);
    let blown = simple(|t| (t.day.wind.mean_mps, t.day.wind.gust_mps) = (2.0, 2.0));
    let lane =
        blown.lanes.iter().find(|l| l.headwind_mps.is_some_and(|h| h < -1.9)).expect("a lane downwind");
    // One and a half times the tail wind comes on top of the touchdown speed.
    let over_ground = TOUCHDOWN - 1.5 * lane.headwind_mps.expect("a wind");
    let demand = lane.demand_m.expect("it stops");
    assert!((demand - by_hand(over_ground, 0.28)).abs() < SAMPLED * demand, "{demand}");
    // Air of 101325 Pa and 15 degrees is 1.225 kg/m3 to eight digits only.
    assert!((lane.basis.touchdown_ground_speed_mps - over_ground).abs() < 1e-6);
}

#[test]
fn what_is_not_stated_is_taken_at_the_length_worked_by_hand() {
    check_demand(&simple(|t| t.strip.cover = None), by_hand(TOUCHDOWN, 0.22));
    check_demand(&simple(|t| t.day.grass = None), by_hand(TOUCHDOWN, 0.07));
    check_demand(&simple(|t| t.day.landing_mass_kg = None), by_hand(TOUCHDOWN, 0.28));
    // Three in a hundred downhill: (mu cos a - sin a) g, with tan a = 0.03.
    let downhill = by_hand(TOUCHDOWN, 0.28 - 0.03) * f64::hypot(1.0, 0.03);
    check_demand(&simple(|t| t.strip.levels.clear()), downhill);
    let unread = StallRecord::Indicated { mps: 17.0, position_error: Vec::new() };
    check_demand(&simple(|t| t.aircraft.stall = unread.clone()), 88.935_6 * 1.21);
}

#[test]
fn a_mass_below_the_empty_mass_is_no_answer() {
    for kg in [52.0, 200.0, 379.0] {
        let slipped = with(&Trio::sample("bramblewick-flat"), |t| t.day.landing_mass_kg = Some(kg));
        assert!(matches!(slipped.verdict, Verdict::Unknown | Verdict::DoesNotFit), "{kg} kg");
        assert!(slipped.reasons.iter().any(|r| r.code == Code::Mass), "{kg} kg");
    }
    let empty = with(&Trio::sample("bramblewick-flat"), |t| t.day.landing_mass_kg = Some(380.0));
    assert!(empty.reasons.iter().all(|r| r.code != Code::Mass));
}

#[test]
fn where_nobody_looked_for_hazards_the_flat_is_unknown() {
    let flat = Trio::sample("bramblewick-flat");
    let a = with(&flat, |t| t.strip.survey.hazards = SurveyedRecord::NotLooked);
    assert_eq!((judged(&flat).verdict, a.verdict), (Verdict::Fits, Verdict::Unknown));
    assert!(a.reasons.iter().any(|r| r.code == Code::NotLooked && r.verdict == Some(Verdict::Unknown)));
}

#[test]
fn without_the_walk_on_the_day_the_flat_is_tight() {
    let flat = Trio::sample("bramblewick-flat");
    let never = with(&flat, |t| t.day.rewalk = None);
    let the_day_before = with(&flat, |t| {
        if let Some(walk) = &mut t.day.rewalk {
            walk.on = "2026-05-01".to_owned();
        }
    });
    for a in [never, the_day_before] {
        assert_eq!(a.verdict, Verdict::Tight);
        assert_eq!(a.reasons[0].code, Code::Rewalk);
    }
}

proptest! {
    #![proptest_config(config(12))]

    #[test]
    fn what_was_not_looked_at_never_fits_nor_is_tight(trio in any_trio()) {
        let hidden = |change: fn(&mut Trio)| with(&trio, change).verdict;
        for verdict in [
            hidden(|t| t.strip.survey.hazards = SurveyedRecord::NotLooked),
            hidden(|t| t.strip.survey.wires = SurveyedRecord::NotLooked),
            hidden(|t| { t.strip.survey.hazards = SurveyedRecord::NotLooked; t.strip.hazards.clear(); }),
        ] {
            prop_assert!(matches!(verdict, Verdict::Unknown | Verdict::DoesNotFit), "{verdict:?}");
        }
        prop_assert_ne!(hidden(|t| t.day.rewalk = None), Verdict::Fits);
    }

    #[test]
    fn slippier_ground_never_shortens_the_slide(trio in any_trio()) {
        let on = |state| with(&trio, |t| t.day.grass = Some(state));
        let [dry, dew, wet, frost, frozen] = STATES.map(on);
        prop_assert!(nowhere_shorter(&dry, &wet) && nowhere_shorter(&wet, &frost));
        prop_assert_eq!(demands(&dew), demands(&wet));
        prop_assert_eq!(demands(&frost), demands(&frozen));
    }

    // Where the idling engine carries much of what friction takes, a heavier aircraft may stop shorter;
    // on dry ground it does not.
    #[test]
    fn more_mass_never_shortens_the_slide_on_dry_ground(trio in any_trio(), by in 0.0..20.0_f64) {
        let heavier = with(&trio, |t| t.day.landing_mass_kg = t.day.landing_mass_kg.map(|kg| kg + by));
        prop_assert!(nowhere_shorter(&judged(&trio), &heavier));
    }

    #[test]
    fn a_higher_stall_speed_never_shortens_the_slide(trio in any_trio(), by in 0.0..3.0_f64, state in prop::sample::select(STATES.to_vec())) {
        let at = |more: f64| with(&trio, |t| {
            t.day.grass = Some(state);
            if let StallRecord::Calibrated { mps } = &mut t.aircraft.stall {
                *mps += more;
            }
        });
        prop_assert!(nowhere_shorter(&at(0.0), &at(by)));
    }

    // Mean and gust grow together: a steadier wind of the same gusts asks for less added speed.
    #[test]
    fn more_tail_wind_never_shortens_the_slide(trio in any_trio(), by in 0.0..6.0_f64) {
        let stronger = with(&trio, |t| {
            t.day.wind.mean_mps += by;
            t.day.wind.gust_mps += by;
        });
        let before = judged(&trio);
        let (before, after) = (by_place(&before), by_place(&stronger));
        prop_assert_eq!(before.len(), after.len());
        for (before, after) in before.into_iter().zip(after) {
            if before.headwind_mps.is_some_and(|h| h < 0.0) {
                prop_assert!(demand(after) >= demand(before));
            }
        }
    }

    #[test]
    fn a_cover_or_state_of_the_ground_not_stated_never_helps(trio in any_trio()) {
        let no_cover = with(&trio, |t| t.strip.cover = None);
        for cover in COVERS {
            prop_assert!(nowhere_shorter(&with(&trio, |t| t.strip.cover = Some(cover)), &no_cover));
        }
        let no_state = with(&trio, |t| t.day.grass = None);
        for state in STATES {
            prop_assert!(nowhere_shorter(&with(&trio, |t| t.day.grass = Some(state)), &no_state));
        }
    }

    #[test]
    fn a_mass_not_stated_never_helps(trio in any_trio(), share in 0.0..1.0_f64, state in prop::sample::select(STATES.to_vec())) {
        let at = |kg: Option<f64>| with(&trio, |t| {
            t.day.grass = Some(state);
            t.day.landing_mass_kg = kg;
        });
        let (empty, most) = (trio.aircraft.empty_mass_kg, trio.aircraft.max_landing_mass_kg);
        let unknown = at(None);
        for kg in [empty, empty + share * (most - empty), most] {
            prop_assert!(nowhere_shorter(&at(Some(kg)), &unknown), "{kg} kg");
        }
    }

    // For every slope that the settings call plausible where none was measured.
    #[test]
    fn levels_or_humidity_not_measured_never_help(trio in any_trio(), humidity in 0.0..1.0_f64) {
        let before = judged(&trio);
        prop_assert!(nowhere_shorter(&before, &with(&trio, |t| t.strip.levels.clear())));
        prop_assert!(nowhere_shorter(&with(&trio, |t| t.day.humidity = Some(humidity)), &with(&trio, |t| t.day.humidity = None)));
    }

    #[test]
    fn a_setting_more_cautious_never_leaves_more_spare(trio in any_trio(), by in 0.0..1.0_f64, levels: bool) {
        let mut trio = trio;
        trio.aircraft.scatter = None;
        // Nothing stands before the lanes, so that the near margin alone sets the earliest touchdown.
        trio.strip.obstacles.clear();
        trio.strip.hazards.clear();
        trio.strip.outline.edges.fill(strip::record::EdgeRecord::Open);
        if !levels {
            trio.strip.levels.clear();
        }
        let spare = |settings: Settings| {
            let lanes = on_fixed_lines(&trio, settings);
            lanes.iter().map(|l| l.spare_m.unwrap_or(f64::NEG_INFINITY)).fold(f64::NEG_INFINITY, f64::max)
        };
        let s = coarse();
        let before = spare(s);
        for cautious in [
            Settings { touchdown_factor_high: s.touchdown_factor_high + by, ..s },
            Settings { scatter_short_m: s.scatter_short_m + by, ..s },
            Settings { scatter_long_m: s.scatter_long_m + by, ..s },
            Settings { tailwind_factor: s.tailwind_factor + by, ..s },
            Settings { headwind_factor: s.headwind_factor * (1.0 - by), ..s },
            Settings { mean_slope_not_measured: s.mean_slope_not_measured + by * 0.1, ..s },
        ] {
            prop_assert!(spare(cautious) <= before, "{cautious:?}");
        }
        // This moves the ends of every lane alike, so the best lane stays the best.
        let later = spare(Settings { near_margin_m: s.near_margin_m + by, ..s });
        prop_assert!(later <= before - by + 1e-9);
    }
}

#[test]
fn fifteen_metres_more_margin_or_scatter_leave_fifteen_less_to_spare() {
    let mut strip = plain();
    strip.aircraft.scatter = None;
    let s = coarse();
    let spare = |settings: Settings| strip.judged(settings).lanes[0].spare_m.expect("it stops");
    let before = spare(s);
    for cautious in [
        Settings { near_margin_m: s.near_margin_m + 15.0, ..s },
        Settings { end_margin_m: s.end_margin_m + 15.0, ..s },
        Settings { scatter_short_m: s.scatter_short_m + 15.0, ..s },
        Settings { scatter_long_m: s.scatter_long_m + 15.0, ..s },
    ] {
        let less = before - spare(cautious);
        assert!((less - 15.0).abs() < 1e-6, "{less} for {cautious:?}");
    }
}
