//! Shop questions through the real program: reference frames and swings, published figures, bad input.

#![expect(clippy::disallowed_methods, reason = "these tests run the program and read their cases")]

mod asking;

use asking::calc;
use serde_json::{Value, json};
use slatwork::project::calc::CALCULATIONS;
use std::fs;
use std::path::PathBuf;

/// The answer in JSON to flags.
#[track_caller]
fn asked(words: &[&str]) -> Value {
    let run = calc(&[words, &["--format", "json"]].concat(), "");
    assert!(run.code() < 2, "{}", run.err());
    run.json()
}

/// The answer in JSON to a question on standard input.
#[track_caller]
fn piped(name: &str, question: &Value) -> Value {
    let run = calc(&[name, "-", "--format", "json"], &question.to_string());
    assert!(run.code() < 2, "{}", run.err());
    run.json()
}

#[track_caller]
fn near(found: &Value, wanted: f64, tolerance: f64) {
    let found = found.as_f64().unwrap_or_else(|| panic!("{found} is no number"));
    assert!((found - wanted).abs() <= tolerance, "{found} is not {wanted} within {tolerance}");
}

/// The reference cases of a folder: name, question without what is expected, what is expected.
fn cases(folder: &str) -> Vec<(String, Value, Value)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("engine/checks/tests/cases").join(folder);
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|own| own.unwrap().path()).collect();
    paths.sort();
    let case = |path: PathBuf| {
        let mut case: Value = serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
        let expected = case.as_object_mut().unwrap().remove("expected").unwrap();
        (path.file_stem().unwrap().to_string_lossy().to_string(), case, expected)
    };
    paths.into_iter().map(case).collect()
}

/// Every number that is expected, with the keys to it, and the one found there.
fn pairs<'v>(keys: &str, wanted: &'v Value, found: &'v Value, all: &mut Vec<(String, f64, f64)>) {
    match wanted {
        Value::Object(map) => {
            map.iter().for_each(|(key, own)| pairs(&format!("{keys}/{key}"), own, &found[key], all));
        }
        Value::Array(list) => {
            assert_eq!(found.as_array().map(Vec::len), Some(list.len()), "{keys}");
            for (at, own) in list.iter().enumerate() {
                pairs(&format!("{keys}/{at}"), own, &found[at], all);
            }
        }
        Value::Number(own) => {
            let found = found.as_f64().unwrap_or_else(|| panic!("{keys}: {found}"));
            all.push((keys.to_string(), own.as_f64().unwrap(), found));
        }
        // Why a swing turns over is said in the words of whoever says it.
        Value::String(_) if keys.ends_with("/why") => assert!(found.is_string(), "{keys}"),
        own => assert_eq!(found, own, "{keys}"),
    }
}

/// Numbers of one table and one kind (the first or last three of six) are measured by the largest of them.
fn kind(keys: &str) -> String {
    let mut words: Vec<&str> = keys.split('/').collect();
    let at: usize = words.pop().unwrap().parse().unwrap();
    words.pop();
    format!("{} {}", words.join("/"), at / 3 % 2)
}

/// As the files say: 1e-6 of the largest value of the same kind.
const OF_LARGEST: f64 = 1e-6;

#[test]
fn every_reference_frame_is_answered_in_its_own_layout() {
    let cases = cases("frames");
    assert_eq!(cases.len(), 20);
    for (name, question, expected) in cases {
        let run = calc(&["frame", "-", "--format", "json"], &question.to_string());
        let stands = expected.as_object().unwrap().values().all(|own| own["status"] == "ok");
        assert_eq!(run.code(), i32::from(!stands), "{name}: {}", run.err());
        let mut all = Vec::new();
        pairs("", &expected, &run.json(), &mut all);
        for (keys, wanted, found) in &all {
            let of_kind = all.iter().filter(|own| kind(&own.0) == kind(keys));
            let mut scale = of_kind.map(|own| own.1.abs()).fold(0.0, f64::max);
            // Where a kind is nothing but rounding, the table's other kind measures it.
            let table = keys.rsplit_once('/').unwrap().0.rsplit_once('/').unwrap().0;
            let whole =
                all.iter().filter(|own| own.0.starts_with(table)).map(|own| own.1.abs()).fold(0.0, f64::max);
            if scale < 1e-9 * whole {
                scale = whole;
            }
            let off = (found - wanted).abs();
            assert!(
                off <= OF_LARGEST * scale.max(f64::MIN_POSITIVE),
                "{name}{keys}: {found} is not {wanted}"
            );
        }
    }
}

/// Degrees, metres and shares of the weight that the files ask for, and nine digits of what has no kind of its own.
fn swing_tolerance(case: &Value, keys: &str, wanted: f64) -> f64 {
    let stated = |name: &str| case["tolerance"][name].as_f64();
    let weight = || {
        let masses = case["masses"].as_array().into_iter().flatten();
        masses.map(|own| own["mass"].as_f64().unwrap()).sum::<f64>() * case["gravity"].as_f64().unwrap()
    };
    let of_kind = match keys.split('/').find(|word| !["", "taut_ring"].contains(word)).unwrap() {
        "tilt_deg" | "roll_deg" | "yaw_deg" | "hanging_tilt_deg" => stated("angle_deg"),
        "seat_origin" | "cg" => stated("length"),
        "tensions" | "hook_forces" | "T_front" | "T_rear" => {
            stated("force_over_weight").map(|share| share * weight())
        }
        "restoring_stiffness_min_N_m" => Some(2e-5 * wanted),
        _ => None,
    };
    of_kind.unwrap_or(5e-9 * wanted.abs())
}

