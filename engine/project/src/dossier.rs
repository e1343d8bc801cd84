//! Everything that comes of a request: the piece, its shop plan, and the papers.

use crate::documents::{Paper, Sheets, contents};
use crate::{Judged, Kind, Made, Request, Workshop, World};
use core::fmt::{self, Write};
use rayon::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};
use slatwork_base::{Diagnostic, Outcome, Severity};
use slatwork_checks::{Case, Handed, failures, failures_among, handed_over};
use slatwork_model::Model;
use slatwork_output::template::Printing;
use slatwork_script::Parameters;
use slatwork_shop::{Assembly, ShopPlan, assembly};
use std::sync::{Arc, LazyLock};

/// One paper as a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Document {
    /// What kind of paper it belongs to.
    pub kind: Kind,
    /// Path below the folder it is written to: `cutlist.txt`, `drawings/A_seat_slat.svg`.
    pub path: String,
    /// Contents.
    pub bytes: Vec<u8>,
}

impl Document {
    /// The contents as text, when the file is one.
    pub fn text(&self) -> Option<&str> {
        core::str::from_utf8(&self.bytes).ok()
    }
}

/// What came of a request.
#[derive(Clone, Debug)]
pub struct Dossier {
    /// Id of the family.
    pub family: String,
    /// Values of the parameters.
    pub values: Parameters,
    /// The finished piece.
    pub model: Arc<Model>,
    /// What it comes to in the shop.
    pub plan: Arc<ShopPlan>,
    /// The papers, in the order of [`Kind::ALL`].
    pub documents: Vec<Document>,
}

impl Dossier {
    /// The same for the same piece and another for any other: of family, values, parts and what fastens them (FNV-1a, 64 bits).
    pub(crate) fn design(&self) -> String {
        let mut mixed = Fingerprint(0xcbf2_9ce4_8422_2325);
        // Writing into it cannot fail.
        _ = self.told(&mut mixed);
        format!("{} {:016x}", self.family, mixed.0)
    }

    /// Everything that makes the piece what it is, in words.
    fn told(&self, out: &mut impl Write) -> fmt::Result {
        out.write_str(&self.family)?;
        for (name, value) in self.values.iter() {
            write!(out, "{name}={value}")?;
        }
        for part in &self.model.parts {
            let place = part.pose.to_cols_array().map(f64::to_bits);
            let sizes = [part.length, part.width, part.thickness].map(|length| length.as_nm());
            let (section, species, features) = (&part.section, &part.species, &part.features);
            write!(out, "{} {section} {species} {sizes:?} {features:?} {place:?}", part.name)?;
        }
        for joint in &self.model.joints {
            write!(out, "{} {:?}", joint.kind, joint.fastenings)?;
        }
        Ok(())
    }
}

/// FNV-1a of what is written into it, of which nothing is kept.
struct Fingerprint(u64);

impl Write for Fingerprint {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        let mixed = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        self.0 = text.bytes().fold(self.0, mixed);
        Ok(())
    }
}

/// Makes a design and its papers. Without a value when it cannot be built; what fails a check is among the diagnostics
/// with [`Severity::Failure`], and on the first lines of the papers. Without `only` these are all but the PDF book.
pub fn build(world: &dyn World, request: &Request) -> Outcome<Dossier> {
    if let Some(lacking) = request.only.iter().find_map(|kind| kind.built_in().err()) {
        return Outcome::failed(lacking);
    }
    let printing = match request.print.read(request.units) {
        Ok(printing) => printing,
        Err(diagnostics) => return Outcome { value: None, diagnostics },
    };
    Workshop::open(world, request).then(|workshop| {
        let mut made = workshop.make(&[]);
        let Some(value) = made.value.take() else {
            return Outcome { value: None, diagnostics: made.diagnostics };
        };
        let printing = &printing;
        on_threads(|| drawn_up(&workshop, value, made.diagnostics, request, printing))
    })
}

/// Threads of the program, started when first asked for; where there are none to be had, all is done on the one that asks.
static THREADS: LazyLock<Option<ThreadPool>> =
    LazyLock::new(|| ThreadPoolBuilder::new().stack_size(crate::STACK_BYTES).build().ok());

/// Works on threads that have room for what a thread of a script has.
fn on_threads<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    // On such threads already where many are made.
    if rayon::current_thread_index().is_some() {
        return work();
    }
    match &*THREADS {
        Some(threads) => threads.install(work),
        None => work(),
    }
}

