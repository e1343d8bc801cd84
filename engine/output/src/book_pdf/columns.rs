//! How wide the columns of a table come out, and how large its type is.

use super::letters::{Letters, unbroken};

/// Sizes of type that a table may have, points; the first that it fits in is taken.
const SIZES: [f64; 4] = [8.2, 7.6, 7.0, 6.4];
/// Cells of up to so many letters stay on one line; the first that there is room for is taken.
const SHORT: [usize; 5] = [28, 20, 14, 8, 0];
/// A column of words that wrap has room for so many letters, the first for more: it names the row.
const WRAPPED: [f64; 2] = [16.0, 11.0];
/// Width of a letter in type sizes, on average.
const LETTER: f64 = 0.56;
/// How much more than its letters a line may take: they are moved together and apart in pairs.
const LOOSE: f64 = 1.02;
/// White in a cell beside its words, left and right together, points.
pub(super) const BESIDE: f64 = 7.0;

/// White over a cell's words and under them, points.
pub(super) const OVER: f64 = 2.5;

/// Columns of a table as text.
pub(super) struct Texts<'a> {
    pub(super) heads: &'a [String],
    pub(super) rows: &'a [Vec<String>],
    /// Whether a column's cells stay on one line in any case: numbers.
    pub(super) is_whole: &'a [bool],
}

/// How a table is laid out.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    /// Size of its type, points.
    pub(super) size: f64,
    /// Widths of its columns, points.
    pub(super) widths: Vec<f64>,
    /// Whether it needs a page that lies on its long side.
    pub(super) is_wide: bool,
}

/// The least and the greatest width that a column has use for, type sizes.
#[derive(Clone, Copy, Debug)]
struct Span {
    least: f64,
    most: f64,
}

/// Lays a table out on `upright` points, or where it has no room there on the `lying` points of a page on its long side.
pub(super) fn laid_out(letters: &Letters, texts: &Texts<'_>, upright: f64, lying: f64) -> Layout {
    let ways = [(upright, false), (lying, true)];
    let tries = ways.into_iter().flat_map(|(room, is_wide)| {
        SIZES
            .into_iter()
            .flat_map(move |size| SHORT.into_iter().map(move |short| (room, is_wide, size, short)))
    });
    let mut found = tries.filter_map(|(room, is_wide, size, short)| {
        let spans = spans(letters, texts, short);
        let room = (room - BESIDE * spans.len() as f64) / size;
        let widths = shared(&spans, room)?;
        Some(Layout {
            size,
            widths: widths.into_iter().map(|width| width * size + BESIDE).collect(),
            is_wide,
        })
    });
    // More columns than a page can hold: all alike, and words run over.
    found.next().unwrap_or_else(|| {
        let count = texts.heads.len().max(1);
        Layout { size: SIZES[SIZES.len() - 1], widths: vec![lying / count as f64; count], is_wide: true }
    })
}

/// Whether a cell of that width has room for a text on one line.
pub(super) fn is_line(letters: &Letters, text: &str, is_bold: bool, size: f64, width: f64) -> bool {
    LOOSE * letters.width(text, is_bold) * size + BESIDE <= width + 1e-6
}

fn spans(letters: &Letters, texts: &Texts<'_>, short: usize) -> Vec<Span> {
    (0..texts.heads.len()).map(|index| span(letters, texts, index, short)).collect()
}

fn span(letters: &Letters, texts: &Texts<'_>, index: usize, short: usize) -> Span {
    let cells = || texts.rows.iter().filter_map(|row| row.get(index)).map(String::as_str);
    let is_bold = index == 0;
    let line = LOOSE * cells().map(|cell| letters.width(cell, is_bold)).fold(0.0, f64::max);
    let head = &texts.heads[index];
    let word = |text: &str, is_bold| {
        LOOSE * unbroken(text).map(|word| letters.width(word, is_bold)).fold(0.0, f64::max)
    };
    let head_word = word(head, true);
    let longest = cells().map(|cell| word(cell, is_bold)).fold(head_word, f64::max);
    let most = line.max(head_word).max(letters.width(head, true).min(WRAPPED[1] * LETTER));
    let stays = texts.is_whole.get(index).copied().unwrap_or(false)
        || cells().map(|cell| cell.chars().count()).max().unwrap_or(0) <= short;
    let wrapped = WRAPPED[usize::from(index > 0)] * LETTER;
    let least = if stays { line.max(head_word) } else { longest.max(wrapped.min(most)) };
    Span { least, most: most.max(least) }
}

/// Each column its least, and of what is left over a share by what more it has use for.
fn shared(spans: &[Span], room: f64) -> Option<Vec<f64>> {
    let least: f64 = spans.iter().map(|span| span.least).sum();
    if least > room {
        return None;
    }
    let more: f64 = spans.iter().map(|span| span.most - span.least).sum();
    let share = if more > 0.0 { ((room - least) / more).min(1.0) } else { 0.0 };
    Some(spans.iter().map(|span| span.least + (span.most - span.least) * share).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laid(heads: &[&str], rows: &[&[&str]]) -> Layout {
        let own = |texts: &[&str]| texts.iter().map(|text| (*text).to_string()).collect::<Vec<_>>();
        let rows: Vec<Vec<String>> = rows.iter().map(|row| own(row)).collect();
        let whole = vec![false; heads.len()];
        let texts = Texts { heads: &own(heads), rows: &rows, is_whole: &whole };
        laid_out(&Letters::read().unwrap(), &texts, 500.0, 750.0)
    }

    #[test]
    fn a_small_table_is_as_wide_as_its_words() {
        let layout = laid(&["mark", "name"], &[&["A", "seat slat"]]);
        assert!(!layout.is_wide && layout.size == SIZES[0]);
        assert!(layout.widths.iter().sum::<f64>() < 120.0, "{layout:?}");
    }

    #[test]
    fn what_has_room_on_a_line_is_known() {
        let letters = Letters::read().unwrap();
        let is_line = |text, width| is_line(&letters, text, false, 8.0, width);
        let wide = 8.0 * letters.width("seat slat", false);
        assert!(is_line("seat slat", LOOSE * wide + BESIDE) && !is_line("seat slat", wide + BESIDE - 1.0));
    }

    #[test]
    fn long_words_take_what_the_short_ones_leave() {
        let long = "a sentence that goes on and on ".repeat(20);
        let layout = laid(&["mark", "name", "what"], &[&["A", "seat slat", &long]]);
        let sum: f64 = layout.widths.iter().sum();
        assert!(!layout.is_wide && (499.0..=500.1).contains(&sum), "{layout:?}");
        assert!(layout.widths[2] > 6.0 * layout.widths[1]);
    }

    #[test]
    fn many_columns_go_smaller_and_then_onto_a_lying_page() {
        let row = |count: usize| vec!["twelve letters and more words"; count];
        let of = |count: usize| laid(&row(count), &[&row(count)]);
        assert!(of(4).size > of(9).size && !of(9).is_wide);
        assert!(of(12).is_wide);
        assert!(of(60).widths.iter().sum::<f64>() <= 750.1);
    }
}
