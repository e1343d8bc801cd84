//! Fasteners that act together: elastic centre, forces of an eccentric load, stiffness, group action, distances.

use super::dowel::{is_thick, look_at_gravity};
use super::given::Given;
use super::units::{INCH, POUND_PER_INCH};
use slatwork_base::formula::{Equation, Expression, NamedNumber, Unit, least};
use slatwork_base::{Diagnostic, Outcome, maths};

/// One fastener in the plane of a joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fastener {
    /// Place in the plane, mm.
    pub at: [f64; 2],
    /// Slip modulus, N/mm: [`slip_modulus`], or the same for all where only the split of forces is wanted.
    pub stiffness: f64,
}

/// A load in the plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Force, N.
    pub force: [f64; 2],
    /// Where it acts, mm.
    pub at: [f64; 2],
    /// Moment besides, N mm, from the first axis to the second.
    pub moment: f64,
}

/// How a group takes a load.
#[derive(Clone, Debug, PartialEq)]
pub struct Shared {
    /// Force on each fastener, N, in the order given. They sum to the load.
    pub forces: Vec<[f64; 2]>,
    /// The fastener with the greatest force.
    pub governing: usize,
    /// That force, N.
    pub greatest: f64,
    /// Slip of the elastic centre, mm.
    pub slip: [f64; 2],
    /// Turn of one member on the other, radians.
    pub turn: f64,
    /// Elastic centre and stiffnesses.
    pub stiffness: Stiffness,
}

/// Stiffness of a group.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stiffness {
    /// Elastic centre, mm.
    pub centre: [f64; 2],
    /// N/mm, in any direction of the plane.
    pub sliding: f64,
    /// N mm a radian, about the elastic centre.
    pub turning: f64,
}

/// Elastic centre and stiffness: sum k, sum k r2 (elementary statics).
pub fn stiffness(fasteners: &[Fastener]) -> Outcome<Stiffness> {
    let mut given = Given::new();
    look_at_group(&mut given, fasteners);
    given.settle(|| stiffness_of(fasteners))
}

fn look_at_group(given: &mut Given, fasteners: &[Fastener]) {
    given.positive("number of fasteners", fasteners.len() as f64);
    for one in fasteners {
        given.any("place of a fastener", one.at[0]).any("place of a fastener", one.at[1]);
        given.positive("slip modulus", one.stiffness);
    }
}

fn stiffness_of(fasteners: &[Fastener]) -> Stiffness {
    let sliding: f64 = fasteners.iter().map(|one| one.stiffness).sum();
    let centre =
        [0, 1].map(|axis| fasteners.iter().map(|one| one.stiffness * one.at[axis]).sum::<f64>() / sliding);
    let turning = fasteners
        .iter()
        .map(|one| {
            let [x, y] = from(centre, one.at);
            one.stiffness * (x * x + y * y)
        })
        .sum();
    Stiffness { centre, sliding, turning }
}

fn from(centre: [f64; 2], at: [f64; 2]) -> [f64; 2] {
    [at[0] - centre[0], at[1] - centre[1]]
}

/// A group whose fasteners stand closer to one point than this, mm, turns freely: it is a pivot.
const PIVOT: f64 = 1e-6;
/// A moment under this, N mm, is rounding.
const NO_MOMENT: f64 = 1e-6;

/// Shares a load among fasteners: evenly by stiffness, and round the elastic centre by stiffness and distance. A single
/// fastener takes no moment.
pub fn share(fasteners: &[Fastener], load: &Load) -> Outcome<Shared> {
    let mut given = Given::new();
    look_at_group(&mut given, fasteners);
    for value in load.force.into_iter().chain(load.at).chain([load.moment]) {
        given.any("load", value);
    }
    given.settle_with(|| {
        let stiffness = stiffness_of(fasteners);
        let [x, y] = from(stiffness.centre, load.at);
        let moment = load.moment + x * load.force[1] - y * load.force[0];
        let turns = stiffness.turning > stiffness.sliding * PIVOT * PIVOT;
        if !turns && moment.abs() > NO_MOMENT {
            let message = format!("the joint turns about a single point and cannot take {moment:.1} N mm");
            let help = "set a second fastener, or let the load pass through the first";
            return Outcome::failed(Diagnostic::error("joint-is-a-pivot", message).help(help));
        }
        let turn = if turns { moment / stiffness.turning } else { 0.0 };
        Outcome::fine(shared(fasteners, load, stiffness, turn))
    })
}

