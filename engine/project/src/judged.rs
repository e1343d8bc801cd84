//! One variant under every check: verdicts for a person as lines, and for a program as JSON.

use crate::remedy::{Remedies, remedies};
use crate::{Made, Request, Workshop, World};
use serde_json::{Map, Value, json};
use slatwork_base::formula::{Equation, NamedNumber};
use slatwork_base::{Diagnostic, Outcome, Place, did_you_mean};
use slatwork_checks::statics::swing::STANDARD_GRAVITY;
use slatwork_checks::statics::units::POUND;
use slatwork_checks::{
    AIR_FORMAT, CLIMATES, Case, Caution, Climate, Conditions, Exposure, GlueClass, Handed, HookPull, Limit,
    Measure, NotRated, OF_WHAT_HANGS, Preservative, Rating, Seated, SeatedChain, Standing, Verdict, Working,
    handed_over, judge, rate, seatings,
};
use slatwork_model::Model;
use std::collections::BTreeSet;
use std::sync::Arc;

/// What the checks find of one variant.
#[derive(Clone, Debug)]
pub struct Judged {
    /// Id of the family.
    pub family: String,
    /// The piece.
    pub model: Arc<Model>,
    /// What it lives in.
    pub conditions: Conditions,
    /// Cautions that somebody accepted.
    pub accepted: BTreeSet<Caution>,
    /// Every verdict, subject by subject.
    pub verdicts: Vec<Verdict>,
    /// Where each verdict's script line is, in the same order.
    pub places: Vec<Option<Place>>,
    /// What it is rated for, or why it is not.
    pub rating: Result<Rating, NotRated>,
    /// How it hangs with each seating; none where it stands.
    pub seated: Vec<Seated>,
    /// What the hooks bear, where that is accepted and it hangs.
    pub handed: Option<Handed>,
    /// What one change would mend, where that was asked and something fails.
    pub remedies: Option<Remedies>,
}

/// Makes a variant and puts it under every check. What misses is not among the diagnostics: it is a verdict.
pub fn check(world: &dyn World, request: &Request) -> Outcome<Judged> {
    look(world, request, |_, _| None)
}

/// The same, and where something fails what one change would mend.
pub fn check_with_remedies(world: &dyn World, request: &Request) -> Outcome<Judged> {
    look(world, request, |workshop, made| {
        remedies(workshop, &made.values, request.conditions, &request.accepted)
    })
}

fn look(
    world: &dyn World,
    request: &Request,
    mend: impl Fn(&Workshop, &Made) -> Option<Remedies>,
) -> Outcome<Judged> {
    Workshop::open(world, request).then(|workshop| {
        let made = workshop.make(&[]);
        let judged = made.value.map(|made| {
            let judged = judged(&workshop, Arc::clone(&made.model), request);
            Judged { remedies: mend(&workshop, &made), ..judged }
        });
        // What making the piece itself tells is told as ever; findings on making are verdicts here.
        let told = |own: &Diagnostic| judged.as_ref().is_some_and(|judged| tells(judged, own.code));
        let troubles = made.diagnostics.into_iter().filter(|own| !told(own)).collect();
        Outcome { value: judged, diagnostics: troubles }
    })
}

/// Whether checks already tell it.
fn tells(judged: &Judged, code: &str) -> bool {
    judged.verdicts.iter().any(|verdict| verdict.check == code)
}

fn judged(workshop: &Workshop, model: Arc<Model>, request: &Request) -> Judged {
    let case = Case::new(&model, workshop.catalogue())
        .under(request.conditions)
        .accepting(request.accepted.iter().copied())
        .on_threads();
    Judged::of(workshop, &case, &model)
}

impl Judged {
    /// Puts a case under every check.
    pub(crate) fn of(workshop: &Workshop, case: &Case<'_>, model: &Arc<Model>) -> Judged {
        let (verdicts, seated, handed) = (judge(case), seatings(case), handed_over(case).ok());
        let place = |verdict: &Verdict| {
            let somewhere = Diagnostic::note(verdict.check, "").at_origin(verdict.origin);
            workshop.library().settle(somewhere).place
        };
        Judged {
            family: workshop.family().to_string(),
            model: Arc::clone(model),
            conditions: case.conditions,
            accepted: case.accepted.clone(),
            places: verdicts.iter().map(place).collect(),
            verdicts,
            rating: rate(case),
            seated,
            handed,
            remedies: None,
        }
    }

