//! Saw settings of leaning parts: a leg that leans two ways, and the corner of sides that lean outward.
//!
//! The mitre is the turn of the cut across the face, the bevel the tilt of the blade, both from a square cut.

use super::figure::{Size, incomplete};
use super::json::{Object, read};
use super::{Answered, Calculation, Findings, Setting, document, told};
use crate::calc;
use serde::Serialize;
use slatwork_base::{Angle, Outcome, maths};
use slatwork_checks::statics::given::Given;
use slatwork_model::bench::saw_setting;
use slatwork_solid::DVec3;

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "angle",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-angle.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r#"{ "rise": "17in", "splay_deg": 5, "rake_deg": 8 }"#;

const LAYOUT: &str = "\
A leg that leans two ways:
rise                      height of the leg, upright
splay_deg                 how far it leans sideways, seen from the front
rake_deg                  how far it leans rearward, seen from the side
The corner of sides that lean outward:
lean_deg                  of the sides from upright; 90 for a flat frame
sides                     how many sides, all alike; or
corner_deg                the corner as seen from above";

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub enum Question {
    /// A leg.
    Leg {
        /// Its height, upright.
        rise: Size,
        /// Sideways lean, degrees.
        splay_deg: f64,
        /// Rearward lean, degrees.
        rake_deg: f64,
    },
    /// A corner of sides.
    Corner {
        /// Lean of the sides from upright, degrees.
        lean_deg: f64,
        /// How many sides, or the corner seen from above in degrees.
        shape: Shape,
    },
    /// Neither, or both.
    Unclear,
}

/// The plan of leaning sides.
#[derive(Clone, Copy, Debug)]
pub enum Shape {
    /// So many sides, all alike.
    Sides(u32),
    /// A corner in degrees.
    Corner(f64),
}

/// A leg that leans.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Leg {
    /// Length from cut to cut, mm.
    pub length_mm: f64,
    /// How far the foot stands out sideways, mm.
    pub out_sideways_mm: f64,
    /// How far the foot stands out rearward, mm.
    pub out_rearward_mm: f64,
    /// Lean from upright, in the direction it leans, degrees.
    pub from_upright_deg: f64,
    /// That direction seen from above: 0 sideways, 90 rearward.
    pub direction_deg: f64,
    /// Both ends across the front face, from square, degrees.
    pub mitre_deg: f64,
    /// Both ends through the thickness, from square, degrees.
    pub bevel_deg: f64,
}

/// A corner of leaning sides.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Corner {
    /// The corner seen from above, degrees.
    pub corner_deg: f64,
    /// Ends of the sides across the face, from square, degrees.
    pub mitre_deg: f64,
    /// Ends of the sides through the thickness, from square, degrees.
    pub bevel_deg: f64,
    /// Between the faces that meet, degrees.
    pub between_faces_deg: f64,
    /// Width of a side over its upright height; none for a flat frame.
    pub slant: Option<f64>,
}

/// A leg leans at most so far, degrees: beyond, it is no leg (project choice).
const MOST_LEAN: f64 = 60.0;
/// From this lean on, degrees, sides lie flat and have no height to speak of (project choice).
const FLAT: f64 = 89.0;
/// Corners seen from above, degrees.
const CORNERS: (f64, f64) = (10.0, 170.0);
/// Sides of a ring of them.
const SIDES: (f64, f64) = (3.0, 100.0);

/// Reads a question. Every slip is told at its place; one leaves no question.
pub fn question(asked: &calc::Question) -> Outcome<Question> {
    read(asked, Question::read)
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    let units = setting.units;
    question(asked).then(|question| match question {
        Question::Leg { rise, splay_deg, rake_deg } => leg(rise, splay_deg, rake_deg)
            .map(|own| Answered { text: told::leg(rise, &own, units), document: document(&own) }),
        Question::Corner { lean_deg, shape } => corner(lean_deg, shape)
            .map(|own| Answered { text: told::corner(&own, units), document: document(&own) }),
        Question::Unclear => Outcome::failed(incomplete(
            "this is neither a leg nor a corner, or both",
            "give `rise` with `splay_deg` and `rake_deg`, or `lean_deg` with `sides` or `corner_deg`",
        )),
    })
}

