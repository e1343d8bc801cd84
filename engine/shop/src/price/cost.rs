//! Cost, and the price that leaves the margin: cost plus.

use super::goods::{Goods, GoodsLine};
use super::time::LabourLine;
use slatwork_catalog::{Share, Terms, cents_for};

/// What a batch costs, in cents. Without what is not priced.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Cost {
    /// Boards.
    pub lumber: i64,
    /// Hardware and fasteners.
    pub hardware: i64,
    /// Finish, sealer, glue, abrasive.
    pub consumables: i64,
    /// Small things that are not counted: a share of the three above.
    pub sundries: i64,
    /// Bringing the boards.
    pub delivery: i64,
    /// Tax on all above.
    pub purchase_tax: i64,
    /// Hours of work.
    pub labour: i64,
    /// Hours of shop.
    pub overhead: i64,
    /// Of labour and overhead, what is spent once for the batch: setting up, templates.
    pub once: i64,
}

impl Cost {
    pub(super) fn of(goods: &[GoodsLine], labour: &[LabourLine], terms: &Terms) -> Cost {
        let sum = |of: Goods| -> i64 {
            goods.iter().filter(|line| line.goods == of).filter_map(|line| line.cents).sum()
        };
        let (lumber, hardware) = (sum(Goods::Lumber), sum(Goods::Hardware));
        let (consumables, delivery) = (sum(Goods::Consumable), sum(Goods::Delivery));
        let sundries = terms.sundries.of(lumber + hardware + consumables);
        let bought = lumber + hardware + consumables + sundries + delivery;
        let minutes: f64 = labour.iter().map(LabourLine::minutes).sum();
        let once: f64 = labour.iter().map(LabourLine::once_minutes).sum();
        Cost {
            lumber,
            hardware,
            consumables,
            sundries,
            delivery,
            purchase_tax: terms.purchase_tax.of(bought),
            labour: cents_for(minutes / 60.0, terms.labour_per_hour),
            overhead: cents_for(minutes / 60.0, terms.overhead_per_hour),
            once: cents_for(once / 60.0, terms.labour_per_hour + terms.overhead_per_hour),
        }
    }

    /// Everything bought, with delivery and tax.
    pub fn materials(&self) -> i64 {
        self.lumber + self.hardware + self.consumables + self.sundries + self.delivery + self.purchase_tax
    }

    /// Materials, labour and overhead.
    pub fn total(&self) -> i64 {
        self.materials() + self.labour + self.overhead
    }
}

/// The price of a batch and where it goes, in cents: cost and all of these come to the price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asking {
    /// What to ask, before tax.
    pub price: i64,
    /// What falls to these pieces of the stall at a fair.
    pub fair_fee: i64,
    /// What whoever takes the cards keeps.
    pub card_fee: i64,
    /// Laid by for repairs.
    pub warranty: i64,
    /// What is left.
    pub margin: i64,
    /// Tax on the price.
    pub sales_tax: i64,
}

impl Asking {
    /// price = (cost + fair fee) / (1 - margin - card fee - warranty), so that each is its share of the price itself; the margin is
    /// what the roundings leave. `None` where the three take all of the price.
    pub(super) fn of(cost: &Cost, pieces: usize, terms: &Terms) -> Option<Asking> {
        let kept: Share = terms.margin.and(terms.card_fee)?.and(terms.warranty)?;
        let fair_fee = terms.fair_fee.checked_mul(i64::try_from(pieces).ok()?)?;
        let price = kept.before(cost.total() + fair_fee)?;
        let (card_fee, warranty) = (terms.card_fee.of(price), terms.warranty.of(price));
        let margin = price - cost.total() - fair_fee - card_fee - warranty;
        Some(Asking { price, fair_fee, card_fee, warranty, margin, sales_tax: terms.sales_tax.of(price) })
    }

    /// What the buyer pays.
    pub fn with_tax(&self) -> i64 {
        self.price + self.sales_tax
    }
}
