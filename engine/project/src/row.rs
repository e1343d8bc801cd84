//! One variant as a row: its values, its figures, and whatever is wrong with it.

use crate::documents::value_json;
use crate::figures::Figures;
use crate::judged::rating_json;
use crate::{Units, Workshop, diagnostics_json, fails};
use serde_json::{Map, Value as Json, json};
use slatwork_base::{Diagnostic, Severity};
use slatwork_checks::{NotRated, Rating};
use slatwork_output::json::number;
use slatwork_script::{Declared, ParameterKind, Value};
use std::io::Write;

/// How rows are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum RowFormat {
    /// Comma-separated values under a heading row.
    #[default]
    Csv,
    /// A JSON object a line.
    JsonLines,
}

/// Whether a variant can be built, and passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Status {
    Fine,
    Fails,
    NotBuilt,
}

impl Status {
    fn word(self) -> &'static str {
        match self {
            Status::Fine => "fine",
            Status::Fails => "fails",
            Status::NotBuilt => "not built",
        }
    }
}

/// A variant that was tried.
pub(crate) struct Variant {
    settings: Vec<(String, String)>,
    /// Values by name: of all parameters when it was made, else of the settings that could be read.
    values: Vec<(String, Value)>,
    figures: Option<Figures>,
    /// What it is rated for, or why it is not; `None` where it cannot be built.
    rating: Option<Result<Rating, NotRated>>,
    diagnostics: Vec<Diagnostic>,
}

/// Makes one variant, puts it under every check, and keeps what its row says.
pub(crate) fn variant(workshop: &Workshop, settings: Vec<(String, String)>) -> Variant {
    let mut made = workshop.make(&settings);
    let values = match &made.value {
        Some(made) => made.values.iter().map(|(name, value)| (name.to_string(), value.clone())).collect(),
        None => settings.iter().filter_map(|(name, text)| readable(workshop, name, text)).collect(),
    };
    let judged = made.value.as_ref().map(|made| workshop.judge(made));
    let (failed, rating) = judged.map_or((Vec::new(), None), |(failed, rating)| (failed, Some(rating)));
    made.diagnostics.extend(failed);
    let figures = made.value.map(|made| Figures::of(&made.model, &made.plan));
    Variant { settings, values, figures, rating, diagnostics: made.diagnostics }
}

/// The value that a setting stands for, whether or not it is allowed.
fn readable(workshop: &Workshop, name: &str, text: &str) -> Option<(String, Value)> {
    let kind = workshop.declared().parameters.get(name)?.kind;
    Some((name.to_string(), Value::read(kind, text).ok()?))
}

impl Variant {
    /// One whose row cannot be read.
    pub(crate) fn refused(settings: Vec<(String, String)>, fault: Diagnostic) -> Self {
        Variant { settings, values: Vec::new(), figures: None, rating: None, diagnostics: vec![fault] }
    }

    pub(crate) fn status(&self) -> Status {
        match (&self.figures, fails(&self.diagnostics)) {
            (None, _) => Status::NotBuilt,
            (Some(_), true) => Status::Fails,
            (Some(_), false) => Status::Fine,
        }
    }

    /// The first thing that is wrong, worst first: its code, and the whole in one line.
    fn trouble(&self) -> Option<&Diagnostic> {
        let wrong = self.diagnostics.iter().filter(|diagnostic| diagnostic.severity >= Severity::Failure);
        // The first of the worst: `max_by_key` alone would take the last.
        wrong.rev().max_by_key(|diagnostic| diagnostic.severity)
    }

    /// Why it is not rated in a few words, where it can be built: "swing-tilts fails".
    fn not_rated(&self) -> String {
        match &self.rating {
            Some(Err(not)) => not.fails.map_or_else(|| not.why.clone(), |check| format!("{check} fails")),
            Some(Ok(_)) | None => String::new(),
        }
    }

    fn value(&self, name: &str) -> Option<&Value> {
        self.values.iter().find(|(own, _)| own == name).map(|(_, value)| value)
    }

    fn text(&self, name: &str) -> &str {
        self.settings.iter().find(|(own, _)| own == name).map_or("", |(_, text)| text)
    }
}

/// Writes rows as they come.
pub(crate) struct RowWriter<'w> {
    out: Out<'w>,
    columns: Vec<(String, ParameterKind)>,
    units: Units,
    next: u64,
}

