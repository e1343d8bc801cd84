//! Pictures of the steps of assembly: what stands in grey, what is new drawn back along the way it comes in.

use crate::dimension::{LETTER_HEIGHT, Leader};
use crate::drawing::arrangement::Balloon;
use crate::drawing::balloons;
use crate::drawing::layered::{Layered, Standing, scale_into};
use crate::drawing::picture::PaperFrame;
use crate::drawing::placed::{CORNERS, Placed};
use crate::drawing::sight::{Sight, together};
use crate::drawing::taken::Area;
use crate::drawing::view::Camera;
use crate::drawing::visible::Covers;
use crate::drawing::wire::{Body, Wire};
use crate::lettering;
use crate::sheet::{Anchor, Figure, Item, LineClass, Paper, Scale, Sheet};
use slatwork_solid::{DVec2, DVec3};

/// A body that is new in a step.
#[derive(Clone, Debug, PartialEq)]
pub struct Incoming {
    /// Its number among the bodies.
    pub body: usize,
    /// From its place to where it is drawn, mm in the world.
    pub back: DVec3,
    /// Points of it, as they lie in its place, from which a dashed line shows the way there.
    pub ways: Vec<DVec3>,
}

/// Fasteners of a kind that are set in a step.
#[derive(Clone, Debug, PartialEq)]
pub struct CallOut {
    /// How many of what.
    pub words: String,
    /// Middles of their heads in the world, directions from head to tip, and the body that each head sits on.
    pub heads: Vec<(DVec3, DVec3, usize)>,
}

/// A mark of what is new in a step.
#[derive(Clone, Debug, PartialEq)]
pub struct NewMark {
    /// The mark, and the bodies that carry it.
    pub balloon: Balloon,
    /// What they are called.
    pub name: String,
    /// Whether the bodies come as one: put together before.
    pub is_one: bool,
}

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct StepPicture {
    /// Its number.
    pub number: usize,
    /// What it is about.
    pub title: String,
    /// What is put together in it: pictures of one such thing have the same scale.
    pub on: String,
    /// Numbers of the bodies that stand before it.
    pub stands: Vec<usize>,
    /// What is new.
    pub new: Vec<Incoming>,
    /// What is new, by its marks.
    pub marks: Vec<NewMark>,
    /// Fasteners that are set.
    pub call_outs: Vec<CallOut>,
}

/// All steps of a piece, with what does not change from one to the next worked out once.
pub struct StepPictures<'a> {
    piece: &'a Placed<'a>,
    steps: &'a [StepPicture],
}

/// A new part of which less than this can be seen asks for another view.
const ENOUGH_SEEN: f64 = 0.5;

/// The paper of a step, for the width of a book's page.
pub const STEP_PAPER: Paper = Paper { name: "step", width: 190.0, height: 132.0 };
/// White round everything, mm.
const MARGIN: f64 = 8.0;
/// Heights of capitals, mm: of the heading and of what is said of the view.
const HEADING: f64 = 3.0;
const SMALL: f64 = 2.0;
/// From line to line, mm.
const ROW: f64 = 4.2;
/// From the capitals of a call-out to the line that leads from it, mm: fractions stand higher than capitals.
const OFF_WORDS: f64 = 1.4;
/// Between entries in a line, mm.
const BETWEEN: f64 = 6.0;
/// Between the picture and what stands above and below it, mm.
const CLEAR: f64 = 3.5;
/// A short axis before each head shows which way a fastener is driven, mm on paper.
const AXIS: f64 = 3.0;

/// A step as it is looked at.
struct Shown<'a> {
    /// What is new, where it is drawn.
    wire: Wire,
    sight: &'a Sight,
    /// What stands, without what is new.
    standing: Vec<usize>,
    covers: Covers,
    words: &'static str,
    low: DVec2,
    high: DVec2,
}

impl<'a> StepPictures<'a> {
    /// Of a piece, which it reads nothing anew of.
    pub fn new(piece: &'a Placed<'a>, steps: &'a [StepPicture]) -> Self {
        StepPictures { piece, steps }
    }

