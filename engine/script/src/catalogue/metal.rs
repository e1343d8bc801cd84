//! Words about metal: fasteners, their drills, hanging hardware.

use super::form::kind_of;
use super::{Entries, Form};
use crate::host::HostResult;
use crate::modules::Subject;
use rhai::{ImmutableString, Map, NativeCallContext};
use slatwork_base::Angle;
use slatwork_catalog::{
    DrillSizes, FASTENER_KINDS, Fastener, HARDWARE_KINDS, Hardware, Item, Rating, STATUS_WORDS, Status,
};

/// The form of a text in messages.
const A_TEXT: &str = "a text in quotes";

pub(super) fn words(subject: &mut Subject) {
    subject.function(
        "fastener(c: catalogue, id: text, options: map)",
        "A fastener of your own in one gauge or diameter. Options: `like` (the id of one to take the rest from), `kind` \
         (wood screw, deck screw, lag screw, carriage bolt, hex bolt, hex nut, washer, wide washer, fender washer, nail, \
         finish nail, threaded insert, barrel nut, dowel), `size` (as bought: \"8\", \"3/8\"), `diameter` (length), \
         `lengths` (a list), `dims` (a map of lengths: root_diameter, head_diameter, head_height and so on), \
         `threads_per_inch` (number), `note` (text). Refuses a kind that is not known. \
         Example: `c.fastener(\"harbour_screw_8\", #{ like: \"deck_screw_8\", lengths: [2.inch, inch(\"2 1/2\")] });`",
        fastener,
    );
    subject.function(
        "drill(c: catalogue, kind: text, size: text, options: map)",
        "The drills for a fastener. Options, lengths all: `clearance`, `pilot_softwood`, `pilot_hardwood` are needed; \
         `edge_pilot_softwood`, `edge_pilot_hardwood`, `counterbore` may be left out. Refuses a kind that is not known. \
         Example: `c.drill(\"deck screw\", \"8\", #{ clearance: inch(\"3/16\"), pilot_softwood: inch(\"3/32\"), \
         pilot_hardwood: inch(\"1/8\") });`",
        drill,
    );
    subject.function(
        "hardware(c: catalogue, id: text, options: map)",
        "Hanging hardware of your own. Options: `like` (the id of one to take the rest from), `kind` (eye bolt, screw \
         eye, chain, quick link, closed link, shackle, spring link, s-hook, ring, spring, rope), `name`, `size` (texts), \
         `dims` (a map of lengths: wire_diameter, pitch, inside_width and so on), `ratings` (a list of maps with \
         `newton`, the working load stamped on it, in N, `up_to`, the greatest angle of pull it holds for, and \
         `status`), `breaking_factor` (number), `refused` (why it may not carry people), `note` (texts). Refuses a \
         negative load. Example: `c.hardware(\"lake_eye\", #{ like: \"eye_bolt_3_8\", ratings: [#{ newton: 7000 }] });`",
        hardware,
    );
}

fn fastener(ctx: NativeCallContext, c: &mut Entries, id: ImmutableString, options: Map) -> HostResult<()> {
    const KNOWN: [&str; 8] =
        ["like", "kind", "size", "diameter", "lengths", "dims", "threads_per_inch", "note"];
    let form = Form::read(&ctx, "fastener", options, &KNOWN)?;
    let like = like_fastener(&form, c)?;
    let like = like.as_ref();
    let kind = form.choice("kind", &FASTENER_KINDS)?.or(like.map(|like| like.kind));
    let size = form.text("size")?.or(like.map(|like| like.size.clone()));
    let diameter = form.size("diameter")?.or(like.map(|like| like.diameter));
    let entry = Fastener {
        id: id.to_string(),
        kind: form.need_or_like("kind", A_TEXT, kind)?,
        size: form.need_or_like("size", A_TEXT, size)?,
        diameter: form.need_or_like("diameter", "a length", diameter)?,
        dims: form.dims(like.map(|like| &like.dims))?,
        threads_per_inch: form.figure("threads_per_inch")?.or(like.and_then(|like| like.threads_per_inch)),
        lengths: form.ascending("lengths")?.or(like.map(|like| like.lengths.clone())).unwrap_or_default(),
        note: form.text("note")?.or(like.map(|like| like.note.clone())).unwrap_or_default(),
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Fastener(entry))
}

