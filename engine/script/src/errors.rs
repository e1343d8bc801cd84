//! Errors of the engine in the words of the bench, with "did you mean" and the chain of calls.

use crate::host::origin_of;
use crate::modules::{Entry, EntryKind, entries, host_modules};
use crate::origin::Located;
use crate::parts::Parts;
use crate::sandbox::{Limits, Stop, packages};
use rhai::{EvalAltResult, Map, ParseError, ParseErrorType, Position};
use slatwork_base::{Diagnostic, Origin, did_you_mean};
use std::collections::BTreeSet;
use std::sync::OnceLock;

/// Type words of the piece and of an assembly: the words of the second go with the first too.
const JOB: &str = "job";
const GROUP: &str = "group";
/// What mends most lines that cannot be read.
const MISSING: &str = "look at the word under the caret and the one before it: a bracket, quote, comma or semicolon is missing or too many";
/// At most so many accepted forms are listed.
const MOST_FORMS: usize = 6;
/// At most so many places of a chain of calls are told; what lies between is a recursion.
const MOST_CALLS: usize = 8;

/// The trade word for an engine type.
pub(crate) fn plain_type(word: &str) -> &str {
    match word {
        "i64" | "INT" => "whole number",
        "f64" | "FLOAT" => "number",
        "string" | "String" | "ImmutableString" | "&str" | "&str | ImmutableString | String" => "text",
        "array" => "list",
        "bool" => "yes/no",
        "()" => "nothing",
        "Fn" | "FnPtr" => "function",
        "range" | "range=" => "range",
        // Rhai tells some types by their Rust path, without asking for their trade word.
        other if other.contains("::") => host_modules()
            .iter()
            .find_map(|module| module.module.get_custom_type_display_by_name(other))
            .unwrap_or("value"),
        other => other,
    }
}

/// A run's error as a diagnostic with all its places settled.
pub(crate) fn explain(error: EvalAltResult, parts: &Parts, limits: &Limits) -> Diagnostic {
    let mut calls = Vec::new();
    let (innermost, position) = unwind(error, &mut calls);
    let mut origin = origin_of(position);
    if !origin.is_known() && !calls.is_empty() {
        origin = calls.remove(0).0;
    }
    let view = View { parts, origin };
    let mut diagnostic = view.describe(innermost, limits).at_origin(origin);
    let skipped = calls.len().saturating_sub(MOST_CALLS);
    for (call, remark) in calls.into_iter().take(MOST_CALLS) {
        diagnostic = diagnostic.with_origin(call, remark);
    }
    if skipped > 0 {
        diagnostic = diagnostic.help(format!("{skipped} more calls lie above these"));
    }
    parts.lines.settle(diagnostic)
}

/// Walks to the innermost error, noting where each function was called from, innermost first.
fn unwind(error: EvalAltResult, calls: &mut Vec<(Origin, &'static str)>) -> (EvalAltResult, Position) {
    let (inner, position, remark) = match error {
        EvalAltResult::ErrorInFunctionCall(_, _, inner, position) => (inner, position, "called from here"),
        EvalAltResult::ErrorInModule(_, inner, position) => (inner, position, "imported here"),
        other => {
            let position = other.position();
            return (other, position);
        }
    };
    let found = unwind(*inner, calls);
    let origin = origin_of(position);
    if origin.is_known() && calls.last().is_none_or(|(last, _)| *last != origin) {
        calls.push((origin, remark));
    }
    found
}

/// What a message may be enriched from.
struct View<'p> {
    parts: &'p Parts,
    origin: Origin,
}

