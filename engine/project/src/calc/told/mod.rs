//! Each answer in words for a person at the bench.

mod angle;
mod beam;
mod board_feet;
mod curve;
mod cut;
mod fastener;
mod frame;
mod hang;
mod layout;
mod moisture;
mod swing;

use super::sheet::Sheet;
pub(super) use angle::{corner, leg};
pub(super) use beam::beam;
pub(super) use board_feet::board_feet;
pub(super) use curve::curve;
pub(super) use cut::cut;
pub(super) use fastener::fastener;
pub(super) use frame::frame;
pub(super) use hang::hang;
pub(super) use layout::layout;
pub(super) use moisture::moisture;
pub(super) use swing::{pendulum, posture, ring, tips};

/// What strength is worked out for: how long the load lasts, and how moist the wood is meanwhile.
fn service(sheet: &mut Sheet, duration: Option<&str>, is_wet: bool) {
    sheet.row("the load lasts", duration.unwrap_or("ten years").replace(['_', '-'], " "));
    sheet.row(
        "wood in use",
        if is_wet { "wet: over 19 % moisture" } else { "dry: outdoors say that it is wet" },
    );
}
