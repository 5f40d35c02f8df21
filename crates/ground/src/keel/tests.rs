//! The keel along a lane: worked numbers and laws.

use super::*;
use crate::surface::tests::{moved, strewn};
use crate::{Breakline, Level};
use measure::TrueHeading;
use proptest::prelude::*;

const SIGMA: f64 = 0.02;

fn level(x: f64, y: f64, z: f64) -> Level {
    Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(SIGMA) }
}

fn lane(x: f64, y: f64, heading: f64, length: f64) -> Lane {
    Lane { near: Point { x, y }, heading: TrueHeading::deg(heading), length: Metres::m(length) }
}

/// Levels every metre from -12 to 92 east, in rows from 3 m south to 3 m north, on any ground.
fn dense(height: impl Fn(f64, f64) -> f64) -> Surface {
    let places = (-12..=92).flat_map(|x| (-3..=3).map(move |y| (f64::from(x), f64::from(y))));
    let levels: Vec<Level> = places.map(|(x, y)| level(x, y, height(x, y))).collect();
    Surface::new(&levels, &[]).expect("a surface")
}

#[test]
fn on_a_plane_the_first_station_and_the_last_are_enough() {
    let corners = [(-50.0, -50.0), (700.0, -50.0), (700.0, 50.0), (-50.0, 50.0)];
    let levels = corners.map(|(x, y)| level(x, y, 0.02 * x - 0.01 * y));
    let levels = levels.map(|l| Level { sigma: Metres::ZERO, ..l });
    let surface = Surface::new(&levels, &[]).expect("a surface");
    let path = keel_path(&surface, &lane(0.0, 0.0, 90.0, 600.0), Metres::m(4.0));
    assert_eq!(path.len(), 2);
    assert_eq!((path[0].chainage, path[1].chainage), (Metres::ZERO, Metres::m(600.0)));
    for station in path {
        let ground = station.ground.expect("measured");
        assert!((ground.slope_along.to_ratio() - 0.02).abs() < 1e-12);
        // Right of east is south, where the plane rises.
        assert!((ground.slope_across.expect("measured").to_ratio() - 0.01).abs() < 1e-12);
        assert!(ground.slope_along_sigma.to_ratio() < 1e-12);
        assert!(ground.curvature.expect("measured").per_metre.abs() < 1e-12);
        assert!(ground.coarse, "four levels for a field");
    }
}

#[test]
fn on_waves_the_curvature_is_that_of_the_second_difference() {
    // z = A sin(w s): m(s) = A sin(w s) cos(w L / 2), and its second difference over L is that times
    // -4 sin^2(w L / 2) / L^2. Every end of a chord is at a level.
    let (amplitude, length, keel) = (0.5, 40.0, 4.0_f64);
    let w = std::f64::consts::TAU / length;
    let surface = dense(|x, _| amplitude * (w * x).sin());
    let path = keel_path(&surface, &lane(0.0, 0.0, 90.0, 80.0), Metres::m(keel));
    assert_eq!(path.len(), 41);
    let half = w * keel / 2.0;
    for station in path {
        let ground = station.ground.expect("measured");
        let at = w * station.chainage.to_m();
        let k = -amplitude * at.sin() * half.cos() * 4.0 * half.sin().powi(2) / (keel * keel);
        let curvature = ground.curvature.expect("measured");
        assert!((curvature.per_metre - k).abs() < 1e-12, "{} for {k}", curvature.per_metre);
        // sqrt(6) sigma / L^2 is more than the sigma / L^2 of four levels weighted by halves.
        assert!((curvature.sigma_per_metre - 6_f64.sqrt() * SIGMA / 16.0).abs() < 1e-12);
        let slope = amplitude * at.cos() * 2.0 * half.sin() / keel;
        assert!((ground.slope_along.to_ratio() - slope).abs() < 1e-12);
        assert!((ground.slope_along_sigma.to_ratio() - 2_f64.sqrt() * SIGMA / keel).abs() < 1e-12);
        assert!(!ground.coarse);
    }
}

