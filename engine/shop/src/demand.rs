//! The pieces of stock that the parts ask for, gathered by section and species.

use indexmap::IndexMap;
use slatwork_base::{Diagnostic, Length, Origin, Tape};
use slatwork_catalog::{Catalogue, Section, Species};
use slatwork_model::{Blank, Defects, Model, Part, PartId};

/// One piece to be cut from stock: a part's blank, or one strip of a glued blank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockPiece {
    /// The part it is for.
    pub part: PartId,
    /// Name of the part, or of the strip.
    pub name: String,
    /// Mark of the part's set.
    pub mark: String,
    /// Length to cut first, as the tape reads it: what is cut is what the cut list says, and what is left of a board follows.
    pub length: Length,
    /// Width to rip first.
    pub width: Length,
    /// Whether it may be ripped from a wider section of the same thickness.
    pub from_wider: bool,
    /// Which defects of a board in hand it may have.
    pub defects: Defects,
    /// The script line that made the part.
    pub origin: Origin,
}

/// What is wanted of one section in one species.
#[derive(Clone, Debug)]
pub(crate) struct Wanted<'a> {
    pub(crate) section: &'a Section,
    pub(crate) species: &'a Species,
    pub(crate) pieces: Vec<StockPiece>,
}

/// Gathers the pieces, sections in the order in which the model first uses them.
pub(crate) fn wanted<'a>(
    model: &Model,
    catalogue: &'a Catalogue,
    tape: Tape,
) -> Result<Vec<Wanted<'a>>, Diagnostic> {
    let mut groups: IndexMap<(&str, &str), Wanted<'a>> = IndexMap::new();
    for part in &model.parts {
        let at_part = |fault: Diagnostic| fault.at_origin(part.origin);
        let species = catalogue.species(&part.species).map_err(at_part)?;
        for (section_name, piece) in pieces_of(model, part, tape) {
            let section = catalogue.section(section_name).map_err(at_part)?;
            let group = groups.entry((&section.name, &species.id));
            group.or_insert_with(|| Wanted { section, species, pieces: Vec::new() }).pieces.push(piece);
        }
    }
    Ok(groups.into_values().collect())
}

/// The same for so many equal pieces: all of one part together, so that boards are alike.
pub(crate) fn times<'a>(mut wanted: Vec<Wanted<'a>>, pieces: usize) -> Vec<Wanted<'a>> {
    for group in &mut wanted {
        let each = group.pieces.drain(..);
        group.pieces = each.flat_map(|piece| core::iter::repeat_n(piece, pieces)).collect();
    }
    wanted
}

fn pieces_of<'m>(model: &Model, part: &'m Part, tape: Tape) -> Vec<(&'m str, StockPiece)> {
    let mark = model.sets.get(part.set.0).map_or("", |set| &set.mark);
    let piece = |name: &str, length: Length, width| StockPiece {
        part: part.id,
        name: name.to_string(),
        mark: mark.to_string(),
        length: tape.read(length).mark,
        width,
        from_wider: part.from_wider,
        defects: part.defects,
        origin: part.origin,
    };
    match &part.blank {
        Blank::Solid => vec![(&part.section, piece(&part.name, part.rough_length, part.rough_width))],
        Blank::GluedUp { strips, .. } => strips
            .iter()
            .map(|strip| (strip.section.as_str(), piece(&strip.name, strip.length, strip.width)))
            .collect(),
    }
}
