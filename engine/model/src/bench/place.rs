//! The relations that place a part or a group: lie, turn, lean, against, flush, let into, centre, between, at.

use super::draft::{Anchor, Draft};
use super::fixing::Row;
use super::side::{Among, Side, WorldPlane};
use super::{Bench, BoardId, Claim, Direction, GroupHandle, Item, WHOLE};
use crate::{BoardEnd, ContactKind, FeatureKind, Setting};
use slatwork_base::{Angle, Diagnostic, Length, Origin, both_tapes, maths};
use slatwork_solid::{DAffine3, DMat3, DVec3, HalfSpace, Tag};

/// Two sides within this of parallel (in 1 - cosine; about 0.06 degrees) count as parallel: rounding noise of turned
/// groups stays below it, any saw setting above.
const PARALLEL: f64 = 5e-7;

/// A board whose grain makes less than this (cosine; about 84 degrees off square) with a side never sensibly meets it.
const ALMOST_ALONG: f64 = 0.1;

/// The least room worth a board, mm.
const LEAST_ROOM: f64 = 1.0;

impl Bench {
    /// Lays a board: its grain runs one way, its wide face looks another. Before any other relation.
    pub fn lie(&mut self, board: BoardId, grain: &str, face: &str, origin: Origin) -> Result<(), Diagnostic> {
        let grain = Direction::parse(grain).map_err(|fault| fault.at_origin(origin))?;
        let face = Direction::parse(face).map_err(|fault| fault.at_origin(origin))?;
        let (x, z) = (grain.vector(), face.vector());
        if x.dot(z).abs() > 0.5 {
            return Err(Diagnostic::error(
                "grain-along-face",
                format!("the grain cannot run {} while the wide face looks {}", grain.word(), face.word()),
            )
            .at_origin(origin)
            .help("the face looks square to the grain: for a rail on edge, `lie(\"right\", \"front\")`"));
        }
        self.not_placed(Item::Board(board), origin)?;
        self.boards[board.0].rotation = DMat3::from_cols(x, z.cross(x), z);
        self.boards[board.0].forget_solid();
        Ok(())
    }

    /// Turns a board or group about an axis that points `axis`, clockwise as seen looking along it.
    pub fn turn(&mut self, item: Item, axis: &str, angle: Angle, origin: Origin) -> Result<(), Diagnostic> {
        let axis = Direction::parse(axis).map_err(|fault| fault.at_origin(origin))?.vector();
        self.not_placed(item, origin)?;
        let (sine, cosine) = maths::sin_cos(angle.as_rad());
        // Rodrigues' formula, with sines from our own maths.
        let cross = DMat3::from_cols(
            DVec3::new(0.0, axis.z, -axis.y),
            DVec3::new(-axis.z, 0.0, axis.x),
            DVec3::new(axis.y, -axis.x, 0.0),
        );
        let rotation = DMat3::IDENTITY + sine * cross + (1.0 - cosine) * (cross * cross);
        match item {
            Item::Board(board) => {
                let draft = &mut self.boards[board.0];
                draft.rotation = rotation * draft.rotation;
            }
            Item::Group(group) => {
                self.free_to_move(group, origin)?;
                let draft = &mut self.groups[group.0];
                draft.rotation = rotation * draft.rotation;
            }
        }
        Ok(())
    }

    /// Leans a board or group backwards: its top goes to the rear.
    pub fn lean(&mut self, item: Item, angle: Angle, origin: Origin) -> Result<(), Diagnostic> {
        // Clockwise looking left turns up to rear.
        self.turn(item, "left", angle, origin)
    }

    fn not_placed(&self, item: Item, origin: Origin) -> Result<(), Diagnostic> {
        let fixing = match item {
            Item::Board(board) => &self.boards[board.0].fixing,
            Item::Group(group) => &self.groups[group.0].fixing,
        };
        match fixing.rows.first() {
            None => Ok(()),
            Some(row) => Err(Diagnostic::error(
                "turned-after-placing",
                format!("`{}` is already placed and cannot be turned now", self.name(item)),
            )
            .at_origin(origin)
            .with_origin(row.origin, format!("placed here: {}", row.words))
            .help("say how it lies and leans before it is placed")),
        }
    }

