//! The parameters a family declares, and the checked values of one variant.
//!
//! **A value reaches a script only after its range, step and choices were checked here**; each refusal names the
//! value, the nearest ones that are allowed, and the line that declared them.

use crate::condition::Condition;
use indexmap::IndexMap;
use rhai::Dynamic;
use slatwork_base::{Angle, Diagnostic, Length, Origin, Outcome, Place, Tape, did_you_mean};
use std::sync::Arc;

/// How far a float may lie off its step, as a share of the step: what summing decimal steps in binary can cost.
const STEP_SLACK: f64 = 1e-6;

const MILLIMETRE: Length = Length::nm(1_000_000);

/// What kind of value a parameter takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ParameterKind {
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// A whole number.
    Count,
    /// A plain number.
    Number,
    /// Yes or no.
    YesNo,
    /// One word of a list.
    Choice,
    /// The name of a lumber section in the catalogue.
    Section,
    /// The name of a wood in the catalogue.
    Wood,
    /// Free text.
    Text,
}

impl ParameterKind {
    /// The trade word for it.
    pub fn word(self) -> &'static str {
        match self {
            ParameterKind::Length => "length",
            ParameterKind::Angle => "angle",
            ParameterKind::Count => "count",
            ParameterKind::Number => "number",
            ParameterKind::YesNo => "yes or no",
            ParameterKind::Choice => "choice",
            ParameterKind::Section => "section",
            ParameterKind::Wood => "wood",
            ParameterKind::Text => "text",
        }
    }

    /// How a value is written on the command line.
    fn form(self) -> &'static str {
        match self {
            ParameterKind::Length => "a length with its unit, as 5ft, 17-1/2in or 600mm",
            ParameterKind::Angle => "an angle in degrees, as 14deg or 14",
            ParameterKind::Count => "a whole number",
            ParameterKind::Number => "a number",
            ParameterKind::YesNo => "yes or no",
            ParameterKind::Choice | ParameterKind::Section | ParameterKind::Wood | ParameterKind::Text => {
                "a text"
            }
        }
    }
}

/// A parameter's value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// An angle.
    Angle(Angle),
    /// A whole number.
    Count(i64),
    /// A plain number.
    Number(f64),
    /// Yes or no.
    YesNo(bool),
    /// A choice, section, wood or free text.
    Text(String),
}

impl Value {
    /// Reads a value as written on the command line. The error says what would do.
    pub fn read(kind: ParameterKind, text: &str) -> Result<Value, String> {
        let trimmed = text.trim();
        let wrong = || format!("`{trimmed}` is not {}", kind.form());
        match kind {
            ParameterKind::Length => trimmed.parse().map(Value::Length).map_err(|error| format!("{error}")),
            ParameterKind::Angle => {
                let degrees = trimmed.strip_suffix("deg").or(trimmed.strip_suffix('°')).unwrap_or(trimmed);
                finite(degrees).map(|degrees| Value::Angle(Angle::deg(degrees))).ok_or_else(wrong)
            }
            ParameterKind::Count => trimmed.parse().map(Value::Count).map_err(|_| wrong()),
            ParameterKind::Number => finite(trimmed).map(Value::Number).ok_or_else(wrong),
            ParameterKind::YesNo => match trimmed.to_lowercase().as_str() {
                "yes" | "true" => Ok(Value::YesNo(true)),
                "no" | "false" => Ok(Value::YesNo(false)),
                _ => Err(wrong()),
            },
            _ => Ok(Value::Text(trimmed.to_string())),
        }
    }

    /// Takes a value from a script for a parameter of that kind; `None` when it is of another kind.
    pub fn from_script(kind: ParameterKind, value: &Dynamic) -> Option<Value> {
        match kind {
            ParameterKind::Length => value.clone().try_cast().map(Value::Length),
            ParameterKind::Angle => value.clone().try_cast().map(Value::Angle),
            ParameterKind::Count => value.as_int().ok().map(Value::Count),
            ParameterKind::Number => crate::numbers::as_number(value).map(Value::Number),
            ParameterKind::YesNo => value.as_bool().ok().map(Value::YesNo),
            _ => value.clone().into_string().ok().map(Value::Text),
        }
    }

