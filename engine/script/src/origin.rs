//! From a line number over all files back to file, line, column and word.
//!
//! Every file is compiled below so many empty lines that no two files share a line number. A bare position then
//! names its file by itself, also for a closure that another file calls, where Rhai names the wrong one.

use slatwork_base::{Diagnostic, Origin, Place};
use std::sync::Arc;

/// Line numbers stick at 65,535 in Rhai; files past this are refused with a margin.
pub const MOST_LINES: usize = 60_000;

/// Each file starts at a multiple of this, so that a base is recognised in a debugger.
const ROUND_UP: usize = 10;

/// How many lines below a call an option is searched for, for the caret: a longer call is rare.
const SEARCH_LINES: usize = 12;

/// One file of the library with its range of line numbers.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// As shown to the user.
    pub shown: String,
    /// The text.
    pub text: Arc<str>,
    /// Empty lines before its first line.
    pub base: usize,
    lines: usize,
}

/// All files and their ranges. Cheap to clone.
#[derive(Clone, Debug, Default)]
pub struct LineTable {
    files: Vec<SourceFile>,
}

/// A position in a file.
#[derive(Clone, Copy, Debug)]
pub struct Located<'t> {
    /// Which file, as an index into the table.
    pub index: usize,
    /// The file.
    pub file: &'t SourceFile,
    /// Line from 1.
    pub line: usize,
    /// Column from 1; 0 when unknown.
    pub column: usize,
}

impl LineTable {
    /// Gives a file its range. Refuses when the lines of all files together are too many.
    pub fn add(&mut self, shown: &str, text: &str) -> Result<usize, Diagnostic> {
        let base = self.files.last().map_or(0, |last| (last.base + last.lines).next_multiple_of(ROUND_UP));
        let lines = text.lines().count().max(1);
        if base + lines > MOST_LINES {
            let message = format!("the scripts together have more than {MOST_LINES} lines");
            let diagnostic = Diagnostic::error("too-many-lines", message).at(Place::Path(shown.to_string()));
            return Err(diagnostic.help("move scripts that are not needed out of the script folders"));
        }
        self.files.push(SourceFile { shown: shown.to_string(), text: text.into(), base, lines });
        Ok(self.files.len() - 1)
    }

    /// The file of that index.
    pub fn file(&self, index: usize) -> Option<&SourceFile> {
        self.files.get(index)
    }

    /// Where a function of a file is declared.
    pub fn function(&self, shown: &str, name: &str) -> Origin {
        let declared = |file: &SourceFile| {
            file.text.lines().enumerate().find_map(|(index, line)| {
                let (before, rest) = line.split_once("fn ")?;
                let own = rest.trim_start().strip_prefix(name)?;
                let column = before.chars().count() + "fn ".len() + 1;
                (before.trim().is_empty() && own.trim_start().starts_with('('))
                    .then_some((file.base + index + 1, column))
            })
        };
        let (line, column) =
            self.files.iter().find(|file| file.shown == shown).and_then(declared).unwrap_or_default();
        let short = |number: usize| u16::try_from(number).unwrap_or(0);
        Origin { line: short(line), column: short(column) }
    }

    /// The text to compile: empty lines, then the file.
    pub fn padded(&self, index: usize) -> String {
        let file = &self.files[index];
        let mut padded = String::with_capacity(file.base + file.text.len());
        padded.extend(std::iter::repeat_n('\n', file.base));
        padded.push_str(&file.text);
        padded
    }

