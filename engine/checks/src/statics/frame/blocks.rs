//! A symmetric matrix in blocks of the six freedoms of a node, only those that elimination meets, and its factors L D L^T in
//! the same place.

use super::order::Order;
use std::sync::Arc;

/// Rows of one node against columns of one node, column by column.
pub(super) type Block = [[f64; 6]; 6];

/// The matrix, or its factors; nodes by their places in the order.
pub(super) struct Blocks {
    order: Arc<Order>,
    /// Of each place with itself; of factors the part below the diagonal.
    diagonal: Vec<Block>,
    /// Rows of the later places that each place meets, against its own columns.
    below: Vec<Block>,
}

/// L D L^T of a matrix, with what was met on the way.
pub(super) struct Factors {
    lower: Blocks,
    pivots: Vec<[f64; 6]>,
    /// Root of each entry on the diagonal of the matrix.
    roots: Vec<[f64; 6]>,
    /// Freedoms whose pivot vanished: the structure can move without resistance there. They were held to go on.
    pub(super) vanished: Vec<usize>,
    /// Largest sum of a row of the matrix scaled to a unit diagonal.
    widest: f64,
}

/// Rounds of inverse iteration: the estimate of the condition need only be right to a factor of two or three.
const CONDITION_ROUNDS: usize = 3;

impl Blocks {
    /// An empty matrix.
    pub(super) fn new(order: Arc<Order>) -> Blocks {
        let diagonal = vec![Block::default(); order.places.len()];
        let below = vec![Block::default(); order.pairs()];
        Blocks { order, diagonal, below }
    }

    /// The block of a node with itself.
    pub(super) fn own(&self, node: usize) -> &Block {
        &self.diagonal[self.order.places[node]]
    }

    /// Adds to the block of a node with itself.
    pub(super) fn add_own(&mut self, node: usize, block: &Block) {
        add(&mut self.diagonal[self.order.places[node]], block);
    }

    /// Adds to the diagonal.
    pub(super) fn add_to(&mut self, freedom: usize, value: f64) {
        self.diagonal[self.order.places[freedom / 6]][freedom % 6][freedom % 6] += value;
    }

    /// Adds a block of the rows of one node against the columns of another that it meets; with it goes the transposed block.
    pub(super) fn add(&mut self, row: usize, column: usize, block: &Block) {
        let [row, column] = [row, column].map(|node| self.order.places[node]);
        let (first, last) = (row.min(column), row.max(column));
        if first == last {
            add(&mut self.diagonal[first], block);
            add(&mut self.diagonal[first], &transposed(block));
        } else if let Ok(at) = self.order.later(first).binary_search(&last) {
            let target = &mut self.below[self.order.span(first).start + at];
            add(target, &if row == last { *block } else { transposed(block) });
        }
    }

    /// Largest sum of a row, scaled to a unit diagonal.
    fn widest_row(&self, roots: &[[f64; 6]]) -> f64 {
        let mut sums = vec![[0.0; 6]; roots.len()];
        for place in 0..roots.len() {
            let mut count = |row: usize, column: usize, at: [usize; 2], value: f64| {
                if value != 0.0 {
                    sums[row][at[0]] += value.abs() / (roots[row][at[0]] * roots[column][at[1]]);
                }
            };
            for (c, values) in self.diagonal[place].iter().enumerate() {
                values.iter().enumerate().for_each(|(r, value)| count(place, place, [r, c], *value));
            }
            for (block, &later) in self.below[self.order.span(place)].iter().zip(self.order.later(place)) {
                for (c, values) in block.iter().enumerate() {
                    for (r, value) in values.iter().enumerate() {
                        count(later, place, [r, c], *value);
                        count(place, later, [c, r], *value);
                    }
                }
            }
        }
        sums.into_iter().flatten().fold(1.0, f64::max)
    }

