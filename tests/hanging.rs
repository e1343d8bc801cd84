//! Whether the porch swing holds and hangs as it comes, and whether each check of what hangs finds its fault in a swing spoiled by
//! one change.

mod worked;

use slatwork::base::{Length, maths};
use slatwork::catalog::{Catalogue, Status};
use slatwork::checks::{
    Case, Caution, Conditions, Exposure, Preservative, SUBJECTS, Seated, Standing, Verdict, handed_over,
    judge, rate, seatings,
};
use slatwork::model::{Overhead, Runs, Site, UseLevel};
use slatwork::{Memory, Model, Request, Workshop};
use std::sync::Arc;

const SWING: &str = include_str!("../scripts/families/porch_swing.rhai");
const BENCH: &str = include_str!("../scripts/families/garden_bench.rhai");

/// Room enough round a swing under a porch of 8 ft.
fn roomy() -> Site {
    Site {
        hook_height: Some(Length::inch(96.0)),
        clear_rear: Some(Length::inch(84.0)),
        clear_front: Some(Length::inch(96.0)),
        clear_side: Some(Length::inch(24.0)),
        ..Site::default()
    }
}

/// The swing of a script, made with these settings, with the catalogue that it was made by; changed by hand.
fn made(
    script: &str,
    settings: &[(&str, &str)],
    stock: &str,
    change: impl FnOnce(&mut Model) + Send,
) -> (Model, Arc<Catalogue>) {
    let world = Memory::of([("families/spoiled.rhai", script), ("stamped.toml", stock)]);
    let set = |(name, value): &(&str, &str)| (name.to_string(), value.to_string());
    let request = Request {
        settings: settings.iter().map(set).collect(),
        measured: vec![String::from("stamped.toml")],
        ..Request::new("spoiled")
    };
    slatwork::with_stack(|| {
        let opened = Workshop::open(&world, &request);
        let workshop = opened.value.unwrap_or_else(|| panic!("{:?}", opened.diagnostics));
        let made = workshop.make(&[]);
        let made = made.value.unwrap_or_else(|| panic!("{settings:?}: {:?}", made.diagnostics));
        let mut model = (*made.model).clone();
        model.site = roomy();
        change(&mut model);
        (model, Arc::clone(workshop.catalogue()))
    })
    .expect("a deep stack")
}

/// Verdicts of the checks of what hangs.
fn verdicts(script: &str, settings: &[(&str, &str)], change: impl FnOnce(&mut Model) + Send) -> Vec<Verdict> {
    let (model, catalogue) = made(script, settings, "", change);
    hanging(&Case::new(&model, &catalogue))
}

fn hanging(case: &Case) -> Vec<Verdict> {
    let subject = SUBJECTS.iter().find(|own| own.name == "hanging").expect("a subject");
    let verdicts: Vec<Verdict> = subject.checks.iter().flat_map(|check| check.verdicts(case)).collect();
    worked::assert_worked(&verdicts);
    verdicts
}

fn spoil(script: &str, from: &str, to: &str) -> String {
    assert!(script.contains(from), "`{from}` is not in the script");
    script.replace(from, to)
}

fn of<'a>(verdicts: &'a [Verdict], check: &str) -> &'a Verdict {
    verdicts.iter().find(|own| own.check == check).unwrap_or_else(|| panic!("no verdict of {check}"))
}

fn failing(verdicts: &[Verdict]) -> Vec<&str> {
    verdicts.iter().filter(|own| own.fails()).map(|own| own.check).collect()
}

fn fails(verdicts: &[Verdict], check: &str) -> bool {
    verdicts.iter().any(|own| own.check == check && own.fails())
}

fn found(verdict: &Verdict) -> f64 {
    verdict.measure.as_ref().unwrap_or_else(|| panic!("no figure: {verdict:?}")).found
}

#[test]
fn the_porch_swing_holds_and_hangs_as_it_comes_at_three_widths() {
    for width in ["4ft", "5ft", "6ft"] {
        for hung_at in ["arm posts", "seat frame"] {
            let verdicts = verdicts(SWING, &[("width", width), ("hung_at", hung_at)], |_| ());
            assert_eq!(failing(&verdicts), Vec::<&str>::new(), "{width} {hung_at}: {verdicts:#?}");
        }
    }
}

#[test]
fn of_what_stands_it_is_said_that_it_does_not_hang() {
    let all = verdicts(BENCH, &[], |_| ());
    for own in &all {
        assert_eq!(own.standing, Standing::DoesNotApply(String::from("it does not hang")), "{own:?}");
    }
    assert_eq!(all.len(), 15, "each check has its say");
}

/// Each chain of its own hook, straight above its eye.
fn on_four_hooks(model: &mut Model) {
    let hanging = model.hanging.as_mut().expect("it hangs");
    for own in &mut hanging.suspensions {
        (own.hook.x, own.hook.y) = (own.eye.x, own.eye.y);
    }
}

