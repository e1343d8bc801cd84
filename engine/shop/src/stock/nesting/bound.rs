//! What no nest can beat.

use super::NestProblem;
use super::row::Steps;
use crate::stock::common_measure;

/// Room that boards of one kind have, and what one costs.
#[derive(Clone, Copy, Debug)]
struct Room {
    room: i128,
    cost: i64,
    available: Option<usize>,
}

/// Least cost of any layout whatever, by area. Parts grown by half the clearance do not overlap and lie within the board
/// grown as much. A grown part takes at least its area, plus what Brunn and Minkowski's inequality adds:
/// sqrt(A + grown) >= sqrt(A) + sqrt(disc).
pub(super) fn cost_by_area(problem: &NestProblem) -> i64 {
    let clearance = i128::from(problem.clearance.as_nm());
    let grown = |twice_area: i128| {
        // pi is at least 3; twice (2 sqrt(A pi c^2 / 4) + pi c^2 / 4) is then at least this.
        twice_area + 2 * clearance * (3 * twice_area / 2).isqrt() + 3 * clearance * clearance / 2
    };
    let need = problem.parts.iter().map(|part| part.count as i128 * grown(part.polygon.twice_area())).sum();
    let width = i128::from(problem.width.as_nm()) + clearance;
    let rooms = problem.boards.iter().map(|board| Room {
        room: 2 * width * (i128::from(board.length.as_nm()) + clearance),
        cost: board.cost,
        available: board.available,
    });
    least_cost(need, rooms.collect())
}

/// Least cost of rows of these blocks, by pitches: a block takes at least its least distance to any that may follow it, the
/// last of a row its length, which is longer by no more than the board is given here. A stack's pitch counts for its
/// parts by their lengths, and a part with the least that it counts anywhere.
pub(super) fn cost_by_pitch(problem: &NestProblem, steps: &Steps) -> i64 {
    let kinds = 0..steps.blocks.len();
    let pitch = |block: usize| kinds.clone().map(|next| steps.between(block, next)).min().unwrap_or(0);
    let pitches: Vec<i64> = kinds.clone().map(pitch).collect();
    let beyond = kinds.clone().map(|block| pitches[block] - steps.blocks[block].length).max().unwrap_or(0);
    let weight = |part: usize| {
        let share = |block: usize| {
            let own = &steps.blocks[block];
            let all: i64 = own.parts().map(|(_, polygon)| polygon.length()).sum();
            let one =
                own.parts().find(|(placed, _)| placed.part == part).map(|(_, polygon)| polygon.length())?;
            Some(i128::from(pitches[block]) * i128::from(one) / i128::from(all.max(1)))
        };
        kinds.clone().filter_map(share).min().unwrap_or(0)
    };
    let need = problem.parts.iter().enumerate().map(|(part, own)| own.count as i128 * weight(part)).sum();
    let rooms = problem.boards.iter().map(|board| Room {
        room: i128::from(board.length.as_nm()) + i128::from(beyond),
        cost: board.cost,
        available: board.available,
    });
    least_cost(need, rooms.collect())
}

/// Least cost of boards with this much room, pieces of boards allowed; rounded up to what whole boards can cost.
fn least_cost(mut need: i128, mut rooms: Vec<Room>) -> i64 {
    rooms.retain(|own| own.room > 0);
    rooms.sort_by(|a, b| (i128::from(a.cost) * b.room).cmp(&(i128::from(b.cost) * a.room)));
    let measure = rooms.iter().fold(0, |measure, own| common_measure(measure, i128::from(own.cost))).max(1);
    let (mut cost, mut more) = (0_i128, 0_i128);
    for own in rooms {
        if need <= 0 {
            break;
        }
        let most = own.available.map_or(need, |available| (available as i128).saturating_mul(own.room));
        let taken = most.min(need) * i128::from(own.cost);
        cost += taken / own.room;
        more = more.max((taken % own.room).signum());
        need -= most.min(need);
    }
    // What is left over of the divisions makes more than the sum, so at least one more.
    let least = cost + more;
    i64::try_from((least + measure - 1) / measure * measure).unwrap_or(i64::MAX)
}
