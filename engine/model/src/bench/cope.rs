//! Fitting round other parts: copes, housings for parts let in, and plain notches.

use super::side::Among;
use super::{Bench, BoardId, Direction};
use crate::{Feature, FeatureKind, NotchPurpose, When};
use slatwork_base::{Angle, Diagnostic, Length, Origin, both_tapes, maths};
use slatwork_solid::{Bounds, DVec3, HalfSpace, Notch, Piece, Placed, Tag};

/// A part let into another, cut when the piece is finished.
pub(super) struct Housing {
    pub(super) into: BoardId,
    pub(super) of: BoardId,
    pub(super) origin: Origin,
}

/// Wood left standing between a cope and the board's edge or end that is thinner than this is cut away with it, mm
/// (project choice: a spur of less breaks off at the first knock).
pub(super) const LEAST_WALL: f64 = 6.0;

/// A cope thinner than this is left out where the part itself does not run into the board, mm: a saw takes two or three
/// times as much, so all that is lost is some of the play (project choice).
pub(super) const LEAST_COPE: f64 = 1.0;

/// Another part that takes less than this out of a board takes nothing, mm3 (rounding noise of faces that only touch).
const NOTHING_TAKEN: f64 = 1.0;

/// Of a part that does take something, a region that takes less than this is left out, mm3. A facet's slice that stayed would
/// stand in the way of the part let in.
const LEAST_SLICE: f64 = 0.01;

/// What comes free of a coped board and is no more than this share of it is waste of the cope, such as a strip between two
/// notches (project choice); but not an end or edge, without which the board would be shorter or narrower.
const OFFCUT: f64 = 0.02;

/// Waste is taken out so far beyond its faces, mm: no skin is left, and the kerf that freed it is wider.
const OFFCUT_SKIN: f64 = 0.05;

/// A plain notch: from the low end and the low edge, on the face that looks `face`.
#[derive(Clone, Debug)]
pub struct NotchOrder {
    /// The side it is cut into.
    pub side: Direction,
    /// From the low end to its near wall.
    pub from_end: Length,
    /// Extent along the grain.
    pub along: Length,
    /// Depth from that side.
    pub depth: Length,
}

impl Bench {
    /// Fits a board round whatever of `others` runs through it, with clearance, walls leaning as they lean.
    pub fn cope(
        &mut self,
        board: BoardId,
        others: &[BoardId],
        clearance: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        for other in others.iter().filter(|other| **other != board) {
            self.cope_one(board, *other, clearance, origin)?;
        }
        Ok(())
    }

    fn cope_one(
        &mut self,
        board: BoardId,
        other: BoardId,
        clearance: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let around = self.boards[other.0].name.clone();
        let notches = self.regions_of(board, other, clearance.as_mm(), true, origin)?;
        if self.is_nick(board, other, &notches, origin)? {
            return Ok(());
        }
        let when = When::MarkedFrom { parts: vec![around.clone()] };
        let purpose = NotchPurpose::Cope { around: around.clone() };
        self.take_out(board, notches, purpose.clone(), clearance, when.clone(), origin)?;
        let waste = self.offcuts(board).map_err(|fault| fault.at_origin(origin))?;
        self.take_out(board, waste, purpose, clearance, when, origin)?;
        self.still_one_piece(board, &around, origin)
    }

    /// What a cope has cut free, if it is little enough to be waste.
    fn offcuts(&self, board: BoardId) -> Result<Vec<Notch>, Diagnostic> {
        let solid = self.boards[board.0].solid()?;
        if solid.bodies() == 1 {
            return Ok(Vec::new());
        }
        let loose = solid.loose();
        let volume: f64 = loose.iter().map(|piece| piece.volume()).sum();
        let is_loose = |piece: &&Piece| loose.iter().any(|own| std::ptr::eq(*own, *piece));
        let kept = solid.pieces().iter().filter(|piece| !is_loose(piece));
        let left = kept.fold(Bounds::EMPTY, |all, piece| all.union(&piece.bounds()));
        let all = solid.pieces().iter().fold(Bounds::EMPTY, |all, piece| all.union(&piece.bounds()));
        if volume > OFFCUT * solid.volume() || left != all {
            return Ok(Vec::new());
        }
        let grown = |plane: &HalfSpace| HalfSpace { offset: plane.offset + OFFCUT_SKIN, ..*plane };
        let region = |piece: &&Piece| Notch { planes: piece.planes().iter().map(grown).collect() };
        Ok(loose.iter().map(region).collect())
    }

