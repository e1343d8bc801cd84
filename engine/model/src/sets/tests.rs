use super::*;
use crate::{Blank, Feature, FeatureKind, GroupId, Softened, When};
use proptest::prelude::*;
use slatwork_base::{Angle, Length, Origin};
use slatwork_solid::{
    Across, DMat3, DQuat, DVec2, DVec3, HalfSpace, Hole, HoleStep, Notch, Profile, Shape, Tag, Tolerance,
    Vertex, build,
};
use std::sync::Arc;

const SIZE: DVec3 = DVec3::new(600.0, 90.0, 38.0);

fn part(name: &str, shape: Shape) -> Part {
    let solid = build(&shape, &Tolerance::default()).expect("the test's shape is a solid");
    let size = solid.bounds().size();
    Part {
        id: PartId(0),
        name: name.to_string(),
        group: GroupId(0),
        section: String::from("2x4"),
        species: String::from("white_oak"),
        blank: Blank::Solid,
        from_wider: false,
        alone: false,
        defects: crate::Defects::None,
        length: Length::mm(size.x),
        width: Length::mm(size.y),
        thickness: Length::mm(size.z),
        rough_length: Length::mm(size.x),
        rough_width: Length::mm(size.y),
        fit: None,
        features: Vec::new(),
        softened: Vec::new(),
        shape,
        solid: Arc::new(solid),
        pose: DAffine3::IDENTITY,
        set: SetId(0),
        origin: Origin::NOWHERE,
    }
}

fn numbered(mut parts: Vec<Part>) -> Vec<Part> {
    parts.iter_mut().enumerate().for_each(|(index, part)| part.id = PartId(index));
    parts
}

fn sets_of(parts: Vec<Part>) -> (Vec<PartSet>, Vec<Part>) {
    let mut parts = numbered(parts);
    (find_sets(&mut parts), parts)
}

fn plain() -> Shape {
    Shape::board(SIZE.x, SIZE.y, SIZE.z)
}

/// A shape moved by a signed permutation of board axes and back into the positive corner: built the other way round.
fn moved(shape: &Shape, turn: DMat3) -> Shape {
    let shift = -(turn * SIZE).min(DVec3::ZERO);
    let point = |p: DVec3| turn * p + shift;
    let plane = |h: &HalfSpace| {
        let normal = turn * h.normal;
        HalfSpace { normal, offset: h.offset + normal.dot(shift), tag: h.tag }
    };
    let mut vertices: Vec<Vertex> = shape
        .profile
        .vertices
        .iter()
        .map(|v| {
            let p = point(v.point.extend(0.0));
            Vertex { point: DVec2::new(p.x, p.y), ..*v }
        })
        .collect();
    // A mirrored outline runs the other way round: reverse it, each edge keeping its own bulge and tag.
    if turn.x_axis.x * turn.y_axis.y < 0.0 {
        let edges: Vec<(f64, Tag)> = vertices.iter().map(|v| (v.bulge, v.tag)).collect();
        vertices.reverse();
        let count = vertices.len();
        for (index, vertex) in vertices.iter_mut().enumerate() {
            (vertex.bulge, vertex.tag) = edges[(2 * count - 2 - index) % count];
        }
    }
    Shape {
        profile: Profile { vertices },
        across: shape.across,
        low: shape.low,
        high: shape.high,
        cuts: shape.cuts.iter().map(plane).collect(),
        notches: shape
            .notches
            .iter()
            .map(|n| Notch { planes: n.planes.iter().rev().map(plane).collect() })
            .collect(),
        holes: shape
            .holes
            .iter()
            .rev()
            .map(|h| Hole { start: point(h.start), direction: turn * h.direction, ..h.clone() })
            .collect(),
    }
}

fn turn(x: f64, y: f64, z: f64) -> DMat3 {
    DMat3::from_diagonal(DVec3::new(x, y, z))
}

const HALF_TURNS: [(f64, f64, f64); 4] =
    [(1.0, 1.0, 1.0), (1.0, -1.0, -1.0), (-1.0, 1.0, -1.0), (-1.0, -1.0, 1.0)];
const REFLECTIONS: [(f64, f64, f64); 4] =
    [(-1.0, 1.0, 1.0), (1.0, -1.0, 1.0), (1.0, 1.0, -1.0), (-1.0, -1.0, -1.0)];

fn cut(x: f64, y: f64, z: f64, through: DVec3, tag: u32) -> HalfSpace {
    let normal = DVec3::new(x, y, z).normalize();
    HalfSpace { normal, offset: normal.dot(through), tag: Tag(tag) }
}

