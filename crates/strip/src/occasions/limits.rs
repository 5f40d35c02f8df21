//! How much tail wind one lane bears, and how much head wind it asks for: steady wind straight along it, by the same
//! judgement as a whole assessment's of the best stretch of its line in that wind.
//!
//! Invariants: the tail wind told is one that was judged and borne, and so is every weaker one that was tried; the head
//! wind told is one that was judged and suffices. What keeps the lane from fitting in a calm as well, and has nothing to do
//! with wind, is left out, as of the marks of a picture.
//!
//! Not here: wind across the lane, and other lanes.

use super::cell::{Cell, LaneThen};
use super::standing::Standing;
use super::{Base, step};
use crate::assess::Cancelled;
use crate::assessed_lane::AssessedLane;
use crate::assessment::{Reason, Verdict, ruling};
use crate::bench::Bench;
use crate::caveat;
use crate::demand::Look;
use crate::drift::Drifts;
use crate::drift_room::with_room_to_drift;
use crate::{Control, Inputs};
use ground::{Centreline, Obstructions, Point, Stretch, clear_stretches};
use measure::TrueHeading;

/// The strongest steady wind asked about, m/s, and the steps in which it is (judgement).
pub const STRONGEST_ASKED: f64 = 15.0;
const STEP: f64 = 1.0;

/// Halvings of a step: to a sixteenth of it.
const HALVINGS: u32 = 4;

/// Steady winds along one lane, m/s.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Along {
    /// The greatest tail wind borne, as great as asked about where there is no limit; absent where not even a calm is.
    pub greatest_tail_mps: Option<f64>,
    /// The least head wind that suffices, nothing where a calm does; absent where none that is asked about does.
    pub least_head_mps: Option<f64>,
}

/// What wind along it one lane bears.
#[derive(Clone, PartialEq, Debug)]
pub struct WindLimit {
    /// Direction of the slide.
    pub heading_true_deg: f64,
    /// The same from magnetic north; absent where the date is not known.
    pub heading_magnetic_deg: Option<f64>,
    /// With room to spare.
    pub fits: Along,
    /// At least tight.
    pub tight: Along,
    /// What keeps it from fitting whatever the wind, the ruling ones first.
    pub everywhere: Vec<Reason>,
}

/// What steady wind a lane and its reverse bear; nothing without an aircraft.
///
/// # Errors
/// [`Cancelled`] when the control said so.
pub fn wind_limits(
    inputs: &Inputs,
    lane: &AssessedLane,
    control: &Control,
) -> Result<Vec<WindLimit>, Cancelled> {
    let Some(mut bench) = Bench::new(inputs, Look::Glance, Drifts::default()) else { return Ok(Vec::new()) };
    let base = Base::new(inputs, &bench);
    let near = Point { x: lane.near_end[0], y: lane.near_end[1] };
    let heading = TrueHeading::deg(lane.heading_true_deg);
    let mut out = Vec::new();
    for (i, heading) in [heading, heading.reversed()].into_iter().enumerate() {
        let share = |s: f64| step(control, 0.5 * (i as f64 + s));
        let line = Centreline::through(near, heading);
        let Some(mut asked) = Asked::of(&mut bench, &base, line) else { continue };
        let mut along = |at_worst: Verdict, from: f64, to: f64| {
            let span = to - from;
            asked.along(at_worst, &|s: f64| share(from + s * span))
        };
        let (fits, tight) = (along(Verdict::Fits, 0.0, 0.5)?, along(Verdict::Tight, 0.5, 1.0)?);
        out.push(WindLimit {
            heading_true_deg: heading.to_deg(),
            heading_magnetic_deg: asked.calm.heading_magnetic_deg,
            fits,
            tight,
            everywhere: asked.standing.reasons(),
        });
    }
    Ok(out)
}

