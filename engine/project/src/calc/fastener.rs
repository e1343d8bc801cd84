//! What a screw, lag, nail or bolt carries across its axis and along it.

use super::figure::{
    AdjustedForce, Force, Size, Stress, USUAL_TEMPERATURE, choose, duration, gravity, incomplete,
    over_capacity, service,
};
use super::json::{Object, read};
use super::{Answered, Calculation, Findings, Setting, document, told};
use crate::calc;
use serde::Serialize;
use slatwork_base::{Angle, Diagnostic, Length, Outcome};
use slatwork_catalog::{Catalogue, FastenerKind};
use slatwork_checks::statics::dowel::{
    self, A36, A653_GRADE_33, Bearing, Dowel, Freedom, Joint, KINDS, Kind, Lateral, Material, Penetration,
    Shear, Wetness,
};
use slatwork_checks::statics::given::Given;
use slatwork_checks::statics::group::{self, Distances, GrainLoad, Placing, Row, SideMember};
use slatwork_checks::statics::withdrawal::{self, Grain, PULLERS, Puller, Together, Way};
use slatwork_checks::statics::wood::{Adjusted, Factor, Warmth};
use slatwork_model::joints::rules::LEAST_WOOD;

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "fastener",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-fastener.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r##"{ "fastener": { "kind": "wood screw", "size": "#8", "length": "2in" },
  "side": { "wood": "western red cedar", "thickness": "3/4in" },
  "main": { "wood": "western red cedar", "thickness": "1-1/2in" },
  "wet_used": true }"##;

const LAYOUT: &str = "\
fastener.kind             wood screw, lag screw, bolt, nail
fastener.size             of the catalogue: \"#8\", \"3/8\"; or else:
fastener.diameter         nominal diameter
fastener.root_diameter    under the thread
fastener.head_diameter    for pulling through
fastener.length           under the head, or whole of a countersunk one; when left out, the
                          longest that stays in the main member
fastener.thread           length of thread; by the standard's rule when left out
fastener.bending_yield_mpa  of the steel: the maker's, for stainless
fastener.steel_mpa        allowable tension stress of the steel
fastener.shank            of nails: smooth nail, stainless smooth nail, ring-shank nail
side, main                the members: at the head, at the point
  .wood                   of the catalogue; or
  .gravity                its specific gravity, oven-dry
  .steel                  or A36, A653 Grade 33
  .thickness              along the fastener
  .angle_deg              from the grain to the load
  .end_grain              true where the fastener stands in the main member's end grain
  .hardwood               true or false; by the wood when left out
  .under_head             wood left under a sunk head
penetration               into the main member, with its tip; by the length when left out
gap                       between the members: washers, spacers
shear                     single, double
toe_nail                  true for a nail driven at 30 degrees
wet_made, wet_used        true for wood over 19 % when joined, in use
duration                  permanent, ten years, two months, seven days, ten minutes, impact
temperature_c             that the wood keeps for long
count                     how many fasteners
held_across               true where rows across the grain hold drying wood
row                       of bolts and lags along the load: .count .spacing .main_mpa
                          .main_mm2 .sides_mpa .sides_mm2
distances                 of 1/4 in and more, in the main member: .end .in_row .loaded_edge .edge .between_rows
                          .towards_end
shear_n, pull_n           force on all of them, across and along, N";

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read)
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    question(asked).then(|question| {
        answer(&question, setting.catalogue).map(|answer| Answered {
            text: told::fastener(&question, &answer, setting.units),
            document: document(&answer),
        })
    })
}

/// A joint with one fastener, or with some of them alike.
#[derive(Clone, Debug)]
pub struct Question {
    /// The fastener.
    pub fastener: Fastener,
    /// The member on the side of the head.
    pub side: Member,
    /// The member that holds the fastener; in double shear the middle one.
    pub main: Member,
    /// How far the fastener goes into the main member with its tip; worked out from its length when left out.
    pub penetration: Option<Size>,
    /// Gap between the members: washers, spacers.
    pub gap: Size,
    /// `single` (when left out) or `double`, the side members alike.
    pub shear: Option<String>,
    /// A nail driven at 30 degrees through the end of the side member.
    pub toe_nail: bool,
    /// Whether the wood is over 19 % moisture when it is joined.
    pub wet_made: bool,
    /// Whether it is over 19 % in use: outdoors it is.
    pub wet_used: bool,
    /// `permanent`, `ten years` (when left out), `two months`, `seven days`, `ten minutes`, `impact`.
    pub duration: Option<String>,
    /// Temperature that the wood keeps for long, degrees C.
    pub temperature_c: Option<f64>,
    /// How many fasteners, 1 when left out.
    pub count: Option<u32>,
    /// Whether they stand in more than one row across the grain, so that drying wood is held.
    pub held_across: bool,
    /// The longest row along the load, for bolts and lags.
    pub row: Option<RowOf>,
    /// Distances to ends and edges of the main member, for fasteners of 1/4 in and more.
    pub distances: Option<Near>,
    /// Force on the whole joint across the fasteners, N.
    pub shear_n: Option<f64>,
    /// Force on the whole joint along the fasteners, N.
    pub pull_n: Option<f64>,
}

