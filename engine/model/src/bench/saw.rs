//! Outlines sawn from a pattern, and sets of parts cut in place by one line.

use super::side::{Among, CurveRef, Side};
use super::{Bench, BoardId, Direction, GroupHandle};
use crate::{Feature, FeatureKind, When};
use slatwork_base::{Diagnostic, Length, Origin, both_tapes};
use slatwork_solid::{Across, DVec2, DVec3, Keep, Path, Profile, Tag, Vertex, clip};

/// Left on the blank of a part whose end is sawn to a curve, to be cut away with the waste (common practice, no source).
const SAWN_END_ALLOWANCE: Length = Length::nm(12_000_000);

/// The line a set of parts is cut along.
#[derive(Clone, Debug)]
pub enum TrimLine {
    /// A straight line from side to side.
    Straight,
    /// An arc of a circle.
    Circle,
    /// The line of a batten pushed at its ends.
    Batten,
    /// The line of a batten held at its ends and pushed at the crown.
    CrownedBatten,
    /// Two humps with a soft valley between.
    DoubleBow,
    /// A line of the script's own over the chord from (0, 0) to (chord, 0).
    Own(Path),
}

/// A cut through a set of parts in place.
#[derive(Clone, Debug)]
pub struct TrimOrder {
    /// Kind of line.
    pub line: TrimLine,
    /// The chord runs from this side ...
    pub from: Side,
    /// ... to this one.
    pub to: Side,
    /// Side that the chord's ends lie on, and how far off it they are (outwards positive).
    pub level: (Side, Length),
    /// Height of the line's crown over the chord, towards the waste.
    pub rise: Length,
    /// Where the waste is.
    pub waste: Direction,
    /// What the line is, in the script's words.
    pub what: String,
}

/// Points of an outline may lie off the board by this, mm: a script's lengths are rounded to a nanometre at every step.
const ROUNDED: f64 = 2e-5;

/// Curves other than circles are kept as arcs within this of the true line, mm (a fifth of a pencil line's width).
pub(super) const FAIR: f64 = 0.02;

/// A straight cut this little out of square (as a sine) is square: finer than any mitre gauge.
const OUT_OF_SQUARE: f64 = 1e-4;

/// A line that takes less than this off a board misses it, mm2: a hair's breadth along an inch.
const LEAST_TAKEN: f64 = 1.0;

/// What a line leaves of an outline; why it does not, in words.
fn whole_or_sawn(profile: &Profile, line: &Path, keep: Keep) -> Result<Profile, String> {
    clip(profile, line, keep).map_err(|fault| fault.to_string())
}

/// What a line leaves of an outline that it takes something off.
fn sawn(profile: &Profile, line: &Path, keep: Keep) -> Result<Profile, String> {
    let left = whole_or_sawn(profile, line, keep)?;
    if profile.area().abs() - left.area().abs() < LEAST_TAKEN {
        return Err(String::from("all of it lies on the side that stays"));
    }
    Ok(left)
}

impl Bench {
    /// Gives a board a closed outline on its wide face: u along the grain from the low end, v across from the low edge.
    pub fn shape(
        &mut self,
        board: BoardId,
        outline: &Profile,
        what: &str,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let draft = &self.boards[board.0];
        let (low, high) = outline.bounds();
        let (length, width) =
            (draft.length_mm().map_err(|fault| fault.at_origin(origin))?, draft.width.as_mm());
        let inside =
            low.x >= -ROUNDED && low.y >= -ROUNDED && high.x <= length + ROUNDED && high.y <= width + ROUNDED;
        if !inside {
            return Err(Diagnostic::error(
                "outline-off-the-board",
                format!(
                    "the outline reaches along it from {} to {} and across from {} to {}, and `{}` is {} x {}",
                    both_tapes(low.x),
                    both_tapes(high.x),
                    both_tapes(low.y),
                    both_tapes(high.y),
                    draft.name,
                    both_tapes(length),
                    both_tapes(width)
                ),
            )
            .at_origin(origin)
            .help("make the board longer or wider, or the outline smaller"));
        }
        let tag = self.boards[board.0].next_tag();
        let mut outline = if outline.is_counter_clockwise() { outline.clone() } else { outline.reversed() };
        tag_outline(&mut outline, tag, length, width);
        if outline.self_crosses() {
            return Err(Diagnostic::error(
                "outline-crosses-itself",
                format!("the outline of `{}` crosses itself", self.boards[board.0].name),
            )
            .at_origin(origin)
            .help("give its points in order round the part"));
        }
        let line = Path {
            vertices: outline.vertices.iter().copied().chain(outline.vertices.first().copied()).collect(),
        };
        let draft = &mut self.boards[board.0];
        draft.outline = Some(outline);
        draft.across = Across::Thickness;
        draft.add(FeatureKind::Outline { line, what: what.to_string() }, origin);
        Ok(())
    }

