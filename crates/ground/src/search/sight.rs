//! The things near a box as it sees them, and what its lines meet of them: see `bound` for the proof.

use super::blockers::{Blockers, Disc, Long, Near, turned};
use super::bound::{Offsets, ROUNDING, Turn};
use super::gap::Cut;
use super::piece::{Met, may_meet, surely_met};
use crate::Point;
use crate::extent::{Grown, Span, joined};

/// A disc as a box sees it.
#[derive(Clone, Copy, Debug)]
struct SeenDisc {
    i: u32,
    /// Chainage and offset of its middle.
    s: f64,
    o: f64,
    /// How far its middle lies off the band of the box's middle line; negative inside.
    off: f64,
}

impl SeenDisc {
    /// `None` where no line of the box may meet it.
    fn new(i: u32, (at, radius, band): (Point, f64, Span), turn: &Turn, b: Offsets) -> Option<Self> {
        let (s, o) = turned(at, turn.sin_t0, turn.cos_t0);
        let off = (b.y0 + band.low - o).max(o - b.y0 - band.high);
        let seen = Self { i, s, o, off };
        (off - seen.slack(turn, b) <= radius).then_some(seen)
    }

    /// The most that another line of the box differs by in `off`.
    fn slack(&self, turn: &Turn, b: Offsets) -> f64 {
        let far = self.s.abs() + self.o.abs() + 1.0;
        b.dy + self.s.abs() * turn.sin + self.o.abs() * turn.versine + ROUNDING * far
    }

    /// The most that `s''` differs by from its own chainage.
    fn room(&self, turn: &Turn, b: Offsets) -> f64 {
        let far = self.s.abs() + self.o.abs() + 1.0;
        (self.o - b.y0).abs() * turn.sin + self.s.abs() * turn.versine + ROUNDING * far
    }

    /// Whether a line of the box may meet it within a window of `s''`.
    fn may_be_within(&self, radius: f64, (turn, b): (&Turn, Offsets), window: Span) -> bool {
        Span::new(self.s, self.s).grown(radius + self.room(turn, b)).meets(window)
    }

    fn cut(&self, disc: &Disc, slack: f64, room: impl FnOnce() -> f64) -> Option<Cut> {
        let (r, off) = (disc.radius, self.off + slack);
        if off > r {
            return None;
        }
        let half = chord(r, off);
        let bridged = disc.bridged > 0.0 && 2.0 * half <= disc.bridged;
        let half = half - room();
        let cut = Cut { low: self.s - half, high: self.s + half, from: disc.from, hard: disc.hard };
        (!bridged).then_some(cut)
    }
}

/// The things near a box as it sees them.
#[derive(Default)]
pub(super) struct Sight {
    discs: Vec<SeenDisc>,
    longs: Vec<SeenDisc>,
    pieces: Vec<Grown>,
}

impl Sight {
    /// Looks anew; what no line of the box may meet is left out.
    pub(super) fn look(&mut self, blockers: &Blockers, near: &Near, turn: &Turn, b: Offsets) {
        self.discs.clear();
        self.longs.clear();
        self.pieces.clear();
        self.discs.extend(
            near.discs(blockers).filter_map(|(i, d)| SeenDisc::new(i, (d.at, d.radius, d.band), turn, b)),
        );
        for (i, long) in near.longs(blockers) {
            if let Some(seen) = SeenDisc::new(i, (long.round.0, long.round.1, long.widest), turn, b) {
                self.longs.push(seen);
                self.pieces.extend(long.turned(turn.sin_t0, turn.cos_t0));
            }
        }
    }

    /// Discs that every line of the box meets.
    pub(super) fn discs_surely_cut(&self, blockers: &Blockers, turn: &Turn, b: Offsets, cuts: &mut Vec<Cut>) {
        for (seen, disc) in self.discs(blockers) {
            if let Some(cut) = seen.cut(disc, seen.slack(turn, b), || seen.room(turn, b)) {
                cuts.push(cut);
            }
        }
    }

    /// Longer things that every line of the box meets.
    pub(super) fn longs_surely_cut(&self, blockers: &Blockers, turn: &Turn, b: Offsets, cuts: &mut Vec<Cut>) {
        for (_, long, pieces) in self.longs(blockers) {
            add_long(long, pieces, cuts, |piece, band| surely_met(piece, band, b, turn));
        }
    }

    /// What its middle line meets.
    pub(super) fn cut_in_the_middle(&self, blockers: &Blockers, b: Offsets, cuts: &mut Vec<Cut>) {
        for (seen, disc) in self.discs(blockers) {
            if let Some(cut) = seen.cut(disc, 0.0, || 0.0) {
                cuts.push(cut);
            }
        }
        for (_, long, pieces) in self.longs(blockers) {
            add_long(long, pieces, cuts, |piece, band| piece.within(band.shifted(b.y0)).map(Met::exactly));
        }
    }

