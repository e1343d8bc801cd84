//! One combination gathered: loads with their factors, and what they come to at the nodes.

use super::element::Element;
use super::model::{Combination, Frame, MemberLoad, NodalLoad};
use slatwork_solid::DVec3;

/// The loads of a combination.
pub(super) struct Loading {
    pub(super) nodal: Vec<NodalLoad>,
    pub(super) members: Vec<MemberLoad>,
    /// Prescribed displacements of all freedoms; zero where nothing settles.
    pub(super) settled: Vec<f64>,
    /// Loads at the nodes, with what members bring to their ends.
    pub(super) at_nodes: Vec<f64>,
}

impl Loading {
    /// Gathers what a combination puts on a frame that has passed the checks on input.
    pub(super) fn new(frame: &Frame, elements: &[Element], combination: &Combination) -> Loading {
        let freedoms = 6 * frame.nodes.len();
        let mut loading = Loading {
            nodal: Vec::new(),
            members: Vec::new(),
            settled: vec![0.0; freedoms],
            at_nodes: vec![0.0; freedoms],
        };
        for &(case, factor) in &combination.factors {
            let case = &frame.cases[case];
            loading.nodal.extend(case.nodal.iter().map(|load| NodalLoad {
                node: load.node,
                force: load.force * factor,
                moment: load.moment * factor,
            }));
            loading.members.extend(
                case.members
                    .iter()
                    .map(|load| MemberLoad { member: load.member, spread: load.spread.times(factor) }),
            );
            for settlement in &case.settlements {
                loading.settled[6 * settlement.node + settlement.freedom] += settlement.moved * factor;
            }
        }
        loading.gather(elements);
        loading
    }

    fn gather(&mut self, elements: &[Element]) {
        for load in &self.nodal {
            add(&mut self.at_nodes, load.node, load.force, load.moment);
        }
        for load in &self.members {
            let element = &elements[load.member];
            let ends = element.to_nodes(&element.equivalent(&load.spread));
            for (node, (force, moment)) in element.nodes.into_iter().zip(ends) {
                add(&mut self.at_nodes, node, force, moment);
            }
        }
    }
}

/// Adds force and moment at a node.
pub(super) fn add(sums: &mut [f64], node: usize, force: DVec3, moment: DVec3) {
    let values = force.to_array().into_iter().chain(moment.to_array());
    sums[6 * node..6 * node + 6].iter_mut().zip(values).for_each(|(sum, value)| *sum += value);
}