impl Question {
    fn read(own: &Object<'_>) -> Self {
        Question {
            fastener: own.need("fastener", own.object("fastener", Fastener::read)).unwrap_or_default(),
            side: own.need("side", own.object("side", Member::read)).unwrap_or_default(),
            main: own.need("main", own.object("main", Member::read)).unwrap_or_default(),
            penetration: own.size("penetration"),
            gap: own.size("gap").unwrap_or_default(),
            shear: own.text("shear"),
            toe_nail: own.flag("toe_nail"),
            wet_made: own.flag("wet_made"),
            wet_used: own.flag("wet_used"),
            duration: own.text("duration"),
            temperature_c: own.number("temperature_c"),
            count: own.count("count"),
            held_across: own.flag("held_across"),
            row: own.object("row", RowOf::read),
            distances: own.object("distances", Near::read),
            shear_n: own.number("shear_n"),
            pull_n: own.number("pull_n"),
        }
    }
}

/// A fastener of the catalogue, or one by its measures.
#[derive(Clone, Debug, Default)]
pub struct Fastener {
    /// `wood screw`, `lag screw`, `bolt`, `nail`.
    pub kind: String,
    /// Gauge or diameter as bought: `#8`, `3/8`.
    pub size: Option<String>,
    /// Nominal diameter, where it has no size.
    pub diameter: Option<Size>,
    /// Diameter under the thread.
    pub root_diameter: Option<Size>,
    /// Diameter of the head, for pulling through.
    pub head_diameter: Option<Size>,
    /// Length under the head, or whole of a countersunk one.
    pub length: Option<Size>,
    /// Length of thread; by the standard's rule when left out.
    pub thread: Option<Size>,
    /// Bending yield strength, MPa: the maker's, for stainless steel and the like.
    pub bending_yield_mpa: Option<f64>,
    /// Allowable tension stress of the steel, MPa; not looked at when left out.
    pub steel_mpa: Option<f64>,
    /// Of nails: `smooth nail` (when left out), `stainless smooth nail`, `ring-shank nail`.
    pub shank: Option<String>,
}

impl Fastener {
    fn read(own: &Object<'_>) -> Self {
        Fastener {
            kind: own.need("kind", own.text("kind")).unwrap_or_default(),
            size: own.text("size"),
            diameter: own.size("diameter"),
            root_diameter: own.size("root_diameter"),
            head_diameter: own.size("head_diameter"),
            length: own.size("length"),
            thread: own.size("thread"),
            bending_yield_mpa: own.number("bending_yield_mpa"),
            steel_mpa: own.number("steel_mpa"),
            shank: own.text("shank"),
        }
    }
}

/// One member.
#[derive(Clone, Debug, Default)]
pub struct Member {
    /// A wood of the catalogue.
    pub wood: Option<String>,
    /// Or its specific gravity, oven-dry.
    pub gravity: Option<f64>,
    /// Or steel: `A36` or `A653 Grade 33`.
    pub steel: Option<String>,
    /// Thickness along the fastener.
    pub thickness: Option<Size>,
    /// From the grain to the load, degrees.
    pub angle_deg: f64,
    /// Whether the fastener stands in its end grain; not worked out for a side member.
    pub end_grain: bool,
    /// Whether the wood is a hardwood; that of the catalogue when left out.
    pub hardwood: Option<bool>,
    /// Wood left under the head; all of it when left out, less the flat head of a wood screw.
    pub under_head: Option<Size>,
}

impl Member {
    fn read(own: &Object<'_>) -> Self {
        Member {
            wood: own.text("wood"),
            gravity: own.number("gravity"),
            steel: own.text("steel"),
            thickness: own.size("thickness"),
            angle_deg: own.number("angle_deg").unwrap_or(0.0),
            end_grain: own.flag("end_grain"),
            hardwood: own.yes("hardwood"),
            under_head: own.size("under_head"),
        }
    }
}

/// A row of fasteners along the load.
#[derive(Clone, Debug)]
pub struct RowOf {
    /// How many in it.
    pub count: u32,
    /// Spacing in it.
    pub spacing: Size,
    /// Elasticity of the main member, MPa.
    pub main_mpa: f64,
    /// Area of the main member, mm2.
    pub main_mm2: f64,
    /// Elasticity of the side members, MPa.
    pub sides_mpa: f64,
    /// Area of all side members, mm2.
    pub sides_mm2: f64,
}

impl RowOf {
    fn read(own: &Object<'_>) -> Self {
        RowOf {
            count: own.need("count", own.count("count")).unwrap_or_default(),
            spacing: own.need("spacing", own.size("spacing")).unwrap_or_default(),
            main_mpa: own.need("main_mpa", own.number("main_mpa")).unwrap_or_default(),
            main_mm2: own.need("main_mm2", own.number("main_mm2")).unwrap_or_default(),
            sides_mpa: own.need("sides_mpa", own.number("sides_mpa")).unwrap_or_default(),
            sides_mm2: own.need("sides_mm2", own.number("sides_mm2")).unwrap_or_default(),
        }
    }
}

