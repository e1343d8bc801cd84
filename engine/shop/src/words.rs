//! The words of the bench: how ends, edges, faces and times are called in every list.

use slatwork_base::{Angle, Length, Tape};
use slatwork_model::{BoardEdge, BoardEnd, Hand, Part, When};

/// One of the three directions of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Along {
    /// Along the grain, from the datum end.
    Length,
    /// Across, from the datum edge.
    Width,
    /// Through, from the back face.
    Thickness,
}

impl Along {
    /// All three, in the order of board axes x, y, z.
    pub const ALL: [Along; 3] = [Along::Length, Along::Width, Along::Thickness];

    /// The word for it in tables.
    pub fn word(self) -> &'static str {
        match self {
            Along::Length => "length",
            Along::Width => "width",
            Along::Thickness => "thickness",
        }
    }

    /// Place among board axes x, y, z.
    pub fn index(self) -> usize {
        self as usize
    }
}

/// One of the six sides of a board as it lies: marked face up, datum edge toward the builder, datum end to the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoardSide {
    /// The direction it closes.
    pub along: Along,
    /// Whether it lies at the far end of that direction.
    pub high: bool,
}

impl BoardSide {
    /// What a builder calls it.
    pub fn word(self) -> &'static str {
        match (self.along, self.high) {
            (Along::Length, false) => "datum end",
            (Along::Length, true) => "far end",
            (Along::Width, false) => "datum edge",
            (Along::Width, true) => "far edge",
            (Along::Thickness, false) => "back face",
            (Along::Thickness, true) => "marked face",
        }
    }

    /// The end of a board.
    pub fn end(end: BoardEnd) -> Self {
        BoardSide { along: Along::Length, high: end == BoardEnd::High }
    }

    /// The edge of a board.
    pub fn edge(edge: BoardEdge) -> Self {
        BoardSide { along: Along::Width, high: edge == BoardEdge::High }
    }
}

/// When something is made: "at the bench", "in place, after seat slat 1, seat slat 2", "marked from arm post".
pub fn when_words(when: &When) -> String {
    match when {
        When::AtBench => String::from("at the bench"),
        When::InPlace { after } if after.is_empty() => String::from("in place"),
        When::InPlace { after } => format!("in place, after {}", after.join(", ")),
        When::MarkedFrom { parts } => format!("marked from {}", parts.join(", ")),
        When::Through { part } => format!("drilled on through {part}, the two held together"),
    }
}

/// The hand as tables give it: "neutral", "single", "left of a pair", "right of a pair", "one of a pair".
pub fn hand_word(hand: Hand, name: &str) -> &'static str {
    match hand {
        Hand::Neutral => "neutral",
        Hand::Single => "single",
        Hand::PairWith(_) if name.starts_with("left ") => "left of a pair",
        Hand::PairWith(_) if name.starts_with("right ") => "right of a pair",
        Hand::PairWith(_) => "one of a pair",
    }
}

/// "1 hole", "3 holes".
pub(crate) fn counted(count: usize, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

/// A drill's diameter: the next 64th of an inch on an inch tape, a tenth of a millimetre otherwise; the exact size when
/// it is no more than `BIT_SIZE` off.
pub fn bit_text(diameter: Length, tape: Tape) -> String {
    let read = Tape::Inch64.read(diameter);
    if tape.is_inch() && read.error.abs() <= BIT_SIZE {
        return Tape::Inch64.text(diameter);
    }
    let tenths = (diameter.as_nm() + 50_000).div_euclid(100_000);
    format!("{} mm", tenths as f64 / 10.0)
}

/// The width of a countersink: the next larger 64th of an inch or tenth of a millimetre, so that the head goes in.
pub fn sink_text(diameter: Length, tape: Tape) -> String {
    let step = if tape.is_inch() { Length::sixty_fourths(1) } else { TENTH };
    let steps = (diameter.as_nm() - BIT_SIZE.as_nm() + step.as_nm() - 1).div_euclid(step.as_nm());
    bit_text(Length::nm(steps * step.as_nm()), tape)
}

/// A tenth of a millimetre.
const TENTH: Length = Length::nm(100_000);

/// A twist drill cuts no truer than this, so a size so near to a mark is that mark (project choice).
const BIT_SIZE: Length = Length::nm(30_000);

/// An angle as a saw with a digital gauge is set, to a tenth of a degree; tables for programs keep it exact.
#[must_use]
pub fn as_set(angle: Angle) -> Angle {
    Angle::deg((angle.as_deg() * 10.0).round() / 10.0)
}

/// Whether an angle is square when it is set so.
pub fn is_square(angle: Angle) -> bool {
    as_set(angle) == Angle::ZERO
}

/// How the words read lengths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reading {
    /// The tape.
    pub tape: Tape,
    /// Whether millimetres stand beside inches.
    pub with_mm: bool,
}

impl From<Tape> for Reading {
    fn from(tape: Tape) -> Self {
        Reading { tape, with_mm: false }
    }
}

impl Reading {
    /// Distance between the tape's marks.
    pub fn step(self) -> Length {
        self.tape.step()
    }

    /// The steel rule that holes are marked with: a hole off by half a sixteenth misses its mate, by half a
    /// thirty-second it is as good as bored by hand (trade practice: 1 mm by hand, 0.3 mm in a jig).
    pub fn rule(self) -> Tape {
        match self.tape {
            Tape::Inch16 => Tape::Inch32,
            finer => finer,
        }
    }

