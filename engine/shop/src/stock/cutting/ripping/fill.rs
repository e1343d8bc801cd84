//! One board cut into sections and strips, in kinds of part; and such a frame filled anew with no more than is left.

use super::front::{Front, Item};
use super::yard::{Lane, Plank, Yard};
use std::collections::BTreeMap;

/// Kinds of part in a row, and how many of each.
pub(super) type Row = Vec<(u32, u32)>;

/// A section in kinds of part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Piece {
    /// Parts that take the whole width.
    Whole(Row),
    /// Strips side by side.
    Ripped(Vec<Row>),
}

/// How a board is cut.
pub(super) type Cutting = Vec<Piece>;

/// How many of each kind, by kind.
pub(super) fn counts(cutting: &[Piece]) -> Row {
    let mut counts: BTreeMap<u32, u32> = BTreeMap::new();
    for &(part, count) in cutting.iter().flat_map(rows).flatten() {
        *counts.entry(part).or_default() += count;
    }
    counts.into_iter().collect()
}

/// Length that a section takes.
pub(super) fn length(yard: &Yard, piece: &Piece) -> i64 {
    let of = |row: &Row| {
        row.iter().map(|&(part, count)| yard.instance.sizes[part as usize] * i64::from(count)).sum()
    };
    rows(piece).iter().map(of).max().unwrap_or(0)
}

/// The rows of a section.
pub(super) fn rows(piece: &Piece) -> &[Row] {
    match piece {
        Piece::Whole(row) => std::slice::from_ref(row),
        Piece::Ripped(rows) => rows,
    }
}

/// Sections to be cut, not yet into parts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Frame {
    /// Parts that take the whole width.
    pub whole: Row,
    /// Length of each ripped section, and its strips by lane.
    pub sections: Vec<(i64, Vec<usize>)>,
}

/// Fills a frame with the parts that are worth most, no more than `left` of each, strip by strip.
pub(super) fn fill(yard: &Yard, plank: &Plank, frame: &Frame, worth: &[i64], left: &mut [u32]) -> Cutting {
    let mut cutting = Cutting::new();
    for &(part, count) in &frame.whole {
        let count = count.min(left[part as usize]);
        if count > 0 {
            left[part as usize] -= count;
            cutting.push(Piece::Whole(vec![(part, count)]));
        }
    }
    for (length, lanes) in &frame.sections {
        let strips = lanes.iter().map(|&lane| fill_strip(yard, &plank.lanes[lane], *length, worth, left));
        let strips: Vec<Row> = strips.filter(|strip| !strip.is_empty()).collect();
        if !strips.is_empty() {
            cutting.push(Piece::Ripped(strips));
        }
    }
    cutting
}

fn fill_strip(yard: &Yard, lane: &Lane, length: i64, worth: &[i64], left: &mut [u32]) -> Row {
    let mut front = Front::new(length);
    for &part in &lane.parts {
        let item = Item { item: part, size: yard.instance.sizes[part as usize], worth: worth[part as usize] };
        front.add(item, left[part as usize]);
    }
    let mut row: BTreeMap<u32, u32> = BTreeMap::new();
    for (part, count) in front.items(front.best(length)) {
        *row.entry(part).or_default() += count;
    }
    row.iter().for_each(|(&part, &count)| left[part as usize] -= count);
    row.into_iter().collect()
}

/// A row that is being joined: how many of each kind.
type Strip = BTreeMap<u32, u32>;

/// The same with sections of equal strips as one: it is ripped once, and no strip becomes longer than the sections were.
pub(super) fn joined(yard: &Yard, cutting: &[Piece]) -> Cutting {
    let need = |row: &Row| row.first().map_or(0, |own| yard.needs[own.0 as usize]);
    let mut alike: BTreeMap<(bool, Vec<i64>), Vec<Strip>> = BTreeMap::new();
    for piece in cutting {
        let mut own: Vec<&Row> = rows(piece).iter().collect();
        own.sort_by_key(|row| std::cmp::Reverse(need(row)));
        let key = (matches!(piece, Piece::Ripped(_)), own.iter().map(|row| need(row)).collect());
        let strips = alike.entry(key).or_insert_with(|| vec![Strip::new(); own.len()]);
        for (strip, row) in strips.iter_mut().zip(own) {
            row.iter().for_each(|&(part, count)| *strip.entry(part).or_default() += count);
        }
    }
    let piece = |((is_ripped, _), strips): ((bool, Vec<i64>), Vec<Strip>)| {
        let mut strips: Vec<Row> = strips.into_iter().map(|strip| strip.into_iter().collect()).collect();
        if is_ripped { Piece::Ripped(strips) } else { Piece::Whole(strips.swap_remove(0)) }
    };
    alike.into_iter().map(piece).collect()
}
