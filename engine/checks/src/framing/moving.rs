//! Load cases of a piece that is moved: lifted by an end or an edge, dragged, let drop. Nobody sits on it then.

use super::analysis::mass;
use super::build::Framing;
use super::loads::{About, Push, Situation, pushes};
use super::seating::{PAD, Seating, Touch};
use super::{Ground, Point};
use crate::Case;
use crate::statics::swing::STANDARD_GRAVITY;
use slatwork_model::PartId;
use slatwork_solid::DVec3;

/// Share of what would take feet off the ground: they keep touching, so that the frame is never on the verge of turning over
/// (numerical choice).
const HELD: f64 = 0.95;

/// Where hands take an arm, as shares of its length.
const HANDS: [f64; 2] = [0.1, 0.9];

/// Depth of the edge of a seat that hands take, mm (project choice: fingers under the first slat).
const EDGE: f64 = PAD / 2.0;

/// Pull of who drags a piece, N: all of it may come to one foot, where that catches (common practice, no source; that those catch
/// which the pull presses down, project choice).
const DRAGGED: f64 = 350.0;

/// Feet within this of a line are on it, mm (project choice: no foot is smaller).
const ON_LINE: f64 = 10.0;

/// Where somebody takes hold, and which way that is.
const SIDES: [(Hold, DVec3); 4] = [
    (Hold::Edge("front"), DVec3::NEG_Y),
    (Hold::Edge("rear"), DVec3::Y),
    (Hold::End("left"), DVec3::NEG_X),
    (Hold::End("right"), DVec3::X),
];

/// A side of a piece that it is taken by.
#[derive(Clone, Copy)]
enum Hold {
    /// The front edge of the seat; or its back, or its rear edge where it has none.
    Edge(&'static str),
    /// An arm, or an end of the seat where it has none.
    End(&'static str),
}

/// What stands: its feet, its weight and where that acts.
struct Standing<'f> {
    feet: &'f [Point],
    /// N.
    weight: f64,
    centre: DVec3,
}

/// Every load case of moving a piece that stands; none for one that hangs.
pub(super) fn moved(case: &Case, seating: &Seating, framing: &Framing) -> Vec<Situation> {
    let Ground::Feet(feet) = &framing.ground else { return Vec::new() };
    let (weight, centre) = centre_of_weight(case, framing);
    let standing = Standing { feet, weight, centre };
    let name = format!("let drop: {} times its own weight", About::Dropped.weight());
    let dropped = Situation::new(name, About::Dropped, Vec::new());
    let lifted = SIDES.iter().filter_map(|(hold, _)| standing.lifted(seating, *hold));
    let dragged = SIDES.iter().flat_map(|(hold, way)| {
        let leading = feet.iter().filter(|foot| standing.leads(foot, *way));
        leading.filter_map(|foot| standing.dragged(case, seating, *hold, *way, foot))
    });
    lifted.chain(dragged).chain([dropped]).collect()
}

/// Weight, N, and where it acts, of what the frame carries.
pub(super) fn centre_of_weight(case: &Case, framing: &Framing) -> (f64, DVec3) {
    let held = case.model.parts.iter().filter(|part| framing.chain(part.id).is_some());
    let own = held.map(|part| {
        let centre = part.pose.transform_point3(part.solid.centroid());
        (mass(case, framing, part.id) * STANDARD_GRAVITY, centre)
    });
    let (weight, moment) = own.fold((0.0, DVec3::ZERO), |all, one| (all.0 + one.0, all.1 + one.1 * one.0));
    (weight, moment / weight)
}

impl Standing<'_> {
    /// Somebody takes a side and lifts it almost off the ground about the feet of the other.
    fn lifted(&self, seating: &Seating, hold: Hold) -> Option<Situation> {
        let hands = hold.hands(seating, self.centre);
        let force = self.tips(&turned(&hands, DVec3::Z)).filter(|force| *force > 0.0)?;
        let pushes = turned(&hands, DVec3::Z * force);
        Some(Situation::new(format!("lifted by its {}", hold.word()), About::Lifted, pushes))
    }

    /// Whether a foot goes before its weight, or beside it, as it is dragged a way: the pull, higher up, presses those down.
    fn leads(&self, foot: &Point, way: DVec3) -> bool {
        (foot.at - self.centre).dot(way) >= -ON_LINE
    }

