//! A stool for tests.

use slatwork_base::{Length, Origin};
use slatwork_catalog::Catalogue;
use slatwork_model::bench::{Among, BoardOrder, Item, SeatOrder, WHOLE};
use slatwork_model::{Bench, BoardId, JointOrder, Model, People, Site, UseLevel};

/// From nowhere in a script.
const HERE: Origin = Origin::NOWHERE;

fn board(bench: &mut Bench, name: &str, section: &str, inches: f64, lie: (&str, &str)) -> BoardId {
    let order = BoardOrder {
        stock: section.to_string(),
        length: Some(Length::inch(inches)),
        ..BoardOrder::default()
    };
    let board = bench.board(WHOLE, name, &order, HERE).expect("the section exists");
    bench.lie(board, lie.0, lie.1, HERE).expect("it can lie so");
    board
}

fn place(bench: &mut Bench, board: BoardId, how: &str, mine: &str, other: BoardId, word: &str, inches: f64) {
    let side = bench.side(Item::Board(other), word, Among::Sides, HERE).expect("it has that side");
    let gap = Length::inch(inches);
    let done = match how {
        "against" => bench.against(Item::Board(board), mine, &side, gap, HERE),
        _ => bench.flush(Item::Board(board), mine, &side, gap, HERE),
    };
    done.expect("it can be placed");
}

/// A stool: two bearers 24 in apart on four legs, six slats of a section across, their ends flush with the bearers' outer faces.
pub(crate) fn stool(slat: &str, level: UseLevel) -> Model {
    changed_stool(slat, level, |_, _| ())
}

/// The same, its bearers changed before it is finished.
pub(crate) fn changed_stool(
    slat: &str,
    level: UseLevel,
    change: impl FnOnce(&mut Bench, &[BoardId]),
) -> Model {
    stool_on(17.0, slat, level, change)
}

/// The same on legs so many inches long.
pub(crate) fn stool_on(
    legs: f64,
    slat: &str,
    level: UseLevel,
    change: impl FnOnce(&mut Bench, &[BoardId]),
) -> Model {
    let people = People { use_level: level, ..People::default() };
    let mut bench = Bench::new(Catalogue::shared().clone(), "trial", "white oak", Site::default(), people);
    let join = |bench: &mut Bench, kind: &str, a, b| {
        let order = JointOrder { kind: kind.to_string(), ..JointOrder::default() };
        bench.join(&order, a, b, HERE).expect("a known joint");
    };
    let left = board(&mut bench, "left bearer", "2x6", 24.0, ("rear", "right"));
    let right = board(&mut bench, "right bearer", "2x6", 24.0, ("rear", "right"));
    place(&mut bench, right, "against", "left", left, "right", 24.0);
    place(&mut bench, right, "flush", "front", left, "front", 0.0);
    place(&mut bench, right, "flush", "up", left, "up", 0.0);
    for (bearer, inner, outer) in [(left, "right", "left"), (right, "left", "right")] {
        for end in ["front", "rear"] {
            let leg = board(&mut bench, "leg", "2x4", legs, ("up", "right"));
            place(&mut bench, leg, "against", inner, bearer, outer, 0.0);
            place(&mut bench, leg, "flush", end, bearer, end, 0.0);
            place(&mut bench, leg, "flush", "up", bearer, "up", 0.0);
            join(&mut bench, "bolted lap", leg, bearer);
        }
    }
    let mut slats = Vec::new();
    for number in 0..6 {
        let own = board(&mut bench, "slat", slat, 27.0, ("right", "up"));
        place(&mut bench, own, "against", "down", left, "up", 0.0);
        place(&mut bench, own, "flush", "left", left, "left", 0.0);
        place(&mut bench, own, "flush", "front", left, "front", 4.1 * f64::from(number));
        join(&mut bench, "slat to bearer", own, left);
        join(&mut bench, "slat to bearer", own, right);
        slats.push(own);
    }
    change(&mut bench, &[left, right]);
    bench.seat(SeatOrder { on: slats, places: 1, ..SeatOrder::default() });
    let outcome = bench.finish();
    outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics))
}
