//! Slats over bearers: laid side by side on a straight or curved line, each at its own tilt.

use super::layout::{Laid, Layout, LayoutFault, Odd, Start, Stop, Task, lay_out, stop_on_path};
use super::many::hold_at;
use super::side::{Among, CurveRef, Side, WorldPlane};
use super::{Bench, BoardId, BoardOrder, Claim, Direction, GroupHandle, Item};
use crate::{BoardEdge, ContactKind, FeatureKind};
use slatwork_base::{Diagnostic, Length, Origin, both_tapes, both_tapes_whole};
use slatwork_solid::{
    Across, CurveFault, DAffine3, DMat3, DVec2, DVec3, Path, PlaneMotion, Profile, Tag, Vertex,
};

/// The gap between neighbours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gap {
    /// Touching, edges bevelled where the bearer is hollow.
    Tight,
    /// A clear distance.
    Clear(Length),
    /// As even as a number of slats makes it.
    Equal(usize),
}

/// A slat sprung down to bearers that lie lower in its middle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spring {
    /// How far its middle goes down between the inner sides of the outermost bearers.
    pub rise: Length,
}

/// What to lay.
#[derive(Clone, Debug)]
pub struct RunOrder {
    /// What the slats are cut from.
    pub stock: BoardOrder,
    /// Widths in the order laid, repeated; empty for the stock's own.
    pub widths: Vec<Length>,
    /// The bearers: boards whose outline towards `face` the slats lie on.
    pub over: Vec<BoardId>,
    /// Where the slats look, away from the bearers.
    pub face: Direction,
    /// Which way their grain runs.
    pub grain: Direction,
    /// Side the run starts at.
    pub from: Side,
    /// Clear room left at the start; negative overhangs.
    pub from_gap: Length,
    /// Side the run ends at.
    pub to: Side,
    /// Clear room left at the end.
    pub to_gap: Length,
    /// Between neighbours.
    pub gap: Gap,
    /// Symmetry.
    pub start: Start,
    /// What becomes of the remainder.
    pub odd: Odd,
    /// Narrowest rip.
    pub least: Length,
    /// Width of the first slat, if it is its own.
    pub first_width: Option<Length>,
    /// The low end of the slats stands this far off a side.
    pub low: Option<(Side, Length)>,
    /// The high end of the slats stands this far off a side.
    pub high: Option<(Side, Length)>,
    /// Length of the slats, when one end or none is given.
    pub length: Option<Length>,
    /// Past the outermost bearers at both ends, when neither end nor length is given.
    pub overhang: Length,
    /// Sprung to lower bearers in the middle.
    pub spring: Option<Spring>,
}

/// Bevels under this angle are left square: a twentieth of a degree, finer than a plane is set.
const LEAST_BEVEL_SINE: f64 = 0.000_87;

/// The path is carried on straight past both ends by this, mm: more than the widest board.
const CARRIED_ON: f64 = 600.0;

/// A bearer whose edge rises by less than this from arris to arris carries all across, mm: a tenth of what counts as touching.
const SQUARE: f64 = 0.005;

/// The frame of a run in the world: origin, the way it is laid, the way the slats look, their grain.
struct Frame {
    origin: DVec3,
    travel: DVec3,
    face: DVec3,
    grain: DVec3,
}

impl Frame {
    fn flat(&self, point: DVec3) -> DVec2 {
        DVec2::new(self.travel.dot(point - self.origin), self.face.dot(point - self.origin))
    }

    fn solid(&self, point: DVec2) -> DVec3 {
        self.origin + self.travel * point.x + self.face * point.y
    }

    fn solid_direction(&self, direction: DVec2) -> DVec3 {
        self.travel * direction.x + self.face * direction.y
    }
}