    /// Whether a cope takes off so little that it cannot be sawn, and nothing but the play is lost without it.
    fn is_nick(
        &self,
        board: BoardId,
        other: BoardId,
        notches: &[Notch],
        origin: Origin,
    ) -> Result<bool, Diagnostic> {
        let solid = self.boards[board.0].solid().map_err(|fault| fault.at_origin(origin))?;
        let taken = notches.iter().filter_map(|notch| slatwork_solid::common_bounds(&solid, &notch.planes));
        let taken = taken.reduce(|all, own| all.union(&own));
        let thin = taken.is_some_and(|taken| (taken.max - taken.min).min_element() < LEAST_COPE);
        Ok(thin && self.regions_of(board, other, 0.0, false, origin)?.is_empty())
    }

    pub(super) fn still_one_piece(
        &self,
        board: BoardId,
        around: &str,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let draft = &self.boards[board.0];
        let solid = draft.solid().map_err(|fault| fault.at_origin(origin))?;
        match solid.bodies() {
            1 => Ok(()),
            count => Err(Diagnostic::error(
                "cope-splits-part",
                format!("fitted round `{around}`, `{}` would fall into {count} pieces", draft.name),
            )
            .at_origin(origin)
            .help("end the board at that part with `between`, lay it beside it, or make it of two boards")),
        }
    }

    /// The convex regions of `other` in the board's axes, grown by `clearance`, that meet the board. With `open`, thin walls
    /// towards the edges and ends are taken away too.
    pub(super) fn regions_of(
        &self,
        board: BoardId,
        other: BoardId,
        clearance: f64,
        open: bool,
        origin: Origin,
    ) -> Result<Vec<Notch>, Diagnostic> {
        let solid = self.boards[board.0].solid().map_err(|fault| fault.at_origin(origin))?;
        let tool = self.boards[other.0].solid().map_err(|fault| fault.at_origin(origin))?;
        let to_board = self.board_pose(board).inverse() * self.board_pose(other);
        let size = self.boards[board.0].size();
        let mut notches = Vec::new();
        let mut taken = 0.0;
        for piece in tool.pieces() {
            let planes: Vec<HalfSpace> =
                piece.planes().iter().map(|plane| moved(plane, &to_board, clearance)).collect();
            let slice: f64 = solid.pieces().iter().map(|wood| common_volume(wood, &planes)).sum();
            if slice < LEAST_SLICE {
                continue;
            }
            taken += slice;
            let planes = planes.into_iter().filter(|plane| cuts_box(plane, size, open)).collect();
            notches.push(Notch { planes });
        }
        Ok(if taken > NOTHING_TAKEN { notches } else { Vec::new() })
    }

    /// Takes regions out of a board as one notch and records what a builder marks.
    pub(super) fn take_out(
        &mut self,
        board: BoardId,
        regions: Vec<Notch>,
        purpose: NotchPurpose,
        clearance: Length,
        when: When,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let draft = &mut self.boards[board.0];
        let solid = draft.solid().map_err(|fault| fault.at_origin(origin))?;
        let mut kept = Vec::with_capacity(regions.len());
        let mut taken: Option<Bounds> = None;
        for mut region in regions {
            let Some(bounds) = slatwork_solid::common_bounds(&solid, &region.planes) else { continue };
            taken = Some(taken.map_or(bounds, |all| all.union(&bounds)));
            let first = draft.next_tag().0;
            for (index, plane) in region.planes.iter_mut().enumerate() {
                plane.tag = Tag(first + u32::try_from(index).unwrap_or(0));
            }
            kept.push(region);
        }
        let Some(taken) = taken else { return Ok(()) };
        let (low, high) = (taken.min, taken.max);
        let wall = kept
            .iter()
            .flat_map(|region| &region.planes)
            .filter(|plane| plane.normal.z.abs() < 0.9)
            .map(|plane| maths::asin(plane.normal.z))
            .fold(0.0, |steepest: f64, lean| if lean.abs() > steepest.abs() { lean } else { steepest });
        let size = high - low;
        let kind = FeatureKind::Notch {
            regions: kept.clone(),
            purpose,
            from_end: Length::mm(low.x),
            along: Length::mm(size.x),
            from_edge: Length::mm(low.y),
            across: Length::mm(size.y),
            depth: Length::mm(size.z),
            wall: Angle::rad(wall),
            clearance,
        };
        draft.notches.extend(kept);
        draft.features.push(Feature { kind, when, origin });
        draft.forget_solid();
        Ok(())
    }

