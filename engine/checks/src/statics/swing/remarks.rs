//! What to tell of a posture, or of there being none.

use super::posture::{ChainState, Posture};
use super::rest::TurnsOver;
use super::stability::Stability;
use super::suspended::Chain;
use slatwork_base::{Angle, Diagnostic, Severity};

/// Tilt or roll beyond which nobody stays seated: cloth on wood slides at some 30 degrees (friction of 0.5 to 0.6, from
/// memory; project choice).
const SLIDES_OFF: Angle = Angle::deg(30.0);

/// A chain that is slack by no more than this would carry after a turn of a link or a warm day: no builder cuts chains
/// and sets hooks truer. Project choice.
const BARELY_SLACK_M: f64 = 2e-3;

/// A turn about an axis so near the vertical, as a cosine, is a spin and tips nobody out (within 8 degrees; project
/// choice).
const SPIN: f64 = 0.99;

pub(super) fn remarks(posture: &Posture, stability: &Stability) -> Vec<Diagnostic> {
    [tilts_far(posture), indifferent(stability), undetermined(posture)].into_iter().flatten().collect()
}

fn tilts_far(posture: &Posture) -> Option<Diagnostic> {
    let most = if posture.tilt.abs() > posture.roll.abs() { posture.tilt } else { posture.roll };
    (most.abs() > SLIDES_OFF).then(|| {
        let message = format!(
            "the seat hangs at a tilt of {:.1} and a roll of {:.1} degrees: whoever sits in it slides off",
            posture.tilt.as_deg(),
            posture.roll.as_deg()
        );
        Diagnostic::warning("swing-tilts-far", message)
            .help("move the eyes so that the load hangs between them, or change chain lengths")
    })
}

fn indifferent(stability: &Stability) -> Option<Diagnostic> {
    if !stability.is_indifferent() {
        return None;
    }
    let turn = stability.softest_turn()?;
    let spins = turn.z.abs() > SPIN;
    let (severity, way, help) = if spins {
        (Severity::Note, "spins about the vertical", "hang it from two hooks apart if it must not")
    } else {
        (Severity::Warning, "tips", "raise the eyes above the centre of gravity, or hang it by more chains")
    };
    let message = format!("nothing brings the seat back when it {way}");
    Some(Diagnostic::new(severity, "swing-turns-freely", message).help(help))
}

fn undetermined(posture: &Posture) -> Option<Diagnostic> {
    let barely = |chain: &&ChainState| chain.is_slack() && chain.spare < BARELY_SLACK_M;
    let message = match posture.chains.iter().find(barely) {
        Some(chain) => format!(
            "chain {} is slack by {:.2} mm only: which chains carry depends on lengths that nobody cuts so true",
            chain.id,
            chain.spare * 1e3
        ),
        None if posture.undetermined => String::from(
            "more chains are taut than are needed: the tensions given are those of equally stiff chains of exact length",
        ),
        None => return None,
    };
    Some(
        Diagnostic::note("tension-undetermined", message)
            .help("size every chain, eye and hook as if any two across the seat carried it all"),
    )
}

pub(super) fn turns_over(over: &TurnsOver) -> Diagnostic {
    let message = format!("the seat turns over: {}", over.why);
    Diagnostic::new(Severity::Failure, "swing-turns-over", message).help(
        "move the eyes outward, so that the load stays between them, raise them, or lengthen the chains",
    )
}

pub(super) fn cannot_reach(chain: &Chain, missing: f64) -> Diagnostic {
    let message =
        format!("from the level seat chain {} does not reach its hook by {:.0} mm", chain.id, missing * 1e3);
    Diagnostic::error("chain-cannot-reach", message)
        .at(chain.place())
        .help("lengthen the chains, or set hooks and eyes nearer together")
}

pub(super) fn no_rest() -> Diagnostic {
    Diagnostic::error("no-rest-found", "the search for a posture at rest ended without one")
        .help("look for figures that do not fit each other: very short chains, or chains pulled straight between far hooks")
}
