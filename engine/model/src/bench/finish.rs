//! Validation, and the finished model.

use super::draft::Draft;
use super::{Bench, BoardId, Claim, Item};
use crate::{
    Blank, Contact, ContactKind, Fit, GlueUp, Group, GroupId, Model, Part, PartId, Seat, SetId, Strip,
    find_sets,
};
use slatwork_base::{Diagnostic, Length, Outcome, Place, Severity, both_tapes};
use slatwork_solid::{Bounds, DVec3, Placed};

/// Faces nearer than this touch, mm: well under a sheet of paper, above rounding noise of turned groups.
pub(crate) const TOUCHING: f64 = 0.05;

/// A part is seated when the gap under it is nowhere more than this, mm (project choice, design rule on seated slats).
pub(crate) const SEATED: f64 = 1.5;

/// Two parts that share less than this do not overlap, mm3 (facets of curves stand off the true curve by up to 0.05 mm over a
/// contact line).
pub(super) const OVERLAP: f64 = 30.0;
/// Cubic millimetres of a cubic inch.
const CUBIC_INCH: f64 = 25.4 * 25.4 * 25.4;

/// Two parts that share less depth than this only touch, mm.
pub(super) const OVERLAP_DEPTH: f64 = 0.1;

impl Bench {
    /// Validates the piece and freezes it. Errors keep the model from being made; findings travel with it.
    pub fn finish(mut self) -> Outcome<Model> {
        if self.boards.is_empty() {
            return Outcome::failed(
                Diagnostic::error("empty-piece", "the script lays no board")
                    .help("`build(job, p)` makes boards with `job.board(..)` or `group.board(..)`"),
            );
        }
        let mut troubles: Vec<Diagnostic> = self.unplaced();
        if troubles.is_empty()
            && let Err(fault) = self.cut_housings()
        {
            troubles.push(fault);
        }
        if troubles.is_empty()
            && let Err(fault) = self.cut_joints()
        {
            troubles.push(fault);
        }
        if !troubles.is_empty() {
            return Outcome { value: None, diagnostics: troubles };
        }
        self.boards.iter_mut().for_each(Draft::settle_size);
        let (mut parts, faults) = self.parts();
        if !faults.is_empty() {
            return Outcome { value: None, diagnostics: faults };
        }
        let bounds: Vec<Bounds> = parts.iter().map(|part| part.placed().bounds()).collect();
        let mut findings = std::mem::take(&mut self.findings);
        let mut contacts = self.contacts(&parts, &bounds, &mut findings);
        let joints = self.work_joints(&mut parts, &mut contacts, &mut findings);
        let sets = find_sets(&mut parts);
        findings.extend(overlaps(&parts, &bounds));
        let ids = |boards: &[BoardId]| boards.iter().map(|board| PartId(board.0)).collect();
        let seat = self.seat.as_ref().map(|seat| Seat {
            on: ids(&seat.on),
            back: ids(&seat.back),
            arms: ids(&seat.arms),
            places: seat.places,
        });
        let groups = (0..self.groups.len()).map(|index| Group {
            name: self.groups[index].name.clone(),
            parent: self.groups[index].parent.map(GroupId),
            pose: self.group_pose(index),
        });
        let hanging = (!self.hanging.suspensions.is_empty()).then(|| self.hanging.clone());
        let model = Model {
            title: self.title.clone(),
            groups: groups.collect(),
            joints,
            parts,
            sets,
            contacts,
            hardware: self.hardware.clone(),
            seat,
            hanging,
            steps: self.steps.clone(),
            order: self.order.clone(),
            site: self.site.clone(),
            people: self.people.clone(),
            findings,
        };
        Outcome::fine(model)
    }

    /// Boards that some direction leaves free, or that have no length.
    fn unplaced(&self) -> Vec<Diagnostic> {
        let fault = |draft: &Draft| -> Option<Diagnostic> {
            if let Err(fault) = draft.length_mm() {
                return Some(fault);
            }
            let solved = draft.fixing.solve(|row| draft.anchor_at(row));
            if draft.datum || solved.is_complete() {
                return None;
            }
            Some(
                Diagnostic::error(
                    "part-left-free",
                    format!("`{}` is not placed {}", draft.name, solved.free_words()),
                )
                .at_origin(draft.origin)
                .help("place it by a side in that direction too: `against`, `flush`, `centre` or `between`"),
            )
        };
        self.boards.iter().filter_map(fault).collect()
    }

