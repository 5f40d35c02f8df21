//! From where on the way in to a lane the approach can still be broken off: straight ahead, and with a gentle turn to
//! the side that leaves it open longer.
//!
//! Invariants: the path is that to the earliest touchdown, the lowest there is over any place; of airspeeds and paths
//! the ends are all asked and the one that hurts counts, with the thinnest air, the heaviest aircraft and the least wind
//! from ahead; a tail wind counts as at a height, where it is stronger. What nobody measured is cleared from nowhere.
//!
//! Not here: the motion itself ([`slide::abandon`]). After touchdown there is no going round.

use crate::approach::{Placed, WayIn};
use crate::bench::Bench;
use crate::demand::Look;
use crate::landmark::{self, Landmark};
use crate::spread::Spread;
use crate::tall::{Height, Tall};
use ground::{Abeam, Lane, Point, Shape};
use measure::{Headwind, Metres};
use serde::Serialize;
use slide::abandon::{Station, Turn, TurnTo};
use slide::{Abandon, Approach, Climbing, Latest};

/// Farthest before the touchdown at which a decision is looked for, and how far past the far end what stands is looked
/// at, m (judgement: some minute of flight).
const FARTHEST: Metres = Metres::m(1500.0);
const BEYOND: Metres = Metres::m(1500.0);

/// Steps in which a decision to turn is looked for, m.
const STEP: Metres = Metres::m(25.0);

/// Distance between the stations of a turn, m, how far it goes on after it, and by how much its heading changes.
const SPACING: Metres = Metres::m(25.0);
const AFTER_TURN: Metres = Metres::m(600.0);
const TURNED: f64 = std::f64::consts::FRAC_PI_2;

/// Height at which a tail wind is taken, m: what lies above it has been cleared (judgement).
const WIND_HEIGHT: Metres = Metres::m(50.0);

/// Distance between places along a thing that are looked at, m: the path bends by some hundredth of a metre between two.
const ALONG: Metres = Metres::m(5.0);

/// Distance between places of the ground that are looked at, m.
const GROUND_STEP: Metres = Metres::m(25.0);

/// Sides to turn to.
const SIDES: [(TurnTo, &str); 2] = [(TurnTo::Left, "left"), (TurnTo::Right, "right")];

/// From where an approach can be broken off.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct AbandonFigures {
    /// Chainage of the last place from which it can be straight ahead, negative before the near end; absent if from none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub straight_by_m: Option<f64>,
    /// What that is set by.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub straight_over: Option<String>,
    /// What lies abeam there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub straight_abeam: Option<Landmark>,
    /// The same with a gentle turn to the side that leaves it open longer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_by_m: Option<f64>,
    /// "left" or "right".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_to: Option<&'static str>,
    /// Climb over the ground straight ahead, as a slope; absent where it does not climb.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub climb_slope: Option<f64>,
}

/// One way of flying it that could be true.
struct Flown {
    abandon: Abandon,
    /// Rate of climb in the bank.
    turning_rate_mps: f64,
}

/// For a lane and its earliest touchdown; `None` where the aircraft's climb is not known.
pub(crate) fn told(way: &WayIn, spread: &Spread, earliest: Metres) -> Option<AbandonFigures> {
    let flown = flown(way, spread)?;
    let asked = Asked::of(way, earliest);
    let ground = asked.over_ground(&flown);
    let straight = ground.and_then(|ground| asked.straight(&flown, ground));
    let place = straight.as_ref().map(|(before, _)| earliest - *before);
    // A first look asks for a turn only where there is no other way out.
    let sides = if straight.is_none() || way.bench.look == Look::Full { &SIDES[..] } else { &[] };
    let turning = |&(to, name)| Some((asked.turning(&flown, spread, to, ground?)?, name));
    let turn = sides.iter().filter_map(turning).reduce(|a, b| if b.0 < a.0 { b } else { a });
    Some(AbandonFigures {
        straight_by_m: place.map(Metres::to_m),
        straight_over: straight.map(|(_, over)| over),
        straight_abeam: place.and_then(|at| landmark::at(way.bench, &way.lane, at)),
        turn_by_m: turn.map(|(before, _)| (earliest - before).to_m()),
        turn_to: turn.map(|(_, name)| name),
        climb_slope: flown.iter().map(|f| f.abandon.climb_slope()).reduce(f64::min),
    })
}

