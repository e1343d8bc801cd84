//! How one part is made, step by step, in the words of the bench.

use crate::holes::{BoreStep, HoleRow, box_size, holes_of};
use crate::planes::PlaneMarks;
use crate::words::{Along, BoardSide, bit_text, counted, when_words};
use slatwork_base::{Angle, Length, Tape};
use slatwork_catalog::{Section, Tools};
use slatwork_model::{
    Blank, BoardEdge, BoardEnd, Feature, FeatureKind, NotchPurpose, Part, PartSet, Setting, When,
};
use slatwork_solid::{HalfSpace, Notch};

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
    pub(crate) tape: Tape,
    pub(crate) tools: &'a Tools,
    pub(crate) section: &'a Section,
}

/// The steps of a part in the order of shop work: first what is done at the bench, then what is marked from other parts,
/// then what is done in place.
pub(crate) fn steps_of(part: &Part, set: &PartSet, bench: Bench) -> Vec<CutStep> {
    let mut steps = preparation(part, bench);
    steps.extend(bevel_rips(part, bench));
    steps.extend(crosscuts(part, bench));
    let mut later: Vec<&Feature> =
        part.features.iter().filter(|feature| feature.kind.rank() > CROSSCUT_RANK).collect();
    later.sort_by_key(|feature| (time(&feature.when), feature.kind.rank()));
    let holes = holes_of(set, part);
    let mut bored = false;
    for feature in later {
        if matches!(feature.kind, FeatureKind::Hole { .. }) {
            if !bored {
                steps.extend(bore_steps(&holes, bench.tape));
            }
            bored = true;
        } else if let Some((work, words)) = shaping(part, &feature.kind, bench.tape) {
            steps.push(CutStep { work, words, when: when_words(&feature.when) });
        }
    }
    if !bored {
        steps.extend(bore_steps(&holes, bench.tape));
    }
    steps.extend(fitting(part, bench.tape));
    steps
}

/// Rank of [`FeatureKind::EndCut`]: what ranks higher follows the crosscuts.
const CROSSCUT_RANK: u8 = 3;

fn time(when: &When) -> u8 {
    match when {
        When::AtBench => 0,
        When::MarkedFrom { .. } => 1,
        When::InPlace { .. } => 2,
    }
}

fn at_bench(work: Work, words: String) -> CutStep {
    CutStep { work, words, when: when_words(&When::AtBench) }
}

/// Planing, ripping, gluing up.
fn preparation(part: &Part, bench: Bench) -> Vec<CutStep> {
    let tape = bench.tape;
    let mut steps = Vec::new();
    if let Blank::GluedUp { strips, how } = &part.blank {
        for strip in strips {
            let (width, length) = (tape.text(strip.width), tape.text(strip.length));
            let words = format!("{}: rip {} to {width}, crosscut to {length}", strip.name, strip.section);
            steps.push(at_bench(Work::Rip, words));
        }
        let words = format!("Glue {} {}", counted(strips.len(), "strip"), how.words());
        steps.push(at_bench(Work::Glue, words));
    }
    for feature in &part.features {
        if let FeatureKind::Plane { thickness, from } = feature.kind {
            let words = format!("Plane from {} to {} thick", tape.text(from), tape.text(thickness));
            steps.push(CutStep { work: Work::Plane, words, when: when_words(&feature.when) });
        }
    }
    steps.extend(rip(part, bench));
    steps
}

