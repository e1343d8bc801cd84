//! A space frame under its load combinations.
//!
//! Reads `nodes`, `members`, `supports`, `load_cases` and `combinations` in SI units (m, N, Pa, rad); answers each combination
//! with displacements, reactions, end forces, wires that hang loose and contacts that are open, or with why it cannot stand.
//! A load case may have `nodal` (node, force, moment), `member_uniform` (member, w), `member_point` (member, a, force),
//! `member_trapezoid` (member, from, to, w_from, w_to) and `settlements` (node, freedoms with how far they move).

use super::figure::incomplete;
use super::json::{Object, PASSED_OVER, read};
use super::portal::Portal;
use super::{Answered, Calculation, Findings, Setting, told};
use crate::calc;
use serde_json::{Map, Value, json};
use slatwork_base::{Diagnostic, Outcome, Severity, did_you_mean};
use slatwork_checks::statics::frame::{
    Answer, Combination, Direction, EndSprings, FREEDOMS, Frame, Hold, LoadCase, Member, MemberKind,
    MemberLoad, NodalLoad, Node, Rows, Section, Settlement, Solution, Spread, Support, solve,
};
use slatwork_solid::DVec3;
use std::collections::BTreeMap;

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "frame",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-frame.json"),
    findings: Findings::Within,
    answer: answered,
};

/// A post of a rail, pushed sideways at its top.
const EXAMPLE: &str = r#"{ "nodes": [ { "id": "foot", "xyz": [0, 0, 0] }, { "id": "top", "xyz": [0, 0, 0.6] } ],
  "members": [ { "id": "post", "i": "foot", "j": "top", "E": 9e9, "G": 5.6e8, "A": 3.39e-3,
                 "Iy": 4.1e-7, "Iz": 2.2e-6, "J": 1.3e-6, "y_axis": [1, 0, 0] } ],
  "supports": [ { "node": "foot", "fixed": ["ux", "uy", "uz", "rx", "ry", "rz"] } ],
  "load_cases": { "push": { "nodal": [ { "node": "top", "force": [200, 0, 0] } ] } },
  "combinations": { "pushed": { "push": 1.0 } } }"#;

const LAYOUT: &str = "\
nodes                     a list: .id .xyz
members                   a list: .id, its ends .i and .j, and
  .kind                   beam (when left out), truss, tension_only
  .E .G .A .Iy .Iz .J     Pa, m2, m4; .Ay .Az where shear bends it too
  .y_axis                 which way its y axis looks
  .offset_i .offset_j     rigid arms beside the nodes
  .springs_i .springs_j   by ux uy uz rx ry rz: N/m, N m/rad
  .release_i .release_j   a list of those that are free
