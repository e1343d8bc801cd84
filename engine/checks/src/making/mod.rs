//! Findings on making: what a script asks for that cannot be made, or would not hold once made.

mod clamp_cannot_close;
mod cut_beyond_tools;
mod end_grain_carries_load;
mod fastener_meets;
mod hole_beyond_tools;
mod hole_near_outline;
mod part_not_held;
mod plug_leaves_too_little;
mod screw_breaks_out;
mod screw_falls_short;
mod too_near;

use crate::{Case, Check};
use slatwork_base::{Diagnostic, Length, Place, Severity, Tape};
use slatwork_catalog::Status;
use slatwork_model::joints::Fastening;
use slatwork_model::{Joint, Part};

pub(crate) const ALL: [&Check; 11] = [
    &part_not_held::CHECK,
    &screw_breaks_out::CHECK,
    &screw_falls_short::CHECK,
    &too_near::CHECK,
    &fastener_meets::CHECK,
    &hole_near_outline::CHECK,
    &plug_leaves_too_little::CHECK,
    &end_grain_carries_load::CHECK,
    &cut_beyond_tools::CHECK,
    &hole_beyond_tools::CHECK,
    &clamp_cannot_close::CHECK,
];

/// What limits of tools rest on.
const TOOLS: [(&str, Status); 1] =
    [("tools of a small shop, or one's own of the catalogue", Status::ProjectChoice)];

/// Each fastener of each joint.
fn fastenings<'a>(case: &'a Case) -> impl Iterator<Item = (&'a Joint, &'a Fastening)> {
    case.model.joints.iter().flat_map(|joint| joint.fastenings.iter().map(move |one| (joint, one)))
}

/// "#8 wood screw x 2" of `seat slat 2` to `seat support`".
fn words(case: &Case, joint: &Joint, fastening: &Fastening) -> String {
    let names: Vec<String> =
        joint.parts.iter().map(|part| format!("`{}`", case.model.part(*part).name)).collect();
    format!("{} x {} of {}", case.catalogue.item_words(&fastening.item), fastening.length, names.join(" to "))
}

/// Whether a hole of a part is one that a joint's fastener asked for.
fn is_fasteners(case: &Case, part: &Part, hole: &slatwork_solid::Hole) -> bool {
    let bores = case.model.joints.iter().flat_map(|joint| &joint.fastenings).flat_map(|one| &one.bores);
    bores.filter(|bore| bore.part == part.id).any(|bore| {
        bore.hole.start.distance(hole.start) < 1e-6 && bore.hole.direction.distance(hole.direction) < 1e-9
    })
}

/// A finding at the line that asked for the joint, with the part it is about.
fn finding(
    severity: Severity,
    code: &'static str,
    message: String,
    joint: &Joint,
    part: &Part,
) -> Diagnostic {
    Diagnostic::new(severity, code, message)
        .at_origin(joint.origin)
        .with_trace(Place::Part(part.name.clone()), "the part it is about")
}

/// For both tapes: millimetres with a decimal, as these are distances to judge, and inches where a tape has so small a mark.
fn mm(value: f64) -> String {
    let tape = Tape::Inch64;
    let length = Length::mm(value);
    match tape.read(length).mark {
        Length::ZERO => format!("{value:.1} mm"),
        _ => format!("{} ({value:.1} mm)", tape.text(length)),
    }
}

#[cfg(test)]
mod tests {
    use super::mm;

    #[test]
    fn distances_read_on_both_tapes() {
        assert_eq!(mm(50.8), "2\" (50.8 mm)");
        assert_eq!(mm(84.5), "3 21/64\" (84.5 mm)");
        assert_eq!(mm(0.1), "0.1 mm");
    }
}
