//! Where people sit, lean and hold on: from the seat that the model declares.

use super::ground::{corners, floor};
use slatwork_model::{Model, Part, PartId, Seat};
use slatwork_solid::DVec3;

/// The seat load acts so far in front of the line where seat and back meet, mm (ISO 7174-1, read).
const FORWARD_OF_BACK: f64 = 175.0;
/// Without a back, so far from the rear edge, mm (project choice: the middle of a stool).
const FROM_REAR: f64 = 175.0;
/// The back load acts so far above the seat, or on the top of the back if that is lower, mm (ISO 7174-1, read).
const ABOVE_SEAT: f64 = 300.0;
/// Side of the square that a person loads, mm (project choice after EN 1728's pad, from memory).
pub(super) const PAD: f64 = 200.0;
/// Who sits on the top of a back takes up so much of it, mm: 16 in (BIFMA X5.4-2012 section 6, read second-hand).
const ON_TOP: f64 = 406.0;
/// How far under the highest point the load is brought in, mm (numerical choice: crests are round).
const UNDER_TOP: f64 = 30.0;
/// A pad is a row of so many strips, and along each it is felt at so many points what lies under it: slats as wide as half a pad
/// bear half of it, and not two or three points of five.
const STRIPS: usize = 5;
const ALONG_STRIP: usize = 25;

/// Where people sit, lean and hold on.
#[derive(Clone, Debug)]
pub struct Seating<'a> {
    model: &'a Model,
    seat: &'a Seat,
    /// Middle of each place: x, mm.
    pub places: Vec<f64>,
    /// Left and right end of the seat, mm: where posts rise from it, at them.
    pub ends: [f64; 2],
    /// Front edge of the seat, mm.
    pub front: f64,
    /// Rear edge of the seat, mm.
    pub rear: f64,
    /// Where the seat load acts: y, mm.
    pub loaded: f64,
    /// Height of the seat there, mm.
    pub height: f64,
    /// Height of the back load; nothing without a back.
    pub back: Option<f64>,
}

/// A share of a load on a part.
#[derive(Clone, Copy, Debug)]
pub struct Touch {
    /// The part.
    pub part: PartId,
    /// World, mm.
    pub at: DVec3,
    /// Share of the whole.
    pub share: f64,
}

/// Least, greatest.
fn reach(parts: &[PartId], model: &Model, axis: usize) -> (f64, f64) {
    let all = parts.iter().flat_map(|part| corners(model.part(*part)));
    all.map(|corner| corner[axis])
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), own| (low.min(own), high.max(own)))
}

/// A part that rises so far over the seat stands in the way of who sits, mm (project choice: half of a thigh).
const RISES: f64 = 75.0;

/// The ends of a seat, at the posts that rise from it before people: the seat's front, where they sit, and its top are given.
fn between_posts(model: &Model, seat: &Seat, ends: [f64; 2], [front, loaded, top]: [f64; 3]) -> [f64; 2] {
    let [left, right] = ends;
    let quarter = (right - left) / 4.0;
    let others = model.parts.iter().map(|part| part.id);
    let mut clear = ends;
    for part in others.filter(|part| !seat.on.contains(part) && !seat.back.contains(part)) {
        let [x, y, z] = [0, 1, 2].map(|axis| reach(&[part], model, axis));
        if z.0 > top || z.1 < top + RISES || y.1 < front || loaded < y.0 {
            continue;
        }
        if left < x.1 && x.1 < left + quarter {
            clear[0] = clear[0].max(x.1);
        }
        if right - quarter < x.0 && x.0 < right {
            clear[1] = clear[1].min(x.0);
        }
    }
    clear
}

