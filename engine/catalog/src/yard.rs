//! What the yard stocks and at what price, and what lies on the rack.

use crate::{Section, Source, Species};
use core::ops::RangeInclusive;
use indexmap::IndexMap;
use slatwork_base::Length;

/// One length on sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockLength {
    /// As sold, before trimming its ends.
    pub length: Length,
    /// Price of one piece in cents; `None` when not known.
    pub price_cents: Option<i64>,
    /// How many the yard has; `None` for as many as wanted.
    pub available: Option<u32>,
}

impl StockLength {
    /// Price in cents of a piece of a length at so many cents per unit of length, rounded half up; `None` when there is
    /// no such unit or no such price.
    pub fn cents_at(length: Length, cents: i64, per: Length) -> Option<i64> {
        let (length, per) = (i128::from(length.as_nm()), i128::from(per.as_nm()));
        let share = length.checked_mul(i128::from(cents))?.checked_add(per / 2)?.checked_div(per)?;
        i64::try_from(share).ok()
    }
}

/// The lengths of one section that the yard stocks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockItem {
    /// Name of the section.
    pub section: String,
    /// Id of the species; `None` for any.
    pub species: Option<String>,
    /// Grade; `None` for any.
    pub grade: Option<String>,
    /// Lengths, ascending.
    pub lengths: Vec<StockLength>,
    /// Where the figures come from.
    pub source: Source,
}

/// What a species costs where no piece price is given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rate {
    /// Id of the species.
    pub species: String,
    /// Cents for one board foot of the size it is sold by.
    pub cents_per_board_foot: i64,
    /// Where the figure comes from.
    pub source: Source,
}

/// A piece left over from earlier work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offcut {
    /// Name of the section.
    pub section: String,
    /// Id of the species.
    pub species: String,
    /// Grade, where it matters.
    pub grade: Option<String>,
    /// Usable length.
    pub length: Length,
    /// How many alike.
    pub count: u32,
    /// Where the figure comes from.
    pub source: Source,
}

/// The yard as a whole.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Yard {
    /// What prices are in, for display.
    pub currency: String,
    /// Whether sections that are not listed are not stocked at all.
    pub only_listed: bool,
    /// Listed stock.
    pub items: Vec<StockItem>,
    /// Prices by species.
    pub rates: IndexMap<String, Rate>,
}

impl Yard {
    /// The lengths on sale of a section in a species and grade, ascending. The closest listed item wins (with species
    /// and grade, with species, with neither); without one, the section's usual lengths at the species' rate.
    /// Hardwood that is not listed is taken to come in [`HARDWOOD_LENGTHS`] only.
    pub fn lengths(&self, section: &Section, species: &Species, grade: Option<&str>) -> Vec<StockLength> {
        let rate = self.rates.get(&species.id).map(|rate| rate.cents_per_board_foot);
        let is_sold = |length: &&Length| !species.hardwood || HARDWOOD_LENGTHS.contains(length);
        let mut lengths = match self.item(section, &species.id, grade) {
            Some(item) => item.lengths.clone(),
            None if self.only_listed => Vec::new(),
            None => section.stock_lengths.iter().filter(is_sold).map(|length| plain(*length)).collect(),
        };
        for stock in &mut lengths {
            let rated = || rate.and_then(|rate| price_cents(section, stock.length, rate));
            stock.price_cents = stock.price_cents.or_else(rated);
        }
        lengths
    }

    fn item(&self, section: &Section, species: &str, grade: Option<&str>) -> Option<&StockItem> {
        let fits = |item: &&StockItem| {
            item.section == section.name
                && item.species.as_deref().is_none_or(|own| own == species)
                && item.grade.as_deref().is_none_or(|own| Some(own) == grade)
        };
        // The last of equals wins, so that an overlay comes before what it lies on.
        self.items.iter().filter(fits).max_by_key(|item| (item.species.is_some(), item.grade.is_some()))
    }
}

/// Hardwood boards are sold in random lengths, normally 6 to 16 ft (common practice, no source).
pub const HARDWOOD_LENGTHS: RangeInclusive<Length> = Length::nm(1_828_800_000)..=Length::nm(4_876_800_000);

fn plain(length: Length) -> StockLength {
    StockLength { length, price_cents: None, available: None }
}

/// One board foot is 144 cubic inches.
const CUBIC_INCHES_PER_BOARD_FOOT: i128 = 144;

/// Price of one piece at a rate per board foot, rounded half up to a cent, exact in whole numbers.
fn price_cents(section: &Section, length: Length, cents_per_board_foot: i64) -> Option<i64> {
    let (thickness, width) = section.sold_size();
    let inch = i128::from(Length::inch(1.0).as_nm());
    let board_foot = CUBIC_INCHES_PER_BOARD_FOOT * inch * inch * inch;
    let volume = [thickness, width, length]
        .iter()
        .try_fold(1i128, |product, side| product.checked_mul(i128::from(side.as_nm())))?;
    let cents =
        volume.checked_mul(i128::from(cents_per_board_foot))?.checked_add(board_foot / 2)? / board_foot;
    i64::try_from(cents).ok()
}
