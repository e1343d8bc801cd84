//! `tests/governing.md`: what governs the shipped families at three widths in two woods, each worked out again by plain
//! arithmetic from the sizes of the design, published tables and the forces of its frame. The document is held to what is built;
//! with `UPDATE_GOVERNING=1` it is written anew.

#![expect(clippy::disallowed_methods, reason = "the document is a file beside this test")]

mod hand;

use hand::Hand;
use slatwork::catalog::Catalogue;
use slatwork::checks::framing::{Analysis, analyse};
use slatwork::checks::{Case, SUBJECTS, Verdict};
use slatwork::{Memory, Request, Workshop};
use std::fmt::Write as _;
use std::path::Path;

/// Ratios by hand and those of the program differ by less than this: a hundredth, for figures that are rounded on paper.
const AGREES_WITHIN: f64 = 0.01;

const SIZES: [(&str, &str, [&str; 3], [&str; 2]); 3] = [
    ("porch_swing", "width", ["4ft", "5ft", "66in"], ["white oak", "southern pine"]),
    ("garden_bench", "width", ["36in", "50in", "60in"], ["white oak", "black locust"]),
    ("adirondack_chair", "seat_width", ["21in", "22in", "24in"], ["white oak", "black locust"]),
];

/// What governs a design.
struct Governed {
    family: &'static str,
    width: &'static str,
    wood: &'static str,
    verdict: Verdict,
    hand: Hand,
}

/// The worst of the checks that grow with load; of equals the first.
fn governing(case: &Case) -> Verdict {
    let checks = SUBJECTS.iter().flat_map(|subject| subject.checks).filter(|check| check.rates);
    let judged = checks.flat_map(|check| check.verdicts(case)).filter(|own| own.ratio().is_some());
    let ratio = |own: &Verdict| own.ratio().unwrap_or(0.0);
    judged.reduce(|a, b| if ratio(&b) > ratio(&a) { b } else { a }).expect("something is judged")
}

fn all() -> Vec<Governed> {
    let mut found = Vec::new();
    for (family, parameter, widths, woods) in SIZES {
        let workshop = Workshop::open(&Memory::default(), &Request::new(family)).value.expect("it compiles");
        for (width, wood) in widths.iter().flat_map(|width| woods.map(|wood| (*width, wood))) {
            let settings = [(parameter, width), ("wood", wood)].map(|(a, b)| (a.to_string(), b.to_string()));
            let made = workshop.make(&settings).value.expect("it can be built");
            let catalogue: &Catalogue = workshop.catalogue();
            let case = Case::new(&made.model, catalogue);
            let verdict = governing(&case);
            let analysis: Analysis = analyse(&case).expect("it can be analysed");
            let hand = hand::of(&analysis, catalogue, &verdict);
            found.push(Governed { family, width, wood, verdict, hand });
        }
    }
    found
}

fn document(all: &[Governed]) -> String {
    let mut text = String::from(
        "# What governs\n\n\
         The shipped families at three widths in two woods, outdoors in the rain, for domestic use: the check with the highest\n\
         ratio of demand to capacity among those that grow with load, and the same ratio by hand. `tests/governing.rs` makes this\n\
         page anew and compares it. Forces in boards and joints are those of the frame of the whole piece; what is by hand is how\n\
         a joint shares them among its fasteners, and every capacity.\n\n\
         | family | width | wood | check | ratio | by hand | case | place |\n|---|---|---|---|---|---|---|---|\n",
    );
    for own in all {
        let place = own.hand.place.as_str();
        let row = [
            own.family,
            own.width,
            own.wood,
            own.verdict.check,
            &format!("{:.3}", own.verdict.ratio().unwrap_or(0.0)),
            &format!("{:.3}", own.hand.ratio),
            &own.verdict.governing,
            place,
        ];
        writeln!(text, "| {} |", row.join(" | ")).expect("a text");
    }
    text += "\n# By hand\n";
    let mut told: Vec<&str> = Vec::new();
    for own in all.iter() {
        if told.contains(&own.hand.kind) {
            continue;
        }
        told.push(own.hand.kind);
        write!(
            text,
            "\n## {}\n\n{}, {}, {}: {}, under \"{}\".\n\n",
            own.hand.kind, own.family, own.width, own.wood, own.hand.place, own.verdict.governing
        )
        .expect("a text");
        own.hand.lines.iter().for_each(|line| writeln!(text, "- {line}").expect("a text"));
        writeln!(
            text,
            "- ratio {:.3}; the program has {:.3}",
            own.hand.ratio,
            own.verdict.ratio().unwrap_or(0.0)
        )
        .expect("a text");
    }
    text
}

#[test]
fn what_governs_is_as_by_hand_and_as_the_document_says() {
    let text = slatwork::with_stack(|| {
        let all = all();
        for own in &all {
            let ratio = own.verdict.ratio().expect("it is a figure");
            let off = own.hand.ratio / ratio - 1.0;
            let told = (own.family, own.width, own.wood, &own.verdict.told, &own.hand.lines);
            assert!(off.abs() < AGREES_WITHIN, "{ratio:.4} and by hand {:.4}: {told:#?}", own.hand.ratio);
        }
        document(&all)
    })
    .expect("a deep stack");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/governing.md");
    if std::env::var_os("UPDATE_GOVERNING").is_some() {
        std::fs::write(&path, &text).expect("it can be written");
    }
    let there = std::fs::read_to_string(&path).unwrap_or_default();
    let differs = text.lines().zip(there.lines()).find(|(new, old)| new != old);
    assert!(
        text == there,
        "tests/governing.md says otherwise: run this test with UPDATE_GOVERNING=1, and read {differs:#?}"
    );
}
