//! The cheapest boards to cut parts from, with a bound that no plan can beat and what shows it.
//!
//! Reads the layout of the cutting benchmark (`engine/shop/tests/cutting/`): whole numbers of one unit, or lengths in quotes.
//! Several instances make a list. The search is that of [`slatwork_shop::stock::cutting`]; it counts steps, so the same
//! question has the same answer on every machine, unless somebody stops it.

use super::certificate::Certificate;
use super::figure::{incomplete, rounded};
use super::json::{INSTANCES, Object, read};
use super::{Answered, Calculation, Findings, Setting, SoFar, document, json, told};
use crate::calc;
use serde::Serialize;
use serde_json::{Map, Value};
use slatwork_base::{Diagnostic, Length, Outcome, Place, Severity};
use slatwork_shop::stock::cutting::{
    self, Fault, LARGEST, Limits, MOST_KINDS, MOST_PARTS, Part, Problem, Shown, Step, Stock, solve_watched,
    tidy,
};
use std::cell::{Cell, RefCell};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "cut",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-cut.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r#"{ "stocks": [["8ft", 1321], ["10ft", 1785, 2]], "items": [["47in", 4], ["21-1/4in", 7]],
  "kerf": "1/8in", "trim": ["1/2in", "1/2in"] }"#;

const LAYOUT: &str = "\
stocks                    a list of [length, cost, available]; available is left out or null
                          where any number can be had; cost in any whole unit, such as cents
items                     a list of [length, how many]
kerf                      width of a cut; 0 when left out
trim                      [front, back]: what is squared off each board, that cut included
unit                      of bare lengths, which are whole numbers: \"1\" for any (when left out),
                          \"nm\" for nanometres; with \"nm\" or none, lengths may stand in quotes
usable                    shorter remainders are of no use; the shortest part when left out
name                      told with the answer
steps                     most elementary steps to search, some thousand in a microsecond
certificate               true: what shows that no plan costs less, whole in the JSON answer
instances                 a list of such objects in place of stocks and items, with steps and
                          certificate beside it; the file may also be that list alone
Besides: set, lb, ub, opt, opt_source are passed over.";

/// What the benchmark says besides.
const PASSED_OVER: [&str; 5] = ["set", "lb", "ub", "opt", "opt_source"];

/// Steps to look for fewer ways to cut and longer remainders, each: some tenths of a second together.
const STEPS_TO_TIDY: u64 = 50_000_000;

/// The unit of bare lengths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Any.
    Any,
    /// Nanometres.
    Nanometre,
}

/// Parts to cut and what they may be cut from.
#[derive(Clone, Debug)]
pub struct Instance {
    /// Where it stands in the question; empty for the question itself.
    pub way: String,
    /// Its name, if it has one.
    pub name: Option<String>,
    /// Of its lengths.
    pub unit: Unit,
    /// What is asked.
    pub problem: Problem,
    /// Shorter remainders are of no use; the shortest part where nothing is said.
    pub usable: Option<i64>,
}

/// Instances to solve.
#[derive(Clone, Debug)]
pub struct Question {
    /// One after another.
    pub instances: Vec<Instance>,
    /// Most steps for each.
    pub steps: Option<u64>,
    /// Whether the certificate is wanted.
    pub certificate: bool,
}

/// The plans.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// In the order asked.
    pub instances: Vec<Plan>,
}

/// What to take and how to cut it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// The name of the instance.
    pub name: Option<String>,
    /// Of all lengths: `nm`, or `1` for that of the question.
    pub unit: &'static str,
    /// Of the boards.
    pub cost: i64,
    /// No plan costs less; nothing where parts are missing.
    pub bound: Option<i64>,
    /// What the plan may cost too much.
    pub gap: Option<i64>,
    /// The same, of the cost.
    pub gap_percent: Option<f64>,
    /// Whether no plan is cheaper.
    pub optimal: bool,
    /// Which step closed the gap.
    pub proof: &'static str,
    /// Whether the search was ended before it was done.
    pub stopped: bool,
    /// Elementary steps spent.
    pub steps: u64,
    /// What to take, longest first.
    pub boards: Vec<Board>,
    /// How to cut, longest boards first.
    pub layouts: Vec<Layout>,
    /// Whether it is sure that no plan of this cost needs fewer layouts.
    pub fewest_layouts: bool,
    /// Parts that no board is left for: length and number.
    pub missing: Vec<(i64, usize)>,
    /// What shows the bound, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub certificate: Option<Certificate>,
}

