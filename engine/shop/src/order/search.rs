//! The order, found by taking the finished piece apart: whatever can be drawn out straight, with its fasteners undone by
//! tools that have room, goes off last to first; the reverse is the order of assembly.
//!
//! Taking something away never blocks what was free, so the search needs no way back: it only chooses what to take. When
//! nothing comes off, groups give up single parts, then wishes are dropped one sort after another, each with its finding.

use super::needs::{Need, Rank, Why};
use super::reach::{self, Tight, Way};
use super::yard::Yard;
use slatwork_model::Model;
use slatwork_model::joints::Drive;
use slatwork_solid::DVec3;

/// How one fastening is driven: index of the joint, of the fastening, of its way.
pub(crate) type Driven = (usize, usize, usize);

/// Something that comes in: a part, or several as one body.
#[derive(Clone, Debug)]
pub(crate) struct Arrival {
    pub(crate) parts: Vec<usize>,
    /// How the body was put together before; for a single part nothing.
    pub(crate) built: Option<Build>,
    /// The way out: direction and how far to start. `None` for what lies there first, and for what has no way.
    pub(crate) out: Option<(DVec3, f64)>,
    pub(crate) joints: Vec<usize>,
    pub(crate) driven: Vec<Driven>,
    /// The group that it should have come in with.
    pub(crate) singly: Option<usize>,
}

/// How a body is put together.
#[derive(Clone, Debug)]
pub(crate) struct Build {
    pub(crate) group: usize,
    pub(crate) arrivals: Vec<Arrival>,
}

/// What kept something from being done.
#[derive(Clone, Debug)]
pub(crate) enum Fault {
    /// No straight way: the body, and what stands in it.
    NoWay { parts: Vec<usize>, by: usize },
    /// A fastener without room.
    NoReach { joint: usize, fastening: usize, tight: Tight, rooms: Vec<f64> },
    /// A rule of the script that cannot be kept: the body that would have to wait, and why it cannot.
    Rule { rule: usize, first: usize, then: usize, at: String, why: Hindrance },
    /// Too many parts to plan.
    WornOut,
}

/// Why a body does not come off.
#[derive(Clone, Debug)]
pub(crate) enum Hindrance {
    Way { by: usize },
    Reach { by: usize },
    Other,
}

/// What is heeded while taking apart.
#[derive(Clone, Copy, Debug)]
struct Heed {
    joined: bool,
    marks: bool,
    rules: bool,
    reach: bool,
    ways: bool,
}

const ALL: Heed = Heed { joined: true, marks: true, rules: true, reach: true, ways: true };

/// A body that might come off next.
#[derive(Clone, Debug)]
struct Unit {
    parts: Vec<usize>,
    /// Its group, where it is more than one part.
    group: usize,
    rank: Rank,
}

pub(crate) struct Search<'a> {
    pub(crate) model: &'a Model,
    pub(crate) yard: &'a Yard,
    pub(crate) ways: &'a [Vec<Vec<Way>>],
    pub(crate) ranks: &'a [Rank],
    pub(crate) needs: &'a [Need],
    /// Joints of each part, and whether they hold two bodies together at all.
    joints_of: Vec<Vec<usize>>,
    pub(crate) faults: Vec<Fault>,
    /// Rules that cannot be kept.
    dropped: Vec<usize>,
    /// Fastenings that no order gives room to: they must not turn the rest of the plan upside down.
    hopeless: Vec<(usize, usize)>,
    kept_from_before: usize,
}

impl<'a> Search<'a> {
    pub(crate) fn new(
        model: &'a Model,
        yard: &'a Yard,
        ways: &'a [Vec<Vec<Way>>],
        ranks: &'a [Rank],
        needs: &'a [Need],
    ) -> Self {
        let mut joints_of = vec![Vec::new(); model.parts.len()];
        for (index, joint) in model.joints.iter().enumerate().filter(|(_, joint)| joint.patch.is_some()) {
            joint.parts.iter().for_each(|part| joints_of[part.0].push(index));
        }
        Search {
            model,
            yard,
            ways,
            ranks,
            needs,
            joints_of,
            faults: Vec::new(),
            dropped: Vec::new(),
            hopeless: Vec::new(),
            kept_from_before: 0,
        }
    }

