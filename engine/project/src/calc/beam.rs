//! What a slat, a rail or a post carries: bending, shear, bearing, deflection, and a load along it.

use super::figure::{
    AdjustedStress, Size, Stress, USUAL_TEMPERATURE, choose, duration, incomplete, over_capacity, service,
};
use super::json::{Object, read};
use super::{Answered, Calculation, Findings, Setting, document, told};
use crate::calc;
use serde::Serialize;
use slatwork_base::{Angle, Diagnostic, Length, Outcome, Severity};
use slatwork_catalog::{Catalogue, Section as Listed, SizeRule, Species};
use slatwork_checks::statics::beam::{
    self, Beam, BeamResult, CASES, Case, ColumnStability, End, Interaction, Limit, Limits, Section, Stresses,
    Verdict,
};
use slatwork_checks::statics::given::Given;
use slatwork_checks::statics::wood::{
    self, ClearWood, Conditions, DesignValues, Grading, Nominal, Reference, Soundness, Warmth, Ways,
};

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "beam",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-beam.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r#"{ "section": "2x6", "flat": true, "wood": "western red cedar", "grade": "No.2",
  "span": "47in", "case": "centre", "load_n": 800, "bearing": "1-1/2in", "wet": true }"#;

const LAYOUT: &str = "\
section                   of the catalogue; or else breadth and depth
breadth, depth            across and along the load
flat                      true when loaded on the wide face of a section
wood                      of the catalogue
grade                     with published values: No.2, Select Structural
estimate                  without: select, first, second, third
values_psi                or seven values: Fb, Ft, Fv, Fc across, Fc, E, Emin
span                      between supports, or the length of a cantilever
case                      uniform, centre, third points, cantilever uniform, cantilever end
load_n, lasting_n         whole load and the part that stays, N
unbraced                  free length of the compression edge; the span when left out
bearing                   length of each bearing; 1-1/2 in when left out
bearing_from_end          from the end of the member to the bearing
bearing_angle_deg         of the load to the grain; 90 when left out
notch_leaves              depth that a notch leaves at the supports
hung_at, hung_from_end    depth to the fasteners that it hangs from; their way from its end
deflection_part           240 for span/240 (when left out)
wet, green                over 19 % in use; green when built in
duration                  permanent, ten years, two months, seven days, ten minutes, impact
temperature_c             that the wood keeps for long
repetitive, incised       true for one of three or more; incised for treatment
compression_n, tension_n  along the member besides, N
column_length             effective length as a column; the span when left out
held_across               true when held against bowing across the load";

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read)
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    question(asked).then(|question| {
        let outcome = answer(&question, setting.catalogue);
        let fails = outcome.diagnostics.iter().any(|own| own.severity == Severity::Failure);
        outcome.map(|answer| Answered {
            text: told::beam(&question, &answer, fails, setting.units),
            document: document(&answer),
        })
    })
}