/// Boards of one kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Board {
    /// Index of the stock.
    pub stock: usize,
    /// Length of each.
    pub length: i64,
    /// Cost of each.
    pub cost: i64,
    /// How many.
    pub count: usize,
}

/// One way to cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Layout {
    /// Index of the stock.
    pub stock: usize,
    /// Length of the stock.
    pub length: i64,
    /// Boards cut so.
    pub times: usize,
    /// Length and number of parts, longest first.
    pub cuts: Vec<(i64, usize)>,
    /// What is left between the last cut and the back trim.
    pub left: i64,
}

/// The question of a text: an object, or a list of instances.
///
/// # Errors
///
/// `json-syntax`, with the line and column.
pub fn parse(text: &str) -> Result<calc::Question, Diagnostic> {
    match json::value(text)? {
        Value::Object(map) => Ok(map),
        Value::Array(list) => Ok(Map::from_iter([(INSTANCES.to_string(), Value::Array(list))])),
        _ => Err(json::syntax("it is neither an object in braces nor a list of them")),
    }
}

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read).then(|question| match question {
        Some(question) if question.instances.is_empty() => {
            let trouble = incomplete("there is no instance to solve", "write one in braces");
            Outcome::failed(trouble.at(Place::Named(INSTANCES.to_string())))
        }
        Some(question) => Outcome::fine(question),
        None => Outcome { value: None, diagnostics: Vec::new() },
    })
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    question(asked).then(|question| {
        answer(&question, setting).map(|answer| Answered {
            text: told::cut(&question, &answer, setting.units),
            document: document(&answer),
        })
    })
}

impl Question {
    /// Nothing where a slip was told.
    fn read(file: &Object<'_>) -> Option<Self> {
        let steps = "a whole number greater than zero";
        let steps = file.take("steps", steps, |value| value.as_u64().filter(|&steps| steps > 0));
        let certificate = file.flag("certificate");
        file.pass_over(&[INSTANCES]);
        let instances: Option<Vec<Instance>> = if file.has(INSTANCES) {
            file.each(INSTANCES, Instance::read).into_iter().collect()
        } else {
            Instance::read(file).map(|one| vec![one])
        };
        Some(Question { instances: instances?, steps, certificate })
    }
}

impl Instance {
    fn read(own: &Object<'_>) -> Option<Self> {
        own.pass_over(&PASSED_OVER);
        let lengths = Lengths { own, bare: RefCell::default(), quoted: RefCell::default() };
        let rows = |key, wanted: &str| {
            let rows = own.take(key, wanted, |value| value.as_array().cloned());
            own.need(key, rows)
        };
        let stocks = rows("stocks", "a list of [length, cost, available]").unwrap_or_default();
        let stocks: Vec<_> = stocks.iter().enumerate().map(|(at, row)| lengths.stock(at, row)).collect();
        let items = rows("items", "a list of [length, how many]").unwrap_or_default();
        let parts: Vec<_> = items.iter().enumerate().map(|(at, row)| lengths.part(at, row)).collect();
        let (kerf, trim, usable) = (lengths.single("kerf"), lengths.trim(), lengths.single("usable"));
        let unit = lengths.unit();
        if own.has("stocks") && stocks.is_empty() {
            own.report(incomplete(
                "there is no stock to cut from",
                "add a length with its price to `stocks`",
            ));
        }
        let problem = Problem {
            stocks: stocks.into_iter().collect::<Option<_>>()?,
            parts: parts.into_iter().collect::<Option<_>>()?,
            kerf: kerf?.unwrap_or(0),
            trim: trim?,
        };
        let unit = unit?;
        let is_possible = tell_too_long(own, &problem, unit);
        let name = own.text("name");
        let way = own.path().to_string();
        (is_possible && !problem.stocks.is_empty()).then_some(Instance {
            way,
            name,
            unit,
            problem,
            usable: usable?,
        })
    }

