//! What is known of the friction under the keels: of one kind of ground, or of several where it is not
//! known which it is.
//!
//! Invariant: of several the worst is the lowest at each score and the best the highest, so that what is
//! not known never helps.
//!
//! Not here: which kinds of ground a lane crosses ([`crate::lane_ground`]).

use measure::normal::SCORE_95;
use slide::Friction;

/// Kinds of ground that it may be.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Grip {
    kinds: Vec<(Friction, String)>,
}

impl Grip {
    /// From each kind that it may be and where its figures come from.
    pub(crate) fn new(kinds: Vec<(Friction, String)>) -> Self {
        Self { kinds }
    }

    /// This ground or that.
    pub(crate) fn or(&self, other: &Self) -> Self {
        Self { kinds: self.kinds.iter().chain(&other.kinds).cloned().collect() }
    }

    /// The lowest at a standard normal score; none without any kind.
    pub(crate) fn worst(&self, score: f64) -> f64 {
        self.kinds.iter().map(|(f, _)| f.quantile(score)).reduce(f64::min).unwrap_or(0.0)
    }

    /// The highest.
    pub(crate) fn best(&self, score: f64) -> f64 {
        self.kinds.iter().map(|(f, _)| f.quantile(score)).reduce(f64::max).unwrap_or(0.0)
    }

    /// The 5 % point of the worst kind.
    pub(crate) fn low(&self) -> f64 {
        self.worst(-SCORE_95)
    }

    /// Where the figures of the kind come from that is the most slippery at its 5 % point.
    pub(crate) fn source(&self) -> &str {
        let low = |kind: &&(Friction, String)| kind.0.quantile(-SCORE_95);
        let worst = self.kinds.iter().min_by(|a, b| low(a).total_cmp(&low(b)));
        worst.map_or("no cover at all", |(_, source)| source)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use slide::Belief;

    #[test]
    fn of_two_kinds_the_lower_is_the_worst_at_each_score() {
        let kind = |median, spread| (Friction::new(Belief::even(median, spread), &[]), format!("{median}"));
        let grip = Grip::new(vec![kind(0.4, 0.5)]).or(&Grip::new(vec![kind(0.3, 0.1)]));
        assert!((grip.worst(0.0) - 0.3).abs() < 1e-12 && (grip.best(0.0) - 0.4).abs() < 1e-12);
        assert!(grip.worst(-2.0) < 0.16, "0.4 exp(-1) = 0.147 is the lower there");
        // 0.4 exp(-0.822) = 0.176 against 0.3 exp(-0.164) = 0.254.
        assert_eq!(grip.source(), "0.4");
    }
}
