//! Words about woods: species and their design values.

use super::{Entries, Form};
use crate::host::HostResult;
use crate::modules::Subject;
use rhai::{ImmutableString, Map, NativeCallContext};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{
    ClearWood, DECAY_CLASSES, DesignValues, Item, NominalRange, SIZE_RULES, Shrinkage, Species,
};

/// The form of a figure in messages.
const A_NUMBER: &str = "a number";

pub(super) fn words(subject: &mut Subject) {
    subject.function(
        "species(c: catalogue, name: text, options: map)",
        "A wood of your own. Options: `like` (a wood to take the rest from), `id` (without it, the name), `aliases` \
         (texts), `botanical`, `hardwood` (true or false), `gravity_green`, `gravity_12`, `design_gravity` (over water), \
         `elasticity_mpa`, `rupture_mpa`, `shear_mpa`, `compression_mpa`, `compression_across_mpa` (MPa, small clear \
         pieces at 12 % moisture), `hardness_n` (N), `shrinkage_radial`, `shrinkage_tangential`, `shrinkage_volumetric`, \
         `fibre_saturation` (percent), `decay` (slight, moderate, resistant), `decay_note`, `tannic` (true or false), \
         `design_group` (text). Refuses figures that no wood has. \
         Example: `c.species(\"lake cypress\", #{ like: \"cypress\", gravity_12: 0.44 });`",
        species,
    );
    subject.function(
        "design_values(c: catalogue, group: text, grade: text, options: map)",
        "Published design values of one grade of a species group, in psi as tables print them. Options, all needed: \
         `widths` and `thicknesses` (nominal sizes: [least, most], or [least] for that and more), `size_rule` (factor, \
         specific, timber), `gravity`, `bending`, `tension`, `shear`, `compression`, `compression_across`, `elasticity`, \
         `stability_elasticity`. Example: `c.design_values(\"Lake Cypress\", \"No.2\", #{ widths: [2.inch, 4.inch], \
         thicknesses: [2.inch, 4.inch], size_rule: \"factor\", gravity: 0.43, bending: 825, tension: 525, shear: 160, \
         compression: 900, compression_across: 615, elasticity: 1300000, stability_elasticity: 470000 });`",
        design_values,
    );
}

/// The options of a wood in one place: its own figure, else that of the wood it is like.
struct Wood<'f> {
    form: &'f Form<'f, 'f>,
    like: Option<Species>,
}

impl Wood<'_> {
    fn figure(&self, key: &str, from: impl Fn(&Species) -> f64) -> HostResult<f64> {
        let figure = self.form.figure(key)?.or(self.like.as_ref().map(from));
        self.form.need_or_like(key, A_NUMBER, figure)
    }

    fn open_figure(&self, key: &str, from: impl Fn(&Species) -> Option<f64>) -> HostResult<Option<f64>> {
        Ok(self.form.figure(key)?.or(self.like.as_ref().and_then(from)))
    }

    fn flag(&self, key: &str, from: impl Fn(&Species) -> bool) -> HostResult<bool> {
        let flag = self.form.flag(key)?.or(self.like.as_ref().map(from));
        self.form.need_or_like(key, "true or false", flag)
    }

    fn text(&self, key: &str, from: impl Fn(&Species) -> String) -> HostResult<String> {
        Ok(self.form.text(key)?.or(self.like.as_ref().map(from)).unwrap_or_default())
    }

    fn clear(&self) -> HostResult<ClearWood> {
        Ok(ClearWood {
            elasticity_mpa: self.figure("elasticity_mpa", |like| like.clear.elasticity_mpa)?,
            rupture_mpa: self.figure("rupture_mpa", |like| like.clear.rupture_mpa)?,
            shear_mpa: self.figure("shear_mpa", |like| like.clear.shear_mpa)?,
            compression_mpa: self.figure("compression_mpa", |like| like.clear.compression_mpa)?,
            compression_across_mpa: self
                .open_figure("compression_across_mpa", |like| like.clear.compression_across_mpa)?,
            hardness_n: self.figure("hardness_n", |like| like.clear.hardness_n)?,
        })
    }

    fn shrinkage(&self) -> HostResult<Shrinkage> {
        Ok(Shrinkage {
            radial: self.figure("shrinkage_radial", |like| like.shrinkage.radial)?,
            tangential: self.figure("shrinkage_tangential", |like| like.shrinkage.tangential)?,
            volumetric: self.figure("shrinkage_volumetric", |like| like.shrinkage.volumetric)?,
        })
    }
}

