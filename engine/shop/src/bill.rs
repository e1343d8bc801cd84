//! The bill of materials: lumber, hardware, edges, surface, weight.

use crate::demand::Wanted;
use crate::hardware::{HardwareLine, glue_area, hardware_lines};
use indexmap::IndexMap;
use slatwork_base::{Area, Length};
use slatwork_catalog::Catalogue;
use slatwork_model::Model;
use slatwork_solid::{DVec3, Face};

/// What the parts take of one section in one species.
#[derive(Clone, Debug, PartialEq)]
pub struct LumberLine {
    /// Name of the section.
    pub section: String,
    /// Id of the species.
    pub species: String,
    /// Common name of the species.
    pub species_name: String,
    /// Pieces of stock: parts, and strips of glued blanks.
    pub pieces: usize,
    /// Their lengths as first cut, added up; without kerfs and waste.
    pub length: Length,
    /// Board feet of that length at the size the section is sold by, narrower pieces by their share of the width.
    pub board_feet: f64,
}

/// What the finished parts of one species come to.
#[derive(Clone, Debug, PartialEq)]
pub struct WoodLine {
    /// Id of the species.
    pub species: String,
    /// Common name.
    pub species_name: String,
    /// Parts.
    pub parts: usize,
    /// Volume of the finished parts, m3.
    pub volume_m3: f64,
    /// Density, kg/m3, as the catalogue gives it at 12 % moisture.
    pub density_kg_m3: f64,
    /// Mass of the finished parts, kg.
    pub mass_kg: f64,
}

/// Edges rounded to one radius.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EdgeLine {
    /// Radius.
    pub radius: Length,
    /// Edges of all parts.
    pub length: Length,
}

/// The bill of materials.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Bill {
    /// Lumber by section and species.
    pub lumber: Vec<LumberLine>,
    /// Finished wood by species.
    pub wood: Vec<WoodLine>,
    /// Hardware the piece names, then fasteners of the joints, each in the order first asked for.
    pub hardware: Vec<HardwareLine>,
    /// Area spread with glue.
    pub glue: Area,
    /// Rounded edges by radius, the smallest first.
    pub edges: Vec<EdgeLine>,
    /// Surface of all parts, for finish; walls of holes left out.
    pub surface: Area,
}

pub(crate) fn bill(model: &Model, catalogue: &Catalogue, wanted: &[Wanted]) -> Bill {
    Bill {
        lumber: wanted.iter().map(lumber_line).collect(),
        wood: wood_lines(model, catalogue),
        hardware: hardware_lines(model, catalogue),
        glue: glue_area(model),
        edges: edge_lines(model),
        surface: Area::square_mm(model.parts.iter().flat_map(|part| part.solid.faces()).map(face_area).sum()),
    }
}

/// Feet in a metre: 1 / 0.3048, exact since 1959.
const METRES_PER_FOOT: f64 = 0.3048;

fn lumber_line(wanted: &Wanted) -> LumberLine {
    let section = wanted.section;
    let share = |width: Length| (width.as_mm() / section.width.as_mm()).min(1.0);
    let full_width: f64 =
        wanted.pieces.iter().map(|piece| piece.length.as_metre() * share(piece.width)).sum();
    LumberLine {
        section: section.name.clone(),
        species: wanted.species.id.clone(),
        species_name: wanted.species.name.clone(),
        pieces: wanted.pieces.len(),
        length: wanted.pieces.iter().map(|piece| piece.length).sum(),
        board_feet: full_width / METRES_PER_FOOT * section.board_feet_per_foot(),
    }
}

/// Cubic millimetres in a cubic metre.
const MM3_PER_M3: f64 = 1e9;

fn wood_lines(model: &Model, catalogue: &Catalogue) -> Vec<WoodLine> {
    let mut lines: IndexMap<&str, WoodLine> = IndexMap::new();
    for part in &model.parts {
        let Ok(species) = catalogue.species(&part.species) else { continue };
        let line = lines.entry(&species.id).or_insert_with(|| WoodLine {
            species: species.id.clone(),
            species_name: species.name.clone(),
            parts: 0,
            volume_m3: 0.0,
            density_kg_m3: species.density_kg_m3(),
            mass_kg: 0.0,
        });
        line.parts += 1;
        line.volume_m3 += part.solid.volume() / MM3_PER_M3;
        line.mass_kg = line.volume_m3 * line.density_kg_m3;
    }
    lines.into_values().collect()
}

fn edge_lines(model: &Model) -> Vec<EdgeLine> {
    let mut lines: IndexMap<Length, Length> = IndexMap::new();
    for softened in model.parts.iter().flat_map(|part| &part.softened) {
        *lines.entry(softened.radius).or_default() += softened.length;
    }
    lines.sort_unstable_keys();
    lines.into_iter().map(|(radius, length)| EdgeLine { radius, length }).collect()
}

/// Area of a face: its outer loop less the inner ones, which run the other way round.
pub(crate) fn face_area(face: &Face) -> f64 {
    let twice = |points: &[DVec3]| -> DVec3 {
        let from = points[0];
        points.windows(2).map(|pair| (pair[0] - from).cross(pair[1] - from)).sum()
    };
    let loops = face.loops.iter().filter(|rim| !rim.points.is_empty());
    let vector: DVec3 = loops.map(|rim| twice(&rim.points)).sum();
    vector.dot(face.normal).abs() / 2.0
}
