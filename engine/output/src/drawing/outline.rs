//! The true outline of a part at full size, for a template or a machine: lines and exact arcs, holes, and the mark.

use crate::drawing::wire::circle_of;
use crate::sheet::{Anchor, Corner, Figure, LineClass, Paper, Sheet};
use slatwork_base::{Length, Tape, maths};
use slatwork_shop::bit_text;
use slatwork_solid::{Across, DVec2, DVec3, Face, HalfSpace, Hole, Loop, Notch, Shape, Solid, Tag, build};

/// Draws the outline on the side that the board's profile lies on: its wide face, or its edge when it is shaped there.
/// Paper millimetres are millimetres of the board from its datum corner (left end, lower edge), the grain to the
/// right; so the sheet has no margin.
///
/// `CUT` holds what a saw square to the side may follow: the outline of all that is wood anywhere through the board.
/// Where a wall leans or a notch stops short of the other side, less is sawn than the part loses there, and `MARK` holds
/// the outline on each side that differs. `DRILL` has the holes bored from the side shown or through; `MARK` also blind
/// holes from the other side, and `mark`.
pub fn part_outline(solid: &Solid, mark: &str, tape: Tape) -> Sheet {
    let plane = Plane::of(solid);
    let size = plane.size;
    let mut sheet =
        Sheet::new(format!("Outline of {mark}"), Paper { name: "", width: size.x, height: size.y });
    sheet.description = format!("The outline of part {mark} at full size, in millimetres, with its holes.");
    plane.draw_outlines(&mut sheet, solid);
    for hole in &solid.shape().holes {
        plane.draw_hole(&mut sheet, hole, solid, tape);
    }
    let height = (size.y / 6.0).clamp(2.5, 8.0);
    sheet.text(LineClass::Mark, size / 2.0 - DVec2::new(0.0, height / 2.0), height, Anchor::Middle, mark);
    sheet
}

/// A side of a board as it is drawn flat, from the board's datum corner.
pub(crate) struct Plane<'a> {
    shape: &'a Shape,
    /// Which pair of directions is seen: length and width, or length and thickness.
    across: Across,
    low: DVec3,
    pub(crate) size: DVec2,
    /// Out of the board, to the reader.
    pub(crate) toward: DVec3,
}

/// A corner of an outline, and what made the edge that leaves it.
pub(crate) type TaggedCorner = (Corner, Tag);

/// An edge of a facet on paper: its ends, the arc of the profile it stands for, what made it.
#[derive(Clone, Copy)]
struct Facet {
    from: DVec2,
    to: DVec2,
    arc: Option<usize>,
    tag: Tag,
}

/// Normals closer than this to the reader's direction are the side itself, 1 - cos: a twentieth of a degree.
const SAME_SIDE: f64 = 4e-7;
/// Two points of an outline closer than this are one, mm.
const SAME_POINT: f64 = 1e-3;
/// How far the end of a facet may lie off its arc, mm: twice the usual chord.
const OFF_ARC: f64 = 0.1;

impl<'a> Plane<'a> {
    fn of(solid: &'a Solid) -> Self {
        Self::seen(solid, solid.shape().across)
    }

    /// The side that closes a direction: the wide face across the thickness, the edge across the width.
    pub(crate) fn seen(solid: &'a Solid, across: Across) -> Self {
        let shape = solid.shape();
        let (low, high) = (solid.bounds().min, solid.bounds().max);
        let size = high - low;
        let (size, toward) = match across {
            Across::Thickness => (DVec2::new(size.x, size.y), DVec3::Z),
            Across::Width => (DVec2::new(size.x, size.z), DVec3::NEG_Y),
        };
        Plane { shape, across, low, size, toward }
    }

    pub(crate) fn flat(&self, point: DVec3) -> DVec2 {
        let off = point - self.low;
        match self.across {
            Across::Thickness => DVec2::new(off.x, off.y),
            Across::Width => DVec2::new(off.x, off.z),
        }
    }

    /// From the profile's plane to the paper.
    fn profile_origin(&self) -> DVec2 {
        -self.flat(DVec3::ZERO)
    }

