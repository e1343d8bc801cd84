//! Where dimensions stand round a view: chains stacked outward, and running lengths from one datum.

use crate::dimension::{Axis, Dimension, LETTER_GAP, LETTER_HEIGHT};
use crate::lettering;
use crate::sheet::{Anchor, Figure, Item, LineClass, Text, line_item};
use slatwork_solid::DVec2;

/// A side of a view on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Flank {
    Below,
    Above,
    Left,
    Right,
}

impl Flank {
    pub(crate) fn axis(self) -> Axis {
        match self {
            Flank::Below | Flank::Above => Axis::Level,
            Flank::Left | Flank::Right => Axis::Upright,
        }
    }

    /// +1 when outward is up or right.
    fn outward(self) -> f64 {
        match self {
            Flank::Below | Flank::Left => -1.0,
            Flank::Above | Flank::Right => 1.0,
        }
    }
}

/// A length wanted beside a view: its two points on paper, and what it reads.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Wanted {
    pub(crate) from: DVec2,
    pub(crate) to: DVec2,
    pub(crate) label: String,
}

/// From the view to its first dimension line, mm.
const FIRST: f64 = 6.5;
/// Between level dimension lines: lettering and some white, mm.
const PITCH: f64 = 5.6;
/// Between dimensions side by side in one line, mm; and where many share it.
const BESIDE: f64 = 1.5;
const LEAST_BESIDE: f64 = 0.6;

/// Stacks dimensions outward from `edge`, short ones inside, so that none overlaps another. Gives them and the
/// coordinate past the outermost one.
pub(crate) fn stack(wanted: Vec<Wanted>, flank: Flank, edge: f64) -> (Vec<Dimension>, f64) {
    let axis = flank.axis();
    let mut dimensions: Vec<Dimension> = wanted
        .into_iter()
        .map(|w| Dimension { from: w.from, to: w.to, axis, line: 0.0, label: w.label })
        .collect();
    dimensions.sort_by(|a, b| length(a).total_cmp(&length(b)));
    let levels = levels(&dimensions);
    let depth = levels.iter().max().map_or(0, |most| most + 1);
    let mut line = edge;
    for level in 0..depth {
        let of_level = |i: &usize| levels[*i] == level;
        let reach =
            (0..dimensions.len()).filter(of_level).map(|i| dimensions[i].half_depth()).fold(0.0, f64::max);
        let inward = if axis == Axis::Level { 0.0 } else { reach };
        let first = if level == 0 { FIRST - BESIDE } else { PITCH - BESIDE - LETTER_GAP };
        line += flank.outward() * (first + inward);
        for index in (0..dimensions.len()).filter(of_level) {
            dimensions[index].line = line;
        }
        // Level lettering stands over its line, whichever side that is.
        let outward = if flank == Flank::Below { 0.0 } else { reach };
        line += flank.outward() * (outward + BESIDE);
        if flank == Flank::Below {
            line -= LETTER_HEIGHT;
        }
    }
    (dimensions, line)
}

fn length(dimension: &Dimension) -> f64 {
    let way = dimension.to - dimension.from;
    match dimension.axis {
        Axis::Level => way.x.abs(),
        Axis::Upright => way.y.abs(),
    }
}

/// The level of each dimension: outside all shorter ones that it overlaps.
fn levels(dimensions: &[Dimension]) -> Vec<usize> {
    let mut levels: Vec<usize> = Vec::with_capacity(dimensions.len());
    for (index, dimension) in dimensions.iter().enumerate() {
        let (low, high) = dimension.extent();
        let below = dimensions[..index].iter().zip(&levels).filter(|(other, _)| {
            let (from, to) = other.extent();
            from < high + BESIDE && low < to + BESIDE && !is_chained(dimension, other)
        });
        levels.push(below.map(|(_, level)| level + 1).max().unwrap_or(0));
    }
    levels
}

/// Whether one dimension ends where the other starts, its lettering inside: they share a line.
fn is_chained(a: &Dimension, b: &Dimension) -> bool {
    let ((a_low, a_high), (b_low, b_high)) = (a.extent(), b.extent());
    (a_high - b_low).abs() < 0.01 || (b_high - a_low).abs() < 0.01
}

