//! Fewer corners for a line or a ring, none of them farther from it than a tolerance.
//!
//! Invariants: every corner that stays is one of those given; each corner that goes lies within the
//! tolerance of the piece that stands for it, and so does each point of that piece of the line.
//!
//! The algorithm is Ramer's (1972) and Douglas and Peucker's (1973), without recursion: the one of the
//! geometry library goes as deep as the line has corners, and a walk could overflow the stack.

use ground::Point;

/// Simplifies a line; its ends stay.
pub(crate) fn line(points: &[Point], tolerance: f64) -> Vec<Point> {
    let mut stays = vec![false; points.len()];
    for end in [0, points.len().saturating_sub(1)] {
        if let Some(stay) = stays.get_mut(end) {
            *stay = true;
        }
    }
    let mut todo = vec![(0, points.len().saturating_sub(1))];
    while let Some((from, to)) = todo.pop() {
        let between = points.iter().enumerate().take(to).skip(from + 1);
        let away = between.map(|(i, &p)| (i, away_squared(p, points[from], points[to])));
        let Some((farthest, away)) = away.max_by(|a, b| a.1.total_cmp(&b.1)) else { continue };
        if away > tolerance * tolerance {
            stays[farthest] = true;
            todo.push((from, farthest));
            todo.push((farthest, to));
        }
    }
    points.iter().zip(stays).filter(|&(_, stays)| stays).map(|(&p, _)| p).collect()
}

/// Simplifies a ring, the last corner not repeating the first. It is cut at two corners that are far
/// apart, so that a walk that starts in the middle of a side leaves no corner there.
pub(crate) fn ring(corners: &[Point], tolerance: f64) -> Vec<Point> {
    let Some(&first) = corners.first() else { return Vec::new() };
    let start = farthest_from(first, corners);
    let turned: Vec<Point> = corners[start..].iter().chain(&corners[..start]).copied().collect();
    let far = farthest_from(turned[0], &turned);
    let mut there = line(&turned[..=far], tolerance);
    let back: Vec<Point> = turned[far..].iter().chain(&turned[..1]).copied().collect();
    let back = line(&back, tolerance);
    // Both halves have both ends.
    there.pop();
    there.extend_from_slice(&back[..back.len().saturating_sub(1)]);
    there
}

fn farthest_from(from: Point, corners: &[Point]) -> usize {
    let away = |p: &Point| (p.x - from.x).powi(2) + (p.y - from.y).powi(2);
    let farthest = corners.iter().enumerate().max_by(|a, b| away(a.1).total_cmp(&away(b.1)));
    farthest.map_or(0, |(i, _)| i)
}

/// Square of the distance of a point from a straight piece of line.
fn away_squared(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let length_squared = along.x * along.x + along.y * along.y;
    let to = p - a;
    let share = if length_squared > 0.0 { (to.x * along.x + to.y * along.y) / length_squared } else { 0.0 };
    let off = to - along * share.clamp(0.0, 1.0);
    off.x * off.x + off.y * off.y
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn p(x: f64, y: f64) -> Point {
        Point { x, y }
    }

    proptest! {
        #[test]
        fn no_corner_that_goes_is_farther_away_than_the_tolerance(
            list in prop::collection::vec((-100.0..100.0_f64, -100.0..100.0_f64), 2..40),
            tolerance in 0.1..50.0_f64,
        ) {
            let points: Vec<Point> = list.iter().map(|&(x, y)| p(x, y)).collect();
            let simple = line(&points, tolerance);
            prop_assert_eq!((simple.first(), simple.last()), (points.first(), points.last()));
            for &corner in &points {
                let away = simple.windows(2).map(|w| away_squared(corner, w[0], w[1])).fold(f64::MAX, f64::min);
                prop_assert!(away.sqrt() <= tolerance + 1e-9);
            }
        }
    }

    #[test]
    fn a_small_bend_goes_and_a_large_one_stays() {
        let bent = [p(0.0, 0.0), p(5.0, 0.9), p(10.0, 0.0), p(15.0, 1.1), p(20.0, 0.0)];
        assert_eq!(line(&bent, 1.0), vec![bent[0], bent[3], bent[4]]);
    }

    #[test]
    fn a_start_in_the_middle_of_a_side_leaves_no_corner() {
        let square = [p(5.0, 0.0), p(10.0, 0.0), p(10.0, 10.0), p(0.0, 10.0), p(0.0, 0.0)];
        assert_eq!(ring(&square, 0.5), vec![square[3], square[4], square[1], square[2]]);
    }

    #[test]
    fn a_line_that_grows_in_zigzag_does_not_overflow_the_stack() {
        let zigzag: Vec<Point> = (0..5_000)
            .map(|i| p(f64::from(i), if i % 2 == 0 { 1.0 } else { -1.0 } * f64::from(i) * 2.0))
            .collect();
        assert_eq!(line(&zigzag, 0.5).len(), zigzag.len());
    }
}
