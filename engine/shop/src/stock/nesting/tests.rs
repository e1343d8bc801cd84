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
    // The rectangles are as long as the parts: 60 are saved at each joint of a row, and what a row takes besides is nothing.
    let taken = Taken { alone: vec![Length::mm(360.0)], round_rows: Length::ZERO };
    let table = RowTable::new(&problem, taken).unwrap().unwrap();
    let row = |count: usize| table.row(&[count]).unwrap();
    assert_eq!((row(2).length, row(4).length), (Length::mm(660.0), Length::mm(1_260.0)));
    assert_eq!((table.saved(&row(4)), table.rows().unwrap()[0].0.counts[0]), (Length::mm(180.0), 5));
    // A part of five counts for a fifth of the longest row.
    assert_eq!(table.shares(), [Length::mm(312.0)]);
}

/// Two crescents of 85 with a rise of 25 lie in each other on 155: 60 + 85 and the clearance, a little less across the arcs.
#[test]
fn crescents_lie_in_each_other() {
    let row = shortest(&problem(vec![(crescent(460.0, 85.0, 25.0), 4)], 155.0, 4.0));
    assert!(row.proven);
    assert_eq!(row.length, Length::mm(2.0 * 460.0 + 4.0));
}

/// A part as wide as the board, 100 mm: straight edges, ends with one corner each, in tenths of a millimetre.
fn full_width() -> impl Strategy<Value = Polygon> {
    let end = || (0_i64..900, 0_i64..900, 0_i64..900);
    (end(), end(), 2_000_i64..4_000, 100_i64..900, 100_i64..900).prop_map(
        |(low, high, length, left, right)| {
            let at = |x: i64, y: i64| Point::new(x * MM / 10, y * MM / 10);
            let corners = vec![
                at(low.0, 0),
                at(length + high.0, 0),
                at(length + high.1, right),
                at(length + high.2, 1_000),
                at(low.2, 1_000),
                at(low.1, left),
            ];
            Polygon::new(corners).unwrap()
        },
    )
}

/// Any such part cut down to leave some of the board's width.
fn narrower() -> impl Strategy<Value = Polygon> {
    (full_width(), 550_i64..1_000).prop_map(|(polygon, share)| {
        let squeezed = |point: &Point| Point::new(point.x, point.y * share / 1_000);
        Polygon::new(polygon.points().iter().map(squeezed).collect()).unwrap()
    })
}

/// Reach of a polygon along the board at a height, from all its edges: an own way to the no-fit relation.
fn reach(polygon: &Polygon, y: f64) -> (f64, f64) {
    let points = polygon.points();
    let crossings = (0..points.len()).flat_map(|index| {
        let (a, b) = (points[index], points[(index + 1) % points.len()]);
        let (low, high) = (a.y.min(b.y) as f64, a.y.max(b.y) as f64);
        let x = |point: Point| point.x as f64;
        if y < low || y > high {
            vec![]
        } else if low == high {
            vec![x(a), x(b)]
        } else {
            vec![x(a) + (x(b) - x(a)) * (y - a.y as f64) / (b.y - a.y) as f64]
        }
    });
    crossings.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)))
}

/// Least distance of two touching parts at levels across the board, nm.
fn touching(first: &(Polygon, i64), next: &(Polygon, i64)) -> f64 {
    let heights = |(polygon, level): &(Polygon, i64)| -> Vec<i64> {
        polygon.points().iter().map(|point| point.y + level).collect()
    };
    let within = |(polygon, level): &(Polygon, i64), y: i64| *level <= y && y <= level + polygon.width();
    let all = heights(first).into_iter().chain(heights(next));
    all.filter(|&y| within(first, y) && within(next, y))
        .map(|y| reach(&first.0, (y - first.1) as f64).1 - reach(&next.0, (y - next.1) as f64).0)
        .fold(0.0, f64::max)
}

