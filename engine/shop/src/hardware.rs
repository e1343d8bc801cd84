//! Hardware and fasteners to buy: counted by kind and length, with spares, screws by the box, chain by the link.

use indexmap::IndexMap;
use slatwork_base::{Area, Length, Tape};
use slatwork_catalog::{Catalogue, FastenerKind, Hardware};
use slatwork_model::joints::{HeadSeat, Metal};
use slatwork_model::{Joint, Model};

/// One kind of hardware or fastener.
#[derive(Clone, Debug, PartialEq)]
pub struct HardwareLine {
    /// Catalogue id.
    pub item: String,
    /// What to ask for at the counter; the id when the catalogue does not know it.
    pub name: String,
    /// What for, each purpose once.
    pub purposes: Vec<String>,
    /// How many are used.
    pub count: usize,
    /// How many more to buy, by [`spares`].
    pub spares: usize,
    /// Pieces in the box they come in, and how many boxes; for screws and nails.
    pub boxes: Option<(usize, usize)>,
    /// Length of each.
    pub each: Option<Length>,
    /// Whether it is cut from a length (chain, rod), so that the lengths add up.
    pub by_length: bool,
    /// Links of each chain, the one at either end included.
    pub links: Option<usize>,
    /// What it may carry; `None` for fasteners.
    pub rated: Option<Rated>,
}

/// A pound of force, N (NIST SP 811).
const NEWTONS_A_POUND: f64 = 4.448_221_615;

/// What hanging hardware may carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rated {
    /// Pulled in line with its shank or its length, N.
    InLine(f64),
    /// No figure is known: the stamp or label of the piece must be read.
    ByLabel,
}

impl Rated {
    /// "650 lb in line" on inch papers, "2891 N in line" on metric ones, or that the label must be read.
    pub fn words(self, tape: Tape) -> String {
        match self {
            Rated::InLine(load) if !tape.is_inch() => format!("{load:.0} N in line"),
            Rated::InLine(load) => format!("{:.0} lb in line", load / NEWTONS_A_POUND),
            Rated::ByLabel => String::from("read the label"),
        }
    }

    /// The working load in line, N, where it is known.
    pub fn newtons(self) -> Option<f64> {
        match self {
            Rated::InLine(load) => Some(load),
            Rated::ByLabel => None,
        }
    }
}

impl HardwareLine {
    /// Length of all, for chain and rod.
    pub fn total_length(&self) -> Option<Length> {
        self.each.filter(|_| self.by_length)?.checked_times(i64::try_from(self.count).ok()?)
    }

    /// How many to buy.
    pub fn to_buy(&self) -> usize {
        self.count + self.spares
    }
}

/// Sizes of the boxes that screws and nails come in (common practice, no source).
const BOXES: [usize; 4] = [25, 50, 100, 250];

/// How many more to buy, in words: the rule of [`spares`].
pub const SPARES_RULE: &str = "one more for each ten screws, nails, dowels and plugs, two at least; one more nut and washer of \
                               each size, which roll away; no bolts, eyes, links or chain";

/// Driven fasteners and plugs: one more for each ten, at least two: heads break and cam out. Nuts and washers: one, they
/// roll away. Bolts and hanging hardware: none (common practice, no source). [`SPARES_RULE`] says it to a builder.
pub fn spares(kind: Option<FastenerKind>, count: usize) -> usize {
    match kind {
        Some(
            FastenerKind::WoodScrew
            | FastenerKind::DeckScrew
            | FastenerKind::LagScrew
            | FastenerKind::Nail
            | FastenerKind::FinishNail
            | FastenerKind::Dowel
            | FastenerKind::Plug,
        ) => count.div_ceil(10).max(2),
        Some(
            FastenerKind::HexNut
            | FastenerKind::Washer
            | FastenerKind::WideWasher
            | FastenerKind::FenderWasher,
        ) => 1,
        _ => 0,
    }
}

fn boxes(kind: Option<FastenerKind>, count: usize) -> Option<(usize, usize)> {
    let boxed = matches!(
        kind,
        Some(
            FastenerKind::WoodScrew | FastenerKind::DeckScrew | FastenerKind::Nail | FastenerKind::FinishNail
        )
    );
    let size = BOXES.iter().copied().find(|size| *size >= count).unwrap_or(BOXES[BOXES.len() - 1]);
    boxed.then(|| (size, count.div_ceil(size)))
}

/// What tells one line from another.
#[derive(PartialEq, Eq, Hash)]
struct Key {
    item: String,
    each: Option<Length>,
    metal: Option<Metal>,
}

