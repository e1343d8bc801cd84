//! The planned order of assembly, replayed by another method: parts and joints of random variants are listed in a shuffled
//! order, planned, and moved along their ways in small steps; at each the wood in common with all that stands is measured.

mod variants;

use slatwork::catalog::Catalogue;
use slatwork::model::{Model, PartId};
use slatwork::script::ScriptKind;
use slatwork::shop::{Assembly, Does, PartMove, assembly};
use slatwork::solid::{DAffine3, Placed, overlap};
use slatwork::{Memory, Request, Tape, Workshop};
use std::collections::BTreeMap;
use variants::Dice;

/// Random variants of each family.
const VARIANTS: usize = 12;

/// Stations along a way, the place itself included.
const STATIONS: usize = 14;

/// Wood in common that is no collision, mm3: what the model's own validation lets pass, on either of two faces.
const COMMON: f64 = 60.0;

/// The numbers below `count` in a random order.
fn shuffle(dice: &mut Dice, count: usize) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    for index in (1..count).rev() {
        order.swap(index, dice.below(index + 1));
    }
    order
}

/// The same piece with its parts and joints listed in another order.
fn shuffled(model: &Model, dice: &mut Dice) -> Model {
    let order = shuffle(dice, model.parts.len());
    let mut now = vec![0; order.len()];
    order.iter().enumerate().for_each(|(new, &old)| now[old] = new);
    let moved = |part: &mut PartId| part.0 = now[part.0];
    let mut piece = model.clone();
    piece.parts = order.iter().map(|&old| model.parts[old].clone()).collect();
    piece.parts.iter_mut().for_each(|part| moved(&mut part.id));
    piece.sets.iter_mut().flat_map(|set| &mut set.parts).for_each(moved);
    for contact in &mut piece.contacts {
        moved(&mut contact.a);
        moved(&mut contact.b);
    }
    for joint in &mut piece.joints {
        joint.parts.iter_mut().for_each(moved);
        for one in &mut joint.fastenings {
            one.layers.iter_mut().for_each(|layer| moved(&mut layer.part));
            one.bores.iter_mut().for_each(|bore| moved(&mut bore.part));
        }
    }
    piece.joints = shuffle(dice, model.joints.len()).iter().map(|&old| piece.joints[old].clone()).collect();
    piece.hardware.iter_mut().filter_map(|own| own.through.as_mut()).for_each(moved);
    if let Some(seat) = &mut piece.seat {
        [&mut seat.on, &mut seat.back, &mut seat.arms].into_iter().flatten().for_each(moved);
    }
    if let Some(hanging) = &mut piece.hanging {
        hanging.suspensions.iter_mut().for_each(|own| moved(&mut own.part));
    }
    piece.order.iter_mut().for_each(|rule| rule.first.iter_mut().chain(&mut rule.then).for_each(moved));
    piece
}

/// Moves that happen together.
fn bodies(parts: &[PartMove]) -> Vec<&[PartMove]> {
    parts.chunk_by(|a, b| a.body.is_some() && a.body == b.body && a.does == b.does).collect()
}

/// What goes wrong when a plan is followed.
fn replay(model: &Model, plan: &Assembly) -> Vec<String> {
    let mut troubles = Vec::new();
    let mut assemblies: BTreeMap<String, Vec<PartId>> = BTreeMap::new();
    let mut joined = vec![0_usize; model.joints.len()];
    // What is held stands there until it is taken away; what was taken away has to come back.
    let (mut held, mut away): (Vec<PartId>, Vec<PartId>) = (Vec::new(), Vec::new());
    for step in &plan.steps {
        step.joints.iter().for_each(|joint| joined[*joint] += 1);
        for body in bodies(&step.parts) {
            if let Some(name) = &body[0].body {
                let mut built = assemblies.remove(name).unwrap_or_default();
                built.sort();
                let mut moved: Vec<PartId> = body.iter().map(|own| own.part).collect();
                moved.sort();
                if built != moved {
                    troubles.push(format!("step {}: the {name} is not what was built", step.number));
                }
            }
            if body[0].does == Does::TakenAway {
                held.retain(|part| *part != body[0].part);
                away.push(body[0].part);
            }
            let standing = assemblies.entry(step.on.clone()).or_default();
            let met = [&standing[..], &held[..]].concat();
            match (body[0].does, body[0].out) {
                (Does::Laid, _) if standing.is_empty() => {}
                (_, Some(_)) => troubles.extend(body.iter().flat_map(|own| meets(model, own, &met))),
                _ => troubles.push(format!("step {}: `{}` has no way", step.number, body[0].name)),
            }
            for from in &body[0].marked_from {
                let stands = model.part_named(from).is_some_and(|from| standing.contains(&from.id));
                if !stands {
                    troubles.push(format!("step {}: `{from}` is not there to be marked from", step.number));
                }
            }
            match body[0].does {
                Does::Held => held.push(body[0].part),
                Does::TakenAway => {}
                Does::Laid | Does::ComesIn => {
                    away.retain(|part| body.iter().all(|own| own.part != *part));
                    standing.extend(body.iter().map(|own| own.part));
                }
            }
        }
    }
    if !(held.is_empty() && away.is_empty()) {
        troubles.push(format!("{held:?} are never taken away, {away:?} never brought back"));
    }
    let left: Vec<&Vec<PartId>> = assemblies.values().filter(|parts| !parts.is_empty()).collect();
    let mut whole: Vec<PartId> = left.iter().flat_map(|parts| parts.iter().copied()).collect();
    whole.sort();
    if left.len() != 1 || whole != model.parts.iter().map(|part| part.id).collect::<Vec<_>>() {
        troubles.push(format!("{} assemblies of {} parts are left", left.len(), whole.len()));
    }
    let unmade = joined.iter().position(|count| *count != 1);
    troubles.extend(unmade.map(|joint| {
        format!("joint {joint} ({}) is made {} times", model.joints[joint].kind, joined[joint])
    }));
    troubles
}

