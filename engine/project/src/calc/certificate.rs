//! The proof of a cutting plan's bound as another program reads it, and how to check it in whole numbers.
//!
//! `kind` is `nothing`, `multipliers`, `cases` or `tallies`. `worth` says what each length of part is worth, in `scale`ths of the unit of
//! cost. A part takes its length and a kerf, a board has its length less both trims and more by one kerf (its room).
//!
//! **Multipliers.** Let V(s) be the most that parts which fit the room of stock s, no more of each than wanted, are worth. For every stock
//! without limit V(s) must not pass its cost times `scale`. Then no plan costs less than the sum of all parts' worth, less for
//! each stock of limited number its number times what V(s) passes its cost by, all in `scale`ths; rounded up to a sum that
//! the costs of stock can add up to.
//!
//! **Cases.** All plans up to the cost `below` are shown to be impossible, so that no plan costs less than the next sum of
//! costs after it. What that leaves out first: of stock alike in cost and in what it holds all but the first (numbers added); stock
//! that another without limit beats in both. Of the remaining, patterns to which a part could be added, those that
//! a cheaper stock without limit holds as well, and those that by `worth` waste more than lacks from the bound of the multipliers
//! to `below` (counted from V(s) where stock of limited number gains) need no looking at. Sizes may be divided by their common measure, rooms
//! rounded down. The rows are first the parts (indices by length, longest first), at least as many as wanted;
//! then `limited`, the stocks of limited number, at most as many as there are; then the choices made on the way. `cases` lists the
//! tree, the first is its root. With the `multipliers` y of all rows a pattern wastes its cost times `scale` less the sum
//! of y times how it counts in each row. A case is closed when the sum of y times the right sides, and the number of parts times the least
//! waste if that is below nought, exceeds `below` times `scale`. A case may also be closed by a `lattice`: of the numbers of its `parts` all
//! whole combinations of its `rows` count for nothing (row i begins with the i-th of these parts). From nothing to the remainder of what is
//! wanted of them lead boards, each of which adds its pattern and wastes as said, less the least waste if that is below nought, and
//! parts too many, each of which takes one off and wastes its multiplier; every such way wastes more than what lacks to
//! `below` times `scale`. Otherwise the case is split: patterns that waste more than what
//! lacks are left out, and of the others those of `stock` (null for any) that hold at least so many of each part in `holding`
//! are used at most `most` times in the case `fewer`, `most` + 1 times or more in the case `more`. A choice about the same patterns
//! in the same sense takes the place of the earlier one.
//!
//! **Tallies.** All plans up to the cost `below` are shown to be impossible by how many boards of each stock they buy. `cuts` lists
//! several sets of worths. With each a plan's boards must hold what the parts are worth: the sum of V(s) times the number of
//! boards of s is no less than the worth of all parts. Stock is left out, and added up, as with cases. A case of `cases` says between which
//! two whole numbers each number of boards lies: in the root nought and the least of what is available, the number of parts,
//! and `below` divided by the cost (if there is one), rounded down. A split says that those of its `stock` are at most `most` in the case `fewer`,
//! `most` + 1 or more in the case `more`. `multipliers` y, one for each of the first cuts, none negative, are in `parts`ths of one. A board of
//! s leaves its cost times `scale` times `parts` less the sum of y times V(s); the case costs at least the sum of y times the
//! worth of all parts, and what each stock leaves times its least number where that is positive, its greatest where it is negative. A case
//! is closed when that exceeds `below` times `scale` times `parts`, or when no number is left between the two.

use serde::Serialize;
use slatwork_shop::stock::cutting::{self, Case, Duals, Tallies};

/// What shows that no plan costs less than the bound.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Certificate {
    /// `nothing`, `multipliers`, `cases` or `tallies`.
    pub kind: &'static str,
    /// Parts of a unit of cost that worths are counted in.
    pub scale: i64,
    /// Length and worth of each part, longest first.
    pub worth: Vec<(i64, i64)>,
    /// Several sets of worths, each as `worth`, if by tallies; `worth` is then empty.
    pub cuts: Vec<Vec<(i64, i64)>>,
    /// Parts of one that multipliers of cuts are counted in.
    pub parts: Option<i64>,
    /// Plans up to this cost are shown to be impossible, if by cases or tallies.
    pub below: Option<i64>,
    /// Stock that has a row, by its index.
    pub limited: Vec<usize>,
    /// The division into cases, its root first.
    pub cases: Vec<Closed>,
}

/// A case.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Closed {
    /// One for each row, or for each of the first cuts.
    pub multipliers: Vec<i64>,
    /// What closes it when the multipliers alone do not.
    pub lattice: Option<Remainders>,
    /// How it goes on.
    pub split: Option<Divided>,
}

/// Numbers of parts that count for nothing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Remainders {
    /// Indices of the parts.
    pub parts: Vec<usize>,
    /// Of each row the numbers of these parts.
    pub rows: Vec<Vec<i64>>,
}

/// Two cases that together are all.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Divided {
    /// Only patterns of this stock.
    pub stock: Option<usize>,
    /// Only patterns with at least so many of each part: index and number.
    pub holding: Vec<(usize, u32)>,
    /// The number.
    pub most: i64,
    /// Index of the case where they are used at most so often.
    pub fewer: usize,
    /// Index of the case where they are used oftener.
    pub more: usize,
}

impl Certificate {
    /// As the solver gives it.
    pub(super) fn of(certificate: &cutting::Certificate) -> Self {
        match certificate {
            cutting::Certificate::Nothing => Certificate { kind: "nothing", ..Certificate::default() },
            cutting::Certificate::Duals(duals) => Certificate::multipliers("multipliers", duals),
            cutting::Certificate::Cases(duals, cases) => Certificate {
                below: Some(cases.below),
                limited: cases.limited.clone(),
                cases: listed(&cases.tree),
                ..Certificate::multipliers("cases", duals)
            },
            cutting::Certificate::Tallies(tallies) => Certificate::tallies(tallies),
        }
    }

    fn tallies(own: &Tallies) -> Self {
        Certificate {
            kind: "tallies",
            scale: own.cuts.first().map_or(1, |cut| cut.scale),
            cuts: own.cuts.iter().map(|cut| cut.worth.clone()).collect(),
            parts: Some(own.parts),
            below: Some(own.below),
            cases: listed(&own.tree),
            ..Certificate::default()
        }
    }

    fn multipliers(kind: &'static str, duals: &Duals) -> Self {
        Certificate { kind, scale: duals.scale, worth: duals.worth.clone(), ..Certificate::default() }
    }
}

/// The tree as a list: readers of JSON need not go as deep as the tree.
fn listed(tree: &Case) -> Vec<Closed> {
    let mut open: Vec<&Case> = vec![tree];
    let mut listed = Vec::new();
    let mut next = 0;
    while let Some(&case) = open.get(next) {
        let split = case.split.as_ref().map(|split| {
            open.extend([&split.fewer, &split.more]);
            let (fewer, more) = (open.len() - 2, open.len() - 1);
            let picked = &split.picked;
            Divided { stock: picked.stock, holding: picked.holding.clone(), most: split.most, fewer, more }
        });
        let lattice = case.lattice.as_ref();
        let lattice = lattice.map(|own| Remainders { parts: own.parts.clone(), rows: own.rows.clone() });
        listed.push(Closed { multipliers: case.multipliers.clone(), lattice, split });
        next += 1;
    }
    listed
}
