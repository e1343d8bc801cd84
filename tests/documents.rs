//! The papers of every built-in family: they hold to their schemas, and come out the same every time.

use slatwork::checks::Caution;
use slatwork::output::json::document;
use slatwork::project::{BUILT_IN, FileOut, SCHEMAS, World, schema};
use slatwork::{
    Batch, Dossier, Kind, Memory, Request, RowFormat, Severity, Units, batch, build, with_stack, write,
};

fn families() -> Vec<String> {
    let stems = BUILT_IN.iter().filter_map(|(path, _)| path.strip_prefix("families/")?.strip_suffix(".rhai"));
    stems.map(String::from).collect()
}

fn made(family: &str) -> Dossier {
    let outcome = with_stack(|| build(&Memory::default(), &Request::new(family))).expect("a thread");
    let wrong: Vec<_> = outcome.diagnostics.iter().filter(|own| own.severity >= Severity::Failure).collect();
    assert!(wrong.is_empty(), "{family}: {wrong:#?}");
    outcome.value.expect("it can be built")
}

/// The papers of a family of one script.
fn scripted(body: &str, units: Units) -> Dossier {
    let script = format!("fn describe(f) {{ f.title = \"Trial\"; }}\nfn build(job, p) {{\n{body}\n}}\n");
    let world = Memory::of([("families/trial.rhai", script.as_str())]);
    let request = Request { units, ..Request::new("trial") };
    let outcome = with_stack(|| build(&world, &request)).expect("a thread");
    outcome.value.expect("it can be built")
}

/// A paper without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn check(schema_name: &str, text: &str) {
    let schema: serde_json::Value =
        serde_json::from_str(schema(schema_name).expect("a schema")).expect("JSON");
    let document: serde_json::Value = serde_json::from_str(text).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema that can be read");
    let faults: Vec<String> =
        validator.iter_errors(&document).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
    assert!(faults.is_empty(), "{schema_name}: {}", faults.join("\n"));
}

#[test]
fn json_documents_hold_to_their_schemas() {
    for family in families() {
        for document in made(&family).documents.iter().filter(|document| document.path.ends_with(".json")) {
            check(&document.kind.schema_name().expect("a schema"), document.text().expect("text"));
        }
    }
}

/// Every file is told with what it is for, in words and for programs, and no other.
#[test]
fn the_contents_tell_every_file() {
    let made = made("garden_bench");
    let text = |path: &str| {
        let found = made.documents.iter().find(|document| document.path == path);
        found.and_then(|document| document.text()).expect("text")
    };
    let list: serde_json::Value = serde_json::from_str(text("contents.json")).expect("JSON");
    let told: Vec<(&str, u64)> = list["files"]
        .as_array()
        .expect("files")
        .iter()
        .map(|file| (file["path"].as_str().expect("a path"), file["bytes"].as_u64().expect("a number")))
        .collect();
    let others = made.documents.iter().filter(|document| document.kind != Kind::Contents);
    let written: Vec<(&str, u64)> =
        others.map(|document| (document.path.as_str(), document.bytes.len() as u64)).collect();
    assert_eq!(told, written);
    let words = one_line(text("contents.txt"));
    assert!(written.iter().all(|(path, _)| words.contains(path)), "{words}");
    let one = Request { only: vec![Kind::Bill], ..Request::new("garden_bench") };
    let few = with_stack(|| build(&Memory::default(), &one)).expect("a thread").value.expect("a bench");
    assert!(few.documents.iter().all(|document| document.kind == Kind::Bill));
}

/// The line of a built-in script that a place names.
fn line_of(place: &serde_json::Value) -> &'static str {
    let file = place["file"].as_str().expect("a file");
    let is_it = |(path, _): &&(&str, &'static str)| file.strip_prefix("built-in/") == Some(*path);
    let (_, script) = BUILT_IN.iter().find(is_it).expect("a script that comes with the program");
    let line = usize::try_from(place["line"].as_u64().expect("a line")).expect("a number");
    script.lines().nth(line - 1).expect("a line of the script")
}

/// Every joint of the model stands in the document, each fastener with its layers, whose lengths it passes one after another.
#[test]
fn joints_are_exposed_as_plain_data() {
    for family in families() {
        let mut request = Request::new(family.as_str());
        request.only = vec![Kind::Joints];
        let dossier = with_stack(|| build(&Memory::default(), &request)).unwrap().value.unwrap();
        let [document] = &dossier.documents[..] else { panic!("{:?}", dossier.documents) };
        assert_eq!(document.path, "joints.json");
        let told: serde_json::Value = serde_json::from_str(document.text().expect("text")).expect("JSON");
        let joints = told["joints"].as_array().expect("a list");
        assert_eq!(joints.len(), dossier.model.joints.len(), "{family}");
        for (told, joint) in joints.iter().zip(&dossier.model.joints) {
            assert_eq!(told["kind"], joint.kind);
            assert!(line_of(&told["origin"]).contains("job."), "{family}: {}", told["origin"]);
            assert_eq!(told["parts"].as_array().unwrap().len(), joint.parts.len());
            let fastenings = told["fastenings"].as_array().unwrap();
            assert_eq!(fastenings.len(), joint.fastenings.len());
            for (told, one) in fastenings.iter().zip(&joint.fastenings) {
                let layers = told["layers"].as_array().unwrap();
                assert_eq!(layers.len(), one.layers.len());
                let ends =
                    |key: &str| layers.iter().map(|own| own[key].as_f64().unwrap()).collect::<Vec<_>>();
                assert!(ends("to").is_sorted() && ends("from").is_sorted(), "{told}");
                assert_eq!(told["bores"].as_array().unwrap().len(), one.bores.len());
                let at = |key: &str| -> Vec<f64> {
                    told[key].as_array().unwrap().iter().map(|own| own.as_f64().unwrap()).collect()
                };
                let (head, tip, way) = (at("head"), at("tip"), at("direction"));
                let along: f64 = (0..3).map(|axis| (tip[axis] - head[axis]) * way[axis]).sum();
                let long = told["length"].as_f64().unwrap();
                // Under a washer a bolt's head stands off the wood.
                assert!(along <= long + 1e-6 && along > 0.8 * long, "{family}: {along} of {long}");
            }
        }
    }
}