/// A position to be read from a datum.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Station {
    /// The point on paper.
    pub(crate) at: DVec2,
    /// Its distance from the datum, as it reads.
    pub(crate) label: String,
}

/// No bound on either side.
pub(crate) const ANYWHERE: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

/// From the view to the kink of the extension lines, and the height of the kink, mm.
const TO_KINK: f64 = 4.0;
const KINK: f64 = 2.6;

/// Running lengths below or left of a view: an extension line from each point, kinked where the labels need room,
/// and its distance from the datum at the end. Labels stay within `room` on the measured axis. Gives them and the coordinate
/// past the labels.
pub(crate) fn running(
    mut stations: Vec<Station>,
    flank: Flank,
    edge: f64,
    room: (f64, f64),
) -> (Vec<Item>, f64) {
    let level = flank.axis() == Axis::Level;
    let along = |p: DVec2| if level { p.x } else { p.y };
    stations.sort_by(|a, b| along(a.at).total_cmp(&along(b.at)));
    stations.dedup_by(|a, b| a.label == b.label && (along(a.at) - along(b.at)).abs() < SAME_STATION);
    let sizes: Vec<f64> = stations
        .iter()
        .map(|s| if level { lettering::width(&s.label, LETTER_HEIGHT) } else { LETTER_HEIGHT })
        .collect();
    let wanted: Vec<f64> = stations.iter().map(|s| along(s.at)).collect();
    let places = spread(&wanted, &sizes, gap_in(room, &sizes, LEAST_BESIDE, BESIDE), room);
    let (kink, end) = (edge + flank.outward() * TO_KINK, edge + flank.outward() * (TO_KINK + KINK));
    let point = |along: f64, off: f64| if level { DVec2::new(along, off) } else { DVec2::new(off, along) };
    let mut items = Vec::new();
    for (station, place) in stations.iter().zip(&places) {
        let here = along(station.at);
        let class = LineClass::Dimension;
        let start = if level { station.at.y } else { station.at.x };
        // The line starts off the wood by the same gap everywhere.
        items.push(line_item(class, point(here, start + flank.outward() * 0.8), point(here, kink)));
        items.push(line_item(class, point(here, kink), point(*place, end)));
        let (at, anchor) = label_place(*place, end, flank);
        let text = Text { at, height: LETTER_HEIGHT, anchor, bold: false, text: station.label.clone() };
        items.push(Item { class, figure: Figure::Text(text) });
    }
    let widest = stations.iter().map(|s| lettering::width(&s.label, LETTER_HEIGHT)).fold(0.0, f64::max);
    let depth = if level { LETTER_HEIGHT } else { widest } + 2.0 * LETTER_GAP;
    let past = if stations.is_empty() { edge } else { end + flank.outward() * depth };
    (items, past)
}

/// Stations that read the same this close together on paper are one, mm.
const SAME_STATION: f64 = 0.6;

fn label_place(place: f64, end: f64, flank: Flank) -> (DVec2, Anchor) {
    match flank {
        Flank::Below => (DVec2::new(place, end - LETTER_GAP - LETTER_HEIGHT), Anchor::Middle),
        Flank::Above => (DVec2::new(place, end + LETTER_GAP), Anchor::Middle),
        Flank::Left => (DVec2::new(end - LETTER_GAP, place - LETTER_HEIGHT / 2.0), Anchor::Right),
        Flank::Right => (DVec2::new(end + LETTER_GAP, place - LETTER_HEIGHT / 2.0), Anchor::Left),
    }
}

/// The usual gap between things of the given sizes, or what their room leaves, but not under the least.
pub(crate) fn gap_in((low, high): (f64, f64), sizes: &[f64], least: f64, usual: f64) -> f64 {
    ((high - low - sizes.iter().sum::<f64>()) / sizes.len().max(1) as f64).clamp(least, usual)
}

