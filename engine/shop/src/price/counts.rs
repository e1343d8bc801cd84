//! How often each operation is done for one piece, counted from features, joints and the steps of the cut list.

use super::Asked;
use super::goods::end_grain;
use crate::cut_list::CutRow;
use crate::order::glue::{clamps, clamps_along};
use crate::purchase::{GroupSummary, LayoutNest};
use crate::steps::Work;
use slatwork_catalog::{Catalogue, ConsumableKind, Operation};
use slatwork_model::joints::{Drive, Fastening, HeadSeat};
use slatwork_model::{Blank, FeatureKind, Hand, Model, Part, PartSet, Strip, When};
use std::collections::BTreeSet;

/// Counts in the unit of each operation, in the order of shop work; what is not done is left out.
pub(super) fn counts(asked: &Asked) -> Vec<(Operation, f64)> {
    let all = [bench(asked), surfaces(asked), joints(asked.model)].concat();
    let mut counted: Vec<(Operation, f64)> = all.into_iter().filter(|(_, count)| *count > 0.0).collect();
    counted.sort_by_key(|(operation, _)| *operation);
    counted
}

/// What is done at the saws, the drill and the router.
fn bench(asked: &Asked) -> Vec<(Operation, f64)> {
    let rows = &asked.plan.cut_list.rows;
    let boards = &asked.purchase.groups;
    // What falls to one piece of the batch.
    let each_of = |count: fn(&GroupSummary) -> usize| {
        boards.iter().map(count).sum::<usize>() as f64 / asked.pieces as f64
    };
    let (bought, from_rack) = (each_of(|group| group.boards), each_of(|group| group.offcuts));
    let each = |count: fn(&CutRow) -> f64| rows.iter().map(|row| count(row) * row.quantity as f64).sum();
    let crosscuts: f64 = rows.iter().map(|row| crosscuts(row, asked.catalogue)).sum();
    let edges = asked.plan.bill.edges.iter().map(|edge| edge.length.as_metre()).sum();
    vec![
        (Operation::SortBoards, bought + from_rack),
        (Operation::FlattenStock, rows.iter().map(|row| planed_m2(row, asked.catalogue)).sum()),
        // One end of each board bought is squared before anything is cut off it.
        (Operation::Crosscut, crosscuts + bought - spared(asked)),
        (Operation::Rip, asked.purchase.ripped().as_metre() / asked.pieces as f64 + each(ripped_later)),
        (Operation::MakeTemplate, templates(asked.model) as f64),
        (Operation::Shape, shaped(asked.model) as f64),
        (Operation::Notch, each(|row| steps(row, Work::Notch) as f64)),
        (Operation::Drill, holes(asked)),
        (Operation::RoundOver, edges),
        (Operation::FitPart, each(|row| f64::from(u8::from(row.fit.is_some())))),
    ]
}

fn steps(row: &CutRow, work: Work) -> usize {
    row.steps.iter().filter(|step| step.work == work).count()
}

/// Crosscuts of all parts of a set: those of its steps, twice where the blade does not reach through, and one for each strip of a
/// glued blank.
fn crosscuts(row: &CutRow, catalogue: &Catalogue) -> f64 {
    let faces = 1 + usize::from(catalogue.tools().crosscut_from_two_faces(row.thickness));
    (row.quantity * (steps(row, Work::Crosscut) * faces + strips(row).len())) as f64
}

/// Crosscuts that nests spare one piece: what is nested is not cut to its rough length, the length that holds it is cut once.
fn spared(asked: &Asked) -> f64 {
    let cuts = asked.purchase.layouts.iter().flat_map(|board| &board.cuts);
    let of_nest = |nest: &LayoutNest| {
        let faces =
            |part: &Part| 1 + usize::from(asked.catalogue.tools().crosscut_from_two_faces(part.thickness));
        let parts = nest.pieces.iter().map(|own| asked.model.part(own.piece.part));
        let each: Vec<usize> = parts.filter(|part| is_cut_square(part)).map(faces).collect();
        each.iter().sum::<usize>() as f64 - each.iter().max().map_or(1.0, |&faces| faces as f64)
    };
    cuts.filter_map(|cut| cut.nest.as_ref()).map(of_nest).sum::<f64>() / asked.pieces as f64
}

/// Whether the steps of a part begin with a square crosscut: to its rough length, or because neither of its ends is cut at an angle.
fn is_cut_square(part: &Part) -> bool {
    let is_angled = part.features.iter().any(|own| matches!(own.kind, FeatureKind::EndCut { .. }));
    part.rough_length > part.length || !is_angled
}

fn strips(row: &CutRow) -> &[Strip] {
    match &row.blank {
        Blank::Solid => &[],
        Blank::GluedUp { strips, .. } => strips,
    }
}

/// Metres that the rip saw goes for one part when its blank is off the board: along a glued blank that is ripped to width, and along
/// every bevelled edge.
fn ripped_later(row: &CutRow) -> f64 {
    // Each strip has a step of its own; a part of one board is ripped when the board is cut up.
    let blanks =
        if row.blank == Blank::Solid { 0 } else { steps(row, Work::Rip).saturating_sub(strips(row).len()) };
    let bevels = steps(row, Work::BevelRip);
    blanks as f64 * row.rough_length.as_metre() + bevels as f64 * row.length.as_metre()
}

