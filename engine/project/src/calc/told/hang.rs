//! Hanging a seat in words.

use crate::Units;
use crate::calc::hang::{Answer, ChainAnswer, Question};
use crate::calc::sheet::{HANGING, Sheet, degrees, figure};
use slatwork_checks::WHY_WITHHELD;

const HOW: &str = "Chains without stretch, weight as given, swung as one body about the hooks; no jerk and no running start in it. A hook bears \
                   sideways too when chains lean: look for its rating at that angle.";

pub(in crate::calc) fn hang(question: &Question, answer: &Answer, units: Units) -> String {
    let mut sheet = Sheet::new(units, "Hanging the seat");
    for (name, chain) in [("Each front chain", &answer.front), ("Each rear chain", &answer.rear)] {
        told(&mut sheet, name, chain);
    }
    sheet.part("Then, loaded, it hangs");
    let height = sheet.length(answer.hangs.eye_height_mm);
    sheet.row("eyes above the floor", height);
    let (tilt, wanted) = (degrees(answer.hangs.tilt_deg), degrees(question.tilt_deg));
    sheet.row("rear down by", if tilt == wanted { tilt } else { format!("{tilt}, where {wanted} is asked") });
    for (label, effect) in [
        ("rear chains a link shorter", answer.rear_link_shorter_deg),
        ("front chains a link shorter", answer.front_link_shorter_deg),
    ] {
        let words = match effect {
            Some(tilt) if tilt < 0.0 => format!("rear up by {}", degrees(-tilt)),
            Some(tilt) => format!("rear down by {}", degrees(tilt)),
            None => String::from("it turns over"),
        };
        sheet.row(label, words);
    }
    let swing = format!("{}\u{b0}", question.swing());
    sheet.part(&format!(
        "What each hook bears: at rest, and swung to {swing}, {} times that",
        figure(answer.dynamic_factor)
    ));
    let Some(hooks) = &answer.hooks else {
        sheet.say(&format!("Withheld: {WHY_WITHHELD}."));
        sheet.part(HOW);
        sheet.say(HANGING);
        return sheet.finish();
    };
    for hook in hooks {
        let words = format!(
            "{} at rest, {} swung, {} from straight down",
            sheet.force(hook.at_rest.n),
            sheet.force(hook.swung.n),
            degrees(hook.from_vertical_deg)
        );
        sheet.row(&hook.hook, words);
    }
    sheet.part(HOW);
    sheet.say(HANGING);
    sheet.finish()
}

fn told(sheet: &mut Sheet, name: &str, chain: &ChainAnswer) {
    sheet.part(name);
    let run = sheet.length(chain.run_mm);
    sheet.row("from eye to hook", run);
    sheet.row("hang it at link", format!("{}, counted from the eye", chain.link));
    let length = sheet.length(chain.chain_mm);
    sheet.row("length of so many links", length);
    let word = if chain.longer_mm < 0.0 { "shorter" } else { "longer" };
    let off = sheet.fine(chain.longer_mm.abs());
    sheet.row("with its fittings", format!("{off} {word} than that way"));
    let pull = format!("{} at rest, {} swung", sheet.force(chain.tension.n), sheet.force(chain.swung.n));
    sheet.row("pulls by", pull);
}
