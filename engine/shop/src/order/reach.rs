//! Whether a fastener can be put in and driven: the tools' room behind its head, and at the far side of a bolt.

use super::yard::Yard;
use slatwork_base::maths;
use slatwork_catalog::{Catalogue, FastenerKind, Tools};
use slatwork_model::Model;
use slatwork_model::joints::{Drive, Fastening};
use slatwork_solid::{DVec3, Mover};

/// Half the width of a bit holder, mm: 1/4 in hexagon in a holder of 10 mm (common practice, no source).
const BIT_RADIUS: f64 = 5.0;

/// Wider than across the corners by this, mm, is a socket (common practice, no source).
const SOCKET_WALL: f64 = 5.0;

/// Straight room that a socket on a ratchet needs beyond the nut's face or behind the head, mm (common practice, no source).
const SOCKET_ROOM: f64 = 70.0;

/// Straight room that an open-ended wrench needs beyond the tip or behind the head, mm: its thickness and the fingers that
/// start the nut (project choice).
const WRENCH_ROOM: f64 = 22.0;

/// Length of an open-ended wrench, in widths across its flats (common practice, no source: 1/2 in wrenches are some 6 1/2 in
/// long).
const WRENCH_LENGTH: f64 = 13.0;

/// Width across the flats of a hexagon, of that across its corners: the cosine of 30 degrees.
const FLATS: f64 = 0.866;

/// Half the width of a wrench's handle, mm (common practice, no source).
const HANDLE_RADIUS: f64 = 5.0;

/// A wrench's handle stands this far off the face that nut or head lies on, mm: the middle of a nut of 3/8 in and its washer.
const HANDLE_HEIGHT: f64 = 8.0;

/// Ways that a wrench's handle can point, a twelfth of a turn apart.
const HANDLE_PLACES: usize = 12;

/// Neighbouring places of the handle that are free for one pull: from one to the next flat, a sixth of a turn, both included.
const HANDLE_PULL: usize = 3;

/// Room behind a nail for the hammer's head and its swing, mm (common practice, no source).
const HAMMER_ROOM: f64 = 200.0;

/// Half the width of a hammer's face, mm (common practice, no source).
const HAMMER_RADIUS: f64 = 14.0;

/// Room beyond a bolt's own length to put it in, mm: fingertips (project choice).
const FINGERS: f64 = 10.0;

/// Room beyond a screw's own length to set it into its hole, mm: it is held by its shank, from the side (project choice).
const CLEAR_OF_SCREW: f64 = 3.0;

/// A corridor begins this far off the wood that the head sits in, mm: its mouth is cut for the head.
const OFF_THE_WOOD: f64 = 1.0;

/// Wood of the fastened part that lies this near behind the head is the mouth of its own hole, mm.
const MOUTH: f64 = 3.0;

/// Rounds of halving to tell free room to a tenth of a millimetre.
const HALVINGS: usize = 12;

/// What a fastener is driven with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum With {
    Driver,
    AngleDriver,
    Socket,
    Wrench,
    Hammer,
    Hand,
}

impl With {
    pub(crate) fn words(self) -> &'static str {
        match self {
            With::Driver => "drill and driver bit",
            With::AngleDriver => "right-angle attachment",
            With::Socket => "socket and ratchet",
            With::Wrench => "open-ended wrench",
            With::Hammer => "hammer and nail set",
            With::Hand => "mallet",
        }
    }
}

/// Room along one axis.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Room {
    from: DVec3,
    direction: DVec3,
    radius: f64,
    pub(crate) needed: f64,
    /// The part that the fastener is put through first, whose mouth is no obstacle.
    own: Option<usize>,
}

/// A room, and the parts that would stand in it.
type Taken = (Room, Vec<usize>);

