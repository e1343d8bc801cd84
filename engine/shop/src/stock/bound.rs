//! What no plan can beat, however clever: bounds that need no search.

use super::common_measure;
use super::{Piece, Saw, Stick};
use slatwork_base::Length;

/// The pieces wanted of one section, and what they may come from.
#[derive(Clone, Copy, Debug)]
pub struct Demand<'a> {
    /// Pieces.
    pub pieces: &'a [Piece],
    /// Width of the section.
    pub board_width: Length,
    /// Kerf of the rip saw.
    pub rip_kerf: Length,
    /// Crosscut saw and trims.
    pub saw: Saw,
    /// What may be cut.
    pub sticks: &'a [Stick],
}

/// Lower bounds over every plan that makes all pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Bound {
    /// Length that pieces, kerfs and trims take, less what the sticks in hand can give.
    pub length: Length,
    /// Sticks to buy.
    pub sticks: usize,
    /// Cost of the sticks to buy.
    pub cost: i64,
}

/// Bounds by area: a piece with a kerf on two sides takes (length + kerf) x (width + kerf), a stick gives (room) x
/// (width + kerf). A piece beside which not even the narrowest other fits counts as the full width. Sticks: also at
/// least one for each full-width piece longer than half of the longest stick. Pieces that no stick holds are left out:
/// a plan cannot make them either.
pub fn bound(demand: &Demand) -> Bound {
    let longest = demand.sticks.iter().map(|stick| stick.length).max().unwrap_or_default();
    let pieces: Vec<Piece> =
        demand.pieces.iter().copied().filter(|piece| piece.length <= demand.saw.usable(longest)).collect();
    let bought: Vec<&Stick> = demand.sticks.iter().filter(|stick| !stick.in_hand).collect();
    let needed = demand.length_taken(&pieces) - demand.room_in_hand();
    let room_each = bought.iter().map(|stick| demand.saw.room(stick.length)).max().unwrap_or_default();
    if needed <= 0 || !room_each.is_positive() {
        return Bound::default();
    }
    let sticks = ceil_div(needed, room_each.as_nm()).max(demand.long_pieces(&pieces, room_each));
    Bound {
        length: demand.bought_length(needed, sticks, pieces.len(), &bought),
        sticks: to_count(sticks),
        cost: demand.cost(needed, &bought),
    }
}

impl Demand<'_> {
    /// Stick length that the pieces take with a kerf each, rounded up, in nm.
    fn length_taken(&self, pieces: &[Piece]) -> i128 {
        let full = i128::from((self.board_width + self.rip_kerf).as_nm());
        let area: i128 = pieces.iter().map(|piece| self.area(piece, pieces)).sum();
        if full <= 0 { 0 } else { ceil_div_wide(area, full) }
    }

    fn area(&self, piece: &Piece, pieces: &[Piece]) -> i128 {
        let width = if self.stands_alone(piece, pieces) { self.board_width } else { piece.width };
        i128::from((piece.length + self.saw.kerf).as_nm()) * i128::from((width + self.rip_kerf).as_nm())
    }

    fn stands_alone(&self, piece: &Piece, pieces: &[Piece]) -> bool {
        let narrowest = pieces.iter().map(|other| other.width).min().unwrap_or_default();
        piece.width + self.rip_kerf + narrowest > self.board_width
    }

    fn room_in_hand(&self) -> i128 {
        self.sticks
            .iter()
            .filter(|stick| stick.in_hand)
            .map(|stick| {
                let room = self.saw.room(stick.length).max(Length::ZERO);
                i128::from(room.as_nm()) * stick.available.unwrap_or(0) as i128
            })
            .sum()
    }

    /// Full-width pieces of which no two share a stick, less one for each stick in hand.
    fn long_pieces(&self, pieces: &[Piece], room: Length) -> i128 {
        let room = self.sticks.iter().map(|stick| self.saw.room(stick.length)).fold(room, Length::max);
        let in_hand: usize = self.sticks.iter().filter(|s| s.in_hand).filter_map(|s| s.available).sum();
        let long = pieces
            .iter()
            .filter(|piece| self.stands_alone(piece, pieces))
            .filter(|piece| 2 * i128::from((piece.length + self.saw.kerf).as_nm()) > i128::from(room.as_nm()))
            .count();
        long as i128 - in_hand as i128
    }

    /// Every stick bought gives its length less trims plus one kerf; so the lengths add up to at least this, and to a
    /// whole multiple of the stock lengths' common measure.
    fn bought_length(&self, needed: i128, sticks: i128, pieces: usize, bought: &[&Stick]) -> Length {
        let lost_each = i128::from((self.saw.trim_low + self.saw.trim_high - self.saw.kerf).as_nm());
        let count = if lost_each >= 0 { sticks } else { pieces as i128 };
        let shortest = bought.iter().map(|stick| i128::from(stick.length.as_nm())).min().unwrap_or(0);
        let least = (needed + lost_each * count).max(shortest * sticks);
        let measure =
            bought.iter().fold(0, |measure, stick| common_measure(measure, i128::from(stick.length.as_nm())));
        Length::nm(to_nm(if measure > 0 { ceil_div_wide(least, measure) * measure } else { least }))
    }

    /// Least cost per room over the stock lengths, times the room needed; and a whole multiple of the costs' common measure.
    fn cost(&self, needed: i128, bought: &[&Stick]) -> i64 {
        let per_stick = bought.iter().filter_map(|stick| {
            let room = i128::from(self.saw.room(stick.length).as_nm());
            (room > 0).then(|| ceil_div_wide(needed * i128::from(stick.cost), room))
        });
        let least = per_stick.min().unwrap_or(0);
        let measure = bought.iter().fold(0, |measure, stick| common_measure(measure, i128::from(stick.cost)));
        to_nm(if measure > 0 { ceil_div_wide(least, measure) * measure } else { least })
    }
}

