//! Sizes: length, rip, plane, match width, and the bevel that carries a neighbour's line on.

use super::draft::Draft;
use super::side::{Among, CurveRef, Side, WorldPlane};
use super::{Bench, BoardId, Direction, Item};
use crate::{BoardEdge, BoardEnd, FeatureKind, Fit, Softened, When};
use slatwork_base::{Angle, Diagnostic, Length, Origin, both_tapes, maths};
use slatwork_solid::{DVec3, HalfSpace, Tag};

/// A rip that takes off less than this leaves the section as it is: rounding, not a cut.
const NO_CUT: Length = Length::nm(1_000);

impl Bench {
    /// Sets the finished length.
    pub fn length(&mut self, board: BoardId, length: Length, origin: Origin) -> Result<(), Diagnostic> {
        let draft = &mut self.boards[board.0];
        if !length.is_positive() {
            return Err(Diagnostic::error(
                "size-not-positive",
                format!("`{}` cannot be {} long", draft.name, both_tapes(length.as_mm())),
            )
            .at_origin(origin)
            .help("give a length above zero; look at the sizes it is computed from"));
        }
        if let Some(earlier) = draft.length {
            return Err(Diagnostic::error(
                "size-said-twice",
                format!("`{}` is already {} long", draft.name, both_tapes(earlier.as_mm())),
            )
            .at_origin(origin)
            .help("say its length once, or let `between` find it"));
        }
        draft.length = Some(length);
        draft.forget_solid();
        Ok(())
    }

    /// Rips the board to a width, from its high edge.
    pub fn rip(&mut self, board: BoardId, width: Length, origin: Origin) -> Result<(), Diagnostic> {
        self.may_resize(board, Tag::HIGH_EDGE, width - self.boards[board.0].width, origin)?;
        let draft = &mut self.boards[board.0];
        let from = draft.width;
        if !width.is_positive() || width > from + NO_CUT {
            return Err(Diagnostic::error(
                "wider-than-stock",
                format!(
                    "`{}` cannot be ripped to {} from {}",
                    draft.name,
                    both_tapes(width.as_mm()),
                    both_tapes(from.as_mm())
                ),
            )
            .at_origin(origin)
            .help(format!(
                "choose a wider section than {}, or glue it up from strips (`glue_up: 2`)",
                draft.section.name
            )));
        }
        if from - width <= NO_CUT {
            return Ok(());
        }
        draft.width = width;
        draft.add(FeatureKind::Rip { width, from }, origin);
        Ok(())
    }

    /// Planes the board to a thickness.
    pub fn plane_to(&mut self, board: BoardId, thickness: Length, origin: Origin) -> Result<(), Diagnostic> {
        self.may_resize(board, Tag::HIGH_FACE, thickness - self.boards[board.0].thickness, origin)?;
        let draft = &mut self.boards[board.0];
        let from = draft.thickness;
        if !thickness.is_positive() || thickness > from + NO_CUT {
            return Err(Diagnostic::error(
                "thicker-than-stock",
                format!(
                    "`{}` cannot be planed to {} from {}",
                    draft.name,
                    both_tapes(thickness.as_mm()),
                    both_tapes(from.as_mm())
                ),
            )
            .at_origin(origin)
            .help(format!("choose a thicker section than {}", draft.section.name)));
        }
        if from - thickness <= NO_CUT {
            return Ok(());
        }
        draft.thickness = thickness;
        draft.add(FeatureKind::Plane { thickness, from }, origin);
        Ok(())
    }

    fn may_resize(&self, board: BoardId, moves: Tag, by: Length, origin: Origin) -> Result<(), Diagnostic> {
        let draft = &self.boards[board.0];
        let used = draft.used.iter().find(|(tag, _)| *tag == moves);
        match used {
            Some((_, at)) if by.abs() > NO_CUT => Err(Diagnostic::error(
                "size-already-used",
                format!("the size of `{}` was already used to place another part", draft.name),
            )
            .at_origin(origin)
            .with_origin(*at, "used here")
            .help("size a part before other parts are placed by it")),
            _ => Ok(()),
        }
    }

