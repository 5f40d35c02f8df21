//! Reasons that one lane gives for its verdict: length, crosswind, what the records say of friction.
//!
//! Not here: the figures that they hold against a limit ([`crate::judge`]), and reasons that hold for every lane
//! ([`crate::caveat`]).

use crate::assessment::{Reason, Sense, Verdict};
use crate::bench::Bench;
use crate::code::Code;
use measure::{Interval, Metres, TrueHeading};

impl Bench<'_> {
    /// What is left to spare at the worst corner against its limit, or at the best if it fails.
    pub(crate) fn length_reason(
        &self,
        spare: Option<Metres>,
        needed: Option<Metres>,
        at_best: Option<Metres>,
    ) -> Reason {
        let hopeless = at_best.is_none_or(|best| best < Metres::ZERO);
        let failed = if hopeless { Verdict::DoesNotFit } else { Verdict::Unknown };
        let Some((value, demand)) = spare.zip(needed) else {
            return Reason::plain(Code::NeverStops, failed, Code::NeverStops.help());
        };
        let limit = demand * self.settings.tight_spare_share;
        let verdict = if value < Metres::ZERO {
            failed
        } else if value < limit {
            Verdict::Tight
        } else {
            Verdict::Fits
        };
        Reason::held(Code::Spare, verdict, (value.to_m(), Sense::NotBelow, limit.to_m()), "m")
    }

    pub(crate) fn crosswind_reason(&self, heading: TrueHeading) -> Option<Reason> {
        let value = self.situation.crosswind(heading)?;
        if value.high() == 0.0 {
            return None;
        }
        let Some(limit) = self.aircraft.crosswind_limit_mps else {
            return Some(Reason::plain(Code::CrosswindLimit, Verdict::Unknown, Code::CrosswindLimit.help()));
        };
        let verdict = self.at_most(value, limit);
        Some(Reason::held(Code::Crosswind, verdict, (value.high(), Sense::NotAbove, limit), "m/s"))
    }

    /// What a limit that is not to be passed says of a value between its best and its worst.
    pub(crate) fn at_most(&self, value: Interval<f64>, limit: f64) -> Verdict {
        let close = limit * (1.0 - self.settings.tight_limit_share);
        if value.low() > limit {
            Verdict::DoesNotFit
        } else if value.high() > limit {
            Verdict::Unknown
        } else if value.high() > close {
            Verdict::Tight
        } else {
            Verdict::Fits
        }
    }

    /// What a limit that is to be kept says of the least of a value, where its best keeps it.
    pub(crate) fn at_least(&self, least: f64, limit: f64) -> Verdict {
        let close = limit * (1.0 + self.settings.tight_limit_share);
        // Written so that what is not a number is unknown.
        if least >= close {
            Verdict::Fits
        } else if least >= limit {
            Verdict::Tight
        } else {
            Verdict::Unknown
        }
    }

    /// A slide longer than the longest worked out says that something is not as it was given.
    pub(crate) fn recovery_reason(&self, longest: Option<f64>) -> Option<Reason> {
        let (recorded, worked) = (self.strip.longest_recovery?.to_m(), longest?);
        let longer = recorded > worked;
        let held = (recorded, Sense::NotAbove, worked);
        longer.then(|| Reason::held(Code::LongerRecovery, Verdict::Unknown, held, "m"))
    }

    /// What the records say of friction, beside its figures.
    pub(crate) fn friction_reasons(&self) -> Vec<Reason> {
        let mut out = Vec::new();
        if let Some(contrary) = self.situation.contrary(self.strip) {
            let text = format!("{}: {contrary}", Code::TestsDisagree.help());
            out.push(Reason::plain(Code::TestsDisagree, Verdict::Unknown, text));
        }
        if !self.situation.friction_measured(self.strip.cover) {
            out.push(Reason::note(Code::FrictionLowEnd, Code::FrictionLowEnd.help()));
        }
        let not_counted = &self.situation.seen.not_counted;
        if !not_counted.is_empty() {
            let text = format!("{}: {}", Code::NotCounted.help(), not_counted.join(", "));
            out.push(Reason::note(Code::NotCounted, text));
        }
        out
    }
}