    /// Cuts the housings of parts let in.
    pub(super) fn cut_housings(&mut self) -> Result<(), Diagnostic> {
        for Housing { into, of, origin } in std::mem::take(&mut self.housings) {
            let name = self.boards[of.0].name.clone();
            let regions = self.regions_of(into, of, 0.0, false, origin)?;
            let purpose = NotchPurpose::Housing { of: name.clone() };
            self.take_out(into, regions, purpose, Length::ZERO, When::AtBench, origin)?;
            self.still_one_piece(into, &name, origin)?;
        }
        Ok(())
    }

    /// A plain notch across a side of the board, wall to wall.
    pub fn notch(&mut self, board: BoardId, order: &NotchOrder, origin: Origin) -> Result<(), Diagnostic> {
        let tag = self.side_tag(board, order.side, Among::Sides).map_err(|fault| fault.at_origin(origin))?;
        let draft = &self.boards[board.0];
        let length = draft.length_mm().map_err(|fault| fault.at_origin(origin))?;
        let (start, end) = (order.from_end.as_mm(), (order.from_end + order.along).as_mm());
        let size = draft.size();
        let outward = draft.face_normal(tag);
        let deepest = outward.abs().dot(size);
        let fits = 0.0 <= start
            && start < end
            && end <= length
            && order.depth.is_positive()
            && order.depth.as_mm() < deepest;
        if !fits || outward.x.abs() > 0.5 {
            return Err(Diagnostic::error(
                "notch-off-the-board",
                format!("that notch does not lie in `{}`", draft.name),
            )
            .at_origin(origin)
            .help(format!(
                "it runs from {} to {} of {}, {} deep of {}",
                both_tapes(start),
                both_tapes(end),
                both_tapes(length),
                both_tapes(order.depth.as_mm()),
                both_tapes(deepest)
            )));
        }
        let surface = outward.max(DVec3::ZERO).dot(size);
        let plane = |normal: DVec3, offset: f64| HalfSpace { normal, offset, tag: Tag(0) };
        let floor = order.depth.as_mm() - surface;
        let notch =
            Notch { planes: vec![plane(-DVec3::X, -start), plane(DVec3::X, end), plane(-outward, floor)] };
        self.take_out(board, vec![notch], NotchPurpose::Plain, Length::ZERO, When::AtBench, origin)
    }

    /// Whether two boards touch face to face where they are now.
    pub(super) fn touching(&self, a: super::Item, b: super::Item) -> bool {
        let (super::Item::Board(a), super::Item::Board(b)) = (a, b) else { return false };
        let (Ok(first), Ok(second)) = (self.boards[a.0].solid(), self.boards[b.0].solid()) else {
            return false;
        };
        let (a, b) = (
            Placed { solid: &first, pose: self.board_pose(a) },
            Placed { solid: &second, pose: self.board_pose(b) },
        );
        !slatwork_solid::contacts(&a, &b, super::finish::TOUCHING).is_empty()
    }
}

/// A half-space seen from another frame, grown outward.
fn moved(plane: &HalfSpace, pose: &slatwork_solid::DAffine3, clearance: f64) -> HalfSpace {
    let normal = pose.matrix3 * plane.normal;
    HalfSpace { normal, offset: plane.offset + normal.dot(pose.translation) + clearance, tag: plane.tag }
}

/// Whether a wall of a region does anything to a board of that size: it passes through the box, and (with `open`) leaves a wall
/// worth keeping beyond it.
fn cuts_box(plane: &HalfSpace, size: DVec3, open: bool) -> bool {
    let reach = plane.normal.max(DVec3::ZERO).dot(size);
    let left = reach - plane.offset;
    if left <= 1e-6 {
        return false;
    }
    // Wood beyond a wall that looks across or along the board is measured square to the wall.
    let sideways = plane.normal.z.abs() < 0.7;
    !(open && sideways && left < LEAST_WALL)
}

/// Volume that a convex piece of wood and a convex region share, mm3.
fn common_volume(wood: &Piece, planes: &[HalfSpace]) -> f64 {
    slatwork_solid::clipped_volume(wood, planes)
}
