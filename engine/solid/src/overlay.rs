//! Cutting outlines: by an open path, and with one another. Arcs stay exact, new edges carry the tag of what cut them.
//!
//! Both kinds of cut work alike. All edges are split where they meet another; split points within [`SAME_POINT`] become
//! one node. Two pieces, one of each shape, between the same nodes and nowhere farther apart than that are twins: they
//! lie on each other, which is decided once for both, so that it can never be answered differently from the two sides.
//! Every other piece is asked, at the one of three points of its own that is farthest from the other shape, whether it
//! lies inside or outside. The pieces wanted are walked from node to node, always by the leftmost way on, so that the
//! inside stays to the left. A missed or doubled near-tangent meeting does no harm: the pieces beside it still get one
//! clear answer.

use crate::curve_fault::ClipFault;
use crate::path::Path;
use crate::segment::{Extent, SAME_POINT, Segment, angle_between, nearest, winding};
use crate::{DVec2, Profile};

/// Where along a piece it is asked, as parts of its length: away from the ends, which lie on the other shape anyway.
const PROBES: [f64; 3] = [0.1, 0.5, 0.9];

/// Edges that leave a node at less than this angle are told apart by their sides, not their directions, radians: the
/// nodes of near-coincident edges lie beside the edges, and directions over short pieces then mean nothing.
const NARROW: f64 = 1e-4;

/// Pieces no longer than this are taken for points, and pieces between the same nodes that stay this near are taken for
/// one, mm: some times [`SAME_POINT`], since nodes that are just not the same point may both lie on one edge.
const SHORTEST: f64 = 4.0 * SAME_POINT;

/// A piece left over is a sliver, and dropped, if its area is below this width times its outline, mm.
const SLIVER_WIDTH: f64 = 10.0 * SAME_POINT;

/// A path that misses the outline is drawn out straight by this many times the size of both before giving up.
const REACH: f64 = 4.0;

/// The side of a path, seen in its direction of travel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keep {
    /// The left side.
    Left,
    /// The right side.
    Right,
}

/// How a piece lies to the other shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Lies {
    Inside,
    Outside,
    /// On the other shape's edge, in its direction.
    With,
    /// On the other shape's edge, against its direction.
    Against,
}

/// Part of an edge, between two nodes.
#[derive(Clone, Copy, Debug)]
struct Piece {
    from: usize,
    to: usize,
    segment: Segment,
    /// The edge it is part of, over both shapes, and the parts of that edge's length it runs between.
    edge: usize,
    begins: f64,
    ends: f64,
    /// It runs against the direction of its edge.
    is_reversed: bool,
    /// How its twin of the other shape runs, if it has one.
    twin: Option<Lies>,
}

impl Piece {
    fn reversed(&self) -> Self {
        Piece {
            from: self.to,
            to: self.from,
            segment: self.segment.reversed(),
            begins: self.ends,
            ends: self.begins,
            is_reversed: !self.is_reversed,
            ..*self
        }
    }

    fn is_reverse_of(&self, other: &Piece) -> bool {
        self.edge == other.edge && (self.begins, self.ends) == (other.ends, other.begins)
    }

    /// Whether another piece continues this one along the same edge.
    fn runs_on_into(&self, next: &Piece) -> bool {
        self.edge == next.edge && self.is_reversed == next.is_reversed && self.ends == next.begins
    }
}

/// Two shapes split where they meet.
struct Overlay {
    nodes: Vec<DVec2>,
    first: Vec<Piece>,
    second: Vec<Piece>,
}

