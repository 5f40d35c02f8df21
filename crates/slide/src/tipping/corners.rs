//! The worst corner of all that is not known: one walk for each combination of ends.
//!
//! | input | end that hurts |
//! |---|---|
//! | friction that tips, ploughing | high: no other end is worked out |
//! | friction that slows, touchdown airspeed, headwind, mass, lift, idle thrust, moment of the air | either: both |
//!
//! Invariants: the elevator is not credited; thrust that would lift the nose counts as none; a corner that
//! cannot be walked makes the answer an error, never a better one.
//!
//! Not here: what lies between the ends. Some inputs hurt either way, so a worse place between them is not ruled out;
//! it is looked for by tests on random cases, not proved away.

use super::passage::{BadPassage, Least, Passage};
use super::{NoseDown, Stance};
use crate::soft::strength::Strength;
use crate::{Body, Slide, Touchdown, Track};
use measure::{AirSpeed, CubicDensity, Headwind, Interval, Kilograms, Metres, Newtons, SquareMetres};

/// All that decides whether a slide tips, with both ends of what is not known.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Ends<'a> {
    /// How it stands on its keels, most forward and highest centre of gravity.
    pub stance: Stance,
    /// Wing area of the coefficients.
    pub wing_area: SquareMetres,
    /// Drag coefficient on the keels.
    pub drag_coefficient: f64,
    /// Density of the air.
    pub density: CubicDensity,
    /// The ground.
    pub track: &'a Track,
    /// Friction of each zone at its low end.
    pub low_friction: &'a [f64],
    /// Friction of each zone at its high end.
    pub high_friction: &'a [f64],
    /// Strength of each zone; `None` where nobody tested.
    pub strength: &'a [Option<Strength>],
    /// Where it touches.
    pub at: Metres,
    /// Where the ground ends, counted from touchdown.
    pub room: Option<Metres>,
    /// Airspeed at touchdown.
    pub airspeed: Interval<AirSpeed>,
    /// Wind against the slide.
    pub headwind: Interval<Headwind>,
    /// Mass.
    pub mass: Interval<Kilograms>,
    /// Lift coefficient on the keels.
    pub lift_coefficient: Interval<f64>,
    /// Seconds in which lift settles.
    pub settling: Interval<f64>,
    /// Idle thrust, forward positive.
    pub idle_thrust: Interval<Newtons>,
    /// Height of the thrust line above the centre of gravity.
    pub thrust_line: Metres,
    /// Nose-down moment of the air over dynamic pressure, m3, elevator neutral.
    pub air: Interval<f64>,
}

/// Inputs of which both ends are worked out.
const INPUTS: u32 = 8;

/// One combination of ends: bit by bit, the low or the high one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Corner(u32);

impl Corner {
    /// Whether an input, counted from 0, is at its high end.
    fn is_high(self, input: u32) -> bool {
        self.0 >> input & 1 == 1
    }

    /// The end of an input.
    fn of<T: Copy + PartialOrd + std::fmt::Debug>(self, input: u32, ends: &Interval<T>) -> T {
        if self.is_high(input) { ends.high() } else { ends.low() }
    }
}

impl Ends<'_> {
    /// The least over every corner, and where; a corner whose slide has nothing to do at rest counts as well.
    ///
    /// # Errors
    /// [`BadPassage`] of the first corner that cannot be walked.
    pub fn worst(&self) -> Result<Least, BadPassage> {
        let open = self.open();
        (0..1 << INPUTS).filter(|corner| corner & !open == 0).try_fold(Least::default(), |worst, corner| {
            self.passage(Corner(corner)).walk().map(|(_, least)| worst.or_worse(least))
        })
    }

    /// The inputs whose ends differ, bit by bit: of the others one end is enough.
    fn open(&self) -> u32 {
        fn differ<T: Copy + PartialOrd + std::fmt::Debug>(ends: &Interval<T>) -> bool {
            ends.low() != ends.high()
        }
        let differing: [bool; INPUTS as usize] = [
            differ(&self.airspeed),
            differ(&self.headwind),
            differ(&self.mass),
            differ(&self.lift_coefficient),
            differ(&self.idle_thrust),
            differ(&self.air),
            self.low_friction != self.high_friction,
            differ(&self.settling),
        ];
        differing.iter().enumerate().map(|(i, differs)| u32::from(*differs) << i).sum()
    }

    /// The passage of a corner.
    fn passage(&self, corner: Corner) -> Passage<'_> {
        let headwind = corner.of(1, &self.headwind);
        let speed = corner.of(0, &self.airspeed).over_ground(headwind);
        let body = Body {
            mass: corner.of(2, &self.mass),
            wing_area: self.wing_area,
            lift_coefficient: corner.of(3, &self.lift_coefficient),
            drag_coefficient: self.drag_coefficient,
            idle_thrust: corner.of(4, &self.idle_thrust),
        };
        let slide = Slide {
            body,
            density: self.density,
            headwind,
            track: self.track,
            friction: if corner.is_high(6) { self.high_friction } else { self.low_friction },
            settling: corner.of(7, &self.settling),
            carried: Metres::ZERO,
            slope_score: 0.0,
            curvature_score: 0.0,
        };
        Passage {
            slide,
            touchdown: Touchdown { at: self.at, speed },
            room: self.room,
            stance: self.stance,
            nose_down: NoseDown { air: corner.of(5, &self.air), thrust_line: self.thrust_line },
            high_friction: self.high_friction,
            strength: self.strength,
        }
    }
}
