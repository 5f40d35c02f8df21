//! The surface: worked numbers, laws, refusals.

use super::*;
use measure::TrueHeading;
use proptest::prelude::*;

fn p(x: f64, y: f64) -> Point {
    Point { x, y }
}

fn level(x: f64, y: f64, z: f64) -> Level {
    Level { at: p(x, y), height: Metres::m(z), sigma: Metres::m(0.02) }
}

fn line(points: &[(f64, f64, f64)]) -> Breakline {
    Breakline { points: points.iter().map(|&(x, y, z)| level(x, y, z)).collect() }
}

fn surface(levels: &[Level], breaklines: &[Breakline]) -> Surface {
    Surface::new(levels, breaklines).expect("a surface")
}

fn square() -> [Level; 4] {
    [level(0.0, 0.0, 0.0), level(40.0, 0.0, 0.0), level(40.0, 40.0, 0.0), level(0.0, 40.0, 0.0)]
}

#[test]
fn the_height_in_a_facet_is_the_weighted_mean_of_its_levels() {
    let surface = surface(&[level(0.0, 0.0, 100.0), level(10.0, 0.0, 101.0), level(0.0, 20.0, 104.0)], &[]);
    let (height, sigma) = surface.height_at(p(2.0, 5.0)).expect("measured");
    // Shares 0.55, 0.2, 0.25.
    assert!((height.to_m() - 101.2).abs() < 1e-12);
    let shares = 0.55_f64.powi(2) + 0.2_f64.powi(2) + 0.25_f64.powi(2);
    assert!((sigma.to_m() - 0.02 * shares.sqrt()).abs() < 1e-12);
    let spacing = surface.spacing_at(p(2.0, 5.0)).expect("measured");
    assert!((spacing.to_m() - 500_f64.sqrt()).abs() < 1e-12);
    // Slope 0.1 east, 0.2 north; error 0.02 sqrt(2/100 + 2/400) each at most.
    let gradient = surface.gradient_at(p(2.0, 5.0)).expect("measured");
    assert!((gradient.along(TrueHeading::deg(90.0)).to_ratio() - 0.1).abs() < 1e-12);
    let steepest = 0.05_f64.sqrt() + 1.645 * 0.02 * 0.025_f64.sqrt();
    assert!((surface.steepest().to_ratio() - steepest).abs() < 1e-12);
    assert!(surface.bend_bound().to_ratio() < 1e-12);
}

#[test]
fn outside_the_levels_nothing_is_measured() {
    let surface = surface(&square(), &[]);
    for outside in [p(-0.1, 20.0), p(20.0, 40.1), p(f64::NAN, 1.0), p(f64::INFINITY, 1.0)] {
        assert_eq!(surface.height_at(outside), None);
        assert_eq!(surface.gradient_at(outside), None);
        assert_eq!(surface.spacing_at(outside), None);
    }
}

#[test]
fn a_level_and_a_point_on_an_edge_belong_to_the_surface() {
    let surface = surface(&square(), &[line(&[(0.0, 20.0, 1.0), (40.0, 20.0, 3.0)])]);
    let height = |x: f64, y: f64| surface.height_at(p(x, y)).expect("measured").0.to_m();
    assert!((height(0.0, 20.0) - 1.0).abs() < 1e-12);
    assert!((height(10.0, 20.0) - 1.5).abs() < 1e-12);
    assert!(height(40.0, 40.0).abs() < 1e-12);
}

#[test]
fn where_facets_meet_the_steepest_and_the_coarsest_is_taken() {
    // Two facets on either side of the northward axis: 1 in 10 over 10 m, and 1 in 5 over 40 m.
    for east in [1.0, -1.0] {
        let levels = [
            level(0.0, -10.0, 0.0),
            level(0.0, 10.0, 0.0),
            level(-10.0 * east, 0.0, 1.0),
            level(40.0 * east, 0.0, 8.0),
        ];
        let surface = surface(&levels, &[]);
        for place in [p(0.0, 5.0), p(0.0, 10.0)] {
            let gradient = surface.gradient_at(place).expect("measured");
            assert!((gradient.east.to_ratio() - 0.2 * east).abs() < 1e-12);
            let spacing = surface.spacing_at(place).expect("measured");
            assert!((spacing.to_m() - 1700_f64.sqrt()).abs() < 1e-12);
        }
    }
}