#[test]
fn verdicts_hold_to_their_schema() {
    for family in families() {
        let judged =
            with_stack(|| slatwork::project::check(&Memory::default(), &Request::new(family.as_str())));
        let judged = judged.expect("a thread").value.expect("it can be built");
        check("slatwork/check/1", &document("check", 1, judged.json()));
    }
}

#[test]
fn remedies_hold_to_their_schema() {
    let world =
        Memory::of([("families/duck_bench.rhai", include_str!("../engine/project/src/starter.rhai"))]);
    let look = |settings: &[(&str, &str)]| {
        let thin =
            settings.iter().fold(Request::new("duck_bench"), |own, (name, value)| own.set(*name, *value));
        let judged = with_stack(|| slatwork::project::check_with_remedies(&world, &thin));
        let judged = judged.expect("a thread").value.expect("it can be built");
        let told = document("check", 1, judged.json());
        check("slatwork/check/1", &told);
        serde_json::from_str::<serde_json::Value>(&told).unwrap()
    };
    assert!(look(&[])["remedies"].is_null(), "nothing fails");
    let thin = look(&[("slats", "1x4")]);
    assert_eq!(thin["fails"], true);
    let thicker =
        thin["remedies"]["offered"].as_array().unwrap().iter().find(|own| own["parameter"] == "slats");
    assert_eq!(thicker.unwrap()["told"], "5/4x4");
    // Too thin and of too weak a wood: no one change will do.
    let weak = look(&[("slats", "1x4"), ("width", "36in"), ("wood", "engelmann spruce")]);
    assert!(weak["remedies"]["failing"].as_u64().unwrap() > 1);
}