    /// How many steps there are.
    pub fn count(&self) -> usize {
        self.steps.len()
    }

    /// The picture of a step, counted from 0; an empty sheet for one that is not there.
    pub fn sheet(&self, index: usize) -> Sheet {
        let Some(step) = self.steps.get(index) else { return Sheet::new("", STEP_PAPER) };
        let shown = self.shown(step);
        let mut sheet = Sheet::new(format!("Step {}: {}", step.number, step.title), STEP_PAPER);
        sheet.description = description(step, shown.words);
        heading(&mut sheet, step, shown.words);
        let camera = shown.sight.camera;
        let step = &ordered(step, camera);
        let foot = self.foot(&mut sheet, step);
        let all: Vec<Balloon> = step.marks.iter().map(|own| own.balloon.clone()).collect();
        let marks = 2.0 * (balloons::column_width(&all) + counts_width(step));
        let low = DVec2::new(MARGIN, foot.top + CLEAR);
        let high = DVec2::new(STEP_PAPER.width - MARGIN, STEP_PAPER.height - MARGIN - HEADING - CLEAR);
        let free = high - low - DVec2::new(marks, 0.0);
        let scale = self.scale(step, &shown, free);
        let size = (shown.high - shown.low) / scale.denominator;
        let at = DVec2::new((low.x + high.x - size.x) / 2.0, low.y);
        let frame = PaperFrame { low: shown.low, at, scale };
        let numbers: Vec<usize> = step.new.iter().map(|own| own.body).collect();
        let standing = Standing { sight: shown.sight, wires: self.piece.wires(), bodies: &shown.standing };
        let view = Layered {
            wire: &shown.wire,
            standing: Some(standing),
            covers: &shown.covers,
            camera,
            new: &numbers,
        };
        let new: Vec<(Body<'_>, DVec3)> =
            step.new.iter().filter_map(|own| Some((*self.piece.bodies().get(own.body)?, own.back))).collect();
        sheet.items.extend(view.ground(&new, &frame));
        sheet.items.extend(view.lines(&frame).into_iter().map(|item| blackened(item, step)));
        ways(&mut sheet, step, &view, &frame);
        let drives = drives(&mut sheet, step, &view, &frame);
        point_out(&mut sheet, &foot.call_outs, &drives);
        balloons_of(&mut sheet, step, &view, &frame, (at, at + size), (low.y, high.y));
        sheet
    }

    /// The step from the usual corner, or where less than half of a new part is seen from there, from the best of all.
    fn shown(&self, step: &StepPicture) -> Shown<'_> {
        let is_new = |body: &usize| step.new.iter().any(|own| own.body == *body);
        let standing: Vec<usize> = step.stands.iter().copied().filter(|body| !is_new(body)).collect();
        let mut there = vec![false; self.piece.wires().len()];
        for body in &standing {
            there.get_mut(*body).into_iter().for_each(|own| *own = true);
        }
        let mut wire = Wire::default();
        for own in &step.new {
            self.piece.wires().get(own.body).into_iter().for_each(|one| wire.add_moved(one, own.back));
        }
        let units = units(step);
        let mut best: Option<(f64, usize, Covers)> = None;
        for corner in 0..CORNERS.len() {
            let covers = Covers::among(&self.piece.sight(corner).grid, there.clone(), &wire);
            let share = units.iter().map(|unit| covers.share_seen(unit)).fold(1.0, f64::min);
            if best.as_ref().is_none_or(|(most, ..)| share > most + 0.05) {
                best = Some((share, corner, covers));
            }
            if best.as_ref().is_some_and(|(most, ..)| *most >= ENOUGH_SEEN) {
                break;
            }
        }
        let (_, corner, covers) =
            best.unwrap_or_else(|| (1.0, 0, Covers::among(&self.piece.sight(0).grid, there, &wire)));
        let sight = self.piece.sight(corner);
        let [low, high] = self.box_of(step, sight).unwrap_or([DVec2::ZERO, DVec2::ONE]);
        Shown { wire, sight, standing, covers, words: CORNERS[corner].1, low, high }
    }

