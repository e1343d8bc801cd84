//! From a frame to answers.

use super::answer::{Rows, Solution};
use super::blocks::Factors;
use super::diagnosis::{Motion, mechanisms, moment_on_a_hinge, one_sided, tips, work};
use super::element::motion;
use super::loading::{Gathered, Loading};
use super::model::{Combination, Frame};
use super::sides::{Ends, Sides, Vectors, each, larger};
use super::structure::{OneSided, Response, Structure, Work};
use super::trust::{Evidence, NOT_TRUSTED, OnMember, OnMembers};
use pulp::{Arch, NullaryFnOnce};
use slatwork_base::Diagnostic;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Share of its diagonal at which a pivot has vanished. Sound frames of boards keep 1e-8 and more; a mechanism leaves the
/// rounding of its row, 1e-16 times the length of the sums (project choice).
const NO_PIVOT: f64 = 1e-10;

/// The same while idle one-sided items keep a little stiffness: that little must still count.
const NO_PIVOT_IN_ROUNDS: f64 = 1e-15;

/// Stiffness that idle one-sided items keep while rounds go on, where without it the set is a mechanism: an equilibrium may exist
/// beyond such a set.
const IDLE: f64 = 1e-8;

/// Most rounds: random frames of this kind settled in four.
const MOST_ROUNDS: usize = 30;

/// An item changes when it is wrong by more than this share of the largest displacement: less is rounding.
const WRONG_BY: f64 = 1e-12;

/// Loads drive a free motion when this share of their work on it is left over.
const DRIVEN: f64 = 1e-5;

/// Corrections by what is left over: one takes it to rounding, further ones serve frames of bad condition.
const MOST_CORRECTIONS: usize = 4;

/// Forces left over that need no correction, as a share of the largest: a quarter of what passes the check. Furniture leaves a
/// fiftieth to a fifth after the first go (measured).
const EXACT_ENOUGH: f64 = 2.5e-10;

/// Displacement as a share of the frame's size beyond which small-displacement theory is out of its depth (project choice).
const FAR: f64 = 0.1;

/// Most entries of factored matrices that are kept for later combinations and later loads: 32 MB.
const MOST_KEPT: usize = 4_000_000;

/// What a combination comes to.
pub(super) type Outcome = Result<Solution, Vec<Diagnostic>>;

/// Combinations that are solved side by side: their loads go through the factors together, each as it would alone.
const SIDE_BY_SIDE: usize = 4;

/// A matrix factored for one set of one-sided items at work.
pub(super) struct Ready {
    work: Work,
    factors: Factors,
    /// Freedoms in which nodes turn freely.
    free_turns: Vec<usize>,
    /// Its condition, once asked for.
    condition: OnceLock<f64>,
}

impl Ready {
    fn new(structure: &Structure, work: Work, no_pivot: f64) -> Ready {
        let (matrix, free_turns) = structure.assemble(&work);
        Ready { work, factors: matrix.factor(no_pivot), free_turns, condition: OnceLock::new() }
    }

    /// With every one-sided item at work.
    pub(super) fn at_work(structure: &Structure) -> Ready {
        Ready::new(structure, vec![1.0; structure.one_sided.len()], NO_PIVOT)
    }
}

/// Displacements, what goes with them, and what is left over at every freedom, side by side.
struct Settled<const N: usize> {
    displacements: Vec<Sides<N>>,
    left_over: Vec<Sides<N>>,
    /// The largest of it where nothing is held.
    free_left_over: Sides<N>,
    /// Whether anything has moved.
    moved: bool,
    twice_energy: Sides<N>,
}

impl<const N: usize> Settled<N> {
    /// One side by itself.
    fn side(&self, side: usize) -> Settled<1> {
        let of = |all: &[Sides<N>]| all.iter().map(|own| [own[side]]).collect();
        Settled {
            displacements: of(&self.displacements),
            left_over: of(&self.left_over),
            free_left_over: [self.free_left_over[side]],
            moved: self.moved,
            twice_energy: [self.twice_energy[side]],
        }
    }
}

