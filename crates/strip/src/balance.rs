//! Whether a slide on one lane tips over forward or digs in: what is left of the balance on every ground of the lane.
//!
//! Invariants: what is not known is taken at the end that hurts, and at the end that helps only to say "does not fit";
//! that is said only where the asked reserve is missing on every ground of the lane, as a slide may end before it
//! comes to one of them; ground that nobody tested, a moment of the air or a keel that nobody measured is unknown.
//!
//! Not here: the physics (crate `slide`), what lies where ([`crate::footing`]), the propeller and the tail
//! ([`crate::over_ground`]).

use crate::assessed_lane::GroundOnLane;
use crate::assessment::{Reason, Sense, Verdict};
use crate::bench::Bench;
use crate::code::Code;
use crate::field::Patch;
use crate::footing::Footing;
use crate::keel_way::KeelWay;
use crate::over_ground;
use crate::side::Side;
use crate::spread::Spread;
use crate::states;
use measure::{Depth, Interval, Metres, Newtons};
use serde::Serialize;
use slide::soft::strength::Strength;
use slide::soft::{Change, Outside};
use slide::tipping::Tipping;
use slide::tipping::envelope::{Envelope, worst};
use slide::tipping::sunk::{Rests, Sunk};

/// What is left of the balance at the worst, over everything that is known.
#[derive(Clone, PartialEq, Default, Debug, Serialize)]
pub struct BalanceFigures {
    /// Reserve against tipping forward: 1 when nothing tips it, 0 when it goes over; absent where it digs in or
    /// something needed is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tipping_reserve: Option<f64>,
    /// Chainage at which the ground of the least reserve begins.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tipping_at_m: Option<f64>,
    /// Whether the keels come to no balance on ground that was tested.
    pub digs_in: bool,
    /// How deep the keels sink on ground that was tested, where they come to a balance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keel_sinkage_m: Option<f64>,
    /// Ploughing there, as it counts for tipping: an upper bound; none is credited to the length of a slide.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ploughing_n: Option<f64>,
    /// In words, where that sinkage lies outside the range in which soils were fitted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outside_range: Option<&'static str>,
    /// Under the lowest tip of the propeller.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub propeller_clearance_m: Option<f64>,
    /// Under the wing tip, banked and with one keel sunk.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wing_tip_clearance_m: Option<f64>,
    /// Reserve against dropping back on the tail once stopped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tail_reserve: Option<f64>,
    /// The softest class of ground that would leave the asked reserve, come upon suddenly with the field's friction.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub softest_ground: Option<&'static str>,
    /// Ground between earliest touchdown and far end: the field, then patches.
    pub ground_on_lane: Vec<GroundOnLane>,
}

/// What the balance of one lane is judged from.
pub(crate) struct Standing<'a> {
    pub(crate) bench: &'a Bench<'a>,
    pub(crate) spread: &'a Spread,
    pub(crate) way: &'a KeelWay,
    /// From the earliest touchdown to the far end.
    pub(crate) window: (Metres, Metres),
    pub(crate) footings: Vec<Footing>,
}

/// One ground, as the keels do on it.
struct Trodden<'a> {
    footing: &'a Footing,
    /// At the worst, with every class that it may be.
    worst: Sunk,
    /// Every corner, untested ground taken as the firmest class: what else there is to say of it.
    corners: Vec<Sunk>,
    best: Sunk,
}

/// Figures and reasons of one lane between its earliest touchdown and its far end.
pub(crate) fn judged(
    bench: &Bench,
    spread: &Spread,
    way: &KeelWay,
    patches: &[(&Patch, Interval<Metres>)],
    window: (Metres, Metres),
) -> (BalanceFigures, Vec<Reason>) {
    let footings = Footing::all(bench, patches, window);
    let standing = Standing { bench, spread, way, window, footings };
    let mut figures = BalanceFigures {
        ground_on_lane: standing.footings.iter().map(|f| f.told(None)).collect(),
        ..BalanceFigures::default()
    };
    let mut reasons: Vec<Reason> = standing.untested().into_iter().collect();
    if let Some(side) = &bench.aircraft.side {
        reasons.extend(standing.balance(side, &mut figures));
    }
    (figures, reasons)
}

