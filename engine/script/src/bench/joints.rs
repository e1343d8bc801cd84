//! Joining boards, by the program's own kinds of joint and by those written as scripts.

use super::hold::{BoardWord, Job, boards_of};
use super::operate::spot;
use crate::host::{HostResult, Options, origin, raise};
use crate::modules::Subject;
use rhai::{Array, Dynamic, ImmutableString, Map, NativeCallContext};
use slatwork_base::{Diagnostic, Length};
use slatwork_model::JointOrder;
use slatwork_model::bench::Direction;
use slatwork_solid::DVec3;

/// A joint of a kind that a script defines, to be made once the family has laid everything.
#[derive(Clone)]
pub(crate) struct ScriptedJoint {
    /// Its kind, by name.
    pub(crate) kind: String,
    pub(crate) a: BoardWord,
    pub(crate) b: BoardWord,
    /// Options of the call, for the parameters that the script declares.
    pub(crate) options: Map,
    /// Where the family asked for it.
    pub(crate) origin: slatwork_base::Origin,
}

pub(super) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Joints",
        "A joint says which boards meet, and by what kind. The contact is found from the finished boards, the fasteners are \
         laid out in it, and both boards are cut. Options that any kind takes: fastener (an id of the catalogue), count (of \
         fasteners), length (of fasteners), at (their places from the middle of the contact, [[along the first board's grain, \
         across], ..]), also (further boards that bolts go through), inset (how far they stay off the ends of the contact), sink (how deep heads are sunk), plug (true: heads under wooden plugs), glue (true or false), from \
         (\"second\": heads sit in the second board), tenon and thickness (of a tenon), spot (where a single fastener goes \
         in: #{ on: a side, from: two sides with the distances inside them }). Whatever is left out is chosen by rule; \
         `slatwork list joints` names the kinds.",
    );
    joins(&mut subject);
    facts(&mut subject);
    subject
}

const OPTIONS: [&str; 13] = [
    "fastener",
    "count",
    "length",
    "at",
    "also",
    "inset",
    "sink",
    "plug",
    "glue",
    "from",
    "tenon",
    "thickness",
    "spot",
];

fn joint_order(ctx: &NativeCallContext, job: &Job, kind: &str, options: Map) -> HostResult<JointOrder> {
    let options = Options::read(ctx, "join", options, &OPTIONS)?;
    let glue = if options.has("glue") { Some(options.yes_no("glue", false)?) } else { None };
    let from_second = match options.opt_text("from")?.as_deref() {
        None | Some("first") => false,
        Some("second") => true,
        Some(other) => {
            let fault = Diagnostic::error("unknown-word", format!("`from` does not know \"{other}\""));
            return Err(options.refuse(fault.help("heads sit in the \"first\" board or in the \"second\"")));
        }
    };
    Ok(JointOrder {
        kind: kind.to_string(),
        within: None,
        fastener: options.opt_text("fastener")?,
        count: count(&options)?,
        length: options.opt_length("length")?,
        at: places(ctx, &options)?,
        also: match options.opt_take::<Dynamic>("also", "a list of boards")? {
            Some(boards) => boards_of(ctx, &boards)?,
            None => Vec::new(),
        },
        inset: options.opt_length("inset")?,
        sink: options.opt_length("sink")?,
        plug: options.yes_no("plug", false)?,
        glue,
        from_second,
        axis: axis(ctx, job, &options)?,
        tenon: options.opt_length("tenon")?,
        tenon_thickness: options.opt_length("thickness")?,
    })
}

/// Where a single fastener goes in, and which way.
fn axis(ctx: &NativeCallContext, job: &Job, options: &Options) -> HostResult<Option<(DVec3, DVec3)>> {
    let Some(map) = options.opt_take::<Map>("spot", "a map of `on` and `from`")? else { return Ok(None) };
    let spot = spot(ctx, &Options::read(ctx, "spot", map, &["on", "from"])?)?;
    job.work(ctx, |bench, origin| bench.spot(&spot, job.asked_at(origin))).map(Some)
}

/// Most fasteners of one joint; a fence against slips, not a rule of the trade.
const MOST_FASTENERS: usize = 100;

fn count(options: &Options) -> HostResult<Option<usize>> {
    let count = options.opt_count("count")?;
    match count {
        Some(count) if count == 0 || count > MOST_FASTENERS => {
            let fault = Diagnostic::error("count-out-of-reach", format!("`count` cannot be {count}"));
            Err(options.refuse(fault.help(format!("give 1 to {MOST_FASTENERS}, or leave it to the rule"))))
        }
        count => Ok(count),
    }
}

/// Places of fasteners: a list of pairs of lengths.
fn places(ctx: &NativeCallContext, options: &Options) -> HostResult<Vec<(Length, Length)>> {
    let Some(list) = options.opt_take::<Array>("at", "a list of places")? else { return Ok(Vec::new()) };
    if list.is_empty() || list.len() > MOST_FASTENERS {
        let fault = Diagnostic::error("count-out-of-reach", format!("`at` has {} places", list.len()));
        return Err(options.refuse(fault.help(format!("give 1 to {MOST_FASTENERS}"))));
    }
    let place = |value: &Dynamic| -> HostResult<(Length, Length)> {
        let pair = super::hold::lengths_of(ctx, value)?;
        match pair.as_slice() {
            [along, across] => Ok((*along, *across)),
            _ => {
                let fault = Diagnostic::error("no-such-spot", "a place in a contact is two lengths");
                Err(options.refuse(fault.help("write `at: [[-20.mm, 0.mm], [20.mm, 0.mm]]`")))
            }
        }
    };
    list.iter().map(place).collect()
}