    /// Rips the board so that it is as wide as that side reaches in the direction of the board's width.
    pub fn match_width(&mut self, board: BoardId, side: &Side, origin: Origin) -> Result<(), Diagnostic> {
        let across = self.board_pose(board).matrix3.y_axis;
        let extent = self.side_extent(side, across, origin)?;
        self.rip(board, Length::mm(extent), origin)
    }

    /// How far a side's own face reaches along a world direction, mm.
    pub fn side_extent(&self, side: &Side, direction: DVec3, origin: Origin) -> Result<f64, Diagnostic> {
        let Item::Board(other) = side.item else {
            let (low, high) = self.reach(side.item, direction, origin)?;
            return Ok(high - low);
        };
        let plane = self.plane_at(side, origin)?;
        let solid = self.boards[other.0].solid().map_err(|fault| fault.at_origin(origin))?;
        let pose = self.board_pose(other);
        let mut reach = (f64::INFINITY, f64::NEG_INFINITY);
        for face in solid.faces() {
            let on_plane = (pose.matrix3 * face.normal).dot(plane.normal) > 1.0 - 1e-6;
            for point in face.loops.iter().flat_map(|ring| &ring.points).filter(|_| on_plane) {
                let world = pose.transform_point3(*point);
                if (plane.normal.dot(world) - plane.offset()).abs() < 1e-3 {
                    let along = direction.dot(world);
                    reach = (reach.0.min(along), reach.1.max(along));
                }
            }
        }
        if reach.0 > reach.1 {
            return Err(Diagnostic::error(
                "side-is-gone",
                format!("the {} of `{}` has been cut away", side.direction.word(), self.name(side.item)),
            )
            .at_origin(origin));
        }
        Ok(reach.1 - reach.0)
    }

    /// Planes an edge of the board so that it carries a neighbour's curve on: the plane touches the curve at the end
    /// nearer to the board, or lies `below` it. The board is first ripped as wide as the plane asks for.
    pub fn carry_on(
        &mut self,
        board: BoardId,
        edge: &str,
        curve: &CurveRef,
        below: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let direction = Direction::parse(edge).map_err(|fault| fault.at_origin(origin))?;
        let tag = self.side_tag(board, direction, Among::Edges).map_err(|fault| fault.at_origin(origin))?;
        let mut plane = self.tangent_plane(board, curve, origin)?;
        plane.point -= plane.normal * below.as_mm();
        let pose = self.board_pose(board);
        let normal = pose.matrix3.transpose() * plane.normal;
        let edge_of_board = if tag == Tag::HIGH_EDGE { BoardEdge::High } else { BoardEdge::Low };
        let outward = if edge_of_board == BoardEdge::High { 1.0 } else { -1.0 };
        if normal.y * outward < 0.2 {
            return Err(Diagnostic::error(
                "cannot-carry-on",
                format!(
                    "the {edge} edge of `{}` cannot carry that line on: it is too steep there",
                    self.boards[board.0].name
                ),
            )
            .at_origin(origin)
            .help("make the curve flatter at its end"));
        }
        let offset = normal.dot(pose.inverse().transform_point3(plane.point));
        self.rip_to_plane(board, edge_of_board, normal, offset, origin)?;
        self.bevel_edge(board, edge_of_board, normal, offset, origin)
    }

    /// The plane that touches the curve at its end nearer to the board, normal looking the curve's way.
    fn tangent_plane(
        &self,
        board: BoardId,
        curve: &CurveRef,
        origin: Origin,
    ) -> Result<WorldPlane, Diagnostic> {
        let path =
            self.outline_looking(curve.board, curve.direction).map_err(|fault| fault.at_origin(origin))?;
        if path.vertices.len() < 2 {
            return Err(
                Diagnostic::error("no-curve-that-way", "that part has no outline there").at_origin(origin)
            );
        }
        let looks = self.group_pose(self.boards[curve.board.0].group).matrix3 * curve.direction.vector();
        let grain = self.board_pose(board).matrix3.x_axis;
        let to_world = self.proud_frame(curve, (path.start(), path.end()), grain, looks);
        let middle = self.board_pose(board).transform_point3(self.boards[board.0].size() / 2.0);
        let ends = [(path.start(), path.tangent_at_start()), (path.end(), path.tangent_at_end())];
        let world =
            ends.map(|(point, tangent)| (to_world(point), to_world(point + tangent) - to_world(point)));
        let (point, tangent) =
            if world[0].0.distance(middle) <= world[1].0.distance(middle) { world[0] } else { world[1] };
        // Along the board's own grain, so that one bevel makes it.
        let mut normal = grain.cross(tangent).normalize_or(looks);
        if normal.dot(looks) < 0.0 {
            normal = -normal;
        }
        Ok(WorldPlane { normal, point })
    }

