//! Boards by their true surfaces: they close, their corners lie on what meets there, and cylinders are whole.

use slatwork_solid::{
    DVec2, DVec3, EdgeCurve, ExactSolid, HalfSpace, Hole, HoleStep, Profile, Shape, Surface, Tag, Tolerance,
    Vertex, build,
};

fn hole(at: [f64; 2], lean: [f64; 2], radius: f64) -> Hole {
    Hole {
        start: DVec3::new(at[0], at[1], 0.0),
        direction: DVec3::new(lean[0], lean[1], 1.0).normalize(),
        steps: vec![HoleStep { radius, depth: f64::INFINITY }],
        tag: Tag(30),
    }
}

fn exact(shape: &Shape) -> ExactSolid {
    let solid = build(shape, &Tolerance::default()).unwrap().exact().unwrap();
    check(&solid);
    solid
}

/// Every edge is used once each way, every corner lies on the faces that use it and every curve runs through its corners.
fn check(solid: &ExactSolid) {
    let mut uses = vec![[0, 0]; solid.edges.len()];
    for face in &solid.faces {
        for (edge, forward) in face.loops.iter().flatten() {
            uses[*edge as usize][usize::from(*forward)] += 1;
            let ends = [solid.edges[*edge as usize].from, solid.edges[*edge as usize].to];
            for corner in ends.map(|corner| solid.corners[corner as usize]) {
                assert!(off(&face.surface, corner) < 1e-6, "{corner} is off {:?}", face.surface);
            }
        }
        for ring in &face.loops {
            let ends = |(edge, forward): (u32, bool)| {
                let edge = solid.edges[edge as usize];
                if forward { (edge.from, edge.to) } else { (edge.to, edge.from) }
            };
            let next = ring.iter().cycle().skip(1);
            assert!(ring.iter().zip(next).all(|(one, then)| ends(*one).1 == ends(*then).0), "a ring is torn");
        }
    }
    assert!(uses.iter().all(|uses| *uses == [1, 1]));
    for edge in &solid.edges {
        let EdgeCurve::Round { centre, major, minor } = edge.curve else { continue };
        for corner in [edge.from, edge.to].map(|corner| solid.corners[corner as usize] - centre) {
            let (x, y) =
                (corner.dot(major) / major.length_squared(), corner.dot(minor) / minor.length_squared());
            assert!((x * x + y * y - 1.0).abs() < 1e-6);
        }
    }
}

fn off(surface: &Surface, point: DVec3) -> f64 {
    match surface {
        Surface::Plane { normal, offset } => (normal.dot(point) - offset).abs(),
        Surface::Cylinder { origin, axis, radius, .. } => {
            ((point - *origin).cross(*axis).length() - radius).abs()
        }
    }
}

fn cylinders(solid: &ExactSolid) -> usize {
    solid.faces.iter().filter(|face| matches!(face.surface, Surface::Cylinder { .. })).count()
}

#[test]
fn a_hole_is_one_face_between_two_circles() {
    let solid =
        exact(&Shape { holes: vec![hole([50.0, 40.0], [0.0, 0.0], 5.0)], ..Shape::board(200.0, 90.0, 20.0) });
    assert_eq!((solid.faces.len(), cylinders(&solid), solid.faceted), (7, 1, 0));
    assert_eq!(solid.edges.len(), 14, "twelve of the board and two circles");
}

#[test]
fn a_slanting_hole_ends_in_ellipses() {
    let solid =
        exact(&Shape { holes: vec![hole([50.0, 40.0], [0.5, 0.2], 5.0)], ..Shape::board(200.0, 90.0, 20.0) });
    let longer = |edge: &&slatwork_solid::ExactEdge| matches!(edge.curve, EdgeCurve::Round { major, minor, .. } if major.length() > minor.length() + 0.1);
    assert_eq!(solid.edges.iter().filter(longer).count(), 2);
}

#[test]
fn a_hole_over_an_edge_stays_a_true_cylinder() {
    let solid =
        exact(&Shape { holes: vec![hole([50.0, 1.0], [0.0, 0.0], 5.0)], ..Shape::board(200.0, 90.0, 20.0) });
    // Six sides, of which the edge is in two parts.
    assert_eq!((solid.faces.len(), cylinders(&solid), solid.faceted), (8, 1, 0));
}

#[test]
fn holes_that_cross_stay_in_facets_and_it_is_told() {
    let across = Hole {
        start: DVec3::new(50.0, 0.0, 10.0),
        direction: DVec3::Y,
        tag: Tag(31),
        ..hole([0.0; 2], [0.0; 2], 3.0)
    };
    let holes = vec![hole([50.0, 40.0], [0.0, 0.0], 5.0), across];
    let solid = exact(&Shape { holes, ..Shape::board(200.0, 90.0, 20.0) });
    assert_eq!(solid.faceted, 1, "the narrower one");
    assert!(cylinders(&solid) > 0);
}

/// A curve that turns the other way: two arcs of the same angle, whose facets at the turn lie in one plane.
fn wave() -> Shape {
    let corner = |x, y, bulge| Vertex { point: DVec2::new(x, y), bulge, tag: Tag(20) };
    let vertices = vec![
        corner(0.0, 0.0, 0.0),
        corner(300.0, 0.0, 0.0),
        corner(300.0, 80.0, 0.05),
        corner(200.0, 80.0, -0.05),
        corner(0.0, 80.0, 0.0),
    ];
    Shape { profile: Profile { vertices }, ..Shape::board(300.0, 80.0, 20.0) }
}

#[test]
fn arcs_are_cylinders_also_where_their_facets_lie_in_one_plane() {
    let solid = exact(&wave());
    assert_eq!((cylinders(&solid), solid.faceted, solid.faces.len()), (2, 0, 7));
    let bevel = HalfSpace { normal: DVec3::new(0.0, 0.9, 0.5).normalize(), offset: 80.0, tag: Tag(40) };
    let solid = exact(&Shape { cuts: vec![bevel], ..wave() });
    assert_eq!((cylinders(&solid), solid.faceted), (2, 0));
}

/// A slat bent over five bearers and screwed down where its curve turns the other way.
#[test]
fn a_hole_where_two_arcs_meet_leaves_the_arcs_round() {
    let up = |x: f64| Hole {
        start: DVec3::new(x, 0.0, 10.0),
        direction: DVec3::Y,
        tag: Tag(31),
        ..hole([0.0; 2], [0.0; 2], 2.0)
    };
    for (x, flat) in [(200.0, 1), (230.0, 0), (180.0, 0)] {
        let solid = exact(&Shape { holes: vec![up(x)], ..gentle() });
        let arcs = solid
            .faces
            .iter()
            .filter(|face| matches!(face.surface, Surface::Cylinder { radius, .. } if radius > 100.0));
        assert_eq!(arcs.count(), 2, "hole at {x}");
        assert!(solid.faceted >= flat, "hole at {x}");
    }
}

/// The same with facets so long that holes find room on them.
fn gentle() -> Shape {
    let corner = |x, y, bulge| Vertex { point: DVec2::new(x, y), bulge, tag: Tag(20) };
    let vertices = vec![
        corner(0.0, 0.0, 0.0),
        corner(400.0, 0.0, 0.0),
        corner(400.0, 80.0, 0.002),
        corner(200.0, 80.0, -0.002),
        corner(0.0, 80.0, 0.0),
    ];
    Shape { profile: Profile { vertices }, ..Shape::board(400.0, 80.0, 20.0) }
}
