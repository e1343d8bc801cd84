//! Pieces as frames against hand calculation: a slat as a simple beam, balance of every answer, mirrored loads.

use slatwork_catalog::Catalogue;
use slatwork_checks::framing::{About, Framing, analyse, bending, frame_of};
use slatwork_checks::statics::frame::{Along, Combination, LoadCase, MemberLoad, Solution, Spread, solve};
use slatwork_checks::{Case, judge};
use slatwork_model::{Model, PartId, UseLevel};
use slatwork_solid::DVec3;

#[path = "common/stool.rs"]
mod made;

use made::stool;

const INCH: f64 = 25.4;
/// From the middle of one bearer to that of the other, mm.
const SPAN: f64 = 25.5 * INCH;

fn part(model: &Model, name: &str) -> PartId {
    model.part_named(name).expect("it is there").id
}

/// A force of 1000 N in the middle of a slat, at joints so many times as stiff.
fn loaded(case: &Case, stiffness: f64) -> (Framing, Combination, Solution, usize) {
    let mut framing = frame_of(case, stiffness).expect("a frame");
    let slat = framing.chain(part(case.model, "slat 3")).expect("it is held");
    let (bar, _) = slat.bar(13.5 * INCH);
    let ends = framing.frame.members[bar].ends.map(|node| framing.frame.nodes[node].at);
    let spread = Spread::Point { at: ends[0].distance(ends[1]) / 2.0, force: DVec3::new(0.0, 0.0, -1000.0) };
    let members = vec![MemberLoad { member: bar, spread }];
    framing.frame.cases.push(LoadCase { name: String::from("one"), members, ..LoadCase::default() });
    let combination = Combination { name: String::from("one"), factors: vec![(0, 1.0)] };
    let answers = solve(&framing.frame, std::slice::from_ref(&combination)).expect("a frame");
    let solution = answers.into_iter().next().expect("one answer").outcome.expect("it stands");
    (framing, combination, solution, bar)
}

/// P L / 4 on hinges; with screws as they are less, with stiff ones less again, but never under P L / 8 of a built-in beam.
#[test]
fn a_slat_is_a_simple_beam_between_its_bearers() {
    let model = stool("5/4x4", UseLevel::Domestic);
    let case = Case::new(&model, Catalogue::shared());
    let moment = |stiffness| {
        let (framing, combination, solution, bar) = loaded(&case, stiffness);
        Along::new(&framing.frame, &combination, &solution, bar).greatest_moment(1).1.abs()
    };
    let simple = 1000.0 * SPAN / 1000.0 / 4.0;
    let [hinged, usual, stiff] = [1e-3, 1.0, 100.0].map(moment);
    assert!((hinged / simple - 1.0).abs() < 0.01, "{hinged} {simple}");
    assert!(hinged > usual && usual > stiff && stiff > simple / 2.0, "{hinged} {usual} {stiff}");
}

/// What feet and joints carry sums to the load.
#[test]
fn feet_carry_the_load_and_joints_hand_it_on() {
    let model = stool("5/4x4", UseLevel::Domestic);
    let case = Case::new(&model, Catalogue::shared());
    let (framing, _, solution, _) = loaded(&case, 1.0);
    let up: f64 = solution.reactions.iter().map(|reaction| reaction[2]).sum();
    assert!((up - 1000.0).abs() < 1e-6, "{up}");
    let slat = part(&model, "slat 3");
    let handed: f64 = framing
        .ties
        .iter()
        .zip(&framing.tie_bars)
        .filter(|(tie, _)| tie.parts.contains(&slat))
        .map(|(_, bar)| solution.end_forces.at(bar.expect("it is held"))[0])
        .sum();
    assert!((handed.abs() - 1000.0).abs() < 1e-6, "{handed}");
    assert!(solution.trust.whole < 1e-8 && solution.trust.energy < 1e-8, "{:?}", solution.trust);
}

/// The stool is its own mirror image: what the left end gets from the left front corner, the right end gets from the right one.
#[test]
fn mirrored_loads_give_mirrored_answers() {
    let model = stool("5/4x4", UseLevel::Domestic);
    let analysis = analyse(&Case::new(&model, Catalogue::shared())).expect("it can be analysed");
    let solved = &analysis.models[0];
    let under = |name: &str| {
        let at = analysis.situations.iter().position(|one| one.name.ends_with(name)).expect("it is there");
        let solution = solved.solution(at).expect("it stands");
        let feet = solved.framing.ground.points().iter().zip(solution.reactions.iter());
        let mut up: Vec<(f64, f64, f64)> =
            feet.map(|(foot, reaction)| (foot.at.x, foot.at.y, reaction[2])).collect();
        up.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.total_cmp(&b.0)));
        up.iter().map(|foot| foot.2).collect::<Vec<f64>>()
    };
    let (left, right) = (under("front edge, left end"), under("front edge, right end"));
    // Feet: front left, front right, rear left, rear right.
    for (own, mirrored) in [(0, 1), (1, 0), (2, 3), (3, 2)] {
        assert!((left[own] - right[mirrored]).abs() < 0.5, "{left:?} {right:?}");
    }
    assert!(left[0] > left[1] + 300.0, "{left:?}");
}