/// Parts that a part meets on its way.
fn meets(model: &Model, own: &PartMove, standing: &[PartId]) -> Vec<String> {
    let (part, out) = (model.part(own.part), own.out.unwrap_or_default());
    let mut troubles = Vec::new();
    for station in 0..STATIONS {
        // Nearer together towards the place, where it is tight.
        let share = station as f64 / (STATIONS - 1) as f64;
        let shift = DAffine3::from_translation(out * own.start.as_mm() * share * share);
        let moved = Placed { solid: &part.solid, pose: shift * part.pose };
        for other in standing.iter().map(|id| model.part(*id)) {
            let volume = overlap(&moved, &other.placed());
            if volume > COMMON {
                troubles.push(format!("`{}` meets `{}`: {volume:.0} mm3", part.name, other.name));
            }
        }
    }
    troubles.truncate(1);
    troubles
}

/// Every finding of the planner is a trouble.
fn over_random_variants(family: &str) {
    let troubles = slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new(family));
        let workshop = opened.value.expect("the family is shipped and compiles");
        let library = workshop.library();
        let script = library.script(ScriptKind::Family, family).expect("the family is shipped");
        let (inputs, values) = (variants::inputs(), variants::values(script));
        let mut dice = Dice(20_261_126);
        let (mut made, mut troubles) = (0, Vec::new());
        while made < VARIANTS {
            let point = dice.point(&values);
            let Some(parameters) = script.declared.choose(None, &point).value else { continue };
            let outcome = slatwork::script::build(library, script, &parameters, &inputs);
            let Some(model) = outcome.value else { continue };
            made += 1;
            let piece = shuffled(&model, &mut dice);
            let plan = assembly(&piece, Catalogue::shared(), Tape::Inch16);
            let found: Vec<String> =
                plan.findings.iter().map(ToString::to_string).chain(replay(&piece, &plan)).collect();
            let set = variants::words(&point);
            troubles.extend(found.into_iter().map(|own| format!("{set}: {own}")));
        }
        troubles
    });
    let troubles = troubles.expect("a thread with a deep stack");
    assert!(
        troubles.is_empty(),
        "{} troubles, such as\n{}",
        troubles.len(),
        troubles[..troubles.len().min(6)].join("\n")
    );
}

#[test]
fn porch_swings_go_together() {
    over_random_variants("porch_swing");
}

#[test]
fn garden_benches_go_together() {
    over_random_variants("garden_bench");
}

#[test]
fn adirondack_chairs_go_together() {
    over_random_variants("adirondack_chair");
}

/// What a family's order of assembly says at the given settings.
fn planned(family: &str, settings: &[(&str, &str)]) -> Assembly {
    let made = slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new(family));
        let settings: Vec<(String, String)> =
            settings.iter().map(|(name, value)| (name.to_string(), value.to_string())).collect();
        opened.value.and_then(|workshop| workshop.make(&settings).value)
    });
    let made = made.expect("a thread with a deep stack").expect("the family is shipped and builds");
    assembly(&made.model, Catalogue::shared(), Tape::Inch16)
}