/// A member on two supports, or held at one end.
#[derive(Clone, Debug, Default)]
pub struct Question {
    /// A section of the catalogue; on edge, unless `flat`.
    pub section: Option<String>,
    /// Or its breadth, across the load.
    pub breadth: Option<Size>,
    /// And its depth, along the load.
    pub depth: Option<Size>,
    /// Whether a section is loaded on its wide face; a breadth and a depth say so themselves.
    pub flat: Option<bool>,
    /// A wood of the catalogue.
    pub wood: Option<String>,
    /// A grade that it has published values for.
    pub grade: Option<String>,
    /// Instead of a grade, an estimate as sound as `select`, `first`, `second` or `third`.
    pub estimate: Option<String>,
    /// Or values in psi: Fb, Ft, Fv, Fc across, Fc, E, Emin, with no size factor.
    pub values_psi: Option<[f64; 7]>,
    /// Span, or length of a cantilever.
    pub span: Size,
    /// `uniform` (when left out), `centre`, `third points`, `cantilever uniform`, `cantilever end`.
    pub case: Option<String>,
    /// Whole load, N.
    pub load_n: f64,
    /// Part of it that stays, N.
    pub lasting_n: f64,
    /// Length over which the compression edge is free; the span when left out.
    pub unbraced: Option<Size>,
    /// Length of each bearing.
    pub bearing: Size,
    /// From the end of the member to the bearing.
    pub bearing_from_end: Size,
    /// Angle of the load on a bearing to the grain, degrees; 90, across it, when left out.
    pub bearing_angle_deg: Option<f64>,
    /// Depth that a notch on the tension side leaves at the supports.
    pub notch_leaves: Option<Size>,
    /// Depth from the far edge to the fasteners that a rail hangs from.
    pub hung_at: Option<Size>,
    /// From the end of the rail to those fasteners.
    pub hung_from_end: Option<Size>,
    /// Deflection allowed, as the part of the span: 240 for span/240 (when left out).
    pub deflection_part: Option<f64>,
    /// Whether the wood is over 19 % moisture in use: outdoors it is.
    pub wet: bool,
    /// Whether it was green when built in.
    pub green: bool,
    /// `permanent`, `ten years` (when left out), `two months`, `seven days`, `ten minutes`, `impact`.
    pub duration: Option<String>,
    /// Temperature that the wood keeps for long, degrees C.
    pub temperature_c: Option<f64>,
    /// One of three or more that share their load.
    pub repetitive: bool,
    /// Incised for treatment.
    pub incised: bool,
    /// Compression along the member besides, N.
    pub compression_n: f64,
    /// Tension along the member besides, N.
    pub tension_n: f64,
    /// Effective length as a column; the span when left out.
    pub column_length: Option<Size>,
    /// Whether the column is held against bowing across the load, by slats or sheathing.
    pub held_across: bool,
}

impl Question {
    fn read(own: &Object<'_>) -> Self {
        Question {
            section: own.text("section"),
            breadth: own.size("breadth"),
            depth: own.size("depth"),
            flat: own.yes("flat"),
            wood: own.text("wood"),
            grade: own.text("grade"),
            estimate: own.text("estimate"),
            values_psi: own.numbers("values_psi"),
            span: own.size("span").unwrap_or_default(),
            case: own.text("case"),
            load_n: own.number("load_n").unwrap_or(0.0),
            lasting_n: own.number("lasting_n").unwrap_or(0.0),
            unbraced: own.size("unbraced"),
            bearing: own.size("bearing").unwrap_or(USUAL_BEARING),
            bearing_from_end: own.size("bearing_from_end").unwrap_or_default(),
            bearing_angle_deg: own.number("bearing_angle_deg"),
            notch_leaves: own.size("notch_leaves"),
            hung_at: own.size("hung_at"),
            hung_from_end: own.size("hung_from_end"),
            deflection_part: own.number("deflection_part"),
            wet: own.flag("wet"),
            green: own.flag("green"),
            duration: own.text("duration"),
            temperature_c: own.number("temperature_c"),
            repetitive: own.flag("repetitive"),
            incised: own.flag("incised"),
            compression_n: own.number("compression_n").unwrap_or(0.0),
            tension_n: own.number("tension_n").unwrap_or(0.0),
            column_length: own.size("column_length"),
            held_across: own.flag("held_across"),
        }
    }

    /// Whether it is loaded on its wide face.
    pub(super) fn is_flat(&self) -> bool {
        match (self.breadth, self.depth) {
            (Some(breadth), Some(depth)) => depth.0 < breadth.0,
            _ => self.flat.unwrap_or_default(),
        }
    }

    /// Sizes that are none, before values are looked up by them.
    fn sizes(&self) -> Given {
        let mut given = Given::new();
        for (what, size) in [("breadth in mm", self.breadth), ("depth in mm", self.depth)] {
            if let Some(size) = size {
                given.positive(what, size.0);
            }
        }
        given
    }