impl View<'_> {
    fn describe(&self, error: EvalAltResult, limits: &Limits) -> Diagnostic {
        use EvalAltResult as E;
        match error {
            E::ErrorRuntime(token, _) => thrown(token),
            E::ErrorFunctionNotFound(signature, _) => self.unknown_function(&signature),
            E::ErrorDotExpr(message, _) => self.unknown_property(&message),
            E::ErrorPropertyNotFound(name, _) => self.unknown_key(&name),
            E::ErrorVariableNotFound(name, _) => self.unknown_variable(&name, &[]),
            E::ErrorModuleNotFound(name, _) => unknown_module(&name, []),
            E::ErrorIndexingType(types, _) => not_indexed(&types),
            E::ErrorMismatchDataType(wanted, given, _) | E::ErrorMismatchOutputType(wanted, given, _) => {
                Diagnostic::error("wrong-type", wrong_type(&wanted, &given))
            }
            E::ErrorParsing(kind, _) => self.syntax(&kind, &[]),
            other => stopped(&other, limits).unwrap_or_else(|| plain(&other)),
        }
    }

    /// Names of functions a script at this place can call: its own, then the host's, then the language's.
    fn callable(&self) -> Vec<&str> {
        let own = self.outline().into_iter().flat_map(|outline| outline.functions.keys().map(String::as_str));
        let host = entries().filter(|e| e.kind == EntryKind::Function).map(|e| e.name.as_str());
        own.chain(host).chain(language_words().iter().map(String::as_str)).collect()
    }

    fn located(&self) -> Option<Located<'_>> {
        self.parts.lines.locate(self.origin)
    }

    fn outline(&self) -> Option<&crate::parts::Outline> {
        self.parts.outlines.get(self.located()?.index)
    }

    fn unknown_function(&self, signature: &str) -> Diagnostic {
        let (name, given) = split_signature(signature);
        if let Some((alias, function)) = name.rsplit_once("::") {
            return self.unknown_in_module(alias, function, &given);
        }
        if is_operator(name) {
            return wrong_operands(name, &given);
        }
        let own = self.outline().and_then(|outline| outline.functions.get(name).cloned());
        let forms: Vec<&Entry> =
            entries().filter(|e| e.name == name && e.kind == EntryKind::Function).collect();
        if own.is_none() && forms.is_empty() && !language_words().contains(name) {
            return self.no_such_function(name, &given);
        }
        wrong_arguments(name, &given, own.as_deref(), &forms)
    }

    fn no_such_function(&self, name: &str, given: &[String]) -> Diagnostic {
        let diagnostic = Diagnostic::error("unknown-function", format!("there is no function `{name}`"));
        if let Some(property) = entries().find(|e| e.kind != EntryKind::Function && e.name == name) {
            let owner = property.arguments.first().map_or("value", String::as_str);
            return diagnostic.help(match property.kind {
                EntryKind::Setter => format!("`{name}` of {} is set: write .{name} = ..", article(owner)),
                _ => format!("`{name}` of {} is read without brackets: write .{name}", article(owner)),
            });
        }
        // A method of the same owner is the likelier slip; a job does all that a group does.
        let owner = given.first().map_or("", String::as_str);
        let of_owner = |word: &str| word == owner || (owner == JOB && word == GROUP);
        let methods = entries().filter(|e| e.arguments.first().is_some_and(|a| of_owner(a)));
        let methods: Vec<&str> = methods.map(|e| e.name.as_str()).collect();
        let near = did_you_mean(name, methods).or_else(|| did_you_mean(name, self.callable()));
        suggest(diagnostic, near)
    }

    fn unknown_in_module(&self, alias: &str, function: &str, given: &[String]) -> Diagnostic {
        let module = self.outline().and_then(|outline| {
            let file = outline.imports.get(outline.aliases.get(alias)?)?;
            self.parts.outlines.get(*file)
        });
        let Some(module) = module else {
            let known = self.outline().map(|o| o.aliases.keys().map(String::as_str).collect::<Vec<_>>());
            return unknown_module(alias, known.unwrap_or_default());
        };
        if let Some(parameters) = module.functions.get(function) {
            return wrong_arguments(function, given, Some(parameters), &[]);
        }
        let message = format!("`{alias}` has no function `{function}`");
        // The first word in back-ticks gets the caret, and the module is not at fault.
        let message =
            if alias == function { message } else { format!("no function `{function}` in module {alias}") };
        let names = module.functions.keys().map(String::as_str);
        suggest(Diagnostic::error("unknown-function", message), did_you_mean(function, names))
    }

    fn unknown_property(&self, message: &str) -> Diagnostic {
        let quotes: Vec<&str> = message.split('\'').collect();
        let [_, property, _, owner, ..] = quotes.as_slice() else {
            return Diagnostic::error("wrong-property", message.to_string());
        };
        let owner = plain_type(owner);
        if message.starts_with("No writable") {
            let given = quotes.get(5).map_or("this", |word| plain_type(word));
            let message = format!("`{property}` of {} cannot be set to {}", article(owner), article(given));
            return self.helped_setter(Diagnostic::error("wrong-property", message), property);
        }
        let diagnostic =
            Diagnostic::error("unknown-property", format!("{} has no `{property}`", article(owner)));
        if entries().any(|e| e.kind == EntryKind::Function && e.name == *property) {
            return diagnostic.help(format!("it is a function: write .{property}(..)"));
        }
        let of_owner = entries().filter(|e| e.arguments.first().is_some_and(|a| a.ends_with(owner)));
        let of_owner: Vec<&str> = of_owner.map(|e| e.name.as_str()).collect();
        let units = entries().filter(|e| e.kind == EntryKind::Property).map(|e| e.name.as_str());
        let near = did_you_mean(property, of_owner.iter().copied()).or_else(|| did_you_mean(property, units));
        suggest(diagnostic, near)
    }

    fn helped_setter(&self, diagnostic: Diagnostic, property: &str) -> Diagnostic {
        let setters: Vec<&Entry> = entries().filter(|e| e.kind == EntryKind::Setter).collect();
        if let Some(setter) = setters.iter().find(|e| e.name == property) {
            let value = setter.arguments.last().map_or("value", String::as_str);
            return diagnostic.help(format!("`{property}` takes {}", article(value)));
        }
        if entries().any(|e| e.kind == EntryKind::Function && e.name == property) {
            return diagnostic.help(format!("it is a function: write .{property}(..)"));
        }
        suggest(diagnostic, did_you_mean(property, setters.iter().map(|e| e.name.as_str())))
    }

    fn unknown_key(&self, key: &str) -> Diagnostic {
        let diagnostic = Diagnostic::error("unknown-property", format!("this map has no `{key}`"));
        // The map itself is out of reach here; its keys were written somewhere in the scripts.
        let keys: BTreeSet<&str> =
            self.parts.outlines.iter().flat_map(|outline| outline.keys.iter().map(String::as_str)).collect();
        suggest(diagnostic, did_you_mean(key, keys.into_iter().filter(|known| *known != key)))
    }

    fn unknown_variable(&self, name: &str, known: &[String]) -> Diagnostic {
        if let Some((module, constant)) = name.rsplit_once("::") {
            let message = format!("no constant `{constant}` in {module}");
            let help = format!(
                "a constant is seen from other files when it is exported: export const {constant} = ..;"
            );
            return Diagnostic::error("unknown-variable", message).help(help);
        }
        let diagnostic = Diagnostic::error("unknown-variable", format!("`{name}` is not known here"));
        let declared = self.located().map(|at| declared_names(&at.file.text)).unwrap_or_default();
        let candidates = known.iter().chain(&declared).map(String::as_str).filter(|known| *known != name);
        let near = did_you_mean(name, candidates);
        if near.is_none() && self.callable().contains(&name) {
            let help = format!("to pass the function {name} as a value, write Fn(\"{name}\")");
            return diagnostic.help(help);
        }
        if declared.iter().any(|known| known == name) {
            return diagnostic.help(format!(
                "a function sees its own variables and arguments only; give it `{name}` as an argument, or for a \
                 constant of the file write global::{name}"
            ));
        }
        suggest(diagnostic, near)
    }

    fn syntax(&self, kind: &ParseErrorType, known: &[String]) -> Diagnostic {
        use ParseErrorType as P;
        let error = |message: String| Diagnostic::error("script-syntax", message);
        match kind {
            P::VariableUndefined(name) => self.unknown_variable(name, known),
            P::ModuleUndefined(name) => {
                let aliases: Vec<&str> = self
                    .outline()
                    .map(|outline| outline.aliases.keys().map(String::as_str).collect())
                    .unwrap_or_default();
                unknown_module(name, aliases)
            }
            P::UnexpectedEOF => error("the script ends too early".into())
                .help("something is missing at the end, or a bracket is left open"),
            P::MissingToken(token, why) => error(format!("`{token}` is missing {why}")).help(MISSING),
            P::Reserved(word) => error(format!("`{word}` is a reserved word")).help("choose another name"),
            P::FnDuplicatedDefinition(name, count) => {
                error(format!("the function `{name}` with {count} arguments is there twice"))
            }
            P::DuplicatedProperty(name) => error(format!("`{name}` is there twice in one map")),
            P::ExprTooDeep => {
                error("brackets are nested too deep".into()).help("name the inner parts with let")
            }
            P::BadInput(lexed) => error(sentence(&lexed.to_string())).help(MISSING),
            other => error(sentence(&other.to_string())).help(MISSING),
        }
    }
}