    /// Whether anything fails.
    pub fn fails(&self) -> bool {
        self.verdicts.iter().any(Verdict::fails)
    }

    /// For a person: what misses first and in full, then what cannot be told, then what holds in a line each.
    pub fn text(&self) -> String {
        let of =
            |rank: u8| self.verdicts.iter().zip(&self.places).filter(move |(own, _)| rank_of(own) == rank);
        let mut text = format!("{}: {}\njudged for: {}\n", self.model.title, self.counted(), self.conditions);
        text += &rating_text(&self.rating);
        for (heading, rank) in [("fails", 0), ("warnings", 1), ("not judged", 2)] {
            let entries: String = of(rank).map(|(own, place)| in_full(own, place.as_ref())).collect();
            if !entries.is_empty() {
                text += &format!("\n{heading}\n{entries}");
            }
            if rank == 0 {
                text += &self.remedies_text();
            }
        }
        let held: String = of(3).map(|(own, _)| line(own)).collect();
        text += &format!("\nholds\n{held}");
        text += &self.idle_text();
        let cautions: String = self.cautions().iter().map(|own| format!("  {own}\n")).collect();
        if !cautions.is_empty() {
            text += &format!("\ntake care\n{cautions}");
        }
        text + UNVERIFIED + NO_CERTIFICATE
    }

    /// A line of the checks that have nothing to look at, by what is missing.
    fn idle_text(&self) -> String {
        let mut missing: Vec<(&str, Vec<&str>)> = Vec::new();
        for verdict in &self.verdicts {
            let Standing::DoesNotApply(why) = &verdict.standing else { continue };
            match missing.iter_mut().find(|(own, _)| own == why) {
                Some((_, checks)) => checks.push(verdict.check),
                None => missing.push((why, vec![verdict.check])),
            }
        }
        let told: Vec<String> =
            missing.iter().map(|(why, checks)| format!("{} ({why})", checks.join(", "))).collect();
        if told.is_empty() { String::new() } else { format!("\ndoes not apply: {}\n", told.join("; ")) }
    }

    /// Under what fails: what one change would mend, or how to ask.
    fn remedies_text(&self) -> String {
        match &self.remedies {
            Some(remedies) => format!("\nremedies, each by itself\n{}", remedies.text()),
            None if self.verdicts.iter().any(Verdict::fails) => ASK_FOR_REMEDIES.to_string(),
            None => String::new(),
        }
    }

    /// What is to be said of it whatever the figures are.
    pub fn cautions(&self) -> &'static [&'static str] {
        if self.model.hangs() { &OF_WHAT_HANGS } else { &[] }
    }

    fn counted(&self) -> String {
        let count = |rank| self.verdicts.iter().filter(|own| rank_of(own) == rank).count();
        format!("{} fail, {} warn, {} not judged, {} hold", count(0), count(1), count(2), count(3))
    }

    /// For a program.
    pub fn json(&self) -> Map<String, Value> {
        let verdicts: Vec<Value> = self
            .verdicts
            .iter()
            .zip(&self.places)
            .map(|(own, place)| verdict_json(own, place.as_ref(), &self.model))
            .collect();
        let fields = [
            ("title", json!(self.model.title)),
            ("family", json!(self.family)),
            ("conditions", conditions_json(&self.conditions)),
            ("accepted", json!(self.accepted.iter().map(|own| own.name()).collect::<Vec<_>>())),
            ("rating", rating_json(&self.rating)),
            ("seatings", self.seated.iter().map(seated_json).collect()),
            ("hooks", self.handed.as_ref().map_or(Value::Null, hooks_json)),
            ("cautions", json!(self.cautions())),
            ("fails", json!(self.fails())),
            ("remedies", self.remedies.as_ref().map_or(Value::Null, Remedies::json)),
            ("verdicts", json!(verdicts)),
        ];
        fields.into_iter().map(|(key, value)| (key.to_string(), value)).collect()
    }
}