impl<'a> Standing<'a> {
    /// Patches of the lane.
    pub(crate) fn patches(&self) -> impl Iterator<Item = &'a Patch> + '_ {
        let strip = self.bench.strip;
        let named = self.footings.iter().filter_map(|f| f.id.as_deref());
        named.filter_map(|id| strip.patches.iter().find(|p| p.id == id))
    }

    /// What nobody tested, by name.
    fn untested(&self) -> Option<Reason> {
        let untested = self.footings.iter().filter(|f| f.strength.is_none());
        let names: Vec<String> = untested.map(Footing::name).collect();
        let text = || format!("{}: {}", Code::SoftGround.help(), names.join(", "));
        (!names.is_empty()).then(|| Reason::plain(Code::SoftGround, Verdict::Unknown, text()))
    }

    fn balance(&self, side: &Side, figures: &mut BalanceFigures) -> Vec<Reason> {
        let unmeasured = self.unmeasured(side);
        let trodden: Vec<Trodden> = self.footings.iter().map(|f| self.trodden(side, f)).collect();
        let asked = self.bench.settings.tipping_reserve;
        let hopeless = trodden.iter().all(|t| !t.best.tipping.leaves(asked));
        if !unmeasured.is_empty() {
            let verdict = Verdict::Unknown;
            let text = format!("{}: nobody measured {}", Code::Tipping.help(), unmeasured.join(" and "));
            return vec![Reason::plain(Code::Tipping, verdict, text)];
        }
        self.fill(side, &trodden, figures);
        let rests = trodden.iter().flat_map(|t| &t.corners).filter_map(|c| c.rests);
        let (clearance, propeller) = over_ground::propeller(self, side, rests);
        let (tail, tail_over) = over_ground::tail_over(self, side);
        let sinkage = Depth::m(figures.keel_sinkage_m.unwrap_or(0.0));
        let (tip, wing_tip) = over_ground::wing_tip(self, sinkage);
        figures.wing_tip_clearance_m = tip;
        (figures.propeller_clearance_m, figures.tail_reserve) = (clearance, tail);
        let tipping = self.tipping_reason(&trodden, hopeless);
        let digs_in = digs_in_reason(&trodden);
        // Where the keels come to no balance, or nobody tested, how they rest is only known of the rest of the lane.
        let rests_everywhere = trodden.iter().all(|t| t.worst.tipping != Tipping::DigsIn);
        let held = [tipping, propeller, wing_tip].into_iter().flatten();
        let held = held.map(|reason| if rests_everywhere { reason } else { unknown_at_best(reason) });
        held.chain(digs_in).chain(tail_over).collect()
    }

