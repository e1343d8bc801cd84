//! What rows are made of: single parts as they may lie, and two parts stacked across the width.

use super::apart::{Laid, keep_apart};
use super::silhouette::{Disc, Silhouette};
use super::{NestProblem, Point, Polygon, Turn};
use crate::stock::counts::Lattice;

/// Levels across the board at which a single part is tried beside both edges: those that spoon best.
const MORE_LEVELS: usize = 2;
/// Most kinds of parts for which such levels are looked for.
const MOST_KINDS_LEVELLED: usize = 4;
/// Stacks kept, before turning them.
const MOST_STACKS: usize = 8;

/// Where a part lies: its outline turned, the low corner of its box then brought here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Placement {
    /// Index of the part.
    pub part: usize,
    /// How it lies.
    pub turn: Turn,
    /// Low corner of its box, from the low corner of the board.
    pub at: Point,
}

/// One part or a stack of two, at its place across the board, beginning at 0 along it.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub(super) placements: Vec<Placement>,
    polygons: Vec<Polygon>,
    pub(super) length: i64,
    pub(super) silhouette: Silhouette,
}

/// A part as it may lie.
struct Pose {
    part: usize,
    turn: Turn,
    polygon: Polygon,
    silhouette: Silhouette,
    /// Room left across the board.
    slack: i64,
}

/// All blocks of some of a problem's parts: singles part by part, then stacks.
pub(super) fn blocks(problem: &NestProblem, kinds: &[usize]) -> Vec<Block> {
    let disc = Disc::new(problem.clearance.as_nm());
    let poses: Vec<Vec<Pose>> = kinds.iter().map(|&part| poses(problem, part, &disc)).collect();
    let mut blocks: Vec<Block> = Vec::new();
    for own in &poses {
        for pose in own {
            let alike: &[Pose] = if kinds.len() <= MOST_KINDS_LEVELLED { own } else { &[] };
            blocks.extend(levels(pose, alike).into_iter().map(|level| single(pose, level)));
        }
    }
    let stacks = best_stacks(problem, &poses, &blocks);
    blocks.extend(stacks.iter().flat_map(|stack| turned(problem, &disc, stack)));
    blocks
}

/// Stacks that are shorter than their parts one after the other, those that save most first.
fn best_stacks(problem: &NestProblem, poses: &[Vec<Pose>], singles: &[Block]) -> Vec<Block> {
    let mut found: Vec<(i64, Block)> = Vec::new();
    for (index, below) in poses.iter().enumerate() {
        for above in &poses[index..] {
            let alone = shortest_pair(singles, below[0].part, above[0].part);
            let stack = shortest_stack(below, above, problem.clearance.as_nm());
            found.extend(stack.map(|stack| (stack.length - alone, stack)).filter(|(more, _)| *more < 0));
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.placements.cmp(&b.1.placements)));
    found.into_iter().take(MOST_STACKS).map(|(_, stack)| stack).collect()
}

/// The ways a part may lie that look different.
fn poses(problem: &NestProblem, part: usize, disc: &Disc) -> Vec<Pose> {
    let own = &problem.parts[part];
    let mut poses: Vec<Pose> = Vec::new();
    for &turn in own.faces.turns() {
        let polygon = own.polygon.turned(turn);
        if poses.iter().all(|pose| pose.polygon != polygon) {
            let silhouette = Silhouette::new(&polygon, disc);
            let slack = problem.width.as_nm() - polygon.width();
            poses.push(Pose { part, turn, polygon, silhouette, slack });
        }
    }
    poses
}

fn single(pose: &Pose, level: i64) -> Block {
    let at = Point::new(0, level);
    Block {
        placements: vec![Placement { part: pose.part, turn: pose.turn, at }],
        polygons: vec![pose.polygon.clone()],
        length: pose.polygon.length(),
        silhouette: Silhouette::joined([(&pose.silhouette, at)]),
    }
}

/// Both edges of the board, and the levels between at which corners of this pose come level with corners of its like in
/// any pose at an edge, those first where the two spoon best. The clearance has no say in it, so that a larger one never
/// finds better levels.
fn levels(pose: &Pose, alike: &[Pose]) -> Vec<i64> {
    let mut levels = vec![0];
    if pose.slack == 0 {
        return levels;
    }
    levels.push(pose.slack);
    let bare = |pose: &Pose| Silhouette::new(&pose.polygon, &Disc::new(0));
    let own = bare(pose);
    let mut found: Vec<(i64, i64)> = Vec::new();
    for other in alike {
        let silhouette = bare(other);
        for edge in [0, other.slack] {
            let meets = sharp_corners(&other.polygon).into_iter().flat_map(|corner| {
                sharp_corners(&pose.polygon).into_iter().map(move |own| edge + corner.y - own.y)
            });
            for level in meets.filter(|&level| 0 < level && level < pose.slack) {
                let after = silhouette.separation(&own, level - edge);
                let before = own.separation(&silhouette, edge - level);
                found.extend(after.into_iter().chain(before).map(|along| (along, level)));
            }
        }
    }
    found.sort_unstable();
    for (_, level) in found {
        if levels.len() < 2 + MORE_LEVELS && !levels.contains(&level) {
            levels.push(level);
        }
    }
    levels
}

