//! The arithmetic of a run: slats side by side on a path, and what becomes of the odd remainder.
//!
//! Everything happens in the plane across the slats: s along the way they are laid, h away from the bearer. A slat is a
//! rectangle that rests on the path: on a hollow it touches with its two lower edges, on a crown in between.

use super::run::run_fault;
use slatwork_base::{Diagnostic, Length};
use slatwork_solid::{DVec2, Path};

/// Where a remainder goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Odd {
    /// Into one slat ripped narrower, the last one laid.
    #[default]
    Filler,
    /// Into one slat ripped narrower, the last but one.
    FillerSecondFromEnd,
    /// Into one slat ripped narrower, the first one.
    FillerFirst,
    /// Into the first and the last slat, both ripped alike.
    BothEnds,
    /// Into the gaps.
    Gaps,
    /// Into all slats: one more than fit, ripped alike to a mark of the tape; the last but one, or the middle, takes what the marks leave.
    AllAlike,
}

/// Where a remainder goes, by the words of scripts and questions.
pub const ODDS: [(&str, Odd); 6] = [
    ("filler", Odd::Filler),
    ("filler second from the end", Odd::FillerSecondFromEnd),
    ("filler first", Odd::FillerFirst),
    ("both ends", Odd::BothEnds),
    ("gaps", Odd::Gaps),
    ("all alike", Odd::AllAlike),
];

/// What lies on the centre line of a symmetrical run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Start {
    /// Laid from the first side on.
    #[default]
    FirstSide,
    /// Outward from the centre, a slat on the centre line.
    CentreSlat,
    /// Outward from the centre, a gap on the centre line.
    CentreGap,
}

impl Start {
    /// Whether so many slats can lie like that.
    fn allows(self, count: usize) -> bool {
        match self {
            Start::FirstSide => true,
            Start::CentreSlat => count % 2 == 1,
            Start::CentreGap => count.is_multiple_of(2),
        }
    }
}

/// What lies on the centre line, by the words of scripts and questions.
pub const STARTS: [(&str, Start); 3] =
    [("first side", Start::FirstSide), ("centre slat", Start::CentreSlat), ("centre gap", Start::CentreGap)];

/// Narrowest rip unless somebody says otherwise (project choice: narrower strips wander at the fence).
pub const LEAST_RIP: Length = Length::nm(25_400_000);

/// Most slats in one run: a fence against a runaway script.
pub const MOST_SLATS: usize = 400;

/// Slats side by side on something straight.
#[derive(Clone, Debug, PartialEq)]
pub struct StraightRun {
    /// Between the sides, mm.
    pub room: f64,
    /// Clear distance between neighbours, mm.
    pub gap: f64,
    /// Widths in the order laid, repeated, mm.
    pub widths: Vec<f64>,
    /// Where a remainder goes.
    pub odd: Odd,
    /// What lies on the centre line.
    pub start: Start,
    /// Narrowest rip.
    pub least: Length,
    /// Fixed number of slats; the gaps then close the run.
    pub count: Option<usize>,
}

/// A [`StraightRun`] laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct StraightLayout {
    /// Where each slat begins, from the first side, and its width, mm.
    pub slats: Vec<(f64, f64)>,
    /// The gap they ended up with, mm.
    pub gap: f64,
}

impl StraightRun {
    /// Lays the slats out.
    ///
    /// # Errors
    /// `no-room-between`, `sliver`, `gaps-do-not-close`, `run-leaves-bearer`.
    pub fn lay_out(&self) -> Result<StraightLayout, Diagnostic> {
        let layout = lay_out(&self.task()).map_err(|fault| run_fault("slat", &fault, self.least))?;
        let slats = layout.slats.iter().map(|slat| (slat.corner.x, slat.width)).collect();
        Ok(StraightLayout { slats, gap: layout.gap })
    }

