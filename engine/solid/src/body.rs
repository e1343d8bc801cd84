//! [`Body`]: a shape as convex pieces: the outline drawn out, cut, notched.

use crate::convex::convex_parts;
use crate::exact::Surface;
use crate::outline::{Outline, Segment, Side};
use crate::piece::{Cut, INNER, NO_FACET, Origin, Piece, is_sliver};
use crate::planes::PlaneTable;
use crate::tolerance::{CLIP_SNAP, FARTHEST};
use crate::{Across, Bounds, DVec2, DVec3, HalfSpace, Shape, SolidFault, Tag, Tolerance};

/// What one facet of an arc stands for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Facet {
    pub(crate) segment: Segment,
    /// Area of the whole facet before cuts, mm^2.
    pub(crate) area: f64,
    /// Height of the prism, mm.
    pub(crate) height: f64,
    /// Out of the wood.
    pub(crate) normal: DVec3,
    /// Centre of the arc, in the board.
    pub(crate) centre: DVec3,
}

/// Planes of a facet and of a face are one when their normals differ by less, ...
const SAME_FACET: f64 = 1e-6;
/// ... and their offsets by less, mm: neighbouring facets differ by some thousands of these.
const SAME_FACET_OFFSET: f64 = 1e-3;

impl Facet {
    /// Whether a face with this plane is what is left of the facet.
    pub(crate) fn is_under(&self, normal: DVec3, offset: f64) -> bool {
        let side = if self.segment.area > 0.0 { 1.0 } else { -1.0 };
        let own = self.normal.dot(self.centre) + side * self.segment.radius * self.segment.half_cosine;
        (self.normal - normal).abs().max_element() < SAME_FACET && (own - offset).abs() < SAME_FACET_OFFSET
    }

    /// Its middle, with nothing along the axis.
    fn middle(&self) -> DVec3 {
        let side = if self.segment.area > 0.0 { 1.0 } else { -1.0 };
        self.centre + self.normal * (side * self.segment.radius * self.segment.half_cosine)
    }

    /// The cylinder that it stands for, drawn out along `axis`.
    pub(crate) fn cylinder(&self, axis: DVec3) -> Surface {
        let hollow = self.segment.area <= 0.0;
        Surface::Cylinder { origin: self.centre, axis, radius: self.segment.radius, hollow }
    }

    /// How far the arc reaches along an axis, where it reaches farther than both ends of the facet: the crown of a curve.
    fn crown(&self, axis: DVec3, side: &[DVec3]) -> Option<f64> {
        if self.segment.area <= 0.0 || self.normal.dot(axis) <= self.segment.half_cosine {
            return None;
        }
        let crown = self.centre + axis * self.segment.radius;
        // Square to the axis, so that a facet that looks along it almost or exactly is not measured by rounding; a cut may have
        // taken the crown away.
        let along = axis * self.normal.dot(axis) - self.normal;
        let reach = |point: DVec3| along.dot(point - crown);
        let kept =
            side.iter().any(|&point| reach(point) >= 0.0) && side.iter().any(|&point| reach(point) <= 0.0);
        kept.then(|| axis.dot(crown))
    }
}

/// A line through the board on which the outline passes smoothly, with the normals on either side.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SmoothLine {
    pub(crate) point: DVec2,
    pub(crate) normals: [DVec3; 2],
}

impl SmoothLine {
    /// Whether the facets on both sides lie in one plane, as where a curve turns the other way.
    pub(crate) fn is_flat(&self) -> bool {
        (self.normals[0] - self.normals[1]).abs().max_element() < SAME_FACET
    }
}

/// A side that some feature made, for naming faces that come to light only through other features.
#[derive(Clone, Copy, Debug)]
struct Named {
    plane: u32,
    flipped: bool,
    tag: Tag,
}

/// The wood of a shape without its holes.
#[derive(Clone, Debug)]
pub(crate) struct Body {
    pub(crate) pieces: Vec<Piece>,
    pub(crate) planes: PlaneTable,
    pub(crate) facets: Vec<Facet>,
    pub(crate) smooth: Vec<SmoothLine>,
    named: Vec<Named>,
}

