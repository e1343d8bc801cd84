//! # What it checks
//! That the piece does not turn over, fall or fold up as a whole under any load case.
//! # Why
//! What does so carries nothing: its boards and joints cannot even be judged.
//! # Method and source
//! Every load case of its use, in its posture where it hangs and as a frame on feet that only push where it stands (statics; loads by
//! use level), each foot bearing in its middle. The tests of a piece as one rigid body are the checks of tipping.
//! # Example
//! A light swing that somebody leans on from outside, a bench whose seat reaches far over its legs.
//! # Remedy
//! Set feet or eyes farther apart, or the seat farther in; join what folds up.

use crate::framing::Unanalysed;
use crate::{Case, Check, Look, Verdict, Way};
use slatwork_base::Severity;

const FAULT: &str = "gives-way";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the piece does not give way as a whole",
    rates: true,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let why = match case.analysed() {
        Ok(analysis) => analysis.falls(),
        Err(Unanalysed::TurnsOver(why)) => Some(why.clone()),
        Err(Unanalysed::Unknown(why)) => return vec![Verdict::not_judged(FAULT, why)],
    };
    let seat = case.model.seat.iter().flat_map(|seat| seat.on.first()).map(|part| case.model.part(*part));
    let posture = if case.model.hangs() {
        "it comes to rest under its chains with each load"
    } else {
        "each foot bears in its middle"
    };
    let verdict = Verdict::yes_or_no(FAULT, why.is_none(), Severity::Failure)
        .about(seat)
        .told(why.unwrap_or_else(|| String::from(CHECK.about)))
        .assuming(posture)
        .under_loads(case, case.analysis().iter().flat_map(|own| &own.situations))
        .remedy(
            "Set feet or eyes farther apart, or the seat farther in; join what folds up.",
            [Way::Place, Way::Fasteners],
        );
    vec![verdict]
}