    /// What is said twice and would be passed over in silence.
    fn said_twice(&self) -> Result<(), Diagnostic> {
        let refused = |message, help| Err(incomplete(message, help));
        if self.flat.is_some_and(|flat| flat != self.is_flat()) {
            return refused(
                "`flat` is not how the breadth and the depth lie",
                "leave `flat` out: the depth is the size along the load",
            );
        }
        if self.notch_leaves.is_some() && self.hung_at.is_some() {
            return refused(
                "the ends are notched and hung from fasteners at once",
                "give `notch_leaves` or `hung_at`, the one that leaves less, and look at the other by itself",
            );
        }
        if self.hung_from_end.is_some() && self.hung_at.is_none() {
            return refused("the fasteners that it hangs from have no depth", "give `hung_at` as well");
        }
        if self.values_psi.is_some()
            && [&self.wood, &self.grade, &self.estimate].iter().any(|own| own.is_some())
        {
            return refused(
                "the member has values of its own and those of a wood",
                "give `values_psi`, or `wood` with `grade` or `estimate`",
            );
        }
        Ok(())
    }
}

/// What it carries.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// `published`, `estimate` or `given`.
    pub basis: &'static str,
    /// What governs: `bending`, `shear`, `bearing`, `deflection`, or `bending and load along`.
    pub governing: &'static str,
    /// Share of the capacity that is used there.
    pub share: f64,
    /// Every limit.
    pub limits: Vec<LimitAnswer>,
    /// Bending with a load along, where there is one.
    pub together: Option<TogetherAnswer>,
    /// Design values with their factors.
    pub values: Values,
    /// CL.
    pub beam_stability: f64,
    /// CP where there is compression.
    pub column_stability: Option<f64>,
    /// Cb.
    pub bearing_factor: f64,
    /// Deflection at once, mm, from bending.
    pub bends_mm: f64,
    /// Deflection at once, mm, from shear.
    pub shears_mm: f64,
}

/// One limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LimitAnswer {
    /// Which.
    pub limit: &'static str,
    /// What is asked.
    pub demand: f64,
    /// What it can do.
    pub capacity: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// Their quotient.
    pub share: f64,
}

/// Bending with a load along.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct TogetherAnswer {
    /// Share of the capacity.
    pub share: f64,
    /// The equation of NDS that gives it.
    pub equation: &'static str,
}

/// Design values with their factors.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Values {
    /// Fb, without CL.
    pub bending: AdjustedStress,
    /// Ft.
    pub tension: AdjustedStress,
    /// Fv.
    pub shear: AdjustedStress,
    /// Fc across the grain, without Cb.
    pub across: AdjustedStress,
    /// Fc, without CP.
    pub compression: AdjustedStress,
    /// E.
    pub elasticity: AdjustedStress,
    /// Emin.
    pub stability_elasticity: AdjustedStress,
    /// Bearing at the angle asked for, with Cb on its part across the grain.
    pub bearing: Stress,
}

/// A deflection where nothing is said: span/240 (common practice).
const USUAL_DEFLECTION: f64 = 240.0;
/// A bearing where nothing is said: the edge of a 2x board, 1-1/2 in (project choice).
const USUAL_BEARING: Size = Size(38.1);
/// Bearing on a support across the grain.
const ACROSS: f64 = 90.0;

/// Answers. Every trouble is told; an error leaves no answer.
pub fn answer(question: &Question, catalogue: &Catalogue) -> Outcome<Answer> {
    let mut outcome = answer_by(question, catalogue);
    let share = outcome.value.as_ref().map(|answer| answer.share);
    outcome.diagnostics.extend(share.and_then(|share| over_capacity("the member", share)));
    outcome
}

fn answer_by(question: &Question, catalogue: &Catalogue) -> Outcome<Answer> {
    question.sizes().settle_with(|| answer_of(question, catalogue))
}

fn answer_of(question: &Question, catalogue: &Catalogue) -> Outcome<Answer> {
    match question.said_twice().and_then(|()| Member::read(question, catalogue)) {
        Ok(member) => member.then(|member| {
            let part = question.deflection_part.unwrap_or(USUAL_DEFLECTION);
            Given::new()
                .positive("part of the span", part)
                .not_negative("compression along the member", question.compression_n)
                .not_negative("tension along the member", question.tension_n)
                .settle_with(|| member.answer(1.0 / part))
        }),
        Err(trouble) => Outcome::failed(trouble),
    }
}

