//! How a person sits at one place, taken off the solids: in a plane through the middle of the place, seen from the side.

use slatwork_base::maths;
use slatwork_model::{Model, Part, PartId};
use slatwork_solid::{Bounds, DVec2, DVec3, along};

/// Surfaces are felt at steps of this, mm.
const STEP: f64 = 10.0;
/// An edge is felt in so many parts of a step.
const FINE: i32 = 20;
/// A back of upright slats is felt at the middle of the place and so far to either side, mm: one of the three meets a slat.
const ABREAST: [f64; 3] = [-35.0, 0.0, 35.0];
/// A seat is felt so far beside the middle, mm: lines in the very middle may run along where the pieces of a bent slat meet.
const OFF_CENTRE: f64 = 0.7;
/// The edge that carries the thighs is the highest line within so much of the front, mm (project choice).
const FRONT: f64 = 80.0;
/// The seat bones bear so far in front of the back, mm (from memory).
const SEAT_BONES: f64 = 130.0;
/// The back is met so high above the seat, mm (middle of 150 to 200; project choice).
const BACK_MET: f64 = 175.0;
/// Weight acts so far in front of where seat and back meet, along the seat, mm (seat load point of ISO 7174-1, read).
const LOADED: f64 = 175.0;
/// The part of the back whose lean is felt, mm above the seat: from the hips to under the shoulder blades (project choice).
const LUMBAR: (f64, f64) = (100.0, 300.0);
/// Points farther behind the line of a back than this, mm, are of edges seen through gaps.
const BEHIND_FACE: f64 = 1.0;
/// Hips and what is beside them, mm above the seat.
const BESIDE: [f64; 4] = [40.0, 90.0, 140.0, 190.0];
/// So far beyond parts nothing of them is met, and so far within an arm there is wood, mm.
const BEYOND: f64 = 10.0;

/// What a seat is made for, which sets what is comfortable on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Style {
    /// A bench.
    Upright,
    /// Leaned back.
    Lounge,
    /// Hung.
    Swing,
}

/// A back leaning further than this is lounged in, degrees: between the upright and the lounge ranges.
const LOUNGE: f64 = 21.0;

/// How a person sits at one place. Lengths in mm, angles in degrees.
#[derive(Clone, Debug)]
pub(crate) struct Sitting {
    /// What it is made for.
    pub(crate) style: Style,
    /// The front edge in the middle of the place, in the world.
    pub(crate) edge: DVec3,
    /// Where weight acts on the seat, in the world; without a back half of the way to its rear edge.
    pub(crate) loaded: DVec3,
    /// Height of the front edge above the floor; `None` where that is not known, as of a swing before it hangs.
    pub(crate) height: Option<f64>,
    /// Along the seat from the front edge to the back.
    pub(crate) depth: Option<f64>,
    /// Fall of the seat to the rear.
    pub(crate) fall: f64,
    /// Lean of the back from upright.
    pub(crate) lean: Option<f64>,
    /// Along the back, from the seat to its top.
    pub(crate) back_height: Option<f64>,
    /// Square to the seat, from it to the lowest of the back.
    pub(crate) under_back: Option<f64>,
    /// Top of the arms over the middle of the seat.
    pub(crate) arm_height: Option<f64>,
    /// How far the arms end behind the front edge; less than zero where they pass it.
    pub(crate) arms_behind: Option<f64>,
    /// Clear width of all places together.
    pub(crate) width: f64,
}

impl Sitting {
    /// One for each place, from left to right, nothing where no seat is felt; none at all where no seat is declared.
    pub(crate) fn all(model: &Model) -> Vec<Option<Sitting>> {
        let Some(seat) = model.seat.as_ref().filter(|seat| !seat.on.is_empty()) else { return Vec::new() };
        let places = seat.places.max(1);
        let bounds = bounds_of(model, &seat.on);
        let room = bounds.max.x - bounds.min.x;
        let middle = |place: usize| bounds.min.x + room * (place as f64 + 0.5) / places as f64;
        let felt = Felt { model, on: parts(model, &seat.on), back: parts(model, &seat.back), bounds };
        (0..places).map(|place| felt.at(middle(place) + OFF_CENTRE)).collect()
    }

