//! The lists of the shop as plain tables. The crate's front page says what each column means.

use crate::cut_list::CutRow;
use crate::hardware::Rated;
use crate::holes::HoleRow;
use crate::plan::ShopPlan;
use crate::planes::PlaneMarks;
use crate::purchase::{
    BoardLayout, BoardSource, LayoutCut, LayoutLane, LayoutNest, NestedPiece, RackStretch,
};
use crate::shapes::{NotchRow, OutlineRow, PlaneRow, arc_radius};
use crate::stops::StopItem;
use crate::table::{Column, Table, Unit, Value};
use crate::words::{BoardSide, bit_text, part_words};
use slatwork_base::{Angle, Length, Tape};
use slatwork_model::Blank;
use slatwork_solid::DVec3;

const TEXT: Unit = Unit::Text;
const COUNT: Unit = Unit::Count;
const LENGTH: Unit = Unit::Length;
const ANGLE: Unit = Unit::Angle;
/// A direction's component: a pure number.
const RATIO: Unit = Unit::Number { unit: "", decimals: 6 };

pub(crate) fn columns(list: &[(&'static str, &'static str, Unit)]) -> Vec<Column> {
    list.iter().map(|&(key, title, unit)| Column { key, title, unit }).collect()
}

/// Builds a row from anything that is a value.
macro_rules! row {
    ($($value:expr),* $(,)?) => { vec![$(Value::from($value)),*] };
}
pub(crate) use row;

impl ShopPlan {
    /// Every list, in the order a builder needs them.
    pub fn tables(&self) -> Vec<Table> {
        vec![
            self.bill_table(),
            self.hardware_table(),
            self.finishing_table(),
            self.purchase_table(),
            self.boards_table(),
            self.cut_list_table(),
            self.steps_table(),
            self.stops_table(),
            self.holes_table(),
            self.drilled_table(),
            self.planes_table(),
            self.notches_table(),
            self.notch_walls_table(),
            self.outlines_table(),
            self.places_table(),
        ]
    }

    /// One row for each section and species.
    pub fn bill_table(&self) -> Table {
        let columns = columns(&[
            ("section", "section", TEXT),
            ("species", "wood", TEXT),
            ("pieces", "pieces", COUNT),
            ("length", "length in all", LENGTH),
            ("board_feet", "board feet", Unit::Number { unit: "", decimals: 2 }),
        ]);
        let rows = self.bill.lumber.iter();
        let rows = rows.map(|line| {
            row![line.section.clone(), line.species_name.clone(), line.pieces, line.length, line.board_feet]
        });
        Table { name: "bill", title: "lumber", columns, rows: rows.collect() }
    }

    /// One row for each kind of hardware or fastener.
    pub fn hardware_table(&self) -> Table {
        let columns = columns(&[
            ("item", "item", TEXT),
            ("name", "ask for", TEXT),
            ("count", "used", COUNT),
            ("spares", "spare", COUNT),
            ("buy", "buy", COUNT),
            ("boxes", "boxes", TEXT),
            ("each", "length of each", LENGTH),
            ("links", "links", COUNT),
            ("all", "length of all", LENGTH),
            ("rated", "rated load", TEXT),
            ("working_load", "working load in line", Unit::Number { unit: "N", decimals: 0 }),
            ("purpose", "for", TEXT),
        ]);
        let rows = self.bill.hardware.iter().map(|line| {
            let purpose = line.purposes.join("; ");
            let boxes = line.boxes.map(|(size, count)| match count {
                1 => format!("1 of {size}"),
                count => format!("{count} of {size}"),
            });
            row![
                line.item.clone(),
                line.name.clone(),
                line.count,
                line.spares,
                line.to_buy(),
                boxes,
                line.each,
                line.links,
                line.total_length(),
                line.rated.map(|rated| rated.words(self.reading.tape)),
                line.rated.and_then(Rated::newtons),
                purpose,
            ]
        });
        Table { name: "hardware", title: "hardware", columns, rows: rows.collect() }
    }

