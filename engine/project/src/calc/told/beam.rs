//! A beam in words.

use super::service;
use crate::Units;
use crate::calc::beam::{Answer, LimitAnswer, Question};
use crate::calc::sheet::{CALCULATED, Sheet, percent};

const SOURCE: &str = "Bending, shear, bearing and stability by NDS-2018 chapters 3 and 4; deflection of bending and shear, with Kcr of NDS 3.5.2 \
                      for what stays.";

/// `fails` says whether something is told that it may not do, whatever its capacity.
pub(in crate::calc) fn beam(question: &Question, answer: &Answer, fails: bool, units: Units) -> String {
    let mut sheet = Sheet::new(units, &title(question));
    let span = sheet.length(question.span.0);
    sheet.row("span", span);
    let load = sheet.force(question.load_n);
    sheet.row("load", format!("{load}, {}", question.case.as_deref().unwrap_or("uniform").replace('_', " ")));
    let bearing = sheet.length(question.bearing.0);
    sheet.row("bears at each support on", bearing);
    sheet.row("strength", basis(answer.basis));
    service(&mut sheet, question.duration.as_deref(), question.wet);
    sheet.part(match (answer.share <= 1.0, fails) {
        (true, false) => "It carries the load",
        (true, true) => "It may NOT be used so, though its capacity is not used up",
        (false, _) => "It does NOT carry the load",
    });
    sheet.row("decided by", answer.governing);
    sheet.row("share of the capacity used", percent(answer.share));
    for own in &answer.limits {
        let words = limit(&sheet, own);
        sheet.row(own.limit, words);
    }
    if let Some(together) = answer.together {
        sheet.row(
            "bending and load along",
            format!("{} (NDS Eq {})", percent(together.share), together.equation),
        );
    }
    sheet.part("Design value in bending");
    let reference = sheet.stress(answer.values.bending.reference.mpa);
    sheet.row("Fb before the factors", reference);
    sheet.factors(&answer.values.bending.factors);
    if answer.beam_stability != 1.0 {
        sheet.row("times CL", format!("{:.3}  (NDS 3.3.3)", answer.beam_stability));
    }
    sheet.part(SOURCE);
    sheet.say(CALCULATED);
    sheet.finish()
}

fn title(question: &Question) -> String {
    let wood = question.wood.as_deref().unwrap_or("wood").replace('_', " ");
    let grade = question.grade.as_ref().map(|own| format!(" {own}")).unwrap_or_default();
    let size = question.section.as_ref().map(|own| format!("{own} of ")).unwrap_or_default();
    let flat = if question.is_flat() { ", loaded on its wide face" } else { "" };
    format!("{size}{wood}{grade}{flat}")
}

fn basis(word: &str) -> &'static str {
    match word {
        "published" => "published design values of the grade",
        "estimate" => {
            "an estimate from clear wood: load a piece to well over its use before anybody sits on it"
        }
        _ => "the values given",
    }
}

fn limit(sheet: &Sheet, own: &LimitAnswer) -> String {
    let shown = |value: f64| match own.unit {
        "MPa" => sheet.stress(value),
        "N" => sheet.force(value),
        _ => sheet.fine(value),
    };
    format!("{} of {}: {}", shown(own.demand), shown(own.capacity), percent(own.share))
}