fn shared(fasteners: &[Fastener], load: &Load, stiffness: Stiffness, turn: f64) -> Shared {
    let slip = load.force.map(|force| force / stiffness.sliding);
    let force = |one: &Fastener| {
        let [x, y] = from(stiffness.centre, one.at);
        [one.stiffness * (slip[0] - turn * y), one.stiffness * (slip[1] + turn * x)]
    };
    let forces: Vec<[f64; 2]> = fasteners.iter().map(force).collect();
    let (governing, greatest) = forces
        .iter()
        .map(|[x, y]| maths::hypot(*x, *y))
        .enumerate()
        .fold((0, 0.0), |most, own| if own.1 > most.1 { own } else { most });
    Shared { forces, governing, greatest, slip, turn, stiffness }
}

/// How a hole is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bore {
    /// Bolts, screws, and nails in drilled holes.
    Drilled,
    /// Nails driven without a hole.
    Driven,
}

/// Slip modulus of a fastener and shear plane, N/mm, of two densities in kg/m3 and a diameter in mm: rho^1.5 d/23, not drilled
/// rho^1.5 d^0.8/30, rho the geometric mean (EN 1995-1-1 Table 7.1, read second-hand).
pub fn slip_modulus(densities: (f64, f64), diameter: f64, bore: Bore) -> Outcome<f64> {
    Given::new()
        .positive("density of the main member", densities.0)
        .positive("density of the side member", densities.1)
        .positive("diameter", diameter)
        .settle(|| {
            let density = (densities.0 * densities.1).sqrt();
            let dense = density * density.sqrt();
            match bore {
                Bore::Drilled => dense * diameter / 23.0,
                Bore::Driven => dense * maths::powf(diameter, 0.8) / 30.0,
            }
        })
}

/// What the side member of a row is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SideMember {
    /// Wood.
    Wood,
    /// Steel.
    Steel,
}

/// Load over slip of bolts and lags, N/mm, of a diameter in mm: 180 000 D^1.5 lb/in in wood, 270 000 with steel sides (NDS
/// 11.3.6, read).
pub fn load_over_slip(diameter: f64, side: SideMember) -> f64 {
    let inches = diameter / INCH;
    let per = if side == SideMember::Wood { 180_000.0 } else { 270_000.0 };
    per * POUND_PER_INCH * inches * inches.sqrt()
}

/// A row of fasteners along the load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// How many in the row.
    pub count: u32,
    /// Spacing in it, mm.
    pub spacing: f64,
    /// Diameter, mm.
    pub diameter: f64,
    /// Em Am of the main member, N: elasticity times area.
    pub main: f64,
    /// Es As of all side members, N.
    pub sides: f64,
    /// What the side members are of.
    pub side: SideMember,
}

/// More in a row is a slip of the pen.
const MOST_IN_A_ROW: f64 = 1_000.0;

/// Cg: what a row carries of the sum of its fasteners; 1 under 1/4 in (NDS Eq 11.3-1, read).
pub fn group_action(row: &Row) -> Outcome<f64> {
    Given::new()
        .within("number in a row", f64::from(row.count), 1.0, MOST_IN_A_ROW)
        .positive("spacing in the row", row.spacing)
        .positive("diameter", row.diameter)
        .positive("stiffness of the main member", row.main)
        .positive("stiffness of the side members", row.sides)
        .settle(|| if row.count == 1 || !is_thick(row.diameter) { 1.0 } else { group_action_of(row) })
}

