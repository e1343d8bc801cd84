//! # What it checks
//! That no board splits along its grain where bolts near its end hold it.
//! # Why
//! Bolts carry only the wood on their loaded side: the rest of the depth hangs on it by a plane along the grain, and opens.
//! # Method and source
//! What the bolts and lag screws hand to the board across its grain in the frame of the whole piece, at most its shear beside them,
//! less what other joints press straight back on them from the loaded edge, no farther off than d (project choice), against
//! (2/3 Fv' b de) (de/d)^2 where they are less than 5 d from an end, else 2/3 Fv' b de (NDS-2018 3.4.3.3, from memory); de is the depth d less the distance from the
//! unloaded edge to the nearest of them. Of two boards the one hangs that is more joints away from the ground or the eyes; boards
//! that bolts load, not carry, are left to edge distances (project choice). Where a foot catches as the piece is dragged, the other
//! one hangs as well: the ground pushes at its foot, and bolts higher up hold it. Its 5 d count to the end that does not stand:
//! between bolts and foot it bears that push, and is no end that nothing holds (project choice). Ties that the same bolts make to
//! either side of a board are added up.
//! # Example
//! A side rail that hangs by one bolt near its upper edge.
//! # Remedy
//! Set the bolts nearer to the edge away from the load, or take a deeper board.

use super::{founded, standing};
use crate::framing::{About, Analysis, Solved, Strain, Tie, is_worse};
use crate::statics::beam::{End, Section, shear_capacity, shear_capacity_equation};
use crate::statics::dowel::is_thick;
use crate::statics::frame::Rows;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, NamedNumber, greatest, least};
use slatwork_base::{Severity, both_tapes_whole};
use slatwork_catalog::Status;
use slatwork_model::{Part, PartId};
use slatwork_solid::DVec3;

const FAULT: &str = "hung-end-splits";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "boards do not split where bolts near their ends hold them",
    rates: true,
    look: Look::Judges(look),
};

/// A fastener nearer to the grain than this holds no depth of the board (cosine of 45 degrees).
const ALONG_GRAIN: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// A board where the bolts of a tie hold it.
struct Hung {
    tie: usize,
    part: PartId,
    /// Whether the bolts load its width (y), else its thickness (z).
    of_width: bool,
    /// What holds where the bolts push the board toward the lesser coordinate, and toward the greater.
    held: [Held; 2],
    /// From the nearest end to the nearest bolt, mm.
    from_end: f64,
    /// Whether it hangs only where its foot catches, and else carries the other board.
    when_dragged: bool,
    /// Bars before and behind the tie.
    bars: [Option<usize>; 2],
    /// The ties that the same bolts make to the board: to one on either side of it.
    same: Vec<usize>,
    /// Ties to the same board on the side of the lesser coordinate and of the greater, which may press straight on the bolts.
    beside: [Vec<usize>; 2],
}

/// The section at the bolt that is farthest from the loaded edge, and how far it is from that, mm.
#[derive(Clone, Copy)]
struct Held {
    section: Section,
    effective: f64,
}

/// A bolt in a board: where, in board axes, and what it holds toward either edge.
struct Bolt {
    at: DVec3,
    held: [Held; 2],
}

/// The hardest worked one.
struct Worked {
    hung: Hung,
    strain: Strain,
    shear: Sheared,
    /// What holds it.
    held: Held,
}

/// What shears a board beside the bolts that hold it, N.
#[derive(Clone, Copy)]
struct Sheared {
    /// The greater shear beside them.
    beside: f64,
    /// What they hand over across the grain.
    handed: f64,
    /// What presses straight back on them.
    back: f64,
}

impl Sheared {
    fn counts(&self) -> f64 {
        self.beside.min((self.handed - self.back).max(0.0))
    }

