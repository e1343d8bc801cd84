//! # What it checks
//! That the wood round each eye bears what its chain pulls: that the eye does not tear out of the end of its board, split it, or
//! sink into it.
//! # Why
//! An eye bolt near the top of a post shears the wood out above it long before the bolt itself gives way.
//! # Method and source
//! Pulls of a full seat swung 30 degrees, and of one who drops into it, on the board under the eye alone. Along its grain: Fv' t s,
//! s the distance to the end that it is pulled to, and Ft' of the net section (NDS-2018 Appendix E, E.2-1 read, the rest from memory). Across it: (2/3 Fv' b
//! de) (de/d)^2 less than 5 d from an end, else 2/3 Fv' b de (NDS-2018 3.4.3.3, from memory). Under the shank: yield mode I with its
//! distances, wet service and angle to the grain (NDS-2018 chapter 12, read; that edges nearer than the full distance count in
//! proportion, where the standard has no lesser one, project choice), shoulder and nut seated so that it does not rock. Along
//! the shank: Fc across the grain under a washer (NDS-2018 3.10, read).
//! # Example
//! An eye half an inch below the top of a 2x4 post: the wood over it shears at 700 N, and its chain pulls 1900.
//! # Remedy
//! Set the eye farther from the end or the edge, or take a thicker board.

use super::hung::Pulls;
use super::line::{Link, eye, links};
use super::{force, in_motion, peopled, with_hung};
use crate::beside::{Free, free, grain_and_across, nearer};
use crate::framing::Timber;
use crate::statics::beam::{End, Section, shear_capacity, shear_capacity_equation};
use crate::statics::dowel::{
    Bearing, Crossing, Dowel, Freedom, Joint, Material, Mode, Shear, Wetness, wet_service, yield_modes,
};
use crate::statics::group::{Distances, GrainLoad, Placing, TearOut, geometry_in_proportion, tear_out};
use crate::statics::withdrawal::washer_equation;
use crate::statics::wood::{Factor, Service, bearing_area, factor};
use crate::verdict::worst_of;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, Expression, NamedNumber, root};
use slatwork_base::maths::{PI, atan2};
use slatwork_base::{Angle, Severity};
use slatwork_catalog::{FastenerKind, Status};
use slatwork_model::Part;
use slatwork_solid::{DVec3, along};

const FAULT: &str = "eye-tears-out";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the wood round each eye bears what its chain pulls",
    rates: true,
    look: Look::Judges(look),
};

/// An eye whose shank runs nearer to the grain than this sits in end grain (cosine of 45 degrees; project choice: half way).
const IN_END_GRAIN: f64 = core::f64::consts::FRAC_1_SQRT_2;
/// Holes are taken out with so much more than the bolt, mm: 1/16 in (NDS 12.1.3, read).
const HOLE_PLAY: f64 = 25.4 / 16.0;
/// So far from an end wood beside a washer helps it, mm: 3 in (NDS 3.10.4, read).
const FROM_END: f64 = 76.2;
/// What becomes of an eye that the standard gives nothing.
const TOO_NEAR: &str = "sits nearer to an end or an edge than a bolt may, and counts for nothing";
/// Pulls under this need no strength, N: what rounding leaves of none.
const PULLS: f64 = 1.0;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let (pulls, links) = (hung.pulls(), links(case));
        let eyes = links.iter().filter(|link| link.is_eye()).map(|link| {
            let part = case.model.part(link.suspension.part);
            (link, part, Eye::of(case, link, part))
        });
        let eyes: Vec<_> = eyes.collect();
        let mut judged = Vec::new();
        for (link, part, eye) in &eyes {
            match eye {
                Ok(eye) => judged.extend(pulls.iter().map(|pull| {
                    let nearest = eye.nearest(link, pull);
                    (eye.judged(link, pull, &nearest), Some((eye, *link, pull, nearest)))
                })),
                Err(why) => {
                    let told = format!("the wood round the eye of the {}: {why}", link.suspension.name);
                    judged.push((Verdict::not_judged(FAULT, told).about([*part]), None));
                }
            }
        }
        let worst = worst_of(judged, |own| &own.0).map(|(verdict, by)| Verdict {
            working: by.map(|(eye, link, pull, nearest)| eye.working(link, pull, &nearest)),
            ..verdict
        });
        worst.map(|verdict| in_motion(peopled(hung, verdict))).into_iter().collect()
    })
}