    /// What some line of the box may meet within a window of `s''`.
    pub(super) fn near(&self, blockers: &Blockers, turn: &Turn, b: Offsets, window: Span) -> Near {
        let within = |seen: &SeenDisc, radius| seen.may_be_within(radius, (turn, b), window);
        let mut near = Near::with_room(self.discs.len(), self.longs.len());
        let discs = self.discs(blockers).filter(|(seen, d)| within(seen, d.radius));
        let longs = self.longs(blockers).filter(|(seen, long, pieces)| {
            let meets = |piece| may_meet(piece, long.widest, (b, turn), window);
            within(seen, long.round.1) && pieces.iter().any(meets)
        });
        near.discs.extend(discs.map(|(seen, _)| seen.i));
        near.longs.extend(longs.map(|(seen, ..)| seen.i));
        near.fitted()
    }

    fn discs<'a>(&'a self, of: &'a Blockers) -> impl Iterator<Item = (&'a SeenDisc, &'a Disc)> {
        self.discs.iter().filter_map(|seen| Some((seen, of.discs.get(seen.i as usize)?)))
    }

    /// With the pieces of each, turned.
    fn longs<'a>(&'a self, of: &'a Blockers) -> impl Iterator<Item = (&'a SeenDisc, &'a Long, &'a [Grown])> {
        let mut rest = self.pieces.as_slice();
        self.longs.iter().filter_map(move |seen| {
            let long = of.longs.get(seen.i as usize)?;
            let (own, others) = rest.split_at_checked(long.cores.len())?;
            rest = others;
            Some((seen, long, own))
        })
    }
}

fn add_long(long: &Long, pieces: &[Grown], cuts: &mut Vec<Cut>, met: impl Fn(&Grown, Span) -> Option<Met>) {
    for (from, bands) in &long.bands {
        let each = pieces.iter().flat_map(|piece| bands.iter().map(move |band| (piece, *band)));
        let met = each.filter_map(|(piece, band)| met(piece, band));
        let cut = |span: Span| Cut { low: span.low, high: span.high, from: *from, hard: long.hard };
        if long.bridged > 0.0 {
            let met: Vec<Met> = met.collect();
            let alone = met.iter().filter(|m| m.length > long.bridged).map(|m| m.span);
            let sure = met.iter().map(|m| m.span).filter(|s| s.low <= s.high).collect();
            let together = joined(sure).into_iter().filter(|s| s.high - s.low > long.bridged);
            cuts.extend(alone.chain(together).map(cut));
        } else {
            cuts.extend(met.map(|m| cut(m.span)));
        }
    }
}