impl Bench {
    /// Lays slats over bearers from one side to another. Returns them in the order laid.
    pub fn run(
        &mut self,
        group: GroupHandle,
        name: &str,
        order: &RunOrder,
        origin: Origin,
    ) -> Result<Vec<BoardId>, Diagnostic> {
        let section =
            self.catalogue.section(&order.stock.stock).map_err(|fault| fault.at_origin(origin))?.clone();
        let stock_width = order.stock.width.unwrap_or(section.width);
        let thickness = order.stock.thickness.unwrap_or(section.thickness);
        let frame = self.run_frame(group, order, origin)?;
        let path = self.run_path(&frame, order, origin)?;
        let from = self.stop(&frame, &order.from, order.from_gap, false, origin)?;
        let to = self.stop(&frame, &order.to, order.to_gap, true, origin)?;
        let widths = if order.widths.is_empty() { vec![stock_width] } else { order.widths.clone() };
        let path = path.extended(CARRIED_ON);
        let wood_from = if order.from_gap < Length::ZERO {
            let edge = self.stop(&frame, &order.from, Length::ZERO, false, origin)?;
            stop_on_path(&path, edge)
                .map_err(|fault| run_fault(name, &fault, order.least).at_origin(origin))?
        } else {
            0.0
        };
        let task = Task {
            path,
            wood_from,
            from,
            to,
            thickness: thickness.as_mm(),
            gap: match order.gap {
                Gap::Tight => None,
                Gap::Clear(gap) => Some(gap.as_mm()),
                Gap::Equal(_) => Some(0.0),
            },
            widths: widths.iter().map(|width| width.as_mm()).collect(),
            first: order.first_width.map(Length::as_mm),
            odd: order.odd,
            start: order.start,
            least: order.least.as_mm(),
            count: match order.gap {
                Gap::Equal(count) => Some(count.max(1)),
                _ => None,
            },
        };
        let layout =
            lay_out(&task).map_err(|fault| run_fault(name, &fault, order.least).at_origin(origin))?;
        let (low, length) = self.run_ends(&frame, order, origin)?;
        let slats = self.make_slats(group, name, order, &frame, &layout, (low, length), origin)?;
        if order.gap == Gap::Tight {
            self.bevel_neighbours(&slats, &layout, &frame, origin)?;
        }
        self.spring_slats(&slats, order, &frame, (low, length), origin)?;
        for slat in &slats {
            for bearer in &order.over {
                self.claims.push(Claim {
                    a: Item::Board(*slat),
                    b: Item::Board(*bearer),
                    kind: ContactKind::Run,
                    origin,
                });
            }
        }
        Ok(slats)
    }

    fn run_frame(&self, group: GroupHandle, order: &RunOrder, origin: Origin) -> Result<Frame, Diagnostic> {
        let Some(bearer) = order.over.first() else {
            return Err(Diagnostic::error("run-over-nothing", "a run needs bearers to lie on")
                .at_origin(origin)
                .help("give `over: [..]`, the parts the slats lie on"));
        };
        let turned = self.group_pose(group.0).matrix3;
        let (face, grain) = (turned * order.face.vector(), turned * order.grain.vector());
        let mut travel = face.cross(grain);
        if travel.length() < 0.5 {
            return Err(
                Diagnostic::error("grain-along-face", "slats cannot run the way they look").at_origin(origin)
            );
        }
        let (from, to) = (self.plane_at(&order.from, origin)?, self.plane_at(&order.to, origin)?);
        if travel.dot(to.point - from.point) < 0.0 {
            travel = -travel;
        }
        let pose = self.board_pose(*bearer);
        Ok(Frame { origin: pose.translation, travel, face, grain })
    }

