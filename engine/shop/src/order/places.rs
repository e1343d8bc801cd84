//! Where a part that comes in sits on what it meets: which face lies on which, and how its edges and ends stand to the
//! sides of the other, as the tape reads them.

use super::drawn::Drawn;
use super::events::{Does, Move};
use super::steps::Drafter;
use super::trial::{beyond_trim, neighbours};
use super::words::{listed, names, to_where};
use crate::words::{Along, BoardSide, Reading};
use slatwork_base::Length;
use slatwork_model::Model;
use slatwork_model::joints::JointPatch;
use slatwork_solid::{DVec3, clearance};

/// An edge tells where a board lies when it runs along so much of the contact: no facet of a sawn curve, no corner of a cope.
const LEAST_SHARE: f64 = 0.5;

/// How far beside an edge of a contact, and how far in the wood, one looks whose edge it is, mm.
const BESIDE: f64 = 0.6;
const INTO: f64 = 1.0;

/// The faces, and two directions: that tells all of a place.
const ENOUGH: usize = 3;

/// Points nearer than this are one, mm.
const SAME: f64 = 0.1;

/// Two parts are mirror images of each other where they stand within this, mm.
const MIRRORED: f64 = 0.5;

/// Boards nearer than this to parallel (as a cosine) lie in a row.
const IN_A_ROW: f64 = 1.0 - 1e-5;

/// So many parts are told as a row; fewer one by one.
const LEAST_ROW: usize = 3;

/// Where one part sits on another.
struct Place {
    part: usize,
    on: usize,
    /// Which face lies on which, and how it stands to the sides of the other: "its back face on the datum edge, its far edge
    /// 6 9/16" from the far end".
    words: String,
    /// Of how many directions something is told.
    told: usize,
}

