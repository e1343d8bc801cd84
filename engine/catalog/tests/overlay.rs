//! A user's own entries: everything follows them, and what is wrong is told at its file, line and key.

use proptest::prelude::*;
use slatwork_base::{Angle, Diagnostic, Length, Origin, Outcome, Place};
use slatwork_catalog::{
    Catalogue, FastenerKind, Item, Measured, Offcut, Overlay, SectionClass, Source, Status, ToolSetting,
    ToolValue,
};

fn own(text: &str) -> Catalogue {
    let outcome = Catalogue::shared().overlay_toml("own.toml", text);
    assert_eq!(told(&outcome), "");
    outcome.value.expect("a catalogue")
}

/// Every trouble as a reader sees it: message, place, the line with the words underlined, help.
fn told(outcome: &Outcome<Catalogue>) -> String {
    outcome.diagnostics.iter().map(one).collect::<Vec<_>>().join("\n")
}

fn one(trouble: &Diagnostic) -> String {
    let mut lines = vec![format!("{}[{}]: {}", trouble.severity.word(), trouble.code, trouble.message)];
    for (place, remark) in trouble
        .place
        .iter()
        .map(|place| (place, ""))
        .chain(trouble.trace.iter().map(|(p, r)| (p, r.as_str())))
    {
        lines.push(format!("  {place} {remark}").trim_end().to_string());
        if let Place::Source { column, width, text, .. } = place {
            lines.push(format!("    {text}"));
            lines.push(format!("    {}{}", " ".repeat(column - 1), "^".repeat(*width)));
        }
    }
    lines.extend(trouble.help.iter().map(|help| format!("  help: {help}")));
    lines.join("\n")
}

fn refused(text: &str) -> String {
    let outcome = Catalogue::shared().overlay_toml("own.toml", text);
    assert!(outcome.value.is_none(), "this should have been refused:\n{text}");
    told(&outcome)
}

#[test]
fn nothing_laid_over_changes_nothing() {
    assert_eq!(own(""), **Catalogue::shared());
    assert_eq!(own("# only a remark\n\n[sources]\n"), **Catalogue::shared());
    assert_eq!(
        Catalogue::shared().overlay(Overlay::default()),
        Outcome::fine((**Catalogue::shared()).clone())
    );
}

