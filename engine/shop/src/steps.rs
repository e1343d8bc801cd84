//! How one part is made, step by step, in the words of the bench.

use crate::holes::{BoreStep, HoleRow, box_size};
use crate::planes::PlaneMarks;
use crate::purchase::Source;
use crate::words::{
    Along, BoardSide, Reading, as_set, bit_text, counted, edges_words, is_square, sink_text, when_words,
};
use slatwork_base::{Angle, Length};
use slatwork_catalog::{Section, Tools};
use slatwork_model::{Blank, BoardEdge, BoardEnd, Feature, FeatureKind, NotchPurpose, Part, Setting, When};
use slatwork_solid::{
    Across, DVec2, DVec3, HalfSpace, Notch, Path, Shape, Tag, Tolerance, build, common_bounds,
};

/// What kind of work a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Work {
    /// Planed thinner.
    Plane,
    /// Ripped to width.
    Rip,
    /// Strips glued edge to edge.
    Glue,
    /// An edge sawn or planed to an angle.
    BevelRip,
    /// Cut to length.
    Crosscut,
    /// Sawn to a pattern.
    Outline,
    /// Wood taken out.
    Notch,
    /// Bored.
    Bore,
    /// Edges rounded over.
    RoundOver,
    /// Bent when fixed.
    Spring,
    /// Offered up and trimmed.
    Fit,
}

impl Work {
    /// The word for it in tables.
    pub fn word(self) -> &'static str {
        match self {
            Work::Plane => "plane",
            Work::Rip => "rip",
            Work::Glue => "glue up",
            Work::BevelRip => "bevel rip",
            Work::Crosscut => "crosscut",
            Work::Outline => "outline",
            Work::Notch => "notch",
            Work::Bore => "bore",
            Work::RoundOver => "round over",
            Work::Spring => "spring",
            Work::Fit => "fit",
        }
    }
}

/// One step of making a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutStep {
    /// Kind of work.
    pub work: Work,
    /// What to do, lengths as the tape reads them.
    pub words: String,
    /// When, in words; "at the bench" for most.
    pub when: String,
}

/// What the words depend on.
#[derive(Clone, Copy)]
pub(crate) struct Bench<'a> {
    pub(crate) reading: Reading,
    pub(crate) tools: &'a Tools,
    pub(crate) section: &'a Section,
    /// Parts of one outline: the set's, and those of its mirrored mate.
    pub(crate) alike: usize,
    /// The boards that the blanks come from.
    pub(crate) sources: &'a [Source],
    /// Equal pieces that the boards are for.
    pub(crate) pieces: usize,
}

/// The steps of a part in the order of shop work: first what is done at the bench, then what is marked from other parts,
/// then what is done in place.
pub(crate) fn steps_of(part: &Part, holes: Vec<HoleRow>, bench: Bench) -> Vec<CutStep> {
    let mut steps = preparation(part, bench);
    steps.extend(bevel_rips(part, bench));
    steps.extend(crosscuts(part, bench));
    let mut later: Vec<&Feature> =
        part.features.iter().filter(|feature| feature.kind.rank() > CROSSCUT_RANK).collect();
    later.sort_by_key(|feature| (time(feature), feature.kind.rank()));
    // Edges are rounded when no saw goes along them any more: after what is offered up and trimmed.
    let after_fit = later.iter().position(|feature| time(feature) > LAST_SHAPED).unwrap_or(later.len());
    let (before, after) = later.split_at(after_fit);
    let mut holes = Some(holes);
    steps.extend(made(part, before, &mut holes, bench));
    steps.extend(fitting(part, bench.reading));
    steps.extend(made(part, after, &mut holes, bench));
    steps.extend(bore_steps(&holes.unwrap_or_default(), bench.reading));
    steps
}

/// The steps of features in order; all holes with the first of them, and equal outlines in one.
fn made(part: &Part, features: &[&Feature], holes: &mut Option<Vec<HoleRow>>, bench: Bench) -> Vec<CutStep> {
    let reading = bench.reading;
    let mut steps: Vec<CutStep> = Vec::new();
    let mut index = 0;
    while let Some(feature) = features.get(index) {
        index += 1;
        let when = when_words(&feature.when);
        match &feature.kind {
            FeatureKind::Hole { .. } => steps.extend(bore_steps(&holes.take().unwrap_or_default(), reading)),
            FeatureKind::Outline { what, .. } => {
                let alike = |other: &&&Feature| {
                    matches!(&other.kind, FeatureKind::Outline { what: own, .. } if own == what)
                        && other.when == feature.when
                };
                let rest = features[index..].iter().take_while(alike).count();
                let mut words = outline_words(part, &features[index - 1..index + rest]);
                if feature.when == When::AtBench {
                    words += &stack_words(part, bench);
                }
                index += rest;
                steps.push(CutStep { work: Work::Outline, words, when });
            }
            kind => {
                let shaped = shaping(part, kind, reading);
                steps.extend(shaped.map(|(work, words)| CutStep { work, words, when }));
            }
        }
    }
    steps
}

