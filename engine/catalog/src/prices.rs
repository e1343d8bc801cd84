//! What hardware and fasteners cost, and what the yard asks for bringing its boards.

use crate::{Source, StockLength};
use slatwork_base::Length;

/// Something sold in whole packs: a box of screws, a can of finish.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pack {
    /// What is in one, in pieces, litres or sheets.
    pub holds: f64,
    /// Price of one in cents; `None` when not known.
    pub price_cents: Option<i64>,
}

/// Packs that together hold an amount.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// Packs and how many of each; none of which nothing is bought.
    pub packs: Vec<(Pack, usize)>,
    /// Price of all in cents; `None` when not known.
    pub price_cents: Option<i64>,
}

impl Bought {
    fn of(packs: &[(Pack, usize)]) -> Bought {
        let price =
            |(pack, count): &(Pack, usize)| pack.price_cents?.checked_mul(i64::try_from(*count).ok()?);
        let packs: Vec<(Pack, usize)> = packs.iter().copied().filter(|(_, count)| *count > 0).collect();
        Bought { price_cents: packs.iter().map(price).sum(), packs }
    }

    /// How many packs in all.
    pub fn count(&self) -> usize {
        self.packs.iter().map(|(_, count)| count).sum()
    }
}

/// An amount that is over a pack by less than this share of it is what a sum of fractions leaves, and takes no pack more.
const NOISE: f64 = 1e-9;

/// So many packs of one size at most give way to another size: more never pay in boxes and cans as they are sold.
const MOST_SWAPPED: usize = 12;

impl Pack {
    /// The packs that hold an amount for the least money, of two sizes at most; among equals, and without prices, the fewest.
    /// `None` when there is no pack.
    pub fn cheapest(packs: &[Pack], amount: f64) -> Option<Bought> {
        let pairs = packs.iter().flat_map(|one| packs.iter().map(move |other| (one, other)));
        let mixed = pairs.flat_map(|(one, other)| {
            let most = one.count_for(amount);
            (most.saturating_sub(MOST_SWAPPED)..=most).map(move |count| {
                let rest = other.count_for(amount - count as f64 * one.holds);
                Bought::of(&[(*one, count), (*other, rest)])
            })
        });
        mixed.min_by_key(|bought| (bought.price_cents.is_none(), bought.price_cents, bought.count()))
    }

    /// How many of it hold an amount.
    fn count_for(&self, amount: f64) -> usize {
        (amount / self.holds - NOISE).ceil().max(0.0) as usize
    }
}

/// How an item is sold.
#[derive(Clone, Debug, PartialEq)]
pub enum SoldBy {
    /// One by one: cents for one.
    Piece(i64),
    /// In boxes.
    Boxes(Vec<Pack>),
    /// Off the reel, as chain and rope: cents for so much of it.
    Length {
        /// Cents.
        cents: i64,
        /// For this length.
        per: Length,
    },
}

/// What a fastener or a piece of hardware costs.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemPrice {
    /// Id of the fastener or hardware.
    pub item: String,
    /// The length that the price is for; `None` for any.
    pub length: Option<Length>,
    /// How it is sold, and the price.
    pub by: SoldBy,
    /// Where the figures come from.
    pub source: Source,
}

impl ItemPrice {
    /// Price in cents of a length off the reel.
    pub fn cents_of_length(&self, length: Length) -> Option<i64> {
        match self.by {
            SoldBy::Length { cents, per } => StockLength::cents_at(length, cents, per),
            SoldBy::Piece(_) | SoldBy::Boxes(_) => None,
        }
    }
}

/// A step of what the yard asks for bringing the boards: its price, and what must be so.
#[derive(Clone, Debug, PartialEq)]
pub struct Delivery {
    /// What it is called.
    pub name: String,
    /// Price in cents.
    pub cents: i64,
    /// Only for boards that come to so many cents at least.
    pub from_cents: Option<i64>,
    /// Only for boards of so many kg in all at most.
    pub up_to_kg: Option<f64>,
    /// Only for boards that are no longer.
    pub up_to_length: Option<Length>,
    /// Where the figures come from.
    pub source: Source,
}

/// A load of boards to bring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// What the boards come to, in cents.
    pub cents: i64,
    /// What they weigh, kg.
    pub kg: f64,
    /// Length of the longest.
    pub longest: Length,
}

impl Delivery {
    /// The cheapest step that takes a load.
    pub fn cheapest<'d>(steps: &'d [Delivery], load: &Load) -> Option<&'d Delivery> {
        steps.iter().filter(|step| step.takes(load)).min_by_key(|step| step.cents)
    }

    fn takes(&self, load: &Load) -> bool {
        self.from_cents.is_none_or(|from| load.cents >= from)
            && self.up_to_kg.is_none_or(|most| load.kg <= most)
            && self.up_to_length.is_none_or(|most| load.longest <= most)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Status;

    fn pack(holds: f64, cents: i64) -> Pack {
        Pack { holds, price_cents: Some(cents) }
    }

    /// 26 screws: two boxes of 25 at 300 are 600, one of 100 at 550 is cheaper. 117: one of 100 and one of 25.
    #[test]
    fn boxes_that_cost_least_are_bought() {
        let boxes = [pack(25.0, 300), pack(100.0, 550)];
        let bought = |amount| {
            let bought = Pack::cheapest(&boxes, amount).expect("there are boxes");
            let packs: Vec<(f64, usize)> =
                bought.packs.iter().map(|(pack, count)| (pack.holds, *count)).collect();
            (packs, bought.price_cents)
        };
        assert_eq!(bought(26.0), (vec![(100.0, 1)], Some(550)));
        assert_eq!(bought(20.0), (vec![(25.0, 1)], Some(300)));
        assert_eq!(bought(117.0).1, Some(850));
        assert_eq!(bought(126.0), (vec![(100.0, 2)], Some(1100)));
        assert_eq!(bought(0.0), (vec![], Some(0)));
        // Ten times a tenth of a litre is one can, whatever the sum of fractions says.
        let tenths: f64 = (0..10).map(|_| 0.1).sum();
        assert_eq!(Pack::cheapest(&[pack(1.0, 900)], tenths).map(|bought| bought.count()), Some(1));
        assert_eq!(Pack::cheapest(&[], 1.0), None);
        let unpriced = Pack { holds: 25.0, price_cents: None };
        assert_eq!(
            Pack::cheapest(&[unpriced], 30.0).map(|own| (own.count(), own.price_cents)),
            Some((2, None))
        );
    }

    #[test]
    fn a_load_goes_by_the_cheapest_step_that_takes_it() {
        let step = |name: &str, cents, from_cents, up_to_kg| Delivery {
            name: name.to_string(),
            cents,
            from_cents,
            up_to_kg,
            up_to_length: None,
            source: Source::new("a test", Status::Demo),
        };
        let steps = [
            step("van", 4500, None, Some(200.0)),
            step("lorry", 9000, None, None),
            step("free", 0, Some(60_000), None),
        ];
        let by = |cents, kg| {
            let load = Load { cents, kg, longest: Length::mm(3000.0) };
            Delivery::cheapest(&steps, &load).map(|step| step.name.as_str())
        };
        assert_eq!(by(59_999, 200.0), Some("van"));
        assert_eq!(by(59_999, 200.1), Some("lorry"));
        assert_eq!(by(60_000, 900.0), Some("free"));
        assert_eq!(
            Delivery::cheapest(&steps[..1], &Load { cents: 1, kg: 201.0, longest: Length::ZERO }),
            None
        );
    }
}