/// "130 kg (285 lb)": pounds rounded down to fives.
pub(crate) fn both_scales(kilograms: f64) -> String {
    let pounds = (kilograms * STANDARD_GRAVITY / POUND / 5.0).floor() * 5.0;
    format!("{kilograms:.0} kg ({pounds:.0} lb)")
}

/// "rated: 130 kg (285 lb) a place, 260 kg (570 lb) on both; calculated, untested".
fn rating_text(rating: &Result<Rating, NotRated>) -> String {
    rating_lines(rating).join("\n       ") + "\n"
}

/// What it is rated for or why it is not, and then what that rests on, a line each.
pub(crate) fn rating_lines(rating: &Result<Rating, NotRated>) -> Vec<String> {
    let rating = match rating {
        Ok(rating) => rating,
        Err(why) => return vec![format!("not rated: {why}")],
    };
    let all = match rating.places {
        1 => String::new(),
        places => format!(", {} on all {places}", both_scales(rating.total())),
    };
    let untested =
        if rating.estimates.is_empty() { "" } else { "; calculated, untested, rests on estimates" };
    let text = format!("rated: {} a place{all}{untested}", both_scales(rating.per_place));
    let governs = rating.governs.as_ref().map(|own| format!("first to give way above that: {}", own.told));
    let left_out = rating.left_out.iter().map(|own| format!("left out: {own}"));
    [text].into_iter().chain(governs).chain(left_out).collect()
}

/// A rating as an object, or why there is none.
pub(crate) fn rating_json(rating: &Result<Rating, NotRated>) -> Value {
    match rating {
        Ok(rating) => json!({
            "kg_per_place": rating.per_place,
            "places": rating.places,
            "kg": rating.total(),
            "governs": rating.governs.as_ref().map(|own| json!({ "check": own.check, "told": own.told })),
            "left_out": rating.left_out,
            "tested": false,
            "estimates": rating.estimates.iter().map(|own| own.text.clone()).collect::<Vec<_>>(),
        }),
        Err(not) => json!({ "none": not.why, "fails": not.fails }),
    }
}

const ASK_FOR_REMEDIES: &str = "  (--remedies seeks what one change would mend)\n";
const UNVERIFIED: &str =
    "\n* rests in part on figures from memory, common practice or this project's own choice.\n";
const NO_CERTIFICATE: &str =
    "Calculated on stated assumptions: no certification and no approval. Local rules decide.\n";

pub(crate) fn rank_of(verdict: &Verdict) -> u8 {
    match verdict.standing {
        Standing::Misses(_) if verdict.fails() => 0,
        Standing::Misses(_) => 1,
        Standing::NotJudged(_) => 2,
        Standing::Holds => 3,
        Standing::DoesNotApply(_) => 4,
    }
}

/// The ratio in two decimals; nothing where there is none.
pub(crate) fn ratio_text(verdict: &Verdict) -> String {
    match verdict.ratio() {
        None => String::new(),
        Some(ratio) if ratio < FAR_OVER => format!("{ratio:.2}"),
        Some(_) => String::from("over"),
    }
}

/// From here on how far over its limit a figure is tells nothing more, and breaks the column.
const FAR_OVER: f64 = 100.0;

fn line(verdict: &Verdict) -> String {
    let unverified = verdict.sources.iter().any(|source| !source.status.is_firm());
    let mark = if unverified { "*" } else { " " };
    format!("  {:<26} {:>5}{mark} {}\n", verdict.check, ratio_text(verdict), verdict.told)
}

fn in_full(verdict: &Verdict, place: Option<&Place>) -> String {
    let mut text = line(verdict);
    let mut add = |word: &str, what: String| {
        if !what.is_empty() {
            text += &format!("{:35}{word}{what}\n", "");
        }
    };
    add("at ", place.map(ToString::to_string).unwrap_or_default());
    add("", verdict.measure.as_ref().map(measure_text).unwrap_or_default());
    add("case: ", verdict.governing.clone());
    for assumption in &verdict.assumptions {
        add("assumed: ", assumption.clone());
    }
    for source in &verdict.sources {
        add("after: ", format!("{} ({})", source.text, source.status.word()));
    }
    add("help: ", verdict.remedy.text.clone());
    text
}