fn named<'a>(all: &'a [Seated], words: &str) -> &'a Seated {
    all.iter().find(|own| own.name.starts_with(words)).expect("a seating")
}

/// By hand: of four upright chains at hooks of their own two across from each other bear all, a half each. Most is asked of them when
/// one of two people drops into the seat: 3 x 115 kg, and the seat 1.27 times.
#[test]
fn of_four_chains_at_four_hooks_any_two_bear_all() {
    let (model, catalogue) = made(SWING, &[], "", on_four_hooks);
    let case = Case::new(&model, &catalogue).accepting([Caution::Hanging]);
    let (all, verdicts) = (seatings(&case), hanging(&case));
    let half = (3.0 * 115.0 + 1.27 * named(&all, "nobody").mass) * 9.80665 / 2.0;
    for check in ["eye-overloaded", "hanging-part-overloaded"] {
        let pull = found(of(&verdicts, check));
        assert!((pull / half - 1.0).abs() < 0.005, "{check}: {pull} {half}");
    }
    let told = &of(&verdicts, "eye-overloaded").assumptions;
    assert!(told.iter().any(|own| own.starts_with("any two chains across")), "{told:?}");
    let handed = handed_over(&case).expect("it is accepted");
    assert_eq!(handed.hooks.len(), 4);
    for hook in &handed.hooks {
        assert!((hook.rated / (2.0 * half) - 1.0).abs() < 0.005, "{hook:?}");
    }
    assert_eq!(failing(&verdicts), Vec::<&str>::new(), "it holds on four hooks, too");
}

/// By hand: with one of four hooks gone the other chain of that end bears all that both bore, and that counts double.
#[test]
fn with_one_of_four_hooks_gone_the_others_bear_what_statics_say() {
    let (model, catalogue) = made(SWING, &[], "", on_four_hooks);
    let case = Case::new(&model, &catalogue);
    let full = seatings(&case).into_iter().find(|own| own.name == "all 2 places taken, upright");
    let chains = full.expect("a seating").hangs.expect("it hangs").chains;
    let end =
        |end: &str| chains.iter().filter(|own| own.name.contains(end)).map(|own| own.tension).sum::<f64>();
    let by_hand = 2.0 * end("front").max(end("rear"));
    let verdicts = hanging(&case);
    let lost: Vec<&Verdict> = verdicts.iter().filter(|own| own.check == "hanger-lost").collect();
    assert_eq!(lost.len(), 1, "{lost:#?}");
    let pull = found(lost[0]);
    assert!((pull / by_hand - 1.0).abs() < 0.01, "{pull} {by_hand} {lost:?}");
}

/// The check of the eye by hand: the whole and what drops weigh 3 x 115 kg and 1.27 times the seat; the right hook bears a half, and
/// its chains share that by where the weight lies between the eyes.
#[test]
fn the_pull_on_an_eye_agrees_with_a_hand_calculation() {
    let (model, catalogue) = made(SWING, &[], "", |_| ());
    let verdicts = hanging(&Case::new(&model, &catalogue));
    let pull = found(of(&verdicts, "eye-overloaded"));
    let seat: f64 = model
        .parts
        .iter()
        .map(|part| {
            part.solid.volume() * 1e-9 * catalogue.species(&part.species).expect("known").density_at(19.0)
        })
        .sum();
    let eyes: Vec<f64> =
        model.hanging.as_ref().expect("it hangs").suspensions.iter().map(|own| own.eye.y).collect();
    let (front, rear) =
        (eyes.iter().copied().fold(f64::MAX, f64::min), eyes.iter().copied().fold(0.0, f64::max));
    // The seat is 420 mm deep where the back is met 175 mm above it, and opens to 99.2 degrees; the seat load stands 175 mm before
    // where they meet, leaning forward 110 mm more. The seat alone hangs in the middle of its eyes, near enough.
    let upright = 420.0 - 175.0 * maths::tan(9.2f64.to_radians()) - 175.0;
    let (forward, middle) = (upright - 110.0, f64::midpoint(front, rear));
    let (seat, sitter) = (1.27 * seat, 115.0);
    let weight = (seat * middle + sitter * upright + 2.0 * sitter * forward) / (seat + 3.0 * sitter);
    // Two places, each a quarter of 1524 mm from the middle, between hooks 1600 mm apart: 0.262 and 0.738.
    let side = seat / 2.0 + sitter * 0.262 + 2.0 * sitter * 0.738;
    let by_hand = side * (rear - weight) / (rear - front) * 9.80665;
    assert!((pull / by_hand - 1.0).abs() < 0.05, "{pull} {by_hand}");
}

