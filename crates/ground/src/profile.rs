//! The aircraft from ahead: height of its lowest part above the keel line, by lateral offset.
//!
//! Built from straight parts (float bottoms, spreader bars, propeller, struts, wing) given once and
//! mirrored. A bank allowance adds the same parts turned about the outer edge of the low keel shoe.
//!
//! Why level and full bank are enough: a straight part that turns sweeps no more than the hull of where
//! its two ends begin and end, but for the small rise of the arcs, which is taken off. That covers what
//! lies outboard of the low keel; everything inboard rises, and moves sideways by its height times the
//! sine of the bank, so every part is taken as that much wider at its level height.

use crate::extent::{Span, joined};
use measure::{Height, Metres};
use thiserror::Error;

/// One straight part of the aircraft seen from ahead, on one side of its centre line.
#[derive(Clone, PartialEq, Debug)]
pub struct Part {
    /// What it is, as said to a person.
    pub name: String,
    /// Offsets of its ends from the centre line, inner first, not negative.
    pub offsets: (Metres, Metres),
    /// Heights of its underside above the keel line at these ends.
    pub heights: (Height, Height),
}

/// The clearance profile cannot be built.
#[derive(Clone, PartialEq, Debug, Error)]
pub enum BadProfile {
    /// The shoes overlap, or lie outside the wing.
    #[error(
        "found keel spacing {spacing:?} with shoes {shoe:?} wide, expected shoes apart and within the span"
    )]
    Keels {
        /// Distance between the keel lines.
        spacing: Metres,
        /// Width of one shoe.
        shoe: Metres,
    },
    /// A part's ends are in the wrong order, negative or not numbers.
    #[error(
        "part \"{name}\": found ends {from:?} and {to:?}, expected the inner end first and none negative"
    )]
    Part {
        /// Name of the part.
        name: String,
        /// Its inner end.
        from: Metres,
        /// Its outer end.
        to: Metres,
    },
    /// No part reaches the wing tip, so something wide would be forgotten.
    #[error(
        "found parts that reach {reach:?} from the centre line, expected them to reach the wing tip at {tip:?}"
    )]
    StopsShort {
        /// Farthest end of any part.
        reach: Metres,
        /// Half the span.
        tip: Metres,
    },
}

/// Underside of one part in one position: heights change evenly between the ends.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Underside {
    from: (f64, f64),
    to: (f64, f64),
}

/// Height of the aircraft's lowest part by lateral offset, bank included.
#[derive(Clone, PartialEq, Debug)]
pub struct ClearanceProfile {
    undersides: Vec<Underside>,
    keel_tracks: Vec<Span>,
    half_span: Metres,
}

impl ClearanceProfile {
    /// From the keel shoes, the parts, the span and the bank allowance.
    ///
    /// # Units
    /// - `bank_rad`: radians, 0 to 0.5
    ///
    /// # Errors
    /// [`BadProfile`] when the shoes overlap, a part is turned round, or no part reaches the tip.
    pub fn new(
        keel_spacing: Metres,
        shoe_width: Metres,
        parts: &[Part],
        half_span: Metres,
        bank_rad: f64,
    ) -> Result<Self, BadProfile> {
        let (keel, shoe) = (keel_spacing.to_m() / 2.0, shoe_width.to_m() / 2.0);
        let fits = shoe > 0.0 && keel > shoe && keel + shoe <= half_span.to_m();
        if !fits {
            return Err(BadProfile::Keels { spacing: keel_spacing, shoe: shoe_width });
        }
        let mut level = vec![Underside { from: (keel - shoe, 0.0), to: (keel + shoe, 0.0) }];
        let mut reach = 0.0_f64;
        for part in parts {
            let (from, to) = (part.offsets.0.to_m(), part.offsets.1.to_m());
            let (low, high) = (part.heights.0.to_m(), part.heights.1.to_m());
            let ordered = 0.0 <= from && from <= to && low >= 0.0 && high >= 0.0;
            if !ordered {
                return Err(BadProfile::Part {
                    name: part.name.clone(),
                    from: part.offsets.0,
                    to: part.offsets.1,
                });
            }
            reach = reach.max(to);
            level.push(Underside { from: (from, low), to: (to, high) });
        }
        // One millimetre: widths are measured with a tape.
        if reach + 1e-3 < half_span.to_m() {
            return Err(BadProfile::StopsShort { reach: Metres::m(reach), tip: half_span });
        }
        let pivot = keel + shoe;
        let banked: Vec<_> = level.iter().flat_map(|u| u.banked(pivot, bank_rad)).collect();
        let swayed: Vec<_> = level.iter().flat_map(|u| u.swayed(pivot, bank_rad)).collect();
        level.extend(banked);
        level.extend(swayed);
        let keel_tracks = vec![Span::new(-keel - shoe, -keel + shoe), Span::new(keel - shoe, keel + shoe)];
        Ok(Self { undersides: level, keel_tracks, half_span })
    }

