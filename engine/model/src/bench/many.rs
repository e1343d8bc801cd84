//! Many at once: copy, mirror, space.

use super::draft::{Anchor, Draft};
use super::side::Side;
use super::{Bench, BoardId, Direction, GroupHandle, Item};
use crate::joints::JointOrder;
use crate::{BoardEdge, BoardEnd, FeatureKind, Softened, When};
use slatwork_base::{Diagnostic, Length, Origin, both_tapes};
use slatwork_solid::{DMat3, DVec3, HalfSpace, Hole, Notch, Path, Profile, Vertex};
use std::cell::OnceCell;

impl Bench {
    /// Another board like this one: same stock, sizes, lie and cuts; not placed yet.
    pub fn copy(&mut self, board: BoardId, name: &str, origin: Origin) -> Result<BoardId, Diagnostic> {
        let mut draft = self.boards[board.0].clone();
        draft.name = self.free_board_name(name);
        draft.fixing.rows.clear();
        draft.datum = false;
        draft.used.clear();
        draft.origin = origin;
        self.push(draft, origin)
    }

    /// The mirror image of a board about the middle plane of `about` (its group unless given), across a direction.
    pub fn mirror(
        &mut self,
        board: BoardId,
        across: &str,
        about: Option<Item>,
        origin: Origin,
    ) -> Result<BoardId, Diagnostic> {
        let direction = Direction::parse(across).map_err(|fault| fault.at_origin(origin))?;
        let group = self.boards[board.0].group;
        let plane =
            self.mirror_plane(direction, about.unwrap_or(Item::Group(GroupHandle(group))), group, origin)?;
        self.mirror_board(board, plane, origin)
    }

    /// The mirror image of a group and all in it, about the middle plane of `about` (its parent unless given).
    pub fn mirror_group(
        &mut self,
        group: GroupHandle,
        across: &str,
        about: Option<Item>,
        origin: Origin,
    ) -> Result<(GroupHandle, Vec<BoardId>), Diagnostic> {
        let direction = Direction::parse(across).map_err(|fault| fault.at_origin(origin))?;
        let parent = self.groups[group.0].parent.unwrap_or(0);
        let plane =
            self.mirror_plane(direction, about.unwrap_or(Item::Group(GroupHandle(parent))), parent, origin)?;
        let name = self.groups[group.0].name.clone();
        let mirrored = self.group(GroupHandle(parent), &name);
        // The new group's frame is its parent's; its boards are placed in it one by one.
        let mut boards = Vec::new();
        for board in self.boards_of(group) {
            let image = self.mirror_board(board, plane, origin)?;
            self.move_to_group(image, mirrored, origin);
            boards.push(image);
        }
        self.copy_claims(&self.boards_of(group), &boards, origin);
        Ok((mirrored, boards))
    }

    /// Contacts and joints inside a group hold for its mirror image, too.
    fn copy_claims(&mut self, from: &[BoardId], to: &[BoardId], origin: Origin) {
        let image = |item: Item| match item {
            Item::Board(board) => from.iter().position(|b| *b == board).map(|index| Item::Board(to[index])),
            Item::Group(_) => None,
        };
        let claims: Vec<super::Claim> = self
            .claims
            .iter()
            .filter_map(|claim| {
                Some(super::Claim { a: image(claim.a)?, b: image(claim.b)?, kind: claim.kind, origin })
            })
            .collect();
        self.claims.extend(claims);
        let joints: Vec<super::JointDraft> = self
            .joints
            .iter()
            .filter_map(|joint| {
                let board = |part: BoardId| match image(Item::Board(part)) {
                    Some(Item::Board(board)) => Some(board),
                    _ => None,
                };
                let also = joint.order.also.iter().map(|part| board(*part)).collect::<Option<_>>()?;
                Some(super::JointDraft {
                    order: JointOrder { also, ..joint.order.clone() },
                    first: board(joint.first)?,
                    second: board(joint.second)?,
                    origin,
                })
            })
            .collect();
        self.joints.extend(joints);
    }

