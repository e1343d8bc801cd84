//! Joints: two boards and a kind. Each finds where its parts meet, lays out its fasteners there, cuts both parts, and says
//! what to buy.
//!
//! Upper rooms never ask for a kind by name: they read what a [`Joint`] says. Wood is cut (`cut`) before the solids are
//! final; fasteners are set (`fasten`) in the order the script joins, once they are.
//!
//! | file | what |
//! |---|---|
//! | `order.rs` | [`JointOrder`]: what a script asks for |
//! | `data.rs` | [`Joint`], [`Fastening`], [`Layer`], [`Bore`]: what comes of it, as plain data |
//! | `seam.rs` | where two parts meet |
//! | `rules.rs` | distances: what layout aims at, what is noted, what fails |
//! | `spread.rs` | the pattern inside a patch |
//! | `image.rs` | layouts of one side, mirrored to the other |
//! | `choose.rs` | gauge, length, metal, drills |
//! | `fix/` | setting screws, nails, bolts, dowels, knock-down bolts |
//! | one file a kind | what the kind takes, and its row of [`KINDS`] |

mod angled_brace;
mod bolted_lap;
mod chain;
pub mod choose;
mod data;
mod dowelled;
mod fix;
mod glued_face;
mod half_lap;
mod hanger_eye;
mod image;
mod knock_down;
mod mortise_and_tenon;
mod nailed_and_glued;
mod order;
pub mod rules;
mod screwed_face_to_face;
mod screwed_into_edge;
mod screwed_into_end;
mod seam;
mod single_fastener;
mod slat_to_bearer;
mod spread;

pub(crate) use chain::NAME as CHAIN;
pub(crate) use fix::layer as layer_of;
pub(crate) use hanger_eye::NAME as HANGER_EYE;

pub use data::{Bore, Drive, Extra, Fastening, HeadSeat, Joint, JointPatch, Layer, Metal};
pub use order::JointOrder;

use crate::{BoardId, Part, PartId};
use image::{Images, Likely};
use indexmap::IndexMap;
use rules::Nearness;
use seam::Seam;
use slatwork_base::{Area, Diagnostic, Length, Origin, Severity, did_you_mean};
use slatwork_catalog::{Catalogue, Fastener, FastenerKind};
use slatwork_solid::{Bounds, DVec3, along};

/// What a kind of joint is, and what it does.
pub struct JointKind {
    /// Its name in scripts.
    pub name: &'static str,
    /// What it is, in a sentence.
    pub about: &'static str,
    /// What is done at the bench, as a verb: "screw", "bolt".
    pub verb: &'static str,
    /// Cuts wood of both parts before the solids are final.
    pub(crate) cut: Option<CutWood>,
    /// Sets its fasteners; `None` for eyes and chains, which scripts set by words of their own.
    pub(crate) fasten: Option<Fasten>,
    /// Where its parts meet.
    pub(crate) meets: Meets,
}

/// Where the parts of a joint meet, among all faces that touch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Meets {
    /// On the largest face. Heads go into side grain: a rail's end is held by a screw through what it butts against.
    Face,
    /// On the largest face. Heads go into the first part, though it meets the other with its bevelled end: a brace.
    Bevel,
    /// At the shoulder, square to the grain of the first part; glue holds on all faces.
    Shoulder,
}

pub(crate) type CutWood =
    fn(&mut crate::Bench, &JointOrder, BoardId, BoardId, Origin) -> Result<(), Diagnostic>;
pub(crate) type Fasten = fn(&Seam, &mut Shop) -> Result<Fixed, Diagnostic>;

/// Every kind, in the order lists show them.
pub const KINDS: [&JointKind; 15] = [
    &screwed_face_to_face::KIND,
    &screwed_into_edge::KIND,
    &screwed_into_end::KIND,
    &nailed_and_glued::KIND,
    &knock_down::KIND,
    &slat_to_bearer::KIND,
    &bolted_lap::KIND,
    &half_lap::KIND,
    &mortise_and_tenon::KIND,
    &dowelled::KIND,
    &glued_face::KIND,
    &angled_brace::KIND,
    &single_fastener::KIND,
    &hanger_eye::KIND,
    &chain::KIND,
];

