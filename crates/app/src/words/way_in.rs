//! The way in, in words: between which touchdowns, over what, and what another path would give.

use measure::Metres;
use measure::shown::{Side, Units, rounded};
use strip::{AbandonFigures, AssessedLane, Clearance, GlideTrade, Landmark};

/// Things told of one lane.
const MOST_TOLD: usize = 8;

/// Room told to the hundredth, m.
const JUST: f64 = 0.15;

/// How near to abeam counts as abeam, m.
const ABEAM: f64 = 3.0;

/// Between which touchdowns, each with what lies abeam.
pub fn touchdown_window(lane: &AssessedLane, units: Units) -> String {
    let latest = lane.latest_touchdown_m.filter(|latest| *latest >= lane.earliest_touchdown_m);
    let Some(latest) = latest else { return "No touchdown leaves room for the slide".to_owned() };
    let metres = |m: f64, side| units.length(Metres::m(m), side, 0);
    let abeam = |landmark: &Option<Landmark>| {
        landmark.as_ref().map_or_else(String::new, |l| format!(" ({})", self::landmark(l, units)))
    };
    let closed = lane.approach.latest_before.as_ref();
    let closed = closed.map_or_else(String::new, |by| format!("; past that {by} stands too near the way in"));
    format!(
        "Touch down between {}{} and {}{} past the near end{closed}",
        metres(lane.earliest_touchdown_m, Side::AtMost),
        abeam(&lane.approach.earliest_abeam),
        metres(latest, Side::AtLeast),
        abeam(&lane.approach.latest_abeam),
    )
}

/// "12 m past tree t1 on the left".
pub fn landmark(l: &Landmark, units: Units) -> String {
    let (name, side) = (&l.name, l.side());
    if l.past_m.abs() <= ABEAM {
        return format!("abeam {name} on the {side}");
    }
    let away = units.length(Metres::m(l.past_m.abs()), Side::Nearest, 0);
    let way = if l.past_m > 0.0 { "past" } else { "before" };
    format!("{away} {way} {name} on the {side}")
}

/// The way in line by line.
pub fn way_in(lane: &AssessedLane, units: Units) -> Vec<String> {
    let path = &lane.approach;
    if !path.touchdown_reached {
        let mut out = vec!["No touchdown can be reached with the margins asked".to_owned()];
        out.extend(path.clearances.iter().take(MOST_TOLD).map(|c| clearance(c, units)));
        return out;
    }
    let mut out = vec![touchdown_window(lane, units)];
    out.push(path.earliest_over.as_ref().map_or_else(
        || "The near margin sets the earliest touchdown".to_owned(),
        |over| format!("Passing over {over} sets the earliest touchdown"),
    ));
    out.extend(path.clearances.iter().take(MOST_TOLD).map(|c| clearance(c, units)));
    out.extend(path.abandon.as_ref().map(|a| abandon(a, units)));
    if let Some(traded) = trade(&path.glide_trade, units) {
        out.push(traded);
    }
    out
}

/// From where it can still be broken off.
pub fn abandon(a: &AbandonFigures, units: Units) -> String {
    let place = |m: f64| {
        // Rounded to the side that leaves more time.
        let away = units.length(Metres::m(m.abs()), if m < 0.0 { Side::AtMost } else { Side::AtLeast }, 0);
        if m < 0.0 { format!("{away} before the near end") } else { format!("{away} past the near end") }
    };
    let straight = a.straight_by_m.map(|m| {
        let abeam =
            a.straight_abeam.as_ref().map_or_else(String::new, |l| format!(" ({})", landmark(l, units)));
        let over = a.straight_over.as_ref().map_or_else(String::new, |o| format!(" over {o}"));
        format!("straight ahead{over} by {}{abeam}", place(m))
    });
    let turn =
        a.turn_by_m.zip(a.turn_to).map(|(m, to)| format!("with a gentle turn to the {to} by {}", place(m)));
    let told: Vec<String> = straight.into_iter().chain(turn).collect();
    if told.is_empty() {
        return "Decide before beginning: from no place on the way in can it be broken off".to_owned();
    }
    format!("Decide to break off: {}", told.join("; "))
}

/// Decimals of the room over something: what is just cleared must not look as if it were not.
pub fn decimals_over(c: &Clearance) -> u8 {
    if c.left().abs() < JUST { 2 } else { 1 }
}

/// Room over one thing, with what is asked in its parts.
pub fn clearance(c: &Clearance, units: Units) -> String {
    let tenth = |m: f64, side| units.length(Metres::m(m), side, decimals_over(c));
    if c.lateral_m > 0.0 {
        return format!("{}: {} outside the corridor", c.name, tenth(c.lateral_m, Side::AtLeast));
    }
    let Some(over) = c.vertical_m else {
        return format!("{}: height not measured, so nothing passes over it", c.name);
    };
    let parts = [
        (c.fixed_m, "kept in any case"),
        (c.growth_m, "growth"),
        (c.accuracy_m, "accuracy"),
        (c.ground_m, "ground not known"),
    ];
    let parts: Vec<String> = parts
        .into_iter()
        .filter(|(m, _)| *m > 0.0)
        .map(|(m, what)| format!("{} {what}", tenth(m, Side::AtMost)))
        .collect();
    let hangs = c.hangs_m.map_or_else(String::new, |m| {
        format!("; it hangs {} lower there, which is not counted", tenth(m, Side::AtLeast))
    });
    format!(
        "{}: {} over it, {} asked ({}){hangs}",
        c.name,
        tenth(over, Side::AtLeast),
        tenth(c.required_m, Side::AtMost),
        parts.join(", ")
    )
}

/// What other paths would give, in one line.
fn trade(all: &[GlideTrade], units: Units) -> Option<String> {
    let told: Vec<String> = all
        .iter()
        .map(|t| {
            let sink = units.speed(t.sink_mps, Side::AtMost, 1);
            let earliest = t
                .earliest_touchdown_m
                .map_or_else(|| "none".to_owned(), |m| units.length(Metres::m(m), Side::AtMost, 0));
            format!("{} degrees {earliest}, sink {sink}", rounded(t.glide_deg, Side::Nearest, 1))
        })
        .collect();
    (!told.is_empty()).then(|| format!("Earliest touchdown by shallowest path: {}", told.join("; ")))
}
