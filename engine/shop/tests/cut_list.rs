//! Cut list, steps, hole list and stops of a small bench made by hand.

mod hand;

use hand::{Board, INCH, board, catalogue, model};
use slatwork_base::{Angle, Length, Tape};
use slatwork_model::{BoardEnd, FeatureKind, Model, NotchPurpose, When};
use slatwork_shop::{ShopPlan, Value, plan};
use slatwork_solid::DVec3;
use std::fmt::Write;

fn shop(model: &Model) -> ShopPlan {
    let outcome = plan(model, &catalogue(), Tape::Inch16);
    assert_eq!(outcome.diagnostics, []);
    outcome.value.expect("everything is in the catalogue")
}

fn slat(name: &str) -> Board {
    board(name, "1x4", 40.0, 3.5, 0.75).soften("long edges", 0.25, 160.0)
}

/// A leg with a splayed foot, a notch for the rail and a bolt hole: it has a hand. `right` mirrors it through the
/// thickness: its foot is longest on the marked face and begins tan(5) x 1.5 in up the back face.
fn leg(name: &str, right: bool) -> Board {
    let (foot, bevel) = if right { (1.5 * Angle::deg(5.0).tan(), 5.0) } else { (0.0, -5.0) };
    let rail = NotchPurpose::Housing { of: String::from("rail") };
    board(name, "2x4", 16.0, 3.5, 1.5)
        .end_cut(BoardEnd::Low, foot, 0.0, bevel)
        .notch(10.0, 1.5, 0.0, 0.75, rail, When::MarkedFrom { parts: vec![String::from("rail")] })
        .hole((4.0, 1.75), 0.375, None, DVec3::NEG_Z, "carriage bolt", When::AtBench)
        .at(if right { 40.0 * INCH } else { 0.0 }, 0.0, 0.0)
}

fn bench() -> Model {
    let bored = |board: Board| {
        let after = When::InPlace { after: vec![String::from("left leg")] };
        board
            .hole(
                (2.0, 1.0),
                0.25,
                Some(1.25),
                DVec3::new(0.2, 0.0, -1.0),
                "screw, counterbored",
                When::AtBench,
            )
            .hole(
                (38.0, 1.0),
                0.25,
                Some(1.25),
                DVec3::new(-0.2, 0.0, -1.0),
                "screw, counterbored",
                When::AtBench,
            )
            .hole((20.0, 1.75), 0.5, None, DVec3::NEG_Z, "clearance for chain", after)
    };
    model(vec![
        slat("seat slat 1"),
        slat("seat slat 2"),
        leg("left leg", false),
        leg("right leg", true),
        bored(board("rail", "2x4", 40.0, 2.5, 1.5)),
        board("crest", "1x4", 40.0, 3.5, 0.75).arched(2.0, 0.06),
        board("filler", "1x4", 40.0 + 1.0 / 64.0, 1.25, 0.75),
    ])
}

/// 1.5 in of thickness at 1 in 4 (atan 0.25): the walls stand 3/8 in nearer to the far end on the marked face.
#[test]
fn a_notch_with_leaning_walls_is_marked_out_on_both_faces() {
    let lean = Angle::rad(slatwork_base::maths::atan(0.25)).as_deg();
    let cope = NotchPurpose::Cope { around: String::from("rear leg") };
    let arm =
        board("arm", "2x4", 20.0, 3.5, 1.5).notch(10.0, 2.0, 0.0, 1.0, cope, When::AtBench).leaned(lean);
    let plan = shop(&model(vec![arm]));
    let steps = &plan.cut_list.rows[0].steps;
    let step = steps.iter().find(|step| step.words.starts_with("Cope")).expect("a cope");
    assert_eq!(
        step.words,
        "Cope round rear leg: on the marked face 10 3/8\" from the datum end, 2\" along, 1\" in from the datum edge; \
         on the back face 10\" from the datum end, 2\" along, through; walls lean up to 14° from square; 1/16\" play"
    );
}

#[test]
fn a_cope_says_when_it_takes_the_end_and_when_it_fits_close() {
    let cope = || NotchPurpose::Cope { around: String::from("leg") };
    let words = |x: f64, across: f64, play: f64| {
        let slat = board("slat", "1x4", 20.0, 3.5, 0.75).notch(x, 2.0, 0.0, across, cope(), When::AtBench);
        let mut piece = model(vec![slat]);
        for feature in &mut piece.parts[0].features {
            if let FeatureKind::Notch { clearance, .. } = &mut feature.kind {
                *clearance = Length::mm(play);
            }
        }
        let plan = shop(&piece);
        let steps = &plan.cut_list.rows[0].steps;
        steps.iter().find(|step| step.words.starts_with("Cope")).expect("a cope").words.clone()
    };
    let whole = "right across, through: the whole end comes off; 1/16\" play";
    assert!(words(0.0, 3.5, 1.5875).ends_with(whole), "{}", words(0.0, 3.5, 1.5875));
    assert!(words(18.0, 3.5, 1.5875).ends_with(whole), "{}", words(18.0, 3.5, 1.5875));
    assert!(
        !words(9.0, 3.5, 1.5875).contains("end comes off")
            && !words(0.0, 1.0, 1.5875).contains("end comes off")
    );
    assert!(words(0.0, 1.0, 0.5).ends_with("through; a close fit"), "{}", words(0.0, 1.0, 0.5));
}

