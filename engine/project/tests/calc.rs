//! Shop questions as their JSON asks them. The published figures are those that the solvers are held to
//! (`engine/checks/tests/timber`, with their sources); here they must come out of the catalogue's own fasteners and woods.

use proptest::prelude::*;
use serde_json::{Value, json};
use slatwork_base::{Diagnostic, Outcome};
use slatwork_catalog::Catalogue;
use slatwork_project::calc::{CALCULATIONS, Setting, Watch, beam, board_feet, fastener, moisture};
use slatwork_project::{Caution, Units};
use std::collections::BTreeMap;

/// The answer with its warnings.
#[track_caller]
fn told<T>(outcome: Outcome<T>) -> (T, Vec<&'static str>) {
    let troubles: Vec<String> = outcome.diagnostics.iter().map(ToString::to_string).collect();
    let value = outcome.value.unwrap_or_else(|| panic!("{}", troubles.join("\n")));
    (value, codes(&outcome.diagnostics))
}

fn codes(diagnostics: &[Diagnostic]) -> Vec<&'static str> {
    diagnostics.iter().map(|trouble| trouble.code).collect()
}

#[track_caller]
fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found} is not {wanted} within {tolerance}");
}

fn asked(question: Value) -> serde_json::Map<String, Value> {
    question.as_object().unwrap().clone()
}

fn ask_fastener(question: Value) -> Outcome<fastener::Answer> {
    fastener::question(&asked(question)).then(|own| fastener::answer(&own, Catalogue::shared()))
}

#[track_caller]
fn joined(question: Value) -> fastener::Answer {
    told(ask_fastener(question)).0
}

fn ask_beam(question: Value) -> Outcome<beam::Answer> {
    beam::question(&asked(question)).then(|own| beam::answer(&own, Catalogue::shared()))
}

fn ask_moisture(question: Value) -> Outcome<moisture::Answer> {
    moisture::question(&asked(question)).then(|own| moisture::answer(&own, Catalogue::shared()))
}

fn ask_board_feet(question: Value) -> Outcome<board_feet::Answer> {
    board_feet::question(&asked(question)).then(|own| board_feet::answer(&own, Catalogue::shared()))
}

/// NDS Tables 12L, 12M, 12N, 12J and 12K: kind, size, side, main gravity, angle, penetration, pounds, tolerance.
#[test]
fn screws_nails_and_lags_of_the_catalogue_carry_what_the_tables_print() {
    let wood = |gravity: f64, thickness: &str| json!({ "gravity": gravity, "thickness": thickness });
    let sheet = |thickness: &str| json!({ "steel": "A653 Grade 33", "thickness": thickness });
    let lag = |size: &str, side: Value, gravity: f64, degrees: f64, through: &str, pounds: f64| {
        ("lag screw", json!({ "size": size }), side, gravity, degrees, through.to_string(), pounds, 5.0)
    };
    let across = json!({ "gravity": 0.5, "thickness": "1/2in", "angle_deg": 90 });
    let screw = |size: &str, side: Value, through: &str, pounds: f64| {
        ("wood screw", json!({ "size": size }), side, 0.5, 0.0, through.to_string(), pounds, 1.0)
    };
    let nail = |diameter: &str, side: Value, gravity: f64, through: &str, pounds: f64| {
        ("nail", json!({ "diameter": diameter }), side, gravity, 0.0, through.to_string(), pounds, 1.0)
    };
    let cells = [
        screw("#10", wood(0.5, "1/2in"), "1.9in", 90.0),
        screw("#8", wood(0.5, "1/2in"), "1.64in", 73.0),
        screw("#14", wood(0.5, "1/2in"), "2.42in", 120.0),
        screw("#10", wood(0.5, "1-1/2in"), "1.9in", 117.0),
        screw("#10", sheet("0.060in"), "1.9in", 116.0),
        nail("0.162in", wood(0.5, "3/4in"), 0.5, "1.62in", 121.0),
        nail("0.131in", wood(0.5, "1in"), 0.5, "1.31in", 97.0),
        nail("0.148in", wood(0.55, "1-1/2in"), 0.55, "1.48in", 128.0),
        nail("0.162in", sheet("0.060in"), 0.5, "1.62in", 138.0),
        lag("1/4", wood(0.5, "1/2in"), 0.5, 0.0, "2.15625in", 120.0),
        lag("1/4", across, 0.5, 90.0, "2.15625in", 80.0),
        lag("1/2", wood(0.5, "1-1/2in"), 0.5, 0.0, "4.3125in", 390.0),
        lag("5/16", sheet("0.105in"), 0.36, 0.0, "2.6875in", 170.0),
        lag("5/16", sheet("0.105in"), 0.36, 90.0, "2.6875in", 110.0),
        lag("3/8", sheet("0.075in"), 0.67, 0.0, "3.21875in", 220.0),
    ];
    for (kind, mut fastener, side, gravity, degrees, penetration, pounds, tolerance) in cells {
        fastener["kind"] = json!(kind);
        let answer = joined(json!({
            "fastener": fastener,
            "side": side,
            "main": { "gravity": gravity, "angle_deg": degrees },
            "penetration": penetration,
        }));
        near(answer.lateral.each.reference.lb, pounds, tolerance);
        assert_eq!(answer.lateral.by_table, None, "{kind}");
        assert_eq!(answer.lateral.modes.len(), 6);
    }
}