fn group_action_of(row: &Row) -> f64 {
    let n = f64::from(row.count);
    let u =
        1.0 + load_over_slip(row.diameter, row.side) * row.spacing / 2.0 * (1.0 / row.main + 1.0 / row.sides);
    let m = u - (u * u - 1.0).sqrt();
    let ratio = (row.sides / row.main).min(row.main / row.sides);
    let power = maths::powf(m, n);
    let below = n * ((1.0 + ratio * power) * (1.0 + m) - 1.0 + power * power);
    m * (1.0 - power * power) / below * (1.0 + ratio) / (1.0 - m)
}

/// How a member's load stands to its grain and end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GrainLoad {
    /// Across the grain.
    Across,
    /// Along it, away from the end: compression.
    Away,
    /// Along it, towards the end: tension.
    Towards,
}

/// Fasteners in one member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placing {
    /// Diameter, mm.
    pub diameter: f64,
    /// Whether the wood is a hardwood.
    pub hardwood: bool,
    /// Which way they push.
    pub load: GrainLoad,
    /// l/D: the lesser of the bearing lengths of main and of all side members, over the diameter.
    pub slenderness: f64,
}

impl Placing {
    /// Least and full distance to the end, diameters (NDS Table 12.5.1A, read).
    fn end(&self) -> (f64, f64) {
        match (self.load, self.hardwood) {
            (GrainLoad::Across | GrainLoad::Away, _) => (2.0, 4.0),
            (GrainLoad::Towards, true) => (2.5, 5.0),
            (GrainLoad::Towards, false) => (3.5, 7.0),
        }
    }

    /// Full distance between rows, diameters (NDS Table 12.5.1D, read).
    fn between_rows(&self) -> f64 {
        if self.load == GrainLoad::Across {
            (5.0 * self.slenderness.clamp(2.0, 6.0) + 10.0) / 8.0
        } else {
            1.5
        }
    }

    /// The same of the stockiest fasteners, diameters.
    fn least_between_rows(&self) -> f64 {
        Placing { slenderness: 0.0, ..*self }.between_rows()
    }

    /// Full distance to an edge that is not loaded, diameters: slender ones along the grain also want half the way between rows (NDS
    /// Table 12.5.1C, read).
    fn edge(&self, between_rows: Option<f64>) -> f64 {
        match between_rows {
            Some(rows) if self.load != GrainLoad::Across && self.slenderness > 6.0 => {
                (rows / self.diameter / 2.0).max(LEAST_EDGE)
            }
            _ => LEAST_EDGE,
        }
    }
}

/// Distances of fasteners 1/4 in and thicker in one member, mm. Those that do not arise are `None`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Distances {
    /// To the end.
    pub end: Option<f64>,
    /// Between fasteners of a row, along the load.
    pub in_row: Option<f64>,
    /// To the loaded edge, the load across the grain.
    pub loaded_edge: Option<f64>,
    /// To the other edge, and to both where the load runs along the grain.
    pub edge: Option<f64>,
    /// Between neighbouring rows, across the load.
    pub between_rows: Option<f64>,
}

/// One distance against its limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distance {
    /// Which: `end`, `in row`, `loaded edge`, `edge`, `between rows`.
    pub of: &'static str,
    /// What there is, mm.
    pub there: f64,
    /// Less is not allowed, mm.
    pub least: f64,
    /// From here on nothing is lost, mm.
    pub full: f64,
}

/// CΔ of a group with what it is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {
    /// The smallest of the factors.
    pub factor: f64,
    /// Every distance there is.
    pub distances: Vec<Distance>,
}

/// Full distance to an edge that is not loaded, diameters (NDS Table 12.5.1C, read).
const LEAST_EDGE: f64 = 1.5;
/// Full distance to a loaded edge, diameters (NDS Table 12.5.1C, read).
const LOADED_EDGE: f64 = 4.0;

