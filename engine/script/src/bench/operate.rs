//! Slats over bearers, fans, fits, cuts through sets, holes and hanging.

use super::hold::{
    BoardWord, BoltWord, GroupWord, Job, LineWord, boards_of, item_of, lengths_of, side_and_distance, side_of,
};
use super::lay::board_order;
use crate::host::{HostResult, Options, raise};
use crate::modules::Subject;
use rhai::{Array, Dynamic, ImmutableString, Map, NativeCallContext};
use slatwork_base::{Diagnostic, Length, did_you_mean};
use slatwork_model::bench::{
    ChainOrder, Direction, EyeOrder, FanOrder, Gap, GroupHandle, HoleOrder, LEAST_RIP, NotchOrder, ODDS,
    RunOrder, STARTS, Side, Spot, Spring, TrimLine, TrimOrder, WHOLE,
};
use slatwork_solid::DVec3;

pub(super) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Slats, fits and hanging",
        "The operations that carry the trade's knowledge: slats laid over straight or curved bearers, parts fitted round each \
         other, sets of parts cut by one line in place, holes in line with bolts and chains.",
    );
    runs(&mut subject);
    fits(&mut subject);
    trims(&mut subject);
    holes(&mut subject);
    subject
}

/// One of some words, or a refusal that lists them.
pub(super) fn one_of<T: Copy>(options: &Options, key: &str, words: &[(&str, T)]) -> HostResult<Option<T>> {
    let Some(word) = options.opt_text(key)? else { return Ok(None) };
    if let Some((_, value)) = words.iter().find(|(known, _)| *known == word) {
        return Ok(Some(*value));
    }
    let known: Vec<&str> = words.iter().map(|(known, _)| *known).collect();
    let help = match did_you_mean(&word, known.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!("`{key}` knows: {}", known.join(", ")),
    };
    Err(options
        .refuse(Diagnostic::error("no-such-word", format!("\"{word}\" is no word for `{key}`")).help(help)))
}

const DIRECTIONS: [(&str, Direction); 6] = [
    ("right", Direction::Right),
    ("left", Direction::Left),
    ("rear", Direction::Rear),
    ("front", Direction::Front),
    ("up", Direction::Up),
    ("down", Direction::Down),
];

const RUN_OPTIONS: [&str; 25] = [
    "stock",
    "wood",
    "width",
    "thickness",
    "from_wider",
    "nest",
    "defects",
    "glue_up",
    "widths",
    "over",
    "face",
    "grain",
    "from",
    "to",
    "gap",
    "count",
    "start",
    "odd",
    "least",
    "first_width",
    "low",
    "high",
    "length",
    "overhang",
    "spring",
];

fn runs(subject: &mut Subject) {
    subject.function(
        "run(group: group, name: text, options: map) -> list",
        "Lays slats over bearers, first to last. Options: stock (and wood, width, thickness) or widths (a list, repeated); over (the \
         bearers); from and to (a side, or [side, distance]: where the run starts and ends; a negative distance overhangs); gap (a \
         length, \"tight\", or \"equal\" with count); face (\"up\" unless said: where the slats look), grain (\"right\" unless said); \
         start (\"first side\", \"centre slat\", \"centre gap\"); odd (what becomes of the remainder: \"filler\", \"filler second from \
         the end\", \"filler first\", \"both ends\", \"gaps\", \"all alike\"); least (narrowest rip, 1 inch unless said: a sliver is shared by two \
         slats); first_width; low and high (a side or [side, distance]: where their ends stand), or length, or overhang past the \
         outermost bearers; spring (how far their middle is pulled down to lower bearers). Refuses slivers and bearers that do not \
         carry. Also `job.run(..)`. \
         Example: `let slats = seat.run(\"seat slat\", #{ stock: p.slats, over: supports, from: front.side(\"front\"), to: rear.side(\"rear\"), gap: p.gap });`",
        |ctx: NativeCallContext, group: &mut GroupWord, name: ImmutableString, options: Map| {
            run(&ctx, &group.job, group.group, &name, options)
        },
    );
    subject.form("run", |ctx: NativeCallContext, job: &mut Job, name: ImmutableString, options: Map| {
        run(&ctx, job, WHOLE, &name, options)
    });
    subject.function(
        "fan(group: group, name: text, options: map) -> list",
        "Lays slats spread like a hand, from left to right. Options: stock (and wood, width, thickness), count, over (rails), face \
         (\"front\" unless said), grain (\"up\" unless said), low (a side or [side, distance]: their lower ends are cut level there), \
         centre (a part or group), gap (clear between neighbours at the foot), step (an angle: turn from one to the next), length, \
         foot (their width at the foot, when their edges taper to it from their full width at the upper end). \
         Example: `let slats = back.fan(\"back slat\", #{ stock: \"1x4\", count: 7, over: [low, high], low: low.side(\"down\"), centre: low, gap: 6.mm, step: 2.deg, length: 34.inch });`",
        |ctx: NativeCallContext, group: &mut GroupWord, name: ImmutableString, options: Map| {
            fan(&ctx, &group.job, group.group, &name, options)
        },
    );
}