#[test]
fn every_reference_swing_is_answered_in_its_own_layout() {
    let cases = cases("swing");
    assert_eq!(cases.len(), 13);
    for (name, question, expected) in cases {
        let run = calc(&["swing", "-", "--format", "json"], &question.to_string());
        assert_eq!(run.code(), i32::from(expected["status"] == "tips"), "{name}: {}", run.err());
        let mut all = Vec::new();
        pairs("", &expected, &run.json(), &mut all);
        assert!(all.len() > 3, "{name}");
        for (keys, wanted, found) in all {
            let tolerance = swing_tolerance(&question, &keys, wanted);
            assert!((found - wanted).abs() <= tolerance, "{name}{keys}: {found} is not {wanted}");
        }
    }
}

/// Flags of a fastener in a line of words.
#[track_caller]
fn fastener(line: &str) -> Value {
    let words: Vec<&str> = ["fastener"].into_iter().chain(line.split(' ')).collect();
    asked(&words)
}

/// Pounds across one fastener before any factor.
#[track_caller]
fn pounds(line: &str, wanted: f64, tolerance: f64) {
    near(&fastener(line)["lateral"]["each"]["reference"]["lb"], wanted, tolerance);
}

/// NDS-2018 Tables 12L, 12M, 12N and 12P as transcribed, and AWC's solved nail.
#[test]
fn screws_and_nails_carry_what_is_published() {
    pounds("--screw 10 --side 1/2in --gravity 0.5 --penetration 1.9in", 90.0, 1.0);
    pounds("--screw 8 --side 1/2in --gravity 0.5 --penetration 1.64in", 73.0, 1.0);
    pounds("--screw 14 --side 1/2in --gravity 0.5 --penetration 2.42in", 120.0, 1.0);
    pounds("--screw 10 --side 1-1/2in --gravity 0.5 --penetration 1.9in", 117.0, 1.0);
    pounds(
        "--screw 10 --side 0.060in --side-steel A653-Grade-33 --main-gravity 0.5 --penetration 1.9in",
        116.0,
        1.0,
    );
    pounds("--nail 16d --side 3/4in --gravity 0.5 --penetration 1.62in", 121.0, 1.0);
    pounds("--nail 8d --side 1in --gravity 0.5 --penetration 1.31in", 97.0, 1.0);
    pounds("--nail 10d --side 1-1/2in --gravity 0.55 --penetration 1.48in", 128.0, 1.0);
    pounds(
        "--nail 16d --side 0.060in --side-steel A653-Grade-33 --gravity 0.5 --penetration 1.62in",
        138.0,
        1.0,
    );
    pounds("--nail 10d --side 3/4in --main 2-1/2in --gravity 0.5 --length 3in", 105.1, 0.7);
}

/// NDS-2018 Tables 12A, 12B, 12F as transcribed, and a worked example of all six modes.
#[test]
fn bolts_carry_what_is_published() {
    let alike = "--bolt 1/2 --main 1-1/2in --side 1-1/2in";
    for (angles, wanted) in [
        ("--main-angle 0deg --side-angle 0deg", 480.0),
        ("--main-angle 0deg --side-angle 90deg", 300.0),
        ("--main-angle 90deg --side-angle 0deg", 300.0),
        ("--main-angle 90deg --side-angle 90deg", 220.0),
        ("--double-shear", 1050.0),
        ("--double-shear --main-angle 90deg", 470.0),
    ] {
        pounds(&format!("{alike} --gravity 0.5 {angles}"), wanted, 5.0);
    }
    pounds(&format!("{alike} --gravity 0.42"), 410.0, 5.0);
    pounds("--bolt 1/2 --main 1-1/2in --main-gravity 0.5 --side 1/4in --side-steel A36", 580.0, 5.0);
    let thick = fastener("--bolt 1/2 --main 3-1/2in --side 1-1/2in --gravity 0.5");
    assert_eq!(thick["lateral"]["governing"], "IIIs");
    let modes = thick["lateral"]["modes"].as_array().unwrap();
    assert_eq!(modes.len(), 6);
    for (mode, wanted) in modes.iter().zip([2450.0, 1050.0, 913.0, 1103.0, 615.0, 716.0]) {
        near(&mode["value"]["lb"], wanted, 1.0);
    }
}

/// NDS-2018 Tables 12J and 12K, and the gap of the general dowel equations (computed).
#[test]
fn lags_and_gaps_carry_what_is_published() {
    pounds("--lag 1/4 --side 1/2in --gravity 0.5 --penetration 2.15625in", 120.0, 5.0);
    pounds(
        "--lag 1/4 --side 1/2in --gravity 0.5 --penetration 2.15625in --side-angle 90deg --main-angle 90deg",
        80.0,
        5.0,
    );
    pounds("--lag 1/2 --side 1-1/2in --gravity 0.5 --penetration 4.3125in", 390.0, 5.0);
    let sheet = "--side-steel A653-Grade-33 --side";
    pounds(&format!("--lag 5/16 {sheet} 0.105in --gravity 0.36 --penetration 2.6875in"), 170.0, 5.0);
    pounds(
        &format!("--lag 5/16 {sheet} 0.105in --gravity 0.36 --penetration 2.6875in --main-angle 90deg"),
        110.0,
        5.0,
    );
    pounds(&format!("--lag 3/8 {sheet} 0.075in --gravity 0.67 --penetration 3.21875in"), 220.0, 5.0);
    pounds("--screw 10 --side 3/4in --gravity 0.5 --penetration 1.9in", 106.55, 0.1);
    pounds("--screw 10 --side 3/4in --gravity 0.5 --penetration 1.9in --gap 1/8in", 92.76, 0.1);
}