    /// Somebody drags it by a side, straight before a foot that catches; no harder than the other feet stay down.
    fn dragged(
        &self,
        case: &Case,
        seating: &Seating,
        hold: Hold,
        way: DVec3,
        foot: &Point,
    ) -> Option<Situation> {
        let mut pull = turned(&hold.hands(seating, foot.at), way);
        pull.push(Push { part: foot.part, at: foot.at, force: -way });
        let force = self.tips(&pull).map_or(DRAGGED, |tips| tips.min(DRAGGED));
        if pull.len() == 1 || force <= 0.0 {
            return None;
        }
        let pushes = pull.iter().map(|push| Push { force: push.force * force, ..*push }).collect();
        let name = format!("dragged by its {}, `{}` catching", hold.word(), case.model.part(foot.part).name);
        Some(Situation::new(name, About::Dragged, pushes))
    }

    /// How many times some forces almost turn it over about a line through two of its feet; nothing if they never do.
    fn tips(&self, pushes: &[Push]) -> Option<f64> {
        let about = |(from, along): (DVec3, DVec3)| {
            let moment = |at: DVec3, force: DVec3| force.cross(at - from).dot(along);
            let holds = moment(self.centre, DVec3::NEG_Z * self.weight);
            let turns: f64 = pushes.iter().map(|push| moment(push.at, push.force)).sum();
            (turns < 0.0).then(|| (HELD * holds / -turns).max(0.0))
        };
        self.edges().filter_map(about).min_by(f64::total_cmp)
    }

    /// Lines that it turns over about: through two feet, all others to the left of it or on it.
    fn edges(&self) -> impl Iterator<Item = (DVec3, DVec3)> {
        let pairs = self.feet.iter().flat_map(|from| self.feet.iter().map(|to| (from.at, to.at - from.at)));
        pairs.filter_map(|(from, line)| {
            let along = DVec3 { z: 0.0, ..line }.try_normalize()?;
            let left = |foot: &Point| along.cross(foot.at - from).z >= -ON_LINE;
            self.feet.iter().all(left).then_some((from, along))
        })
    }
}

impl Hold {
    /// In words.
    fn word(self) -> String {
        match self {
            Hold::Edge(side) => format!("{side} edge"),
            Hold::End(side) => format!("{side} end"),
        }
    }

    /// Where hands take hold of it, as near as may be to a line straight before `at`, with shares of a force as x.
    fn hands(self, seating: &Seating, at: DVec3) -> Vec<Push> {
        let [left, right] = seating.ends;
        let inside = |side: &str| if side == "left" { left + PAD / 2.0 } else { right - PAD / 2.0 };
        let share = |touches: &[Touch]| pushes(touches, DVec3::X);
        match self {
            Hold::End(side) => match seating.arms().iter().find(|arm| seating.side_of(**arm) == side) {
                Some(arm) => on_arm(seating, *arm, at.y),
                None => {
                    share(&seating.seat_pad(inside(side), at.y.clamp(seating.front, seating.rear), [PAD; 2]))
                }
            },
            Hold::Edge(side) => {
                let x = at.x.max(inside("left")).min(inside("right"));
                let back = if side == "rear" { seating.back_pad(x) } else { Vec::new() };
                let y = if side == "rear" { seating.rear - EDGE / 2.0 } else { seating.front + EDGE / 2.0 };
                share(&if back.is_empty() { seating.seat_pad(x, y, [PAD, EDGE]) } else { back })
            }
        }
    }
}

/// Both ends of an arm, so that it comes along level with what is at `y`.
fn on_arm(seating: &Seating, arm: PartId, y: f64) -> Vec<Push> {
    let [front, rear] = HANDS.map(|share| seating.along_arm(arm, share));
    let share = ((rear.y - y) / (rear.y - front.y)).clamp(0.0, 1.0);
    [(front, share), (rear, 1.0 - share)]
        .map(|(at, share)| Push { part: arm, at, force: DVec3::X * share })
        .into()
}

/// Shares of a force, as x, as that force.
fn turned(shares: &[Push], force: DVec3) -> Vec<Push> {
    shares.iter().map(|share| Push { force: force * share.force.x, ..*share }).collect()
}
