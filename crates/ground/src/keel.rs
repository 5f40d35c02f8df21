//! The keel on the surface: a rigid chord of its length, both ends on the ground, moved along a lane.
//!
//! The chord's middle runs along the centre line. Curvature is the central difference of the height of
//! the middle of the chord over one length L of keel, (m(s+L) - 2 m(s) + m(s-L)) / L^2 with
//! m(s) = (z(s-L/2) + z(s+L/2)) / 2: never that of the facets, which bend only at their edges.
//!
//! Errors are those of the levels, carried through the same sums. Where the levels lie coarser than the
//! keel is long ([`UnderKeel::coarse`]), hollows and crests between them are in none of the numbers.
//!
//! Not here: how deep a hollow or how high a crest is (`keel_report`), what a slope does (crate `slide`).
//! Source of the difference: the definition; of its least error, sqrt(6) sigma / d^2: three levels d
//! apart, weighted 1, -2, 1.

use crate::surface::Combined;
use crate::{Lane, Point, Surface};
use measure::{Metres, Slope};

/// The keel at one place of its way.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct KeelStation {
    /// Where the middle of the keel is, from the lane's near end.
    pub chainage: Metres,
    /// What it lies on; `None` where an end or the middle of it is over ground that was not measured.
    pub ground: Option<UnderKeel>,
}

/// Ground under the keel.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct UnderKeel {
    /// Slope of the chord along the lane, positive uphill.
    pub slope_along: Slope,
    /// Its standard deviation.
    pub slope_along_sigma: Slope,
    /// Slope of a chord of the same length across the lane, positive where the right is higher; `None`
    /// where one of its ends is over ground that was not measured.
    pub slope_across: Option<Slope>,
    /// Its standard error; none where it was not measured.
    pub slope_across_sigma: Slope,
    /// Curvature of the way; `None` within one and a half lengths of ground that was not measured.
    pub curvature: Option<Curvature>,
    /// The levels here lie farther apart than the keel is long.
    pub coarse: bool,
}

/// Curvature of the way of the keel's middle.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Curvature {
    /// 1/m, positive in a hollow.
    pub per_metre: f64,
    /// Standard deviation, 1/m.
    pub sigma_per_metre: f64,
}

/// Stations for each length of keel, before those that say the same are left out.
const STATIONS_PER_KEEL: f64 = 2.0;

/// Most stations of a lane, less one: a keel shorter than a 200th of the lane has them farther apart.
const MOST_STEPS: f64 = 400.0;

/// Differences below which two stations are the same: rise over run, and 1/m (judgement: a hundredth of
/// what the best levels tell).
const SAME_SLOPE: f64 = 1e-6;
const SAME_CURVATURE: f64 = 1e-7;

/// The keel along a lane: stations at most half a keel apart, of those in a row that are the same only
/// the first and the last, so that whoever goes straight from one to the next is right. Empty for a keel
/// of no length, or a lane that is no lane.
pub fn keel_path(surface: &Surface, lane: &Lane, keel: Metres) -> Vec<KeelStation> {
    let length = lane.length.to_m();
    if !(keel.to_m() > 0.0 && keel.to_m().is_finite() && length >= 0.0 && length.is_finite()) {
        return Vec::new();
    }
    let steps = (length / keel.to_m() * STATIONS_PER_KEEL).ceil().clamp(1.0, MOST_STEPS);
    let station = |i: u32| {
        let chainage = Metres::m(length * f64::from(i) / steps);
        KeelStation { chainage, ground: under(surface, lane, keel, chainage) }
    };
    without_repeats((0..=steps as u32).map(station))
}

/// First and last of each row of stations that are the same as its first.
fn without_repeats(stations: impl Iterator<Item = KeelStation>) -> Vec<KeelStation> {
    let mut kept: Vec<KeelStation> = Vec::new();
    let mut first_of_row = 0;
    for station in stations {
        let same = kept.get(first_of_row).is_some_and(|first| is_same(first, &station));
        if !same {
            first_of_row = kept.len();
        } else if kept.len() > first_of_row + 1 {
            kept.pop();
        }
        kept.push(station);
    }
    kept
}

