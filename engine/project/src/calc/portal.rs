//! Two legs and a rail as a frame: the common question about racking, told by a builder's sizes.
//!
//! In the plane of the three; x along the rail, z up. Feet stand on the floor and may lift; they do not slide. Joints between legs
//! and rail are rigid, or springs.

use super::figure::{Size, incomplete};
use super::json::Object;
use slatwork_base::{Diagnostic, Outcome};
use slatwork_catalog::Catalogue;
use slatwork_checks::statics::beam::Moduli;
use slatwork_checks::statics::frame::{
    Combination, Direction, EndSprings, Frame, Hold, LoadCase, Member, MemberKind, NodalLoad, Node, Section,
    Support,
};
use slatwork_checks::statics::given::Given;
use slatwork_solid::DVec3;

/// Two legs, a rail, and what they bear.
#[derive(Clone, Debug)]
pub(super) struct Portal {
    width: Size,
    height: Size,
    rail: String,
    leg: String,
    wood: String,
    load_n: f64,
    push_n: f64,
    joint_nm_per_rad: Option<f64>,
}

/// Sizes beyond these, mm, are slips of units (project choice).
const SIZES: (f64, f64) = (10.0, 1e4);
/// Loads beyond this, N, are slips of units (project choice).
const MOST_LOAD: f64 = 1e5;
/// Springs softer or stiffer than these, N m/rad, are slips: a screw in its hole, and a weld (project choice).
const JOINTS: (f64, f64) = (1.0, 1e8);
/// Stiffness of a floor under a foot, N/m (project choice). Of a bench on one-sided feet, reactions differed by 6 N of 1240 from those
/// on a floor two thousand times as stiff.
const FLOOR: f64 = 5e6;
const METRE: f64 = 1e3;
const PASCAL: f64 = 1e6;

const LEFT_FOOT: usize = 0;
const LEFT: usize = 1;
const MIDDLE: usize = 2;
const RIGHT: usize = 3;
const RIGHT_FOOT: usize = 4;
/// Freedoms by their place in six.
const ALONG: usize = 0;
const UP: usize = 2;
const BENDING: usize = 5;
/// What leaves the plane is held: sideways, and turning about x and z.
const OUT_OF_PLANE: [usize; 3] = [1, 3, 5];

impl Portal {
    pub(super) fn read(own: &Object<'_>) -> Self {
        let size = |key| own.need(key, own.size(key)).unwrap_or_default();
        let text = |key| own.need(key, own.text(key)).unwrap_or_default();
        Portal {
            width: size("width"),
            height: size("height"),
            rail: text("rail"),
            leg: text("leg"),
            wood: text("wood"),
            load_n: own.number("load_n").unwrap_or_default(),
            push_n: own.number("push_n").unwrap_or_default(),
            joint_nm_per_rad: own.number("joint_nm_per_rad"),
        }
    }

    /// The frame, loaded and loaded with the push.
    pub(super) fn frame(&self, catalogue: &Catalogue) -> Outcome<(Frame, Vec<Combination>)> {
        let mut given = Given::new();
        given.within("width", self.width.0, SIZES.0, SIZES.1).within(
            "height",
            self.height.0,
            SIZES.0,
            SIZES.1,
        );
        given.within("load", self.load_n, 0.0, MOST_LOAD).within("push", self.push_n, -MOST_LOAD, MOST_LOAD);
        if let Some(joint) = self.joint_nm_per_rad {
            given.within("stiffness of the joints", joint, JOINTS.0, JOINTS.1);
        }
        if self.load_n == 0.0 && self.push_n == 0.0 {
            given.take::<()>(Outcome::failed(incomplete(
                "nothing loads the rail",
                "give `load_n`, or `push_n`, or both",
            )));
        }
        given.settle_with(|| match self.members(catalogue) {
            Ok(members) => Outcome::fine(self.loaded(members)),
            Err(trouble) => Outcome::failed(trouble),
        })
    }

