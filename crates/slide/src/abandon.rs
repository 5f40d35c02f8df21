//! Breaking off an approach: how low it gets, how high it is where, and the latest place from which a thing is cleared.
//!
//! ```text
//!  y1 = V t        reaction and power: still on the path      V over the ground on the approach, w = V tan g its sink
//!  y2 = y1 + V w/a     pulled up until level                  a = G x load above one
//!  y3 = y2 + D     level, gaining the airspeed of the climb:  D = (uc^3 - ua^3)/(3 G k R) - head (uc^2 - ua^2)/(2 G k R)
//!  y4 = y3 + Vc R/a    pulled up into the climb               Vc over the ground in the climb, R its rate
//!  beyond: R/Vc    height over distance
//! ```
//!
//! y is the distance since the decision; on an approach at its slow end D is most of it. k is the share of the climb's
//! power that is left over while the airspeed is below that of the climb. Faster than that airspeed, the speed stays and
//! is not credited as height.
//!
//! Invariants: the path never bends down, so an earlier decision is never lower at any place beyond it; more head wind
//! and more climb never lower it anywhere (property tests); places and heights are exact for these phases. Nothing is
//! given where it does not climb.
//!
//! Not monotone, so that both ends have to be asked for: the airspeed of the approach (faster gets farther in the
//! reaction time, slower has more to gain) and its angle (steeper is higher at the decision, and sinks more).
//!
//! Not here: which wind, air and mass to take (the caller gives the worst over the heights flown, a tail wind with its
//! growth upwards); crab in a cross wind, which only slows it over the ground; whether the engine answers; ground that
//! rises under the path. **After touchdown there is no going round.**
//!
//! Source: uniformly accelerated motion; excess power is rate of climb times weight (textbook).

mod turn;

pub use turn::{Station, Turn, TurnTo};

use measure::{AirSpeed, Headwind, Metres, STANDARD_GRAVITY};
use thiserror::Error;

/// How an approach is broken off. Every default is a judgement.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Manoeuvre {
    /// From the decision until full power pulls, s, not negative.
    pub reaction_s: f64,
    /// Load factor above one in the pull-up, positive. A tenth asks for 1.05 of the stall speed.
    pub pull_up: f64,
    /// Share of the climb's power that is left over below the airspeed of the climb, above 0 and at most 1.
    pub gaining_share: f64,
    /// Bank in the turn, radians, above 0 and below a right angle.
    pub bank_rad: f64,
    /// Within which the bank is on, s, not negative.
    pub roll_s: f64,
}

impl Default for Manoeuvre {
    fn default() -> Self {
        Self { reaction_s: 4.0, pull_up: 0.1, gaining_share: 0.7, bank_rad: 15_f64.to_radians(), roll_s: 2.0 }
    }
}

/// An approach along a path held over the ground.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Approach {
    /// Angle of the path, radians, not negative and below a right angle.
    pub glide_rad: f64,
    /// True airspeed, positive.
    pub airspeed: AirSpeed,
    /// Head wind on the path and in the climb; negative is a tail wind.
    pub headwind: Headwind,
}

/// The climb of the day.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Climbing {
    /// Rate straight ahead, m/s ([`crate::Climb::rate_mps`]).
    pub rate_mps: f64,
    /// True airspeed of the climb ([`crate::Climb::true_airspeed`]).
    pub airspeed: AirSpeed,
}

/// Why nobody can say how an approach is broken off.
#[derive(Clone, Copy, PartialEq, Debug, Error)]
pub enum NoAbandon {
    /// It does not climb.
    #[error("found a rate of climb of {rate_mps} m/s, expected one above 0: it cannot climb away")]
    DoesNotClimb {
        /// The rate.
        rate_mps: f64,
    },
    /// The wind is as strong as the aircraft is fast.
    #[error("found a wind of {wind_mps} m/s, expected less than the airspeed, {airspeed_mps} m/s")]
    WindTooStrong {
        /// The wind.
        wind_mps: f64,
        /// The airspeed.
        airspeed_mps: f64,
    },
    /// Something is not a number or out of its range.
    #[error("{what}: found a value that is not a number or out of its range")]
    OutOfRange {
        /// What.
        what: &'static str,
    },
}

/// Where it is lowest.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Lowest {
    /// Height above the touchdown point; at or below 0 it touches.
    pub height: Metres,
    /// Past the touchdown point, before it negative: the first place as low.
    pub past: Metres,
}

/// Latest place to decide.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Latest {
    /// Whatever is decided before touchdown, it is cleared.
    AnyTime,
    /// This far before touchdown.
    Before(Metres),
    /// From nowhere: what is asked for is not a number.
    Never,
}

