//! Laws of the ground in a whole assessment: a new hazard never helps, a field turned and moved is the
//! same field, a margin never lengthens a lane; and the fingerprint tells inputs apart.
//!
//! Each law is paired with a figure worked by hand on the plain strip of `support::plain`.

#![allow(clippy::expect_used, clippy::panic, reason = "helpers of a test fail by panicking")]

mod support;

use ground::{Allowance, Centreline, HalfWidth, Margins, Obstructions, Plane, Point, clear_stretches};
use measure::{Height, Metres, TrueHeading};
use proptest::prelude::*;
use strip::record::{
    BreaklineRecord, CornerRecord, DirectionRecord, DragTestRecord, EdgeRecord, EngineRecord, GrassRecord,
    HazardKindRecord, HazardRecord, HazardStateRecord, LevelRecord, PlaceRecord, SurveyedRecord,
};
use strip::{AssessedLane, Inputs, Settings, text};
use support::plain::{FIELD, coarse, plain};
use support::{SAMPLES, Trio, judged};

/// Radius of the circle that holds 95 % of the error of a point, in standard deviations of each
/// coordinate: sqrt(-2 ln 0.05), rounded up as the program does.
const CIRCLE_95: f64 = 2.45;

/// What the program keeps clear of everything by, so that a lane touches nothing.
const TRIM: f64 = 0.001;

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

fn obstructions(inputs: &Inputs) -> Obstructions {
    let Inputs { strip, aircraft, day: _, settings } = inputs;
    let aircraft = aircraft.as_ref().expect("an aircraft");
    let profile = aircraft.profile(settings.bank_allowance_deg.to_radians()).expect("a profile");
    let allowance = Allowance {
        half_width: HalfWidth::constant(Metres::m(settings.lane_half_width_m)),
        vertical_margin: Height::m(settings.hazard_margin_m),
        bridged_opening: Metres::m(settings.bridged_opening_m),
    };
    Obstructions::new(&strip.outline, &strip.hazards, &profile, &allowance)
}

fn margins(s: &Settings) -> Margins {
    Margins {
        near: Metres::m(s.near_margin_m),
        end: Metres::m(s.end_margin_m),
        hard_end: Metres::m(s.hard_end_margin_m),
    }
}

fn line_of(lane: &AssessedLane) -> Centreline {
    let near = Point { x: lane.near_end[0], y: lane.near_end[1] };
    Centreline::through(near, TrueHeading::deg(lane.heading_true_deg))
}

/// Longest clear length on one centre line.
fn clear(inputs: &Inputs, line: Centreline) -> f64 {
    clear_stretches(&obstructions(inputs), line).iter().map(|s| s.lane.length.to_m()).fold(0.0, f64::max)
}

/// Most usable length on one centre line.
fn usable(inputs: &Inputs, line: Centreline) -> f64 {
    let margins = margins(&inputs.settings);
    let stretches = clear_stretches(&obstructions(inputs), line);
    stretches.iter().map(|s| margins.usable(s).to_m()).fold(f64::NEG_INFINITY, f64::max)
}

fn rock(id: &str, at: PlaceRecord, radius: f64, height: f64, sigma: f64) -> HazardRecord {
    HazardRecord {
        id: id.to_owned(),
        kind: HazardKindRecord::Rock,
        at,
        radius_m: radius,
        height_m: Some(height),
        depth_m: None,
        pos_sigma_m: Some(sigma),
        height_sigma_m: Some(0.02),
        state: HazardStateRecord::Present,
    }
}

fn any_hazard() -> impl Strategy<Value = HazardRecord> {
    let place = (0.0..470.0_f64, -10.0..170.0_f64);
    (place, 0.01..3.0_f64, 0.01..2.0_f64, 0.0..2.0_f64)
        .prop_map(|((e, n), r, h, sigma)| rock("new", PlaceRecord::Point(e, n), r, h, sigma))
}

fn any_sample() -> impl Strategy<Value = Trio> {
    prop::sample::select(SAMPLES.to_vec()).prop_map(Trio::sample)
}