    fn parts(&self) -> (Vec<Part>, Vec<Diagnostic>) {
        let mut parts = Vec::with_capacity(self.boards.len());
        let mut faults = Vec::new();
        for index in 0..self.boards.len() {
            match self.part(index) {
                Ok(part) => parts.push(part),
                Err(fault) => faults.push(fault),
            }
        }
        (parts, faults)
    }

    pub(super) fn part(&self, index: usize) -> Result<Part, Diagnostic> {
        let draft = &self.boards[index];
        let length = draft.length.unwrap_or_default();
        let fit = fit_in_stock(draft);
        let allowance = fit.as_ref().map_or(Length::ZERO, |fit| fit.allowance);
        let fitted_across = fit.as_ref().is_some_and(Fit::is_across);
        let (along, across) =
            if fitted_across { (Length::ZERO, allowance) } else { (allowance, Length::ZERO) };
        let mut features = draft.features.clone();
        features.sort_by_key(|feature| feature.kind.rank());
        Ok(Part {
            id: PartId(index),
            name: draft.name.clone(),
            group: GroupId(draft.group),
            section: draft.section.name.clone(),
            species: draft.species.clone(),
            blank: blank(draft),
            from_wider: draft.from_wider,
            alone: draft.alone,
            defects: draft.defects,
            length,
            width: draft.width,
            thickness: draft.thickness,
            rough_length: draft.rough_length.unwrap_or(length) + along,
            rough_width: draft.rough_width.unwrap_or(draft.width) + across,
            fit,
            features,
            softened: draft.softened.clone(),
            shape: draft.shape()?,
            solid: draft.solid()?,
            pose: self.board_pose(BoardId(index)),
            set: SetId(0),
            origin: draft.origin,
        })
    }

    /// Each declared contact, held to: face to face, or seated.
    fn contacts(&self, parts: &[Part], bounds: &[Bounds], findings: &mut Vec<Diagnostic>) -> Vec<Contact> {
        let mut contacts: Vec<Contact> = Vec::new();
        for claim in &self.claims {
            let pairs = self.claim_pairs(claim);
            let single = pairs.len() == 1;
            let mut nearest: Option<(f64, usize, usize)> = None;
            let mut any = false;
            for (a, b) in pairs {
                if !single && !bounds[a].overlaps(&bounds[b], TOUCHING) {
                    continue;
                }
                match meet(&parts[a], &parts[b]) {
                    Ok((area, gap)) => {
                        any = true;
                        contacts.push(Contact {
                            a: PartId(a),
                            b: PartId(b),
                            kind: claim.kind,
                            origin: claim.origin,
                            area,
                            gap,
                        });
                    }
                    Err(gap) if nearest.is_none_or(|(least, ..)| gap < least) => nearest = Some((gap, a, b)),
                    Err(_) => {}
                }
            }
            if !any {
                findings.push(self.no_touch(claim, parts, nearest));
            }
        }
        contacts
    }

    fn claim_pairs(&self, claim: &Claim) -> Vec<(usize, usize)> {
        let boards = |item: Item| match item {
            Item::Board(board) => vec![board],
            Item::Group(group) => self.boards_of(group),
        };
        let (first, second) = (boards(claim.a), boards(claim.b));
        first.iter().flat_map(|a| second.iter().map(|b| (a.0, b.0))).filter(|(a, b)| a != b).collect()
    }

    fn no_touch(&self, claim: &Claim, parts: &[Part], nearest: Option<(f64, usize, usize)>) -> Diagnostic {
        let (a, b) = (self.name(claim.a), self.name(claim.b));
        let message = match (nearest, claim.kind) {
            (Some((gap, first, second)), _) if gap < ONE_POINT => format!(
                "`{}` and `{}` should touch, and meet at an edge or a corner only",
                parts[first].name, parts[second].name
            ),
            (Some((gap, first, second)), _) if gap.is_finite() => format!(
                "`{}` and `{}` should touch, and {} lie between them",
                parts[first].name,
                parts[second].name,
                both_tapes(gap)
            ),
            (_, ContactKind::LetInto) => format!("`{a}` is let into `{b}` and does not meet it"),
            _ => format!("`{a}` and `{b}` should touch and do not"),
        };
        Diagnostic::new(Severity::Failure, "parts-do-not-touch", message)
            .at_origin(claim.origin)
            .help("look at the relations that place the two, or at a cut that takes the contact away")
    }
}

