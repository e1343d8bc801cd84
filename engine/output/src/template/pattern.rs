//! The template of a part: what its lines are, and when each is made.

use super::room::Room;
use super::stroke::{Stroke, Window};
use super::{Block, Template, holes, wrap};
use crate::drawing::{Plane, TaggedCorner, arcs_and_curves, rule};
use crate::lettering;
use crate::sheet::{Anchor, Corner, Figure, Item, LineClass, Text};
use slatwork_base::{Length, Tape};
use slatwork_shop::{Along, HoleRow};
use slatwork_solid::{Across, DVec2, Profile, Segment, Solid, Tag, build};

/// Work on a part that is not done at the bench by this template: in place, or marked from another part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Late {
    /// Tags of the surfaces that it makes.
    pub tags: Vec<Tag>,
    /// What it is and when: "cope round arm post: marked from arm post".
    pub words: String,
}

/// What a template is made from.
#[derive(Clone, Debug)]
pub struct PatternOf<'a> {
    /// Mark of the set.
    pub mark: &'a str,
    /// What the set is called.
    pub name: &'a str,
    /// How many to make.
    pub quantity: usize,
    /// Which hand it is, in a sentence; empty when it has none.
    pub hand: &'a str,
    /// The part as finished; one that is bent when fixed as it is sawn, straight.
    pub solid: &'a Solid,
    /// Work that comes later.
    pub late: &'a [Late],
    /// Its holes, as the hole list has them.
    pub holes: &'a [HoleRow],
    /// Sentences for its first sheet: how it is made.
    pub notes: &'a [String],
    /// The tape that is read.
    pub tape: Tape,
}

/// So many holes bored at the bench on one side are quicker to prick through a template than to mark by a rule (project choice).
pub(crate) const HOLE_PATTERN: usize = 3;
/// Two lines nearer than this are one, mm.
const SAME_LINE: f64 = 2e-3;
/// Between the drawings of two sides of a board, mm: room for their words.
pub(crate) const BETWEEN_SIDES: f64 = 22.0;

/// The template of a part, when it has a curve or a taper, a notch or cope, a leaning end, or a pattern of holes.
pub fn pattern(of: &PatternOf<'_>) -> Option<Template> {
    let why = reasons(of);
    if why.is_empty() {
        return None;
    }
    draw(of, &why, None)
}

/// Parts shorter than this are not worth a half pattern, mm: they take one or two sheets as they are (project choice).
const LEAST_HALVED: f64 = 400.0;

/// The left half of the template of a part whose halves are mirror images, up to the line that it is folded or turned over at.
pub fn half_pattern(of: &PatternOf<'_>) -> Option<Template> {
    let why = reasons(of);
    let bounds = of.solid.bounds();
    let length = bounds.max.x - bounds.min.x;
    let is_wrapped = is_rectangle(&of.solid.shape().profile) && !wrap::leaning_ends(of.solid).is_empty();
    if why.is_empty() || length < LEAST_HALVED || is_wrapped {
        return None;
    }
    let mut template = draw(of, &why, Some(length / 2.0))?;
    template.words.insert(0, String::from(HALF));
    template.blocks.insert(0, Block::Words(String::from(HALF)));
    Some(template)
}

/// What is said of a half pattern.
const HALF: &str =
    "Half pattern: mark the left half, turn it over at the fold, and mark the right half from it.";

/// Draws a template: the whole, or what is left of the middle; nothing when the halves are not mirror images.
fn draw(of: &PatternOf<'_>, why: &[&str], fold: Option<f64>) -> Option<Template> {
    let mut template = Template { mark: of.mark.into(), name: of.name.into(), ..Template::default() };
    let across = of.solid.shape().across;
    let mut top = draw_side(&mut template, of, across, 0.0, fold)?;
    let other = if across == Across::Thickness { Across::Width } else { Across::Thickness };
    if has_holes(of, other) {
        top = draw_side(&mut template, of, other, top + BETWEEN_SIDES, fold)?;
    }
    // Where an edge is curved there is nothing flat to wrap; the end's line on either face is drawn already.
    if is_rectangle(&of.solid.shape().profile) {
        wrap::ends(&mut template, of, top + BETWEEN_SIDES);
    }
    told(&mut template, of, why);
    Some(template)
}

