//! Troubles as data: severity, code in words, message, place, trace and help.

use core::fmt;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing; nothing is wrong.
    Note,
    /// Can be built, but a builder would want to look.
    Warning,
    /// A check fails; documents are still made and say so on their first page.
    Failure,
    /// Cannot be built.
    Error,
}

impl Severity {
    /// The word printed before a message.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Failure => "fails",
            Severity::Error => "error",
        }
    }
}

/// A position in the scripts of one run: the line counted over all files (the host gives each file its own
/// range of line numbers and alone can turn this back into a file name), and the column.
///
/// `Origin::NOWHERE` stands for things no script line made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Origin {
    /// Line over all files, from 1; 0 is nowhere.
    pub line: u16,
    /// Column in characters, from 1; 0 when unknown.
    pub column: u16,
}

impl Origin {
    /// No script line.
    pub const NOWHERE: Origin = Origin { line: 0, column: 0 };

    /// Whether this names a script line.
    pub fn is_known(self) -> bool {
        self.line != 0
    }
}

/// Where a trouble is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// A script position that the script host has yet to turn into file, line and source text.
    Script(Origin),
    /// A place in a text file, shown with its line.
    Source {
        /// File name as the user knows it.
        file: String,
        /// Line from 1.
        line: usize,
        /// Column from 1, in characters.
        column: usize,
        /// How many characters to underline, at least 1.
        width: usize,
        /// The whole line, for display.
        text: String,
    },
    /// A part by the script's own name.
    Part(String),
    /// A catalogue entry, a parameter, a command-line option: anything with a name.
    Named(String),
    /// A file or folder.
    Path(String),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Script(origin) => write!(f, "script line {}, column {}", origin.line, origin.column),
            Place::Source { file, line, column, .. } => write!(f, "{file}:{line}:{column}"),
            Place::Part(name) | Place::Named(name) | Place::Path(name) => f.write_str(name),
        }
    }
}

/// One trouble, named by its fault in words (`no-room-between`), with the place, the value and the remedy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// How bad it is.
    pub severity: Severity,
    /// Stable name of the fault, in lower-case words joined by hyphens.
    pub code: &'static str,
    /// What is wrong, with the value.
    pub message: String,
    /// Where; `None` when it concerns the whole.
    pub place: Option<Place>,
    /// Further places with a remark each: "called from here", "first fixed here".
    pub trace: Vec<(Place, String)>,
    /// What to do about it.
    pub help: Vec<String>,
}

impl Diagnostic {
    /// A trouble of the given severity.
    pub fn new(severity: Severity, code: &'static str, message: impl Into<String>) -> Self {
        Diagnostic {
            severity,
            code,
            message: message.into(),
            place: None,
            trace: Vec::new(),
            help: Vec::new(),
        }
    }

    /// Something that keeps the design from being built.
    pub fn error(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, code, message)
    }

    /// Something a builder would want to look at.
    pub fn warning(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, code, message)
    }

    /// Something worth knowing.
    pub fn note(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Severity::Note, code, message)
    }

    /// Says where, keeping an earlier place as part of the trace.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        if let Some(earlier) = self.place.replace(place) {
            self.trace.insert(0, (earlier, String::from("here")));
        }
        self
    }

    /// Says where, if the origin is known and no place is set yet.
    #[must_use]
    pub fn at_origin(self, origin: Origin) -> Self {
        if origin.is_known() && self.place.is_none() { self.at(Place::Script(origin)) } else { self }
    }

    /// Adds another place with a remark.
    #[must_use]
    pub fn with_trace(mut self, place: Place, remark: impl Into<String>) -> Self {
        self.trace.push((place, remark.into()));
        self
    }

    /// Adds another script place with a remark, if it is known.
    #[must_use]
    pub fn with_origin(self, origin: Origin, remark: impl Into<String>) -> Self {
        if origin.is_known() { self.with_trace(Place::Script(origin), remark) } else { self }
    }

    /// Adds what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help.push(help.into());
        self
    }

    /// Whether the design cannot be built because of this.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}[{}]: {}", self.severity.word(), self.code, self.message)?;
        if let Some(place) = &self.place {
            write!(f, " ({place})")?;
        }
        for help in &self.help {
            write!(f, "; {help}")?;
        }
        Ok(())
    }
}

impl core::error::Error for Diagnostic {}

/// Of findings that one script line brings about and that find the same fault, the worst, with their number.
pub fn worst_of_each_line(found: impl IntoIterator<Item = Diagnostic>) -> Vec<Diagnostic> {
    let mut kept: Vec<(Diagnostic, usize)> = Vec::new();
    for finding in found {
        match kept.iter_mut().find(|(own, _)| own.code == finding.code && own.place == finding.place) {
            Some((own, count)) => {
                *count += 1;
                if finding.severity > own.severity {
                    *own = finding;
                }
            }
            None => kept.push((finding, 1)),
        }
    }
    let told = |(mut finding, count): (Diagnostic, usize)| {
        if count > 1 {
            finding.message += &format!(" (and {} more from this line)", count - 1);
        }
        finding
    };
    kept.into_iter().map(told).collect()
}

/// A value with the troubles met on the way to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome<T> {
    /// The value; absent only when an error kept it from being made.
    pub value: Option<T>,
    /// Troubles in the order they were met.
    pub diagnostics: Vec<Diagnostic>,
}

