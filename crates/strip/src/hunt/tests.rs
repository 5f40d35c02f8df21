//! A look, held against what was there before.

use crate::record::{
    CornerRecord, EdgeRecord, HazardKindRecord, HazardRecord, HazardStateRecord, LevelRecord, ObstacleRecord,
    OutlineRecord, PatchRecord, PlaceRecord, StrengthRecord, StripRecord,
};
use crate::samples::inputs_with;
use crate::{Assessment, Control, Memory, Settings, Verdict, assess, assess_preview};
use std::f64::consts::TAU;
use std::sync::atomic::AtomicBool;

/// A tree: east, north, height.
type Tree = (f64, f64, f64);

fn tree(like: &ObstacleRecord, i: usize, (e, n, height): Tree) -> ObstacleRecord {
    ObstacleRecord {
        id: format!("x{i}"),
        at: PlaceRecord::Point(e, n),
        height_m: Some(height),
        top_m: None,
        heights_m: Vec::new(),
        ..like.clone()
    }
}

/// Verdict and spare of the best lane of a sample at a first look, with trees about the field.
fn best(trees: &[Tree]) -> (Verdict, f64) {
    let inputs = inputs_with("bramblewick-flat", |strip| {
        let like = strip.obstacles[0].clone();
        strip.obstacles = trees.iter().enumerate().map(|(i, at)| tree(&like, i, *at)).collect();
    });
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    let judged = assess_preview(&inputs, &control, &mut Memory::default()).expect("not cancelled");
    let lane = judged.lanes.first().expect("a lane");
    (lane.verdict, lane.spare_m.unwrap_or(f64::NEG_INFINITY))
}

/// Numbers from 0 to 1, the same in every run (a linear congruence, Knuth's MMIX constants, from memory).
fn numbers(seed: u64) -> impl FnMut() -> f64 {
    let mut n = seed;
    move || {
        n = n.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (n >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Once a tree led to a lane with 96 m more to spare that was there before: what was found with room to drift as on another
/// lane had no room for its own, and stood in the way of a closer look.
#[test]
fn a_tree_more_never_leads_to_a_lane_with_more_to_spare() {
    let mut next = numbers(12_345);
    let before = best(&[]);
    assert_eq!(before.0, Verdict::Fits);
    for case in 0..8 {
        let (round, away, height) = (TAU * next(), 200.0 + 300.0 * next(), 4.0 + 20.0 * next());
        let after = best(&[(230.0 + away * round.cos(), 80.0 + away * round.sin(), height)]);
        assert!(after.1 <= before.1 + Settings::default().search_tolerance_m, "{case}: {before:?} {after:?}");
    }
}

/// A sample changed, in full.
pub(crate) fn judged(name: &str, change: impl FnOnce(&mut StripRecord)) -> Assessment {
    let never = AtomicBool::new(false);
    let control = Control { cancelled: &never, progress: &|_| {} };
    assess(&inputs_with(name, change), &control).expect("not cancelled")
}

/// A rock somewhere.
pub(crate) fn rock(at: PlaceRecord) -> HazardRecord {
    HazardRecord {
        id: "r9".to_owned(),
        kind: HazardKindRecord::Rock,
        at,
        radius_m: 0.5,
        height_m: Some(0.4),
        depth_m: None,
        pos_sigma_m: Some(0.3),
        height_sigma_m: Some(0.02),
        state: HazardStateRecord::Present,
    }
}

/// Too soft to hold up: a heel sinks in by its whole height.
pub(crate) fn bog(area: Vec<(f64, f64)>) -> PatchRecord {
    let strength = Some(StrengthRecord::HeelTest { mm: 120.0, person_kg: None });
    PatchRecord { id: "bog".to_owned(), area, cover: None, always_wet: false, strength }
}

/// Makes a field level and firm, so long and wide, with nothing on it or about it.
pub(crate) fn make_level(strip: &mut StripRecord, (length, width): (f64, f64)) {
    let corner = |(e, n)| CornerRecord { e, n, sigma_m: Some(0.1) };
    strip.outline = OutlineRecord {
        corners: [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)].map(corner).to_vec(),
        edges: vec![EdgeRecord::Open; 4],
        islands: Vec::new(),
    };
    let level = |e: f64, n: f64| LevelRecord { e: e * length, n: n * width, z: 0.0, sigma_m: 0.02 };
    let row = |e: f64| [0.0, 0.5, 1.0].map(|n| level(e, n));
    strip.levels = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0].map(row).concat();
    strip.strength = Some(StrengthRecord::HeelTest { mm: 5.0, person_kg: Some(70.0) });
    strip.hazards.clear();
    strip.obstacles.clear();
    strip.patches.clear();
}

/// Of a field with more on it than without: never better, nor more to spare.
#[track_caller]
pub(crate) fn check_no_better(without: &Assessment, with: &Assessment) {
    assert!(with.verdict.rank() >= without.verdict.rank(), "{:?} {:?}", without.verdict, with.verdict);
    let spare = |a: &Assessment| a.lanes.first().and_then(|lane| lane.spare_m).expect("a lane");
    let (before, after) = (spare(without), spare(with));
    let no_more = after <= before + Settings::default().search_tolerance_m;
    assert!(with.verdict != without.verdict || no_more, "{before} {after}");
}

/// Once a rock led to a lane with 25 m more to spare: a lane that had a little too little room to drift was not shifted.
#[test]
fn a_rock_never_leads_to_a_lane_with_more_to_spare() {
    let with = judged("otterhollow-shelf", |strip| {
        strip.hazards.push(rock(PlaceRecord::Point(60.0, 60.0)));
    });
    check_no_better(&judged("otterhollow-shelf", |_| ()), &with);
}

/// Once a tree led to a lane with 15 m more to spare: the best lane had been found with room for the drift of another.
#[test]
fn a_tree_beside_a_field_with_a_rock_never_leads_to_a_lane_with_more_to_spare() {
    let with_trees = |trees: &[Tree]| {
        judged("bramblewick-flat", |strip| {
            strip.hazards.push(rock(PlaceRecord::Point(230.0, 80.0)));
            let like = strip.obstacles[0].clone();
            strip.obstacles.extend(trees.iter().enumerate().map(|(i, at)| tree(&like, i, *at)));
        })
    };
    check_no_better(&with_trees(&[]), &with_trees(&[(469.6, -51.7, 18.6)]));
}