/// Every order, turn and edge of the board, tried one after the other: the least length without clearance, nm.
fn by_trying_all(parts: &[Polygon], width: i64, faces: Faces) -> f64 {
    let variants: Vec<Vec<(Polygon, i64)>> = parts
        .iter()
        .map(|part| {
            let turned = faces.turns().iter().map(|&turn| part.turned(turn));
            let levels = |own: Polygon| [0, width - own.width()].map(|level| (own.clone(), level));
            let mut variants: Vec<(Polygon, i64)> = turned.flat_map(levels).collect();
            variants.dedup();
            variants
        })
        .collect();
    let all: Vec<(usize, &(Polygon, i64))> = variants
        .iter()
        .enumerate()
        .flat_map(|(part, own)| own.iter().map(move |variant| (part, variant)))
        .collect();
    let apart: Vec<Vec<f64>> =
        all.iter().map(|(_, own)| all.iter().map(|(_, next)| touching(own, next)).collect()).collect();
    let (mut best, mut laid) = (f64::INFINITY, Vec::new());
    try_next(&all, &apart, parts.len(), &mut laid, 0.0, &mut best);
    best
}

fn try_next(
    all: &[(usize, &(Polygon, i64))],
    apart: &[Vec<f64>],
    count: usize,
    laid: &mut Vec<(usize, f64)>,
    end: f64,
    best: &mut f64,
) {
    if laid.len() == count {
        *best = best.min(end);
        return;
    }
    for (index, (part, (polygon, _))) in all.iter().enumerate() {
        if laid.iter().any(|&(own, _)| all[own].0 == *part) {
            continue;
        }
        let x = laid.iter().map(|&(own, x)| x + apart[own][index]).fold(0.0, f64::max);
        let reached = end.max(x + polygon.length() as f64);
        if reached < *best {
            laid.push((index, x));
            try_next(all, apart, count, laid, reached, best);
            laid.pop();
        }
    }
}

/// Rounding up by a nanometre or two at each neighbour.
const ROUNDING: f64 = 30.0;

fn alone(parts: &[Polygon]) -> Vec<(Polygon, usize)> {
    parts.iter().map(|part| (part.clone(), 1)).collect()
}

/// Distance of a point from an edge, nm, in doubles.
fn distance(point: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let (along, off) = ((b.0 - a.0, b.1 - a.1), (point.0 - a.0, point.1 - a.1));
    let whole = along.0 * along.0 + along.1 * along.1;
    let foot = ((along.0 * off.0 + along.1 * off.1) / whole).clamp(0.0, 1.0);
    let (x, y) = (off.0 - foot * along.0, off.1 - foot * along.1);
    (x * x + y * y).sqrt()
}

/// Corners of a placed part in doubles, and points along its edges, a hundred on each.
type Sampled = (Vec<(f64, f64)>, Vec<(f64, f64)>);

fn sampled(problem: &NestProblem, placed: &Placement) -> Sampled {
    let own = problem.parts[placed.part].polygon.turned(placed.turn);
    let corners: Vec<(f64, f64)> =
        own.points().iter().map(|p| ((p.x + placed.at.x) as f64, (p.y + placed.at.y) as f64)).collect();
    let next = |index: usize| corners[(index + 1) % corners.len()];
    let along = |index: usize, step: i32| {
        let (a, b, t) = (corners[index], next(index), f64::from(step) / 100.0);
        (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)
    };
    let points = (0..corners.len()).flat_map(|index| (0..100).map(move |step| (index, step)));
    let points = points.map(|(index, step)| along(index, step)).collect();
    (corners, points)
}

