//! The typesetter: the template, the sources and the letters go in, pages come out. It sees no disk, no clock and no net.

use super::drawn::Drawn;
use super::letters::{BOLD, REGULAR};
use slatwork_base::{Diagnostic, Outcome};
use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::LazyLock;
use typst::diag::{EcoString, FileError, FileResult, SourceDiagnostic};
use typst::foundations::{
    Array, Bytes, Content, Datetime, Dict, Duration, Dynamic, IntoValue, NativeElement, NativeType,
    NativeTypeData, Packed, Repr, Scope, Smart, Value,
};
use typst::introspection::MetadataElem;
use typst::layout::{Abs, BlockElem, Frame, FrameItem, GroupItem, Point, Ratio, Transform};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook, FontInstance, FontVariations};
use typst::utils::{DefSite, LazyHash, hash128};
use typst::visualize::Curve;
use typst::{Feature, Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// Where the template stands among the files.
const TEMPLATE: &str = "/book.typ";
/// Where all that it says stands.
pub(super) const DATA: &str = "/data.json";
/// The family of the letters in formulas, of the typesetter's own.
const OF_FORMULAS: &str = "New Computer Modern Math";

/// Files in memory, and nothing else.
pub(super) struct Files {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    template: Source,
    data: Bytes,
}

impl Files {
    /// A template with what it says and the drawings, which it finds as `sys.inputs.drawings`.
    pub(super) fn of(template: &str, data: Vec<u8>, drawings: Vec<Drawn>) -> Result<Files, Diagnostic> {
        let path = VirtualPath::new(TEMPLATE).map_err(|error| not_set(&format!("{TEMPLATE}: {error:?}")))?;
        let id = RootedPath::new(VirtualRoot::Project, path).intern();
        let drawings: Array = drawings
            .into_iter()
            .map(|own| {
                let [lines, words] = [own.lines, own.words].map(|frame| Set(frame).placed().into_value());
                Dict::from_iter([("lines".into(), lines), ("words".into(), words)]).into_value()
            })
            .collect();
        let inputs = Dict::from_iter([("drawings".into(), drawings.into_value())]);
        let library = Library::builder()
            .with_features([Feature::A11yExtras].into_iter().collect())
            .with_inputs(inputs)
            .build();
        Ok(Files {
            library: LazyHash::new(library),
            book: LazyHash::new(FontBook::from_fonts(FONTS.iter())),
            template: Source::new(id, template.to_string()),
            data: Bytes::new(data),
        })
    }

    /// Sets the pages.
    pub(super) fn set(&self) -> Outcome<PagedDocument> {
        match typst::compile::<PagedDocument>(self).output {
            Ok(pages) => Outcome::fine(pages),
            Err(faults) => Outcome::failed(fault(&faults)),
        }
    }
}

/// Part of a page as a value that the template can pass on.
#[derive(Clone)]
struct Set(Frame);

impl Set {
    /// Something to set that is as large as the box which it is put into.
    fn placed(self) -> Content {
        let own = MetadataElem::new(Value::Dyn(Dynamic::new(self)));
        BlockElem::single_layouter(Packed::new(own), |own, _, _, _, region| {
            let mut placed = Frame::soft(region.size);
            if let Value::Dyn(own) = &own.value
                && let Some(Set(frame)) = own.downcast::<Set>()
            {
                let share = |room: Abs, own: Abs| Ratio::new(room / own);
                let mut group = GroupItem::new(frame.clone());
                group.transform = Transform::scale(
                    share(region.size.x, frame.width()),
                    share(region.size.y, frame.height()),
                );
                group.clip = Some(Curve::rect(frame.size()));
                placed.push(Point::zero(), FrameItem::Group(group));
            }
            Ok(placed)
        })
        .pack()
    }
}

impl Hash for Set {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.0.hash(state);
    }
}

impl PartialEq for Set {
    fn eq(&self, other: &Set) -> bool {
        hash128(self) == hash128(other)
    }
}

impl fmt::Debug for Set {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(Self::NAME)
    }
}

impl Repr for Set {
    fn repr(&self) -> EcoString {
        Self::NAME.into()
    }
}

impl NativeType for Set {
    const NAME: &'static str = "set";

    fn data() -> &'static NativeTypeData {
        static DATA: NativeTypeData = NativeTypeData {
            name: Set::NAME,
            long_name: Set::NAME,
            title: "Set",
            docs: "Part of a page.",
            def_site: DefSite { path: file!(), key: Set::NAME },
            keywords: &[],
            constructor: LazyLock::new(|| None),
            scope: LazyLock::new(Scope::new),
        };
        &DATA
    }
}

/// The letters of lettering, by whether it is heavy.
pub(super) fn letters(is_bold: bool) -> &'static FontInstance {
    static LETTERS: LazyLock<[FontInstance; 2]> = LazyLock::new(|| {
        [0, 1].map(|index: usize| {
            let font = FONTS[index].clone();
            let variant = font.info().variant;
            font.instantiate(variant, Abs::pt(10.0), &FontVariations::default())
        })
    });
    &LETTERS[usize::from(is_bold)]
}

/// Lets go of what is kept to set the same again, which would grow from book to book.
pub(super) fn forget() {
    typst::comemo::evict(0);
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
        let path = id.get().vpath().get_with_slash();
        if path == DATA {
            Ok(self.data.clone())
        } else if path.ends_with(".svg") {
            // Drawings are set as they are; their files are only named.
            Ok(Bytes::new([]))
        } else {
            Err(FileError::AccessDenied)
        }
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
