//! Sheets of the shipped families as usual and of random variants, read back from the files: no lettering on other
//! lettering, on a thin line or off the frame.

#[allow(dead_code, reason = "what other tests take of it")]
mod variants;

use roxmltree::{Document, Node};
use slatwork::output::lettering;
use slatwork::script::{ScriptKind, Value};
use slatwork::{Kind, Memory, Request, Units, Workshop, build, with_stack};
use variants::{Dice, Point};

/// Over two hundred in all.
const VARIANTS: usize = 67;

/// Nothing is written nearer to the paper's border than the frame, less the thickness of its line, mm.
const FRAME: f64 = 7.0;

/// What rounding to a thousandth in the file may do, mm.
const ROUNDING: f64 = 0.01;

/// An upright box and what is written there.
struct Lettering {
    text: String,
    low: [f64; 2],
    high: [f64; 2],
}

impl Lettering {
    fn of(node: Node) -> Lettering {
        let number =
            |name: &str| node.attribute(name).and_then(|own| own.parse::<f64>().ok()).expect("a number");
        let text = plain(node);
        let height = number("font-size") * CAPITAL;
        let width = lettering::width(&text, height);
        let left = match node.attribute("text-anchor") {
            Some("middle") => width / 2.0,
            Some("end") => width,
            _ => 0.0,
        };
        let (left, foot) = (number("x") - left, number("y"));
        Lettering { text, low: [left, foot - height], high: [left + width, foot] }
    }

    fn is_apart(&self, other: &Lettering) -> bool {
        (0..2).any(|axis| {
            self.high[axis] < other.low[axis] + ROUNDING || other.high[axis] < self.low[axis] + ROUNDING
        })
    }

    /// Whether a line runs through it: what is left of the line within the box is longer than nothing.
    fn is_crossed(&self, from: [f64; 2], to: [f64; 2]) -> bool {
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
        for axis in 0..2 {
            let way = to[axis] - from[axis];
            let (low, high) = (self.low[axis] + ROUNDING, self.high[axis] - ROUNDING);
            if way.abs() < 1e-9 {
                if from[axis] <= low || high <= from[axis] {
                    return false;
                }
                continue;
            }
            let (a, b) = ((low - from[axis]) / way, (high - from[axis]) / way);
            (enter, leave) = (enter.max(a.min(b)), leave.min(a.max(b)));
        }
        enter < leave
    }
}

/// Height of a capital as a share of the type size, as the files are written.
const CAPITAL: f64 = 0.72;

/// The line of lettering with its small set fractions as plain text.
fn plain(node: Node) -> String {
    let mut text = String::new();
    for child in node.children() {
        let own = child.text().unwrap_or_default();
        match child.attribute("dy") {
            Some(dy) if dy.starts_with('-') => {
                let gap = if text.ends_with(|c: char| c.is_ascii_digit()) { " " } else { "" };
                text.extend([gap, own]);
            }
            Some(_) => text.push_str(&own.replace('⁄', "/")),
            None if child.is_text() => text.push_str(own),
            None => {}
        }
    }
    text
}

/// Classes of thin lines that go with lettering.
const THIN: &[&str] = &["dimension", "mark"];

/// In pictures of steps and in the exploded view lettering also stands clear of everything drawn.
const DRAWN: &[&str] = &["dimension", "mark", "outline", "edge", "standing", "way", "centre"];

/// Straight lines of some classes.
fn straight_lines(document: &Document, classes: &[&str]) -> Vec<([f64; 2], [f64; 2])> {
    let groups = document
        .descendants()
        .filter(|node| node.attribute("class").is_some_and(|own| classes.contains(&own)));
    let paths = groups.flat_map(|group| group.children().filter(|node| node.has_tag_name("path")));
    let straight = paths.filter_map(|path| line(path.attribute("d")?));
    straight.collect()
}

/// `M1 2L3 4`; nothing for arcs and polygons.
fn line(data: &str) -> Option<([f64; 2], [f64; 2])> {
    let (from, to) = data.strip_prefix('M')?.split_once('L')?;
    let point = |text: &str| -> Option<[f64; 2]> {
        let (x, y) = text.split_once(' ')?;
        Some([x.parse().ok()?, y.parse().ok()?])
    };
    Some((point(from)?, point(to)?))
}

