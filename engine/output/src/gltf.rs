//! A [`Scene`] as binary glTF 2.0 (GLB), by its standard: Khronos glTF 2.0 specification.
//!
//! glTF measures in metres with y up; ours is millimetres with z up. Corners and poses stay ours, and one root node
//! scales and turns the whole. Corners are split by face, so that every face is shaded flat.

use crate::scene::{Scene, SceneMaterial, SceneMesh};
use serde_json::{Map, Value, json};
use slatwork_base::{Outcome, maths};
use slatwork_solid::{DAffine3, DVec3};
use std::collections::BTreeMap;

/// "glTF" read as a little-endian number.
const MAGIC: u32 = 0x4654_6C67;
const CHUNK_JSON: u32 = 0x4E4F_534A;
const CHUNK_BINARY: u32 = 0x004E_4942;
const FLOAT: u32 = 5126;
const UNSIGNED_INT: u32 = 5125;
const ARRAY_BUFFER: u32 = 34962;
const ELEMENT_ARRAY_BUFFER: u32 = 34963;

/// Writes a scene. The faults `scene-mesh-missing`, `scene-material-missing`, `scene-corner-missing`,
/// `scene-not-finite`.
pub fn write(scene: &Scene) -> Outcome<Vec<u8>> {
    if let Some(fault) = scene.fault() {
        return Outcome::failed(fault);
    }
    let mut binary = Binary::default();
    let surfaces: Vec<Option<Surface>> = scene.meshes.iter().map(|mesh| binary.add(mesh)).collect();
    let document = document(scene, &surfaces, &binary);
    Outcome::fine(container(&document, binary.bytes))
}

/// Where a mesh's corners, normals and triangles went: numbers of accessors.
#[derive(Clone, Copy)]
struct Surface {
    positions: usize,
    normals: usize,
    indices: usize,
}

/// The binary chunk and the list of what lies in it.
#[derive(Default)]
struct Binary {
    bytes: Vec<u8>,
    views: Vec<Value>,
    accessors: Vec<Value>,
}

impl Binary {
    /// Adds a mesh; `None` for one without triangles, which glTF cannot hold.
    fn add(&mut self, mesh: &SceneMesh) -> Option<Surface> {
        let flat = Flat::of(mesh);
        if flat.indices.is_empty() {
            return None;
        }
        let positions = self.add_points(&flat.positions, true);
        let normals = self.add_points(&flat.normals, false);
        Some(Surface { positions, normals, indices: self.add_indices(&flat.indices) })
    }

    fn add_points(&mut self, points: &[[f32; 3]], bounded: bool) -> usize {
        let start = self.bytes.len();
        for number in points.iter().flatten() {
            self.bytes.extend_from_slice(&number.to_le_bytes());
        }
        let view = self.add_view(start, ARRAY_BUFFER);
        let mut accessor = json!({
            "bufferView": view, "componentType": FLOAT, "count": points.len(), "type": "VEC3",
        });
        if bounded {
            accessor["min"] = json!(bound(points, f32::min));
            accessor["max"] = json!(bound(points, f32::max));
        }
        self.accessors.push(accessor);
        self.accessors.len() - 1
    }

    fn add_indices(&mut self, indices: &[u32]) -> usize {
        let start = self.bytes.len();
        for index in indices {
            self.bytes.extend_from_slice(&index.to_le_bytes());
        }
        let view = self.add_view(start, ELEMENT_ARRAY_BUFFER);
        self.accessors.push(json!({
            "bufferView": view, "componentType": UNSIGNED_INT, "count": indices.len(), "type": "SCALAR",
        }));
        self.accessors.len() - 1
    }

    fn add_view(&mut self, start: usize, target: u32) -> usize {
        let length = self.bytes.len() - start;
        self.views.push(json!({ "buffer": 0, "byteOffset": start, "byteLength": length, "target": target }));
        self.views.len() - 1
    }
}

/// The least or greatest of each coordinate, as the exact value of the stored single-precision number.
fn bound(points: &[[f32; 3]], pick: fn(f32, f32) -> f32) -> [f64; 3] {
    let first = points.first().copied().unwrap_or_default();
    let bound = points.iter().fold(first, |b, p| [pick(b[0], p[0]), pick(b[1], p[1]), pick(b[2], p[2])]);
    bound.map(f64::from)
}

/// A mesh with its corners split by face.
struct Flat {
    positions: Vec<[f32; 3]>,
    normals: Vec<[f32; 3]>,
    indices: Vec<u32>,
}

impl Flat {
    fn of(mesh: &SceneMesh) -> Self {
        let mut flat = Flat { positions: Vec::new(), normals: Vec::new(), indices: Vec::new() };
        let mut known = BTreeMap::new();
        for triangle in &mesh.triangles {
            let corners = triangle.map(|i| mesh.positions[i as usize]);
            let Some(normal) = (corners[1] - corners[0]).cross(corners[2] - corners[0]).try_normalize()
            else {
                continue;
            };
            for corner in corners {
                flat.add(&mut known, single(corner), single(normal));
            }
        }
        flat
    }

    /// Adds a corner, or finds it again when a triangle of the same face has used it.
    fn add(&mut self, known: &mut BTreeMap<([u32; 3], [u32; 3]), u32>, position: [f32; 3], normal: [f32; 3]) {
        let key = (position.map(f32::to_bits), normal.map(rounded_bits));
        let index = *known.entry(key).or_insert_with(|| {
            self.positions.push(position);
            self.normals.push(normal);
            (self.positions.len() - 1) as u32
        });
        self.indices.push(index);
    }
}

/// Normals that differ by noise only are the same face.
fn rounded_bits(component: f32) -> u32 {
    ((component * 1e5).round() + 0.0).to_bits()
}

