//! Bodies in one view of which some stand out: those with firm lines on a light ground, the others in grey.

use crate::drawing::merge::{Lines, Projected, RoundStretch, Rounds, Stretch};
use crate::drawing::picture::{PaperFrame, SAME_LINE};
use crate::drawing::sight::Sight;
use crate::drawing::view::Camera;
use crate::drawing::visible::{BEHIND, Covers, LEAST_PIECE, outside};
use crate::drawing::wire::{Body, EDGE_ON, Wire, WireEdge, shows};
use crate::sheet::{Figure, Item, LineClass, Scale};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use slatwork_solid::{DVec2, DVec3, EdgeKind};

/// A wire seen from one side.
pub(crate) struct Layered<'a> {
    /// What is there beside what stands.
    pub(crate) wire: &'a Wire,
    /// What stands in its place; none where all is in the wire.
    pub(crate) standing: Option<Standing<'a>>,
    pub(crate) covers: &'a Covers,
    pub(crate) camera: Camera,
    /// The bodies that stand out, by number.
    pub(crate) new: &'a [usize],
}

/// Bodies of a piece that stand in their places.
pub(crate) struct Standing<'a> {
    pub(crate) sight: &'a Sight,
    /// Each body of the piece by itself.
    pub(crate) wires: &'a [Wire],
    /// Which of them stand.
    pub(crate) bodies: &'a [usize],
}

/// How firm a line is, the firmest first.
const CLASSES: [LineClass; 3] = [LineClass::Outline, LineClass::Edge, LineClass::Standing];

