//! Whether a board can give certain parts, and how.
//!
//! Parts are placed one by one, longest first: into a strip of their width, as a further strip of a section, as a further
//! section. A section is as long as its longest strip. The search is complete but for its limit of steps.

use super::super::work::Work;
use super::fill::{Cutting, Piece, Row};
use super::yard::{Plank, Yard};

/// Placings tried before the question is left open (project choice).
const MOST_TRIES: usize = 5_000;
/// Elementary steps that a placing counts for.
const STEPS_A_TRY: usize = 60;

/// What a search came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Arranged {
    /// So.
    Fits(Cutting),
    /// In no way.
    Never,
    /// The search was cut short.
    Open,
}

/// Looks for a way to cut so many of each kind from a board.
pub(super) fn arrange(
    yard: &Yard,
    plank: &Plank,
    capacity: i64,
    counts: &[(u32, u32)],
    work: &mut Work,
) -> Arranged {
    let (whole, narrow): (Row, Row) = counts.iter().partition(|own| plank.whole.contains(&own.0));
    let size = |&(part, count): &(u32, u32)| yard.instance.sizes[part as usize] * i64::from(count);
    let room = capacity - whole.iter().map(size).sum::<i64>();
    if room < 0 || is_too_much(yard, plank, room, &narrow) {
        return Arranged::Never;
    }
    let mut parts: Vec<u32> =
        narrow.iter().flat_map(|&(part, count)| std::iter::repeat_n(part, count as usize)).collect();
    parts.sort_by_key(|&part| (-yard.instance.sizes[part as usize], -yard.needs[part as usize], part));
    let mut search = Search { yard, plank, parts: &parts, left: room, sections: Vec::new(), tries: 0 };
    let found = search.place(0, (0, 0));
    work.spend(STEPS_A_TRY * (search.tries + counts.len()));
    match found {
        Some(true) => {
            let rows = whole.into_iter().map(|own| Piece::Whole(vec![own]));
            Arranged::Fits(rows.chain(search.sections.into_iter().map(Section::piece)).collect())
        }
        Some(false) => Arranged::Never,
        None => Arranged::Open,
    }
}

/// Whether the parts take more than there is, by area; also when sizes are measured in other ways that never let what fits
/// come to more than the whole (dual feasible functions, of each direction; Fekete and Schepers 2001, Mathematical
/// Programming 91:11-31, from memory).
fn is_too_much(yard: &Yard, plank: &Plank, room: i64, counts: &[(u32, u32)]) -> bool {
    let need = |part: u32| yard.needs[part as usize];
    let size = |part: u32| yard.instance.sizes[part as usize];
    let across = measured(plank.room, counts, need);
    let along = measured(room, counts, size);
    across.iter().any(|(whole_across, across)| {
        along.iter().any(|(whole_along, along)| {
            let own = across.iter().zip(along).zip(counts);
            let sum = own.fold(0_i128, |sum, ((across, along), count)| {
                sum.saturating_add((across * along).saturating_mul(i128::from(count.1)))
            });
            sum > whole_across * whole_along
        })
    })
}

/// Steps into which a room is divided by the second measure.
const MOST_STEPS: i128 = 3;

/// Sizes of parts in several measures, each with the whole room in it.
fn measured(room: i64, counts: &[(u32, u32)], size: impl Fn(u32) -> i64) -> Vec<(i128, Vec<i128>)> {
    let room = i128::from(room);
    let sizes: Vec<i128> = counts.iter().map(|own| i128::from(size(own.0))).collect();
    let mut least: Vec<i128> = sizes.iter().copied().filter(|size| 2 * size <= room).chain([0]).collect();
    least.sort_unstable();
    least.dedup();
    // What leaves no room for the least counts as the whole, and what is less not at all.
    let above = least.into_iter().map(|least| {
        let measure = |&size: &i128| {
            if size > room - least {
                room
            } else if size < least {
                0
            } else {
                size
            }
        };
        (room, sizes.iter().map(measure).collect())
    });
    // So many whole shares of one more than there are steps.
    let stepped = (1..=MOST_STEPS).map(|steps| {
        let measure = |&size: &i128| {
            let shares = (steps + 1) * size;
            if room > 0 && shares % room != 0 { shares / room * room } else { steps * size }
        };
        (steps * room, sizes.iter().map(measure).collect())
    });
    above.chain(stepped).collect()
}

