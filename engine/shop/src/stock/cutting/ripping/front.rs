//! Fillings of a length of which none beats another: longer and worth more (Nemhauser and Ullmann 1969, from memory).

/// The end of a trail.
const NONE: u32 = u32::MAX;

/// One filling.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Filling {
    /// Length taken.
    pub size: i64,
    /// Worth.
    pub worth: i64,
    /// Its last step.
    trail: u32,
}

/// So many of an item on top of another filling.
#[derive(Clone, Copy, Debug)]
struct Step {
    item: u32,
    count: u32,
    before: u32,
}

/// An item to fill with.
#[derive(Clone, Copy, Debug)]
pub(super) struct Item {
    /// Its name on the trail.
    pub item: u32,
    /// Length.
    pub size: i64,
    /// Worth of one; nothing is done with those that have none.
    pub worth: i64,
}

/// Fillings by length, each worth more than those before.
#[derive(Clone, Debug)]
pub(super) struct Front {
    /// The fillings; the first is empty.
    pub fillings: Vec<Filling>,
    steps: Vec<Step>,
    room: i64,
}

impl Front {
    /// Of a room along.
    pub(super) fn new(room: i64) -> Front {
        Front { fillings: vec![Filling { size: 0, worth: 0, trail: NONE }], steps: Vec::new(), room }
    }

    /// With up to `most` of one more item.
    pub(super) fn add(&mut self, item: Item, most: u32) {
        let fitting = u32::try_from(self.room / item.size).unwrap_or(u32::MAX);
        let mut left = if item.worth > 0 { most.min(fitting) } else { 0 };
        let mut portion = 1;
        while left > 0 {
            let now = portion.min(left);
            self.merge(item, now, false);
            left -= now;
            portion *= 2;
        }
    }

    /// With any number of one more item.
    pub(super) fn add_any(&mut self, item: Item) {
        self.merge(item, 1, true);
    }

    /// Merges the fillings with themselves, each with a portion more; `again` takes the portion on top of itself, too.
    fn merge(&mut self, item: Item, count: u32, again: bool) {
        let (size, worth) = (item.size * i64::from(count), item.worth * i64::from(count));
        let plain = std::mem::take(&mut self.fillings);
        let mut merged: Vec<Filling> = Vec::with_capacity(plain.len() + 8);
        let (mut next, mut from) = (0, 0);
        loop {
            let base = if again { merged.get(from) } else { plain.get(from) };
            let more = base.map(|base| Filling {
                size: base.size + size,
                worth: base.worth + worth,
                trail: base.trail,
            });
            let more = more.filter(|more| more.size <= self.room);
            match (plain.get(next), more) {
                (Some(own), more) if more.is_none_or(|more| own.size <= more.size) => {
                    next += 1;
                    push(&mut merged, *own);
                }
                (_, Some(more)) => {
                    from += 1;
                    if push(&mut merged, more) {
                        let trail = self.step(item.item, count, more.trail);
                        merged.last_mut().into_iter().for_each(|last| last.trail = trail);
                    }
                }
                (_, None) => break,
            }
        }
        self.fillings = merged;
    }

    /// Steps that it took.
    pub(super) fn effort(&self) -> usize {
        self.steps.len() + self.fillings.len()
    }

    fn step(&mut self, item: u32, count: u32, before: u32) -> u32 {
        self.steps.push(Step { item, count, before });
        self.steps.len() as u32 - 1
    }

    /// The best filling of a room.
    pub(super) fn best(&self, room: i64) -> Filling {
        let fitting = self.fillings.partition_point(|filling| filling.size <= room);
        self.fillings[fitting.saturating_sub(1)]
    }

    /// What a filling holds: items and how many, last one first.
    pub(super) fn items(&self, filling: Filling) -> Vec<(u32, u32)> {
        let mut items = Vec::new();
        let mut at = filling.trail;
        while let Some(step) = self.steps.get(at as usize) {
            items.push((step.item, step.count));
            at = step.before;
        }
        items
    }
}

/// Adds a filling that is worth more than the last; in its place when it is as long.
fn push(fillings: &mut Vec<Filling>, own: Filling) -> bool {
    match fillings.last_mut() {
        Some(last) if own.worth <= last.worth => return false,
        Some(last) if own.size == last.size => *last = own,
        _ => fillings.push(own),
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Room 10; up to two of (4, 5) and any of (3, 3): 4 + 3 + 3 are worth 11, 4 + 4 only 10.
    #[test]
    fn fillings_are_the_best_of_their_length() {
        let mut front = Front::new(10);
        front.add(Item { item: 7, size: 4, worth: 5 }, 2);
        front.add_any(Item { item: 9, size: 3, worth: 3 });
        let best = |room| front.best(room).worth;
        assert_eq!([0, 3, 4, 6, 7, 8, 9, 10].map(best), [0, 3, 5, 6, 8, 10, 10, 11]);
        assert_eq!(front.items(front.best(10)), [(9, 1), (9, 1), (7, 1)]);
        assert_eq!(front.items(front.best(8)), [(7, 1), (7, 1)]);
    }
}