/// Nearest that any two parts come, by sampling, nm; negative infinity when one reaches into another.
fn nearest_by_sampling(problem: &NestProblem, placements: &[Placement]) -> f64 {
    let parts: Vec<Sampled> = placements.iter().map(|placed| sampled(problem, placed)).collect();
    let mut nearest = f64::INFINITY;
    for (index, (corners, _)) in parts.iter().enumerate() {
        let edge = |at: usize| (corners[at], corners[(at + 1) % corners.len()]);
        for (_, points) in parts.iter().enumerate().filter(|(other, _)| *other != index).map(|(_, part)| part)
        {
            for &point in points {
                let near =
                    (0..corners.len()).map(|at| distance(point, edge(at).0, edge(at).1)).fold(1e18, f64::min);
                let crosses = |&at: &usize| {
                    let (a, b) = edge(at);
                    (a.1 > point.1) != (b.1 > point.1)
                        && point.0 < a.0 + (b.0 - a.0) * (point.1 - a.1) / (b.1 - a.1)
                };
                let inside = (0..corners.len()).filter(crosses).count() % 2 == 1;
                nearest = nearest.min(if inside && near > 1.0 { f64::NEG_INFINITY } else { near });
            }
        }
    }
    nearest
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// Up to five parts in four turns.
    #[test]
    fn no_order_or_turn_is_shorter(parts in prop::collection::vec(full_width(), 1..6)) {
        let row = shortest(&problem(alone(&parts), 100.0, 0.0));
        let best = by_trying_all(&parts, 100 * MM, Faces::BothGood);
        prop_assert!(row.proven);
        prop_assert!((row.length.as_nm() as f64 - best).abs() <= ROUNDING, "{} {best}", row.length.as_nm());
    }

    /// With room across the board: levels between and stacks may only make it shorter.
    #[test]
    fn no_order_or_turn_is_shorter_with_room_across(parts in prop::collection::vec(narrower(), 1..5)) {
        let row = shortest(&problem(alone(&parts), 100.0, 0.0));
        let best = by_trying_all(&parts, 100 * MM, Faces::BothGood);
        prop_assert!(row.length.as_nm() as f64 <= best + ROUNDING, "{} {best}", row.length.as_nm());
    }

    #[test]
    fn parts_keep_their_clearance(parts in prop::collection::vec(narrower(), 2..5), clearance in 0_u32..80) {
        let clearance = f64::from(clearance) / 10.0;
        let problem = problem(alone(&parts), 100.0, clearance);
        let row = shortest(&problem);
        let nearest = nearest_by_sampling(&problem, &row.placements);
        prop_assert!(nearest >= clearance * 1e6 - 1.0, "{nearest}");
    }

    /// No row of some of the parts, however found, takes less than what they count for; and what is told of a row is so.
    #[test]
    fn parts_count_for_no_more_than_any_row_takes(
        parts in prop::collection::vec((narrower(), 1_usize..4), 1..4), clearance in 0_u32..40, room in 0_u32..30,
    ) {
        let problem = problem(parts, 100.0, f64::from(clearance) / 10.0);
        let room = Length::mm(f64::from(room) / 10.0);
        let alone = problem.parts.iter().map(|part| Length::nm(part.polygon.length()) + room).collect();
        let table = RowTable::new(&problem, Taken { alone, round_rows: room }).unwrap().unwrap();
        let shares = table.shares();
        let counted = |counts: &[usize]| counts.iter().zip(&shares).map(|(&count, &share)| Length::nm(share.as_nm() * count as i64)).sum::<Length>();
        let row = shortest(&problem);
        prop_assert!(counted(&row.counts) <= row.length + room);
        let nested = nest(&problem).unwrap();
        for board in nested.boards {
            let mut counts = vec![0; problem.parts.len()];
            board.placements.iter().for_each(|placed| counts[placed.part] += 1);
            prop_assert!(counted(&counts) <= board.used + room);
        }
        for (row, least) in table.rows().unwrap_or_default() {
            prop_assert!(least <= row.length && (!row.proven || least == row.length));
            prop_assert!(table.saved(&row).is_positive() && counted(&row.counts) <= row.length + room);
            let again = table.row(&row.counts);
            prop_assert!(again.is_some_and(|again| again.length <= row.length));
        }
    }

    #[test]
    fn mirrored_parts_take_the_same_length(parts in prop::collection::vec(full_width(), 1..5), clearance in 0_u32..8) {
        let with = |turn: Turn, faces: Faces| {
            let turned: Vec<Polygon> = parts.iter().map(|part| part.turned(turn)).collect();
            let mut problem = problem(alone(&turned), 100.0, f64::from(clearance));
            problem.parts.iter_mut().for_each(|part| part.faces = faces);
            shortest(&problem).length
        };
        for faces in [Faces::OneGood, Faces::BothGood] {
            let drawn = with(Turn::AsDrawn, faces);
            for turn in Turn::ALL {
                // Which way a distance is rounded depends on where it is measured from.
                prop_assert!((with(turn, faces) - drawn).abs() <= Length::nm(ROUNDING as i64));
            }
            prop_assert!(with(Turn::AsDrawn, Faces::BothGood) <= drawn);
        }
    }

    #[test]
    fn more_clearance_never_takes_less(parts in prop::collection::vec(full_width(), 1..5), small in 0_u32..40, more in 1_u32..40) {
        let with = |tenths: u32| shortest(&problem(alone(&parts), 100.0, f64::from(tenths) / 10.0)).length;
        prop_assert!(with(small) <= with(small + more));
    }

    /// Whole plans on several boards, with defects and a rack: no fault, and no bound above the cost.
    #[test]
    fn plans_stand_being_gone_over(
        parts in prop::collection::vec((narrower(), 1_usize..4), 1..4),
        zone in (0_i64..900, 1_i64..200, 0_i64..90, 1_i64..100),
        clearance in 0_u32..60,
    ) {
        let mut problem = problem(parts, 100.0, f64::from(clearance) / 10.0);
        let low = Point::new(zone.0 * MM, zone.2 * MM);
        let defect = Zone { low, high: low.plus(Point::new(zone.1 * MM, zone.3 * MM)) };
        let rack = NestBoard { available: Some(2), zones: vec![defect], ..board(1_000.0, 0) };
        problem.boards = vec![board(1_200.0, 130), board(2_400.0, 250), rack];
        let plan = nest(&problem).unwrap();
        prop_assert!(plan.unplaced.is_empty());
        prop_assert!(plan.cost_at_least <= plan.cost_of_rows_at_least && plan.cost_of_rows_at_least <= plan.cost);
    }
}