    fn equation(&self, measure: &Measure) -> Equation {
        let force = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Force);
        let beside = force("V1", "shear beside the bolts, from the frame", self.beside);
        let handed = force("P", "what the bolts hand over across the grain, from the frame", self.handed);
        let back = force("Pb", "what presses straight back on them, from the frame", self.back);
        let handed = if self.back > 0.0 { greatest([handed - back, 0.0.into()]) } else { handed.into() };
        let left = force("V", "load from the bolts", measure.found);
        Equation::of(left, least([beside.into(), handed]))
    }
}

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match standing(case, FAULT) {
        Ok(analysis) => analysis,
        Err(unjudged) => return unjudged,
    };
    let (away, ties) = (joints_away(analysis), analysis.ties().iter().enumerate());
    let both = ties.flat_map(|(index, tie)| tie.parts.map(|part| (index, tie, part)));
    let hangs = |tie: &Tie, part: PartId| tie.parts.iter().all(|other| away[part.0] >= away[other.0]);
    let worked = both.filter(|(_, tie, part)| hangs(tie, *part) || away[part.0] == 0).filter_map(
        |(index, tie, part)| of(analysis, hung(case, analysis, (index, tie), (part, !hangs(tie, part)))?),
    );
    let worst = worked.reduce(|a, b| if is_worse(b.strain.share, a.strain.share) { b } else { a });
    worst.map(|worst| judged(case, analysis, &worst)).into_iter().collect()
}

/// Joints between each part and the ground, or the eyes that the piece hangs by.
fn joints_away(analysis: &Analysis) -> Vec<usize> {
    let mut away = vec![usize::MAX; analysis.model.parts.len()];
    analysis.models[0].framing.ground.points().iter().for_each(|point| away[point.part.0] = 0);
    for joints in 0..away.len() {
        let reached =
            analysis.ties().iter().filter(|tie| tie.parts.iter().any(|part| away[part.0] == joints));
        let next: Vec<PartId> =
            reached.flat_map(|tie| tie.parts).filter(|part| away[part.0] > joints).collect();
        next.iter().for_each(|part| away[part.0] = joints + 1);
    }
    away
}

/// A part of a tie as its bolts hold it, perhaps only where it is dragged; nothing where no bolt does.
fn hung(
    case: &Case,
    analysis: &Analysis,
    (index, tie): (usize, &Tie),
    (part, when_dragged): (PartId, bool),
) -> Option<Hung> {
    let chain = analysis.models[0].framing.chain(part)?;
    let own = case.model.part(part);
    let (of_width, bolts) = bolts(case, tie, own)?;
    let ends = if when_dragged { free_ends(analysis, own) } else { ends(own).into() };
    let from_end = bolts.iter().flat_map(|bolt| ends.iter().map(|end| (bolt.at.x - end).abs()));
    let station = chain.nearest(own.pose.inverse().transform_point3(tie.at).x);
    let at = chain.stations.iter().position(|own| own.node == station.node)?;
    let is_same = |other: &Tie| other.joint == tie.joint && other.parts.contains(&part);
    let farthest = |toward: usize| {
        let held = bolts.iter().map(|bolt| bolt.held[toward]);
        held.reduce(|a, b| if b.effective > a.effective { b } else { a })
    };
    Some(Hung {
        tie: index,
        part,
        of_width,
        held: [farthest(0)?, farthest(1)?],
        from_end: from_end.fold(f64::INFINITY, f64::min),
        when_dragged,
        bars: [at.checked_sub(1), (at < chain.bars.len()).then_some(at)]
            .map(|bar| Some(chain.bars.start + bar?)),
        same: (0..analysis.ties().len()).filter(|other| is_same(&analysis.ties()[*other])).collect(),
        beside: [0, 1].map(|side| beside(analysis, index, own, &bolts, (of_width, side))),
    })
}

/// Both ends of a part, along its grain.
fn ends(part: &Part) -> [f64; 2] {
    let bounds = part.solid.bounds();
    [bounds.min.x, bounds.max.x]
}

/// Its ends that do not stand on the ground.
fn free_ends(analysis: &Analysis, part: &Part) -> Vec<f64> {
    let [low, high] = ends(part);
    let back = part.pose.inverse();
    let points = analysis.models[0].framing.ground.points().iter().filter(|point| point.part == part.id);
    let feet: Vec<f64> = points.map(|point| back.transform_point3(point.at).x).collect();
    let stands = |end: &f64| feet.iter().any(|foot| (foot - end).abs() < (high - low) / 2.0);
    [low, high].into_iter().filter(|end| !stands(end)).collect()
}

