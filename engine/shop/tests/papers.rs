//! The papers are enough: parts and piece rebuilt from nothing but the tables, by the recipe of the crate's front page.

mod hand;

use hand::{Board, INCH, board, catalogue, model};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use slatwork_base::{Length, Tape};
use slatwork_model::{BoardEnd, Model, NotchPurpose, When};
use slatwork_shop::{ShopPlan, Table, Value, plan};
use slatwork_solid::{
    Across, DMat3, DVec2, DVec3, HalfSpace, Hole, HoleStep, Notch, Profile, Shape, Solid, Tag, Tolerance,
    Vertex, build,
};

/// A table read by column names, as a stranger's script would.
struct Reader<'a>(&'a Table);

struct Row<'a>(&'a Table, &'a [Value]);

impl<'a> Reader<'a> {
    fn rows_of(&self, mark: &str) -> Vec<Row<'a>> {
        self.rows().into_iter().filter(|row| row.text("mark") == mark).collect()
    }

    fn rows(&self) -> Vec<Row<'a>> {
        self.0.rows.iter().map(|row| Row(self.0, row)).collect()
    }
}

impl Row<'_> {
    fn value(&self, key: &str) -> &Value {
        let index = self.0.columns.iter().position(|column| column.key == key);
        &self.1[index.unwrap_or_else(|| panic!("no column {key} in {}", self.0.name))]
    }

    fn text(&self, key: &str) -> String {
        match self.value(key) {
            Value::Text(text) => text.clone(),
            other => panic!("{key}: {other:?}"),
        }
    }

    fn number(&self, key: &str) -> Option<f64> {
        match self.value(key) {
            Value::Length(length) => Some(length.as_mm()),
            Value::Angle(angle) => Some(angle.as_deg()),
            Value::Number(number) => Some(*number),
            Value::Count(count) => Some(*count as f64),
            Value::Empty => None,
            other => panic!("{key}: {other:?}"),
        }
    }

    fn mm(&self, key: &str) -> f64 {
        self.number(key).unwrap_or_else(|| panic!("{key} is empty"))
    }
}

/// The plane through the three points of steps 2 and 3, its normal out of the half-space named.
fn plane(row: &Row, side: &str, size: DVec3) -> HalfSpace {
    let (axis, first, second) = match row.text("along").as_str() {
        "length" => (0, 1, 2),
        "width" => (1, 0, 2),
        _ => (2, 0, 1),
    };
    let point = |key: &str, at_first: f64, at_second: f64| {
        let mut point = DVec3::ZERO;
        (point[axis], point[first], point[second]) = (row.mm(key), at_first, at_second);
        point
    };
    let corner = point("first", 0.0, 0.0);
    let square = (point("second", size[first], 0.0) - corner)
        .cross(point("third", 0.0, size[second]) - corner)
        .normalize();
    let beyond = row.text(side) == "beyond";
    let normal = if (square[axis] < 0.0) == beyond { square } else { -square };
    HalfSpace { normal, offset: normal.dot(corner), tag: Tag(100) }
}

fn hole(rows: &[&Row], size: DVec3) -> Hole {
    let row = rows[0];
    let (axis, high) = match row.text("side").as_str() {
        "datum end" => (0, false),
        "far end" => (0, true),
        "datum edge" => (1, false),
        "far edge" => (1, true),
        "back face" => (2, false),
        _ => (2, true),
    };
    let mut start = DVec3::new(
        row.number("from_end").unwrap_or(0.0),
        row.number("from_edge").unwrap_or(0.0),
        row.number("from_face").unwrap_or(0.0),
    );
    start[axis] = if high { size[axis] } else { 0.0 };
    let lean = |key: &str| row.number(key).unwrap_or(0.0).to_radians();
    let tan = |key: &str| slatwork_base::maths::tan(lean(key));
    let mut direction = DVec3::new(tan("lean_length"), tan("lean_width"), tan("lean_thickness"));
    direction[axis] = if high { -1.0 } else { 1.0 };
    let steps = rows.iter().map(|row| HoleStep {
        radius: row.mm("diameter") / 2.0,
        depth: row.number("depth_to").unwrap_or(f64::INFINITY),
    });
    assert_eq!(row.mm("depth_from"), 0.0, "the test's holes start on the box");
    Hole { start, direction: direction.normalize(), steps: steps.collect(), tag: Tag(200) }
}

/// Rebuilds a set's part by the recipe.
fn rebuild(plan: &ShopPlan, row: &Row) -> Solid {
    let mark = row.text("mark");
    let size = DVec3::new(row.mm("length"), row.mm("width"), row.mm("thickness"));
    let mut shape = Shape::board(size.x, size.y, size.z);
    let outlines = plan.outlines_table();
    let corners = Reader(&outlines).rows_of(&mark);
    if row.text("outline") != "rectangle" {
        let corner = |row: &Row| Vertex {
            point: DVec2::new(row.mm("from_end"), row.mm("from_datum")),
            bulge: row.mm("bulge"),
            tag: Tag(row.mm("corner") as u32),
        };
        shape.profile = Profile { vertices: corners.iter().map(corner).collect() };
        shape.across = if row.text("outline") == "datum edge" { Across::Width } else { Across::Thickness };
        (shape.low, shape.high) = (row.mm("outline_from"), row.mm("outline_to"));
    }
    let planes = plan.planes_table();
    shape.cuts = Reader(&planes).rows_of(&mark).iter().map(|row| plane(row, "keep", size)).collect();
    let walls = plan.notch_walls_table();
    let walls = Reader(&walls).rows_of(&mark);
    shape.notches = walls
        .chunk_by(|a, b| a.mm("notch") == b.mm("notch") && a.mm("region") == b.mm("region"))
        .map(|rows| Notch { planes: rows.iter().map(|row| plane(row, "remove", size)).collect() })
        .collect();
    let holes = plan.holes_table();
    let holes = Reader(&holes).rows_of(&mark);
    shape.holes = holes
        .chunk_by(|a, b| a.mm("hole") == b.mm("hole"))
        .map(|rows| hole(&rows.iter().collect::<Vec<_>>(), size))
        .collect();
    build(&shape, &Tolerance::default()).expect("the papers make a solid")
}

