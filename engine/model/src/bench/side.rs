//! Sides, ends, edges and curves, asked for by where they look.

use super::{Bench, BoardId, Direction, Item};
use slatwork_base::{Diagnostic, Length, Origin, both_tapes};
use slatwork_solid::{Across, DVec2, DVec3, Path, Profile, Tag, Vertex};

/// A side of a board, or the outermost reach of a group, in one direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// Whose.
    pub item: Item,
    /// Which of the board's six sides; `None` for a group.
    pub(super) tag: Option<Tag>,
    /// Where it looks.
    pub direction: Direction,
    /// Along the grain from the low end: the sawn outline there, instead of the side of the blank.
    pub(super) along: Option<Length>,
}

/// The outline of a board that looks one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurveRef {
    /// Whose.
    pub board: BoardId,
    /// Where it looks.
    pub direction: Direction,
}

/// A plane in the world: unit normal and a point of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct WorldPlane {
    pub(super) normal: DVec3,
    pub(super) point: DVec3,
}

impl WorldPlane {
    pub(super) fn offset(&self) -> f64 {
        self.normal.dot(self.point)
    }
}

/// Which sides a word may choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Among {
    /// All six.
    Sides,
    /// The two ends.
    Ends,
    /// The two edges.
    Edges,
    /// The two wide faces.
    Faces,
}

impl Among {
    fn tags(self) -> &'static [Tag] {
        match self {
            Among::Sides => {
                &[Tag::LOW_END, Tag::HIGH_END, Tag::LOW_EDGE, Tag::HIGH_EDGE, Tag::LOW_FACE, Tag::HIGH_FACE]
            }
            Among::Ends => &[Tag::LOW_END, Tag::HIGH_END],
            Among::Edges => &[Tag::LOW_EDGE, Tag::HIGH_EDGE],
            Among::Faces => &[Tag::LOW_FACE, Tag::HIGH_FACE],
        }
    }
}

/// A side must look the asked way better than any other by this much in cosine, or the word could mean two sides. 0.02 is
/// about a degree and a half either side of 45.
const CLEARLY: f64 = 0.02;

impl Bench {
    /// The side of a board that looks most nearly that way, or the reach of a group.
    pub fn side(&self, item: Item, word: &str, among: Among, origin: Origin) -> Result<Side, Diagnostic> {
        let direction = Direction::parse(word).map_err(|fault| fault.at_origin(origin))?;
        let tag = match item {
            Item::Board(board) => {
                Some(self.side_tag(board, direction, among).map_err(|f| f.at_origin(origin))?)
            }
            Item::Group(_) => None,
        };
        Ok(Side { item, tag, direction, along: None })
    }

    /// The plane that touches a board's outline looking that way at a place along its grain, from the low end: the side of a
    /// part sawn from a wider board. Refuses a place the outline does not pass over.
    pub fn sawn_side(
        &self,
        board: BoardId,
        word: &str,
        along: Length,
        origin: Origin,
    ) -> Result<Side, Diagnostic> {
        let side = self.side(Item::Board(board), word, Among::Sides, origin)?;
        let side = Side { along: Some(along), ..side };
        self.plane_on_outline(board, &side, along).map_err(|fault| fault.at_origin(origin))?;
        Ok(side)
    }

    /// Which of the board's sides looks that way, in its group's frame.
    pub(super) fn side_tag(
        &self,
        board: BoardId,
        direction: Direction,
        among: Among,
    ) -> Result<Tag, Diagnostic> {
        let draft = &self.boards[board.0];
        let looks = |tag: &Tag| (draft.rotation * draft.face_normal(*tag)).dot(direction.vector());
        let mut ranked: Vec<(f64, Tag)> = among.tags().iter().map(|tag| (looks(tag), *tag)).collect();
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
        let word = direction.word();
        if ranked[0].0 - ranked[1].0 < CLEARLY {
            let lean = format!("`{}` has no one side that looks {word}: two do so equally", draft.name);
            return Err(Diagnostic::error("side-in-doubt", lean)
                .help("ask for it by board words: `.end(..)`, `.edge(..)` or `.face(..)`"));
        }
        if ranked[0].0 <= CLEARLY {
            return Err(Diagnostic::error(
                "no-side-that-way",
                format!("`{}` has no such side looking {word}", draft.name),
            )
            .help(
                "its ends look along the grain, its edges across, its faces through: see `.lie(grain, face)`",
            ));
        }
        Ok(ranked[0].1)
    }