impl Body {
    pub(crate) fn new(shape: &Shape, tolerance: &Tolerance) -> Result<Self, SolidFault> {
        check_numbers(shape)?;
        let outline = Outline::new(&shape.profile, tolerance.chord)?;
        let mut builder = Builder::new(shape);
        builder.draw_out(&outline)?;
        for cut in &shape.cuts {
            builder.cut(&unit(cut)?);
        }
        for notch in &shape.notches {
            let planes = notch.planes.iter().map(unit).collect::<Result<Vec<_>, _>>()?;
            builder.notch(&planes);
        }
        match builder.body.pieces.is_empty() {
            true => Err(SolidFault::Empty),
            false => Ok(builder.body),
        }
    }

    /// The box around the wood, arcs counted as arcs.
    pub(crate) fn bounds(&self) -> Bounds {
        let mut bounds = Bounds::EMPTY;
        for piece in &self.pieces {
            bounds = bounds.union(&piece.bounds());
            for (at, origin) in
                piece.origins().iter().enumerate().filter(|(_, origin)| origin.facet != NO_FACET)
            {
                let side: Vec<DVec3> =
                    piece.side(at).iter().map(|&corner| piece.vertices()[corner as usize]).collect();
                let facet = &self.facets[origin.facet as usize];
                for axis in [DVec3::X, DVec3::Y, DVec3::Z] {
                    if let Some(high) = facet.crown(axis, &side) {
                        bounds.max = bounds.max.max(bounds.max * (DVec3::ONE - axis) + axis * high);
                    }
                    if let Some(low) = facet.crown(-axis, &side) {
                        bounds.min = bounds.min.min(bounds.min * (DVec3::ONE - axis) - axis * low);
                    }
                }
            }
        }
        bounds
    }

    /// The facet that a face with this plane is left of: facets of two arcs may lie in one plane, then the one nearer to `middle`.
    pub(crate) fn facet_under(&self, normal: DVec3, offset: f64, middle: DVec3) -> Option<&Facet> {
        let under = self.facets.iter().filter(|facet| facet.is_under(normal, offset));
        let off = |facet: &Facet| facet.middle().distance_squared(middle);
        under.min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    /// The feature whose wall lies in this plane and looks this way.
    pub(crate) fn name_of(&self, plane: u32, flipped: bool) -> Option<Tag> {
        self.named
            .iter()
            .find(|named| (named.plane, named.flipped) == (plane, flipped))
            .map(|named| named.tag)
    }

    /// The feature whose wall looks this way and lies nearest to this plane.
    pub(crate) fn name_near(&self, plane: u32, flipped: bool) -> Option<Tag> {
        let oriented = |plane: u32, flipped: bool| {
            let sign = if flipped { -1.0 } else { 1.0 };
            (self.planes.normal(plane) * sign, self.planes.offset(plane) * sign)
        };
        let (normal, offset) = oriented(plane, flipped);
        let off = |named: &Named| {
            let (have, at) = oriented(named.plane, named.flipped);
            (at - offset).abs() + (have - normal).length() * 1e3
        };
        self.named.iter().min_by(|a, b| off(a).total_cmp(&off(b))).map(|named| named.tag)
    }
}

fn check_numbers(shape: &Shape) -> Result<(), SolidFault> {
    check_sizes([shape.low, shape.high])?;
    for vertex in &shape.profile.vertices {
        check_sizes([vertex.point.x, vertex.point.y, vertex.bulge])?;
    }
    for hole in &shape.holes {
        check_sizes(hole.start.to_array())?;
        check_sizes(hole.direction.to_array())?;
        check_sizes(hole.steps.iter().map(|step| step.radius))?;
        // A depth may be infinite: through.
        if hole.steps.iter().any(|step| step.depth.is_nan()) {
            return Err(SolidFault::NotFinite);
        }
    }
    if shape.high - shape.low < CLIP_SNAP { Err(SolidFault::NoThickness) } else { Ok(()) }
}

fn check_sizes(sizes: impl IntoIterator<Item = f64>) -> Result<(), SolidFault> {
    sizes.into_iter().try_for_each(|size| match size.abs() {
        size if !size.is_finite() => Err(SolidFault::NotFinite),
        size if size > FARTHEST => Err(SolidFault::TooLarge),
        _ => Ok(()),
    })
}

/// The half-space with a normal of length 1.
fn unit(half: &HalfSpace) -> Result<HalfSpace, SolidFault> {
    let length = half.normal.length();
    if !(length.is_finite() && length > 0.0 && half.offset.is_finite()) {
        return Err(SolidFault::NotFinite);
    }
    // A normal that is a unit already keeps its bits.
    if (length - 1.0).abs() < 1e-15 {
        return Ok(*half);
    }
    Ok(HalfSpace { normal: half.normal / length, offset: half.offset / length, tag: half.tag })
}

/// The same plane, the other side kept.
fn flipped(half: &HalfSpace) -> HalfSpace {
    HalfSpace { normal: -half.normal, offset: -half.offset, tag: half.tag }
}

/// From the outline's plane into the board.
#[derive(Clone, Copy)]
pub(crate) struct Lift {
    across: Across,
}

impl Lift {
    pub(crate) fn new(across: Across) -> Self {
        Lift { across }
    }

