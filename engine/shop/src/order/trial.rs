//! Temporary fits: a part held to its place and marked from what stands, taken away and cut to the marks.

use super::drawn::Drawn;
use super::events::{Does, Move};
use super::needs::marked_from;
use super::steps::{Drafter, of};
use super::words::{listed, names, unique_words};
use crate::steps::TOUCHING;
use slatwork_base::Length;
use slatwork_model::{FeatureKind, Fit, Model, Part, When};
use slatwork_solid::DVec3;

/// Boards nearer than this to parallel (as a cosine) lie side by side.
const SIDE_BY_SIDE: f64 = 1.0 - 1e-5;

/// A part of the same kind that lies beside another.
pub(super) struct Neighbour {
    pub(super) part: usize,
    /// From the middle of the one to that of the other, square to the grain.
    out: DVec3,
}

/// The nearest parts of its kind that stand on either side of a part.
pub(super) fn neighbours(model: &Model, kinds: &[usize], part: usize, standing: &[usize]) -> Vec<Neighbour> {
    let pose = model.parts[part].pose.matrix3;
    let centre = |part: usize| {
        let own = &model.parts[part];
        own.pose.transform_point3(own.solid.centroid())
    };
    let is_beside = |other: &&usize| {
        let grain = model.parts[**other].pose.matrix3.x_axis;
        **other != part && kinds[**other] == kinds[part] && grain.dot(pose.x_axis).abs() > SIDE_BY_SIDE
    };
    let beside = standing.iter().filter(is_beside).map(|&other| {
        let out = (centre(other) - centre(part)).reject_from_normalized(pose.x_axis);
        Neighbour { part: other, out }
    });
    let (low, high): (Vec<_>, Vec<_>) = beside.partition(|own| own.out.dot(pose.y_axis) < 0.0);
    let nearest =
        |own: Vec<Neighbour>| own.into_iter().min_by(|a, b| a.out.length().total_cmp(&b.out.length()));
    [nearest(low), nearest(high)].into_iter().flatten().collect()
}

/// The part beyond an edge that is trimmed to fit: the edge is marked from it.
pub(super) fn beyond_trim(
    model: &Model,
    kinds: &[usize],
    part: usize,
    standing: &[usize],
) -> Option<Neighbour> {
    let fit = model.parts[part].fit.as_ref().filter(|fit| fit.is_across())?;
    let way = way_of(&fit.trim)?;
    neighbours(model, kinds, part, standing).into_iter().find(|own| own.out.dot(way) > 0.0)
}

/// The direction that the first word of "rear edge" or "right end" looks in.
fn way_of(trim: &str) -> Option<DVec3> {
    Some(match trim.split(' ').next()? {
        "front" => DVec3::NEG_Y,
        "rear" => DVec3::Y,
        "left" => DVec3::NEG_X,
        "right" => DVec3::X,
        "upper" => DVec3::Z,
        "lower" => DVec3::NEG_Z,
        _ => return None,
    })
}

