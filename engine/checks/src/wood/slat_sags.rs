//! # What it checks
//! How far seat slats sag between their bearers, at once and after years.
//! # Why
//! A slat that gives under one person pinches its neighbour's, and feels weak long before it is.
//! # Method and source
//! The frame's deflection off the line of two neighbouring bearers, people sitting; at most span/120 and 5/16" (8 mm) (project choice).
//! Wood creeps: four tenths of the load stay and double their share when wet, else take half as much more (NDS-2018 3.5.2, Kcr
//! from memory).
//! # Example
//! A slat of 20 mm over 700 mm: 12 mm under one person.
//! # Remedy
//! Take thicker slats, or set one more bearer under them.

use super::roles::{Role, parts};
use crate::framing::{About, Sag, sag, service};
use crate::statics::beam::creep;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, Expression, NamedNumber, least};
use slatwork_base::{Severity, both_tapes, both_tapes_whole};
use slatwork_catalog::Status;

/// Sag as a share of the span (project choice).
const OF_SPAN: f64 = 1.0 / 120.0;
/// Greatest sag, mm (project choice).
const MOST: f64 = 8.0;
/// Share of the load that stays (project choice).
const LASTING: f64 = 0.4;

pub(super) const CHECK: Check =
    Check { fault: "slat-sags", about: "seat slats do not sag", rates: true, look: Look::Judges(look) };

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match case.analysis() {
        Ok(analysis) => analysis,
        Err(why) => return vec![Verdict::not_judged(CHECK.fault, why)],
    };
    let counts = |at: usize| matches!(analysis.situations[at].about, About::Sitting | About::OneSlat);
    let of = |part| Some((part, sag(analysis, part, counts)?));
    let sagging = parts(analysis, Role::Slat).into_iter().filter_map(of);
    let worst = sagging.reduce(|a, b| if b.1.sag / b.1.allowed() > a.1.sag / a.1.allowed() { b } else { a });
    let Some((part, worst)) = worst else { return Vec::new() };
    let creep = creep(service(case), service(case));
    let lasting = 1.0 + LASTING * (creep - 1.0);
    let (found, part) = (worst.sag * lasting, case.model.part(part));
    let measure = Measure::new("sag", found, Limit::AtMost(worst.allowed()), Unit::Length);
    let told = format!(
        "`{}` sags {} over {}, {} of it at once",
        part.name,
        both_tapes(found),
        both_tapes_whole(worst.span),
        both_tapes(worst.sag)
    );
    let verdict = Verdict::measured(CHECK.fault, measure, Severity::Failure)
        .about([part])
        .told(told)
        .worked(working(&worst, (creep, lasting), found))
        .governed_by(analysis.situations[worst.situation].name.clone())
        .assuming(analysis.models[0].framing.timbers.of(part.id).told.clone())
        .after("span/120 and 5/16\" (8 mm)", Status::ProjectChoice)
        .after("NDS-2018 3.5.2", Status::FromMemory)
        .remedy("Take thicker slats, or set one more bearer under them.", [Way::Section, Way::Bearers]);
    vec![verdict]
}

fn working(worst: &Sag, (creep, lasting): (f64, f64), found: f64) -> Working {
    let length = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
    let plain = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Plain);
    let at_once = length("s0", "sag at once, from the frame", worst.sag);
    let stays = plain("q", "share of the load that stays", LASTING);
    let creep = plain("Kcr", "creep factor", creep);
    let lasting =
        Equation::of(plain("k", "sag after years over that at once", lasting), 1.0 + stays * (creep - 1.0));
    let span = length("L", "span between two bearers, measured on the piece", worst.span);
    let parts = (1.0 / OF_SPAN).round();
    let allowed = length("sL", "most that it may sag", worst.allowed());
    let allowed = Equation::of(allowed, least([span / parts, Expression::Number(MOST, Unit::Length)]));
    let figure = Equation::of(length("s", "sag", found), at_once * &lasting);
    Working::new(figure).by([lasting]).held_to(allowed)
}

impl Sag {
    /// The most that it may be, mm.
    fn allowed(&self) -> f64 {
        (self.span * OF_SPAN).min(MOST)
    }
}