/// "gap at the wettest: 1.2 mm, at least 3.0 mm".
pub(crate) fn measure_text(measure: &Measure) -> String {
    let figure = |value: f64| measure.unit.figure(value);
    let limit = match measure.limit {
        Limit::AtMost(most) => format!("at most {}", figure(most)),
        Limit::AtLeast(least) => format!("at least {}", figure(least)),
        Limit::Within(low, high) => format!("from {} to {}", figure(low), figure(high)),
    };
    format!("{}: {}, {limit}", measure.quantity, figure(measure.found))
}

/// Figures that are no numbers, or boundless, are null in JSON.
fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

fn verdict_json(verdict: &Verdict, place: Option<&Place>, model: &Model) -> Value {
    let name = |id: &slatwork_model::PartId| model.part(*id).name.clone();
    let names = |ids: &[slatwork_model::PartId]| ids.iter().map(name).collect::<Vec<_>>();
    let source = |own: &slatwork_catalog::Source| json!({ "text": own.text, "status": own.status.word() });
    let sources: Vec<Value> = verdict.sources.iter().map(source).collect();
    json!({
        "check": verdict.check,
        "standing": verdict.standing.word(),
        "told": verdict.told,
        "place": place.map(ToString::to_string),
        "parts": names(&verdict.parts),
        "measure": verdict.measure.as_ref().map(measure_json),
        "working": verdict.working.as_ref().map(working_json),
        "case": verdict.governing,
        "assumptions": verdict.assumptions,
        "sources": sources,
        "firm": verdict.is_firm(),
        "help": verdict.remedy.text,
        "governed_by": names(&verdict.remedy.parts),
    })
}

fn seated_json(own: &Seated) -> Value {
    let chain = |own: &SeatedChain| json!({ "chain": own.name, "tension_n": own.tension, "from_vertical_deg": own.from_vertical });
    let posture = own.hangs.as_ref().ok().map(|posture| {
        json!({
            "tilt_deg": posture.tilt,
            "roll_deg": posture.roll,
            "chains": posture.chains.iter().map(chain).collect::<Vec<_>>(),
        })
    });
    json!({ "seating": own.name, "mass_kg": own.mass, "hangs": posture, "why_not": own.hangs.as_ref().err() })
}

/// What each hook bears, for a program.
pub(crate) fn hooks_json(handed: &Handed) -> Value {
    let hook = |own: &HookPull| {
        json!({
            "hook": own.name,
            "at_mm": own.at.to_array(),
            "at_rest_n": own.at_rest,
            "down_n": own.down,
            "along_n": own.along,
            "across_n": own.across,
            "rated_n": own.rated,
        })
    };
    handed.hooks.iter().map(hook).collect()
}

fn measure_json(measure: &Measure) -> Value {
    json!({
        "quantity": measure.quantity,
        "found": finite(measure.found),
        "demand": finite(measure.demand()),
        "capacity": finite(measure.capacity()),
        "ratio": finite(measure.ratio()),
        "limit": limit_json(measure.limit),
        "unit": measure.unit.sign(),
    })
}

/// Every equation in the order in which they are reckoned: the figure and its limit last.
fn working_json(working: &Working) -> Value {
    let steps = working.steps.iter().map(|own| equation_json("step", own));
    let last = core::iter::once(equation_json("figure", &working.figure));
    let limit = working.limit.iter().map(|own| equation_json("limit", own));
    steps.chain(last).chain(limit).collect()
}

/// What is reckoned, in signs and with the numbers put in, which stand beside it; both are null where it is told by no formula.
fn equation_json(role: &str, own: &Equation) -> Value {
    let number = |own: &NamedNumber| {
        json!({
            "symbol": own.symbol,
            "meaning": own.meaning,
            "value": finite(own.value),
            "unit": own.unit.sign(),
        })
    };
    let numbers: Vec<Value> = own.right.iter().flat_map(|right| right.numbers()).map(number).collect();
    json!({
        "role": role,
        "result": number(&own.left),
        "formula": own.right.as_ref().map(|right| right.in_signs().text()),
        "put_in": own.right.as_ref().map(|right| right.in_numbers().text()),
        "numbers": numbers,
    })
}