/// A region of box shape between two corners.
fn box_notch(low: DVec3, high: DVec3, tag: u32) -> Notch {
    let sides = [(DVec3::X, high.x), (DVec3::Y, high.y), (DVec3::Z, high.z)];
    let upper = sides.iter().map(|&(normal, offset)| HalfSpace { normal, offset, tag: Tag(tag) });
    let lows = [(DVec3::NEG_X, -low.x), (DVec3::NEG_Y, -low.y), (DVec3::NEG_Z, -low.z)];
    let lower = lows.iter().map(|&(normal, offset)| HalfSpace { normal, offset, tag: Tag(tag) });
    Notch { planes: upper.chain(lower).collect() }
}

fn bore(start: DVec3, direction: DVec3, radius: f64, depth: f64, tag: u32) -> Hole {
    Hole { start, direction: direction.normalize(), steps: vec![HoleStep { radius, depth }], tag: Tag(tag) }
}

/// A mitred end, a corner notch and a blind hole: has a hand.
fn handed() -> Shape {
    let mut shape = plain();
    shape.cuts.push(cut(1.0, 0.3, 0.0, DVec3::new(580.0, 0.0, 0.0), 16));
    shape.notches.push(box_notch(DVec3::new(100.0, -1.0, -1.0), DVec3::new(140.0, 30.0, 39.0), 32));
    shape.holes.push(bore(DVec3::new(300.0, 45.0, 38.0), DVec3::NEG_Z, 4.0, 20.0, 48));
    shape
}

/// An arched upper edge and a countersunk hole off centre.
fn arched() -> Shape {
    let mut shape = plain();
    shape.profile.vertices[2].point.y = 60.0;
    shape.profile.vertices[2].bulge = 0.0;
    let corner = |x: f64, y: f64, bulge: f64, tag| Vertex { point: DVec2::new(x, y), bulge, tag };
    shape.profile.vertices = vec![
        corner(0.0, 0.0, 0.0, Tag::LOW_EDGE),
        corner(600.0, 0.0, 0.0, Tag::HIGH_END),
        corner(600.0, 60.0, 0.1, Tag::HIGH_EDGE),
        corner(0.0, 60.0, 0.0, Tag::LOW_END),
    ];
    shape
}

#[test]
fn equal_slats_are_one_set_and_neutral() {
    let (sets, parts) =
        sets_of(vec![part("seat slat 1", plain()), part("rail", handed()), part("seat slat 2", plain())]);
    assert_eq!(sets.len(), 2);
    assert_eq!(
        (sets[0].name.as_str(), sets[0].mark.as_str(), sets[0].hand),
        ("seat slat", "A", Hand::Neutral)
    );
    assert_eq!(sets[0].parts, [PartId(0), PartId(2)]);
    assert_eq!((sets[1].name.as_str(), sets[1].mark.as_str(), sets[1].hand), ("rail", "B", Hand::Single));
    assert_eq!(parts.iter().map(|part| part.set.0).collect::<Vec<_>>(), [0, 1, 0]);
}

#[test]
fn a_mirrored_pair_is_two_sets_named_by_their_place() {
    for (x, y, z) in REFLECTIONS {
        let mut right = part("arm post", handed());
        right.pose = DAffine3::from_translation(DVec3::new(900.0, 0.0, 0.0));
        let left = part("arm post 2", moved(&handed(), turn(x, y, z)));
        let (sets, _) = sets_of(vec![right, part("slat", plain()), left]);
        let seen: Vec<(&str, &str, Hand)> =
            sets.iter().map(|s| (s.mark.as_str(), s.name.as_str(), s.hand)).collect();
        let expected = [
            ("A", "left arm post", Hand::PairWith(SetId(1))),
            ("B", "right arm post", Hand::PairWith(SetId(0))),
            ("C", "slat", Hand::Neutral),
        ];
        assert_eq!(seen, expected, "reflected by {x} {y} {z}");
    }
}

#[test]
fn a_board_built_the_other_way_round_is_the_same() {
    for shape in [plain(), handed()] {
        for (x, y, z) in HALF_TURNS {
            let (sets, parts) =
                sets_of(vec![part("a", shape.clone()), part("b", moved(&shape, turn(x, y, z)))]);
            assert_eq!(sets.len(), 1, "turned by {x} {y} {z}");
            let turned = turn_between(&parts[0], &parts[1]).expect("they are alike");
            let corner = turned.transform_point3(parts[0].solid.centroid());
            assert!(corner.distance(parts[1].solid.centroid()) < 1e-6);
        }
    }
}

#[test]
fn a_curved_part_is_found_turned_and_neutral() {
    let over = moved(&arched(), turn(-1.0, 1.0, -1.0));
    let (sets, _) = sets_of(vec![part("crest", arched()), part("crest 2", over)]);
    assert_eq!(sets.len(), 1);
    assert_eq!(sets[0].hand, Hand::Neutral);
}

