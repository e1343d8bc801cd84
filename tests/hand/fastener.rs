//! A screw or bolt across its axis, and across and along it: how a joint shares its load, yield modes, withdrawal, both together.

use super::distances::{InMember, group_action};
use super::{ACROSS, Hand, INCH, POUND, WET_ACROSS, situations};
use slatwork::catalog::{Catalogue, FastenerKind};
use slatwork::checks::Verdict;
use slatwork::checks::framing::{Analysis, Tie, TieForces};
use slatwork::model::joints::{Fastening, HeadSeat, Layer};
use slatwork::solid::DVec3;
use std::f64::consts::PI;

/// CM of screws and bolts in wood that is wet in service, across and along (NDS Table 11.3.3; of a head pulled through from memory).
const WET: f64 = 0.7;
/// One fastener under one load case.
struct Loaded<'a> {
    analysis: &'a Analysis<'a>,
    catalogue: &'a Catalogue,
    tie: &'a Tie,
    one: &'a Fastening,
    /// Which of the tie's fasteners.
    at: usize,
    /// Across its axis along and across the patch, and along it, N.
    lateral: [f64; 2],
    axial: f64,
    /// CD.
    duration: f64,
}

/// The hardest worked fastener between the two parts of a verdict under its load case.
pub(super) fn worst(analysis: &Analysis, catalogue: &Catalogue, verdict: &Verdict, both: bool) -> Hand {
    let mut found: Option<Hand> = None;
    for model in &analysis.models {
        let ties =
            model.framing.ties.iter().enumerate().filter(|(_, tie)| tie.parts[..] == verdict.parts[..]);
        for (index, tie) in ties {
            for situation in situations(analysis, verdict) {
                let forces = model.tie_forces(index, situation).expect("it stands");
                let duration = analysis.situations[situation].about.duration();
                for (at, own) in tie.fasteners.iter().enumerate() {
                    let one = &analysis.model.joints[tie.joint].fastenings[*own];
                    let (lateral, axial) = (across(tie, &forces, at), pulled(tie, &forces, at));
                    let hand =
                        Loaded { analysis, catalogue, tie, one, at, lateral, axial, duration }.hand(both);
                    if found.as_ref().is_none_or(|worst| hand.ratio > worst.ratio) {
                        found = Some(hand);
                    }
                }
            }
        }
    }
    found.expect("a fastener")
}

/// V k / sum k and M k r / sum k r2 about the elastic centre, the part of M that the heads hold by friction taken off.
fn across(tie: &Tie, forces: &TieForces, at: usize) -> [f64; 2] {
    let all: f64 = tie.slip.iter().sum();
    let polar: f64 = tie.slip.iter().zip(&tie.places).map(|(k, [u, v])| k * (u * u + v * v)).sum();
    let ([u, v], k) = (tie.places[at], tie.slip[at]);
    let turn = if tie.slip.len() > 1 { forces[3] / tie.springs[3].max(polar) } else { 0.0 };
    [forces[1] * k / all - turn * k * v, forces[2] * k / all + turn * k * u]
}

/// N / n, and M z / sum z2 about the worse edge that stays closed, what presses it shut taken off.
fn pulled(tie: &Tie, forces: &TieForces, at: usize) -> f64 {
    let pressed = (-forces[0]).max(0.0);
    let pried = |axis: usize, moment: f64| {
        let about = |edge: f64| {
            let lever = |own: usize| (tie.places[own][axis] - edge).abs();
            let square: f64 = (0..tie.places.len()).map(|own| lever(own).powi(2)).sum();
            (moment.abs() - pressed * edge.abs()).max(0.0) * lever(at) / square
        };
        about(tie.extent[axis][0]).max(about(tie.extent[axis][1]))
    };
    forces[0].max(0.0) / tie.places.len() as f64 + pried(0, forces[5]) + pried(1, forces[4])
}

/// A member that a fastener bears on.
struct Member {
    name: String,
    gravity: f64,
    /// In.
    length: f64,
    /// Degrees from its grain to the load.
    angle: f64,
    /// psi.
    bearing: f64,
    in_end: bool,
}

/// Rounded as the tables are, psi.
fn rounded(psi: f64) -> f64 {
    (psi / 50.0).round() * 50.0
}

