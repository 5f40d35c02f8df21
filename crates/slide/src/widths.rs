//! How far to either side of the centre line the aircraft's middle may be, by chainage along a lane.
//!
//! Invariants: one width for each metre, never less than the one before; before the first the first holds, beyond
//! the last the last. Fewer steps are never narrower than many.
//!
//! Not here: where widths come from.

use measure::Metres;

/// Length for which one width holds.
pub(crate) const PITCH: f64 = 1.0;

/// Widths by chainage: a step function that only grows.
#[derive(Clone, PartialEq, Debug)]
pub struct Widths {
    from: Metres,
    widths: Vec<Metres>,
}

/// From a chainage on, a half-width.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WidthStep {
    /// Chainage at which it begins.
    pub from: Metres,
    /// Half-width until the next step begins.
    pub half_width: Metres,
}

impl Widths {
    /// From widths of each metre after `from`, made to grow; a width that is not a number counts as boundless.
    pub(crate) fn growing(from: Metres, widths: impl IntoIterator<Item = f64>) -> Self {
        let mut widest = 0.0_f64;
        let grown = widths.into_iter().map(|width| {
            widest = widest.max(if width.is_nan() { f64::INFINITY } else { width });
            Metres::m(widest)
        });
        Self { from, widths: grown.collect() }
    }

    /// Chainage at which the first width begins.
    pub fn from(&self) -> Metres {
        self.from
    }

    /// The half-width at a chainage.
    pub fn at(&self, chainage: Metres) -> Metres {
        let index = (chainage - self.from) / Metres::m(PITCH);
        let last = self.widths.len().saturating_sub(1);
        let index = if index > 0.0 { (index as usize).min(last) } else { 0 };
        self.widths.get(index).copied().unwrap_or(Metres::ZERO)
    }

    /// The half-width at the far end.
    pub fn widest(&self) -> Metres {
        self.widths.last().copied().unwrap_or(Metres::ZERO)
    }

    /// The wider of two everywhere.
    #[must_use]
    pub fn or_wider(&self, other: &Self) -> Self {
        let from = self.from.min(other.from);
        let end = |w: &Self| (w.from - from).to_m() + PITCH * w.widths.len() as f64;
        let count = end(self).max(end(other)).ceil() as usize;
        let wider = |i: usize| {
            // A metre here may lie over two of another's; the farther is the wider.
            let far = Metres::m((from.to_m() + PITCH * (i + 1) as f64).next_down());
            self.at(far).max(other.at(far)).to_m()
        };
        Self::growing(from, (0..count).map(wider))
    }

    /// The same, and as wide as at the far end from a chainage on.
    #[must_use]
    pub(crate) fn widest_from(&self, chainage: Metres) -> Self {
        let widest = self.widest().to_m();
        let end_of = |i: usize| self.from + Metres::m(PITCH * (i + 1) as f64);
        let kept = |(i, width): (usize, &Metres)| if end_of(i) > chainage { widest } else { width.to_m() };
        Self::growing(self.from, self.widths.iter().enumerate().map(kept))
    }

    /// At most `most` steps, at least one, as wide everywhere as the widths themselves or wider.
    pub fn steps(&self, most: usize) -> Vec<WidthStep> {
        let first = self.widths.first().copied().unwrap_or(Metres::ZERO);
        let rise = (self.widest() - first) / most.max(1) as f64;
        let mut steps: Vec<(usize, WidthStep)> = Vec::new();
        for (i, &half_width) in self.widths.iter().enumerate() {
            // A share that is not a number, as of boundless widths, belongs to the last level.
            let level = ((half_width - first) / rise).ceil();
            let level = if level >= 0.0 { (level as usize).clamp(1, most.max(1)) } else { most.max(1) };
            match steps.last_mut() {
                Some((held, step)) if *held == level => step.half_width = half_width,
                _ => {
                    let from = self.from + Metres::m(PITCH * i as f64);
                    steps.push((level, WidthStep { from, half_width }));
                }
            }
        }
        steps.into_iter().map(|(_, step)| step).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn widths(from: f64, each: &[f64]) -> Widths {
        Widths::growing(Metres::m(from), each.iter().copied())
    }

    #[test]
    fn a_width_holds_for_its_metre_the_first_before_and_the_last_beyond() {
        let w = widths(10.0, &[1.0, 3.0, 2.0, 4.0]);
        let found = [0.0, 10.9, 11.0, 12.5, 13.0, 99.0].map(|c| w.at(Metres::m(c)));
        assert_eq!(found, [1.0, 1.0, 3.0, 3.0, 4.0, 4.0].map(Metres::m));
    }

    #[test]
    fn a_width_that_is_no_number_is_boundless_from_there_on() {
        let w = widths(0.0, &[1.0, f64::NAN, 2.0]);
        assert_eq!(w.at(Metres::m(0.5)), Metres::m(1.0));
        assert_eq!(w.widest(), Metres::m(f64::INFINITY));
        assert_eq!(w.steps(4).last().map(|s| s.half_width.to_m()), Some(f64::INFINITY));
    }

    #[test]
    fn the_wider_of_two_that_begin_together_shifts_nothing() {
        let (a, b) = (widths(10.5, &[1.0, 2.0, 5.0]), widths(10.5, &[1.5, 3.0]));
        assert_eq!(a.or_wider(&b), widths(10.5, &[1.5, 3.0, 5.0]));
        assert_eq!(b.or_wider(&a), widths(10.5, &[1.5, 3.0, 5.0]));
    }

    #[test]
    fn even_growth_in_four_steps_is_a_quarter_each() {
        let each: Vec<f64> = (0..=8).map(f64::from).collect();
        let steps: Vec<(f64, f64)> =
            widths(0.0, &each).steps(4).iter().map(|s| (s.from.to_m(), s.half_width.to_m())).collect();
        assert_eq!(steps, [(0.0, 2.0), (3.0, 4.0), (5.0, 6.0), (7.0, 8.0)]);
    }

    proptest! {
        #[test]
        fn steps_and_the_wider_of_both_are_never_narrower(
            a in proptest::collection::vec(0.0..9.0_f64, 1..60), b in proptest::collection::vec(0.0..9.0_f64, 1..60),
            (from_a, from_b, at) in (-20.0..20.0_f64, -20.0..20.0_f64, -30.0..90.0_f64), most in 1..9_usize,
        ) {
            let (a, b, at) = (widths(from_a, &a), widths(from_b, &b), Metres::m(at));
            let wider = a.or_wider(&b);
            prop_assert!(wider.at(at) >= a.at(at) && wider.at(at) >= b.at(at));
            let steps = a.steps(most);
            prop_assert!(!steps.is_empty() && steps.len() <= most);
            prop_assert!(steps.windows(2).all(|p| p[0].from < p[1].from && p[0].half_width < p[1].half_width));
            let held = steps.iter().take_while(|s| s.from <= at).last().or(steps.first());
            prop_assert!(held.is_some_and(|s| s.half_width >= a.at(at)));
        }
    }
}
