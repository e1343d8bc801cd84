//! A board in the making.

use super::fixing::{Fixing, Row};
use crate::{BoardEdge, BoardEnd, Defects, Feature, FeatureKind, Fit, Softened};
use slatwork_base::{Diagnostic, Length, Origin};
use slatwork_catalog::Section;
use slatwork_solid::{
    Across, DAffine3, DMat3, DVec2, DVec3, HalfSpace, Hole, Notch, Profile, Shape, Solid, Tag, Tolerance,
};
use std::cell::OnceCell;
use std::sync::Arc;

/// What of an item a relation holds.
#[derive(Clone, Debug)]
pub(super) enum Anchor {
    /// One of the six sides of the blank box.
    Face(Tag),
    /// A point fixed in board axes.
    Point(DVec3),
    /// The middle between the extremes along the direction.
    Middle,
    /// The extreme against the direction.
    Lowest,
    /// The extreme along the direction.
    Highest,
    /// A place along the direction, taken when the relation was said (a group's reach: boards laid in it later do not move
    /// it).
    Taken(f64),
}

/// How many tags one feature may give away (a cope by a many-sided part).
pub(super) const TAGS_PER_FEATURE: u32 = 64;

/// A board in the making: sizes, how it lies, where it is fixed, what is done to it. Board axes as in [`Shape`].
#[derive(Clone)]
pub(super) struct Draft {
    pub(super) name: String,
    pub(super) group: usize,
    pub(super) section: Arc<Section>,
    pub(super) species: String,
    pub(super) length: Option<Length>,
    pub(super) width: Length,
    pub(super) thickness: Length,
    /// Whether it may be ripped from a wider section.
    pub(super) from_wider: bool,
    pub(super) alone: bool,
    pub(super) defects: Defects,
    /// Strips glued edge to edge; 1 for solid stock.
    pub(super) strips: usize,
    /// Layers glued face to face; 1 for solid stock.
    pub(super) layers: usize,
    /// Board axes to the group's frame.
    pub(super) rotation: DMat3,
    pub(super) fixing: Fixing,
    pub(super) datum: bool,
    /// The outline, once it is more than the rectangle.
    pub(super) outline: Option<Profile>,
    pub(super) across: Across,
    /// The plane that has replaced each end, if it is not square.
    pub(super) end_planes: [Option<HalfSpace>; 2],
    pub(super) edge_planes: [Option<HalfSpace>; 2],
    pub(super) notches: Vec<Notch>,
    pub(super) holes: Vec<Hole>,
    pub(super) features: Vec<Feature>,
    pub(super) softened: Vec<Softened>,
    pub(super) fit: Option<Fit>,
    pub(super) rough_length: Option<Length>,
    pub(super) rough_width: Option<Length>,
    pub(super) tags: u32,
    /// Sides that other parts were placed by, and by which line: they may no longer move.
    pub(super) used: Vec<(Tag, Origin)>,
    pub(super) origin: Origin,
    pub(super) solid: OnceCell<Result<Arc<Solid>, Diagnostic>>,
}

/// The six sides of a blank: tag, unit normal in board axes.
pub(super) const SIDES: [(Tag, DVec3); 6] = [
    (Tag::LOW_END, DVec3::NEG_X),
    (Tag::HIGH_END, DVec3::X),
    (Tag::LOW_EDGE, DVec3::NEG_Y),
    (Tag::HIGH_EDGE, DVec3::Y),
    (Tag::LOW_FACE, DVec3::NEG_Z),
    (Tag::HIGH_FACE, DVec3::Z),
];

impl Draft {
    /// Finished length in mm, or the error that says it is missing.
    pub(super) fn length_mm(&self) -> Result<f64, Diagnostic> {
        self.length.map(Length::as_mm).ok_or_else(|| {
            Diagnostic::error("size-missing", format!("`{}` has no length yet", self.name))
                .at_origin(self.origin)
                .help("say `.length(..)` or `.between(.., ..)` before anything is placed by its ends")
        })
    }

    /// Length (0 while unknown), width and thickness in mm.
    pub(super) fn size(&self) -> DVec3 {
        DVec3::new(self.length.map_or(0.0, Length::as_mm), self.width.as_mm(), self.thickness.as_mm())
    }

    /// Place of the anchor along a direction of the group's frame, with zero translation.
    pub(super) fn anchor_at(&self, row: &Row) -> f64 {
        self.anchor_along(&row.anchor, row.normal)
    }

    pub(super) fn anchor_along(&self, anchor: &Anchor, direction: DVec3) -> f64 {
        let local = self.rotation.transpose() * direction;
        let size = self.size();
        let highest = local.max(DVec3::ZERO).dot(size);
        let lowest = local.min(DVec3::ZERO).dot(size);
        match anchor {
            Anchor::Point(point) => local.dot(*point),
            Anchor::Face(tag) => local.dot(self.face_point(*tag)),
            Anchor::Middle => (highest + lowest) / 2.0,
            Anchor::Lowest => lowest,
            Anchor::Highest => highest,
            Anchor::Taken(place) => *place,
        }
    }