    /// The first bearer's outline in the plane of the run.
    fn run_path(&self, frame: &Frame, order: &RunOrder, origin: Origin) -> Result<Path, Diagnostic> {
        let bearer = order.over[0];
        let curve = CurveRef { board: bearer, direction: order.face };
        let group = self.group_pose(self.boards[bearer.0].group).matrix3;
        if (group * order.face.vector()).dot(frame.face) < 1.0 - 1e-9 {
            return Err(Diagnostic::error(
                "run-across-frames",
                "the run and its bearers look different ways",
            )
            .at_origin(origin)
            .help("lay the run in the group its bearers belong to"));
        }
        let outline = self.outline_looking(bearer, order.face).map_err(|fault| fault.at_origin(origin))?;
        let to_world = self.proud_frame(&curve, (outline.start(), outline.end()), frame.grain, frame.face);
        let zero = frame.flat(to_world(DVec2::ZERO));
        let along = frame.flat(to_world(DVec2::X)) - zero;
        if along.x.abs() < 0.5 {
            return Err(Diagnostic::error(
                "run-along-bearer",
                format!("slats of this run would lie along `{}`", self.boards[bearer.0].name),
            )
            .at_origin(origin)
            .help("bearers run across the slats: give `grain:` the other way"));
        }
        let mut vertices: Vec<Vertex> = outline
            .vertices
            .iter()
            .map(|vertex| Vertex { point: frame.flat(to_world(vertex.point)), ..*vertex })
            .collect();
        if along.x < 0.0 {
            vertices = reversed(&vertices);
        }
        Ok(Path { vertices })
    }

    /// World place of a point of an outline (u along the grain, v towards the way it looks), in the middle of the edge.
    pub(super) fn outline_frame(&self, curve: &CurveRef) -> impl Fn(DVec2) -> DVec3 + use<> {
        self.outline_frame_at(curve, 0.5)
    }

    /// As [`Bench::outline_frame`], on the arris that carries what lies over the outline with that grain: a bearer that does
    /// not run square to it (sides that toe in) has its falling edge touched on one arris only.
    pub(super) fn proud_frame(
        &self,
        curve: &CurveRef,
        (start, end): (DVec2, DVec2),
        grain: DVec3,
        looks: DVec3,
    ) -> impl Fn(DVec2) -> DVec3 + use<> {
        let [low, middle, high] = [0.0, 0.5, 1.0].map(|share| self.outline_frame_at(curve, share));
        let normal = grain.cross(middle(end) - middle(start)).normalize_or_zero();
        let upward = if normal.dot(looks) < 0.0 { -normal } else { normal };
        let rises = upward.dot(high(start) - low(start));
        if rises > SQUARE {
            high
        } else if rises < -SQUARE {
            low
        } else {
            middle
        }
    }

    /// World place of a point of an outline, at a share of the extent across it, from the low face or edge.
    fn outline_frame_at(&self, curve: &CurveRef, share: f64) -> impl Fn(DVec2) -> DVec3 + use<> {
        let draft = &self.boards[curve.board.0];
        let pose = self.board_pose(curve.board);
        let size = draft.size();
        let tag = self.side_tag(curve.board, curve.direction, Among::Sides).unwrap_or(Tag::HIGH_EDGE);
        let (y, z) = (size.y * share, size.z * share);
        move |point: DVec2| {
            pose.transform_point3(match tag {
                Tag::HIGH_EDGE => DVec3::new(point.x, point.y, z),
                Tag::LOW_EDGE => DVec3::new(point.x, size.y - point.y, z),
                Tag::HIGH_FACE => DVec3::new(point.x, y, point.y),
                _ => DVec3::new(point.x, y, size.z - point.y),
            })
        }
    }

    fn stop(
        &self,
        frame: &Frame,
        side: &Side,
        gap: Length,
        last: bool,
        origin: Origin,
    ) -> Result<Stop, Diagnostic> {
        let WorldPlane { normal, point } = self.plane_at(side, origin)?;
        let flat = DVec2::new(normal.dot(frame.travel), normal.dot(frame.face));
        if flat.x.abs() < 0.2 || normal.dot(frame.grain).abs() > 1e-6 {
            return Err(Diagnostic::error(
                "never-meets",
                format!(
                    "the run never meets the {} of `{}` squarely",
                    side.direction.word(),
                    self.name(side.item)
                ),
            )
            .at_origin(origin)
            .help("name sides across the way the slats are laid"));
        }
        let normal = if flat.x < 0.0 { -flat } else { flat };
        let at = normal.dot(frame.flat(point));
        let gap = gap.as_mm() * if last { -1.0 } else { 1.0 };
        Ok(Stop { normal, offset: at + gap })
    }