    /// Factors; a pivot at or below `vanishing` times its diagonal counts as none.
    pub(super) fn factor(mut self, vanishing: f64) -> Factors {
        let originals: Vec<[f64; 6]> =
            self.diagonal.iter().map(|own| std::array::from_fn(|at| own[at][at])).collect();
        let roots: Vec<[f64; 6]> = originals.iter().map(|own| own.map(f64::sqrt)).collect();
        let widest = self.widest_row(&roots);
        let (mut pivots, mut vanished) = (Vec::with_capacity(roots.len()), Vec::new());
        let order = Arc::clone(&self.order);
        let mut products = Vec::new();
        for (place, &node) in order.nodes.iter().enumerate() {
            let (own, gone) = factor_own(&mut self.diagonal[place], &originals[place], vanishing);
            vanished.extend((0..6).filter(|row| gone[*row]).map(|row| 6 * node + row));
            products.clear();
            for block in &mut self.below[order.span(place)] {
                divide(block, &self.diagonal[place]);
                products.push(*block);
                block.iter_mut().zip(own).for_each(|(column, pivot)| {
                    column.iter_mut().for_each(|value| *value /= pivot);
                });
            }
            self.carry_on(place, &products);
            pivots.push(own);
        }
        Factors { lower: self, pivots, roots, vanished, widest }
    }

    /// Takes what a place's elimination does to the later ones off them. `products` are its blocks of L D.
    fn carry_on(&mut self, place: usize, products: &[Block]) {
        let span = self.order.span(place);
        let (own, after) = self.below.split_at_mut(span.end);
        let own = &own[span.clone()];
        let later = self.order.later(place);
        for (at, &column) in later.iter().enumerate() {
            take_product(&mut self.diagonal[column], &products[at], &own[at]);
            let rows = self.order.later(column);
            let blocks = &mut after[self.order.span(column).start - span.end..];
            let mut row = 0;
            for (product, last) in products.iter().zip(later).skip(at + 1) {
                // What a place meets later meets each other: it is there.
                while rows[row] != *last {
                    row += 1;
                }
                take_product(&mut blocks[row], product, &own[at]);
            }
        }
    }
}

fn add(sum: &mut Block, block: &Block) {
    sum.as_flattened_mut().iter_mut().zip(block.as_flattened()).for_each(|(sum, value)| *sum += value);
}

fn transposed(block: &Block) -> Block {
    std::array::from_fn(|c| std::array::from_fn(|r| block[r][c]))
}

/// Factors a block on the diagonal in place; its pivots, and which of them vanished.
fn factor_own(block: &mut Block, original: &[f64; 6], vanishing: f64) -> ([f64; 6], [bool; 6]) {
    let (mut pivots, mut gone) = ([0.0; 6], [false; 6]);
    for c in 0..6 {
        let pivot = block[c][c];
        gone[c] = pivot.is_nan() || pivot <= vanishing * original[c];
        pivots[c] = match gone[c] {
            false => pivot,
            true if original[c] > 0.0 => original[c],
            true => 1.0,
        };
        let column = block[c];
        let scaled = column.map(|value| value / pivots[c]);
        for d in c + 1..6 {
            (d..6).for_each(|r| block[d][r] -= column[r] * scaled[d]);
        }
        block[c] = scaled;
    }
    (pivots, gone)
}

/// Divides a block by L^T of the block on the diagonal above it.
fn divide(block: &mut Block, lower: &Block) {
    for c in 0..6 {
        let column = block[c];
        for d in c + 1..6 {
            let factor = lower[c][d];
            block[d].iter_mut().zip(column).for_each(|(value, own)| *value -= own * factor);
        }
    }
}

/// `target` less `product` times `other` transposed.
fn take_product(target: &mut Block, product: &Block, other: &Block) {
    for (c, column) in target.iter_mut().enumerate() {
        for k in 0..6 {
            let factor = other[k][c];
            column.iter_mut().zip(product[k]).for_each(|(value, own)| *value -= own * factor);
        }
    }
}

impl Factors {
    /// Solves for several right-hand sides side by side, in place: for each freedom, node by node, its value in each of them.
    #[inline(always)]
    pub(super) fn solve<const SIDES: usize>(&self, right: &mut [[f64; SIDES]]) {
        let mut own = self.by_place(right);
        self.solve_by_place(&mut own);
        let places = self.places();
        for (target, &place) in right.as_chunks_mut::<6>().0.iter_mut().zip(places) {
            *target = own[place];
        }
    }

    /// Of each node, its place among right-hand sides by place.
    pub(super) fn places(&self) -> &[usize] {
        &self.lower.order.places
    }

