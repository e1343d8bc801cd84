//! Quick plans: fill one board after another, each as well as a short search can, and cut each from the cheapest board
//! that still holds it.

use super::instance::Instance;
use super::pattern::{Packing, Pattern};

/// Nodes of the search that fills one board (project choice).
const NODES_A_BOARD: usize = 400;

/// Parts and boards that are left.
#[derive(Clone)]
pub(super) struct Rest {
    pub parts: Vec<u32>,
    pub boards: Vec<Option<u32>>,
}

impl Rest {
    /// All of them.
    pub(super) fn all(instance: &Instance) -> Rest {
        let boards = instance.boards.iter().map(|board| board.available).collect();
        Rest { parts: instance.demands.clone(), boards }
    }

    fn has(&self, board: usize) -> bool {
        self.boards[board] != Some(0)
    }

    /// Takes as many of a pattern as there are parts and boards for.
    pub(super) fn take(&mut self, pattern: &Pattern) -> u32 {
        let times =
            pattern.counts.iter().map(|&(part, count)| self.parts[part as usize] / count).min().unwrap_or(0);
        let times = times.min(self.boards[pattern.board].unwrap_or(u32::MAX));
        for &(part, count) in &pattern.counts {
            self.parts[part as usize] -= count * times;
        }
        if let Some(left) = &mut self.boards[pattern.board] {
            *left -= times;
        }
        times
    }
}

/// Makes all parts that are left. `worth` says which parts to make first; `None` stands for their sizes.
/// Gives nothing when boards run out, or when the search finds no filling.
pub(super) fn greedy(instance: &Instance, mut rest: Rest, worth: Option<&[f64]>) -> Option<Packing> {
    let sizes: Vec<f64>;
    let worth = match worth {
        Some(worth) => worth,
        None => {
            sizes = instance.sizes.iter().map(|&size| size as f64).collect();
            &sizes
        }
    };
    let mut order: Vec<u32> = (0..instance.sizes.len() as u32).collect();
    let density = |part: u32| worth[part as usize] / instance.sizes[part as usize] as f64;
    order.sort_by(|&a, &b| {
        let larger = instance.sizes[b as usize].cmp(&instance.sizes[a as usize]);
        density(b).total_cmp(&density(a)).then(larger)
    });
    let mut packing = Packing::new();
    while rest.parts.iter().any(|&left| left > 0) {
        let pattern = best_board(instance, &rest, &order, worth)?;
        let times = rest.take(&pattern);
        if times == 0 {
            return None;
        }
        packing.push((pattern, times));
    }
    Some(packing)
}

/// The filling that is worth most for the cost of its board.
fn best_board(instance: &Instance, rest: &Rest, order: &[u32], worth: &[f64]) -> Option<Pattern> {
    let mut best: Option<(f64, Pattern)> = None;
    for (board, own) in instance.boards.iter().enumerate().filter(|(board, _)| rest.has(*board)) {
        let (value, counts) = fill(instance, rest, order, worth, own.capacity);
        if counts.is_empty() {
            continue;
        }
        let pattern = cheapest(instance, rest, Pattern { board, counts });
        let cost = instance.boards[pattern.board].cost.max(0) as f64;
        // What costs nothing goes first, the most worth of it.
        let ratio = if cost > 0.0 { value / cost } else { f64::MAX / 4.0 + value };
        if best.as_ref().is_none_or(|best| ratio > best.0) {
            best = Some((ratio, pattern));
        }
    }
    best.map(|best| best.1)
}

/// The same on the cheapest board that holds it.
pub(super) fn cheapest(instance: &Instance, rest: &Rest, mut pattern: Pattern) -> Pattern {
    let size = pattern.size(instance);
    let cost = instance.boards[pattern.board].cost;
    let holding =
        instance.boards.iter().enumerate().filter(|(at, board)| rest.has(*at) && board.capacity >= size);
    if let Some((at, _)) =
        holding.min_by_key(|(at, board)| (board.cost, *at)).filter(|(_, board)| board.cost < cost)
    {
        pattern.board = at;
    }
    pattern
}

/// Fills one room by a short depth-first search: most valued first, as many as fit, then fewer.
fn fill(instance: &Instance, rest: &Rest, order: &[u32], worth: &[f64], room: i64) -> (f64, Vec<(u32, u32)>) {
    let mut search =
        Filling { instance, rest, order, worth, nodes: 0, taken: Vec::new(), best: (0.0, Vec::new()) };
    search.descend(0, room, 0.0);
    let (value, mut counts) = search.best;
    counts.sort_unstable();
    (value, counts)
}

struct Filling<'a> {
    instance: &'a Instance,
    rest: &'a Rest,
    order: &'a [u32],
    worth: &'a [f64],
    nodes: usize,
    taken: Vec<(u32, u32)>,
    best: (f64, Vec<(u32, u32)>),
}

impl Filling<'_> {
    fn descend(&mut self, from: usize, room: i64, value: f64) {
        if value > self.best.0 {
            self.best = (value, self.taken.clone());
        }
        for at in from..self.order.len() {
            let part = self.order[at] as usize;
            let (size, left) = (self.instance.sizes[part], self.rest.parts[part]);
            if left == 0 || size > room {
                continue;
            }
            // No part from here on is worth more for its size.
            let density = self.worth[part] / size as f64;
            if value + density * room as f64 <= self.best.0 || self.nodes > NODES_A_BOARD {
                return;
            }
            for count in (1..=i64::from(left).min(room / size)).rev() {
                self.nodes += 1;
                self.taken.push((part as u32, count as u32));
                self.descend(at + 1, room - count * size, value + self.worth[part] * count as f64);
                self.taken.pop();
                if self.nodes > NODES_A_BOARD {
                    return;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::pattern::cost;
    use super::super::{Part, Problem, Stock};
    use super::*;

    /// 6 + 4 fills 10; the odd 4 is then cut from the cheaper 5.
    #[test]
    fn boards_are_filled_and_the_last_is_the_cheapest_that_holds_its_parts() {
        let stock = |length, cost| Stock { length, cost, available: None };
        let parts = vec![Part { length: 6, demand: 2 }, Part { length: 4, demand: 3 }];
        let problem = Problem { stocks: vec![stock(10, 8), stock(5, 5)], parts, ..Problem::default() };
        let instance = Instance::of(&problem).unwrap();
        let packing = greedy(&instance, Rest::all(&instance), None).unwrap();
        assert_eq!(cost(&instance, &packing), 2 * 8 + 5);
    }

    #[test]
    fn nothing_is_made_where_boards_run_out() {
        let stocks = vec![Stock { length: 10, cost: 8, available: Some(1) }];
        let problem = Problem { stocks, parts: vec![Part { length: 6, demand: 1 }], ..Problem::default() };
        let instance = Instance::of(&problem).unwrap();
        let none = Rest { parts: vec![1], boards: vec![Some(0); instance.boards.len()] };
        assert!(greedy(&instance, none, None).is_none());
    }
}
