//! Templates over sheets: joined again they are the whole, crosses lie on one another, seams keep clear where they can.

use proptest::prelude::*;
use slatwork_base::{Angle, Length, Tape};
use slatwork_output::template::{
    Late, PatternOf, PrintPaper, Printing, Stroke, Template, Tiling, Window, calibration, half_pattern,
    pages, pattern, tile, whole,
};
use slatwork_output::{Corner, Figure, Item, LineClass, Sheet, pdf};
use slatwork_shop::{Along, BoardSide, BoreStep, HoleRow};
use slatwork_solid::{DVec2, DVec3, HalfSpace, Notch, Shape, Solid, Tag, Tolerance, build};

/// A board with a rounded end and holes.
fn board(length: f64, width: f64, holes: &[(f64, f64)]) -> Template {
    let corner = |x, y, bulge| Corner { point: DVec2::new(x, y), bulge };
    let bow = 0.2;
    let corners = vec![
        corner(0.0, 0.0, 0.0),
        corner(length, 0.0, bow),
        corner(length, width, 0.0),
        corner(0.0, width, -bow / 2.0),
    ];
    let outline = Figure::Polyline { corners, closed: true };
    let mut items = vec![Item { class: LineClass::Cut, figure: outline }];
    let mut clear = Vec::new();
    for (x, y) in holes {
        let centre = DVec2::new(*x, *y);
        items.push(Item { class: LineClass::Drill, figure: Figure::Circle { centre, radius: 4.0 } });
        clear.push((Window::round(centre, 6.0), 2.0));
    }
    Template { mark: "A".into(), name: "board".into(), items, clear, ..Template::default() }
}

fn strokes(items: &[Item]) -> Vec<Stroke> {
    let drawn = items.iter().filter(|item| matches!(item.class, LineClass::Cut | LineClass::Drill));
    drawn.flat_map(|item| Stroke::of(&item.figure)).collect()
}

/// How far the worst point of some strokes lies off others.
fn farthest(of: &[Stroke], from: &[Stroke]) -> f64 {
    let points = of.iter().flat_map(|stroke| {
        let count = (stroke.length() / 2.0).ceil() as u32 + 1;
        (0..=count).map(move |i| stroke.point(f64::from(i) / f64::from(count)))
    });
    let off = |point: DVec2| from.iter().map(|own| own.distance(point)).fold(f64::INFINITY, f64::min);
    points.map(off).fold(0.0, f64::max)
}

/// The crosses of a sheet: centres of the circles of registration marks, with the label that stands nearest.
fn crosses(sheet: &Sheet) -> Vec<(String, DVec2)> {
    let labels: Vec<(String, DVec2)> = sheet
        .items
        .iter()
        .filter_map(|item| match &item.figure {
            Figure::Text(text) if item.class == LineClass::Dimension && text.text.contains('-') => {
                Some((text.text.clone(), text.at))
            }
            _ => None,
        })
        .collect();
    let circles = sheet.items.iter().filter_map(|item| match item.figure {
        Figure::Circle { centre, .. } if item.class == LineClass::Edge => Some(centre),
        _ => None,
    });
    circles
        .filter_map(|centre| {
            let nearest =
                labels.iter().min_by(|a, b| a.1.distance(centre).total_cmp(&b.1.distance(centre)))?;
            Some((nearest.0.clone(), centre))
        })
        .collect()
}

/// The drawn sheets, each with the shift from the template to it.
fn drawn(template: &Template, printing: &Printing, tiling: &Tiling) -> Vec<(Sheet, DVec2)> {
    let sheets: Vec<Sheet> =
        pages(template, printing, "0").drawn.into_iter().map(|page| page.sheet).collect();
    assert_eq!(sheets.len(), tiling.tiles.len());
    // The border of the drawing is the only rectangle of dimension lines.
    let origin = |sheet: &Sheet| {
        sheet.items.iter().find_map(|item| match &item.figure {
            Figure::Polyline { corners, .. } if item.class == LineClass::Dimension => Some(corners[0].point),
            _ => None,
        })
    };
    let shifts: Vec<DVec2> = sheets
        .iter()
        .zip(&tiling.tiles)
        .map(|(sheet, tile)| origin(sheet).expect("a border") - tile.window.low)
        .collect();
    sheets.into_iter().zip(shifts).collect()
}

