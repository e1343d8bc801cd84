//! A curve over a chord: a circle by two of its figures, or a bent batten; heights for setting out.

use super::figure::{Size, choose, incomplete};
use super::json::{Object, read};
use super::{Answered, Calculation, Findings, Setting, document, told};
use crate::calc;
use serde::Serialize;
use slatwork_base::{Diagnostic, Outcome};
use slatwork_checks::statics::given::Given;
use slatwork_solid::{
    CurveFault, Path, batten_crown, batten_thrust, circle_over, circle_radius, ordinates, thrust_figures,
};

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "curve",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-curve.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r#"{ "chord": "48in", "rise": "6in" }"#;

const LAYOUT: &str = "\
curve                     circle (when left out), batten (bent by pushing its ends together),
                          nailed batten (held at both ends and pushed at the crown)
chord                     from end to end
rise                      from the chord to the crown
radius                    of a circle, in place of chord or rise
steps                     heights at so many equal steps of the chord; 8 when left out
thickness                 of a batten or slat that is bent: how sharply";

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read)
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    question(asked).then(|question| {
        answer(&question)
            .map(|answer| Answered { text: told::curve(&answer, setting.units), document: document(&answer) })
    })
}

/// A curve.
#[derive(Clone, Debug, Default)]
pub struct Question {
    /// `circle`, `batten`, `nailed batten`.
    pub curve: Option<String>,
    /// From end to end.
    pub chord: Option<Size>,
    /// From the chord to the crown.
    pub rise: Option<Size>,
    /// Of a circle.
    pub radius: Option<Size>,
    /// Heights at so many steps.
    pub steps: Option<u32>,
    /// Of what is bent.
    pub thickness: Option<Size>,
}

/// The curve's figures.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// `circle`, `batten`, `nailed batten`.
    pub curve: &'static str,
    /// From end to end, mm.
    pub chord_mm: f64,
    /// From the chord to the crown, mm.
    pub rise_mm: f64,
    /// At the crown, mm; the tightest of the curve.
    pub radius_mm: f64,
    /// Along the curve, mm.
    pub length_mm: f64,
    /// Between the curve's end and its chord, degrees.
    pub end_angle_deg: f64,
    /// Heights over the chord, from its start to its end; none of a curve that stands out beyond its chord.
    pub heights: Vec<Height>,
    /// Radius at the crown over the thickness, where one is given.
    pub radius_over_thickness: Option<f64>,
}

/// A height for setting out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Height {
    /// Along the chord, mm.
    pub at_mm: f64,
    /// Over the chord, mm.
    pub height_mm: f64,
}

/// Heights where nothing is said: eighths of the chord.
const USUAL_STEPS: u32 = 8;
/// More are a slip.
const MOST_STEPS: f64 = 200.0;
/// Sizes beyond these, mm, are slips of units (project choice).
const SIZES: (f64, f64) = (1.0, 1e6);
/// How near a batten's arcs keep to its true curve, mm: below what a pencil draws.
const CLOSE: f64 = 0.01;
/// Between a curve's end and its chord, degrees, with room for rounding noise.
const SQUARE: f64 = 90.0 + 1e-9;

/// Kinds of curves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Circle,
    Batten,
    Nailed,
}

const KINDS: [(Kind, &str); 3] =
    [(Kind::Circle, "circle"), (Kind::Batten, "batten"), (Kind::Nailed, "nailed batten")];

impl Question {
    fn read(own: &Object<'_>) -> Self {
        Question {
            curve: own.text("curve"),
            chord: own.size("chord"),
            rise: own.size("rise"),
            radius: own.size("radius"),
            steps: own.count("steps"),
            thickness: own.size("thickness"),
        }
    }
}

/// Answers. Every trouble is told; an error leaves no answer.
pub fn answer(question: &Question) -> Outcome<Answer> {
    let kind = match question.curve.as_deref().map_or(Ok(Kind::Circle), |word| choose("curve", word, &KINDS))
    {
        Ok(kind) => kind,
        Err(trouble) => return Outcome::failed(trouble),
    };
    let mut given = Given::new();
    for (what, size) in [("chord", question.chord), ("rise", question.rise), ("radius", question.radius)] {
        if let Some(own) = size {
            given.within(what, own.0, SIZES.0, SIZES.1);
        }
    }
    if let Some(own) = question.thickness {
        given.within("thickness", own.0, 0.1, SIZES.1);
    }
    let steps = question.steps.unwrap_or(USUAL_STEPS);
    given.within("number of steps", f64::from(steps), 1.0, MOST_STEPS);
    given.settle_with(|| match chord_and_rise(question, kind) {
        Ok((chord, rise)) => match drawn(kind, chord, rise) {
            Ok(figures) => Outcome::fine(figures.told(kind, chord, rise, steps, question.thickness)),
            Err(fault) => Outcome::failed(Diagnostic::from(fault)),
        },
        Err(trouble) => Outcome::failed(trouble),
    })
}

