//! A small garden bench made of plain shapes, for pictures in tests and in the example: 26 boards, some shaped, one
//! assembly leaning.

use slatwork_base::{Angle, Length};
use slatwork_output::Axis;
use slatwork_output::drawing::{HoleMark, Mark, View};
use slatwork_shop::{Along, BoardSide, BoreStep};
use slatwork_solid::{
    Across, DAffine3, DMat3, DVec2, DVec3, HalfSpace, Hole, HoleStep, Notch, Profile, Shape, Solid, Tag,
    Tolerance, Vertex, build,
};

/// A board of the bench.
pub(crate) struct Part {
    /// Its mark.
    pub(crate) mark: &'static str,
    /// Its name.
    pub(crate) name: String,
    /// Its solid.
    pub(crate) solid: Solid,
    /// Its place.
    pub(crate) pose: DAffine3,
}

/// Distance between the outsides of the legs, mm.
const WIDTH: f64 = 1219.2;
/// Height of the seat's underside, mm.
const SEAT: f64 = 393.7;
/// Depth of the seat frame, mm.
const DEPTH: f64 = 508.0;
const LEAN: f64 = 10.0;

fn axes(x: DVec3, y: DVec3, origin: DVec3) -> DAffine3 {
    DAffine3 { matrix3: DMat3::from_cols(x, y, x.cross(y)), translation: origin }
}

fn solid(shape: &Shape) -> Solid {
    build(shape, &Tolerance::default()).expect("the sample's boards are sound")
}

fn tag(number: u32) -> Tag {
    Tag(Tag::FIRST_FREE + number)
}

fn hole(start: DVec3, direction: DVec3, number: u32) -> Hole {
    let steps = vec![HoleStep { radius: 4.8, depth: 6.0 }, HoleStep { radius: 2.4, depth: f64::INFINITY }];
    Hole { start, direction, steps, tag: tag(number) }
}

/// Places to read on the arrangement: crowded ones among them.
pub(crate) fn places() -> Vec<Mark> {
    let level = |x: f64| Mark { view: View::Top, axis: Axis::Level, at: DVec3::X * x, name: String::new() };
    let height = |z: f64, name: &str| Mark {
        view: View::Side,
        axis: Axis::Upright,
        at: DVec3::Z * z,
        name: name.to_string(),
    };
    let across = [0.0, 38.0, 44.0, 590.0, 1180.0].map(level);
    let up = [height(SEAT, "seat front"), height(SEAT + 2.0, "seat rear"), height(600.0, "arms")];
    across.into_iter().chain(up).collect()
}

/// The holes of a part as a hole list marks them; each starts on the side it is bored into.
pub(crate) fn marks_of(part: &Part) -> Vec<HoleMark> {
    let holes = part.solid.shape().holes.iter().enumerate();
    holes.map(|(index, hole)| mark_of(index + 1, hole)).collect()
}

fn mark_of(number: usize, hole: &Hole) -> HoleMark {
    let axis = hole.direction.abs().max_position();
    let along = Along::ALL[axis];
    let mut from = Length::ZERO;
    let bore = |step: &HoleStep| {
        let to = step.depth.is_finite().then(|| Length::mm(step.depth));
        let bore = BoreStep { diameter: Length::mm(2.0 * step.radius), from, to };
        from = to.unwrap_or(from);
        bore
    };
    HoleMark {
        number,
        side: BoardSide { along, high: hole.direction[axis] < 0.0 },
        at: hole.start,
        bores: hole.steps.iter().map(bore).collect(),
        countersink: None,
        turned: Vec::new(),
        lean: Angle::ZERO,
        purpose: String::from("screw"),
    }
}

/// A slat with two screw holes at each end.
fn slat() -> Shape {
    let mut slat = Shape::board(WIDTH, 88.9, 25.4);
    for (number, (x, y)) in
        [(19.05, 22.2), (19.05, 66.7), (WIDTH - 19.05, 22.2), (WIDTH - 19.05, 66.7)].iter().enumerate()
    {
        slat.holes.push(hole(DVec3::new(*x, *y, 25.4), DVec3::NEG_Z, number as u32));
    }
    slat
}

