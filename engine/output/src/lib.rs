//! Room output: drawings, models and tables, and the formats they are written in.
//!
//! Everything is first a neutral thing: a [`Sheet`] of paper, a [`Scene`] in three dimensions, a [`Table`], a [`Book`]. A
//! format knows only that, so that a new drawing comes out in all formats at once, and a new format needs one file.
//! All writers are pure: they give bytes and never touch a disk; the same input gives the same bytes on any machine.
//!
//! This room must not know scripts, checks, money or where files lie.
//!
//! | file | what |
//! |---|---|
//! | `sheet.rs` | [`Sheet`]: lines, arcs, lettering, dimensions on paper; [`Paper`], [`Scale`] |
//! | `dimension.rs` | lengths, angles, leaders and balloons, and how they come apart into lines |
//! | `lettering.rs` | how wide lettering comes out; fractions |
//! | `drawing/` | views of solids with hidden lines removed, arrangements, part sheets, outlines |
//! | `scene.rs` | [`Scene`]: meshes and where they stand |
//! | `book.rs` | [`Book`]: chapters of words, tables, drawings, formulas |
//! | `table.rs` | [`Table`]: columns with kind and unit, rows |
//! | `template/` | parts at full size: patterns, and how they are spread over sheets of paper |
//! | `svg.rs` `dxf.rs` | a sheet as SVG, as DXF |
//! | `pdf.rs` | sheets as PDF, at their true size |
//! | `gltf.rs` | a scene as binary glTF |
//! | `step.rs` `stl.rs` | solids as STEP, a mesh as STL |
//! | `csv.rs` `json.rs` `text.rs` | a table as CSV, as JSON, as plain text |
//! | `html.rs`, `html/` | a book as one HTML file that stands by itself; its script and style are in `web/` |
//! | `book_pdf.rs`, `book_pdf/` | a book as tagged PDF, with the feature `book-pdf`; its template is in `typst/`, its letters in `fonts/` |
//! | `number.rs` | numbers as text |

pub mod book;
#[cfg(feature = "book-pdf")]
pub mod book_pdf;
pub mod csv;
pub mod dimension;
pub mod drawing;
pub mod dxf;
pub mod gltf;
pub mod html;
pub mod json;
pub mod lettering;
mod number;
pub mod pdf;
pub mod scene;
pub mod sheet;
pub mod step;
pub mod stl;
pub mod svg;
pub mod table;
pub mod template;
pub mod text;

pub use book::Book;
pub use dimension::{Angular, Axis, Dimension, Leader};
pub use scene::{Scene, SceneMaterial, SceneMesh, SceneNode, SolidNode, SolidScene, Tint};
pub use sheet::{Anchor, Corner, Figure, Item, LineClass, Paper, Scale, Sheet, Text};
pub use table::{Cell, Column, Kind, Table};

use slatwork_base::Outcome;

/// What a format can hold, and what writes it.
#[derive(Clone, Copy, Debug)]
pub enum Writer {
    /// A drawing; the text names it inside the file (ids in SVG).
    Sheet(fn(&Sheet, &str) -> Outcome<Vec<u8>>),
    /// Drawings, a page each; the text is the title of the whole.
    Sheets(fn(&[Sheet], &str) -> Outcome<Vec<u8>>),
    /// A model.
    Scene(fn(&Scene) -> Outcome<Vec<u8>>),
    /// A model by true surfaces.
    Solids(fn(&SolidScene) -> Outcome<Vec<u8>>),
    /// A surface of triangles.
    Mesh(fn(&SceneMesh) -> Outcome<Vec<u8>>),
    /// A book.
    Book(fn(&Book) -> Outcome<Vec<u8>>),
    /// A table.
    Table(fn(&Table) -> Outcome<Vec<u8>>),
}

/// A file format.
#[derive(Clone, Copy, Debug)]
pub struct Format {
    /// What a user calls it.
    pub name: &'static str,
    /// Ending of file names, without the point.
    pub extension: &'static str,
    /// Media type, as registered with IANA.
    pub media_type: &'static str,
    /// What it is good for.
    pub about: &'static str,
    /// What it holds and what writes it.
    pub writer: Writer,
}

/// Every format, in the order users see.
pub const FORMATS: &[Format] = &[
    Format {
        name: "svg",
        extension: "svg",
        media_type: "image/svg+xml",
        about: "drawings for screen and paper, at their true size",
        writer: Writer::Sheet(svg::write),
    },
    Format {
        name: "dxf",
        extension: "dxf",
        media_type: "image/vnd.dxf",
        about: "outlines for machines and drawing programs, in millimetres",
        writer: Writer::Sheet(|sheet, _| dxf::write(sheet)),
    },
    Format {
        name: "pdf",
        extension: "pdf",
        media_type: "application/pdf",
        about: "sheets for a printer, at their true size",
        writer: Writer::Sheets(pdf::write),
    },
    Format {
        name: "gltf",
        extension: "glb",
        media_type: "model/gltf-binary",
        about: "the whole piece in three dimensions",
        writer: Writer::Scene(gltf::write),
    },
    Format {
        name: "step",
        extension: "step",
        media_type: "model/step",
        about: "every part as a solid of true surfaces, for other drawing programs",
        writer: Writer::Solids(step::write),
    },
    Format {
        name: "stl",
        extension: "stl",
        media_type: "model/stl",
        about: "one part as triangles, for machines and printers",
        writer: Writer::Mesh(stl::write),
    },
    Format {
        name: "html",
        extension: "html",
        media_type: "text/html; charset=utf-8",
        about: "a book in one file, to read and to print",
        writer: Writer::Book(html::write),
    },
    #[cfg(feature = "book-pdf")]
    Format {
        name: "book-pdf",
        extension: "pdf",
        media_type: "application/pdf",
        about: "a book in pages to print, tagged for readers of screens",
        writer: Writer::Book(book_pdf::write),
    },
    Format {
        name: "csv",
        extension: "csv",
        media_type: "text/csv",
        about: "tables for a spreadsheet",
        writer: Writer::Table(csv::write),
    },
    Format {
        name: "json",
        extension: "json",
        media_type: "application/json",
        about: "tables for a program",
        writer: Writer::Table(json::write),
    },
    Format {
        name: "text",
        extension: "txt",
        media_type: "text/plain; charset=utf-8",
        about: "tables for a person",
        writer: Writer::Table(text::write),
    },
];

/// The format that a user calls `name`.
pub fn format(name: &str) -> Option<&'static Format> {
    FORMATS.iter().find(|format| format.name == name)
}
