//! The typesetter: the template, the sources and the letters go in, pages come out. It sees no disk, no clock and no net.

use super::letters::{BOLD, REGULAR};
use slatwork_base::{Diagnostic, Outcome};
use std::collections::BTreeMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Feature, Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// Where the template stands among the files.
const TEMPLATE: &str = "/book.typ";
/// The family of the letters in formulas, of the typesetter's own.
const OF_FORMULAS: &str = "New Computer Modern Math";

/// Files in memory, and nothing else.
pub(super) struct Files {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    template: Source,
    others: BTreeMap<String, Bytes>,
}

impl Files {
    /// A template with what it reads, by paths that begin with `/`.
    pub(super) fn of(template: &str, others: Vec<(String, Vec<u8>)>) -> Result<Files, Diagnostic> {
        let path = VirtualPath::new(TEMPLATE).map_err(|error| not_set(&format!("{TEMPLATE}: {error:?}")))?;
        let id = RootedPath::new(VirtualRoot::Project, path).intern();
        Ok(Files {
            library: LazyHash::new(
                Library::builder().with_features([Feature::A11yExtras].into_iter().collect()).build(),
            ),
            book: LazyHash::new(FontBook::from_fonts(FONTS.iter())),
            template: Source::new(id, template.to_string()),
            others: others.into_iter().map(|(path, bytes)| (path, Bytes::new(bytes))).collect(),
        })
    }

    /// Sets the pages.
    pub(super) fn set(&self) -> Outcome<PagedDocument> {
        let set = typst::compile::<PagedDocument>(self);
        // What it keeps to set the same again would grow from book to book.
        typst::comemo::evict(0);
        match set.output {
            Ok(pages) => Outcome::fine(pages),
            Err(faults) => Outcome::failed(fault(&faults)),
        }
    }
}

/// Pages as PDF/UA-1; `ident` names what they show, the same for the same and another for any other.
pub(super) fn written(pages: &PagedDocument, ident: String) -> Outcome<Vec<u8>> {
    let standards = match PdfStandards::new(&[PdfStandard::Ua_1]) {
        Ok(standards) => standards,
        Err(error) => return Outcome::failed(not_set(error.message())),
    };
    let options = PdfOptions {
        ident: Smart::Custom(ident),
        creator: Smart::Custom(Some(String::from("slatwork"))),
        standards,
        ..PdfOptions::default()
    };
    match typst_pdf::pdf(pages, &options) {
        Ok(bytes) => Outcome::fine(bytes),
        Err(faults) => Outcome::failed(fault(&faults)),
    }
}

/// The letters of words, and of what the typesetter brings those of formulas; read once.
static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    let own = [REGULAR, BOLD].into_iter().flat_map(|bytes| Font::iter(Bytes::new(bytes)));
    let theirs = typst_assets::fonts().flat_map(|bytes| Font::iter(Bytes::new(bytes)));
    own.chain(theirs.filter(|font| font.info().family == OF_FORMULAS)).collect()
});

fn fault(faults: &[SourceDiagnostic]) -> Diagnostic {
    let told: Vec<&str> = faults.iter().map(|own| own.message.as_str()).collect();
    not_set(&told.join("; "))
}

/// The template is the program's own: that it cannot be set is no fault of a script.
fn not_set(why: &str) -> Diagnostic {
    Diagnostic::error("book-not-set", format!("the book cannot be set as PDF: {why}"))
        .help("book.html holds the same; this is a fault of the program, please report it with the script")
}

impl World for Files {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() { Ok(self.template.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.others.get(id.get().vpath().get_with_slash()).cloned().ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