#[test]
fn chains_too_far_back_turn_the_seat_over() {
    let eye = "options.from = [height, [post.side(\"front\"), post.width / 2 + inward]];";
    // The front chains at the rear posts, too, an inch in front of those at the rear.
    let behind = "if place == \"front\" {\n\
        let post = seat.posts[i * 2 + 1];\n\
        options.on = post.side(side);\n\
        options.through = [post];\n\
        options.from = [[post.side(\"up\"), 5.inch], [post.side(\"front\"), 1.inch]];\n    }";
    let back = spoil(SWING, eye, &format!("{eye}\n    {behind}"));
    let verdicts = verdicts(&back, &[], |_| ());
    assert!(fails(&verdicts, "swing-turns-over"), "{verdicts:#?}");
    let told = &of(&verdicts, "swing-turns-over").told;
    assert!(told.contains("it turns over"), "{told}");
}

#[test]
fn eyes_that_are_too_thin_or_unrated_are_found() {
    let eye = "item: \"eye_bolt_5_8\"";
    let thin = verdicts(&spoil(SWING, eye, "item: \"eye_bolt_3_8\""), &[], |_| ());
    assert_eq!(failing(&thin), ["eye-overloaded"]);
    let told = &of(&thin, "eye-overloaded").told;
    assert!(
        told.contains("at 90 degrees from its shank; half of what it is rated at there is 863 N"),
        "{told}"
    );
    let screwed = verdicts(&spoil(SWING, eye, "item: \"screw_eye_1_2\""), &[], |_| ());
    assert!(fails(&screwed, "hanging-part-unrated"), "{screwed:#?}");
    let metric = verdicts(&spoil(SWING, eye, "item: \"eye_bolt_m12\""), &[], |_| ());
    assert!(
        of(&metric, "eye-overloaded").told.contains("where it is not rated"),
        "nothing is rated over 45 degrees"
    );
    assert!(fails(&metric, "eye-overloaded"));
}

/// White oak No.2, wet, Fv 220 psi x 0.97 = 1.4713 MPa: 1 3/4 in of wood over an eye in a post of 1 1/2 in tears out at 1.4713 x 38.1 x
/// 44.45 = 2491.7 N. Half an inch is less than the 2 1/2 diameters that a bolt must have, and holds nothing: no rating is given. Three
/// inches, as it comes, hold.
#[test]
fn an_eye_near_the_end_of_its_post_tears_out() {
    let under = |inches: &str| {
        made(&spoil(SWING, "else { 3.inch };", &format!("else {{ inch(\"{inches}\") }};")), &[], "", |_| ())
    };
    let (model, catalogue) = under("1 3/4");
    let heavier = Case::new(&model, &catalogue).with_loads(2.5);
    let verdicts = hanging(&heavier);
    let torn = of(&verdicts, "eye-tears-out");
    assert!(torn.fails() && torn.told.contains("tears out along the grain"), "{torn:?}");
    assert!((torn.measure.as_ref().expect("a figure").capacity() - 2491.7).abs() < 0.5, "{torn:?}");
    let (model, catalogue) = under("1/2");
    let near = Case::new(&model, &catalogue);
    let verdicts = hanging(&near);
    assert!(of(&verdicts, "eye-tears-out").fails());
    assert!(of(&verdicts, "eye-tears-out").told.contains("nearer to an end or an edge"), "{verdicts:#?}");
    assert!(rate(&near).is_err());
    for (width, wood) in [("4ft", "white oak"), ("5ft", "southern pine"), ("66in", "southern pine")] {
        let sound = verdicts_of_usual(width, wood);
        assert!(of(&sound, "eye-tears-out").is_fine(), "{sound:#?}");
    }
}

fn verdicts_of_usual(width: &str, wood: &str) -> Vec<Verdict> {
    verdicts(SWING, &[("width", width), ("wood", wood)], |_| ())
}

/// Nothing is interpolated: a pull a hair off the shank takes the figure for 45 degrees, one over 45 that for 90.
#[test]
fn an_eye_takes_the_figure_of_the_next_greater_angle() {
    let leaned = |lean: f64| {
        let (mut model, catalogue) = made(SWING, &[], "", |_| ());
        for eye in model.hardware.iter_mut().filter(|own| own.item.starts_with("eye_bolt")) {
            let (from, _) = eye.axis.expect("an eye has an axis");
            let (sine, cosine) = maths::sin_cos(lean.to_radians());
            // So far from the run of the chains, which lean to the middle of the hooks; away from it, to a side.
            eye.axis = Some((from, from - slatwork::solid::DVec3::new(sine, 0.0, cosine) * 100.0));
        }
        let verdict = of(&hanging(&Case::new(&model, &catalogue)), "eye-overloaded").clone();
        verdict.measure.expect("a figure").capacity()
    };
    assert_eq!(leaned(0.0), 6939.0 / 2.0);
    assert_eq!(leaned(40.0), 6939.0 / 2.0);
    assert_eq!(leaned(50.0), 5783.0 / 2.0);
}