    /// Saws one edge (or face, for a hollowed board) to a line: u along the grain from the low end, v towards `side` from the
    /// side that looks the other way. Wood beyond the line goes.
    pub fn saw(
        &mut self,
        board: BoardId,
        side: &str,
        line: &Path,
        what: &str,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let direction = Direction::parse(side).map_err(|fault| fault.at_origin(origin))?;
        let tag = self.side_tag(board, direction, Among::Sides).map_err(|fault| fault.at_origin(origin))?;
        let size = self.boards[board.0].size();
        self.boards[board.0].length_mm().map_err(|fault| fault.at_origin(origin))?;
        let (across, high, height) = match tag {
            Tag::HIGH_EDGE => (Across::Thickness, true, size.y),
            Tag::LOW_EDGE => (Across::Thickness, false, size.y),
            Tag::HIGH_FACE => (Across::Width, true, size.z),
            Tag::LOW_FACE => (Across::Width, false, size.z),
            _ => {
                return Err(Diagnostic::error(
                    "no-curve-that-way",
                    format!("`{}` looks {side} with an end", self.boards[board.0].name),
                )
                .at_origin(origin)
                .help("`saw` works along the grain; cut ends with `cut_to` or `trim`"));
            }
        };
        let line = if high { line.clone() } else { mirrored_in_height(line, height) };
        self.cut_outline(board, across, &line, high, what, When::AtBench, origin)
    }