#[test]
fn a_breakline_is_followed_where_the_levels_alone_would_bridge_it() {
    // A ditch whose bottom has levels 40 m apart, between banks with levels every 10 m.
    let mut levels = Vec::new();
    for i in 0..=4 {
        let along = 10.0 * f64::from(i);
        levels.extend([level(along, -3.0, 0.0), level(along, 3.0, 0.0)]);
    }
    let bottom = line(&[(0.0, 0.0, -1.0), (40.0, 0.0, -1.0)]);
    let with: f64 =
        surface(&levels, std::slice::from_ref(&bottom)).height_at(p(20.0, 0.0)).expect("measured").0.to_m();
    assert!((with + 1.0).abs() < 1e-12);
    levels.extend(bottom.points);
    let without = surface(&levels, &[]).height_at(p(20.0, 0.0)).expect("measured").0.to_m();
    assert!(without.abs() < 1e-12, "{without}");
}

#[test]
fn the_bend_of_a_ditch_is_the_difference_of_its_sides() {
    // Sides of 1 m in 2 m; the mean of the gradients is level.
    let lines = [-2.0, 0.0, 2.0].map(|x| {
        let z = if x == 0.0 { -1.0 } else { 0.0 };
        line(&[(20.0 + x, 0.0, z), (20.0 + x, 40.0, z)])
    });
    let surface = surface(&square(), &lines);
    assert!((surface.bend_bound().to_ratio() - 1.0).abs() < 1e-12);
}

#[test]
fn a_sliver_along_the_rim_is_not_measured() {
    // The fourth level lies 0.5 m inside the side of 40 m and 1 m off its height: 200 % for nothing.
    let mut levels = square().to_vec();
    levels.push(level(20.0, 0.5, 1.0));
    let walked = surface(&levels, &[]);
    assert_eq!(walked.height_at(p(20.0, 0.2)), None);
    assert!(walked.height_at(p(20.0, 0.6)).is_some());
    assert!(walked.steepest().to_ratio() < 0.1, "{:?}", walked.steepest());
    // A breakline along the side says that somebody walked there.
    let edge = line(&[(0.0, 0.0, 0.0), (40.0, 0.0, 0.0)]);
    let walked = surface(&levels, &[edge]);
    assert!((walked.height_at(p(20.0, 0.25)).expect("measured").0.to_m() - 0.5).abs() < 1e-12);
    assert!(walked.steepest().to_ratio() > 2.0);
}

#[test]
fn levels_side_by_side_make_no_slope_of_their_own_errors() {
    let mut levels = square().to_vec();
    levels.extend([level(20.0, 20.0, 0.03), level(20.05, 20.0, -0.03)]);
    let turf = surface(&levels, &[]);
    assert!(turf.steepest().to_ratio() < 0.02, "{:?}", turf.steepest());
    assert!((turf.worst_sigma().to_m() - 0.06).abs() < 1e-12);
    // But a wall is one.
    levels.extend([level(10.0, 20.0, 0.5), level(10.05, 20.0, 0.0)]);
    assert!(surface(&levels, &[]).steepest().to_ratio() > 9.0);
}

#[test]
fn crowded_levels_of_an_even_slope_have_its_slope() {
    // Every 0.1 m over 6 m by 6 m, rising 1 in 10: each facet by less than turf is uneven.
    let places = (0..=60).flat_map(|i| (0..=60).map(move |j| (0.1 * f64::from(i), 0.1 * f64::from(j))));
    let levels: Vec<Level> =
        places.map(|(x, y)| Level { sigma: Metres::ZERO, ..level(x, y, 0.1 * x) }).collect();
    let surface = surface(&levels, &[]);
    let steepest = surface.steepest().to_ratio();
    // Levels that were made one lie apart by 0.02 m at most, which is their error, on 0.2 m and more.
    assert!(steepest >= 0.1 && steepest < 0.1 + 1.645 * 0.025 * 3_f64.sqrt() / 0.17, "{steepest}");
    assert!((surface.height_at(p(3.21, 3.0)).expect("measured").0.to_m() - 0.321).abs() < 1e-9);
}