#[test]
fn what_opens_or_has_no_figure_is_found_until_it_is_stamped() {
    let links = "links: [\"quick_link_5_16\"]";
    let hook = verdicts(&spoil(SWING, links, "links: [\"s_hook_5_16\"]"), &[], |_| ());
    assert!(fails(&hook, "hanging-part-refused") && fails(&hook, "hanging-part-overloaded"), "{hook:#?}");
    let remembered = spoil(SWING, links, "links: [\"quick_link_3_8\", \"ring_3_8\"]");
    let unrated = verdicts(&remembered, &[], |_| ());
    assert_eq!(failing(&unrated), ["hanging-part-unrated"]);
    assert!(of(&unrated, "hanging-part-unrated").told.contains("its working load is from memory"));
    let stamp = |id: &str, newton: u32| {
        format!("[[hardware]]\nid = \"{id}\"\nlike = \"{id}\"\nratings = [{{ newton = {newton} }}]\n")
    };
    let stamped = |ring| {
        let stock = [stamp("quick_link_3_8", 9800), stamp("ring_3_8", ring)].concat();
        let (model, catalogue) = made(&remembered, &[], &stock, |_| ());
        hanging(&Case::new(&model, &catalogue))
    };
    assert_eq!(failing(&stamped(9_000)), Vec::<&str>::new());
    // A ring bears both chains of its hook, over 2000 N, by half of its rating.
    let weak = stamped(4_000);
    assert!(of(&weak, "hanging-part-overloaded").told.starts_with("welded ring 3/8"), "{weak:#?}");
    assert!(fails(&weak, "hanging-part-overloaded"));
}

#[test]
fn harder_use_and_heavier_people_ask_more() {
    let ratio = |change: fn(&mut Model)| {
        of(&verdicts(SWING, &[("width", "6ft")], change), "eye-overloaded").ratio().expect("a figure")
    };
    let usual = ratio(|_| ());
    let contract = ratio(|model| model.people.use_level = UseLevel::Contract);
    let heavy = ratio(|model| model.people.use_level = UseLevel::Heavy);
    assert!(usual < contract && contract < 1.0 && 1.0 < heavy, "{usual} {contract} {heavy}");
    let named = |mass| {
        let found = verdicts(SWING, &[("width", "6ft")], move |model| model.people.named = vec![smith(mass)]);
        of(&found, "eye-overloaded").ratio().expect("a figure")
    };
    assert_eq!(named(70.0), usual, "others sit down as well");
    assert!((named(182.0) - heavy).abs() < 1e-12);
}

fn smith(mass: f64) -> slatwork::model::Person {
    let label = String::from("the smith");
    slatwork::model::Person { label, stature: Length::mm(1900.0), mass, woman: Some(false) }
}

/// Whoever is named, the rating is the same; who is heavier than that is told.
#[test]
fn a_rating_is_of_the_piece_and_who_is_heavier_is_told() {
    for script in [SWING, BENCH] {
        let (mut model, catalogue) = made(script, &[], "", |_| ());
        let rated = rate(&Case::new(&model, &catalogue)).expect("it is rated");
        assert!(rated.per_place >= 115.0 && rated.per_place < 200.0, "{rated:?}");
        let mut heaviest = |mass| {
            model.people.named = vec![smith(60.0), smith(mass)];
            let case = Case::new(&model, &catalogue);
            assert_eq!(rate(&case).expect("it is rated"), rated);
            let check =
                SUBJECTS.iter().flat_map(|own| own.checks).find(|own| own.fault == "heavier-than-rated");
            check.expect("a check").verdicts(&case).remove(0)
        };
        for light in [90.0, 115.0, rated.per_place] {
            assert!(heaviest(light).is_fine(), "{:?}", heaviest(light));
        }
        let heavy = heaviest(200.0);
        assert!(heavy.fails() && (found(&heavy) - 200.0).abs() < 1e-9, "{heavy:?}");
        let rated_at = format!(
            "the smith weighs 200 kg; it is rated at {:.0} kg at each place: above that ",
            rated.per_place
        );
        assert!(heavy.told.starts_with(&rated_at), "{}", heavy.told);
    }
}