/// Stability of a member as a column.
#[derive(Clone, Copy)]
struct Columns {
    /// Bowing along the load.
    edge: ColumnStability,
    /// Bowing across it, unless it is held.
    flat: Option<ColumnStability>,
}

impl Columns {
    /// CP.
    fn least(&self) -> f64 {
        self.flat.map_or(self.edge.factor, |flat| flat.factor.min(self.edge.factor))
    }
}

/// A question with everything looked up.
struct Member<'a> {
    question: &'a Question,
    section: Section,
    case: Case,
    basis: &'static str,
    values: DesignValues,
}

impl<'a> Member<'a> {
    fn read(question: &'a Question, catalogue: &Catalogue) -> Result<Outcome<Self>, Diagnostic> {
        let (section, nominal) = sizes(question, catalogue)?;
        let case = question.case.as_deref().map_or(Ok(Case::Uniform), |word| choose("case", word, &CASES))?;
        let duration = duration(question.duration.as_deref())?;
        let Basis { name, reference, grading } = Basis::read(question, catalogue, nominal)?;
        let mm = |length: Length| length.as_mm();
        let warmth = Warmth::at(question.temperature_c.unwrap_or(USUAL_TEMPERATURE));
        let conditions = |warmth| Conditions {
            duration,
            service: service(question.wet),
            warmth,
            grading,
            nominal: Nominal { thickness: mm(nominal.0), width: mm(nominal.1) },
            ways: Ways {
                flat: question.is_flat(),
                repetitive: question.repetitive,
                incised: question.incised,
            },
        };
        let values =
            reference.then(|reference| warmth.then(|warmth| wood::adjust(&reference, &conditions(warmth))));
        Ok(values.map(|values| Member { question, section, case, basis: name, values }))
    }

    fn answer(&self, allowed_deflection: f64) -> Outcome<Answer> {
        let mut given = Given::new();
        let found = given.take(beam::beam(&self.beam(allowed_deflection), &self.values));
        let column = if self.question.compression_n > 0.0 { given.take(self.columns()) } else { None };
        let together = match (&found, self.question.compression_n, self.question.tension_n) {
            (Some(_), 0.0, 0.0) => None,
            (Some(found), ..) => given.take(self.together(found, column)).flatten(),
            (None, ..) => None,
        };
        given.settle_with(|| match found {
            Some(found) => Outcome::fine(self.told(&found, column, together)),
            None => Outcome { value: None, diagnostics: Vec::new() },
        })
    }

    fn beam(&self, allowed_deflection: f64) -> Beam {
        let question = self.question;
        let end = match (question.notch_leaves, question.hung_at) {
            (Some(left), _) => End::Notched { left: left.0 },
            (None, Some(effective)) => End::Fastened {
                effective: effective.0,
                // Near the end is the worse case.
                from_end: question.hung_from_end.map_or(1.0, |size| size.0),
            },
            (None, None) => End::Whole,
        };
        Beam {
            section: self.section,
            span: question.span.0,
            case: self.case,
            load: question.load_n,
            lasting: question.lasting_n,
            unbraced: question.unbraced.unwrap_or(question.span).0,
            bearing: question.bearing.0,
            bearing_from_end: question.bearing_from_end.0,
            bearing_angle: Angle::deg(question.bearing_angle_deg.unwrap_or(ACROSS)),
            end,
            allowed_deflection,
            creep: beam::creep(service(question.green), service(question.wet)),
        }
    }