/// The last slat, notched round both rear legs.
fn notched_slat() -> Shape {
    let mut slat = slat();
    slat.holes.clear();
    for (number, x) in [(20, -1.0), (21, WIDTH - 39.1)] {
        slat.notches.push(block(DVec3::new(x, 50.0, -1.0), DVec3::new(x + 40.1, 100.0, 30.0), tag(number)));
    }
    slat
}

/// The points between two corners, as a region to take away.
fn block(low: DVec3, high: DVec3, tag: Tag) -> Notch {
    let planes = [DVec3::X, DVec3::Y, DVec3::Z].into_iter().flat_map(|axis| {
        [
            HalfSpace { normal: axis, offset: axis.dot(high), tag },
            HalfSpace { normal: -axis, offset: -axis.dot(low), tag },
        ]
    });
    Notch { planes: planes.collect() }
}

/// An arm: rounded at the front, scooped along its inner edge, notched round the rear leg.
pub(crate) fn arm() -> Shape {
    let corner = |x, y, bulge, number| Vertex { point: DVec2::new(x, y), bulge, tag: tag(number) };
    let mut arm = Shape::board(600.0, 120.0, 25.4);
    arm.profile = Profile {
        vertices: vec![
            corner(0.0, 0.0, 0.0, 1),
            corner(540.0, 0.0, 1.0, 2),
            corner(540.0, 120.0, 0.0, 3),
            corner(420.0, 120.0, -0.08, 4),
            corner(140.0, 120.0, 0.0, 5),
            corner(0.0, 120.0, 0.0, 6),
        ],
    };
    arm.notches.push(block(DVec3::new(60.0, -1.0, -1.0), DVec3::new(152.0, 38.1, 30.0), tag(10)));
    arm.holes.push(hole(DVec3::new(520.0, 40.0, 25.4), DVec3::NEG_Z, 11));
    arm.holes.push(hole(DVec3::new(520.0, 80.0, 25.4), DVec3::NEG_Z, 12));
    arm
}

/// The crest: straight below, an arc above.
fn crest() -> Shape {
    let corner = |x, y, bulge, number| Vertex { point: DVec2::new(x, y), bulge, tag: tag(number) };
    let length = WIDTH - 76.2;
    let mut crest = Shape::board(length, 139.7, 25.4);
    crest.profile = Profile {
        vertices: vec![
            corner(0.0, 0.0, 0.0, 1),
            corner(length, 0.0, 0.0, 2),
            corner(length, 70.0, 2.0 * 69.7 / length, 3),
            corner(0.0, 70.0, 0.0, 4),
        ],
    };
    crest
}

/// A stretcher between the legs with mitred ends.
fn brace() -> Shape {
    let mut brace = Shape::board(420.0, 63.5, 38.1);
    let slant = DVec3::new(-1.0, -1.0, 0.0).normalize();
    brace.cuts.push(HalfSpace { normal: slant, offset: slant.dot(DVec3::new(63.5, 0.0, 0.0)), tag: tag(1) });
    let slant = DVec3::new(1.0, 0.0, 0.4).normalize();
    brace.cuts.push(HalfSpace { normal: slant, offset: slant.dot(DVec3::new(420.0, 0.0, 0.0)), tag: tag(2) });
    brace
}

/// A seat bearer hollowed along its upper edge.
fn bearer() -> Shape {
    let corner = |x, z, bulge, number| Vertex { point: DVec2::new(x, z), bulge, tag: tag(number) };
    let mut bearer = Shape::board(DEPTH, 38.1, 88.9);
    bearer.across = Across::Width;
    bearer.low = 0.0;
    bearer.high = 38.1;
    bearer.profile = Profile {
        vertices: vec![
            corner(0.0, 0.0, 0.0, 1),
            corner(DEPTH, 0.0, 0.0, 2),
            corner(DEPTH, 88.9, 0.0, 3),
            corner(DEPTH - 100.0, 88.9, -0.1, 4),
            corner(100.0, 88.9, 0.0, 5),
        ],
    };
    bearer.profile.vertices.push(corner(0.0, 88.9, 0.0, 6));
    bearer
}