    /// A length in words, for messages: exact.
    fn words(&self, length: i64) -> String {
        words(self.unit, length)
    }
}

/// A length in words, for messages: exact.
fn words(unit: Unit, length: i64) -> String {
    match unit {
        Unit::Any => length.to_string(),
        Unit::Nanometre => Length::nm(length).to_string(),
    }
}

/// Tells every part that no stock holds; gives whether there is none.
fn tell_too_long(own: &Object<'_>, problem: &Problem, unit: Unit) -> bool {
    let room = |stock: &Stock| problem.room(stock) - problem.kerf;
    let Some(longest) = problem.stocks.iter().map(room).max() else { return true };
    let too_long = |part: &&(usize, &Part)| part.1.demand > 0 && part.1.length > longest;
    let parts: Vec<(usize, &Part)> = problem.parts.iter().enumerate().collect();
    for (at, part) in parts.iter().filter(too_long) {
        let message = format!(
            "the part is {} long, and the longest that any stock holds between its trims is {}",
            words(unit, part.length),
            words(unit, longest.max(0))
        );
        let trouble = Diagnostic::error("part-longer-than-stock", message);
        own.report_at(&format!("items[{at}]"), trouble.help("add a longer stock, or make the part shorter"));
    }
    !parts.iter().any(|part| too_long(&part))
}

/// Reads the lengths of an instance, and sees whether they go together.
struct Lengths<'o, 'a> {
    own: &'o Object<'a>,
    /// Where the first bare one stands that is not nought.
    bare: RefCell<Option<String>>,
    /// Where the first one in quotes stands.
    quoted: RefCell<Option<String>>,
}

/// What a length must be.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Least {
    MoreThanNought,
    Nought,
}

impl Lengths<'_, '_> {
    fn stock(&self, at: usize, row: &Value) -> Option<Stock> {
        let way = format!("stocks[{at}]");
        let row = self.row(&way, row, 1..=3, "[length, cost, available]")?;
        let length = self.length(&format!("{way}[0]"), &row[0], Least::MoreThanNought);
        let cost = match row.get(1).filter(|cost| !cost.is_null()) {
            Some(cost) => self.whole(&format!("{way}[1]"), cost, "cost"),
            None => self.tell(&way, without_price()),
        };
        let available = match row.get(2).filter(|available| !available.is_null()) {
            Some(own) => self.number(&format!("{way}[2]"), own, "number available").map(Some),
            None => Some(None),
        };
        Some(Stock { length: length?, cost: cost?, available: available? })
    }

    fn part(&self, at: usize, row: &Value) -> Option<Part> {
        let way = format!("items[{at}]");
        let row = self.row(&way, row, 2..=2, "[length, how many]")?;
        let length = self.length(&format!("{way}[0]"), &row[0], Least::MoreThanNought);
        let demand = self.number(&format!("{way}[1]"), &row[1], "number wanted");
        Some(Part { length: length?, demand: demand? })
    }

    /// A length with a key of its own; nothing within where it is left out.
    fn single(&self, key: &'static str) -> Option<Option<i64>> {
        match self.own.take(key, "", |value| Some(value.clone())) {
            Some(value) => self.length(key, &value, Least::Nought).map(Some),
            None => Some(None),
        }
    }

    fn trim(&self) -> Option<[i64; 2]> {
        let Some(value) = self.own.take("trim", "", |value| Some(value.clone())) else { return Some([0, 0]) };
        let both = self.row("trim", &value, 2..=2, "[front, back]")?;
        let [front, back] = [0, 1].map(|at| self.length(&format!("trim[{at}]"), &both[at], Least::Nought));
        Some([front?, back?])
    }

