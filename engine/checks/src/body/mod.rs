//! Whether people sit well: sizes and angles of the seat against sizes of the body.
//!
//! `sitting.rs` takes the sizes off the solids, once for each place; `hung.rs` turns them as a swing hangs with people in it;
//! `people.rs` tells whom a size suits. A check says which body size goes with which size of the seat.

mod arm_height;
mod back_height;
mod back_lean;
mod hard_to_rise;
mod heavier_than_rated;
mod hung;
mod people;
mod seat_depth;
mod seat_fall;
mod seat_height;
mod sitter_slides;
mod sitting;
mod slat_gap;
mod too_narrow;

use crate::verdict::worst;
use crate::{Case, Check, Verdict};
use hung::worst_as_it_rests;
use people::{Ranges, Suited, percent, shape};
pub(crate) use seat_fall::SWING_FALL;
pub(crate) use sitting::{Sitting, Style};
use slatwork_model::Part;

pub(crate) const ALL: [&Check; 11] = [
    &seat_height::CHECK,
    &seat_depth::CHECK,
    &too_narrow::CHECK,
    &seat_fall::CHECK,
    &back_lean::CHECK,
    &back_height::CHECK,
    &arm_height::CHECK,
    &slat_gap::CHECK,
    &hard_to_rise::CHECK,
    &sitter_slides::CHECK,
    &heavier_than_rated::CHECK,
];

/// The worst place: each is judged, and of those alike one verdict is enough. Without a seat there is nobody to judge.
fn worst_place(
    case: &Case,
    fault: &'static str,
    judge: impl Fn(&Sitting) -> Option<Verdict>,
) -> Vec<Verdict> {
    worst_of_places(case, fault, |_, sitting| judge(sitting).into_iter().collect())
}

/// The same where a place is judged more than once.
fn worst_of_places(
    case: &Case,
    fault: &'static str,
    judge: impl Fn(usize, &Sitting) -> Vec<Verdict>,
) -> Vec<Verdict> {
    let sittings = case.sittings();
    if sittings.is_empty() {
        return vec![Verdict::not_judged(fault, "the piece declares no seat")];
    }
    let unfelt = || vec![Verdict::not_judged(fault, "nothing to sit on lies under the middle of this place")];
    let count = sittings.len();
    let verdicts = sittings.iter().enumerate().flat_map(|(place, sitting)| {
        let verdicts = sitting.as_ref().map_or_else(unfelt, |sitting| judge(place, sitting));
        let named = move |verdict| if count == 1 { verdict } else { placed(verdict, place, count) };
        verdicts.into_iter().map(named)
    });
    let named = |verdict: Verdict| {
        let mut verdict = if verdict.parts.is_empty() { verdict.about(seat_parts(case)) } else { verdict };
        verdict.remedy.parts.clone_from(&verdict.parts);
        verdict
    };
    worst(verdicts).map(named).into_iter().collect()
}

/// Says of which place it is.
fn placed(verdict: Verdict, place: usize, count: usize) -> Verdict {
    let place = format!("place {} of {count} from the left", place + 1);
    let who = verdict.governing.clone();
    verdict.governed_by(if who.is_empty() { place } else { format!("{place}; {who}") })
}

/// The first of what is sat on stands for all of it.
fn seat_parts<'a>(case: &'a Case) -> impl Iterator<Item = &'a Part> {
    let seat = case.model.seat.iter().flat_map(|seat| seat.on.first());
    seat.map(|id| case.model.part(*id))
}

#[cfg(test)]
pub(crate) mod tests {
    use super::people::{Crowd, Ranges, normal, percent};
    use super::{Style, arm_height, back_height, seat_depth, seat_height, too_narrow};
    use crate::{Case, Verdict};
    use slatwork_base::Length;
    use slatwork_catalog::{BodyMeasure, Catalogue};
    use slatwork_model::{Model, People, Person, Site};