/// A stringer with one edge ripped at a bevel, both ends compound, ten holes in the face and one in the edge.
fn stringer() -> Shape {
    let mut stringer = Shape::board(1100.0, 139.7, 38.1);
    let planes = [
        (DVec3::new(0.2, 1.0, 0.3), DVec3::new(1100.0, 120.0, 19.0), 1),
        (DVec3::new(-1.0, 0.25, 0.2), DVec3::new(20.0, 0.0, 0.0), 2),
        (DVec3::new(1.0, 0.4, -0.1), DVec3::new(1080.0, 0.0, 0.0), 3),
    ];
    for (normal, through, number) in planes {
        let normal = normal.normalize();
        stringer.cuts.push(HalfSpace { normal, offset: normal.dot(through), tag: tag(number) });
    }
    for number in 0..10 {
        let at = DVec3::new(80.0 + 95.0 * f64::from(number), 30.0 + 40.0 * f64::from(number % 2), 38.1);
        stringer.holes.push(hole(at, DVec3::NEG_Z, 10 + number));
    }
    stringer.holes.push(hole(DVec3::new(300.0, 0.0, 19.05), DVec3::Y, 20));
    stringer.notches.push(block(DVec3::new(600.0, -1.0, 20.0), DVec3::new(640.0, 30.0, 50.0), tag(30)));
    stringer
}

/// A crest whose upper edge is a curve of twelve arcs, each tighter than the last.
fn swept_crest() -> Shape {
    let mut crest = Shape::board(900.0, 160.0, 25.4);
    let corner = |x, y, bulge, number| Vertex { point: DVec2::new(x, y), bulge, tag: tag(number) };
    let mut vertices = vec![corner(0.0, 0.0, 0.0, 1), corner(900.0, 0.0, 0.0, 2)];
    for step in 0..12 {
        let x = 900.0 - 75.0 * f64::from(step);
        vertices.push(corner(x, 60.0 + 100.0 * (1.0 - ((x - 450.0) / 450.0).powi(2)), 0.02, 3));
    }
    vertices.push(corner(0.0, 60.0, 0.0, 4));
    crest.profile = Profile { vertices };
    crest
}

/// Boards that try the drawing of single parts.
pub(crate) fn trials() -> Vec<Part> {
    let mut parts = Vec::new();
    add(&mut parts, "X", "stringer", &stringer(), DAffine3::IDENTITY);
    add(&mut parts, "Y", "swept crest", &swept_crest(), DAffine3::IDENTITY);
    let mut strip = Shape::board(1800.0, 19.05, 19.05);
    strip.holes.push(hole(DVec3::new(900.0, 9.5, 0.0), DVec3::Z, 1));
    add(&mut parts, "Z", "long strip", &strip, DAffine3::IDENTITY);
    add(&mut parts, "P", "plug block", &Shape::board(30.0, 20.0, 12.0), DAffine3::IDENTITY);
    parts
}

/// The whole bench.
pub(crate) fn bench() -> Vec<Part> {
    let mut parts = Vec::new();
    frame(&mut parts);
    seat(&mut parts);
    back(&mut parts);
    arms(&mut parts);
    parts
}

fn add(parts: &mut Vec<Part>, mark: &'static str, name: &str, shape: &Shape, pose: DAffine3) {
    parts.push(Part { mark, name: name.to_string(), solid: solid(shape), pose });
}

fn lean() -> DAffine3 {
    let turn = DMat3::from_rotation_x(-LEAN.to_radians());
    DAffine3 { matrix3: turn, translation: DVec3::new(0.0, DEPTH, 0.0) }
}

