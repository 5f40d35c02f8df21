//! Closed touchdowns, worked by hand and as laws.

use super::*;
use proptest::prelude::*;

/// 5 % down: 1 m in 20 m.
const TANGENT: f64 = 0.05;

const CORRIDOR: Corridor = Corridor { before: Metres::m(10.0), on_lane: Metres::m(3.0), splay: 0.1 };

/// An aircraft of 10 m span all at the height of its keels.
fn slab(_: Metres) -> Metres {
    Metres::m(5.0)
}

/// A disc about a point, as the ground would tell it.
#[derive(Clone, Copy, Debug)]
struct Disc {
    chainage: f64,
    offset: f64,
    radius: f64,
}

impl Disc {
    fn within(self, half: Metres) -> Vec<Interval<Metres>> {
        let away = (self.offset.abs() - half.to_m()).max(0.0);
        if away > self.radius {
            return Vec::new();
        }
        let reach = (self.radius * self.radius - away * away).sqrt();
        vec![Interval::spanning(Metres::m(self.chainage - reach), Metres::m(self.chainage + reach))]
    }

    fn standing(self, height: Metres, within: &dyn Fn(Metres) -> Vec<Interval<Metres>>) -> Standing<'_> {
        Standing {
            before: height,
            on_lane: height,
            along: Interval::spanning(
                Metres::m(self.chainage - self.radius),
                Metres::m(self.chainage + self.radius),
            ),
            distance: Metres::m((self.offset.abs() - self.radius).max(0.0)),
            within,
            reach: &slab,
        }
    }

    /// How it is passed on the way to a touchdown over level ground.
    fn passed(self, height: f64, touchdown: f64) -> Option<Passed> {
        self.passed_near(height, touchdown, f64::INFINITY)
    }

    /// The same where it lies no farther outside the corridor.
    fn passed_near(self, height: f64, touchdown: f64, near: f64) -> Option<Passed> {
        let within = move |half| self.within(half);
        let thing = self.standing(Metres::m(height), &within);
        passed(
            &Descent::new(TANGENT, Floor::level()),
            &CORRIDOR,
            &thing,
            (Metres::m(touchdown), Metres::m(near)),
        )
    }

    fn closes(self, tangent: f64, floor: Floor, height: f64) -> Vec<Interval<Metres>> {
        let within = move |half| self.within(half);
        let height = Metres::m(height);
        let thing = self.standing(height, &within);
        closed(&Descent::new(tangent, floor), &CORRIDOR, &thing, Metres::m(1000.0))
    }
}

fn left(within: (f64, f64), closed: Vec<Interval<Metres>>) -> Vec<(f64, f64)> {
    let all = Interval::spanning(Metres::m(within.0), Metres::m(within.1));
    open(all, closed).iter().map(|i| (i.low().to_m(), i.high().to_m())).collect()
}

#[track_caller]
fn check(got: &[(f64, f64)], expected: &[(f64, f64)]) {
    assert_eq!(got.len(), expected.len(), "{got:?}");
    for (g, e) in got.iter().zip(expected) {
        assert!((g.0 - e.0).abs() < 1e-9 && (g.1 - e.1).abs() < 1e-9, "{got:?}");
    }
}

#[test]
fn a_tree_before_the_lane_is_cleared_from_where_the_path_is_as_high() {
    // 20 m at 5 % is 400 m past the far side of the crown, which is at -56 m.
    let tree = Disc { chainage: -60.0, offset: 3.0, radius: 4.0 };
    check(&left((10.0, 500.0), tree.closes(TANGENT, Floor::level(), 20.0)), &[(344.0, 500.0)]);
}

#[test]
fn a_tree_beside_the_lane_closes_touchdowns_past_it_once_the_corridor_reaches_it() {
    // At 100 m, 30 m out, crown 5 m: reached where 5 m of wing and 10 % of the way back make 25 m, 200 m on;
    // the cell that holds it begins at 180 m. Over it from 105 m + 30/0.05 on.
    let tree = Disc { chainage: 100.0, offset: 30.0, radius: 5.0 };
    let open = left((10.0, 900.0), tree.closes(TANGENT, Floor::level(), 30.0));
    assert_eq!(open.len(), 2, "{open:?}");
    assert!(
        (open[0].0 - 10.0).abs() < 1e-9 && (100.0 + 180.0 - 5.0..=300.0).contains(&open[0].1),
        "{open:?}"
    );
    assert!((open[1].0 - 705.0).abs() < 1e-9, "{open:?}");
}