/// A combination whose one-sided items have not settled.
struct Waiting {
    combination: usize,
    /// Those at work in the next round.
    active: Vec<bool>,
    /// Those at work in the rounds before.
    seen: Vec<Vec<bool>>,
    /// Those that were wrong in the last of them.
    wrong: Vec<usize>,
}

/// A set of one-sided items at work, with its matrix.
struct Round {
    active: Vec<bool>,
    ready: Arc<Ready>,
    /// Whether idle items keep nothing.
    is_exact: bool,
    /// Which round it is, counted from one.
    number: usize,
}

/// What a round makes of a combination.
enum Met {
    Answered(Outcome),
    Waits(Waiting),
}

pub(super) struct Solver<'a> {
    pub(super) frame: &'a Frame,
    pub(super) structure: &'a Structure,
    pub(super) remarks: &'a [Diagnostic],
    pub(super) all_at_work: &'a Arc<Ready>,
    pub(super) cases: &'a [Gathered<'a>],
    pub(super) combinations: &'a [Combination],
    /// Matrices factored so far: combinations come to the same sets of one-sided items at work.
    pub(super) ready: &'a Mutex<Vec<Arc<Ready>>>,
}

/// Combinations that go side by side with the widest vectors of the processor at hand.
struct Several<'a> {
    solver: &'a Solver<'a>,
    round: &'a Round,
    sides: [&'a Waiting; SIDE_BY_SIDE],
}

impl NullaryFnOnce for Several<'_> {
    type Output = Vec<Met>;

    // What is not inlined here is compiled for the least of processors.
    #[inline(always)]
    fn call(self) -> Vec<Met> {
        self.solver.side_by_side(self.round, self.sides)
    }
}