/// One way to drive a fastener: all rooms must be free.
#[derive(Clone, Debug)]
pub(crate) struct Way {
    pub(crate) with: With,
    rooms: Vec<Taken>,
    /// The places of a wrench's handle round its nut; empty where nothing is swung.
    places: Vec<Taken>,
    /// Whether a bolt is put in from the far side.
    pub(crate) turned: bool,
}

impl Way {
    fn new(yard: &Yard, count: usize, with: With, rooms: Vec<Room>) -> Way {
        let rooms = rooms.into_iter().map(|room| room.taken(yard, count)).collect();
        Way { with, rooms, places: Vec::new(), turned: false }
    }

    /// The same way with a wrench that is swung about `nut`, a point on the face that nut or head lies on.
    fn swung(self, yard: &Yard, count: usize, (nut, outward): (DVec3, DVec3), length: f64) -> Way {
        let (one, other) =
            (outward.any_orthonormal_vector(), outward.cross(outward.any_orthonormal_vector()));
        let place = |index: usize| {
            let (sine, cosine) = maths::sin_cos(index as f64 * core::f64::consts::TAU / HANDLE_PLACES as f64);
            let from = nut + outward * HANDLE_HEIGHT;
            let direction = one * cosine + other * sine;
            let room = Room { from, direction, radius: HANDLE_RADIUS, needed: length, own: None };
            room.taken(yard, count)
        };
        Way { places: (0..HANDLE_PLACES).map(place).collect(), ..self }
    }

    fn hits_nothing(&self) -> bool {
        self.rooms.iter().all(|(_, hit)| hit.is_empty())
    }

    fn turned(self) -> Way {
        Way { turned: true, ..self }
    }

    pub(crate) fn is_free(&self, stands: &[bool]) -> bool {
        let free = |taken: &Taken| !taken.1.iter().any(|&part| stands[part]);
        self.rooms.iter().all(free) && (self.places.is_empty() || self.pulls().any(|mut pull| pull.all(free)))
    }

    /// The places of the handle that one pull passes, for each that it can begin at.
    fn pulls(&self) -> impl Iterator<Item = impl Iterator<Item = &Taken>> {
        let count = self.places.len();
        (0..count).map(move |from| (from..from + HANDLE_PULL).map(move |at| &self.places[at % count]))
    }

    /// The first room that is not free, else the pull that comes nearest: what there is, what is needed, what is in it.
    fn tightest(&self, yard: &Yard, stands: &[bool]) -> Option<Tight> {
        let tight = |taken: &Taken| taken.0.tight(yard, &taken.1, stands);
        let worst = |pull: Vec<Tight>| pull.into_iter().min_by(|a, b| a.free.total_cmp(&b.free));
        self.rooms.iter().find_map(tight).or_else(|| {
            let pulls: Option<Vec<Tight>> =
                self.pulls().map(|pull| worst(pull.filter_map(tight).collect())).collect();
            let best = pulls?.into_iter().max_by(|a, b| a.free.total_cmp(&b.free))?;
            Some(Tight { swung: true, ..best })
        })
    }
}

/// Where ways of driving a fastener fail: the room to tell of (a wrench that could be put on and not swung, else that of the
/// usual way), and the room that each way wants.
pub(crate) fn tightest(ways: &[Way], yard: &Yard, stands: &[bool]) -> Option<(Tight, Vec<f64>)> {
    let tights: Vec<Tight> = ways.iter().filter_map(|way| way.tightest(yard, stands)).collect();
    let told = tights.iter().find(|tight| tight.swung).or(tights.first()).copied()?;
    let alike = tights.iter().filter(|tight| tight.swung == told.swung);
    Some((told, alike.map(|tight| tight.needed).collect()))
}

/// A room that something stands in.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tight {
    pub(crate) free: f64,
    pub(crate) needed: f64,
    pub(crate) by: usize,
    /// Whether it is a wrench's swing, rather than an axis.
    pub(crate) swung: bool,
}