    /// Place of the slats' low end along the grain in the world, and their length, mm.
    fn run_ends(&self, frame: &Frame, order: &RunOrder, origin: Origin) -> Result<(f64, f64), Diagnostic> {
        let at = |side: &Side, gap: Length, inward: f64| -> Result<f64, Diagnostic> {
            let plane = self.plane_at(side, origin)?;
            if plane.normal.dot(frame.grain).abs() < 1.0 - 1e-6 {
                return Err(Diagnostic::error(
                    "sides-not-parallel",
                    "slats end square: that side is not square to their grain",
                )
                .at_origin(origin)
                .help("give `length:` and cut the slats to that side with `cut_to` or `trim`"));
            }
            Ok(frame.grain.dot(plane.point) + inward * gap.as_mm())
        };
        let length = order.length.map(Length::as_mm);
        let (low, high) = match (&order.low, &order.high, length) {
            (Some((low, gap)), Some((high, high_gap)), _) => {
                (at(low, *gap, 1.0)?, at(high, *high_gap, -1.0)?)
            }
            (Some((low, gap)), None, Some(length)) => {
                let low = at(low, *gap, 1.0)?;
                (low, low + length)
            }
            (None, Some((high, gap)), Some(length)) => {
                let high = at(high, *gap, -1.0)?;
                (high - length, high)
            }
            _ => self.run_ends_by_bearers(frame, order, length, origin)?,
        };
        if high - low < 1.0 {
            return Err(Diagnostic::error(
                "no-room-between",
                format!("the slats would be {} long", both_tapes(high - low)),
            )
            .at_origin(origin)
            .help("look at the sides their ends stand off"));
        }
        Ok((low, high - low))
    }

    fn run_ends_by_bearers(
        &self,
        frame: &Frame,
        order: &RunOrder,
        length: Option<f64>,
        origin: Origin,
    ) -> Result<(f64, f64), Diagnostic> {
        let mut reach = (f64::INFINITY, f64::NEG_INFINITY);
        for bearer in &order.over {
            let (low, high) = self.reach(Item::Board(*bearer), frame.grain, origin)?;
            reach = (reach.0.min(low), reach.1.max(high));
        }
        let past = order.overhang.as_mm();
        Ok(match length {
            Some(length) => ((reach.0 + reach.1 - length) / 2.0, (reach.0 + reach.1 + length) / 2.0),
            None => (reach.0 - past, reach.1 + past),
        })
    }

    #[expect(clippy::too_many_arguments, reason = "one step of `run`, split off only for its length")]
    fn make_slats(
        &mut self,
        group: GroupHandle,
        name: &str,
        order: &RunOrder,
        frame: &Frame,
        layout: &Layout,
        ends: (f64, f64),
        origin: Origin,
    ) -> Result<Vec<BoardId>, Diagnostic> {
        let many = layout.slats.len() > 1;
        let to_group = self.group_pose(group.0).inverse();
        layout
            .slats
            .iter()
            .enumerate()
            .map(|(index, laid)| {
                let label = if many { format!("{name} {}", index + 1) } else { name.to_string() };
                let stock =
                    BoardOrder { length: Some(Length::mm(ends.1)), width: None, ..order.stock.clone() };
                let board = self.board(group, &label, &stock, origin)?;
                self.rip(board, Length::mm(laid.width), origin)?;
                let pose = to_group * slat_pose(frame, laid, ends.0);
                let draft = &mut self.boards[board.0];
                draft.rotation = pose.matrix3;
                hold_at(draft, pose.translation, origin);
                Ok(board)
            })
            .collect()
    }