    /// A point of a side, in board axes: the middle of the cut plane where an end is cut, else of the box side.
    pub(super) fn face_point(&self, tag: Tag) -> DVec3 {
        let size = self.size();
        let middle = size / 2.0;
        let along_x = |plane: HalfSpace| {
            let x = (plane.offset - plane.normal.y * middle.y - plane.normal.z * middle.z) / plane.normal.x;
            DVec3::new(x, middle.y, middle.z)
        };
        let along_y = |plane: HalfSpace| {
            let y = (plane.offset - plane.normal.x * middle.x - plane.normal.z * middle.z) / plane.normal.y;
            DVec3::new(middle.x, y, middle.z)
        };
        match tag {
            Tag::LOW_END => self.end_planes[0].map_or(middle.with_x(0.0), along_x),
            Tag::HIGH_END => self.end_planes[1].map_or(middle.with_x(size.x), along_x),
            Tag::LOW_EDGE => self.edge_planes[0].map_or(middle.with_y(0.0), along_y),
            Tag::HIGH_EDGE => self.edge_planes[1].map_or(middle.with_y(size.y), along_y),
            Tag::LOW_FACE => middle.with_z(0.0),
            _ => middle.with_z(size.z),
        }
    }

    /// Outward normal of a side in board axes.
    pub(super) fn face_normal(&self, tag: Tag) -> DVec3 {
        let plane = match tag {
            Tag::LOW_END => self.end_planes[0],
            Tag::HIGH_END => self.end_planes[1],
            Tag::LOW_EDGE => self.edge_planes[0],
            Tag::HIGH_EDGE => self.edge_planes[1],
            _ => None,
        };
        let square = SIDES.iter().find(|(side, _)| *side == tag).map_or(DVec3::Z, |(_, normal)| *normal);
        plane.map_or(square, |plane| plane.normal)
    }

    /// Translation in the group's frame. Directions left free are as if the board lay at the group's origin.
    pub(super) fn translation(&self) -> DVec3 {
        let size = self.size();
        let lowest = |axis: DVec3| (self.rotation.transpose() * axis).min(DVec3::ZERO).dot(size);
        let at_origin = -DVec3::new(lowest(DVec3::X), lowest(DVec3::Y), lowest(DVec3::Z));
        self.fixing.solve(|row| self.anchor_at(row)).translation(at_origin)
    }

    /// Board axes to the group's frame.
    pub(super) fn pose(&self) -> DAffine3 {
        DAffine3::from_mat3_translation(self.rotation, self.translation())
    }

    /// Holds the board where it is now, whatever is done to its sizes later.
    pub(super) fn hold(&mut self, origin: Origin) {
        let pose = self.pose();
        let corner = |axis: DVec3| Row {
            normal: axis,
            target: axis.dot(pose.translation),
            anchor: Anchor::Point(DVec3::ZERO),
            origin,
            words: String::from("it is held in place"),
        };
        self.fixing.rows = vec![corner(DVec3::X), corner(DVec3::Y), corner(DVec3::Z)];
    }

    /// Moves the board's origin by `by` mm in its own axes (negative along x: the low end grows), keeping it where it is in
    /// the world; features keep their place in the wood.
    pub(super) fn shift_origin(&mut self, by: DVec3, origin: Origin) {
        self.hold(origin);
        let along = self.rotation * by;
        for row in &mut self.fixing.rows {
            row.target += row.normal.dot(along);
        }
        let back = -by;
        let flat = self.flat(back);
        if let Some(outline) = &mut self.outline {
            outline.vertices.iter_mut().for_each(|vertex| vertex.point += flat);
        }
        let moved = |plane: &mut HalfSpace| plane.offset += plane.normal.dot(back);
        self.end_planes.iter_mut().chain(&mut self.edge_planes).flatten().for_each(moved);
        self.notches.iter_mut().flat_map(|notch| &mut notch.planes).for_each(moved);
        self.holes.iter_mut().for_each(|hole| hole.start += back);
        for feature in &mut self.features {
            shift_feature(&mut feature.kind, back, flat);
        }
        self.forget_solid();
    }

    /// A vector of board axes in the plane that the outline is drawn in.
    fn flat(&self, vector: DVec3) -> DVec2 {
        match self.across {
            Across::Thickness => DVec2::new(vector.x, vector.y),
            Across::Width => DVec2::new(vector.x, vector.z),
        }
    }

