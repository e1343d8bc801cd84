//! Boards to buy, and how each is cut: the cheapest plan, beside what no plan can beat.

mod cheapest;
mod layout;
mod lot;
mod nests;
mod outline;
mod sources;
mod supply;
mod together;
mod troubles;
mod verify;

pub use layout::{
    BoardLayout, BoardSource, LayoutCut, LayoutLane, LayoutNest, LayoutPiece, NestedPiece, RackStretch,
};
pub use outline::{nest_outline, nested_outline};
pub use sources::Source;
pub use supply::clear_stretches;
pub use verify::verify;

use crate::demand::Wanted;
use crate::stock::nesting::MOST_IN_A_ROW;
use crate::stock::{Bound, Demand, Piece, Stick, bound};
use cheapest::Asked;
use indexmap::IndexMap;
use layout::layout;
use lot::{Lot, lots};
use nests::{Plan, Shop};
use slatwork_base::{Diagnostic, Length, Tape};
use slatwork_catalog::Catalogue;
use slatwork_model::Model;
use supply::{Supply, saw};

/// How the boards were chosen: printed beside the claim.
pub const RULE: &str = "offcuts from the rack cost nothing; a piece narrower than its board is ripped from a length crosscut for it, from a \
wider section where the design allows it and it is cheaper; of plans that cost the same, where no piece is ripped, the one with fewest ways to \
cut, then the longest usable remainders";

/// Boards of one length to buy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PurchaseLine {
    /// Name of the section.
    pub section: String,
    /// Id of the species.
    pub species: String,
    /// Name of the species.
    pub species_name: String,
    /// Stock length.
    pub length: Length,
    /// How many.
    pub count: usize,
    /// Price of one in cents, where the yard's price is known.
    pub price_cents: Option<i64>,
}

/// How one section in one species comes out, or several sections of one thickness where parts may be ripped from wider ones.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupSummary {
    /// Names of the sections: what the parts ask for, then what else is bought.
    pub sections: Vec<String>,
    /// Id of the species.
    pub species: String,
    /// Boards bought.
    pub boards: usize,
    /// Their length.
    pub length: Length,
    /// Their board feet.
    pub board_feet: f64,
    /// Their price in cents; `None` when a price of what they could be bought as is not known: then the least wood is bought.
    pub price_cents: Option<i64>,
    /// Offcuts used from the rack.
    pub offcuts: usize,
    /// No plan buys fewer boards than this; known where all are of one section.
    pub boards_at_least: Option<usize>,
    /// No plan buys less length than this; known where all are of one section.
    pub length_at_least: Option<Length>,
    /// No plan pays less than this, in cents.
    pub price_at_least: Option<i64>,
    /// Whether no plan is cheaper; where prices are not known, whether none buys less length.
    pub is_proven: bool,
    /// Whether curved parts could lie in nests: what is told of all plans is then told of those with the nests that were looked at.
    pub with_nests: bool,
}

impl GroupSummary {
    /// Its sections in one word: `1x4`, `1x4 or 1x8`.
    pub fn name(&self) -> String {
        self.sections.join(" or ")
    }
}

/// What to buy and how to cut it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Purchase {
    /// Equal pieces that it is for.
    pub pieces: usize,
    /// Boards to buy, by section, species, then length.
    pub lines: Vec<PurchaseLine>,
    /// Every board with its cuts: per group first the rack, then the bought ones in the order they are opened.
    pub layouts: Vec<BoardLayout>,
    /// By section and species.
    pub groups: Vec<GroupSummary>,
    /// Price of all in cents; `None` when a price is not known.
    pub price_cents: Option<i64>,
    /// No plan pays less than this, in cents.
    pub price_at_least: Option<i64>,
    /// What the prices are in.
    pub currency: String,
}

/// Boards that are cut alike.
#[derive(Clone, Debug)]
pub struct AlikeBoards<'a> {
    /// Their places among the layouts.
    pub boards: Vec<usize>,
    /// The first of them.
    pub layout: &'a BoardLayout,
}