    /// The slats' thickness counts on bent paths only.
    fn task(&self) -> Task {
        let widest = self.widths.iter().copied().fold(0.0, f64::max);
        let beyond = DVec2::new(2.0 * widest + self.gap + BEYOND, 0.0);
        let end = DVec2::new(self.room, 0.0);
        Task {
            path: Path::line(-beyond, end + beyond),
            wood_from: 0.0,
            from: Stop { normal: DVec2::X, offset: 0.0 },
            to: Stop { normal: DVec2::X, offset: self.room },
            thickness: 1.0,
            gap: Some(self.gap),
            widths: self.widths.clone(),
            first: None,
            odd: self.odd,
            start: self.start,
            least: self.least.as_mm(),
            count: self.count,
        }
    }
}

/// What a straight path is carried on beyond its sides at the least, mm: the search looks a little past each.
const BEYOND: f64 = 100.0;

/// Solutions are found to this, mm: a thousandth of what a saw can do, above rounding noise.
const EXACT: f64 = 1e-7;

/// A remainder up to this is no remainder, mm: less than any rule shows.
const NO_REMAINDER: f64 = 0.3;

/// A slat laid: lower left corner, unit direction of its width, unit direction away from the bearer, width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Laid {
    pub(super) corner: DVec2,
    pub(super) along: DVec2,
    pub(super) up: DVec2,
    pub(super) width: f64,
    /// Where its lower edges' line leaves the path, as distance along it.
    pub(super) reach: (f64, f64),
}

/// A line that stops the run: points with `normal . p >= offset` are beyond it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stop {
    pub(super) normal: DVec2,
    pub(super) offset: f64,
}

/// What to lay.
#[derive(Clone, Debug)]
pub(super) struct Task {
    /// The path, long enough at both ends.
    pub(super) path: Path,
    /// Where the wood begins, as distance along the path: a slat that stands out before it rests on its edge.
    pub(super) wood_from: f64,
    pub(super) from: Stop,
    pub(super) to: Stop,
    pub(super) thickness: f64,
    /// Clear distance between neighbours; `None` for tight with bevelled edges.
    pub(super) gap: Option<f64>,
    /// Widths in the order laid, repeated.
    pub(super) widths: Vec<f64>,
    /// Width of the first slat, if it is its own.
    pub(super) first: Option<f64>,
    pub(super) odd: Odd,
    pub(super) start: Start,
    pub(super) least: f64,
    /// Fixed number of slats; the gaps then close the run.
    pub(super) count: Option<usize>,
}

/// The slats, and the gap they ended up with.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub(super) slats: Vec<Laid>,
    pub(super) gap: f64,
}

/// Why a run does not come out.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum LayoutFault {
    /// Not even one slat fits; room in mm.
    NoRoom(f64),
    /// The remainder would be a sliver of that width, mm.
    Sliver(f64),
    /// The gaps would have to be that wide, mm (negative: the slats overlap).
    Gap(f64),
    /// The path is too short or bends too sharply for a slat.
    Path,
}

pub(super) fn lay_out(task: &Task) -> Result<Layout, LayoutFault> {
    if task.widths.is_empty() || task.widths.iter().any(|width| *width < 1.0) {
        return Err(LayoutFault::Path);
    }
    let gap = task.gap.unwrap_or(0.0);
    if let Some(count) = task.count {
        return with_equal_gaps(task, &sequence(task, count));
    }
    let full = how_many_fit(task, gap)?;
    match task.odd {
        Odd::Gaps => nearest_gaps(task, full),
        Odd::BothEnds => both_ends(task, full, gap),
        Odd::AllAlike => all_alike(task, full, gap),
        Odd::Filler | Odd::FillerSecondFromEnd | Odd::FillerFirst => filler(task, full, gap),
    }
}

/// Widths of the first `count` slats.
fn sequence(task: &Task, count: usize) -> Vec<f64> {
    (0..count)
        .map(|index| match task.first {
            Some(first) if index == 0 => first,
            _ => task.widths[index % task.widths.len()],
        })
        .collect()
}

/// How many full slats fit.
fn how_many_fit(task: &Task, gap: f64) -> Result<usize, LayoutFault> {
    let mut laid: Option<Laid> = None;
    for count in 0..MOST_SLATS {
        let width = sequence(task, count + 1)[count];
        let next = match laid {
            None => first_slat(task, width)?,
            Some(before) => next_slat(task, &before, width, gap)?,
        };
        if room_after(task, &next) < -EXACT {
            if count == 0 {
                return Err(LayoutFault::NoRoom(room_after(task, &next) + width));
            }
            return Ok(count);
        }
        laid = Some(next);
    }
    Err(LayoutFault::Path)
}

