//! The reference frames, each with values of two or more independent programs and of closed forms.

#![expect(clippy::disallowed_methods, reason = "a test reads its cases")]

use serde_json::Value;
use slatwork_base::Outcome;
use slatwork_catalog::Catalogue;
use slatwork_project::calc::{Setting, Watch, calculation, parse};
use slatwork_project::{Caution, Units};
use std::path::PathBuf;

/// The answer to a file.
fn answer(text: &str) -> Outcome<Value> {
    let setting = Setting {
        catalogue: Catalogue::shared(),
        units: Units::Inch,
        accepted: &[Caution::Hanging].into(),
        watch: Watch::default(),
    };
    let own = calculation("frame").unwrap();
    Outcome::from(parse(text)).then(|question| own.answer(&question, &setting)).map(|own| own.document.into())
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../checks/tests/cases/frames")
}

fn case(name: &str) -> String {
    std::fs::read_to_string(folder().join(format!("{name}.json"))).unwrap()
}

fn cases() -> Vec<(String, Value)> {
    let mut names: Vec<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|own| own == "json"))
        .map(|path| path.file_stem().unwrap().to_string_lossy().to_string())
        .collect();
    names.sort();
    names.into_iter().map(|name| (name.clone(), serde_json::from_str(&case(&name)).unwrap())).collect()
}

fn solved(text: &str) -> Value {
    let outcome = answer(text);
    outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics))
}

/// Rows of a table with their kind: the first three of every six are one kind, the last three another.
fn numbers(table: &Value) -> Vec<(String, Vec<f64>)> {
    let rows = table.as_object().unwrap().iter();
    rows.map(|(name, row)| {
        (name.clone(), row.as_array().unwrap().iter().map(|own| own.as_f64().unwrap()).collect())
    })
    .collect()
}

/// Largest difference of two tables as a share of the largest value of the same kind.
fn difference(own: &Value, expected: &Value) -> f64 {
    let (own, expected) = (numbers(own), numbers(expected));
    let names = |table: &[(String, Vec<f64>)]| table.iter().map(|row| row.0.clone()).collect::<Vec<_>>();
    assert_eq!(names(&own), names(&expected));
    let (mut scale, mut off) = ([0.0_f64; 2], [0.0_f64; 2]);
    for (own, expected) in own.iter().zip(&expected) {
        assert_eq!(own.1.len(), expected.1.len());
        for (at, (a, b)) in own.1.iter().zip(&expected.1).enumerate() {
            let kind = at / 3 % 2;
            scale[kind] = scale[kind].max(b.abs());
            off[kind] = off[kind].max((a - b).abs());
        }
    }
    // Where a kind is all nothing, rounding is measured against the other.
    let most = scale[0].max(scale[1]);
    (0..2)
        .map(|kind| off[kind] / if scale[kind] > 1e-9 * most { scale[kind] } else { most.max(1e-300) })
        .fold(0.0, f64::max)
}

#[test]
fn all_reference_frames_are_met_within_their_tolerances() {
    let cases = cases();
    assert_eq!(cases.len(), 20);
    for (name, file) in &cases {
        let own = solved(&file.to_string());
        let tolerance = file["tolerance"]["relative"].as_f64().unwrap();
        for (combination, expected) in file["expected"].as_object().unwrap() {
            let own = &own[combination];
            assert_eq!(own["status"], expected["status"], "{name} {combination}: {own}");
            if expected["status"] != "ok" {
                continue;
            }
            for table in ["displacements", "reactions", "member_end_forces"] {
                let off = difference(&own[table], &expected[table]);
                assert!(off <= tolerance, "{name} {combination} {table}: {off:e}");
            }
            for list in ["slack_members", "open_contacts"] {
                assert_eq!(own[list], expected[list], "{name} {combination}");
            }
        }
    }
}

#[test]
fn all_closed_forms_are_met() {
    let mut met = 0;
    for (name, file) in cases() {
        let own = solved(&file.to_string());
        for form in file["closed_form"].as_array().unwrap() {
            let text = |key: &str| form[key].as_str().unwrap();
            let component = usize::try_from(form["component"].as_u64().unwrap()).unwrap();
            let value = own[text("combination")][text("quantity")][text("of")][component].as_f64().unwrap();
            let expected = form["closed_form"].as_f64().unwrap();
            // Some closed forms leave out axial strain; the file says by how much they are off.
            let known = form["relative_difference"].as_f64().unwrap_or(0.0);
            let most = (2.0 * known).max(1e-9) * expected.abs().max(1.0);
            assert!((value - expected).abs() <= most, "{name} {}: {value} {expected}", text("formula"));
            met += 1;
        }
    }
    assert_eq!(met, 41);
}

