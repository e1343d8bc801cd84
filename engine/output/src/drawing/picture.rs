//! One view of placed bodies, hidden lines taken away, as lines and arcs on paper.

use crate::drawing::merge::{Lines, Projected, Round, RoundStretch, Rounds, Stretch};
use crate::drawing::sight::Sight;
use crate::drawing::view::Camera;
use crate::drawing::visible::{Covers, LEAST_PIECE, outside};
use crate::drawing::wire::{Body, EDGE_ON, Wire, WireEdge, shows};
use crate::sheet::{Figure, Item, LineClass, Scale};
use slatwork_base::maths;
use slatwork_solid::{DVec2, DVec3, EdgeKind, Wall};

/// What becomes of the lines behind something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HiddenLines {
    /// They are left out.
    Removed,
    /// Creases and rims are drawn in [`LineClass::Hidden`].
    Dashed,
}

/// Lines nearer than this on paper are one, mm: a quarter of the finest pen.
pub(crate) const SAME_LINE: f64 = 0.03;
/// Background within this on one side of a line makes it an outline, mm on paper; a narrower gap between two slats
/// would clog with two firm lines.
const OPEN: [f64; 4] = [0.12, 0.4, 0.8, 1.2];
/// A stretch of line is judged every so far, mm on paper.
const JUDGED_EVERY: f64 = 0.8;
/// Halvings that find where an outline turns into an inner edge: 0.8 mm down to a micrometre.
const HALVINGS: u32 = 10;

/// Placed bodies as they are seen from one side.
pub struct Picture {
    camera: Camera,
    low: DVec2,
    high: DVec2,
    visible: Vec<Stretch>,
    hidden: Vec<Stretch>,
    /// What is hidden, without anything of holes.
    creases: Vec<Stretch>,
    arcs: Vec<RoundStretch>,
    hidden_arcs: Vec<RoundStretch>,
    /// Where facets of copes meet.
    joints: Vec<DVec2>,
    covers: Covers,
}

/// A corner so near to where facets meet is there, mm of the piece: ends of lines that were made one lie off by less.
const AT_JOINT: f64 = 0.1;

