//! Each format read back: by an independent XML reader, and by walking through the bytes as their standards say.

use serde_json::{Map, Value, json};
use slatwork_output::{
    Anchor, Angular, Axis, Corner, Dimension, FORMATS, Figure, Leader, LineClass, Paper, Scene,
    SceneMaterial, SceneMesh, SceneNode, Sheet, Tint, dxf, format, gltf, svg,
};
use slatwork_solid::{DAffine3, DVec2, DVec3};

/// A board with one rounded end, a hole, and what is written round it.
fn small_sheet() -> Sheet {
    let mut sheet = Sheet::new("Arm <left> & \"right\"", Paper { name: "card", width: 100.0, height: 60.0 });
    sheet.description = String::from("An arm with a rounded end.");
    let corner = |x, y, bulge| Corner { point: DVec2::new(x, y), bulge };
    let corners = vec![
        corner(20.0, 20.0, 0.0),
        corner(70.0, 20.0, 1.0),
        corner(70.0, 40.0, 0.0),
        corner(20.0, 40.0, 0.0),
    ];
    sheet.draw(LineClass::Cut, Figure::Polyline { corners, closed: true });
    sheet.draw(LineClass::Drill, Figure::Circle { centre: DVec2::new(70.0, 30.0), radius: 2.5 });
    sheet.draw(
        LineClass::Dimension,
        Figure::Dimension(Dimension {
            from: DVec2::new(20.0, 20.0),
            to: DVec2::new(80.0, 30.0),
            axis: Axis::Level,
            line: 10.0,
            label: String::from("2 3/8\""),
        }),
    );
    sheet.draw(
        LineClass::Dimension,
        Figure::Angular(Angular {
            vertex: DVec2::new(20.0, 40.0),
            start: 0.0,
            sweep: 0.4,
            radius: 15.0,
            label: String::from("22.9°"),
        }),
    );
    let at = DVec2::new(70.0, 30.0);
    let leader = Leader { at, to: DVec2::new(85.0, 45.0), balloon: Some(4.0), label: String::from("A") };
    sheet.draw(LineClass::Dimension, Figure::Leader(leader));
    sheet.draw(
        LineClass::Edge,
        Figure::Ellipse {
            centre: DVec2::new(40.0, 30.0),
            major: DVec2::new(6.0, 2.0),
            minor: DVec2::new(-1.0, 3.0),
            start: 0.0,
            sweep: core::f64::consts::TAU,
        },
    );
    sheet.text(LineClass::Mark, DVec2::new(30.0, 24.0), 2.5, Anchor::Left, "grain ×1");
    sheet
}

#[test]
fn small_sheet_as_svg() {
    let text = String::from_utf8(svg::write(&small_sheet(), "arm").value.unwrap()).unwrap();
    insta::assert_snapshot!(text);
}

#[test]
fn svg_is_well_formed_in_millimetres_with_ids_of_its_own() {
    let text = String::from_utf8(svg::write(&small_sheet(), "1 arm").value.unwrap()).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let root = document.root_element();
    assert_eq!(root.attribute("width"), Some("100mm"));
    assert_eq!(root.attribute("viewBox"), Some("0 0 100 60"));
    assert!(!text.contains("px"), "pixels have no size");
    let title = root.children().find(|n| n.has_tag_name("title")).and_then(|n| n.text());
    assert_eq!(title, Some("Arm <left> & \"right\""));
    let ids: Vec<&str> = document.descendants().filter_map(|n| n.attribute("id")).collect();
    let distinct: std::collections::BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), distinct.len());
    assert!(ids.iter().all(|id| id.starts_with("s1-arm-")), "{ids:?}");
    let classes: Vec<&str> = document.descendants().filter_map(|n| n.attribute("class")).collect();
    assert_eq!(classes, ["mark", "dimension", "edge", "drill", "cut"]);
}

/// A DXF file as pairs of group code and value.
fn groups(bytes: &[u8]) -> Vec<(u16, String)> {
    let text = core::str::from_utf8(bytes).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    lines.chunks(2).map(|pair| (pair[0].parse().unwrap(), pair[1].to_string())).collect()
}