impl Overlay {
    fn new(first: &[Segment], second: &[Segment]) -> Self {
        let mut nodes = Vec::new();
        let all: Vec<Segment> = first.iter().chain(second).copied().collect();
        let mut cuts: Vec<Vec<(f64, usize)>> = all
            .iter()
            .map(|edge| vec![(0.0, node_at(&mut nodes, edge.start)), (1.0, node_at(&mut nodes, edge.end))])
            .collect();
        for (i, edge) in first.iter().enumerate() {
            for (j, other) in second.iter().enumerate() {
                for (on_edge, on_other) in edge.meetings(other, SAME_POINT) {
                    let node = node_at(&mut nodes, meeting_point(edge, on_edge, other, on_other));
                    cuts[i].push((on_edge, node));
                    cuts[first.len() + j].push((on_other, node));
                }
            }
        }
        let mut pieces =
            all.iter().zip(cuts).enumerate().map(|(index, (edge, cuts))| split(index, edge, cuts));
        let first = pieces.by_ref().take(first.len()).flatten().collect();
        let [mut first, mut second] = without_shortest([first, pieces.flatten().collect()], nodes.len());
        find_twins(&mut first, &mut second);
        Overlay { first, second, nodes }
    }
}

/// Makes one node of the ends of every piece shorter than [`SHORTEST`] and leaves the piece out: what lies at its two
/// ends is nearer than any tool can tell, and its own direction is rounding.
fn without_shortest(pieces: [Vec<Piece>; 2], nodes: usize) -> [Vec<Piece>; 2] {
    let mut same: Vec<usize> = (0..nodes).collect();
    for piece in pieces.iter().flatten().filter(|piece| piece.segment.length() <= SHORTEST) {
        let (low, high) = (same[piece.from].min(same[piece.to]), same[piece.from].max(same[piece.to]));
        same.iter_mut().filter(|node| **node == high).for_each(|node| *node = low);
    }
    let united = |piece: Piece| Piece { from: same[piece.from], to: same[piece.to], ..piece };
    let is_long = |piece: &Piece| piece.from != piece.to || piece.segment.length() > 10.0 * SHORTEST;
    pieces.map(|list| list.into_iter().map(united).filter(is_long).collect())
}

/// Marks the pieces of two shapes that lie on each other.
fn find_twins(first: &mut [Piece], second: &mut [Piece]) {
    for piece in first {
        for other in second.iter_mut() {
            let twin = match (piece.from, piece.to) {
                ends if ends == (other.from, other.to) => Lies::With,
                ends if ends == (other.to, other.from) => Lies::Against,
                _ => continue,
            };
            let distance = |at: f64| other.segment.foot(piece.segment.point(at)).distance;
            if PROBES.iter().all(|&at| distance(at) <= SHORTEST) {
                (piece.twin, other.twin) = (Some(twin), Some(twin));
            }
        }
    }
}

/// The meeting as an end of an edge if it is one, so that the given corners stay to the bit.
fn meeting_point(edge: &Segment, on_edge: f64, other: &Segment, on_other: f64) -> DVec2 {
    let other_ends_there = on_other <= 0.0 || on_other >= 1.0;
    let edge_ends_there = on_edge <= 0.0 || on_edge >= 1.0;
    if other_ends_there && !edge_ends_there { other.point(on_other) } else { edge.point(on_edge) }
}

/// The node at a point, made if there is none within [`SAME_POINT`].
fn node_at(nodes: &mut Vec<DVec2>, point: DVec2) -> usize {
    nodes.iter().position(|node| node.distance(point) <= SAME_POINT).unwrap_or_else(|| {
        nodes.push(point);
        nodes.len() - 1
    })
}

/// An edge in pieces between its nodes in order.
fn split(index: usize, edge: &Segment, mut cuts: Vec<(f64, usize)>) -> Vec<Piece> {
    cuts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let length = edge.length();
    let mut pieces: Vec<Piece> = Vec::new();
    let (mut begins, mut from) = cuts[0];
    for &(ends, to) in &cuts[1..] {
        if to == from && (ends - begins) * length <= SHORTEST {
            continue;
        }
        let segment = edge.part(begins, ends);
        pieces.push(Piece { from, to, segment, edge: index, begins, ends, is_reversed: false, twin: None });
        (begins, from) = (ends, to);
    }
    pieces
}

