//! The relations and sizes.

use super::hold::{BoardWord, CurveWord, GroupWord, Job, SideWord, boards_of, item_of};
use crate::host::HostResult;
use crate::modules::Subject;
use rhai::{Array, Dynamic, ImmutableString, NativeCallContext};
use slatwork_base::{Angle, Length};
use slatwork_model::bench::{Among, BoardId, CurveRef, Direction, Item, Side};

pub(super) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Relations",
        "A part is placed by how it meets parts already placed; each relation fixes one direction and is taken at once, in the \
         order said. Directions are right, left, front, rear, up and down, as seen by someone facing the seat; inside a group \
         they are the group's own. Two relations along one direction, a size said twice, or a part left free are refused.",
    );
    sides(&mut subject);
    lies(&mut subject);
    meets(&mut subject);
    middles(&mut subject);
    sizes(&mut subject);
    many(&mut subject);
    subject
}

type Word = ImmutableString;

fn side(ctx: &NativeCallContext, job: &Job, item: Item, word: &str, among: Among) -> HostResult<SideWord> {
    job.work(ctx, |bench, origin| bench.side(item, word, among, origin)).map(SideWord)
}

fn sides(subject: &mut Subject) {
    subject.function(
        "side(part: board, direction: text) -> side",
        "The side that looks most nearly that way; of a group, how far it reaches. Refuses a side in doubt, as on a board turned \
         by 45 degrees. Example: `post.against(\"front\", rail.side(\"rear\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, word: Word| {
            side(&ctx, &board.job, board.item(), &word, Among::Sides)
        },
    );
    subject.form("side", |ctx: NativeCallContext, group: &mut GroupWord, word: Word| {
        side(&ctx, &group.job, group.item(), &word, Among::Sides)
    });
    subject.function(
        "end(board: board, direction: text) -> side",
        "The end (across the grain) that looks most nearly that way. Example: `rear.against(\"front\", support.end(\"rear\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, word: Word| side(&ctx, &board.job, board.item(), &word, Among::Ends),
    );
    subject.function(
        "edge(board: board, direction: text) -> side",
        "The narrow edge along the grain that looks most nearly that way. Example: `slat.flush(\"rear\", rail.edge(\"rear\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, word: Word| side(&ctx, &board.job, board.item(), &word, Among::Edges),
    );
    subject.function(
        "face(board: board, direction: text) -> side",
        "The wide face that looks most nearly that way. Example: `brace.against(\"left\", post.face(\"right\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, word: Word| side(&ctx, &board.job, board.item(), &word, Among::Faces),
    );
    subject.function(
        "sawn_side(board: board, direction: text, along: length) -> side",
        "The side that looks that way on a part sawn to an outline, at a place along its grain from the low end: the plane that \
         touches the outline there. Refuses a place the outline does not pass over. \
         Example: `rail.against(\"rear\", leg.sawn_side(\"front\", 30.inch));`",
        |ctx: NativeCallContext, board: &mut BoardWord, word: Word, along: Length| -> HostResult<SideWord> {
            board.job.work(&ctx, |bench, origin| bench.sawn_side(board.board, &word, along, origin)).map(SideWord)
        },
    );
    subject.function(
        "curve(board: board, direction: text) -> curve",
        "The outline that looks that way, straight or sawn: u along the grain from the low end, v towards that direction from the \
         opposite edge. Example: `rail.carry_on(\"up\", support.curve(\"up\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, word: Word| -> HostResult<CurveWord> {
            let direction = board.job.work(&ctx, |_, origin| Direction::parse(&word).map_err(|fault| fault.at_origin(origin)))?;
            Ok(CurveWord { job: board.job.clone(), curve: CurveRef { board: board.board, direction } })
        },
    );
}