#[test]
fn a_section_of_ones_own_is_found_and_sold() {
    let catalogue = own(r#"
[[section]]
name = "dock plank"
aliases = ["plank"]
thickness = "1-3/4in"
width = "7-1/8in"
lengths = ["10ft", "8ft", "8ft"]

[[stock]]
section = "plank"
species = "cypress"
lengths = ["8ft", "10ft"]
cents = [2400, 3100]
available = 6
"#);
    let plank = catalogue.section("Dock Plank").unwrap();
    assert_eq!((plank.class, plank.nominal), (SectionClass::Own, None));
    assert_eq!(plank.stock_lengths, [Length::inch(96.0), Length::inch(120.0)], "sorted, each once");
    assert_eq!((plank.source.text.as_str(), plank.source.status), ("own.toml", Status::Stated));
    let stock = catalogue.stock(plank, catalogue.species("cypress").unwrap(), None);
    assert_eq!(stock.iter().map(|stock| stock.price_cents).collect::<Vec<_>>(), [Some(2400), Some(3100)]);
    assert_eq!(stock[0].available, Some(6));
    // In another wood the same plank goes by the rate, on its actual size: 1.75 x 7.125 / 12 x 8 x 860, rounded.
    let oak = catalogue.stock(plank, catalogue.species("white oak").unwrap(), None);
    assert_eq!(oak[0].price_cents, Some(7149));
}

#[test]
fn what_the_tape_says_replaces_the_dressed_size_and_keeps_the_nominal_one() {
    let catalogue = own("[[measured]]\nsection = \"1 x 4\"\nthickness = \"11/16in\"\nwidth = \"3-3/8in\"\n");
    let dressed = Catalogue::shared().section("1x4").unwrap();
    let measured = catalogue.section("1x4").unwrap();
    assert_eq!((measured.thickness, measured.width), (Length::inch(0.6875), Length::inch(3.375)));
    assert!(measured.measured && !dressed.measured);
    assert_eq!(measured.nominal, dressed.nominal);
    assert_eq!(measured.board_feet_per_foot(), dressed.board_feet_per_foot(), "it is still sold by its name");
    assert_eq!(measured.source.status_of("width"), Status::Measured);
    assert_eq!(measured.source.status_of("lengths"), Status::FromMemory);
    let thickness_only = own("[[measured]]\nsection = \"1x4\"\nthickness = \"19mm\"\n");
    assert_eq!(thickness_only.section("1x4").unwrap().width, dressed.width);
    assert_eq!(thickness_only.section("1x4").unwrap().source.status_of("width"), Status::Read);
}

#[test]
fn a_wood_like_another_needs_only_what_differs() {
    let catalogue = own(r#"
[[species]]
name = "harbour cedar"
like = "cedar"
gravity_12 = 0.35
aliases = ["cedar"]
"#);
    let cedar = catalogue.species("cedar").unwrap();
    assert_eq!(cedar.id, "harbour_cedar", "the user's alias wins");
    assert_eq!(cedar.gravity_12, Some(0.35));
    assert_eq!(cedar.design_group.as_deref(), Some("Western Cedars"));
    assert_eq!(catalogue.species("western red cedar").unwrap().gravity_12, Some(0.32));
}

#[test]
fn yard_lengths_go_from_the_closest_listing_to_the_usual_ones() {
    let text = r#"
[[stock]]
section = "2x4"
lengths = ["8ft"]
cents_per_foot = 61

[[stock]]
section = "2x4"
species = "white oak"
lengths = ["6ft", "9ft"]

[[stock]]
section = "2x4"
species = "white oak"
grade = "No.1"
lengths = ["7ft"]
cents = 4321

[[rate]]
species = "white oak"
cents_per_board_foot = 300
"#;
    let catalogue = own(text);
    let lengths = |catalogue: &Catalogue,
                   section: &str,
                   wood: &str,
                   grade: Option<&str>|
     -> Vec<(String, Option<i64>)> {
        let (section, wood) = (catalogue.section(section).unwrap(), catalogue.species(wood).unwrap());
        let stock = catalogue.stock(section, wood, grade);
        stock.into_iter().map(|stock| (stock.length.to_string(), stock.price_cents)).collect()
    };
    let some = |length: &str, cents| (length.to_string(), Some(cents));
    assert_eq!(lengths(&catalogue, "2x4", "cedar", None), [some("96\"", 488)]);
    assert_eq!(lengths(&catalogue, "2x4", "white oak", None), [some("72\"", 1200), some("108\"", 1800)]);
    assert_eq!(lengths(&catalogue, "2x4", "white oak", Some("No.1")), [some("84\"", 4321)]);
    assert_eq!(lengths(&catalogue, "1x4", "cedar", None).len(), 7, "not listed: the usual lengths");
    let only = own(&format!("{text}\n[yard]\nonly_listed = true\ncurrency = \"shells\"\n"));
    assert_eq!(lengths(&only, "1x4", "cedar", None), []);
    assert_eq!(only.yard().currency, "shells");
    let metric = own("[[stock]]\nsection = \"38x89\"\nlengths = [\"2.4m\", \"3m\"]\ncents_per_metre = 251\n");
    assert_eq!(lengths(&metric, "38x89", "spf", None), [some("2400 mm", 602), some("3000 mm", 753)]);
}

#[test]
fn prices_stay_with_their_lengths_in_whatever_order_they_are_listed() {
    let text = "[[stock]]\nsection = \"2x4\"\nlengths = [\"12ft\", \"8ft\"]\ncents = [900, 500]\navailable = [2, 7]\n";
    let catalogue = own(text);
    let stock = catalogue.stock(catalogue.section("2x4").unwrap(), catalogue.species("cedar").unwrap(), None);
    let rows: Vec<_> = stock.iter().map(|stock| (stock.length, stock.price_cents, stock.available)).collect();
    let feet = |feet: f64| Length::inch(12.0 * feet);
    assert_eq!(rows, [(feet(8.0), Some(500), Some(7)), (feet(12.0), Some(900), Some(2))]);
}

#[test]
fn rack_tools_fasteners_and_hardware_are_taken_up() {
    let catalogue = own(r#"
[[offcut]]
section = "2 x 6"
species = "cypress"
length = "31-1/2in"
count = 4

[[offcut]]
section = "2x6"
species = "cypress"
length = "31-1/2in"

[tools]
crosscut_kerf = "3/32in"
mitre_limit = "50deg"
end_trim = "0mm"
rip_kerf = { value = "2.4mm", source = "the blade's print", status = "measured" }

[[fastener]]
id = "harbour_screw_8"
like = "deck_screw_8"
lengths = ["2in", "2-1/2in"]
dims = { head_diameter = "8.5mm" }

[[drill]]
kind = "deck screw"
size = "8"
clearance = "3/16in"
pilot_softwood = "3/32in"
pilot_hardwood = "1/8in"

[[hardware]]
id = "eye_bolt_3_8"
like = "eye_bolt_3_8"
ratings = [{ up_to = "90deg", newton = 900, status = "measured" }, { newton = 7000 }]
"#);
    let counts: Vec<u32> = catalogue.rack().iter().map(|offcut| offcut.count).collect();
    assert_eq!(counts, [4, 1]);
    assert_eq!(catalogue.rack()[0].section, "2x6");
    assert_eq!(catalogue.rack()[0].species, "baldcypress");
    let tools = catalogue.tools();
    assert_eq!((tools.crosscut_kerf, tools.rip_kerf), (Length::inch(0.09375), Length::mm(2.4)));
    assert_eq!((tools.mitre_limit, tools.end_trim), (Angle::deg(50.0), Length::ZERO));
    assert!(!tools.is_default("crosscut_kerf") && tools.is_default("drill_reach"));
    let screw = catalogue.fastener_by_id("harbour_screw_8").unwrap();
    assert_eq!(screw.head_diameter(), Some(Length::mm(8.5)));
    assert_eq!(screw.root_diameter(), Some(Length::inch(0.115)));
    assert_eq!(catalogue.drill(FastenerKind::DeckScrew, "#8").unwrap().clearance, Length::inch(0.1875));
    let eye = catalogue.hardware("eye_bolt_3_8").unwrap();
    assert_eq!(eye.working_load_n(), Some(7000.0));
    assert_eq!(eye.rating_at(Angle::deg(20.0)).map(|rating| rating.status), Some(Status::Measured));
}

#[test]
fn a_missing_section_lists_the_near_ones() {
    let catalogue = Catalogue::shared();
    let why = |name: &str| one(&catalogue.section(name).unwrap_err());
    let all = ["2x7", "4x2", "40x90", "5/4x6 RAD", "plank", "", "x", "2×"].map(why);
    insta::assert_snapshot!(all.join("\n"), @"
error[unknown-section]: there is no lumber section `2x7` in the catalogue
  help: did you mean `2x6`, `2x8`, `8/4x6 S2S`, `8/4x8 S2S`?
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[unknown-section]: there is no lumber section `4x2` in the catalogue
  help: thickness comes first: write `2x4`
error[unknown-section]: there is no lumber section `40x90` in the catalogue
  help: did you mean `38x89`, `32x89`, `45x95`, `34x95`?
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[unknown-section]: there is no lumber section `5/4x6 RAD` in the catalogue
  help: did you mean `5/4x6`, `5/4x6 RED`, `5/4x6 S2S`, `1x6`?
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[unknown-section]: there is no lumber section `plank` in the catalogue
  help: a section is asked for as `2x4`, `5/4x6` or `38x89`
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[unknown-section]: there is no lumber section `` in the catalogue
  help: a section is asked for as `2x4`, `5/4x6` or `38x89`
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[unknown-section]: there is no lumber section `x` in the catalogue
  help: a section is asked for as `2x4`, `5/4x6` or `38x89`
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[unknown-section]: there is no lumber section `2×` in the catalogue
  help: a section is asked for as `2x4`, `5/4x6` or `38x89`
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
");
}

#[test]
fn a_missing_wood_lists_the_near_ones() {
    let catalogue = Catalogue::shared();
    let why = |name: &str| one(&catalogue.species(name).unwrap_err());
    insta::assert_snapshot!(["whit oak", "live oak", "plastic", ""].map(why).join("\n"), @"
error[unknown-species]: there is no wood `whit oak` in the catalogue
  help: did you mean `white oak`?
error[unknown-species]: there is no wood `live oak` in the catalogue
  help: did you mean `white oak`?
error[unknown-species]: there is no wood `plastic` in the catalogue
  help: there are western red cedar; northern white cedar; Alaska yellow cedar; redwood, old growth; redwood, young growth; baldcypress; Douglas-fir, coast; southern pine, loblolly; southern pine, longleaf; ponderosa pine; eastern white pine; Engelmann spruce; lodgepole pine; western hemlock; white fir; white oak; northern red oak; black locust; teak; ipe; genuine mahogany; iroko; jarrah; karri
error[unknown-species]: there is no wood `` in the catalogue
  help: there are western red cedar; northern white cedar; Alaska yellow cedar; redwood, old growth; redwood, young growth; baldcypress; Douglas-fir, coast; southern pine, loblolly; southern pine, longleaf; ponderosa pine; eastern white pine; Engelmann spruce; lodgepole pine; western hemlock; white fir; white oak; northern red oak; black locust; teak; ipe; genuine mahogany; iroko; jarrah; karri
");
}

#[test]
fn missing_fasteners_and_hardware_say_what_there_is() {
    let catalogue = Catalogue::shared();
    let all = [
        one(&catalogue.fastener(FastenerKind::LagScrew, "7/16").unwrap_err()),
        one(&catalogue.fastener_by_id("wood_screw_80").unwrap_err()),
        one(&catalogue.drill(FastenerKind::WoodScrew, "#20").unwrap_err()),
        one(&catalogue.hardware("eye_bolt_3_9").unwrap_err()),
    ];
    insta::assert_snapshot!(all.join("\n"), @"
error[unknown-fastener]: there is no lag screw of size `7/16` in the catalogue
  help: there are 1/4, 5/16, 3/8, 1/2, 5/8, 3/4
error[unknown-fastener]: there is no fastener `wood_screw_80` in the catalogue
  help: did you mean `wood_screw_8`?
error[unknown-drill]: the catalogue has no drill sizes for a wood screw of size `#20`
  help: there are #4, #6, #8, #9, #10, #12, #14
error[unknown-hardware]: there is no hardware `eye_bolt_3_9` in the catalogue
  help: did you mean `eye_bolt_3_8`?
");
}

#[test]
fn a_file_that_is_not_toml() {
    insta::assert_snapshot!(refused("[[section]]\nname = 2x4\n"), @"
error[toml-syntax]: this is not TOML: string values must be quoted, expected literal string
  own.toml:2:8
    name = 2x4
           ^^^
");
}

#[test]
fn names_that_are_not_known_are_told_with_the_near_ones() {
    insta::assert_snapshot!(
        refused(
            r#"
[[sections]]
name = "plank"

[[section]]
name = "plank"
thicknes = "1in"
thickness = "1in"
width = "6in"
lengths = ["8ft"]

[tools]
crosscut_curf = "1/8in"

[[stock]]
section = "2x44"
lengths = ["8ft"]

[[rate]]
species = "whit oak"
cents_per_board_foot = 400

[[offcut]]
section = "2x4"
species = "oak"
length = "20in"

[[measured]]
section = "2x5"
width = "4-7/16in"

[[species]]
name = "harbour oak"
like = "white oka"
"#
        ),
        @r#"
error[unknown-key]: `sections` is no key of a catalogue file
  own.toml:2:3
    [[sections]]
      ^^^^^^^^
  help: did you mean `section`?
error[unknown-key]: `thicknes` is no key of a section
  own.toml:7:1
    thicknes = "1in"
    ^^^^^^^^
  help: did you mean `thickness`?
error[unknown-key]: `crosscut_curf` is no key of a tools table
  own.toml:13:1
    crosscut_curf = "1/8in"
    ^^^^^^^^^^^^^
  help: did you mean `crosscut_kerf`?
error[unknown-section]: there is no lumber section `2x44` in the catalogue
  own.toml:16:11
    section = "2x44"
              ^^^^^^
  help: did you mean `2x4`?
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[unknown-species]: there is no wood `whit oak` in the catalogue
  own.toml:20:11
    species = "whit oak"
              ^^^^^^^^^^
  help: did you mean `white oak`?
error[unknown-species]: there is no wood `oak` in the catalogue
  own.toml:25:11
    species = "oak"
              ^^^^^
  help: there are `northern red oak`, `red oak`, `white oak`
error[unknown-section]: there is no lumber section `2x5` in the catalogue
  own.toml:29:11
    section = "2x5"
              ^^^^^
  help: did you mean `8/4x5 S2S`, `6/4x5 S2S`, `5/4x5 S2S`, `1x5`?
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[unknown-species]: there is no wood `white oka` in the catalogue
  own.toml:34:8
    like = "white oka"
           ^^^^^^^^^^^
  help: did you mean `white oak`?
"#
    );
}

#[test]
fn values_that_cannot_be_read_are_told_with_what_can() {
    insta::assert_snapshot!(
        refused(
            r#"
[[section]]
name = "plank"
class = "bord"
thickness = 19
width = "6 bananas"
lengths = ["8ft", "-1ft"]
nominal = ["1in"]
edge_radius = true

[[species]]
name = 7
like = "cedar"
gravity_12 = -0.4
hardwood = "no"
decay = "poor"

[tools]
mitre_limit = "45in"
rip_kerf = "8deg"
bevel_limit = 45

[[stock]]
section = "2x4"
lengths = "8ft"
cents = [1, 2.5]

[[offcut]]
section = "2x4"
species = "cedar"
length = "20in"
count = -2
status = "seen"
except = { depth = "read", length = "guess" }
"#
        ),
        @r#"
error[wrong-value]: `class` cannot be `bord`
  own.toml:4:9
    class = "bord"
            ^^^^^^
  help: did you mean `board`?
error[wrong-value]: `thickness` must be a length with a unit, in quotes
  own.toml:5:13
    thickness = 19
                ^^
  help: write "19mm" or "19in", whichever it is
error[wrong-value]: `6 bananas` is not a length: `bananas` is no unit; write 3-1/2in, 3 1/2", 5ft 2-1/2in, 5' 2", 1520mm, 152cm or 1.52m
  own.toml:6:9
    width = "6 bananas"
            ^^^^^^^^^^^
error[wrong-value]: `lengths` must be greater than zero
  own.toml:7:19
    lengths = ["8ft", "-1ft"]
                      ^^^^^^
  help: it reads -12"
error[wrong-value]: `nominal` must be two lengths, such as ["2in", "4in"]
  own.toml:8:11
    nominal = ["1in"]
              ^^^^^^^
error[wrong-value]: `edge_radius` must be a length in quotes, such as "3-1/2in" or "89mm"
  own.toml:9:15
    edge_radius = true
                  ^^^^
error[wrong-value]: `name` must be text in quotes
  own.toml:12:8
    name = 7
           ^
error[wrong-value]: `gravity_12` must be a number, zero or more
  own.toml:14:14
    gravity_12 = -0.4
                 ^^^^
error[wrong-value]: `hardwood` must be true or false
  own.toml:15:12
    hardwood = "no"
               ^^^^
error[wrong-value]: `decay` cannot be `poor`
  own.toml:16:9
    decay = "poor"
            ^^^^^^
  help: write one of slight, moderate, resistant
error[wrong-value]: `45in` is not an angle: the unit is missing; write 14deg, 22.5° or a slope such as 3:12
  own.toml:19:15
    mitre_limit = "45in"
                  ^^^^^^
error[wrong-value]: `8deg` is not a length: `deg` is no unit; write 3-1/2in, 3 1/2", 5ft 2-1/2in, 5' 2", 1520mm, 152cm or 1.52m
  own.toml:20:12
    rip_kerf = "8deg"
               ^^^^^^
error[wrong-value]: `bevel_limit` must be an angle in quotes, such as "45deg"
  own.toml:21:15
    bevel_limit = 45
                  ^^
error[wrong-value]: `lengths` must be a list of lengths
  own.toml:25:11
    lengths = "8ft"
              ^^^^^
error[wrong-value]: `cents` must be whole numbers, zero or more
  own.toml:26:9
    cents = [1, 2.5]
            ^^^^^^^^
error[wrong-value]: `count` must be a whole number, zero or more
  own.toml:32:9
    count = -2
            ^^
error[wrong-value]: `status` cannot be `seen`
  own.toml:33:10
    status = "seen"
             ^^^^^^
  help: write one of measured, read, derived, stated, from memory, common practice, project choice, demo
error[wrong-value]: `except` names `depth`, which is not given
  own.toml:34:12
    except = { depth = "read", length = "guess" }
               ^^^^^
error[wrong-value]: `guess` is no status
  own.toml:34:37
    except = { depth = "read", length = "guess" }
                                        ^^^^^^^
  help: write one of measured, read, derived, stated, from memory, common practice, project choice, demo
"#
    );
}

#[test]
fn what_is_missing_is_asked_for() {
    insta::assert_snapshot!(
        refused("[[section]]\nname = \"plank\"\n\n[[measured]]\nsection = \"1x4\"\n\n[[stock]]\n\n[[hardware]]\nid = \"hook\"\n\n[[species]]\nname = \"driftwood\"\n"),
        @r#"
error[missing-key]: this section has no `thickness`, `width`, `lengths`
  own.toml:1:1
    [[section]]
    ^^^^^^^^^^^
  help: add a line `thickness = ..`, or `like = ".."` to take it from another
error[missing-key]: this measured has no `thickness`
  own.toml:4:1
    [[measured]]
    ^^^^^^^^^^^^
  help: add a line `thickness = ..`
error[missing-key]: this stock has no `section`, `lengths`
  own.toml:7:1
    [[stock]]
    ^^^^^^^^^
  help: add a line `section = ..`
error[missing-key]: this hardware has no `kind`, `name`, `size`
  own.toml:9:1
    [[hardware]]
    ^^^^^^^^^^^^
  help: add a line `kind = ..`, or `like = ".."` to take it from another
error[missing-key]: this species has no `hardwood`, `gravity_green`, `elasticity_mpa`, `rupture_mpa`, `shear_mpa`, `compression_mpa`, `hardness_n`, `shrinkage_radial`, `shrinkage_tangential`, `shrinkage_volumetric`, `fibre_saturation`, `decay`, `tannic`
  own.toml:12:1
    [[species]]
    ^^^^^^^^^^^
  help: add a line `hardwood = ..`, or `like = ".."` to take it from another
"#
    );
}

#[test]
fn single_brackets_and_wrong_shapes_are_told() {
    insta::assert_snapshot!(
        refused("stock = 3\nsources = \"me\"\ntools = \"all\"\nyard = []\noffcut = [1]\n\n[section]\nname = \"plank\"\n"),
        @r#"
error[wrong-value]: `stock` must be a list of tables
  own.toml:1:9
    stock = 3
            ^
  help: write [[stock]] with double brackets
error[wrong-value]: `sources` must be a table of texts
  own.toml:2:11
    sources = "me"
              ^^^^
error[wrong-value]: `tools` must be a table
  own.toml:3:9
    tools = "all"
            ^^^^^
error[wrong-value]: `yard` must be a table
  own.toml:4:8
    yard = []
           ^^
error[wrong-value]: `offcut` must be a table
  own.toml:5:11
    offcut = [1]
              ^
error[wrong-value]: `section` must be a list of tables
  own.toml:7:1
    [section]
    ^^^^^^^^^
  help: write [[section]] with double brackets
"#
    );
}

#[test]
fn an_entry_given_twice_names_both_places() {
    insta::assert_snapshot!(
        refused("[[measured]]\nsection = \"1x4\"\nwidth = \"88mm\"\n\n[[measured]]\nsection = \"1x4\"\nwidth = \"89mm\"\n"),
        @"
error[duplicate-entry]: the measure of `1x4` is given twice
  own.toml:5:1
    [[measured]]
    ^^^^^^^^^^^^
  own.toml:1:1 first here
    [[measured]]
    ^^^^^^^^^^^^
  help: keep one of them
"
    );
}

#[test]
fn names_that_could_not_be_found_are_refused() {
    insta::assert_snapshot!(
        refused(
            r#"
[[section]]
name = "dock plank"
like = "2x6"
aliases = ["2 X 4"]

[[section]]
name = "-"
like = "2x6"

[[species]]
name = "driftwood"
like = "cedar"
aliases = ["White_Oak"]

[[species]]
name = "!"
like = "cedar"

[[stock]]
section = "2x4"
lengths = ["8ft", "10ft", "96in"]
"#
        ),
        @r#"
error[duplicate-entry]: the alias `2 X 4` is the name of another section
  own.toml:5:11
    aliases = ["2 X 4"]
              ^^^^^^^^^
  help: choose another alias, or name yours `2 X 4` to replace it
error[wrong-value]: `-` is no name
  own.toml:8:8
    name = "-"
           ^^^
  help: it needs a letter or a digit
error[duplicate-entry]: the alias `White_Oak` is the name of another wood
  own.toml:14:11
    aliases = ["White_Oak"]
              ^^^^^^^^^^^^^
  help: choose another alias, or name yours `White_Oak` to replace it
error[wrong-value]: `!` is no name
  own.toml:17:8
    name = "!"
           ^^^
  help: it needs a letter or a digit
error[duplicate-entry]: `lengths` has 96" twice
  own.toml:22:11
    lengths = ["8ft", "10ft", "96in"]
              ^^^^^^^^^^^^^^^^^^^^^^^
  help: keep one of them
"#
    );
}

#[test]
fn impossible_sizes_are_slips_of_the_unit() {
    insta::assert_snapshot!(
        refused(
            r#"
[[section]]
name = "plank"
thickness = "19in"
width = "140ft"
lengths = ["8ft"]

[[section]]
name = "mast"
thickness = "6in"
width = "6in"
lengths = ["8ft", "96m"]

[[species]]
name = "leadwood"
like = "ipe"
gravity_green = 12

[[measured]]
section = "1x4"
width = "89m"

[[offcut]]
section = "1x4"
species = "cedar"
length = "900ft"

[[stock]]
section = "1x4"
lengths = ["8ft", "10ft"]
cents = [100, 200, 300]
"#
        ),
        @r#"
error[impossible-size]: section `plank` cannot have a width of 1680"
  own.toml:5:9
    width = "140ft"
            ^^^^^^^
  help: look at the unit: in, ft, mm or m
error[impossible-size]: section `mast` cannot be 96000 mm long
  own.toml:12:11
    lengths = ["8ft", "96m"]
              ^^^^^^^^^^^^^^
  help: look at the unit: in, ft, mm or m
error[impossible-size]: leadwood cannot have a specific gravity of 12
  own.toml:17:17
    gravity_green = 12
                    ^^
  help: it is the density over that of water: 0.3 to 1.1
error[impossible-size]: section `1x4` cannot have a width of 89000 mm
  own.toml:21:9
    width = "89m"
            ^^^^^
  help: look at the unit: in, ft, mm or m
error[impossible-size]: an offcut cannot be 10800" long
  own.toml:26:10
    length = "900ft"
             ^^^^^^^
  help: look at the unit: in, ft, mm or m
error[wrong-value]: `cents` has 3 values for 2 lengths
  own.toml:31:9
    cents = [100, 200, 300]
            ^^^^^^^^^^^^^^^
  help: give one for each of the lengths, or one for all
"#
    );
}

#[test]
fn plain_data_are_placed_at_their_script_line() {
    let place = |line| Place::Script(Origin { line, column: 5 });
    let source = Source::new("catalogues/mine.rhai", Status::Stated);
    let mut overlay = Overlay::default();
    let mut measured = Measured {
        section: "1x4".into(),
        thickness: None,
        width: Some(Length::mm(88.0)),
        source: source.clone(),
    };
    overlay.add_at(Item::Measured(measured.clone()), place(3));
    assert_eq!(
        Catalogue::shared().overlay(overlay.clone()).value.unwrap().section("1x4").unwrap().width,
        Length::mm(88.0)
    );
    measured.section = "1x44".into();
    overlay.add_at(Item::Measured(measured), place(4));
    overlay.add_at(
        Item::Offcut(Offcut {
            defects: Vec::new(),
            labels: Vec::new(),
            section: "2x4".into(),
            species: "cedar".into(),
            grade: None,
            length: Length::ZERO,
            count: 1,
            source: source.clone(),
        }),
        place(9),
    );
    let value = ToolValue::Angle(Angle::deg(3.0));
    overlay.add_at(Item::Tool(ToolSetting { name: "rip_kerf".into(), value, source }), place(12));
    insta::assert_snapshot!(told(&Catalogue::shared().overlay(overlay)), @r#"
error[unknown-section]: there is no lumber section `1x44` in the catalogue
  script line 4, column 5
  help: did you mean `1x4`?
  help: a section of your own goes into a catalogue file: name, thickness, width, lengths
error[impossible-size]: an offcut cannot be 0" long
  script line 9, column 5
  help: look at the unit: in, ft, mm or m
error[wrong-value]: `rip_kerf` must be a length
  script line 12, column 5
"#);
}

proptest! {
    #[test]
    fn the_tape_is_followed_whatever_it_says(thickness in 64i64..640, width in 64i64..1280, index in 0usize..100) {
        let section = Catalogue::shared().sections().nth(index).expect("more than a hundred sections");
        let (thickness, width) = (Length::sixty_fourths(thickness), Length::sixty_fourths(width));
        let text = format!("[[measured]]\nsection = '{}'\nthickness = '{thickness}'\nwidth = '{width}'\n", section.name);
        let catalogue = own(&text);
        let measured = catalogue.section(&section.name).expect("it is still there");
        prop_assert_eq!((measured.thickness, measured.width), (thickness, width));
        prop_assert_eq!(measured.nominal, section.nominal);
        prop_assert_eq!(catalogue.sections().filter(|section| section.measured).count(), 1);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "[\\[\\]a-z_=\" {}.,0-9\n#'½\u{301}]{0,120}") {
        let _ = Catalogue::shared().overlay_toml("own.toml", &text);
        let _ = Catalogue::shared().section(&text);
        let _ = Catalogue::shared().species(&text);
    }

    #[test]
    fn no_value_makes_the_reader_panic(
        table in prop::sample::select(vec!["section", "measured", "species", "design", "fastener", "drill", "hardware", "stock", "rate", "offcut"]),
        key in prop::sample::select(vec!["name", "thickness", "lengths", "nominal", "like", "dims", "except", "ratings", "grades", "cents", "kind", "widths", "id", "section", "species", "source"]),
        value in prop::sample::select(vec!["''", "'½é'", "0", "-1", "1e400", "nan", "[]", "[[]]", "{}", "[{}]", "{ a = {} }", "9223372036854775807", "0xff", "true", "1979-05-27", "'99999999999999999m'"]),
    ) {
        let _ = Catalogue::shared().overlay_toml("own.toml", &format!("[[{table}]]\n{key} = {value}\n"));
    }
}
