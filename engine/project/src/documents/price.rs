//! What one piece costs, how long it takes, and what to ask for it.

use super::page::{Page, counted};
use super::purchase::for_pieces;
use super::{Files, Paper};
use slatwork_base::Outcome;
use slatwork_catalog::{ROUNDING_RULE, Status};
use slatwork_shop::{Price, Table};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    text(paper).then(|text| {
        let file = vec![("price.txt".into(), text.into_bytes())];
        paper.table_files("price", paper.plan.price.tables()).map(|files| [file, files].concat())
    })
}

/// What is said under a table.
type Under = fn(&mut Page, &Price);

fn text(paper: &Paper<'_>) -> Outcome<String> {
    let price = &paper.plan.price;
    let sections: [(Table, Under); 6] = [
        (price.cost_table().without("sums"), under_cost),
        (price.ways_table(), under_ways),
        (price.goods_table().without("amount").without("unit").without("source"), under_goods),
        (labour(price), under_labour),
        (price.waiting_table(), under_waiting),
        (price.batches_table(), under_batches),
    ];
    let mut page = paper.page(&for_pieces("cost, time and price", price.pieces));
    head(&mut page, price);
    page.blank();
    let filled = sections.into_iter().filter(|(table, _)| !table.rows.is_empty());
    filled.fold(Outcome::fine(page.finish()), |text, (table, under)| {
        text.then(|text| {
            let mut words = Page::default();
            under(&mut words, price);
            paper.table_text(table).map(|table| [text, table, words.finish(), String::from("\n")].concat())
        })
    })
}

/// The labour as a person reads it.
fn labour(price: &Price) -> Table {
    ["operation", "count", "unit", "source"].into_iter().fold(price.labour_table(), Table::without)
}

/// What is told first: what is left out, and which figures are none of the user's.
fn head(page: &mut Page, price: &Price) {
    page.wrapped("", &format!("Money is in {}; {ROUNDING_RULE}.", price.currency));
    for name in &price.not_priced {
        page.wrapped("Not priced: ", name);
    }
    if !price.not_priced.is_empty() {
        page.wrapped(
            "",
            "The sums leave out what is not priced, so nothing is said of what to ask; list its price in a catalogue file.",
        );
    } else if price.asking.is_none() {
        page.wrapped(
            "",
            "Margin, card fee and warranty together take all of any price: nothing can be asked.",
        );
    }
    if let Some(words) = demo_words(price) {
        page.wrapped("", &words);
    }
}

/// Which figures stand only so that the example has numbers.
pub(super) fn demo_words(price: &Price) -> Option<String> {
    let is_demo = |source: &slatwork_catalog::Source| {
        source.status == Status::Demo || source.exceptions.values().any(|status| *status == Status::Demo)
    };
    let goods = price.goods.iter().filter(|line| line.source.as_ref().is_some_and(is_demo)).count();
    let terms: Vec<String> = price.terms.demo().map(|name| name.replace('_', " ")).collect();
    let goods = (goods > 0).then(|| format!("prices of {}", counted(goods, "thing")));
    let terms = (!terms.is_empty()).then(|| terms.join(", "));
    let told: Vec<String> = [goods, terms].into_iter().flatten().collect();
    (!told.is_empty()).then(|| format!("Demo figures, to be replaced by your own: {}.", told.join("; ")))
}

fn under_cost(page: &mut Page, price: &Price) {
    if price.asking.is_some() {
        page.wrapped(
            "",
            "The price is (cost + fair fee) / (1 - margin - card fee - warranty), so that each of them is its share of the price \
             itself.",
        );
    }
}

fn under_ways(page: &mut Page, _: &Price) {
    page.wrapped(
        "",
        "Fees are the maker's: card and stall at a fair, what a shop keeps, and always the warranty. Hours allowed are (price - \
         materials - fees) over labour and overhead of an hour. A batch pays from as many pieces on as bring in what is spent \
         once, setting up and templates; where nothing stands, it never does. A multiple of the materials is only a check: it \
         asks too little for what is much work.",
    );
}

fn under_goods(page: &mut Page, _: &Price) {
    page.wrapped(
        "",
        "Boxes, cans and packets are paid whole. Spares are in the amounts, as in the bill of materials.",
    );
}

fn under_labour(page: &mut Page, price: &Price) {
    page.wrapped("", &format!("Labour of one piece: {:.1} h.", price.hours_each()));
    page.wrapped(
        "",
        "Clearance, countersink and pilot of a screw are one hole: one combined bit drills them in one go (common practice, no \
         source). Rips are counted along the boards as they are laid out.",
    );
}

fn under_waiting(page: &mut Page, price: &Price) {
    page.wrapped(
        "",
        &format!("Waiting is no labour: {:.0} h when one follows the other.", price.waiting_hours()),
    );
}

fn under_batches(page: &mut Page, price: &Price) {
    page.wrapped(
        "",
        &format!(
            "Labour of one piece of a batch, setting up and templates shared. By the learning curve all else takes {} of the \
             time whenever the batch is twice as large.",
            price.terms.learning
        ),
    );
}