    /// As a script sees it.
    pub fn to_script(&self) -> Dynamic {
        match self {
            Value::Length(length) => Dynamic::from(*length),
            Value::Angle(angle) => Dynamic::from(*angle),
            Value::Count(count) => Dynamic::from(*count),
            Value::Number(number) => Dynamic::from(*number),
            Value::YesNo(yes) => Dynamic::from(*yes),
            Value::Text(text) => Dynamic::from(text.clone()),
        }
    }

    /// The value on a scale on which ranges and steps are counted: nanometres, degrees, the number itself.
    pub fn scale(&self) -> Option<f64> {
        match self {
            Value::Length(length) => Some(length.as_nm() as f64),
            Value::Angle(angle) => Some(angle.as_deg()),
            Value::Count(count) => Some(*count as f64),
            Value::Number(number) => Some(*number),
            Value::YesNo(_) | Value::Text(_) => None,
        }
    }

    /// A value of the same kind at that place of the scale.
    fn at_scale(&self, place: f64) -> Value {
        #[expect(clippy::cast_possible_truncation, reason = "places lie within a range of whole numbers")]
        match self {
            Value::Length(_) => Value::Length(Length::nm(place.round() as i64)),
            Value::Angle(_) => Value::Angle(Angle::deg(place)),
            Value::Count(_) => Value::Count(place.round() as i64),
            Value::Number(_) => Value::Number(place),
            other => other.clone(),
        }
    }

    /// The kinds a value of this variant may stand for share a way of writing.
    fn fits(&self, kind: ParameterKind) -> bool {
        matches!(
            (self, kind),
            (Value::Length(_), ParameterKind::Length)
                | (Value::Angle(_), ParameterKind::Angle)
                | (Value::Count(_), ParameterKind::Count)
                | (Value::Number(_), ParameterKind::Number)
                | (Value::YesNo(_), ParameterKind::YesNo)
                | (
                    Value::Text(_),
                    ParameterKind::Choice
                        | ParameterKind::Section
                        | ParameterKind::Wood
                        | ParameterKind::Text
                )
        )
    }
}

/// Whether a length is shown in inches.
fn in_inches(length: Length) -> bool {
    length.to_string().ends_with('"')
}

fn finite(text: &str) -> Option<f64> {
    text.trim().parse::<f64>().ok().filter(|number| number.is_finite())
}

/// As a builder reads it: `5 1/2"`, `14°`, `white oak`.
impl core::fmt::Display for Value {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Value::Length(length) => length.fmt(f),
            Value::Angle(angle) => angle.fmt(f),
            Value::Count(count) => count.fmt(f),
            Value::Number(number) => number.fmt(f),
            Value::YesNo(yes) => f.write_str(if *yes { "yes" } else { "no" }),
            Value::Text(text) => f.write_str(text),
        }
    }
}

/// One declared parameter.
#[derive(Clone, Debug, PartialEq)]
pub struct Parameter {
    /// Its name in the script and on the command line.
    pub name: String,
    /// What it takes.
    pub kind: ParameterKind,
    /// Its value unless set.
    pub default: Value,
    /// Least and greatest value, both allowed.
    pub range: Option<(Value, Value)>,
    /// The raster of values, counted from the least one, or from the default where there is no range.
    pub step: Option<Value>,
    /// The allowed words; empty for any.
    pub among: Vec<String>,
    /// One line for people.
    pub doc: String,
    /// Names of parts whose size or number it governs, or the ends of such names, for remedies.
    pub governs: Vec<String>,
    /// Heading under which it is shown.
    pub group: Option<String>,
    /// The line that declares it.
    pub origin: Origin,
}

