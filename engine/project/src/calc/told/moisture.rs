//! Moisture and movement in words.

use crate::Units;
use crate::calc::moisture::{Answer, Change, Question};
use crate::calc::sheet::{Sheet, figure};

const SOURCE: &str = "Moisture in equilibrium with air by the equation of the Wood Handbook (FPL-GTR-282), movement in proportion to moisture below \
                      fibre saturation. Averages of the wood: a single board moves more or less.";

pub(in crate::calc) fn moisture(question: &Question, answer: &Answer, units: Units) -> String {
    let mut sheet = Sheet::new(units, &title(question));
    for (label, percent) in
        [("moisture when worked", answer.from_percent), ("moisture in the end", answer.to_percent)]
    {
        if let Some(percent) = percent {
            sheet.row(label, format!("{} %", figure(percent)));
        }
    }
    if let Some(change) = &answer.change {
        moves(&mut sheet, change);
    }
    if let Some(year) = &answer.year {
        sheet.part("Over the year");
        sheet.row(
            "driest, mean, wettest",
            format!(
                "{} %, {} %, {} %",
                figure(year.driest_percent),
                figure(year.mean_percent),
                figure(year.wettest_percent)
            ),
        );
        for (label, change) in [("To the driest", &year.to_driest), ("To the wettest", &year.to_wettest)] {
            if let Some(change) = change {
                sheet.part(label);
                moves(&mut sheet, change);
            }
        }
    }
    sheet.part(SOURCE);
    sheet.finish()
}

fn title(question: &Question) -> String {
    match &question.wood {
        Some(wood) => wood.replace('_', " "),
        None => String::from("Wood and air"),
    }
}

fn moves(sheet: &mut Sheet, change: &Change) {
    for (label, mm) in [("width", Some(change.width_mm)), ("thickness", change.thickness_mm)] {
        let Some(mm) = mm else { continue };
        let word = if mm < 0.0 { "shrinks by" } else { "swells by" };
        let words = format!("{word} {}", sheet.fine(mm.abs()));
        sheet.row(label, words);
    }
    sheet.row("cups by", format!("{} % more along the rings than across", figure(change.cup_percent.abs())));
}
