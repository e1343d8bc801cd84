//! Forces and deflection between the ends of a member, in closed form.
//!
//! A load is a sum of terms c <x - a>^n / n!: a point load n = -1, an even load n = 0, a ramp n = 1 (Macaulay). Each
//! integration raises n by one.

use super::answer::Solution;
use super::element::{axes, span};
use super::model::{Combination, Frame, Section, Spread};
use slatwork_solid::{DMat3, DVec2, DVec3};

/// Places this near, as a share of the length, are one: rounding.
const SAME_STATION: f64 = 1e-9;

/// One member under one combination.
pub struct Along {
    length: f64,
    section: Section,
    bends: bool,
    terms: Vec<Term>,
    start: [DVec3; 2],
}

/// c <x - at>^n / n!, local axes.
struct Term {
    at: f64,
    power: i32,
    value: DVec3,
}

/// What the part of a member beyond a point does to the part before it, local axes: tension is positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionForces {
    /// Axial force and shear along y and z, N.
    pub force: DVec3,
    /// Torque, bending moment about y and z, N.m.
    pub moment: DVec3,
}

impl Along {
    /// A member of a solved frame.
    pub fn new(frame: &Frame, combination: &Combination, solution: &Solution, member: usize) -> Along {
        let loads = combination.factors.iter().flat_map(|&(case, factor)| {
            let own = frame.cases[case].members.iter().filter(move |load| load.member == member);
            own.map(move |load| load.spread.times(factor))
        });
        Along::under(frame, solution, member, loads)
    }

    /// A member of a solved frame whose loads are at hand.
    pub fn under(
        frame: &Frame,
        solution: &Solution,
        member: usize,
        loads: impl Iterator<Item = Spread>,
    ) -> Along {
        let own = &frame.members[member];
        let along = span(frame, own);
        let length = along.length();
        let back = axes(along, own.y_axis).unwrap_or(DMat3::IDENTITY).transpose();
        let ends = solution.end_forces.at(member);
        let start = [DVec3::from_slice(&ends[..3]), DVec3::from_slice(&ends[3..6])];
        let mut terms = vec![Term { at: 0.0, power: -1, value: start[0] }];
        // Even loads are one, as those of its own weight along the axes.
        let mut even = DVec3::ZERO;
        for spread in loads {
            match spread {
                Spread::Uniform(load) => even += load,
                Spread::Point { .. } | Spread::Trapezoid { .. } => {
                    push_terms(&mut terms, &spread, length, back)
                }
            }
        }
        push_terms(&mut terms, &Spread::Uniform(even), length, back);
        let bends = own.kind == super::MemberKind::Beam;
        Along { length, section: own.section, bends, terms, start }
    }

    /// Its length, metres.
    pub fn length(&self) -> f64 {
        self.length
    }

    /// The `times`-fold integral of the load up to `x`.
    fn integral(&self, times: i32, x: f64) -> DVec3 {
        let own = self.terms.iter().filter(|term| x >= term.at && term.power + times >= 0);
        own.fold(DVec3::ZERO, |sum, term| {
            // The first factors of the power and of its factorial go together.
            let over = x - term.at;
            let share = (1..=term.power + times).fold(1.0, |share, n| share * (over / f64::from(n)));
            sum + term.value * share
        })
    }

    /// Forces in the section at `x` metres from the start; at a point load, just beyond it.
    pub fn at(&self, x: f64) -> SectionForces {
        let x = x.clamp(0.0, self.length);
        let (force, lever) = (-self.integral(1, x), self.integral(2, x));
        let [_, moment] = self.start;
        SectionForces { force, moment: DVec3::new(-moment.x, -moment.y - lever.z, -moment.z + lever.y) }
    }

    /// Deflection along local y and z off the straight line between the member's two ends, metres.
    pub fn deflection(&self, x: f64) -> DVec2 {
        if !self.bends {
            return DVec2::ZERO;
        }
        let x = x.clamp(0.0, self.length);
        self.off_start(x) - self.off_start(self.length) * (x / self.length)
    }

