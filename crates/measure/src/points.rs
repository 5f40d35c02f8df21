//! Points that fill a unit cube evenly: in place of random numbers where many values vary at once.
//!
//! Replicates of one scrambled low-discrepancy sequence, each scrambled with its own fixed seed: within one
//! they cover the cube more evenly than chance, between them they differ by chance, and that difference
//! tells the error of whatever is worked out from them.
//!
//! Invariants: the same points always; the first of a larger number are those of a smaller one, replicate
//! by replicate; a coordinate is never 0 or 1.
//!
//! Not here: what the coordinates stand for.
//!
//! Source: Sobol' sequence with Owen's scrambling, crate `sobol_burley` (Burley 2020, J. Computer Graphics
//! Techniques 9(4), as its documentation says).

use crate::normal;
use std::sync::LazyLock;

/// Coordinates of a point.
pub const COORDINATES: usize = 9;

/// Replicates.
pub const REPLICATES: usize = 8;

/// Points of a replicate at most.
const EACH: usize = 512;

/// Points at most, all replicates together.
pub const MOST_POINTS: usize = REPLICATES * EACH;

/// One point.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Point {
    /// Evenly spread between 0 and 1.
    pub uniform: [f64; COORDINATES],
    /// The same as standard normal scores.
    pub normal: [f64; COORDINATES],
}

impl Point {
    /// The middle of the cube.
    pub const MIDDLE: Self = Self { uniform: [0.5; COORDINATES], normal: [0.0; COORDINATES] };

    /// The same with one coordinate in the middle.
    #[must_use]
    pub fn without(mut self, coordinate: usize) -> Self {
        if coordinate < COORDINATES {
            self.uniform[coordinate] = 0.5;
            self.normal[coordinate] = 0.0;
        }
        self
    }
}

static TABLE: LazyLock<Vec<Point>> = LazyLock::new(|| {
    let replicates = 0..REPLICATES as u32;
    replicates.flat_map(|seed| (0..EACH as u32).map(move |i| point(i, seed))).collect()
});

/// The first points of one replicate.
///
/// `count` of all replicates together is rounded down to a multiple of their number, at least one each, at
/// most [`MOST_POINTS`].
pub fn replicate(which: usize, count: usize) -> &'static [Point] {
    let each = (count / REPLICATES).clamp(1, EACH);
    let from = which.min(REPLICATES - 1) * EACH;
    &TABLE[from..from + each]
}

fn point(index: u32, seed: u32) -> Point {
    // The middle of a cell of the sequence's 24 bits is neither 0 nor 1.
    const HALF_CELL: f64 = 1.0 / (1_u32 << 25) as f64;
    let uniform = std::array::from_fn(|d| {
        f64::from(sobol_burley::sample(index, d as u32, seed)).min(1.0 - 2.0 * HALF_CELL) + HALF_CELL
    });
    Point { uniform, normal: uniform.map(normal::quantile) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_of_many_are_those_of_few() {
        assert_eq!(replicate(3, 1024), &replicate(3, 4096)[..128]);
        assert_eq!((replicate(0, 3).len(), replicate(0, 1_000_000).len()), (1, EACH));
    }

    #[test]
    fn every_coordinate_is_spread_evenly_and_none_reaches_the_ends() {
        for which in 0..REPLICATES {
            for d in 0..COORDINATES {
                let points = replicate(which, MOST_POINTS);
                // A scrambled sequence has one point in each of its 512 cells.
                let mut cells: Vec<usize> = points.iter().map(|p| (p.uniform[d] * 512.0) as usize).collect();
                cells.sort_unstable();
                assert!(cells.iter().enumerate().all(|(i, &cell)| i == cell));
                assert!(points.iter().all(|p| 0.0 < p.uniform[d] && p.uniform[d] < 1.0));
                assert!(points.iter().all(|p| p.normal[d].is_finite()));
            }
        }
    }

    #[test]
    fn replicates_differ() {
        assert_ne!(replicate(0, 64), replicate(1, 64));
    }

    #[test]
    fn a_coordinate_taken_out_lies_in_the_middle() {
        let p = replicate(0, 64)[5].without(2);
        assert!((p.uniform[2] - 0.5).abs() < 1e-15 && p.normal[2].abs() < 1e-15);
        assert_eq!(Point::MIDDLE, (0..COORDINATES).fold(p, Point::without));
    }
}
