//! The widest gap between things that block a line.
//!
//! Each cut says of a lane from `near` to `far`: either it ends in time, `far <= max(low, near + from)`,
//! or it begins past it, `near >= high - from` (see `stretch`, where the same is said of one line). The
//! two ends of a cut may lie the wrong way round: a thing that every lane of a bundle meets, but not at
//! the same place, ends some of them at `low` at the latest and lets others begin at `high` at the
//! earliest, with `low` the greater.

use crate::extent::Span;

/// What one thing does to the lanes of a line, or of a bundle of lines.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Cut {
    /// Chainage at which a lane before it ends at the latest.
    pub(super) low: f64,
    /// Chainage at which a lane after it begins at the earliest.
    pub(super) high: f64,
    /// Distance behind the near end from which it blocks.
    pub(super) from: f64,
    /// Whether running into it does harm.
    pub(super) hard: bool,
}

impl Cut {
    /// What ends every lane.
    pub(super) fn ends(at: Span) -> [Self; 2] {
        let end = |low, high| Self { low, high, from: 0.0, hard: false };
        [end(f64::NEG_INFINITY, at.low), end(at.high, f64::INFINITY)]
    }

    /// The same seen by lanes that run the other way.
    pub(super) fn turned_back(self) -> Self {
        Self { low: -self.high, high: -self.low, ..self }
    }

    fn passed_from(&self) -> f64 {
        self.high - self.from
    }
}

/// A lane that satisfies all cuts, and what it is worth.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Gap {
    pub(super) worth: f64,
    near: f64,
    far: f64,
}

impl Gap {
    /// The same seen by lanes that run the other way.
    pub(super) fn turned_back(self) -> Self {
        Self { near: -self.far, far: -self.near, ..self }
    }

    /// Chainage of its middle along the line itself, for a lane that runs forward or back.
    pub(super) fn middle(self, back: bool) -> f64 {
        let middle = f64::midpoint(self.near, self.far);
        if back { -middle } else { middle }
    }
}

/// The lanes that satisfy all cuts.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Gaps {
    /// The one worth most.
    pub(super) best: Option<Gap>,
    /// What holds all that are worth more than was asked for, and every lane within any of them; `low` beyond `high` if there is none.
    pub(super) within: Span,
}

impl Gaps {
    pub(super) const NONE: Self = Self { best: None, within: Span::new(f64::INFINITY, f64::NEG_INFINITY) };

    /// Takes in a gap; lanes that begin in it, even later than at its near end, end by `end`.
    fn add(&mut self, gap: Gap, end: f64, above: f64) {
        if self.best.is_none_or(|b| b.worth < gap.worth) {
            self.best = Some(gap);
        }
        if gap.worth > above {
            self.within = self.within.with(Span::new(gap.near, end));
        }
    }

    /// Found on lines run the other way, told where along the line itself.
    pub(super) fn within_forward(self) -> Self {
        Self { within: Span::new(-self.within.high, -self.within.low), ..self }
    }
}

/// The lanes that satisfy all cuts; `worth` is told near end, far end and the first hard thing ahead, and
/// grows with the last two and falls with the first: so only near ends at which some cut is just passed
/// need be tried. Of those worth more than `above` it is told where they lie.
pub(super) fn gaps(
    cuts: &mut [Cut],
    steps: &[f64],
    above: f64,
    worth: impl Fn(f64, f64, f64) -> f64,
) -> Gaps {
    cuts.sort_unstable_by(|a, b| b.passed_from().total_cmp(&a.passed_from()));
    if let [_] = steps { constant_gaps(cuts, above, worth) } else { stepped_gaps(cuts, steps, above, worth) }
}

fn constant_gaps(cuts: &[Cut], above: f64, worth: impl Fn(f64, f64, f64) -> f64) -> Gaps {
    let (mut low, mut hard) = (f64::INFINITY, f64::INFINITY);
    let mut out = Gaps::NONE;
    for cut in cuts {
        let near = cut.high;
        if low < f64::INFINITY {
            let far = low.max(near);
            out.add(Gap { worth: worth(near, far, hard), near, far }, far, above);
        }
        low = low.min(cut.low);
        if cut.hard {
            hard = hard.min(cut.low);
        }
    }
    out
}

