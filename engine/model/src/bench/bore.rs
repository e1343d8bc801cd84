//! Holes, eyes, bolts and chains, and holes in line with them.

use super::draft::Draft;
use super::side::Side;
use super::{Bench, BoardId};
use crate::joints::rules::{BEYOND_NUT, BOLT_PLAY, LEAD_IN, next_bit};
use crate::{Feature, FeatureKind, HardwareUse, PartId, Suspension, When};
use slatwork_base::{Angle, Diagnostic, Length, Origin, both_tapes_whole, maths};
use slatwork_catalog::FastenerKind;
use slatwork_solid::{DAffine3, DVec3, Hole, HoleStep};

/// A straight piece of hardware on the bench: bolt, eye bolt or chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AxisId(usize);

/// A bolt, eye or chain as a line.
#[derive(Clone, Debug)]
pub(super) struct Axis {
    name: String,
    /// A point of the axis: for an eye, the middle of the eye.
    from: DVec3,
    /// The other end.
    to: DVec3,
    pub(super) radius: f64,
    /// The boards an eye goes through, the one under the eye first; none for a chain.
    pub(super) through: Vec<BoardId>,
    /// Where the eye's shoulder sits on the wood, and the far side of the wood.
    pub(super) grip: (DVec3, DVec3),
    pub(super) item: String,
    pub(super) origin: Origin,
}

/// A point on a side, a builder's way: so far from one side, so far from another.
#[derive(Clone, Copy, Debug)]
pub struct Spot {
    /// The side it lies on.
    pub on: Side,
    /// First side it is measured from, and how far inside it.
    pub first: (Side, Length),
    /// Second side.
    pub second: (Side, Length),
}

/// A plain hole.
#[derive(Clone, Debug)]
pub struct HoleOrder {
    /// Where it enters.
    pub spot: Spot,
    /// Boards it goes through, the first one first.
    pub through: Vec<BoardId>,
    /// Diameter.
    pub diameter: Length,
    /// Depth, or right through.
    pub depth: Option<Length>,
    /// What for.
    pub what: String,
}

/// An eye bolt through one or more boards, nut and washer on the far side.
#[derive(Clone, Debug)]
pub struct EyeOrder {
    /// Name ("left front eye").
    pub name: String,
    /// Catalogue id of the eye bolt.
    pub item: String,
    /// Where it enters; the eye stands off this side.
    pub spot: Spot,
    /// Boards it goes through, the one under the eye first.
    pub through: Vec<BoardId>,
    /// From the wood to the middle of the eye.
    pub stands_off: Length,
}

/// A chain from an eye up to a point overhead.
#[derive(Clone, Debug)]
pub struct ChainOrder {
    /// Name ("left front chain").
    pub name: String,
    /// Catalogue id of the chain.
    pub item: String,
    /// The eye it starts at.
    pub eye: AxisId,
    /// Where it leads, world mm.
    pub hook: DVec3,
    /// Radius of the room the chain's links turn in.
    pub radius: Length,
    /// Other hardware of the line, from the piece upward.
    pub links: Vec<String>,
}

/// Eye bolts come in steps of this, mm: half an inch (common practice, no source).
const SHANK_STEP: f64 = 12.7;

/// A chain that leans more than this from upright pulls harder sideways than it carries (project choice).
const FLATTEST_CHAIN: f64 = 45.0;

/// Refuses a hook that a chain cannot hang from.
fn check_rise(name: &str, eye: DVec3, hook: DVec3) -> Result<(), Diagnostic> {
    let (rise, run) = (hook.z - eye.z, (hook - eye).truncate().length());
    let help =
        "hang it higher: say how high the hooks are in the site file (hook_height), or where the chain leads";
    if rise <= 0.0 {
        let message = format!("the hook of `{name}` lies {} below its eye", both_tapes_whole(-rise));
        return Err(Diagnostic::error("hook-below-eye", message).help(help));
    }
    let lean = Angle::rad(maths::atan2(run, rise));
    if lean.as_deg() > FLATTEST_CHAIN {
        let message = format!(
            "`{name}` would lean {:.0}° from upright: its hook lies only {} above its eye",
            lean.as_deg(),
            both_tapes_whole(rise)
        );
        return Err(Diagnostic::error("chain-too-flat", message).help(help));
    }
    Ok(())
}