/// The bolts of a tie in a part, and whether they load its width.
fn bolts(case: &Case, tie: &Tie, part: &Part) -> Option<(bool, Vec<Bolt>)> {
    let back = part.pose.inverse();
    let fastenings = &case.model.joints[tie.joint].fastenings;
    let thick = tie.fasteners.iter().zip(&tie.places).filter_map(|(at, place)| {
        let crosses = tie.at + tie.axes[1] * place[0] + tie.axes[2] * place[1];
        let way = back.transform_vector3(fastenings[*at].direction);
        let counts = is_thick(fastenings[*at].diameter.as_mm()) && way.x.abs() < ALONG_GRAIN;
        counts.then(|| (back.transform_point3(crosses), way))
    });
    let found: Vec<(DVec3, DVec3)> = thick.collect();
    let (_, way) = found.first()?;
    let axis = usize::from(way.z.abs() < way.y.abs());
    let bolts = found.iter().map(|(at, _)| {
        let slice = case.kept.sections(case.model, part.id).at(at.x)?;
        let (depth, place) = (slice.size()[axis], [at.y, at.z][axis]);
        let section = Section { breadth: slice.area / depth, depth };
        let held = [place - slice.low[axis], slice.high[axis] - place]
            .map(|effective| Held { section, effective: effective.clamp(0.0, depth) });
        Some(Bolt { at: *at, held })
    });
    Some((axis == 0, bolts.collect::<Option<_>>()?))
}

/// Other ties of a part on a side of all its bolts, no farther from one of them along the grain than the board is deep.
fn beside(
    analysis: &Analysis,
    index: usize,
    part: &Part,
    bolts: &[Bolt],
    (of_width, side): (bool, usize),
) -> Vec<usize> {
    let (back, axis) = (part.pose.inverse(), if of_width { 1 } else { 2 });
    let way = if side == 0 { -1.0 } else { 1.0 };
    let outermost = bolts.iter().map(|bolt| bolt.at[axis] * way).fold(f64::NEG_INFINITY, f64::max);
    let near = |other: &Tie| {
        let at = back.transform_point3(other.at);
        let reaches = |bolt: &Bolt| (bolt.at.x - at.x).abs() <= bolt.held[side].section.depth;
        at[axis] * way > outermost && other.parts.contains(&part.id) && bolts.iter().any(reaches)
    };
    let joint = analysis.ties()[index].joint;
    let others = analysis.ties().iter().enumerate().filter(|(_, other)| other.joint != joint);
    others.filter(|(_, other)| near(other)).map(|(other, _)| other).collect()
}

impl Hung {
    fn capacity(&self, held: Held, strength: f64) -> f64 {
        shear_capacity(&held.section, self.end(held), strength).value.unwrap_or(0.0)
    }

    fn end(&self, held: Held) -> End {
        End::Fastened { effective: held.effective, from_end: self.from_end }
    }

    /// The greater shear beside the bolts, N.
    fn shear(&self, end_forces: &Rows<12>) -> f64 {
        let axis = if self.of_width { 1 } else { 2 };
        let [before, behind] = self.bars;
        let before = before.map_or(0.0, |bar| end_forces.at(bar)[6 + axis].abs());
        before.max(behind.map_or(0.0, |bar| end_forces.at(bar)[axis].abs()))
    }
}

/// What a tie does to one of its parts, N. Its own forces are those on its first part.
fn on_part(
    analysis: &Analysis,
    model: &Solved,
    (tie, part): (usize, PartId),
    situation: usize,
) -> Option<DVec3> {
    let forces = model.tie_forces(tie, situation)?;
    let tie = &analysis.ties()[tie];
    let force: DVec3 = (0..3).map(|axis| tie.axes[axis] * forces[axis]).sum();
    Some(if tie.parts[0] == part { force } else { -force })
}