/// Every end of airspeed and path; nothing where there is no climb, empty where it does not climb.
fn flown(way: &WayIn, spread: &Spread) -> Option<Vec<Flown>> {
    let bench = way.bench;
    let climb = bench.aircraft.climb?;
    let settings = bench.settings;
    let manoeuvre = settings.manoeuvre();
    let (density, mass) = (spread.density.low(), spread.mass.high());
    let rate = |load| climb.rate_mps(density, mass, load);
    let climbing = Climbing { rate_mps: rate(1.0), airspeed: climb.true_airspeed(density) };
    let headwind = aloft(spread.headwind.low(), bench);
    let speeds = spread.airspeeds();
    let mut out = Vec::new();
    for airspeed in [speeds.low(), speeds.high()] {
        for glide_rad in [way.glide.low(), way.glide.high()] {
            let approach = Approach { glide_rad, airspeed, headwind };
            // What cannot climb away, or not against this wind, does so from nowhere.
            let Ok(abandon) = Abandon::new(approach, climbing, &manoeuvre) else { return Some(Vec::new()) };
            out.push(Flown { abandon, turning_rate_mps: rate(1.0 / libm::cos(manoeuvre.bank_rad)) });
        }
    }
    Some(out)
}

/// A tail wind is stronger aloft.
fn aloft(headwind: Headwind, bench: &Bench) -> Headwind {
    if headwind >= Headwind::ZERO {
        return headwind;
    }
    let settings = bench.settings;
    let (wing, roughness) = (Metres::m(settings.wing_height_m), Metres::m(settings.roughness_m));
    headwind * slide::wind_ratio(WIND_HEIGHT, wing, roughness).max(1.0)
}

/// What is asked of an approach that is broken off before one touchdown.
struct Asked<'a> {
    way: &'a WayIn<'a>,
    touchdown: Metres,
    things: Vec<Around<'a>>,
}

impl<'a> Asked<'a> {
    fn of(way: &'a WayIn<'a>, touchdown: Metres) -> Self {
        Self { way, touchdown, things: way.placed().map(Around::new).collect() }
    }

    /// Height that must be kept over a thing, above the ground at the touchdown; infinite where nobody measured it.
    fn needed(&self, tall: &Tall, away: Metres) -> Metres {
        let bench = self.way.bench;
        let asked = &tall.asked;
        let on_top = asked.fixed + asked.growth + asked.accuracy;
        let floor = self.way.floor.low.at(self.touchdown);
        match &tall.height {
            Height::NotMeasured => Metres::m(f64::INFINITY),
            Height::OverDatum(top) => top.high() + on_top - floor,
            Height::OverGround(height) => *height + on_top + bench.terrain.rise_over(away),
            Height::OverSupports(ends) => {
                let higher = ends[0].1.max(ends[1].1);
                let length = libm::hypot(ends[0].0.x - ends[1].0.x, ends[0].0.y - ends[1].0.y);
                higher + on_top + bench.terrain.rise_over(away + Metres::m(length))
            }
        }
    }

    /// How far before the touchdown it must be decided to go on straight ahead, and what sets that.
    fn straight(&self, flown: &[Flown], ground: Metres) -> Option<(Metres, String)> {
        let mut latest = (ground, "the ground".to_owned());
        // The corridor widens from the decision on, so that an earlier one may bring more into it.
        loop {
            let before = latest.0;
            latest = self.over_things(flown, latest)?;
            if latest.0 <= before {
                return Some(latest);
            }
        }
    }

