//! Notches, bolts near ends, rows of bolts, contacts and feet of a stool against hand calculation, and the load cases of moving it.
//!
//! White oak No.2, wet: Fv 220 psi x 0.97 = 1.4713 MPa, Fc across 800 psi x 0.67 = 3.6956 MPa, Fc of a 2x4 700 psi x 1.15 x 0.8 =
//! 4.4402 MPa.

use slatwork_base::{Length, Origin};
use slatwork_catalog::Catalogue;
use slatwork_checks::framing::{About, Analysis, Sections, Situation, Solved, Tongue, analyse, bending};
use slatwork_checks::{Case, Verdict, judge};
use slatwork_model::bench::{Direction, NotchOrder};
use slatwork_model::{Model, Part, UseLevel};
use slatwork_solid::DVec3;

#[path = "common/stool.rs"]
mod made;

use made::{changed_stool, stool, stool_on};

const INCH: f64 = 25.4;
const SHEAR: f64 = 220.0 * 0.97 * 0.006_894_757;

fn usual() -> Model {
    stool("5/4x4", UseLevel::Domestic)
}

/// The stool with its bearers notched 2 in deep over 4 1/2 in at either end.
fn notched(side: Direction) -> Model {
    changed_stool("5/4x4", UseLevel::Domestic, |bench, bearers| {
        for (bearer, from_end) in bearers.iter().flat_map(|bearer| [(bearer, 0.0), (bearer, 19.5)]) {
            let order = NotchOrder {
                side,
                from_end: Length::inch(from_end),
                along: Length::inch(4.5),
                depth: Length::inch(2.0),
            };
            bench.notch(*bearer, &order, Origin::NOWHERE).expect("it can be notched");
        }
    })
}

fn verdict(model: &Model, check: &str) -> Verdict {
    under(model, check, 1.0)
}

/// With people so many times as heavy.
fn under(model: &Model, check: &str, loads: f64) -> Verdict {
    let all = judge(&Case::new(model, Catalogue::shared()).with_loads(loads));
    all.into_iter().find(|own| own.check == check).unwrap_or_else(|| panic!("{check} is not judged"))
}

fn near(found: f64, by_hand: f64) {
    assert!((found / by_hand - 1.0).abs() < 1e-4, "{found} {by_hand}");
}

fn capacity(verdict: &Verdict) -> f64 {
    verdict.measure.as_ref().unwrap_or_else(|| panic!("{verdict:?}")).capacity()
}

fn tongues(part: &Part) -> Vec<Tongue> {
    Tongue::all(part, &Sections::of(&part.solid))
}

#[test]
fn a_notched_end_is_a_tongue_and_a_whole_one_is_none() {
    let found = tongues(notched(Direction::Down).part_named("left bearer").expect("it is there"));
    assert_eq!(found.iter().map(|own| own.first).collect::<Vec<_>>(), [true, false]);
    for (tongue, x) in found.iter().zip([4.5, 19.5]) {
        near(tongue.x, x * INCH);
        near(tongue.whole, 5.5 * INCH);
        near(tongue.left, 3.5 * INCH);
        near(tongue.breadth, 1.5 * INCH);
        assert_eq!((tongue.of_width, tongue.missing), (true, [true, false]));
    }
    assert!(usual().parts.iter().all(|part| tongues(part).is_empty()));
}

/// (2/3 Fv' b dn) (dn/d)^2 = 2/3 x 1.4713 x 38.1 x 88.9 x (88.9/139.7)^2 = 1345 N; half of a place's 1600 N and of a bearer.
#[test]
fn a_bearer_notched_from_below_carries_as_by_hand() {
    let found = verdict(&notched(Direction::Down), "notch-splits");
    near(capacity(&found), 2.0 / 3.0 * SHEAR * 1.5 * 3.5 * INCH * INCH * (3.5_f64 / 5.5).powi(2));
    let carried = found.measure.as_ref().expect("a figure").found;
    assert_eq!(found.governing, "people on all places");
    assert!(400.0 < carried && carried < 800.0, "{carried}");
    assert!(
        found.assumptions.iter().any(|own| own.contains("4.4.3")),
        "2 in of 5 1/2 are more than a quarter"
    );
}

/// 4 in of the 5 1/2 in of a bearer hang on the bolts of a leg: 2/3 Fv' b de (de/d)^2. The seat is pushed forward by three people in
/// one, 1500 N at 18 in over the ground, with 3000 N on it 17.1 in from its front edge: about the rear feet at 22 1/4 in each front
/// leg at 1 3/4 in bears half of (3000 x 5.15 + 1500 x 18) / 20.5, and a quarter of the weight.
#[test]
fn a_bearer_that_hangs_on_bolts_carries_as_by_hand() {
    let model = usual();
    let found = under(&model, "hung-end-splits", 3.0);
    near(capacity(&found), 2.0 / 3.0 * SHEAR * 1.5 * 4.0 * INCH * INCH * (4.0_f64 / 5.5).powi(2));
    let carried = found.measure.as_ref().expect("a figure").found;
    let by_hand = (3000.0 * 5.15 + 1500.0 * 18.0) / 20.5 / 2.0 + weight(&model) / 4.0;
    assert!(found.governing.starts_with("the seat pushed forward"), "{found:?}");
    assert!((carried / by_hand - 1.0).abs() < 0.05, "{carried} {by_hand}");
}