/// A compile error as a diagnostic with its place settled. `known` are names defined outside the text.
pub(crate) fn explain_parse(error: &ParseError, parts: &Parts, known: &[String]) -> Diagnostic {
    let origin = origin_of(error.position());
    let diagnostic = View { parts, origin }.syntax(error.err_type(), known).at_origin(origin);
    parts.lines.settle(diagnostic)
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_lowercase().chain(letters).collect())
}

fn suggest(diagnostic: Diagnostic, near: Option<&str>) -> Diagnostic {
    match near {
        Some(near) => diagnostic.help(format!("did you mean `{near}`?")),
        None => diagnostic,
    }
}

fn article(word: &str) -> String {
    crate::host::with_article(word)
}

/// What a host function raised, or a script threw.
fn thrown(token: rhai::Dynamic) -> Diagnostic {
    if let Some(diagnostic) = token.clone().try_cast::<Diagnostic>() {
        return diagnostic;
    }
    if let Some(map) = token.read_lock::<Map>() {
        let text = |key: &str| map.get(key).map(ToString::to_string);
        let diagnostic = Diagnostic::error("script-refused", text("message").unwrap_or_default());
        return match text("help") {
            Some(help) => diagnostic.help(help),
            None => diagnostic,
        };
    }
    let message = if token.is_unit() { String::from("the script refused") } else { token.to_string() };
    Diagnostic::error("script-refused", message)
}

