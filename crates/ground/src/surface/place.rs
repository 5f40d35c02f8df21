//! Which levels become corners of facets: one for each place.
//!
//! Invariants:
//! - no two corners are at one place; two that came from levels, not from breaklines, and lie within
//!   0.25 m of each other differ in height by 0.10 m or more;
//! - a corner is not surer than the level it stands for, nor than the others at its place agree;
//! - more error of any level makes no corner surer, and moves none in place.
//!
//! Why levels side by side become one: the slope between them is that of the turf under the staff. As
//! slope of a facet it would be met by nobody, and it must not be left out of the steepest either.

use crate::{Level, Point};
use measure::Metres;
use std::collections::HashMap;

/// Distance and difference of height below which, both, two levels stand for one place, metres
/// (judgement: turf, and how near to a place a staff is held). A higher one is a wall.
const TURF_WIDTH: f64 = 0.25;
const TURF_RISE: Metres = Metres::m(0.10);

/// The corners, those of breaklines first, each in the order in which its place first comes; and which
/// of them each point of the breaklines became.
pub(super) fn knots(lines: &[Level], alone: &[Level]) -> (Vec<Level>, Vec<usize>) {
    let given = [lines, alone].concat();
    let (places, knot_of) = apart(&given);
    let of_lines = knot_of[..lines.len()].to_vec();
    let fixed = of_lines.iter().map(|&knot| knot + 1).max().unwrap_or(0);
    (without_turf(&places, fixed), of_lines)
}

/// One level for each place, in the order in which places first come, and which of them each of the
/// given became.
fn apart(given: &[Level]) -> (Vec<Level>, Vec<usize>) {
    let mut order: Vec<usize> = (0..given.len()).collect();
    order.sort_by(|&i, &j| {
        let (a, b) = (given[i].at, given[j].at);
        a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)).then(i.cmp(&j))
    });
    let mut first_of: Vec<usize> = (0..given.len()).collect();
    let mut merged: Vec<Option<Level>> = vec![None; given.len()];
    for same in order.chunk_by(|&i, &j| given[i].at == given[j].at) {
        for &i in same {
            first_of[i] = same[0];
        }
        merged[same[0]] = Some(together(given, same));
    }
    let mut places = Vec::new();
    let mut place_of = vec![0; given.len()];
    for (i, level) in merged.into_iter().enumerate() {
        if let Some(level) = level {
            place_of[i] = places.len();
            places.push(level);
        }
    }
    (places, first_of.into_iter().map(|i| place_of[i]).collect())
}

/// Several levels of one place: the mean of the surest. Its error is not smaller than theirs, as they
/// may share it, nor than what all of them lie apart, whoever is right.
fn together(given: &[Level], same: &[usize]) -> Level {
    let all = || same.iter().map(|&i| given[i]);
    let first = given[same[0]];
    let least = all().map(|l| l.sigma).fold(first.sigma, Metres::min);
    let (mut sum, mut count) = (Metres::ZERO, 0.0);
    for level in all().filter(|l| l.sigma <= least) {
        sum = sum + (level.height - first.height);
        count += 1.0;
    }
    let highest = all().map(|l| l.height).fold(first.height, Metres::max);
    let lowest = all().map(|l| l.height).fold(first.height, Metres::min);
    Level { height: first.height + sum / count, sigma: least.max(highest - lowest), ..first }
}

/// The same without those that stand beside one before them. That one's place and height stay, so that
/// no error moves it, and its error is no smaller than they lie apart. The first few are all kept.
fn without_turf(places: &[Level], fixed: usize) -> Vec<Level> {
    let mut kept: Vec<Level> = Vec::with_capacity(places.len());
    let mut in_cell: HashMap<(i64, i64), Vec<usize>> = HashMap::with_capacity(places.len());
    for (i, place) in places.iter().enumerate() {
        let beside = (i >= fixed).then(|| beside(place, &kept, &in_cell)).flatten();
        if let Some(knot) = beside {
            let apart = (kept[knot].height - place.height).abs();
            kept[knot].sigma = kept[knot].sigma.max(apart);
        } else {
            in_cell.entry(cell(place.at)).or_default().push(kept.len());
            kept.push(*place);
        }
    }
    kept
}

