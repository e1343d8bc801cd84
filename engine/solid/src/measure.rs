//! [`Moments`]: volume, first and second moments, summed over parts.

use crate::body::Facet;
use crate::piece::{NO_FACET, Piece};
use crate::{DMat3, DVec3};

/// Integrals of 1, p and p pᵀ over a region, p being measured from a fixed base point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Moments {
    /// mm^3.
    pub(crate) volume: f64,
    /// mm^4.
    pub(crate) first: DVec3,
    /// mm^5.
    pub(crate) second: DMat3,
}

impl Moments {
    pub(crate) const ZERO: Moments = Moments { volume: 0.0, first: DVec3::ZERO, second: DMat3::ZERO };

    pub(crate) fn add(&mut self, other: &Moments, factor: f64) {
        self.volume += other.volume * factor;
        self.first += other.first * factor;
        self.second += other.second * factor;
    }

    /// Of the tetrahedron from the base point to a triangle, signed.
    fn tetrahedron(a: DVec3, b: DVec3, c: DVec3) -> Moments {
        let volume = a.dot(b.cross(c)) / 6.0;
        let sum = a + b + c;
        let square = outer(a, a) + outer(b, b) + outer(c, c) + outer(sum, sum);
        Moments { volume, first: sum * (volume / 4.0), second: square * (volume / 20.0) }
    }

    pub(crate) fn of_mesh(mesh: &crate::Mesh, base: DVec3) -> Moments {
        let mut sum = Moments::ZERO;
        for triangle in &mesh.triangles {
            let [a, b, c] = triangle.map(|corner| mesh.positions[corner as usize] - base);
            sum.add(&Moments::tetrahedron(a, b, c), 1.0);
        }
        sum
    }

    pub(crate) fn of_piece(piece: &Piece, base: DVec3) -> Moments {
        let at = |corner: u32| piece.vertices()[corner as usize] - base;
        let mut sum = Moments::ZERO;
        for (_, side) in piece.faces() {
            for pair in side[1..].windows(2) {
                sum.add(&Moments::tetrahedron(at(side[0]), at(pair[0]), at(pair[1])), 1.0);
            }
        }
        sum
    }

    /// What the arcs of the outline add to (or, hollow, take from) their facets. A facet that a cut or notch shortens
    /// counts with the share of its area that is left: exact while the cut runs square to the facet's length or height,
    /// off by a small part of the segment (itself at most a chord high) otherwise. Across the facet the segment is
    /// spread as the facet is.
    pub(crate) fn of_segments(pieces: &[Piece], facets: &[Facet], base: DVec3) -> Moments {
        let mut sum = Moments::ZERO;
        for piece in pieces {
            for (index, origin) in
                piece.origins().iter().enumerate().filter(|(_, origin)| origin.facet != NO_FACET)
            {
                let facet = &facets[origin.facet as usize];
                sum.add(&segment(piece, index, facet, base), 1.0);
            }
        }
        sum
    }

    /// Of a round bar along an axis, ended by two planes: closed form.
    pub(crate) fn of_bar(bar: &Bar, base: DVec3) -> Moments {
        let area = slatwork_base::maths::PI * bar.radius * bar.radius;
        let quarter = bar.radius * bar.radius / 4.0;
        let slope = |end: &BarEnd| end.slope;
        let (from, to) = (&bar.from, &bar.to);
        let length = to.at - from.at;
        let volume = area * length;
        // Across the axis, then along it: heights of the ends are linear over the circle.
        let across = (slope(to) - slope(from)) * (area * quarter);
        let square_end = |end: &BarEnd| end.at * end.at + quarter * end.slope.length_squared();
        let along = area / 2.0 * (square_end(to) - square_end(from));
        let cube_end = |end: &BarEnd| end.at * (end.at * end.at + 3.0 * quarter * end.slope.length_squared());
        let along_twice = area / 3.0 * (cube_end(to) - cube_end(from));
        let mixed = (to.slope * to.at - from.slope * from.at) * (area * quarter);
        let axis = bar.direction;
        let round = DMat3::IDENTITY - outer(axis, axis);
        let second = round * (volume * quarter)
            + outer(mixed, axis)
            + outer(axis, mixed)
            + outer(axis, axis) * along_twice;
        let local = Moments { volume, first: across + axis * along, second };
        local.moved(bar.start - base)
    }

    /// The same region, its base point moved: p becomes p + shift.
    fn moved(&self, shift: DVec3) -> Moments {
        let cross = outer(self.first, shift);
        Moments {
            volume: self.volume,
            first: self.first + shift * self.volume,
            second: self.second + cross + cross.transpose() + outer(shift, shift) * self.volume,
        }
    }

    /// From the base point.
    pub(crate) fn centroid(&self) -> DVec3 {
        self.first / self.volume
    }

    /// Inertia about the centroid for unit density.
    pub(crate) fn inertia(&self) -> DMat3 {
        let centred = self.second - outer(self.first, self.first) * (1.0 / self.volume);
        let trace = centred.x_axis.x + centred.y_axis.y + centred.z_axis.z;
        DMat3::IDENTITY * trace - centred
    }
}

/// A round bar: `start + direction * t`, from one plane to another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bar {
    pub(crate) start: DVec3,
    pub(crate) direction: DVec3,
    pub(crate) radius: f64,
    pub(crate) from: BarEnd,
    pub(crate) to: BarEnd,
}

/// A plane that ends a bar: it meets the axis at `at`, and beside the axis, at p, at `at + slope . p`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BarEnd {
    pub(crate) at: f64,
    pub(crate) slope: DVec3,
}

pub(crate) fn outer(a: DVec3, b: DVec3) -> DMat3 {
    DMat3::from_cols(a * b.x, a * b.y, a * b.z)
}

fn segment(piece: &Piece, index: usize, facet: &Facet, base: DVec3) -> Moments {
    let plate = plate(piece, index, base);
    let share = facet.segment.area * facet.height / facet.area;
    let volume = plate.volume * share;
    let flat = Moments { volume, first: plate.first * share, second: plate.second * share };
    flat.moved(facet.normal * facet.segment.middle)
}

/// The side of a piece as a plate of thickness 1.
fn plate(piece: &Piece, index: usize, base: DVec3) -> Moments {
    let side = piece.side(index);
    let at = |corner: u32| piece.vertices()[corner as usize] - base;
    let normal = piece.planes()[index].normal;
    let mut sum = Moments::ZERO;
    for pair in side[1..].windows(2) {
        let [a, b, c] = [at(side[0]), at(pair[0]), at(pair[1])];
        let area = (b - a).cross(c - a).dot(normal) / 2.0;
        let total = a + b + c;
        let square = outer(a, a) + outer(b, b) + outer(c, c) + outer(total, total);
        sum.add(&Moments { volume: area, first: total * (area / 3.0), second: square * (area / 12.0) }, 1.0);
    }
    sum
}
