//! `slatwork build`: one design with its papers.

use super::design::{Design, Surroundings, kinds};
use crate::Exit;
use crate::arguments::Common;
use crate::terminal::{Stopped, Terminal, number};
use clap::{Args, ValueEnum};
use serde_json::{Map, Value, json};
use slatwork_base::{Diagnostic, Place};
use slatwork_project::{
    BookPage, Dossier, Figures, Kind, PrintSettings, Request, Units, World, build, diagnostics_json,
    with_stack, write,
};

/// Make one design: its papers, drawings and model.
///
/// Without --out nothing is written: the papers that are text are printed.
#[derive(Debug, Args)]
pub struct Build {
    #[command(flatten)]
    design: Design,
    #[command(flatten)]
    surroundings: Surroundings,
    /// How many alike to make: boards are bought and cut for all of them, and the price is for all
    #[arg(long, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=200))]
    pieces: u16,
    /// Folder to write to; made as needed, and written as a whole or not at all
    #[arg(long, value_name = "DIR")]
    out: Option<String>,
    /// Only these papers; `slatwork list formats` names them
    #[arg(long, value_name = "KIND,...", value_delimiter = ',')]
    only: Vec<String>,
    /// The book as PDF too: tagged, with its pages numbered; needs a program built with `--features book-pdf`
    #[arg(long)]
    book_pdf: bool,
    /// What the book is printed on [default: letter, a4 with --units mm]
    #[arg(long, value_name = "PAGE")]
    book_page: Option<PageSize>,
    #[command(flatten)]
    print: Print,
}

/// How templates are printed.
#[derive(Debug, Args)]
struct Print {
    /// Paper of the templates: a4, letter, "18in x 24in", "roll 610mm" [default: letter, a4 with --units mm]
    #[arg(long, value_name = "PAPER")]
    template_paper: Option<String>,
    /// Margin that the printer leaves, at least 5mm [default: 12mm]
    #[arg(long, value_name = "LENGTH")]
    template_margin: Option<String>,
    /// How far sheets of a template lie over one another, at least 10mm [default: 15mm]
    #[arg(long, value_name = "LENGTH")]
    template_overlap: Option<String>,
    /// Stretch templates across and up the paper for a printer that errs: 1.004x0.998
    #[arg(long, value_name = "ACROSSxUP")]
    print_scale: Option<String>,
}

impl Print {
    fn settings(&self) -> PrintSettings {
        PrintSettings {
            paper: self.template_paper.clone(),
            margin: self.template_margin.clone(),
            overlap: self.template_overlap.clone(),
            scale: self.print_scale.clone(),
        }
    }
}

/// What a book is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum PageSize {
    /// 210 x 297 mm.
    A4,
    /// 8 1/2 x 11 in.
    Letter,
}

impl From<PageSize> for BookPage {
    fn from(size: PageSize) -> BookPage {
        match size {
            PageSize::A4 => BookPage::A4,
            PageSize::Letter => BookPage::Letter,
        }
    }
}

/// What is printed when nobody says otherwise.
const USUALLY_PRINTED: [Kind; 3] = [Kind::CutList, Kind::Bill, Kind::Purchase];

impl Build {
    pub(crate) fn run(&self, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
        let only = self.kinds(terminal)?;
        let request = self.surroundings.of(self.design.request(common, only))?;
        let (pieces, print) = (usize::from(self.pieces), self.print.settings());
        let book_page = self.book_page.map(BookPage::from);
        let (world, request) = (common.world(), Request { pieces, print, book_page, ..request });
        let outcome = with_stack(|| build(&world, &request)).map_err(|trouble| vec![trouble])?;
        let Some(dossier) = outcome.value else { return Err(outcome.diagnostics) };
        let exit = Exit::of(&outcome.diagnostics);
        match &self.out {
            Some(folder) => {
                self.to_folder(&world, folder, &dossier, &outcome.diagnostics, common, terminal)?
            }
            None => to_terminal(&dossier, &outcome.diagnostics, terminal)?,
        }
        terminal.tell(&outcome.diagnostics);
        // The process ends here: its memory goes back as a whole, sooner than piece by piece.
        std::mem::forget(dossier);
        Ok(exit)
    }

