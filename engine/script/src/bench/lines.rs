//! Lines and outlines drawn in the script.

use super::hold::{BoardWord, CurveWord, LineWord, OutlineWord};
use crate::host::{HostResult, raise};
use crate::modules::Subject;
use rhai::{Array, Dynamic, ImmutableString, NativeCallContext};
use slatwork_base::{Angle, Diagnostic, Length, both_tapes};
use slatwork_solid::{CurveFault, DVec2, EndDirections, Path, PlaneMotion, Profile, Tag, Vertex};

pub(super) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Lines",
        "Lines are drawn on the wide face of a board: u along the grain from the low end, v across. They are kept as straight \
         pieces and arcs of circles, so that a template, a saw and a neighbour all follow the very same line.",
    );
    curves(&mut subject);
    drawing(&mut subject);
    questions(&mut subject);
    sawing(&mut subject);
    subject
}

/// Curves other than circles are kept as arcs within this of the true line, mm (a fifth of a pencil line's width).
const FAIR: f64 = 0.02;

fn fault(ctx: &NativeCallContext, fault: &CurveFault) -> Box<rhai::EvalAltResult> {
    raise(ctx, Diagnostic::error("no-such-curve", fault.to_string()))
}

fn line(ctx: &NativeCallContext, path: Result<Path, CurveFault>) -> HostResult<LineWord> {
    path.map(LineWord).map_err(|f| fault(ctx, &f))
}

fn curves(subject: &mut Subject) {
    subject.function(
        "straight(length: length) -> line",
        "A straight line from (0, 0) along u. Example: `let line = straight(20.inch);`",
        |length: Length| LineWord(Path::line(DVec2::ZERO, DVec2::new(length.as_mm(), 0.0))),
    );
    subject.function(
        "arc(chord: length, rise: length) -> line",
        "An arc of a circle over a chord from (0, 0) to (chord, 0); a negative rise makes a hollow. Refuses more than a half circle. \
         Example: `let crest = arc(48.inch, 3.inch);`",
        |ctx: NativeCallContext, chord: Length, rise: Length| {
            if rise == Length::ZERO {
                return Ok(LineWord(Path::line(DVec2::ZERO, DVec2::new(chord.as_mm(), 0.0))));
            }
            line(&ctx, slatwork_solid::circle_over(chord.as_mm(), rise.as_mm()))
        },
    );
    subject.function(
        "batten(chord: length, rise: length) -> line",
        "The line of a batten pushed at its ends: sharper at the crown than a circle. Kept as arcs within 0.02 mm. \
         Example: `let crest = batten(48.inch, 3.inch);`",
        |ctx: NativeCallContext, chord: Length, rise: Length| {
            line(&ctx, slatwork_solid::batten_thrust(chord.as_mm(), rise.as_mm(), FAIR))
        },
    );
    subject.function(
        "crowned_batten(chord: length, rise: length) -> line",
        "The line of a batten held at its ends and pushed up at its middle. Example: `let crest = crowned_batten(48.inch, 3.inch);`",
        |ctx: NativeCallContext, chord: Length, rise: Length| {
            line(&ctx, slatwork_solid::batten_crown(chord.as_mm(), rise.as_mm(), FAIR))
        },
    );
    subject.function(
        "double_bow(chord: length, rise: length) -> line",
        "Two humps with a soft valley between them. Example: `let crest = double_bow(48.inch, 3.inch);`",
        |ctx: NativeCallContext, chord: Length, rise: Length| {
            line(&ctx, slatwork_solid::double_bow(chord.as_mm(), rise.as_mm()))
        },
    );
    subject.function(
        "fair_line(points: list) -> line",
        "A fair curve through points `[[u, v], ..]`, as a batten held at them would lie; kept as arcs within 0.02 mm. Refuses \
         fewer than two points. Example: `let scoop = fair_line([[0.inch, 3.inch], [8.inch, 2.inch], [18.inch, 2.5.inch]]);`",
        |ctx: NativeCallContext, points: Array| -> HostResult<LineWord> {
            let points = points_of(&ctx, &points)?;
            line(&ctx, slatwork_solid::through(&points, FAIR, EndDirections::default()))
        },
    );
}