fn stepped_gaps(cuts: &[Cut], steps: &[f64], above: f64, worth: impl Fn(f64, f64, f64) -> f64) -> Gaps {
    let mut low = [f64::INFINITY; crate::MOST_STEPS];
    let mut hard = [f64::INFINITY; crate::MOST_STEPS];
    let mut out = Gaps::NONE;
    let first = |lows: &[f64], near: f64| {
        lows.iter().zip(steps).map(|(low, from)| low.max(near + from)).fold(f64::INFINITY, f64::min)
    };
    // Where a lane ends because it has grown too wide, it ends the later the later it begins, up to where
    // the next cut is passed and a gap of its own begins.
    let mut next = f64::INFINITY;
    for cut in cuts {
        let near = cut.passed_from();
        let far = first(&low, near);
        if far < f64::INFINITY {
            let end = low
                .iter()
                .zip(steps)
                .map(|(low, from)| if *from > 0.0 { low.max(next + from) } else { *low });
            let end = end.fold(f64::INFINITY, f64::min).max(far);
            out.add(Gap { worth: worth(near, far, first(&hard, near)), near, far }, end, above);
        }
        next = near;
        let step = steps.iter().rposition(|from| *from <= cut.from).unwrap_or(0);
        if let (Some(low), Some(hard)) = (low.get_mut(step), hard.get_mut(step)) {
            *low = low.min(cut.low);
            if cut.hard {
                *hard = hard.min(cut.low);
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn cut(low: f64, high: f64) -> Cut {
        Cut { low, high, from: 0.0, hard: false }
    }

    fn length(near: f64, far: f64, _: f64) -> f64 {
        far - near
    }

    #[track_caller]
    fn check(cuts: &[Cut], expected: f64) {
        let got = gaps(&mut cuts.to_vec(), &[0.0], 0.0, length).best.map_or(f64::NEG_INFINITY, |g| g.worth);
        assert!((got - expected).abs() < 1e-12 || (got.is_infinite() && expected.is_infinite()), "{got}");
    }

    #[test]
    fn the_widest_of_two_gaps_is_found_in_any_order() {
        check(&[cut(100.0, 101.0), cut(-1.0, 0.0), cut(300.0, 301.0)], 199.0);
    }

    #[test]
    fn what_lies_outside_all_cuts_is_no_gap() {
        check(&[cut(0.0, 1.0)], f64::NEG_INFINITY);
        check(&[], f64::NEG_INFINITY);
    }

    #[test]
    fn a_cut_met_at_different_places_lets_lanes_overlap_it_from_both_sides() {
        check(&[cut(-1.0, 0.0), cut(60.0, 40.0), cut(100.0, 101.0)], 60.0);
    }

    #[test]
    fn what_is_worth_more_than_asked_for_lies_within_the_span_told() {
        let cuts = [cut(-1.0, 0.0), cut(50.0, 51.0), cut(60.0, 61.0), cut(100.0, 101.0)];
        assert_eq!(gaps(&mut cuts.to_vec(), &[0.0], 30.0, length).within, Span::new(0.0, 100.0));
        assert_eq!(gaps(&mut cuts.to_vec(), &[0.0], 40.0, length).within, Span::new(0.0, 50.0));
        let none = gaps(&mut cuts.to_vec(), &[0.0], 50.0, length).within;
        assert!(none.low > none.high);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 4000, ..ProptestConfig::default() })]
        // Tried against every near end on a fine grid.
        #[test]
        fn no_lane_on_a_grid_is_wider(
            raw in prop::collection::vec((0..100_u8, 0..8_u8, prop::bool::ANY), 0..12), d in 1..30_u8,
        ) {
            let steps = [0.0, f64::from(d)];
            let things = raw.iter().map(|&(low, length, late)| {
                let low = f64::from(low);
                let from = if late { f64::from(d) } else { 0.0 };
                Cut { low, high: low + f64::from(length), from, hard: false }
            });
            let cuts: Vec<Cut> = things.chain(Cut::ends(Span::new(0.0, 105.0))).collect();
            let far_of = |near: f64| {
                let stops = cuts.iter().filter(|c| near < c.high - c.from).map(|c| c.low.max(near + c.from));
                stops.fold(f64::INFINITY, f64::min)
            };
            let brute =
                (0..=105).map(f64::from).map(|near| far_of(near) - near).fold(f64::NEG_INFINITY, f64::max);
            let got = gaps(&mut cuts.clone(), &steps, 0.0, length).best.map_or(f64::NEG_INFINITY, |g| g.worth);
            prop_assert!((got - brute).abs() < 1e-9, "{got} {brute}");
        }

        // Cuts of a box open wider than those of its lines; what is worth more than was asked for on a line
        // lies within what was told of the box.
        #[test]
        fn the_best_lane_of_a_line_lies_within_what_is_told_of_its_box(
            raw in prop::collection::vec((0..100_u8, 0..60_u8, prop::bool::ANY, 0..6_u8, 0..6_u8), 0..6),
            d in 1..60_u8, above in 0..40_u8,
        ) {
            let (steps, above) = ([0.0, f64::from(d)], f64::from(above));
            let line = |&(low, length, late, ..): &(u8, u8, bool, u8, u8)| Cut {
                low: f64::from(low),
                high: f64::from(low) + f64::from(length),
                from: if late { f64::from(d) } else { 0.0 },
                hard: false,
            };
            let looser = |r: &(u8, u8, bool, u8, u8)| {
                let cut = line(r);
                Cut { low: cut.low + f64::from(r.3), high: cut.high - f64::from(r.4), ..cut }
            };
            let ends = || Cut::ends(Span::new(0.0, 105.0));
            let mut own: Vec<Cut> = raw.iter().map(line).chain(ends()).collect();
            let mut of_box: Vec<Cut> = raw.iter().map(looser).chain(ends()).collect();
            let within = gaps(&mut of_box, &steps, above, length).within;
            if let Some(best) = gaps(&mut own, &steps, above, length).best.filter(|b| b.worth > above) {
                prop_assert!(within.low <= best.near && best.far <= within.high, "{best:?} {within:?}");
            }
        }
    }
}
