//! The result: everything that window, sheet, register and headless verbs show.
//!
//! Plain data in SI, with the unit in the name, exactly as it is written to JSON. An unknown quantity
//! is absent, never null or zero. Keys may be added, none is removed.

use crate::air::AirFigures;
use crate::assessed_lane::AssessedLane;
use crate::code::{Code, NotJudged, What};
use crate::magnetic::MagneticFigures;
use crate::sky::SunFigures;
use serde::Serialize;
use std::borrow::Cow;

/// Said on every screen and page.
pub const CAUTION: &str = "A planning aid. The aircraft's manual, a licensed engineer's inspection, the law of the place, \
     the landowner's permission and the pilot's judgement on the day come first.";

/// The answer.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Everything is met with its margin even at the worst that could be true.
    Fits,
    /// Met, but close.
    Tight,
    /// It hangs on something not measured.
    Unknown,
    /// Something is not met even at the best that could be true.
    DoesNotFit,
}

impl Verdict {
    /// As said to a person.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fits => "fits",
            Self::Tight => "tight",
            Self::Unknown => "unknown",
            Self::DoesNotFit => "does not fit",
        }
    }

    /// The one that rules among the reasons of one lane.
    #[must_use]
    pub fn ruling(self, other: Self) -> Self {
        if self.rank() >= other.rank() { self } else { other }
    }

    /// Place in the order in which lanes are preferred.
    pub(crate) const fn rank(self) -> u8 {
        match self {
            Self::Fits => 0,
            Self::Tight => 1,
            Self::Unknown => 2,
            Self::DoesNotFit => 3,
        }
    }
}

/// Which side of its limit a value must keep to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Sense {
    /// The value should not be below the limit.
    NotBelow,
    /// The value should not be above the limit.
    NotAbove,
}

/// One reason for a verdict.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Reason {
    /// What it is about.
    pub code: Code,
    /// The verdict that this reason alone allows; absent where it only tells something.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Verdict>,
    /// In words, without figures.
    pub text: String,
    /// The value found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// What it is held against.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<f64>,
    /// Unit of both: "m", "m/s", "kg".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<&'static str>,
    /// Which side of the limit is good, for rounding.
    #[serde(skip)]
    pub sense: Sense,
}

impl Reason {
    /// A reason without figures.
    pub(crate) fn plain(code: Code, verdict: Verdict, text: impl Into<String>) -> Self {
        Self { verdict: Some(verdict), ..Self::note(code, text) }
    }

    /// Something to know that allows every verdict.
    pub(crate) fn note(code: Code, text: impl Into<String>) -> Self {
        let text = text.into();
        Self { code, verdict: None, text, value: None, limit: None, unit: None, sense: Sense::NotBelow }
    }

    /// The same with a figure.
    pub(crate) fn told(code: Code, (value, unit): (f64, &'static str)) -> Self {
        Self { value: Some(value), unit: Some(unit), ..Self::note(code, code.help()) }
    }

    /// Place in the order in which reasons are told: what rules first, notes last.
    pub(crate) fn rank(&self) -> Option<u8> {
        self.verdict.map(Verdict::rank)
    }

    /// "tight", or "note".
    pub fn verdict_name(&self) -> &'static str {
        self.verdict.map_or("note", Verdict::name)
    }

    /// A value held against a limit.
    pub(crate) fn held(
        code: Code,
        verdict: Verdict,
        (value, sense, limit): (f64, Sense, f64),
        unit: &'static str,
    ) -> Self {
        let plain = Self::plain(code, verdict, code.help());
        Self { value: Some(value), limit: Some(limit), unit: Some(unit), sense, ..plain }
    }
}

/// The verdict that some reasons allow together.
pub(crate) fn ruling<'a>(reasons: impl IntoIterator<Item = &'a Reason>) -> Verdict {
    reasons.into_iter().filter_map(|r| r.verdict).fold(Verdict::Fits, Verdict::ruling)
}

/// Something not measured.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Missing {
    /// What.
    pub what: What,
    /// Which one, where it is about one thing: "r4".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// Whether the verdict cannot be better than unknown without it.
    pub decides: bool,
    /// Metres of spare that measuring it could change; absent where that cannot be told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub effect_m: Option<f64>,
    /// How to measure it.
    pub how: Cow<'static, str>,
}

/// Something that this version does not judge.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Unjudged {
    /// What.
    pub what: NotJudged,
    /// In words, with what the record holds about it.
    pub text: String,
}

/// How sure the longest lane is.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Certificate {
    /// The longest clear lane found; absent where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub longest_lane_m: Option<f64>,
    /// Its heading.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heading_true_deg: Option<f64>,
    /// No clear lane of any heading is longer than this.
    pub upper_bound_m: f64,
    /// Single centre lines worked out.
    pub lines_tried: usize,
    /// Bundles of lines, together all lines of the field, whose bound was worked out.
    pub bundles_bounded: usize,
    /// Whether bound and longest lane lie within the tolerance asked for.
    pub within_tolerance: bool,
}

/// Longest clear lane in one range of headings.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct HeadingLength {
    /// Where the range begins and where the next one does, degrees true.
    pub from_deg: f64,
    /// Its other end.
    pub to_deg: f64,
    /// The longest found.
    pub found_m: f64,
    /// None is longer.
    pub upper_bound_m: f64,
}

impl HeadingLength {
    /// Its middle.
    pub fn heading_deg(&self) -> f64 {
        let to = if self.to_deg < self.from_deg { self.to_deg + 360.0 } else { self.to_deg };
        f64::midpoint(self.from_deg, to)
    }
}

/// The assessment of one strip for one aircraft on one day.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Assessment {
    /// Version of this shape.
    pub schema: u32,
    /// Version of the program that worked it out.
    pub model_version: &'static str,
    /// Equal for equal inputs.
    pub input_fingerprint: String,
    /// Whether it was worked out more coarsely than it will be.
    pub preview: bool,
    /// Slides worked out for each percentile.
    pub samples: usize,
    /// Said beside every result.
    pub caution: &'static str,
    /// Mark of the strip.
    pub strip_id: String,
    /// Name of the strip.
    pub strip_name: String,
    /// The air of the day; absent without a day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air: Option<AirFigures>,
    /// The sun at the planned time; absent without a day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sun: Option<SunFigures>,
    /// Magnetic variation; absent without a day, and outside the magnetic model.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub magnetic: Option<MagneticFigures>,
    /// The answer.
    pub verdict: Verdict,
    /// Why, the ruling reasons first.
    pub reasons: Vec<Reason>,
    /// What was not measured, what matters most first.
    pub missing: Vec<Missing>,
    /// What this version does not judge.
    pub not_judged: Vec<Unjudged>,
    /// Lanes, the best first.
    pub lanes: Vec<AssessedLane>,
    /// How sure the longest lane is; absent where no lane was looked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub certificate: Option<Certificate>,
    /// Longest clear lane by heading, once round in order.
    #[serde(skip)]
    pub length_by_heading: Vec<HeadingLength>,
}