impl Parameter {
    /// A parameter that takes any value of its kind.
    pub fn new(name: &str, kind: ParameterKind, default: Value, origin: Origin) -> Self {
        Parameter {
            name: name.to_string(),
            kind,
            default,
            range: None,
            step: None,
            among: Vec::new(),
            doc: String::new(),
            governs: Vec::new(),
            group: None,
            origin,
        }
    }

    /// The value as the parameter keeps it (a word in its declared spelling), or why it is refused.
    pub fn check(&self, value: Value) -> Result<Value, Diagnostic> {
        if !value.fits(self.kind) {
            return Err(self.wrong_kind(&value.to_string()));
        }
        let value = self.declared_word(value)?;
        self.check_range(&value)?;
        self.check_step(&value)?;
        Ok(self.on_raster(value))
    }

    fn wrong_kind(&self, value: &str) -> Diagnostic {
        let message = format!("`{}` takes {}, not {value}", self.name, self.kind.form());
        self.declared_here(Diagnostic::error("wrong-parameter-kind", message)).help(self.for_instance())
    }

    /// How it is written: with its default.
    fn for_instance(&self) -> String {
        format!("write it as its default, `{}={}`", self.name, self.default)
    }

    fn declared_here(&self, diagnostic: Diagnostic) -> Diagnostic {
        diagnostic.at_origin(self.origin)
    }

    fn declared_word(&self, value: Value) -> Result<Value, Diagnostic> {
        let Value::Text(word) = &value else { return Ok(value) };
        if self.among.is_empty() {
            return Ok(value);
        }
        let spelling = |word: &str| word.to_lowercase().replace(['_', '-'], " ");
        if let Some(known) = self.among.iter().find(|known| spelling(known) == spelling(word)) {
            return Ok(Value::Text(known.clone()));
        }
        let near = did_you_mean(word, self.among.iter().map(String::as_str));
        let mut diagnostic =
            Diagnostic::error("not-a-choice", format!("`{}` cannot be \"{word}\"", self.name));
        if let Some(near) = near {
            diagnostic = diagnostic.help(format!("did you mean \"{near}\"?"));
        }
        Err(self.declared_here(diagnostic.help(format!("choose among: {}", self.among.join(", ")))))
    }

    /// A value in the measure of the default: what is on no tape in inches is told in decimal ones.
    fn told(&self, value: &Value) -> String {
        match (value, &self.default) {
            (Value::Length(length), Value::Length(default)) if in_inches(*default) && !in_inches(*length) => {
                let inches = format!("{:.4}", length.as_inch());
                format!("{}\" ({length})", inches.trim_end_matches('0').trim_end_matches('.'))
            }
            _ => value.to_string(),
        }
    }

    /// An allowed value for who asked for another: millimetres stand beside inches where those were asked in.
    fn as_asked(&self, allowed: &Value, asked: &Value) -> String {
        match (allowed, asked) {
            (Value::Length(allowed), Value::Length(asked)) if in_inches(*allowed) && !in_inches(*asked) => {
                format!("{allowed} ({})", Tape::Exact.text(*allowed))
            }
            _ => allowed.to_string(),
        }
    }

    fn check_range(&self, value: &Value) -> Result<(), Diagnostic> {
        let Some((least, most)) = &self.range else { return Ok(()) };
        let Some(((place, low), high)) = value.scale().zip(least.scale()).zip(most.scale()) else {
            return Ok(());
        };
        if (low..=high).contains(&place) {
            return Ok(());
        }
        let nearest = if place < low { least } else { most };
        let as_asked = |allowed: &Value| self.as_asked(allowed, value);
        let (told, from, to) = (self.told(value), as_asked(least), as_asked(most));
        let message = format!("`{}` is {told}, outside {from} to {to}", self.name);
        let help = format!("the nearest allowed value is {}", as_asked(nearest));
        Err(self.declared_here(Diagnostic::error("out-of-range", message).help(help)))
    }

