//! What one variant comes to, in a dozen figures: a row of a batch, the body of a summary.

use serde_json::{Map, Value as Json, json};
use slatwork_base::Length;
use slatwork_model::Model;
use slatwork_output::json::number;
use slatwork_shop::ShopPlan;

/// The figures of a variant. Lengths are exact, money in cents, masses in kg.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// Overall size: left to right, front to rear, top to bottom.
    pub size: [Length; 3],
    /// Parts.
    pub parts: usize,
    /// Sets of equal parts.
    pub sets: usize,
    /// Mass of the wood, kg.
    pub mass_kg: f64,
    /// Boards to buy.
    pub boards: usize,
    /// Length of all boards to buy.
    pub board_length: Length,
    /// Board feet of the boards to buy.
    pub board_feet: f64,
    /// Price of the boards in cents; `None` when a price is not known.
    pub price_cents: Option<i64>,
    /// No way to buy them pays less, in cents; `None` when a price is not known.
    pub price_at_least_cents: Option<i64>,
    /// What the price is in.
    pub currency: String,
    /// Pieces of hardware and fasteners.
    pub hardware: usize,
    /// Hours of labour, setting up included.
    pub labour_hours: f64,
    /// Everything bought with delivery and tax, in cents; `None` when something is not priced.
    pub materials_cents: Option<i64>,
    /// What to ask for it before tax, in cents; `None` when something is not priced.
    pub asking_cents: Option<i64>,
    /// What is not priced, by name.
    pub not_priced: Vec<String>,
}

/// A figure as tables have it: its key and its value as text; empty when there is none.
pub(crate) type Field = (&'static str, String);

impl Figures {
    /// The figures of a piece and its shop plan.
    pub fn of(model: &Model, plan: &ShopPlan) -> Figures {
        let purchase = &plan.purchase;
        Figures {
            size: size(model),
            parts: model.parts.len(),
            sets: model.sets.len(),
            mass_kg: plan.bill.wood.iter().map(|line| line.mass_kg).sum(),
            boards: purchase.groups.iter().map(|group| group.boards).sum(),
            board_length: purchase.length(),
            board_feet: purchase.groups.iter().map(|group| group.board_feet).sum(),
            price_cents: purchase.price_cents,
            price_at_least_cents: purchase.price_at_least,
            currency: purchase.currency.clone(),
            hardware: plan.bill.hardware.iter().map(|line| line.count).sum(),
            labour_hours: plan.price.hours_each(),
            materials_cents: plan.price.materials_cents(),
            asking_cents: plan.price.asking.map(|asking| asking.price),
            not_priced: plan.price.not_priced.clone(),
        }
    }

    /// Keys and values as texts, in the order of a row.
    pub(crate) fn fields(&self) -> Vec<Field> {
        let mm = |length: Length| length.mm_text(2);
        let cents = |cents: Option<i64>| cents.map_or(String::new(), |cents| cents.to_string());
        vec![
            ("wide_mm", mm(self.size[0])),
            ("deep_mm", mm(self.size[1])),
            ("high_mm", mm(self.size[2])),
            ("parts", self.parts.to_string()),
            ("sets", self.sets.to_string()),
            ("mass_kg", format!("{:.2}", self.mass_kg)),
            ("boards", self.boards.to_string()),
            ("board_length_mm", mm(self.board_length)),
            ("board_feet", format!("{:.2}", self.board_feet)),
            ("price_cents", cents(self.price_cents)),
            ("price_at_least_cents", cents(self.price_at_least_cents)),
            ("hardware", self.hardware.to_string()),
            ("labour_hours", format!("{:.2}", self.labour_hours)),
            ("materials_cents", cents(self.materials_cents)),
            ("asking_cents", cents(self.asking_cents)),
            ("not_priced", self.not_priced.join("; ")),
        ]
    }

    /// Keys of [`Figures::fields`].
    pub(crate) fn keys() -> [&'static str; 16] {
        [
            "wide_mm",
            "deep_mm",
            "high_mm",
            "parts",
            "sets",
            "mass_kg",
            "boards",
            "board_length_mm",
            "board_feet",
            "price_cents",
            "price_at_least_cents",
            "hardware",
            "labour_hours",
            "materials_cents",
            "asking_cents",
            "not_priced",
        ]
    }

    /// The figures as an object.
    pub fn json(&self) -> Json {
        let mm = |length: Length| number(length.as_mm());
        let mut all = Map::new();
        all.insert("wide_mm".into(), mm(self.size[0]));
        all.insert("deep_mm".into(), mm(self.size[1]));
        all.insert("high_mm".into(), mm(self.size[2]));
        all.insert("parts".into(), json!(self.parts));
        all.insert("sets".into(), json!(self.sets));
        all.insert("mass_kg".into(), number(self.mass_kg));
        all.insert("boards".into(), json!(self.boards));
        all.insert("board_length_mm".into(), mm(self.board_length));
        all.insert("board_feet".into(), number(self.board_feet));
        all.insert("price_cents".into(), json!(self.price_cents));
        all.insert("price_at_least_cents".into(), json!(self.price_at_least_cents));
        all.insert("currency".into(), json!(self.currency));
        all.insert("hardware".into(), json!(self.hardware));
        all.insert("labour_hours".into(), number(self.labour_hours));
        all.insert("materials_cents".into(), json!(self.materials_cents));
        all.insert("asking_cents".into(), json!(self.asking_cents));
        all.insert("not_priced".into(), json!(self.not_priced));
        Json::Object(all)
    }
}

/// The box round all parts. Bounds of turned parts are taken by their corner points, which is exact for flat-sided
/// boards and never too small.
fn size(model: &Model) -> [Length; 3] {
    let mut low = slatwork_solid::DVec3::INFINITY;
    let mut high = slatwork_solid::DVec3::NEG_INFINITY;
    for part in &model.parts {
        for point in part.solid.faces().iter().flat_map(|face| &face.loops).flat_map(|rim| &rim.points) {
            let point = part.pose.transform_point3(*point);
            (low, high) = (low.min(point), high.max(point));
        }
    }
    let span = high - low;
    if span.is_finite() { [span.x, span.y, span.z].map(Length::mm) } else { [Length::ZERO; 3] }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_those_of_the_fields() {
        let figures = Figures {
            size: [Length::ZERO; 3],
            parts: 0,
            sets: 0,
            mass_kg: 0.0,
            boards: 0,
            board_length: Length::ZERO,
            board_feet: 0.0,
            price_cents: None,
            price_at_least_cents: None,
            currency: String::new(),
            hardware: 0,
            labour_hours: 0.0,
            materials_cents: None,
            asking_cents: None,
            not_priced: Vec::new(),
        };
        let keys: Vec<&str> = figures.fields().iter().map(|(key, _)| *key).collect();
        assert_eq!(keys, Figures::keys());
    }
}
