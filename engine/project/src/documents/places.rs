//! Where things stand, for the general arrangement: heights of seat and arms, lean of the back, places of bearers and posts.

use slatwork_base::{Angle, maths};
use slatwork_model::{ContactKind, Model, Part, PartId};
use slatwork_output::Axis;
use slatwork_output::drawing::{Mark, View};
use slatwork_solid::DVec3;

/// Boards whose grain leans less than this from upright are posts, and from level bearers: cosine of 18 degrees, beyond
/// the splay of any leg and the fall of any seat.
const ALONG: f64 = 0.95;

/// An upright board shorter than so many of its widths is a bracket, no post.
const LEAST_POST: i64 = 3;

/// Places to write.
pub(super) fn marks(model: &Model) -> Vec<Mark> {
    heights(model).into_iter().chain(stations(model)).collect()
}

/// What is said of the views.
pub(super) fn remarks(model: &Model) -> Vec<(View, String)> {
    let lean = lean(model).map(|lean| (View::Side, format!("the back leans {lean}")));
    let read = (!stations(model).is_empty())
        .then(|| (View::Top, String::from("left and front faces of bearers and posts")));
    lean.into_iter().chain(read).collect()
}

/// Corners of the box round a part in its place, mm.
fn extent(part: &Part) -> (DVec3, DVec3) {
    let points = part.solid.mesh().positions.iter().map(|point| part.pose.transform_point3(*point));
    points.fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |(low, high), p| (low.min(p), high.max(p)))
}

fn heights(model: &Model) -> Vec<Mark> {
    let Some(seat) = &model.seat else { return Vec::new() };
    let tops =
        |ids: &[PartId]| -> Vec<(DVec3, DVec3)> { ids.iter().map(|id| extent(model.part(*id))).collect() };
    let (on, arms) = (tops(&seat.on), tops(&seat.arms));
    let front = on.iter().min_by(|a, b| a.0.y.total_cmp(&b.0.y));
    let rear = on.iter().max_by(|a, b| a.1.y.total_cmp(&b.1.y));
    let arm = arms.iter().max_by(|a, b| a.1.z.total_cmp(&b.1.z));
    let named = [(front, "seat front"), (rear, "seat rear"), (arm, "arms")];
    let height = |(found, name): (Option<&(DVec3, DVec3)>, &str)| {
        found.map(|found| Mark { view: View::Side, axis: Axis::Upright, at: found.1, name: name.to_string() })
    };
    named.into_iter().filter_map(height).collect()
}

/// From upright: `18°`, `12° to 18°`.
fn lean(model: &Model) -> Option<String> {
    let leans = model.seat.as_ref()?.back.iter().map(|id| {
        let face = model.part(*id).pose.matrix3.z_axis;
        Angle::rad(maths::asin(face.z.abs().min(1.0))).rounded_to(0.1).as_deg()
    });
    let (low, high) =
        leans.fold((f64::INFINITY, 0.0f64), |(low, high), lean| (low.min(lean), high.max(lean)));
    let text = |degrees: f64| Angle::deg(degrees).to_string();
    match low <= high {
        true if high - low < 0.15 => Some(text(high)),
        true => Some(format!("{} to {}", text(low), text(high))),
        false => None,
    }
}

/// Left faces of what runs front to rear and of posts, front faces of what runs across and of posts.
fn stations(model: &Model) -> Vec<Mark> {
    let Some(seat) = &model.seat else { return Vec::new() };
    let bearers = model.contacts.iter().filter(|contact| contact.kind == ContactKind::Run);
    let bearers = bearers.filter(|contact| seat.on.contains(&contact.a)).map(|contact| contact.b);
    let slat = |id: &PartId| seat.on.contains(id) || seat.back.contains(id);
    let is_post = |part: &Part| {
        part.pose.matrix3.x_axis.z.abs() > ALONG && part.length.as_nm() > LEAST_POST * part.width.as_nm()
    };
    let posts = model.parts.iter().filter(|part| is_post(part) && !slat(&part.id));
    let mut shown: Vec<PartId> = bearers.chain(posts.map(|part| part.id)).collect();
    shown.sort_unstable();
    shown.dedup();
    shown.into_iter().flat_map(|id| faces(model.part(id))).collect()
}

fn faces(part: &Part) -> Vec<Mark> {
    let (grain, at) = (part.pose.matrix3.x_axis.abs(), extent(part).0);
    let mark = |axis: Axis| Mark { view: View::Top, axis, at, name: String::new() };
    let left = (grain.y > ALONG || grain.z > ALONG).then(|| mark(Axis::Level));
    let front = (grain.x > ALONG || grain.z > ALONG).then(|| mark(Axis::Upright));
    left.into_iter().chain(front).collect()
}
