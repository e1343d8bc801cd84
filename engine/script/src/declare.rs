//! The words of `describe(f)` and the values `p` that come of it.

use crate::condition::Condition;
use crate::host::{HostResult, origin, raise, type_word, with_article};
use crate::modules::Subject;
use crate::parameters::{Declared, Parameter, ParameterKind, Parameters, Preset, Requirement, Value};
use crate::parts::Parts;
use indexmap::IndexMap;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map, NativeCallContext};
use slatwork_base::{Diagnostic, Origin};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Most parameters, presets and requirements of one item: more than a person can look through.
const MAX_DECLARED: usize = 100;

/// What `describe` fills; the script holds it as `f`.
#[derive(Clone, Debug, Default)]
pub(crate) struct Declaration(Arc<Mutex<Draft>>);

#[derive(Debug, Default)]
struct Draft {
    title: String,
    parameters: IndexMap<String, Parameter>,
    presets: IndexMap<String, (Map, Origin)>,
    requirements: Vec<(String, String, Origin)>,
}

/// One parameter being declared; the script chains `.between(..)`, `.doc(..)` and the like on it.
#[derive(Clone, Debug)]
pub(crate) struct Declaring {
    declaration: Declaration,
    name: String,
}

impl Declaration {
    fn draft(&self) -> MutexGuard<'_, Draft> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Adds a parameter; refuses a name twice, or one that no script could read.
    fn add(&self, ctx: &NativeCallContext, parameter: Parameter) -> HostResult<Declaring> {
        let mut draft = self.draft();
        let name = parameter.name.clone();
        if !is_name(&name) {
            let message = format!("\"{name}\" cannot name a parameter");
            let help = "write a lower-case word of letters, digits and `_`, as \"seat_height\"";
            return Err(raise(ctx, Diagnostic::error("bad-parameter-name", message).help(help)));
        }
        if draft.parameters.len() == MAX_DECLARED {
            let message = format!("there are more than {MAX_DECLARED} parameters");
            return Err(raise(ctx, Diagnostic::error("too-many-parameters", message)));
        }
        if let Some(earlier) = draft.parameters.get(&name) {
            let diagnostic = Diagnostic::error("declared-twice", format!("`{name}` is declared twice"));
            return Err(raise(ctx, diagnostic.with_origin(earlier.origin, "first declared here")));
        }
        draft.parameters.insert(name.clone(), parameter);
        drop(draft);
        Ok(Declaring { declaration: self.clone(), name })
    }

    /// Checks the whole and compiles its conditions; all faults are told.
    pub(crate) fn finish(self, doc: String, parts: &Parts) -> Result<Declared, Vec<Diagnostic>> {
        let draft = std::mem::take(&mut *self.draft());
        let mut troubles: Vec<Diagnostic> =
            draft.parameters.values().filter_map(|p| p.check_declaration().err()).collect();
        if draft.title.is_empty() {
            let help = "say f.title = \"..\" in describe(f)";
            troubles.push(Diagnostic::error("missing-title", "describe gives no title").help(help));
        }
        let mut declared =
            Declared { title: draft.title, doc, parameters: draft.parameters, ..Declared::default() };
        for (name, (map, origin)) in draft.presets {
            match preset(&declared, &name, map, origin) {
                Ok(preset) => drop(declared.presets.insert(name, preset)),
                Err(trouble) => troubles.push(trouble.at_origin(origin)),
            }
        }
        for (text, why, origin) in draft.requirements {
            match requirement(&declared, text, why, origin, parts) {
                Ok(requirement) => declared.requirements.push(requirement),
                Err(trouble) => troubles.push(trouble),
            }
        }
        if troubles.is_empty() { Ok(declared) } else { Err(troubles) }
    }
}

