//! What sampled slides mean for a lane: ends by their kind, ground that changes along the way, what was measured of
//! friction, and what would make a lane fit.
#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::Centreline;
use measure::TrueHeading;
use strip::record::{
    BreaklineRecord, CoverRecord, DragTestRecord, EdgeRecord, EngineRecord, GrassRecord, LevelRecord,
    PatchRecord, RecoveryRecord, ScatterRecord, StrengthRecord,
};
use strip::{AssessedLane, Assessment, Code, Fix, Settings, Verdict, assess_line};
use support::Trio;
use support::plain::{FIELD, by_hand_settings, coarse, demand, drag_test, earlier_slide, plain};

/// The longest lane of the plain strip's two directions along its length.
fn along(a: &Assessment) -> &AssessedLane {
    a.lanes.first().expect("a lane")
}

fn with(change: impl Fn(&mut Trio)) -> Assessment {
    let mut trio = plain();
    change(&mut trio);
    trio.judged(coarse())
}

fn pull_test(newtons: f64, loaded: bool) -> DragTestRecord {
    DragTestRecord { loaded, ..drag_test(1000.0, &[newtons, newtons * 1.02, newtons * 0.98]) }
}

fn recovery(on: &str, metres: f64) -> RecoveryRecord {
    RecoveryRecord { on: on.to_owned(), ..earlier_slide(metres) }
}

#[test]
fn an_open_end_holds_95_in_100_and_a_hard_one_99() {
    let open = with(|_| ());
    let hard = with(|t| t.strip.outline.edges = vec![EdgeRecord::Fence(1.2); 4]);
    let (open, hard) = (along(&open), along(&hard));
    assert!((open.demand_share - 0.95).abs() < 1e-9 && (hard.demand_share - 0.99).abs() < 1e-9);
    // Both lanes ask for the same slides; what they must hold differs.
    assert!((demand(open) - open.demand_p95_m.expect("stops")).abs() < 1e-9);
    assert!((demand(hard) - hard.demand_p99_m.expect("stops")).abs() < 1e-9);
    assert!(demand(hard) > demand(open) * 1.05);
}

#[test]
fn a_wet_patch_in_the_slides_way_makes_them_longer_and_one_before_the_touchdown_does_not() {
    let (width, length) = FIELD;
    let patch = |from: f64, to: f64| PatchRecord {
        id: "wet".to_owned(),
        area: vec![(0.0, from), (width, from), (width, to), (0.0, to)],
        cover: None,
        always_wet: true,
        strength: Some(StrengthRecord::HeelTest { mm: 2.0, person_kg: None }),
    };
    let settings = by_hand_settings();
    let demand_of = |patches: Vec<PatchRecord>| {
        let mut trio = plain();
        trio.strip.patches = patches;
        let a = trio.judged(settings);
        // A lane that ends before the patch ends hard, and asks for more of the slides.
        let open = a.lanes.iter().filter(|lane| lane.far_end_at != "patch wet");
        demand(open.max_by(|a, b| demand(a).total_cmp(&demand(b))).expect("a lane"))
    };
    let dry = demand_of(Vec::new());
    assert!(
        demand_of(vec![patch(0.0, length)]) > dry * 1.4,
        "wet grass has about two thirds of the friction"
    );
    assert!(demand_of(vec![patch(length / 2.0, length)]) > dry);
    // Before the first touchdown of either direction, and beyond the last slide of the other.
    assert!(
        (demand_of(vec![patch(0.0, 5.0)]) - dry).abs() < 0.5,
        "{} {dry}",
        demand_of(vec![patch(0.0, 5.0)])
    );
}

#[test]
fn a_loaded_test_of_slippery_ground_lengthens_and_a_light_one_of_grippy_ground_changes_nothing() {
    let none = demand(along(&with(|_| ())));
    let slippery = demand(along(&with(|t| t.strip.drag_tests = vec![pull_test(200.0, true)])));
    let grippy = demand(along(&with(|t| t.strip.drag_tests = vec![pull_test(900.0, false)])));
    assert!(slippery > none * 1.1, "{slippery} {none}");
    assert!((grippy - none).abs() < 1e-9, "{grippy} {none}");
    let source = &with(|t| t.strip.drag_tests = vec![pull_test(200.0, true)]).lanes[0].basis.friction_source;
    assert!(source.contains("1 drag test here"), "{source}");
}

