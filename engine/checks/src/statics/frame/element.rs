//! One member as the solver sees it.

use super::blocks::Block;
use super::end_springs::{Condensed, Groups, condense};
use super::loading::add;
use super::model::{Frame, Member, MemberKind, Section, Spread};
use super::shape::Line;
use super::sides::{Ends, Sides, Vectors, each};
use super::sum::Sum;
use slatwork_solid::{DMat3, DVec3};

/// The sine of the angle between a member and its `y_axis` below which the two are one direction: the local axes would
/// hang on rounding.
pub(super) const SAME_DIRECTION: f64 = 1e-6;

/// A member with its stiffness in local axes.
#[derive(Clone)]
pub(super) struct Element {
    pub(super) nodes: [usize; 2],
    pub(super) line: Line,
    /// Local axes as columns.
    pub(super) axes: DMat3,
    pub(super) offsets: [DVec3; 2],
    /// From the start node to the end node.
    between: DVec3,
    stiffness: Groups,
    carry: Option<Box<Groups>>,
    /// Its resistance to turning at an end before any release: a scale.
    pub(super) turning: f64,
}

/// From the member's start to its end, after the offsets.
pub(super) fn span(frame: &Frame, member: &Member) -> DVec3 {
    let [start, end] = member.ends.map(|node| frame.nodes[node].at);
    end + member.offsets[1] - start - member.offsets[0]
}

/// Local axes as columns; nothing when the y axis lies along the member.
pub(super) fn axes(span: DVec3, y_axis: DVec3) -> Option<DMat3> {
    let x = span.try_normalize()?;
    let y = y_axis.try_normalize()?;
    let across = y - x * x.dot(y);
    (across.length() >= SAME_DIRECTION).then(|| {
        let y = across.normalize();
        DMat3::from_cols(x, y, x.cross(y))
    })
}

/// 12 E I / (G A_s L^2); zero without a shear area.
fn shear_figure(section: &Section, inertia: f64, area: Option<f64>, length: f64) -> f64 {
    area.map_or(0.0, |area| 12.0 * section.elastic * inertia / (section.shear * area * length * length))
}

impl Element {
    /// The element of a member that has passed the checks on input; `Err` names the freedom (0..12) that its releases
    /// leave without hold.
    pub(super) fn new(frame: &Frame, member: &Member) -> Result<Element, usize> {
        let along = span(frame, member);
        let (length, section) = (along.length(), &member.section);
        let bends = member.kind == MemberKind::Beam;
        let shear = [
            shear_figure(section, section.inertia_z, section.shear_area_y, length),
            shear_figure(section, section.inertia_y, section.shear_area_z, length),
        ];
        let line = Line { length, shear, bends };
        let Condensed { stiffness, carry } = condense(stiffness(section, &line), &member.springs)?;
        let [start, end] = member.ends.map(|node| frame.nodes[node].at);
        let turning = if bends {
            (section.elastic * (section.inertia_y + section.inertia_z) + section.shear * section.torsion)
                / length
        } else {
            0.0
        };
        Ok(Element {
            nodes: member.ends,
            line,
            axes: axes(along, member.y_axis).unwrap_or(DMat3::IDENTITY),
            offsets: member.offsets,
            between: end - start,
            stiffness,
            carry,
            turning,
        })
    }

    /// Nodal stiffness between two of its ends in global axes: rows of `row`'s node, columns of `column`'s.
    pub(super) fn nodal(&self, row: usize, column: usize) -> Block {
        let back = self.axes.transpose();
        let turned = |r: usize, c: usize| self.axes * self.block(2 * row + r, 2 * column + c) * back;
        let [mut moved, mut turned_moved] = [[turned(0, 0), turned(0, 1)], [turned(1, 0), turned(1, 1)]];
        if self.offsets[column] != DVec3::ZERO {
            let arm = skew(self.offsets[column]);
            moved[1] -= moved[0] * arm;
            turned_moved[1] -= turned_moved[0] * arm;
        }
        if self.offsets[row] != DVec3::ZERO {
            let arm = skew(self.offsets[row]);
            turned_moved[0] += arm * moved[0];
            turned_moved[1] += arm * moved[1];
        }
        let rows = [moved, turned_moved];
        std::array::from_fn(|c| std::array::from_fn(|r| rows[r / 3][c / 3].col(c % 3)[r % 3]))
    }

