//! Many variants of one design: one compiled script shared over threads, rows in a fixed order whatever the thread
//! count, and never more of them in memory than a window holds.

use crate::row::{RowFormat, RowWriter, variant};
use crate::{Request, Vary, Workshop, World};
use rayon::prelude::*;
use slatwork_base::{Diagnostic, Outcome, Place, did_you_mean};
use std::io::{Read, Write};

/// Rows in work at once for each thread: enough that threads seldom wait for the slowest row of a window, few enough
/// that memory does not show them.
const WINDOW: usize = 32;

/// Most rows of a grid: beyond, the file would fill a disk before anyone read it.
const MOST_ROWS: usize = 10_000_000;

/// What varies, and how it is written.
#[derive(Clone, Debug, Default)]
pub struct Batch {
    /// The design and what all variants share.
    pub request: Request,
    /// `name=a..b/step` or `name=a,b,c`, each; several combine to a grid, the last one changing fastest.
    pub vary: Vec<String>,
    /// A CSV file with parameters in its heading row and a variant in each other, instead of a grid.
    pub rows: Option<String>,
    /// Threads; 0 for as many as there are processors.
    pub threads: usize,
    /// CSV or JSON lines.
    pub format: RowFormat,
}

/// Told after each window: how many rows are written, and of how many if that is known.
pub type Progress<'p> = &'p dyn Fn(u64, Option<u64>);

/// What a batch came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Tally {
    /// Rows that can be built and pass.
    pub fine: u64,
    /// Rows that fail a check.
    pub failing: u64,
    /// Rows that cannot be built.
    pub not_built: u64,
}

impl Tally {
    /// All rows.
    pub fn rows(self) -> u64 {
        self.fine + self.failing + self.not_built
    }
}

/// Makes every variant and writes it as a row. A variant that cannot be built is a row with its diagnostics. No value
/// only when the design itself cannot be read, or the rows cannot be read or written.
pub fn batch(
    world: &dyn World,
    order: &Batch,
    out: &mut (dyn Write + Send),
    progress: Progress<'_>,
) -> Outcome<Tally> {
    Workshop::open(world, &order.request).then(|workshop| match Variants::of(world, order, &workshop) {
        Ok(variants) => Outcome::from(run(&workshop, order, variants, out, progress)),
        Err(trouble) => Outcome::failed(workshop.library().settle(trouble)),
    })
}

fn run(
    workshop: &Workshop,
    order: &Batch,
    mut variants: Variants<'_>,
    out: &mut (dyn Write + Send),
    progress: Progress<'_>,
) -> Result<Tally, Diagnostic> {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(order.threads)
        .stack_size(crate::STACK_BYTES)
        .build()
        .map_err(|error| Diagnostic::error("no-thread", format!("no threads could be started: {error}")))?;
    let window = WINDOW * pool.current_num_threads();
    let (total, names) = (variants.count(), variants.names().to_vec());
    let mut writer = RowWriter::start(out, order.format, workshop.declared(), &names, order.request.units)?;
    let mut tally = Tally::default();
    loop {
        let settings = variants.take(window)?;
        if settings.is_empty() {
            writer.finish()?;
            return Ok(tally);
        }
        let rows: Vec<_> =
            pool.install(|| settings.into_par_iter().map(|own| tried(workshop, own)).collect());
        for row in &rows {
            tally.count(row);
            writer.write(row)?;
        }
        progress(tally.rows(), total);
    }
}

/// Makes a variant, unless its row cannot be read.
fn tried(workshop: &Workshop, asked: Asked) -> crate::row::Variant {
    match asked.fault {
        Some(fault) => crate::row::Variant::refused(asked.settings, fault),
        None => variant(workshop, asked.settings),
    }
}

impl Tally {
    fn count(&mut self, row: &crate::row::Variant) {
        match row.status() {
            crate::row::Status::Fine => self.fine += 1,
            crate::row::Status::Fails => self.failing += 1,
            crate::row::Status::NotBuilt => self.not_built += 1,
        }
    }
}