fn rip(part: &Part, bench: Bench) -> Option<CutStep> {
    let tape = bench.tape;
    let asked = part.features.iter().find_map(|feature| match feature.kind {
        FeatureKind::Rip { from, .. } => Some((from, when_words(&feature.when))),
        _ => None,
    });
    let solid = matches!(part.blank, Blank::Solid);
    let narrower = solid && part.rough_width < bench.section.width;
    let (from, when) = match asked {
        Some(asked) => asked,
        None if narrower => (bench.section.width, when_words(&When::AtBench)),
        None => return None,
    };
    let strips = Strips::of(from, part.rough_width, bench.tools.rip_kerf);
    let mut words = format!("Rip from {} to {}", tape.text(from), tape.text(part.rough_width));
    if solid && strips.count > 0 {
        words += &format!(": {} from one width", counted(strips.count, "strip"));
        if strips.left.is_positive() {
            words += &format!(", {} left over", tape.text(strips.left));
        }
    }
    Some(CutStep { work: Work::Rip, words, when })
}

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
        let words = bevel_words(part, *edge, *angle, plane, bench.tape);
        Some(CutStep { work: Work::BevelRip, words, when: when_words(&feature.when) })
    };
    part.features.iter().filter_map(step).collect()
}

fn bevel_words(part: &Part, edge: BoardEdge, angle: Angle, plane: &HalfSpace, tape: Tape) -> String {
    let wider = if angle.as_deg() < 0.0 { "back face" } else { "marked face" };
    let marks = PlaneMarks::of(plane, box_size(part));
    let mut words =
        format!("Bevel the {} at {}, {wider} the wider", BoardSide::edge(edge).word(), angle.abs());
    if marks.along == Along::Width {
        let on_marked = marks.marks[2];
        words += &format!(", to {} from the datum edge on the marked face", tape.text(on_marked));
        let taper = marks.marks[1] - marks.marks[0];
        if taper.abs() > tape.step() {
            words += &format!(" at the datum end and {} at the far end", tape.text(on_marked + taper));
        }
    }
    words
}

/// Cutting to length: square, or with mitre and bevel at either end.
fn crosscuts(part: &Part, bench: Bench) -> Vec<CutStep> {
    let tape = bench.tape;
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
    let mut steps = Vec::new();
    if rough || (low.is_none() && high.is_none()) {
        let mut words = format!("Crosscut square to {}", tape.text(part.rough_length));
        if rough {
            words += &format!(" rough, finished {}", tape.text(part.length));
        }
        steps.push(at_bench(Work::Crosscut, words));
    } else if low.is_none() {
        steps.push(at_bench(Work::Crosscut, String::from("Square the datum end")));
    }
    for (end, cut) in [(BoardEnd::Low, low), (BoardEnd::High, high)] {
        if let Some((feature, setting, plane)) = cut {
            let words = end_words(part, end, setting, &plane, tape);
            steps.push(CutStep { work: Work::Crosscut, words, when: when_words(&feature.when) });
        }
    }
    if !rough && low.is_some() && high.is_none() {
        let words = format!("Cut the far end square, {} over all", tape.text(part.length));
        steps.push(at_bench(Work::Crosscut, words));
    }
    steps
}

/// The saw's setting in words: "mitre 12°, far edge the longer; blade tilted 4°, marked face the longer".
pub(crate) fn setting_words(setting: Setting) -> String {
    let mut words = Vec::new();
    if shown(setting.mitre) {
        let longer = if setting.mitre.as_deg() > 0.0 { "far edge" } else { "datum edge" };
        words.push(format!("mitre {}, {longer} the longer", setting.mitre.abs()));
    }
    if shown(setting.bevel) {
        let longer = if setting.bevel.as_deg() > 0.0 { "marked face" } else { "back face" };
        words.push(format!("blade tilted {}, {longer} the longer", setting.bevel.abs()));
    }
    if words.is_empty() { String::from("square") } else { words.join("; ") }
}

/// Angles under this are square: half of the last digit shown.
const SQUARE: f64 = 0.005;

fn shown(angle: Angle) -> bool {
    angle.as_deg().abs() >= SQUARE
}

fn end_words(part: &Part, end: BoardEnd, setting: Setting, plane: &HalfSpace, tape: Tape) -> String {
    let size = box_size(part);
    let marks = PlaneMarks::of(plane, size);
    let mut words =
        format!("Cut the {}, marked face up: {}", BoardSide::end(end).word(), setting_words(setting));
    if marks.along == Along::Length {
        // On the marked face: the third mark, and the one across from it.
        let near = marks.marks[2];
        let far = near + marks.marks[1] - marks.marks[0];
        let from_datum = |mark: Length| tape.text(mark);
        words += &match (near - far).abs() > tape.step() {
            true => format!(
                "; line across the marked face from {} at the datum edge to {} at the far edge",
                from_datum(near),
                from_datum(far)
            ),
            false => format!("; {} from the datum end on the marked face", from_datum(near)),
        };
    }
    words
}

