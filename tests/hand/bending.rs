//! A slat bent: M / S against Fb'.

use super::{Hand, INCH, situations};
use slatwork::checks::Verdict;
use slatwork::checks::framing::Analysis;

/// lb in in a N m.
const POUND_INCHES: f64 = 8.850_746;

/// Fb of No.2, psi (NDS Supplement Table 4A).
const BENDING: [(&str, f64); 1] = [("white oak", 850.0)];

/// Bent over its flat face and on edge where it is bent most; what pulls it is left out.
pub(super) fn of_slat(analysis: &Analysis, verdict: &Verdict) -> Hand {
    let part = analysis.model.part(verdict.parts[0]);
    let (wide, thick) = (part.width.as_inch(), part.thickness.as_inch());
    let moduli = [wide * thick * thick / 6.0, thick * wide * wide / 6.0];
    let mut most = (0.0_f64, [0.0_f64; 2], 0.0, 1.0);
    for (model, situation) in analysis
        .models
        .iter()
        .flat_map(|model| situations(analysis, verdict).into_iter().map(move |at| (model, at)))
    {
        let chain = model.framing.chain(part.id).expect("a slat is held");
        for (bar, from) in chain.bars.clone().zip(&chain.stations) {
            let along = model.along(bar, situation).expect("it stands");
            for place in along.stations() {
                let forces = along.at(place);
                let moments = [forces.moment.y.abs(), forces.moment.z.abs()];
                let stress = POUND_INCHES * (moments[0] / moduli[0] + moments[1] / moduli[1]);
                if stress > most.0 {
                    most = (
                        stress,
                        moments,
                        from.x + place * 1000.0,
                        analysis.situations[situation].about.duration(),
                    );
                }
            }
        }
    }
    let (stress, moments, x, duration) = most;
    let species = part.species.replace('_', " ");
    let (_, bending) = BENDING.iter().find(|own| own.0 == species).expect("its Fb is in the table");
    let allowed = bending * duration;
    Hand {
        kind: "A slat bent",
        ratio: stress / allowed,
        place: format!("`{}`", part.name),
        lines: vec![
            format!(
                "M = {:.1} N m = {:.0} lb in over its flat face, {:.1} N m = {:.0} lb in on edge, {:.1} in from its end, by the frame",
                moments[0],
                moments[0] * POUND_INCHES,
                moments[1],
                moments[1] * POUND_INCHES,
                x / INCH
            ),
            format!(
                "S = b t^2 / 6 = {wide:.3} x {thick:.3}^2 / 6 = {:.4} in3, and t b^2 / 6 = {:.4} in3 (NDS 3.3.2)",
                moduli[0], moduli[1]
            ),
            format!("fb = M / S of both = {stress:.0} psi; Eq 3.9-1 adds their shares"),
            format!(
                "Fb' = Fb CD CM = {bending:.0} x {duration:.2} x 1.0 = {allowed:.0} psi: {species} No.2 (NDS Supplement Table 4A); CM = 1.0 as \
                 Fb is under 1150 psi; no size or flat use factor for a board thinner than 2 in (project choice)"
            ),
        ],
    }
}