impl Picture {
    /// Looks at bodies. `scale` only decides which lines are so near on paper that they are one.
    pub fn of(bodies: &[Body<'_>], camera: Camera, hidden: HiddenLines, scale: Scale) -> Picture {
        Self::of_wire(&Wire::of(bodies), camera, hidden, scale)
    }

    pub(crate) fn of_wire(wire: &Wire, camera: Camera, hidden: HiddenLines, scale: Scale) -> Picture {
        let covers = Covers::of(wire, camera);
        let mut drawn = Drawn::new(camera, hidden, scale);
        let projected: Vec<Option<Projected>> =
            wire.curves.iter().map(|c| Projected::of(c, camera)).collect();
        for edge in &wire.edges {
            drawn.add(edge, &projected, || covers.hidden(edge.edge.a, edge.edge.b));
        }
        drawn.joints.extend(wire.joints.iter().map(|point| camera.flat(*point)));
        if hidden == HiddenLines::Dashed {
            drawn.hidden.extend(wire.bores.iter().flat_map(|bore| bore_sides(bore, camera)));
        }
        let flat = || wire.points().map(|p| camera.flat(p));
        let (low, high) =
            (flat().fold(DVec2::INFINITY, DVec2::min), flat().fold(DVec2::NEG_INFINITY, DVec2::max));
        let corners = (!wire.triangles.is_empty()).then_some([low, high]);
        drawn.finish(corners, covers)
    }

    /// All that there is to see in a sight, each body with its wire; hidden lines removed.
    pub(crate) fn of_sight(sight: &Sight, wires: &[Wire], scale: Scale) -> Picture {
        let covers = Covers::all_of(&sight.grid);
        let mut drawn = Drawn::new(sight.camera, HiddenLines::Removed, scale);
        for (body, wire) in wires.iter().enumerate() {
            let (known, curves) = (sight.hidden(body, wire), sight.curves(body, wire));
            for (edge, known) in wire.edges.iter().zip(known) {
                drawn.add(edge, curves, || covers.hidden_beside(known, edge.edge.a, edge.edge.b));
            }
            drawn.joints.extend(wire.joints.iter().map(|point| sight.camera.flat(*point)));
        }
        drawn.finish(sight.whole_box(), covers)
    }

    /// Lower left corner of all that is seen, mm on the view.
    pub fn low(&self) -> DVec2 {
        self.low
    }

    /// Upper right corner of all that is seen, mm on the view.
    pub fn high(&self) -> DVec2 {
        self.high
    }

    /// Width and height, mm of the piece.
    pub fn size(&self) -> DVec2 {
        self.high - self.low
    }

    /// The camera.
    pub fn camera(&self) -> Camera {
        self.camera
    }

    /// Ends of all lines and open arcs, hidden ones too, mm on the view: the corners of what is seen. Where facets of a cope meet
    /// there is none.
    pub(crate) fn corners(&self) -> Vec<DVec2> {
        let lines = self.visible.iter().chain(&self.creases).flat_map(|(a, b)| [*a, *b]);
        let open = |arc: &&RoundStretch| arc.2 < 2.0 * maths::PI - 1e-9;
        let arcs = self.arcs.iter().chain(&self.hidden_arcs).filter(open);
        lines
            .chain(arcs.flat_map(|(round, start, sweep)| [round.point(*start), round.point(start + sweep)]))
            .filter(|corner| !self.joints.iter().any(|joint| joint.distance(*corner) < AT_JOINT))
            .collect()
    }

    pub(crate) fn covers(&self) -> &Covers {
        &self.covers
    }

    /// All its lines and arcs, the view's lower left corner put at `at` on paper.
    pub fn draw(&self, at: DVec2, scale: Scale) -> Vec<Item> {
        let frame = PaperFrame { low: self.low, at, scale };
        let mut items = Vec::new();
        for (from, to) in &self.hidden {
            let figure = Figure::Line { from: frame.paper(*from), to: frame.paper(*to) };
            items.push(Item { class: LineClass::Hidden, figure });
        }
        for (round, start, sweep) in &self.hidden_arcs {
            items.push(Item { class: LineClass::Hidden, figure: frame.arc(round, *start, *sweep) });
        }
        for (from, to) in &self.visible {
            let normal = (*to - *from).perp().normalize_or_zero();
            let length = scale.paper(from.distance(*to));
            for (class, start, end) in self.judged(length, scale, |t| (from.lerp(*to, t), normal)) {
                let figure = Figure::Line {
                    from: frame.paper(from.lerp(*to, start)),
                    to: frame.paper(from.lerp(*to, end)),
                };
                items.push(Item { class, figure });
            }
        }
        for (round, start, sweep) in &self.arcs {
            let length = scale.paper(round.major.length() * sweep);
            let along = |t: f64| start + sweep * t;
            for (class, from, to) in
                self.judged(length, scale, |t| (round.point(along(t)), round.normal(along(t))))
            {
                items.push(Item { class, figure: frame.arc(round, along(from), sweep * (to - from)) });
            }
        }
        items
    }

    /// A line cut up into outline and inner edge: shares of its length from 0 to 1. `at` gives point and unit normal.
    fn judged(
        &self,
        length: f64,
        scale: Scale,
        at: impl Fn(f64) -> (DVec2, DVec2),
    ) -> Vec<(LineClass, f64, f64)> {
        let class = |share: f64| {
            let (point, normal) = at(share);
            if self.is_open(point, normal, scale) { LineClass::Outline } else { LineClass::Edge }
        };
        let steps = (length / JUDGED_EVERY).ceil().clamp(1.0, 2000.0);
        let middle = |step: f64| (step + 0.5) / steps;
        let mut pieces = vec![(class(middle(0.0)), 0.0, 1.0)];
        let mut step = 1.0;
        while step < steps {
            let (here, last) = (class(middle(step)), pieces.len() - 1);
            if here != pieces[last].0 {
                let turn = turning_point(middle(step - 1.0), middle(step), |t| class(t) == here);
                pieces[last].2 = turn;
                pieces.push((here, turn, 1.0));
            }
            step += 1.0;
        }
        pieces
    }

    /// Whether one side of a line at a point is background, far enough to see it.
    fn is_open(&self, point: DVec2, normal: DVec2, scale: Scale) -> bool {
        let open = |side: f64| {
            OPEN.iter().all(|off| !self.covers.is_covered(point + normal * (side * off * scale.denominator)))
        };
        open(1.0) || open(-1.0)
    }
}

/// Where between two shares a condition that holds at the second begins to hold.
fn turning_point(mut before: f64, mut after: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = (before + after) / 2.0;
        if holds(middle) {
            after = middle;
        } else {
            before = middle;
        }
    }
    after
}

/// From the view to the paper: `low` on the view goes to `at` on paper.
pub(crate) struct PaperFrame {
    pub(crate) low: DVec2,
    pub(crate) at: DVec2,
    pub(crate) scale: Scale,
}

impl PaperFrame {
    pub(crate) fn paper(&self, point: DVec2) -> DVec2 {
        self.at + (point - self.low) / self.scale.denominator
    }

