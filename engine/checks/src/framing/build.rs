//! The frame of a piece.

use super::chains::{METRE, lay};
use super::ties::ties;
use super::{Chain, Ground, Point, Tie, Timbers};
use crate::Case;
use crate::statics::frame::{Altered, Direction, Frame, Hold, Member, MemberKind, Node, Section, Support};
use slatwork_model::PartId;
use slatwork_solid::DVec3;
use std::collections::BTreeSet;

/// Stiffness of the ground under a foot, N/m (project choice: at 5e6 and 1e10 N/m the largest moment of a bench differs by 3 %).
const GROUND: f64 = 5e6;

/// Length of the bar that stands for a tie, mm: what matters is only that it has a direction.
const TIE_LENGTH: f64 = 1.0;

/// The bar of a tie is this many times as stiff as its springs: enough to add nothing, too little to cost digits.
const BAR_TO_SPRING: f64 = 1e4;

/// Springs weaker than this share of the strongest of their kind are hinges.
const HINGE: f64 = 1e-6;

/// How stiffly the point of an eye or foot is held to the board behind it, N/m and N.m/rad: a block of wood (project choice).
const BLOCK: [f64; 6] = [5e7, 5e7, 5e7, 5e4, 5e4, 5e4];

/// A piece as a frame, without its loads.
#[derive(Clone, Debug)]
pub struct Framing {
    /// Nodes, bars, supports.
    pub frame: Frame,
    /// Boards, by the index of their part; `None` for parts that nothing holds.
    pub chains: Vec<Option<Chain>>,
    /// Joints, in order.
    pub ties: Vec<Tie>,
    /// The bar of each tie; `None` where a part is left out.
    pub tie_bars: Vec<Option<usize>>,
    /// What holds it.
    pub ground: Ground,
    /// The node of each point of the ground.
    pub ground_nodes: Vec<usize>,
    /// What the wood may carry.
    pub timbers: Timbers,
    /// Parts that no joint leads to.
    pub left_out: Vec<PartId>,
}

/// The frame of a piece, its joints `stiffness` times as stiff as reckoned.
///
/// # Errors
/// Why there is none, in words.
pub fn frame_of(case: &Case, stiffness: f64) -> Result<Framing, String> {
    let timbers = Timbers::of_all(case)?;
    let ties = ties(case, &timbers);
    let ground = Ground::of(case.model);
    if ground.points().len() < LEAST_POINTS {
        return Err(format!(
            "it stands or hangs on {} points, and needs {LEAST_POINTS}",
            ground.points().len()
        ));
    }
    let held = held(&ground, &ties);
    let mut frame = Frame::default();
    let mut chains = vec![None; case.model.parts.len()];
    let sections = |part| case.kept.sections(case.model, part);
    for part in case.model.parts.iter().filter(|part| held.contains(&part.id)) {
        chains[part.id.0] = lay(
            &mut frame,
            part,
            sections(part.id),
            timbers.of(part.id),
            &wanted(case, part.id, &ties, &ground),
        );
    }
    let left_out =
        case.model.parts.iter().map(|part| part.id).filter(|part| chains[part.0].is_none()).collect();
    let mut framing = Framing {
        frame,
        chains,
        ties,
        tie_bars: Vec::new(),
        ground,
        ground_nodes: Vec::new(),
        timbers,
        left_out,
    };
    framing.bind(case, stiffness);
    framing.support(case);
    Ok(framing)
}

/// Fewer points than three hold nothing.
const LEAST_POINTS: usize = 3;

/// Parts that joints lead to from the ground.
fn held(ground: &Ground, ties: &[Tie]) -> BTreeSet<PartId> {
    let mut held: BTreeSet<PartId> = ground.points().iter().map(|point| point.part).collect();
    loop {
        let before = held.len();
        for tie in ties {
            if tie.parts.iter().any(|part| held.contains(part)) {
                held.extend(tie.parts);
            }
        }
        if held.len() == before {
            return held;
        }
    }
}

/// Places along a part where something is tied or held.
fn wanted(case: &Case, part: PartId, ties: &[Tie], ground: &Ground) -> Vec<f64> {
    let back = case.model.part(part).pose.inverse();
    let tied = ties.iter().filter(|tie| tie.parts.contains(&part)).map(|tie| tie.at);
    let held = ground.points().iter().filter(|point| point.part == part).map(|point| point.at);
    tied.chain(held).map(|at| back.transform_point3(at).x).collect()
}

impl Framing {
    /// The chain of a part.
    pub fn chain(&self, part: PartId) -> Option<&Chain> {
        self.chains[part.0].as_ref()
    }

    /// The bars of its joints, so many times as stiff.
    pub(super) fn joints_times(&self, stiffness: f64) -> Vec<Altered> {
        let of = |&bar: &usize| {
            let [start, end] = self.frame.members[bar].springs;
            let springs = start.map(|spring| spring.unwrap_or(0.0) * stiffness);
            Altered { member: bar, section: stiff_section(&springs), springs: [springs.map(Some), end] }
        };
        self.tie_bars.iter().flatten().map(of).collect()
    }

    fn node_near(&self, case: &Case, point: Point) -> Option<usize> {
        let x = case.model.part(point.part).pose.inverse().transform_point3(point.at).x;
        Some(self.chain(point.part)?.nearest(x).node)
    }

