//! How a template is spread over sheets that overlap: which way up, how many, and where the seams run.

use super::paper::{LONGEST_SHEET, PrintPaper, Printing};
use super::stroke::{Stroke, Window};
use super::{Template, is_geometry};
use slatwork_solid::DVec2;

/// Width of the strip left of the drawing that holds the ruler, mm.
pub(crate) const LEFT_BAND: f64 = 10.0;
/// Height of the strip below the drawing that holds a ruler and the words of the sheet, mm.
pub(crate) const LOWER_BAND: f64 = 25.0;
/// Bare paper left round a template, mm.
const BORDER: f64 = 4.0;
/// A seam is tried at steps of about this, mm.
const SEAM_STEP: f64 = 1.0;
/// A tile needs more of a line than this to be printed, mm.
const LEAST_LINE: f64 = 0.5;
/// How far a cross keeps from the ends of its seam, mm: half a cross and its rim.
const CROSS_INSET: f64 = 8.0;

/// One sheet's part of a template.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// Row from the top.
    pub row: usize,
    /// Column from the left.
    pub column: usize,
    /// What it shows, in the template's coordinates.
    pub window: Window,
    /// Its neighbours that are printed: left, right, below, above.
    pub neighbours: [Option<usize>; 4],
}

impl Tile {
    /// `B2`: row and column.
    pub fn name(&self) -> String {
        format!("{}{}", row_name(self.row), self.column + 1)
    }
}

/// A to Z, then AA.
fn row_name(row: usize) -> String {
    let letter = |index: usize| char::from(b'A' + (index % 26) as u8);
    match row / 26 {
        0 => letter(row).to_string(),
        many => format!("{}{}", letter(many - 1), letter(row)),
    }
}

/// A registration cross, drawn on two sheets.
#[derive(Clone, Debug, PartialEq)]
pub struct Cross {
    /// Where, in the template's coordinates.
    pub at: DVec2,
    /// What stands beside it on both sheets.
    pub label: String,
    /// The two tiles.
    pub tiles: [usize; 2],
}

/// A template over sheets.
#[derive(Clone, Debug, PartialEq)]
pub struct Tiling {
    /// Whether sheets lie on their side.
    pub is_turned: bool,
    /// Rows that the grid has.
    pub rows: usize,
    /// Columns that the grid has.
    pub columns: usize,
    /// The sheets that are printed, row by row.
    pub tiles: Vec<Tile>,
    /// The crosses, seam by seam.
    pub crosses: Vec<Cross>,
    /// How much harm the seams do: weights of what they run through.
    pub harm: f64,
}

/// What of a sheet's width and height is not drawing, upright.
pub(crate) fn frame_of(printing: &Printing) -> [f64; 2] {
    let margin = printing.margin.as_mm();
    [2.0 * margin + LEFT_BAND, 2.0 * margin + LOWER_BAND]
}

/// The largest drawing that a sheet takes, mm, before it is stretched.
pub(crate) fn room(printing: &Printing, is_turned: bool) -> DVec2 {
    let [width, height] = drawn_sides(printing, is_turned);
    let [across, up] = drawn_margins(printing, is_turned);
    DVec2::new(width - 2.0 * across - LEFT_BAND, height - 2.0 * up - LOWER_BAND)
}

/// The stretch of a sheet as it is drawn: a printer errs along the paper, however the page lies on it.
pub(crate) fn stretch(printing: &Printing, is_turned: bool) -> [f64; 2] {
    let [across, up] = printing.factors();
    if is_turned { [up, across] } else { [across, up] }
}

/// Width and height of a sheet before it is stretched.
pub(crate) fn drawn_sides(printing: &Printing, is_turned: bool) -> [f64; 2] {
    let [width, height] = printing.sides();
    let [x, y] = stretch(printing, is_turned);
    if is_turned { [height / x, width / y] } else { [width / x, height / y] }
}

/// Margins of a sheet before it is stretched, across and up.
pub(crate) fn drawn_margins(printing: &Printing, is_turned: bool) -> [f64; 2] {
    stretch(printing, is_turned).map(|own| printing.margin.as_mm() / own)
}

/// Spreads a template over the fewest sheets, or of a roll over the fewest and then the least. `printing` has passed its check.
pub fn tile(template: &Template, printing: &Printing) -> Tiling {
    let ways = [true, false].map(|is_turned| tile_one_way(template, printing, is_turned));
    let cost =
        |own: &Tiling| own.tiles.iter().map(|tile| sheet_area(tile, printing, own.is_turned)).sum::<f64>();
    let [turned, upright] = ways;
    let rank = |own: &Tiling| (own.tiles.len(), cost(own), own.crosses.len(), own.harm);
    if rank(&upright) < rank(&turned) { upright } else { turned }
}