    fn move_to_group(&mut self, board: BoardId, group: GroupHandle, origin: Origin) {
        let world = self.board_pose(board);
        let pose = self.group_pose(group.0).inverse() * world;
        let draft = &mut self.boards[board.0];
        draft.group = group.0;
        draft.rotation = pose.matrix3;
        hold_at(draft, pose.translation, origin);
    }

    /// World normal and offset of the middle plane.
    fn mirror_plane(
        &self,
        direction: Direction,
        about: Item,
        frame: usize,
        origin: Origin,
    ) -> Result<(DVec3, f64), Diagnostic> {
        let normal = self.group_pose(frame).matrix3 * direction.vector();
        let (low, high) = self.reach(about, normal, origin)?;
        Ok((normal, (low + high) / 2.0))
    }

    fn mirror_board(
        &mut self,
        board: BoardId,
        plane: (DVec3, f64),
        origin: Origin,
    ) -> Result<BoardId, Diagnostic> {
        let (normal, offset) = plane;
        let world = self.board_pose(board);
        let frame = self.group_pose(self.boards[board.0].group);
        let mut draft = self.boards[board.0].clone();
        draft.length_mm().map_err(|fault| fault.at_origin(origin))?;
        // A mirror image has the other hand; reflecting the board in its own axis nearest to the mirror's normal as well
        // gives it a right-handed frame again.
        let local = world.matrix3.transpose() * normal;
        let axis = nearest_axis(local);
        let reflect_world = DMat3::IDENTITY - 2.0 * outer(normal);
        let reflect_local = DMat3::IDENTITY - 2.0 * outer(axis);
        let rotation = reflect_world * world.matrix3 * reflect_local;
        let corner = axis * draft.size().dot(axis);
        let moved = world.transform_point3(corner);
        let translation = moved - 2.0 * (normal.dot(moved) - offset) * normal;
        let sideways = normal.abs().x > 0.5;
        reflect_draft(&mut draft, axis);
        self.name_counterparts(&mut draft, plane, sideways);
        let name = &self.boards[board.0].name;
        draft.name = self.free_board_name(&if sideways { other_hand(name) } else { name.clone() });
        draft.rotation = frame.matrix3.transpose() * rotation;
        draft.datum = false;
        draft.used.clear();
        draft.origin = origin;
        hold_at(&mut draft, frame.inverse().transform_point3(translation), origin);
        let image = self.push(draft, origin)?;
        self.repeat_contacts(board, image, plane, origin);
        Ok(image)
    }

    /// The board that stands where the mirror image of another would: itself on the mirror's plane, else its mate.
    fn counterpart(&self, board: BoardId, plane: (DVec3, f64)) -> Option<BoardId> {
        let middle =
            |board: BoardId| self.board_pose(board).transform_point3(self.boards[board.0].size() / 2.0);
        let here = middle(board);
        let there = here - 2.0 * (plane.0.dot(here) - plane.1) * plane.0;
        let size = |board: BoardId| self.boards[board.0].size();
        let is_mate = |other: &BoardId| {
            middle(*other).distance(there) < SAME_PLACE && size(*other).distance(size(board)) < SAME_PLACE
        };
        (0..self.boards.len()).map(BoardId).find(is_mate)
    }

    /// The parts that a mirrored board's features name become those on the other side.
    fn name_counterparts(&self, draft: &mut Draft, plane: (DVec3, f64), sideways: bool) {
        let mate = |name: &mut String| {
            let named = (0..self.boards.len()).map(BoardId).find(|board| self.boards[board.0].name == *name);
            match named.and_then(|board| self.counterpart(board, plane)) {
                Some(mate) => name.clone_from(&self.boards[mate.0].name),
                None if sideways => *name = other_hand(name),
                None => {}
            }
        };
        if let Some(fit) = draft.fit.as_mut().filter(|_| sideways) {
            fit.trim = other_hand(&fit.trim);
        }
        for feature in &mut draft.features {
            match &mut feature.kind {
                FeatureKind::Hole { what, .. } if sideways => *what = other_hand(what),
                FeatureKind::Notch { purpose, .. } => purpose.names().into_iter().for_each(mate),
                _ => {}
            }
            if let When::InPlace { after: names } | When::MarkedFrom { parts: names } = &mut feature.when {
                names.iter_mut().for_each(mate);
            }
        }
    }