    fn free_to_move(&self, group: GroupHandle, origin: Origin) -> Result<(), Diagnostic> {
        match self.groups[group.0].tied {
            None => Ok(()),
            Some(tied) => Err(Diagnostic::error(
                "group-already-used",
                format!(
                    "group `{}` may no longer move: parts inside and outside it were placed by each other",
                    self.groups[group.0].name
                ),
            )
            .at_origin(origin)
            .with_origin(tied, "here they were placed by each other")
            .help("turn and place the group before parts outside it are placed by it")),
        }
    }

    /// Frame in which an item's translation is given, to world.
    fn frame(&self, item: Item) -> DAffine3 {
        match item {
            Item::Board(board) => self.group_pose(self.boards[board.0].group),
            Item::Group(group) => {
                self.groups[group.0].parent.map_or(DAffine3::IDENTITY, |parent| self.group_pose(parent))
            }
        }
    }

    /// Fixes one direction of an item: its anchor lies on a plane of the world.
    pub(super) fn fix(
        &mut self,
        item: Item,
        plane: WorldPlane,
        anchor: Anchor,
        words: String,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        if let Item::Group(group) = item {
            self.free_to_move(group, origin)?;
        }
        let frame = self.frame(item);
        let normal = frame.matrix3.transpose() * plane.normal;
        let target = plane.offset() - plane.normal.dot(frame.translation);
        let row = Row { normal, target, anchor, origin, words };
        let row = self.taken(item, row);
        let name = self.name(item).to_string();
        let fixing = match item {
            Item::Board(board) => &mut self.boards[board.0].fixing,
            Item::Group(group) => &mut self.groups[group.0].fixing,
        };
        if let Some(earlier) = fixing.clash(normal) {
            return Err(Diagnostic::error(
                "fixed-twice",
                format!("`{name}` is already placed in this direction"),
            )
            .at_origin(origin)
            .with_origin(earlier.origin, format!("first placed here: {}", earlier.words))
            .help("drop one of the two; if both should hold, say `.touches(..)`, which is checked"));
        }
        fixing.rows.push(row);
        Ok(())
    }

    /// A group's reach is taken as it is when the relation is said.
    fn taken(&self, item: Item, row: Row) -> Row {
        match item {
            Item::Board(_) => row,
            Item::Group(group) => Row { anchor: Anchor::Taken(self.group_anchor(group.0, &row)), ..row },
        }
    }

    /// Notes that `by`'s side has placed something: it must not move again, nor may a group between them.
    pub(super) fn mark_used(&mut self, item: Item, by: &Side, origin: Origin) {
        if let (Item::Board(board), Some(tag)) = (by.item, by.tag) {
            self.boards[board.0].used.push((tag, origin));
        }
        let group_of = |bench: &Bench, item: Item| match item {
            Item::Board(board) => bench.boards[board.0].group,
            Item::Group(group) => bench.groups[group.0].parent.unwrap_or(WHOLE.0),
        };
        let placed_in = group_of(self, item);
        let placed_by = match by.item {
            Item::Board(board) => self.boards[board.0].group,
            Item::Group(group) => group.0,
        };
        for (from, other) in [(placed_by, placed_in), (placed_in, placed_by)] {
            let mut at = Some(from);
            while let Some(group) = at {
                if self.is_inside(other, group) {
                    break;
                }
                self.groups[group].tied.get_or_insert(origin);
                at = self.groups[group].parent;
            }
        }
    }

    /// My side touches that side, facing it; or stands a gap off. Without a gap the contact is declared.
    pub fn against(
        &mut self,
        item: Item,
        my_side: &str,
        side: &Side,
        gap: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        self.set_against(item, my_side, side, gap, origin)?;
        if gap == Length::ZERO {
            self.claims.push(Claim { a: item, b: side.item, kind: ContactKind::Against, origin });
        }
        Ok(())
    }

