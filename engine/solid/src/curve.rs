//! Curves a shop lays out: circles through three points, bent battens, bows, ogees.
//!
//! Curves over a chord run from (0, 0) to (chord, 0) and rise by `rise` in the middle: up when positive, down when
//! negative, straight when zero.

use slatwork_base::maths::{self, PI};

use crate::curve_fault::CurveFault;
use crate::elliptic;
use crate::fit::{Ray, checked_tolerance, fit_evenly, tidied};
use crate::path::Path;
use crate::segment::{PlaneMotion, SAME_POINT, Segment, angle_between, bulge_from_tangent, direction};
use crate::{DVec2, Tag};

/// The kind of curve as faults name it.
const THRUST: &str = "batten pushed at its ends";

/// Modulus at which the ends of a thrust batten stand square to the chord, sin 45 degrees. Beyond it the batten bulges
/// out past its own ends, which no bench lays out.
const UPRIGHT_MODULUS: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// Most rise of a crown-pushed batten, as a part of its chord. The cubic holds for small slopes; at this rise its ends
/// stand at 37 degrees (project choice).
const CROWN_MOST: f64 = 0.25;

/// Most rise of a double bow, as a part of its chord (project choice). At 0.215 its ends would stand upright.
const BOW_MOST: f64 = 0.2;

/// Height of the valley of a double bow, as a part of its rise (project choice).
const VALLEY: f64 = 0.5;

/// Most angle between an ogee's end direction and the line between its ends: each arc is then a half circle.
const OGEE_MOST: f64 = 90.0;

/// Halvings of the doubt about the modulus: more than a double has bits.
const MODULUS_STEPS: u32 = 60;

/// Chord and rise, if a curve of some kind can have them.
fn checked(kind: &'static str, chord: f64, rise: f64, most: f64) -> Result<(), CurveFault> {
    if !chord.is_finite() {
        return Err(CurveFault::NotFinite { what: "chord" });
    }
    if !rise.is_finite() {
        return Err(CurveFault::NotFinite { what: "rise" });
    }
    if chord <= SAME_POINT {
        return Err(CurveFault::NoChord { chord });
    }
    if rise.abs() > most * chord {
        return Err(CurveFault::RiseTooLarge { kind, rise: rise.abs(), most: most * chord });
    }
    Ok(())
}

fn is_straight(rise: f64) -> bool {
    rise.abs() <= SAME_POINT
}

/// A curve drawn upward, turned downward if the rise is negative.
fn up_or_down(path: Path, rise: f64) -> Path {
    if rise < 0.0 { path.transformed(PlaneMotion::mirror(DVec2::ZERO, DVec2::X)) } else { path }
}

/// The left half of a symmetric curve completed by its mirror image in the chord's middle.
fn with_mirror_half(half: Vec<Segment>, chord: f64) -> Path {
    let mirror = PlaneMotion::mirror(DVec2::new(chord / 2.0, 0.0), DVec2::Y);
    let image: Vec<Segment> = half.iter().rev().map(|segment| segment.moved(mirror).reversed()).collect();
    Path::from_segments(&join_at_crown(half, image))
}

/// The two halves in one, the two arcs at the crown run together where they are one circle.
fn join_at_crown(mut half: Vec<Segment>, image: Vec<Segment>) -> Vec<Segment> {
    let (Some(last), Some(first)) = (half.last().copied(), image.first().copied()) else { return half };
    let is_smooth = last.tangent(1.0).distance(first.tangent(0.0)) < 1e-9;
    if is_smooth && last.bulge.abs() < 0.4 {
        half.pop();
        let bulge = 2.0 * last.bulge / (1.0 - last.bulge * last.bulge);
        half.push(Segment { start: last.start, end: first.end, bulge, tag: last.tag });
        half.extend(&image[1..]);
    } else {
        half.extend(image);
    }
    half
}

/// The radius of the circle through the ends of a chord and its crown, mm; infinite for no rise.
pub fn circle_radius(chord: f64, rise: f64) -> f64 {
    (chord * chord / 4.0 + rise * rise) / (2.0 * rise.abs())
}

/// The circle through the ends of a chord and its crown: one arc, or two that meet at the crown if it is more than a
/// half circle.
///
/// # Errors
/// [`CurveFault`] for a chord of no length or a number that is none.
pub fn circle_over(chord: f64, rise: f64) -> Result<Path, CurveFault> {
    checked("circle", chord, rise, f64::INFINITY)?;
    if is_straight(rise) {
        return Ok(Path::line(DVec2::ZERO, DVec2::new(chord, 0.0)));
    }
    let bulge = -2.0 * rise / chord;
    let end = DVec2::new(chord, 0.0);
    if bulge.abs() <= 1.0 {
        return Ok(Path::arc(DVec2::ZERO, end, bulge));
    }
    let crown = DVec2::new(chord / 2.0, rise);
    let half = maths::tan(maths::atan(bulge) / 2.0);
    Path::arc(DVec2::ZERO, crown, half).join(&Path::arc(crown, end, half))
}