/// Least length of parts as wide as the board, by shortest paths over sets of parts (Held and Karp), nm.
fn by_shortest_paths(parts: &[Polygon]) -> f64 {
    let variants: Vec<(usize, (Polygon, i64))> = (0..parts.len())
        .flat_map(|part| Turn::ALL.map(|turn| (part, (parts[part].turned(turn), 0))))
        .collect();
    let count = variants.len();
    let apart: Vec<Vec<f64>> =
        variants.iter().map(|own| variants.iter().map(|next| touching(&own.1, &next.1)).collect()).collect();
    let mut least = vec![vec![f64::INFINITY; count]; 1 << parts.len()];
    for (index, (part, _)) in variants.iter().enumerate() {
        least[1 << part][index] = 0.0;
    }
    for set in 1..least.len() {
        for last in 0..count {
            let here = least[set][last];
            for (next, (part, _)) in variants.iter().enumerate().filter(|(_, own)| set & (1 << own.0) == 0) {
                let there = &mut least[set | 1 << part][next];
                *there = there.min(here + apart[last][next]);
            }
        }
    }
    let all = &least[least.len() - 1];
    variants.iter().zip(all).map(|((_, own), x)| x + own.0.length() as f64).fold(f64::INFINITY, f64::min)
}

/// Eight different parts in four turns, against another formulation.
#[test]
fn eight_parts_lie_in_the_best_order() {
    let parts: Vec<Polygon> = (1..=8)
        .map(|k| polygon(&[(7 * k % 11, 0), (60 + 13 * k % 17, 0), (60 + 5 * k % 19, 40), (3 * k % 13, 40)]))
        .collect();
    let row = shortest(&problem(alone(&parts), 40.0, 0.0));
    let best = by_shortest_paths(&parts);
    assert!(row.proven && (row.length.as_nm() as f64 - best).abs() <= ROUNDING, "{} {best}", row.length);
}

/// Of 1000 mm with a defect from 300 to 400 over half the width: three parts of 290 fit, one of them behind it.
#[test]
fn rows_go_round_defects() {
    let part = polygon(&[(0, 0), (290, 0), (290, 100), (0, 100)]);
    let mut problem = problem(vec![(part, 3)], 100.0, 5.0);
    let defect =
        |from: i64, to: i64| Zone { low: Point::new(from * MM, 0), high: Point::new(to * MM, 50 * MM) };
    problem.boards =
        vec![NestBoard { available: Some(1), zones: vec![defect(300, 400)], ..board(1_000.0, 7) }];
    let plan = nest(&problem).unwrap();
    let starts: Vec<i64> = plan.boards[0].placements.iter().map(|placed| placed.at.x / MM).collect();
    assert_eq!((starts, plan.cost), (vec![0, 400, 695], 7));
    problem.boards[0].zones = vec![defect(280, 430)];
    let plan = nest(&problem).unwrap();
    assert_eq!((plan.unplaced, plan.boards.len()), (vec![0, 0], 1));
}

