//! Every joint as plain data, for a program: where its parts meet, its fasteners with the wood they pass, its holes.
//!
//! Points and directions are those of the finished piece (right, rear, up), lengths are millimetres, angles degrees. What has no
//! end, such as the distance to an edge that there is none of, is null.

use super::{Files, Paper};
use serde_json::{Value, json};
use slatwork_base::{Diagnostic, Length, Outcome, Place, maths};
use slatwork_model::joints::{Bore, Drive, Extra, Fastening, HeadSeat, JointPatch, Layer};
use slatwork_model::{Joint, PartId};
use slatwork_output::json::number;
use slatwork_shop::when_words;
use slatwork_solid::DVec3;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let mut body = paper.body();
    body.insert("joints".into(), paper.model.joints.iter().map(|own| joint(paper, own)).collect());
    Outcome::fine(vec![(String::from("joints.json"), paper.document("joints", body))])
}

fn joint(paper: &Paper<'_>, own: &Joint) -> Value {
    json!({
        "kind": own.kind,
        "within": own.within,
        "parts": own.parts.iter().map(|part| name(paper, *part)).collect::<Vec<_>>(),
        "origin": origin(paper, own),
        "patch": own.patch.as_ref().map(|patch| self::patch(paper, own, patch)),
        "glue_mm2": own.glue.map(|area| number(area.as_square_mm())),
        "fastenings": own.fastenings.iter().map(|one| fastening(paper, one)).collect::<Vec<_>>(),
        "extras": own.extras.iter().map(|extra| self::extra(paper, extra)).collect::<Vec<_>>(),
    })
}

/// The line of the script that made a joint.
fn origin(paper: &Paper<'_>, own: &Joint) -> Option<Value> {
    let somewhere = Diagnostic::note("joint", "").at_origin(own.origin);
    match paper.library.settle(somewhere).place {
        Some(Place::Source { file, line, column, .. }) => {
            Some(json!({ "file": file, "line": line, "column": column }))
        }
        _ => None,
    }
}

fn name<'a>(paper: &Paper<'a>, part: PartId) -> &'a str {
    &paper.model.part(part).name
}

fn patch(paper: &Paper<'_>, joint: &Joint, own: &JointPatch) -> Value {
    // Of the load square to the contact: 90 degrees on side grain, 0 on end grain.
    let to_grain = |part: &PartId| {
        let grain = paper.model.part(*part).pose.matrix3.x_axis;
        number(maths::acos(own.normal.dot(grain).abs().min(1.0)).to_degrees())
    };
    json!({
        "outline": own.corners.iter().map(|corner| vector(*corner)).collect::<Vec<_>>(),
        "area_mm2": number(own.area),
        "centre": vector(own.centre),
        "normal": vector(own.normal),
        "along": vector(own.along),
        "across": vector(own.across),
        "extent": [number(own.extent.0), number(own.extent.1)],
        "gap": number(own.gap),
        "on_end_grain": own.on_end,
        "normal_to_grain": joint.parts.iter().take(2).map(to_grain).collect::<Vec<_>>(),
    })
}

fn fastening(paper: &Paper<'_>, one: &Fastening) -> Value {
    let drive = match one.drive {
        Drive::Driver => "driver",
        Drive::Wrench => "wrench",
        Drive::Hammer => "hammer",
        Drive::Mallet => "mallet",
        Drive::Hand => "hand",
    };
    json!({
        "item": one.item,
        "kind": one.kind.word(),
        "diameter": length(one.diameter),
        "length": length(one.length),
        "head_diameter": length(one.head_diameter),
        "metal": one.metal.word(),
        "head": vector(one.head),
        "direction": vector(one.direction),
        "tip": vector(one.tip),
        "thread": [number(one.thread.0), number(one.thread.1)],
        "seat": seat(one.seat),
        "drive": drive,
        "takes_nut": one.takes_nut(),
        "layers": one.layers.iter().map(|own| layer(paper, one, own)).collect::<Vec<_>>(),
        "bores": one.bores.iter().map(|own| bore(paper, own)).collect::<Vec<_>>(),
    })
}

fn seat(own: HeadSeat) -> Value {
    match own {
        HeadSeat::Proud => json!({ "how": "proud" }),
        HeadSeat::Countersunk { diameter } => {
            json!({ "how": "countersunk", "diameter": length(diameter) })
        }
        HeadSeat::Counterbored { diameter, depth, plugged } => json!({
            "how": "counterbored", "diameter": length(diameter), "depth": length(depth), "plugged": plugged,
        }),
    }
}

fn layer(paper: &Paper<'_>, one: &Fastening, own: &Layer) -> Value {
    json!({
        "part": name(paper, own.part),
        "from": number(own.from),
        "to": number(own.to),
        "thread": number(one.thread_in(own)),
        "angle_to_grain": number(own.grain.as_deg()),
        "to_end": number(own.end),
        "to_edge": number(own.edge),
    })
}

fn bore(paper: &Paper<'_>, own: &Bore) -> Value {
    let pose = paper.model.part(own.part).pose;
    let step = |step: &slatwork_solid::HoleStep| json!({ "diameter": number(2.0 * step.radius), "depth": number(step.depth) });
    json!({
        "part": name(paper, own.part),
        "purpose": own.what,
        "when": when_words(&own.when),
        "start": vector(pose.transform_point3(own.hole.start)),
        "direction": vector(pose.transform_vector3(own.hole.direction)),
        "steps": own.hole.steps.iter().map(step).collect::<Vec<_>>(),
        "countersink": own.countersink.map(length),
        "in_solid": own.in_solid,
    })
}

fn extra(paper: &Paper<'_>, own: &Extra) -> Value {
    json!({
        "item": own.item,
        "name": paper.catalogue.item_words(&own.item),
        "count": own.count,
        "length": own.length.map(length),
        "metal": own.metal.word(),
    })
}

fn length(own: Length) -> Value {
    number(own.as_mm())
}

fn vector(own: DVec3) -> Value {
    own.to_array().into_iter().map(number).collect()
}
