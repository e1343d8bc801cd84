//! The shapes on paper: planes, notches, outlines and places, exact enough that a reader with nothing but the tables
//! builds every part and puts the piece together.

use crate::cut_list::{CutList, OutlineSheet};
use crate::holes::box_size;
use crate::planes::PlaneMarks;
use crate::steps::{STRAIGHT_REGIONS, opening, through_thickness};
use crate::words::{BoardSide, when_words};
use slatwork_base::{Angle, Length};
use slatwork_model::{
    Feature, FeatureKind, Model, NotchPurpose, Part, PartId, PartSet, SetId, When, turn_between,
};
use slatwork_solid::{Across, DAffine3, DMat3, DVec3, HalfSpace, Notch, Tag};

/// A plane that cuts wood away for good: a mitre, a bevel. The kept wood is the half-space of the marks.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaneRow {
    /// The set.
    pub set: SetId,
    /// Its mark.
    pub mark: String,
    /// Number of the cut in the part, from 1.
    pub number: usize,
    /// What it is: "far end", "datum edge" ...; "cut" when no feature names it.
    pub what: String,
    /// Mitre of an end cut, from square; positive when the far edge is the longer.
    pub mitre: Option<Angle>,
    /// Tilt of an end cut or edge bevel from square; positive when the marked face is the longer or wider.
    pub bevel: Option<Angle>,
    /// When, in words.
    pub when: String,
    /// Where it lies; the wood kept is the side meant.
    pub plane: PlaneMarks,
}

/// A region taken out: the wood on the meant side of every wall.
#[derive(Clone, Debug, PartialEq)]
pub struct NotchRow {
    /// The set.
    pub set: SetId,
    /// Its mark.
    pub mark: String,
    /// Number of the notch in the part, from 1.
    pub number: usize,
    /// What for: "cope round arm post" ...
    pub purpose: String,
    /// When, in words.
    pub when: String,
    /// From the datum end to its near wall, at its widest.
    pub from_end: Option<Length>,
    /// Extent along the grain.
    pub along: Option<Length>,
    /// From the datum edge to its near wall.
    pub from_edge: Option<Length>,
    /// Extent across.
    pub across: Option<Length>,
    /// From the back face to its near wall.
    pub from_face: Length,
    /// Extent through the thickness.
    pub thick: Length,
    /// Extent in the direction it is cut in: through the thickness from a face, across from an edge, along the grain from an end.
    pub depth: Option<Length>,
    /// The side it is cut from; `None` when it goes through.
    pub face: Option<BoardSide>,
    /// Steepest lean of a wall.
    pub wall: Option<Angle>,
    /// Play left round the other part.
    pub clearance: Option<Length>,
    /// Walls of each convex region; what lies inside all walls of a region is taken out.
    pub regions: Vec<Vec<PlaneMarks>>,
    /// Tag of a surface that the notch makes.
    pub tag: Option<Tag>,
}

/// The outline of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineRow {
    /// The set.
    pub set: SetId,
    /// Its mark.
    pub mark: String,
    /// The line, and how it is drawn out.
    pub sheet: OutlineSheet,
}

/// Where one part stands in the piece, as drawn in its set: the frame of the set's drawing to the piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceRow {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Mark of its set.
    pub mark: String,
    /// Where the datum corner (datum end, datum edge, back face) of the set's drawing stands, mm.
    pub corner: DVec3,
    /// Direction from datum end to far end.
    pub along: DVec3,
    /// Direction from datum edge to far edge; the third one, from back face to marked face, is along x across.
    pub across: DVec3,
}

/// All shapes.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Shapes {
    /// End cuts and edge bevels.
    pub planes: Vec<PlaneRow>,
    /// Notches, copes, housings, mortises.
    pub notches: Vec<NotchRow>,
    /// Outlines other than the rectangle.
    pub outlines: Vec<OutlineRow>,
    /// Where the parts stand.
    pub places: Vec<PlaceRow>,
}

/// Where the parts stand, set by set.
pub(crate) fn places(model: &Model) -> Vec<PlaceRow> {
    let sets = model.sets.iter().filter_map(|set| Some((set, model.part(*set.parts.first()?))));
    sets.flat_map(|(set, first)| set.parts.iter().map(move |id| place_row(set, first, model.part(*id))))
        .collect()
}

pub(crate) fn shapes(model: &Model, cut_list: &CutList, places: Vec<PlaceRow>) -> Shapes {
    let mut shapes = Shapes { places, ..Shapes::default() };
    for set in &model.sets {
        let Some(&first) = set.parts.first() else { continue };
        let part = model.part(first);
        shapes.planes.extend(
            part.shape.cuts.iter().enumerate().map(|(index, cut)| plane_row(set, part, index + 1, cut)),
        );
        shapes.notches.extend(notch_rows(set, part));
    }
    shapes.outlines = cut_list
        .rows
        .iter()
        .filter_map(|row| {
            Some(OutlineRow { set: row.set, mark: row.mark.clone(), sheet: row.outline.clone()? })
        })
        .collect();
    shapes
}

