//! What load cases come to, worked out once for each, and combinations of them, which only scale it.

use super::element::Element;
use super::model::{Combination, Frame, LoadCase, MemberLoad, NodalLoad};
use super::sides::{Sides, Vectors, each};
use super::sum::Sum;
use slatwork_solid::DVec3;
use std::collections::BTreeMap;

/// What a load case comes to.
pub(super) struct Gathered<'a> {
    pub(super) case: &'a LoadCase,
    /// Loads at nodes by freedom, node by node, with what members bring to their ends; nodes without any are left out.
    at_nodes: Vec<(usize, [f64; 6])>,
    /// Its loads on members, member by member.
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
        let mut members: Vec<Carried> = case.members.iter().map(carried).collect();
        let mut at_nodes: BTreeMap<usize, [DVec3; 2]> = BTreeMap::new();
        let mut add = |node: usize, [force, moment]: [DVec3; 2]| {
            let own = at_nodes.entry(node).or_default();
            own[0] += force;
            own[1] += moment;
        };
        case.nodal.iter().for_each(|load| add(load.node, [load.force, load.moment]));
        for load in &members {
            let element = &elements[load.member];
            let ends = element.nodes.into_iter().zip(element.brought(&load.ends));
            ends.for_each(|(node, brought)| add(node, brought));
        }
        let six = |[force, moment]: [DVec3; 2]| std::array::from_fn(|at| [force, moment][at / 3][at % 3]);
        let at_nodes = at_nodes.into_iter().map(|(node, own)| (node, six(own))).collect();
        members.sort_by_key(|load| load.member);
        Gathered { case, at_nodes, members, whole: whole(frame, elements, case) }
    }
}

impl Gathered<'_> {
    /// Whether a load of it is on a member.
    pub(super) fn bears(&self, member: usize) -> bool {
        self.members.binary_search_by_key(&member, |load| load.member).is_ok()
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

/// The loads of combinations side by side.
pub(super) struct Loading<'a, const N: usize> {
    /// What is scaled, with its factor in each, in the order of the cases.
    parts: Vec<(Sides<N>, &'a Gathered<'a>)>,
    /// Prescribed displacements of all freedoms; empty where nothing settles.
    pub(super) settled: Vec<Sides<N>>,
    /// Loads at all freedoms, with what members bring to their ends.
    pub(super) at_nodes: Vec<Sides<N>>,
}

impl<'a, const N: usize> Loading<'a, N> {
    /// Adds up what combinations take of each case.
    #[inline(always)]
    pub(super) fn new(cases: &'a [Gathered<'a>], combinations: [&Combination; N], freedoms: usize) -> Self {
        let mut factors: BTreeMap<usize, Sides<N>> = BTreeMap::new();
        for (side, combination) in combinations.into_iter().enumerate() {
            for &(case, factor) in combination.factors.iter().filter(|(_, factor)| *factor != 0.0) {
                factors.entry(case).or_insert([0.0; N])[side] += factor;
            }
        }
        let parts: Vec<_> = factors.into_iter().map(|(case, factors)| (factors, &cases[case])).collect();
        let (mut settled, mut at_nodes) = (Vec::new(), vec![[0.0; N]; freedoms]);
        for (factors, own) in &parts {
            if !own.case.settlements.is_empty() {
                settled.resize(freedoms, [0.0; N]);
            }
            for settlement in &own.case.settlements {
                let sum = &mut settled[6 * settlement.node + settlement.freedom];
                *sum = each(|side| sum[side] + settlement.moved * factors[side]);
            }
            for (node, loads) in &own.at_nodes {
                for (sum, load) in at_nodes[6 * node..6 * node + 6].iter_mut().zip(loads) {
                    *sum = each(|side| sum[side] + load * factors[side]);
                }
            }
        }
        Loading { parts, settled, at_nodes }
    }

    /// Loads on nodes as they are given, each with its factors.
    pub(super) fn nodal(&self) -> impl Iterator<Item = (&Sides<N>, &NodalLoad)> {
        self.parts.iter().flat_map(|(factors, own)| own.case.nodal.iter().map(move |load| (factors, load)))
    }

    /// Loads on members, each with its factors.
    pub(super) fn members(&self) -> impl Iterator<Item = (&Sides<N>, &Carried)> {
        self.parts.iter().flat_map(|(factors, own)| own.members.iter().map(move |load| (factors, load)))
    }

    /// The same, to be taken off member by member.
    pub(super) fn by_member(&self) -> ByMember<'_, N> {
        ByMember(self.parts.iter().map(|(factors, own)| (factors, own.members.as_slice())).collect())
    }

    /// All of it in one of the combinations, about the first node.
    pub(super) fn whole(&self, side: usize) -> Sum {
        let mut sum = Sum::default();
        self.parts.iter().for_each(|(factors, own)| sum.add_sum(&own.whole.times(factors[side])));
        sum
    }
}

/// What is left of loads on members, case by case, each with its factors.
pub(super) struct ByMember<'a, const N: usize>(Vec<(&'a Sides<N>, &'a [Carried])>);

impl<const N: usize> ByMember<'_, N> {
    /// Takes off the loads of a member; members come in order.
    #[inline(always)]
    pub(super) fn take(&mut self, member: usize, mut each: impl FnMut(&Sides<N>, &Carried)) {
        for (factors, loads) in &mut self.0 {
            while let Some((load, rest)) = loads.split_first().filter(|(load, _)| load.member == member) {
                each(factors, load);
                *loads = rest;
            }
        }
    }
}

/// Adds force and moment at a node.
#[inline(always)]
pub(super) fn add<const N: usize>(sums: &mut [Sides<N>], node: usize, [force, moment]: &[Vectors<N>; 2]) {
    let values = [&force.x, &force.y, &force.z, &moment.x, &moment.y, &moment.z];
    for (sum, value) in sums[6 * node..6 * node + 6].iter_mut().zip(values) {
        *sum = each(|side| sum[side] + value[side]);
    }
}
