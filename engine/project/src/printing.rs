//! How templates are printed, as a user says it: paper, margin, overlap, what the printer's scale is off.

use crate::Units;
use slatwork_base::{Diagnostic, Length, Place};
use slatwork_output::template::{PrintPaper, Printing, TRUE_SCALE};

/// What is said of printing, in the words of the command line; what is not said is as usual.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct PrintSettings {
    /// `a4`, `letter`, `18in x 24in`, `roll 610mm`.
    pub paper: Option<String>,
    /// What the printer leaves unprinted on each side.
    pub margin: Option<String>,
    /// How far sheets lie over one another.
    pub overlap: Option<String>,
    /// `1.004x0.998`: the drawing is stretched so far across and up the paper.
    pub scale: Option<String>,
}

impl PrintSettings {
    /// Reads them; inch shops print on inch paper.
    ///
    /// # Errors
    /// All that cannot be read, or what does not go together, with its place.
    pub fn read(&self, units: Units) -> Result<Printing, Vec<Diagnostic>> {
        let usual = if units == Units::Mm { PrintPaper::a4() } else { PrintPaper::letter() };
        let mut printing = Printing::on(usual);
        let mut troubles = Vec::new();
        let mut settle = |option: &'static str, fault: Result<(), Diagnostic>| {
            troubles.extend(fault.err().map(|fault| fault.at(Place::Named(String::from(option)))));
        };
        if let Some(text) = &self.paper {
            settle(PAPER, paper(text).map(|paper| printing.paper = paper));
        }
        if let Some(text) = &self.margin {
            settle(MARGIN, length(text).map(|length| printing.margin = length));
        }
        if let Some(text) = &self.overlap {
            settle(OVERLAP, length(text).map(|length| printing.overlap = length));
        }
        if let Some(text) = &self.scale {
            settle(SCALE, scale(text).map(|stretch| printing.stretch = stretch));
        }
        if troubles.is_empty() {
            printing.check().map_err(|fault| vec![placed(fault)])?;
            return Ok(printing);
        }
        Err(troubles)
    }
}

const PAPER: &str = "--template-paper";
const MARGIN: &str = "--template-margin";
const OVERLAP: &str = "--template-overlap";
const SCALE: &str = "--print-scale";

/// The option that a fault is about.
fn placed(fault: Diagnostic) -> Diagnostic {
    let option = match fault.code {
        "margin-too-small" => MARGIN,
        "overlap-too-small" => OVERLAP,
        "print-scale-too-far" => SCALE,
        _ => PAPER,
    };
    fault.at(Place::Named(String::from(option)))
}

fn length(text: &str) -> Result<Length, Diagnostic> {
    let length: Length =
        text.parse().map_err(|fault| Diagnostic::error("not-a-length", format!("{fault}")))?;
    if length < Length::ZERO {
        let fault = Diagnostic::error("not-a-length", format!("`{text}` is less than nothing"));
        return Err(fault.help("give a length from 0 up"));
    }
    Ok(length)
}

fn paper(text: &str) -> Result<PrintPaper, Diagnostic> {
    let plain = text.trim().to_lowercase();
    match plain.as_str() {
        "a4" => return Ok(PrintPaper::a4()),
        "letter" => return Ok(PrintPaper::letter()),
        _ => {}
    }
    let unknown = || {
        Diagnostic::error("unknown-paper", format!("`{text}` is no paper"))
            .help("write a4, letter, a size such as \"18in x 24in\" or 420mmx594mm, or a roll by its width: \"roll 610mm\"")
    };
    if let Some(width) = plain.strip_prefix("roll") {
        let width = width.trim().parse().map_err(|_| unknown())?;
        return Ok(PrintPaper::Roll { width });
    }
    let (width, height) = plain.split_once('x').ok_or_else(unknown)?;
    let side = |text: &str| text.trim().parse::<Length>().map_err(|_| unknown());
    let (width, height) = (side(width)?, side(height)?);
    // Upright, as it is fed.
    Ok(PrintPaper::sheets(text.trim(), width.min(height), width.max(height)))
}

fn scale(text: &str) -> Result<[u32; 2], Diagnostic> {
    let factor = |text: &str| {
        let factor: f64 = text.trim().parse().ok().filter(|own: &f64| (0.0..=10.0).contains(own))?;
        Some((factor * f64::from(TRUE_SCALE)).round() as u32)
    };
    let read = text.split_once('x').and_then(|(across, up)| Some([factor(across)?, factor(up)?]));
    read.ok_or_else(|| {
        Diagnostic::error("not-a-print-scale", format!("`{text}` is no print scale"))
            .help("write ACROSSxUP, for example 1.004x0.998: 100 divided by what each side of the 100 mm square measures")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(settings: PrintSettings) -> String {
        let troubles = settings.read(Units::Mm).expect_err("a fault");
        troubles.iter().map(|trouble| trouble.code).collect::<Vec<_>>().join(" ")
    }

    fn some(text: &str) -> Option<String> {
        Some(text.to_string())
    }

    #[test]
    fn papers_are_read_as_users_write_them() {
        assert_eq!(paper("A4"), Ok(PrintPaper::a4()));
        assert_eq!(paper("roll 24in"), Ok(PrintPaper::Roll { width: Length::inch(24.0) }));
        let large = PrintPaper::sheets("24in x 18in", Length::inch(18.0), Length::inch(24.0));
        assert_eq!(paper("24in x 18in"), Ok(large));
        assert!(paper("foolscap").is_err());
        assert!(paper("210x297").is_err(), "lengths have units");
    }

    #[test]
    fn what_cannot_be_printed_is_refused_with_its_place() {
        let settings = PrintSettings::default;
        assert_eq!(fault(PrintSettings { paper: some("90mm x 90mm"), ..settings() }), "paper-too-small");
        assert_eq!(fault(PrintSettings { margin: some("120mm"), ..settings() }), "paper-too-small");
        assert_eq!(fault(PrintSettings { margin: some("4mm"), ..settings() }), "margin-too-small");
        assert_eq!(fault(PrintSettings { overlap: some("3mm"), ..settings() }), "overlap-too-small");
        assert_eq!(fault(PrintSettings { scale: some("1.05x1"), ..settings() }), "print-scale-too-far");
        assert_eq!(fault(PrintSettings { scale: some("1.0"), ..settings() }), "not-a-print-scale");
        assert_eq!(fault(PrintSettings { scale: some("nanx1"), ..settings() }), "not-a-print-scale");
        assert_eq!(fault(PrintSettings { paper: some("1m x 6m"), ..settings() }), "paper-too-large");
        let two = PrintSettings { paper: some("x"), margin: some("12"), ..settings() };
        assert_eq!(fault(two), "unknown-paper not-a-length");
        assert_eq!(settings().read(Units::Mm).map(|own| own.paper), Ok(PrintPaper::a4()));
        assert_eq!(settings().read(Units::Both).map(|own| own.paper), Ok(PrintPaper::letter()));
    }
}