/// The kind of that name, for joining two boards.
///
/// # Errors
/// `unknown-joint`, with the nearest name.
pub fn kind(name: &str) -> Result<&'static JointKind, Diagnostic> {
    joining().find(|kind| kind.name == name).ok_or_else(|| unknown_kind(name, &[]))
}

/// Kinds that a script joins two boards by.
fn joining() -> impl Iterator<Item = &'static JointKind> {
    KINDS.into_iter().filter(|kind| kind.fasten.is_some())
}

/// The refusal of a kind's name, where scripts define `others` beside the program's own.
pub fn unknown_kind(name: &str, others: &[String]) -> Diagnostic {
    let fault = Diagnostic::error("unknown-joint", format!("there is no joint `{name}`"));
    if KINDS.iter().any(|kind| kind.name == name) {
        return fault.help("eyes are set by `job.eye`, and chains by `job.chain`");
    }
    let known = joining().map(|kind| kind.name).chain(others.iter().map(String::as_str));
    match did_you_mean(name, known) {
        Some(near) => fault.help(format!("did you mean `{near}`?")),
        None => fault.help("`slatwork list joints` names them"),
    }
}

/// What a kind has set.
#[derive(Default)]
pub(crate) struct Fixed {
    pub(crate) fastenings: Vec<Fastening>,
    pub(crate) glue: bool,
    pub(crate) extras: Vec<Extra>,
    /// How badly its fasteners stand.
    pub(crate) worst: Nearness,
    /// Whether there are thinner fasteners for it.
    pub(crate) may_thin: bool,
}

/// A straight piece of metal, or a hole, in the wood.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rod {
    pub(crate) from: DVec3,
    pub(crate) to: DVec3,
    pub(crate) radius: f64,
}

impl Rod {
    pub(crate) fn new(from: DVec3, to: DVec3, radius: f64) -> Self {
        Rod { from, to, radius }
    }

    /// Whether a segment may come within `clear` of it, by boxes.
    pub(crate) fn near(&self, a: DVec3, b: DVec3, clear: f64) -> bool {
        let (low, high) = (self.from.min(self.to) - clear, self.from.max(self.to) + clear);
        low.cmple(a.max(b)).all() && high.cmpge(a.min(b)).all()
    }
}

/// What joints are made with: the catalogue, and the metal and holes that are in the wood already.
pub(crate) struct Shop<'a> {
    pub(crate) catalogue: &'a Catalogue,
    pub(crate) parts: &'a [Part],
    pub(crate) boxes: Vec<Bounds>,
    pub(crate) middle: DVec3,
    pub(crate) taken: Vec<Rod>,
    /// Fasteners that rules choose are no thicker than this, mm.
    pub(crate) thickest: f64,
    /// Where the fasteners of the joint that is made are tried first.
    pub(crate) likely: Option<Likely>,
}

impl<'a> Shop<'a> {
    fn new(catalogue: &'a Catalogue, parts: &'a [Part]) -> Self {
        let boxes: Vec<Bounds> = parts.iter().map(|part| part.placed().bounds()).collect();
        let whole = boxes.iter().copied().reduce(|all, one| all.union(&one));
        let taken = parts.iter().flat_map(holes_of).collect();
        let middle = whole.map_or(DVec3::ZERO, |bounds| bounds.centre());
        Shop { catalogue, parts, boxes, middle, taken, thickest: f64::INFINITY, likely: None }
    }

    fn companion(&self, kind: FastenerKind, of: &Fastener) -> Option<&'a Fastener> {
        self.catalogue.find_fastener(kind, &of.size)
    }

    /// The washer for wood under a bolt's nut or a lag screw's head: the wide one where there is one.
    pub(crate) fn washer(&self, of: &Fastener) -> Option<&'a Fastener> {
        let found = self.companion(FastenerKind::WideWasher, of);
        found.or_else(|| self.companion(FastenerKind::Washer, of))
    }

    pub(crate) fn nut(&self, of: &Fastener) -> Option<&'a Fastener> {
        self.companion(FastenerKind::HexNut, of)
    }
}

