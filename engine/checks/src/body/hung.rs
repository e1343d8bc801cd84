//! How people sit in a swing: in the posture in which it hangs with them, and not as it is drawn.

use super::sitting::Sitting;
use super::{worst_of_places, worst_place};
use crate::hanging::{Hung, peopled};
use crate::statics::swing::Posture;
use crate::{Case, Standing, Verdict};
use slatwork_base::both_tapes_whole;
use slatwork_solid::DVec3;

/// Metres to a millimetre.
const MM: f64 = 1e-3;

/// The worst place: of what stands as it is drawn, of a swing as it hangs with every number of people sitting upright, of whom
/// one has that place. Who leans back tilts it more for as long as that lasts: `swing-tilts` looks at that.
pub(super) fn worst_as_it_rests(
    case: &Case,
    fault: &'static str,
    judge: impl Fn(&Sitting) -> Option<Verdict>,
) -> Vec<Verdict> {
    match case.hung() {
        None => worst_place(case, fault, judge),
        // Where nobody is known to sit, that is told as of anything.
        Some(Err(why)) => worst_place(case, fault, |_| Some(Verdict::not_judged(fault, why.clone()))),
        Some(Ok(hung)) => worst_of_places(case, fault, |place, sitting| {
            let seatings = hung.upright_at(place).filter_map(|(name, posture)| {
                let verdict = match posture {
                    Some(posture) => as_it_hangs(case, hung, judge(&sitting.hung(posture, hung.floor))?),
                    None => Verdict::not_judged(fault, "the swing does not hang with these people in it"),
                };
                Some(governed(verdict, name))
            });
            seatings.collect()
        }),
    }
}

/// Says so of what is judged, and what the posture rests on.
fn as_it_hangs(case: &Case, hung: &Hung, verdict: Verdict) -> Verdict {
    if matches!(verdict.standing, Standing::NotJudged(_)) {
        return verdict;
    }
    let told = format!("as it hangs with people in it {}", verdict.told);
    peopled(hung, verdict.told(told).assuming(chains(case, hung)))
}

/// What is taken for how it is hung up.
fn chains(case: &Case, hung: &Hung) -> String {
    let drawn = format!("chains as long as drawn, up to {}", both_tapes_whole(hung.longest_chain() / MM));
    match case.model.site.hook_height {
        Some(height) => format!("{drawn}, from hooks {} over the floor", both_tapes_whole(height.as_mm())),
        None => format!("{drawn}: the site does not give the height of the hooks"),
    }
}

fn governed(verdict: Verdict, seating: &str) -> Verdict {
    let who = verdict.governing.clone();
    verdict.governed_by(if who.is_empty() { seating.to_string() } else { format!("{seating}; {who}") })
}

impl Sitting {
    /// The same in a posture; with the floor in the frame of the piece, m, where it is known.
    fn hung(&self, posture: &Posture, floor: Option<f64>) -> Sitting {
        let moved = |point: DVec3| (posture.origin + posture.turn * (point * MM)) / MM;
        let (edge, tilt) = (moved(self.edge), posture.tilt.as_deg());
        Sitting {
            height: floor.map(|floor| edge.z - floor / MM),
            edge,
            loaded: moved(self.loaded),
            fall: self.fall + tilt,
            lean: self.lean.map(|lean| lean + tilt),
            ..self.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::Style;
    use crate::statics::swing::{Chain, Mass, Rest, STANDARD_GRAVITY, Suspended, settle};
    use slatwork_base::maths;

    /// Front and rear chain of each side to one hook 1.7 m over the eyes, two people of 80 kg who lean back.
    fn two_who_lean_back() -> Suspended {
        let chain = |x: f64, y: f64| Chain {
            id: format!("{x} {y}"),
            eye: DVec3::new(x, y, 0.0),
            hook: DVec3::new(x, 0.0, 0.0),
            hook_id: x.to_string(),
            length: maths::hypot(1.7, 0.27),
        };
        let mass = |mass, x, y, z| Mass { mass, at: DVec3::new(x, y, z) };
        Suspended {
            gravity: STANDARD_GRAVITY,
            chains: [-0.625, 0.625].iter().flat_map(|x| [-0.27, 0.27].map(|y| chain(*x, y))).collect(),
            masses: vec![
                mass(22.0, 0.0, 0.0, 0.12),
                mass(80.0, -0.3, 0.13, 0.29),
                mass(80.0, 0.3, 0.13, 0.29),
            ],
        }
    }

    fn drawn() -> Sitting {
        Sitting {
            style: Style::Swing,
            edge: DVec3::new(300.0, -250.0, 40.0),
            loaded: DVec3::new(300.0, 0.0, 30.0),
            height: None,
            depth: Some(430.0),
            fall: 4.0,
            lean: Some(15.0),
            back_height: Some(500.0),
            under_back: Some(0.0),
            arm_height: None,
            arms_behind: None,
            width: 1200.0,
        }
    }

    /// In closed form the line from the common centre of gravity to the hooks stands upright. The centre lies 160 x 0.13 / 182 m
    /// behind the middle of the eyes and (22 x 0.12 + 160 x 0.29) / 182 m over them: 4.567624 degrees, worked out twice
    /// independently as well. The front edge, 250 mm in front and 40 over the eyes, turns about the hooks by that.
    #[test]
    fn a_sitter_sits_as_two_who_lean_back_tilt_the_seat() {
        let Some(Rest::Hangs(posture)) = settle(&two_who_lean_back()).value else { panic!("it hangs") };
        let (behind, over) = (160.0 * 0.13 / 182.0, (22.0 * 0.12 + 160.0 * 0.29) / 182.0);
        let tilt = maths::atan2(behind, 1.7 - over);
        assert!((tilt.to_degrees() - 4.567_623_68).abs() < 1e-7);
        let sitting = drawn().hung(&posture, Some(-2.1));
        assert!((sitting.fall - 4.0 - tilt.to_degrees()).abs() < 1e-5, "{sitting:?}");
        assert!((sitting.lean.expect("a back") - 15.0 - tilt.to_degrees()).abs() < 1e-5);
        let open = |own: &Sitting| own.included().expect("a back");
        assert!((open(&sitting) - open(&drawn())).abs() < 1e-9, "seat and back turn together");
        let height = 2100.0 - 1660.0 * maths::cos(tilt) + 250.0 * maths::sin(tilt);
        assert!((sitting.height.expect("a floor") - height).abs() < 1e-3, "{height} {sitting:?}");
        assert_eq!(drawn().hung(&posture, None).height, None);
    }
}
