//! What one fastener may carry across and along its axis.

use super::forces::Pull;
use super::room::{Room, Standing};
use super::rows::group_factor;
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
use crate::statics::wood::{Factor, Service, bearing_area};
use slatwork_base::maths::PI;
use slatwork_base::{Angle, Length, Outcome};
use slatwork_catalog::{Fastener, FastenerKind};
use slatwork_model::joints::{Fastening, HeadSeat, Layer, Metal};
use slatwork_model::{Model, PartId};
use slatwork_solid::DVec3;

/// Axes nearer to the grain than this go into end grain, degrees (project choice: half way).
const END_GRAIN_BELOW: f64 = 45.0;
/// Screws in end grain hold about this share of what they hold in side grain (Wood Handbook chapter 8, from memory); the
/// standard gives them nothing.
const END_GRAIN_HOLD: f64 = 0.75;

/// What gives way where a head is pulled through the wood under it.
pub(super) const HEAD_THROUGH: &str = "head pulled through";

/// What a fastener may carry, before the duration of load.
#[derive(Clone, Copy, Debug)]
pub(super) struct Capacity {
    /// Across its axis, N.
    pub(super) lateral: f64,
    /// How it yields.
    pub(super) mode: Mode,
    /// What its distances leave of that: CΔ.
    pub(super) geometry: f64,
    /// What acting in a row leaves of it: Cg.
    pub(super) group: f64,
    /// Along its axis, N; without bound where that is not known.
    pub(super) axial: f64,
    /// What governs that, in words.
    pub(super) way: &'static str,
    /// How both go together.
    pub(super) together: Together,
    /// What it rests on beside the standard as it was read.
    pub(super) beyond: Beyond,
}

impl Capacity {
    /// What its distances leave, in words; nothing where they leave all.
    pub(super) fn distances(&self) -> String {
        if self.geometry >= 1.0 {
            return String::new();
        }
        if self.geometry <= 0.0 {
            return String::from("; nearer to an end, an edge or its neighbour than the least");
        }
        format!("; {:.0} % of it so near to an end, an edge or its neighbour", self.geometry * 100.0)
    }
}

/// What a value rests on beside the standard as it was read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beyond {
    /// A thick fastener, whose distances count by the way it pushes.
    pub(super) thick: bool,
    /// Screws pulled out of end grain.
    pub(super) in_end_grain: bool,
    /// Of stainless steel, whose bending yield no table gives.
    pub(super) stainless: bool,
    /// A head that may be pulled through wet wood.
    pub(super) head_in_wet: bool,
}

/// A fastener where it crosses a tie, and the least it may carry whichever way it is loaded.
pub(super) struct Held<'a> {
    pub(super) crossed: Crossed<'a>,
    /// With the load across the grain of both parts, and toward whatever is nearest.
    pub(super) least: Capacity,
    /// Why nothing is known of what it may carry along its axis.
    pub(super) no_pull: Option<String>,
}

