//! Boards to buy, and how each is cut: first fit, stated as such, beside what no plan can beat.

mod layout;
mod verify;

pub use layout::{BoardLayout, BoardSource, LayoutCut, LayoutLane, LayoutPiece};
pub use verify::verify;

use crate::demand::{StockPiece, Wanted};
use crate::stock::{Bound, Bundle, Demand, Kerfs, Piece, Saw, Stick, abreast, bound, first_fit};
use indexmap::IndexMap;
use layout::layout;
use slatwork_base::{Diagnostic, Length, Place};
use slatwork_catalog::{Catalogue, Offcut, StockLength, Tools};

/// What the plan claims: printed wherever its cost is.
pub const CLAIM: &str = "first fit, not proven cheapest";
/// How the boards were chosen: printed beside the claim.
pub const RULE: &str = "longest piece first; offcuts from the rack before bought boards, shortest first; each board opened \
is the stock length with the least price per length of parts in it (without prices: the least length bought per length \
of parts)";

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
}

impl<'a> Supply<'a> {
    fn of(catalogue: &'a Catalogue, group: &Wanted) -> Self {
        let bought = catalogue.stock(group.section, group.species, None);
        let fits =
            |offcut: &&Offcut| offcut.section == group.section.name && offcut.species == group.species.id;
        Supply {
            priced: bought.iter().all(|stock| stock.price_cents.is_some()),
            rack: catalogue.rack().iter().filter(fits).collect(),
            bought,
        }
    }

    /// Bought lengths, then offcuts. An offcut's length is usable as it is, so the trims are put on top of it.
    fn sticks(&self, saw: Saw) -> Vec<Stick> {
        let bought = self.bought.iter().map(|stock| Stick {
            length: stock.length,
            cost: if self.priced { stock.price_cents.unwrap_or(0) } else { stock.length.as_nm() },
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
    let kerfs = Kerfs { rip: tools.rip_kerf, crosscut: tools.crosscut_kerf };
    let pieces = cuttable(group, supply, saw, troubles);
    let sizes: Vec<Piece> =
        pieces.iter().map(|piece| Piece { length: piece.length, width: piece.width }).collect();
    let bundles = abreast(&sizes, group.section.width, kerfs);
    let lengths: Vec<Length> = bundles.iter().map(|bundle| bundle.length).collect();
    let filled = first_fit(&lengths, &sticks, saw);
    for &left in &filled.unplaced {
        troubles.push(too_few(group, pieces[bundles[left].lanes[0].pieces[0]]));
    }
    let layouts: Vec<BoardLayout> =
        filled.opened.iter().map(|opened| layout(group, supply, &pieces, &bundles, opened, tools)).collect();
    let demand = Demand {
        pieces: &sizes,
        board_width: group.section.width,
        rip_kerf: tools.rip_kerf,
        saw,
        sticks: &sticks,
    };
    let summary = summarise(group, supply, &layouts, &bundles, bound(&demand));
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
    bundles: &[Bundle],
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
        used: bundles.iter().map(|bundle| bundle.length).sum(),
        boards_at_least: least.sticks,
        length_at_least: least.length,
        price_at_least: supply.priced.then_some(least.cost),
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