    /// Stability as a column in the direction of the load and, unless it is held there, across it.
    fn columns(&self) -> Outcome<Columns> {
        let length = self.question.column_length.unwrap_or(self.question.span).0;
        let (stress, elasticity) =
            (self.values.compression.value(), self.values.stability_elasticity.value());
        let about = |depth| beam::column_stability(depth, length, stress, elasticity);
        let edge = about(self.section.depth);
        if self.question.held_across {
            return edge.map(|edge| Columns { edge, flat: None });
        }
        edge.then(|edge| about(self.section.breadth).map(|flat| Columns { edge, flat: Some(flat) }))
    }

    fn together(&self, found: &BeamResult, column: Option<Columns>) -> Outcome<Option<Interaction>> {
        let (area, question) = (self.section.area(), self.question);
        if question.tension_n > 0.0 && question.compression_n > 0.0 {
            let message = "a member is pulled and pressed at once";
            return Outcome::failed(incomplete(message, "give `compression_n` or `tension_n`"));
        }
        let stress = Stresses {
            compression: question.compression_n / area,
            tension: question.tension_n / area,
            edge: found.verdicts[0].demand,
            flat: 0.0,
        };
        let least = column.map_or(1.0, |column| column.least());
        let bending = self.values.bending.value();
        let limit = Limits {
            compression: self.values.compression.value() * least,
            tension: self.values.tension.value(),
            edge: bending * found.stability.factor,
            edge_held: bending,
            flat: bending,
            critical_edge: column.map_or(f64::INFINITY, |column| column.edge.critical),
            critical_flat: column.and_then(|column| column.flat).map_or(f64::INFINITY, |flat| flat.critical),
            critical_beam: found.stability.critical,
        };
        match (question.tension_n > 0.0, column) {
            (true, _) => beam::tension_and_bending(&stress, &limit).map(Some),
            (false, Some(_)) => beam::compression_and_bending(&stress, &limit).map(Some),
            // The column could not be worked out, and that was told.
            (false, None) => Outcome::fine(None),
        }
    }

    fn told(&self, found: &BeamResult, column: Option<Columns>, together: Option<Interaction>) -> Answer {
        let worst = found.governing;
        let (governing, share) = match together {
            Some(together) if together.share > worst.share() => ("bending and load along", together.share),
            _ => (worst.limit.word(), worst.share()),
        };
        Answer {
            basis: self.basis,
            governing,
            share,
            limits: found.verdicts.iter().map(LimitAnswer::from).collect(),
            together: together.map(|own| TogetherAnswer { share: own.share, equation: own.equation }),
            values: Values::of(&self.values, bearing(found)),
            beam_stability: found.stability.factor,
            column_stability: column.map(|column| column.least()),
            bearing_factor: found.bearing_factor,
            bends_mm: found.at_once.0,
            shears_mm: found.at_once.1,
        }
    }
}

/// What the bearing can do, MPa.
fn bearing(found: &BeamResult) -> f64 {
    found.verdicts.iter().find(|own| own.limit == Limit::Bearing).map_or(0.0, |own| own.capacity)
}

impl From<&Verdict> for LimitAnswer {
    fn from(own: &Verdict) -> Self {
        let unit = match own.limit {
            Limit::Bending | Limit::Bearing => "MPa",
            Limit::Shear => "N",
            Limit::Deflection => "mm",
        };
        let Verdict { limit, demand, capacity } = *own;
        LimitAnswer { limit: limit.word(), demand, capacity, unit, share: own.share() }
    }
}

impl Values {
    fn of(values: &DesignValues, bearing: f64) -> Self {
        Values {
            bending: AdjustedStress::from(&values.bending),
            tension: AdjustedStress::from(&values.tension),
            shear: AdjustedStress::from(&values.shear),
            across: AdjustedStress::from(&values.across),
            compression: AdjustedStress::from(&values.compression),
            elasticity: AdjustedStress::from(&values.elasticity),
            stability_elasticity: AdjustedStress::from(&values.stability_elasticity),
            bearing: Stress::mpa(bearing),
        }
    }
}