/// Distances of fasteners.
#[derive(Clone, Debug, Default)]
pub struct Near {
    /// To the end.
    pub end: Option<Size>,
    /// In a row.
    pub in_row: Option<Size>,
    /// To the edge that a load across the grain pushes at.
    pub loaded_edge: Option<Size>,
    /// To the other edge.
    pub edge: Option<Size>,
    /// Between neighbouring rows.
    pub between_rows: Option<Size>,
    /// Whether a load along the grain pulls towards the end.
    pub towards_end: bool,
}

impl Near {
    fn read(own: &Object<'_>) -> Self {
        Near {
            end: own.size("end"),
            in_row: own.size("in_row"),
            loaded_edge: own.size("loaded_edge"),
            edge: own.size("edge"),
            between_rows: own.size("between_rows"),
            towards_end: own.flag("towards_end"),
        }
    }
}

/// What the joint carries.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// Length of the fastener, where it has one, mm.
    pub length_mm: Option<f64>,
    /// Across the fasteners.
    pub lateral: LateralAnswer,
    /// Along them; none for a bolt, in steel, and of screws and nails in end grain.
    pub withdrawal: Option<WithdrawalAnswer>,
    /// How many fasteners.
    pub count: u32,
    /// Share of the capacity that the load uses, where one is given.
    pub utilisation: Option<f64>,
}

/// Across the fasteners.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LateralAnswer {
    /// The mode that governs: `IIIs`.
    pub governing: &'static str,
    /// `equations`, or `penetration` where the rule of the tables for a short hold is lower.
    pub rule: &'static str,
    /// Every mode by the equations.
    pub modes: Vec<ModeAnswer>,
    /// Value of the tables and the part of their penetration that is there; none where nothing is short.
    pub by_table: Option<ByTable>,
    /// Of one fastener.
    pub each: AdjustedForce,
    /// Of all of them.
    pub all: Force,
    /// Penetration with its tip, mm; none for a bolt.
    pub penetration_mm: Option<f64>,
    /// Least penetration that counts, mm, as the standard measures it.
    pub least_penetration_mm: f64,
    /// Dowel bearing strength of the main member.
    pub main_bearing: Stress,
    /// Dowel bearing strength of the side member.
    pub side_bearing: Stress,
    /// Bending yield strength.
    pub bending_yield: Stress,
}

/// One yield mode.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ModeAnswer {
    /// Which.
    pub mode: &'static str,
    /// Reference design value.
    pub value: Force,
    /// Reduction term Rd.
    pub reduction: f64,
}

/// The rule of the tables for a short hold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ByTable {
    /// Value at the penetration that tables assume.
    pub full: Force,
    /// Part of that penetration.
    pub part: f64,
    /// Their product.
    pub value: Force,
    /// Its mode.
    pub mode: &'static str,
}

/// Along the fasteners.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WithdrawalAnswer {
    /// What gives way first: `pulls out`, `head pulls through`, `steel tears`.
    pub governing: &'static str,
    /// Thread or shank that holds, mm.
    pub holds_mm: f64,
    /// Out of the main member.
    pub pull_out: AdjustedForce,
    /// Through the side member, where the head is known.
    pub head: Option<AdjustedForce>,
    /// The steel, where its stress is given.
    pub steel: Option<Force>,
    /// Of one fastener.
    pub each: Force,
    /// Of all of them.
    pub all: Force,
}

/// Answers. Every trouble is told; an error leaves no answer.
pub fn answer(question: &Question, catalogue: &Catalogue) -> Outcome<Answer> {
    if let Some(faults) = size_faults(question) {
        return faults;
    }
    let (question, chosen) = with_length(question, catalogue);
    let mut outcome = match Joined::read(&question, catalogue) {
        Ok(joined) => told_once(joined.then(|joined| joined.answer())),
        Err(trouble) => Outcome::failed(trouble),
    };
    // What was chosen for an answer that is none misleads.
    outcome.diagnostics.extend(chosen.filter(|_| outcome.value.is_some()));
    let used = outcome.value.as_ref().and_then(|answer| answer.utilisation);
    outcome.diagnostics.extend(used.and_then(|share| over_capacity("the joint", share)));
    outcome
}

/// Sizes that are none, before anything is chosen by them.
fn size_faults(question: &Question) -> Option<Outcome<Answer>> {
    let mut given = Given::new();
    for (what, size) in [
        ("thickness of the side member in mm", question.side.thickness),
        ("thickness of the main member in mm", question.main.thickness),
        ("length of the fastener in mm", question.fastener.length),
        ("penetration in mm", question.penetration),
    ] {
        if let Some(size) = size {
            given.positive(what, size.0);
        }
    }
    given.not_negative("gap in mm", question.gap.0);
    let found = given.settle(|| ());
    found.value.is_none().then_some(Outcome { value: None, diagnostics: found.diagnostics })
}

