//! The quick plan: narrow parts side by side, the bundles first fit, each part from the boards of one width.

use super::super::greedy::Rest;
use super::super::instance;
use super::fill::{Cutting, Piece, Row};
use super::yard::{Plank, Yard};
use crate::stock::{Bundle, Kerfs, Lane, Saw, Stick, abreast, first_fit as first_fit_bundles};
use slatwork_base::Length;

/// More parts are not laid out one by one (project choice): the effort grows with their square.
const MOST_PARTS: u32 = 2_000;

/// Boards, how each is cut, and how often.
pub(super) type Plan = Vec<(usize, Cutting, u32)>;

/// Makes all parts that are left: each from the narrowest boards that give it, or from those that give it cheapest, whichever
/// costs less. Nothing when boards run out.
pub(super) fn first_fit(yard: &Yard, rest: &Rest) -> Option<Plan> {
    if rest.parts.iter().sum::<u32>() > MOST_PARTS {
        return None;
    }
    let cost = |plan: &Plan| plan.iter().map(|own| yard.instance.boards[own.0].cost).sum::<i64>();
    let narrowest = |_: &Plank, _: u32| 0.0;
    let cheapest = |plank: &Plank, part: u32| cost_of_one(yard, rest, plank, part);
    let plans = [plan(yard, rest, narrowest), plan(yard, rest, cheapest)];
    plans.into_iter().flatten().min_by_key(cost)
}

/// Each part from the boards for which `rank` is the least, of equals the narrowest.
fn plan(yard: &Yard, rest: &Rest, rank: impl Fn(&Plank, u32) -> f64) -> Option<Plan> {
    let plank_of = |part: u32| {
        let holding = yard.planks.iter().enumerate().filter(|(_, plank)| is_left(yard, rest, plank, part));
        holding.min_by(|a, b| rank(a.1, part).total_cmp(&rank(b.1, part))).map(|own| own.0)
    };
    let parts = (0..rest.parts.len() as u32).filter(|&part| rest.parts[part as usize] > 0);
    let chosen: Vec<(u32, usize)> =
        parts.map(|part| plank_of(part).map(|plank| (part, plank))).collect::<Option<_>>()?;
    let mut plan = Plan::new();
    let mut waiting: Vec<u32> = Vec::new();
    for (at, plank) in yard.planks.iter().enumerate() {
        let own = chosen.iter().filter(|own| own.1 == at);
        waiting
            .extend(own.flat_map(|&(part, _)| std::iter::repeat_n(part, rest.parts[part as usize] as usize)));
        let (here, elsewhere): (Vec<u32>, Vec<u32>) =
            waiting.into_iter().partition(|&part| plank.holds(part));
        waiting = elsewhere;
        waiting.extend(on_plank(yard, rest, plank, &here, &mut plan));
    }
    waiting.is_empty().then_some(plan)
}

/// Whether boards are left that give a part.
fn is_left(yard: &Yard, rest: &Rest, plank: &Plank, part: u32) -> bool {
    let long_enough =
        |&board: &usize| yard.instance.boards[board].capacity >= yard.instance.sizes[part as usize];
    plank.holds(part)
        && plank
            .boards
            .clone()
            .filter(|&board| rest.boards[board] != Some(0))
            .any(|board| long_enough(&board))
}

/// Least cost of one part where a board holds nothing else.
fn cost_of_one(yard: &Yard, rest: &Rest, plank: &Plank, part: u32) -> f64 {
    let (size, need) = (yard.instance.sizes[part as usize], yard.needs[part as usize]);
    let strips = if plank.whole.contains(&part) { 1 } else { plank.room / need };
    let boards = plank.boards.clone().filter(|&board| rest.boards[board] != Some(0));
    let each = boards.map(|board| {
        let board = &yard.instance.boards[board];
        board.cost as f64 / (strips * (board.capacity / size)) as f64
    });
    each.fold(f64::INFINITY, f64::min)
}

/// Adds boards of one width to the plan; gives the parts for which there are none.
fn on_plank(yard: &Yard, rest: &Rest, plank: &Plank, parts: &[u32], plan: &mut Plan) -> Vec<u32> {
    // Sizes carry their kerfs already. What takes the whole width is a trifle wider than the room: nothing lies beside it.
    let piece = |&part: &u32| {
        let width = if plank.whole.contains(&part) { plank.room + 1 } else { yard.needs[part as usize] };
        crate::stock::Piece {
            length: Length::nm(yard.instance.sizes[part as usize]),
            width: Length::nm(width),
        }
    };
    let pieces: Vec<crate::stock::Piece> = parts.iter().map(piece).collect();
    let bundles = abreast(&pieces, Length::nm(plank.room), Kerfs::default());
    let lengths: Vec<Length> = bundles.iter().map(|bundle| bundle.length).collect();
    let sticks: Vec<Stick> =
        plank.boards.clone().map(|board| stick(&yard.instance.boards[board], rest.boards[board])).collect();
    let filled = first_fit_bundles(&lengths, &sticks, Saw::default());
    for opened in &filled.opened {
        let cutting = opened.pieces.iter().map(|&bundle| section(plank, &bundles[bundle], parts)).collect();
        plan.push((plank.boards.start + opened.stick, cutting, 1));
    }
    let unplaced =
        filled.unplaced.iter().flat_map(|&bundle| bundles[bundle].lanes.iter().flat_map(|lane| &lane.pieces));
    unplaced.map(|&piece| parts[piece]).collect()
}

fn stick(board: &instance::Board, left: Option<u32>) -> Stick {
    let available = left.map(|left| left as usize);
    Stick {
        length: Length::nm(board.capacity),
        cost: board.cost,
        available,
        in_hand: board.cost == 0 && left.is_some(),
    }
}

fn section(plank: &Plank, bundle: &Bundle, parts: &[u32]) -> Piece {
    let row = |lane: &Lane| -> Row {
        let mut kinds: Vec<u32> = lane.pieces.iter().map(|&piece| parts[piece]).collect();
        kinds.sort_unstable();
        kinds.chunk_by(|a, b| a == b).map(|alike| (alike[0], alike.len() as u32)).collect()
    };
    let mut rows: Vec<Row> = bundle.lanes.iter().map(row).collect();
    let is_whole = rows[0].iter().any(|own| plank.whole.contains(&own.0));
    if is_whole { Piece::Whole(rows.swap_remove(0)) } else { Piece::Ripped(rows) }
}