    /// Sets the width so that the plane just cuts the whole of that edge.
    fn rip_to_plane(
        &mut self,
        board: BoardId,
        edge: BoardEdge,
        normal: DVec3,
        offset: f64,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        if edge == BoardEdge::Low {
            return Ok(());
        }
        let draft = &self.boards[board.0];
        let at = |z: f64| (offset - normal.z * z) / normal.y;
        let widest = at(0.0).max(at(draft.thickness.as_mm()));
        let stock = draft.section.width.as_mm() * draft.strips as f64;
        if widest > stock + 1e-6 {
            return Err(Diagnostic::error(
                "wider-than-stock",
                format!(
                    "`{}` must be {} wide to carry that line on, and {} is {}",
                    draft.name,
                    both_tapes(widest),
                    draft.section.name,
                    both_tapes(stock)
                ),
            )
            .at_origin(origin)
            .help("choose a wider section, or make the curve end lower"));
        }
        self.may_resize(board, Tag::HIGH_EDGE, Length::mm(widest) - self.boards[board.0].width, origin)?;
        let draft = &mut self.boards[board.0];
        draft.features.retain(|feature| !matches!(feature.kind, FeatureKind::Rip { .. }));
        draft.width = Length::mm(stock);
        draft.forget_solid();
        self.rip(board, Length::mm(widest), origin)
    }

    /// Cuts an edge to a plane in board axes.
    pub(super) fn bevel_edge(
        &mut self,
        board: BoardId,
        edge: BoardEdge,
        normal: DVec3,
        offset: f64,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let draft = &mut self.boards[board.0];
        if 1.0 - normal.y.abs() < 1e-12 {
            return Ok(());
        }
        let tag = Draft::edge_tag(edge);
        let plane = HalfSpace { normal, offset, tag };
        draft.edge_planes[usize::from(edge == BoardEdge::High)] = Some(plane);
        let angle = Angle::rad(maths::atan2(-normal.z, normal.y.abs()));
        draft.add(FeatureKind::BevelRip { edge, angle, plane }, origin);
        Ok(())
    }

    /// Cuts an end square across or along a side's plane: `part.cut_to("down", floor_side)`.
    pub fn cut_to(
        &mut self,
        board: BoardId,
        end: &str,
        side: &Side,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let direction = Direction::parse(end).map_err(|fault| fault.at_origin(origin))?;
        let tag = self.side_tag(board, direction, Among::Ends).map_err(|fault| fault.at_origin(origin))?;
        let end = if tag == Tag::HIGH_END { BoardEnd::High } else { BoardEnd::Low };
        let plane = self.plane_at(side, origin)?;
        self.cut_end_at(board, end, plane, origin)
    }

