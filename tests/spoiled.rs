//! Scripts spoiled on purpose, one for each finding on making: it is found, at the line marked `// here`.

mod worked;

use slatwork::{Memory, Request, Severity, build};

/// A rail between two posts on a base, and whatever is spoiled in it.
fn family(body: &str) -> String {
    format!(
        "fn describe(f) {{ f.title = \"Spoiled\"; }}\n\
         fn build(job, p) {{\n\
         let bearer = job.board(\"bearer\", #{{ stock: \"2x6\", length: 20.inch }}).lie(\"rear\", \"right\");\n\
         let slat = job.board(\"slat\", #{{ stock: \"1x4\", length: 20.inch }}).lie(\"right\", \"up\");\n\
         slat.against(\"down\", bearer.side(\"up\")).flush(\"front\", bearer.side(\"front\"), 6.inch)\
             .flush(\"left\", bearer.side(\"left\"), 0.mm - inch(\"9 1/4\"));\n\
         {body}\n\
         }}\n"
    )
}

/// Codes and script lines of what fails, worst first.
fn failing(script: &str) -> Vec<(&'static str, Option<usize>)> {
    let world = Memory::of([("families/spoiled.rhai", script)]);
    let outcome = slatwork::with_stack(|| {
        let request = Request::new("spoiled");
        let judged = slatwork::project::check(&world, &request).value;
        judged.iter().for_each(|judged| worked::assert_worked(&judged.verdicts));
        build(&world, &request)
    });
    let outcome = outcome.expect("a deep stack");
    let line = |place: &Option<slatwork::Place>| match place {
        Some(slatwork::Place::Source { line, .. }) => Some(*line),
        _ => None,
    };
    let bad = outcome.diagnostics.iter().filter(|found| found.severity >= Severity::Failure);
    bad.map(|found| (found.code, line(&found.place))).collect()
}

/// The line that holds the mark.
fn marked(script: &str) -> usize {
    1 + script.lines().position(|line| line.contains("// here")).expect("a line is marked")
}

/// A rail butted on a post that is bolted to the bearer, as far from the post's ends as the last words say.
macro_rules! rail_on_post {
    ($section:literal, $height:literal) => {
        concat!(
            "job.join(\"slat to bearer\", slat, bearer);\n",
            "let post = job.board(\"post\", #{ stock: \"",
            $section,
            "\", length: 24.inch }).lie(\"up\", \"left\");\n",
            "let rail = job.board(\"rail\", #{ stock: \"2x4\", length: 10.inch }).lie(\"right\", \"front\");\n",
            "post.against(\"left\", bearer.side(\"right\")).flush(\"front\", bearer.side(\"front\"), 1.inch).flush(\"down\", bearer.side(\"down\"));\n",
            "rail.against(\"left\", post.side(\"right\")).centre(\"front\", post).flush(",
            $height,
            ");\n",
            "job.join(\"bolted lap\", post, bearer);\n"
        )
    };
}

/// A shelf under the lower end of a post that is bolted to the bearer.
macro_rules! shelf_under_post {
    () => {
        "job.join(\"slat to bearer\", slat, bearer);\n\
         let post = job.board(\"post\", #{ stock: \"2x4\", length: 20.inch }).lie(\"up\", \"left\");\n\
         let shelf = job.board(\"shelf\", #{ stock: \"2x6\", length: 20.inch }).lie(\"right\", \"up\");\n\
         post.against(\"left\", bearer.side(\"right\")).flush(\"front\", bearer.side(\"front\"), 1.inch).flush(\"up\", bearer.side(\"up\"));\n\
         shelf.against(\"up\", post.side(\"down\")).centre(\"front\", post).flush(\"left\", post.side(\"left\"), 0.mm - 8.inch);\n\
         job.join(\"bolted lap\", post, bearer);\n"
    };
}

