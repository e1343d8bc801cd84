//! One combination gathered: loads with their factors, and what they come to at the nodes.

use super::element::Element;
use super::model::{Combination, Frame, NodalLoad, Spread};
use slatwork_solid::DVec3;

/// What loads on members come to at their ends, for each load of each case: worked out once, as combinations only scale it.
pub(super) struct Brought(Vec<Vec<[DVec3; 4]>>);

impl Brought {
    pub(super) fn new(frame: &Frame, elements: &[Element]) -> Brought {
        let of_case = |case: &super::LoadCase| {
            case.members.iter().map(|load| elements[load.member].equivalent(&load.spread)).collect()
        };
        Brought(frame.cases.iter().map(of_case).collect())
    }
}

/// A load on a member with what it comes to at its ends, local axes.
pub(super) struct Carried {
    pub(super) member: usize,
    pub(super) spread: Spread,
    pub(super) ends: [DVec3; 4],
}

/// The loads of a combination.
pub(super) struct Loading {
    pub(super) nodal: Vec<NodalLoad>,
    pub(super) members: Vec<Carried>,
    /// Prescribed displacements of all freedoms; zero where nothing settles.
    pub(super) settled: Vec<f64>,
    /// Loads at the nodes, with what members bring to their ends.
    pub(super) at_nodes: Vec<f64>,
}

impl Loading {
    /// Gathers what a combination puts on a frame that has passed the checks on input.
    pub(super) fn new(
        frame: &Frame,
        elements: &[Element],
        brought: &Brought,
        combination: &Combination,
    ) -> Loading {
        let freedoms = 6 * frame.nodes.len();
        let mut loading = Loading {
            nodal: Vec::new(),
            members: Vec::new(),
            settled: vec![0.0; freedoms],
            at_nodes: vec![0.0; freedoms],
        };
        for &(at, factor) in combination.factors.iter().filter(|(_, factor)| *factor != 0.0) {
            let case = &frame.cases[at];
            loading.nodal.extend(case.nodal.iter().map(|load| NodalLoad {
                node: load.node,
                force: load.force * factor,
                moment: load.moment * factor,
            }));
            let loads = case.members.iter().zip(&brought.0[at]);
            loading.members.extend(loads.map(|(load, ends)| Carried {
                member: load.member,
                spread: load.spread.times(factor),
                ends: ends.map(|own| own * factor),
            }));
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
            let ends = element.to_nodes(&load.ends);
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