/// The question with a length where it gives none, and a note of that: the longest of the catalogue that stays in the main
/// member.
fn with_length(question: &Question, catalogue: &Catalogue) -> (Question, Option<Diagnostic>) {
    let own = question.clone();
    let Some(length) = longest_inside(question, catalogue) else { return (own, None) };
    let message = format!("no length is given: {length} is taken, the longest that stays in the main member");
    let note = Diagnostic::note("length-chosen", message).help("give the `length` if yours is another");
    (
        Question { fastener: Fastener { length: Some(Size(length.as_mm())), ..own.fastener }, ..own },
        Some(note),
    )
}

fn longest_inside(question: &Question, catalogue: &Catalogue) -> Option<Length> {
    let own = &question.fastener;
    let kind = choose("kind", &own.kind, &KINDS).ok().filter(|kind| *kind != Kind::Bolt)?;
    if own.length.is_some() || question.penetration.is_some() {
        return None;
    }
    let thickness = question.side.thickness?.0 + question.gap.0 + question.main.thickness?.0;
    let listed = catalogue.fastener(catalogue_kind(kind), own.size.as_deref()?).ok()?;
    listed.lengths.iter().copied().filter(|length| length.as_mm() <= thickness - LEAST_WOOD).max()
}

/// A question with everything looked up.
struct Joined<'a> {
    question: &'a Question,
    dowel: Dowel,
    head: Option<f64>,
    joint: Joint,
    side_thickness: f64,
    penetration: Option<Penetration>,
    hardwood: bool,
    /// What holds it along its axis; nothing holds a bolt.
    puller: Option<Puller>,
    factors: Factors,
}

/// What both ways of loading share.
struct Factors {
    duration: Factor,
    warm: Factor,
    wetness: Wetness,
}

impl<'a> Joined<'a> {
    fn read(question: &'a Question, catalogue: &Catalogue) -> Result<Outcome<Self>, Diagnostic> {
        let kind = choose("kind", &question.fastener.kind, &KINDS)?;
        let measures = Measures::read(&question.fastener, kind, catalogue)?;
        let side_thickness = thickness("side", &question.side)?;
        look_at_kind(question, kind)?;
        look_at_row(question)?;
        let (main, side) =
            (material(&question.main, catalogue, kind)?, material(&question.side, catalogue, kind)?);
        let shear = shear(question, kind)?;
        let puller = puller(kind, question.fastener.shank.as_deref())?;
        let duration = duration(question.duration.as_deref())?.connection_factor();
        let wetness = Wetness { made: service(question.wet_made), used: service(question.wet_used) };
        let hardwood = hardwood(&question.main, catalogue)?;
        let warmth = Warmth::at(question.temperature_c.unwrap_or(USUAL_TEMPERATURE));
        let mut outcome = measures.dowel(kind, question.fastener.bending_yield_mpa).then(|dowel| {
            warmth.map(|warmth| (dowel, Factor::new("Ct", warmth.of_others(wetness.used), TEMPERATURE)))
        });
        let Some((dowel, warm)) = outcome.value.take() else {
            return Ok(Outcome { value: None, diagnostics: outcome.diagnostics });
        };
        let (side_length, penetration) = placed(question, &dowel, measures.head, side_thickness)?;
        let main_length =
            penetration.map_or_else(|| thickness("main", &question.main), |own| Ok(own.bearing_length()))?;
        let joint = Joint {
            dowel,
            main: Bearing { length: main_length, material: main },
            side: Bearing { length: side_length, material: side },
            gap: question.gap.0,
            shear,
        };
        let factors = Factors { duration, warm, wetness };
        let joined = Joined {
            question,
            dowel,
            head: measures.head,
            joint,
            side_thickness,
            penetration,
            hardwood,
            puller,
            factors,
        };
        Ok(Outcome::with(joined, outcome.diagnostics))
    }

    fn answer(&self) -> Outcome<Answer> {
        let count = self.question.count.unwrap_or(1);
        if count == 0 {
            return Outcome::failed(incomplete("the joint has no fastener", "give a `count` of one or more"));
        }
        self.lateral(count).then(|lateral| {
            self.withdrawal(count).then(|withdrawal| {
                self.utilisation(&lateral, withdrawal.as_ref()).map(|utilisation| Answer {
                    length_mm: self.question.fastener.length.map(|own| own.0),
                    lateral,
                    withdrawal,
                    count,
                    utilisation,
                })
            })
        })
    }

    fn lateral(&self, count: u32) -> Outcome<LateralAnswer> {
        let found = match self.penetration {
            Some(penetration) => dowel::lateral(&self.joint, penetration),
            None => dowel::yield_modes(&self.joint).map(|direct| Lateral {
                value: direct.governing.value,
                governing: direct.governing.mode,
                direct,
                by_table: None,
                by: (self.joint, 1.0),
            }),
        };
        found.then(|found| self.lateral_factors().map(|factors| self.lateral_answer(&found, factors, count)))
    }

