//! Curved parts of the shipped families, nested, against the rectangles that they are sawn from.

use slatwork::catalog::Tools;
use slatwork::shop::stock::nesting::{
    CurvedCorner, Faces, NestBoard, NestPart, NestPlan, NestProblem, flattened, nest, shortest_row,
};
use slatwork::shop::stock::{Kerfs, Piece, Saw, Stick, abreast, first_fit};
use slatwork::model::{Blank, Model, Part};
use slatwork::solid::Across;
use slatwork::{Catalogue, Length, Memory, Request, Workshop};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Left between two saw lines of neighbours, beside the saw's own width: room to saw wide and fair to the line.
const MARGIN: Length = Length::sixty_fourths(4);
/// Arcs are taken this exactly.
const TOLERANCE: Length = Length::nm(100_000);

fn model(family: &str, settings: &[(&str, &str)]) -> Model {
    let made = slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new(family));
        let settings: Vec<(String, String)> =
            settings.iter().map(|(name, value)| (name.to_string(), value.to_string())).collect();
        opened.value.and_then(|workshop| workshop.make(&settings).value)
    });
    made.expect("a thread with a deep stack").expect("the family is shipped and builds").model
}

/// Parts sawn to an outline with an arc in it, by section and species.
fn curved(model: &Model) -> BTreeMap<(String, String), Vec<&Part>> {
    let mut groups: BTreeMap<_, Vec<&Part>> = BTreeMap::new();
    for part in &model.parts {
        let bends = part.shape.profile.vertices.iter().any(|vertex| vertex.bulge != 0.0);
        if bends && part.shape.across == Across::Thickness && matches!(part.blank, Blank::Solid) {
            groups.entry((part.section.clone(), part.species.clone())).or_default().push(part);
        }
    }
    groups
}

fn problem(parts: &[&Part], width: Length, clearance: Length, boards: Vec<NestBoard>) -> NestProblem {
    let mut kinds: Vec<NestPart> = Vec::new();
    for part in parts {
        let corner = |v: &slatwork::solid::Vertex| CurvedCorner { x: v.point.x, y: v.point.y, bulge: v.bulge };
        let corners: Vec<CurvedCorner> = part.shape.profile.vertices.iter().map(corner).collect();
        let polygon = flattened(&corners, TOLERANCE).expect("a part's outline");
        match kinds.iter_mut().find(|kind| kind.polygon == polygon) {
            Some(kind) => kind.count += 1,
            None => kinds.push(NestPart { polygon, faces: Faces::BothGood, count: 1 }),
        }
    }
    NestProblem { parts: kinds, width, clearance, boards }
}

fn clearance(tools: &Tools) -> Length {
    tools.band_saw_kerf + MARGIN
}

/// Length of the rectangles, strips abreast, on one endless board.
fn rectangles(parts: &[&Part], width: Length, kerfs: Kerfs) -> (Vec<Length>, Length) {
    let piece = |part: &&Part| Piece { length: part.rough_length, width: part.rough_width };
    let pieces: Vec<Piece> = parts.iter().map(piece).collect();
    let lengths: Vec<Length> = abreast(&pieces, width, kerfs).iter().map(|bundle| bundle.length).collect();
    let all = lengths.iter().map(|length| *length + kerfs.crosscut).sum::<Length>() - kerfs.crosscut;
    (lengths, all)
}

fn told(family: &str, settings: &[(&str, &str)], table: &mut String) {
    let (model, catalogue) = (model(family, settings), Catalogue::shared());
    let tools = catalogue.tools();
    for ((section, species), parts) in curved(&model) {
        let (section, species) = (catalogue.section(&section).unwrap(), catalogue.species(&species).unwrap());
        let saw = Saw { kerf: tools.crosscut_kerf, trim_low: tools.end_trim, trim_high: tools.end_trim };
        let stock = catalogue.stock(section, species, None);
        let board = |length: Length| NestBoard {
            length: saw.usable(length),
            cost: length.as_nm(),
            available: None,
            zones: Vec::new(),
        };
        let boards: Vec<NestBoard> = stock.iter().map(|own| board(own.length)).collect();
        let kerfs = Kerfs { rip: tools.rip_kerf, crosscut: tools.crosscut_kerf };
        let (lengths, plain) = rectangles(&parts, section.width, kerfs);
        let sticks: Vec<Stick> = stock
            .iter()
            .map(|own| Stick { length: own.length, cost: own.length.as_nm(), available: None, in_hand: false })
            .collect();
        let bought: Length = first_fit(&lengths, &sticks, saw).opened.iter().map(|o| sticks[o.stick].length).sum();
        let problem = problem(&parts, section.width, clearance(tools), boards);
        let started = std::time::Instant::now();
        let row = shortest_row(&NestProblem { boards: vec![board(Length::nm(1 << 33))], ..problem.clone() }).unwrap();
        let row_time = started.elapsed();
        let started = std::time::Instant::now();
        let plan: NestPlan = nest(&problem).unwrap();
        let time = started.elapsed();
        let names: std::collections::BTreeSet<String> = parts.iter().map(|part| part.name.trim_end_matches(|c: char| c.is_ascii_digit() || c == ' ').to_string()).collect();
        writeln!(
            table,
            "{family} {}: {} parts of {} kinds {names:?} rough {:?} rect {:.1} nest {:.1} proven {} | stock rect {:.0} nest {:.0} rows>= {:.0} any>= {:.0} {row_time:?} {time:?}",
            section.name, parts.len(), problem.parts.len(),
            parts.iter().map(|p| (p.rough_length.as_inch(), p.rough_width.as_inch(), p.length.as_inch(), p.width.as_inch())).next().unwrap(),
            plain.as_inch(), row.length.as_inch(), row.proven,
            bought.as_inch(), Length::nm(plan.cost).as_inch(), Length::nm(plan.cost_of_rows_at_least).as_inch(), Length::nm(plan.cost_at_least).as_inch(),
        ).unwrap();
    }
}

#[test]
fn curved_parts_take_less_board_than_their_rectangles() {
    let mut table = String::new();
    told("porch_swing", &[], &mut table);
    told("adirondack_chair", &[], &mut table);
    told("garden_bench", &[], &mut table);
    panic!("{table}");
}