    /// Three rows against three columns of its stiffness: start moved, start turned, end moved, end turned.
    fn block(&self, row: usize, column: usize) -> DMat3 {
        let Groups { along, twist, bend: [y, z] } = &self.stiffness;
        let (r, c) = (row / 2, column / 2);
        let bent = |plane: &[[f64; 4]; 4]| plane[row][column];
        match (row % 2, column % 2) {
            (0, 0) => DMat3::from_diagonal(DVec3::new(along[r][c], bent(y), bent(z))),
            (1, 1) => DMat3::from_diagonal(DVec3::new(twist[r][c], bent(z), bent(y))),
            // Bending along y turns about z, and along z about y.
            (0, _) => DMat3::from_cols(DVec3::ZERO, DVec3::Z * bent(z), DVec3::Y * bent(y)),
            _ => DMat3::from_cols(DVec3::ZERO, DVec3::Z * bent(y), DVec3::Y * bent(z)),
        }
    }

    /// How far its end moves and turns beyond what its start carries along; local axes.
    #[inline(always)]
    fn strain<const N: usize>(&self, displacements: &[Sides<N>]) -> [Vectors<N>; 2] {
        let [(start, start_turn), (end, end_turn)] = self.nodes.map(|node| motion(displacements, node));
        let turn = end_turn - start_turn;
        // Differences first, so that a large common motion costs no digits.
        let mut moved = (end - start) - start_turn.cross(self.between);
        if self.offsets[1] != DVec3::ZERO {
            moved += turn.cross(self.offsets[1]);
        }
        let back = self.axes.transpose();
        [&back * moved, &back * turn]
    }

    /// Puts down the forces on its ends that go with displacements of the nodes; twice the energy it stores.
    #[inline(always)]
    pub(super) fn forces<const N: usize>(&self, displacements: &[Sides<N>], ends: &mut Ends<N>) -> Sides<N> {
        let [moved, turned] = self.strain(displacements);
        let Groups { along, twist, bend: [y, z] } = &self.stiffness;
        let one = |stiffness: f64, strain: &Sides<N>| each(|side| stiffness * strain[side]);
        let bent = |plane: &[[f64; 4]; 4], row: usize, moved: &Sides<N>, turned: &Sides<N>| {
            each(|side| plane[row][2] * moved[side] + plane[row][3] * turned[side])
        };
        for (row, force) in ends.iter_mut().enumerate() {
            let (in_y, in_z) = (bent(y, row, &moved.y, &turned.z), bent(z, row, &moved.z, &turned.y));
            *force = match row % 2 {
                0 => [one(along[row / 2][1], &moved.x), in_y, in_z],
                _ => [one(twist[row / 2][1], &turned.x), in_z, in_y],
            };
        }
        let moving = Vectors::from_row(&ends[2]).dot(&moved);
        let turning = Vectors::from_row(&ends[3]).dot(&turned);
        each(|side| moving[side] + turning[side])
    }

    /// What pulls its ends apart: positive when longer.
    pub(super) fn elongation<const N: usize>(&self, displacements: &[Sides<N>]) -> Sides<N> {
        self.strain(displacements)[0].x
    }

    /// Force and moment at an end (local axes) carried to its node (global axes).
    #[inline(always)]
    fn to_node<const N: usize>(&self, end: usize, [force, moment]: [Vectors<N>; 2]) -> [Vectors<N>; 2] {
        let (force, moment) = (&self.axes * force, &self.axes * moment);
        if self.offsets[end] == DVec3::ZERO {
            return [force, moment];
        }
        [force, moment - force.cross(self.offsets[end])]
    }

