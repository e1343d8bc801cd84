//! What is answered: a plan, what no plan can beat, and why that is so.

use std::fmt;

/// Parts of one length in a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cut {
    /// Length of the part.
    pub length: i64,
    /// How many.
    pub count: usize,
}

/// One way to cut one kind of stock, and how often it is done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Index of the stock.
    pub stock: usize,
    /// Pieces of stock that are cut so.
    pub times: usize,
    /// What is cut, longest first. The remainder follows the last.
    pub cuts: Vec<Cut>,
}

/// The multipliers of a proof: what each length of part is worth, in `scale`ths of the unit of cost.
///
/// Let V(s) be the most that a pattern on stock s can be worth. If V(s) does not pass the cost of any stock s of unlimited
/// number, no plan costs less than the worth of all parts wanted, less what the stock of limited number can be worth
/// beyond its cost: sum d u - sum a(s) max(0, V(s) - c(s)), rounded up to what costs can add up to. (Gilmore and Gomory
/// 1961; the bound is linear-programming duality, made exact by whole numbers.)
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Duals {
    /// Length and worth of each part, longest first.
    pub worth: Vec<(i64, i64)>,
    /// V(s) of each kind of stock, in the order of the problem; `None` where no part fits or the stock is beaten.
    pub best: Vec<Option<i64>>,
    /// Parts of a unit of cost that worths are counted in.
    pub scale: i64,
}

/// What shows that no plan is cheaper than [`Answer::bound`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Certificate {
    /// There is no bound but nought: nothing is wanted, or the search ended at once.
    Nothing,
    /// Multipliers of the parts.
    Duals(Duals),
    /// Multipliers, and a tree of cases over all patterns that a cheaper plan could use.
    Cases(Duals, Cases),
    /// Cases of how many boards of each kind are bought.
    Tallies(Tallies),
}

/// Multipliers of the parts, several sets of them, and a division of all plans into cases by how many boards they buy of each
/// kind.
///
/// With any worths u of the parts a plan that buys n(s) of each stock satisfies sum n(s) V(s) >= sum d u, V(s) being the most
/// that a pattern on s is worth: a cut. In a case the n(s) lie between two numbers: nought, or one more than a split's `most`;
/// and a split's `most`, what is available, the number of parts, or what [`Tallies::below`] pays for. With multipliers y >= 0 of
/// the cuts, in `parts`ths, a plan of the case costs at least
///
/// ```text
/// sum y sum d u + sum over s of r(s) n(s),    r(s) = c(s) scale parts - sum y V(s)
/// ```
///
/// in `scale * parts`ths, with the least number of boards where r(s) is positive and the greatest where it is negative. It is
/// closed when that passes `below`. (Benders 1962; linear-programming duality made exact by whole numbers.)
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tallies<C = Duals> {
    /// The cuts, all of one scale. The first shows a bound by itself.
    pub cuts: Vec<C>,
    /// Multipliers of the cases are counted in such parts of one.
    pub parts: i64,
    /// Plans up to this cost are shown to be impossible.
    pub below: i64,
    /// The division: every split picks all patterns of one stock, the first of those alike; there are no lattices.
    pub tree: Case,
}

/// All patterns that a plan of cost `below` or less could use, by the multipliers, and a division into cases of which each
/// is shown to cost more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cases {
    /// Plans up to this cost are shown to be impossible.
    pub below: i64,
    /// Stock of limited number that has a row, the first of each kind that is alike, in the order of the rows.
    pub limited: Vec<usize>,
    /// The division.
    pub tree: Case,
}

/// Patterns picked out by what they are cut from and what they hold.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Picked {
    /// Only those of this stock: the first of those alike.
    pub stock: Option<usize>,
    /// Only those that hold so many, or more, of each of these parts (indices, longest first).
    pub holding: Vec<(usize, u32)>,
}

/// A case of a proof: plans that meet all choices made on the way to it.
///
/// With multipliers y of all rows (parts, limited stock, choices in the order made; a later choice on the same
/// patterns in the same sense takes the place of the earlier) a pattern wastes w(p) = c(p) scale - sum y a(p), and a plan costs
/// at least sum y right sides + (number of parts) min(0, least w). Patterns that waste more than what then lacks to
/// [`Cases::below`] are in no cheaper plan and are left out of the cases below.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Case {
    /// The multipliers.
    pub multipliers: Vec<i64>,
    /// What shows that it costs too much, when the multipliers alone do not.
    pub lattice: Option<Lattice>,
    /// How the case goes on, when neither does.
    pub split: Option<Box<Split>>,
}

/// Numbers of some parts that count for nothing: every whole combination of the rows. Row i begins with part i of these, so
/// that remainders hold less of it than row i does.
///
/// Plans of a case lead from nothing to the remainder of the demands. A board wastes w(p), less the least w where that is
/// below nought; a part too many wastes its multiplier. When every way there wastes more than what lacks to
/// [`Cases::below`], the case costs too much.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lattice {
    /// Indices of the parts, longest first.
    pub parts: Vec<usize>,
    /// A row of numbers of these parts for each of them.
    pub rows: Vec<Vec<i64>>,
}

/// Two cases that together are all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Split {
    /// Which patterns.
    pub picked: Picked,
    /// The number.
    pub most: i64,
    /// They are used at most so often.
    pub fewer: Case,
    /// They are used once more, or oftener.
    pub more: Case,
}

/// The step of the method that closed the gap between plan and bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// The gap is open.
    Open,
    /// The first greedy plan met the bound.
    Greedy,
    /// Rounding and mending the linear program's plan (diving) met the bound.
    Diving,
    /// A plan from the patterns generated met the bound.
    Rounding,
    /// A plan buys the cheapest numbers of boards that can hold the parts.
    Tallies,
    /// All patterns that a cheaper plan could use were enumerated and searched.
    Enumeration,
    /// Stock does not suffice, and no plan goes with less of what is missing, priced alike. This rests on the search alone:
    /// there is no certificate.
    Shortage,
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Step::Open => "open",
            Step::Greedy => "greedy plan meets the bound",
            Step::Diving => "dive meets the bound",
            Step::Rounding => "plan over generated patterns meets the bound",
            Step::Tallies => "no cheaper numbers of boards hold the parts",
            Step::Shortage => "stock does not suffice",
            Step::Enumeration => "patterns enumerated and searched",
        })
    }
}

/// A plan with its bound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// How to cut.
    pub layouts: Vec<Layout>,
    /// Cost of the plan.
    pub cost: i64,
    /// No plan costs less.
    pub bound: i64,
    /// Parts for which there is no stock left, by length; a plan that lacks any is no plan.
    pub missing: Vec<Cut>,
    /// Which step closed the gap.
    pub proof: Step,
    /// What shows the bound.
    pub certificate: Certificate,
    /// Elementary steps that were spent.
    pub steps: u64,
    /// Whether the search was ended by its limit of steps or from outside.
    pub stopped: bool,
}

impl Answer {
    /// What the plan may cost too much.
    pub fn gap(&self) -> i64 {
        self.cost - self.bound
    }

    /// Whether no plan is cheaper.
    pub fn is_optimal(&self) -> bool {
        self.cost == self.bound && self.missing.is_empty()
    }
}
