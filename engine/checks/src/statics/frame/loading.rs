//! What load cases come to, worked out once for each, and combinations of them, which only scale it.

use super::element::Element;
use super::model::{Combination, Frame, LoadCase, MemberLoad, NodalLoad};
use super::sum::Sum;
use slatwork_solid::DVec3;

/// What a load case comes to.
pub(super) struct Gathered<'a> {
    case: &'a LoadCase,
    /// Loads at all freedoms, with what members bring to their ends.
    at_nodes: Vec<f64>,
    /// Its loads on members, in their order.
    members: Vec<Carried>,
    /// All of it, about the first node.
    whole: Sum,
}

/// A load on a member.
#[derive(Clone, Copy)]
pub(super) struct Carried {
    pub(super) member: usize,
    /// What it comes to at the member's ends, local axes.
    pub(super) ends: [DVec3; 4],
    /// The load itself, about the member's start, local axes.
    pub(super) sum: Sum,
}

impl<'a> Gathered<'a> {
    /// Gathers a case of a frame that has passed the checks on input.
    pub(super) fn new(frame: &Frame, elements: &[Element], case: &'a LoadCase) -> Gathered<'a> {
        let carried = |load: &MemberLoad| Carried {
            member: load.member,
            ends: elements[load.member].equivalent(&load.spread),
            sum: elements[load.member].resultant(&load.spread),
        };
        let members: Vec<Carried> = case.members.iter().map(carried).collect();
        let mut at_nodes = vec![0.0; 6 * frame.nodes.len()];
        case.nodal.iter().for_each(|load| add(&mut at_nodes, load.node, load.force, load.moment));
        for load in &members {
            let element = &elements[load.member];
            for (node, (force, moment)) in element.nodes.into_iter().zip(element.to_nodes(&load.ends)) {
                add(&mut at_nodes, node, force, moment);
            }
        }
        Gathered { case, at_nodes, members, whole: whole(frame, elements, case) }
    }
}

/// All that a case puts on a frame, about the first node.
fn whole(frame: &Frame, elements: &[Element], case: &LoadCase) -> Sum {
    let from_first = |node: usize| frame.nodes[node].at - frame.nodes[0].at;
    let mut sum = Sum::default();
    case.nodal.iter().for_each(|load| sum.add(from_first(load.node), load.force, load.moment));
    for load in &case.members {
        let element = &elements[load.member];
        let start = from_first(element.nodes[0]) + element.offsets[0];
        sum.add_spread(start, element.axes.x_axis, element.line.length, &load.spread);
    }
    sum
}

/// The loads of a combination.
pub(super) struct Loading<'a> {
    /// Factors with what they scale; none is zero.
    parts: Vec<(f64, &'a Gathered<'a>)>,
    /// Prescribed displacements of all freedoms; zero where nothing settles.
    pub(super) settled: Vec<f64>,
    /// Loads at all freedoms, with what members bring to their ends.
    pub(super) at_nodes: Vec<f64>,
}

impl<'a> Loading<'a> {
    /// Adds up what a combination takes of each case.
    pub(super) fn new(cases: &'a [Gathered<'a>], combination: &Combination, freedoms: usize) -> Loading<'a> {
        let factors = combination.factors.iter().filter(|(_, factor)| *factor != 0.0);
        let parts: Vec<(f64, &Gathered)> = factors.map(|&(case, factor)| (factor, &cases[case])).collect();
        let (mut settled, mut at_nodes) = (vec![0.0; freedoms], vec![0.0; freedoms]);
        for (factor, own) in &parts {
            for settlement in &own.case.settlements {
                settled[6 * settlement.node + settlement.freedom] += settlement.moved * factor;
            }
            at_nodes.iter_mut().zip(&own.at_nodes).for_each(|(sum, load)| *sum += load * factor);
        }
        Loading { parts, settled, at_nodes }
    }

    /// Loads on nodes as they are given, each with its factor.
    pub(super) fn nodal(&self) -> impl Iterator<Item = (f64, &NodalLoad)> {
        self.parts.iter().flat_map(|(factor, own)| own.case.nodal.iter().map(|load| (*factor, load)))
    }

    /// Loads on members, each with its factor.
    pub(super) fn members(&self) -> impl Iterator<Item = (f64, &Carried)> {
        self.parts.iter().flat_map(|(factor, own)| own.members.iter().map(|load| (*factor, load)))
    }

    /// All of it, about the first node.
    pub(super) fn whole(&self) -> Sum {
        let mut sum = Sum::default();
        self.parts.iter().for_each(|(factor, own)| sum.add_sum(&own.whole.times(*factor)));
        sum
    }
}

/// Adds force and moment at a node.
pub(super) fn add(sums: &mut [f64], node: usize, force: DVec3, moment: DVec3) {
    let values = force.to_array().into_iter().chain(moment.to_array());
    sums[6 * node..6 * node + 6].iter_mut().zip(values).for_each(|(sum, value)| *sum += value);
}