/// Rank of [`FeatureKind::EndCut`]: what ranks higher follows the crosscuts.
const CROSSCUT_RANK: u8 = 3;

/// When a feature is made: at the bench, marked from another part, then (the part fitted) the softening, then what is done
/// with other parts in their places.
fn time(feature: &Feature) -> u8 {
    match (&feature.when, &feature.kind) {
        (When::AtBench | When::MarkedFrom { .. }, FeatureKind::Soften { .. }) => LAST_SHAPED + 1,
        (When::AtBench, _) => 0,
        (When::MarkedFrom { .. }, _) => LAST_SHAPED,
        (When::Through { .. }, _) => LAST_SHAPED + 2,
        (When::InPlace { .. }, _) => LAST_SHAPED + 3,
    }
}

/// The [`time`] of the last shaping before the part is fitted.
const LAST_SHAPED: u8 = 1;

fn at_bench(work: Work, words: String) -> CutStep {
    CutStep { work, words, when: when_words(&When::AtBench) }
}

/// Planing, ripping, gluing up.
fn preparation(part: &Part, bench: Bench) -> Vec<CutStep> {
    let reading = bench.reading;
    let mut steps = Vec::new();
    if let Blank::GluedUp { strips, how } = &part.blank {
        for strip in strips {
            let (width, length) = (reading.text(strip.width), reading.text(strip.length));
            let words = format!("{}: rip {} to {width}, crosscut to {length}", strip.name, strip.section);
            steps.push(at_bench(Work::Rip, words));
        }
        let words = format!("Glue {} {}", counted(strips.len(), "strip"), how.words());
        steps.push(at_bench(Work::Glue, words));
    }
    for feature in &part.features {
        if let FeatureKind::Plane { thickness, from } = feature.kind {
            let words = format!("Plane from {} to {} thick", reading.text(from), reading.text(thickness));
            steps.push(CutStep { work: Work::Plane, words, when: when_words(&feature.when) });
        }
    }
    steps.extend(rip(part, bench));
    steps
}

/// How a part is ripped; not at all where every one is traced in a nest and sawn out.
fn rip(part: &Part, bench: Bench) -> Option<CutStep> {
    let reading = bench.reading;
    let asked = part.features.iter().find_map(|feature| match feature.kind {
        FeatureKind::Rip { from, .. } => Some((from, when_words(&feature.when))),
        _ => None,
    });
    let solid = matches!(part.blank, Blank::Solid);
    if solid && bench.sources.iter().any(|own| own.is_ripped && own.section != bench.section.name) {
        let when = asked.map_or_else(|| when_words(&When::AtBench), |(_, when)| when);
        return Some(CutStep { work: Work::Rip, words: rip_from_boards(part, bench), when });
    }
    if !bench.sources.is_empty() && bench.sources.iter().all(|own| own.is_nested) {
        return None;
    }
    let narrower = solid && part.rough_width < bench.section.width;
    let (from, when) = match asked {
        Some(asked) => asked,
        None if narrower => (bench.section.width, when_words(&When::AtBench)),
        None => return None,
    };
    let strips = Strips::of(from, part.rough_width, bench.tools.rip_kerf);
    let mut words = format!("Rip from {} to {}", reading.text(from), reading.true_text(part.rough_width));
    if solid && strips.count > 0 {
        words += &format!(": {} from one width", counted(strips.count, "strip"));
        if reading.tape.read(strips.left).mark.is_positive() {
            words += &format!(", {} left over", reading.text(strips.left));
        }
    }
    words += short_words(part);
    Some(CutStep { work: Work::Rip, words, when })
}

/// From which boards a part is ripped that comes from others than its own section.
fn rip_from_boards(part: &Part, bench: Bench) -> String {
    let reading = bench.reading;
    let width = reading.true_text(part.rough_width);
    let board = |source: &Source| format!("{} ({} wide)", source.section, reading.text(source.board_width));
    let words = match bench.sources {
        [source] => format!("Rip from {} to {width}, as the boards are laid out", board(source)),
        sources => {
            let told = |source: &Source| match source.is_ripped {
                true => format!("{} from {}", source.pieces, board(source)),
                false if source.is_nested => format!("{} from {}", source.pieces, source.words()),
                false => format!("{} as wide as the {} already", source.pieces, source.section),
            };
            let told: Vec<String> = sources.iter().map(told).collect();
            format!(
                "Rip to {width}, as the boards are laid out{}: {}",
                for_all(bench.pieces),
                told.join("; ")
            )
        }
    };
    words + short_words(part)
}