    /// A model without boards, for what does not look at boards.
    pub(crate) fn bare_model() -> Model {
        Model {
            title: String::from("trial"),
            groups: Vec::new(),
            parts: Vec::new(),
            sets: Vec::new(),
            contacts: Vec::new(),
            joints: Vec::new(),
            hardware: Vec::new(),
            seat: None,
            hanging: None,
            steps: Vec::new(),
            order: Vec::new(),
            site: Site::default(),
            people: People::default(),
            findings: Vec::new(),
        }
    }

    /// A normal distribution stands for the count of people to so many points.
    const POINTS: f64 = 2.0;
    /// Of the narrowest seats fewer are comfortable by the normal distribution than were counted.
    const POINTS_OF_A_NARROW_SEAT: f64 = 3.0;

    fn near(verdict: &Verdict, comfortable: f64, tolerable: f64) {
        within(POINTS, verdict, comfortable, tolerable);
    }

    fn within(points: f64, verdict: &Verdict, comfortable: f64, tolerable: f64) {
        let found = verdict.measure.as_ref().expect("a figure").found;
        assert!((found - tolerable).abs() <= points, "{found} {verdict:?}");
        let (_, told) = verdict.told.split_once("comfortable for ").expect("it is told");
        let told: f64 = told.split(' ').next().and_then(|word| word.parse().ok()).expect("a share");
        assert!((told - comfortable).abs() <= points, "{comfortable} {verdict:?}");
    }

    /// Shares worked out from the raw data of ANSUR II for men and women half and half: 0.64, 0.55 and 0.30 of 6068 people are
    /// comfortable at 406, 432 and 457 mm; the other figures are of the same calibration.
    #[test]
    fn shares_agree_with_a_count_of_people() {
        let model = bare_model();
        let case = Case::new(&model, Catalogue::shared());
        for (height, comfortable, tolerable) in [
            (380.0, 46.0, 86.0),
            (406.0, 64.0, 98.0),
            (432.0, 55.0, 96.0),
            (457.0, 30.0, 82.0),
            (483.0, 9.0, 58.0),
        ] {
            near(&seat_height::standing(&case, Style::Upright, height), comfortable, tolerable);
        }
        for (height, comfortable, tolerable) in
            [(343.0, 71.0, 100.0), (368.0, 90.0, 100.0), (406.0, 62.0, 92.0), (432.0, 32.0, 71.0)]
        {
            near(&seat_height::standing(&case, Style::Lounge, height), comfortable, tolerable);
        }
        for (depth, comfortable, tolerable) in
            [(400.0, 59.0, 99.0), (432.0, 86.0, 98.0), (457.0, 65.0, 87.0), (508.0, 9.0, 26.0)]
        {
            near(&seat_depth::judged(&case, depth), comfortable, tolerable);
        }
        within(POINTS_OF_A_NARROW_SEAT, &too_narrow::single(&case, 457.0), 55.0, 90.0);
        for (width, comfortable, tolerable) in [(483.0, 79.0, 97.0), (508.0, 92.0, 99.0)] {
            near(&too_narrow::single(&case, width), comfortable, tolerable);
        }
        for (height, comfortable, tolerable) in
            [(380.0, 92.0, 100.0), (457.0, 62.0, 100.0), (508.0, 8.0, 100.0)]
        {
            near(&back_height::judged(&case, Style::Upright, height), comfortable, tolerable);
        }
        for (height, comfortable, tolerable) in [(508.0, 8.0, 100.0), (610.0, 95.0, 100.0)] {
            near(&back_height::judged(&case, Style::Lounge, height), comfortable, tolerable);
        }
        for (height, comfortable, tolerable) in
            [(178.0, 14.0, 50.0), (203.0, 42.0, 81.0), (229.0, 68.0, 95.0), (254.0, 66.0, 89.0)]
        {
            near(&arm_height::judged(&case, height), comfortable, tolerable);
        }
    }