    fn draw_outlines(&self, sheet: &mut Sheet, solid: &Solid) {
        let sawn = self.sawn_square(solid);
        let plain = |outline: Vec<TaggedCorner>| outline.into_iter().map(|(corner, _)| corner).collect();
        let outlines = |solid: &Solid, way: DVec3| -> Vec<Vec<Corner>> {
            self.outlines(solid, way).into_iter().map(plain).collect()
        };
        let cut = outlines(sawn.as_ref().unwrap_or(solid), self.toward);
        let closed = |corners: &Vec<Corner>| Figure::Polyline { corners: corners.clone(), closed: true };
        for corners in &cut {
            sheet.draw(LineClass::Cut, closed(corners));
        }
        let mut drawn = cut;
        for corners in [self.toward, -self.toward].into_iter().flat_map(|way| outlines(solid, way)) {
            if !drawn.iter().any(|known| is_same(known, &corners)) {
                sheet.draw(LineClass::Mark, closed(&corners));
                drawn.push(corners);
            }
        }
    }

    /// The board after all sawing square to the side, before leaning walls are pared and stopped notches chopped: what
    /// stands beside a leaning plane on either side is still there. `None` when that is the whole of the work.
    pub(crate) fn sawn_square(&self, solid: &Solid) -> Option<Solid> {
        let own = solid.shape();
        let axis = if self.across == Across::Thickness { 2 } else { 1 };
        let reach = [solid.bounds().min[axis], solid.bounds().max[axis]];
        let mut shape = own.clone();
        for cut in &mut shape.cuts {
            *cut = upright(cut, axis, reach, f64::min);
        }
        for wall in shape.notches.iter_mut().flat_map(|notch| &mut notch.planes) {
            *wall = upright(wall, axis, reach, f64::max);
        }
        shape.notches.retain(|notch| goes_through(notch, axis, reach) && !holds_nothing(notch, axis));
        if shape == *own {
            return None;
        }
        shape.holes.clear();
        let bare = Shape { cuts: Vec::new(), notches: Vec::new(), ..shape.clone() };
        build(&shape, &solid.tolerance()).or_else(|_| build(&bare, &solid.tolerance())).ok()
    }

    /// Outer and inner outlines of each face that looks one way, counter-clockwise on paper, rims of holes left out.
    pub(crate) fn outlines(&self, solid: &Solid, way: DVec3) -> Vec<Vec<TaggedCorner>> {
        let holes: Vec<Tag> = self.shape.holes.iter().map(|hole| hole.tag).collect();
        let is_rim = |l: &Loop| !l.edge_tags.is_empty() && l.edge_tags.iter().all(|tag| holes.contains(tag));
        let of_side =
            |face: &&Face| 1.0 - face.normal.dot(way) < SAME_SIDE && self.is_outermost(face, solid, way);
        let turned = way != self.toward;
        let outline = |l: &Loop| self.corners(l, turned);
        solid
            .faces()
            .iter()
            .filter(of_side)
            .filter_map(|face| face.loops.split_first())
            .flat_map(|(outer, inner)| core::iter::once(outer).chain(inner.iter().filter(|l| !is_rim(l))))
            .map(outline)
            .collect()
    }

    /// Whether a face lies on the board's border, and is not the floor of a notch.
    fn is_outermost(&self, face: &Face, solid: &Solid, way: DVec3) -> bool {
        let bounds = solid.bounds();
        let border = bounds.min.dot(way).max(bounds.max.dot(way));
        (face.offset - border).abs() < OFF_ARC
    }

