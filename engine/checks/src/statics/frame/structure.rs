//! A frame made ready: elements, springs, numbering; the matrix for a set of one-sided items at work; resistance.

use super::blocks::{Block, Blocks};
use super::diagnosis::size;
use super::element::Element;
use super::model::{Frame, Hold, MemberKind};
use super::order::Order;
use super::sides::{Ends, Sides, each};
use std::sync::Arc;

/// A node may turn about an axis without any resistance when every bar there is released about it. Such a turn moves nothing
/// else. This share of the bars' own resistance to turning is rounding.
const TURNS_FREELY: f64 = 1e-12;

/// A spring at a node.
pub(super) struct Spring {
    /// Its support, by index.
    pub(super) support: usize,
    /// Freedom, counted over all nodes.
    pub(super) freedom: usize,
    pub(super) stiffness: f64,
}

/// Something that works in one sense only.
pub(super) enum OneSided {
    /// Element that only pulls.
    Wire(usize),
    /// Spring that only pushes, and the sign of its push.
    Contact(usize, f64),
}

/// How much of each one-sided item's stiffness is at work, item by item.
pub(super) type Work = Vec<f64>;

/// What goes with displacements, side by side.
pub(super) struct Response<const N: usize> {
    /// Forces at all freedoms.
    pub(super) at_nodes: Vec<Sides<N>>,
    /// Twice the energy stored.
    pub(super) twice_energy: Sides<N>,
}

pub(super) struct Structure {
    pub(super) elements: Vec<Element>,
    pub(super) springs: Vec<Spring>,
    pub(super) one_sided: Vec<OneSided>,
    /// For each element and spring, its place among the one-sided items.
    wires: Vec<Option<usize>>,
    contacts: Vec<Option<usize>>,
    /// Whether each freedom is held rigidly.
    held: Vec<bool>,
    pub(super) order: Arc<Order>,
    /// Resistance to turning of the bars at each node, before releases: a scale.
    turning: Vec<f64>,
    /// Arm that turns forces into moments of the frame's size: the mean length of a member, m.
    pub(super) arm: f64,
    /// Diagonal of the box round all nodes, m.
    pub(super) size: f64,
}

impl Structure {
    /// `order` is that of another frame with the same bars between the same nodes, where there is one.
    pub(super) fn new(frame: &Frame, elements: Vec<Element>, order: Option<&Arc<Order>>) -> Structure {
        let (mut one_sided, mut wires) = (Vec::new(), vec![None; elements.len()]);
        for (at, _) in frame.members.iter().enumerate().filter(|(_, own)| own.kind == MemberKind::TensionOnly)
        {
            wires[at] = Some(one_sided.len());
            one_sided.push(OneSided::Wire(at));
        }
        let (mut springs, mut contacts) = (Vec::new(), Vec::new());
        let mut held = vec![false; 6 * frame.nodes.len()];
        for (support, freedom, hold) in holds(frame) {
            let (stiffness, contact) = match hold {
                Hold::Free => continue,
                Hold::Fixed => {
                    held[freedom] = true;
                    continue;
                }
                Hold::Spring(stiffness) => (stiffness, None),
                Hold::OneSided(stiffness, push) => {
                    one_sided.push(OneSided::Contact(springs.len(), push.sign()));
                    (stiffness, Some(one_sided.len() - 1))
                }
            };
            springs.push(Spring { support, freedom, stiffness });
            contacts.push(contact);
        }
        let mut turning = vec![0.0; frame.nodes.len()];
        for element in &elements {
            element.nodes.iter().for_each(|&node| turning[node] += element.turning);
        }
        let anew = || Arc::new(Order::new(&neighbours(&elements, frame.nodes.len())));
        let order = order.map_or_else(anew, Arc::clone);
        let arm = elements.iter().map(|own| own.line.length).sum::<f64>() / elements.len() as f64;
        let size = size(frame);
        Structure { elements, springs, one_sided, wires, contacts, held, order, turning, arm, size }
    }

    /// Entries that the matrix keeps.
    pub(super) fn entries(&self) -> usize {
        36 * (self.order.places.len() + self.order.pairs())
    }

    fn at_work(&self, item: Option<usize>, work: &Work) -> f64 {
        item.map_or(1.0, |item| work[item])
    }

    /// Freedoms that are held rigidly.
    pub(super) fn held(&self) -> impl Iterator<Item = usize> {
        (0..self.held.len()).filter(|&freedom| self.held[freedom])
    }

    /// Whether a freedom is held rigidly.
    pub(super) fn is_held(&self, freedom: usize) -> bool {
        self.held[freedom]
    }

    /// The matrix, and the freedoms in which nodes turn freely: these are held, which changes nothing else. So are freedoms that
    /// are held rigidly.
    pub(super) fn assemble(&self, work: &Work) -> (Blocks, Vec<usize>) {
        let mut matrix = Blocks::new(Arc::clone(&self.order));
        for (element, wire) in self.elements.iter().zip(&self.wires) {
            let share = self.at_work(*wire, work);
            if share != 0.0 {
                let [start, end] = element.nodes;
                matrix.add_own(start, &self.nodal(element, [0, 0], share));
                matrix.add_own(end, &self.nodal(element, [1, 1], share));
                matrix.add(end, start, &self.nodal(element, [1, 0], share));
            }
        }
        for (spring, contact) in self.springs.iter().zip(&self.contacts) {
            matrix.add_to(spring.freedom, spring.stiffness * self.at_work(*contact, work));
        }
        self.held().for_each(|freedom| matrix.add_to(freedom, 1.0));
        let free = self.hold_free_turns(&mut matrix);
        (matrix, free)
    }