    fn set_against(
        &mut self,
        item: Item,
        my_side: &str,
        side: &Side,
        gap: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let mut plane = self.plane(side).map_err(|fault| fault.at_origin(origin))?;
        let anchor = match item {
            Item::Group(_) => Anchor::Lowest,
            Item::Board(board) => self.parallel_anchor(board, my_side, plane.normal, -1.0, origin)?,
        };
        plane.point += plane.normal * gap.as_mm();
        let words =
            format!("`{my_side}` against the {} of `{}`", side.direction.word(), self.name(side.item));
        self.fix(item, plane, anchor, words, origin)?;
        self.mark_used(item, side, origin);
        Ok(())
    }

    /// The board's own side, if it is parallel to `normal` and looks along it (`facing` 1) or against it (-1).
    fn parallel_anchor(
        &self,
        board: BoardId,
        my_side: &str,
        normal: DVec3,
        facing: f64,
        origin: Origin,
    ) -> Result<Anchor, Diagnostic> {
        let direction = Direction::parse(my_side).map_err(|fault| fault.at_origin(origin))?;
        let tag = self.side_tag(board, direction, Among::Sides).map_err(|fault| fault.at_origin(origin))?;
        let draft = &self.boards[board.0];
        if tag == Tag::HIGH_END {
            draft.length_mm().map_err(|fault| fault.at_origin(origin))?;
        }
        let mine = self.group_pose(draft.group).matrix3 * draft.rotation * draft.face_normal(tag);
        let cosine = facing * mine.dot(normal);
        if 1.0 + cosine <= PARALLEL {
            let (look, other, why) = match facing > 0.0 {
                true => ("opposite ways", "against", "to lay them face to face"),
                false => ("the same way", "flush", "to bring them into one plane"),
            };
            let message = format!("the {my_side} of `{}` and that side look {look}", draft.name);
            return Err(Diagnostic::error("sides-look-wrong", message)
                .at_origin(origin)
                .help(format!("write `{other}` {why}, or name the side across from either")));
        }
        if 1.0 - cosine > PARALLEL {
            let off = maths::acos(cosine) * 180.0 / maths::PI;
            return Err(Diagnostic::error(
                "sides-not-parallel",
                format!("the {my_side} of `{}` and that side are {off:.2}° from parallel", draft.name),
            )
            .at_origin(origin)
            .help(
                "turn or lean it first, fit it with `between`, or let it be cut to the other with `cope`",
            ));
        }
        Ok(Anchor::Face(tag))
    }

    /// My side and that side look the same way and lie in one plane, or mine is set in by `setback`.
    pub fn flush(
        &mut self,
        item: Item,
        my_side: &str,
        side: &Side,
        setback: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let mut plane = self.plane(side).map_err(|fault| fault.at_origin(origin))?;
        let anchor = match item {
            Item::Group(_) => Anchor::Highest,
            Item::Board(board) => self.parallel_anchor(board, my_side, plane.normal, 1.0, origin)?,
        };
        plane.point -= plane.normal * setback.as_mm();
        let words =
            format!("`{my_side}` flush with the {} of `{}`", side.direction.word(), self.name(side.item));
        self.fix(item, plane, anchor, words, origin)?;
        self.mark_used(item, side, origin);
        Ok(())
    }

    /// As `against`, sunk in by `depth`; the other part gets the housing when the piece is finished.
    pub fn let_into(
        &mut self,
        board: BoardId,
        my_side: &str,
        side: &Side,
        depth: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let Item::Board(other) = side.item else {
            return Err(Diagnostic::error("let-into-group", "a part is let into a part, not into a group")
                .at_origin(origin)
                .help("name the board's side"));
        };
        self.set_against(Item::Board(board), my_side, side, -depth, origin)?;
        self.claims.push(Claim { a: Item::Board(board), b: side.item, kind: ContactKind::LetInto, origin });
        self.housings.push(super::cope::Housing { into: other, of: board, origin });
        Ok(())
    }