    /// Cuts the outline by a line in board axes; `keep_below` keeps the side of smaller v.
    #[expect(
        clippy::too_many_arguments,
        reason = "shared by `saw` and `trim`; each argument is one of the facts of a cut"
    )]
    pub(super) fn cut_outline(
        &mut self,
        board: BoardId,
        across: Across,
        line: &Path,
        keep_below: bool,
        what: &str,
        when: When,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let draft = &mut self.boards[board.0];
        let tag = draft.next_tag();
        let line = line.with_tag(tag);
        let forward =
            line.vertices.last().zip(line.vertices.first()).is_some_and(|(b, a)| b.point.x >= a.point.x);
        let keep = if forward == keep_below { Keep::Right } else { Keep::Left };
        let size = draft.size();
        if draft.outline.is_some() && draft.across != across {
            return Err(Diagnostic::error(
                "outlined-both-ways",
                format!("`{}` already has an outline on another face", draft.name),
            )
            .at_origin(origin)
            .help("a board is sawn to lines on its wide face or on its edge, not both"));
        }
        let profile = match &draft.outline {
            Some(outline) => outline.clone(),
            None if across == Across::Thickness => {
                draft.profile().map_err(|fault| fault.at_origin(origin))?
            }
            None => edge_rectangle(size.x, size.z),
        };
        let outline = sawn(&profile, &line, keep).map_err(|fault| {
            Diagnostic::error(
                "line-misses-board",
                format!("that line does not cut `{}`: {fault}", draft.name),
            )
            .at_origin(origin)
            .help("the line must cross the board from side to side and leave one piece of it")
        })?;
        draft.outline = Some(outline);
        draft.across = across;
        draft.features.push(Feature {
            kind: FeatureKind::Outline { line, what: what.to_string() },
            when,
            origin,
        });
        draft.forget_solid();
        Ok(())
    }

    /// Cuts a set of parts, already in place, along one line; each gets its own outline, and its blank grows to suit. A line over
    /// several parts is fair only when it is struck over all of them, so it is made in place; a lone part, or one cut square, is
    /// sawn at the bench.
    pub fn trim(
        &mut self,
        group: GroupHandle,
        parts: &[BoardId],
        order: &TrimOrder,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let mut square = true;
        for part in parts {
            square &= self.trim_one(group, *part, order, origin)?;
        }
        if parts.len() > 1 && !square {
            for part in parts {
                if let Some(trimmed) = self.boards[part.0].features.last_mut() {
                    trimmed.when = When::InPlace { after: Vec::new() };
                }
            }
        }
        Ok(())
    }

    /// Cuts one part of a set; whether it is cut square.
    fn trim_one(
        &mut self,
        group: GroupHandle,
        part: BoardId,
        order: &TrimOrder,
        origin: Origin,
    ) -> Result<bool, Diagnostic> {
        let line = self.trim_line_on(group, part, order, origin)?;
        let waste = self.group_pose(group.0).matrix3 * order.waste.vector();
        let pose = self.board_pose(part);
        let local = pose.matrix3.transpose() * waste;
        if local.z.abs() > 0.01 {
            return Err(Diagnostic::error(
                "trim-through-thickness",
                format!("`{}` does not lie in the plane of that line", self.boards[part.0].name),
            )
            .at_origin(origin)
            .help("trim parts whose wide faces lie in the group's front, top or side plane"));
        }
        let at_end = local.x.abs() > local.y.abs();
        let line = if at_end { self.grow_to(part, &line, local.x > 0.0, origin)? } else { line };
        let draft = &mut self.boards[part.0];
        let tag = draft.next_tag();
        let line = line.with_tag(tag);
        // Waste lies to the left or to the right of the line's way.
        let (start, end) = (line.start(), line.end());
        let to_left = (end - start).perp().dot(DVec2::new(local.x, local.y)) > 0.0;
        let keep = if to_left { Keep::Right } else { Keep::Left };
        let profile = draft.profile().map_err(|fault| fault.at_origin(origin))?;
        // An end grows to the line first, and may come out just as long as it is cut.
        let cut = if at_end { whole_or_sawn } else { sawn };
        let outline = cut(&profile, &line, keep).map_err(|fault| {
            Diagnostic::error(
                "line-misses-board",
                format!("the {} does not cut `{}`: {fault}", order.what, draft.name),
            )
            .at_origin(origin)
            .help("raise or lower the line, or leave the part out of the trim")
        })?;
        draft.outline = Some(outline);
        draft.across = Across::Thickness;
        let square = is_square(&line);
        let kind = FeatureKind::Outline { line, what: order.what.clone() };
        draft.features.push(Feature { kind, when: When::AtBench, origin });
        draft.forget_solid();
        if at_end {
            self.settle_length(part, origin);
        }
        Ok(square)
    }

    /// The trim line in a part's board axes.
    fn trim_line_on(
        &self,
        group: GroupHandle,
        part: BoardId,
        order: &TrimOrder,
        origin: Origin,
    ) -> Result<Path, Diagnostic> {
        let turned = self.group_pose(group.0).matrix3;
        let up = turned * order.waste.vector();
        let (from, to) = (self.plane_at(&order.from, origin)?, self.plane_at(&order.to, origin)?);
        let level = self.plane_at(&order.level.0, origin)?;
        let way = (to.normal - up * up.dot(to.normal)).normalize_or_zero();
        let way = if way.dot(to.point - from.point) < 0.0 { -way } else { way };
        let chord = way.dot(to.point) - way.dot(from.point);
        if chord < 1.0 || way.dot(from.normal).abs() < 0.999 || up.dot(level.normal).abs() < 0.999 {
            return Err(Diagnostic::error(
                "no-chord",
                format!("the {} has no chord between those sides", order.what),
            )
            .at_origin(origin)
            .help(
                "give two sides across the line, the first one first, and a level side square to the waste",
            ));
        }
        let height = up.dot(level.point) + order.level.1.as_mm();
        let rise = order.rise.as_mm();
        let line = trim_path(order, chord, rise).map_err(|fault| fault.at_origin(origin))?;
        let pose = self.board_pose(part);
        let reach = self.boards[part.0].size().length() + chord;
        let line = line.extended(reach);
        let corner = way * way.dot(from.point) + up * height;
        let depth = way.cross(up);
        let base = corner + depth * depth.dot(pose.translation);
        let inverse = pose.inverse();
        let flat = |point: DVec2| {
            let local = inverse.transform_point3(base + way * point.x + up * point.y);
            DVec2::new(local.x, local.y)
        };
        // Seen from the part's other face the line turns the other way.
        let mirrored = (pose.matrix3.transpose() * depth).z < 0.0;
        let sign = if mirrored { -1.0 } else { 1.0 };
        let vertices = line.vertices.iter();
        Ok(Path {
            vertices: vertices
                .map(|vertex| Vertex {
                    point: flat(vertex.point),
                    bulge: sign * vertex.bulge,
                    tag: vertex.tag,
                })
                .collect(),
        })
    }

    /// Makes a part long enough at one end to reach a line, and returns the line in the board axes as they then are.
    fn grow_to(
        &mut self,
        part: BoardId,
        line: &Path,
        high: bool,
        origin: Origin,
    ) -> Result<Path, Diagnostic> {
        let width = self.boards[part.0].width.as_mm();
        let length = self.boards[part.0].length_mm().map_err(|fault| fault.at_origin(origin))?;
        let reach = reach_over_width(line, width, high).ok_or_else(|| {
            Diagnostic::error(
                "line-misses-board",
                format!("the line does not pass over `{}`", self.boards[part.0].name),
            )
            .at_origin(origin)
        })?;
        self.boards[part.0].hold(origin);
        let draft = &mut self.boards[part.0];
        let grow = if high { reach - length } else { -reach };
        if grow <= 0.0 {
            return Ok(line.clone());
        }
        let grow = grow + 1.0;
        draft.length = Some(Length::mm(length + grow));
        let low_by = if high { 0.0 } else { -grow };
        if low_by != 0.0 {
            draft.shift_origin(DVec3::new(low_by, 0.0, 0.0), origin);
        }
        if let Some(outline) = &mut draft.outline {
            stretch_end(outline, high, if high { length } else { grow }, length + grow);
        }
        draft.forget_solid();
        let vertices = line.vertices.iter();
        Ok(Path {
            vertices: vertices
                .map(|vertex| Vertex { point: vertex.point - DVec2::new(low_by, 0.0), ..*vertex })
                .collect(),
        })
    }

    /// Sets the length of a part to what its outline reaches, and its blank to that with an allowance.
    fn settle_length(&mut self, part: BoardId, origin: Origin) {
        let draft = &mut self.boards[part.0];
        let Some(outline) = &draft.outline else { return };
        let (low, high) = outline.bounds();
        draft.length = Some(Length::mm(high.x - low.x) + Length::nm(1));
        draft.rough_length = draft.length.map(|length| length + SAWN_END_ALLOWANCE);
        if low.x.abs() > 1e-9 {
            draft.shift_origin(DVec3::new(low.x, 0.0, 0.0), origin);
        }
        draft.forget_solid();
    }

    /// The curve of a board that looks one way, as a builder would read it: u along the grain, v from the opposite edge.
    pub fn curve(&self, curve: &CurveRef, origin: Origin) -> Result<Path, Diagnostic> {
        self.outline_looking(curve.board, curve.direction).map_err(|fault| fault.at_origin(origin))
    }
}