    fn row<'v>(
        &self,
        way: &str,
        value: &'v Value,
        lengths: std::ops::RangeInclusive<usize>,
        wanted: &str,
    ) -> Option<&'v [Value]> {
        let row = value.as_array().filter(|row| lengths.contains(&row.len()));
        if row.is_none() {
            self.own.wrong_at(way, value, &format!("a list {wanted}"));
        }
        row.map(Vec::as_slice)
    }

    fn length(&self, way: &str, value: &Value, least: Least) -> Option<i64> {
        let length = match value {
            Value::String(text) => {
                let Ok(length) = text.parse::<Length>() else {
                    self.own.wrong_at(way, value, "a length such as \"3-1/2in\" or \"89mm\"");
                    return None;
                };
                self.quoted.borrow_mut().get_or_insert_with(|| way.to_string());
                length.as_nm()
            }
            _ => {
                let whole = self.counted(way, value, "a whole number, or a length in quotes")?;
                if whole != 0 {
                    self.bare.borrow_mut().get_or_insert_with(|| way.to_string());
                }
                whole
            }
        };
        if length < 0 && least == Least::Nought {
            return self.tell(way, negative("length", value));
        }
        if length <= 0 && least == Least::MoreThanNought {
            let message = format!("the length is {value} and must be greater than zero");
            return self
                .tell(way, Diagnostic::error("not-greater-than-zero", message).help("give the length"));
        }
        if length > LARGEST { self.tell(way, uncountable(value)) } else { Some(length) }
    }

    /// A whole number, zero or more.
    fn whole(&self, way: &str, value: &Value, what: &str) -> Option<i64> {
        let whole = self.counted(way, value, "a whole number, zero or more")?;
        if whole < 0 { self.tell(way, negative(what, value)) } else { Some(whole) }
    }

    fn number(&self, way: &str, value: &Value, what: &str) -> Option<usize> {
        let whole = self.whole(way, value, what)?;
        usize::try_from(whole).ok().or_else(|| self.tell(way, uncountable(value)))
    }

    /// A whole number that can be held at all.
    fn counted(&self, way: &str, value: &Value, wanted: &str) -> Option<i64> {
        if value.as_i64().is_none() {
            let is_large = value.as_f64().is_some_and(|own| own.abs() > LARGEST as f64);
            if is_large {
                return self.tell(way, uncountable(value));
            }
            self.own.wrong_at(way, value, wanted);
        }
        value.as_i64()
    }

    fn tell<T>(&self, way: &str, trouble: Diagnostic) -> Option<T> {
        self.own.report_at(way, trouble);
        None
    }

    /// The unit that is said or seen. Bare lengths beside others in quotes could be of any.
    fn unit(&self) -> Option<Unit> {
        let word = self.own.take("unit", "\"1\" or \"nm\"", |value| match value.as_str()? {
            "1" => Some(Unit::Any),
            "nm" => Some(Unit::Nanometre),
            _ => None,
        });
        let (bare, quoted) = (self.bare.borrow(), self.quoted.borrow());
        match (word, bare.as_deref(), quoted.as_deref()) {
            (Some(Unit::Any), _, Some(way)) => {
                let trouble = incomplete(
                    "a length in quotes, and the unit of the others is not known",
                    "write `\"unit\": \"nm\"`, or all lengths as whole numbers of one unit",
                );
                self.tell(way, trouble)
            }
            (None, Some(way), Some(_)) => {
                let trouble = incomplete(
                    "a bare length beside others in quotes",
                    "write it in quotes with its unit as well, or `\"unit\": \"nm\"` when it is nanometres",
                );
                self.tell(way, trouble)
            }
            (None, None, Some(_)) => Some(Unit::Nanometre),
            (word, ..) if word.is_some() || !self.own.has("unit") => Some(word.unwrap_or(Unit::Any)),
            _ => None,
        }
    }
}

fn without_price() -> Diagnostic {
    Diagnostic::error("stock-without-price", "the stock has no price, so no plan can be called the cheapest")
        .help("give its cost after the length: 0 for what stands on your rack, 1 for all to count boards")
}

