//! From a frame to answers.

use super::answer::{Answer, Solution};
use super::blocks::Factors;
use super::diagnosis::{mechanisms, moment_on_a_hinge, one_sided, size, tips, work};
use super::element::motion;
use super::input::{elements, faults, nodes_at_one_place};
use super::loading::{Gathered, Loading};
use super::model::{Combination, Frame};
use super::structure::{OneSided, Response, Structure, Work};
use super::trust::{Evidence, NOT_TRUSTED};
use slatwork_base::Diagnostic;
use slatwork_solid::DVec3;
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;

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

/// Most entries of the matrix: 160 MB. Furniture needs a thousandth.
const MOST_ENTRIES: usize = 20_000_000;

/// Most entries of factored matrices that are kept for later combinations: 32 MB.
const MOST_KEPT: usize = 4_000_000;

/// Solves a frame for each combination. `Err` when the input makes no frame; a frame that cannot stand under a combination
/// is told in that combination's answer.
pub fn solve(frame: &Frame, combinations: &[Combination]) -> Result<Vec<Answer>, Vec<Diagnostic>> {
    let found = faults(frame, combinations);
    if !found.is_empty() {
        return Err(found);
    }
    let structure = Structure::new(frame, elements(frame)?);
    if structure.entries() > MOST_ENTRIES {
        let message =
            format!("the frame's matrix would have {} entries, at most {MOST_ENTRIES}", structure.entries());
        return Err(vec![Diagnostic::error("frame-too-large", message).help("divide it")]);
    }
    let remarks = nodes_at_one_place(frame);
    let cases: Vec<Gathered> =
        frame.cases.iter().map(|case| Gathered::new(frame, &structure.elements, case)).collect();
    let solver = Solver { frame, structure, remarks, ready: RefCell::default() };
    let named = combinations.iter().map(|combination| combination.name.clone());
    let answer = |(combination, outcome)| Answer { combination, outcome };
    Ok(named.zip(solver.outcomes(&cases, combinations)).map(answer).collect())
}

/// What a combination comes to.
type Outcome = Result<Solution, Vec<Diagnostic>>;

/// Combinations that are solved side by side: their loads go through the factors together, each as it would alone.
const SIDE_BY_SIDE: usize = 4;

/// A matrix factored for one set of one-sided items at work.
struct Ready {
    work: Work,
    factors: Factors,
    /// Freedoms in which nodes turn freely.
    free_turns: Vec<usize>,
    /// Its condition, once asked for.
    condition: OnceCell<f64>,
}

impl Ready {
    fn new(structure: &Structure, work: Work, no_pivot: f64) -> Ready {
        let (matrix, free_turns) = structure.assemble(&work);
        Ready { work, factors: matrix.factor(no_pivot), free_turns, condition: OnceCell::new() }
    }
}

/// Displacements, what goes with them, and what is left over at every freedom.
struct Settled {
    displacements: Vec<f64>,
    response: Response,
    left_over: Vec<f64>,
}

/// One-sided items at rest in a state that fits their displacements.
struct Rest {
    active: Vec<bool>,
    settled: Settled,
    rounds: usize,
    /// Whether idle items keep nothing.
    is_exact: bool,
}

struct Solver<'a> {
    frame: &'a Frame,
    structure: Structure,
    remarks: Vec<Diagnostic>,
    /// Matrices factored so far: combinations come to the same sets of one-sided items at work.
    ready: RefCell<Vec<Rc<Ready>>>,
}