    /// What is spread and rounded: glue, surface, edges by radius.
    pub fn finishing_table(&self) -> Table {
        let columns = columns(&[
            ("what", "what", TEXT),
            ("area", "area", Unit::Number { unit: "mm2", decimals: 0 }),
            ("radius", "radius", LENGTH),
            ("length", "length in all", LENGTH),
        ]);
        let spread = [("glue", self.bill.glue), ("surface", self.bill.surface)];
        let spread = spread.into_iter().filter(|(_, area)| area.as_square_mm() > 0.0);
        let spread = spread.map(|(what, area)| row![what, area.as_square_mm(), Value::Empty, Value::Empty]);
        let edges =
            self.bill.edges.iter().map(|edge| row!["rounded edges", Value::Empty, edge.radius, edge.length]);
        Table {
            name: "finishing",
            title: "glue, surface and edges",
            columns,
            rows: spread.chain(edges).collect(),
        }
    }

    /// One row for each length of board to buy.
    pub fn purchase_table(&self) -> Table {
        let columns = columns(&[
            ("section", "section", TEXT),
            ("species", "wood", TEXT),
            ("length", "length", LENGTH),
            ("count", "boards", COUNT),
            ("price_each_cents", "price of one, cents", COUNT),
            ("price_all_cents", "price of all, cents", COUNT),
            ("pieces", "for pieces", COUNT),
        ]);
        let cents = |price: Option<i64>| price.map_or(Value::Empty, Value::Count);
        let rows = self.purchase.lines.iter().map(|line| {
            let all = line.price_cents.and_then(|price| price.checked_mul(i64::try_from(line.count).ok()?));
            let (section, species) = (line.section.clone(), line.species_name.clone());
            row![
                section,
                species,
                line.length,
                line.count,
                cents(line.price_cents),
                cents(all),
                self.purchase.pieces
            ]
        });
        Table { name: "purchase", title: "boards to buy", columns, rows: rows.collect() }
    }

    /// One row for each piece on each board.
    pub fn boards_table(&self) -> Table {
        let columns = columns(&[
            ("board", "board", COUNT),
            ("from", "from", TEXT),
            ("section", "section", TEXT),
            ("species", "wood", TEXT),
            ("board_length", "board", LENGTH),
            ("board_width", "board width", LENGTH),
            ("rack_entry", "rack entry", COUNT),
            ("rack_board", "board of the entry", COUNT),
            ("stretch_from", "stretch from", LENGTH),
            ("whole_length", "whole board", LENGTH),
            ("cut_start", "length from", LENGTH),
            ("cut_end", "length to", LENGTH),
            ("strip_from", "strip from", LENGTH),
            ("strip_width", "strip width", LENGTH),
            ("mark", "mark", TEXT),
            ("piece", "piece", TEXT),
            ("start", "from", LENGTH),
            ("end", "stop at", LENGTH),
            ("offcut", "offcut", LENGTH),
            ("nested", "traced in a nest", TEXT),
            ("pieces", "for pieces", COUNT),
        ]);
        let boards = self.purchase.layouts.iter().enumerate();
        let mut rows: Vec<Vec<Value>> =
            boards.flat_map(|(index, board)| board_rows(index + 1, board)).collect();
        rows.iter_mut().for_each(|row| row.extend(row![self.purchase.pieces]));
        Table { name: "boards", title: "how each board is cut", columns, rows }
    }

    /// One row for each set.
    pub fn cut_list_table(&self) -> Table {
        let columns = columns(&[
            ("mark", "mark", TEXT),
            ("name", "part", TEXT),
            ("quantity", "count", COUNT),
            ("hand", "hand", TEXT),
            ("pair", "pair", TEXT),
            ("section", "section", TEXT),
            ("species", "wood", TEXT),
            ("length", "length", LENGTH),
            ("width", "width", LENGTH),
            ("thickness", "thickness", LENGTH),
            ("rough_length", "cut first to", LENGTH),
            ("rough_width", "rip first to", LENGTH),
            ("blank", "blank", TEXT),
            ("boards", "cut from", TEXT),
            ("fit", "fit", TEXT),
            ("outline", "outline", TEXT),
            ("outline_from", "outline from", LENGTH),
            ("outline_to", "outline to", LENGTH),
            ("sprung", "sprung", LENGTH),
            ("volume", "volume", Unit::Number { unit: "mm3", decimals: 0 }),
            ("parts", "parts", TEXT),
        ]);
        let rows = self.cut_list.rows.iter().map(|row| self.cut_row(row));
        Table { name: "cut_list", title: "cut list", columns, rows: rows.collect() }
    }

