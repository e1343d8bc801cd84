//! What must hold whatever the figures.

use crate::sample::*;
use proptest::prelude::*;
use slatwork_base::Angle;
use slatwork_checks::statics::beam::{self, Section};
use slatwork_checks::statics::dowel::{self, Bearing, Dowel, Joint, Mode, Penetration};
use slatwork_checks::statics::group::{self, Fastener, Load, Row, SideMember};
use slatwork_checks::statics::withdrawal::{self, Puller, Together};
use slatwork_checks::statics::{moisture, wood};

fn z_of(joint: &Joint) -> f64 {
    value(dowel::yield_modes(joint)).governing.value
}

fn gravity() -> impl Strategy<Value = f64> {
    0.31..0.73_f64
}

/// Room for the last figures of a comparison.
const LAST: f64 = 1e-9;

proptest! {
    /// Lengths and diameter by s, with bearing strengths that do not know a size: forces by s squared.
    #[test]
    fn all_sizes_larger_carry_by_the_square(
        diameter in 6.5..12.0_f64, lm in 20.0..100.0_f64, ls in 10.0..50.0_f64, gap in 0.0..5.0_f64,
        gravity in gravity(), scale in 1.0..2.0_f64,
    ) {
        let bolt = value(Dowel::bolt(diameter));
        let along = wood(gravity, 0.0);
        let make = |s: f64| Joint {
            gap: gap * s,
            ..joint(
                Dowel { diameter: diameter * s, root_diameter: diameter * s, ..bolt },
                Bearing { length: lm * s, material: along },
                Bearing { length: ls * s, material: along },
            )
        };
        prop_assert!((z_of(&make(scale)) / z_of(&make(1.0)) - scale * scale).abs() < 1e-9);
    }

    /// Equal members: main and side may change places, and so do their modes.
    #[test]
    fn equal_members_change_places(
        diameter in 6.5..20.0_f64, length in 10.0..100.0_f64, gravity in gravity(), gap in 0.0..10.0_f64,
        other in (10.0..100.0_f64, 0.31..0.73_f64),
    ) {
        let bolt = value(Dowel::bolt(diameter));
        let (a, b) = (
            Bearing { length, material: wood(gravity, 0.0) },
            Bearing { length: other.0, material: wood(other.1, 0.0) },
        );
        let modes = |main, side| value(dowel::yield_modes(&Joint { gap, ..joint(bolt, main, side) })).modes;
        let of = |modes: &[dowel::ModeValue], mode| modes.iter().find(|own| own.mode == mode).unwrap().value;
        let (here, there) = (modes(a, b), modes(b, a));
        for (mode, twin) in [(Mode::Im, Mode::Is), (Mode::II, Mode::II), (Mode::IIIm, Mode::IIIs), (Mode::IV, Mode::IV)] {
            prop_assert!((of(&here, mode) / of(&there, twin) - 1.0).abs() < LAST);
        }
        let equal = modes(a, a);
        prop_assert!((of(&equal, Mode::IIIm) / of(&equal, Mode::IIIs) - 1.0).abs() < LAST);
    }

    /// More wood, denser wood, no gap and a load along the grain never carry less.
    #[test]
    fn more_never_carries_less(
        diameter in 2.6..20.0_f64, lm in 20.0..100.0_f64, ls in 10.0..50.0_f64, gravity in gravity(),
        more in (1.0..1.5_f64, 1.0..1.5_f64, 1.0..1.3_f64), gap in 0.0..10.0_f64, degrees in (0.0..=90.0_f64, 0.0..=1.0_f64),
    ) {
        let bolt = value(Dowel::bolt(diameter));
        let make = |lm, ls, gravity, gap, angle| Joint {
            gap,
            ..joint(
                bolt,
                Bearing { length: lm, material: wood(gravity, angle) },
                Bearing { length: ls, material: wood(gravity, 0.0) },
            )
        };
        let base = z_of(&make(lm, ls, gravity, gap, degrees.0)) * (1.0 - LAST);
        prop_assert!(z_of(&make(lm * more.0, ls, gravity, gap, degrees.0)) >= base);
        prop_assert!(z_of(&make(lm, ls * more.1, gravity, gap, degrees.0)) >= base);
        prop_assert!(z_of(&make(lm, ls, (gravity * more.2).min(0.73), gap, degrees.0)) >= base);
        prop_assert!(z_of(&make(lm, ls, gravity, gap * degrees.1, degrees.0)) >= base);
        // The density at which bearing across overtakes bearing along is beyond all woods of the table.
        prop_assert!(z_of(&make(lm, ls, gravity, gap, degrees.0 * degrees.1)) >= base);
    }

    /// The equations of every mode come to what is reckoned of it, in one plane and in two.
    #[test]
    fn equations_of_every_mode_come_to_its_value(
        diameter in 2.6..20.0_f64, root in 0.6..1.0_f64, lm in 20.0..100.0_f64, ls in 10.0..50.0_f64,
        gravity in (gravity(), gravity()), gap in prop_oneof![Just(0.0), 0.1..10.0_f64],
        degrees in 0.0..=90.0_f64, is_double in any::<bool>(), in_end_grain in any::<bool>(),
    ) {
        let dowel = Dowel { root_diameter: diameter * root, crossing: dowel::Crossing::Thread, ..value(Dowel::bolt(diameter)) };
        let main = if in_end_grain { dowel::Material::EndGrain { gravity: gravity.0 } } else { wood(gravity.0, degrees) };
        let shear = if is_double { dowel::Shear::Double } else { dowel::Shear::Single };
        let joint = Joint {
            gap,
            shear,
            ..joint(dowel, Bearing { length: lm, material: main }, Bearing { length: ls, material: wood(gravity.1, 0.0) })
        };
        for own in value(dowel::yield_modes(&joint)).modes {
            let equations = joint.mode_equations(own.mode);
            for equation in &equations {
                let (worked, told) = (equation.value(), equation.left.value);
                prop_assert!((worked - told).abs() <= LAST * told.abs(), "{:?} {}: {worked} {told}", own.mode, equation.left.symbol);
            }
            let last = equations.last().filter(|equation| equation.right.is_some());
            prop_assert!(last.is_some_and(|last| (last.left.value / own.value - 1.0).abs() < LAST));
        }
    }

    /// The equation of what a length of thread or nail holds comes to what is reckoned of it.
    #[test]
    fn the_equation_of_withdrawal_comes_to_its_value(diameter in 6.4..9.4_f64, gravity in gravity()) {
        for (puller, _) in withdrawal::PULLERS {
            let equation = withdrawal::per_length_equation(puller, diameter, gravity);
            prop_assert!((equation.value() / equation.left.value - 1.0).abs() < LAST);
        }
    }

    /// A screw that reaches farther never carries less, and the two rules meet where the tables begin.
    #[test]
    fn reaching_farther_never_carries_less(reach in 6.0..10.0_f64, more in 0.0..3.0_f64, gravity in gravity()) {
        let screw = wood_screw(10);
        let holds = wood(gravity, 0.0);
        let joint = joint(screw, member(1.5, holds), member(0.75, holds));
        let at = |diameters: f64| {
            value(dowel::lateral(&joint, Penetration::ending_in(&screw, diameters * screw.diameter)))
        };
        let (short, long) = (at(reach), at(reach + more));
        prop_assert!(long.value >= short.value * (1.0 - LAST));
        prop_assert!(short.value <= short.direct.governing.value);
        prop_assert!((at(10.0).value / at(10.0 - 1e-9).value - 1.0).abs() < 1e-6);
    }

    /// Hankinson's formula at its ends, between them, and never rising.
    #[test]
    fn hankinson_runs_from_along_to_across(
        along in 1.0..60.0_f64, part in 0.05..1.0_f64, a in 0.0..90.0_f64, b in 0.0..90.0_f64,
    ) {
        let across = along * part;
        let at = |degrees: f64| wood::hankinson(along, across, Angle::deg(degrees));
        prop_assert!((at(0.0) / along - 1.0).abs() < 1e-12 && (at(90.0) / across - 1.0).abs() < 1e-12);
        prop_assert!(at(a.max(b)) <= at(a.min(b)) * (1.0 + 1e-12));
        let both = |together, degrees| value(withdrawal::combined(together, along, across, Angle::deg(degrees)));
        for together in [Together::Screw, Together::Nail] {
            prop_assert!((both(together, 0.0) / along - 1.0).abs() < 1e-12);
            prop_assert!((both(together, 90.0) / across - 1.0).abs() < 1e-12);
        }
        // The two ways of asking the same: a load as great as the combined value uses it up.
        for together in [Together::Screw, Together::Nail] {
            let load = both(together, a);
            let angle = Angle::deg(a);
            let used = value(withdrawal::utilisation(
                together, (load * angle.cos(), load * angle.sin()), (along, across),
            ));
            prop_assert!((used - 1.0).abs() < 1e-9);
        }
        prop_assert!(both(Together::Nail, a) <= both(Together::Screw, a) * (1.0 + 1e-12));
    }

    /// Forces of a group balance the load, and a doubled load doubles them.
    #[test]
    fn forces_of_a_group_balance_its_load(
        places in prop::collection::vec(((-200.0..200.0_f64, -200.0..200.0_f64), 100.0..5000.0_f64), 2..9),
        force in (-2e3..2e3_f64, -2e3..2e3_f64), at in (-400.0..400.0_f64, -400.0..400.0_f64), moment in -1e5..1e5_f64,
    ) {
        let fasteners: Vec<Fastener> =
            places.iter().map(|((x, y), stiffness)| Fastener { at: [*x, *y], stiffness: *stiffness }).collect();
        let load = Load { force: [force.0, force.1], at: [at.0, at.1], moment };
        let shared = value(group::share(&fasteners, &load));
        let sum = |axis: usize| shared.forces.iter().map(|force| force[axis]).sum::<f64>();
        prop_assert!((sum(0) - force.0).abs() < 1e-6 && (sum(1) - force.1).abs() < 1e-6);
        let turned: f64 = fasteners.iter().zip(&shared.forces)
            .map(|(one, force)| one.at[0] * force[1] - one.at[1] * force[0]).sum();
        let wanted = moment + at.0 * force.1 - at.1 * force.0;
        prop_assert!((turned - wanted).abs() < 1e-6 * (1.0 + wanted.abs()));
        let twice = Load { force: load.force.map(|f| 2.0 * f), moment: 2.0 * moment, ..load };
        prop_assert!((value(group::share(&fasteners, &twice)).greatest - 2.0 * shared.greatest).abs() < 1e-6);
    }

    /// A longer row carries more in all and less in each; either way round.
    #[test]
    fn a_longer_row_shares_worse(
        count in 1..20_u32, spacing in 20.0..150.0_f64, diameter in 6.5..25.0_f64, areas in (1e7..1e8_f64, 1e7..1e8_f64),
    ) {
        let row = |count| Row { count, spacing, diameter, main: areas.0, sides: areas.1, side: SideMember::Wood };
        let cg = |count| value(group::group_action(&row(count)));
        prop_assert!(cg(count) <= 1.0 + LAST && cg(count) > 0.0);
        prop_assert!(cg(count + 1) <= cg(count) + LAST);
        prop_assert!(f64::from(count + 1) * cg(count + 1) >= f64::from(count) * cg(count) - LAST);
        let swapped = Row { main: areas.1, sides: areas.0, ..row(count) };
        prop_assert!((value(group::group_action(&swapped)) - cg(count)).abs() < LAST);
    }

    /// What is left by buckling is between nothing and all, and never more than the ideal column.
    #[test]
    fn stability_is_a_part(ratio in 1e-3..1e3_f64, more in 1.0..10.0_f64) {
        for c in [wood::BEAM_ROUNDING, wood::COLUMN_ROUNDING] {
            let left = wood::stability(ratio, c);
            prop_assert!(left > 0.0 && left <= 1.0 + LAST && left <= ratio * (1.0 + LAST));
            prop_assert!(wood::stability(ratio * more, c) >= left - LAST);
            // The printed form.
            let half = (1.0 + ratio) / (2.0 * c);
            prop_assert!((half - (half * half - ratio / c).sqrt() - left).abs() < 1e-7);
        }
    }

    /// Where nothing can buckle, nothing is lost, however near to nothing the length.
    #[test]
    fn what_cannot_buckle_loses_nothing(power in 0..300_i32) {
        let ratio = format!("1e{power}").parse::<f64>().unwrap();
        for c in [wood::BEAM_ROUNDING, wood::COLUMN_ROUNDING] {
            let left = wood::stability(10.0 * ratio, c);
            prop_assert!(left <= 1.0 && left > 0.97);
        }
    }

    /// Longer columns buckle sooner.
    #[test]
    fn longer_columns_carry_less(depth in 20.0..150.0_f64, slender in 1.0..49.0_f64, more in 1.0..1.02_f64) {
        let cp = |length| value(beam::column_stability(depth, length, 8.0, 3500.0)).factor;
        prop_assert!(cp(depth * slender * more) <= cp(depth * slender) + LAST);
        let square = Section { breadth: depth, depth };
        prop_assert_eq!(value(beam::beam_stability(&square, depth * slender, 8.0, 3500.0)).factor, 1.0);
    }

    /// Wetter air, wetter wood; and there and back again is no change.
    #[test]
    fn wood_follows_the_air(a in 0.0..0.98_f64, step in 0.001..0.019_f64, celsius in -1.0..54.0_f64) {
        let at = |humidity| value(moisture::equilibrium(humidity, celsius));
        prop_assert!(at(a + step) > at(a) && at(a) >= 0.0 && at(a) < 40.0);
    }

    #[test]
    fn swelling_undoes_shrinking(
        tangential in 1.0..14.0_f64, part in 0.3..1.0_f64, from in 0.0..35.0_f64, to in 0.0..35.0_f64, width in 10.0..300.0_f64,
    ) {
        let movement = moisture::Movement { radial: tangential * part, tangential, fibre_saturation: 30.0 };
        let go = |width, from, to| {
            value(moisture::change(&movement, moisture::Sawn::Flat, (width, 20.0), (from, to))).width
        };
        let there = go(width, from, to);
        prop_assert!((there + go(width + there, to, from)).abs() < 1e-9);
        prop_assert!(there * (to - from) >= 0.0);
    }

    /// Denser, thicker, longer: never less hold, and in proportion to the length.
    #[test]
    fn withdrawal_grows(gravity in 0.31..0.70_f64, diameter in 4.0..9.0_f64, length in 5.0..80.0_f64) {
        for (puller, _) in withdrawal::PULLERS {
            let at = |gravity, diameter, length| {
                value(withdrawal::pull_out(puller, diameter, gravity, length, withdrawal::Grain::Side)).value()
            };
            let base = at(gravity, diameter, length);
            prop_assert!(at(gravity + 0.03, diameter, length) > base);
            prop_assert!(at(gravity, diameter + 0.5, length) > base);
            prop_assert!((at(gravity, diameter, 2.0 * length) / base - 2.0).abs() < LAST);
            prop_assert!(puller == Puller::StainlessNail
                || value(withdrawal::ultimate(puller, diameter, gravity, length)).unwrap() > 3.0 * base);
        }
    }
}
