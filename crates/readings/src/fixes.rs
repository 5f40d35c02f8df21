//! Which fixes of a walk can be used, and where they lie in the field.
//!
//! Invariant: where a fix is left out the walk is broken in two, so that what lies between does not
//! pass for walked.

use crate::source::{Fix, Walk};
use ground::{Datum, Frame, Point};
use measure::Metres;
use time::OffsetDateTime;

/// Fastest that anybody moves on a survey, m/s; judgement: a sprint, twice a fast run.
const FASTEST: f64 = 10.0;

/// Times may be cut to whole seconds, so each step may have taken this much longer, seconds.
const TIME_RESOLUTION: f64 = 1.0;

/// Dilution past which a position is not usable (from memory: above 20 is called poor, and receivers
/// write 99 for no position).
const WORST_DILUTION: f64 = 20.0;

/// Farthest from the datum that anything of a field may lie, metres: the limit of a strip record.
pub(crate) const FARTHEST: f64 = 20_000.0;

/// The fixes that can be used.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Usable {
    pub(crate) pieces: Vec<Vec<Fix>>,
    pub(crate) without_position: usize,
    pub(crate) too_fast: usize,
}

impl Usable {
    /// Sorts out a walk.
    pub(crate) fn of(walk: &Walk) -> Self {
        let all: Vec<(usize, Fix)> =
            walk.pieces.iter().enumerate().flat_map(|(i, p)| p.iter().map(move |&f| (i, f))).collect();
        let placed = |f: &Fix| !f.without_position && f.dilution.is_none_or(|d| d <= WORST_DILUTION);
        let mut kept: Vec<usize> = (0..all.len()).filter(|&i| placed(&all[i].1)).collect();
        let with_position = kept.len();
        kept = walkable(&kept, |a, b| too_fast(&all[a].1, &all[b].1));
        let mut pieces: Vec<Vec<Fix>> = Vec::new();
        let mut last: Option<usize> = None;
        for &i in &kept {
            let goes_on = last.is_some_and(|l| l + 1 == i && all[l].0 == all[i].0);
            match pieces.last_mut().filter(|_| goes_on) {
                Some(piece) => piece.push(all[i].1),
                None => pieces.push(vec![all[i].1]),
            }
            last = Some(i);
        }
        Self { pieces, without_position: all.len() - with_position, too_fast: with_position - kept.len() }
    }

    /// All fixes in order.
    pub(crate) fn fixes(&self) -> impl Iterator<Item = &Fix> {
        self.pieces.iter().flatten()
    }

    /// Worst dilution of any fix, where one is stated.
    pub(crate) fn worst_dilution(&self) -> Option<f64> {
        self.fixes().filter_map(|f| f.dilution).reduce(f64::max)
    }

    /// Earliest time of any fix.
    pub(crate) fn earliest(&self) -> Option<OffsetDateTime> {
        self.fixes().filter_map(|f| f.time).min()
    }
}

/// Leaves out the jumps. The longest stretch without a jump is trusted, and from each of its ends a
/// fix is taken only if it can be walked to from the last one taken: a start in the wrong place, as
/// receivers make when they are switched on, then cannot win over the walk itself.
fn walkable(indices: &[usize], too_fast: impl Fn(usize, usize) -> bool) -> Vec<usize> {
    let mut longest = 0..0;
    let mut start = 0;
    for i in 0..indices.len() {
        if i > 0 && too_fast(indices[i - 1], indices[i]) {
            start = i;
        }
        if i + 1 - start > longest.len() {
            longest = start..i + 1;
        }
    }
    let mut kept = indices[longest.clone()].to_vec();
    let Some(&first) = kept.first() else { return kept };
    let mut earlier = vec![first];
    for &i in indices[..longest.start].iter().rev() {
        if earlier.last().is_some_and(|&next| !too_fast(i, next)) {
            earlier.push(i);
        }
    }
    for &i in &indices[longest.end..] {
        if kept.last().is_some_and(|&last| !too_fast(last, i)) {
            kept.push(i);
        }
    }
    earlier.iter().skip(1).rev().copied().chain(kept).collect()
}

/// Whether nobody can have walked from one fix to the other; never where a time is missing.
fn too_fast(a: &Fix, b: &Fix) -> bool {
    let (Some(from), Some(to)) = (a.time, b.time) else { return false };
    let seconds = (to - from).as_seconds_f64().abs() + TIME_RESOLUTION;
    let away = Field::about(a, Metres::ZERO).place(b).away;
    away > FASTEST * seconds
}

/// The field's frame, for fixes: all are taken at the height of the datum, because a receiver's
/// heights are poor and one wrong by 50 m moves the plan by less than a millimetre in 100 m.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Field {
    frame: Frame,
    height: Metres,
}

/// Where a fix lies.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Placed {
    pub(crate) at: Point,
    /// Straight-line distance from the datum, metres; it also tells the far side of the Earth, which
    /// the plan does not.
    pub(crate) away: f64,
}

impl Field {
    /// The frame that hangs on a fix.
    pub(crate) fn about(fix: &Fix, height: Metres) -> Self {
        let datum = Datum { latitude_deg: fix.latitude_deg, longitude_deg: fix.longitude_deg, height };
        Self { frame: Frame::about(datum), height }
    }

    /// Where a fix lies in it.
    pub(crate) fn place(&self, fix: &Fix) -> Placed {
        let (at, up) = self.frame.field_from_geographic(fix.latitude_deg, fix.longitude_deg, self.height);
        Placed { at, away: libm::hypot(libm::hypot(at.x, at.y), up.to_m()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fix(latitude_deg: f64, longitude_deg: f64) -> Fix {
        Fix {
            latitude_deg,
            longitude_deg,
            elevation: None,
            time: None,
            dilution: None,
            without_position: false,
        }
    }

    /// Two positions and their geodesic distance, 504.1684 m, by `GeographicLib` 2.1 on WGS 84. The
    /// straight line through the frame is shorter by less than a micrometre over that distance; the
    /// published figure has four decimals.
    #[test]
    fn the_distance_through_the_frame_is_the_geodesic_one() {
        let (a, b) = (fix(51.120_586, 3.779_642), fix(51.120_654, 3.772_442));
        let away = Field::about(&a, Metres::ZERO).place(&b).away;
        assert!((away - 504.168_4).abs() < 1e-4, "{away}");
    }

    #[test]
    fn the_far_side_of_the_earth_is_far_away() {
        let placed = Field::about(&fix(40.0, 10.0), Metres::ZERO).place(&fix(-40.0, -170.0));
        assert!(placed.away > 12_000_000.0, "{placed:?}");
    }

    #[test]
    fn jumps_are_left_out_and_a_wrong_start_does_not_win() {
        let at = [900, 0, 1, 2, 500, 3, 4_i32];
        let far = |a: usize, b: usize| (at[a] - at[b]).abs() > 10;
        assert_eq!(walkable(&[0, 1, 2, 3, 4, 5, 6], far), vec![1, 2, 3, 5, 6]);
        assert_eq!(walkable(&[], far), Vec::<usize>::new());
    }
}
