//! The checker sees what is wrong.

use super::super::super::{Case, Step};
use super::*;

fn spoiled(change: impl Fn(&mut Answer)) -> Flaw {
    let problem = Problem {
        boards: vec![board(100, 10, 5), Board { available: Some(1), ..board(60, 6, 2) }],
        parts: vec![part(40, 3, 7), part(50, 10, 1), part(25, 2, 3)],
        rip_kerf: 1,
        crosscut_kerf: 1,
        trim: [2, 2],
        edge_allowance: 1,
        narrowest_strip: 2,
    };
    let mut answer = solved(&problem);
    assert_eq!(check(&problem, &answer), Ok(()));
    change(&mut answer);
    check(&problem, &answer).unwrap_err()
}

fn first_ripped(answer: &mut Answer) -> &mut Section {
    answer.layouts.iter_mut().flat_map(|layout| &mut layout.sections).find(|section| section.ripped).unwrap()
}

#[test]
fn plans_that_cannot_be_cut_are_seen() {
    assert_eq!(spoiled(|answer| answer.layouts[0].times = 0), Flaw::Layout(0));
    assert_eq!(spoiled(|answer| answer.layouts[0].board = 9), Flaw::Layout(0));
    assert_eq!(spoiled(|answer| answer.layouts[0].sections[0].length = 101), Flaw::TooLong(0));
    assert!(matches!(spoiled(|answer| first_ripped(answer).strips[0].width = 10), Flaw::TooWide(_)));
    assert!(matches!(spoiled(|answer| first_ripped(answer).strips[0].width = 1), Flaw::TooWide(_)));
    assert!(matches!(spoiled(|answer| first_ripped(answer).length -= 1), Flaw::StripTooLong(_)));
    assert!(matches!(spoiled(|answer| first_ripped(answer).strips[0].cuts[0].part = 1), Flaw::Part(_)));
    assert!(matches!(spoiled(|answer| first_ripped(answer).strips[0].cuts[0].count = 0), Flaw::Part(_)));
    let unripped = |answer: &mut Answer| {
        let section = first_ripped(answer);
        section.ripped = false;
        section.strips.truncate(1);
    };
    assert!(matches!(spoiled(unripped), Flaw::Part(_)));
    assert!(matches!(spoiled(|answer| answer.layouts.truncate(1)), Flaw::Short(_)));
    assert!(matches!(spoiled(|answer| answer.cost += 1), Flaw::Cost));
}

#[test]
fn bounds_that_are_not_shown_are_seen() {
    assert_eq!(spoiled(|answer| answer.bound = answer.cost + 1), Flaw::Bound);
    assert!(matches!(spoiled(|answer| answer.certificate = Certificate::Nothing), Flaw::Certificate(_)));
    let weaker = |answer: &mut Answer| {
        let worths = match &mut answer.certificate {
            Certificate::Worths(worths) | Certificate::Cases(worths, _) => worths,
            Certificate::Tallies(tallies) => &mut tallies.cuts[0],
            Certificate::Nothing => return,
        };
        let worths = std::mem::take(worths);
        let halved = worths.worth.iter().map(|worth| worth / 2).collect();
        let relief = vec![vec![0; worths.worth.len()]; worths.relief.len()];
        answer.certificate = Certificate::Worths(Worths { worth: halved, relief, ..worths });
    };
    assert!(matches!(spoiled(weaker), Flaw::Certificate(_)));
}

/// Boards of 10 at 10 hold two rows of two parts abreast, boards of 7 at 8 one row. Nine parts would take two and a quarter of the
/// first; whole boards cost 28.
#[test]
fn numbers_of_boards_that_are_not_shown_are_seen() {
    let problem = Problem {
        boards: vec![board(10, 10, 10), board(7, 10, 8)],
        parts: vec![part(4, 4, 9)],
        rip_kerf: 1,
        ..Problem::default()
    };
    let good = solve(&problem, Limits { patterns: 0, ..LIMITS }).unwrap();
    assert_eq!((good.cost, good.bound, good.proof), (28, 28, Step::Tallies));
    let refused = |change: &dyn Fn(&mut Tallies)| {
        let mut answer = good.clone();
        let Certificate::Tallies(tallies) = &mut answer.certificate else { panic!("no numbers of boards") };
        change(tallies);
        assert!(matches!(check(&problem, &answer), Err(Flaw::Certificate(_))));
    };
    refused(&|own| own.cuts.clear());
    refused(&|own| own.cuts.iter_mut().for_each(|cut| cut.worth[0] /= 2));
    refused(&|own| own.cuts.iter_mut().for_each(|cut| cut.relief.clear()));
    refused(&|own| own.below -= 2);
    refused(&|own| own.tree.multipliers[0] = -1);
    refused(&|own| own.tree = Case { split: None, ..own.tree.clone() });
}