fn run(
    ctx: &NativeCallContext,
    job: &Job,
    group: GroupHandle,
    name: &str,
    options: Map,
) -> HostResult<Array> {
    let options = Options::read(ctx, "run", options, &RUN_OPTIONS)?;
    let order = run_order(ctx, &options)?;
    let slats = job.work(ctx, |bench, origin| bench.run(group, name, &order, origin))?;
    Ok(job.boards(&slats))
}

fn value(options: &Options, key: &str, form: &str) -> HostResult<Dynamic> {
    options.take::<Dynamic>(key, form)
}

fn reached(ctx: &NativeCallContext, options: &Options, key: &str) -> HostResult<Option<(Side, Length)>> {
    match options.opt_take::<Dynamic>(key, "a side, or a side and a distance")? {
        Some(value) => side_and_distance(ctx, &value).map(Some),
        None => Ok(None),
    }
}

fn needed(ctx: &NativeCallContext, options: &Options, key: &str) -> HostResult<(Side, Length)> {
    side_and_distance(ctx, &value(options, key, "a side, or a side and a distance")?)
}

fn run_order(ctx: &NativeCallContext, options: &Options) -> HostResult<RunOrder> {
    let widths = match options.opt_take::<Dynamic>("widths", "a list of lengths")? {
        Some(list) => lengths_of(ctx, &list)?,
        None => Vec::new(),
    };
    let (from, to) = (needed(ctx, options, "from")?, needed(ctx, options, "to")?);
    let length = options.opt_length("length")?;
    let stock = slatwork_model::bench::BoardOrder { length: None, ..board_order(options)? };
    Ok(RunOrder {
        stock,
        widths,
        over: boards_of(ctx, &value(options, "over", "a list of bearers")?)?,
        face: one_of(options, "face", &DIRECTIONS)?.unwrap_or(Direction::Up),
        grain: one_of(options, "grain", &DIRECTIONS)?.unwrap_or(Direction::Right),
        from: from.0,
        from_gap: from.1,
        to: to.0,
        to_gap: to.1,
        gap: gap_of(ctx, options)?,
        start: one_of(options, "start", &STARTS)?.unwrap_or_default(),
        odd: one_of(options, "odd", &ODDS)?.unwrap_or_default(),
        least: options.opt_length("least")?.unwrap_or(LEAST_RIP),
        first_width: options.opt_length("first_width")?,
        low: reached(ctx, options, "low")?,
        high: reached(ctx, options, "high")?,
        length,
        overhang: options.opt_length("overhang")?.unwrap_or(Length::ZERO),
        spring: options.opt_length("spring")?.map(|rise| Spring { rise }),
    })
}

fn gap_of(ctx: &NativeCallContext, options: &Options) -> HostResult<Gap> {
    let gap = value(options, "gap", "a length, \"tight\" or \"equal\"")?;
    if let Some(clear) = gap.clone().try_cast::<Length>() {
        if clear < Length::ZERO {
            return Err(options.refuse(Diagnostic::error(
                "negative-gap",
                format!("a `gap` of {clear} would overlap the slats"),
            )));
        }
        return Ok(Gap::Clear(clear));
    }
    match gap.into_string().as_deref() {
        Ok("tight") => Ok(Gap::Tight),
        Ok("equal") => Ok(Gap::Equal(options.count("count")?)),
        _ => Err(raise(
            ctx,
            Diagnostic::error("no-such-word", "`gap` is a length, \"tight\" or \"equal\"")
                .help("with \"equal\" also say how many: `count: 7`"),
        )),
    }
}