    /// Where an outline has narrowed or shortened the board, its finished size is what its wood reaches; what it was ripped
    /// and cut to stays the rough size.
    pub(super) fn settle_size(&mut self) {
        if self.outline.is_none() || self.across != Across::Thickness {
            return;
        }
        let (Some(length), Ok(solid)) = (self.length, self.solid()) else { return };
        // Of the solid, not of the outline alone: an end cut may take the outline's last corner away.
        let (low, high) = (solid.bounds().min, solid.bounds().max);
        let (along, across) = (Length::mm(high.x - low.x), Length::mm(high.y - low.y));
        let (shorter, narrower) = (length - along > SAME_SIZE, self.width - across > SAME_SIZE);
        if !shorter && !narrower {
            return;
        }
        // Held first: what was said of its old ends and edges still says where it is.
        self.hold(self.origin);
        let mut shift = DVec3::ZERO;
        if shorter {
            self.rough_length = self.rough_length.or(self.length);
            self.length = Some(along + Length::nm(1));
            shift.x = low.x;
        }
        if narrower {
            self.rough_width = Some(self.width);
            self.width = across + Length::nm(1);
            shift.y = low.y;
        }
        self.shift_origin(shift, self.origin);
        self.forget_solid();
    }

    /// The board as data.
    pub(super) fn shape(&self) -> Result<Shape, Diagnostic> {
        let length = self.length_mm()?;
        let size = self.size();
        let mut shape = Shape::board(length, size.y, size.z);
        if let Some(outline) = &self.outline {
            shape.profile = outline.clone();
            shape.across = self.across;
            if self.across == Across::Width {
                shape.high = size.y;
            }
        }
        shape.cuts = self.end_planes.iter().chain(&self.edge_planes).flatten().copied().collect();
        shape.notches.clone_from(&self.notches);
        shape.holes.clone_from(&self.holes);
        Ok(shape)
    }

    /// The solid, built once after each change.
    pub(super) fn solid(&self) -> Result<Arc<Solid>, Diagnostic> {
        self.solid.get_or_init(|| self.build_solid()).clone()
    }

    fn build_solid(&self) -> Result<Arc<Solid>, Diagnostic> {
        let shape = self.shape()?;
        slatwork_solid::build(&shape, &Tolerance::default()).map(Arc::new).map_err(|fault| {
            Diagnostic::error("no-solid", format!("`{}` does not come out as a solid: {fault}", self.name))
                .at_origin(self.origin)
                .help("look at the last cut made to it")
        })
    }

    /// To be called after each change of shape.
    pub(super) fn forget_solid(&mut self) {
        self.solid = OnceCell::new();
    }

    /// First tag for the surfaces of a new feature.
    pub(super) fn next_tag(&mut self) -> Tag {
        let tag = Tag(Tag::FIRST_FREE + self.tags * TAGS_PER_FEATURE);
        self.tags += 1;
        tag
    }

    /// The outline as it is now.
    pub(super) fn profile(&self) -> Result<Profile, Diagnostic> {
        match &self.outline {
            Some(outline) => Ok(outline.clone()),
            None => Ok(Profile::rectangle(self.length_mm()?, self.width.as_mm())),
        }
    }

    /// Records a feature.
    pub(super) fn add(&mut self, kind: FeatureKind, origin: Origin) {
        self.features.push(Feature { kind, when: crate::When::AtBench, origin });
        self.forget_solid();
    }

    /// The side of an end.
    pub(super) fn end_tag(end: BoardEnd) -> Tag {
        match end {
            BoardEnd::Low => Tag::LOW_END,
            BoardEnd::High => Tag::HIGH_END,
        }
    }

    /// The side of an edge.
    pub(super) fn edge_tag(edge: BoardEdge) -> Tag {
        match edge {
            BoardEdge::Low => Tag::LOW_EDGE,
            BoardEdge::High => Tag::HIGH_EDGE,
        }
    }
}

/// Sizes this near are the same.
const SAME_SIZE: Length = Length::nm(1_000);

fn shift_feature(kind: &mut FeatureKind, by: DVec3, flat: DVec2) {
    match kind {
        FeatureKind::BevelRip { plane, .. } | FeatureKind::EndCut { plane, .. } => {
            plane.offset += plane.normal.dot(by)
        }
        FeatureKind::Outline { line, .. } => {
            line.vertices.iter_mut().for_each(|vertex| vertex.point += flat);
        }
        FeatureKind::Notch { regions, from_end, from_edge, .. } => {
            let planes = regions.iter_mut().flat_map(|region| &mut region.planes);
            planes.for_each(|plane| plane.offset += plane.normal.dot(by));
            *from_end += Length::mm(by.x);
            *from_edge += Length::mm(by.y);
        }
        FeatureKind::Hole { hole, .. } => hole.start += by,
        FeatureKind::Rip { .. }
        | FeatureKind::Plane { .. }
        | FeatureKind::Spring { .. }
        | FeatureKind::Soften { .. } => {}
    }
}