/// NDS Tables 12A, 12B and 12F.
#[test]
fn bolts_of_the_catalogue_carry_what_the_tables_print() {
    let member = |gravity: f64, thickness: &str, degrees: f64| json!({ "gravity": gravity, "thickness": thickness, "angle_deg": degrees });
    let fir = |degrees| member(0.5, "1-1/2in", degrees);
    let bolt = |size: &str, main: Value, side: Value, shear: &str| {
        joined(
            json!({ "fastener": { "kind": "bolt", "size": size }, "main": main, "side": side, "shear": shear }),
        )
    };
    for (main, side, pounds) in
        [(0.0, 0.0, 480.0), (0.0, 90.0, 300.0), (90.0, 0.0, 300.0), (90.0, 90.0, 220.0)]
    {
        near(bolt("1/2", fir(main), fir(side), "single").lateral.each.reference.lb, pounds, 5.0);
    }
    let spruce = member(0.42, "1-1/2in", 0.0);
    near(bolt("1/2", spruce.clone(), spruce, "single").lateral.each.reference.lb, 410.0, 5.0);
    let plate = json!({ "steel": "A36", "thickness": "1/4in" });
    near(bolt("1/2", fir(0.0), plate, "single").lateral.each.reference.lb, 580.0, 5.0);
    let double = bolt("1/2", fir(0.0), fir(0.0), "double");
    near(double.lateral.each.reference.lb, 1050.0, 5.0);
    assert_eq!((double.lateral.governing, double.lateral.modes.len()), ("Im", 4));
    assert_eq!(double.withdrawal, None, "a bolt is not pulled out of wood");
    near(bolt("1/2", fir(90.0), fir(0.0), "double").lateral.each.reference.lb, 470.0, 5.0);
    let thick = member(0.5, "3-1/2in", 0.0);
    let wide = json!({ "kind": "bolt", "diameter": "3/4in" });
    for (degrees, pounds) in [(0.0, 1200.0), (90.0, 590.0)] {
        let question = json!({ "fastener": wide, "main": thick, "side": fir(degrees) });
        near(joined(question).lateral.each.reference.lb, pounds, 5.01);
    }
    let modes = bolt("1/2", thick, fir(0.0), "single").lateral.modes;
    let wanted = [2450.0, 1050.0, 913.0, 1103.0, 615.0, 716.0];
    assert_eq!(modes.len(), wanted.len());
    modes.iter().zip(wanted).for_each(|(mode, pounds)| near(mode.value.lb, pounds, 1.0));
}

/// The question of the module's own documentation.
fn slat_screw() -> Value {
    json!({
        "fastener": { "kind": "wood screw", "size": "#8", "length": "2in" },
        "side": { "wood": "western red cedar", "thickness": "3/4in" },
        "main": { "wood": "western red cedar", "thickness": "1-1/2in" },
        "wet_used": true,
    })
}

/// A chain computed throughout: 56.2 lb by the equations, 42.8 by the tables' rule, wet 0.7; 53 lb pulled.
#[test]
fn a_screw_of_a_cedar_slat() {
    let answer = joined(slat_screw());
    near(answer.lateral.modes.iter().map(|mode| mode.value.lb).fold(f64::MAX, f64::min), 56.2, 0.1);
    assert_eq!(answer.lateral.rule, "penetration");
    near(answer.lateral.each.reference.lb, 42.8, 0.1);
    near(answer.lateral.each.adjusted.lb, 0.7 * 42.839, 0.1);
    let pulled = answer.withdrawal.clone().unwrap();
    near(pulled.pull_out.adjusted.lb, 53.0, 0.1);
    // 690 pi G2 DH times what the head leaves of 3/4 in, with the head of the standard's table (NDS Eq 12.2-6a).
    let left = 0.75 - (0.312 - 0.164) / 2.0 / slatwork_base::maths::tan(41.0_f64.to_radians());
    let head = 690.0 * core::f64::consts::PI * 0.36 * 0.36 * 0.312 * left;
    near(pulled.head.as_ref().unwrap().reference.lb, head, 1e-6);
    insta::assert_snapshot!(serde_json::to_string_pretty(&answer).unwrap());
}

/// AWC's solved withdrawal examples: a nail through steel, a lag in pine.
#[test]
fn whole_fasteners_pulled() {
    let nail = joined(json!({
        "fastener": { "kind": "nail", "diameter": "0.131in", "length": "2-1/2in" },
        "side": { "steel": "A36", "thickness": "0.105in" },
        "main": { "gravity": 0.42, "thickness": "3-1/2in" },
    }));
    near(nail.withdrawal.unwrap().pull_out.reference.lb, 49.5, 0.1);
    let lag = joined(json!({
        "fastener": { "kind": "lag screw", "size": "1/2", "length": "4in" },
        "side": { "gravity": 0.55, "thickness": "1-1/2in" },
        "main": { "gravity": 0.55, "thickness": "3-1/2in" },
    }));
    near(lag.withdrawal.unwrap().pull_out.reference.lb, 955.0, 1.0);
}

/// NDS Eq 12.4-1 and 12.4-2 on the joint's own values; four fasteners carry four times as much.
#[test]
fn shear_and_pull_use_the_joint_up_together() {
    let mut question = slat_screw();
    question["count"] = json!(4);
    let free = joined(question.clone());
    let (z, w) = (free.lateral.all.n, free.withdrawal.as_ref().unwrap().all.n);
    near(z, 4.0 * free.lateral.each.adjusted.n, 1e-9);
    assert_eq!(free.utilisation, None);
    question["shear_n"] = json!(z / 2.0);
    near(joined(question.clone()).utilisation.unwrap(), 0.5, 1e-9);
    question["pull_n"] = json!(w / 2.0);
    let together = joined(question).utilisation.unwrap();
    let resultant = (z * z + w * w).sqrt() / 2.0;
    near(together, (z / 4.0 + w / 4.0) / resultant, 1e-9);
}