    fn cut_row(&self, row: &CutRow) -> Vec<Value> {
        let fit = row
            .fit
            .as_ref()
            .map(|fit| format!("{} over; trim {}", self.reading.text(fit.allowance), fit.trim));
        let blank = match &row.blank {
            Blank::Solid => String::from("solid"),
            Blank::GluedUp { strips, how } => format!("glued from {} strips, {}", strips.len(), how.words()),
        };
        let sheet = row.outline.as_ref();
        row![
            row.mark.clone(),
            row.name.clone(),
            row.quantity,
            row.hand_word,
            row.pair.as_ref().map(|(mate, words)| format!("with {mate}: {words}")),
            row.section.clone(),
            row.species.clone(),
            row.length,
            row.width,
            row.thickness,
            row.rough_length,
            row.rough_width,
            blank,
            (!row.sources.is_empty()).then(|| row.boards()),
            fit,
            sheet.map_or("rectangle", |sheet| sheet.drawn_on()),
            sheet.map(|sheet| sheet.low),
            sheet.map(|sheet| sheet.high),
            row.sprung,
            row.volume_mm3,
            row.parts.join("; "),
        ]
    }

    /// One row for each step of making each set.
    pub fn steps_table(&self) -> Table {
        let columns = columns(&[
            ("mark", "mark", TEXT),
            ("step", "step", COUNT),
            ("work", "work", TEXT),
            ("words", "what to do", TEXT),
            ("when", "when", TEXT),
        ]);
        let rows = self.cut_list.rows.iter().flat_map(|row| {
            row.steps.iter().enumerate().map(|(index, step)| {
                row![row.mark.clone(), index + 1, step.work.word(), step.words.clone(), step.when.clone()]
            })
        });
        Table { name: "cutting", title: "how each part is made", columns, rows: rows.collect() }
    }

    /// One row for each set at each setting.
    pub fn stops_table(&self) -> Table {
        let columns = columns(&[
            ("work", "work", TEXT),
            ("mitre", "mitre", ANGLE),
            ("bevel", "bevel", ANGLE),
            ("stop", "set to", LENGTH),
            ("exact", "exact", LENGTH),
            ("off", "true size", TEXT),
            ("mark", "mark", TEXT),
            ("name", "part", TEXT),
            ("section", "section", TEXT),
            ("count", "count", COUNT),
            ("note", "note", TEXT),
        ]);
        Table { name: "stops", title: "stops and settings", columns, rows: self.stop_rows() }
    }

    fn stop_rows(&self) -> Vec<Vec<Value>> {
        let (plan, tape) = (&self.stops, self.reading.tape);
        let fences = plan.fences.iter().flat_map(|stop| {
            stop.items
                .iter()
                .map(|item| stop_row(tape, "rip", (None, None), Some(stop.mark), item, item.note()))
        });
        let bevels = plan.bevels.iter().flat_map(|setting| {
            setting.items.iter().map(|(item, side)| {
                stop_row(
                    tape,
                    "bevel rip",
                    (None, Some(setting.bevel)),
                    None,
                    item,
                    Some(side.word().to_string()),
                )
            })
        });
        let ends = plan.first_ends.iter().flat_map(|ends| {
            let angles = (Some(ends.mitre), Some(ends.bevel));
            ends.items
                .iter()
                .map(move |item| stop_row(tape, ends.side.word(), angles, None, item, item.note()))
        });
        let crosscuts = plan.crosscuts.iter().flat_map(|setting| {
            let angles = (Some(setting.mitre), Some(setting.bevel));
            setting.stops.iter().flat_map(move |stop| {
                stop.items
                    .iter()
                    .map(move |item| stop_row(tape, "crosscut", angles, Some(stop.mark), item, item.note()))
            })
        });
        fences.chain(bevels).chain(ends).chain(crosscuts).collect()
    }

