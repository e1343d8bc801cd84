//! Laying boards and groups; seat, hardware and steps.

use super::hold::{
    BoardWord, BoltWord, CurveWord, GroupWord, Job, LineWord, OutlineWord, SideWord, boards_of, items_of,
};
use crate::host::{HostResult, Options, raise};
use crate::modules::Subject;
use rhai::{Array, Dynamic, ImmutableString, Map, NativeCallContext};
use slatwork_base::{Diagnostic, Length};
use slatwork_model::bench::{BoardOrder, GroupHandle, SeatOrder, WHOLE};
use slatwork_model::{DEFECT_WORDS, Defects};

pub(super) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Boards and groups",
        "`job` is the piece being built. Its x runs to the right as seen by someone facing the seat, y to the rear, z up. \
         A group is a sub-assembly with its own frame, built flat and then turned and set as one; the first board of a \
         group is its datum and lies at the group's origin.",
    );
    subject.type_word::<Job>("job");
    subject.type_word::<GroupWord>("group");
    subject.type_word::<BoardWord>("board");
    subject.type_word::<SideWord>("side");
    subject.type_word::<CurveWord>("curve");
    subject.type_word::<LineWord>("line");
    subject.type_word::<OutlineWord>("outline");
    subject.type_word::<BoltWord>("bolt");
    boards(&mut subject);
    facts(&mut subject);
    rest(&mut subject);
    subject
}

/// Options that say what a board is cut from.
pub(super) const STOCK_OPTIONS: [&str; 10] =
    ["stock", "wood", "length", "width", "thickness", "from_wider", "nest", "defects", "glue_up", "laminate"];

/// Reads the stock options.
pub(super) fn board_order(options: &Options) -> HostResult<BoardOrder> {
    Ok(BoardOrder {
        stock: options.text("stock")?,
        wood: options.opt_text("wood")?,
        length: options.opt_length("length")?,
        width: options.opt_length("width")?,
        thickness: options.opt_length("thickness")?,
        from_wider: options.yes_no("from_wider", false)?,
        alone: !options.yes_no("nest", true)?,
        defects: defects(options)?,
        glue_up: options.opt_count("glue_up")?,
        laminate: options.opt_count("laminate")?,
    })
}

/// Which defects of a board in hand may be in it: none unless said.
fn defects(options: &Options) -> HostResult<Defects> {
    Ok(super::operate::one_of(options, "defects", &DEFECT_WORDS)?.unwrap_or_default())
}

fn lay(
    ctx: &NativeCallContext,
    job: &Job,
    group: GroupHandle,
    name: &str,
    options: Map,
) -> HostResult<BoardWord> {
    let order = board_order(&Options::read(ctx, "board", options, &STOCK_OPTIONS)?)?;
    let board = job.work(ctx, |bench, origin| bench.board(group, name, &order, origin))?;
    Ok(job.board(board))
}