/// Group action and distances of bolts: NDS Table 11.3.6A and 12.5.1.
#[test]
fn rows_and_distances_of_bolts_count() {
    let mut question = json!({
        "fastener": { "kind": "bolt", "diameter": "1in" },
        "side": { "gravity": 0.5, "thickness": "1-1/2in" },
        "main": { "gravity": 0.5, "thickness": "1-1/2in" },
        "count": 4,
        "row": { "count": 4, "spacing": "4in", "main_mpa": 9652.66, "main_mm2": 7741.92, "sides_mpa": 9652.66, "sides_mm2": 7741.92 },
        "distances": { "end": "3-1/2in", "towards_end": true, "in_row": "4in" },
    });
    let factor = |answer: &fastener::Answer, symbol: &str| {
        answer.lateral.each.factors.iter().find(|factor| factor.symbol == symbol).unwrap().value
    };
    let answer = joined(question.clone());
    near(factor(&answer, "Cg"), 0.96, 0.005);
    near(factor(&answer, "CΔ"), 0.5, 1e-9);
    let few = |count: Value| {
        let mut question = question.clone();
        question["count"] = count;
        codes(&ask_fastener(question).diagnostics)
    };
    assert_eq!((few(json!(3)), few(json!(null))), (vec!["incomplete-question"], vec!["incomplete-question"]));
    question["distances"]["end"] = json!("3in");
    assert_eq!(codes(&ask_fastener(question).diagnostics), ["distance-too-small"]);
}

#[test]
fn end_grain_holds_across_and_not_along() {
    let mut question = slat_screw();
    question["main"]["end_grain"] = json!(true);
    question["main"]["thickness"] = json!("3in");
    let answer = joined(question.clone());
    assert_eq!(answer.withdrawal, None);
    let end = answer.lateral.each.factors.iter().find(|factor| factor.symbol == "Ceg").unwrap();
    near(end.value, 0.67, 0.0);
    question["pull_n"] = json!(50);
    let pulled = ask_fastener(question);
    assert_eq!((pulled.value, codes(&pulled.diagnostics)), (None, vec!["end-grain-carries-load"]));
}

/// NDS 12.5.2.1: a lag pulled from end grain keeps three quarters, as a factor beside the others.
#[test]
fn a_lag_in_end_grain_shows_what_it_loses() {
    let lag = |end_grain: bool| {
        let question = json!({
            "fastener": { "kind": "lag screw", "size": "3/8", "length": "4in" },
            "side": { "gravity": 0.5, "thickness": "1-1/2in" },
            "main": { "gravity": 0.5, "thickness": "5-1/2in", "end_grain": end_grain },
        });
        joined(question).withdrawal.unwrap().pull_out
    };
    let (side, end) = (lag(false), lag(true));
    near(end.reference.n, side.reference.n, 1e-9);
    near(end.adjusted.n, 0.75 * side.adjusted.n, 1e-9);
    let factor = |symbol| end.factors.iter().find(|factor| factor.symbol == symbol).unwrap();
    assert_eq!((factor("Ceg").value, factor("Ceg").source), (0.75, "NDS 12.5.2.1, read"));
}

/// A hold that no screw of that length comes to is refused, a sunk head reaches farther: 2 in through 3/4 in is 1-1/4 in; with
/// 1/2 in of wood left under a head 0.085 in high 1.415 in. No more than the rail of 1-1/2 in in any case.
#[test]
fn a_penetration_is_held_to_the_length_and_the_wood() {
    let held = |penetration: &str, change: fn(&mut Value)| {
        let mut question = slat_screw();
        question["penetration"] = json!(penetration);
        change(&mut question);
        let outcome = ask_fastener(question);
        (outcome.value.is_some(), codes(&outcome.diagnostics))
    };
    let (fine, refused) = ((true, vec![]), (false, vec!["incomplete-question"]));
    assert_eq!(held("1-1/4in", |_| ()), fine);
    assert_eq!(held("1-3/8in", |_| ()), refused);
    assert_eq!(held("1-1/4in", |q| q["gap"] = json!("1/8in")), refused);
    assert_eq!(held("1-3/8in", |q| q["side"]["under_head"] = json!("1/2in")), fine);
    assert_eq!(held("1-7/16in", |q| q["side"]["under_head"] = json!("1/2in")), refused);
    let no_length = |q: &mut Value| {
        q["fastener"].as_object_mut().unwrap().remove("length");
    };
    assert_eq!(held("1-1/2in", no_length), (true, vec!["thread-assumed"]));
    assert_eq!(held("6in", no_length), refused);
}

#[test]
fn what_is_not_counted_is_told() {
    let mut nail = json!({
        "fastener": { "kind": "nail", "size": "8d", "length": "2-1/2in" },
        "side": { "gravity": 0.5, "thickness": "3/4in" }, "main": { "gravity": 0.5, "thickness": "3in" },
        "distances": { "end": 1 },
    });
    let (thin, notes) = told(ask_fastener(nail.clone()));
    assert_eq!(notes, ["distances-not-counted"]);
    nail.as_object_mut().unwrap().remove("distances");
    let (free, notes) = told(ask_fastener(nail));
    assert_eq!((free.lateral, notes), (thin.lateral, vec![]));
}

/// NDS 12.1.6.3 and 12.5.4: bearing lengths by hand for a 16d nail, 1.1667 and 1.8644 in with half the tip taken off.
#[test]
fn a_toe_nail() {
    let answer = joined(json!({
        "fastener": { "kind": "nail", "diameter": "0.162in", "length": "3-1/2in" },
        "side": { "gravity": 0.5, "thickness": "1-1/2in" },
        "main": { "gravity": 0.5, "thickness": "3-1/2in" },
        "toe_nail": true,
        "wet_used": true,
    }));
    near(answer.lateral.penetration_mm.unwrap() / 25.4, 1.8644, 1e-4);
    let factors = |force: &slatwork_project::calc::figure::AdjustedForce| {
        force.factors.iter().map(|factor| (factor.symbol, factor.value)).collect::<Vec<_>>()
    };
    assert!(factors(&answer.lateral.each).contains(&("Ctn", 0.83)));
    let pulled = answer.withdrawal.unwrap();
    assert!(factors(&pulled.pull_out).contains(&("Ctn", 0.67)));
    assert!(factors(&pulled.pull_out).contains(&("CM", 1.0)), "a toe-nail takes no CM");
    assert_eq!(pulled.head, None);
}