/// Settings of one variant.
type Settings = Vec<(String, String)>;

/// One variant as it is asked for.
struct Asked {
    settings: Settings,
    /// What keeps its row from being read.
    fault: Option<Diagnostic>,
}

/// Where variants come from.
enum Variants<'w> {
    Grid {
        names: Vec<String>,
        vary: Vec<Vary>,
        next: usize,
        count: usize,
    },
    File {
        names: Vec<String>,
        path: String,
        first: Option<csv::StringRecord>,
        records: csv::StringRecordsIntoIter<Box<dyn Read + Send + 'w>>,
    },
}

impl<'w> Variants<'w> {
    fn of(world: &'w dyn World, order: &Batch, workshop: &Workshop) -> Result<Self, Diagnostic> {
        match &order.rows {
            Some(path) => file(world, path, workshop),
            None => grid(&order.vary, workshop),
        }
    }

    fn names(&self) -> &[String] {
        match self {
            Variants::Grid { names, .. } | Variants::File { names, .. } => names,
        }
    }

    /// How many there are, when that is known beforehand.
    fn count(&self) -> Option<u64> {
        match self {
            Variants::Grid { count, .. } => u64::try_from(*count).ok(),
            Variants::File { .. } => None,
        }
    }

    fn take(&mut self, most: usize) -> Result<Vec<Asked>, Diagnostic> {
        match self {
            Variants::Grid { vary, next, count, .. } => {
                let from = *next;
                *next = (from + most).min(*count);
                Ok((from..*next).map(|index| Asked { settings: at(vary, index), fault: None }).collect())
            }
            Variants::File { names, path, first, records } => first
                .take()
                .map(Ok)
                .into_iter()
                .chain(records)
                .take(most)
                .map(|record| match record {
                    Ok(record) => Ok(asked(names, path, &record)),
                    Err(error) => Err(bad_rows(path, &error)),
                })
                .collect(),
        }
    }
}

fn grid<'w>(texts: &[String], workshop: &Workshop) -> Result<Variants<'w>, Diagnostic> {
    let vary =
        texts.iter().map(|text| Vary::read(text, workshop.declared())).collect::<Result<Vec<_>, _>>()?;
    let twice = vary
        .iter()
        .enumerate()
        .find(|(index, own)| vary[..*index].iter().any(|before| before.name == own.name));
    if let Some((_, own)) = twice {
        let diagnostic = Diagnostic::error("bad-vary", format!("`{}` is varied twice", own.name));
        return Err(diagnostic.at(Place::Named("--vary".into())).help("name each parameter once"));
    }
    let count = vary.iter().try_fold(1usize, |product, own| product.checked_mul(own.values.len()));
    let count = count.filter(|count| *count <= MOST_ROWS).ok_or_else(|| {
        Diagnostic::error("too-many-rows", format!("these ranges make more than {MOST_ROWS} variants"))
            .at(Place::Named("--vary".into()))
            .help("take wider steps, or vary fewer parameters at once")
    })?;
    let names = vary.iter().map(|own| own.name.clone()).collect();
    Ok(Variants::Grid { names, vary, next: 0, count })
}

/// The settings of a grid's row: the last parameter changes fastest.
fn at(vary: &[Vary], mut index: usize) -> Settings {
    let mut settings = Settings::with_capacity(vary.len());
    for own in vary.iter().rev() {
        settings.push((own.name.clone(), own.values[index % own.values.len()].clone()));
        index /= own.values.len();
    }
    settings.reverse();
    settings
}