/// Turned clockwise by an angle, then moved.
#[derive(Clone, Copy, Debug)]
struct Move {
    turn_deg: f64,
    by: (f64, f64),
}

impl Move {
    fn point(self, (e, n): (f64, f64)) -> (f64, f64) {
        let (sin, cos) = self.turn_deg.to_radians().sin_cos();
        (e * cos + n * sin + self.by.0, n * cos - e * sin + self.by.1)
    }

    fn place(self, place: &PlaceRecord) -> PlaceRecord {
        let all = |list: &[(f64, f64)]| list.iter().map(|&p| self.point(p)).collect();
        match place {
            PlaceRecord::Point(e, n) => {
                let (e, n) = self.point((*e, *n));
                PlaceRecord::Point(e, n)
            }
            PlaceRecord::Line(list) => PlaceRecord::Line(all(list)),
            PlaceRecord::Area(list) => PlaceRecord::Area(all(list)),
        }
    }

    /// Outline, islands, hazards, patches, levels and wind, all together.
    fn whole(self, trio: &Trio) -> Trio {
        let mut moved = trio.clone();
        let outline = &mut moved.strip.outline;
        let islands = outline.islands.iter_mut().flat_map(|i| &mut i.corners);
        for c in outline.corners.iter_mut().chain(islands) {
            let (e, n) = self.point((c.e, c.n));
            *c = CornerRecord { e, n, ..*c };
        }
        moved.strip.hazards.iter_mut().for_each(|h| h.at = self.place(&h.at));
        moved.strip.patches.iter_mut().flat_map(|p| &mut p.area).for_each(|p| *p = self.point(*p));
        for l in &mut moved.strip.levels {
            let (e, n) = self.point((l.e, l.n));
            *l = LevelRecord { e, n, ..*l };
        }
        if let DirectionRecord::True(from) = &mut moved.day.wind.from {
            *from = (*from + self.turn_deg).rem_euclid(360.0);
        }
        moved
    }

    fn line(self, lane: &AssessedLane) -> Centreline {
        let (x, y) = self.point((lane.near_end[0], lane.near_end[1]));
        Centreline::through(Point { x, y }, TrueHeading::deg(lane.heading_true_deg + self.turn_deg))
    }
}

fn north_line() -> Centreline {
    Centreline::through(Point { x: FIELD.0 / 2.0, y: 0.0 }, TrueHeading::deg(0.0))
}

#[test]
fn a_rock_on_the_track_leaves_the_length_worked_by_hand() {
    let mut trio = plain();
    let before = clear(&trio.inputs(coarse()), north_line());
    assert!((before - (FIELD.1 - 2.0 * TRIM)).abs() < 1e-9, "{before}");
    trio.strip.hazards.push(rock("r", PlaceRecord::Point(31.0, 400.0), 0.5, 0.3, 0.4));
    let after = clear(&trio.inputs(coarse()), north_line());
    let by_hand = 400.0 - 0.5 - CIRCLE_95 * 0.4 - 2.0 * TRIM;
    assert!((after - by_hand).abs() < 1e-9, "{after} is not {by_hand}");
}

#[test]
fn a_quarter_turn_and_a_shift_leave_the_length_worked_by_hand() {
    let mut trio = plain();
    trio.strip.hazards.push(rock("r", PlaceRecord::Line(vec![(20.0, 450.0), (40.0, 450.0)]), 0.5, 0.3, 0.0));
    let moved = Move { turn_deg: 90.0, by: (100.0, -40.0) };
    let east = Centreline::through(Point { x: 100.0, y: -70.0 }, TrueHeading::deg(90.0));
    let by_hand = 450.0 - 0.5 - 2.0 * TRIM;
    for (inputs, line) in [(trio.inputs(coarse()), north_line()), (moved.whole(&trio).inputs(coarse()), east)]
    {
        let length = clear(&inputs, line);
        assert!((length - by_hand).abs() < 1e-9, "{length} is not {by_hand}");
    }
}

