//! How a wire hangs between two supports: catenary and parabola, sag, lowest point, height along the span.
//!
//! ```text
//! catenary   y = a (cosh((x - x0)/a) - 1)       a = H/w      H horizontal tension, w weight per length
//! parabola   y = (x - x0)^2 / (2 a)                          the same for a weight spread evenly over the span
//! length     sqrt(S^2 - rise^2) = 2 a sinh(L/2a)             S along the wire, L span
//! ```
//!
//! **Shown, never credited.** A wire is held to hang at its higher support, all the way, unless the wire itself was
//! surveyed: nobody knows its tension on the day, cold draws it tight, and a stretch of it may have been replaced. Expected
//! is worked out here only tells a person where to look.
//!
//! Invariants: a curve goes through both supports; nothing between them lies above the line from one to the other.
//!
//! Not here: temperature, ice, wind on the wire, a wire that gives; what a wire demands of an approach.
//!
//! Source: textbook statics of a hanging chain; worked rows against outside sources in `tests/outside_approach.rs`.

use measure::{Metres, root};
use std::fmt;
use thiserror::Error;

/// Largest half span over a: a wire some 10^7 times as long as its span.
const SLACKEST: f64 = 20.0;

/// Smallest half span over a: a sag of a millionth of a millionth of the span.
const TAUTEST: f64 = 4e-12;

/// Below this z the series of sinh z/z and its like are exact to the last digits, and their differences from 1 are not.
const SMALL: f64 = 0.02;

/// Between two supports.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Span {
    /// Horizontal distance between them, positive.
    pub length: Metres,
    /// Height of the second above the first; negative is lower.
    pub rise: Metres,
}

/// The form that is taken for the wire.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Form {
    /// Of a chain, its weight spread along itself.
    Catenary,
    /// Of a weight spread evenly over the span: near a catenary where the sag is small.
    Parabola,
}

/// A wire that hangs.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Hanging {
    span: Span,
    form: Form,
    /// Horizontal tension over weight per length, m.
    a: f64,
    /// Where the curve is level, from the first support, m; it may lie outside the span.
    level_at: f64,
}

/// Why nothing hangs like that.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Expected {
    /// The span is not a positive length, or its rise not a number.
    Span,
    /// Tension over weight is not a positive length, or gives a sag beyond all measure.
    Tension,
    /// The wire is not longer than the straight line, or too long.
    Length,
    /// The sag is not positive, or too large.
    Sag,
}

impl fmt::Display for Expected {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Span => "a span above 0 m between two supports, and the height of one above the other",
            Self::Tension => "tension over weight per metre above 0 m, at least a fortieth of the span",
            Self::Length => {
                "a wire longer than the straight line between its supports, within a million times the span"
            }
            Self::Sag => "a sag above 0 m, within a million times the span",
        })
    }
}

/// A wire that cannot be.
#[derive(Clone, Copy, PartialEq, Debug, Error)]
#[error("found {found} m, expected {expected}")]
pub struct BadWire {
    /// What was found, m.
    pub found: f64,
    /// What was expected.
    pub expected: Expected,
}

/// A place on the wire.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct OnWire {
    /// Horizontally from the first support.
    pub at: Metres,
    /// Below the first support; negative is above.
    pub drop: Metres,
}