/// Hooks 20 in too far back tilt the seat: it is not rated, however much its wood and hardware bear.
#[test]
fn what_fails_a_check_of_safety_is_not_rated() {
    let hooks_back = |model: &mut Model| {
        let hanging = model.hanging.as_mut().expect("it hangs");
        hanging.suspensions.iter_mut().for_each(|own| own.hook.y += 508.0);
        model.site.hook_height = None;
    };
    let (model, catalogue) = made(SWING, &[], "", hooks_back);
    let case = Case::new(&model, &catalogue);
    assert_eq!(failing(&hanging(&case)), ["swing-tilts"]);
    let not = rate(&case).expect_err("it is not rated");
    assert_eq!(not.fails, Some("swing-tilts"));
    assert!(not.to_string().starts_with("swing-tilts fails: empty the rear hangs "), "{not}");
    // A wall that the seat strikes fails as well; what weather does to it does not void a rating.
    let near = |model: &mut Model| model.site.clear_rear = Some(Length::inch(30.0));
    let (model, catalogue) = made(SWING, &[], "", near);
    assert_eq!(rate(&Case::new(&model, &catalogue)).expect_err("not rated").fails, Some("swing-strikes"));
    let (model, catalogue) = made(SWING, &[], "", |_| ());
    let treated = Conditions { preservative: Preservative::Harmful, ..Conditions::default() };
    let case = Case::new(&model, &catalogue).under(treated);
    assert!(judge(&case).iter().any(|own| own.check == "preservative-unfit" && own.fails()));
    assert!(rate(&case).is_ok());
}

#[test]
fn a_swing_has_no_feet() {
    let told = |script: &str| {
        let (model, catalogue) = made(script, &[], "", |_| ());
        of(&judge(&Case::new(&model, &catalogue)), "gives-way").assumptions.join("; ")
    };
    assert!(!told(SWING).contains("foot") && told(SWING).contains("chains"), "{}", told(SWING));
    assert!(told(BENCH).contains("each foot bears in its middle"), "{}", told(BENCH));
}

/// That ten minutes are all that anybody stands on a seat is this project's choice, and said where it governs.
#[test]
fn how_long_a_load_lasts_is_told_with_its_source() {
    let (model, catalogue) = made(BENCH, &[], "", |_| ());
    let short = |own: &&Verdict| {
        let words = ["a person standing on", "dragged by", "lifted by", "let drop"];
        words.iter().any(|word| own.governing.starts_with(word)) && !own.check.ends_with("crushed")
    };
    let verdicts = judge(&Case::new(&model, &catalogue));
    let governed: Vec<&Verdict> = verdicts.iter().filter(short).collect();
    assert!(governed.iter().any(|own| own.check == "notch-splits"), "{governed:?}");
    for own in governed {
        let told = |source: &&slatwork::catalog::Source| source.text.starts_with("ten minutes in all");
        let source = own.sources.iter().find(told).unwrap_or_else(|| panic!("{own:?}"));
        assert_eq!(source.status, Status::ProjectChoice);
        assert!(own.sources.iter().any(|source| source.text.contains("duration factor 1.6")), "{own:?}");
    }
}

/// A site with the given change.
fn at(change: impl FnOnce(&mut Site) + Send) -> Vec<Verdict> {
    verdicts(SWING, &[], |model| change(&mut model.site))
}

#[test]
fn walls_floors_and_heights_are_judged_where_they_are_known() {
    assert_eq!(failing(&at(|site| site.clear_rear = Some(Length::inch(30.0)))), ["swing-strikes"]);
    assert_eq!(failing(&at(|site| site.clear_front = Some(Length::inch(50.0)))), ["swing-strikes"]);
    assert_eq!(failing(&at(|site| site.clear_side = Some(Length::inch(6.0)))), ["swing-strikes"]);
    assert_eq!(failing(&at(|site| site.hook_height = Some(Length::inch(90.0)))), ["swing-hangs-low"]);
    // 1.2 m high: the hooks are 30 in higher over the floor than the seat was drawn for.
    let high = at(|site| site.hook_height = Some(Length::inch(126.0)));
    assert!(fails(&high, "swing-hangs-high") && found(of(&high, "swing-hangs-high")) > 1_150.0, "{high:#?}");
    let adults = verdicts(SWING, &[], |model| {
        model.site.hook_height = Some(Length::inch(126.0));
        model.people.children = false;
    });
    assert!(!fails(&adults, "swing-hangs-high"));
    for check in ["swing-strikes", "swing-hangs-low", "swing-hangs-high"] {
        let unknown = at(|site| *site = Site::default());
        assert!(matches!(of(&unknown, check).standing, Standing::NotJudged(_)), "{check}");
    }
}

