//! What holds a piece: the ground under its feet, or the eyes that it hangs by.

use slatwork_model::{Model, Part, PartId};
use slatwork_solid::{DVec3, Piece};

/// Parts within this of the lowest point stand on the ground, mm (project choice: a floor is no flatter).
const STANDS_WITHIN: f64 = 2.0;

/// A point of a part that is held.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    /// The part.
    pub part: PartId,
    /// World, mm.
    pub at: DVec3,
}

/// What holds a piece.
#[derive(Clone, Debug)]
pub enum Ground {
    /// It stands: the middle of what touches the ground, foot by foot, from the left, front before rear.
    Feet(Vec<Point>),
    /// It hangs: its eyes in the order of the model's suspensions.
    Eyes(Vec<Point>),
}

impl Ground {
    /// Of a piece.
    pub fn of(model: &Model) -> Ground {
        match &model.hanging {
            Some(hanging) => {
                let eye = |one: &slatwork_model::Suspension| Point { part: one.part, at: one.eye };
                Ground::Eyes(hanging.suspensions.iter().map(eye).collect())
            }
            None => Ground::Feet(feet(model)),
        }
    }

    /// The points.
    pub fn points(&self) -> &[Point] {
        match self {
            Ground::Feet(points) | Ground::Eyes(points) => points,
        }
    }
}

/// Corners of a part in the world.
pub(crate) fn corners(part: &Part) -> impl Iterator<Item = DVec3> {
    let pieces = part.solid.pieces().iter();
    pieces.flat_map(|piece| piece.vertices()).map(|corner| part.pose.transform_point3(*corner))
}

/// Height of the ground: the lowest corner, mm.
pub(crate) fn floor(model: &Model) -> f64 {
    model.parts.iter().flat_map(corners).map(|corner| corner.z).fold(f64::INFINITY, f64::min)
}

/// Corners that touch the ground, part by part.
pub(crate) fn soles(model: &Model) -> Vec<(PartId, Vec<DVec3>)> {
    let floor = floor(model);
    let touching = |part| corners(part).filter(|corner| corner.z <= floor + STANDS_WITHIN).collect();
    model
        .parts
        .iter()
        .map(|part| (part.id, touching(part)))
        .filter(|(_, sole): &(_, Vec<_>)| !sole.is_empty())
        .collect()
}

/// Area of a part's faces that stand on the ground, mm2.
pub(crate) fn sole_area(model: &Model, part: PartId) -> f64 {
    let (floor, own) = (floor(model), model.part(part));
    let stands = |corner: &DVec3| corner.z <= floor + STANDS_WITHIN;
    let area = |piece: &Piece| -> f64 {
        let faces = piece.faces().map(|(_, ring)| {
            ring.iter().map(|corner| own.pose.transform_point3(piece.vertices()[*corner as usize])).collect()
        });
        faces.filter(|ring: &Vec<DVec3>| ring.iter().all(stands)).map(|ring| footprint(&ring)).sum()
    };
    own.solid.pieces().iter().map(area).sum()
}

/// Area of a flat ring as seen from above.
fn footprint(ring: &[DVec3]) -> f64 {
    let turn = |at: usize| ring[at].truncate().perp_dot(ring[(at + 1) % ring.len()].truncate());
    (0..ring.len()).map(turn).sum::<f64>().abs() / 2.0
}

fn feet(model: &Model) -> Vec<Point> {
    let middle = |sole: &[DVec3]| {
        let low = sole.iter().fold(DVec3::INFINITY, |low, corner| low.min(*corner));
        let high = sole.iter().fold(DVec3::NEG_INFINITY, |high, corner| high.max(*corner));
        low.midpoint(high)
    };
    let mut feet: Vec<Point> =
        soles(model).iter().map(|(part, sole)| Point { part: *part, at: middle(sole) }).collect();
    feet.sort_by(|a, b| a.at.x.total_cmp(&b.at.x).then(a.at.y.total_cmp(&b.at.y)));
    feet
}
