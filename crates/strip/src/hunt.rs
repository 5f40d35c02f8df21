//! The searches of one assessment, and what one leaves for the next.

use crate::aims;
use crate::assess::Cancelled;
use crate::judge::Bench;
use ground::{Aim, Cover, Found, Goal, SectorLength, Stretch, by_heading, distinct_lanes, found};
use measure::Metres;
use std::ops::ControlFlow;

/// Most lanes that are judged (judgement: as many as a person compares, and no two that are the same lane a
/// little turned).
const MOST_LANES: usize = 8;

/// Most lanes of a first look, which has to follow a finger.
const MOST_LANES_AT_FIRST: usize = 3;

/// Least difference between their headings, degrees.
const DISTINCT_DEG: f64 = 15.0;

/// Shares of the work, as told while it goes on.
const LONGEST_DONE: f64 = 0.3;
pub(crate) const SPARE_DONE: f64 = 0.6;
pub(crate) const GAINS_DONE: f64 = 0.9;

/// What was known of the lanes of the field last looked at, to begin from when one thing moves.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    longest: Option<Cover>,
    spare: Option<Cover>,
}

/// What the searches found.
pub(crate) struct Hunt {
    /// The longest clear lane, and its bound.
    pub(crate) longest: Found,
    /// How many boxes hold every line between them.
    pub(crate) boxes: usize,
    /// The same by heading.
    pub(crate) by_heading: Vec<SectorLength>,
    /// Distinct lanes, most spare first, and the longest if it is none of them.
    pub(crate) lanes: Vec<Stretch>,
    /// All that is known of the other lanes, by what they were ranked by.
    pub(crate) cover: Cover,
}

/// Told the share of the work done; may break off.
pub(crate) type Step<'a> = &'a dyn Fn(f64) -> ControlFlow<()>;

/// Looks for the longest lane and for those with most to spare. From memory it begins where the last
/// search ended and leaves single directions coarse.
pub(crate) fn hunt(bench: &Bench, memory: Option<&mut Memory>, step: Step) -> Result<Hunt, Cancelled> {
    let room = Metres::m(bench.settings.search_tolerance_m);
    let fine = memory.is_none().then(|| Metres::m(bench.settings.search_by_heading_m));
    let goal = |by_heading| Goal::Within { tolerance: room, by_heading };
    let (aim, any) = (aims::spare(bench), Aim::longest());
    let old = memory.as_deref().cloned().unwrap_or_default();

    let begin = |old: Option<Cover>| match old {
        Some(cover) => cover.changed_to(&bench.obstructions),
        None => Cover::new(&bench.obstructions),
    };
    let longest = begin(old.longest).refined(&any, goal(fine), &|s| step(s * LONGEST_DONE))?;
    let rest = SPARE_DONE - LONGEST_DONE;
    let cover = begin(old.spare).refined(&aim, goal(None), &|s| step(LONGEST_DONE + s * rest))?;
    let most = if memory.is_some() { MOST_LANES_AT_FIRST } else { MOST_LANES };
    let mut lanes = distinct_lanes(&cover, most, DISTINCT_DEG.to_radians());
    let (by_heading, boxes, best) = (by_heading(&longest), longest.boxes(), found(&longest));
    if let Some(memory) = memory {
        *memory = Memory { longest: Some(longest), spare: Some(cover.clone()) };
    }
    // The longest lane is one to show, though others have more to spare.
    let as_long = |s: &Stretch, best: &Stretch| s.lane.length + room >= best.lane.length;
    if let Some(lane) = best.best.filter(|best| !lanes.iter().any(|s| as_long(s, best))) {
        lanes.push(lane);
    }
    Ok(Hunt { longest: best, boxes, by_heading, lanes, cover })
}

/// The most that any lane of the field could have left over, metres, if that is less than nothing: a
/// bound that covers every lane.
pub(crate) fn proven_too_short(bench: &Bench, aim: &Aim, step: Step) -> Result<Option<f64>, Cancelled> {
    let say = |s: f64| step(GAINS_DONE + s * (1.0 - GAINS_DONE));
    let cover = Cover::new(&bench.obstructions).refined(aim, Goal::Reach(0.0), &say)?;
    if cover.bound() > 0.0 {
        return Ok(None);
    }
    // Nothing reaches; how far it is from it is worth a closer look.
    let tolerance = Metres::m(bench.settings.search_tolerance_m);
    let cover = cover.refined(aim, Goal::Within { tolerance, by_heading: None }, &say)?;
    Ok(Some(cover.bound()).filter(|bound| *bound < 0.0))
}
