//! Checks for true: which diagonals to measure and what they must read, which angle to hold, what to trim to fit.

use super::yard::Yard;
use crate::words::Reading;
use slatwork_base::{Angle, Length, maths};
use slatwork_model::{Joint, Model, Part};
use slatwork_solid::DVec3;

/// A corner of the outermost rectangle is there when wood comes this near to it, mm: a sixteenth of an inch.
const AT_CORNER: f64 = 1.6;

/// Board sides nearer than this to square with a face (as a sine) lie in it.
const IN_PLANE: f64 = 0.02;

/// A bevel gauge is set to half a degree at best (project choice).
const GAUGE_STEP: f64 = 0.5;

/// Angles nearer than this to square need no bevel gauge, degrees: finer than the tool is set.
const SQUARE: f64 = 0.25;

/// The two diagonals of the outermost rectangle of what stands, in the frame of its group; `None` when it has none.
pub(crate) fn diagonals(
    model: &Model,
    yard: &Yard,
    group: usize,
    parts: &[usize],
    reading: Reading,
) -> Option<String> {
    if parts.len() < 4 {
        return None;
    }
    let frame = model.groups.get(group)?.pose.matrix3;
    let axes = [frame.x_axis, frame.y_axis, frame.z_axis];
    let extent = |axis: DVec3| {
        let each = parts.iter().map(|&part| yard.body(part).extent(axis));
        each.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), own| (low.min(own.0), high.max(own.1)))
    };
    let extents = axes.map(extent);
    let size = |index: usize| extents[index].1 - extents[index].0;
    let thin = (0..3).min_by(|a, b| size(*a).total_cmp(&size(*b)))?;
    let (one, other) = ((thin + 1) % 3, (thin + 2) % 3);
    let corner_there = |u: f64, v: f64| {
        parts.iter().any(|&part| {
            let part = &model.parts[part];
            let corners = part.solid.pieces().iter().flat_map(|piece| piece.vertices());
            corners.map(|&corner| part.pose.transform_point3(corner)).any(|corner| {
                (corner.dot(axes[one]) - u).abs() < AT_CORNER
                    && (corner.dot(axes[other]) - v).abs() < AT_CORNER
            })
        })
    };
    let (a, b) = (extents[one], extents[other]);
    let all = [(a.0, b.0), (a.0, b.1), (a.1, b.0), (a.1, b.1)];
    if !all.into_iter().all(|(u, v)| corner_there(u, v)) {
        return None;
    }
    // The bodies are that much smaller on every side.
    let whole = |index: usize| size(index) + super::yard::SLIDING;
    let long = maths::hypot(whole(one), whole(other));
    let text = |value: f64| reading.text(Length::mm(value));
    Some(format!(
        "Measure both diagonals over the outermost corners ({} by {}): each must read {}.",
        text(whole(one).max(whole(other))),
        text(whole(one).min(whole(other))),
        text(long)
    ))
}

/// The angle to hold with a bevel gauge where two boards meet out of square.
pub(crate) fn gauge(model: &Model, joint: &Joint) -> Option<(Angle, usize, usize)> {
    let (patch, [first, second]) = (joint.patch.as_ref()?, &joint.parts[..]) else { return None };
    let line = |part: &Part| {
        let pose = part.pose.matrix3;
        let in_face = |axis: &DVec3| axis.dot(patch.normal).abs() < IN_PLANE;
        [pose.x_axis, pose.y_axis, pose.z_axis].into_iter().find(in_face)
    };
    let (a, b) = (line(model.part(*first))?, line(model.part(*second))?);
    let degrees = maths::acos(a.dot(b).clamp(-1.0, 1.0)).to_degrees();
    let off = (degrees / 90.0 - (degrees / 90.0).round()).abs() * 90.0;
    // Seen from the edges that lie nearest to square with each other, and set as finely as the tool is.
    let acute = degrees.min(180.0 - degrees);
    let held = if acute < 45.0 { 90.0 - acute } else { acute };
    (off > SQUARE).then(|| (Angle::deg((held / GAUGE_STEP).round() * GAUGE_STEP), first.0, second.0))
}

/// The trimming of a part that is fitted.
pub(crate) fn trimming(part: &Part, reading: Reading) -> Option<String> {
    let fit = part.fit.as_ref()?;
    Some(format!(
        "`{}` was left {} over: offer it up and trim its {} until it fits.",
        part.name,
        reading.text(fit.allowance),
        fit.trim
    ))
}
