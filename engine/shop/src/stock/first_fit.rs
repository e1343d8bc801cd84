//! First fit, longest first, with kerf and end trims, over several stock lengths.

use slatwork_base::Length;
use std::cmp::Ordering;

/// What the saw and the ends of a stick cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Saw {
    /// Width of the cut.
    pub kerf: Length,
    /// Squared off the low end before the first piece, its kerf included.
    pub trim_low: Length,
    /// Kept off the high end, its kerf included.
    pub trim_high: Length,
}

impl Saw {
    /// What is left between the trims; negative when the stick is shorter than its trims.
    pub fn usable(&self, stick: Length) -> Length {
        stick - self.trim_low - self.trim_high
    }

    /// Room for pieces that each carry one kerf: n pieces have n-1 kerfs between them and the last cut takes its kerf
    /// from the remainder, which may be shorter than the kerf. One kerf added to the stick states this exactly.
    pub fn room(&self, stick: Length) -> Length {
        self.usable(stick) + self.kerf
    }
}

/// A stock length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stick {
    /// Length.
    pub length: Length,
    /// Cost of one, in any whole unit.
    pub cost: i64,
    /// How many there are; `None` when any number can be had.
    pub available: Option<usize>,
    /// Already paid for: used before any that is bought.
    pub in_hand: bool,
}

/// One stick with the pieces cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opened {
    /// Index of the stick.
    pub stick: usize,
    /// Indices of the pieces, in cutting order from the low end: longest first.
    pub pieces: Vec<usize>,
}

/// What came of packing.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Filled {
    /// Sticks used, in the order they were opened.
    pub opened: Vec<Opened>,
    /// Pieces that no stick can hold, or for which none is left.
    pub unplaced: Vec<usize>,
}

/// Packs `pieces` into `sticks`.
///
/// Rule: pieces go longest first (equal ones in the order given). Sticks in hand are filled first, shortest first. Then,
/// for each stick to be opened, every stock length that holds the longest piece still waiting is filled on trial, each
/// piece in turn that still fits; the length with the least cost per length of pieces in it is opened (equal ones: the
/// shorter). A first fit, not a proof.
pub fn first_fit(pieces: &[Length], sticks: &[Stick], saw: Saw) -> Filled {
    let mut waiting: Vec<usize> = (0..pieces.len()).collect();
    waiting.sort_by_key(|&piece| (std::cmp::Reverse(pieces[piece]), piece));
    let mut left: Vec<Option<usize>> = sticks.iter().map(|stick| stick.available).collect();
    let mut filled = Filled::default();
    use_sticks_in_hand(pieces, sticks, saw, &mut waiting, &mut left, &mut filled);
    while let Some(&longest) = waiting.first() {
        match cheapest_filling(pieces, sticks, saw, &waiting, &left) {
            Some(opened) => {
                take(&opened, &mut waiting, &mut left);
                filled.opened.push(opened);
            }
            None => {
                filled.unplaced.push(longest);
                waiting.remove(0);
            }
        }
    }
    filled
}

/// Fills what is already paid for, shortest first, so that short pieces go to short ends.
fn use_sticks_in_hand(
    pieces: &[Length],
    sticks: &[Stick],
    saw: Saw,
    waiting: &mut Vec<usize>,
    left: &mut [Option<usize>],
    filled: &mut Filled,
) {
    let mut in_hand: Vec<usize> = (0..sticks.len()).filter(|&stick| sticks[stick].in_hand).collect();
    in_hand.sort_by_key(|&stick| (sticks[stick].length, stick));
    for stick in in_hand {
        while left[stick] != Some(0) {
            let opened = fill(pieces, waiting, stick, saw.room(sticks[stick].length), saw.kerf);
            if opened.pieces.is_empty() {
                break;
            }
            take(&opened, waiting, left);
            filled.opened.push(opened);
        }
    }
}

/// The filling with the least cost per length of pieces, among the sticks that hold the longest piece waiting.
fn cheapest_filling(
    pieces: &[Length],
    sticks: &[Stick],
    saw: Saw,
    waiting: &[usize],
    left: &[Option<usize>],
) -> Option<Opened> {
    let longest = pieces[*waiting.first()?];
    (0..sticks.len())
        .filter(|&stick| !sticks[stick].in_hand && left[stick] != Some(0))
        .filter(|&stick| longest <= saw.usable(sticks[stick].length))
        .map(|stick| fill(pieces, waiting, stick, saw.room(sticks[stick].length), saw.kerf))
        .min_by(|a, b| compare(pieces, sticks, a, b))
}

/// Each piece in turn that still fits.
fn fill(pieces: &[Length], waiting: &[usize], stick: usize, room: Length, kerf: Length) -> Opened {
    let mut left = room;
    let mut taken = Vec::new();
    for &piece in waiting {
        let need = pieces[piece] + kerf;
        if need <= left {
            left -= need;
            taken.push(piece);
        }
    }
    Opened { stick, pieces: taken }
}

fn take(opened: &Opened, waiting: &mut Vec<usize>, left: &mut [Option<usize>]) {
    waiting.retain(|piece| !opened.pieces.contains(piece));
    if let Some(count) = &mut left[opened.stick] {
        *count -= 1;
    }
}

