//! The searches of one assessment, and what one leaves for the next.

use crate::aims;
use crate::assess::Cancelled;
use crate::judge::Bench;
use ground::{Aim, Cover, Found, Goal, SectorLength, Stretch, by_heading, distinct_lanes, found};
use measure::Metres;
use std::ops::ControlFlow;

/// Most lanes that are judged, and least difference between their headings, degrees (judgement: as
/// many as a person compares, and no two that are the same lane a little turned).
const MOST_LANES: usize = 8;
const DISTINCT_DEG: f64 = 15.0;

/// Shares of the work, as told while it goes on.
const LONGEST_DONE: f64 = 0.4;
const SPARE_DONE: f64 = 0.8;

/// What was known of the lanes of the field last looked at, to begin from when one thing moves.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    longest: Option<Cover>,
    spare: Option<(Aim, Cover)>,
}

/// What the searches found.
pub(crate) struct Hunt {
    /// The longest clear lane, and its bound.
    pub(crate) longest: Found,
    /// The same by heading.
    pub(crate) by_heading: Vec<SectorLength>,
    /// Distinct lanes, most spare first.
    pub(crate) lanes: Vec<Stretch>,
    /// What they were ranked by, with all that is known of the other lanes.
    pub(crate) aim: Aim,
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

    let begin = |old: Option<Cover>, aim: &Aim| match old {
        Some(cover) => cover.changed_to(&bench.obstructions, aim),
        None => Cover::new(&bench.obstructions),
    };
    let longest = begin(old.longest, &any).refined(&any, goal(fine), &|s| step(s * LONGEST_DONE))?;
    let same_aim = old.spare.filter(|(a, _)| *a == aim).map(|(_, cover)| cover);
    let rest = SPARE_DONE - LONGEST_DONE;
    let cover = begin(same_aim, &aim).refined(&aim, goal(None), &|s| step(LONGEST_DONE + s * rest))?;
    if let Some(memory) = memory {
        *memory = Memory { longest: Some(longest.clone()), spare: Some((aim.clone(), cover.clone())) };
    }
    Ok(Hunt {
        by_heading: by_heading(&longest),
        longest: found(&longest, &any),
        lanes: distinct_lanes(&cover, &aim, MOST_LANES, DISTINCT_DEG.to_radians()),
        aim,
        cover,
    })
}

/// The most that any lane of the field could have left over, metres, if that is less than nothing: a
/// bound that covers every lane.
pub(crate) fn proven_too_short(bench: &Bench, aim: &Aim, step: Step) -> Result<Option<f64>, Cancelled> {
    let say = |s: f64| step(SPARE_DONE + s * (1.0 - SPARE_DONE));
    let cover = Cover::new(&bench.obstructions).refined(aim, Goal::Reach(0.0), &say)?;
    if cover.bound() > 0.0 {
        return Ok(None);
    }
    // Nothing reaches; how far it is from it is worth a closer look.
    let tolerance = Metres::m(bench.settings.search_tolerance_m);
    let cover = cover.refined(aim, Goal::Within { tolerance, by_heading: None }, &say)?;
    Ok(Some(cover.bound()).filter(|bound| *bound < 0.0))
}