impl Drafter<'_> {
    /// The places of parts that come in, a line each; what is alike in one.
    pub(super) fn places(&self, moves: &[&Move], standing: &[usize]) -> Vec<String> {
        let mut stands = standing.to_vec();
        let mut places: Vec<Place> = Vec::new();
        for own in
            moves.iter().filter(|own| own.does != Does::TakenAway && !self.is_offered_up(own, standing))
        {
            let joints = self.joints_with(own, &stands);
            let found = joints.iter().filter_map(|joint| self.place(*joint, &own.parts));
            places.extend(self.enough(found.collect(), &stands));
            stands.extend(&own.parts);
        }
        let row = self.row(&places);
        let mut text = Vec::new();
        if let Some(row) = &row {
            places.retain(|place| place.part == row.first || !row.parts.contains(&place.part));
        }
        let beside = if row.is_none() { self.beside_another(moves, standing) } else { Vec::new() };
        let by_another = |place: &Place| beside.iter().any(|(part, _)| *part == place.part);
        places.retain(|place| standing.is_empty() || moves.len() == 1 || !by_another(place));
        text.extend(self.told(&places));
        text.extend(row.map(|row| row.words));
        text.extend(beside.into_iter().map(|(_, words)| words));
        text
    }

    /// Whether a part is held beside others to be trimmed, so that these tell its place.
    fn is_offered_up(&self, own: &Move, standing: &[usize]) -> bool {
        own.does == Does::Held && beyond_trim(self.model, self.kinds, own.parts[0], standing).is_some()
    }

    /// Joints that tell where a body goes: those made with it; those to come where it is only held there.
    fn joints_with(&self, own: &Move, stands: &[usize]) -> Vec<usize> {
        if own.does != Does::Held {
            return own.joints.clone();
        }
        let is_between = |joint: &usize| {
            let parts = &self.model.joints[*joint].parts;
            let mut others = parts.iter().filter(|part| !own.parts.contains(&part.0)).peekable();
            parts.iter().any(|part| own.parts.contains(&part.0))
                && others.peek().is_some()
                && others.all(|part| stands.contains(&part.0))
        };
        (0..self.model.joints.len()).filter(is_between).collect()
    }

    /// How far slats that are no row lie from those beside them, held or standing.
    fn beside_another(&self, moves: &[&Move], standing: &[usize]) -> Vec<(usize, String)> {
        let mut stands = standing.to_vec();
        let mut told = Vec::new();
        for own in
            moves.iter().filter(|own| own.does != Does::TakenAway && !self.is_offered_up(own, standing))
        {
            let [part] = own.parts[..] else { continue };
            let width = self.model.parts[part].width.as_mm();
            let near = neighbours(self.model, self.kinds, part, &stands).into_iter();
            let near = near.filter(|other| self.gap(part, other.part) < width);
            let clear: Vec<String> = near.map(|other| self.clear_of(part, other.part)).collect();
            stands.push(part);
            if !clear.is_empty() {
                told.push((part, format!("{} lies {}.", self.named(part), listed(&clear))));
            }
        }
        told
    }

    /// What is put on boards that hold together already is told on one of them, where the most can be told of it.
    fn enough(&self, places: Vec<Place>, stands: &[usize]) -> Vec<Place> {
        let bodies = self.bodies(stands);
        let body = |place: &Place| bodies.iter().position(|body| body.contains(&place.on));
        let mut kept: Vec<Place> = Vec::new();
        for place in places {
            match kept.iter_mut().find(|own| body(own) == body(&place)) {
                Some(own) if place.told > own.told => *own = place,
                Some(_) => {}
                None => kept.push(place),
            }
        }
        kept
    }

    /// Parts that stand, sorted into bodies that joints hold together.
    fn bodies(&self, stands: &[usize]) -> Vec<Vec<usize>> {
        let mut bodies: Vec<Vec<usize>> = stands.iter().map(|part| vec![*part]).collect();
        for joint in self.model.joints.iter().filter(|joint| joint.patch.is_some()) {
            let parts: Vec<usize> = joint.parts.iter().map(|part| part.0).collect();
            if parts.iter().all(|part| stands.contains(part)) {
                let holds = |body: &Vec<usize>| parts.iter().any(|part| body.contains(part));
                let (held, mut rest): (Vec<_>, Vec<_>) = bodies.into_iter().partition(holds);
                rest.push(held.concat());
                bodies = rest;
            }
        }
        bodies
    }

    fn place(&self, joint: usize, coming: &[usize]) -> Option<Place> {
        let joint = &self.model.joints[joint];
        let (patch, [one, other, ..]) = (joint.patch.as_ref()?, &joint.parts[..]) else { return None };
        let (part, on, into) = match (coming.contains(&one.0), coming.contains(&other.0)) {
            (true, false) => (one.0, other.0, patch.normal),
            (false, true) => (other.0, one.0, -patch.normal),
            _ => return None,
        };
        let meeting =
            Meeting { part: Drawn::new(self.model, part)?, on: Drawn::new(self.model, on)?, patch, into };
        let words = meeting.words(self.reading);
        Some(Place { part, on, told: words.len(), words: words.join(", ") })
    }

    /// Places in words: those of equal words in one line, one that mirrors another told by it.
    fn told(&self, places: &[Place]) -> Vec<String> {
        let mut told: Vec<(String, Vec<&Place>)> = Vec::new();
        let mut mirrored: Vec<(&Place, &Place)> = Vec::new();
        for place in places {
            let words = place.words.clone();
            if let Some((_, alike)) = told.iter_mut().find(|(own, _)| *own == words) {
                alike.push(place);
            } else if let Some(first) = places.iter().find(|first| self.is_mirrored(first, place))
                && told.iter().any(|(_, alike)| alike.iter().any(|own| std::ptr::eq(*own, first)))
            {
                mirrored.push((place, first));
            } else {
                told.push((words, vec![place]));
            }
        }
        let mut text: Vec<String> = told
            .iter()
            .map(|(words, alike)| format!("{}: {words}.", sentence_pairs(self.model, alike)))
            .collect();
        for (place, first) in mirrored {
            let pair = sentence_pairs(self.model, &[place]);
            let as_first = if first.part == place.part {
                format!("on {}", self.named(first.on))
            } else {
                self.named(first.part)
            };
            text.push(format!("{pair}: as {as_first}, mirrored."));
        }
        text
    }

    /// Whether a place is the mirror image of another across a plane square to one of the piece's directions.
    fn is_mirrored(&self, first: &Place, place: &Place) -> bool {
        let (parts, ons) = ([first.part, place.part], [first.on, place.on]);
        if self.kinds[parts[0]] != self.kinds[parts[1]] {
            return false;
        }
        let centre = |part: usize| {
            let own = &self.model.parts[part];
            own.pose.transform_point3(own.solid.centroid())
        };
        let across = |pair: [usize; 2]| centre(pair[1]) - centre(pair[0]);
        let (part, on) = (across(parts), across(ons));
        let to_the_side = |step: DVec3| step.y.abs() < MIRRORED && step.z.abs() < MIRRORED;
        let same_middle = || {
            let middle = |pair: [usize; 2]| (centre(pair[0]) + centre(pair[1])).x;
            (middle(parts) - middle(ons)).abs() < MIRRORED * 2.0
        };
        to_the_side(part) && to_the_side(on) && same_middle() && bare(&first.words) == bare(&place.words)
    }
}