impl Drafter<'_> {
    /// Holding parts to their places and marking them: all that are marked alike in one sentence.
    pub(super) fn holding(&self, moves: &[&Move], standing: &[usize]) -> Vec<String> {
        let held: Vec<&Move> = moves.iter().filter(|own| own.does == Does::Held).copied().collect();
        let mut alike: Vec<(&[usize], Vec<usize>)> = Vec::new();
        let mut text = Vec::new();
        for own in held {
            let part = own.parts[0];
            if let Some(beyond) = beyond_trim(self.model, self.kinds, part, standing) {
                text.push(self.offering_up(part, &beyond, standing));
            } else if let Some((_, parts)) = alike.iter_mut().find(|(from, _)| *from == own.marked) {
                parts.push(part);
            } else {
                alike.push((&own.marked, vec![part]));
            }
        }
        text.extend(alike.into_iter().map(|(from, parts)| {
            let (each, them) = if parts.len() > 1 { (" each", "them") } else { ("", "it") };
            format!(
                "Hold {} to the place told below,{each} as near as uncut wood goes, and mark {them} from {}.",
                names(self.model, &parts),
                names(self.model, from)
            )
        }));
        text
    }

    /// "Hold `slat 4` over its place, 1/4" clear of `slat 3`, and mark its rear edge 1/4" clear of `slat 5`."
    fn offering_up(&self, part: usize, beyond: &Neighbour, standing: &[usize]) -> String {
        let own = &self.model.parts[part];
        let trim = own.fit.as_ref().map_or("edge", |fit| fit.trim.as_str());
        let behind = neighbours(self.model, self.kinds, part, standing);
        let behind = behind.into_iter().find(|other| other.part != beyond.part);
        let first = behind.map_or(String::new(), |other| format!(", {}", self.clear_of(part, other.part)));
        format!(
            "Hold {} over its place{first}, and mark its {trim}{} {}.",
            names(self.model, &[part]),
            self.side_word(part),
            self.clear_of(part, beyond.part)
        )
    }

    /// "1/4" clear of `slat 3`".
    pub(super) fn clear_of(&self, part: usize, other: usize) -> String {
        let gap = self.reading.text(Length::mm(self.gap(part, other)));
        format!("{gap} clear of {}", names(self.model, &[other]))
    }

    /// " (the far edge)": what the cut list calls the side that is trimmed.
    fn side_word(&self, part: usize) -> String {
        let fit = self.model.parts[part].fit.as_ref();
        let side = fit.and_then(|fit| Some(Drawn::new(self.model, part)?.side(way_of(&fit.trim)?)));
        side.map_or(String::new(), |side| format!(" (the {})", side.word()))
    }

    /// Taking parts away and cutting them.
    pub(super) fn taking_away(&self, moves: &[&Move]) -> Option<String> {
        let mut parts = of(moves, Does::TakenAway);
        parts.sort_unstable();
        let is_marked = |part: &usize| !marked_from(&self.model.parts[*part]).is_empty();
        let mut cuts = Vec::from_iter(parts.iter().any(is_marked).then(|| String::from("cut to the marks")));
        let fits = parts.iter().filter_map(|part| self.model.parts[*part].fit.as_ref());
        cuts.extend(unique_words(fits.map(|fit| format!("trim the {}", fit.trim)).collect()));
        (!parts.is_empty())
            .then(|| format!("Take {} away again: {}.", names(self.model, &parts), listed(&cuts)))
    }

    /// The trimming of a part that is fitted: how big it was left, what is trimmed, and what it comes to.
    pub(super) fn trimming(&self, part: usize) -> Option<String> {
        let own = &self.model.parts[part];
        let fit = own.fit.as_ref()?;
        let text = |length: Length| self.reading.text(length);
        let (rough, finished, way) = sizes(own);
        Some(format!(
            "`{}` was left {} over, {} {way}: trim its {}{} {}; {} if all before it is true.",
            own.name,
            text(fit.allowance),
            text(rough),
            fit.trim,
            self.side_word(part),
            self.until(part, fit),
            text(finished)
        ))
    }

    /// To what a side is trimmed: the gap to the part beyond it, or the part that lies open in it.
    fn until(&self, part: usize, fit: &Fit) -> String {
        let all: Vec<usize> = (0..self.model.parts.len()).collect();
        if let Some(beyond) = beyond_trim(self.model, self.kinds, part, &all) {
            return format!("until it lies {}", self.clear_of(part, beyond.part));
        }
        match lies_open(&self.model.parts[part], fit) {
            Some(other) => format!("until it comes flush with `{other}`, which lies in its notch there"),
            None => String::from("once it sits in its place"),
        }
    }
}

/// The part round which a notch is cut that is open at the end to trim.
fn lies_open<'a>(part: &'a Part, fit: &Fit) -> Option<&'a str> {
    let way = part.pose.matrix3.x_axis.dot(way_of(&fit.trim)?);
    part.features.iter().find_map(|feature| match (&feature.kind, &feature.when) {
        (FeatureKind::Notch { from_end, along, .. }, When::MarkedFrom { parts }) => {
            let beside = if way > 0.0 { part.length - *from_end - *along } else { *from_end };
            let is_open = !fit.is_across() && beside <= TOUCHING;
            parts.first().filter(|_| is_open).map(String::as_str)
        }
        _ => None,
    })
}

/// The size that a fitted part is left too big in, before and after trimming.
fn sizes(part: &Part) -> (Length, Length, &'static str) {
    match part.fit.as_ref().is_some_and(Fit::is_across) {
        true => (part.rough_width, part.width, "wide"),
        false => (part.rough_length, part.length, "long"),
    }
}
