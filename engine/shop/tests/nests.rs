//! Curved parts of models made by hand, bought in nests.

mod hand;

use hand::{Board, board, catalogue, model};
use slatwork_base::{Length, Tape};
use slatwork_catalog::Operation;
use slatwork_model::{Defects, FeatureKind, Fit, Model, When};
use slatwork_shop::purchase::{LayoutCut, LayoutNest, nested_outline, verify};
use slatwork_shop::stock::nesting::Turn;
use slatwork_shop::{Purchase, ShopPlan, Work, plan};

/// An arch 24 in long: 1/2 in high at its ends, 3 1/2 in over the middle (bulge 2 x 3 / 24), cut from a rectangle of 25 in.
fn arch(at: usize) -> Board {
    board(&format!("arch {at}"), "1x4", 24.0, 3.5, 0.75).arched(0.5, 0.25)
}

fn bought(piece: &Model) -> Purchase {
    let outcome = plan(piece, &catalogue(), Tape::Inch16);
    assert_eq!(outcome.diagnostics, []);
    let purchase = outcome.value.expect("a plan").purchase;
    assert_eq!(verify(&purchase, piece, Tape::Inch16), Ok(()));
    purchase
}

fn arches(count: usize, change: fn(&mut Board)) -> Model {
    let own = |at| {
        let mut own = arch(at);
        change(&mut own);
        own
    };
    model((0..count).map(own).collect())
}

fn nested(purchase: &Purchase) -> Vec<&LayoutCut> {
    purchase.layouts.iter().flat_map(|board| &board.cuts).filter(|cut| cut.nest.is_some()).collect()
}

/// Four rectangles of 25 in and three cuts take 100 3/8 in of the 95 in of an 8 ft board, so a board of 10 ft at 1000. Nested tip over
/// tip, every other one flipped, they come from the 8 ft board at 800.
#[test]
fn four_arches_come_from_a_shorter_board() {
    let purchase = bought(&arches(4, |_| {}));
    assert_eq!((purchase.price_cents, purchase.price_at_least), (Some(800), Some(800)));
    assert!(purchase.is_proven() && purchase.claim().contains("nested"), "{}", purchase.claim());
    let cuts = nested(&purchase);
    assert_eq!((cuts.len(), cuts[0].nest.as_ref().map(|nest| nest.pieces.len())), (1, Some(4)));
    let apart = bought(&arches(4, |own| own.alone = true));
    assert_eq!((apart.price_cents, apart.is_proven(), nested(&apart).len()), (Some(1000), true, 0));
    assert!(!apart.claim().contains("nested"));
}

/// Three arches in a nest leave room for a straight part behind them on the 8 ft board.
#[test]
fn other_parts_share_the_board_of_a_nest() {
    let arches = (0..3).map(arch);
    let piece = model(arches.chain([board("rail", "1x4", 28.0, 3.5, 0.75)]).collect());
    let purchase = bought(&piece);
    assert_eq!((purchase.price_cents, purchase.is_proven()), (Some(800), true));
    assert_eq!(purchase.layouts[0].cuts.len(), 2);
    // The papers draw each outline where it lies.
    let nest = nested(&purchase)[0].nest.as_ref().expect("a nest");
    for own in &nest.pieces {
        let corners = nested_outline(&piece.parts[own.piece.part.0], own);
        let along = corners.iter().map(|corner| corner.0);
        assert_eq!((along.clone().min(), along.max()), (Some(own.piece.start), Some(own.piece.end)));
    }
}

/// Arches 3 in wide are ripped from the 1x4 where each is cut from a rectangle. Nested they are not: no rip in their steps, none at the
/// fence, none counted, and cut list and stops say where they are traced.
#[test]
fn what_is_nested_is_not_ripped() {
    let papers = |alone: bool| {
        let own = |at| {
            let mut own = board(&format!("arch {at}"), "1x4", 24.0, 3.0, 0.75).arched(0.5, 2.0 * 2.5 / 24.0);
            own.alone = alone;
            own
        };
        plan(&model((0..4).map(own).collect()), &catalogue(), Tape::Inch16).value.expect("a plan")
    };
    let told = |papers: &ShopPlan| {
        let row = &papers.cut_list.rows[0];
        let is_ripped = row.steps.iter().any(|step| step.work == Work::Rip);
        let counted = papers.price.labour.iter().any(|line| line.operation == Operation::Rip);
        let cut = &papers.stops.crosscuts[0].stops[0].items[0];
        let rips =
            [is_ripped, counted, !papers.stops.fences.is_empty(), papers.purchase.ripped().is_positive()];
        (rips, row.boards(), cut.note())
    };
    let (nests, apart) = (papers(false), papers(true));
    assert_eq!(told(&apart), ([true; 4], String::from("1x4"), None));
    let note = Some(String::from("from nests on 1x4"));
    assert_eq!(told(&nests), ([false; 4], String::from("nests on 1x4"), note));
    assert_eq!(nests.purchase.sources("A", None)[0].strips, 0);
    // The table has as many columns for what is nested as for what is not.
    let tables = [nests.boards_table(), apart.boards_table()];
    assert!(tables.iter().all(|own| own.rows.iter().all(|row| row.len() == own.columns.len())));
}