    /// The same with everything in the corridor from that decision on, and what sets it; `None` where nothing clears it.
    fn over_things(&self, flown: &[Flown], decided: (Metres, String)) -> Option<(Metres, String)> {
        let bench = self.way.bench;
        let from = self.touchdown - decided.0;
        let mut latest = decided;
        for Around { tall, abeam, .. } in &self.things {
            let along = abeam.chainages();
            if along.high() < from || along.low() > self.way.lane.length + BEYOND {
                continue;
            }
            let half = self.way.corridor.before_lane(along.high() - from) + bench.aircraft.half_span();
            for met in abeam.within(half).filter(|met| met.high() >= from) {
                let away = (met.high() - self.touchdown).abs().max((met.low() - self.touchdown).abs());
                let needed = self.needed(tall, away + half);
                let before = self.latest(flown, (met.low().max(from), met.high()), needed)?;
                if before > latest.0 {
                    latest = (before, bench.thing_name(tall.thing));
                }
            }
        }
        Some(latest)
    }

    /// Over the ground of the lane and beyond it.
    fn over_ground(&self, flown: &[Flown]) -> Option<Metres> {
        let bench = self.way.bench;
        let kept = Metres::m(bench.settings.low_margin_m);
        let ends = (self.way.lane.length - self.touchdown) + GROUND_STEP;
        let count = (ends / GROUND_STEP).ceil().max(1.0) as usize;
        let mut before = Metres::ZERO;
        for i in 0..=count {
            let at = self.touchdown + GROUND_STEP * i as f64;
            let needed = self.ground_at(at - self.touchdown, Metres::ZERO);
            before = before.max(self.latest(flown, (at, at), needed)?);
        }
        let lowest = flown.iter().map(|f| f.abandon.latest_above(kept)).reduce(Metres::max)?;
        Some(before.max(lowest)).filter(|before| *before <= FARTHEST)
    }

    /// How far before the touchdown, so that it is as high all along a stretch; `None` from farther than is looked at.
    fn latest(&self, flown: &[Flown], (from, to): (Metres, Metres), needed: Metres) -> Option<Metres> {
        let mut before = Metres::ZERO;
        for f in flown {
            for at in places(from, to) {
                match f.abandon.latest_over(at - self.touchdown, needed) {
                    Latest::AnyTime => {}
                    Latest::Before(b) => before = before.max(b),
                    Latest::Never => return None,
                }
            }
        }
        (before <= FARTHEST).then_some(before)
    }

    /// The latest decision, in steps, from which a turn to a side clears everything, and any earlier step does so too.
    fn turning(&self, flown: &[Flown], spread: &Spread, to: TurnTo, ground: Metres) -> Option<Metres> {
        let first = (ground / STEP).ceil() as usize;
        let last = (FARTHEST / STEP) as usize;
        let clear = |i: usize| {
            let before = STEP * i as f64;
            flown.iter().all(|f| self.turn_is_clear(f, spread, to, before))
        };
        let (mut open, mut i) = (None, last);
        while i >= first && clear(i) {
            open = Some(STEP * i as f64);
            let Some(next) = i.checked_sub(1) else { break };
            i = next;
        }
        open
    }

    fn turn_is_clear(&self, flown: &Flown, spread: &Spread, to: TurnTo, before: Metres) -> bool {
        let bench = self.way.bench;
        let cross = bench.situation.gust_crosswind(self.way.lane.heading).unwrap_or(0.0);
        let turn = Turn {
            to,
            angle_rad: TURNED,
            crosswind: measure::Crosswind::mps(cross),
            wind_off_mps: (spread.headwind.high().to_mps() - spread.headwind.low().to_mps()) + cross.abs(),
            rate_mps: flown.turning_rate_mps,
            beyond: AFTER_TURN,
            spacing: SPACING,
        };
        let Ok(stations) = flown.abandon.turn(before, &turn) else { return false };
        let beside = bench.aircraft.half_span() + Metres::m(bench.settings.corridor_beside_m);
        let above_ground = stations.iter().all(|s| s.height >= self.ground_at(s.past, s.right));
        above_ground
            && self.is_clear_until(flown, before)
            && stations.windows(2).all(|leg| {
                let (away, height) =
                    (away(&leg[0]).max(away(&leg[1])) + beside, leg[0].height.min(leg[1].height));
                self.things
                    .iter()
                    .all(|one| height >= self.needed(one.tall, away) || !self.meets(leg, beside, one))
            })
    }