    /// Half way between two sides, along the direction they face each other in.
    pub fn centre_between(
        &mut self,
        item: Item,
        a: &Side,
        b: &Side,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let (first, second) = (self.plane_at(a, origin)?, self.plane_at(b, origin)?);
        if 1.0 - first.normal.dot(second.normal).abs() > PARALLEL {
            return Err(Diagnostic::error(
                "sides-not-parallel",
                "there is no middle between sides that are not parallel",
            )
            .at_origin(origin)
            .help("name two sides that face each other or look the same way"));
        }
        let other = first.normal.dot(second.point);
        let middle = first.normal * ((first.offset() + other) / 2.0);
        let plane = WorldPlane { normal: first.normal, point: middle };
        let words = format!("centred between `{}` and `{}`", self.name(a.item), self.name(b.item));
        self.fix(item, plane, Anchor::Middle, words, origin)?;
        self.mark_used(item, a, origin);
        self.mark_used(item, b, origin);
        Ok(())
    }

    /// In the middle of one part or group, along a direction.
    pub fn centre_on(
        &mut self,
        item: Item,
        direction: &str,
        other: Item,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let direction = Direction::parse(direction).map_err(|fault| fault.at_origin(origin))?;
        let (low, high) = self.reach(other, direction.vector(), origin)?;
        let normal = self.frame_direction(item, direction);
        // The extremes are taken along the word's direction in the frame of the item that is placed.
        let plane = WorldPlane { normal, point: normal * ((low + high) / 2.0) };
        let words = format!("centred on `{}`", self.name(other));
        self.fix(item, plane, Anchor::Middle, words, origin)?;
        self.mark_used(item, &Side { item: other, tag: None, direction, along: None }, origin);
        Ok(())
    }

    fn frame_direction(&self, item: Item, direction: Direction) -> DVec3 {
        self.frame(item).matrix3 * direction.vector()
    }

    /// Extent of an item along a direction of the world, mm.
    pub(super) fn reach(
        &self,
        item: Item,
        direction: DVec3,
        origin: Origin,
    ) -> Result<(f64, f64), Diagnostic> {
        match item {
            Item::Board(board) => {
                let draft = &self.boards[board.0];
                draft.length_mm().map_err(|fault| fault.at_origin(origin))?;
                let pose = self.board_pose(board);
                let local = pose.matrix3.transpose() * direction;
                let base = direction.dot(pose.translation);
                let size = draft.size();
                Ok((base + local.min(DVec3::ZERO).dot(size), base + local.max(DVec3::ZERO).dot(size)))
            }
            Item::Group(group) => {
                let pose = self.group_pose(group.0);
                let (low, high) = self.group_extent(group.0, pose.matrix3.transpose() * direction);
                let base = direction.dot(pose.translation);
                Ok((base + low, base + high))
            }
        }
    }

    /// Coordinate along x, y or z where an item ends in that direction, in the piece's frame.
    pub fn outermost(&self, item: Item, direction: &str, origin: Origin) -> Result<Length, Diagnostic> {
        let direction = Direction::parse(direction).map_err(|fault| fault.at_origin(origin))?.vector();
        let (low, high) = self.reach(item, direction.abs(), origin)?;
        Ok(Length::mm(if direction.element_sum() > 0.0 { high } else { low }))
    }

    pub(super) fn plane_at(&self, side: &Side, origin: Origin) -> Result<WorldPlane, Diagnostic> {
        self.plane(side).map_err(|fault| fault.at_origin(origin))
    }

    /// Position of the lowest left front corner of the box, in the group's frame (a group: in its parent's).
    pub fn at(
        &mut self,
        item: Item,
        x: Length,
        y: Length,
        z: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let frame = self.frame(item);
        for (axis, along) in [(DVec3::X, x), (DVec3::Y, y), (DVec3::Z, z)] {
            let normal = frame.matrix3 * axis;
            let point = frame.transform_point3(axis * along.as_mm());
            self.fix(item, WorldPlane { normal, point }, Anchor::Lowest, String::from("`at`"), origin)?;
        }
        Ok(())
    }

