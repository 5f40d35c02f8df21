//! The way down to the touchdown: a straight path over the ground, the corridor about it, and from which touchdowns on
//! it passes over what stands before them.
//!
//! Invariants:
//! - the path is that of the lowest point of the floats; a touchdown is closed if anywhere in the corridor something
//!   may be nearer to it than it must be;
//! - whatever is higher, nearer or less sure closes no fewer touchdowns, and neither does a shallower path or a wider
//!   corridor: places before the touchdown are looked at in cells that are the same for every question;
//! - before the lane the corridor keeps its whole width; on the lane, which is clear for the slide at its own width,
//!   it is as wide as that and splays out from the touchdown back.
//!
//! Not here: where things lie (crate `ground` says at which chainages a thing lies within a distance of the centre
//! line), which margins are kept, and the air after a decision to abandon.
//!
//! Source: plane geometry; a corridor that splays is that of ICAO Annex 14's approach surfaces (10 % to either side).

use measure::{AirSpeed, Headwind, Interval, Metres};

/// Where the cells before the touchdown begin and end, m (judgement: fine where the path is low).
const CELLS: [f64; 30] = [
    0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 120.0, 150.0, 180.0,
    220.0, 270.0, 330.0, 400.0, 500.0, 600.0, 750.0, 900.0, 1200.0, 1600.0, 2200.0, 3000.0, 30_000.0,
];

/// How far to either side of the centre line the aircraft may be on its way down.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Corridor {
    /// Beyond the aircraft's own width, before the near end of the lane.
    pub before: Metres,
    /// Half-width of the lane, within which it touches down.
    pub on_lane: Metres,
    /// Growth of both per length before the touchdown; not negative.
    pub splay: f64,
}

impl Corridor {
    /// Before the lane, at a distance before the touchdown.
    pub fn before_lane(&self, ahead: Metres) -> Metres {
        self.before + ahead.max(Metres::ZERO) * self.splay
    }

    /// Over the lane.
    pub fn over_lane(&self, ahead: Metres) -> Metres {
        self.on_lane.max(ahead * self.splay)
    }
}

/// The lowest that the ground may be along a lane: cells of one length from the near end on.
#[derive(Clone, PartialEq, Debug)]
pub struct Floor {
    cell: Metres,
    low: Vec<Metres>,
}

impl Floor {
    /// Level ground at height nothing.
    pub fn level() -> Self {
        Self { cell: Metres::m(1.0), low: vec![Metres::ZERO] }
    }

    /// From the lowest ground of each cell, above one datum; the last goes on beyond them. Without any, level ground.
    /// `cell` is positive.
    pub fn new(cell: Metres, low: Vec<Metres>) -> Self {
        if low.is_empty() { Self::level() } else { Self { cell, low } }
    }

    /// At a chainage.
    pub fn at(&self, chainage: Metres) -> Metres {
        let index = libm::floor(chainage.max(Metres::ZERO) / self.cell) as usize;
        self.low.get(index).or(self.low.last()).copied().unwrap_or(Metres::ZERO)
    }

    /// The lowest anywhere.
    pub fn lowest(&self) -> Metres {
        self.low.iter().copied().reduce(Metres::min).unwrap_or(Metres::ZERO)
    }
}

/// A path down to any touchdown of a lane.
#[derive(Clone, PartialEq, Debug)]
pub struct Descent {
    tangent: f64,
    floor: Floor,
    lowest: f64,
    /// Over all cells from one on, the least of ground and path counted together: where the path through a cell's
    /// beginning would cross the near end.
    least_from: Vec<f64>,
}

impl Descent {
    /// Paths of one tangent over the ground.
    pub fn new(tangent: f64, floor: Floor) -> Self {
        let starts = floor.low.iter().enumerate();
        let mut least_from: Vec<f64> =
            starts.map(|(k, low)| low.to_m() + k as f64 * floor.cell.to_m() * tangent).collect();
        for k in (0..least_from.len().saturating_sub(1)).rev() {
            least_from[k] = least_from[k].min(least_from[k + 1]);
        }
        Self { tangent, lowest: floor.lowest().to_m(), floor, least_from }
    }