    /// The side's plane where it is now; an error when the part is still free to move that way.
    pub(super) fn plane(&self, side: &Side) -> Result<WorldPlane, Diagnostic> {
        match (side.item, side.tag) {
            (Item::Board(board), Some(_)) if side.along.is_some() => {
                self.plane_on_outline(board, side, side.along.unwrap_or_default())
            }
            (Item::Board(board), Some(tag)) => self.board_plane(board, tag),
            (Item::Board(board), None) => {
                let tag = self.side_tag(board, side.direction, Among::Sides)?;
                self.board_plane(board, tag)
            }
            (Item::Group(group), _) => Ok(self.group_plane(group.0, side.direction.vector())),
        }
    }

    /// The plane square to `normal` (world) that a group reaches to.
    fn group_plane(&self, group: usize, normal: DVec3) -> WorldPlane {
        let pose = self.group_pose(group);
        let (_, highest) = self.group_extent(group, pose.matrix3.transpose() * normal);
        WorldPlane { normal, point: normal * (highest + normal.dot(pose.translation)) }
    }

    pub(super) fn board_plane(&self, board: BoardId, tag: Tag) -> Result<WorldPlane, Diagnostic> {
        let draft = &self.boards[board.0];
        if tag == Tag::HIGH_END {
            draft.length_mm()?;
        }
        let local = draft.rotation * draft.face_normal(tag);
        if !draft.datum && !draft.fixing.solve(|row| draft.anchor_at(row)).is_fixed(local) {
            return Err(Diagnostic::error(
                "not-placed-yet",
                format!("`{}` is not placed in that direction yet", draft.name),
            )
            .with_origin(draft.origin, "made here")
            .help("place it first: relations are taken in the order the script says them"));
        }
        let pose = self.board_pose(board);
        Ok(WorldPlane {
            normal: pose.matrix3 * draft.face_normal(tag),
            point: pose.transform_point3(draft.face_point(tag)),
        })
    }

    /// The plane that touches the outline of a placed board at a place along its grain.
    fn plane_on_outline(&self, board: BoardId, side: &Side, along: Length) -> Result<WorldPlane, Diagnostic> {
        if let Some(tag) = side.tag {
            self.board_plane(board, tag)?;
        }
        let path = self.outline_looking(board, side.direction)?;
        let u = along.as_mm();
        let (Some(v), Some(slope)) = (path.y_at(u), path.slope_at(u)) else {
            return Err(Diagnostic::error(
                "line-not-there",
                format!(
                    "`{}` has no outline looking {} at {along} from its low end",
                    self.boards[board.0].name,
                    side.direction.word()
                ),
            )
            .help(format!(
                "its outline there runs from {} to {}",
                both_tapes(path.start().x),
                both_tapes(path.end().x)
            )));
        };
        let to_world = self.outline_frame(&CurveRef { board, direction: side.direction });
        let (zero, point) = (to_world(DVec2::ZERO), to_world(DVec2::new(u, v)));
        let across = to_world(DVec2::new(-slope, 1.0)) - zero;
        Ok(WorldPlane { normal: across.normalize(), point })
    }

