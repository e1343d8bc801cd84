//! A frame made ready: elements, springs, numbering; the matrix for a set of one-sided items at work; resistance.

use super::element::Element;
use super::loading::add;
use super::model::{Frame, Hold, MemberKind};
use super::order::order;
use super::skyline::Skyline;

/// A freedom without an equation: it is held rigidly.
const HELD: usize = usize::MAX;

/// A node may turn about an axis without any resistance when every bar there is released about it. Such a turn moves nothing
/// else. This share of the bars' own resistance to turning is rounding.
const TURNS_FREELY: f64 = 1e-12;

/// A spring at a node.
pub(super) struct Spring {
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

pub(super) struct Structure {
    pub(super) elements: Vec<Element>,
    pub(super) springs: Vec<Spring>,
    pub(super) one_sided: Vec<OneSided>,
    /// For each element and spring, its place among the one-sided items.
    wires: Vec<Option<usize>>,
    contacts: Vec<Option<usize>>,
    /// Equation of each freedom, or [`HELD`].
    equations: Vec<usize>,
    /// Freedom of each equation.
    pub(super) freedoms: Vec<usize>,
    /// First column of each row of the matrix.
    first: Vec<usize>,
    /// Resistance to turning of the bars at each node, before releases: a scale.
    turning: Vec<f64>,
}

impl Structure {
    pub(super) fn new(frame: &Frame, elements: Vec<Element>) -> Structure {
        let (mut one_sided, mut wires) = (Vec::new(), vec![None; elements.len()]);
        for (at, _) in frame.members.iter().enumerate().filter(|(_, own)| own.kind == MemberKind::TensionOnly)
        {
            wires[at] = Some(one_sided.len());
            one_sided.push(OneSided::Wire(at));
        }
        let (mut springs, mut contacts) = (Vec::new(), Vec::new());
        let mut held = vec![false; 6 * frame.nodes.len()];
        for (freedom, hold) in holds(frame) {
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
            springs.push(Spring { freedom, stiffness });
            contacts.push(contact);
        }
        let mut turning = vec![0.0; frame.nodes.len()];
        for element in &elements {
            element.nodes.iter().for_each(|&node| turning[node] += element.turning);
        }
        let (equations, freedoms) = number(&elements, &held);
        let first = profile(&elements, &equations, freedoms.len());
        Structure { elements, springs, one_sided, wires, contacts, equations, freedoms, first, turning }
    }

    /// Entries that the matrix keeps.
    pub(super) fn entries(&self) -> usize {
        self.first.iter().enumerate().map(|(row, first)| row - first + 1).sum()
    }

    fn at_work(&self, item: Option<usize>, work: &Work) -> f64 {
        item.map_or(1.0, |item| work[item])
    }

    /// Whether a freedom is held rigidly.
    pub(super) fn is_held(&self, freedom: usize) -> bool {
        self.equations[freedom] == HELD
    }

    /// The matrix, and the freedoms in which nodes turn freely: these are held, which changes nothing else.
    pub(super) fn assemble(&self, work: &Work) -> (Skyline, Vec<usize>) {
        let mut matrix = Skyline::new(self.first.clone());
        for (element, wire) in self.elements.iter().zip(&self.wires) {
            let share = self.at_work(*wire, work);
            for (row, column) in [(0, 0), (1, 0), (1, 1)] {
                self.scatter(&mut matrix, element, row, column, share);
            }
        }
        for (spring, contact) in self.springs.iter().zip(&self.contacts) {
            let equation = self.equations[spring.freedom];
            matrix.add(equation, equation, spring.stiffness * self.at_work(*contact, work));
        }
        let free = self.hold_free_turns(&mut matrix);
        (matrix, free)
    }

    fn scatter(&self, matrix: &mut Skyline, element: &Element, row: usize, column: usize, share: f64) {
        if share == 0.0 {
            return;
        }
        let values = element.nodal(row, column);
        let equations = |end: usize| &self.equations[6 * element.nodes[end]..6 * element.nodes[end] + 6];
        for (r, &a) in equations(row).iter().enumerate() {
            for (c, &b) in equations(column).iter().enumerate() {
                // On a diagonal block only the lower half.
                if a != HELD && b != HELD && (row != column || c <= r) {
                    matrix.add(a, b, values[r][c] * share);
                }
            }
        }
    }