impl Room {
    fn taken(self, yard: &Yard, count: usize) -> Taken {
        let (rod, own) = (self.rod(self.needed, false), self.rod(self.needed, true));
        let hits = |part: &usize| {
            let rod = if self.own == Some(*part) { &own } else { &rod };
            rod.hits(yard.body(*part), DVec3::ZERO)
        };
        (self, (0..count).filter(hits).collect())
    }

    /// How much of it is free of the parts that stand, if it is not free altogether.
    fn tight(&self, yard: &Yard, hit: &[usize], stands: &[bool]) -> Option<Tight> {
        let in_way: Vec<usize> = hit.iter().copied().filter(|&part| stands[part]).collect();
        let by = *in_way.first()?;
        let (mut free, mut taken) = (0.0, self.needed);
        for _ in 0..HALVINGS {
            let middle = (free + taken) / 2.0;
            if in_way.iter().any(|&part| self.is_blocked_by(yard, part, middle)) {
                taken = middle
            } else {
                free = middle
            }
        }
        Some(Tight { free, needed: self.needed, by, swung: false })
    }

    fn rod(&self, length: f64, own: bool) -> Mover {
        let (off, radius) = if own { (MOUTH, OWN_RADIUS) } else { (OFF_THE_WOOD, self.radius) };
        Mover::rod(self.from + self.direction * off, self.from + self.direction * length.max(off), radius)
    }

    fn is_blocked_by(&self, yard: &Yard, part: usize, length: f64) -> bool {
        self.rod(length, self.own == Some(part)).hits(yard.body(part), DVec3::ZERO)
    }
}

/// The part's own wood is bored to let the head through, so only what stands on the very axis counts, mm.
const OWN_RADIUS: f64 = 1.0;

/// The ways to drive a fastener, the usual one first.
pub(crate) fn ways(model: &Model, catalogue: &Catalogue, yard: &Yard, fastening: &Fastening) -> Vec<Way> {
    let count = model.parts.len();
    let way = |with, rooms| Way::new(yard, count, with, rooms);
    let tools = catalogue.tools();
    let length = fastening.length.as_mm();
    match fastening.drive {
        Drive::Driver => driver_ways(fastening, tools, length)
            .into_iter()
            .map(|(with, room)| way(with, vec![room]))
            .collect(),
        Drive::Hammer => {
            vec![way(With::Hammer, vec![behind(fastening, HAMMER_RADIUS, HAMMER_ROOM.max(length + FINGERS))])]
        }
        Drive::Mallet => {
            vec![way(With::Hand, vec![behind(fastening, HAMMER_RADIUS, HAMMER_ROOM.max(length + FINGERS))])]
        }
        Drive::Hand => vec![way(With::Hand, Vec::new())],
        Drive::Wrench => {
            let usual = if fastening.takes_nut() {
                bolt_ways(catalogue, fastening, way)
            } else {
                head_ways(fastening, way)
            };
            let handle = WRENCH_LENGTH * FLATS * corners(fastening);
            // Where a socket has its room in the finished piece, no wrench needs to be swung.
            let anyhow = |own: &&Bolted| own.way.with == With::Socket && own.way.hits_nothing();
            match usual.iter().find(anyhow) {
                Some(own) => vec![own.way.clone()],
                None => usual.into_iter().map(|own| own.with_swing(yard, count, handle)).collect(),
            }
        }
    }
}

/// A screw must also be set into its hole before it is driven, so the room is never less than its length.
fn driver_ways(fastening: &Fastening, tools: &Tools, length: f64) -> [(With, Room); 2] {
    let radius = (fastening.head_diameter.as_mm() / 2.0).max(BIT_RADIUS);
    let room = |tool: f64| behind(fastening, radius, tool.max(length + CLEAR_OF_SCREW));
    [
        (With::Driver, room(tools.driver_room.as_mm())),
        (With::AngleDriver, room(tools.angle_driver_room.as_mm())),
    ]
}