    /// One row for each stretch of each hole.
    pub fn holes_table(&self) -> Table {
        let columns = columns(&[
            ("mark", "mark", TEXT),
            ("hole", "hole", COUNT),
            ("stretch", "stretch", COUNT),
            ("quantity", "count", COUNT),
            ("side", "bored from", TEXT),
            ("from_end", "from datum end", LENGTH),
            ("from_edge", "from datum edge", LENGTH),
            ("from_face", "from back face", LENGTH),
            ("lean_length", "leans to far end", ANGLE),
            ("lean_width", "leans to far edge", ANGLE),
            ("lean_thickness", "leans to marked face", ANGLE),
            ("drill", "drill", TEXT),
            ("diameter", "diameter", Unit::Number { unit: "mm", decimals: 2 }),
            ("depth_from", "from depth", LENGTH),
            ("depth_to", "to depth", LENGTH),
            ("through", "through", Unit::Flag),
            ("countersink", "countersink", Unit::Number { unit: "mm", decimals: 2 }),
            ("turned", "other side in", TEXT),
            ("purpose", "for", TEXT),
            ("when", "when", TEXT),
        ]);
        let rows = self.holes.rows.iter().flat_map(|hole| hole_rows(hole, self.reading.tape));
        Table { name: "holes", title: "hole list", columns, rows: rows.collect() }
    }

    /// One row for each size and depth of pilot in a set that is drilled on through the holes of another.
    pub fn drilled_table(&self) -> Table {
        let columns = columns(&[
            ("mark", "mark", TEXT),
            ("name", "part", TEXT),
            ("count", "holes", COUNT),
            ("drill", "drill", TEXT),
            ("diameter", "diameter", Unit::Number { unit: "mm", decimals: 2 }),
            ("depth", "depth", LENGTH),
            ("through_mark", "through", TEXT),
            ("through", "which of them", TEXT),
            ("holes", "its holes", TEXT),
            ("purpose", "for", TEXT),
        ]);
        let rows = self.holes.drilled.iter().map(|row| {
            row![
                row.mark.clone(),
                part_words(&row.parts),
                row.count,
                bit_text(row.diameter, self.reading.tape),
                row.diameter.as_mm(),
                row.depth,
                row.through_mark.clone(),
                row.through.join("; "),
                row.holes.iter().map(usize::to_string).collect::<Vec<_>>().join("; "),
                row.purpose.clone(),
            ]
        });
        Table { name: "drilled", title: "drilled on through other parts", columns, rows: rows.collect() }
    }

    /// One row for each end cut and edge bevel.
    pub fn planes_table(&self) -> Table {
        let columns = columns(&[
            ("mark", "mark", TEXT),
            ("cut", "cut", COUNT),
            ("what", "where", TEXT),
            ("mitre", "mitre", ANGLE),
            ("bevel", "bevel", ANGLE),
            ("along", "measured along", TEXT),
            ("keep", "keep", TEXT),
            ("first", "mark 1", LENGTH),
            ("second", "mark 2", LENGTH),
            ("third", "mark 3", LENGTH),
            ("when", "when", TEXT),
        ]);
        let rows = self.shapes.planes.iter().map(plane_row);
        Table { name: "planes", title: "end cuts and bevels", columns, rows: rows.collect() }
    }

    /// One row for each notch.
    pub fn notches_table(&self) -> Table {
        let columns = columns(&[
            ("mark", "mark", TEXT),
            ("notch", "notch", COUNT),
            ("purpose", "for", TEXT),
            ("from_end", "from datum end", LENGTH),
            ("along", "along", LENGTH),
            ("from_edge", "from datum edge", LENGTH),
            ("across", "across", LENGTH),
            ("from_face", "from back face", LENGTH),
            ("thick", "thick", LENGTH),
            ("depth", "deep", LENGTH),
            ("face", "from", TEXT),
            ("wall", "walls lean", ANGLE),
            ("clearance", "play", LENGTH),
            ("when", "when", TEXT),
        ]);
        let rows = self.shapes.notches.iter().map(notch_row);
        Table { name: "notches", title: "notches", columns, rows: rows.collect() }
    }