/// Six tenths of 1600 N over 200 mm in the middle of a slat of 25.4 by 88.9 mm: as a simple beam M = P (L/4 - 200/8), on screws
/// somewhat less; 5.86 MPa are allowed (No.2 white oak 850 psi, wet factor 1 up to 1150 psi).
#[test]
fn a_slat_is_worked_as_by_hand() {
    let model = stool("5/4x4", UseLevel::Domestic);
    let analysis = analyse(&Case::new(&model, Catalogue::shared())).expect("it can be analysed");
    let alone = |at: usize| analysis.situations[at].about == About::OneSlat;
    let (_, strain) = bending(&analysis, [part(&model, "slat 3")], alone).expect("it is there");
    let moment = 960.0 * (SPAN / 4.0 - 200.0 / 8.0);
    let stress = moment / (88.9 * 25.4 * 25.4 / 6.0);
    let by_hand = stress / (850.0 * 0.006_894_757);
    assert!(0.75 * by_hand < strain.share && strain.share <= 1.01 * by_hand, "{} {by_hand}", strain.share);
    assert_eq!(analysis.situations[strain.situation].name, "most of a person on `slat 3` alone");
    assert!(strain.spread[0] <= strain.share && strain.share <= strain.spread[1] + 1e-12);
}

fn ratio(model: &Model, check: &str) -> f64 {
    let verdicts = judge(&Case::new(model, Catalogue::shared()));
    let own = verdicts.iter().find(|verdict| verdict.check == check).expect("it is judged");
    own.ratio().unwrap_or_else(|| panic!("{own:?}"))
}

/// Slats of twice the thickness, and a heavier use: 2700 N in place of 1600 N.
#[test]
fn thicker_slats_bear_more_and_heavier_people_ask_more() {
    let thin = stool("5/4x4", UseLevel::Domestic);
    let thick = stool("2x4", UseLevel::Domestic);
    let heavy = stool("5/4x4", UseLevel::Heavy);
    assert!(ratio(&thin, "slat-breaks") > 1.0);
    assert!(ratio(&thick, "slat-breaks") < 0.5 * ratio(&thin, "slat-breaks"));
    let grown = ratio(&heavy, "slat-breaks") / ratio(&thin, "slat-breaks");
    assert!((grown / (2700.0 / 1600.0) - 1.0).abs() < 0.05, "{grown}");
}

/// Without a seat nobody knows what carries people, and it is said.
#[test]
fn a_piece_without_a_seat_is_not_judged() {
    let mut model = stool("5/4x4", UseLevel::Domestic);
    model.seat = None;
    let verdicts = judge(&Case::new(&model, Catalogue::shared()));
    let told =
        |check: &str| verdicts.iter().find(|verdict| verdict.check == check).map(|own| own.standing.word());
    for check in ["slat-breaks", "fastener-sheared", "tips-back"] {
        assert_eq!(told(check), Some("not judged"), "{check}");
    }
}

/// The head of a #8 screw, 0.312 in wide by the tables, drawn into 1 in of white oak: 690 pi DH G2 tns with tns at most
/// 2.5 DH = 0.78 in, wet 0.7: 690 x 3.1416 x 0.312 x 0.73^2 x 0.78 x 0.7 = 196.8 lb = 875 N (NDS Eq 12.2-6).
#[test]
fn a_slat_screw_is_held_by_its_head_as_by_hand() {
    let model = stool("5/4x4", UseLevel::Domestic);
    let verdicts = judge(&Case::new(&model, Catalogue::shared()));
    let pulled = verdicts.iter().find(|own| own.check == "fastener-pulled").expect("it is judged");
    let measure = pulled.measure.as_ref().expect("a figure");
    assert!((measure.capacity() - 875.3).abs() < 1.0, "{pulled:?}");
}

/// What lets a search pass a bar over: no section of it has more.
#[test]
fn no_section_of_a_bar_exceeds_its_bounds() {
    let model = stool("5/4x4", UseLevel::Domestic);
    let case = Case::new(&model, Catalogue::shared());
    let analysis = analyse(&case).expect("it stands");
    let mut nearest = 0.0_f64;
    for (solved, situation) in
        analysis.models.iter().flat_map(|own| (0..analysis.situations.len()).map(move |at| (own, at)))
    {
        for bar in 0..solved.framing.frame.members.len() {
            let (bounds, along) = (
                solved.bounds(bar, situation).expect("it stands"),
                solved.along(bar, situation).expect("it stands"),
            );
            for forces in along.stations().into_iter().map(|x| along.at(x)) {
                let within = |own: DVec3, most: DVec3| own.abs().cmple(most * (1.0 + 1e-9) + 1e-6).all();
                assert!(within(forces.force, bounds.force), "{forces:?} {bounds:?}");
                assert!(within(forces.moment, bounds.moment), "{forces:?} {bounds:?}");
                nearest = nearest.max(forces.moment.y.abs() / bounds.moment.y.max(1.0));
            }
        }
    }
    assert!(nearest > 0.5, "the bounds are worth nothing: {nearest}");
}

/// Parts that are passed over are none that would have been the worst: each looked at by itself gives the same.
#[test]
fn the_hardest_of_all_is_the_hardest_of_each() {
    let model = stool("5/4x4", UseLevel::Domestic);
    let case = Case::new(&model, Catalogue::shared());
    let analysis = analyse(&case).expect("it stands");
    let parts = || model.parts.iter().map(|part| part.id);
    let (_, of_all) = bending(&analysis, parts(), |_| true).expect("there are parts");
    let each = parts().filter_map(|part| Some(bending(&analysis, [part], |_| true)?.1.share));
    let most = each.fold(0.0, f64::max);
    assert!((of_all.share / most - 1.0).abs() < 2e-6, "{} {most}", of_all.share);
}

/// However many threads, the same figures.
#[test]
fn threads_change_nothing() {
    let model = stool("5/4x4", UseLevel::Domestic);
    let case = || Case::new(&model, Catalogue::shared());
    assert_eq!(format!("{:?}", judge(&case())), format!("{:?}", judge(&case().on_threads())));
}