    fn bind(&mut self, case: &Case, stiffness: f64) {
        for index in 0..self.ties.len() {
            let bar = self.tie_bar(case, &self.ties[index], stiffness);
            self.tie_bars.push(bar.map(|bar| {
                self.frame.members.push(bar);
                self.frame.members.len() - 1
            }));
        }
    }

    fn tie_bar(&self, case: &Case, tie: &Tie, stiffness: f64) -> Option<Member> {
        let [start, end] = tie.parts.map(|part| self.node_near(case, Point { part, at: tie.at }));
        // N/mm to N/m along the axes, N mm to N m about them.
        let springs = std::array::from_fn(|freedom| {
            tie.springs[freedom] * stiffness * if freedom < 3 { METRE } else { 1.0 / METRE }
        });
        let name = format!("joint of `{}`", case.model.part(tie.parts[0]).name);
        Some(self.short_bar(name, [start?, end?], tie.at, [tie.axes[0], tie.axes[1]], springs))
    }

    /// A bar a millimetre long at a point, with springs at its start.
    fn short_bar(
        &self,
        name: String,
        ends: [usize; 2],
        at: DVec3,
        axes: [DVec3; 2],
        springs: [f64; 6],
    ) -> Member {
        let half = axes[0] * (TIE_LENGTH / 2.0);
        let offset = |node: usize, place: DVec3| place / METRE - self.frame.nodes[node].at;
        Member {
            name,
            ends,
            kind: MemberKind::Beam,
            section: stiff_section(&springs),
            y_axis: axes[1],
            offsets: [offset(ends[0], at - half), offset(ends[1], at + half)],
            springs: [springs.map(Some), [None; 6]],
        }
    }

    /// Nodes for feet or eyes, each held to the board behind it, and the supports.
    fn support(&mut self, case: &Case) {
        for point in self.ground.points().to_vec() {
            let Some(near) = self.node_near(case, point) else { continue };
            let word = if matches!(self.ground, Ground::Feet(_)) { "foot" } else { "eye" };
            let name = format!("{word} of {}", case.model.part(point.part).name);
            self.frame.nodes.push(Node { name: name.clone(), at: point.at / METRE });
            let own = self.frame.nodes.len() - 1;
            let above = point.at + DVec3::Z * (TIE_LENGTH / 2.0);
            let bar = self.short_bar(name, [own, near], above, [DVec3::Z, DVec3::Y], BLOCK);
            self.frame.members.push(bar);
            self.ground_nodes.push(own);
        }
        self.frame.supports = match &self.ground {
            Ground::Feet(feet) => standing(feet, &self.ground_nodes),
            Ground::Eyes(eyes) => hanging(eyes, &self.ground_nodes),
        };
    }
}

/// Feet only push up. The rearmost two are kept from sliding: the outer left one both ways, the outer right one to the rear.
fn standing(feet: &[Point], nodes: &[usize]) -> Vec<Support> {
    let rear = |foot: &Point| foot.at.y;
    let middle = feet.iter().map(rear).sum::<f64>() / feet.len() as f64;
    let behind: Vec<usize> = (0..feet.len()).filter(|foot| rear(&feet[*foot]) >= middle).collect();
    let outer = [behind.first().copied(), behind.last().copied()];
    let support = |foot: usize| {
        let mut holds = [Hold::Free; 6];
        holds[2] = Hold::OneSided(GROUND, Direction::Plus);
        if outer.contains(&Some(foot)) {
            holds[1] = Hold::Fixed;
        }
        if outer[0] == Some(foot) {
            holds[0] = Hold::Fixed;
        }
        Support { node: nodes[foot], holds }
    };
    (0..nodes.len()).map(support).collect()
}

/// Six restraints and no more: chains are loads, and what these hold must come out as nothing.
fn hanging(eyes: &[Point], nodes: &[usize]) -> Vec<Support> {
    let far = |from: usize, axis: usize| {
        let away = |eye: &usize| (eyes[*eye].at[axis] - eyes[from].at[axis]).abs();
        (0..eyes.len()).max_by(|a, b| away(a).total_cmp(&away(b)).then(b.cmp(a))).unwrap_or(from)
    };
    let held: [(usize, &[usize]); 3] = [(0, &[0, 1, 2]), (far(0, 0), &[1, 2]), (far(0, 1), &[2])];
    let mut supports: Vec<Support> = Vec::new();
    for (eye, freedoms) in held {
        let mut holds = [Hold::Free; 6];
        freedoms.iter().for_each(|freedom| holds[*freedom] = Hold::Fixed);
        if supports.iter().all(|support| support.node != nodes[eye]) {
            supports.push(Support { node: nodes[eye], holds });
        }
    }
    supports
}

/// A section whose bar of the tie's length is many times as stiff as its springs in every sense.
fn stiff_section(springs: &[f64; 6]) -> Section {
    let least = |from: usize| springs[from..from + 3].iter().copied().fold(0.0, f64::max).max(1.0) * HINGE;
    let floors = [least(0), least(3)];
    let figure =
        |freedom: usize| springs[freedom].max(floors[freedom / 3]) * BAR_TO_SPRING * TIE_LENGTH / METRE;
    Section {
        elastic: 1.0,
        shear: 1.0,
        area: figure(0),
        inertia_y: figure(4),
        inertia_z: figure(5),
        torsion: figure(3),
        shear_area_y: Some(figure(1)),
        shear_area_z: Some(figure(2)),
    }
}
