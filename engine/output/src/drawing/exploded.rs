//! The exploded view: every part moved out along its way of assembly, so far that it stands clear of what it comes to.

use crate::dimension::Leader;
use crate::drawing::arrangement::Balloon;
use crate::drawing::balloons;
use crate::drawing::blocks::{Block, draw_stacks, flow, stacks_width};
use crate::drawing::layered::{Layered, scale_into};
use crate::drawing::picture::PaperFrame;
use crate::drawing::placed::Placed;
use crate::drawing::title::{Room, plain_sheet};
use crate::drawing::view::{Camera, View};
use crate::drawing::visible::Covers;
use crate::drawing::wire::{Body, Wire};
use crate::sheet::{Figure, LineClass, Paper, Sheet};
use slatwork_solid::{DVec2, DVec3};

/// Bodies that come to others in one go.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrival {
    /// Their numbers.
    pub bodies: Vec<usize>,
    /// Numbers of those that stand there by then.
    pub onto: Vec<usize>,
    /// Unit direction from their place to where they come from; zero for what lies there first.
    pub out: DVec3,
    /// Points where a body that comes touches one that stands: the two, and the point in the finished piece.
    pub touches: Vec<(usize, usize, DVec3)>,
}

/// What an exploded view shows.
pub struct Exploded<'a> {
    /// The piece, as the builder calls it.
    pub title: &'a str,
    /// The family it is of.
    pub family: &'a str,
    /// Everything that is built, in its place.
    pub piece: &'a Placed<'a>,
    /// How it comes together: what is put together by itself first.
    pub arrivals: &'a [Arrival],
    /// Marks to write.
    pub balloons: &'a [Balloon],
    /// Names of the marks, in the same order.
    pub names: &'a [String],
    /// The sheet.
    pub paper: Paper,
}

/// Bodies are moved out by steps of this share of the size of the piece, and by so many of them at most.
const STEP: f64 = 1.0 / 40.0;
const MOST_STEPS: u32 = 30;
/// So much of what is moved may lie over what it comes to, or under it.
const MAY_COVER: f64 = 0.06;
/// White between the picture and what stands beside it, mm.
const CLEAR: f64 = 5.0;

/// Draws the sheet.
pub fn exploded(what: &Exploded<'_>) -> Sheet {
    let cells = [
        ("piece", what.title.to_string()),
        ("family", what.family.to_string()),
        ("sheet", String::from("Exploded view")),
        ("scale", String::from("none")),
    ];
    let (mut sheet, room) = plain_sheet(what.paper, what.title, &cells);
    sheet.description = format!(
        "The {} parts of {} moved out along the ways on which they are put together, with part marks and their names.",
        what.piece.bodies().len(),
        what.title
    );
    let camera = View::Isometric.camera();
    let moved = moved_out(what, camera);
    let mut wire = Wire::default();
    what.piece.wires().iter().zip(&moved).for_each(|(own, shift)| wire.add_moved(own, *shift));
    let stacks = flow(&[key(what)], room.high.y - room.low.y - 2.0 * CLEAR);
    let key_width = stacks_width(&stacks);
    draw_stacks(&mut sheet, &stacks, Room { low: DVec2::new(room.high.x - key_width, room.low.y), ..room });
    let marks = balloons::column_width(what.balloons);
    let low = room.low + CLEAR + DVec2::new(marks, 0.0);
    let high = room.high - CLEAR - DVec2::new(marks + key_width, 0.0);
    draw_moved(&mut sheet, what, (&wire, &moved), camera, (low, high));
    sheet
}

fn key(what: &Exploded<'_>) -> Block {
    let row = |(balloon, name): (&Balloon, &String)| {
        vec![balloon.mark.clone(), name.clone(), balloon.bodies.len().to_string()]
    };
    Block {
        heading: String::from("Parts"),
        head: ["mark", "name", "count"].map(String::from).to_vec(),
        rows: what.balloons.iter().zip(what.names).map(row).collect(),
        splits: true,
    }
}

fn draw_moved(
    sheet: &mut Sheet,
    what: &Exploded<'_>,
    (wire, moved): (&Wire, &[DVec3]),
    camera: Camera,
    (low, high): (DVec2, DVec2),
) {
    if wire.triangles.is_empty() {
        return;
    }
    let covers = Covers::of(wire, camera);
    let flat = || wire.points().map(|point| camera.flat(point));
    let (least, most) =
        (flat().fold(DVec2::INFINITY, DVec2::min), flat().fold(DVec2::NEG_INFINITY, DVec2::max));
    let scale = scale_into(most - least, high - low);
    let size = (most - least) / scale.denominator;
    let at = (low + high - size) / 2.0;
    let frame = PaperFrame { low: least, at, scale };
    let all: Vec<usize> = (0..moved.len()).collect();
    let view = Layered { wire, standing: None, covers: &covers, camera, new: &all };
    sheet.items.extend(view.lines(&frame));
    for (own, other, point) in what.arrivals.iter().flat_map(|arrival| &arrival.touches) {
        let shift = |body: &usize| moved.get(*body).copied().unwrap_or(DVec3::ZERO);
        for (from, to) in view.seen_of(*point + shift(own), *point + shift(other), &frame) {
            sheet.line(LineClass::Way, from, to);
        }
    }
    let anchors = balloons::anchors(what.balloons, wire, &covers, camera);
    let pointed: Vec<(String, DVec2)> = anchors
        .into_iter()
        .filter_map(|(mark, point)| Some((mark, frame.paper(camera.flat(point?)))))
        .collect();
    let leaders: Vec<Leader> = balloons::place(pointed, (at, at + size), (low.y, high.y));
    leaders.into_iter().for_each(|own| sheet.draw(LineClass::Dimension, Figure::Leader(own)));
}