/// Said where counts are those of several pieces.
pub(crate) fn for_all(pieces: usize) -> String {
    if pieces > 1 { format!(" for all {pieces} pieces") } else { String::new() }
}

fn short_words(part: &Part) -> &'static str {
    if part.rough_length < SHORT {
        "; too short to rip by itself: rip a longer board, then cut it off"
    } else {
        ""
    }
}

/// Shorter pieces are not fed to a saw by themselves, but cut from a longer one (common practice, no source).
pub const SHORT: Length = Length::nm(300_000_000);

/// Equal strips out of one width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Strips {
    /// How many: floor((from + kerf) / (width + kerf)).
    pub count: usize,
    /// Width of what is left after the last kerf.
    pub left: Length,
}

impl Strips {
    /// Strips of a width ripped from a wider board; none when it is no wider.
    pub fn of(from: Length, width: Length, kerf: Length) -> Self {
        let count =
            (from + kerf).div_rem(width + kerf).map_or(0, |(count, _)| usize::try_from(count).unwrap_or(0));
        let taken =
            Length::nm((width + kerf).as_nm().saturating_mul(i64::try_from(count).unwrap_or(i64::MAX)));
        Strips { count, left: (from - taken).max(Length::ZERO) }
    }
}

fn bevel_rips(part: &Part, bench: Bench) -> Vec<CutStep> {
    let step = |feature: &Feature| {
        let FeatureKind::BevelRip { edge, angle, plane } = &feature.kind else { return None };
        let words = bevel_words(part, *edge, *angle, plane, bench.reading);
        Some(CutStep { work: Work::BevelRip, words, when: when_words(&feature.when) })
    };
    part.features.iter().filter_map(step).collect()
}

fn bevel_words(part: &Part, edge: BoardEdge, angle: Angle, plane: &HalfSpace, reading: Reading) -> String {
    let wider = if angle.as_deg() < 0.0 { "back face" } else { "marked face" };
    let marks = PlaneMarks::of(plane, box_size(part));
    let mut words =
        format!("Bevel the {} at {}, {wider} the wider", BoardSide::edge(edge).word(), as_set(angle.abs()));
    if marks.along == Along::Width {
        let on_marked = marks.marks[2];
        words += &format!(", to {} from the datum edge on the marked face", reading.text(on_marked));
        let taper = marks.marks[1] - marks.marks[0];
        if taper.abs() > reading.step() {
            words += &format!(" at the datum end and {} at the far end", reading.text(on_marked + taper));
        }
    }
    words
}

/// Cutting to length: square, or with mitre and bevel at either end.
fn crosscuts(part: &Part, bench: Bench) -> Vec<CutStep> {
    let reading = bench.reading;
    let cut_at = |end: BoardEnd| {
        part.features.iter().find_map(|feature| match &feature.kind {
            FeatureKind::EndCut { end: own, setting, plane } if *own == end => {
                Some((feature, *setting, *plane))
            }
            _ => None,
        })
    };
    let (low, high) = (cut_at(BoardEnd::Low), cut_at(BoardEnd::High));
    let rough = part.rough_length > part.length;
    let turned =
        if bench.tools.crosscut_from_two_faces(part.thickness) { ", sawn from two faces" } else { "" };
    let mut steps = Vec::new();
    if rough || (low.is_none() && high.is_none()) {
        let words = match rough {
            true => format!(
                "Crosscut square to {} rough, finished {}{turned}",
                reading.text(part.rough_length),
                reading.true_text(part.length)
            ),
            false => format!("Crosscut square to {}{turned}", reading.true_text(part.rough_length)),
        };
        steps.push(at_bench(Work::Crosscut, words));
    } else if low.is_none() {
        steps.push(at_bench(Work::Crosscut, format!("Square the datum end{turned}")));
    }
    for (end, cut) in [(BoardEnd::Low, low), (BoardEnd::High, high)] {
        if let Some((feature, setting, plane)) = cut {
            let words = end_words(part, end, setting, &plane, reading);
            steps.push(CutStep { work: Work::Crosscut, words, when: when_words(&feature.when) });
        }
    }
    if !rough && low.is_some() && high.is_none() {
        let words = format!("Cut the far end square, {} over all{turned}", reading.true_text(part.length));
        steps.push(at_bench(Work::Crosscut, words));
    }
    steps
}