/// The curve of a batten bent by pushing its ends toward each other (Euler's elastica): flat at the ends, sharpest at
/// the crown. Kept as arcs that meet without a corner, within `tolerance` mm of the true curve.
///
/// # Errors
/// [`CurveFault`]: as [`circle_over`]; a tolerance out of range; a rise of more than about 0.83 of the chord, where the
/// batten's ends would stand more than square to it.
pub fn batten_thrust(chord: f64, rise: f64, tolerance: f64) -> Result<Path, CurveFault> {
    checked(THRUST, chord, rise, modulus_rise(UPRIGHT_MODULUS))?;
    let tolerance = checked_tolerance(tolerance)?;
    if is_straight(rise) {
        return circle_over(chord, 0.0);
    }
    let batten = ThrustBatten::new(chord, rise.abs());
    let half = fit_evenly(|amplitude| batten.ray(amplitude), -PI / 2.0, 0.0, tolerance);
    let half = half.ok_or(CurveFault::BadTolerance { tolerance })?;
    Ok(up_or_down(with_mirror_half(tidied(half), chord), rise))
}

/// What a builder sets a batten out by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BattenFigures {
    /// Length of the batten between its ends, mm.
    pub length: f64,
    /// Angle of the batten to its chord at its ends, radians.
    pub end_slope: f64,
    /// Height over the chord at a quarter of it, mm.
    pub quarter_height: f64,
    /// Radius at the crown, the sharpest of the curve, mm.
    pub crown_radius: f64,
}

/// The figures of a batten pushed at its ends, of the true curve rather than its arcs.
///
/// # Errors
/// As [`batten_thrust`], but for the tolerance.
pub fn thrust_figures(chord: f64, rise: f64) -> Result<BattenFigures, CurveFault> {
    checked(THRUST, chord, rise, modulus_rise(UPRIGHT_MODULUS))?;
    let batten = ThrustBatten::new(chord, rise.abs());
    Ok(BattenFigures {
        length: 2.0 * batten.half_length * batten.scale,
        end_slope: 2.0 * maths::asin(batten.modulus),
        quarter_height: batten.height_at(chord / 4.0),
        crown_radius: batten.scale / (2.0 * batten.modulus),
    })
}

/// A batten under end thrust: everything follows from the modulus, the sine of half its end slope.
struct ThrustBatten {
    chord: f64,
    modulus: f64,
    /// Millimetres to one unit of the dimensionless curve.
    scale: f64,
    /// Dimensionless half chord, from the complete integrals, so that the ends come out exact.
    half_chord: f64,
    /// Dimensionless half length.
    half_length: f64,
}

/// Rise over chord of a thrust batten of a modulus.
fn modulus_rise(modulus: f64) -> f64 {
    let (first, second) = elliptic::complete(modulus);
    modulus / (2.0 * second - first)
}

impl ThrustBatten {
    fn new(chord: f64, rise: f64) -> Self {
        let (mut low, mut high) = (0.0, UPRIGHT_MODULUS);
        for _ in 0..MODULUS_STEPS {
            let middle = (low + high) / 2.0;
            if modulus_rise(middle) < rise / chord { low = middle } else { high = middle }
        }
        let modulus = (low + high) / 2.0;
        let (first, second) = elliptic::complete(modulus);
        let half_chord = 2.0 * second - first;
        ThrustBatten { chord, modulus, scale: chord / (2.0 * half_chord), half_chord, half_length: first }
    }

    /// Point and direction at an amplitude from minus to plus a quarter turn.
    fn ray(&self, amplitude: f64) -> Ray {
        let (sine, cosine) = maths::sin_cos(amplitude);
        let slope = -2.0 * maths::asin(self.modulus * sine);
        let tangent = direction(slope);
        if amplitude <= -PI / 2.0 {
            return Ray { point: DVec2::ZERO, tangent };
        }
        let (first, second) = elliptic::incomplete(amplitude, self.modulus);
        let x = self.half_chord + 2.0 * second - first;
        Ray { point: DVec2::new(x, 2.0 * self.modulus * cosine) * self.scale, tangent }
    }

    /// Height over the chord at a distance from its start, mm.
    fn height_at(&self, x: f64) -> f64 {
        let (mut low, mut high) = (-PI / 2.0, PI / 2.0);
        for _ in 0..MODULUS_STEPS {
            let middle = (low + high) / 2.0;
            if self.ray(middle).point.x < x { low = middle } else { high = middle }
        }
        if x <= 0.0 || x >= self.chord { 0.0 } else { self.ray((low + high) / 2.0).point.y }
    }
}

