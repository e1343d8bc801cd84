//! The outline that a part is traced to in a nest, and whether it may be traced so at all.

use super::layout::NestedPiece;
use crate::stock::nesting::{CurvedCorner, Faces, Point, Polygon, flattened};
use slatwork_base::Length;
use slatwork_model::{Blank, Defects, Feature, FeatureKind, Part, When};
use slatwork_solid::{Across, Vertex};

/// How exactly arcs are taken: far within the margin between nested parts.
const TOLERANCE: Length = Length::nm(100_000);

/// The outline of a part that may be nested, and which of its faces may lie up. It is sawn at the bench to a line with an arc in it, and
/// nothing is left on it that its neighbours have a say in: what is fitted, bent, bevelled along its edges or sawn in its place is cut from a
/// rectangle. A defect that is turned to the back keeps that face down.
pub fn nest_outline(part: &Part) -> Option<(Polygon, Faces)> {
    let vertices = &part.shape.profile.vertices;
    let is_curved = vertices.iter().any(|vertex| vertex.bulge != 0.0);
    let may = !part.alone
        && part.blank == Blank::Solid
        && part.fit.is_none()
        && part.shape.across == Across::Thickness
        && part.features.iter().all(leaves_outline);
    if !is_curved || !may {
        return None;
    }
    let corner = |vertex: &Vertex| CurvedCorner { x: vertex.point.x, y: vertex.point.y, bulge: vertex.bulge };
    let corners: Vec<CurvedCorner> = vertices.iter().map(corner).collect();
    let faces = if part.defects == Defects::Back { Faces::OneGood } else { Faces::BothGood };
    Some((flattened(&corners, TOLERANCE).ok()?, faces))
}

fn leaves_outline(feature: &Feature) -> bool {
    match feature.kind {
        FeatureKind::Outline { .. } | FeatureKind::EndCut { .. } => feature.when == When::AtBench,
        FeatureKind::BevelRip { .. } | FeatureKind::Spring { .. } => false,
        _ => true,
    }
}

/// Corners of the outline of a nested piece where it lies, from the board's datum end and edge.
pub fn nested_outline(part: &Part, nested: &NestedPiece) -> Vec<(Length, Length)> {
    let Some((polygon, _)) = nest_outline(part) else { return Vec::new() };
    let placed =
        |point: &Point| (nested.piece.start + Length::nm(point.x), nested.from_edge + Length::nm(point.y));
    polygon.turned(nested.turn).points().iter().map(placed).collect()
}