fn stopped(error: &EvalAltResult, limits: &Limits) -> Option<Diagnostic> {
    use EvalAltResult as E;
    let (code, message, help) = match error {
        E::ErrorTooManyOperations(_) => (
            "too-many-steps",
            format!("the script takes more than {} steps", limits.operations),
            "a loop may never end, or does too much work",
        ),
        E::ErrorTerminated(token, _) => match token.clone().try_cast::<Stop>() {
            Some(Stop::Memory) => (
                "too-much-memory",
                format!("the script holds more than {} MiB at once", limits.memory >> 20),
                "a list, map or text may be growing in a loop",
            ),
            _ => (
                "too-much-time",
                format!("the script takes longer than {} ms", limits.time.as_millis()),
                "a loop may never end, or does too much work",
            ),
        },
        E::ErrorStackOverflow(_) => (
            "nested-too-deep",
            String::from("functions call each other too deep"),
            "a function may be calling itself without an end",
        ),
        E::ErrorDataTooLarge(what, _) => (
            "value-too-large",
            format!("a value grows too large ({})", sentence(what)),
            "texts hold 4096 bytes, lists 4096 values, maps 256 entries",
        ),
        E::ErrorTooManyVariables(_) => {
            ("too-many-variables", String::from("too many variables at once"), "512 is the most")
        }
        E::ErrorTooManyModules(_) => ("too-many-modules", String::from("too many imports"), "32 is the most"),
        _ => return None,
    };
    Some(Diagnostic::error(code, message).help(help))
}

/// The remaining errors of the language, which need no names of ours.
fn plain(error: &EvalAltResult) -> Diagnostic {
    use EvalAltResult as E;
    match error {
        E::ErrorArrayBounds(length, index, _) => {
            let message = format!("there is no value {index} in a list of {length}");
            Diagnostic::error("no-such-value", message).help("lists are counted from 0; -1 is the last")
        }
        E::ErrorArithmetic(message, _) => Diagnostic::error("bad-arithmetic", sentence(message)),
        E::ErrorFor(_) => Diagnostic::error("wrong-type", "`for` needs a list or a range such as 0..5"),
        E::ErrorUnboundThis(_) => Diagnostic::error("wrong-type", "`this` stands for nothing here"),
        E::ErrorAssignmentToConstant(name, _) => {
            Diagnostic::error("constant", format!("`{name}` is a constant and cannot be changed"))
        }
        E::ErrorNonPureMethodCallOnConstant(name, _) => {
            Diagnostic::error("constant", format!("`{name}` would change a constant"))
        }
        other => {
            let text = other.to_string();
            let text = text.split(" (line ").next().unwrap_or(&text);
            Diagnostic::error("script-error", sentence(text))
        }
    }
}