#[test]
fn a_schema_refuses_what_is_no_such_document() {
    let schema: serde_json::Value = serde_json::from_str(schema("slatwork/cutlist/1").unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    assert!(!validator.is_valid(&serde_json::json!({ "schema": "slatwork/cutlist/1" })));
    assert_eq!(SCHEMAS.len(), 15);
}

#[test]
fn rows_of_a_batch_hold_to_their_schema() {
    let order = Batch {
        request: Request::new("porch_swing"),
        vary: vec![String::from("width=4ft..5ft/1ft"), String::from("slats=5/4x4,no_such")],
        format: RowFormat::JsonLines,
        ..Batch::default()
    };
    let mut rows = Vec::new();
    let tally =
        with_stack(|| batch(&Memory::default(), &order, &mut rows, &|_, _| {})).unwrap().value.unwrap();
    assert_eq!((tally.fine, tally.not_built), (2, 2));
    let text = String::from_utf8(rows).unwrap();
    assert_eq!(text.lines().count(), 4);
    text.lines().for_each(|line| check("slatwork/variant/1", line));
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    for family in families() {
        let (one, other) = (made(&family), made(&family));
        assert_eq!(one.documents, other.documents, "{family}");
    }
}

#[test]
fn rows_are_the_same_whatever_the_thread_count() {
    let rows = |threads: usize| {
        let order = Batch {
            request: Request::new("porch_swing"),
            vary: vec![String::from("width=3ft..7ft/3in"), String::from("crest=circle,straight")],
            threads,
            ..Batch::default()
        };
        let mut rows = Vec::new();
        with_stack(|| batch(&Memory::default(), &order, &mut rows, &|_, _| {})).unwrap().value.unwrap();
        String::from_utf8(rows).unwrap()
    };
    let one = rows(1);
    assert_eq!(one.lines().count(), 1 + 17 * 2);
    assert_eq!(one, rows(2));
    assert_eq!(one, rows(5));
}

#[test]
fn only_what_is_asked_for_is_made() {
    let mut request = Request::new("porch_swing");
    request.only = vec![Kind::Holes];
    let dossier = with_stack(|| build(&Memory::default(), &request)).unwrap().value.unwrap();
    let paths: Vec<&str> = dossier.documents.iter().map(|document| document.path.as_str()).collect();
    assert_eq!(paths, ["holes.txt", "holes.csv", "drilled.csv", "holes.json"]);
}

#[test]
fn papers_are_written_below_their_folder_and_old_drawings_go() {
    let world = Memory::of([("out/notes.txt", "mine"), ("out/drawings/mine.svg", "mine")]);
    world.write_all("out", "another", &[FileOut { path: "drawings/Z_old.svg", bytes: b"old" }]).unwrap();
    let dossier = made("porch_swing");
    let paths = write(&world, "out", &dossier).unwrap();
    assert!(paths.iter().all(|path| world.bytes(path).is_some()));
    assert_eq!(world.bytes("out/drawings/Z_old.svg"), None, "a drawing of a part that is gone");
    assert!(world.bytes("out/notes.txt").is_some() && world.bytes("out/drawings/mine.svg").is_some());
}

/// Papers of another piece in the same folder go, also those that are not asked for again; those of the same piece stay.
#[test]
fn papers_of_another_design_do_not_stay_beside_new_ones() {
    let world = Memory::default();
    let only = |width: &str, kind: Kind| {
        let mut request = Request::new("porch_swing").set("width", width);
        request.only = vec![kind];
        let dossier = with_stack(|| build(&world, &request)).unwrap().value.unwrap();
        write(&world, "out", &dossier).unwrap();
    };
    only("5ft", Kind::Bill);
    only("5ft", Kind::CutList);
    assert!(world.bytes("out/bill.txt").is_some(), "of the same swing");
    only("6ft", Kind::CutList);
    assert_eq!(world.bytes("out/bill.txt"), None, "of another swing");
    assert!(world.bytes("out/cutlist.txt").is_some());
}

fn text(dossier: &Dossier, path: &str) -> String {
    let found = dossier.documents.iter().find(|document| document.path == path);
    found.and_then(|document| document.text()).unwrap_or_else(|| panic!("no {path}")).to_string()
}

fn with_settings(family: &str, settings: &[(&str, &str)], units: Units) -> Dossier {
    let mut request = settings.iter().fold(Request::new(family), |r, (name, value)| r.set(*name, *value));
    request.units = units;
    with_stack(|| build(&Memory::default(), &request)).unwrap().value.expect("it can be built")
}

fn table(dossier: &Dossier, path: &str) -> csv::Reader<std::io::Cursor<String>> {
    csv::Reader::from_reader(std::io::Cursor::new(text(dossier, path)))
}

/// The steps of each set, wrapped lines joined.
fn steps(cut_list: &str) -> Vec<Vec<String>> {
    let mut sets: Vec<Vec<String>> = vec![Vec::new()];
    for line in cut_list.lines() {
        let words = line.trim_start();
        let numbered = words.split_once(". ").is_some_and(|(number, _)| number.parse::<u32>().is_ok());
        match line {
            _ if line.starts_with("    ") && numbered => sets.last_mut().unwrap().push(words.to_string()),
            _ if line.starts_with("        ") => {
                if let Some(step) = sets.last_mut().unwrap().last_mut() {
                    step.push(' ');
                    step.push_str(words);
                }
            }
            _ => sets.push(Vec::new()),
        }
    }
    sets.retain(|set| !set.is_empty());
    sets
}

/// Nothing is marked off the board: a reading has no sign.
#[test]
fn marks_lie_on_the_board() {
    let variants: [(&str, &[(&str, &str)]); 6] = [
        ("adirondack_chair", &[]),
        ("adirondack_chair", &[("seat_width", "24in"), ("fall", "20deg")]),
        ("adirondack_chair", &[("back", "spread fan"), ("seat_width", "21in")]),
        ("porch_swing", &[]),
        ("porch_swing", &[("back", "lengthwise slats"), ("seat", "dished")]),
        ("garden_bench", &[]),
    ];
    let mut over_an_end = 0;
    for (family, settings) in variants {
        for step in steps(&text(&with_settings(family, settings, Units::Inch), "cutlist.txt")).concat() {
            let signed = step.split_whitespace().any(|word| {
                word.strip_prefix('-').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
            });
            assert!(!signed, "{family} {settings:?}: {step}");
            over_an_end += usize::from(step.contains("a point on the "));
        }
    }
    assert!(over_an_end > 0, "some line leaves the board over an end");
}

#[test]
fn edges_are_rounded_when_nothing_is_sawn_along_them_any_more() {
    let mut fitted = 0;
    for family in families() {
        for set in steps(&text(&with_settings(&family, &[], Units::Inch), "cutlist.txt")) {
            // A crest sawn in place crosses the boards' ends, long after their edges are rounded at the bench.
            let at_bench = |step: &String| !step.contains("(in place)");
            let find = |word: &str| set.iter().position(|step| step.contains(word) && at_bench(step));
            if let Some(rounded) = find("Round over") {
                let before = ["over size", "Cope round", "Saw the", "Notch"];
                assert!(before.iter().filter_map(|word| find(word)).all(|at| at < rounded), "{set:#?}");
                fitted += usize::from(find("over size").is_some());
            }
            assert!(set.iter().all(|step| !step.contains("upper long") && !step.contains("lower long")));
        }
    }
    assert!(fitted > 0);
}

#[test]
fn a_taper_is_said_once_and_names_its_edges() {
    let chair = steps(&text(&with_settings("adirondack_chair", &[], Units::Inch), "cutlist.txt"));
    let tapers: Vec<Vec<&String>> =
        chair.iter().map(|set| set.iter().filter(|step| step.contains("taper")).collect()).collect();
    assert!(tapers.iter().all(|tapers| tapers.len() < 2), "{tapers:?}");
    assert!(tapers.iter().flatten().any(|step| step.contains("the taper along both edges")), "{tapers:?}");
}

/// Where the mark of the tape is off, the list says by how much; mark and rest together are the exact length.
#[test]
fn what_is_off_the_tape_is_told() {
    let swing = with_settings("porch_swing", &[], Units::Inch);
    let mut rows = table(&swing, "stops.csv");
    let heads = rows.headers().unwrap().clone();
    let column =
        |name: &str| heads.iter().position(|head| head == name).unwrap_or_else(|| panic!("no {name}"));
    let (stop, exact, off) = (column("stop_mm"), column("exact_mm"), column("off"));
    let mut told = 0;
    for row in rows.records().map(Result::unwrap).filter(|row| !row[stop].is_empty()) {
        let error = (row[exact].parse::<f64>().unwrap() - row[stop].parse::<f64>().unwrap()) / 25.4;
        let said = match row[off].split_once(' ') {
            Some((word, inches)) => {
                told += 1;
                let inches: f64 = inches.trim_end_matches('"').parse().unwrap();
                if word == "plus" { inches } else { -inches }
            }
            None => 0.0,
        };
        assert!((error - said).abs() < 0.00101, "{row:?}: {error} and {said}");
    }
    assert!(told > 3);
    let page = text(&swing, "stops.txt");
    assert!(page.contains("less 0.0") && !page.contains("exact"), "{page}");
    assert!(text(&swing, "cutlist.txt").contains("\" less 0.0"), "the cut list says it too");
}

/// A hole is marked at the same place in every list.
#[test]
fn a_hole_reads_the_same_in_cut_list_and_hole_list() {
    for family in families() {
        let dossier = with_settings(&family, &[], Units::Inch);
        let bored: Vec<String> = steps(&text(&dossier, "cutlist.txt")).concat();
        let bored: Vec<&String> = bored.iter().filter(|step| step.contains("Bore ")).collect();
        let mut holes = table(&dossier, "holes.csv");
        let heads = holes.headers().unwrap().clone();
        let column = |name: &str| heads.iter().position(|head| head == name).unwrap();
        let (end, edge) = (column("from_end"), column("from_edge"));
        for hole in holes.records().map(Result::unwrap) {
            if hole[end].is_empty() || hole[edge].is_empty() {
                continue;
            }
            let place = format!("{} from the datum end, {} from the datum edge", &hole[end], &hole[edge]);
            assert!(bored.iter().any(|step| step.contains(&place)), "{family}: {place}");
        }
    }
}

#[test]
fn both_measures_stand_in_the_steps_too() {
    let both = with_settings("porch_swing", &[], Units::Both);
    let steps = steps(&text(&both, "cutlist.txt")).concat();
    let crosscuts: Vec<&String> = steps.iter().filter(|step| step.contains("Crosscut square")).collect();
    assert!(!crosscuts.is_empty() && crosscuts.iter().all(|step| step.contains(" mm)")), "{crosscuts:?}");
    let broken = |line: &str| {
        let end = line.trim_end();
        end.ends_with(|c: char| c.is_ascii_digit()) && end.contains('(') && !end.contains(" mm")
    };
    let stops = text(&both, "stops.txt");
    assert!(!stops.lines().any(broken), "{stops}");
}

/// A cope that no saw can cut is left out, and the parts keep clear of each other.
#[test]
fn no_cope_is_thinner_than_a_saw_cut() {
    for width in ["21in", "22in", "24in"] {
        let chair = with_settings("adirondack_chair", &[("seat_width", width)], Units::Mm);
        let mut notches = table(&chair, "notches.csv");
        let heads = notches.headers().unwrap().clone();
        let column = |name: &str| heads.iter().position(|head| head == name).unwrap();
        let (along, across) = (column("along_mm"), column("across_mm"));
        for notch in notches.records().map(Result::unwrap) {
            for size in [along, across].map(|at| notch[at].parse::<f64>().unwrap()) {
                assert!(size >= 1.0, "{width}: {notch:?}");
            }
        }
    }
}

#[test]
fn inch_papers_speak_in_feet_and_pounds() {
    let dossier = with_settings("porch_swing", &[], Units::Inch);
    let (bill, purchase) = (text(&dossier, "bill.txt"), text(&dossier, "purchase.txt"));
    assert!(bill.contains(" lb (") && bill.contains(" sq ft (") && bill.contains(" ft ("), "{bill}");
    assert!(purchase.contains("Bought in all: ") && purchase.contains(" ft ("), "{purchase}");
    let metric = text(&with_settings("porch_swing", &[], Units::Mm), "bill.txt");
    assert!(!metric.contains(" lb") && !metric.contains(" ft"), "{metric}");
    assert!(bill.contains("board feet") && !metric.contains("board feet"), "{metric}");
}

#[test]
fn the_bill_says_how_much_glue_is_spread() {
    // A cleat of ten inches on the face of a board of the same width, 3 1/2": 35 square inches.
    let script = "let board = job.board(\"board\", #{ stock: \"1x4\", length: 20.inch }).lie(\"right\", \"up\");\n\
        let cleat = job.board(\"cleat\", #{ stock: \"1x4\", length: 10.inch }).lie(\"right\", \"up\");\n\
        cleat.against(\"down\", board.side(\"up\")).flush(\"front\", board.side(\"front\")).flush(\"left\", board.side(\"left\"), 5.inch);\n";
    let made = |join: &str, units: Units| scripted(&format!("{script}{join}"), units);
    let bill = |join: &str, units: Units| text(&made(join, units), "bill.txt");
    let glued = "job.join(\"glued face\", cleat, board);";
    let inch = bill(glued, Units::Inch);
    assert!(inch.contains("Glue to spread: 35 sq in (226 cm2)"), "{inch}");
    let metric = bill(glued, Units::Mm);
    assert!(metric.contains("Glue to spread: 226 cm2"), "{metric}");
    assert!(!bill("", Units::Inch).contains("Glue to spread"), "nothing is glued");
    let listed = text(&made(glued, Units::Inch), "finishing.csv");
    assert!(listed.starts_with("what,area_mm2,radius_mm,radius,length_mm,length\nglue,22580.6"), "{listed}");
}

/// Two boards glued and screwed: what a builder reads of their price, on inch papers and on metric ones.
/// Clearance, countersink and pilot of a screw are drilled in one go: as many holes as are marked.
#[test]
fn a_screw_is_drilled_once() {
    let plan = made("porch_swing").plan;
    let marked: usize = plan.holes.rows.iter().map(|row| row.quantity).sum();
    let drilled = plan.price.labour.iter().find(|line| line.operation == slatwork::catalog::Operation::Drill);
    assert!(!plan.holes.drilled.is_empty());
    assert_eq!(drilled.map(|line| line.count), Some(marked as f64));
}

#[test]
fn a_price_reads_well_at_the_desk() {
    let script = "let rail = job.board(\"rail\", #{ stock: \"2x4\", length: 30.inch }).lie(\"right\", \"up\");\n\
                  let cleat = job.board(\"cleat\", #{ stock: \"1x4\", length: 20.inch }).lie(\"right\", \"up\");\n\
                  cleat.against(\"rear\", rail.side(\"front\")).centre(\"right\", rail).flush(\"up\", rail.side(\"up\"));\n\
                  cleat.soften(\"long edges\", inch(\"1/8\"));\n\
                  job.join(\"screwed face to face\", cleat, rail, #{ glue: true });\n";
    for units in [Units::Inch, Units::Mm] {
        insta::assert_snapshot!(text(&scripted(script, units), "price.txt"));
    }
}

/// A 2x4 with a tenon 1/2" thick and 1" long: cheeks (1 1/2 - 1/2) / 2 off either face, a quarter of an inch or so off the edges.
#[test]
fn a_tenon_is_told_by_its_own_sizes() {
    let script = "let post = job.board(\"post\", #{ stock: \"2x4\", length: 20.inch }).lie(\"up\", \"left\");\n\
        let rail = job.board(\"rail\", #{ stock: \"2x4\", length: 20.inch }).lie(\"right\", \"front\");\n\
        rail.against(\"left\", post.side(\"right\")).centre(\"front\", post).flush(\"down\", post.side(\"down\"), 5.inch);\n\
        job.join(\"mortise and tenon\", rail, post, #{ tenon: 1.inch });";
    let listed = text(&scripted(script, Units::Inch), "cutlist.txt");
    let told = listed.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("Tenon into post on the datum end: 1\" long, 1/2\" thick, 1/2\" off the back face"),
        "{listed}"
    );
}