/// Of 1-1/2, 1-3/4, 2, 2-1/2 in, through 3/4 into 1-1/2 in less 3 mm: 2 in.
#[test]
fn a_length_that_is_left_out_is_chosen_and_told() {
    let mut question = slat_screw();
    question["fastener"].as_object_mut().unwrap().remove("length");
    let (answer, notes) = told(ask_fastener(question));
    assert_eq!((answer.length_mm, notes), (Some(50.8), vec!["length-chosen"]));
    assert_eq!(answer.lateral, joined(slat_screw()).lateral);
}

#[test]
fn a_load_over_the_capacity_is_told() {
    let mut question = slat_screw();
    question["shear_n"] = json!(200);
    let (answer, told) = told(ask_fastener(question));
    assert!(answer.utilisation.unwrap() > 1.0);
    assert_eq!(told, ["over-capacity"]);
}

#[test]
fn what_cannot_be_answered_says_why() {
    let with = |change: fn(&mut Value)| {
        let mut question = slat_screw();
        change(&mut question);
        let outcome = ask_fastener(question);
        assert!(outcome.value.is_none());
        codes(&outcome.diagnostics)
    };
    assert_eq!(with(|q| q["fastener"]["length"] = json!("1-1/4in")), ["too-little-penetration"]);
    assert_eq!(with(|q| q["fastener"]["size"] = json!("#9999")), ["unknown-fastener"]);
    assert_eq!(with(|q| q["fastener"]["kind"] = json!("wood scrw")), ["unknown-word"]);
    assert_eq!(with(|q| q["side"]["thickness"] = json!(0)), ["not-greater-than-zero"]);
    assert_eq!(with(|q| q["side"]["thickness"] = json!(-5))[0], "not-greater-than-zero");
    assert_eq!(with(|q| q["side"]["wood"] = json!("cheddar")), ["unknown-species"]);
    assert_eq!(with(|q| q["main"]["gravity"] = json!(0.4)), ["incomplete-question"]);
    assert_eq!(with(|q| q["main"] = json!({ "gravity": 0, "thickness": 38 })), ["not-greater-than-zero"]);
    assert_eq!(with(|q| q["main"]["angle_deg"] = json!(120)), ["outside-what-is-known"]);
    assert_eq!(with(|q| q["shear"] = json!("double")), ["incomplete-question"]);
    assert_eq!(with(|q| q["count"] = json!(0)), ["incomplete-question"]);
    assert_eq!(with(|q| q["temperature_c"] = json!(90)), ["outside-what-is-known"]);
    assert_eq!(
        with(|q| {
            q["fastener"] = json!({ "kind": "nail", "diameter": "0.131in" });
        }),
        ["incomplete-question"]
    );
    assert_eq!(with(|q| q["fastner"] = json!({})), ["unknown-key"]);
    assert_eq!(with(|q| q["side"]["thickness"] = json!("3/4")), ["wrong-value"]);
    assert_eq!(with(|q| q["side"] = json!(null)), ["missing-key"]);
    let refused = ["incomplete-question"];
    assert_eq!(with(|q| q["toe_nail"] = json!(true)), refused);
    assert_eq!(with(|q| q["side"]["end_grain"] = json!(true)), refused);
    assert_eq!(with(|q| q["main"]["steel"] = json!("A36")), refused);
    assert_eq!(with(|q| q["fastener"]["shank"] = json!("smooth nail")), refused);
    assert_eq!(
        with(|q| {
            q["fastener"] = json!({ "kind": "bolt", "diameter": "1/4in" });
            q["penetration"] = json!("1in");
        }),
        refused
    );
    assert_eq!(
        with(|q| {
            q["fastener"] = json!({ "kind": "nail", "size": "8d", "length": "2-1/2in" });
            q["toe_nail"] = json!(true);
            q["penetration"] = json!("1in");
        }),
        refused
    );
}

/// A 2x10 of 12 ft (open structural test): 0.337 in from bending, 40 of 100 plf that stay with Kcr 1.5: 0.404 in, and shear besides.
#[test]
fn a_joist_by_its_values() {
    let plf = 4.448_221_615_260_5 * 12.0;
    let (answer, _) = told(ask_beam(json!({
        "section": "2x10", "values_psi": [875, 450, 135, 425, 1150, 1.4e6, 0.51e6],
        "span": "12ft", "load_n": 100.0 * plf, "lasting_n": 40.0 * plf, "unbraced": 0, "bearing": "1-1/2in",
        "deflection_part": 360,
    })));
    near(answer.bends_mm / 25.4, 0.337, 0.001);
    let sag = answer.limits.iter().find(|limit| limit.limit == "deflection").unwrap();
    near(sag.demand, (answer.bends_mm + answer.shears_mm) * 1.2, 1e-9);
    near(answer.bends_mm * 1.2 / 25.4, 0.404, 0.001);
    assert_eq!((answer.basis, answer.beam_stability), ("given", 1.0));
    assert_eq!(answer.limits.len(), 4);
}

