//! Where the surface ends: long thin facets along the rim are no measurement.
//!
//! The net fills the convex hull of the levels. Where a rim was walked as a not quite straight row,
//! what lies between the row and the hull is filled with slivers whose gradient is nothing but the
//! error of the levels. They are taken off from outside, one after another, and count as ground that
//! nobody measured. A breakline stops that: somebody walked there.
//!
//! Invariant: what is taken off does not depend on the order of taking.

use super::facet::Facet;
use super::net::Net;
use spade::Triangulation;
use spade::handles::DirectedEdgeHandle;

/// A facet lies beyond what was measured.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub(super) struct Beyond(pub bool);

/// Marks the slivers along the rim.
pub(super) fn take_off_slivers(net: &mut Net) {
    // Edges at the rim, as seen from the facet within.
    let mut rim: Vec<_> = net.convex_hull().map(|edge| edge.rev().fix()).collect();
    while let Some(edge) = rim.pop() {
        let edge = net.directed_edge(edge);
        let Some(face) = edge.face().as_inner() else { continue };
        if edge.is_constraint_edge() || face.data().0 || !is_sliver_over(edge) {
            continue;
        }
        let (face, behind) = (face.fix(), [edge.next().rev().fix(), edge.prev().rev().fix()]);
        net.face_data_mut(face).0 = true;
        rim.extend(behind);
    }
}

type Edge<'a> = DirectedEdgeHandle<
    'a,
    <Net as Triangulation>::Vertex,
    <Net as Triangulation>::DirectedEdge,
    <Net as Triangulation>::UndirectedEdge,
    <Net as Triangulation>::Face,
>;

/// Whether the facet left of an edge is a sliver over that edge.
fn is_sliver_over(edge: Edge<'_>) -> bool {
    let corners = [edge.next().to(), edge.from(), edge.to()].map(|v| v.data().0);
    Facet { corners }.is_sliver_at_first_corner()
}
