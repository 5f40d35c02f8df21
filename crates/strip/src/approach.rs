//! The way in to one lane: which touchdowns can be reached over and past everything that stands, by how much it is
//! cleared, and what rules.
//!
//! Invariants: at the worst the path is the shallowest, the ground under the touchdown the lowest, the thing the
//! highest, the largest and the nearest, with all that is asked; at the best the other way round, with what is asked in
//! any case.
//!
//! Not here: what stands ([`crate::tall`]), the geometry of a path ([`slide::approach`]).

use crate::aircraft::Glide;
use crate::bench::Bench;
use crate::ground_before::{Approach, GroundBefore};
use crate::spread::{Corner, Spread};
use crate::tall::{Height, Tall};
use crate::terrain::CELL;
use ground::{Abeam, Lane};
use measure::{AirSpeed, Headwind, Interval, Metres};
use slide::approach::{Corridor, Descent, Floor, Passed, Standing, closed, open, over_ground, passed};

/// Share of the airspeed up to which a head wind steepens the path (judgement, as for gales).
const MOST_HEADWIND: f64 = 0.5;

/// What the ground that lies before a lane is called.
pub(crate) const GROUND_BEFORE: &str = "the ground before the lane";

/// The way in to one lane.
pub(crate) struct WayIn<'a> {
    pub(crate) bench: &'a Bench<'a>,
    pub(crate) lane: Lane,
    pub(crate) floor: GroundOfLane,
    pub(crate) before: GroundBefore,
    pub(crate) corridor: Corridor,
    /// Path over the ground, radians.
    pub(crate) glide: Interval<f64>,
    /// Last touchdown that is of any use.
    last: Metres,
    /// Where each tall thing lies, at its largest.
    abeam: Vec<Abeam>,
}

/// A tall thing, and where it lies along a lane.
pub(crate) type Placed<'s> = (&'s Tall, &'s Abeam);

/// Ground along the lane at its lowest, and at its highest.
pub(crate) struct GroundOfLane {
    pub(crate) low: Floor,
    pub(crate) high: Floor,
}

/// Touchdowns that something closes.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Closed {
    pub(crate) span: Interval<Metres>,
    /// Its index among all that stands; `None` for the ground itself.
    pub(crate) tall: Option<usize>,
}

impl Closed {
    /// What it is, as said to a person.
    pub(crate) fn name(&self, bench: &Bench) -> String {
        self.tall.map_or_else(|| GROUND_BEFORE.to_owned(), |i| bench.thing_name(bench.tall[i].thing))
    }
}

impl<'a> WayIn<'a> {
    pub(crate) fn new(bench: &'a Bench<'a>, lane: &Lane, spread: &Spread, last: Metres) -> Self {
        Self::on_path(bench, lane, bench.glide(spread), last)
    }

    /// The same on a path over the ground, radians.
    pub(crate) fn on_path(bench: &'a Bench<'a>, lane: &Lane, glide: Interval<f64>, last: Metres) -> Self {
        let settings = bench.settings;
        let corridor = Corridor {
            before: Metres::m(settings.corridor_beside_m),
            on_lane: Metres::m(settings.lane_half_width_m),
            splay: settings.corridor_splay,
        };
        let floor = floor(bench, lane);
        Self {
            bench,
            lane: *lane,
            before: ground_before(bench, lane, &corridor, (&floor.low, glide), last),
            floor,
            corridor,
            glide,
            last,
            abeam: bench.tall.iter().map(|tall| Abeam::new(lane, &tall.shape, tall.grown)).collect(),
        }
    }

    /// The same flown on one path.
    pub(crate) fn flown_at(self, glide_rad: f64) -> Self {
        let path = (&self.floor.low, Interval::exact(glide_rad));
        let before = ground_before(self.bench, &self.lane, &self.corridor, path, self.last);
        Self { glide: Interval::exact(glide_rad), before, ..self }
    }