/// Plans the assembly of a piece, judges it, draws it and writes its papers.
fn drawn_up(
    workshop: &Workshop,
    value: Made,
    mut diagnostics: Vec<Diagnostic>,
    request: &Request,
    printing: &Printing,
) -> Outcome<Dossier> {
    // The order of assembly is not part of making a variant: rows of a batch go without.
    let is_wanted = |kind| is_wanted(&request.only, kind);
    let blank = Paper {
        assembly: &Assembly::default(),
        family: workshop.family(),
        library: workshop.library(),
        values: &value.values,
        model: &value.model,
        plan: &value.plan,
        catalogue: workshop.catalogue(),
        units: request.units,
        findings: &[],
        handed: None,
        judged: None,
        sheets: &Sheets::default(),
        page: request.page(),
        printing,
    };
    let ((assembly, sheets), looked) = rayon::join(
        || {
            let assembly = assembly(&value.model, workshop.catalogue(), value.plan.reading);
            let sheets = Sheets::of(&Paper { assembly: &assembly, ..blank }, is_wanted);
            (assembly, sheets)
        },
        || looked_at(workshop, &value.model, request, is_wanted(Kind::Book) || is_wanted(Kind::BookPdf)),
    );
    let Looked { failed, handed, judged } = looked;
    let found = assembly.findings.iter().cloned().chain(failed);
    diagnostics.extend(found.map(|found| workshop.library().settle(found)));
    let paper = Paper {
        assembly: &assembly,
        findings: &diagnostics,
        handed: handed.as_ref(),
        judged: judged.as_ref(),
        sheets: &sheets,
        ..blank
    };
    let mut papers = documents(&paper, &request.only);
    papers.diagnostics.splice(0..0, diagnostics);
    let family = workshop.family().to_string();
    papers.map(|documents| Dossier {
        family,
        values: value.values,
        model: value.model,
        plan: value.plan,
        documents,
    })
}

/// Whether a paper is to be made: what is asked for, or else all that are made as a rule.
fn is_wanted(only: &[Kind], kind: Kind) -> bool {
    if only.is_empty() { kind.is_usual() } else { only.contains(&kind) }
}

/// What the checks tell the papers.
struct Looked {
    /// What fails.
    failed: Vec<Diagnostic>,
    /// Of what hangs what it hands to what it hangs from.
    handed: Option<Result<Handed, String>>,
    /// Every verdict and the rating, where a paper tells them.
    judged: Option<Judged>,
}

fn looked_at(workshop: &Workshop, model: &Arc<Model>, request: &Request, in_full: bool) -> Looked {
    let accepted = request.accepted.iter().copied();
    let case =
        Case::new(model, workshop.catalogue()).under(request.conditions).accepting(accepted).on_threads();
    let judged = in_full.then(|| Judged::of(workshop, &case, model));
    let failed = match &judged {
        Some(judged) => failures_among(&judged.verdicts, model),
        None => failures(&case),
    };
    Looked { failed, handed: model.hangs().then(|| handed_over(&case)), judged }
}

fn documents(paper: &Paper<'_>, only: &[Kind]) -> Outcome<Vec<Document>> {
    // Papers know nothing of each other; beside each other they are written in half the time, and stand in the order of kinds.
    let written: Vec<Outcome<Vec<Document>>> = Kind::ALL
        .into_par_iter()
        .filter(|kind| is_wanted(only, *kind))
        .map(|kind| {
            let document = |(path, bytes)| Document { kind, path, bytes };
            kind.write(paper).map(|files| files.into_iter().map(document).collect())
        })
        .collect();
    let mut outcome = Outcome::fine(Vec::new());
    for own in written {
        outcome = outcome.then(|mut all: Vec<Document>| {
            own.map(|documents| {
                all.extend(documents);
                all
            })
        });
    }
    let asked = is_wanted(only, Kind::Contents);
    outcome.map(|mut all: Vec<Document>| {
        let files = if asked { contents::of(paper, &all) } else { Vec::new() };
        all.extend(files.into_iter().map(|(path, bytes)| Document { kind: Kind::Contents, path, bytes }));
        all
    })
}

/// Whether any of these fails a check.
pub fn fails(diagnostics: &[Diagnostic]) -> bool {
    diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Failure)
}