#[test]
fn a_test_of_wet_grass_says_nothing_of_dry() {
    let wet = DragTestRecord { grass: GrassRecord::Wet, ..pull_test(100.0, true) };
    let (none, with_wet) = (with(|_| ()), with(|t| t.strip.drag_tests = vec![wet.clone()]));
    assert!((demand(along(&none)) - demand(along(&with_wet))).abs() < 1e-9);
}

#[test]
fn a_long_slide_recorded_here_lengthens_and_one_dated_tomorrow_is_left_out_and_said() {
    let none = with(|_| ());
    let long = with(|t| t.strip.recoveries = vec![recovery("2026-04-30", 90.0)]);
    assert!(demand(along(&long)) > demand(along(&none)) * 1.02);
    let tomorrow = with(|t| t.strip.recoveries = vec![recovery("2026-05-03", 90.0)]);
    assert!((demand(along(&tomorrow)) - demand(along(&none))).abs() < 1e-9);
    let said = tomorrow.reasons.iter().find(|r| r.code == Code::LeftOut).expect("said");
    assert!(
        said.text.contains("recoveries[1].on: found a date after the day, expected none later"),
        "{}",
        said.text
    );
    assert_eq!((none.verdict, tomorrow.verdict), (Verdict::Fits, Verdict::Unknown));
}

#[test]
fn an_old_test_lowers_what_is_believed_and_never_raises_it() {
    let old = |newtons| DragTestRecord { on: "2024-05-02".to_owned(), ..pull_test(newtons, true) };
    let none = demand(along(&with(|_| ())));
    let [slippery, grippy, fresh] = [old(200.0), old(900.0), pull_test(900.0, true)]
        .map(|test| with(|t| t.strip.drag_tests = vec![test.clone()]));
    assert!(demand(along(&slippery)) > none * 1.1);
    assert!((demand(along(&grippy)) - none).abs() < 1e-9 && demand(along(&fresh)) < none);
    let source = &along(&grippy).basis.friction_source;
    assert!(source.ends_with("1 old drag test here"), "{source}");
}

#[test]
fn tests_that_contradict_each_other_leave_the_verdict_unknown() {
    let two = |more: f64| {
        with(move |t| t.strip.drag_tests = vec![pull_test(400.0, true), pull_test(400.0 * more, true)])
    };
    // Both spreads are about 0.12, so that 2.576 root two of it is a ratio of 1.5.
    let (alike, contrary) = (two(1.2), two(2.2));
    assert_eq!((alike.verdict, contrary.verdict), (Verdict::Fits, Verdict::Unknown));
    let said = contrary.reasons.iter().find(|r| r.code == Code::TestsDisagree).expect("said");
    assert!(said.text.ends_with("drag_tests[1] and drag_tests[2]"), "{}", said.text);
}

#[test]
fn a_light_test_does_not_silence_that_nobody_measured_friction() {
    let noted = |a: &Assessment| a.reasons.iter().any(|r| r.code == Code::FrictionLowEnd);
    assert!(noted(&with(|t| t.strip.drag_tests = vec![pull_test(400.0, false)])));
    assert!(!noted(&with(|t| t.strip.drag_tests = vec![pull_test(400.0, true)])));
}

#[test]
fn slides_off_the_field_are_left_out_and_those_of_another_aircraft_are_named() {
    let astray = RecoveryRecord { touchdown: (400.0, 100.0), ..recovery("2026-04-30", 60.0) };
    let off = with(|t| t.strip.recoveries = vec![astray.clone()]);
    let said = off.reasons.iter().find(|r| r.code == Code::LeftOut).expect("said");
    let expected =
        "recoveries[1].touchdown: found (400, 100), outside the outline, expected a place on the field";
    assert!(said.text.ends_with(expected), "{}", said.text);
    assert_eq!(off.verdict, Verdict::Unknown);
    let other = RecoveryRecord { aircraft: "another".to_owned(), ..recovery("2026-04-30", 60.0) };
    let other = with(|t| t.strip.recoveries = vec![other.clone()]);
    let said = other.reasons.iter().find(|r| r.code == Code::NotCounted).expect("said");
    assert!(said.text.ends_with("recoveries[1] was another aircraft"), "{}", said.text);
    assert_eq!((said.verdict, other.verdict), (None, Verdict::Fits));
}

