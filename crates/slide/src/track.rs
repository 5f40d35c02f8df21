//! The ground along a slide: stations, each with its slope, curvature and kind of ground.
//!
//! Invariants: chainages rise; every figure is finite; everything is constant from one station to the
//! next, the first reaching back and the last on for ever.
//!
//! Not here: how levels became slopes, and how much friction a kind of ground has.

use measure::{Metres, Slope};
use thiserror::Error;

/// Ground from one chainage to the next station's.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Station {
    /// Chainage at which it begins.
    pub from: Metres,
    /// Slope along the slide, uphill positive.
    pub slope: Slope,
    /// Slope across it, either sign.
    pub cross: Slope,
    /// Curvature of the way of the keel's middle, 1/m, concave up positive.
    pub curvature: f64,
    /// How far the slope may be off, one standard deviation.
    pub slope_sigma: Slope,
    /// How far the curvature may be off, one standard deviation, 1/m.
    pub curvature_sigma: f64,
    /// Which of the slide's frictions holds here.
    pub zone: usize,
}

impl Station {
    /// Even ground of one slope.
    pub const fn even(from: Metres, slope: Slope, zone: usize) -> Self {
        Self {
            from,
            slope,
            cross: Slope::ZERO,
            curvature: 0.0,
            slope_sigma: Slope::ZERO,
            curvature_sigma: 0.0,
            zone,
        }
    }

    fn is_finite(&self) -> bool {
        let Self { from, slope, cross, curvature, slope_sigma, curvature_sigma, zone: _ } = self;
        [
            from.to_m(),
            slope.to_ratio(),
            cross.to_ratio(),
            *curvature,
            slope_sigma.to_ratio(),
            *curvature_sigma,
        ]
        .iter()
        .all(|x| x.is_finite())
    }
}

/// The ground along a slide.
#[derive(Clone, PartialEq, Debug)]
pub struct Track {
    stations: Vec<Station>,
}

/// Stations that make no track.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Error)]
pub enum BadTrack {
    /// There is none.
    #[error("found no station, expected at least one")]
    Empty,
    /// A station, counted from 1, does not lie beyond the one before it.
    #[error("found station {0} not beyond the one before it, expected chainages that rise")]
    NotRising(usize),
    /// A station, counted from 1, has a figure that is no number.
    #[error("found a figure of station {0} that is not finite, expected a number")]
    NotFinite(usize),
}

impl Track {
    /// From stations in order of chainage.
    ///
    /// # Errors
    /// [`BadTrack`] naming the first station that does not fit.
    pub fn new(stations: Vec<Station>) -> Result<Self, BadTrack> {
        if stations.is_empty() {
            return Err(BadTrack::Empty);
        }
        if let Some(i) = stations.iter().position(|s| !s.is_finite()) {
            return Err(BadTrack::NotFinite(i + 1));
        }
        match stations.windows(2).position(|pair| pair[1].from <= pair[0].from) {
            Some(i) => Err(BadTrack::NotRising(i + 2)),
            None => Ok(Self { stations }),
        }
    }

    /// The same slope and kind of ground everywhere.
    pub fn even(slope: Slope) -> Self {
        Self { stations: vec![Station::even(Metres::ZERO, slope, 0)] }
    }

    /// Every station, in order; at least one.
    pub fn stations(&self) -> &[Station] {
        &self.stations
    }

    /// Index of the station that holds at a chainage.
    pub fn index_at(&self, chainage: Metres) -> usize {
        self.stations.partition_point(|s| s.from <= chainage).saturating_sub(1)
    }

    /// The same ground with another slope, curvature and errors at each station.
    #[must_use]
    pub fn mapped(&self, change: impl Fn(Station) -> Station) -> Self {
        let kept = |old: &Station| Station { from: old.from, ..change(*old) };
        Self { stations: self.stations.iter().map(kept).collect() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(from: f64) -> Station {
        Station::even(Metres::m(from), Slope::ZERO, 0)
    }

    #[test]
    fn the_first_station_reaches_back_and_the_last_for_ever() {
        let track = Track::new(vec![at(10.0), at(20.0), at(50.0)]).expect("rising");
        let found: Vec<usize> =
            [-5.0, 10.0, 19.9, 20.0, 49.0, 900.0].map(|s| track.index_at(Metres::m(s))).to_vec();
        assert_eq!(found, [0, 0, 0, 1, 1, 2]);
    }

    #[test]
    fn stations_out_of_order_or_without_a_number_are_refused() {
        let text = |stations| Track::new(stations).unwrap_err().to_string();
        assert_eq!(text(vec![]), "found no station, expected at least one");
        let twice = vec![at(1.0), at(1.0)];
        assert_eq!(text(twice), "found station 2 not beyond the one before it, expected chainages that rise");
        let bad = vec![at(1.0), Station { curvature: f64::NAN, ..at(2.0) }];
        assert_eq!(text(bad), "found a figure of station 2 that is not finite, expected a number");
    }
}
