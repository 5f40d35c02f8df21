//! What turns and pushes an aircraft sideways as it slides: the rates of a rigid body in the plane of the ground.
//!
//! Along the lane x, to the right of it y; nose to the right by psi, n along the nose, e to its right; V over the
//! ground, A = V less the wind through the air, u = A.n, b = A.e. Per unit of mass, with N as in [`crate::Slide`]:
//!
//! ```text
//! dV/dt   = -mu N V/|V| + (T - d u|u|) n - c |A| b e - G (sin of slope along x, sin of slope along y)
//! k^2 dr/dt = x (-mu N V/|V|).e  +  mu N (w/2) f V.n/|V|  +  F |A| b  -  D |A| r,      dpsi/dt = r
//! ```
//!
//! x contact ahead of the centre of gravity, w keel spacing, f difference of friction (right keel (1 + f) mu, left
//! keel (1 - f) mu, half the load on each), c, F, D: rho/(2m) times side area and slope, fin volume, fin damping;
//! k radius of gyration.
//!
//! While the nose is held nothing turns it: dr/dt = 0.
//!
//! Invariants: friction opposes the motion of the centre of gravity and nothing else: no grip of the keels
//! sideways is credited, nor that they resist turning as they slide.
//!
//! Not here: when a slide ends; which signs hurt.
//!
//! Source: Newton's and Euler's laws in a plane, Coulomb friction, side force and fin linear in sideslip.

use crate::slide::{Air, Here};

/// A slide under way.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct State {
    /// Seconds since touchdown.
    pub t: f64,
    /// Length along the lane and to the right of it since touchdown, m.
    pub s: f64,
    pub y: f64,
    /// Nose right of the lane, rad.
    pub psi: f64,
    /// Speed over the ground along the lane and to the right, m/s.
    pub along: f64,
    pub across: f64,
    /// Turning right, rad/s.
    pub turning: f64,
}

impl State {
    /// Speed over the ground, m/s.
    pub fn speed(&self) -> f64 {
        (self.along * self.along + self.across * self.across).sqrt()
    }

    /// Speed over the ground at right angles to the keels, m/s, either sign.
    pub fn sideways(&self) -> f64 {
        let (sine, cosine) = libm::sincos(self.psi);
        self.across * cosine - self.along * sine
    }

    fn moved(&self, rate: &Self, h: f64) -> Self {
        Self {
            t: self.t + rate.t * h,
            s: self.s + rate.s * h,
            y: self.y + rate.y * h,
            psi: self.psi + rate.psi * h,
            along: self.along + rate.along * h,
            across: self.across + rate.across * h,
            turning: self.turning + rate.turning * h,
        }
    }
}

/// What acts across, wherever it is, per unit of mass; and what is the same for the whole slide.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Across {
    pub air: Air,
    /// Thrust, m/s2.
    pub thrust: f64,
    /// Wind that blows to the right, m/s.
    pub wind: f64,
    /// Side force over |A| b, 1/m.
    pub side: f64,
    /// Contact ahead of the centre of gravity, m.
    pub ahead: f64,
    /// Half the keel spacing times the difference of friction, m.
    pub uneven: f64,
    /// Fin volume and damping, rho/(2m) times each, m2/m3 and so on.
    pub fin: f64,
    pub damping: f64,
    /// Square of the radius of gyration, m2.
    pub gyration: f64,
    /// Airspeed along the nose above which it is held, m/s.
    pub steered_above: f64,
    /// Whether it is held now.
    pub held: bool,
}

/// What the ground does while a station holds.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Under {
    pub here: Here,
    /// Weight along the slope across, m/s2, to the left positive.
    pub cross: f64,
}

impl Across {
    /// Rates of a state.
    pub fn rates(&self, under: &Under, at: &State) -> State {
        let Under { here, cross } = under;
        let (sine, cosine) = libm::sincos(at.psi);
        let (ahead, beside) = (at.along + self.air.headwind, at.across - self.wind);
        let u = ahead * cosine + beside * sine;
        let slip = beside * cosine - ahead * sine;
        let through_air = (ahead * ahead + beside * beside).sqrt();
        let load = self.load_at(here, at, u);
        // A load that is not a number must not turn into zero unseen, as `max` would make it.
        let grip = here.friction * if load < 0.0 { 0.0 } else { load };
        let speed = at.speed();
        let (x, y) = if speed > 0.0 { (at.along / speed, at.across / speed) } else { (0.0, 0.0) };
        let pulled = self.thrust - self.air.drag * u * u.abs();
        let pushed = -self.side * through_air * slip;
        let moment = -grip * self.ahead * (y * cosine - x * sine)
            + grip * self.uneven * (x * cosine + y * sine)
            + through_air * (self.fin * slip - self.damping * at.turning);
        State {
            t: 1.0,
            s: at.along,
            y: at.across,
            psi: at.turning,
            // `Here` holds slope less thrust; thrust goes with the nose.
            along: -grip * x + pulled * cosine - pushed * sine - (here.along + self.thrust),
            across: -grip * y + pulled * sine + pushed * cosine - cross,
            turning: if self.held { 0.0 } else { moment / self.gyration },
        }
    }

    /// By how much the airspeed along the nose is above that down to which it is held, m/s.
    pub fn steering_left(&self, at: &State) -> f64 {
        let (sine, cosine) = libm::sincos(at.psi);
        (at.along + self.air.headwind) * cosine + (at.across - self.wind) * sine - self.steered_above
    }

    /// Load per unit of mass before the ground's refusal to pull, at an airspeed along the nose, m/s2.
    fn load_at(&self, here: &Here, at: &State, u: f64) -> f64 {
        let lifted = if u > 0.0 { self.air.lift_at(at.t) * u * u } else { 0.0 };
        here.weight + here.curvature * at.along * at.along - lifted
    }

    /// The same wherever the nose points, m/s2.
    pub fn load(&self, under: &Under, at: &State) -> f64 {
        let (sine, cosine) = libm::sincos(at.psi);
        let u = (at.along + self.air.headwind) * cosine + (at.across - self.wind) * sine;
        self.load_at(&under.here, at, u)
    }

    /// The state after one step of the classic Runge-Kutta rule, `first` being the rates at its beginning.
    pub fn stepped(&self, under: &Under, at: &State, first: &State, h: f64) -> State {
        let second = self.rates(under, &at.moved(first, 0.5 * h));
        let third = self.rates(under, &at.moved(&second, 0.5 * h));
        let fourth = self.rates(under, &at.moved(&third, h));
        at.moved(first, h / 6.0).moved(&second, h / 3.0).moved(&third, h / 3.0).moved(&fourth, h / 6.0)
    }
}