supports                  a list: .node and
  .fixed                  a list of ux uy uz rx ry rz
  .springs                by the same names
  .one_sided              by the same names: .k .push (\"+\" or \"-\")
load_cases                by name, each with lists:
  .nodal                  .node .force .moment
  .member_uniform         .member .w
  .member_point           .member .a .force
  .member_trapezoid       .member .from .to .w_from .w_to
  .settlements            .node and how far ux.. move
combinations              by name: load cases with their factors
portal                    in place of all these two legs and a rail:
  .width .height          between the legs' middles, and to the rail's middle
  .rail .leg              sections of the catalogue, their width in the plane of the three
  .wood                   of the catalogue
  .load_n .push_n         on the middle of the rail, and sideways on its end
  .joint_nm_per_rad       stiffness of a joint; rigid when left out
All but the portal's lengths in m, N, Pa, rad; z up. The answer: by combination, status, displacements,
reactions, member_end_forces, slack_members, open_contacts.";

/// The key by which a document says what it is.
const SCHEMA: &str = "schema";

/// Kinds of members.
const KINDS: [(&str, MemberKind); 3] =
    [("beam", MemberKind::Beam), ("truss", MemberKind::Truss), ("tension_only", MemberKind::TensionOnly)];

/// A frame and what it is to be solved for.
#[derive(Clone, Debug)]
pub struct Question {
    /// The frame.
    pub frame: Frame,
    /// Its combinations.
    pub combinations: Vec<Combination>,
}

impl Question {
    fn read(file: &Object<'_>) -> Self {
        file.pass_over(&PASSED_OVER);
        file.pass_over(&[PORTAL]);
        let nodes = file.each("nodes", node);
        let names = Names::of("node", file, nodes.iter().map(|node| node.name.as_str()));
        let members = file.each("members", |own| member(own, &names));
        let member_names = Names::of("member", file, members.iter().map(|member| member.name.as_str()));
        let supports = file.each("supports", |own| support(own, &names));
        let cases = file.named("load_cases", |name, own| load_case(name, own, &names, &member_names));
        let case_names = Names::of("load case", file, cases.iter().map(|case| case.name.as_str()));
        let combinations = combinations(file, &case_names);
        Question { frame: Frame { nodes, members, supports, cases }, combinations }
    }
}

/// The key of two legs and a rail in place of a frame.
const PORTAL: &str = "portal";
/// The keys that it stands in place of.
const OF_A_FRAME: [&str; 5] = ["nodes", "members", "supports", "load_cases", "combinations"];

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    let question = if asked.get(PORTAL).is_some_and(|own| !own.is_null()) {
        let portal = read(asked, |file| {
            file.pass_over(&PASSED_OVER);
            file.pass_over(&OF_A_FRAME);
            if let Some(key) = OF_A_FRAME.iter().find(|key| file.has(key)) {
                let message = format!("there are a `{PORTAL}` and `{key}`");
                file.report(incomplete(message, "give the portal alone, or the frame alone"));
            }
            file.object(PORTAL, Portal::read)
        });
        // One that could not be read was told.
        portal.then(|portal| portal.map_or(UNTOLD, |portal| portal.frame(setting.catalogue)))
    } else {
        read(asked, Question::read).map(|own| (own.frame, own.combinations))
    };
    question.then(|(frame, combinations)| match solve(&frame, &combinations) {
        Err(diagnostics) => Outcome { value: None, diagnostics },
        Ok(answers) => {
            let document = answers.iter().map(|own| (own.combination.clone(), combination(&frame, own)));
            let text = told::frame(&frame, &answers, setting.units);
            let answered = Answered { document: document.collect(), text };
            Outcome::with(answered, answers.iter().flat_map(findings).collect())
        }
    })
}

/// Nothing, of which the troubles were told.
const UNTOLD: Outcome<(Frame, Vec<Combination>)> = Outcome { value: None, diagnostics: Vec::new() };

/// What keeps a combination from standing is a finding of a question that was answered; so are remarks on one that stands.
fn findings(answer: &Answer) -> Vec<Diagnostic> {
    let found = match &answer.outcome {
        Ok(solution) => &solution.remarks,
        Err(troubles) => troubles,
    };
    let as_finding =
        |own: &Diagnostic| Diagnostic { severity: own.severity.min(Severity::Failure), ..own.clone() };
    found.iter().map(as_finding).collect()
}

/// Names and their numbers.
struct Names {
    what: &'static str,
    all: BTreeMap<String, usize>,
}

impl Names {
    fn of<'a>(what: &'static str, file: &Object<'_>, names: impl Iterator<Item = &'a str>) -> Names {
        let mut all = BTreeMap::new();
        for (at, name) in names.enumerate() {
            if all.insert(name.to_string(), at).is_some() {
                let message = format!("there are two {what}s `{name}`");
                file.report(
                    Diagnostic::error("duplicate-entry", message).help("give each a name of its own"),
                );
            }
        }
        Names { what, all }
    }

    /// The number of a name; one that nothing has is told.
    fn find(&self, object: &Object<'_>, name: &str) -> usize {
        self.all.get(name).copied().unwrap_or_else(|| {
            let trouble =
                Diagnostic::error("name-not-in-frame", format!("there is no {} `{name}`", self.what));
            object.report(match did_you_mean(name, self.all.keys().map(String::as_str)) {
                Some(meant) => trouble.help(format!("did you mean `{meant}`?")),
                None => trouble.help(format!("add it, or name one of the {} there are", self.all.len())),
            });
            0
        })
    }

    /// The number of what a key names.
    fn named(&self, object: &Object<'_>, key: &'static str) -> usize {
        let name = object.need(key, object.text(key));
        name.map_or(0, |name| self.find(object, &name))
    }
}

fn vector(object: &Object<'_>, key: &'static str) -> DVec3 {
    object.numbers(key).map_or(DVec3::ZERO, DVec3::from_array)
}

fn needed_vector(object: &Object<'_>, key: &'static str) -> DVec3 {
    object.need(key, object.numbers(key)).map_or(DVec3::ZERO, DVec3::from_array)
}

