//! `slatwork calc cut` through the real program and through the library: plans as a person reads them, bad input, a search that
//! is stopped, and the certificate read back.

#![expect(clippy::disallowed_methods, reason = "these tests run the program and read its instances")]

mod asking;

use asking::calc;
use serde_json::{Value, json};
use slatwork::Units;
use slatwork::base::Outcome;
use slatwork::catalog::Catalogue;
use slatwork::project::calc::{Setting, SoFar, Watch, calculation, cut};
use slatwork::shop::stock::cutting::{
    Answer, Case, Cases, Certificate, Cut, Duals, Lattice, Layout, Part, Picked, Problem, Split, Step, Stock,
    Tallies, check,
};
use std::cell::Cell;
use std::collections::BTreeSet;
use std::path::PathBuf;

/// Instances of a class of the benchmark.
fn class(name: &str) -> Vec<Value> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("engine/shop/tests/cutting");
    let text = std::fs::read_to_string(folder.join(format!("{name}.json"))).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// What the program prints to a question, with any flags.
fn told(question: &Value, flags: &[&str]) -> String {
    let run = calc(&[&["cut", "-"], flags].concat(), &question.to_string());
    format!("{}--- exit code {}\n{}", run.out(), run.code(), run.err())
}

fn order() -> Value {
    json!({
        "name": "two benches",
        "stocks": [["8ft", 1321], ["10ft", 1785], ["30in", 0, 3]],
        "items": [["47in", 6], ["31-7/16in", 3], ["21-1/4in", 9], ["14in", 4]],
        "kerf": "1/8in",
        "trim": ["1/2in", "1/2in"],
    })
}

#[test]
fn plans_read_well_at_the_bench() {
    insta::assert_snapshot!(told(&order(), &["--certificate"]));
    insta::assert_snapshot!(told(&class("shop_mixed")[1], &["--units", "mm"]));
    insta::assert_snapshot!(told(&json!(class("schwerin_1")[..1]), &["--steps", "1"]));
}

#[test]
fn stock_that_runs_out_fails_and_says_what_is_missing() {
    let few = json!({ "stocks": [[100, 5, 1], [90, 4, 0]], "items": [[70, 2], [60, 1]], "kerf": 3 });
    insta::assert_snapshot!(told(&few, &[]));
    let answer = calc(&["cut", "-", "--format", "json"], &few.to_string()).ends(1).json();
    assert_eq!(answer["instances"][0]["missing"].as_array().unwrap().len(), 2);
    assert_eq!(
        (&answer["instances"][0]["bound"], &answer["instances"][0]["optimal"]),
        (&Value::Null, &json!(false))
    );
}

/// Two parts of 4 with a kerf of 50 take the whole of 58; a lone part of 10 needs no room for its kerf.
#[test]
fn a_kerf_longer_than_a_part_is_cut_all_the_same() {
    let wide = json!({ "stocks": [[58, 5]], "items": [[4, 4], [10, 1]], "kerf": 50 });
    let answer = calc(&["cut", "-", "--format", "json"], &wide.to_string()).ends(0).json();
    assert_eq!(
        (&answer["instances"][0]["cost"], &answer["instances"][0]["optimal"]),
        (&json!(15), &json!(true))
    );
}

#[test]
fn lengths_near_the_limit_are_counted_or_refused() {
    let near = json!({ "stocks": [[1_i64 << 53, 1 << 30]], "items": [[(1_i64 << 53) / 3, 6], [1, 2]], "kerf": 9_007 });
    let answer = calc(&["cut", "-", "--format", "json"], &near.to_string()).ends(0).json();
    assert_eq!(answer["instances"][0]["optimal"], true);
    let both = json!({ "stocks": [[i64::MAX, 1]], "items": [[u64::MAX, 1], [1e300, 1]] });
    assert_eq!(calc(&["cut", "-"], &both.to_string()).refused().matches("too-large-to-count").count(), 3);
}