    /// Elimination within the three turns of every node. What is left without resistance has none at all (the matrix is
    /// positive semi-definite), so one freedom may be held for it.
    fn hold_free_turns(&self, matrix: &mut Skyline) -> Vec<usize> {
        let mut held = Vec::new();
        for (node, &scale) in self.turning.iter().enumerate() {
            let mut open: Vec<usize> =
                (6 * node + 3..6 * node + 6).filter(|&own| !self.is_held(own)).collect();
            let left = |a: usize, b: usize| matrix.get(self.equations[a], self.equations[b]);
            let mut block: Vec<Vec<f64>> =
                open.iter().map(|&a| open.iter().map(|&b| left(a, b)).collect()).collect();
            while let Some(best) = (0..open.len()).max_by(|&a, &b| block[a][a].total_cmp(&block[b][b])) {
                if block[best][best] <= TURNS_FREELY * scale {
                    break;
                }
                eliminate(&mut block, best);
                open.remove(best);
            }
            for freedom in open {
                let equation = self.equations[freedom];
                matrix.add(equation, equation, if scale > 0.0 { scale } else { 1.0 });
                held.push(freedom);
            }
        }
        held
    }

    /// Forces at all freedoms that go with displacements.
    pub(super) fn resistance(&self, displacements: &[f64], work: &Work) -> Vec<f64> {
        let mut sums = vec![0.0; displacements.len()];
        for (element, wire) in self.elements.iter().zip(&self.wires) {
            let share = self.at_work(*wire, work);
            if share != 0.0 {
                let ends = element.to_nodes(&element.forces(displacements));
                for (node, (force, moment)) in element.nodes.into_iter().zip(ends) {
                    add(&mut sums, node, force * share, moment * share);
                }
            }
        }
        for at in 0..self.springs.len() {
            sums[self.springs[at].freedom] -= self.push(at, displacements, work);
        }
        sums
    }

    /// Force of a spring on its node.
    pub(super) fn push(&self, spring: usize, displacements: &[f64], work: &Work) -> f64 {
        let own = &self.springs[spring];
        -own.stiffness * displacements[own.freedom] * self.at_work(self.contacts[spring], work)
    }

    /// Twice the energy stored under displacements.
    pub(super) fn twice_energy(&self, displacements: &[f64], work: &Work) -> f64 {
        let bars = self.elements.iter().zip(&self.wires);
        let bars: f64 =
            bars.map(|(own, wire)| own.twice_energy(displacements) * self.at_work(*wire, work)).sum();
        let springs = (0..self.springs.len())
            .map(|at| -self.push(at, displacements, work) * displacements[self.springs[at].freedom]);
        bars + springs.sum::<f64>()
    }

    /// Share of an element's stiffness that is at work.
    pub(super) fn wire_at_work(&self, element: usize, work: &Work) -> f64 {
        self.at_work(self.wires[element], work)
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

/// Every hold with its freedom, counted over all nodes.
fn holds(frame: &Frame) -> impl Iterator<Item = (usize, Hold)> {
    frame.supports.iter().flat_map(|support| {
        support.holds.iter().enumerate().map(|(freedom, hold)| (6 * support.node + freedom, *hold))
    })
}

/// Equations of freedoms and freedoms of equations, node by node in a narrow order.
fn number(elements: &[Element], held: &[bool]) -> (Vec<usize>, Vec<usize>) {
    let mut neighbours = vec![Vec::new(); held.len() / 6];
    for &Element { nodes: [a, b], .. } in elements {
        neighbours[a].push(b);
        neighbours[b].push(a);
    }
    let all = order(&neighbours).into_iter().flat_map(|node| 6 * node..6 * node + 6);
    let freedoms: Vec<usize> = all.filter(|&freedom| !held[freedom]).collect();
    let mut equations = vec![HELD; held.len()];
    freedoms.iter().enumerate().for_each(|(equation, &freedom)| equations[freedom] = equation);
    (equations, freedoms)
}

/// First column of each row.
fn profile(elements: &[Element], equations: &[usize], rows: usize) -> Vec<usize> {
    let mut first: Vec<usize> = (0..rows).collect();
    // The turns of a node meet even where its bars do not join them.
    for own in equations.as_chunks::<6>().0 {
        lower_first(&mut first, own.iter().copied());
    }
    for element in elements {
        let [a, b] = element.nodes.map(|node| equations[6 * node..6 * node + 6].iter().copied());
        lower_first(&mut first, a.chain(b));
    }
    first
}

fn lower_first(first: &mut [usize], equations: impl Iterator<Item = usize> + Clone) {
    let own = equations.filter(|&equation| equation != HELD);
    let Some(lowest) = own.clone().min() else { return };
    own.for_each(|equation| first[equation] = first[equation].min(lowest));
}