/// Post and rail as above, the rail against one side of the post: its marked face, its back face, or one of its edges.
fn mortised(post: &str, tenon: &str) -> Dossier {
    let script = format!(
        "let post = job.board(\"post\", #{{ stock: \"4x4\", length: 20.inch }}).lie(\"up\", \"{post}\");\n\
         let rail = job.board(\"rail\", #{{ stock: \"2x4\", length: 20.inch }}).lie(\"right\", \"front\");\n\
         rail.against(\"left\", post.side(\"right\")).centre(\"front\", post).flush(\"down\", post.side(\"down\"), 5.inch);\n\
         job.join(\"mortise and tenon\", rail, post, #{{ tenon: {tenon} }});"
    );
    scripted(&script, Units::Inch)
}

/// A 2x4 on a 4x4: the tenon is 1/2" thick and, its quarters off, 3" wide, in the middle of the post: 1 1/2" off either side. The
/// mortise is 1/16" deeper than the tenon of 2", or goes right through 3 1/2".
#[test]
fn a_mortise_is_told_from_the_side_it_is_cut_from() {
    for (post, side) in
        [("right", "marked face"), ("left", "back face"), ("front", "datum edge"), ("rear", "far edge")]
    {
        let blind = mortised(post, "2.inch");
        let listed = one_line(&text(&blind, "cutlist.txt"));
        let on_face = side.ends_with("face");
        let across = if on_face {
            "3\" along, 1 1/2\" from the datum edge, 1/2\" across, "
        } else {
            "3\" along, 1 1/2\" off the back face, 1/2\" wide, "
        };
        let told =
            format!("Mortise for rail: 5 1/4\" from the datum end, {across}2 1/16\" deep from the {side}");
        assert!(listed.contains(&told), "{post}: {told}: {listed}");
        let note = text(&blind, "notches.csv");
        let mortise = note.lines().find(|line| line.contains("mortise")).expect("a row");
        assert!(mortise.contains(&format!(",\"2 1/16\"\"\",{side},")), "{post}: {mortise}");

        let listed = one_line(&text(&mortised(post, "inch(\"3 1/2\")"), "cutlist.txt"));
        let through = if on_face { ", through" } else { ", through from edge to edge" };
        let told = format!("5 1/4\" from the datum end, {}{through}", across.trim_end_matches(", "));
        assert!(listed.contains(&told), "{post}: {told}: {listed}");
    }
}