fn lies(subject: &mut Subject) {
    subject.function(
        "lie(board: board, grain: text, face: text) -> board",
        "Lays the board: its grain runs one way, its wide face looks another. Comes before any other relation; a board not laid \
         lies as `lie(\"right\", \"up\")`. Its low end is where the grain starts. Example: `rail.lie(\"right\", \"front\");`",
        |ctx: NativeCallContext, board: &mut BoardWord, grain: Word, face: Word| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.lie(board.board, &grain, &face, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "turn(part: board, axis: text, angle: angle) -> board",
        "Turns a part or group on top of its lie, about an axis that points that way, clockwise as seen looking along it. \
         Before it is placed. Example: `slat.turn(\"front\", 4.deg);`",
        |ctx: NativeCallContext, board: &mut BoardWord, axis: Word, angle: Angle| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.turn(board.item(), &axis, angle, origin))?;
            Ok(board.clone())
        },
    );
    subject.form(
        "turn",
        |ctx: NativeCallContext, group: &mut GroupWord, axis: Word, angle: Angle| -> HostResult<GroupWord> {
            group.job.work(&ctx, |bench, origin| bench.turn(group.item(), &axis, angle, origin))?;
            Ok(group.clone())
        },
    );
    subject.function(
        "lean(part: group, angle: angle) -> group",
        "Leans a part or group backwards: its top goes to the rear. Before it is placed. Example: `back.lean(18.deg);`",
        |ctx: NativeCallContext, group: &mut GroupWord, angle: Angle| -> HostResult<GroupWord> {
            group.job.work(&ctx, |bench, origin| bench.lean(group.item(), angle, origin))?;
            Ok(group.clone())
        },
    );
    subject.form(
        "lean",
        |ctx: NativeCallContext, board: &mut BoardWord, angle: Angle| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.lean(board.item(), angle, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "at(part: board, x: length, y: length, z: length) -> board",
        "Coordinates of the lowest left front corner in its group's frame, where no relation says it better; with a direction (right, \
         rear or up) and one length, along that direction only. \
         Example: `leg.at(0.mm, 0.mm, 0.mm);`",
        |ctx: NativeCallContext,
         board: &mut BoardWord,
         x: Length,
         y: Length,
         z: Length|
         -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.at(board.item(), x, y, z, origin))?;
            Ok(board.clone())
        },
    );
    subject.form(
        "at",
        |ctx: NativeCallContext,
         board: &mut BoardWord,
         direction: Word,
         place: Length|
         -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.at_along(board.item(), &direction, place, origin))?;
            Ok(board.clone())
        },
    );
    subject.form(
        "at",
        |ctx: NativeCallContext,
         group: &mut GroupWord,
         x: Length,
         y: Length,
         z: Length|
         -> HostResult<GroupWord> {
            group.job.work(&ctx, |bench, origin| bench.at(group.item(), x, y, z, origin))?;
            Ok(group.clone())
        },
    );
    subject.form(
        "at",
        |ctx: NativeCallContext,
         group: &mut GroupWord,
         direction: Word,
         place: Length|
         -> HostResult<GroupWord> {
            group.job.work(&ctx, |bench, origin| bench.at_along(group.item(), &direction, place, origin))?;
            Ok(group.clone())
        },
    );
}

fn against(
    ctx: &NativeCallContext,
    job: &Job,
    item: Item,
    mine: &str,
    side: &Side,
    gap: Length,
) -> HostResult<()> {
    job.work(ctx, |bench, origin| bench.against(item, mine, side, gap, origin))
}

fn flush(
    ctx: &NativeCallContext,
    job: &Job,
    item: Item,
    mine: &str,
    side: &Side,
    back: Length,
) -> HostResult<()> {
    job.work(ctx, |bench, origin| bench.flush(item, mine, side, back, origin))
}

