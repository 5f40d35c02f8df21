//! The turn away: once the climb is established, a bank to the left or right, then straight on.
//!
//! ```text
//! r = u^2 / (G tan bank)      rate of turn = u / r
//! along = r (sin p - sin p0) - head t        right = r (cos p0 - cos p) - cross t
//! ```
//!
//! p is the heading through the air from the line of the approach, p0 that which holds the line in the cross wind. In
//! the air it is a circle; over the ground that circle is carried with the wind, exactly, so that a tail wind widens it
//! and a head wind narrows it as they do, and no one radius has to stand for both.
//!
//! What the wind may be off by carries the aircraft off by so much a second, and so does the heading with which the pilot
//! held the line in that wind, once it has turned; both, and where within the time to roll the turn begins, is in `reach`.
//! So is how far the arc leaves the straight line between two stations: the acceleration is G tan bank throughout, so at
//! most that over 8 times the time between them squared. Whoever holds something against a line between two stations,
//! grown by the first one's `reach`, at the lower of their heights, and does so for all of them, holds it against every
//! turn of the kind (property test).
//!
//! Invariants: two stations lie no farther apart than asked, as far as their number is bounded; heights between them are
//! straight; no turn is begun before the climb is established, and none of the climb straight ahead is credited in it.
//!
//! Not here: which side is the clearer one, and what stands beside. A turn that began earlier is not of the kind.
//!
//! Source: balanced turn, lift L with L cos bank = weight and L sin bank = mass x u^2/r (textbook).

use super::{Abandon, NoAbandon};
use measure::{Crosswind, Metres, STANDARD_GRAVITY};

/// Most stations of the arc, and of the straight line after it.
const MOST_STATIONS: f64 = 4_096.0;

/// To which side.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum TurnTo {
    /// Left of the line of the approach.
    Left,
    /// Right of it.
    Right,
}

/// A turn away and what follows.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Turn {
    /// To which side.
    pub to: TurnTo,
    /// By how much the heading through the air changes, radians, above 0 and at most a right angle.
    pub angle_rad: f64,
    /// Cross wind on the line of the approach.
    pub crosswind: Crosswind,
    /// By how much the wind may differ, in any direction, from the head wind of the approach and this cross wind, m/s,
    /// not negative.
    pub wind_off_mps: f64,
    /// Rate of climb in the bank, m/s ([`crate::Climb::rate_mps`] at a load factor of 1/cos bank); may be negative.
    pub rate_mps: f64,
    /// How far it is followed after the turn, over the ground, not negative.
    pub beyond: Metres,
    /// Distance between stations over the ground, positive.
    pub spacing: Metres,
}

/// A place on the way.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Station {
    /// Past the touchdown point along the line of the approach.
    pub past: Metres,
    /// To the right of that line.
    pub right: Metres,
    /// Above the touchdown point.
    pub height: Metres,
    /// How far off the straight line to the next station the aircraft may be, to any side.
    pub reach: Metres,
    /// Since the decision, s.
    pub seconds: f64,
}

/// One leg: how it moves while it lasts.
struct Leg {
    seconds: f64,
    /// Rate of climb, m/s.
    rate: f64,
    way: Way,
}

/// Over the ground, along and to the right of the line of the approach, m/s.
type Velocity = (f64, f64);

enum Way {
    Straight(Velocity),
    /// From a heading, rad, turning right so fast, rad/s, through air that moves with the wind.
    Arc {
        airspeed: f64,
        first: f64,
        turning: f64,
        wind: Velocity,
    },
}

impl Way {
    /// How far it has come after a time.
    fn moved(&self, t: f64) -> (f64, f64) {
        match *self {
            Self::Straight((along, across)) => (along * t, across * t),
            Self::Arc { airspeed, first, turning, wind } => {
                let (radius, (s0, c0)) = (airspeed / turning, libm::sincos(first));
                let (s, c) = libm::sincos(first + turning * t);
                (radius * (s - s0) + wind.0 * t, radius * (c0 - c) + wind.1 * t)
            }
        }
    }

    /// How far it leaves the straight line between two of its places a time apart.
    fn swings_out(&self, step: f64) -> f64 {
        match *self {
            Self::Straight(_) => 0.0,
            Self::Arc { airspeed, turning, .. } => airspeed * turning.abs() * step * step / 8.0,
        }
    }
}

impl Abandon {
    /// Radius of the turn through the air.
    ///
    /// # Example: 90 kt and 30 degrees
    /// ```
    /// use measure::{AirSpeed, Headwind, Metres};
    /// use slide::{Abandon, Approach, Climbing, Manoeuvre};
    /// let approach =
    ///     Approach { glide_rad: 0.05, airspeed: AirSpeed::mps(30.0), headwind: Headwind::ZERO };
    /// let climbing = Climbing { rate_mps: 3.0, airspeed: AirSpeed::mps(46.3) };
    /// let manoeuvre = Manoeuvre { bank_rad: 30_f64.to_radians(), ..Manoeuvre::default() };
    /// let radius = Abandon::new(approach, climbing, &manoeuvre)?.turn_radius();
    /// assert!((radius / Metres::ft(1.0) - 1242.2).abs() < 0.1);
    /// # Ok::<(), slide::NoAbandon>(())
    /// ```
    pub fn turn_radius(&self) -> Metres {
        Metres::m(self.through_air * self.through_air / self.turning())
    }

