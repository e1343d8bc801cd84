//! What one fastener may carry across and along its axis.

use super::forces::Pull;
use crate::Case;
use crate::framing::{Tie, Timber, Timbers};
use crate::statics::dowel::{
    Bearing, Dowel, Joint, Lateral, Material, Mode, Penetration, Shear, Wetness, end_grain, is_thick,
    lateral, yield_modes,
};
use crate::statics::dowel::{Freedom, wet_service};
use crate::statics::withdrawal::{
    Grain, Puller, Together, flat_head_height, head_pull_through, head_wet_service, pull_out,
    wet_service as wet_pull,
};
use crate::statics::wood::{Service, bearing_area};
use slatwork_base::Angle;
use slatwork_base::maths::PI;
use slatwork_catalog::{Fastener, FastenerKind};
use slatwork_model::joints::{Fastening, HeadSeat, Layer, Metal};
use slatwork_model::{Model, PartId};
use slatwork_solid::DVec3;

/// Axes nearer to the grain than this go into end grain, degrees (project choice: half way).
const END_GRAIN_BELOW: f64 = 45.0;
/// Screws in end grain hold about this share of what they hold in side grain (Wood Handbook chapter 8, from memory); the
/// standard gives them nothing.
const END_GRAIN_HOLD: f64 = 0.75;

/// What a fastener may carry, before the duration of load.
#[derive(Clone, Copy, Debug)]
pub(super) struct Capacity {
    /// Across its axis, N.
    pub(super) lateral: f64,
    /// How it yields.
    pub(super) mode: Mode,
    /// Along its axis, N.
    pub(super) axial: f64,
    /// What governs that, in words.
    pub(super) way: &'static str,
    /// How both go together.
    pub(super) together: Together,
    /// Whether the axial value goes beyond the standard.
    pub(super) in_end_grain: bool,
}

/// A fastener where it crosses a tie, and the least it may carry whichever way it is loaded.
pub(super) struct Held<'a> {
    crossed: Crossed<'a>,
    /// With the load across the grain of both parts.
    pub(super) least: Capacity,
}

impl<'a> Held<'a> {
    /// Nothing if it has no value at all.
    pub(super) fn of(case: &'a Case, timbers: &'a Timbers, tie: &Tie, at: usize) -> Option<Held<'a>> {
        let joint = &case.model.joints[tie.joint];
        let fastening = &joint.fastenings[tie.fasteners[at]];
        let layer = |part: PartId| fastening.layers.iter().find(|layer| layer.part == part);
        let layers = [layer(tie.parts[0])?, layer(tie.parts[1])?];
        let (dowel, head) = (dowel(case, fastening)?, head_diameter(case, fastening));
        let both = tie.parts.map(|part| timbers.of(part));
        let crossed = Crossed { model: case.model, fastening, dowel, head, layers, timbers: both };
        let (lateral, mode) = crossed.lateral(None)?;
        let (axial, way) = if crossed.is_bolt() {
            (washers(case, joint, fastening, timbers)?, "wood under the head or washer")
        } else {
            crossed.axial()?
        };
        let nail = matches!(fastening.kind, FastenerKind::Nail | FastenerKind::FinishNail);
        let together = if nail { Together::Nail } else { Together::Screw };
        let in_end_grain = !crossed.is_bolt() && in_end(layers[1]);
        Some(Held { crossed, least: Capacity { lateral, mode, axial, way, together, in_end_grain } })
    }

    /// Loaded as said: thick fasteners carry more along the grain.
    pub(super) fn capacity(&self, tie: &Tie, pull: &Pull) -> Capacity {
        if !is_thick(self.crossed.dowel.diameter) {
            return self.least;
        }
        let force = tie.axes[1] * pull.lateral[0] + tie.axes[2] * pull.lateral[1];
        let turned = self.crossed.lateral(Some(force));
        turned.map_or(self.least, |(lateral, mode)| Capacity { lateral, mode, ..self.least })
    }
}

fn head_diameter(case: &Case, fastening: &Fastening) -> f64 {
    let known = case.catalogue.find_fastener_by_id(&fastening.item);
    known.and_then(Fastener::design_head_diameter).unwrap_or(fastening.head_diameter).as_mm()
}

fn in_end(layer: &Layer) -> bool {
    layer.grain.as_deg() < END_GRAIN_BELOW
}

