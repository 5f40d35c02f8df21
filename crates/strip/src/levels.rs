//! Which levels tell of the field itself, and what is wrong with levels.
//!
//! Invariants: ground between levels is measured only where these lie on the field or near it, so that a hill beyond carries
//! nothing over the field; how the field slopes is asked of those on it, and of more only where these tell too little, as
//! forgetting them could only help.

use crate::breakline::Breakline;
use crate::error::BadRecord;
use ground::{Level, Outline, Plane, Shape};
use measure::Metres;

/// Levels so far outside the field count as on it, m (judgement: edges are walked beside the hedge).
const ON_FIELD: Metres = Metres::m(2.0);

/// Levels farther outside the field are of other ground, m (judgement: a hill or a bank beyond does not slope like it).
const NEAR_FIELD: Metres = Metres::m(50.0);

/// Fewest levels that show how far the field is from a plane: one more than a plane goes through.
const FEWEST: usize = 4;

/// Levels nearer to each other than this are of one place, m; their heights may differ by no more than it rises in
/// that distance, and by their accuracies at 99 % (judgement).
const ONE_PLACE: f64 = 0.3;
const RISE_IN_ONE_PLACE: f64 = 0.15;
const SCORE_99: f64 = 2.576;

/// Levels that tell how the field slopes: those on it, or near it, or all, the first of these that make a plane.
pub(crate) fn of_slope(levels: &[Level], outline: &Outline) -> Vec<Level> {
    let within = |room| levels.iter().filter(|l| is_within(l, outline, room)).copied().collect();
    let tried: [Vec<Level>; 2] = [ON_FIELD, NEAR_FIELD].map(within);
    let enough = |some: &Vec<Level>| some.len() >= FEWEST && Plane::fit(some).is_ok();
    tried.into_iter().find(enough).unwrap_or_else(|| levels.to_vec())
}

/// Levels and breaklines between which the ground under the keel is measured.
pub(crate) fn of_ground(
    (levels, breaklines): (&[Level], &[Breakline]),
    outline: &Outline,
) -> (Vec<Level>, Vec<Breakline>) {
    let is_near = |level: &Level| is_within(level, outline, NEAR_FIELD);
    let near = levels.iter().filter(|level| is_near(level)).copied().collect();
    (near, breaklines.iter().filter(|line| line.points().iter().any(is_near)).cloned().collect())
}

fn is_within(level: &Level, outline: &Outline, room: Metres) -> bool {
    Shape::disc(level.at).is_ok_and(|place| outline.is_near(&place, room))
}

/// Why the levels make no plane, if they do not. They stay: how steep the ground is between any two of
/// them is known, and forgetting it could only help.
pub(crate) fn not_in_a_plane(levels: &[Level]) -> Option<BadRecord> {
    let bad = Plane::fit(levels).err()?;
    (!levels.is_empty()).then(|| BadRecord::told("levels", &bad))
}

/// The first two levels of one place that contradict each other.
pub(crate) fn contradicting(levels: &[Level]) -> Option<BadRecord> {
    let mut by_easting: Vec<usize> = (0..levels.len()).collect();
    by_easting.sort_by(|&a, &b| levels[a].at.x.total_cmp(&levels[b].at.x));
    let contrary = |a: &Level, b: &Level| {
        let rise = (a.height - b.height).to_m().abs();
        let accuracy = SCORE_99 * libm::hypot(a.sigma.to_m(), b.sigma.to_m());
        libm::hypot(a.at.x - b.at.x, a.at.y - b.at.y) <= ONE_PLACE && rise > RISE_IN_ONE_PLACE + accuracy
    };
    by_easting.iter().enumerate().find_map(|(k, &i)| {
        let near = by_easting[k + 1..].iter().take_while(|&&j| levels[j].at.x - levels[i].at.x <= ONE_PLACE);
        let &j = near.into_iter().find(|&&j| contrary(&levels[i], &levels[j]))?;
        let (first, second) = (i.min(j), i.max(j));
        let rise = (levels[first].height - levels[second].height).to_m().abs();
        let found = format!("a height {rise:.2} m off that of levels[{}] at the same place", first + 1);
        let expected = "heights of one place that agree within their accuracy";
        Some(BadRecord::field(&format!("levels[{}].z", second + 1), &found, expected))
    })
}