impl Purchase {
    /// The layouts, those together that are cut alike, in the order of the first of each.
    pub fn alike(&self) -> Vec<AlikeBoards<'_>> {
        let mut alike: Vec<AlikeBoards<'_>> = Vec::new();
        for (at, layout) in self.layouts.iter().enumerate() {
            match alike.iter_mut().find(|own| own.layout.is_like(layout)) {
                Some(own) => own.boards.push(at),
                None => alike.push(AlikeBoards { boards: vec![at], layout }),
            }
        }
        alike
    }

    /// The boards that have a piece of this mark in a nest, each as often as it has one.
    pub fn nested(&self, mark: &str) -> Vec<usize> {
        let of_board = |board: &BoardLayout| {
            let nests = board.cuts.iter().filter_map(|cut| cut.nest.as_ref());
            nests.flat_map(|nest| &nest.pieces).filter(|own| own.piece.mark == mark).count()
        };
        let boards = self.layouts.iter().enumerate();
        boards.flat_map(|(at, board)| std::iter::repeat_n(at, of_board(board))).collect()
    }

    /// Whether no plan is cheaper.
    pub fn is_proven(&self) -> bool {
        self.groups.iter().all(|group| group.is_proven)
    }

    /// What the plan claims: printed wherever its cost is.
    pub fn claim(&self) -> String {
        let open: Vec<String> =
            self.groups.iter().filter(|group| !group.is_proven).map(GroupSummary::name).collect();
        if !open.is_empty() {
            return format!("not proven for {}: what no plan can beat is told beside it", open.join(", "));
        }
        let least = match self.groups.iter().filter(|group| group.price_at_least.is_some()).count() {
            0 => "takes less wood",
            priced if priced < self.groups.len() => {
                "is cheaper, or takes less wood where prices are not known"
            }
            _ => "is cheaper",
        };
        let nested = match self.groups.iter().any(|group| group.with_nests) {
            true => format!(
                ", and curved parts cut to rectangles or nested in rows of up to {MOST_IN_A_ROW} parts of the kind looked at"
            ),
            false => String::new(),
        };
        format!(
            "proven: however the yard's boards are crosscut, ripped where they must be and the strips crosscut{nested}, nothing {least}"
        )
    }

    /// Length of all boards bought.
    pub fn length(&self) -> Length {
        self.groups.iter().map(|group| group.length).sum()
    }

    /// No plan buys less length than this; known where no part may be ripped from a wider section.
    pub fn length_at_least(&self) -> Option<Length> {
        self.groups.iter().map(|group| group.length_at_least).sum()
    }
}

/// The boards for all that is wanted, which is what so many equal pieces ask for.
pub(crate) fn purchase(
    (model, catalogue, tape): (&Model, &Catalogue, Tape),
    wanted: &[Wanted],
    pieces: usize,
    troubles: &mut Vec<Diagnostic>,
) -> Purchase {
    let shop = Shop { model, tools: catalogue.tools(), tape };
    let mut purchase =
        Purchase { pieces, currency: catalogue.yard().currency.clone(), ..Purchase::default() };
    for lot in lots(catalogue, wanted) {
        let supply = Supply::of(catalogue, &lot);
        let left_out = lot::of_other_thickness(catalogue, &lot);
        troubles.extend(left_out.into_iter().map(|(own, other)| troubles::not_as_thick(own, other)));
        let planned = plan_lot(&lot, &supply, (shop, pieces), troubles);
        purchase.lines.extend(lines_of(&lot, &supply, &planned.layouts));
        purchase.layouts.extend(planned.layouts);
        purchase.groups.push(planned.summary);
    }
    let total =
        |price: fn(&GroupSummary) -> Option<i64>| purchase.groups.iter().map(price).sum::<Option<i64>>();
    (purchase.price_cents, purchase.price_at_least) = (total(|g| g.price_cents), total(|g| g.price_at_least));
    purchase
}

struct Planned {
    layouts: Vec<BoardLayout>,
    summary: GroupSummary,
}