/// Across the corners of head or nut.
fn corners(fastening: &Fastening) -> f64 {
    fastening.head_diameter.as_mm()
}

/// The bolt's own length behind its head; washer, nut and wrench beyond the wood. When that side has no room, the bolt is put
/// in from the other.
fn bolt_ways(
    catalogue: &Catalogue,
    fastening: &Fastening,
    way: impl Fn(With, Vec<Room>) -> Way,
) -> Vec<Bolted> {
    let length = fastening.length.as_mm();
    let radius = (corners(fastening) + SOCKET_WALL) / 2.0;
    let far = fastening.layers.last().map_or(length, |last| last.to);
    let grip = far - fastening.layers.first().map_or(0.0, |first| first.from.max(0.0));
    let out = length - grip;
    let kind = catalogue.find_fastener_by_id(&fastening.item).map(|item| item.kind);
    // A round head is held by its square neck, and an eye by a bar through it; any other wants a second wrench.
    let held = |tool: f64| if kind == Some(FastenerKind::HexBolt) { tool } else { 0.0 };
    let last = fastening.layers.last().map(|layer| layer.part.0);
    let first = fastening.layers.first().map(|layer| layer.part.0);
    let near_side = |needed: f64, radius: f64| Room {
        from: fastening.head - fastening.direction * fastening.sunk(),
        direction: -fastening.direction,
        radius,
        needed,
        own: first,
    };
    let far_side = |needed: f64, radius: f64| Room {
        from: fastening.head + fastening.direction * far,
        direction: fastening.direction,
        radius,
        needed,
        own: last,
    };
    let put_in = |tool: f64| (length + FINGERS).max(held(tool));
    let head = corners(fastening) / 2.0;
    let tools = [(With::Socket, SOCKET_ROOM), (With::Wrench, out + WRENCH_ROOM)];
    let (near, far) = (near_side(0.0, 0.0), far_side(0.0, 0.0));
    let straight = tools.map(|(with, tool)| Bolted {
        way: way(with, vec![near_side(put_in(tool), head), far_side(tool, radius)]),
        nut: (far.from, far.direction),
    });
    let mut all: Vec<Bolted> = straight.into();
    if fastening.sunk() == 0.0 && kind.is_some() {
        all.extend(tools.map(|(with, tool)| Bolted {
            way: way(with, vec![far_side(put_in(tool), head), near_side(tool, radius)]).turned(),
            nut: (near.from, near.direction),
        }));
    }
    all
}

/// A lag screw, or a bolt into a threaded insert: all is done at its head.
fn head_ways(fastening: &Fastening, way: impl Fn(With, Vec<Room>) -> Way) -> Vec<Bolted> {
    let radius = (corners(fastening) + SOCKET_WALL) / 2.0;
    let length = fastening.length.as_mm();
    let room = |tool: f64| behind(fastening, radius, tool.max(length + FINGERS));
    let tools = [(With::Socket, SOCKET_ROOM), (With::Wrench, WRENCH_ROOM)];
    tools
        .map(|(with, tool)| {
            let own = room(tool);
            Bolted { way: way(with, vec![own]), nut: (own.from, own.direction) }
        })
        .into()
}

/// A way to drive what a wrench turns, and where that sits: a point on the face, and outward from it.
struct Bolted {
    way: Way,
    nut: (DVec3, DVec3),
}

impl Bolted {
    fn with_swing(self, yard: &Yard, count: usize, handle: f64) -> Way {
        match self.way.with {
            With::Wrench => self.way.swung(yard, count, self.nut, handle),
            _ => self.way,
        }
    }
}

fn behind(fastening: &Fastening, radius: f64, needed: f64) -> Room {
    Room {
        from: fastening.head - fastening.direction * fastening.sunk(),
        direction: -fastening.direction,
        radius,
        needed,
        own: fastening.layers.first().map(|layer| layer.part.0),
    }
}
