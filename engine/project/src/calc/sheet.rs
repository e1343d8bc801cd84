//! The text of an answer: a title, figures with what they are, sentences.

use super::figure::{Times, rounded};
use crate::Units;
use slatwork_base::{Length, words_to_wrap};
use slatwork_checks::statics::units::{FOOT, INCH, POUND, PSI};

/// Characters to a line, as in the papers.
const WIDTH: usize = 100;
/// Characters for what a figure is.
const LABEL: usize = 34;

/// A text under way.
pub(super) struct Sheet {
    units: Units,
    text: String,
}

impl Sheet {
    pub(super) fn new(units: Units, title: &str) -> Self {
        let mut sheet = Sheet { units, text: String::new() };
        sheet.say(title);
        sheet
    }

    /// A heading over the figures that follow.
    pub(super) fn part(&mut self, heading: &str) {
        self.text.push('\n');
        self.say(heading);
    }

    /// A figure.
    pub(super) fn row(&mut self, label: &str, value: impl AsRef<str>) {
        let value = value.as_ref();
        let label = format!("  {label}");
        let pad = LABEL.saturating_sub(label.chars().count()).max(2);
        self.wrapped(&format!("{label}{}", " ".repeat(pad)), value, LABEL);
    }

    /// A sentence.
    pub(super) fn say(&mut self, sentence: &str) {
        self.wrapped("", sentence, 0);
    }

    fn wrapped(&mut self, begin: &str, words: &str, indent: usize) {
        let mut line = String::from(begin);
        let mut is_begun = false;
        for word in words_to_wrap(words) {
            let blank = usize::from(is_begun);
            if is_begun && line.chars().count() + blank + word.chars().count() > WIDTH {
                self.text.push_str(line.trim_end());
                self.text.push('\n');
                line = " ".repeat(indent);
                is_begun = false;
            }
            if is_begun {
                line.push(' ');
            }
            line.push_str(word);
            is_begun = true;
        }
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// What a figure is multiplied by; factors of one are left out.
    pub(super) fn factors(&mut self, factors: &[Times]) {
        for own in factors.iter().filter(|own| own.value != 1.0) {
            self.row(&format!("times {}", own.symbol), format!("{:.3}  ({})", own.value, own.source));
        }
    }

    pub(super) fn finish(self) -> String {
        self.text
    }

    pub(super) fn length(&self, mm: f64) -> String {
        self.units.text(Length::mm(mm))
    }

    /// With what the tape's mark is off.
    pub(super) fn true_length(&self, mm: f64) -> String {
        self.units.true_text(Length::mm(mm))
    }

    /// A length too small for a tape.
    pub(super) fn fine(&self, mm: f64) -> String {
        let (inches, mm) = (rounded(mm / INCH, 1e3), rounded(mm, 1e2));
        match self.units {
            Units::Inch => format!("{inches:.3}\""),
            Units::Mm => format!("{mm:.2} mm"),
            Units::Both => format!("{inches:.3}\" ({mm:.2} mm)"),
        }
    }

    pub(super) fn force(&self, n: f64) -> String {
        self.shown((n / POUND, "lb"), (n, "N"))
    }

    pub(super) fn moment(&self, newton_metres: f64) -> String {
        /// Pound-feet in a newton metre.
        const POUND_FEET: f64 = 1.0 / (POUND * FOOT * 1e-3);
        self.shown((newton_metres * POUND_FEET, "lb ft"), (newton_metres, "N m"))
    }

    pub(super) fn stress(&self, mpa: f64) -> String {
        self.shown((mpa / PSI, "psi"), (mpa, "MPa"))
    }

    fn shown(&self, customary: (f64, &str), metric: (f64, &str)) -> String {
        let text = |(value, unit): (f64, &str)| format!("{} {unit}", figure(value));
        match self.units {
            Units::Inch => text(customary),
            Units::Mm => text(metric),
            Units::Both => format!("{} ({})", text(customary), text(metric)),
        }
    }

    pub(super) fn mass(&self, kg: f64) -> String {
        self.units.mass_text(kg)
    }
}

/// Three figures or, of larger numbers, the whole; what would be shown as nothing but noughts is nothing.
pub(super) fn figure(value: f64) -> String {
    let size = value.abs();
    if size < SHOWN {
        return String::from("0");
    }
    let decimals = match size {
        _ if size >= 100.0 => 0,
        _ if size >= 10.0 => 1,
        _ if size >= 1.0 => 2,
        _ => 3,
    };
    format!("{value:.decimals$}")
}

/// Less than this is nothing at three decimals.
const SHOWN: f64 = 0.0005;

/// An angle to a tenth of a degree.
pub(super) fn degrees(value: f64) -> String {
    format!("{:.1}\u{b0}", rounded(value, 10.0))
}

/// A share in percent.
pub(super) fn percent(share: f64) -> String {
    format!("{} %", figure(share * 100.0))
}

/// Under every figure of strength.
pub(super) const CALCULATED: &str = "Calculated on the assumptions above, not tested and not certified. Local codes and a qualified person \
                                     decide where somebody can be hurt.";

/// Under every figure of a hanging seat.
pub(super) const HANGING: &str = "What it hangs from is no part of this: have a qualified person (designer, engineer, experienced carpenter) \
                                  confirm the member, its bearings and the fixing before anything is hung. Use rated hardware only, every \
                                  piece stamped or documented; no open S-hooks. The weakest piece counts for the whole line.";