/// Every option of a wood.
const OF_WOOD: [&str; 21] = [
    "like",
    "id",
    "aliases",
    "botanical",
    "hardwood",
    "gravity_green",
    "gravity_12",
    "design_gravity",
    "elasticity_mpa",
    "rupture_mpa",
    "shear_mpa",
    "compression_mpa",
    "compression_across_mpa",
    "hardness_n",
    "shrinkage_radial",
    "shrinkage_tangential",
    "shrinkage_volumetric",
    "fibre_saturation",
    "decay",
    "decay_note",
    "tannic",
];

fn species(ctx: NativeCallContext, c: &mut Entries, name: ImmutableString, options: Map) -> HostResult<()> {
    let known = [&OF_WOOD[..], &["design_group"]].concat();
    let form = Form::read(&ctx, "species", options, &known)?;
    let wood = Wood { form: &form, like: like_species(&form, c)? };
    let like = wood.like.as_ref();
    let decay = form.choice("decay", &DECAY_CLASSES)?.or(like.map(|like| like.decay));
    let entry = Species {
        id: form.text("id")?.unwrap_or_else(|| Species::id_of(&name)),
        name: name.to_string(),
        aliases: form.texts("aliases")?,
        botanical: wood.text("botanical", |like| like.botanical.clone())?,
        hardwood: wood.flag("hardwood", |like| like.hardwood)?,
        gravity_green: wood.figure("gravity_green", |like| like.gravity_green)?,
        gravity_12: wood.open_figure("gravity_12", |like| like.gravity_12)?,
        clear: wood.clear()?,
        shrinkage: wood.shrinkage()?,
        fibre_saturation: wood.figure("fibre_saturation", |like| like.fibre_saturation)?,
        decay: form.need_or_like("decay", "slight, moderate or resistant", decay)?,
        decay_note: wood.text("decay_note", |like| like.decay_note.clone())?,
        tannic: wood.flag("tannic", |like| like.tannic)?,
        design_group: form.text("design_group")?.or(like.and_then(|like| like.design_group.clone())),
        design_gravity: wood.open_figure("design_gravity", |like| like.design_gravity)?,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Species(Box::new(entry)))
}

fn like_species(form: &Form<'_, '_>, c: &Entries) -> HostResult<Option<Species>> {
    let Some(name) = form.text("like")? else { return Ok(None) };
    let own = c.own(|item| match item {
        Item::Species(species) if species.name == name || species.id == name => Some(species.as_ref()),
        _ => None,
    });
    match own {
        Some(own) => Ok(Some(own)),
        None => c.below().species(&name).cloned().map(Some).map_err(|trouble| form.refuse(trouble)),
    }
}

fn design_values(
    ctx: NativeCallContext,
    c: &mut Entries,
    group: ImmutableString,
    grade: ImmutableString,
    options: Map,
) -> HostResult<()> {
    const KNOWN: [&str; 11] = [
        "widths",
        "thicknesses",
        "size_rule",
        "gravity",
        "bending",
        "tension",
        "shear",
        "compression",
        "compression_across",
        "elasticity",
        "stability_elasticity",
    ];
    let form = Form::read(&ctx, "design_values", options, &KNOWN)?;
    let figure = |key: &str| form.need(key, A_NUMBER, form.figure(key)?);
    let size_rule = form.choice("size_rule", &SIZE_RULES)?;
    let entry = DesignValues {
        group: group.to_string(),
        grade: grade.to_string(),
        widths: nominal_range(&form, "widths")?,
        thicknesses: nominal_range(&form, "thicknesses")?,
        size_rule: form.need("size_rule", "factor, specific or timber", size_rule)?,
        bending_psi: figure("bending")?,
        tension_psi: figure("tension")?,
        shear_psi: figure("shear")?,
        compression_across_psi: figure("compression_across")?,
        compression_psi: figure("compression")?,
        elasticity_psi: figure("elasticity")?,
        stability_elasticity_psi: figure("stability_elasticity")?,
        gravity: figure("gravity")?,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Design(entry))
}

/// `[2.inch, 4.inch]`, or `[5.inch]` for that and more.
fn nominal_range(form: &Form<'_, '_>, key: &str) -> HostResult<NominalRange> {
    let needed = "nominal sizes, as [2.inch, 4.inch]";
    let sizes: Vec<Length> = form.need(key, needed, form.sizes(key)?)?;
    match sizes.as_slice() {
        [least] => Ok(NominalRange { least: *least, most: None }),
        [least, most] => Ok(NominalRange { least: *least, most: Some(*most) }),
        _ => {
            let message =
                format!("`{key}` of design_values must be one or two nominal sizes, not {}", sizes.len());
            Err(form.refuse(Diagnostic::error("wrong-option", message)))
        }
    }
}