#[test]
fn each_finding_is_found_at_its_line() {
    let cases: [(&str, &str); 28] = [
        (
            "glue-on-end-grain",
            concat!(shelf_under_post!(), "job.join(\"nailed and glued\", shelf, post); // here"),
        ),
        (
            "mortise-near-end",
            concat!(
                rail_on_post!("4x4", "\"up\", post.side(\"up\"), 0.mm - 3.mm"),
                "job.join(\"mortise and tenon\", rail, post); // here"
            ),
        ),
        (
            "screw-breaks-out",
            "let thin = job.board(\"thin\", #{ stock: \"1x4\", length: 20.inch }).lie(\"rear\", \"up\");\nthin.against(\"up\", slat.side(\"down\")).flush(\"front\", bearer.side(\"front\")).against(\"left\", bearer.side(\"right\"));\njob.join(\"slat to bearer\", slat, bearer);\njob.join(\"slat to bearer\", slat, thin, #{ length: inch(\"1 1/2\") }); // here",
        ),
        (
            "screw-falls-short",
            "job.join(\"slat to bearer\", slat, bearer, #{ length: inch(\"1 1/4\") }); // here",
        ),
        (
            "screw-falls-short",
            concat!(
                rail_on_post!("2x4", "\"down\", post.side(\"down\"), 12.inch"),
                "job.join(\"mortise and tenon\", rail, post, #{ tenon: 1.inch });\n",
                "let place = #{ on: post.side(\"front\"), from: [[post.side(\"right\"), inch(\"1/2\")], [rail.side(\"down\"), inch(\"1 3/4\")]] };\n",
                "job.join(\"single fastener\", rail, post, #{ fastener: \"dowel_3_8\", length: inch(\"1 3/4\"), spot: place }); // here"
            ),
        ),
        ("too-near-edge", "job.join(\"slat to bearer\", slat, bearer, #{ at: [[17.mm, 0.mm]] }); // here"),
        (
            "too-near-end",
            "let end = slat.copy(\"end slat\").flush(\"front\", bearer.side(\"front\")).flush(\"left\", slat.side(\"left\")).against(\"down\", bearer.side(\"up\"));\n\
             job.join(\"slat to bearer\", slat, bearer);\n\
             job.join(\"slat to bearer\", end, bearer, #{ at: [[0.mm, 36.mm]] }); // here",
        ),
        (
            "rows-would-split",
            "job.join(\"slat to bearer\", slat, bearer, #{ at: [[0.mm, 0.mm], [0.mm, 9.mm]] }); // here",
        ),
        (
            "screw-meets-screw",
            "let low = job.board(\"cleat\", #{ stock: \"1x4\", length: 10.inch }).lie(\"rear\", \"right\");\n\
             low.against(\"left\", bearer.side(\"right\")).flush(\"front\", bearer.side(\"front\"), 3.inch).flush(\"up\", bearer.side(\"up\"));\n\
             job.join(\"slat to bearer\", slat, bearer, #{ at: [[0.mm, 0.mm]] }); // here\n\
             job.join(\"bolted lap\", low, bearer, #{ at: [[-6.mm, 8.mm]] });",
        ),
        (
            "screw-meets-hole",
            "job.hole(#{ on: bearer.side(\"left\"), from: [[bearer.side(\"front\"), 197.mm], [bearer.side(\"up\"), 1.inch]], through: [bearer], diameter: inch(\"1/2\"), what: \"rope\" });\n\
             job.join(\"slat to bearer\", slat, bearer, #{ at: [[0.mm, 0.mm]] }); // here",
        ),
        (
            "hole-near-outline",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             job.hole(#{ on: slat.side(\"up\"), from: [[slat.side(\"left\"), 4.inch], [slat.side(\"front\"), 8.mm]], through: [slat], diameter: inch(\"1/2\"), what: \"rope\" }); // here",
        ),
        ("plug-leaves-too-little", "job.join(\"slat to bearer\", slat, bearer, #{ plug: true }); // here"),
        (
            "end-grain-carries-load",
            concat!(
                shelf_under_post!(),
                "job.join(\"screwed into end\", shelf, post, #{ fastener: \"wood_screw_10\" }); // here\n",
                "job.seat(#{ on: [shelf] });"
            ),
        ),
        (
            "cut-beyond-tools",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             let brace = job.board(\"brace\", #{ stock: \"2x4\", length: 40.inch }).lie(\"up\", \"left\").lean(52.deg);\n\
             brace.against(\"left\", bearer.side(\"right\")).at(\"rear\", 1.inch).at(\"up\", 1.inch);\n\
             brace.cut_to(\"down\", bearer.side(\"down\")); // here\n\
             job.join(\"bolted lap\", brace, bearer);",
        ),
        (
            "cut-beyond-tools",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             let hollow = job.board(\"hollow\", #{ stock: \"2x8\", length: 20.inch }).lie(\"right\", \"up\").at(40.inch, 0.mm, 6.inch);\n\
             hollow.saw(\"up\", arc(20.inch, 0.mm - inch(\"1/2\")).moved(0.mm, hollow.thickness), \"hollow\"); // here",
        ),
        (
            "cut-beyond-tools",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             let wide = job.board(\"wide\", #{ stock: \"1x8\", length: 20.inch, glue_up: 2 }).lie(\"right\", \"up\").at(40.inch, 0.mm, 6.inch);\n\
             wide.saw(\"rear\", arc(20.inch, 0.mm - inch(\"1/2\")).moved(0.mm, wide.width), \"crown\"); // here",
        ),
        (
            "cut-beyond-tools",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             let post = job.board(\"post\", #{ stock: \"6x6\", length: 20.inch }).lie(\"up\", \"left\").lean(5.deg); // here\n\
             post.against(\"left\", bearer.side(\"right\")).at(\"rear\", 1.inch).at(\"up\", 1.inch);\n\
             post.cut_to(\"down\", bearer.side(\"down\"));\n\
             job.join(\"bolted lap\", post, bearer);",
        ),
        (
            "hole-beyond-tools",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             job.hole(#{ on: slat.side(\"left\"), from: [[slat.side(\"front\"), 1.inch], [slat.side(\"up\"), inch(\"3/8\")]], through: [slat], diameter: inch(\"1/4\"), what: \"rod\" }); // here",
        ),
        (
            "clamp-cannot-close",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             let post = job.board(\"post\", #{ stock: \"2x4\", length: 60.inch }).lie(\"up\", \"left\");\n\
             let rail = job.board(\"rail\", #{ stock: \"2x4\", length: 70.inch }).lie(\"right\", \"front\");\n\
             post.against(\"left\", bearer.side(\"right\")).flush(\"front\", bearer.side(\"front\"), 1.inch).flush(\"down\", bearer.side(\"down\"));\n\
             rail.against(\"left\", post.side(\"right\")).flush(\"front\", post.side(\"front\"), 1.inch).flush(\"up\", post.side(\"up\"), 4.inch);\n\
             job.join(\"bolted lap\", post, bearer);\n\
             job.join(\"dowelled\", rail, post); // here",
        ),
        (
            "part-not-held",
            "slat.touches(bearer); let a = 1; // none\njob.join(\"slat to bearer\", slat, bearer);\nlet loose = job.board(\"loose\", #{ stock: \"1x4\", length: 20.inch }).lie(\"right\", \"up\"); // here\nloose.against(\"down\", slat.side(\"up\")).flush(\"front\", slat.side(\"front\")).flush(\"left\", slat.side(\"left\"));",
        ),
        (
            "parts-do-not-touch",
            "let off = job.board(\"off\", #{ stock: \"2x4\", length: 10.inch }).lie(\"rear\", \"right\");\n\
             off.against(\"left\", bearer.side(\"right\"), 1.inch).flush(\"front\", bearer.side(\"front\")).flush(\"down\", bearer.side(\"down\"));\n\
             off.touches(bearer); // here",
        ),
        (
            "joint-does-not-touch",
            "job.join(\"slat to bearer\", slat, bearer);\nlet far = slat.copy(\"far slat\").flush(\"front\", bearer.side(\"front\"), 1.inch).flush(\"left\", slat.side(\"left\")).against(\"down\", bearer.side(\"up\"), 1.inch);\njob.join(\"slat to bearer\", far, bearer); // here",
        ),
        (
            "pattern-does-not-fit",
            "job.join(\"slat to bearer\", slat, bearer, #{ at: [[9.inch, 0.mm]] }); // here",
        ),
        (
            "screw-breaks-out",
            "bearer.notch(#{ side: \"down\", from_end: 7.inch, along: 2.inch, depth: inch(\"4 3/4\") });\n\
             job.join(\"slat to bearer\", slat, bearer, #{ at: [[0.mm, 0.mm]], length: inch(\"2 1/2\") }); // here",
        ),
        (
            "parts-overlap",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             let low = slat.copy(\"low slat\").flush(\"front\", bearer.side(\"front\"), 12.inch).flush(\"left\", slat.side(\"left\")); // here\n\
             low.against(\"down\", bearer.side(\"up\"), 0.mm - inch(\"1/4\"));\n\
             job.join(\"slat to bearer\", low, bearer);",
        ),
        (
            "no-way-in",
            "job.join(\"slat to bearer\", slat, bearer);\n\
             let peg = job.board(\"peg\", #{ stock: \"2x4\", length: 8.inch }).lie(\"rear\", \"up\").rip(2.inch).at(40.inch, 0.mm, 6.inch);\n\
             peg.notch(#{ side: \"left\", from_end: 4.inch, along: inch(\"3/4\"), depth: inch(\"1/2\") });\n\
             peg.notch(#{ side: \"right\", from_end: 4.inch, along: inch(\"3/4\"), depth: inch(\"1/2\") });\n\
             let plate = job.board(\"plate\", #{ stock: \"1x12\", length: 12.inch }).lie(\"right\", \"front\").at(35.inch, 4.inch, 1.inch); // here\n\
             plate.cope([peg], 0.mm);\n\
             job.join(\"glued face\", peg, plate);",
        ),
        (
            "order-cannot-be",
            "job.join(\"slat to bearer\", slat, bearer);\nlet cap = slat.copy(\"cap\").flush(\"front\", slat.side(\"front\")).flush(\"left\", slat.side(\"left\")).against(\"down\", slat.side(\"up\"));\njob.join(\"screwed face to face\", cap, slat);\njob.before(cap, slat); // here",
        ),
        (
            "glue-on-end-grain",
            "job.join(\"slat to bearer\", slat, bearer);\nlet post = job.board(\"post\", #{ stock: \"2x4\", length: 20.inch }).lie(\"up\", \"left\");\npost.against(\"up\", bearer.side(\"down\")).flush(\"front\", bearer.side(\"front\"), 1.inch).flush(\"left\", bearer.side(\"left\"));\njob.join(\"glued face\", post, bearer); // here",
        ),
    ];
    for (code, body) in cases {
        let script = family(body);
        let found = failing(&script);
        let line = marked(&script);
        assert!(
            found.contains(&(code, Some(line))),
            "`{code}` is not found at line {line}, but {found:?}\n{script}"
        );
    }
}

/// A post with a slot open to the right, so high, and a block on the slot's floor; `join` joins the block to the post.
fn slotted(slot: &str, block: &str, join: &str) -> String {
    format!(
        "fn describe(f) {{ f.title = \"Spoiled\"; }}\n\
         fn build(job, p) {{\n\
         let post = job.board(\"post\", #{{ stock: \"2x12\", length: 12.inch }}).lie(\"right\", \"front\");\n\
         let slot = {slot};\n\
         post.shape(outline(0.mm, 0.mm).to(12.inch, 0.mm).to(12.inch, 2.inch).to(4.inch, 2.inch).to(4.inch, 2.inch + slot)\
             .to(12.inch, 2.inch + slot).to(12.inch, post.width).to(0.mm, post.width).back_home(), \"slot\");\n\
         {block}\n\
         block.touches(post);\n\
         {join}\n\
         }}\n"
    )
}

#[test]
fn what_cannot_be_put_together_is_found_at_its_line() {
    let plain = "let block = job.board(\"block\", #{ stock: \"2x4\", length: 6.inch, thickness: inch(\"3/4\") }).lie(\"right\", \"up\")\
                 .rip(inch(\"1 1/2\")).at(5.inch, 0.mm, 2.inch);";
    let trough = "let block = job.board(\"block\", #{ stock: \"2x4\", length: inch(\"1 1/2\") }).lie(\"rear\", \"right\")\
                  .rip(inch(\"1 3/4\")).at(7.inch, 0.mm, 2.inch);\n\
                  block.notch(#{ side: \"up\", from_end: inch(\"1/4\"), along: 1.inch, depth: 1.inch });";
    let cases = [
        (
            "driver-cannot-reach",
            slotted(
                "2.inch",
                plain,
                "job.join(\"screwed face to face\", block, post, #{ count: 1 }); // here",
            ),
        ),
        (
            "bolt-cannot-be-put-in",
            slotted(
                "inch(\"1 1/2\")",
                plain,
                "job.join(\"bolted lap\", block, post, #{ count: 1 }); // here",
            ),
        ),
        (
            "wrench-cannot-reach",
            slotted(
                "inch(\"3 1/4\")",
                trough,
                "job.join(\"bolted lap\", block, post, #{ count: 1 }); // here",
            ),
        ),
    ];
    for (code, script) in cases {
        let found = failing(&script);
        let line = marked(&script);
        assert!(
            found.contains(&(code, Some(line))),
            "`{code}` is not found at line {line}, but {found:?}\n{script}"
        );
    }
}

/// Joints without options on usual stock find a fastener that fits: nails that stay inside what holds them, dowels with wood on
/// either side.
#[test]
fn usual_joints_fit_usual_stock() {
    for (kind, outer, inner) in [
        ("nailed and glued", "2x4", "2x4"),
        ("nailed and glued", "1x4", "2x4"),
        ("nailed and glued", "2x6", "2x6"),
        ("screwed face to face", "2x4", "2x4"),
    ] {
        let script = format!(
            "fn describe(f) {{ f.title = \"Usual\"; }}\nfn build(job, p) {{\n\
             let inner = job.board(\"inner\", #{{ stock: \"{inner}\", length: 30.inch }}).lie(\"right\", \"up\");\n\
             let outer = job.board(\"outer\", #{{ stock: \"{outer}\", length: 30.inch }}).lie(\"right\", \"up\");\n\
             outer.against(\"down\", inner.side(\"up\")).flush(\"left\", inner.end(\"left\")).flush(\"front\", inner.side(\"front\"));\n\
             job.join(\"{kind}\", outer, inner);\n}}\n"
        );
        assert_eq!(failing(&script), [], "{kind}: {outer} on {inner}");
    }
    for rail in ["1x4", "5/4x4", "2x4"] {
        let script = format!(
            "fn describe(f) {{ f.title = \"Usual\"; }}\nfn build(job, p) {{\n\
             let post = job.board(\"post\", #{{ stock: \"4x4\", length: 30.inch }}).lie(\"up\", \"front\");\n\
             let rail = job.board(\"rail\", #{{ stock: \"{rail}\", length: 20.inch }}).lie(\"right\", \"front\");\n\
             rail.against(\"left\", post.side(\"right\")).centre(\"front\", post).flush(\"down\", post.side(\"down\"), 10.inch);\n\
             job.join(\"dowelled\", rail, post);\n}}\n"
        );
        assert_eq!(failing(&script), [], "dowelled: {rail}");
    }
}

/// At the end of a slat flush with its bearer two #10 need room for 5 D to the slat's end and 2.5 D to the bearer's edge, and stand
/// in one line of its grain: a slat 2 5/8 in wide has none for 10 D between them and gets one, a whole 1x4 keeps two.
#[test]
fn a_narrow_slat_takes_one_screw_where_two_would_split_its_bearer() {
    let screws = |width: &str| {
        let script = format!(
            "fn describe(f) {{ f.title = \"Narrow\"; }}\nfn build(job, p) {{\n\
             let bearer = job.board(\"bearer\", #{{ stock: \"2x6\", length: 20.inch }}).lie(\"rear\", \"right\");\n\
             let slat = job.board(\"slat\", #{{ stock: \"1x4\", width: inch(\"{width}\"), length: 20.inch }}).lie(\"right\", \"up\");\n\
             slat.against(\"down\", bearer.side(\"up\")).flush(\"left\", bearer.side(\"left\")).flush(\"front\", bearer.side(\"front\"), 6.inch);\n\
             job.join(\"slat to bearer\", slat, bearer, #{{ fastener: \"wood_screw_10\" }});\n}}\n"
        );
        let world = Memory::of([("families/narrow.rhai", script.as_str())]);
        let built = slatwork::with_stack(|| build(&world, &Request::new("narrow"))).expect("a deep stack");
        built.value.expect("it is built").model.joints[0].fastenings.len()
    };
    assert_eq!((screws("2 5/8"), screws("3 1/2")), (1, 2));
}

/// A post, a rail from its top, and a brace in the corner that rises so many degrees; `meets` sets it out.
fn gallows(stock: &str, slope: u32, meets: &str) -> String {
    format!(
        "fn describe(f) {{ f.title = \"Gallows\"; }}\nfn build(job, p) {{\n\
         let post = job.board(\"post\", #{{ stock: \"4x4\", length: 36.inch }}).lie(\"up\", \"front\").at(0.mm, 0.mm, 0.mm);\n\
         let rail = job.board(\"rail\", #{{ stock: \"4x4\", length: 40.inch }}).lie(\"right\", \"front\");\n\
         rail.against(\"left\", post.side(\"right\")).flush(\"up\", post.end(\"up\")).flush(\"front\", post.side(\"front\"));\n\
         let brace = job.board(\"brace\", #{{ stock: \"{stock}\" }}).lie(\"right\", \"front\").turn(\"front\", {slope}.deg);\n\
         brace.centre(\"rear\", post).{meets};\n\
         brace.between(post.side(\"right\"), rail.side(\"down\"));\n\
         job.join(\"screwed into end\", post, rail);\n\
         for other in [post, rail] {{ job.join(\"angled brace\", brace, other); }}\n}}\n"
    )
}

const SET_OUT: &str = "meets_at(\"down\", post.side(\"right\"), rail.side(\"down\"), 14.inch)";

/// A brace needs no options: its screws go square into post and rail near the middle of its bevelled ends, rather away from the
/// feather edge, and the wood over them is as long as the wedge is there.
#[test]
fn a_brace_is_screwed_through_its_slope() {
    for stock in ["2x4", "1x4"] {
        for slope in [30_u32, 40, 45, 50, 60] {
            let script = gallows(stock, slope, SET_OUT);
            let codes: Vec<&str> = failing(&script).into_iter().map(|(code, _)| code).collect();
            // The saw of the usual shop turns to 45 degrees.
            assert!(codes.iter().all(|code| *code == "cut-beyond-tools"), "{stock} at {slope}: {codes:?}");
            let world = Memory::of([("families/gallows.rhai", script.as_str())]);
            let built =
                slatwork::with_stack(|| build(&world, &Request::new("gallows"))).expect("a deep stack");
            let model = built.value.expect("it is built").model;
            let brace = model.part_named("brace").expect("a brace");
            let (sine, cosine) = slatwork::base::maths::sin_cos(f64::from(slope).to_radians());
            let half = brace.width.as_mm() / 2.0;
            let braced: Vec<_> = model.joints.iter().filter(|joint| joint.kind == "angled brace").collect();
            let [post, rail] = braced[..] else { panic!("{stock} at {slope}: two ends") };
            for (joint, long, steep) in
                [(post, half / cosine, sine / cosine), (rail, half / sine, cosine / sine)]
            {
                let ([screw], Some(patch)) = (&joint.fastenings[..], &joint.patch) else {
                    panic!("one screw")
                };
                assert_eq!(screw.layers[0].part, brace.id);
                // Up the post and in toward it along the rail, away from the feather edge.
                let off = screw.head - patch.centre;
                let off = if joint.parts[1] == model.part_named("post").unwrap().id { off.z } else { -off.x };
                assert!((0.0..long / 3.0).contains(&off), "{stock} at {slope}: {off} of {long}");
                let (wood, over) = (screw.layers[0].to + screw.sunk(), (long + off) / steep);
                assert!((wood - over).abs() < 0.01, "{stock} at {slope}: {wood} for {over}");
            }
        }
    }
}

/// Bores that lean take away all of their mouths: the wood that is left of a brace is its four-sided face times its thickness,
/// less what each stretch of its bores takes along its axis.
#[test]
fn the_mouth_of_a_leaning_bore_is_open() {
    let steep = slatwork::base::maths::tan(60.0_f64.to_radians());
    let world = Memory::of([("families/gallows.rhai", gallows("2x4", 60, SET_OUT).as_str())]);
    let built = slatwork::with_stack(|| build(&world, &Request::new("gallows"))).expect("a deep stack");
    let model = built.value.expect("it is built").model;
    let brace = model.part_named("brace").expect("a brace");
    let [long, wide, thick] = [brace.length, brace.width, brace.thickness].map(|own| own.as_mm());
    let face = wide * (long - wide * (steep + 1.0 / steep) / 2.0);
    let mut bored = 0.0;
    for screw in model.joints.iter().flat_map(|joint| &joint.fastenings) {
        let Some(bore) = screw.bores.iter().find(|bore| bore.part == brace.id && bore.in_solid) else {
            continue;
        };
        let area = |step: usize| std::f64::consts::PI * bore.hole.steps[step].radius.powi(2);
        let last = bore.hole.steps.len() - 1;
        bored += area(0) * screw.sunk() + area(last) * screw.layers[0].to;
    }
    let left = brace.solid.volume();
    assert!(
        bored > 1_000.0 && (left - (face * thick - bored)).abs() < 2.0,
        "{left} of {face} x {thick} less {bored}"
    );
}

/// A brace that cannot be set out so is refused at its line.
#[test]
fn a_brace_that_no_line_places_is_refused() {
    for (meets, code) in [
        ("meets_at(\"down\", post.side(\"right\"), post.side(\"left\"), 14.inch)", "sides-do-not-cross"),
        ("meets_at(\"down\", post.side(\"front\"), post.side(\"right\"), 14.inch)", "sides-not-parallel"),
        ("at(\"up\", 10.inch)", "not-placed-yet"),
    ] {
        let found = failing(&gallows("2x4", 45, meets));
        assert_eq!(found.first().map(|own| own.0), Some(code), "{meets}: {found:?}");
    }
}

/// Boards that are said to touch and meet at an edge are told so, not that nothing lies between them.
#[test]
fn boards_that_meet_at_an_edge_are_told_so() {
    let script = "fn describe(f) { f.title = \"Edge\"; }\nfn build(job, p) {\n\
        let low = job.board(\"low\", #{ stock: \"2x4\", length: 20.inch }).lie(\"right\", \"up\").at(0.mm, 0.mm, 0.mm);\n\
        let high = job.board(\"high\", #{ stock: \"2x4\", length: 20.inch }).lie(\"right\", \"up\").at(0.mm, low.width, low.thickness);\n\
        high.touches(low);\n}\n";
    let world = Memory::of([("families/edge.rhai", script)]);
    let built = slatwork::with_stack(|| build(&world, &Request::new("edge"))).expect("a deep stack");
    let told: Vec<&str> = built.diagnostics.iter().map(|own| own.message.as_str()).collect();
    assert!(
        told.contains(&"`high` and `low` should touch, and meet at an edge or a corner only"),
        "{told:?}"
    );
}

/// A rail between two posts, joined by a kind of joint; what is built of it.
fn stool(join: &str) -> slatwork::project::Dossier {
    let script = format!(
        "fn describe(f) {{ f.title = \"Stool\"; }}\nfn build(job, p) {{\n\
         let rail = job.board(\"rail\", #{{ stock: \"2x4\", length: 20.inch }}).lie(\"right\", \"front\").at(0.mm, 0.mm, 10.inch);\n\
         let post = job.board(\"post\", #{{ stock: \"4x4\", length: 20.inch }}).lie(\"up\", \"front\");\n\
         post.against(\"right\", rail.end(\"left\")).centre(\"rear\", rail).at(\"up\", 0.mm);\n\
         for one in [post, post.mirror(\"right\", rail)] {{ {join} }}\n}}\n"
    );
    let world = Memory::of([("families/stool.rhai", script.as_str())]);
    let built = slatwork::with_stack(|| build(&world, &Request::new("stool"))).expect("a deep stack");
    built.value.expect("it is built")
}

/// The lines of a paper as one.
fn paper(built: &slatwork::project::Dossier, name: &str) -> String {
    let document = built.documents.iter().find(|own| own.path == name).expect("the paper is written");
    document.text().expect("text").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What nobody reaches once the boards meet is marked, bored and set before: holes of dowels, barrel nuts and what is turned into.
#[test]
fn holes_marked_from_another_board_are_bored_before_the_two_meet() {
    for (join, marks, sets) in [
        (
            "job.join(\"knock-down\", one, rail);",
            "Hold `post` and `post 2` in place and mark `rail` through the holes; take them away again and bore `rail` at the marks: \
             9/32\" for 1/4 bolt 5 1/2\".",
            "Set 4 barrel nuts 1/4 in in their holes.",
        ),
        (
            "job.join(\"dowelled\", rail, one);",
            "Put dowel centres into the holes of `post` and `post 2` and press them to `rail` in place; take them away again and bore \
             `rail` at the marks: 1/2\" for dowel 1/2.",
            "Glue 4 dowels 1/2 in",
        ),
    ] {
        let steps = paper(&stool(join), "steps.txt");
        let at = |words: &str| steps.find(words).unwrap_or_else(|| panic!("{words}\n{steps}"));
        assert!(at(marks) < at(sets) && at(sets) < at("Bring in"), "{steps}");
        assert!(!steps.contains("With them 4 barrel nuts") && !steps.contains(" Drill "), "{steps}");
    }
}

/// A brace's clearance holes end where its bevel took the wood: they go through it, however much the board had before.
#[test]
fn a_hole_that_leaves_by_a_bevel_goes_through() {
    let world = Memory::of([("families/gallows.rhai", gallows("2x4", 45, SET_OUT).as_str())]);
    let built = slatwork::with_stack(|| build(&world, &Request::new("gallows"))).expect("a deep stack");
    let holes = paper(&built.value.expect("it is built"), "holes.txt");
    let brace = &holes[holes.find("brace").expect("the brace")..];
    assert_eq!(brace.matches("7/32\" through, leaning 45°").count(), 2, "{holes}");
}

/// In a post thick enough a pegged tenon keeps to its own distances; its mortise is noted where little wood is left beyond it.
#[test]
fn a_pegged_tenon_keeps_to_its_distances() {
    let codes = |body: &str| {
        let script = family(&format!("{body}job.join(\"pegged tenon\", rail, post);"));
        let world = Memory::of([("families/spoiled.rhai", script.as_str())]);
        let outcome = slatwork::with_stack(|| build(&world, &Request::new("spoiled"))).expect("a deep stack");
        let of_tenon = |code: &&str| ["too-near-end", "too-near-edge", "mortise-near-end"].contains(code);
        outcome.diagnostics.iter().map(|found| found.code).filter(of_tenon).collect::<Vec<_>>()
    };
    assert_eq!(codes(rail_on_post!("4x4", "\"up\", post.side(\"up\"), 6.inch")), Vec::<&str>::new());
    assert_eq!(codes(rail_on_post!("4x4", "\"up\", post.side(\"up\"), 10.mm")), ["mortise-near-end"]);
}

/// The narrow slat that fills up a lengthwise back is screwed to the leg where an arm's block is bolted to it: found among random
/// benches, in which the screw met the bolt or stood too near the slat's edge.
#[test]
fn bolts_of_an_arm_block_keep_off_the_screws_of_lengthwise_slats() {
    let common = [("back", "lengthwise slats"), ("splay", "6.5deg"), ("legs", "splayed")];
    let points: [&[(&str, &str)]; 2] = [
        &[
            ("width", "49.25in"),
            ("seat_height", "16in"),
            ("seat_depth", "16.625in"),
            ("back_height", "19in"),
            ("lean", "11deg"),
            ("arm_height", "9.5in"),
            ("seat", "flat"),
            ("fall", "4.5deg"),
            ("gap", "3/16in"),
            ("crest", "straight"),
            ("arms", "straight"),
            ("frame", "45x95"),
            ("slats", "21x95"),
            ("back_slats", "5/4x3"),
            ("arm_stock", "38x140"),
        ],
        &[
            ("width", "78.75in"),
            ("seat_height", "16.875in"),
            ("seat_depth", "16.75in"),
            ("back_height", "16.875in"),
            ("lean", "14deg"),
            ("arm_height", "9in"),
            ("seat", "flat"),
            ("fall", "4.5deg"),
            ("gap", "5/16in"),
            ("crest", "bent batten"),
            ("crest_rise", "1.125in"),
            ("arms", "straight"),
            ("front_legs", "straight"),
            ("frame", "38x89"),
            ("back_slats", "1x3"),
        ],
    ];
    for point in points {
        let set = |request: Request, (name, value): &(&str, &str)| request.set(*name, *value);
        let request = common.iter().chain(point).fold(Request::new("garden_bench"), set);
        let outcome = slatwork::with_stack(|| build(&Memory::default(), &request)).expect("a deep stack");
        let near = ["too-near-edge", "screw-meets-screw"];
        let found: Vec<&str> = outcome
            .diagnostics
            .iter()
            .filter(|found| near.contains(&found.code))
            .map(|found| found.message.as_str())
            .collect();
        assert!(outcome.value.is_some() && found.is_empty(), "{point:?}: {found:?}");
    }
}

/// No length of screw both reaches far enough into 3/4 in and stays inside: the remedy asks for no longer one. What fails for its
/// distance tells the least, and what is advised beside it.
#[test]
fn remedies_of_thin_boards_and_near_edges_can_be_followed() {
    let found = |code: &str, body: &str| {
        let script = family(body);
        let world = Memory::of([("families/spoiled.rhai", script.as_str())]);
        let outcome = slatwork::with_stack(|| build(&world, &Request::new("spoiled"))).expect("a deep stack");
        let own =
            outcome.diagnostics.into_iter().find(|own| own.code == code && own.severity == Severity::Failure);
        own.unwrap_or_else(|| panic!("{code} is not found"))
    };
    let thin = found(
        "screw-falls-short",
        "let thin = job.board(\"thin\", #{ stock: \"1x4\", length: 20.inch }).lie(\"rear\", \"up\");\n\
         thin.against(\"up\", slat.side(\"down\")).flush(\"front\", bearer.side(\"front\")).against(\"left\", bearer.side(\"right\"));\n\
         job.join(\"slat to bearer\", slat, bearer);\n\
         job.join(\"slat to bearer\", slat, thin, #{ length: inch(\"1 1/4\") });",
    );
    assert!(thin.help[0].starts_with("`thin` is too thin for it"), "{thin:?}");
    let near =
        found("too-near-edge", "job.join(\"slat to bearer\", slat, bearer, #{ at: [[17.mm, 0.mm]] });");
    assert!(near.message.contains("at least") && near.message.contains("advised"), "{near:?}");
}
