//! What templates are printed on, and how: paper, margins, overlap, and what the printer's scale is off.

use slatwork_base::{Diagnostic, Length};

/// Paper to print templates on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PrintPaper {
    /// Sheets of one size, either way up.
    Sheets {
        /// What it is called.
        name: String,
        /// Width.
        width: Length,
        /// Height.
        height: Length,
    },
    /// A roll, cut off where a template ends.
    Roll {
        /// Its width.
        width: Length,
    },
}

/// How templates are printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printing {
    /// On what.
    pub paper: PrintPaper,
    /// What the printer leaves unprinted on each side, at least.
    pub margin: Length,
    /// How far sheets lie over one another where they are glued.
    pub overlap: Length,
    /// The drawing is stretched by these millionths, across and up the paper, for a printer that errs the other way.
    pub stretch: [u32; 2],
}

/// The usual margin: office printers leave 4 to 6 mm unprinted (common practice, no source).
pub const USUAL_MARGIN: Length = Length::nm(12_000_000);
/// The least margin.
pub const LEAST_MARGIN: Length = Length::nm(5_000_000);
/// The usual overlap: room for glue and a cross (project choice).
pub const USUAL_OVERLAP: Length = Length::nm(15_000_000);
/// The least overlap: a cross of 8 mm and its rim (project choice).
pub const LEAST_OVERLAP: Length = Length::nm(10_000_000);
/// Longest sheet. Readers of the format hold a page to 14400 points, 5080 mm (PDF reference 1.6, implementation notes).
pub const LONGEST_SHEET: Length = Length::nm(5_000_000_000);
/// A printer that errs by more than this share is set wrongly, not to be made up for (project choice).
pub const MOST_STRETCH: f64 = 0.03;
/// The scale of a printer that errs by nothing, in millionths.
pub const TRUE_SCALE: u32 = 1_000_000;
/// A sheet that holds less of the part than this is all seams, mm (project choice).
pub(crate) const LEAST_ROOM: f64 = 60.0;

impl PrintPaper {
    /// ISO 216 A4.
    pub fn a4() -> Self {
        PrintPaper::sheets("A4", Length::mm(210.0), Length::mm(297.0))
    }

    /// ANSI A, 8 1/2 by 11 in.
    pub fn letter() -> Self {
        PrintPaper::sheets("Letter", Length::inch(8.5), Length::inch(11.0))
    }

    /// Sheets of any size.
    pub fn sheets(name: impl Into<String>, width: Length, height: Length) -> Self {
        PrintPaper::Sheets { name: name.into(), width, height }
    }

    /// What it is called: `A4`, `roll 610 mm wide`.
    pub fn name(&self) -> String {
        match self {
            PrintPaper::Sheets { name, .. } => name.clone(),
            PrintPaper::Roll { width } => format!("roll {} mm wide", width.mm_text(1)),
        }
    }
}

impl Printing {
    /// On this paper with the usual margins.
    pub fn on(paper: PrintPaper) -> Self {
        Printing { paper, margin: USUAL_MARGIN, overlap: USUAL_OVERLAP, stretch: [TRUE_SCALE; 2] }
    }

    /// The stretch as factors, across and up the paper.
    pub fn factors(&self) -> [f64; 2] {
        self.stretch.map(|own| f64::from(own) / f64::from(TRUE_SCALE))
    }

    /// Sides of a sheet of the paper as it is drawn, that is before it is stretched, upright; a roll as long as it may be.
    pub(crate) fn sides(&self) -> [f64; 2] {
        match &self.paper {
            PrintPaper::Sheets { width, height, .. } => [width.as_mm(), height.as_mm()],
            PrintPaper::Roll { width } => [width.as_mm(), LONGEST_SHEET.as_mm()],
        }
    }

    /// What stands against printing so: the faults `margin-too-small`, `overlap-too-small`, `print-scale-too-far`,
    /// `paper-too-small` and `paper-too-large`.
    ///
    /// # Errors
    /// The first of them, with its value and what to do.
    pub fn check(&self) -> Result<(), Diagnostic> {
        if self.margin < LEAST_MARGIN {
            let message = format!("a margin of {} is less than printers leave unprinted", mm(self.margin));
            return Err(Diagnostic::error("margin-too-small", message).help(format!(
                "leave at least {}; {} suits most",
                mm(LEAST_MARGIN),
                mm(USUAL_MARGIN)
            )));
        }
        if self.overlap < LEAST_OVERLAP {
            let message = format!("an overlap of {} has no room for glue and a cross", mm(self.overlap));
            return Err(Diagnostic::error("overlap-too-small", message)
                .help(format!("let sheets overlap by at least {}", mm(LEAST_OVERLAP))));
        }
        if let Some(far) = self.factors().into_iter().find(|own| (own - 1.0).abs() > MOST_STRETCH) {
            let message = format!("a print scale of {far} is off by more than 3 %");
            return Err(Diagnostic::error("print-scale-too-far", message)
                .help("print the calibration page at 100 % (actual size) and give 100 divided by what each side measures")
                .help("a printer that still errs by so much fits pages to its paper: look for that in its settings"));
        }
        self.check_sizes()
    }

    fn check_sizes(&self) -> Result<(), Diagnostic> {
        let sides = self.sides();
        let name = self.paper.name();
        if sides.iter().any(|side| *side > LONGEST_SHEET.as_mm()) {
            let message = format!("{name} is larger than a page may be, 5000 mm");
            return Err(Diagnostic::error("paper-too-large", message)
                .help("print on a roll instead: sheets of it are cut at 5000 mm and joined"));
        }
        let [across, up] = super::tiling::frame_of(self);
        let room = (sides[0].min(sides[1]) - across.max(up)).min(sides[0].max(sides[1]) - across.min(up));
        let least = LEAST_ROOM + self.overlap.as_mm();
        if room < least {
            let message = format!(
                "{name} leaves {:.0} mm between margins of {} and the rulers, too little for an overlap of {}",
                room.max(0.0),
                mm(self.margin),
                mm(self.overlap)
            );
            return Err(Diagnostic::error("paper-too-small", message).help(format!(
                "take larger paper, or smaller margins and overlap: {least:.0} mm are needed"
            )));
        }
        Ok(())
    }
}

fn mm(length: Length) -> String {
    format!("{} mm", length.mm_text(1))
}