    /// The touchdown from which on every path passes no lower over a chainage than a height above the datum; infinite
    /// where none does.
    pub fn clears_from(&self, over: Metres, height: Metres) -> Metres {
        if self.tangent <= 0.0 {
            let ever = height.to_m() <= self.lowest;
            return Metres::m(if ever { f64::NEG_INFINITY } else { f64::INFINITY });
        }
        let asked = height.to_m() + over.to_m() * self.tangent;
        let Some(last) = self.least_from.partition_point(|least| *least < asked).checked_sub(1) else {
            return Metres::m(f64::NEG_INFINITY);
        };
        let within = (asked - self.floor.low[last].to_m()) / self.tangent;
        let next =
            if last + 1 < self.floor.low.len() { (last + 1) as f64 * self.floor.cell.to_m() } else { within };
        Metres::m(within.min(next))
    }

    /// Farthest before the touchdown that a path can be lower than a height.
    fn low_for(&self, height: Metres) -> f64 {
        let above = height.to_m() - self.lowest;
        if above <= 0.0 {
            0.0
        } else if self.tangent <= 0.0 {
            f64::INFINITY
        } else {
            above / self.tangent
        }
    }
}

/// What has to be passed over or beside.
pub struct Standing<'a> {
    /// Height above the datum that must be kept over it where it stands before the lane.
    pub before: Metres,
    /// The same where it stands beside the lane or on it.
    pub on_lane: Metres,
    /// Chainages over which it reaches.
    pub along: Interval<Metres>,
    /// From the centre line to its nearest point.
    pub distance: Metres,
    /// At which chainages it lies within a distance of the centre line.
    pub within: &'a dyn Fn(Metres) -> Vec<Interval<Metres>>,
    /// How far out a part of the aircraft reaches that is no higher above the path than this.
    pub reach: &'a dyn Fn(Metres) -> Metres,
}

/// Touchdowns, up to the last one asked for, from which the path would pass too near to something.
pub fn closed(
    descent: &Descent,
    corridor: &Corridor,
    thing: &Standing,
    last: Metres,
) -> Vec<Interval<Metres>> {
    let mut out = Vec::new();
    if lies_outside(descent, corridor, thing) {
        return out;
    }
    for cell in Cell::all(corridor, thing).take_while(|cell| thing.along.low() + cell.ahead <= last) {
        if cell.is_cleared(descent) {
            continue;
        }
        for met in cell.met(thing, cell.half_width(descent, thing)) {
            let from = met.low() + cell.ahead;
            let to = (met.high() + cell.behind).min(descent.clears_from(met.high(), cell.height));
            if from <= to && from <= last {
                out.push(Interval::spanning(from, to));
            }
        }
    }
    out
}

/// Whether a thing is farther from the centre line than the corridor reaches anywhere that a path may be low enough.
fn lies_outside(descent: &Descent, corridor: &Corridor, thing: &Standing) -> bool {
    let low_for = descent.low_for(thing.before.max(thing.on_lane));
    thing.distance > widest(corridor, thing, Metres::m(low_for))
}

/// As far as any cell up to a distance before the touchdown reaches from the centre line, the whole aircraft in it.
fn widest(corridor: &Corridor, thing: &Standing, ahead: Metres) -> Metres {
    // A cell that begins just there counts as well.
    let farthest = CELLS.into_iter().find(|end| *end > ahead.to_m()).unwrap_or(CELLS[CELLS.len() - 1]);
    let farthest = Metres::m(farthest);
    let widest = corridor.before_lane(farthest).max(corridor.over_lane(farthest));
    widest + (thing.reach)(Metres::m(f64::INFINITY))
}

/// How something is passed on the way to a touchdown.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Passed {
    /// In the corridor, last at this chainage.
    Over(Metres),
    /// This far outside the corridor.
    Beside(Metres),
}

/// How something is passed on the way to one touchdown; `None` where it lies wholly beyond, or farther outside than `near`.
pub fn passed(
    descent: &Descent,
    corridor: &Corridor,
    thing: &Standing,
    (touchdown, near): (Metres, Metres),
) -> Option<Passed> {
    if thing.distance > widest(corridor, thing, touchdown - thing.along.low()) + near {
        return None;
    }
    let mut last: Option<Metres> = None;
    let mut beside = Metres::m(f64::INFINITY);
    for cell in Cell::all(corridor, thing).take_while(|cell| thing.along.low() + cell.ahead <= touchdown) {
        let half_width = cell.half_width(descent, thing);
        let (from, to) = (touchdown - cell.behind, touchdown - cell.ahead);
        let met = cell.met(thing, half_width).filter(|met| met.low() <= to && met.high() >= from);
        last = met.map(|met| met.high().min(to)).chain(last).reduce(Metres::max);
        if thing.along.low() <= to && thing.along.high() >= from {
            beside = beside.min(thing.distance - half_width);
        }
    }
    let outside =
        (thing.along.low() < touchdown && beside <= near).then(|| Passed::Beside(beside.max(Metres::ZERO)));
    last.map(Passed::Over).or(outside)
}

