//! Which levels and breaklines tell of the field itself, and what is wrong with them.
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

/// Fewest levels that tell how the field slopes: one more than a plane goes through, so that it shows how far it is from one.
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

/// Levels on the field and near it.
pub(crate) fn near(levels: &[Level], outline: &Outline) -> Vec<Level> {
    levels.iter().filter(|l| is_within(l, outline, NEAR_FIELD)).copied().collect()
}

/// Levels of which any two tell how steep the field may be where it was not measured: those near it, or all where these are
/// few.
pub(crate) fn of_steepness<'l>(near: &'l [Level], all: &'l [Level]) -> &'l [Level] {
    if near.len() >= FEWEST { near } else { all }
}

/// The parts of breaklines that lie on the field or near it.
pub(crate) fn parts_near(breaklines: &[Breakline], outline: &Outline) -> Vec<ground::Breakline> {
    let is_near = |a: &Level, b: &Level| {
        Shape::line(&[a.at, b.at]).is_ok_and(|segment| outline.is_near(&segment, NEAR_FIELD))
    };
    let parts = |line: &Breakline| -> Vec<ground::Breakline> {
        let runs = line.points().chunk_by(is_near).filter(|run| run.len() > 1);
        runs.map(|run| ground::Breakline { points: run.to_vec() }).collect()
    };
    breaklines.iter().flat_map(parts).collect()
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