fn point_of(ctx: &NativeCallContext, value: &Dynamic) -> HostResult<DVec2> {
    let list = value.clone().try_cast::<Array>();
    let pair = list.as_deref().and_then(|list| match list {
        [u, v] => Some((u.clone().try_cast::<Length>()?, v.clone().try_cast::<Length>()?)),
        _ => None,
    });
    match pair {
        Some((u, v)) => Ok(DVec2::new(u.as_mm(), v.as_mm())),
        None => Err(raise(
            ctx,
            Diagnostic::error("wrong-type", "a point is two lengths in brackets")
                .help("write `[2.inch, 3.inch]`"),
        )),
    }
}

fn points_of(ctx: &NativeCallContext, points: &Array) -> HostResult<Vec<DVec2>> {
    points.iter().map(|point| point_of(ctx, point)).collect()
}

fn plain(point: DVec2) -> Vertex {
    Vertex { point, bulge: 0.0, tag: Tag(0) }
}

fn drawing(subject: &mut Subject) {
    subject.function(
        "outline(u: length, v: length) -> line",
        "Starts a line at a point; continue it with to, by, arc_to, through and round, and close it with back_home. \
         Example: `let o = outline(0.mm, 0.mm).to(20.inch, 0.mm).to(20.inch, 3.inch).to(0.mm, 3.inch).back_home();`",
        |u: Length, v: Length| LineWord(Path { vertices: vec![plain(DVec2::new(u.as_mm(), v.as_mm()))] }),
    );
    subject.function(
        "to(line: line, u: length, v: length) -> line",
        "Straight on to a point. Example: `line.to(4.inch, 2.inch)`",
        |line: &mut LineWord, u: Length, v: Length| added(line, DVec2::new(u.as_mm(), v.as_mm()), 0.0),
    );
    subject.function(
        "by(line: line, du: length, dv: length) -> line",
        "Straight on by so much. Example: `line.by(0.mm, 2.inch)`",
        |line: &mut LineWord, du: Length, dv: Length| {
            let end = line.0.end() + DVec2::new(du.as_mm(), dv.as_mm());
            added(line, end, 0.0)
        },
    );
    subject.function(
        "arc_to(line: line, u: length, v: length, radius: length) -> line",
        "On by an arc of that radius, turning left when the radius is positive, right when it is negative; always less than a half \
         circle. Refuses a radius too small to reach. Example: `line.arc_to(6.inch, 1.inch, 8.inch)`",
        arc_to,
    );
    subject.function(
        "through(line: line, points: list) -> line",
        "On by a fair curve through points. Example: `line.through([[8.inch, 2.inch], [18.inch, 3.inch]])`",
        |ctx: NativeCallContext, line: &mut LineWord, points: Array| -> HostResult<LineWord> {
            let mut all = vec![line.0.end()];
            all.extend(points_of(&ctx, &points)?);
            let curve =
                slatwork_solid::through(&all, FAIR, EndDirections::default()).map_err(|f| fault(&ctx, &f))?;
            joined(&ctx, &line.0, &curve)
        },
    );
    subject.function(
        "then(line: line, next: line) -> line",
        "On by another line, shifted so that it starts where this one ends. Example: `arc(10.inch, 1.inch).then(straight(4.inch))`",
        |ctx: NativeCallContext, line: &mut LineWord, next: LineWord| -> HostResult<LineWord> {
            let shift = line.0.end() - next.0.start();
            joined(&ctx, &line.0, &shifted(&next.0, shift))
        },
    );
    subject.function(
        "round(line: line, radius: length) -> line",
        "Rounds the corner just made, between the last two pieces. Refuses a radius that does not fit. \
         Example: `line.to(20.inch, 0.mm).to(20.inch, 3.inch).round(1.inch)`",
        |ctx: NativeCallContext, line: &mut LineWord, radius: Length| -> HostResult<LineWord> {
            let count = line.0.vertices.len();
            if count < 3 {
                return Err(raise(&ctx, Diagnostic::error("no-corner", "there is no corner to round yet")));
            }
            line.0.filleted(count - 2, radius.as_mm(), Tag(0)).map(LineWord).map_err(|f| fault(&ctx, &f))
        },
    );
    subject.function(
        "back_home(line: line) -> outline",
        "Closes the line with a straight piece to its start. Refuses an outline that crosses itself. Example: `line.back_home()`",
        |ctx: NativeCallContext, line: &mut LineWord| -> HostResult<OutlineWord> {
            let mut vertices = line.0.vertices.clone();
            if vertices.len() > 1 && vertices[0].point.distance(line.0.end()) < 1e-6 {
                vertices.pop();
            }
            let profile = Profile { vertices };
            if profile.vertices.len() < 3 && profile.vertices.iter().all(|vertex| vertex.bulge == 0.0) {
                return Err(raise(&ctx, Diagnostic::error("no-outline", "an outline has at least three corners")));
            }
            let profile = if profile.is_counter_clockwise() { profile } else { profile.reversed() };
            if profile.self_crosses() {
                return Err(raise(
                    &ctx,
                    Diagnostic::error("outline-crosses-itself", "the outline crosses itself")
                        .help("give its points in order round the part"),
                ));
            }
            Ok(OutlineWord(profile))
        },
    );
}