    fn kinds(&self, terminal: &Terminal) -> Result<Vec<Kind>, Stopped> {
        let mut only = kinds(&self.only)?;
        if self.book_pdf {
            let pdf = Kind::BookPdf.built_in().map_err(|trouble| vec![trouble])?;
            if self.out.is_none() {
                return Err(vec![needs_folder(pdf).at(Place::Named(String::from("--book-pdf")))]);
            }
            if only.is_empty() {
                only = Kind::ALL.into_iter().filter(|kind| kind.is_usual()).collect();
            }
            only.push(pdf);
        }
        if self.out.is_some() {
            return Ok(only);
        }
        if only.is_empty() {
            return Ok(USUALLY_PRINTED.to_vec());
        }
        let ending = if terminal.is_json() { "json" } else { "txt" };
        match only.iter().find(|kind| !kind.extensions().contains(&ending)) {
            Some(kind) => Err(vec![needs_folder(*kind)]),
            None => Ok(only),
        }
    }

    fn to_folder(
        &self,
        world: &dyn World,
        folder: &str,
        dossier: &Dossier,
        findings: &[Diagnostic],
        common: &Common,
        terminal: &Terminal,
    ) -> Result<(), Stopped> {
        let files = write(world, folder, dossier).map_err(|trouble| vec![trouble])?;
        if terminal.is_json() {
            let mut body = body(dossier, findings);
            body.insert("files".into(), json!(files));
            return terminal.print_document("build", body);
        }
        let mut text = summary(dossier, common.units.into());
        text.push_str(&format!("Wrote {} to {folder}.\n", counted(files.len(), "file")));
        terminal.print(&text)
    }
}

fn needs_folder(kind: Kind) -> Diagnostic {
    let endings = kind.extensions().join(", ");
    Diagnostic::error(
        "needs-folder",
        format!("`{}` cannot be printed here: it is written as {endings}", kind.name()),
    )
    .at(Place::Named(String::from("--only")))
    .help("name a folder to write to with --out")
}

fn to_terminal(dossier: &Dossier, findings: &[Diagnostic], terminal: &Terminal) -> Result<(), Stopped> {
    if terminal.is_json() {
        let mut body = body(dossier, findings);
        let documents = dossier.documents.iter().filter(|document| document.path.ends_with(".json"));
        let parsed = documents.filter_map(|document| {
            let value: Value = serde_json::from_str(document.text()?).ok()?;
            Some((document.kind.name().to_string(), value))
        });
        body.insert("documents".into(), Value::Object(parsed.collect()));
        return terminal.print_document("build", body);
    }
    let texts = dossier.documents.iter().filter(|document| document.path.ends_with(".txt"));
    let texts: Vec<&str> = texts.filter_map(|document| document.text()).collect();
    terminal.print(&texts.join("\n\n"))
}

fn body(dossier: &Dossier, findings: &[Diagnostic]) -> Map<String, Value> {
    let mut body = Map::new();
    body.insert("title".into(), json!(dossier.model.title));
    body.insert("family".into(), json!(dossier.family));
    body.insert("parts".into(), number(dossier.model.parts.len()));
    body.insert("figures".into(), Figures::of(&dossier.model, &dossier.plan).json());
    body.insert("findings".into(), diagnostics_json(findings));
    body
}

/// The variant in a few lines.
fn summary(dossier: &Dossier, units: Units) -> String {
    let figures = Figures::of(&dossier.model, &dossier.plan);
    let [wide, deep, high] = figures.size.map(|length| units.text(length));
    let price = figures.price_cents.map_or(String::from("price not known"), |cents| {
        format!("{}.{:02} {}", cents / 100, cents % 100, figures.currency)
    });
    let asking = match figures.asking_cents {
        Some(cents) => format!("to ask {}.{:02} {}", cents / 100, cents % 100, figures.currency),
        None if figures.not_priced.is_empty() => String::from("nothing can be asked"),
        None => format!("not priced: {}", figures.not_priced.join("; ")),
    };
    let (all, each) = match dossier.plan.purchase.pieces {
        1 => (String::new(), ""),
        pieces => (format!("for {pieces} of them "), " each"),
    };
    format!(
        "{}: {wide} wide, {deep} deep, {high} high\n{} in {}, {} of wood; {all}{} to buy, {price}\n\
         {:.1} h of labour{each}; {all}{asking}\n",
        dossier.model.title,
        counted(figures.parts, "part"),
        counted(figures.sets, "set"),
        units.mass_text(figures.mass_kg),
        counted(figures.boards, "board"),
        figures.labour_hours,
    )
}

/// `1 board`, `3 boards`.
fn counted(count: usize, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}