fn printing() -> impl Strategy<Value = Printing> {
    let paper = prop_oneof![
        Just(PrintPaper::a4()),
        Just(PrintPaper::letter()),
        (160.0f64..700.0, 160.0f64..900.0).prop_map(|(w, h)| PrintPaper::sheets(
            "any",
            Length::mm(w),
            Length::mm(h)
        )),
        (200.0f64..1100.0).prop_map(|w| PrintPaper::Roll { width: Length::mm(w) }),
    ];
    (paper, 5.0f64..14.0, 10.0f64..25.0, 970_000u32..=1_030_000, 970_000u32..=1_030_000).prop_map(
        |(paper, margin, overlap, across, up)| Printing {
            paper,
            margin: Length::mm(margin),
            overlap: Length::mm(overlap),
            stretch: [across, up],
        },
    )
}

fn holes() -> impl Strategy<Value = Vec<(f64, f64)>> {
    proptest::collection::vec((10.0f64..60.0, 10.0f64..60.0), 0..8)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn sheets_joined_again_are_the_whole(
        length in 80.0f64..2600.0, width in 70.0f64..400.0, holes in holes(), printing in printing(),
    ) {
        prop_assume!(printing.check().is_ok());
        let spread: Vec<(f64, f64)> =
            holes.iter().enumerate().map(|(i, (x, y))| ((x + 70.0 * i as f64) % length, *y)).collect();
        let template = board(length, width, &spread);
        let tiling = tile(&template, &printing);
        let mut joined = Vec::new();
        for (sheet, shift) in drawn(&template, &printing, &tiling) {
            let own = strokes(&sheet.items);
            joined.extend(own.iter().map(|stroke| stroke.moved(-shift)));
            // All of it lies within what the printer prints, before it is stretched.
            let printed = Window::new(DVec2::ZERO, DVec2::new(sheet.width, sheet.height));
            prop_assert!(own.iter().all(|stroke| printed.holds(stroke.bounds())));
        }
        let whole = strokes(&template.items);
        prop_assert!(farthest(&whole, &joined) < 0.01, "{} lost", farthest(&whole, &joined));
        prop_assert!(farthest(&joined, &whole) < 0.01, "{} too much", farthest(&joined, &whole));
    }

    #[test]
    fn each_cross_is_on_two_sheets_at_one_place_of_the_part(
        length in 80.0f64..2600.0, width in 70.0f64..600.0, printing in printing(),
    ) {
        prop_assume!(printing.check().is_ok());
        let template = board(length, width, &[]);
        let tiling = tile(&template, &printing);
        let mut seen: Vec<(String, DVec2)> = Vec::new();
        for (sheet, shift) in drawn(&template, &printing, &tiling) {
            seen.extend(crosses(&sheet).into_iter().map(|(label, at)| (label, at - shift)));
        }
        prop_assert_eq!(seen.len(), 2 * tiling.crosses.len());
        for cross in &tiling.crosses {
            let places: Vec<DVec2> = seen.iter().filter(|(label, _)| *label == cross.label).map(|own| own.1).collect();
            prop_assert_eq!(places.len(), 2, "{} on {} sheets", &cross.label, places.len());
            prop_assert!(places.iter().all(|place| place.distance(cross.at) < 1e-6));
        }
        // Every seam between two sheets has two.
        let seams = tiling.tiles.iter().flat_map(|tile| [tile.neighbours[1], tile.neighbours[2]]).flatten().count();
        prop_assert_eq!(tiling.crosses.len(), 2 * seams);
    }

    #[test]
    fn a_seam_is_clear_of_holes_where_it_can_be(length in 250.0f64..420.0, holes in holes()) {
        // Two sheets side by side: whether any place of the one seam is clear is plain to see.
        let printing = Printing::on(PrintPaper::a4());
        let spread: Vec<(f64, f64)> =
            holes.iter().enumerate().map(|(i, (x, y))| ((2.0 * x + 61.0 * i as f64) % length, *y)).collect();
        let template = board(length, 90.0, &spread);
        let tiling = tile(&template, &printing);
        prop_assume!(tiling.columns == 2 && tiling.rows == 1);
        let overlap = printing.overlap.as_mm();
        let (left, right) = (tiling.tiles[0].window, tiling.tiles[1].window);
        let room = left.size().x;
        let (low, high) = (template.bounds().low.x - 4.0, template.bounds().high.x + 4.0);
        let is_clear = |from: f64| spread.iter().all(|(x, _)| x + 6.0 <= from || from + overlap <= x - 6.0);
        let chosen = right.low.x;
        prop_assert!((left.high.x - chosen - overlap).abs() < 1e-9);
        let steps = 2000;
        let (first, last) = (high - room, low + room - overlap);
        let best = (0..=steps).map(|i| first + (last - first) * f64::from(i) / f64::from(steps)).any(|from| {
            // A place that is clear with a millimetre to spare: seams are tried at steps of one.
            is_clear(from) && is_clear(from - 1.0) && is_clear(from + 1.0)
        });
        prop_assert!(!best || is_clear(chosen), "{chosen} is not clear of {spread:?}");
    }
}