fn is_name(name: &str) -> bool {
    name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

fn preset(declared: &Declared, name: &str, map: Map, origin: Origin) -> Result<Preset, Diagnostic> {
    let mut values = IndexMap::new();
    for (key, value) in map {
        let parameter = declared.parameter(&key).map_err(|mut trouble| {
            trouble.place = None;
            trouble.message = format!("preset \"{name}\" sets `{key}`, which is no parameter");
            trouble
        })?;
        let value = Value::from_script(parameter.kind, &value).ok_or_else(|| {
            let message =
                format!("preset \"{name}\" sets `{key}` to {value}, which is not {}", a_kind(parameter.kind));
            Diagnostic::error("wrong-parameter-kind", message)
        })?;
        let checked = parameter.check(value).map_err(|trouble| Diagnostic {
            message: format!("preset \"{name}\": {}", trouble.message),
            ..trouble
        })?;
        values.insert(key.to_string(), checked);
    }
    Ok(Preset { values, origin })
}

fn a_kind(kind: ParameterKind) -> String {
    with_article(kind.word())
}

fn requirement(
    declared: &Declared,
    text: String,
    why: String,
    origin: Origin,
    parts: &Parts,
) -> Result<Requirement, Diagnostic> {
    let names = declared.parameters.keys().map(String::as_str);
    let condition = Condition::compile_at(&text, names, parts, inside_quotes(&text, origin, parts))?;
    // A condition that cannot even be judged at the defaults is a slip in the script, not in the values.
    let defaults = declared.parameters.values().map(|p| (p.name.as_str(), p.default.to_script()));
    let holds = condition.holds(defaults)?;
    let requirement = Requirement { condition, why, origin };
    if holds {
        return Ok(requirement);
    }
    let message = format!("the defaults themselves are refused: {}", requirement.why);
    Err(Diagnostic::error("refused-combination", message).at_origin(origin))
}

/// Where the text of a condition stands, when it stands on the line of its `require`; else that line.
fn inside_quotes(text: &str, origin: Origin, parts: &Parts) -> Origin {
    let found = parts.lines.locate(origin).and_then(|at| {
        let line = at.file.line(at.line);
        let byte = line.find(&format!("\"{text}\""))? + 1;
        u16::try_from(line[..byte].chars().count() + 1).ok()
    });
    found.map_or(origin, |column| Origin { column, ..origin })
}

/// The words about describing an item and about its values.
pub(crate) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Describing a design",
        "`describe(f)` gives the title and declares the parameters, in the order in which people see them. Ranges, \
         steps and choices are checked before `build(job, p)` runs, which reads a value as `p.width`. A joint of your \
         own, in joints/NAME.rhai, is described by `describe(j)` in the same words; `cut(job, a, b, o)` makes it \
         between the boards `a` and `b` and reads its options as `o.width`. A catalogue, in catalogues/NAME.rhai, has \
         its title from `describe(c)` and its entries from `items(c)`.",
    );
    subject.type_word::<Declaration>("description");
    subject.type_word::<Declaring>("parameter");
    subject.type_word::<Parameters>("parameters");
    titles(&mut subject);
    kinds(&mut subject);
    choices(&mut subject);
    refinements(&mut subject);
    combinations(&mut subject);
    values(&mut subject);
    subject
}

fn titles(subject: &mut Subject) {
    subject.setter(
        "title(f: description, text: text)",
        "The name of the design as people see it. Needed. Example: `f.title = \"Porch swing\";`",
        |f: &mut Declaration, title: ImmutableString| f.draft().title = title.to_string(),
    );
    subject.property_form("title", |f: &mut Declaration| f.draft().title.clone());
}

