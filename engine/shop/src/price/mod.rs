//! What pieces cost, how long they take, and what to ask for them.
//!
//! | file | what |
//! |---|---|
//! | `counts.rs` | how often each operation is done, from features and joints |
//! | `time.rs` | [`LabourLine`], [`WaitingLine`], [`BatchLine`]: minutes of labour, hours of waiting |
//! | `goods.rs` | [`GoodsLine`]: boards, hardware and consumables as they are bought |
//! | `cost.rs` | [`Cost`], [`Asking`]: cost and price by cost plus margin |
//! | `ways.rs` | [`Way`]: what ways of selling bring |
//! | `table.rs` | [`Price`] as plain tables |

mod cost;
mod counts;
mod goods;
mod table;
mod time;
mod ways;

pub use cost::{Asking, Cost};
pub use goods::{Goods, GoodsLine};
pub use time::{BatchLine, LabourLine, WaitingLine, on_the_curve};
pub use ways::Way;

use crate::demand::{times, wanted};
use crate::plan::ShopPlan;
use crate::purchase::{Purchase, purchase};
use slatwork_base::Tape;
use slatwork_catalog::{Catalogue, Terms};
use slatwork_model::Model;

/// What some equal pieces, made as one batch, cost and take. All money is in whole cents.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Price {
    /// Pieces in the batch.
    pub pieces: usize,
    /// What the money is in.
    pub currency: String,
    /// What is bought for all of them.
    pub goods: Vec<GoodsLine>,
    /// What is done for all of them.
    pub labour: Vec<LabourLine>,
    /// What is waited for, which is no labour.
    pub waiting: Vec<WaitingLine>,
    /// How time falls with the batch.
    pub batches: Vec<BatchLine>,
    /// What they cost, without what is not priced.
    pub cost: Cost,
    /// What to ask for all of them; `None` where something is not priced, or nothing of a price would be left.
    pub asking: Option<Asking>,
    /// What ways of selling bring, by the piece; none where nothing can be asked.
    pub ways: Vec<Way>,
    /// What has no price or no time in the catalogue, by name.
    pub not_priced: Vec<String>,
    /// The terms it was worked out by.
    pub terms: Terms,
}

/// What a price is worked out from.
#[derive(Clone, Copy)]
pub(crate) struct Asked<'a> {
    pub(crate) model: &'a Model,
    pub(crate) catalogue: &'a Catalogue,
    pub(crate) plan: &'a ShopPlan,
    /// The boards of the whole batch.
    pub(crate) purchase: &'a Purchase,
    pub(crate) pieces: usize,
}

/// Cost, time and price of so many equal pieces, made as one batch; none are taken as one.
///
/// Where the plan buys boards for another number of pieces, they are planned anew for these. What the catalogue does not price is named in
/// [`Price::not_priced`] and left out of the sums, and then nothing is said of what to ask.
pub fn price(model: &Model, catalogue: &Catalogue, plan: &ShopPlan, pieces: usize) -> Price {
    let pieces = pieces.max(1);
    let batch =
        (pieces != plan.purchase.pieces).then(|| for_batch(model, catalogue, plan.reading.tape, pieces));
    let purchase = batch.as_ref().unwrap_or(&plan.purchase);
    let asked = Asked { model, catalogue, plan, purchase, pieces };
    let goods = goods::goods(&asked);
    let (labour, untimed) = time::labour(&asked);
    let terms = &catalogue.pricing().terms;
    let cost = Cost::of(&goods, &labour, terms);
    let mut not_priced: Vec<String> =
        goods.iter().filter(|line| line.cents.is_none()).map(|line| line.name.clone()).collect();
    not_priced.extend(untimed);
    let asking = Asking::of(&cost, pieces, terms).filter(|_| not_priced.is_empty());
    Price {
        pieces,
        currency: catalogue.yard().currency.clone(),
        waiting: time::waiting(&asked),
        batches: time::batches(&labour, pieces, catalogue.pricing()),
        ways: asking.as_ref().map_or(Vec::new(), |asking| ways::ways(asking, &cost, pieces, terms)),
        goods,
        labour,
        cost,
        asking,
        not_priced,
        terms: terms.clone(),
    }
}

/// The boards of a batch. What the yard cannot give was told when one piece was planned.
fn for_batch(model: &Model, catalogue: &Catalogue, tape: Tape, pieces: usize) -> Purchase {
    let Ok(wanted) = wanted(model, catalogue, tape) else { return Purchase::default() };
    purchase((model, catalogue, tape), &times(wanted, pieces), pieces, &mut Vec::new())
}

impl Price {
    /// Minutes of labour for all pieces, setting up included.
    pub fn minutes(&self) -> f64 {
        self.labour.iter().map(LabourLine::minutes).sum()
    }

    /// Hours of labour for one piece.
    pub fn hours_each(&self) -> f64 {
        self.minutes() / 60.0 / self.pieces.max(1) as f64
    }

    /// Hours that are waited at the least, when all waiting follows one after the other.
    pub fn waiting_hours(&self) -> f64 {
        self.waiting.iter().map(WaitingLine::hours).sum()
    }

    /// Cents for the materials of all pieces; `None` where one is not priced.
    pub fn materials_cents(&self) -> Option<i64> {
        let priced = self.goods.iter().all(|line| line.cents.is_some());
        priced.then(|| self.cost.materials())
    }
}