const FAN_OPTIONS: [&str; 16] = [
    "stock",
    "wood",
    "width",
    "thickness",
    "from_wider",
    "nest",
    "defects",
    "glue_up",
    "count",
    "over",
    "face",
    "grain",
    "low",
    "centre",
    "gap",
    "step",
];

fn fan(
    ctx: &NativeCallContext,
    job: &Job,
    group: GroupHandle,
    name: &str,
    options: Map,
) -> HostResult<Array> {
    let known: Vec<&str> = FAN_OPTIONS.iter().copied().chain(["length", "foot"]).collect();
    let options = Options::read(ctx, "fan", options, &known)?;
    let stock = slatwork_model::bench::BoardOrder { length: None, ..board_order(&options)? };
    let order = FanOrder {
        stock,
        count: options.count("count")?,
        over: boards_of(ctx, &value(&options, "over", "a list of rails")?)?,
        face: one_of(&options, "face", &DIRECTIONS)?.unwrap_or(Direction::Front),
        grain: one_of(&options, "grain", &DIRECTIONS)?.unwrap_or(Direction::Up),
        low: needed(ctx, &options, "low")?,
        centre: item_of(ctx, &value(&options, "centre", "a board or a group")?)?,
        gap: options.length("gap")?,
        step: options.angle("step")?,
        length: options.length("length")?,
        foot: options.opt_length("foot")?,
    };
    let slats = job.work(ctx, |bench, origin| bench.fan(group, name, &order, origin))?;
    Ok(job.boards(&slats))
}