#[test]
fn dxf_holds_the_outline_with_its_arc() {
    let bytes = dxf::write(&small_sheet()).value.unwrap();
    assert!(bytes.is_ascii());
    let groups = groups(&bytes);
    let after = |name: &str| {
        let at = groups.iter().position(|(code, value)| *code == 9 && value == name).unwrap();
        groups[at + 1].clone()
    };
    assert_eq!(after("$ACADVER"), (1, String::from("AC1009")));
    assert_eq!(after("$INSUNITS"), (70, String::from("4")));
    assert_eq!(after("$MEASUREMENT"), (70, String::from("1")));
    let count = |name: &str| groups.iter().filter(|(code, value)| *code == 0 && value == name).count();
    assert_eq!(count("SECTION"), count("ENDSEC"));
    assert_eq!(count("POLYLINE"), count("SEQEND"));
    assert_eq!(groups.last(), Some(&(0, String::from("EOF"))));
    // The cut line: four corners, the second one starting a half circle.
    let start = groups.iter().position(|g| *g == (8, String::from("CUT"))).unwrap();
    let end = start + groups[start..].iter().position(|g| g.1 == "SEQEND").unwrap();
    let bulges: Vec<&str> = groups[start..end].iter().filter(|g| g.0 == 42).map(|g| g.1.as_str()).collect();
    assert_eq!(bulges, ["1"]);
    assert!(groups.contains(&(1, String::from("22.9%%d"))));
    assert!(groups.contains(&(1, String::from("grain \\U+00D71"))));
}

/// A wedge: five faces, closed.
fn wedge() -> SceneMesh {
    let at = DVec3::new;
    SceneMesh {
        name: String::from("wedge"),
        positions: vec![
            at(0.0, 0.0, 0.0),
            at(100.0, 0.0, 0.0),
            at(100.0, 40.0, 0.0),
            at(0.0, 40.0, 0.0),
            at(0.0, 0.0, 25.3),
            at(0.0, 40.0, 25.3),
        ],
        triangles: vec![
            [0, 2, 1],
            [0, 3, 2],
            [0, 1, 4],
            [2, 3, 5],
            [0, 4, 5],
            [0, 5, 3],
            [1, 2, 5],
            [1, 5, 4],
        ],
    }
}

fn small_scene() -> Scene {
    let mut extras = Map::new();
    extras.insert(String::from("mark"), json!("A"));
    let node = |name: &str, x: f64| SceneNode {
        name: name.to_string(),
        mesh: 0,
        pose: DAffine3::from_translation(DVec3::new(x, 0.0, 400.0)),
        material: 0,
        extras: extras.clone(),
    };
    Scene {
        name: String::from("two wedges"),
        meshes: vec![wedge()],
        materials: vec![
            SceneMaterial { name: String::from("cedar"), tint: Tint::WOOD, extras: Map::new() },
            SceneMaterial { name: String::from("steel"), tint: Tint::METAL, extras: Map::new() },
        ],
        nodes: vec![node("left", 0.0), node("right", 500.0)],
    }
}

fn word(bytes: &[u8], at: usize) -> usize {
    u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize
}

/// The JSON and the binary chunk, after checking lengths and padding.
fn chunks(bytes: &[u8]) -> (Value, Vec<u8>) {
    assert_eq!(&bytes[..4], b"glTF");
    assert_eq!(word(bytes, 4), 2);
    assert_eq!(word(bytes, 8), bytes.len());
    let text = word(bytes, 12);
    assert_eq!(&bytes[16..20], b"JSON");
    assert_eq!(text % 4, 0);
    let binary = word(bytes, 20 + text);
    assert_eq!(&bytes[24 + text..28 + text], b"BIN\0");
    assert_eq!((binary % 4, 28 + text + binary), (0, bytes.len()));
    (serde_json::from_slice(&bytes[20..20 + text]).unwrap(), bytes[28 + text..].to_vec())
}

