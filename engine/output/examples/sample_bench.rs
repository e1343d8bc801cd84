//! Draws the sample bench of the tests into a folder, to be looked at and read back by other programs:
//! `cargo run -p slatwork-output --example sample_bench -- FOLDER`.

#[path = "../tests/sample/mod.rs"]
mod sample;

use slatwork_base::Tape;
use slatwork_output::drawing::{
    Arrangement, Balloon, Body, PartSheet, Placed, View, arrangement, overall, part_outline, part_sheet,
};
use slatwork_output::{Paper, Scene, SceneMaterial, SceneMesh, SceneNode, Sheet, Tint, dxf, gltf, svg};
use std::path::Path;

fn main() {
    let folder = std::env::args().nth(1).unwrap_or_else(|| String::from("."));
    let folder = Path::new(&folder);
    let parts = sample::bench();
    save(folder, "arrangement.svg", svg::write(&general(&parts), "arrangement").value);
    let mut drawn: Vec<&str> = Vec::new();
    for part in parts.iter().chain(&sample::trials()) {
        if !drawn.contains(&part.mark) {
            drawn.push(part.mark);
            let bytes = svg::write(&one_part(part, &parts), part.mark).value;
            save(folder, &format!("part_{}.svg", part.mark), bytes);
            let outline = part_outline(&part.solid, part.mark, Tape::Inch16);
            save(folder, &format!("outline_{}_mm.dxf", part.mark), dxf::write(&outline).value);
        }
    }
    save(folder, "bench.glb", gltf::write(&scene(&parts)).value);
}

#[expect(clippy::disallowed_methods, reason = "an example is an edge of the program")]
fn save(folder: &Path, name: &str, bytes: Option<Vec<u8>>) {
    std::fs::write(folder.join(name), bytes.expect("the sample can be written"))
        .expect("the folder can be written");
}

fn general(parts: &[sample::Part]) -> Sheet {
    let piece =
        Placed::new(parts.iter().map(|p| Body { name: &p.name, solid: &p.solid, pose: p.pose }).collect());
    let mut balloons: Vec<Balloon> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        match balloons.iter_mut().find(|b| b.mark == part.mark) {
            Some(balloon) => balloon.bodies.push(index),
            None => balloons.push(Balloon { mark: part.mark.to_string(), bodies: vec![index] }),
        }
    }
    arrangement(&Arrangement {
        title: "Harbour bench",
        family: "garden bench",
        piece: &piece,
        measures: &overall(&piece),
        marks: &sample::places(),
        remarks: &[(View::Top, String::from("fronts of the legs"))],
        balloons: &balloons,
        tape: Tape::Inch16,
        paper: Paper::A3,
    })
}

fn one_part(part: &sample::Part, parts: &[sample::Part]) -> Sheet {
    let holes = sample::marks_of(part);
    let notes = [String::from("Round over the edges that are touched, 1/8\".")];
    part_sheet(&PartSheet {
        piece: "Harbour bench",
        mark: part.mark,
        name: part.name.split(',').next().unwrap_or(""),
        stock: "1 × 6, dressed",
        species: "western red cedar",
        quantity: parts.iter().filter(|p| p.mark == part.mark).count().max(1),
        hand: if part.mark == "K" { "1 as drawn, 1 mirrored" } else { "" },
        solid: &part.solid,
        size: part.solid.bounds().max,
        holes: &holes,
        notes: &notes,
        tape: Tape::Inch16,
        papers: &[Paper::A4],
    })
}

fn scene(parts: &[sample::Part]) -> Scene {
    let mesh = |part: &sample::Part| {
        let mesh = part.solid.mesh();
        SceneMesh {
            name: part.name.clone(),
            positions: mesh.positions.clone(),
            triangles: mesh.triangles.clone(),
        }
    };
    let node = |(index, part): (usize, &sample::Part)| SceneNode {
        name: part.name.clone(),
        mesh: index,
        pose: part.pose,
        material: 0,
        extras: serde_json::Map::new(),
    };
    Scene {
        name: String::from("Harbour bench"),
        meshes: parts.iter().map(mesh).collect(),
        materials: vec![SceneMaterial {
            name: String::from("wood"),
            tint: Tint::WOOD,
            extras: serde_json::Map::new(),
        }],
        nodes: parts.iter().enumerate().map(node).collect(),
    }
}
