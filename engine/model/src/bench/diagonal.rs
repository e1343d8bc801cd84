//! Boards that run aslant: braces, set out from the place where a builder marks them.

use super::draft::Anchor;
use super::side::{Among, Side, WorldPlane};
use super::{Bench, BoardId, Direction, Item};
use slatwork_base::{Diagnostic, Length, Origin, maths};
use slatwork_solid::DVec3;

/// An edge that is turned further than this out of the line it should pass through (sine; about 0.06 degrees) does not lie in
/// it: rounding of turned groups stays below, any saw setting above.
const IN_LINE: f64 = 1e-3;

/// Two sides more nearly parallel than this (sine; about 6 degrees) have no line in common that could be marked.
const CROSSING: f64 = 0.1;

impl Bench {
    /// An edge of the board passes through the line on `side` that lies `distance` off `from`, on the way that side looks: the
    /// mark of a brace on the post it stands at. Fixes the board across its grain; `between` then gives its length and cuts
    /// its ends.
    pub fn meets_at(
        &mut self,
        board: BoardId,
        edge: &str,
        side: &Side,
        (from, distance): (&Side, Length),
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let direction = Direction::parse(edge).map_err(|fault| fault.at_origin(origin))?;
        let tag = self.side_tag(board, direction, Among::Edges).map_err(|fault| fault.at_origin(origin))?;
        let (on, off) = (self.plane_at(side, origin)?, self.plane_at(from, origin)?);
        let line = on.normal.cross(off.normal);
        let name = &self.boards[board.0].name;
        if line.length() < CROSSING {
            let message = format!("the two sides that `{name}` is set out from do not cross each other");
            return Err(Diagnostic::error("sides-do-not-cross", message)
                .at_origin(origin)
                .help("name first the side that the brace stands at, then one square to it that its place is measured from"));
        }
        let draft = &self.boards[board.0];
        let turned = self.group_pose(draft.group).matrix3 * draft.rotation;
        let normal = turned * draft.face_normal(tag);
        let out_of_line = line.normalize().dot(normal);
        if out_of_line.abs() > IN_LINE {
            let off = maths::asin(out_of_line).abs() * 180.0 / maths::PI;
            let message = format!(
                "the {edge} edge of `{name}` is {off:.2}° out of the line where it should meet the {} of `{}`",
                side.direction.word(),
                self.name(side.item)
            );
            return Err(Diagnostic::error("sides-not-parallel", message)
                .at_origin(origin)
                .help("turn the board so that its wide face looks along that line"));
        }
        let plane = WorldPlane { normal, point: on_both(&on, &off, distance.as_mm()) };
        let words =
            format!("`{edge}` set out on the {} of `{}`", side.direction.word(), self.name(side.item));
        self.fix(Item::Board(board), plane, Anchor::Face(tag), words, origin)?;
        self.mark_used(Item::Board(board), side, origin);
        self.mark_used(Item::Board(board), from, origin);
        Ok(())
    }
}

/// A point that lies on one plane, and off the other by a distance along its normal.
fn on_both(on: &WorldPlane, off: &WorldPlane, distance: f64) -> DVec3 {
    let (first, second) = (on.offset(), off.offset() + distance);
    let between = on.normal.dot(off.normal);
    let square = 1.0 - between * between;
    on.normal * ((first - between * second) / square) + off.normal * ((second - between * first) / square)
}
