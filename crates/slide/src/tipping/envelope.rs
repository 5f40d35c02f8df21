//! The least reserve over all slides at once: one box of states instead of one walk for each combination of ends.
//!
//! A slide is a way through states of airspeed, load and what they are worked out with; whatever the way, each state lies
//! in the box, so the worst of the box is not better than the worst of any slide. Which ends are enough:
//!
//! | input | end that hurts |
//! |---|---|
//! | friction, height of the centre of gravity, nose-down moment of air and thrust | high: each moves the load forward wherever it acts |
//! | airspeed | the fastest, the strongest wind from either side, or none, whichever turns the nose down most |
//! | load on the keels, mass | both: the moment's share of the place falls with the load, ploughing's grows, so the sum has no greatest value between the ends |
//! | centre of gravity | both: forward it is nearer to the forward end, aft it presses the aft end deeper |
//!
//! Invariants: the height that counts for friction is the highest, that for the arm of thrust the lowest, although
//! no aircraft has both; the elevator is not credited.
//!
//! Not here: that the load has no worse value between its ends is checked by tests on random slides, not proved:
//! pitch and the trapezoid of pressure are in it as well. Loads below [`LIGHT_SHARE`] of the weight.
//!
//! Source: that of [`mod@crate::tipping`].

use super::sunk::{Sunk, sunk};
use super::{Acting, LIGHT_SHARE, NoseDown, Stance};
use crate::soft::{Change, Keels, Soil};
use measure::{
    AirSpeed, CubicDensity, GroundSpeed, Headwind, Interval, Kilograms, Metres, Newtons, STANDARD_GRAVITY,
};

/// All states that slides on one kind of ground may come through.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Envelope {
    /// The plates that carry the aircraft.
    pub keels: Keels,
    /// From the centre of gravity forward to the end of flat keel contact.
    pub cg_to_forward_end: Interval<Metres>,
    /// Height of the centre of gravity above the keel line.
    pub cg_height: Interval<Metres>,
    /// Mass.
    pub mass: Interval<Kilograms>,
    /// Greatest load on the keels over the weight: 1 on even ground, more in a hollow.
    pub load_factor: f64,
    /// Friction coefficient.
    pub friction: Interval<f64>,
    /// The fastest at touchdown.
    pub fastest: AirSpeed,
    /// Wind against the slide.
    pub headwind: Interval<Headwind>,
    /// Density of the air.
    pub density: Interval<CubicDensity>,
    /// Idle thrust, forward positive.
    pub thrust: Interval<Newtons>,
    /// Height of the thrust line above the keel line.
    pub thrust_line: Metres,
    /// Nose-down moment of the air over dynamic pressure, m3, elevator neutral.
    pub air: Interval<f64>,
}

impl Envelope {
    /// How the keels rest at each corner of the box that may be the worst; never empty.
    pub fn corners(&self, soil: &Soil, change: Change) -> Vec<Sunk> {
        let nose_down = self.most_nose_down();
        let mut out = Vec::new();
        for cg in [self.cg_to_forward_end.low(), self.cg_to_forward_end.high()] {
            let stance =
                Stance { keels: self.keels, cg_height: self.cg_height.high(), cg_to_forward_end: cg };
            for mass in [self.mass.low(), self.mass.high()] {
                let weight = weight(mass);
                for load in [weight * LIGHT_SHARE, weight * self.load_factor] {
                    let friction = load * self.friction.high();
                    let acting = Acting { weight, load, friction, nose_down };
                    out.push(sunk(&stance, &acting, soil, change));
                }
            }
        }
        out
    }