/// A broken-off approach, straight ahead, wherever it is decided.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Abandon {
    manoeuvre: Manoeuvre,
    headwind: f64,
    /// Airspeed in the climb, m/s.
    through_air: f64,
    rate: f64,
    /// Tangent of the path's angle.
    path: f64,
    /// Speeds over the ground on the approach and in the climb, m/s.
    approach: f64,
    climb: f64,
    /// Acceleration in the pull-up, m/s2.
    pull: f64,
    /// Distances since the decision at which the phases end, m, and the gain over the path prolonged at each.
    ends: [f64; 4],
    gains: [f64; 4],
    /// Since the decision when the climb is established, s.
    settled_s: f64,
}

impl Abandon {
    /// From the approach, the day's climb and how it is flown.
    ///
    /// # Errors
    /// [`NoAbandon`] where it does not climb, does not come forward against the wind, or a value is out of range.
    ///
    /// # Example: decide by
    /// ```
    /// use measure::{AirSpeed, Headwind, Metres};
    /// use slide::{Abandon, Approach, Climbing, Latest, Manoeuvre};
    /// let approach = Approach {
    ///     glide_rad: 3_f64.to_radians(),
    ///     airspeed: AirSpeed::mps(22.0),
    ///     headwind: Headwind::mps(2.0),
    /// };
    /// let climbing = Climbing { rate_mps: 2.4, airspeed: AirSpeed::mps(27.0) };
    /// let abandon = Abandon::new(approach, climbing, &Manoeuvre::default())?;
    /// // Trees 200 m past the touchdown point, 12 m with their margin; and 2 m over the ground everywhere.
    /// let ground = abandon.latest_above(Metres::m(2.0));
    /// let decide_by = match abandon.latest_over(Metres::m(200.0), Metres::m(12.0)) {
    ///     Latest::Before(trees) => trees.max(ground),
    ///     Latest::AnyTime => ground,
    ///     Latest::Never => Metres::m(f64::INFINITY),
    /// };
    /// assert!((decide_by.to_m() - 177.50).abs() < 0.01, "{decide_by:?}");
    /// # Ok::<(), slide::NoAbandon>(())
    /// ```
    pub fn new(approach: Approach, climbing: Climbing, manoeuvre: &Manoeuvre) -> Result<Self, NoAbandon> {
        in_range(&approach, &climbing, manoeuvre)?;
        let (slow, stated) = (approach.airspeed.to_mps(), climbing.airspeed.to_mps());
        let (rate, head) = (climbing.rate_mps, approach.headwind.to_mps());
        let fast = stated.max(slow);
        let (path, pull) = (libm::tan(approach.glide_rad), STANDARD_GRAVITY * manoeuvre.pull_up);
        let (v, vc) = (slow - head, fast - head);
        let sink = v * path;
        let excess = STANDARD_GRAVITY * manoeuvre.gaining_share * rate;
        let gaining_s = (fast * fast - slow * slow) / (2.0 * excess);
        let gaining = (fast * fast * fast - slow * slow * slow) / (3.0 * excess) - head * gaining_s;
        let y1 = v * manoeuvre.reaction_s;
        let y2 = y1 + v * sink / pull;
        let y3 = y2 + gaining;
        let y4 = y3 + vc * rate / pull;
        let level = 0.5 * sink * sink / pull;
        let gained = level + path * gaining;
        let climbs = gained + path * (y4 - y3) + 0.5 * rate * rate / pull;
        Ok(Self {
            manoeuvre: *manoeuvre,
            headwind: head,
            through_air: fast,
            rate,
            path,
            approach: v,
            climb: vc,
            pull,
            ends: [y1, y2, y3, y4],
            gains: [0.0, level, gained, climbs],
            settled_s: manoeuvre.reaction_s + (sink + rate) / pull + gaining_s,
        })
    }

    /// Height above the touchdown point over a place `past` it (before it negative), decided `before` it.
    pub fn height_over(&self, before: Metres, past: Metres) -> Metres {
        Metres::m(self.gain((before + past).to_m()) - past.to_m() * self.path)
    }

    /// Where it is lowest, decided `before` the touchdown point.
    pub fn lowest(&self, before: Metres) -> Lowest {
        let past = Metres::m(self.ends[1]) - before;
        Lowest { height: self.height_over(before, past), past }
    }