/// AWC Solved Examples E1.2a and E1.7: CL 0.876, CP 0.432, and 0.887 of a stud that bends.
#[test]
fn published_members_by_their_sizes() {
    let (deep, _) = told(ask_beam(json!({
        "breadth": "3-1/2in", "depth": "15-1/4in", "values_psi": [1500, 1000, 180, 625, 1700, 1.9e6, 0.69e6],
        "span": "240in", "case": "centre", "load_n": 1000, "bearing": "3in",
    })));
    near(deep.beam_stability, 0.876, 0.001);
    // The stud is held across; bent about its weak axis alone the column would be too slender, and that is told.
    let stud = json!({
        "breadth": "1-1/2in", "depth": "5-1/2in", "values_psi": [1350, 900, 175, 565, 1550, 1.6e6, 0.58e6],
        "span": "108in", "load_n": 4003.4, "unbraced": 0, "bearing": "1-1/2in", "compression_n": 6227.5,
        "duration": "ten minutes", "deflection_part": 120,
    });
    assert_eq!(codes(&ask_beam(stud.clone()).diagnostics), ["too-slender"]);
    let mut held = stud;
    held["held_across"] = json!(true);
    let (held, _) = told(ask_beam(held));
    near(held.column_stability.unwrap(), 0.432, 0.001);
    let together = held.together.unwrap();
    near(together.share, 0.887, 0.002);
    assert_eq!((together.equation, held.governing), ("3.9-3", "bending and load along"));
}

/// The question of the module's own documentation: Western Cedars No.2, 700 psi x CF 1.3 x Cfu 1.15, no CM under 1150 psi.
#[test]
fn a_cedar_slat_by_its_grade() {
    let slat = json!({
        "section": "2x6", "flat": true, "wood": "western red cedar", "grade": "No.2",
        "span": "47in", "case": "centre", "load_n": 800, "bearing": "1-1/2in", "wet": true,
    });
    let (answer, warnings) = told(ask_beam(slat.clone()));
    assert_eq!((answer.basis, warnings), ("published", vec!["over-capacity"]));
    near(answer.values.bending.adjusted.psi, 700.0 * 1.3 * 1.15, 1e-6);
    let bending = answer.limits.iter().find(|limit| limit.limit == "bending").unwrap();
    near(bending.demand, 800.0 * 47.0 * 25.4 / 4.0 / (139.7 * 38.1 * 38.1 / 6.0), 1e-9);
    insta::assert_snapshot!(serde_json::to_string_pretty(&answer).unwrap());
    let mut ungraded = slat;
    ungraded["section"] = json!("1x6");
    assert_eq!(codes(&ask_beam(ungraded.clone()).diagnostics), ["incomplete-question"]);
    ungraded.as_object_mut().unwrap().remove("grade");
    ungraded["estimate"] = json!("third");
    let (estimate, warnings) = told(ask_beam(ungraded));
    assert_eq!((estimate.basis, warnings), ("estimate", vec!["estimated-values", "over-capacity"]));
    assert!(estimate.values.bending.adjusted.psi < 700.0);
}

/// A bearing at 45 degrees lies between along and across, and a notch costs shear: by hand 0.75 cubed.
#[test]
fn bearings_at_an_angle_and_notches() {
    let rail = |change: fn(&mut Value)| {
        let mut question = json!({
            "breadth": 38, "depth": 140, "values_psi": [850, 525, 150, 425, 1300, 1.3e6, 0.47e6],
            "span": 1500, "load_n": 1000, "unbraced": 0, "bearing": 38,
        });
        change(&mut question);
        told(ask_beam(question)).0
    };
    let (across, turned) = (rail(|_| ()), rail(|q| q["bearing_angle_deg"] = json!(45)));
    near(across.values.bearing.psi, 425.0, 1e-9);
    near(turned.values.bearing.psi, 2.0 * 1300.0 * 425.0 / 1725.0, 1e-6);
    let shear =
        |answer: &beam::Answer| answer.limits.iter().find(|limit| limit.limit == "shear").unwrap().capacity;
    near(shear(&rail(|q| q["notch_leaves"] = json!(105))) / shear(&across), 0.421_875, 1e-9);
    near(shear(&rail(|q| q["hung_at"] = json!(105))) / shear(&across), 0.421_875, 1e-9);
}

/// Cb belongs to the value across the grain alone (NDS 3.10.3, 3.10.4): by hand for Douglas Fir-Larch No.2, 2x6, 4 in from the end,
/// Fc 1350 psi x CF 1.1, Fc across 625 psi x 1.25.
#[test]
fn the_bearing_factor_is_of_bearing_across_alone() {
    let bearing = |degrees: f64| {
        let (answer, _) = told(ask_beam(json!({
            "section": "2x6", "wood": "douglas fir coast", "grade": "No.2", "span": "4ft", "load_n": 500,
            "bearing": "1-1/2in", "bearing_from_end": "4in", "bearing_angle_deg": degrees,
        })));
        let limit = *answer.limits.iter().find(|limit| limit.limit == "bearing").unwrap();
        near(answer.values.bearing.mpa, limit.capacity, 1e-12);
        near(limit.share, limit.demand / limit.capacity, 1e-12);
        near(answer.bearing_factor, 1.25, 1e-9);
        answer.values.bearing.psi
    };
    let (along, across) = (1350.0 * 1.1, 625.0 * 1.25);
    near(bearing(0.0), along, 1e-6);
    near(bearing(45.0), 2.0 * along * across / (along + across), 1e-6);
    near(bearing(90.0), across, 1e-6);
}

/// A depth that is less than the breadth is flat, by itself; a word against it is refused. The square of it is neither.
#[test]
fn a_breadth_and_a_depth_say_which_face_is_loaded() {
    let bending = |change: Value| {
        let mut question = json!({
            "wood": "douglas fir coast", "grade": "No.2", "span": "4ft", "load_n": 500,
        });
        question.as_object_mut().unwrap().extend(change.as_object().unwrap().clone());
        ask_beam(question).map(|answer| answer.values.bending.adjusted.psi)
    };
    let edge = told(bending(json!({ "breadth": "2-1/2in", "depth": "5-1/2in" }))).0;
    let flat = told(bending(json!({ "breadth": "5-1/2in", "depth": "2-1/2in" }))).0;
    near(flat / edge, 1.15, 1e-12);
    near(told(bending(json!({ "section": "2x6", "flat": true }))).0, flat, 1e-9);
    near(told(bending(json!({ "breadth": "5-1/2in", "depth": "2-1/2in", "flat": true }))).0, flat, 1e-9);
    for against in [
        json!({ "breadth": "2-1/2in", "depth": "5-1/2in", "flat": true }),
        json!({ "breadth": "5-1/2in", "depth": "2-1/2in", "flat": false }),
        json!({ "breadth": "3-1/2in", "depth": "3-1/2in", "flat": true }),
    ] {
        assert_eq!(codes(&bending(against).diagnostics), ["incomplete-question"]);
    }
}