    /// A length as the tape reads it: `42 7/16"`, `42 7/16" (1078 mm)`.
    pub fn text(self, length: Length) -> String {
        self.beside(self.tape.text(length), length)
    }

    /// A place of a hole as the rule reads it, the same in every list: `9 1/32"`.
    pub fn rule_text(self, length: Length) -> String {
        self.beside(self.rule().text(length), length)
    }

    /// As [`Reading::text`], with what the tape's mark is off: `4 5/8" less 0.024"`.
    pub fn true_text(self, length: Length) -> String {
        self.beside(self.tape.true_text(length), length)
    }

    /// What a hole is for: the length of a bolt, which a model tells as it is sold, as the tape reads it.
    pub fn purpose_text(self, purpose: &str) -> String {
        // `5 1/2"` is two words, `4"` one; of what can be read the longer.
        let words: Vec<(usize, &str)> = purpose.rmatch_indices(' ').take(2).collect();
        let told = words.iter().rev().find_map(|(at, _)| {
            let length: Length = purpose[at + 1..].parse().ok()?;
            Some(format!("{} {}", &purpose[..*at], self.text(length)))
        });
        told.filter(|_| purpose.ends_with('"')).unwrap_or_else(|| purpose.to_string())
    }

    fn beside(self, own: String, length: Length) -> String {
        if self.with_mm { format!("{own} ({})", Tape::Mm.text(length)) } else { own }
    }
}

/// Which edges are meant, seen as the board lies: "long edges of the marked face". A script says "upper long edges", and the
/// marked face lies up.
pub fn edges_words(edges: &str) -> String {
    for (upper, face) in [("upper ", "marked face"), ("lower ", "back face")] {
        if let Some(rest) = edges.strip_prefix(upper) {
            return format!("{rest} of the {face}");
        }
    }
    edges.to_string()
}

/// Parts by the names that the script gives them, as every paper tells them: "post, post 2"; of three and more in turn the first
/// and the last, "slat 2 to slat 5".
pub fn part_words(names: &[String]) -> String {
    let follows = |a: &String, b: &String| {
        let ((kind, number), (other_kind, other)) = (numbered(a), numbered(b));
        kind == other_kind && other == number + 1
    };
    let stretches = names.chunk_by(follows).map(|own| match own {
        [first, _, .., last] => format!("{first} to {last}"),
        few => few.join(", "),
    });
    stretches.collect::<Vec<_>>().join(", ")
}

/// "slat 3" apart; the first of a kind may bear no number.
fn numbered(name: &str) -> (&str, u32) {
    let apart = name.rsplit_once(' ').and_then(|(kind, number)| Some((kind, number.parse().ok()?)));
    apart.unwrap_or((name, 1))
}

/// Names of a set's parts, in a row.
pub(crate) fn part_names<'a>(parts: impl Iterator<Item = &'a Part>) -> Vec<String> {
    parts.map(|part| part.name.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_are_set_to_tenths() {
        assert_eq!(as_set(Angle::deg(13.1746)).to_string(), "13.2°");
        assert_eq!(as_set(Angle::deg(-5.04)).to_string(), "-5°");
        assert!(is_square(Angle::deg(-0.049)) && !is_square(Angle::deg(0.051)));
    }

    #[test]
    fn parts_in_turn_are_told_by_the_first_and_the_last() {
        let words =
            |names: &[&str]| part_words(&names.iter().map(|own| String::from(*own)).collect::<Vec<_>>());
        assert_eq!(words(&["back slat 1"]), "back slat 1");
        assert_eq!(words(&["arm post", "arm post 2"]), "arm post, arm post 2");
        assert_eq!(words(&["slat", "slat 2", "slat 3", "slat 5"]), "slat to slat 3, slat 5");
        assert_eq!(words(&["slat 1", "rail 2", "rail 3", "rail 4"]), "slat 1, rail 2 to rail 4");
        assert_eq!(words(&[]), "");
    }

    /// 5 1/2 in are 139.7 mm.
    #[test]
    fn a_hole_for_a_bolt_names_it_as_the_tape_reads() {
        let metric = |purpose| Reading::from(Tape::Mm).purpose_text(purpose);
        assert_eq!(metric("5/16 carriage bolt 5 1/2\""), "5/16 carriage bolt 140 mm");
        assert_eq!(metric("3/8 carriage bolt 4\""), "3/8 carriage bolt 102 mm");
        assert_eq!(metric("pilot for #10 screw"), "pilot for #10 screw");
        let both = Reading { tape: Tape::Inch16, with_mm: true };
        assert_eq!(both.purpose_text("3/8 carriage bolt 4\""), "3/8 carriage bolt 4\" (102 mm)");
        assert_eq!(Reading::default().purpose_text("threaded insert 1/4"), "threaded insert 1/4");
    }

    #[test]
    fn a_countersink_takes_the_head() {
        // Heads of #8 and #10 screws: 21.25 and 24.64 sixty-fourths.
        for (head, inch, metric) in [(8.4328, "11/32\"", "8.5 mm"), (9.779, "25/64\"", "9.8 mm")] {
            assert_eq!(sink_text(Length::mm(head), Tape::Inch16), inch);
            assert_eq!(sink_text(Length::mm(head), Tape::Mm), metric);
        }
        assert_eq!(sink_text(Length::sixty_fourths(25), Tape::Inch64), "25/64\"");
    }
}