/// A nest may lie on boards of another section as wide, where all parts of both may come from wider ones: the 1x4 is not sold.
#[test]
fn sections_of_a_size_share_boards_for_nests() {
    let yard = "[yard]\nonly_listed = true\n\n[[section]]\nname = \"lake 1x4\"\nlike = \"1x4\"\n\n[[stock]]\nsection = \"lake 1x4\"\nspecies = \"white_oak\"\nlengths = [\"8ft\"]\ncents = [800]\n";
    let outcome = catalogue().overlay_toml("yard.toml", yard);
    let catalogue = outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics));
    let mut boards: Vec<Board> =
        (0..3).map(arch).chain([board("rail", "lake 1x4", 28.0, 3.5, 0.75)]).collect();
    boards.iter_mut().for_each(|own| own.from_wider = true);
    let outcome = plan(&model(boards), &catalogue, Tape::Inch16);
    assert_eq!(outcome.diagnostics, []);
    let purchase = outcome.value.expect("a plan").purchase;
    assert_eq!((purchase.price_cents, nested(&purchase).len()), (Some(800), 1));
}

/// Where a defect may lie at its back, a part is turned end for end but never flipped.
#[test]
fn what_has_a_good_face_is_not_flipped() {
    let purchase = bought(&arches(4, |own| own.defects = Defects::Back));
    let cuts = nested(&purchase);
    let mut turns =
        cuts.iter().filter_map(|cut| cut.nest.as_ref()).flat_map(|nest| &nest.pieces).map(|own| own.turn);
    assert!(cuts.len() == 1 && turns.all(|turn| matches!(turn, Turn::AsDrawn | Turn::HalfTurn)));
}

/// What is fitted, sawn in its place, bevelled or glued up keeps a rectangle of its own.
#[test]
fn only_what_is_sawn_at_the_bench_is_nested() {
    let changes: [fn(&mut Board); 3] = [
        |own| own.fit = Some(Fit { allowance: Length::inch(0.25), trim: String::from("rear end") }),
        |own| {
            own.features.iter_mut().filter(|own| matches!(own.kind, FeatureKind::Outline { .. })).for_each(
                |own| {
                    own.when = When::InPlace { after: vec![String::from("rail")] };
                },
            );
        },
        |own| own.alone = true,
    ];
    for change in changes {
        assert_eq!(nested(&bought(&arches(4, change))).len(), 0);
    }
}

/// Two of one outline, a board of each price: twelve arches come from nests, and what no plan can beat lies below.
#[test]
fn many_arches_are_nested_on_several_boards() {
    let (nests, apart) = (bought(&arches(13, |_| {})), bought(&arches(13, |own| own.alone = true)));
    assert!(nests.price_cents < apart.price_cents && nests.price_at_least <= nests.price_cents);
    let pieces: usize =
        nested(&nests).iter().filter_map(|cut| cut.nest.as_ref()).map(|nest| nest.pieces.len()).sum();
    assert!((10..=13).contains(&pieces), "{pieces}");
}

/// A nest that is spoiled in any way is refused.
#[test]
fn a_spoiled_nest_is_refused() {
    let piece = arches(4, |_| {});
    let good = bought(&piece);
    let at = good.layouts[0].cuts.iter().position(|cut| cut.nest.is_some()).expect("a nest");
    let refused = |spoil: &dyn Fn(&mut LayoutNest)| {
        let mut purchase = good.clone();
        purchase.layouts[0].cuts[at].nest.iter_mut().for_each(spoil);
        assert!(verify(&purchase, &piece, Tape::Inch16).is_err());
    };
    refused(&|nest| nest.clearance += Length::mm(1.0));
    refused(&|nest| nest.pieces[1].piece.start -= Length::mm(5.0));
    refused(&|nest| {
        nest.pieces[1].piece.start -= Length::mm(5.0);
        nest.pieces[1].piece.end -= Length::mm(5.0);
    });
    refused(&|nest| nest.pieces[0].from_edge += Length::nm(1));
    refused(&|nest| nest.pieces[0].width -= Length::nm(1));
    refused(&|nest| nest.pieces[1].turn = nest.pieces[0].turn);
    refused(&|nest| nest.pieces[1].piece.part = nest.pieces[0].piece.part);
    refused(&|nest| nest.pieces.truncate(3));
    let mut shorter = good.clone();
    shorter.layouts[0].cuts[at].end -= Length::inch(0.5);
    assert!(verify(&shorter, &piece, Tape::Inch16).is_err());
    // What may not be nested is refused as well.
    assert!(verify(&good, &arches(4, |own| own.alone = true), Tape::Inch16).is_err());
}