impl Question {
    fn read(own: &Object<'_>) -> Self {
        let (rise, lean) = (own.size("rise"), own.number("lean_deg"));
        let (splay, rake) = (own.number("splay_deg"), own.number("rake_deg"));
        let shape = match (own.count("sides"), own.number("corner_deg")) {
            (Some(sides), None) => Some(Shape::Sides(sides)),
            (None, Some(corner)) => Some(Shape::Corner(corner)),
            _ => None,
        };
        let is_leg = splay.is_some() || rake.is_some();
        match (rise, is_leg, lean, shape) {
            (Some(rise), true, None, None) => {
                Question::Leg { rise, splay_deg: splay.unwrap_or(0.0), rake_deg: rake.unwrap_or(0.0) }
            }
            (None, false, Some(lean_deg), Some(shape)) => Question::Corner { lean_deg, shape },
            _ => Question::Unclear,
        }
    }
}

/// Saw settings, degrees, of a board's end cut along a plane: the mitre as it turns on the face, the bevel as the blade tilts. The board
/// runs along `along`, its wide face looks along `face`.
fn settings(along: DVec3, face: DVec3, cut: DVec3) -> (f64, f64) {
    let setting = saw_setting(DVec3::new(cut.dot(along), cut.dot(face.cross(along)), cut.dot(face)));
    (setting.mitre.as_deg(), setting.bevel.as_deg())
}

/// A leg with its front face along the front rail, cut level at both ends.
///
/// Along the leg points (tan s, tan r, 1); its front face holds that line and the front rail's. Own construction.
pub fn leg(rise: Size, splay_deg: f64, rake_deg: f64) -> Outcome<Leg> {
    let (splay, rake) = (Angle::deg(splay_deg), Angle::deg(rake_deg));
    let mut given = Given::new();
    given.positive("rise", rise.0).within("splay", splay_deg, -MOST_LEAN, MOST_LEAN);
    given.within("rake", rake_deg, -MOST_LEAN, MOST_LEAN);
    given.settle(|| {
        let (aside, back) = (splay.tan(), rake.tan());
        let out = maths::hypot(aside, back);
        let along = DVec3::new(aside, back, 1.0);
        let face = along.cross(DVec3::X).normalize();
        let (mitre_deg, bevel_deg) = settings(along.normalize(), face, DVec3::Z);
        Leg {
            length_mm: rise.0 * along.length(),
            out_sideways_mm: rise.0 * aside,
            out_rearward_mm: rise.0 * back,
            from_upright_deg: maths::atan(out).to_degrees(),
            direction_deg: maths::atan2(back, aside).to_degrees(),
            mitre_deg,
            bevel_deg,
        }
    })
}

/// Sides that lean outward by a lean from upright and meet at a corner.
///
/// A side runs along y, its outer face looks along x and down by its lean; it is cut along the upright plane half way to the next side.
/// Faces that meet are apart by twice the bevel. Own construction.
pub fn corner(lean_deg: f64, shape: Shape) -> Outcome<Corner> {
    let mut given = Given::new();
    given.within("lean", lean_deg, 0.0, 90.0);
    let corner_deg = match shape {
        Shape::Sides(sides) => {
            given.within("number of sides", f64::from(sides), SIDES.0, SIDES.1);
            180.0 - 360.0 / f64::from(sides.max(1))
        }
        Shape::Corner(corner) => {
            given.within("corner", corner, CORNERS.0, CORNERS.1);
            corner
        }
    };
    given.settle(|| {
        let (lean, half) = (Angle::deg(lean_deg), Angle::deg((180.0 - corner_deg) / 2.0));
        let face = DVec3::new(lean.cos(), 0.0, -lean.sin());
        let (mitre, bevel) = settings(DVec3::Y, face, DVec3::new(-half.sin(), half.cos(), 0.0));
        let (mitre_deg, bevel_deg) = (mitre.abs(), bevel.abs());
        Corner {
            corner_deg,
            mitre_deg,
            bevel_deg,
            between_faces_deg: 180.0 - 2.0 * bevel_deg,
            slant: (lean_deg < FLAT).then(|| 1.0 / lean.cos()),
        }
    })
}