#[test]
fn a_hollow_is_curved_upwards() {
    let surface = dense(|x, _| 0.01 * (x - 40.0) * (x - 40.0));
    let path = keel_path(&surface, &lane(0.0, 0.0, 90.0, 80.0), Metres::m(4.0));
    let curvature = path[20].ground.and_then(|g| g.curvature).expect("measured");
    assert!((curvature.per_metre - 0.02).abs() < 1e-12);
}

#[test]
fn between_coarse_levels_the_error_is_what_the_bend_between_three_of_them_carries() {
    // Cross rows 20 m apart: at the middle row the profile is z = max(0, x) times the bend, of which
    // the four ends see 1/2 keel: k = bend / 2 L, and the bend of three levels 20 m apart has the error
    // sqrt(6) sigma / 20. Rows of breaklines make the three levels three.
    let rows: Vec<Breakline> = (-1..=1)
        .map(|i| Breakline { points: [-2.0, 0.0, 2.0].map(|y| level(20.0 * f64::from(i), y, 0.0)).into() })
        .collect();
    let surface = Surface::new(&[], &rows).expect("a surface");
    let path = keel_path(&surface, &lane(0.0, 0.0, 90.0, 2.0), Metres::m(4.0));
    let ground = path[0].ground.expect("measured");
    assert!(ground.coarse);
    let sigma = ground.curvature.expect("measured").sigma_per_metre;
    assert!((sigma - 6_f64.sqrt() * SIGMA / 20.0 / 8.0).abs() < 1e-12, "{sigma}");
}

#[test]
fn where_an_end_of_the_keel_is_off_the_levels_nothing_is_measured() {
    // Levels from -12 to 92: the keel of 4 m from 38 on, to 90; the curvature as far as six from there.
    let surface = dense(|_, _| 0.0);
    let path = keel_path(&surface, &lane(52.0, 0.0, 90.0, 60.0), Metres::m(4.0));
    let last = |f: &dyn Fn(&KeelStation) -> bool| path.iter().filter(|s| f(s)).map(|s| s.chainage).last();
    assert_eq!(last(&|s| s.ground.is_some()), Some(Metres::m(38.0)));
    assert_eq!(last(&|s| s.ground.is_some_and(|g| g.curvature.is_some())), Some(Metres::m(34.0)));
    assert_eq!(path.last().map(|s| (s.chainage, s.ground)), Some((Metres::m(60.0), None)));
    // One metre from the southern rim there is no ground for a chord across.
    let path = keel_path(&surface, &lane(0.0, -2.0, 90.0, 60.0), Metres::m(4.0));
    assert!(path.iter().all(|s| s.ground.is_some_and(|g| g.slope_across.is_none())));
}

#[test]
fn a_keel_or_a_lane_of_no_length_has_no_stations_or_few() {
    let surface = dense(|_, _| 0.0);
    let east = lane(0.0, 0.0, 90.0, 60.0);
    for keel in [0.0, -4.0, f64::NAN, f64::INFINITY] {
        assert!(keel_path(&surface, &east, Metres::m(keel)).is_empty());
    }
    assert!(keel_path(&surface, &lane(0.0, 0.0, 90.0, f64::NAN), Metres::m(4.0)).is_empty());
    assert!(keel_path(&surface, &lane(0.0, 0.0, 90.0, 0.0), Metres::m(4.0)).len() <= 2);
    let path = keel_path(&dense(|x, _| (x * 7.0).sin()), &east, Metres::m(1e-6));
    assert!(path.len() <= 401);
}

