//! The reference swings asked as a user asks, against what two other methods answered.

use serde_json::{Map, Value};
use slatwork_base::Outcome;
use slatwork_catalog::Catalogue;
use slatwork_project::calc::{Setting, Watch, calculation, parse};
use slatwork_project::{Caution, Units};

/// The answer to a file.
fn answer(text: &str) -> Outcome<Value> {
    let setting = Setting {
        catalogue: Catalogue::shared(),
        units: Units::Inch,
        accepted: &[Caution::Hanging].into(),
        watch: Watch::default(),
    };
    let own = calculation("swing").unwrap();
    Outcome::from(parse(text)).then(|question| own.answer(&question, &setting)).map(|own| own.document.into())
}

const CASES: [(&str, &str); 13] = [
    ("s1", include_str!("../../checks/tests/cases/swing/s1-ring-centred.json")),
    ("s2", include_str!("../../checks/tests/cases/swing/s2-ring-lean-back.json")),
    ("s3", include_str!("../../checks/tests/cases/swing/s3-four-hooks-parallel.json")),
    ("s4", include_str!("../../checks/tests/cases/swing/s4-four-hooks-converging.json")),
    ("s5", include_str!("../../checks/tests/cases/swing/s5-one-occupant-off-centre.json")),
    ("s6", include_str!("../../checks/tests/cases/swing/s6-rear-chains-shortened.json")),
    ("s7", include_str!("../../checks/tests/cases/swing/s7-front-chain-slack.json")),
    ("s8", include_str!("../../checks/tests/cases/swing/s8-tips.json")),
    ("s9", include_str!("../../checks/tests/cases/swing/s9-four-hooks-off-centre.json")),
    ("d1", include_str!("../../checks/tests/cases/swing/d1-point-mass-20deg.json")),
    ("d2", include_str!("../../checks/tests/cases/swing/d2-point-mass-45deg.json")),
    ("d3", include_str!("../../checks/tests/cases/swing/d3-rigid-ring-30deg.json")),
    ("d4", include_str!("../../checks/tests/cases/swing/d4-ring-chain-split-25deg.json")),
];

/// Relative: half of the ninth digit; the dynamic cases state no other tolerance than the nine digits they are given to.
const NINE_DIGITS: f64 = 5e-9;

/// Relative, of the stiffness, which is given to five digits.
const FIVE_DIGITS: f64 = 2e-5;

/// The figure's own tolerance: as the file says by kind, else by the digits it is given to.
fn tolerance(case: &Value, key: &str, wanted: f64) -> f64 {
    let stated = |name: &str| case["tolerance"][name].as_f64();
    let weight = || {
        let masses =
            case["masses"].as_array()?.iter().map(|own| own["mass"].as_f64()).sum::<Option<f64>>()?;
        Some(masses * case["gravity"].as_f64()?)
    };
    let of_kind = match key {
        "tilt_deg" | "roll_deg" | "yaw_deg" | "hanging_tilt_deg" => stated("angle_deg"),
        "seat_origin" | "cg" => stated("length"),
        "tensions" | "hook_forces" | "T_front" | "T_rear" => {
            stated("force_over_weight").and_then(|share| Some(share * weight()?))
        }
        "restoring_stiffness_min_N_m" => Some(FIVE_DIGITS * wanted),
        _ => None,
    };
    of_kind.unwrap_or(NINE_DIGITS * wanted.abs())
}

/// Every figure that is expected, with the nearest key above it, against the one answered.
fn compare(case: &Value, key: &str, found: &Value, wanted: &Value) -> usize {
    match wanted {
        Value::Object(all) => {
            let inner =
                |own: &String| if matches!(key, "tensions" | "hook_forces") { key } else { own }.to_string();
            all.iter().map(|(own, wanted)| compare(case, &inner(own), &found[own], wanted)).sum()
        }
        Value::Array(all) => {
            assert_eq!(found.as_array().map(Vec::len), Some(all.len()), "{key}");
            all.iter().enumerate().map(|(index, wanted)| compare(case, key, &found[index], wanted)).sum()
        }
        Value::Number(number) => {
            let (found, wanted) = (found.as_f64().unwrap_or(f64::NAN), number.as_f64().unwrap());
            let off = (found - wanted).abs();
            assert!(off <= tolerance(case, key, wanted), "{key}: {found} is not {wanted}");
            1
        }
        // The reason is told in our own words.
        Value::String(_) if key == "why" => 0,
        _ => {
            assert_eq!(found, wanted, "{key}");
            1
        }
    }
}

fn figures_of(value: &Value) -> usize {
    match value {
        Value::Object(all) => all.values().map(figures_of).sum(),
        Value::Array(all) => all.iter().map(figures_of).sum(),
        _ => 1,
    }
}

#[test]
fn every_reference_swing_is_answered_within_its_tolerance() {
    for (name, text) in CASES {
        let case: Value = serde_json::from_str(text).unwrap();
        let mut question = case.clone();
        question.as_object_mut().and_then(|own| own.remove("expected")).expect("an answer to compare with");
        let outcome = answer(&question.to_string());
        let found = outcome.value.unwrap_or_else(|| panic!("{name}: {:?}", outcome.diagnostics));
        let compared = compare(&case, name, &found, &case["expected"]);
        let why = usize::from(case["expected"].get("why").is_some());
        assert_eq!(compared + why, figures_of(&case["expected"]), "{name}: all figures are compared");
    }
}

