//! Cutting problems in the layout of the benchmark in `tests/cutting/`.
//!
//! An instance is a JSON object: `stocks` as `[length, cost, available]` with `null` for any number, `items` as
//! `[length, demand]`, `kerf`, `trim` as `[front, back]`, and where known `lb`, `ub`, `opt`. The `shop_*` classes were made for
//! this project; the others are BPPLIB (Delorme, Iori, Martello 2018, Optimization Letters 12:235-250) and variable-sized
//! bin packing of Monaci and of "H&S".

#![allow(dead_code, reason = "each program uses its own share")]

use serde_json::Value;
use slatwork_shop::stock::cutting::{Part, Problem, Stock};

/// A problem with what is known of it.
#[derive(Clone, Debug)]
pub(crate) struct Instance {
    pub(crate) name: String,
    pub(crate) problem: Problem,
    pub(crate) optimum: Option<i64>,
}

fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap_or(0)
}

fn count(value: &Value) -> usize {
    usize::try_from(whole(value)).unwrap_or(0)
}

/// One instance.
pub(crate) fn instance(given: &Value) -> Instance {
    let rows = |key: &str| given[key].as_array().cloned().unwrap_or_default();
    let stock = |row: &Value| Stock {
        length: whole(&row[0]),
        cost: whole(&row[1]),
        available: row[2].as_i64().map(|_| count(&row[2])),
    };
    let part = |row: &Value| Part { length: whole(&row[0]), demand: count(&row[1]) };
    let problem = Problem {
        stocks: rows("stocks").iter().map(stock).collect(),
        parts: rows("items").iter().map(part).collect(),
        kerf: whole(&given["kerf"]),
        trim: [whole(&given["trim"][0]), whole(&given["trim"][1])],
    };
    Instance {
        name: given["name"].as_str().unwrap_or("").to_string(),
        problem,
        optimum: given["opt"].as_i64(),
    }
}

/// All instances of a text: an array, or one object.
pub(crate) fn instances(text: &str) -> Result<Vec<Instance>, serde_json::Error> {
    Ok(match serde_json::from_str(text)? {
        Value::Array(rows) => rows.iter().map(instance).collect(),
        one => vec![instance(&one)],
    })
}

macro_rules! classes {
    ($($name:literal),*) => { &[$(($name, include_str!(concat!("../cutting/", $name, ".json")))),*] };
}

/// The classes of the benchmark, each with its file.
pub(crate) const CLASSES: &[(&str, &str)] = classes![
    "shop_imperial",
    "shop_metric",
    "shop_mixed",
    "shop_offcut",
    "shop_fair",
    "vsbpp_monaci",
    "vsbpp_hs_lin",
    "vsbpp_hs_conc",
    "vsbpp_hs_conv",
    "falkenauer_u",
    "falkenauer_t",
    "scholl_1",
    "scholl_2",
    "scholl_3",
    "waescher",
    "schwerin_1",
    "schwerin_2",
    "random",
    "gi",
    "hard28",
    "ai",
    "ani"
];

/// The instances of a class.
pub(crate) fn class(name: &str) -> Vec<Instance> {
    let text = CLASSES.iter().find(|class| class.0 == name).map_or("[]", |class| class.1);
    instances(text).unwrap_or_default()
}