/// "`rail` on `stile` and `stile 2`", "`post` on `rail`, `post 2` on `rail 2`".
fn sentence_pairs(model: &Model, places: &[&Place]) -> String {
    let mut pairs: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    for place in places {
        match pairs.iter_mut().find(|(parts, _)| *parts == [place.part]) {
            Some((_, ons)) => ons.push(place.on),
            None => pairs.push((vec![place.part], vec![place.on])),
        }
    }
    let mut merged: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    for (parts, ons) in pairs {
        match merged.iter_mut().find(|(_, own)| *own == ons) {
            Some((all, _)) => all.extend(parts),
            None => merged.push((parts, ons)),
        }
    }
    let words =
        |(parts, ons): &(Vec<usize>, Vec<usize>)| format!("{} on {}", names(model, parts), names(model, ons));
    listed(&merged.iter().map(words).collect::<Vec<_>>())
}

/// Words without what a mirror turns round.
fn bare(words: &str) -> String {
    ["datum", "far", "marked", "back"].iter().fold(words.to_string(), |text, word| text.replace(word, ""))
}

/// Two boards where they meet.
struct Meeting<'a> {
    part: Drawn<'a>,
    on: Drawn<'a>,
    patch: &'a JointPatch,
    /// Out of the part that comes in, into the other.
    into: DVec3,
}

/// An edge of the contact, and whose edge it is.
pub(super) struct Line {
    pub(super) ends: [DVec3; 2],
    /// Out of the contact.
    out: DVec3,
    /// Out of the part that comes in.
    pub(super) into: DVec3,
    ends_part: bool,
    ends_on: bool,
}

/// A number between a line and a side: for each end of the line.
struct Reach<'l> {
    line: &'l Line,
    /// The side of the one board that the line belongs to.
    side_of_line: BoardSide,
    /// The side of the other that it is measured from.
    side: BoardSide,
    /// mm, and the point: of both ends, or of the one that can be measured.
    at: Vec<(f64, DVec3)>,
    /// The way along the line.
    way: DVec3,
}