fn kinds(subject: &mut Subject) {
    let kinds = [
        (
            "length(f: description, name: text, usual: length) -> parameter",
            "Declares a length with its usual value. Refuses a value that is not a length. \
             Example: `f.length(\"width\", 5.feet).between(4.feet, 7.feet);`",
            ParameterKind::Length,
        ),
        (
            "angle(f: description, name: text, usual: angle) -> parameter",
            "Declares an angle with its usual value. Refuses a value that is not an angle. \
             Example: `f.angle(\"lean\", 18.deg).between(10.deg, 25.deg);`",
            ParameterKind::Angle,
        ),
        (
            "count(f: description, name: text, usual: whole number) -> parameter",
            "Declares a whole number with its usual value. Refuses a number with a point. \
             Example: `f.count(\"places\", 2).between(1, 4);`",
            ParameterKind::Count,
        ),
        (
            "number(f: description, name: text, usual: number) -> parameter",
            "Declares a plain number, without a unit, with its usual value. Refuses a measure. \
             Example: `f.number(\"share\", 0.5).between(0.2, 0.8);`",
            ParameterKind::Number,
        ),
        (
            "yes_no(f: description, name: text, usual: yes/no) -> parameter",
            "Declares a yes or no, written true or false in scripts. Refuses anything else. \
             Example: `f.yes_no(\"arms\", true).doc(\"Arm rests\");`",
            ParameterKind::YesNo,
        ),
        (
            "section(f: description, name: text, usual: text) -> parameter",
            "Declares a lumber section of the catalogue by its trade name. Refuses what is not a text. \
             Example: `f.section(\"slats\", \"1x4\").among([\"1x3\", \"1x4\", \"5/4x6\"]);`",
            ParameterKind::Section,
        ),
        (
            "wood(f: description, name: text, usual: text) -> parameter",
            "Declares a wood of the catalogue. Refuses what is not a text. Example: `f.wood(\"wood\", \"white oak\");`",
            ParameterKind::Wood,
        ),
        (
            "text(f: description, name: text, usual: text) -> parameter",
            "Declares a free text. Refuses what is not a text. Example: `f.text(\"motto\", \"Lake shore\");`",
            ParameterKind::Text,
        ),
    ];
    for (signature, doc, kind) in kinds {
        subject.function(
            signature,
            doc,
            move |ctx: NativeCallContext, f: &mut Declaration, name: ImmutableString, usual: Dynamic| {
                let value = read(&ctx, kind, &name, &usual)?;
                f.add(&ctx, Parameter::new(&name, kind, value, origin(&ctx)))
            },
        );
    }
}

/// A script value for a parameter, or a refusal that names both.
fn read(ctx: &NativeCallContext, kind: ParameterKind, name: &str, value: &Dynamic) -> HostResult<Value> {
    Value::from_script(kind, value).ok_or_else(|| {
        let given = with_article(&type_word(ctx, value));
        let message = format!("`{name}` takes {}, not {given} ({value})", a_kind(kind));
        let help = match kind {
            ParameterKind::Length => "write a length as 17.inch, 600.mm or inch(\"3 1/2\")",
            ParameterKind::Angle => "write an angle as 14.deg",
            ParameterKind::Count => "write a whole number, as 5",
            ParameterKind::Number => "write a plain number, as 0.5",
            ParameterKind::YesNo => "write true or false",
            _ => "write a text in quotes",
        };
        raise(ctx, Diagnostic::error("wrong-parameter-kind", message).help(help))
    })
}

fn choices(subject: &mut Subject) {
    subject.function(
        "choice(f: description, name: text, words: list) -> parameter",
        "Declares a choice among words, the first one being usual. Refuses an empty list. \
         Example: `f.choice(\"crest\", [\"circle\", \"straight\"]);`",
        |ctx: NativeCallContext, f: &mut Declaration, name: ImmutableString, words: Array| {
            let among = texts(&ctx, words)?;
            let first = among.first().cloned().ok_or_else(|| {
                raise(&ctx, Diagnostic::error("empty-list", format!("`{name}` has no words to choose from")))
            })?;
            let mut parameter =
                Parameter::new(&name, ParameterKind::Choice, Value::Text(first), origin(&ctx));
            parameter.among = among;
            f.add(&ctx, parameter)
        },
    );
}

fn texts(ctx: &NativeCallContext, words: Array) -> HostResult<Vec<String>> {
    let as_text = |word: Dynamic| {
        let given = with_article(&type_word(ctx, &word));
        word.into_string().map_err(|_| {
            let message = format!("every word of this list must be a text, not {given}");
            raise(ctx, Diagnostic::error("wrong-arguments", message))
        })
    };
    words.into_iter().map(as_text).collect()
}