impl Bench {
    /// World place of a spot, and the way into the wood.
    pub fn spot(&self, spot: &Spot, origin: Origin) -> Result<(DVec3, DVec3), Diagnostic> {
        let on = self.plane_at(&spot.on, origin)?;
        let inside = |(side, distance): (Side, Length)| -> Result<(DVec3, f64), Diagnostic> {
            let plane = self.plane_at(&side, origin)?;
            Ok((plane.normal, plane.offset() - distance.as_mm()))
        };
        let (first, second) = (inside(spot.first)?, inside(spot.second)?);
        let det = on.normal.dot(first.0.cross(second.0));
        if det.abs() < 0.05 {
            return Err(Diagnostic::error("no-such-spot", "those three sides do not meet in a point")
                .at_origin(origin)
                .help("measure from one side along the grain and from one across it"));
        }
        let point = (on.offset() * first.0.cross(second.0)
            + first.1 * second.0.cross(on.normal)
            + second.1 * on.normal.cross(first.0))
            / det;
        Ok((point, -on.normal))
    }

    /// Bores a hole through boards.
    pub fn hole(&mut self, order: &HoleOrder, origin: Origin) -> Result<(), Diagnostic> {
        let (point, inward) = self.spot(&order.spot, origin)?;
        let steps = vec![HoleStep {
            radius: order.diameter.as_mm() / 2.0,
            depth: order.depth.map_or(f64::INFINITY, |depth| depth.as_mm() + LEAD_IN),
        }];
        for board in &order.through {
            self.bore(
                *board,
                point - inward * LEAD_IN,
                inward,
                steps.clone(),
                &order.what,
                When::AtBench,
                origin,
            )?;
        }
        Ok(())
    }

    /// Sets an eye bolt: bores its hole through the boards and counts the hardware.
    pub fn eye(&mut self, order: &EyeOrder, origin: Origin) -> Result<AxisId, Diagnostic> {
        let item = self.catalogue.hardware(&order.item).map_err(|fault| fault.at_origin(origin))?.clone();
        let nominal = item.dim("diameter").ok_or_else(|| {
            Diagnostic::error("no-diameter", format!("`{}` has no diameter in the catalogue", order.item))
                .at_origin(origin)
                .help("give it one in your own catalogue, or choose an eye bolt that has")
        })?;
        let (point, inward) = self.spot(&order.spot, origin)?;
        let radius = (nominal + BOLT_PLAY).as_mm() / 2.0;
        let what = format!("eye bolt {}", item.size);
        let mut far = 0.0f64;
        for board in &order.through {
            let solid = self.boards[board.0].solid().map_err(|fault| fault.at_origin(origin))?;
            let placed = slatwork_solid::Placed { solid: &solid, pose: self.board_pose(*board) };
            let layers = slatwork_solid::along(&placed, point - inward * LEAD_IN, point + inward * 1000.0);
            far = layers.iter().map(|layer| layer.1 - LEAD_IN).fold(far, f64::max);
            let steps = vec![HoleStep { radius, depth: f64::INFINITY }];
            self.bore(*board, point - inward * LEAD_IN, inward, steps, &what, When::AtBench, origin)?;
        }
        let from = point - inward * order.stands_off.as_mm();
        self.axes.push(Axis {
            name: order.name.clone(),
            from,
            to: point + inward * far,
            radius: nominal.as_mm() / 2.0,
            through: order.through.clone(),
            grip: (point, point + inward * far),
            item: item.id.clone(),
            origin,
        });
        self.hardware.push(HardwareUse {
            item: item.id.clone(),
            purpose: order.name.clone(),
            count: 1,
            length: Some(self.shank(&item.size, far)),
            axis: Some((from, point + inward * far)),
            through: order.through.first().map(|board| PartId(board.0)),
            origin,
        });
        Ok(AxisId(self.axes.len() - 1))
    }

    /// Shank of an eye bolt through `grip` mm of wood: with a washer on either side, its nut, and three turns of thread beyond,
    /// in half inches.
    pub(super) fn shank(&self, size: &str, grip: f64) -> Length {
        let thick = |kind| {
            let found = self.catalogue.find_fastener(kind, size).and_then(|item| item.dim("thickness"));
            found.map_or(0.0, Length::as_mm)
        };
        let stack = 2.0 * thick(FastenerKind::WideWasher) + thick(FastenerKind::HexNut);
        Length::mm(((grip + stack + BEYOND_NUT) / SHANK_STEP).ceil() * SHANK_STEP)
    }

