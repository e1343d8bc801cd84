//! A piece in three dimensions, before any format: meshes, and where each of them stands.

use serde_json::{Map, Value};
use slatwork_base::Diagnostic;
use slatwork_solid::{DAffine3, DVec3, ExactSolid};

/// A colour as screens have it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tint {
    /// Red, 0 to 255 (sRGB).
    pub red: u8,
    /// Green, 0 to 255 (sRGB).
    pub green: u8,
    /// Blue, 0 to 255 (sRGB).
    pub blue: u8,
}

impl Tint {
    /// Wood of no particular species.
    pub const WOOD: Tint = Tint { red: 0xc9, green: 0x9a, blue: 0x62 };
    /// Metal parts.
    pub const METAL: Tint = Tint { red: 0x8d, green: 0x93, blue: 0x98 };

    /// Of one of several woods, counted from 0: each darker than the one before, the fifth as the first.
    pub fn of_wood(index: usize) -> Tint {
        let share = [100, 82, 66, 52][index % 4];
        let darker = |channel: u8| (u32::from(channel) * share / 100) as u8;
        Tint { red: darker(Tint::WOOD.red), green: darker(Tint::WOOD.green), blue: darker(Tint::WOOD.blue) }
    }

    /// From six hexadecimal digits, with or without `#` before them; `None` for anything else.
    pub fn from_hex(text: &str) -> Option<Tint> {
        let digits = text.strip_prefix('#').unwrap_or(text);
        if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
            return None;
        }
        let channel = |at: usize| u8::from_str_radix(&digits[at..at + 2], 16).ok();
        Some(Tint { red: channel(0)?, green: channel(2)?, blue: channel(4)? })
    }
}

/// A surface of triangles, in its own frame.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct SceneMesh {
    /// What it is called.
    pub name: String,
    /// Corners, mm.
    pub positions: Vec<DVec3>,
    /// Triangles by index of their corners, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
}

/// What parts are made of.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneMaterial {
    /// What it is called.
    pub name: String,
    /// Its colour: it tells materials apart and is no likeness.
    pub tint: Tint,
    /// Whatever a reader of the file should know of it.
    pub extras: Map<String, Value>,
}

/// A mesh set in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneNode {
    /// The part's name.
    pub name: String,
    /// Which of the scene's meshes.
    pub mesh: usize,
    /// From the mesh's frame to the world's: x to the right, y to the rear, z up, mm.
    pub pose: DAffine3,
    /// Which of the scene's materials.
    pub material: usize,
    /// Whatever a reader of the file should know of the part.
    pub extras: Map<String, Value>,
}

/// A whole piece: parts that are the same solid share one mesh.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Scene {
    /// What it is called.
    pub name: String,
    /// Every distinct surface.
    pub meshes: Vec<SceneMesh>,
    /// What the parts are made of.
    pub materials: Vec<SceneMaterial>,
    /// Every part.
    pub nodes: Vec<SceneNode>,
}

/// A solid set in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct SolidNode {
    /// The part's name.
    pub name: String,
    /// Which of the scene's solids.
    pub solid: usize,
    /// From the solid's frame to the world's, mm; a turn or mirror and a shift.
    pub pose: DAffine3,
}

/// A whole piece by true surfaces: parts that are the same solid share one.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct SolidScene {
    /// What it is called.
    pub name: String,
    /// Every distinct solid.
    pub solids: Vec<ExactSolid>,
    /// Every part.
    pub nodes: Vec<SolidNode>,
}

impl SolidScene {
    /// Why it cannot be written: the fault `scene-mesh-missing` or `scene-not-finite`.
    pub(crate) fn fault(&self) -> Option<Diagnostic> {
        self.nodes.iter().find_map(|node| {
            let Some(solid) = self.solids.get(node.solid) else {
                let message =
                    format!("`{}` asks for solid {} of {}", node.name, node.solid, self.solids.len());
                return Some(Diagnostic::error("scene-mesh-missing", message));
            };
            let finite = node.pose.is_finite() && solid.corners.iter().all(|corner| corner.is_finite());
            (!finite).then(|| not_finite(&node.name))
        })
    }
}

impl SceneMesh {
    /// Why it cannot be written: the fault `scene-corner-missing` or `scene-not-finite`.
    pub(crate) fn fault(&self) -> Option<Diagnostic> {
        mesh_fault(self)
    }
}

impl Scene {
    /// Why it cannot be written: the fault `scene-mesh-missing`, `scene-material-missing`, `scene-corner-missing` or
    /// `scene-not-finite`.
    pub(crate) fn fault(&self) -> Option<Diagnostic> {
        self.nodes.iter().find_map(|n| self.node_fault(n)).or_else(|| self.meshes.iter().find_map(mesh_fault))
    }

    fn node_fault(&self, node: &SceneNode) -> Option<Diagnostic> {
        if node.mesh >= self.meshes.len() {
            let message = format!("`{}` asks for mesh {} of {}", node.name, node.mesh, self.meshes.len());
            return Some(Diagnostic::error("scene-mesh-missing", message));
        }
        if node.material >= self.materials.len() {
            let (name, asked, count) = (&node.name, node.material, self.materials.len());
            let message = format!("`{name}` asks for material {asked} of {count}");
            return Some(Diagnostic::error("scene-material-missing", message));
        }
        (!node.pose.is_finite()).then(|| not_finite(&node.name))
    }
}

fn mesh_fault(mesh: &SceneMesh) -> Option<Diagnostic> {
    let count = mesh.positions.len();
    if let Some(corner) = mesh.triangles.iter().flatten().find(|i| **i as usize >= count) {
        let message = format!("`{}` asks for corner {corner} of {count}", mesh.name);
        return Some(Diagnostic::error("scene-corner-missing", message));
    }
    (!mesh.positions.iter().all(|p| p.is_finite())).then(|| not_finite(&mesh.name))
}

fn not_finite(name: &str) -> Diagnostic {
    Diagnostic::error("scene-not-finite", format!("`{name}` holds a coordinate that is not a finite number"))
}