fn trim_path(order: &TrimOrder, chord: f64, rise: f64) -> Result<Path, Diagnostic> {
    let straight = || Path {
        vertices: [0.0, chord]
            .map(|x| Vertex { point: DVec2::new(x, 0.0), bulge: 0.0, tag: Tag(0) })
            .to_vec(),
    };
    if rise.abs() < 1e-6 && !matches!(order.line, TrimLine::Own(_)) {
        return Ok(straight());
    }
    let path = match &order.line {
        TrimLine::Straight => Ok(straight()),
        TrimLine::Circle => slatwork_solid::circle_over(chord, rise),
        TrimLine::Batten => slatwork_solid::batten_thrust(chord, rise, FAIR),
        TrimLine::CrownedBatten => slatwork_solid::batten_crown(chord, rise, FAIR),
        TrimLine::DoubleBow => slatwork_solid::double_bow(chord, rise),
        TrimLine::Own(path) => Ok(path.clone()),
    };
    path.map_err(|fault| {
        Diagnostic::error("no-such-curve", format!("the {} cannot be drawn: {fault}", order.what))
    })
}

/// Whether a line in board axes runs straight, square across or along the grain.
fn is_square(line: &Path) -> bool {
    let along = line.end() - line.start();
    let off = along.abs().min_element() / along.length();
    let is_on = |vertex: &Vertex| (vertex.point - line.start()).perp_dot(along).abs() < FAIR * along.length();
    off < OUT_OF_SQUARE && line.vertices.iter().all(|vertex| vertex.bulge == 0.0 && is_on(vertex))
}