fn boards(subject: &mut Subject) {
    subject.function(
        "wood(job: job, name: text)",
        "Sets the wood of every board that names none. Refuses a wood that no catalogue knows. \
         Example: `job.wood(p.wood);`",
        |ctx: NativeCallContext, job: &mut Job, name: ImmutableString| -> HostResult<()> {
            job.work(&ctx, |bench, origin| bench.set_wood(&name, origin))
        },
    );
    subject.function(
        "nest(job: job, allowed: yes/no)",
        "Whether curved boards laid from here on may be traced close together on a board and sawn apart where that is cheaper. They may \
         unless this forbids it, or `nest: false` among the options of a board or run. Example: `job.nest(p.nest);`",
        |ctx: NativeCallContext, job: &mut Job, allowed: bool| -> HostResult<()> {
            job.work(&ctx, |bench, _| {
                bench.set_nest(allowed);
                Ok(())
            })
        },
    );
    subject.function(
        "group(job: job, name: text) -> group",
        "Starts a sub-assembly with its own frame; groups may stand in groups. Example: `let seat = job.group(\"seat frame\");`",
        |ctx: NativeCallContext, job: &mut Job, name: ImmutableString| -> HostResult<GroupWord> {
            let group = job.work(&ctx, |bench, _| Ok(bench.group(WHOLE, &name)))?;
            Ok(GroupWord { job: job.clone(), group })
        },
    );
    subject.form(
        "group",
        |ctx: NativeCallContext, outer: &mut GroupWord, name: ImmutableString| -> HostResult<GroupWord> {
            let group = outer.job.work(&ctx, |bench, _| Ok(bench.group(outer.group, &name)))?;
            Ok(GroupWord { job: outer.job.clone(), group })
        },
    );
    subject.function(
        "board(group: group, name: text, options: map) -> board",
        "Lays a board. Options: stock (a section of the catalogue), length, width (ripped), thickness (planed), wood, from_wider \
         (`true`: may be ripped from a wider section of that thickness where the yard's prices make it cheaper), nest (`false`: a curved board is never traced close to others and sawn apart, see \
         `nest`), defects (\"back\" or \"any\": may have those of a board in hand, see `offcut`), glue_up \
         (how many strips of the section are glued edge to edge), laminate (how many are glued face to face). A name used before gets a number behind it. Refuses an unknown \
         section or wood, and sizes larger than the stock. Also `job.board(..)`. \
         Example: `let rail = seat.board(\"front rail\", #{ stock: \"2x4\" });`",
        |ctx: NativeCallContext, group: &mut GroupWord, name: ImmutableString, options: Map| -> HostResult<BoardWord> {
            lay(&ctx, &group.job, group.group, &name, options)
        },
    );
    subject.form(
        "board",
        |ctx: NativeCallContext,
         job: &mut Job,
         name: ImmutableString,
         options: Map|
         -> HostResult<BoardWord> { lay(&ctx, job, WHOLE, &name, options) },
    );
    subject.function(
        "boards(group: group) -> list",
        "The boards of a group, those of groups inside it included, in the order they were laid. \
         Example: `for part in back.boards() { part.soften(\"long edges\", 3.mm); }`",
        |ctx: NativeCallContext, group: &mut GroupWord| -> HostResult<Array> {
            let boards = group.job.work(&ctx, |bench, _| Ok(bench.boards_of(group.group)))?;
            Ok(group.job.boards(&boards))
        },
    );
    subject.function(
        "copy(board: board, name: text) -> board",
        "Another board like this one: same stock, sizes, lie and cuts; it must be placed itself. \
         Example: `let low = top.copy(\"lower back rail\");`",
        |ctx: NativeCallContext, board: &mut BoardWord, name: ImmutableString| -> HostResult<BoardWord> {
            let copy = board.job.work(&ctx, |bench, origin| bench.copy(board.board, &name, origin))?;
            Ok(board.job.board(copy))
        },
    );
}

fn facts(subject: &mut Subject) {
    subject.property(
        "name(board: board) -> text",
        "The board's name, as it stands on drawings and lists. Example: `print(rail.name);`",
        |ctx: NativeCallContext, board: &mut BoardWord| -> HostResult<String> {
            board.job.work(&ctx, |bench, _| Ok(bench.name(board.item()).to_string()))
        },
    );
    subject.property(
        "length(board: board) -> length",
        "Finished length so far; refuses while none is known. Example: `let half = rail.length / 2;`",
        |ctx: NativeCallContext, board: &mut BoardWord| -> HostResult<Length> {
            board.job.work(&ctx, |bench, origin| {
                bench.length_of(board.board).map_err(|fault| fault.at_origin(origin))
            })
        },
    );
    subject.property(
        "width(board: board) -> length",
        "Width as it is now: dressed or measured, less what was ripped off. Example: `let w = rail.width;`",
        |ctx: NativeCallContext, board: &mut BoardWord| -> HostResult<Length> {
            board.job.work(&ctx, |bench, _| Ok(bench.width_of(board.board)))
        },
    );
    subject.property(
        "thickness(board: board) -> length",
        "Thickness as it is now. Example: `let t = slat.thickness;`",
        |ctx: NativeCallContext, board: &mut BoardWord| -> HostResult<Length> {
            board.job.work(&ctx, |bench, _| Ok(bench.thickness_of(board.board)))
        },
    );
    subject.function(
        "stock_width(job: job, section: text) -> length",
        "Width of a section of the catalogue, dressed or as measured. Refuses an unknown section. \
         Example: `let w = job.stock_width(p.slats);`",
        |ctx: NativeCallContext, job: &mut Job, section: ImmutableString| -> HostResult<Length> {
            job.work(&ctx, |bench, origin| {
                bench.catalogue().section(&section).map(|s| s.width).map_err(|fault| fault.at_origin(origin))
            })
        },
    );
    subject.function(
        "stock_thickness(job: job, section: text) -> length",
        "Thickness of a section of the catalogue, dressed or as measured. Refuses an unknown section. \
         Example: `let t = job.stock_thickness(p.frame);`",
        |ctx: NativeCallContext, job: &mut Job, section: ImmutableString| -> HostResult<Length> {
            job.work(&ctx, |bench, origin| {
                bench
                    .catalogue()
                    .section(&section)
                    .map(|s| s.thickness)
                    .map_err(|fault| fault.at_origin(origin))
            })
        },
    );
    subject.function(
        "site_length(job: job, name: text, usual: length) -> length",
        "A measure of the place the piece goes to, or the usual one when none was given: \"hook_height\", \"hook_spacing\", \
         \"clear_rear\", \"clear_front\", \"clear_side\". Example: `let height = job.site_length(\"hook_height\", 7.feet);`",
        site_length,
    );
}