/// CΔ of fasteners 1/4 in and thicker: the smallest of actual over full distance; under the least there is none, and for edges and
/// rows side by side the least is the full one (NDS Tables 12.5.1A to D, read). Thinner ones take 1, and only advice against
/// splitting.
pub fn geometry(placing: &Placing, there: &Distances) -> Outcome<Geometry> {
    geometry_by(placing, there, |_, full| full)
}

/// The same where edges and rows side by side lose in proportion as ends do, down to the least that the standard has for any of
/// them (project choice: it has but the full distance).
pub fn geometry_in_proportion(placing: &Placing, there: &Distances) -> Outcome<Geometry> {
    geometry_by(placing, there, |least, _| least)
}

/// `least` picks, for edges and rows side by side, of the least that the standard has for any and the full distance.
fn geometry_by(placing: &Placing, there: &Distances, least: fn(f64, f64) -> f64) -> Outcome<Geometry> {
    let mut given = Given::new();
    given
        .positive("diameter", placing.diameter)
        .positive("bearing length over diameter", placing.slenderness);
    let beside = |lowest: f64, full: f64| (least(lowest, full), full);
    let rows = [
        ("end", there.end, placing.end()),
        ("in row", there.in_row, (3.0, 4.0)),
        ("loaded edge", there.loaded_edge, beside(LEAST_EDGE, LOADED_EDGE)),
        ("edge", there.edge, beside(LEAST_EDGE, placing.edge(there.between_rows))),
        ("between rows", there.between_rows, beside(placing.least_between_rows(), placing.between_rows())),
    ];
    let mut distances = Vec::new();
    for (of, there, (least, full)) in rows {
        let Some(there) = there else { continue };
        given.positive(of, there);
        distances.push(Distance {
            of,
            there,
            least: least * placing.diameter,
            full: full * placing.diameter,
        });
    }
    let counts = is_thick(placing.diameter);
    if counts {
        distances.iter().for_each(|distance| look_at_distance(&mut given, distance));
    }
    given.settle(|| {
        let part = |distance: &Distance| (distance.there / distance.full).min(1.0);
        let factor = if counts { distances.iter().map(part).fold(1.0, f64::min) } else { 1.0 };
        Geometry { factor, distances }
    })
}

/// A nanometre: distances that came from inches.
const DISTANCE_SLACK: f64 = 1e-6;

fn look_at_distance(given: &mut Given, distance: &Distance) {
    if distance.there > 0.0 && distance.there < distance.least - DISTANCE_SLACK {
        let message = format!(
            "the distance `{}` is {:.1} mm and must not be under {:.1} mm",
            distance.of, distance.there, distance.least
        );
        let help = "take a thinner fastener, or let the parts meet on a larger face";
        given.add(Diagnostic::error("distance-too-small", message).help(help), distance.of);
    }
}

/// A member torn out along a row and round a group, parallel to the grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TearOut {
    /// Fasteners in a row.
    pub in_row: u32,
    /// Rows.
    pub rows: u32,
    /// Thickness of the member, mm.
    pub thickness: f64,
    /// The lesser of end distance and spacing in the row, mm.
    pub critical_spacing: f64,
    /// Net area of the member, mm2.
    pub net_area: f64,
    /// Net area between the outer rows, mm2; nothing for one row.
    pub group_area: f64,
    /// Fv', MPa.
    pub shear: f64,
    /// Ft', MPa.
    pub tension: f64,
}

/// What tears, with its capacity in N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Torn {
    /// Net section.
    pub net_section: f64,
    /// All rows.
    pub rows: f64,
    /// The group as a whole.
    pub group: f64,
}

impl Torn {
    /// The least of them.
    pub fn least(&self) -> f64 {
        self.net_section.min(self.rows).min(self.group)
    }
}

