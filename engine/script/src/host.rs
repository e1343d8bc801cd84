//! What every host function needs: raising a diagnostic at the calling line, and reading option maps.

use indexmap::IndexSet;
use rhai::{Array, Dynamic, EvalAltResult, Map, NativeCallContext, Position, Variant};
use slatwork_base::{Angle, Diagnostic, Length, Origin, did_you_mean};

/// The result of a host function that may refuse.
pub type HostResult<T> = Result<T, Box<EvalAltResult>>;

/// The script position of the running host call.
pub fn origin(ctx: &NativeCallContext) -> Origin {
    origin_of(ctx.call_position())
}

/// A Rhai position as an origin; out of range or absent gives [`Origin::NOWHERE`].
pub fn origin_of(position: Position) -> Origin {
    let line = position.line().and_then(|line| u16::try_from(line).ok());
    let column = position.position().and_then(|column| u16::try_from(column).ok());
    line.map_or(Origin::NOWHERE, |line| Origin { line, column: column.unwrap_or(0) })
}

/// A diagnostic as the error of the running host call, standing at its script line.
pub fn raise(ctx: &NativeCallContext, diagnostic: Diagnostic) -> Box<EvalAltResult> {
    raise_at(ctx.call_position(), diagnostic)
}

/// A diagnostic as a script error at a position.
pub fn raise_at(position: Position, diagnostic: Diagnostic) -> Box<EvalAltResult> {
    Box::new(EvalAltResult::ErrorRuntime(Dynamic::from(diagnostic), position))
}

/// The trade word for the type of a value: `length`, `text`, `whole number`.
pub fn type_word(ctx: &NativeCallContext, value: &Dynamic) -> String {
    crate::errors::plain_type(ctx.engine().map_type_name(value.type_name())).to_string()
}

/// The options of one call, `#{ length: 3.feet, .. }`: keys checked against a list, values read by type.
///
/// Every error stands at the call and names the option in back-ticks, so that the caret finds it.
#[derive(Debug)]
pub struct Options {
    what: String,
    values: Map,
    position: Position,
    types: Vec<(String, String)>,
}

impl Options {
    /// Checks the keys of `values` against `known`. `what` names the call in messages ("board").
    pub fn read(ctx: &NativeCallContext, what: &str, values: Map, known: &[&str]) -> HostResult<Options> {
        let types = values.iter().map(|(key, value)| (key.to_string(), type_word(ctx, value))).collect();
        let options = Options { what: what.to_string(), values, position: ctx.call_position(), types };
        match options.values.keys().find(|key| !known.contains(&key.as_str())) {
            Some(stranger) => Err(options.unknown(stranger, known)),
            None => Ok(options),
        }
    }

    fn unknown(&self, key: &str, known: &[&str]) -> Box<EvalAltResult> {
        let diagnostic = Diagnostic::error("unknown-option", format!("{} has no `{key}`", self.what));
        let unused: IndexSet<&str> =
            known.iter().copied().filter(|k| !self.values.contains_key(*k)).collect();
        let help = match did_you_mean(key, unused) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("{} knows: {}", self.what, known.join(", ")),
        };
        raise_at(self.position, diagnostic.help(help))
    }

    /// Whether the option was given.
    pub fn has(&self, key: &str) -> bool {
        self.values.contains_key(key)
    }

    /// Where the call stands.
    pub fn origin(&self) -> Origin {
        origin_of(self.position)
    }

    /// An error about one option of this call, at its script line.
    pub fn refuse(&self, diagnostic: Diagnostic) -> Box<EvalAltResult> {
        raise_at(self.position, diagnostic)
    }

    /// An option of any host type; `None` when it was not given. `form` says what would do, in messages.
    pub fn opt_take<T: Variant + Clone>(&self, key: &str, form: &str) -> HostResult<Option<T>> {
        let Some(value) = self.values.get(key) else { return Ok(None) };
        value.clone().try_cast::<T>().map(Some).ok_or_else(|| self.wrong_type(key, form))
    }

    /// As [`Options::opt_take`], refusing when it was not given.
    pub fn take<T: Variant + Clone>(&self, key: &str, form: &str) -> HostResult<T> {
        self.opt_take(key, form)?.ok_or_else(|| self.missing(key, form))
    }

    /// A length.
    pub fn length(&self, key: &str) -> HostResult<Length> {
        self.take(key, "a length, as 17.inch or 600.mm")
    }

    /// A length, if given.
    pub fn opt_length(&self, key: &str) -> HostResult<Option<Length>> {
        self.opt_take(key, "a length, as 17.inch or 600.mm")
    }

    /// An angle.
    pub fn angle(&self, key: &str) -> HostResult<Angle> {
        self.take(key, "an angle, as 14.deg")
    }

    /// An angle, if given.
    pub fn opt_angle(&self, key: &str) -> HostResult<Option<Angle>> {
        self.opt_take(key, "an angle, as 14.deg")
    }

    /// A text.
    pub fn text(&self, key: &str) -> HostResult<String> {
        self.opt_text(key)?.ok_or_else(|| self.missing(key, "a text in quotes"))
    }

    /// A text, if given.
    pub fn opt_text(&self, key: &str) -> HostResult<Option<String>> {
        let Some(value) = self.values.get(key) else { return Ok(None) };
        value.clone().into_string().map(Some).map_err(|_| self.wrong_type(key, "a text in quotes"))
    }

    /// A whole number, not negative.
    pub fn count(&self, key: &str) -> HostResult<usize> {
        self.opt_count(key)?.ok_or_else(|| self.missing(key, "a whole number"))
    }

    /// A whole number, not negative, if given.
    pub fn opt_count(&self, key: &str) -> HostResult<Option<usize>> {
        let form = "a whole number from 0 up";
        match self.opt_take::<i64>(key, form)? {
            Some(count) => {
                usize::try_from(count).map(Some).map_err(|_| self.wrong(key, form, &count.to_string()))
            }
            None => Ok(None),
        }
    }

    /// A number, whole or not.
    pub fn number(&self, key: &str) -> HostResult<f64> {
        self.opt_number(key)?.ok_or_else(|| self.missing(key, "a number"))
    }

    /// A number, whole or not, if given.
    pub fn opt_number(&self, key: &str) -> HostResult<Option<f64>> {
        let Some(value) = self.values.get(key) else { return Ok(None) };
        crate::numbers::as_number(value).map(Some).ok_or_else(|| self.wrong_type(key, "a number"))
    }

    /// Yes or no; `otherwise` when it was not given.
    pub fn yes_no(&self, key: &str, otherwise: bool) -> HostResult<bool> {
        Ok(self.opt_take(key, "true or false")?.unwrap_or(otherwise))
    }

    /// A list.
    pub fn list(&self, key: &str) -> HostResult<Array> {
        self.take(key, "a list in square brackets")
    }

    /// A list, if given.
    pub fn opt_list(&self, key: &str) -> HostResult<Option<Array>> {
        self.opt_take(key, "a list in square brackets")
    }

    /// The value as it stands, if given.
    pub fn opt_any(&self, key: &str) -> Option<Dynamic> {
        self.values.get(key).cloned()
    }

    fn wrong_type(&self, key: &str, form: &str) -> Box<EvalAltResult> {
        let given = self.types.iter().find(|(name, _)| name == key).map_or("nothing", |(_, word)| word);
        self.wrong(key, form, &with_article(given))
    }

    fn wrong(&self, key: &str, form: &str, given: &str) -> Box<EvalAltResult> {
        let message = format!("`{key}` of {} must be {form}, not {given}", self.what);
        raise_at(self.position, Diagnostic::error("wrong-option", message))
    }

    fn missing(&self, key: &str, form: &str) -> Box<EvalAltResult> {
        let diagnostic =
            Diagnostic::error("missing-option", format!("{} needs an option named {key}", self.what));
        raise_at(self.position, diagnostic.help(format!("add `{key}: ..`, {form}")))
    }
}