/// What is wrong with a sheet.
fn faults(path: &str, svg: &str) -> Vec<String> {
    let document = Document::parse(svg).expect("XML");
    let letterings: Vec<Lettering> =
        document.descendants().filter(|node| node.has_tag_name("text")).map(Lettering::of).collect();
    let size = |name: &str| -> f64 {
        let text = document.root_element().attribute(name).expect("a size");
        text.strip_suffix("mm").expect("in mm").parse().expect("a number")
    };
    let (width, height) = (size("width"), size("height"));
    let is_picture = path.contains("/step_") || path.contains("/exploded");
    let lines = straight_lines(&document, if is_picture { DRAWN } else { THIN });
    let mut faults = Vec::new();
    for (index, own) in letterings.iter().enumerate() {
        let inside = own.low[0] > FRAME
            && own.low[1] > FRAME
            && own.high[0] < width - FRAME
            && own.high[1] < height - FRAME;
        if !inside {
            faults.push(format!("`{}` runs off the sheet", own.text));
        }
        let others = letterings[index + 1..].iter().filter(|other| !own.is_apart(other));
        faults.extend(others.map(|other| format!("`{}` and `{}` overlap", own.text, other.text)));
        let crossed = lines.iter().filter(|(from, to)| own.is_crossed(*from, *to));
        faults.extend(
            crossed.map(|(from, to)| format!("a line from {from:?} to {to:?} runs through `{}`", own.text)),
        );
    }
    faults.extend(unnumbered(&letterings));
    faults
}

/// Holes of the tables that no view shows by their number; in inches, where no length is a bare number.
fn unnumbered(letterings: &[Lettering]) -> Vec<String> {
    let count = |text: &str| letterings.iter().filter(|own| own.text == text).count();
    if count("no.") == 0 || count("inches") == 0 {
        return Vec::new();
    }
    // Once in the table, once beside the hole.
    let listed = (1..).map(|number: usize| number.to_string()).take_while(|number| count(number) > 0);
    listed
        .filter(|number| count(number) < 2)
        .map(|number| format!("hole {number} is marked on no view"))
        .collect()
}

/// As usual, on inch and on metric paper, then random variants.
fn points(family: &str) -> Vec<Point> {
    let workshop = Workshop::open(&Memory::default(), &Request::new(family)).value.expect("it is shipped");
    let script = workshop.library().script(ScriptKind::Family, family).expect("it is shipped");
    let values = variants::values(script);
    let mut dice = Dice(20_261_126);
    let usual = core::iter::repeat_n(Point::new(), 2);
    usual.chain((0..VARIANTS).map(|_| dice.point(&values))).collect()
}

/// Sheets of a variant by path; none where the combination is refused.
fn sheets(family: &str, point: &Point, units: Units) -> Vec<(String, String)> {
    let set = |request: Request, (name, value): &(String, Value)| request.set(name, value.to_string());
    let mut request = point.iter().fold(Request::new(family), set);
    (request.only, request.units) = (vec![Kind::Drawings], units);
    let made = build(&Memory::default(), &request).value;
    let documents = made.map_or(Vec::new(), |dossier| dossier.documents);
    documents.iter().map(|own| (own.path.clone(), own.text().expect("text").to_string())).collect()
}

fn legible(family: &str) {
    let (count, faults) = with_stack(|| {
        let (mut count, mut told) = (0, Vec::new());
        for (index, point) in points(family).iter().enumerate() {
            let units = if index % 2 == 0 { Units::Inch } else { Units::Mm };
            for (path, svg) in sheets(family, point, units) {
                count += 1;
                let variant = variants::words(point);
                told.extend(
                    faults(&path, &svg).into_iter().map(|fault| format!("{path} of {variant}: {fault}")),
                );
            }
        }
        (count, told)
    })
    .expect("a thread with a deep stack");
    assert!(count > 10 * VARIANTS / 2, "only {count} sheets");
    assert!(faults.is_empty(), "{} faults on {count} sheets\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn sheets_of_the_swing_are_legible() {
    legible("porch_swing");
}

#[test]
fn sheets_of_the_bench_are_legible() {
    legible("garden_bench");
}

#[test]
fn sheets_of_the_chair_are_legible() {
    legible("adirondack_chair");
}