    /// Takes the whole piece apart; again where something cannot be kept, so that the rest is planned as if it were not asked.
    pub(crate) fn plan(&mut self, parts: &[usize]) -> Build {
        for _ in 0..ROUNDS {
            let build = self.build(0, parts);
            let (rules, hopeless) = (self.dropped.len(), self.hopeless.len());
            for fault in &self.faults {
                if let Fault::NoReach { joint, fastening, .. } = fault
                    && !self.hopeless.contains(&(*joint, *fastening))
                {
                    self.hopeless.push((*joint, *fastening));
                }
            }
            if self.hopeless.len() == hopeless && rules == self.kept_from_before {
                return build;
            }
            self.kept_from_before = rules;
            self.faults.retain(|fault| matches!(fault, Fault::Rule { .. }));
        }
        self.build(0, parts)
    }

    /// Takes some parts of a group apart.
    pub(crate) fn build(&mut self, group: usize, parts: &[usize]) -> Build {
        let mut clusters = self.clusters(group, parts);
        let mut taken: Vec<Arrival> = Vec::new();
        loop {
            let mut units = self.units(&clusters);
            units.sort_by_key(|unit| std::cmp::Reverse(unit.rank));
            if units.len() <= 1 {
                taken.extend(units.into_iter().map(|unit| self.arrival(&unit, group, None, &[])));
                break;
            }
            let rest: Vec<usize> = clusters.iter().flat_map(|(_, parts)| parts.iter().copied()).collect();
            let (unit, heed, singly) = self.next(&units, &rest, group);
            let standing: Vec<usize> =
                rest.iter().copied().filter(|part| !unit.parts.contains(part)).collect();
            let arrival = self.arrival(&unit, group, Some((heed, singly)), &standing);
            for (_, own) in &mut clusters {
                own.retain(|part| !unit.parts.contains(part));
            }
            taken.push(arrival);
        }
        taken.reverse();
        Build { group, arrivals: taken }
    }

    /// Bodies that come as one for as long as they can: the groups inside this one without what is laid late, single parts.
    fn clusters(&self, group: usize, parts: &[usize]) -> Vec<(usize, Vec<usize>)> {
        let mut clusters: Vec<(usize, Vec<usize>)> = Vec::new();
        for &part in parts {
            let inner = self.child_towards(group, self.model.parts[part].group.0);
            match inner.filter(|_| !self.ranks[part].is_late() || parts.len() == 1) {
                Some(inner) => match clusters.iter_mut().find(|(own, _)| *own == inner) {
                    Some((_, list)) => list.push(part),
                    None => clusters.push((inner, vec![part])),
                },
                None => clusters.push((group, vec![part])),
            }
        }
        // A group that is all there is, is taken apart itself.
        if let [(inner, own)] = &clusters[..] {
            let (inner, own) = (*inner, own.clone());
            if inner != group && own.len() > 1 {
                return self.clusters(inner, &own);
            }
        }
        clusters
    }

    /// The group right inside `group` that holds `inner`; `None` when they are one.
    fn child_towards(&self, group: usize, mut inner: usize) -> Option<usize> {
        // As many steps up as there are groups, should parents run in a circle.
        for _ in 0..self.model.groups.len() {
            if inner == group {
                return None;
            }
            match self.model.groups.get(inner).and_then(|own| own.parent) {
                Some(parent) if parent.0 == group => return Some(inner),
                Some(parent) => inner = parent.0,
                None => return None,
            }
        }
        None
    }

    /// Clusters as bodies that hold together.
    fn units(&self, clusters: &[(usize, Vec<usize>)]) -> Vec<Unit> {
        let mut units = Vec::new();
        for (group, parts) in clusters {
            for parts in self.bodies(parts) {
                if let Some(rank) = parts.iter().map(|&part| self.ranks[part]).min() {
                    units.push(Unit { parts, group: *group, rank });
                }
            }
        }
        units
    }