fn fits(subject: &mut Subject) {
    subject.function(
        "cope(board: board, others: list, clearance: length) -> board",
        "Fits the board round whatever of the others runs through it, walls leaning as they lean, with that much play; thin walls \
         towards its edges and ends are cut away too. What does not run through it takes nothing off. Refuses a fit that would cut the board in two. \
         Example: `slat.cope(posts, 1.mm);`",
        |ctx: NativeCallContext, board: &mut BoardWord, others: Dynamic, clearance: Length| -> HostResult<BoardWord> {
            let others = boards_of(&ctx, &others)?;
            board.job.work(&ctx, |bench, origin| bench.cope(board.board, &others, clearance, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "notch(board: board, options: map) -> board",
        "Cuts a plain notch across a side. Options: side (a direction), from_end (from the low end to its near wall), along (its \
         extent along the grain), depth. Refuses a notch off the board. \
         Example: `leg.notch(#{ side: \"front\", from_end: 14.inch, along: 3.5.inch, depth: inch(\"3/4\") });`",
        |ctx: NativeCallContext, board: &mut BoardWord, options: Map| -> HostResult<BoardWord> {
            let options = Options::read(&ctx, "notch", options, &["side", "from_end", "along", "depth"])?;
            let side = one_of(&options, "side", &DIRECTIONS)?;
            let Some(side) = side else {
                return Err(options.refuse(Diagnostic::error("missing-option", "notch needs `side`, a direction")));
            };
            let order = NotchOrder {
                side,
                from_end: options.length("from_end")?,
                along: options.length("along")?,
                depth: options.length("depth")?,
            };
            board.job.work(&ctx, |bench, origin| bench.notch(board.board, &order, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "clear(board: board, bolt: bolt, clearance: length) -> yes/no",
        "Bores a hole in line with another part's bolt, eye or chain, at whatever lean, with at least that much room all round (the next bit up); false when \
         its line does not pass through the board. Example: `arm.clear(chain, 6.mm);`",
        |ctx: NativeCallContext, board: &mut BoardWord, bolt: BoltWord, clearance: Length| -> HostResult<bool> {
            board.job.work(&ctx, |bench, origin| bench.clear(board.board, bolt.axis, clearance, origin))
        },
    );
}

const TRIM_LINES: [(&str, u8); 5] =
    [("straight", 0), ("circle", 1), ("batten", 2), ("crowned batten", 3), ("double bow", 4)];

const TRIM_OPTIONS: [&str; 7] = ["line", "from", "to", "level", "rise", "waste", "what"];

fn trims(subject: &mut Subject) {
    subject.function(
        "trim(group: group, parts: list, options: map)",
        "Cuts a set of parts, in place, along one line; each gets its own outline, and its blank grows to suit. Options: line \
         (\"straight\", \"circle\", \"batten\", \"crowned batten\", \"double bow\", or a line of your own over its chord); from and to \
         (sides its chord runs between); level (a side or [side, distance] that the ends of the chord lie on, the distance counted outward, the way the side looks), rise (of the crown \
         over the chord, towards the waste), waste (the direction that is cut away), what (words for it). Refuses a line that \
         misses a part. Also `job.trim(..)`. \
         Example: `back.trim(slats, #{ line: \"circle\", from: left.side(\"left\"), to: right.side(\"right\"), level: [rail.side(\"up\"), 2.inch], rise: 3.inch, waste: \"up\", what: \"crest\" });`",
        |ctx: NativeCallContext, group: &mut GroupWord, parts: Dynamic, options: Map| {
            trim(&ctx, &group.job, group.group, &parts, options)
        },
    );
    subject.form("trim", |ctx: NativeCallContext, job: &mut Job, parts: Dynamic, options: Map| {
        trim(&ctx, job, WHOLE, &parts, options)
    });
}

fn trim(
    ctx: &NativeCallContext,
    job: &Job,
    group: GroupHandle,
    parts: &Dynamic,
    options: Map,
) -> HostResult<()> {
    let parts = boards_of(ctx, parts)?;
    let options = Options::read(ctx, "trim", options, &TRIM_OPTIONS)?;
    let own =
        options.opt_take::<Dynamic>("line", "a kind of line")?.and_then(|line| line.try_cast::<LineWord>());
    let line = match own {
        Some(line) => TrimLine::Own(line.0),
        None => match one_of(&options, "line", &TRIM_LINES)? {
            None | Some(0) => TrimLine::Straight,
            Some(1) => TrimLine::Circle,
            Some(2) => TrimLine::Batten,
            Some(3) => TrimLine::CrownedBatten,
            Some(_) => TrimLine::DoubleBow,
        },
    };
    let order = TrimOrder {
        line,
        from: side_of(ctx, &value(&options, "from", "a side")?)?,
        to: side_of(ctx, &value(&options, "to", "a side")?)?,
        level: needed(ctx, &options, "level")?,
        rise: options.opt_length("rise")?.unwrap_or(Length::ZERO),
        waste: one_of(&options, "waste", &DIRECTIONS)?.unwrap_or(Direction::Up),
        what: options.opt_text("what")?.unwrap_or_else(|| String::from("line")),
    };
    job.work(ctx, |bench, origin| bench.trim(group, &parts, &order, origin))
}

/// Reads `on`, and the two sides with distances under `from`.
pub(super) fn spot(ctx: &NativeCallContext, options: &Options) -> HostResult<Spot> {
    let on = side_of(ctx, &value(options, "on", "a side")?)?;
    let from = value(options, "from", "two sides with distances")?;
    let pair = from.try_cast::<Array>();
    let Some([first, second]) = pair.as_deref() else {
        return Err(options.refuse(
            Diagnostic::error("no-such-spot", "a spot is measured `from` two sides")
                .help("write `from: [[post.side(\"down\"), 4.inch], [post.side(\"front\"), 1.75.inch]]`"),
        ));
    };
    Ok(Spot { on, first: side_and_distance(ctx, first)?, second: side_and_distance(ctx, second)? })
}

fn holes(subject: &mut Subject) {
    subject.function(
        "hole(job: job, options: map)",
        "Bores a hole square to a side. Options: on (the side it enters), from (two sides with the distances of its middle inside \
         them), through (boards, the first one first), diameter, depth (right through unless said), what (words for it). \
         Example: `job.hole(#{ on: rail.side(\"front\"), from: [[rail.side(\"left\"), 2.inch], [rail.side(\"down\"), 1.inch]], through: [rail, post], diameter: inch(\"3/8\"), what: \"carriage bolt\" });`",
        |ctx: NativeCallContext, job: &mut Job, options: Map| -> HostResult<()> {
            let options = Options::read(&ctx, "hole", options, &["on", "from", "through", "diameter", "depth", "what"])?;
            let order = HoleOrder {
                spot: spot(&ctx, &options)?,
                through: boards_of(&ctx, &value(&options, "through", "a list of boards")?)?,
                diameter: options.length("diameter")?,
                depth: options.opt_length("depth")?,
                what: options.opt_text("what")?.unwrap_or_else(|| String::from("hole")),
            };
            job.work(&ctx, |bench, origin| bench.hole(&order, origin))
        },
    );
    subject.function(
        "eye(job: job, name: text, options: map) -> bolt",
        "Sets an eye bolt through boards, nut and washer on the far side. Options: item (an eye bolt of the catalogue), on (the side \
         the eye stands off), from (two sides with the distances of its middle inside them), through (boards, the one under the eye \
         first), stands_off (from the wood to the middle of the eye). \
         Example: `let eye = job.eye(\"left front eye\", #{ item: \"eye_bolt_3_8\", on: post.side(\"left\"), from: [[post.side(\"down\"), 4.inch], [post.side(\"front\"), 1.75.inch]], through: [post], stands_off: 1.inch });`",
        eye,
    );
    subject.function(
        "chain(job: job, name: text, options: map) -> bolt",
        "Hangs a chain from an eye to a point overhead. Options: item (a chain of the catalogue), eye, hook (its place in the piece's \
         frame, [x, y, z]), radius (of the room its links turn in), links (other hardware of the line, from the piece upward). \
         Example: `let chain = job.chain(\"left front chain\", #{ item: \"chain_1_4\", eye: eye, hook: [0.mm, 10.inch, 6.feet], radius: 12.mm, links: [\"quick_link_5_16\"] });`",
        chain,
    );
    subject.property(
        "length(bolt: bolt) -> length",
        "Length of a bolt or chain as it lies. Example: `print(chain.length);`",
        |ctx: NativeCallContext, bolt: &mut BoltWord| -> HostResult<Length> {
            bolt.job.work(&ctx, |bench, _| Ok(bench.axis_length(bolt.axis)))
        },
    );
    subject.property(
        "place(bolt: bolt) -> list",
        "Place of an eye's middle, or of a chain's lower end, in the piece's frame: [x, y, z]. Example: `let z = eye.place[2];`",
        |ctx: NativeCallContext, bolt: &mut BoltWord| -> HostResult<Array> {
            let place = bolt.job.work(&ctx, |bench, _| Ok(bench.axis_start(bolt.axis)))?;
            Ok(place.to_array().map(|x| Dynamic::from(Length::mm(x))).to_vec())
        },
    );
}

fn eye(ctx: NativeCallContext, job: &mut Job, name: ImmutableString, options: Map) -> HostResult<BoltWord> {
    let options = Options::read(&ctx, "eye", options, &["item", "on", "from", "through", "stands_off"])?;
    let order = EyeOrder {
        name: name.to_string(),
        item: options.text("item")?,
        spot: spot(&ctx, &options)?,
        through: boards_of(&ctx, &value(&options, "through", "a list of boards")?)?,
        stands_off: options.length("stands_off")?,
    };
    let axis = job.work(&ctx, |bench, origin| bench.eye(&order, origin))?;
    Ok(BoltWord { job: job.clone(), axis })
}

fn chain(ctx: NativeCallContext, job: &mut Job, name: ImmutableString, options: Map) -> HostResult<BoltWord> {
    let options = Options::read(&ctx, "chain", options, &["item", "eye", "hook", "radius", "links"])?;
    let hook = lengths_of(&ctx, &value(&options, "hook", "a place, [x, y, z]")?)?;
    let [x, y, z] = hook.as_slice() else {
        return Err(options
            .refuse(Diagnostic::error("no-such-spot", "`hook` is a place of three lengths, [x, y, z]")));
    };
    let links: Vec<String> = match options.opt_take::<Array>("links", "a list of catalogue items")? {
        Some(list) => list
            .into_iter()
            .map(|link| {
                link.into_string().map_err(|_| {
                    options.refuse(Diagnostic::error("wrong-type", "`links` are names in quotes"))
                })
            })
            .collect::<HostResult<_>>()?,
        None => Vec::new(),
    };
    let order = ChainOrder {
        name: name.to_string(),
        item: options.text("item")?,
        eye: options.take::<BoltWord>("eye", "an eye set with `job.eye(..)`")?.axis,
        hook: DVec3::new(x.as_mm(), y.as_mm(), z.as_mm()),
        radius: options.length("radius")?,
        links,
    };
    let axis = job.work(&ctx, |bench, origin| bench.chain(&order, origin))?;
    Ok(BoltWord { job: job.clone(), axis })
}
