//! # What it checks
//! At which link each chain is hung, and what that does to the seat as it was drawn.
//! # Why
//! Chains come in whole links: front and rear each end up to half a link off, which tilts the seat.
//! # Method and source
//! Links of the catalogue's pitch that come nearest to each run, less what quick links take up; the empty seat at equilibrium with
//! those lengths and with a link more or less (derived). Within 1 degree of the drawing (project choice).
//! # Example
//! Links of 1.24 in: half a link at one end of a seat 17 in deep turns it by 2 degrees.
//! # Remedy
//! A link more or less at one end, or a shackle or turnbuckle in the line.

use super::hung::{Hung, suspensions};
use super::weigh::MM;
use super::{hung_part, told_metres, with_hung};
use crate::statics::hang::{HungAt, Run};
use crate::statics::swing::Posture;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, NamedNumber, absolute};
use slatwork_base::{Length, Severity};
use slatwork_catalog::{HardwareKind, Status};
use slatwork_model::Suspension;

const FAULT: &str = "links-tilt-seat";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "hung by whole links the seat stays as it was drawn",
    rates: false,
    look: Look::Judges(look),
};

/// Degrees (project choice).
const MOST: f64 = 1.0;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let runs: Result<Vec<(HungAt, f64)>, String> =
            suspensions(case).iter().map(|own| at_link(case, own)).collect();
        let verdict = match runs {
            Ok(runs) => judged(case, hung, &runs),
            Err(why) => Verdict::not_judged(FAULT, why),
        };
        vec![
            verdict
                .about(hung_part(case))
                .assuming("links of the pitch in the catalogue; measure ten of yours")
                .assuming("nothing taken up by quick links whose inside length the catalogue does not tell")
                .after("pitch of chain, length of quick links", Status::FromMemory)
                .after("posture by equilibrium of the seat under its chains", Status::Derived)
                .after("1 degree", Status::ProjectChoice)
                .remedy(
                    "take a link more or less at one end, or set a turnbuckle into the line",
                    [Way::Place],
                ),
        ]
    })
}

/// The link at which a chain is hung, and its pitch, m.
fn at_link(case: &Case, own: &Suspension) -> Result<(HungAt, f64), String> {
    let items = || own.line.iter().filter_map(|id| case.catalogue.find_hardware(id));
    let chain = items().find_map(|item| item.chain());
    let pitch = chain.map(|chain| chain.pitch.as_metre());
    let pitch = pitch.ok_or_else(|| format!("the links of the {} are not known", own.name))?;
    let quick = items().filter(|item| item.kind == HardwareKind::QuickLink);
    let fittings = quick.filter_map(|item| item.dim("inside_length")).map(Length::as_metre).sum();
    let run = Run { distance: own.eye.distance(own.hook) * MM, fittings, pitch };
    run.hung_at().map(|hung| (hung, pitch)).map_err(|fault| fault.message)
}

fn judged(case: &Case, hung: &Hung, runs: &[(HungAt, f64)]) -> Verdict {
    let lengths: Vec<f64> = runs.iter().map(|(hung, _)| hung.length).collect();
    let (drawn, linked) =
        (hung.states.first().and_then(|state| state.posture()), hung.with_lengths(&lengths));
    let (Some(drawn), Some(linked)) = (drawn, linked.posture()) else {
        return Verdict::not_judged(FAULT, "the seat does not hang with nobody in it");
    };
    let off = (linked.tilt - drawn.tilt).as_deg().abs();
    let lower = (drawn.origin - linked.origin).z;
    let told = format!(
        "{}; the seat then hangs {} {} than drawn and {off:.1} degrees off; {}",
        links_told(case, runs),
        told_metres(lower.abs()),
        if lower < 0.0 { "higher" } else { "lower" },
        one_link_more(hung, runs, &lengths)
    );
    let measure = Measure::new("off the drawing", off, Limit::AtMost(MOST), Unit::Angle);
    let tilt = |symbol, meaning, posture: &Posture| {
        NamedNumber::new(symbol, meaning, posture.tilt.as_deg(), Unit::Angle)
    };
    let by = tilt("τ2", "tilt of the empty seat by whole links, from the posture", linked)
        - tilt("τ1", "tilt of the empty seat as drawn, from the posture", drawn);
    let figure = Equation::of(NamedNumber::new("δ", "off the drawing", off, Unit::Angle), absolute(by));
    Verdict::measured(FAULT, measure, Severity::Warning).worked(Working::new(figure)).told(told)
}

/// "hang each chain at link 52"; each by itself where they differ.
fn links_told(case: &Case, runs: &[(HungAt, f64)]) -> String {
    let first = runs[0].0.link;
    if runs.iter().all(|(hung, _)| hung.link == first) {
        return format!("hang each chain at link {first}, counted from the eye");
    }
    let named = suspensions(case).iter().zip(runs);
    let each: Vec<String> =
        named.map(|(own, (hung, _))| format!("the {} at link {}", own.name, hung.link)).collect();
    format!("hang {}, counted from the eye", each.join(", "))
}

/// What a link does: taken out of every chain, and out of those at the rear alone.
fn one_link_more(hung: &Hung, runs: &[(HungAt, f64)], lengths: &[f64]) -> String {
    let pitch = runs[0].1;
    let middle = hung.chains.iter().map(|chain| chain.eye.y).sum::<f64>() / hung.chains.len() as f64;
    let shorter: Vec<f64> = hung
        .chains
        .iter()
        .zip(lengths)
        .map(|(chain, length)| if chain.eye.y > middle { length - pitch } else { *length })
        .collect();
    let (before, after) = (hung.with_lengths(lengths), hung.with_lengths(&shorter));
    let tilts = before
        .posture()
        .zip(after.posture())
        .map(|(before, after)| (after.tilt - before.tilt).as_deg().abs());
    let tilts =
        tilts.map_or_else(String::new, |tilt| format!(", or, at the rear alone, tilts it {tilt:.1} degrees"));
    format!("one link moves the seat {}{tilts}", told_metres(pitch))
}