    /// A loop of facets as lines and exact arcs.
    fn corners(&self, l: &Loop, turned: bool) -> Vec<TaggedCorner> {
        let mut facets: Vec<Facet> = (0..l.points.len())
            .map(|i| {
                let (from, to) = (self.flat(l.points[i]), self.flat(l.points[(i + 1) % l.points.len()]));
                let tag = l.edge_tags[i];
                Facet { from, to, arc: self.arc_of(from, to, tag), tag }
            })
            .collect();
        if turned {
            facets.reverse();
            facets.iter_mut().for_each(|own| core::mem::swap(&mut own.from, &mut own.to));
        }
        // Start at the beginning of a line or of an arc, so that no arc is cut in two by the loop's own start.
        if let Some(start) = (0..facets.len()).find(|i| {
            let before = facets[(i + facets.len() - 1) % facets.len()].arc;
            before.is_none() || before != facets[*i].arc
        }) {
            facets.rotate_left(start);
        }
        let runs: Vec<&[Facet]> = facets.chunk_by(|p, q| p.arc.is_some() && p.arc == q.arc).collect();
        (0..runs.len()).map(|i| (self.corner(&runs, i), runs[i][0].tag)).collect()
    }

    /// The corner that starts a run of facets of one arc, or a line.
    fn corner(&self, runs: &[&[Facet]], index: usize) -> Corner {
        let point = self.start_of(runs, index);
        let run = runs[index];
        let Some(arc) = run[0].arc else { return Corner { point, bulge: 0.0 } };
        let end = self.start_of(runs, (index + 1) % runs.len());
        let (centre, _) = self.circle(arc);
        // The arc turns the way its facets do; the sum of their angles says how far, also beyond half a turn.
        let turn: f64 = run.iter().map(|own| angle_between(own.from - centre, own.to - centre)).sum();
        let first = angle_between(run[0].from - centre, point - centre);
        let last = angle_between(run[run.len() - 1].to - centre, end - centre);
        Corner { point, bulge: maths::tan((turn - first + last) / 4.0) }
    }

    /// Where a run starts: on the true arc, where a saw cut has ended the facets' chord a little off it.
    fn start_of(&self, runs: &[&[Facet]], index: usize) -> DVec2 {
        let before = runs[(index + runs.len() - 1) % runs.len()];
        let run = runs[index];
        let point = run[0].from;
        let (line, arc) = match (before[0].arc, run[0].arc) {
            (None, Some(arc)) => ((before[0].from, before[0].to), arc),
            (Some(arc), None) => ((run[0].to, run[0].from), arc),
            _ => return point,
        };
        let (centre, radius) = self.circle(arc);
        on_circle(line.0, line.1, centre, radius).unwrap_or(point)
    }

    /// The profile's arc that a facet belongs to.
    fn arc_of(&self, a: DVec2, b: DVec2, tag: Tag) -> Option<usize> {
        if self.across != self.shape.across {
            return None;
        }
        let vertices = &self.shape.profile.vertices;
        (0..vertices.len()).find(|i| {
            let vertex = &vertices[*i];
            if vertex.bulge == 0.0 || vertex.tag != tag {
                return false;
            }
            let (centre, radius) = self.circle(*i);
            let on = |p: DVec2| (p.distance(centre) - radius).abs() < OFF_ARC;
            on(a) && on(b) && self.spans(*i, (a + b) / 2.0)
        })
    }

    /// Whether the direction of a point lies within an arc, seen from its centre.
    fn spans(&self, index: usize, point: DVec2) -> bool {
        let vertices = &self.shape.profile.vertices;
        let (centre, _) = self.circle(index);
        let start = vertices[index].point + self.profile_origin() - centre;
        let sweep = 4.0 * maths::atan(vertices[index].bulge);
        let turn = angle_between(start, point - centre);
        let whole =
            if turn * sweep.signum() < -1e-6 { turn + sweep.signum() * 2.0 * maths::PI } else { turn };
        whole.abs() <= sweep.abs() + 1e-6
    }

    /// Centre and radius of an arc of the profile, on paper.
    fn circle(&self, index: usize) -> (DVec2, f64) {
        let vertices = &self.shape.profile.vertices;
        let (vertex, next) = (&vertices[index], vertices[(index + 1) % vertices.len()].point);
        let (centre, radius) = circle_of(vertex.point, next, vertex.bulge);
        (centre + self.profile_origin(), radius)
    }

