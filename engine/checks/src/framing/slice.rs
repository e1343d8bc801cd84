//! A board sawn through square to its grain: what is left of the section there.

use slatwork_base::maths;
use slatwork_solid::{DVec2, Hole, Solid};

/// The section of a board at one place along it, board axes: y across the width, z through the thickness. Holes are not taken
/// out: they count for strength, and hardly for stiffness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slice {
    /// mm2.
    pub area: f64,
    /// Its middle.
    pub centre: DVec2,
    /// Second moment for bending through the thickness: about y, mm4.
    pub flat: f64,
    /// Second moment for bending through the width: about z, mm4.
    pub edge: f64,
    /// Least y and z.
    pub low: DVec2,
    /// Greatest y and z.
    pub high: DVec2,
}

impl Slice {
    /// Width and thickness that it takes up.
    pub fn size(&self) -> DVec2 {
        self.high - self.low
    }

    /// Section moduli for bending through the thickness and through the width, mm3, holes through it taken out.
    pub fn moduli(&self, holes: &[Bored]) -> [f64; 2] {
        let (size, [mut flat, mut edge]) = (self.size(), [self.flat, self.edge]);
        for hole in holes {
            let (own, through) = (hole.diameter, if hole.flat { size.y } else { size.x });
            let away = hole.at - if hole.flat { self.centre.x } else { self.centre.y };
            let [beside, along] =
                [through * own * (own * own / 12.0 + away * away), own * through * through * through / 12.0];
            let [from_flat, from_edge] = if hole.flat { [along, beside] } else { [beside, along] };
            flat -= from_flat;
            edge -= from_edge;
        }
        let reach = (self.high - self.centre).max(self.centre - self.low);
        [flat.max(0.0) / reach.y, edge.max(0.0) / reach.x]
    }

    /// Second moment for torsion of the rectangle it fills: a c3 (1/3 - 0.21 c/a (1 - c4/(12 a4))) (Roark, from memory).
    pub fn torsion(&self) -> f64 {
        let size = self.size();
        let (a, c) = (size.max_element(), size.min_element());
        let ratio = c / a;
        a * c * c * c * (1.0 / 3.0 - 0.21 * ratio * (1.0 - maths::powf(ratio, 4.0) / 12.0))
    }
}

/// A hole that a section passes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bored {
    /// Diameter, mm.
    pub diameter: f64,
    /// Whether it goes through the thickness, else through the width.
    pub flat: bool,
    /// Its place across: along y for a hole through the thickness, else along z.
    pub at: f64,
}

/// Thinner holes are pilots, filled by their screws' roots, mm (project choice: a little over the shank of a #8 screw).
const THINNEST: f64 = 4.5;

impl Bored {
    /// Holes of a solid that its section at `x` passes.
    pub fn at(solid: &Solid, x: f64) -> Vec<Bored> {
        solid.shape().holes.iter().filter_map(|hole| Bored::of(hole, x)).collect()
    }

    fn of(hole: &Hole, x: f64) -> Option<Bored> {
        let radius = hole.steps.last()?.radius;
        let direction = hole.direction;
        let across = direction.y.abs().max(direction.z.abs());
        let near = (hole.start.x - x).abs() < radius && direction.x.abs() < across;
        let flat = direction.z.abs() >= direction.y.abs();
        let at = if flat { hole.start.y } else { hole.start.z };
        (near && 2.0 * radius >= THINNEST).then_some(Bored { diameter: 2.0 * radius, flat, at })
    }
}

/// Moments about the origin, summed over rings.
pub(super) struct Sum {
    area: f64,
    first: DVec2,
    second: DVec2,
    low: DVec2,
    high: DVec2,
}

impl Default for Sum {
    fn default() -> Self {
        let (low, high) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
        Sum { area: 0.0, first: DVec2::ZERO, second: DVec2::ZERO, low, high }
    }
}

impl Sum {
    /// Adds what a ring of corners encloses.
    pub(super) fn add(&mut self, ring: impl Iterator<Item = DVec2> + Clone) {
        let Some(first) = ring.clone().next() else { return };
        let mut a = first;
        for b in ring.skip(1).chain([first]) {
            let twice = a.perp_dot(b);
            self.area += twice / 2.0;
            self.first += (a + b) * (twice / 6.0);
            self.second += (a * a + a * b + b * b) * (twice / 12.0);
            self.low = self.low.min(a);
            self.high = self.high.max(a);
            a = b;
        }
    }

