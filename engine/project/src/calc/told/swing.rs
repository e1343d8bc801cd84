//! A swing in words.

use crate::Units;
use crate::calc::sheet::{HANGING, Sheet, degrees, figure};
use slatwork_checks::statics::swing::{Pendulum, Posture, Split, Swinging, TurnsOver};

const MM: f64 = 1e3;

pub(in crate::calc) fn posture(own: &Posture, units: Units) -> String {
    let mut sheet = Sheet::new(units, "How the seat hangs");
    sheet.row("rear down by", degrees(own.tilt.as_deg()));
    sheet.row("right side up by", degrees(own.roll.as_deg()));
    sheet.row("turned about the vertical by", degrees(own.yaw.as_deg()));
    let centre = own.centre.to_array().map(|metres| sheet.length(metres * MM));
    sheet.row("centre of gravity at", centre.join(", "));
    sheet.row("brought back by", format!("{} N a metre, at the least", figure(own.stiffness)));
    sheet.part("Tension of each chain");
    for chain in &own.chains {
        let words = if chain.is_slack() {
            format!("slack by {}", sheet.fine(chain.spare * MM))
        } else {
            format!(
                "{}, {} from the vertical",
                sheet.force(chain.tension),
                degrees(chain.from_vertical.as_deg())
            )
        };
        sheet.row(&chain.id, words);
    }
    sheet.part("Pull on each hook, at rest");
    for hook in &own.hooks {
        let pull = sheet.force(hook.force.length());
        sheet.row(&hook.hook, pull);
    }
    caution(sheet)
}

pub(in crate::calc) fn tips(own: &TurnsOver, units: Units) -> String {
    let mut sheet = Sheet::new(units, "The seat turns over");
    sheet.row("why", &own.why);
    if let Some(taut) = &own.taut {
        sheet.row("with all chains taut it would tilt", degrees(taut.tilt.as_deg()));
    }
    sheet.row("it comes to hang at a tilt of", degrees(own.hanging_tilt.as_deg()));
    caution(sheet)
}

pub(in crate::calc) fn pendulum(own: &Pendulum, swinging: &Swinging, units: Units) -> String {
    let mut sheet = Sheet::new(units, &format!("A swing to {} either way", degrees(own.amplitude.as_deg())));
    let (bottom, end) = (sheet.force(swinging.bottom.normal), sheet.force(swinging.turning.normal));
    sheet.row("all chains together, at the bottom", bottom);
    sheet.row("that is over the weight", format!("{} times", figure(swinging.dynamic_factor)));
    sheet.row("at the turning point", end);
    let aside = sheet.force(swinging.most_horizontal.horizontal.abs());
    let angle = degrees(swinging.most_horizontal.angle.as_deg().abs());
    sheet.row("most sideways on the hooks", format!("{aside}, at {angle}"));
    sheet.row("speed at the bottom", format!("{} m/s", figure(swinging.bottom.speed)));
    let rise = sheet.length(swinging.rise * MM);
    sheet.row("rises by", rise);
    sheet.row("there and back in", format!("{} s", figure(swinging.period)));
    caution(sheet)
}

pub(in crate::calc) fn ring(own: &Split, units: Units) -> String {
    let mut sheet = Sheet::new(units, "How front and rear chain of a side share the force");
    sheet.row("rear down at rest by", degrees(own.tilt.as_deg()));
    for (label, pair) in [
        ("at rest", own.at_rest),
        ("at the bottom", own.bottom),
        ("at the rearmost point", own.rearmost),
        ("at the foremost point", own.foremost),
        ("greatest of the swing", own.greatest),
        ("least of the swing", own.least),
    ] {
        let words = format!("front {}, rear {}", sheet.force(pair[0]), sheet.force(pair[1]));
        sheet.row(label, words);
    }
    caution(sheet)
}

fn caution(mut sheet: Sheet) -> String {
    sheet.part(HANGING);
    sheet.finish()
}
