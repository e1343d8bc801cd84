//! What the yard stocks and at what price, and what lies on the rack.

use crate::money::{Share, cents_for, rounded};
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

/// What wood is sold by where it is sold by volume, of the size that its section is sold by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Volume {
    /// 144 cubic inches.
    BoardFoot,
    /// A cubic metre.
    CubicMetre,
}

/// Board feet in a cubic metre: 12 / 0.3048^3.
const BOARD_FEET_PER_CUBIC_METRE: f64 = 423.776_000_657_744_5;

impl Volume {
    /// In cubic nanometres.
    fn cubic_nm(self) -> i128 {
        let side = |length: Length| i128::from(length.as_nm()).pow(3);
        match self {
            Volume::BoardFoot => CUBIC_INCHES_PER_BOARD_FOOT * side(Length::inch(1.0)),
            Volume::CubicMetre => side(Length::mm(1000.0)),
        }
    }

    /// How many of it are so many board feet.
    pub fn of_board_feet(self, board_feet: f64) -> f64 {
        match self {
            Volume::BoardFoot => board_feet,
            Volume::CubicMetre => board_feet / BOARD_FEET_PER_CUBIC_METRE,
        }
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Volume::BoardFoot => "board foot",
            Volume::CubicMetre => "m3",
        }
    }
}

/// What a species costs where no piece price is given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rate {
    /// Id of the species.
    pub species: String,
    /// Cents for one board foot or cubic metre.
    pub cents: i64,
    /// Which of them.
    pub per: Volume,
    /// Whether it is bought rough, by volume in random widths and lengths: a price then counts the volume of the parts with their
    /// waste, and no single boards.
    pub rough: bool,
    /// Waste of rough stock as a share of what goes into the parts; `None`: that of the terms.
    pub waste: Option<Share>,
    /// Where the figures come from.
    pub source: Source,
}

impl Rate {
    /// Price in cents of so many board feet, rounded half up.
    pub fn cents_for(&self, board_feet: f64) -> i64 {
        cents_for(self.per.of_board_feet(board_feet), self.cents)
    }
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
    /// What is written on their ends, one for each, the first to be used first; there may be fewer.
    pub labels: Vec<String>,
    /// Stretches that clear parts are not cut from, in order from its better end.
    pub defects: Vec<Defect>,
    /// Where the figure comes from.
    pub source: Source,
}

/// A stretch of a board in hand with a knot, a split or whatever else is not wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Defect {
    /// Where it begins, from the end that the board is measured from.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Where it shows.
    pub side: DefectSide,
}

/// Where a defect shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DefectSide {
    /// On one side only, which can be turned to the back.
    Back,
    /// On both sides.
    Both,
}

/// Sides by the words that catalogues use.
pub const DEFECT_SIDES: [(DefectSide, &str); 2] = [(DefectSide::Back, "back"), (DefectSide::Both, "both")];

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
        let rate = self.rates.get(&species.id);
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

    /// Where the prices of those lengths come from: the listed item that gives one for any of them, else the rate of the
    /// species.
    pub fn price_source(&self, section: &Section, species: &Species, grade: Option<&str>) -> Option<&Source> {
        let item = self.item(section, &species.id, grade);
        let priced = item.filter(|item| item.lengths.iter().any(|stock| stock.price_cents.is_some()));
        let rate = || self.rates.get(&species.id).map(|rate| &rate.source);
        priced.map(|item| &item.source).or_else(rate)
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

/// Price of one piece at the rate of its species, rounded half up to a cent, exact in whole numbers.
fn price_cents(section: &Section, length: Length, rate: &Rate) -> Option<i64> {
    let (thickness, width) = section.sold_size();
    let volume = [thickness, width, length]
        .iter()
        .try_fold(1i128, |product, side| product.checked_mul(i128::from(side.as_nm())))?;
    Some(rounded(volume.checked_mul(i128::from(rate.cents))?, rate.per.cubic_nm()))
}