/// By hand for the rear: the top of the back swings about the hooks; for the lowest corner the circle about the hooks.
#[test]
fn the_swept_room_is_that_of_circles_about_the_hooks() {
    let (model, catalogue) = made(SWING, &[], "", |_| ());
    let verdicts = hanging(&Case::new(&model, &catalogue));
    let hook = model.hanging.as_ref().expect("it hangs").suspensions[0].hook;
    let corners = || model.parts.iter().flat_map(|part| part.placed().bounds().corners());
    let radius = |corner: &slatwork::solid::DVec3| maths::hypot(corner.y - hook.y, corner.z - hook.z);
    let farthest = corners().map(|corner| radius(&corner)).fold(0.0, f64::max);
    let lowest = found(of(&verdicts, "swing-hangs-low"));
    let floor = hook.z - 96.0 * 25.4;
    // The seat tilts by some 3 degrees with people, which moves corners by some 30 mm.
    assert!((lowest - (hook.z - farthest - floor)).abs() < 30.0, "{lowest}");
    let rear = corners().map(|own| {
        radius(&own) * maths::sin(maths::atan2(own.y - hook.y, hook.z - own.z) + 30f64.to_radians())
    });
    let rear = rear.fold(0.0, f64::max) + 300.0;
    let needed = verdicts.iter().find(|own| own.told.contains("to the rear")).expect("it is told");
    let asked = needed.measure.as_ref().expect("a figure").demand();
    // Leaning back tilts the seat by up to 7 degrees about the hooks: 0.12 of a radius of 1.6 m.
    assert!(asked > rear && asked - rear < 190.0, "{asked} {rear}");
}

#[test]
fn chains_that_splay_or_are_too_short_are_found() {
    let wide = verdicts(
        &spoil(
            SWING,
            "{ 0.mm - spacing / 2 } else { spacing / 2 }",
            "{ 0.mm - spacing / 2 - 24.inch } else { spacing / 2 + 24.inch }",
        ),
        &[],
        |_| (),
    );
    let splay = of(&wide, "chains-splay");
    assert!(!splay.is_fine() && found(splay) > 15.0, "{splay:?}");
    // So near under its hooks the seat tips forward with who leans forward.
    let under = |hooks: &str| {
        verdicts(&spoil(SWING, "job.site_length(\"hook_height\", 8.feet) - up", hooks), &[], |_| ())
    };
    assert!(of(&under("60.inch"), "swing-tilts").is_fine());
    let near = under("36.inch");
    assert!(!of(&near, "swing-tilts").is_fine() && !fails(&near, "swing-tilts"), "{near:#?}");
    let short = under("24.inch");
    assert!(fails(&short, "swing-tilts") && found(of(&short, "swing-tilts")) < -10.0, "{short:#?}");
    let pull = |own: &[Verdict]| found(of(own, "hanging-part-overloaded"));
    assert!(pull(&short) > 1.1 * pull(&verdicts(SWING, &[], |_| ())), "chains that lean pull harder");
}

#[test]
fn lost_chains_and_hooks_are_told() {
    let usual = verdicts(SWING, &[], |_| ());
    let told: Vec<&Verdict> = usual.iter().filter(|own| own.check == "hanger-lost").collect();
    assert_eq!(told.len(), 2);
    assert!(
        told[0].told.starts_with("without the ") && told[0].told.contains("still held"),
        "{}",
        told[0].told
    );
    assert!(told[1].told.contains("when a hook gives way that end drops, by up to 17"), "{}", told[1].told);
    // Left to itself a hook's chains bear all, and twice that for its being sudden: 289 kg x 2 / (front and rear).
    let high = at(|site| site.hook_height = Some(Length::inch(100.0)));
    assert!(high.iter().any(|own| own.check == "hanger-lost" && !own.is_fine()), "an end drops over 450 mm");
    let weak = verdicts(&spoil(SWING, "item: \"chain_1_4\"", "item: \"chain_1_8\""), &[], |_| ());
    assert!(fails(&weak, "hanging-part-overloaded"));
}

#[test]
fn the_link_to_hang_at_is_told_with_what_one_more_does() {
    let told = of(&verdicts(SWING, &[], |_| ()), "links-tilt-seat").told.clone();
    let (model, _) = made(SWING, &[], "", |_| ());
    let chain = &model.hanging.as_ref().expect("it hangs").suspensions[0];
    // 31.5 mm a link.
    let links = (chain.eye.distance(chain.hook) / 31.496).round();
    assert!(
        told.starts_with(&format!("hang each chain at link {links:.0}")) || told.contains("at link"),
        "{told}"
    );
    assert!(
        told.contains("one link moves the seat 1 1/4\" (31 mm), or, at the rear alone, tilts it 4."),
        "{told}"
    );
}

#[test]
fn hook_loads_are_withheld_until_the_caution_is_accepted() {
    let (model, catalogue) = made(SWING, &[], "", |_| ());
    let case = Case::new(&model, &catalogue);
    assert!(handed_over(&case).is_err_and(|why| why.contains("--accept hanging")));
    let own = of(&hanging(&case), "support-unconfirmed").clone();
    assert!(own.told.contains("withheld") && own.standing.word() == "not judged", "{own:?}");
    assert!(!own.told.contains(" N "), "{}", own.told);
    let case = Case::new(&model, &catalogue).accepting([Caution::Hanging]);
    let handed = handed_over(&case).expect("it is accepted");
    let names: Vec<&str> = handed.hooks.iter().map(|hook| hook.name.as_str()).collect();
    assert_eq!(names, ["left hook", "right hook"]);
    let accepted = of(&hanging(&case), "support-unconfirmed").clone();
    assert!(accepted.told.contains("for a qualified person: the left hook, "), "{}", accepted.told);
    assert_eq!(accepted.standing.word(), "not judged", "it is never passed");
}