/// NDS-2018 Tables 12.2A, B, C, pounds an inch of hold; AWC's solved lag and nail; 12.2F for heads.
#[test]
fn pulls_are_what_is_published() {
    for (line, wanted) in [
        ("--lag 3/8 --gravity 0.42 --side 1in --main 3-1/2in --length 4in", 235.0),
        ("--lag 1/4 --gravity 0.36 --side 1in --main 3-1/2in --length 3in", 137.0),
        ("--lag 5/16 --gravity 0.67 --side 1in --main 3-1/2in --length 4in", 413.0),
        ("--screw 10 --gravity 0.5 --side 3/4in --main 3-1/2in --length 3in", 135.0),
        ("--screw 14 --gravity 0.55 --side 3/4in --main 3-1/2in --length 3in", 208.0),
        ("--nail 8d --gravity 0.5 --side 3/4in --main 3-1/2in --length 2-1/2in", 32.0),
        ("--nail 16d --gravity 0.42 --side 3/4in --main 3-1/2in --length 3-1/2in", 26.0),
    ] {
        let pulled = &fastener(line)["withdrawal"];
        let inches = pulled["holds_mm"].as_f64().unwrap() / 25.4;
        let each = pulled["pull_out"]["reference"]["lb"].as_f64().unwrap() / inches;
        near(&json!(each), wanted, 1.0);
    }
    let total = |line: &str| fastener(line)["withdrawal"]["pull_out"]["reference"]["lb"].clone();
    near(
        &total(
            "--nail 8d --length 2-1/2in --side 0.105in --side-steel A36 --main 3-1/2in --main-gravity 0.42",
        ),
        49.5,
        0.1,
    );
    near(&total("--lag 1/2 --length 4in --side 1-1/2in --main 3-1/2in --gravity 0.55"), 955.0, 1.0);
    for (head, side, wanted) in [("0.234in", "5/16in", 40.0), ("0.312in", "1in", 132.0)] {
        let question = json!({
            "fastener": { "kind": "nail", "diameter": "0.131in", "head_diameter": head, "length": "3in" },
            "side": { "gravity": 0.5, "thickness": side }, "main": { "gravity": 0.5, "thickness": "4in" },
        });
        near(&piped("fastener", &question)["withdrawal"]["head"]["reference"]["lb"], wanted, 0.5);
    }
}

/// A chain computed throughout: #8 x 2 in, 3/4 in cedar slat on a cedar rail: 56.2 lb by the equations, 42.8 by the tables' rule,
/// 0.7 of it wet; 53 lb pulled wet. Half of both capacities of a nail is all of it (NDS Eq 12.4-2).
#[test]
fn a_slat_screw_from_end_to_end() {
    let slat = "--screw 8 --length 2in --side 3/4in --main 1-1/2in --wood western_red_cedar --wet";
    let own = fastener(slat);
    let lateral = &own["lateral"];
    let least = lateral["modes"].as_array().unwrap().iter().map(|mode| mode["value"]["lb"].as_f64().unwrap());
    near(&json!(least.fold(f64::MAX, f64::min)), 56.2, 0.1);
    near(&lateral["each"]["reference"]["lb"], 42.8, 0.1);
    near(&lateral["each"]["adjusted"]["lb"], 0.7 * 42.839, 0.1);
    near(&own["withdrawal"]["pull_out"]["adjusted"]["lb"], 53.0, 0.1);
    let longer = fastener(&format!("{slat} --duration ten-minutes"));
    let ratio = longer["lateral"]["each"]["adjusted"]["lb"].as_f64().unwrap() / (0.7 * 42.839);
    near(&json!(ratio), 1.6, 0.005);
    let nail = "--nail 16d --length 3-1/2in --side 1-1/2in --main 3-1/2in --gravity 0.5";
    let free = fastener(nail);
    let half = |own: &Value| format!("{:.9}N", own["all"]["n"].as_f64().unwrap() / 2.0);
    let (shear, pull) = (half(&free["lateral"]), half(&free["withdrawal"]));
    near(&fastener(&format!("{nail} --shear {shear} --pull {pull}"))["utilisation"], 1.0, 1e-6);
}

/// AWC's and HUD's solved examples and an open structural test, by their files; NDS 3.10.4.
#[test]
fn members_are_what_is_published() {
    let deep = piped(
        "beam",
        &json!({
            "breadth": "3-1/2in", "depth": "15-1/4in", "values_psi": [1500, 1000, 180, 625, 1700, 1.9e6, 0.69e6],
            "span": "240in", "case": "centre", "load_n": 1000, "bearing": "3in", "bearing_from_end": "4in",
        }),
    );
    near(&deep["beam_stability"], 0.876, 0.001);
    near(&deep["bearing_factor"], 1.125, 0.001);
    let post = piped(
        "beam",
        &json!({
            "breadth": "3-1/2in", "depth": "3-1/2in", "values_psi": [775, 350, 135, 425, 1150, 1.4e6, 0.51e6],
            "span": "7.3ft", "load_n": 1, "compression_n": 1000, "duration": "two months",
        }),
    );
    near(&post["column_stability"], 0.4378, 0.0005);
    let stud = piped(
        "beam",
        &json!({
            "breadth": "1-1/2in", "depth": "5-1/2in", "values_psi": [1350, 900, 175, 565, 1550, 1.6e6, 0.58e6],
            "span": "108in", "load_n": 4003.4, "unbraced": 0, "compression_n": 6227.5, "duration": "ten minutes",
            "deflection_part": 120, "held_across": true,
        }),
    );
    near(&stud["column_stability"], 0.432, 0.001);
    near(&stud["together"]["share"], 0.887, 0.002);
    let joist = asked(&[
        "beam",
        "--section",
        "2x10",
        "--wood",
        "spruce-pine-fir",
        "--grade",
        "No.2",
        "--span",
        "12ft",
        "--load",
        "1200lb",
        "--unbraced",
        "0in",
    ]);
    near(&json!(joist["bends_mm"].as_f64().unwrap() / 25.4), 0.337, 0.001);
}

