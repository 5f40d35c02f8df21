//! How far to either side of the centre line the aircraft's middle may be, as it slides along.
//!
//! Invariants: a few steps, the first at the near end, each wider than the one before. A step holds
//! from its beginning to the next one's, and takes the width at its own far end, so that the steps lie
//! nowhere inside the growth that they stand for.

use measure::Metres;

/// Most steps: more would be finer than anything known of the drift.
pub const MOST_STEPS: usize = 8;

/// Half-width of the band in which the aircraft's middle may be, by distance from the near end.
#[derive(Clone, PartialEq, Debug)]
pub struct HalfWidth {
    steps: Vec<Step>,
}

/// From a distance on, a half-width.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Step {
    /// Distance from the near end at which it begins.
    pub from: Metres,
    /// Half-width until the next step begins.
    pub half_width: Metres,
}

impl HalfWidth {
    /// The same along the whole lane.
    pub fn constant(half_width: Metres) -> Self {
        Self { steps: vec![Step { from: Metres::ZERO, half_width }] }
    }

    /// The same, wider by as much everywhere.
    #[must_use]
    pub fn grown(&self, by: Metres) -> Self {
        let grown = |s: &Step| Step { half_width: s.half_width + by, ..*s };
        Self { steps: self.steps.iter().map(grown).collect() }
    }

    /// From steps that were worked out elsewhere: those out of order or beyond [`MOST_STEPS`] are taken
    /// into the one before, at the larger width.
    pub fn stepped(first: Metres, later: &[Step]) -> Self {
        let mut steps = vec![Step { from: Metres::ZERO, half_width: first }];
        for &step in later {
            let full = steps.len() == MOST_STEPS;
            if let Some(last) = steps.last_mut() {
                let half_width = step.half_width.max(last.half_width);
                if full || step.from <= last.from {
                    last.half_width = half_width;
                } else if step.half_width > last.half_width {
                    steps.push(step);
                }
            }
        }
        Self { steps }
    }

    /// The steps, from the near end on.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The half-width at a distance from the near end.
    pub fn at(&self, distance: Metres) -> Metres {
        let begun = self.steps.iter().take_while(|s| s.from <= distance);
        begun.last().or(self.steps.first()).map_or(Metres::ZERO, |s| s.half_width)
    }

    /// The half-width of the last step.
    pub fn widest(&self) -> Metres {
        self.steps.last().map_or(Metres::ZERO, |s| s.half_width)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_out_of_order_are_taken_into_the_one_before() {
        let step = |from: f64, half: f64| Step { from: Metres::m(from), half_width: Metres::m(half) };
        let half = HalfWidth::stepped(Metres::m(1.0), &[step(50.0, 3.0), step(40.0, 4.0), step(60.0, 2.0)]);
        assert_eq!(half.steps(), [step(0.0, 1.0), step(50.0, 4.0)]);
    }

    #[test]
    fn grown_it_is_wider_by_as_much_in_every_step() {
        let later = Step { from: Metres::m(50.0), half_width: Metres::m(3.0) };
        let half = HalfWidth::stepped(Metres::m(1.0), &[later]).grown(Metres::m(0.5));
        assert_eq!((half.at(Metres::m(49.0)), half.at(Metres::m(51.0))), (Metres::m(1.5), Metres::m(3.5)));
        assert_eq!(half.steps().len(), 2);
    }
}