    /// Height of the lowest part at a signed offset; `None` beyond the wing tips.
    pub fn height_at(&self, offset: Metres) -> Option<Height> {
        self.lowest_over(Span::new(offset.to_m(), offset.to_m())).map(Height::m)
    }

    /// Farthest offset of any part, bank included.
    pub fn farthest(&self) -> Metres {
        Metres::m(self.undersides.iter().map(|u| u.to.0).fold(0.0, f64::max))
    }

    /// Half the wing span.
    pub fn half_span(&self) -> Metres {
        self.half_span
    }

    /// Lowest height anywhere over a span of signed offsets.
    pub(crate) fn lowest_over(&self, span: Span) -> Option<f64> {
        let near =
            if span.low <= 0.0 && span.high >= 0.0 { 0.0 } else { span.low.abs().min(span.high.abs()) };
        let far = span.low.abs().max(span.high.abs());
        self.undersides.iter().filter_map(|u| u.lowest_over(near, far)).reduce(f64::min)
    }

    /// Signed offsets at which something as high as `top` meets the aircraft.
    pub(crate) fn bands_below(&self, top: f64) -> Vec<Span> {
        let right = self.undersides.iter().filter_map(|u| u.below(top));
        joined(right.flat_map(|s| [s, Span::new(-s.high, -s.low)]).collect())
    }

    /// Farthest offset, to either side, of a part that is not higher than `top` above the keel line: what stands so
    /// high has to lie farther out. Nothing where no part is as low.
    pub fn widest_below(&self, top: Metres) -> Option<Metres> {
        self.undersides
            .iter()
            .filter_map(|u| u.below(top.to_m()))
            .map(|s| Metres::m(s.high))
            .reduce(Metres::max)
    }

    /// The two bands that the keel shoes pass over.
    pub(crate) fn keel_tracks(&self) -> &[Span] {
        &self.keel_tracks
    }

    /// From the outer edge of one shoe to that of the other.
    pub(crate) fn keel_width(&self) -> Span {
        let outer = self.keel_tracks.iter().map(|s| s.high).fold(0.0, f64::max);
        Span::new(-outer, outer)
    }
}

impl Underside {
    /// Height at an offset; what would sink into the ground lies on it.
    fn height(&self, offset: f64) -> f64 {
        let run = self.to.0 - self.from.0;
        let height = if run <= 0.0 {
            self.from.1.min(self.to.1)
        } else {
            self.from.1 + (self.to.1 - self.from.1) * ((offset - self.from.0) / run).clamp(0.0, 1.0)
        };
        height.max(0.0)
    }

    fn lowest_over(&self, near: f64, far: f64) -> Option<f64> {
        let (a, b) = (near.max(self.from.0), far.min(self.to.0));
        (a <= b).then(|| self.height(a).min(self.height(b)))
    }

    /// Offsets at which the underside is not higher than `top`.
    fn below(&self, top: f64) -> Option<Span> {
        let (from_low, to_low) = (self.from.1 <= top, self.to.1 <= top);
        let crossing = || {
            let t = (top - self.from.1) / (self.to.1 - self.from.1);
            self.from.0 + t.clamp(0.0, 1.0) * (self.to.0 - self.from.0)
        };
        match (from_low, to_low) {
            (true, true) => Some(Span::new(self.from.0, self.to.0)),
            (true, false) => Some(Span::new(self.from.0, crossing())),
            (false, true) => Some(Span::new(crossing(), self.to.0)),
            (false, false) => None,
        }
    }