/// Wood Handbook, from memory: moisture in air of 70 F; and a board of Douglas-fir from 19 to 12 percent.
#[test]
fn moisture_is_what_is_published() {
    for (fahrenheit, humidity, wanted, tolerance) in [
        ("70F", "30%", 6.2, 0.06),
        ("70F", "65%", 12.0, 0.06),
        ("70F", "75%", 14.4, 0.06),
        ("140F", "55%", 8.4, 0.05),
    ] {
        let own = asked(&["moisture", "--humidity", humidity, "--temperature", fahrenheit]);
        near(&own["to_percent"], wanted, tolerance);
    }
    let board =
        asked(&["moisture", "--wood", "douglas fir", "--width", "5-1/2in", "--from", "19", "--to", "12%"]);
    near(&json!(board["change"]["width_mm"].as_f64().unwrap() / 25.4), -0.10033, 0.001);
}

/// By hand: 8 x 1.25 x 6 x 12/12 is 60; sagitta 24^2 + 6^2 over 12 is 51; 47 = 12 x 3.75 + 2.
#[test]
fn boards_curves_and_slats_by_hand() {
    let pile = asked(&["board-feet", "--section", "5/4x6", "--length", "12ft", "--count", "8"]);
    near(&pile["board_feet"], 60.0, 1e-9);
    let noisy = asked(&["board-feet", "--section", "2x4", "--length", "8ft", "--count", "3"]);
    assert_eq!((&noisy["board_feet"], &noisy["boards"][0]["board_feet"]), (&json!(16.0), &json!(16.0)));
    for line in [
        ["--chord", "48in", "--rise", "6in"],
        ["--chord", "48in", "--radius", "51in"],
        ["--rise", "6in", "--radius", "51in"],
    ] {
        let curve = asked(&[&["curve"], &line[..]].concat());
        for (key, inches) in [("chord_mm", 48.0), ("rise_mm", 6.0), ("radius_mm", 51.0)] {
            near(&json!(curve[key].as_f64().unwrap() / 25.4), inches, 1e-6);
        }
    }
    let slats = asked(&["layout", "--room", "47in", "--slat", "3-1/2in", "--gap", "1/4in"]);
    assert_eq!(slats["count"], 13);
    near(&slats["slats"][12]["from_mm"], 45.0 * 25.4, 1e-3);
    near(&slats["slats"][12]["width_mm"], 2.0 * 25.4, 1e-3);
    let turn = asked(&[
        "layout", "--room", "20in", "--slat", "3in", "--slat", "2in", "--count", "8", "--odd", "gaps",
    ]);
    near(&turn["gap_mm"], 0.0, 1e-3);
}

/// The ends of a batten pushed at its ends stand at the angle whose half has the modulus for its sine; at the crown it is bent most.
/// A nailed batten: y = rise (3 u - 4 u^3), at a quarter 11/16 of the rise, ends rising by 3 rise / chord.
#[test]
fn battens_keep_to_their_equations() {
    let nailed =
        asked(&["curve", "--curve", "nailed-batten", "--chord", "1000mm", "--rise", "100mm", "--steps", "4"]);
    near(&nailed["heights"][1]["height_mm"], 68.75, 0.02);
    near(&json!(nailed["end_angle_deg"].as_f64().unwrap().to_radians().tan()), 0.3, 1e-3);
    near(&nailed["radius_mm"], 1e6 / 1200.0, 1e-6);
    let pushed =
        asked(&["curve", "--curve", "batten", "--chord", "1000mm", "--rise", "100mm", "--steps", "2"]);
    near(&pushed["heights"][1]["height_mm"], 100.0, 0.02);
    // Shallow, the batten is half a sine: 1/R = rise pi^2 / chord^2, length by a quarter of (pi rise / chord)^2.
    let flat = asked(&["curve", "--curve", "batten", "--chord", "1000mm", "--rise", "10mm"]);
    let pi = std::f64::consts::PI;
    near(&json!(flat["radius_mm"].as_f64().unwrap() * 10.0 * pi * pi / 1e6), 1.0, 1e-3);
    near(&flat["length_mm"], 1000.0 + 0.25 * (pi * 10.0).powi(2) / 1000.0, 1e-3);
}

/// More than half a circle has two heights near its ends, and is told none; half of one has none but 0 there.
#[test]
fn curves_beyond_their_chord_have_no_heights() {
    let wide = asked(&["curve", "--chord", "48in", "--rise", "30in"]);
    assert_eq!(wide["heights"], json!([]));
    near(&json!(wide["radius_mm"].as_f64().unwrap() / 25.4), 24.6, 1e-6);
    let half = asked(&["curve", "--chord", "1000mm", "--rise", "500mm", "--steps", "2"]);
    let heights: Vec<f64> =
        half["heights"].as_array().unwrap().iter().map(|own| own["height_mm"].as_f64().unwrap()).collect();
    assert_eq!(heights, [0.0, 500.0, 0.0]);
}

/// A vector across another.
fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    a.map(|own| own / dot(a, a).sqrt())
}

/// The sine of an angle of an answer, in degrees.
fn sine(own: &Value) -> f64 {
    own.as_f64().unwrap().to_radians().sin()
}

