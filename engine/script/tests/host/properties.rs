//! What holds for any text, any length and any list.

use crate::common::{family, load, plain, value};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use slatwork_base::{Diagnostic, Length, Place};
use slatwork_script::caret::{Dress, render};
use slatwork_script::{Parameter, ParameterKind, Value, with_stack};

/// Pieces that a parser is most likely to stumble over when they are put together at random.
fn scraps() -> impl Strategy<Value = String> {
    let pieces = [
        "fn build(job, p) {",
        "}",
        "{",
        "(",
        ")",
        "#{",
        "[",
        "]",
        "let x = ",
        "17.inch",
        "inch(\"3 1/2\")",
        "|x| ",
        "`${",
        "`",
        "\"",
        "import \"lib/a\" as a;",
        "const X = 1;",
        "for i in 0..3 ",
        "if ",
        "else ",
        "return ",
        "throw ",
        ";",
        ".",
        "::",
        "x",
        "1",
        "/",
        "+",
        "==",
        "\n",
        "// c\n",
        "/*",
        "*/",
        "//! d\n",
        "é",
        "\u{0}",
        "fn describe(f) { f.title = \"T\"; }",
    ];
    prop::collection::vec(prop::sample::select(pieces.to_vec()), 0..40).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 300,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct("proptest-regressions/host.txt"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_text_makes_the_host_fail(text in scraps(), noise in ".{0,40}") {
        let texts = [text.clone(), format!("{text}{noise}"), family(&text)];
        for text in texts {
            let faults = with_stack(|| load(&[("families/t.rhai", &text), ("lib/a.rhai", &text)]).diagnostics);
            let faults = faults.expect("no panic outside the fence");
            for fault in &faults {
                prop_assert!(fault.code != "host-panic", "{text:?}");
                prop_assert!(!matches!(fault.place, Some(Place::Script(_))), "{fault:?}");
            }
            prop_assert!(plain(&faults).is_empty() == faults.is_empty());
        }
    }

    #[test]
    fn any_place_can_be_drawn(text in ".{0,60}", line in 1usize..70_000, column in 0usize..90, width in 0usize..90) {
        let place = Place::Source { file: String::from("f"), line, column, width, text };
        let fault = Diagnostic::error("x", "message").at(place.clone()).with_trace(place, "here");
        prop_assert!(render(&fault, Dress::Plain).contains("message"));
        prop_assert!(render(&fault, Dress::Coloured).contains("message"));
    }

    #[test]
    fn a_length_on_its_raster_survives_the_command_line(steps in 0i64..=480) {
        let eighth = Length::sixty_fourths(8);
        let (least, most) = (Length::inch(24.0), Length::inch(84.0));
        let mut width = Parameter::new("width", ParameterKind::Length, Value::Length(least), Default::default());
        width.range = Some((Value::Length(least), Value::Length(most)));
        width.step = Some(Value::Length(eighth));
        let on = Value::Length(least + Length::nm(eighth.as_nm() * steps));
        let read = Value::read(ParameterKind::Length, &on.to_string()).expect("readable");
        prop_assert_eq!(&width.check(read), &Ok(on.clone()));
        let Value::Length(length) = on else { unreachable!("a length") };
        prop_assert!(width.check(Value::Length(length + Length::mm(0.31))).is_err());
        let metric = Value::Length(Length::nm(length.as_nm() / 1_000_000 * 1_000_000));
        if length > least {
            prop_assert_eq!(&width.check(metric.clone()), &Ok(metric));
        }
    }

    #[test]
    fn sums_of_lengths_are_exact(a in -30_000i64..30_000, b in -30_000i64..30_000) {
        let body = format!("let a = {a}.mm / 64; let b = {b}.inch / 64; (a + b) - b == a && (a + b) - a == b");
        prop_assert_eq!(value(&body), "true");
    }

    #[test]
    fn sorting_agrees_with_the_standard_library(mut numbers in prop::collection::vec(-1000i64..1000, 0..60)) {
        let list = format!("{numbers:?}");
        numbers.sort_unstable();
        prop_assert_eq!(value(&format!("let l = {list}; l.sort(); l")), format!("{numbers:?}"));
        numbers.reverse();
        prop_assert_eq!(value(&format!("let l = {list}; l.sort_by(|a, b| b - a); l")), format!("{numbers:?}"));
    }
}
