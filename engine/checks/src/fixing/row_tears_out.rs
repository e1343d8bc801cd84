//! # What it checks
//! That no row of fasteners tears out of the end of its board, nor the wood between two rows with it.
//! # Why
//! Several fasteners in one line of grain shear a strip out along it long before each has done what it can.
//! # Method and source
//! Load along the grain of a joint in the frame of the whole piece, shared round the elastic centre, row by row against
//! n Fv' t s, s the lesser of the distance to the end that it is pulled to and of the spacing; all rows together against half of
//! two outer rows with Ft' of what lies between, and against Ft' of the net section (NDS-2018 Appendix E, E.2-1 read, the rest from
//! memory). Rows are as long as the shortest.
//! # Example
//! Three screws in one line of grain, 15 mm from the end of a slat that a brace pulls on.
//! # Remedy
//! Set the fasteners farther from the end and from each other, or side by side.

use super::forces::Sharing;
use crate::framing::{Analysis, Slice, Tie, TieForces, is_worse};
use crate::statics::group::{TearOut, Torn, tear_out};
use crate::{Case, Check, Look, Verdict, Way, Working};
use slatwork_base::Severity;
use slatwork_catalog::{FastenerKind, Status};
use slatwork_model::PartId;
use slatwork_model::joints::Fastening;

const FAULT: &str = "row-tears-out";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "no row of fasteners tears out along the grain",
    rates: true,
    look: Look::Judges(look),
};

/// An axis nearer to the grain than this is in end grain, which has no rows, degrees.
const END_GRAIN_BELOW: f64 = 45.0;
/// Bolt holes are taken out with so much more than the bolt, mm: 1/16 in (NDS 12.1.3, read).
const HOLE_PLAY: f64 = 25.4 / 16.0;
/// Fasteners nearer across the grain than this many diameters are one row (project choice).
const ONE_ROW: f64 = 1.0;

/// One row, by the places of its fasteners in the tie, in order along the grain.
type Row = Vec<usize>;

/// The fasteners of a tie in one of its parts.
struct Group {
    tie: usize,
    part: PartId,
    /// What comes on each row along the grain of 1 N along the tie, of 1 N across it and of 1 N mm in its plane.
    along: Vec<[f64; 3]>,
    /// Each row by itself and then all together, pulled against the grain and with it.
    torn: [Vec<Tearing>; 2],
    /// The same three as shares that neither a row nor all of them exceeds.
    reach: [f64; 3],
}

/// What tears, and at what.
#[derive(Clone, Copy)]
struct Tearing {
    of: TearOut,
    torn: Torn,
    /// One row by itself, else all of them.
    is_row: bool,
}

impl Tearing {
    /// N.
    fn capacity(&self) -> f64 {
        if self.is_row { self.torn.rows } else { self.torn.least() }
    }
}

/// The hardest worked group.
struct Worked {
    tie: usize,
    part: PartId,
    situation: usize,
    load: f64,
    share: f64,
    tearing: Tearing,
}

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match case.analysis() {
        Ok(analysis) => analysis,
        Err(why) => return vec![Verdict::not_judged(FAULT, why)],
    };
    let ties = analysis.ties().iter().enumerate().filter(|(_, tie)| !tie.glued && !tie.fasteners.is_empty());
    let worst = ties.filter_map(|(index, tie)| of_tie(case, analysis, index, tie));
    let worst = worst.reduce(|a, b| if is_worse(b.share, a.share) { b } else { a });
    worst.map(|worst| judged(case, analysis, &worst)).into_iter().collect()
}

/// The worst of a tie over all load cases and stiffnesses.
fn of_tie(case: &Case, analysis: &Analysis, index: usize, tie: &Tie) -> Option<Worked> {
    let groups: Vec<Group> =
        tie.parts.iter().filter_map(|part| group(case, analysis, (index, tie), *part)).collect();
    let mut worst: Option<Worked> = None;
    if groups.is_empty() {
        return None;
    }
    for model in &analysis.models {
        for (situation, own) in analysis.situations.iter().enumerate() {
            let Some(forces) = model.tie_forces(index, situation) else { continue };
            let duration = own.about.duration();
            for group in &groups {
                let most = group.most(&forces) / duration;
                if worst.as_ref().is_some_and(|worst| most <= worst.share) {
                    continue;
                }
                let (load, tearing) = group.worked(&forces);
                let share = load / tearing.capacity() / duration;
                if worst.as_ref().is_none_or(|worst| is_worse(share, worst.share)) {
                    let (tie, part) = (group.tie, group.part);
                    worst = Some(Worked { tie, part, situation, load, share, tearing: *tearing });
                }
            }
        }
    }
    worst
}

impl Group {
    /// A share that neither a row nor all of them exceeds.
    fn most(&self, forces: &TieForces) -> f64 {
        self.reach.iter().zip(&forces[1..]).map(|(share, force)| share * force.abs()).sum()
    }

