//! Cutting plans in words.

use crate::Units;
use crate::calc::cut::{Answer, Instance, Layout, Plan, Question, Unit};
use crate::calc::sheet::Sheet;
use slatwork_base::Length;

pub(in crate::calc) fn cut(question: &Question, answer: &Answer, units: Units) -> String {
    let each = question.instances.iter().zip(&answer.instances);
    each.map(|(instance, plan)| told(instance, plan, units)).collect::<Vec<_>>().join("\n")
}

fn told(instance: &Instance, plan: &Plan, units: Units) -> String {
    let length = |length: i64| match instance.unit {
        Unit::Any => length.to_string(),
        Unit::Nanometre => units.true_text(Length::nm(length)),
    };
    let mut sheet = Sheet::new(units, &title(plan));
    sheet.row("cost", plan.cost.to_string());
    bound(&mut sheet, plan);
    if !plan.boards.is_empty() {
        sheet.part("Boards to take");
    }
    for own in &plan.boards {
        sheet.row(&format!("{} of {}", own.count, length(own.length)), format!("at {} each", own.cost));
    }
    if !plan.layouts.is_empty() {
        sheet.part(if plan.fewest_layouts { "Cut, in as few ways as can be" } else { "Cut" });
    }
    for own in &plan.layouts {
        let left = match (own.left, instance.unit) {
            (0, _) => String::from("nothing"),
            (left, Unit::Any) => left.to_string(),
            (left, Unit::Nanometre) => sheet.length(Length::nm(left).as_mm()),
        };
        let words = format!("{}; left {left}", cuts(own, &length));
        sheet.row(&format!("{} of {}", own.times, length(own.length)), words);
    }
    if !plan.missing.is_empty() {
        sheet.part("No board is left for");
    }
    for &(own, count) in &plan.missing {
        sheet.row("missing", format!("{count} of {}", length(own)));
    }
    certificate(&mut sheet, plan, &length);
    sheet.finish()
}

fn title(plan: &Plan) -> String {
    let count: usize = plan.boards.iter().map(|own| own.count).sum();
    let boards = if count == 1 { String::from("1 board") } else { format!("{count} boards") };
    let rest = if !plan.missing.is_empty() {
        "not all parts"
    } else if plan.optimal {
        "proven cheapest"
    } else {
        "not proven cheapest"
    };
    match &plan.name {
        Some(name) => format!("{name}: {boards}, {rest}"),
        None => format!("{boards}, {rest}"),
    }
}

fn bound(sheet: &mut Sheet, plan: &Plan) {
    if let (Some(bound), Some(gap), Some(percent)) = (plan.bound, plan.gap, plan.gap_percent) {
        sheet.row("no plan costs less than", bound.to_string());
        sheet.row(
            "gap",
            if gap == 0 { String::from("none") } else { format!("{gap}, {percent} % of the cost") },
        );
    }
    let proof = match plan.proof {
        "open" if plan.stopped => "open: the search was ended before it was done",
        "open" => "open: there is more to list than is looked at",
        "greedy" => "the first quick plan costs no more than the bound",
        "diving" => "a plan rounded from the linear program costs no more than the bound",
        "tallies" => "no cheaper numbers of boards can hold the parts",
        "rounding" => "a plan of the patterns found costs no more than the bound",
        "enumeration" => "all patterns that a cheaper plan could use were searched",
        _ => "by search alone: no plan goes with less of what is missing",
    };
    sheet.row("how that is known", proof);
}

fn cuts(layout: &Layout, length: &dyn Fn(i64) -> String) -> String {
    let each = layout.cuts.iter().map(|&(own, count)| format!("{count} at {}", length(own)));
    each.collect::<Vec<_>>().join(", ")
}

fn certificate(sheet: &mut Sheet, plan: &Plan, length: &dyn Fn(i64) -> String) {
    let Some(own) = &plan.certificate else { return };
    sheet.part("What shows the bound");
    if own.kind == "nothing" {
        sheet.row("nothing", "no cost is below zero");
        return;
    }
    for &(part, worth) in &own.worth {
        sheet.row(&format!("worth of {}", length(part)), format!("{:.4}", worth as f64 / own.scale as f64));
    }
    if !own.cases.is_empty() {
        sheet.row("closed case by case", format!("{} cases", own.cases.len()));
    }
    sheet.say("Parts of one board are worth no more than it costs, but for boards of limited number: so all parts together show what \
               they cost at the least. --format json holds it whole, in exact numbers.");
}
