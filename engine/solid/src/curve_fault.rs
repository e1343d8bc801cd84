//! What can be wrong with a curve or a cut, in words a builder understands: the value and the remedy.

use core::fmt;

use slatwork_base::{Diagnostic, both_tapes};

/// Why a curve cannot be drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CurveFault {
    /// A number that is none.
    NotFinite {
        /// Which one.
        what: &'static str,
    },
    /// A chord of no length.
    NoChord {
        /// The chord asked for, mm.
        chord: f64,
    },
    /// More rise than this kind of curve can have over its chord.
    RiseTooLarge {
        /// The kind of curve.
        kind: &'static str,
        /// The rise asked for, mm.
        rise: f64,
        /// The most it can be over this chord, mm.
        most: f64,
    },
    /// A tolerance that no fit can reach.
    BadTolerance {
        /// The tolerance asked for, mm.
        tolerance: f64,
    },
    /// A curve through fewer than two points.
    TooFewPoints {
        /// How many there are.
        count: usize,
    },
    /// Two neighbouring points that are one.
    SamePoints {
        /// Which point, from 0, lies on the one before it.
        index: usize,
    },
    /// A direction of no length.
    NoDirection,
    /// A turn that the kind of curve cannot make.
    TurnsTooFar {
        /// The turn from the direction to the chord, degrees.
        degrees: f64,
        /// The most it can be.
        most: f64,
    },
    /// A curve too sharp to be kept as arcs.
    TooSharp {
        /// The point before the place, from 0.
        index: usize,
    },
    /// A corner that is none.
    NoCorner {
        /// The corner asked for, from 0.
        index: usize,
    },
    /// A corner that cannot be rounded so far.
    RadiusTooLarge {
        /// The radius asked for, mm.
        radius: f64,
        /// The most that fits, mm, rounded down to a tenth.
        most: f64,
    },
    /// A parallel curve that turns inside out.
    OffsetTooFar {
        /// The distance asked for, mm.
        distance: f64,
    },
    /// Paths that do not meet.
    Gap {
        /// How far they are apart, mm.
        gap: f64,
    },
}

impl CurveFault {
    /// The fault's stable name.
    pub fn code(&self) -> &'static str {
        match self {
            CurveFault::NotFinite { .. } => "not-a-number",
            CurveFault::NoChord { .. } => "curve-without-chord",
            CurveFault::RiseTooLarge { .. } => "rise-too-large",
            CurveFault::BadTolerance { .. } => "bad-tolerance",
            CurveFault::TooFewPoints { .. } => "too-few-points",
            CurveFault::SamePoints { .. } => "same-points",
            CurveFault::NoDirection => "no-direction",
            CurveFault::TurnsTooFar { .. } => "turns-too-far",
            CurveFault::TooSharp { .. } => "curve-too-sharp",
            CurveFault::NoCorner { .. } => "no-such-corner",
            CurveFault::RadiusTooLarge { .. } => "radius-too-large",
            CurveFault::OffsetTooFar { .. } => "offset-too-far",
            CurveFault::Gap { .. } => "paths-do-not-meet",
        }
    }
}

impl fmt::Display for CurveFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CurveFault::NotFinite { what } => write!(f, "the {what} is not a number; give a finite one"),
            CurveFault::NoChord { chord } => {
                let chord = both_tapes(*chord);
                write!(f, "a curve over a chord of {chord}; the chord must be longer than nothing")
            }
            CurveFault::RiseTooLarge { kind, rise, most } => write!(
                f,
                "a {kind} cannot rise {} over this chord; rise at most {} or take a longer chord",
                both_tapes(*rise),
                both_tapes(*most)
            ),
            CurveFault::BadTolerance { tolerance } => {
                write!(f, "a fit within {tolerance} mm; ask for a tolerance from 0.0001 to 10 mm")
            }
            CurveFault::TooFewPoints { count } => {
                write!(f, "a curve through {count} point(s); give two or more")
            }
            CurveFault::SamePoints { index } => {
                write!(f, "points {} and {} of the curve are the same; leave one out", index, index + 1)
            }
            CurveFault::NoDirection => {
                f.write_str("a direction of no length; give one that points somewhere")
            }
            CurveFault::TurnsTooFar { degrees, most } => write!(
                f,
                "the ends stand at {degrees:.1} degrees to the line between them; keep to {most:.0} degrees or less"
            ),
            CurveFault::TooSharp { index } => write!(
                f,
                "the curve turns too sharply after point {}; move its neighbours apart or allow a larger tolerance",
                index + 1
            ),
            CurveFault::NoCorner { index } => write!(
                f,
                "corner {} cannot be rounded; name a corner between two edges that meet at an angle",
                index + 1
            ),
            CurveFault::RadiusTooLarge { radius, most } => write!(
                f,
                "a radius of {} does not fit the corner; at most {} fits between its edges",
                both_tapes(*radius),
                both_tapes(*most)
            ),
            CurveFault::OffsetTooFar { distance } => write!(
                f,
                "a parallel curve at {} turns inside out; stay nearer or make the curve's radius larger",
                both_tapes(*distance)
            ),
            CurveFault::Gap { gap } => {
                write!(f, "the paths are {} apart; begin the second where the first ends", both_tapes(*gap))
            }
        }
    }
}

impl core::error::Error for CurveFault {}

impl From<CurveFault> for Diagnostic {
    fn from(fault: CurveFault) -> Self {
        Diagnostic::error(fault.code(), fault.to_string())
    }
}

/// Why a profile cannot be cut along a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClipFault {
    /// The whole profile lies on the side that is cut away.
    NothingLeft,
    /// What is kept falls into several pieces.
    Pieces(usize),
    /// The path crosses itself, drawn out along its end tangents if it stops in the wood.
    PathCrossesItself,
    /// Some wood lies to the left of one stretch of the path and to the right of another.
    Undecided,
    /// The path or the profile has no edges, or a coordinate that is not a number.
    NoShape,
}

impl ClipFault {
    /// The fault's stable name.
    pub fn code(&self) -> &'static str {
        match self {
            ClipFault::NothingLeft => "nothing-left",
            ClipFault::Pieces(_) => "cut-in-pieces",
            ClipFault::PathCrossesItself => "path-crosses-itself",
            ClipFault::Undecided => "cut-undecided",
            ClipFault::NoShape => "no-shape",
        }
    }
}

impl fmt::Display for ClipFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ClipFault::NothingLeft => {
                f.write_str("the cut leaves nothing of the part; move it, or keep the other side")
            }
            ClipFault::Pieces(count) => {
                write!(f, "the cut leaves {count} separate pieces; move it so that one piece stays whole")
            }
            ClipFault::PathCrossesItself => {
                f.write_str("the path of the cut crosses itself; draw it so that it runs out of the part at both ends")
            }
            ClipFault::Undecided => f.write_str(
                "the path of the cut comes back so that one piece lies on both its sides; cut twice with plain paths",
            ),
            ClipFault::NoShape => f.write_str("the part's outline or the path of the cut has no edges; draw it first"),
        }
    }
}

impl core::error::Error for ClipFault {}

impl From<ClipFault> for Diagnostic {
    fn from(fault: ClipFault) -> Self {
        Diagnostic::error(fault.code(), fault.to_string())
    }
}