/// How a piece lies to a closed shape: on it if it has a twin there, else judged at the probe farthest from the shape.
fn lies(piece: &Piece, shape: &[Segment]) -> Lies {
    if let Some(twin) = piece.twin {
        return twin;
    }
    let probes = PROBES.map(|at| piece.segment.point(at));
    let distance = |point: &DVec2| nearest(shape, *point).map_or(f64::INFINITY, |(_, foot)| foot.distance);
    let farthest = probes.iter().max_by(|a, b| distance(a).total_cmp(&distance(b)));
    if farthest.is_some_and(|point| winding(shape, *point) != 0) { Lies::Inside } else { Lies::Outside }
}

/// Leaves out pieces that nothing leads to or on from: near-coincident edges whose two shapes were answered unequally.
fn without_dead_ends(mut pieces: Vec<Piece>) -> Vec<Piece> {
    loop {
        let leads_on = |piece: &Piece| pieces.iter().any(|next| next.from == piece.to);
        let is_reached = |piece: &Piece| pieces.iter().any(|before| before.to == piece.from);
        let kept: Vec<Piece> = pieces.iter().filter(|p| leads_on(p) && is_reached(p)).copied().collect();
        if kept.len() == pieces.len() {
            return kept;
        }
        pieces = kept;
    }
}

/// The pieces wanted, walked into closed loops. `starts` are the pieces a loop must begin at; all others are only used
/// to go on. Loops that find no way on are dropped.
fn loops(nodes: &[DVec2], pieces: &[Piece], starts: &[usize]) -> Vec<Vec<usize>> {
    let mut leaving: Vec<Vec<usize>> = vec![Vec::new(); nodes.len()];
    for (index, piece) in pieces.iter().enumerate() {
        leaving[piece.from].push(index);
    }
    let mut used = vec![false; pieces.len()];
    let mut found = Vec::new();
    for &start in starts {
        if used[start] {
            continue;
        }
        if let Some(walk) = walk(pieces, &leaving, &used, start) {
            walk.iter().for_each(|&index| used[index] = true);
            found.push(walk);
        }
    }
    found
}

/// From a piece on, by the leftmost way, until back at it.
fn walk(pieces: &[Piece], leaving: &[Vec<usize>], used: &[bool], start: usize) -> Option<Vec<usize>> {
    let mut taken = used.to_vec();
    let mut walk = vec![start];
    taken[start] = true;
    let mut at = start;
    loop {
        let ways = leaving[pieces[at].to].iter().copied();
        let free = ways.filter(|&way| way == start || !taken[way]);
        let next = leftmost(pieces, at, free)?;
        if next == start {
            return Some(walk);
        }
        taken[next] = true;
        walk.push(next);
        at = next;
    }
}

/// Of the ways on from a piece's end, the first one met when turning clockwise from the way back.
fn leftmost(pieces: &[Piece], at: usize, ways: impl Iterator<Item = usize>) -> Option<usize> {
    let ways: Vec<usize> = ways.collect();
    if ways.len() < 2 {
        return ways.first().copied();
    }
    let back = pieces[at].segment.reversed();
    // Angles are taken where the edges are at one distance from the node: that also tells apart edges that leave it as
    // tangents.
    let near = ways.iter().map(|&way| safe_reach(&pieces[way].segment)).chain([safe_reach(&back)]);
    let distance = near.fold(f64::INFINITY, f64::min);
    // Straight back is the last way of all.
    let clockwise = |way: usize| match pieces[way].is_reverse_of(&pieces[at]) {
        true => f64::INFINITY,
        false => clockwise_turn(&back, &pieces[way].segment, distance),
    };
    let is_before = |&a: &usize, &b: &usize| {
        let (turn_a, turn_b) = (clockwise(a), clockwise(b));
        if (turn_a - turn_b).abs() > NARROW {
            turn_a.total_cmp(&turn_b)
        } else {
            // Turning clockwise, the one on the left is met first.
            0.0_f64.total_cmp(&side_of(&pieces[a].segment, &pieces[b].segment))
        }
    };
    ways.into_iter().min_by(is_before)
}

