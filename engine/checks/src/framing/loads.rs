//! Load cases: who sits, leans, stands and holds on where; mirrored and moved, for each use level.

use super::seating::{PAD, Seating, Touch};
use crate::statics::swing::STANDARD_GRAVITY;
use crate::statics::wood::Duration;
use slatwork_catalog::Status;
use slatwork_model::{PartId, UseLevel};
use slatwork_solid::DVec3;

/// Loads of a use level, N, and how far each is to be trusted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// A person on a place (EN 581-2 by a copy, read; heavy in proportion to mass, project choice).
    pub seat: f64,
    /// Push on the back of a place (EN 581-2 by a copy, read; contract from memory, heavy in proportion).
    pub back: f64,
    /// On the front edge (EN 581-2 by a copy, read; heavy in proportion to mass).
    pub front: f64,
    /// Down on an arm (EN 581-2 by a copy, read; heavy in proportion).
    pub arm: f64,
    /// Sideways on an arm: functional, heavy the proof load (BIFMA X5.4-2012 section 9, read second-hand).
    pub arm_aside: f64,
    /// At the seat of a piece that stands, to the side and forward, its feet catching (EN 16139, heavy by its level 2, from memory; that it
    /// holds at home, too, project choice).
    pub legs: [f64; 2],
    /// Down on the place beside which the seat is pushed (EN 1728, from memory).
    pub beside_push: f64,
    /// Down on the top of the back of a place: 200 lb functional, heavy the proof load of 300 lb (BIFMA X5.4-2012 section 6, for
    /// lounge and public seating, read second-hand); EN 581-2 asks for none in a garden at home.
    pub back_top: Option<f64>,
    /// Mass of a person, kg: 253 lb of BIFMA X5.1-2011 rounded, 275 lb of X5.4-2020, 400 lb of X5.11-2015 (each read); which level
    /// takes which is this project's choice.
    pub mass: f64,
}

impl Level {
    /// Of a use level.
    pub fn of(level: UseLevel) -> Level {
        match level {
            UseLevel::Domestic => Level {
                seat: 1600.0,
                back: 560.0,
                front: 1300.0,
                arm: 700.0,
                arm_aside: 445.0,
                legs: [400.0, 500.0],
                beside_push: 1_000.0,
                back_top: None,
                mass: 115.0,
            },
            UseLevel::Contract => Level {
                seat: 2000.0,
                back: 760.0,
                front: 1300.0,
                arm: 900.0,
                arm_aside: 445.0,
                legs: [400.0, 500.0],
                beside_push: 1_000.0,
                back_top: Some(890.0),
                mass: 125.0,
            },
            UseLevel::Heavy => Level {
                seat: 2700.0,
                back: 1100.0,
                front: 1890.0,
                arm: 1310.0,
                arm_aside: 667.0,
                legs: [490.0, 620.0],
                beside_push: 1_000.0,
                back_top: Some(1334.0),
                mass: 182.0,
            },
        }
    }

    /// All of them times a share.
    #[must_use]
    pub fn times(self, share: f64) -> Level {
        let Level { seat, back, front, arm, arm_aside, legs, beside_push, back_top, mass } = self;
        Level {
            seat: seat * share,
            back: back * share,
            front: front * share,
            arm: arm * share,
            arm_aside: arm_aside * share,
            legs: legs.map(|own| own * share),
            beside_push: beside_push * share,
            back_top: back_top.map(|own| own * share),
            mass: mass * share,
        }
    }

    /// How far the figures of a level are to be trusted.
    pub fn status(level: UseLevel) -> Status {
        if level == UseLevel::Domestic { Status::Read } else { Status::ProjectChoice }
    }
}

/// What a load case is about: checks pick theirs by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// People sitting.
    Sitting,
    /// Sitting on the front edge.
    FrontEdge,
    /// Sitting and pushing the back.
    Leaning,
    /// Leaning on an arm.
    Arm,
    /// Pushing the seat of a piece that stands to a side or forward, its feet catching.
    Pushed,
    /// Sitting on the top of the back.
    OnBack,
    /// Most of a person on one slat.
    OneSlat,
    /// Standing on the seat: short, and not what it is for.
    Standing,
    /// An end or an edge of it lifted.
    Lifted,
    /// Dragged by an end or an edge, a foot catching.
    Dragged,
    /// Let drop.
    Dropped,
}

/// Times its own weight that a piece bears when an end is let drop a few millimetres (project choice: a body that falls no
/// height at all, yet at once, bears 2; the height is not reckoned).
const DROPPED: f64 = 3.0;

impl About {
    /// Load duration factor that the strength of wood and joints takes: ten minutes for who stands on a seat and for moving it, else
    /// 1 (NDS Table 2.3.2, read; that sitting takes 1, and all moving in its life ten minutes, project choice).
    pub fn duration(self) -> f64 {
        match self {
            About::Standing | About::Lifted | About::Dragged | About::Dropped => {
                Duration::TenMinutes.factor()
            }
            About::Sitting
            | About::FrontEdge
            | About::Leaning
            | About::Arm
            | About::Pushed
            | About::OnBack
            | About::OneSlat => 1.0,
        }
    }