    /// A circle for each stretch of a hole square to the side shown, its least diameter beside it; a cross for one that
    /// leans. Holes along the side are not seen.
    fn draw_hole(&self, sheet: &mut Sheet, hole: &Hole, solid: &Solid, tape: Tape) {
        let inward = -hole.direction.dot(self.toward);
        if inward.abs() < 0.5 {
            return;
        }
        let thickness = solid.bounds().max.dot(self.toward.abs()) - solid.bounds().min.dot(self.toward.abs());
        let through = hole.steps.iter().any(|step| step.depth >= thickness - SAME_POINT);
        let class = if inward > 0.0 || through { LineClass::Drill } else { LineClass::Mark };
        let centre = self.flat(hole.start);
        if 1.0 - inward.abs() > SAME_SIDE {
            for way in [DVec2::X, DVec2::Y] {
                sheet.line(class, centre - way * CROSS, centre + way * CROSS);
            }
            return;
        }
        for step in &hole.steps {
            sheet.draw(class, Figure::Circle { centre, radius: step.radius });
        }
        let widest = hole.steps.iter().map(|step| step.radius).fold(0.0, f64::max);
        if let Some(step) = hole.steps.last() {
            let at = centre + DVec2::new(widest + 1.0, widest + 1.0);
            sheet.text(
                LineClass::Mark,
                at,
                2.5,
                Anchor::Left,
                format!("Ø {}", bit_text(Length::mm(2.0 * step.radius), tape)),
            );
        }
    }
}

/// A plane square to the side in place of a leaning one: where the leaning one crosses the end of its reach through the
/// board that `pick` names, by the plane's advance there. The least advance leaves all that a cut leaves anywhere; the
/// greatest takes only what a notch takes all the way through. Planes along the side stay.
fn upright(plane: &HalfSpace, axis: usize, reach: [f64; 2], pick: fn(f64, f64) -> f64) -> HalfSpace {
    let lean = plane.normal[axis];
    let mut normal = plane.normal;
    normal[axis] = 0.0;
    let across = normal.length();
    if lean.abs() < UPRIGHT || across < UPRIGHT {
        return *plane;
    }
    let advance = pick(lean * reach[0], lean * reach[1]);
    HalfSpace { normal: normal / across, offset: (plane.offset - advance) / across, tag: plane.tag }
}

/// Whether no wall of a notch is a floor within the board.
fn goes_through(notch: &Notch, axis: usize, reach: [f64; 2]) -> bool {
    let along_side = |wall: &&HalfSpace| 1.0 - wall.normal[axis].abs() < SAME_SIDE;
    let holds_all =
        |wall: &HalfSpace| reach.iter().all(|at| wall.normal[axis] * at <= wall.offset + SAME_POINT);
    notch.planes.iter().filter(along_side).all(holds_all)
}

/// Whether two walls of a notch leave no room between them.
fn holds_nothing(notch: &Notch, axis: usize) -> bool {
    let walls = || notch.planes.iter().filter(|wall| wall.normal[axis].abs() < UPRIGHT);
    walls().any(|a| {
        walls().any(|b| 1.0 + a.normal.dot(b.normal) < SAME_SIDE && a.offset + b.offset < SAME_POINT)
    })
}

/// A plane that leans less than this, as a sine, is square to the side or along it: a thousandth of a millimetre through
/// a thick board.
const UPRIGHT: f64 = 1e-5;

/// Half an arm of a cross that marks a hole, mm.
const CROSS: f64 = 4.0;

/// The angle from one direction to another, positive to the left, within half a turn.
fn angle_between(from: DVec2, to: DVec2) -> f64 {
    maths::atan2(from.perp_dot(to), from.dot(to))
}

/// Where the line through two points meets a circle, nearest to the second; nothing when it does not come close.
fn on_circle(from: DVec2, to: DVec2, centre: DVec2, radius: f64) -> Option<DVec2> {
    let way = (to - from).try_normalize()?;
    let foot = (centre - from).dot(way);
    let off = (from + way * foot).distance(centre);
    let half = radius * radius - off * off;
    let reach = from.distance(to);
    let along = [-1.0, 1.0].map(|side| foot + side * half.max(0.0).sqrt());
    let nearest = if (along[0] - reach).abs() < (along[1] - reach).abs() { along[0] } else { along[1] };
    (half >= 0.0 && (nearest - reach).abs() < 4.0 * OFF_ARC).then(|| from + way * nearest)
}

