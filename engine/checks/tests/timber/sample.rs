//! Fasteners and members as the sources list them.

use slatwork_base::{Angle, Outcome};
use slatwork_checks::statics::dowel::{self, Bearing, Dowel, Joint, Material, Penetration, Shear};
use slatwork_checks::statics::units::{INCH, POUND};

/// Side grain loaded at degrees to it.
pub(crate) fn wood(gravity: f64, degrees: f64) -> Material {
    Material::SideGrain { gravity, angle: Angle::deg(degrees) }
}

/// A member of a thickness in inches.
pub(crate) fn member(inches: f64, material: Material) -> Bearing {
    Bearing { length: inches * INCH, material }
}

/// The value of an outcome; its troubles otherwise.
#[track_caller]
pub(crate) fn value<T>(outcome: Outcome<T>) -> T {
    let troubles: Vec<String> = outcome.diagnostics.iter().map(ToString::to_string).collect();
    outcome.value.unwrap_or_else(|| panic!("{}", troubles.join("\n")))
}

/// Within a tolerance.
#[track_caller]
pub(crate) fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found} is not {wanted} within {tolerance}");
}

/// Diameter and root diameter in inches of wood screws by number (NDS Appendix Table L3, read).
pub(crate) fn wood_screw(number: u32) -> Dowel {
    let (diameter, root) = match number {
        8 => (0.164, 0.131),
        10 => (0.190, 0.152),
        14 => (0.242, 0.196),
        _ => panic!("no such screw here"),
    };
    value(Dowel::wood_screw(diameter * INCH, root * INCH))
}

/// A nail of a diameter in inches.
pub(crate) fn nail(diameter: f64) -> Dowel {
    value(Dowel::nail(diameter * INCH))
}

/// A bolt of a diameter in inches.
pub(crate) fn bolt(diameter: f64) -> Dowel {
    value(Dowel::bolt(diameter * INCH))
}

/// A lag screw of a diameter and root diameter in inches.
pub(crate) fn lag(diameter: f64, root: f64) -> Dowel {
    value(Dowel::lag_screw(diameter * INCH, root * INCH))
}

/// A joint whose faces touch, in single shear.
pub(crate) fn joint(dowel: Dowel, main: Bearing, side: Bearing) -> Joint {
    Joint { dowel, main, side, gap: 0.0, shear: Shear::Single }
}

/// Z in lb with all modes counted.
pub(crate) fn z(joint: &Joint) -> f64 {
    value(dowel::yield_modes(joint)).governing.value / POUND
}

/// Z in lb of a fastener that goes as far in as the tables assume: 10D, a lag 8D without its tip.
pub(crate) fn tabled(dowel: Dowel, main: Material, side: Bearing) -> f64 {
    let total = match dowel.kind {
        dowel::Kind::LagScrew => 8.0 * dowel.diameter + dowel.tip,
        _ => 10.0 * dowel.diameter,
    };
    let joint = joint(dowel, Bearing { length: total, material: main }, side);
    let lateral = value(dowel::lateral(&joint, Penetration::ending_in(&dowel, total)));
    assert!(lateral.by_table.is_none(), "nothing is short");
    lateral.value / POUND
}
