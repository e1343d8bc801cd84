//! What the wood of a part may carry: published values where there are any, else an estimate that says so.

use crate::statics::moisture;
use crate::statics::units::PSI;
use crate::statics::wood::{
    ClearWood, Conditions as Used, DesignValues, Duration, Grading, Nominal, Reference, Soundness, Ways,
    adjust, estimate,
};
use crate::statics::wood::{Service, Warmth};
use crate::{Case, Exposure};
use slatwork_base::Length;
use slatwork_catalog::{DesignValues as Row, SizeRule, Source, Species, Status};
use slatwork_model::Part;

/// The grade that frames are reckoned with where nobody names one: what yards mostly stock (common practice, no source).
const GRADE: &str = "No.2";
/// Boards under this nominal thickness carry no published values.
const THIN: f64 = 2.0;
/// Clear wood keeps this share of its strength across the grain along it, where the source gives none (from memory).
const ACROSS_TO_ALONG: f64 = 0.12;

/// What the wood of a part may carry, with what that rests on.
#[derive(Clone, Debug)]
pub struct Timber {
    /// Design values as used, load on the wide face.
    pub flat: DesignValues,
    /// The same, load on the edge.
    pub edge: DesignValues,
    /// Specific gravity for connections.
    pub gravity: f64,
    /// Density as it stands, kg/m3.
    pub density: f64,
    /// Whether it is wet in service.
    pub service: Service,
    /// Whether the values are an estimate.
    pub estimated: bool,
    /// In a sentence.
    pub told: String,
    /// What they rest on.
    pub source: Source,
}

impl Timber {
    /// Of a part; nothing if the catalogue lacks its species or section, or gives figures that cannot be worked with.
    pub fn of(case: &Case, part: &Part) -> Option<Timber> {
        let species = case.catalogue.species(&part.species).ok()?;
        let (thickness, width) = case.catalogue.section(&part.section).ok()?.table_size();
        let (reference, grading, told, source) = reference(case, species, (thickness, width))?;
        let service = service(case);
        let nominal = Nominal { thickness: thickness.as_mm(), width: width.as_mm() };
        let used = |flat| Used {
            duration: Duration::TenYears,
            service,
            warmth: Warmth::Usual,
            grading,
            nominal,
            ways: Ways { flat, ..Ways::default() },
        };
        let estimated = grading == Grading::Unsized;
        Some(Timber {
            flat: adjust(&reference, &used(true)).value?,
            edge: adjust(&reference, &used(false)).value?,
            gravity: species.connection_gravity(),
            density: species.density_at(case.conditions.climate.at_bench),
            service,
            estimated,
            told,
            source,
        })
    }

    /// Modulus of elasticity for deflection, MPa.
    pub fn elasticity(&self) -> f64 {
        self.edge.elasticity.value()
    }
}

/// Wet where rain reaches it or the air alone brings it over 19 % (NDS Table 4A, read).
pub fn service(case: &Case) -> Service {
    let soaked = case.conditions.exposure == Exposure::Exposed;
    let damp = case.conditions.climate.range().value.is_none_or(|range: moisture::Range| range.wettest > WET);
    if soaked || damp { Service::Wet } else { Service::Dry }
}

/// Moisture over which wood is wet, percent (NDS Table 4A, read).
const WET: f64 = 19.0;

type Basis = (Reference, Grading, String, Source);

fn reference(case: &Case, species: &Species, nominal: (Length, Length)) -> Option<Basis> {
    let (thickness, width) = nominal;
    let two = Length::inch(THIN);
    let listed = |thickness| case.catalogue.design_values(species, GRADE, (thickness, width)).ok().flatten();
    if thickness >= two {
        if let Some(row) = listed(thickness) {
            let told = format!("{} {GRADE}, published values", species.name);
            return Some((figures(row), grading(row.size_rule), told, row.source.clone()));
        }
    } else if let Some(row) = listed(two) {
        let told = format!(
            "{} boards taken as {GRADE}: straight-grained, knots sound and tight; an estimate, no published value",
            species.name
        );
        let source = Source::new(
            "values of the species group for 2 in, no size factor, for thinner boards",
            Status::ProjectChoice,
        );
        return Some((figures(row), Grading::Unsized, told, source));
    }
    estimated(species)
}

fn estimated(species: &Species) -> Option<Basis> {
    let clear = &species.clear;
    let means = ClearWood {
        rupture: clear.rupture_mpa,
        shear: clear.shear_mpa,
        compression: clear.compression_mpa,
        across: clear.compression_across_mpa.unwrap_or(clear.compression_mpa * ACROSS_TO_ALONG),
        elasticity: clear.elasticity_mpa,
        hardwood: species.hardwood,
    };
    let told = format!("{}, reckoned from small clear pieces; an estimate, no published value", species.name);
    let source = Source::new("ASTM D245 on Wood Handbook means", Status::FromMemory);
    Some((estimate(&means, Soundness::Second).value?, Grading::Unsized, told, source))
}

/// A row of published values, MPa.
pub(crate) fn figures(row: &Row) -> Reference {
    Reference {
        bending: row.bending_psi * PSI,
        tension: row.tension_psi * PSI,
        shear: row.shear_psi * PSI,
        across: row.compression_across_psi * PSI,
        compression: row.compression_psi * PSI,
        elasticity: row.elasticity_psi * PSI,
        stability_elasticity: row.stability_elasticity_psi * PSI,
    }
}

/// How values of a row go by size.
pub(crate) fn grading(rule: SizeRule) -> Grading {
    match rule {
        SizeRule::Factor => Grading::Numbered,
        SizeRule::Specific => Grading::SizeSpecific,
        SizeRule::Timber => Grading::Unsized,
    }
}