/// Outline, notch, rounding over, springing.
fn shaping(part: &Part, kind: &FeatureKind, tape: Tape) -> Option<(Work, String)> {
    match kind {
        FeatureKind::Outline { what, .. } => {
            Some((Work::Outline, format!("Saw the {what} to its pattern, outside the line, and fair to it")))
        }
        FeatureKind::Notch { .. } => Some((Work::Notch, notch_words(part, kind, tape)?)),
        FeatureKind::Soften { edges, radius, length } => {
            let words =
                format!("Round over {edges} to {}, {} of edge", tape.text(*radius), tape.text(*length));
            Some((Work::RoundOver, words))
        }
        FeatureKind::Spring { rise } => Some((
            Work::Spring,
            format!("Leave straight; pulled down {} in the middle when fixed", tape.text(*rise)),
        )),
        _ => None,
    }
}

fn notch_words(part: &Part, kind: &FeatureKind, tape: Tape) -> Option<String> {
    let FeatureKind::Notch { regions, purpose, from_end, along, from_edge, across, depth, wall, clearance } =
        kind
    else {
        return None;
    };
    let mut words = format!("{}: ", purpose_words(purpose));
    words += &format!("{} from the datum end, {} along", tape.text(*from_end), tape.text(*along));
    words += &match (*from_edge <= TOUCHING, part.width - *from_edge - *across <= TOUCHING) {
        (true, true) => String::from(", right across"),
        (true, false) => format!(", {} in from the datum edge", tape.text(*across)),
        (false, true) => format!(", {} in from the far edge", tape.text(*across)),
        (false, false) => {
            format!(", {} from the datum edge, {} across", tape.text(*from_edge), tape.text(*across))
        }
    };
    words += &match notch_face(part, regions) {
        None => String::from(", through"),
        Some(side) => format!(", {} deep from the {}", tape.text(*depth), side.word()),
    };
    // A hollow of many regions follows a curve, which no angle tells.
    if regions.len() > STRAIGHT_REGIONS {
        words += "; to the line of the other part";
    } else if shown(*wall) {
        words += &format!("; walls lean up to {} from square", wall.abs());
    }
    if clearance.is_positive() {
        words += &format!("; {} play", tape.text(*clearance));
    }
    Some(words)
}

/// A notch this near to an edge is open to it: the tolerance within which boards touch.
const TOUCHING: Length = Length::nm(10_000);

/// A straight part, notched itself, is told in up to so many convex regions; a curved one takes more.
const STRAIGHT_REGIONS: usize = 4;

/// The face that a notch is cut from; `None` when it goes through in any of its regions.
pub(crate) fn notch_face(part: &Part, regions: &[Notch]) -> Option<BoardSide> {
    let faces = regions.iter().map(|region| region_face(part, region));
    faces.reduce(|all, one| all.and(one)).flatten()
}

fn region_face(part: &Part, notch: &Notch) -> Option<BoardSide> {
    let size = box_size(part);
    let reach =
        |up: f64| notch.planes.iter().find(|plane| plane.normal.z * up > 0.7).map(|plane| plane.offset * up);
    let (ceiling, floor) = (reach(1.0), reach(-1.0));
    let open_above = ceiling.is_none_or(|z| z >= size.z - TOUCHING.as_mm());
    let open_below = floor.is_none_or(|z| z <= TOUCHING.as_mm());
    match (open_above, open_below) {
        (true, true) => None,
        (false, true) => Some(BoardSide { along: Along::Thickness, high: false }),
        _ => Some(BoardSide { along: Along::Thickness, high: true }),
    }
}

