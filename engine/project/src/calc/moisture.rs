//! What moisture wood takes from the air and how a board moves with it.

use super::figure::{Size, USUAL_TEMPERATURE, choose, incomplete};
use super::json::{Object, read};
use super::{Answered, Calculation, Findings, Setting, document, told};
use crate::calc;
use serde::Serialize;
use slatwork_base::{Diagnostic, Outcome};
use slatwork_catalog::Catalogue;
use slatwork_checks::statics::given::Given;
use slatwork_checks::statics::moisture::{self, Air, MOST_MOISTURE, Movement, Sawn};

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "moisture",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-moisture.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r#"{ "wood": "white oak", "width": "5-1/2in", "thickness": "1in",
  "from": { "percent": 8 }, "to": { "humidity_percent": 80, "temperature_c": 10 } }"#;

const LAYOUT: &str = "\
wood                      of the catalogue; or else
shrinkage                 of it: .radial .tangential (percent, green to dry) .fibre_saturation
width, thickness          of the board; no movement without them
sawn                      flat, quarter
from, to                  when worked and in the end, each:
  .percent                moisture of the wood; or
  .humidity_percent       of the air, with its
  .temperature_c
year                      a list, month by month: .humidity_percent .temperature_c";

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read)
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    question(asked).then(|question| {
        answer(&question, setting.catalogue).map(|answer| Answered {
            text: told::moisture(&question, &answer, setting.units),
            document: document(&answer),
        })
    })
}

/// A board and its air.
#[derive(Clone, Debug, Default)]
pub struct Question {
    /// A wood of the catalogue.
    pub wood: Option<String>,
    /// Or its shrinkage.
    pub shrinkage: Option<Shrinkage>,
    /// Width of the board; no movement without.
    pub width: Option<Size>,
    /// Thickness of the board; its movement is not worked out without.
    pub thickness: Option<Size>,
    /// `flat` (when left out) or `quarter`.
    pub sawn: Option<String>,
    /// How moist when it is worked.
    pub from: Option<State>,
    /// How moist in the end.
    pub to: Option<State>,
    /// The place over a year, month by month.
    pub year: Vec<State>,
}

impl Question {
    fn read(own: &Object<'_>) -> Self {
        Question {
            wood: own.text("wood"),
            shrinkage: own.object("shrinkage", Shrinkage::read),
            width: own.size("width"),
            thickness: own.size("thickness"),
            sawn: own.text("sawn"),
            from: own.object("from", State::read),
            to: own.object("to", State::read),
            year: own.each("year", State::read),
        }
    }
}

/// Shrinkage from green to oven-dry, percent.
#[derive(Clone, Copy, Debug)]
pub struct Shrinkage {
    /// Across the growth rings.
    pub radial: f64,
    /// Along them.
    pub tangential: f64,
    /// Moisture above which it no longer swells, percent; 30 when left out.
    pub fibre_saturation: Option<f64>,
}

impl Shrinkage {
    fn read(own: &Object<'_>) -> Self {
        Shrinkage {
            radial: own.need("radial", own.number("radial")).unwrap_or_default(),
            tangential: own.need("tangential", own.number("tangential")).unwrap_or_default(),
            fibre_saturation: own.number("fibre_saturation"),
        }
    }
}

/// A moisture, or the air that brings it about.
#[derive(Clone, Copy, Debug, Default)]
pub struct State {
    /// Moisture of the wood, percent.
    pub percent: Option<f64>,
    /// Relative humidity, percent.
    pub humidity_percent: Option<f64>,
    /// Temperature, degrees C; 20 when left out.
    pub temperature_c: Option<f64>,
}

impl State {
    fn read(own: &Object<'_>) -> Self {
        State {
            percent: own.number("percent"),
            humidity_percent: own.number("humidity_percent"),
            temperature_c: own.number("temperature_c"),
        }
    }
}

/// What comes of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// Moisture when worked, percent.
    pub from_percent: Option<f64>,
    /// Moisture in the end, percent.
    pub to_percent: Option<f64>,
    /// How the board changes on that way.
    pub change: Option<Change>,
    /// Moistures over the year.
    pub year: Option<Year>,
}

/// Change of a board.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Change {
    /// Of the width, mm; less than zero when it shrinks.
    pub width_mm: f64,
    /// Of the thickness, mm, where it is known.
    pub thickness_mm: Option<f64>,
    /// What the side along the rings moves more than the other, percent: cupping.
    pub cup_percent: f64,
}

/// A year.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Year {
    /// Driest moisture, percent.
    pub driest_percent: f64,
    /// Wettest moisture, percent.
    pub wettest_percent: f64,
    /// Mean moisture, percent.
    pub mean_percent: f64,
    /// How the board moves from the moisture it was worked at, or from the mean, to the driest and the wettest.
    pub to_driest: Option<Change>,
    /// The same to the wettest.
    pub to_wettest: Option<Change>,
}

/// Fibre saturation where nothing is said, percent (Wood Handbook, from memory).
const USUAL_FIBRE_SATURATION: f64 = 30.0;

