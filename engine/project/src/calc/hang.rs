//! Hanging a seat at a place: how long the chains, which link, how it then hangs, what each chain and hook bears.
//!
//! Four chains: two a side, from a front and a rear eye on the seat to one hook a side or, with `hook_depth`, to a front and a
//! rear hook. The middle of the hooks stands over the middle of the eyes.

use super::figure::{self, Force, Size, incomplete};
use super::json::{Object, read};
use super::{Answered, Calculation, Findings, Setting, document, told};
use crate::calc;
use serde::Serialize;
use slatwork_base::{Angle, Diagnostic, Outcome, Severity};
use slatwork_checks::Caution;
use slatwork_checks::statics::given::Given;
use slatwork_checks::statics::hang::{HungAt, Run, hook_loads, one_link};
use slatwork_checks::statics::swing::{
    Chain, Mass, Pendulum, Posture, Rest, STANDARD_GRAVITY, Suspended, settle,
};
use slatwork_solid::DVec3;
use std::collections::BTreeSet;

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "hang",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-hang.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r#"{ "hook_height": "94in", "hook_spacing": "66in", "eye_height": "20in", "eye_spacing": "62in",
  "eye_depth": "18in", "link": "1.22in", "fittings": "4in", "load_kg": 180, "seat_kg": 35 }"#;

const LAYOUT: &str = "\
hook_height               from the floor to where the chain bears on the hooks
hook_spacing              between the left and the right hooks
hook_depth                between front and rear hooks; one hook a side when left out
eye_height                from the floor to where the chain bears on the eyes
eye_spacing               between the left and the right eyes
eye_depth                 between front and rear eyes
link                      inside length of a link
fittings                  what quick links, rings and the like take up of each chain
tilt_deg                  how far the rear shall hang down; 0 when left out
load_kg                   of the people, on the seat
seat_kg                   of the seat itself
load_back                 from the front eyes back to the load; the middle when left out
load_up                   of the load over the eyes; 10 in when left out
swing_deg                 how far it will be swung; 20 when left out";

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read)
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    question(asked).then(|question| {
        answer(&question, setting.accepted).map(|answer| Answered {
            text: told::hang(&question, &answer, setting.units),
            document: document(&answer),
        })
    })
}

/// A seat and its place.
#[derive(Clone, Copy, Debug, Default)]
pub struct Question {
    /// From the floor to the hooks.
    pub hook_height: Size,
    /// Between left and right hooks.
    pub hook_spacing: Size,
    /// Between front and rear hooks.
    pub hook_depth: Option<Size>,
    /// From the floor to the eyes.
    pub eye_height: Size,
    /// Between left and right eyes.
    pub eye_spacing: Size,
    /// Between front and rear eyes.
    pub eye_depth: Size,
    /// Inside length of a link.
    pub link: Size,
    /// What fittings take up of each chain.
    pub fittings: Size,
    /// How far the rear shall hang down, degrees.
    pub tilt_deg: f64,
    /// Mass of the people, kg.
    pub load_kg: f64,
    /// Mass of the seat, kg.
    pub seat_kg: f64,
    /// From the front eyes back to the load.
    pub load_back: Option<Size>,
    /// Of the load over the eyes.
    pub load_up: Option<Size>,
    /// How far it will be swung, degrees.
    pub swing_deg: Option<f64>,
}

/// How to hang it and what comes of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// Each front chain.
    pub front: ChainAnswer,
    /// Each rear chain.
    pub rear: ChainAnswer,
    /// How it hangs loaded.
    pub hangs: Hangs,
    /// What each hook bears, greatest first; nothing until somebody accepts the caution of what hangs.
    pub hooks: Option<Vec<HookAnswer>>,
    /// How the seat turns when both rear chains are hung one link shorter, degrees, rear down.
    pub rear_link_shorter_deg: Option<f64>,
    /// The same of both front chains.
    pub front_link_shorter_deg: Option<f64>,
    /// Force at the lowest point of that swing over the weight.
    pub dynamic_factor: f64,
}

/// One chain.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ChainAnswer {
    /// From eye to hook as the seat shall hang, mm.
    pub run_mm: f64,
    /// The link, counted from the eye, that goes over the hook.
    pub link: u32,
    /// Length of so many links, mm.
    pub chain_mm: f64,
    /// Chain and fittings less the run, mm.
    pub longer_mm: f64,
    /// Greatest tension of the two at rest.
    pub tension: Force,
    /// The same times the dynamic factor.
    pub swung: Force,
    /// From the vertical, degrees.
    pub from_vertical_deg: f64,
}

