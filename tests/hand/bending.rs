//! A slat bent: M / S against Fb'.

use super::{Hand, INCH, POUND, situations};
use slatwork::checks::Verdict;
use slatwork::checks::framing::Analysis;
use slatwork::model::Part;

/// lb in in a N m.
const POUND_INCHES: f64 = 8.850_746;

/// Fb and Ft of No.2, psi (NDS Supplement Table 4A).
const STRENGTHS: [(&str, f64, f64); 1] = [("white oak", 850.0, 500.0)];

/// Emin of No.2, psi, and CM of it (NDS Supplement Table 4A).
const STABLE: f64 = 330_000.0 * 0.9;

/// What a slat is bent and pushed by at one place.
struct Bent {
    ratio: f64,
    /// N m over its flat face and on edge.
    moments: [f64; 2],
    /// mm from its end.
    x: f64,
    duration: f64,
    /// Along it, psi: pulled, or pressed where less than nothing.
    along: f64,
}

/// The longest stretch between what holds it, in.
fn free(analysis: &Analysis, part: &Part) -> f64 {
    let back = part.pose.inverse();
    let ties = analysis.ties().iter().filter(|tie| tie.parts.contains(&part.id));
    let ends = [0.0, part.length.as_mm()];
    let mut places: Vec<f64> = ties.map(|tie| back.transform_point3(tie.at).x).chain(ends).collect();
    places.sort_by(f64::total_cmp);
    places.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f64::max) / INCH
}

/// Shares of Fb by the stress over the flat face and on edge, psi, with that along (NDS Eq 3.9-1; where it is pressed 3.9-3 without
/// its first term, which is nothing here), and CL of it on edge (NDS 3.3.3).
fn share(
    [flat, edge]: [f64; 2],
    along: f64,
    (wide, thick): (f64, f64),
    free: f64,
    [fb, ft]: [f64; 2],
) -> (f64, f64) {
    let slender = free / wide;
    let length = match slender {
        slender if slender < 7.0 => 2.06 * free,
        slender if slender <= 14.3 => 1.63 * free + 3.0 * wide,
        _ => 1.84 * free,
    };
    let critical = 1.2 * STABLE / (length * wide / (thick * thick));
    let (r, pressed) = (critical / fb, (-along).max(0.0));
    let stable = (1.0 + r) / 1.9 - (((1.0 + r) / 1.9).powi(2) - r / 0.95).sqrt();
    let euler = |depth: f64| pressed / (0.822 * STABLE / (free / depth).powi(2));
    if along >= 0.0 {
        return (edge / fb + flat / fb + along / ft, stable);
    }
    let on_edge = edge / (fb * stable * (1.0 - euler(wide)));
    (on_edge + flat / (fb * (1.0 - euler(thick) - (edge / critical).powi(2))), stable)
}

/// Bent over its flat face and on edge, and pulled or pressed, where that together is most.
pub(super) fn of_slat(analysis: &Analysis, verdict: &Verdict) -> Hand {
    let part = analysis.model.part(verdict.parts[0]);
    let (wide, thick) = (part.width.as_inch(), part.thickness.as_inch());
    let moduli = [wide * thick * thick / 6.0, thick * wide * wide / 6.0];
    let species = part.species.replace('_', " ");
    let (_, bending, tension) = STRENGTHS.iter().find(|own| own.0 == species).expect("they are in the table");
    let free = free(analysis, part);
    let stresses = |moments: [f64; 2]| [0, 1].map(|at| POUND_INCHES * moments[at] / moduli[at]);
    let mut most = Bent { ratio: 0.0, moments: [0.0; 2], x: 0.0, duration: 1.0, along: 0.0 };
    for (model, situation) in analysis
        .models
        .iter()
        .flat_map(|model| situations(analysis, verdict).into_iter().map(move |at| (model, at)))
    {
        let chain = model.framing.chain(part.id).expect("a slat is held");
        for (bar, from) in chain.bars.clone().zip(&chain.stations) {
            let bent = model.along(bar, situation).expect("it stands");
            for place in bent.stations() {
                let forces = bent.at(place);
                let moments = [forces.moment.y.abs(), forces.moment.z.abs()];
                let along = forces.force.x / POUND / (wide * thick);
                let duration = analysis.situations[situation].about.duration();
                let (ratio, _) = share(stresses(moments), along, (wide, thick), free, [*bending, *tension]);
                if ratio / duration > most.ratio {
                    let x = from.x + place * 1000.0;
                    most = Bent { ratio: ratio / duration, moments, x, duration, along };
                }
            }
        }
    }
    let Bent { ratio, moments, x, duration, along } = most;
    let [flat, edge] = stresses(moments);
    let (_, stable) = share([flat, edge], along, (wide, thick), free, [*bending, *tension]);
    let allowed = bending * duration;
    let axial = if along >= 0.0 {
        format!("pulled along by ft = {along:.0} psi, of Ft' = {tension:.0} psi; Eq 3.9-1 adds their shares")
    } else {
        format!(
            "pressed along by fc = {:.0} psi; {free:.1} in between what holds it, CL = {stable:.3} on edge (NDS 3.3.3); Eq 3.9-3 adds their shares",
            -along
        )
    };
    Hand {
        kind: "A slat bent",
        ratio,
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
            format!("fb = M / S = {flat:.0} and {edge:.0} psi; {axial}"),
            format!(
                "Fb' = Fb CD CM = {bending:.0} x {duration:.2} x 1.0 = {allowed:.0} psi: {species} No.2 (NDS Supplement Table 4A); CM = 1.0 as \
                 Fb is under 1150 psi; no size or flat use factor for a board thinner than 2 in (project choice)"
            ),
        ],
    }
}
