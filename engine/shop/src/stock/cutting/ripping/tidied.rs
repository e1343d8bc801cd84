//! Of the ways to cut the same parts from a board: one that leaves a long remainder, and rips few strips.

use super::super::work::Work;
use super::arrange::{Arranged, arrange};
use super::fill::{Cutting, Piece, Row, counts, length};
use super::yard::{Plank, Yard};
use std::cmp::Reverse;

/// The shortest that the search finds, beginning with a known one.
pub(super) fn shortest(yard: &Yard, plank: &Plank, known: Cutting) -> Cutting {
    let mut go_on = |_: &_| true;
    let mut work = Work::new(u64::MAX, &mut go_on);
    let wanted = counts(&known);
    let taken = |cutting: &[Piece]| -> i64 { cutting.iter().map(|piece| length(yard, piece)).sum() };
    let mut best = known;
    while let Arranged::Fits(shorter) = arrange(yard, plank, taken(&best) - 1, &wanted, &mut work) {
        best = shorter;
    }
    best
}

/// A section with its strips of each width filled one after the other, none longer than the section, where that takes fewer.
pub(super) fn with_few_strips(yard: &Yard, piece: Piece) -> Piece {
    let whole = length(yard, &piece);
    let Piece::Ripped(strips) = piece else { return piece };
    let need = |row: &Row| row.first().map_or(0, |own| yard.needs[own.0 as usize]);
    let mut strips = strips;
    strips.sort_by_key(|row| Reverse(need(row)));
    let alike = strips.chunk_by(|a, b| need(a) == need(b));
    let refilled = alike.flat_map(|own| {
        let filled = filled(yard, own, whole);
        if filled.len() < own.len() { filled } else { own.to_vec() }
    });
    Piece::Ripped(refilled.collect())
}

/// Parts of several strips, the longest first, each into the first strip that has room.
fn filled(yard: &Yard, strips: &[Row], whole: i64) -> Vec<Row> {
    let size = |part: u32| yard.instance.sizes[part as usize];
    let mut parts: Vec<u32> = strips
        .iter()
        .flatten()
        .flat_map(|&(part, count)| std::iter::repeat_n(part, count as usize))
        .collect();
    parts.sort_by_key(|&part| (Reverse(size(part)), part));
    let mut filled: Vec<(i64, Row)> = Vec::new();
    for part in parts {
        let at = filled.iter().position(|(left, _)| *left >= size(part)).unwrap_or(filled.len());
        if at == filled.len() {
            filled.push((whole, Row::new()));
        }
        let (left, row) = &mut filled[at];
        *left -= size(part);
        match row.last_mut().filter(|own| own.0 == part) {
            Some(own) => own.1 += 1,
            None => row.push((part, 1)),
        }
    }
    filled.into_iter().map(|(_, row)| row).collect()
}
