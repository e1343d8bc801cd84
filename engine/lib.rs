//! slatwork as a library: what another program needs to build furniture families from scripts.
//!
//! A [`Request`] names a family and its parameters; [`build`] gives a [`Dossier`] with the finished [`Model`], its
//! [`ShopPlan`] and the papers. Nothing touches a disk unless [`Disk`] is handed in; [`Memory`] is a world of texts.
//!
//! ```
//! use slatwork::{Kind, Memory, Request, build};
//!
//! // Scripts of your own, beside those that come with the program.
//! let script = r#"
//! //! A board with round-overs: the least a family can be.
//! fn describe(f) {
//!     f.title = "Shelf";
//!     f.length("width", 30.inch).between(12.inch, 60.inch).doc("From end to end");
//! }
//! fn build(job, p) {
//!     let g = job.group("shelf");
//!     g.board("board", #{ stock: "1x6", length: p.width }).lie("right", "up");
//! }
//! "#;
//! let world = Memory::of([("families/shelf.rhai", script)]);
//! let mut request = Request::new("shelf").set("width", "3ft");
//! request.only = vec![Kind::CutList];
//!
//! // Scripts want a deep stack: `with_stack` gives them one.
//! let outcome = slatwork::with_stack(|| build(&world, &request)).unwrap();
//! let dossier = outcome.value.expect("it can be built");
//! assert_eq!(dossier.model.parts[0].length, slatwork::Length::inch(36.0));
//! assert!(dossier.documents[0].text().unwrap().starts_with("Shelf: cut list"));
//! ```
//!
//! The rooms behind this door are crates of their own, re-exported whole as [`base`], [`solid`], [`catalog`], [`model`],
//! [`checks`], [`shop`], [`script`], [`output`] and [`project`] for whoever needs more.
//!
//! Without default features the program and its command line are left out; the library is then all there is.

pub use slatwork_base as base;
pub use slatwork_catalog as catalog;
pub use slatwork_checks as checks;
pub use slatwork_model as model;
pub use slatwork_output as output;
pub use slatwork_project as project;
pub use slatwork_script as script;
pub use slatwork_shop as shop;
pub use slatwork_solid as solid;

pub use slatwork_base::{Angle, Area, Diagnostic, Length, Outcome, Place, Severity, Tape};
pub use slatwork_catalog::Catalogue;
pub use slatwork_model::{Model, Part, People, Site};
pub use slatwork_project::{
    Batch, BookPage, Disk, Document, Dossier, Figures, Kind, Made, Memory, PrintSettings, Request, RowFormat,
    Tally, Units, Workshop, World, batch, build, fails, with_stack, write,
};
pub use slatwork_shop::ShopPlan;