impl Hanging {
    /// From its tension over its weight per length: 2,000 N over 4.9 N/m are 408 m.
    ///
    /// # Errors
    /// [`BadWire`] for a span or a tension that cannot be.
    ///
    /// # Example: 60 m of line
    /// ```
    /// use ground::sag::{Form, Hanging, Span};
    /// use measure::Metres;
    /// let span = Span { length: Metres::m(60.0), rise: Metres::ZERO };
    /// let line = Hanging::of_tension(Form::Catenary, span, Metres::m(2000.0 / 4.903_325))?;
    /// assert!((line.sag().to_m() - 1.103_746).abs() < 1e-6);
    /// # Ok::<(), ground::sag::BadWire>(())
    /// ```
    pub fn of_tension(form: Form, span: Span, over_weight: Metres) -> Result<Self, BadWire> {
        span.checked()?;
        let (a, length, rise) = (over_weight.to_m(), span.length.to_m(), span.rise.to_m());
        let slack = 0.5 * length / a;
        if !(a > 0.0 && a.is_finite() && slack <= SLACKEST) {
            return Err(BadWire { found: a, expected: Expected::Tension });
        }
        let aside = match form {
            Form::Catenary => a * libm::asinh(rise / (2.0 * a * libm::sinh(slack))),
            Form::Parabola => a * rise / length,
        };
        Ok(Self { span, form, a, level_at: 0.5 * length - aside })
    }

    /// A catenary of a known length along the wire.
    ///
    /// # Errors
    /// [`BadWire`] for a span that cannot be, or a wire not longer than the straight line.
    pub fn of_length(span: Span, along: Metres) -> Result<Self, BadWire> {
        span.checked()?;
        let (length, rise, s) = (span.length.to_m(), span.rise.to_m(), along.to_m());
        // Differences of squares as products, so that a wire hardly longer than the line keeps its digits.
        let upright = (s - rise.abs()) * (s + rise.abs());
        let over = (s - libm::hypot(length, rise)) * (s + libm::hypot(length, rise));
        let longer = over / (length * (libm::sqrt(upright) + length));
        let bad = BadWire { found: s, expected: Expected::Length };
        if !(longer > 0.0 && longer <= sinhc_less_one(SLACKEST)) {
            return Err(bad);
        }
        let z = root::bracketed(
            |z| (sinhc_less_one(z) - longer, slope_of_sinhc(z)),
            TAUTEST,
            SLACKEST.min(libm::sqrt(6.0 * longer) * (1.0 + f64::EPSILON)),
            true,
        );
        Self::of_tension(Form::Catenary, span, span.length / (2.0 * z)).map_err(|_| bad)
    }

    /// From its sag: how far the wire hangs, at mid-span, below the straight line between its supports.
    ///
    /// # Errors
    /// [`BadWire`] for a span or a sag that cannot be.
    pub fn of_sag(form: Form, span: Span, sag: Metres) -> Result<Self, BadWire> {
        span.checked()?;
        let (length, rise, d) = (span.length.to_m(), span.rise.to_m(), sag.to_m());
        let bad = BadWire { found: d, expected: Expected::Sag };
        if !(d > 0.0 && d.is_finite()) {
            return Err(bad);
        }
        if form == Form::Parabola {
            return Self::of_tension(form, span, Metres::m(length * length / (8.0 * d))).map_err(|_| bad);
        }
        // Squared and over the span: (sinh^2(z/2)/z)^2 + (rise/2L)^2 tanh^2(z/2), which grows with z.
        let (wanted, tilt) = (d / length, 0.5 * rise / length);
        let sagging = |z: f64| {
            let half = 0.5 * z;
            let (sinh, tanh) = (libm::sinh(half), libm::tanh(half));
            let (level, tilted) = (sinh * sinh / z, tilt * tanh);
            let value = libm::hypot(level, tilted);
            let of_level = (sinh * libm::cosh(half) - level) / z;
            let of_tilted = 0.5 * tilt * (1.0 - tanh * tanh);
            (value - wanted, (level * of_level + tilted * of_tilted) / value)
        };
        if sagging(SLACKEST).0 < 0.0 || sagging(TAUTEST).0 > 0.0 {
            return Err(bad);
        }
        let z = root::bracketed(sagging, TAUTEST, SLACKEST, true);
        Self::of_tension(form, span, span.length / (2.0 * z)).map_err(|_| bad)
    }

