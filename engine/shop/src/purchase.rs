//! Boards to buy, and how each is cut: the cheapest plan, beside what no plan can beat.

mod cheapest;
mod layout;
mod verify;

pub use layout::{BoardLayout, BoardSource, LayoutCut, LayoutLane, LayoutPiece};
pub use verify::verify;

use crate::demand::{StockPiece, Wanted};
use crate::stock::{Bound, Demand, Piece, Saw, Stick, bound};
use cheapest::{Asked, Cheapest};
use indexmap::IndexMap;
use layout::layout;
use slatwork_base::{Diagnostic, Length, Place};
use slatwork_catalog::{Catalogue, Offcut, StockLength, Tools};

/// How the boards were chosen: printed beside the claim.
pub const RULE: &str = "offcuts from the rack cost nothing; a piece narrower than its board is ripped from a length crosscut for it; of plans \
that cost the same, where no piece is ripped, the one with fewest ways to cut, then the longest usable remainders";

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

/// How one section in one species comes out.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupSummary {
    /// Name of the section.
    pub section: String,
    /// Id of the species.
    pub species: String,
    /// Boards bought.
    pub boards: usize,
    /// Their length.
    pub length: Length,
    /// Their board feet.
    pub board_feet: f64,
    /// Their price in cents; `None` when a price is not known.
    pub price_cents: Option<i64>,
    /// Offcuts used from the rack.
    pub offcuts: usize,
    /// Length of the pieces cut, with strips abreast counted once.
    pub used: Length,
    /// No plan buys fewer boards than this.
    pub boards_at_least: usize,
    /// No plan buys less length than this.
    pub length_at_least: Length,
    /// No plan pays less than this, in cents.
    pub price_at_least: Option<i64>,
    /// Whether no plan is cheaper; where prices are not known, whether none buys less length.
    pub is_proven: bool,
    /// What showed the bound, in words.
    pub proof: String,
}

/// What to buy and how to cut it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Purchase {
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

impl Purchase {
    /// Whether no plan is cheaper.
    pub fn is_proven(&self) -> bool {
        self.groups.iter().all(|group| group.is_proven)
    }

    /// What the plan claims: printed wherever its cost is.
    pub fn claim(&self) -> String {
        let measure = if self.price_cents.is_some() { "cheaper" } else { "shorter" };
        if self.is_proven() {
            return format!("proven: no way to cut these pieces from what the yard sells is {measure}");
        }
        let open = self.groups.iter().filter(|group| !group.is_proven).map(|group| group.section.as_str());
        format!(
            "not proven for {}: what no plan can beat is told beside it",
            open.collect::<Vec<_>>().join(", ")
        )
    }

    /// Length of all boards bought.
    pub fn length(&self) -> Length {
        self.groups.iter().map(|group| group.length).sum()
    }

    /// No plan buys less length than this.
    pub fn length_at_least(&self) -> Length {
        self.groups.iter().map(|group| group.length_at_least).sum()
    }
}

pub(crate) fn purchase(catalogue: &Catalogue, wanted: &[Wanted], troubles: &mut Vec<Diagnostic>) -> Purchase {
    let mut purchase = Purchase { currency: catalogue.yard().currency.clone(), ..Purchase::default() };
    for group in wanted {
        let supply = Supply::of(catalogue, group);
        let planned = plan_group(group, &supply, catalogue.tools(), troubles);
        purchase.lines.extend(lines_of(group, &supply, &planned.layouts));
        purchase.layouts.extend(planned.layouts);
        purchase.groups.push(planned.summary);
    }
    let total =
        |price: fn(&GroupSummary) -> Option<i64>| purchase.groups.iter().map(price).sum::<Option<i64>>();
    (purchase.price_cents, purchase.price_at_least) = (total(|g| g.price_cents), total(|g| g.price_at_least));
    purchase
}

/// What a group may be cut from.
struct Supply<'a> {
    bought: Vec<StockLength>,
    rack: Vec<&'a Offcut>,
    /// Whether every length has a price.
    priced: bool,
    /// Common measure of the lengths on sale: without prices, boards count by it.
    measure: Length,
}