impl TearOut {
    /// What a row, or all of it, tears out at as equations, under Fv' and Ft'; the last is that.
    pub fn equations(
        &self,
        torn: &Torn,
        is_row: bool,
        [shear, tension]: [&Equation; 2],
    ) -> (Vec<Equation>, Equation) {
        let force = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Force);
        let area = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Area);
        let length = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
        let plain =
            |symbol, meaning, value: u32| NamedNumber::new(symbol, meaning, f64::from(value), Unit::Plain);
        let in_row = plain("n", "fasteners in a row", self.in_row);
        let thickness =
            length("t", "thickness of wood that they pass, measured on the piece", self.thickness);
        let spacing = length(
            "s",
            "lesser of spacing and distance to the end, measured on the piece",
            self.critical_spacing,
        );
        let row = in_row * shear * thickness * spacing;
        if is_row {
            return (Vec::new(), Equation::of(force("Zr'", "a row tears out at", torn.rows), row));
        }
        let net = area("An", "net area of the section, measured on the piece", self.net_area);
        let net = Equation::of(force("Zn'", "the net section tears at", torn.net_section), tension * net);
        let row = Equation::reckoned("Zr'", "a row tears out at", Unit::Force, row);
        if self.rows == 1 {
            let by = least([(&net).into(), (&row).into()]);
            let left = force("Z'", "it tears out at the least", torn.least());
            return (vec![net, row], Equation::of(left, by));
        }
        let rows = plain("r", "rows", self.rows);
        let all = Equation::of(force("Za'", "all rows tear out at", torn.rows), rows * &row);
        let between = area("Ag", "net area between the outer rows, measured on the piece", self.group_area);
        let group = &row + tension * between;
        let group = Equation::of(force("Zg'", "the group tears out at", torn.group), group);
        let by = least([&net, &all, &group].map(Expression::from));
        let ways = vec![net, row, all, group];
        let left = force("Z'", "it tears out at the least", torn.least());
        (ways, Equation::of(left, by))
    }
}

/// Net section, row and group tear-out: Ft' Anet; n Fv' t s a row, two lines at half the stress; half of the outer rows and
/// Ft' of what lies between (NDS Appendix E, E.2-1 read, the rest from memory).
pub fn tear_out(of: &TearOut) -> Outcome<Torn> {
    Given::new()
        .within("number in a row", f64::from(of.in_row), 1.0, MOST_IN_A_ROW)
        .within("number of rows", f64::from(of.rows), 1.0, MOST_IN_A_ROW)
        .positive("thickness", of.thickness)
        .positive("spacing", of.critical_spacing)
        .positive("net area", of.net_area)
        .not_negative("net area of the group", of.group_area)
        .positive("shear strength", of.shear)
        .positive("tension strength", of.tension)
        .settle(|| {
            let row = f64::from(of.in_row) * of.shear * of.thickness * of.critical_spacing;
            Torn {
                net_section: of.tension * of.net_area,
                rows: f64::from(of.rows) * row,
                group: row + of.tension * of.group_area,
            }
        })
}

/// Least diameter of a lead hole against strength and splitting, in parts of the diameter that it is measured on, by specific
/// gravity (NDS 12.1.4.2 and 12.1.5, read).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lead {
    /// Of a wood screw that is pulled, in parts of the root; nothing is asked at 0.
    pub screw_pulled: f64,
    /// Of a wood screw loaded across, in parts of the root for the thread and of D for the shank; nothing is asked at 0.
    pub screw_across: f64,
    /// Of a lag's thread, least and greatest, in parts of D.
    pub lag: (f64, f64),
    /// Of a nail, at most, in parts of D (12.1.6.2, read).
    pub nail: f64,
}

/// Lead holes for a specific gravity.
pub fn lead_holes(gravity: f64) -> Outcome<Lead> {
    let mut given = Given::new();
    look_at_gravity(&mut given, gravity);
    given.settle(|| {
        if gravity > 0.6 {
            Lead { screw_pulled: 0.9, screw_across: 1.0, lag: (0.65, 0.85), nail: 0.9 }
        } else if gravity > 0.5 {
            Lead { screw_pulled: 0.7, screw_across: 0.875, lag: (0.6, 0.75), nail: 0.75 }
        } else {
            Lead { screw_pulled: 0.0, screw_across: 0.0, lag: (0.4, 0.7), nail: 0.75 }
        }
    })
}