fn dowel(case: &Case, fastening: &Fastening) -> Option<Dowel> {
    let diameter = fastening.diameter.as_mm();
    let root = || {
        let known = case.catalogue.find_fastener_by_id(&fastening.item)?;
        Some(known.root_diameter()?.as_mm())
    };
    match fastening.kind {
        FastenerKind::WoodScrew | FastenerKind::DeckScrew => Dowel::wood_screw(diameter, root()?).value,
        FastenerKind::LagScrew => Dowel::lag_screw(diameter, root()?).value,
        FastenerKind::Nail | FastenerKind::FinishNail => Dowel::nail(diameter).value,
        FastenerKind::CarriageBolt | FastenerKind::HexBolt => Dowel::bolt(diameter).value,
        _ => None,
    }
}

/// A fastener on its way from the side member into the main one.
struct Crossed<'a> {
    model: &'a Model,
    fastening: &'a Fastening,
    dowel: Dowel,
    /// Of the head that strength is worked out with, mm.
    head: f64,
    layers: [&'a Layer; 2],
    timbers: [&'a Timber; 2],
}

impl Crossed<'_> {
    fn is_bolt(&self) -> bool {
        matches!(self.fastening.kind, FastenerKind::CarriageBolt | FastenerKind::HexBolt)
    }

    fn wetness(&self) -> Wetness {
        Wetness { made: Service::Dry, used: self.timbers[1].service }
    }

    /// Across the grain where no force is given.
    fn material(&self, at: usize, force: Option<DVec3>) -> Material {
        let gravity = self.timbers[at].gravity;
        if in_end(self.layers[at]) {
            return Material::EndGrain { gravity };
        }
        let grain = self.model.part(self.layers[at].part).pose.matrix3.x_axis;
        let way = force.and_then(DVec3::try_normalize);
        let along = way.map_or(0.0, |force| force.dot(grain).abs().min(1.0));
        Material::SideGrain { gravity, angle: Angle::rad(slatwork_base::maths::acos(along)) }
    }

    /// Z' before the duration of load, N, and its mode.
    fn lateral(&self, force: Option<DVec3>) -> Option<(f64, Mode)> {
        let length = |at: usize| {
            let layer = self.layers[at];
            layer.to.min(self.fastening.length.as_mm()) - layer.from.max(0.0)
        };
        let bearing = |at: usize| Bearing { length: length(at), material: self.material(at, force) };
        let joint =
            Joint { dowel: self.dowel, main: bearing(1), side: bearing(0), gap: 0.0, shear: Shear::Single };
        let (value, mode) = if self.is_bolt() {
            let governing = yield_modes(&joint).value?.governing;
            (governing.value, governing.mode)
        } else {
            let penetration = Penetration::ending_in(&self.dowel, length(1));
            let Lateral { value, governing, .. } = lateral(&joint, penetration).value?;
            (value, governing)
        };
        let wet = wet_service(self.wetness(), self.dowel.diameter, Freedom::Free).value;
        let end = end_grain(&joint.main.material).value;
        Some((value * wet * end * self.geometry(), mode))
    }

    /// CΔ of bolts by their end distance, load taken across the grain: full from 4D (NDS Table 12.5.1A, read).
    fn geometry(&self) -> f64 {
        if !is_thick(self.dowel.diameter) {
            return 1.0;
        }
        let full = FULL_END * self.dowel.diameter;
        self.layers.iter().map(|layer| (layer.end / full).min(1.0)).fold(1.0, f64::min)
    }

    /// W' before the duration of load, N, and what gives way.
    fn axial(&self) -> Option<(f64, &'static str)> {
        let hold = self.thread()?;
        let head = self.head()?;
        Some(if head < hold { (head, "head pulled through") } else { (hold, "thread pulled out") })
    }

    fn puller(&self) -> Puller {
        match self.fastening.kind {
            FastenerKind::LagScrew => Puller::LagScrew,
            FastenerKind::Nail | FastenerKind::FinishNail if self.fastening.metal == Metal::Stainless => {
                Puller::StainlessNail
            }
            FastenerKind::Nail | FastenerKind::FinishNail => Puller::SmoothNail,
            _ => Puller::WoodScrew,
        }
    }

    fn thread(&self) -> Option<f64> {
        let puller = self.puller();
        let end = in_end(self.layers[1]);
        let length = self.fastening.thread_in(self.layers[1]);
        let (grain, share) = match (end, puller) {
            (false, _) => (Grain::Side, 1.0),
            (true, Puller::LagScrew) => (Grain::End, 1.0),
            (true, _) => (Grain::Side, END_GRAIN_HOLD),
        };
        let value =
            pull_out(puller, self.dowel.diameter, self.timbers[1].gravity, length, grain).value?.value();
        Some(value * share * wet_pull(puller, self.wetness()).value)
    }

    fn head(&self) -> Option<f64> {
        let head = self.head;
        let sunk = match self.fastening.seat {
            HeadSeat::Countersunk { .. } => flat_head_height(head, self.dowel.diameter),
            HeadSeat::Proud | HeadSeat::Counterbored { .. } => 0.0,
        };
        let net = self.layers[0].to - self.layers[0].from.max(0.0) - sunk;
        Some(
            head_pull_through(head, self.timbers[0].gravity, net).value?
                * head_wet_service(self.wetness()).value,
        )
    }
}