impl<'a> Supply<'a> {
    fn of(catalogue: &'a Catalogue, group: &Wanted) -> Self {
        let bought = catalogue.stock(group.section, group.species, None);
        let fits =
            |offcut: &&Offcut| offcut.section == group.section.name && offcut.species == group.species.id;
        Supply {
            priced: bought.iter().all(|stock| stock.price_cents.is_some()),
            measure: common_measure(&bought),
            rack: catalogue.rack().iter().filter(fits).collect(),
            bought,
        }
    }

    /// Bought lengths, then offcuts. An offcut's length is usable as it is, so the trims are put on top of it.
    fn sticks(&self, saw: Saw) -> Vec<Stick> {
        let bought = self.bought.iter().map(|stock| Stick {
            length: stock.length,
            cost: if self.priced {
                stock.price_cents.unwrap_or(0)
            } else {
                stock.length.as_nm() / self.measure.as_nm()
            },
            available: stock.available.map(|count| count as usize),
            in_hand: false,
        });
        let rack = self.rack.iter().map(|offcut| Stick {
            length: offcut.length + saw.trim_low + saw.trim_high,
            cost: 0,
            available: Some(offcut.count as usize),
            in_hand: true,
        });
        bought.chain(rack).collect()
    }

    fn longest(&self) -> Option<Length> {
        let lengths = self.bought.iter().map(|stock| stock.length);
        lengths.chain(self.rack.iter().map(|offcut| offcut.length)).max()
    }
}

/// The greatest length of which all lengths on sale are multiples; a nanometre where nothing is on sale.
fn common_measure(bought: &[StockLength]) -> Length {
    fn common(a: i64, b: i64) -> i64 {
        if b == 0 { a } else { common(b, a % b) }
    }
    Length::nm(bought.iter().fold(0, |measure, stock| common(measure, stock.length.as_nm())).max(1))
}

/// The crosscut saw and the ends that are squared off.
pub(crate) fn saw(tools: &Tools) -> Saw {
    Saw { kerf: tools.crosscut_kerf, trim_low: tools.end_trim, trim_high: tools.end_trim }
}

struct PlannedGroup {
    layouts: Vec<BoardLayout>,
    summary: GroupSummary,
}

fn plan_group(
    group: &Wanted,
    supply: &Supply,
    tools: &Tools,
    troubles: &mut Vec<Diagnostic>,
) -> PlannedGroup {
    let (saw, sticks) = (saw(tools), supply.sticks(saw(tools)));
    let pieces = cuttable(group, supply, saw, troubles);
    let sizes: Vec<Piece> =
        pieces.iter().map(|piece| Piece { length: piece.length, width: piece.width }).collect();
    let demand = Demand {
        pieces: &sizes,
        board_width: group.section.width,
        rip_kerf: tools.rip_kerf,
        saw,
        sticks: &sticks,
    };
    let asked = Asked {
        pieces: &sizes,
        sticks: &sticks,
        width: group.section.width,
        saw,
        rip_kerf: tools.rip_kerf,
        usable: tools.minimum_crosscut,
    };
    let found = asked.solve().unwrap_or_else(|why| {
        troubles.push(not_planned(group, &why));
        Cheapest { boards: Vec::new(), lacking: Vec::new(), bound: 0, proof: why, is_proven: false }
    });
    for &left in &found.lacking {
        troubles.push(too_few(group, pieces[left]));
    }
    let layouts: Vec<BoardLayout> =
        found.boards.iter().map(|board| layout(group, supply, &pieces, board, tools)).collect();
    let summary = summarise(group, supply, &layouts, &found, bound(&demand));
    PlannedGroup { layouts, summary }
}

/// The pieces that some board can give; a trouble for each of the others.
fn cuttable<'a>(
    group: &'a Wanted,
    supply: &Supply,
    saw: Saw,
    troubles: &mut Vec<Diagnostic>,
) -> Vec<&'a StockPiece> {
    let longest_bought = supply.bought.iter().map(|stock| saw.usable(stock.length)).max();
    let longest =
        supply.rack.iter().map(|offcut| offcut.length).chain(longest_bought).max().unwrap_or_default();
    let mut fits = Vec::with_capacity(group.pieces.len());
    if supply.bought.is_empty() && supply.rack.is_empty() {
        troubles.extend(group.pieces.first().map(|piece| not_stocked(group, piece)));
        return fits;
    }
    for piece in &group.pieces {
        if piece.width > group.section.width {
            troubles.push(too_wide(group, piece));
        } else if piece.length > longest {
            troubles.push(too_long(group, piece, supply, longest));
        } else {
            fits.push(piece);
        }
    }
    fits
}

