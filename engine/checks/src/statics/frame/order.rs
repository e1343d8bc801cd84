//! Reverse Cuthill-McKee: an order of nodes in which neighbours are near each other, so that the matrix is narrow.

/// Nodes in their new order.
pub(super) fn order(neighbours: &[Vec<usize>]) -> Vec<usize> {
    let mut placed = vec![false; neighbours.len()];
    let mut order = Vec::with_capacity(neighbours.len());
    for node in 0..neighbours.len() {
        if !placed[node] {
            let levels = breadth_first(neighbours, outermost(neighbours, node));
            levels.iter().flatten().for_each(|&own| placed[own] = true);
            order.extend(levels.into_iter().flatten());
        }
    }
    order.reverse();
    order
}

/// A node at the rim of the piece that `node` belongs to: the farthest of the farthest, as long as that grows
/// (George and Liu).
fn outermost(neighbours: &[Vec<usize>], mut node: usize) -> usize {
    let mut levels = breadth_first(neighbours, node);
    loop {
        let last = levels.last().and_then(|level| level.iter().min_by_key(|&&own| neighbours[own].len()));
        let Some(&candidate) = last else { return node };
        let further = breadth_first(neighbours, candidate);
        if further.len() <= levels.len() {
            return node;
        }
        (node, levels) = (candidate, further);
    }
}

/// The piece of `start` in levels of equal distance; within a level in the order of whom they hang on, fewest neighbours first.
fn breadth_first(neighbours: &[Vec<usize>], start: usize) -> Vec<Vec<usize>> {
    let mut seen = vec![false; neighbours.len()];
    seen[start] = true;
    let mut levels = vec![vec![start]];
    loop {
        let mut next = Vec::new();
        for &node in &levels[levels.len() - 1] {
            let mut new: Vec<usize> =
                neighbours[node].iter().copied().filter(|&other| !seen[other]).collect();
            new.sort_by_key(|&other| neighbours[other].len());
            for other in new {
                if !std::mem::replace(&mut seen[other], true) {
                    next.push(other);
                }
            }
        }
        if next.is_empty() {
            return levels;
        }
        levels.push(next);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bandwidth(neighbours: &[Vec<usize>], order: &[usize]) -> usize {
        let mut place = vec![0; order.len()];
        order.iter().enumerate().for_each(|(at, &node)| place[node] = at);
        let pairs = neighbours.iter().enumerate().flat_map(|(a, all)| all.iter().map(move |&b| (a, b)));
        pairs.map(|(a, b)| place[a].abs_diff(place[b])).max().unwrap_or(0)
    }

    #[test]
    fn a_shuffled_ladder_becomes_narrow() {
        let name = |i: usize| (i * 17) % 40;
        let mut neighbours = vec![Vec::new(); 40];
        let mut join = |a: usize, b: usize| {
            neighbours[name(a)].push(name(b));
            neighbours[name(b)].push(name(a));
        };
        (0..38).for_each(|i| join(i, i + 2));
        (0..20).for_each(|i| join(2 * i, 2 * i + 1));
        let order = order(&neighbours);
        assert!(bandwidth(&neighbours, &order) <= 3, "{order:?}");
        assert!(bandwidth(&neighbours, &(0..40).collect::<Vec<_>>()) > 10);
    }

    #[test]
    fn separate_pieces_and_lone_nodes_are_all_there() {
        let mut order = order(&[vec![2], vec![], vec![0], vec![4], vec![3]]);
        order.sort_unstable();
        assert_eq!(order, [0, 1, 2, 3, 4]);
    }
}