/// The saw's setting in words: "mitre 12°, far edge the longer; blade tilted 4°, marked face the longer".
pub(crate) fn setting_words(setting: Setting) -> String {
    let mut words = Vec::new();
    if shown(setting.mitre) {
        let longer = if setting.mitre.as_deg() > 0.0 { "far edge" } else { "datum edge" };
        words.push(format!("mitre {}, {longer} the longer", as_set(setting.mitre.abs())));
    }
    if shown(setting.bevel) {
        let longer = if setting.bevel.as_deg() > 0.0 { "marked face" } else { "back face" };
        words.push(format!("blade tilted {}, {longer} the longer", as_set(setting.bevel.abs())));
    }
    if words.is_empty() { String::from("square") } else { words.join("; ") }
}

fn shown(angle: Angle) -> bool {
    !is_square(angle)
}

fn end_words(part: &Part, end: BoardEnd, setting: Setting, plane: &HalfSpace, reading: Reading) -> String {
    let size = box_size(part);
    let marks = PlaneMarks::of(plane, size);
    let mut words =
        format!("Cut the {}, marked face up: {}", BoardSide::end(end).word(), setting_words(setting));
    if marks.along == Along::Length {
        // On the marked face: the third mark, and the one across from it.
        let near = marks.marks[2];
        let far = near + marks.marks[1] - marks.marks[0];
        words += &match (near - far).abs() > reading.step() {
            true => {
                let (from, to) = line_on_board([near, far], part, reading);
                format!("; line across the marked face from {from} to {to}")
            }
            false => format!("; {} from the datum end on the marked face", reading.true_text(near)),
        };
    }
    words
}

/// Where a line across the marked face, given by its places at the two edges, starts and ends. Where it leaves the board over
/// an end before it gets to the edge, that point of the end is told: what lies off the board cannot be marked.
fn line_on_board(places: [Length; 2], part: &Part, reading: Reading) -> (String, String) {
    let width = part.width.as_mm();
    let point = |index: usize| {
        let (own, other) = (places[index], places[1 - index]);
        let edge = if index == 0 { "datum edge" } else { "far edge" };
        let over = match reading.tape.read(own).mark {
            mark if mark < Length::ZERO => Some((Length::ZERO, "datum end")),
            mark if mark > reading.tape.read(part.length).mark => Some((part.length, "far end")),
            _ => None,
        };
        let Some((end, name)) = over else { return format!("{} at the {edge}", reading.true_text(own)) };
        // From the other edge, this share of the width lies before the end.
        let share = (end - other).as_mm() / (own - other).as_mm();
        let from_other = Length::mm(width * share.clamp(0.0, 1.0));
        let from_datum = if index == 0 { part.width - from_other } else { from_other };
        format!("a point on the {name} {} from the datum edge", reading.true_text(from_datum))
    };
    (point(0), point(1))
}

/// One line, or several of one name: "Saw the taper along both edges to its pattern".
fn outline_words(part: &Part, features: &[&Feature]) -> String {
    let mut what = "";
    let mut places: Vec<&str> = Vec::new();
    for feature in features {
        if let FeatureKind::Outline { line, what: own } = &feature.kind {
            what = own;
            places.extend(place_of_line(part, line));
        }
    }
    let both =
        places.len() == 2 && places.iter().all(|place| place.ends_with("edge")) && places[0] != places[1];
    let place = match places.as_slice() {
        _ if both => String::from(" along both edges"),
        [one] => format!(" {one}"),
        _ => String::new(),
    };
    let at_bench = features.iter().any(|feature| feature.when == When::AtBench);
    let first = if at_bench && loses_datum(part, &places) { MARK_FIRST } else { "" };
    format!("Saw the {what}{place} to its pattern, outside the line, and fair to it{first}")
}

/// Whether a part is bored, and a line takes the edge or end that its holes are measured from.
fn loses_datum(part: &Part, places: &[&str]) -> bool {
    let is_bored = part.features.iter().any(|feature| matches!(feature.kind, FeatureKind::Hole { .. }));
    is_bored && (places.is_empty() || places.iter().any(|place| place.contains("datum")))
}

const MARK_FIRST: &str = "; mark the holes before, while the edges they are measured from are there";

/// How many parts of one outline are sawn and faired in one stack, as far as the band saw's depth goes; those of the other hand
/// lie turned over.
fn stack_words(part: &Part, bench: Bench) -> String {
    let thick = if part.shape.across == Across::Thickness { part.thickness } else { part.width };
    let most = (bench.tools.band_saw_depth.as_mm() / thick.as_mm()).floor() as usize;
    let high = |count: usize| bench.reading.text(Length::mm(thick.as_mm() * count as f64));
    match (bench.alike, most.min(bench.alike)) {
        (_, 0 | 1) => String::new(),
        (2, 2) => format!("; both in one stack, {} high", high(2)),
        (all, stack) if all == stack => format!("; all {all} in one stack, {} high", high(all)),
        (_, stack) => format!("; in stacks of {stack}, {} high", high(stack)),
    }
}

