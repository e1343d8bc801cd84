//! `slatwork calc`: one shop question at a time. Each kind of question is one file with its flags, which only write the question
//! that a file may hold as well.

mod angle;
mod asked;
mod beam;
mod board_feet;
mod by_flags;
mod curve;
mod cut;
mod fastener;
mod frame;
mod hang;
mod layout;
mod moisture;
mod swing;

use crate::Exit;
use crate::arguments::Common;
use crate::outside::{Bar, Interrupt};
use crate::terminal::{Stopped, Terminal};
use asked::{Asked, File};
use clap::{Args, Subcommand};
use slatwork_base::{Diagnostic, Outcome};
use slatwork_project::calc::{self, Answered, Calculation, Setting, SoFar, Watch, calculation};
use slatwork_project::{Caution, catalogue, with_stack};
use std::collections::BTreeSet;

/// Answer one shop question.
#[derive(Debug, Args)]
pub struct Calc {
    #[command(subcommand)]
    what: What,
}

/// What can be asked.
#[derive(Debug, Subcommand)]
enum What {
    #[command(after_long_help = layout("board-feet"))]
    BoardFeet(board_feet::BoardFeet),
    #[command(after_long_help = layout("cut"))]
    Cut(cut::Cut),
    #[command(after_long_help = layout("layout"))]
    Layout(layout::Layout),
    #[command(after_long_help = layout("angle"))]
    Angle(angle::Angle),
    #[command(after_long_help = layout("curve"))]
    Curve(curve::Curve),
    #[command(after_long_help = layout("moisture"))]
    Moisture(moisture::Moisture),
    #[command(after_long_help = layout("fastener"))]
    Fastener(fastener::Fastener),
    #[command(after_long_help = layout("beam"))]
    Beam(beam::Beam),
    #[command(after_long_help = layout("frame"))]
    Frame(frame::Frame),
    #[command(after_long_help = layout("hang"))]
    Hang(hang::Hang),
    #[command(after_long_help = layout("swing"))]
    Swing(swing::Swing),
}

/// One kind of question on the command line.
trait Question {
    /// The calculation's name.
    const NAME: &'static str;
    /// Whether it may take so long that a person wants to look on, and to end it.
    const MAY_BE_LONG: bool = false;

    /// The file that is named, if one is.
    fn file(&self) -> &File;

    /// The cautions that are accepted.
    fn accepted(&self) -> BTreeSet<Caution> {
        BTreeSet::new()
    }

    /// The question of a file.
    fn parse(text: &str) -> Result<calc::Question, Diagnostic> {
        calc::parse(text)
    }

    /// Writes the flags over what the file asks.
    fn ask(&self, asked: &mut Asked, common: &Common) -> Result<(), Stopped>;
}

impl Calc {
    pub(crate) fn run(&self, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
        match &self.what {
            What::BoardFeet(own) => answer(own, common, terminal),
            What::Cut(own) => answer(own, common, terminal),
            What::Layout(own) => answer(own, common, terminal),
            What::Angle(own) => answer(own, common, terminal),
            What::Curve(own) => answer(own, common, terminal),
            What::Moisture(own) => answer(own, common, terminal),
            What::Fastener(own) => answer(own, common, terminal),
            What::Beam(own) => answer(own, common, terminal),
            What::Frame(own) => answer(own, common, terminal),
            What::Hang(own) => answer(own, common, terminal),
            What::Swing(own) => answer(own, common, terminal),
        }
    }
}

fn answer<Q: Question>(question: &Q, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
    let own = calculation(Q::NAME).ok_or_else(|| vec![Diagnostic::error("unknown-verb", Q::NAME)])?;
    let mut asked = question.file().read(common, Q::parse)?;
    question.ask(&mut asked, common)?;
    let Outcome { value, diagnostics } = answered(own, &asked, question, common)?;
    let diagnostics =
        if question.file().is_named() { asked.located(diagnostics) } else { in_flags(diagnostics, Q::NAME) };
    let Some(answered) = value else { return Err(diagnostics) };
    if terminal.is_json() {
        terminal.print_document(&own.document_kind(), answered.document)?;
    } else {
        terminal.print(&answered.text)?;
    }
    terminal.tell(&diagnostics);
    Ok(Exit::of(&diagnostics))
}

/// Whoever asks by flags is told of flags.
fn in_flags(diagnostics: Vec<Diagnostic>, name: &str) -> Vec<Diagnostic> {
    let command = crate::command();
    let own = command.find_subcommand("calc").and_then(|calc| calc.find_subcommand(name));
    let has = |flag: &str| {
        own.is_some_and(|own| own.get_arguments().any(|argument| argument.get_long() == Some(flag)))
    };
    diagnostics.into_iter().map(|trouble| by_flags::by_flags(trouble, &has)).collect()
}

fn answered<Q: Question>(
    own: &Calculation,
    asked: &Asked,
    question: &Q,
    common: &Common,
) -> Result<Outcome<Answered>, Stopped> {
    let (world, file, accepted) = (common.world(), question.file(), question.accepted());
    let interrupt = Q::MAY_BE_LONG.then(Interrupt::taken);
    let work = || {
        let bar = Bar::new();
        let look_on = |so_far: &SoFar| {
            bar.say(so_far);
            !interrupt.as_ref().is_some_and(Interrupt::is_there)
        };
        let outcome = catalogue(&world, &file.measured).then(|catalogue| {
            let units = common.units.into();
            let setting =
                Setting { catalogue: &catalogue, units, accepted: &accepted, watch: Watch(&look_on) };
            own.answer(asked.question(), &setting)
        });
        bar.done();
        outcome
    };
    with_stack(work).map_err(|trouble| vec![trouble])
}

/// The keys of a kind's file, for its help.
fn layout(name: &str) -> String {
    let Some(own) = calculation(name) else { return String::new() };
    format!(
        "Keys of the JSON file; a length stands in quotes with its unit, or bare in mm unless told otherwise:\n\n{}\n\nFor example:\n\n{}\n\nThe answer with \
         --format json: slatwork explain {}",
        own.layout,
        own.example,
        own.schema_name()
    )
}