fn negative(what: &str, value: &Value) -> Diagnostic {
    let message = format!("the {what} is {value} and must be zero or greater");
    Diagnostic::error("less-than-zero", message).help("give it without its sign")
}

fn uncountable(value: &Value) -> Diagnostic {
    let message = format!("{value} is beyond the {LARGEST} that can be counted exactly");
    Diagnostic::error("too-large-to-count", message).help("look at the unit, or take a coarser one")
}

/// Answers. Every trouble is told; an error leaves no answer. Who stops the search gets the best plan so far, and those of the
/// instances before it.
pub fn answer(question: &Question, setting: &Setting<'_>) -> Outcome<Answer> {
    let (mut plans, mut troubles) = (Vec::new(), Vec::new());
    let is_stopped = Cell::new(false);
    let of = question.instances.len();
    for (at, instance) in question.instances.iter().enumerate() {
        if is_stopped.get() {
            let message = format!("{} of {of} instances are left unanswered", of - at);
            troubles.push(Diagnostic::warning("left-unanswered", message).help("ask them by themselves"));
            break;
        }
        let go_on = &mut |progress: &cutting::Progress| {
            let so_far = SoFar { instance: at + 1, of, progress: *progress };
            let goes_on = setting.watch.goes_on(&so_far);
            is_stopped.set(is_stopped.get() || !goes_on);
            goes_on
        };
        match plan(question, instance, go_on) {
            Ok(plan) => {
                troubles.extend(findings(instance, &plan, is_stopped.get()));
                plans.push(plan);
            }
            Err(fault) => troubles.push(at_instance(instance, refused(&fault))),
        }
    }
    if troubles.iter().any(Diagnostic::is_error) {
        return Outcome { value: None, diagnostics: troubles };
    }
    Outcome::with(Answer { instances: plans }, troubles)
}

fn plan(
    question: &Question,
    instance: &Instance,
    go_on: &mut dyn FnMut(&cutting::Progress) -> bool,
) -> Result<Plan, Fault> {
    let problem = &instance.problem;
    let usual = Limits::default();
    let limits = Limits { steps: question.steps.unwrap_or(usual.steps), ..usual };
    let mut answer = solve_watched(problem, limits, go_on)?;
    let mut fewest_layouts = false;
    if !answer.stopped {
        let wanted = problem.parts.iter().filter(|part| part.demand > 0);
        let shortest = wanted.map(|part| part.length).min().unwrap_or(0);
        let tidied = tidy(problem, &answer, instance.usable.unwrap_or(shortest), STEPS_TO_TIDY)?;
        fewest_layouts = tidied.patterns_shown == Shown::Best;
        answer = tidied.answer;
    }
    let layouts = layouts(problem, &answer);
    let is_whole = answer.missing.is_empty();
    let share = |gap: i64| if answer.cost == 0 { 0.0 } else { 100.0 * gap as f64 / answer.cost as f64 };
    Ok(Plan {
        name: instance.name.clone(),
        unit: if instance.unit == Unit::Nanometre { "nm" } else { "1" },
        cost: answer.cost,
        bound: is_whole.then_some(answer.bound),
        gap: is_whole.then(|| answer.gap()),
        gap_percent: is_whole.then(|| rounded(share(answer.gap()), 1e4)),
        optimal: answer.is_optimal(),
        proof: word(answer.proof),
        stopped: answer.stopped,
        steps: answer.steps,
        boards: boards(problem, &layouts),
        layouts,
        fewest_layouts,
        missing: answer.missing.iter().map(|cut| (cut.length, cut.count)).collect(),
        certificate: question.certificate.then(|| Certificate::of(&answer.certificate)),
    })
}

/// The step in a word, for programs.
fn word(step: Step) -> &'static str {
    match step {
        Step::Open => "open",
        Step::Greedy => "greedy",
        Step::Diving => "diving",
        Step::Rounding => "rounding",
        Step::Tallies => "tallies",
        Step::Enumeration => "enumeration",
        Step::Shortage => "shortage",
    }
}