/// A posture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Hangs {
    /// Rear down, degrees.
    pub tilt_deg: f64,
    /// From the floor to the middle of the eyes, mm.
    pub eye_height_mm: f64,
}

/// One hook, swung as asked.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HookAnswer {
    /// Which.
    pub hook: String,
    /// At rest, in the direction of the pull.
    pub at_rest: Force,
    /// At the lowest point of the swing.
    pub swung: Force,
    /// Between that pull and straight down, degrees.
    pub from_vertical_deg: f64,
}

/// How far people swing on a porch where nothing is said, degrees (project choice).
const USUAL_SWING: f64 = 20.0;
/// A sitter's centre of gravity over the eyes at seat height, mm: some 10 in (common practice, no source).
const USUAL_LOAD_UP: f64 = 254.0;
/// Places beyond this, mm, are slips of units (project choice).
const MOST: f64 = 2e4;
/// Loads beyond this, kg, are slips of units (project choice).
const MOST_KG: f64 = 2000.0;
/// A seat is hung at most so far off level, degrees (project choice).
const MOST_TILT: f64 = 30.0;
/// Answers are given to this part of a millimetre or degree: below is the noise of the search.
const PARTS: f64 = 1e4;
const METRE: f64 = 1e3;

impl Question {
    fn read(own: &Object<'_>) -> Self {
        let size = |key| own.need(key, own.size(key)).unwrap_or_default();
        Question {
            hook_height: size("hook_height"),
            hook_spacing: size("hook_spacing"),
            hook_depth: own.size("hook_depth"),
            eye_height: size("eye_height"),
            eye_spacing: size("eye_spacing"),
            eye_depth: size("eye_depth"),
            link: size("link"),
            fittings: own.size("fittings").unwrap_or_default(),
            tilt_deg: own.number("tilt_deg").unwrap_or_default(),
            load_kg: own.need("load_kg", own.number("load_kg")).unwrap_or_default(),
            seat_kg: own.number("seat_kg").unwrap_or_default(),
            load_back: own.size("load_back"),
            load_up: own.size("load_up"),
            swing_deg: own.number("swing_deg"),
        }
    }

    fn given(&self) -> Given {
        let mut given = Given::new();
        for (what, size) in [
            ("height of the hooks", self.hook_height),
            ("spacing of the hooks", self.hook_spacing),
            ("height of the eyes", self.eye_height),
            ("spacing of the eyes", self.eye_spacing),
            ("depth of the eyes", self.eye_depth),
            ("length of a link", self.link),
        ] {
            given.within(what, size.0, 1.0, MOST);
        }
        given.within("depth of the hooks", self.hook_depth.unwrap_or_default().0, 0.0, MOST);
        given.within("length of the fittings", self.fittings.0, 0.0, MOST);
        given.within("tilt", self.tilt_deg, -MOST_TILT, MOST_TILT);
        given.within("load", self.load_kg, 1.0, MOST_KG).within(
            "weight of the seat",
            self.seat_kg,
            0.0,
            MOST_KG,
        );
        given.within("place of the load", self.load_back(), -MOST, MOST);
        given.within("height of the load", self.load_up(), -MOST, MOST);
        given.within("swing", self.swing(), 0.0, 90.0);
        given
    }

    fn load_back(&self) -> f64 {
        self.load_back.map_or(self.eye_depth.0 / 2.0, |own| own.0)
    }

    fn load_up(&self) -> f64 {
        self.load_up.map_or(USUAL_LOAD_UP, |own| own.0)
    }

    /// How far it is swung, degrees.
    pub(super) fn swing(&self) -> f64 {
        self.swing_deg.unwrap_or(USUAL_SWING)
    }
}

/// Answers; what the hooks bear to who accepts the caution of what hangs. Every trouble is told; an error leaves no answer.
pub fn answer(question: &Question, accepted: &BTreeSet<Caution>) -> Outcome<Answer> {
    let all = all_of(question);
    if accepted.contains(&Caution::Hanging) { all } else { all.map(|all| Answer { hooks: None, ..all }) }
}

fn all_of(question: &Question) -> Outcome<Answer> {
    question.given().settle_with(|| {
        if question.hook_height.0 <= question.eye_height.0 {
            return Outcome::failed(incomplete(
                "the hooks are not above the eyes",
                "give `hook_height` and `eye_height` from the same floor",
            ));
        }
        hang(question).unwrap_or_else(Outcome::failed)
    })
}