/// `length` as `a length`, `angle` as `an angle`, `nothing` as it is.
pub(crate) fn with_article(word: &str) -> String {
    match word.chars().next() {
        _ if word == "nothing" || word == "text" => word.to_string(),
        Some('a' | 'e' | 'i' | 'o' | 'u') => format!("an {word}"),
        _ => format!("a {word}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::caret::{Dress, render};
    use crate::errors;
    use crate::origin::LineTable;
    use crate::parts::Parts;
    use crate::sandbox::{Limits, bare_engine};
    use std::sync::Arc;

    /// A host function with options, as other rooms bind them.
    fn board(ctx: NativeCallContext, name: rhai::ImmutableString, options: Map) -> HostResult<String> {
        let known = ["stock", "length", "width", "screws", "lean", "glue", "pattern", "share"];
        let options = Options::read(&ctx, "board", options, &known)?;
        let length = options.length("length")?;
        let width = options.opt_length("width")?.map_or(String::from("-"), |width| width.to_string());
        let screws = options.opt_count("screws")?.unwrap_or(0);
        let lean = options.opt_angle("lean")?.map_or(String::from("-"), |lean| lean.to_string());
        let pattern = options.opt_list("pattern")?.map_or(0, |pattern| pattern.len());
        let share = options.opt_number("share")?.unwrap_or(0.0);
        let (stock, glue) = (options.text("stock")?, options.yes_no("glue", false)?);
        Ok(format!("{name} {stock} {length} {width} {screws} {lean} {glue} {pattern} {share}"))
    }

    fn run(script: &str) -> String {
        let mut lines = LineTable::default();
        assert_eq!(lines.add("families/bench.rhai", script), Ok(0));
        let parts = Parts { lines: Arc::new(lines), ..Parts::default() };
        let mut engine = bare_engine();
        engine.register_fn("board", board);
        match engine.eval::<String>(script) {
            Ok(value) => value,
            Err(error) => render(&errors::explain(*error, &parts, &Limits::BUILD), Dress::Plain),
        }
    }

    #[test]
    fn options_are_read_by_type() {
        let all = "board(\"rail\", #{ stock: \"2x4\", length: 3.feet, width: 2.inch, screws: 2, lean: 5.deg, \
                   glue: true, pattern: [1, 2], share: 1 })";
        assert_eq!(run(all), "rail 2x4 36\" 2\" 2 5° true 2 1");
        assert_eq!(
            run("board(\"rail\", #{ stock: \"2x4\", length: 3.feet })"),
            "rail 2x4 36\" - 0 - false 0 0"
        );
    }

    #[test]
    fn faulty_options_are_underlined() {
        let faults = [
            "board(\"rail\", #{ stock: \"2x4\", lenght: 3.feet })",
            "board(\"lenght\", #{\n    stock: \"2x4\",\n    lenght: 3.feet,\n})",
            "board(\"rail\", #{ stock: \"2x4\", colour: \"red\" })",
            "board(\"rail\", #{ stock: \"2x4\" })",
            "board(\"rail\", #{ length: 3.feet, stock: 4 })",
            "board(\"rail\", #{ stock: \"2x4\", length: 3 })",
            "board(\"rail\", #{ stock: \"2x4\", length: 3.feet, screws: -1 })",
            "board(\"rail\", #{ stock: \"2x4\", length: 3.feet, glue: 1 })",
            "board(\"rail\", #{ stock: \"2x4\", length: 3.feet, pattern: 3.inch })",
        ];
        insta::assert_snapshot!(faults.map(run).join("\n\n"));
    }
}