    fn lateral_answer(&self, found: &Lateral, factors: Vec<Factor>, count: u32) -> LateralAnswer {
        let each = Adjusted::new(found.value, factors);
        let by_table = found.by_table.as_ref().map(|(full, part)| ByTable {
            full: Force::newtons(full.governing.value),
            part: *part,
            value: Force::newtons(full.governing.value * part),
            mode: full.governing.mode.word(),
        });
        let bearing = |of: &Bearing| {
            // Looked at already: the joint has been worked out.
            Stress::mpa(of.material.bearing(self.dowel.diameter).value.unwrap_or_default())
        };
        LateralAnswer {
            governing: found.governing.word(),
            rule: if found.value < found.direct.governing.value { "penetration" } else { "equations" },
            modes: found
                .direct
                .modes
                .iter()
                .map(|own| ModeAnswer {
                    mode: own.mode.word(),
                    value: Force::newtons(own.value),
                    reduction: own.reduction,
                })
                .collect(),
            by_table,
            all: Force::newtons(each.value() * f64::from(count)),
            each: AdjustedForce::from(&each),
            penetration_mm: self.penetration.map(|own| own.total),
            least_penetration_mm: dowel::least_penetration(&self.dowel),
            main_bearing: bearing(&self.joint.main),
            side_bearing: bearing(&self.joint.side),
            bending_yield: Stress::mpa(self.dowel.bending_yield),
        }
    }

    fn lateral_factors(&self) -> Outcome<Vec<Factor>> {
        let Factors { duration, warm, wetness } = self.factors;
        let freedom = if self.question.held_across { Freedom::Held } else { Freedom::Free };
        let wet = dowel::wet_service(wetness, self.dowel.diameter, freedom);
        let toe = if self.question.toe_nail { dowel::TOE_NAIL_LATERAL } else { 1.0 };
        self.group_action().then(|action| {
            self.geometry().map(|geometry| {
                vec![
                    duration,
                    wet,
                    warm,
                    Factor::new("Cg", action, "NDS Eq 11.3-1, read"),
                    Factor::new("CΔ", geometry, "NDS 12.5.1, read"),
                    dowel::end_grain(&self.joint.main.material),
                    Factor::new("Ctn", toe, "NDS 12.5.4.2, read"),
                ]
            })
        })
    }

    fn group_action(&self) -> Outcome<f64> {
        let Some(row) = &self.question.row else { return Outcome::fine(1.0) };
        let steel = matches!(self.joint.side.material, Material::Steel { .. });
        group::group_action(&Row {
            count: row.count,
            spacing: row.spacing.0,
            diameter: self.dowel.diameter,
            main: row.main_mpa * row.main_mm2,
            sides: row.sides_mpa * row.sides_mm2,
            side: if steel { SideMember::Steel } else { SideMember::Wood },
        })
    }

    fn geometry(&self) -> Outcome<f64> {
        let Some(near) = &self.question.distances else { return Outcome::fine(1.0) };
        if !dowel::is_thick(self.dowel.diameter) {
            let message = "the distances are not counted: the fastener is under 1/4 in";
            let help = "keep them all the same: advice against splitting is all there is for thin fasteners";
            return Outcome::with(1.0, vec![Diagnostic::note("distances-not-counted", message).help(help)]);
        }
        let mm = |size: Option<Size>| size.map(|size| size.0);
        let distances = Distances {
            end: mm(near.end),
            in_row: mm(near.in_row),
            loaded_edge: mm(near.loaded_edge),
            edge: mm(near.edge),
            between_rows: mm(near.between_rows),
        };
        group::geometry(&self.placing(near), &distances).map(|found| found.factor)
    }

    fn placing(&self, near: &Near) -> Placing {
        let load = match self.joint.main.material {
            Material::SideGrain { angle, .. } if angle.as_deg() < ALONG && near.towards_end => {
                GrainLoad::Towards
            }
            Material::SideGrain { angle, .. } if angle.as_deg() < ALONG => GrainLoad::Away,
            _ => GrainLoad::Across,
        };
        let sides = if self.joint.shear == Shear::Double { 2.0 } else { 1.0 } * self.joint.side.length;
        let diameter = self.dowel.diameter;
        let slenderness = self.joint.main.length.min(sides) / diameter;
        Placing { diameter, hardwood: self.hardwood, load, slenderness }
    }

    /// The puller and the wood that it holds in, where the fastener can be pulled at all.
    fn pulled(&self) -> Option<(Puller, f64, Grain, Penetration)> {
        let puller = self.puller?;
        let (gravity, grain) = match self.joint.main.material {
            Material::Steel { .. } => return None,
            Material::SideGrain { gravity, .. } => (gravity, Grain::Side),
            Material::EndGrain { gravity } => (gravity, Grain::End),
        };
        let is_pulled = self.question.pull_n.is_some_and(|pull| pull > 0.0);
        if grain == Grain::End && puller != Puller::LagScrew && !is_pulled {
            return None;
        }
        Some((puller, gravity, grain, self.penetration?))
    }

    fn withdrawal(&self, count: u32) -> Outcome<Option<WithdrawalAnswer>> {
        let Some((puller, gravity, grain, penetration)) = self.pulled() else { return Outcome::fine(None) };
        let holds = withdrawal::thread_in(puller, self.thread(puller, penetration), penetration);
        let out = withdrawal::pull_out(puller, self.dowel.diameter, gravity, holds, grain);
        let out = Outcome { diagnostics: [out.diagnostics, self.thread_assumed(puller)].concat(), ..out };
        out.then(|out| {
            self.head_through().then(|head| {
                self.steel().map(|steel| Some(self.withdrawal_answer(puller, holds, out, head, steel, count)))
            })
        })
    }

