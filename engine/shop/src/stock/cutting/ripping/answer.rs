//! What is answered: a plan, what no plan can beat, and why that is so.

use super::super::answer::{Cases, Step};

/// Parts of one size in a row. Parts that are alike (in size and boards) go by the first of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cut {
    /// Index of the part.
    pub part: usize,
    /// How many.
    pub count: usize,
}

/// What is crosscut, one after the other.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Strip {
    /// Width.
    pub width: i64,
    /// What is cut, longest first.
    pub cuts: Vec<Cut>,
}

/// A length of a board, crosscut from it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Section {
    /// Length to crosscut from the board.
    pub length: i64,
    /// Whether it is ripped; otherwise it is one row of parts that take the whole width.
    pub ripped: bool,
    /// Strips, widest first; one of the parts' own width when it is not ripped.
    pub strips: Vec<Strip>,
}

/// One way to cut one kind of board, and how often it is done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Index of the board.
    pub board: usize,
    /// Boards that are cut so.
    pub times: usize,
    /// Sections in cutting order, longest first. The remainder follows the last.
    pub sections: Vec<Section>,
}

/// The multipliers of a proof, in `scale`ths of the unit of cost.
///
/// Part i is worth u(i). On board b its worth is eased by r(b, i), at most u(i): let F(b) be the most that any filling of b
/// is worth at u - r, where a filling may hold the same part in several strips beyond its demand d, but strips of one width abreast are worth no
/// more than all parts wanted of that width. A board that holds no more
/// than is wanted is worth at most V(b) = F(b) + sum r(b, i) d(i) (Lagrange). With these, as for parts in a row: worths
/// and V are shrunk by the least ratio c(b) scale / V(b) over boards of unlimited number (Farley 1990), rounded down, and no
/// plan costs less than sum d u - sum over limited boards of a(b) max(0, V(b) - c(b) scale).
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Worths {
    /// Worth of each part, in the order of the problem; alike parts have the same.
    pub worth: Vec<i64>,
    /// What is taken off it on each board, in the order of the problem.
    pub relief: Vec<Vec<i64>>,
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
    /// Multipliers, and a tree of cases over all that a board of a cheaper plan could hold. The tree goes by kinds of part
    /// (longest first, then widest, alike parts together) and by the first board of each kind.
    Cases(Worths, Cases),
    /// Cases of how many boards of each kind are bought.
    Tallies(Tallies),
}

/// Several sets of multipliers, and cases of how many boards are bought; see [`super::super::Tallies`], V(b) being that of [`Worths`], not shrunk.
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
    /// Parts for which there is no board left; a plan that lacks any is no plan.
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

    /// Different widths that the rip fence is set to: each width is ripped in one go, through all boards.
    pub fn rip_settings(&self) -> usize {
        let ripped = self.layouts.iter().flat_map(|layout| &layout.sections).filter(|section| section.ripped);
        let widths: std::collections::BTreeSet<i64> =
            ripped.flat_map(|section| section.strips.iter().map(|strip| strip.width)).collect();
        widths.len()
    }
}