/// A hole bored from either face, or started in the air above it, is the same hole; a blind one of another depth is not.
#[test]
fn only_the_bore_in_the_wood_counts() {
    let with = |hole: Hole| Shape { holes: vec![hole], ..plain() };
    let above = bore(DVec3::new(200.0, 45.0, 60.0), DVec3::NEG_Z, 5.0, f64::INFINITY, 16);
    let below = bore(DVec3::new(200.0, 45.0, 0.0), DVec3::Z, 5.0, f64::INFINITY, 16);
    let (sets, _) = sets_of(vec![part("a", with(above)), part("b", with(below))]);
    assert_eq!(sets.len(), 1);
    let deep = bore(DVec3::new(200.0, 45.0, 38.0), DVec3::NEG_Z, 5.0, 20.0, 16);
    let deeper = bore(DVec3::new(200.0, 45.0, 38.0), DVec3::NEG_Z, 5.0, 20.1, 16);
    let (sets, _) = sets_of(vec![part("a", with(deep)), part("b", with(deeper))]);
    assert_eq!(sets.len(), 2);
}

/// Corners of a notch right through lie on the faces of a board without it, so corners alone would not tell: the walls do.
#[test]
fn a_notch_elsewhere_is_another_part() {
    let with = |x: f64| {
        let notch = box_notch(DVec3::new(x, -1.0, -1.0), DVec3::new(x + 40.0, 30.0, 39.0), 16);
        part("slat", Shape { notches: vec![notch], ..plain() })
    };
    assert_eq!(sets_of(vec![with(100.0), with(130.0)]).0.len(), 2);
    assert_eq!(sets_of(vec![with(100.0), with(100.005)]).0.len(), 1);
    assert_eq!(sets_of(vec![with(100.0), with(100.05)]).0.len(), 2);
    // 600 - 100 - 40: the same notch from the other end.
    assert_eq!(sets_of(vec![with(100.0), with(460.0)]).0.len(), 1);
}

/// Through holes and an edge curve have no hand: twice two, not two and two.
#[test]
fn a_neutral_part_is_never_split() {
    let with = |x: f64| {
        let hole = bore(DVec3::new(x, 20.0, 38.0), DVec3::NEG_Z, 5.0, f64::INFINITY, 16);
        part("side", Shape { holes: vec![hole], ..arched() })
    };
    let (sets, _) = sets_of(vec![with(150.0), with(450.0)]);
    assert_eq!(sets.len(), 1);
    assert_eq!(sets[0].hand, Hand::Neutral);
}

#[test]
fn a_square_leg_may_take_a_quarter_turn() {
    let square = |normal: DVec3| {
        let mut shape = Shape::board(700.0, 89.0, 89.0);
        let start = DVec3::new(100.0, 44.5, 44.5) + normal * 44.5;
        shape.holes.push(bore(start, -normal, 6.0, 30.0, 16));
        part("leg", shape)
    };
    let (sets, _) = sets_of(vec![square(DVec3::Z), square(DVec3::Y), square(DVec3::NEG_Y)]);
    assert_eq!(sets.len(), 1);
}

#[test]
fn section_wood_edges_time_and_fit_count_too() {
    let alter = |change: fn(&mut Part)| {
        let mut other = part("b", plain());
        change(&mut other);
        sets_of(vec![part("a", plain()), other]).0.len()
    };
    let soften = |words: &str| Softened {
        edges: words.to_string(),
        radius: Length::mm(6.0),
        length: Length::mm(600.0),
    };
    assert_eq!(alter(|_| ()), 1);
    assert_eq!(alter(|part| part.section = String::from("5/4x4")), 2);
    assert_eq!(alter(|part| part.species = String::from("western_red_cedar")), 2);
    assert_eq!(alter(|part| part.rough_length = part.length + Length::mm(10.0)), 2);
    assert_eq!(
        alter(|part| part.fit =
            Some(crate::Fit { allowance: Length::mm(5.0), trim: String::from("rear edge") })),
        2
    );
    let softened = |words: &str| Part { softened: vec![soften(words)], ..part("a", plain()) };
    assert_eq!(sets_of(vec![softened("left end edges"), softened("right end edges")]).0.len(), 1);
    assert_eq!(sets_of(vec![softened("long edges"), softened("all edges")]).0.len(), 2);
    let bored = |when: When| {
        let hole = bore(DVec3::new(200.0, 45.0, 38.0), DVec3::NEG_Z, 5.0, f64::INFINITY, 16);
        let kind = FeatureKind::Hole {
            hole: hole.clone(),
            what: String::from("bolt"),
            lean: Angle::ZERO,
            countersink: None,
        };
        let features = vec![Feature { kind, when, origin: Origin::NOWHERE }];
        Part { features, ..part("a", Shape { holes: vec![hole], ..plain() }) }
    };
    let after = |name: &str| When::InPlace { after: vec![name.to_string()] };
    assert_eq!(sets_of(vec![bored(When::AtBench), bored(after("rail"))]).0.len(), 2);
    assert_eq!(sets_of(vec![bored(after("left rail")), bored(after("right rail"))]).0.len(), 1);
}