fn needed(object: &Object<'_>, key: &'static str) -> f64 {
    object.need(key, object.number(key)).unwrap_or(0.0)
}

fn name(object: &Object<'_>) -> String {
    object.need("id", object.text("id")).unwrap_or_default()
}

fn node(object: &Object<'_>) -> Node {
    Node { name: name(object), at: needed_vector(object, "xyz") }
}

fn member(object: &Object<'_>, nodes: &Names) -> Member {
    let kind = |value: &Value| KINDS.iter().find(|(word, _)| value.as_str() == Some(word)).map(|own| own.1);
    Member {
        name: name(object),
        ends: ["i", "j"].map(|end| nodes.named(object, end)),
        kind: object
            .take("kind", "\"beam\", \"truss\" or \"tension_only\"", kind)
            .unwrap_or(MemberKind::Beam),
        section: section(object),
        y_axis: needed_vector(object, "y_axis"),
        offsets: ["offset_i", "offset_j"].map(|key| vector(object, key)),
        springs: [("springs_i", "release_i"), ("springs_j", "release_j")]
            .map(|(springs, releases)| end_springs(object, springs, releases)),
    }
}

fn section(object: &Object<'_>) -> Section {
    Section {
        elastic: needed(object, "E"),
        shear: needed(object, "G"),
        area: needed(object, "A"),
        inertia_y: needed(object, "Iy"),
        inertia_z: needed(object, "Iz"),
        torsion: needed(object, "J"),
        shear_area_y: object.number("Ay"),
        shear_area_z: object.number("Az"),
    }
}

fn end_springs(object: &Object<'_>, springs: &'static str, releases: &'static str) -> EndSprings {
    let springs = object.object(springs, |own| FREEDOMS.map(|freedom| own.number(freedom)));
    let mut springs = springs.unwrap_or_default();
    for freedom in freedoms(object, releases) {
        if springs[freedom].replace(0.0).is_some() {
            let message = format!("`{releases}` and the springs both name {}", FREEDOMS[freedom]);
            object.report(
                Diagnostic::error("duplicate-entry", message).help("a release is a spring of 0: give one"),
            );
        }
    }
    springs
}

/// A list of freedoms.
fn freedoms(object: &Object<'_>, key: &'static str) -> Vec<usize> {
    let list = |value: &Value| -> Option<Vec<usize>> {
        let find = |own: &Value| FREEDOMS.iter().position(|freedom| own.as_str() == Some(freedom));
        value.as_array()?.iter().map(find).collect()
    };
    object.take(key, "a list of \"ux\", \"uy\", \"uz\", \"rx\", \"ry\", \"rz\"", list).unwrap_or_default()
}

fn support(object: &Object<'_>, nodes: &Names) -> Support {
    let mut holds = [Hold::Free; 6];
    freedoms(object, "fixed").into_iter().for_each(|freedom| hold(object, &mut holds, freedom, Hold::Fixed));
    let springs = object.object("springs", |own| FREEDOMS.map(|freedom| own.number(freedom)));
    let one_sided = object.object("one_sided", |own| FREEDOMS.map(|freedom| own.object(freedom, contact)));
    let springs = springs.unwrap_or_default().map(|stiffness| stiffness.map(Hold::Spring));
    for own in [springs, one_sided.unwrap_or_default()] {
        for (freedom, own) in own.into_iter().enumerate() {
            own.into_iter().for_each(|own| hold(object, &mut holds, freedom, own));
        }
    }
    Support { node: nodes.named(object, "node"), holds }
}

fn hold(object: &Object<'_>, holds: &mut [Hold; 6], freedom: usize, own: Hold) {
    if holds[freedom] != Hold::Free {
        let message = format!("{} is held in two ways", FREEDOMS[freedom]);
        object.report(Diagnostic::error("supported-twice", message).help("name it once"));
    }
    holds[freedom] = own;
}

fn contact(object: &Object<'_>) -> Hold {
    let sense = |value: &Value| match value.as_str()? {
        "+" => Some(Direction::Plus),
        "-" => Some(Direction::Minus),
        _ => None,
    };
    let push = object.need("push", object.take("push", "\"+\" or \"-\"", sense));
    Hold::OneSided(needed(object, "k"), push.unwrap_or(Direction::Plus))
}