    /// Lower left and upper right corner of all that is drawn, mm on the view; nothing where nothing is.
    fn box_of(&self, step: &StepPicture, sight: &Sight) -> Option<[DVec2; 2]> {
        let is_new = |body: &usize| step.new.iter().any(|own| own.body == *body);
        let stands = step.stands.iter().filter(|body| !is_new(body)).map(|body| (*body, DVec3::ZERO));
        let all = stands.chain(step.new.iter().map(|own| (own.body, own.back)));
        let boxes = all.filter_map(|(body, back)| {
            let off = sight.camera.flat(back);
            sight.boxes.get(body).copied().flatten().map(|corners| corners.map(|corner| corner + off))
        });
        together(boxes)
    }

    /// A scale at which every step of what this one works on would fit.
    fn scale(&self, step: &StepPicture, shown: &Shown<'_>, room: DVec2) -> Scale {
        let alike = self.steps.iter().filter(|other| other.on == step.on);
        let sizes = alike.filter_map(|other| self.box_of(other, shown.sight)).map(|[low, high]| high - low);
        scale_into(sizes.fold(shown.high - shown.low, DVec2::max), room)
    }

    /// The lines under the picture, from the bottom: names of the marks, over them the fasteners.
    fn foot(&self, sheet: &mut Sheet, step: &StepPicture) -> Foot {
        let entries = keys(step);
        let keys = rows(&entries);
        for (row, x, text) in &keys {
            let y = MARGIN + ROW * (depth(&keys) - 1 - row) as f64;
            sheet.text(LineClass::Mark, DVec2::new(*x, y), LETTER_HEIGHT, Anchor::Left, text.clone());
        }
        let top = MARGIN + ROW * depth(&keys) as f64;
        let words: Vec<String> = step.call_outs.iter().map(|own| own.words.clone()).collect();
        let told = rows(&words);
        let mut call_outs = Vec::new();
        let base = if told.is_empty() { top } else { top + 1.0 };
        for (row, x, text) in &told {
            let at = DVec2::new(*x, base + ROW * (depth(&told) - 1 - row) as f64);
            let width = lettering::width(text, LETTER_HEIGHT);
            sheet.text(LineClass::Mark, at, LETTER_HEIGHT, Anchor::Left, text.clone());
            // Only from the upper row does a line lead to a head: from a lower one it would run through lettering.
            call_outs
                .push((*row == 0).then(|| DVec2::new(x + width / 2.0, at.y + LETTER_HEIGHT + OFF_WORDS)));
        }
        Foot { top: base + ROW * depth(&told) as f64, call_outs }
    }
}

/// The bodies that are new, those together that come as one.
fn units(step: &StepPicture) -> Vec<Vec<usize>> {
    let of_mark = |mark: &NewMark| match mark.is_one {
        true => vec![mark.balloon.bodies.clone()],
        false => mark.balloon.bodies.iter().map(|body| vec![*body]).collect(),
    };
    step.marks.iter().flat_map(of_mark).collect()
}

/// The same step, its call-outs from left to right as their heads lie on the view: lines to them then do not cross.
fn ordered(step: &StepPicture, camera: Camera) -> StepPicture {
    let place = |own: &CallOut| {
        let across: f64 = own.heads.iter().map(|head| camera.flat(head.0).x).sum();
        across / own.heads.len().max(1) as f64
    };
    let mut step = step.clone();
    step.call_outs.sort_by(|a, b| place(a).total_cmp(&place(b)));
    step
}

/// What stands under a picture.
struct Foot {
    top: f64,
    /// For each call-out where its line leaves it.
    call_outs: Vec<Option<DVec2>>,
}