    /// The same for right-hand sides by place.
    #[inline(always)]
    pub(super) fn solve_by_place<const SIDES: usize>(&self, own: &mut [[[f64; SIDES]; 6]]) {
        for place in 0..own.len() {
            let (done, after) = own.split_at_mut(place + 1);
            let value = &mut done[place];
            for (c, column) in self.lower.diagonal[place].iter().enumerate() {
                let (known, below) = value.split_at_mut(c + 1);
                below
                    .iter_mut()
                    .zip(&column[c + 1..])
                    .for_each(|(target, factor)| take(target, &known[c], *factor));
            }
            for (block, &later) in self.below(place) {
                for (r, target) in after[later - place - 1].iter_mut().enumerate() {
                    // Summed before it is kept, so that no sum waits for another to be read back.
                    let mut sum = *target;
                    value.iter().zip(block).for_each(|(known, column)| take(&mut sum, known, column[r]));
                    *target = sum;
                }
            }
        }
        for (value, pivot) in own.as_flattened_mut().iter_mut().zip(self.pivots.as_flattened()) {
            value.iter_mut().for_each(|value| *value /= pivot);
        }
        self.back(own);
    }

    /// Right-hand sides, those of each node at its place.
    #[inline(always)]
    pub(super) fn by_place<const SIDES: usize>(&self, right: &[[f64; SIDES]]) -> Vec<[[f64; SIDES]; 6]> {
        let right = right.as_chunks::<6>().0;
        self.lower.order.nodes.iter().map(|&node| right[node]).collect()
    }

    /// Blocks below a place with the later places that they stand in.
    fn below(&self, place: usize) -> impl Iterator<Item = (&Block, &usize)> {
        let order = &self.lower.order;
        self.lower.below[order.span(place)].iter().zip(order.later(place))
    }

    /// Solves with the upper factor, by places.
    #[inline(always)]
    fn back<const SIDES: usize>(&self, own: &mut [[[f64; SIDES]; 6]]) {
        for place in (0..own.len()).rev() {
            let (before, after) = own.split_at_mut(place + 1);
            let value = &mut before[place];
            for (block, &later) in self.below(place) {
                for (target, column) in value.iter_mut().zip(block) {
                    let mut sum = *target;
                    let known = after[later - place - 1].iter().zip(column);
                    known.for_each(|(known, factor)| take(&mut sum, known, *factor));
                    *target = sum;
                }
            }
            for (c, column) in self.lower.diagonal[place].iter().enumerate().rev() {
                let (target, known) = value.split_at_mut(c + 1);
                let known = known.iter().zip(&column[c + 1..]);
                known.for_each(|(known, factor)| take(&mut target[c], known, *factor));
            }
        }
    }

    /// The freedom whose pivot is the smallest share of what stood on the diagonal.
    pub(super) fn weakest(&self) -> usize {
        let mut weakest = (f64::INFINITY, 0);
        for (node, &place) in self.lower.order.places.iter().enumerate() {
            for (row, (pivot, root)) in self.pivots[place].iter().zip(self.roots[place]).enumerate() {
                let share = pivot / (root * root);
                if share < weakest.0 {
                    weakest = (share, 6 * node + row);
                }
            }
        }
        weakest.1
    }

    /// A motion that meets no resistance, of a freedom whose pivot vanished: its entry is 1.
    pub(super) fn free_motion(&self, freedom: usize) -> Vec<[f64; 1]> {
        let mut motion = vec![[0.0]; 6 * self.pivots.len()];
        motion[freedom] = [1.0];
        let mut own = self.by_place(&motion);
        self.back(&mut own);
        self.lower.order.places.iter().flat_map(|&place| own[place]).collect()
    }

    /// Estimate from below of the condition of the matrix scaled to a unit diagonal: largest row sum times the growth of
    /// inverse iteration.
    pub(super) fn condition(&self) -> f64 {
        let roots: Vec<f64> = self.lower.order.places.iter().flat_map(|&place| self.roots[place]).collect();
        // No symmetry, so that no mode is missed by chance.
        let mut vector: Vec<[f64; 1]> =
            (0..roots.len()).map(|freedom| [1.0 + 0.37 * (freedom % 7) as f64]).collect();
        let mut growth = 1.0;
        for _ in 0..CONDITION_ROUNDS {
            let size = length(&vector);
            vector.iter_mut().zip(&roots).for_each(|([value], root)| *value *= root / size);
            self.solve(&mut vector);
            vector.iter_mut().zip(&roots).for_each(|([value], root)| *value *= root);
            growth = length(&vector);
        }
        (self.widest * growth).max(1.0)
    }
}