impl Meeting<'_> {
    fn words(&self, reading: Reading) -> Vec<String> {
        let beside = |into: DVec3| self.patch.centre + into * (BESIDE + self.patch.gap);
        let faces = (
            self.part.meeting_word(self.part.side(self.into), beside(self.into), "its"),
            self.on.meeting_word(self.on.side(-self.into), beside(-self.into), "the"),
        );
        let axes = self.on.pose.matrix3;
        let mut ways = [axes.x_axis, axes.y_axis, axes.z_axis];
        ways.sort_by(|a, b| a.dot(self.into).abs().total_cmp(&b.dot(self.into).abs()));
        let lines = self.lines();
        let mut words = vec![format!("{} on {}", faces.0, faces.1)];
        let mut told: Vec<&Line> = Vec::new();
        for way in &ways[..2] {
            // A line at 45 degrees runs across both: one telling of it is enough.
            let others: Vec<&Line> =
                lines.iter().filter(|line| !told.iter().any(|own| std::ptr::eq(*own, *line))).collect();
            if let Some((line, own)) = self.stand(&others, *way, reading) {
                told.push(line);
                words.push(own);
            }
        }
        if words.len() < ENOUGH {
            words.extend(self.corner(&lines, reading));
        }
        words
    }

    /// How far a corner of the part lies from one of the other: where no side can be measured from.
    fn corner(&self, lines: &[Line], reading: Reading) -> Option<String> {
        let own = self.patch.corners.iter().filter_map(|corner| {
            let meets =
                |line: &&Line| line.ends_part && line.ends.iter().any(|end| end.distance(*corner) < SAME);
            let sides: Vec<BoardSide> =
                lines.iter().filter(meets).map(|line| self.part.side(line.out)).collect();
            Some((<[BoardSide; 2]>::try_from(sides).ok()?, *corner))
        });
        let other = self.on.corners(self.patch.centre, self.into);
        let pairs = own.flat_map(|(own, corner)| {
            other.iter().map(move |(sides, at)| (corner.distance(*at), own, *sides))
        });
        let (far, own, other) = pairs.min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(format!(
            "the corner of its {} and its {} {} from the corner of the {} and the {}",
            own[0].word(),
            own[1].word(),
            reading.text(Length::mm(far)),
            other[0].word(),
            other[1].word()
        ))
    }

    fn lines(&self) -> Vec<Line> {
        let corners = &self.patch.corners;
        let line = |index: usize| {
            let ends = [corners[index], corners[(index + 1) % corners.len()]];
            let (middle, along) = ((ends[0] + ends[1]) / 2.0, ends[1] - ends[0]);
            let square = along.cross(self.into).normalize_or_zero();
            let out = if square.dot(middle - self.patch.centre) < 0.0 { -square } else { square };
            let deep = self.into * (INTO + self.patch.gap);
            let is_end = |board: &Drawn, deep: DVec3| {
                !board.holds(middle + out * BESIDE + deep) && !board.is_in_notch(middle + out * BESIDE + deep)
            };
            let (ends_part, ends_on) = (is_end(&self.part, -deep), is_end(&self.on, deep));
            let ways = corners.iter().map(|corner| corner.dot(along.normalize_or_zero()));
            let (low, high) =
                ways.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
            (along.length() > LEAST_SHARE * (high - low)).then_some(Line {
                ends,
                out,
                into: self.into,
                ends_part,
                ends_on,
            })
        };
        (0..corners.len()).filter_map(line).collect()
    }

    /// How the part stands along one direction of the other: flush, or so far in from a side of either; with the line that tells it.
    fn stand<'l>(&self, lines: &[&'l Line], way: DVec3, reading: Reading) -> Option<(&'l Line, String)> {
        let across: Vec<&'l Line> =
            lines.iter().copied().filter(|line| line.out.dot(way).abs() > ACROSS).collect();
        if let Some(line) = across.iter().find(|line| line.ends_part && line.ends_on) {
            let (own, other) = (self.part.side(line.out).word(), self.on.side(line.out).word());
            return Some((line, format!("its {own} flush with the {other}")));
        }
        let own = across.iter().filter(|line| line.ends_part);
        let along = self.on.side(way).along;
        if let Some(reach) = nearest(own.flat_map(|line| reaches(line, &self.part, (&self.on, along)))) {
            let words =
                format!("its {} {}", reach.side_of_line.word(), number(&reach, &self.on, "the", reading));
            return Some((reach.line, words));
        }
        let other = across.iter().filter(|line| line.ends_on);
        let reach = nearest(
            other.flat_map(|line| reaches(line, &self.on, (&self.part, self.part.side(line.out).along))),
        )?;
        let words =
            format!("the {} {}", reach.side_of_line.word(), number(&reach, &self.part, "its", reading));
        Some((reach.line, words))
    }
}

/// A line runs across a direction when its normal leaves it by less than this (cosine of 45 degrees).
const ACROSS: f64 = 0.707;

/// How far a line of one board lies in from the two sides of another that look along one direction.
fn reaches<'l>(line: &'l Line, of: &Drawn, (on, along): (&Drawn, Along)) -> impl Iterator<Item = Reach<'l>> {
    let side_of_line = of.side(line.out);
    let sides = [false, true].map(|high| BoardSide { along, high });
    sides.into_iter().filter_map(move |side| {
        let ends = on.in_from(side, line).into_iter().zip(line.ends);
        let at: Vec<(f64, DVec3)> = ends.filter_map(|(number, end)| Some((number?, end))).collect();
        (!at.is_empty()).then(|| Reach { line, side_of_line, side, at, way: line.ends[1] - line.ends[0] })
    })
}

/// The shortest, one that is measured at both ends before others.
fn nearest<'l>(reaches: impl Iterator<Item = Reach<'l>>) -> Option<Reach<'l>> {
    let mean = |own: &Reach| own.at.iter().map(|at| at.0).sum::<f64>() / own.at.len() as f64;
    reaches.min_by(|a, b| b.at.len().cmp(&a.at.len()).then(mean(a).total_cmp(&mean(b))))
}

/// How far from which side; two numbers for a line that runs askew, each along the side where it is measured.
fn number(reach: &Reach, on: &Drawn, whose: &str, reading: Reading) -> String {
    let text = |value: f64| reading.text(Length::mm(value));
    let mut at = reach.at.clone();
    at.sort_by(|a, b| a.0.total_cmp(&b.0));
    let middle = |own: &[(f64, DVec3)]| own.iter().map(|at| at.1).sum::<DVec3>() / own.len() as f64;
    let toward = |point: DVec3| {
        let away = point - if at.len() > 1 { middle(&at) } else { on.pose.transform_point3(on.size / 2.0) };
        let mut local = on.turned(reach.way * reach.way.dot(away).signum());
        local[reach.side.along.index()] = 0.0;
        on.side(on.pose.transform_vector3(local)).word()
    };
    let from = format!("from {whose} {}", reach.side.word());
    match at[..] {
        [one, other] if (one.0 - other.0).abs() * 2.0 < reading.step().as_mm() => {
            format!("{} {from}", text((one.0 + other.0) / 2.0))
        }
        [one, other] => {
            let (least, most) = (toward(one.1), toward(other.1));
            format!("{} {from} at the {least} and {} at the {most}", text(one.0), text(other.0))
        }
        _ => format!("{} {from} at the {}", text(at[0].0), toward(at[0].1)),
    }
}