impl Declaring {
    fn change(&self, change: impl FnOnce(&mut Parameter)) -> Declaring {
        if let Some(parameter) = self.declaration.draft().parameters.get_mut(&self.name) {
            change(parameter);
        }
        self.clone()
    }

    fn kind(&self) -> ParameterKind {
        let draft = self.declaration.draft();
        draft.parameters.get(&self.name).map_or(ParameterKind::Text, |parameter| parameter.kind)
    }

    fn refuse(&self, ctx: &NativeCallContext, refinement: &str) -> Box<EvalAltResult> {
        let kind = a_kind(self.kind());
        let message = format!("`{}` takes {kind}, which has no {refinement}", self.name);
        raise(ctx, Diagnostic::error("wrong-refinement", message))
    }
}

fn has_scale(kind: ParameterKind) -> bool {
    use ParameterKind::{Angle, Count, Length, Number};
    matches!(kind, Length | Angle | Count | Number)
}

fn refinements(subject: &mut Subject) {
    subject.function(
        "between(parameter: parameter, least: value, most: value) -> parameter",
        "The least and the greatest value, both allowed; of the parameter's own kind. Refuses choices and texts. \
         Example: `f.length(\"depth\", 19.inch).between(17.inch, 22.inch);`",
        |ctx: NativeCallContext, p: &mut Declaring, least: Dynamic, most: Dynamic| -> HostResult<Declaring> {
            if !has_scale(p.kind()) {
                return Err(p.refuse(&ctx, "range"));
            }
            let range = (read(&ctx, p.kind(), &p.name, &least)?, read(&ctx, p.kind(), &p.name, &most)?);
            Ok(p.change(|parameter| parameter.range = Some(range)))
        },
    );
    subject.function(
        "step(parameter: parameter, step: value) -> parameter",
        "Only every such step from the least value on is allowed; where it is a mark of an inch tape, up to 1/2 in, whole \
         millimetres are, too. Refuses a step of nothing, choices and texts. \
         Example: `f.length(\"width\", 5.feet).between(4.feet, 7.feet).step(1.inch);`",
        |ctx: NativeCallContext, p: &mut Declaring, step: Dynamic| -> HostResult<Declaring> {
            if !has_scale(p.kind()) {
                return Err(p.refuse(&ctx, "step"));
            }
            let step = read(&ctx, p.kind(), &p.name, &step)?;
            if !is_positive(&step) {
                let message = format!("a step must be more than nothing, not {step}");
                return Err(raise(&ctx, Diagnostic::error("bad-step", message)));
            }
            Ok(p.change(|parameter| parameter.step = Some(step)))
        },
    );
    subject.function(
        "among(parameter: parameter, words: list) -> parameter",
        "The only words allowed, in the order in which they are shown. Refuses measures and numbers. \
         Example: `f.wood(\"wood\", \"cedar\").among([\"cedar\", \"white oak\"]);`",
        |ctx: NativeCallContext, p: &mut Declaring, words: Array| -> HostResult<Declaring> {
            if has_scale(p.kind()) || p.kind() == ParameterKind::YesNo {
                return Err(p.refuse(&ctx, "list of words"));
            }
            let words = texts(&ctx, words)?;
            Ok(p.change(|parameter| parameter.among = words))
        },
    );
    wordings(subject);
}

fn is_positive(value: &Value) -> bool {
    match value {
        Value::Length(length) => length.is_positive(),
        Value::Angle(angle) => angle.as_deg() > 0.0,
        Value::Count(count) => *count > 0,
        Value::Number(number) => *number > 0.0,
        Value::YesNo(_) | Value::Text(_) => false,
    }
}

