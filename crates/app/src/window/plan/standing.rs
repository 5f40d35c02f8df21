//! Things in the air path as the plan knows them: what they are called, which of them lie near the field, which lies
//! under the pointer. How they look is drawn in [`super::signs`].

use super::super::desk::{Desk, Item};
use super::super::obstacles::point_name;
use super::super::places::{point, points};
use super::View;
use eframe::egui::Pos2;
use ground::Point;
use strip::record::{ObstacleRecord, PlaceRecord};

/// How near a click has to be to count as on a thing, and how far a wide thing reaches, points.
const REACH: (f32, f32) = (9.0, 40.0);

/// Obstacles whose points lie no farther from the field than this share of its size are on screen when it is opened.
const NEAR_FIELD: f64 = 0.5;

/// "tree t1, 11 m high".
pub(in super::super) fn obstacle_name(desk: Desk, o: &ObstacleRecord) -> String {
    format!("{} {}, {}", o.kind.name(), o.id, height_words(desk, o))
}

/// "11 m high"; what the strip itself would not count is not measured.
pub(super) fn height_words(desk: Desk, o: &ObstacleRecord) -> String {
    let count = points(&o.at).len();
    if let Some(top) = o.top_m {
        return format!("top {} over the datum", desk.given(top));
    }
    if let Some(height) = o.height_m {
        return format!("{} high", desk.given(height));
    }
    let lowest = o.heights_m.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = o.heights_m.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let name = point_name(o.kind);
    match o.heights_m.len() {
        0 => "not measured".to_owned(),
        some if some != count => format!("measured at {some} of {count} {name}s: counts as not measured"),
        _ if lowest < highest => {
            format!("{} to {} high at its {name}s", desk.given(lowest), desk.given(highest))
        }
        _ => format!("{} high", desk.given(highest)),
    }
}

/// Points of obstacles that lie near the field, so that a view that fits them still shows the field well.
pub(super) fn near_field(corners: &[Point], all: &[ObstacleRecord]) -> Vec<Point> {
    let (first, rest) = match corners {
        [first, rest @ ..] => (*first, rest),
        [] => return Vec::new(),
    };
    let (low, high) = rest.iter().fold((first, first), |(low, high), p| {
        (Point { x: low.x.min(p.x), y: low.y.min(p.y) }, Point { x: high.x.max(p.x), y: high.y.max(p.y) })
    });
    let by = NEAR_FIELD * (high.x - low.x).max(high.y - low.y);
    let near =
        |p: &Point| (low.x - by..=high.x + by).contains(&p.x) && (low.y - by..=high.y + by).contains(&p.y);
    all.iter().flat_map(|o| points(&o.at)).map(|p| point(&p)).filter(near).collect()
}

/// The obstacle under a place on screen.
pub(super) fn under(view: &View, desk: Desk, at: Pos2) -> Option<Item> {
    let all = desk.document.edition().strip.obstacles.iter().enumerate();
    let away = all.map(|(i, o)| {
        let on_screen: Vec<Pos2> = points(&o.at).iter().map(|p| view.screen_from_field(point(p))).collect();
        let closed = matches!(o.at, PlaceRecord::Area(_));
        let reach = (o.radius_m as f32 * view.scale()).clamp(REACH.0, REACH.1);
        (i, distance(&on_screen, closed, at) - reach)
    });
    let nearest = away.min_by(|a, b| a.1.total_cmp(&b.1))?;
    (nearest.1 <= 0.0).then_some(Item::Obstacle(nearest.0))
}

/// From a place to a line on screen.
fn distance(line: &[Pos2], closed: bool, at: Pos2) -> f32 {
    let spans = line.windows(2).map(|w| (w[0], w[1]));
    let last = line.last().zip(line.first()).filter(|_| closed || line.len() == 1);
    let spans = spans.chain(last.map(|(a, b)| (*a, *b)));
    let away = spans.map(|(a, b)| {
        let along = b - a;
        let share = ((at - a).dot(along) / along.length_sq().max(f32::MIN_POSITIVE)).clamp(0.0, 1.0);
        (a + along * share - at).length()
    });
    away.fold(f32::INFINITY, f32::min)
}

#[cfg(test)]
mod tests {
    use super::super::super::obstacles::marked;
    use super::*;
    use eframe::egui::pos2;
    use strip::record::ObstacleKindRecord;

    #[test]
    fn only_what_is_near_the_field_is_shown_with_it() {
        let field = [Point { x: 0.0, y: 0.0 }, Point { x: 400.0, y: 100.0 }];
        let at = |e, n| {
            let at = Point { x: e, y: n };
            let tree = ObstacleKindRecord::Tree;
            marked("t".to_owned(), tree, at, "2026-04-02".to_owned())
        };
        assert_eq!(near_field(&field, &[at(-199.0, 50.0)]).len(), 1);
        assert_eq!(near_field(&field, &[at(-201.0, 50.0), at(50.0, 301.0)]).len(), 0);
        assert!(near_field(&[], &[at(0.0, 0.0)]).is_empty());
    }

    #[test]
    fn a_click_beside_a_span_is_as_far_from_it_as_it_looks() {
        let line = [pos2(0.0, 0.0), pos2(100.0, 0.0)];
        assert!((distance(&line, false, pos2(50.0, 7.0)) - 7.0).abs() < 1e-4);
        assert!((distance(&line[..1], false, pos2(3.0, 4.0)) - 5.0).abs() < 1e-4);
    }
}