struct Search<'a> {
    yard: &'a Yard,
    plank: &'a Plank,
    /// Longest first.
    parts: &'a [u32],
    /// Room along for further sections.
    left: i64,
    sections: Vec<Section>,
    tries: usize,
}

#[derive(Clone, Debug)]
struct Section {
    /// Of the longest strip.
    length: i64,
    /// Room across.
    beside: i64,
    strips: Vec<Strip>,
}

#[derive(Clone, Debug)]
struct Strip {
    need: i64,
    length: i64,
    parts: Vec<u32>,
}

impl Section {
    fn piece(self) -> Piece {
        let row = |strip: Strip| -> Row {
            strip.parts.chunk_by(|a, b| a == b).map(|alike| (alike[0], alike.len() as u32)).collect()
        };
        Piece::Ripped(self.strips.into_iter().map(row).collect())
    }
}

impl Search<'_> {
    /// Places all parts from one on. `not_before` is the place of the part before: of equal parts the next lies no earlier.
    /// Nothing when the search is cut short.
    fn place(&mut self, at: usize, not_before: (usize, usize)) -> Option<bool> {
        let Some(&part) = self.parts.get(at) else { return Some(true) };
        let from = if at > 0 && self.parts[at - 1] == part { not_before } else { (0, 0) };
        for (section, strip) in self.places(part, from) {
            self.tries += 1;
            if self.tries > MOST_TRIES {
                return None;
            }
            let before = self.left;
            let kept = self.sections.get(section).map(|own| (own.length, own.beside));
            self.put(part, section, strip);
            if self.place(at + 1, (section, strip))? {
                return Some(true);
            }
            self.take(section, strip, kept);
            self.left = before;
        }
        Some(false)
    }

    /// Where a part may go, those first that take no further length.
    fn places(&self, part: u32, from: (usize, usize)) -> Vec<(usize, usize)> {
        let (size, need) = (self.yard.instance.sizes[part as usize], self.yard.needs[part as usize]);
        let mut places: Vec<(i64, usize, usize)> = Vec::new();
        for (at, section) in self.sections.iter().enumerate() {
            let mut seen: Vec<i64> = Vec::new();
            for (own, strip) in section.strips.iter().enumerate() {
                let grows = (strip.length + size - section.length).max(0);
                if strip.need == need
                    && grows <= self.left
                    && (at, own) >= from
                    && !seen.contains(&strip.length)
                {
                    seen.push(strip.length);
                    places.push((grows, at, own));
                }
            }
            if need <= section.beside && (at, section.strips.len()) >= from {
                places.push(((size - section.length).max(0), at, section.strips.len()));
            }
        }
        if size <= self.left && need <= self.plank.room {
            places.push((size, self.sections.len(), 0));
        }
        places.sort_by_key(|place| place.0);
        places.into_iter().map(|place| (place.1, place.2)).collect()
    }

    fn put(&mut self, part: u32, section: usize, strip: usize) {
        let (size, need) = (self.yard.instance.sizes[part as usize], self.yard.needs[part as usize]);
        if section == self.sections.len() {
            self.sections.push(Section { length: 0, beside: self.plank.room, strips: Vec::new() });
        }
        let own = &mut self.sections[section];
        if strip == own.strips.len() {
            own.strips.push(Strip { need, length: 0, parts: Vec::new() });
            own.beside -= need;
        }
        let row = &mut own.strips[strip];
        row.length += size;
        row.parts.push(part);
        let grows = (row.length - own.length).max(0);
        own.length += grows;
        self.left -= grows;
    }

    /// Undoes the last put; `kept` is what the section was, if it was there.
    fn take(&mut self, section: usize, strip: usize, kept: Option<(i64, i64)>) {
        let Some((length, beside)) = kept else {
            self.sections.truncate(section);
            return;
        };
        let own = &mut self.sections[section];
        (own.length, own.beside) = (length, beside);
        let row = &mut own.strips[strip];
        if let Some(part) = row.parts.pop() {
            row.length -= self.yard.instance.sizes[part as usize];
        }
        if row.parts.is_empty() {
            own.strips.truncate(strip);
        }
    }
}