/// The shoulder meets the post, the datum end is the tip of the tenon.
#[test]
fn a_tenoned_board_is_placed_by_its_shoulder() {
    let said = one_line(&text(&mortised("front", "2.inch"), "steps.txt"));
    assert!(said.contains("`rail` on `post`: its shoulder at the datum end on the datum edge"), "{said}");
}

/// Every angled end of the cut list has its setting among the stops, also of boards that are cut long.
#[test]
fn every_angled_end_has_its_setting_among_the_stops() {
    let number = |text: &str| text.parse::<f64>().unwrap_or(0.0).abs();
    for family in families() {
        let made = made(&family);
        let mut stops = table(&made, "stops.csv");
        let stops: Vec<csv::StringRecord> = stops.records().map(|own| own.expect("a row")).collect();
        let mut planes = table(&made, "planes.csv");
        let place = |row: &csv::StringRecord, wanted: [&str; 2]| wanted.contains(&&row[2]);
        for cut in
            planes.records().map(|own| own.expect("a row")).filter(|row| place(row, ["datum end", "far end"]))
        {
            let (mark, mitre, bevel) = (&cut[0], number(&cut[3]), number(&cut[4]));
            if mitre.max(bevel) < 0.1 {
                continue;
            }
            let work = if &cut[2] == "datum end" { ["datum end"; 2] } else { ["far end", "crosscut"] };
            let is_set = |row: &&csv::StringRecord| {
                work.contains(&&row[0])
                    && &row[8] == mark
                    && (number(&row[1]) - mitre).abs() < 0.11
                    && (number(&row[2]) - bevel).abs() < 0.11
            };
            assert!(stops.iter().any(|row| is_set(&row)), "{family}: {mark}, {} {mitre} {bevel}", &cut[2]);
        }
    }
}

