//! Edges bevelled into the plane of a part that leans.

use super::draft::{Anchor, Draft};
use super::side::{Among, Side};
use super::{Bench, BoardId, Claim, Direction, Item};
use crate::{BoardEdge, ContactKind};
use slatwork_base::{Diagnostic, Origin};
use slatwork_solid::{DVec3, Tag};

/// An edge that is turned further than this (cosine; about 78 degrees) from the plane is no edge to bevel to it: little of the
/// board would be left.
const LEAST_FACING: f64 = 0.2;

impl Bench {
    /// Places an edge in the plane of a side that leans, and bevels it to that plane: `against` when the edge faces the side,
    /// and then they touch; `flush` when both look the same way. One arris of the edge is kept, so the board stays as wide as
    /// it is on one face.
    pub fn bevel_into(
        &mut self,
        board: BoardId,
        edge: &str,
        side: &Side,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let direction = Direction::parse(edge).map_err(|fault| fault.at_origin(origin))?;
        let tag = self.side_tag(board, direction, Among::Edges).map_err(|fault| fault.at_origin(origin))?;
        let plane = self.plane_at(side, origin)?;
        let draft = &self.boards[board.0];
        let normal = (self.group_pose(draft.group).matrix3 * draft.rotation).transpose() * plane.normal;
        let high = tag == Tag::HIGH_EDGE;
        let looks = if high { normal.y } else { -normal.y };
        let outward = if looks < 0.0 { -normal } else { normal };
        if looks.abs() < LEAST_FACING {
            return Err(Diagnostic::error(
                "edge-looks-away",
                format!("the {edge} edge of `{}` runs nearly square to that side", draft.name),
            )
            .at_origin(origin)
            .help("name the edge that looks at the part, or an end and `cut_to`"));
        }
        draft.length_mm().map_err(|fault| fault.at_origin(origin))?;
        let corner = kept_corner(draft, high, outward);
        let words =
            format!("`{edge}` bevelled to the {} of `{}`", side.direction.word(), self.name(side.item));
        self.fix(Item::Board(board), plane, Anchor::Point(corner), words, origin)?;
        self.mark_used(Item::Board(board), side, origin);
        let edge_of_board = if high { BoardEdge::High } else { BoardEdge::Low };
        self.bevel_edge(board, edge_of_board, outward, outward.dot(corner), origin)?;
        // The board may no longer be ripped along the edge that now stands where it touches.
        self.boards[board.0].used.push((tag, origin));
        if looks < 0.0 {
            let kind = ContactKind::Against;
            self.claims.push(Claim { a: Item::Board(board), b: side.item, kind, origin });
        }
        Ok(())
    }
}

/// The corner of an edge that the plane passes through: the one that reaches least far outward, so that the bevel runs over
/// the whole edge.
fn kept_corner(draft: &Draft, high: bool, outward: DVec3) -> DVec3 {
    let size = draft.size();
    let y = if high { size.y } else { 0.0 };
    let corners = [(0.0, 0.0), (size.x, 0.0), (0.0, size.z), (size.x, size.z)];
    corners
        .map(|(x, z)| DVec3::new(x, y, z))
        .into_iter()
        .min_by(|a, b| outward.dot(*a).total_cmp(&outward.dot(*b)))
        .unwrap_or_default()
}
