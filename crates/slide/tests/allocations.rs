//! Many slides are worked out for one answer, so one must not ask for memory.

use measure::{CubicDensity, GroundSpeed, Headwind, Kilograms, Metres, Newtons, Slope, SquareMetres};
use slide::{Body, Slide, Station, Touchdown, Track};

#[test]
fn a_slide_over_sixty_stations_asks_for_no_memory() {
    let station = |i: u32| {
        let slope = Slope::ratio(0.002 * f64::from(i % 7) - 0.006);
        Station::even(Metres::m(5.0 * f64::from(i)), slope, (i % 3) as usize)
    };
    let track = Track::new((0..60).map(station).collect());
    let track = track.as_ref().ok();
    assert!(track.is_some());
    let length = |friction: &[f64]| {
        let body = Body {
            mass: Kilograms::kg(600.0),
            wing_area: SquareMetres::m2(14.0),
            lift_coefficient: 0.5,
            drag_coefficient: 0.1,
            idle_thrust: Newtons::n(100.0),
        };
        let slide = Slide {
            body,
            density: CubicDensity::kg_m3(1.2),
            headwind: Headwind::mps(2.0),
            track: track?,
            friction,
            settling: 1.5,
            carried: Metres::m(5.0),
            slope_score: 0.3,
            curvature_score: 0.0,
        };
        slide.length(Touchdown { at: Metres::ZERO, speed: GroundSpeed::mps(21.0) })
    };
    let mut slid = None;
    let asked = allocation_counter::measure(|| slid = length(&[0.3, 0.25, 0.2]));
    assert!(slid.is_some_and(|s| s > Metres::m(50.0)));
    assert_eq!(asked.count_total, 0);
}