/// The same of the body of a script.
fn scripted(body: &str) -> Assembly {
    let script = format!("fn describe(f) {{ f.title = \"Trial\"; }}\nfn build(job, p) {{\n{body}\n}}\n");
    let made = slatwork::with_stack(|| {
        let world = Memory::of([("families/trial.rhai", script.as_str())]);
        let opened = Workshop::open(&world, &Request::new("trial"));
        opened.value.and_then(|workshop| workshop.make(&[]).value)
    });
    let made = made.expect("a thread with a deep stack").expect("the script builds");
    assembly(&made.model, Catalogue::shared(), Tape::Inch16)
}

/// 56 inches over 2 1/2: a radius of (28 x 28 + 2.5 x 2.5) / (2 x 2.5) = 158.05 inches.
#[test]
fn a_crest_is_struck_and_sawn_over_the_set_slats() {
    let plan = planned("porch_swing", &[("crest", "circle")]);
    let is_crest = |step: &slatwork::shop::AssemblyStep| step.title.contains("saw the crest over");
    let at = plan.steps.iter().position(is_crest).expect("a step of its own");
    let words = plan.steps[at].text.join(" ");
    for figure in ["56\" long", "2 1/2\" high", "158 1/16\" radius"] {
        assert!(words.contains(figure), "{figure}: {words}");
    }
    let late = |step: &&slatwork::shop::AssemblyStep| {
        step.parts.iter().any(|own| own.body.is_none() && own.name.starts_with("back slat"))
    };
    assert_eq!(plan.steps[at..].iter().filter(late).count(), 0, "slats are set after the crest is sawn");
    // Straight across, the slats are cut to length at the bench.
    let straight = planned("porch_swing", &[("crest", "straight")]);
    assert_eq!(straight.steps.iter().filter(|step| is_crest(step)).count(), 0);
}

/// The edge of the outer slat by hand, from the papers: its outline goes from (813.759, 77.594) at the crown to (2.358, 66.173) at
/// the foot, the foot is cut through (-1.070, 0) and (5.718, 77.594). The two cross at (4.720, 66.206), 809.1 mm or 31.86 in
/// from the crown; to the other corner of the foot it is 32 1/8.
#[test]
fn a_crown_is_set_off_along_the_outer_edges() {
    let said = words(&planned("adirondack_chair", &[]));
    let told =
        "Measure 31 7/8\" along the outer edges of `back slat 1` and `back slat 7`, from the outer corners";
    assert!(said.iter().any(|own| own.starts_with(told)), "{said:#?}");
}

/// The legs of the bench are sawn to a pattern; by their outlines, on level rails, the rear leg stands at 78 degrees above its
/// knee, where the arm's block is, and at 95 in front below it, where the side rail is. The line of its blank, 86.5, is no edge.
/// The outer slats of the chair taper: their edges lean 5 degrees, less and more half the taper.
#[test]
fn a_gauge_is_held_along_edges_that_are_there() {
    let told = |family: &str| -> Vec<String> {
        words(&planned(family, &[])).into_iter().filter(|own| own.contains("bevel gauge")).collect()
    };
    let bench = told("garden_bench");
    for words in [
        "Hold 85° between the front edge of `rear leg` at the joint and the lower edge of `side rail`",
        "Hold 78° between the upper edge of `arm block` and the front edge of `rear leg`",
    ] {
        assert!(bench.iter().any(|own| own.starts_with(words)), "{bench:#?}");
    }
    assert!(!bench.iter().any(|own| own.contains("86.5°")), "{bench:#?}");
    let chair = told("adirondack_chair");
    assert!(
        chair.iter().any(|own| own.starts_with("Hold 86° between the right edge of `back slat 1`")),
        "{chair:#?}"
    );
    assert!(!chair.iter().any(|own| own.starts_with("Hold 85°")), "{chair:#?}");
    assert!(chair.iter().all(|own| !own.contains("seat slat")), "no straight edge in a hollow: {chair:#?}");
}

/// What is told of a slat is told of its mirror image, in one sentence.
#[test]
fn a_gauge_reads_alike_on_both_hands() {
    let said = words(&planned("adirondack_chair", &[("back_slat_count", "9")]));
    let mut angles = std::collections::BTreeMap::new();
    for own in said.iter().filter(|own| own.contains("of `back slat") && own.contains("bevel gauge")) {
        *angles.entry(own.split(' ').nth(1)).or_insert(0) += 1;
        assert!(["slat 1`", "slat 2`", "slat 3`", "slat 4`"].iter().any(|slat| own.contains(slat)), "{own}");
    }
    assert_eq!(angles.len(), 4, "{angles:?}");
}