fn cell(at: Point) -> (i64, i64) {
    ((at.x / TURF_WIDTH).floor() as i64, (at.y / TURF_WIDTH).floor() as i64)
}

/// The nearest of the kept that a level stands beside; of equals the first.
fn beside(level: &Level, kept: &[Level], in_cell: &HashMap<(i64, i64), Vec<usize>>) -> Option<usize> {
    let (column, row) = cell(level.at);
    let around = (-1..=1).flat_map(|i| (-1..=1).map(move |j| (column + i, row + j)));
    let off = |knot: usize| super::facet::apart(kept[knot].at, level.at);
    let near = around
        .filter_map(|cell| in_cell.get(&cell))
        .flatten()
        .copied()
        .filter(|&knot| off(knot) < TURF_WIDTH && (kept[knot].height - level.height).abs() < TURF_RISE);
    near.min_by(|&a, &b| off(a).total_cmp(&off(b)).then(a.cmp(&b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn level(x: f64, y: f64, z: f64, sigma: f64) -> Level {
        Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(sigma) }
    }

    fn one(levels: &[Level]) -> (f64, f64) {
        let (places, of) = apart(levels);
        assert!(places.len() == 1 && of.iter().all(|&p| p == 0));
        (places[0].height.to_m(), places[0].sigma.to_m())
    }

    #[test]
    fn of_two_levels_at_one_place_the_surer_counts_and_their_quarrel_is_its_error() {
        let (z, sigma) = one(&[level(1.0, 1.0, 5.1, 0.2), level(1.0, 1.0, 5.0, 0.02)]);
        assert!((z - 5.0).abs() < 1e-12 && (sigma - 0.1).abs() < 1e-12);
    }

    #[test]
    fn equally_sure_levels_at_one_place_are_averaged_and_none_makes_the_other_surer() {
        let (z, sigma) = one(&[level(1.0, 1.0, 5.01, 0.02), level(1.0, 1.0, 5.0, 0.02)]);
        assert!((z - 5.005).abs() < 1e-12 && (sigma - 0.02).abs() < 1e-12);
    }

    #[test]
    fn a_level_beside_another_is_turf_and_widens_its_error() {
        let one = level(5.0, 5.0, 1.0, 0.02);
        let check = |x: f64, z: f64, sigmas: &[f64]| {
            let (knots, _) = knots(&[], &[one, level(x, 5.0, z, 0.001)]);
            let got: Vec<f64> = knots.iter().map(|l| l.sigma.to_m()).collect();
            assert_eq!(got.len(), sigmas.len(), "{x} {z}");
            assert!(got.iter().zip(sigmas).all(|(g, s)| (g - s).abs() < 1e-12), "{x} {z} {got:?}");
            assert_eq!(knots[0].at, one.at);
            assert_eq!(knots[0].height, one.height);
        };
        check(5.24, 1.01, &[0.02]);
        check(4.76, 1.09, &[0.09]);
        // A wall, and one that stands apart.
        check(5.24, 1.11, &[0.02, 0.001]);
        check(5.25, 1.01, &[0.02, 0.001]);
    }

    #[test]
    fn points_of_breaklines_side_by_side_stay_apart_and_take_in_levels() {
        let lines = [level(5.0, 5.0, 1.0, 0.02), level(5.1, 5.0, 1.0, 0.02)];
        let (knots, of) = knots(&lines, &[level(5.2, 5.0, 1.05, 0.02)]);
        assert_eq!((knots.len(), of), (2, vec![0, 1]));
        assert!((knots[1].sigma.to_m() - 0.05).abs() < 1e-12);
    }

    #[test]
    fn places_keep_the_order_in_which_they_first_come() {
        let levels = [level(9.0, 0.0, 1.0, 0.0), level(1.0, 0.0, 2.0, 0.0), level(9.0, -0.0, 1.0, 0.0)];
        let given: Vec<Level> = levels.iter().map(|l| Level { at: Point { y: 0.0, ..l.at }, ..*l }).collect();
        let (places, of) = apart(&given);
        assert_eq!(of, [0, 1, 0]);
        assert!((places[1].height.to_m() - 2.0).abs() < 1e-12);
    }
}