/// 5 1/2 in are 140 mm: a bolt has one name where it is drilled for, put in, and on the drawing.
#[test]
fn a_bolt_has_one_name_on_metric_papers() {
    let made = with_settings("porch_swing", &[], Units::Mm);
    for path in ["steps.txt", "cutlist.txt", "holes.txt"] {
        let told = one_line(&text(&made, path));
        assert!(told.contains("carriage bolt 140 mm"), "{path}");
        assert!(!told.contains("5 1/2\""), "{path}");
    }
}

#[test]
fn short_pieces_are_ripped_on_a_longer_board() {
    let papers = |length: &str| {
        let body = format!(
            "job.board(\"block\", #{{ stock: \"1x4\", length: {length} }}).lie(\"right\", \"up\").rip(2.inch).at(0.mm, 0.mm, 0.mm);"
        );
        let papers = scripted(&body, Units::Inch);
        ["cutlist.txt", "purchase.txt"].map(|paper| one_line(&text(&papers, paper)))
    };
    let [listed, bought] = papers("4.inch");
    assert!(listed.contains("too short to rip by itself"), "{listed}");
    assert!(bought.contains("Too short to rip by themselves: A block."), "{bought}");
    assert!(papers("20.inch").iter().all(|paper| !paper.contains("oo short to rip")));
}

#[test]
fn holes_are_marked_before_the_edge_they_are_measured_from_is_sawn() {
    let listed = |line: &str| {
        let body = format!(
            "let board = job.board(\"board\", #{{ stock: \"1x6\", length: 20.inch }}).lie(\"right\", \"up\").at(0.mm, 0.mm, 0.mm);\n\
             {line}\n\
             job.hole(#{{ on: board.side(\"up\"), from: [[board.side(\"left\"), 4.inch], [board.side(\"front\"), 3.inch]], through: [board], diameter: inch(\"1/2\"), what: \"rope\" }});"
        );
        one_line(&text(&scripted(&body, Units::Inch), "cutlist.txt"))
    };
    let shaped = "board.shape(outline(0.mm, 1.inch).to(20.inch, 0.mm).to(20.inch, 5.inch).to(0.mm, 4.inch).back_home(), \"board\");";
    assert!(listed(shaped).contains("mark the holes before"), "{}", listed(shaped));
    assert!(!listed("").contains("mark the holes before"));
    // A leg with a knee touches the datum edge in one point, and its ends are sawn as well.
    let kneed = "board.shape(outline(0.mm, 2.inch).to(9.inch, 0.mm).to(20.inch, 3.inch).to(19.inch, 5.5.inch).to(9.inch, 3.5.inch).to(1.inch, 5.5.inch).back_home(), \"leg\");";
    let told = listed(kneed);
    assert!(told.contains("Saw the leg to its pattern") && told.contains("mark the holes before"), "{told}");
}

#[test]
fn every_pilot_drilled_on_names_its_guide() {
    for family in families() {
        let dossier = made(&family);
        let holes: Vec<(String, String)> = table(&dossier, "holes.csv")
            .deserialize::<std::collections::HashMap<String, String>>()
            .map(|row| row.unwrap())
            .map(|row| (row["mark"].clone(), row["hole"].clone()))
            .collect();
        for row in table(&dossier, "drilled.csv").deserialize::<std::collections::HashMap<String, String>>() {
            let row = row.unwrap();
            assert!(!row["through"].is_empty(), "{family}: {row:?}");
            for number in row["holes"].split("; ") {
                let guide = (row["through_mark"].clone(), number.to_string());
                assert!(holes.contains(&guide), "{family}: {row:?}");
            }
        }
    }
}