    /// One row for each wall of each notch.
    pub fn notch_walls_table(&self) -> Table {
        let columns = columns(&[
            ("mark", "mark", TEXT),
            ("notch", "notch", COUNT),
            ("region", "region", COUNT),
            ("wall", "wall", COUNT),
            ("along", "measured along", TEXT),
            ("remove", "take out", TEXT),
            ("first", "mark 1", LENGTH),
            ("second", "mark 2", LENGTH),
            ("third", "mark 3", LENGTH),
        ]);
        let rows = self.shapes.notches.iter().flat_map(|notch| {
            let regions = notch.regions.iter().enumerate();
            regions.flat_map(move |(region, walls)| {
                walls.iter().enumerate().map(move |(index, wall)| {
                    [row![notch.mark.clone(), notch.number, region + 1, index + 1], marks_row(wall)].concat()
                })
            })
        });
        Table { name: "notch_walls", title: "walls of the notches", columns, rows: rows.collect() }
    }

    /// One row for each corner of each outline.
    pub fn outlines_table(&self) -> Table {
        let columns = columns(&[
            ("mark", "mark", TEXT),
            ("corner", "corner", COUNT),
            ("drawn_on", "drawn on", TEXT),
            ("from_end", "from datum end", LENGTH),
            ("from_datum", "from datum edge or back face", LENGTH),
            ("bulge", "bulge to the next", RATIO),
            ("radius", "radius to the next", LENGTH),
        ]);
        let rows = self.shapes.outlines.iter().flat_map(outline_rows);
        Table { name: "outlines", title: "outlines", columns, rows: rows.collect() }
    }

    /// One row for each part: where its set's drawing stands in the piece.
    pub fn places_table(&self) -> Table {
        let columns = columns(&[
            ("part", "part", TEXT),
            ("mark", "mark", TEXT),
            ("right", "right", LENGTH),
            ("rear", "rear", LENGTH),
            ("up", "up", LENGTH),
            ("along_right", "along: right", RATIO),
            ("along_rear", "along: rear", RATIO),
            ("along_up", "along: up", RATIO),
            ("across_right", "across: right", RATIO),
            ("across_rear", "across: rear", RATIO),
            ("across_up", "across: up", RATIO),
        ]);
        let direction = |d: DVec3| row![d.x, d.y, d.z];
        let rows = self.shapes.places.iter().map(|place| {
            let corner =
                [place.corner.x, place.corner.y, place.corner.z].map(|mm| Value::from(Length::mm(mm)));
            let names = row![place.name.clone(), place.mark.clone()];
            [names, corner.to_vec(), direction(place.along), direction(place.across)].concat()
        });
        Table { name: "places", title: "where the parts stand", columns, rows: rows.collect() }
    }
}

fn stop_row(
    tape: Tape,
    work: &str,
    (mitre, bevel): (Option<Angle>, Option<Angle>),
    stop: Option<Length>,
    item: &StopItem,
    note: Option<String>,
) -> Vec<Value> {
    let (mark, name, section) = (item.mark.clone(), item.name.clone(), item.section.clone());
    let off = stop.and_then(|stop| tape.rest_text(item.exact - stop));
    let exact = stop.map(|_| item.exact);
    row![work, mitre, bevel, stop, exact, off, mark, name, section, item.count, note]
}

fn board_rows(number: usize, board: &BoardLayout) -> Vec<Vec<Value>> {
    let lanes = board.cuts.iter().flat_map(|cut| cut.lanes.iter().map(move |lane| (cut, lane)));
    let nested = board.cuts.iter().flat_map(|cut| cut.nest.iter().map(move |nest| (cut, nest)));
    let rows = lanes.flat_map(|(cut, lane)| lane_rows(number, board, cut, lane));
    rows.chain(nested.flat_map(|(cut, nest)| nest_rows(number, board, cut, nest))).collect()
}