    /// What that factor rests on, where it is not that of years; none where it is 1.
    pub(crate) fn duration_sources(self) -> Vec<(&'static str, Status)> {
        if self.duration() == 1.0 {
            return Vec::new();
        }
        vec![
            ("load duration factor 1.6 for ten minutes, NDS Table 2.3.2", Status::Read),
            ("ten minutes in all for who stands on a seat and for moving it", Status::ProjectChoice),
        ]
    }

    /// Times its own weight that a piece bears.
    pub fn weight(self) -> f64 {
        if self == About::Dropped { DROPPED } else { 1.0 }
    }

    /// What its forces rest on, and how far that is to be trusted.
    pub(crate) fn source(self, level: UseLevel) -> (&'static str, Status) {
        match self {
            About::Dragged => ("350 N of who drags it, at one foot", Status::CommonPractice),
            About::Lifted => ("lifted by its own weight alone", Status::ProjectChoice),
            About::Pushed => ("pushes on legs of EN 16139", Status::FromMemory),
            About::OnBack => ("BIFMA X5.4-2012 section 6, at second hand", Status::Read),
            About::Dropped => ("let drop: a multiple of its own weight", Status::ProjectChoice),
            _ => ("load levels of EN 581-2 and project loads", Level::status(level)),
        }
    }
}

/// A force on a part.
#[derive(Clone, Copy, Debug)]
pub struct Push {
    /// The part.
    pub part: PartId,
    /// World, mm.
    pub at: DVec3,
    /// World, N.
    pub force: DVec3,
}

/// One load case.
#[derive(Clone, Debug)]
pub struct Situation {
    /// In words ("one person on place 1").
    pub name: String,
    /// What it is about.
    pub about: About,
    /// Forces of people.
    pub pushes: Vec<Push>,
    /// Whether what tips the piece is lessened so that it does not (EN 1728, from memory).
    pub lessened: bool,
}

impl Situation {
    /// A load case as it is given.
    pub fn new(name: impl Into<String>, about: About, pushes: Vec<Push>) -> Situation {
        Situation { name: name.into(), about, pushes, lessened: false }
    }
}

/// Distance of the front load from the edge, mm (EN 581-2, from memory).
const FRONT_INSIDE: f64 = 80.0;
/// Loads at the corners stand half a pad inside the ends.
pub(super) const CORNER_INSIDE: f64 = PAD / 2.0;
/// Share of a person that one slat must bear alone (project choice).
const ON_ONE_SLAT: f64 = 0.6;
/// Places along an arm that are leaned on, as shares of its length: by its ends and in its middle.
const ARM_PLACES: [(f64, &str); 3] = [(0.1, "front"), (0.5, "middle"), (0.9, "rear")];

/// Every load case of a piece at a use level.
pub fn situations(seating: &Seating, level: Level) -> Vec<Situation> {
    let mut found = sitting(seating, level);
    found.extend(front(seating, level));
    found.extend(leaning(seating, level));
    found.extend(on_back(seating, level));
    found.extend(arms(seating, level));
    found.extend(standing(seating, level));
    found.retain(|situation| !situation.pushes.is_empty());
    found
}

/// A force on what a pad touches.
pub(super) fn pushes(touches: &[Touch], force: DVec3) -> Vec<Push> {
    touches.iter().map(|touch| Push { part: touch.part, at: touch.at, force: force * touch.share }).collect()
}

fn down(force: f64) -> DVec3 {
    DVec3::new(0.0, 0.0, -force)
}

/// A push square to the boards it meets, to the rear.
fn against(seating: &Seating, touches: &[Touch], force: f64) -> Vec<Push> {
    let push = |touch: &Touch| Push {
        part: touch.part,
        at: touch.at,
        force: seating.out_of_back(touch.part) * (force * touch.share),
    };
    touches.iter().map(push).collect()
}

pub(super) fn sat_on(seating: &Seating, x: f64, force: f64) -> Vec<Push> {
    pushes(&seating.seat_pad(x, seating.loaded, [PAD; 2]), down(force))
}

/// All places, and each alone.
fn sitting(seating: &Seating, level: Level) -> Vec<Situation> {
    let of = |name: String, places: &[f64]| {
        let pushes = places.iter().flat_map(|x| sat_on(seating, *x, level.seat)).collect();
        Situation::new(name, About::Sitting, pushes)
    };
    let all = of(String::from("people on all places"), &seating.places);
    let count = seating.places.len();
    let alone = (0..if count > 1 { count } else { 0 }).map(|place| {
        of(format!("one person, on place {} from the left", place + 1), &[seating.places[place]])
    });
    std::iter::once(all).chain(alone).collect()
}