impl<'a> Seating<'a> {
    /// Of a model; nothing if it declares no seat.
    pub fn of(model: &'a Model) -> Option<Seating<'a>> {
        let seat = model.seat.as_ref().filter(|seat| !seat.on.is_empty() && seat.places > 0)?;
        let (left, right) = reach(&seat.on, model, 0);
        let (front, rear) = reach(&seat.on, model, 1);
        let top = reach(&seat.on, model, 2).1;
        let loaded = meeting(seat, model, top).map_or(rear - FROM_REAR, |y| y - FORWARD_OF_BACK).max(front);
        let wide = (right - left) / seat.places as f64;
        let places = (0..seat.places).map(|place| left + wide * (place as f64 + 0.5)).collect();
        let mut own = Seating {
            model,
            seat,
            places,
            ends: between_posts(model, seat, [left, right], [front, loaded, top]),
            front,
            rear,
            loaded,
            height: top,
            back: None,
        };
        own.height = own.seat_height().unwrap_or(top);
        let back_top = reach(&seat.back, model, 2).1;
        own.back = (!seat.back.is_empty()).then(|| (own.height + ABOVE_SEAT).min(back_top - PAD / 2.0));
        Some(own)
    }

    /// Slats that carry people.
    pub fn on(&self) -> &'a [PartId] {
        &self.seat.on
    }

    /// Whether the piece hangs.
    pub fn hangs(&self) -> bool {
        self.model.hanging.is_some()
    }

    /// Arm tops.
    pub fn arms(&self) -> &'a [PartId] {
        &self.seat.arms
    }

    fn seat_height(&self) -> Option<f64> {
        let middle = f64::midpoint(self.ends[0], self.ends[1]);
        let touches = self.pad(&self.seat.on, DVec3::new(middle, self.loaded, 0.0), [0, 1, 2], [PAD; 2]);
        (!touches.is_empty()).then(|| touches.iter().map(|touch| touch.at.z * touch.share).sum())
    }

    /// What a load downward on a rectangle of the seat touches, x and y of its middle and its sides given.
    pub fn seat_pad(&self, x: f64, y: f64, sides: [f64; 2]) -> Vec<Touch> {
        self.pad(&self.seat.on, DVec3::new(x, y, 0.0), [0, 1, 2], sides)
    }

    /// What a push to the rear touches on the back.
    pub fn back_pad(&self, x: f64) -> Vec<Touch> {
        self.back
            .map(|height| self.pad(&self.seat.back, DVec3::new(x, 0.0, height), [0, 2, 1], [PAD; 2]))
            .unwrap_or_default()
    }

    /// Height of the back's top over the ground, mm; nothing without a back.
    pub(super) fn back_height(&self) -> Option<f64> {
        self.back.map(|_| reach(&self.seat.back, self.model, 2).1 - floor(self.model))
    }

    /// What sits on the top of the back at a place touches there.
    pub fn top_of_back(&self, x: f64) -> Vec<Touch> {
        let near = |part: &&PartId| {
            let (left, right) = reach(&[**part], self.model, 0);
            left < x + ON_TOP / 2.0 && x - ON_TOP / 2.0 < right
        };
        let below: Vec<PartId> = self.seat.back.iter().filter(near).copied().collect();
        let top = reach(&below, self.model, 2).1 - UNDER_TOP;
        self.pad(&below, DVec3::new(x, 0.0, top), [0, 2, 1], [ON_TOP, UNDER_TOP])
    }

    /// The way to the rear square to a board of the back.
    pub(super) fn out_of_back(&self, part: PartId) -> DVec3 {
        let normal = self.model.part(part).pose.matrix3.z_axis;
        if normal.y < 0.0 { -normal } else { normal }
    }

    /// What of a rectangle meets parts when looked at along the third axis; gaps between parts carry nothing.
    fn pad(&self, parts: &[PartId], middle: DVec3, axes: [usize; 3], sides: [f64; 2]) -> Vec<Touch> {
        let off = |step: usize, steps: usize, side: f64| ((step as f64 + 0.5) / steps as f64 - 0.5) * side;
        // Part, sum of places, how many.
        let mut found: Vec<(PartId, DVec3, usize)> = Vec::new();
        for strip in 0..STRIPS {
            let first = found.len();
            for step in 0..ALONG_STRIP {
                let mut at = middle;
                at[axes[0]] += off(strip, STRIPS, sides[0]);
                at[axes[1]] += off(step, ALONG_STRIP, sides[1]);
                let hit = parts.iter().find_map(|part| meets(self.model.part(*part), at, axes[2]));
                let Some((part, at)) = hit else { continue };
                match found[first..].iter_mut().find(|own| own.0 == part) {
                    Some(own) => *own = (part, own.1 + at, own.2 + 1),
                    None => found.push((part, at, 1)),
                }
            }
        }
        let all: usize = found.iter().map(|own| own.2).sum();
        let touch = |(part, sum, count): (PartId, DVec3, usize)| Touch {
            part,
            at: sum / count as f64,
            share: count as f64 / all as f64,
        };
        found.into_iter().map(touch).collect()
    }
}