fn added(line: &LineWord, point: DVec2, bulge: f64) -> LineWord {
    let mut path = line.0.clone();
    if let Some(last) = path.vertices.last_mut() {
        last.bulge = bulge;
    }
    path.vertices.push(plain(point));
    LineWord(path)
}

fn arc_to(
    ctx: NativeCallContext,
    line: &mut LineWord,
    u: Length,
    v: Length,
    radius: Length,
) -> HostResult<LineWord> {
    let to = DVec2::new(u.as_mm(), v.as_mm());
    let half = line.0.end().distance(to) / 2.0;
    let r = radius.as_mm().abs();
    if r < half || half == 0.0 {
        let message = format!(
            "an arc of radius {} does not reach over {}",
            both_tapes(radius.as_mm()),
            both_tapes(2.0 * half)
        );
        return Err(raise(&ctx, Diagnostic::error("no-such-curve", message).help("use a larger radius")));
    }
    // Bulge is the rise over half the chord.
    let bulge = (r - (r * r - half * half).sqrt()) / half;
    Ok(added(line, to, if radius.is_positive() { bulge } else { -bulge }))
}

fn shifted(path: &Path, by: DVec2) -> Path {
    Path {
        vertices: path.vertices.iter().map(|vertex| Vertex { point: vertex.point + by, ..*vertex }).collect(),
    }
}

fn joined(ctx: &NativeCallContext, first: &Path, second: &Path) -> HostResult<LineWord> {
    if first.vertices.len() < 2 {
        return Ok(LineWord(second.clone()));
    }
    first.join(second).map(LineWord).map_err(|f| fault(ctx, &f))
}