/// Both faces of what is planed: of parts planed thinner, and of all that is bought rough.
fn planed_m2(row: &CutRow, catalogue: &Catalogue) -> f64 {
    let rough = catalogue.yard().rates.get(&row.species).is_some_and(|rate| rate.rough);
    if !rough && steps(row, Work::Plane) == 0 {
        return 0.0;
    }
    let faces = (row.rough_length * row.rough_width).as_square_m() * 2.0;
    faces * row.quantity as f64
}

/// The lines that a part is sawn to, and when.
fn outlines(part: &Part) -> impl Iterator<Item = (&str, &When)> {
    part.features.iter().filter_map(|feature| match &feature.kind {
        FeatureKind::Outline { what, .. } => Some((what.as_str(), &feature.when)),
        _ => None,
    })
}

fn is_in_place(when: &When) -> bool {
    matches!(when, When::InPlace { .. })
}

/// Parts sawn to a line at the bench; a line that is sawn over parts that stand counts as one part.
fn shaped(model: &Model) -> usize {
    let at_bench = |part: &&Part| outlines(part).any(|(_, when)| !is_in_place(when));
    let in_place = model.parts.iter().flat_map(outlines).filter(|(_, when)| is_in_place(when));
    let lines: BTreeSet<&str> = in_place.map(|(what, _)| what).collect();
    model.parts.iter().filter(at_bench).count() + lines.len()
}

/// A line drawn at the bench that comes at least twice, or in a mirrored mate, is drawn round a template; one does for both of a
/// pair.
fn templates(model: &Model) -> usize {
    let takes_one = |set: &&PartSet| {
        let drawn = |part: &&Part| outlines(part).any(|(_, when)| *when == When::AtBench);
        let drawn = set.parts.first().map(|part| model.part(*part)).filter(drawn).is_some();
        let repeats = match set.hand {
            Hand::PairWith(mate) => set.id < mate,
            Hand::Neutral | Hand::Single => set.parts.len() > 1,
        };
        drawn && repeats
    };
    model.sets.iter().filter(takes_one).count()
}

/// Holes as they are drilled. What is drilled on through a marked hole is none of its own: clearance, countersink and pilot of one
/// screw are drilled in one go, by one combined bit (common practice, no source), and the time of a hole is that of "drill and
/// countersink, per hole".
fn holes(asked: &Asked) -> f64 {
    let list = &asked.plan.holes;
    let marked: usize = list.rows.iter().map(|row| row.quantity).sum();
    let without_guide = list.drilled.iter().filter(|row| row.holes.is_empty());
    (marked + without_guide.map(|row| row.count).sum::<usize>()) as f64
}

/// What goes by area: sanding, sealing and finishing by the coat.
fn surfaces(asked: &Asked) -> Vec<(Operation, f64)> {
    let surface = asked.plan.bill.surface.as_square_m();
    let consumables = &asked.catalogue.pricing().consumables;
    let coats = |kind| consumables.get(&kind).map_or(1.0, |own| f64::from(own.coats));
    vec![
        (Operation::Sand, surface),
        (Operation::Seal, end_grain(asked.model).as_square_m() * coats(ConsumableKind::Sealer)),
        (Operation::Finish, surface * coats(ConsumableKind::Finish)),
    ]
}

/// What is done when parts are put together.
fn joints(model: &Model) -> Vec<(Operation, f64)> {
    let seams = |part: &Part| match &part.blank {
        Blank::Solid => 0,
        Blank::GluedUp { strips, .. } => strips.len().saturating_sub(1),
    };
    let in_seams = |part: &Part| seams(part) * clamps_along(part.rough_length.as_mm());
    let glued = model.joints.iter().filter(|joint| joint.glue.is_some()).count();
    let clamped: usize = model.joints.iter().map(clamps).sum();
    let blanks: usize = model.parts.iter().map(seams).sum();
    let on_blanks: usize = model.parts.iter().map(in_seams).sum();
    let driven = |drive: Drive| fastenings(model).filter(|one| one.drive == drive).count() as f64;
    let plugged = fastenings(model)
        .filter(|one| matches!(one.seat, HeadSeat::Counterbored { plugged: true, .. }))
        .count();
    let chains = model.hanging.as_ref().map_or(0, |hanging| hanging.suspensions.len());
    vec![
        (Operation::GlueUp, (glued + blanks) as f64),
        (Operation::Clamp, (clamped + on_blanks) as f64),
        (Operation::Assemble, model.parts.len() as f64),
        (Operation::DriveScrew, driven(Drive::Driver)),
        (Operation::DriveNail, driven(Drive::Hammer)),
        (Operation::SetBolt, driven(Drive::Wrench)),
        (Operation::SetDowel, driven(Drive::Mallet) + driven(Drive::Hand)),
        (Operation::Plug, plugged as f64),
        (Operation::HangChain, chains as f64),
    ]
}

fn fastenings(model: &Model) -> impl Iterator<Item = &Fastening> {
    model.joints.iter().flat_map(|joint| &joint.fastenings)
}
