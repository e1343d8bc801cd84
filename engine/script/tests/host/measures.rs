//! The rules of lengths, angles, areas, weights and numbers in scripts.

use crate::common::{code, fault, value};

#[test]
fn literals_are_exact() {
    assert_eq!(value("17.inch"), "17\"");
    assert_eq!(value("3.feet + 6.inch"), "42\"");
    assert_eq!(value("600.mm"), "600 mm");
    assert_eq!(value("12_000.mm"), "12000 mm");
    assert_eq!(value("-3.5.inch"), "-3 1/2\"");
    assert_eq!(value("inch(\"3 1/2\")"), "3 1/2\"");
    assert_eq!(value("inch(\"3-1/2\") == 3.5.inch"), "true");
    assert_eq!(value("inch(\"5/8\") * 8 == 5.inch"), "true");
    assert_eq!(value("25.4.mm == 1.inch"), "true");
    assert_eq!(value("1.foot == 12.inch && 1.metre == 100.cm"), "true");
    assert_eq!(value("14.deg"), "14°");
    assert_eq!(value("250.kg"), "250 kg");
    assert_eq!(value("100.pounds"), "45.4 kg");
}

#[test]
fn operators_keep_their_dimensions() {
    assert_eq!(value("17.inch - 3.inch"), "14\"");
    assert_eq!(value("2 * 3.inch"), "6\"");
    assert_eq!(value("3.inch * 0.5"), "1 1/2\"");
    assert_eq!(value("3.inch / 2"), "1 1/2\"");
    assert_eq!(value("3.feet / 6.inch"), "6.0");
    assert_eq!(value("2.metre * 3.metre"), "6.000 m²");
    assert_eq!(value("2.metre * 3.metre / 2.metre == 3.metre"), "true");
    assert_eq!(value("sqrt(4.metre * 4.metre) == 4.metre"), "true");
    assert_eq!(value("17.inch % 3.inch"), "2\"");
    assert_eq!(value("let x = 1.inch; x += 2.inch; x -= 1.inch; x *= 3; x"), "6\"");
    assert_eq!(value("90.deg / 4 + 1.deg"), "23.5°");
    assert_eq!(value("500.kg / 250.kg"), "2.0");
    assert_eq!(value("\"a \" + 3.inch + \" board\""), "a 3\" board");
    assert_eq!(value("`${3.5.inch} wide`"), "3 1/2\" wide");
    assert_eq!(value("3.inch.to_string()"), "3\"");
    assert_eq!(value("(7.0 / 2).inch"), "3 1/2\"");
    assert_eq!(value("17.inch.mm"), "431.8");
    assert_eq!(value("1.feet.inch"), "12.0");
}

#[test]
fn comparisons_and_extremes() {
    assert_eq!(
        value("[3.inch < 4.inch, 3.inch >= 3.inch, 76.2.mm == 3.inch, 3.inch != 3.inch]"),
        "[true, true, true, false]"
    );
    assert_eq!(value("max(3.inch, 100.mm)"), "100 mm");
    assert_eq!(value("min(3.inch, 100.mm)"), "3\"");
    assert_eq!(value("abs(-3.inch)"), "3\"");
    assert_eq!(value("3.inch == ()"), "false");
    assert_eq!(value("() != 3.inch"), "true");
    assert_eq!(value("3.inch in [2.inch, 3.inch]"), "true");
    assert_eq!(value("[1.inch, 2.inch] == [25.4.mm, 50.8.mm]"), "true");
}

#[test]
fn lists_of_measures() {
    assert_eq!(
        value("let l = [3.inch, 10.mm, 1.feet]; l.sort(); `${l[0]} ${l[1]} ${l[2]}`"),
        "10 mm 3\" 12\""
    );
    assert_eq!(value("let l = [1, 3, 2]; l.sort_desc(); l"), "[3, 2, 1]");
    assert_eq!(value("let l = [1, 2.5, 2]; l.sort(); l"), "[1, 2, 2.5]");
    assert_eq!(value("let l = [\"b\", \"a\"]; l.sort(); l.join(\"-\")"), "a-b");
    assert_eq!(value("let l = [3, 1, 2]; l.sort(|a, b| b - a); l"), "[3, 2, 1]");
    assert_eq!(value("let l = [3, 1, 2]; l.sort_by(|a, b| a < b); l"), "[1, 2, 3]");
    assert_eq!(value("[3.inch, 2.feet].sum()"), "27\"");
    assert_eq!(value("[1, 2, 3].sum()"), "6");
    assert_eq!(value("[3.inch, 2.feet].max()"), "24\"");
    assert_eq!(value("[3.inch, 2.feet].min()"), "3\"");
    assert_eq!(value("[3.inch, 2.feet].join(\" and \")"), "3\" and 24\"");
    assert_eq!(code("[1, \"a\"].sort()"), "cannot-sort");
    assert_eq!(code("[].max()"), "empty-list");
}

