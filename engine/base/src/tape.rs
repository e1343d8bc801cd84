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

    /// Whether it is marked in inches.
    pub fn is_inch(self) -> bool {
        matches!(self, Tape::Inch16 | Tape::Inch32 | Tape::Inch64)
    }

    /// The nearest mark and what is left over; a value half way goes up, away from zero.
    pub fn read(self, length: Length) -> OnTape {
        // Wide integers: the mark beyond the last length must not overflow.
        let (value, step) = (i128::from(length.as_nm()), i128::from(self.step().as_nm()));
        let marks = (value.abs() + step / 2) / step;
        let mark = i64::try_from(value.signum() * marks * step).map_or(length, Length::nm);
        OnTape { mark, error: length - mark }
    }

    /// The last mark that does not lie beyond a length.
    pub fn mark_below(self, length: Length) -> Length {
        Length::nm(length.as_nm() - length.as_nm().rem_euclid(self.step().as_nm()))
    }

    /// The nearest mark as text: `42 7/16"`, `1087 mm`.
    pub fn text(self, length: Length) -> String {
        let mark = self.read(length).mark;
        match self {
            Tape::Mm => format!("{} mm", mark.mm_text(0)),
            Tape::Exact => format!("{} mm", shortest_mm(mark)),
            Tape::Inch16 | Tape::Inch32 | Tape::Inch64 => inches(sixty_fourths(mark)),
        }
    }

    /// As [`Tape::text`], but from one foot up in feet and inches: `5' 2 1/2"`. Metric tapes know no feet.
    pub fn feet_and_inches(self, length: Length) -> String {
        const FOOT: i64 = 12 * 64;
        let count = sixty_fourths(self.read(length).mark);
        if !self.is_inch() || count.abs() < FOOT {
            return self.text(length);
        }
        let feet = format!("{}{}'", if count < 0 { "-" } else { "" }, count.abs() / FOOT);
        let rest = count.abs() % FOOT;
        if rest == 0 { feet } else { format!("{feet} {}", inches(rest)) }
    }

    /// What to add to a reading of this tape to have the true length, in a builder's words: `less 0.024"`, `plus 0.31 mm`.
    /// Nothing when no more than [`OFF_SHOWN`] is left over.
    pub fn rest_text(self, error: Length) -> Option<String> {
        if error.abs() <= OFF_SHOWN {
            return None;
        }
        let word = if error.is_positive() { "plus" } else { "less" };
        Some(match self {
            Tape::Mm | Tape::Exact => format!("{word} {} mm", error.abs().mm_text(2)),
            Tape::Inch16 | Tape::Inch32 | Tape::Inch64 => {
                format!("{word} {:.3}\"", error.abs().as_mm() / 25.4)
            }
        })
    }

    /// As [`Tape::text`], with what is left over: `4 5/8" less 0.024"`.
    pub fn true_text(self, length: Length) -> String {
        match self.rest_text(self.read(length).error) {
            Some(rest) => format!("{} {rest}", self.text(length)),
            None => self.text(length),
        }
    }
}

/// A distance to judge, for both tapes: `3 21/64" (84.5 mm)`; where an inch tape has no mark so small, in millimetres alone.
/// What is told of a piece serves every shop, whatever its papers are printed in.
pub fn both_tapes(mm: f64) -> String {
    let fine = Tape::Inch64;
    if mm.abs() < NOTHING {
        return String::from("0\" (0 mm)");
    }
    match fine.read(Length::mm(mm)).mark {
        Length::ZERO => format!("{mm:.2} mm"),
        mark => format!("{} ({mm:.1} mm)", fine.text(mark)),
    }
}

/// What rounds to no hundredth of a millimetre is nothing, mm: no more is printed.
const NOTHING: f64 = 0.005;

/// A size of the whole, such as a seat's height or a room, for both tapes: `17 3/4" (451 mm)`.
pub fn both_tapes_whole(mm: f64) -> String {
    format!("{} ({mm:.0} mm)", Tape::Inch16.text(Length::mm(mm)))
}

/// A reading that is no further off than this is taken for the true length: a thousandth of an inch, finer than a saw's
/// stop is set (project choice).
pub const OFF_SHOWN: Length = Length::nm(25_400);

/// The words of a text between which a line may be broken: a reading such as `4 1/2"`, `114 mm` or `Ø 9.8` stays whole.
pub fn words_to_wrap(text: &str) -> Vec<&str> {
    let mut words: Vec<&str> = Vec::new();
    let mut start = 0;
    let mut last = "";
    for word in text.split_whitespace() {
        // A word of the text lies behind the start of the text by its own offset.
        let at = word.as_ptr() as usize - text.as_ptr() as usize;
        let fraction = word.split_once('/').is_some_and(|(top, _)| top.parse::<u32>().is_ok());
        let reading = last.ends_with(|c: char| c.is_ascii_digit()) && (fraction || word.starts_with("mm"));
        let tied = reading || last == "Ø";
        match words.last_mut() {
            Some(joined) if tied => *joined = &text[start..at + word.len()],
            _ => {
                start = at;
                words.push(word);
            }
        }
        last = word;
    }
    words
}

/// Millimetres with as many decimals as the value has and no more.
fn shortest_mm(length: Length) -> String {
    let text = length.mm_text(6);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// How many whole sixty-fourths of an inch a mark is.
fn sixty_fourths(mark: Length) -> i64 {
    mark.as_nm() / Length::sixty_fourths(1).as_nm()
}

/// Whole sixty-fourths as inches and a reduced fraction.
fn inches(sixty_fourths: i64) -> String {
    let sign = if sixty_fourths < 0 { "-" } else { "" };
    let (whole, part) = (sixty_fourths.abs() / 64, sixty_fourths.abs() % 64);
    if part == 0 {
        return format!("{sign}{whole}\"");
    }
    let shift = part.trailing_zeros();
    let fraction = format!("{}/{}", part >> shift, 64 >> shift);
    if whole == 0 { format!("{sign}{fraction}\"") } else { format!("{sign}{whole} {fraction}\"") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_told_reads_on_both_tapes() {
        assert_eq!(both_tapes(50.8), "2\" (50.8 mm)");
        assert_eq!(both_tapes(84.5), "3 21/64\" (84.5 mm)");
        assert_eq!(both_tapes(-3.2), "-1/8\" (-3.2 mm)");
        assert_eq!(both_tapes(0.07), "0.07 mm");
        assert_eq!(both_tapes(0.006), "0.01 mm");
        assert_eq!([0.0, 0.004, -0.004].map(both_tapes), ["0\" (0 mm)"; 3]);
        assert_eq!(both_tapes_whole(450.6), "17 3/4\" (451 mm)");
    }
}