#[test]
fn a_thing_is_passed_over_where_it_ends_or_beside_the_corridor_or_lies_beyond() {
    let tree = Disc { chainage: -60.0, offset: 3.0, radius: 4.0 };
    assert_eq!(tree.passed(20.0, 344.0), Some(Passed::Over(Metres::m(-56.0))));
    // Touching down at the near end the corridor is 10 m, 6.4 to 8 m of splay (the end of its cell) and 5 m of aircraft.
    let far = Disc { chainage: -64.0, offset: 50.0, radius: 4.0 };
    let Some(Passed::Beside(by)) = far.passed(2.0, 0.0) else { panic!("beside") };
    assert!((by.to_m() - (46.0 - 15.0 - 7.0)).abs() < 1e-9, "{by:?}");
    assert_eq!(Disc { chainage: 90.0, ..tree }.passed(2.0, 50.0), None);
}

#[test]
fn what_the_corridor_does_not_reach_closes_nothing() {
    let far = Disc { chainage: -40.0, offset: 80.0, radius: 5.0 };
    assert!(far.closes(TANGENT, Floor::level(), 10.0).is_empty());
}

#[test]
fn what_no_path_clears_closes_everything_behind_it_whatever_the_splay() {
    let (before, reach) = (Metres::m(f64::INFINITY), |_: Metres| Metres::m(5.0));
    let along = Interval::spanning(Metres::m(-40.0), Metres::m(-39.0));
    // Beside the centre line, within the corridor before the lane and outside that on the lane.
    let within = |half: Metres| if half >= Metres::m(9.0) { vec![along] } else { Vec::new() };
    let thing =
        Standing { before, on_lane: before, along, distance: Metres::m(9.0), within: &within, reach: &reach };
    for splay in [0.0, 1e-9, 0.1] {
        for tangent in [TANGENT, 0.0, -0.01] {
            let descent = Descent::new(tangent, Floor::level());
            let shut = closed(&descent, &Corridor { splay, ..CORRIDOR }, &thing, Metres::m(400.0));
            for touchdown in [0.0, 100.0, 399.0] {
                assert!(is_closed(&shut, touchdown), "splay {splay}, tangent {tangent}: {shut:?}");
            }
        }
    }
}

#[test]
fn touching_down_on_higher_ground_clears_sooner() {
    // Ground that steps up by 2 m at 100 m: 5 m over a fence at the near end is cleared from 60 m on up there, but
    // below the step not before 100 m.
    let step = Floor::new(Metres::m(100.0), vec![Metres::ZERO, Metres::m(2.0)]);
    let descent = Descent::new(TANGENT, step);
    assert_eq!(descent.clears_from(Metres::ZERO, Metres::m(5.0)), Metres::m(100.0));
    assert_eq!(descent.clears_from(Metres::ZERO, Metres::m(8.0)), Metres::m(120.0));
}

#[test]
fn a_path_that_does_not_rise_behind_clears_nothing_that_stands() {
    let descent = Descent::new(-0.001, Floor::level());
    assert_eq!(descent.clears_from(Metres::ZERO, Metres::m(0.1)), Metres::m(f64::INFINITY));
    assert_eq!(descent.clears_from(Metres::ZERO, Metres::ZERO), Metres::m(f64::NEG_INFINITY));
}

#[test]
fn a_headwind_steepens_the_path_over_the_ground_and_a_tail_wind_flattens_it() {
    // 20 m/s at 3 degrees sinks 1.0467 m/s; over the ground 15 m/s less the cosine's 0.0274 m/s.
    let at = |wind| over_ground(3_f64.to_radians(), AirSpeed::mps(20.0), Headwind::mps(wind)).to_degrees();
    assert!((at(0.0) - 3.0).abs() < 1e-12);
    assert!((at(5.0) - (1.046_719_f64 / 14.972_591).atan().to_degrees()).abs() < 1e-6);
    assert!(at(-5.0) < 3.0);
}