    /// Position along one direction only: the lowest point of the box, in the group's frame, towards right, rear or up.
    pub fn at_along(
        &mut self,
        item: Item,
        direction: &str,
        place: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let direction = Direction::parse(direction).map_err(|fault| fault.at_origin(origin))?;
        let frame = self.frame(item);
        let normal = frame.matrix3 * direction.vector();
        let point = frame.transform_point3(direction.vector() * place.as_mm());
        self.fix(item, WorldPlane { normal, point }, Anchor::Lowest, String::from("`at`"), origin)
    }

    /// Reaches from one side to the other: sets the length, one direction, and cuts each end to the side it meets.
    pub fn between(&mut self, board: BoardId, a: &Side, b: &Side, origin: Origin) -> Result<(), Diagnostic> {
        let (first, second) = (self.plane_at(a, origin)?, self.plane_at(b, origin)?);
        if let Some(length) = self.boards[board.0].length {
            return Err(Diagnostic::error(
                "size-said-twice",
                format!("`{}` is already {} long", self.boards[board.0].name, both_tapes(length.as_mm())),
            )
            .at_origin(origin)
            .help("`between` sets the length: drop `.length(..)` or `.between(..)`"));
        }
        let grain =
            self.group_pose(self.boards[board.0].group).matrix3 * self.boards[board.0].rotation.x_axis;
        let (low, high, sides) = self.which_end(board, grain, first, second, (a, b), origin)?;
        let square = |plane: &WorldPlane| 1.0 - plane.normal.dot(grain).abs() < PARALLEL;
        if square(&low) && square(&high) {
            self.between_square(board, grain, low, high, origin)?;
        } else {
            self.between_leaning(board, grain, low, high, origin)?;
        }
        for side in [sides.0, sides.1] {
            self.mark_used(Item::Board(board), side, origin);
            self.claims.push(Claim {
                a: Item::Board(board),
                b: side.item,
                kind: ContactKind::Between,
                origin,
            });
        }
        Ok(())
    }