fn plan_lot(
    lot: &Lot,
    supply: &Supply,
    (shop, pieces_alike): (Shop, usize),
    troubles: &mut Vec<Diagnostic>,
) -> Planned {
    let tools = shop.tools;
    let saw = saw(tools);
    let boards = supply.boards(lot, saw);
    let pieces = troubles::cuttable(lot, supply, tools, troubles);
    let wanted: Vec<cheapest::Piece> = pieces.iter().map(|own| lot.piece(own)).collect();
    let asked = Asked {
        pieces: &wanted,
        boards: &boards,
        saw,
        rip_kerf: tools.rip_kerf,
        narrowest_rip: tools.minimum_rip,
        usable: tools.least_offcut,
        steps: cheapest::steps(pieces_alike),
    };
    let plan = nests::plan(lot, &pieces, &asked, shop).unwrap_or_else(|why| {
        troubles.push(troubles::not_planned(lot, &why));
        Plan::nothing(&wanted)
    });
    for left in plan.lacking() {
        troubles.push(troubles::too_few(lot, pieces[left]));
    }
    let boards_sawn = plan.cheapest.boards.iter();
    let layouts: Vec<BoardLayout> =
        boards_sawn.map(|sawn| layout(lot, supply, (&pieces, &plan.items), sawn, shop)).collect();
    // Boards with defects would count several times over.
    let is_plain = boards.iter().all(|board| board.choice.is_none());
    let least = lot.only_section().filter(|_| is_plain).map(|section| {
        let sizes: Vec<Piece> = wanted
            .iter()
            .zip(&plan.lengths)
            .map(|(own, &length)| Piece { length, width: own.width })
            .collect();
        let sticks: Vec<Stick> = boards.iter().map(|board| board.stick).collect();
        bound(&Demand {
            pieces: &sizes,
            board_width: section.width,
            rip_kerf: tools.rip_kerf,
            saw,
            sticks: &sticks,
        })
    });
    let summary = summarise(lot, supply, &layouts, &plan, least);
    Planned { layouts, summary }
}

fn summarise(
    lot: &Lot,
    supply: &Supply,
    layouts: &[BoardLayout],
    plan: &Plan,
    least: Option<Bound>,
) -> GroupSummary {
    let found = &plan.cheapest;
    let bought: Vec<&BoardLayout> =
        layouts.iter().filter(|layout| layout.from == BoardSource::Yard).collect();
    // Without prices a board counts by its face, so of one section by its length.
    let by_length = |least: Bound| match lot.only_section() {
        Some(section) if !supply.priced => supply.length_of(found.bound, section).max(least.length),
        _ => least.length,
    };
    let is_used = |at: &usize| {
        lot.wanted.contains(at) || layouts.iter().any(|board| board.section == lot.sections[*at].name)
    };
    let board_feet = |board: &&BoardLayout| {
        let section = lot.sections.iter().find(|section| section.name == board.section);
        section.map_or(0.0, |section| board.length.as_inch() / 12.0 * section.board_feet_per_foot())
    };
    // Stretches of one board with defects are one offcut.
    let whole = |layout: &BoardLayout| layout.stretch.is_some_and(|own| own.is_whole(layout.length));
    let mut offcuts: Vec<(usize, usize, usize)> = layouts
        .iter()
        .enumerate()
        .filter_map(|(at, layout)| {
            let own = layout.stretch?;
            Some((own.offcut, own.board, if whole(layout) { at } else { 0 }))
        })
        .collect();
    offcuts.sort_unstable();
    offcuts.dedup();
    GroupSummary {
        sections: (0..lot.sections.len()).filter(is_used).map(|at| lot.sections[at].name.clone()).collect(),
        species: lot.species.id.clone(),
        boards: bought.len(),
        length: bought.iter().map(|layout| layout.length).sum(),
        board_feet: bought.iter().map(board_feet).sum(),
        price_cents: if supply.priced { bought.iter().map(|layout| layout.price_cents).sum() } else { None },
        offcuts: offcuts.len(),
        boards_at_least: least.map(|least| least.sticks),
        length_at_least: least.map(by_length),
        price_at_least: supply.priced.then_some(found.bound.max(least.map_or(0, |least| least.cost))),
        is_proven: found.is_proven,
        with_nests: plan.nests,
    }
}

fn lines_of(lot: &Lot, supply: &Supply, layouts: &[BoardLayout]) -> Vec<PurchaseLine> {
    let bought = supply.bought.iter();
    let mut counts: IndexMap<(usize, Length), usize> =
        bought.map(|(section, stock)| ((*section, stock.length), 0)).collect();
    for layout in layouts.iter().filter(|layout| layout.from == BoardSource::Yard) {
        let section = lot.sections.iter().position(|section| section.name == layout.section);
        *counts.entry((section.unwrap_or(0), layout.length)).or_default() += 1;
    }
    let price = |(section, length): (usize, Length)| {
        supply.bought.iter().find(|(at, stock)| (*at, stock.length) == (section, length))?.1.price_cents
    };
    let line = |(of, count): ((usize, Length), usize)| PurchaseLine {
        section: lot.sections[of.0].name.clone(),
        species: lot.species.id.clone(),
        species_name: lot.species.name.clone(),
        length: of.1,
        count,
        price_cents: price(of),
    };
    counts.into_iter().filter(|(_, count)| *count > 0).map(line).collect()
}