fn meets(subject: &mut Subject) {
    subject.function(
        "against(part: board, my_side: text, side: side) -> board",
        "My side touches that side, facing it; the contact is declared and checked. A length may follow: then it stands that far \
         off. A group meets it with its outermost reach. Refuses sides that are not parallel. \
         Example: `post.against(\"front\", rail.side(\"rear\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, mine: Word, side: SideWord| -> HostResult<BoardWord> {
            against(&ctx, &board.job, board.item(), &mine, &side.0, Length::ZERO)?;
            Ok(board.clone())
        },
    );
    subject.form(
        "against",
        |ctx: NativeCallContext,
         board: &mut BoardWord,
         mine: Word,
         side: SideWord,
         gap: Length|
         -> HostResult<BoardWord> {
            against(&ctx, &board.job, board.item(), &mine, &side.0, gap)?;
            Ok(board.clone())
        },
    );
    subject.form(
        "against",
        |ctx: NativeCallContext,
         group: &mut GroupWord,
         mine: Word,
         side: SideWord|
         -> HostResult<GroupWord> {
            against(&ctx, &group.job, group.item(), &mine, &side.0, Length::ZERO)?;
            Ok(group.clone())
        },
    );
    subject.form(
        "against",
        |ctx: NativeCallContext,
         group: &mut GroupWord,
         mine: Word,
         side: SideWord,
         gap: Length|
         -> HostResult<GroupWord> {
            against(&ctx, &group.job, group.item(), &mine, &side.0, gap)?;
            Ok(group.clone())
        },
    );
    subject.function(
        "bevel_into(board: board, my_edge: text, side: side) -> board",
        "Sets an edge into the plane of a side that leans and bevels it to suit: against it when they face each other (the contact is \
         declared), flush with it when both look the same way. One face keeps its full width. Refuses an edge nearly square to the \
         side. Example: `arm_rail.bevel_into(\"front\", low_rail.side(\"front\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, mine: Word, side: SideWord| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.bevel_into(board.board, &mine, &side.0, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "flush(part: board, my_side: text, side: side) -> board",
        "My side and that side look the same way and lie in one plane; a length may follow: then mine is set in by that much. \
         Example: `post.flush(\"left\", rail.end(\"left\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, mine: Word, side: SideWord| -> HostResult<BoardWord> {
            flush(&ctx, &board.job, board.item(), &mine, &side.0, Length::ZERO)?;
            Ok(board.clone())
        },
    );
    subject.form(
        "flush",
        |ctx: NativeCallContext,
         board: &mut BoardWord,
         mine: Word,
         side: SideWord,
         back: Length|
         -> HostResult<BoardWord> {
            flush(&ctx, &board.job, board.item(), &mine, &side.0, back)?;
            Ok(board.clone())
        },
    );
    subject.form(
        "flush",
        |ctx: NativeCallContext,
         group: &mut GroupWord,
         mine: Word,
         side: SideWord|
         -> HostResult<GroupWord> {
            flush(&ctx, &group.job, group.item(), &mine, &side.0, Length::ZERO)?;
            Ok(group.clone())
        },
    );
    subject.form(
        "flush",
        |ctx: NativeCallContext,
         group: &mut GroupWord,
         mine: Word,
         side: SideWord,
         back: Length|
         -> HostResult<GroupWord> {
            flush(&ctx, &group.job, group.item(), &mine, &side.0, back)?;
            Ok(group.clone())
        },
    );
    subject.function(
        "let_into(board: board, my_side: text, side: side, depth: length) -> board",
        "As against, sunk in by a depth; the other board gets the housing. Example: `rail.let_into(\"left\", post.side(\"right\"), 10.mm);`",
        |ctx: NativeCallContext, board: &mut BoardWord, mine: Word, side: SideWord, depth: Length| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.let_into(board.board, &mine, &side.0, depth, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "between(board: board, a: side, b: side) -> board",
        "Reaches from one side to the other: finds the length, fixes one direction, and cuts each end to the side it meets, \
         leaning twice if need be. Both contacts are declared. Refuses sides that leave no room or never meet it. \
         Example: `rail.between(left.side(\"right\"), right.side(\"left\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, a: SideWord, b: SideWord| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.between(board.board, &a.0, &b.0, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "meets_at(board: board, my_edge: text, side: side, from: side, distance: length) -> board",
        "For a brace: my edge passes where that side lies a distance off another, on the way the other looks, which is how a brace is \
         marked on its post. It fixes one direction; `between` then gives the length and the ends. \
         Example: `brace.meets_at(\"down\", post.side(\"right\"), rail.side(\"down\"), 14.inch);`",
        |ctx: NativeCallContext,
         board: &mut BoardWord,
         mine: Word,
         side: SideWord,
         from: SideWord,
         distance: Length|
         -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| {
                bench.meets_at(board.board, &mine, &side.0, (&from.0, distance), origin)
            })?;
            Ok(board.clone())
        },
    );
    subject.function(
        "touches(part: board, other: board) -> board",
        "Declares that two parts already placed touch; checked when the piece is finished. The other may be a group. \
         Example: `arm.touches(rear_post);`",
        |ctx: NativeCallContext, board: &mut BoardWord, other: Dynamic| -> HostResult<BoardWord> {
            let other = item_of(&ctx, &other)?;
            board.job.work(&ctx, |bench, origin| {
                bench.touches(board.item(), other, origin);
                Ok(())
            })?;
            Ok(board.clone())
        },
    );
}