/// The upright parts of all pulls carry what hangs, whoever sits; and the seat with somebody at its left end is the mirror image of that
/// with somebody at its right end.
#[test]
fn every_seating_is_in_balance_and_mirrored() {
    let (model, catalogue) = made(SWING, &[("width", "6ft")], "", |_| ());
    let all = seatings(&Case::new(&model, &catalogue));
    assert_eq!(all.len(), 1 + 3 * (3 + 2 + 1), "nobody; one, two or three in three leans");
    for own in &all {
        let chains = &own.hangs.as_ref().expect("it hangs").chains;
        let up: f64 = chains.iter().map(|own| own.tension * maths::cos(own.from_vertical.to_radians())).sum();
        assert!((up / (own.mass * 9.80665) - 1.0).abs() < 1e-6, "{own:?}");
    }
    let (left, right) =
        (named(&all, "one person at place 1 of 3"), named(&all, "one person at place 3 of 3"));
    let pulls = |own: &Seated| -> Vec<f64> {
        own.hangs.as_ref().expect("it hangs").chains.iter().map(|own| own.tension).collect()
    };
    let (left, right) = (pulls(left), pulls(right));
    // Left front, left rear, right front, right rear. The middle of a place is felt 0.7 mm beside it, and screws are not mirrored.
    for (one, other) in [(0, 2), (1, 3), (2, 0), (3, 1)] {
        assert!((left[one] - right[other]).abs() < 0.01 * left.iter().sum::<f64>(), "{left:?} {right:?}");
    }
    assert!(left[0] > 1.3 * left[2], "{left:?}");
}

/// Height, fall, lean and angle of the seat are those of the swing with people in it, upright: hung farther to the rear than drawn
/// the seat tilts, and the fall that is judged goes along by as much.
#[test]
fn people_are_judged_as_the_swing_hangs_with_them() {
    let looked_at = |back: f64, site: Site| {
        let (model, catalogue) = made(SWING, &[], "", |model| {
            model.site = site;
            let hanging = model.hanging.as_mut().expect("it hangs");
            hanging.suspensions.iter_mut().for_each(|own| own.hook.y += back);
        });
        let case = Case::new(&model, &catalogue);
        (judge(&case), seatings(&case))
    };
    let upright = |(verdicts, seated): &(Vec<Verdict>, Vec<Seated>)| {
        let fall = of(verdicts, "seat-fall-misfits");
        assert!(fall.told.starts_with("as it hangs with people in it the fall of the seat is "), "{fall:?}");
        let governs = |own: &&Seated| fall.governing.ends_with(&own.name) && own.name.ends_with(", upright");
        let seating = seated.iter().find(governs).unwrap_or_else(|| panic!("{fall:?} {seated:#?}"));
        (found(fall), seating.hangs.as_ref().expect("it hangs").tilt)
    };
    let (as_drawn, behind) = (looked_at(0.0, roomy()), looked_at(80.0, roomy()));
    let ((fall, tilt), (fall_behind, tilt_behind)) = (upright(&as_drawn), upright(&behind));
    // 80 mm on some 1.4 m from the hooks down to where all hangs: some 3 degrees.
    assert!((tilt - tilt_behind - 3.0).abs() < 0.7, "{tilt} {tilt_behind}");
    assert!((fall - tilt - (fall_behind - tilt_behind)).abs() < 0.02, "{fall} {fall_behind}");
    for check in
        ["seat-height-misfits", "seat-fall-misfits", "back-lean-misfits", "hard-to-rise", "sitter-slides"]
    {
        let verdict = of(&as_drawn.0, check);
        assert!(verdict.told.starts_with("as it hangs with people in it "), "{verdict:?}");
        assert!(verdict.assumptions.iter().any(|own| own.contains("from hooks 96\" ")), "{verdict:?}");
    }
    let nowhere = looked_at(0.0, Site::default()).0;
    assert_eq!(of(&nowhere, "seat-height-misfits").standing.word(), "not judged");
    let fall = of(&nowhere, "seat-fall-misfits");
    let assumed = ": the site does not give the height of the hooks";
    assert!(
        fall.assumptions
            .iter()
            .any(|own| own.starts_with("chains as long as drawn") && own.ends_with(assumed))
    );
}

