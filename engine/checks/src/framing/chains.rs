//! Boards as chains of bars on their middle lines.

use super::sections::Sections;
use super::slice::Slice;
use super::ties::SHEAR_TO_ELASTIC;
use super::timber::Timber;
use crate::statics::frame::{Frame, Member, MemberKind, Node, Section};
use slatwork_model::{Part, PartId};
use slatwork_solid::{DVec2, DVec3};
use std::ops::Range;

/// A metre in mm.
pub(super) const METRE: f64 = 1_000.0;

/// How far inside an end the outermost section is taken, mm: the end itself may be cut at an angle (project choice).
const INSIDE: f64 = 2.0;

/// Bars of a curved or tapered board are no longer than this, mm (project choice: a bend of 400 mm radius is met within 3 mm).
const CURVED_STEP: f64 = 100.0;

/// Sections that differ by less are one, mm.
const SAME: f64 = 1.0;

/// Share of an area that counts in shear (rectangle).
const SHEAR_AREA: f64 = 5.0 / 6.0;

/// A place on a board's middle line where bars meet.
#[derive(Clone, Copy, Debug)]
pub struct Station {
    /// Along the grain, mm.
    pub x: f64,
    /// Its node.
    pub node: usize,
    /// What is left of the board there.
    pub slice: Slice,
}

/// A board as a chain.
#[derive(Clone, Debug)]
pub struct Chain {
    /// The part.
    pub part: PartId,
    /// Places in order along the grain.
    pub stations: Vec<Station>,
    /// Its bars, each from one station to the next.
    pub bars: Range<usize>,
}

impl Chain {
    /// The station nearest to a place along the grain.
    pub fn nearest(&self, x: f64) -> &Station {
        let mut best = &self.stations[0];
        for station in &self.stations {
            if (station.x - x).abs() < (best.x - x).abs() {
                best = station;
            }
        }
        best
    }

    /// The bar that a place along the grain lies on, and how far along it as a share.
    pub fn bar(&self, x: f64) -> (usize, f64) {
        let at = self.stations.windows(2).position(|pair| x <= pair[1].x).unwrap_or(self.bars.len() - 1);
        let [from, to] = [self.stations[at].x, self.stations[at + 1].x];
        (self.bars.start + at, ((x - from) / (to - from)).clamp(0.0, 1.0))
    }
}

/// Lays a part into the frame as a chain with stations at `wanted`; nothing if it has no wood.
pub(super) fn lay(
    frame: &mut Frame,
    part: &Part,
    sections: &Sections,
    timber: &Timber,
    wanted: &[f64],
) -> Option<Chain> {
    let places = places(part, sections, wanted)?;
    let slices: Vec<(f64, Slice)> = places.iter().filter_map(|x| Some((*x, sections.at(*x)?))).collect();
    let stations: Vec<Station> = slices.iter().map(|(x, slice)| station(frame, part, *x, *slice)).collect();
    let first = frame.members.len();
    for pair in stations.windows(2) {
        let middle = f64::midpoint(pair[0].x, pair[1].x);
        let slice = sections.at(middle).unwrap_or(pair[0].slice);
        frame.members.push(bar(part, timber, [pair[0].node, pair[1].node], &slice));
    }
    (stations.len() >= 2).then_some(Chain { part: part.id, stations, bars: first..frame.members.len() })
}

fn station(frame: &mut Frame, part: &Part, x: f64, slice: Slice) -> Station {
    let own = DVec3::new(x, slice.centre.x, slice.centre.y);
    let at = part.pose.transform_point3(own) / METRE;
    frame.nodes.push(Node { name: format!("{} at {x:.0} mm", part.name), at });
    Station { x, node: frame.nodes.len() - 1, slice }
}

/// Both ends, where it is wanted, and close together where the board is curved; places nearer than half the thickness are one.
fn places(part: &Part, sections: &Sections, wanted: &[f64]) -> Option<Vec<f64>> {
    let bounds = part.solid.bounds();
    let end = |x, inward| end(part, sections, x, inward);
    let (low, high) = (end(bounds.min.x + INSIDE, 1.0), end(bounds.max.x - INSIDE, -1.0));
    if high - low < 2.0 * INSIDE {
        return None;
    }
    let count = ((high - low) / CURVED_STEP).ceil().max(2.0);
    let even = (1..count as usize).map(|step| low + (high - low) * step as f64 / count);
    let mut inner: Vec<f64> = wanted.iter().map(|x| x.clamp(low, high)).collect();
    if is_curved(sections, low, high) {
        inner.extend(even);
    }
    inner.sort_by(f64::total_cmp);
    let apart = part.thickness.as_mm() / 2.0;
    let mut places = vec![low];
    for x in inner {
        if x - places[places.len() - 1] >= apart && high - x >= apart {
            places.push(x);
        }
    }
    places.push(high);
    Some(places)
}

/// An end cut at an angle is no section: its station stands half a width inside, where the board is whole.
fn end(part: &Part, sections: &Sections, x: f64, inward: f64) -> f64 {
    let inside = x + inward * part.width.as_mm() / 2.0;
    let area = |x| sections.at(x).map_or(0.0, |slice| slice.area);
    if area(x) < WHOLE * area(inside) { inside } else { x }
}

/// Share of the section half a width inside that an end must have to be a section (project choice).
const WHOLE: f64 = 0.7;

/// Places where a board is sliced to see whether it changes.
const LOOKS: usize = 5;

fn is_curved(sections: &Sections, low: f64, high: f64) -> bool {
    let at = |look: usize| low + (high - low) * look as f64 / (LOOKS - 1) as f64;
    let slices: Vec<Slice> = (0..LOOKS).filter_map(|look| sections.at(at(look))).collect();
    let differs = |a: DVec2, b: DVec2| (a - b).abs().max_element() > SAME;
    slices.windows(2).any(|pair| differs(pair[0].low, pair[1].low) || differs(pair[0].high, pair[1].high))
}

fn bar(part: &Part, timber: &Timber, ends: [usize; 2], slice: &Slice) -> Member {
    let elastic = timber.elasticity() * 1e6;
    let fourth = 1e-12;
    let area = slice.area * 1e-6;
    let section = Section {
        elastic,
        shear: elastic * SHEAR_TO_ELASTIC,
        area,
        inertia_y: slice.flat * fourth,
        inertia_z: slice.edge * fourth,
        torsion: slice.torsion() * fourth,
        shear_area_y: Some(area * SHEAR_AREA),
        shear_area_z: Some(area * SHEAR_AREA),
    };
    Member {
        name: part.name.clone(),
        ends,
        kind: MemberKind::Beam,
        section,
        y_axis: part.pose.matrix3.y_axis,
        offsets: [DVec3::ZERO; 2],
        springs: [[None; 6]; 2],
    }
}