/// The checks that every answer carries hold with room to spare on ordinary frames.
#[test]
fn every_answer_carries_its_checks() {
    for (name, file) in cases() {
        for (combination, own) in solved(&file.to_string()).as_object().unwrap() {
            let figure = |key: &str| own["trust"][key].as_f64();
            let Some(left_over) = figure("left_over") else { continue };
            let all = ["whole", "member", "energy"].map(|key| figure(key).unwrap());
            assert!(left_over <= 1e-9 && all.iter().all(|own| *own <= 1e-8), "{name} {combination}: {own}");
            let condition = figure("condition").unwrap();
            assert!((1.0..1e10).contains(&condition), "{name} {combination}: {condition:e}");
        }
    }
}

/// What is told of a spoiled case.
fn told(case_name: &str, from: &str, to: &str) -> String {
    let text = case(case_name);
    assert!(text.contains(from), "{from}");
    let outcome = answer(&text.replacen(from, to, 1));
    assert!(outcome.value.is_none());
    outcome.diagnostics.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

#[test]
fn slips_in_a_file_are_told_at_their_place() {
    insta::assert_snapshot!(
        [
            told("02-cantilever-shear-flexible", "\"A\":", "\"a\":").as_str(),
            &told("02-cantilever-shear-flexible", "\"j\": \"2\"", "\"j\": \"22\""),
            &told("02-cantilever-shear-flexible", "0.00532", "-0.00532"),
            &told("02-cantilever-shear-flexible", "\"nodal\"", "\"nodel\""),
            &told("02-cantilever-shear-flexible", "\"L1\": 1.0", "\"L2\": 1.0"),
            &told("02-cantilever-shear-flexible", "[0.35, 0.0, 0.0]", "[0.35, 0.0]"),
            &told("02-cantilever-shear-flexible", "\"nodes\": [", "\"nodes\" ["),
            &told("09-semi-rigid-ends", "\"springs_i\": {\"rz\"", "\"springs_i\": {\"rzz\""),
            &told("12-lift-off", "\"push\": \"+\"", "\"push\": \"up\""),
            &told("12-lift-off", "\"fixed\": [\"uy\"]", "\"fixed\": [\"uz\"]"),
        ]
        .join("\n")
    );
}

/// Two loads of the layout that no reference case has, on a beam built in at both ends: beam tables.
#[test]
fn trapezoids_and_settlements_are_read() {
    let mut file: Value = serde_json::from_str(&case("09-semi-rigid-ends")).unwrap();
    for key in ["springs_i", "springs_j"] {
        file["members"][0].as_object_mut().unwrap().remove(key);
    }
    file["load_cases"]["L1"] = serde_json::json!({
        "member_trapezoid": [{ "member": "m1", "from": 0.0, "to": 1.2, "w_from": [0, 0, 0], "w_to": [0, 0, -600] }],
    });
    file["load_cases"]["L2"] = serde_json::json!({ "settlements": [{ "node": "2", "uz": -0.002 }] });
    file["combinations"] = serde_json::json!({ "ramp": { "L1": 1.0 }, "sunk": { "L2": 1.0 } });
    let own = solved(&file.to_string());
    let moment =
        |combination: &str, at: usize| own[combination]["member_end_forces"]["m1"][at].as_f64().unwrap();
    // w L^2 / 30 and w L^2 / 20; 6 E I d / L^2.
    assert!((moment("ramp", 5) - 600.0 * 1.44 / 30.0).abs() < 1e-9);
    assert!((moment("ramp", 11) + 600.0 * 1.44 / 20.0).abs() < 1e-9);
    let sunk = 6.0 * 9e9 * 2.232401833333333e-6 * 0.002 / 1.44;
    assert!((moment("sunk", 5) - sunk).abs() < 1e-8 * sunk, "{} {sunk}", moment("sunk", 5));
}

#[test]
fn tipping_is_told_in_place_of_figures() {
    let own = solved(&case("19-tipping-detected"));
    let diagnostics = &own["seat+push"]["diagnostics"];
    insta::assert_snapshot!(diagnostics[0]["message"].as_str().unwrap());
}
