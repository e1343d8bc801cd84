//! Curved parts of the shipped families that may be nested, by themselves, on boards of their own section and of wider ones, against the
//! rectangles that they are sawn from: how much board that saves.

use slatwork::catalog::{Section, Tools};
use slatwork::model::{Model, Part};
use slatwork::shop::purchase::nest_outline;
use slatwork::shop::stock::Saw;
use slatwork::shop::stock::nesting::{Faces, NestBoard, NestPart, NestProblem, Polygon, nest, shortest_row};
use slatwork::{Catalogue, Length, Memory, Request, Workshop};
use std::collections::BTreeMap;
use std::sync::Arc;

/// As good as no end.
const ENDLESS: Length = Length::nm(1 << 33);

fn model(family: &str) -> Arc<Model> {
    let made = slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new(family));
        opened.value.and_then(|workshop| workshop.make(&[]).value)
    });
    made.expect("a thread with a deep stack").expect("the family is shipped and builds").model
}

/// Parts that may be nested, by section and species.
fn curved(model: &Model) -> BTreeMap<(&str, &str), Vec<&Part>> {
    let mut groups: BTreeMap<_, Vec<&Part>> = BTreeMap::new();
    for part in &model.parts {
        if nest_outline(part).is_some() {
            groups.entry((part.section.as_str(), part.species.as_str())).or_default().push(part);
        }
    }
    groups
}

/// The outlines of parts, equal ones counted.
fn outlines(parts: &[&Part]) -> Vec<NestPart> {
    let mut kinds: Vec<NestPart> = Vec::new();
    for part in parts {
        let Some((polygon, faces)) = nest_outline(part) else { continue };
        let alike = |kind: &&mut NestPart| {
            kind.faces.turns().iter().any(|&turn| kind.polygon.turned(turn) == polygon)
        };
        match kinds.iter_mut().find(alike) {
            Some(kind) => kind.count += 1,
            None => kinds.push(NestPart { polygon, faces, count: 1 }),
        }
    }
    kinds
}

fn problem(parts: &[&Part], section: &Section, tools: &Tools, lengths: &[Length]) -> NestProblem {
    let saw = saw(tools);
    let board = |length: &Length| NestBoard {
        length: saw.usable(*length),
        cost: length.as_nm(),
        available: None,
        zones: Vec::new(),
    };
    NestProblem {
        parts: outlines(parts),
        width: section.width,
        clearance: tools.band_saw_kerf + tools.nest_margin,
        boards: lengths.iter().map(board).collect(),
    }
}

fn saw(tools: &Tools) -> Saw {
    Saw { kerf: tools.crosscut_kerf, trim_low: tools.end_trim, trim_high: tools.end_trim }
}

/// The rectangles that the parts are first cut to, one clean crosscut between them, two abreast where they fit. Their rough
/// length is some of what a nest of finished outlines saves: all but an inch or three of it for back slats.
fn rectangles(parts: &[&Part], section: &Section, tools: &Tools, lengths: &[Length]) -> NestProblem {
    let sawn = problem(parts, section, tools, lengths);
    let rectangle = |part: &&Part| NestPart {
        polygon: Polygon::rectangle(part.rough_length.as_nm(), part.rough_width.as_nm())
            .expect("a rectangle"),
        faces: Faces::BothGood,
        count: 1,
    };
    let mut kinds: Vec<NestPart> = Vec::new();
    for own in parts.iter().map(rectangle) {
        match kinds.iter_mut().find(|kind| kind.polygon == own.polygon) {
            Some(kind) => kind.count += 1,
            None => kinds.push(own),
        }
    }
    NestProblem { parts: kinds, clearance: tools.crosscut_kerf, ..sawn }
}

/// What a problem takes in one row without end, and of the lengths that are sold: found, and at least.
fn taken(problem: &NestProblem) -> [Length; 3] {
    let end = NestBoard { length: ENDLESS, ..problem.boards[0].clone() };
    let row = shortest_row(&NestProblem { boards: vec![end], ..problem.clone() }).expect("all have room");
    let plan = nest(problem).expect("all have room");
    assert!(plan.unplaced.is_empty());
    [row.length, Length::nm(plan.cost), Length::nm(plan.cost_of_rows_at_least)]
}

/// Names of parts without their numbers, with how many there are of each.
fn names(parts: &[&Part]) -> String {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for part in parts {
        *counts.entry(part.name.trim_end_matches(|c: char| c.is_ascii_digit() || c == ' ')).or_default() += 1;
    }
    let words: Vec<String> = counts.iter().map(|(name, count)| format!("{count} {name}")).collect();
    words.join(", ")
}

/// One line: the nest on a section against the rectangles on the parts' own.
fn line(on: &Section, nested: [Length; 3], own: &Section, plain: [Length; 3]) -> String {
    let wood = |nested: Length, plain: Length| {
        let share = nested.as_inch() * on.width.as_inch() / (plain.as_inch() * own.width.as_inch());
        100.0 * (share - 1.0)
    };
    let feet = |length: Length| length.as_inch() / 12.0;
    format!(
        "    {}: {:.1} in against {:.1}, wood {:+.1} %; to buy {:.0} ft (at least {:.0}) against {:.0}, wood {:+.1} %\n",
        on.name,
        nested[0].as_inch(),
        plain[0].as_inch(),
        wood(nested[0], plain[0]),
        feet(nested[1]),
        feet(nested[2]),
        feet(plain[1]),
        wood(nested[1], plain[1]),
    )
}

/// The parts' own section, and the one of the same thickness that takes the least wood bought.
fn table(family: &str) -> String {
    let (model, catalogue) = (model(family), Catalogue::shared());
    let tools = catalogue.tools();
    let mut table = format!("{family}\n");
    for ((section, species), parts) in curved(&model) {
        let own = catalogue.section(section).expect("the part's section is in the catalogue");
        let species = catalogue.species(species).expect("the part's species is in the catalogue");
        let stock = |on: &Section| -> Vec<Length> {
            catalogue.stock(on, species, None).iter().map(|own| own.length).collect()
        };
        let plain = taken(&rectangles(&parts, own, tools, &stock(own)));
        let nested = taken(&problem(&parts, own, tools, &stock(own)));
        let wider = catalogue.sections().filter(|other| {
            other.thickness == own.thickness && other.width > own.width && other.class == own.class
        });
        let wider = wider.filter(|on| !stock(on).is_empty());
        let wider = wider.map(|on| (on, taken(&problem(&parts, on, tools, &stock(on)))));
        let best =
            wider.min_by_key(|(on, taken)| i128::from(taken[1].as_nm()) * i128::from(on.width.as_nm()));
        table += &format!("  {section}: {}\n{}", names(&parts), line(own, nested, own, plain));
        table += &best.map_or(String::new(), |(on, taken)| line(on, taken, own, plain));
        assert!(nested[1] <= plain[1], "{family} {section}");
    }
    table
}

#[test]
fn curved_parts_take_no_more_board_than_their_rectangles() {
    let tables = ["porch_swing", "adirondack_chair", "garden_bench"].map(table);
    insta::assert_snapshot!(tables.join("\n"));
}
