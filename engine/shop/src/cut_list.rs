//! The cut list: one row for each set of equal parts, with sizes, the blank, and how it is made step by step.

use crate::holes::{HoleList, box_size};
use crate::purchase::{Purchase, Source};
use crate::steps::{Bench, CutStep, steps_of};
use crate::words::{Reading, hand_word, part_names, part_words};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::Catalogue;
use slatwork_model::{Blank, FeatureKind, Fit, Hand, Model, Part, PartSet, SetId, Softened};
use slatwork_solid::{Across, Profile};

/// One set of equal parts.
#[derive(Clone, Debug, PartialEq)]
pub struct CutRow {
    /// The set.
    pub set: SetId,
    /// Its mark: "A", "B" ...
    pub mark: String,
    /// What it is called.
    pub name: String,
    /// How many.
    pub quantity: usize,
    /// Hand of the set.
    pub hand: Hand,
    /// Hand in words: "neutral", "left of a pair" ...
    pub hand_word: &'static str,
    /// For one of a mirrored pair: mark of the other, and "cut 2 left, 2 right (flip)".
    pub pair: Option<(String, String)>,
    /// Stock section.
    pub section: String,
    /// Id of the species.
    pub species: String,
    /// Finished length.
    pub length: Length,
    /// Finished width.
    pub width: Length,
    /// Finished thickness.
    pub thickness: Length,
    /// Length to cut first.
    pub rough_length: Length,
    /// Width to rip first.
    pub rough_width: Length,
    /// What it is cut from.
    pub blank: Blank,
    /// The boards that its blanks come from, as the purchase lays them out; none of what no board is left for.
    pub sources: Vec<Source>,
    /// Whether it is fitted at the bench.
    pub fit: Option<Fit>,
    /// Rounded edges.
    pub softened: Vec<Softened>,
    /// For a part sawn straight and bent when fixed: how far its middle is pulled down. Its outline is the bent form.
    pub sprung: Option<Length>,
    /// The outline, when it is more than the rectangle of length and width.
    pub outline: Option<OutlineSheet>,
    /// Volume of one finished part, mm3: what a rebuilt part is held against.
    pub volume_mm3: f64,
    /// Names of its parts.
    pub parts: Vec<String>,
    /// How one is made.
    pub steps: Vec<CutStep>,
}

/// The outline that a part is sawn to.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineSheet {
    /// Drawn on the marked face in (length, width), or on the datum edge in (length, thickness).
    pub across: Across,
    /// It reaches through the board from here, measured from the back face or the datum edge ...
    pub low: Length,
    /// ... to here.
    pub high: Length,
    /// The line.
    pub profile: Profile,
}

/// All sets.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct CutList {
    /// By mark.
    pub rows: Vec<CutRow>,
}

pub(crate) fn cut_list(
    model: &Model,
    catalogue: &Catalogue,
    laid_out: (&HoleList, &Purchase),
    reading: Reading,
) -> Result<CutList, Diagnostic> {
    let rows = model.sets.iter().filter(|set| !set.parts.is_empty());
    Ok(CutList {
        rows: rows.map(|set| cut_row(model, set, catalogue, laid_out, reading)).collect::<Result<_, _>>()?,
    })
}

fn cut_row(
    model: &Model,
    set: &PartSet,
    catalogue: &Catalogue,
    (holes, purchase): (&HoleList, &Purchase),
    reading: Reading,
) -> Result<CutRow, Diagnostic> {
    let part = model.part(set.parts[0]);
    let section = catalogue.section(&part.section).map_err(|fault| fault.at_origin(part.origin))?;
    let mate = if let Hand::PairWith(mate) = set.hand { model.sets.get(mate.0) } else { None };
    let alike = set.parts.len() + mate.map_or(0, |mate| mate.parts.len());
    let sources = purchase.sources(&set.mark, None);
    let tools = catalogue.tools();
    let bench = Bench { reading, tools, section, alike, sources: &sources, pieces: purchase.pieces };
    let steps = steps_of(part, holes.of(set.id), bench);
    Ok(CutRow {
        set: set.id,
        mark: set.mark.clone(),
        name: set.name.clone(),
        quantity: set.parts.len(),
        hand: set.hand,
        hand_word: hand_word(set.hand, &set.name),
        pair: pair_of(model, set),
        section: part.section.clone(),
        species: part.species.clone(),
        length: part.length,
        width: part.width,
        thickness: part.thickness,
        rough_length: part.rough_length,
        rough_width: part.rough_width,
        blank: part.blank.clone(),
        sources,
        fit: part.fit.clone(),
        softened: part.softened.clone(),
        sprung: sprung(part),
        outline: outline_of(part),
        volume_mm3: part.solid.volume(),
        parts: part_names(set.parts.iter().map(|id| model.part(*id))),
        steps,
    })
}

impl CutRow {
    /// The boards that its blanks come from, in words: `1x8`, or `4 from 1x4, 2 from nests on 1x4`.
    pub fn boards(&self) -> String {
        let told = |source: &Source| match self.sources.len() {
            1 => source.words(),
            _ => format!("{} from {}", source.pieces, source.words()),
        };
        self.sources.iter().map(told).collect::<Vec<String>>().join(", ")
    }

    /// Which parts of the piece it is, where its own name does not say it: "arm 2".
    pub fn told_parts(&self) -> Option<String> {
        let says_it = self.parts.len() == 1 && self.parts[0] == self.name;
        (!says_it).then(|| part_words(&self.parts))
    }
}

/// Mark of the mate, and how many of each hand to cut.
fn pair_of(model: &Model, set: &PartSet) -> Option<(String, String)> {
    let Hand::PairWith(mate) = set.hand else { return None };
    let mate = model.sets.get(mate.0)?;
    let count = |set: &PartSet, other: &str| match set.name.split_once(' ') {
        Some((hand @ ("left" | "right"), _)) => format!("{} {hand}", set.parts.len()),
        _ => format!("{} {other}", set.parts.len()),
    };
    let (first, second) = if set.id < mate.id { (set, mate) } else { (mate, set) };
    let words = format!("cut {}, {} (flip)", count(first, "of one hand"), count(second, "of the other"));
    Some((mate.mark.clone(), words))
}

fn sprung(part: &Part) -> Option<Length> {
    part.features.iter().find_map(|feature| match feature.kind {
        FeatureKind::Spring { rise } => Some(rise),
        _ => None,
    })
}

/// Sizes that agree within this are the plain rectangle's: the last digit of a length.
const SAME: f64 = 1e-6;

fn outline_of(part: &Part) -> Option<OutlineSheet> {
    let (shape, size) = (&part.shape, box_size(part));
    let depth = if shape.across == Across::Thickness { size.z } else { size.y };
    let full_depth = shape.low.abs() <= SAME && (shape.high - depth).abs() <= SAME;
    let plain =
        full_depth && shape.across == Across::Thickness && is_rectangle(&shape.profile, size.x, size.y);
    (!plain).then(|| OutlineSheet {
        across: shape.across,
        low: Length::mm(shape.low),
        high: Length::mm(shape.high),
        profile: shape.profile.clone(),
    })
}

fn is_rectangle(profile: &Profile, length: f64, width: f64) -> bool {
    let plain = Profile::rectangle(length, width);
    let same = |(a, b): (&slatwork_solid::Vertex, &slatwork_solid::Vertex)| {
        a.point.distance(b.point) <= SAME && a.bulge.abs() <= f64::EPSILON
    };
    profile.vertices.len() == 4 && profile.vertices.iter().zip(&plain.vertices).all(same)
}