    pub(crate) fn point(self, flat: DVec2, depth: f64) -> DVec3 {
        match self.across {
            Across::Thickness => DVec3::new(flat.x, flat.y, depth),
            Across::Width => DVec3::new(flat.x, depth, flat.y),
        }
    }

    /// A point of the board, seen along the direction of drawing.
    pub(crate) fn flat(self, point: DVec3) -> DVec2 {
        match self.across {
            Across::Thickness => DVec2::new(point.x, point.y),
            Across::Width => DVec2::new(point.x, point.z),
        }
    }

    /// Outward normal of a side that runs along `edge` of a counter-clockwise outline.
    pub(crate) fn normal(self, edge: DVec2) -> DVec3 {
        self.point(-edge.perp().normalize(), 0.0)
    }

    /// The direction of drawing.
    pub(crate) fn axis(self) -> DVec3 {
        self.point(DVec2::ZERO, 1.0)
    }

    /// Whether a counter-clockwise outline looks clockwise against the direction of drawing.
    pub(crate) fn mirrors(self) -> bool {
        self.across == Across::Width
    }

    pub(crate) fn cap_tags(self) -> [Tag; 2] {
        match self.across {
            Across::Thickness => [Tag::LOW_FACE, Tag::HIGH_FACE],
            Across::Width => [Tag::LOW_EDGE, Tag::HIGH_EDGE],
        }
    }
}

struct Builder {
    lift: Lift,
    low: f64,
    high: f64,
    body: Body,
}

type SideOfPiece = (HalfSpace, Origin, Vec<u32>);

impl Builder {
    fn new(shape: &Shape) -> Self {
        Builder {
            lift: Lift::new(shape.across),
            low: shape.low,
            high: shape.high,
            body: Body {
                pieces: Vec::new(),
                planes: PlaneTable::default(),
                facets: Vec::new(),
                smooth: Vec::new(),
                named: Vec::new(),
            },
        }
    }

    fn place(&mut self, half: &HalfSpace) -> Origin {
        let (plane, flipped) = self.body.planes.place(half.normal, half.offset);
        Origin { plane, flipped, facet: NO_FACET }
    }

    fn name(&mut self, origin: Origin, tag: Tag) {
        self.body.named.push(Named { plane: origin.plane, flipped: origin.flipped, tag });
    }

    /// The outline as convex prisms.
    fn draw_out(&mut self, outline: &Outline) -> Result<(), SolidFault> {
        let crossing = SolidFault::SelfCrossing { at: outline.points[0] };
        let parts = convex_parts(outline).ok_or(crossing)?;
        self.note_smooth(outline);
        let sides: Vec<(HalfSpace, Origin)> =
            (0..outline.points.len()).map(|at| self.outline_side(outline, at)).collect();
        let caps = self.caps();
        for part in parts {
            let piece = self.prism(outline, &sides, &caps, &part);
            self.body.pieces.push(piece);
        }
        Ok(())
    }

    fn note_smooth(&mut self, outline: &Outline) {
        let lift = self.lift;
        let line = |corner: &crate::outline::SmoothCorner| SmoothLine {
            point: corner.point,
            normals: [lift.normal(corner.before), lift.normal(corner.after)],
        };
        self.body.smooth = outline.smooth.iter().map(line).collect();
        self.body
            .smooth
            .sort_by(|a, b| a.point.x.total_cmp(&b.point.x).then(a.point.y.total_cmp(&b.point.y)));
    }

    fn outline_side(&mut self, outline: &Outline, at: usize) -> (HalfSpace, Origin) {
        let (from, to) = (outline.points[at], outline.points[outline.next(at)]);
        let half = self.upright(from, to, outline.sides[at].tag);
        let facet = self.facet(&outline.sides[at], (to - from).length(), half.normal);
        let origin = Origin { facet, ..self.place(&half) };
        self.name(origin, half.tag);
        (half, origin)
    }

    fn upright(&self, from: DVec2, to: DVec2, tag: Tag) -> HalfSpace {
        let normal = self.lift.normal(to - from);
        HalfSpace { normal, offset: normal.dot(self.lift.point((from + to) * 0.5, 0.0)), tag }
    }