/// The angle to turn clockwise from one edge to another that leave the same node, above 0 and up to a full turn.
fn clockwise_turn(from: &Segment, to: &Segment, distance: f64) -> f64 {
    let towards = |segment: &Segment| segment.point(distance / segment.length()) - segment.start;
    let turn = -angle_between(towards(from), towards(to));
    let full = 2.0 * slatwork_base::maths::PI;
    match turn.abs() <= NARROW {
        true if side_of(to, from) < 0.0 => turn.abs(),
        true => full - turn.abs(),
        false if turn > 0.0 => turn,
        false => turn + full,
    }
}

/// How far one of two edges that leave a node side by side lies to the left of the other, judged where it is farthest.
fn side_of(edge: &Segment, other: &Segment) -> f64 {
    let share = (other.length() / edge.length()).min(1.0);
    let sides = PROBES.map(|at| other.left_distance(edge.point(at * share)));
    sides
        .into_iter()
        .fold(0.0, |farthest: f64, side| if side.abs() > farthest.abs() { side } else { farthest })
}

/// How far along an edge it still leads away from its start without turning much.
fn safe_reach(segment: &Segment) -> f64 {
    let half = segment.length() / 2.0;
    let curvature = segment.curvature().abs();
    if curvature * half > 0.2 { 0.2 / curvature } else { half }
}

/// A closed outline of pieces, those of one edge run together again.
fn outline(nodes: &[DVec2], pieces: &[Piece], walk: &[usize]) -> Profile {
    // Begin where the outline does not run on along one edge, if there is such a place.
    let runs_on = |i: usize| pieces[walk[i]].runs_on_into(&pieces[walk[(i + 1) % walk.len()]]);
    let turn = (0..walk.len()).find(|&i| !runs_on((i + walk.len() - 1) % walk.len())).unwrap_or(0);
    let ordered: Vec<&Piece> = (0..walk.len()).map(|i| &pieces[walk[(turn + i) % walk.len()]]).collect();
    let mut edges: Vec<(Segment, &Piece)> = Vec::new();
    for piece in ordered {
        match edges.last_mut() {
            Some((segment, last)) if last.runs_on_into(piece) => {
                segment.end = nodes[piece.to];
                segment.bulge = joined_bulge(segment.bulge, piece.segment.bulge);
                *last = piece;
            }
            _ => edges.push((placed(nodes, piece), piece)),
        }
    }
    Profile::from_segments(&edges.into_iter().map(|(segment, _)| segment).collect::<Vec<_>>())
}

fn placed(nodes: &[DVec2], piece: &Piece) -> Segment {
    Segment { start: nodes[piece.from], end: nodes[piece.to], ..piece.segment }
}

/// The bulge of two arcs of one circle run together.
fn joined_bulge(first: f64, second: f64) -> f64 {
    (first + second) / (1.0 - first * second)
}

/// The edges of an outline, turned round if it is clockwise.
fn counter_clockwise(profile: &Profile) -> Vec<Segment> {
    if profile.area() < 0.0 { profile.reversed().edges() } else { profile.edges() }
}

fn is_sliver(profile: &Profile) -> bool {
    profile.area().abs() <= SLIVER_WIDTH * profile.length()
}

fn is_finite(segments: &[Segment]) -> bool {
    segments.iter().all(|s| s.start.is_finite() && s.end.is_finite() && s.bulge.is_finite())
}