    /// Between seat and back.
    pub(crate) fn included(&self) -> Option<f64> {
        self.lean.map(|lean| 90.0 + lean - self.fall)
    }
}

fn parts<'a>(model: &'a Model, ids: &[PartId]) -> Vec<(&'a Part, Bounds)> {
    ids.iter().map(|id| (model.part(*id), model.part(*id).placed().bounds())).collect()
}

fn bounds_of(model: &Model, ids: &[PartId]) -> Bounds {
    ids.iter().fold(Bounds::EMPTY, |all, id| all.union(&model.part(*id).placed().bounds()))
}

/// A seat to be felt.
struct Felt<'a> {
    model: &'a Model,
    on: Vec<(&'a Part, Bounds)>,
    back: Vec<(&'a Part, Bounds)>,
    bounds: Bounds,
}

/// A line of the seat seen from the side: (y, z) of its front edge and its fall in radians.
#[derive(Clone, Copy)]
struct SeatLine {
    front: DVec2,
    fall: f64,
}

impl SeatLine {
    /// Along the seat and square to it.
    fn of(self, point: DVec2) -> DVec2 {
        let ((sin, cos), from) = (maths::sin_cos(self.fall), point - self.front);
        DVec2::new(from.x * cos - from.y * sin, from.x * sin + from.y * cos)
    }

    /// Height of the seat over y.
    fn height_at(self, y: f64) -> f64 {
        self.front.y - (y - self.front.x) * maths::tan(self.fall)
    }
}

impl Felt<'_> {
    fn at(&self, x: f64) -> Option<Sitting> {
        let surface = self.surface(x);
        let line = self.line(x, &surface)?;
        let back = self.back_line(x, line);
        let depth = back.as_ref().map(|back| back.at(BACK_MET));
        let lean = back.as_ref().map(|back| (maths::atan(back.slope) + line.fall).to_degrees());
        let middle =
            line.front.x + depth.unwrap_or(self.bounds.max.y - line.front.x) / 2.0 * maths::cos(line.fall);
        let arms = self.arms();
        let hung = self.model.hangs();
        Some(Sitting {
            style: match lean {
                _ if hung => Style::Swing,
                Some(lean) if lean > LOUNGE => Style::Lounge,
                _ => Style::Upright,
            },
            edge: DVec3::new(x, line.front.x, line.front.y),
            loaded: self.loaded(x, line, back.as_ref()),
            height: self.floor().filter(|_| !hung).map(|floor| line.front.y - floor),
            depth,
            fall: line.fall.to_degrees(),
            lean,
            under_back: back.as_ref().map(|back| back.low),
            back_height: back.as_ref().map(|back| back.top),
            arm_height: arms.map(|arms| arms.max.z - line.height_at(middle)),
            arms_behind: arms.map(|arms| arms.min.y - line.front.x),
            width: self.width(x, line, depth, arms),
        })
    }

    fn loaded(&self, x: f64, line: SeatLine, back: Option<&BackLine>) -> DVec3 {
        let whole = self.bounds.max.y - line.front.x;
        let along = back.map_or(whole / 2.0, |back| (back.foot - LOADED).max(0.0));
        let (sine, cosine) = maths::sin_cos(line.fall);
        DVec3::new(x, line.front.x + along * cosine, line.front.y - along * sine)
    }

    /// Where the floor is under what stands: under its feet.
    fn floor(&self) -> Option<f64> {
        self.model.parts.iter().map(|part| part.placed().bounds().min.z).reduce(f64::min)
    }

    /// Points of the seat's surface from front to rear, (y, z).
    fn surface(&self, x: f64) -> Vec<DVec2> {
        let steps = ((self.bounds.max.y - self.bounds.min.y) / STEP) as usize;
        let ys = (0..=steps).map(|step| self.bounds.min.y + (step as f64 + 0.5) * STEP);
        ys.filter_map(|y| self.top(x, y)).collect()
    }

    /// The point of the seat's surface there, (y, z).
    fn top(&self, x: f64, y: f64) -> Option<DVec2> {
        let here = self.on.iter().filter(|(_, bounds)| {
            (bounds.min.x..=bounds.max.x).contains(&x) && (bounds.min.y..=bounds.max.y).contains(&y)
        });
        let top = DVec3::new(x, y, self.bounds.max.z + BEYOND);
        let bottom = DVec3::new(x, y, self.bounds.min.z - BEYOND);
        let met = here.filter_map(|(part, _)| Some(along(&part.placed(), top, bottom).first()?.0));
        met.reduce(f64::min).map(|down| DVec2::new(y, top.z - down))
    }

    /// Height of the edge that carries the thighs: the highest of the surface near the front, felt more finely about there.
    fn edge(&self, x: f64, surface: &[DVec2]) -> Option<f64> {
        let first = surface.first()?;
        let near = surface.iter().filter(|point| point.x - first.x <= FRONT);
        let high = near.max_by(|a, b| a.y.total_cmp(&b.y))?;
        let fine =
            (-FINE..=FINE).filter_map(|part| self.top(x, high.x + f64::from(part) * STEP / f64::from(FINE)));
        fine.map(|point| point.y).reduce(f64::max)
    }

    /// From the front edge to under the seat bones, which asks for the back and it for the line: twice is enough.
    fn line(&self, x: f64, surface: &[DVec2]) -> Option<SeatLine> {
        let last = surface.last()?;
        let front = DVec2::new(self.bounds.min.y, self.edge(x, surface)?);
        let to = |y: f64| {
            let under = surface.iter().min_by(|a, b| (a.x - y).abs().total_cmp(&(b.x - y).abs()))?;
            Some(SeatLine { front, fall: maths::atan2(front.y - under.y, under.x - front.x) })
        };
        let rough = to(last.x)?;
        let depth = self.back_line(x, rough).map_or(last.x - front.x, |back| back.at(BACK_MET));
        to(front.x + (depth - SEAT_BONES).max(depth / 2.0))
    }

    fn back_line(&self, x: f64, line: SeatLine) -> Option<BackLine> {
        let own: Vec<DVec2> =
            self.back_points(x).into_iter().map(|point| line.of(point)).filter(|at| at.y > 0.0).collect();
        BackLine::through(&own)
    }

    /// Points of the back's face, (y, z).
    fn back_points(&self, x: f64) -> Vec<DVec2> {
        let all = self.back.iter().fold(Bounds::EMPTY, |all, (_, bounds)| all.union(bounds));
        let steps = ((all.max.z - all.min.z) / STEP) as usize;
        let zs = (0..=steps).map(|step| all.min.z + (step as f64 + 0.5) * STEP);
        zs.filter_map(|z| {
            let met = ABREAST.iter().filter_map(|aside| self.met_behind(x + aside, z, &all));
            met.reduce(f64::min).map(|y| DVec2::new(y, z))
        })
        .collect()
    }

    fn met_behind(&self, x: f64, z: f64, all: &Bounds) -> Option<f64> {
        let from = DVec3::new(x, all.min.y - BEYOND, z);
        let to = DVec3::new(x, all.max.y + BEYOND, z);
        let here = self.back.iter().filter(|(_, bounds)| {
            (bounds.min.x..=bounds.max.x).contains(&x) && (bounds.min.z..=bounds.max.z).contains(&z)
        });
        let met = here.filter_map(|(part, _)| Some(along(&part.placed(), from, to).first()?.0));
        met.reduce(f64::min).map(|far| from.y + far)
    }

    fn arms(&self) -> Option<Bounds> {
        let arms = self.model.seat.as_ref().map(|seat| &seat.arms).filter(|arms| !arms.is_empty())?;
        Some(bounds_of(self.model, arms))
    }

    /// Clear width at the hips between what stands beside the seat: arms and posts; the seat's own where nothing does.
    fn width(&self, x: f64, line: SeatLine, depth: Option<f64>, arms: Option<Bounds>) -> f64 {
        let depth = depth.unwrap_or(self.bounds.max.y - line.front.x);
        let hips =
            [depth - SEAT_BONES, depth / 2.0].map(|along| line.front.x + along * maths::cos(line.fall));
        let beside: Vec<(&Part, Bounds)> =
            self.model.parts.iter().map(|part| (part, part.placed().bounds())).collect();
        let mut room = (self.bounds.min.x, self.bounds.max.x);
        for y in hips {
            let over = BESIDE.iter().map(|above| line.height_at(y) + above);
            for z in over.chain(arms.map(|arms| arms.max.z - BEYOND)) {
                room = narrowed(room, DVec3::new(x, y, z), &beside);
            }
        }
        room.1 - room.0
    }
}