/// The end of an arm that a leg lies open in is trimmed flush with that; a slat to its gap.
#[test]
fn what_is_trimmed_says_to_what() {
    let said = words(&planned("garden_bench", &[]));
    let trims: Vec<&String> = said.iter().filter(|own| own.contains(" over, ")).collect();
    let told = |part: &str, to: &str| trims.iter().any(|own| own.starts_with(part) && own.contains(to));
    assert!(
        told("`arm` was", "until it comes flush with `rear leg`, which lies in its notch there;"),
        "{trims:#?}"
    );
    assert!(told("`arm 2` was", "until it comes flush with `rear leg 2`,"), "{trims:#?}");
    assert!(told("`seat slat 4` was", "until it lies 1/4\" clear of `seat slat 5`;"), "{trims:#?}");
}

/// The upper back rail passes through the arm's notch, so the arm is in before it and cannot be marked from it in place.
#[test]
fn what_cannot_be_marked_in_place_is_laid_out() {
    let plan = scripted(
        r#"let rail = job.board("rail", #{ stock: "2x4", length: 30.inch }).lie("right", "front");
        let post = job.board("post", #{ stock: "4x4", length: 20.inch }).lie("up", "front")
            .against("rear", rail.side("front")).flush("left", rail.end("left"), 6.inch).flush("down", rail.side("down"));
        let slat = job.board("slat", #{ stock: "5/4x6", length: 30.inch }).lie("right", "up")
            .against("down", rail.side("up")).flush("left", rail.end("left")).flush("rear", rail.side("rear"));
        slat.cope([post], inch("1/16"));
        job.join("screwed face to face", rail, post);
        job.join("slat to bearer", slat, rail, #{ count: 3 });
        job.before([slat], [post]);"#,
    );
    let words: Vec<&String> = plan.steps.iter().flat_map(|step| &step.text).collect();
    assert!(words.iter().any(|own| own.contains("`post` can only come later")), "{words:?}");
}

/// A long bench: nothing is marked from what comes later, its middle legs are held where they come in, and its diagonals are
/// measured once rails, at the rear three in line, tie the frame all round: the middle one comes with the bearers.
#[test]
fn a_long_bench_goes_together_as_told() {
    let plan = planned("garden_bench", &[("width", "72\"")]);
    assert_eq!(plan.findings, []);
    let all = plan.steps.iter().flat_map(|step| &step.text);
    assert_eq!(all.filter(|own| own.contains("can only come later")).count(), 0);
    let step_of = |name: &str| {
        let comes = |step: &slatwork::shop::AssemblyStep| step.parts.iter().any(|own| own.name == name);
        plan.steps.iter().position(comes).unwrap_or_else(|| panic!("{name} comes in"))
    };
    assert!(!plan.steps[step_of("middle rear leg")].fasteners.is_empty(), "the middle leg stands loose");
    let measured = plan.steps.iter().position(|step| step.checks.iter().any(|own| own.contains("diagonals")));
    let closed = plan.steps.iter().position(|step| step.title == "Frame: set in the bearer and rail");
    assert!(
        closed.is_some_and(|at| ["rear rail", "rear rail 3"].map(step_of).into_iter().all(|rail| rail < at))
    );
    assert_eq!(measured, closed, "diagonals of a frame that is open");
}

/// A rail let into a leaning leg leaves no slice of a facet that it would have to pass: at these falls and scoops a facet of the
/// seat line ends so near to the leg's edge that its slice is less than a cubic millimetre.
#[test]
fn housings_are_cut_clean() {
    let left = |lean: &str, scoop: &str, fall: &str| {
        let made = slatwork::with_stack(|| {
            let opened = Workshop::open(&Memory::default(), &Request::new("garden_bench"));
            let set = [
                ("legs", "straight"),
                ("side_rails", "housed laps"),
                ("lean", lean),
                ("scoop", scoop),
                ("fall", fall),
            ];
            let set = set.map(|(name, value)| (name.to_string(), value.to_string()));
            opened.value.and_then(|workshop| workshop.make(&set).value)
        });
        let model = made.expect("a thread with a deep stack").expect("the family builds").model;
        let [rail, leg] = ["side rail", "rear leg"].map(|name| model.part_named(name).expect("it is there"));
        overlap(&rail.placed(), &leg.placed())
    };
    for lean in ["8deg", "10deg", "11deg"] {
        for (scoop, fall) in [("5/8in", "3deg"), ("15/16in", "5deg"), ("1/2in", "4deg")] {
            let left = left(lean, scoop, fall);
            assert!(left < HOUSED, "lean {lean}, scoop {scoop}, fall {fall}: {left:.3} mm3");
        }
    }
}

/// Rounding of faces that touch, over a rail's end, mm3.
const HOUSED: f64 = 0.1;

/// The replay itself finds what goes through wood.
#[test]
fn a_false_way_is_found() {
    let made = slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new("porch_swing"));
        opened.value.and_then(|workshop| workshop.make(&[]).value)
    });
    let made = made.expect("a thread with a deep stack").expect("the family is shipped and builds");
    let mut plan = assembly(&made.model, Catalogue::shared(), Tape::Inch16);
    assert_eq!(replay(&made.model, &plan), [""; 0]);
    let slat = plan.steps.iter_mut().flat_map(|step| &mut step.parts).rev().find(|own| own.out.is_some());
    let slat = slat.expect("something comes in");
    slat.out = slat.out.map(|out| -out);
    assert!(!replay(&made.model, &plan).is_empty());
}