fn middles(subject: &mut Subject) {
    subject.function(
        "centre(part: board, a: side, b: side) -> board",
        "Half way between two parallel sides. With a direction and a part or group in their place: in the middle of that, along \
         that direction. Example: `rear.centre(\"right\", front);`",
        |ctx: NativeCallContext, board: &mut BoardWord, a: SideWord, b: SideWord| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.centre_between(board.item(), &a.0, &b.0, origin))?;
            Ok(board.clone())
        },
    );
    subject.form(
        "centre",
        |ctx: NativeCallContext, group: &mut GroupWord, a: SideWord, b: SideWord| -> HostResult<GroupWord> {
            group.job.work(&ctx, |bench, origin| bench.centre_between(group.item(), &a.0, &b.0, origin))?;
            Ok(group.clone())
        },
    );
    subject.form(
        "centre",
        |ctx: NativeCallContext,
         board: &mut BoardWord,
         direction: Word,
         other: Dynamic|
         -> HostResult<BoardWord> {
            let other = item_of(&ctx, &other)?;
            board.job.work(&ctx, |bench, origin| bench.centre_on(board.item(), &direction, other, origin))?;
            Ok(board.clone())
        },
    );
    subject.form(
        "centre",
        |ctx: NativeCallContext,
         group: &mut GroupWord,
         direction: Word,
         other: Dynamic|
         -> HostResult<GroupWord> {
            let other = item_of(&ctx, &other)?;
            group.job.work(&ctx, |bench, origin| bench.centre_on(group.item(), &direction, other, origin))?;
            Ok(group.clone())
        },
    );
}

