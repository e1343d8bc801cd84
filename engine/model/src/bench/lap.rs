//! Joints that cut wood: half laps, mortises and tenons.

use super::{Bench, BoardId};
use crate::joints::JointOrder;
use crate::joints::rules::{GLUE_ROOM, LEAD_IN};
use crate::{NotchPurpose, When};
use slatwork_base::{Diagnostic, Length, Origin, both_tapes};
use slatwork_solid::{DVec3, HalfSpace, Notch, Tag};

/// Boards whose faces turn by more than this from one another do not lie in one plane (cosine of 2 degrees).
const ONE_PLANE: f64 = 0.999_4;

/// Share of the thinner board that a tenon is thick (common practice, no source).
const TENON_SHARE: f64 = 1.0 / 3.0;

/// Share of the mortised board that a blind tenon goes into (common practice, no source).
const BLIND_SHARE: f64 = 2.0 / 3.0;

/// Wood left at either narrow side of a tenon, mm: a shoulder all round hides the mortise (common practice, no source).
const SHOULDER: f64 = 6.0;

/// Thinnest tenon and least shoulder worth cutting, mm (common practice, no source).
const LEAST_TENON: f64 = 6.0;

/// Marks of a marking gauge, mm: a sixteenth of an inch.
const MARK: f64 = 25.4 / 16.0;

impl Bench {
    /// Cuts two boards that overlap to half their common thickness: the first keeps the half to the front or top.
    pub(crate) fn half_lap(
        &mut self,
        _order: &JointOrder,
        first: BoardId,
        second: BoardId,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let (a, b) = (self.board_pose(first), self.board_pose(second));
        let face = a.matrix3.z_axis;
        if face.dot(b.matrix3.z_axis).abs() < ONE_PLANE {
            return Err(self.lap_fault(first, second, "their faces do not lie in one plane", origin));
        }
        let from_first = self.regions_of(first, second, 0.0, false, origin)?;
        let from_second = self.regions_of(second, first, 0.0, false, origin)?;
        if from_first.is_empty() || from_second.is_empty() {
            return Err(self.lap_fault(first, second, "they do not overlap", origin));
        }
        let upper = if face.z - face.y < 0.0 { -face } else { face };
        let (low, high) = self.common_extent(first, second, upper);
        let middle = (low + high) / 2.0;
        let halved = |regions: Vec<Notch>, normal: DVec3, offset: f64, board: &slatwork_solid::DAffine3| {
            let local = board.matrix3.transpose() * normal;
            let plane =
                HalfSpace { normal: local, offset: offset - normal.dot(board.translation), tag: Tag(0) };
            regions
                .into_iter()
                .map(|mut region| {
                    region.planes.push(plane);
                    region
                })
                .collect::<Vec<_>>()
        };
        let lower_half = halved(from_first, upper, middle, &a);
        let upper_half = halved(from_second, -upper, -middle, &b);
        let lap =
            |bench: &Bench, with: BoardId| NotchPurpose::HalfLap { with: bench.boards[with.0].name.clone() };
        let (with_second, with_first) = (lap(self, second), lap(self, first));
        self.take_out(first, lower_half, with_second, Length::ZERO, When::AtBench, origin)?;
        self.take_out(second, upper_half, with_first, Length::ZERO, When::AtBench, origin)?;
        for (board, other) in [(first, second), (second, first)] {
            let name = self.boards[other.0].name.clone();
            self.still_one_piece(board, &name, origin)?;
        }
        Ok(())
    }

    fn lap_fault(&self, first: BoardId, second: BoardId, why: &str, origin: Origin) -> Diagnostic {
        Diagnostic::error(
            "lap-does-not-lie",
            format!(
                "`{}` and `{}` cannot be halved: {why}",
                self.boards[first.0].name, self.boards[second.0].name
            ),
        )
        .at_origin(origin)
        .help("lay the two in one plane so that they cross or run into each other, then join them")
    }

    /// Extent of what two boards share along a world direction, mm.
    fn common_extent(&self, first: BoardId, second: BoardId, direction: DVec3) -> (f64, f64) {
        let reach = |board: BoardId| {
            let draft = &self.boards[board.0];
            let pose = self.board_pose(board);
            let local = pose.matrix3.transpose() * direction;
            let base = direction.dot(pose.translation);
            let size = draft.size();
            (base + local.min(DVec3::ZERO).dot(size), base + local.max(DVec3::ZERO).dot(size))
        };
        let (a, b) = (reach(first), reach(second));
        (a.0.max(b.0), a.1.min(b.1))
    }