/// NDS 4.4.3: at most a quarter of the depth at an end, 1.375 in of 5-1/2.
#[test]
fn a_notch_deeper_than_a_quarter_is_told() {
    let notched = |left: &str| {
        ask_beam(json!({
            "section": "2x6", "wood": "douglas fir coast", "grade": "No.2", "span": "4ft", "load_n": 100,
            "notch_leaves": left,
        }))
    };
    assert_eq!(told(notched("4-1/8in")).1, [""; 0]);
    let (answer, findings) = told(notched("3in"));
    assert_eq!(findings, ["notch-weakens"]);
    assert!(answer.share < 1.0);
}

#[test]
fn a_member_that_cannot_be_worked_out_says_why() {
    let with = |change: fn(&mut Value)| {
        let mut question = json!({
            "breadth": 38, "depth": 140, "values_psi": [850, 525, 150, 425, 1300, 1.3e6, 0.47e6],
            "span": 1500, "load_n": 1000, "bearing": 38,
        });
        change(&mut question);
        let outcome = ask_beam(question);
        assert!(outcome.value.is_none());
        codes(&outcome.diagnostics)
    };
    assert_eq!(with(|q| q["depth"] = json!(0))[0], "not-greater-than-zero");
    assert_eq!(with(|q| q["load_n"] = json!(0)), ["not-greater-than-zero"]);
    assert_eq!(with(|q| q["values_psi"][0] = json!(0)), ["not-greater-than-zero"]);
    assert_eq!(with(|q| q["lasting_n"] = json!(2000)), ["outside-what-is-known"]);
    assert_eq!(with(|q| q["case"] = json!("centr")), ["unknown-word"]);
    assert_eq!(with(|q| q["section"] = json!("2x6")), ["incomplete-question"]);
    assert_eq!(with(|q| q["values_psi"] = json!(null)), ["incomplete-question"]);
    assert_eq!(with(|q| q["bearing_angle_deg"] = json!(100)), ["outside-what-is-known"]);
    assert_eq!(with(|q| q["deflection_part"] = json!(0)), ["not-greater-than-zero"]);
    assert_eq!(with(|q| q["compression_n"] = json!(-50_000)), ["less-than-zero"]);
    assert_eq!(with(|q| q["tension_n"] = json!(-50_000)), ["less-than-zero"]);
    assert_eq!(
        with(|q| {
            q["notch_leaves"] = json!(120);
            q["hung_at"] = json!(25);
        }),
        ["incomplete-question"]
    );
    assert_eq!(with(|q| q["hung_from_end"] = json!(25)), ["incomplete-question"]);
    assert_eq!(with(|q| q["wood"] = json!("western red cedar")), ["incomplete-question"]);
    assert_eq!(with(|q| q["grade"] = json!("No.2")), ["incomplete-question"]);
}

/// Wood Handbook: 70 F and 65 %, 12.0 %; 5-1/2 in of Douglas-fir from 19 to 12 %, -0.1003 in.
#[test]
fn moisture_and_movement() {
    let (air, _) = told(ask_moisture(json!({
        "shrinkage": { "radial": 4.8, "tangential": 7.6 }, "width": "5-1/2in",
        "from": { "percent": 19 }, "to": { "percent": 12 },
    })));
    near(air.change.unwrap().width_mm / 25.4, -0.10033, 0.0001);
    let (oak, _) = told(ask_moisture(json!({
        "wood": "white oak", "width": "5-1/2in", "thickness": "1in", "sawn": "quarter",
        "from": { "percent": 8 },
        "year": [
            { "humidity_percent": 65, "temperature_c": 21.1 },
            { "humidity_percent": 80, "temperature_c": 2 },
            { "humidity_percent": 55, "temperature_c": 24 },
        ],
    })));
    let year = oak.year.unwrap();
    assert!(8.0 < year.driest_percent && year.driest_percent < 12.0 && year.wettest_percent > 14.0);
    let (dry, wet) = (year.to_driest.unwrap(), year.to_wettest.unwrap());
    assert!(0.0 < dry.width_mm && dry.width_mm < wet.width_mm, "it was worked drier than it ever gets");
    let (only, _) = told(ask_moisture(json!({ "to": { "humidity_percent": 65, "temperature_c": 21.1 } })));
    near(only.to_percent.unwrap(), 12.0, 0.06);
    let refused = |question| codes(&ask_moisture(question).diagnostics);
    assert_eq!(refused(json!({})), ["incomplete-question"]);
    assert_eq!(refused(json!({ "to": { "humidity_percent": 130 } })), ["outside-what-is-known"]);
    assert_eq!(refused(json!({ "to": { "percent": -2 } })), ["outside-what-is-known"]);
    assert_eq!(refused(json!({ "width": "5in", "to": { "percent": 9 } })), ["incomplete-question"]);
}