/// Which edge or face a line runs along, or which end it goes across; `None` for one round several sides.
fn place_of_line(part: &Part, line: &Path) -> Option<&'static str> {
    // A line that comes home goes all round, however little it takes off some side.
    if line.start().distance(line.end()) <= TOUCHING.as_mm() {
        return None;
    }
    let size = box_size(part);
    let (high, sides) = match part.shape.across {
        Across::Thickness => (size.y, ["along the datum edge", "along the far edge"]),
        Across::Width => (size.z, ["along the back face", "along the marked face"]),
    };
    let points: Vec<DVec2> = (0..=OUTLINE_POINTS)
        .map(|step| line.point_at(line.length() * f64::from(step) / f64::from(OUTLINE_POINTS)))
        .map(|point| point.clamp(DVec2::ZERO, DVec2::new(size.x, high)))
        .collect();
    let (low, top) = points
        .iter()
        .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(low, top), point| (low.min(*point), top.max(*point)));
    let middle = points.iter().copied().sum::<DVec2>() / points.len() as f64;
    // Across the board from edge to edge: an end.
    if low.y <= TOUCHING.as_mm() && top.y >= high - TOUCHING.as_mm() {
        let near_end = (top.x - low.x) * 2.0 < size.x;
        return near_end.then_some(if middle.x * 2.0 < size.x {
            "at the datum end"
        } else {
            "at the far end"
        });
    }
    Some(sides[usize::from(middle.y * 2.0 > high)])
}

/// So many stretches of a line are looked at to see where it runs.
const OUTLINE_POINTS: u16 = 64;

/// Notch, rounding over, springing.
fn shaping(part: &Part, kind: &FeatureKind, reading: Reading) -> Option<(Work, String)> {
    match kind {
        FeatureKind::Notch { .. } => Some((Work::Notch, notch_words(part, kind, reading)?)),
        FeatureKind::Soften { edges, radius, length } => {
            let words = format!(
                "Round over the {} to {}, {} of edge",
                edges_words(edges),
                reading.text(*radius),
                reading.text(*length)
            );
            Some((Work::RoundOver, words))
        }
        FeatureKind::Spring { rise } => Some((
            Work::Spring,
            format!("Leave straight; pulled down {} in the middle when fixed", reading.text(*rise)),
        )),
        _ => None,
    }
}

fn notch_words(part: &Part, kind: &FeatureKind, reading: Reading) -> Option<String> {
    let FeatureKind::Notch { regions, purpose, from_end, along, from_edge, across, depth, wall, clearance } =
        kind
    else {
        return None;
    };
    if let (NotchPurpose::Tenon { into }, Some(tenon)) = (purpose, Tenon::of(part, regions)) {
        let end = if *from_end <= TOUCHING { "datum end" } else { "far end" };
        return Some(format!("Tenon into {into} on the {end}: {}", tenon.words(*along, reading)));
    }
    let mut words = format!("{}: ", purpose_words(purpose));
    let whole = [(*from_end, *along), (*from_edge, *across)];
    let straight = regions.len() <= STRAIGHT_REGIONS;
    let opening = opening(part, regions);
    let on_face = opening.along == Along::Thickness;
    let faces = on_faces(part, regions).filter(|_| on_face && straight && shown(*wall));
    words += &match faces {
        Some([marked, back]) if (0..2).any(|axis| differs(axis, marked, back, reading)) => format!(
            "on the marked face {}; on the back face {}",
            span_words(part, marked, [true, true], reading),
            span_words(part, back, [0, 1].map(|axis| differs(axis, marked, back, reading)), reading)
        ),
        _ if on_face => span_words(part, whole, [true, true], reading),
        _ => edge_span_words(part, whole, through_thickness(part, regions), opening.along, reading),
    };
    let deep = [*along, *across, *depth][opening.along.index()];
    words += &match (opening.side, opening.along) {
        (None, Along::Thickness) if takes_end(part, whole) => {
            String::from(", through: the whole end comes off")
        }
        (None, Along::Thickness) => String::from(", through"),
        (None, Along::Width) => String::from(", through from edge to edge"),
        (None, Along::Length) => String::from(", through from end to end"),
        (Some(side), _) => format!(", {} deep from the {}", reading.text(deep), side.word()),
    };
    // A hollow of many regions follows a curve, which no angle tells.
    if !straight {
        words += "; to the line of the other part";
    } else if shown(*wall) {
        let widest = if faces.is_none() { ", sizes where it is widest" } else { "" };
        words += &format!("; walls lean up to {} from square{widest}", as_set(wall.abs()));
    }
    if clearance.is_positive() {
        words += &play_words(*clearance, reading);
    }
    Some(words)
}