/// Where a line along an axis meets a board within its length and width: the face that people touch, on top of a seat, in front of a
/// back.
fn meets(part: &Part, through: DVec3, axis: usize) -> Option<(PartId, DVec3)> {
    let back = part.pose.inverse();
    let (own, along) = (back.transform_point3(through), back.matrix3.col(axis));
    if along.z.abs() < EDGE_ON {
        return None;
    }
    let is_marked_face = (along.z > 0.0) == (axis == UP);
    let face = if is_marked_face { part.thickness.as_mm() } else { 0.0 };
    let at = own + along * ((face - own.z) / along.z);
    let bounds = part.solid.bounds();
    let within = bounds.min.x <= at.x && at.x <= bounds.max.x && bounds.min.y <= at.y && at.y <= bounds.max.y;
    within.then(|| (part.id, part.pose.transform_point3(at)))
}

/// The axis that a seat is looked at along.
const UP: usize = 2;

/// A board seen so nearly edge on is not sat on: the sine of 15 degrees (project choice).
const EDGE_ON: f64 = 0.26;

/// Band over the lowest point of the back in which its front is looked for, mm.
const LOW_BACK: f64 = 60.0;

/// Where the back meets the seat: its foremost line low down.
fn meeting(seat: &Seat, model: &Model, top: f64) -> Option<f64> {
    let all = || seat.back.iter().flat_map(|part| corners(model.part(*part)));
    let low = all().map(|corner| corner.z).fold(f64::INFINITY, f64::min).max(top - LOW_BACK);
    all().filter(|corner| corner.z <= low + LOW_BACK).map(|corner| corner.y).min_by(f64::total_cmp)
}

impl Seating<'_> {
    /// Name of a part.
    pub(super) fn name_of(&self, part: PartId) -> &str {
        &self.model.part(part).name
    }

    /// Direction of the grain of a part.
    pub(super) fn grain(&self, part: PartId) -> DVec3 {
        self.model.part(part).pose.matrix3.x_axis
    }

    /// Which side of the seat a part is on.
    pub(super) fn side_of(&self, part: PartId) -> &'static str {
        let (left, right) = reach(&[part], self.model, 0);
        if left + right < self.ends[0] + self.ends[1] { "left" } else { "right" }
    }

    /// The middle of each arm.
    pub(crate) fn arm_middles(&self) -> Vec<DVec3> {
        self.arms().iter().map(|arm| self.along_arm(*arm, 0.5)).collect()
    }

    /// A point on the middle line of an arm, as a share of its length from the front.
    pub(super) fn along_arm(&self, part: PartId, share: f64) -> DVec3 {
        let part = self.model.part(part);
        let bounds = part.solid.bounds();
        let share = if part.pose.matrix3.x_axis.y < 0.0 { 1.0 - share } else { share };
        let x = bounds.min.x + (bounds.max.x - bounds.min.x) * share;
        part.pose.transform_point3(DVec3 { x, ..bounds.centre() })
    }

    /// The middle of the longest stretch between two joints of a slat, on its middle line.
    pub(super) fn longest_span(&self, part: PartId) -> DVec3 {
        let own = self.model.part(part);
        let back = own.pose.inverse();
        let of_slat = self.model.joints.iter().filter(|joint| joint.parts.contains(&part));
        let held = of_slat.flat_map(|joint| &joint.fastenings).map(|one| back.transform_point3(one.head).x);
        let mut places: Vec<f64> = held.collect();
        places.sort_by(f64::total_cmp);
        let widest = places
            .windows(2)
            .max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))
            .map(|pair| f64::midpoint(pair[0], pair[1]));
        let bounds = own.solid.bounds();
        let middle = bounds.centre();
        own.pose.transform_point3(DVec3 { x: widest.unwrap_or(middle.x), ..middle })
    }
}