prop_compose! {
    /// Random boards with mitres, notches and holes that stay clear of each other.
    fn boards()(
        mitre in prop::option::of((-0.4f64..0.4, -0.3f64..0.3)),
        end in prop::option::of((-0.4f64..0.4, -0.3f64..0.3)),
        notch in prop::option::of((60.0f64..160.0, 10.0f64..80.0, 5.0f64..40.0, 5.0f64..50.0)),
        hole in prop::option::of((250.0f64..420.0, 25.0f64..65.0, 2.0f64..8.0, 5.0f64..60.0, -0.2f64..0.2, -0.2f64..0.2)),
        arch in prop::option::of(0.01f64..0.08),
    ) -> Shape {
        let mut shape = plain();
        if let Some(bulge) = arch {
            shape = arched();
            shape.profile.vertices[2].bulge = bulge;
        }
        if let Some((y, z)) = mitre {
            shape.cuts.push(cut(1.0, y, z, DVec3::new(550.0, 45.0, 19.0), 16));
        }
        if let Some((y, z)) = end {
            shape.cuts.push(cut(-1.0, y, z, DVec3::new(30.0, 45.0, 19.0), 32));
        }
        if let Some((x, long, deep, wide)) = notch {
            shape.notches.push(box_notch(DVec3::new(x, -1.0, 38.0 - deep), DVec3::new(x + long, wide, 39.0), 48));
        }
        if let Some((x, y, radius, depth, a, b)) = hole {
            let depth = if depth > 38.0 { f64::INFINITY } else { depth.min(25.0) };
            shape.holes.push(bore(DVec3::new(x, y, 38.0), DVec3::new(a, b, -1.0), radius, depth, 64));
        }
        shape
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever the board: turned about or moved in the world it is one set; its mirror image is the same set when it
    /// is neutral and its pair when it is not.
    #[test]
    fn sets_survive_turns_and_mirrors_make_pairs(
        shape in boards(), way in 0usize..4, mirror in 0usize..4,
        axis in (-1.0f64..1.0, -1.0f64..1.0, 0.1f64..1.0), angle in 0.0f64..6.0, shift in -2000.0f64..2000.0,
    ) {
        let (x, y, z) = HALF_TURNS[way];
        let mut turned = part("board 2", moved(&shape, turn(x, y, z)));
        let axis = DVec3::from(axis).normalize();
        turned.pose = DAffine3::from_rotation_translation(DQuat::from_axis_angle(axis, angle), DVec3::splat(shift));
        let (x, y, z) = REFLECTIONS[mirror];
        let image = part("board 3", moved(&shape, turn(x, y, z)));
        let (sets, _) = sets_of(vec![part("board 1", shape), turned, image]);
        prop_assert!(sets[0].parts.contains(&PartId(0)) == sets[0].parts.contains(&PartId(1)));
        match sets.len() {
            1 => prop_assert_eq!(sets[0].hand, Hand::Neutral),
            2 => {
                prop_assert_eq!(sets[0].hand, Hand::PairWith(SetId(1)));
                prop_assert_eq!(sets[1].hand, Hand::PairWith(SetId(0)));
            }
            count => prop_assert!(false, "{} sets", count),
        }
    }
}

/// The outline may lie on the edge: a hollowed slat and the same slat turned end for end.
#[test]
fn a_hollowed_slat_is_found_turned() {
    let hollow = |start: f64, end: f64| {
        let corner = |x: f64, z: f64, bulge: f64, tag| Vertex { point: DVec2::new(x, z), bulge, tag };
        let vertices = vec![
            corner(0.0, 0.0, 0.0, Tag::LOW_FACE),
            corner(600.0, 0.0, 0.0, Tag::HIGH_END),
            corner(600.0, end, -0.05, Tag::HIGH_FACE),
            corner(0.0, start, 0.0, Tag::LOW_END),
        ];
        Shape { profile: Profile { vertices }, across: Across::Width, high: SIZE.y, ..plain() }
    };
    let (sets, _) = sets_of(vec![part("slat 1", hollow(38.0, 34.0)), part("slat 2", hollow(34.0, 38.0))]);
    assert_eq!(sets.len(), 1);
}
