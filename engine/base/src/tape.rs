//! Lengths as a tape reads them, with the error of the reading.

use crate::Length;

/// Which marks the tape has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Tape {
    /// Sixteenths of an inch: the usual tape.
    #[default]
    Inch16,
    /// Thirty-seconds of an inch: a steel rule.
    Inch32,
    /// Sixty-fourths of an inch.
    Inch64,
    /// Whole millimetres.
    Mm,
    /// No rounding: millimetres with as many decimals as the value has.
    Exact,
}

/// A length read off a tape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OnTape {
    /// The nearest mark.
    pub mark: Length,
    /// The true length minus the mark: positive when the true length is longer.
    pub error: Length,
}

impl Tape {
    /// Distance between marks; one nanometre for [`Tape::Exact`].
    pub fn step(self) -> Length {
        match self {
            Tape::Inch16 => Length::sixty_fourths(4),
            Tape::Inch32 => Length::sixty_fourths(2),
            Tape::Inch64 => Length::sixty_fourths(1),
            Tape::Mm => Length::nm(1_000_000),
            Tape::Exact => Length::nm(1),
        }
    }

    /// The nearest mark and what is left over; a value half way goes up, away from zero.
    pub fn read(self, length: Length) -> OnTape {
        let (value, step) = (length.as_nm(), self.step().as_nm());
        let marks = (value.abs() + step / 2) / step;
        let mark = Length::nm(value.signum() * marks * step);
        OnTape { mark, error: length - mark }
    }

    /// The nearest mark as text: `42 7/16"`, `1087 mm`.
    pub fn text(self, length: Length) -> String {
        let mark = self.read(length).mark;
        match self {
            Tape::Mm => format!("{} mm", mark.as_nm() / 1_000_000),
            Tape::Exact => format!("{} mm", mark.as_mm()),
            Tape::Inch16 | Tape::Inch32 | Tape::Inch64 => inches(mark),
        }
    }

    /// As [`Tape::text`], with the error in hundredths of a millimetre when the true length is off the mark by
    /// more than `shown_from`: `42 7/16" (+0.31 mm)`.
    pub fn text_with_error(self, length: Length, shown_from: Length) -> String {
        let error = self.read(length).error;
        if error.abs() <= shown_from {
            return self.text(length);
        }
        format!("{} ({:+.2} mm)", self.text(length), error.as_mm())
    }
}

/// Whole sixty-fourths as inches and a reduced fraction.
fn inches(mark: Length) -> String {
    let sixty_fourths = mark.as_nm() / Length::sixty_fourths(1).as_nm();
    let sign = if sixty_fourths < 0 { "-" } else { "" };
    let (whole, part) = (sixty_fourths.abs() / 64, sixty_fourths.abs() % 64);
    if part == 0 {
        return format!("{sign}{whole}\"");
    }
    let shift = part.trailing_zeros();
    let fraction = format!("{}/{}", part >> shift, 64 >> shift);
    if whole == 0 { format!("{sign}{fraction}\"") } else { format!("{sign}{whole} {fraction}\"") }
}