fn is_same(a: &KeelStation, b: &KeelStation) -> bool {
    let near = |p: Slope, q: Slope| (p - q).to_ratio().abs() <= SAME_SLOPE;
    let near_across = match (a.ground.and_then(|g| g.slope_across), b.ground.and_then(|g| g.slope_across)) {
        (Some(p), Some(q)) => near(p, q),
        (None, None) => true,
        _ => false,
    };
    let near_curvature = match (a.ground.and_then(|g| g.curvature), b.ground.and_then(|g| g.curvature)) {
        (Some(p), Some(q)) => {
            (p.per_metre - q.per_metre).abs() <= SAME_CURVATURE
                && (p.sigma_per_metre - q.sigma_per_metre).abs() <= SAME_CURVATURE
        }
        (None, None) => true,
        _ => false,
    };
    match (a.ground, b.ground) {
        (Some(p), Some(q)) => {
            p.coarse == q.coarse
                && near(p.slope_along, q.slope_along)
                && near(p.slope_along_sigma, q.slope_along_sigma)
                && near(p.slope_across_sigma, q.slope_across_sigma)
                && near_across
                && near_curvature
        }
        (None, None) => true,
        _ => false,
    }
}

fn under(surface: &Surface, lane: &Lane, keel: Metres, chainage: Metres) -> Option<UnderKeel> {
    let half = keel / 2.0;
    let ends = [lane.point_at(chainage - half, Metres::ZERO), lane.point_at(chainage + half, Metres::ZERO)];
    let sides = [lane.point_at(chainage, -half), lane.point_at(chainage, half)];
    let middle = surface.spacing_at(lane.point_at(chainage, Metres::ZERO))?;
    let (along, across) = (slope(surface, ends, keel)?, slope(surface, sides, keel));
    let spacing = ends.iter().filter_map(|&p| surface.spacing_at(p)).fold(middle, Metres::max);
    Some(UnderKeel {
        slope_along: Slope::ratio(along.value),
        slope_along_sigma: Slope::ratio(along.sigma),
        slope_across: across.map(|across| Slope::ratio(across.value)),
        slope_across_sigma: across.map_or(Slope::ZERO, |across| Slope::ratio(across.sigma)),
        curvature: curvature(surface, lane, keel, chainage),
        coarse: spacing > keel,
    })
}

/// Slope of a chord from the first point to the second.
fn slope(surface: &Surface, [from, to]: [Point; 2], chord: Metres) -> Option<Combined> {
    let factor = 1.0 / chord.to_m();
    surface.combined(&[(from, -factor), (to, factor)])
}

fn curvature(surface: &Surface, lane: &Lane, keel: Metres, chainage: Metres) -> Option<Curvature> {
    // The middle is half the sum of the ends; at the two inner ends one of the three chords' shares is
    // taken off twice, which leaves 1, -1, -1, 1 halves.
    let point = |keels: f64| lane.point_at(chainage + keel * keels, Metres::ZERO);
    let ends = [point(-1.5), point(-0.5), point(0.5), point(1.5)];
    let half = 0.5 / (keel.to_m() * keel.to_m());
    let bend = surface.combined(&[(ends[0], half), (ends[1], -half), (ends[2], -half), (ends[3], half)])?;
    let finest = ends.iter().filter_map(|&p| surface.spacing_at(p)).reduce(Metres::min)?;
    let apart = keel.max(finest).to_m();
    let of_three_levels = libm::sqrt(6.0) * bend.worst_level / (apart * apart);
    Some(Curvature { per_metre: bend.value, sigma_per_metre: bend.sigma.max(of_three_levels) })
}

#[cfg(test)]
mod tests;
