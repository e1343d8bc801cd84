//! Lumber sections: what a board is called, what it measures, in what lengths it is sold.

use crate::Source;
use slatwork_base::{Area, Diagnostic, Length, did_you_mean};

/// What family of sizes a section belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SectionClass {
    /// Softwood board under 2 in nominal.
    Board,
    /// Radius-edge decking.
    Decking,
    /// Dimension lumber, 2 to 4 in nominal thick.
    Dimension,
    /// Timber, 5 in nominal and thicker.
    Timber,
    /// Hardwood surfaced two sides, ripped from boards of random width.
    Hardwood,
    /// Planed metric size.
    Metric,
    /// The user's own.
    Own,
}

/// Every class with its word in data files.
pub const SECTION_CLASSES: [(SectionClass, &str); 7] = [
    (SectionClass::Board, "board"),
    (SectionClass::Decking, "decking"),
    (SectionClass::Dimension, "dimension"),
    (SectionClass::Timber, "timber"),
    (SectionClass::Hardwood, "hardwood"),
    (SectionClass::Metric, "metric"),
    (SectionClass::Own, "own"),
];

/// One lumber section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// As it is asked for: `2x4`, `5/4x6`, `38x89`.
    pub name: String,
    /// Other names for it.
    pub aliases: Vec<String>,
    /// Family of sizes.
    pub class: SectionClass,
    /// Nominal thickness and width, by which it is sold; metric and own sections have none.
    pub nominal: Option<(Length, Length)>,
    /// Dressed dry thickness, or as measured.
    pub thickness: Length,
    /// Dressed dry width, or as measured.
    pub width: Length,
    /// Dressed thickness and width when green, where the standard gives them.
    pub green: Option<(Length, Length)>,
    /// Whether thickness and width were taken off the boards in hand.
    pub measured: bool,
    /// Radius of the long edges as sold; `None` for square edges.
    pub edge_radius: Option<Length>,
    /// Lengths it is sold in, ascending.
    pub stock_lengths: Vec<Length>,
    /// Where the figures come from.
    pub source: Source,
}

impl Section {
    /// Thickness times width.
    pub fn area(&self) -> Area {
        self.thickness * self.width
    }

    /// The size it is sold by: nominal where there is one, else actual.
    pub fn sold_size(&self) -> (Length, Length) {
        self.nominal.unwrap_or((self.thickness, self.width))
    }

    /// Board feet in one foot of length, on the size it is sold by: t(in) x w(in) / 12.
    pub fn board_feet_per_foot(&self) -> f64 {
        let (thickness, width) = self.sold_size();
        thickness.as_inch() * width.as_inch() / 12.0
    }

    /// The nominal size under which tables of design values list it: its own, or the greatest one whose dressed size
    /// it reaches within 1/16 in (project choice: never a larger one). Dressed sizes are 1/2 in under nominal, from
    /// 8 in on 3/4 in (PS 20).
    pub fn table_size(&self) -> (Length, Length) {
        let reached = |actual: Length| {
            let short = if actual >= Length::inch(7.0) { 13 } else { 9 };
            let sixteenths =
                (actual + Length::sixty_fourths(4 * short)).as_nm() / Length::sixty_fourths(4).as_nm();
            Length::sixty_fourths(64 * (sixteenths / 16))
        };
        self.nominal.unwrap_or_else(|| (reached(self.thickness), reached(self.width)))
    }

    /// The longest length it is sold in.
    pub fn longest(&self) -> Option<Length> {
        self.stock_lengths.iter().copied().max()
    }
}

/// The name with case, blanks and inch marks out of the way: `2 X 4"` is `2x4`.
pub(crate) fn section_key(name: &str) -> String {
    let key: String = name
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '"' | '″' | '”'))
        .map(|c| if c == '×' { 'x' } else { c })
        .flat_map(char::to_lowercase)
        .collect();
    match key.strip_suffix("mm").or_else(|| key.strip_suffix("in")) {
        Some(bare) if bare.ends_with(|c: char| c.is_ascii_digit()) => bare.to_string(),
        _ => key,
    }
}

/// How many near sizes an error lists.
const NEAR_SIZES: usize = 4;

/// Beyond this a size is no neighbour, and the name rather a slip of the finger.
const NEAR: Length = Length::nm(3 * 25_400_000);