/// Lays the widths one after another.
fn lay(task: &Task, widths: &[f64], gap: f64) -> Result<Vec<Laid>, LayoutFault> {
    let mut slats: Vec<Laid> = Vec::with_capacity(widths.len());
    for width in widths {
        let slat = match slats.last() {
            None => first_slat(task, *width)?,
            Some(before) => next_slat(task, before, *width, gap)?,
        };
        slats.push(slat);
    }
    Ok(slats)
}

/// Room left after the last of the widths, mm.
fn room_left(task: &Task, widths: &[f64], gap: f64) -> Result<f64, LayoutFault> {
    let slats = lay(task, widths, gap)?;
    slats.last().map(|last| room_after(task, last)).ok_or(LayoutFault::Path)
}

/// Full slats and one narrower; where that would be a sliver, two share the remainder with it.
fn filler(task: &Task, full: usize, gap: f64) -> Result<Layout, LayoutFault> {
    let widths = sequence(task, full);
    let room = room_left(task, &widths, gap)?;
    if room <= NO_REMAINDER {
        return Ok(Layout { slats: lay(task, &widths, gap)?, gap });
    }
    let widest = task.widths.iter().copied().fold(0.0, f64::max);
    if room - gap >= task.least {
        let place = |x: f64| with_filler(task, &widths, &[x]);
        let x = solve(|x| room_left(task, &place(x), gap), task.least / 2.0, widest)?;
        if x >= task.least - EXACT {
            return Ok(Layout { slats: lay(task, &place(x), gap)?, gap });
        }
    }
    // A sliver: one full slat fewer, and two of equal width in its place.
    let keep = &widths[..full - 1];
    if task.first.is_some() && keep.is_empty() {
        return Err(LayoutFault::Sliver((room - gap).max(0.0)));
    }
    let place = |x: f64| with_filler(task, keep, &[x, x]);
    let x = solve(|x| room_left(task, &place(x), gap), task.least / 4.0, widest)?;
    if x < task.least - EXACT {
        return Err(LayoutFault::Sliver(x));
    }
    Ok(Layout { slats: lay(task, &place(x), gap)?, gap })
}

fn with_filler(task: &Task, full: &[f64], fillers: &[f64]) -> Vec<f64> {
    let at = match task.odd {
        Odd::FillerFirst => 0,
        Odd::FillerSecondFromEnd => full.len().saturating_sub(1),
        _ => full.len(),
    };
    let mut widths = full.to_vec();
    widths.splice(at..at, fillers.iter().copied());
    widths
}

/// First and last slat ripped alike; where they would be slivers, their neighbours share with them.
fn both_ends(task: &Task, full: usize, gap: f64) -> Result<Layout, LayoutFault> {
    let widths = sequence(task, full);
    let parity = |count: usize| task.start.allows(count);
    if room_left(task, &widths, gap)? <= NO_REMAINDER && parity(full) {
        return Ok(Layout { slats: lay(task, &widths, gap)?, gap });
    }
    let widest = task.widths.iter().copied().fold(0.0, f64::max);
    let mut sliver = 0.0;
    // The most slats of the right number with one narrow slat at each end; failing that, with two.
    for narrow in 1..=2usize {
        for total in (2 * narrow..=full + 2).rev().filter(|total| parity(*total)) {
            let middle = sequence(task, total - 2 * narrow);
            let place = |x: f64| {
                let ends = vec![x; narrow];
                [ends.clone(), middle.clone(), ends].concat()
            };
            let Ok(x) = solve(|x| room_left(task, &place(x), gap), task.least / 4.0, widest) else {
                continue;
            };
            if x >= task.least - EXACT {
                return Ok(Layout { slats: lay(task, &place(x), gap)?, gap });
            }
            sliver = x;
        }
    }
    Err(LayoutFault::Sliver(sliver))
}