    /// Bevels the edges of tight slats to the plane that halves the angle between neighbours, so that they close.
    fn bevel_neighbours(
        &mut self,
        slats: &[BoardId],
        layout: &Layout,
        frame: &Frame,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        for index in 1..slats.len() {
            let (left, right) = (layout.slats[index - 1], layout.slats[index]);
            let sine = left.along.perp_dot(right.along);
            // Only where neighbours lean towards each other; on a crown the lower edges touch.
            if sine <= LEAST_BEVEL_SINE {
                continue;
            }
            let between = (left.along + right.along).normalize();
            let point = right.corner;
            for (slat, laid, outward) in [(slats[index - 1], left, 1.0), (slats[index], right, -1.0)] {
                self.bevel_to(slat, &laid, frame, (between * outward, point), origin)?;
            }
        }
        Ok(())
    }

    /// Cuts the slat's edge at the line through `point` with that outward normal, both in the plane of the run.
    fn bevel_to(
        &mut self,
        slat: BoardId,
        laid: &Laid,
        frame: &Frame,
        (outward, point): (DVec2, DVec2),
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let width = self.boards[slat.0].width.as_mm();
        let (along, up) = (outward.dot(laid.along), outward.dot(laid.up));
        let at = DVec2::new(laid.along.dot(point - laid.corner), laid.up.dot(point - laid.corner));
        // The board's y runs along the run or against it, by its grain.
        let forward = self.board_pose(slat).matrix3.y_axis.dot(frame.solid_direction(laid.along)) > 0.0;
        let normal = DVec3::new(0.0, if forward { along } else { -along }, up);
        let place = DVec3::new(0.0, if forward { at.x } else { width - at.x }, at.y);
        let edge = if normal.y > 0.0 { BoardEdge::High } else { BoardEdge::Low };
        self.bevel_edge(slat, edge, normal, normal.dot(place), origin)
    }

    /// Bends slats: flat on the outermost bearers, their middle `rise` lower.
    fn spring_slats(
        &mut self,
        slats: &[BoardId],
        order: &RunOrder,
        frame: &Frame,
        ends: (f64, f64),
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let Some(spring) = order.spring.filter(|spring| spring.rise.is_positive()) else { return Ok(()) };
        let mut inner = (f64::INFINITY, f64::NEG_INFINITY);
        for bearer in &order.over {
            let (low, high) = self.reach(Item::Board(*bearer), frame.grain, origin)?;
            inner = (inner.0.min(high - ends.0), inner.1.max(low - ends.0));
        }
        let refused = |reason: String| {
            Diagnostic::error("sprung-too-far", reason)
                .at_origin(origin)
                .help("spring it less, use thinner slats, or set the outer bearers further apart")
        };
        for slat in slats {
            let draft = &mut self.boards[slat.0];
            let thickness = draft.thickness.as_mm();
            let line = sprung_line(inner.1 - inner.0, spring.rise.as_mm())
                .map_err(|fault| refused(format!("a slat cannot be sprung {}: {fault}", spring.rise)))?;
            let radius = line.vertices.first().map_or(f64::INFINITY, |_| 1.0 / line.curvature_at(0.1).abs());
            if radius < TIGHTEST_BEND * thickness {
                return Err(refused(format!(
                    "`{}` would be bent to a radius of {}, {:.0} times its thickness",
                    draft.name,
                    both_tapes_whole(radius),
                    radius / thickness
                )));
            }
            draft.outline =
                Some(sprung(&line, ends.1, thickness, inner).map_err(|f| refused(f.to_string()))?);
            draft.across = Across::Width;
            draft.add(FeatureKind::Spring { rise: spring.rise }, origin);
        }
        Ok(())
    }
}

/// Clear straight wood bent to this many times its thickness breaks (trade practice; derived for E/MOR about 130).
pub const BREAKING_BEND: f64 = 67.0;

/// A slat is bent no tighter than this many times its thickness (trade practice: at 130 times it is half way to breaking).
pub const TIGHTEST_BEND: f64 = 100.0;

