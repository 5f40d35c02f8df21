//! Random fields of rocks, the same ones every time: 420 m by 190 m, for benches and for what is measured
//! on many hazards.

use ground::{
    Allowance, ClearanceProfile, Corner, EdgeKind, HalfWidth, Hazard, HazardKind, Obstructions, Outline,
    Part, Point, Presence, Relief, Ring, Shape,
};
use measure::{Height, Metres};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

/// East and north, metres.
pub const SIZE: (f64, f64) = (420.0, 190.0);

/// Standard deviation of corners and of rocks, metres.
pub const CORNER_SIGMA: f64 = 0.1;
/// The same of rocks.
pub const ROCK_SIGMA: f64 = 0.2;
/// The same of their heights.
pub const HEIGHT_SIGMA: f64 = 0.02;

/// A rock: place, radius, height, all metres.
pub type Rock = ((f64, f64), f64, f64);

/// As many rocks as asked for, strewn evenly.
///
/// # Panics
/// Never: the strategy refuses nothing.
#[allow(clippy::expect_used, reason = "an even spread refuses nothing")]
pub fn rocks(count: usize) -> Vec<Rock> {
    let place = (0.0..SIZE.0, 0.0..SIZE.1);
    let rock = (place, 0.1..1.0_f64, 0.05..1.0_f64);
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    prop::collection::vec(rock, count).new_tree(&mut runner).expect("nothing refused").current()
}

/// The same as hazards.
///
/// # Panics
/// Never, for finite places.
#[allow(clippy::expect_used, reason = "places are finite")]
pub fn hazards(rocks: &[Rock]) -> Vec<Hazard> {
    let hazard = |(i, &((x, y), radius, height)): (usize, &Rock)| Hazard {
        id: format!("r{}", i + 1),
        kind: HazardKind::Rock,
        shape: Shape::disc(Point { x, y }).expect("a finite place"),
        radius: Metres::m(radius),
        relief: Relief::Raised(Height::m(height)),
        position_sigma: Metres::m(ROCK_SIGMA),
        height_sigma: Metres::m(HEIGHT_SIGMA),
        presence: Presence::Present,
    };
    rocks.iter().enumerate().map(hazard).collect()
}

/// A field of rocks, open all round, for an aircraft of 10 m span.
///
/// # Panics
/// Never: outline and profile are valid.
#[allow(clippy::expect_used, reason = "fixed and valid")]
pub fn field(rocks: &[Rock], half_width: f64) -> Obstructions {
    let corner = |x, y| Corner { at: Point { x, y }, sigma: Metres::m(CORNER_SIGMA) };
    let (east, north) = SIZE;
    let ring = Ring {
        corners: vec![corner(0.0, 0.0), corner(east, 0.0), corner(east, north), corner(0.0, north)],
        edges: vec![EdgeKind::Open; 4],
        height_share: 0.0,
    };
    let allowance = Allowance {
        half_width: HalfWidth::constant(Metres::m(half_width)),
        vertical_margin: Height::m(0.05),
        bridged_opening: Metres::ZERO,
    };
    let outline = Outline::new(ring, Vec::new()).expect("a valid outline");
    Obstructions::new(&outline, &hazards(rocks), &profile(), &allowance)
}

/// An aircraft of 10 m span from ahead, banked by 3 degrees.
///
/// # Panics
/// Never: the profile is valid.
#[allow(clippy::expect_used, reason = "fixed and valid")]
pub fn profile() -> ClearanceProfile {
    let part = |name: &str, offsets: (f64, f64), heights: (f64, f64)| Part {
        name: name.to_owned(),
        offsets: (Metres::m(offsets.0), Metres::m(offsets.1)),
        heights: (Height::m(heights.0), Height::m(heights.1)),
    };
    let parts = [
        part("inner bottom", (0.8, 1.075), (0.12, 0.0)),
        part("outer bottom", (1.125, 1.4), (0.0, 0.12)),
        part("spreader bar", (0.0, 0.8), (0.5, 0.5)),
        part("wing", (0.6, 5.0), (2.0, 2.2)),
    ];
    let bank = 3.0_f64.to_radians();
    let profile = ClearanceProfile::new(Metres::m(2.2), Metres::m(0.05), &parts, Metres::m(5.0), bank);
    profile.expect("a valid profile")
}
