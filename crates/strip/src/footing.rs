//! What the keels stand on along one lane: the field and its patches, how strong each is, and where they meet.
//!
//! Invariants: ground that nobody tested has no class and counts as the softest where it hurts, as the firmest where it
//! helps; the field lies beside every patch; where two grounds of unlike strength meet, the softer of them is loaded
//! suddenly, with the higher friction of either.
//!
//! Not here: what the keels do on it ([`crate::balance`]).

use crate::assessed_lane::GroundOnLane;
use crate::bench::Bench;
use crate::field::Patch;
use measure::normal::SCORE_95;
use measure::{Interval, Metres};
use slide::soft::strength::Strength;
use slide::soft::{Change, Soil};

/// One kind of ground on a lane.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Footing {
    /// Where keels may be on it.
    pub(crate) span: Interval<Metres>,
    /// Mark of the patch; `None` for the field.
    pub(crate) id: Option<String>,
    /// `None` where nobody tested.
    pub(crate) strength: Option<Strength>,
    /// Friction at its 5 % and its 95 % point.
    pub(crate) friction: Interval<f64>,
}

/// One way in which ground is loaded.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Loaded {
    /// Whether it was loaded before, or has just come under the keels.
    pub(crate) change: Change,
    /// Friction at its 95 % point.
    pub(crate) friction: f64,
}

impl Footing {
    /// The field and the patches between two chainages of a lane.
    pub(crate) fn all(
        bench: &Bench,
        patches: &[(&Patch, Interval<Metres>)],
        (from, to): (Metres, Metres),
    ) -> Vec<Self> {
        let between = |grip: &crate::grip::Grip| Interval::spanning(grip.low(), grip.best(SCORE_95));
        let field = Self {
            span: Interval::spanning(from, to.max(from)),
            id: None,
            strength: bench.strip.strength,
            friction: between(&bench.field_grip()),
        };
        let of = |(patch, span): &(&Patch, Interval<Metres>)| {
            let span = Interval::new(span.low().max(from), span.high().min(to)).ok()?;
            let friction = between(&bench.patch_grip(patch));
            Some(Self { span, id: Some(patch.id.clone()), strength: patch.strength, friction })
        };
        std::iter::once(field).chain(patches.iter().filter_map(of)).collect()
    }

    /// The soil by which it counts where that hurts.
    pub(crate) fn softest(&self) -> &'static Soil {
        self.strength.unwrap_or(Strength::Boggy).softest_soil()
    }

    /// The soil by which it counts where that helps.
    pub(crate) fn firmest(&self) -> &'static Soil {
        &self.strength.unwrap_or(Strength::Hard).class().firmest
    }

    /// Ways in which the keels load it, among all grounds of the lane.
    pub(crate) fn loaded(&self, all: &[Self]) -> Vec<Loaded> {
        let own = self.friction.high();
        let borders = all
            .iter()
            .filter(|other| self.gives_way_to(other))
            .map(|other| Loaded { change: Change::Sudden, friction: own.max(other.friction.high()) });
        std::iter::once(Loaded { change: Change::Steady, friction: own }).chain(borders).collect()
    }

    /// Whether it is, or may be, the softer one of two that meet.
    fn gives_way_to(&self, other: &Self) -> bool {
        let meets = self.span.low() <= other.span.high() && other.span.low() <= self.span.high();
        let softer = match (self.strength, other.strength) {
            (Some(own), Some(other)) => own > other,
            // Untested ground may be softer or harder than any.
            _ => self != other,
        };
        meets && softer
    }

    /// Its name as said to a person.
    pub(crate) fn name(&self) -> String {
        self.id.as_ref().map_or_else(|| "the field".to_owned(), |id| format!("patch {id}"))
    }

    /// As it is told of a lane, with what is left of the balance on it.
    pub(crate) fn told(&self, reserve: Option<f64>) -> GroundOnLane {
        GroundOnLane {
            from_m: self.span.low().to_m(),
            to_m: self.span.high().to_m(),
            id: self.id.clone(),
            strength: self.strength.map(|s| s.class().name),
            reserve,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn footing(id: &str, strength: Option<Strength>, from: f64, to: f64, high: f64) -> Footing {
        Footing {
            span: Interval::spanning(Metres::m(from), Metres::m(to)),
            id: Some(id.to_owned()),
            strength,
            friction: Interval::spanning(0.1, high),
        }
    }

    #[track_caller]
    fn check(found: &[Loaded], expected: &[(Change, f64)]) {
        let found: Vec<(Change, f64)> = found.iter().map(|l| (l.change, l.friction)).collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn the_softer_of_two_that_meet_is_loaded_suddenly_with_the_higher_friction() {
        let firm = footing("a", Some(Strength::Firm), 0.0, 300.0, 0.7);
        let soft = footing("b", Some(Strength::Soft), 100.0, 150.0, 0.4);
        let away = footing("c", Some(Strength::Hard), 200.0, 250.0, 0.9);
        let all = [firm.clone(), soft.clone(), away.clone()];
        check(&soft.loaded(&all), &[(Change::Steady, 0.4), (Change::Sudden, 0.7)]);
        check(&firm.loaded(&all), &[(Change::Steady, 0.7), (Change::Sudden, 0.9)]);
        check(&away.loaded(&all), &[(Change::Steady, 0.9)]);
    }

    #[test]
    fn beside_untested_ground_either_may_be_the_softer() {
        let firm = footing("a", Some(Strength::Firm), 0.0, 300.0, 0.5);
        let untested = footing("b", None, 100.0, 150.0, 0.5);
        let all = [firm.clone(), untested.clone()];
        assert_eq!((firm.loaded(&all).len(), untested.loaded(&all).len()), (2, 2));
        assert_eq!(untested.softest(), Strength::Boggy.softest_soil());
        assert_eq!(untested.firmest(), &Strength::Hard.class().firmest);
    }
}
