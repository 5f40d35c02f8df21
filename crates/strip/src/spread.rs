//! All that is known of one slide, as intervals, and the two corners of it.
//!
//! Which end hurts is that of the design's table for slide length: friction low, touchdown speed high,
//! headwind low, lift high, drag low, idle thrust high, most downhill. Mass and density can hurt either
//! way, so both ends are run.

use measure::{
    CalibratedSpeed, CubicDensity, GroundSpeed, Headwind, Interval, Kilograms, Metres, Newtons, Slope,
    SquareMetres,
};
use slide::{Body, Conditions, Method, Outcome, StallSpeed, Surface, run, touchdown_airspeed};

/// What is known of one slide.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Spread {
    pub(crate) friction: Interval<f64>,
    pub(crate) touchdown_factor: Interval<f64>,
    pub(crate) stall: Interval<CalibratedSpeed>,
    pub(crate) reference_mass: Kilograms,
    pub(crate) mass: Interval<Kilograms>,
    pub(crate) wing_area: SquareMetres,
    pub(crate) lift: Interval<f64>,
    pub(crate) drag: Interval<f64>,
    pub(crate) thrust: Interval<Newtons>,
    pub(crate) slope: Interval<Slope>,
    pub(crate) headwind: Interval<Headwind>,
    /// Gust above the mean wind, m/s; half of it is flown on top.
    pub(crate) gust_mps: Interval<f64>,
    pub(crate) density: Interval<CubicDensity>,
}

/// One slide worked out.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Worked {
    /// `None` if it never stops.
    pub(crate) length: Option<Metres>,
    pub(crate) conditions: Conditions,
    pub(crate) airspeed_mps: f64,
    pub(crate) touchdown: GroundSpeed,
    pub(crate) method: Method,
}

/// Which end of an interval to take.
#[derive(Clone, Copy)]
enum End {
    Low,
    High,
}

impl End {
    fn of<T: Copy + PartialOrd + std::fmt::Debug>(self, interval: Interval<T>) -> T {
        match self {
            Self::Low => interval.low(),
            Self::High => interval.high(),
        }
    }
}

impl Spread {
    /// The longest slide that could be true.
    pub(crate) fn longest(&self) -> Worked {
        self.corner(End::High, |a, b| match (a.length, b.length) {
            (None, _) => a,
            (Some(x), Some(y)) if x >= y => a,
            _ => b,
        })
    }

    /// The shortest slide that could be true.
    ///
    /// With thrust it need not be at either end of the mass; without any it is, and is shorter still,
    /// so the thrust is left out, unless with it the aircraft never stops.
    pub(crate) fn shortest(&self) -> Worked {
        let with_thrust = self.shortest_at_ends();
        if with_thrust.length.is_none() || self.mass.low() == self.mass.high() {
            return with_thrust;
        }
        Self { thrust: Interval::exact(Newtons::ZERO), ..self.clone() }.shortest_at_ends()
    }

    fn shortest_at_ends(&self) -> Worked {
        self.corner(End::Low, |a, b| match (a.length, b.length) {
            (_, None) => a,
            (Some(x), Some(y)) if x <= y => a,
            _ => b,
        })
    }

    /// The corner where what lengthens a slide is at one end and what shortens it at the other.
    fn corner(&self, lengthening: End, choose: impl Fn(Worked, Worked) -> Worked) -> Worked {
        let first = self.worked(lengthening, End::Low, End::Low);
        [(End::Low, End::High), (End::High, End::Low), (End::High, End::High)]
            .into_iter()
            .map(|(mass, density)| self.worked(lengthening, mass, density))
            .fold(first, choose)
    }

    fn worked(&self, lengthening: End, mass: End, density: End) -> Worked {
        let shortening = match lengthening {
            End::Low => End::High,
            End::High => End::Low,
        };
        let mass = mass.of(self.mass);
        let density = density.of(self.density);
        let headwind = shortening.of(self.headwind);
        let conditions = Conditions {
            body: Body {
                mass,
                wing_area: self.wing_area,
                lift_coefficient: lengthening.of(self.lift),
                drag_coefficient: shortening.of(self.drag),
                idle_thrust: lengthening.of(self.thrust),
            },
            surface: Surface { friction: shortening.of(self.friction), slope: shortening.of(self.slope) },
            density,
            headwind,
        };
        let stall = StallSpeed { calibrated: lengthening.of(self.stall), at_mass: self.reference_mass };
        let factor = lengthening.of(self.touchdown_factor);
        let airspeed = touchdown_airspeed(&stall, mass, factor, lengthening.of(self.gust_mps), density);
        let touchdown = airspeed.over_ground(headwind);
        let run = run(&conditions, touchdown, None);
        let length = match run.outcome {
            Outcome::StopsAt(length) => Some(length),
            // Without an end of the room nothing is run off, so this too means no stop.
            Outcome::RunsOff { .. } | Outcome::NeverStops => None,
        };
        Worked { length, conditions, airspeed_mps: airspeed.to_mps(), touchdown, method: run.method }
    }
}