fn front(seating: &Seating, level: Level) -> Vec<Situation> {
    let [left, right] = seating.ends;
    let y = seating.front + FRONT_INSIDE;
    let places = [
        (left + CORNER_INSIDE, "left end"),
        (f64::midpoint(left, right), "middle"),
        (right - CORNER_INSIDE, "right end"),
    ];
    places
        .into_iter()
        .map(|(x, place)| {
            let pad = seating.seat_pad(x, y, [PAD, PAD / 2.0]);
            let name = format!("one person on the front edge, {place}");
            Situation::new(name, About::FrontEdge, pushes(&pad, down(level.front)))
        })
        .collect()
}

/// People on all places push the back; and each alone.
fn leaning(seating: &Seating, level: Level) -> Vec<Situation> {
    let of = |name: String, places: &[f64]| {
        let seat = places.iter().flat_map(|x| sat_on(seating, *x, level.seat));
        let back = places.iter().flat_map(|x| against(seating, &seating.back_pad(*x), level.back));
        Situation::new(name, About::Leaning, seat.chain(back).collect())
    };
    if seating.back.is_none() {
        return Vec::new();
    }
    let count = seating.places.len();
    let alone = (0..if count > 1 { count } else { 0 }).map(|place| {
        of(format!("one person leaning back, on place {} from the left", place + 1), &[seating.places[place]])
    });
    std::iter::once(of(String::from("people on all places leaning back"), &seating.places))
        .chain(alone)
        .collect()
}

/// Backs that end lower than this over the ground are sat on, mm: 38 in (BIFMA X5.4-2012 section 6, read second-hand).
const SAT_ON_BELOW: f64 = 965.0;

/// People sitting on the top of the back, over all places. Nobody can on a piece that hangs: it would turn away under them.
fn on_back(seating: &Seating, level: Level) -> Option<Situation> {
    let force = down(level.back_top?);
    if seating.hangs() || seating.back_height()? > SAT_ON_BELOW {
        return None;
    }
    let over = seating.places.iter().flat_map(|x| pushes(&seating.top_of_back(*x), force));
    Some(Situation::new("people sitting on the top of the back", About::OnBack, over.collect()))
}

/// The place beside an arm.
pub(super) fn beside(seating: &Seating, arm: PartId) -> f64 {
    let places = &seating.places;
    if seating.side_of(arm) == "left" { places[0] } else { places[places.len() - 1] }
}

/// Down on each arm at three places; sideways at its front, both ways, with a person on the place beside it. Who leans on an arm
/// of a piece that hangs sits in it, the rest of the weight on the place beside (project choice): nobody else can, since it would
/// swing away.
fn arms(seating: &Seating, level: Level) -> Vec<Situation> {
    let mut found = Vec::new();
    for arm in seating.arms() {
        let side = seating.side_of(*arm);
        let beside = beside(seating, *arm);
        let rest = if seating.hangs() { (level.seat - level.arm).max(0.0) } else { 0.0 };
        for (share, place) in ARM_PLACES {
            let at = seating.along_arm(*arm, share);
            let mut pushes = if rest > 0.0 { sat_on(seating, beside, rest) } else { Vec::new() };
            pushes.push(Push { part: *arm, at, force: down(level.arm) });
            let name = format!("leaning on the {side} arm, {place}");
            found.push(Situation::new(name, About::Arm, pushes));
        }
        for (way, word) in [(-1.0, "left"), (1.0, "right")] {
            let push = Push {
                part: *arm,
                at: seating.along_arm(*arm, ARM_PLACES[0].0),
                force: DVec3::X * (way * level.arm_aside),
            };
            let mut pushes = sat_on(seating, beside, level.seat);
            pushes.push(push);
            let name = format!("one person pushing the {side} arm to the {word}");
            found.push(Situation::new(name, About::Arm, pushes));
        }
    }
    found
}

/// On each slat, in the middle of its longest span from bearer to bearer: six tenths of a seat load on it alone, and a person
/// standing, whose foot may reach its neighbours.
fn standing(seating: &Seating, level: Level) -> Vec<Situation> {
    let alone = |part: &PartId| {
        let at = seating.longest_span(*part);
        let along = seating.grain(*part) * (PAD / 2.0);
        let share = level.seat * ON_ONE_SLAT / SPREAD as f64;
        let place = |step: usize| at + along * ((2 * step + 1) as f64 / SPREAD as f64 - 1.0);
        let push = |step| Push { part: *part, at: place(step), force: down(share) };
        let name = format!("most of a person on `{}` alone", seating.name_of(*part));
        Situation::new(name, About::OneSlat, (0..SPREAD).map(push).collect())
    };
    let foot = |part: &PartId| {
        let at = seating.longest_span(*part);
        let pad = seating.seat_pad(at.x, at.y, FOOT);
        let name = format!("a person standing on `{}`", seating.name_of(*part));
        Situation::new(name, About::Standing, pushes(&pad, down(level.mass * STANDARD_GRAVITY)))
    };
    seating.on().iter().flat_map(|part| [alone(part), foot(part)]).collect()
}

/// Points that a load along a slat is spread over.
const SPREAD: usize = 4;
/// Foot of a person who stands: across the seat and from front to rear, mm (project choice).
const FOOT: [f64; 2] = [150.0, 100.0];
