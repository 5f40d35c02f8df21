//! Touchdowns of a lane that the way in leaves open, and the stretch of them that serves best.
//!
//! Invariant: touchdowns of one approach all lie in one stretch; a stretch that is cut short, or one more that is
//! closed, never leaves more to spare.
//!
//! Not here: what closes them ([`crate::approach`]), how long the slides are ([`crate::demand`]).

use measure::{Interval, Metres};

/// Stretches of touchdowns between the near margin and the end margin, in order.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Touchdowns {
    open: Vec<Interval<Metres>>,
    /// End margin.
    end: Metres,
}

/// One stretch, as far as slides from it end in time.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Stretch {
    pub(crate) earliest: Metres,
    /// Where something closes those beyond; the end margin where nothing does.
    pub(crate) until: Metres,
}

impl Stretch {
    /// The last touchdown from which a slide so long ends before a chainage.
    pub(crate) fn latest(&self, end: Metres, needed: Metres) -> Metres {
        self.until.min(end - needed)
    }

    /// What is left to spare.
    pub(crate) fn spare(&self, end: Metres, needed: Metres, scatter: Metres) -> Metres {
        self.latest(end, needed) - self.earliest - scatter
    }
}

impl Touchdowns {
    pub(crate) fn new(open: Vec<Interval<Metres>>, end: Metres) -> Self {
        Self { open, end }
    }

    /// Whether any can be reached.
    pub(crate) fn any(&self) -> bool {
        !self.open.is_empty()
    }

    /// The most that any stretch leaves to spare.
    pub(crate) fn most_spare(&self, end: Metres, needed: Metres, scatter: Metres) -> Metres {
        let each = self.stretches().into_iter().map(|open| open.spare(end, needed, scatter));
        each.fold(Metres::m(f64::NEG_INFINITY), Metres::max)
    }

    /// Stretches to choose from, the longest first. Where none is open, one of no length at the end margin.
    pub(crate) fn stretches(&self) -> Vec<Stretch> {
        let mut each: Vec<Stretch> =
            self.open.iter().map(|o| Stretch { earliest: o.low(), until: o.high() }).collect();
        each.sort_by(|a, b| (b.until - b.earliest).to_m().total_cmp(&(a.until - a.earliest).to_m()));
        if each.is_empty() {
            each.push(Stretch { earliest: self.end, until: self.end });
        }
        each
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretch() -> Stretch {
        Stretch { earliest: Metres::m(10.0), until: Metres::m(60.0) }
    }

    #[test]
    fn the_longest_stretch_comes_first() {
        let span = |from, to| Interval::spanning(Metres::m(from), Metres::m(to));
        let touchdowns = Touchdowns::new(vec![span(10.0, 60.0), span(120.0, 400.0)], Metres::m(400.0));
        let ends: Vec<f64> = touchdowns.stretches().iter().map(|s| s.earliest.to_m()).collect();
        assert_eq!(ends, [120.0, 10.0]);
    }

    #[test]
    fn a_stretch_that_is_cut_short_ends_there_however_short_the_slide() {
        let (end, scatter) = (Metres::m(400.0), Metres::m(40.0));
        assert_eq!(stretch().latest(end, Metres::m(100.0)), Metres::m(60.0));
        assert_eq!(stretch().spare(end, Metres::m(100.0), scatter), Metres::m(10.0));
        assert_eq!(stretch().spare(end, Metres::m(345.0), scatter), Metres::m(5.0));
    }

    #[test]
    fn with_nothing_open_no_length_is_left() {
        let none = Touchdowns::new(Vec::new(), Metres::m(400.0));
        let spare = none.stretches()[0].spare(Metres::m(400.0), Metres::m(100.0), Metres::m(40.0));
        assert!(!none.any() && spare == Metres::m(-140.0));
    }
}