proptest! {
    #[test]
    fn turning_and_shifting_field_and_lane_changes_no_station(
        levels in strewn(), turn in 0.0..360.0_f64, by in (-900.0..900.0_f64, -900.0..900.0_f64),
        heading in 0.0..90.0_f64, keel in 2.0..8.0_f64,
    ) {
        let there: Vec<Level> = levels.iter().map(|l| Level { at: moved(l.at, turn, by), ..*l }).collect();
        let near = Point { x: 25.0, y: 25.0 };
        let at = moved(near, turn, by);
        let (a, b) = (lane(near.x, near.y, heading, 50.0), lane(at.x, at.y, heading + turn, 50.0));
        let path = |levels: &[Level], lane: &Lane| {
            keel_path(&Surface::new(levels, &[]).expect("a surface"), lane, Metres::m(keel))
        };
        let (here, there) = (path(&levels, &a), path(&there, &b));
        prop_assert_eq!(here.len(), there.len());
        for (p, q) in here.iter().zip(&there) {
            prop_assert!((p.chainage - q.chainage).abs() < Metres::m(1e-9));
            prop_assert!(is_same(p, q), "{:?} {:?}", p, q);
        }
    }

    #[test]
    fn more_error_of_a_level_makes_no_station_surer(
        levels in strewn(), which in 0..100_usize, more in 0.0..0.5_f64, keel in 2.0..8.0_f64,
    ) {
        let lane = lane(20.0, 20.0, 40.0, 60.0);
        // Not merged, so that the stations are the same ones.
        let stations = |levels: &[Level]| -> Vec<Option<UnderKeel>> {
            let surface = Surface::new(levels, &[]).expect("a surface");
            (0..30).map(|i| under(&surface, &lane, Metres::m(keel), Metres::m(2.0 * f64::from(i)))).collect()
        };
        let before = stations(&levels);
        let mut worse = levels;
        worse[which].sigma = worse[which].sigma + Metres::m(more);
        for (b, a) in before.into_iter().zip(stations(&worse)) {
            prop_assert_eq!(b.is_some(), a.is_some());
            if let (Some(b), Some(a)) = (b, a) {
                prop_assert!(a.slope_along_sigma >= b.slope_along_sigma);
                prop_assert_eq!(b.curvature.is_some(), a.curvature.is_some());
                if let (Some(b), Some(a)) = (b.curvature, a.curvature) {
                    prop_assert!(a.sigma_per_metre >= b.sigma_per_metre);
                }
            }
        }
    }

    #[test]
    fn no_chord_is_steeper_nor_more_bent_than_the_surface_allows(
        levels in strewn(), beside in prop::collection::vec((-0.5..0.5_f64, -0.5..0.5_f64, -0.3..0.3_f64), 100),
        heading in 0.0..90.0_f64, keel in 1.0..8.0_f64,
    ) {
        // Each level has another within half a metre: turf, or a wall.
        let others = levels.iter().zip(beside).map(|(l, (x, y, z))| Level {
            at: Point { x: l.at.x + x, y: l.at.y + y },
            height: l.height + Metres::m(z),
            ..*l
        });
        let levels: Vec<Level> = levels.iter().copied().chain(others).collect();
        let surface = Surface::new(&levels, &[]).expect("a surface");
        let (steepest, bend) = (surface.steepest(), surface.bend_bound().to_ratio());
        for station in keel_path(&surface, &lane(35.0, 35.0, heading, 30.0), Metres::m(keel)) {
            let ground = station.ground.expect("inside");
            prop_assert!(ground.slope_along <= steepest && -ground.slope_along <= steepest);
            // Half the difference of the slopes of two chords of a keel's length, over that length.
            let curvature = ground.curvature.expect("inside").per_metre;
            prop_assert!(curvature.abs() <= bend / (2.0 * keel) + 1e-9);
        }
    }

    #[test]
    fn going_straight_between_the_stations_kept_is_going_by_all_of_them(
        heights in prop::collection::vec(0..3_i32, 12),
    ) {
        // Ground in flat pieces and ramps, so that some stations repeat and some do not.
        let surface = dense(|x, _| {
            let i = ((x + 12.0) / 10.0).floor() as usize;
            f64::from(heights[i.min(11)]) * 0.1
        });
        let lane = lane(0.0, 0.0, 90.0, 80.0);
        let path = keel_path(&surface, &lane, Metres::m(4.0));
        for i in 0..=40 {
            let at = Metres::m(2.0 * f64::from(i));
            let slope = under(&surface, &lane, Metres::m(4.0), at).expect("measured").slope_along.to_ratio();
            let after = path.partition_point(|s| s.chainage < at).clamp(1, path.len() - 1);
            let [a, b] = [path[after - 1], path[after]].map(|s| {
                (s.chainage, s.ground.expect("measured").slope_along.to_ratio())
            });
            let between = a.1 + (b.1 - a.1) * ((at - a.0) / (b.0 - a.0));
            prop_assert!((slope - between).abs() <= 2.0 * SAME_SLOPE);
        }
    }
}
