//! What is answered: a plan, what no plan can beat, and why that is so.

use super::super::answer::{Cases, Step};

/// One way to cut one kind of stock, and how often it is done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Index of the stock.
    pub stock: usize,
    /// Pieces of stock that are cut so.
    pub times: usize,
    /// Index of each length that is crosscut, and how often. They may give more parts than are wanted.
    pub cuts: Vec<(usize, usize)>,
}

/// The multipliers of a proof: what each part is worth, in `scale`ths of the unit of cost. What they show is told at
/// [`super::super::Duals`], the most that a pattern is worth being over all numbers of parts, up to those wanted, that lengths of the list give.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Worths {
    /// Of each part.
    pub worth: Vec<i64>,
    /// Parts of a unit of cost that worths are counted in.
    pub scale: i64,
}

/// What shows that no plan is cheaper than [`Answer::bound`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Certificate {
    /// There is no bound but nought: nothing is wanted, or the search ended at once.
    Nothing,
    /// Multipliers of the parts.
    Worths(Worths),
    /// Multipliers, and a tree of cases over all numbers of parts that a board of a cheaper plan could hold. Parts go by
    /// their indices.
    Cases(Worths, Cases),
    /// Cases of how many boards of each kind are bought.
    Tallies(Tallies),
}

/// Several sets of multipliers, and cases of how many boards are bought; see [`super::super::Tallies`].
pub type Tallies = super::super::Tallies<Worths>;

/// A plan with its bound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// How to cut.
    pub layouts: Vec<Layout>,
    /// Cost of the plan.
    pub cost: i64,
    /// No plan costs less.
    pub bound: i64,
    /// Parts for which there is no stock left, and how many; a plan that lacks any is no plan.
    pub missing: Vec<(usize, usize)>,
    /// Which step closed the gap.
    pub proof: Step,
    /// What shows the bound.
    pub certificate: Certificate,
    /// Elementary steps that were spent.
    pub steps: u64,
    /// Whether the search was ended by its limit of steps.
    pub stopped: bool,
}

impl Answer {
    /// Whether no plan is cheaper.
    pub fn is_optimal(&self) -> bool {
        self.cost == self.bound && self.missing.is_empty()
    }
}