    /// Grows a tenon on the end of the first board that touches the second, and cuts its mortise.
    pub(crate) fn mortise_and_tenon(
        &mut self,
        order: &JointOrder,
        first: BoardId,
        second: BoardId,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let high = self.end_toward(first, second, origin)?;
        let (thinner, deep) = self.mortise_room(first, second, high, origin)?;
        let length = order.tenon.map_or_else(|| (deep * BLIND_SHARE / MARK).floor() * MARK, Length::as_mm);
        let thickness = order
            .tenon_thickness
            .map_or_else(|| ((thinner * TENON_SHARE / MARK).round() * MARK).max(LEAST_TENON), Length::as_mm);
        let size = self.boards[first.0].size();
        if thickness + 2.0 > size.z.min(size.y) || length <= 0.0 || length > deep + 0.01 {
            return Err(Diagnostic::error(
                "tenon-does-not-fit",
                format!(
                    "a tenon {} thick and {} long does not go from `{}` into `{}`",
                    both_tapes(thickness),
                    both_tapes(length),
                    self.boards[first.0].name,
                    self.boards[second.0].name
                ),
            )
            .at_origin(origin)
            .help(format!(
                "it may be up to {} long, and thinner than {}",
                both_tapes(deep),
                both_tapes(size.z.min(size.y))
            )));
        }
        let shoulder = self.shoulder(first, high);
        self.grow_end(first, high, length, origin);
        self.cut_tenon(first, second, (shoulder, high), (thickness, length, deep), origin)
    }

    /// Which end of a board touches another: true for the high one.
    fn end_toward(&self, first: BoardId, second: BoardId, origin: Origin) -> Result<bool, Diagnostic> {
        let solids = [first, second].map(|board| self.boards[board.0].solid());
        let [Ok(a), Ok(b)] = solids else {
            return Err(self.no_end(first, second, origin));
        };
        let placed = |solid, board| slatwork_solid::Placed { solid, pose: self.board_pose(board) };
        let met = slatwork_solid::contacts(&placed(&a, first), &placed(&b, second), super::TOUCHING);
        let ends = met.iter().filter(|patch| [Tag::LOW_END, Tag::HIGH_END].contains(&patch.tags.0));
        match ends.max_by(|x, y| x.area.total_cmp(&y.area)) {
            Some(patch) => Ok(patch.tags.0 == Tag::HIGH_END),
            None => Err(self.no_end(first, second, origin)),
        }
    }

    fn no_end(&self, first: BoardId, second: BoardId, origin: Origin) -> Diagnostic {
        Diagnostic::error(
            "tenon-meets-nothing",
            format!("no end of `{}` lies on `{}`", self.boards[first.0].name, self.boards[second.0].name),
        )
        .at_origin(origin)
        .help("place the first board with its end against the second: that end becomes the shoulder")
    }

    /// Thickness of the thinner board, and how much wood the second has in line with the first, mm.
    fn mortise_room(
        &self,
        first: BoardId,
        second: BoardId,
        high: bool,
        origin: Origin,
    ) -> Result<(f64, f64), Diagnostic> {
        let size = self.boards[first.0].size();
        let pose = self.board_pose(first);
        let out = if high { pose.matrix3.x_axis } else { -pose.matrix3.x_axis };
        let middle = DVec3::new(if high { size.x } else { 0.0 }, size.y / 2.0, size.z / 2.0);
        let from = pose.transform_point3(middle);
        let solid = self.boards[second.0].solid().map_err(|fault| fault.at_origin(origin))?;
        let placed = slatwork_solid::Placed { solid: &solid, pose: self.board_pose(second) };
        let layers = slatwork_solid::along(&placed, from - out * 20.0, from + out * 1_000.0);
        let deep = layers.first().map(|layer| layer.1 - layer.0);
        let thinner = size.z.min(self.boards[second.0].size().z);
        deep.map(|deep| (thinner, deep)).ok_or_else(|| self.no_end(first, second, origin))
    }