/// Against vectors: the mitre is told by how the cut's line across the face leans on the part's length, the bevel by how the cut's
/// plane leans on the face's square.
#[test]
fn saw_settings_are_those_of_the_solid() {
    for (splay, rake) in [(5.0_f64, 8.0_f64), (0.0, 12.0), (20.0, 0.0), (-7.0, 15.0)] {
        let own = asked(&[
            "angle",
            "--rise",
            "400mm",
            "--splay",
            &format!("{splay}deg"),
            "--rake",
            &format!("{rake}deg"),
        ]);
        let along = unit([splay.to_radians().tan(), rake.to_radians().tan(), 1.0]);
        let across = [1.0, 0.0, 0.0];
        let face = unit(cross(along, across));
        near(&json!(sine(&own["mitre_deg"])), dot(along, across), 1e-9);
        near(&json!(sine(&own["bevel_deg"]).abs()), dot(face, [0.0, 0.0, 1.0]).abs(), 1e-9);
        near(&own["length_mm"], 400.0 / along[2], 1e-6);
    }
    for (lean, sides) in [(0.0_f64, 4_u32), (10.0, 4), (25.0, 6), (90.0, 8)] {
        let own = asked(&["angle", "--lean", &format!("{lean}deg"), "--sides", &sides.to_string()]);
        let turn = std::f64::consts::TAU / f64::from(sides);
        let (sin, cos) = lean.to_radians().sin_cos();
        let outward = |at: f64| [at.cos() * cos, at.sin() * cos, -sin];
        // The cut lies in the upright plane half way between two sides; its line in a side's face runs along both.
        let half = [-(turn / 2.0).sin(), (turn / 2.0).cos(), 0.0];
        let (face, length) = (outward(0.0), [0.0, 1.0, 0.0]);
        let line = unit(cross(face, half));
        near(&json!(sine(&own["mitre_deg"])), dot(line, length).abs(), 1e-9);
        near(&json!(sine(&own["bevel_deg"])), dot(half, face).abs(), 1e-9);
        let between = 180.0 - dot(outward(0.0), outward(turn)).acos().to_degrees();
        near(&own["between_faces_deg"], between, 1e-6);
    }
}

/// Two legs hinged at their feet (handbook formula for such frames): with k = (I of the rail / I of a leg) (height / width) a load P
/// in the middle spreads the feet by 3 P width / (8 height (2 k + 3)). A push turns by push x height, held back over the width.
#[test]
fn two_legs_and_a_rail_by_hand() {
    let legs = [
        "frame",
        "--width",
        "3000mm",
        "--height",
        "2000mm",
        "--rail",
        "2x4",
        "--leg",
        "2x4",
        "--wood",
        "white oak",
    ];
    let own = asked(&[&legs[..], &["--load", "1000N", "--push", "100N"]].concat());
    let feet = |combination: &str| {
        let reactions = &own[combination]["reactions"];
        [&reactions["left foot"], &reactions["right foot"]].map(|own| [own[0].clone(), own[2].clone()])
    };
    let [left, right] = feet("the load");
    let thrust = 3.0 * 1000.0 * 3.0 / (8.0 * 2.0 * (2.0 * 2.0 / 3.0 + 3.0));
    near(&left[0], thrust, 0.01 * thrust);
    near(&right[0], -thrust, 0.01 * thrust);
    near(&left[1], 500.0, 1e-6);
    let [left, right] = feet("the load and the push");
    near(&left[1], 500.0 - 100.0 * 2.0 / 3.0, 0.1);
    near(&right[1], 500.0 + 100.0 * 2.0 / 3.0, 0.1);
    // Joints that turn let the middle sink nearly as a rail that lies loose; loads beyond its stand turn it over.
    let loose = asked(&[&legs[..], &["--load", "1000N", "--joint", "1"]].concat());
    let sinks = |own: &Value| own["the load"]["displacements"]["middle"][2].as_f64().unwrap();
    assert!(sinks(&loose) < 1.5 * sinks(&own) && sinks(&own) < 0.0);
    let over = calc(&[&legs[..], &["--load", "100N", "--push", "100N"]].concat(), "").ends(1);
    assert!(over.err().contains("frame-tips"), "{}", over.err());
}

const PORCH: [&str; 15] = [
    "hang",
    "--accept",
    "hanging",
    "--hook-height",
    "94in",
    "--eye-height",
    "20in",
    "--eye-spacing",
    "62in",
    "--eye-depth",
    "18in",
    "--link",
    "1.22in",
    "--load",
    "400lb",
];

/// By hand, hooks straight above: 74 in up and 9 in aside is 74.545; less 4 for fittings 70.545, 57.8 links: the 58th, 70.76, so
/// 0.215 longer. Four chains bear half a weight a side, each by its cosine 74/74.545; swung to 20 degrees 1 + 2 (1 - cos 20).
#[test]
fn a_seat_is_hung_by_whole_links() {
    let own = asked(
        &[&PORCH[..], &["--hook-spacing", "62in", "--fittings", "4in", "--hook-depth", "0in"]].concat(),
    );
    assert_eq!(own["front"]["link"], 58);
    near(&json!(own["front"]["run_mm"].as_f64().unwrap() / 25.4), 74.545, 1e-3);
    near(&json!(own["rear"]["longer_mm"].as_f64().unwrap() / 25.4), 0.215, 1e-3);
    near(&own["front"]["tension"]["lb"], 100.0 * 74.545 / 74.0, 0.02);
    near(&own["hooks"][0]["at_rest"]["lb"], 200.0, 1e-3);
    near(&own["dynamic_factor"], 3.0 - 2.0 * 20.0_f64.to_radians().cos(), 1e-4);
    near(&own["hooks"][1]["swung"]["lb"], 200.0 * own["dynamic_factor"].as_f64().unwrap(), 0.01);
    near(&own["hangs"]["tilt_deg"], 0.0, 1e-3);
    // One hook a side turns the seat about its ring: a link of 1.22 in over 18 in between the eyes is about 4 degrees.
    near(&own["rear_link_shorter_deg"], -4.0, 0.6);
    let tilt = |words: &[&str]| {
        let own = asked(&[&PORCH[..], &["--hook-spacing", "62in"], words].concat());
        own["hangs"]["tilt_deg"].as_f64().unwrap()
    };
    assert!(tilt(&["--load-back", "11in"]) > 1.0, "who leans back tilts it");
    // One more inch would tilt it by 2.7 degrees, and a link more in front only by 1.9, the other way.
    assert!((-2.0..-1.7).contains(&tilt(&["--load-back", "12in"])));
}

