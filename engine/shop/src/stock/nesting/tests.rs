//! Whole nests: against an independent search, by sampling, mirrored, with more clearance, with defects.

use super::*;
use proptest::prelude::*;
use slatwork_base::Length;

const MM: i64 = 1_000_000;

fn polygon(corners: &[(i64, i64)]) -> Polygon {
    Polygon::new(corners.iter().map(|&(x, y)| Point::new(x * MM, y * MM)).collect()).unwrap()
}

/// A slat that tapers on one edge.
fn taper(length: i64, wide: i64, narrow: i64) -> Polygon {
    polygon(&[(0, 0), (length, 0), (length, narrow), (0, wide)])
}

/// A crescent between two arcs of the same rise, `width` high over all, in mm.
fn crescent(length: f64, width: f64, rise: f64) -> Polygon {
    let corner = |x, y, bulge| CurvedCorner { x, y, bulge };
    // Tangent of a quarter of the angle: twice the rise over the chord.
    let bulge = 2.0 * rise / length;
    let corners = [
        corner(0.0, 0.0, -bulge),
        corner(length, 0.0, 0.0),
        corner(length, width - rise, bulge),
        corner(0.0, width - rise, 0.0),
    ];
    flattened(&corners, Length::mm(0.1)).unwrap()
}

fn board(length_mm: f64, cost: i64) -> NestBoard {
    NestBoard { length: Length::mm(length_mm), cost, available: None, zones: Vec::new() }
}

fn problem(parts: Vec<(Polygon, usize)>, width_mm: f64, clearance_mm: f64) -> NestProblem {
    let part = |(polygon, count)| NestPart { polygon, faces: Faces::BothGood, count };
    NestProblem {
        parts: parts.into_iter().map(part).collect(),
        width: Length::mm(width_mm),
        clearance: Length::mm(clearance_mm),
        boards: vec![board(8_000.0, 8_000)],
    }
}

fn shortest(problem: &NestProblem) -> Bundle {
    let row = shortest_row(problem).unwrap();
    let board = NestedBoard { board: 0, placements: row.placements.clone(), used: row.length };
    let plan = NestPlan { boards: vec![board], cost: problem.boards[0].cost, ..NestPlan::default() };
    verify(problem, &plan).unwrap();
    row
}

#[test]
fn rectangles_take_what_they_always_took() {
    let row = shortest(&problem(vec![(polygon(&[(0, 0), (500, 0), (500, 90), (0, 90)]), 4)], 90.0, 3.0));
    assert_eq!((row.length, row.proven), (Length::mm(2_009.0), true));
}

/// Slats that taper from 80 to 50 lie head to tail, two abreast, on a board of 140: 80 + 50 + 3 fits.
#[test]
fn tapered_slats_lie_two_abreast() {
    let row = shortest(&problem(vec![(taper(900, 80, 50), 4)], 140.0, 3.0));
    assert_eq!((row.length, row.proven), (Length::mm(1_803.0), true));
}

/// Parallelograms spoon: their ends lean by 60 over the width, so each takes its edge's length and the clearance square to
/// the leaning end.
#[test]
fn parallelograms_spoon_at_a_constant_pitch() {
    let part = polygon(&[(0, 0), (300, 0), (360, 80), (60, 80)]);
    let problem = problem(vec![(part, 5)], 80.0, 0.0);
    let row = shortest(&problem);
    assert_eq!((row.length, row.proven), (Length::mm(360.0 + 4.0 * 300.0), true));
    let bundles = bundles(&problem, 10).unwrap();
    let of = |count: usize| bundles.iter().find(|bundle| bundle.counts == [count]).unwrap().length;
    assert_eq!((of(1), of(2), of(4)), (Length::mm(360.0), Length::mm(660.0), Length::mm(1_260.0)));
}

/// Two crescents of 85 with a rise of 25 lie in each other on 155: 60 + 85 and the clearance, a little less across the arcs.
#[test]
fn crescents_lie_in_each_other() {
    let row = shortest(&problem(vec![(crescent(460.0, 85.0, 25.0), 4)], 155.0, 4.0));
    assert!(row.proven);
    assert_eq!(row.length, Length::mm(2.0 * 460.0 + 4.0));
}