/// Furthest place along the grain that a line reaches over a board's width.
fn reach_over_width(line: &Path, width: f64, high: bool) -> Option<f64> {
    // A chord step of a twentieth of a millimetre never misses a crown by more.
    let points = line.flatten(0.05);
    let mut reach: Option<f64> = None;
    let mut take = |x: f64| {
        reach = Some(reach.map_or(x, |r: f64| if high { r.max(x) } else { r.min(x) }));
    };
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        for point in [a, b] {
            if -1e-9 <= point.y && point.y <= width + 1e-9 {
                take(point.x);
            }
        }
        for edge in [0.0, width] {
            if (a.y - edge) * (b.y - edge) < 0.0 {
                take(a.x + (b.x - a.x) * (edge - a.y) / (b.y - a.y));
            }
        }
    }
    reach.map(|x| if high { x + 0.1 } else { x - 0.1 })
}

/// Moves the vertices of an outline that lie on the old end to the new one.
fn stretch_end(outline: &mut Profile, high: bool, old: f64, new_length: f64) {
    for vertex in &mut outline.vertices {
        if (vertex.point.x - old).abs() < 1e-6 {
            vertex.point.x = if high { new_length } else { 0.0 };
        }
    }
}

/// Edges of an outline that still lie on the blank's ends and edges keep those names; the rest is the pattern's.
fn tag_outline(outline: &mut Profile, tag: Tag, length: f64, width: f64) {
    let count = outline.vertices.len();
    for index in 0..count {
        let (a, b) = (outline.vertices[index].point, outline.vertices[(index + 1) % count].point);
        let both = |on: &dyn Fn(DVec2) -> bool| on(a) && on(b) && outline.vertices[index].bulge == 0.0;
        outline.vertices[index].tag = if both(&|p| p.x.abs() < 1e-6) {
            Tag::LOW_END
        } else if both(&|p| (p.x - length).abs() < 1e-6) {
            Tag::HIGH_END
        } else if both(&|p| p.y.abs() < 1e-6) {
            Tag::LOW_EDGE
        } else if both(&|p| (p.y - width).abs() < 1e-6) {
            Tag::HIGH_EDGE
        } else {
            tag
        };
    }
}

fn edge_rectangle(length: f64, thickness: f64) -> Profile {
    let mut profile = Profile::rectangle(length, thickness);
    profile.vertices[0].tag = Tag::LOW_FACE;
    profile.vertices[2].tag = Tag::HIGH_FACE;
    profile
}

fn mirrored_in_height(line: &Path, height: f64) -> Path {
    let vertices = line.vertices.iter();
    Path {
        vertices: vertices
            .map(|vertex| Vertex {
                point: vertex.point.with_y(height - vertex.point.y),
                bulge: -vertex.bulge,
                tag: vertex.tag,
            })
            .collect(),
    }
}