    /// What a board was said to touch, its mirror image is said to touch, too, where it does; or the mate of it.
    fn repeat_contacts(&mut self, board: BoardId, image: BoardId, plane: (DVec3, f64), origin: Origin) {
        let others: Vec<Item> = self
            .claims
            .iter()
            .filter_map(|claim| match (claim.a, claim.b) {
                (Item::Board(a), other) if a == board => Some(other),
                (other, Item::Board(b)) if b == board => Some(other),
                _ => None,
            })
            .collect();
        for other in others {
            let mate = match other {
                Item::Board(board) => self.counterpart(board, plane).map(Item::Board),
                Item::Group(_) => None,
            };
            let touched =
                [Some(other), mate].into_iter().flatten().find(|o| self.touching(Item::Board(image), *o));
            if let Some(touched) = touched {
                self.touches(Item::Board(image), touched, origin);
            }
        }
    }

    /// `count` copies of a board with equal gaps between two sides that face each other. With `ends` the first and last
    /// touch the sides.
    pub fn space(
        &mut self,
        count: usize,
        board: BoardId,
        from: &Side,
        to: &Side,
        ends: bool,
        origin: Origin,
    ) -> Result<Vec<BoardId>, Diagnostic> {
        let (first, second) = (self.plane_at(from, origin)?, self.plane_at(to, origin)?);
        let normal = first.normal;
        let room = normal.dot(second.point) - first.offset();
        let (low, high) = self.reach(Item::Board(board), normal, origin)?;
        let size = high - low;
        let gaps = if ends { count.saturating_sub(1) } else { count + 1 };
        let gap = (room - count as f64 * size) / gaps.max(1) as f64;
        if gap < 0.0 {
            return Err(Diagnostic::error(
                "no-room-between",
                format!("{count} of `{}` do not fit in {}", self.boards[board.0].name, both_tapes(room)),
            )
            .at_origin(origin)
            .help("ask for fewer"));
        }
        let world = self.board_pose(board);
        let frame = self.group_pose(self.boards[board.0].group);
        let name = self.boards[board.0].name.clone();
        let lead = if ends { 0.0 } else { gap };
        (0..count)
            .map(|index| {
                let copy = self.copy(board, &name, origin)?;
                let along = first.offset() + lead + index as f64 * (size + gap) - low;
                let at = frame.inverse().transform_point3(world.translation + normal * along);
                hold_at(&mut self.boards[copy.0], at, origin);
                Ok(copy)
            })
            .collect()
    }
}

/// Fixes a draft's origin at a point of its group's frame.
pub(super) fn hold_at(draft: &mut Draft, at: DVec3, origin: Origin) {
    let row = |axis: DVec3| super::fixing::Row {
        normal: axis,
        target: axis.dot(at),
        anchor: Anchor::Point(DVec3::ZERO),
        origin,
        words: String::from("it was made in its place"),
    };
    draft.fixing.rows = vec![row(DVec3::X), row(DVec3::Y), row(DVec3::Z)];
    draft.solid = OnceCell::new();
}

fn outer(v: DVec3) -> DMat3 {
    DMat3::from_cols(v * v.x, v * v.y, v * v.z)
}

fn nearest_axis(v: DVec3) -> DVec3 {
    let size = v.abs();
    if size.x >= size.y && size.x >= size.z {
        DVec3::X
    } else if size.y >= size.z {
        DVec3::Y
    } else {
        DVec3::Z
    }
}