    fn withdrawal_answer(
        &self,
        puller: Puller,
        holds: f64,
        out: Adjusted,
        head: Option<f64>,
        steel: Option<f64>,
        count: u32,
    ) -> WithdrawalAnswer {
        let Factors { duration, warm, wetness } = self.factors;
        let shared = [duration, self.wet_pull(puller), warm];
        let factors = shared.into_iter().chain(out.factors).chain([self.toe_pull()]);
        let out = Adjusted::new(out.reference, factors.collect());
        let head =
            head.map(|head| Adjusted::new(head, vec![duration, withdrawal::head_wet_service(wetness), warm]));
        let mut ways = vec![(Way::PullOut, out.value())];
        ways.extend(head.as_ref().map(|head| (Way::HeadThrough, head.value())));
        ways.extend(steel.map(|steel| (Way::Steel, steel)));
        let (way, each) = withdrawal::weakest(&ways).unwrap_or((Way::PullOut, 0.0));
        WithdrawalAnswer {
            governing: way.word(),
            holds_mm: holds,
            pull_out: AdjustedForce::from(&out),
            head: head.as_ref().map(AdjustedForce::from),
            steel: steel.map(Force::newtons),
            each: Force::newtons(each),
            all: Force::newtons(each * f64::from(count)),
        }
    }

    /// Toe-nails take no CM when they are pulled (NDS 12.5.4.1, read).
    fn wet_pull(&self, puller: Puller) -> Factor {
        let wet = withdrawal::wet_service(puller, self.factors.wetness);
        if self.question.toe_nail { Factor::new("CM", 1.0, "NDS 12.5.4.1, read") } else { wet }
    }

    fn toe_pull(&self) -> Factor {
        let value = if self.question.toe_nail { withdrawal::TOE_NAIL_PULLED } else { 1.0 };
        Factor::new("Ctn", value, "NDS 12.5.4.1, read")
    }

    fn thread(&self, puller: Puller, penetration: Penetration) -> f64 {
        let length = self.question.fastener.length.map(|length| length.0);
        match (self.question.fastener.thread, length, puller) {
            (Some(thread), ..) => thread.0,
            (None, Some(length), Puller::LagScrew) => withdrawal::lag_thread(length),
            (None, Some(length), Puller::WoodScrew) => {
                withdrawal::wood_screw_thread(length, self.dowel.diameter)
            }
            _ => penetration.total + penetration.beyond,
        }
    }

    /// The length that a screw's thread follows from is not known: what is in the wood counts as threaded, and that is told.
    fn thread_assumed(&self, puller: Puller) -> Vec<Diagnostic> {
        let own = &self.question.fastener;
        let is_known = own.thread.is_some() || own.length.is_some();
        if is_known || Together::of(puller) == Together::Nail {
            return Vec::new();
        }
        let message = "no length and no thread are given: all that is in the main member counts as threaded";
        vec![Diagnostic::note("thread-assumed", message).help("give the `length`, or the length of `thread`")]
    }

    fn head_through(&self) -> Outcome<Option<f64>> {
        let gravity = match self.joint.side.material {
            Material::SideGrain { gravity, .. } | Material::EndGrain { gravity } => gravity,
            Material::Steel { .. } => return Outcome::fine(None),
        };
        let Some(head) = self.head.filter(|_| !self.question.toe_nail) else { return Outcome::fine(None) };
        let flat = flat_height(&self.dowel, Some(head));
        let under = self.question.side.under_head.map_or(self.side_thickness - flat, |size| size.0);
        withdrawal::head_pull_through(head, gravity, under).map(Some)
    }

    fn steel(&self) -> Outcome<Option<f64>> {
        match self.question.fastener.steel_mpa {
            Some(allowable) => withdrawal::steel_tension(self.dowel.root_diameter, allowable).map(Some),
            None => Outcome::fine(None),
        }
    }

    fn utilisation(
        &self,
        lateral: &LateralAnswer,
        withdrawal: Option<&WithdrawalAnswer>,
    ) -> Outcome<Option<f64>> {
        if self.question.shear_n.is_none() && self.question.pull_n.is_none() {
            return Outcome::fine(None);
        }
        let (shear, pull) =
            (self.question.shear_n.unwrap_or_default(), self.question.pull_n.unwrap_or_default());
        let (Some(withdrawal), Some(puller)) = (withdrawal, self.puller) else {
            if pull != 0.0 {
                let message = "a pull is asked of a fastener that has no value along its axis";
                return Outcome::failed(incomplete(
                    message,
                    "leave `pull_n` out, or look at washers and nuts",
                ));
            }
            // Nothing but shear: any withdrawal value does.
            return withdrawal::utilisation(Together::Nail, (shear, 0.0), (lateral.all.n, 1.0)).map(Some);
        };
        let values = (lateral.all.n, withdrawal.all.n);
        withdrawal::utilisation(Together::of(puller), (shear, pull), values).map(Some)
    }
}

