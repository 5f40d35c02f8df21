//! An assessment as text for a person.

use crate::inputs::Records;
use crate::words;
use measure::Metres;
use measure::shown::{Side, Units, rounded};
use std::fmt::Write;
use strip::{AssessedLane, Assessment, Settings};

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
    for line in words::day(a, units) {
        let _ = writeln!(out, "  {line}");
    }
    let _ = writeln!(out, "\nWhy");
    for r in &a.reasons {
        let _ = writeln!(out, "  [{}] {}", r.verdict_name(), words::reason(r, units));
    }
    for lane in a.lanes.iter().take(LANES_SHOWN) {
        let _ = write!(out, "\n{}", lane_text(lane, units));
    }
    if !a.missing.is_empty() {
        let _ = writeln!(out, "\nWhat to measure next (what would change the answer most)");
        for (i, m) in a.missing.iter().take(MISSING_SHOWN).enumerate() {
            let _ = writeln!(out, "  {}. {}", i + 1, words::missing(m, units));
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
        let _ = writeln!(out, "\n{}", words::certificate(c, units));
    }
    let _ = writeln!(out, "Inputs {}, model {}.", a.input_fingerprint, a.model_version);
    let _ = writeln!(out, "\n{}", a.caution);
    out
}

fn lane_text(l: &AssessedLane, units: Units) -> String {
    let mut out = String::new();
    let least = |m: f64| units.length(Metres::m(m), Side::AtLeast, 0);
    let most = |m: f64| units.length(Metres::m(m), Side::AtMost, 0);
    let degrees = |d: f64| rounded(d, Side::Nearest, 0);
    let magnetic = l.heading_magnetic_deg.map_or_else(String::new, |d| format!(" ({} magnetic)", degrees(d)));
    let heading = degrees(l.heading_true_deg);
    let _ = writeln!(out, "Lane {}, heading {heading} true{magnetic}: {}", l.id, l.verdict.name());
    for r in l.reasons.iter().filter(|r| r.verdict == Some(l.verdict)) {
        let _ = writeln!(out, "  because: {}", words::reason(r, units));
    }
    let _ = writeln!(
        out,
        "  clear {} to {}; usable slide {}",
        least(l.length_m),
        l.far_end_at,
        least(l.usable_slide_m)
    );
    match (l.demand_m, l.latest_touchdown_m, l.spare_m) {
        (Some(demand), Some(latest), Some(spare)) => {
            let window = if latest >= l.earliest_touchdown_m {
                format!("touch down from {} to {}", most(l.earliest_touchdown_m), least(latest))
            } else {
                "no place to touch down from which it would end in time".to_owned()
            };
            let _ = writeln!(
                out,
                "  slide needed {} (could be as short as {}); {window}; scatter {}; spare {}",
                most(demand),
                l.demand_least_m.map_or_else(|| "unknown".to_owned(), least),
                most(l.scatter_m),
                least(spare)
            );
        }
        _ => {
            let _ = writeln!(out, "  at the ends of what is known it would not come to rest");
        }
    }
    for line in words::way_in(l, units) {
        let _ = writeln!(out, "  {line}");
    }
    let touchdown = words::touchdown(l, units).into_iter().chain(words::on_the_keels(l, units));
    for line in words::chances(l, units).into_iter().chain(words::basis(l, units)).chain(touchdown) {
        let _ = writeln!(out, "  {line}");
    }
    for h in &l.hazards {
        let clearance = h.clearance_m.map_or_else(
            || "no height to compare".to_owned(),
            |c| format!("{} above it to spare", units.length(Metres::m(c), Side::AtLeast, 2)),
        );
        let _ =
            writeln!(out, "  {} at {} {}: {clearance}", h.id, least(h.offset_m.abs()), side_of(h.offset_m));
    }
    for g in &l.gains {
        let _ = writeln!(out, "  {}", words::gain(g, units));
    }
    for (i, r) in l.remedies.iter().enumerate() {
        let head = if i == 0 { "what would make it long enough, each by itself:\n    " } else { "  " };
        let _ = writeln!(out, "  {head}{}", words::remedy(r, units));
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
        let _ = writeln!(out, "{:<34} {:>8}{changed}  {} [{}]", row.key, row.value, row.meaning, row.tag);
    }
    out
}