    /// Hangs a chain between an eye and a point overhead; its line can then be cleared by the parts in its way.
    pub fn chain(&mut self, order: &ChainOrder, origin: Origin) -> Result<AxisId, Diagnostic> {
        let item = self.catalogue.hardware(&order.item).map_err(|fault| fault.at_origin(origin))?.id.clone();
        for link in &order.links {
            self.catalogue.hardware(link).map_err(|fault| fault.at_origin(origin))?;
        }
        let eye = self.axes[order.eye.0].clone();
        let length = eye.from.distance(order.hook);
        let Some(board) = eye.through.first().copied().filter(|_| length > 1.0) else {
            return Err(Diagnostic::error(
                "chain-from-nothing",
                format!("`{}` starts at no eye", order.name),
            )
            .at_origin(origin)
            .help("hang a chain from an eye set with `job.eye(..)`, to a point above it"));
        };
        check_rise(&order.name, eye.from, order.hook).map_err(|fault| fault.at_origin(origin))?;
        self.axes.push(Axis {
            name: order.name.clone(),
            from: eye.from,
            to: order.hook,
            radius: order.radius.as_mm(),
            through: Vec::new(),
            grip: (eye.from, order.hook),
            item: item.clone(),
            origin,
        });
        self.hardware.push(HardwareUse {
            item: item.clone(),
            purpose: order.name.clone(),
            count: 1,
            length: Some(Length::mm(length)),
            axis: Some((eye.from, order.hook)),
            through: None,
            origin,
        });
        for link in &order.links {
            self.hardware(link, 1, &order.name, origin)?;
        }
        let mut line = vec![eye.item.clone(), item];
        line.extend(order.links.iter().cloned());
        self.hanging.suspensions.push(Suspension {
            name: order.name.clone(),
            part: PartId(board.0),
            eye: eye.from,
            hook: order.hook,
            line,
        });
        Ok(AxisId(self.axes.len() - 1))
    }

    /// Length of a chain or bolt as it lies now.
    pub fn axis_length(&self, axis: AxisId) -> Length {
        let axis = &self.axes[axis.0];
        Length::mm(axis.from.distance(axis.to))
    }

    /// World place of an eye, or of a chain's lower end, mm.
    pub fn axis_start(&self, axis: AxisId) -> DVec3 {
        self.axes[axis.0].from
    }

    /// Bores a hole in line with another part's bolt, eye or chain, with at least that clearance all round: the next bit up. A board that the line does not
    /// pass through is left alone.
    pub fn clear(
        &mut self,
        board: BoardId,
        axis: AxisId,
        clearance: Length,
        origin: Origin,
    ) -> Result<bool, Diagnostic> {
        let axis = self.axes[axis.0].clone();
        let solid = self.boards[board.0].solid().map_err(|fault| fault.at_origin(origin))?;
        let pose = self.board_pose(board);
        let placed = slatwork_solid::Placed { solid: &solid, pose };
        let layers = slatwork_solid::along(&placed, axis.from, axis.to);
        let Some((enter, _)) = layers.first().copied() else { return Ok(false) };
        let direction = (axis.to - axis.from).normalize();
        let radius = next_bit(2.0 * (axis.radius + clearance.as_mm())) / 2.0;
        // Far enough back that a leaning hole clears the whole rim.
        let start = axis.from + direction * (enter - 2.0 * radius - LEAD_IN);
        let what = format!("clearance for {}", axis.name);
        let steps = vec![HoleStep { radius, depth: f64::INFINITY }];
        // Nothing is there yet to sight along: it is bored by its place and lean, like any other hole.
        self.bore(board, start, direction, steps, &what, When::AtBench, origin)?;
        Ok(true)
    }

    #[expect(clippy::too_many_arguments, reason = "the facts of one bore; a struct would only rename them")]
    fn bore(
        &mut self,
        board: BoardId,
        start: DVec3,
        direction: DVec3,
        steps: Vec<HoleStep>,
        what: &str,
        when: When,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let pose: DAffine3 = self.board_pose(board);
        let draft: &mut Draft = &mut self.boards[board.0];
        let local = pose.matrix3.transpose() * direction;
        let tag = draft.next_tag();
        let hole = Hole { start: pose.inverse().transform_point3(start), direction: local, steps, tag };
        let square = local.abs().max_element();
        let kind = FeatureKind::Hole {
            hole: hole.clone(),
            what: what.to_string(),
            lean: Angle::rad(maths::acos(square)),
            countersink: None,
        };
        draft.holes.push(hole);
        draft.features.push(Feature { kind, when, origin });
        draft.forget_solid();
        Ok(())
    }
}
