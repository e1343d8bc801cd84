//! Lengths: what a builder writes is read exactly, what is printed can be read again, and nonsense is explained.

use proptest::prelude::*;
use slatwork_base::{Length, Tape};

fn read(text: &str) -> Length {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

fn why(text: &str) -> String {
    text.parse::<Length>().map_or_else(|error| error.to_string(), |length| format!("read as {length}"))
}

#[test]
fn inches_are_exact_however_they_are_written() {
    let three_and_a_half = Length::nm(88_900_000);
    let ways = [
        "3-1/2in",
        "3 1/2in",
        "3 1/2\"",
        "3-1/2 in",
        "3.5in",
        "3,5in",
        "3½\"",
        "3 ½ in",
        "3 1/2''",
        "3 1/2″",
        "3 1/2”",
        "3 1⁄2 inches",
        "7/2in",
        "3 2/4 IN",
        " 3 1/2 in. ",
        "+3 1/2in",
        "3\u{a0}1/2\u{202f}in",
        "3–1/2in",
    ];
    for way in ways {
        assert_eq!(read(way), three_and_a_half, "{way}");
    }
    assert_eq!(read("1/64in"), Length::nm(396_875));
    assert_eq!(read("2.375in"), Length::sixty_fourths(152));
    assert_eq!(read(".75\""), Length::sixty_fourths(48));
    assert_eq!(read("-3-1/2in"), Length::nm(-88_900_000));
    assert_eq!(read("−½in"), Length::nm(-12_700_000));
}

#[test]
fn feet_and_inches_add_up() {
    let tall = Length::sixty_fourths((5 * 12 + 2) * 64 + 32);
    let ways = [
        "5ft 2-1/2in",
        "5' 2 1/2\"",
        "5' 2-1/2\"",
        "5′ 2½″",
        "5’ 2½”",
        "5ft-2 1/2in",
        "5' - 2 1/2\"",
        "5 ft 2 1/2 in",
        "5 feet, 2.5 inches",
        "5ft. 2-1/2in.",
        "62-1/2in",
        "5ft2½in",
        "5' 2½''",
    ];
    for way in ways {
        assert_eq!(read(way), tall, "{way}");
    }
    assert_eq!(read("5 ft"), read("60in"));
    assert_eq!(read("1 foot"), read("304.8mm"));
    assert_eq!(read("5ft-2in"), read("62in"));
    assert_eq!(read("-5ft 2in"), read("-62in"));
}

#[test]
fn metric_is_exact() {
    for way in
        ["1520mm", "1520 mm", "152cm", "15.2dm", "1.52m", "1,52m", "1m 52cm", "1.52 metres", "1520000um"]
    {
        assert_eq!(read(way), Length::nm(1_520_000_000), "{way}");
    }
    assert_eq!(read("0.1mm"), Length::nm(100_000));
    assert_eq!(read("0"), Length::ZERO);
    assert_eq!(read("-0"), Length::ZERO);
    assert_eq!(read("0mm"), Length::ZERO);
}

#[test]
fn a_third_of_an_inch_rounds_to_the_nearest_nanometre() {
    assert_eq!(read("1/3in"), Length::nm(8_466_667));
    assert_eq!(read("-⅓in"), Length::nm(-8_466_667));
    assert_eq!(read("0.0000005mm"), Length::nm(1), "half a nanometre goes away from zero");
}

#[test]
fn bare_inches_are_read_for_scripts() {
    for way in ["3 1/2", "3-1/2", "3.5", "7/2", "3½", "3 1/2\"", "3 1/2 in", "3 1/2''"] {
        assert_eq!(Length::parse_inches(way), Ok(Length::inch(3.5)), "{way}");
    }
    assert_eq!(Length::parse_inches("-5/8"), Ok(Length::inch(-0.625)));
    insta::assert_snapshot!(
        Length::parse_inches("35mm").unwrap_err(),
        @r#"`35mm` is not a length: `mm` is left over after the number of inches; write 3-1/2in, 3 1/2", 5ft 2-1/2in, 5' 2", 1520mm, 152cm or 1.52m"#
    );
}

#[test]
fn every_error_says_what_is_wrong() {
    let texts = [
        "",
        "-",
        "60",
        "3 1/2",
        "5ft 2",
        "in",
        "5ft two",
        "60 bananas",
        "60 inchs",
        "60 mmm",
        "2in 5ft",
        "5ft 5ft",
        "5' 2'",
        "3 5/4in",
        "3 1/0in",
        "1/in",
        "3 - 1/2in",
        "3--1/2in",
        "½5in",
        "3.5½in",
        "5ft-",
        "5ft,",
        "5ft--2in",
        "5ft,,2in",
        "1,520mm",
        "1 520mm",
        "3.in",
        "..5in",
        "1e3mm",
        "١mm",
        "1234567890123456789mm",
        "0.1234567890123456789m",
        "99999999999999999m",
        "9223372036854.775808mm",
        "9000000000m 999999999999cm",
    ];
    let reasons: Vec<String> = texts
        .iter()
        .map(|text| {
            let full = why(text);
            full.split("; write ").next().map_or(full.clone(), String::from)
        })
        .collect();
    insta::assert_snapshot!(reasons.join("\n"), @"
`` is not a length: it is empty
`-` is not a length: it is empty
`60` is not a length: the unit is missing
`3 1/2` is not a length: the unit is missing
`5ft 2` is not a length: the unit is missing
`in` is not a length: a number is missing before `i`
`5ft two` is not a length: a number is missing before `t`
`60 bananas` is not a length: `bananas` is no unit
`60 inchs` is not a length: `inchs` is no unit, did you mean `inches`?
`60 mmm` is not a length: `mmm` is no unit, did you mean `mm`?
`2in 5ft` is not a length: units must go from large to small, each once
`5ft 5ft` is not a length: units must go from large to small, each once
`5' 2'` is not a length: units must go from large to small, each once
`3 5/4in` is not a length: the fraction 5/4 is not less than one
`3 1/0in` is not a length: a fraction over zero
`1/in` is not a length: a number is missing before `i`
`3 - 1/2in` is not a length: a unit is missing before `-`
`3--1/2in` is not a length: a unit is missing before `-`
`½5in` is not a length: a unit is missing before `5`
`3.5½in` is not a length: a unit is missing before `1`
`5ft-` is not a length: a number is missing before the end
`5ft,` is not a length: a number is missing before the end
`5ft--2in` is not a length: a number is missing before `-`
`5ft,,2in` is not a length: a number is missing before `,`
`1,520mm` is not a length: `1,520` may be thousands or decimals, write it without the comma or with a point
`1 520mm` is not a length: a unit is missing before `5`
`3.in` is not a length: a unit is missing before `.`
`..5in` is not a length: a number is missing before `.`
`1e3mm` is not a length: `e` is no unit
`١mm` is not a length: a number is missing before `١`
`1234567890123456789mm` is not a length: it has too many digits
`0.1234567890123456789m` is not a length: it has too many digits
`99999999999999999m` is not a length: it is out of range
`9223372036854.775808mm` is not a length: it is out of range
`9000000000m 999999999999cm` is not a length: it is out of range
");
}

#[test]
fn the_error_ends_with_what_to_write() {
    insta::assert_snapshot!(why("60"), @r#"`60` is not a length: the unit is missing; write 3-1/2in, 3 1/2", 5ft 2-1/2in, 5' 2", 1520mm, 152cm or 1.52m"#);
}

#[test]
fn a_reading_is_not_broken_over_two_lines() {
    let words = slatwork_base::words_to_wrap("Cut  60 3/4\" (1543 mm), 2 strips of 4\" 7/8 thick");
    assert_eq!(words, ["Cut", "60 3/4\"", "(1543 mm),", "2", "strips", "of", "4\"", "7/8", "thick"]);
    assert_eq!(slatwork_base::words_to_wrap("bore Ø 1 3/4\" deep"), ["bore", "Ø 1 3/4\"", "deep"]);
    assert!(slatwork_base::words_to_wrap(" \n").is_empty());
}

#[test]
fn tape_rounds_to_its_marks_and_shows_the_error() {
    let length = read("1086.6mm");
    let rows: Vec<String> = [Tape::Inch16, Tape::Inch32, Tape::Inch64, Tape::Mm, Tape::Exact]
        .into_iter()
        .map(|tape| format!("{tape:?}: {}", tape.true_text(length)))
        .collect();
    insta::assert_snapshot!(rows.join("\n"), @r#"
Inch16: 42 3/4" plus 0.030"
Inch32: 42 25/32" less 0.002"
Inch64: 42 25/32" less 0.002"
Mm: 1087 mm less 0.40 mm
Exact: 1086.6 mm
"#);
    assert_eq!(Tape::Inch16.true_text(read("3-1/2in")), "3 1/2\"");
    assert_eq!(Tape::Mm.true_text(read("3.0254mm")), "3 mm", "a thousandth of an inch is not shown");
    assert_eq!(Tape::Mm.true_text(read("3.026mm")), "3 mm plus 0.03 mm");
    assert_eq!(Tape::Inch16.true_text(Length::mm(116.86787)), "4 5/8\" less 0.024\"");
}

#[test]
fn half_way_goes_away_from_zero() {
    assert_eq!(Tape::Inch16.read(read("1/32in")).mark, read("1/16in"));
    assert_eq!(Tape::Inch16.read(read("-1/32in")).mark, read("-1/16in"));
    assert_eq!(Tape::Mm.read(read("0.5mm")).mark, read("1mm"));
    assert_eq!(Tape::Mm.read(read("0.499999mm")).mark, Length::ZERO);
    assert_eq!(Tape::Mm.text(read("-0.4mm")), "0 mm");
    assert_eq!(Tape::Inch16.text(read("-1/64in")), "0\"");
}

#[test]
fn fractions_are_reduced() {
    let texts: Vec<String> = [1, 2, 4, 8, 16, 24, 32, 48, 63, 64, 65, 96, 128, -40]
        .into_iter()
        .map(|count| Tape::Inch64.text(Length::sixty_fourths(count)))
        .collect();
    insta::assert_snapshot!(texts.join(" "), @r#"1/64" 1/32" 1/16" 1/8" 1/4" 3/8" 1/2" 3/4" 63/64" 1" 1 1/64" 1 1/2" 2" -5/8""#);
}

#[test]
fn feet_and_inches_are_printed_from_one_foot_up() {
    let rows: Vec<String> = ["0", "11-3/4in", "12in", "5ft 2-1/2in", "12ft", "-6ft 1/16in", "11.99in"]
        .into_iter()
        .map(|text| Tape::Inch16.feet_and_inches(read(text)))
        .collect();
    insta::assert_snapshot!(rows.join(", "), @r#"0", 11 3/4", 1', 5' 2 1/2", 12', -6' 1/16", 1'"#);
    assert_eq!(Tape::Mm.feet_and_inches(read("5ft")), "1524 mm");
}

#[test]
fn millimetres_are_printed_with_the_decimals_asked_for() {
    let length = read("18.35mm");
    assert_eq!(length.mm_text(0), "18");
    assert_eq!(length.mm_text(1), "18.4");
    assert_eq!(length.mm_text(2), "18.35");
    assert_eq!(length.mm_text(9), "18.350000");
    assert_eq!(read("-0.04mm").mm_text(1), "0.0", "nothing has no sign");
    assert_eq!(read("-0.05mm").mm_text(1), "-0.1");
}

#[test]
fn a_length_shows_itself_in_the_unit_that_is_exact() {
    assert_eq!(read("3-1/2in").to_string(), "3 1/2\"");
    assert_eq!(read("18.3mm").to_string(), "18.3 mm");
    assert_eq!(read("0").to_string(), "0\"");
}

#[test]
fn arithmetic_is_exact_and_never_wraps() {
    let most = Length::nm(i64::MAX);
    let least = Length::nm(i64::MIN);
    assert_eq!(read("3-1/2in") + read("1/64in"), Length::sixty_fourths(225));
    assert_eq!(most + most, most);
    assert_eq!(least - most, least);
    assert_eq!(-least, most);
    assert_eq!(least.abs(), most);
    assert_eq!(Length::sixty_fourths(i64::MAX), most);
    assert_eq!(Length::mm(f64::NAN), Length::ZERO);
    assert_eq!(Length::inch(f64::INFINITY), most);
    assert_eq!(Length::inch(3.5), read("3-1/2in"));
    assert_eq!(most.checked_add(Length::nm(1)), None);
    assert_eq!(least.checked_sub(Length::nm(1)), None);
    assert_eq!(most.checked_times(2), None);
    assert_eq!(most.checked_scale(2.0), None);
    assert_eq!(most.checked_scale(f64::NAN), None);
    assert_eq!(read("1in").checked_scale(0.5), Some(read("1/2in")));
    assert_eq!(read("10in").div_rem(read("3in")), Some((3, read("1in"))));
    assert_eq!(read("10in").div_rem(Length::ZERO), None);
}

proptest! {
    #[test]
    fn sixty_fourths_are_printed_and_read_again(count in -1_000_000_000i64..1_000_000_000) {
        let length = Length::sixty_fourths(count);
        prop_assert_eq!(read(&Tape::Inch64.text(length)), length);
        prop_assert_eq!(read(&Tape::Inch64.feet_and_inches(length)), length);
        prop_assert_eq!(Tape::Inch64.read(length).error, Length::ZERO);
    }

    #[test]
    fn whole_millimetres_are_printed_and_read_again(count in -1_000_000_000i64..1_000_000_000) {
        let length = Length::nm(count * 1_000_000);
        prop_assert_eq!(read(&Tape::Mm.text(length)), length);
    }

    #[test]
    fn any_length_shows_itself_and_is_read_again(nanometres in any::<i64>()) {
        let length = Length::nm(nanometres);
        prop_assert_eq!(read(&length.to_string()), length);
        prop_assert_eq!(read(&Tape::Exact.text(length)), length);
    }

    #[test]
    fn a_mark_is_within_half_a_step(nanometres in -(1i64 << 60)..(1i64 << 60)) {
        let length = Length::nm(nanometres);
        for tape in [Tape::Inch16, Tape::Inch32, Tape::Inch64, Tape::Mm, Tape::Exact] {
            let on_tape = tape.read(length);
            prop_assert_eq!(on_tape.mark + on_tape.error, length);
            prop_assert_eq!(on_tape.mark.as_nm() % tape.step().as_nm(), 0);
            prop_assert!(2 * on_tape.error.abs().as_nm() <= tape.step().as_nm());
        }
    }

    #[test]
    fn no_length_makes_a_tape_panic(nanometres in any::<i64>()) {
        let length = Length::nm(nanometres);
        for tape in [Tape::Inch16, Tape::Inch32, Tape::Inch64, Tape::Mm, Tape::Exact] {
            prop_assert!(!tape.true_text(length).is_empty());
            prop_assert!(!tape.feet_and_inches(length).is_empty());
        }
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>()) {
        let _ = text.parse::<Length>();
        let _ = Length::parse_inches(&text);
    }

    #[test]
    fn nothing_near_a_length_makes_the_reader_panic(text in "[-+−]?[0-9½¼.,/ ]{0,24}(in|ft|'|\"|mm|m)?[-, ]?[0-9/ .½]{0,24}(in|\"|''|.)?") {
        if let Ok(length) = text.parse::<Length>() {
            prop_assert_eq!(read(&length.to_string()), length);
        }
        let _ = Length::parse_inches(&text);
    }
}

#[test]
fn the_outermost_lengths_are_printed() {
    assert_eq!(read(&Length::nm(i64::MIN).to_string()), Length::nm(i64::MIN));
    assert_eq!(read(&Length::nm(i64::MAX).to_string()), Length::nm(i64::MAX));
    assert!(Tape::Inch16.text(Length::nm(i64::MAX)).ends_with('"'));
}
