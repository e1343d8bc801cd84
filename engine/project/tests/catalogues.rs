//! A shop's own catalogue, written as a script, through to the papers: cut list, boards to buy, offcuts.

use slatwork_base::{Diagnostic, Length, Outcome, Place};
use slatwork_project::{Dossier, Kind, Memory, Request, build, catalogue, with_stack};

const FAMILY: &str = r#"//! Two slats side by side.
fn describe(f) {
    f.title = "Rack bench";
    f.length("width", 30.inch).between(20.inch, 60.inch);
    f.section("slats", "1x4").among(["1x4", "dock plank"]);
}
fn build(job, p) {
    job.wood("cypress");
    let seat = job.group("seat");
    let first = seat.board("slat", #{ stock: p.slats, length: p.width }).lie("right", "up");
    let last = seat.board("slat", #{ stock: p.slats, length: p.width }).lie("right", "up");
    last.against("front", first.side("rear")).flush("left", first.end("left")).flush("down", first.side("down"));
}
"#;

fn yard(items: &str) -> String {
    format!(
        "//! The lake yard.\nfn describe(c) {{ c.title = \"The lake yard\"; }}\nfn items(c) {{\n{items}\n}}\n"
    )
}

const STOCKED: &str = r#"    c.section("dock plank", #{ thickness: 30.mm, width: 180.mm, lengths: [3.metre] });
    c.measured("1x4", #{ width: inch("3 7/16") });
    c.stock("1x4", #{ wood: "cypress", lengths: [8.feet], cents: 900 });
    c.stock("dock plank", #{ lengths: [3.metre], cents: 2400 });
    c.offcut("1x4", #{ wood: "cypress", length: inch("31 1/2"), count: 4 });"#;

fn world(catalogues: &[(&str, &str)]) -> Memory {
    Memory::of([("families/rack_bench.rhai", FAMILY)].into_iter().chain(catalogues.iter().copied()))
}

fn ask(world: &Memory, settings: &[(&str, &str)], measured: &[&str]) -> Outcome<Dossier> {
    let request = Request {
        design: String::from("rack_bench"),
        settings: settings.iter().map(|(name, value)| (name.to_string(), value.to_string())).collect(),
        measured: measured.iter().map(ToString::to_string).collect(),
        only: vec![Kind::CutList, Kind::Purchase, Kind::Price],
        ..Request::default()
    };
    with_stack(|| build(world, &request)).expect("a thread")
}

/// A paper of a design that must be built.
fn paper(outcome: &Outcome<Dossier>, path: &str) -> String {
    let dossier = outcome.value.as_ref().unwrap_or_else(|| panic!("{:?}", outcome.diagnostics));
    let document = dossier.documents.iter().find(|document| document.path == path).expect("the paper");
    String::from_utf8(document.bytes.clone()).expect("text")
}

fn told(diagnostics: &[Diagnostic]) -> Vec<String> {
    let place = |own: &Diagnostic| own.place.as_ref().map_or(String::new(), ToString::to_string);
    diagnostics.iter().map(|own| format!("{} {} {}", place(own), own.code, own.help.join("; "))).collect()
}

#[test]
fn what_the_tape_says_and_what_lies_on_the_rack_reach_the_papers() {
    let yard = yard(STOCKED);
    let world = world(&[("catalogues/yard.rhai", &yard)]);
    let built = ask(&world, &[], &[]);
    let cut_list = paper(&built, "cutlist.txt");
    assert!(cut_list.contains("3 7/16\" wide"), "{cut_list}");
    let purchase = paper(&built, "purchase.txt");
    assert!(purchase.contains("0 boards") && purchase.contains("from the rack"), "{purchase}");
    // Too long for the rack: the yard's board at the yard's price.
    let purchase = paper(&ask(&world, &[("width", "40in")], &[]), "purchase.txt");
    assert!(purchase.contains("9.00") && !purchase.contains("long, from the rack"), "{purchase}");
}

#[test]
fn own_prices_times_and_terms_reach_the_price() {
    let own = r#"    c.stock("1x4", #{ wood: "cypress", lengths: [8.feet], cents: 900 });
    c.delivery("delivery by the yard", #{ cents: 1200 });
    c.labour("crosscut", #{ minutes: 2, setup_minutes: 4 });
    c.consumable("finish", #{ name: "boat oil", coats: 1, fluid_ounces: [8], cents: 700 });
    c.term("labour_per_hour", 3600);
    c.term("purchase_tax", 0.2);"#;
    let yard = yard(own);
    let built = ask(&world(&[("catalogues/yard.rhai", &yard)]), &[], &[]);
    let (price, labour) = (paper(&built, "price.txt"), paper(&built, "labour.csv"));
    let words = price.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("lumber 1x4 baldcypress, 8' long 1 board 9.00 9.00 stated"), "{price}");
    assert!(words.contains("delivery delivery by the yard 1 load 12.00 12.00 stated"), "{price}");
    assert!(words.contains("boat oil") && words.contains("of 8 fl oz"), "{price}");
    // One board squared and two slats cut off it: 3 x 2 + 4.
    assert!(labour.contains("crosscut,crosscut to a stop,3 cuts,3,cut,2,4,10,stated,"), "{labour}");
    assert!(words.contains("purchase tax 20 % of the above"), "{price}");
    assert!(words.contains("h at 36.00"), "{price}");
    assert!(
        !words.contains("purchase tax, margin") && words.contains("overhead per hour, margin, fair fee"),
        "{price}"
    );
}

#[test]
fn a_section_of_ones_own_is_cut_and_bought() {
    let yard = yard(STOCKED);
    let built = ask(&world(&[("catalogues/yard.rhai", &yard)]), &[("slats", "dock plank")], &[]);
    let cut_list = paper(&built, "cutlist.txt");
    // 180 mm is 7.0866 in, 30 mm is 1.1811 in.
    assert!(cut_list.contains("7 1/16\" plus 0.024\" wide, 1 3/16\" less 0.006\" thick"), "{cut_list}");
    assert!(paper(&built, "purchase.txt").contains("24.00"));
}

#[test]
fn a_name_that_is_not_there_is_told_at_file_and_line() {
    let yard = yard("    c.measured(\"1x44\", #{ width: 88.mm });\n    c.rate(\"cypres\", 400);");
    let built = ask(&world(&[("catalogues/yard.rhai", &yard)]), &[], &[]);
    assert!(built.value.is_none());
    assert_eq!(
        told(&built.diagnostics),
        [
            "catalogues/yard.rhai:4:17 unknown-section did you mean `1x4`?; a section of your own goes into a \
             catalogue file: name, thickness, width, lengths",
            "catalogues/yard.rhai:5:13 unknown-species did you mean `cypress`?",
        ]
    );
    assert!(matches!(&built.diagnostics[0].place, Some(Place::Source { text, .. }) if text.contains("1x44")));
}

/// The design itself has no fault, but without the yard the wrong boards would be bought.
#[test]
fn a_catalogue_that_cannot_be_read_stops_the_design() {
    let built =
        ask(&world(&[("catalogues/yard.rhai", "fn describe(c) { c.title = \"Yard\"; }\n")]), &[], &[]);
    assert!(built.value.is_none());
    assert_eq!(told(&built.diagnostics), ["catalogues/yard.rhai missing-function add fn items(c) { .. }"]);
}

/// By name within a root, whatever language they are in; named files after all of them.
#[test]
fn files_and_scripts_are_laid_in_the_order_of_their_names() {
    let script = |width: &str| yard(&format!("c.measured(\"1x4\", #{{ width: {width} }});"));
    let toml = |width: &str| format!("[[measured]]\nsection = \"1x4\"\nwidth = \"{width}\"\n");
    let (early, late) = (script("81.mm"), script("83.mm"));
    let (between, last, today) = (toml("82mm"), toml("84mm"), script("85.mm"));
    let width = |files: &[(&str, &str)], named: &[&str]| {
        let (world, named) = (world(files), named.iter().map(ToString::to_string).collect::<Vec<_>>());
        let outcome = with_stack(|| catalogue(&world, &named)).expect("a thread");
        outcome.value.expect("a catalogue").section("1x4").expect("1x4").width
    };
    let mut files = vec![("catalogues/a.rhai", early.as_str()), ("catalogues/b.toml", &between)];
    assert_eq!(width(&files, &[]), Length::mm(82.0));
    files.push(("catalogues/c.rhai", &late));
    assert_eq!(width(&files, &[]), Length::mm(83.0));
    files.extend([("today.toml", last.as_str()), ("today.rhai", &today)]);
    assert_eq!(width(&files, &["today.toml"]), Length::mm(84.0));
    assert_eq!(width(&files, &["today.toml", "today.rhai"]), Length::mm(85.0));
}