#[test]
fn a_hard_end_keeps_its_own_margin_worked_by_hand() {
    let mut trio = plain();
    trio.strip.outline.edges[2] = EdgeRecord::Fence(1.0);
    let at = |change: &dyn Fn(&mut Settings)| {
        let mut settings = coarse();
        change(&mut settings);
        usable(&trio.inputs(settings), north_line())
    };
    // 600 m less 2 mm of trims, 10 m near and 30 m before the fence, within which lie the 15 m of an
    // open end.
    assert!((at(&|_| {}) - 559.998).abs() < 1e-9);
    assert!((at(&|s| s.hard_end_margin_m = 45.0) - 544.998).abs() < 1e-9);
    assert!((at(&|s| s.end_margin_m = 20.0) - 559.998).abs() < 1e-9);
    assert!((at(&|s| s.end_margin_m = 45.0) - 544.998).abs() < 1e-9);
}

proptest! {
    #![proptest_config(config(32))]

    #[test]
    fn a_new_hazard_never_lengthens_the_best_lane(trio in any_sample(), hazard in any_hazard()) {
        let before = trio.inputs(coarse());
        let line = line_of(&judged(&before).lanes[0]);
        let mut more = trio;
        more.strip.hazards.push(hazard);
        let after = more.inputs(coarse());
        prop_assert!(clear(&after, line) <= clear(&before, line));
        prop_assert!(usable(&after, line) <= usable(&before, line));
    }

    #[test]
    fn a_field_turned_and_moved_with_its_wind_is_the_same_field(
        trio in any_sample(), turn_deg in 0.0..360.0_f64, e in -900.0..900.0_f64, n in -900.0..900.0_f64,
    ) {
        let mut trio = trio;
        trio.day.wind.from = DirectionRecord::True(75.0);
        let moved = Move { turn_deg, by: (e, n) };
        let (here, there) = (trio.inputs(coarse()), moved.whole(&trio).inputs(coarse()));
        for lane in judged(&here).lanes {
            let (line, turned) = (line_of(&lane), moved.line(&lane));
            prop_assert!((clear(&here, line) - clear(&there, turned)).abs() < 1e-3);
            prop_assert!((usable(&here, line) - usable(&there, turned)).abs() < 1e-3);
            if let (Ok(a), Ok(b)) = (Plane::fit(&here.strip.levels), Plane::fit(&there.strip.levels)) {
                let slope = |p: Plane, l: Centreline| p.slope_along(l.heading).to_ratio();
                let error = |p: Plane, l: Centreline| p.slope_error_along(l.heading).to_ratio();
                prop_assert!((slope(a, line) - slope(b, turned)).abs() < 1e-9);
                prop_assert!((error(a, line) - error(b, turned)).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_wider_margin_never_leaves_more_of_a_lane(trio in any_sample(), by in 0.0..1.0_f64) {
        let s = coarse();
        let before = trio.inputs(s);
        let line = line_of(&judged(&before).lanes[0]);
        for cautious in [
            Settings { near_margin_m: s.near_margin_m + 40.0 * by, ..s },
            Settings { end_margin_m: s.end_margin_m + 40.0 * by, ..s },
            Settings { hard_end_margin_m: s.hard_end_margin_m + 40.0 * by, ..s },
            Settings { hazard_margin_m: s.hazard_margin_m + 0.9 * by, ..s },
            Settings { bank_allowance_deg: s.bank_allowance_deg + 15.0 * by, ..s },
            Settings { lane_half_width_m: s.lane_half_width_m + 10.0 * by, ..s },
        ] {
            prop_assert!(usable(&trio.inputs(cautious), line) <= usable(&before, line), "{cautious:?}");
        }
    }
}

fn drag_test(pull_n: f64) -> DragTestRecord {
    DragTestRecord {
        id: None,
        on: "2026-04-30".to_owned(),
        by: "A. Nonesuch".to_owned(),
        grass: GrassRecord::Dry,
        weight_n: Some(250.0),
        weight_kg: None,
        pulls_n: vec![pull_n],
        hitch_deg: 0.0,
        slope: 0.0,
        loaded: false,
        patch: None,
    }
}

/// One change to the records.
type Change = fn(&mut Trio);

fn fingerprint(trio: &Trio) -> String {
    trio.judged(coarse()).input_fingerprint
}

#[test]
fn equal_inputs_have_one_fingerprint_and_every_change_another() {
    let flat = Trio::sample("bramblewick-flat");
    let own = fingerprint(&flat);
    assert_eq!(own.len(), 16);
    assert_eq!(own, fingerprint(&flat.clone()));
    let changes: [(&str, Change); 27] = [
        ("a corner by a tenth of a nanometre", |t| t.strip.outline.corners[1].e += 1e-10),
        ("its accuracy", |t| t.strip.outline.corners[1].sigma_m = Some(0.31)),
        ("an edge", |t| t.strip.outline.edges[0] = EdgeRecord::Water),
        ("an edge's height", |t| t.strip.outline.edges[2] = EdgeRecord::Hedge(1.7)),
        ("the datum", |t| t.strip.datum.height_m += 0.1),
        ("a hazard's place", |t| t.strip.hazards[0].at = PlaceRecord::Point(140.0, 118.1)),
        ("a hazard's height", |t| t.strip.hazards[0].height_m = None),
        ("a hazard less", |t| drop(t.strip.hazards.pop())),
        ("what was looked at", |t| t.strip.survey.wires = SurveyedRecord::NotLooked),
        ("the cover", |t| t.strip.cover = None),
        ("a level", |t| t.strip.levels[0].z = 0.01),
        ("the name", |t| t.strip.name.push('!')),
        ("the stall speed", |t| t.aircraft.stall = strip::record::StallRecord::Calibrated { mps: 17.000_1 }),
        ("a part", |t| t.aircraft.parts[2].to_m = 2.61),
        ("the keels", |t| t.aircraft.keels.spacing_m = 2.11),
        ("the crosswind limit", |t| t.aircraft.limits.crosswind_mps = None),
        ("the scatter", |t| t.aircraft.scatter = None),
        ("the date", |t| t.day.time = "2026-05-03T09:30:00+01:00".to_owned()),
        ("the wind", |t| t.day.wind.gust_mps = 3.6),
        ("which north", |t| t.day.wind.from = DirectionRecord::Magnetic(262.0)),
        ("the grass", |t| t.day.grass = Some(GrassRecord::Dew)),
        ("the mass", |t| t.day.landing_mass_kg = None),
        ("the engine", |t| t.day.engine = EngineRecord::Stopped),
        ("the keels' length", |t| t.aircraft.keels.length_m = Some(4.0)),
        ("a drag test", |t| t.strip.drag_tests.push(drag_test(95.0))),
        ("its pull", |t| t.strip.drag_tests.push(drag_test(96.0))),
        ("a breakline", |t| {
            t.strip.breaklines = vec![BreaklineRecord { points: vec![(9.0, 9.0, 0.0); 2], sigma_m: 0.1 }];
        }),
    ];
    let mut seen = vec![own];
    for (what, change) in changes {
        let mut changed = flat.clone();
        change(&mut changed);
        let print = fingerprint(&changed);
        assert!(!seen.contains(&print), "{what} leaves the fingerprint as it was");
        seen.push(print);
    }
}

#[test]
fn every_setting_is_part_of_the_fingerprint() {
    // Without an aircraft nothing is searched, so this is quick.
    let print = |settings: Settings| {
        let inputs = Inputs { aircraft: None, ..Trio::sample("bramblewick-flat").inputs(settings) };
        judged(&inputs).input_fingerprint
    };
    let mut seen = vec![print(Settings::default())];
    for row in Settings::default().table() {
        let changed = format!("({}: {:?})", row.key, row.value * 1.01 + 0.001);
        let settings: Settings = text::parse("settings", changed.as_bytes()).expect("one setting");
        let print = print(settings.checked().expect("in range"));
        assert!(!seen.contains(&print), "{} leaves the fingerprint as it was", row.key);
        seen.push(print);
    }
}
