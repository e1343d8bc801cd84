//! Boards worked by hand.

use super::*;

/// A board of 100 x 10, rip kerf 1, edge allowance 1: three strips of 2 need 3 x 2 + 2 x 1 = 8 of 9, a fourth 11.
#[test]
fn strips_and_kerfs_add_up_across() {
    let problem = |demand| Problem {
        boards: vec![board(100, 10, 5)],
        parts: vec![part(100, 2, demand)],
        rip_kerf: 1,
        edge_allowance: 1,
        ..Problem::default()
    };
    assert_eq!((solved(&problem(3)).cost, solved(&problem(4)).cost), (5, 10));
    // Without the allowance: 4 x 2 + 3 = 11 still are more than 10; 3 x 2.666 + 2 are just 10.
    let exact = Problem {
        parts: vec![part(100, 8, 3)],
        boards: vec![board(100, 26, 5)],
        edge_allowance: 0,
        ..problem(0)
    };
    assert_eq!(solved(&exact).cost, 5);
    let short = Problem { boards: vec![board(100, 25, 5)], ..exact };
    assert_eq!(solved(&short).cost, 10);
}

/// Two sections: 60 long in strips of 5 and 5, 40 long in strips of 3, 3 and 4. One board, no other way.
#[test]
fn sections_are_ripped_each_in_its_own_way() {
    let problem = Problem {
        boards: vec![board(100, 10, 5)],
        parts: vec![part(60, 5, 2), part(40, 3, 2), part(40, 4, 1)],
        ..Problem::default()
    };
    let answer = solved(&problem);
    assert_eq!((answer.cost, answer.is_optimal(), answer.rip_settings()), (5, true, 3));
    let lengths: Vec<i64> = answer.layouts[0].sections.iter().map(|section| section.length).collect();
    assert_eq!(lengths, [60, 40]);
}

/// Eight slats 50 x 3: two boards 100 x 3 at 4 hold four; one board 100 x 12 at 13 holds eight, at 17 it is too dear.
#[test]
fn the_price_decides_between_narrow_boards_and_ripping() {
    let cost = |wide| {
        let problem = Problem {
            boards: vec![board(100, 3, 4), board(100, 12, wide)],
            parts: vec![part(50, 3, 8)],
            ..Problem::default()
        };
        let answer = solved(&problem);
        (answer.cost, answer.rip_settings())
    };
    assert_eq!((cost(13), cost(17)), ((13, 1), (16, 0)));
}

/// As above, but the slats are to be of their own section.
#[test]
fn a_part_may_be_held_to_its_own_section() {
    let own = Part { widest_board: Some(3), ..part(50, 3, 8) };
    let problem =
        Problem { boards: vec![board(100, 3, 4), board(100, 12, 1)], parts: vec![own], ..Problem::default() };
    assert_eq!(solved(&problem).cost, 16);
    // And so where the narrow ones are the cheap ones.
    let own = Part { narrowest_board: 12, ..part(50, 3, 8) };
    let problem =
        Problem { boards: vec![board(100, 3, 1), board(100, 12, 9)], parts: vec![own], ..Problem::default() };
    assert_eq!(solved(&problem).cost, 9);
}

/// 9.5 of 10 with a rip kerf of 1: no strip is left, so it is a row of its own. With edge allowance 1, 9 can be ripped.
#[test]
fn what_is_nearly_as_wide_as_the_board_takes_it_whole() {
    let problem = |width| Problem {
        boards: vec![board(100, 100, 5)],
        parts: vec![part(50, width, 2)],
        rip_kerf: 10,
        edge_allowance: 10,
        ..Problem::default()
    };
    let sections = |width| {
        solved(&problem(width)).layouts[0].sections.iter().map(|section| section.ripped).collect::<Vec<_>>()
    };
    assert_eq!(sections(95), [false]);
    assert_eq!(sections(90), [true]);
}

/// Twelve slats 48 x 2.5 and two rails 60 x 5.5 in sixteenths of an inch with kerfs of an eighth: a bound of area is one
/// board lower than what can be had.
#[test]
fn mixed_slats_are_proven() {
    let inch = |value: f64| (value * 16.0) as i64;
    let problem = Problem {
        boards: vec![
            board(inch(96.0), inch(5.5), 1200),
            board(inch(144.0), inch(5.5), 1900),
            board(inch(96.0), inch(7.25), 1650),
        ],
        parts: vec![
            part(inch(48.0), inch(2.5), 12),
            part(inch(60.0), inch(5.5), 2),
            part(inch(20.0), inch(1.5), 5),
        ],
        rip_kerf: 2,
        crosscut_kerf: 2,
        trim: [4, 4],
        edge_allowance: 4,
        narrowest_strip: 12,
    };
    let answer = solved(&problem);
    assert!(answer.is_optimal(), "{} {} {}", answer.cost, answer.bound, answer.proof);
}

/// A bound below nought must not narrow what is listed: found by chance.
#[test]
fn boards_of_limited_number_alone_are_proven() {
    let problem = Problem {
        boards: vec![Board { available: Some(2), ..board(55, 5, 1) }],
        parts: vec![part(19, 3, 2), part(18, 2, 1)],
        crosscut_kerf: 1,
        edge_allowance: 1,
        ..Problem::default()
    };
    assert_eq!((solved(&problem).cost, solved(&problem).is_optimal()), (2, true));
}
