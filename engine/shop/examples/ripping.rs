//! Solves ripping problems, one after another on one thread: a line of JSON for each with cost, bound, layouts, milliseconds.
//!
//!     ripping FILE...
//!
//! FILE holds an array of instances, `-` stands for standard input: `boards` [length, width, cost, available], `parts`
//! [length, width, demand, widest board], `rip_kerf`, `crosscut_kerf`, `trim`, `edge_allowance`, `narrowest_strip`; what is
//! not there is nought. Instances of two-stage guillotine cutting are read as well: `stocks` and `items`, cost is the number
//! of stock pieces.

#![expect(clippy::print_stdout, clippy::disallowed_methods, reason = "a program of its own, with a clock")]

use serde_json::{Value, json};
use slatwork_shop::stock::cutting::ripping::{
    Answer, Board, Certificate, LIMITS, Layout, Part, Problem, Section, solve,
};
use std::io::Read;
use std::time::Instant;

/// The rows of a table, whole numbers; what is not there is nothing.
fn rows(own: &Value, name: &str) -> Vec<Vec<Option<i64>>> {
    let row = |row: &Value| row.as_array().into_iter().flatten().map(Value::as_i64).collect();
    own[name].as_array().into_iter().flatten().map(row).collect()
}

fn problem(own: &Value) -> Problem {
    let is_guillotine = own["stocks"].is_array();
    let (boards, parts) = if is_guillotine { ("stocks", "items") } else { ("boards", "parts") };
    let at = |row: &[Option<i64>], place: usize| row.get(place).copied().flatten();
    let number = |value: Option<i64>| value.and_then(|value| usize::try_from(value).ok());
    let board = |row: &Vec<Option<i64>>| Board {
        length: at(row, 0).unwrap_or(0),
        width: at(row, 1).unwrap_or(0),
        cost: if is_guillotine { 1 } else { at(row, 2).unwrap_or(0) },
        available: number(at(row, 3)),
        flaws: 0,
    };
    let part = |row: &Vec<Option<i64>>| Part {
        length: at(row, 0).unwrap_or(0),
        width: at(row, 1).unwrap_or(0),
        demand: number(at(row, 2)).unwrap_or(0),
        flaws: 0,
        narrowest_board: at(row, 4).unwrap_or(0),
        widest_board: if is_guillotine { None } else { at(row, 3) },
    };
    let measure = |name: &str| own[name].as_i64().unwrap_or(0);
    Problem {
        boards: rows(own, boards).iter().map(board).collect(),
        parts: rows(own, parts).iter().map(part).collect(),
        rip_kerf: measure("rip_kerf"),
        crosscut_kerf: measure("crosscut_kerf"),
        trim: [own["trim"][0].as_i64().unwrap_or(0), own["trim"][1].as_i64().unwrap_or(0)],
        edge_allowance: measure("edge_allowance"),
        narrowest_strip: measure("narrowest_strip"),
    }
}

fn section(own: &Section) -> Value {
    let strips = own.strips.iter().map(|strip| {
        let cuts: Vec<[usize; 2]> = strip.cuts.iter().map(|cut| [cut.part, cut.count]).collect();
        json!({ "width": strip.width, "cuts": cuts })
    });
    json!({ "length": own.length, "ripped": own.ripped, "strips": strips.collect::<Vec<_>>() })
}

fn report(name: &Value, answer: &Answer, milliseconds: f64) -> Value {
    let layout = |own: &Layout| {
        let sections: Vec<Value> = own.sections.iter().map(section).collect();
        json!({ "board": own.board, "times": own.times, "sections": sections })
    };
    json!({
        "name": name, "cost": answer.cost, "bound": answer.bound, "optimal": answer.is_optimal(),
        "missing": answer.missing.iter().map(|cut| [cut.part, cut.count]).collect::<Vec<_>>(),
        "proof": answer.proof.to_string(), "steps": answer.steps, "rip_settings": answer.rip_settings(),
        "cases": matches!(answer.certificate, Certificate::Cases(..)), "milliseconds": milliseconds,
        "layouts": answer.layouts.iter().map(layout).collect::<Vec<_>>(),
    })
}

fn print_answers(file: &str) {
    let mut text = String::new();
    let read = match file {
        "-" => std::io::stdin().read_to_string(&mut text).map(|_| text),
        _ => std::fs::read_to_string(file),
    };
    let given = read.map_err(|error| error.to_string());
    match given.and_then(|text| serde_json::from_str::<Value>(&text).map_err(|error| error.to_string())) {
        Err(fault) => println!("{}", json!({ "name": file, "fault": fault })),
        Ok(given) => given.as_array().into_iter().flatten().for_each(|own| {
            let begin = Instant::now();
            match solve(&problem(own), LIMITS) {
                Ok(answer) => {
                    println!("{}", report(&own["name"], &answer, begin.elapsed().as_secs_f64() * 1e3))
                }
                Err(fault) => println!("{}", json!({ "name": own["name"], "fault": fault.to_string() })),
            }
        }),
    }
}

fn main() {
    std::env::args().skip(1).for_each(|file| print_answers(&file));
}