    pub(crate) fn arc(&self, round: &Round, start: f64, sweep: f64) -> Figure {
        let centre = self.paper(round.centre);
        let (major, minor) = (round.major / self.scale.denominator, round.minor / self.scale.denominator);
        let whole = sweep >= 2.0 * maths::PI - 1e-9;
        match (round.is_circle(), whole) {
            (true, true) => Figure::Circle { centre, radius: major.length() },
            (true, false) => Figure::Arc { centre, radius: major.length(), start, sweep },
            _ => Figure::Ellipse { centre, major, minor, start, sweep },
        }
    }
}

/// The two sides of a hole seen across its axis, from rim to rim; a point each when it is seen along.
fn bore_sides(wall: &Wall, camera: Camera) -> Vec<Stretch> {
    let side = camera.toward.cross(wall.direction).normalize_or_zero() * wall.radius;
    let rim = |centre: DVec3, normal: DVec3, side: DVec3| {
        let lean = normal.dot(wall.direction);
        let along = if lean.abs() < EDGE_ON { 0.0 } else { normal.dot(side) / lean };
        camera.flat(centre + side - wall.direction * along)
    };
    let [first, last] = wall.end_normals;
    [side, -side].map(|side| (rim(wall.start, first, side), rim(wall.end, last, side))).to_vec()
}

/// What has been found to be drawn, before lines that coincide are made one.
struct Drawn {
    camera: Camera,
    mode: HiddenLines,
    tolerance: f64,
    visible: Vec<Stretch>,
    hidden: Vec<Stretch>,
    creases: Vec<Stretch>,
    rounds: Rounds,
    joints: Vec<DVec2>,
}

impl Drawn {
    fn new(camera: Camera, mode: HiddenLines, scale: Scale) -> Drawn {
        let tolerance = SAME_LINE * scale.denominator;
        Drawn {
            camera,
            mode,
            tolerance,
            visible: Vec::new(),
            hidden: Vec::new(),
            creases: Vec::new(),
            rounds: Rounds::new(tolerance),
            joints: Vec::new(),
        }
    }

    /// Makes lines that coincide one; `corners` of all that is seen, where anything is.
    fn finish(self, corners: Option<[DVec2; 2]>, covers: Covers) -> Picture {
        let mut lines = Lines::new(self.tolerance);
        lines.add(self.visible, self.hidden);
        let [low, high] = corners.unwrap_or([DVec2::ZERO; 2]);
        Picture {
            camera: self.camera,
            low,
            high,
            visible: lines.visible(),
            hidden: lines.hidden(),
            creases: self.creases,
            arcs: self.rounds.visible(),
            hidden_arcs: self.rounds.hidden(),
            joints: self.joints,
            covers,
        }
    }

    /// Adds an edge, of which `hidden` tells the stretches that others cover.
    fn add(
        &mut self,
        wire: &WireEdge,
        projected: &[Option<Projected>],
        hidden: impl FnOnce() -> Vec<(f64, f64)>,
    ) {
        let edge = &wire.edge;
        let dashed = self.mode == HiddenLines::Dashed && edge.kind != EdgeKind::Smooth;
        let facing = shows(edge, self.camera.toward);
        if !facing && !dashed {
            return;
        }
        let covered = if facing { hidden() } else { vec![(0.0, 1.0)] };
        let length = self.camera.flat(edge.b - edge.a).length().max(1e-12);
        let seen = outside(&covered, LEAST_PIECE / length);
        let curve = wire.curve.and_then(|(index, from, to)| Some((projected[index]?, from, to)));
        let camera = self.camera;
        let stretch =
            |(start, end)| (camera.flat(edge.a.lerp(edge.b, start)), camera.flat(edge.a.lerp(edge.b, end)));
        let dashed = if dashed { covered } else { Vec::new() };
        match curve {
            Some((round, from, to)) => {
                let at = |share: f64| from + (to - from) * share;
                let span = |(start, end): (f64, f64)| round.span(at(start), at(end));
                seen.into_iter().for_each(|piece| self.rounds.add_visible(round.round, span(piece)));
                dashed.into_iter().for_each(|piece| self.rounds.add_hidden(round.round, span(piece)));
            }
            None => {
                self.visible.extend(seen.into_iter().map(stretch));
                let dashed: Vec<Stretch> = dashed.into_iter().map(stretch).collect();
                if edge.kind == EdgeKind::Sharp {
                    self.creases.extend(&dashed);
                }
                self.hidden.extend(dashed);
            }
        }
    }
}