/// A rail between two legs, or at one, with two slats over it.
fn trestle(legs: &str) -> Dossier {
    let rail = "let rail = job.board(\"rail\", #{ stock: \"2x4\", length: 20.inch }).lie(\"right\", \"front\").at(0.mm, 0.mm, 12.inch);";
    let leg = "let leg = job.board(\"leg\", #{ stock: \"2x6\", length: 18.inch }).lie(\"up\", \"left\")\
        .against(\"right\", rail.side(\"left\")).centre(\"front\", rail).at(\"up\", 0.mm);";
    let slat = "let slat = job.board(\"slat\", #{ stock: \"1x3\", length: 12.inch }).lie(\"rear\", \"up\")\
        .against(\"down\", rail.side(\"up\")).flush(\"left\", rail.side(\"left\"), 4.inch).centre(\"front\", rail);\n\
        let other = slat.copy(\"slat\").flush(\"right\", rail.side(\"right\"), 4.inch)\
        .against(\"down\", rail.side(\"up\")).centre(\"front\", rail);\n\
        job.join_all(\"slat to bearer\", [slat, other], [rail]);";
    let joined = format!("job.join_all(\"screwed into end\", [rail], {legs});");
    scripted(&[rail, leg, slat, &joined].join("\n"), Units::Inch)
}

/// Two legs screwed on from outside are one set, the second the first turned over: what is countersunk there lies on its other
/// side. Slats screwed down from above are alike, and a leg alone has no mate.
#[test]
fn a_leg_turned_over_is_countersunk_from_the_other_side() {
    let sheet = |papers: &Dossier, path: &str| {
        let drawn = text(papers, path);
        let sheet = roxmltree::Document::parse(&drawn).expect("XML");
        one_line(&sheet.descendants().filter_map(|node| node.text()).collect::<Vec<_>>().join(" "))
    };
    let pair = trestle("[leg, leg.mirror(\"right\", rail)]");
    let holes = text(&pair, "holes.txt");
    let (of_leg, of_slat) = holes.split_once("\nC  slat").expect("both are bored");
    assert!(of_leg.contains("In leg 2, countersunk from the other side."), "{holes}");
    assert!(!of_slat.contains("other side"), "{holes}");
    let cut_list = one_line(&text(&pair, "cutlist.txt"));
    assert!(cut_list.contains("(in leg 2 from the other side)"), "{cut_list}");
    let (leg, slat) = (sheet(&pair, "drawings/B_leg.svg"), sheet(&pair, "drawings/C_slat.svg"));
    assert!(leg.contains("in leg 2 from the other side"), "{leg}");
    assert!(slat.contains("countersunk") && !slat.contains("other side"), "{slat}");
    let alone = trestle("[leg]");
    let holes = text(&alone, "holes.txt");
    assert!(holes.contains("countersunk") && !holes.contains("other side"), "{holes}");
    assert!(!sheet(&alone, "drawings/B_leg.svg").contains("other side"));
}

#[test]
fn the_bill_tells_what_hanging_hardware_may_carry() {
    let swing = made("porch_swing");
    let bill = one_line(&text(&swing, "bill.txt"));
    assert!(bill.contains("Rated loads are") && bill.contains("what is stamped on the piece"), "{bill}");
    for row in table(&swing, "hardware.csv").deserialize::<std::collections::HashMap<String, String>>() {
        let row = row.unwrap();
        let hangs = ["eye_bolt", "chain", "link"].iter().any(|kind| row["item"].contains(kind));
        assert_eq!(hangs, !row["rated"].is_empty(), "{row:?}");
        let known = row["rated"].ends_with(" lb in line");
        assert_eq!(known, row["working_load_N"].parse::<f64>().is_ok_and(|load| load > 0.0), "{row:?}");
    }
    let bench = one_line(&text(&made("garden_bench"), "bill.txt"));
    assert!(!bench.contains("Rated loads"), "{bench}");
}

/// A swing built by somebody who accepts these cautions.
fn accepting(cautions: &[Caution], units: Units) -> Dossier {
    let accepted = cautions.iter().copied().collect();
    let request = Request { units, accepted, ..Request::new("porch_swing") };
    with_stack(|| build(&Memory::default(), &request)).unwrap().value.expect("it can be built")
}