/// An eye in the board under it.
struct Eye<'a> {
    part: &'a Part,
    timber: Timber,
    hardwood: bool,
    diameter: f64,
    /// Length of wood that it passes, mm.
    thickness: f64,
    /// mm2.
    section: f64,
    /// Along the grain, across it, and out of the wood.
    axes: [DVec3; 3],
    ends: Free,
    edges: Free,
    /// Diameter of its washer, where that is known, mm.
    washer: Option<f64>,
}

/// How wood gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum How {
    Torn,
    Split,
    Crushed,
    TooNear,
    Washered,
    Nothing,
}

impl How {
    fn words(self) -> &'static str {
        match self {
            How::Torn => "tears out along the grain",
            How::Split => "splits the wood across the grain",
            How::Crushed => "sinks into the wood under its shank",
            How::TooNear => TOO_NEAR,
            How::Washered => "pulls its washer into the wood",
            How::Nothing => "bears nothing",
        }
    }
}

/// A way for the wood to give.
#[derive(Clone, Copy)]
struct Giving {
    how: How,
    load: f64,
    bears: f64,
}

impl<'a> Eye<'a> {
    /// # Errors
    /// Why it cannot be judged.
    fn of(case: &Case<'a>, link: &Link<'_>, part: &'a Part) -> Result<Eye<'a>, String> {
        let unknown = |what: &str| format!("{what} is not known");
        let (middle, far) = eye(case, link.suspension).ok_or_else(|| unknown("where it sits"))?;
        let diameter = link.item.dim("diameter").ok_or_else(|| unknown("its diameter"))?.as_mm();
        let out = (middle - far).try_normalize().ok_or_else(|| unknown("which way it runs"))?;
        if part.pose.matrix3.x_axis.dot(out).abs() > IN_END_GRAIN {
            return Err(String::from("it sits in end grain, for which there is no rule"));
        }
        let wood = along(&part.placed(), middle, far);
        let (from, to) = *wood.first().ok_or_else(|| unknown("what wood it passes"))?;
        let (from, to) = (middle - out * from, middle - out * to);
        let timber = Timber::of(case, part).ok_or_else(|| unknown("the strength of its wood"))?;
        let x = part.pose.inverse().transform_point3(from.lerp(to, 0.5)).x;
        let [grain, across] = grain_and_across(part, out);
        let washer = [FastenerKind::WideWasher, FastenerKind::Washer]
            .into_iter()
            .find_map(|kind| case.catalogue.find_fastener(kind, &link.item.size));
        Ok(Eye {
            part,
            timber,
            hardwood: case.catalogue.species(&part.species).is_ok_and(|species| species.hardwood),
            diameter,
            thickness: from.distance(to),
            section: case
                .kept
                .sections(case.model, part.id)
                .at(x)
                .ok_or_else(|| unknown("its section"))?
                .area,
            axes: [grain, across, out],
            ends: free(part, (from, to), grain),
            edges: free(part, (from, to), across),
            washer: washer.map(|washer| washer.diameter.as_mm()),
        })
    }

    /// Every way for the wood to give under a pull.
    fn ways(&self, pull: DVec3) -> Vec<Giving> {
        let [with, across, out] = self.axes.map(|axis| axis.dot(pull));
        let way = |how, load: f64, bears: Option<f64>| Giving { how, load, bears: bears.unwrap_or(0.0) };
        let mut ways = Vec::new();
        if with.abs() > PULLS {
            ways.push(way(How::Torn, with.abs(), self.torn(with)));
        }
        if across.abs() > PULLS {
            ways.push(way(How::Split, across.abs(), self.split(across)));
        }
        let (beside, geometry) = ((with * with + across * across).sqrt(), self.geometry(with, across));
        if beside > PULLS && geometry > 0.0 {
            let crushed = self.crushed(with, across).map(|crushed| crushed * geometry);
            ways.push(way(How::Crushed, beside, crushed));
        } else if beside > PULLS {
            ways.push(way(How::TooNear, beside, None));
        }
        if out.abs() > PULLS {
            ways.push(way(How::Washered, out.abs(), self.washered()));
        }
        ways
    }

    fn torn(&self, with: f64) -> Option<f64> {
        tear_out(&self.tearing(with)).value.map(|torn| torn.least())
    }

    fn tearing(&self, with: f64) -> TearOut {
        let values = &self.timber.edge;
        TearOut {
            in_row: 1,
            rows: 1,
            thickness: self.thickness,
            // Farther off than is looked the net section tears.
            critical_spacing: self.ends[usize::from(with > 0.0)].unwrap_or(self.section),
            net_area: self.section - (self.diameter + HOLE_PLAY) * self.thickness,
            group_area: 0.0,
            shear: values.shear.value(),
            tension: values.tension.value(),
        }
    }

    fn split(&self, across: f64) -> Option<f64> {
        let (section, end) = self.splitting(across)?;
        shear_capacity(&section, end, self.timber.edge.shear.value()).value
    }

    fn splitting(&self, across: f64) -> Option<(Section, End)> {
        let toward = usize::from(across > 0.0);
        // An edge farther off than is looked is that of a board as deep.
        let held = self.edges[1 - toward]?;
        let depth = held + self.edges[toward].unwrap_or(held);
        let section = Section { breadth: self.section / depth, depth };
        let from_end = nearer(self.ends).unwrap_or(f64::MAX.sqrt());
        Some((section, End::Fastened { effective: held, from_end }))
    }

    fn crushed(&self, with: f64, across: f64) -> Option<f64> {
        let modes = yield_modes(&self.bearing(with, across)?).value?.modes;
        let crushed = modes.iter().find(|own| own.mode == Mode::Im)?.value;
        Some(crushed * self.wet().value)
    }

    /// The shank in its wood.
    fn bearing(&self, with: f64, across: f64) -> Option<Joint> {
        let dowel = Dowel { crossing: Crossing::Shank, ..Dowel::bolt(self.diameter).value? };
        let angle = Angle::rad(atan2(across.abs(), with.abs()));
        let material = Material::SideGrain { gravity: self.timber.gravity, angle };
        let bearing = Bearing { length: self.thickness, material };
        Some(Joint { dowel, main: bearing, side: bearing, gap: 0.0, shear: Shear::Single })
    }

    fn wet(&self) -> Factor {
        let used = self.timber.service;
        wet_service(Wetness { made: Service::Dry, used }, self.diameter, Freedom::Free)
    }

    /// CΔ: the lesser of that of the pull along the grain and of that across it.
    fn geometry(&self, with: f64, across: f64) -> f64 {
        let factor = |load: GrainLoad, there: Distances| {
            let slenderness = self.thickness / self.diameter;
            let placing = Placing { diameter: self.diameter, hardwood: self.hardwood, load, slenderness };
            geometry_in_proportion(&placing, &there).value.map_or(0.0, |found| found.factor)
        };
        let (end, edge) = (usize::from(with > 0.0), usize::from(across > 0.0));
        let toward = Distances { end: self.ends[end], edge: nearer(self.edges), ..Distances::default() };
        let beside = Distances {
            end: nearer(self.ends),
            loaded_edge: self.edges[edge],
            edge: self.edges[1 - edge],
            ..Distances::default()
        };
        let along = if with.abs() > PULLS { factor(GrainLoad::Towards, toward) } else { 1.0 };
        let over = if across.abs() > PULLS { factor(GrainLoad::Across, beside) } else { 1.0 };
        along.min(over)
    }

    fn washered(&self) -> Option<f64> {
        let washer = self.washer?;
        let ring = PI / 4.0 * (washer * washer - self.diameter * self.diameter);
        Some(self.timber.edge.across.value() * self.under_washer(washer).value * ring)
    }

    /// Cb.
    fn under_washer(&self, washer: f64) -> Factor {
        let beside = nearer(self.ends).is_none_or(|end| end >= FROM_END);
        Factor::new("Cb", if beside { bearing_area(washer) } else { 1.0 }, "NDS 3.10.4, read")
    }

    fn pull(link: &Link<'_>, pulls: &Pulls<'_>) -> DVec3 {
        pulls.posture.chains[link.chain].pull * pulls.of[link.chain]
    }

    /// The way that is nearest to giving.
    fn nearest(&self, link: &Link<'_>, pulls: &Pulls<'_>) -> Giving {
        let share = |way: &Giving| if way.bears > 0.0 { way.load / way.bears } else { f64::INFINITY };
        let ways = self.ways(Self::pull(link, pulls)).into_iter();
        let nearest = ways.reduce(|a, b| if share(&b) > share(&a) { b } else { a });
        nearest.unwrap_or(Giving { how: How::Nothing, load: 0.0, bears: f64::INFINITY })
    }

    /// How the pull that way, and what the wood bears of it, came about.
    fn working(&self, link: &Link<'_>, pulls: &Pulls<'_>, nearest: &Giving) -> Working {
        let pulled = pulls.pulled(link.chain);
        let direction = pulls.posture.chains[link.chain].pull;
        let toward = |symbol: &'static str, way: &str, axis: usize| {
            let meaning = format!("direction of the pull {way}, as a cosine, from the posture");
            NamedNumber::new(symbol, meaning, self.axes[axis].dot(direction).abs(), Unit::Plain)
        };
        let with = toward("n∥", "along the grain", 0);
        let across = toward("n⊥", "across the grain", 1);
        let left = NamedNumber::new("F", "pull on the wood that way", nearest.load, Unit::Force);
        let squared = |share: &NamedNumber| Expression::from(share).to_the(2.0);
        let figure = match nearest.how {
            How::Torn => Equation::of(left, &pulled * with),
            How::Split => Equation::of(left, &pulled * across),
            How::Washered => Equation::of(left, &pulled * toward("no", "out along the shank", 2)),
            How::Crushed | How::TooNear => {
                Equation::of(left, &pulled * root(squared(&with) + squared(&across)))
            }
            How::Nothing => return Working::new(Equation::measured(left)),
        };
        let (steps, limit) = self.limit(Self::pull(link, pulls), nearest);
        Working::new(figure).by([pulled]).by(steps).held_to(limit).pruned()
    }

