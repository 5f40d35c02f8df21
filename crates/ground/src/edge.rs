//! What bounds the ground that may be slid on.

use measure::{Depth, Height, Metres};

/// Kind of one edge of the outline or of an island.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum EdgeKind {
    /// Nothing stands there; only the ground beyond was not surveyed or may not be used.
    Open,
    /// Fence of this height.
    Fence(Height),
    /// Hedge of this height.
    Hedge(Height),
    /// Wall of this height.
    Wall(Height),
    /// Ditch of this depth.
    Ditch(Depth),
    /// Water.
    Water,
    /// Road.
    Road,
}

impl EdgeKind {
    /// Height that a wing must clear to hang over the edge.
    pub fn height(self) -> Height {
        match self {
            Self::Fence(h) | Self::Hedge(h) | Self::Wall(h) => h,
            Self::Open | Self::Ditch(_) | Self::Water | Self::Road => Height::ZERO,
        }
    }

    /// The same as a length, to take a share of.
    pub(crate) fn height_from_ground(self) -> Metres {
        Metres::m(self.height().to_m())
    }

    /// Whether running past it breaks the aircraft or hurts somebody: every kind but open.
    pub fn is_hard(self) -> bool {
        self != Self::Open
    }

    /// Its name in a sentence.
    pub fn name(self) -> &'static str {
        match self {
            Self::Open => "open edge",
            Self::Fence(_) => "fence",
            Self::Hedge(_) => "hedge",
            Self::Wall(_) => "wall",
            Self::Ditch(_) => "ditch",
            Self::Water => "water",
            Self::Road => "road",
        }
    }
}