    fn facet(&mut self, side: &Side, length: f64, normal: DVec3) -> u32 {
        let Some(segment) = side.segment else { return NO_FACET };
        let height = self.high - self.low;
        let centre = self.lift.point(segment.centre, 0.0);
        self.body.facets.push(Facet { segment, area: length * height, height, normal, centre });
        self.body.facets.len() as u32 - 1
    }

    fn caps(&mut self) -> [(HalfSpace, Origin); 2] {
        let (axis, tags) = (self.lift.axis(), self.lift.cap_tags());
        let low = HalfSpace { normal: -axis, offset: -self.low, tag: tags[0] };
        let high = HalfSpace { normal: axis, offset: self.high, tag: tags[1] };
        [low, high].map(|half| {
            let origin = self.place(&half);
            self.name(origin, half.tag);
            (half, origin)
        })
    }

    fn prism(
        &mut self,
        outline: &Outline,
        sides: &[(HalfSpace, Origin)],
        caps: &[(HalfSpace, Origin); 2],
        part: &[u32],
    ) -> Piece {
        let count = part.len() as u32;
        let flat = |corner: &u32| outline.points[*corner as usize];
        let low = part.iter().map(|corner| self.lift.point(flat(corner), self.low));
        let high = part.iter().map(|corner| self.lift.point(flat(corner), self.high));
        let vertices: Vec<DVec3> = low.chain(high).collect();
        let mut faces: Vec<SideOfPiece> = vec![
            (caps[0].0, caps[0].1, (0..count).rev().collect()),
            (caps[1].0, caps[1].1, (count..2 * count).collect()),
        ];
        for place in 0..count {
            let next = (place + 1) % count;
            let (from, to) = (part[place as usize] as usize, part[next as usize] as usize);
            let (half, origin) = if outline.next(from) == to {
                sides[from]
            } else {
                let half = self.upright(outline.points[from], outline.points[to], INNER);
                (half, self.place(&half))
            };
            faces.push((half, origin, vec![place, next, next + count, place + count]));
        }
        if self.lift.mirrors() {
            faces.iter_mut().for_each(|face| face.2.reverse());
        }
        Piece::from_sides(vertices, &faces)
    }

    fn cut(&mut self, half: &HalfSpace) {
        let origin = self.place(half);
        self.name(origin, half.tag);
        let pieces = std::mem::take(&mut self.body.pieces);
        for piece in pieces {
            match piece.clip(half, origin) {
                Cut::Whole => self.body.pieces.push(piece),
                Cut::Part(left) if !is_sliver(&left) => self.body.pieces.push(left),
                Cut::Part(_) | Cut::Nothing => {}
            }
        }
    }

    fn notch(&mut self, planes: &[HalfSpace]) {
        if planes.is_empty() {
            return;
        }
        let origins: Vec<Origin> = planes.iter().map(|half| self.place(half)).collect();
        for (half, origin) in planes.iter().zip(&origins) {
            self.name(Origin { flipped: !origin.flipped, ..*origin }, half.tag);
        }
        let pieces = std::mem::take(&mut self.body.pieces);
        for piece in pieces {
            match subtract(&piece, planes, &origins) {
                Some(left) => self.body.pieces.extend(left),
                None => self.body.pieces.push(piece),
            }
        }
    }
}

/// What a convex region leaves of a piece, as pieces; `None` when it does not reach the piece.
fn subtract(piece: &Piece, planes: &[HalfSpace], origins: &[Origin]) -> Option<Vec<Piece>> {
    if !piece.may_meet(planes) {
        return None;
    }
    let mut left = Vec::with_capacity(planes.len());
    let mut inside: Option<Piece> = None;
    for (half, origin) in planes.iter().zip(origins) {
        let rest = inside.as_ref().unwrap_or(piece);
        let outward = Origin { flipped: !origin.flipped, ..*origin };
        if let Cut::Part(outside) = rest.clip(&flipped(half), outward) {
            left.push(outside);
        }
        match rest.clip(&HalfSpace { tag: INNER, ..*half }, *origin) {
            Cut::Whole => {}
            Cut::Part(part) => inside = Some(part),
            Cut::Nothing => return None,
        }
    }
    if is_sliver(inside.as_ref().unwrap_or(piece)) {
        return None;
    }
    left.retain(|part| !is_sliver(part));
    Some(left)
}