    /// Load along the grain and what it tears at, of the worst row or of all.
    fn worked(&self, forces: &TieForces) -> (f64, &Tearing) {
        let [_, along, across, turn, ..] = *forces;
        let loads = self.along.iter().map(|own| own[0] * along + own[1] * across + own[2] * turn);
        let whole: f64 = loads.clone().sum();
        let rows = loads.enumerate().map(|(row, load)| (load.abs(), &self.way(load)[row]));
        let all = (whole.abs(), &self.way(whole)[self.along.len()]);
        let share = |(load, tearing): &(f64, &Tearing)| load / tearing.capacity();
        rows.fold(all, |worst, own| if share(&own) > share(&worst) { own } else { worst })
    }

    fn way(&self, load: f64) -> &[Tearing] {
        &self.torn[usize::from(load > 0.0)]
    }
}

/// A fastener in a part: along the grain and across it from the part's origin, its diameter and its length in the part, mm.
#[derive(Clone, Copy)]
struct Held {
    along: f64,
    across: f64,
    diameter: f64,
    hole: f64,
    length: f64,
}

/// The fasteners of a tie in a part; nothing where they go into end grain, or its strength is not known.
fn group(case: &Case, analysis: &Analysis, (index, tie): (usize, &Tie), part: PartId) -> Option<Group> {
    let own = case.model.part(part);
    let held: Vec<Held> = tie.fasteners.iter().map(|at| held(case, tie, *at, part)).collect::<Option<_>>()?;
    let rows = rows(&held);
    let ends = own.solid.bounds();
    let section = case.kept.sections(case.model, part).at(held[rows[0][0]].along)?;
    let torn = [false, true].map(|toward| {
        let end = |row: &Row| {
            let outermost = if toward { row[row.len() - 1] } else { row[0] };
            if toward { ends.max.x - held[outermost].along } else { held[outermost].along - ends.min.x }
        };
        torn(analysis, part, &section, &held, &rows, end)
    });
    let [against, with] = torn;
    let sharing = Sharing::of(tie);
    let along: Vec<[f64; 3]> =
        rows.iter().map(|row| sharing.along(row, part, own.pose.matrix3.x_axis)).collect();
    let torn = [against?, with?];
    let reach = reach(&along, &torn);
    Some(Group { tie: index, part, along, torn, reach })
}

/// Shares that neither a row nor all of them exceeds, whichever way they are pulled, of one of each load.
fn reach(along: &[[f64; 3]], torn: &[Vec<Tearing>; 2]) -> [f64; 3] {
    [0, 1, 2].map(|unit| {
        let rows = along.iter().map(|own| own[unit]);
        let loads = rows.clone().chain([rows.sum()]);
        let share =
            |(load, at): (f64, usize)| load.abs() / torn[0][at].capacity().min(torn[1][at].capacity());
        loads.zip(0..).map(share).fold(0.0, f64::max)
    })
}

fn held(case: &Case, tie: &Tie, at: usize, part: PartId) -> Option<Held> {
    let fastening = &case.model.joints[tie.joint].fastenings[at];
    let layer = fastening.layers.iter().find(|layer| layer.part == part)?;
    let back = case.model.part(part).pose.inverse();
    let way = back.transform_vector3(fastening.direction);
    let length = layer.to.min(fastening.length.as_mm()) - layer.from.max(0.0);
    let middle =
        back.transform_point3(fastening.head + fastening.direction * (layer.from.max(0.0) + length / 2.0));
    let across = if way.z.abs() >= way.y.abs() { middle.y } else { middle.z };
    let diameter = fastening.diameter.as_mm();
    let hole = if is_bolt(fastening) { diameter + HOLE_PLAY } else { diameter };
    let side_grain = layer.grain.as_deg() >= END_GRAIN_BELOW;
    side_grain.then_some(Held { along: middle.x, across, diameter, hole, length })
}

fn is_bolt(fastening: &Fastening) -> bool {
    matches!(fastening.kind, FastenerKind::CarriageBolt | FastenerKind::HexBolt)
}

/// Fasteners in lines of grain.
fn rows(held: &[Held]) -> Vec<Row> {
    let mut order: Row = (0..held.len()).collect();
    order.sort_by(|a, b| held[*a].across.total_cmp(&held[*b].across).then(a.cmp(b)));
    let same = |a: &usize, b: &usize| held[*b].across - held[*a].across < ONE_ROW * held[*a].diameter;
    let mut rows: Vec<Row> = order.chunk_by(same).map(<[usize]>::to_vec).collect();
    rows.iter_mut().for_each(|row| row.sort_by(|a, b| held[*a].along.total_cmp(&held[*b].along)));
    rows
}