/// How far each body is moved, arrival by arrival: what was put together before moves as a whole.
fn moved_out(what: &Exploded<'_>, camera: Camera) -> Vec<DVec3> {
    let hulls: Vec<Vec<DVec2>> = what.piece.bodies().iter().map(|body| hull(body, camera)).collect();
    let points = || hulls.iter().flatten().copied();
    let size = points().fold(DVec2::NEG_INFINITY, DVec2::max) - points().fold(DVec2::INFINITY, DVec2::min);
    let step = if hulls.is_empty() { 0.0 } else { size.length() * STEP };
    let mut moved = vec![DVec3::ZERO; hulls.len()];
    for arrival in what.arrivals.iter().filter(|own| own.out != DVec3::ZERO) {
        let placed = |bodies: &[usize], off: DVec3| -> Vec<Vec<DVec2>> {
            let shifted = |body: &usize| {
                let shift = camera.flat(*moved.get(*body)? + off);
                Some(hulls[*body].iter().map(|point| *point + shift).collect())
            };
            bodies.iter().filter_map(shifted).collect()
        };
        let stands = placed(&arrival.onto, DVec3::ZERO);
        let own: f64 = placed(&arrival.bodies, DVec3::ZERO).iter().map(|hull| area(hull)).sum();
        let covered = |steps: u32| {
            let here = placed(&arrival.bodies, arrival.out * (step * f64::from(steps)));
            let pairs = here.iter().flat_map(|one| stands.iter().map(move |other| common_area(one, other)));
            pairs.sum::<f64>() / own.max(1e-9)
        };
        let mut best = (f64::INFINITY, 1);
        for steps in 2..=MOST_STEPS {
            let share = covered(steps);
            if share < best.0 - 0.02 {
                best = (share, steps);
            }
            if share < MAY_COVER {
                break;
            }
        }
        let shift = arrival.out * (step * f64::from(best.1));
        for body in &arrival.bodies {
            moved.get_mut(*body).into_iter().for_each(|own| *own += shift);
        }
    }
    moved
}

/// The outline on the view of the box round a body along its own axes, counter-clockwise.
fn hull(body: &Body<'_>, camera: Camera) -> Vec<DVec2> {
    let corners = body.solid.bounds().corners();
    let mut points: Vec<DVec2> =
        corners.iter().map(|corner| camera.flat(body.pose.transform_point3(*corner))).collect();
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut lower: Vec<DVec2> = Vec::new();
    let mut upper: Vec<DVec2> = Vec::new();
    for (chain, side) in [(&mut lower, 1.0), (&mut upper, -1.0)] {
        for &point in &points {
            while let [.., a, b] = chain.as_slice() {
                if side * (*b - *a).perp_dot(point - *a) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
    }
    // The upper chain runs from left to right: turned round it goes on where the lower one ends.
    upper.push(points[points.len() - 1]);
    upper.remove(0);
    upper.reverse();
    lower.extend(upper);
    lower
}

fn area(ring: &[DVec2]) -> f64 {
    let next = |at: usize| ring[(at + 1) % ring.len()];
    ring.iter().enumerate().map(|(at, point)| point.perp_dot(next(at))).sum::<f64>() / 2.0
}

/// Area that two convex rings, counter-clockwise, have in common.
fn common_area(one: &[DVec2], other: &[DVec2]) -> f64 {
    let bound = |ring: &[DVec2], pick: fn(DVec2, DVec2) -> DVec2| {
        ring.iter().copied().reduce(pick).unwrap_or_default()
    };
    let apart = bound(one, DVec2::max).cmplt(bound(other, DVec2::min)).any()
        || bound(other, DVec2::max).cmplt(bound(one, DVec2::min)).any();
    if apart {
        return 0.0;
    }
    let mut left = one.to_vec();
    for (at, from) in other.iter().enumerate() {
        let way = other[(at + 1) % other.len()] - *from;
        let height = |point: DVec2| way.perp_dot(point - *from);
        let mut next = Vec::with_capacity(left.len() + 1);
        for (index, point) in left.iter().enumerate() {
            let then = left[(index + 1) % left.len()];
            let (here, there) = (height(*point), height(then));
            if here >= 0.0 {
                next.push(*point);
            }
            if (here < 0.0) != (there < 0.0) {
                next.push(point.lerp(then, here / (here - there)));
            }
        }
        left = next;
        if left.len() < 3 {
            return 0.0;
        }
    }
    area(&left)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn convex_rings_share_what_they_share() {
        let square =
            |x: f64| [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)].map(|(a, b)| DVec2::new(a + x, b));
        assert!((common_area(&square(0.0), &square(1.5)) - 1.0).abs() < 1e-12);
        assert_eq!(common_area(&square(0.0), &square(3.0)), 0.0);
        assert!((common_area(&square(0.0), &square(0.0)) - 4.0).abs() < 1e-12);
    }
}
