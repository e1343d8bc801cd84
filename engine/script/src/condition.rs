//! A condition in one line of the script language: `width <= 2 * depth`, `rating >= 250.kg && cost < 180`.

use crate::errors;
use crate::origin::LineTable;
use crate::parts::Parts;
use crate::sandbox::{Limits, Run, bare_engine};
use rhai::{AST, Dynamic, Scope};
use slatwork_base::{Diagnostic, Origin};
use std::sync::Arc;

/// Longest condition, in bytes: it is one line for people.
const LONGEST: usize = 1000;

/// A compiled condition over named values. Cheap to clone; holds no values.
#[derive(Clone)]
pub struct Condition {
    text: Arc<str>,
    ast: Arc<AST>,
    parts: Parts,
    at: Origin,
}

impl core::fmt::Debug for Condition {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_tuple("Condition").field(&self.text).finish()
    }
}

impl Condition {
    /// Compiles a condition over values of these names. `shown` stands for a file name in errors: `--keep`.
    pub fn compile<'n>(
        shown: &str,
        text: &str,
        names: impl IntoIterator<Item = &'n str>,
    ) -> Result<Condition, Diagnostic> {
        let mut lines = LineTable::default();
        lines.add(shown, text)?;
        let parts = Parts { lines: Arc::new(lines), ..Parts::default() };
        Self::compile_at(text, names, &parts, Origin { line: 1, column: 1 })
    }

    /// As [`Condition::compile`], for a text that stands at a position of a library file.
    pub(crate) fn compile_at<'n>(
        text: &str,
        names: impl IntoIterator<Item = &'n str>,
        parts: &Parts,
        at: Origin,
    ) -> Result<Condition, Diagnostic> {
        if text.len() > LONGEST || text.contains('\n') {
            let message = format!("a condition is one line of at most {LONGEST} bytes");
            return Err(parts.lines.settle(Diagnostic::error("bad-condition", message).at_origin(at)));
        }
        let mut scope = Scope::new();
        for name in names {
            scope.push_constant_dynamic(name.to_string(), Dynamic::UNIT);
        }
        // The text is moved to where it stands in its file, so that a caret points into it.
        let padding = "\n".repeat(usize::from(at.line).saturating_sub(1));
        let indent = " ".repeat(usize::from(at.column).saturating_sub(1));
        let known: Vec<String> = scope.iter().map(|(name, ..)| name.to_string()).collect();
        let compiled =
            bare_engine().compile_expression_with_scope(&scope, format!("{padding}{indent}{text}"));
        let ast = compiled.map_err(|error| errors::explain_parse(&error, parts, &known))?;
        Ok(Condition { text: text.into(), ast: Arc::new(ast), parts: parts.clone(), at })
    }

    /// The text as it was written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether a name stands in the text.
    pub fn mentions(&self, name: &str) -> bool {
        let is_word = |c: char| c.is_alphanumeric() || c == '_';
        // Every other stretch between quotation marks is a text, whose words are no names.
        let code = self.text.split('"').step_by(2);
        code.flat_map(|code| code.split(|c: char| !is_word(c))).any(|word| word == name)
    }

    /// Whether it holds for these values.
    pub fn holds<'n>(
        &self,
        values: impl IntoIterator<Item = (&'n str, Dynamic)>,
    ) -> Result<bool, Diagnostic> {
        let mut scope = Scope::new();
        for (name, value) in values {
            scope.push_constant_dynamic(name.to_string(), value);
        }
        let answer = Run::new(&self.parts, Limits::CONDITION).evaluate(&self.ast, &mut scope)?;
        answer.as_bool().map_err(|given| {
            let given = crate::host::with_article(errors::plain_type(given));
            let message = format!("the condition {} gives {given}, not true or false", self.text);
            self.parts.lines.settle(Diagnostic::error("bad-condition", message).at_origin(self.at))
        })
    }
}