/// Places as near as can be to those wanted (in rising order, least squares), with `gap` between things of the given
/// sizes, none of which leaves the room from `low` to `high`; where that is too little, it is left at its high end. Pools
/// neighbours that would overlap until none does.
pub(crate) fn spread(wanted: &[f64], sizes: &[f64], gap: f64, (low, high): (f64, f64)) -> Vec<f64> {
    let (Some(first), Some(last)) = (sizes.first(), sizes.last()) else { return Vec::new() };
    let mut offsets = vec![0.0; wanted.len()];
    for i in 1..wanted.len() {
        offsets[i] = offsets[i - 1] + (sizes[i - 1] + sizes[i]) / 2.0 + gap;
    }
    // Each pool: sum of what its members would like for the pool's start, and how many they are.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (want, offset) in wanted.iter().zip(&offsets) {
        pools.push((want - offset, 1));
        while let [.., before, last] = pools.as_slice() {
            if before.0 / before.1 as f64 <= last.0 / last.1 as f64 {
                break;
            }
            let joined = (before.0 + last.0, before.1 + last.1);
            pools.truncate(pools.len() - 2);
            pools.push(joined);
        }
    }
    let starts = pools.iter().flat_map(|(sum, count)| core::iter::repeat_n(sum / *count as f64, *count));
    let (least, most) = (low + first / 2.0, high - last / 2.0 - offsets[offsets.len() - 1]);
    starts.zip(&offsets).map(|(start, offset)| start.min(most).max(least) + offset).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wanted(from: f64, to: f64) -> Wanted {
        Wanted { from: DVec2::new(from, 0.0), to: DVec2::new(to, 0.0), label: format!("{} mm", to - from) }
    }

    #[test]
    fn long_dimensions_stand_outside_short_ones() {
        let (stacked, past) =
            stack(vec![wanted(0.0, 100.0), wanted(0.0, 40.0), wanted(40.0, 100.0)], Flank::Below, 0.0);
        assert_eq!(stacked[0].line, stacked[1].line, "a chain shares its line");
        assert!(stacked[2].line < stacked[0].line - LETTER_HEIGHT);
        assert!(past < stacked[2].line);
    }

    #[test]
    fn spread_keeps_the_gap_and_stays_near() {
        let places = spread(&[10.0, 10.5, 11.0, 40.0], &[4.0; 4], 1.0, (0.0, 60.0));
        for pair in places.windows(2) {
            assert!(pair[1] - pair[0] >= 5.0 - 1e-9);
        }
        assert_eq!(places[3], 40.0);
        assert!((places[0] + places[1] + places[2] - 31.5).abs() < 1e-9, "the crowd stays where it was");
    }

    #[test]
    fn spread_stays_in_its_room() {
        let sizes = [4.0; 3];
        assert_eq!(spread(&[1.0, 1.0, 1.0], &sizes, 1.0, (0.0, 30.0)), [2.0, 7.0, 12.0]);
        assert_eq!(spread(&[29.0, 29.0, 29.0], &sizes, 1.0, (0.0, 30.0)), [18.0, 23.0, 28.0]);
        assert_eq!(
            spread(&[5.0, 5.0, 5.0], &sizes, 1.0, (4.0, 6.0)),
            [6.0, 11.0, 16.0],
            "the high end gives way"
        );
        assert!(spread(&[], &[], 1.0, (0.0, 0.0)).is_empty());
    }

    #[test]
    fn running_lengths_never_overlap() {
        let stations = (0..12)
            .map(|i| Station { at: DVec2::new(f64::from(i) * 2.0, 0.0), label: format!("{i} 7/16\"") });
        let (items, _) = running(stations.collect(), Flank::Below, 0.0, ANYWHERE);
        let mut spans: Vec<(f64, f64)> = items
            .iter()
            .filter_map(|item| match &item.figure {
                Figure::Text(text) => {
                    let half = lettering::width(&text.text, text.height) / 2.0;
                    Some((text.at.x - half, text.at.x + half))
                }
                _ => None,
            })
            .collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        assert_eq!(spans.len(), 12);
        assert!(spans.windows(2).all(|pair| pair[0].1 < pair[1].0));
    }
}