/// The holes of a part as far as they run in its wood.
fn holes_of(part: &Part) -> impl Iterator<Item = Rod> + '_ {
    part.shape.holes.iter().flat_map(move |hole| {
        let (start, direction) =
            (part.pose.transform_point3(hole.start), part.pose.transform_vector3(hole.direction));
        let radius = hole.steps.iter().map(|step| step.radius).fold(0.0, f64::max);
        let depth = hole.steps.iter().map(|step| step.depth).fold(0.0, f64::max).min(LONGEST_HOLE);
        let layers = along(&part.placed(), start, start + direction * depth);
        layers
            .into_iter()
            .map(move |(from, to)| Rod::new(start + direction * from, start + direction * to, radius))
    })
}

/// Holes are followed this far, mm: more than any part is wide.
const LONGEST_HOLE: f64 = 2_000.0;

/// A joint said, ready to be worked out.
pub(crate) struct Said<'a> {
    pub(crate) order: &'a JointOrder,
    pub(crate) first: PartId,
    pub(crate) second: PartId,
    pub(crate) origin: Origin,
}

/// Where two parts meet, without joining them.
pub(crate) fn patch_between(first: &Part, second: &Part, origin: Origin) -> Result<JointPatch, Diagnostic> {
    let order = JointOrder { kind: String::from("looked for with patch"), ..JointOrder::default() };
    let seam = Seam::find(first, second, Meets::Face, &order, origin);
    // A script cannot go on without the patch it asks for.
    seam.map(|seam| seam.patch).map_err(|fault| Diagnostic { severity: Severity::Error, ..fault })
}

/// A joint whose parts have been found to meet, and its place among those said.
struct Met<'a> {
    at: usize,
    kind: &'static JointKind,
    seam: Seam<'a>,
}

/// Works out every joint, statement by statement in the order said. Joints that cannot be made are findings, and are left out.
pub(crate) fn work(
    parts: &[Part],
    catalogue: &Catalogue,
    said: &[Said],
    findings: &mut Vec<Diagnostic>,
) -> Vec<Joint> {
    let mut shop = Shop::new(catalogue, parts);
    let mut worked: Vec<Option<Result<Joint, Diagnostic>>> = Vec::new();
    let mut statements: IndexMap<Statement, Vec<Met>> = IndexMap::new();
    for (at, one) in said.iter().enumerate() {
        match meet(parts, one, at) {
            Ok(met) => {
                let statement = (one.origin, met.kind.name, met.seam.first.thickness);
                statements.entry(statement).or_default().push(met);
                worked.push(None);
            }
            Err(finding) => worked.push(Some(Err(finding))),
        }
    }
    let mut images = Images::of(&shop.boxes, shop.middle.x);
    for alike in statements.values() {
        for (met, fixed) in alike.iter().zip(fasten_alike(alike, &mut shop, &mut images)) {
            worked[met.at] = Some(fixed.map(|fixed| joint_of(met, &fixed)));
        }
    }
    let mut joints = Vec::with_capacity(said.len());
    for one in worked.into_iter().flatten() {
        match one {
            Ok(joint) => joints.push(joint),
            Err(finding) => findings.push(finding),
        }
    }
    joints
}

