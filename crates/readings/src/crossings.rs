//! How often a closed walk crosses itself, because the work of taking it apart grows with that.
//!
//! Sides are swept in order of their western ends, so that only sides that overlap from west to east
//! are compared.

use geo::{Intersects, Line};
use ground::Point;

/// Most crossings that are taken apart; a walk that weaves along itself for an hour has hundreds.
pub(crate) const MOST_CROSSINGS: usize = 20_000;

/// Whether the sides of a ring meet more often than is taken apart; sides that follow each other always
/// meet and do not count.
pub(crate) fn is_tangled(ring: &[Point]) -> bool {
    let count = ring.len();
    let mut sides: Vec<(usize, Line<f64>)> =
        (0..count).map(|i| (i, Line::new(ring[i], ring[(i + 1) % count]))).collect();
    let west = |l: &Line<f64>| l.start.x.min(l.end.x);
    let east = |l: &Line<f64>| l.start.x.max(l.end.x);
    sides.sort_by(|a, b| west(&a.1).total_cmp(&west(&b.1)));
    let mut met = 0;
    for (i, (number, side)) in sides.iter().enumerate() {
        for (other, next) in sides[i + 1..].iter().take_while(|(_, next)| west(next) <= east(side)) {
            let steps = number.abs_diff(*other);
            if steps > 1 && steps + 1 < count && side.intersects(next) {
                met += 1;
                if met > MOST_CROSSINGS {
                    return true;
                }
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A zigzag between two lines and back between them: each of the first meets each of the second.
    fn crossed(there: u32, back: u32) -> Vec<Point> {
        let along = (0..=there).map(|i| Point { x: f64::from(i % 2), y: f64::from(i) / f64::from(there) });
        let across = (0..=back).map(|i| Point { x: f64::from(i) / f64::from(back), y: f64::from(i % 2) });
        along.chain(across).collect()
    }

    #[test]
    fn a_walk_that_crosses_itself_too_often_is_tangled() {
        assert!(is_tangled(&crossed(201, 201)));
        assert!(!is_tangled(&crossed(101, 101)));
        assert!(!is_tangled(&[]));
    }
}
