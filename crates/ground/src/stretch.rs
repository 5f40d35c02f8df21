//! Clear stretches of one centre line: an exact answer, by cutting every obstruction with the bands in
//! which it meets the aircraft.
//!
//! What blocks a span of chainage from some distance `d` behind the near end on (0 for what blocks the
//! narrowest band) leaves a lane two ways to be clear of it: to end before the span, or before it has
//! grown as wide as that, `far <= max(low, near + d)`; or to be past the span by the time it has,
//! `near >= high - d`. So a lane cannot begin earlier than at some `high - d` without meeting something
//! new, and these are the only near ends worth trying.
//!
//! A lane that begins later and ends at the same place lies within the earlier one. It is kept all the same
//! where the first hard thing ahead of it is farther off: having grown less, it may run past one beside the
//! line that the earlier lane, going on beyond its far end, would run into.

use crate::extent::{Grown, Span, joined};
use crate::lane::Frame;
use crate::obstruction::HAIR;
use crate::{Centreline, Lane, Obstruction, Obstructions, Thing};
use measure::Metres;

/// A stretch of a centre line that meets nothing when slid over in its direction.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Stretch {
    /// The lane on it, in the line's own direction.
    pub lane: Lane,
    /// What keeps it from beginning earlier, or would then stand in the way ahead.
    pub near_thing: Thing,
    /// What stands at the far end.
    pub far_thing: Thing,
    /// From the far end on to the first hard thing at or beyond it; `None` if there is none.
    pub hard_beyond: Option<Metres>,
}

/// A blocked span of chainage, from which distance behind the near end on, and what blocks it.
#[derive(Clone, Copy, Debug)]
struct Blocked {
    span: Span,
    from: f64,
    thing: Thing,
    hard: bool,
}

impl Blocked {
    /// The earliest near end that is past it.
    fn passed_from(&self) -> f64 {
        self.span.high - self.from
    }
}

/// All clear stretches of a centre line in its direction, in order of chainage; none lies within
/// another unless the first hard thing ahead of it is farther off.
pub fn clear_stretches(obstructions: &Obstructions, line: Centreline) -> Vec<Stretch> {
    let (steps, frame) = (obstructions.steps(), line.frame());
    let near = obstructions.list().iter().filter(|o| o.may_meet(&frame));
    let blocked = near.flat_map(|o| blocked_by(o, &steps, &frame)).collect();
    let mut out = clear_of(blocked, &steps, line);
    out.retain(|stretch| {
        let middle = stretch.lane.point_at(stretch.lane.length * 0.5, Metres::ZERO);
        obstructions.outline().holds(middle)
    });
    out
}

fn blocked_by(o: &Obstruction, steps: &[f64], frame: &Frame) -> Vec<Blocked> {
    let pieces: Vec<Grown> = o.turned_with_hair(|p| frame.line_from_field(p)).collect();
    let mut out = Vec::new();
    for (bands, &from) in o.bands().iter().zip(steps) {
        let met = pieces.iter().flat_map(|piece| bands.iter().filter_map(|band| piece.within(*band)));
        let spans = match o.bridged() {
            None => met.collect(),
            Some(opening) => {
                joined(met.collect()).into_iter().filter(|s| s.high - s.low > opening).collect::<Vec<_>>()
            }
        };
        out.extend(spans.into_iter().map(|span| Blocked { span, from, thing: o.thing, hard: o.hard }));
    }
    out
}

/// First low ends, in each step, among what a lane is not past.
struct Ahead<'a> {
    steps: &'a [f64],
    first: Vec<Option<(f64, Thing)>>,
    first_hard: Vec<Option<f64>>,
}

impl<'a> Ahead<'a> {
    fn new(steps: &'a [f64]) -> Self {
        Self { steps, first: vec![None; steps.len()], first_hard: vec![None; steps.len()] }
    }

    fn add(&mut self, b: &Blocked) {
        let Some(step) = self.steps.iter().position(|from| from.total_cmp(&b.from).is_eq()) else { return };
        let new = (b.span.low, b.thing);
        self.first[step] = Some(self.first[step].map_or(new, |old| if new < old { new } else { old }));
        if b.hard {
            self.first_hard[step] = Some(self.first_hard[step].map_or(b.span.low, |old| old.min(b.span.low)));
        }
    }

    /// Where a lane from a near end has to end, and at what.
    fn far_end(&self, near: f64) -> Option<(f64, Thing)> {
        let ends = self.first.iter().zip(self.steps);
        ends.filter_map(|(first, from)| first.map(|(low, thing)| (low.max(near + from), thing)))
            .reduce(|a, b| if b < a { b } else { a })
    }

    fn hard_end(&self, near: f64) -> Option<f64> {
        let ends = self.first_hard.iter().zip(self.steps);
        ends.filter_map(|(first, from)| first.map(|low| low.max(near + from))).reduce(f64::min)
    }
}

/// Chainages that a lane comes to: its far end, and the first hard thing at or beyond it, infinite where
/// there is none.
#[derive(Clone, Copy, Debug)]
struct Reached {
    far: f64,
    hard: f64,
}

impl Reached {
    /// Whether either lies farther on, by more than a hair.
    fn is_beyond(self, other: Self) -> bool {
        self.far > other.far + HAIR || self.hard > other.hard + HAIR
    }
}

fn clear_of(mut blocked: Vec<Blocked>, steps: &[f64], line: Centreline) -> Vec<Stretch> {
    blocked.sort_by(|a, b| {
        let passed = a.passed_from().total_cmp(&b.passed_from());
        passed.then(a.thing.cmp(&b.thing)).then(a.span.low.total_cmp(&b.span.low))
    });
    let mut ahead = Ahead::new(steps);
    let mut found = Vec::new();
    for same in blocked.chunk_by(|a, b| a.passed_from().total_cmp(&b.passed_from()).is_eq()).rev() {
        let Some(last) = same.first() else { continue };
        let near = last.passed_from();
        if let Some((far, far_thing)) = ahead.far_end(near)
            && far > near
        {
            let lane = Lane {
                near: line.field_from_line((near, 0.0)),
                heading: line.heading,
                length: Metres::m(far - near),
            };
            let hard = ahead.hard_end(near);
            let hard_beyond = hard.map(|hard| Metres::m(hard - far));
            let reached = Reached { far, hard: hard.unwrap_or(f64::INFINITY) };
            found.push((reached, Stretch { lane, near_thing: last.thing, far_thing, hard_beyond }));
        }
        for b in same {
            ahead.add(b);
        }
    }
    // From the earliest near end on: the later a lane begins, the farther (or as far) are its far end and
    // what it would run into, so that comparing it with the last one kept is enough.
    let mut out: Vec<Stretch> = Vec::with_capacity(found.len());
    let mut reached = Reached { far: f64::NEG_INFINITY, hard: f64::NEG_INFINITY };
    for (ends, stretch) in found.into_iter().rev() {
        if ends.is_beyond(reached) {
            reached = ends;
            out.push(stretch);
        }
    }
    out
}

#[cfg(test)]
mod tests;
