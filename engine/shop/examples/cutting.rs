//! Solves the cutting problems in files of the benchmark's layout, one after another on one thread.
//!
//!     cutting FILE...                a line of JSON an instance: cost, bound, layouts, milliseconds
//!     cutting --table FILE...        a line a file: how many are proven, times
//!
//! `-` stands for standard input.

#![expect(clippy::print_stdout, clippy::disallowed_methods, reason = "a program of its own, with a clock")]

use serde_json::{Value, json};
use slatwork_shop::stock::cutting::{Answer, Certificate, Limits, Part, Problem, Stock, check, solve};
use std::io::Read;
use std::time::Instant;

fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap_or(0)
}

fn count(value: &Value) -> usize {
    usize::try_from(whole(value)).unwrap_or(0)
}

fn problem(given: &Value) -> Problem {
    let rows = |key: &str| given[key].as_array().cloned().unwrap_or_default();
    let stock = |row: &Value| Stock {
        length: whole(&row[0]),
        cost: whole(&row[1]),
        available: row[2].as_i64().map(|_| count(&row[2])),
    };
    let part = |row: &Value| Part { length: whole(&row[0]), demand: count(&row[1]) };
    Problem {
        stocks: rows("stocks").iter().map(stock).collect(),
        parts: rows("items").iter().map(part).collect(),
        kerf: whole(&given["kerf"]),
        trim: [whole(&given["trim"][0]), whole(&given["trim"][1])],
    }
}

fn read(file: &str) -> Vec<Value> {
    let mut text = String::new();
    if file == "-" {
        std::io::stdin().read_to_string(&mut text).unwrap_or(0);
    } else {
        text = std::fs::read_to_string(file).unwrap_or_default();
    }
    match serde_json::from_str(&text) {
        Ok(Value::Array(rows)) => rows,
        Ok(one) => vec![one],
        Err(error) => vec![json!({ "error": error.to_string() })],
    }
}

fn report(given: &Value, answer: &Answer, milliseconds: f64, flaw: Option<String>) -> Value {
    let layout = |layout: &slatwork_shop::stock::cutting::Layout| {
        let cuts: Vec<[i64; 2]> = layout.cuts.iter().map(|cut| [cut.length, cut.count as i64]).collect();
        json!({ "stock": layout.stock, "times": layout.times, "cuts": cuts })
    };
    json!({
        "name": given["name"], "cost": answer.cost, "bound": answer.bound, "optimal": answer.is_optimal(),
        "missing": answer.missing.iter().map(|cut| [cut.length, cut.count as i64]).collect::<Vec<_>>(),
        "proof": answer.proof.to_string(), "steps": answer.steps, "milliseconds": milliseconds, "flaw": flaw,
        "cases": matches!(answer.certificate, Certificate::Cases(..)),
        "layouts": answer.layouts.iter().map(layout).collect::<Vec<_>>(),
    })
}

/// Milliseconds this thread has run; wall time where the system does not tell.
fn milliseconds(start: Instant) -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    match told.split(' ').next().and_then(|word| word.parse::<f64>().ok()) {
        Some(nanoseconds) => nanoseconds / 1e6,
        None => start.elapsed().as_secs_f64() * 1e3,
    }
}

/// What a short run takes, as the mean of several: the system's count moves in steps of milliseconds.
fn timed<T>(run: impl Fn() -> T, begin: Instant) -> (T, f64) {
    let before = milliseconds(begin);
    let (mut runs, mut answer) = (1.0, run());
    while milliseconds(begin) - before < 20.0 && runs < 50.0 {
        answer = run();
        runs += 1.0;
    }
    (answer, (milliseconds(begin) - before) / runs)
}

fn main() {
    let mut files: Vec<String> = std::env::args().skip(1).collect();
    let table = files.first().is_some_and(|word| word == "--table");
    if table {
        files.remove(0);
    }
    let begin = Instant::now();
    for file in &files {
        let rows = read(file);
        let mut times = Vec::new();
        let (mut proven, mut wrong) = (0, 0);
        for given in &rows {
            let problem = problem(given);
            let (answer, milliseconds) = timed(|| solve(&problem, Limits::default()), begin);
            match answer {
                Err(fault) => println!("{}", json!({ "name": given["name"], "fault": fault.to_string() })),
                Ok(answer) => {
                    let flaw = check(&problem, &answer).err().map(|flaw| flaw.to_string());
                    let against = given["opt"].as_i64().is_some_and(|opt| answer.bound > opt || answer.cost < opt);
                    wrong += usize::from(flaw.is_some() || against);
                    proven += usize::from(answer.is_optimal());
                    times.push(milliseconds);
                    if !table {
                        println!("{}", report(given, &answer, milliseconds, flaw));
                    }
                }
            }
        }
        times.sort_by(f64::total_cmp);
        if table && !times.is_empty() {
            let name = rows[0]["set"].as_str().unwrap_or(file);
            let at = |share: f64| times[((times.len() - 1) as f64 * share).round() as usize];
            println!(
                "{name:16} {proven:3} of {:3} proven, {wrong} wrong; ms median {:9.2}, 95 % {:9.2}, most {:9.2}",
                times.len(), at(0.5), at(0.95), at(1.0)
            );
        }
    }
}
