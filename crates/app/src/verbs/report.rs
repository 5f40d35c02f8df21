//! An assessment as text for a person.

use crate::inputs::Records;
use measure::Metres;
use measure::shown::{Side, Units, rounded};
use std::fmt::Write;
use strip::{AssessedLane, Assessment, Reason, Sense, Settings};

/// How many lanes the text shows; JSON has them all.
const LANES_SHOWN: usize = 3;

/// How many missing measurements the text names.
const MISSING_SHOWN: usize = 3;

/// The whole report.
pub(crate) fn assessment(records: &Records, a: &Assessment, units: Units) -> String {
    let mut out = String::new();
    // Writing into a text cannot fail.
    let _ = writeln!(out, "{} ({}): {}", a.strip_name, a.strip_id, a.verdict.name().to_uppercase());
    let from =
        |path: Option<&std::path::Path>| path.map_or_else(|| "none".to_owned(), |p| p.display().to_string());
    let _ = writeln!(out, "  aircraft {}", from(records.aircraft.as_ref().map(|f| f.path.as_path())));
    let _ = writeln!(out, "  day      {}", from(records.day.as_ref().map(|f| f.path.as_path())));
    let _ = writeln!(out, "\nWhy");
    for r in &a.reasons {
        let _ = writeln!(out, "  [{}] {}", r.verdict.name(), reason(r, units));
    }
    for lane in a.lanes.iter().take(LANES_SHOWN) {
        let _ = write!(out, "\n{}", lane_text(lane, units));
    }
    if !a.missing.is_empty() {
        let _ = writeln!(out, "\nWhat to measure next (what would change the answer most)");
        for (i, m) in a.missing.iter().take(MISSING_SHOWN).enumerate() {
            let id = m.id.as_ref().map_or_else(String::new, |id| format!(" {id}"));
            let effect = m.effect_m.map_or_else(String::new, |e| {
                format!(" (up to {})", units.length(Metres::m(e), Side::AtMost, 0))
            });
            let _ = writeln!(out, "  {}. {}{id}{effect}: {}", i + 1, m.what.word().replace('_', " "), m.how);
        }
        let more = a.missing.len().saturating_sub(MISSING_SHOWN);
        if more > 0 {
            let _ = writeln!(out, "  and {more} more (see --json)");
        }
    }
    let _ = writeln!(out, "\nNot judged by this version");
    for n in &a.not_judged {
        let _ = writeln!(out, "  - {}", n.text);
    }
    if let Some(c) = &a.certificate {
        let _ = writeln!(
            out,
            "\nLongest clear lane found {} on {} lines tried; no lane is longer than {}.",
            units.length(Metres::m(c.longest_lane_m), Side::AtLeast, 0),
            c.lines_tried,
            units.length(Metres::m(c.upper_bound_m), Side::AtMost, 0)
        );
    }
    let _ = writeln!(out, "Inputs {}, model {}.", a.input_fingerprint, a.model_version);
    let _ = writeln!(out, "\n{}", a.caution);
    out
}

/// One reason with its figures in the units shown, each rounded to the side that hurts.
pub(crate) fn reason(r: &Reason, units: Units) -> String {
    let (Some(value), Some(limit), Some(unit)) = (r.value, r.limit, r.unit) else { return r.text.clone() };
    let (value_side, limit_side, bound) = match r.sense {
        Sense::NotBelow => (Side::AtLeast, Side::AtMost, "at least"),
        Sense::NotAbove => (Side::AtMost, Side::AtLeast, "at most"),
    };
    let show = |v: f64, side: Side| match unit {
        "m" => units.length(Metres::m(v), side, 0),
        "m/s" => units.speed(v, side, 1),
        "kg" => units.mass(v, side, 0),
        other => format!("{} {other}", rounded(v, side, 2)),
    };
    format!("{}: {} (asked: {bound} {})", r.text, show(value, value_side), show(limit, limit_side))
}

fn lane_text(l: &AssessedLane, units: Units) -> String {
    let mut out = String::new();
    let least = |m: f64| units.length(Metres::m(m), Side::AtLeast, 0);
    let most = |m: f64| units.length(Metres::m(m), Side::AtMost, 0);
    let degrees = |d: f64| rounded(d, Side::Nearest, 0);
    let magnetic = l.heading_magnetic_deg.map_or_else(String::new, |d| format!(" ({} magnetic)", degrees(d)));
    let heading = degrees(l.heading_true_deg);
    let _ = writeln!(out, "Lane {}, heading {heading} true{magnetic}: {}", l.id, l.verdict.name());
    let _ = writeln!(
        out,
        "  clear {} to {}; usable slide {}",
        least(l.length_m),
        l.far_end_at,
        least(l.usable_slide_m)
    );
    match (l.demand_m, l.latest_touchdown_m, l.spare_m) {
        (Some(demand), Some(latest), Some(spare)) => {
            let _ = writeln!(
                out,
                "  slide needed {} (could be as short as {}); touch down from {} to {}, aim at {}; scatter {}; spare {}",
                most(demand),
                l.demand_least_m.map_or_else(|| "unknown".to_owned(), least),
                most(l.earliest_touchdown_m),
                least(latest),
                most(l.aim_m),
                most(l.scatter_m),
                least(spare)
            );
        }
        _ => {
            let _ = writeln!(out, "  at the ends of what is known it would not come to rest");
        }
    }
    let b = &l.basis;
    let _ = writeln!(
        out,
        "  worked with friction {} ({}), slope {} %, headwind {}, touchdown {} over the ground, {}; {}",
        rounded(b.friction, Side::AtLeast, 2),
        b.friction_source,
        rounded(b.slope * 100.0, Side::AtLeast, 1),
        units.speed(b.headwind_mps, Side::AtLeast, 1),
        units.speed(b.touchdown_ground_speed_mps, Side::AtMost, 1),
        units.mass(b.mass_kg, Side::AtMost, 0),
        b.method
    );
    for h in &l.hazards {
        let clearance = h.clearance_m.map_or_else(
            || "no height to compare".to_owned(),
            |c| format!("{} above it to spare", units.length(Metres::m(c), Side::AtLeast, 2)),
        );
        let _ =
            writeln!(out, "  {} at {} {}: {clearance}", h.id, least(h.offset_m.abs()), side_of(h.offset_m));
    }
    for p in &l.patches {
        let _ = writeln!(out, "  patch {} from {} to {}", p.id, least(p.from_m), most(p.to_m));
    }
    out
}

fn side_of(offset: f64) -> &'static str {
    if offset >= 0.0 { "right" } else { "left" }
}

/// The settings as a table.
pub(crate) fn settings(settings: &Settings) -> String {
    let mut out = String::new();
    for row in settings.table() {
        let changed = if (row.value - row.default).abs() > 0.0 {
            format!(" (default {})", row.default)
        } else {
            String::new()
        };
        let _ = writeln!(out, "{:<26} {:>8}{changed}  {} [{}]", row.key, row.value, row.meaning, row.tag);
    }
    out
}