    fn loaded(&self, members: Vec<Member>) -> (Frame, Vec<Combination>) {
        let (half, height) = (self.width.0 / 2.0 / METRE, self.height.0 / METRE);
        let node = |name: &str, x: f64, z: f64| Node { name: name.to_string(), at: DVec3::new(x, 0.0, z) };
        let nodes = vec![
            node("left foot", -half, 0.0),
            node("left corner", -half, height),
            node("middle", 0.0, height),
            node("right corner", half, height),
            node("right foot", half, 0.0),
        ];
        let supports = (LEFT_FOOT..=RIGHT_FOOT).map(support).collect();
        let load = |name: &str, node, force| LoadCase {
            name: name.to_string(),
            nodal: vec![NodalLoad { node, force, moment: DVec3::ZERO }],
            ..LoadCase::default()
        };
        let cases = vec![
            load("load", MIDDLE, DVec3::new(0.0, 0.0, -self.load_n)),
            load("push", LEFT, DVec3::new(self.push_n, 0.0, 0.0)),
        ];
        let combination = |name: &str, factors| Combination { name: name.to_string(), factors };
        let mut combinations = vec![combination("the load", vec![(0, 1.0)])];
        if self.push_n != 0.0 {
            combinations.push(combination("the load and the push", vec![(0, 1.0), (1, 1.0)]));
        }
        (Frame { nodes, members, supports, cases }, combinations)
    }

    fn members(&self, catalogue: &Catalogue) -> Result<Vec<Member>, Diagnostic> {
        let moduli = Moduli::usual(catalogue.species(&self.wood)?.clear.elasticity_mpa * PASCAL);
        let section = |name: &str| {
            let own = catalogue.section(name)?;
            Ok::<_, Diagnostic>(board(own.thickness.as_metre(), own.width.as_metre(), &moduli))
        };
        let (rail, leg) = (section(&self.rail)?, section(&self.leg)?);
        let member = |name: &str, ends, section, y_axis, springs| Member {
            name: name.to_string(),
            ends,
            kind: MemberKind::Beam,
            section,
            y_axis,
            offsets: [DVec3::ZERO; 2],
            springs,
        };
        let mut joint: EndSprings = [None; 6];
        joint[BENDING] = self.joint_nm_per_rad;
        let rigid: EndSprings = [None; 6];
        Ok(vec![
            member("left leg", [LEFT_FOOT, LEFT], leg, DVec3::X, [rigid, rigid]),
            member("left half of the rail", [LEFT, MIDDLE], rail, DVec3::Z, [joint, rigid]),
            member("right half of the rail", [MIDDLE, RIGHT], rail, DVec3::Z, [rigid, joint]),
            member("right leg", [RIGHT_FOOT, RIGHT], leg, DVec3::X, [rigid, rigid]),
        ])
    }
}

/// A board whose width lies in the plane of the frame. Torsion, which nothing here asks for, by the approximation for
/// rectangles b^3 d / 3 (1 - 0.63 b/d) (common practice).
fn board(thickness: f64, width: f64, moduli: &Moduli) -> Section {
    let area = thickness * width;
    Section {
        elastic: moduli.elasticity,
        shear: moduli.shear,
        area,
        inertia_y: width * thickness.powi(3) / 12.0,
        inertia_z: thickness * width.powi(3) / 12.0,
        torsion: thickness.powi(3) * width / 3.0 * (1.0 - 0.63 * thickness.min(width) / width),
        // Five sixths of a rectangle shear (textbook).
        shear_area_y: Some(area / 1.2),
        shear_area_z: Some(area / 1.2),
    }
}

fn support(node: usize) -> Support {
    let mut holds = [Hold::Free; 6];
    OUT_OF_PLANE.iter().for_each(|&freedom| holds[freedom] = Hold::Fixed);
    if node == LEFT_FOOT || node == RIGHT_FOOT {
        holds[ALONG] = Hold::Fixed;
        holds[UP] = Hold::OneSided(FLOOR, Direction::Plus);
    }
    Support { node, holds }
}