/// Parts of one kind side by side.
struct Row {
    first: usize,
    parts: Vec<usize>,
    words: String,
}

impl Drafter<'_> {
    /// The row that parts of one kind make, if these do: parallel, with an end in line.
    fn row(&self, places: &[Place]) -> Option<Row> {
        let first = places.first()?.part;
        let mut parts: Vec<usize> = Vec::new();
        for place in places.iter().filter(|place| self.kinds[place.part] == self.kinds[first]) {
            parts.extend((!parts.contains(&place.part)).then_some(place.part));
        }
        let grain = self.model.parts[first].pose.matrix3.x_axis;
        let is_parallel =
            |part: &usize| self.model.parts[*part].pose.matrix3.x_axis.dot(grain).abs() > IN_A_ROW;
        if parts.len() < LEAST_ROW || !parts.iter().all(is_parallel) {
            return None;
        }
        let centre = |part: usize| {
            let own = &self.model.parts[part];
            own.pose.transform_point3(own.solid.centroid()).reject_from_normalized(grain)
        };
        let way = centre(*parts.last()?) - centre(first);
        parts.sort_by(|a, b| centre(*a).dot(way).total_cmp(&centre(*b).dot(way)));
        let ends = self.ends_in_line(&parts, grain)?;
        let (start, end) = (self.named(parts[0]), self.named(*parts.last()?));
        let words = format!("From {start} to {end} {}, {ends}.", self.spaces(&parts));
        Some(Row { first: parts[0], parts, words })
    }

    /// Clear distances between neighbours of a row, told once where all read alike. What such a reading is off adds up along the
    /// row: where that comes to more than half a mark, how far the first and the last stand apart is told as well.
    fn spaces(&self, parts: &[usize]) -> String {
        let gaps: Vec<Length> = parts.windows(2).map(|pair| Length::mm(self.gap(pair[0], pair[1]))).collect();
        let mut texts: Vec<String> = gaps.iter().map(|gap| self.reading.text(*gap)).collect();
        if texts.iter().any(|own| *own != texts[0]) {
            return format!("{} clear between", listed(&texts));
        }
        texts.truncate(1);
        let read = self.reading.tape.read(gaps[0]).mark.as_mm();
        let off: f64 = gaps.iter().map(|gap| gap.as_mm() - read).sum();
        if let (true, [first, .., last]) =
            (gaps.len() > 1 && off.abs() * 2.0 > self.reading.step().as_mm(), parts)
        {
            let apart = self.reading.text(Length::mm(self.gap(*first, *last)));
            return format!(
                "{} clear between, in all {apart} between these two",
                self.reading.true_text(gaps[0])
            );
        }
        format!("{} clear between", texts[0])
    }

    /// Clear distance between two parts, mm.
    pub(super) fn gap(&self, part: usize, other: usize) -> f64 {
        clearance(&self.model.parts[part].placed(), &self.model.parts[other].placed())
    }

    fn named(&self, part: usize) -> String {
        format!("`{}`", self.model.parts[part].name)
    }

    /// Which ends of parallel boards lie in line, in words; `None` for neither.
    fn ends_in_line(&self, parts: &[usize], grain: DVec3) -> Option<String> {
        let reach = |part: &usize| {
            let own = &self.model.parts[*part];
            let along = own.solid.pieces().iter().flat_map(|piece| piece.vertices());
            along
                .map(|corner| own.pose.transform_point3(*corner).dot(grain))
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
        };
        let all: Vec<(f64, f64)> = parts.iter().map(reach).collect();
        let low = all.iter().all(|own| (own.0 - all[0].0).abs() < MIRRORED);
        let high = all.iter().all(|own| (own.1 - all[0].1).abs() < MIRRORED);
        match (low, high) {
            (true, true) => Some(String::from("all ends in line")),
            (true, false) => Some(format!("the ends that look {} in line", to_where(-grain))),
            (false, true) => Some(format!("the ends that look {} in line", to_where(grain))),
            (false, false) => None,
        }
    }
}