    /// The way from where the climb is established through the turn and beyond, decided `before` the touchdown point;
    /// at least two stations.
    ///
    /// # Errors
    /// [`NoAbandon`] where the wind carries it away or a value is out of range.
    pub fn turn(&self, before: Metres, turn: &Turn) -> Result<Vec<Station>, NoAbandon> {
        self.can_turn(before, turn)?;
        let begin = self.settled() - before;
        let mut at = Station {
            past: begin,
            right: Metres::ZERO,
            height: self.height_over(before, begin),
            reach: Metres::ZERO,
            seconds: self.settled_s,
        };
        let wind = libm::hypot(self.headwind, turn.crosswind.to_mps());
        let fastest = self.through_air + wind;
        let early_or_late = (fastest + turn.wind_off_mps) * self.half_roll();
        let carried = turn.wind_off_mps + self.crab_off(turn);
        let off = |seconds: f64| early_or_late + carried * (seconds - self.settled_s);
        let mut out = Vec::new();
        for leg in self.legs(turn) {
            let count = (leg.seconds * fastest / turn.spacing.to_m()).ceil().min(MOST_STATIONS);
            let (from, step) = (at, leg.seconds / count.max(1.0));
            for k in 1..=count as usize {
                let t = k as f64 * step;
                let (along, across) = leg.way.moved(t);
                let next = Station {
                    past: from.past + Metres::m(along),
                    right: from.right + Metres::m(across),
                    height: from.height + Metres::m(leg.rate * t),
                    seconds: from.seconds + t,
                    ..from
                };
                out.push(Station { reach: Metres::m(off(next.seconds) + leg.way.swings_out(step)), ..at });
                at = next;
            }
        }
        out.push(Station { reach: Metres::m(off(at.seconds)), ..at });
        Ok(out)
    }

    /// Straight until the bank is on, the arc, and straight on.
    fn legs(&self, turn: &Turn) -> [Leg; 3] {
        let u = self.through_air;
        let sign = if turn.to == TurnTo::Right { 1.0 } else { -1.0 };
        let wind = (-self.headwind, -turn.crosswind.to_mps());
        let over_ground = |heading: f64| {
            let (sine, cosine) = libm::sincos(heading);
            (u * cosine + wind.0, u * sine + wind.1)
        };
        // The heading that holds the line.
        let first = libm::asin(-wind.1 / u);
        let turning = sign * self.turning() / u;
        let last = over_ground(first + sign * turn.angle_rad);
        let rate = turn.rate_mps.min(self.rate);
        [
            // As high as the turn that begins at once, or where it sinks, as low as the one that begins last.
            Leg {
                seconds: self.half_roll(),
                rate: 2.0 * rate.min(0.0),
                way: Way::Straight(over_ground(first)),
            },
            Leg {
                seconds: turn.angle_rad / turning.abs(),
                rate,
                way: Way::Arc { airspeed: u, first, turning, wind },
            },
            Leg {
                seconds: turn.beyond.to_m() / libm::hypot(last.0, last.1),
                rate: self.rate,
                way: Way::Straight(last),
            },
        ]
    }

    /// How fast the heading that holds the line in a wind that is off carries it away once that heading turns, m/s.
    fn crab_off(&self, turn: &Turn) -> f64 {
        let (u, cross) = (self.through_air, turn.crosswind.to_mps());
        // The arc sine is steepest at its ends, so the larger cross wind is the worse one.
        let (given, worse) = (cross.abs(), cross.abs() + turn.wind_off_mps);
        u * (libm::asin(worse / u) - libm::asin(given / u))
    }

    /// By how much the turn may begin earlier or later than it is drawn, s.
    fn half_roll(&self) -> f64 {
        0.5 * self.manoeuvre.roll_s
    }

    /// Acceleration across the heading in the bank, m/s2.
    fn turning(&self) -> f64 {
        STANDARD_GRAVITY * libm::tan(self.manoeuvre.bank_rad)
    }

    fn can_turn(&self, before: Metres, turn: &Turn) -> Result<(), NoAbandon> {
        let Turn { to: _, angle_rad, crosswind, wind_off_mps, rate_mps, beyond, spacing } = *turn;
        let all = [
            ("place of the decision", before.to_m().is_finite()),
            ("angle of the turn", angle_rad > 0.0 && angle_rad <= std::f64::consts::FRAC_PI_2),
            ("cross wind", crosswind.to_mps().is_finite()),
            ("what the wind may be off by", wind_off_mps.is_finite() && wind_off_mps >= 0.0),
            ("rate of climb in the turn", rate_mps.is_finite()),
            ("distance after the turn", beyond.to_m().is_finite() && beyond.to_m() >= 0.0),
            ("spacing", spacing.to_m().is_finite() && spacing.to_m() > 0.0),
        ];
        if let Some((what, _)) = all.into_iter().find(|(_, holds)| !holds) {
            return Err(NoAbandon::OutOfRange { what });
        }
        let wind_mps = libm::hypot(self.headwind, crosswind.to_mps()) + wind_off_mps;
        if wind_mps >= self.through_air {
            return Err(NoAbandon::WindTooStrong { wind_mps, airspeed_mps: self.through_air });
        }
        Ok(())
    }
}
