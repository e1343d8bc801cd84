//! Slats spread like a hand: side by side at their lower ends, each turned a little further from upright.

use super::many::hold_at;
use super::side::{Side, WorldPlane};
use super::{Bench, BoardId, BoardOrder, Claim, Direction, GroupHandle, Item};
use crate::{BoardEnd, ContactKind, When};
use slatwork_base::{Angle, Diagnostic, Length, Origin, both_tapes, maths};
use slatwork_solid::{Across, DAffine3, DMat3, DVec2, DVec3, Path};

/// What to spread.
#[derive(Clone, Debug)]
pub struct FanOrder {
    /// What the slats are cut from.
    pub stock: BoardOrder,
    /// How many.
    pub count: usize,
    /// The rails they lie on: their sides that look `face` lie in one plane.
    pub over: Vec<BoardId>,
    /// Where the slats look.
    pub face: Direction,
    /// Which way the middle slat's grain runs.
    pub grain: Direction,
    /// Their lower ends are cut level and stand this far off a side.
    pub low: (Side, Length),
    /// The fan is centred on this part or group.
    pub centre: Item,
    /// Clear distance between neighbours at their lower ends.
    pub gap: Length,
    /// Turn between neighbours.
    pub step: Angle,
    /// Length along the middle of each slat.
    pub length: Length,
    /// Width at the foot, when the slats taper to it from their full width at the top.
    pub foot: Option<Length>,
}

/// Most slats of one fan.
const MOST_SLATS: usize = 60;

/// The line of a tapered edge is aimed this far past the upper end, mm, so that the saw leaves through the end and not along
/// the arris.
const PAST_THE_END: f64 = 1.0;

impl Bench {
    /// Lays a fan of slats; returns them from one side to the other, in the direction right (or up for fans that lie across).
    pub fn fan(
        &mut self,
        group: GroupHandle,
        name: &str,
        order: &FanOrder,
        origin: Origin,
    ) -> Result<Vec<BoardId>, Diagnostic> {
        if order.count == 0 || order.count > MOST_SLATS || order.over.is_empty() {
            return Err(Diagnostic::error(
                "fan-of-nothing",
                format!("a fan has 1 to {MOST_SLATS} slats over at least one rail"),
            )
            .at_origin(origin)
            .help("give `count:` and `over: [..]`"));
        }
        let steepest = order.step.as_rad().abs() * (order.count - 1) as f64 / 2.0;
        if steepest > 0.7 {
            return Err(Diagnostic::error(
                "fan-too-wide",
                format!("the outermost slat would lean {}", Angle::rad(steepest)),
            )
            .at_origin(origin)
            .help("use a smaller step or fewer slats"));
        }
        let turned = self.group_pose(group.0).matrix3;
        let (up, face) = (turned * order.grain.vector(), turned * order.face.vector());
        // Seen from the front with the grain up, the slats go from left to right.
        let across = up.cross(face);
        let across = if across.dot(turned * DVec3::ONE) < 0.0 { -across } else { across };
        let rail =
            self.side(Item::Board(order.over[0]), order.face.word(), super::side::Among::Sides, origin)?;
        let plane = self.plane_at(&rail, origin)?;
        let (low, high) = self.reach(order.centre, across, origin)?;
        let foot = self.plane_at(&order.low.0, origin)?;
        let level = up.dot(foot.point) + order.low.1.as_mm();
        let base = across * ((low + high) / 2.0) + up * level + face * face.dot(plane.point);
        let mut slats = Vec::with_capacity(order.count);
        for (index, (place, lean)) in fan_places(self, order, origin)?.into_iter().enumerate() {
            let board = self.board(group, &format!("{name} {}", index + 1), &order.stock, origin)?;
            let axis = Axis { foot: base + across * place, up, across, face, lean };
            self.place_fan_slat(board, group, order, &axis, origin)?;
            for rail in &order.over {
                self.claims.push(Claim {
                    a: Item::Board(board),
                    b: Item::Board(*rail),
                    kind: ContactKind::Run,
                    origin,
                });
            }
            slats.push(board);
        }
        Ok(slats)
    }