#[test]
fn many_parts_are_nested_on_what_costs_least_for_its_area() {
    let kinds = [(crescent(460.0, 85.0, 25.0), 40), (taper(900, 80, 50), 60), (taper(500, 120, 90), 25)];
    let mut problem = problem(kinds.to_vec(), 155.0, 4.0);
    problem.boards = vec![board(2_400.0, 240), board(3_600.0, 350)];
    let plan = nest(&problem).unwrap();
    assert!(plan.unplaced.is_empty());
    assert!(plan.cost * 100 <= plan.cost_at_least * 140, "{} {}", plan.cost, plan.cost_at_least);
}

#[test]
fn fifteen_kinds_come_in_one_row_by_exchanges() {
    let parts: Vec<Polygon> = (0..15).map(|k| taper(300 + 10 * k, 100, 40 + 3 * k)).collect();
    let row = shortest(&problem(alone(&parts), 100.0, 3.0));
    let plain: i64 = parts.iter().map(|part| part.length() + 3 * MM).sum();
    assert!(!row.proven && row.length < Length::nm(plain * 99 / 100), "{}", row.length);
}

#[test]
fn what_cannot_be_nested_is_named() {
    let part = || polygon(&[(0, 0), (290, 0), (290, 100), (0, 100)]);
    let sound = || problem(vec![(part(), 3)], 100.0, 5.0);
    let fault = |change: &dyn Fn(&mut NestProblem)| {
        let mut problem = sound();
        change(&mut problem);
        nest(&problem).unwrap_err()
    };
    assert_eq!(fault(&|p| p.width = Length::mm(99.0)), NestFault::WiderThanBoard { part: 0 });
    assert_eq!(fault(&|p| p.boards[0].length = Length::mm(280.0)), NestFault::LongerThanBoards { part: 0 });
    assert_eq!(fault(&|p| p.clearance = Length::nm(-1)), NestFault::BadClearance);
    assert_eq!(fault(&|p| p.clearance = Length::mm(200.0)), NestFault::BadClearance);
    assert_eq!(fault(&|p| p.boards.clear()), NestFault::NoBoards);
    assert_eq!(fault(&|p| p.boards[0].length = Length::ZERO), NestFault::BadBoard { board: 0 });
    assert_eq!(fault(&|p| p.boards[0].cost = -1), NestFault::BadBoard { board: 0 });
    assert_eq!(fault(&|p| p.boards[0].cost = i64::MAX), NestFault::BadBoard { board: 0 });
    let inside_out = Zone { low: Point::new(5, 5), high: Point::new(5, 9) };
    assert_eq!(fault(&|p| p.boards[0].zones.push(inside_out)), NestFault::BadBoard { board: 0 });
    assert_eq!(fault(&|p| p.width = Length::nm(i64::MAX)), NestFault::TooLarge);
    assert_eq!(fault(&|p| p.parts[0].count = 100_000), NestFault::TooManyParts);
    assert_eq!(fault(&|p| p.parts[0].count = usize::MAX), NestFault::TooManyParts);
    let nothing = nest(&problem(vec![(part(), 0)], 100.0, 5.0)).unwrap();
    assert_eq!((nothing.cost, nothing.boards.len(), nothing.cost_at_least), (0, 0, 0));
}

#[test]
fn a_spoiled_plan_does_not_stand() {
    let part = polygon(&[(0, 0), (290, 0), (290, 100), (0, 100)]);
    let problem = problem(vec![(part, 3)], 100.0, 5.0);
    let plan = nest(&problem).unwrap();
    let spoiled = |change: &dyn Fn(&mut NestPlan)| {
        let mut plan = plan.clone();
        change(&mut plan);
        verify(&problem, &plan).unwrap_err()
    };
    assert_eq!(
        spoiled(&|p| p.boards[0].placements[1].at.x -= 1),
        PlanFault::TooNear { board: 0, parts: [0, 0] }
    );
    assert_eq!(spoiled(&|p| p.boards[0].placements[0].at.y += 1), PlanFault::OffBoard { board: 0, part: 0 });
    assert_eq!(spoiled(&|p| p.boards[0].placements[0].part = 1), PlanFault::WrongPart { board: 0 });
    assert_eq!(spoiled(&|p| p.boards[0].board = 1), PlanFault::TooManyBoards { board: 1 });
    assert_eq!(spoiled(&|p| p.boards[0].placements.truncate(2)), PlanFault::Miscounted { part: 0 });
    assert_eq!(spoiled(&|p| p.cost -= 1), PlanFault::WrongCost);
    assert_eq!(spoiled(&|p| p.cost_at_least = p.cost + 1), PlanFault::WrongCost);
}