/// Why a part has a template.
fn reasons(of: &PatternOf<'_>) -> Vec<&'static str> {
    let shape = of.solid.shape();
    let mut why = Vec::new();
    if shape.profile.vertices.iter().any(|vertex| vertex.bulge != 0.0) {
        why.push("a curve");
    } else if !is_rectangle(&shape.profile) {
        why.push("an outline that is no rectangle");
    }
    if !shape.notches.is_empty() {
        why.push("a notch or cope");
    }
    if !wrap::leaning_ends(of.solid).is_empty() {
        why.push("an end that leans through the board");
    }
    if has_holes(of, Across::Thickness) || has_holes(of, Across::Width) {
        why.push("a pattern of holes");
    }
    why
}

fn is_rectangle(profile: &Profile) -> bool {
    profile.vertices.len() == 4
        && (0..4).all(|i| {
            let way = profile.vertices[(i + 1) % 4].point - profile.vertices[i].point;
            way.x.abs() < SAME_LINE || way.y.abs() < SAME_LINE
        })
}

/// Whether holes bored at the bench make a pattern on the sides that close a direction.
fn has_holes(of: &PatternOf<'_>, across: Across) -> bool {
    let along = if across == Across::Thickness { Along::Thickness } else { Along::Width };
    let at_bench = |row: &&HoleRow| row.side.along == along && !holes::is_late(row);
    of.holes.iter().filter(at_bench).count() >= HOLE_PATTERN
}

/// Draws one side of the board from a height up, up to the fold if there is one; tells where it ends. Nothing when what lies beyond
/// the fold is no mirror image.
fn draw_side(
    template: &mut Template,
    of: &PatternOf<'_>,
    across: Across,
    bottom: f64,
    fold: Option<f64>,
) -> Option<f64> {
    let plane = Plane::seen(of.solid, across);
    let shift = DVec2::new(0.0, bottom);
    let mut side = Side::of(of, &plane);
    side.items.iter_mut().for_each(|item| item.figure = super::moved(&item.figure, shift));
    let outline = side.outline.map(|profile| moved_profile(&profile, shift));
    let before = template.items.len();
    template.items.append(&mut side.items);
    let mut holes = holes::draw(template, of, &plane, shift);
    let mut size = plane.size;
    if let Some(fold) = fold {
        halved(template, before, fold)?;
        holes.retain(|(_, centre, ..)| centre.x <= fold + SAME_LINE);
        size.x = fold;
        let ends = [DVec2::new(fold, -FOLD_BEYOND) + shift, DVec2::new(fold, size.y + FOLD_BEYOND) + shift];
        let figure = Figure::Line { from: ends[0], to: ends[1] };
        template.items.push(Item { class: LineClass::Centre, figure });
    }
    let mut room = Room::new(outline);
    room.draw(template.items[before..].iter().flat_map(|item| Stroke::of(&item.figure)));
    if fold.is_some() {
        let at = DVec2::new(size.x - 18.0, size.y + FOLD_BEYOND) + shift;
        letter(template, &mut room, at, 2.5, "fold line", LineClass::Centre);
    }
    holes::label_all(template, &mut room, of, &holes);
    check_lengths(template, &mut room, of, Window::new(shift, shift + size));
    if across == of.solid.shape().across {
        stations(template, &mut room, of, shift, fold);
    }
    name(template, &mut room, of, across, Window::new(shift, shift + size));
    for (words, near) in side.faces {
        let near = DVec2::new(near.x.min(size.x - BESIDE_FOLD), near.y - 4.0);
        letter(template, &mut room, near + shift, 2.2, words, LineClass::Mark);
    }
    side.late.retain(|(_, near)| fold.is_none_or(|fold| near.x <= fold));
    for (late, near) in side.late {
        let words = of.late[late].words.as_str();
        let placed = short_enough(words, size.x).into_iter();
        placed.for_each(|line| letter(template, &mut room, near + shift, 2.5, line, LineClass::Hidden));
    }
    tight_curves(template, bottom);
    Some(bottom + plane.size.y)
}

/// Words on a line that runs on beyond the fold stand so far before it, mm.
const BESIDE_FOLD: f64 = 60.0;
/// How far a fold line reaches beyond the part, mm.
const FOLD_BEYOND: f64 = 4.0;

/// Cuts the lines of a side off at the fold, when what lies beyond is their mirror image.
fn halved(template: &mut Template, before: usize, fold: f64) -> Option<()> {
    let side = template.items.split_off(before);
    let by_class = |class: LineClass| {
        let of_class = side.iter().filter(move |item| item.class == class);
        of_class.flat_map(|item| Stroke::of(&item.figure)).collect::<Vec<_>>()
    };
    for class in [LineClass::Cut, LineClass::Drill, LineClass::Mark, LineClass::Hidden] {
        let strokes = by_class(class);
        let has_image = |stroke: &Stroke| {
            let points = [0.0, 0.3, 0.5, 0.8, 1.0].map(|share| stroke.mirrored(fold).point(share));
            points.iter().all(|point| strokes.iter().any(|own| own.distance(*point) < SAME_LINE))
        };
        if !strokes.iter().all(has_image) {
            return None;
        }
    }
    let left = Window::new(DVec2::splat(f64::NEG_INFINITY), DVec2::new(fold, f64::INFINITY));
    for item in side {
        let parts = Stroke::of(&item.figure).into_iter().flat_map(|stroke| stroke.within(left));
        template.items.extend(parts.map(|part| Item { class: item.class, figure: part.figure() }));
    }
    template.clear.retain(|(window, _)| window.low.x < fold);
    Some(())
}

/// Words as long as the part or shorter; longer ones stand only on the first sheet.
fn short_enough(words: &str, length: f64) -> Option<&str> {
    (lettering::width(words, 2.5) < length.max(60.0)).then_some(words)
}

fn moved_profile(profile: &Profile, by: DVec2) -> Profile {
    profile.transformed(slatwork_solid::PlaneMotion::shift(by))
}

/// The lines of one side.
struct Side {
    items: Vec<Item>,
    /// The outline that is sawn at the bench.
    outline: Option<Profile>,
    /// Late work whose lines are on this side, and a place near them.
    late: Vec<(usize, DVec2)>,
    /// Which face marked lines belong to, and the middle of the longest.
    faces: Vec<(&'static str, DVec2)>,
}

impl Side {
    fn of(of: &PatternOf<'_>, plane: &Plane<'_>) -> Self {
        let bench = at_bench(of);
        let bench = bench.as_ref().unwrap_or(of.solid);
        let sawn = plane.sawn_square(bench);
        let cut = plane.outlines(sawn.as_ref().unwrap_or(bench), plane.toward);
        let outline =
            cut.iter().map(|outline| as_profile(outline)).max_by(|a, b| a.area().total_cmp(&b.area()));
        let mut side = Side { items: Vec::new(), outline, late: Vec::new(), faces: Vec::new() };
        let mut drawn = Vec::new();
        for outline in &cut {
            side.draw(of, outline, LineClass::Cut, &mut drawn);
        }
        for (way, words) in
            [(plane.toward, "line on the side shown"), (-plane.toward, "line on the side behind")]
        {
            let before = side.items.len();
            for outline in plane.outlines(of.solid, way) {
                side.draw(of, &outline, LineClass::Mark, &mut drawn);
            }
            let marked = side.items[before..].iter().filter(|item| item.class == LineClass::Mark);
            let strokes = marked.flat_map(|item| Stroke::of(&item.figure));
            let longest = strokes.max_by(|a, b| a.length().total_cmp(&b.length()));
            side.faces.extend(longest.map(|stroke| (words, stroke.point(0.5))));
        }
        side
    }

    /// Draws what is new of a closed outline: its own class, or dashed where it is late work.
    fn draw(
        &mut self,
        of: &PatternOf<'_>,
        outline: &[TaggedCorner],
        class: LineClass,
        drawn: &mut Vec<Stroke>,
    ) {
        let count = outline.len();
        let late = |tag: Tag| of.late.iter().position(|late| late.tags.contains(&tag));
        // What each edge is drawn as; nothing where a line is already.
        let kinds: Vec<Option<(LineClass, Option<usize>)>> = (0..count)
            .map(|i| {
                let stroke = Stroke::of_edge(outline[i].0, outline[(i + 1) % count].0.point);
                let known = drawn.iter().any(|own| stroke.lies_on(*own, SAME_LINE));
                let late = late(outline[i].1);
                let own = if late.is_some() { LineClass::Hidden } else { class };
                (!known).then_some((own, late))
            })
            .collect();
        for i in 0..count {
            drawn.push(Stroke::of_edge(outline[i].0, outline[(i + 1) % count].0.point));
        }
        let corners: Vec<Corner> = outline.iter().map(|(corner, _)| *corner).collect();
        for (kind, chain) in chains(&corners, &kinds) {
            if let Some(late) = kind.1.filter(|late| !self.late.iter().any(|(own, _)| own == late)) {
                self.late.push((late, middle_of(&chain)));
            }
            self.items.push(Item { class: kind.0, figure: chain });
        }
    }
}

fn middle_of(figure: &Figure) -> DVec2 {
    let strokes = Stroke::of(figure);
    strokes.get(strokes.len() / 2).map_or(DVec2::ZERO, |stroke| stroke.point(0.5))
}

/// Runs of edges of one kind, as polylines; a whole outline of one kind stays closed.
fn chains<K: Copy + PartialEq>(corners: &[Corner], kinds: &[Option<K>]) -> Vec<(K, Figure)> {
    let count = corners.len();
    let Some(first) = kinds.first() else { return Vec::new() };
    if kinds.iter().all(|kind| kind == first) {
        let whole = Figure::Polyline { corners: corners.to_vec(), closed: true };
        return first.iter().map(|kind| (*kind, whole.clone())).collect();
    }
    let start = (0..count).find(|i| kinds[*i] != kinds[(i + count - 1) % count]).unwrap_or(0);
    let order: Vec<usize> = (0..count).map(|i| (start + i) % count).collect();
    let runs = order.chunk_by(|a, b| kinds[*a] == kinds[*b]);
    runs.filter_map(|run| {
        let kind = kinds[run[0]]?;
        let mut chain: Vec<Corner> = run.iter().map(|i| corners[*i]).collect();
        let end = corners[(run[run.len() - 1] + 1) % count].point;
        chain.push(Corner { point: end, bulge: 0.0 });
        Some((kind, Figure::Polyline { corners: chain, closed: false }))
    })
    .collect()
}

/// The board after the work of the bench, when that is not all of the work.
fn at_bench(of: &PatternOf<'_>) -> Option<Solid> {
    let late = |tag: &Tag| of.late.iter().any(|late| late.tags.contains(tag));
    let own = of.solid.shape();
    let mut shape = own.clone();
    shape.cuts.retain(|cut| !late(&cut.tag));
    shape.notches.retain(|notch| !notch.planes.iter().any(|wall| late(&wall.tag)));
    if shape == *own {
        return None;
    }
    shape.holes.clear();
    build(&shape, &of.solid.tolerance()).ok()
}

fn as_profile(outline: &[TaggedCorner]) -> Profile {
    let edge = |i: usize| {
        let ((corner, tag), next) = (outline[i], outline[(i + 1) % outline.len()].0.point);
        Segment { start: corner.point, end: next, bulge: corner.bulge, tag }
    };
    Profile::from_segments(&(0..outline.len()).map(edge).collect::<Vec<_>>())
}

/// Lettering where there is room, as near as may be; first on the part, then beside it.
pub(crate) fn letter(
    template: &mut Template,
    room: &mut Room,
    near: DVec2,
    height: f64,
    words: &str,
    class: LineClass,
) {
    let placed = room.letter(near, height, words, true).or_else(|| room.letter(near, height, words, false));
    if let Some(text) = placed {
        template.clear.push((super::text_window(&text), 0.2));
        template.items.push(Item { class, figure: Figure::Text(text) });
    }
}

/// Mark and name, the side, the hand, and an arrow along the grain.
fn name(template: &mut Template, room: &mut Room, of: &PatternOf<'_>, across: Across, place: Window) {
    let (middle, size) = ((place.low + place.high) / 2.0, place.size());
    let side = match across {
        Across::Thickness => "marked face up, datum edge below, datum end left",
        Across::Width => "datum edge, marked face above, datum end left",
    };
    let large = (size.y / 8.0).clamp(3.0, 6.0);
    letter(template, room, middle, large, &format!("{} {}", of.mark, of.name), LineClass::Mark);
    grain(template, room, middle);
    letter(template, room, middle, 2.5, side, LineClass::Mark);
    if !of.hand.is_empty() && lettering::width(of.hand, 2.5) < size.x {
        letter(template, room, middle, 2.5, of.hand, LineClass::Mark);
    }
}

/// Half the length of the arrow, mm.
const ARROW: f64 = 20.0;

/// An arrow with two heads along the grain, and the word.
fn grain(template: &mut Template, room: &mut Room, near: DVec2) {
    let Some(word) = room.letter(near, 2.5, &"-".repeat(30), true) else { return };
    let middle = word.at + DVec2::new(0.0, word.height / 2.0);
    let mut line = |from: DVec2, to: DVec2| {
        template.items.push(Item { class: LineClass::Mark, figure: Figure::Line { from, to } });
    };
    let gap = lettering::width("grain", 2.5) / 2.0 + 1.0;
    for side in [-1.0, 1.0] {
        let tip = middle + DVec2::new(side * ARROW, 0.0);
        line(middle + DVec2::new(side * gap, 0.0), tip);
        for barb in [-1.2, 1.2] {
            line(tip, tip + DVec2::new(-3.5 * side, barb));
        }
    }
    let text = Text { text: String::from("grain"), ..word };
    template.clear.push((Window::round(middle, ARROW), 0.2));
    template.items.push(Item { class: LineClass::Mark, figure: Figure::Text(text) });
}

/// Half an arm of the crosses of a check length, mm.
const CHECK_ARM: f64 = 3.0;
/// Sides shorter than this need no check, mm.
const LEAST_CHECK: f64 = 120.0;

/// Two crosses as far apart as there is room, at a length that a rule has a mark for; and two up the board when it is wide.
fn check_lengths(template: &mut Template, room: &mut Room, of: &PatternOf<'_>, side: Window) {
    for (axis, names) in [(0, ["A", "B"]), (1, ["C", "D"])] {
        // A second side repeats no check.
        if template.words.iter().any(|words| words.starts_with(names[0])) {
            continue;
        }
        let Some((ends, length)) = check_ends(room, of.tape, side, axis) else { continue };
        for (end, name) in ends.iter().zip(names) {
            for way in [DVec2::X, DVec2::Y] {
                let (from, to) = (*end - way * CHECK_ARM, *end + way * CHECK_ARM);
                template.items.push(Item { class: LineClass::Mark, figure: Figure::Line { from, to } });
            }
            room.take(Window::round(*end, CHECK_ARM + 0.5));
            template.clear.push((Window::round(*end, CHECK_ARM + 0.5), 1.0));
            letter(template, room, *end + DVec2::new(6.0, 4.0), 3.0, name, LineClass::Mark);
        }
        let mm = length.mm_text(1);
        let words = match of.tape.is_inch() {
            true => format!(
                "{} to {} must be {} ({mm} mm) within 1/64\".",
                names[0],
                names[1],
                of.tape.text(length)
            ),
            false => format!("{} to {} must be {mm} mm within 0.5 mm.", names[0], names[1]),
        };
        template.words.push(words);
    }
}

fn check_ends(room: &Room, tape: Tape, side: Window, axis: usize) -> Option<([DVec2; 2], Length)> {
    let step = if tape.is_inch() { 12.7 } else { 10.0 };
    let size = side.size();
    let most = ((size[axis] - 14.0) / step).floor() as i32;
    let across = 1 - axis;
    let tries = (size[across] / 4.0) as i32;
    let free = |at: DVec2| {
        let window = Window::round(at, CHECK_ARM + 1.0);
        room.is_free(window) && room.is_inside(window)
    };
    for count in (0..=most).rev().take_while(|count| f64::from(*count) * step >= LEAST_CHECK) {
        let length = f64::from(count) * step;
        for offset in 0..tries {
            // From the middle outward, to either side in turn.
            let way = if offset % 2 == 0 { 1.0 } else { -1.0 };
            let mut middle = (side.low + side.high) / 2.0;
            middle[across] += way * f64::from((offset + 1) / 2) * 4.0;
            let mut half = DVec2::ZERO;
            half[axis] = length / 2.0;
            let ends = [middle - half, middle + half];
            if ends.into_iter().all(free) {
                return Some((ends, Length::mm(length)));
            }
        }
    }
    None
}

/// Points along curves that are too flat for a trammel or of many arcs, with a table of their ordinates; radii of the others.
fn stations(template: &mut Template, room: &mut Room, of: &PatternOf<'_>, shift: DVec2, fold: Option<f64>) {
    let shape = of.solid.shape();
    let (arcs, curves) = arcs_and_curves(shape);
    let text = |mm: f64| rule(of.tape).text(Length::mm(mm));
    let [from_edge, first] = match shape.across {
        Across::Thickness => ["from the datum edge", "marked face"],
        Across::Width => ["from the back face", "datum edge"],
    };
    if !arcs.is_empty() {
        template.blocks.push(Block::Heading(format!("Arcs on the {first}, by a trammel")));
        let row = |arc: &crate::drawing::ArcFact| {
            let form = if arc.convex { "rounded outward" } else { "hollow" };
            vec![text(arc.radius), text(arc.centre.x), text(arc.centre.y), String::from(form)]
        };
        let head = ["radius", "centre from the datum end", from_edge, "form"].map(String::from).to_vec();
        template.blocks.push(Block::Table { head, rows: arcs.iter().map(row).collect() });
    }
    for (index, curve) in curves.iter().enumerate() {
        let letter_of = char::from(b'a' + (index % 26) as u8);
        template
            .blocks
            .push(Block::Heading(format!("Curve {letter_of} on the {first}, by a batten: stations")));
        let mut rows = Vec::new();
        let extent = curve.points.iter().fold(DVec2::ZERO, |most, p| most.max((*p - curve.points[0]).abs()));
        let up = if extent.x >= extent.y { DVec2::Y } else { DVec2::X };
        for (number, point) in curve.points.iter().enumerate() {
            let at = *point + shift;
            let name = format!("{letter_of}{}", number + 1);
            if fold.is_none_or(|fold| at.x <= fold) {
                let figure = Figure::Line { from: at - up * 2.0, to: at + up * 2.0 };
                template.items.push(Item { class: LineClass::Mark, figure });
                letter(template, room, at - up * 5.0, 2.0, &name, LineClass::Mark);
            }
            rows.push(vec![name, text(point.x), text(point.y)]);
        }
        let head = ["station", "from the datum end", from_edge].map(String::from).to_vec();
        template.blocks.push(Block::Table { head, rows });
    }
}

/// A curve of a smaller radius than this is tight: a seam through it shows, mm (project choice).
const TIGHT: f64 = 80.0;

fn tight_curves(template: &mut Template, bottom: f64) {
    let tight = |item: &&Item| item.class == LineClass::Cut;
    let strokes: Vec<Stroke> =
        template.items.iter().filter(tight).flat_map(|item| Stroke::of(&item.figure)).collect();
    for stroke in strokes {
        if let Stroke::Arc { radius, .. } = stroke {
            let bounds = stroke.bounds();
            if radius < TIGHT && bounds.low.y >= bottom - TIGHT {
                template.clear.push((bounds, 0.5));
            }
        }
    }
}

/// What the first sheet says of the part.
fn told(template: &mut Template, of: &PatternOf<'_>, why: &[&str]) {
    let mut blocks = vec![Block::Words(format!("Make {}. Drawn for {}.", of.quantity, why.join(", ")))];
    if !of.hand.is_empty() {
        blocks.push(Block::Words(of.hand.to_string()));
        template.words.push(of.hand.to_string());
    }
    blocks.extend(template.words.iter().filter(|words| *words != of.hand).cloned().map(Block::Words));
    blocks.extend(of.notes.iter().cloned().map(Block::Words));
    let late: Vec<String> = of.late.iter().map(|late| late.words.clone()).collect();
    if !late.is_empty() {
        blocks.push(Block::Heading(String::from("Dashed: not yet, and not from this template")));
        blocks.extend(late.into_iter().map(Block::Words));
    }
    blocks.append(&mut template.blocks);
    blocks.extend(holes::table(of));
    template.blocks = blocks;
}

/// A circle as an item.
pub(crate) fn circle(class: LineClass, centre: DVec2, radius: f64) -> Item {
    Item { class, figure: Figure::Circle { centre, radius } }
}

/// A line of lettering that begins at a point.
pub(crate) fn lettered(class: LineClass, at: DVec2, height: f64, text: String) -> Item {
    Item { class, figure: Figure::Text(Text { at, height, anchor: Anchor::Left, bold: false, text }) }
}