#[test]
fn ground_steeper_than_slides_are_worked_out_for_is_unknown() {
    let tilted = |slope: f64| with(move |t| t.strip.levels.iter_mut().for_each(|l| l.z = slope * l.e));
    let said = |a: &Assessment| a.lanes.iter().any(|l| l.reasons.iter().any(|r| r.text.contains("slope, ")));
    assert!(!said(&tilted(0.14)) && said(&tilted(0.16)));
}

#[test]
fn touchdowns_measured_on_water_make_the_scatter() {
    let touchdowns = vec![5.0, 15.0, 5.0, 15.0, 5.0, 15.0, 5.0, 15.0];
    let a = with(|t| (t.aircraft.scatter, t.aircraft.touchdowns_m) = (None, touchdowns.clone()));
    // Twice 4.243172 standard deviations of 5.345225 (SciPy 1.17.1, stats.nct).
    assert!((along(&a).scatter_m - 2.0 * 4.243_172 * 5.345_225).abs() < 1e-3, "{}", along(&a).scatter_m);
    // Their middle is 10 m past the aim, and so is that of the stops.
    let centred = with(|t| {
        t.aircraft.touchdowns_m.clear();
        t.aircraft.scatter = Some(ScatterRecord { short_m: 12.68, long_m: 32.68 });
    });
    let past_the_aim = |a: &Assessment| along(a).stop_p50_m.expect("stops") - along(a).aim_m;
    assert!(
        (past_the_aim(&a) - past_the_aim(&centred) - 10.0).abs() < 3.0,
        "{} {}",
        past_the_aim(&a),
        past_the_aim(&centred)
    );
}

#[test]
fn a_slide_too_long_for_the_least_that_its_speed_may_have_been_still_counts() {
    // Once left out: at the slow end of a speed that nobody noted no friction explains it.
    let unnoted =
        RecoveryRecord { touchdown_airspeed_mps: None, headwind_mps: None, ..recovery("2026-04-30", 300.0) };
    let (none, long) = (with(|_| ()), with(|t| t.strip.recoveries = vec![unnoted.clone()]));
    assert!(long.reasons.iter().all(|r| r.code != Code::LeftOut), "{:?}", long.reasons);
    assert!(demand(along(&long)) > demand(along(&none)) * 1.2);
}

#[test]
fn breaklines_that_cross_are_left_out_and_said() {
    let line = |points: Vec<(f64, f64, f64)>| BreaklineRecord { points, sigma_m: 0.02 };
    let a = with(|t| {
        t.strip.breaklines = vec![
            line(vec![(10.0, 100.0, 0.0), (50.0, 200.0, 0.0)]),
            line(vec![(50.0, 100.0, 0.0), (10.0, 200.0, 0.0)]),
        ];
    });
    let said = a.reasons.iter().find(|r| r.code == Code::LeftOut).expect("said");
    assert!(said.text.contains("breaklines: "), "{}", said.text);
    assert!(a.lanes[0].slope_mean.is_some(), "the levels still count");
}

#[test]
fn a_ditch_between_levels_is_found_under_the_keel() {
    let (width, length) = FIELD;
    let ditch =
        |y: f64, z: f64| BreaklineRecord { points: vec![(1.0, y, z), (width - 1.0, y, z)], sigma_m: 0.01 };
    let middle = length / 2.0;
    let mut trio = plain();
    trio.strip.breaklines = vec![ditch(middle - 0.6, 0.0), ditch(middle, -0.4), ditch(middle + 0.6, 0.0)];
    let inputs = trio.inputs(coarse());
    let line = Centreline::through(inputs.strip.outline.middle(), TrueHeading::deg(0.0));
    let across = assess_line(&inputs, line, false).expect("a lane");
    let hollow = across.hollow.expect("a hollow");
    assert!((hollow.amount_m - 0.4).abs() < 0.01, "{hollow:?}");
    let of_keel = |lane: &AssessedLane| lane.reasons.iter().find(|r| r.code == Code::KeelGround).cloned();
    let said = of_keel(&across).expect("said");
    assert_eq!(said.verdict, Some(Verdict::Unknown));
    assert!(said.text.contains("hollow"), "{}", said.text);
    // The field has room on either side of it.
    let best = trio.judged(coarse()).lanes.swap_remove(0);
    assert!(of_keel(&best).is_none() && best.hollow.is_none_or(|h| h.amount_m < 0.05), "{:?}", best.hollow);
    let north = [best.near_end[1], best.far_end[1]];
    assert!(north.iter().all(|n| *n < middle) || north.iter().all(|n| *n > middle), "{north:?}");
}

