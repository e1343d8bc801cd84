//! Why a check has nothing to look at: said in the place of its verdict, so that silence never passes for a judgement.

use crate::{Case, Verdict, hanging};

/// The verdict of a check that looked and found nothing of its kind.
pub(crate) fn nothing(case: &Case, fault: &'static str) -> Verdict {
    let hangs = case.model.hangs();
    if hanging::ALL.iter().any(|check| check.fault == fault) {
        return if hangs {
            Verdict::not_judged(fault, missing(fault))
        } else {
            Verdict::does_not_apply(fault, STANDS)
        };
    }
    let why = if hangs && OF_WHAT_STANDS.contains(&fault) { HANGS } else { missing(fault) };
    Verdict::does_not_apply(fault, why)
}

const STANDS: &str = "it does not hang";
const HANGS: &str = "it hangs";

/// Checks that only look at what stands on its feet.
const OF_WHAT_STANDS: [&str; 5] =
    ["tips-back", "tips-forward", "tips-sideways", "feet-slide", "foot-crushed"];

/// What is missing where a check finds nothing.
fn missing(fault: &str) -> &'static str {
    MISSING.iter().find(|(own, _)| *own == fault).map_or(UNNAMED, |(_, why)| why)
}

const UNNAMED: &str = "there is nothing of the kind in it";

/// What is missing, by check, in the order of their subjects; of checks on what hangs, why they cannot tell.
#[rustfmt::skip]
const MISSING: [(&str, &str); 43] = [
    ("slat-breaks", "nobody sits on slats"),
    ("slat-sags", "nobody sits on slats"),
    ("bearer-breaks", "no board bears slats"),
    ("rail-breaks", "there are no rails"),
    ("leg-breaks", "there are no legs"),
    ("back-breaks", "there is no back"),
    ("arm-breaks", "there are no arms"),
    ("wood-shears", "no load bends a board"),
    ("notch-splits", "no end is notched, halved or cut to a tenon"),
    ("hung-end-splits", "no bolts hold a board near its end"),
    ("foot-crushed", "nothing stands on the ground"),
    ("fastener-sheared", "no fastener bears load"),
    ("fastener-pulled", "no fastener bears load"),
    ("fastener-overworked", "no fastener bears pull and shear without failing by one alone"),
    ("row-tears-out", "no row of fasteners pulls a board along its grain"),
    ("glue-line-shears", "nothing is held by glue alone"),
    ("wood-crushed", "no joint presses boards on each other"),
    ("tips-back", "there is no back"),
    ("feet-slide", "no load pushes it aside"),
    ("frame-sways", "there are no arms"),
    ("swing-tilts", "it does not hang with anybody in it"),
    ("chain-slack", "it does not hang"),
    ("chains-splay", "it hangs by nothing"),
    ("hanging-part-refused", "it hangs by nothing that the catalogue knows"),
    ("hanging-part-unrated", "it hangs by nothing that the catalogue knows"),
    ("eye-overloaded", "no eye that it hangs by is rated, or it does not hang"),
    ("hanging-part-overloaded", "nothing that it hangs by is rated, or it does not hang"),
    ("hanger-lost", "nothing that it hangs by is rated"),
    ("arm-height-misfits", "there are no arms"),
    ("slat-gap-felt", "no slats lie side by side with a gap"),
    ("sitter-slides", "there is no back"),
    ("heavier-than-rated", "nobody is named"),
    ("tight-run-swells", "no slats are laid tight"),
    ("gap-closes-when-wet", "no slats lie side by side with a gap"),
    ("held-across-grain", "no joint holds boards across their grain"),
    ("end-grain-on-ground", "no end stands on the ground"),
    ("wood-not-durable", "there are no boards"),
    ("metal-unfit-for-wood", "there are no fasteners"),
    ("metals-mixed", "nothing is joined"),
    ("hardware-coat-unknown", "it does not hang"),
    ("glue-too-weak-for-weather", "nothing is glued"),
    ("finger-trap", "no slats lie side by side"),
    ("edge-left-sharp", "the piece declares no seat"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::tests::bare_model;
    use crate::{SUBJECTS, Standing, judge};
    use slatwork_catalog::Catalogue;

    #[test]
    fn every_row_is_of_a_check() {
        let faults: Vec<&str> = SUBJECTS.iter().flat_map(|own| own.checks).map(|own| own.fault).collect();
        for (fault, _) in MISSING {
            assert!(faults.contains(&fault), "{fault}");
        }
    }

    /// A plank without joints, back or arms, and nothing at all: each check has its say, and says what is missing.
    #[test]
    fn no_check_is_silent() {
        for model in [bare_model(), crate::balance::tests::stool()] {
            let verdicts = judge(&Case::new(&model, Catalogue::shared()));
            for check in SUBJECTS.iter().flat_map(|own| own.checks) {
                assert!(verdicts.iter().any(|own| own.check == check.fault), "{} is silent", check.fault);
            }
            let unnamed =
                |own: &&Verdict| matches!(&own.standing, Standing::DoesNotApply(why) if why == UNNAMED);
            let unnamed: Vec<&str> = verdicts.iter().filter(unnamed).map(|own| own.check).collect();
            assert_eq!(unnamed, Vec::<&str>::new(), "say in MISSING what they lack");
        }
    }

    #[test]
    fn what_stands_does_not_hang() {
        let model = crate::balance::tests::stool();
        let verdicts = judge(&Case::new(&model, Catalogue::shared()));
        let of = |fault: &str| verdicts.iter().find(|own| own.check == fault).map(|own| own.standing.clone());
        let missing = |why: &str| Some(Standing::DoesNotApply(String::from(why)));
        assert_eq!(of("chain-slack"), missing(STANDS));
        assert_eq!(of("arm-height-misfits"), missing("there are no arms"));
        assert_eq!(of("tips-back"), missing("there is no back"));
    }
}