#[test]
fn the_cut_list_reads_like_a_bench_plan() {
    let plan = shop(&bench());
    let mut text = String::new();
    for row in &plan.cut_list.rows {
        let sizes = [row.length, row.width, row.thickness].map(|size| plan.reading.text(size)).join(" x ");
        writeln!(
            text,
            "{} {} x{} ({}) {} {sizes}",
            row.mark, row.name, row.quantity, row.hand_word, row.section
        )
        .unwrap();
        if let Some((mate, words)) = &row.pair {
            writeln!(text, "  with {mate}: {words}").unwrap();
        }
        for step in &row.steps {
            writeln!(text, "  {}: {} [{}]", step.work.word(), step.words, step.when).unwrap();
        }
    }
    insta::assert_snapshot!(text);
}

fn show(value: &Value) -> String {
    match value {
        Value::Empty => String::from("-"),
        Value::Text(text) => text.clone(),
        Value::Count(count) => count.to_string(),
        Value::Number(number) => format!("{number:.6}"),
        Value::Length(length) => format!("{} = {}", length.mm_text(6), Tape::Inch16.text(*length)),
        Value::Angle(angle) => angle.to_string(),
        Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_string(),
    }
}

fn lines(table: &slatwork_shop::Table) -> String {
    let heading = table.columns.iter().map(|column| column.key).collect::<Vec<_>>().join(" | ");
    let rows = table.rows.iter().map(|row| row.iter().map(show).collect::<Vec<_>>().join(" | "));
    std::iter::once(heading).chain(rows).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_hole_list_gives_exact_and_tape() {
    insta::assert_snapshot!(lines(&shop(&bench()).holes_table()));
}

#[test]
fn planes_notches_and_outlines_are_exact() {
    let plan = shop(&bench());
    let tables = [plan.planes_table(), plan.notches_table(), plan.notch_walls_table(), plan.outlines_table()];
    insta::assert_snapshot!(tables.iter().map(lines).collect::<Vec<_>>().join("\n\n"));
}

#[test]
fn stops_are_gathered_over_sets() {
    insta::assert_snapshot!(lines(&shop(&bench()).stops_table()));
}

/// Filler and slats differ by a 64th and read the same sixteenth: one stop, with the exact measures beside it.
#[test]
fn lengths_within_a_tape_mark_share_a_stop() {
    let plan = shop(&bench());
    let square = &plan.stops.crosscuts[0];
    assert_eq!((square.mitre.as_deg(), square.bevel.as_deg()), (0.0, 0.0));
    let stop =
        square.stops.iter().find(|stop| stop.mark == Length::inch(40.0)).expect("slats, rail and filler");
    assert_eq!(stop.items.iter().map(|item| item.count).sum::<usize>(), 4);
    assert_eq!((stop.least, stop.most), (Length::inch(40.0), Length::inch(40.0) + Length::sixty_fourths(1)));
    let marks: Vec<Length> = square.stops.iter().map(|stop| stop.mark).collect();
    assert!(marks.is_sorted_by(|a, b| a > b), "longest first: {marks:?}");
}

#[test]
fn every_table_is_square_and_keeps_its_kinds() {
    for table in shop(&bench()).tables() {
        for row in &table.rows {
            assert_eq!(row.len(), table.columns.len(), "{}", table.name);
            for (value, column) in row.iter().zip(&table.columns) {
                assert!(value.suits(column.unit), "{} {}: {value:?}", table.name, column.key);
            }
        }
    }
}

/// The band saw of a small shop takes 6 in: two crests 1 1/2 in thick lie in one stack, of nine four at a time; of 3 1/2 in
/// stock one at a time.
#[test]
fn outlines_are_sawn_in_stacks_that_the_band_saw_takes() {
    let words = |count: usize, section: &str, thick: f64| {
        let crest = |index| board(&format!("crest {index}"), section, 40.0, 3.5, thick).arched(2.0, 0.06);
        let plan = shop(&model((0..count).map(crest).collect()));
        let step = plan.cut_list.rows[0].steps.iter().find(|step| step.words.contains("pattern"));
        step.expect("it is sawn to a pattern").words.clone()
    };
    assert!(words(2, "2x4", 1.5).ends_with("; both in one stack, 3\" high"));
    assert!(words(9, "2x4", 1.5).ends_with("; in stacks of 4, 6\" high"));
    assert!(!words(2, "4x4", 3.5).contains("stack"));
}

/// The crosscut saw of a small shop reaches through 3 1/2 in: a square 4x4 in one cut, a square 6x6 in two.
#[test]
fn a_post_that_the_blade_does_not_reach_through_is_sawn_from_two_faces() {
    let words = |section: &str, thick: f64| {
        let plan = shop(&model(vec![board("post", section, 20.0, thick, thick)]));
        plan.cut_list.rows[0].steps.iter().map(|step| step.words.clone()).collect::<Vec<_>>().join("; ")
    };
    assert!(
        words("6x6", 5.5).contains("Crosscut square to 20\", sawn from two faces"),
        "{}",
        words("6x6", 5.5)
    );
    assert!(!words("4x4", 3.5).contains("two faces"), "{}", words("4x4", 3.5));
}
