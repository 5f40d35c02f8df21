//! When would this field work: the verdict over direction and strength of the wind, or over mass and temperature.
//!
//! A picture is a grid of occasions. Each is one assessment of the same inputs with another wind, or another mass and
//! temperature: the same bench judges the same kind of lanes by the same rules. Only the search is shared, as no wind
//! moves a rock.
//!
//! Invariants: no lane is told to be better than the bench judges it; a cell may be worse than a whole assessment of its
//! occasion, where that finds another lane, and never claims "does not fit" without a bound that covers every lane; the
//! digits depend on nothing but the inputs.
//!
//! Slides are looked at as at a first look, so every percentile is a bound; that the few slides which are worked out hold
//! it was tried, not proven (`demand::tail`). Not here: drawing.

mod cell;
mod grid;
mod limits;
mod needs;
mod pool;
mod standing;
#[cfg(test)]
mod tests;

use crate::assess::{Cancelled, mass_reason};
use crate::assessment::{Reason, Verdict, ruling};
use crate::bench::Bench;
use crate::caveat;
use crate::code::Code;
use crate::day::{Direction, GivenWind};
use crate::demand::Look;
use crate::drift::Drifts;
use crate::situation::Situation;
use crate::{Control, Inputs};
use cell::{Cell, LaneThen};
use measure::{Interval, Kelvins, Kilograms, Metres, TrueHeading};
use pool::Pool;
use rayon::prelude::*;
use standing::Standing;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::Ordering;

pub use grid::{Grid, Gusts};
pub use limits::{Along, STRONGEST_ASKED, WindLimit, wind_limits};

/// Into how many shares each part of the work is cut, whatever the number of threads.
const SHARES: usize = 4;

/// Parts of the work that the search is taken for.
const SEARCHES: usize = 3;

/// Crosswinds in gusts that lanes with room to drift are looked for in, as shares of the owner's limit; and what stands
/// for a limit that nobody gave, m/s (judgement).
const DRIFTING: [f64; 3] = [0.0, 0.5, 1.0];
const CROSSWIND: f64 = 6.0;

/// What is asked.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Question {
    /// Which winds.
    #[default]
    Wind,
    /// Which masses and temperatures.
    Load,
}

/// What differs between cells.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Occasion {
    /// A wind, on the day or, without one, on a calm standard day's field.
    Wind {
        /// Where it comes from, degrees true.
        from_deg: f64,
        /// Mean.
        mean_mps: f64,
        /// Gusts.
        gust_mps: f64,
    },
    /// A load and an air temperature, in the wind of the day.
    Load {
        /// Mass at touchdown.
        mass_kg: f64,
        /// Air temperature.
        temperature_c: f64,
    },
}

/// What is taken for granted in a picture.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Assumed {
    /// Whether a day was given; else dry ground and standard pressure are taken.
    pub of_day: bool,
    /// How gusts follow from the mean wind.
    pub gusts: Gusts,
    /// Height at which the wind is reckoned as measured.
    pub at_height_m: f64,
}

/// A picture, as far as it is worked out.
#[derive(Clone, PartialEq, Debug)]
pub struct Occasions {
    /// What was asked.
    pub question: Question,
    /// Columns and rows.
    pub grid: Grid,
    /// What is taken for granted.
    pub assumed: Assumed,
    /// Where the day itself stands: direction and mean of its wind, or its mass and temperature.
    pub day: Option<(f64, f64)>,
    standing: Standing,
    /// Row by row, then the calm of a wind picture.
    cells: Vec<Option<Arc<Cell>>>,
}

/// What is told of one cell.
#[derive(Clone, PartialEq, Debug)]
pub struct Told {
    /// What differs.
    pub occasion: Occasion,
    /// The verdict as an assessment gives it.
    pub verdict: Verdict,
    /// The same without what holds on every occasion: what the wind, or the load, does.
    pub mark: Verdict,
    /// Direction of the slide on the best lane; absent where there is none.
    pub heading_true_deg: Option<f64>,
    /// The same from magnetic north; absent where the date is not known.
    pub heading_magnetic_deg: Option<f64>,
    /// Near end of that lane, east and north.
    pub near_end: Option<[f64; 2]>,
    /// What that lane has to spare; absent where it does not come to rest.
    pub spare_m: Option<f64>,
    /// What rules the mark; absent where it fits.
    pub ruling: Option<Reason>,
}