    /// What the wood bears one way.
    fn limit(&self, pull: DVec3, nearest: &Giving) -> (Vec<Equation>, Equation) {
        let left = NamedNumber::new("B", "what the wood bears that way", nearest.bears, Unit::Force);
        let [with, across, _] = self.axes.map(|axis| axis.dot(pull));
        let found = match nearest.how {
            How::Torn => self.tears(with),
            How::Split => self.splitting(across).map(|(section, end)| {
                let strength = self.timber.shear();
                let limit = shear_capacity_equation(&section, end, &strength, (nearest.bears, 1.0));
                (vec![strength], limit)
            }),
            How::Crushed => self.sinks(left.clone(), (with, across)),
            How::Washered => self.washer.map(|washer| {
                let factor = self.under_washer(washer);
                let strength = self.timber.across();
                let limit = washer_equation(left.clone(), &strength, (washer, self.diameter), factor);
                (vec![strength], limit)
            }),
            How::TooNear | How::Nothing => None,
        };
        let nothing = || NamedNumber { meaning: "nothing counts that way".into(), ..left.clone() };
        found.unwrap_or_else(|| (Vec::new(), Equation::measured(nothing())))
    }

    fn tears(&self, with: f64) -> Option<(Vec<Equation>, Equation)> {
        let tearing = self.tearing(with);
        let torn = tear_out(&tearing).value?;
        let (shear, tension) = (self.timber.shear(), self.timber.tension());
        let (steps, limit) = tearing.equations(&torn, false, [&shear, &tension]);
        Some((vec![shear, tension].into_iter().chain(steps).collect(), limit))
    }