/// Chord and rise, mm. By the right triangle of radius, half chord and radius less rise.
fn chord_and_rise(question: &Question, kind: Kind) -> Result<(f64, f64), Diagnostic> {
    match (question.chord, question.rise, question.radius, kind) {
        (Some(chord), Some(rise), None, _) => Ok((chord.0, rise.0)),
        (Some(chord), None, Some(radius), Kind::Circle) => flatter(chord.0, radius.0),
        (None, Some(rise), Some(radius), Kind::Circle) => wider(rise.0, radius.0),
        (.., Kind::Circle) => Err(incomplete(
            "a circle is told by two of chord, rise and radius",
            "give two of `chord`, `rise`, `radius`",
        )),
        _ => Err(incomplete("a batten is told by its chord and its rise", "give `chord` and `rise`")),
    }
}

fn flatter(chord: f64, radius: f64) -> Result<(f64, f64), Diagnostic> {
    if radius < chord / 2.0 {
        let message =
            format!("a circle of radius {radius:.1} mm does not reach over a chord of {chord:.1} mm");
        let help = format!("take a radius of {:.1} mm or more", chord / 2.0);
        return Err(Diagnostic::error("radius-too-small", message).help(help));
    }
    // The flatter of the two arcs; written so that a large radius loses no digits.
    let half = chord / 2.0;
    Ok((chord, half * half / (radius + (radius * radius - half * half).sqrt())))
}

fn wider(rise: f64, radius: f64) -> Result<(f64, f64), Diagnostic> {
    if rise >= 2.0 * radius {
        let message = format!("a circle of radius {radius:.1} mm does not rise by {rise:.1} mm over a chord");
        let help = format!("take a radius of more than {:.1} mm", rise / 2.0);
        return Err(Diagnostic::error("radius-too-small", message).help(help));
    }
    Ok((2.0 * (rise * (2.0 * radius - rise)).sqrt(), rise))
}

/// What a kind of curve comes to.
struct Drawn {
    path: Path,
    radius: f64,
    length: f64,
}

fn drawn(kind: Kind, chord: f64, rise: f64) -> Result<Drawn, CurveFault> {
    match kind {
        Kind::Circle => {
            let path = circle_over(chord, rise)?;
            Ok(Drawn { radius: circle_radius(chord, rise), length: path.length(), path })
        }
        Kind::Batten => {
            let figures = thrust_figures(chord, rise)?;
            let path = batten_thrust(chord, rise, CLOSE)?;
            Ok(Drawn { path, radius: figures.crown_radius, length: figures.length })
        }
        Kind::Nailed => {
            let path = batten_crown(chord, rise, CLOSE)?;
            // y / rise = 3 u - 4 u^3 bends by 24 rise u / chord^2: most at the crown, u = 1/2.
            Ok(Drawn { radius: chord * chord / (12.0 * rise), length: path.length(), path })
        }
    }
}

impl Drawn {
    fn told(&self, kind: Kind, chord: f64, rise: f64, steps: u32, thickness: Option<Size>) -> Answer {
        let tangent = self.path.tangent_at_start();
        let end = slatwork_base::maths::atan2(tangent.y, tangent.x).to_degrees();
        // Beyond square the curve stands out over its chord's ends, and there is no one height there.
        let heights = if end <= SQUARE { ordinates(&self.path, steps as usize) } else { Vec::new() };
        Answer {
            curve: KINDS.iter().find(|(own, _)| *own == kind).map_or("", |(_, word)| word),
            chord_mm: chord,
            rise_mm: rise,
            radius_mm: self.radius,
            length_mm: self.length,
            end_angle_deg: end,
            heights: heights.into_iter().map(|(at_mm, height_mm)| Height { at_mm, height_mm }).collect(),
            radius_over_thickness: thickness.map(|own| self.radius / own.0),
        }
    }
}
