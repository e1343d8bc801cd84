//! The piece in three dimensions, as binary glTF: parts of one set share one surface.

use super::{Files, Paper};
use serde_json::{Map, Value, json};
use slatwork_base::Outcome;
use slatwork_model::{Part, PartSet, turn_between};
use slatwork_output::{Scene, SceneMesh, SceneNode, Tint, gltf};
use slatwork_shop::LEAD_IN;
use slatwork_solid::DAffine3;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    gltf::write(&scene(paper)).map(|bytes| vec![(String::from("model.glb"), bytes)])
}

pub(super) fn scene(paper: &Paper<'_>) -> Scene {
    let mut scene = Scene { name: paper.model.title.clone(), ..Scene::default() };
    for set in &paper.model.sets {
        let Some(&first) = set.parts.first() else { continue };
        let drawn = paper.model.part(first);
        let mesh = drawn.solid.mesh();
        scene.meshes.push(SceneMesh {
            name: format!("{} {}", set.mark, set.name),
            positions: mesh.positions.clone(),
            triangles: mesh.triangles.clone(),
        });
        let index = scene.meshes.len() - 1;
        scene.nodes.extend(set.parts.iter().map(|id| node(paper, set, drawn, paper.model.part(*id), index)));
    }
    scene
}

fn node(paper: &Paper<'_>, set: &PartSet, drawn: &Part, part: &Part, mesh: usize) -> SceneNode {
    let turn = if drawn.id == part.id { None } else { turn_between(drawn, part) };
    let mut extras = Map::new();
    extras.insert("mark".into(), json!(set.mark));
    extras.insert("section".into(), json!(part.section));
    extras.insert("species".into(), json!(part.species));
    extras.insert("group".into(), json!(paper.model.groups.get(part.group.0).map(|group| &group.name)));
    extras.insert("pilots".into(), pilots(paper, part));
    SceneNode {
        name: part.name.clone(),
        mesh,
        pose: part.pose * turn.unwrap_or(DAffine3::IDENTITY),
        tint: Tint::WOOD,
        extras,
    }
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