/// The seat with its chains cut to whole links. Its frame's origin is the middle of the eyes, x to the right, y rearward.
struct Hanging<'a> {
    question: &'a Question,
    front: HungAt,
    rear: HungAt,
    runs: [f64; 2],
    swing: Suspended,
}

/// Sides of the seat: letter and sign of x.
const SIDES: [(&str, f64); 2] = [("left", -1.0), ("right", 1.0)];
/// Tilts nearer to each other than this, degrees, are alike: the text shows tenths (project choice).
const ALIKE: f64 = 0.1;

/// The runs of a front and a rear chain.
fn runs(question: &Question) -> [Run; 2] {
    [-1.0, 1.0].map(|end| {
        let (eye, hook) = (eye(question, 1.0, end), hook(question, 1.0, end));
        Run::between(turned(question, eye), hook, question.fittings.0 / METRE, question.link.0 / METRE)
    })
}

/// The seat at the links whose tilt comes nearest to the one asked: each run lies between two, and the nearest of one chain and the
/// nearest of the other may tilt it farther than one of the other pairs. Of tilts alike the links nearest to the runs.
fn hang(question: &Question) -> Result<Outcome<Answer>, Diagnostic> {
    let runs = runs(question);
    let [front, rear] = [runs[0].hung_at()?, runs[1].hung_at()?];
    let nearest = Hanging::new(question, &runs, front, rear);
    let first = nearest.settled();
    let (fronts, rears) = (runs[0].neighbours()?, runs[1].neighbours()?);
    let others = fronts.iter().flat_map(|front| rears.iter().map(|rear| (*front, *rear)));
    let others = others.filter(|pair| *pair != (front, rear));
    let settled = |(front, rear)| {
        let own = Hanging::new(question, &runs, front, rear);
        own.settled().map(|posture| (own, posture))
    };
    Ok(first.then(|posture| {
        let others = others.filter_map(|pair| settled(pair).value);
        let all: Vec<(Hanging<'_>, Posture)> = std::iter::once((nearest, posture)).chain(others).collect();
        let least = all.iter().map(|(own, posture)| own.off(posture)).fold(f64::INFINITY, f64::min);
        let alike = all.iter().filter(|(own, posture)| own.off(posture) <= least + ALIKE);
        let chosen = alike.min_by(|a, b| a.0.longer().total_cmp(&b.0.longer()));
        chosen.map_or(Outcome { value: None, diagnostics: Vec::new() }, |(own, posture)| own.answer(posture))
    }))
}

impl<'a> Hanging<'a> {
    fn new(question: &'a Question, runs: &[Run; 2], front: HungAt, rear: HungAt) -> Self {
        let swing = Suspended {
            gravity: STANDARD_GRAVITY,
            chains: chains(question, [front.length, rear.length]),
            masses: masses(question),
        };
        Hanging { question, front, rear, runs: runs.map(|run| run.distance), swing }
    }

    /// How it hangs; nothing where it turns over.
    fn settled(&self) -> Outcome<Posture> {
        let Outcome { value, diagnostics } = settle(&self.swing);
        match value {
            Some(Rest::Hangs(posture)) => Outcome { value: Some(posture), diagnostics },
            // Nothing can be hung so, and that is the whole answer.
            Some(Rest::Tips(_)) | None => {
                let refused = |own| Diagnostic { severity: Severity::Error, ..own };
                Outcome { value: None, diagnostics: diagnostics.into_iter().map(refused).collect() }
            }
        }
    }

    /// How far its tilt is from the one asked, degrees.
    fn off(&self, posture: &Posture) -> f64 {
        (posture.tilt.as_deg() - self.question.tilt_deg).abs()
    }

    /// How far its links are from the runs, m.
    fn longer(&self) -> f64 {
        self.front.longer.abs() + self.rear.longer.abs()
    }

    fn answer(&self, posture: &Posture) -> Outcome<Answer> {
        self.dynamic_factor(posture).map(|factor| self.told(posture, factor))
    }

    /// As one body about the line of the hooks: the most that rings and parallel chains alike come to.
    fn dynamic_factor(&self, posture: &Posture) -> Outcome<f64> {
        let pendulum = Pendulum {
            gravity: STANDARD_GRAVITY,
            mass: self.question.load_kg + self.question.seat_kg,
            radius: -posture.centre.z,
            gyration: 0.0,
            amplitude: Angle::deg(self.question.swing()),
        };
        pendulum.swing().map(|swinging| swinging.dynamic_factor)
    }

    fn told(&self, posture: &Posture, factor: f64) -> Answer {
        let drop = self.question.hook_height.0 + posture.origin.z * METRE;
        Answer {
            front: self.chain(posture, self.front, self.runs[0], "front", factor),
            rear: self.chain(posture, self.rear, self.runs[1], "rear", factor),
            hangs: Hangs { tilt_deg: rounded(posture.tilt.as_deg()), eye_height_mm: rounded(drop) },
            hooks: Some(hooks(posture, factor)),
            rear_link_shorter_deg: self.link_effect("rear"),
            front_link_shorter_deg: self.link_effect("front"),
            dynamic_factor: rounded(factor),
        }
    }

    fn chain(&self, posture: &Posture, hung: HungAt, run: f64, end: &str, factor: f64) -> ChainAnswer {
        let own = || posture.chains.iter().filter(|chain| chain.id.ends_with(end));
        let tension = own().map(|chain| chain.tension).fold(0.0, f64::max);
        let angle = own().map(|chain| chain.from_vertical.as_deg()).fold(0.0, f64::max);
        ChainAnswer {
            run_mm: rounded(run * METRE),
            link: hung.link,
            chain_mm: rounded(hung.chain * METRE),
            longer_mm: rounded(hung.longer * METRE),
            tension: Force::newtons(rounded(tension)),
            swung: Force::newtons(rounded(tension * factor)),
            from_vertical_deg: rounded(angle),
        }
    }

    /// None where the seat would turn over with it.
    fn link_effect(&self, end: &str) -> Option<f64> {
        let names = SIDES.map(|(side, _)| format!("{side} {end}"));
        let effect =
            one_link(&self.swing, &names.each_ref().map(String::as_str), self.question.link.0 / METRE);
        effect.value.map(|effect| rounded(effect.tilt.as_deg()))
    }
}

fn hooks(posture: &Posture, factor: f64) -> Vec<HookAnswer> {
    let mut hooks: Vec<HookAnswer> = hook_loads(posture, 1.0)
        .into_iter()
        .map(|rest| HookAnswer {
            hook: rest.hook,
            at_rest: Force::newtons(rounded(rest.pull)),
            swung: Force::newtons(rounded(rest.pull * factor)),
            from_vertical_deg: rounded(rest.from_vertical.as_deg()),
        })
        .collect();
    hooks.sort_by(|a, b| b.swung.n.total_cmp(&a.swung.n));
    hooks
}

fn rounded(value: f64) -> f64 {
    figure::rounded(value, PARTS)
}

/// An eye, seat frame, m: `side` -1 or 1, `end` -1 in front or 1 behind.
fn eye(question: &Question, side: f64, end: f64) -> DVec3 {
    DVec3::new(side * question.eye_spacing.0, end * question.eye_depth.0, 0.0) / (2.0 * METRE)
}

/// A hook, m, heights from the hooks' own.
fn hook(question: &Question, side: f64, end: f64) -> DVec3 {
    let depth = question.hook_depth.unwrap_or_default().0;
    DVec3::new(side * question.hook_spacing.0, end * depth, 0.0) / (2.0 * METRE)
}

/// A point of the seat as it shall hang, fixed axes, m.
fn turned(question: &Question, point: DVec3) -> DVec3 {
    let tilt = Angle::deg(question.tilt_deg);
    let drop = (question.hook_height.0 - question.eye_height.0) / METRE;
    DVec3::new(
        point.x,
        point.y * tilt.cos() + point.z * tilt.sin(),
        point.z * tilt.cos() - point.y * tilt.sin() - drop,
    )
}

fn chains(question: &Question, [front, rear]: [f64; 2]) -> Vec<Chain> {
    let one_a_side = question.hook_depth.is_none_or(|own| own.0 == 0.0);
    let chain = |side: &str, sign: f64, end: &str, along: f64, length: f64| Chain {
        id: format!("{side} {end}"),
        eye: eye(question, sign, along),
        hook: hook(question, sign, along),
        hook_id: if one_a_side { String::from(side) } else { format!("{side} {end}") },
        length,
    };
    let side = |&(side, sign): &(&str, f64)| {
        [chain(side, sign, "front", -1.0, front), chain(side, sign, "rear", 1.0, rear)]
    };
    SIDES.iter().flat_map(side).collect()
}

/// People where they sit, the seat's own weight in the middle of its eyes.
fn masses(question: &Question) -> Vec<Mass> {
    let back = question.load_back() - question.eye_depth.0 / 2.0;
    let people = Mass { mass: question.load_kg, at: DVec3::new(0.0, back, question.load_up()) / METRE };
    let seat = Mass { mass: question.seat_kg, at: DVec3::ZERO };
    if question.seat_kg > 0.0 { vec![people, seat] } else { vec![people] }
}