fn questions(subject: &mut Subject) {
    subject.function(
        "moved(line: line, du: length, dv: length) -> line",
        "The same line elsewhere. Example: `arc(20.inch, -1.inch).moved(0.mm, 3.inch)`",
        |line: &mut LineWord, du: Length, dv: Length| {
            LineWord(shifted(&line.0, DVec2::new(du.as_mm(), dv.as_mm())))
        },
    );
    subject.function(
        "turned(line: line, angle: angle) -> line",
        "The same line turned about (0, 0), to the left when positive. Example: `straight(20.inch).turned(3.deg)`",
        |line: &mut LineWord, angle: Angle| LineWord(line.0.transformed(PlaneMotion::turn(DVec2::ZERO, angle.as_rad()))),
    );
    subject.function(
        "parallel(line: line, distance: length) -> line",
        "The line that runs beside this one at a distance, to its left when positive; arcs keep their centres. Refuses a distance \
         that an arc cannot take. Example: `let lower = scoop.parallel(-1.inch);`",
        |ctx: NativeCallContext, path: &mut LineWord, distance: Length| line(&ctx, path.0.offset(distance.as_mm())),
    );
    subject.function(
        "carried_on(line: line, by: length) -> line",
        "The line with a straight piece added at both ends, along its own direction there. Example: `scoop.carried_on(2.inch)`",
        |line: &mut LineWord, by: Length| LineWord(line.0.extended(by.as_mm())),
    );
    subject.function(
        "height_at(line: line, u: length) -> length",
        "v of the line at a place along u. Refuses a place the line does not pass over. Example: `let rise = crest.height_at(12.inch);`",
        |ctx: NativeCallContext, line: &mut LineWord, u: Length| -> HostResult<Length> {
            line.0.y_at(u.as_mm()).map(Length::mm).ok_or_else(|| {
                raise(&ctx, Diagnostic::error("line-not-there", format!("the line does not pass over {u}")))
            })
        },
    );
    subject.function(
        "slope_at(line: line, u: length) -> angle",
        "How steeply the line climbs at a place along u. Example: `let tilt = scoop.slope_at(2.inch);`",
        |ctx: NativeCallContext, line: &mut LineWord, u: Length| -> HostResult<Angle> {
            line.0.slope_at(u.as_mm()).map(|slope| Angle::from_slope(slope, 1.0)).ok_or_else(|| {
                raise(&ctx, Diagnostic::error("line-not-there", format!("the line does not pass over {u}")))
            })
        },
    );
    subject.function(
        "highest(line: line) -> length",
        "Greatest v of the line. Example: `let top = scoop.highest();`",
        |line: &mut LineWord| Length::mm(line.0.bounds().1.y),
    );
    subject.function(
        "lowest(line: line) -> length",
        "Least v of the line. Example: `let bottom = scoop.lowest();`",
        |line: &mut LineWord| Length::mm(line.0.bounds().0.y),
    );
    subject.function(
        "along(line: line) -> length",
        "Length along the line. Example: `let batten = crest.along();`",
        |line: &mut LineWord| Length::mm(line.0.length()),
    );
    subject.function(
        "line(curve: curve) -> line",
        "The outline of a board as a line of its own. Example: `let top = support.curve(\"up\").line();`",
        |ctx: NativeCallContext, curve: &mut CurveWord| -> HostResult<LineWord> {
            curve.job.work(&ctx, |bench, origin| bench.curve(&curve.curve, origin)).map(LineWord)
        },
    );
    subject.function(
        "sprung_drop(span: length, rise: length, place: length) -> length",
        "How far a slat sprung down by a rise lies below its ends, at a distance from its middle; the span is that between the inner \
         sides of its outermost bearers. Refuses a place beyond them. Example: `let drop = sprung_drop(48.inch, 10.mm, 12.inch);`",
        |ctx: NativeCallContext, span: Length, rise: Length, place: Length| -> HostResult<Length> {
            if rise == Length::ZERO {
                return Ok(Length::ZERO);
            }
            let path = slatwork_model::bench::sprung_line(span.as_mm(), rise.as_mm()).map_err(|f| fault(&ctx, &f))?;
            path.y_at(span.as_mm() / 2.0 + place.as_mm()).map(|y| Length::mm(-y)).ok_or_else(|| {
                raise(&ctx, Diagnostic::error("line-not-there", format!("{place} lies beyond that span")))
            })
        },
    );
}

fn sawing(subject: &mut Subject) {
    subject.function(
        "shape(board: board, outline: outline) -> board",
        "Saws the board to a closed outline on its wide face: u from the low end, v from the low edge. Words for it may follow. \
         Refuses an outline off the board. Example: `arm.shape(o, \"arm\");`",
        |ctx: NativeCallContext, board: &mut BoardWord, outline: OutlineWord| shape(&ctx, board, &outline, "outline"),
    );
    subject.form(
        "shape",
        |ctx: NativeCallContext, board: &mut BoardWord, outline: OutlineWord, what: ImmutableString| {
            shape(&ctx, board, &outline, &what)
        },
    );
    subject.function(
        "saw(board: board, side: text, line: line, what: text) -> board",
        "Saws one edge to a line: u along the grain from the low end, v towards that side from the opposite one; the wood beyond \
         goes. A wide face may be hollowed the same way. Example: `support.saw(\"up\", scoop, \"scoop\");`",
        |ctx: NativeCallContext, board: &mut BoardWord, side: ImmutableString, line: LineWord, what: ImmutableString| -> HostResult<BoardWord> {
            board.job.work(&ctx, |bench, origin| bench.saw(board.board, &side, &line.0, &what, origin))?;
            Ok(board.clone())
        },
    );
}

fn shape(
    ctx: &NativeCallContext,
    board: &BoardWord,
    outline: &OutlineWord,
    what: &str,
) -> HostResult<BoardWord> {
    board.job.work(ctx, |bench, origin| bench.shape(board.board, &outline.0, what, origin))?;
    Ok(board.clone())
}