#[test]
fn the_fewest_sheets_are_taken_and_bare_ones_are_dropped() {
    let printing = Printing::on(PrintPaper::a4());
    // A4 on its side takes 297 - 24 - 10 = 263 mm: 620 mm with its border are three sheets, upright four.
    let tiling = tile(&board(620.0, 140.0, &[]), &printing);
    assert!(tiling.is_turned);
    assert_eq!((tiling.tiles.len(), tiling.rows, tiling.columns), (3, 1, 3));
    // A line from corner to corner leaves the other corners bare.
    let figure = Figure::Line { from: DVec2::ZERO, to: DVec2::new(900.0, 900.0) };
    let items = vec![Item { class: LineClass::Cut, figure }];
    let line = tile(&Template { items, ..Template::default() }, &printing);
    assert!(line.tiles.len() < line.rows * line.columns);
}

#[test]
fn a_roll_is_cut_off_where_the_template_ends_and_at_five_metres() {
    let printing = Printing::on(PrintPaper::Roll { width: Length::mm(610.0) });
    let template = board(2000.0, 140.0, &[]);
    let long = pages(&template, &printing, "0").drawn;
    let long = long.iter().map(|page| page.sheet.width.max(page.sheet.height)).fold(0.0, f64::max);
    assert!((2000.0..2100.0).contains(&long), "{long}");
    let longer = board(9000.0, 140.0, &[]);
    for page in pages(&longer, &printing, "0").drawn {
        assert!(page.sheet.width <= 5000.0 + 1e-9 && page.sheet.height <= 5000.0 + 1e-9);
    }
}

#[test]
fn a_print_scale_stretches_the_drawing_and_keeps_the_paper() {
    let mut printing = Printing::on(PrintPaper::a4());
    printing.stretch = [1_010_000, 990_000];
    for page in calibration(&printing, &[]) {
        assert!((page.sheet.width * page.stretch[0] - 210.0).abs() < 1e-9);
        assert!((page.sheet.height * page.stretch[1] - 297.0).abs() < 1e-9);
        assert_eq!(page.stretch, [1.01, 0.99]);
    }
    let turned = pages(&board(250.0, 140.0, &[]), &printing, "0").drawn;
    let last = turned.last().expect("a page");
    // Printers err along the paper: on its side the sheet's width is the paper's height.
    assert_eq!(last.stretch, [0.99, 1.01]);
    assert!((last.sheet.width * 0.99 - 297.0).abs() < 1e-9);
}

#[test]
fn a_whole_template_has_only_the_layers_of_machines_and_later_work_in_dashes() {
    let mut template = board(300.0, 90.0, &[(50.0, 45.0)]);
    let figure = Figure::Line { from: DVec2::new(100.0, 0.0), to: DVec2::new(100.0, 90.0) };
    template.items.push(Item { class: LineClass::Hidden, figure });
    let sheet = whole(&template);
    let classes = [LineClass::Cut, LineClass::Drill, LineClass::Mark];
    assert!(sheet.items.iter().all(|item| classes.contains(&item.class)));
    let dashes = sheet.items.iter().filter(|item| item.class == LineClass::Mark).count();
    assert!(dashes > 10, "{dashes}");
}