/// Dragged by its front edge the stool catches with a foot: the leg hangs on the bolts of its bearer by half of its 3 1/2 in. The pull
/// at the middle of the first slat turns the stool about its front feet, so that it comes to 0.95 W b / h. Nobody heavy sits on it.
#[test]
fn a_leg_that_catches_hangs_on_its_bolts_as_by_hand() {
    let model = usual();
    let found = under(&model, "hung-end-splits", 0.1);
    assert!(found.governing.starts_with("dragged by its") && found.told.contains("hand `leg"), "{found:?}");
    let leg = model.part(found.parts[0]);
    let bolts =
        model.joints.iter().filter(|joint| joint.parts.contains(&leg.id)).flat_map(|own| &own.fastenings);
    let held = bolts.map(|bolt| leg.pose.inverse().transform_point3(bolt.head).y / INCH);
    let held: Vec<f64> = held.flat_map(|place| [place, 3.5 - place]).collect();
    let by_hand = |held: f64| 1.6 * 2.0 / 3.0 * SHEAR * 1.5 * held * INCH * INCH * (held / 3.5).powi(2);
    assert!(
        held.iter().any(|own| (capacity(&found) / by_hand(*own) - 1.0).abs() < 1e-3),
        "{found:?} {held:?}"
    );
    assert!(held.iter().all(|own| (own - 1.75).abs() <= 0.25 + 1e-9), "about the middle: {held:?}");
    let carried = found.measure.as_ref().expect("a figure").found;
    let pull = 0.95 * weight(&model) * 10.25 / 17.5;
    assert!((carried / pull - 1.0).abs() < 0.05, "{carried} {pull}");
}

/// Two screws in a slat 1 in thick, each a row of its own: Fv' t s, s from the end that it is pulled to.
#[test]
fn a_screw_tears_out_of_a_slat_as_by_hand() {
    // On low legs, whose bolts tear out less than these.
    let model = stool_on(10.0, "5/4x4", UseLevel::Domestic, |_, _| ());
    let found = verdict(&model, "row-tears-out");
    let slat = found.parts[0];
    let screws =
        model.joints.iter().filter(|joint| joint.parts == found.parts).flat_map(|own| &own.fastenings);
    let ends: Vec<f64> = screws.map(|one| one.layers[0].end).collect();
    assert_eq!((model.part(slat).thickness, ends.len()), (Length::inch(1.0), 2));
    let by_hand = ends.iter().map(|end| SHEAR * INCH * end);
    assert!(by_hand.clone().any(|own| (capacity(&found) / own - 1.0).abs() < 1e-3), "{found:?} {ends:?}");
}

/// Slats cross the bearers at their ends: Fc across without Cb. A leg stands with 1 1/2 x 3 1/2 in of end grain.
#[test]
fn contacts_and_feet_take_what_the_tables_say() {
    near(capacity(&verdict(&usual(), "wood-crushed")), 800.0 * 0.67 * 0.006_894_757);
    let foot = verdict(&usual(), "foot-crushed");
    near(capacity(&foot), 700.0 * 1.15 * 0.8 * 0.006_894_757);
    let measure = foot.measure.as_ref().expect("a figure");
    let push: f64 = measure.found * 1.5 * 3.5 * INCH * INCH;
    assert!(foot.told.ends_with(&format!("carries {push:.0} N")), "{foot:?}");
}

/// What the feet push up under the load case whose name begins so, the left two first.
fn pushed_up(analysis: &Analysis, name: &str) -> Vec<f64> {
    let at = analysis.situations.iter().position(|one| one.name.starts_with(name)).expect("it is there");
    let solution = analysis.models[0].solution(at).expect("it stands");
    solution.reactions.iter().map(|reaction| reaction[2]).collect()
}

fn weight(model: &Model) -> f64 {
    let density = Catalogue::shared().species("white oak").expect("it is known").density_at(12.0);
    model.parts.iter().map(|part| part.solid.volume() / 1e9 * density * 9.806_65).sum()
}