/// The fewest slats that close the run by being ripped narrower, all in the same proportion up to the next mark of a tape, but for
/// the last but one, or the middle of a symmetrical run, which takes what the marks leave. A first slat of its own width keeps it.
fn all_alike(task: &Task, full: usize, gap: f64) -> Result<Layout, LayoutFault> {
    let widths = sequence(task, full);
    if task.start.allows(full) && room_left(task, &widths, gap)? <= NO_REMAINDER {
        return Ok(Layout { slats: lay(task, &widths, gap)?, gap });
    }
    let total = (full + 1..).find(|total| task.start.allows(*total)).ok_or(LayoutFault::Path)?;
    let whole = sequence(task, total);
    let own = usize::from(task.first.is_some());
    let ripped = |share: f64, mark: fn(f64, f64) -> f64| {
        let mut widths = whole.clone();
        widths.iter_mut().skip(own).for_each(|width| *width = mark(*width * share, *width));
        widths
    };
    let share = solve(|share| room_left(task, &ripped(share, |exact, _| exact), gap), LEAST_SHARE, 1.0)?;
    let marked = ripped(share, next_mark);
    let rest = match task.start {
        Start::FirstSide => total.saturating_sub(2).max(own.min(total - 1))..total.saturating_sub(1).max(1),
        Start::CentreSlat => total / 2..total / 2 + 1,
        Start::CentreGap => total / 2 - 1..total / 2 + 1,
    };
    let place = |x: f64| {
        let mut widths = marked.clone();
        widths[rest.clone()].fill(x);
        widths
    };
    let x = solve(|x| room_left(task, &place(x), gap), marked[rest.start] * LEAST_SHARE, whole[rest.start])?;
    if x < task.least - EXACT {
        return Err(LayoutFault::Sliver(x));
    }
    Ok(Layout { slats: lay(task, &place(x), gap)?, gap })
}

/// The next mark up of the tape that a stock is sold by: sixteenths where its own width is in sixteenths, else millimetres.
fn next_mark(exact: f64, stock: f64) -> f64 {
    const SIXTEENTH: f64 = 25.4 / 16.0;
    let in_sixteenths = (stock / SIXTEENTH - (stock / SIXTEENTH).round()).abs() < EXACT;
    let mark = if in_sixteenths { SIXTEENTH } else { 1.0 };
    ((exact / mark - EXACT).ceil() * mark).min(stock)
}

/// Slats that close a run all alike are at least so wide, as a share of full ones: one full slat fewer would leave more than that.
const LEAST_SHARE: f64 = 0.2;

/// The number of slats whose equal gaps come nearest to the gap asked for.
fn nearest_gaps(task: &Task, full: usize) -> Result<Layout, LayoutFault> {
    let wanted = task.gap.unwrap_or(0.0);
    let counts = full.saturating_sub(1).max(1)..=full + 1;
    let mut best: Option<Layout> = None;
    for count in counts.filter(|count| task.start.allows(*count)) {
        if let Ok(layout) = with_equal_gaps(task, &sequence(task, count)) {
            let nearer = best.as_ref().is_none_or(|b| (layout.gap - wanted).abs() < (b.gap - wanted).abs());
            if nearer {
                best = Some(layout);
            }
        }
    }
    best.ok_or(LayoutFault::Gap(wanted))
}

fn with_equal_gaps(task: &Task, widths: &[f64]) -> Result<Layout, LayoutFault> {
    if widths.len() < 2 {
        return Ok(Layout { slats: lay(task, widths, 0.0)?, gap: 0.0 });
    }
    let room = room_left(task, widths, 0.0)?;
    if room < 0.0 {
        return Err(LayoutFault::Gap(room / (widths.len() - 1) as f64));
    }
    let most = room / (widths.len() - 1) as f64 + 1.0;
    let gap = solve(|gap| room_left(task, widths, gap), 0.0, most)?;
    Ok(Layout { slats: lay(task, widths, gap)?, gap })
}

