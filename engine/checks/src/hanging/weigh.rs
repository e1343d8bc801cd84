//! What the piece itself weighs, and where: boards from their solids, metal from its measures.

use crate::Case;
use crate::statics::swing::Mass;
use core::f64::consts::PI;
use slatwork_catalog::HardwareKind;
use slatwork_model::{HardwareUse, Part};
use slatwork_solid::{DMat3, DVec3};

/// A millimetre in metres.
pub(super) const MM: f64 = 1e-3;
/// Density of steel, kg/m3 (from memory).
const STEEL: f64 = 7_850.0;
/// Fifth power of a millimetre in metres.
const MM_5: f64 = 1e-15;
const MM_3: f64 = 1e-9;

/// A body by its mass, its centre and how its mass lies about an axis along the width of the seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Body {
    /// kg, and its centre in the seat's frame, m.
    pub(super) mass: Mass,
    /// Moment of inertia about its own centre, axis along x, kg m2.
    pub(super) inertia: f64,
}

impl Body {
    /// A mass that is small beside its distances.
    fn point(mass: f64, at: DVec3) -> Self {
        Body { mass: Mass { mass, at }, inertia: 0.0 }
    }

    /// All of them as one.
    pub(super) fn together(bodies: &[Body]) -> Body {
        let mass: f64 = bodies.iter().map(|own| own.mass.mass).sum();
        let at = bodies.iter().map(|own| own.mass.at * own.mass.mass).sum::<DVec3>() / mass;
        let inertia =
            bodies.iter().map(|own| own.inertia + own.mass.mass * from_axis(own.mass.at - at)).sum();
        Body { mass: Mass { mass, at }, inertia }
    }
}

/// Square of the distance from an axis along x.
fn from_axis(arm: DVec3) -> f64 {
    arm.y * arm.y + arm.z * arm.z
}

/// The piece: its boards at the wettest moisture of the place, and the metal in it.
pub(super) fn piece(case: &Case) -> Result<Body, String> {
    let moisture = case.conditions.moisture().value.map_or(f64::NAN, |range| range.wettest);
    let boards: Result<Vec<Body>, String> =
        case.model.parts.iter().map(|part| board(case, part, moisture)).collect();
    let mut bodies = boards?;
    bodies.extend(fasteners(case));
    bodies.extend(case.model.hardware.iter().filter_map(|own| eye(case, own)));
    if bodies.is_empty() { Err(String::from("there are no boards")) } else { Ok(Body::together(&bodies)) }
}

fn board(case: &Case, part: &Part, moisture: f64) -> Result<Body, String> {
    let species = case.catalogue.species(&part.species).map_err(|fault| fault.message)?;
    let density = species.density_at(moisture);
    if !density.is_finite() {
        return Err(String::from("the moisture of the wood is not known, and so not its weight"));
    }
    let turn: DMat3 = part.pose.matrix3;
    let inertia = turn * part.solid.inertia() * turn.transpose();
    let at = part.pose.transform_point3(part.solid.centroid()) * MM;
    Ok(Body {
        mass: Mass { mass: part.solid.volume() * MM_3 * density, at },
        inertia: inertia.x_axis.x * density * MM_5,
    })
}

/// Screws and bolts as rods of their diameter, at their heads.
fn fasteners<'a>(case: &'a Case) -> impl Iterator<Item = Body> + 'a {
    let all = case.model.joints.iter().flat_map(|joint| &joint.fastenings);
    all.map(|own| Body::point(rod(own.diameter.as_mm(), own.length.as_mm()), own.head * MM))
}

/// An eye bolt: its shank, and its eye as a ring. Chains and links hang from the hooks.
fn eye(case: &Case, own: &HardwareUse) -> Option<Body> {
    let item = case.catalogue.find_hardware(&own.item)?;
    if !matches!(item.kind, HardwareKind::EyeBolt | HardwareKind::ScrewEye) {
        return None;
    }
    let (from, to) = own.axis?;
    let wire = item.dim("diameter")?.as_mm();
    let inside = item.dim("eye_inside").map_or(2.0 * wire, slatwork_base::Length::as_mm);
    let shank = own.length.map_or_else(|| from.distance(to), slatwork_base::Length::as_mm);
    Some(Body::point(rod(wire, shank) + rod(wire, PI * (inside + wire)), (from + to) / 2.0 * MM))
}

/// kg.
fn rod(diameter: f64, length: f64) -> f64 {
    PI / 4.0 * diameter * diameter * length * MM_3 * STEEL
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1/2 in by 100 mm of steel: 126.68 mm2 x 100 mm x 7850 kg/m3 = 0.0994 kg.
    #[test]
    fn a_rod_weighs_as_by_hand() {
        assert!((rod(12.7, 100.0) - 0.0994).abs() < 5e-5);
    }

    /// Two masses of 2 and 6 kg, 0.4 m apart along y: the centre is 0.3 m from the first, 2 x 0.09 + 6 x 0.01 = 0.24 kg m2.
    #[test]
    fn bodies_together_keep_their_mass_and_inertia() {
        let all =
            Body::together(&[Body::point(2.0, DVec3::ZERO), Body::point(6.0, DVec3::new(0.0, 0.4, 0.0))]);
        assert!((all.mass.mass - 8.0).abs() < 1e-12 && (all.mass.at.y - 0.3).abs() < 1e-12);
        assert!((all.inertia - 0.24).abs() < 1e-12, "{all:?}");
    }
}
