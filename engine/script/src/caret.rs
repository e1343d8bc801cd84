//! Diagnostics as text, with the script line and a caret under the word.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin as Named, Renderer, Snippet};
use slatwork_base::{Diagnostic, Place, Severity};

/// How the text is dressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dress {
    /// Plain ASCII: for files, pipes and tests.
    Plain,
    /// With terminal colours; the words say the same without them.
    Coloured,
}

/// One diagnostic as text, ending without a line break.
pub fn render(diagnostic: &Diagnostic, dress: Dress) -> String {
    let renderer = match dress {
        Dress::Plain => Renderer::plain(),
        Dress::Coloured => Renderer::styled(),
    };
    let text = renderer.decor_style(DecorStyle::Ascii).render(&[group(diagnostic)]);
    // The renderer leaves blanks at the end of some lines, which no editor likes to keep in a snapshot.
    text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

/// Several diagnostics, an empty line between each two.
pub fn report(diagnostics: &[Diagnostic], dress: Dress) -> String {
    let texts: Vec<String> = diagnostics.iter().map(|diagnostic| render(diagnostic, dress)).collect();
    texts.join("\n\n")
}

fn level(severity: Severity) -> Level<'static> {
    match severity {
        Severity::Note => Level::NOTE,
        Severity::Warning => Level::WARNING,
        Severity::Failure => Level::ERROR.with_name(Severity::Failure.word()),
        Severity::Error => Level::ERROR,
    }
}

fn group(diagnostic: &Diagnostic) -> Group<'_> {
    let title = level(diagnostic.severity).primary_title(diagnostic.message.as_str()).id(diagnostic.code);
    let mut group = Group::with_title(title);
    if let Some(place) = &diagnostic.place {
        group = at(group, place, AnnotationKind::Primary, None);
    }
    for (place, remark) in &diagnostic.trace {
        group = at(group, place, AnnotationKind::Context, Some(remark));
    }
    for help in &diagnostic.help {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    group
}

/// Adds a place: the source line if there is one, else its name.
fn at<'d>(group: Group<'d>, place: &'d Place, kind: AnnotationKind, remark: Option<&'d str>) -> Group<'d> {
    match place {
        Place::Source { file, line, column, width, text } => {
            let span = bytes(text, *column, *width);
            let snippet = Snippet::source(text.as_str()).line_start(*line).path(file.as_str());
            let annotation: Annotation<'d> = kind.span(span);
            group.element(snippet.annotation(match remark {
                Some(remark) => annotation.label(remark),
                None => annotation,
            }))
        }
        other => {
            let name = remark.map_or(other.to_string(), |remark| format!("{other} ({remark})"));
            group.element(Named::path(name))
        }
    }
}

/// The byte range of `width` characters from a column; at least one position, so that a caret shows at a line's end.
fn bytes(text: &str, column: usize, width: usize) -> core::ops::Range<usize> {
    let byte = |chars: usize| text.char_indices().nth(chars).map_or(text.len(), |(byte, _)| byte);
    let first = column.saturating_sub(1);
    byte(first)..byte(first + width)
}