    /// Names of measures of the aircraft without which there is no worst.
    fn unmeasured(&self, side: &Side) -> Vec<&'static str> {
        let moment = side.nose_down_moment_m3.is_none().then_some("the nose-down moment of the air");
        let keel = self.bench.aircraft.keel_length.is_none().then_some("the length of the flat keel");
        moment.into_iter().chain(keel).collect()
    }

    fn trodden<'b>(&self, side: &Side, footing: &'b Footing) -> Trodden<'b> {
        let states = states::of(self, side, footing.friction);
        let on = |soil| -> Vec<Sunk> {
            let loaded = footing.loaded(&self.footings).into_iter();
            loaded
                .flat_map(|l| {
                    let friction = Interval::spanning(footing.friction.low(), l.friction);
                    Envelope { friction, ..states }.corners(soil, l.change)
                })
                .collect()
        };
        let firmest_tested = footing.strength.unwrap_or(Strength::Hard).softest_soil();
        let corners = on(firmest_tested);
        let tested = footing.strength.is_some();
        let at_worst = if tested { worst(corners.iter().copied()) } else { worst(on(footing.softest())) };
        Trodden { footing, worst: at_worst, corners, best: states.best(footing.firmest()) }
    }

    fn fill(&self, side: &Side, trodden: &[Trodden], figures: &mut BalanceFigures) {
        let left = |t: &Trodden| reserve(t.worst);
        let least =
            trodden.iter().reduce(|a, b| if b.worst.tipping.is_worse_than(a.worst.tipping) { b } else { a });
        figures.tipping_reserve = least.and_then(left);
        figures.tipping_at_m = least.map(|t| t.footing.span.low().to_m());
        let tested = || trodden.iter().filter(|t| t.footing.strength.is_some());
        figures.digs_in = tested().any(|t| t.worst.tipping == Tipping::DigsIn);
        let rests = || tested().flat_map(|t| &t.corners).filter_map(|c| c.rests);
        figures.keel_sinkage_m = rests().map(|r| r.deepest()).reduce(Depth::max).map(Depth::to_m);
        figures.ploughing_n = rests().map(|r| r.ploughing).reduce(Newtons::max).map(Newtons::to_n);
        let deeper = |a: Rests, b: Rests| if b.deepest() > a.deepest() { b } else { a };
        figures.outside_range = rests().reduce(deeper).and_then(|r| r.outside).map(outside);
        figures.softest_ground = self.softest(side).map(|s| s.class().name);
        figures.ground_on_lane = trodden.iter().map(|t| t.footing.told(left(t))).collect();
    }

    /// The softest class that leaves the asked reserve where it is come upon suddenly.
    fn softest(&self, side: &Side) -> Option<Strength> {
        let states = states::of(self, side, self.footings.first()?.friction);
        let asked = self.bench.settings.tipping_reserve;
        let holds =
            |class: &Strength| states.worst(class.softest_soil(), Change::Sudden).tipping.leaves(asked);
        // Classes soften in order, so the last that holds before one fails is the softest.
        Strength::ALL.into_iter().take_while(holds).last()
    }

    fn tipping_reason(&self, trodden: &[Trodden], hopeless: bool) -> Option<Reason> {
        let each = trodden.iter().filter_map(|t| Some((t, reserve(worst(t.corners.iter().copied()))?)));
        let least = each.reduce(|a, b| if b.1 < a.1 { b } else { a });
        let Some((at, left)) = least else {
            // It digs in all along at the worst, so there is no figure; at the best too little may be left.
            let tips = || Reason::plain(Code::Tipping, Verdict::DoesNotFit, Code::Tipping.help());
            return hopeless.then(tips);
        };
        let asked = self.bench.settings.tipping_reserve;
        let verdict = if hopeless { Verdict::DoesNotFit } else { self.bench.at_least(left, asked) };
        let untested = if at.footing.strength.is_none() { ", were its ground hard" } else { "" };
        let text = format!("{}: on {}{untested}", Code::Tipping.help(), at.footing.name());
        let reason =
            Reason::held(Code::Tipping, verdict, (left * PER_CENT, Sense::NotBelow, asked * PER_CENT), "%");
        Some(Reason { text, ..reason })
    }
}

/// The same reason, unknown where it says more.
fn unknown_at_best(mut reason: Reason) -> Reason {
    reason.verdict = reason.verdict.map(|v| v.ruling(Verdict::Unknown));
    reason.text.push_str(", where the keels rest");
    reason
}

/// Names the tested ground on which the keels come to no balance.
fn digs_in_reason(trodden: &[Trodden]) -> Option<Reason> {
    let digs = |t: &&Trodden| t.footing.strength.is_some() && t.worst.tipping == Tipping::DigsIn;
    let names: Vec<String> = trodden.iter().filter(digs).map(|t| t.footing.name()).collect();
    let surely = trodden.iter().all(|t| t.best.tipping == Tipping::DigsIn);
    let verdict = if surely { Verdict::DoesNotFit } else { Verdict::Unknown };
    let text = || format!("{}: on {}", Code::DigsIn.help(), names.join(", "));
    (!names.is_empty()).then(|| Reason::plain(Code::DigsIn, verdict, text()))
}

/// Per cent in a whole: reserves are told so.
pub(crate) const PER_CENT: f64 = 100.0;

/// What is left; `None` where it digs in.
fn reserve(sunk: Sunk) -> Option<f64> {
    match sunk.tipping {
        Tipping::Reserve(left) => Some(left),
        Tipping::Light { .. } | Tipping::DigsIn => None,
    }
}

/// Which range is left, in words.
const fn outside(range: Outside) -> &'static str {
    match range {
        Outside::Width => "keel shoes narrower or wider than the plates that soils were pressed with",
        Outside::Pressure => "pressure outside that of the tests of soils",
        Outside::Sinkage => "sinkage outside that of the tests of soils",
    }
}