    /// The plane of a board's end, in board axes.
    fn shoulder(&self, board: BoardId, high: bool) -> HalfSpace {
        let draft = &self.boards[board.0];
        let square = if high {
            HalfSpace { normal: DVec3::X, offset: draft.size().x, tag: Tag::HIGH_END }
        } else {
            HalfSpace { normal: DVec3::NEG_X, offset: 0.0, tag: Tag::LOW_END }
        };
        draft.end_planes[usize::from(high)].unwrap_or(square)
    }

    /// Makes a board longer at one end by `by` mm, the wood already there staying where it is.
    fn grow_end(&mut self, board: BoardId, high: bool, by: f64, origin: Origin) {
        let draft = &mut self.boards[board.0];
        let length = draft.length.unwrap_or_default();
        draft.hold(origin);
        draft.length = Some(length + Length::mm(by));
        if let Some(rough) = draft.rough_length {
            draft.rough_length = Some(rough + Length::mm(by));
        }
        let grown = |plane: &mut HalfSpace| plane.offset += plane.normal.x.abs() * by;
        draft.end_planes[usize::from(high)].iter_mut().for_each(grown);
        if !high {
            draft.shift_origin(DVec3::new(-by, 0.0, 0.0), origin);
        }
        draft.forget_solid();
    }

    fn cut_tenon(
        &mut self,
        first: BoardId,
        second: BoardId,
        (shoulder, high): (HalfSpace, bool),
        (thickness, length, deep): (f64, f64, f64),
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        // Growing the low end has moved the board's origin out by the tenon.
        let at = if high { shoulder.offset } else { shoulder.offset + shoulder.normal.x * length };
        let (pose, other) = (self.board_pose(first), self.board_pose(second));
        let size = self.boards[first.0].size();
        // A tenon stands with its width along the grain of the mortise, so that it cuts few fibres.
        let grain = pose.matrix3.transpose() * other.matrix3.x_axis;
        let upright = grain.y.abs() >= grain.z.abs();
        let (thin, wide) = if upright { (DVec3::Z, DVec3::Y) } else { (DVec3::Y, DVec3::Z) };
        let (thin_size, wide_size) = (thin.dot(size), wide.dot(size));
        let cheek = (thin_size - thickness) / 2.0;
        let side = if wide_size > 4.0 * SHOULDER { SHOULDER } else { 0.0 };
        let plane = |normal: DVec3, offset: f64| HalfSpace { normal, offset, tag: Tag(0) };
        let beyond = plane(-shoulder.normal, -at);
        let mut regions = vec![
            Notch { planes: vec![beyond, plane(thin, cheek)] },
            Notch { planes: vec![beyond, plane(-thin, -(cheek + thickness))] },
        ];
        if side > 0.0 {
            let between = [plane(-thin, -cheek), plane(thin, cheek + thickness)];
            regions.push(Notch { planes: vec![beyond, plane(wide, side), between[0], between[1]] });
            let far = plane(-wide, -(wide_size - side));
            regions.push(Notch { planes: vec![beyond, far, between[0], between[1]] });
        }
        let name = self.boards[first.0].name.clone();
        let into = self.boards[second.0].name.clone();
        self.take_out(first, regions, NotchPurpose::Tenon { into }, Length::ZERO, When::AtBench, origin)?;
        let through = length > deep - 0.01;
        let bottom =
            at + shoulder.normal.x.abs() * if through { length + LEAD_IN } else { length + GLUE_ROOM };
        let tenon = [
            plane(thin, cheek + thickness),
            plane(-thin, -cheek),
            plane(wide, wide_size - side),
            plane(-wide, -side),
            plane(shoulder.normal, bottom),
            plane(-shoulder.normal, -(at - LEAD_IN)),
        ];
        let to_second = other.inverse() * pose;
        let moved = |plane: &HalfSpace| {
            let normal = to_second.matrix3 * plane.normal;
            HalfSpace { normal, offset: plane.offset + normal.dot(to_second.translation), tag: Tag(0) }
        };
        let mortise = Notch { planes: tenon.iter().map(moved).collect() };
        self.take_out(
            second,
            vec![mortise],
            NotchPurpose::Mortise { of: name.clone() },
            Length::ZERO,
            When::AtBench,
            origin,
        )?;
        self.still_one_piece(second, &name, origin)
    }
}