/// By hand: 3 of 2x4 x 8 ft are 16 board feet and 3 x 38.1 x 88.9 x 2438.4 mm3; 1 x 6 in x 10 ft are 5.
#[test]
fn board_feet_and_weight() {
    let (pile, _) = told(ask_board_feet(json!({ "boards": [
        { "section": "2x4", "length": "8ft", "count": 3, "wood": "white oak" },
        { "thickness": "1in", "width": "6in", "length": "10ft" },
    ] })));
    near(pile.boards[0].board_feet, 16.0, 1e-9);
    near(pile.boards[1].board_feet, 5.0, 1e-9);
    near(pile.board_feet, 21.0, 1e-9);
    let volume = 3.0 * 38.1 * 88.9 * 2438.4 * 1e-9;
    near(pile.boards[0].volume_m3, volume, 1e-12);
    let density = Catalogue::shared().species("white oak").unwrap().density_kg_m3();
    near(pile.mass_kg, volume * density, 1e-9);
    assert_eq!(pile.boards[1].mass_kg, None);
    let refused = |question| codes(&ask_board_feet(question).diagnostics);
    assert_eq!(refused(json!({ "boards": [] })), ["not-greater-than-zero"]);
    assert_eq!(refused(json!({ "boards": [{ "section": "2x4" }] })), ["not-greater-than-zero"]);
    assert_eq!(refused(json!({ "boards": [{ "length": 100 }] })), ["incomplete-question"]);
}

/// Figures that nobody should ask with, among some that one may.
fn any_figure() -> impl Strategy<Value = f64> {
    prop::sample::select(vec![
        0.0, -1.0, 1e-300, 1e-12, 1e-3, 0.3, 0.5, 1.0, 4.0, 10.0, 45.0, 90.0, 400.0, 5e3, 1e9, 1e15, 1e300,
        -1e300,
    ])
}

/// An answer has no figure that is none; a refusal says why.
fn is_sound<T: core::fmt::Debug>(outcome: &Outcome<T>) -> bool {
    let text = format!("{:?}", outcome.value);
    let told = outcome.diagnostics.iter().any(Diagnostic::is_error);
    !text.contains("NaN") && !text.contains("inf") && outcome.value.is_none() == told
}

/// Sound figures, each up to a fifth off, and one of them anything.
fn one_off(sound: [f64; 13]) -> impl Strategy<Value = Vec<f64>> {
    let off = prop::collection::vec(0.8..1.2_f64, sound.len());
    (off, 0..sound.len(), any_figure()).prop_map(move |(off, index, any)| {
        let mut figures: Vec<f64> = sound.iter().zip(off).map(|(sound, off)| sound * off).collect();
        figures[index] = any;
        figures
    })
}

proptest! {
    #[test]
    fn no_question_gets_a_figure_that_is_none(
        f in one_off([5.0, 3.8, 9.0, 70.0, 0.4, 19.0, 45.0, 0.5, 60.0, 1.0, 100.0, 50.0, 80.0]),
        b in one_off([40.0, 90.0, 900.0, 150.0, 1000.0, 4e5, 800.0, 600.0, 100.0, 500.0, 40.0, 20.0, 300.0]),
        m in one_off([4.0, 8.0, 140.0, 60.0, 20.0, 12.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0]),
        kind in 0..4_usize,
        flags in 0..8_u8,
    ) {
        let flag = |bit: u8| flags & (1 << bit) != 0;
        let kind = ["bolt", "lag screw", "wood screw", "nail"][kind];
        let fastener = ask_fastener(json!({
            "fastener": {
                "kind": kind, "diameter": f[0], "root_diameter": f[1], "head_diameter": f[2], "length": f[3],
                "steel_mpa": f[12],
            },
            "side": { "gravity": f[4], "thickness": f[5], "angle_deg": f[6] },
            "main": { "gravity": f[7], "thickness": f[8], "end_grain": flag(0) },
            "gap": f[9], "toe_nail": flag(1), "wet_made": flag(2), "shear_n": f[10], "pull_n": f[11],
        }));
        prop_assert!(is_sound(&fastener), "{fastener:?}");
        let beam = ask_beam(json!({
            "breadth": b[0], "depth": b[1], "values_psi": [b[2], 500, b[3], 400, b[4], 1e6, b[5]], "span": b[6],
            "load_n": b[7], "lasting_n": b[8], "unbraced": b[9], "bearing": b[10], "bearing_from_end": b[11],
            "compression_n": if flag(0) { b[12] } else { 0.0 }, "tension_n": if flag(1) { b[12] } else { 0.0 },
            "held_across": flag(2),
        }));
        prop_assert!(is_sound(&beam), "{beam:?}");
        let moisture = ask_moisture(json!({
            "shrinkage": { "radial": m[0], "tangential": m[1] }, "width": m[2],
            "from": { "humidity_percent": m[3], "temperature_c": m[4] }, "to": { "percent": m[5] },
        }));
        prop_assert!(is_sound(&moisture), "{moisture:?}");
    }
}

/// Every value of a question, by the keys to it.
fn leaves(value: &Value, at: &str, all: &mut Vec<String>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(key, own)| leaves(own, &format!("{at}/{key}"), all)),
        Value::Array(list) => {
            list.iter().enumerate().for_each(|(key, own)| leaves(own, &format!("{at}/{key}"), all))
        }
        _ => all.push(at.to_string()),
    }
}

/// Anything in place of any value of a good question: an answer without a figure that is none, or a refusal that says why.
#[test]
fn odd_values_are_answered_or_refused() {
    let setting = Setting {
        catalogue: Catalogue::shared(),
        units: Units::Both,
        accepted: &[Caution::Hanging].into(),
        watch: Watch::default(),
    };
    let odd =
        [0, -1].map(|own| json!(own)).into_iter().chain([1e300, 1e-300, 1e9, 45.0].map(|own| json!(own)));
    let odd: Vec<Value> = odd
        .chain([json!("1e9in"), json!("9000000km"), json!([]), json!({}), json!(true), json!("")])
        .collect();
    for own in CALCULATIONS {
        let good: Value = serde_json::from_str(own.example).unwrap();
        assert!(own.answer(good.as_object().unwrap(), &setting).value.is_some(), "{}", own.name);
        let mut all = Vec::new();
        leaves(&good, "", &mut all);
        for (at, value) in all.iter().flat_map(|at| odd.iter().map(move |value| (at, value))) {
            let mut question = good.clone();
            *question.pointer_mut(at).unwrap() = value.clone();
            let outcome = own.answer(question.as_object().unwrap(), &setting);
            let text = outcome.value.as_ref().map(|own| own.text.clone()).unwrap_or_default();
            // What a frame finds of itself and does not answer with may be no figure.
            if codes(&outcome.diagnostics).contains(&"answer-not-trusted") {
                continue;
            }
            assert!(!text.contains("NaN") && !text.contains("inf"), "{}{at} {value}: {text}", own.name);
            let is_refused = outcome.diagnostics.iter().any(Diagnostic::is_error);
            assert_eq!(
                outcome.value.is_none(),
                is_refused,
                "{}{at} {value}: {:?}",
                own.name,
                outcome.diagnostics
            );
        }
    }
}

