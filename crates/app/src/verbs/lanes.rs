//! The lanes found: geometry, certificate, length by heading.

use crate::words;
use measure::Metres;
use measure::shown::{Side, Units, rounded};
use serde::Serialize;
use std::fmt::Write;
use strip::{AssessedLane, Assessment, Certificate};

/// `lanes --json`.
#[derive(Serialize)]
pub(crate) struct LanesJson<'a> {
    schema: u32,
    model_version: &'a str,
    caution: &'a str,
    lanes: Vec<LaneJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    certificate: Option<&'a Certificate>,
    length_by_heading: Vec<[f64; 2]>,
    upper_bound_by_heading: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct LaneJson<'a> {
    id: &'a str,
    heading_true_deg: f64,
    near_end: [f64; 2],
    far_end: [f64; 2],
    length_m: f64,
    usable_slide_m: f64,
    far_end_at: &'a str,
}

pub(crate) fn json(a: &Assessment) -> LanesJson<'_> {
    LanesJson {
        schema: a.schema,
        model_version: a.model_version,
        caution: a.caution,
        lanes: a
            .lanes
            .iter()
            .map(|l| LaneJson {
                id: &l.id,
                heading_true_deg: l.heading_true_deg,
                near_end: l.near_end,
                far_end: l.far_end,
                length_m: l.length_m,
                usable_slide_m: l.usable_slide_m,
                far_end_at: &l.far_end_at,
            })
            .collect(),
        certificate: a.certificate.as_ref(),
        length_by_heading: a.length_by_heading.iter().map(|h| [h.heading_deg(), h.found_m]).collect(),
        upper_bound_by_heading: a
            .length_by_heading
            .iter()
            .map(|h| [h.heading_deg(), h.upper_bound_m])
            .collect(),
    }
}

pub(crate) fn text(a: &Assessment, units: Units) -> String {
    let mut out = String::new();
    let length = |m: f64| units.length(Metres::m(m), Side::AtLeast, 0);
    // Writing into a text cannot fail.
    let _ = writeln!(out, "{} ({})", a.strip_name, a.strip_id);
    if a.lanes.is_empty() {
        let _ = writeln!(
            out,
            "No lane is left to judge. {}",
            a.reasons.first().map_or_else(String::new, |r| words::reason(r, units))
        );
    }
    for l in longest_first(a) {
        let heading = rounded(l.heading_true_deg, Side::Nearest, 0);
        let _ = writeln!(
            out,
            "{:>3}  {heading:>3} true  clear {:>8}  usable {:>8}  ends at {}",
            l.id,
            length(l.length_m),
            length(l.usable_slide_m),
            l.far_end_at
        );
    }
    if let Some(c) = &a.certificate {
        let _ = writeln!(out, "{}", words::certificate(c, units));
    }
    let _ = writeln!(out, "\n{}", a.caution);
    out
}

fn longest_first(a: &Assessment) -> Vec<&AssessedLane> {
    let mut lanes: Vec<&AssessedLane> = a.lanes.iter().collect();
    lanes.sort_by(|a, b| b.length_m.total_cmp(&a.length_m));
    lanes
}
