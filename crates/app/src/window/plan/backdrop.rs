//! What lies under the things on the plan: ground, edges with their kinds, patches, scale and north.

use super::super::desk::Desk;
use super::super::edition::rings;
use super::View;
use eframe::egui::{Align2, Color32, FontId, Mesh, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use ground::Point;
use strip::record::EdgeRecord;

/// Ground, patches and edges.
pub(super) fn backdrop_ui(painter: &Painter, rect: Rect, view: &View, desk: Desk) {
    painter.rect_filled(rect, 0.0, desk.palette.paper.get());
    let inputs = desk.document.inputs();
    fill(painter, view, &inputs.strip.outline.triangles(), desk.palette.ground.get());
    for patch in &inputs.strip.patches {
        fill(painter, view, &patch.shape.triangles(), desk.palette.patch.get());
    }
    for (corners, edges) in rings(&desk.document.edition().strip) {
        for (i, &kind) in edges.iter().enumerate() {
            let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
            let at = |e: f64, n: f64| view.screen_from_field(Point { x: e, y: n });
            edge_ui(painter, desk, at(a.e, a.n), at(b.e, b.n), kind);
        }
    }
}

fn fill(painter: &Painter, view: &View, triangles: &[[Point; 3]], colour: Color32) {
    let mut mesh = Mesh::default();
    for triangle in triangles {
        let first = mesh.vertices.len() as u32;
        for &corner in triangle {
            mesh.colored_vertex(view.screen_from_field(corner), colour);
        }
        mesh.add_triangle(first, first + 1, first + 2);
    }
    painter.add(Shape::mesh(mesh));
}

/// Open edges are dashed, hard ones solid with their kind in words.
fn edge_ui(painter: &Painter, desk: Desk, a: Pos2, b: Pos2, kind: EdgeRecord) {
    let open = matches!(kind, EdgeRecord::Open);
    if open {
        let stroke = Stroke::new(desk.tokens.line, desk.palette.edge.get());
        painter.extend(Shape::dashed_line(&[a, b], stroke, 8.0, 6.0));
        return;
    }
    painter.line_segment([a, b], Stroke::new(desk.tokens.line * 1.6, desk.palette.edge_hard.get()));
    // Too short an edge has no room for its name; the list beside the plan has it.
    if (b - a).length() > 70.0 {
        painter.text(
            a + (b - a) * 0.5,
            Align2::CENTER_BOTTOM,
            edge_name(desk, kind),
            FontId::proportional(desk.tokens.small),
            desk.palette.edge_hard.get(),
        );
    }
}

/// "fence 1.20 m".
pub(in super::super) fn edge_name(desk: Desk, kind: EdgeRecord) -> String {
    match kind {
        EdgeRecord::Open => "open".to_owned(),
        EdgeRecord::Fence(h) => format!("fence {}", desk.near(h)),
        EdgeRecord::Hedge(h) => format!("hedge {}", desk.near(h)),
        EdgeRecord::Wall(h) => format!("wall {}", desk.near(h)),
        EdgeRecord::Ditch(d) => format!("ditch {}", desk.near(d)),
        EdgeRecord::Water => "water".to_owned(),
        EdgeRecord::Road => "road".to_owned(),
    }
}

/// North arrow and scale bar, in the units shown.
pub(super) fn scale_and_north_ui(painter: &Painter, rect: Rect, view: &View, desk: Desk) {
    let ink = desk.palette.ink.get();
    let font = FontId::proportional(desk.tokens.small);
    let stroke = Stroke::new(desk.tokens.line, ink);
    let tip = pos2(rect.right() - 28.0, rect.top() + 30.0);
    painter.arrow(tip + vec2(0.0, 40.0), vec2(0.0, -40.0), stroke);
    painter.text(
        tip - vec2(0.0, 2.0),
        Align2::CENTER_BOTTOM,
        "N",
        FontId::proportional(desk.tokens.text),
        ink,
    );

    let unit = desk.units.length.metres();
    let length = round_length(f64::from(rect.width() / view.scale() / 4.0) / unit);
    let wide = (length * unit) as f32 * view.scale();
    let left = pos2(rect.left() + 16.0, rect.bottom() - 18.0);
    let right = left + vec2(wide, 0.0);
    painter.line_segment([left, right], stroke);
    for end in [left, right] {
        painter.line_segment([end - vec2(0.0, 6.0), end], stroke);
    }
    let text = format!("{length} {}", desk.units.length.symbol());
    painter.text(left + vec2(wide / 2.0, -4.0), Align2::CENTER_BOTTOM, text, font, ink);
}

/// The largest of 1, 2, 5 times a power of ten that is not above a length.
pub(in super::super) fn round_length(at_most: f64) -> f64 {
    let power = 10_f64.powf(at_most.max(1e-3).log10().floor());
    [5.0, 2.0, 1.0].map(|n| n * power).into_iter().find(|&n| n <= at_most).unwrap_or(power)
}

/// The plan's own cross.
pub(super) fn cross_ui(painter: &Painter, view: &View, desk: Desk, at: Point) {
    let centre = view.screen_from_field(at);
    let stroke = Stroke::new(desk.tokens.line, desk.palette.selected.get());
    for arm in [vec2(14.0, 0.0), vec2(0.0, 14.0)] {
        painter.line_segment([centre - arm, centre + arm], stroke);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_bar_has_a_round_length() {
        for (at_most, round) in [(73.0, 50.0), (49.0, 20.0), (10.0, 10.0), (0.7, 0.5), (1999.0, 1000.0)] {
            assert!((round_length(at_most) - round).abs() < 1e-12, "{at_most}");
        }
    }
}