/// A link turns this seat by 4.4 degrees: it can hang at 4.4 or 8.8, and 6 is nearer to the first, though the rear chain by itself comes
/// nearer to the second.
#[test]
fn a_seat_is_hung_as_near_to_its_tilt_as_links_allow() {
    let tilted = ["--hook-spacing", "66in", "--fittings", "4in", "--seat", "35kg"];
    for (asked_for, wanted) in [("0deg", 0.0), ("3deg", 4.42), ("6deg", 4.42), ("7deg", 8.84)] {
        let own = asked(&[&PORCH[..], &tilted, &["--tilt", asked_for]].concat());
        near(&own["hangs"]["tilt_deg"], wanted, 0.05);
        assert_eq!(own["front"]["link"], if wanted == 0.0 { 58 } else { 57 });
    }
}

/// Nothing that could be answered is no answer, and what cannot stand together is refused.
#[test]
fn nothing_to_answer_is_refused() {
    let refused = |name: &str, question: Value| calc(&[name, "-"], &question.to_string()).refused();
    let post = CALCULATIONS.iter().find(|own| own.name == "frame").unwrap().example;
    let mut post: Value = serde_json::from_str(post).unwrap();
    let portal =
        json!({ "width": "48in", "height": "17in", "rail": "2x6", "leg": "2x4", "wood": "white oak" });
    post["combinations"] = json!({});
    assert!(refused("frame", post.clone()).contains("no combination to answer"));
    assert!(refused("frame", json!({ "portal": portal })).contains("nothing loads the rail"));
    post["portal"] = portal;
    post["portal"]["load_n"] = json!(100);
    let both = refused("frame", post);
    assert!(both.contains("`portal` and `nodes`") && !both.contains("did you mean"), "{both}");
    assert!(
        refused("moisture", json!({ "wood": "nonsense", "to": { "percent": 9 } }))
            .contains("unknown-species")
    );
    let slats = json!({ "room": "20in", "slat": "3in", "slats": ["3in", "2in"] });
    assert!(refused("layout", slats).contains("`slat` and `slats`"));
    let warm = json!({ "to": { "percent": 9, "temperature_c": -3000 } });
    assert!(refused("moisture", warm).contains("temperature_c"));
}

/// The grain of the main member is what distances are held to; the text says so.
#[test]
fn a_text_says_which_member_its_distances_are_of() {
    let lag = json!({
        "fastener": { "kind": "lag screw", "size": "3/8", "length": "4in" },
        "side": { "gravity": 0.5, "thickness": "1-1/2in" }, "main": { "gravity": 0.5, "thickness": "5-1/2in" },
        "distances": { "end": "1in", "edge": "1in" },
    });
    let text = calc(&["fastener", "-"], &lag.to_string()).ends(0).out();
    assert!(text.contains("those of the main member"), "{text}");
    let strong = json!({ "kind": "lag screw", "size": "3/8", "length": "4in", "bending_yield_mpa": 310 });
    let mut lag = lag;
    lag["fastener"] = strong;
    let text = calc(&["fastener", "-"], &lag.to_string()).ends(0).out();
    assert!(text.contains("psi, as given") && !text.contains("common steel"), "{text}");
}

/// A capacity that is not used up is no leave to cut a deep notch.
#[test]
fn a_deep_notch_is_no_member_that_carries() {
    let rail = json!({
        "section": "2x6", "wood": "douglas fir coast", "grade": "No.2", "span": "4ft", "load_n": 100, "notch_leaves": "3in",
    });
    let run = calc(&["beam", "-"], &rail.to_string()).ends(1);
    assert!(
        run.out().contains("It may NOT be used so") && run.err().contains("notch-weakens"),
        "{}",
        run.out()
    );
}

/// What hooks bear is for a qualified person: as of a whole design it is told to who accepts that.
#[test]
fn hook_loads_of_a_question_are_withheld_until_the_caution_is_accepted() {
    let question = [&PORCH[..], &["--hook-spacing", "62in"]].concat();
    let question: Vec<&str> =
        question.into_iter().filter(|word| !["--accept", "hanging"].contains(word)).collect();
    assert_eq!(asked(&question)["hooks"], Value::Null);
    let text = calc(&question, "").ends(0).out();
    assert!(text.contains("Withheld: ") && text.contains("--accept hanging"), "{text}");
    let accepted = [&question[..], &["--accept", "hanging"]].concat();
    assert_eq!(asked(&accepted)["hooks"].as_array().unwrap().len(), 2);
    assert!(!calc(&accepted, "").ends(0).out().contains("Withheld"));
}