    fn check_step(&self, value: &Value) -> Result<(), Diagnostic> {
        let Some((below, above)) = self.off_step(value) else { return Ok(()) };
        let as_asked = |allowed: &Value| self.as_asked(allowed, value);
        let step = self.step.as_ref().map_or(String::new(), as_asked);
        let message = format!("`{}` is {}, off its step of {step}", self.name, self.told(value));
        let (below, above) = (as_asked(&below), as_asked(&above));
        let millimetres = if self.takes_millimetres() { "; whole millimetres are allowed, too" } else { "" };
        let help = format!("the nearest allowed values are {below} and {above}{millimetres}");
        Err(self.declared_here(Diagnostic::error("off-step", message).help(help)))
    }

    /// Whether it takes whole millimetres beside the steps in inches it is declared with: on a metric tape they are marks as good.
    /// A step of more than half an inch is no matter of tapes.
    pub fn takes_millimetres(&self) -> bool {
        let tape = MILLIMETRE..=Length::sixty_fourths(32);
        matches!(self.step, Some(Value::Length(step)) if in_inches(step) && tape.contains(&step))
    }

    fn is_metric_mark(&self, value: &Value) -> bool {
        let Value::Length(length) = value else { return false };
        self.takes_millimetres() && length.as_nm() % MILLIMETRE.as_nm() == 0
    }

    /// A length that lies on its raster but for the slack, exactly on it.
    fn on_raster(&self, value: Value) -> Value {
        if self.is_metric_mark(&value) {
            return value;
        }
        let start = self.range.as_ref().map_or(&self.default, |(least, _)| least);
        match (&value, start, &self.step) {
            (Value::Length(length), Value::Length(start), Some(Value::Length(step))) => {
                let steps = ((*length - *start).as_nm() as f64 / step.as_nm() as f64).round();
                step.checked_scale(steps).map_or(value.clone(), |part| Value::Length(*start + part))
            }
            _ => value,
        }
    }

    /// The neighbours on the raster, unless the value lies on it.
    fn off_step(&self, value: &Value) -> Option<(Value, Value)> {
        if self.is_metric_mark(value) {
            return None;
        }
        let start = self.range.as_ref().map_or(&self.default, |(least, _)| least);
        let (place, start, step) = (value.scale()?, start.scale()?, self.step.as_ref()?.scale()?);
        let steps = (place - start) / step;
        if (steps - steps.round()).abs() <= STEP_SLACK {
            return None;
        }
        let at = |steps: f64| value.at_scale(start + steps * step);
        Some((at(steps.floor()), at(steps.ceil())))
    }

    /// Refuses a declaration that contradicts itself.
    pub(crate) fn check_declaration(&self) -> Result<(), Diagnostic> {
        if let Some((least, most)) = &self.range {
            if least.scale() > most.scale() {
                let message = format!("`{}` lies between {least} and {most}: nothing does", self.name);
                return Err(self.declared_here(Diagnostic::error("empty-range", message)));
            }
            self.check_step(most).map_err(|diagnostic| Diagnostic {
                message: format!("the range of `{}` ends at {most}, which its own step misses", self.name),
                ..diagnostic
            })?;
        }
        let allowed = self.check(self.default.clone());
        allowed.map(drop).map_err(|diagnostic| Diagnostic {
            message: format!("the default is not allowed: {}", diagnostic.message),
            ..diagnostic
        })
    }

    /// Every allowed value when they can be listed: choices, yes and no, or the raster of a range; at most `most`.
    pub fn values(&self, most: usize) -> Vec<Value> {
        match (&self.range, &self.step, self.kind) {
            (_, _, ParameterKind::YesNo) => vec![Value::YesNo(false), Value::YesNo(true)],
            (Some((least, end)), Some(step), _) => raster(least, end, step, most),
            (Some((Value::Count(least), Value::Count(end))), None, _) => {
                (*least..=*end).take(most).map(Value::Count).collect()
            }
            _ => self.among.iter().take(most).cloned().map(Value::Text).collect(),
        }
    }
}

fn raster(least: &Value, end: &Value, step: &Value, most: usize) -> Vec<Value> {
    let Some(((low, high), step)) = least.scale().zip(end.scale()).zip(step.scale()) else {
        return Vec::new();
    };
    let last = (high - low) / step + STEP_SLACK;
    (0..most).map(|n| n as f64).take_while(|n| *n <= last).map(|n| least.at_scale(low + n * step)).collect()
}