/// Cuts a profile along a path and keeps one side of it.
///
/// A path that stops inside the profile is drawn out straight along its end tangents until it leaves the wood; one that
/// misses the profile altogether is drawn out straight past it. New edges carry the path's tags; where the path runs on
/// an edge, the edge stays as it was.
///
/// # Errors
/// [`ClipFault`]: nothing left, several pieces left (with their number), a path that crosses itself or leaves it open
/// which side a piece lies on, and outlines or paths without edges.
pub fn clip(profile: &Profile, path: &Path, keep: Keep) -> Result<Profile, ClipFault> {
    let path = if keep == Keep::Left { path.clone() } else { path.reversed() };
    let edges = counter_clockwise(profile);
    let is_drawn = edges.len() >= 2 && path.length() > SAME_POINT;
    if !is_drawn || !is_finite(&edges) || !is_finite(&path.segments()) {
        return Err(ClipFault::NoShape);
    }
    if path.self_crosses() {
        return Err(ClipFault::PathCrossesItself);
    }
    let drawn_out = leave_wood(&edges, &path);
    if drawn_out.self_crosses() {
        return Err(ClipFault::PathCrossesItself);
    }
    match cut_left(&edges, &drawn_out)? {
        Some(kept) => one_piece(kept),
        None => clip_by_missing(profile, &edges, &path),
    }
}

/// A path that does not enter the wood as it stands: drawn out straight, or else all on one side.
fn clip_by_missing(profile: &Profile, edges: &[Segment], path: &Path) -> Result<Profile, ClipFault> {
    let long = path.extended(REACH * profile.extent().joined(path.extent()).diagonal());
    let long = if long.self_crosses() { path.clone() } else { long };
    if let Some(kept) = cut_left(edges, &long)? {
        return one_piece(kept);
    }
    if is_left_of(edges, &long) { Ok(profile.clone()) } else { Err(ClipFault::NothingLeft) }
}

fn one_piece(mut kept: Vec<Profile>) -> Result<Profile, ClipFault> {
    match kept.len() {
        0 | 1 => kept.pop().ok_or(ClipFault::NothingLeft),
        count => Err(ClipFault::Pieces(count)),
    }
}

/// Draws out the ends of a path that stop inside the wood until they leave it.
fn leave_wood(edges: &[Segment], path: &Path) -> Path {
    let path = leave_wood_at_end(edges, path);
    leave_wood_at_end(edges, &path.reversed()).reversed()
}

fn leave_wood_at_end(edges: &[Segment], path: &Path) -> Path {
    let end = path.end();
    let on_edge = nearest(edges, end).is_none_or(|(_, foot)| foot.distance <= SAME_POINT);
    if on_edge || winding(edges, end) == 0 {
        return path.clone();
    }
    let size = edges.iter().map(Segment::extent).reduce(|a, b| a.joined(b)).map_or(0.0, Extent::diagonal);
    let ray = Segment::line(end, end + path.tangent_at_end() * (2.0 * size), crate::Tag::default());
    let meetings = edges.iter().flat_map(|edge| ray.meetings(edge, SAME_POINT));
    let out = meetings.map(|(on_ray, _)| on_ray).min_by(f64::total_cmp);
    path.extended_at_end(out.unwrap_or(1.0) * ray.length())
}

/// The pieces of the wood to the left of the path; `None` if the path never enters the wood.
fn cut_left(edges: &[Segment], path: &Path) -> Result<Option<Vec<Profile>>, ClipFault> {
    let overlay = Overlay::new(edges, &path.segments());
    let mut pieces = overlay.first;
    let inside = overlay.second.iter().filter(|piece| lies(piece, edges) == Lies::Inside);
    let inside: Vec<Piece> = inside.copied().collect();
    if inside.is_empty() {
        return Ok(None);
    }
    let starts: Vec<usize> = (pieces.len()..pieces.len() + inside.len()).collect();
    pieces.extend(&inside);
    pieces.extend(inside.iter().map(Piece::reversed));
    let walks = loops(&overlay.nodes, &pieces, &starts);
    let is_walked = |start: &usize| walks.iter().any(|walk| walk.contains(start));
    if walks.iter().flatten().any(|&index| pieces[index].is_reversed) || !starts.iter().all(is_walked) {
        return Err(ClipFault::Undecided);
    }
    let first_edge = |walk: &Vec<usize>| walk.iter().map(|&index| pieces[index].edge).min();
    let mut walks = walks;
    walks.sort_by_key(first_edge);
    let kept = walks.iter().map(|walk| outline(&overlay.nodes, &pieces, walk));
    Ok(Some(kept.filter(|profile| profile.area() > 0.0 && !is_sliver(profile)).collect()))
}