impl Solver<'_> {
    fn ready(&self, work: Work, no_pivot: f64) -> Rc<Ready> {
        let known = self.ready.borrow().iter().find(|own| own.work == work).map(Rc::clone);
        known.unwrap_or_else(|| {
            let new = Rc::new(Ready::new(&self.structure, work, no_pivot));
            let mut kept = self.ready.borrow_mut();
            if (kept.len() + 1) * self.structure.entries() <= MOST_KEPT {
                kept.push(Rc::clone(&new));
            }
            new
        })
    }

    fn outcomes(&self, cases: &[Gathered], combinations: &[Combination]) -> Vec<Outcome> {
        let all_at_work = self.ready(vec![1.0; self.structure.one_sided.len()], NO_PIVOT);
        if !all_at_work.factors.vanished.is_empty() {
            let found = mechanisms(self.frame, &free_motions(&all_at_work.factors));
            return vec![Err(found); combinations.len()];
        }
        let (together, single) = combinations.as_chunks::<SIDE_BY_SIDE>();
        let together = together.iter().flat_map(|some| self.side_by_side(&all_at_work, cases, some));
        let single =
            single.iter().flat_map(|one| self.side_by_side(&all_at_work, cases, std::array::from_ref(one)));
        together.chain(single).collect()
    }

    /// Combinations whose loads go through the factors together.
    fn side_by_side<const SIDES: usize>(
        &self,
        all_at_work: &Ready,
        cases: &[Gathered],
        combinations: &[Combination; SIDES],
    ) -> Vec<Outcome> {
        let freedoms = 6 * self.frame.nodes.len();
        let loadings = combinations.each_ref().map(|own| Loading::new(cases, own, freedoms));
        let settled = self.settle(all_at_work, loadings.each_ref());
        let of = |(loading, settled)| self.outcome(all_at_work, loading, settled);
        loadings.iter().zip(settled).map(of).collect()
    }

    /// From displacements with all one-sided items at work to the solution.
    fn outcome(&self, all_at_work: &Ready, loading: &Loading, settled: Settled) -> Outcome {
        let rest = self.rest(settled, loading)?;
        if rest.active.iter().all(|active| *active) {
            return self.solution(all_at_work, loading, rest);
        }
        self.without_idle(loading, rest)
    }

    /// Changes one-sided items, at first all at work, until none is wrong.
    fn rest(&self, mut settled: Settled, loading: &Loading) -> Result<Rest, Vec<Diagnostic>> {
        let mut active = vec![true; self.structure.one_sided.len()];
        let mut seen = Vec::new();
        let mut is_exact = true;
        let mut wrong = self.wrong(&active, &settled.displacements);
        for rounds in 1..=MOST_ROUNDS {
            if wrong.is_empty() {
                return Ok(Rest { active, settled, rounds, is_exact });
            }
            seen.push(active.clone());
            let mut next = active.clone();
            wrong.iter().for_each(|&(item, _)| next[item] = !next[item]);
            if seen.contains(&next) {
                // Going round in a circle: one step at a time breaks it.
                next = active;
                let worst =
                    wrong.iter().fold(wrong[0], |worst, own| if own.1 > worst.1 { *own } else { worst });
                next[worst.0] = !next[worst.0];
            }
            active = next;
            let mut ready = self.ready(at_work(&active, 0.0), NO_PIVOT);
            is_exact = ready.factors.vanished.is_empty();
            if !is_exact {
                ready = self.ready(at_work(&active, IDLE), NO_PIVOT_IN_ROUNDS);
            }
            [settled] = self.settle(&ready, [loading]);
            wrong = self.wrong(&active, &settled.displacements);
        }
        let restless: Vec<bool> =
            (0..active.len()).map(|item| wrong.iter().any(|own| own.0 == item)).collect();
        let names = one_sided(self.frame, &self.structure, &restless, true).join(", ");
        let message =
            format!("after {MOST_ROUNDS} rounds {names} still change between holding and letting go");
        Err(vec![Diagnostic::error("contacts-do-not-settle", message).help("hold or leave out one of them")])
    }

    /// Items whose state does not fit, with how far they are off.
    fn wrong(&self, active: &[bool], displacements: &[f64]) -> Vec<(usize, f64)> {
        let slack = WRONG_BY * displacements.iter().fold(0.0, |most: f64, own| most.max(own.abs()));
        let items = self.structure.one_sided.iter().zip(active).enumerate();
        items
            .filter_map(|(at, (item, active))| {
                let strain = match item {
                    OneSided::Wire(element) => self.structure.elements[*element].elongation(displacements),
                    OneSided::Contact(spring, sign) => {
                        -sign * displacements[self.structure.springs[*spring].freedom]
                    }
                };
                let fits = if *active { strain >= -slack } else { strain <= slack };
                (!fits).then_some((at, strain.abs()))
            })
            .collect()
    }

    /// The same state with idle items taken out altogether, so that they carry nothing.
    fn without_idle(&self, loading: &Loading, rest: Rest) -> Outcome {
        let ready = self.ready(at_work(&rest.active, 0.0), NO_PIVOT);
        if rest.is_exact {
            let active = rest.active.clone();
            let solved = self.solution(&ready, loading, rest);
            // What moves almost freely leaves no answer that can be trusted: then the loads drive it, as they would drive it free.
            let free = || ready.factors.free_motion(ready.factors.weakest());
            let tipped = untrusted(&solved).then(free).filter(|free| self.drives(loading, free));
            return match tipped {
                Some(free) => Err(vec![tips(self.frame, &self.structure, loading, &active, &free)]),
                None => solved,
            };
        }
        for free in free_motions(&ready.factors) {
            if self.drives(loading, &free) {
                return Err(vec![tips(self.frame, &self.structure, loading, &rest.active, &free)]);
            }
        }
        // Nothing drives the free motion: the little stiffness that idle items keep decides where it comes to rest.
        let released = one_sided(self.frame, &self.structure, &rest.active, false).join(", ");
        let message = format!("with {released} idle the frame is free to move, though no load drives it");
        let ready = self.ready(at_work(&rest.active, IDLE), NO_PIVOT_IN_ROUNDS);
        let mut solution = self.solution(&ready, loading, rest)?;
        solution
            .remarks
            .push(Diagnostic::warning("stands-by-chance", message).help("brace it, or pretension its wires"));
        Ok(solution)
    }

    /// Whether loads do work on a free motion.
    fn drives(&self, loading: &Loading, free: &[f64]) -> bool {
        let (with, against) = work(&self.structure, loading, free);
        (with - against).abs() > DRIVEN * (with + against)
    }

    /// Displacements under loadings side by side, each corrected by what is left over until that is rounding.
    fn settle<const SIDES: usize>(&self, ready: &Ready, loadings: [&Loading; SIDES]) -> [Settled; SIDES] {
        let mut settled = loadings.map(|loading| self.before(ready, loading));
        let whole = settled.each_ref().map(|own| largest(&own.left_over));
        for _ in 0..MOST_CORRECTIONS {
            let is_open =
                |side: usize| self.where_free(&settled[side].left_over) > EXACT_ENOUGH * whole[side];
            let open: [bool; SIDES] = std::array::from_fn(is_open);
            if !open.contains(&true) {
                break;
            }
            let mut right = self.right_sides(&settled);
            ready.factors.solve(&mut right);
            for side in (0..SIDES).filter(|side| open[*side]) {
                let mut displacements = std::mem::take(&mut settled[side].displacements);
                displacements.iter_mut().zip(&right).for_each(|(own, moved)| *own += moved[side]);
                settled[side] = self.settled(ready, loadings[side], displacements);
            }
        }
        settled
    }

    /// Before the frame gives way: only what is prescribed has moved.
    fn before(&self, ready: &Ready, loading: &Loading) -> Settled {
        let displacements = loading.settled.clone();
        if displacements.iter().any(|moved| *moved != 0.0) {
            return self.settled(ready, loading, displacements);
        }
        let response = self.structure.at_rest();
        Settled { displacements, response, left_over: loading.at_nodes.clone() }
    }

    fn settled(&self, ready: &Ready, loading: &Loading, displacements: Vec<f64>) -> Settled {
        let response = self.structure.response(&displacements, &ready.work);
        let forces = loading.at_nodes.iter().zip(&response.at_nodes);
        Settled { left_over: forces.map(|(load, own)| load - own).collect(), displacements, response }
    }

    /// The largest of what is left over where nothing is held.
    fn where_free(&self, left_over: &[f64]) -> f64 {
        let free = left_over.iter().enumerate().filter(|(freedom, _)| !self.structure.is_held(*freedom));
        largest(free.map(|(_, left)| left))
    }

    /// What is left over, side by side; nothing where freedoms are held.
    fn right_sides<const SIDES: usize>(&self, settled: &[Settled; SIDES]) -> Vec<[f64; SIDES]> {
        let of_side = |freedom: usize| settled.each_ref().map(|own| own.left_over[freedom]);
        let of = |freedom| if self.structure.is_held(freedom) { [0.0; SIDES] } else { of_side(freedom) };
        (0..6 * self.frame.nodes.len()).map(of).collect()
    }

    fn solution(&self, ready: &Ready, loading: &Loading, rest: Rest) -> Outcome {
        let Rest { active, settled: Settled { displacements, response, left_over }, rounds, .. } = rest;
        let reactions = self.reactions(ready, &displacements, &left_over);
        let mut end_forces = response.ends;
        for (factor, load) in loading.members() {
            end_forces[load.member].iter_mut().zip(load.ends).for_each(|(own, load)| *own -= load * factor);
        }
        self.moments_on_hinges(ready, &left_over)?;
        let evidence = Evidence {
            frame: self.frame,
            structure: &self.structure,
            loading,
            displacements: &displacements,
            left_over: &left_over,
            reactions: &reactions,
            end_forces: &end_forces,
            twice_energy: response.twice_energy,
            condition: *ready.condition.get_or_init(|| ready.factors.condition()),
            rounds,
        };
        let trust = evidence.judge().map_err(|fault| vec![fault])?;
        let mut remarks = self.remarks.clone();
        remarks.extend(evidence.remark());
        remarks.extend(self.moves_far(&displacements));
        let (slack, open) = self.idle(&active);
        let by_node = |values: &[f64]| values.as_chunks::<6>().0.to_vec();
        let reactions = by_node(&reactions);
        Ok(Solution {
            displacements: by_node(&displacements),
            reactions: self.frame.supports.iter().map(|support| reactions[support.node]).collect(),
            end_forces: end_forces.iter().map(flat).collect(),
            slack,
            open,
            trust,
            remarks,
        })
    }

    /// Force and moment of supports on every node.
    fn reactions(&self, ready: &Ready, displacements: &[f64], left_over: &[f64]) -> Vec<f64> {
        let mut all: Vec<f64> = left_over
            .iter()
            .enumerate()
            .map(|(freedom, left)| if self.structure.is_held(freedom) { 0.0 - left } else { 0.0 })
            .collect();
        for (at, spring) in self.structure.springs.iter().enumerate() {
            all[spring.freedom] += self.structure.push(at, displacements, &ready.work);
        }
        all
    }

    /// Refuses moments on nodes that turn freely.
    fn moments_on_hinges(&self, ready: &Ready, left_over: &[f64]) -> Result<(), Vec<Diagnostic>> {
        let most = largest(left_over.iter().skip(3)).max(f64::MIN_POSITIVE);
        let acts = |freedom: &&usize| left_over[**freedom].abs() > DRIVEN * most;
        match ready.free_turns.iter().find(acts) {
            None => Ok(()),
            Some(&freedom) => Err(vec![moment_on_a_hinge(self.frame, freedom, left_over[freedom])]),
        }
    }

    fn moves_far(&self, displacements: &[f64]) -> Option<Diagnostic> {
        let moves = (0..self.frame.nodes.len()).map(|node| motion(displacements, node).0.length());
        let (node, most) =
            moves.enumerate().fold((0, 0.0), |best, own| if own.1 > best.1 { own } else { best });
        let size = size(self.frame);
        (most > FAR * size).then(|| {
            let name = &self.frame.nodes[node].name;
            let message = format!("node `{name}` moves {most:.3} m in a frame of {size:.2} m: too far for small-displacement theory");
            Diagnostic::warning("moves-too-far", message).help("read it as: it gives way; stiffen the joints or the members")
        })
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
fn free_motions(factors: &Factors) -> Vec<Vec<f64>> {
    factors.vanished.iter().map(|&freedom| factors.free_motion(freedom)).collect()
}

fn flat(forces: &[DVec3; 4]) -> [f64; 12] {
    std::array::from_fn(|at| forces[at / 3][at % 3])
}

fn largest<'a>(values: impl IntoIterator<Item = &'a f64>) -> f64 {
    values.into_iter().fold(0.0, |most, own| most.max(own.abs()))
}
