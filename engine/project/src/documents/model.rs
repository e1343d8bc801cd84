//! The piece in three dimensions: as binary glTF and STEP, in which parts of one set share one surface, and each set as STL.

use super::drawings::file_stem;
use super::{Files, Paper};
use serde_json::{Map, Value, json};
use slatwork_base::{Diagnostic, Outcome};
use slatwork_model::{Part, PartSet, turn_between};
use slatwork_output::{
    Scene, SceneMaterial, SceneMesh, SceneNode, SolidNode, SolidScene, Tint, gltf, step, stl,
};
use slatwork_shop::{Does, LEAD_IN, PartMove};
use slatwork_solid::DAffine3;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let scene = scene(paper);
    let mut outcome = gltf::write(&scene).map(|bytes| vec![(String::from("model.glb"), bytes)]);
    outcome = outcome.then(|files| {
        solids(paper).then(|solids| step::write(&solids)).map(|bytes| with(files, "model.step".into(), bytes))
    });
    for (mesh, set) in scene.meshes.iter().zip(drawn_sets(paper)) {
        let path = format!("parts_3d/{}.stl", file_stem(set));
        outcome = outcome.then(|files| stl::write(mesh).map(|bytes| with(files, path, bytes)));
    }
    outcome
}

fn with(mut files: Files, path: String, bytes: Vec<u8>) -> Files {
    files.push((path, bytes));
    files
}

/// Sets that have parts, in their order.
fn drawn_sets<'a>(paper: &Paper<'a>) -> impl Iterator<Item = &'a PartSet> {
    paper.model.sets.iter().filter(|set| !set.parts.is_empty())
}

/// Every part by true surfaces.
fn solids(paper: &Paper<'_>) -> Outcome<SolidScene> {
    let mut scene = SolidScene { name: paper.model.title.clone(), ..SolidScene::default() };
    for set in drawn_sets(paper) {
        let drawn = paper.model.part(set.parts[0]);
        let Some(solid) = drawn.solid.exact() else {
            let message = format!("the surface of `{}` does not close, so it is no solid", drawn.name);
            return Outcome::failed(Diagnostic::error("solid-open", message));
        };
        let index = scene.solids.len();
        scene.solids.push(solid);
        scene.nodes.extend(set.parts.iter().map(|id| {
            let part = paper.model.part(*id);
            SolidNode { name: part.name.clone(), solid: index, pose: placed(drawn, part) }
        }));
    }
    Outcome::fine(scene)
}

/// Where the solid of a set's first part stands as one of its parts.
fn placed(drawn: &Part, part: &Part) -> DAffine3 {
    let turn = if drawn.id == part.id { None } else { turn_between(drawn, part) };
    part.pose * turn.unwrap_or(DAffine3::IDENTITY)
}

pub(super) fn scene(paper: &Paper<'_>) -> Scene {
    let woods = woods(paper);
    let mut scene =
        Scene { name: paper.model.title.clone(), materials: materials(paper, &woods), ..Scene::default() };
    for set in drawn_sets(paper) {
        let drawn = paper.model.part(set.parts[0]);
        let mesh = drawn.solid.mesh();
        scene.meshes.push(SceneMesh {
            name: format!("{} {}", set.mark, set.name),
            positions: mesh.positions.clone(),
            triangles: mesh.triangles.clone(),
        });
        let index = scene.meshes.len() - 1;
        let material = woods.iter().position(|wood| *wood == drawn.species).unwrap_or_default();
        scene.nodes.extend(set.parts.iter().map(|id| {
            let part = paper.model.part(*id);
            SceneNode {
                name: part.name.clone(),
                mesh: index,
                pose: placed(drawn, part),
                material,
                extras: extras(paper, set, part),
            }
        }));
    }
    scene
}

/// The species in the piece, by the order of its parts.
fn woods<'a>(paper: &Paper<'a>) -> Vec<&'a str> {
    let mut woods: Vec<&str> = Vec::new();
    for part in &paper.model.parts {
        if !woods.contains(&part.species.as_str()) {
            woods.push(&part.species);
        }
    }
    woods
}

fn materials(paper: &Paper<'_>, woods: &[&str]) -> Vec<SceneMaterial> {
    let material = |(index, id): (usize, &&str)| {
        let species = paper.catalogue.species(id).ok();
        let mut extras = Map::new();
        extras.insert("species".into(), json!(id));
        if let Some(species) = species {
            extras.insert("density_kg_m3".into(), json!(species.density_kg_m3().round()));
        }
        let name = species.map_or(*id, |species| species.name.as_str()).to_string();
        SceneMaterial { name, tint: Tint::of_wood(index), extras }
    };
    woods.iter().enumerate().map(material).collect()
}

/// What a reader of the file should know of a part.
fn extras(paper: &Paper<'_>, set: &PartSet, part: &Part) -> Map<String, Value> {
    let mut extras = Map::new();
    extras.insert("mark".into(), json!(set.mark));
    extras.insert("section".into(), json!(part.section));
    extras.insert("species".into(), json!(part.species));
    extras.insert("group".into(), json!(paper.model.groups.get(part.group.0).map(|group| &group.name)));
    extras.insert("step".into(), json!(comes_in(paper, part)));
    extras.insert("volume_mm3".into(), json!(part.solid.volume()));
    extras.insert("holes_meet".into(), json!(part.solid.used_fallback()));
    extras.insert("pilots".into(), pilots(paper, part));
    extras
}

/// The step of assembly in which a part comes to its place; none when no order is planned.
fn comes_in(paper: &Paper<'_>, part: &Part) -> Option<usize> {
    let stays = |own: &&PartMove| own.part == part.id && matches!(own.does, Does::Laid | Does::ComesIn);
    let step = paper.assembly.steps.iter().find(|step| step.parts.iter().any(|own| stays(&own)));
    step.map(|step| step.number)
}

/// Pilots drilled on through other parts are no part of the solids: for each the mouth and the way in (right, rear, up), the
/// diameter and the depth, mm.
fn pilots(paper: &Paper<'_>, part: &Part) -> Value {
    let bores = paper.model.joints.iter().flat_map(|joint| &joint.fastenings).flat_map(|one| &one.bores);
    let own = bores.filter(|bore| bore.part == part.id && !bore.in_solid);
    let figures = own.filter_map(|bore| {
        let step = bore.hole.steps.first()?;
        let way = part.pose.transform_vector3(bore.hole.direction);
        let mouth = part.pose.transform_point3(bore.hole.start) + way * LEAD_IN;
        Some(json!({
            "mouth": mouth.to_array(), "way": way.to_array(),
            "diameter": 2.0 * step.radius, "depth": step.depth - LEAD_IN,
        }))
    });
    figures.collect()
}