/// Whether two outlines have the same corners, whichever comes first.
fn is_same(a: &[Corner], b: &[Corner]) -> bool {
    let near = |p: &Corner, q: &Corner| {
        p.point.distance(q.point) < SAME_POINT && (p.bulge - q.bulge).abs() < SAME_POINT
    };
    a.len() == b.len() && a.iter().all(|p| b.iter().any(|q| near(p, q)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_solid::{HoleStep, Profile, Tolerance, Vertex};

    fn cut_of(sheet: &Sheet) -> Vec<Vec<Corner>> {
        let polyline = |item: &crate::Item| match &item.figure {
            Figure::Polyline { corners, .. } if item.class == LineClass::Cut => Some(corners.clone()),
            _ => None,
        };
        sheet.items.iter().filter_map(polyline).collect()
    }

    /// Area inside an outline of lines and arcs, mm^2.
    fn area(corners: &[Corner]) -> f64 {
        let piece = |i: usize| {
            let (a, b) = (corners[i], corners[(i + 1) % corners.len()].point);
            let chord = a.point.perp_dot(b) / 2.0;
            if a.bulge == 0.0 {
                return chord;
            }
            let (_, radius) = circle_of(a.point, b, a.bulge);
            let angle = 4.0 * maths::atan(a.bulge);
            chord + radius * radius * (angle - maths::sin(angle)) / 2.0
        };
        (0..corners.len()).map(piece).sum()
    }

    fn rounded() -> Shape {
        let corner = |x, y, bulge, tag| Vertex { point: DVec2::new(x, y), bulge, tag: Tag(tag) };
        let mut shape = Shape::board(340.0, 80.0, 20.0);
        shape.profile = Profile {
            vertices: vec![
                corner(0.0, 0.0, 0.0, 20),
                corner(300.0, 0.0, 1.0, 21),
                corner(300.0, 80.0, 0.0, 22),
                corner(0.0, 80.0, 0.0, 23),
            ],
        };
        shape
    }

    #[test]
    fn a_round_end_is_one_exact_arc() {
        let solid = build(&rounded(), &Tolerance::default()).unwrap();
        let outlines = cut_of(&part_outline(&solid, "A", Tape::Mm));
        assert_eq!(outlines.len(), 1);
        assert_eq!(outlines[0].len(), 4);
        let true_area = 300.0 * 80.0 + maths::PI * 1600.0 / 2.0;
        assert!((area(&outlines[0]) - true_area).abs() < 1e-6, "{:?}", outlines[0]);
    }

    #[test]
    fn a_saw_cut_ends_the_arc_on_the_true_circle() {
        let mut shape = rounded();
        shape.cuts.push(HalfSpace { normal: DVec3::X, offset: 330.0, tag: Tag(30) });
        let solid = build(&shape, &Tolerance::default()).unwrap();
        let outlines = cut_of(&part_outline(&solid, "A", Tape::Mm));
        let corner =
            outlines[0].iter().find(|c| (c.point.x - 330.0).abs() < 1e-6 && c.point.y < 40.0).unwrap();
        // On the circle of radius 40 about (300, 40), 30 mm right of the centre.
        assert!((corner.point.y - (40.0 - 700.0_f64.sqrt())).abs() < 1e-6, "{corner:?}");
    }

    #[test]
    fn a_bevelled_end_marks_the_other_face_and_holes_are_drilled() {
        let mut shape = Shape::board(200.0, 60.0, 20.0);
        let normal = DVec3::new(1.0, 0.0, 0.5).normalize();
        shape.cuts.push(HalfSpace { normal, offset: normal.dot(DVec3::new(200.0, 0.0, 0.0)), tag: Tag(30) });
        let steps = vec![HoleStep { radius: 3.0, depth: f64::INFINITY }];
        shape.holes.push(Hole {
            start: DVec3::new(50.0, 30.0, 20.0),
            direction: DVec3::NEG_Z,
            steps,
            tag: Tag(31),
        });
        let solid = build(&shape, &Tolerance::default()).unwrap();
        let sheet = part_outline(&solid, "B", Tape::Mm);
        assert_eq!(cut_of(&sheet).len(), 1);
        assert!((area(&cut_of(&sheet)[0]) - 200.0 * 60.0).abs() < 1e-6, "the longer face is cut");
        let marked = sheet
            .items
            .iter()
            .filter(|item| item.class == LineClass::Mark && matches!(item.figure, Figure::Polyline { .. }));
        assert_eq!(marked.count(), 1);
        let hole = Figure::Circle { centre: DVec2::new(50.0, 30.0), radius: 3.0 };
        assert!(sheet.items.iter().any(|item| item.class == LineClass::Drill && item.figure == hole));
    }

    /// A region open at the datum edge, `wide` from it, between two walls across the board.
    fn slot(from: (f64, f64), to: (f64, f64), wide: f64, floor: f64) -> Notch {
        // Each wall through (x at the back face, x at the marked face) of a board 20 thick.
        let wall = |(back, front): (f64, f64), sign: f64| {
            let normal = DVec3::new(20.0, 0.0, back - front).normalize() * sign;
            HalfSpace { normal, offset: normal.x * back, tag: Tag(40) }
        };
        let edge = HalfSpace { normal: DVec3::Y, offset: wide, tag: Tag(41) };
        let bottom = HalfSpace { normal: DVec3::NEG_Z, offset: -floor, tag: Tag(42) };
        Notch { planes: vec![wall(from, -1.0), wall(to, 1.0), edge, bottom] }
    }

    fn marked_of(sheet: &Sheet) -> usize {
        let is_line = |item: &&crate::Item| {
            item.class == LineClass::Mark && matches!(item.figure, Figure::Polyline { .. })
        };
        sheet.items.iter().filter(is_line).count()
    }

    #[test]
    fn of_a_leaning_slot_only_what_goes_all_through_is_sawn() {
        let mut shape = Shape::board(200.0, 60.0, 20.0);
        shape.notches.push(slot((100.0, 108.0), (130.0, 138.0), 15.0, -1.0));
        let solid = build(&shape, &Tolerance::default()).unwrap();
        let sheet = part_outline(&solid, "A", Tape::Mm);
        let cut = cut_of(&sheet);
        assert_eq!(cut.len(), 1);
        assert!((area(&cut[0]) - (200.0 * 60.0 - (130.0 - 108.0) * 15.0)).abs() < 1e-6, "{cut:?}");
        assert_eq!(marked_of(&sheet), 2, "its mouth on either side is marked");
    }

    #[test]
    fn slots_that_lean_too_far_or_stop_short_are_marked_and_not_sawn() {
        for notch in [
            slot((100.0, 130.0), (120.0, 150.0), 15.0, -1.0),
            slot((100.0, 100.0), (130.0, 130.0), 15.0, 8.0),
        ] {
            let mut shape = Shape::board(200.0, 60.0, 20.0);
            shape.notches.push(notch);
            let solid = build(&shape, &Tolerance::default()).unwrap();
            let sheet = part_outline(&solid, "A", Tape::Mm);
            let cut = cut_of(&sheet);
            assert_eq!(cut.len(), 1);
            assert!((area(&cut[0]) - 200.0 * 60.0).abs() < 1e-6, "{cut:?}");
            assert!(marked_of(&sheet) >= 1);
        }
    }

    #[test]
    fn a_square_slot_is_sawn() {
        let mut shape = Shape::board(200.0, 60.0, 20.0);
        shape.notches.push(slot((100.0, 100.0), (130.0, 130.0), 15.0, -1.0));
        let solid = build(&shape, &Tolerance::default()).unwrap();
        let sheet = part_outline(&solid, "A", Tape::Mm);
        assert!((area(&cut_of(&sheet)[0]) - (200.0 * 60.0 - 30.0 * 15.0)).abs() < 1e-6);
        assert_eq!(marked_of(&sheet), 0);
    }
}