/// Joints of one kind that one line of a script says, through parts of one thickness: a builder takes one gauge for them.
type Statement = (Origin, &'static str, Length);

/// An end that is cut nearer to square than this leaves no screw a way through it to its slope (cosine; 25 degrees).
const NEARLY_SQUARE: f64 = 0.906;

fn meet<'a>(parts: &'a [Part], said: &Said<'a>, at: usize) -> Result<Met<'a>, Diagnostic> {
    let kind = kind(&said.order.kind).map_err(|fault| fault.at_origin(said.origin))?;
    let (first, second) = (&parts[said.first.0], &parts[said.second.0]);
    let seam = Seam::find(first, second, kind.meets, said.order, said.origin)?;
    let seam = if said.order.from_second { seam.turned() } else { seam };
    let first_is_end = match kind.meets {
        Meets::Face => seam.patch.on_end[0],
        Meets::Bevel => seam.first.pose.matrix3.x_axis.dot(seam.patch.normal).abs() > NEARLY_SQUARE,
        Meets::Shoulder => false,
    };
    let into_end = first_is_end && !seam.patch.on_end[1];
    let seam = if into_end { seam.turned() } else { seam };
    Ok(Met { at, kind, seam })
}

type Alike = Vec<Result<Fixed, Diagnostic>>;

/// Sets the fasteners of joints that are to have one gauge: the thickest by rule or the next thinner one where all stand as
/// advised, else the thickest of those where the fewest rules are broken; still thinner ones only where those fail.
fn fasten_alike(alike: &[Met], shop: &mut Shop<'_>, images: &mut Images) -> Alike {
    let (before, known) = (shop.taken.len(), images.count());
    let mut best: Option<(Nearness, Alike, Vec<Rod>)> = None;
    shop.thickest = f64::INFINITY;
    let (mut thinned, mut was_uneven) = (0, false);
    loop {
        images.forget_after(known);
        let fixed: Alike = alike.iter().map(|met| fasten(met, shop, images)).collect();
        let metal = shop.taken.split_off(before);
        let worst = fixed.iter().map(badness).fold(Nearness::Fine, Nearness::max);
        let (thinnest, thickest) = gauges(&fixed);
        // Those that scripts name stay as they are.
        let uneven = thickest - thinnest > THINNER && shop.thickest - thinnest > THINNER;
        let may_thin = fixed.iter().flatten().any(|fixed| fixed.may_thin);
        // Whatever is even is better than what is not.
        if best.as_ref().is_none_or(|(least, ..)| was_uneven || (!uneven && worst < *least)) {
            best = Some((if uneven { Nearness::Fails } else { worst }, fixed, metal));
        }
        was_uneven = uneven;
        let least = best.as_ref().map_or(Nearness::Fails, |(least, ..)| *least);
        let enough = least == Nearness::Fine || (thinned >= PROPER_THINNER && least < Nearness::Fails);
        if !uneven && (enough || !may_thin) {
            break;
        }
        // One thinner than all had; the thinnest of them where they differ.
        shop.thickest = if uneven { thinnest } else { thinnest - THINNER };
        thinned += usize::from(!uneven);
    }
    shop.thickest = f64::INFINITY;
    let (_, fixed, metal) = best.unwrap_or((Nearness::Fine, Vec::new(), Vec::new()));
    shop.taken.extend(metal);
    images.forget_after(known);
    alike.iter().zip(&fixed).for_each(|(met, fixed)| fixed.iter().for_each(|fixed| images.keep(met, fixed)));
    fixed
}

/// So many gauges thinner than the rule's are proper where that keeps all distances as advised (common practice, no source).
const PROPER_THINNER: usize = 1;

/// Gauges differ by more than this, mm.
const THINNER: f64 = 0.01;

fn fasten(met: &Met, shop: &mut Shop<'_>, images: &mut Images) -> Result<Fixed, Diagnostic> {
    let Some(fasten) = met.kind.fasten else { return Ok(Fixed::default()) };
    shop.likely = images.likely(met);
    let fixed = fasten(&met.seam, shop)?;
    images.keep(met, &fixed);
    Ok(fixed)
}

fn badness(fixed: &Result<Fixed, Diagnostic>) -> Nearness {
    fixed.as_ref().map_or(Nearness::Fails, |fixed| fixed.worst)
}

/// The least and the greatest diameter that joints have got, mm.
fn gauges(fixed: &Alike) -> (f64, f64) {
    let all = || fixed.iter().flatten().flat_map(|fixed| &fixed.fastenings).map(|one| one.diameter.as_mm());
    (all().fold(f64::INFINITY, f64::min), all().fold(0.0, f64::max))
}

fn joint_of(met: &Met, fixed: &Fixed) -> Joint {
    let (seam, order) = (&met.seam, met.seam.order);
    let also = order.also.iter().map(|board| PartId(board.0));
    Joint {
        kind: met.kind.name.to_string(),
        within: order.within.clone(),
        parts: [seam.first.id, seam.second.id].into_iter().chain(also).collect(),
        glue: order.glue.unwrap_or(fixed.glue).then(|| Area::square_mm(seam.touching)),
        patch: Some(seam.patch.clone()),
        fastenings: fixed.fastenings.clone(),
        extras: fixed.extras.clone(),
        origin: seam.origin,
    }
}