    /// Stiffness of an element between two of its ends, nothing where freedoms are held.
    fn nodal(&self, element: &Element, [row, column]: [usize; 2], share: f64) -> Block {
        let mut block = element.nodal(row, column);
        let is_held = |end: usize, own: usize| self.is_held(6 * element.nodes[end] + own);
        for (c, values) in block.iter_mut().enumerate() {
            for (r, value) in values.iter_mut().enumerate() {
                *value = if is_held(row, r) || is_held(column, c) { 0.0 } else { *value * share };
            }
        }
        block
    }

    /// Elimination within the three turns of every node. What is left without resistance has none at all (the matrix is
    /// positive semi-definite), so one freedom may be held for it.
    fn hold_free_turns(&self, matrix: &mut Blocks) -> Vec<usize> {
        let mut held = Vec::new();
        for (node, &scale) in self.turning.iter().enumerate() {
            let mut open: Vec<usize> =
                (6 * node + 3..6 * node + 6).filter(|&own| !self.is_held(own)).collect();
            let own = matrix.own(node);
            let mut block: Vec<Vec<f64>> =
                open.iter().map(|&a| open.iter().map(|&b| own[b % 6][a % 6]).collect()).collect();
            while let Some(best) = (0..open.len()).max_by(|&a, &b| block[a][a].total_cmp(&block[b][b])) {
                if block[best][best] <= TURNS_FREELY * scale {
                    break;
                }
                eliminate(&mut block, best);
                open.remove(best);
            }
            for freedom in open {
                matrix.add_to(freedom, if scale > 0.0 { scale } else { 1.0 });
                held.push(freedom);
            }
        }
        held
    }

    /// Puts down the forces at the ends of an element that go with displacements of all freedoms; twice the energy it stores.
    #[inline(always)]
    pub(super) fn ends<const N: usize>(
        &self,
        element: usize,
        displacements: &[Sides<N>],
        work: &Work,
        ends: &mut Ends<N>,
    ) -> Sides<N> {
        let mut twice_energy = self.elements[element].forces(displacements, ends);
        let share = self.at_work(self.wires[element], work);
        if share != 1.0 {
            let figures = ends.as_flattened_mut().as_flattened_mut().iter_mut();
            figures.chain(&mut twice_energy).for_each(|own| *own *= share);
        }
        twice_energy
    }

    /// What goes with displacements of all freedoms; `sums` is room for it.
    #[inline(always)]
    pub(super) fn response<const N: usize>(
        &self,
        displacements: &[Sides<N>],
        work: &Work,
        mut sums: Vec<Sides<N>>,
    ) -> Response<N> {
        sums.fill([0.0; N]);
        let mut response = Response { at_nodes: sums, twice_energy: [0.0; N] };
        let mut ends = [[[0.0; N]; 3]; 4];
        for (at, element) in self.elements.iter().enumerate() {
            let twice_energy = self.ends(at, displacements, work, &mut ends);
            element.add_to_nodes(&ends, &mut response.at_nodes);
            response.twice_energy = each(|side| response.twice_energy[side] + twice_energy[side]);
        }
        for (at, spring) in self.springs.iter().enumerate() {
            let push = self.push(at, displacements, work);
            let (node, moved) = (&mut response.at_nodes[spring.freedom], &displacements[spring.freedom]);
            *node = each(|side| node[side] - push[side]);
            response.twice_energy = each(|side| response.twice_energy[side] - push[side] * moved[side]);
        }
        response
    }

    /// Force of a spring on its node.
    #[inline(always)]
    pub(super) fn push<const N: usize>(
        &self,
        spring: usize,
        displacements: &[Sides<N>],
        work: &Work,
    ) -> Sides<N> {
        let own = &self.springs[spring];
        let stiffness = -own.stiffness * self.at_work(self.contacts[spring], work);
        displacements[own.freedom].map(|moved| stiffness * moved)
    }
}

/// Takes row and column `at` out of a small symmetric block.
fn eliminate(block: &mut Vec<Vec<f64>>, at: usize) {
    let own = block.remove(at);
    for values in block {
        let factor = values[at] / own[at];
        values.iter_mut().zip(&own).for_each(|(value, own)| *value -= factor * own);
        values.remove(at);
    }
}

/// Every hold with its support and its freedom, counted over all nodes.
fn holds(frame: &Frame) -> impl Iterator<Item = (usize, usize, Hold)> {
    frame.supports.iter().enumerate().flat_map(|(at, support)| {
        support.holds.iter().enumerate().map(move |(freedom, hold)| (at, 6 * support.node + freedom, *hold))
    })
}

/// Nodes that the bars of each node lead to.
fn neighbours(elements: &[Element], nodes: usize) -> Vec<Vec<usize>> {
    let mut neighbours = vec![Vec::new(); nodes];
    for &Element { nodes: [a, b], .. } in elements {
        neighbours[a].push(b);
        neighbours[b].push(a);
    }
    neighbours
}