/// Whether what is taken right through a board leaves nothing beside it up to an end.
fn takes_end(part: &Part, [(from_end, along), (from_edge, across)]: Spans) -> bool {
    let right_across = from_edge <= TOUCHING && part.width - from_edge - across <= TOUCHING;
    right_across && (from_end <= TOUCHING || part.length - from_end - along <= TOUCHING)
}

/// The room that is left round the other part; what no tape shows is fitted by hand.
fn play_words(clearance: Length, reading: Reading) -> String {
    if reading.tape.read(clearance).mark.is_positive() {
        format!("; {} play", reading.text(clearance))
    } else {
        String::from("; a close fit")
    }
}

/// Where something begins and how far it goes, along the board and across it.
type Spans = [(Length, Length); 2];

/// How a notch is marked out: along the board, across it, or both.
fn span_words(part: &Part, [length, width]: Spans, told: [bool; 2], reading: Reading) -> String {
    let along = format!("{} from the datum end, {} along", reading.text(length.0), reading.text(length.1));
    let (from_edge, across) = width;
    let beside = match (from_edge <= TOUCHING, part.width - from_edge - across <= TOUCHING) {
        (true, true) => String::from("right across"),
        (true, false) => format!("{} in from the datum edge", reading.text(across)),
        (false, true) => format!("{} in from the far edge", reading.text(across)),
        (false, false) => {
            format!("{} from the datum edge, {} across", reading.text(from_edge), reading.text(across))
        }
    };
    let words: Vec<String> =
        [along, beside].into_iter().zip(told).filter_map(|(own, told)| told.then_some(own)).collect();
    words.join(", ")
}

/// How a notch in an edge or an end is marked out there: along the board or across it, and through its thickness.
fn edge_span_words(
    part: &Part,
    spans: Spans,
    (from_back, thick): (Length, Length),
    opening: Along,
    reading: Reading,
) -> String {
    let told = [opening != Along::Length, opening != Along::Width];
    let (off, wide) = (reading.text(from_back), reading.text(thick));
    format!("{}, {off} off the back face, {wide} wide", span_words(part, spans, told, reading))
}

/// Whether two faces are marked out apart, along the board or across it.
fn differs(axis: usize, one: Spans, other: Spans, reading: Reading) -> bool {
    let words = |spans: Spans| [spans[axis].0, spans[axis].1].map(|length| reading.text(length));
    words(one) != words(other)
}

/// Where a notch opens on the marked face and on the back face; `None` when it does not open on both.
fn on_faces(part: &Part, regions: &[Notch]) -> Option<[Spans; 2]> {
    let size = box_size(part);
    let board = build(&Shape::board(size.x, size.y, size.z), &Tolerance::default()).ok()?;
    let spans = |from: f64| {
        let slab = [(DVec3::NEG_Z, -from), (DVec3::Z, from + SKIN)];
        let slab = slab.map(|(normal, offset)| HalfSpace { normal, offset, tag: Tag::default() });
        let opening = |region: &Notch| common_bounds(&board, &[&region.planes[..], &slab[..]].concat());
        let all = regions.iter().filter_map(opening).reduce(|all, one| all.union(&one))?;
        let span = |axis: usize| (Length::mm(all.min[axis]), Length::mm(all.max[axis] - all.min[axis]));
        Some([span(0), span(1)])
    };
    Some([spans(size.z - SKIN)?, spans(0.0)?])
}

/// What is looked at as the face of a board, mm: too thin for a leaning wall to move in it by a mark of any tape.
const SKIN: f64 = 0.01;

/// The wood that the shoulders leave.
struct Tenon {
    /// Off the low side, and how thick.
    thick: (Length, Length),
    wide: (Length, Length),
    /// Whether it is thick through the board's thickness, not across its width.
    through_thickness: bool,
}

impl Tenon {
    /// Read off its shoulders: two for its cheeks, two more where it is narrower than the board.
    fn of(part: &Part, regions: &[Notch]) -> Option<Tenon> {
        let wall = |region: usize| regions.get(region).and_then(|region| region.planes.get(1));
        let between = |low: usize, high: usize| {
            let (low, high) = (wall(low)?.offset, -wall(high)?.offset);
            Some((Length::mm(low), Length::mm(high - low)))
        };
        let through_thickness = wall(0)?.normal.z.abs() > 0.5;
        let whole = if through_thickness { part.width } else { part.thickness };
        let wide = between(2, 3).unwrap_or((Length::ZERO, whole));
        Some(Tenon { thick: between(0, 1)?, wide, through_thickness })
    }