    /// Drop below the first support at a horizontal distance from it, negative above it.
    pub fn drop_at(&self, at: Metres) -> Metres {
        // The curve at the support less the curve here, as a product, so that a taut wire keeps its digits.
        let (x, from) = (at.to_m(), self.level_at);
        Metres::m(match self.form {
            Form::Catenary => {
                let (half, middle) = (0.5 * x / self.a, (0.5 * x - from) / self.a);
                -2.0 * self.a * libm::sinh(half) * libm::sinh(middle)
            }
            Form::Parabola => x * (2.0 * from - x) / (2.0 * self.a),
        })
    }

    /// How far it hangs below the straight line between its supports at mid-span.
    pub fn sag(&self) -> Metres {
        self.drop_at(self.span.length / 2.0) + self.span.rise / 2.0
    }

    /// The lowest place of it between the supports, or the lower support.
    pub fn lowest(&self) -> OnWire {
        let at = Metres::m(self.level_at.clamp(0.0, self.span.length.to_m()));
        OnWire { at, drop: self.drop_at(at) }
    }

    /// Horizontally from the first support to where the curve is level; outside the span on a steep, taut wire.
    pub fn level_at(&self) -> Metres {
        Metres::m(self.level_at)
    }

    /// Horizontal tension over weight per length.
    pub fn tension_over_weight(&self) -> Metres {
        Metres::m(self.a)
    }

    /// Greatest tension over weight per length: that at the higher support.
    pub fn greatest_tension_over_weight(&self) -> Metres {
        let far = self.level_at.abs().max((self.span.length.to_m() - self.level_at).abs()) / self.a;
        Metres::m(match self.form {
            Form::Catenary => self.a * libm::cosh(far),
            Form::Parabola => self.a * libm::hypot(1.0, far),
        })
    }

    /// Length along the wire.
    pub fn length(&self) -> Metres {
        let along = |x: f64| {
            let u = (x - self.level_at) / self.a;
            match self.form {
                Form::Catenary => self.a * libm::sinh(u),
                Form::Parabola => 0.5 * self.a * (u * libm::hypot(1.0, u) + libm::asinh(u)),
            }
        };
        Metres::m(along(self.span.length.to_m()) - along(0.0))
    }
}

/// Sag of a wire of known length between level supports as the parabola has it, where it is small:
/// sqrt(3 L (S - L) / 8). Nothing for a wire no longer than its span.
///
/// # References
/// Textbook approximation, from S = L + 8 D^2/(3 L).
pub fn parabola_sag_of_length(span: Metres, along: Metres) -> Metres {
    let (length, longer) = (span.to_m(), (along - span).to_m());
    Metres::m(libm::sqrt((0.375 * length * longer).max(0.0)))
}

impl Span {
    fn checked(&self) -> Result<(), BadWire> {
        let Self { length, rise } = self;
        let (length, rise) = (length.to_m(), rise.to_m());
        if !(length > 0.0 && length.is_finite()) {
            return Err(BadWire { found: length, expected: Expected::Span });
        }
        if rise.is_finite() { Ok(()) } else { Err(BadWire { found: rise, expected: Expected::Span }) }
    }
}

/// sinh z/z - 1 for z above 0.
fn sinhc_less_one(z: f64) -> f64 {
    if z < SMALL {
        let square = z * z;
        // Terms of the series of sinh; the next is below 1e-16 of the first.
        square / 6.0 * (1.0 + square / 20.0 * (1.0 + square / 42.0 * (1.0 + square / 72.0)))
    } else {
        libm::sinh(z) / z - 1.0
    }
}

/// Its derivative.
fn slope_of_sinhc(z: f64) -> f64 {
    if z < SMALL {
        let square = z * z;
        z / 3.0 * (1.0 + square / 10.0 * (1.0 + square / 28.0 * (1.0 + square / 54.0)))
    } else {
        (libm::cosh(z) - libm::sinh(z) / z) / z
    }
}

#[cfg(test)]
mod tests;