/// Mirror images: both hooks bear the same. At rest they carry all of the weight; swung 30 degrees a point mass pulls
/// 0.433 of its weight to a side.
#[test]
fn hooks_bear_what_hangs_from_them() {
    let (model, catalogue) = made(SWING, &[], "", |_| ());
    let case = Case::new(&model, &catalogue).accepting([Caution::Hanging]);
    let hooks = handed_over(&case).expect("it is accepted").hooks;
    assert!((hooks[0].down / hooks[1].down - 1.0).abs() < 0.01, "{hooks:?}");
    let seat: f64 = model
        .parts
        .iter()
        .map(|part| {
            part.solid.volume() * 1e-9 * catalogue.species(&part.species).expect("known").density_at(19.0)
        })
        .sum();
    let weight = (230.0 + seat) * 9.80665;
    let at_rest = hooks[0].at_rest + hooks[1].at_rest;
    // Metal in it weighs some kilograms.
    assert!((1.0..1.03).contains(&(at_rest / weight)), "{at_rest} {weight}");
    let along = hooks[0].along + hooks[1].along;
    assert!((along / at_rest - 0.433).abs() < 0.001, "{along}");
    assert!(hooks.iter().all(|hook| (hook.rated / (2.0 * hook.down) - 1.0).abs() < 0.02), "{hooks:?}");
}

fn joist(section: &str, span: f64, hook: f64, runs: Runs) -> Overhead {
    Overhead {
        section: String::from(section),
        species: String::from("douglas fir"),
        grade: String::from("No.2"),
        span: Length::inch(span),
        hook_from: Length::inch(hook),
        runs,
    }
}

/// A joist of the worked example of `loads`: 2x8, 12 ft, Douglas fir-larch No.2, 900 x 1.2 psi, a swing side in its middle: ruled
/// out. One of 2x12 over 8 ft is not, and is passed no more than that.
#[test]
fn a_beam_is_ruled_out_or_not_and_never_passed() {
    let judged = |beam: Overhead| {
        let (model, catalogue) = made(SWING, &[], "", |model| model.site.beams = vec![beam]);
        let covered = Conditions { exposure: Exposure::Covered, ..Conditions::default() };
        let all = hanging(&Case::new(&model, &catalogue).under(covered));
        all.into_iter().filter(|own| own.check == "support-unconfirmed").nth(1).expect("the beam is judged")
    };
    let weak = judged(joist("2x8", 144.0, 72.0, Runs::AcrossSeat));
    assert!(weak.fails() && weak.told.starts_with("ruled out: 2x8 of douglas fir No.2"), "{weak:?}");
    let measure = weak.measure.expect("a figure");
    // P L / 4 over the section modulus 13.14 in3, and 900 psi x 1.2, in MPa.
    assert!((measure.capacity() - 1_080.0 * 0.006_894_757).abs() < 0.01, "{measure:?}");
    let strong = judged(joist("2x12", 96.0, 24.0, Runs::AcrossSeat));
    assert!(
        strong.told.starts_with("not ruled out: ") && strong.told.contains("ask a qualified person"),
        "{strong:?}"
    );
    assert_eq!(strong.standing.word(), "not judged");
    let both = judged(joist("2x8", 144.0, 36.0, Runs::AlongSeat));
    assert!(both.fails(), "one beam carries both sides");
    let beyond = judged(joist("2x12", 60.0, 36.0, Runs::AlongSeat));
    assert!(beyond.told.contains("along a beam that spans"), "{beyond:?}");
    let unknown =
        judged(Overhead { species: String::from("driftwood"), ..joist("2x8", 60.0, 30.0, Runs::AcrossSeat) });
    assert!(unknown.told.contains("not ruled out") && unknown.told.contains("driftwood"), "{unknown:?}");
}

/// The wood stays, and each person brings all of their own weight.
#[test]
fn people_add_their_weight_to_the_hooks() {
    let at_rest = |mass: f64| {
        let (model, catalogue) = made(SWING, &[], "", |model| model.people.named = vec![smith(mass)]);
        let case = Case::new(&model, &catalogue).accepting([Caution::Hanging]);
        handed_over(&case).expect("it is accepted").hooks.iter().map(|hook| hook.at_rest).sum::<f64>()
    };
    let (one, two) = (at_rest(120.0), at_rest(240.0));
    assert!((two - one - 2.0 * 120.0 * 9.80665).abs() < 0.5, "{one} {two}");
}

#[test]
fn a_failure_of_what_hangs_stands_on_the_papers() {
    let thin = spoil(SWING, "item: \"eye_bolt_5_8\"", "item: \"eye_bolt_3_8\"");
    let (model, catalogue) = made(&thin, &[], "", |_| ());
    let told = slatwork::checks::failures(&Case::new(&model, &catalogue));
    assert!(told.iter().any(|own| own.code == "eye-overloaded"), "{told:?}");
    assert!(judge(&Case::new(&model, &catalogue)).iter().any(|own| own.check == "eye-overloaded"));
}