/// The section as it stands to the load, and the nominal size, thickness first, under which the tables list it.
fn sizes(question: &Question, catalogue: &Catalogue) -> Result<(Section, (Length, Length)), Diagnostic> {
    match (&question.section, question.breadth, question.depth) {
        (Some(name), None, None) => {
            let listed = catalogue.section(name)?;
            Ok((standing(listed, question.is_flat()), listed.table_size()))
        }
        (None, Some(breadth), Some(depth)) => {
            let (least, most) = (breadth.0.min(depth.0), breadth.0.max(depth.0));
            let section = Section { breadth: breadth.0, depth: depth.0 };
            Ok((section, (Length::mm(least), Length::mm(most))))
        }
        _ => Err(incomplete(
            "the member has no section, or two",
            "give its `section`, or its `breadth` and `depth`",
        )),
    }
}

fn standing(listed: &Listed, flat: bool) -> Section {
    let edge = Section { breadth: listed.thickness.as_mm(), depth: listed.width.as_mm() };
    if flat { edge.turned() } else { edge }
}

/// Where the strength comes from.
struct Basis {
    name: &'static str,
    reference: Outcome<Reference>,
    grading: Grading,
}

impl Basis {
    fn read(
        question: &Question,
        catalogue: &Catalogue,
        nominal: (Length, Length),
    ) -> Result<Basis, Diagnostic> {
        if let Some(psi) = question.values_psi {
            let reference = Outcome::fine(Reference::psi(psi));
            return Ok(Basis { name: "given", reference, grading: Grading::Unsized });
        }
        let Some(wood) = &question.wood else {
            return Err(incomplete("the member has no wood", "give `wood`, or `values_psi`"));
        };
        let species = catalogue.species(wood)?;
        match (&question.grade, &question.estimate) {
            (Some(grade), None) => published(catalogue, species, grade, nominal),
            (None, Some(word)) => estimated(species, word),
            _ => Err(incomplete(
                "how sound the wood is is not known, or told twice",
                "give `grade` or `estimate`",
            )),
        }
    }
}

fn published(
    catalogue: &Catalogue,
    species: &Species,
    grade: &str,
    nominal: (Length, Length),
) -> Result<Basis, Diagnostic> {
    let Some(row) = catalogue.design_values(species, grade, nominal)? else {
        let message = format!("no design values are published for {} of this size", species.name);
        return Err(incomplete(message, "leave `grade` out and give an `estimate`"));
    };
    let psi = [
        row.bending_psi,
        row.tension_psi,
        row.shear_psi,
        row.compression_across_psi,
        row.compression_psi,
        row.elasticity_psi,
        row.stability_elasticity_psi,
    ];
    let grading = match (row.size_rule, row.grade.as_str()) {
        (SizeRule::Specific, _) => Grading::SizeSpecific,
        // Size factors of timbers begin beyond 12 in of depth (NDS 4.3.6.2, from memory): no seat has them.
        (SizeRule::Timber, _) => Grading::Unsized,
        (SizeRule::Factor, "Stud") => Grading::Stud,
        (SizeRule::Factor, "Construction" | "Standard" | "Utility") => Grading::LightFraming,
        (SizeRule::Factor, _) => Grading::Numbered,
    };
    Ok(Basis { name: "published", reference: Outcome::fine(Reference::psi(psi)), grading })
}

fn estimated(species: &Species, word: &str) -> Result<Basis, Diagnostic> {
    let words = [
        (Soundness::Select, "select"),
        (Soundness::First, "first"),
        (Soundness::Second, "second"),
        (Soundness::Third, "third"),
    ];
    let soundness = choose("estimate", word, &words)?;
    let clear = species.clear;
    let Some(across) = clear.compression_across_mpa else {
        let message = format!("the strength of {} across the grain is not known", species.name);
        return Err(incomplete(message, "give `values_psi`"));
    };
    let clear = ClearWood {
        rupture: clear.rupture_mpa,
        shear: clear.shear_mpa,
        compression: clear.compression_mpa,
        across,
        elasticity: clear.elasticity_mpa,
        hardwood: species.hardwood,
    };
    Ok(Basis { name: "estimate", reference: wood::estimate(&clear, soundness), grading: Grading::Unsized })
}