    /// Sorts two sides into the one at the board's low end and the one at its high end.
    fn which_end<'s>(
        &self,
        board: BoardId,
        grain: DVec3,
        first: WorldPlane,
        second: WorldPlane,
        sides: (&'s Side, &'s Side),
        origin: Origin,
    ) -> Result<(WorldPlane, WorldPlane, (&'s Side, &'s Side)), Diagnostic> {
        let name = &self.boards[board.0].name;
        for (plane, side) in [(&first, sides.0), (&second, sides.1)] {
            if plane.normal.dot(grain).abs() < ALMOST_ALONG {
                return Err(Diagnostic::error(
                    "never-meets",
                    format!(
                        "`{name}` runs along the {} side of `{}` and never meets it",
                        side.direction.word(),
                        self.name(side.item)
                    ),
                )
                .at_origin(origin)
                .help("name two sides that its ends should meet, or turn it with `.lie(..)`"));
            }
        }
        match (first.normal.dot(grain) > 0.0, second.normal.dot(grain) > 0.0) {
            (true, false) => Ok((first, second, sides)),
            (false, true) => Ok((second, first, (sides.1, sides.0))),
            _ => Err(Diagnostic::error(
                "sides-look-the-same-way",
                format!("both sides given to `{name}` lie before the same end of it"),
            )
            .at_origin(origin)
            .help(
                "name the two sides that face each other across the room it fills, or turn it with `.lie(..)` or `.turn(..)` so \
                 that each end looks at one",
            )),
        }
    }

    fn no_room(&self, board: BoardId, room: f64, origin: Origin) -> Diagnostic {
        Diagnostic::error(
            "no-room-between",
            format!(
                "there is no room for `{}`: the sides are {} apart",
                self.boards[board.0].name,
                both_tapes(room)
            ),
        )
        .at_origin(origin)
        .help("move one of the sides, or make the piece larger")
    }

    fn between_square(
        &mut self,
        board: BoardId,
        grain: DVec3,
        low: WorldPlane,
        high: WorldPlane,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let start = grain.dot(low.point);
        let room = grain.dot(high.point) - start;
        if room < LEAST_ROOM {
            return Err(self.no_room(board, room, origin));
        }
        let plane = WorldPlane { normal: grain, point: grain * start };
        self.boards[board.0].length = Some(Length::mm(room));
        self.boards[board.0].forget_solid();
        self.fix(Item::Board(board), plane, Anchor::Face(Tag::LOW_END), String::from("`between`"), origin)
    }

    fn between_leaning(
        &mut self,
        board: BoardId,
        grain: DVec3,
        low: WorldPlane,
        high: WorldPlane,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let draft = &self.boards[board.0];
        let solved = draft.fixing.solve(|row| draft.anchor_at(row));
        let across = solved.is_fixed(draft.rotation.y_axis) && solved.is_fixed(draft.rotation.z_axis);
        if !(draft.datum || across) {
            return Err(Diagnostic::error(
                "not-placed-yet",
                format!("`{}` must be placed across before it reaches between leaning sides", draft.name),
            )
            .at_origin(origin)
            .help("place its face and its edge first (`against`, `flush`, `centre`; a brace by `meets_at`), then say `between`"));
        }
        let frame = self.group_pose(draft.group);
        let pose = frame * draft.pose();
        let meets = |plane: &WorldPlane| -> (f64, f64) {
            let corners = [(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0)];
            let along = corners.map(|(y, z)| {
                let corner = pose.transform_point3(DVec3::new(
                    0.0,
                    y * draft.width.as_mm(),
                    z * draft.thickness.as_mm(),
                ));
                (plane.offset() - plane.normal.dot(corner)) / plane.normal.dot(grain)
            });
            along.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), s| (lo.min(*s), hi.max(*s)))
        };
        let (low_ends, high_ends) = (meets(&low), meets(&high));
        if high_ends.0 - low_ends.1 < LEAST_ROOM {
            return Err(self.no_room(board, high_ends.0 - low_ends.1, origin));
        }
        // Rounded up to a whole nanometre, so that the cuts lie inside the blank.
        let length = Length::mm(high_ends.1 - low_ends.0) + Length::nm(1);
        let start = grain.dot(pose.translation) + low_ends.0;
        self.boards[board.0].length = Some(length);
        let plane = WorldPlane { normal: grain, point: grain * start };
        let at_low = Anchor::Point(DVec3::ZERO);
        self.fix(Item::Board(board), plane, at_low, String::from("`between`"), origin)?;
        for (end, plane) in [(BoardEnd::Low, low), (BoardEnd::High, high)] {
            self.cut_end(board, end, plane, origin);
        }
        Ok(())
    }

    /// Cuts an end along a world plane whose normal points away from the kept wood or towards it alike.
    pub(super) fn cut_end(&mut self, board: BoardId, end: BoardEnd, plane: WorldPlane, origin: Origin) {
        let pose = self.board_pose(board);
        let draft = &mut self.boards[board.0];
        let mut normal = pose.matrix3.transpose() * plane.normal;
        let outward = if end == BoardEnd::High { 1.0 } else { -1.0 };
        if normal.x * outward < 0.0 {
            normal = -normal;
        }
        if 1.0 - normal.x.abs() < PARALLEL {
            return;
        }
        let tag = Draft::end_tag(end);
        let offset = normal.dot(pose.inverse().transform_point3(plane.point));
        let cut = HalfSpace { normal, offset, tag };
        draft.end_planes[usize::from(end == BoardEnd::High)] = Some(cut);
        draft.add(FeatureKind::EndCut { end, setting: setting(normal), plane: cut }, origin);
    }
}

/// Saw settings of an end cut with that outward normal, in the board's own axes: along it, across it, through it.
pub fn setting(normal: DVec3) -> Setting {
    Setting {
        mitre: Angle::rad(maths::atan2(-normal.y, normal.x.abs())),
        bevel: Angle::rad(-maths::asin(normal.z)),
    }
}