fn like_fastener(form: &Form<'_, '_>, c: &Entries) -> HostResult<Option<Fastener>> {
    let Some(id) = form.text("like")? else { return Ok(None) };
    let own = c.own(|item| match item {
        Item::Fastener(fastener) if fastener.id == id => Some(fastener),
        _ => None,
    });
    match own {
        Some(own) => Ok(Some(own)),
        None => c.below().fastener_by_id(&id).cloned().map(Some).map_err(|trouble| form.refuse(trouble)),
    }
}

fn drill(
    ctx: NativeCallContext,
    c: &mut Entries,
    kind: ImmutableString,
    size: ImmutableString,
    options: Map,
) -> HostResult<()> {
    const KNOWN: [&str; 6] = [
        "clearance",
        "pilot_softwood",
        "pilot_hardwood",
        "edge_pilot_softwood",
        "edge_pilot_hardwood",
        "counterbore",
    ];
    let form = Form::read(&ctx, "drill", options, &KNOWN)?;
    let needed = |key: &str| form.need(key, "a length", form.size(key)?);
    let entry = DrillSizes {
        kind: kind_of(&ctx, "kind of fastener", &kind, &FASTENER_KINDS)?,
        size: size.to_string(),
        clearance: needed("clearance")?,
        pilot_softwood: needed("pilot_softwood")?,
        pilot_hardwood: needed("pilot_hardwood")?,
        edge_pilot_softwood: form.size("edge_pilot_softwood")?,
        edge_pilot_hardwood: form.size("edge_pilot_hardwood")?,
        counterbore: form.size("counterbore")?,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Drill(entry))
}

fn hardware(ctx: NativeCallContext, c: &mut Entries, id: ImmutableString, options: Map) -> HostResult<()> {
    const KNOWN: [&str; 9] =
        ["like", "kind", "name", "size", "dims", "ratings", "breaking_factor", "refused", "note"];
    let form = Form::read(&ctx, "hardware", options, &KNOWN)?;
    let like = like_hardware(&form, c)?;
    let like = like.as_ref();
    let kind = form.choice("kind", &HARDWARE_KINDS)?.or(like.map(|like| like.kind));
    let name = form.text("name")?.or(like.map(|like| like.name.clone()));
    let size = form.text("size")?.or(like.map(|like| like.size.clone()));
    let source = form.source(c)?;
    let ratings = ratings(&ctx, &form, source.status)?.or(like.map(|like| like.ratings.clone()));
    let entry = Hardware {
        id: id.to_string(),
        kind: form.need_or_like("kind", A_TEXT, kind)?,
        name: form.need_or_like("name", A_TEXT, name)?,
        size: form.need_or_like("size", A_TEXT, size)?,
        dims: form.dims(like.map(|like| &like.dims))?,
        ratings: ratings.unwrap_or_default(),
        breaking_factor: form.figure("breaking_factor")?.or(like.and_then(|like| like.breaking_factor)),
        refused: form.text("refused")?.or(like.and_then(|like| like.refused.clone())),
        note: form.text("note")?.or(like.map(|like| like.note.clone())).unwrap_or_default(),
        source,
    };
    c.add(&ctx, Item::Hardware(entry))
}

fn like_hardware(form: &Form<'_, '_>, c: &Entries) -> HostResult<Option<Hardware>> {
    let Some(id) = form.text("like")? else { return Ok(None) };
    let own = c.own(|item| match item {
        Item::Hardware(hardware) if hardware.id == id => Some(hardware),
        _ => None,
    });
    match own {
        Some(own) => Ok(Some(own)),
        None => c.below().hardware(&id).cloned().map(Some).map_err(|trouble| form.refuse(trouble)),
    }
}

/// The working loads, by rising angle; the status is the entry's unless one has its own.
fn ratings(ctx: &NativeCallContext, form: &Form<'_, '_>, status: Status) -> HostResult<Option<Vec<Rating>>> {
    let Some(maps) = form.maps("ratings", "a map, as #{ newton: 7000 }")? else { return Ok(None) };
    let rating = |values: Map| {
        let form = Form::read(ctx, "rating", values, &["newton", "up_to"])?;
        Ok(Rating {
            up_to: form.turn("up_to")?.unwrap_or(Angle::ZERO),
            working_load_n: form.need("newton", "the working load in N", form.figure("newton")?)?,
            status: form.choice("status", &STATUS_WORDS)?.unwrap_or(status),
        })
    };
    let mut ratings = maps.into_iter().map(rating).collect::<HostResult<Vec<Rating>>>()?;
    ratings.sort_by(|a, b| a.up_to.as_deg().total_cmp(&b.up_to.as_deg()));
    Ok(Some(ratings))
}