    /// The board's outline that looks that way, from its low end to its high end, in board axes: u along the grain, v
    /// towards the direction asked for, from the edge that looks the other way. A straight edge is a line.
    pub(super) fn outline_looking(&self, board: BoardId, direction: Direction) -> Result<Path, Diagnostic> {
        let draft = &self.boards[board.0];
        let tag = self.side_tag(board, direction, Among::Sides)?;
        let size = draft.size();
        let length = draft.length_mm()?;
        let (flat, v_size, flip) = match tag {
            Tag::HIGH_EDGE => (draft.across == Across::Width, size.y, false),
            Tag::LOW_EDGE => (draft.across == Across::Width, size.y, true),
            Tag::HIGH_FACE => (draft.across == Across::Thickness, size.z, false),
            Tag::LOW_FACE => (draft.across == Across::Thickness, size.z, true),
            _ => {
                return Err(Diagnostic::error(
                    "no-curve-that-way",
                    format!("`{}` looks {} with an end, which has no outline", draft.name, direction.word()),
                ));
            }
        };
        let outline = match &draft.outline {
            Some(outline) if !flat => outline.clone(),
            _ => Profile::rectangle(length, v_size),
        };
        let outline = if flip { flipped(&outline, v_size) } else { outline };
        Ok(upper_chain(&outline))
    }
}

/// The profile mirrored about half its height, still counter-clockwise.
fn flipped(profile: &Profile, height: f64) -> Profile {
    let count = profile.vertices.len();
    let vertices = (0..count)
        .map(|index| {
            // Going round the other way, the edge that leaves a vertex is the one that led to it.
            let here = profile.vertices[count - 1 - index];
            let before = profile.vertices[(2 * count - 2 - index) % count];
            Vertex { point: here.point.with_y(height - here.point.y), bulge: before.bulge, tag: before.tag }
        })
        .collect();
    Profile { vertices }
}

/// The edges of a counter-clockwise profile from its rightmost top to its leftmost top, as a path from left to right. The
/// chain is the run of edges that do not climb steeper than 75 degrees, around the highest one.
fn upper_chain(profile: &Profile) -> Path {
    let count = profile.vertices.len();
    let next = |index: usize| (index + 1) % count;
    // Counter-clockwise, the upper edges run towards smaller x.
    let is_upper = |index: usize| {
        let step = profile.vertices[next(index)].point - profile.vertices[index].point;
        step.x < -0.26 * step.length()
    };
    let middle =
        |index: usize| (profile.vertices[index].point.y + profile.vertices[next(index)].point.y) / 2.0;
    let uppers = (0..count).filter(|index| is_upper(*index));
    let Some(top) = uppers.max_by(|a, b| middle(*a).total_cmp(&middle(*b)).then(b.cmp(a))) else {
        return Path { vertices: Vec::new() };
    };
    let mut first = top;
    while is_upper((first + count - 1) % count) && (first + count - 1) % count != top {
        first = (first + count - 1) % count;
    }
    let mut chain = vec![first];
    while is_upper(next(chain[chain.len() - 1])) && next(chain[chain.len() - 1]) != first {
        chain.push(next(chain[chain.len() - 1]));
    }
    let last = next(chain[chain.len() - 1]);
    // Reversed: from left to right, each bulge with its sign turned.
    let mut vertices = vec![];
    let mut at = profile.vertices[last].point;
    for index in chain.iter().rev() {
        let edge = profile.vertices[*index];
        vertices.push(Vertex { point: at, bulge: -edge.bulge, tag: edge.tag });
        at = edge.point;
    }
    vertices.push(Vertex { point: at, bulge: 0.0, tag: profile.vertices[first].tag });
    Path { vertices }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn upper_chain_of_a_rectangle_is_its_top() {
        let path = upper_chain(&Profile::rectangle(100.0, 20.0));
        let points: Vec<DVec2> = path.vertices.iter().map(|vertex| vertex.point).collect();
        assert_eq!(points, [DVec2::new(0.0, 20.0), DVec2::new(100.0, 20.0)]);
    }

    #[test]
    fn flipping_keeps_the_turn() {
        let mut profile = Profile::rectangle(100.0, 20.0);
        profile.vertices[2].bulge = -0.1;
        let flat = flipped(&profile, 20.0);
        let bottom = flat.vertices.iter().find(|vertex| vertex.bulge != 0.0).expect("the arc is kept");
        assert_eq!((bottom.point, bottom.bulge), (DVec2::new(0.0, 0.0), -0.1));
        assert_eq!(flipped(&flat, 20.0).vertices.len(), 4);
    }
}
