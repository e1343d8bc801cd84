//! One member as the solver sees it.

use super::blocks::Block;
use super::end_springs::{Condensed, Matrix12, condense};
use super::model::{Frame, Member, MemberKind, Section, Spread};
use super::shape::Line;
use super::sum::Sum;
use slatwork_solid::{DMat3, DVec3};

/// The sine of the angle between a member and its `y_axis` below which the two are one direction: the local axes would
/// hang on rounding.
pub(super) const SAME_DIRECTION: f64 = 1e-6;

/// A member with its stiffness in local axes: start moved, start turned, end moved, end turned.
pub(super) struct Element {
    pub(super) nodes: [usize; 2],
    pub(super) line: Line,
    /// Local axes as columns.
    pub(super) axes: DMat3,
    pub(super) offsets: [DVec3; 2],
    /// From the start node to the end node.
    between: DVec3,
    /// Symmetric, so that its rows are its columns.
    stiffness: Matrix12,
    carry: Option<Box<Matrix12>>,
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

    /// Three rows against three columns of its stiffness.
    fn block(&self, row: usize, column: usize) -> DMat3 {
        let columns = [0, 1, 2].map(|c| DVec3::from_slice(&self.stiffness[3 * column + c][3 * row..]));
        DMat3::from_cols(columns[0], columns[1], columns[2])
    }

    /// How far its end moves and turns beyond what its start carries along; local axes.
    fn strain(&self, displacements: &[f64]) -> [DVec3; 2] {
        let [(start, start_turn), (end, end_turn)] = self.nodes.map(|node| motion(displacements, node));
        let turn = end_turn - start_turn;
        // Differences first, so that a large common motion costs no digits.
        let moved = (end - start) + turn.cross(self.offsets[1]) - start_turn.cross(self.between);
        let back = self.axes.transpose();
        [back * moved, back * turn]
    }

    /// Forces on its ends that go with displacements of the nodes: start force and moment, end force and moment, local axes;
    /// and twice the energy it stores.
    pub(super) fn forces(&self, displacements: &[f64]) -> ([DVec3; 4], f64) {
        let [moved, turned] = self.strain(displacements);
        let mut forces = [0.0; 12];
        let strain = moved.to_array().into_iter().chain(turned.to_array());
        for (column, strain) in self.stiffness[6..].iter().zip(strain) {
            forces.iter_mut().zip(column).for_each(|(force, stiffness)| *force += stiffness * strain);
        }
        let forces = blocks(&forces);
        (forces, forces[2].dot(moved) + forces[3].dot(turned))
    }

    /// What pulls its ends apart: positive when longer.
    pub(super) fn elongation(&self, displacements: &[f64]) -> f64 {
        self.strain(displacements)[0].x
    }

    /// Forces and moments at its ends (local axes) carried to its nodes (global axes).
    pub(super) fn to_nodes(&self, ends: &[DVec3; 4]) -> [(DVec3, DVec3); 2] {
        std::array::from_fn(|end| {
            let force = self.axes * ends[2 * end];
            (force, self.axes * ends[2 * end + 1] + self.offsets[end].cross(force))
        })
    }

    /// End forces equivalent to a load given in global axes, through the end springs; local axes.
    pub(super) fn equivalent(&self, spread: &Spread) -> [DVec3; 4] {
        let own = self.line.ends(&self.local(spread));
        let through = match &self.carry {
            None => own,
            Some(carry) => carry.map(|row| row.iter().zip(own).map(|(share, value)| share * value).sum()),
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
pub(super) fn motion(displacements: &[f64], node: usize) -> (DVec3, DVec3) {
    let own = &displacements[6 * node..6 * node + 6];
    (DVec3::from_slice(own), DVec3::from_slice(&own[3..]))
}

/// The matrix that takes `v` to `arm` x `v`.
fn skew(arm: DVec3) -> DMat3 {
    DMat3::from_cols(arm.cross(DVec3::X), arm.cross(DVec3::Y), arm.cross(DVec3::Z))
}

/// Stiffness in local axes with rigid ends (slope-deflection with shear deformation).
fn stiffness(section: &Section, line: &Line) -> Matrix12 {
    let mut whole = [[0.0; 12]; 12];
    let mut opposed = |freedom: usize, value: f64| {
        for (r, c, sign) in [(0, 0, 1.0), (6, 6, 1.0), (0, 6, -1.0), (6, 0, -1.0)] {
            whole[freedom + r][freedom + c] = sign * value;
        }
    };
    opposed(0, section.elastic * section.area / line.length);
    if line.bends {
        opposed(3, section.shear * section.torsion / line.length);
        // A rotation about y turns x into -z: the couplings change sign.
        bend(&mut whole, [1, 5, 7, 11], section.elastic * section.inertia_z, line.length, line.shear[0], 1.0);
        bend(
            &mut whole,
            [2, 4, 8, 10],
            section.elastic * section.inertia_y,
            line.length,
            line.shear[1],
            -1.0,
        );
    }
    whole
}

/// Bending in one plane; `at` are the freedoms start moved, start turned, end moved, end turned.
fn bend(whole: &mut Matrix12, at: [usize; 4], rigidity: f64, length: f64, shear: f64, sign: f64) {
    let a = rigidity / (length * length * length * (1.0 + shear));
    let (force, couple) = (12.0 * a, sign * 6.0 * a * length);
    let (near, far) = ((4.0 + shear) * a * length * length, (2.0 - shear) * a * length * length);
    let own = [
        [force, couple, -force, couple],
        [couple, near, -couple, far],
        [-force, -couple, force, -couple],
        [couple, far, -couple, near],
    ];
    for (row, values) in at.into_iter().zip(own) {
        for (column, value) in at.into_iter().zip(values) {
            whole[row][column] = value;
        }
    }
}