impl<T> Outcome<T> {
    /// A value without trouble.
    pub fn fine(value: T) -> Self {
        Outcome { value: Some(value), diagnostics: Vec::new() }
    }

    /// A value with troubles that did not keep it from being made.
    pub fn with(value: T, diagnostics: Vec<Diagnostic>) -> Self {
        Outcome { value: Some(value), diagnostics }
    }

    /// No value, because of this.
    pub fn failed(diagnostic: Diagnostic) -> Self {
        Outcome { value: None, diagnostics: vec![diagnostic] }
    }

    /// Carries the value on through `f`, keeping the troubles.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Outcome<U> {
        Outcome { value: self.value.map(f), diagnostics: self.diagnostics }
    }

    /// Carries the value on through a step that may itself meet troubles.
    pub fn then<U>(mut self, f: impl FnOnce(T) -> Outcome<U>) -> Outcome<U> {
        match self.value {
            None => Outcome { value: None, diagnostics: self.diagnostics },
            Some(value) => {
                let next = f(value);
                self.diagnostics.extend(next.diagnostics);
                Outcome { value: next.value, diagnostics: self.diagnostics }
            }
        }
    }

    /// The worst severity met, if any trouble was met.
    pub fn worst(&self) -> Option<Severity> {
        self.diagnostics.iter().map(|d| d.severity).max()
    }
}

impl<T> From<Result<T, Diagnostic>> for Outcome<T> {
    fn from(result: Result<T, Diagnostic>) -> Self {
        match result {
            Ok(value) => Outcome::fine(value),
            Err(diagnostic) => Outcome::failed(diagnostic),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(name: &str) -> Place {
        Place::Part(name.to_string())
    }

    #[test]
    fn a_trouble_reads_as_one_line() {
        let trouble = Diagnostic::error("no-room-between", "there are 0 mm between the rails")
            .at(place("seat slat"))
            .help("make the seat wider");
        let line =
            "error[no-room-between]: there are 0 mm between the rails (seat slat); make the seat wider";
        assert_eq!(trouble.to_string(), line);
        assert_eq!(Diagnostic::warning("thin", "thin").to_string(), "warning[thin]: thin");
        assert_eq!(Diagnostic::note("dry", "dry").to_string(), "note[dry]: dry");
        assert_eq!(Diagnostic::new(Severity::Failure, "bends", "bends").to_string(), "fails[bends]: bends");
    }

    #[test]
    fn every_place_says_where() {
        let source =
            Place::Source { file: "a.toml".into(), line: 3, column: 7, width: 2, text: "x = 12".into() };
        assert_eq!(source.to_string(), "a.toml:3:7");
        assert_eq!(Place::Script(Origin { line: 4, column: 2 }).to_string(), "script line 4, column 2");
        assert_eq!(Place::Path("out/".into()).to_string(), "out/");
        assert_eq!(Place::Named("2x4".into()).to_string(), "2x4");
    }

    #[test]
    fn a_nearer_place_keeps_the_earlier_one_in_the_trace() {
        let trouble = Diagnostic::error("gap", "gap").at(place("rail")).at(place("slat"));
        assert_eq!(trouble.place, Some(place("slat")));
        assert_eq!(trouble.trace, [(place("rail"), String::from("here"))]);
    }

    #[test]
    fn an_origin_is_taken_once_and_only_when_known() {
        let known = Origin { line: 9, column: 1 };
        let trouble = Diagnostic::error("gap", "gap").at_origin(Origin::NOWHERE);
        assert_eq!(trouble.place, None);
        let trouble = trouble.at_origin(known).at_origin(Origin { line: 12, column: 1 });
        assert_eq!(trouble.place, Some(Place::Script(known)));
        let trouble = trouble.with_origin(Origin::NOWHERE, "nowhere").with_origin(known, "first fixed here");
        assert_eq!(trouble.trace, [(Place::Script(known), String::from("first fixed here"))]);
    }

    #[test]
    fn troubles_travel_along_and_the_worst_is_known() {
        let start = Outcome::with(2, vec![Diagnostic::note("a", "a")]);
        let end = start.map(|n| n * 10).then(|n| Outcome::with(n + 1, vec![Diagnostic::warning("b", "b")]));
        assert_eq!(end.value, Some(21));
        assert_eq!(end.diagnostics.iter().map(|d| d.code).collect::<Vec<_>>(), ["a", "b"]);
        assert_eq!(end.worst(), Some(Severity::Warning));
        assert_eq!(Outcome::fine(1).worst(), None);
    }

    #[test]
    fn nothing_follows_a_failure() {
        let failed: Outcome<i32> = Err(Diagnostic::error("a", "a")).into();
        let end = failed.then(|n| Outcome::with(n, vec![Diagnostic::error("never", "never")]));
        assert_eq!(end.value, None);
        assert_eq!(end.diagnostics.len(), 1);
        assert!(end.diagnostics[0].is_error());
        assert_eq!(Outcome::from(Ok(3)), Outcome::fine(3));
    }

    #[test]
    fn severities_rise() {
        assert!(Severity::Note < Severity::Warning);
        assert!(Severity::Warning < Severity::Failure);
        assert!(Severity::Failure < Severity::Error);
    }
}
