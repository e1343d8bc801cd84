//! What the shop owns: kerfs, limits, reaches and tolerances.

use crate::{Source, Status};
use slatwork_base::{Angle, Length};
use std::collections::BTreeMap;

/// The shop's tools. Every figure is known by its field name in data files and scripts.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Tools {
    /// Width of the crosscut.
    pub crosscut_kerf: Length,
    /// Width of the rip cut.
    pub rip_kerf: Length,
    /// Width of the band-saw cut.
    pub band_saw_kerf: Length,
    /// Width of the jigsaw cut.
    pub jigsaw_kerf: Length,
    /// Left round parts that are nested on a board, beside the saw's own cut: what the marks are off, and what the saw wanders.
    pub nest_margin: Length,
    /// Widest board the crosscut saw cuts square.
    pub crosscut_width: Length,
    /// Thickest board the crosscut saw cuts square.
    pub crosscut_thickness: Length,
    /// Widest rip between blade and fence.
    pub rip_width: Length,
    /// Thickest board the table saw rips square.
    pub rip_depth: Length,
    /// Thickest board the table saw rips at its greatest bevel.
    pub rip_depth_bevelled: Length,
    /// Narrowest strip to rip from a board.
    pub minimum_rip: Length,
    /// Shortest piece to crosscut safely.
    pub minimum_crosscut: Length,
    /// Shortest remainder of a board that is worth keeping.
    pub least_offcut: Length,
    /// Height under the band-saw guide: the thickest stack for gang cutting.
    pub band_saw_depth: Length,
    /// Room between band-saw blade and column.
    pub band_saw_throat: Length,
    /// Deepest hole the long bits drill.
    pub drill_reach: Length,
    /// Longest opening of the clamps.
    pub clamp_reach: Length,
    /// Free room straight behind a screw head for bit and driver.
    pub driver_room: Length,
    /// The same with a right-angle attachment.
    pub angle_driver_room: Length,
    /// Free room behind a hole for drill and bit.
    pub drill_room: Length,
    /// Lost at each end of a board when it is squared.
    pub end_trim: Length,
    /// Extra length of a rough cut.
    pub rough_allowance: Length,
    /// Extra width for each edge that is to be planed.
    pub edge_allowance: Length,
    /// Tolerance of a crosscut to a stop.
    pub crosscut_tolerance: Length,
    /// Tolerance of a rip to the fence.
    pub rip_tolerance: Length,
    /// Tolerance of a hole placed by hand.
    pub hole_tolerance: Length,
    /// Greatest mitre the crosscut saw sets, from square.
    pub mitre_limit: Angle,
    /// Greatest bevel the crosscut saw sets, from square.
    pub bevel_limit: Angle,
    /// Greatest bevel the table saw sets, from square.
    pub rip_bevel_limit: Angle,
    /// Step to which a saw's scale can be set.
    pub angle_step: Angle,
    sources: BTreeMap<&'static str, Source>,
}

/// One figure of the tools.
#[derive(Clone, Debug, PartialEq)]
pub struct ToolSetting {
    /// Field name: `crosscut_kerf`.
    pub name: String,
    /// Its value.
    pub value: ToolValue,
    /// Where it comes from.
    pub source: Source,
}

/// What a figure of the tools may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ToolValue {
    /// A length.
    Length(Length),
    /// An angle.
    Angle(Angle),
}

type LengthField = fn(&mut Tools) -> &mut Length;
type AngleField = fn(&mut Tools) -> &mut Angle;