/// A named set of values.
#[derive(Clone, Debug, PartialEq)]
pub struct Preset {
    /// The values it sets.
    pub values: IndexMap<String, Value>,
    /// The line that declares it.
    pub origin: Origin,
}

/// A combination of values that can be built, or not.
#[derive(Clone, Debug)]
pub struct Requirement {
    /// What must hold.
    pub condition: Condition,
    /// Why, in words a builder accepts.
    pub why: String,
    /// The line that declares it.
    pub origin: Origin,
}

/// What `describe` said.
#[derive(Clone, Debug, Default)]
pub struct Declared {
    /// The item's title.
    pub title: String,
    /// The header of the file.
    pub doc: String,
    /// The parameters in the order of declaration.
    pub parameters: IndexMap<String, Parameter>,
    /// The presets in the order of declaration.
    pub presets: IndexMap<String, Preset>,
    /// Which combinations can be built.
    pub requirements: Vec<Requirement>,
}

impl Declared {
    /// The values of a variant from texts as the command line gives them, `(name, value)` in any order; a later
    /// one wins. A preset comes first. All refusals are told, not only the first.
    pub fn read(self: &Arc<Self>, preset: Option<&str>, sets: &[(String, String)]) -> Outcome<Parameters> {
        let mut troubles = Vec::new();
        let mut values = Vec::new();
        for (name, text) in sets {
            match self.read_one(name, text) {
                Ok(value) => values.push((name.clone(), value)),
                Err(trouble) => troubles.push(trouble),
            }
        }
        let mut outcome = self.choose(preset, &values);
        troubles.append(&mut outcome.diagnostics);
        let value = outcome.value.filter(|_| !troubles.iter().any(Diagnostic::is_error));
        Outcome { value, diagnostics: troubles }
    }

    /// One value as the command line gives it, checked.
    pub fn read_one(&self, name: &str, text: &str) -> Result<Value, Diagnostic> {
        let parameter = self.parameter(name)?;
        let unreadable = |reason| {
            let fault =
                Diagnostic::error("wrong-parameter-kind", format!("`{name}` cannot be read: {reason}"));
            parameter.declared_here(fault).help(parameter.for_instance())
        };
        parameter.check(Value::read(parameter.kind, text).map_err(unreadable)?)
    }

    /// The parameter of that name, with "did you mean".
    pub fn parameter(&self, name: &str) -> Result<&Parameter, Diagnostic> {
        self.parameters.get(name).ok_or_else(|| {
            let diagnostic =
                Diagnostic::error("unknown-parameter", format!("there is no parameter `{name}`"));
            // At the one that was meant, else where the parameters are declared.
            let meant = did_you_mean(name, self.parameters.keys().map(String::as_str));
            let shown =
                meant.and_then(|near| self.parameters.get(near)).or_else(|| self.parameters.values().next());
            let placed = match shown {
                Some(parameter) => diagnostic.at_origin(parameter.origin),
                None => diagnostic.at(Place::Named(self.title.clone())),
            };
            placed.help(self.near(name))
        })
    }

    /// The parameter nearest to a name that is none, or all of them, as a line of help.
    pub(crate) fn near(&self, name: &str) -> String {
        let names: Vec<&str> = self.parameters.keys().map(String::as_str).collect();
        match did_you_mean(name, names.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None if names.is_empty() => String::from("this design declares no parameters"),
            None => format!("the parameters are: {}", names.join(", ")),
        }
    }

