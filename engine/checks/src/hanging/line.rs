//! The hardware of each chain's line, and what it may carry.

use crate::{Case, Unit};
use slatwork_base::formula::{Equation, NamedNumber};
use slatwork_base::{Angle, maths};
use slatwork_catalog::{Hardware, HardwareKind, Rating};
use slatwork_model::Suspension;
use slatwork_solid::DVec3;

/// Working loads of hardware are used by half only: makers exclude uses where failure hurts people from their ratings (project
/// choice).
pub(super) const HALF: f64 = 0.5;
/// A bolt across a post is pulled at a right angle; a chain that leans a little toward the wood counts as that too, for the
/// shoulder then bears on the wood. Beyond, nothing is rated (project choice: the most that chains may splay).
const TOWARD_WOOD: Angle = Angle::deg(105.0);
const ACROSS: Angle = Angle::deg(90.0);

/// Half of a working load, as an equation.
pub(super) fn half_of(rating: f64, how: &'static str) -> Equation {
    let rated = NamedNumber::new("R", how, rating, Unit::Force);
    let meaning = "what of it is used where failure hurts people";
    Equation::of(NamedNumber::new("Rh", meaning, HALF * rating, Unit::Force), HALF * rated)
}

/// One thing in the line of one chain.
pub(super) struct Link<'a> {
    /// Which chain, in the order of the suspensions.
    pub(super) chain: usize,
    pub(super) suspension: &'a Suspension,
    pub(super) item: &'a Hardware,
}

/// All hardware of all lines that the catalogue knows; scripts cannot hang by other.
pub(super) fn links<'a>(case: &Case<'a>) -> Vec<Link<'a>> {
    let hanging = case.model.hanging.iter().flat_map(|hanging| &hanging.suspensions);
    let of = |(chain, suspension): (usize, &'a Suspension)| {
        let items = suspension.line.iter().filter_map(|id| case.catalogue.find_hardware(id));
        items.map(move |item| Link { chain, suspension, item }).collect::<Vec<_>>()
    };
    hanging.enumerate().flat_map(of).collect()
}

impl Link<'_> {
    /// Whether it is fixed to the piece, and so pulled at an angle.
    pub(super) fn is_eye(&self) -> bool {
        matches!(self.item.kind, HardwareKind::EyeBolt | HardwareKind::ScrewEye)
    }

    /// The rating for a straight pull, where it is firm: figures from memory count as none.
    pub(super) fn rated(&self) -> Option<Rating> {
        self.rated_at(Angle::ZERO)
    }

    /// The rating for a pull at an angle from the shank.
    pub(super) fn rated_at(&self, angle: Angle) -> Option<Rating> {
        let angle = if angle > ACROSS && angle <= TOWARD_WOOD { ACROSS } else { angle };
        self.item.rating_at(angle).filter(|rating| rating.status.is_firm() && rating.working_load_n > 0.0)
    }
}

/// The eye that a chain hangs by, from its middle to where it leaves the wood.
pub(super) fn eye(case: &Case, suspension: &Suspension) -> Option<(DVec3, DVec3)> {
    let starts_here = |axis: &(DVec3, DVec3)| axis.0.distance(suspension.eye) < SAME_PLACE;
    let eyes = case.model.hardware.iter().filter(|own| suspension.line.first() == Some(&own.item));
    eyes.filter_map(|own| own.axis).find(starts_here)
}

/// Direction from the wood out along the shank of the eye that a chain hangs by.
pub(super) fn shank(case: &Case, suspension: &Suspension) -> Option<DVec3> {
    let (from, to) = eye(case, suspension)?;
    (from - to).try_normalize()
}

/// The chain begins at the very middle of its eye, mm.
const SAME_PLACE: f64 = 1e-3;

/// Between two directions of length 1, exact near zero too.
pub(super) fn between(one: DVec3, other: DVec3) -> Angle {
    Angle::rad(maths::atan2(one.cross(other).length(), one.dot(other)))
}
