//! Goes over cases of how many boards of each kind are bought.

use super::cases::Kind;
use crate::stock::cutting::{Case, Flaw, Picked};

/// What a set of worths says about numbers of boards: those of each kind hold so much, together they must hold so much.
pub(in crate::stock::cutting) struct Cut {
    pub held: Vec<i128>,
    pub asked: i128,
}

/// What the cases rest on.
pub(in crate::stock::cutting) struct Tally<'a> {
    pub kinds: &'a [Kind],
    pub cuts: &'a [Cut],
    pub scale: i64,
    pub parts: i64,
    /// Plans up to this cost must be impossible.
    pub below: i64,
    /// How many parts are wanted: no plan needs more boards.
    pub wanted: i64,
}

impl Tally<'_> {
    /// Holds every case against the cuts.
    pub(in crate::stock::cutting) fn check(&self, tree: &Case) -> Result<(), Flaw> {
        if self.scale <= 0 || self.parts <= 0 {
            return Err(Flaw::Certificate("scale or parts are not positive"));
        }
        let most = |kind: &Kind| {
            let by_cost = if kind.cost > 0 { self.below / kind.cost } else { i64::MAX };
            kind.available.unwrap_or(self.wanted).min(self.wanted).min(by_cost)
        };
        let between: Vec<(i64, i64)> = self.kinds.iter().map(|kind| (0, most(kind))).collect();
        self.visit(tree, &between)
    }

    fn visit(&self, case: &Case, between: &[(i64, i64)]) -> Result<(), Flaw> {
        if between.iter().any(|own| own.0 > own.1) {
            // There is no such number.
            return Ok(());
        }
        if case.multipliers.len() > self.cuts.len() || case.multipliers.iter().any(|&own| own < 0) {
            return Err(Flaw::Certificate("multipliers that do not suit their cuts"));
        }
        let Some(shown) = self.shown(&case.multipliers, between) else {
            return Err(Flaw::Certificate("multipliers that cannot be counted with"));
        };
        if i128::from(self.below).checked_mul(self.unit()).is_some_and(|below| shown > below) {
            return Ok(());
        }
        let Some(split) = case.split.as_ref().filter(|_| case.lattice.is_none()) else {
            return Err(Flaw::Certificate("a case is not closed"));
        };
        let Picked { stock: Some(stock), holding } = &split.picked else {
            return Err(Flaw::Certificate("a split of no stock"));
        };
        let kind = self.kinds.iter().position(|kind| kind.stock == *stock);
        let Some(kind) = kind.filter(|_| holding.is_empty()) else {
            return Err(Flaw::Certificate("a split of no stock"));
        };
        let (mut fewer, mut more) = (between.to_vec(), between.to_vec());
        fewer[kind].1 = fewer[kind].1.min(split.most);
        more[kind].0 = more[kind].0.max(split.most.saturating_add(1));
        self.visit(&split.fewer, &fewer)?;
        self.visit(&split.more, &more)
    }

    /// What a plan with numbers between these costs at least, in `scale * parts`ths; nothing where that cannot be counted.
    fn shown(&self, multipliers: &[i64], between: &[(i64, i64)]) -> Option<i128> {
        let cuts = || multipliers.iter().zip(self.cuts);
        let mut shown = sum(cuts().map(|(&own, cut)| cut.asked.checked_mul(own.into())))?;
        for (at, (kind, &(low, high))) in self.kinds.iter().zip(between).enumerate() {
            let held = sum(cuts().map(|(&own, cut)| cut.held[at].checked_mul(own.into())))?;
            let left = i128::from(kind.cost).checked_mul(self.unit())?.checked_sub(held)?;
            shown = shown.checked_add(left.checked_mul(if left >= 0 { low } else { high }.into())?)?;
        }
        Some(shown)
    }

    /// `scale` times `parts`.
    fn unit(&self) -> i128 {
        i128::from(self.scale) * i128::from(self.parts)
    }
}

fn sum(mut numbers: impl Iterator<Item = Option<i128>>) -> Option<i128> {
    numbers.try_fold(0, |sum: i128, number| sum.checked_add(number?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stock::cutting::Split;

    /// Boards that hold 2 at 10 and 1 at 8, five parts: a plan buys two of the dearer and one of the cheaper, at 28; by parts
    /// of 5 at 26 (the cut by itself shows 25).
    fn tally(below: i64, tree: &Case) -> Result<(), Flaw> {
        let kind = |stock, cost| Kind { stock, room: 9, cost, available: None };
        let kinds = [kind(0, 10), kind(1, 8)];
        let cuts = [Cut { held: vec![2, 1], asked: 5 }];
        Tally { kinds: &kinds, cuts: &cuts, scale: 1, parts: 1, below, wanted: 5 }.check(tree)
    }

    fn case(multiplier: i64, split: Option<Split>) -> Case {
        Case { multipliers: vec![multiplier], lattice: None, split: split.map(Box::new) }
    }

    fn split(stock: usize, most: i64, fewer: Case, more: Case) -> Split {
        Split { picked: Picked { stock: Some(stock), holding: Vec::new() }, most, fewer, more }
    }

    /// At most two of the dearer: 5 * 8 - 2 * 6 = 28. More than two at 10 cannot be paid for. At most one: 5 * 8 - 6 = 34, but two or
    /// more: 20.
    #[test]
    fn numbers_between_two_show_more_than_numbers_alone() {
        assert!(tally(24, &case(5, None)).is_ok());
        assert!(tally(25, &case(5, None)).is_err());
        let divided = |most| case(5, Some(split(0, most, case(8, None), case(0, None))));
        assert!(tally(27, &divided(2)).is_ok());
        assert!(tally(28, &divided(2)).is_err());
        assert!(tally(27, &divided(1)).is_err());
        assert!(tally(19, &divided(1)).is_ok());
    }

    /// A case that holds no numbers needs no multipliers: more than two of the dearer, and at most one.
    #[test]
    fn a_case_without_numbers_is_closed() {
        let none = case(0, Some(split(0, 0, case(0, None), case(0, None))));
        let more = case(0, Some(split(0, 1, none, case(0, None))));
        assert!(tally(27, &case(5, Some(split(0, 2, case(8, None), more)))).is_ok());
    }

    #[test]
    fn what_makes_no_sense_is_refused() {
        assert!(tally(24, &case(-5, None)).is_err());
        assert!(tally(24, &case(i64::MAX, None)).is_err());
        assert!(tally(24, &Case { multipliers: vec![5, 5], lattice: None, split: None }).is_err());
        let of = |picked: Picked| {
            case(0, Some(Split { picked, most: 2, fewer: case(8, None), more: case(0, None) }))
        };
        assert!(tally(27, &of(Picked { stock: Some(0), holding: Vec::new() })).is_ok());
        assert!(tally(27, &of(Picked { stock: Some(7), holding: Vec::new() })).is_err());
        assert!(tally(27, &of(Picked { stock: None, holding: Vec::new() })).is_err());
        assert!(tally(27, &of(Picked { stock: Some(0), holding: vec![(0, 1)] })).is_err());
    }
}