#[test]
fn an_error_inside_a_comparison_of_a_sort_is_not_swallowed() {
    assert_eq!(code("let l = [1, 2, 3]; l.sort(|a, b| throw \"stop\"); l"), "script-refused");
    assert_eq!(code("let l = [1, 2, 3]; l.sort(|a, b| \"x\"); l"), "cannot-sort");
}

#[test]
fn an_inconsistent_comparison_gives_some_order() {
    let body = "let l = []; for i in 0..100 { l.push(i * 37 % 101); } l.sort(|a, b| 1); l.len()";
    assert_eq!(value(body), "100");
}

#[test]
fn rounding() {
    assert_eq!(value("100.mm.round_to(inch(\"1/16\"))"), "3 15/16\"");
    assert_eq!(value("100.mm.round_up_to(1.inch)"), "4\"");
    assert_eq!(value("100.mm.round_down_to(1.inch)"), "3\"");
    assert_eq!(value("(5.feet / 7.inch).floor()"), "8");
    assert_eq!(value("(5.feet / 7.inch).ceiling()"), "9");
    assert_eq!(value("round(2.5)"), "3");
    assert_eq!(value("let n = 0; for i in 0..floor(3.9) { n += 1; } n"), "3");
    assert_eq!(code("3.inch.round_to(0.inch)"), "bad-step");
    assert_eq!(code("floor(1e300)"), "out-of-range");
}

#[test]
fn triangles() {
    assert_eq!(value("diagonal(3.inch, 4.inch)"), "5\"");
    assert_eq!(value("angle_of(1.inch, 1.inch)"), "45°");
    assert_eq!(value("asin(0.5)"), "30°");
    assert_eq!(value("(10.metre * sin(30.deg)).round_to(1.mm)"), "5000 mm");
    assert_eq!(value("30.deg.cos().round()"), "1");
    assert_eq!(code("sin(0.5)"), "wrong-measure");
    assert_eq!(value("power(2, 10)"), "1024.0");
    assert_eq!(value("sqrt(2)"), "1.4142135623730951");
    assert_eq!(code("sqrt(-1)"), "out-of-range");
    assert_eq!(code("2.0 ** 0.5"), "script-syntax");
}

#[test]
fn what_does_not_go_together_is_refused() {
    for body in [
        "3.inch + 1",
        "1 + 3.inch",
        "3.inch - 1.0",
        "3.inch + 14.deg",
        "3.inch * 14.deg",
        "3.inch * \"x\"",
        "3 / 4.inch",
        "1.0 / 4.inch",
        "3.inch % 2",
        "3.inch == \"x\"",
        "3.inch < \"x\"",
        "1.inch == 1",
        "1 == 1.inch",
        "1 in [1.inch]",
        "[1.inch] == [1]",
        "3.inch > 2",
        "2 >= 3.inch",
        "3.inch != 2.0",
        "max(3.inch, 2)",
        "min(14.deg, 2.inch)",
        "14.deg < 3",
        "3.kg + 2.inch",
        "let x = 1.inch; x += 1; x",
        "3.inch - ()",
    ] {
        assert_eq!(code(body), "wrong-measure", "{body}");
    }
    assert_eq!(code("3.inch / 0"), "division-by-nothing");
    assert_eq!(code("3.inch / 0.inch"), "division-by-nothing");
    assert_eq!(code("3.inch % 0.inch"), "division-by-nothing");
    assert_eq!(code("9_000_000_000_000_000.feet"), "out-of-range");
    assert_eq!(code("900.metre * 2"), "out-of-range");
    assert_eq!(code("9223372036854775807 + 1"), "bad-arithmetic");
    assert_eq!(code("inch(\"3 5/4\")"), "not-a-length");
    assert_eq!(code("inch(\"three\")"), "not-a-length");
}

#[test]
fn a_fraction_of_whole_numbers_gets_its_answer() {
    let faults =
        ["let t = 3/4.inch;", "let t = 3.inch + 1/2;", "let t = 3.inch + 2;", "let a = sin(30);"].map(fault);
    insta::assert_snapshot!(faults.join("\n\n"));
}
