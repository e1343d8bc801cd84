//! What to buy: boards, hardware, finish.

use super::super::{Paper, bill, price, purchase};
use super::{heading, list, paragraphs, words};
use slatwork_output::book::{Block, Chapter, ListKind};
use slatwork_shop::{Goods, Table, Value};

pub(super) fn chapter(paper: &Paper<'_>) -> Chapter {
    let plan = paper.plan;
    let mut blocks = vec![heading(purchase::for_pieces("Boards", plan.purchase.pieces))];
    blocks.push(Block::Table(paper.readable(plan.purchase_table().without("pieces"))));
    blocks.push(list(ListKind::Plain, purchase::sums(paper)));
    blocks.push(words(purchase::claim(paper)));
    let hardware = plan.hardware_table().without("item").without("working_load");
    if !hardware.rows.is_empty() {
        blocks.push(heading("Hardware and fasteners"));
        blocks.push(Block::Table(paper.readable(hardware)));
        blocks.extend(paragraphs(bill::under_hardware(paper)));
    }
    let finish = consumables(paper);
    if !finish.rows.is_empty() {
        blocks.push(heading(purchase::for_pieces("Finish, sealer, glue and abrasive", plan.price.pieces)));
        blocks.push(Block::Table(paper.readable(finish)));
        blocks.push(list(ListKind::Plain, bill::finish(paper)));
    }
    blocks.push(words(format!("Prices are in {}.", plan.price.currency)));
    blocks.extend(paragraphs(price::demo_words(&plan.price)));
    super::chapter("shopping", "What to buy", blocks)
}

/// Of the goods of the price those that are used up by area.
fn consumables(paper: &Paper<'_>) -> Table {
    let mut table = paper.plan.price.goods_table();
    table.rows.retain(|row| row.first() == Some(&Value::from(Goods::Consumable.word())));
    table.title = "used up by area";
    ["goods", "amount", "unit", "source"].into_iter().fold(table, Table::without)
}