    /// Height that the ground at a place asks for, above that at the touchdown.
    fn ground_at(&self, past: Metres, right: Metres) -> Metres {
        let bench = self.way.bench;
        let kept = Metres::m(bench.settings.low_margin_m);
        if bench.terrain.is_levelled() {
            let place = self.way.lane.point_at(self.touchdown + past, right);
            return bench.terrain.at(place).high() - self.way.floor.low.at(self.touchdown) + kept;
        }
        bench.terrain.rise_over(Metres::m(libm::hypot(past.to_m(), right.to_m()))) + kept
    }

    /// Whether everything in the corridor is cleared from a decision until the climb is established.
    fn is_clear_until(&self, flown: &Flown, before: Metres) -> bool {
        let from = self.touchdown - before;
        let until = from + flown.abandon.settled();
        let half = self.way.corridor.before_lane(until - from) + self.way.bench.aircraft.half_span();
        let lowest = flown.abandon.lowest(before).height;
        let farthest = before.max((until - self.touchdown).abs()) + half;
        self.things.iter().filter(|one| self.needed(one.tall, farthest) > lowest).all(|one| {
            let met = one.abeam.within(half).filter(|met| met.high() >= from && met.low() <= until);
            met.map(|met| (met.low().max(from), met.high().min(until))).all(|(first, last)| {
                let away = (last - self.touchdown).abs().max((first - self.touchdown).abs());
                let needed = self.needed(one.tall, away + half);
                places(first, last).all(|at| flown.abandon.height_over(before, at - self.touchdown) >= needed)
            })
        })
    }

    /// Whether a thing lies within the corridor of one leg of a turn.
    fn meets(&self, leg: &[Station], beside: Metres, one: &Around) -> bool {
        let lane: &Lane = &self.way.lane;
        let place = |s: &Station| lane.point_at(self.touchdown + s.past, s.right);
        let (a, b) = (place(&leg[0]), place(&leg[1]));
        let within = beside + leg[0].reach.max(leg[1].reach) + one.tall.grown;
        let far = libm::hypot(a.x - one.middle.x, a.y - one.middle.y)
            > one.radius + within.to_m() + libm::hypot(a.x - b.x, a.y - b.y);
        !far && Shape::line(&[a, b]).is_ok_and(|line| line.is_near(&one.tall.shape, within))
    }
}

/// A thing, a circle about it, and where it lies along the lane.
struct Around<'a> {
    tall: &'a Tall,
    middle: Point,
    radius: f64,
    abeam: &'a Abeam,
}

impl<'a> Around<'a> {
    fn new((tall, abeam): Placed<'a>) -> Self {
        let middle = tall.shape.label_point();
        let away = |p: Point| libm::hypot(p.x - middle.x, p.y - middle.y);
        let radius = tall.shape.corners().map(away).fold(0.0, f64::max);
        Self { tall, middle, radius, abeam }
    }
}

/// Places along a stretch, both ends among them.
fn places(from: Metres, to: Metres) -> impl Iterator<Item = Metres> {
    let count = ((to - from) / ALONG).ceil().max(1.0) as usize;
    (0..=count).map(move |i| from + (to - from) * (i as f64 / count as f64))
}

/// From the touchdown point, over the ground.
fn away(station: &Station) -> Metres {
    Metres::m(libm::hypot(station.past.to_m(), station.right.to_m()))
}