/// The worst of it over all load cases and stiffnesses.
fn of(analysis: &Analysis, hung: Hung) -> Option<Worked> {
    let strength = analysis.models[0].framing.timbers.of(hung.part).edge.shear.value();
    let tie = &analysis.ties()[hung.tie];
    let matrix = analysis.model.part(hung.part).pose.matrix3;
    let across = if hung.of_width { matrix.y_axis } else { matrix.z_axis };
    let capacity = hung.held.map(|held| hung.capacity(held, strength));
    let mut worst: Option<(f64, Sheared, usize, usize)> = None;
    let mut by_model = Vec::new();
    for model in &analysis.models {
        let mut most = 0.0_f64;
        let all = analysis.situations.iter().enumerate();
        for (situation, own) in all.filter(|(_, own)| !hung.when_dragged || own.about == About::Dragged) {
            let of = |ties: &[usize]| -> Option<Vec<f64>> {
                let force = |own: &usize| on_part(analysis, model, (*own, hung.part), situation);
                ties.iter().map(|own| Some(force(own)?.dot(across))).collect()
            };
            let Some(handed) = of(&hung.same) else { continue };
            let handed: f64 = handed.iter().sum();
            let toward = usize::from(handed > 0.0);
            let pressed = of(&hung.beside[toward]).unwrap_or_default();
            let back: f64 = pressed.iter().map(|force| (-force * handed.signum()).max(0.0)).sum();
            let beside = hung.shear(&model.solution(situation)?.end_forces);
            let shear = Sheared { beside, handed: handed.abs(), back };
            let share = shear.counts() / (capacity[toward] * own.about.duration());
            most = most.max(share);
            if worst.is_none_or(|worst| is_worse(share, worst.0)) {
                worst = Some((share, shear, situation, toward));
            }
        }
        by_model.push(most);
    }
    let spread = by_model.iter().fold([f64::INFINITY, 0.0], |[low, high], own| [own.min(low), own.max(high)]);
    let (share, shear, situation, toward) = worst?;
    let held = hung.held[toward];
    let stress = 1.5 * shear.counts() / (held.section.breadth * held.effective);
    let x = analysis.model.part(hung.part).pose.inverse().transform_point3(tie.at).x;
    Some(Worked { hung, shear, held, strain: Strain { share, stress, situation, x, spread, at: None } })
}

fn judged(case: &Case, analysis: &Analysis, worst: &Worked) -> Verdict {
    let tie = &analysis.ties()[worst.hung.tie];
    let other = if tie.parts[0] == worst.hung.part { tie.parts[1] } else { tie.parts[0] };
    let [part, other] = [worst.hung.part, other].map(|part| case.model.part(part));
    let shear = worst.shear.counts();
    let allowed = shear / worst.strain.share.max(f64::MIN_POSITIVE);
    let measure = Measure::new("load from the bolts", shear, Limit::AtMost(allowed), Unit::Force);
    let told = format!(
        "the bolts to `{}` hand `{}` {:.0} N across its grain, and hold {} of its {}",
        other.name,
        part.name,
        shear,
        both_tapes_whole(worst.held.effective),
        both_tapes_whole(worst.held.section.depth)
    );
    let duration = analysis.situations[worst.strain.situation].about.duration();
    let strength = analysis.models[0].framing.timbers.of(part.id).shear();
    let (section, end) = (worst.held.section, worst.hung.end(worst.held));
    let working = Working::new(worst.shear.equation(&measure))
        .held_to(shear_capacity_equation(&section, end, &strength, (allowed, duration)))
        .by([strength]);
    let verdict = Verdict::measured(FAULT, measure, Severity::Failure)
        .about([part, other])
        .at(case.model.joints[tie.joint].origin)
        .told(told)
        .worked(working);
    founded(verdict, case, analysis, &worst.strain)
        .assuming(
            "of two boards only the one farther from the ground hangs on their bolts, and the other where its foot catches; what \
             presses straight on these is borne by them without splitting",
        )
        .after("NDS-2018 3.4.3.3", Status::FromMemory)
        .after("which board hangs, and what presses on its bolts", Status::ProjectChoice)
        .remedy(
            "Set the bolts nearer to the edge away from the load, or take a deeper board.",
            [Way::Place, Way::Section, Way::Wood],
        )
}