/// The first slat: its nearest corner on the first side.
fn first_slat(task: &Task, width: f64) -> Result<Laid, LayoutFault> {
    // Beyond `from` counts positive towards the run.
    let short = |s: f64| -> Result<f64, LayoutFault> {
        let slat = rest(task, s, width)?;
        Ok(corners(&slat, task.thickness)
            .iter()
            .map(|c| task.from.normal.dot(*c) - task.from.offset)
            .fold(f64::MAX, f64::min))
    };
    let line = stop_on_path(&task.path, task.from)?;
    let s = solve(|s| short(s).map(|d| -d), (line - 40.0).max(0.0), line + 40.0)?;
    rest(task, s, width)
}

/// The next slat: its clear distance from the one before is the gap.
fn next_slat(task: &Task, before: &Laid, width: f64, gap: f64) -> Result<Laid, LayoutFault> {
    let start = before.reach.1;
    if task.gap.is_none() {
        return rest(task, start, width);
    }
    let apart = |s: f64| -> Result<f64, LayoutFault> {
        Ok(gap - clear(before, &rest(task, s, width)?, task.thickness))
    };
    let s = solve(apart, start - 1.0, start + gap + task.thickness + 5.0)?;
    rest(task, s, width)
}

/// A slat that rests on the path with its first lower edge over distance `s`.
fn rest(task: &Task, s: f64, width: f64) -> Result<Laid, LayoutFault> {
    let path = &task.path;
    let total = path.length();
    if s < 0.0 || s + width > total {
        return Err(LayoutFault::Path);
    }
    let held = s.max(task.wood_from.min(s + width / 2.0));
    let (first, out) = (path.point_at(held), held - s);
    let span = |e: f64| -> Result<f64, LayoutFault> { Ok(width - out - path.point_at(e).distance(first)) };
    let end = solve(span, held + (width - out) * 0.999, (s + width * 1.3).min(total))?;
    let along = (path.point_at(end) - first).normalize();
    let up = along.perp();
    let lift = highest_between(path, held, end, first, up);
    Ok(Laid { corner: first - along * out + up * lift, along, up, width, reach: (s, end) })
}

/// How far the path rises above the line through `from` between two places; zero on a hollow.
fn highest_between(path: &Path, s: f64, end: f64, from: DVec2, up: DVec2) -> f64 {
    let height = |at: f64| up.dot(path.point_at(at) - from);
    // A chord's greatest height lies where the tangent is parallel to it: bracket it on a grid, then refine by thirds.
    const STEPS: usize = 16;
    let step = (end - s) / STEPS as f64;
    let places = (1..STEPS).map(|index| s + index as f64 * step).map(|place| (place, height(place)));
    let (peak, highest) = places.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((s + step, 0.0));
    if highest <= 0.0 {
        return 0.0;
    }
    let (mut low, mut high) = (peak - step, peak + step);
    for _ in 0..40 {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if height(a) < height(b) { low = a } else { high = b }
    }
    height((low + high) / 2.0).max(0.0)
}

fn corners(slat: &Laid, thickness: f64) -> [DVec2; 4] {
    let right = slat.corner + slat.along * slat.width;
    [slat.corner, right, right + slat.up * thickness, slat.corner + slat.up * thickness]
}

/// Clear distance between two neighbours; negative when they overlap.
fn clear(left: &Laid, right: &Laid, thickness: f64) -> f64 {
    let edge = left.corner + left.along * left.width;
    let beyond = corners(right, thickness).iter().map(|c| left.along.dot(*c - edge)).fold(f64::MAX, f64::min);
    let before =
        corners(left, thickness).iter().map(|c| right.along.dot(right.corner - *c)).fold(f64::MAX, f64::min);
    beyond.max(before)
}

/// Room from the slat to the last side; negative when it reaches past.
fn room_after(task: &Task, slat: &Laid) -> f64 {
    corners(slat, task.thickness)
        .iter()
        .map(|c| task.to.offset - task.to.normal.dot(*c))
        .fold(f64::MAX, f64::min)
}

/// Where on the path a stop line crosses it, as distance along the path.
pub(super) fn stop_on_path(path: &Path, stop: Stop) -> Result<f64, LayoutFault> {
    let beyond = |s: f64| -> Result<f64, LayoutFault> { Ok(stop.offset - stop.normal.dot(path.point_at(s))) };
    solve(beyond, 0.0, path.length())
}