#[test]
fn papers_tell_what_hooks_bear_to_who_accepts_the_caution() {
    let hooks = |dossier: &Dossier| {
        let summary = text(dossier, "summary.json");
        check("slatwork/summary/1", &summary);
        serde_json::from_str::<serde_json::Value>(&summary).unwrap()["hooks"].clone()
    };
    let withheld = accepting(&[], Units::Inch);
    let bill = one_line(&text(&withheld, "bill.txt"));
    assert!(
        bill.contains("What it hangs from") && bill.contains("are withheld: a qualified person"),
        "{bill}"
    );
    assert!(bill.contains("--accept hanging") && bill.contains("Use only rated hardware"), "{bill}");
    assert!(!bill.contains("left hook") && hooks(&withheld).is_null(), "{bill}");

    let told = accepting(&[Caution::Hanging], Units::Inch);
    let (bill, hooks) = (one_line(&text(&told, "bill.txt")), hooks(&told));
    assert!(bill.contains("left hook: ") && bill.contains("right hook: "), "{bill}");
    assert!(bill.contains("For the qualified person") && bill.contains("Use only rated hardware"), "{bill}");
    assert!(!bill.contains("withheld"), "{bill}");
    // The papers say of each hook what the check does.
    let request = Request { accepted: [Caution::Hanging].into(), ..Request::new("porch_swing") };
    let judged = with_stack(|| slatwork::project::check(&Memory::default(), &request));
    let judged = document("check", 1, judged.unwrap().value.expect("it is judged").json());
    assert_eq!(serde_json::from_str::<serde_json::Value>(&judged).unwrap()["hooks"], hooks);
    let down = hooks[0]["down_n"].as_f64().unwrap();
    assert!(
        bill.contains(&format!("Pulled down with up to {:.0} lb ({down:.0} N)", down / 4.448_221_615)),
        "{bill}"
    );
    let metric = one_line(&text(&accepting(&[Caution::Hanging], Units::Mm), "bill.txt"));
    assert!(
        metric.contains(&format!("Pulled down with up to {down:.0} N")) && !metric.contains(" lb"),
        "{metric}"
    );

    let bench = made("garden_bench");
    assert!(!text(&bench, "bill.txt").contains("hangs from"), "it stands");
}

/// One word for one thing: steps are those of the assembly, cutting is how a part is made.
#[test]
fn cutting_and_assembly_have_names_of_their_own() {
    let bench = made("garden_bench");
    let paths: Vec<&str> = bench.documents.iter().map(|document| document.path.as_str()).collect();
    assert!(
        paths.contains(&"cutting.csv") && paths.contains(&"steps.txt") && !paths.contains(&"steps.csv"),
        "{paths:?}"
    );
}

#[test]
fn two_pilots_of_one_screw_are_told_apart() {
    let mut told = 0;
    for family in families() {
        let dossier = made(&family);
        let mut drills: std::collections::BTreeMap<(String, String), String> = Default::default();
        for row in table(&dossier, "drilled.csv").deserialize::<std::collections::HashMap<String, String>>() {
            let row = row.unwrap();
            let key = (row["mark"].clone(), row["purpose"].clone());
            let drill = drills.entry(key).or_insert_with(|| row["drill"].clone());
            assert_eq!(*drill, row["drill"], "{family}: {row:?}");
            told += usize::from(row["purpose"].contains("near an end"));
        }
        let wider = text(&dossier, "holes.txt").contains("so that the end does not split");
        assert_eq!(wider, text(&dossier, "drilled.csv").contains("near an end"), "{family}");
    }
    assert!(told > 0);
}

#[test]
fn a_scripted_joint_sets_its_own_peg() {
    let pegged = scripted(
        "let post = job.board(\"post\", #{ stock: \"2x4\", length: 24.inch }).lie(\"up\", \"left\");\n\
         let rail = job.board(\"rail\", #{ stock: \"2x4\", length: 30.inch }).lie(\"right\", \"front\");\n\
         rail.against(\"left\", post.side(\"right\")).centre(\"front\", post).flush(\"down\", post.side(\"down\"), 4.inch);\n\
         job.join(\"pegged tenon\", rail, post);",
        Units::Inch,
    );
    let told = one_line(&text(&pegged, "steps.txt"));
    for words in ["3/8\" for peg 3/8", "Drive 1 dowel 3/8", "mallet", "3/8\" bit"] {
        assert!(told.contains(words), "{words}: {told}");
    }
    let glued = told.find("Spread glue").expect("it is glued");
    assert!(glued < told.find("Drive 1 dowel").expect("it is pegged"), "{told}");
    // The bill counts it with its length, and two spares.
    let bill = one_line(&text(&pegged, "bill.txt"));
    assert!(bill.contains("dowel_3_8") && bill.contains("3\""), "{bill}");
}

/// A hole in line with a chain has its place and lean in the list, and is bored by them with all the others: no paper says that it
/// is marked from a chain that does not hang yet.
#[test]
fn holes_for_chains_are_bored_by_the_hole_list_alone() {
    let papers = made("porch_swing");
    let holes = one_line(&text(&papers, "holes.txt"));
    assert!(
        holes.contains("leaning 6.1° toward the far end. Clearance for left front chain; at the bench."),
        "{holes}"
    );
    for paper in ["holes.txt", "cutlist.txt", "steps.txt"] {
        let told = one_line(&text(&papers, paper));
        assert!(!told.contains("marked from left") && !told.contains("Bore `arm`"), "{paper}: {told}");
    }
}

/// At the saw, the drill and the yard parts go by the names that the steps call them by.
#[test]
fn every_paper_names_the_parts_as_the_script_does() {
    let papers = made("adirondack_chair");
    let names: Vec<String> = papers.model.parts.iter().map(|part| part.name.clone()).collect();
    let part = |name: &str| {
        let stretch = name.split(" to ").all(|end| names.iter().any(|own| own == end));
        assert!(stretch, "`{name}` is no part: {names:?}");
    };
    for (table_name, column) in
        [("stops.csv", "name"), ("drilled.csv", "name"), ("boards.csv", "piece"), ("places.csv", "part")]
    {
        let mut rows = table(&papers, table_name);
        let at = rows.headers().unwrap().iter().position(|own| own == column).expect("a column");
        let mut count = 0;
        for row in rows.records().map(Result::unwrap) {
            row[at].split(", ").for_each(part);
            count += 1;
        }
        assert!(count > 10, "{table_name} has {count} rows");
    }
}