impl Layered<'_> {
    /// All its lines and arcs, each once: where two lie on each other the firmer one is drawn.
    pub(crate) fn lines(&self, frame: &PaperFrame) -> Vec<Item> {
        let tolerance = SAME_LINE * frame.scale.denominator;
        let mut straight: [Vec<Stretch>; 3] = Default::default();
        let mut round = [(); 3].map(|()| Rounds::new(tolerance));
        let mut add = |edge: &WireEdge, hidden: &[(f64, f64)], projected: &[Option<Projected>]| {
            let seen = self.left_of(&edge.edge.a, &edge.edge.b, hidden).into_iter();
            let firmness = self.firmness(edge);
            match edge.curve.and_then(|(index, from, to)| Some((projected[index]?, from, to))) {
                Some((own, from, to)) => {
                    let at = |share: f64| from + (to - from) * share;
                    let spans = seen.map(|(start, end)| own.span(at(start), at(end)));
                    spans.for_each(|span| round[firmness].add_visible(own.round, span));
                }
                None => {
                    let at = |share: f64| self.camera.flat(edge.edge.a.lerp(edge.edge.b, share));
                    straight[firmness].extend(seen.map(|(start, end)| (at(start), at(end))));
                }
            }
        };
        let is_shown = |own: &WireEdge| shows(&own.edge, self.camera.toward);
        if let Some(Standing { sight, wires, bodies }) = &self.standing {
            for (body, wire) in bodies.iter().filter_map(|body| Some((*body, wires.get(*body)?))) {
                let (hidden, curves) = (sight.hidden(body, wire), sight.curves(body, wire));
                for (edge, known) in wire.edges.iter().zip(hidden).filter(|(own, _)| is_shown(own)) {
                    add(edge, &self.covers.hidden_beside(known, edge.edge.a, edge.edge.b), curves);
                }
            }
        }
        let projected: Vec<Option<Projected>> =
            self.wire.curves.iter().map(|curve| Projected::of(curve, self.camera)).collect();
        for edge in self.wire.edges.iter().filter(|own| is_shown(own)) {
            add(edge, &self.covers.hidden(edge.edge.a, edge.edge.b), &projected);
        }
        let mut items = Vec::new();
        for (class, (from, to)) in once_each(straight, tolerance) {
            let figure = Figure::Line { from: frame.paper(from), to: frame.paper(to) };
            items.push(Item { class, figure });
        }
        for (class, (own, start, sweep)) in rounds_once_each(&round, tolerance) {
            items.push(Item { class, figure: frame.arc(&own, start, sweep) });
        }
        items
    }

    /// What is seen of a dashed line in space, as stretches on paper.
    pub(crate) fn seen_of(&self, from: DVec3, to: DVec3, frame: &PaperFrame) -> Vec<(DVec2, DVec2)> {
        let at = |share: f64| frame.paper(self.camera.flat(from.lerp(to, share)));
        self.seen(&from, &to).into_iter().map(|(start, end)| (at(start), at(end))).collect()
    }

    fn seen(&self, a: &DVec3, b: &DVec3) -> Vec<(f64, f64)> {
        self.left_of(a, b, &self.covers.hidden(*a, *b))
    }

    /// What hidden stretches leave of the way from `a` to `b`.
    fn left_of(&self, a: &DVec3, b: &DVec3, hidden: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let length = self.camera.flat(*b - *a).length().max(1e-12);
        outside(hidden, LEAST_PIECE / length)
    }

    /// The place of an edge among the classes: a body that stands out has a firm outline of its own.
    fn firmness(&self, own: &WireEdge) -> usize {
        let edge = &own.edge;
        let [one, other] = edge.normals.map(|normal| normal.dot(self.camera.toward) > EDGE_ON);
        match self.new.contains(&own.body) {
            false => 2,
            true if one != other && edge.kind != EdgeKind::HoleRim => 0,
            true => 1,
        }
    }

    /// What is seen of the bodies that stand out, as one region on paper.
    pub(crate) fn ground(&self, bodies: &[(Body<'_>, DVec3)], frame: &PaperFrame) -> Option<Item> {
        let mut seen: Vec<Vec<[f64; 2]>> = Vec::new();
        for (body, shift) in bodies {
            let mirrored = body.pose.matrix3.determinant() < 0.0;
            for face in body.solid.faces() {
                let normal = self.camera.see(body.pose.transform_vector3(face.normal));
                if normal.z < EDGE_ON {
                    continue;
                }
                let place = |p: &DVec3| self.camera.see(body.pose.transform_point3(*p) + *shift);
                let mut rings: Vec<Vec<DVec3>> =
                    face.loops.iter().map(|ring| ring.points.iter().map(place).collect()).collect();
                if mirrored {
                    rings.iter_mut().for_each(|ring| ring.reverse());
                }
                seen.extend(self.uncovered(&rings, normal));
            }
        }
        let whole = seen.overlay(&Vec::<Vec<[f64; 2]>>::new(), OverlayRule::Subject, FillRule::NonZero);
        let ring = |ring: Vec<[f64; 2]>| -> Vec<DVec2> {
            ring.into_iter().map(|p| frame.paper(DVec2::from_array(p))).collect()
        };
        let rings: Vec<Vec<DVec2>> = whole.into_iter().flatten().map(ring).collect();
        (!rings.is_empty()).then_some(Item { class: LineClass::Tint, figure: Figure::Fill { rings } })
    }

    /// A planar face, given in view coordinates, without what lies before it.
    fn uncovered(&self, rings: &[Vec<DVec3>], normal: DVec3) -> Vec<Vec<[f64; 2]>> {
        let flat = |ring: &Vec<DVec3>| -> Vec<[f64; 2]> { ring.iter().map(|p| [p.x, p.y]).collect() };
        let subject: Vec<Vec<[f64; 2]>> = rings.iter().map(flat).collect();
        let Some(origin) = rings.first().and_then(|ring| ring.first()) else { return Vec::new() };
        let corners = || rings[0].iter().map(|p| p.truncate());
        let low = corners().fold(DVec2::INFINITY, DVec2::min);
        let high = corners().fold(DVec2::NEG_INFINITY, DVec2::max);
        let before = |point: DVec3| (point - origin).dot(normal) - BEHIND;
        let clip: Vec<Vec<[f64; 2]>> = self
            .covers
            .over(low, high)
            .filter(|corners| meets(corners.map(DVec3::truncate), low, high))
            .filter_map(|corners| part_before(corners, before))
            .collect();
        if clip.is_empty() {
            return subject;
        }
        let left = subject.overlay(&clip, OverlayRule::Difference, FillRule::NonZero);
        left.into_iter().flatten().collect()
    }
}

/// Whether the box round a triangle meets another.
fn meets(corners: [DVec2; 3], low: DVec2, high: DVec2) -> bool {
    let (least, most) =
        (corners[0].min(corners[1]).min(corners[2]), corners[0].max(corners[1]).max(corners[2]));
    least.cmplt(high).all() && low.cmplt(most).all()
}

/// The part of a triangle where a linear function is positive.
fn part_before(corners: &[DVec3; 3], before: impl Fn(DVec3) -> f64) -> Option<Vec<[f64; 2]>> {
    let heights = corners.map(&before);
    if heights.iter().all(|height| *height <= 0.0) {
        return None;
    }
    let mut part = Vec::with_capacity(4);
    for at in 0..3 {
        let next = (at + 1) % 3;
        let (here, there) = (heights[at], heights[next]);
        if here > 0.0 {
            part.push([corners[at].x, corners[at].y]);
        }
        if (here > 0.0) != (there > 0.0) {
            let crossing = corners[at].lerp(corners[next], here / (here - there));
            part.push([crossing.x, crossing.y]);
        }
    }
    (part.len() > 2).then_some(part)
}

/// Straight lines of each firmness without what firmer ones cover.
fn once_each(straight: [Vec<Stretch>; 3], tolerance: f64) -> Vec<(LineClass, Stretch)> {
    let mut drawn: Vec<(LineClass, Stretch)> = Vec::new();
    for (class, own) in CLASSES.into_iter().zip(straight) {
        let mut lines = Lines::new(tolerance);
        lines.add(drawn.iter().map(|(_, stretch)| *stretch).collect(), own);
        drawn.extend(lines.hidden().into_iter().map(|stretch| (class, stretch)));
    }
    drawn
}

/// The same for round ones.
fn rounds_once_each(round: &[Rounds; 3], tolerance: f64) -> Vec<(LineClass, RoundStretch)> {
    let mut drawn: Vec<(LineClass, RoundStretch)> = Vec::new();
    for (class, own) in CLASSES.into_iter().zip(round) {
        let mut rounds = Rounds::new(tolerance);
        drawn.iter().for_each(|(_, (one, start, sweep))| rounds.add_visible(*one, (*start, start + sweep)));
        own.visible().iter().for_each(|(one, start, sweep)| rounds.add_hidden(*one, (*start, start + sweep)));
        drawn.extend(rounds.hidden().into_iter().map(|stretch| (class, stretch)));
    }
    drawn
}

/// Scale at which something of a size, mm of the piece, fits into a room on paper.
pub(crate) fn scale_into(size: DVec2, room: DVec2) -> Scale {
    Scale { denominator: (size / room.max(DVec2::ONE)).max_element().max(1.0) }
}