fn sheet_area(tile: &Tile, printing: &Printing, is_turned: bool) -> f64 {
    let [width, height] = page_size(tile, printing, is_turned);
    width * height
}

/// The size of the sheet that a tile is printed on, before it is stretched.
pub(crate) fn page_size(tile: &Tile, printing: &Printing, is_turned: bool) -> [f64; 2] {
    let mut sides = drawn_sides(printing, is_turned);
    if let PrintPaper::Roll { .. } = printing.paper {
        let margins = drawn_margins(printing, is_turned);
        let axis = usize::from(!is_turned);
        let band = if is_turned { LEFT_BAND } else { LOWER_BAND };
        sides[axis] = tile.window.size()[axis].max(LEAST_ROLL) + 2.0 * margins[axis] + band;
    }
    sides
}

/// What a sheet of a roll shows at least, mm, so that its words and rulers have room.
const LEAST_ROLL: f64 = 180.0;

fn tile_one_way(template: &Template, printing: &Printing, is_turned: bool) -> Tiling {
    let room = room(printing, is_turned);
    let bounds = template.bounds();
    let (low, high) = (bounds.low - DVec2::splat(BORDER), bounds.high + DVec2::splat(BORDER));
    let is_roll = matches!(printing.paper, PrintPaper::Roll { .. });
    let spread = |axis: usize| {
        let along_roll = is_roll && (axis == 0) == is_turned;
        let axis_plan = Axis {
            low: low[axis],
            high: high[axis],
            room: room[axis].min(LONGEST_SHEET.as_mm()),
            overlap: printing.overlap.as_mm(),
            is_cut_off: along_roll,
        };
        axis_plan.spread(&|from, to| template.harm(axis, from, to))
    };
    let ((columns, harm_across), (rows, harm_up)) = (spread(0), spread(1));
    let tiles = tiles(template, &columns, &rows);
    let crosses = crosses(&tiles, printing.overlap.as_mm());
    let harm = harm_across + harm_up;
    Tiling { is_turned, rows: rows.len(), columns: columns.len(), tiles, crosses, harm }
}

/// A length to be spread over sheets.
pub(crate) struct Axis {
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) room: f64,
    pub(crate) overlap: f64,
    /// Whether the paper ends where the length does.
    pub(crate) is_cut_off: bool,
}

impl Axis {
    /// From where to where each sheet reaches, and the harm of the seams: fewest sheets, then least harm, then even sheets.
    pub(crate) fn spread(&self, harm: &dyn Fn(f64, f64) -> f64) -> (Vec<(f64, f64)>, f64) {
        let step = self.room - self.overlap;
        let count = ((self.high - self.low - self.overlap) / step).ceil().max(1.0) as usize;
        if count == 1 {
            let middle = (self.low + self.high) / 2.0;
            let half = if self.is_cut_off { (self.high - self.low) / 2.0 } else { self.room / 2.0 };
            return (vec![(middle - half, middle + half)], 0.0);
        }
        // What there is to spare: each seam may lie anywhere in a stretch so long.
        let spare = count as f64 * step + self.overlap - (self.high - self.low);
        let places = ((spare / SEAM_STEP).ceil().max(1.0) as usize).min(600);
        let first = |seam: usize| self.high - self.overlap - (count - seam) as f64 * step;
        let at = |seam: usize, place: usize| first(seam) + spare * place as f64 / places as f64;
        let cost = |seam: usize, place: usize| {
            let from = at(seam, place);
            let uneven = (place as f64 / places as f64 - 0.5).abs();
            harm(from, from + self.overlap) + uneven * UNEVEN
        };
        let chosen = cheapest(count - 1, places + 1, &cost);
        let seams: Vec<f64> = chosen.iter().enumerate().map(|(i, place)| at(i + 1, *place)).collect();
        let harmed = seams.iter().map(|from| harm(*from, from + self.overlap)).sum();
        (self.spans(&seams), harmed)
    }

    fn spans(&self, seams: &[f64]) -> Vec<(f64, f64)> {
        let last = seams.len();
        let span = |i: usize| {
            let from = if i > 0 { seams[i - 1] } else { f64::NEG_INFINITY };
            let to = if i < last { seams[i] + self.overlap } else { f64::INFINITY };
            let (outer_low, outer_high) =
                if self.is_cut_off { (self.low, self.high) } else { (to - self.room, from + self.room) };
            (if i == 0 { outer_low } else { from }, if i == last { outer_high } else { to })
        };
        (0..=last).map(span).collect()
    }
}