/// The place where a falling function is zero (Illinois variant of false position, then halving as a fence). When it has one
/// sign on the whole stretch, the nearer end if it is zero there, else a fault.
fn solve(f: impl Fn(f64) -> Result<f64, LayoutFault>, low: f64, high: f64) -> Result<f64, LayoutFault> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a)?, f(b)?);
    if fa.abs() <= EXACT {
        return Ok(a);
    }
    if fb.abs() <= EXACT {
        return Ok(b);
    }
    if fa < 0.0 || fb > 0.0 {
        return Err(LayoutFault::Path);
    }
    let mut last_side = 0i8;
    for _ in 0..200 {
        let x = if (fa - fb).abs() > 0.0 { (a * -fb + b * fa) / (fa - fb) } else { (a + b) / 2.0 };
        let x = if x <= a || x >= b { (a + b) / 2.0 } else { x };
        let fx = f(x)?;
        if fx.abs() <= EXACT || b - a < EXACT {
            return Ok(x);
        }
        if fx > 0.0 {
            (a, fa) = (x, fx);
            if last_side == 1 {
                fb /= 2.0;
            }
            last_side = 1;
        } else {
            (b, fb) = (x, fx);
            if last_side == -1 {
                fa /= 2.0;
            }
            last_side = -1;
        }
    }
    Ok((a + b) / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_solid::{Tag, Vertex};

    fn straight(length: f64) -> Path {
        let vertex = |x: f64| Vertex { point: DVec2::new(x, 0.0), bulge: 0.0, tag: Tag::HIGH_EDGE };
        Path { vertices: vec![vertex(-300.0), vertex(length + 300.0)] }
    }

    fn task(room: f64, width: f64, gap: f64, odd: Odd) -> Task {
        Task {
            path: straight(room),
            wood_from: 0.0,
            from: Stop { normal: DVec2::X, offset: 0.0 },
            to: Stop { normal: DVec2::X, offset: room },
            thickness: 19.0,
            gap: Some(gap),
            widths: vec![width],
            first: None,
            odd,
            start: Start::FirstSide,
            least: 30.0,
            count: None,
        }
    }

    fn widths(layout: &Layout) -> Vec<f64> {
        layout.slats.iter().map(|slat| (slat.width * 1000.0).round() / 1000.0).collect()
    }

    #[test]
    fn a_filler_takes_the_remainder() {
        // 500 = 5 x (89 + 6) + 25 would be a sliver under 30; 480 = 5 x 95 + 5: also; 530 = 5 x 95 + 55.
        let layout = lay_out(&task(530.0, 89.0, 6.0, Odd::Filler)).expect("fits");
        assert_eq!(widths(&layout), [89.0, 89.0, 89.0, 89.0, 89.0, 55.0]);
        let end = layout.slats[5].corner.x + layout.slats[5].width;
        assert!((end - 530.0).abs() < 1e-5, "ends at {end}");
    }

    #[test]
    fn a_sliver_is_shared_by_two() {
        // Five slats and gaps leave 500 - 475 = 25 < 30: four full, two of (500 - 4 x 95 - 6) / 2 = 57.
        let layout = lay_out(&task(500.0, 89.0, 6.0, Odd::FillerSecondFromEnd)).expect("fits");
        assert_eq!(widths(&layout), [89.0, 89.0, 89.0, 57.0, 57.0, 89.0]);
    }

    #[test]
    fn ends_share_alike_and_gaps_close() {
        let layout = lay_out(&task(530.0, 89.0, 6.0, Odd::BothEnds)).expect("fits");
        // Four full of 95 each and two ends of (530 - 4 x 95 - 6) / 2 = 72.
        assert_eq!(widths(&layout), [72.0, 89.0, 89.0, 89.0, 89.0, 72.0]);
        let layout = lay_out(&task(530.0, 89.0, 6.0, Odd::Gaps)).expect("fits");
        // (W - n w) / (n - 1), n = 5: (530 - 445) / 4 = 21.25; n = 6 overlaps.
        assert_eq!(layout.slats.len(), 5);
        assert!((layout.gap - 21.25).abs() < 1e-5);
    }

    #[test]
    fn all_slats_share_alike() {
        // Six of (500 - 5 x 6) / 6 = 78.33 mm: 79 by a tape in millimetres, the last but one 500 - 5 x 85 = 75.
        let layout = lay_out(&task(500.0, 89.0, 6.0, Odd::AllAlike)).expect("fits");
        assert_eq!(widths(&layout), [79.0, 79.0, 79.0, 79.0, 75.0, 79.0]);
        // By sixteenths: 78.33 mm are 49.35 of them, 50 are 79.375; 500 - 5 x 85.375 = 73.125.
        let layout = lay_out(&task(500.0, 88.9, 6.0, Odd::AllAlike)).expect("fits");
        assert_eq!(widths(&layout), [79.375, 79.375, 79.375, 79.375, 73.125, 79.375]);
        // 5 x 95 - 6 = 469 closes as it is.
        let layout = lay_out(&task(469.0, 89.0, 6.0, Odd::AllAlike)).expect("fits");
        assert_eq!(widths(&layout), [89.0; 5]);
        // One on the centre line takes an odd number: seven of (500 - 36) / 7 = 66.3.
        let mut odd = task(500.0, 89.0, 6.0, Odd::AllAlike);
        odd.start = Start::CentreSlat;
        let widths = widths(&lay_out(&odd).expect("fits"));
        assert_eq!(widths, [67.0, 67.0, 67.0, 62.0, 67.0, 67.0, 67.0]);
    }

    #[test]
    fn a_slat_on_the_centre_line() {
        let mut odd = task(530.0, 89.0, 6.0, Odd::BothEnds);
        odd.start = Start::CentreSlat;
        let layout = lay_out(&odd).expect("fits");
        assert_eq!(layout.slats.len() % 2, 1);
        let middle = &layout.slats[layout.slats.len() / 2];
        assert!((middle.corner.x + middle.width / 2.0 - 265.0).abs() < 1e-4);
    }

    /// A nosing rests on the front edge of the wood, not on a line carried on before it.
    #[test]
    fn a_slat_that_stands_out_rests_on_the_edge() {
        let at = |x: f64, bulge: f64| Vertex { point: DVec2::new(x, 0.0), bulge, tag: Tag::HIGH_EDGE };
        // A hollow of 20 mm over 400, carried on straight at both ends by its tangents.
        let hollow = Path { vertices: vec![at(0.0, 0.1), at(400.0, 0.0)] };
        let mut nosed = task(400.0, 80.0, 6.0, Odd::Filler);
        nosed.path = hollow.extended(300.0);
        nosed.from.offset = -20.0;
        nosed.wood_from = 300.0;
        let layout = lay_out(&nosed).expect("fits");
        let first = layout.slats[0];
        let over_edge = first.up.dot(DVec2::ZERO - first.corner);
        assert!(over_edge.abs() < 1e-6, "it stands {over_edge} mm over the edge");
        assert!((layout.slats[0].width - 80.0).abs() < 1e-6);
    }

    /// 530 = 5 x 95 + 55, as above, by the face that other rooms see.
    #[test]
    fn straight_runs_are_laid_from_the_side() {
        let run = StraightRun {
            room: 530.0,
            gap: 6.0,
            widths: vec![89.0],
            odd: Odd::Filler,
            start: Start::FirstSide,
            least: Length::mm(30.0),
            count: None,
        };
        let layout = run.lay_out().expect("fits");
        let rounded = |value: f64| (value * 1e4).round() / 1e4;
        let laid: Vec<(f64, f64)> = layout.slats.iter().map(|own| (rounded(own.0), rounded(own.1))).collect();
        assert_eq!(
            laid,
            [(0.0, 89.0), (95.0, 89.0), (190.0, 89.0), (285.0, 89.0), (380.0, 89.0), (475.0, 55.0)]
        );
        assert_eq!(StraightRun { room: 50.0, ..run }.lay_out().unwrap_err().code, "no-room-between");
    }

    #[test]
    fn no_room_is_said() {
        assert!(matches!(lay_out(&task(50.0, 89.0, 6.0, Odd::Filler)), Err(LayoutFault::NoRoom(_))));
    }
}
