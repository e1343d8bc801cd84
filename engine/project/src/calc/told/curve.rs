//! A curve in words.

use crate::Units;
use crate::calc::curve::Answer;
use crate::calc::sheet::{Sheet, degrees, figure};
use slatwork_model::bench::{BREAKING_BEND, TIGHTEST_BEND};

pub(in crate::calc) fn curve(answer: &Answer, units: Units) -> String {
    let title = match answer.curve {
        "batten" => "A batten bent by pushing its ends together",
        "nailed batten" => "A batten held at both ends and pushed at its crown",
        _ => "A circle over its chord",
    };
    let mut sheet = Sheet::new(units, title);
    let figures = [
        ("chord", answer.chord_mm),
        ("rise", answer.rise_mm),
        (if answer.curve == "circle" { "radius" } else { "radius at the crown" }, answer.radius_mm),
        ("length along the curve", answer.length_mm),
    ];
    for (label, mm) in figures {
        let length = sheet.true_length(mm);
        sheet.row(label, length);
    }
    sheet.row("ends stand to the chord at", degrees(answer.end_angle_deg));
    if let Some(ratio) = answer.radius_over_thickness {
        sheet.row("radius over thickness", bends(ratio));
    }
    if answer.heights.is_empty() {
        sheet.part(
            "It stands out beyond its chord: strike it with its radius, for heights would not tell it.",
        );
        return sheet.finish();
    }
    sheet.part("Heights over the chord");
    for height in &answer.heights {
        let (at, up) = (sheet.length(height.at_mm), sheet.length(height.height_mm));
        sheet.row(&format!("at {at}"), up);
    }
    sheet.finish()
}

fn bends(ratio: f64) -> String {
    let words = match ratio {
        _ if ratio < BREAKING_BEND => "dry wood breaks: saw it out, laminate it, or take it thinner",
        _ if ratio < TIGHTEST_BEND => "close to breaking: take it thinner, or try an offcut first",
        _ => "clear straight wood bends so far",
    };
    format!("{}: {words}", figure(ratio))
}