/// Cost per length, cross-multiplied so that nothing is rounded; then the shorter; then the first listed.
fn compare(pieces: &[Length], sticks: &[Stick], a: &Opened, b: &Opened) -> Ordering {
    let used =
        |opened: &Opened| -> i128 { opened.pieces.iter().map(|&p| i128::from(pieces[p].as_nm())).sum() };
    let (stick_a, stick_b) = (&sticks[a.stick], &sticks[b.stick]);
    (i128::from(stick_a.cost) * used(b))
        .cmp(&(i128::from(stick_b.cost) * used(a)))
        .then(stick_a.length.cmp(&stick_b.length))
        .then(a.stick.cmp(&b.stick))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn yard(inches: &[(i64, i64)]) -> Vec<Stick> {
        inches
            .iter()
            .map(|&(inch, cost)| Stick {
                length: Length::inch(inch as f64),
                cost,
                available: None,
                in_hand: false,
            })
            .collect()
    }

    const SAW: Saw = Saw { kerf: Length::sixty_fourths(8), trim_low: Length::ZERO, trim_high: Length::ZERO };

    /// Four 24 in pieces and three 1/8 in kerfs are 96 3/8 in.
    #[test]
    fn four_24s_do_not_come_from_96() {
        let pieces = [Length::inch(24.0); 4];
        let filled = first_fit(&pieces, &yard(&[(96, 800)]), SAW);
        assert_eq!(filled.opened.len(), 2);
        assert_eq!(filled.opened[0].pieces, [0, 1, 2]);
        let longer =
            first_fit(&pieces, &[Stick { length: Length::inch(96.375), ..yard(&[(96, 8)])[0] }], SAW);
        assert_eq!(longer.opened.len(), 1);
    }

    /// 60 + 30 in fit 96 in; with 120 in at the same price per inch the two 60s would leave 30 alone: 8 ft each wins.
    #[test]
    fn the_cheaper_per_length_of_pieces_is_opened() {
        let pieces = [60.0, 60.0, 30.0].map(Length::inch);
        let filled = first_fit(&pieces, &yard(&[(96, 960), (120, 1200), (144, 1440)]), SAW);
        // On trial: 96 in holds 60 + 30 (960/90), 120 in holds 60 + 30 (1200/90), 144 in holds 60 + 60 (1440/120).
        assert_eq!(filled.opened[0], Opened { stick: 0, pieces: vec![0, 2] });
        assert_eq!(filled.opened[1], Opened { stick: 0, pieces: vec![1] });
    }

    #[test]
    fn the_rack_goes_first_and_runs_out() {
        let mut sticks = yard(&[(96, 960)]);
        sticks.push(Stick { length: Length::inch(40.0), cost: 0, available: Some(1), in_hand: true });
        let pieces = [30.0, 30.0, 90.0].map(Length::inch);
        let filled = first_fit(&pieces, &sticks, SAW);
        assert_eq!(filled.opened[0], Opened { stick: 1, pieces: vec![0] });
        assert_eq!(filled.opened[1], Opened { stick: 0, pieces: vec![2] });
        assert_eq!(filled.opened[2], Opened { stick: 0, pieces: vec![1] });
    }

    #[test]
    fn what_nothing_holds_is_left_over() {
        let filled = first_fit(&[Length::inch(97.0), Length::inch(10.0)], &yard(&[(96, 960)]), SAW);
        assert_eq!(filled.unplaced, [0]);
        assert_eq!(filled.opened.len(), 1);
    }

    proptest! {
        /// A stick exactly as long as needed, to the nanometre, holds its pieces; one nanometre less does not.
        #[test]
        fn exactly_long_enough(
            pieces in prop::collection::vec(1_000_000i64..2_000_000_000, 1..9),
            kerf in 0i64..4_000_000, low in 0i64..20_000_000, high in 0i64..20_000_000,
        ) {
            let need = pieces.iter().sum::<i64>() + kerf * (pieces.len() as i64 - 1) + low + high;
            let lengths: Vec<Length> = pieces.iter().map(|&p| Length::nm(p)).collect();
            let saw = Saw { kerf: Length::nm(kerf), trim_low: Length::nm(low), trim_high: Length::nm(high) };
            let stick = |nm| [Stick { length: Length::nm(nm), cost: 1, available: None, in_hand: false }];
            prop_assert_eq!(first_fit(&lengths, &stick(need), saw).opened.len(), 1);
            let short = first_fit(&lengths, &stick(need - 1), saw);
            prop_assert!(short.opened.len() > 1 || !short.unplaced.is_empty());
        }

        /// Every piece is placed once or reported; no stick is overfull; no more sticks in hand than there are.
        #[test]
        fn every_piece_once(
            pieces in prop::collection::vec(1i64..4000, 0..60),
            sticks in prop::collection::vec((1i64..6000, 0i64..900, prop::option::of(0usize..4), any::<bool>()), 0..6),
            kerf in 0i64..5, low in 0i64..9, high in 0i64..9,
        ) {
            let lengths: Vec<Length> = pieces.iter().map(|&p| Length::nm(p)).collect();
            let sticks: Vec<Stick> = sticks.iter().map(|&(length, cost, available, in_hand)| Stick {
                length: Length::nm(length), cost, in_hand, available: if in_hand { available.or(Some(2)) } else { available },
            }).collect();
            let saw = Saw { kerf: Length::nm(kerf), trim_low: Length::nm(low), trim_high: Length::nm(high) };
            let filled = first_fit(&lengths, &sticks, saw);
            let mut seen = filled.unplaced.clone();
            for (index, stick) in sticks.iter().enumerate() {
                let used = filled.opened.iter().filter(|o| o.stick == index).count();
                prop_assert!(stick.available.is_none_or(|available| used <= available));
            }
            for opened in &filled.opened {
                prop_assert!(!opened.pieces.is_empty());
                let need: i64 = opened.pieces.iter().map(|&p| pieces[p]).sum::<i64>() + kerf * (opened.pieces.len() as i64 - 1);
                prop_assert!(need + low + high <= sticks[opened.stick].length.as_nm());
                seen.extend(&opened.pieces);
            }
            seen.sort_unstable();
            prop_assert_eq!(seen, (0..pieces.len()).collect::<Vec<_>>());
        }
    }
}
