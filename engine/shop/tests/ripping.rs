//! Guillotine instances of the literature, as boards that are crosscut into sections and ripped: the number of boards agrees
//! with what an independent model proves (`tests/oracle/ripping.py --instances`). Parts are not turned and strips hold parts
//! of their own width only, so these are not the values of two-stage cutting with trimmed strips.

use serde_json::Value;
use slatwork_shop::stock::cutting::ripping::{Board, LIMITS, Part, Problem, solve};

fn whole(row: &Value, at: usize) -> i64 {
    row[at].as_i64().unwrap_or_else(|| panic!("{row} has no whole number at {at}"))
}

#[test]
fn guillotine_instances_are_proven() {
    let given: Value = serde_json::from_str(include_str!("cutting/guillotine.json")).unwrap();
    for own in given.as_array().unwrap() {
        let board = |row: &Value| Board {
            length: whole(row, 0),
            width: whole(row, 1),
            cost: 1,
            available: None,
            flaws: 0,
        };
        let part = |row: &Value| Part {
            length: whole(row, 0),
            width: whole(row, 1),
            demand: usize::try_from(whole(row, 2)).unwrap(),
            narrowest_board: 0,
            widest_board: None,
            flaws: 0,
        };
        let problem = Problem {
            boards: own["stocks"].as_array().unwrap().iter().map(board).collect(),
            parts: own["items"].as_array().unwrap().iter().map(part).collect(),
            ..Problem::default()
        };
        let answer = solve(&problem, LIMITS).unwrap();
        assert_eq!(
            (answer.cost, answer.bound),
            (own["opt"].as_i64().unwrap(), answer.cost),
            "{}",
            own["name"]
        );
    }
}