/// Up to this angle to the grain, degrees, a load counts as along it for distances: the standard names only along and across, and the
/// nearer one is taken (project choice).
const ALONG: f64 = 45.0;
const TEMPERATURE: &str = "NDS Table 11.3.4, read";

/// Lateral and withdrawal values look at the same figures.
fn told_once<T>(outcome: Outcome<T>) -> Outcome<T> {
    let mut diagnostics: Vec<Diagnostic> = Vec::new();
    for own in outcome.diagnostics {
        if !diagnostics.contains(&own) {
            diagnostics.push(own);
        }
    }
    Outcome { diagnostics, ..outcome }
}

/// What holds a kind of fastener along its axis; of nails by the word for their shank.
fn puller(kind: Kind, shank: Option<&str>) -> Result<Option<Puller>, Diagnostic> {
    match (kind, shank) {
        (Kind::Nail, None) => Ok(Some(Puller::SmoothNail)),
        (Kind::Nail, Some(word)) => {
            let mut nails = PULLERS.to_vec();
            nails.retain(|(puller, _)| Together::of(*puller) == Together::Nail);
            choose("shank", word, &nails).map(Some)
        }
        (_, Some(_)) => Err(incomplete("only a nail has a `shank`", "leave it out")),
        (Kind::Bolt, None) => Ok(None),
        (Kind::LagScrew, None) => Ok(Some(Puller::LagScrew)),
        (Kind::WoodScrew, None) => Ok(Some(Puller::WoodScrew)),
    }
}

fn shear(question: &Question, kind: Kind) -> Result<Shear, Diagnostic> {
    let words = [(Shear::Single, "single"), (Shear::Double, "double")];
    let shear = question.shear.as_deref().map_or(Ok(Shear::Single), |word| choose("shear", word, &words))?;
    if shear == Shear::Double && kind != Kind::Bolt {
        return Err(incomplete(
            "only a bolt is worked out in double shear",
            "take each shear plane by itself, and the lower one twice",
        ));
    }
    Ok(shear)
}

/// What only one kind of fastener has.
fn look_at_kind(question: &Question, kind: Kind) -> Result<(), Diagnostic> {
    if question.toe_nail && kind != Kind::Nail {
        return Err(incomplete("only a nail can be a toe-nail", "leave `toe_nail` out"));
    }
    if question.penetration.is_some() && (question.toe_nail || kind == Kind::Bolt) {
        let (message, help) = if question.toe_nail {
            ("how far a toe-nail goes in follows from its length", "leave `penetration` out")
        } else {
            ("a bolt goes through the main member", "give its `thickness`, and leave `penetration` out")
        };
        return Err(incomplete(message, help));
    }
    if question.side.end_grain {
        return Err(incomplete(
            "a fastener along the grain of the side member is not worked out",
            "leave `end_grain` out of `side`, or turn the joint so that the fastener crosses its grain",
        ));
    }
    Ok(())
}

fn look_at_row(question: &Question) -> Result<(), Diagnostic> {
    let count = question.count.unwrap_or(1);
    match &question.row {
        Some(row) if row.count > count => Err(incomplete(
            format!("{} fasteners stand in a row, and there are {count} in all", row.count),
            "give the `count` of all of them",
        )),
        _ => Ok(()),
    }
}

fn thickness(name: &str, member: &Member) -> Result<f64, Diagnostic> {
    let thickness = member.thickness.map(|size| size.0);
    thickness.ok_or_else(|| incomplete(format!("the {name} member has no thickness"), "give its `thickness`"))
}

fn hardwood(member: &Member, catalogue: &Catalogue) -> Result<bool, Diagnostic> {
    match (member.hardwood, &member.wood) {
        (Some(hardwood), _) => Ok(hardwood),
        (None, Some(wood)) => catalogue.species(wood).map(|species| species.hardwood),
        (None, None) => Ok(false),
    }
}

fn material(member: &Member, catalogue: &Catalogue, kind: Kind) -> Result<Material, Diagnostic> {
    if let Some(steel) = &member.steel {
        if member.wood.is_some() || member.gravity.is_some() || member.end_grain {
            return Err(incomplete(
                "a member is of steel and of wood",
                "give `steel`, or `wood` or `gravity`",
            ));
        }
        let strength = choose("steel", steel, &[(A36, "A36"), (A653_GRADE_33, "A653 Grade 33")])?;
        return Ok(Material::Steel { strength });
    }
    let gravity = gravity(catalogue, member.gravity, member.wood.as_deref())?;
    match (member.end_grain, kind) {
        (true, Kind::Bolt) => Err(incomplete(
            "a bolt cannot stand in end grain",
            "take a lag screw, or a barrel nut and its bearing",
        )),
        (true, _) => Ok(Material::EndGrain { gravity }),
        (false, _) => Ok(Material::SideGrain { gravity, angle: Angle::deg(member.angle_deg) }),
    }
}