/// Half the chord that a disc has within a band whose edge is off its middle.
fn chord(radius: f64, off: f64) -> f64 {
    let off = off.max(0.0);
    ((radius - off) * (radius + off)).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const T0: f64 = 0.7;

    fn blockers(discs: Vec<Disc>, longs: Vec<Long>) -> Blockers {
        Blockers { pivot: Point { x: 0.0, y: 0.0 }, hull: Vec::new(), discs, longs, steps: vec![0.0] }
    }

    fn sure(all: &Blockers, dt: f64, b: Offsets) -> Vec<Cut> {
        let (turn, mut sight, mut cuts) = (Turn::new(T0, dt), Sight::default(), Vec::new());
        sight.look(all, &Near::all(all), &turn, b);
        sight.discs_surely_cut(all, &turn, b, &mut cuts);
        sight.longs_surely_cut(all, &turn, b, &mut cuts);
        cuts
    }

    /// What one line meets, its chainages counted as those of the box.
    fn on_line(all: &Blockers, turned_by: f64, y: f64, y0: f64) -> Vec<Cut> {
        let (line, mut sight, mut cuts) = (Offsets { y0: y, dy: 0.0 }, Sight::default(), Vec::new());
        sight.look(all, &Near::all(all), &Turn::to(T0 + turned_by), line);
        sight.cut_in_the_middle(all, line, &mut cuts);
        let by = y0 * turned_by.sin();
        cuts.into_iter().map(|c| Cut { low: c.low - by, high: c.high - by, ..c }).collect()
    }

    #[test]
    fn a_disc_well_inside_the_band_is_met_by_every_line_nearly_over_its_whole_width() {
        let disc = Disc {
            at: Point { x: 100.0 * T0.sin(), y: 100.0 * T0.cos() },
            radius: 2.0,
            band: Span::new(-4.0, 4.0),
            from: 0.0,
            hard: true,
            bridged: 0.0,
        };
        // 100 m along, half a degree to either side sweeps 0.87 m; with half a metre of offset the band
        // still holds its middle, so the whole diameter stands but for 100 (1 - cos dt) = 4 mm.
        let cuts = sure(&blockers(vec![disc], vec![]), 0.5_f64.to_radians(), Offsets { y0: 0.0, dy: 0.5 });
        assert!((cuts[0].low - 98.0).abs() < 0.01 && (cuts[0].high - 102.0).abs() < 0.01, "{cuts:?}");
    }

    #[test]
    fn an_edge_across_a_wide_box_is_met_by_every_line() {
        // 200 m across at 150 m: over 7.5 degrees it is met between 150 and 150 / cos 7.5 + offsets.
        let edge = [Point { x: -100.0, y: 150.0 }, Point { x: 100.0, y: 150.0 }];
        let turned: Vec<Point> = edge
            .iter()
            .map(|p| Point { x: p.x * T0.cos() + p.y * T0.sin(), y: p.y * T0.cos() - p.x * T0.sin() })
            .collect();
        let bands = vec![(0.0, vec![Span::new(-4.0, 4.0)])];
        let long = Long::new(vec![turned], 0.001, bands).soft();
        let cuts = sure(&blockers(vec![], vec![long]), 7.5_f64.to_radians(), Offsets { y0: 0.0, dy: 10.0 });
        assert!((150.0..160.0).contains(&cuts[0].low) && (140.0..=150.0).contains(&cuts[0].high), "{cuts:?}");
    }

    fn point() -> impl Strategy<Value = Point> {
        (-200.0..200.0_f64, -200.0..200.0_f64).prop_map(|(x, y)| Point { x, y })
    }

    fn band() -> impl Strategy<Value = Span> {
        (-8.0..8.0_f64, 0.05..9.0_f64).prop_map(|(low, width)| Span::new(low, low + width))
    }

    prop_compose! {
        /// A disc or a longer piece, bridged or not.
        fn thing()(
            core in prop_oneof![
                prop::collection::vec(point(), 1..4),
                // Small pieces, so that many lie within a band.
                (point(), prop::collection::vec((-6.0..6.0_f64, -6.0..6.0_f64), 1..4)).prop_map(|(p, by)| {
                    by.into_iter().map(|(x, y)| Point { x: p.x + x, y: p.y + y }).collect::<Vec<_>>()
                }),
            ],
            radius in 0.001..4.0_f64, band in band(), bridged in prop_oneof![Just(0.0), 0.0..3.0_f64],
        ) -> Blockers {
            if let [at] = core[..] {
                let disc = Disc { at, radius, band, from: 0.0, hard: true, bridged };
                blockers(vec![disc], vec![])
            } else {
                let bands = vec![(0.0, vec![band])];
                blockers(vec![], vec![Long { bridged, ..Long::new(vec![core], radius, bands) }])
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 4000, ..ProptestConfig::default() })]
        // The claim itself: whatever is cut for a box is met by each of its lines, at least so far.
        #[test]
        fn every_line_of_a_box_meets_what_is_cut_for_it(
            all in thing(), y0 in -200.0..200.0_f64, dt in prop_oneof![0.0..0.01_f64, 0.0..0.14_f64],
            dy in prop_oneof![0.0..1.0_f64, 0.0..15.0_f64],
            lines in prop::collection::vec((-1.0..=1.0_f64, -1.0..=1.0_f64), 12),
        ) {
            for cut in sure(&all, dt, Offsets { y0, dy }) {
                for (a, b) in lines.iter().copied().chain([(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)]) {
                    let met = on_line(&all, a * dt, y0 + b * dy, y0);
                    let holds = |m: &Cut| m.low <= cut.low + 1e-9 && m.high >= cut.high - 1e-9;
                    prop_assert!(met.iter().any(holds), "{} {}: {:?} {:?}", a, b, met, cut);
                }
            }
        }

        // What is gathered near a box for one thing is all that any line of it meets.
        #[test]
        fn a_thing_that_some_line_of_a_box_meets_within_the_window_is_near_it(
            all in thing(), y0 in -200.0..200.0_f64, dt in 0.0..0.1_f64, dy in 0.0..10.0_f64, a in -1.0..=1.0_f64, b in -1.0..=1.0_f64,
            (low, length) in (-200.0..200.0_f64, 0.0..50.0_f64),
        ) {
            let window = Span::new(low, low + length);
            let met = on_line(&all, a * dt, y0 + b * dy, y0);
            let met = met.iter().any(|c| Span::new(c.low, c.high).meets(window));
            let (turn, b, mut sight) = (Turn::new(T0, dt), Offsets { y0, dy }, Sight::default());
            sight.look(&all, &Near::all(&all), &turn, b);
            let kept = sight.near(&all, &turn, b, window);
            prop_assert!(!met || !kept.is_empty());
        }
    }
}