    /// File, line and column of an origin.
    pub fn locate(&self, origin: Origin) -> Option<Located<'_>> {
        let line = usize::from(origin.line);
        let index = self.files.partition_point(|file| file.base < line).checked_sub(1)?;
        let file = &self.files[index];
        // One line past the end is where a parser finds that something is missing.
        let within = line - file.base;
        (within <= file.lines + 1).then_some(Located {
            index,
            file,
            line: within,
            column: origin.column.into(),
        })
    }

    /// The place of an origin with its line and the word to underline. A word that the message quotes in back-ticks
    /// and that stands on the line, or for an option on the lines of the call, is preferred.
    pub fn place(&self, origin: Origin, message: &str, code: &str) -> Option<Place> {
        let at = self.locate(origin)?;
        let quoted =
            quoted(message).and_then(|word| at.file.find(word, at.line, at.column, Sought::by(code)));
        let (line, column, width) = quoted.unwrap_or_else(|| at.file.word_at(at.line, at.column));
        let text = at.file.line(line).to_string();
        Some(Place::Source { file: at.file.shown.clone(), line, column, width, text })
    }

    /// Turns every script position of a diagnostic into a place in a file.
    #[must_use]
    pub fn settle(&self, mut diagnostic: Diagnostic) -> Diagnostic {
        let (message, code) = (diagnostic.message.clone(), diagnostic.code);
        if let Some(Place::Script(origin)) = diagnostic.place {
            diagnostic.place = self.place(origin, &message, code).or(diagnostic.place);
        }
        for (place, _) in &mut diagnostic.trace {
            if let Place::Script(origin) = *place {
                *place = self.place(origin, "", "").unwrap_or(Place::Script(origin));
            }
        }
        diagnostic
    }
}

/// What the word in back-ticks of a message is, and so where on the lines it is looked for.
#[derive(Clone, Copy)]
enum Sought {
    /// Any word, nearest behind the position.
    Word,
    /// A name: one in quotes goes before a function of the same name.
    Name,
    /// An option: where a colon follows it, on this line or the next ones of the call.
    Option,
}

impl Sought {
    fn by(code: &str) -> Sought {
        match code {
            _ if code.ends_with("-option") => Sought::Option,
            _ if code.starts_with("unknown-") || code == "wrong-arguments" => Sought::Word,
            _ => Sought::Name,
        }
    }
}

impl SourceFile {
    /// A line's text; empty past the end.
    pub fn line(&self, line: usize) -> &str {
        self.text.lines().nth(line.saturating_sub(1)).unwrap_or("")
    }

    /// Line, column and width of the word that a message quotes.
    fn find(&self, word: &str, line: usize, column: usize, sought: Sought) -> Option<(usize, usize, usize)> {
        let width = word.chars().count();
        let found = |line: usize, column: usize| (line, column, width);
        let on_line = words(self.line(line), word);
        let near = on_line.iter().copied().find(|c| *c >= column).or_else(|| on_line.last().copied());
        let near = near.map(|column| found(line, column));
        match sought {
            Sought::Word => near,
            Sought::Name => {
                let is_quoted = |c: &usize| self.line(line).chars().nth(c.wrapping_sub(2)) == Some('"');
                on_line.into_iter().find(is_quoted).map(|column| found(line, column)).or(near)
            }
            Sought::Option => (line..=line + SEARCH_LINES).find_map(|line| self.option(word, line)).or(near),
        }
    }

    /// The word where a colon follows it, as in a map.
    fn option(&self, word: &str, line: usize) -> Option<(usize, usize, usize)> {
        let (text, width) = (self.line(line), word.chars().count());
        let is_option =
            |c: &usize| text.chars().skip(c - 1 + width).find(|c| !c.is_whitespace()) == Some(':');
        words(text, word).into_iter().find(is_option).map(|column| (line, column, width))
    }

    /// The word, number or text at a column, or the one character.
    fn word_at(&self, line: usize, column: usize) -> (usize, usize, usize) {
        let rest: Vec<char> = self.line(line).chars().skip(column.max(1) - 1).collect();
        let width = match rest.first() {
            Some(c) if is_word(*c) => rest.iter().take_while(|c| is_word(**c)).count(),
            Some(quote @ ('"' | '`')) => {
                rest.iter().skip(1).position(|c| c == quote).map_or(1, |closing| closing + 2)
            }
            _ => 1,
        };
        (line, column.max(1), width)
    }
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// The first word between back-ticks.
fn quoted(message: &str) -> Option<&str> {
    message.split('`').nth(1).filter(|word| !word.is_empty())
}

/// Columns from 1 at which `word` stands alone in `line`.
fn words(line: &str, word: &str) -> Vec<usize> {
    let stands_alone = |byte: usize| {
        let before = line[..byte].chars().next_back();
        let after = line[byte + word.len()..].chars().next();
        !before.is_some_and(is_word) && !after.is_some_and(is_word)
    };
    line.match_indices(word)
        .filter(|(byte, _)| stands_alone(*byte))
        .map(|(byte, _)| line[..byte].chars().count() + 1)
        .collect()
}