/// All words of a plan's steps.
fn words(plan: &Assembly) -> Vec<String> {
    plan.steps.iter().flat_map(|step| step.text.iter().chain(&step.checks)).cloned().collect()
}

/// The lower rail lies on stiles whose feet are sawn askew, so it is measured along their edge from its corner. In the table of
/// places its datum corner lies 6.5735 in along the stile from that of the stile, whose foot is longest on that edge.
#[test]
fn a_step_tells_where_each_part_sits() {
    let plan = planned("porch_swing", &[]);
    let said = words(&plan);
    for words in [
        "`upper back rail` on `back stile`: its back face on the datum edge, its far edge 3/4\" from the far end, its datum end \
         flush with the marked face.",
        "`lower back rail` on `back stile`: its back face on the datum edge, its datum edge 10 5/16\" from the datum end, its datum \
         end flush with the marked face.",
        "`front arm post 2` on `front rail`: as `front arm post`, mirrored.",
        "From `back slat 1` to `back slat 15` 1/4\" clear between, the ends that look down in line.",
    ] {
        assert!(said.iter().any(|own| own == words), "{words}\n{said:#?}");
    }
}

/// Whatever comes in alone is told in a line that begins with its name, or lies in a row that is.
#[test]
fn no_part_comes_in_without_a_place() {
    let choices: [(&str, &[(&str, &str)]); 6] = [
        ("porch_swing", &[]),
        ("porch_swing", &[("back", "lengthwise slats"), ("seat", "dished")]),
        ("garden_bench", &[]),
        ("garden_bench", &[("legs", "straight"), ("back", "lengthwise slats"), ("width", "72in")]),
        ("adirondack_chair", &[]),
        ("adirondack_chair", &[("back", "straight"), ("crown", "straight")]),
    ];
    for (family, settings) in choices {
        let plan = planned(family, settings);
        for step in plan.steps.iter().filter(|step| !step.text[0].starts_with("Do as in step")) {
            let lone = |own: &&PartMove| own.does == Does::ComesIn && own.body.is_none();
            let is_row = step.text.iter().any(|own| own.starts_with("From `"));
            for own in step.parts.iter().filter(lone) {
                let name = format!("`{}`", own.name);
                let is_placed = |words: &&String| words.contains(&name) && words.contains("` on ");
                let is_told = step.text.iter().any(|words| is_placed(&words)) || is_row;
                assert!(is_told, "{family} {settings:?}, step {}: {name}\n{:#?}", step.number, step.text);
            }
        }
    }
}

/// The outer slats of the default back stand rough, 20 15/16 in, until the crest is sawn: 60 3/8 in, where the finished piece
/// would read 59 15/16. A crest board stands high over the front rail: no tape is drawn between them.
#[test]
fn diagonals_are_those_of_what_stands_in_one_plane() {
    let told = |settings: &[(&str, &str)]| {
        let said = words(&planned("porch_swing", settings));
        said.into_iter().filter(|own| own.contains("diagonals")).collect::<Vec<_>>()
    };
    let upright = told(&[]);
    assert!(
        upright.iter().any(|own| own.contains("`back slat 15`") && own.contains("63 15/16\"")),
        "{upright:?}"
    );
    // The foot of a stile is sawn to the fall of the seat: only its front corner reads so, its rear one 63 5/8.
    let named =
        "the lower left front corner of `back stile` to the upper right rear corner of `back slat 15`";
    assert!(upright.iter().any(|own| own.contains(named)), "{upright:?}");
    let lengthwise = told(&[("back", "lengthwise slats"), ("wood", "western_red_cedar")]);
    assert!(!lengthwise.is_empty());
    assert!(!lengthwise.iter().any(|own| own.contains("crest board")), "{lengthwise:?}");
}