fn joins(subject: &mut Subject) {
    subject.function(
        "join(job: job, kind: text, a: board, b: board)",
        "Joins two boards, the first fastened to the second, and so declares that they touch. A map of options may follow. \
         Refuses a kind, a fastener or an option it does not know. \
         Example: `job.join(\"screwed face to face\", rail, post, #{ count: 2, plug: true });`",
        |ctx: NativeCallContext, job: &mut Job, kind: ImmutableString, a: BoardWord, b: BoardWord| -> HostResult<()> {
            join(&ctx, job, &kind, &a, &b, Map::new())
        },
    );
    subject.form(
        "join",
        |ctx: NativeCallContext,
         job: &mut Job,
         kind: ImmutableString,
         a: BoardWord,
         b: BoardWord,
         options: Map|
         -> HostResult<()> { join(&ctx, job, &kind, &a, &b, options) },
    );
    subject.function(
        "join_all(job: job, kind: text, parts: list, bearers: list)",
        "Joins wherever one of the parts touches one of the bearers. Options as for join may follow. Refuses a part that touches \
         no bearer. Example: `job.join_all(\"slat to bearer\", slats, supports);`",
        |ctx: NativeCallContext, job: &mut Job, kind: ImmutableString, parts: Dynamic, bearers: Dynamic| -> HostResult<()> {
            join_all(&ctx, job, &kind, &parts, &bearers, Map::new())
        },
    );
    subject.form(
        "join_all",
        |ctx: NativeCallContext,
         job: &mut Job,
         kind: ImmutableString,
         parts: Dynamic,
         bearers: Dynamic,
         options: Map|
         -> HostResult<()> { join_all(&ctx, job, &kind, &parts, &bearers, options) },
    );
}

fn join(
    ctx: &NativeCallContext,
    job: &Job,
    kind: &str,
    a: &BoardWord,
    b: &BoardWord,
    options: Map,
) -> HostResult<()> {
    if job.is_scripted(kind) {
        return put_off(ctx, job, kind, a, b, options);
    }
    let order = own_order(ctx, job, kind, options)?;
    job.work(ctx, |bench, origin| bench.join(&order, a.board, b.board, job.asked_at(origin)))
}

/// An order for a joint of the program's own kinds, as a piece of the scripted joint that is being made, if any.
fn own_order(ctx: &NativeCallContext, job: &Job, kind: &str, options: Map) -> HostResult<JointOrder> {
    if slatwork_model::joints::kind(kind).is_err() {
        return Err(raise(ctx, slatwork_model::joints::unknown_kind(kind, &job.scripted_kinds())));
    }
    Ok(job.within(joint_order(ctx, job, kind, options)?))
}

fn put_off(
    ctx: &NativeCallContext,
    job: &Job,
    kind: &str,
    a: &BoardWord,
    b: &BoardWord,
    options: Map,
) -> HostResult<()> {
    let joint = ScriptedJoint {
        kind: kind.to_string(),
        a: a.clone(),
        b: b.clone(),
        options,
        origin: job.asked_at(origin(ctx)),
    };
    job.put_off(joint).map_err(|fault| raise(ctx, fault))
}

fn join_all(
    ctx: &NativeCallContext,
    job: &Job,
    kind: &str,
    parts: &Dynamic,
    bearers: &Dynamic,
    options: Map,
) -> HostResult<()> {
    let (parts, bearers) = (boards_of(ctx, parts)?, boards_of(ctx, bearers)?);
    if job.is_scripted(kind) {
        let pairs = job.work(ctx, |bench, origin| bench.meetings(&parts, &bearers, job.asked_at(origin)))?;
        return pairs
            .into_iter()
            .try_for_each(|(a, b)| put_off(ctx, job, kind, &job.board(a), &job.board(b), options.clone()));
    }
    let order = own_order(ctx, job, kind, options)?;
    job.work(ctx, |bench, origin| bench.join_all(&order, &parts, &bearers, job.asked_at(origin)))
}

fn facts(subject: &mut Subject) {
    subject.function(
        "patch(job: job, a: board, b: board) -> map",
        "Where two boards meet as they lie now, for joints written as scripts: along (extent along the first board's grain), \
         across, toward (the direction from the first board to the second, in a word), middle ([x, y, z] in the piece's frame), \
         gap (under a seated board), and end_grain ([first, second], true where the contact is on end grain). Refuses boards \
         that do not touch. \
         Example: `let screws = if job.patch(a, b).along > 8.inch { 3 } else { 2 };`",
        |ctx: NativeCallContext, job: &mut Job, a: BoardWord, b: BoardWord| -> HostResult<Map> {
            let patch = job.work(&ctx, |bench, origin| bench.patch(a.board, b.board, job.asked_at(origin)))?;
            let length = |mm: f64| Dynamic::from(Length::mm(mm));
            let middle: Array = patch.centre.to_array().map(length).to_vec();
            let ends: Array = patch.on_end.map(Dynamic::from).to_vec();
            let toward = Direction::nearest(patch.normal).word();
            let entries: [(&str, Dynamic); 6] = [
                ("toward", toward.into()),
                ("along", length(patch.extent.0)),
                ("across", length(patch.extent.1)),
                ("gap", length(patch.gap)),
                ("middle", middle.into()),
                ("end_grain", ends.into()),
            ];
            Ok(entries.into_iter().map(|(key, value)| (key.into(), value)).collect())
        },
    );
}