    /// All that stands, with where it lies at its largest.
    pub(crate) fn placed(&self) -> impl Iterator<Item = Placed<'_>> {
        self.bench.tall.iter().zip(&self.abeam)
    }

    /// Touchdowns that are closed at a corner.
    pub(crate) fn closed(&self, corner: Corner) -> Vec<Closed> {
        let descents = Descents::new(self, corner);
        let closed_by = |(tall, largest): Placed| match corner {
            Corner::Worst => self.closed_by((tall, largest), &descents, corner),
            Corner::Best => {
                let smallest = Abeam::new(&self.lane, &tall.shape, tall.radius);
                self.closed_by((tall, &smallest), &descents, corner)
            }
        };
        let of = |(i, placed)| closed_by(placed).into_iter().map(move |span| Closed { span, tall: Some(i) });
        let ground = self.before.closes(&descents.over_datum, corner).into_iter();
        let ground = ground.map(|span| Closed { span, tall: None });
        self.placed().enumerate().flat_map(of).chain(ground).collect()
    }

    /// Touchdowns that one thing would close at the worst, were it another.
    pub(crate) fn closed_were(&self, tall: &Tall) -> Vec<Interval<Metres>> {
        let abeam = Abeam::new(&self.lane, &tall.shape, tall.grown);
        self.closed_by((tall, &abeam), &Descents::new(self, Corner::Worst), Corner::Worst)
    }

    fn closed_by(&self, placed: Placed, descents: &Descents, corner: Corner) -> Vec<Interval<Metres>> {
        let ask = |descent: &Descent, thing: &Standing| {
            if thing.along.low() > self.last {
                Vec::new()
            } else {
                closed(descent, &self.corridor, thing, self.last)
            }
        };
        self.asking(placed, descents, corner, ask).unwrap_or_default()
    }

    /// How something is passed on the way to a touchdown; `None` where it lies beyond, or farther outside than `near`.
    pub(crate) fn passed(
        &self,
        placed: Placed,
        descents: &Descents,
        (touchdown, near): (Metres, Metres),
    ) -> Option<Passed> {
        let ask =
            |descent: &Descent, thing: &Standing| passed(descent, &self.corridor, thing, (touchdown, near));
        self.asking(placed, descents, Corner::Worst, ask).flatten()
    }

    /// Asks about a thing, as it stands at a corner; `None` where nothing at all may stand.
    fn asking<T>(
        &self,
        (tall, abeam): Placed,
        descents: &Descents,
        corner: Corner,
        ask: impl Fn(&Descent, &Standing) -> T,
    ) -> Option<T> {
        let (growth, asked) = (tall.asked.growth, &tall.asked);
        let off = match corner {
            Corner::Worst => growth + asked.accuracy,
            Corner::Best => -asked.accuracy,
        };
        let (descent, height) = self.height(tall, abeam, descents, corner)?;
        let within = |half: Metres| abeam.within(half).collect();
        let profile = self.bench.obstructions.profile();
        let reach = |above: Metres| profile.widest_below(above).unwrap_or(Metres::ZERO);
        let standing = Standing {
            before: height + off + asked.fixed,
            on_lane: height + off + asked.on_lane,
            along: abeam.chainages(),
            distance: abeam.distance(),
            within: &within,
            reach: &reach,
        };
        Some(ask(descent, &standing))
    }

    /// Height to be cleared without what is asked on top, and by which path: over the datum, or over level ground with
    /// the path turned by the slope that nobody measured. `None` where nothing at all may stand.
    fn height<'d>(
        &self,
        tall: &Tall,
        abeam: &Abeam,
        descents: &'d Descents,
        corner: Corner,
    ) -> Option<(&'d Descent, Metres)> {
        let worst = corner == Corner::Worst;
        let rise = |distance: Metres| {
            let rise = self.bench.terrain.rise_over(distance);
            if worst { rise } else { -rise }
        };
        match &tall.height {
            Height::NotMeasured => worst.then_some((&descents.over_datum, Metres::m(f64::INFINITY))),
            Height::OverDatum(top) => {
                Some((&descents.over_datum, if worst { top.high() } else { top.low() }))
            }
            over_ground => {
                let each = over_ground.over_own_ground(&self.lane, abeam)?;
                let [a, b] = each.map(|(height, away)| height + rise(away));
                Some((&descents.over_ground, a.max(b)))
            }
        }
    }
}

