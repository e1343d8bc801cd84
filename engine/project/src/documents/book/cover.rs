//! The first page: what it looks like, how large it is, how heavy people may be, and before all else whatever fails.

use super::super::Paper;
use super::super::head::{finding_words, values_words};
use super::super::page::counted;
use super::{list, notice, table_of_words, words};
use crate::judged::{rank_of, rating_lines};
use crate::{Figures, Judged};
use slatwork_base::Severity;
use slatwork_checks::{Standing, Verdict};
use slatwork_output::book::{Block, Chapter, Drawing, DrawingPlace, ListKind, Weight};
use slatwork_output::drawing::Placed;
use slatwork_output::{LineClass, Scale, Sheet};
use slatwork_solid::DVec2;

fn blocks(paper: &Paper<'_>, judged: &Judged) -> Vec<Block> {
    let mut blocks = troubles(paper, judged);
    blocks.push(Block::Drawing(picture(paper)));
    blocks.push(Block::Table(at_a_glance(paper, judged)));
    blocks.extend(rating(judged));
    blocks.push(words(values_words(paper.values, paper.units)));
    blocks.push(words(paper.units.sentence()));
    blocks.push(words(
        "Calculated on stated assumptions of wood, grade, dryness and hardware: no certification, no permit and no engineer's \
         approval. Another wood, section, screw or chain voids the checks: make the papers anew. Local rules decide.",
    ));
    blocks.push(Block::Drawing(Drawing {
        sheet: paper.sheets.general.clone(),
        caption: String::from("General arrangement: read the figures, measure nothing off the page."),
        place: DrawingPlace::WholePage,
    }));
    blocks
}

pub(super) fn chapter(paper: &Paper<'_>, judged: &Judged) -> Chapter {
    super::chapter("cover", "At a glance", blocks(paper, judged))
}

/// What fails and what warns: findings of the papers, and warnings that only the checks tell.
fn troubles(paper: &Paper<'_>, judged: &Judged) -> Vec<Block> {
    let weight = |severity| if severity >= Severity::Failure { Weight::Failure } else { Weight::Warning };
    let known = |verdict: &&Verdict| paper.troubles().all(|finding| finding.code != verdict.check);
    let warned = judged.verdicts.iter().filter(known).filter_map(|verdict| match verdict.standing {
        Standing::Misses(severity) => Some((severity, format!("{}: {}", verdict.check, verdict.told))),
        _ => None,
    });
    let mut all: Vec<(Severity, String)> =
        paper.troubles().map(|finding| (finding.severity, finding_words(finding))).chain(warned).collect();
    all.sort_by_key(|(severity, _)| std::cmp::Reverse(*severity));
    let fails = all.iter().any(|(severity, _)| *severity >= Severity::Failure);
    let mut blocks: Vec<Block> =
        all.into_iter().map(|(severity, text)| notice(weight(severity), text, Vec::new())).collect();
    if !fails {
        blocks.push(words(format!("Nothing fails: {}.", counted_verdicts(judged))));
    }
    blocks
}

/// "64 checks hold, 1 warns, 9 cannot be judged and say why (see the checks)".
fn counted_verdicts(judged: &Judged) -> String {
    let count = |rank| judged.verdicts.iter().filter(|own| rank_of(own) == rank).count();
    let (held, warned, unknown) = (count(3), count(1), count(2));
    let told = |count: usize, words: &str| (count > 0).then(|| format!(", {count} {words}"));
    let warned = told(warned, if warned == 1 { "warns" } else { "warn" }).unwrap_or_default();
    let unknown = told(unknown, "cannot be judged and say why (see the checks)").unwrap_or_default();
    format!("{} hold{warned}{unknown}", counted(held, "verdict"))
}

/// White round the picture, mm.
const AROUND: f64 = 4.0;
/// The largest that the picture may be, mm.
const MOST: DVec2 = DVec2::new(160.0, 100.0);

/// The piece from above, in front and to the right.
pub(super) fn picture(paper: &Paper<'_>) -> Drawing {
    Drawing { sheet: paper.sheets.picture.clone(), caption: String::new(), place: DrawingPlace::Column }
}

/// Draws it.
pub(in crate::documents) fn draw(paper: &Paper<'_>, piece: &Placed<'_>) -> Sheet {
    let size = piece.isometric_box().map_or(DVec2::ONE, |[low, high]| high - low);
    let needed = (size / (MOST - 2.0 * AROUND)).max_element().max(1e-3);
    let scale = Scale { denominator: needed };
    let seen = piece.isometric(scale);
    let paper_size = seen.size() / needed + 2.0 * AROUND;
    let mut sheet = Sheet {
        title: format!("{} as it stands", paper.model.title),
        description: format!(
            "{} from above, in front and to the right, {}, hidden lines taken away.",
            paper.model.title,
            counted(piece.bodies().len(), "part")
        ),
        width: paper_size.x.max(1.0),
        height: paper_size.y.max(1.0),
        ..Sheet::default()
    };
    for item in seen.draw(DVec2::splat(AROUND), scale) {
        // A small picture: outlines and edges, nothing that only helps.
        if matches!(item.class, LineClass::Outline | LineClass::Edge) {
            sheet.items.push(item);
        }
    }
    sheet
}

fn at_a_glance(paper: &Paper<'_>, judged: &Judged) -> slatwork_output::Table {
    let figures = Figures::of(paper.model, paper.plan);
    let [wide, deep, high] = figures.size.map(|length| paper.units.text(length));
    let mut rows = vec![
        ("overall", format!("{wide} wide, {deep} deep, {high} high")),
        ("wood", format!("{}, {}", figures_of_wood(paper), paper.units.mass_text(figures.mass_kg))),
        ("made of", format!("{} in {}", counted(figures.parts, "part"), counted(figures.sets, "set"))),
        ("boards to buy", counted(figures.boards, "board")),
        ("work", format!("about {:.0} hours, by rules of thumb", figures.labour_hours)),
        ("judged for", judged.conditions.to_string()),
    ];
    if paper.plan.purchase.pieces > 1 {
        rows.push(("how many", format!("boards and price are for {} of them", paper.plan.purchase.pieces)));
    }
    let rows = rows.into_iter().map(|(what, figure)| vec![String::from(what), figure]);
    table_of_words(paper, "glance", "In figures", &[("what", "what"), ("figure", "figure")], rows)
}

fn figures_of_wood(paper: &Paper<'_>) -> String {
    let woods: Vec<&str> = paper.plan.bill.wood.iter().map(|line| line.species_name.as_str()).collect();
    woods.join(", ")
}

/// How heavy people may be.
pub(super) fn rating(judged: &Judged) -> Vec<Block> {
    let mut lines = rating_lines(&judged.rating).into_iter();
    let first = lines.next().unwrap_or_default();
    let (weight, title) = match &judged.rating {
        Ok(_) => (Weight::Note, first),
        Err(_) => (Weight::Failure, first),
    };
    let rest: Vec<String> = lines.collect();
    let mut blocks = vec![notice(weight, title, Vec::new())];
    if !rest.is_empty() {
        blocks.push(list(ListKind::Plain, rest));
    }
    blocks
}