    /// The worst of the corners; of equals the first.
    ///
    /// # Example: friction of half the load on an arm of 1.2 m, of 2.4 m to the forward end
    /// ```
    /// # use measure::*;
    /// # use slide::soft::{Change, Keels, Soil};
    /// # use slide::tipping::{Tipping, envelope::Envelope};
    /// let envelope = Envelope {
    ///     keels: Keels { count: 2, width: Metres::m(0.05), length: Metres::m(4.0) },
    ///     cg_to_forward_end: Interval::exact(Metres::m(2.4)),
    ///     cg_height: Interval::exact(Metres::m(1.2)),
    ///     mass: Interval::exact(Kilograms::kg(600.0)),
    ///     load_factor: 1.0,
    ///     friction: Interval::spanning(0.3, 0.5),
    ///     fastest: AirSpeed::mps(22.0),
    ///     headwind: Interval::exact(Headwind::ZERO),
    ///     density: Interval::exact(CubicDensity::kg_m3(1.225)),
    ///     thrust: Interval::exact(Newtons::ZERO),
    ///     thrust_line: Metres::m(1.5),
    ///     air: Interval::exact(0.0),
    /// };
    /// let rock = Soil::bekker(1.0, 0.0, 1e9);
    /// let Tipping::Reserve(left) = envelope.worst(&rock, Change::Steady).tipping else { panic!() };
    /// assert!((left - 0.75).abs() < 1e-3);
    /// ```
    pub fn worst(&self, soil: &Soil, change: Change) -> Sunk {
        worst(self.corners(soil, change))
    }

    /// How the keels rest where every end helps, as the slide comes to its end: no slide that stops is spared that
    /// state, so what tips even there tips.
    pub fn best(&self, soil: &Soil) -> Sunk {
        let stances = [self.cg_to_forward_end.low(), self.cg_to_forward_end.high()].map(|cg| Stance {
            keels: self.keels,
            cg_height: self.cg_height.low(),
            cg_to_forward_end: cg,
        });
        let nose_down = self.least_nose_down();
        let each = stances.iter().flat_map(|stance| {
            [self.mass.low(), self.mass.high()].map(|mass| {
                let load = weight(mass);
                let friction = load * self.friction.low();
                let acting = Acting { weight: load, load, friction, nose_down };
                sunk(stance, &acting, soil, Change::Steady)
            })
        });
        best(each)
    }

    /// The greatest nose-down moment, N m.
    fn most_nose_down(&self) -> f64 {
        let thrust_line = self.thrust_line - self.cg_height.low();
        let still = AirSpeed::mps(0.0);
        let mut most = f64::NEG_INFINITY;
        for air in [self.air.low(), self.air.high()] {
            for speed in [self.fastest, still, self.wind_at_rest(0), self.wind_at_rest(1)] {
                for thrust in [self.thrust.low(), self.thrust.high()] {
                    let moment = NoseDown { air, thrust_line }.moment(thrust, self.density.high(), speed);
                    // A moment that is not a number must stay one, as `max` would not let it.
                    most = if moment.is_nan() { moment } else { most.max(moment) };
                }
            }
        }
        most
    }

    /// The least nose-down moment at the end of a slide, N m.
    fn least_nose_down(&self) -> f64 {
        let thrust_line = self.thrust_line - self.cg_height.high();
        let nose_down = NoseDown { air: self.air.low(), thrust_line };
        let speeds = [self.wind_at_rest(0), self.wind_at_rest(1)];
        let moments = speeds.map(|speed| nose_down.moment(self.thrust.low(), self.density.high(), speed));
        // Whatever the wind, it may fall calm.
        moments
            .into_iter()
            .fold(nose_down.moment(self.thrust.low(), self.density.high(), AirSpeed::mps(0.0)), f64::min)
    }

    /// Airspeed of an aircraft at rest, in the least headwind or the most.
    fn wind_at_rest(&self, end: usize) -> AirSpeed {
        let wind = if end == 0 { self.headwind.low() } else { self.headwind.high() };
        GroundSpeed::mps(0.0).through_air(wind)
    }
}

fn weight(mass: Kilograms) -> Newtons {
    Newtons::n(mass.to_kg() * STANDARD_GRAVITY)
}

/// The worst of several; of equals the first, and of none a keel that digs in.
pub fn worst(several: impl IntoIterator<Item = Sunk>) -> Sunk {
    let worse = |a: Sunk, b: Sunk| if b.tipping.is_worse_than(a.tipping) { b } else { a };
    several.into_iter().reduce(worse).unwrap_or(DIGS_IN)
}

/// The best of several.
fn best(several: impl IntoIterator<Item = Sunk>) -> Sunk {
    let better = |a: Sunk, b: Sunk| if a.tipping.is_worse_than(b.tipping) { b } else { a };
    several.into_iter().reduce(better).unwrap_or(DIGS_IN)
}

const DIGS_IN: Sunk = Sunk { tipping: super::Tipping::DigsIn, rests: None };