/// A fan that stands on one screw a slat spreads under the saw: the arm rail comes before the crown.
#[test]
fn a_crown_is_sawn_when_its_slats_are_fast() {
    for back in ["straight", "tapered fan"] {
        let plan = planned("adirondack_chair", &[("back", back)]);
        let step_of = |words: &str| plan.steps.iter().position(|step| step.title.contains(words));
        let (rail, crown) = (step_of("`arm rail` to"), step_of("saw the crown"));
        assert!(rail.is_some() && rail < crown, "{back}: {rail:?} {crown:?}");
    }
}

/// The last slat but one is fitted after the last.
#[test]
fn what_is_fitted_has_a_step_of_its_own_and_all_that_is_out_of_turn_is_named() {
    let plan = planned("adirondack_chair", &[]);
    let titles: Vec<&String> = plan.steps.iter().map(|step| &step.title).collect();
    let fit = titles.iter().position(|own| own.contains("fit `seat slat 4`"));
    let rest =
        titles.iter().position(|own| own.contains("`seat slat 1` to `seat slat 3`, then `seat slat 5`"));
    assert!(rest.is_some() && rest < fit, "{titles:#?}");
}

/// A family, its settings, and the parts that are tried before they come in.
type Tried = (&'static str, &'static [(&'static str, &'static str)], &'static [&'static str]);

/// Posts that a slat is coped round, and a filler left over size: each is tried, taken away and cut before it comes in, and
/// stays away in between.
#[test]
fn temporary_fits_are_steps_of_their_own() {
    let choices: [Tried; 5] = [
        ("porch_swing", &[], &["seat slat 1", "seat slat 2", "seat slat 4"]),
        ("porch_swing", &[("seat", "dished")], &["seat slat 4"]),
        ("porch_swing", &[("seat", "flat"), ("back", "lengthwise slats")], &["seat slat 1", "back slat 4"]),
        ("garden_bench", &[], &["seat slat 1", "seat slat 2", "seat slat 4", "arm", "arm 2"]),
        ("adirondack_chair", &[], &["seat slat 4"]),
    ];
    for (family, settings, tried) in choices {
        let plan = planned(family, settings);
        for name in tried {
            let done: Vec<(usize, Does)> = plan
                .steps
                .iter()
                .flat_map(|step| step.parts.iter().map(move |own| (step, own)))
                .filter(|(_, own)| own.name == *name && own.body.is_none())
                .map(|(step, own)| (step.number, own.does))
                .collect();
            let does: Vec<Does> = done.iter().map(|(_, does)| *does).collect();
            let first_three = does.get(..3).unwrap_or(&does);
            assert_eq!(first_three, [Does::Held, Does::TakenAway, Does::ComesIn], "{family} {name}");
            assert!(done[0].0 < done[1].0 && done[1].0 < done[2].0, "{family} {name}: {done:?}");
        }
    }
}

/// A filler tells its rough size, what is left over, the edge to trim and what it comes to.
#[test]
fn a_filler_says_what_is_left_over_and_where_it_is_trimmed() {
    for (family, settings, figures) in [
        ("porch_swing", [("seat", "scooped")], ["`seat slat 4`", "3 1/4\" wide", "3 1/8\""]),
        ("porch_swing", [("seat", "dished")], ["`seat slat 4`", "3 1/4\" wide", "3 1/8\""]),
        ("adirondack_chair", [("seat", "hollowed")], ["`seat slat 4`", "2 7/8\" wide", "2 3/4\""]),
    ] {
        let plan = planned(family, &settings);
        let checks: Vec<&String> = plan.steps.iter().flat_map(|step| &step.checks).collect();
        let told = checks.iter().filter(|own| own.contains("over, ")).collect::<Vec<_>>();
        let [only] = told[..] else { panic!("{family} {settings:?}: {told:?}") };
        for words in figures.iter().chain(&["1/8\" over", "trim its rear edge (the far edge)"]) {
            assert!(only.contains(words), "{family} {settings:?}: {words} in {only}");
        }
    }
}

/// It is laid between slats that stand: the strip as thick as the gap sets it, where no tape reaches along the hollow.
#[test]
fn a_fitted_slat_is_placed_between_its_neighbours() {
    let said = words(&planned("adirondack_chair", &[]));
    let place = "`seat slat 4` lies 1/4\" clear of `seat slat 3` and 1/4\" clear of `seat slat 5`.";
    assert!(said.iter().any(|own| own == place), "{said:#?}");
}

/// The wall of a cope is no end of the slat: nothing is measured from it as if it were.
#[test]
fn places_are_not_measured_from_the_walls_of_notches() {
    for seat in ["scooped", "dished"] {
        let said = words(&planned("porch_swing", &[("seat", seat)]));
        let is_off =
            |own: &&String| own.starts_with("`seat slat 1` on") && own.contains("its datum end 1/16");
        assert_eq!(said.iter().find(is_off), None);
    }
}

