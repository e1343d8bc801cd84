//! Two pages for whoever receives the piece: putting it together, hanging it, care, looking it over, and what it is.

use super::super::Paper;
use super::cautions::{CHILDREN, of_use};
use super::hanging::{LOOK_AT, LOOK_AT_CHAINS, OUT_OF_USE, OUT_OF_USE_CHAINS, WHEN_IT_HANGS, WHEN_IT_STANDS};
use super::{chapter, cover, list, notice, words};
use crate::judged::both_scales;
use crate::{Figures, Judged};
use slatwork_base::sentence;
use slatwork_checks::OF_WHAT_HANGS;
use slatwork_output::book::{Block, Book, Chapter, ListKind, Weight};
use slatwork_shop::{AssemblyStep, Does, StepFastener};

pub(super) fn sheet(paper: &Paper<'_>, judged: &Judged) -> Book {
    let chapters = [
        Some(what_it_is(paper, judged)),
        Some(together(paper)),
        hanging(paper),
        Some(using(paper)),
        Some(care()),
    ];
    Book {
        title: paper.model.title.clone(),
        subtitle: String::from("for whoever owns it"),
        page: paper.page,
        is_long: false,
        // The second page is for use.
        chapters: chapters
            .into_iter()
            .flatten()
            .map(|own| Chapter { begins_page: own.key == USE, ..own })
            .collect(),
    }
}

fn what_it_is(paper: &Paper<'_>, judged: &Judged) -> Chapter {
    let figures = Figures::of(paper.model, paper.plan);
    let [wide, deep, high] = figures.size.map(|length| paper.units.text(length));
    let woods: Vec<&str> = paper.plan.bill.wood.iter().map(|line| line.species_name.as_str()).collect();
    let rated = match &judged.rating {
        Ok(rating) => {
            let text = format!(
                "For {} at most: {} a place, {} in all. Calculated from stated assumptions, untested.",
                if rating.places == 1 {
                    String::from("one person")
                } else {
                    format!("{} people", rating.places)
                },
                both_scales(rating.per_place),
                both_scales(rating.total())
            );
            notice(Weight::Note, text, Vec::new())
        }
        Err(_) => notice(
            Weight::Failure,
            "It carries no rating: the maker must settle what its checks tell before anybody sits on it.",
            Vec::new(),
        ),
    };
    let size = format!(
        "{wide} wide, {deep} deep, {high} high; {}; {}.",
        woods.join(", "),
        paper.units.mass_text(figures.mass_kg)
    );
    let blocks = vec![
        words(size),
        rated,
        Block::ToFill(
            ["Maker", "Serial number", "Batch", "Date", "Hardware lots", "Finish"].map(String::from).to_vec(),
        ),
    ];
    chapter("piece", "What it is", blocks)
}

/// What is joined last, when it comes in flat parts: the steps on the whole piece.
fn together(paper: &Paper<'_>) -> Chapter {
    let whole = paper.model.groups.first().map_or("", |group| group.name.as_str());
    let last: Vec<&AssemblyStep> = paper.assembly.steps.iter().filter(|step| step.on == whole).collect();
    let mut built: Vec<&str> = Vec::new();
    for body in last.iter().flat_map(|step| &step.parts).filter_map(|own| own.body.as_deref()) {
        if !built.contains(&body) {
            built.push(body);
        }
    }
    let flat = match built.is_empty() {
        true => String::from("It is built part by part; if it came as a whole, go on to the next heading."),
        false => format!(
            "If it came flat, these come as they are: {}. The other parts carry the number of their step. Lay everything out, put all in \
             place before anything is tightened, and tighten from the middle out. If it came as a whole, go on to the next heading.",
            built.join(", ")
        ),
    };
    // What is held on trial, marked and trimmed comes fitted.
    let stays = |step: &&&AssemblyStep| {
        step.parts.iter().any(|own| matches!(own.does, Does::Laid | Does::ComesIn))
            || !step.fasteners.is_empty()
    };
    let on_whole = format!("{}: ", paper.model.title);
    let steps = last.iter().filter(stays).map(|step| {
        let fasteners: Vec<String> = step.fasteners.iter().map(|own| fastener(paper, own)).collect();
        let with = if fasteners.is_empty() { String::new() } else { format!(" ({})", fasteners.join(", ")) };
        format!("{}{with}", sentence(step.title.strip_prefix(&on_whole).unwrap_or(&step.title)))
    });
    let blocks = vec![
        Block::Drawing(cover::picture(paper)),
        words(flat),
        list(ListKind::Numbered, steps),
        words("Tighten every bolt again after the first weeks: wood settles."),
    ];
    chapter("together", "Putting it together", blocks)
}

fn fastener(paper: &Paper<'_>, own: &StepFastener) -> String {
    format!("{} {} {}", own.count, own.name, paper.units.text(own.length))
}

fn hanging(paper: &Paper<'_>) -> Option<Chapter> {
    paper.handed?;
    Some(chapter("hanging", "Hanging it", vec![list(ListKind::Plain, OF_WHAT_HANGS)]))
}

/// The key of the chapter on its use.
const USE: &str = "use";

fn using(paper: &Paper<'_>) -> Chapter {
    let hangs = paper.handed.is_some();
    let when = if hangs { WHEN_IT_HANGS } else { WHEN_IT_STANDS };
    let look = LOOK_AT.iter().chain(if hangs { &LOOK_AT_CHAINS[..] } else { &[] });
    let out = OUT_OF_USE.iter().chain(if hangs { &OUT_OF_USE_CHAINS[..] } else { &[] });
    let blocks = vec![
        list(ListKind::Plain, of_use(paper).into_iter().chain(CHILDREN)),
        words(format!("Look it over. {when}")),
        list(ListKind::ToTick, look.copied()),
        Block::ToFill((1..=9).map(|number| format!("Looked over, {number}")).collect()),
        notice(
            Weight::Caution,
            "Out of use at once with any of these:",
            vec![out.copied().collect::<Vec<_>>().join(" ")],
        ),
    ];
    chapter(USE, "Use, and looking it over", blocks)
}

fn care() -> Chapter {
    let care = [
        "Wash it in spring with a soft brush, water and a mild soap; no pressure washer.",
        "Oil it again when water no longer stands in drops. Without oil it turns grey, which harms nothing but its look.",
        "Keep leaves and earth out of the gaps, and feet off wet ground.",
    ];
    chapter("care", "Care", vec![list(ListKind::Plain, care)])
}
