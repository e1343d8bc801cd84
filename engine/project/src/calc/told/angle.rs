//! Saw settings in words.

use crate::Units;
use crate::calc::angle::{Corner, Leg};
use crate::calc::figure::Size;
use crate::calc::sheet::{Sheet, degrees};

const FROM_SQUARE: &str = "Mitre is the turn of the cut across the face, bevel the tilt of the blade, both from a square cut. Try both on an \
                           offcut first.";

pub(in crate::calc) fn leg(rise: Size, own: &Leg, units: Units) -> String {
    let mut sheet = Sheet::new(units, "A leg that leans, its front face along the front rail");
    let (rise, length) = (sheet.length(rise.0), sheet.true_length(own.length_mm));
    sheet.row("height", rise);
    sheet.row("length from cut to cut", length);
    sheet.row("both ends: mitre", degrees(own.mitre_deg));
    sheet.row("both ends: bevel", degrees(own.bevel_deg));
    let out = (sheet.length(own.out_sideways_mm), sheet.length(own.out_rearward_mm));
    sheet.row("foot stands out", format!("{} sideways, {} rearward", out.0, out.1));
    sheet.row("leans from upright", degrees(own.from_upright_deg));
    sheet.part("The two ends are cut alike and parallel.");
    sheet.say(FROM_SQUARE);
    sheet.finish()
}

pub(in crate::calc) fn corner(own: &Corner, units: Units) -> String {
    let mut sheet = Sheet::new(units, "The corner of two sides that lean alike");
    sheet.row("corner seen from above", degrees(own.corner_deg));
    sheet.row("ends of the sides: mitre", degrees(own.mitre_deg));
    sheet.row("ends of the sides: bevel", degrees(own.bevel_deg));
    sheet.row("between the faces", degrees(own.between_faces_deg));
    if let Some(slant) = own.slant {
        sheet.row("width of a side", format!("{slant:.4} times its upright height"));
    }
    sheet.part(FROM_SQUARE);
    sheet.finish()
}