/// Reflects everything a draft knows in board axes about the middle of its box across `axis`.
fn reflect_draft(draft: &mut Draft, axis: DVec3) {
    let size = draft.size().dot(axis);
    let point = |p: DVec3| p + axis * (size - 2.0 * p.dot(axis));
    let plane = |h: &HalfSpace| {
        let normal = h.normal - 2.0 * h.normal.dot(axis) * axis;
        HalfSpace { normal, offset: h.offset - size * h.normal.dot(axis), tag: swap_tag(h.tag, axis) }
    };
    let notch = |n: &Notch| Notch { planes: n.planes.iter().map(plane).collect() };
    let hole = |h: &Hole| Hole {
        start: point(h.start),
        direction: h.direction - 2.0 * h.direction.dot(axis) * axis,
        steps: h.steps.clone(),
        tag: h.tag,
    };
    draft.end_planes = reflected_pair(draft.end_planes, axis == DVec3::X, plane);
    draft.edge_planes = reflected_pair(draft.edge_planes, axis == DVec3::Y, plane);
    draft.notches = draft.notches.iter().map(notch).collect();
    draft.holes = draft.holes.iter().map(hole).collect();
    let in_outline = outline_axis(draft, axis);
    if let (Some(outline), Some(across_x)) = (&mut draft.outline, in_outline) {
        *outline = reflect_profile(outline, size, across_x, axis);
    }
    for feature in &mut draft.features {
        feature.kind = reflect_kind(&feature.kind, axis, size, &plane, &hole, in_outline);
    }
    if axis == DVec3::Z {
        flip_softened(draft);
    }
    draft.solid = OnceCell::new();
}

/// What was rounded over at one wide face is at the other in a reflection through the thickness.
fn flip_softened(draft: &mut Draft) {
    for soft in &mut draft.softened {
        soft.edges = soft.seen(true);
    }
    for feature in &mut draft.features {
        if let FeatureKind::Soften { edges, radius, length } = &mut feature.kind {
            let soft = Softened { edges: edges.clone(), radius: *radius, length: *length };
            *edges = soft.seen(true);
        }
    }
}

/// Whether reflecting across `axis` changes the outline, and whether along its first coordinate.
fn outline_axis(draft: &Draft, axis: DVec3) -> Option<bool> {
    let second = match draft.across {
        slatwork_solid::Across::Thickness => DVec3::Y,
        slatwork_solid::Across::Width => DVec3::Z,
    };
    if axis == DVec3::X { Some(true) } else { (axis == second).then_some(false) }
}

fn reflected_pair(
    pair: [Option<HalfSpace>; 2],
    swap: bool,
    plane: impl Fn(&HalfSpace) -> HalfSpace,
) -> [Option<HalfSpace>; 2] {
    let [low, high] = pair.map(|side| side.as_ref().map(&plane));
    if swap { [high, low] } else { [low, high] }
}

fn swap_tag(tag: slatwork_solid::Tag, axis: DVec3) -> slatwork_solid::Tag {
    use slatwork_solid::Tag;
    match tag {
        Tag::LOW_END if axis == DVec3::X => Tag::HIGH_END,
        Tag::HIGH_END if axis == DVec3::X => Tag::LOW_END,
        Tag::LOW_EDGE if axis == DVec3::Y => Tag::HIGH_EDGE,
        Tag::HIGH_EDGE if axis == DVec3::Y => Tag::LOW_EDGE,
        Tag::LOW_FACE if axis == DVec3::Z => Tag::HIGH_FACE,
        Tag::HIGH_FACE if axis == DVec3::Z => Tag::LOW_FACE,
        other => other,
    }
}