fn plane_row(set: &PartSet, part: &Part, number: usize, cut: &HalfSpace) -> PlaneRow {
    let named = part.features.iter().find_map(|feature| match &feature.kind {
        FeatureKind::EndCut { end, setting, plane } if plane == cut => {
            Some((BoardSide::end(*end), Some(setting.mitre), Some(setting.bevel), when_words(&feature.when)))
        }
        FeatureKind::BevelRip { edge, angle, plane } if plane == cut => {
            Some((BoardSide::edge(*edge), None, Some(*angle), when_words(&feature.when)))
        }
        _ => None,
    });
    let plane = PlaneMarks::of(cut, box_size(part));
    let (what, mitre, bevel, when) = match named {
        Some((side, mitre, bevel, when)) => (side.word().to_string(), mitre, bevel, when),
        None => (String::from("cut"), None, None, when_words(&When::AtBench)),
    };
    PlaneRow { set: set.id, mark: set.mark.clone(), number, what, mitre, bevel, when, plane }
}

/// One row for each notch that is made, whatever its regions; then regions that no feature tells of.
fn notch_rows(set: &PartSet, part: &Part) -> Vec<NotchRow> {
    let told = part.features.iter().filter_map(|feature| told_notch(set, part, feature));
    let mut rows: Vec<NotchRow> = told.collect();
    let of_features = |region: &Notch| {
        part.features.iter().any(
            |feature| matches!(&feature.kind, FeatureKind::Notch { regions, .. } if regions.contains(region)),
        )
    };
    let untold = part.shape.notches.iter().filter(|region| !of_features(region));
    rows.extend(untold.map(|region| bare_notch(set, part, std::slice::from_ref(region))));
    for (index, row) in rows.iter_mut().enumerate() {
        row.number = index + 1;
    }
    rows
}

fn bare_notch(set: &PartSet, part: &Part, regions: &[Notch]) -> NotchRow {
    let size = box_size(part);
    let walls = |region: &Notch| region.planes.iter().map(|plane| PlaneMarks::of(plane, size)).collect();
    let (from_face, thick) = through_thickness(part, regions);
    NotchRow {
        set: set.id,
        mark: set.mark.clone(),
        number: 0,
        purpose: String::from("notch"),
        when: when_words(&When::AtBench),
        from_end: None,
        along: None,
        from_edge: None,
        across: None,
        from_face,
        thick,
        depth: None,
        face: opening(part, regions).side,
        wall: None,
        clearance: None,
        regions: regions.iter().map(walls).collect(),
        tag: regions.first().and_then(|region| region.planes.first()).map(|plane| plane.tag),
    }
}

fn told_notch(set: &PartSet, part: &Part, feature: &Feature) -> Option<NotchRow> {
    let FeatureKind::Notch { regions, purpose, from_end, along, from_edge, across, depth, wall, clearance } =
        &feature.kind
    else {
        return None;
    };
    Some(NotchRow {
        purpose: purpose_word(purpose),
        when: when_words(&feature.when),
        from_end: Some(*from_end),
        along: Some(*along),
        from_edge: Some(*from_edge),
        across: Some(*across),
        depth: Some([*along, *across, *depth][opening(part, regions).along.index()]),
        wall: Some(*wall),
        clearance: Some(*clearance),
        ..bare_notch(set, part, regions)
    })
}

/// What a notch is for, in the words of the tables: `cope round arm`; `plain` for one by itself.
pub fn purpose_word(purpose: &NotchPurpose) -> String {
    match purpose {
        NotchPurpose::Cope { around } => format!("cope round {around}"),
        NotchPurpose::Housing { of } => format!("housing for {of}"),
        NotchPurpose::HalfLap { with } => format!("half lap with {with}"),
        NotchPurpose::Tenon { into } => format!("tenon into {into}"),
        NotchPurpose::Mortise { of } => format!("mortise for {of}"),
        NotchPurpose::Plain => String::from("plain"),
    }
}

fn place_row(set: &PartSet, model: &Part, part: &Part) -> PlaceRow {
    let turn = if model.id == part.id { Some(DAffine3::IDENTITY) } else { turn_between(model, part) };
    // Sets hold only parts that are alike, so there is a turn.
    let pose = part.pose * turn.unwrap_or(DAffine3::IDENTITY);
    PlaceRow {
        part: part.id,
        name: part.name.clone(),
        mark: set.mark.clone(),
        corner: pose.translation,
        along: pose.matrix3.x_axis,
        across: pose.matrix3.y_axis,
    }
}

impl PlaceRow {
    /// Direction from the back face to the marked face.
    pub fn through(&self) -> DVec3 {
        self.along.cross(self.across)
    }

    /// From board axes of the set's drawing to the piece.
    pub(crate) fn pose(&self) -> DAffine3 {
        DAffine3::from_mat3_translation(
            DMat3::from_cols(self.along, self.across, self.through()),
            self.corner,
        )
    }
}

impl NotchRow {
    /// Whether it follows a curve, which no few planes tell: it is scribed from the other part.
    pub fn is_scribed(&self) -> bool {
        self.regions.len() > STRAIGHT_REGIONS
    }
}

/// Radius of an arc over a chord in mm, by its bulge b, the tangent of a quarter of the angle turned through: c (1 + b^2) / (4 b).
/// `None` for a line.
pub fn arc_radius(chord: f64, bulge: f64) -> Option<Length> {
    (bulge != 0.0).then(|| Length::mm(chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs())))
}

impl OutlineSheet {
    /// What it is drawn on: "marked face" or "datum edge".
    pub fn drawn_on(&self) -> &'static str {
        match self.across {
            Across::Thickness => "marked face",
            Across::Width => "datum edge",
        }
    }
}
