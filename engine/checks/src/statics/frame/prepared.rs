//! A frame made ready for loads.

use super::answer::Answer;
use super::element::Element;
use super::input::{elements, frame_faults, load_faults, loose, member_faults, nodes_at_one_place, unknown};
use super::loading::Gathered;
use super::model::{Combination, EndSprings, Frame, LoadCase, Member, Section};
use super::solve::{Ready, Solver};
use super::structure::Structure;
use core::fmt::{self, Debug, Formatter};
use core::ops::Deref;
use slatwork_base::Diagnostic;
use std::sync::{Arc, Mutex};

/// Most entries of the matrix: 160 MB. Furniture needs a thousandth.
const MOST_ENTRIES: usize = 20_000_000;

/// Solves a frame for each combination. `Err` when the input makes no frame; a frame that cannot stand under a combination
/// is told in that combination's answer.
pub fn solve(frame: &Frame, combinations: &[Combination]) -> Result<Vec<Answer>, Vec<Diagnostic>> {
    let mut found = frame_faults(frame);
    found.extend(load_faults(frame, &frame.cases, combinations));
    if !found.is_empty() {
        return Err(found);
    }
    Ok(Prepared::sound(frame)?.solved(&frame.cases, combinations))
}

/// A frame made ready for loads: what does not depend on them is worked out once, its matrix factored. `F` is a frame lent or
/// shared; its own load cases are not looked at.
pub struct Prepared<F> {
    frame: F,
    structure: Structure,
    /// What a reader of every answer must know.
    remarks: Vec<Diagnostic>,
    all_at_work: Arc<Ready>,
    /// With other sets of one-sided items at work, as loads came to them: others come to the same.
    ready: Mutex<Vec<Arc<Ready>>>,
    /// Members made otherwise than in the frame that was made ready first.
    altered: Vec<usize>,
}

/// Load cases with combinations of them, worked out for a frame and for all that are made of it by [`Prepared::with`].
pub struct Loads<'a> {
    cases: Vec<Gathered<'a>>,
    combinations: &'a [Combination],
}

impl<F> Debug for Prepared<F> {
    fn fmt(&self, out: &mut Formatter) -> fmt::Result {
        out.debug_struct("Prepared").finish_non_exhaustive()
    }
}

/// A member made otherwise, between the same nodes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Altered {
    /// Which.
    pub member: usize,
    /// Its section.
    pub section: Section,
    /// Its end springs.
    pub springs: [EndSprings; 2],
}

impl<F: Deref<Target = Frame>> Prepared<F> {
    /// Makes a frame ready; `Err` when the input makes no frame.
    pub fn new(frame: F) -> Result<Self, Vec<Diagnostic>> {
        let found = frame_faults(&frame);
        if found.is_empty() { Prepared::sound(frame) } else { Err(found) }
    }

    /// The same of a frame without faults in its nodes, members and supports.
    fn sound(frame: F) -> Result<Self, Vec<Diagnostic>> {
        let structure = Structure::new(&frame, elements(&frame)?, None);
        if structure.entries() > MOST_ENTRIES {
            let message = format!(
                "the frame's matrix would have {} entries, at most {MOST_ENTRIES}",
                structure.entries()
            );
            return Err(vec![Diagnostic::error("frame-too-large", message).help("divide it")]);
        }
        let remarks = nodes_at_one_place(&frame);
        let all_at_work = Arc::new(Ready::at_work(&structure));
        let ready = Mutex::default();
        Ok(Prepared { frame, structure, remarks, all_at_work, ready, altered: Vec::new() })
    }

    /// The same frame with some members made otherwise, of one that is given twice as last; `Err` where such a member cannot be.
    pub fn with(&self, altered: &[Altered]) -> Result<Self, Vec<Diagnostic>>
    where
        F: Clone,
    {
        let (mut members, mut found) = (self.structure.elements.clone(), Vec::new());
        for &Altered { member, section, springs } in altered {
            let Some(own) = self.frame.members.get(member) else {
                found.push(unknown("member", member, &"a change", self.frame.members.len()));
                continue;
            };
            let own = Member { section, springs, ..own.clone() };
            let before = found.len();
            member_faults(&self.frame, &own, &mut found);
            if found.len() == before {
                match Element::new(&self.frame, &own) {
                    Ok(element) => members[member] = element,
                    Err(freedom) => found.push(loose(&own, freedom)),
                }
            }
        }
        if !found.is_empty() {
            return Err(found);
        }
        let structure = Structure::new(&self.frame, members, Some(&self.structure.order));
        let all_at_work = Arc::new(Ready::at_work(&structure));
        let altered = self.altered.iter().copied().chain(altered.iter().map(|own| own.member)).collect();
        let (frame, remarks, ready) = (self.frame.clone(), self.remarks.clone(), Mutex::default());
        Ok(Prepared { frame, structure, remarks, all_at_work, ready, altered })
    }

    /// The answer to each combination of load cases; `Err` when these make no loads on this frame.
    pub fn answers(
        &self,
        cases: &[LoadCase],
        combinations: &[Combination],
    ) -> Result<Vec<Answer>, Vec<Diagnostic>> {
        let found = load_faults(&self.frame, cases, combinations);
        if found.is_empty() { Ok(self.solved(cases, combinations)) } else { Err(found) }
    }

    /// What load cases and combinations of them come to; `Err` when these make no loads on this frame.
    pub fn loads<'a>(
        &self,
        cases: &'a [LoadCase],
        combinations: &'a [Combination],
    ) -> Result<Loads<'a>, Vec<Diagnostic>> {
        let found = load_faults(&self.frame, cases, combinations);
        if found.is_empty() { Ok(Loads { cases: self.gathered(cases), combinations }) } else { Err(found) }
    }

    /// The answer to each combination. `loads` are of this frame, or of that which it was made of by [`Prepared::with`]: what members
    /// bring to their ends hangs on how they are made, so that those which bear a load are looked at again where they were altered.
    pub fn under(&self, loads: &Loads) -> Vec<Answer> {
        let is_other = |own: &Gathered| self.altered.iter().any(|member| own.bears(*member));
        if loads.cases.iter().any(is_other) {
            let cases: Vec<Gathered> = loads.cases.iter().map(|own| self.gather(own.case)).collect();
            return self.answered(&cases, loads.combinations);
        }
        self.answered(&loads.cases, loads.combinations)
    }

    fn gather<'a>(&self, case: &'a LoadCase) -> Gathered<'a> {
        Gathered::new(&self.frame, &self.structure.elements, case)
    }

    fn gathered<'a>(&self, cases: &'a [LoadCase]) -> Vec<Gathered<'a>> {
        cases.iter().map(|case| self.gather(case)).collect()
    }

    fn solved(&self, cases: &[LoadCase], combinations: &[Combination]) -> Vec<Answer> {
        self.answered(&self.gathered(cases), combinations)
    }

    fn answered(&self, cases: &[Gathered], combinations: &[Combination]) -> Vec<Answer> {
        let solver = Solver {
            frame: &self.frame,
            structure: &self.structure,
            remarks: &self.remarks,
            all_at_work: &self.all_at_work,
            cases,
            combinations,
            ready: &self.ready,
        };
        let named = combinations.iter().map(|combination| combination.name.clone());
        let answer = |(combination, outcome)| Answer { combination, outcome };
        named.zip(solver.outcomes()).map(answer).collect()
    }
}