    /// The section; nothing where no wood is left.
    pub(super) fn settle(self) -> Option<Slice> {
        if self.area < NO_WOOD {
            return None;
        }
        let centre = self.first / self.area;
        let own = self.second - centre * centre * self.area;
        let (flat, edge) = (own.y, own.x);
        Some(Slice { area: self.area, centre, flat, edge, low: self.low, high: self.high })
    }
}

/// Less is the rounding of a cut, mm2.
const NO_WOOD: f64 = 1e-3;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::framing::Sections;
    use slatwork_solid::{DVec3, HalfSpace, HoleStep, Notch, Shape, Tag, Tolerance, build};
    use std::sync::Arc;

    fn near(a: f64, b: f64) {
        assert!((a - b).abs() <= 1e-9 * b.abs().max(1.0), "{a} {b}");
    }

    fn slice(shape: &Shape, x: f64) -> Slice {
        Sections::of(&Arc::new(build(shape, &Tolerance::default()).expect("a solid"))).at(x).expect("wood")
    }

    /// b d and b d3 / 12 both ways.
    #[test]
    fn a_plain_board_is_a_rectangle() {
        let slice = slice(&Shape::board(600.0, 90.0, 38.0), 211.0);
        near(slice.area, 90.0 * 38.0);
        near(slice.flat, 90.0 * 38.0_f64.powi(3) / 12.0);
        near(slice.edge, 38.0 * 90.0_f64.powi(3) / 12.0);
        assert_eq!((slice.low, slice.high), (DVec2::ZERO, DVec2::new(90.0, 38.0)));
        let [flat, edge] = slice.moduli(&[]);
        near(flat, 90.0 * 38.0 * 38.0 / 6.0);
        near(edge, 38.0 * 90.0 * 90.0 / 6.0);
    }

    /// A notch 30 mm deep from the high edge leaves a board 60 mm wide there, and its middle 15 mm lower.
    #[test]
    fn a_notch_leaves_the_net_section() {
        let plane = |normal: DVec3, offset| HalfSpace { normal, offset, tag: Tag(20) };
        let planes = vec![
            plane(DVec3::X, 320.0),
            plane(-DVec3::X, -280.0),
            plane(-DVec3::Y, -60.0),
            plane(DVec3::Y, 200.0),
        ];
        let shape = Shape { notches: vec![Notch { planes }], ..Shape::board(600.0, 90.0, 38.0) };
        let [gross, net] = [100.0, 300.0].map(|x| slice(&shape, x));
        near(gross.edge, 38.0 * 90.0_f64.powi(3) / 12.0);
        near(net.edge, 38.0 * 60.0_f64.powi(3) / 12.0);
        near(net.centre.x, 30.0);
    }

    /// A bolt hole in the middle of the width: S = t (d3 - D3) / (6 d).
    #[test]
    fn a_hole_takes_its_strip_out() {
        let step = HoleStep { radius: 5.0, depth: f64::INFINITY };
        let hole = Hole {
            start: DVec3::new(300.0, 45.0, 38.0),
            direction: -DVec3::Z,
            steps: vec![step],
            tag: Tag(20),
        };
        let shape = Shape { holes: vec![hole], ..Shape::board(600.0, 90.0, 38.0) };
        let solid = build(&shape, &Tolerance::default()).expect("a solid");
        let slice = slice(&shape, 300.0);
        let [flat, edge] = slice.moduli(&Bored::at(&solid, 300.0));
        near(edge, 38.0 * (90.0_f64.powi(3) - 1000.0) / (6.0 * 90.0));
        near(flat, 80.0 * 38.0 * 38.0 / 6.0);
        assert!(Bored::at(&solid, 306.0).is_empty());
    }

    /// Roark's square: 0.1406 a4.
    #[test]
    fn torsion_of_a_square() {
        let square = slice(&Shape::board(600.0, 50.0, 50.0), 100.0);
        assert!((square.torsion() / 50.0_f64.powi(4) - 0.1406).abs() < 3e-4);
    }
}
