//! Narrow pieces side by side: a length is crosscut from the board, ripped into strips, and the strips are crosscut.

use slatwork_base::Length;

/// A piece wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Along the grain.
    pub length: Length,
    /// As ripped.
    pub width: Length,
}

/// Widths of the two saws' cuts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Kerfs {
    /// Along the grain.
    pub rip: Length,
    /// Across the grain.
    pub crosscut: Length,
}

/// One strip of a bundle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lane {
    /// Width it is ripped to.
    pub width: Length,
    /// Indices of the pieces in cutting order from the low end.
    pub pieces: Vec<usize>,
    /// Taken along the grain: pieces and the kerfs between them.
    used: Length,
}

/// A length of the full section, holding one piece or several strips.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bundle {
    /// Length to crosscut from the board: that of its first piece.
    pub length: Length,
    /// Strips in order across the width, from the datum edge.
    pub lanes: Vec<Lane>,
    /// Taken across the width: strips and the kerfs between them.
    used: Length,
}

/// Gathers pieces into bundles of a board `board_width` wide: longest first, each into the first strip of its own width
/// with room left along it, else as a further strip beside one, else as a bundle of its own. Equal strips abreast come
/// to floor((W + rip kerf) / (w + rip kerf)). A piece wider than the board makes a bundle of its own; the caller refuses it.
pub fn abreast(pieces: &[Piece], board_width: Length, kerfs: Kerfs) -> Vec<Bundle> {
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by_key(|&index| (std::cmp::Reverse((pieces[index].length, pieces[index].width)), index));
    let mut bundles: Vec<Bundle> = Vec::new();
    for index in order {
        let piece = pieces[index];
        let taken = bundles.iter_mut().any(|bundle| bundle.takes(index, piece, board_width, kerfs));
        if !taken {
            bundles.push(Bundle::of(index, piece));
        }
    }
    bundles
}

impl Bundle {
    fn of(index: usize, piece: Piece) -> Self {
        Bundle { length: piece.length, lanes: vec![Lane::of(index, piece)], used: piece.width }
    }

    fn takes(&mut self, index: usize, piece: Piece, board_width: Length, kerfs: Kerfs) -> bool {
        let length = self.length;
        if self.lanes.iter_mut().any(|lane| lane.takes(index, piece, length, kerfs.crosscut)) {
            return true;
        }
        let used = self.used + kerfs.rip + piece.width;
        let fits = piece.length <= self.length && used <= board_width;
        if fits {
            self.used = used;
            self.lanes.push(Lane::of(index, piece));
        }
        fits
    }

    /// Width of the strip left over; nothing when the board is used up or only the last kerf's width is left.
    pub fn strip_left(&self, board_width: Length, kerf: Length) -> Length {
        let left = board_width - self.used;
        if left.is_positive() { (left - kerf).max(Length::ZERO) } else { Length::ZERO }
    }
}

impl Lane {
    fn of(index: usize, piece: Piece) -> Self {
        Lane { width: piece.width, pieces: vec![index], used: piece.length }
    }

    fn takes(&mut self, index: usize, piece: Piece, length: Length, kerf: Length) -> bool {
        let used = self.used + kerf + piece.length;
        let fits = piece.width == self.width && used <= length;
        if fits {
            self.used = used;
            self.pieces.push(index);
        }
        fits
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KERF: Length = Length::sixty_fourths(8);
    const KERFS: Kerfs = Kerfs { rip: KERF, crosscut: KERF };

    fn piece(length: f64, width: f64) -> Piece {
        Piece { length: Length::inch(length), width: Length::inch(width) }
    }

    /// floor((3.5 + 0.125) / (1.125 + 0.125)) = 2, and (3.625 / 1.2083) = 3 exactly at w = 1 1/12 in.
    #[test]
    fn strip_count_is_the_floor() {
        let count = |width: Length, board: f64| {
            let pieces = vec![Piece { length: Length::inch(20.0), width }; 12];
            abreast(&pieces, Length::inch(board), KERFS)[0].lanes.len()
        };
        assert_eq!(count(Length::inch(1.125), 3.5), 2);
        assert_eq!(count(Length::sixty_fourths(69), 3.5), 3);
        assert_eq!(count(Length::sixty_fourths(70), 3.5), 2);
        assert_eq!(count(Length::inch(1.75), 3.5), 1);
        assert_eq!(count(Length::inch(3.5), 3.5), 1);
    }

    #[test]
    fn short_strips_lie_beside_and_behind_long_ones() {
        let pieces = [piece(48.0, 1.5), piece(20.0, 1.5), piece(20.0, 1.5), piece(48.0, 3.5)];
        let bundles = abreast(&pieces, Length::inch(3.5), KERFS);
        assert_eq!(bundles.len(), 2);
        assert_eq!(bundles[0].lanes[0].pieces, [3]);
        assert_eq!(bundles[1].lanes[0].pieces, [0]);
        assert_eq!(bundles[1].lanes[1].pieces, [1, 2]);
        assert_eq!(bundles[1].strip_left(Length::inch(3.5), KERF), Length::inch(0.25));
        assert_eq!(bundles[0].strip_left(Length::inch(3.5), KERF), Length::ZERO);
    }
}