impl Solver<'_> {
    fn ready(&self, work: Work, no_pivot: f64) -> Arc<Ready> {
        if work == self.all_at_work.work {
            return Arc::clone(self.all_at_work);
        }
        // Nobody leaves it half done.
        let mut kept = self.ready.lock().unwrap_or_else(PoisonError::into_inner);
        let known = kept.iter().find(|own| own.work == work).map(Arc::clone);
        known.unwrap_or_else(|| {
            let new = Arc::new(Ready::new(self.structure, work, no_pivot));
            if (kept.len() + 1) * self.structure.entries() <= MOST_KEPT {
                kept.push(Arc::clone(&new));
            }
            new
        })
    }

    /// What each combination comes to. One-sided items, at first all at work, change until none is wrong; combinations that have
    /// come to the same set go side by side.
    pub(super) fn outcomes(&self) -> Vec<Outcome> {
        let vanished = &self.all_at_work.factors.vanished;
        if !vanished.is_empty() {
            let found = mechanisms(self.frame, &free_motions(&self.all_at_work.factors));
            return vec![Err(found); self.combinations.len()];
        }
        let mut outcomes: BTreeMap<usize, Outcome> = BTreeMap::new();
        let all_active = vec![true; self.structure.one_sided.len()];
        let waiting = |combination| Waiting {
            combination,
            active: all_active.clone(),
            seen: Vec::new(),
            wrong: Vec::new(),
        };
        let mut waiting: Vec<Waiting> = (0..self.combinations.len()).map(waiting).collect();
        for number in 1..=MOST_ROUNDS {
            if waiting.is_empty() {
                break;
            }
            let mut sets: BTreeMap<Vec<bool>, Vec<Waiting>> = BTreeMap::new();
            for own in waiting.drain(..) {
                sets.entry(own.active.clone()).or_default().push(own);
            }
            for (active, group) in sets {
                let round = self.round(active, number);
                for own in self.go_round(&round, &group) {
                    match own {
                        (at, Met::Answered(outcome)) => drop(outcomes.insert(at, outcome)),
                        (_, Met::Waits(own)) => waiting.push(own),
                    }
                }
            }
        }
        let restless = waiting.into_iter().map(|own| (own.combination, Err(vec![self.restless(&own)])));
        outcomes.extend(restless);
        outcomes.into_values().collect()
    }

    /// A round with a set at work; where without the others the frame is a mechanism, they keep a little.
    fn round(&self, active: Vec<bool>, number: usize) -> Round {
        let mut ready = self.ready(at_work(&active, 0.0), NO_PIVOT);
        let is_exact = ready.factors.vanished.is_empty();
        if !is_exact {
            ready = self.ready(at_work(&active, IDLE), NO_PIVOT_IN_ROUNDS);
        }
        Round { active, ready, is_exact, number }
    }

    /// Combinations of one set, as many side by side as go; each with its place among all.
    fn go_round(&self, round: &Round, group: &[Waiting]) -> Vec<(usize, Met)> {
        let mut met = Vec::with_capacity(group.len());
        for some in group.chunks(SIDE_BY_SIDE) {
            let found = match some {
                [one] => self.side_by_side(round, [one]),
                // Places without a combination of their own repeat the first: quicker than each by itself.
                _ => {
                    let sides = core::array::from_fn(|side| some.get(side).unwrap_or(&some[0]));
                    Arch::new().dispatch(Several { solver: self, round, sides })
                }
            };
            met.extend(some.iter().map(|own| own.combination).zip(found));
        }
        met
    }

    /// Combinations whose loads go through the factors together.
    #[inline(always)]
    fn side_by_side<const N: usize>(&self, round: &Round, group: [&Waiting; N]) -> Vec<Met> {
        let combinations = group.map(|own| &self.combinations[own.combination]);
        let loading = Loading::new(self.cases, combinations, 6 * self.frame.nodes.len());
        let settled = self.settle(&round.ready, &loading);
        let wrong: [_; N] =
            core::array::from_fn(|side| self.wrong(&round.active, &settled.displacements, side));
        let waits = |side: usize| Met::Waits(group[side].after(&wrong[side]));
        if !round.is_exact {
            let answer = |side| Met::Answered(self.answer(round, combinations[side], settled.side(side)));
            let met = |side: usize| if wrong[side].is_empty() { answer(side) } else { waits(side) };
            return (0..N).map(met).collect();
        }
        if wrong.iter().all(|wrong| !wrong.is_empty()) {
            return (0..N).map(waits).collect();
        }
        // Those that wait go along: side by side they cost next to nothing.
        let solved = self.solutions(round, &loading, settled).into_iter().enumerate();
        solved
            .map(|(side, solved)| match wrong[side].is_empty() {
                true => Met::Answered(self.unless_it_tips(round, combinations[side], solved)),
                false => waits(side),
            })
            .collect()
    }

    /// Items whose state does not fit, with how far they are off.
    #[inline(always)]
    fn wrong<const N: usize>(
        &self,
        active: &[bool],
        displacements: &[Sides<N>],
        side: usize,
    ) -> Vec<(usize, f64)> {
        if active.is_empty() {
            return Vec::new();
        }
        let slack = WRONG_BY * displacements.iter().fold(0.0, |most: f64, own| most.max(own[side].abs()));
        let items = self.structure.one_sided.iter().zip(active).enumerate();
        items
            .filter_map(|(at, (item, active))| {
                let strain = match item {
                    OneSided::Wire(element) => {
                        self.structure.elements[*element].elongation(displacements)[side]
                    }
                    OneSided::Contact(spring, sign) => {
                        -sign * displacements[self.structure.springs[*spring].freedom][side]
                    }
                };
                let fits = if *active { strain >= -slack } else { strain <= slack };
                (!fits).then_some((at, strain.abs()))
            })
            .collect()
    }

    fn restless(&self, waiting: &Waiting) -> Diagnostic {
        let changes: Vec<bool> =
            (0..waiting.active.len()).map(|item| waiting.wrong.contains(&item)).collect();
        let names = one_sided(self.frame, self.structure, &changes, true).join(", ");
        let message =
            format!("after {MOST_ROUNDS} rounds {names} still change between holding and letting go");
        Diagnostic::error("contacts-do-not-settle", message).help("hold or leave out one of them")
    }

    /// The loads of one combination.
    fn loading(&self, combination: &Combination) -> Loading<'_, 1> {
        Loading::new(self.cases, [combination], 6 * self.frame.nodes.len())
    }

    /// The answer where every item is in a state that fits, but idle ones keep a little stiffness, for without it the frame is a
    /// mechanism.
    fn answer(&self, round: &Round, combination: &Combination, settled: Settled<1>) -> Outcome {
        let loading = self.loading(combination);
        let active = &round.active;
        let free = self.ready(at_work(active, 0.0), NO_PIVOT);
        for free in free_motions(&free.factors) {
            if self.drives(&loading, &free) {
                return Err(vec![tips(self.frame, self.structure, &loading, active, &free)]);
            }
        }
        // Nothing drives the free motion: the little stiffness that idle items keep decides where it comes to rest.
        let released = one_sided(self.frame, self.structure, active, false).join(", ");
        let message = format!("with {released} idle the frame is free to move, though no load drives it");
        let [solution] = self.solutions(round, &loading, settled);
        let mut solution = solution?;
        solution
            .remarks
            .push(Diagnostic::warning("stands-by-chance", message).help("brace it, or pretension its wires"));
        Ok(solution)
    }

    /// What moves almost freely with items idle leaves no answer that can be trusted: then the loads drive it, as they would
    /// drive it free.
    fn unless_it_tips(&self, round: &Round, combination: &Combination, solved: Outcome) -> Outcome {
        let active = &round.active;
        if active.iter().all(|active| *active) || !untrusted(&solved) {
            return solved;
        }
        let factors = &round.ready.factors;
        let (loading, free) = (self.loading(combination), factors.free_motion(factors.weakest()));
        if !self.drives(&loading, &free) {
            return solved;
        }
        Err(vec![tips(self.frame, self.structure, &loading, active, &free)])
    }

    /// Whether loads do work on a free motion.
    fn drives(&self, loading: &Loading<1>, free: &Motion) -> bool {
        let (with, against) = work(self.structure, loading, free);
        (with - against).abs() > DRIVEN * (with + against)
    }

    /// Displacements under loadings side by side, each corrected by what is left over until that is rounding.
    #[inline(always)]
    fn settle<const N: usize>(&self, ready: &Ready, loading: &Loading<N>) -> Settled<N> {
        let mut settled = self.before(ready, loading);
        let whole = largest(&settled.left_over);
        for _ in 0..MOST_CORRECTIONS {
            let left = settled.free_left_over;
            let open: [bool; N] = core::array::from_fn(|side| left[side] > EXACT_ENOUGH * whole[side]);
            if !open.contains(&true) {
                break;
            }
            let places = ready.factors.places();
            let mut moved = ready.factors.by_place(&settled.left_over);
            self.structure.held().for_each(|freedom| moved[places[freedom / 6]][freedom % 6] = [0.0; N]);
            ready.factors.solve_by_place(&mut moved);
            let mut displacements = settled.displacements;
            for (own, &place) in displacements.as_chunks_mut::<6>().0.iter_mut().zip(places) {
                for (own, moved) in own.iter_mut().zip(&moved[place]) {
                    *own = each(|side| if open[side] { own[side] + moved[side] } else { own[side] });
                }
            }
            settled = self.settled(ready, loading, displacements, settled.left_over);
        }
        settled
    }

    /// Before the frame gives way: only what is prescribed has moved.
    #[inline(always)]
    fn before<const N: usize>(&self, ready: &Ready, loading: &Loading<N>) -> Settled<N> {
        let left_over = loading.at_nodes.clone();
        if loading.settled.as_flattened().iter().any(|moved| *moved != 0.0) {
            return self.settled(ready, loading, loading.settled.clone(), left_over);
        }
        // Nothing has moved, so that nothing resists.
        let displacements = vec![[0.0; N]; left_over.len()];
        let free_left_over = self.where_free(&left_over);
        Settled { displacements, left_over, free_left_over, moved: false, twice_energy: [0.0; N] }
    }

    /// `room` is for what is left over.
    #[inline(always)]
    fn settled<const N: usize>(
        &self,
        ready: &Ready,
        loading: &Loading<N>,
        displacements: Vec<Sides<N>>,
        room: Vec<Sides<N>>,
    ) -> Settled<N> {
        let Response { at_nodes, twice_energy } = self.structure.response(&displacements, &ready.work, room);
        let mut left_over = at_nodes;
        for (own, load) in left_over.iter_mut().zip(&loading.at_nodes) {
            *own = each(|side| load[side] - own[side]);
        }
        let free_left_over = self.where_free(&left_over);
        Settled { displacements, left_over, free_left_over, moved: true, twice_energy }
    }

    /// The largest of what is left over where nothing is held.
    #[inline(always)]
    fn where_free<const N: usize>(&self, left_over: &[Sides<N>]) -> Sides<N> {
        let free = left_over.iter().enumerate().filter(|(freedom, _)| !self.structure.is_held(*freedom));
        largest(free.map(|(_, left)| left))
    }

    #[inline(always)]
    fn solutions<const N: usize>(
        &self,
        round: &Round,
        loading: &Loading<N>,
        settled: Settled<N>,
    ) -> [Outcome; N] {
        let Settled { displacements, left_over, moved, twice_energy, .. } = settled;
        let ready = &round.ready;
        let reactions = self.reactions(ready, &displacements, &left_over);
        let (mut loads, mut members) = (loading.by_member(), OnMembers::NOTHING);
        let mut all_ends: Vec<Ends<N>> = vec![[[[0.0; N]; 3]; 4]; self.structure.elements.len()];
        for (member, ends) in all_ends.iter_mut().enumerate() {
            if moved {
                self.structure.ends(member, &displacements, &ready.work, ends);
            }
            let mut borne = OnMember::NOTHING;
            loads.take(member, |factors, load| {
                for (row, load) in ends.iter_mut().zip(load.ends) {
                    *row = (Vectors::from_row(row) - Vectors::times(load, factors)).row();
                }
                borne.add(&load.sum, factors);
            });
            let length = self.structure.elements[member].line.length;
            members.take(length, &borne, ends, self.structure.arm);
        }
        let evidence = Evidence {
            frame: self.frame,
            structure: self.structure,
            loading,
            displacements: &displacements,
            left_over: &left_over,
            reactions: &reactions,
            members: &members,
            twice_energy,
            condition: *ready.condition.get_or_init(|| ready.factors.condition()),
            rounds: round.number,
        };
        let trust = evidence.judge();
        let far = self.far(&displacements);
        let (slack, open) = self.idle(&round.active);
        let said: [_; N] = core::array::from_fn(|own| -> Result<_, Vec<Diagnostic>> {
            self.moments_on_hinges(ready, &left_over, own)?;
            let trust = trust[own].clone().map_err(|fault| vec![fault])?;
            let mut remarks = self.remarks.to_vec();
            remarks.extend(evidence.remark());
            remarks.extend(far[own].then(|| self.moves_far(&displacements, own)));
            Ok((trust, remarks))
        });
        let displacements = Rows::of_sides(displacements);
        let reactions = Rows::of_sides(reactions.into_flattened());
        let end_forces = Rows::of_sides(all_ends.into_flattened().into_flattened());
        core::array::from_fn(|own| {
            let (trust, remarks) = said[own].clone()?;
            Ok(Solution {
                displacements: displacements[own].clone(),
                reactions: reactions[own].clone(),
                end_forces: end_forces[own].clone(),
                slack: slack.clone(),
                open: open.clone(),
                trust,
                remarks,
            })
        })
    }

    /// Force and moment of each support on its node.
    #[inline(always)]
    fn reactions<const N: usize>(
        &self,
        ready: &Ready,
        displacements: &[Sides<N>],
        left_over: &[Sides<N>],
    ) -> Vec<[Sides<N>; 6]> {
        let of_held = |freedom: usize| {
            if self.structure.is_held(freedom) { left_over[freedom].map(|left| 0.0 - left) } else { [0.0; N] }
        };
        let supports = self.frame.supports.iter().map(|own| 6 * own.node);
        let mut all: Vec<[Sides<N>; 6]> =
            supports.map(|first| core::array::from_fn(|at| of_held(first + at))).collect();
        for (at, spring) in self.structure.springs.iter().enumerate() {
            let push = self.structure.push(at, displacements, &ready.work);
            let sum = &mut all[spring.support][spring.freedom % 6];
            *sum = each(|side| sum[side] + push[side]);
        }
        all
    }

    /// Refuses moments on nodes that turn freely.
    fn moments_on_hinges<const N: usize>(
        &self,
        ready: &Ready,
        left_over: &[Sides<N>],
        side: usize,
    ) -> Result<(), Vec<Diagnostic>> {
        if ready.free_turns.is_empty() {
            return Ok(());
        }
        let most = largest(left_over.iter().skip(3))[side].max(f64::MIN_POSITIVE);
        let acts = |freedom: &&usize| left_over[**freedom][side].abs() > DRIVEN * most;
        match ready.free_turns.iter().find(acts) {
            None => Ok(()),
            Some(&freedom) => Err(vec![moment_on_a_hinge(self.frame, freedom, left_over[freedom][side])]),
        }
    }

    /// Whether small-displacement theory is out of its depth.
    #[inline(always)]
    fn far<const N: usize>(&self, displacements: &[Sides<N>]) -> [bool; N] {
        let mut most = [0.0; N];
        for node in 0..self.frame.nodes.len() {
            most = larger(most, motion(displacements, node).0.squared());
        }
        most.map(|squared| squared.sqrt() > FAR * self.structure.size)
    }

    fn moves_far<const N: usize>(&self, displacements: &[Sides<N>], side: usize) -> Diagnostic {
        let moves = (0..self.frame.nodes.len()).map(|node| motion(displacements, node).0.of(side).length());
        let (node, most) =
            moves.enumerate().fold((0, 0.0), |best, own| if own.1 > best.1 { own } else { best });
        let (name, size) = (&self.frame.nodes[node].name, self.structure.size);
        let message = format!(
            "node `{name}` moves {most:.3} m in a frame of {size:.2} m: too far for small-displacement theory"
        );
        Diagnostic::warning("moves-too-far", message)
            .help("read it as: it gives way; stiffen the joints or the members")
    }

    /// Loose wires and open contacts.
    fn idle(&self, active: &[bool]) -> (Vec<usize>, Vec<(usize, usize)>) {
        let (mut slack, mut open) = (Vec::new(), Vec::new());
        for (item, _) in self.structure.one_sided.iter().zip(active).filter(|(_, active)| !**active) {
            match item {
                OneSided::Wire(member) => slack.push(*member),
                OneSided::Contact(spring, _) => {
                    let freedom = self.structure.springs[*spring].freedom;
                    open.push((freedom / 6, freedom % 6));
                }
            }
        }
        (slack, open)
    }
}