    /// Latest place to decide so that it is this high over a place `past` the touchdown point (before it negative).
    pub fn latest_over(&self, past: Metres, needed: Metres) -> Latest {
        let over_path = needed.to_m() + past.to_m() * self.path;
        let since = if over_path > 0.0 { self.distance_for(over_path) } else { 0.0 };
        let before = since - past.to_m();
        if before.is_nan() {
            Latest::Never
        } else if over_path <= 0.0 || before <= 0.0 {
            Latest::AnyTime
        } else {
            Latest::Before(Metres::m(before))
        }
    }

    /// Latest place to decide, before the touchdown point, so that it is nowhere lower than this above it. On a level
    /// path nothing is gained by deciding earlier, and the distance is then not finite.
    pub fn latest_above(&self, needed: Metres) -> Metres {
        let lost = self.path * self.ends[1] - self.gains[1];
        Metres::m((needed.to_m() + lost) / self.path)
    }

    /// Distance since the decision from which it climbs as it goes on climbing.
    pub fn settled(&self) -> Metres {
        Metres::m(self.ends[3])
    }

    /// Height over distance in the climb, over the ground.
    pub fn climb_slope(&self) -> f64 {
        self.rate / self.climb
    }

    /// Height above the path prolonged, at a distance since the decision.
    fn gain(&self, y: f64) -> f64 {
        let [y1, y2, y3, y4] = self.ends;
        let [_, level, gained, climbs] = self.gains;
        if y <= y1 {
            0.0
        } else if y <= y2 {
            pulled(self.pull, self.approach, y - y1)
        } else if y <= y3 {
            level + self.path * (y - y2)
        } else if y <= y4 {
            gained + self.path * (y - y3) + pulled(self.pull, self.climb, y - y3)
        } else {
            climbs + (self.path + self.climb_slope()) * (y - y4)
        }
    }

    /// The inverse of [`Self::gain`] for a gain above 0.
    fn distance_for(&self, gain: f64) -> f64 {
        let [y1, y2, y3, y4] = self.ends;
        let [_, level, gained, climbs] = self.gains;
        if gain <= level {
            y1 + self.approach * libm::sqrt(2.0 * gain / self.pull)
        } else if gain <= gained {
            y2 + (gain - level) / self.path
        } else if gain <= climbs {
            let left = gain - gained;
            let bend = self.pull / (self.climb * self.climb);
            y3 + 2.0 * left / (self.path + libm::sqrt(self.path * self.path + 2.0 * bend * left))
        } else {
            y4 + (gain - climbs) / (self.path + self.climb_slope())
        }
    }
}

/// What a pull-up gains over a straight line within a distance at a speed over the ground.
fn pulled(pull: f64, speed: f64, distance: f64) -> f64 {
    let seconds = distance / speed;
    0.5 * pull * seconds * seconds
}

fn in_range(approach: &Approach, climbing: &Climbing, manoeuvre: &Manoeuvre) -> Result<(), NoAbandon> {
    let Approach { glide_rad, airspeed, headwind } = *approach;
    let Manoeuvre { reaction_s, pull_up, gaining_share, bank_rad, roll_s } = *manoeuvre;
    let right_angle = std::f64::consts::FRAC_PI_2;
    let finite = |x: f64, holds: bool| holds && x.is_finite();
    let all = [
        ("glide angle", (0.0..right_angle).contains(&glide_rad)),
        ("airspeed of the approach", finite(airspeed.to_mps(), airspeed.to_mps() > 0.0)),
        ("head wind", headwind.to_mps().is_finite()),
        ("rate of climb", climbing.rate_mps.is_finite()),
        ("airspeed of the climb", finite(climbing.airspeed.to_mps(), climbing.airspeed.to_mps() > 0.0)),
        ("reaction time", finite(reaction_s, reaction_s >= 0.0)),
        ("load in the pull-up", finite(pull_up, pull_up > 0.0)),
        ("share of power while gaining speed", gaining_share > 0.0 && gaining_share <= 1.0),
        ("bank", bank_rad > 0.0 && bank_rad < right_angle),
        ("time to roll", finite(roll_s, roll_s >= 0.0)),
    ];
    if let Some((what, _)) = all.into_iter().find(|(_, holds)| !holds) {
        return Err(NoAbandon::OutOfRange { what });
    }
    if climbing.rate_mps <= 0.0 {
        return Err(NoAbandon::DoesNotClimb { rate_mps: climbing.rate_mps });
    }
    let slowest = airspeed.to_mps();
    if headwind.to_mps() >= slowest {
        let wind_mps = headwind.to_mps();
        return Err(NoAbandon::WindTooStrong { wind_mps, airspeed_mps: slowest });
    }
    Ok(())
}