/// What is wrong is the figure that was given, not what follows from it.
#[test]
fn figures_that_are_none_are_told_by_name_and_value() {
    let screw = ["fastener", "--screw", "8", "--wood", "southern_pine"];
    let beam = ["beam", "--wood", "white oak", "--grade", "No.2", "--span", "47in", "--load", "180lb"];
    for (words, name, value) in [
        (
            &[&screw[..], &["--side", "3/4in", "--main=-1in"]].concat(),
            "thickness of the main member",
            "-25.4",
        ),
        (
            &[&screw[..], &["--side", "0in", "--main", "1-1/2in"]].concat(),
            "thickness of the side member",
            "is 0 ",
        ),
        (&[&beam[..], &["--breadth", "0in", "--depth", "3in"]].concat(), "breadth", "is 0 "),
        (&[&beam[..], &["--breadth", "2in", "--depth=-3in"]].concat(), "depth", "-76.2"),
    ] {
        let told = calc(words, "").refused();
        assert!(told.contains(name) && told.contains(value) && told.contains("give the "), "{told}");
        assert!(!told.contains("length-chosen") && !told.contains("incomplete-question"), "{told}");
    }
    for number in ["nan", "inf"] {
        let words = ["fastener", "--screw", "8", "--side", "3/4in", "--main", "2in", "--gravity", number];
        let told = calc(&words, "").refused();
        assert!(told.contains("--gravity") && told.contains("write a number"), "{told}");
    }
    let mut frame: Value =
        serde_json::from_str(CALCULATIONS.iter().find(|own| own.name == "frame").unwrap().example).unwrap();
    frame["members"][0]["E"] = json!(1e300);
    let told = calc(&["frame", "-"], &frame.to_string()).refused();
    assert!(told.contains("E of member") && told.contains("is 1e300; it must be at most 1e13"), "{told}");
}

#[test]
fn a_site_says_where_the_hooks_are() {
    let site = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/boathouse_swing/site.toml");
    let words = ["hang", "--accept", "hanging", "--site", site.to_str().unwrap(), "--eye-height", "20in"];
    let rest = ["--eye-spacing", "62in", "--eye-depth", "18in", "--link", "1.22in", "--load", "400lb"];
    let by_site = asked(&[&words[..], &rest].concat());
    let by_flags = asked(&[&PORCH[..], &["--hook-spacing", "66in"]].concat());
    assert_eq!(by_site, by_flags);
    let moved = asked(&[&words[..], &rest, &["--hook-height", "96in"]].concat());
    assert_ne!(moved["front"]["run_mm"], by_site["front"]["run_mm"], "a flag goes over the site");
}

#[test]
fn examples_of_all_helps_are_answered() {
    for own in CALCULATIONS {
        let run = calc(&[own.name, "-", "--format", "json"], own.example);
        assert!(run.code() < 2, "{}: {}", own.name, run.err());
        run.json();
        let text = calc(&[own.name, "-"], own.example);
        assert!(text.out().lines().all(|line| line.chars().count() <= 100), "{}", text.out());
        let help = calc(&[own.name, "--help"], "").ends(0).out();
        assert!(help.contains(own.example.lines().next().unwrap()), "{}", own.name);
    }
}

#[test]
fn flags_go_over_a_file() {
    let file = json!({
        "fastener": { "kind": "wood screw", "size": "#8", "length": "2in" },
        "side": { "wood": "western red cedar", "thickness": "3/4in" },
        "main": { "wood": "western red cedar", "thickness": "1-1/2in" },
    });
    let over =
        calc(&["fastener", "-", "--screw", "10", "--side", "1/2in", "--format", "json"], &file.to_string())
            .json();
    let by_flags = fastener("--screw 10 --length 2in --side 1/2in --main 1-1/2in --wood western_red_cedar");
    assert_eq!(over, by_flags);
    let steel = ["fastener", "-", "--side-steel", "A36", "--side", "1/4in", "--format", "json"];
    let over = calc(&steel, &file.to_string()).json();
    let by_flags =
        "--screw 8 --length 2in --side 1/4in --side-steel A36 --main 1-1/2in --main-wood western_red_cedar";
    assert_eq!(over, fastener(by_flags));
    let slats = json!({ "room": "20in", "slat": "3in" }).to_string();
    let over = calc(&["layout", "-", "--slat", "2in", "--format", "json"], &slats).json();
    assert_eq!(over, asked(&["layout", "--room", "20in", "--slat", "2in"]));
}

#[test]
fn answers_read_well_at_the_bench() {
    let text = |words: &[&str]| {
        let run = calc(words, "");
        assert!(run.code() < 2, "{}", run.err());
        format!("{}---\n{}", run.out(), run.err())
    };
    insta::assert_snapshot!(text(&[
        "fastener",
        "--screw",
        "8",
        "--side",
        "3/4in",
        "--main",
        "1-1/2in",
        "--wood",
        "southern_pine"
    ]));
    insta::assert_snapshot!(text(&[
        "beam",
        "--section",
        "2x6",
        "--flat",
        "--wood",
        "western red cedar",
        "--grade",
        "No.2",
        "--span",
        "47in",
        "--load",
        "180lb",
        "--case",
        "centre",
        "--wet",
        "--units",
        "both",
    ]));
    insta::assert_snapshot!(text(&[
        "moisture",
        "--wood",
        "white oak",
        "--width",
        "5-1/2in",
        "--from",
        "8%",
        "--humidity",
        "80%"
    ]));
    insta::assert_snapshot!(text(&[
        "board-feet",
        "--section",
        "2x4",
        "--length",
        "8ft",
        "--count",
        "3",
        "--wood",
        "white oak"
    ]));
    insta::assert_snapshot!(text(&[
        "layout",
        "--room",
        "20in",
        "--slat",
        "3-1/2in",
        "--gap",
        "1/4in",
        "--start",
        "centre-slat"
    ]));
    insta::assert_snapshot!(text(&["angle", "--rise", "17in", "--splay", "5deg", "--rake", "8deg"]));
    insta::assert_snapshot!(text(&["angle", "--lean", "10deg", "--sides", "4"]));
    insta::assert_snapshot!(text(&[
        "curve",
        "--curve",
        "batten",
        "--chord",
        "1200mm",
        "--rise",
        "150mm",
        "--thickness",
        "6mm",
        "--units",
        "mm"
    ]));
    insta::assert_snapshot!(text(
        &[&PORCH[..], &["--hook-spacing", "66in", "--fittings", "4in", "--seat", "80lb"]].concat()
    ));
    insta::assert_snapshot!(text(&["swing", "--load", "400lb", "--radius", "6ft", "--angle", "20deg"]));
    insta::assert_snapshot!(text(&[
        "frame",
        "--width",
        "48in",
        "--height",
        "17in",
        "--rail",
        "2x6",
        "--leg",
        "2x4",
        "--wood",
        "white oak",
        "--load",
        "400lb",
        "--push",
        "60lb",
        "--joint",
        "4500",
    ]));
}

