//! Declared parameters: order, ranges, steps, choices, presets, requirements, and how they are set.

use crate::common::{build, complaints, library, plain};
use rhai::Dynamic;
use slatwork_base::Length;
use slatwork_script::{Condition, Limits, Mass, Parameters, ScriptKind, Value};

const SEAT: &str = r#"//! A seat.
fn describe(f) {
    f.title = "Seat";
    f.length("width", 5.feet).between(2.feet, 7.feet).step(inch("1/8")).doc("Over the arm posts").group("Size");
    f.length("depth", 19.inch).between(17.inch, 22.inch).doc("Seat, front to rear");
    f.angle("lean", 18.deg).between(10.deg, 25.deg).step(0.5.deg);
    f.count("places", 2).between(1, 4);
    f.number("share", 0.5).between(0, 1).step(0.1);
    f.yes_no("arms", true);
    f.choice("crest", ["circle", "bent batten", "straight"]);
    f.section("slats", "1x4").among(["1x3", "1x4", "5/4x6"]).governs("seat slat").governs(["back slat"]);
    f.wood("wood", "white oak").among(["white oak", "cedar"]);
    f.text("motto", "Lake shore");
    f.require("width <= 4 * depth", "so wide a seat needs a middle frame");
    f.require("!arms || places < 4", "four places leave no room for arms");
    f.preset("two people", #{ width: 4.feet, places: 2 });
}
fn build(job, p) {
    [p.width, p.lean, p.places, p.share, p.arms, p.crest, p.is_set("width"), p.is_set("depth")].join(" | ")
}
"#;

fn chosen(preset: Option<&str>, sets: &[(&str, &str)]) -> Result<Parameters, String> {
    let library = library(&[("families/t.rhai", SEAT)]);
    let script = library.script(ScriptKind::Family, "t").expect("the seat");
    let sets: Vec<(String, String)> = sets.iter().map(|(n, v)| (n.to_string(), v.to_string())).collect();
    let outcome = script.declared.read(preset, &sets);
    let faults: Vec<_> = outcome.diagnostics.into_iter().map(|fault| library.settle(fault)).collect();
    outcome.value.ok_or_else(|| plain(&faults))
}

#[test]
fn declared_order_is_kept() {
    let library = library(&[("families/t.rhai", SEAT)]);
    let declared = &library.script(ScriptKind::Family, "t").expect("the seat").declared;
    let names: Vec<&str> = declared.parameters.keys().map(String::as_str).collect();
    let order = ["width", "depth", "lean", "places", "share", "arms", "crest", "slats", "wood", "motto"];
    assert_eq!(names, order);
    assert_eq!(declared.parameters["slats"].governs, ["seat slat", "back slat"]);
    assert_eq!(declared.parameters["width"].group.as_deref(), Some("Size"));
    assert_eq!(declared.parameters["width"].doc, "Over the arm posts");
}

#[test]
fn a_script_reads_what_was_set() {
    let sets = [
        ("width", "60-1/4in"),
        ("lean", "12.5deg"),
        ("places", "3"),
        ("share", "0.3"),
        ("arms", "no"),
        ("crest", "bent_batten"),
    ];
    let parameters = chosen(None, &sets).expect("allowed values");
    let library = library(&[("families/t.rhai", SEAT)]);
    let script = library.script(ScriptKind::Family, "t").expect("the seat");
    let run = library.run(Limits::BUILD);
    let value = run.call(script, "build", (Dynamic::UNIT, parameters)).expect("a value");
    assert_eq!(value.to_string(), "60 1/4\" | 12.5° | 3 | 0.3 | false | bent batten | true | false");
    assert_eq!(build(&library).expect("a value"), "60\" | 18° | 2 | 0.5 | true | circle | false | false");
}

#[test]
fn a_preset_comes_first_and_single_values_win() {
    let parameters = chosen(Some("two people"), &[("places", "1")]).expect("allowed values");
    assert_eq!(parameters.get("width"), Some(&Value::Length(Length::inch(48.0))));
    assert_eq!(parameters.get("places"), Some(&Value::Count(1)));
}

#[test]
fn refusals_name_the_line_and_the_nearest_values() {
    let refused = [
        chosen(None, &[("width", "8ft")]),
        chosen(None, &[("width", "60.1in")]),
        chosen(None, &[("lean", "12.3")]),
        chosen(None, &[("width", "sixty")]),
        chosen(None, &[("width", "60")]),
        chosen(None, &[("places", "2.5"), ("arms", "perhaps")]),
        chosen(None, &[("crest", "circel")]),
        chosen(None, &[("wood", "teak")]),
        chosen(None, &[("widht", "5ft")]),
        chosen(None, &[("colour", "red")]),
        chosen(Some("two poeple"), &[]),
        chosen(None, &[("width", "7ft"), ("depth", "18in"), ("places", "4")]),
    ];
    let told: Vec<String> = refused.into_iter().map(|refused| refused.expect_err("a refusal")).collect();
    insta::assert_snapshot!(told.join("\n\n"));
}

#[test]
fn steps_of_decimal_fractions_hold_over_the_whole_range() {
    for tenth in 0..=10 {
        let text = format!("{}", f64::from(tenth) / 10.0);
        assert!(chosen(None, &[("share", &text)]).is_ok(), "{text}");
    }
    assert!(chosen(None, &[("share", "0.35")]).is_err());
}

#[test]
fn allowed_values_can_be_listed() {
    let library = library(&[("families/t.rhai", SEAT)]);
    let declared = &library.script(ScriptKind::Family, "t").expect("the seat").declared;
    let listed = |name: &str| declared.parameters[name].values(1000);
    assert_eq!(listed("width").len(), 481);
    assert_eq!(listed("width").last().map(ToString::to_string).as_deref(), Some("84\""));
    assert_eq!(listed("lean").len(), 31);
    assert_eq!(listed("places").len(), 4);
    assert_eq!(listed("share").len(), 11);
    assert_eq!(listed("crest").len(), 3);
    assert_eq!(listed("arms").len(), 2);
    assert!(listed("depth").is_empty());
    for name in ["width", "lean", "places", "share", "crest", "arms"] {
        for value in listed(name) {
            assert!(declared.parameters[name].check(value.clone()).is_ok(), "{name} {value}");
        }
    }
}

fn describing(lines: &str) -> String {
    let text = format!("fn describe(f) {{\n    f.title = \"T\";\n{lines}\n}}\nfn build(job, p) {{ }}\n");
    complaints(&[("families/t.rhai", &text)])
}

#[test]
fn declarations_that_contradict_themselves() {
    let told = [
        "    f.length(\"width\", 5.feet).between(6.feet, 7.feet);",
        "    f.length(\"width\", 5.feet).between(7.feet, 2.feet);",
        "    f.length(\"width\", 5.feet).between(2.feet, 7.feet).step(5.inch);",
        "    f.length(\"width\", 5.feet).step(0.inch);",
        "    f.length(\"width\", 5.feet);\n    f.length(\"width\", 6.feet);",
        "    f.length(\"Width\", 5.feet);",
        "    f.length(\"width\", 5);",
        "    f.count(\"n\", 2.5);",
        "    f.choice(\"crest\", []);",
        "    f.choice(\"crest\", [\"a\", 2]);",
        "    f.wood(\"wood\", \"teak\").among([\"cedar\"]);",
        "    f.wood(\"wood\", \"teak\").between(1, 2);",
        "    f.length(\"width\", 5.feet).between(1, 7.feet);",
        "    f.length(\"width\", 5.feet).duc(\"Over all\");",
        "    f.length(\"width\", 5.feet);\n    f.preset(\"wide\", #{ widht: 6.feet });",
        "    f.length(\"width\", 5.feet);\n    f.preset(\"wide\", #{ width: 6 });",
        "    f.length(\"width\", 5.feet).between(4.feet, 6.feet);\n    f.preset(\"wide\", #{ width: 7.feet });",
    ];
    insta::assert_snapshot!(told.map(describing).join("\n\n"));
}

#[test]
fn requirements_are_checked_when_they_are_declared() {
    let told = [
        "    f.length(\"width\", 5.feet);\n    f.require(\"widht < 6.feet\", \"why\");",
        "    f.length(\"width\", 5.feet);\n    f.require(\"width < 6\", \"why\");",
        "    f.length(\"width\", 5.feet);\n    f.require(\"width <\", \"why\");",
        "    f.length(\"width\", 5.feet);\n    f.require(\"width * 2\", \"why\");",
        "    f.length(\"width\", 5.feet);\n    f.require(\"width > 6.feet\", \"it must be wide\");",
    ];
    insta::assert_snapshot!(told.map(describing).join("\n\n"));
}

#[test]
fn conditions_stand_alone_too() {
    let condition =
        Condition::compile("--keep", "rating >= 250.kg && cost < 180", ["rating", "cost"]).expect("compiles");
    let holds = |kg, cost: f64| {
        condition.holds([("rating", Dynamic::from(Mass::kg(kg))), ("cost", Dynamic::from(cost))])
    };
    assert_eq!(holds(300.0, 170.0), Ok(true));
    assert_eq!(holds(200.0, 170.0), Ok(false));
    assert_eq!(holds(300.0, 190.0), Ok(false));
    assert!(condition.mentions("rating") && !condition.mentions("rat"));
    let hung = Condition::compile("--keep", "hung_at == \"arm posts\" || arms", ["hung_at", "arms", "posts"]);
    let hung = hung.expect("it compiles");
    assert!(hung.mentions("arms") && !hung.mentions("posts"), "a word in quotation marks is no name");
    let told = [
        Condition::compile("--keep", "ratign >= 250.kg", ["rating", "cost"]).expect_err("a slip"),
        Condition::compile("--keep", "rating >= 250.kg; true", ["rating"]).expect_err("two statements"),
        Condition::compile("--keep", "rating >= 250", ["rating"])
            .expect("compiles")
            .holds([("rating", Dynamic::from(Mass::kg(1.0)))])
            .expect_err("no unit"),
        Condition::compile("--keep", "loop { }", ["rating"])
            .map_or_else(|e| e, |c| c.holds([]).expect_err("endless")),
    ];
    insta::assert_snapshot!(plain(&told));
}

#[test]
fn the_same_name_of_a_parameter_is_told_with_both_lines() {
    let told = describing("    f.length(\"width\", 5.feet);\n    f.angle(\"width\", 6.deg);");
    assert!(
        told.contains("first declared here") && told.contains(":3:7") && told.contains(":4:14"),
        "{told}"
    );
}