    /// Parts sorted into bodies held together by joints.
    fn bodies(&self, parts: &[usize]) -> Vec<Vec<usize>> {
        let mut inside = vec![false; self.model.parts.len()];
        parts.iter().for_each(|&part| inside[part] = true);
        let mut bodies = Vec::new();
        for &start in parts {
            if !inside[start] {
                continue;
            }
            inside[start] = false;
            let mut body = vec![start];
            let mut at = 0;
            while at < body.len() {
                for &joint in &self.joints_of[body[at]] {
                    for other in &self.model.joints[joint].parts {
                        if inside[other.0] {
                            inside[other.0] = false;
                            body.push(other.0);
                        }
                    }
                }
                at += 1;
            }
            body.sort_unstable();
            bodies.push(body);
        }
        bodies
    }

    /// What comes off next, what was heeded, and the group that gave it up.
    fn next(&mut self, units: &[Unit], rest: &[usize], group: usize) -> (Unit, Heed, Option<usize>) {
        let loose = Heed { joined: false, ..ALL };
        // What cannot be marked in place may be laid out: the least that can be given up.
        let unmarked = Heed { marks: false, ..loose };
        let unruled = Heed { rules: false, ..unmarked };
        let unreached = Heed { reach: false, ..unmarked };
        let neither = Heed { rules: false, ..unreached };
        for heeds in [&[ALL, loose][..], &[unmarked], &[unruled], &[unreached], &[neither]] {
            if self.yard.is_worn_out() {
                break;
            }
            let whole = heeds.iter().find_map(|heed| {
                let unit = units.iter().find(|unit| self.comes_off(&unit.parts, rest, *heed).is_some())?;
                Some((unit.clone(), *heed, None))
            });
            let single = || {
                heeds.iter().find_map(|heed| {
                    let unit = self.given_up(units, rest, *heed)?;
                    let from = unit.group;
                    Some((unit, *heed, Some(from)))
                })
            };
            if let Some(found) = whole.or_else(single) {
                self.note_rules(&found.0, units, rest, found.1, group);
                return found;
            }
        }
        let heed = Heed { joined: false, marks: false, rules: false, reach: false, ways: false };
        (units[0].clone(), heed, None)
    }

    /// A single part of a body that comes off, the body's last first.
    fn given_up(&self, units: &[Unit], rest: &[usize], heed: Heed) -> Option<Unit> {
        for unit in units.iter().filter(|unit| unit.parts.len() > 1) {
            let mut parts = unit.parts.clone();
            parts.sort_by(|a, b| self.ranks[*b].cmp(&self.ranks[*a]));
            let found = parts.into_iter().find(|part| self.comes_off(&[*part], rest, heed).is_some());
            if let Some(part) = found {
                return Some(Unit { parts: vec![part], group: unit.group, rank: self.ranks[part] });
            }
        }
        None
    }

    /// Joints that hold a body to what stands.
    fn joints_between(&self, unit: &[usize], rest: &[usize]) -> Vec<usize> {
        let mut joints: Vec<usize> =
            unit.iter().flat_map(|part| self.joints_of[*part].iter().copied()).collect();
        joints.sort_unstable();
        joints.dedup();
        let within = |joint: &usize| {
            let parts = &self.model.joints[*joint].parts;
            parts.iter().all(|part| unit.contains(&part.0) || rest.contains(&part.0))
                && parts.iter().any(|part| !unit.contains(&part.0))
        };
        joints.retain(within);
        joints
    }

    /// Whether a body comes off, and in which direction.
    fn comes_off(&self, unit: &[usize], all: &[usize], heed: Heed) -> Option<DVec3> {
        let rest: Vec<usize> = all.iter().copied().filter(|part| !unit.contains(part)).collect();
        let kept = |need: &Need| match need.why {
            Why::Marked => heed.marks,
            Why::Rule(rule) => heed.rules && !self.dropped.contains(&rule),
        };
        let early = |need: &Need| kept(need) && unit.contains(&need.first) && rest.contains(&need.then);
        if self.needs.iter().any(early) {
            return None;
        }
        let joints = self.joints_between(unit, &rest);
        if heed.joined && (joints.is_empty() || self.bodies(&rest).len() > self.bodies(all).len()) {
            return None;
        }
        if heed.reach && self.unreached(&joints, all).next().is_some() {
            return None;
        }
        if !heed.ways {
            return Some(DVec3::Z);
        }
        self.directions(unit, &joints).into_iter().find(|way| self.yard.obstacle(unit, &rest, *way).is_none())
    }