/// The stretch of a line that is best in the bench's situation, judged: for slides that go straight, or with room to drift
/// as on that.
pub(super) fn best_on(bench: &Bench, line: Centreline) -> Option<LaneThen> {
    let usable = |s: &Stretch| bench.margins.usable(s).to_m();
    let longest = |things: &Obstructions| {
        clear_stretches(things, line).into_iter().max_by(|a, b| usable(a).total_cmp(&usable(b)))
    };
    let straight = longest(&bench.obstructions)?;
    let wide =
        with_room_to_drift(bench, &bench.obstructions, &straight.lane).and_then(|things| longest(&things));
    let both = wide.into_iter().chain([straight]);
    let judged = both.map(|stretch| LaneThen::judged(bench, &stretch, &bench.obstructions, None));
    let spare = |lane: &LaneThen| lane.spare_m.unwrap_or(f64::NEG_INFINITY);
    judged.min_by(|a, b| {
        let by_verdict = ruling(&a.reasons).rank().cmp(&ruling(&b.reasons).rank());
        by_verdict.then(b.drift_clear.cmp(&a.drift_clear)).then(spare(b).total_cmp(&spare(a)))
    })
}

/// One line, and what was asked of it so far: in each wind of the stretch that is best in it, as an assessment would find
/// it, since what has room for a calm alone has none for any wind.
struct Asked<'b, 'a> {
    bench: &'b mut Bench<'a>,
    base: &'b Base<'a>,
    line: Centreline,
    calm: LaneThen,
    standing: Standing,
    /// Head winds, and what they allow.
    known: Vec<(f64, Verdict)>,
}

impl<'b, 'a> Asked<'b, 'a> {
    /// `None` where nothing on the line is clear.
    fn of(bench: &'b mut Bench<'a>, base: &'b Base<'a>, line: Centreline) -> Option<Self> {
        bench.situation = base.in_wind(line.heading, 0.0, 0.0);
        let calm = best_on(bench, line)?;
        let mut standing = Standing::default();
        // What makes it tight in a calm makes it tight; only what nobody knows is left out.
        let mut unknown = calm.clone();
        unknown.reasons.retain(|r| r.verdict == Some(Verdict::Unknown));
        standing.take(&Cell { lanes: vec![unknown], of_all: Vec::new() });
        Some(Self { bench, base, line, calm, standing, known: Vec::new() })
    }

    /// The verdict in a steady head wind, m/s; in a tail wind where it is negative.
    fn verdict(&mut self, head_mps: f64) -> Verdict {
        if let Some((_, known)) = self.known.iter().find(|(at, _)| (at - head_mps).abs() < f64::EPSILON) {
            return *known;
        }
        let heading = self.line.heading;
        let (from, strength) =
            if head_mps >= 0.0 { (heading, head_mps) } else { (heading.reversed(), -head_mps) };
        self.bench.situation = self.base.in_wind(from, strength, strength);
        let strong: Vec<Reason> = caveat::strong_wind(strength, self.bench.aircraft).into_iter().collect();
        let best = best_on(self.bench, self.line);
        let own = best.map_or(Verdict::Unknown, |lane| self.standing.own(&lane.reasons));
        let verdict = own.ruling(ruling(&strong));
        self.known.push((head_mps, verdict));
        verdict
    }

    fn along(
        &mut self,
        at_worst: Verdict,
        share: &dyn Fn(f64) -> std::ops::ControlFlow<()>,
    ) -> Result<Along, Cancelled> {
        let steps = (STRONGEST_ASKED / STEP) as u32;
        let holds = |me: &mut Self, wind: f64| {
            if share(wind.abs() / STRONGEST_ASKED).is_break() {
                return Err(Cancelled);
            }
            Ok(me.verdict(wind).rank() <= at_worst.rank())
        };
        let sign = if holds(self, 0.0)? { -1.0 } else { 1.0 };
        // From the calm on, step by step, until it turns from holding to not, or back.
        let turns = |held: bool| held == (sign > 0.0);
        let mut last = 0.0;
        let mut turned = None;
        for i in 1..=steps {
            let next = sign * STEP * f64::from(i);
            if turns(holds(self, next)?) {
                turned = Some(next);
                break;
            }
            last = next;
        }
        let Some(mut beyond) = turned else {
            return Ok(if sign < 0.0 {
                Along { greatest_tail_mps: Some(STRONGEST_ASKED), least_head_mps: Some(0.0) }
            } else {
                Along::default()
            });
        };
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(last, beyond);
            if turns(holds(self, middle)?) {
                beyond = middle;
            } else {
                last = middle;
            }
        }
        // Of the two ends the one that holds.
        Ok(if sign < 0.0 {
            Along { greatest_tail_mps: Some(last.abs()), least_head_mps: Some(0.0) }
        } else {
            Along { greatest_tail_mps: None, least_head_mps: Some(beyond) }
        })
    }
}
