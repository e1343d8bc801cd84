//! A mesh as binary STL: triangles with their normals, in millimetres. One file a part: in one file, parts that touch would
//! share edges, and readers would not call them watertight.

use crate::scene::SceneMesh;
use slatwork_base::Outcome;
use slatwork_solid::DVec3;

/// Bytes of the head, which readers pass over.
const HEAD: usize = 80;

/// Writes a mesh. The faults `scene-corner-missing` and `scene-not-finite`.
pub fn write(mesh: &SceneMesh) -> Outcome<Vec<u8>> {
    if let Some(fault) = mesh.fault() {
        return Outcome::failed(fault);
    }
    let mut bytes = b"slatwork, millimetres".to_vec();
    bytes.resize(HEAD, b' ');
    bytes.extend_from_slice(&(mesh.triangles.len() as u32).to_le_bytes());
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|corner| mesh.positions[corner as usize]);
        let normal = (b - a).cross(c - a).normalize_or_zero();
        [normal, a, b, c].into_iter().for_each(|point| put(&mut bytes, point));
        bytes.extend_from_slice(&[0, 0]);
    }
    Outcome::fine(bytes)
}

fn put(bytes: &mut Vec<u8>, point: DVec3) {
    for value in point.as_vec3().to_array() {
        bytes.extend_from_slice(&(value + 0.0).to_le_bytes());
    }
}