/// Single precision without negative zero.
fn single(point: DVec3) -> [f32; 3] {
    point.as_vec3().to_array().map(|number| number + 0.0)
}

fn document(scene: &Scene, surfaces: &[Option<Surface>], binary: &Binary) -> Value {
    let uses: Vec<(usize, usize)> = first_uses(
        scene
            .nodes
            .iter()
            .filter(|node| surfaces[node.mesh].is_some())
            .map(|node| (node.mesh, node.material)),
    );
    let mut document = json!({
        "asset": { "version": "2.0", "generator": "slatwork" },
        "scene": 0,
        "scenes": [{ "name": scene.name, "nodes": [0] }],
        "nodes": nodes(scene, &uses),
    });
    let parts = [
        ("meshes", meshes(scene, surfaces, &uses)),
        ("materials", scene.materials.iter().map(material).collect()),
        ("accessors", binary.accessors.clone()),
        ("bufferViews", binary.views.clone()),
    ];
    // The standard allows no empty lists.
    for (name, list) in parts.into_iter().filter(|(_, list)| !list.is_empty()) {
        document[name] = Value::Array(list);
    }
    if !binary.bytes.is_empty() {
        document["buffers"] = json!([{ "byteLength": binary.bytes.len() }]);
    }
    document
}

/// Each value once, in the order of first use.
fn first_uses<T: Ord + Copy>(values: impl Iterator<Item = T>) -> Vec<T> {
    let mut seen = std::collections::BTreeSet::new();
    values.filter(|value| seen.insert(*value)).collect()
}

/// The root, which turns z up into y up and millimetres into metres, and under it a node for each part.
fn nodes(scene: &Scene, uses: &[(usize, usize)]) -> Vec<Value> {
    let half = core::f64::consts::FRAC_1_SQRT_2;
    let mut root =
        json!({ "name": scene.name, "rotation": [-half, 0.0, 0.0, half], "scale": [0.001, 0.001, 0.001] });
    if !scene.nodes.is_empty() {
        root["children"] = (1..=scene.nodes.len()).collect();
    }
    let parts = scene.nodes.iter().map(|node| {
        let mut value = Map::new();
        value.insert("name".into(), json!(node.name));
        if let Some(mesh) = uses.iter().position(|used| *used == (node.mesh, node.material)) {
            value.insert("mesh".into(), json!(mesh));
        }
        if node.pose != DAffine3::IDENTITY {
            value.insert("matrix".into(), json!(matrix(&node.pose)));
        }
        if !node.extras.is_empty() {
            value.insert("extras".into(), Value::Object(node.extras.clone()));
        }
        Value::Object(value)
    });
    core::iter::once(root).chain(parts).collect()
}

/// Sixteen numbers, column after column, without negative zeros.
fn matrix(pose: &DAffine3) -> [f64; 16] {
    let axes = [pose.matrix3.x_axis, pose.matrix3.y_axis, pose.matrix3.z_axis, pose.translation];
    let mut numbers = [0.0; 16];
    for (column, axis) in axes.iter().enumerate() {
        for (row, number) in axis.to_array().into_iter().enumerate() {
            numbers[4 * column + row] = number + 0.0;
        }
    }
    numbers[15] = 1.0;
    numbers
}

fn meshes(scene: &Scene, surfaces: &[Option<Surface>], uses: &[(usize, usize)]) -> Vec<Value> {
    let of_use = |(mesh, material): &(usize, usize)| {
        let surface = surfaces[*mesh]?;
        Some(json!({
            "name": scene.meshes[*mesh].name,
            "primitives": [{
                "attributes": { "POSITION": surface.positions, "NORMAL": surface.normals },
                "indices": surface.indices, "material": material,
            }],
        }))
    };
    uses.iter().filter_map(of_use).collect()
}

fn material(own: &SceneMaterial) -> Value {
    let [red, green, blue] = [own.tint.red, own.tint.green, own.tint.blue].map(linear);
    let mut value = json!({
        "name": own.name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [red, green, blue, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.85,
        },
    });
    if !own.extras.is_empty() {
        value["extras"] = Value::Object(own.extras.clone());
    }
    value
}

/// From a screen's channel to light, as the standard wants base colours (IEC 61966-2-1, from memory), to five
/// decimals.
fn linear(channel: u8) -> f64 {
    let value = f64::from(channel) / 255.0;
    let light = if value <= 0.040_45 { value / 12.92 } else { maths::powf((value + 0.055) / 1.055, 2.4) };
    (light * 1e5).round() / 1e5
}

/// Header, JSON padded with blanks, binary padded with zeros: each chunk a multiple of four bytes.
fn container(document: &Value, mut binary: Vec<u8>) -> Vec<u8> {
    let mut text = document.to_string().into_bytes();
    text.resize(text.len().next_multiple_of(4), b' ');
    binary.resize(binary.len().next_multiple_of(4), 0);
    let binary_size = if binary.is_empty() { 0 } else { 8 + binary.len() };
    let total = 12 + 8 + text.len() + binary_size;
    let mut out = Vec::with_capacity(total);
    for number in [MAGIC, 2, total as u32] {
        out.extend_from_slice(&number.to_le_bytes());
    }
    chunk(&mut out, CHUNK_JSON, &text);
    if !binary.is_empty() {
        chunk(&mut out, CHUNK_BINARY, &binary);
    }
    out
}

fn chunk(out: &mut Vec<u8>, kind: u32, bytes: &[u8]) {
    out.extend_from_slice(&(bytes.len() as u32).to_le_bytes());
    out.extend_from_slice(&kind.to_le_bytes());
    out.extend_from_slice(bytes);
}