/// The curve of a batten held by two end nails and pushed at the crown, for small slopes: two cubic halves, straight at
/// the ends, `y / rise = 3 u - 4 u^3` at the part `u` of the chord up to the middle. Kept as arcs that meet without a
/// corner, within `tolerance` mm.
///
/// # Errors
/// [`CurveFault`]: as [`circle_over`]; a tolerance out of range; a rise of more than a quarter of the chord, where the
/// slope is not small any more.
pub fn batten_crown(chord: f64, rise: f64, tolerance: f64) -> Result<Path, CurveFault> {
    checked("batten pushed at its crown", chord, rise, CROWN_MOST)?;
    let tolerance = checked_tolerance(tolerance)?;
    if is_straight(rise) {
        return circle_over(chord, 0.0);
    }
    let curve = |u: f64| {
        let (height, slope) = (u * (3.0 - 4.0 * u * u), 3.0 - 12.0 * u * u);
        let tangent = DVec2::new(chord, rise.abs() * slope).normalize_or(DVec2::X);
        Ray { point: DVec2::new(u * chord, height * rise.abs()), tangent }
    };
    let half = fit_evenly(curve, 0.0, 0.5, tolerance).ok_or(CurveFault::BadTolerance { tolerance })?;
    Ok(up_or_down(with_mirror_half(tidied(half), chord), rise))
}

/// Two mirrored humps that meet in a soft valley: over each half of the chord, an arc from the end over its crown (at the
/// full rise) runs smoothly into an arc of the same radius, turned the other way, that lies flat in the middle at half
/// the rise.
///
/// With w half the chord, h the rise and D the drop from crown to valley (half the rise), equal radii R ask for
/// `(w - x)^2 = 4 D R - D^2` and the outer end for `R = (x^2 + h^2) / 2h`; the crown then lies at
/// `x = (w^2 - 3 h^2 / 4) / 2w` from the end. Own construction.
///
/// # Errors
/// [`CurveFault`]: as [`circle_over`]; a rise of more than a fifth of the chord.
pub fn double_bow(chord: f64, rise: f64) -> Result<Path, CurveFault> {
    checked("double bow", chord, rise, BOW_MOST)?;
    if is_straight(rise) {
        return circle_over(chord, 0.0);
    }
    let (half, height) = (chord / 2.0, rise.abs());
    let crown = (half * half - 0.75 * height * height) / (2.0 * half);
    let valley = DVec2::new(half, VALLEY * height);
    let turn = DVec2::new((crown + half) / 2.0, (1.0 + VALLEY) / 2.0 * height);
    let centre = DVec2::new(crown, height - (crown * crown + height * height) / (2.0 * height));
    let hump = Path::arc(DVec2::ZERO, turn, maths::tan(angle_between(-centre, turn - centre) / 4.0));
    let dip = Path::arc(turn, valley, -bulge_from_tangent(-DVec2::X, turn - valley));
    let half_bow = hump.join(&dip)?;
    Ok(up_or_down(with_mirror_half(half_bow.segments(), chord), rise))
}

/// An S from one point to another: two equal arcs, the same direction at both ends.
///
/// # Errors
/// [`CurveFault`]: numbers that are none, ends that are the same, no direction, a direction more than square to the line
/// between the ends.
pub fn ogee(from: DVec2, to: DVec2, along: DVec2) -> Result<Path, CurveFault> {
    if !(from.is_finite() && to.is_finite() && along.is_finite()) {
        return Err(CurveFault::NotFinite { what: "point or direction of the ogee" });
    }
    let chord = to - from;
    if chord.length() <= SAME_POINT {
        return Err(CurveFault::NoChord { chord: chord.length() });
    }
    let tangent = along.try_normalize().ok_or(CurveFault::NoDirection)?;
    let degrees = angle_between(tangent, chord).to_degrees().abs();
    if degrees > OGEE_MOST + 1e-9 {
        return Err(CurveFault::TurnsTooFar { degrees, most: OGEE_MOST });
    }
    let (middle, bulge) = ((from + to) / 2.0, bulge_from_tangent(tangent, chord));
    let arc = |start, end, bulge| Segment { start, end, bulge, tag: Tag::default() };
    Ok(Path::from_segments(&[arc(from, middle, bulge), arc(middle, to, -bulge)]))
}

/// Heights for setting out: `count` equal steps in x from the path's start to its end (`count` + 1 pairs). Meant for
/// paths that never go back in x; places where the path is not over x are left out.
pub fn ordinates(path: &Path, count: usize) -> Vec<(f64, f64)> {
    let (from, to) = (path.start().x, path.end().x);
    let at = |step: usize| from + (to - from) * step as f64 / count.max(1) as f64;
    (0..=count.max(1)).filter_map(|step| path.y_at(at(step)).map(|y| (at(step), y))).collect()
}