/// Marks with their names; those of one name together.
fn keys(step: &StepPicture) -> Vec<String> {
    let mut entries: Vec<(String, &str)> = Vec::new();
    for own in &step.marks {
        match entries.iter_mut().find(|entry| entry.1 == own.name) {
            Some(entry) => entry.0 = format!("{}, {}", entry.0, own.balloon.mark),
            None => entries.push((own.balloon.mark.clone(), &own.name)),
        }
    }
    entries.into_iter().map(|(marks, name)| format!("{marks}  {name}")).collect()
}

/// Entries from left to right in as many rows as they need, each row set in the middle of the paper.
fn rows(entries: &[String]) -> Vec<(usize, f64, String)> {
    let room = STEP_PAPER.width - 2.0 * MARGIN;
    let mut placed: Vec<(usize, f64, String)> = Vec::new();
    let (mut row, mut x) = (0, 0.0);
    for entry in entries {
        let text = lettering::shortened(entry, LETTER_HEIGHT, room);
        let width = lettering::width(&text, LETTER_HEIGHT);
        if x > 0.0 && x + width > room {
            (row, x) = (row + 1, 0.0);
        }
        placed.push((row, x, text));
        x += width + BETWEEN;
    }
    for own in 0..=row {
        let ends = placed.iter().filter(|entry| entry.0 == own);
        let end = ends.map(|entry| entry.1 + lettering::width(&entry.2, LETTER_HEIGHT)).fold(0.0, f64::max);
        let spare = (room - end) / 2.0;
        placed.iter_mut().filter(|entry| entry.0 == own).for_each(|entry| entry.1 += MARGIN + spare);
    }
    placed
}

fn depth(rows: &[(usize, f64, String)]) -> usize {
    rows.last().map_or(0, |(row, ..)| row + 1)
}

fn heading(sheet: &mut Sheet, step: &StepPicture, words: &str) {
    let y = STEP_PAPER.height - MARGIN - HEADING;
    let room = STEP_PAPER.width - 2.0 * MARGIN - lettering::width(words, SMALL) - BETWEEN;
    let text = lettering::shortened(&format!("{}. {}", step.number, step.title), HEADING, room * BOLD);
    // Beside it and not at the far end of the sheet, so that a picture that is cropped stays narrow.
    let beside = MARGIN + lettering::width(&text, HEADING) / BOLD + BETWEEN;
    sheet.heading(DVec2::new(MARGIN, y), HEADING, Anchor::Left, text);
    if !words.is_empty() {
        sheet.text(LineClass::Mark, DVec2::new(beside, y), SMALL, Anchor::Left, words);
    }
}

/// Heavy lettering is wider than its measure: so much of a room it may take.
const BOLD: f64 = 0.92;

fn description(step: &StepPicture, words: &str) -> String {
    let told: Vec<String> =
        step.marks.iter().map(|own| format!("{} {} {}", count(own), own.balloon.mark, own.name)).collect();
    let new = match told.is_empty() {
        true => String::from("nothing new"),
        false => format!("new: {}", told.join(", ")),
    };
    let set: String = step.call_outs.iter().map(|own| format!("; {}", own.words)).collect();
    let view = if words.is_empty() { String::new() } else { format!("; {words}") };
    format!("{} parts stand in grey; {new}{set}{view}.", step.stands.len())
}

/// Where nothing is new, what stands is what is worked on, and need not stand back.
fn blackened(item: Item, step: &StepPicture) -> Item {
    match step.new.is_empty() && item.class == LineClass::Standing {
        true => Item { class: LineClass::Edge, ..item },
        false => item,
    }
}

/// Dashed lines from where new parts are drawn to where they come to lie.
fn ways(sheet: &mut Sheet, step: &StepPicture, view: &Layered<'_>, frame: &PaperFrame) {
    for own in step.new.iter().filter(|own| own.back != DVec3::ZERO) {
        for point in &own.ways {
            for (from, to) in view.seen_of(*point + own.back, *point, frame) {
                sheet.line(LineClass::Way, from, to);
            }
        }
    }
}

