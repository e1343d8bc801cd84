//! Slats over a width: how many, which one is ripped, where each begins.

use super::figure::{self, Size, choose, incomplete};
use super::json::{Object, read};
use super::{Answered, Calculation, Findings, Setting, document, told};
use crate::calc;
use serde::Serialize;
use serde_json::Value;
use slatwork_base::{Diagnostic, Length, Outcome};
use slatwork_checks::statics::given::Given;
use slatwork_model::bench::{LEAST_RIP, MOST_SLATS, ODDS, Odd, STARTS, Start, StraightRun};

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "layout",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-layout.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r#"{ "room": "47in", "slat": "3-1/2in", "gap": "1/4in" }"#;

const LAYOUT: &str = "\
room                      between the sides
slat                      width of a slat; or
slats                     a list of widths, laid in turn
gap                       clear distance between neighbours
start                     first side (when left out), centre slat, centre gap
odd                       where a remainder goes: filler (when left out), filler first,
                          filler second from the end, both ends (from a centre), gaps
count                     a fixed number of slats: the gaps then close the run
least                     narrowest slat to rip; 1 in when left out";

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read)
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    question(asked).then(|question| {
        answer(&question).map(|answer| Answered {
            text: told::layout(&question, &answer, setting.units),
            document: document(&answer),
        })
    })
}

/// Slats and their room.
#[derive(Clone, Debug)]
pub struct Question {
    /// Between the sides.
    pub room: Size,
    /// Widths, laid in turn.
    pub slats: Vec<Size>,
    /// Clear distance between neighbours.
    pub gap: Size,
    /// Where a remainder goes.
    pub odd: Option<String>,
    /// What lies on the centre line.
    pub start: Option<String>,
    /// A fixed number of slats.
    pub count: Option<u32>,
    /// Narrowest slat to rip.
    pub least: Option<Size>,
}

/// The slats.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// How many.
    pub count: usize,
    /// Clear distance between neighbours, mm.
    pub gap_mm: f64,
    /// Each, from the first side on.
    pub slats: Vec<Slat>,
}

/// A slat.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Slat {
    /// Where it begins, from the first side, mm.
    pub from_mm: f64,
    /// Its width, mm.
    pub width_mm: f64,
    /// Whether it is ripped narrower than it comes.
    pub ripped: bool,
}

/// More room or wider gaps than this, mm, are a slip of units (project choice).
const MOST: f64 = 1e5;
/// Widths nearer to each other than this are one, mm.
const SAME: f64 = 1e-3;
/// An answer is given to this many parts of a millimetre: what lies below is the noise of the search.
const PARTS: f64 = 1e4;

impl Question {
    fn read(own: &Object<'_>) -> Self {
        let list = |value: &Value| value.as_array()?.iter().map(Size::of).collect::<Option<Vec<Size>>>();
        let listed = own.take("slats", "a list of widths such as [\"3-1/2in\", \"2-1/2in\"]", list);
        let one = own.size("slat");
        if own.has("slat") && own.has("slats") {
            own.report(incomplete("there are a `slat` and `slats`", "give one of them"));
        }
        let slats = listed.or_else(|| Some(vec![own.need("slat", one)?]));
        Question {
            room: own.need("room", own.size("room")).unwrap_or_default(),
            slats: slats.unwrap_or_default(),
            gap: own.size("gap").unwrap_or_default(),
            odd: own.text("odd"),
            start: own.text("start"),
            count: own.count("count"),
            least: own.size("least"),
        }
    }
}

/// Answers. Every trouble is told; an error leaves no answer.
pub fn answer(question: &Question) -> Outcome<Answer> {
    let words = || Ok((word_of("odd", &question.odd, &ODDS)?, word_of("start", &question.start, &STARTS)?));
    let (odd, start): (Option<Odd>, Option<Start>) = match words() {
        Ok(words) => words,
        Err(trouble) => return Outcome::failed(trouble),
    };
    let start = start.unwrap_or_default();
    // A run that grows outward from its centre line has both ends alike.
    let usual = if start == Start::FirstSide { Odd::Filler } else { Odd::BothEnds };
    let odd = odd.unwrap_or(usual);
    let least = question.least.map_or(LEAST_RIP.as_mm(), |own| own.0);
    let run = StraightRun {
        room: question.room.0,
        gap: question.gap.0,
        widths: question.slats.iter().map(|own| own.0).collect(),
        odd,
        start,
        least: Length::mm(least),
        count: question.count.map(|count| count as usize),
    };
    let mut given = Given::new();
    given.within("room", run.room, 1.0, MOST).within("gap", run.gap, 0.0, MOST);
    given.within("narrowest rip", least, 1.0, MOST);
    for width in &run.widths {
        given.within("width of a slat", *width, 1.0, MOST);
    }
    if question.count.is_some() {
        given.within("number of slats", f64::from(question.count.unwrap_or(0)), 1.0, MOST_SLATS as f64);
    }
    given.settle_with(|| match run.lay_out() {
        Ok(laid) => Outcome::fine(told_of(&run, &laid.slats, laid.gap)),
        Err(trouble) => Outcome::failed(trouble),
    })
}

/// What a word stands for, if it is there.
fn word_of<T: Copy, const N: usize>(
    key: &str,
    word: &Option<String>,
    words: &[(&'static str, T); N],
) -> Result<Option<T>, Diagnostic> {
    word.as_deref().map(|word| choose(key, word, &words.map(|(word, value)| (value, word)))).transpose()
}

fn told_of(run: &StraightRun, slats: &[(f64, f64)], gap: f64) -> Answer {
    let rounded = |mm: f64| figure::rounded(mm, PARTS);
    let slat = |&(from, width): &(f64, f64)| Slat {
        from_mm: rounded(from),
        width_mm: rounded(width),
        ripped: !run.widths.iter().any(|own| (own - width).abs() < SAME),
    };
    Answer { count: slats.len(), gap_mm: rounded(gap), slats: slats.iter().map(slat).collect() }
}