fn trouble(code: &'static str, message: String, piece: &StockPiece) -> Diagnostic {
    let part = Place::Part(piece.name.clone());
    let trouble = Diagnostic::error(code, message).at_origin(piece.origin);
    if trouble.place.is_some() { trouble.with_trace(part, "the part it is about") } else { trouble.at(part) }
}

fn too_long(group: &Wanted, piece: &StockPiece, supply: &Supply, usable: Length) -> Diagnostic {
    let section = &group.section.name;
    let longest = supply.longest().unwrap_or_default();
    let message = format!(
        "`{}` is cut {} long from {section}, and the longest {section} in {} is {longest}, which gives {usable}",
        piece.name, piece.length, group.species.name
    );
    trouble("part-longer-than-stock", message, piece)
        .help("make it shorter, choose a section that is sold longer, or add the length to the yard's list")
}

fn too_wide(group: &Wanted, piece: &StockPiece) -> Diagnostic {
    let section = &group.section.name;
    let message = format!(
        "`{}` is ripped {} wide, and {section} is {} wide",
        piece.name, piece.width, group.section.width
    );
    trouble("part-wider-than-stock", message, piece).help("choose a wider section, or glue it up from strips")
}

fn not_stocked(group: &Wanted, piece: &StockPiece) -> Diagnostic {
    let (section, species) = (&group.section.name, &group.species.name);
    let message = format!("the yard has no {section} in {species}, which `{}` is cut from", piece.name);
    trouble("section-not-stocked", message, piece)
        .help("choose another section or wood, or add it to the yard's list")
}

fn not_planned(group: &Wanted, why: &str) -> Diagnostic {
    let (section, species) = (&group.section.name, &group.species.name);
    let message = format!("what to buy of {section} in {species} cannot be worked out: {why}");
    Diagnostic::error("purchase-not-planned", message)
        .help("look at the lengths and prices of the yard's list")
}

fn too_few(group: &Wanted, piece: &StockPiece) -> Diagnostic {
    let (section, species) = (&group.section.name, &group.species.name);
    let message =
        format!("no {section} in {species} is left at the yard for `{}`, {} long", piece.name, piece.length);
    trouble("yard-runs-out", message, piece).help("raise the count that the yard has, or list another length")
}

fn summarise(
    group: &Wanted,
    supply: &Supply,
    layouts: &[BoardLayout],
    found: &Cheapest,
    least: Bound,
) -> GroupSummary {
    let bought: Vec<&BoardLayout> =
        layouts.iter().filter(|layout| layout.from == BoardSource::Yard).collect();
    let length: Length = bought.iter().map(|layout| layout.length).sum();
    GroupSummary {
        section: group.section.name.clone(),
        species: group.species.id.clone(),
        boards: bought.len(),
        length,
        board_feet: length.as_inch() / 12.0 * group.section.board_feet_per_foot(),
        price_cents: bought.iter().map(|layout| layout.price_cents).sum(),
        offcuts: layouts.len() - bought.len(),
        used: found.boards.iter().flat_map(|board| &board.sections).map(|section| section.length).sum(),
        boards_at_least: least.sticks,
        length_at_least: if supply.priced {
            least.length
        } else {
            supply.measure.checked_times(found.bound).unwrap_or_default().max(least.length)
        },
        price_at_least: supply.priced.then_some(found.bound.max(least.cost)),
        is_proven: found.is_proven,
        proof: found.proof.clone(),
    }
}

fn lines_of(group: &Wanted, supply: &Supply, layouts: &[BoardLayout]) -> Vec<PurchaseLine> {
    let mut counts: IndexMap<Length, usize> = supply.bought.iter().map(|stock| (stock.length, 0)).collect();
    for layout in layouts.iter().filter(|layout| layout.from == BoardSource::Yard) {
        *counts.entry(layout.length).or_default() += 1;
    }
    let price = |length: Length| supply.bought.iter().find(|stock| stock.length == length)?.price_cents;
    let line = |(length, count): (Length, usize)| PurchaseLine {
        section: group.section.name.clone(),
        species: group.species.id.clone(),
        species_name: group.species.name.clone(),
        length,
        count,
        price_cents: price(length),
    };
    counts.into_iter().filter(|(_, count)| *count > 0).map(line).collect()
}