    fn words(&self, long: Length, reading: Reading) -> String {
        let text = |length: Length| reading.text(length);
        let (low, other) =
            if self.through_thickness { ("back face", "datum edge") } else { ("datum edge", "back face") };
        let mut words = format!(
            "{} long, {} thick, {} off the {low}, {} wide",
            text(long),
            text(self.thick.1),
            text(self.thick.0),
            text(self.wide.1)
        );
        if self.wide.0.is_positive() {
            words += &format!(", {} off the {other}", text(self.wide.0));
        }
        words + "; shoulders square"
    }
}

/// A notch this near to an edge is open to it: the tolerance within which boards touch.
pub(crate) const TOUCHING: Length = Length::nm(10_000);

/// A straight part, notched itself, is told in up to so many convex regions; a curved one takes more.
pub(crate) const STRAIGHT_REGIONS: usize = 4;

/// Where a notch is cut in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Opening {
    /// The direction it is cut in.
    pub(crate) along: Along,
    /// The side it is cut from; `None` when it goes through.
    pub(crate) side: Option<BoardSide>,
}

/// Where a notch is cut in: through where it goes through in any of its regions, else from a face where any opens there.
pub(crate) fn opening(part: &Part, regions: &[Notch]) -> Opening {
    let all = regions.iter().map(|region| region_opening(part, region));
    let is_told = |own: &Opening| own.side.is_none() || own.along == Along::Thickness;
    let one = all.reduce(|all, one| match (all.side, is_told(&all) && !is_told(&one)) {
        (None, _) | (_, true) => all,
        _ => one,
    });
    one.unwrap_or(Opening { along: Along::Thickness, side: None })
}

/// From a face, where it comes out at one; from an edge, where it is closed to both faces; else from an end.
fn region_opening(part: &Part, notch: &Notch) -> Opening {
    let size = box_size(part);
    let open = |along: Along| {
        let axis = along.index();
        let wall = |sign: f64| notch.planes.iter().find(|plane| plane.normal[axis] * sign > SQUARE_ON);
        let low = wall(-1.0).is_none_or(|plane| -plane.offset <= TOUCHING.as_mm());
        let high = wall(1.0).is_none_or(|plane| plane.offset >= size[axis] - TOUCHING.as_mm());
        (along, low, high)
    };
    let ways = [Along::Thickness, Along::Width, Along::Length].map(open);
    // What is closed all round cannot be cut; it is told from the marked face.
    let (along, low, high) =
        ways.into_iter().find(|(_, low, high)| *low || *high).unwrap_or((Along::Thickness, false, true));
    Opening { along, side: (low != high).then_some(BoardSide { along, high }) }
}

/// A wall closes the direction that it lies most squarely across (as a cosine).
const SQUARE_ON: f64 = 0.7;

/// What a notch takes of the board from the back face up: where it begins, and how far it goes.
pub(crate) fn through_thickness(part: &Part, regions: &[Notch]) -> (Length, Length) {
    let size = box_size(part);
    let board = build(&Shape::board(size.x, size.y, size.z), &Tolerance::default()).ok();
    let bounds = |region: &Notch| common_bounds(board.as_ref()?, &region.planes);
    let all = regions.iter().filter_map(bounds).reduce(|all, one| all.union(&one));
    all.map_or((Length::ZERO, part.thickness), |all| {
        (Length::mm(all.min.z), Length::mm(all.max.z - all.min.z))
    })
}

fn purpose_words(purpose: &NotchPurpose) -> String {
    match purpose {
        NotchPurpose::Cope { around } => format!("Cope round {around}"),
        NotchPurpose::Housing { of } => format!("Housing for {of}"),
        NotchPurpose::HalfLap { with } => format!("Half lap with {with}"),
        NotchPurpose::Tenon { into } => format!("Tenon shoulder, into {into}"),
        NotchPurpose::Mortise { of } => format!("Mortise for {of}"),
        NotchPurpose::Plain => String::from("Notch"),
    }
}

