//! What ways of selling bring, by the piece: at the price asked, at the market's, through shops, and by a multiple of the materials.

use super::cost::{Asking, Cost};
use slatwork_catalog::{Share, Terms, cents_for, rounded};

/// One way of selling, by the piece, in cents.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// What it is: "cost plus margin", "comparable price" ...
    pub name: String,
    /// What the buyer is asked, before tax.
    pub price: i64,
    /// What goes off it: fees, what a shop keeps, what is laid by for repairs.
    pub fees: i64,
    /// What is left once materials, labour and overhead are paid; negative where it does not pay.
    pub left: i64,
    /// Hours that such a piece may take at the hourly rates of labour and overhead: (price - materials - fees) / rates,
    /// none where that is less than nothing. `None` where an hour costs nothing.
    pub allowed_hours: Option<f64>,
    /// Pieces in a batch from which on setting up is paid; `None` where it never is.
    pub break_even: Option<i64>,
}

/// Who sells.
#[derive(Clone, Copy)]
enum Seller {
    /// The maker, at a fair.
    Maker,
    /// A shop that bought it.
    Shop,
    /// A shop that keeps a share.
    OnConsignment,
}

pub(super) fn ways(asking: &Asking, cost: &Cost, pieces: usize, terms: &Terms) -> Vec<Way> {
    let one = One::of(cost, pieces, terms);
    let price = one.share_of(asking.price);
    let times = |factor: f64| cents_for(factor, one.materials);
    let market = (terms.comparable_price > 0)
        .then(|| one.way(String::from("comparable price"), terms.comparable_price, Seller::Maker));
    let multiplier = |factor: f64| one.way(format!("{factor} x materials"), times(factor), Seller::Maker);
    let mut ways = vec![one.way(String::from("cost plus margin"), price, Seller::Maker)];
    ways.extend(market);
    ways.extend([
        one.way(format!("wholesale at {}", terms.wholesale), terms.wholesale.of(price), Seller::Shop),
        one.way(format!("consignment less {}", terms.consignment), price, Seller::OnConsignment),
        multiplier(terms.multiplier_low),
        multiplier(terms.multiplier_high),
    ]);
    ways
}

/// What one piece of the batch costs.
struct One<'a> {
    pieces: i64,
    materials: i64,
    cost: i64,
    /// Cost of one more piece: without what is spent once.
    more: i64,
    /// Spent once for the batch.
    once: i64,
    terms: &'a Terms,
}

impl One<'_> {
    fn of<'t>(cost: &Cost, pieces: usize, terms: &'t Terms) -> One<'t> {
        let pieces = i64::try_from(pieces).unwrap_or(i64::MAX);
        let each = |cents: i64| rounded(i128::from(cents), i128::from(pieces));
        One {
            pieces,
            materials: each(cost.materials()),
            cost: each(cost.total()),
            more: each(cost.total() - cost.once),
            once: cost.once,
            terms,
        }
    }

    fn share_of(&self, cents: i64) -> i64 {
        rounded(i128::from(cents), i128::from(self.pieces))
    }

    fn way(&self, name: String, price: i64, seller: Seller) -> Way {
        let fees = self.fees(price, seller);
        let rate = self.terms.labour_per_hour + self.terms.overhead_per_hour;
        let received = price - fees;
        Way {
            name,
            price,
            fees,
            left: received - self.cost,
            allowed_hours: (rate > 0).then(|| (received - self.materials).max(0) as f64 / rate as f64),
            break_even: self.break_even(received - self.more),
        }
    }

    /// The maker pays for cards and stall; a shop that sells on consignment keeps its share; repairs are the maker's always.
    fn fees(&self, price: i64, seller: Seller) -> i64 {
        let of = |share: Share| share.of(price);
        let own = match seller {
            Seller::Maker => of(self.terms.card_fee) + self.terms.fair_fee,
            Seller::Shop => 0,
            Seller::OnConsignment => of(self.terms.consignment),
        };
        own + of(self.terms.warranty)
    }

    /// Setup cost over what one more piece brings, rounded up to whole pieces.
    fn break_even(&self, brings: i64) -> Option<i64> {
        (brings > 0).then(|| (self.once + brings - 1) / brings).map(|pieces| pieces.max(1))
    }
}
