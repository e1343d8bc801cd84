//! Writes boards whose holes meet an edge, a notch, an arc or each other as STEP, and what the kernel reckons of them, for
//! `tests/oracle/solids.py`: `cargo run --release --example odd_solids -- FOLDER`.

use slatwork_output::{
    Scene, SceneMaterial, SceneMesh, SceneNode, SolidNode, SolidScene, Tint, gltf, step, stl,
};
use slatwork_solid::{
    Across, DAffine3, DMat3, DVec2, DVec3, HalfSpace, Hole, HoleStep, Notch, Profile, Shape, Tag, Tolerance,
    Vertex, build,
};
use std::path::Path;

fn board() -> Shape {
    Shape::board(300.0, 90.0, 25.0)
}

/// A board with one edge an arc and a round corner.
fn curved() -> Shape {
    let corner = |x, y, bulge, tag| Vertex { point: DVec2::new(x, y), bulge, tag: Tag(tag) };
    let vertices = vec![
        corner(0.0, 0.0, 0.0, 20),
        corner(300.0, 0.0, 0.0, 21),
        corner(300.0, 60.0, 0.414_213_562_373_095_1, 22),
        corner(270.0, 90.0, 0.2, 23),
        corner(0.0, 90.0, 0.0, 24),
    ];
    Shape { profile: Profile { vertices }, across: Across::Thickness, ..board() }
}

fn hole(start: [f64; 3], direction: [f64; 3], steps: &[(f64, f64)], tag: u32) -> Hole {
    let step = |(radius, depth): &(f64, f64)| HoleStep { radius: *radius, depth: *depth };
    Hole {
        start: DVec3::from_array(start),
        direction: DVec3::from_array(direction).normalize(),
        steps: steps.iter().map(step).collect(),
        tag: Tag(tag),
    }
}

fn with(mut shape: Shape, holes: Vec<Hole>) -> Shape {
    shape.holes = holes;
    shape
}

fn plane(normal: [f64; 3], offset: f64, tag: u32) -> HalfSpace {
    HalfSpace { normal: DVec3::from_array(normal).normalize(), offset, tag: Tag(tag) }
}

fn notched() -> Shape {
    let planes = vec![
        plane([-1.0, 0.0, 0.0], -100.0, 40),
        plane([1.0, 0.0, 0.0], 160.0, 41),
        plane([0.0, 0.0, -1.0], -15.0, 42),
        plane([0.0, 0.0, 1.0], 30.0, 43),
    ];
    Shape { notches: vec![Notch { planes }], ..board() }
}

fn shapes() -> Vec<(&'static str, Shape)> {
    const DOWN: [f64; 3] = [0.0, 0.0, 1.0];
    let through = f64::INFINITY;
    let bevelled = Shape { cuts: vec![plane([0.2, 0.9, 0.4], 88.0, 50)], ..curved() };
    vec![
        ("straight hole", with(board(), vec![hole([60.0, 40.0, 0.0], DOWN, &[(6.0, through)], 30)])),
        (
            "stepped blind hole",
            with(board(), vec![hole([60.0, 40.0, 0.0], DOWN, &[(9.0, 6.0), (4.0, 18.0)], 30)]),
        ),
        (
            "slanting hole",
            with(board(), vec![hole([60.0, 40.0, 0.0], [0.4, 0.2, 1.0], &[(6.0, through)], 30)]),
        ),
        ("hole over an edge", with(board(), vec![hole([60.0, 2.0, 0.0], DOWN, &[(6.0, through)], 30)])),
        ("hole over a corner", with(board(), vec![hole([1.0, 2.0, 0.0], DOWN, &[(6.0, through)], 30)])),
        (
            "slanting hole over an edge",
            with(board(), vec![hole([60.0, 2.0, 0.0], [0.3, 0.1, 1.0], &[(6.0, through)], 30)]),
        ),
        ("hole over a notch", with(notched(), vec![hole([101.0, 40.0, 0.0], DOWN, &[(6.0, through)], 30)])),
        (
            "edge and far hole",
            with(
                board(),
                vec![
                    hole([60.0, 2.0, 0.0], DOWN, &[(6.0, through)], 30),
                    hole([200.0, 40.0, 0.0], DOWN, &[(5.0, through)], 31),
                ],
            ),
        ),
        (
            "holes that cross",
            with(
                board(),
                vec![
                    hole([60.0, 40.0, 0.0], DOWN, &[(6.0, through)], 30),
                    hole([60.0, 0.0, 12.0], [0.0, 1.0, 0.0], &[(4.0, through)], 31),
                ],
            ),
        ),
        ("curved", curved()),
        ("curved, bevelled", bevelled.clone()),
        (
            "curved with a hole over the edge",
            with(curved(), vec![hole([60.0, 2.0, 0.0], DOWN, &[(6.0, through)], 30)]),
        ),
        (
            "hole through the arc",
            with(curved(), vec![hole([150.0, 0.0, 12.0], [0.0, 1.0, 0.0], &[(5.0, through)], 30)]),
        ),
        ("bevelled with a hole", with(bevelled, vec![hole([60.0, 40.0, 0.0], DOWN, &[(6.0, through)], 30)])),
    ]
}

#[expect(clippy::disallowed_methods, reason = "an example is an edge of the program")]
fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args().nth(1).ok_or("say which folder")?;
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder.join("parts_3d"))?;
    let mut solids = SolidScene { name: "odd boards".into(), ..SolidScene::default() };
    let wood = SceneMaterial { name: "wood".into(), tint: Tint::WOOD, extras: serde_json::Map::new() };
    let mut scene = Scene { name: "odd boards".into(), materials: vec![wood], ..Scene::default() };
    for (index, (name, shape)) in shapes().into_iter().enumerate() {
        let solid = build(&shape, &Tolerance::default()).map_err(|fault| format!("{name}: {fault:?}"))?;
        let exact = solid.exact().ok_or_else(|| format!("{name}: does not close"))?;
        // Every other one turned in space and mirrored.
        let turn = DMat3::from_rotation_y(0.3 * index as f64);
        let mirror = DMat3::from_diagonal(DVec3::new(1.0, if index % 2 == 1 { -1.0 } else { 1.0 }, 1.0));
        let pose =
            DAffine3 { matrix3: turn * mirror, translation: DVec3::new(0.0, 150.0 * index as f64, 30.0) };
        let mesh = solid.mesh();
        let mesh = SceneMesh {
            name: name.to_string(),
            positions: mesh.positions.clone(),
            triangles: mesh.triangles.clone(),
        };
        let bytes = stl::write(&mesh).value.ok_or("no STL")?;
        std::fs::write(
            folder.join("parts_3d").join(format!("{}.stl", name.replace([' ', ','], "_"))),
            bytes,
        )?;
        let mut extras = serde_json::Map::new();
        extras.insert("volume_mm3".into(), solid.volume().into());
        extras.insert("holes_meet".into(), solid.used_fallback().into());
        scene.meshes.push(mesh);
        scene.nodes.push(SceneNode { name: name.to_string(), mesh: index, pose, material: 0, extras });
        solids.solids.push(exact);
        solids.nodes.push(SolidNode { name: name.to_string(), solid: index, pose });
    }
    std::fs::write(folder.join("model.step"), step::write(&solids).value.ok_or("no STEP")?)?;
    std::fs::write(folder.join("model.glb"), gltf::write(&scene).value.ok_or("no model")?)?;
    Ok(())
}