    /// Fastenings of joints that no tool reaches while these parts stand.
    fn unreached<'s>(
        &'s self,
        joints: &'s [usize],
        all: &'s [usize],
    ) -> impl Iterator<Item = (usize, usize)> + 's {
        let stands = self.stands(all);
        joints
            .iter()
            .flat_map(|&joint| (0..self.ways[joint].len()).map(move |fastening| (joint, fastening)))
            .filter(move |&(joint, fastening)| {
                !self.hopeless.contains(&(joint, fastening))
                    && !self.ways[joint][fastening].iter().any(|way| way.is_free(&stands))
            })
    }

    fn stands(&self, parts: &[usize]) -> Vec<bool> {
        let mut stands = vec![false; self.model.parts.len()];
        parts.iter().for_each(|&part| stands[part] = true);
        stands
    }

    /// Directions to try, the likeliest first: square off the joints, along its own sides, along those of the piece. What
    /// stands on dowels comes off along them only.
    fn directions(&self, unit: &[usize], joints: &[usize]) -> Vec<DVec3> {
        let mut found: Vec<DVec3> = Vec::new();
        let mut add = |direction: DVec3| {
            if direction.is_finite() && !found.iter().any(|own| own.dot(direction) > ONE_DIRECTION) {
                found.push(direction);
            }
        };
        let dowels = joints.iter().flat_map(|&joint| {
            let joint = &self.model.joints[joint];
            joint
                .fastenings
                .iter()
                .filter(|one| one.drive == Drive::Hand)
                .map(move |one| (joint, one.direction))
        });
        for (joint, direction) in dowels {
            let first = joint.parts.first().is_some_and(|part| unit.contains(&part.0));
            add(if first { -direction } else { direction });
        }
        if !found.is_empty() {
            return found;
        }
        let mut add = |direction: DVec3| {
            if direction.is_finite() && !found.iter().any(|own| own.dot(direction) > ONE_DIRECTION) {
                found.push(direction);
            }
        };
        let mut by_weight: Vec<(usize, DVec3)> = Vec::new();
        for &joint in joints {
            let joint = &self.model.joints[joint];
            let Some(patch) = &joint.patch else { continue };
            let first = joint.parts.first().is_some_and(|part| unit.contains(&part.0));
            let away = if first { -patch.normal } else { patch.normal };
            let weight = joint.fastenings.len() + 1;
            match by_weight.iter_mut().find(|(_, own)| own.dot(away) > ONE_DIRECTION) {
                Some((own, _)) => *own += weight,
                None => by_weight.push((weight, away)),
            }
        }
        by_weight.sort_by_key(|(weight, _)| std::cmp::Reverse(*weight));
        by_weight.iter().for_each(|(_, away)| add(*away));
        for axis in [DVec3::Z, DVec3::NEG_Y, DVec3::Y, DVec3::X, DVec3::NEG_X] {
            add(axis);
        }
        for &part in unit.iter().take(OWN_SIDES_OF) {
            let pose = self.model.parts[part].pose.matrix3;
            for axis in [pose.z_axis, pose.y_axis, pose.x_axis] {
                add(axis);
                add(-axis);
            }
        }
        add(DVec3::NEG_Z);
        found
    }

    /// The body as something that comes in.
    fn arrival(
        &mut self,
        unit: &Unit,
        group: usize,
        how: Option<(Heed, Option<usize>)>,
        standing: &[usize],
    ) -> Arrival {
        let all: Vec<usize> = standing.iter().chain(&unit.parts).copied().collect();
        let joints = self.joints_between(&unit.parts, standing);
        let mut out = None;
        if let Some((heed, _)) = how {
            out = self.comes_off(&unit.parts, &all, Heed { joined: false, ..heed }).filter(|_| heed.ways);
            out.is_none().then(|| self.note_no_way(unit, &joints, standing));
        }
        let driven = self.drive(&joints, &all);
        let built = (unit.parts.len() > 1).then(|| {
            let inner = if unit.group == group { group } else { unit.group };
            self.build(inner, &unit.parts)
        });
        Arrival {
            out: out.map(|direction| (direction, self.yard.start(&unit.parts, standing, direction))),
            parts: unit.parts.clone(),
            built,
            joints,
            driven,
            singly: how.and_then(|(_, singly)| singly),
        }
    }

    /// The way that each fastening is driven; a finding where there is none.
    fn drive(&mut self, joints: &[usize], all: &[usize]) -> Vec<Driven> {
        let stands = self.stands(all);
        let mut driven = Vec::new();
        for &joint in joints {
            for (fastening, ways) in self.ways[joint].iter().enumerate() {
                match ways.iter().position(|way| way.is_free(&stands)) {
                    Some(way) => driven.push((joint, fastening, way)),
                    None => {
                        if let Some((tight, rooms)) = reach::tightest(ways, self.yard, &stands) {
                            self.faults.push(Fault::NoReach { joint, fastening, tight, rooms });
                        }
                    }
                }
            }
        }
        driven
    }

    fn note_no_way(&mut self, unit: &Unit, joints: &[usize], standing: &[usize]) {
        if self.yard.is_worn_out() {
            if !self.faults.iter().any(|fault| matches!(fault, Fault::WornOut)) {
                self.faults.push(Fault::WornOut);
            }
            return;
        }
        let ways = self.directions(&unit.parts, joints);
        let by = ways.into_iter().find_map(|way| self.yard.obstacle(&unit.parts, standing, way));
        if let Some((_, by)) = by {
            self.faults.push(Fault::NoWay { parts: unit.parts.clone(), by });
        }
    }

    /// Rules that had to be dropped so that a body comes off.
    fn note_rules(&mut self, unit: &Unit, units: &[Unit], all: &[usize], heed: Heed, group: usize) {
        if heed.rules {
            return;
        }
        let broken: Vec<Need> = self
            .needs
            .iter()
            .filter(|need| unit.parts.contains(&need.first) && all.contains(&need.then))
            .filter(|need| !unit.parts.contains(&need.then))
            .copied()
            .collect();
        for need in broken {
            let Why::Rule(rule) = need.why else { continue };
            if self.dropped.contains(&rule) {
                continue;
            }
            self.dropped.push(rule);
            let later = units.iter().find(|unit| unit.parts.contains(&need.then));
            let why = later.map_or(Hindrance::Other, |later| self.hindrance(&later.parts, all));
            let at = self.model.groups.get(group).map_or(String::new(), |own| own.name.clone());
            self.faults.push(Fault::Rule { rule, first: need.first, then: need.then, at, why });
        }
    }

    /// Why a body does not come off while all these stand.
    fn hindrance(&self, unit: &[usize], all: &[usize]) -> Hindrance {
        let rest: Vec<usize> = all.iter().copied().filter(|part| !unit.contains(part)).collect();
        let joints = self.joints_between(unit, &rest);
        if let Some((joint, fastening)) = self.unreached(&joints, all).next() {
            let stands = self.stands(all);
            let told = reach::tightest(&self.ways[joint][fastening], self.yard, &stands);
            if let Some((tight, _)) = told {
                return Hindrance::Reach { by: tight.by };
            }
        }
        let blocked = |way: DVec3| self.yard.obstacle(unit, &rest, way);
        let ways = self.directions(unit, &joints);
        let hits: Vec<(usize, usize)> = ways.iter().filter_map(|way| blocked(*way)).collect();
        match hits.first() {
            Some(&(_, by)) if hits.len() == ways.len() => Hindrance::Way { by },
            _ => Hindrance::Other,
        }
    }

    /// Directions in which one part comes off others that stand, for a fit on trial.
    pub(crate) fn trial(&self, part: usize, standing: &[usize]) -> Option<(DVec3, f64)> {
        let joints = self.joints_between(&[part], standing);
        let ways = self.directions(&[part], &joints);
        let way = ways.into_iter().find(|way| self.yard.obstacle(&[part], standing, *way).is_none())?;
        Some((way, self.yard.start(&[part], standing, way)))
    }
}

/// Rounds of planning at most: each drops what the one before could not keep.
const ROUNDS: usize = 4;

/// Directions nearer than this (cosine) are tried once.
const ONE_DIRECTION: f64 = 1.0 - 1.5e-6;

/// A body of many parts is tried along the sides of its first few only: the rest are parallel or odd.
const OWN_SIDES_OF: usize = 3;