/// Works out a picture; `told` is given it after each part, with more of its cells.
///
/// `None` without an aircraft: no lane is judged.
///
/// # Errors
/// [`Cancelled`] when the control said so.
pub fn occasions(
    inputs: &Inputs,
    question: Question,
    control: &Control,
    told: &mut dyn FnMut(&Occasions),
) -> Result<Option<Occasions>, Cancelled> {
    let Some(bench) = Bench::new(inputs, Look::Preview, Drifts::default()) else { return Ok(None) };
    let base = Base::new(inputs, &bench);
    let mut picture = Occasions::begun(&base, &bench, question);
    let mut benches: Vec<Bench> =
        (0..SHARES).filter_map(|_| Bench::new(inputs, Look::Glance, bench.drifts.clone())).collect();
    let searched_in = match question {
        // Whatever wind the day has, the picture is the same.
        Question::Wind => base.in_wind(TrueHeading::rad(0.0), 0.0, 0.0),
        Question::Load => base.situation.clone(),
    };
    let Some(first) = benches.first_mut() else { return Ok(None) };
    first.situation = searched_in.clone();
    let mut pool = Pool::new(first, control.cancelled)?;
    let drifting = pool.heading().map_or_else(Vec::new, |heading| base.drifting(question, &bench, heading));
    let parts = picture.grid.order();
    let count = (parts.len() + SEARCHES) as f64;
    let done = |parts: usize| {
        if step(control, parts as f64 / count).is_break() { Err(Cancelled) } else { Ok(()) }
    };
    done(1)?;
    // The calm asks for little room, so it is told before lanes with more of it are looked for.
    let (least, more) = drifting.split_at(drifting.len().min(1));
    pool.widen(first, least, control.cancelled)?;
    done(2)?;
    if question == Question::Wind {
        picture.judge(&base, &pool, &mut benches, &[picture.grid.len()]);
        told(&picture);
    }
    if let Some(first) = benches.first_mut() {
        first.situation = searched_in;
        pool.widen(first, more, control.cancelled)?;
    }
    for (i, part) in parts.iter().enumerate() {
        done(SEARCHES + i)?;
        picture.judge(&base, &pool, &mut benches, part);
        told(&picture);
    }
    (control.progress)(1.0);
    Ok(Some(picture))
}

fn step(control: &Control, share: f64) -> ControlFlow<()> {
    (control.progress)(share);
    if control.cancelled.load(Ordering::Relaxed) { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
}

/// What every occasion has in common.
struct Base<'a> {
    inputs: &'a Inputs,
    situation: Situation,
    gusts: Gusts,
}

impl<'a> Base<'a> {
    fn new(inputs: &'a Inputs, bench: &Bench) -> Self {
        let gusts = Gusts::of(inputs.day.as_ref().map(|d| &d.wind));
        Self { inputs, situation: bench.situation.clone(), gusts }
    }

    /// The situation on an occasion.
    fn on(&self, occasion: Occasion) -> Situation {
        match occasion {
            Occasion::Wind { from_deg, mean_mps, gust_mps } => {
                self.in_wind(TrueHeading::deg(from_deg), mean_mps, gust_mps)
            }
            Occasion::Load { mass_kg, temperature_c } => {
                let temperature = Kelvins::celsius(temperature_c);
                self.situation.loaded(Kilograms::kg(mass_kg), temperature, &self.inputs.strip)
            }
        }
    }

    fn in_wind(&self, from: TrueHeading, mean_mps: f64, gust_mps: f64) -> Situation {
        let wind = GivenWind {
            from: Some(Direction::True(from)),
            mean_mps: Interval::exact(mean_mps),
            gust_mps: Interval::exact(gust_mps),
            known: true,
            ..self.wind()
        };
        self.situation.in_wind(&wind, &self.inputs.settings)
    }

    /// The wind of the day; without one, or where some of it is not known, a calm at the wing.
    fn wind(&self) -> GivenWind {
        let calm = GivenWind {
            from: Some(Direction::True(TrueHeading::rad(0.0))),
            mean_mps: Interval::exact(0.0),
            gust_mps: Interval::exact(0.0),
            at_height: Interval::exact(Metres::m(self.inputs.settings.wing_height_m)),
            on_field: true,
            known: true,
        };
        self.inputs.day.as_ref().map(|day| day.wind).filter(|wind| wind.known).unwrap_or(calm)
    }

    /// What lanes with room to drift are looked for in: winds across a heading, or the ends of load and air.
    fn drifting(&self, question: Question, bench: &Bench, heading: TrueHeading) -> Vec<Situation> {
        if question == Question::Load {
            // Light and heavy, in cold and hot air: either may drift farther.
            let range = bench.aircraft.mass_range;
            let ends = [(range.low(), grid::COLDEST), (range.high(), grid::HOTTEST)];
            let loaded =
                |(mass, celsius)| self.situation.loaded(mass, Kelvins::celsius(celsius), &self.inputs.strip);
            return std::iter::once(self.situation.clone()).chain(ends.map(loaded)).collect();
        }
        let limit = bench.aircraft.crosswind_limit_mps.unwrap_or(CROSSWIND);
        let from = TrueHeading::rad(heading.to_rad() + std::f64::consts::FRAC_PI_2);
        let across = |share: &f64| self.in_wind(from, limit * share / self.gusts.ratio, limit * share);
        DRIFTING.iter().map(across).collect()
    }
}

impl Occasion {
    /// Gusts, where the wind differs.
    fn gust(self) -> Option<f64> {
        match self {
            Self::Wind { gust_mps, .. } => Some(gust_mps),
            Self::Load { .. } => None,
        }
    }
}

