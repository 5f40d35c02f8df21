//! The aircraft as seen from above: what wind and friction turn and push sideways.
//!
//! Invariants: values alone, those of one corner; nothing here is guessed.
//!
//! Not here: where the centre of gravity lies in a load, and how wide any of these might be. Load that shifts
//! from keel to keel (wind that rolls, a high centre of gravity) is not followed; whoever gives the difference
//! of friction between the keels has to hold it in there.
//!
//! Source: statics of a rigid body; what a fin does at small angles of sideslip, linear in the angle (textbook).

use measure::{AirSpeed, Metres, SquareMetres};

/// The aircraft from above, on its keels.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Plan {
    /// Length of a keel; its ends swing out as the nose turns. Not negative.
    pub keel_length: Metres,
    /// From keel to keel. Not negative.
    pub keel_spacing: Metres,
    /// Half the span of the wing. Not negative.
    pub half_span: Metres,
    /// How far ahead of the centre of gravity the ground's force acts; negative is behind. By moments about the
    /// centre of gravity it is friction times its height, and nose-down moment over load besides, at most to the
    /// forward end of flat contact. More of it hurts; not known, it is that end.
    pub contact_ahead: Metres,
    /// Radius of gyration about the upright axis. Positive.
    pub gyration: Metres,
    /// Area seen from the side. Not negative.
    pub side_area: SquareMetres,
    /// Side force coefficient on that area for each radian of sideslip. Not negative; more of it hurts.
    pub side_slope: f64,
    /// What the fin does, if anyone knows.
    pub fin: Option<Fin>,
    /// Airspeed along the nose above which the rudder surely holds the nose where it points; `None`: nobody steers.
    pub steered_above: Option<AirSpeed>,
}

/// What the air does to turn the nose.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Fin {
    /// Moment over dynamic pressure for each radian of sideslip, m3: fin area times its lift slope times its arm,
    /// less what body and floats take from it. Positive turns the nose into the wind.
    pub volume: f64,
    /// The same times the arm, m4: what resists turning. Not negative.
    pub damping: f64,
}

impl Fin {
    /// None at all.
    pub const NONE: Self = Self { volume: 0.0, damping: 0.0 };

    fn is_physical(self) -> bool {
        let Self { volume, damping } = self;
        volume.is_finite() && damping >= 0.0 && damping.is_finite()
    }
}

impl Plan {
    /// Whether every value is finite and in its range.
    pub fn is_physical(&self) -> bool {
        let Self {
            keel_length,
            keel_spacing,
            half_span,
            contact_ahead,
            gyration,
            side_area,
            side_slope,
            fin,
            steered_above,
        } = self;
        let not_negative = [
            keel_length.to_m(),
            keel_spacing.to_m(),
            half_span.to_m(),
            side_area.to_m2(),
            *side_slope,
            gyration.to_m(),
        ];
        not_negative.iter().all(|&x| x >= 0.0 && x.is_finite())
            && gyration.to_m() > 0.0
            && contact_ahead.to_m().is_finite()
            && fin.is_none_or(Fin::is_physical)
            && steered_above.is_none_or(|u| u.to_mps() >= 0.0)
    }
}
