//! Solves cutting problems, one after another on one thread.
//!
//!     cutting FILE...              a line of JSON for each instance: cost, bound, layouts, milliseconds
//!     cutting --table CLASS...     a line for each class of the benchmark: how many are proven, times; without a class, all
//!
//! FILE holds one instance or an array of them, in the layout of `tests/cutting/`; `-` stands for standard input.
//! Times are those that the thread ran, where the system tells (Linux), the checks of the answers included.

#![expect(clippy::print_stdout, clippy::disallowed_methods, reason = "a program of its own, with a clock")]

#[path = "../tests/instances/mod.rs"]
mod instances;

use instances::{CLASSES, Instance};
use serde_json::{Value, json};
use slatwork_shop::stock::cutting::{Answer, Certificate, Limits, solve};
use std::io::Read;
use std::time::Instant;

/// Milliseconds this thread has run; wall time where the system does not tell.
fn milliseconds(begin: Instant) -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    match told.split(' ').next().and_then(|word| word.parse::<f64>().ok()) {
        Some(nanoseconds) => nanoseconds / 1e6,
        None => begin.elapsed().as_secs_f64() * 1e3,
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

fn report(name: &str, answer: &Answer, milliseconds: f64) -> Value {
    let cuts = |cuts: &[slatwork_shop::stock::cutting::Cut]| -> Vec<[i64; 2]> {
        cuts.iter().map(|cut| [cut.length, i64::try_from(cut.count).unwrap_or(0)]).collect()
    };
    let layouts: Vec<Value> = answer
        .layouts
        .iter()
        .map(|own| json!({ "stock": own.stock, "times": own.times, "cuts": cuts(&own.cuts) }))
        .collect();
    json!({
        "name": name, "cost": answer.cost, "bound": answer.bound, "optimal": answer.is_optimal(),
        "missing": cuts(&answer.missing), "proof": answer.proof.to_string(), "steps": answer.steps,
        "cases": matches!(answer.certificate, Certificate::Cases(..)), "milliseconds": milliseconds, "layouts": layouts,
    })
}

fn print_answers(file: &str) {
    let mut text = String::new();
    let read = match file {
        "-" => std::io::stdin().read_to_string(&mut text).map(|_| text),
        _ => std::fs::read_to_string(file),
    };
    let given = read.map_err(|error| error.to_string());
    let begin = Instant::now();
    match given.and_then(|text| instances::instances(&text).map_err(|error| error.to_string())) {
        Err(error) => println!("{}", json!({ "name": file, "fault": error })),
        Ok(given) => {
            given.iter().for_each(|own| match timed(|| solve(&own.problem, Limits::default()), begin) {
                (Ok(answer), time) => println!("{}", report(&own.name, &answer, time)),
                (Err(fault), _) => println!("{}", json!({ "name": own.name, "fault": fault.to_string() })),
            })
        }
    }
}

fn print_class(name: &str, given: &[Instance]) {
    let begin = Instant::now();
    let (mut proven, mut wrong, mut times) = (0, 0, Vec::new());
    for own in given {
        let (answer, time) = timed(|| solve(&own.problem, Limits::default()), begin);
        times.push(time);
        let Ok(answer) = answer else {
            wrong += 1;
            continue;
        };
        proven += usize::from(answer.is_optimal());
        wrong += usize::from(own.optimum.is_some_and(|best| answer.bound > best || answer.cost < best));
    }
    times.sort_by(f64::total_cmp);
    let at =
        |share: f64| times.get(((times.len().max(1) - 1) as f64 * share).round() as usize).unwrap_or(&0.0);
    println!(
        "{name:14} {proven:3} of {:3} proven, {wrong} wrong; ms: median {:9.2}, 95 % {:9.2}, most {:9.2}",
        times.len(),
        at(0.5),
        at(0.95),
        at(1.0)
    );
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if words.first().is_some_and(|word| word == "--table") {
        let asked = |name: &str| words.len() == 1 || words[1..].iter().any(|word| word == name);
        for (name, _) in CLASSES.iter().filter(|class| asked(class.0)) {
            print_class(name, &instances::class(name));
        }
    } else {
        words.iter().for_each(|file| print_answers(file));
    }
}
