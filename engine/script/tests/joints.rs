//! Joints written as scripts, beside the program's own: what they make, and what is told when they do not.

use slatwork_base::Diagnostic;
use slatwork_base::Length;
use slatwork_catalog::Catalogue;
use slatwork_model::joints::{Drive, Joint};
use slatwork_model::{Model, NotchPurpose, People, Site};
use slatwork_script::{Inputs, Library, RootInfo, RootKind, Texts, evaluate};
use slatwork_solid::DVec3;
use std::sync::Arc;

const SHIPPED: [(&str, &str); 3] = [
    ("joints/cleated_corner.rhai", include_str!("../../../scripts/joints/cleated_corner.rhai")),
    ("joints/pegged_tenon.rhai", include_str!("../../../scripts/joints/pegged_tenon.rhai")),
    ("lib/ways.rhai", include_str!("../../../scripts/lib/ways.rhai")),
];

fn inputs() -> Inputs {
    Inputs { catalogue: Arc::clone(Catalogue::shared()), site: Site::default(), people: People::default() }
}

fn root(kind: RootKind) -> RootInfo {
    RootInfo { name: format!("{kind:?}"), kind, shown: String::new(), trusted: true }
}

/// Builds a family of a rail between two posts, with `joining` after they are laid and further joint scripts.
fn build(joining: &str, joints: &[(&str, &str)]) -> Result<Model, Vec<Diagnostic>> {
    let family = format!(
        "fn describe(f) {{ f.title = \"Frame\"; }}\n\
         fn build(job, p) {{\n\
         let post = job.board(\"post\", #{{ stock: \"2x4\", length: 24.inch }}).lie(\"up\", \"left\");\n\
         let rail = job.board(\"rail\", #{{ stock: \"2x4\", length: 30.inch }}).lie(\"right\", \"front\");\n\
         rail.against(\"left\", post.side(\"right\")).centre(\"front\", post).flush(\"down\", post.side(\"down\"), 4.inch);\n\
         {joining}\n\
         }}\n"
    );
    let own = [[("families/frame.rhai", family.as_str())].as_slice(), joints].concat();
    let texts =
        Texts::default().with_root(root(RootKind::Project), own).with_root(root(RootKind::BuiltIn), SHIPPED);
    let library = Library::load(&texts);
    let Some(library) = library.value else { return Err(library.diagnostics) };
    let outcome = evaluate(&library, "frame", &[], &inputs());
    outcome.value.ok_or(outcome.diagnostics)
}