impl<'a> Held<'a> {
    /// # Errors
    /// Why it has no value across its axis.
    pub(super) fn of(
        case: &'a Case,
        timbers: &'a Timbers,
        tie: &'a Tie,
        at: usize,
    ) -> Result<Held<'a>, String> {
        let joint = &case.model.joints[tie.joint];
        let fastening = &joint.fastenings[tie.fasteners[at]];
        let layer = |part: PartId| {
            let found = fastening.layers.iter().find(|layer| layer.part == part);
            found.ok_or_else(|| String::from("it does not pass both"))
        };
        let layers = [layer(tie.parts[0])?, layer(tie.parts[1])?];
        let (dowel, head) = (dowel(case, fastening)?, head_diameter(case, fastening));
        let both = tie.parts.map(|part| timbers.of(part));
        let group = group_factor(case, timbers, tie, at);
        let crossed = Crossed {
            model: case.model,
            fastening,
            dowel,
            head,
            layers,
            timbers: both,
            group,
            rooms: [Room::AMPLE; 2],
        };
        let crossed = Crossed { rooms: [0, 1].map(|side| crossed.room(case, (tie, at), side)), ..crossed };
        let (lateral, mode) = crossed.lateral(None)?;
        let pulled = if crossed.is_bolt() {
            between_washers(case, joint, fastening, timbers)
        } else {
            crossed.axial()
        };
        let (axial, way, no_pull) = match pulled {
            Ok((axial, way)) => (axial, way, None),
            Err(why) => (f64::INFINITY, "", Some(why)),
        };
        let nail = matches!(fastening.kind, FastenerKind::Nail | FastenerKind::FinishNail);
        let together = if nail { Together::Nail } else { Together::Screw };
        let geometry = crossed.rooms.iter().map(Room::least).fold(1.0, f64::min);
        let beyond = crossed.beyond();
        let least = Capacity { lateral, mode, geometry, group, axial, way, together, beyond };
        Ok(Held { crossed, least, no_pull })
    }

    /// The load across its axis, N, where the way it pushes counts.
    pub(super) fn force(&self, tie: &Tie, pull: &Pull) -> Option<DVec3> {
        let is_turned = is_thick(self.crossed.dowel.diameter);
        is_turned.then(|| tie.axes[1] * pull.lateral[0] + tie.axes[2] * pull.lateral[1])
    }

    /// Loaded as said: thick fasteners carry more along the grain, and less toward an end or an edge.
    pub(super) fn capacity(&self, tie: &Tie, pull: &Pull) -> Capacity {
        let Some(force) = self.force(tie, pull) else { return self.least };
        let turned = self.crossed.lateral(Some(force));
        let geometry = self.crossed.geometry(Some(force));
        turned.map_or(self.least, |(lateral, mode)| Capacity { lateral, mode, geometry, ..self.least })
    }
}

fn head_diameter(case: &Case, fastening: &Fastening) -> f64 {
    let known = case.catalogue.find_fastener_by_id(&fastening.item);
    known.and_then(Fastener::design_head_diameter).unwrap_or(fastening.head_diameter).as_mm()
}

fn in_end(layer: &Layer) -> bool {
    layer.grain.as_deg() < END_GRAIN_BELOW
}

/// The value of a calculation, or why there is none.
fn worked_out<T>(outcome: Outcome<T>) -> Result<T, String> {
    let Outcome { value, diagnostics } = outcome;
    value.ok_or_else(|| diagnostics.into_iter().map(|own| own.message).next().unwrap_or_default())
}

fn dowel(case: &Case, fastening: &Fastening) -> Result<Dowel, String> {
    let diameter = fastening.diameter.as_mm();
    let root = || {
        let known = case.catalogue.find_fastener_by_id(&fastening.item).and_then(Fastener::root_diameter);
        let root =
            known.ok_or_else(|| String::from("the catalogue does not say how thick it is under its thread"));
        root.map(Length::as_mm)
    };
    worked_out(match fastening.kind {
        FastenerKind::WoodScrew | FastenerKind::DeckScrew => Dowel::wood_screw(diameter, root()?),
        FastenerKind::LagScrew => Dowel::lag_screw(diameter, root()?),
        FastenerKind::Nail | FastenerKind::FinishNail => Dowel::nail(diameter),
        FastenerKind::CarriageBolt | FastenerKind::HexBolt => Dowel::bolt(diameter),
        FastenerKind::Dowel => {
            return Err(String::from("the standard has no value for a dowel or peg of wood"));
        }
        _ => return Err(String::from("the standard has no value for such a fastener")),
    })
}

/// How a fastener yields across its axis.
pub(super) struct Yielding {
    /// The joint whose mode governs.
    pub(super) joint: Joint,
    pub(super) mode: Mode,
    /// What part of the penetration that tables assume is there and counts.
    pub(super) part: f64,
    /// Z with that part, N.
    pub(super) value: f64,
    /// CM, Ceg, Cg and CΔ.
    pub(super) factors: [Factor; 4],
}

/// What holds a thread or a nail along its axis.
pub(super) struct Threaded {
    pub(super) puller: Puller,
    pub(super) diameter: f64,
    pub(super) gravity: f64,
    /// Of thread in the wood, mm.
    pub(super) length: f64,
    /// Ceg and CM.
    pub(super) factors: [Factor; 2],
}

/// What holds a head.
pub(super) struct Headed {
    pub(super) head: f64,
    pub(super) gravity: f64,
    /// Thickness under it, mm.
    pub(super) net: f64,
    /// WH, N.
    pub(super) through: f64,
    pub(super) wet: Factor,
}