fn wordings(subject: &mut Subject) {
    subject.function(
        "doc(parameter: parameter, text: text) -> parameter",
        "One line that says what the parameter measures, from where to where. \
         Example: `f.length(\"depth\", 19.inch).doc(\"Seat, front to rear\");`",
        |p: &mut Declaring, text: ImmutableString| p.change(|parameter| parameter.doc = text.to_string()),
    );
    subject.function(
        "group(parameter: parameter, heading: text) -> parameter",
        "The heading under which the parameter is shown. Example: `f.yes_no(\"arms\", true).group(\"Arms\");`",
        |p: &mut Declaring, heading: ImmutableString| {
            p.change(|parameter| parameter.group = Some(heading.to_string()))
        },
    );
    subject.function(
        "governs(parameter: parameter, parts: text) -> parameter",
        "Names parts whose size or number the parameter governs, so that a remedy knows what to turn; also a list \
         of names. The end of a name will do: `rail` is front rail and rear rail alike. Example: `f.section(\"slats\", \"1x4\").governs(\"seat slat\");`",
        |p: &mut Declaring, part: ImmutableString| p.change(|parameter| parameter.governs.push(part.to_string())),
    );
    subject.form(
        "governs",
        |ctx: NativeCallContext, p: &mut Declaring, parts: Array| -> HostResult<Declaring> {
            let parts = texts(&ctx, parts)?;
            Ok(p.change(|parameter| parameter.governs.extend(parts)))
        },
    );
}

fn combinations(subject: &mut Subject) {
    subject.function(
        "require(f: description, condition: text, why: text)",
        "Refuses combinations of values that cannot be built: a condition over the parameters' names, in the script \
         language, that must hold, and the reason a builder is told. Refuses a condition that the usual values break. \
         Example: `f.require(\"width <= 3 * depth\", \"so wide a seat needs a middle frame\");`",
        |ctx: NativeCallContext, f: &mut Declaration, condition: ImmutableString, why: ImmutableString| {
            let mut draft = f.draft();
            if draft.requirements.len() == MAX_DECLARED {
                let message = format!("there are more than {MAX_DECLARED} requirements");
                return Err(raise(&ctx, Diagnostic::error("too-many-parameters", message)));
            }
            draft.requirements.push((condition.to_string(), why.to_string(), origin(&ctx)));
            Ok(())
        },
    );
    subject.function(
        "preset(f: description, name: text, values: map)",
        "A named set of values that people may start from. Refuses names that are no parameters and values that \
         are not allowed. Example: `f.preset(\"two people\", #{ width: 4.feet });`",
        |ctx: NativeCallContext, f: &mut Declaration, name: ImmutableString, values: Map| {
            let mut draft = f.draft();
            if draft.presets.len() == MAX_DECLARED {
                let message = format!("there are more than {MAX_DECLARED} presets");
                return Err(raise(&ctx, Diagnostic::error("too-many-parameters", message)));
            }
            draft.presets.insert(name.to_string(), (values, origin(&ctx)));
            Ok(())
        },
    );
}

fn values(subject: &mut Subject) {
    subject.index(
        |ctx: NativeCallContext, p: &mut Parameters, name: ImmutableString| -> HostResult<Dynamic> {
            p.get(&name).map(Value::to_script).ok_or_else(|| unknown(&ctx, p, &name))
        },
    );
    subject.function(
        "is_set(p: parameters, name: text) -> yes/no",
        "Whether the user set this parameter, rather than leaving it at its usual value. Refuses a name that was \
         not declared. Example: `let room = if p.is_set(\"clear\") { p.clear } else { p.width / 2 };`",
        |ctx: NativeCallContext, p: &mut Parameters, name: ImmutableString| -> HostResult<bool> {
            p.is_set(&name).ok_or_else(|| unknown(&ctx, p, &name))
        },
    );
}

fn unknown(ctx: &NativeCallContext, p: &Parameters, name: &str) -> Box<EvalAltResult> {
    let diagnostic = Diagnostic::error("unknown-parameter", format!("there is no parameter `{name}`"));
    raise(ctx, diagnostic.help(p.declared().near(name)))
}
