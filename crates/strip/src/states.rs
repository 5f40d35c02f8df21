//! The box of states that slides on a lane may come through, from all that is known of aircraft, pilot and day.
//!
//! Invariants: what is sampled for the length of slides is taken at 95 % to either side; a moment of the air that nobody
//! measured is none, which is an end that helps and never one that hurts.
//!
//! Not here: what the box makes of the balance (crate `slide`).

use crate::balance::Standing;
use crate::side::Side;
use measure::{AirSpeed, Interval, Metres, ONE_SIDED_95, STANDARD_GRAVITY};
use slide::soft::Keels;
use slide::tipping::envelope::Envelope;
use slide::{StallSpeed, touchdown_airspeed};

/// Keels that carry: one under each float.
const KEELS: u8 = 2;

/// All states on ground of this friction.
pub(crate) fn of(standing: &Standing, side: &Side, friction: Interval<f64>) -> Envelope {
    let (bench, spread) = (standing.bench, standing.spread);
    let off = ONE_SIDED_95 * spread.mass_share;
    let fastest = fastest(standing);
    Envelope {
        keels: Keels { count: KEELS, width: bench.aircraft.shoe_width(), length: bench.keel() },
        cg_to_forward_end: side.cg,
        cg_height: side.cg_height.map_growing(|h| Metres::m(h.to_m())),
        mass: Interval::spanning(spread.mass.low() * (1.0 - off), spread.mass.high() * (1.0 + off)),
        load_factor: load_factor(standing, fastest),
        friction,
        fastest,
        headwind: spread.headwind,
        density: spread.density,
        thrust: spread.thrust,
        thrust_line: Metres::m(side.thrust_line.to_m()),
        air: side.nose_down_moment_m3.unwrap_or(Interval::exact(0.0)),
    }
}

/// The fastest at touchdown.
fn fastest(standing: &Standing) -> AirSpeed {
    let s = standing.spread;
    let off = ONE_SIDED_95;
    let calibrated = s.stall.high() * (1.0 + off * s.stall_share);
    let mass = s.mass.high() * (1.0 + off * s.mass_share);
    let stall = StallSpeed { calibrated, at_mass: s.reference_mass };
    touchdown_airspeed(&stall, mass, s.touchdown_factor.high(), s.gust_mps.high(), s.density.low())
}

/// Greatest load over weight: 1 + v^2 k/g in the sharpest hollow at the fastest, or in one that nobody saw.
fn load_factor(standing: &Standing, fastest: AirSpeed) -> f64 {
    let way = standing.way;
    let speed = fastest.over_ground(standing.spread.headwind.low()).to_mps();
    let sharpest = way.sharpest_hollow(standing.window);
    let measured = 1.0 + speed * speed * sharpest / STANDARD_GRAVITY;
    if way.seen { measured } else { measured.max(standing.bench.settings.unseen_hollow_load) }
}