fn sizes(subject: &mut Subject) {
    subject.form(
        "length",
        |ctx: NativeCallContext, board: &mut BoardWord, length: Length| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.length(board.board, length, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "rip(board: board, width: length) -> board",
        "Rips the board to a width: a step in the shop. Refuses more than the stock has. Example: `slat.rip(inch(\"2 3/4\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, width: Length| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.rip(board.board, width, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "plane(board: board, thickness: length) -> board",
        "Planes the board to a thickness: a step in the shop. Example: `slat.plane(inch(\"5/8\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, thickness: Length| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.plane_to(board.board, thickness, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "match_width(board: board, side: side) -> board",
        "Rips the board as wide as that side reaches: a rail as high as the end it closes. \
         Example: `rear.match_width(support.end(\"rear\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, side: SideWord| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.match_width(board.board, &side.0, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "carry_on(board: board, edge: text, curve: curve) -> board",
        "Planes that edge so that it carries the neighbour's line on, and rips the board to suit. \
         A length may follow: then it stays that far below. Example: `front.carry_on(\"up\", support.curve(\"up\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, edge: Word, curve: CurveWord| {
            carry_on(&ctx, board, &edge, &curve, Length::ZERO)
        },
    );
    subject.form(
        "carry_on",
        |ctx: NativeCallContext, board: &mut BoardWord, edge: Word, curve: CurveWord, below: Length| {
            carry_on(&ctx, board, &edge, &curve, below)
        },
    );
    subject.function(
        "cut_to(board: board, end: text, side: side) -> board",
        "Cuts an end along the plane of a side, leaning twice if need be, and sets the length to suit. \
         Example: `stile.cut_to(\"down\", rail.side(\"down\"));`",
        |ctx: NativeCallContext, board: &mut BoardWord, end: Word, side: SideWord| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.cut_to(board.board, &end, &side.0, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "soften(board: board, edges: text, radius: length) -> board",
        "Rounds edges over: \"long edges\", \"upper long edges\", \"ends\" or \"all edges\". Counted and drawn, not cut from the \
         solid. Example: `slat.soften(\"long edges\", 6.mm);`",
        |ctx: NativeCallContext, board: &mut BoardWord, edges: Word, radius: Length| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.soften(board.board, &edges, radius, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "fit(board: board, trim: text, allowance: length) -> board",
        "The board is fitted at the bench: left too big by an allowance and trimmed at that edge or end. \
         Example: `filler.fit(\"rear edge\", 5.mm);`",
        |ctx: NativeCallContext,
         board: &mut BoardWord,
         trim: Word,
         allowance: Length|
         -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.fit(board.board, &trim, allowance, origin))?;
            Ok(board.clone())
        },
    );
    subject.function(
        "in_place_after(board: board, others: list) -> board",
        "Says that the last thing done to the board is done with it in place, once the others stand: a crest sawn after the slats are \
         on, a hole bored through two parts at once. Example: `slat.saw(\"up\", crest, \"crest\").in_place_after(rails);`",
        |ctx: NativeCallContext, board: &mut BoardWord, others: Dynamic| made(&ctx, board, false, &others),
    );
    subject.function(
        "marked_from(board: board, others: list) -> board",
        "Says that the last thing done to the board is marked from the others, held in their place, and then cut. \
         Example: `filler.cut_to(\"right\", post.side(\"left\")).marked_from([post]);`",
        |ctx: NativeCallContext, board: &mut BoardWord, others: Dynamic| made(&ctx, board, true, &others),
    );
}

fn made(ctx: &NativeCallContext, board: &BoardWord, marked: bool, others: &Dynamic) -> HostResult<BoardWord> {
    let others = boards_of(ctx, others)?;
    board.job.work(ctx, |bench, origin| bench.made(board.board, marked, &others, origin))?;
    Ok(board.clone())
}

fn carry_on(
    ctx: &NativeCallContext,
    board: &BoardWord,
    edge: &str,
    curve: &CurveWord,
    below: Length,
) -> HostResult<BoardWord> {
    board.job.work(ctx, |bench, origin| bench.carry_on(board.board, edge, &curve.curve, below, origin))?;
    Ok(board.clone())
}

fn mirrored(
    ctx: &NativeCallContext,
    board: &BoardWord,
    across: &str,
    about: Option<Item>,
) -> HostResult<BoardWord> {
    let image: BoardId =
        board.job.work(ctx, |bench, origin| bench.mirror(board.board, across, about, origin))?;
    Ok(board.job.board(image))
}

fn mirrored_group(
    ctx: &NativeCallContext,
    group: &GroupWord,
    across: &str,
    about: Option<Item>,
) -> HostResult<GroupWord> {
    let (image, _) =
        group.job.work(ctx, |bench, origin| bench.mirror_group(group.group, across, about, origin))?;
    Ok(GroupWord { job: group.job.clone(), group: image })
}