    /// What the part may cover beyond its two ends by moving sideways in a bank, at its level height.
    fn swayed(&self, pivot: f64, bank: f64) -> [Self; 2] {
        let (sin, cos) = (libm::sin(bank), libm::cos(bank));
        let by = |(y, h): (f64, f64)| h * sin + (pivot + y) * (1.0 - cos);
        let (inner, outer) = (self.from, self.to);
        [
            Self { from: ((inner.0 - by(inner)).max(0.0), inner.1), to: inner },
            Self { from: outer, to: (outer.0 + by(outer), outer.1) },
        ]
    }

    /// Undersides of what the part outboard of the low keel sweeps while it turns down about it; what
    /// would sink into the ground lies on it.
    fn banked(&self, pivot: f64, bank: f64) -> Vec<Self> {
        if self.to.0 <= pivot {
            return Vec::new();
        }
        let from = if self.from.0 < pivot { (pivot, self.height(pivot)) } else { self.from };
        let (sin, cos) = (libm::sin(bank), libm::cos(bank));
        let turn = |(y, h): (f64, f64)| {
            let out = y - pivot;
            (pivot + out * cos + h * sin, h * cos - out * sin)
        };
        // Each end runs along an arc, which leaves its chord by no more than the rise of the whole arc.
        let rise = |(y, h): (f64, f64)| libm::hypot(y - pivot, h) * (1.0 - libm::cos(bank / 2.0));
        let lowered = |(y, h): (f64, f64), by: f64| (y, h - by);
        let before = [lowered(from, rise(from)), lowered(self.to, rise(self.to))];
        let after = [lowered(turn(from), rise(from)), lowered(turn(self.to), rise(self.to))];
        let side = |a: (f64, f64), b: (f64, f64)| {
            if a.0 <= b.0 { Self { from: a, to: b } } else { Self { from: b, to: a } }
        };
        // Whatever it sweeps lies within the hull of where its ends begin and end.
        let sweeps = before.into_iter().flat_map(|a| after.into_iter().map(move |b| side(a, b)));
        sweeps.chain([side(after[0], after[1])]).collect()
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use proptest::prelude::*;

    fn part(name: &str, from: f64, to: f64, low: f64, high: f64) -> Part {
        Part {
            name: name.to_owned(),
            offsets: (Metres::m(from), Metres::m(to)),
            heights: (Height::m(low), Height::m(high)),
        }
    }

    /// A small floatplane: keels 2.2 m apart, spreader bar 0.5 m up, wing 2 m up to 5 m out.
    pub(crate) fn small(bank_deg: f64) -> ClearanceProfile {
        with_longer_wing(0.0, bank_deg)
    }

    /// The same, its wing longer, at 3 degrees of bank.
    pub(crate) fn wider(by: f64) -> ClearanceProfile {
        with_longer_wing(by, 3.0)
    }

    fn with_longer_wing(by: f64, bank_deg: f64) -> ClearanceProfile {
        let parts = [
            part("inner bottom", 0.8, 1.075, 0.12, 0.0),
            part("outer bottom", 1.125, 1.4, 0.0, 0.12),
            part("spreader bar", 0.0, 0.8, 0.5, 0.5),
            part("wing", 0.6, 5.0, 2.0, 2.2),
            part("longer wing", 5.0, 5.0 + by, 2.2, 2.2),
        ];
        let tip = Metres::m(5.0 + by);
        ClearanceProfile::new(Metres::m(2.2), Metres::m(0.05), &parts, tip, bank_deg.to_radians())
            .expect("a valid profile")
    }

    #[test]
    fn the_keels_are_at_zero_and_the_spreader_bar_spans_between_them() {
        let p = small(0.0);
        assert_eq!(p.height_at(Metres::m(-1.1)), Some(Height::ZERO));
        assert_eq!(p.height_at(Metres::m(0.0)), Some(Height::m(0.5)));
        assert_eq!(p.height_at(Metres::m(5.1)), None);
    }

    #[test]
    fn the_bottom_rises_by_the_deadrise_to_the_chine() {
        let middle = small(0.0).height_at(Metres::m(1.2625)).expect("under the float");
        assert!((middle.to_m() - 0.06).abs() < 1e-12);
    }

    #[test]
    fn three_degrees_of_bank_bring_the_wing_tip_down_by_a_fifth_of_a_metre() {
        // Tip 3.875 m outboard of the pivot: 2.2 cos 3 - 3.875 sin 3 = 1.9942 m.
        let tip = small(3.0).height_at(Metres::m(4.98)).expect("under the wing");
        assert!((tip.to_m() - 1.9942).abs() < 0.01, "{tip:?}");
        assert!(small(3.0).height_at(Metres::m(5.05)).is_some(), "the tip also moves outward");
    }

    #[test]
    fn a_rock_between_the_floats_below_the_spreader_meets_nothing() {
        let bands = small(0.0).bands_below(0.3);
        assert!(!bands.iter().any(|b| b.meets(Span::new(-0.5, 0.5))));
        assert!(small(0.0).bands_below(0.5).iter().any(|b| b.meets(Span::new(-0.5, 0.5))));
    }

    #[test]
    fn a_bank_moves_the_high_float_toward_the_middle() {
        // Its inner chine, 0.8 m out and 0.12 m up, moves 6 mm; the spreader alone is at 0.5 m there.
        let beside = small(3.0).height_at(Metres::m(0.796)).expect("under it");
        assert!((beside.to_m() - 0.12).abs() < 1e-9, "{beside:?}");
    }

    #[test]
    fn a_profile_that_forgets_the_wing_is_refused() {
        let err =
            ClearanceProfile::new(Metres::m(2.2), Metres::m(0.05), &[], Metres::m(5.0), 0.0).unwrap_err();
        assert_eq!(
            err.to_string(),
            "found parts that reach 0.0 m from the centre line, expected them to reach the wing tip at 5.0 m"
        );
    }

    proptest! {
        // Every bank on the way, worked out point by point.
        #[test]
        fn no_bank_on_the_way_hangs_lower(
            from in 1.2..4.0_f64, wide in 0.1..2.0_f64, low in 0.1..2.0_f64, high in 0.1..2.0_f64,
            share in 0.0..1.0_f64, along in 0.0..1.0_f64,
        ) {
            let parts = [part("pod", from, from + wide, low, high), part("wing", 0.6, 6.0, 2.5, 2.5)];
            let full = 3_f64.to_radians();
            let profile = ClearanceProfile::new(Metres::m(2.2), Metres::m(0.05), &parts, Metres::m(6.0), full)
                .expect("a valid profile");
            let (y, h, pivot, bank) = (from + along * wide, low + along * (high - low), 1.125, share * full);
            let at = pivot + (y - pivot) * bank.cos() + h * bank.sin();
            let up = (h * bank.cos() - (y - pivot) * bank.sin()).max(0.0);
            let model = profile.height_at(Metres::m(at)).expect("under the part").to_m();
            prop_assert!(model <= up + 1e-3, "{model} over {up} at {at}");
        }

        #[test]
        fn more_bank_never_raises_what_is_outboard(y in 1.2..5.0_f64, a in 0.0..5.0_f64, b in 0.0..5.0_f64) {
            let (less, more) = (a.min(b), a.max(b));
            let h = |bank| small(bank).height_at(Metres::m(y)).map(Height::to_m);
            if let (Some(low), Some(high)) = (h(more), h(less)) {
                prop_assert!(low <= high + 1e-9);
            }
        }

        #[test]
        fn the_bands_are_where_the_height_is_not_above(top in 0.0..3.0_f64, y in -6.0..6.0_f64) {
            let p = small(3.0);
            let inside = p.bands_below(top).iter().any(|b| b.meets(Span::new(y, y)));
            match p.height_at(Metres::m(y)) {
                Some(h) if (h.to_m() - top).abs() > 1e-9 => prop_assert_eq!(inside, h.to_m() <= top),
                Some(_) => {}
                None => prop_assert!(!inside),
            }
        }
    }
}