#[test]
fn bad_input_is_told_with_place_value_and_remedy() {
    let refused = |question: Value| calc(&["cut", "-"], &question.to_string()).refused();
    let all = [
        refused(
            json!({ "stocks": [[0, 5], [-4, 5]], "items": [[0, 1], [-3, 2], [30, -1], [30, 1.5], ["x", 1]] }),
        ),
        refused(
            json!({ "stocks": [[100], [90, null, 3], [80, 4, -2], []], "items": [7], "kerf": -1, "trim": [-1, 2] }),
        ),
        refused(json!({ "stocks": [[100, 5], [90, 4]], "items": [[99, 1], [101, 2]], "trim": [1, 1] })),
        refused(json!({ "stocks": [["8ft", 5]], "items": [["9ft", 2], ["12ft", 0]] })),
        refused(json!({ "stocks": [[100, i64::MAX]], "items": [[30, 5]] })),
        refused(json!({ "stocks": [[100, 5]], "items": [[30, 10_000_001]] })),
        refused(
            json!({ "stocks": [[40_000, 5]], "items": (1..3_000).map(|own| json!([own, 1])).collect::<Vec<_>>() }),
        ),
        refused(json!({ "stocks": [["8ft", 5]], "items": [[30, 5]] })),
        refused(json!({ "unit": "1", "stocks": [["8ft", 5]], "items": [["1ft", 5]] })),
        refused(json!({ "unit": "mm", "stocks": [[100, 5]], "items": [[30, 5]], "steps": 0 })),
        refused(json!({ "stock": [[100, 5]], "items": [[30, 5]], "kref": 3 })),
        refused(json!({ "stocks": [], "items": [] })),
        refused(
            json!([{ "stocks": [[100, 5]], "items": [[30, 5]] }, { "stocks": [[100, 5]], "itmes": [[30, 5]] }]),
        ),
        refused(json!([])),
        refused(json!([7])),
        refused(json!(7)),
        calc(&["cut", "-"], "{ \"stocks\": [[").refused(),
        calc(&["cut"], "").refused(),
    ];
    insta::assert_snapshot!(all.join("\n"));
}

/// A hundred thousand parts of ninety-seven lengths, one a row: proven in a moment.
#[test]
fn a_hundred_thousand_parts_do_not_hang() {
    let items: Vec<Value> = (0..100_000).map(|own| json!([own % 97 + 1, 1])).collect();
    let many = json!({ "stocks": [[200, 1]], "items": items });
    let answer = calc(&["cut", "-", "--format", "json"], &many.to_string()).ends(0).json();
    let plan = &answer["instances"][0];
    let cut: u64 = plan["layouts"].as_array().unwrap().iter().map(parts_of).sum();
    assert_eq!((&plan["optimal"], cut), (&json!(true), 100_000));
}

fn parts_of(layout: &Value) -> u64 {
    let each: u64 = layout["cuts"].as_array().unwrap().iter().map(|cut| cut[1].as_u64().unwrap()).sum();
    each * layout["times"].as_u64().unwrap()
}

#[test]
fn a_list_is_answered_one_by_one_and_flags_go_over_it() {
    let both = json!([order(), { "stocks": [[10, 3]], "items": [[5, 3]] }]);
    let answer = calc(&["cut", "-", "--format", "json", "--certificate"], &both.to_string()).ends(0).json();
    let plans = answer["instances"].as_array().unwrap();
    assert_eq!(plans.iter().map(|own| own["unit"].as_str().unwrap()).collect::<Vec<_>>(), ["nm", "1"]);
    assert!(plans.iter().all(|own| own["certificate"]["kind"] == "multipliers"));
    let within = json!({ "instances": both, "certificate": true });
    assert_eq!(calc(&["cut", "-", "--format", "json"], &within.to_string()).ends(0).json(), answer);
}

/// Stopped at the twelfth look of its first instance: the best plan so far with its bound, and word of what was not begun.
#[test]
fn a_stopped_search_gives_its_best_plan_and_gap() {
    let looks = Cell::new(0);
    let looked = |so_far: &SoFar| {
        looks.set(looks.get() + 1);
        assert_eq!((so_far.instance, so_far.of), (1, 3));
        looks.get() < 12
    };
    let setting = Setting {
        catalogue: Catalogue::shared(),
        units: Units::Inch,
        accepted: &BTreeSet::new(),
        watch: Watch(&looked),
    };
    let question = cut::parse(&json!(class("ani")[..3]).to_string()).unwrap();
    let Outcome { value, diagnostics } = calculation("cut").unwrap().answer(&question, &setting);
    let answered = value.unwrap();
    let plans = answered.document["instances"].as_array().unwrap();
    assert_eq!((looks.get(), plans.len()), (12, 1));
    let (cost, bound) = (plans[0]["cost"].as_i64().unwrap(), plans[0]["bound"].as_i64().unwrap());
    assert!(bound <= 66 && cost >= 66 && plans[0]["gap"] == cost - bound, "{cost} {bound}");
    assert_eq!((&plans[0]["stopped"], &plans[0]["proof"]), (&json!(true), &json!("open")));
    let codes: Vec<&str> = diagnostics.iter().map(|own| own.code).collect();
    assert_eq!(codes, ["gap-left-open", "left-unanswered"], "{diagnostics:?}");
    assert!(diagnostics[0].message.starts_with("the search was interrupted"), "{}", diagnostics[0].message);
    assert_eq!(diagnostics[1].message, "2 of 3 instances are left unanswered");
}

fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap()
}

fn index(value: &Value) -> usize {
    usize::try_from(whole(value)).unwrap()
}

fn pairs(value: &Value) -> impl Iterator<Item = (i64, usize)> + '_ {
    value.as_array().unwrap().iter().map(|own| (whole(&own[0]), index(&own[1])))
}

fn problem(instance: &Value) -> Problem {
    let stock = |own: &Value| Stock {
        length: whole(&own[0]),
        cost: whole(&own[1]),
        available: own[2].as_u64().map(|_| index(&own[2])),
    };
    Problem {
        stocks: instance["stocks"].as_array().unwrap().iter().map(stock).collect(),
        parts: pairs(&instance["items"]).map(|(length, demand)| Part { length, demand }).collect(),
        kerf: whole(&instance["kerf"]),
        trim: [whole(&instance["trim"][0]), whole(&instance["trim"][1])],
    }
}

/// A printed plan with its certificate as the checker takes it: everything it needs is there.
fn read_back(plan: &Value) -> Answer {
    let cuts = |own: &Value| pairs(own).map(|(length, count)| Cut { length, count }).collect();
    let layout = |own: &Value| Layout {
        stock: index(&own["stock"]),
        times: index(&own["times"]),
        cuts: cuts(&own["cuts"]),
    };
    let own = &plan["certificate"];
    let duals = |worth: &Value| {
        let worth = worth.as_array().unwrap().iter().map(|own| (whole(&own[0]), whole(&own[1]))).collect();
        Duals { worth, best: Vec::new(), scale: whole(&own["scale"]) }
    };
    let certificate = match own["kind"].as_str().unwrap() {
        "nothing" => Certificate::Nothing,
        "multipliers" => Certificate::Duals(duals(&own["worth"])),
        "tallies" => Certificate::Tallies(Tallies {
            cuts: own["cuts"].as_array().unwrap().iter().map(duals).collect(),
            parts: whole(&own["parts"]),
            below: whole(&own["below"]),
            tree: case(own, 0),
        }),
        _ => {
            let limited = own["limited"].as_array().unwrap().iter().map(index).collect();
            let duals = duals(&own["worth"]);
            Certificate::Cases(duals, Cases { below: whole(&own["below"]), limited, tree: case(own, 0) })
        }
    };
    Answer {
        layouts: plan["layouts"].as_array().unwrap().iter().map(layout).collect(),
        cost: whole(&plan["cost"]),
        bound: whole(&plan["bound"]),
        missing: cuts(&plan["missing"]),
        proof: Step::Open,
        certificate,
        steps: 0,
        stopped: false,
    }
}

fn case(certificate: &Value, at: usize) -> Case {
    let own = &certificate["cases"][at];
    let split = own["split"].as_object().map(|split| {
        let holding =
            pairs(&split["holding"]).map(|(part, count)| (usize::try_from(part).unwrap(), count as u32));
        let picked = Picked {
            stock: split["stock"].as_u64().map(|_| index(&split["stock"])),
            holding: holding.collect(),
        };
        let next = |key: &str| case(certificate, index(&split[key]));
        Box::new(Split { picked, most: whole(&split["most"]), fewer: next("fewer"), more: next("more") })
    });
    let numbers = |own: &Value| own.as_array().unwrap().iter().map(whole).collect::<Vec<i64>>();
    let lattice = own["lattice"].as_object().map(|lattice| Lattice {
        parts: lattice["parts"].as_array().unwrap().iter().map(index).collect(),
        rows: lattice["rows"].as_array().unwrap().iter().map(numbers).collect(),
    });
    Case { multipliers: numbers(&own["multipliers"]), lattice, split }
}

/// The printed certificate is enough to show the bound, and a bound above it is not shown.
/// (`tests/oracle/certificate.py` does the same by its own means.)
#[test]
fn certificates_are_read_back_and_hold() {
    let mut kinds = BTreeSet::new();
    for name in ["shop_imperial", "shop_offcut"] {
        let instances = class(name);
        let words = ["cut", "-", "--certificate", "--format", "json"];
        let answer = calc(&words, &json!(instances).to_string()).ends(0).json();
        for (instance, plan) in instances.iter().zip(answer["instances"].as_array().unwrap()) {
            let (problem, mut answer) = (problem(instance), read_back(plan));
            assert_eq!(check(&problem, &answer), Ok(()), "{}", instance["name"]);
            kinds.insert(plan["certificate"]["kind"].as_str().unwrap().to_string());
            answer.bound += 1;
            assert!(check(&problem, &answer).is_err(), "{}", instance["name"]);
        }
    }
    assert_eq!(kinds.into_iter().collect::<Vec<_>>(), ["cases", "multipliers", "tallies"]);
}
