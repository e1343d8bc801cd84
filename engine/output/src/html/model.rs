//! A piece that can be turned round: its drawing for who has no scripts, and the data from which `web/model.js` makes the rest.

use super::words;
use crate::Tint;
use crate::book::{ModelView, plain};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use maud::{Markup, PreEscaped, html};
use serde_json::{Value, json};
use slatwork_solid::DVec3;
use std::collections::BTreeMap;

pub(super) fn written(view: &ModelView, number: usize, still: &Markup) -> Markup {
    let id = |what: &str| format!("model-{number}-{what}");
    let steps = view.steps.len();
    html! {
        div class="model" id=(id("view")) {
            div class="still" { (still) }
            div class="live" hidden {
                canvas tabindex="0" role="application" aria-label=(plain(&view.scene.name)) aria-describedby=(id("help")) {}
                p id=(id("help")) class="help" {
                    "Drag or use the arrow keys to turn it, + and - or the wheel to come nearer, Home to see it as at first. Point at a \
                     part and press to be told its name."
                }
                p class="controls" {
                    button type="button" data-do="nearer" { "Nearer" }
                    button type="button" data-do="farther" { "Farther" }
                    button type="button" data-do="home" { "As at first" }
                    label for=(id("part")) { "Part" }
                    select id=(id("part")) {
                        option value="" { "none" }
                        @for (index, node) in view.scene.nodes.iter().enumerate() {
                            option value=(index) { (words(&node.name)) }
                        }
                    }
                }
                @if steps > 0 {
                    p class="controls" {
                        label for=(id("step")) { "After step" }
                        input id=(id("step")) type="range" min="0" max=(steps) value=(steps) step="1";
                        output for=(id("step")) {}
                    }
                }
                p class="told" role="status" {}
            }
            script type="application/json" { (PreEscaped(script_text(&data(view)))) }
        }
    }
}

/// JSON that no markup can end.
fn script_text(value: &Value) -> String {
    value.to_string().replace('<', "\\u003c")
}

fn data(view: &ModelView) -> Value {
    let part = |(index, node): (usize, &crate::SceneNode)| {
        let tint = view.scene.materials.get(node.material).map_or(Tint::WOOD, |material| material.tint);
        json!({
            "name": plain(&node.name),
            "mark": node.extras.get("mark"),
            "shape": node.mesh,
            "from": view.from_step.get(index).copied().unwrap_or(0),
            "tint": [tint.red, tint.green, tint.blue],
            "pose": node.pose.to_cols_array().map(rounded),
        })
    };
    let shapes = view.scene.meshes.iter().enumerate();
    let shapes: Vec<Value> = shapes.map(|(index, mesh)| shape(mesh, view.lines.get(index))).collect();
    json!({
        "steps": view.steps.iter().map(|step| plain(step)).collect::<Vec<_>>(),
        "parts": view.scene.nodes.iter().enumerate().map(part).collect::<Vec<_>>(),
        "shapes": shapes,
    })
}

/// To a millionth: far finer than any screen, and no longer than needed.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}

/// Corners as 32-bit floats, triangles and lines as 16- or 32-bit indices of corners, all in base 64, low byte first.
fn shape(mesh: &crate::SceneMesh, lines: Option<&Vec<[DVec3; 2]>>) -> Value {
    let mut corners = Corners::default();
    let own: Vec<u32> = mesh.positions.iter().map(|point| corners.index(*point)).collect();
    let triangles: Vec<u32> =
        mesh.triangles.iter().flatten().filter_map(|at| own.get(*at as usize).copied()).collect();
    let lines: Vec<u32> = lines.into_iter().flatten().flatten().map(|end| corners.index(*end)).collect();
    let is_small = corners.points.len() <= usize::from(u16::MAX);
    let indices = |list: &[u32]| -> String {
        let bytes: Vec<u8> = match is_small {
            true => list.iter().flat_map(|at| (*at as u16).to_le_bytes()).collect(),
            false => list.iter().flat_map(|at| at.to_le_bytes()).collect(),
        };
        BASE64_STANDARD.encode(bytes)
    };
    let floats: Vec<u8> = corners
        .points
        .iter()
        .flat_map(|point| point.to_array())
        .flat_map(|value| (value as f32).to_le_bytes())
        .collect();
    json!({
        "corners": BASE64_STANDARD.encode(floats),
        "triangles": indices(&triangles),
        "lines": indices(&lines),
        "wide": !is_small,
    })
}

/// Points that are the same within a micrometre are one corner.
#[derive(Default)]
struct Corners {
    points: Vec<DVec3>,
    known: BTreeMap<[i64; 3], u32>,
}

impl Corners {
    fn index(&mut self, point: DVec3) -> u32 {
        let key = point.to_array().map(|value| (value * 1000.0).round() as i64);
        let next = self.points.len() as u32;
        let index = *self.known.entry(key).or_insert(next);
        if index == next {
            self.points.push(point);
        }
        index
    }
}
