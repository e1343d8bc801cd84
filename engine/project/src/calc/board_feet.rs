//! Board feet, volume and weight of a pile of boards.

use super::figure::{Force, Size, incomplete};
use super::json::{Object, read};
use super::{Answered, Calculation, Findings, Setting, document, told};
use crate::calc;
use serde::Serialize;
use slatwork_base::{Diagnostic, Length, Outcome};
use slatwork_catalog::Catalogue;
use slatwork_checks::statics::given::Given;
use slatwork_checks::statics::moisture::MOST_MOISTURE;
use slatwork_checks::statics::units::{FOOT, INCH};

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "board-feet",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-board-feet.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str =
    r#"{ "boards": [ { "section": "2x4", "length": "8ft", "count": 3, "wood": "white oak" } ] }"#;

const LAYOUT: &str = "\
boards                    a list, alike boards together, each:
  .section                of the catalogue; or
  .thickness, .width
  .length
  .count                  1 when left out
  .wood                   of the catalogue; no weight without
  .moisture_percent       12 when left out";

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read)
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    question(asked).then(|question| {
        answer(&question, setting.catalogue).map(|answer| Answered {
            text: told::board_feet(&question, &answer, setting.units),
            document: document(&answer),
        })
    })
}

/// Some boards.
#[derive(Clone, Debug)]
pub struct Question {
    /// The boards, alike ones together.
    pub boards: Vec<Boards>,
}

impl Question {
    fn read(own: &Object<'_>) -> Self {
        Question { boards: own.each("boards", Boards::read) }
    }
}

/// Boards alike.
#[derive(Clone, Debug, Default)]
pub struct Boards {
    /// A section of the catalogue: counted by the size it is sold by, weighed by the size it has.
    pub section: Option<String>,
    /// Or a thickness, counted and weighed as it is.
    pub thickness: Option<Size>,
    /// And a width.
    pub width: Option<Size>,
    /// Length.
    pub length: Size,
    /// How many, 1 when left out.
    pub count: Option<u32>,
    /// A wood of the catalogue; no weight without.
    pub wood: Option<String>,
    /// Moisture, percent; 12 when left out.
    pub moisture_percent: Option<f64>,
}

impl Boards {
    fn read(own: &Object<'_>) -> Self {
        Boards {
            section: own.text("section"),
            thickness: own.size("thickness"),
            width: own.size("width"),
            length: own.size("length").unwrap_or_default(),
            count: own.count("count"),
            wood: own.text("wood"),
            moisture_percent: own.number("moisture_percent"),
        }
    }
}

/// What they come to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// Line by line.
    pub boards: Vec<Line>,
    /// All board feet.
    pub board_feet: f64,
    /// All of the wood, m3.
    pub volume_m3: f64,
    /// Weight of those whose wood is known.
    pub weight: Force,
    /// Mass of them, kg.
    pub mass_kg: f64,
}

/// Boards alike.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Line {
    /// Board feet by the size they are sold by: thickness (in) x width (in) x length (ft)/12.
    pub board_feet: f64,
    /// By the size they have, m3.
    pub volume_m3: f64,
    /// Where the wood is known, kg.
    pub mass_kg: Option<f64>,
}

const CUBIC_MM: f64 = 1e-9;
/// Moisture where nothing is said, percent: that of the tables of weight.
const USUAL_MOISTURE: f64 = 12.0;

/// Answers. Every trouble is told; an error leaves no answer.
pub fn answer(question: &Question, catalogue: &Catalogue) -> Outcome<Answer> {
    let mut given = Given::new();
    given.positive("number of kinds of board", question.boards.len() as f64);
    let boards: Vec<Line> =
        question.boards.iter().filter_map(|boards| given.take(line(boards, catalogue))).collect();
    given.settle(|| {
        let sum = |of: fn(&Line) -> f64| boards.iter().map(of).sum::<f64>();
        let mass_kg = sum(|line| line.mass_kg.unwrap_or_default());
        Answer {
            board_feet: sum(|line| line.board_feet),
            volume_m3: sum(|line| line.volume_m3),
            weight: Force::newtons(mass_kg * slatwork_checks::statics::units::GRAVITY),
            mass_kg,
            boards,
        }
    })
}

fn line(boards: &Boards, catalogue: &Catalogue) -> Outcome<Line> {
    let (sold, actual) = match sizes(boards, catalogue) {
        Ok(sizes) => sizes,
        Err(trouble) => return Outcome::failed(trouble),
    };
    let count = f64::from(boards.count.unwrap_or(1));
    let mut given = Given::new();
    given.positive("thickness", sold.0).positive("width", sold.1).positive("length", boards.length.0);
    given.positive("number of boards", count);
    let density = match density(boards, catalogue) {
        Ok(density) => given.take(density).flatten(),
        Err(trouble) => return Outcome::failed(trouble),
    };
    given.settle(|| {
        let volume_m3 = count * actual.0 * actual.1 * boards.length.0 * CUBIC_MM;
        Line {
            board_feet: count * sold.0 / INCH * sold.1 / INCH * boards.length.0 / FOOT / 12.0,
            volume_m3,
            mass_kg: density.map(|density| density * volume_m3),
        }
    })
}

type Pair = (f64, f64);

/// The size that boards are sold by and the size they have, mm.
fn sizes(boards: &Boards, catalogue: &Catalogue) -> Result<(Pair, Pair), Diagnostic> {
    let mm = |pair: (Length, Length)| (pair.0.as_mm(), pair.1.as_mm());
    match (&boards.section, boards.thickness, boards.width) {
        (Some(name), None, None) => {
            let section = catalogue.section(name)?;
            Ok((mm(section.sold_size()), mm((section.thickness, section.width))))
        }
        (None, Some(thickness), Some(width)) => Ok(((thickness.0, width.0), (thickness.0, width.0))),
        _ => Err(incomplete(
            "a board has no size, or two",
            "give its `section`, or its `thickness` and `width`",
        )),
    }
}

/// Density in kg/m3 where the wood is known.
fn density(boards: &Boards, catalogue: &Catalogue) -> Result<Outcome<Option<f64>>, Diagnostic> {
    let Some(wood) = &boards.wood else { return Ok(Outcome::fine(None)) };
    let species = catalogue.species(wood)?;
    let moisture = boards.moisture_percent.unwrap_or(USUAL_MOISTURE);
    let mut given = Given::new();
    given.within("moisture in percent", moisture, 0.0, MOST_MOISTURE);
    Ok(given.settle(|| Some(species.density_at(moisture))))
}