/// Places so far before the touchdown, on one side of the near end.
#[derive(Clone, Copy)]
struct Cell {
    ahead: Metres,
    behind: Metres,
    side: Side,
    /// Half-width of the corridor without the aircraft.
    corridor: Metres,
    /// Height to be kept.
    height: Metres,
}

impl Cell {
    fn all(corridor: &Corridor, thing: &Standing) -> impl Iterator<Item = Self> {
        let (corridor, before, on_lane) = (*corridor, thing.before, thing.on_lane);
        CELLS.into_iter().zip(CELLS.into_iter().skip(1)).flat_map(move |(ahead, behind)| {
            let (ahead, behind) = (Metres::m(ahead), Metres::m(behind));
            let of = |side, corridor, height| Self { ahead, behind, side, corridor, height };
            [
                of(Side::Before, corridor.before_lane(behind), before),
                of(Side::OnLane, corridor.over_lane(behind), on_lane),
            ]
        })
    }

    /// Whether every path is high enough here.
    fn is_cleared(&self, descent: &Descent) -> bool {
        self.ahead.to_m() >= descent.low_for(self.height)
    }

    /// Within it some part of the aircraft may be too low; all of it counts where the path is high enough anyway.
    fn half_width(&self, descent: &Descent, thing: &Standing) -> Metres {
        let above = if self.is_cleared(descent) {
            Metres::m(f64::INFINITY)
        } else {
            // On a path that does not rise backward the far side of the cell is the lower.
            let lower = if descent.tangent < 0.0 { self.behind } else { self.ahead };
            self.height - Metres::m(descent.lowest) - lower * descent.tangent
        };
        self.corridor + (thing.reach)(above)
    }

    fn met<'a>(
        &self,
        thing: &'a Standing,
        half_width: Metres,
    ) -> impl Iterator<Item = Interval<Metres>> + use<'a> {
        let side = self.side;
        (thing.within)(half_width).into_iter().filter_map(move |met| side.of(met))
    }
}

/// Which side of the near end.
#[derive(Clone, Copy)]
enum Side {
    Before,
    OnLane,
}

impl Side {
    /// The part of some chainages that lies on this side.
    fn of(self, met: Interval<Metres>) -> Option<Interval<Metres>> {
        match self {
            Self::Before => (met.low() < Metres::ZERO)
                .then(|| Interval::spanning(met.low(), met.high().min(Metres::ZERO))),
            Self::OnLane => (met.high() >= Metres::ZERO)
                .then(|| Interval::spanning(met.low().max(Metres::ZERO), met.high())),
        }
    }
}

/// What is left of some touchdowns once those that are closed are taken out, in order; the ends of what is closed may
/// be touched.
pub fn open(within: Interval<Metres>, mut closed: Vec<Interval<Metres>>) -> Vec<Interval<Metres>> {
    closed.sort_by(|a, b| a.low().to_m().total_cmp(&b.low().to_m()));
    let mut out = Vec::new();
    let mut from = within.low();
    for c in closed {
        if c.high() <= from {
            continue;
        }
        if c.low() > from && from <= within.high() {
            out.push(Interval::spanning(from, c.low().min(within.high())));
        }
        from = from.max(c.high());
    }
    if from <= within.high() {
        out.push(Interval::spanning(from, within.high()));
    }
    out
}

/// Path over the ground, radians, of one through the air.
///
/// # Units
/// `air_rad`: radians below the horizon, from 0 to 0.5; the airspeed is greater than the headwind.
///
/// # References
/// Velocity triangle: the sink is the same, the speed over the ground is that through the air less the headwind.
pub fn over_ground(air_rad: f64, airspeed: AirSpeed, headwind: Headwind) -> f64 {
    let u = airspeed.to_mps();
    libm::atan2(u * libm::sin(air_rad), u * libm::cos(air_rad) - headwind.to_mps())
}

#[cfg(test)]
mod tests;