fn site_length(
    ctx: NativeCallContext,
    job: &mut Job,
    name: ImmutableString,
    usual: Length,
) -> HostResult<Length> {
    job.work(&ctx, |bench, origin| {
        let site = bench.site();
        let measures = [
            ("hook_height", site.hook_height),
            ("hook_spacing", site.hook_spacing),
            ("clear_rear", site.clear_rear),
            ("clear_front", site.clear_front),
            ("clear_side", site.clear_side),
        ];
        match measures.iter().find(|(known, _)| *known == name.as_str()) {
            Some((_, measure)) => Ok(measure.unwrap_or(usual)),
            None => {
                let known: Vec<&str> = measures.iter().map(|(known, _)| *known).collect();
                Err(Diagnostic::error("no-such-measure", format!("a site has no `{name}`"))
                    .at_origin(origin)
                    .help(format!("it has: {}", known.join(", "))))
            }
        }
    })
}

fn rest(subject: &mut Subject) {
    subject.function(
        "seat(job: job, options: map)",
        "Says what is sat on: on (slats that carry people), back (slats they lean on), arms (arm tops), places (how many sit). \
         Example: `job.seat(#{ on: slats, back: back.slats, arms: arms, places: 2 });`",
        |ctx: NativeCallContext, job: &mut Job, options: Map| -> HostResult<()> {
            let options = Options::read(&ctx, "seat", options, &["on", "back", "arms", "places"])?;
            let list = |key: &str| -> HostResult<Vec<_>> {
                options.opt_take::<Dynamic>(key, "a list of boards")?.map_or(Ok(Vec::new()), |value| boards_of(&ctx, &value))
            };
            let seat = SeatOrder {
                on: list("on")?,
                back: list("back")?,
                arms: list("arms")?,
                places: options.opt_count("places")?.unwrap_or(1),
            };
            job.work(&ctx, |bench, _| {
                bench.seat(seat);
                Ok(())
            })
        },
    );
    subject.function(
        "step(job: job, text: text)",
        "Words for a step of the assembly, in the order said. Example: `job.step(\"Bolt the leg frames and check that they stand plumb.\");`",
        |ctx: NativeCallContext, job: &mut Job, text: ImmutableString| -> HostResult<()> {
            job.work(&ctx, |bench, origin| {
                bench.step(&text, origin);
                Ok(())
            })
        },
    );
    subject.function(
        "before(job: job, first: board, then: board)",
        "Says for the assembly that some boards or groups stand before others are added: a board, a group, or a list of them on \
         either side. The planner finds the rest of the order. Refuses an order that runs in a circle. \
         Example: `job.before(seat.group, arms);`",
        |ctx: NativeCallContext, job: &mut Job, first: Dynamic, then: Dynamic| -> HostResult<()> {
            let (first, then) = (items_of(&ctx, &first)?, items_of(&ctx, &then)?);
            job.work(&ctx, |bench, origin| bench.before(&first, &then, origin))
        },
    );
    subject.function(
        "hardware(job: job, item: text, count: whole number, purpose: text)",
        "Counts pieces of hardware, or fasteners, of the catalogue. Refuses an unknown item. \
         Example: `job.hardware(\"shackle_5_16\", 4, \"between chain and hook\");`",
        |ctx: NativeCallContext,
         job: &mut Job,
         item: ImmutableString,
         count: i64,
         purpose: ImmutableString|
         -> HostResult<()> {
            let Ok(count) = usize::try_from(count) else {
                return Err(raise(
                    &ctx,
                    Diagnostic::error("negative-count", format!("{count} pieces cannot be counted")),
                ));
            };
            job.work(&ctx, |bench, origin| bench.hardware(&item, count, &purpose, origin))
        },
    );
    subject.function(
        "remark(job: job, text: text)",
        "A remark that travels with the piece and is printed with its findings. \
         Example: `job.remark(\"the middle leg stands on the ground: level it last\");`",
        |ctx: NativeCallContext, job: &mut Job, text: ImmutableString| -> HostResult<()> {
            job.work(&ctx, |bench, origin| {
                bench.find(Diagnostic::note("remark", text.as_str()).at_origin(origin));
                Ok(())
            })
        },
    );
    subject.function(
        "refuse(job: job, why: text)",
        "Stops the build: these values make no piece. For what only the build can see; conditions on parameters alone belong \
         into `f.require`. Example: `if room < 2.inch { job.refuse(\"the arms leave no room for the back\"); }`",
        |ctx: NativeCallContext, _job: &mut Job, why: ImmutableString| -> HostResult<()> {
            Err(raise(&ctx, Diagnostic::error("refused-by-family", why.as_str())))
        },
    );
}