#[test]
fn reference_cases_read_well_at_the_bench() {
    let text = |name: &str, folder: &str, case: &str| {
        let (_, question, _) = cases(folder).into_iter().find(|own| own.0 == case).unwrap();
        let run = calc(&[name, "-", "--units", "mm"], &question.to_string());
        format!("{}---\n{}", run.out(), run.err())
    };
    insta::assert_snapshot!(text("frame", "frames", "11-tension-only-bracing"));
    insta::assert_snapshot!(text("frame", "frames", "19-tipping-detected"));
    insta::assert_snapshot!(text("swing", "swing", "s7-front-chain-slack"));
    insta::assert_snapshot!(text("swing", "swing", "s8-tips"));
    insta::assert_snapshot!(text("swing", "swing", "d4-ring-chain-split-25deg"));
}

/// A wrong key deep in a file is told by file, line and column, with a caret under it.
#[test]
fn a_wrong_key_of_a_file_is_told_at_its_line() {
    let frame = "{\n  \"nodes\": [\n    { \"id\": \"a\", \"xyz\": [0, 0, 0] },\n    { \"idd\": \"b\", \"xyz\": [0, 0] }\n  ]\n}\n";
    let told = calc(&["frame", "-"], frame).refused();
    assert!(told.contains("there is no `idd` here\n --> standard input:4:7\n"), "{told}");
    assert!(told.contains("4 |     { \"idd\": \"b\", \"xyz\": [0, 0] }\n  |       ^^^^^\n"), "{told}");
    assert!(told.contains("standard input:4:19\n"), "{told}");
    assert!(told.contains("`combinations` is missing here\n--> standard input\n"), "{told}");
}

#[test]
fn what_is_wrong_is_told_with_place_value_and_remedy() {
    let told = |words: &[&str], input: &str| calc(words, input).refused();
    let all = [
        told(&["fastener"], ""),
        told(&["fastener", "-"], "{ \"fastener\": "),
        told(&["fastener", "-"], "[1, 2]"),
        told(&["fastener", "-"], "{ \"fastner\": {}, \"side\": { \"thickness\": \"3/4\" }, \"main\": 7 }"),
        told(&["fastener", "no-such.json"], ""),
        told(&["fastener", "--screw", "8", "--side", "3/4in", "--wood", "southern_pine"], ""),
        told(&["fastener", "--screw", "99", "--side", "3/4in", "--main", "1-1/2in", "--wood", "oakk"], ""),
        told(
            &[
                "fastener",
                "--bolt",
                "1/2",
                "--side",
                "1in",
                "--main",
                "2in",
                "--wood",
                "white_oak",
                "--end-grain",
            ],
            "",
        ),
        told(
            &[
                "fastener",
                "--screw",
                "8",
                "--side",
                "0in",
                "--main",
                "1-1/2in",
                "--wood",
                "white_oak",
                "--length",
                "2in",
            ],
            "",
        ),
        told(&["beam", "--section", "2x6", "--wood", "white oak", "--span", "4ft", "--load", "100lb"], ""),
        told(&["beam", "--section", "2x66", "--wood", "white oak", "--span", "4ft", "--load", "100lb"], ""),
        told(&["moisture", "--humidity", "130%"], ""),
        told(&["board-feet", "--section", "2x4"], ""),
        told(&["layout", "--room", "2in", "--slat", "3-1/2in"], ""),
        told(&["layout", "--room", "20in", "--slat", "3in", "--odd", "fill"], ""),
        told(&["angle", "--rise", "17in"], ""),
        told(&["angle", "--lean", "10deg", "--sides", "2"], ""),
        told(&["curve", "--chord", "48in"], ""),
        told(&["curve", "--chord", "48in", "--radius", "20in"], ""),
        told(&["curve", "--chord", "48in", "--rise", "60in", "--curve", "batten"], ""),
        told(&["hang", "--hook-height", "94in"], ""),
        told(&[&PORCH[..], &["--hook-spacing", "62in", "--fittings", "90in"]].concat(), ""),
        told(&[&PORCH[..], &["--hook-spacing", "62in", "--load-up", "90in"]].concat(), ""),
        told(&["swing", "--load", "400lb", "--radius", "6ft", "--angle", "120deg"], ""),
        told(&["frame"], ""),
        told(&["frame", "-"], "{}"),
        told(&["frame", "-"], "{ \"nodes\": [] }"),
    ];
    insta::assert_snapshot!(all.join("\n"));
}

#[test]
fn what_clap_refuses_names_the_flag() {
    for (words, wanted) in [
        (&["fastener", "--side", "3 bananas"][..], "--side"),
        (&["beam", "--load", "12"], "250lb"),
        (&["angle", "--rise", "17in", "--splay", "5"], "--splay"),
        (&["fastener", "--screw", "8", "--lag", "1/4"], "--lag"),
        (&["moisture", "--temperature", "50F"], "--humidity"),
        (&["swign"], "swing"),
    ] {
        let told = calc(words, "").refused();
        assert!(told.contains(wanted), "{told}");
    }
}