/// Whether wood that the path does not enter lies to its left: judged at the probe farthest from the path.
fn is_left_of(edges: &[Segment], path: &Path) -> bool {
    let probes = edges.iter().flat_map(|edge| PROBES.map(|at| edge.point(at)));
    let feet = probes.filter_map(|point| path.project(point));
    feet.max_by(|a, b| a.distance.total_cmp(&b.distance)).is_some_and(|nearest| nearest.left > 0.0)
}

/// The parts of `a` inside `b`, largest first. Neither outline may cross itself; either may be hollow.
pub fn intersection(a: &Profile, b: &Profile) -> Vec<Profile> {
    let take = |lies: Lies| matches!(lies, Lies::Inside | Lies::With);
    combine(&counter_clockwise(a), &counter_clockwise(b), take, |lies| lies == Lies::Inside, false)
}

/// The parts of `a` outside `b`, largest first. Outlines have no holes: if `b` lies wholly inside `a`, the ring left over
/// comes as two pieces, parted along x through the middle of `b`.
pub fn difference(a: &Profile, b: &Profile) -> Vec<Profile> {
    let take = |lies: Lies| matches!(lies, Lies::Outside | Lies::Against);
    let parts =
        combine(&counter_clockwise(a), &counter_clockwise(b), take, |lies| lies == Lies::Inside, true);
    if parts.iter().all(Profile::is_counter_clockwise) { parts } else { ring(a, b) }
}

/// What `b` leaves of `a` around it, in halves.
fn ring(a: &Profile, b: &Profile) -> Vec<Profile> {
    let (size, hole) = (a.extent(), b.extent());
    let middle = (hole.low + hole.high) / 2.0;
    let (low, high) = (size.low - 1.0, size.high + 1.0);
    let slab = |from: f64, to: f64| {
        let corners = [(low.x, from), (high.x, from), (high.x, to), (low.x, to)];
        let points: Vec<DVec2> = corners.iter().map(|&(x, y)| DVec2::new(x, y)).collect();
        let mut sides = Path::lines(&points).segments();
        sides.push(Segment::line(points[3], points[0], crate::Tag::default()));
        Profile::from_segments(&sides)
    };
    let halves = [slab(low.y, middle.y), slab(middle.y, high.y)];
    let halves = halves.iter().flat_map(|slab| intersection(a, slab));
    largest_first(halves.flat_map(|half| difference(&half, b)).collect())
}

/// Pieces of `a` and `b` chosen by how each lies to the other, as closed outlines.
fn combine(
    a: &[Segment],
    b: &[Segment],
    take_a: impl Fn(Lies) -> bool,
    take_b: impl Fn(Lies) -> bool,
    reverse_b: bool,
) -> Vec<Profile> {
    if !is_finite(a) || !is_finite(b) {
        return Vec::new();
    }
    let overlay = Overlay::new(a, b);
    let of_a = overlay.first.into_iter().filter(|piece| take_a(lies(piece, b)));
    let of_b = overlay.second.into_iter().filter(|piece| take_b(lies(piece, a)));
    let turn = |piece: Piece| if reverse_b { piece.reversed() } else { piece };
    let pieces = without_dead_ends(of_a.chain(of_b.map(turn)).collect());
    let all: Vec<usize> = (0..pieces.len()).collect();
    let walks = loops(&overlay.nodes, &pieces, &all);
    let outlines = walks.iter().map(|walk| outline(&overlay.nodes, &pieces, walk));
    largest_first(outlines.filter(|profile| !is_sliver(profile)).collect())
}

fn largest_first(mut profiles: Vec<Profile>) -> Vec<Profile> {
    profiles.sort_by(|a, b| b.area().total_cmp(&a.area()));
    profiles
}