fn wrong_type(wanted: &str, given: &str) -> String {
    let (wanted, given) = (plain_type(wanted), plain_type(given));
    if given.is_empty() {
        return format!("{} is needed here", article(wanted));
    }
    format!("{} is needed here, not {}", article(wanted), article(given))
}

fn not_indexed(types: &str) -> Diagnostic {
    let owner = plain_type(types.split(" [").next().unwrap_or(types));
    Diagnostic::error("wrong-type", format!("{} has nothing to read in square brackets", article(owner)))
}

fn unknown_module<'n>(name: &str, known: impl IntoIterator<Item = &'n str>) -> Diagnostic {
    let diagnostic = Diagnostic::error("unknown-module", format!("there is no module `{name}` here"));
    match did_you_mean(name, known) {
        Some(near) => diagnostic.help(format!("did you mean `{near}`?")),
        None => {
            diagnostic.help(format!("import it at the top of the file: import \"lib/{name}\" as {name};"))
        }
    }
}

/// `bord (job, &str | ImmutableString | String)` as a name and trade words.
fn split_signature(signature: &str) -> (&str, Vec<String>) {
    let (name, rest) = signature.split_once(" (").unwrap_or((signature, ""));
    let inside = rest.strip_suffix(')').unwrap_or(rest);
    let words = inside.split(", ").filter(|word| !word.is_empty());
    (name, words.map(|word| plain_type(word).to_string()).collect())
}

fn is_operator(name: &str) -> bool {
    !name.is_empty() && name.chars().all(|c| c.is_ascii_punctuation() && c != '_')
}

fn wrong_operands(sign: &str, given: &[String]) -> Diagnostic {
    let given: Vec<String> = given.iter().map(|word| article(word)).collect();
    Diagnostic::error("wrong-type", format!("`{sign}` does not go with {}", given.join(" and ")))
}

fn wrong_arguments(name: &str, given: &[String], own: Option<&[String]>, forms: &[&Entry]) -> Diagnostic {
    let shown = if given.is_empty() { String::from("nothing") } else { given.join(", ") };
    let mut diagnostic = Diagnostic::error("wrong-arguments", format!("`{name}` cannot take ({shown})"));
    if let Some(parameters) = own {
        diagnostic = diagnostic.help(format!("it is declared as {name}({})", parameters.join(", ")));
    }
    for form in forms.iter().take(MOST_FORMS) {
        diagnostic = diagnostic.help(format!("it takes {}", form.signature));
    }
    diagnostic
}

/// Functions of the language itself.
fn language_words() -> &'static BTreeSet<String> {
    static WORDS: OnceLock<BTreeSet<String>> = OnceLock::new();
    WORDS.get_or_init(|| {
        let signatures = packages().iter().flat_map(|package| {
            package.gen_fn_signatures_with_mapper(|word| word.into()).collect::<Vec<_>>()
        });
        let names = signatures.filter_map(|signature| signature.split('(').next().map(str::to_string));
        names.filter(|name| name.chars().all(|c| c.is_alphanumeric() || c == '_')).collect()
    })
}

/// Names that the text declares anywhere: after `let`, `const` and `for`, and as arguments.
fn declared_names(text: &str) -> Vec<String> {
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    let mut names = BTreeSet::new();
    let words: Vec<&str> = text.split(|c: char| !is_word(c)).filter(|word| !word.is_empty()).collect();
    for pair in words.windows(2) {
        if matches!(pair[0], "let" | "const" | "for") {
            names.insert(pair[1].to_string());
        }
    }
    for line in text.lines().filter(|line| line.trim_start().starts_with("fn ") || line.contains('|')) {
        let inside = line.split_once(['(', '|']).map_or("", |(_, rest)| rest);
        let arguments = inside.split([')', '|']).next().unwrap_or("");
        names.extend(arguments.split(',').map(|name| name.trim().to_string()).filter(|n| !n.is_empty()));
    }
    names.into_iter().collect()
}