#[test]
fn the_file_asks_for_its_true_size_and_is_the_same_every_time() {
    let printing = Printing::on(PrintPaper::letter());
    let printed = pages(&board(700.0, 140.0, &[(350.0, 70.0)]), &printing, "0");
    let pages = [printed.first, printed.drawn].concat();
    let bytes = pdf::write_pages(&pages, "α ½ \"seat\" ≤ 3").value.expect("a file");
    assert_eq!(Some(&bytes), pdf::write_pages(&pages, "α ½ \"seat\" ≤ 3").value.as_ref());
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("/PrintScaling /None"));
    assert!(text.contains("/MediaBox [0 0 612 792]"), "letter, upright");
}

fn solid(shape: &Shape) -> Solid {
    build(shape, &Tolerance::default()).expect("a board")
}

fn of<'a>(solid: &'a Solid, holes: &'a [HoleRow], late: &'a [Late]) -> PatternOf<'a> {
    PatternOf {
        mark: "S",
        name: "slat",
        quantity: 2,
        hand: "",
        solid,
        late,
        holes,
        notes: &[],
        tape: Tape::Mm,
    }
}

/// A hole through a slat 20 thick.
fn bored(number: usize, x: f64, y: f64, when: &str) -> HoleRow {
    HoleRow {
        set: slatwork_model::SetId(0),
        mark: "S".into(),
        number,
        quantity: 2,
        purpose: "for a screw".into(),
        when: when.into(),
        side: BoardSide { along: Along::Thickness, high: true },
        at: [Some(Length::mm(x)), Some(Length::mm(y)), None],
        lean: [Some(Angle::ZERO), Some(Angle::ZERO), None],
        lean_total: Angle::ZERO,
        countersink: None,
        turned: Vec::new(),
        bores: vec![BoreStep { diameter: Length::mm(5.0), from: Length::ZERO, to: None }],
    }
}

fn of_class(template: &Template, class: LineClass) -> Vec<Stroke> {
    template
        .items
        .iter()
        .filter(|item| item.class == class)
        .flat_map(|item| Stroke::of(&item.figure))
        .collect()
}

fn inked(strokes: &[Stroke]) -> f64 {
    strokes.iter().map(|stroke| stroke.length()).sum()
}

#[test]
fn a_cope_that_is_marked_from_another_part_is_dashed_and_not_cut() {
    let wall = |normal: DVec3, offset: f64| HalfSpace { normal, offset, tag: Tag(40) };
    let mut shape = Shape::board(300.0, 80.0, 20.0);
    let walls = vec![wall(DVec3::NEG_X, -100.0), wall(DVec3::X, 140.0), wall(DVec3::Y, 30.0)];
    shape.notches.push(Notch { planes: walls });
    let board = solid(&shape);
    let at_once = pattern(&of(&board, &[], &[])).expect("a notch");
    assert!((inked(&of_class(&at_once, LineClass::Cut)) - (2.0 * 380.0 + 60.0)).abs() < 1e-6);
    assert_eq!(of_class(&at_once, LineClass::Hidden), []);
    let late = [Late { tags: vec![Tag(40)], words: "cope round post: marked from post".into() }];
    let template = pattern(&of(&board, &[], &late)).expect("a notch");
    assert!((inked(&of_class(&template, LineClass::Cut)) - 760.0).abs() < 1e-6, "the plain board is cut");
    assert!((inked(&of_class(&template, LineClass::Hidden)) - 100.0).abs() < 1e-6, "three walls are dashed");
    let says =
        |item: &Item| matches!(&item.figure, Figure::Text(text) if text.text.starts_with("cope round post"));
    assert!(template.items.iter().any(|item| item.class == LineClass::Hidden && says(item)));
}