/// Swings drawn at random, hung by minimising their energy (`tests/oracle/swing.py`).
#[test]
fn drawn_swings_hang_as_their_least_energy_has_it() {
    let drawn: Vec<Value> =
        serde_json::from_str(include_str!("../../checks/tests/cases/swing_drawn.json")).unwrap();
    assert!(drawn.len() >= 20);
    for (number, case) in drawn.iter().enumerate() {
        let outcome = answer(&case.to_string());
        let found = outcome.value.unwrap_or_else(|| panic!("{number}: {:?}", outcome.diagnostics));
        compare(case, &number.to_string(), &found, &case["expected"]);
    }
}

#[test]
fn only_the_swing_that_turns_over_fails() {
    for (name, text) in CASES {
        let codes: Vec<&str> = answer(text).diagnostics.iter().map(|own| own.code).collect();
        let wanted: &[&str] = match name {
            "s3" => &["tension-undetermined"],
            "s8" => &["swing-turns-over"],
            _ => &[],
        };
        assert_eq!(codes, wanted, "{name}");
    }
}

#[test]
fn the_keys_come_in_the_order_of_the_layout() {
    let case: Value = serde_json::from_str(CASES[0].1).unwrap();
    let found = answer(CASES[0].1).value.unwrap();
    let keys = |own: &Map<String, Value>| own.keys().cloned().collect::<Vec<_>>();
    let (found, wanted) = (keys(found.as_object().unwrap()), keys(case["expected"].as_object().unwrap()));
    assert_eq!(found[..wanted.len()], wanted);
}

fn told(text: &str) -> String {
    let outcome = answer(text);
    assert_eq!(outcome.value, None);
    outcome.diagnostics.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

#[test]
fn what_cannot_be_read_is_told_at_its_place() {
    let text = r#"{ "chians": [], "masses": [ { "mass": "heavy", "at": [0, 0] } ],
        "chains": [ { "id": "L", "at": [0, 0, 0], "hook": [0, 0, 1], "lenght": 1 } ] }"#;
    insta::assert_snapshot!(told(text), @r#"
error[missing-key]: `length` is missing here (chains[0]); add `"length": ..`
error[unknown-key]: there is no `lenght` here (chains[0].lenght); did you mean `length`?
error[wrong-value]: `mass` is "heavy" and must be a number (masses[0].mass); write `"mass": ..` with a number
error[wrong-value]: `at` is [0,0] and must be a list of 3 numbers (masses[0].at); write `"at": ..` with a list of 3 numbers
error[unknown-key]: there is no `chians` here (chians); did you mean `chains`?
"#);
    insta::assert_snapshot!(told("{ \"chains\": [ }"), @r#"
error[json-syntax]: this is not JSON that can be read: expected value at line 1 column 15; look at the line and column named, and just before it
"#);
    insta::assert_snapshot!(told("[]"), @r#"
error[json-syntax]: this is not JSON that can be read: it is no object in braces; look at the line and column named, and just before it
"#);
    insta::assert_snapshot!(told(r#"{ "id": "nothing" }"#), @r#"
error[swing-without-chain]: nothing holds the seat: it has no chain; give at least one chain with its eye, hook and length
error[swing-without-weight]: the seat weighs nothing: its masses sum to 0 kg; give the mass of the seat, and of those who sit in it
"#);
    insta::assert_snapshot!(told("{ \"radius\": 1.6, \"mass\": 100, \"amplitude\": 20 }"), @r#"
error[missing-key]: `amplitude_deg` is missing here; add `"amplitude_deg": ..`
error[unknown-key]: there is no `amplitude` here (amplitude); leave it out
"#);
    insta::assert_snapshot!(told("{ \"ring\": [0, 1.7, 3], \"mass\": 100 }"), @r#"
error[missing-key]: `inertia_about_cg` is missing here; add `"inertia_about_cg": ..`
error[missing-key]: `amplitude_deg` is missing here; add `"amplitude_deg": ..`
error[missing-key]: `attach_front` is missing here; add `"attach_front": ..`
error[missing-key]: `attach_rear` is missing here; add `"attach_rear": ..`
error[wrong-value]: `ring` is [0,1.7,3] and must be a list of 2 numbers (ring); write `"ring": ..` with a list of 2 numbers
error[missing-key]: `cg` is missing here; add `"cg": ..`
"#);
}

#[test]
fn what_no_swing_has_is_told() {
    let none = r#"{ "chains": [], "masses": [] }"#;
    insta::assert_snapshot!(told(none), @r#"
error[swing-without-chain]: nothing holds the seat: it has no chain; give at least one chain with its eye, hook and length
error[swing-without-weight]: the seat weighs nothing: its masses sum to 0 kg; give the mass of the seat, and of those who sit in it
"#);
    let short = r#"{ "masses": [ { "mass": 80, "at": [0, 0, 0] } ],
        "chains": [ { "id": "L", "at": [-0.5, 0, 0], "hook": [-3, 0, 0], "length": 1 },
                    { "id": "R", "at": [0.5, 0, 0], "hook": [3, 0, 0], "length": 1 } ] }"#;
    insta::assert_snapshot!(told(short), @r#"
error[chain-cannot-reach]: from the level seat chain R does not reach its hook by 1500 mm (chain R); lengthen the chains, or set hooks and eyes nearer together
"#);
}