/// Nothing closes the base of a chair before its back goes in. Its stringers stand 22 - 2 x 1 1/2 / cos 2° = 19 in apart where the
/// sides begin, less the toe-in over the way to the stretcher's rear, 2 x 1 1/2 x tan 2°: 18 7/8 in at their tips.
#[test]
fn the_base_of_a_chair_is_measured_across_its_open_sides() {
    let base = |toe: &str| {
        let plan = planned("adirondack_chair", &[("toe_in", toe)]);
        let step = plan.steps.into_iter().find(|step| step.title.starts_with("Base: bolt `stringer`"));
        let checks = step.expect("the stringers come in").checks;
        checks.into_iter().find(|own| own.contains("inside")).expect("a check for true")
    };
    let toed = base("2deg");
    assert!(toed.contains("18 7/8\" at those corners, and 16 15/16\" at the other ends"), "{toed}");
    assert!(
        toed.contains("upper corner of `stringer` at its datum end to the far end of `stringer 2`"),
        "{toed}"
    );
}

/// Two uprights on a rail, their inner faces 18 inches apart and 24 long: the tape reads 30 both ways. A pair that stands parallel
/// to one measured already tells nothing new: of outer and inner uprights only the outer are told.
#[test]
fn open_frames_are_measured_once_each_way() {
    let plan = scripted(
        r#"let rail = job.board("rail", #{ stock: "2x6", length: 30.inch }).lie("right", "front");
        for pair in [["outer", 0.mm, 24.inch], ["inner", inch("4 1/2"), 20.inch]] {
            let upright = job.board(pair[0] + " upright", #{ stock: "2x4", length: pair[2] }).lie("up", "left")
                .against("rear", rail.side("front")).flush("down", rail.side("down"))
                .flush("left", rail.end("left"), inch("4 1/2") + pair[1]);
            job.join("screwed face to face", upright, rail);
            job.join("screwed face to face", upright.mirror("right", rail), rail);
        }"#,
    );
    let told: Vec<String> =
        words(&plan).into_iter().filter(|own| own.starts_with("Measure inside")).collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("`outer upright`") && told[0].contains("30\""), "{told:?}");
    assert!(told[0].contains("18\" at those corners, and 18\" at the other ends"), "{told:?}");
}

/// What is done again on the other end goes on its other face: in the other hand, also where the part that comes in has no hand.
#[test]
fn a_stretcher_of_the_other_end_goes_on_in_the_other_hand() {
    let said = words(&planned("garden_bench", &[]));
    let told = "Do as in step 2, in the other hand: `front leg 2` for `front leg` and `stretcher 2` for `stretcher`.";
    assert!(said.iter().any(|own| own == told), "{said:#?}");
    assert!(said.iter().any(|own| own == "Done again, in the other hand, in step 4."), "{said:#?}");
}

/// The crest of a bench rises over the outer edges of its back slats by what was asked: over 42 1/2 in by 2 in, on a circle of
/// (42.5^2 / 4 + 2^2) / (2 x 2) = 113.9 in.
#[test]
fn the_crest_of_a_bench_rises_as_asked() {
    let said = words(&planned("garden_bench", &[("crest_rise", "2in")]));
    let told = "2\" high in the middle, of 113 7/8\" radius";
    assert!(said.iter().any(|own| own.contains(told)), "{said:#?}");
}

/// Gaps that a tape rounds add up along a row: how far its ends stand apart is told. 14 gaps of 6.35 mm and 13 slats of 88.9 mm.
#[test]
fn rounded_gaps_of_a_row_are_told_with_the_whole() {
    let made = slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new("porch_swing"));
        let settings = [(String::from("width"), String::from("1520mm"))];
        opened.value.and_then(|workshop| workshop.make(&settings).value)
    });
    let made = made.expect("a deep stack").expect("it builds");
    let metric = words(&assembly(&made.model, Catalogue::shared(), Tape::Mm));
    let apart = 14.0 * 6.35 + 13.0 * 88.9;
    let row = format!(
        "From `back slat 1` to `back slat 15` 6 mm plus 0.35 mm clear between, in all {apart:.0} mm between"
    );
    assert!(metric.iter().any(|own| own.starts_with(&row)), "{metric:#?}");
    let inch = words(&planned("porch_swing", &[]));
    assert!(
        inch.iter().any(|own| own.contains("1/4\" clear between")),
        "nothing to add where the tape has the mark"
    );
}