#[test]
fn holes_are_drilled_when_their_time_comes() {
    let board = solid(&Shape::board(600.0, 80.0, 20.0));
    let mut holes: Vec<HoleRow> = [50.0, 200.0, 400.0, 550.0]
        .iter()
        .enumerate()
        .map(|(i, x)| bored(i + 1, *x, 40.0, "at the bench"))
        .collect();
    holes.push(bored(5, 300.0, 20.0, "drilled on through post, the two held together"));
    let template = pattern(&of(&board, &holes, &[])).expect("a pattern of holes");
    let circles =
        |class| of_class(&template, class).iter().filter(|own| matches!(own, Stroke::Arc { .. })).count();
    assert_eq!((circles(LineClass::Drill), circles(LineClass::Hidden)), (4, 1));
    assert_eq!(pattern(&of(&board, &holes[..2], &[])), None, "two holes are marked by a rule");
    let half = half_pattern(&of(&board, &holes, &[])).expect("mirror images");
    let circles =
        |class| of_class(&half, class).iter().filter(|own| matches!(own, Stroke::Arc { .. })).count();
    // The hole on the fold is drawn as the half circle this side of it.
    assert_eq!((circles(LineClass::Drill), circles(LineClass::Hidden)), (2, 1));
    assert!(of_class(&half, LineClass::Cut).iter().all(|own| own.bounds().high.x <= 300.0 + 1e-9));
    holes[0].at[0] = Some(Length::mm(51.0));
    assert_eq!(half_pattern(&of(&board, &holes, &[])), None, "no mirror images");
}

#[test]
fn a_leaning_end_is_developed_over_all_four_sides() {
    let mut shape = Shape::board(400.0, 100.0, 40.0);
    let normal = DVec3::new(1.0, 0.1, 0.2).normalize();
    let offset = normal.dot(DVec3::new(370.0, 0.0, 0.0));
    shape.cuts.push(HalfSpace { normal, offset, tag: Tag::HIGH_END });
    let board = solid(&shape);
    let template = pattern(&of(&board, &[], &[])).expect("a leaning end");
    // The saw's line over the four sides: each piece from corner to corner of the board.
    let on_face = 100.0 * 1.01f64.sqrt();
    let on_edge = 40.0 * 1.04f64.sqrt();
    let wrap: Vec<Stroke> =
        of_class(&template, LineClass::Cut).into_iter().filter(|own| own.bounds().low.y > 100.0).collect();
    assert!((inked(&wrap) - 2.0 * (on_face + on_edge)).abs() < 1e-6, "{}", inked(&wrap));
    assert_eq!(of_class(&template, LineClass::Centre).len(), 5, "five folds");
    // Joined to a ring, it closes: the first and the last end lie at one place along the board.
    let low = wrap.iter().map(|own| own.bounds().low.y).fold(f64::INFINITY, f64::min);
    let high = wrap.iter().map(|own| own.bounds().high.y).fold(0.0, f64::max);
    let at = |y: f64| {
        let ends = wrap.iter().flat_map(|own| [own.point(0.0), own.point(1.0)]);
        ends.filter(|end| (end.y - y).abs() < 1e-6).map(|end| end.x).next()
    };
    assert!((at(low).expect("an end") - at(high).expect("an end")).abs() < 1e-6);
}

#[test]
fn names_are_lettering_whatever_stands_in_them() {
    let long = "long ".repeat(2_000) + &"x".repeat(10_000);
    for name in ["<g onload=\"x\"/> & )Tj (", "line\nfeed \u{0}\u{202e}thgir", "椅子 łavă", long.as_str()]
    {
        let mut template = board(900.0, 140.0, &[(350.0, 70.0)]);
        template.name = name.to_string();
        let printed = pages(&template, &Printing::on(PrintPaper::a4()), "0");
        assert_eq!(printed.drawn.len(), 4);
        assert!(printed.first.len() < 40, "{}", printed.first.len());
        let all = [printed.first, printed.drawn].concat();
        assert!(pdf::write_pages(&all, name).value.is_some());
        let picture = slatwork_output::svg::write(&whole(&template), name).value.expect("a picture");
        let picture = String::from_utf8(picture).expect("text");
        let parsed = roxmltree::Document::parse(&picture).expect("XML");
        assert!(!parsed.descendants().any(|node| node.attribute("onload").is_some()));
        let machine = slatwork_output::dxf::write(&whole(&template)).value.expect("a drawing");
        assert!(machine.is_ascii());
    }
}