fn ceil_div(value: i128, by: i64) -> i128 {
    ceil_div_wide(value, i128::from(by))
}

fn ceil_div_wide(value: i128, by: i128) -> i128 {
    value.div_euclid(by) + i128::from(value.rem_euclid(by) != 0)
}

fn to_nm(value: i128) -> i64 {
    i64::try_from(value).unwrap_or(i64::MAX)
}

fn to_count(value: i128) -> usize {
    usize::try_from(value).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stock::{Kerfs, abreast, first_fit};
    use proptest::prelude::*;

    fn stick(length: i64, cost: i64) -> Stick {
        Stick { length: Length::nm(length), cost, available: None, in_hand: false }
    }

    /// Four 24 in pieces with 1/8 in kerfs take 4 x 24 1/8 = 96 1/2 in of room; a 96 in stick gives 96 1/8: two sticks.
    #[test]
    fn four_24s_need_two_sticks_of_96() {
        let pieces = [Piece { length: Length::inch(24.0), width: Length::inch(3.5) }; 4];
        let kerf = Length::sixty_fourths(8);
        let sticks = [Stick { length: Length::inch(96.0), cost: 800, available: None, in_hand: false }];
        let saw = Saw { kerf, ..Saw::default() };
        let demand =
            Demand { pieces: &pieces, board_width: Length::inch(3.5), rip_kerf: kerf, saw, sticks: &sticks };
        let expected = Bound { length: Length::inch(192.0), sticks: 2, cost: 1600 };
        // Cost: 96.5 x 800 / 96.125 = 803.1, rounded up to a multiple of 800.
        assert_eq!(bound(&demand), expected);
    }

    proptest! {
        /// No plan of first fit is better than the bound, whatever the pieces, widths, sticks, kerfs and trims.
        #[test]
        fn never_above_first_fit(
            pieces in prop::collection::vec((1i64..900, 1i64..40), 1..50),
            sticks in prop::collection::vec((200i64..1500, 1i64..90), 1..5),
            rack in prop::collection::vec((50i64..900, 1usize..3), 0..3),
            kerf in 0i64..6, rip_kerf in 0i64..6, low in 0i64..12, high in 0i64..12,
        ) {
            let pieces: Vec<Piece> = pieces.iter().map(|&(l, w)| Piece { length: Length::nm(l), width: Length::nm(w) }).collect();
            let mut all: Vec<Stick> = sticks.iter().map(|&(length, cost)| stick(length, cost)).collect();
            all.extend(rack.iter().map(|&(length, n)| Stick { available: Some(n), in_hand: true, ..stick(length, 0) }));
            let saw = Saw { kerf: Length::nm(kerf), trim_low: Length::nm(low), trim_high: Length::nm(high) };
            let board_width = Length::nm(40);
            let demand = Demand { pieces: &pieces, board_width, rip_kerf: Length::nm(rip_kerf), saw, sticks: &all };
            let least = bound(&demand);
            let bundles = abreast(&pieces, board_width, Kerfs { rip: Length::nm(rip_kerf), crosscut: saw.kerf });
            let filled = first_fit(&bundles.iter().map(|b| b.length).collect::<Vec<_>>(), &all, saw);
            let bought: Vec<&Stick> = filled.opened.iter().map(|o| &all[o.stick]).filter(|s| !s.in_hand).collect();
            prop_assume!(filled.unplaced.is_empty());
            prop_assert!(least.sticks <= bought.len());
            prop_assert!(least.length <= bought.iter().map(|s| s.length).sum());
            prop_assert!(least.cost <= bought.iter().map(|s| s.cost).sum());
        }
    }
}