/// Lengths are rounded to a nanometre; a plane through three such marks is true to this over a board, mm.
const TRUE: f64 = 1e-4;

fn papers_are_enough(model: &Model) {
    let plan = plan(model, &catalogue(), Tape::Inch16).value.expect("a plan");
    let (cut_list, places) = (plan.cut_list_table(), plan.places_table());
    let mut placed = 0;
    for row in Reader(&cut_list).rows() {
        let solid = rebuild(&plan, &row);
        let off = (solid.volume() - row.mm("volume")).abs();
        assert!(off <= TRUE * 1e5, "{} is {off} mm3 off", row.text("name"));
        for place in Reader(&places).rows_of(&row.text("mark")) {
            let part = model.part_named(&place.text("part")).expect("places name parts");
            let direction = |x: &str, y: &str, z: &str| DVec3::new(place.mm(x), place.mm(y), place.mm(z));
            let along = direction("along_right", "along_rear", "along_up");
            let across = direction("across_right", "across_rear", "across_up");
            let turn = DMat3::from_cols(along, across, along.cross(across));
            let corner = DVec3::new(place.mm("right"), place.mm("rear"), place.mm("up"));
            let (here, there) =
                (turn * solid.centroid() + corner, part.pose.transform_point3(part.solid.centroid()));
            assert!(here.distance(there) <= TRUE, "{} stands {} off", part.name, here.distance(there));
            placed += 1;
        }
    }
    assert_eq!(placed, model.parts.len());
}

fn mitred(name: &str) -> Board {
    board(name, "2x4", 30.0, 3.5, 1.5)
        .end_cut(BoardEnd::High, 27.0, 22.5, -8.0)
        .end_cut(BoardEnd::Low, 1.0, -12.0, 4.0)
        .hole((8.0, 1.5), 0.375, None, DVec3::new(0.1, -0.05, -1.0), "bolt", When::AtBench)
        .hole((12.0, 1.0), 0.5, Some(0.75), DVec3::NEG_Z, "plug", When::AtBench)
        .notch(16.0, 2.0, 0.0, 1.0, NotchPurpose::Plain, When::AtBench)
}

#[test]
fn a_bench_comes_back_from_its_papers() {
    papers_are_enough(&model(vec![
        mitred("rail").at(10.0, -20.0, 300.0),
        mitred("rail 2").at(500.0, 0.0, 0.0),
        board("crest", "1x4", 40.0, 3.5, 0.75).arched(2.0, 0.06).at(0.0, 0.0, 40.0 * INCH),
        board("slat", "1x4", 40.0, 3.5, 0.75),
    ]));
}

/// A part that lies turned end for end in the piece is one of the set, and its place says how it lies.
#[test]
fn turned_parts_stand_where_they_stood() {
    let near =
        board("slat", "1x4", 40.0, 3.5, 0.75).notch(4.0, 2.0, 0.0, 1.0, NotchPurpose::Plain, When::AtBench);
    let far = board("slat 2", "1x4", 40.0, 3.5, 0.75)
        .notch(34.0, 2.0, 2.5, 1.0, NotchPurpose::Plain, When::AtBench)
        .at(0.0, 500.0, 0.0);
    let piece = model(vec![near, far]);
    assert_eq!(piece.sets.len(), 1);
    papers_are_enough(&piece);
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct("proptest-regressions/papers.txt"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_board_comes_back(
        mitre in -40.0f64..40.0, bevel in -30.0f64..30.0, low in -30.0f64..30.0, tilt in -20.0f64..20.0,
        (x, y, lean, slant) in (12.0f64..14.0, 1.2f64..2.2, -0.2f64..0.2, -0.2f64..0.2),
        depth in prop::option::of(0.2f64..1.2), (from, along, across) in (17.0f64..18.0, 0.3f64..3.0, 0.2f64..3.0),
    ) {
        let part = board("part", "2x4", 30.0, 3.5, 1.5)
            .end_cut(BoardEnd::High, 26.0, mitre, bevel)
            .end_cut(BoardEnd::Low, 4.0, low, tilt)
            .hole((x, y), 0.375, depth, DVec3::new(lean, slant, -1.0), "bolt", When::AtBench)
            .notch(from, along, 0.0, across, NotchPurpose::Plain, When::AtBench);
        papers_are_enough(&model(vec![part]));
    }
}

/// The exact lengths of the tables carry whole nanometres, nothing less.
#[test]
fn lengths_are_whole_nanometres() {
    let piece = model(vec![mitred("rail")]);
    let plan = plan(&piece, &catalogue(), Tape::Mm).value.expect("a plan");
    let first = &plan.shapes.planes[0].plane.marks[0];
    assert_eq!(*first, Length::mm(27.0 * INCH));
}
