//! Minimum degree: an order of nodes in which elimination fills in little, and what it fills in.
//!
//! Eliminating a node ties all that it meets to each other. The node that meets fewest goes first (George and Liu 1989);
//! of equals the one given first, so that the order is always the same.

use std::collections::BTreeSet;
use std::ops::Range;

/// Nodes in the order that they are eliminated, each with the later ones that it still meets.
pub(super) struct Order {
    /// Place of each node, and the node at each place.
    pub(super) places: Vec<usize>,
    pub(super) nodes: Vec<usize>,
    /// Where the later places of each place begin in `later`; one more than there are places.
    starts: Vec<usize>,
    /// Later places that each place meets, ascending.
    later: Vec<usize>,
}

impl Order {
    /// For nodes that meet the given neighbours.
    pub(super) fn new(neighbours: &[Vec<usize>]) -> Order {
        let (nodes, mut met) = eliminate(neighbours);
        let mut places = vec![0; nodes.len()];
        nodes.iter().enumerate().for_each(|(place, &node)| places[node] = place);
        let (mut starts, mut later) = (vec![0], Vec::new());
        for &node in &nodes {
            let own = &mut met[node];
            own.iter_mut().for_each(|other| *other = places[*other]);
            own.sort_unstable();
            later.extend_from_slice(own);
            starts.push(later.len());
        }
        Order { places, nodes, starts, later }
    }

    /// Pairs of nodes that meet, before elimination or by it.
    pub(super) fn pairs(&self) -> usize {
        self.later.len()
    }

    /// Where a place's later ones are kept.
    pub(super) fn span(&self, place: usize) -> Range<usize> {
        self.starts[place]..self.starts[place + 1]
    }

    /// Later places that a place meets, ascending.
    pub(super) fn later(&self, place: usize) -> &[usize] {
        &self.later[self.span(place)]
    }
}

/// Nodes in their order, and what each met when its turn came.
fn eliminate(neighbours: &[Vec<usize>]) -> (Vec<usize>, Vec<Vec<usize>>) {
    let mut meets: Vec<Vec<usize>> = (0..neighbours.len()).map(|node| others(neighbours, node)).collect();
    let mut waiting: BTreeSet<(usize, usize)> =
        meets.iter().enumerate().map(|(node, own)| (own.len(), node)).collect();
    let mut nodes = Vec::with_capacity(meets.len());
    while let Some((_, node)) = waiting.pop_first() {
        let own = std::mem::take(&mut meets[node]);
        for &other in &own {
            waiting.remove(&(meets[other].len(), other));
            meets[other] = joined(&meets[other], &own, [node, other]);
            waiting.insert((meets[other].len(), other));
        }
        meets[node] = own;
        nodes.push(node);
    }
    (nodes, meets)
}

/// The neighbours of a node, ascending, each once.
fn others(neighbours: &[Vec<usize>], node: usize) -> Vec<usize> {
    let mut own: Vec<usize> = neighbours[node].iter().copied().filter(|&other| other != node).collect();
    own.sort_unstable();
    own.dedup();
    own
}

/// What is in either of two ascending lists, but for two.
fn joined(a: &[usize], b: &[usize], without: [usize; 2]) -> Vec<usize> {
    let mut all = Vec::with_capacity(a.len() + b.len());
    let (mut a, mut b) = (a.iter().copied().peekable(), b.iter().copied().peekable());
    while let Some(least) = a.peek().into_iter().chain(b.peek()).min().copied() {
        a.next_if_eq(&least);
        b.next_if_eq(&least);
        if !without.contains(&least) {
            all.push(least);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A chain of nodes in a shuffled order of names fills in nothing.
    #[test]
    fn a_shuffled_chain_fills_in_nothing() {
        let name = |i: usize| (i * 17) % 40;
        let mut neighbours = vec![Vec::new(); 40];
        for i in 0..39 {
            neighbours[name(i)].push(name(i + 1));
            neighbours[name(i + 1)].push(name(i));
        }
        assert_eq!(Order::new(&neighbours).pairs(), 39);
    }

    /// A ring fills in one pair for each node until three are left.
    #[test]
    fn a_ring_ties_the_neighbours_of_who_goes() {
        let neighbours: Vec<Vec<usize>> = (0..6).map(|i| vec![(i + 1) % 6, (i + 5) % 6]).collect();
        let order = Order::new(&neighbours);
        assert_eq!(order.pairs(), 6 + 3);
        (0..6).for_each(|place| assert!(order.later(place).iter().all(|&later| later > place)));
    }

    #[test]
    fn separate_pieces_lone_nodes_and_loops_are_all_there() {
        let mut places = Order::new(&[vec![2, 0], vec![], vec![0, 0], vec![4], vec![3]]).places;
        places.sort_unstable();
        assert_eq!(places, [0, 1, 2, 3, 4]);
    }
}