    /// Cuts an end along a world plane, so that the longest line along the grain just reaches it; the board is shortened or
    /// lengthened to suit.
    pub(super) fn cut_end_at(
        &mut self,
        board: BoardId,
        end: BoardEnd,
        plane: WorldPlane,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let length = self.boards[board.0].length_mm().map_err(|fault| fault.at_origin(origin))?;
        let pose = self.board_pose(board);
        let normal = pose.matrix3.transpose() * plane.normal;
        let name = self.boards[board.0].name.clone();
        if normal.x.abs() < 0.1 {
            return Err(Diagnostic::error(
                "never-meets",
                format!("`{name}` runs along that side and never meets it"),
            )
            .at_origin(origin));
        }
        let offset = normal.dot(pose.inverse().transform_point3(plane.point));
        let size = self.boards[board.0].size();
        let at = |y: f64, z: f64| (offset - normal.y * y - normal.z * z) / normal.x;
        let along = [at(0.0, 0.0), at(size.y, 0.0), at(0.0, size.z), at(size.y, size.z)];
        let least = along.iter().copied().fold(f64::INFINITY, f64::min);
        let most = along.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let left_over = if end == BoardEnd::High { most } else { length - least };
        if left_over < 1.0 {
            return Err(Diagnostic::error("nothing-left", format!("that cut leaves nothing of `{name}`"))
                .at_origin(origin)
                .help("make it longer, or cut it to another side"));
        }
        self.boards[board.0].hold(origin);
        match end {
            BoardEnd::High => self.boards[board.0].length = Some(Length::mm(most)),
            BoardEnd::Low => {
                self.boards[board.0].length = Some(Length::mm(length - least));
                self.boards[board.0].shift_origin(DVec3::new(least, 0.0, 0.0), origin);
            }
        }
        self.boards[board.0].forget_solid();
        self.cut_end(board, end, plane, origin);
        Ok(())
    }

    /// Rounds edges over, as data: "long edges" (the four along the grain), "ends", or "all edges".
    pub fn soften(
        &mut self,
        board: BoardId,
        edges: &str,
        radius: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let draft = &mut self.boards[board.0];
        let size = draft.size();
        let least = Length::mm(size.y.min(size.z) / 2.0);
        if !radius.is_positive() || radius > least {
            return Err(Diagnostic::error(
                "round-over-too-big",
                format!(
                    "`{}` cannot be rounded to {}: half its thickness is {}",
                    draft.name,
                    both_tapes(radius.as_mm()),
                    both_tapes(least.as_mm())
                ),
            )
            .at_origin(origin)
            .help("choose a smaller radius"));
        }
        let long = 4.0 * size.x;
        let ends = 4.0 * (size.y + size.z);
        let (length, words) = match edges {
            "long edges" => (long, "long edges"),
            "upper long edges" => (long / 2.0, "upper long edges"),
            "lower long edges" => (long / 2.0, "lower long edges"),
            "ends" => (ends, "ends"),
            "all edges" => (long + ends, "all edges"),
            other => {
                return Err(Diagnostic::error("no-such-edges", format!("`{other}` names no edges"))
                    .at_origin(origin)
                    .help("say \"long edges\", \"upper long edges\", \"lower long edges\", \"ends\" or \"all edges\""));
            }
        };
        let length = Length::mm(length);
        draft.softened.push(Softened { edges: words.to_string(), radius, length });
        draft.add(FeatureKind::Soften { edges: words.to_string(), radius, length }, origin);
        Ok(())
    }

    /// Says when what was last done to the board is made: in place, once the others stand, or marked from them.
    pub fn made(
        &mut self,
        board: BoardId,
        marked: bool,
        others: &[BoardId],
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let names: Vec<String> = others.iter().map(|other| self.boards[other.0].name.clone()).collect();
        let draft = &mut self.boards[board.0];
        let Some(feature) = draft.features.last_mut() else {
            return Err(Diagnostic::error(
                "nothing-made-yet",
                format!("nothing has been done to `{}` yet", draft.name),
            )
            .at_origin(origin)
            .help("say it right after the cut, notch or hole that it concerns"));
        };
        feature.when =
            if marked { When::MarkedFrom { parts: names } } else { When::InPlace { after: names } };
        Ok(())
    }

    /// Says that the board is fitted at the bench: left too big by `allowance`, trimmed at `trim`.
    pub fn fit(
        &mut self,
        board: BoardId,
        trim: &str,
        allowance: Length,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        if !allowance.is_positive() {
            return Err(
                Diagnostic::error("size-not-positive", "an allowance is more than nothing").at_origin(origin)
            );
        }
        self.boards[board.0].fit = Some(Fit { allowance, trim: trim.to_string() });
        Ok(())
    }
}