/// A disc of 20 mm radius from two half circles: its box stays, its polygon holds it and stands off by 0.1 mm at most.
#[test]
fn a_flattened_disc_holds_its_circle() {
    let corner = |x| CurvedCorner { x, y: 50.000_000_3, bulge: 1.0 };
    let disc = flattened(&[corner(10.0), corner(50.0)], Length::mm(0.1)).unwrap();
    assert_eq!(disc.length(), 40 * MM);
    assert!((40 * MM..=40 * MM + 2).contains(&disc.width()), "{}", disc.width());
    for point in disc.points() {
        let off = ((point.x as f64 - 20e6).powi(2) + (point.y as f64 - 20e6).powi(2)).sqrt() - 20e6;
        assert!((-1.0..=0.1e6 + 3.0).contains(&off), "{off}");
    }
    let circle = 20e6 * 20e6 * std::f64::consts::PI;
    assert!(disc.twice_area() as f64 / 2.0 >= circle);
}

/// Points on a hollow and a full arc lie inside the polygon.
#[test]
fn a_flattened_crescent_holds_its_arcs() {
    let (length, width, rise) = (457.2, 88.9, 19.05);
    let own = crescent(length, width, rise);
    assert_eq!((own.length(), own.width()), (457_200_000, 88_900_000));
    let radius = (length * length / 4.0 + rise * rise) / (2.0 * rise);
    for step in 1..1_000 {
        let x = length * f64::from(step) / 1_000.0;
        let above = rise - radius + (radius * radius - (x - length / 2.0).powi(2)).sqrt();
        let (low, high) = (reach_across(&own, x * 1e6), (above * 1e6, (width - rise + above) * 1e6));
        assert!(low.0 <= high.0 + 0.1 && high.1 <= low.1 + 0.1, "{x}");
        assert!(high.0 - low.0 <= 0.1e6 + 3.0 && low.1 - high.1 <= 0.1e6 + 3.0, "{x}");
    }
}

/// Least and largest y of a polygon at an x.
fn reach_across(polygon: &Polygon, x: f64) -> (f64, f64) {
    let points = polygon.points();
    let heights = (0..points.len()).filter_map(|index| {
        let (a, b) = (points[index], points[(index + 1) % points.len()]);
        let (from, to) = (a.x as f64, b.x as f64);
        let between = from.min(to) <= x && x <= from.max(to) && from != to;
        between.then(|| a.y as f64 + (b.y - a.y) as f64 * (x - from) / (to - from))
    });
    heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)))
}

#[test]
fn outlines_that_cannot_be_flattened_are_named() {
    let corner = |x, y, bulge| CurvedCorner { x, y, bulge };
    let flat = |corners: &[CurvedCorner]| flattened(corners, Length::mm(0.1)).unwrap_err();
    assert_eq!(flat(&[corner(0.0, f64::NAN, 0.0)]), NestFault::NotFinite { corner: 0 });
    assert_eq!(flat(&[corner(0.0, 0.0, 0.0), corner(1e9, 0.0, 0.0)]), NestFault::TooLarge);
    assert_eq!(flat(&[]), NestFault::NoArea);
    assert_eq!(flat(&[corner(0.0, 0.0, 0.0), corner(9.0, 0.0, 0.0)]), NestFault::NoArea);
    let crossing =
        [corner(0.0, 0.0, 0.0), corner(9.0, 9.0, 0.0), corner(9.0, 0.0, 0.0), corner(0.0, 9.0, 0.0)];
    assert!(matches!(flat(&crossing), NestFault::SelfCrossing { .. }));
    let square = [corner(0.0, 0.0, 0.0), corner(9.0, 0.0, 0.0), corner(9.0, 9.0, 0.0)];
    assert_eq!(flattened(&square, Length::ZERO).unwrap_err(), NestFault::BadTolerance);
    let fine = [corner(0.0, 0.0, 1.0), corner(4_000.0, 0.0, 1.0)];
    assert_eq!(flattened(&fine, Length::nm(1)).unwrap_err(), NestFault::TooManyCorners);
}