/// Fc across the grain under head and nut of a bolt, on the rings that its washers press; more away from the end: Cb (NDS 3.10.4,
/// read). Between them the bolt holds whatever it passes.
fn washers(
    case: &Case,
    joint: &slatwork_model::Joint,
    fastening: &Fastening,
    timbers: &Timbers,
) -> Option<f64> {
    let bare = fastening.head_diameter.as_mm();
    let washer = washer(case, joint).map_or(bare, |own| own.max(bare));
    let under_head = if fastening.kind == FastenerKind::CarriageBolt { bare } else { washer };
    let area = |diameter: f64| PI / 4.0 * diameter * diameter;
    let pressed = |layer: &Layer, ring: f64| {
        let factor = if layer.end < FROM_END { 1.0 } else { bearing_area(ring) };
        timbers.of(layer.part).edge.across.value() * factor * (area(ring) - area(fastening.diameter.as_mm()))
    };
    let (first, last) = (fastening.layers.first()?, fastening.layers.last()?);
    Some(pressed(first, under_head).min(pressed(last, washer)))
}

/// Diameter of a joint's washers, mm.
fn washer(case: &Case, joint: &slatwork_model::Joint) -> Option<f64> {
    let items = joint.extras.iter().filter_map(|extra| case.catalogue.find_fastener_by_id(&extra.item));
    let washers = items.filter(|item| matches!(item.kind, FastenerKind::Washer | FastenerKind::WideWasher));
    washers.map(|item| item.diameter.as_mm()).reduce(f64::min)
}

/// So far from an end wood beside a washer helps it, mm: 3 in (NDS 3.10.4, read).
const FROM_END: f64 = 76.2;

/// Diameters to an end from which on nothing is lost.
const FULL_END: f64 = 4.0;

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_base::{Length, Origin};
    use slatwork_catalog::Catalogue;
    use slatwork_model::bench::{Among, BoardOrder, Item, WHOLE};
    use slatwork_model::{Bench, JointOrder, People, Site};

    /// Two boards that cross in the middle of both, bolted.
    fn crossed() -> Model {
        let mut bench =
            Bench::new(Catalogue::shared().clone(), "trial", "white oak", Site::default(), People::default());
        let mut board = |name: &str, along: &str| {
            let order = BoardOrder {
                stock: String::from("2x6"),
                length: Some(Length::inch(24.0)),
                ..BoardOrder::default()
            };
            let board = bench.board(WHOLE, name, &order, Origin::NOWHERE).expect("it exists");
            bench.lie(board, along, "right", Origin::NOWHERE).expect("it lies so");
            board
        };
        let (rail, post) = (board("rail", "rear"), board("post", "up"));
        let side = bench.side(Item::Board(rail), "left", Among::Sides, Origin::NOWHERE).expect("a side");
        bench.against(Item::Board(post), "right", &side, Length::ZERO, Origin::NOWHERE).expect("it is set");
        for word in ["rear", "up"] {
            bench.centre_on(Item::Board(post), word, Item::Board(rail), Origin::NOWHERE).expect("it is set");
        }
        let order = JointOrder { kind: String::from("bolted lap"), ..JointOrder::default() };
        bench.join(&order, post, rail, Origin::NOWHERE).expect("a joint");
        bench.finish().value.expect("a model")
    }

    /// White oak, 800 psi across the grain, wet 0.67: under the head of a 3/8 in carriage bolt, 0.844 in over a hole of 3/8 in,
    /// Cb = (0.844 + 0.375) / 0.844: 800 x 0.67 x 1.444 x pi/4 (0.844^2 - 0.375^2) = 347.6 lb = 1546.2 N.
    #[test]
    fn a_carriage_bolt_is_held_by_its_head_as_by_hand() {
        let model = crossed();
        let case = Case::new(&model, Catalogue::shared());
        let timbers = Timbers::of_all(&case).expect("known wood");
        let joint = &model.joints[0];
        let bolt = &joint.fastenings[0];
        assert_eq!(bolt.item, "carriage_bolt_3_8");
        let held = washers(&case, joint, bolt, &timbers).expect("a value");
        assert!((held - 1546.2).abs() < 0.1, "{held}");
    }
}