fn space(
    ctx: &NativeCallContext,
    job: &Job,
    count: i64,
    board: &BoardWord,
    sides: (&SideWord, &SideWord),
    ends: bool,
) -> HostResult<Array> {
    let count = usize::try_from(count).unwrap_or(0);
    let boards =
        job.work(ctx, |bench, origin| bench.space(count, board.board, &sides.0.0, &sides.1.0, ends, origin))?;
    Ok(job.boards(&boards))
}

fn many(subject: &mut Subject) {
    subject.function(
        "mirror(part: board, across: text) -> board",
        "The mirror image of a board about the middle plane of its group across that direction; of a group, about the piece. A \
         board or group may follow: then about its middle. Example: `let posts = [post, post.mirror(\"right\", rail)];`",
        |ctx: NativeCallContext, board: &mut BoardWord, across: Word| mirrored(&ctx, board, &across, None),
    );
    subject.form(
        "mirror",
        |ctx: NativeCallContext,
         board: &mut BoardWord,
         across: Word,
         about: Dynamic|
         -> HostResult<BoardWord> {
            let about = item_of(&ctx, &about)?;
            mirrored(&ctx, board, &across, Some(about))
        },
    );
    subject.form("mirror", |ctx: NativeCallContext, group: &mut GroupWord, across: Word| {
        mirrored_group(&ctx, group, &across, None)
    });
    subject.form(
        "mirror",
        |ctx: NativeCallContext,
         group: &mut GroupWord,
         across: Word,
         about: Dynamic|
         -> HostResult<GroupWord> {
            let about = item_of(&ctx, &about)?;
            mirrored_group(&ctx, group, &across, Some(about))
        },
    );
    subject.function(
        "space(job: job, count: whole number, part: board, from: side, to: side) -> list",
        "That many copies of a board with equal gaps between two facing sides, gaps at both ends included. \
         Example: `let middle = job.space(2, support, left.side(\"right\"), right.side(\"left\"));`",
        |ctx: NativeCallContext, job: &mut Job, count: i64, part: BoardWord, from: SideWord, to: SideWord| {
            space(&ctx, job, count, &part, (&from, &to), false)
        },
    );
    subject.function(
        "space_full(job: job, count: whole number, part: board, from: side, to: side) -> list",
        "As space, but the first and the last copy touch the sides. \
         Example: `let slats = job.space_full(7, slat, left.side(\"right\"), right.side(\"left\"));`",
        |ctx: NativeCallContext, job: &mut Job, count: i64, part: BoardWord, from: SideWord, to: SideWord| {
            space(&ctx, job, count, &part, (&from, &to), true)
        },
    );
    subject.function(
        "reach(part: board, direction: text) -> length",
        "Where a part or group ends in that direction, measured in the piece's own frame: to the right, to the rear or up positive. \
         Example: `let top = seat.reach(\"up\");`",
        |ctx: NativeCallContext, board: &mut BoardWord, direction: Word| reach(&ctx, &board.job, board.item(), &direction),
    );
    subject.form("reach", |ctx: NativeCallContext, group: &mut GroupWord, direction: Word| {
        reach(&ctx, &group.job, group.item(), &direction)
    });
    // Kept beside the others so that a list of boards can be told from one board everywhere.
    subject.function(
        "all(parts: list) -> list",
        "Boards from lists in lists, as one flat list. Example: `let frame = all([posts, supports, rail]);`",
        |ctx: NativeCallContext, parts: Array| -> HostResult<Array> { flat(&ctx, parts) },
    );
}

fn flat(ctx: &NativeCallContext, parts: Array) -> HostResult<Array> {
    let mut list = Array::new();
    for part in parts {
        match part.clone().try_cast::<Array>() {
            Some(inner) => list.extend(flat(ctx, inner)?),
            None => {
                boards_of(ctx, &part)?;
                list.push(part);
            }
        }
    }
    Ok(list)
}

fn reach(ctx: &NativeCallContext, job: &Job, item: Item, direction: &str) -> HostResult<Length> {
    job.work(ctx, |bench, origin| bench.outermost(item, direction, origin))
}