/// Where the axes of a call-out end on paper: those whose heads are in sight, and those that come from behind something.
#[derive(Default)]
struct Ends {
    plain: Vec<DVec2>,
    behind: Vec<DVec2>,
}

/// A short axis before every head, as far as it can be seen.
fn drives(sheet: &mut Sheet, step: &StepPicture, view: &Layered<'_>, frame: &PaperFrame) -> Vec<Ends> {
    let mut all = Vec::new();
    for own in &step.call_outs {
        let mut ends = Ends::default();
        for (head, direction, body) in &own.heads {
            let back = step.new.iter().find(|new| new.body == *body).map_or(DVec3::ZERO, |new| new.back);
            let (from, to) = (*head + back, *head + back - *direction * (AXIS * frame.scale.denominator));
            let stretches = view.seen_of(from, to, frame);
            let [(a, b)] = stretches.as_slice() else { continue };
            sheet.line(LineClass::Centre, *a, *b);
            let start = frame.paper(view.camera.flat(from));
            let list = if a.distance(start) < AT_HEAD { &mut ends.plain } else { &mut ends.behind };
            list.push(*b);
        }
        all.push(ends);
    }
    all
}

/// An axis that is seen from here on is seen from its head, mm on paper: heads are sunk by a little.
const AT_HEAD: f64 = 0.4;

/// A line from each call-out to the nearest of its heads in sight.
fn point_out(sheet: &mut Sheet, call_outs: &[Option<DVec2>], ends: &[Ends]) {
    for (from, ends) in call_outs.iter().zip(ends) {
        let Some(from) = from else { continue };
        let list = if ends.plain.is_empty() { &ends.behind } else { &ends.plain };
        let near = list.iter().min_by(|a, b| a.distance(*from).total_cmp(&b.distance(*from)));
        if let Some(end) = near {
            sheet.line(LineClass::Dimension, *from, *end);
            sheet.draw(LineClass::Dimension, Figure::Dot { centre: *end, radius: 0.45 });
        }
    }
}

fn count(mark: &NewMark) -> usize {
    if mark.is_one { 1 } else { mark.balloon.bodies.len() }
}

/// "15 x", beside a balloon.
fn count_words(mark: &NewMark) -> String {
    format!("{} x", count(mark))
}

fn counts_width(step: &StepPicture) -> f64 {
    let width = |own: &NewMark| lettering::width(&count_words(own), LETTER_HEIGHT) + 2.0 * Area::WHITE;
    step.marks.iter().map(width).fold(0.0, f64::max)
}

fn balloons_of(
    sheet: &mut Sheet,
    step: &StepPicture,
    view: &Layered<'_>,
    frame: &PaperFrame,
    picture: (DVec2, DVec2),
    heights: (f64, f64),
) {
    let all: Vec<Balloon> = step.marks.iter().map(|own| own.balloon.clone()).collect();
    let anchors = balloons::anchors(&all, view.wire, view.covers, view.camera);
    let pointed: Vec<(String, DVec2)> = anchors
        .into_iter()
        .filter_map(|(mark, point)| Some((mark, frame.paper(view.camera.flat(point?)))))
        .collect();
    let middle = (picture.0.x + picture.1.x) / 2.0;
    let leaders: Vec<Leader> = balloons::place_near(pointed, picture, heights);
    for leader in leaders {
        let own = step.marks.iter().find(|own| own.balloon.mark == leader.label);
        let radius = leader.balloon.unwrap_or(0.0) + Area::WHITE;
        let (off, anchor) =
            if leader.to.x < middle { (-radius, Anchor::Right) } else { (radius, Anchor::Left) };
        if let Some(own) = own.filter(|own| count(own) > 1) {
            let at = leader.to + DVec2::new(off, -LETTER_HEIGHT / 2.0);
            sheet.text(LineClass::Dimension, at, LETTER_HEIGHT, anchor, count_words(own));
        }
        sheet.draw(LineClass::Dimension, Figure::Leader(leader));
    }
}