/// The room to the left and right of a point as far as nothing stands in it.
fn narrowed(room: (f64, f64), at: DVec3, beside: &[(&Part, Bounds)]) -> (f64, f64) {
    let (left, right) = (DVec3::new(room.0, at.y, at.z), DVec3::new(room.1, at.y, at.z));
    let here = beside.iter().filter(|(_, bounds)| {
        (bounds.min.y..=bounds.max.y).contains(&at.y) && (bounds.min.z..=bounds.max.z).contains(&at.z)
    });
    here.fold(room, |(low, high), (part, _)| {
        let met = |to| along(&part.placed(), at, to).first().map_or(f64::INFINITY, |stretch| stretch.0);
        (low.max(at.x - met(left)), high.min(at.x + met(right)))
    })
}

/// The line of a back over the seat: how far from the front edge at a height square to the seat.
struct BackLine {
    foot: f64,
    slope: f64,
    /// Square to the seat, from it to the lowest of the back.
    low: f64,
    /// Along the back, from the seat to its top.
    top: f64,
}

impl BackLine {
    /// The straight line nearest to where the loins are (least squares), and how high the back goes on. Edges of slats that
    /// are seen through gaps lie behind their faces, and do not count.
    fn through(points: &[DVec2]) -> Option<BackLine> {
        let loins = points.iter().copied().filter(|point| (LUMBAR.0..=LUMBAR.1).contains(&point.y));
        let mut felt: Vec<DVec2> = loins.collect();
        // Where a back has nothing there, all of it must tell how it leans.
        if felt.len() < 2 {
            felt = points.to_vec();
        }
        let (foot, slope) = nearest_line(&felt)?;
        felt.retain(|point| point.x < foot + slope * point.y + BEHIND_FACE);
        let (foot, slope) = nearest_line(&felt)?;
        let low = points.iter().map(|point| point.y).fold(f64::INFINITY, f64::min) - STEP / 2.0;
        let top = points.iter().map(|point| point.y).fold(0.0, f64::max) + STEP / 2.0;
        Some(BackLine { foot, slope, low: low.max(0.0), top: top * maths::hypot(1.0, slope) })
    }

    fn at(&self, height: f64) -> f64 {
        self.foot + self.slope * height
    }
}

/// Where the straight line nearest to some points (least squares) begins at height nothing, and its slope; none through one point.
fn nearest_line(points: &[DVec2]) -> Option<(f64, f64)> {
    let mean = points.iter().sum::<DVec2>() / points.len() as f64;
    let (mut both, mut heights) = (0.0, 0.0);
    for point in points {
        both += (point.x - mean.x) * (point.y - mean.y);
        heights += (point.y - mean.y) * (point.y - mean.y);
    }
    (heights > 0.0).then(|| (mean.x - both / heights * mean.y, both / heights))
}
