//! A frame as data.

use slatwork_solid::DVec3;

/// Names of the six freedoms of a node or a member end, in their order.
pub const FREEDOMS: [&str; 6] = ["ux", "uy", "uz", "rx", "ry", "rz"];

/// What is to be solved: nodes, members between them, supports, and load cases.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Frame {
    /// Points that members meet at.
    pub nodes: Vec<Node>,
    /// Bars and wires.
    pub members: Vec<Member>,
    /// What holds nodes, at most one entry a node.
    pub supports: Vec<Support>,
    /// Loads that act together.
    pub cases: Vec<LoadCase>,
}

/// A point that members meet at.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Name, for messages.
    pub name: String,
    /// Where it is, metres.
    pub at: DVec3,
}

/// A straight bar or wire of constant section.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// Name, for messages.
    pub name: String,
    /// Start and end node.
    pub ends: [usize; 2],
    /// What it can carry.
    pub kind: MemberKind,
    /// Section and elastic moduli.
    pub section: Section,
    /// Roughly the local y axis; made square to the local x axis, which runs from start to end.
    pub y_axis: DVec3,
    /// From each node to the member's end, rigid; global axes.
    pub offsets: [DVec3; 2],
    /// Springs between each end and its node, in the member's local freedoms.
    pub springs: [EndSprings; 2],
}

/// For each local freedom of a member end: `None` is rigid, a stiffness is a spring in series, zero is a release.
pub type EndSprings = [Option<f64>; 6];

/// What a member can carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MemberKind {
    /// Axial force, shear, torsion and bending.
    Beam,
    /// Axial force only.
    Truss,
    /// Pull only: wire, rope, chain.
    TensionOnly,
}

/// Section and material of a member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Modulus of elasticity, Pa.
    pub elastic: f64,
    /// Shear modulus, Pa.
    pub shear: f64,
    /// Area, m^2.
    pub area: f64,
    /// Second moment of area about local y, m^4.
    pub inertia_y: f64,
    /// Second moment of area about local z, m^4.
    pub inertia_z: f64,
    /// Torsion constant, m^4.
    pub torsion: f64,
    /// Shear area for shear along local y, m^2; `None` leaves shear deformation out.
    pub shear_area_y: Option<f64>,
    /// Shear area for shear along local z, m^2; `None` leaves shear deformation out.
    pub shear_area_z: Option<f64>,
}

/// What holds a node, freedom by freedom, in global axes.
#[derive(Clone, Debug, PartialEq)]
pub struct Support {
    /// The node.
    pub node: usize,
    /// For each freedom, how it is held.
    pub holds: [Hold; 6],
}

/// How a freedom is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// Not at all.
    Free,
    /// Rigidly.
    Fixed,
    /// By a spring of this stiffness, N/m or N.m/rad.
    Spring(f64),
    /// By a spring of this stiffness that only pushes the node, in this direction.
    OneSided(f64, Direction),
}

/// A sense along an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Along the axis.
    Plus,
    /// Against it.
    Minus,
}

impl Direction {
    /// 1 or -1.
    pub fn sign(self) -> f64 {
        if self == Direction::Plus { 1.0 } else { -1.0 }
    }
}

/// Loads that act together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LoadCase {
    /// Name, for messages.
    pub name: String,
    /// Forces and moments on nodes.
    pub nodal: Vec<NodalLoad>,
    /// Forces on members between their ends.
    pub members: Vec<MemberLoad>,
    /// Supports that are moved.
    pub settlements: Vec<Settlement>,
}

/// Force and moment on a node, global axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NodalLoad {
    /// The node.
    pub node: usize,
    /// Force, N.
    pub force: DVec3,
    /// Moment, N.m.
    pub moment: DVec3,
}

/// A load on a member between its ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MemberLoad {
    /// The member.
    pub member: usize,
    /// How it is spread.
    pub spread: Spread,
}

/// How a load is spread along a member; global axes, distances in metres from the member's start (after its offset).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// Over the whole member, N a metre of its length.
    Uniform(DVec3),
    /// At one point, N.
    Point {
        /// Distance from the start.
        at: f64,
        /// The force.
        force: DVec3,
    },
    /// From one point to another, growing evenly, N a metre of length.
    Trapezoid {
        /// Where it begins.
        from: f64,
        /// Where it ends.
        to: f64,
        /// What it is where it begins.
        begins: DVec3,
        /// What it is where it ends.
        ends: DVec3,
    },
}

impl Spread {
    /// The same load, `factor` times.
    #[must_use]
    pub fn times(self, factor: f64) -> Spread {
        match self {
            Spread::Uniform(load) => Spread::Uniform(load * factor),
            Spread::Point { at, force } => Spread::Point { at, force: force * factor },
            Spread::Trapezoid { from, to, begins, ends } => {
                Spread::Trapezoid { from, to, begins: begins * factor, ends: ends * factor }
            }
        }
    }
}

/// A rigid support that is moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settlement {
    /// The node.
    pub node: usize,
    /// Which of its freedoms.
    pub freedom: usize,
    /// By how much, m or rad.
    pub moved: f64,
}

/// Load cases with their factors.
#[derive(Clone, Debug, PartialEq)]
pub struct Combination {
    /// Name, for messages.
    pub name: String,
    /// Case and factor.
    pub factors: Vec<(usize, f64)>,
}