/// Corners at which the outline turns by more than atan(1/4), 14 degrees: those of flattened arcs do not count.
fn sharp_corners(polygon: &Polygon) -> Vec<Point> {
    let edges: Vec<_> = polygon.edges(Point::default()).collect();
    let sharp = |index: usize| {
        let (into, out) = (edges[index], edges[(index + 1) % edges.len()]);
        let (into, out) = (into.1.minus(into.0), out.1.minus(out.0));
        4 * into.cross(out).abs() > into.dot(out)
    };
    (0..edges.len()).filter(|&index| sharp(index)).map(|index| edges[index].1).collect()
}

/// Least length of two parts one after the other.
fn shortest_pair(singles: &[Block], first: usize, second: usize) -> i64 {
    let of = |part: usize| singles.iter().filter(move |block| block.placements[0].part == part);
    let pairs = of(first).flat_map(|a| of(second).flat_map(move |b| [(a, b), (b, a)]));
    pairs.map(|(a, b)| a.length.max(step(a, b) + b.length)).min().unwrap_or(i64::MAX)
}

/// Least distance from the low end of one block to that of the next in a row. Those that have no height in common follow
/// each other all the same; what may lie abreast is a stack.
pub(super) fn step(block: &Block, next: &Block) -> i64 {
    block.silhouette.separation(&next.silhouette, 0).map_or(block.length, |along| along.max(0))
}

/// The shortest stack of two parts, one at each edge of the board.
fn shortest_stack(below: &[Pose], above: &[Pose], clearance: i64) -> Option<Block> {
    let pairs = below.iter().flat_map(|low| above.iter().map(move |high| (low, high)));
    let stacks = pairs.filter_map(|(low, high)| stack(low, high, clearance));
    stacks.min_by(|a, b| a.length.cmp(&b.length).then_with(|| a.placements.cmp(&b.placements)))
}

/// The shortest stack of two poses: low ends level, high ends level, or one slid along the other until it is clear.
fn stack(low: &Pose, high: &Pose, clearance: i64) -> Option<Block> {
    let level = high.slack;
    let clear = |along: i64| {
        let first = Laid { polygon: &low.polygon, at: Point::default() };
        let second = Laid { polygon: &high.polygon, at: Point::new(along, level) };
        keep_apart(first, second, clearance)
    };
    let slid_on = low.silhouette.separation(&high.silhouette, level).map(|along| along.max(0));
    let slid_back = high.silhouette.separation(&low.silhouette, -level).map(|along| (-along).min(0));
    let level_ends = [0, low.polygon.length() - high.polygon.length()];
    let offsets = level_ends.into_iter().chain(slid_on).chain(slid_back).filter(|&along| clear(along));
    let length = |along: i64| low.polygon.length().max(along + high.polygon.length()) - along.min(0);
    let along = offsets.min_by_key(|&along| length(along))?;
    let start = along.min(0);
    let at = [Point::new(-start, 0), Point::new(along - start, level)];
    let placement = |pose: &Pose, at| Placement { part: pose.part, turn: pose.turn, at };
    let placements = vec![placement(low, at[0]), placement(high, at[1])];
    let silhouette = Silhouette::joined([(&low.silhouette, at[0]), (&high.silhouette, at[1])]);
    let polygons = vec![low.polygon.clone(), high.polygon.clone()];
    Some(Block { placements, polygons, length: length(along), silhouette })
}

/// A stack in the turns that all its parts allow and that look different.
fn turned(problem: &NestProblem, disc: &Disc, stack: &Block) -> Vec<Block> {
    let allowed = |turn: &Turn| {
        stack.placements.iter().all(|placed| problem.parts[placed.part].faces.turns().contains(turn))
    };
    let mut turned: Vec<Block> = Vec::new();
    for turn in Turn::ALL.into_iter().filter(allowed) {
        let block = stack.turned(problem, disc, turn);
        if turned.iter().all(|other| other.silhouette != block.silhouette) {
            turned.push(block);
        }
    }
    turned
}

impl Block {
    fn turned(&self, problem: &NestProblem, disc: &Disc, turn: Turn) -> Block {
        let (back, down) = turn.reversals();
        let place = |placed: &Placement| {
            let own = &problem.parts[placed.part].polygon;
            let x = if back { self.length - placed.at.x - own.length() } else { placed.at.x };
            let across = problem.width.as_nm() - placed.at.y - own.width();
            let y = if down { across } else { placed.at.y };
            Placement { part: placed.part, turn: placed.turn.then(turn), at: Point::new(x, y) }
        };
        let placements: Vec<Placement> = self.placements.iter().map(place).collect();
        let polygons: Vec<Polygon> = self.polygons.iter().map(|polygon| polygon.turned(turn)).collect();
        let silhouettes: Vec<Silhouette> =
            polygons.iter().map(|polygon| Silhouette::new(polygon, disc)).collect();
        let placed = silhouettes.iter().zip(placements.iter().map(|placed| placed.at));
        let silhouette = Silhouette::joined(placed);
        Block { placements, polygons, length: self.length, silhouette }
    }

    /// Its parts with their outlines.
    pub(super) fn parts(&self) -> impl Iterator<Item = (&Placement, &Polygon)> {
        self.placements.iter().zip(&self.polygons)
    }

    fn count(&self, part: usize) -> usize {
        self.placements.iter().filter(|placed| placed.part == part).count()
    }

    /// Whether a way takes all its parts.
    pub(super) fn fits(&self, lattice: &Lattice, way: usize) -> bool {
        self.placements.iter().all(|placed| self.count(placed.part) <= lattice.count(way, placed.part))
    }

    /// What its parts come to in a lattice's numbers.
    pub(super) fn taken(&self, lattice: &Lattice) -> usize {
        self.placements.iter().map(|placed| lattice.stride(placed.part)).sum()
    }
}