/// The underside of a sprung slat between the inner sides of its outermost bearers, from (0, 0) to (span, 0): it leaves both
/// level and lies `rise` lower in its middle, in four equal arcs.
pub fn sprung_line(span: f64, rise: f64) -> Result<Path, CurveFault> {
    let (middle, end) = (DVec2::new(span / 2.0, -rise), DVec2::new(span, 0.0));
    let down = slatwork_solid::ogee(DVec2::ZERO, middle, DVec2::X)?;
    down.join(&slatwork_solid::ogee(middle, end, DVec2::X)?)
}

/// The profile in (x, z) of a slat bent to `line` between `inner`, flat beyond. Its middle line is `length` long.
fn sprung(line: &Path, length: f64, thickness: f64, inner: (f64, f64)) -> Result<Profile, CurveFault> {
    let line = line.transformed(PlaneMotion::shift(DVec2::new(inner.0, 0.0)));
    let bent = line.offset(thickness / 2.0)?.length();
    let (before, after) = (inner.0, length - inner.1);
    // Bending draws both ends in by half of what the bend is longer than its chord.
    let drawn_in = (bent - (inner.1 - inner.0)) / 2.0;
    let lower =
        line.extended_at_start(before - drawn_in).extended_at_end(after - drawn_in).with_tag(Tag::LOW_FACE);
    let upper = lower.offset(thickness)?.with_tag(Tag::HIGH_FACE).reversed();
    let mut vertices = lower.vertices;
    if let Some(last) = vertices.last_mut() {
        (last.bulge, last.tag) = (0.0, Tag::HIGH_END);
    }
    vertices.extend(upper.vertices);
    if let Some(last) = vertices.last_mut() {
        (last.bulge, last.tag) = (0.0, Tag::LOW_END);
    }
    Ok(Profile { vertices })
}

fn reversed(vertices: &[Vertex]) -> Vec<Vertex> {
    let count = vertices.len();
    (0..count)
        .map(|index| {
            let here = vertices[count - 1 - index];
            let edge = if index + 1 < count { vertices[count - 2 - index] } else { here };
            Vertex {
                point: here.point,
                bulge: if index + 1 < count { -edge.bulge } else { 0.0 },
                tag: edge.tag,
            }
        })
        .collect()
}

fn slat_pose(frame: &Frame, laid: &Laid, low: f64) -> DAffine3 {
    let (x, z) = (frame.grain, frame.solid_direction(laid.up));
    let y = z.cross(x);
    let forward = y.dot(frame.solid_direction(laid.along)) > 0.0;
    let corner = if forward { laid.corner } else { laid.corner + laid.along * laid.width };
    let place = frame.solid(corner);
    let along = low - frame.grain.dot(place);
    DAffine3::from_mat3_translation(DMat3::from_cols(x, y, z), place + frame.grain * along)
}

pub(super) fn run_fault(name: &str, fault: &LayoutFault, least: Length) -> Diagnostic {
    match fault {
        LayoutFault::NoRoom(room) => Diagnostic::error("no-room-between", format!("not one `{name}` fits: there is room for {}", both_tapes(*room)))
            .help("choose a narrower section, or set the sides further apart"),
        LayoutFault::Sliver(width) => Diagnostic::error(
            "run-leaves-sliver",
            format!("the odd `{name}` would be ripped to {}, under the least of {}", both_tapes(*width), both_tapes(least.as_mm())),
        )
        .help("change the gap a little, put the remainder into the gaps (`odd: \"gaps\"`), or allow a smaller `least`"),
        LayoutFault::Gap(gap) => Diagnostic::error("gaps-do-not-close", format!("the gaps of `{name}` would come out {}", both_tapes(*gap)))
            .help("ask for fewer or narrower slats"),
        LayoutFault::Path => Diagnostic::error("run-leaves-bearer", format!("`{name}` finds no place to lie on its bearer"))
            .help("the bearer's outline bends too sharply for that width, or the run leaves it"),
    }
}