    fn sinks(&self, left: NamedNumber, (with, across): (f64, f64)) -> Option<(Vec<Equation>, Equation)> {
        let steps = self.bearing(with, across)?.mode_equations(Mode::Im);
        let geometry = Factor::new("CΔ", self.geometry(with, across), "NDS Tables 12.5.1A to D, read");
        let factors = [self.wet(), geometry];
        let counted = factors.iter().filter(|own| own.value != 1.0);
        let by =
            counted.fold(steps.last()?.into(), |by: Expression, own| by * factor(own.symbol, "Z", own.value));
        Some((steps, Equation::of(left, by)))
    }

    fn judged(&self, link: &Link<'_>, pulls: &Pulls<'_>, nearest: &Giving) -> Verdict {
        let mut told = format!(
            "the {} pulls its eye in `{}` with {}; it {}",
            link.suspension.name,
            self.part.name,
            force(nearest.load),
            nearest.how.words(),
        );
        if nearest.bears > 0.0 {
            told += &format!(" at {}", force(nearest.bears));
        }
        let measure =
            Measure::new("pull on the wood", nearest.load, Limit::AtMost(nearest.bears), Unit::Force);
        Verdict::measured(FAULT, measure, Severity::Failure)
            .told(told)
            .about([self.part])
            .governed_by(pulls.name.clone())
            .assuming("the board under the eye takes all of its pull; shoulder and nut are seated, so that the shank does not rock")
            .assuming(self.timber.told.clone())
            .after("NDS-2018 3.10, 12.3 and 12.5", Status::Read)
            .after("NDS-2018 3.4.3.3 and Appendix E", Status::FromMemory)
            .after("that the board under the eye takes all of its pull", Status::ProjectChoice)
            .after("edges nearer than the full distance in proportion", Status::ProjectChoice)
            .resting_on(self.timber.source.clone())
            .remedy(
                "set the eye farther from the end or the edge, or take a thicker board",
                [Way::Place, Way::Section, Way::Wood],
            )
    }
}
