//! What its distances and its row leave of a bolt: CΔ and Cg, with a rule on the drawn boards.

use super::INCH;
use slatwork::checks::framing::{Analysis, Tie};
use slatwork::model::Part;
use slatwork::model::joints::{Fastening, Layer};
use slatwork::solid::{DVec3, along};

/// A bolt in one of its members.
pub(super) struct InMember<'a> {
    pub(super) part: &'a Part,
    pub(super) layer: &'a Layer,
    pub(super) one: &'a Fastening,
    pub(super) tie: &'a Tie,
    /// Which of the tie's fasteners.
    pub(super) at: usize,
    /// What it does to the member, N.
    pub(super) push: DVec3,
    pub(super) hardwood: bool,
    /// l/D.
    pub(super) slender: f64,
}

/// Actual over full distance, both in D; nothing under the least.
fn part_of(there: f64, least: f64, full: f64) -> f64 {
    if there < least - 1e-6 { 0.0 } else { (there / full).min(1.0) }
}

impl InMember<'_> {
    fn diameter(&self) -> f64 {
        self.one.diameter.as_mm()
    }

    /// Wood before the bolt, D, half way along what bears.
    fn wood(&self, way: DVec3) -> f64 {
        let bears = (self.layer.from.max(0.0) + self.layer.to.min(self.one.length.as_mm())) / 2.0;
        let middle = self.one.head + self.one.direction * bears;
        let spans = along(&self.part.placed(), middle, middle + way * 500.0);
        spans.first().map_or(0.0, |span| span.1) / self.diameter()
    }

    /// To the next bolt in line, D.
    fn next(&self, line: DVec3, beside: DVec3) -> Option<f64> {
        let place = |at: usize| {
            let [u, v] = self.tie.places[at];
            self.tie.axes[1] * u + self.tie.axes[2] * v
        };
        let ways = (0..self.tie.places.len())
            .filter(|other| *other != self.at)
            .map(|other| place(other) - place(self.at));
        let in_line = ways.filter(|way| way.dot(beside).abs() < self.diameter());
        in_line.map(|way| way.dot(line).abs() / self.diameter()).reduce(f64::min)
    }

    /// CΔ, with how it comes about (NDS Tables 12.5.1A to D).
    pub(super) fn geometry(&self) -> (f64, String) {
        let grain = self.part.pose.matrix3.x_axis;
        let grain = (grain - self.one.direction * grain.dot(self.one.direction)).normalize();
        let across = self.one.direction.cross(grain);
        let (with, over) = (self.push.dot(grain), self.push.dot(across));
        let (toward, beside) = (grain * with.signum(), across * over.signum());
        let (end, behind) = (self.wood(toward), self.wood(-toward));
        let (loaded, other) = (self.wood(beside), self.wood(-beside));
        let tension = if self.hardwood { 5.0 } else { 7.0 };
        let (in_line, abreast) = (self.next(grain, across), self.next(across, grain));
        let spaced = |there: Option<f64>, least, full| there.map_or(1.0, |there| part_of(there, least, full));
        let slender = abreast.filter(|_| self.slender > 6.0).map_or(1.5, |rows| (rows / 2.0).max(1.5));
        let along = [
            part_of(end, tension / 2.0, tension),
            part_of(behind, 2.0, 4.0),
            part_of(loaded.min(other), 1.5, slender),
            spaced(in_line, 3.0, 4.0),
            spaced(abreast, 1.5, 1.5),
        ];
        let rows = (5.0 * self.slender.clamp(2.0, 6.0) + 10.0) / 8.0;
        let cross = [
            part_of(end.min(behind), 2.0, 4.0),
            part_of(loaded, 1.5, 4.0),
            part_of(other, 1.5, 1.5),
            spaced(in_line, 2.5, rows),
        ];
        let least = |all: &[f64]| all.iter().copied().fold(1.0, f64::min);
        let (a, b) = (least(&along), least(&cross));
        let (x, y) = (with * with, over * over);
        let factor = if a * y + b * x > 0.0 { a * b * (x + y) / (a * y + b * x) } else { 0.0 };
        let text = format!(
            "C\u{394} in `{}`: {end:.1} D before the end that it pushes to, of {tension} D, and {loaded:.1} D before the edge, of 4 D: {a:.3} along the grain, {b:.3} across it; at {:.0} degrees {factor:.3} (NDS Tables 12.5.1A to D; between them by Hankinson's formula, project choice)",
            self.part.name,
            over.abs().atan2(with.abs()).to_degrees()
        );
        (factor, text)
    }
}

/// E of a member times what of it goes with a row along `row`, lb.
fn stiffness(analysis: &Analysis, own: &InMember, row: DVec3, across: f64) -> f64 {
    let elastic = analysis.models[0].framing.timbers.of(own.part.id).elasticity() / 0.006_894_757;
    let bears = own.layer.to.min(own.one.length.as_mm()) - own.layer.from.max(0.0);
    let bounds = own.part.solid.bounds();
    let area = if own.part.pose.matrix3.x_axis.dot(row).abs() > 0.707 {
        (bounds.max.y - bounds.min.y) * (bounds.max.z - bounds.min.z)
    } else {
        bears * across
    };
    elastic * area / INCH / INCH
}

/// Cg of a bolt in its row along the grain of either member, the lesser (NDS Eq 11.3-1).
pub(super) fn group_action(analysis: &Analysis, members: [&InMember; 2]) -> f64 {
    let [side, main] = members;
    let diameter = side.diameter();
    let of_row = |own: &InMember| -> f64 {
        let row = own.part.pose.matrix3.x_axis;
        let flat = [own.tie.axes[1].dot(row), own.tie.axes[2].dot(row)];
        let long = flat[0].hypot(flat[1]);
        if long < 0.707 {
            return 1.0;
        }
        let line = |place: &[f64; 2]| {
            let [u, v] = flat.map(|way| way / long);
            (place[0] * u + place[1] * v, place[1] * u - place[0] * v)
        };
        let all: Vec<(f64, f64)> = own.tie.places.iter().map(line).collect();
        let here = all[own.at].1;
        let mut in_row: Vec<f64> =
            all.iter().filter(|place| (place.1 - here).abs() < diameter).map(|place| place.0).collect();
        in_row.sort_by(f64::total_cmp);
        let n = in_row.len() as f64;
        let Some(s) = in_row.windows(2).map(|pair| pair[1] - pair[0]).reduce(f64::max) else { return 1.0 };
        let most = all.iter().map(|place| place.1).fold(f64::MIN, f64::max);
        let across = (most - all.iter().map(|place| place.1).fold(f64::MAX, f64::min)).max(3.0 * diameter);
        let (m_, s_) = (stiffness(analysis, main, row, across), stiffness(analysis, side, row, across));
        let u = 1.0 + 180_000.0 * (diameter / INCH).powf(1.5) * (s / INCH) / 2.0 * (1.0 / m_ + 1.0 / s_);
        let m = u - (u * u - 1.0).sqrt();
        let rea = (s_ / m_).min(m_ / s_);
        m * (1.0 - m.powf(2.0 * n)) / (n * ((1.0 + rea * m.powf(n)) * (1.0 + m) - 1.0 + m.powf(2.0 * n)))
            * (1.0 + rea)
            / (1.0 - m)
    };
    of_row(side).min(of_row(main))
}