    /// The values of a variant from values. A preset comes first.
    pub fn choose(self: &Arc<Self>, preset: Option<&str>, sets: &[(String, Value)]) -> Outcome<Parameters> {
        let mut troubles = Vec::new();
        let preset = preset.map(|name| self.preset(name)).transpose().unwrap_or_else(|trouble| {
            troubles.push(trouble);
            None
        });
        let mut parameters = self.defaults();
        let from_preset = preset.iter().flat_map(|preset| preset.values.iter());
        for (name, value) in from_preset.chain(sets.iter().map(|(name, value)| (name, value))) {
            if let Err(trouble) = parameters.set(name, value.clone()) {
                troubles.push(trouble);
            }
        }
        if troubles.is_empty() {
            troubles.extend(parameters.refusals());
        }
        let value = troubles.is_empty().then_some(parameters);
        Outcome { value, diagnostics: troubles }
    }

    fn preset(&self, name: &str) -> Result<&Preset, Diagnostic> {
        self.presets.get(name).ok_or_else(|| {
            let names: Vec<&str> = self.presets.keys().map(String::as_str).collect();
            let near = did_you_mean(name, names.iter().copied());
            let shown = near.map_or_else(|| self.presets.values().next(), |near| self.presets.get(near));
            let place =
                shown.map_or_else(|| Place::Named(self.title.clone()), |preset| Place::Script(preset.origin));
            let diagnostic = Diagnostic::error("unknown-preset", format!("there is no preset \"{name}\""));
            diagnostic.at(place).help(match near {
                Some(near) => format!("did you mean \"{near}\"? It is declared here"),
                None if names.is_empty() => String::from("this design has no presets"),
                None => format!("the presets are: {}", names.join(", ")),
            })
        })
    }

    /// Every parameter at its default.
    pub fn defaults(self: &Arc<Self>) -> Parameters {
        let values = self.parameters.values().map(|parameter| parameter.default.clone()).collect();
        Parameters { set: vec![false; self.parameters.len()], values, declared: Arc::clone(self) }
    }
}

/// The checked values of one variant; what a script gets as `p`.
#[derive(Clone, Debug)]
pub struct Parameters {
    declared: Arc<Declared>,
    values: Vec<Value>,
    set: Vec<bool>,
}

impl Parameters {
    /// What was declared.
    pub fn declared(&self) -> &Arc<Declared> {
        &self.declared
    }

    /// A value by name.
    pub fn get(&self, name: &str) -> Option<&Value> {
        self.values.get(self.declared.parameters.get_index_of(name)?)
    }

    /// Whether a value was set, rather than left at its default.
    pub fn is_set(&self, name: &str) -> Option<bool> {
        self.set.get(self.declared.parameters.get_index_of(name)?).copied()
    }

    /// Sets one value after checking it on its own; [`Parameters::refusals`] checks the combination.
    pub fn set(&mut self, name: &str, value: Value) -> Result<(), Diagnostic> {
        let checked = self.declared.parameter(name)?.check(value)?;
        if let Some(index) = self.declared.parameters.get_index_of(name) {
            self.values[index] = checked;
            self.set[index] = true;
        }
        Ok(())
    }

    /// Names and values in the order of declaration.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.declared.parameters.keys().map(String::as_str).zip(&self.values)
    }

    /// Why this combination of values cannot be built; empty when it can.
    pub fn refusals(&self) -> Vec<Diagnostic> {
        self.declared.requirements.iter().filter_map(|requirement| self.refusal(requirement)).collect()
    }

    fn refusal(&self, requirement: &Requirement) -> Option<Diagnostic> {
        let variables = self.iter().map(|(name, value)| (name, value.to_script()));
        match requirement.condition.holds(variables) {
            Ok(true) => None,
            Ok(false) => Some(self.refused(requirement)),
            Err(trouble) => Some(trouble.with_origin(requirement.origin, "required here")),
        }
    }

    fn refused(&self, requirement: &Requirement) -> Diagnostic {
        let used = self.iter().filter(|(name, _)| requirement.condition.mentions(name));
        let values: Vec<String> = used.map(|(name, value)| format!("{name} = {value}")).collect();
        Diagnostic::error("refused-combination", requirement.why.clone())
            .at_origin(requirement.origin)
            .help(format!("the design requires {}; here {}", requirement.condition.text(), values.join(", ")))
    }
}
