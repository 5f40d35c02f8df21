//! Places of a record: their middle, a point of the thing itself, and the same place moved.

use ground::Point;
use strip::record::PlaceRecord;

/// Centimetres: finer than anybody points, and readable in the file.
pub fn rounded(p: Point) -> (f64, f64) {
    let cm = |v: f64| (v * 100.0).round() / 100.0;
    (cm(p.x), cm(p.y))
}

/// As a point of the field.
pub fn point(&(x, y): &(f64, f64)) -> Point {
    Point { x, y }
}

/// Points that a place is made of.
pub fn points(place: &PlaceRecord) -> Vec<(f64, f64)> {
    match place {
        PlaceRecord::Point(e, n) => vec![(*e, *n)],
        PlaceRecord::Line(list) | PlaceRecord::Area(list) => list.clone(),
    }
}

/// Middle of a place's corners.
pub fn middle(place: &PlaceRecord) -> Point {
    match place {
        PlaceRecord::Point(e, n) => Point { x: *e, y: *n },
        PlaceRecord::Line(list) | PlaceRecord::Area(list) => {
            let count = list.len().max(1) as f64;
            let sum = list.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
            Point { x: sum.0 / count, y: sum.1 / count }
        }
    }
}

/// A point of the thing itself: the middle of a bent line may lie beside it.
pub fn on_it(place: &PlaceRecord) -> Point {
    match place {
        PlaceRecord::Line(list) if list.len() > 1 => {
            let (a, b) = (list[(list.len() - 1) / 2], list[list.len() / 2]);
            if list.len() % 2 == 1 { point(&a) } else { between(a, b) }
        }
        _ => middle(place),
    }
}

fn between(a: (f64, f64), b: (f64, f64)) -> Point {
    Point { x: f64::midpoint(a.0, b.0), y: f64::midpoint(a.1, b.1) }
}

/// A place shifted so that its middle lies at a point.
pub fn moved(place: &PlaceRecord, to: Point) -> PlaceRecord {
    shifted(place, middle(place), to)
}

/// A place shifted as one of its points goes from here to there.
pub fn shifted(place: &PlaceRecord, from: Point, to: Point) -> PlaceRecord {
    let shift = |(e, n): (f64, f64)| rounded(Point { x: e + to.x - from.x, y: n + to.y - from.y });
    match place {
        PlaceRecord::Point(e, n) => {
            let (e, n) = shift((*e, *n));
            PlaceRecord::Point(e, n)
        }
        PlaceRecord::Line(list) => PlaceRecord::Line(list.iter().copied().map(shift).collect()),
        PlaceRecord::Area(list) => PlaceRecord::Area(list.iter().copied().map(shift).collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_of_a_bent_line_lies_on_it_and_moving_keeps_its_shape() {
        let bent = PlaceRecord::Line(vec![(0.0, 0.0), (10.0, 0.0), (10.0, 40.0)]);
        assert_eq!(on_it(&bent), Point { x: 10.0, y: 0.0 });
        let to = Point { x: 15.0, y: 1.0 };
        let there = shifted(&bent, on_it(&bent), to);
        assert_eq!(there, PlaceRecord::Line(vec![(5.0, 1.0), (15.0, 1.0), (15.0, 41.0)]));
        let straight = PlaceRecord::Line(vec![(0.0, 0.0), (10.0, 4.0)]);
        assert_eq!(on_it(&straight), Point { x: 5.0, y: 2.0 });
    }
}
