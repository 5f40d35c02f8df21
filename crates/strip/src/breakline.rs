//! A line of levels along which the ground has an edge: a ditch, a bank, a crest.
//!
//! Not here: whether two of them cross, and the surface that they break.

use crate::error::BadRecord;
use crate::field::level;
use crate::fields::at_most;
use crate::record::BreaklineRecord;
use ground::Level;

/// Most points of one breakline.
const MOST_POINTS: usize = 1_000;

/// A line of levels along which the ground has an edge.
#[derive(Clone, PartialEq, Debug)]
pub struct Breakline {
    // Invariant: at least two.
    points: Vec<Level>,
}

impl Breakline {
    /// Its levels in order along the line, at least two.
    pub fn points(&self) -> &[Level] {
        &self.points
    }
}

/// From its record; within, why it has to be left out.
pub(crate) fn breakline(
    path: &str,
    record: &BreaklineRecord,
) -> Result<Result<Breakline, BadRecord>, BadRecord> {
    let points_path = format!("{path}.points");
    at_most(&points_path, &record.points, MOST_POINTS)?;
    let one = |(i, &(e, n, z)): (usize, &(f64, f64, f64))| {
        let path_of_point = format!("{points_path}[{}]", i + 1);
        let height_path = format!("{path_of_point} height");
        level(&path_of_point, (e, n), (&height_path, z), (&format!("{path}.sigma_m"), record.sigma_m))
    };
    let points = record.points.iter().enumerate().map(one).collect::<Result<Vec<_>, _>>()?;
    if points.len() < 2 {
        let found = format!("{} points", points.len());
        return Ok(Err(BadRecord::field(&points_path, &found, "at least 2")));
    }
    Ok(Ok(Breakline { points }))
}