#[test]
fn two_levels_at_one_place_are_one() {
    let mut levels = square().to_vec();
    levels.extend([level(20.0, 20.0, 1.0), level(20.0, 20.0, 1.2)]);
    let (height, sigma) = surface(&levels, &[]).height_at(p(20.0, 20.0)).expect("measured");
    assert!((height.to_m() - 1.1).abs() < 1e-12 && (sigma.to_m() - 0.2).abs() < 1e-12);
}

#[track_caller]
fn check_refused(levels: &[Level], breaklines: &[Breakline], error: BadLevels) {
    assert_eq!(Surface::new(levels, breaklines).err(), Some(error));
}

#[test]
fn levels_that_make_no_surface_are_refused() {
    check_refused(&square()[..2], &[], BadLevels::TooFew(2));
    check_refused(&[square()[0]; 5], &[], BadLevels::TooFew(1));
    let row = [level(0.0, 0.0, 0.0), level(10.0, 0.0, 1.0), level(30.0, 0.0, 2.0)];
    check_refused(&row, &[], BadLevels::OnOneLine);
    let nearly = [level(0.0, 0.0, 0.0), level(10.0, 0.5, 1.0), level(30.0, 0.0, 2.0)];
    check_refused(&nearly, &[], BadLevels::OnOneLine);
    for bad in [
        level(f64::NAN, 0.0, 0.0),
        level(0.0, 2e6, 0.0),
        level(0.0, 0.0, f64::INFINITY),
        Level { sigma: Metres::m(-0.1), ..level(0.0, 0.0, 0.0) },
        Level { sigma: Metres::m(f64::NAN), ..level(0.0, 0.0, 0.0) },
    ] {
        let mut levels = square().to_vec();
        levels.push(bad);
        check_refused(&levels, &[], BadLevels::NoLevel(5));
        let walked = Breakline { points: vec![level(1.0, 1.0, 0.0), bad] };
        check_refused(&square(), &[walked], BadLevels::NoLevelOnBreakline { breakline: 1, point: 2 });
    }
}

#[test]
fn breaklines_that_cross_are_named() {
    let north = line(&[(20.0, 5.0, 0.0), (20.0, 35.0, 0.0)]);
    let other = line(&[(1.0, 1.0, 0.0), (2.0, 2.0, 0.0)]);
    let east = line(&[(5.0, 20.0, 1.0), (35.0, 20.0, 1.0)]);
    let crossing = BadLevels::BreaklinesCross { first: 1, second: 3 };
    check_refused(&square(), &[north.clone(), other.clone(), east], crossing);
    let itself = line(&[(5.0, 5.0, 0.0), (35.0, 35.0, 0.0), (35.0, 5.0, 0.0), (5.0, 35.0, 0.0)]);
    check_refused(&square(), &[other, itself], BadLevels::BreaklinesCross { first: 2, second: 2 });
    check_refused(&square(), &[line(&[(5.0, 5.0, 0.0); 2])], BadLevels::ShortBreakline(1));
    check_refused(&square(), &[line(&[])], BadLevels::ShortBreakline(1));
    // Joined in a point that both have, or in one that lies on the other, or one upon the other.
    let joined = line(&[(5.0, 20.0, 1.0), (20.0, 20.0, 0.0), (35.0, 20.0, 1.0)]);
    let through = surface(&square(), &[north.clone(), joined]);
    assert!(through.height_at(p(20.0, 20.0)).expect("measured").0.to_m().abs() < 1e-12);
    surface(&square(), &[north.clone(), line(&[(20.0, 5.0, 0.0), (20.0, 38.0, 0.0)]), north]);
}