/// What wholly uneven sheets weigh against harm: next to nothing.
const UNEVEN: f64 = 1e-3;

/// The cheapest place of each seam in turn, where each lies no later in its stretch than the one before: then no sheet
/// between two seams is longer than there is room.
fn cheapest(seams: usize, places: usize, cost: &dyn Fn(usize, usize) -> f64) -> Vec<usize> {
    // For each seam and place the least cost of it and all before, and the place of the one before.
    let mut tables: Vec<Vec<(f64, usize)>> = Vec::with_capacity(seams);
    for seam in 1..=seams {
        let mut table = vec![(0.0, 0); places];
        let mut best = (f64::INFINITY, 0);
        for place in (0..places).rev() {
            let before = tables.last().map_or(0.0, |table: &Vec<(f64, usize)>| table[place].0);
            if before < best.0 {
                best = (before, place);
            }
            table[place] = (best.0 + cost(seam, place), best.1);
        }
        tables.push(table);
    }
    let mut chosen = vec![0; seams];
    let Some(last) = tables.last() else { return chosen };
    let mut place = (0..places).min_by(|a, b| last[*a].0.total_cmp(&last[*b].0)).unwrap_or(0);
    for seam in (0..seams).rev() {
        chosen[seam] = place;
        place = tables[seam][place].1;
    }
    chosen
}

/// The tiles of a grid that show something.
fn tiles(template: &Template, columns: &[(f64, f64)], rows: &[(f64, f64)]) -> Vec<Tile> {
    let strokes: Vec<(Stroke, Window)> = template
        .items
        .iter()
        .filter(|item| is_geometry(item.class))
        .flat_map(|item| Stroke::of(&item.figure))
        .map(|stroke| (stroke, stroke.bounds()))
        .collect();
    let shown = |window: Window| {
        let grown = Window::new(window.low - DVec2::splat(1e-6), window.high + DVec2::splat(1e-6));
        let near = strokes.iter().filter(|(_, bounds)| bounds.meets(grown) || grown.holds(*bounds));
        near.flat_map(|(stroke, _)| stroke.within(window)).map(Stroke::length).sum::<f64>() > LEAST_LINE
    };
    let mut tiles = Vec::new();
    for (row, (bottom, top)) in rows.iter().rev().enumerate() {
        for (column, (left, right)) in columns.iter().enumerate() {
            let window = Window::new(DVec2::new(*left, *bottom), DVec2::new(*right, *top));
            if shown(window) {
                tiles.push(Tile { row, column, window, neighbours: [None; 4] });
            }
        }
    }
    let known: Vec<(usize, usize)> = tiles.iter().map(|tile| (tile.row, tile.column)).collect();
    let find = |row: Option<usize>, column: Option<usize>| {
        known.iter().position(|own| Some(own.0) == row && Some(own.1) == column)
    };
    for tile in &mut tiles {
        let (row, column) = (Some(tile.row), Some(tile.column));
        tile.neighbours = [
            find(row, tile.column.checked_sub(1)),
            find(row, Some(tile.column + 1)),
            find(Some(tile.row + 1), column),
            find(tile.row.checked_sub(1), column),
        ];
    }
    tiles
}

/// Two crosses on each seam, on the middle of the strip that both sheets show, as far apart as the seam allows.
fn crosses(tiles: &[Tile], overlap: f64) -> Vec<Cross> {
    let mut crosses = Vec::new();
    for (index, tile) in tiles.iter().enumerate() {
        for (side, axis) in [(1, 0), (2, 1)] {
            let Some(other) = tile.neighbours[side] else { continue };
            let neighbour = &tiles[other];
            let strip = Window::new(
                tile.window.low.max(neighbour.window.low),
                tile.window.high.min(neighbour.window.high),
            );
            // Where a third sheet may lie over the strip, no cross is put.
            let across = 1 - axis;
            let (low, high) = (strip.low[across] + overlap, strip.high[across] - overlap);
            let inset = CROSS_INSET.min((high - low) / 4.0);
            for (end, along) in [("a", low + inset), ("b", high - inset)] {
                let mut at = (strip.low + strip.high) / 2.0;
                at[across] = along;
                let label = format!("{}-{} {end}", tile.name(), neighbour.name());
                crosses.push(Cross { at, label, tiles: [index, other] });
            }
        }
    }
    crosses
}
