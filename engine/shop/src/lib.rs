//! From a finished model to the shop: cut list, saw stops, hole list, shapes on paper, bill, boards to buy.
//!
//! This room must not know checks, scripts or file formats. [`plan`] gives a [`ShopPlan`]; [`ShopPlan::tables`] gives it
//! as plain [`Table`]s.
//!
//! | file | what |
//! |---|---|
//! | `plan.rs` | [`plan`], [`ShopPlan`]: everything in one go |
//! | `cut_list.rs` | [`CutList`]: one row for each set |
//! | `steps.rs` | [`CutStep`]: how a part is made, in the words of the bench |
//! | `stops.rs` | [`StopPlan`]: what is cut at one setting |
//! | `hardware.rs` | hardware and fasteners to buy |
//! | `drilled.rs` | pilots drilled on through other parts |
//! | `holes.rs` | [`HoleList`]: every hole |
//! | `order/` | [`Assembly`]: the order in which the piece is put together |
//! | `planes.rs` | [`PlaneMarks`]: a plane by three marks |
//! | `shapes.rs` | [`Shapes`]: cuts, notches, outlines, places |
//! | `demand.rs` | [`StockPiece`]: the pieces of stock that the parts ask for |
//! | `bill.rs` | [`Bill`]: lumber, hardware, edges, surface, weight |
//! | `purchase.rs`, `purchase/` | [`Purchase`]: boards to buy, each with its cuts, and going over them again |
//! | `stock/` | the inner room of board layout: lengths in, layouts out |
//! | `price/` | [`Price`]: goods, labour, cost, and what to ask |
//! | `table.rs`, `tables.rs` | [`Table`]: the lists as plain tables |
//! | `words.rs` | [`BoardSide`], [`Along`]: how ends, edges, faces and times are called; [`Reading`]: how lengths are read |
//!
//! # How a board lies
//!
//! Marked face up, datum edge toward the builder, datum end to the left. `length` is measured from the datum end,
//! `width` from the datum edge, `thickness` from the back face. So (length, width, thickness) are board axes x, y, z.
//! Everything is said of the set's first part; the others are that part turned, and `places` gives each where it stands.
//!
//! # The papers are enough
//!
//! The tables, as files, hold every part and the whole piece. Lengths come twice, `key_mm` exact and `key` as the tape
//! reads; angles as `key_deg`. A part is rebuilt so:
//!
//! 1. `cut_list`: a box of `length` x `width` x `thickness`. When `outline` is not "rectangle": the outline (the DXF, or
//!    the rows of `outlines`) instead, drawn on the marked face in (length, width) and through from `outline_from` to
//!    `outline_to` measured from the back face; or on the datum edge in (length, thickness) and through, measured from
//!    the datum edge. `bulge` is the tangent of a quarter of the angle that the edge to the next corner turns through,
//!    positive to the left. A part with `sprung` is sawn straight, `thickness` thick, and bent when fixed; its outline is
//!    the bent form, which may reach beyond the box.
//! 2. `planes`: the wood kept is `before` (on the datum's side of) or `beyond` the plane through three points. `along`
//!    names the direction in which they are measured; the two other directions, in the order length, width,
//!    thickness, stand at: 0 and 0 for `first`; the box's size and 0 for `second`; 0 and the box's size for `third`.
//! 3. `notch_walls`: of each region of each notch, the wood that lies on the `remove` side of all its walls is taken out; walls as in 2.
//!    `notches` says the same as a builder marks it.
//! 4. `holes`: the mark is on the named `side` of the box, at `from_end`, `from_edge`, `from_face` (empty: the direction
//!    that the side closes). The axis goes in square to the side, plus the tangent of each `lean` along its direction:
//!    d = into + tan(lean_length) length + tan(lean_width) width + tan(lean_thickness) thickness, then of unit length.
//!    Along it, a bore of `diameter_mm` (`drill` in words) from `depth_from` to `depth_to`, or right through.
//! 5. `volume_mm3` of `cut_list` is that of the part so made.
//!    `drilled`: pilots that need no marks. Where the axis of one of the `holes` of a part named in `through` comes into the
//!    wood of a part of the set `mark`, a bore of `diameter_mm` goes `depth` deep.
//! 6. `places`: the datum corner stands at (`right`, `rear`, `up`); `along` and `across` are the directions of length
//!    and width in the piece; thickness is along x across.

mod bill;
mod cut_list;
mod demand;
mod drilled;
mod hardware;
mod holes;
mod order;
mod plan;
mod planes;
mod price;
pub mod purchase;
mod shapes;
mod steps;
pub mod stock;
mod stops;
mod table;
mod tables;
mod words;

pub use bill::{Bill, EdgeLine, LumberLine, WoodLine};
pub use cut_list::{CutList, CutRow, OutlineSheet};
pub use demand::StockPiece;
pub use drilled::{DrilledRow, LEAD_IN};
pub use hardware::{HardwareLine, Rated, SPARES_RULE, spares};
pub use holes::{BoreStep, HoleList, HoleRow, hole_list};
pub use order::{
    Assembly, AssemblyStep, Does, MOST_TRIALS, PartMove, SLIDING, StepFastener, assembly, assembly_within,
};
pub use plan::{ShopPlan, plan, plan_for, purchase_for};
pub use planes::PlaneMarks;
pub use price::{
    Asking, BatchLine, Cost, Goods, GoodsLine, LabourLine, Price, WaitingLine, Way, on_the_curve, price,
};
pub use purchase::{BoardLayout, GroupSummary, Purchase, PurchaseLine};
pub use shapes::{NotchRow, OutlineRow, PlaceRow, PlaneRow, Shapes, arc_radius, purpose_word};
pub use steps::{CutStep, SHORT, Strips, Work};
pub use stops::{BevelSetting, CrosscutSetting, FirstEnds, Stop, StopItem, StopPlan};
pub use table::{Column, Table, Unit, Value};
pub use words::{
    Along, BoardSide, Reading, as_set, bit_text, edges_words, hand_word, is_square, part_words, sink_text,
    when_words,
};