/// Parts nearer than this that do not touch meet at an edge or a corner, mm: a hundredth of what a tape tells.
const ONE_POINT: f64 = 0.01;

/// What a part is left over to be trimmed at the bench: no more across than its board has. Where it takes the whole width, the
/// parts beside it are set to it.
fn fit_in_stock(draft: &Draft) -> Option<Fit> {
    let fit = draft.fit.clone()?;
    if draft.strips > 1 || !fit.is_across() {
        return Some(fit);
    }
    let spare = draft.section.width - draft.rough_width.unwrap_or(draft.width);
    let allowance = fit.allowance.min(spare);
    allowance.is_positive().then_some(Fit { allowance, ..fit })
}

fn blank(draft: &Draft) -> Blank {
    let length = draft.rough_length.or(draft.length).unwrap_or_default();
    let strip = |index: usize, width| Strip {
        name: format!("{} strip {}", draft.name, index + 1),
        section: draft.section.name.clone(),
        width,
        length,
    };
    if draft.layers > 1 {
        let width = draft.rough_width.unwrap_or(draft.width);
        return Blank::GluedUp {
            strips: (0..draft.layers).map(|index| strip(index, width)).collect(),
            how: GlueUp::FaceToFace,
        };
    }
    if draft.strips < 2 {
        return Blank::Solid;
    }
    let strips = i64::try_from(draft.strips).unwrap_or(1);
    // Strips are ripped alike; the first takes the nanometres that do not divide.
    let each = Length::nm(draft.width.as_nm() / strips);
    let first = draft.width - each.checked_times(strips - 1).unwrap_or(Length::ZERO);
    Blank::GluedUp {
        strips: (0..draft.strips).map(|index| strip(index, if index == 0 { first } else { each })).collect(),
        how: GlueUp::EdgeToEdge,
    }
}

/// Whether two parts meet: area of the faces, or the greatest gap when seated; else how far apart they are.
fn meet(a: &Part, b: &Part) -> Result<(f64, f64), f64> {
    let (first, second) = (a.placed(), b.placed());
    let patches = slatwork_solid::contacts(&first, &second, TOUCHING);
    let area: f64 = patches.iter().map(|patch| patch.area).sum();
    if area > 1.0 {
        return Ok((area, 0.0));
    }
    // Seated: seen along the normal of the one's face that looks at the other.
    for (rest, bearer) in [(a, b), (b, a)] {
        let normal = rest.pose.matrix3.z_axis;
        for direction in [-normal, normal] {
            if let Some(gap) = seated(rest, bearer, direction) {
                return Ok((0.0, gap));
            }
        }
    }
    Err(slatwork_solid::clearance(&first, &second))
}

/// Greatest gap under a part that is seated on another going along `direction`.
fn seated(rest: &Part, bearer: &Part, direction: DVec3) -> Option<f64> {
    let seating = slatwork_solid::gap_along(&rest.placed(), &bearer.placed(), direction)?;
    let seated = seating.least.abs() <= TOUCHING + SEATED_NOISE && seating.greatest <= SEATED;
    seated.then_some(seating.greatest)
}

/// Facets of a curve lie off it by up to the chord tolerance on either part, mm.
pub(crate) const SEATED_NOISE: f64 = 0.1;

/// Parts that share wood.
fn overlaps(parts: &[Part], bounds: &[Bounds]) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    for a in 0..parts.len() {
        for b in a + 1..parts.len() {
            // Bounds that only touch, or overlap less than any fault worth reporting, cannot hide one.
            if !bounds[a].overlaps(&bounds[b], -OVERLAP_DEPTH) {
                continue;
            }
            let volume = overlap(&parts[a].placed(), &parts[b].placed());
            if volume > OVERLAP {
                findings.push(
                    Diagnostic::new(
                        Severity::Failure,
                        "parts-overlap",
                        format!(
                            "`{}` and `{}` overlap by {:.3} in³ ({volume:.0} mm³)",
                            parts[a].name,
                            parts[b].name,
                            volume / CUBIC_INCH
                        ),
                    )
                    .at_origin(parts[b].origin)
                    .with_trace(Place::Part(parts[a].name.clone()), "the other part")
                    .help("fit one round the other with `cope`, let it in with `let_into`, or move it"),
                );
            }
        }
    }
    findings
}

fn overlap(a: &Placed<'_>, b: &Placed<'_>) -> f64 {
    slatwork_solid::overlap(a, b)
}