/// Lifted by its left end the left feet carry a twentieth of their half; dropped, all feet three times the weight.
#[test]
fn a_piece_is_lifted_and_dropped_as_by_hand() {
    let model = usual();
    let analysis = analyse(&Case::new(&model, Catalogue::shared())).expect("it can be analysed");
    let whole = weight(&model);
    let lifted = pushed_up(&analysis, "lifted by its left end");
    near(lifted[..2].iter().sum(), 0.05 * whole / 2.0);
    near(pushed_up(&analysis, "let drop").iter().sum(), 3.0 * whole);
    let count = |about| analysis.situations.iter().filter(|one| one.about == about).count();
    // By both edges and both ends, to each of which it is dragged with either of the two feet there catching.
    assert_eq!([About::Lifted, About::Dragged, About::Dropped].map(count), [4, 8, 1]);
    assert!(
        analysis.situations.iter().all(|one| (one.about.weight() > 1.0) == (one.about == About::Dropped))
    );
}

/// Dragged by its front edge the stool is pulled there as hard as a foot holds it back, and the rear feet stay down by a twentieth
/// of what they bear at rest: the pull at the height of its slats turns it about the front feet.
#[test]
fn a_piece_is_dragged_no_harder_than_it_stands() {
    let model = usual();
    let analysis = analyse(&Case::new(&model, Catalogue::shared())).expect("it can be analysed");
    let dragged = |situation: &&Situation| situation.name.starts_with("dragged by its front edge");
    let mut feet = Vec::new();
    for situation in analysis.situations.iter().filter(dragged) {
        let whole: DVec3 = situation.pushes.iter().map(|push| push.force).sum();
        assert!(whole.length() < 1e-9, "{situation:?}");
        let caught = situation.pushes.last().expect("a foot catches");
        assert!(caught.force.y > 0.0 && caught.force.y <= 350.0, "{caught:?}");
        feet.push(caught.part);
    }
    feet.dedup();
    assert_eq!(feet.len(), 2, "the front feet");
    let up = pushed_up(&analysis, "dragged by its front edge");
    near(up.iter().sum(), weight(&model));
    // Feet from the left, front before rear; the front ones stand as far before the middle as the rear ones behind it.
    near(up[1] + up[3], 0.05 * weight(&model) / 2.0);
}

/// The stress at a place of a bearer from the moments of the frame at each stiffness of its joints: M / (b d2 / 6) on edge and M / (d b2 / 6) flat, d what is left
/// there.
fn bent(model: &Model, part: &str, x: f64, left: f64) -> f64 {
    let case = Case::new(model, Catalogue::shared());
    let analysis = analyse(&case).expect("it stands");
    let part = model.part_named(part).expect("it is there").id;
    let (wide, edge) = (1.5 * INCH, left);
    let stress = |solved: &Solved, situation: usize| {
        let chain = solved.framing.chain(part).expect("it is held");
        let (bar, share) = chain.bar(x);
        let along = solved.along(bar, situation).expect("it stands");
        let moment = along.at(share * along.length()).moment.abs() * 1_000.0;
        let bent = moment.z / (wide * edge * edge / 6.0) + moment.y / (edge * wide * wide / 6.0);
        bent / analysis.situations[situation].about.duration()
    };
    let situations = 0..analysis.situations.len();
    let all = analysis.models.iter().flat_map(|solved| situations.clone().map(move |at| stress(solved, at)));
    all.fold(0.0, f64::max)
}

/// Cut in its middle to 1 1/2 in of 5 1/2 in, between joints, a bearer is judged by what is left there.
#[test]
fn a_bearer_cut_into_between_its_joints_is_judged_there() {
    let cut = changed_stool("5/4x4", UseLevel::Domestic, |bench, bearers| {
        for bearer in bearers {
            let order = NotchOrder {
                side: Direction::Down,
                from_end: Length::inch(11.0),
                along: Length::inch(2.0),
                depth: Length::inch(4.0),
            };
            bench.notch(*bearer, &order, Origin::NOWHERE).expect("it can be notched");
        }
    });
    let [whole, weak] = [usual(), cut].map(|model| (verdict(&model, "bearer-breaks"), model));
    let share = |verdict: &Verdict| verdict.measure.as_ref().expect("a figure").ratio();
    assert!(share(&weak.0) > 5.0 * share(&whole.0), "{:?}\n{:?}", weak.0, whole.0);
    let case = Case::new(&weak.1, Catalogue::shared());
    let analysis = analyse(&case).expect("it stands");
    let found = bending(&analysis, [weak.0.parts[0]], |_| true).expect("it is bent").1.stress;
    let name = &weak.1.part(weak.0.parts[0]).name;
    let along = (0..=8).map(|quarter| (11.0 + 0.25 * f64::from(quarter)) * INCH);
    let by_hand = along.map(|x| bent(&weak.1, name, x, 1.5 * INCH)).fold(0.0, f64::max);
    assert!((found / by_hand - 1.0).abs() < 0.01, "{found} {by_hand}");
}