    /// Deflection off the start and its tangent line.
    fn off_start(&self, x: f64) -> DVec2 {
        let (four, two) = (self.integral(4, x), self.integral(2, x));
        let moment = self.start[1] * (x * x / 2.0);
        let section = &self.section;
        let shear = |area: Option<f64>, lever: f64| area.map_or(0.0, |area| lever / (section.shear * area));
        DVec2::new(
            (four.y - moment.z) / (section.elastic * section.inertia_z) - shear(section.shear_area_y, two.y),
            (four.z + moment.y) / (section.elastic * section.inertia_y) - shear(section.shear_area_z, two.z),
        )
    }

    /// Places worth looking at: both ends, the middle, where loads begin and end, and where a shear force is zero, which is
    /// where a bending moment is greatest.
    pub fn stations(&self) -> Vec<f64> {
        let mut found: Vec<f64> = self.terms.iter().map(|term| term.at).collect();
        found.extend([self.length / 2.0, self.length]);
        self.in_order(&mut found);
        for at in 1..found.len() {
            let zeros = [1, 2].map(|axis| self.shear_zeros(found[at - 1], found[at], axis));
            found.extend(zeros.as_flattened().iter().flatten());
        }
        self.in_order(&mut found);
        found
    }

    /// Ascending, each once.
    fn in_order(&self, places: &mut Vec<f64>) {
        places.sort_by(f64::total_cmp);
        places.dedup_by(|later, earlier| *later - *earlier <= SAME_STATION * self.length);
    }

    /// Where the shear along an axis is zero between two neighbouring load points: a quadratic.
    fn shear_zeros(&self, from: f64, to: f64, axis: usize) -> [Option<f64>; 2] {
        let (start, load) = (self.integral(1, from)[axis], self.integral(0, from)[axis]);
        let ramps = self.terms.iter().filter(|term| term.power == 1 && term.at <= from);
        let ramp: f64 = ramps.map(|term| term.value[axis]).sum();
        roots(ramp / 2.0, load, start).map(|root| Some(from + root?).filter(|x| *x > from && *x < to))
    }

    /// The greatest bending moment about local y or z by amount, with its place; axis 1 or 2.
    pub fn greatest_moment(&self, axis: usize) -> (f64, f64) {
        let all = self.stations().into_iter().map(|x| (x, self.at(x).moment[axis]));
        all.fold((0.0, 0.0), |best: (f64, f64), own| if own.1.abs() > best.1.abs() { own } else { best })
    }
}

/// Real roots of a x^2 + b x + c, without the loss of digits of the school formula.
fn roots(a: f64, b: f64, c: f64) -> [Option<f64>; 2] {
    let under = b * b - 4.0 * a * c;
    if under < 0.0 {
        return [None; 2];
    }
    let q = -0.5 * (b + under.sqrt().copysign(b));
    [q / a, c / q].map(|root| Some(root).filter(|root| root.is_finite()))
}

fn push_terms(terms: &mut Vec<Term>, spread: &Spread, length: f64, back: DMat3) {
    let (from, to, begins, ends) = match *spread {
        Spread::Point { at, force } => {
            terms.push(Term { at, power: -1, value: back * force });
            return;
        }
        Spread::Uniform(load) => (0.0, length, load, load),
        Spread::Trapezoid { from, to, begins, ends } => (from, to, begins, ends),
    };
    if to <= from {
        return;
    }
    let slope = back * (ends - begins) / (to - from);
    terms.push(Term { at: from, power: 0, value: back * begins });
    terms.push(Term { at: to, power: 0, value: back * -ends });
    if slope != DVec3::ZERO {
        terms.push(Term { at: from, power: 1, value: slope });
        terms.push(Term { at: to, power: 1, value: -slope });
    }
}