/// One-sided items at work, the others with so much of their stiffness.
fn at_work(active: &[bool], idle: f64) -> Work {
    active.iter().map(|active| if *active { 1.0 } else { idle }).collect()
}

/// Whether an answer failed its own checks.
fn untrusted(solved: &Outcome) -> bool {
    solved.as_ref().is_err_and(|found| found.iter().any(|own| own.code == NOT_TRUSTED))
}

/// Motions of a frame that meet no resistance.
fn free_motions(factors: &Factors) -> Vec<Vec<Sides<1>>> {
    factors.vanished.iter().map(|&freedom| factors.free_motion(freedom)).collect()
}

/// The largest by amount, side by side.
#[inline(always)]
fn largest<'a, const N: usize>(values: impl IntoIterator<Item = &'a Sides<N>>) -> Sides<N> {
    let mut most = [0.0; N];
    values.into_iter().for_each(|own| most = each(|side| f64::max(most[side], own[side].abs())));
    most
}

impl Waiting {
    /// What comes after a round in which some items were wrong.
    fn after(&self, wrong: &[(usize, f64)]) -> Waiting {
        let mut seen = self.seen.clone();
        seen.push(self.active.clone());
        let mut next = self.active.clone();
        wrong.iter().for_each(|&(item, _)| next[item] = !next[item]);
        if seen.contains(&next) {
            // Going round in a circle: one step at a time breaks it.
            next.clone_from(&self.active);
            let worst = wrong.iter().fold(wrong[0], |worst, own| if own.1 > worst.1 { *own } else { worst });
            next[worst.0] = !next[worst.0];
        }
        let wrong = wrong.iter().map(|(item, _)| *item).collect();
        Waiting { combination: self.combination, active: next, seen, wrong }
    }
}