/// The error for a section that is not in the catalogue, with the nearest ones.
pub(crate) fn unknown_section<'a>(
    name: &str,
    sections: impl Iterator<Item = &'a Section> + Clone,
) -> Diagnostic {
    let error =
        Diagnostic::error("unknown-section", format!("there is no lumber section `{name}` in the catalogue"));
    let own = "a section of your own goes into a catalogue file: name, thickness, width, lengths";
    let key = section_key(name);
    if let Some(section) = swapped(&key, sections.clone()) {
        return error.help(format!("thickness comes first: write `{section}`"));
    }
    let near = asked_size(&key).and_then(|size| near_sizes(size, sections.clone()));
    match near.or_else(|| did_you_mean(name, sections.map(|section| section.name.as_str())).map(quoted)) {
        Some(near) => error.help(format!("did you mean {near}?")).help(own),
        None => error.help("a section is asked for as `2x4`, `5/4x6` or `38x89`").help(own),
    }
}

fn quoted(name: &str) -> String {
    format!("`{name}`")
}

/// A size as it was asked for.
#[derive(Debug, PartialEq)]
struct AskedSize {
    thickness: Length,
    width: Length,
    metric: bool,
}

/// No section is this many inches thick: numbers above are millimetres.
const MOST_INCHES: Length = Length::nm(15 * 25_400_000);

/// The two numbers of `2x4` or `5/4x6` as lengths: inches, or millimetres when both are too large for that.
fn asked_size(key: &str) -> Option<AskedSize> {
    let (thickness, width) = key.split_once('x')?;
    // `5/4x6red`: what follows the number is no part of the size.
    let end = width.find(|c: char| !matches!(c, '0'..='9' | '.' | '/' | '-')).unwrap_or(width.len());
    let (thickness, width) =
        (Length::parse_inches(thickness).ok()?, Length::parse_inches(&width[..end]).ok()?);
    let metric = thickness > MOST_INCHES && width > MOST_INCHES;
    let size = |inches: Length| if metric { Length::mm(inches.as_inch()) } else { inches };
    Some(AskedSize { thickness: size(thickness), width: size(width), metric })
}

fn swapped<'a>(key: &str, mut sections: impl Iterator<Item = &'a Section>) -> Option<&'a str> {
    let (first, second) = key.split_once('x')?;
    let turned = format!("{second}x{first}");
    sections.find(|section| section_key(&section.name) == turned).map(|section| section.name.as_str())
}

/// The nearest sections, those sold in inches for inches and those in millimetres for millimetres.
fn near_sizes<'a>(asked: AskedSize, sections: impl Iterator<Item = &'a Section>) -> Option<String> {
    let distance = |section: &Section| {
        let sold = section.sold_size();
        (sold.0 - asked.thickness).abs() + (sold.1 - asked.width).abs()
    };
    let mut near: Vec<(Length, &str)> = sections
        .filter(|section| section.class == SectionClass::Own || section.nominal.is_none() == asked.metric)
        .map(|section| (distance(section), section.name.as_str()))
        .filter(|(distance, _)| *distance <= NEAR)
        .collect();
    near.sort_by_key(|(distance, _)| *distance);
    let names: Vec<String> = near.iter().take(NEAR_SIZES).map(|(_, name)| quoted(name)).collect();
    (!names.is_empty()).then(|| names.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_a_name_have_one_key() {
        for name in ["2x4", "2 x 4", "2X4", "2×4", "2\"x4\"", "2x4in", " 2x4 "] {
            assert_eq!(section_key(name), "2x4", "{name}");
        }
        assert_eq!(section_key("38 x 89 mm"), "38x89");
        assert_eq!(section_key("5/4x6 RED"), "5/4x6red");
        assert_eq!(section_key("mm"), "mm");
    }

    #[test]
    fn sizes_are_read_out_of_names() {
        let asked = |thickness, width, metric| Some(AskedSize { thickness, width, metric });
        assert_eq!(asked_size("2x7"), asked(Length::inch(2.0), Length::inch(7.0), false));
        assert_eq!(asked_size("5/4x6red"), asked(Length::inch(1.25), Length::inch(6.0), false));
        assert_eq!(asked_size("40x90"), asked(Length::mm(40.0), Length::mm(90.0), true));
        assert_eq!(asked_size("plank"), None);
        assert_eq!(asked_size("x"), None);
    }
}