/// One step for all holes that are bored alike.
fn bore_steps(holes: &[HoleRow], reading: Reading) -> Vec<CutStep> {
    let mut groups: Vec<Vec<&HoleRow>> = Vec::new();
    for hole in holes {
        match groups.iter_mut().find(|group| bored_alike(group[0], hole)) {
            Some(group) => group.push(hole),
            None => groups.push(vec![hole]),
        }
    }
    let step = |group: &Vec<&HoleRow>| CutStep {
        work: Work::Bore,
        words: bore_words(group, reading),
        when: group[0].when.clone(),
    };
    groups.iter().map(step).collect()
}

fn bored_alike(a: &HoleRow, b: &HoleRow) -> bool {
    let lean = |row: &HoleRow| row.lean.map(|lean| lean.map(|angle| as_set(angle).to_string()));
    let sink = |row: &HoleRow| (row.countersink, row.turned.clone());
    let alike = a.side == b.side && a.purpose == b.purpose && a.when == b.when && a.bores == b.bores;
    alike && sink(a) == sink(b) && lean(a) == lean(b)
}

fn bore_words(group: &[&HoleRow], reading: Reading) -> String {
    let first = group[0];
    let start = first.bores.first().map_or(Length::ZERO, |bore| bore.from);
    let sizes: Vec<String> = first.bores.iter().map(|bore| bore_text(*bore, start, reading)).collect();
    let mut words = format!("Bore {} from the {}", counted(group.len(), "hole"), first.side.word());
    words += &format!(" ({}): {}", reading.purpose_text(&first.purpose), sizes.join(", then "));
    if shown(first.lean_total) {
        words += &format!(", {}", lean_words(first));
    }
    if let Some(wide) = first.countersink {
        words += &format!(", countersunk {} wide", sink_text(wide, reading.tape));
        if !first.turned.is_empty() {
            words += &format!(" (in {} from the other side)", first.turned.join(", "));
        }
    }
    let places: Vec<String> = group.iter().map(|hole| place_words(hole, reading)).collect();
    format!("{words}; at {}", places.join("; "))
}

/// Depth counts from where the hole starts, which on a sprung or notched part lies below the box.
fn bore_text(bore: BoreStep, start: Length, reading: Reading) -> String {
    let size = bit_text(bore.diameter, reading.tape);
    match bore.to {
        None => format!("{size} through"),
        Some(to) => format!("{size} to {} deep", reading.text(to - start)),
    }
}

fn lean_words(hole: &HoleRow) -> String {
    let toward = |(along, lean): (Along, Option<Angle>)| {
        let lean = lean.filter(|lean| shown(*lean))?;
        let side = BoardSide { along, high: lean.as_deg() > 0.0 };
        Some(format!("{} toward the {}", as_set(lean.abs()), side.word()))
    };
    let leans: Vec<String> = Along::ALL.into_iter().zip(hole.lean).filter_map(toward).collect();
    format!("leaning {}", leans.join(" and "))
}

fn place_words(hole: &HoleRow, reading: Reading) -> String {
    let from = |along: Along| BoardSide { along, high: false }.word();
    let places = Along::ALL.into_iter().zip(hole.at);
    let texts: Vec<String> = places
        .filter_map(|(along, at)| Some(format!("{} from the {}", reading.rule_text(at?), from(along))))
        .collect();
    texts.join(", ")
}

fn fitting(part: &Part, reading: Reading) -> Option<CutStep> {
    let fit = part.fit.as_ref()?;
    let words = format!("Cut {} over size; offer up and trim the {}", reading.text(fit.allowance), fit.trim);
    Some(CutStep { work: Work::Fit, words, when: String::from("at the bench, once its neighbours stand") })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// floor((3.5 + 0.125) / (1.0 + 0.125)) = 3, leaving 3.5 - 3 x 1.125 = 0.125 in.
    #[test]
    fn strips_take_a_kerf_each() {
        let kerf = Length::sixty_fourths(8);
        let of = |width: f64| Strips::of(Length::inch(3.5), Length::inch(width), kerf);
        assert_eq!(of(1.0), Strips { count: 3, left: Length::inch(0.125) });
        assert_eq!(of(1.75), Strips { count: 1, left: Length::inch(1.625) });
        assert_eq!(of(3.5), Strips { count: 1, left: Length::ZERO });
        assert_eq!(of(4.0), Strips { count: 0, left: Length::inch(3.5) });
    }

    #[test]
    fn settings_say_which_side_is_longer() {
        let set =
            |mitre, bevel| setting_words(Setting { mitre: Angle::deg(mitre), bevel: Angle::deg(bevel) });
        assert_eq!(set(0.0, 0.04), "square");
        assert_eq!(set(12.0, 0.0), "mitre 12°, far edge the longer");
        assert_eq!(
            set(-12.46, -4.0),
            "mitre 12.5°, datum edge the longer; blade tilted 4°, back face the longer"
        );
    }
}