#[test]
fn an_engine_stopped_never_lengthens_the_slide() {
    let idling = with(|t| t.aircraft.idle_thrust_n.high = 180.0);
    let stopped = with(|t| {
        t.aircraft.idle_thrust_n.high = 180.0;
        t.day.engine = EngineRecord::Stopped;
    });
    assert!(demand(along(&stopped)) < demand(along(&idling)));
}

#[test]
fn each_remedy_makes_the_tight_shelf_fit_once_it_is_taken() {
    let mut shelf = Trio::sample("otterhollow-shelf");
    // So light that there is something to leave behind beside pilot and fuel.
    shelf.aircraft.empty_mass_kg = 300.0;
    // Touches down so far apart that little is left over.
    shelf.aircraft.scatter = Some(ScatterRecord { short_m: 22.0, long_m: 50.0 });
    let before = shelf.judged(Settings::default());
    let spare = |a: &Assessment| {
        a.lanes[0].reasons.iter().find(|r| r.code == Code::Spare).and_then(|r| r.verdict).expect("a spare")
    };
    assert_eq!(spare(&before), Verdict::Tight);
    let amount = |fix: Fix| {
        let remedy = before.lanes[0].remedies.iter().find(|r| r.what == fix);
        remedy.and_then(|r| r.value).unwrap_or_else(|| panic!("{fix:?} in {:?}", before.lanes[0].remedies))
    };
    let mut lighter = shelf.clone();
    let mass = lighter.day.landing_mass_kg.expect("a mass");
    lighter.day.landing_mass_kg = Some(mass - amount(Fix::Lighter));
    assert_eq!(spare(&lighter.judged(Settings::default())), Verdict::Fits);
    let mut steadier = shelf.clone();
    steadier.aircraft.scatter = Some(ScatterRecord { short_m: 0.0, long_m: amount(Fix::TouchdownWithin) });
    assert_eq!(spare(&steadier.judged(Settings::default())), Verdict::Fits);
    let rock = before.lanes[0].gains.iter().find(|g| g.makes_it_fit).expect("the rock");
    let mut cleared = shelf.clone();
    cleared.strip.hazards.retain(|h| !rock.removed.contains(&h.id));
    assert_eq!(spare(&cleared.judged(Settings::default())), Verdict::Fits);
}

#[test]
fn without_levels_the_worst_slope_costs_what_missing_says() {
    let measured = with(|t| t.strip.cover = Some(CoverRecord::ShortGrass));
    let bare = with(|t| t.strip.levels.clear());
    let effect = bare.missing.iter().find(|m| m.what == strip::What::Levels).and_then(|m| m.effect_m);
    assert!(measured.missing.iter().all(|m| m.what != strip::What::Levels));
    // Level ground lies between the worst and the best slope that are reckoned with.
    let cost = demand(along(&bare)) - demand(along(&measured));
    assert!(effect.expect("levels") > cost && cost > 0.0, "{effect:?} {cost}");
}

#[test]
fn levels_close_together_show_every_crest_so_that_none_is_reckoned_with() {
    let (width, length) = FIELD;
    let grid = |step: f64| -> Vec<LevelRecord> {
        let counts = ((width / step) as u32, (length / step) as u32);
        let row = |j: u32| (0..=counts.0).map(move |i| (f64::from(i) * step, f64::from(j) * step));
        let level = |(e, n)| LevelRecord { e, n, z: 0.0, sigma_m: 0.005 };
        (0..=counts.1).flat_map(row).map(level).collect()
    };
    let coarse_levels = with(|t| t.strip.levels = grid(10.0));
    let dense = with(|t| {
        t.strip.levels = grid(2.0);
        t.aircraft.keels.length_m = Some(3.5);
    });
    assert!(!along(&coarse_levels).ground_seen && along(&dense).ground_seen);
    assert!(along(&dense).basis.carried_m < along(&coarse_levels).basis.carried_m);
}