/// Bearing length in the side member and how far the fastener goes into the main one; no penetration for a bolt.
fn placed(
    question: &Question,
    dowel: &Dowel,
    head: Option<f64>,
    side: f64,
) -> Result<(f64, Option<Penetration>), Diagnostic> {
    if dowel.kind == Kind::Bolt {
        return Ok((side, None));
    }
    let length = question.fastener.length.map(|length| length.0);
    if question.toe_nail {
        let length = length.ok_or_else(|| incomplete("the toe-nail has no length", "give its `length`"))?;
        let outcome = dowel::toe_nail(length, side);
        return match outcome.value {
            Some(toe) => Ok((toe.side, Some(Penetration::ending_in(dowel, toe.main)))),
            None => Err(outcome.diagnostics.into_iter().next().unwrap_or_else(|| {
                incomplete("the toe-nail cannot be placed", "give its `length` and the side's `thickness`")
            })),
        };
    }
    if let Some(penetration) = question.penetration {
        look_at_penetration(question, penetration.0, flat_height(dowel, head), side)?;
        return Ok((side, Some(Penetration::ending_in(dowel, penetration.0))));
    }
    let length = length.ok_or_else(|| {
        incomplete("how far the fastener goes in is not known", "give its `length` or the `penetration`")
    })?;
    let main = thickness("main", &question.main)?;
    Ok((side, Some(Penetration::of(dowel, length, side, question.gap.0, main))))
}

/// A fastener cannot go farther in than there is wood, nor than it is long. A sunk head leaves less of the side member to pass.
fn look_at_penetration(question: &Question, there: f64, flat: f64, side: f64) -> Result<(), Diagnostic> {
    let passed = question.side.under_head.map_or(side, |under| side.min(under.0 + flat));
    let reach = question.fastener.length.map(|length| length.0 - passed - question.gap.0);
    let limits = [
        (question.main.thickness.map(|size| size.0), "the main member is thick"),
        (reach, "its length leaves"),
    ];
    let broken = limits
        .into_iter()
        .find_map(|(most, what)| Some((most?, what)).filter(|(most, _)| there > most + PENETRATION_SLACK));
    broken.map_or(Ok(()), |(most, what)| {
        Err(incomplete(
            format!("a `penetration` of {there:.1} mm is more than the {most:.1} mm that {what}"),
            "leave `penetration` out: it follows from the `length`",
        ))
    })
}

/// Slack for lengths that came from inches: a nanometre, mm.
const PENETRATION_SLACK: f64 = 1e-6;

/// What a flat head takes of the wood that it is sunk in, mm: that of a wood screw.
fn flat_height(dowel: &Dowel, head: Option<f64>) -> f64 {
    match (dowel.kind, head) {
        (Kind::WoodScrew, Some(head)) => withdrawal::flat_head_height(head, dowel.diameter),
        _ => 0.0,
    }
}

/// Measures of a fastener, mm.
struct Measures {
    diameter: f64,
    root: Option<f64>,
    head: Option<f64>,
}

impl Measures {
    fn read(fastener: &Fastener, kind: Kind, catalogue: &Catalogue) -> Result<Self, Diagnostic> {
        let found = match &fastener.size {
            None => None,
            Some(size) => Some(catalogue.fastener(catalogue_kind(kind), size)?),
        };
        let own = |given: Option<Size>, listed: Option<slatwork_base::Length>| {
            given.map(|size| size.0).or_else(|| listed.map(slatwork_base::Length::as_mm))
        };
        let diameter = own(fastener.diameter, found.map(|found| found.diameter));
        let diameter = diameter
            .ok_or_else(|| incomplete("the fastener has no size", "give its `size` or its `diameter`"))?;
        let root = own(fastener.root_diameter, found.and_then(|found| found.dim("root_diameter")));
        let head =
            own(fastener.head_diameter, found.and_then(slatwork_catalog::Fastener::design_head_diameter));
        Ok(Measures { diameter, root, head })
    }

    fn dowel(&self, kind: Kind, bending_yield: Option<f64>) -> Outcome<Dowel> {
        let made = match (kind, self.root) {
            (Kind::Bolt, _) => Dowel::bolt(self.diameter),
            (Kind::Nail, _) => Dowel::nail(self.diameter),
            (Kind::LagScrew, Some(root)) => Dowel::lag_screw(self.diameter, root),
            (Kind::WoodScrew, Some(root)) => Dowel::wood_screw(self.diameter, root),
            (_, None) => Outcome::failed(incomplete(
                "the diameter under the thread is not known",
                "give `root_diameter`: it decides what a screw carries",
            )),
        };
        // A root that the catalogue does not give is that of a full body.
        made.map(|dowel| Dowel {
            root_diameter: self.root.unwrap_or(dowel.root_diameter),
            bending_yield: bending_yield.unwrap_or(dowel.bending_yield),
            ..dowel
        })
    }
}

fn catalogue_kind(kind: Kind) -> FastenerKind {
    match kind {
        Kind::Bolt => FastenerKind::HexBolt,
        Kind::LagScrew => FastenerKind::LagScrew,
        Kind::WoodScrew => FastenerKind::WoodScrew,
        Kind::Nail => FastenerKind::Nail,
    }
}