#[test]
fn refusals_say_what_is_wrong() {
    for (error, text) in [
        (BadLevels::NoLevel(2), "level 2 is not a place near the datum with a height and an error"),
        (
            BadLevels::NoLevelOnBreakline { breakline: 1, point: 3 },
            "point 3 of breakline 1 is not a place near the datum with a height and an error",
        ),
        (BadLevels::ShortBreakline(4), "breakline 4 has one place or none, expected at least 2"),
        (
            BadLevels::BreaklinesCross { first: 1, second: 3 },
            "breaklines 1 and 3 cross, expected a point that both have",
        ),
    ] {
        assert_eq!(error.to_string(), text);
    }
}

/// Levels strewn over 100 m by 100 m, in cells of 10 m, none of which lies near another.
pub(crate) fn strewn() -> impl Strategy<Value = Vec<Level>> {
    let cell = (1.0..9.0_f64, 1.0..9.0_f64, -1.0..1.0_f64, 0.001..0.1_f64);
    prop::collection::vec(cell, 100).prop_map(|cells| {
        let place = |(i, (x, y, z, sigma)): (usize, (f64, f64, f64, f64))| Level {
            at: p(10.0 * (i % 10) as f64 + x, 10.0 * (i / 10) as f64 + y),
            height: Metres::m(z),
            sigma: Metres::m(sigma),
        };
        cells.into_iter().enumerate().map(place).collect()
    })
}

/// Turned by a heading and moved.
pub(crate) fn moved(at: Point, turn: f64, (x, y): (f64, f64)) -> Point {
    let (sin, cos) = turn.to_radians().sin_cos();
    p(at.x * cos + at.y * sin + x, at.y * cos - at.x * sin + y)
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs())
}