/// What holds a bolt between its washers.
pub(super) struct Washered<'a> {
    pub(super) timber: &'a Timber,
    /// Cb.
    pub(super) factor: f64,
    /// Diameters of what presses and of the bolt, mm.
    pub(super) ring: f64,
    pub(super) bolt: f64,
}

impl Washered<'_> {
    /// N.
    pub(super) fn holds(&self) -> f64 {
        let area = |diameter: f64| PI / 4.0 * diameter * diameter;
        self.timber.edge.across.value() * self.factor * (area(self.ring) - area(self.bolt))
    }
}

/// A fastener on its way from the side member into the main one.
pub(super) struct Crossed<'a> {
    model: &'a Model,
    fastening: &'a Fastening,
    dowel: Dowel,
    /// Of the head that strength is worked out with, mm.
    head: f64,
    layers: [&'a Layer; 2],
    timbers: [&'a Timber; 2],
    /// Cg.
    group: f64,
    rooms: [Room; 2],
}

impl Crossed<'_> {
    pub(super) fn is_bolt(&self) -> bool {
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

    /// Of what bears in a layer, mm.
    fn length(&self, at: usize) -> f64 {
        let layer = self.layers[at];
        layer.to.min(self.fastening.length.as_mm()) - layer.from.max(0.0)
    }

    /// The wood round it in one of the parts.
    fn room(&self, case: &Case, (tie, at): (&Tie, usize), side: usize) -> Room {
        let diameter = self.dowel.diameter;
        if !is_thick(diameter) {
            return Room::AMPLE;
        }
        let (layer, part) = (self.layers[side], self.model.part(self.layers[side].part));
        Room::of(&Standing {
            tie,
            at,
            fastening: self.fastening,
            layer,
            part,
            hardwood: case.catalogue.species(&part.species).is_ok_and(|species| species.hardwood),
            slenderness: self.length(0).min(self.length(1)) / diameter,
            in_end: in_end(layer),
        })
    }

    /// Z' before the duration of load, N, and its mode; the least of it where no force is given, as it acts on the first part.
    fn lateral(&self, force: Option<DVec3>) -> Result<(f64, Mode), String> {
        let own = self.yielding(force)?;
        let [wet, end, group, geometry] = own.factors.map(|factor| factor.value);
        Ok((own.value * wet * end * group * geometry, own.mode))
    }

    /// How it yields.
    pub(super) fn yielding(&self, force: Option<DVec3>) -> Result<Yielding, String> {
        let bearing = |at: usize| Bearing { length: self.length(at), material: self.material(at, force) };
        let joint =
            Joint { dowel: self.dowel, main: bearing(1), side: bearing(0), gap: 0.0, shear: Shear::Single };
        let (value, mode, (joint, part)) = if self.is_bolt() {
            let governing = worked_out(yield_modes(&joint))?.governing;
            (governing.value, governing.mode, (joint, 1.0))
        } else {
            let penetration = Penetration::ending_in(&self.dowel, self.length(1));
            let Lateral { value, governing, by, .. } = worked_out(lateral(&joint, penetration))?;
            (value, governing, by)
        };
        let factors = [
            wet_service(self.wetness(), self.dowel.diameter, Freedom::Free),
            end_grain(&joint.main.material),
            Factor::new("Cg", self.group, "NDS 11.3.6, read"),
            Factor::new("CΔ", self.geometry(force), "NDS Tables 12.5.1A to D, read"),
        ];
        Ok(Yielding { joint, mode, part, value, factors })
    }

    /// CΔ of thick fasteners in the part where it is least (NDS Tables 12.5.1A to D, read); the least there can be where no force is
    /// given. What it does to the first part, it does the other way to the second.
    fn geometry(&self, force: Option<DVec3>) -> f64 {
        let [first, second] = &self.rooms;
        let Some(force) = force else { return first.least().min(second.least()) };
        first.factor(force).min(second.factor(-force))
    }

    fn beyond(&self) -> Beyond {
        Beyond {
            thick: is_thick(self.dowel.diameter),
            in_end_grain: !self.is_bolt() && in_end(self.layers[1]),
            stainless: self.fastening.metal == Metal::Stainless,
            head_in_wet: !self.is_bolt() && self.wetness().used == Service::Wet,
        }
    }

    /// W' before the duration of load, N, and what gives way.
    fn axial(&self) -> Result<(f64, &'static str), String> {
        let hold = self.thread()?;
        let head = self.head()?;
        Ok(if head < hold { (head, HEAD_THROUGH) } else { (hold, "thread pulled out") })
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

    fn thread(&self) -> Result<f64, String> {
        let own = self.threaded();
        let [end, wet] = own.factors;
        let grain = if end.value != 1.0 && own.puller == Puller::LagScrew { Grain::End } else { Grain::Side };
        let hold = worked_out(pull_out(own.puller, own.diameter, own.gravity, own.length, grain))?;
        // Of a lag the standard's own value is for end grain already.
        let share = if grain == Grain::End { 1.0 } else { end.value };
        Ok(hold.value() * share * wet.value)
    }

    pub(super) fn threaded(&self) -> Threaded {
        let puller = self.puller();
        let end = if in_end(self.layers[1]) { END_GRAIN_HOLD } else { 1.0 };
        Threaded {
            puller,
            diameter: self.dowel.diameter,
            gravity: self.timbers[1].gravity,
            length: self.fastening.thread_in(self.layers[1]),
            factors: [
                Factor::new("Ceg", end, "NDS 12.5.2.1, read, and Wood Handbook chapter 8, from memory"),
                wet_pull(puller, self.wetness()),
            ],
        }
    }

    fn head(&self) -> Result<f64, String> {
        let own = self.headed()?;
        Ok(own.through * own.wet.value)
    }

    pub(super) fn headed(&self) -> Result<Headed, String> {
        let head = self.head;
        let sunk = match self.fastening.seat {
            HeadSeat::Countersunk { .. } => flat_head_height(head, self.dowel.diameter),
            HeadSeat::Proud | HeadSeat::Counterbored { .. } => 0.0,
        };
        let net = self.layers[0].to - self.layers[0].from.max(0.0) - sunk;
        let gravity = self.timbers[0].gravity;
        let through = worked_out(head_pull_through(head, gravity, net))?;
        Ok(Headed { head, gravity, net, through, wet: head_wet_service(self.wetness()) })
    }
}

/// What a bolt holds along its axis, N, and what gives way.
fn between_washers(
    case: &Case,
    joint: &slatwork_model::Joint,
    fastening: &Fastening,
    timbers: &Timbers,
) -> Result<(f64, &'static str), String> {
    let kinds = joint.extras.iter().filter_map(|extra| case.catalogue.find_fastener_by_id(&extra.item));
    let mut taken =
        kinds.filter(|item| matches!(item.kind, FastenerKind::ThreadedInsert | FastenerKind::BarrelNut));
    if let Some(item) = taken.next() {
        return Err(format!("nothing is published of what a {} holds in wood", item.kind.word()));
    }
    let held = washers(case, joint, fastening, timbers).ok_or_else(|| String::from("it passes no wood"))?;
    Ok((held.holds(), "wood under the head or washer"))
}

/// Fc across the grain under head and nut of a bolt, on the rings that its washers press; more away from the end: Cb (NDS 3.10.4,
/// read). Between them the bolt holds whatever it passes.
pub(super) fn washers<'a>(
    case: &Case,
    joint: &slatwork_model::Joint,
    fastening: &Fastening,
    timbers: &'a Timbers,
) -> Option<Washered<'a>> {
    let bare = fastening.head_diameter.as_mm();
    let washer = washer(case, joint).map_or(bare, |own| own.max(bare));
    let under_head = if fastening.kind == FastenerKind::CarriageBolt { bare } else { washer };
    let pressed = |layer: &Layer, ring: f64| Washered {
        timber: timbers.of(layer.part),
        factor: if layer.end < FROM_END { 1.0 } else { bearing_area(ring) },
        ring,
        bolt: fastening.diameter.as_mm(),
    };
    let (first, last) = (fastening.layers.first()?, fastening.layers.last()?);
    let both = [pressed(first, under_head), pressed(last, washer)];
    both.into_iter().min_by(|one, other| one.holds().total_cmp(&other.holds()))
}