/// Each row and then all of them; `end` gives a row's distance to the end that it is pulled to.
fn torn(
    analysis: &Analysis,
    part: PartId,
    section: &Slice,
    held: &[Held],
    rows: &[Row],
    end: impl Fn(&Row) -> f64,
) -> Option<Vec<Tearing>> {
    let timber = analysis.models[0].framing.timbers.of(part);
    let first = &held[rows[0][0]];
    let thickness = held.iter().map(|own| own.length).fold(f64::INFINITY, f64::min);
    let hole = held.iter().map(|own| own.hole).fold(0.0, f64::max);
    let spacing = |pair: &[usize]| held[pair[1]].along - held[pair[0]].along;
    let critical = |row: &Row| row.windows(2).map(spacing).fold(end(row), f64::min);
    let wide = held[rows[rows.len() - 1][0]].across - first.across;
    let tearing = |rows: &[Row], is_row: bool| -> Option<Tearing> {
        let count = rows.len() as f64;
        let of = TearOut {
            in_row: rows.iter().map(Vec::len).min()? as u32,
            rows: rows.len() as u32,
            thickness,
            critical_spacing: rows.iter().map(critical).fold(f64::INFINITY, f64::min),
            net_area: section.area - count * hole * thickness,
            group_area: (thickness * (wide - (count - 1.0) * hole)).max(0.0),
            shear: timber.edge.shear.value(),
            tension: timber.edge.tension.value(),
        };
        Some(Tearing { of, torn: tear_out(&of).value?, is_row })
    };
    let each = rows.iter().map(|row| tearing(std::slice::from_ref(row), true));
    each.chain([tearing(rows, false)]).collect()
}

fn judged(case: &Case, analysis: &Analysis, worst: &Worked) -> Verdict {
    let tie = &analysis.ties()[worst.tie];
    let other = if tie.parts[0] == worst.part { tie.parts[1] } else { tie.parts[0] };
    let [part, other] = [worst.part, other].map(|part| case.model.part(part));
    let joint = &case.model.joints[tie.joint];
    let item = case.catalogue.item_words(&joint.fastenings[tie.fasteners[0]].item);
    let told = format!(
        "a row of {item}s to `{}` pulls `{}` along its grain by {:.0} N, and tears out at {:.0} N",
        other.name,
        part.name,
        worst.load,
        worst.load / worst.share.max(f64::MIN_POSITIVE)
    );
    let timber = analysis.models[0].framing.timbers.of(part.id);
    let measure = super::force("load along the grain", worst.load, worst.share);
    let duration = analysis.situations[worst.situation].about.duration();
    let meaning = "load along the grain, its fasteners' share of the joint's from the frame";
    let working = Working::measured("T", meaning, &measure);
    let Tearing { of, torn, is_row } = &worst.tearing;
    let (shear, tension) = (timber.shear(), timber.tension());
    let (steps, limit) = of.equations(torn, *is_row, [&shear, &tension]);
    let working = working.by([shear, tension]).by(steps).held_for(limit, ["ZD'", "Z"], duration).pruned();
    let verdict = Verdict::measured(FAULT, measure, Severity::Failure)
        .worked(working)
        .about([part, other])
        .at(joint.origin)
        .told(told)
        .governed_by(analysis.situations[worst.situation].name.clone())
        .assuming("joints at half and at twice their reckoned stiffness as well")
        .assuming(timber.told.clone())
        .after("NDS-2018 Appendix E", Status::FromMemory)
        .under_loads(case, [&analysis.situations[worst.situation]])
        .remedy(
            "Set the fasteners farther from the end and from each other, or side by side.",
            [Way::Place, Way::Section],
        );
    verdict.resting_on(timber.source.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two rows, weaker the one way than the other, under loads of all signs: none comes to more than is said beforehand, and
    /// a turn that pulls the weaker row hardest comes to just that.
    #[test]
    fn no_row_comes_to_more_than_its_reach() {
        let tearing = |capacity: f64, is_row: bool| {
            let of = TearOut {
                in_row: 2,
                rows: 1,
                thickness: 20.0,
                critical_spacing: 30.0,
                net_area: 500.0,
                group_area: 0.0,
                shear: 1.0,
                tension: 5.0,
            };
            let torn = Torn { rows: capacity, group: capacity, net_section: capacity };
            Tearing { of, torn, is_row }
        };
        let each = |capacities: [f64; 3]| {
            let [first, second, all] = capacities;
            vec![tearing(first, true), tearing(second, true), tearing(all, false)]
        };
        let along = vec![[0.5, -0.1, 2e-3], [0.5, 0.1, -3e-3]];
        let torn = [each([400.0, 300.0, 900.0]), each([500.0, 350.0, 600.0])];
        let reach = reach(&along, &torn);
        let group = Group { tie: 0, part: PartId(0), along, torn, reach };
        let units = [0.0, 300.0, -200.0, 9e4];
        for all in 0..64_u32 {
            let sign = |at: usize| if all >> at & 1 == 1 { 1.0 } else { -f64::from(all >> (at + 2) & 1) };
            let forces: TieForces =
                core::array::from_fn(|at| units.get(at).map_or(0.0, |own| own * sign(at)));
            let (load, tearing) = group.worked(&forces);
            let share = load / tearing.capacity();
            assert!(share <= group.most(&forces) * (1.0 + 1e-12), "{forces:?}");
        }
        let turned = [0.0, 0.0, 0.0, 9e4, 0.0, 0.0];
        let (load, tearing) = group.worked(&turned);
        assert!((load / tearing.capacity() - group.most(&turned)).abs() < 1e-12, "{load}");
    }
}
