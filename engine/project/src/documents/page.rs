//! A page of text for a person at the bench.

use crate::Units;
use slatwork_base::{Area, Length};

/// Characters to a line.
pub(crate) const WIDTH: usize = 96;

/// Text being written, line by line.
#[derive(Debug, Default)]
pub(crate) struct Page {
    text: String,
}

impl Page {
    /// A line with a rule of its own length under it.
    pub(crate) fn heading(&mut self, words: &str, rule: char) {
        self.blank();
        self.line(words);
        self.line(&rule.to_string().repeat(words.chars().count()));
    }

    /// A line as it is.
    pub(crate) fn line(&mut self, words: &str) {
        self.text.push_str(words.trim_end());
        self.text.push('\n');
    }

    /// An empty line, unless there is one or nothing stands before it.
    pub(crate) fn blank(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// Words wrapped to the page: the first line led by `first`, the others set in as far.
    pub(crate) fn wrapped(&mut self, first: &str, words: &str) {
        let room = first.chars().count();
        let mut line = String::from(first);
        let mut empty = true;
        for word in slatwork_base::words_to_wrap(words) {
            if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.line(&line);
                line = " ".repeat(room);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.line(&line);
    }

    /// The text.
    pub(crate) fn finish(self) -> String {
        self.text
    }
}

/// `1 board`, `3 boards`.
pub(crate) fn counted(count: usize, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

/// A density: `47 lb/cu ft (755 kg/m3)`, `755 kg/m3`.
pub(crate) fn density(units: Units, kg_m3: f64) -> String {
    /// Kilograms in a cubic metre for one pound in a cubic foot: 0.45359237 / 0.3048^3.
    const POUND_PER_CUBIC_FOOT: f64 = 16.018_463;
    in_feet(units, format!("{:.0} lb/cu ft", kg_m3 / POUND_PER_CUBIC_FOOT), format!("{kg_m3:.0} kg/m3"))
}

/// An area: `52 sq ft (4.83 m2)`, `4.83 m2`.
pub(crate) fn area(units: Units, area: Area) -> String {
    let metric = area.as_square_m();
    in_feet(units, format!("{:.0} sq ft", metric / (FOOT * FOOT)), format!("{metric:.2} m2"))
}

/// An area too small for square feet: `62 sq in (400 cm2)`, `400 cm2`.
pub(crate) fn small_area(units: Units, area: Area) -> String {
    let metric = area.as_square_m();
    let inch = FOOT / 12.0;
    in_feet(units, format!("{:.0} sq in", metric / (inch * inch)), format!("{:.0} cm2", metric * 1e4))
}

/// A length in all: `62.3 ft (19.0 m)`, `19.0 m`.
pub(crate) fn run(units: Units, length: Length) -> String {
    let metres = length.as_metre();
    in_feet(units, format!("{:.1} ft", metres / FOOT), format!("{metres:.1} m"))
}

/// Metres in a foot, exact.
const FOOT: f64 = 0.3048;

fn in_feet(units: Units, feet: String, metric: String) -> String {
    if units == Units::Mm { metric } else { format!("{feet} ({metric})") }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 kg = 2.2046 lb, 1 m2 = 10.764 sq ft, 1 m = 3.2808 ft, 16.018 kg/m3 = 1 lb/cu ft.
    #[test]
    fn inch_papers_weigh_in_pounds_and_measure_in_feet() {
        assert_eq!(Units::Inch.mass_text(53.6), "118 lb (53.6 kg)");
        assert_eq!(Units::Mm.mass_text(53.6), "53.6 kg");
        assert_eq!(density(Units::Both, 755.0), "47 lb/cu ft (755 kg/m3)");
        assert_eq!(run(Units::Inch, Length::mm(3048.0)), "10.0 ft (3.0 m)");
        assert_eq!(run(Units::Mm, Length::mm(3048.0)), "3.0 m");
    }

    #[test]
    fn long_words_wrap_under_their_first() {
        let mut page = Page::default();
        page.heading("Steps", '-');
        page.wrapped("  1. ", &"saw and plane ".repeat(10));
        let text = page.finish();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[..2], ["Steps", "-----"]);
        assert!(lines[2].starts_with("  1. saw") && lines[3].starts_with("     "), "{text}");
        assert!(lines.iter().all(|line| line.chars().count() <= WIDTH));
    }
}