/// Hardware the piece names, then the fasteners of the joints with their washers and nuts, each in the order first asked for.
pub(crate) fn hardware_lines(model: &Model, catalogue: &Catalogue) -> Vec<HardwareLine> {
    let mut lines: IndexMap<Key, HardwareLine> = IndexMap::new();
    let mut add = |item: &str, each: Option<Length>, metal: Option<Metal>, count: usize, purpose: &str| {
        // Chains that differ by less than a link are one.
        let each = whole_links(catalogue, item, each).map_or(each, |(_, each)| Some(each));
        let key = Key { item: item.to_string(), each, metal };
        let line = lines.entry(key).or_insert_with(|| new_line(catalogue, item, each, metal));
        line.count += count;
        if !line.purposes.iter().any(|own| own == purpose) {
            line.purposes.push(purpose.to_string());
        }
    };
    for own in &model.hardware {
        add(&own.item, own.length, None, own.count, &own.purpose);
    }
    // Eyes and chains are counted by the hardware that names them.
    for joint in model.joints.iter().filter(|joint| joint.patch.is_some()) {
        let purpose = purpose(joint);
        for fastening in &joint.fastenings {
            add(&fastening.item, Some(fastening.length), Some(fastening.metal), 1, purpose);
        }
        for extra in &joint.extras {
            add(&extra.item, extra.length, Some(extra.metal), extra.count, purpose);
        }
    }
    let settle = |mut line: HardwareLine| {
        let kind = catalogue.find_fastener_by_id(&line.item).map(|item| item.kind);
        line.spares = spares(kind, line.count);
        line.boxes = boxes(kind, line.to_buy());
        line
    };
    lines.into_values().map(settle).collect()
}

fn purpose(joint: &Joint) -> &str {
    joint.within.as_deref().unwrap_or(&joint.kind)
}

/// How many links a chain of some length has, and how long they are: it hangs by whole links, to the first one at or beyond the
/// length asked for.
fn whole_links(catalogue: &Catalogue, item: &str, each: Option<Length>) -> Option<(usize, Length)> {
    let pitch = catalogue.find_hardware(item).and_then(Hardware::chain)?.pitch;
    let links = (each?.as_mm() / pitch.as_mm() - 1e-6).ceil() as usize;
    Some((links, Length::mm(pitch.as_mm() * links as f64)))
}

fn new_line(catalogue: &Catalogue, item: &str, each: Option<Length>, metal: Option<Metal>) -> HardwareLine {
    let chain = catalogue.find_hardware(item).and_then(Hardware::chain);
    let by_length = chain.is_some();
    let links = whole_links(catalogue, item, each).map(|(links, _)| links);
    HardwareLine {
        item: item.to_string(),
        name: counter_name(catalogue, item, metal),
        purposes: Vec::new(),
        count: 0,
        spares: 0,
        boxes: None,
        each,
        by_length,
        links,
        rated: catalogue.find_hardware(item).map(rated),
    }
}

fn rated(item: &Hardware) -> Rated {
    item.working_load_n().map_or(Rated::ByLabel, Rated::InLine)
}

fn counter_name(catalogue: &Catalogue, item: &str, metal: Option<Metal>) -> String {
    let metal = metal.map_or(String::new(), |metal| format!("{} ", metal.word()));
    let fastener =
        || catalogue.find_fastener_by_id(item).map(|own| format!("{metal}{} {}", own.kind.word(), own.size));
    let hardware = catalogue.find_hardware(item).map(|own| own.name.clone());
    hardware.or_else(fastener).unwrap_or_else(|| item.to_string())
}

/// Area spread with glue: faces of glued joints, and of glued-up blanks.
pub(crate) fn glue_area(model: &Model) -> Area {
    let joints = model.joints.iter().filter_map(|joint| joint.glue);
    let plugs =
        model.joints.iter().flat_map(|joint| &joint.fastenings).filter_map(|fastening| {
            match fastening.seat {
                HeadSeat::Counterbored { diameter, depth, plugged: true } => {
                    Some(Area::square_mm(core::f64::consts::PI * diameter.as_mm() * depth.as_mm()))
                }
                _ => None,
            }
        });
    joints.chain(plugs).chain(model.parts.iter().map(seams_of)).sum()
}

/// Seams of a glued-up blank: one fewer than its strips.
fn seams_of(part: &slatwork_model::Part) -> Area {
    use slatwork_model::{Blank, GlueUp};
    let Blank::GluedUp { strips, how } = &part.blank else { return Area::default() };
    let across = match how {
        GlueUp::EdgeToEdge => part.thickness,
        GlueUp::FaceToFace => part.rough_width,
    };
    (part.rough_length * across) * strips.len().saturating_sub(1) as f64
}