/// The numbers of an accessor of three-part vectors.
fn vectors(document: &Value, binary: &[u8], accessor: usize) -> Vec<[f32; 3]> {
    let accessor = &document["accessors"][accessor];
    let view = &document["bufferViews"][accessor["bufferView"].as_u64().unwrap() as usize];
    let start = view["byteOffset"].as_u64().unwrap() as usize;
    let count = accessor["count"].as_u64().unwrap() as usize;
    assert_eq!(view["byteLength"].as_u64().unwrap() as usize, 12 * count);
    let number = |at: usize| f32::from_le_bytes(binary[at..at + 4].try_into().unwrap());
    (0..count).map(|i| [0, 4, 8].map(|part| number(start + 12 * i + part))).collect()
}

#[test]
fn gltf_shares_the_mesh_and_states_true_bounds() {
    let (document, binary) = chunks(&gltf::write(&small_scene()).value.unwrap());
    assert_eq!(document["buffers"][0]["byteLength"].as_u64().unwrap() as usize, binary.len());
    assert_eq!(document["meshes"].as_array().unwrap().len(), 1);
    let nodes = document["nodes"].as_array().unwrap();
    assert_eq!(nodes.len(), 3);
    assert_eq!(nodes[0]["scale"], json!([0.001, 0.001, 0.001]));
    assert_eq!((&nodes[1]["name"], &nodes[1]["extras"]["mark"]), (&json!("left"), &json!("A")));
    assert_eq!(nodes[2]["matrix"][12], json!(500.0));
    let attributes = &document["meshes"][0]["primitives"][0]["attributes"];
    let positions = vectors(&document, &binary, attributes["POSITION"].as_u64().unwrap() as usize);
    let normals = vectors(&document, &binary, attributes["NORMAL"].as_u64().unwrap() as usize);
    // Three four-cornered faces and two triangles, corners split by face.
    assert_eq!((positions.len(), normals.len()), (18, 18));
    for axis in 0..3 {
        let least = positions.iter().map(|p| p[axis]).fold(f32::INFINITY, f32::min);
        let most = positions.iter().map(|p| p[axis]).fold(f32::NEG_INFINITY, f32::max);
        assert_eq!(document["accessors"][0]["min"][axis].as_f64(), Some(f64::from(least)));
        assert_eq!(document["accessors"][0]["max"][axis].as_f64(), Some(f64::from(most)));
    }
    for normal in normals {
        assert!((normal.iter().map(|n| n * n).sum::<f32>() - 1.0).abs() < 1e-6);
    }
}

#[test]
fn gltf_refuses_what_is_not_there_and_writes_an_empty_scene() {
    let mut missing = small_scene();
    missing.nodes[1].mesh = 7;
    assert_eq!(gltf::write(&missing).diagnostics[0].code, "scene-mesh-missing");
    let mut corner = small_scene();
    corner.meshes[0].triangles[0] = [0, 1, 99];
    assert_eq!(gltf::write(&corner).diagnostics[0].code, "scene-corner-missing");
    let mut nowhere = small_scene();
    nowhere.nodes[0].pose.translation.z = f64::INFINITY;
    assert_eq!(gltf::write(&nowhere).diagnostics[0].code, "scene-not-finite");
    assert!(gltf::write(&Scene::default()).value.is_some());
}

#[test]
fn a_second_material_makes_a_second_mesh_over_the_same_corners() {
    let mut scene = small_scene();
    scene.nodes[1].material = 1;
    let (document, _) = chunks(&gltf::write(&scene).value.unwrap());
    assert_eq!(document["meshes"].as_array().unwrap().len(), 2);
    assert_eq!(document["accessors"].as_array().unwrap().len(), 3);
    assert_eq!(document["materials"].as_array().unwrap().len(), 2);
    assert_eq!(document["materials"][1]["name"], json!("steel"));
    scene.nodes[1].material = 2;
    assert_eq!(gltf::write(&scene).diagnostics[0].code, "scene-material-missing");
}

#[test]
fn formats_have_distinct_names_and_can_be_found() {
    let names: std::collections::BTreeSet<&str> = FORMATS.iter().map(|f| f.name).collect();
    assert_eq!(names.len(), FORMATS.len());
    assert_eq!(format("gltf").map(|f| f.extension), Some("glb"));
    assert!(format("gif").is_none());
}