fn told(result: Result<Model, Vec<Diagnostic>>) -> String {
    let faults = match result {
        Ok(model) => model.findings,
        Err(faults) => faults,
    };
    let line = |fault: &Diagnostic| {
        let traces: Vec<String> =
            fault.trace.iter().map(|(place, remark)| format!("\n  {place}: {remark}")).collect();
        format!("{fault}{}", traces.concat())
    };
    faults.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn kinds(joints: &[Joint]) -> Vec<(&str, Option<&str>, usize)> {
    joints
        .iter()
        .map(|joint| (joint.kind.as_str(), joint.within.as_deref(), joint.fastenings.len()))
        .collect()
}

#[test]
fn a_cleat_is_laid_and_screwed_both_ways() {
    let model =
        build("job.join(\"cleated corner\", rail, post, #{ on: \"rear\" });", &[]).expect("it can be built");
    assert_eq!(model.findings, []);
    let within = Some("cleated corner");
    assert_eq!(
        kinds(&model.joints),
        [("screwed face to face", within, 2), ("screwed face to face", within, 2)]
    );
    let cleat = model.part_named("cleat").expect("the joint lays it");
    // Across the rail's 3 1/2 in, a quarter inch short at either end.
    assert_eq!(cleat.length, slatwork_base::Length::inch(3.0));
}

#[test]
fn a_pegged_tenon_cuts_both_boards_and_bores_both() {
    let model = build("job.join(\"pegged tenon\", rail, post);", &[]).expect("it can be built");
    assert_eq!(model.findings, []);
    let rail = model.part_named("rail").expect("a rail");
    // 30 in from the shoulder on, and a tenon that goes through the post.
    assert_eq!(rail.length, slatwork_base::Length::inch(31.5));
    let purposes = |name: &str| -> Vec<NotchPurpose> {
        let part = model.part_named(name).expect("it is there");
        part.features
            .iter()
            .filter_map(|feature| match &feature.kind {
                slatwork_model::FeatureKind::Notch { purpose, .. } => Some(purpose.clone()),
                _ => None,
            })
            .collect()
    };
    assert_eq!(purposes("rail"), [NotchPurpose::Tenon { into: String::from("post") }]);
    assert_eq!(purposes("post"), [NotchPurpose::Mortise { of: String::from("rail") }]);
    for name in ["rail", "post"] {
        assert_eq!(model.part_named(name).expect("there").shape.holes.len(), 1, "{name}");
    }
    let within = Some("pegged tenon");
    assert_eq!(kinds(&model.joints), [("mortise and tenon", within, 0), ("single fastener", within, 1)]);
    // Through 3 1/2 in of post, of which the tenon (half an inch thick) is the middle; the longest dowel of 3/8 in is 3 in.
    let peg = &model.joints[1].fastenings[0];
    assert_eq!((peg.item.as_str(), peg.length, peg.drive), ("dowel_3_8", Length::inch(3.0), Drive::Mallet));
    let layers: Vec<(&str, f64, f64)> = peg
        .layers
        .iter()
        .map(|layer| (model.part(layer.part).name.as_str(), layer.from / 25.4, layer.to / 25.4))
        .collect();
    let expected = [("post", 0.0, 1.5), ("rail", 1.5, 2.0), ("post", 2.0, 3.5)];
    for (own, other) in layers.iter().zip(expected) {
        assert!(
            own.0 == other.0 && (own.1 - other.1).abs() < 1e-6 && (own.2 - other.2).abs() < 1e-6,
            "{layers:?}"
        );
    }
    assert_eq!(layers.len(), 3);
    assert_eq!(peg.direction, DVec3::Y, "driven from the front");
}

#[test]
fn a_script_sets_a_bolt_of_its_own_with_its_washer_and_nut() {
    let spot = "spot: #{ on: post.side(\"left\"), from: [[post.side(\"front\"), 1.75.inch], [post.side(\"down\"), 5.75.inch]] }";
    let bolted = format!(
        "job.join(\"single fastener\", post, rail, #{{ fastener: \"carriage_bolt_3_8\", length: 6.inch, {spot} }});"
    );
    let model = build(&bolted, &[]).expect("it can be built");
    let joint = &model.joints[0];
    let bolt = &joint.fastenings[0];
    assert_eq!((bolt.drive, bolt.length, bolt.layers.len()), (Drive::Wrench, Length::inch(6.0), 2));
    let extras: Vec<(&str, usize)> =
        joint.extras.iter().map(|extra| (extra.item.as_str(), extra.count)).collect();
    assert_eq!(extras, [("wide_washer_3_8", 1), ("hex_nut_3_8", 1)]);
}

#[test]
fn faulty_joints_are_told() {
    let describe = "fn describe(j) { j.title = \"Odd\"; }\n";
    let odd = |body: &str| format!("{describe}fn cut(job, a, b, o) {{ {body} }}\n");
    let with = |body: &str| told(build("job.join(\"odd\", rail, post);", &[("joints/odd.rhai", &odd(body))]));
    let all = [
        told(build("job.join(\"screwed face to fase\", rail, post);", &[])),
        told(build("job.join(\"hanger eye\", rail, post);", &[])),
        told(build("job.join(\"cleated corner\", rail, post, #{ on: \"inside\" });", &[])),
        told(build("job.join(\"cleated corner\", rail, post, #{ screw: 3 });", &[])),
        told(build("job.join(\"cleated corner\", rail, post, #{ on: \"right\" });", &[])),
        with("\"a word\""),
        with(
            "a.notch(#{ side: \"up\", from_end: 10.inch, along: 1.inch, depth: 2.inch }); \
              a.notch(#{ side: \"down\", from_end: 10.inch, along: 1.inch, depth: 2.inch });",
        ),
        with("job.join(\"odd\", a, b);"),
        with("loop {}"),
        with("a.lenght"),
        told(build("rail.join(1);", &[])),
        told(build("job.join(\"bolted lap\", rail, post, #{ fastener: \"wood_screw_8\" });", &[])),
        told(build("job.join(\"screwed into end\", rail, post, #{ fastener: \"wood_screw_99\" });", &[])),
        told(build("job.join(\"screwed into end\", rail, post, #{ at: [[9.inch, 0.mm]] });", &[])),
        told(build("job.join(\"screwed into end\", rail, post, #{ count: 0 });", &[])),
        told(build("job.join(\"glued face\", rail, post);", &[])),
        told(build("job.join(\"half lap\", rail, post);", &[])),
        told(build("job.join(\"mortise and tenon\", post, rail);", &[])),
        told(build("job.join(\"mortise and tenon\", rail, post, #{ tenon: 9.inch });", &[])),
        told(build("job.join(\"screwed into end\", rail, rail);", &[])),
        told(build(
            "let far = post.copy(\"far post\"); far.against(\"left\", post.side(\"right\"), 4.inch).flush(\"front\", post.side(\"front\")).flush(\"down\", post.side(\"down\")); job.join(\"bolted lap\", far, post);",
            &[],
        )),
        told(build("job.before(rail, post); job.before(post, rail);", &[])),
        told(build("job.join(\"single fastener\", rail, post, #{ fastener: \"dowel_3_8\" });", &[])),
        told(build(
            "job.join(\"single fastener\", rail, post, #{ fastener: \"dowel_3_8\", spot: #{ on: post.side(\"front\"), from: [[post.side(\"left\"), 0.75.inch], [post.side(\"up\"), 1.inch]] } });",
            &[],
        )),
        told(build(
            "job.join(\"single fastener\", rail, post, #{ fastener: \"wood_screw_8\", spot: #{ on: post.side(\"front\"), from: [[post.side(\"left\"), 0.75.inch], [post.side(\"down\"), 5.inch]] } });",
            &[],
        )),
        told(build(
            "job.join(\"single fastener\", rail, post, #{ fastener: \"dowel_3_8\", spot: #{ at: 3.inch } });",
            &[],
        )),
    ];
    insta::assert_snapshot!(all.join("\n\n"));
}