fn purpose_words(purpose: &NotchPurpose) -> String {
    match purpose {
        NotchPurpose::Cope { around } => format!("Cope round {around}"),
        NotchPurpose::Housing { of } => format!("Housing for {of}"),
        NotchPurpose::HalfLap { with } => format!("Half lap with {with}"),
        NotchPurpose::Tenon => String::from("Tenon shoulder"),
        NotchPurpose::Mortise => String::from("Mortise"),
        NotchPurpose::Plain => String::from("Notch"),
    }
}

/// One step for all holes that are bored alike.
fn bore_steps(holes: &[HoleRow], tape: Tape) -> Vec<CutStep> {
    let mut groups: Vec<Vec<&HoleRow>> = Vec::new();
    for hole in holes {
        match groups.iter_mut().find(|group| bored_alike(group[0], hole)) {
            Some(group) => group.push(hole),
            None => groups.push(vec![hole]),
        }
    }
    let step = |group: &Vec<&HoleRow>| CutStep {
        work: Work::Bore,
        words: bore_words(group, tape),
        when: group[0].when.clone(),
    };
    groups.iter().map(step).collect()
}

fn bored_alike(a: &HoleRow, b: &HoleRow) -> bool {
    let lean = |row: &HoleRow| row.lean.map(|lean| lean.map(|angle| angle.to_string()));
    a.side == b.side && a.purpose == b.purpose && a.when == b.when && a.bores == b.bores && lean(a) == lean(b)
}

fn bore_words(group: &[&HoleRow], tape: Tape) -> String {
    let first = group[0];
    let start = first.bores.first().map_or(Length::ZERO, |bore| bore.from);
    let sizes: Vec<String> = first.bores.iter().map(|bore| bore_text(*bore, start, tape)).collect();
    let mut words = format!("Bore {} from the {}", counted(group.len(), "hole"), first.side.word());
    words += &format!(" ({}): {}", first.purpose, sizes.join(", then "));
    if shown(first.lean_total) {
        words += &format!(", {}", lean_words(first));
    }
    let places: Vec<String> = group.iter().map(|hole| place_words(hole, tape)).collect();
    format!("{words}; at {}", places.join("; "))
}

/// Depth counts from where the hole starts, which on a sprung or notched part lies below the box.
fn bore_text(bore: BoreStep, start: Length, tape: Tape) -> String {
    let size = bit_text(bore.diameter, tape);
    match bore.to {
        None => format!("{size} through"),
        Some(to) => format!("{size} to {} deep", tape.text(to - start)),
    }
}

fn lean_words(hole: &HoleRow) -> String {
    let toward = |(along, lean): (Along, Option<Angle>)| {
        let lean = lean.filter(|lean| shown(*lean))?;
        let side = BoardSide { along, high: lean.as_deg() > 0.0 };
        Some(format!("{} toward the {}", lean.abs(), side.word()))
    };
    let leans: Vec<String> = Along::ALL.into_iter().zip(hole.lean).filter_map(toward).collect();
    format!("leaning {}", leans.join(" and "))
}

fn place_words(hole: &HoleRow, tape: Tape) -> String {
    let from = |along: Along| BoardSide { along, high: false }.word();
    let places = Along::ALL.into_iter().zip(hole.at);
    let texts: Vec<String> = places
        .filter_map(|(along, at)| Some(format!("{} from the {}", tape.text(at?), from(along))))
        .collect();
    texts.join(", ")
}

fn fitting(part: &Part, tape: Tape) -> Option<CutStep> {
    let fit = part.fit.as_ref()?;
    let words = format!("Cut {} over size; offer up and trim the {}", tape.text(fit.allowance), fit.trim);
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
        assert_eq!(set(0.0, 0.004), "square");
        assert_eq!(set(12.0, 0.0), "mitre 12°, far edge the longer");
        assert_eq!(
            set(-12.5, -4.0),
            "mitre 12.5°, datum edge the longer; blade tilted 4°, back face the longer"
        );
    }
}