fn file<'w>(world: &'w dyn World, path: &str, workshop: &Workshop) -> Result<Variants<'w>, Diagnostic> {
    let mut reader =
        csv::ReaderBuilder::new().flexible(true).trim(csv::Trim::All).from_reader(world.open(path)?);
    let heads = reader.headers().map_err(|error| bad_rows(path, &error))?.clone();
    if heads.is_empty() {
        return Err(no_rows(path));
    }
    let names: Vec<String> = heads.iter().map(String::from).collect();
    let line = heads.position().map_or(1, csv::Position::line) as usize;
    for (index, name) in names.iter().enumerate() {
        let place = in_heading(path, line, &names, index);
        workshop
            .declared()
            .parameter(name)
            .map_err(|unknown| strange_heading((path, place.clone()), name, workshop, unknown))?;
        if names[..index].contains(name) {
            return Err(Diagnostic::error("bad-rows", format!("the heading of {path} names `{name}` twice"))
                .at(place)
                .help("give each parameter one column"));
        }
    }
    let mut records = reader.into_records();
    // The first row is looked at beforehand: a file without one is a slip, and nothing has been written yet.
    match records.next() {
        None => Err(no_rows(path)),
        Some(first) => {
            let first = first.map_err(|error| bad_rows(path, &error))?;
            Ok(Variants::File { names, path: path.to_string(), first: Some(first), records })
        }
    }
}

/// A column of the heading row, as it reads without the spaces about its values.
fn in_heading(path: &str, line: usize, names: &[String], index: usize) -> Place {
    let before: usize = names[..index].iter().map(|name| name.chars().count() + 1).sum();
    Place::Source {
        file: path.to_string(),
        line,
        column: 1 + before,
        width: names[index].chars().count().max(1),
        text: names.join(","),
    }
}

/// A column that no parameter goes by; the script's line is shown for what it declares there.
fn strange_heading(
    (path, place): (&str, Place),
    name: &str,
    workshop: &Workshop,
    unknown: Diagnostic,
) -> Diagnostic {
    let known = workshop.declared().parameters.keys().map(String::as_str);
    let remark = match did_you_mean(name, known) {
        Some(near) => format!("`{near}` is declared here"),
        None => String::from("the first of its parameters is declared here"),
    };
    let message =
        format!("the heading of {path} names a column `{name}`, and the design has no such parameter");
    let told = Diagnostic { message, place: Some(place), ..unknown.clone() };
    match unknown.place {
        Some(declared) => told.with_trace(declared, remark),
        None => told,
    }
}

fn no_rows(path: &str) -> Diagnostic {
    Diagnostic::error("no-rows", format!("{path} has no rows"))
        .at(Place::Path(path.to_string()))
        .help("write a heading row of parameter names and one row a variant, values separated by commas")
}

/// What a row asks for; one that is longer or shorter than the heading says so, and the others are tried all the same.
fn asked(names: &[String], path: &str, record: &csv::StringRecord) -> Asked {
    let filled = names.iter().zip(record).filter(|(_, value)| !value.is_empty());
    let settings = filled.map(|(name, value)| (name.clone(), value.to_string())).collect();
    let fault = (record.len() != names.len()).then(|| {
        let line = record.position().map(csv::Position::line);
        bad_row(
            path,
            line,
            &format!("the row has {} values where the heading has {}", record.len(), names.len()),
        )
    });
    Asked { settings, fault }
}

fn bad_rows(path: &str, error: &csv::Error) -> Diagnostic {
    let why = match error.kind() {
        csv::ErrorKind::Utf8 { .. } => String::from("it is not a text in UTF-8"),
        _ => error.to_string(),
    };
    bad_row(path, error.position().map(csv::Position::line), &why)
}

fn bad_row(path: &str, line: Option<u64>, why: &str) -> Diagnostic {
    let line = line.map_or(String::new(), |line| format!(", line {line}"));
    Diagnostic::error("bad-rows", format!("{path}{line} cannot be read: {why}"))
        .at(Place::Path(path.to_string()))
        .help("write a heading row of parameter names and one row a variant, values separated by commas")
}
