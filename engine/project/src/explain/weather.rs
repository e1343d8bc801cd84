//! Fit and weather: what swells, rots, rusts, traps or hurts.

use super::{Explanation, check};

#[rustfmt::skip]
pub(super) const ROWS: &[Explanation] = &[
    check("tight-run-swells", "Slats laid tight have no room to swell."),
    check("gap-closes-when-wet", "A gap between slats nearly closes when they are wet."),
    check("held-across-grain", "A board is held too far across its width by another whose grain crosses it."),
    check("water-stands", "Water stays on the piece."),
    check("end-grain-on-ground", "A foot stands on the ground with its end grain and its wood does not bear it."),
    check("wood-not-durable", "Wood that is not durable stands in the rain untreated."),
    check("metal-unfit-for-wood", "A fastener is of a metal that its wood or the air eats."),
    check("metals-mixed", "Metals of two families touch in one joint and are wet."),
    check("hardware-coat-unknown", "Nobody has said how the chain and its fittings are coated, and they hang in the rain or in salt air."),
    check("glue-too-weak-for-weather", "The glue does not bear the weather, or is not told."),
    check("preservative-unfit", "The wood is treated with what should not be touched, or with what rain washes out."),
    check("finger-trap", "A gap holds a child's finger."),
    check("head-trap", "An opening lets a child's body through and holds its head."),
    check("edge-left-sharp", "An edge that people touch is left sharp."),
];