/// Takes `factor` times what is known off each side.
#[inline(always)]
fn take<const SIDES: usize>(target: &mut [f64; SIDES], known: &[f64; SIDES], factor: f64) {
    target.iter_mut().zip(known).for_each(|(value, known)| *value -= known * factor);
}

fn length(vector: &[[f64; 1]]) -> f64 {
    vector.iter().map(|[value]| value * value).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ring of five nodes, each held a little, with springs between them that couple all freedoms.
    fn ring(held: f64) -> (Blocks, Vec<Vec<f64>>) {
        let neighbours: Vec<Vec<usize>> = (0..5).map(|i| vec![(i + 1) % 5, (i + 4) % 5]).collect();
        let mut matrix = Blocks::new(Arc::new(Order::new(&neighbours)));
        let mut whole = vec![vec![0.0; 30]; 30];
        for (a, b) in [(0, 1), (1, 2), (2, 3), (3, 4), (4, 0)] {
            let spring = |c: usize, r: usize| if r == c { 2.0 } else { 0.1 * (a as f64 + 1.0) };
            let block: Block = std::array::from_fn(|c| std::array::from_fn(|r| spring(c, r)));
            matrix.add_own(a, &block);
            matrix.add_own(b, &block);
            matrix.add(a, b, &block.map(|column| column.map(|value| -value)));
            for (c, r) in (0..36).map(|at| (at / 6, at % 6)) {
                whole[6 * a + r][6 * a + c] += spring(c, r);
                whole[6 * b + r][6 * b + c] += spring(c, r);
                whole[6 * a + r][6 * b + c] -= spring(c, r);
                whole[6 * b + r][6 * a + c] -= spring(c, r);
            }
        }
        for freedom in 0..6 {
            matrix.add_to(12 + freedom, held);
            whole[12 + freedom][12 + freedom] += held;
        }
        (matrix, whole)
    }

    #[test]
    fn what_is_multiplied_is_solved_alone_and_side_by_side() {
        let (matrix, whole) = ring(0.5);
        let given: Vec<f64> = (0..30).map(|at| f64::from(at * 7 % 11) - 4.5).collect();
        let product = |row: &Vec<f64>| row.iter().zip(&given).map(|(a, b)| a * b).sum::<f64>();
        let mut alone: Vec<[f64; 1]> = whole.iter().map(|row| [product(row)]).collect();
        let mut beside: Vec<[f64; 4]> = alone.iter().map(|[value]| [1.0, *value, 0.0, -value]).collect();
        let factors = matrix.factor(1e-10);
        assert!(factors.vanished.is_empty());
        factors.solve(&mut alone);
        factors.solve(&mut beside);
        given.iter().zip(&alone).for_each(|(a, [b])| assert!((a - b).abs() < 1e-12, "{a} {b}"));
        alone.iter().zip(&beside).for_each(|(a, b)| assert_eq!([a[0], 0.0, -a[0]], [b[1], b[2], b[3]]));
    }

    #[test]
    fn a_ring_that_nothing_holds_moves_as_one() {
        let factors = ring(0.0).0.factor(1e-10);
        assert_eq!(factors.vanished.len(), 6);
        for &freedom in &factors.vanished {
            let motion = factors.free_motion(freedom);
            let expected = |at: usize| if at % 6 == freedom % 6 { 1.0 } else { 0.0 };
            (0..30).for_each(|at| assert!((motion[at][0] - expected(at)).abs() < 1e-12, "{motion:?}"));
        }
    }

    /// The looser the hold, the larger the condition, in proportion.
    #[test]
    fn a_loose_hold_shows_in_the_condition() {
        let [firm, loose] = [1.0, 1e-6].map(|held| ring(held).0.factor(1e-10).condition());
        assert!(firm > 5.0 && firm < 1e3, "{firm}");
        assert!(loose / firm > 1e4 && loose / firm < 1e7, "{loose}");
    }
}