    #[test]
    fn a_seat_for_nobody_fails_and_says_for_whom() {
        let model = bare_model();
        let case = Case::new(&model, Catalogue::shared());
        let verdict = seat_height::standing(&case, Style::Upright, 483.0);
        assert!(!verdict.is_fine() && !verdict.fails(), "a warning: {verdict:?}");
        assert!(verdict.told.contains("too high for 42 %"), "{}", verdict.told);
        assert!(seat_height::standing(&case, Style::Upright, 508.0).fails());
    }

    /// Hips are not told by a stature: those of a tall cook are those of women.
    #[test]
    fn people_named_have_the_hips_of_their_sex() {
        let mut model = bare_model();
        let cook = |stature| Person {
            label: String::from("the cook"),
            stature: Length::mm(stature),
            mass: 70.0,
            woman: Some(true),
        };
        let mut share = |named, population: &str| {
            model.people.named = named;
            model.people.population = population.to_string();
            let case = Case::new(&model, Catalogue::shared());
            too_narrow::single(&case, 457.0).measure.expect("a figure").found
        };
        let women = share(Vec::new(), "women");
        assert!((share(vec![cook(1500.0)], "mix") - women).abs() < 1e-9);
        assert!((share(vec![cook(1900.0)], "mix") - women).abs() < 1e-9);
    }

    #[test]
    fn a_figure_is_printed_on_its_own_side_of_a_bound() {
        let ranges =
            Ranges { upright: [(3.0, 8.0), (0.0, 12.0)], lounge: [(0.0, 0.0); 2], swing: [(0.0, 0.0); 2] };
        let told = |degrees| Style::Upright.angle("fault", "fall", degrees, ranges).told;
        assert!(told(7.96).contains("8.0 degrees, comfortable"), "{}", told(7.96));
        assert!(told(8.004).contains("8.0 degrees, comfortable"), "{}", told(8.004));
        assert!(told(8.04).contains("8.04 degrees, tolerable"), "{}", told(8.04));
        assert!(told(8.06).contains("8.1 degrees, tolerable"), "{}", told(8.06));
        assert_eq!(percent(0.5999), "59 %");
        assert_eq!(percent(0.6), "60 %");
    }

    /// Half of all lie below the mean, 0.8413 below one deviation more, 0.975 below 1.96 (printed tables).
    #[test]
    fn the_normal_distribution_is_that_of_the_tables() {
        for (deviations, share) in [(0.0, 0.5), (1.0, 0.8413), (1.645, 0.95), (-1.96, 0.025)] {
            assert!((normal(deviations) - share).abs() < 5e-5, "{deviations}");
        }
    }

    #[test]
    fn people_named_are_each_judged() {
        let mut model = bare_model();
        let person = |label: &str, stature: f64, woman| Person {
            label: label.to_string(),
            stature: Length::mm(stature),
            mass: 70.0,
            woman: Some(woman),
        };
        model.people.named = vec![person("the rower", 1950.0, false), person("the cook", 1500.0, true)];
        let case = Case::new(&model, Catalogue::shared());
        // Popliteal heights 0.2446 x 1950 = 477 and 0.2383 x 1500 = 357: 432 over (357 + 30) is 1.116, just bearable.
        let verdict = seat_height::standing(&case, Style::Upright, 432.0);
        assert!(!verdict.fails(), "{verdict:?}");
        let higher = seat_height::standing(&case, Style::Upright, 440.0);
        assert!(higher.fails(), "one of two hangs her feet: {higher:?}");
    }

    #[test]
    fn people_of_whom_nothing_is_known_are_not_judged() {
        let mut model = bare_model();
        model.people.population = String::from("hk");
        assert!(Crowd::of(&Case::new(&model, Catalogue::shared()), BodyMeasure::PoplitealHeight).is_ok());
        let verdict = seat_depth::judged(&Case::new(&model, Catalogue::shared()), 432.0);
        assert_eq!(verdict.standing.word(), "not judged");
        model.people.population = String::from("giants");
        let why = Crowd::of(&Case::new(&model, Catalogue::shared()), BodyMeasure::Stature);
        assert!(why.is_err_and(|why| why.contains("giants") && why.contains("us_civ")));
    }
}