proptest! {
    #[test]
    fn turning_and_shifting_the_field_changes_nothing(
        levels in strewn(), turn in 0.0..360.0_f64, by in (-900.0..900.0_f64, -900.0..900.0_f64),
        rise in -500.0..500.0_f64, q in (20.0..80.0_f64, 20.0..80.0_f64),
    ) {
        let here = surface(&levels, &[]);
        let there: Vec<Level> = levels
            .iter()
            .map(|l| Level { at: moved(l.at, turn, by), height: l.height + Metres::m(rise), ..*l })
            .collect();
        let there = surface(&there, &[]);
        let (a, b) = (p(q.0, q.1), moved(p(q.0, q.1), turn, by));
        let ((za, sa), (zb, sb)) = (here.height_at(a).expect("here"), there.height_at(b).expect("there"));
        prop_assert!(near((za + Metres::m(rise)).to_m(), zb.to_m()) && near(sa.to_m(), sb.to_m()));
        let (ga, gb) = (here.gradient_at(a).expect("here"), there.gradient_at(b).expect("there"));
        prop_assert!(near(ga.steepest().to_ratio(), gb.steepest().to_ratio()));
        let along = |g: Gradient, deg: f64| g.along(TrueHeading::deg(deg)).to_ratio();
        prop_assert!(near(along(ga, 30.0), along(gb, 30.0 + turn)));
        prop_assert!(near(here.steepest().to_ratio(), there.steepest().to_ratio()));
        prop_assert!(near(here.bend_bound().to_ratio(), there.bend_bound().to_ratio()));
        let spacing = |s: &Surface, q: Point| s.spacing_at(q).expect("measured").to_m();
        prop_assert!(near(spacing(&here, a), spacing(&there, b)));
    }

    #[test]
    fn levels_of_a_plane_give_the_plane_and_one_more_changes_nothing(
        levels in strewn(), east in -0.1..0.1_f64, north in -0.1..0.1_f64,
        more in (15.0..85.0_f64, 15.0..85.0_f64), q in (20.0..80.0_f64, 20.0..80.0_f64),
    ) {
        let on_plane = |at: Point| Metres::m(50.0 + east * at.x + north * at.y);
        let sure = |at: Point| Level { at, height: on_plane(at), sigma: Metres::ZERO };
        let mut levels: Vec<Level> = levels.iter().map(|l| sure(l.at)).collect();
        for _ in 0..2 {
            let surface = surface(&levels, &[]);
            let q = p(q.0, q.1);
            let (height, _) = surface.height_at(q).expect("measured");
            prop_assert!(near(height.to_m(), on_plane(q).to_m()));
            // One more that stands beside another is taken into it and makes it less sure, by no more
            // than the plane rises over 0.25 m; it changes no height.
            let steepest = surface.steepest().to_ratio();
            prop_assert!(steepest >= east.hypot(north) - 1e-9);
            prop_assert!(surface.worst_sigma().to_m() <= 0.25 * east.hypot(north) + 1e-12);
            prop_assert!(surface.worst_sigma() > Metres::ZERO || near(steepest, east.hypot(north)));
            let beside = levels.len() > 100 && levels[..100].iter().any(|l| apart(l.at, levels[100].at) < 0.25);
            prop_assert!(beside || surface.worst_sigma() == Metres::ZERO);
            prop_assert!(surface.bend_bound().to_ratio() < 1e-9);
            levels.push(sure(p(more.0, more.1)));
        }
    }

    #[test]
    fn more_error_of_a_level_makes_nothing_surer(
        levels in strewn(), which in 0..100_usize, more in 0.0..0.5_f64,
        q in (20.0..80.0_f64, 20.0..80.0_f64),
    ) {
        let mut worse = levels.clone();
        worse[which].sigma = worse[which].sigma + Metres::m(more);
        let (before, after, q) = (surface(&levels, &[]), surface(&worse, &[]), p(q.0, q.1));
        let sigma = |s: &Surface| s.height_at(q).expect("measured").1;
        prop_assert!(sigma(&after) >= sigma(&before));
        let slope = |s: &Surface| s.gradient_at(q).expect("measured").sigma;
        prop_assert!(slope(&after) >= slope(&before));
        prop_assert!(after.steepest() >= before.steepest());
    }

    #[test]
    fn no_facet_is_steeper_than_the_steepest_nor_two_differ_by_more_than_the_bend(
        levels in strewn(), a in (0.0..100.0_f64, 0.0..100.0_f64), b in (0.0..100.0_f64, 0.0..100.0_f64),
    ) {
        let surface = surface(&levels, &[]);
        if let (Some(f), Some(g)) = (surface.gradient_at(p(a.0, a.1)), surface.gradient_at(p(b.0, b.1))) {
            prop_assert!(f.steepest() <= surface.steepest());
            let apart = (f.east - g.east).to_ratio().hypot((f.north - g.north).to_ratio());
            prop_assert!(apart <= surface.bend_bound().to_ratio() + 1e-12);
        }
    }

    #[test]
    fn anything_at_all_is_a_surface_or_refused(
        raw in prop::collection::vec((-3..4_i32, -3..4_i32, -2..3_i32), 0..14), cut in 0..14_usize,
        q in (-3..4_i32, -3..4_i32),
    ) {
        // Whole coordinates: places taken twice, levels on lines and on breaklines, crossings.
        let all: Vec<Level> =
            raw.iter().map(|&(x, y, z)| level(f64::from(x), f64::from(y), f64::from(z))).collect();
        let (levels, rest) = all.split_at(cut.min(all.len()));
        let lines: Vec<Breakline> = rest.chunks(3).map(|c| Breakline { points: c.to_vec() }).collect();
        if let Ok(surface) = Surface::new(levels, &lines) {
            let height = surface.height_at(p(f64::from(q.0), f64::from(q.1)));
            prop_assert!(height.is_none_or(|(z, s)| z.to_m().abs() <= 2.0 + 1e-12 && s.to_m() >= 0.0));
            prop_assert!(surface.steepest().to_ratio().is_finite());
        }
    }
}