impl Occasions {
    fn begun(base: &Base, bench: &Bench, question: Question) -> Self {
        let inputs = base.inputs;
        let grid = Grid::new(question, bench.aircraft, caveat::strong_from(bench.aircraft), base.gusts);
        let cells = vec![None; grid.len() + usize::from(question == Question::Wind)];
        let asked = |code: Code| match question {
            Question::Wind => code == Code::StrongWind,
            Question::Load => false,
        };
        let mut of_records: Vec<Reason> =
            caveat::reasons(inputs).into_iter().filter(|r| r.verdict.is_some() && !asked(r.code)).collect();
        of_records.extend(bench.all_left_out().map(|why| caveat::left_out(why)));
        if question == Question::Wind {
            of_records.extend(mass_reason(bench));
        }
        let day = match question {
            Question::Wind => base.situation.given_wind().map(|(from, mean)| (from.to_deg(), mean)),
            Question::Load => {
                inputs.day.as_ref().and_then(|day| Some((day.mass?.to_kg(), day.temperature?.to_celsius())))
            }
        };
        let assumed = Assumed {
            of_day: inputs.day.is_some(),
            gusts: base.gusts,
            at_height_m: base.wind().at_height.low().to_m(),
        };
        Self { question, grid, assumed, day, standing: Standing::new(of_records), cells }
    }

    /// Judges some cells, each share of them on a bench of its own.
    fn judge(&mut self, base: &Base, pool: &Pool, benches: &mut [Bench], part: &[usize]) {
        let (grid, standing) = (&self.grid, &self.standing);
        let judge = |bench: &mut Bench, cell: usize| {
            let occasion = grid.occasion(self.question, cell, base.gusts);
            bench.situation = base.on(occasion);
            (cell, Arc::new(Cell::judged(bench, pool, occasion.gust(), standing)))
        };
        // Cells side by side take about as long, so each share has some of all.
        let of_share = |(k, bench): (usize, &mut Bench)| -> Vec<(usize, Arc<Cell>)> {
            part.iter().skip(k).step_by(SHARES).map(|cell| judge(bench, *cell)).collect()
        };
        let judged: Vec<Vec<_>> = benches.par_iter_mut().enumerate().map(of_share).collect();
        for (at, cell) in judged.into_iter().flatten() {
            self.standing.take(&cell);
            self.cells[at] = Some(cell);
        }
    }

    /// What holds on every occasion, the ruling reasons first: said once, and left out of the marks.
    pub fn everywhere(&self) -> Vec<Reason> {
        self.standing.reasons()
    }

    /// How many cells there are, the calm of a wind picture counted.
    pub fn count(&self) -> usize {
        self.cells.len()
    }

    /// Whether every cell is worked out.
    pub fn is_whole(&self) -> bool {
        self.cells.iter().all(Option::is_some)
    }

    /// What is told of a cell; `None` while it is not worked out. Past the last of the grid lies the calm.
    pub fn told(&self, cell: usize) -> Option<Told> {
        let occasion = self.grid.occasion(self.question, cell, self.assumed.gusts);
        Some(self.told_of(occasion, self.cells.get(cell)?.as_ref()?))
    }

    fn told_of(&self, occasion: Occasion, cell: &Cell) -> Told {
        let mark_of = |lane: &LaneThen| self.standing.own(&lane.reasons);
        let spare = |lane: &LaneThen| lane.spare_m.unwrap_or(f64::NEG_INFINITY);
        let better = |a: &&LaneThen, b: &&LaneThen| {
            (mark_of(a).rank().cmp(&mark_of(b).rank()))
                .then(b.drift_clear.cmp(&a.drift_clear))
                .then(spare(b).total_cmp(&spare(a)))
        };
        let best = cell.lanes.iter().min_by(better);
        let lane_reasons = best.map_or(&[][..], |lane| &lane.reasons);
        let bound = cell.of_all.iter().find(|r| r.verdict == Some(Verdict::DoesNotFit));
        // Without a bound nothing rules out that another lane does, and of a day that nobody gave nothing is proven.
        let proven = self.assumed.of_day && bound.is_some();
        let held = |v: Verdict| {
            if v == Verdict::DoesNotFit && !proven { Verdict::Unknown } else { v }
        };
        let of_all = ruling(&cell.of_all);
        // No lane at all is not known to fit, nor is one that was not asked.
        let none = Verdict::Unknown;
        let mark = held(best.map_or(none, mark_of).ruling(of_all));
        let whole = best.map_or(none, |lane| ruling(&lane.reasons)).ruling(of_all);
        let verdict = held(whole.ruling(ruling(&self.standing.of_records)));
        let ruled = bound.or_else(|| {
            let own = lane_reasons.iter().filter(|r| !self.standing.holds_everywhere(r));
            own.chain(&cell.of_all).reduce(|a, b| if b.rank() > a.rank() { b } else { a })
        });
        Told {
            occasion,
            verdict,
            mark,
            heading_true_deg: best.map(|lane| lane.stretch.lane.heading.to_deg()),
            heading_magnetic_deg: best.and_then(|lane| lane.heading_magnetic_deg),
            near_end: best.map(|lane| [lane.stretch.lane.near.x, lane.stretch.lane.near.y]),
            spare_m: best.and_then(|lane| lane.spare_m),
            ruling: ruled.cloned(),
        }
    }
}