/// Boards that cross in a half lap lie on the floors of each other's notches, not on their faces.
#[test]
fn halves_of_a_lap_lie_on_the_floors_of_their_notches() {
    let said = words(&scripted(
        "let upright = job.board(\"upright\", #{ stock: \"2x4\", length: 24.inch }).lie(\"up\", \"front\");\n\
         let arm = job.board(\"arm\", #{ stock: \"2x4\", length: 30.inch }).lie(\"right\", \"front\");\n\
         arm.flush(\"front\", upright.side(\"front\")).flush(\"left\", upright.side(\"left\"), 0.mm - 10.inch)\
         .flush(\"down\", upright.side(\"down\"), 8.inch);\n\
         job.join(\"half lap\", arm, upright);",
    ));
    let told = "`arm` on `upright`: the floor of its notch in the back face on the floor of the notch in the marked face";
    assert!(said.iter().any(|own| own.starts_with(told)), "{said:#?}");
}

/// A frame that lies has its corners told where one board has two of them.
#[test]
fn corners_of_a_lying_frame_are_told_where_a_board_has_two() {
    let said = words(&planned("garden_bench", &[]));
    let told = "from the left front corner of `front rail` to `side rail 2` and from the right front corner of `front rail` to \
                `side rail`";
    assert!(said.iter().any(|own| own.contains(told)), "{said:#?}");
}

/// Two stiles and two rails, tenoned and glued: a person spreads, closes and clamps them in one go, and waits once.
#[test]
fn a_glued_frame_is_closed_in_one_go() {
    let plan = scripted(
        "let left = job.board(\"left stile\", #{ stock: \"2x4\", length: 30.inch }).lie(\"up\", \"front\").at(0.mm, 0.mm, 0.mm);\n\
         let right = job.board(\"right stile\", #{ stock: \"2x4\", length: 30.inch }).lie(\"up\", \"front\").at(20.inch, 0.mm, 0.mm);\n\
         let low = job.board(\"lower rail\", #{ stock: \"2x4\" }).lie(\"right\", \"front\").between(left.side(\"right\"), right.side(\"left\")).at(\"rear\", 0.mm).at(\"up\", 4.inch);\n\
         let high = job.board(\"upper rail\", #{ stock: \"2x4\" }).lie(\"right\", \"front\").between(left.side(\"right\"), right.side(\"left\")).at(\"rear\", 0.mm).at(\"up\", 22.inch);\n\
         job.join_all(\"mortise and tenon\", [low, high], [left, right], #{ tenon: 1.5.inch });",
    );
    let glued: Vec<&slatwork::shop::AssemblyStep> =
        plan.steps.iter().filter(|step| step.cure_minutes > 0).collect();
    let told: Vec<&str> = plan.steps.iter().map(|step| step.title.as_str()).collect();
    assert_eq!(glued.len(), 1, "{told:?}");
    assert_eq!(glued[0].joints.len(), 4);
}

/// A brace laid flat over a corner runs across its rail at 45 degrees: where its edge crosses is told once, and from the rail's end.
#[test]
fn a_slanting_edge_is_told_once() {
    let plan = scripted(
        "let post = job.board(\"post\", #{ stock: \"2x6\", length: 30.inch }).lie(\"up\", \"front\").at(0.mm, 0.mm, 0.mm);\n\
         let rail = job.board(\"rail\", #{ stock: \"2x6\", length: 30.inch }).lie(\"right\", \"front\").against(\"left\", post.side(\"right\")).flush(\"front\", post.side(\"front\")).flush(\"up\", post.side(\"up\"));\n\
         let brace = job.board(\"brace\", #{ stock: \"1x4\", length: 16.inch }).lie(\"right\", \"front\").turn(\"rear\", 45.deg).against(\"rear\", rail.side(\"front\")).at(\"right\", 1.inch).at(\"up\", 18.inch);\n\
         job.join(\"screwed face to face\", brace, rail);\n\
         job.join(\"screwed face to face\", brace, post);",
    );
    let lines: Vec<&String> = plan.steps.iter().flat_map(|step| &step.text).collect();
    let on_rail =
        lines.iter().find(|line| line.contains("`brace` on `rail`") || line.contains("`rail` on `brace`"));
    let on_rail = on_rail.unwrap_or_else(|| panic!("{lines:?}"));
    let told: Vec<&str> = on_rail.split(", its ").collect();
    assert!(told.iter().enumerate().all(|(at, own)| !told[..at].contains(own)), "{on_rail}");
    assert!(on_rail.contains("datum end") || on_rail.contains("far end"), "{on_rail}");
}
