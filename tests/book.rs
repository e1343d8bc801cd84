//! The book: everything the tables say stands in it, ids are its own, and what a script says is never markup.

mod trial;

use slatwork::{BookPage, Dossier, Kind, Memory, Request, Units, build, with_stack};
use std::collections::BTreeSet;
use trial::trial;

const FAMILIES: [&str; 3] = ["porch_swing", "garden_bench", "adirondack_chair"];

fn made(world: &Memory, request: &Request) -> Dossier {
    let request = Request { only: vec![Kind::Book], ..request.clone() };
    with_stack(|| build(world, &request)).expect("a thread").value.expect("it can be built")
}

fn html<'d>(dossier: &'d Dossier, path: &str) -> &'d str {
    let found = dossier.documents.iter().find(|document| document.path == path);
    found.and_then(|document| document.text()).unwrap_or_else(|| panic!("no {path}"))
}

/// What a reader sees: no tags, no scripts, entities read, blanks as one.
fn read(html: &str) -> String {
    let mut text = String::new();
    let mut rest = html;
    while let Some((before, tag)) = rest.split_once('<') {
        text.push_str(before);
        let end = if tag.starts_with("script") || tag.starts_with("style") { "</s" } else { "" };
        let after = tag.split_once(end).map_or("", |(_, after)| after);
        rest = after.split_once('>').map_or("", |(_, after)| after);
        // Names are words of their sentence; everything else stands apart.
        let is_word = tag.starts_with("bdi") || tag.starts_with("/bdi");
        text.push_str(if is_word { "" } else { " " });
    }
    let entities = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&amp;", "&")];
    let text = entities.into_iter().fold(text, |text, (entity, sign)| text.replace(entity, sign));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn plain(words: &str) -> String {
    words.replace('`', "").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn ids(html: &str) -> Vec<&str> {
    html.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

#[test]
fn every_set_step_hole_and_board_stands_in_it() {
    for family in FAMILIES {
        let dossier = made(&Memory::default(), &Request::new(family));
        let book = read(html(&dossier, "book.html"));
        let holds = |words: &str| assert!(book.contains(&plain(words)), "{family}: no {words:?}");
        for row in &dossier.plan.cut_list.rows {
            holds(&format!("{}: {}", row.mark, row.name));
            let steps = row.steps.iter().filter(|step| step.work != slatwork::shop::Work::Bore);
            steps.for_each(|step| holds(&step.words));
        }
        for hole in &dossier.plan.holes.rows {
            let at: Vec<String> = hole.at.iter().flatten().map(|at| Units::Inch.rule_text(*at)).collect();
            holds(&format!("{} {} {}", hole.number, hole.side.word(), at.join(" ")));
        }
        let shapes = &dossier.plan.shapes;
        for cut in &shapes.planes {
            holds(&format!("cut {}: {}", cut.number, cut.what));
        }
        for place in &shapes.places {
            holds(&format!("{} {}", place.name, place.mark));
        }
        for line in &dossier.plan.bill.hardware {
            holds(&line.name);
        }
        for board in &dossier.plan.purchase.layouts {
            board.cuts.iter().for_each(|cut| holds(&Units::Inch.text(cut.end)));
        }
        let catalogue = slatwork::catalog::Catalogue::shared();
        let assembly = slatwork::shop::assembly(&dossier.model, catalogue, dossier.plan.reading);
        for step in &assembly.steps {
            holds(&format!("{}. {}", step.number, step.title));
            step.text.iter().chain(&step.checks).for_each(|words| holds(words));
        }
    }
}

#[test]
fn every_check_stands_in_it_with_its_sources() {
    for family in FAMILIES {
        let judged = with_stack(|| slatwork::project::check(&Memory::default(), &Request::new(family)));
        let judged = judged.expect("a thread").value.expect("it can be built");
        let dossier = made(&Memory::default(), &Request::new(family));
        let book = read(html(&dossier, "book.html"));
        for verdict in &judged.verdicts {
            assert!(book.contains(verdict.check), "{family}: no {}", verdict.check);
            assert!(book.contains(&plain(&verdict.told)), "{family}: no {}", verdict.told);
            for source in &verdict.sources {
                let told = plain(&format!("{} ({})", source.text, source.status.word()));
                assert!(book.contains(&told), "{family}: no {told}");
            }
        }
    }
}

#[test]
fn ids_are_unique_and_links_lead_to_them() {
    for family in FAMILIES {
        let dossier = made(&Memory::default(), &Request::new(family));
        for path in ["book.html", "owner.html"] {
            let text = html(&dossier, path);
            let all = ids(text);
            let unique: BTreeSet<&str> = all.iter().copied().collect();
            assert_eq!(all.len(), unique.len(), "{family}: {path}");
            let links = text.split("href=\"#").skip(1).filter_map(|rest| rest.split('"').next());
            assert!(links.into_iter().all(|link| unique.contains(link)), "{family}: {path}");
        }
    }
}

#[test]
fn pages_are_those_of_the_measures_unless_said_otherwise() {
    let page = |units, book_page| {
        let request = Request { units, book_page, ..Request::new("garden_bench") };
        let dossier = made(&Memory::default(), &request);
        let text = html(&dossier, "book.html").to_string();
        (text.contains("@page{size:A4}"), text.contains("@page{size:letter}"))
    };
    assert_eq!(page(Units::Inch, None), (false, true));
    assert_eq!(page(Units::Mm, None), (true, false));
    assert_eq!(page(Units::Inch, Some(BookPage::A4)), (true, false));
}

#[test]
fn it_is_judged_for_what_the_piece_lives_in() {
    let judged_for = |request: &Request| {
        let book = read(html(&made(&Memory::default(), request), "book.html"));
        let from = book.find("Judged for:").expect("what it is judged for");
        book[from..].chars().take(200).collect::<String>()
    };
    let usual = judged_for(&Request::new("garden_bench"));
    assert!(usual.contains("in the rain, away from salt"), "{usual}");
    let conditions = slatwork::project::conditions(true, true, Some("D4"), None).expect("words it knows");
    let climate = Some(String::from("dry inland"));
    let told = judged_for(&Request { conditions, climate, ..Request::new("garden_bench") });
    assert!(["dry inland", "under a roof, salt near"].iter().all(|words| told.contains(words)), "{told}");
}

/// A piece that fails says so on its first page, and carries no rating on the owner's.
#[test]
fn what_fails_stands_before_all_else() {
    let dossier = made(&Memory::default(), &Request::new("garden_bench").set("wood", "engelmann spruce"));
    let book = html(&dossier, "book.html");
    let (fails, picture) =
        (book.find("notice failure").expect("it fails"), book.find("<figure").expect("a picture"));
    assert!(fails < picture);
    assert!(html(&dossier, "owner.html").contains("It carries no rating"));
}

/// Titles, names and words of a script are data: markup, control characters, ten thousand letters, right to left.
#[test]
fn what_a_script_says_is_never_markup() {
    let hostile = [
        "</script><script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "]]> --> </style> &lt;b&gt; \\\"quoted\\\" 'single' ${x} {{y}} #eval",
        "bell \\u0007 escape \\u001b null \\u0000",
        "\\u05d0\\u05d1\\u05d2 \\u202e turned \\u2066",
    ];
    let long = "w".repeat(10_000);
    let mut built = 0;
    for words in hostile.into_iter().chain([long.as_str()]) {
        let Some(dossier) = trial(words, Kind::Book) else { continue };
        built += 1;
        for path in ["book.html", "owner.html"] {
            let text = html(&dossier, path);
            assert!(!text.contains("<img") && !text.contains("alert(1)</script>"), "{path}: {words}");
            assert!(!text.chars().any(|c| c.is_control() && c != '\n'), "{path}: {words}");
            let scripts = text.matches("<script").count();
            assert_eq!(scripts, text.matches("</script").count(), "{path}: {words}");
            assert_eq!(scripts, if path == "book.html" { 2 } else { 0 }, "{path}: {words}");
            let all = ids(text);
            assert_eq!(all.len(), all.iter().collect::<BTreeSet<_>>().len());
        }
    }
    assert!(built > 0, "all words are refused");
}