fn limit_json(limit: Limit) -> Value {
    let (least, most) = match limit {
        Limit::AtMost(most) => (None, Some(most)),
        Limit::AtLeast(least) => (Some(least), None),
        Limit::Within(least, most) => (Some(least), Some(most)),
    };
    json!({ "at_least": least.and_then(finite), "at_most": most.and_then(finite) })
}

fn conditions_json(conditions: &Conditions) -> Value {
    json!({
        "climate": conditions.climate.name.map_or_else(|| conditions.climate.to_string(), String::from),
        "exposure": conditions.exposure.words(),
        "salt": conditions.salt,
        "glue": conditions.glue.map(GlueClass::meant_for),
        "preservative": conditions.preservative.words(),
    })
}

/// Conditions by the words of a person: what is not said stays as usual. The air is said by the site, or with the request.
///
/// # Errors
/// `unknown-word`, with the words there are.
pub fn conditions(
    covered: bool,
    salt: bool,
    glue: Option<&str>,
    preservative: Option<&str>,
) -> Result<Conditions, Diagnostic> {
    let usual = Conditions::default();
    Ok(Conditions {
        climate: usual.climate,
        exposure: if covered { Exposure::Covered } else { Exposure::Exposed },
        salt,
        glue: glue.map(|word| choose("glue", word, &GLUES)).transpose()?,
        preservative: preservative
            .map_or(Ok(Preservative::None), |word| choose("preservative", word, &PRESERVATIVES))?,
    })
}

/// Refuses a climate that cannot be read.
///
/// # Errors
/// `unknown-word`, with the examples there are and how air is written.
pub(crate) fn readable_climate(word: &str) -> Result<(), Diagnostic> {
    let Err(why) = Climate::read(word) else { return Ok(()) };
    let names: Vec<&str> = CLIMATES.iter().filter_map(|own| own.name).collect();
    let trouble = Diagnostic::error("unknown-word", why).at(Place::Named(String::from("--climate")));
    let trouble = match did_you_mean(word, names.iter().copied()) {
        Some(near) => trouble.help(format!("did you mean `{near}`?")),
        None => trouble.help(format!("there are {}", names.join(", "))),
    };
    Err(trouble.help(format!("or {AIR_FORMAT}")))
}

const GLUES: [(&str, GlueClass); 7] = [
    ("D1", GlueClass::Indoor),
    ("D2", GlueClass::Indoor),
    ("D3", GlueClass::Sheltered),
    ("type II", GlueClass::Sheltered),
    ("D4", GlueClass::Exposed),
    ("type I", GlueClass::Exposed),
    ("epoxy or resorcinol", GlueClass::Structural),
];

const PRESERVATIVES: [(&str, Preservative); 7] = [
    ("none", Preservative::None),
    ("copper", Preservative::Copper),
    ("borate", Preservative::Borate),
    ("creosote", Preservative::Harmful),
    ("pentachlorophenol", Preservative::Harmful),
    ("CCA", Preservative::Harmful),
    ("unknown", Preservative::Harmful),
];

fn choose<T: Copy>(what: &str, word: &str, choices: &[(&'static str, T)]) -> Result<T, Diagnostic> {
    if let Some((_, found)) = choices.iter().find(|(own, _)| own.eq_ignore_ascii_case(word.trim())) {
        return Ok(*found);
    }
    let names: Vec<&str> = choices.iter().map(|(own, _)| *own).collect();
    let trouble = Diagnostic::error("unknown-word", format!("there is no {what} `{word}`"))
        .at(Place::Named(format!("--{what}")));
    Err(match did_you_mean(word, names.iter().copied()) {
        Some(near) => trouble.help(format!("did you mean `{near}`?")),
        None => trouble.help(format!("there are {}", names.join(", "))),
    })
}