fn frame(parts: &mut Vec<Part>) {
    let leg = Shape::board(600.0, 88.9, 38.1);
    let mut rear = Shape::board(950.0, 88.9, 38.1);
    // The foot of the leaning leg is sawn level.
    let level = lean().inverse().transform_vector3(DVec3::NEG_Z);
    let level = DVec3::new(level.z, level.y, 0.0);
    rear.cuts.push(HalfSpace { normal: level, offset: level.dot(DVec3::new(12.0, 0.0, 0.0)), tag: tag(1) });
    for (name, x) in [("left", 0.0), ("right", WIDTH - 38.1)] {
        let front = axes(DVec3::Z, DVec3::Y, DVec3::new(x + 38.1, 0.0, 0.0));
        add(parts, "A", &format!("front leg, {name}"), &leg, front);
        let standing = axes(DVec3::Z, DVec3::Y, DVec3::new(x + 38.1, -25.0, -12.0));
        add(parts, "B", &format!("rear leg, {name}"), &rear, lean() * standing);
    }
    let rail = Shape::board(WIDTH - 76.2, 88.9, 38.1);
    for (name, y) in [("front", 38.1), ("rear", DEPTH - 20.0)] {
        let pose = axes(DVec3::X, DVec3::Z, DVec3::new(38.1, y, SEAT - 88.9));
        add(parts, "C", &format!("seat rail, {name}"), &rail, pose);
    }
    for (number, x) in [38.1, WIDTH / 2.0 - 19.0, WIDTH - 76.2].iter().enumerate() {
        let pose = axes(DVec3::Y, DVec3::NEG_X, DVec3::new(*x + 38.1, 38.1, SEAT - 88.9));
        add(parts, "D", &format!("seat bearer {}", number + 1), &bearer(), pose);
    }
    let pose = axes(DVec3::Y, DVec3::Z, DVec3::new(WIDTH - 38.1 - 38.1, 60.0, 120.0));
    add(parts, "E", "brace", &brace(), pose);
}

fn seat(parts: &mut Vec<Part>) {
    for number in 0..4 {
        let y = -10.0 + f64::from(number) * 98.4;
        let pose = DAffine3::from_translation(DVec3::new(0.0, y, SEAT));
        add(parts, "F", &format!("seat slat {}", number + 1), &slat(), pose);
    }
    let pose = DAffine3::from_translation(DVec3::new(0.0, -10.0 + 4.0 * 98.4, SEAT));
    add(parts, "G", "seat slat 5", &notched_slat(), pose);
}

fn back(parts: &mut Vec<Part>) {
    let slat = Shape::board(420.0, 63.5, 19.05);
    for number in 0..9 {
        let x = 38.1 + 60.0 + f64::from(number) * 120.0;
        let pose = lean() * axes(DVec3::Z, DVec3::NEG_X, DVec3::new(x + 63.5, 0.0, SEAT + 70.0));
        add(parts, "H", &format!("back slat {}", number + 1), &slat, pose);
    }
    let pose = lean() * axes(DVec3::X, DVec3::Z, DVec3::new(38.1, 25.4, SEAT + 440.0));
    add(parts, "I", "crest", &crest(), pose);
    let low = lean() * axes(DVec3::X, DVec3::Z, DVec3::new(38.1, 38.1, SEAT + 50.0));
    add(parts, "J", "lower back rail", &Shape::board(WIDTH - 76.2, 63.5, 38.1), low);
}

fn arms(parts: &mut Vec<Part>) {
    let right = axes(DVec3::NEG_Y, DVec3::NEG_X, DVec3::new(WIDTH + 10.0, 560.0, 600.0));
    let right = DAffine3 { matrix3: DMat3::from_cols(DVec3::NEG_Y, DVec3::NEG_X, DVec3::NEG_Z), ..right };
    let turned = DAffine3 { translation: right.translation + DVec3::new(0.0, 0.0, 25.4), ..right };
    add(parts, "K", "arm, right", &arm(), turned);
    let left = DAffine3 {
        matrix3: DMat3::from_cols(DVec3::NEG_Y, DVec3::X, DVec3::Z),
        translation: DVec3::new(-10.0, 560.0, 600.0),
    };
    add(parts, "K", "arm, left", &arm(), left);
}