/// Z of the six yield modes, lb (NDS Table 12.3.1A): D, Fyb, Fe and length of main and side member, Rd by mode.
fn modes(
    d: f64,
    fyb: f64,
    [fem, lm]: [f64; 2],
    [fes, ls]: [f64; 2],
    rd: [f64; 3],
) -> [(&'static str, f64); 6] {
    let (re, rt) = (fem / fes, lm / ls);
    let k1 = ((re + 2.0 * re * re * (1.0 + rt + rt * rt) + rt * rt * re.powi(3)).sqrt() - re * (1.0 + rt))
        / (1.0 + re);
    let k2 = -1.0 + (2.0 * (1.0 + re) + 2.0 * fyb * (1.0 + 2.0 * re) * d * d / (3.0 * fem * lm * lm)).sqrt();
    let k3 = -1.0 + (2.0 * (1.0 + re) / re + 2.0 * fyb * (2.0 + re) * d * d / (3.0 * fem * ls * ls)).sqrt();
    [
        ("Im", d * lm * fem / rd[0]),
        ("Is", d * ls * fes / rd[0]),
        ("II", k1 * d * ls * fes / rd[1]),
        ("IIIm", k2 * d * lm * fem / ((1.0 + 2.0 * re) * rd[2])),
        ("IIIs", k3 * d * ls * fem / ((2.0 + re) * rd[2])),
        ("IV", d * d / rd[2] * (2.0 * fem * fyb / (3.0 * (1.0 + re))).sqrt()),
    ]
}

/// The least of the modes.
fn least(modes: [(&'static str, f64); 6]) -> (&'static str, f64) {
    modes.into_iter().reduce(|a, b| if b.1 < a.1 { b } else { a }).expect("six modes")
}

impl Loaded<'_> {
    fn is_bolt(&self) -> bool {
        matches!(self.one.kind, FastenerKind::CarriageBolt | FastenerKind::HexBolt)
    }

    /// Nominal D, in.
    fn nominal(&self) -> f64 {
        self.one.diameter.as_inch()
    }

    /// What bears and bends: Dr of a screw, whose thread is in the plane (NDS 12.3.7).
    fn bears(&self) -> f64 {
        if self.is_bolt() {
            return self.nominal();
        }
        let known = self.catalogue.find_fastener_by_id(&self.one.item).expect("it is known");
        known.root_diameter().expect("its root is known").as_inch()
    }

    /// psi (NDS Appendix Table I1).
    fn bending_yield(&self) -> f64 {
        match self.nominal() {
            _ if self.is_bolt() => 45_000.0,
            d if d <= 0.142 => 100_000.0,
            d if d <= 0.177 => 90_000.0,
            d if d <= 0.236 => 80_000.0,
            d if d <= 0.273 => 70_000.0,
            _ => 60_000.0,
        }
    }

    fn layer(&self, at: usize) -> &Layer {
        self.one.layers.iter().find(|own| own.part == self.tie.parts[at]).expect("it passes both")
    }

    /// Side member 0, main member 1.
    fn member(&self, at: usize) -> Member {
        let (layer, part) = (self.layer(at), self.analysis.model.part(self.tie.parts[at]));
        let gravity = self.catalogue.species(&part.species).expect("it is known").connection_gravity();
        let force: DVec3 = self.tie.axes[1] * self.lateral[0] + self.tie.axes[2] * self.lateral[1];
        let in_end = layer.grain.as_deg() < 45.0;
        let along = force.normalize().dot(part.pose.matrix3.x_axis).abs().min(1.0);
        let angle = if in_end { 90.0 } else { along.acos().to_degrees() };
        let length = (layer.to.min(self.one.length.as_mm()) - layer.from.max(0.0)) / INCH;
        let bearing = if self.nominal() < 0.25 - 1e-9 {
            rounded(16_600.0 * gravity.powf(1.84))
        } else {
            let (with, across) =
                (rounded(11_200.0 * gravity), rounded(6_100.0 * gravity.powf(1.45) / self.nominal().sqrt()));
            let (sin, cos) = angle.to_radians().sin_cos();
            with * across / (with * sin * sin + across * cos * cos)
        };
        Member { name: part.name.clone(), gravity, length, angle, bearing, in_end }
    }

    /// Rd of modes I, of II and of III and IV (NDS Table 12.3.1B).
    fn reductions(&self, angle: f64) -> [f64; 3] {
        let d = self.bears();
        if self.nominal() < 0.25 - 1e-9 {
            return [if d <= 0.17 { 2.2 } else { 10.0 * d + 0.5 }; 3];
        }
        [4.0, 3.6, 3.2].map(|own| own * (1.0 + 0.25 * angle / 90.0))
    }

    /// Z', N, with its lines.
    fn lateral_value(&self) -> (f64, Vec<String>) {
        let [side, main] = [0, 1].map(|at| self.member(at));
        let (d, fyb, rd) = (self.bears(), self.bending_yield(), self.reductions(side.angle.max(main.angle)));
        let at = |lm: f64| least(modes(d, fyb, [main.bearing, lm], [side.bearing, side.length], rd));
        let mut lines = vec![format!(
            "D = {d:.3} in, Fyb = {fyb:.0} psi (NDS Appendix Table I1); Rd of modes III and IV {:.2} (NDS Table 12.3.1B)",
            rd[2]
        )];
        for (own, what) in [(&side, "side"), (&main, "main")] {
            lines.push(format!(
                "{what} member `{}`: {:.3} in, G {:.2}, load at {:.0} degrees to its grain{}: Fe = {:.0} psi (NDS Table 12.3.3)",
                own.name, own.length, own.gravity, own.angle, if own.in_end { ", in end grain" } else { "" }, own.bearing
            ));
        }
        let (mode, z) = if self.is_bolt() {
            at(main.length)
        } else {
            // Half of the tip, 2D long, counts; short of 10D the value there by what part of it there is.
            let (full, tip) = (10.0 * self.nominal(), 2.0 * self.nominal());
            let direct = at(main.length - tip / 2.0);
            let (word, tabled) = at(full - tip / 2.0);
            let part = (main.length / full).min(1.0);
            lines.push(format!("penetration {:.3} in of 10D = {full:.3} in, half the tip of {tip:.3} in not counted (NDS 12.1.5.6, 12.3.5.3)", main.length));
            if tabled * part < direct.1 { (word, tabled * part) } else { direct }
        };
        let end = if main.in_end { 0.67 } else { 1.0 };
        let (group, geometry) = if self.nominal() < 0.25 - 1e-9 {
            (1.0, 1.0)
        } else {
            self.distances(side.length.min(main.length), &mut lines)
        };
        let value = z * self.duration * WET * group * geometry * end;
        lines.push(format!("Z = {z:.1} lb, mode {mode} (NDS Table 12.3.1A)"));
        lines.push(format!(
            "Z' = Z CD CM Cg C\u{394} Ceg = {z:.1} x {:.2} x {WET} x {group:.3} x {geometry:.3} x {end} = {value:.1} lb = {:.0} N",
            self.duration,
            value * POUND
        ));
        (value * POUND, lines)
    }

    /// Cg, and CΔ in the member where it is least; what a bolt does to the side member, it does the other way to the main one.
    fn distances(&self, bears: f64, lines: &mut Vec<String>) -> (f64, f64) {
        let push: DVec3 = self.tie.axes[1] * self.lateral[0] + self.tie.axes[2] * self.lateral[1];
        let [side, main] = [(0, push), (1, -push)].map(|(member, push)| {
            let part = self.analysis.model.part(self.tie.parts[member]);
            InMember {
                part,
                layer: self.layer(member),
                one: self.one,
                tie: self.tie,
                at: self.at,
                push,
                hardwood: self.catalogue.species(&part.species).expect("it is known").hardwood,
                slender: bears / self.nominal(),
            }
        });
        let [of_side, of_main] = [&side, &main].map(InMember::geometry);
        lines.extend([of_side.1, of_main.1]);
        (group_action(self.analysis, [&side, &main]), of_side.0.min(of_main.0))
    }

    /// W', N, with its lines.
    fn axial_value(&self) -> (f64, Vec<String>) {
        if self.is_bolt() { self.washers() } else { self.thread_and_head() }
    }

    fn thread_and_head(&self) -> (f64, Vec<String>) {
        let [side, main] = [0, 1].map(|at| self.member(at));
        let known = self.catalogue.find_fastener_by_id(&self.one.item).expect("it is known");
        let thread = self.one.thread_in(self.layer(1)) / INCH;
        let end = if main.in_end { 0.75 } else { 1.0 };
        let hold = 2_850.0 * main.gravity.powi(2) * self.nominal() * thread * end * WET * self.duration;
        let head = known.design_head_diameter().expect("it has a head").as_inch();
        let sunk = if matches!(self.one.seat, HeadSeat::Countersunk { .. }) {
            (head - self.nominal()) / 2.0 / 41.0_f64.to_radians().tan()
        } else {
            0.0
        };
        let net = (side.length - sunk).min(2.5 * head);
        let through = 690.0 * PI * head * side.gravity.powi(2) * net * WET * self.duration;
        let value = hold.min(through) * POUND;
        let lines = vec![
            format!(
                "thread: 2850 G^2 D p CM CD = 2850 x {:.2}^2 x {:.3} x {thread:.3} x {WET} x {:.2} = {hold:.1} lb (NDS Eq 12.2-2)",
                main.gravity,
                self.nominal(),
                self.duration
            ),
            format!(
                "head: 690 pi DH G^2 t CM CD = 690 pi x {head:.3} x {:.2}^2 x {net:.3} x {WET} x {:.2} = {through:.1} lb (NDS Eq 12.2-6)",
                side.gravity, self.duration
            ),
            format!("W' = {value:.0} N"),
        ];
        (value, lines)
    }

    /// Fc across the grain under head and washer (NDS 3.10.4: Cb from 3 in off an end).
    fn washers(&self) -> (f64, Vec<String>) {
        let joint = &self.analysis.model.joints[self.tie.joint];
        let bare = self.one.head_diameter.as_inch();
        let items = joint.extras.iter().filter_map(|own| self.catalogue.find_fastener_by_id(&own.item));
        let washers = items.filter(|own| matches!(own.kind, FastenerKind::Washer | FastenerKind::WideWasher));
        let washer = washers.map(|own| own.diameter.as_inch()).fold(f64::INFINITY, f64::min);
        let washer = if washer.is_finite() { washer.max(bare) } else { bare };
        let head = if self.one.kind == FastenerKind::CarriageBolt { bare } else { washer };
        let mut lines = Vec::new();
        let mut least = f64::INFINITY;
        for (layer, ring, what) in
            [(self.one.layers.first(), head, "head"), (self.one.layers.last(), washer, "washer")]
        {
            let layer = layer.expect("it passes wood");
            let part = self.analysis.model.part(layer.part);
            let species = part.species.replace('_', " ");
            let known = ACROSS.iter().find(|own| own.0 == species).map(|own| own.1 * WET_ACROSS);
            // What no table lists is reckoned from clear wood by the program.
            let reckoned =
                || self.analysis.models[0].framing.timbers.of(part.id).edge.across.value() / 0.006_894_757;
            let (psi, area) =
                (known.unwrap_or_else(reckoned), PI / 4.0 * (ring * ring - self.nominal().powi(2)));
            let factor = if layer.end < 3.0 * INCH { 1.0 } else { (ring + 0.375) / ring };
            let value = psi * factor * area * self.duration;
            least = least.min(value);
            lines.push(format!(
                "{what} on `{}`: Fc' Cb A = {psi:.0} x {factor:.3} x pi/4 ({ring:.3}^2 - {:.3}^2) = {value:.1} lb (NDS 3.10)",
                part.name, self.nominal()
            ));
        }
        lines.push(format!("W' = {:.0} N", least * POUND));
        (least * POUND, lines)
    }

    fn hand(&self, both: bool) -> Hand {
        let across = (self.lateral[0].powi(2) + self.lateral[1].powi(2)).sqrt();
        let (z, more) = self.lateral_value();
        let mut lines = vec![format!(
            "load across {across:.0} N{}: the joint's load by the frame, shared about the elastic centre of its {}",
            if both { format!(" and along {:.0} N", self.axial) } else { String::new() },
            self.tie.places.len()
        )];
        lines.extend(more);
        let mut ratio = across / z;
        if both {
            let (w, more) = self.axial_value();
            lines.extend(more);
            let all = (across * across + self.axial * self.axial).sqrt();
            ratio = (across * across / z + self.axial * self.axial / w) / all;
            lines.push(format!(
                "both: (V^2 / Z' + T^2 / W') / sqrt(V^2 + T^2) with V = {across:.0} and T = {:.0} N (NDS Eq 12.4-1)", self.axial
            ));
        } else {
            lines.push(format!("V / Z' = {across:.0} / {z:.0}"));
        }
        let names = self.tie.parts.map(|part| self.analysis.model.part(part).name.clone());
        Hand {
            kind: match (self.is_bolt(), both) {
                (true, false) => "A bolt across its axis",
                (true, true) => "A bolt across and along its axis",
                (false, false) => "A screw across its axis",
                (false, true) => "A screw across and along its axis",
            },
            ratio,
            place: format!("{}, `{}` to `{}`", self.catalogue.item_words(&self.one.item), names[0], names[1]),
            lines,
        }
    }
}
