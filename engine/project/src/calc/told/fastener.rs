//! A fastener in words.

use super::service;
use crate::Units;
use crate::calc::fastener::{Answer, LateralAnswer, Member, Question, WithdrawalAnswer};
use crate::calc::sheet::{CALCULATED, Sheet, percent};

/// Every yield mode and how it gives way.
const MODES: [(&str, &str); 6] = [
    ("Im", "the wood of the main member crushes"),
    ("Is", "the side member crushes"),
    ("II", "the fastener turns over in both members"),
    ("IIIm", "it bends once, in the main member"),
    ("IIIs", "it bends once, near the side member"),
    ("IV", "it bends in both members"),
];

const SOURCE: &str = "Yield modes by NDS-2018 12.3 (general dowel equations), pulling out and through by 12.2, least penetration by 12.1; \
                      each factor with its source.";

pub(in crate::calc) fn fastener(question: &Question, answer: &Answer, units: Units) -> String {
    let mut sheet = Sheet::new(units, &title(question, answer));
    members(&mut sheet, question, answer.length_mm);
    service(&mut sheet, question.duration.as_deref(), question.wet_used);
    across(&mut sheet, question, &answer.lateral, answer.count);
    match &answer.withdrawal {
        Some(pulled) => along(&mut sheet, pulled, answer.count),
        None => {
            sheet.part("Along the fastener");
            sheet.say("No value: bolts hold by their washers and nuts, and nothing is counted on in end grain or steel.");
        }
    }
    if let Some(share) = answer.utilisation {
        sheet.part("With your load");
        sheet.row("share of the capacity used", percent(share));
    }
    sheet.part(SOURCE);
    sheet.say(CALCULATED);
    sheet.finish()
}

fn title(question: &Question, answer: &Answer) -> String {
    let own = &question.fastener;
    let count = if answer.count == 1 { String::new() } else { format!("{} of: ", answer.count) };
    let kind = own.kind.replace(['_', '-'], " ");
    let gauge = if kind == "wood screw" { "#" } else { "" };
    let size = own.size.as_ref().map(|own| format!("{gauge}{} ", own.trim_start_matches('#')));
    format!("{count}{}{kind}", size.unwrap_or_default())
}

fn members(sheet: &mut Sheet, question: &Question, length: Option<f64>) {
    if let Some(length) = length {
        let length = sheet.length(length);
        sheet.row("length", length);
    }
    for (name, member) in [("side member", &question.side), ("main member", &question.main)] {
        let words = member_words(sheet, member);
        sheet.row(name, words);
    }
}

fn member_words(sheet: &Sheet, member: &Member) -> String {
    let stuff = match (&member.steel, &member.wood, member.gravity) {
        (Some(steel), ..) => format!("{steel} steel"),
        (None, Some(wood), _) => wood.replace('_', " "),
        (None, None, gravity) => format!("wood of specific gravity {}", gravity.unwrap_or_default()),
    };
    let thickness = member.thickness.map(|own| sheet.length(own.0));
    let grain = match (member.end_grain, member.angle_deg) {
        (true, _) => String::from(", end grain"),
        (false, angle) if angle != 0.0 && member.steel.is_none() => {
            format!(", load {angle}\u{b0} to the grain")
        }
        _ => String::new(),
    };
    format!("{}{stuff}{grain}", thickness.map(|own| format!("{own} of ")).unwrap_or_default())
}

fn across(sheet: &mut Sheet, question: &Question, own: &LateralAnswer, count: u32) {
    sheet.part("Across the fastener (shear)");
    carries(sheet, own.each.adjusted.n, own.all.n, count);
    let how = MODES.iter().find(|(mode, _)| *mode == own.governing).map_or("", |(_, how)| how);
    sheet.row("gives way", format!("mode {}: {how}", own.governing));
    let value = sheet.force(own.each.reference.n);
    sheet.row("before the factors", value);
    sheet.factors(&own.each.factors);
    if question.distances.is_some() {
        sheet.row(
            "the distances are",
            "those of the main member, by its grain; look at the side member as well",
        );
    }
    if let Some(penetration) = own.penetration_mm {
        let words = format!(
            "{}, {} at least counts",
            sheet.length(penetration),
            sheet.length(own.least_penetration_mm)
        );
        sheet.row("goes into the main member", words);
    }
    if let (Some(table), "penetration") = (own.by_table, own.rule) {
        let words = format!(
            "{} of the tables' depth, so {} times that of {}: lower than the equations, and taken",
            percent(table.part),
            format_args!("{:.2}", table.part),
            sheet.force(table.full.n)
        );
        sheet.row("short hold", words);
    }
    for mode in &own.modes {
        let value = sheet.force(mode.value.n);
        sheet.row(&format!("mode {} by itself", mode.mode), value);
    }
    let bearing =
        format!("{} main, {} side", sheet.stress(own.main_bearing.mpa), sheet.stress(own.side_bearing.mpa));
    sheet.row("wood bears", bearing);
    let steel = sheet.stress(own.bending_yield.mpa);
    let which = match question.fastener.bending_yield_mpa {
        Some(_) => "as given",
        None => "that of common steel (NDS Appendix Table I1); of stainless and others the maker says it",
    };
    sheet.row("steel bends at", format!("{steel}, {which}"));
}

fn along(sheet: &mut Sheet, own: &WithdrawalAnswer, count: u32) {
    sheet.part("Along the fastener (pull)");
    carries(sheet, own.each.n, own.all.n, count);
    sheet.row("gives way", own.governing);
    let holds = sheet.length(own.holds_mm);
    sheet.row("holds over", holds);
    let out = sheet.force(own.pull_out.reference.n);
    sheet.row("pulls out, before the factors", out);
    sheet.factors(&own.pull_out.factors);
    if let Some(head) = &own.head {
        let value = sheet.force(head.adjusted.n);
        sheet.row("head pulls through", value);
    }
    if let Some(steel) = own.steel {
        let value = sheet.force(steel.n);
        sheet.row("steel tears", value);
    }
}

fn carries(sheet: &mut Sheet, each: f64, all: f64, count: u32) {
    let each = sheet.force(each);
    sheet.row(if count == 1 { "carries" } else { "each carries" }, each);
    if count > 1 {
        let all = sheet.force(all);
        sheet.row("together", all);
    }
}