/// Diameter of a joint's washers, mm.
fn washer(case: &Case, joint: &slatwork_model::Joint) -> Option<f64> {
    let items = joint.extras.iter().filter_map(|extra| case.catalogue.find_fastener_by_id(&extra.item));
    let washers = items.filter(|item| matches!(item.kind, FastenerKind::Washer | FastenerKind::WideWasher));
    washers.map(|item| item.diameter.as_mm()).reduce(f64::min)
}

/// So far from an end wood beside a washer helps it, mm: 3 in (NDS 3.10.4, read).
const FROM_END: f64 = 76.2;

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_base::Origin;
    use slatwork_catalog::Catalogue;
    use slatwork_model::bench::{Among, BoardOrder, Item, WHOLE};
    use slatwork_model::{Bench, JointOrder, People, Site};

    /// A rail along the rear and a post up beside it, so far before the rail's rear end, mm, their middles level; bolted so.
    fn crossed(wood: &str, before_end: Option<f64>, order: JointOrder) -> Model {
        let mut bench =
            Bench::new(Catalogue::shared().clone(), "trial", wood, Site::default(), People::default());
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
        bench.centre_on(Item::Board(post), "up", Item::Board(rail), Origin::NOWHERE).expect("it is set");
        match before_end {
            None => bench.centre_on(Item::Board(post), "rear", Item::Board(rail), Origin::NOWHERE),
            Some(gap) => {
                let end =
                    bench.side(Item::Board(rail), "rear", Among::Sides, Origin::NOWHERE).expect("an end");
                bench.flush(Item::Board(post), "rear", &end, Length::mm(gap), Origin::NOWHERE)
            }
        }
        .expect("it is set");
        let order = JointOrder { kind: String::from("bolted lap"), ..order };
        bench.join(&order, post, rail, Origin::NOWHERE).expect("a joint");
        bench.finish().value.expect("a model")
    }

    /// The tie of a joint between two parts, without its springs.
    fn tie(model: &Model) -> Tie {
        let joint = &model.joints[0];
        let parts = [joint.parts[0], joint.parts[1]];
        let axes = [joint.fastenings[0].direction, DVec3::Y, DVec3::Z];
        let places = joint.fastenings.iter().map(|one| [one.head.y, one.head.z]).collect();
        let count = joint.fastenings.len();
        Tie {
            joint: 0,
            fasteners: (0..count).collect(),
            places,
            parts,
            at: DVec3::ZERO,
            axes,
            extent: [[-50.0, 50.0]; 2],
            springs: [1.0; 6],
            slip: vec![1.0; count],
            glued: false,
        }
    }

    /// CΔ of the first bolt where it pushes the post so far to the rear and up.
    fn geometry(model: &Model, rear: f64, up: f64) -> f64 {
        let case = Case::new(model, Catalogue::shared());
        let timbers = Timbers::of_all(&case).expect("known wood");
        let tie = tie(model);
        let held = Held::of(&case, &timbers, &tie, 0).expect("it has a value");
        let capacity = held.capacity(&tie, &Pull { lateral: [rear, up], axial: 0.0 });
        assert!(capacity.lateral >= held.least.lateral);
        capacity.geometry
    }

    /// One bolt 3/8 in thick, 2 in before the rear end of the rail: 5.33 D. Pushed toward that, 5 D are full in oak and 7 D in pine;
    /// away from it or across the grain 4 D. Before the post's edges it has no less.
    #[test]
    fn a_bolt_counts_by_the_end_that_it_pushes_to() {
        let at = |wood: &str, off: f64| {
            let at = vec![(Length::ZERO, Length::mm(off))];
            let fastener = Some(String::from("carriage_bolt_3_8"));
            crossed(wood, Some(0.0), JointOrder { at, fastener, ..JointOrder::default() })
        };
        let before_end = |model: &Model| {
            model.part_named("rail").expect("a rail").placed().bounds().max.y
                - model.joints[0].fastenings[0].head.y
        };
        let near_end = |wood: &str| {
            let both = [19.05, -19.05].map(|off| at(wood, off));
            both.into_iter().find(|model| (before_end(model) - 50.8).abs() < 1e-6).expect("one is")
        };
        let (oak, pine) = (near_end("white oak"), near_end("southern pine"));
        // What pushes the post to the front pushes the rail to the rear.
        for (model, wanted) in [(&oak, 1.0), (&pine, 2.0 / 0.375 / 7.0)] {
            let toward = geometry(model, -500.0, 0.0);
            assert!((toward - wanted).abs() < 1e-6, "{toward}");
            assert_eq!(geometry(model, 500.0, 0.0), 1.0, "away from the end");
            assert_eq!(geometry(model, 0.0, 500.0), 1.0, "across the grain of the rail");
            // As Hankinson's formula: at 45 degrees 2 a / (1 + a).
            let aslant = geometry(model, -500.0, 500.0);
            assert!((aslant - 2.0 * wanted / (1.0 + wanted)).abs() < 1e-6, "{aslant}");
        }
    }

    /// 3/8 in bolts 1 in from the front edge of the post, 2.67 D: pushed to it 2.67 of 4 D, to the rear edge all.
    #[test]
    fn a_bolt_counts_by_the_edge_that_it_pushes_to() {
        let at = vec![(Length::ZERO, Length::mm(1.75 * 25.4))];
        let order =
            JointOrder { at, fastener: Some(String::from("carriage_bolt_3_8")), ..JointOrder::default() };
        let model = crossed("white oak", None, order);
        let bolt = &model.joints[0].fastenings[0];
        let post = model.part(model.joints[0].parts[0]).placed().bounds();
        let nearer_front = bolt.head.y - post.min.y < post.max.y - bolt.head.y;
        let push = if nearer_front { -500.0 } else { 500.0 };
        assert!((geometry(&model, push, 0.0) - 1.0 / 0.375 / 4.0).abs() < 1e-6);
        assert_eq!(geometry(&model, -push, 0.0), 1.0);
        assert_eq!(geometry(&model, 0.0, 500.0), 1.0, "along the post");
    }

    /// Two 3/8 in bolts 3 in apart up the post: Cg of a row of 2 by Eq 11.3-1 with E 810 000 psi, 8.25 in2 of the post along the row and
    /// 1 1/2 by 1 1/8 in of the rail that it crosses.
    #[test]
    fn bolts_in_a_row_lose_by_group_action() {
        let at = [-1.5, 1.5].map(|inches| (Length::inch(inches), Length::ZERO)).to_vec();
        let order =
            JointOrder { at, fastener: Some(String::from("carriage_bolt_3_8")), ..JointOrder::default() };
        let model = crossed("white oak", None, order);
        let case = Case::new(&model, Catalogue::shared());
        let timbers = Timbers::of_all(&case).expect("known wood");
        let tie = tie(&model);
        let held = Held::of(&case, &timbers, &tie, 0).expect("it has a value");
        let (along, over) = (810_000.0 * 8.25, 810_000.0 * 1.5 * 1.125);
        let u: f64 = 1.0 + 180_000.0 * 0.375_f64.powi(3).sqrt() * 1.5 * (1.0 / along + 1.0 / over);
        let m = u - (u * u - 1.0).sqrt();
        let ratio = over / along;
        let m2 = m * m;
        let by_hand = m * (1.0 - m2 * m2) / (2.0 * ((1.0 + ratio * m2) * (1.0 + m) - 1.0 + m2 * m2))
            * (1.0 + ratio)
            / (1.0 - m);
        assert!(
            (held.least.group - by_hand).abs() < 1e-3 && by_hand < 0.99,
            "{} {by_hand}",
            held.least.group
        );
    }

    /// White oak, 800 psi across the grain, wet 0.67: under the head of a 3/8 in carriage bolt, 0.844 in over a hole of 3/8 in,
    /// Cb = (0.844 + 0.375) / 0.844: 800 x 0.67 x 1.444 x pi/4 (0.844^2 - 0.375^2) = 347.6 lb = 1546.2 N.
    #[test]
    fn a_carriage_bolt_is_held_by_its_head_as_by_hand() {
        let model = crossed("white oak", None, JointOrder::default());
        let case = Case::new(&model, Catalogue::shared());
        let timbers = Timbers::of_all(&case).expect("known wood");
        let joint = &model.joints[0];
        let bolt = &joint.fastenings[0];
        assert_eq!(bolt.item, "carriage_bolt_3_8");
        let held = washers(&case, joint, bolt, &timbers).expect("a value").holds();
        assert!((held - 1546.2).abs() < 0.1, "{held}");
    }
}
