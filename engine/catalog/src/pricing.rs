//! What a piece is priced by: item prices, delivery, consumables, labour and terms.

use crate::{Consumable, ConsumableKind, Delivery, ItemPrice, Labour, Operation, Terms};
use slatwork_base::Length;
use std::collections::BTreeMap;

/// Everything a price is worked out with, beside the yard.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Pricing {
    /// Prices of fasteners and hardware.
    pub items: Vec<ItemPrice>,
    /// What the yard asks for bringing its boards, step by step.
    pub deliveries: Vec<Delivery>,
    /// What is used up, one of each kind.
    pub consumables: BTreeMap<ConsumableKind, Consumable>,
    /// How long each operation takes.
    pub labour: BTreeMap<Operation, Labour>,
    /// Rates, taxes, shares, fees.
    pub terms: Terms,
}

impl Pricing {
    /// The price of an item of a length: that for just this length, else that for any.
    pub fn item(&self, item: &str, length: Option<Length>) -> Option<&ItemPrice> {
        let own = |of: Option<Length>| self.items.iter().find(|own| own.item == item && own.length == of);
        length.and_then(|length| own(Some(length))).or_else(|| own(None))
    }
}
