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
//! What the wind may be off by carries the aircraft off by so much a second; that, and where within the time to roll the
//! turn begins, is in `reach`. So is how far the arc leaves the straight line between two stations: the acceleration is
//! G tan bank throughout, so at most that over 8 times the time between them squared. Whoever holds something against
//! the polyline, grown by `reach`, holds it against every turn of the kind.
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
    rate: f64,
    /// How fast its line bends, m/s2.
    bends: f64,
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
        let (u, roll) = (self.through_air, 0.5 * self.manoeuvre.roll_s);
        let sign = if turn.to == TurnTo::Right { 1.0 } else { -1.0 };
        let wind = (-self.headwind, -turn.crosswind.to_mps());
        let first = libm::asin(-wind.1 / u);
        let turning = sign * self.turning() / u;
        let rate = turn.rate_mps.min(self.rate);
        let over_ground = |heading: f64| {
            let (sine, cosine) = libm::sincos(heading);
            (u * cosine + wind.0, u * sine + wind.1)
        };
        let last = over_ground(first + sign * turn.angle_rad);
        let legs = [
            Leg { seconds: roll, rate, bends: 0.0 },
            Leg { seconds: turn.angle_rad / turning.abs(), rate, bends: self.turning() },
            Leg { seconds: turn.beyond.to_m() / libm::hypot(last.0, last.1), rate: self.rate, bends: 0.0 },
        ];
        let begin = self.settled() - before;
        let straight = over_ground(first);
        let mut at = Station {
            past: begin,
            right: Metres::ZERO,
            height: self.height_over(before, begin),
            reach: Metres::ZERO,
            seconds: self.settled_s,
        };
        let fastest = u + libm::hypot(wind.0, wind.1);
        // Begun at once, or only once the time to roll is over.
        let sooner_or_later = straight.0 * roll;
        let mut out = Vec::new();
        for (i, leg) in legs.iter().enumerate() {
            let count = (leg.seconds * fastest / turn.spacing.to_m()).ceil().min(MOST_STATIONS);
            let step = leg.seconds / count.max(1.0);
            let moved = |t: f64| match i {
                0 => (straight.0 * t, 0.0),
                1 => {
                    let (s0, c0) = libm::sincos(first);
                    let (s, c) = libm::sincos(first + turning * t);
                    (u / turning * (s - s0) + wind.0 * t, u / turning * (c0 - c) + wind.1 * t)
                }
                _ => (last.0 * t, last.1 * t),
            };
            let from = at;
            for k in 0..count as usize {
                let until = from.seconds + (k + 1) as f64 * step - self.settled_s;
                let off = sooner_or_later + turn.wind_off_mps * until + leg.bends * step * step / 8.0;
                out.push(Station { reach: Metres::m(off), ..at });
                let t = (k + 1) as f64 * step;
                let (along, across) = moved(t);
                at = Station {
                    past: from.past + Metres::m(along),
                    right: from.right + Metres::m(across),
                    height: from.height + Metres::m(leg.rate * t),
                    seconds: from.seconds + t,
                    ..from
                };
            }
        }
        let until = at.seconds - self.settled_s;
        out.push(Station { reach: Metres::m(sooner_or_later + turn.wind_off_mps * until), ..at });
        Ok(out)
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
        let wind_mps = libm::hypot(self.headwind, crosswind.to_mps());
        if wind_mps >= self.through_air {
            return Err(NoAbandon::WindTooStrong { wind_mps, airspeed_mps: self.through_air });
        }
        Ok(())
    }
}