/// Answers. Every trouble is told; an error leaves no answer.
pub fn answer(question: &Question, catalogue: &Catalogue) -> Outcome<Answer> {
    let board = match Board::read(question, catalogue) {
        Ok(board) => board,
        Err(trouble) => return Outcome::failed(trouble),
    };
    if question.from.is_none() && question.to.is_none() && question.year.is_empty() {
        let help = "give `from` and `to`, or the `year`";
        return Outcome::failed(incomplete("there is no moisture and no air", help));
    }
    let mut given = Given::new();
    let mut percent = |state: Option<State>| state.and_then(|state| given.take(moisture_of(&state)));
    let (from, to) = (percent(question.from), percent(question.to));
    let change = match (board, from, to) {
        (Some(board), Some(from), Some(to)) => given.take(board.change(from, to)),
        _ => None,
    };
    let year = (!question.year.is_empty()).then(|| given.take(year(&question.year, board, from))).flatten();
    given.settle(|| Answer { from_percent: from, to_percent: to, change, year })
}

fn moisture_of(state: &State) -> Outcome<f64> {
    match (state.percent, state.humidity_percent) {
        (Some(_), None) if state.temperature_c.is_some() => Outcome::failed(incomplete(
            "a moisture of the wood needs no temperature",
            "leave `temperature_c` out, or give `humidity_percent` in place of `percent`",
        )),
        (Some(percent), None) => {
            Given::new().within("moisture in percent", percent, 0.0, MOST_MOISTURE).settle(|| percent)
        }
        (None, Some(humidity)) => in_air(humidity).then(|humidity| {
            moisture::equilibrium(humidity, state.temperature_c.unwrap_or(USUAL_TEMPERATURE))
        }),
        _ => Outcome::failed(incomplete(
            "a state needs a moisture or a humidity",
            "give `percent`, or `humidity_percent` and `temperature_c`",
        )),
    }
}

/// Relative humidity as a part, from percent. In wetter air than this wood takes up rain and dew (project choice).
fn in_air(percent: f64) -> Outcome<f64> {
    Given::new().within("relative humidity in percent", percent, 0.0, 99.9).settle(|| percent / 100.0)
}

/// A board that moves.
#[derive(Clone, Copy)]
struct Board {
    movement: Movement,
    sawn: Sawn,
    width: f64,
    thickness: Option<f64>,
}

impl Board {
    fn read(question: &Question, catalogue: &Catalogue) -> Result<Option<Board>, Diagnostic> {
        let sawn = question.sawn.as_deref().map_or(Ok(Sawn::Flat), |word| {
            choose("sawn", word, &[(Sawn::Flat, "flat"), (Sawn::Quarter, "quarter")])
        })?;
        let is_named = question.wood.is_some() || question.shrinkage.is_some();
        if question.width.is_none() && !is_named {
            return Ok(None);
        }
        // Looked up without a width as well: a wood that nobody knows is a slip in any case.
        let movement = movement(question, catalogue)?;
        let thickness = question.thickness.map(|size| size.0);
        Ok(question.width.map(|width| Board { movement, sawn, width: width.0, thickness }))
    }

    fn change(&self, from: f64, to: f64) -> Outcome<Change> {
        // The width moves alike, whatever the thickness.
        let size = (self.width, self.thickness.unwrap_or(self.width));
        moisture::change(&self.movement, self.sawn, size, (from, to)).map(|change| Change {
            width_mm: change.width,
            thickness_mm: self.thickness.map(|_| change.thickness),
            cup_percent: change.cup,
        })
    }
}

fn movement(question: &Question, catalogue: &Catalogue) -> Result<Movement, Diagnostic> {
    match (&question.wood, question.shrinkage) {
        (Some(wood), None) => catalogue.species(wood).map(|species| Movement {
            radial: species.shrinkage.radial,
            tangential: species.shrinkage.tangential,
            fibre_saturation: species.fibre_saturation,
        }),
        (None, Some(own)) => Ok(Movement {
            radial: own.radial,
            tangential: own.tangential,
            fibre_saturation: own.fibre_saturation.unwrap_or(USUAL_FIBRE_SATURATION),
        }),
        _ => Err(incomplete("how the wood moves is not known, or told twice", "give `wood` or `shrinkage`")),
    }
}

fn year(months: &[State], board: Option<Board>, from: Option<f64>) -> Outcome<Year> {
    let mut given = Given::new();
    let air: Vec<Air> = months.iter().filter_map(|month| given.take(air_of(month))).collect();
    let range = given.take(moisture::climate(&air));
    let start = from.or(range.map(|range| range.mean));
    let mut change = |to: fn(&moisture::Range) -> f64| {
        let (board, range, start) = (board?, range?, start?);
        given.take(board.change(start, to(&range)))
    };
    let (to_driest, to_wettest) = (change(|range| range.driest), change(|range| range.wettest));
    given.settle_with(|| match range {
        Some(range) => Outcome::fine(Year {
            driest_percent: range.driest,
            wettest_percent: range.wettest,
            mean_percent: range.mean,
            to_driest,
            to_wettest,
        }),
        None => Outcome { value: None, diagnostics: Vec::new() },
    })
}

fn air_of(month: &State) -> Outcome<Air> {
    match (month.humidity_percent, month.percent) {
        (Some(humidity), None) => in_air(humidity)
            .map(|humidity| Air { humidity, celsius: month.temperature_c.unwrap_or(USUAL_TEMPERATURE) }),
        _ => Outcome::failed(incomplete(
            "a month needs its air",
            "give `humidity_percent` and `temperature_c`",
        )),
    }
}