fn disc() -> impl Strategy<Value = Disc> {
    (-300.0..300.0_f64, -60.0..60.0_f64, 0.0..8.0_f64).prop_map(|(chainage, offset, radius)| Disc {
        chainage,
        offset,
        radius,
    })
}

fn is_closed(closed: &[Interval<Metres>], at: f64) -> bool {
    closed.iter().any(|c| c.low().to_m() - 1e-9 <= at && at < c.high().to_m() - 1e-9)
}

proptest! {
    /// Looked at point by point: wherever the path is too low within the corridor, the touchdown is closed.
    #[test]
    fn no_touchdown_is_open_from_which_a_point_of_the_thing_is_too_near(
        d in disc(), height in 0.1..40.0_f64, touchdown in 0.0..500.0_f64, round in 0.0..6.3_f64, out in 0.0..1.0_f64,
        low in prop::collection::vec(-3.0..3.0_f64, 1..6),
    ) {
        let floor = Floor::new(Metres::m(60.0), low.into_iter().map(Metres::m).collect());
        let (s, o) = (d.chainage + out * d.radius * round.cos(), d.offset + out * d.radius * round.sin());
        let ahead = Metres::m(touchdown - s);
        let half = if s < 0.0 { CORRIDOR.before_lane(ahead) } else { CORRIDOR.over_lane(ahead) };
        let path = (floor.at(Metres::m(touchdown)) + ahead * TANGENT).to_m();
        let too_near = ahead > Metres::ZERO && o.abs() < half.to_m() + 5.0 && path < height - 1e-9;
        if too_near {
            prop_assert!(is_closed(&d.closes(TANGENT, floor, height), touchdown));
        }
    }

    #[test]
    fn only_what_lies_farther_outside_is_left_out(
        disc in disc(), height in 0.0..30.0_f64, near in 0.0..60.0_f64,
        touchdown in prop_oneof![0.0..300.0_f64, (0..12).prop_map(|i| f64::from(i) * 25.0)],
    ) {
        let is_near = |passed: &Passed| match passed {
            Passed::Over(_) => true,
            Passed::Beside(by) => *by <= Metres::m(near),
        };
        let all = disc.passed(height, touchdown).filter(is_near);
        prop_assert_eq!(disc.passed_near(height, touchdown, near), all);
    }

    #[test]
    fn a_higher_or_larger_thing_and_a_shallower_path_open_nothing(
        d in disc(), height in 0.1..40.0_f64, more in 0.0..10.0_f64, touchdown in 0.0..500.0_f64, less in 0.2..1.0_f64,
    ) {
        let before = is_closed(&d.closes(TANGENT, Floor::level(), height), touchdown);
        let wider = Disc { radius: d.radius + more, ..d };
        for after in [
            d.closes(TANGENT, Floor::level(), height + more),
            wider.closes(TANGENT, Floor::level(), height),
            d.closes(TANGENT * less, Floor::level(), height),
            d.closes(TANGENT, Floor::new(Metres::m(1.0), vec![Metres::m(-more)]), height),
        ] {
            prop_assert!(!before || is_closed(&after, touchdown));
        }
    }

    #[test]
    fn what_is_left_open_is_in_order_and_holds_nothing_closed(
        spans in prop::collection::vec((0.0..100.0_f64, 0.0..30.0_f64), 0..8), at in 0.0..100.0_f64,
    ) {
        let span = |&(from, long): &(f64, f64)| Interval::spanning(Metres::m(from), Metres::m(from + long));
        let closed: Vec<_> = spans.iter().map(span).collect();
        let open = left((0.0, 100.0), closed.clone());
        let inside = |a: f64, b: f64| a + 1e-9 < at && at < b - 1e-9;
        let shut = closed.iter().any(|c| inside(c.low().to_m(), c.high().to_m()));
        prop_assert!(!(shut && open.iter().any(|&(a, b)| inside(a, b))));
        prop_assert!(open.windows(2).all(|w| w[0].1 < w[1].0));
    }
}
