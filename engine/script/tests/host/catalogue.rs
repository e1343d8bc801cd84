//! Catalogues written as scripts: everything follows them, and what is wrong is told at file, line and word.

use crate::common::{load, plain, root};
use slatwork_base::{Angle, Length, Outcome};
use slatwork_catalog::{Catalogue, FastenerKind, SectionClass, Status};
use slatwork_script::{Library, RootKind, Texts, catalogue_scripts, overlay_catalogues, with_stack};
use std::sync::Arc;

fn text(items: &str) -> String {
    format!("fn describe(c) {{ c.title = \"The lake yard\"; }}\nfn items(c) {{\n{items}\n}}\n")
}

/// The built-in catalogue with one script of these entries laid over it.
fn laid(items: &str) -> Outcome<Arc<Catalogue>> {
    let text = text(items);
    let lay = || {
        load(&[("catalogues/yard.rhai", text.as_str())])
            .then(|library| overlay_catalogues(&library, Catalogue::shared()))
    };
    with_stack(lay).expect("a thread")
}

fn own(items: &str) -> Arc<Catalogue> {
    let outcome = laid(items);
    assert_eq!(plain(&outcome.diagnostics), "");
    outcome.value.expect("a catalogue")
}

fn refused(items: &str) -> String {
    let outcome = laid(items);
    assert!(outcome.value.is_none(), "this should have been refused:\n{items}");
    plain(&outcome.diagnostics)
}

#[test]
fn nothing_laid_over_is_the_very_same_catalogue() {
    assert!(Arc::ptr_eq(&own(""), Catalogue::shared()));
}