fn board_words(number: usize, board: &BoardLayout) -> Vec<Value> {
    let from = if board.from == BoardSource::Yard { "yard" } else { "rack" };
    // Which of several alike only matters where each is cut up in stretches.
    let is_part = |own: &RackStretch| !own.is_whole(board.length);
    row![
        number,
        from,
        board.section.clone(),
        board.species.clone(),
        board.length,
        board.width,
        board.stretch.map(|own| own.offcut + 1),
        board.stretch.filter(is_part).map(|own| own.board + 1),
        board.stretch.map(|own| own.from),
        board.stretch.map(|own| own.whole),
    ]
}

/// The strip of a nested piece is that of its outline.
fn nest_rows(number: usize, board: &BoardLayout, cut: &LayoutCut, nest: &LayoutNest) -> Vec<Vec<Value>> {
    let row = |own: &NestedPiece| {
        let piece = &own.piece;
        let place = row![cut.start, cut.end, own.from_edge, own.width];
        let words = row![piece.mark.clone(), piece.name.clone(), piece.start, piece.end, board.offcut];
        [board_words(number, board), place, words, row![own.turn_words()]].concat()
    };
    nest.pieces.iter().map(row).collect()
}

fn lane_rows(number: usize, board: &BoardLayout, cut: &LayoutCut, lane: &LayoutLane) -> Vec<Vec<Value>> {
    let board_words = board_words(number, board);
    let lane_words = row![cut.start, cut.end, lane.from_edge, lane.width];
    let pieces = lane.pieces.iter().map(|piece| {
        let piece_words =
            row![piece.mark.clone(), piece.name.clone(), piece.start, piece.end, board.offcut, Value::Empty];
        [board_words.clone(), lane_words.clone(), piece_words].concat()
    });
    pieces.collect()
}

/// A drill is no length on a tape: its size in words, and exact.
fn hole_rows(hole: &HoleRow, tape: Tape) -> Vec<Vec<Value>> {
    let [end, edge, face] = hole.at;
    let [length, width, thickness] = hole.lean;
    let bores = hole.bores.iter().enumerate().map(|(index, bore)| {
        row![
            hole.mark.clone(),
            hole.number,
            index + 1,
            hole.quantity,
            hole.side.word(),
            end,
            edge,
            face,
            length,
            width,
            thickness,
            bit_text(bore.diameter, tape),
            bore.diameter.as_mm(),
            bore.from,
            bore.to,
            bore.to.is_none(),
            hole.countersink.filter(|_| index == 0).map(Length::as_mm),
            hole.turned.join("; "),
            hole.purpose.clone(),
            hole.when.clone(),
        ]
    });
    bores.collect()
}

/// Direction, side and the three marks. "before": the side of the datum; "beyond": the far side.
fn marks_row(plane: &PlaneMarks) -> Vec<Value> {
    let side = if plane.beyond { "beyond" } else { "before" };
    let [first, second, third] = plane.marks;
    row![plane.along.word(), side, first, second, third]
}

fn plane_row(row: &PlaneRow) -> Vec<Value> {
    let named = row![row.mark.clone(), row.number, row.what.clone(), row.mitre, row.bevel];
    [named, marks_row(&row.plane), row![row.when.clone()]].concat()
}

fn notch_row(row: &NotchRow) -> Vec<Value> {
    row![
        row.mark.clone(),
        row.number,
        row.purpose.clone(),
        row.from_end,
        row.along,
        row.from_edge,
        row.across,
        row.from_face,
        row.thick,
        row.depth,
        row.face.map_or("through", BoardSide::word),
        row.wall,
        row.clearance,
        row.when.clone(),
    ]
}

fn outline_rows(outline: &OutlineRow) -> Vec<Vec<Value>> {
    let vertices = &outline.sheet.profile.vertices;
    let corner = |index: usize| {
        let (vertex, next) = (vertices[index], vertices[(index + 1) % vertices.len()]);
        row![
            outline.mark.clone(),
            index + 1,
            outline.sheet.drawn_on(),
            Length::mm(vertex.point.x),
            Length::mm(vertex.point.y),
            vertex.bulge,
            arc_radius(vertex.point.distance(next.point), vertex.bulge),
        ]
    };
    (0..vertices.len()).map(corner).collect()
}