/// Keys of a help with the keys under them, and what it says of each.
#[derive(Debug, Default)]
struct Keys {
    under: BTreeMap<String, Keys>,
    said: String,
}

impl Keys {
    fn at(&mut self, path: &[String]) -> &mut Keys {
        path.iter().fold(self, |own, key| own.under.entry(key.clone()).or_default())
    }

    /// What a help lists: `key   words`, further keys of it `.sub` among the words or on lines of their own, set in.
    fn of(layout: &str) -> Keys {
        let mut all = Keys::default();
        let (mut tops, mut last): (Vec<Vec<String>>, Vec<Vec<String>>) = (Vec::new(), Vec::new());
        for line in layout.lines() {
            let is_set_in = line.starts_with("  ");
            let (heads, words) = line.trim_start().split_once("  ").unwrap_or((line.trim_start(), ""));
            if line.starts_with(&" ".repeat(20)) {
                last.iter().for_each(|path| all.add(path, line));
                continue;
            }
            let is_key = |word: &str| word.chars().all(|own| own.is_alphanumeric() || "._".contains(own));
            let heads: Vec<&str> = heads.split([',', ' ']).filter(|word| !word.is_empty()).collect();
            let is_listed = is_set_in || !words.is_empty();
            if !is_listed || !heads.iter().all(|word| is_key(word)) {
                continue;
            }
            let keys = |head: &&str| {
                head.split('.').filter(|key| !key.is_empty()).map(String::from).collect::<Vec<_>>()
            };
            let paths: Vec<Vec<String>> = if is_set_in {
                tops.iter()
                    .flat_map(|top| heads.iter().map(|head| [top.clone(), keys(head)].concat()))
                    .collect()
            } else {
                heads.iter().map(keys).collect()
            };
            if !is_set_in {
                tops = paths.clone();
            }
            // Of several keys on one set in line, those among the words stand beside them.
            last = if is_set_in && heads.len() > 1 { tops.clone() } else { paths.clone() };
            paths.iter().for_each(|path| all.at(path).said.push_str(words.trim()));
            last.iter().for_each(|path| all.add(path, words));
        }
        all
    }

    fn add(&mut self, path: &[String], words: &str) {
        let own = self.at(path);
        for word in words.split([' ', ',', ':', ';']).filter_map(|word| word.strip_prefix('.')) {
            own.under.entry(word.to_string()).or_default();
        }
    }

    /// A question with nothing in it but its keys, and how many objects it is of.
    fn question(&self, stray: Option<&str>) -> Value {
        if self.under.is_empty() {
            return Value::Null;
        }
        let mut own: serde_json::Map<_, _> =
            self.under.iter().map(|(key, own)| (key.clone(), own.question(stray))).collect();
        own.extend(stray.map(|stray| (stray.to_string(), Value::Null)));
        let inner = Value::Object(own);
        match self.said.as_str() {
            said if said.starts_with("a list") => json!([inner]),
            said if said.contains("by name") => json!({ "one": inner }),
            said if said.contains("by the same names") => json!({ "ux": inner }),
            _ => inner,
        }
    }
}

/// What a help says there is, the reader knows: asked for with nothing in them, no key is unknown, down to the last; one that no help
/// has is told wherever it stands. A swing's three layouts are told apart by what is in them.
#[test]
fn keys_of_all_helps_are_known() {
    let setting = Setting {
        catalogue: Catalogue::shared(),
        units: Units::Inch,
        accepted: &[Caution::Hanging].into(),
        watch: Watch::default(),
    };
    let mut known = Vec::new();
    for own in CALCULATIONS.iter().filter(|own| own.name != "swing") {
        // Lists of a load case stand by the case's name.
        for (key, keys) in Keys::of(own.layout).under {
            let unknown = |stray| {
                let mut question = keys.question(stray);
                if key == "load_cases" {
                    let lists = question["one"].as_object_mut().unwrap().iter_mut();
                    lists
                        .filter(|(key, _)| Some(key.as_str()) != stray)
                        .for_each(|(_, own)| *own = json!([own]));
                }
                let objects = question.to_string().matches("\"no_such_key\"").count();
                let outcome = own.answer(&asked(json!({ key.as_str(): question })), &setting);
                (
                    codes(&outcome.diagnostics).into_iter().filter(|code| *code == "unknown-key").count(),
                    objects,
                )
            };
            assert_eq!(unknown(None), (0, 0), "{} {key}", own.name);
            let (told, objects) = unknown(Some("no_such_key"));
            assert_eq!(told, objects, "{} {key}", own.name);
            known.push((own.name, key.clone(), objects));
        }
    }
    let nested: usize = known.iter().map(|own| own.2).sum();
    assert!(nested >= 20, "{known:?}");
    for (name, key) in
        [("fastener", "fastener"), ("fastener", "main"), ("board-feet", "boards"), ("frame", "members")]
    {
        assert!(known.iter().any(|own| (own.0, own.1.as_str()) == (name, key) && own.2 > 0), "{name} {key}");
    }
}