/// Every length by its name, in the order lists show them.
const LENGTHS: [(&str, LengthField); 26] = [
    ("crosscut_kerf", |tools| &mut tools.crosscut_kerf),
    ("rip_kerf", |tools| &mut tools.rip_kerf),
    ("band_saw_kerf", |tools| &mut tools.band_saw_kerf),
    ("jigsaw_kerf", |tools| &mut tools.jigsaw_kerf),
    ("nest_margin", |tools| &mut tools.nest_margin),
    ("crosscut_width", |tools| &mut tools.crosscut_width),
    ("crosscut_thickness", |tools| &mut tools.crosscut_thickness),
    ("rip_width", |tools| &mut tools.rip_width),
    ("rip_depth", |tools| &mut tools.rip_depth),
    ("rip_depth_bevelled", |tools| &mut tools.rip_depth_bevelled),
    ("minimum_rip", |tools| &mut tools.minimum_rip),
    ("minimum_crosscut", |tools| &mut tools.minimum_crosscut),
    ("least_offcut", |tools| &mut tools.least_offcut),
    ("band_saw_depth", |tools| &mut tools.band_saw_depth),
    ("band_saw_throat", |tools| &mut tools.band_saw_throat),
    ("drill_reach", |tools| &mut tools.drill_reach),
    ("clamp_reach", |tools| &mut tools.clamp_reach),
    ("driver_room", |tools| &mut tools.driver_room),
    ("angle_driver_room", |tools| &mut tools.angle_driver_room),
    ("drill_room", |tools| &mut tools.drill_room),
    ("end_trim", |tools| &mut tools.end_trim),
    ("rough_allowance", |tools| &mut tools.rough_allowance),
    ("edge_allowance", |tools| &mut tools.edge_allowance),
    ("crosscut_tolerance", |tools| &mut tools.crosscut_tolerance),
    ("rip_tolerance", |tools| &mut tools.rip_tolerance),
    ("hole_tolerance", |tools| &mut tools.hole_tolerance),
];

/// Every angle by its name.
const ANGLES: [(&str, AngleField); 4] = [
    ("mitre_limit", |tools| &mut tools.mitre_limit),
    ("bevel_limit", |tools| &mut tools.bevel_limit),
    ("rip_bevel_limit", |tools| &mut tools.rip_bevel_limit),
    ("angle_step", |tools| &mut tools.angle_step),
];

/// Whether a figure of that name is an angle or a length; `None` when there is none of that name.
pub(crate) fn is_angle(name: &str) -> Option<bool> {
    if ANGLES.iter().any(|(known, _)| *known == name) {
        return Some(true);
    }
    LENGTHS.iter().any(|(known, _)| *known == name).then_some(false)
}

impl Tools {
    /// The names of all figures, lengths first.
    pub fn names() -> impl Iterator<Item = &'static str> {
        LENGTHS.iter().map(|(name, _)| *name).chain(ANGLES.iter().map(|(name, _)| *name))
    }

    /// Where a figure comes from.
    pub fn source(&self, name: &str) -> Option<&Source> {
        self.sources.get(name)
    }

    /// Whether a figure is a default of this program rather than the user's.
    pub fn is_default(&self, name: &str) -> bool {
        self.source(name).is_none_or(|source| !matches!(source.status, Status::Stated | Status::Measured))
    }

    /// Whether a square end of that thickness takes two cuts, the piece turned over between them, because the blade does not reach
    /// through: up to twice its reach (common practice, no source).
    pub fn crosscut_from_two_faces(&self, thickness: Length) -> bool {
        thickness > self.crosscut_thickness && thickness <= self.crosscut_thickness + self.crosscut_thickness
    }

    /// Sets one figure; `false` when there is none of that name and sort.
    pub(crate) fn set(&mut self, setting: ToolSetting) -> bool {
        let name = match setting.value {
            ToolValue::Length(value) => {
                LENGTHS.iter().find(|(name, _)| *name == setting.name).map(|(name, field)| {
                    *field(self) = value;
                    *name
                })
            }
            ToolValue::Angle(value) => {
                ANGLES.iter().find(|(name, _)| *name == setting.name).map(|(name, field)| {
                    *field(self) = value;
                    *name
                })
            }
        };
        name.map(|name| self.sources.insert(name, setting.source)).is_some()
    }
}