    /// Adds what forces at its ends come to at its nodes.
    #[inline(always)]
    pub(super) fn add_to_nodes<const N: usize>(&self, ends: &Ends<N>, sums: &mut [Sides<N>]) {
        for (end, node) in self.nodes.into_iter().enumerate() {
            let (force, moment) = (Vectors::from_row(&ends[2 * end]), Vectors::from_row(&ends[2 * end + 1]));
            add(sums, node, &self.to_node(end, [force, moment]));
        }
    }

    /// What loads at its ends (local axes) bring to its nodes (global axes): force and moment.
    pub(super) fn brought(&self, ends: &[DVec3; 4]) -> [[DVec3; 2]; 2] {
        [0, 1].map(|end| {
            let own = [ends[2 * end], ends[2 * end + 1]].map(|own| Vectors::times(own, &[1.0]));
            self.to_node(end, own).map(|own| own.of(0))
        })
    }

    /// End forces equivalent to a load given in global axes, through the end springs; local axes.
    pub(super) fn equivalent(&self, spread: &Spread) -> [DVec3; 4] {
        let own = self.line.ends(&self.local(spread));
        let through = match &self.carry {
            None => own,
            Some(carry) => carry.times(&own),
        };
        blocks(&through)
    }

    /// A load given in global axes, about the member's start; local axes.
    pub(super) fn resultant(&self, spread: &Spread) -> Sum {
        let mut sum = Sum::default();
        sum.add_spread(DVec3::ZERO, DVec3::X, self.line.length, &self.local(spread));
        sum
    }

    /// A load given in global axes, in local ones.
    fn local(&self, spread: &Spread) -> Spread {
        let back = self.axes.transpose();
        match *spread {
            Spread::Uniform(load) => Spread::Uniform(back * load),
            Spread::Point { at, force } => Spread::Point { at, force: back * force },
            Spread::Trapezoid { from, to, begins, ends } => {
                Spread::Trapezoid { from, to, begins: back * begins, ends: back * ends }
            }
        }
    }
}

/// Twelve figures in blocks of three.
fn blocks(values: &[f64; 12]) -> [DVec3; 4] {
    std::array::from_fn(|block| DVec3::from_slice(&values[3 * block..]))
}

/// Displacement and rotation of a node.
#[inline(always)]
pub(super) fn motion<const N: usize>(displacements: &[Sides<N>], node: usize) -> (Vectors<N>, Vectors<N>) {
    let own = &displacements[6 * node..6 * node + 6];
    (Vectors::from_row(own), Vectors::from_row(&own[3..]))
}

/// The matrix that takes `v` to `arm` x `v`.
fn skew(arm: DVec3) -> DMat3 {
    DMat3::from_cols(arm.cross(DVec3::X), arm.cross(DVec3::Y), arm.cross(DVec3::Z))
}

/// Stiffness in local axes with rigid ends (slope-deflection with shear deformation).
fn stiffness(section: &Section, line: &Line) -> Groups {
    let opposed = |value: f64| [[value, -value], [-value, value]];
    let along = opposed(section.elastic * section.area / line.length);
    if !line.bends {
        return Groups { along, twist: [[0.0; 2]; 2], bend: [[[0.0; 4]; 4]; 2] };
    }
    // A rotation about y turns x into -z: the couplings change sign.
    let bend = [
        bend(section.elastic * section.inertia_z, line.length, line.shear[0], 1.0),
        bend(section.elastic * section.inertia_y, line.length, line.shear[1], -1.0),
    ];
    Groups { along, twist: opposed(section.shear * section.torsion / line.length), bend }
}

/// Bending in one plane: start moved, start turned, end moved, end turned.
fn bend(rigidity: f64, length: f64, shear: f64, sign: f64) -> [[f64; 4]; 4] {
    let a = rigidity / (length * length * length * (1.0 + shear));
    let (force, couple) = (12.0 * a, sign * 6.0 * a * length);
    let (near, far) = ((4.0 + shear) * a * length * length, (2.0 - shear) * a * length * length);
    [
        [force, couple, -force, couple],
        [couple, near, -couple, far],
        [-force, -couple, force, -couple],
        [couple, far, -couple, near],
    ]
}