    fn place_fan_slat(
        &mut self,
        board: BoardId,
        group: GroupHandle,
        order: &FanOrder,
        axis: &Axis,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let (sine, cosine) = maths::sin_cos(axis.lean);
        let x = axis.up * cosine + axis.across * sine;
        let z = axis.face;
        let y = z.cross(x);
        let width = self.boards[board.0].width.as_mm();
        let below = width / 2.0 * (sine / cosine).abs();
        self.length(board, order.length + Length::mm(below), origin)?;
        let corner = axis.foot - x * below - y * (width / 2.0);
        let pose = self.group_pose(group.0).inverse()
            * DAffine3::from_mat3_translation(DMat3::from_cols(x, y, z), corner);
        let draft = &mut self.boards[board.0];
        draft.rotation = pose.matrix3;
        hold_at(draft, pose.translation, origin);
        self.cut_end_at(board, BoardEnd::Low, WorldPlane { normal: -axis.up, point: axis.foot }, origin)?;
        match order.foot {
            Some(foot) => self.taper_to(board, foot, below, origin),
            None => Ok(()),
        }
    }

    /// Saws both edges of a slat straight from its width at the foot, `below` mm above its low end, to its full width at the
    /// upper end.
    fn taper_to(
        &mut self,
        board: BoardId,
        foot: Length,
        below: f64,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let size = self.boards[board.0].size();
        let in_from_edge = (size.y - foot.as_mm()) / 2.0;
        if in_from_edge < 0.0 || !foot.is_positive() {
            return Err(Diagnostic::error(
                "foot-wider-than-slat",
                format!(
                    "`{}` is {} wide and cannot stand on a foot of {}",
                    self.name(Item::Board(board)),
                    both_tapes(size.y),
                    both_tapes(foot.as_mm())
                ),
            )
            .at_origin(origin)
            .help("give a `foot:` that is narrower than the slat, or leave it out"));
        }
        if in_from_edge < 1e-3 {
            return Ok(());
        }
        let low = Path::line(DVec2::new(below, in_from_edge), DVec2::new(size.x + PAST_THE_END, 0.0));
        let high =
            Path::line(DVec2::new(below, size.y - in_from_edge), DVec2::new(size.x + PAST_THE_END, size.y));
        for (line, keep_below) in [(low, false), (high, true)] {
            let line = line.extended(size.x);
            let across = Across::Thickness;
            self.cut_outline(board, across, &line, keep_below, "taper", When::AtBench, origin)?;
        }
        Ok(())
    }
}

/// Where one slat of a fan stands: its foot, the way up, the way across, where it looks, and its lean in radians.
struct Axis {
    foot: DVec3,
    up: DVec3,
    across: DVec3,
    face: DVec3,
    lean: f64,
}

/// Place of each slat's middle line at the foot, mm from the centre, and its lean in radians.
fn fan_places(bench: &Bench, order: &FanOrder, origin: Origin) -> Result<Vec<(f64, f64)>, Diagnostic> {
    let section = bench.catalogue.section(&order.stock.stock).map_err(|fault| fault.at_origin(origin))?;
    let width = order.foot.or(order.stock.width).unwrap_or(section.width).as_mm();
    let middle = (order.count - 1) as f64 / 2.0;
    let lean = |index: usize| order.step.as_rad() * (index as f64 - middle);
    let half = |index: usize| width / (2.0 * maths::cos(lean(index)));
    let mut places = vec![0.0];
    for index in 1..order.count {
        let before = places[index - 1];
        places.push(before + half(index - 1) + order.gap.as_mm() + half(index));
    }
    let centre = (places[0] + places[order.count - 1]) / 2.0;
    Ok(places.iter().enumerate().map(|(index, place)| (place - centre, lean(index))).collect())
}
