//! Compiling one file and reading its outline: functions, imports, keys; and what may stand at its top.

use crate::errors;
use crate::host::origin_of;
use crate::kind::{Contract, ScriptKind};
use crate::parts::{Outline, Parts};
use crate::sandbox::bare_engine;
use crate::sources::check_name;
use rhai::{AST, ASTFlags, ASTNode, Engine, Expr, Position, Stmt};
use slatwork_base::{Diagnostic, Origin, did_you_mean};
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Largest script file. Compiling takes a millisecond for ten of these kilobytes.
const MAX_BYTES: usize = 256 << 10;
/// Most lines of one file.
const MAX_LINES: usize = 20_000;

/// A compiled file with the imports it asks for, by name and place.
pub(crate) struct Compiled {
    pub ast: AST,
    pub outline: Outline,
    pub imports: Vec<(String, Origin)>,
}

/// Refuses a text that is too large to compile in reasonable time.
pub(crate) fn check_size(text: &str) -> Result<(), Diagnostic> {
    let lines = text.lines().count();
    if text.len() <= MAX_BYTES && lines <= MAX_LINES {
        return Ok(());
    }
    let message = format!("the file has {lines} lines and {} KiB", text.len() >> 10);
    let help = format!("a script has at most {MAX_LINES} lines and {} KiB; split it", MAX_BYTES >> 10);
    Err(Diagnostic::error("script-too-large", message).help(help))
}

/// Compiles files one after another.
pub(crate) struct Compiler(Engine);

impl Compiler {
    pub(crate) fn new() -> Self {
        Compiler(bare_engine())
    }

    /// Compiles the file of that index of the line table. All faults of its top are told.
    pub(crate) fn compile(&self, parts: &Parts, index: usize) -> Result<Compiled, Vec<Diagnostic>> {
        let text = parts.lines.padded(index);
        let compiled = catch_unwind(AssertUnwindSafe(|| self.0.compile(&text)));
        let Ok(compiled) = compiled else {
            return Err(vec![Diagnostic::error("host-panic", "the program itself failed on this script")]);
        };
        let mut ast = compiled.map_err(|error| vec![errors::explain_parse(&error, parts, &[])])?;
        if let Some(file) = parts.lines.file(index) {
            ast.set_source(file.shown.as_str());
        }
        let mut reading = Reading::default();
        reading.read(&ast);
        if reading.troubles.is_empty() {
            Ok(Compiled { ast, outline: reading.outline, imports: reading.imports })
        } else {
            Err(reading.troubles.into_iter().map(|trouble| parts.lines.settle(trouble)).collect())
        }
    }
}

#[derive(Default)]
struct Reading {
    outline: Outline,
    imports: Vec<(String, Origin)>,
    troubles: Vec<Diagnostic>,
}

impl Reading {
    fn read(&mut self, ast: &AST) {
        ast.statements().iter().for_each(|statement| self.check_top(statement));
        let functions = ast.iter_functions();
        self.outline.functions = functions
            .map(|f| (f.name.to_string(), f.params.iter().map(ToString::to_string).collect()))
            .collect::<BTreeMap<_, Vec<_>>>();
        ast.walk(&mut |path: &[ASTNode<'_>]| {
            match path.last() {
                Some(ASTNode::Stmt(Stmt::Import(import, position))) => {
                    self.import(&import.0, &import.1.name, *position);
                }
                Some(ASTNode::Expr(Expr::Map(map, _))) => {
                    self.outline.keys.extend(map.0.iter().map(|(key, _)| key.name.to_string()));
                }
                Some(ASTNode::Expr(Expr::Property(property, _))) => {
                    self.outline.keys.insert(property.2.to_string());
                }
                _ => {}
            }
            true
        });
    }

    /// The top of a file runs with every call, so that work there would be done over and over.
    fn check_top(&mut self, statement: &Stmt) {
        let allowed = match statement {
            Stmt::Import(..) | Stmt::Noop(_) => true,
            Stmt::Var(_, flags, _) => flags.intersects(ASTFlags::CONSTANT),
            _ => false,
        };
        if !allowed {
            let message = "only import, const and fn may stand at the top of a file";
            let origin = origin_of(statement.position());
            self.troubles.push(
                Diagnostic::error("work-at-the-top", message)
                    .at_origin(origin)
                    .help("move this line into a function, or write const instead of let"),
            );
        }
    }

    fn import(&mut self, path: &Expr, alias: &str, position: Position) {
        let Expr::StringConstant(name, at) = path else {
            let message = "an import names its module in plain quotes";
            let trouble = Diagnostic::error("bad-module-name", message).at_origin(origin_of(position));
            self.troubles.push(trouble.help("write import \"lib/feet\" as feet;"));
            return;
        };
        match check_name(name) {
            Ok(()) => {
                self.imports.push((name.to_string(), origin_of(*at)));
                self.outline.aliases.insert(alias.to_string(), name.to_string());
            }
            Err(trouble) => self.troubles.push(trouble.at_origin(origin_of(*at))),
        }
    }
}

/// Refuses a file without the functions of its kind.
pub(crate) fn check_contract(kind: ScriptKind, shown: &str, outline: &Outline) -> Vec<Diagnostic> {
    kind.contract().iter().filter_map(|wanted| check_function(wanted, shown, outline)).collect()
}

fn check_function(wanted: &Contract, shown: &str, outline: &Outline) -> Option<Diagnostic> {
    let form = format!("{}({})", wanted.name, wanted.arguments.join(", "));
    match outline.functions.get(wanted.name) {
        Some(found) if found.len() == wanted.arguments.len() => None,
        Some(found) => {
            let message = format!("{shown} needs {form}; found {}({})", wanted.name, found.join(", "));
            Some(Diagnostic::error("missing-function", message))
        }
        None if !wanted.needed => None,
        None => {
            let diagnostic = Diagnostic::error("missing-function", format!("{shown} has no {form}"));
            let near = did_you_mean(wanted.name, outline.functions.keys().map(String::as_str));
            Some(match near {
                Some(near) => diagnostic.help(format!("found `{near}`: should it be `{}`?", wanted.name)),
                None => diagnostic.help(format!("add fn {form} {{ .. }}")),
            })
        }
    }
}