/// Longest boards first, of these what is cut longest.
fn layouts(problem: &Problem, answer: &cutting::Answer) -> Vec<Layout> {
    let layout = |own: &cutting::Layout| {
        let stock = &problem.stocks[own.stock];
        let taken: i64 = own.cuts.iter().map(|cut| (cut.length + problem.kerf) * cut.count as i64).sum();
        Layout {
            stock: own.stock,
            length: stock.length,
            times: own.times,
            cuts: own.cuts.iter().map(|cut| (cut.length, cut.count)).collect(),
            // The last cut may take its kerf from a remainder that is no wider.
            left: (stock.length - problem.trim[0] - problem.trim[1] - taken).max(0),
        }
    };
    let mut layouts: Vec<Layout> = answer.layouts.iter().map(layout).collect();
    layouts.sort_by_cached_key(|own| (Reverse(own.length), own.stock, Reverse(own.cuts.clone())));
    layouts
}

fn boards(problem: &Problem, layouts: &[Layout]) -> Vec<Board> {
    let mut counts: BTreeMap<(Reverse<i64>, usize), usize> = BTreeMap::new();
    for own in layouts {
        *counts.entry((Reverse(own.length), own.stock)).or_default() += own.times;
    }
    let board = |((length, stock), count): ((Reverse<i64>, usize), usize)| Board {
        stock,
        length: length.0,
        cost: problem.stocks[stock].cost,
        count,
    };
    counts.into_iter().map(board).collect()
}

/// What is to be said of a plan.
fn findings(instance: &Instance, plan: &Plan, is_stopped: bool) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    if !plan.missing.is_empty() {
        let each =
            plan.missing.iter().map(|(length, count)| format!("{count} of {}", instance.words(*length)));
        let missing: Vec<String> = each.take(MOST_NAMED).collect();
        let more = if plan.missing.len() > MOST_NAMED { ", .." } else { "" };
        let message = format!("no board is left for parts: {}{more}", missing.join(", "));
        let trouble = Diagnostic::new(Severity::Failure, "yard-runs-out", message);
        found.push(trouble.help("raise the number available, or add another length"));
    }
    let is_open = plan.proof == word(Step::Open);
    if is_open {
        let (why, help) = match (is_stopped, plan.stopped) {
            (true, _) => ("the search was interrupted", "let it run longer"),
            (_, true) => ("the search used up its steps", "give it more `steps`"),
            _ => (
                "the search reached the limits of what it lists",
                "take the plan: the gap is all there is to save",
            ),
        };
        let message = match plan.gap.zip(plan.gap_percent) {
            Some((gap, percent)) => {
                format!("{why}: the plan may cost up to {gap} ({percent} %) more than the cheapest")
            }
            None => format!("{why}: fewer parts may be missing"),
        };
        found.push(Diagnostic::warning("gap-left-open", message).help(help));
    }
    found.into_iter().map(|trouble| at_instance(instance, trouble)).collect()
}

/// Most lengths that a message names.
const MOST_NAMED: usize = 5;

/// Why a problem is not taken.
fn refused(fault: &Fault) -> Diagnostic {
    let message = fault.to_string();
    match fault {
        Fault::TooDear | Fault::TooLong(_) => Diagnostic::error("too-large-to-count", message)
            .help("take a coarser unit of cost, or fewer boards"),
        Fault::TooManyParts | Fault::TooManyKinds(_) => {
            Diagnostic::error("too-many-to-cut", message).help(format!(
                "divide the order: up to {MOST_PARTS} parts of up to {MOST_KINDS} lengths and kinds of stock"
            ))
        }
        Fault::Unsound(_) => Diagnostic::error("layout-wrong", message)
            .help("this is a fault of the program: please report it with the file"),
        // The others were told at their places.
        _ => incomplete(message, "look at the figures of the file"),
    }
}

fn at_instance(instance: &Instance, trouble: Diagnostic) -> Diagnostic {
    if instance.way.is_empty() { trouble } else { trouble.at(Place::Named(instance.way.clone())) }
}