enum Out<'w> {
    Csv(Box<csv::Writer<&'w mut (dyn Write + Send)>>),
    Json(&'w mut (dyn Write + Send)),
}

impl<'w> RowWriter<'w> {
    /// Begins with the heading, where the format has one. `names` are the parameters that vary.
    pub(crate) fn start(
        out: &'w mut (dyn Write + Send),
        format: RowFormat,
        declared: &Declared,
        names: &[String],
        units: Units,
    ) -> Result<Self, Diagnostic> {
        let kind = |name: &String| declared.parameters.get(name).map(|own| (name.clone(), own.kind));
        let columns: Vec<_> = names.iter().filter_map(kind).collect();
        let out = match format {
            RowFormat::Csv => Out::Csv(Box::new(csv::Writer::from_writer(out))),
            RowFormat::JsonLines => Out::Json(out),
        };
        let mut writer = RowWriter { out, columns, units, next: 1 };
        let heading = writer.heading();
        if let Out::Csv(csv) = &mut writer.out {
            csv.write_record(heading).map_err(|error| csv_fault(&error))?;
        }
        Ok(writer)
    }

    fn heading(&self) -> Vec<String> {
        let mut heading = vec![String::from("row")];
        for (name, kind) in &self.columns {
            match kind {
                ParameterKind::Length => heading.extend([format!("{name}_mm"), name.clone()]),
                ParameterKind::Angle => heading.push(format!("{name}_deg")),
                _ => heading.push(name.clone()),
            }
        }
        heading.push(String::from("status"));
        heading.extend(Figures::keys().map(String::from));
        heading.extend(["rating_kg_per_place", "not_rated", "code", "trouble"].map(String::from));
        heading
    }

    /// Writes one row.
    pub(crate) fn write(&mut self, row: &Variant) -> Result<(), Diagnostic> {
        let number = self.next;
        self.next += 1;
        let fields = matches!(self.out, Out::Csv(_)).then(|| self.fields(number, row));
        match (&mut self.out, fields) {
            (Out::Csv(csv), Some(fields)) => csv.write_record(fields).map_err(|error| csv_fault(&error)),
            (Out::Json(out), _) => writeln!(out, "{}", json_row(number, row, &self.columns, self.units))
                .map_err(|error| fault(&error)),
            (Out::Csv(_), None) => Ok(()),
        }
    }

    fn fields(&self, number: u64, row: &Variant) -> Vec<String> {
        let mut fields = vec![number.to_string()];
        for (name, kind) in &self.columns {
            fields.extend(parameter_fields(row, name, *kind, self.units));
        }
        fields.push(row.status().word().to_string());
        match &row.figures {
            Some(figures) => fields.extend(figures.fields().into_iter().map(|(_, value)| value)),
            None => fields.extend(Figures::keys().map(|_| String::new())),
        }
        let rated = row.rating.as_ref().and_then(|rating| rating.as_ref().ok());
        fields.push(rated.map_or(String::new(), |rating| rating.per_place.to_string()));
        fields.push(row.not_rated());
        let trouble = row.trouble();
        fields.push(trouble.map_or(String::new(), |trouble| trouble.code.to_string()));
        fields.push(trouble.map_or(String::new(), ToString::to_string));
        fields
    }

    /// Hands the last rows on.
    pub(crate) fn finish(self) -> Result<(), Diagnostic> {
        match self.out {
            Out::Csv(mut csv) => csv.flush().map_err(|error| fault(&error)),
            Out::Json(out) => out.flush().map_err(|error| fault(&error)),
        }
    }
}

/// A length in two columns, exact and as the tape reads; a value that could not be read, as it was written.
fn parameter_fields(row: &Variant, name: &str, kind: ParameterKind, units: Units) -> Vec<String> {
    match (row.value(name), kind) {
        (Some(Value::Length(length)), _) => {
            vec![number(length.as_mm()).to_string(), units.true_text(*length)]
        }
        (None, ParameterKind::Length) => vec![String::new(), row.text(name).to_string()],
        (Some(Value::Angle(angle)), _) => vec![number(angle.as_deg()).to_string()],
        (Some(value), _) => vec![value.to_string()],
        (None, _) => vec![row.text(name).to_string()],
    }
}

fn json_row(number: u64, row: &Variant, columns: &[(String, ParameterKind)], units: Units) -> Json {
    let value = |name: &str| row.value(name).map_or(json!(row.text(name)), |value| value_json(value, units));
    let values: Map<String, Json> = columns.iter().map(|(name, _)| (name.clone(), value(name))).collect();
    json!({
        "schema": "slatwork/variant/1",
        "row": number,
        "values": values,
        "status": row.status().word(),
        "rating": row.rating.as_ref().map(rating_json),
        "figures": row.figures.as_ref().map(Figures::json),
        "findings": diagnostics_json(&row.diagnostics),
    })
}

fn csv_fault(error: &csv::Error) -> Diagnostic {
    Diagnostic::error("rows-not-written", format!("the rows cannot be written: {error}"))
        .help("is the disk full?")
}

fn fault(error: &std::io::Error) -> Diagnostic {
    Diagnostic::error("rows-not-written", format!("the rows cannot be written: {error}"))
        .help("is the disk full?")
}