/// The path of one corner: with the ground as levels tell it, and without.
pub(crate) struct Descents {
    over_datum: Descent,
    over_ground: Descent,
}

impl Descents {
    pub(crate) fn new(way: &WayIn, corner: Corner) -> Self {
        let slope = way.bench.terrain.steepest().to_ratio();
        let (glide, floor, turned) = match corner {
            Corner::Worst => (way.glide.low(), &way.floor.low, -slope),
            Corner::Best => (way.glide.high(), &way.floor.high, slope),
        };
        let tangent = libm::tan(glide);
        Self {
            over_datum: Descent::new(tangent, floor.clone()),
            over_ground: Descent::new(tangent + turned, Floor::level()),
        }
    }
}

/// What levels tell of the ground before a lane, on a path over the ground, radians.
fn ground_before(
    bench: &Bench,
    lane: &Lane,
    corridor: &Corridor,
    (floor, glide): (&Floor, Interval<f64>),
    last: Metres,
) -> GroundBefore {
    let approach = Approach {
        lane,
        corridor,
        half_span: bench.aircraft.half_span(),
        floor,
        glide,
        most_kept: Metres::m(bench.settings.obstacle_margin_m),
        last,
    };
    GroundBefore::new(&bench.terrain, &approach)
}

/// Lowest and highest that the ground of a lane may lie.
fn floor(bench: &Bench, lane: &Lane) -> GroundOfLane {
    let count = (lane.length / CELL).ceil().max(1.0) as usize;
    let at = |i: usize| bench.terrain.at(lane.point_at(CELL * i as f64, Metres::ZERO));
    let marks: Vec<Interval<Metres>> = (0..=count).map(at).collect();
    let cells = |of: &dyn Fn(&[Interval<Metres>]) -> Metres| marks.windows(2).map(of).collect();
    GroundOfLane {
        low: Floor::new(CELL, cells(&|w| w[0].low().min(w[1].low()))),
        high: Floor::new(CELL, cells(&|w| w[0].high().max(w[1].high()))),
    }
}

/// Touchdowns between two chainages that nothing closes.
pub(crate) fn left_open(within: Interval<Metres>, closed: &[Closed]) -> Vec<Interval<Metres>> {
    open(within, closed.iter().map(|c| c.span).collect())
}

impl Bench<'_> {
    /// Path over the ground, radians, from the shallowest to the steepest: as the pilot holds it, or of the path through
    /// the air at every end of speed and wind.
    pub(crate) fn glide(&self, spread: &Spread) -> Interval<f64> {
        let settings = self.settings;
        let default =
            Interval::spanning(settings.glide_low_deg.to_radians(), settings.glide_high_deg.to_radians());
        match self.aircraft.glide {
            None => default,
            Some(Glide::OverGround(rad)) => rad,
            Some(Glide::ThroughAir(rad)) => {
                let speeds = spread.airspeeds();
                let winds = [spread.headwind.low(), spread.headwind.high()];
                let of = |air: f64| {
                    let each = [speeds.low(), speeds.high()].into_iter();
                    // Into more wind than that a slide is not what is worked out here.
                    let most = |u: AirSpeed| Headwind::mps(u.to_mps() * MOST_HEADWIND);
                    let each = each
                        .flat_map(|u| winds.map(|w| Interval::exact(over_ground(air, u, w.min(most(u))))));
                    each.reduce(Interval::hull).unwrap_or(Interval::exact(air))
                };
                of(rad.low()).hull(of(rad.high()))
            }
        }
    }
}