/// Mirrors a closed profile and keeps it counter-clockwise.
fn reflect_profile(profile: &Profile, size: f64, across_x: bool, axis: DVec3) -> Profile {
    let count = profile.vertices.len();
    let vertices = (0..count)
        .map(|index| {
            let here = profile.vertices[count - 1 - index];
            let edge = profile.vertices[(2 * count - 2 - index) % count];
            Vertex {
                point: reflect_point(here.point, size, across_x),
                bulge: edge.bulge,
                tag: swap_tag(edge.tag, axis),
            }
        })
        .collect();
    Profile { vertices }
}

fn reflect_point(point: slatwork_solid::DVec2, size: f64, across_x: bool) -> slatwork_solid::DVec2 {
    if across_x { point.with_x(size - point.x) } else { point.with_y(size - point.y) }
}

fn reflect_path(path: &Path, size: f64, across_x: bool) -> Path {
    let vertices = path.vertices.iter();
    Path {
        vertices: vertices
            .map(|vertex| Vertex {
                point: reflect_point(vertex.point, size, across_x),
                bulge: -vertex.bulge,
                tag: vertex.tag,
            })
            .collect(),
    }
}

fn reflect_kind(
    kind: &FeatureKind,
    axis: DVec3,
    size: f64,
    plane: &impl Fn(&HalfSpace) -> HalfSpace,
    hole: &impl Fn(&Hole) -> Hole,
    in_outline: Option<bool>,
) -> FeatureKind {
    match kind {
        FeatureKind::BevelRip { edge, plane: cut, .. } => {
            let edge = match (edge, axis == DVec3::Y) {
                (BoardEdge::Low, true) => BoardEdge::High,
                (BoardEdge::High, true) => BoardEdge::Low,
                (edge, false) => *edge,
            };
            let cut = plane(cut);
            let angle =
                slatwork_base::Angle::rad(slatwork_base::maths::atan2(-cut.normal.z, cut.normal.y.abs()));
            FeatureKind::BevelRip { edge, angle, plane: cut }
        }
        FeatureKind::EndCut { end, plane: cut, .. } => {
            let end = match (end, axis == DVec3::X) {
                (BoardEnd::Low, true) => BoardEnd::High,
                (BoardEnd::High, true) => BoardEnd::Low,
                (end, false) => *end,
            };
            let cut = plane(cut);
            FeatureKind::EndCut { end, setting: super::place::setting(cut.normal), plane: cut }
        }
        FeatureKind::Outline { line, what } => {
            let line = in_outline.map_or_else(|| line.clone(), |across_x| reflect_path(line, size, across_x));
            FeatureKind::Outline { line, what: what.clone() }
        }
        FeatureKind::Notch {
            regions,
            purpose,
            from_end,
            along,
            from_edge,
            across,
            depth,
            wall,
            clearance,
        } => {
            let total = Length::mm(size);
            FeatureKind::Notch {
                regions: regions
                    .iter()
                    .map(|n| Notch { planes: n.planes.iter().map(plane).collect() })
                    .collect(),
                purpose: purpose.clone(),
                from_end: if axis == DVec3::X { total - *from_end - *along } else { *from_end },
                along: *along,
                from_edge: if axis == DVec3::Y { total - *from_edge - *across } else { *from_edge },
                across: *across,
                depth: *depth,
                wall: *wall,
                clearance: *clearance,
            }
        }
        FeatureKind::Hole { hole: bore, what, lean, countersink } => {
            FeatureKind::Hole { hole: hole(bore), what: what.clone(), lean: *lean, countersink: *countersink }
        }
        same @ (FeatureKind::Rip { .. }
        | FeatureKind::Plane { .. }
        | FeatureKind::Spring { .. }
        | FeatureKind::Soften { .. }) => same.clone(),
    }
}

/// Two boards whose middles are this near stand in the same place, mm.
const SAME_PLACE: f64 = 0.5;

/// "left front chain" becomes "right front chain" and the other way round.
fn other_hand(words: &str) -> String {
    let swap = |word: &str| match word {
        "left" => String::from("right"),
        "right" => String::from("left"),
        other => other.to_string(),
    };
    words.split(' ').map(swap).collect::<Vec<_>>().join(" ")
}