fn load_case(name: &str, object: &Object<'_>, nodes: &Names, members: &Names) -> LoadCase {
    let nodal = object.each("nodal", |own| NodalLoad {
        node: nodes.named(own, "node"),
        force: vector(own, "force"),
        moment: vector(own, "moment"),
    });
    let load = |own: &Object<'_>, spread| MemberLoad { member: members.named(own, "member"), spread };
    let mut loads = object.each("member_uniform", |own| load(own, Spread::Uniform(needed_vector(own, "w"))));
    loads.extend(object.each("member_point", |own| {
        load(own, Spread::Point { at: needed(own, "a"), force: needed_vector(own, "force") })
    }));
    loads.extend(object.each("member_trapezoid", |own| {
        let (begins, ends) = (needed_vector(own, "w_from"), needed_vector(own, "w_to"));
        load(own, Spread::Trapezoid { from: needed(own, "from"), to: needed(own, "to"), begins, ends })
    }));
    let settlements = object.each("settlements", |own| {
        let node = nodes.named(own, "node");
        let moved = FREEDOMS.map(|freedom| own.number(freedom)).into_iter().enumerate();
        moved
            .filter_map(|(freedom, moved)| Some(Settlement { node, freedom, moved: moved? }))
            .collect::<Vec<_>>()
    });
    let settlements = settlements.into_iter().flatten().collect();
    LoadCase { name: name.to_string(), nodal, members: loads, settlements }
}

/// A combination by names: load cases with their factors.
type Factored = (String, Vec<(String, f64)>);

fn combinations(file: &Object<'_>, cases: &Names) -> Vec<Combination> {
    let wanted = "an object of combinations, each an object of load cases with their factors";
    let factors = |(name, factor): (&String, &Value)| Some((name.clone(), factor.as_f64()?));
    let all = |value: &Value| -> Option<Vec<Factored>> {
        let own = value.as_object()?.iter();
        own.map(|(name, own)| {
            Some((name.clone(), own.as_object()?.iter().map(factors).collect::<Option<_>>()?))
        })
        .collect()
    };
    let read = file.need("combinations", file.take("combinations", wanted, all));
    if read.as_ref().is_some_and(Vec::is_empty) {
        file.report(incomplete("there is no combination to answer", "give one in `combinations`"));
    }
    let read = read.unwrap_or_default();
    if read.iter().any(|(name, _)| name == SCHEMA) {
        let message = format!("a combination cannot be called `{SCHEMA}`");
        let trouble = Diagnostic::error("wrong-value", message);
        file.report(trouble.help("give it another name: the answer says by that word what it is"));
    }
    let find = |(name, factor): (String, f64)| (cases.find(file, &name), factor);
    read.into_iter()
        .map(|(name, factors)| Combination { name, factors: factors.into_iter().map(find).collect() })
        .collect()
}

fn combination(frame: &Frame, answer: &Answer) -> Value {
    match &answer.outcome {
        Ok(solution) => solved(frame, solution),
        Err(diagnostics) => {
            json!({ "status": "unstable", "diagnostics": crate::diagnostics_json(diagnostics) })
        }
    }
}

fn solved(frame: &Frame, solution: &Solution) -> Value {
    let node_name = |node: usize| frame.nodes[node].name.clone();
    let nodes = frame.nodes.iter().map(|own| &own.name);
    let supports = frame.supports.iter().map(|own| &frame.nodes[own.node].name);
    let members = frame.members.iter().map(|own| &own.name);
    let slack: Vec<&String> = solution.slack.iter().map(|&member| &frame.members[member].name).collect();
    let open: Vec<[String; 2]> = solution
        .open
        .iter()
        .map(|&(node, freedom)| [node_name(node), FREEDOMS[freedom].to_string()])
        .collect();
    let trust = &solution.trust;
    json!({
        "status": "ok",
        "displacements": table(nodes, &solution.displacements),
        "reactions": table(supports, &solution.reactions),
        "member_end_forces": table(members, &solution.end_forces),
        "slack_members": slack,
        "open_contacts": open,
        "trust": {
            "left_over": trust.left_over,
            "whole": trust.whole,
            "member": trust.member,
            "energy": trust.energy,
            "condition": trust.condition,
            "rounds": trust.rounds,
        },
        "remarks": crate::diagnostics_json(&solution.remarks),
    })
}

fn table<'a, const WIDTH: usize>(
    names: impl Iterator<Item = &'a String>,
    rows: &Rows<WIDTH>,
) -> Map<String, Value> {
    names.cloned().zip(rows.iter().map(|values| json!(values.as_slice()))).collect()
}