#[test]
fn a_section_of_ones_own_is_found_and_sold() {
    let catalogue = own(r#"
    c.stock("plank", #{ wood: "cypress", lengths: [10.feet, 8.feet], cents: [3100, 2400], available: 6 });
    c.section("dock plank", #{ thickness: 30.mm, width: 180.mm, lengths: [4.metre, 3.metre, 3.metre], aliases: ["plank"] });
    c.section("dock board", #{ like: "dock plank", width: 120.mm, edge_radius: 3.mm });
    c.rate("white oak", 300, #{ source: "spring list" });"#);
    let plank = catalogue.section("Dock Plank").unwrap();
    assert_eq!((plank.class, plank.nominal), (SectionClass::Own, None));
    assert_eq!(plank.stock_lengths, [Length::mm(3000.0), Length::mm(4000.0)], "sorted, each once");
    assert_eq!((plank.source.text.as_str(), plank.source.status), ("catalogues/yard.rhai", Status::Stated));
    let board = catalogue.section("dock board").unwrap();
    assert_eq!(
        (board.thickness, board.width),
        (Length::mm(30.0), Length::mm(120.0)),
        "like what stands above it"
    );
    assert_eq!(board.edge_radius, Some(Length::mm(3.0)));
    let stock = catalogue.stock(plank, catalogue.species("cypress").unwrap(), None);
    let rows: Vec<_> = stock.iter().map(|stock| (stock.price_cents, stock.available)).collect();
    assert_eq!(rows, [(Some(2400), Some(6)), (Some(3100), Some(6))], "prices stay with their lengths");
    assert_eq!(catalogue.yard().rates["white_oak"].source.text, "spring list");
}

#[test]
fn what_the_tape_says_replaces_the_dressed_size() {
    let catalogue =
        own("c.measured(\"1x4\", #{ width: inch(\"3 7/16\"), source: \"my tape\", status: \"measured\" });");
    let (dressed, measured) =
        (Catalogue::shared().section("1x4").unwrap(), catalogue.section("1x4").unwrap());
    assert_eq!((measured.thickness, measured.width), (dressed.thickness, Length::inch(3.4375)));
    assert!(measured.measured);
}

#[test]
fn sources_hold_for_the_entries_below_them() {
    let catalogue = own(r#"
    c.section("first", #{ like: "2x6" });
    c.from("price list of the lake yard, spring");
    c.section("second", #{ like: "2x6", status: "read", except: #{ like: "from memory" } });
    c.section("third", #{ like: "2x6", source: "the sawyer" });"#);
    let source = |name: &str| catalogue.section(name).unwrap().source.clone();
    assert_eq!(source("first").text, "catalogues/yard.rhai");
    assert_eq!(source("second").text, "price list of the lake yard, spring");
    assert_eq!(
        (source("second").status, source("second").status_of("like")),
        (Status::Read, Status::FromMemory)
    );
    assert_eq!(source("third").text, "the sawyer");
}

/// What both languages must say alike: the whole catalogue is compared, with sources and all.
#[test]
fn a_script_says_what_a_toml_file_says() {
    let script = own(r#"
    c.from("the lake yard");
    c.section("dock plank", #{ thickness: 30.mm, width: 180.mm, lengths: [3.metre, 4.metre], class: "metric",
        nominal: [2.inch, 8.inch], green: [32.mm, 185.mm], edge_radius: 3.mm, aliases: ["plank"] });
    c.section("dock rail", #{ like: "2x6" });
    c.measured("1x4", #{ width: inch("3 7/16"), thickness: 19.mm });
    c.species("lake cypress", #{ like: "cypress", gravity_12: 0.44, hardwood: false, decay: "moderate", decay_note: "sapwood rots",
        aliases: ["lake"], tannic: true, shrinkage_radial: 4, design_group: "Lake Cypress" });
    c.species("alder of the shore", #{ id: "alder", botanical: "Alnus", hardwood: true, gravity_green: 0.37, elasticity_mpa: 9500,
        rupture_mpa: 68, shear_mpa: 7.4, compression_mpa: 40, compression_across_mpa: 3, hardness_n: 2600, shrinkage_radial: 4.4,
        shrinkage_tangential: 7.3, shrinkage_volumetric: 12.6, fibre_saturation: 28, decay: "slight", tannic: false });
    c.design_values("Lake Cypress", "No.2", #{ widths: [2.inch, 4.inch], thicknesses: [2.inch], size_rule: "factor", gravity: 0.43,
        bending: 825, tension: 525, shear: 160, compression: 900, compression_across: 615, elasticity: 1300000,
        stability_elasticity: 470000 });
    c.fastener("harbour_screw_8", #{ like: "deck_screw_8", lengths: [inch("2 1/2"), 2.inch], dims: #{ head_diameter: 8.5.mm } });
    c.fastener("peg", #{ kind: "dowel", size: "10 mm", diameter: 10.mm, threads_per_inch: 8, note: "riven" });
    c.drill("deck screw", "8", #{ clearance: inch("3/16"), pilot_softwood: inch("3/32"), pilot_hardwood: inch("1/8"), counterbore: 12.mm });
    c.hardware("eye_bolt_3_8", #{ like: "eye_bolt_3_8",
        ratings: [#{ up_to: 90.deg, newton: 900, status: "measured" }, #{ newton: 7000 }] });
    c.hardware("net rope", #{ kind: "rope", name: "net rope", size: "12 mm", dims: #{ diameter: 12.mm }, breaking_factor: 10,
        refused: "old", note: "from the boat", except: #{ diameter: "measured" } });
    c.stock("2x6", #{ wood: "cypress", grade: "No.2", lengths: [10.feet, 8.feet], cents: [3100, 2400], available: [2, 7] });
    c.stock("38x89", #{ lengths: [2.4.metre, 3.metre], cents_per_metre: 251 });
    c.stock("2x4", #{ lengths: [8.feet, 10.feet], cents_per_foot: 61, available: 3 });
    c.rate("cedar", 450);
    c.offcut("2x6", #{ wood: "cypress", length: inch("31 1/2"), count: 4, grade: "No.2" });
    c.offcut("2 x 6", #{ wood: "lake", length: 20.inch });
    c.tool("crosscut_kerf", inch("3/32"));
    c.tool("mitre_limit", 50.deg);
    c.tool("end_trim", 0.mm, #{ status: "measured" });
    c.only_listed();
    c.currency("shells");
    c.rate("teak", 900000, #{ by: "cubic metre", waste: 0.35 });
    c.rate("ipe", 1100, #{ rough: true });
    c.price("harbour_screw_8", #{ boxes: [50, 200], cents: [700, 2400], length: 2.inch });
    c.price("eye_bolt_3_8", #{ cents: 1250, status: "read" });
    c.price("chain_3_16", #{ cents_per_metre: 640 });
    c.delivery("van", #{ cents: 4000, from_cents: 10000, up_to_kg: 300, up_to_length: 12.feet });
    c.consumable("finish", #{ name: "linseed oil", coats: 3, square_metres_per_litre: 12.5, fluid_ounces: [16, 128], cents: 900 });
    c.consumable("glue", #{ cents: [800, 1200, 1900], dry_hours: 12 });
    c.consumable("abrasive", #{ square_metres_per_sheet: 0.5, sheets: 10 });
    c.labour("crosscut", #{ minutes: 1.25 });
    c.labour("drill", #{ minutes: 0.5, batch_minutes: 0.2, setup_minutes: 4, status: "measured" });
    c.term("margin", 0.25);
    c.term("comparable_price", 62000, #{ status: "read" });"#);
    let toml = include_str!("yard.toml");
    let file = Catalogue::shared().overlay_toml("the lake yard", toml);
    assert_eq!(plain(&file.diagnostics), "");
    let file = file.value.expect("a catalogue");
    assert!(script.sections().eq(file.sections()));
    assert!(script.species_list().eq(file.species_list()));
    assert_eq!(script.design_list(), file.design_list());
    assert!(script.fasteners().eq(file.fasteners()));
    assert_eq!(script.drills(), file.drills());
    assert!(script.hardware_list().eq(file.hardware_list()));
    assert_eq!(script.yard(), file.yard());
    assert_eq!(script.rack(), file.rack());
    assert_eq!(script.tools(), file.tools());
    assert_eq!(script.pricing(), file.pricing());
    assert_eq!(*script, file);
    assert_eq!(script.tools().mitre_limit, Angle::deg(50.0));
    assert_eq!(script.drill(FastenerKind::DeckScrew, "8").unwrap().counterbore, Some(Length::mm(12.0)));
    assert_eq!((script.yard().only_listed, script.yard().currency.as_str()), (true, "shells"));
}

#[test]
fn the_first_root_wins_and_offcuts_add_up() {
    let piece = |width: &str| {
        text(&format!(
            "c.measured(\"1x4\", #{{ width: {width} }}); c.offcut(\"1x4\", #{{ wood: \"cedar\", length: {width} }});"
        ))
    };
    let (first, late, user) = (piece("88.mm"), piece("87.mm"), piece("86.mm"));
    let texts = Texts::default()
        .with_root(
            root("project", RootKind::Project),
            [("catalogues/a.rhai", first.as_str()), ("catalogues/b.rhai", &late)],
        )
        .with_root(root("user", RootKind::User), [("catalogues/z.rhai", user.as_str())]);
    let (names, catalogue) = with_stack(|| {
        let library = Library::load(&texts).value.expect("a library");
        let names: Vec<String> = catalogue_scripts(&library).iter().map(|script| script.id.clone()).collect();
        (names, overlay_catalogues(&library, Catalogue::shared()).value.expect("a catalogue"))
    })
    .expect("a thread");
    assert_eq!(names, ["z", "a", "b"]);
    assert_eq!(catalogue.section("1x4").unwrap().width, Length::mm(87.0));
    assert_eq!(catalogue.rack().len(), 3);
}

/// A slip in a catalogue must not be passed over: the wrong boards would be bought.
#[test]
fn a_faulty_catalogue_is_no_catalogue() {
    let faulty = [
        vec![("catalogues/yard.rhai", "fn describe(c) { c.title = \"Yard\"; }\nfn itmes(c) { }\n")],
        vec![("catalogues/Yard List.rhai", "")],
        vec![
            ("catalogues/a/yard.rhai", "fn describe(c) { c.title = \"Yard\"; }\nfn items(c) { }\n"),
            ("catalogues/yard.rhai", ""),
        ],
        vec![(
            "catalogues/yard.rhai",
            "fn describe(c) { c.title = \"Yard\"; }\nfn items(c) { c.stock(\"2x6\" }\n",
        )],
    ];
    let told = faulty.map(|files| {
        with_stack(|| {
            let library = load(&files).value.expect("a library");
            let outcome = overlay_catalogues(&library, Catalogue::shared());
            assert!(outcome.value.is_none(), "{files:?}");
            plain(&outcome.diagnostics)
        })
        .expect("a thread")
    });
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn names_that_are_not_there_are_told_at_their_lines_all_at_once() {
    insta::assert_snapshot!(refused(
        r#"    c.stock("2x44", #{ lengths: [8.feet] });
    c.offcut("2x4", #{
        wood: "cypres",
        length: 20.inch,
    });
    c.measured("2x5", #{ width: 100.mm });
    c.rate("whit oak", 400);
    c.tool("crosscut_curf", 3.mm);
    c.tool("mitre_limit", 3.mm);
    c.section("barge", #{ thickness: 30.metre, width: 6.inch, lengths: [8.feet] });
    c.measured("1x4", #{ width: 88.mm });
    c.measured("1x4", #{ width: 89.mm });"#
    ));
}

#[test]
fn values_that_cannot_be_are_refused_at_their_line() {
    let entries = [
        r#"c.section("plank", #{ thicknes: 30.mm, width: 180.mm, lengths: [3.metre] });"#,
        r#"c.section("plank", #{ width: 180.mm, lengths: [3.metre] });"#,
        r#"c.section("plank", #{ thickness: 30, width: 180.mm, lengths: [3.metre] });"#,
        r#"c.section("plank", #{ thickness: 0.mm, width: 180.mm, lengths: [3.metre] });"#,
        r#"c.section("plank", #{ thickness: 30.mm, width: 180.mm, lengths: 3.metre });"#,
        r#"c.section("plank", #{ thickness: 30.mm, width: 180.mm, lengths: [3.metre, 4] });"#,
        r#"c.section("plank", #{ like: "2x66" });"#,
        r#"c.section("plank", #{ like: "2x6", class: "bord" });"#,
        r#"c.section("plank", #{ like: "2x6", nominal: [2.inch] });"#,
        r#"c.section("plank", #{ like: "2x6", status: "seen" });"#,
        r#"c.section("plank", #{ like: "2x6", except: #{ width: "read" } });"#,
        r#"c.section("plank", #{ like: "2x6", width: 5.inch, except: #{ width: "guess" } });"#,
        r#"c.measured("1x4", #{ });"#,
        r#"c.stock("2x6", #{ lengths: [8.feet, 10.feet], cents: [100, 200, 300] });"#,
        r#"c.stock("2x6", #{ lengths: [8.feet, 10.feet], cents: [100, 2.5] });"#,
        r#"c.stock("2x6", #{ lengths: [8.feet, 10.feet, 96.inch] });"#,
        r#"c.offcut("2x6", #{ wood: "cypress", length: 20.inch, count: -2 });"#,
        r#"c.offcut("2x6", #{ length: 20.inch });"#,
        r#"c.rate("cedar", -3);"#,
        r#"c.rate("cedar", 4.5);"#,
        r#"c.species("driftwood", #{ decay: "slight" });"#,
        r#"c.species("driftwood", #{ like: "cedar", gravity_12: -0.4 });"#,
        r#"c.design_values("Lake", "No.2", #{ widths: [1.inch, 2.inch, 3.inch] });"#,
        r#"c.fastener("peg", #{ kind: "dowl" });"#,
        r#"c.fastener("peg", #{ like: "deck_screw_8", dims: #{ head_diameter: 8 } });"#,
        r#"c.drill("deck scrow", "8", #{ clearance: 3.mm, pilot_softwood: 2.mm, pilot_hardwood: 2.mm });"#,
        r#"c.hardware("hook", #{ like: "eye_bolt_3_9" });"#,
        r#"c.hardware("hook", #{ like: "eye_bolt_3_8", ratings: [#{ up_to: 45.deg }] });"#,
        r#"c.tool("rip_kerf", -1.mm);"#,
        r#"c.tool("rip_kerf", 3);"#,
        r#"c.currency(" ");"#,
        r#"c.rate("teak", 900, #{ waste: 1.4 });"#,
        r#"c.rate("teak", 900, #{ by: "cord" });"#,
        r#"c.price("eye_bolt_3_8", #{ cents: -5 });"#,
        r#"c.price("eye_bolt_3_8", #{ });"#,
        r#"c.price("wood_screw_8", #{ boxes: [25, 100], cents: [1, 2, 3] });"#,
        r#"c.price("wood_scrow_8", #{ cents: 5 });"#,
        r#"c.delivery("van", #{ up_to_kg: 300 });"#,
        r#"c.consumable("varnish", #{ coats: 3 });"#,
        r#"c.consumable("finish", #{ square_metres_per_litre: 0 });"#,
        r#"c.consumable("finish", #{ litres: [1, 5], cents: [1, 2, 3] });"#,
        r#"c.labour("crosscuts", #{ minutes: 1 });"#,
        r#"c.labour("crosscut", #{ minutes: 1, batch_minutes: 2 });"#,
        r#"c.labour("crosscut", #{ minutes: 1, batch_minutes: 0.05 });"#,
        r#"c.labour("crosscut", #{ minutes: -1 });"#,
        r#"c.term("margin", 1.5);"#,
        r#"c.term("margin", 25);"#,
        r#"c.term("margins", 0.2);"#,
        r#"c.term("labour_per_hour", 25.5);"#,
        r#"c.term("labour_per_hour", -1);"#,
        r#"c.ofcut("2x6", #{ });"#,
    ];
    insta::assert_snapshot!(entries.map(refused).join("\n"));
}

#[test]
fn a_catalogue_without_end_is_stopped() {
    let told = refused("loop { c.only_listed(); }");
    assert!(told.contains("too-many-entries"), "{told}");
}
