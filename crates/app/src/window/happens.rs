//! What may go wrong on the best lane and where: one list for the plan and the long section.
//!
//! Invariants: every entry says in words what it is, with its value; grave is what keeps the lane from fitting.

use super::desk::Desk;
use measure::Metres;
use measure::shown::{Side, rounded};
use strip::{AssessedLane, Code, Verdict};

/// One thing that happens between two chainages.
pub struct Happening {
    /// Where it begins and ends, metres.
    pub from: f64,
    /// The same place again for what happens at one.
    pub to: f64,
    /// What, with its value.
    pub text: String,
    /// Whether it keeps the lane from fitting.
    pub grave: bool,
}

/// Everything in the order of the lane.
pub fn along(desk: Desk, lane: &AssessedLane) -> Vec<Happening> {
    let mut all = vec![touchdown(lane)];
    all.extend(heading(lane));
    all.extend(room(desk, lane));
    all.extend(ground(lane));
    all.extend(beside(lane));
    all.extend(lane.skips_at_m.map(|at| {
        let text = "keels may leave the ground".to_owned();
        Happening { from: at, to: at, text, grave: is_grave(lane, Code::Skips) }
    }));
    all.sort_by(|a, b| a.from.total_cmp(&b.from));
    all
}

fn is_grave(lane: &AssessedLane, code: Code) -> bool {
    let keeps = |verdict| matches!(verdict, Some(Verdict::Unknown | Verdict::DoesNotFit));
    lane.reasons.iter().any(|r| r.code == code && keeps(r.verdict))
}

/// How hard it is, and how the keels come down, wherever it touches.
fn touchdown(lane: &AssessedLane) -> Happening {
    let t = &lane.touchdown;
    let load = rounded(t.load_factor, Side::AtMost, 1);
    let keels = t.keel_attitude_range_deg.map_or_else(
        || "keels unknown".to_owned(),
        |(least, most)| {
            let (least, most) = (rounded(least, Side::AtLeast, 1), rounded(most, Side::AtMost, 1));
            format!("keels {least} to {most} degrees")
        },
    );
    let codes = [Code::Hardness, Code::HardnessLimit, Code::KeelAttitude, Code::SideUnknown];
    Happening {
        from: lane.earliest_touchdown_m,
        to: lane.earliest_touchdown_m + lane.scatter_m,
        text: format!("touchdown: load factor {load}, {keels}"),
        grave: codes.iter().any(|code| is_grave(lane, *code)),
    }
}

/// Where the nose may leave the lane first, of the earliest touchdown.
fn heading(lane: &AssessedLane) -> Option<Happening> {
    let from = lane.earliest_touchdown_m + lane.drift.heading_held_m?;
    let end = lane.stop_p95_m.unwrap_or(lane.length_m).max(from);
    Some(Happening { from, to: end, text: "nose may swing: wing-span circle".to_owned(), grave: false })
}

/// What leaves the least room beside the lane.
fn room(desk: Desk, lane: &AssessedLane) -> Option<Happening> {
    let room = lane.drift.least_room.as_ref()?;
    let length = |m: f64, side: Side| desk.units.length(Metres::m(m), side, 1);
    let (needed, free) = (length(room.needed_m, Side::AtMost), length(room.free_m, Side::AtLeast));
    let text = format!("{}: {needed} to the side needed, {free} free", room.thing);
    Some(Happening { from: room.chainage_m, to: room.chainage_m, text, grave: room.needed_m > room.free_m })
}

/// Ground beside the lane that drift could take it onto.
fn beside(lane: &AssessedLane) -> impl Iterator<Item = Happening> + '_ {
    let trips = if is_grave(lane, Code::Trip) { ", which may trip it" } else { "" };
    lane.drift.drifts_onto.iter().map(move |p| {
        let text = format!("drift could reach patch {}{trips}", p.id);
        Happening { from: p.from_m, to: p.to_m, text, grave: true }
    })
}

/// How near to tipping the ground brings it: all of what is soft, untested or a patch, and the least of the field.
fn ground(lane: &AssessedLane) -> impl Iterator<Item = Happening> + '_ {
    lane.balance.ground_on_lane.iter().map(|g| {
        let name = g.id.as_ref().map_or_else(|| "field".to_owned(), |id| format!("patch {id}"));
        let strength = g.strength.unwrap_or("not tested");
        let left = g.reserve.map_or_else(
            || "no balance known".to_owned(),
            |left| format!("{} % left before it tips", rounded(100.0 * left, Side::AtLeast, 0)),
        );
        let grave = g.strength.is_none() || g.reserve.is_none();
        Happening { from: g.from_m, to: g.to_m, text: format!("{name} {strength}: {left}"), grave }
    })
}
