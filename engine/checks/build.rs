//! Gathers the five headings at the top of each check's file into one table, by the fault that the file names.

#![expect(clippy::disallowed_methods, reason = "a build script reads the disk and its environment")]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// What a check's file says, in this order.
const TITLES: [(&str, &str); 5] = [
    ("What it checks", "checks"),
    ("Why", "why"),
    ("Method and source", "method"),
    ("Example", "example"),
    ("Remedy", "remedy"),
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let source = Path::new(&std::env::var("CARGO_MANIFEST_DIR")?).join("src");
    println!("cargo::rerun-if-changed=src");
    let mut files = Vec::new();
    gather(&source, &mut files)?;
    let mut rows = Vec::new();
    for file in files {
        rows.extend(row(&std::fs::read_to_string(file)?));
    }
    rows.sort();
    let target = Path::new(&std::env::var("OUT_DIR")?).join("headings.rs");
    Ok(std::fs::write(target, format!("&[\n{}]\n", rows.concat()))?)
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            gather(&path, files)?;
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
    Ok(())
}

/// A row of the table; none of a file that is no check's. A heading that is missing is left empty, for the test to refuse.
fn row(text: &str) -> Option<String> {
    let head: Vec<&str> = text.lines().map_while(|line| line.strip_prefix("//!")).map(str::trim).collect();
    if !head.iter().any(|line| *line == format!("# {}", TITLES[0].0)) {
        return None;
    }
    let mut row = format!("    Headings {{ fault: {:?}", fault(text)?);
    for (title, field) in TITLES {
        let lines = head.iter().skip_while(|line| **line != format!("# {title}")).skip(1);
        let words: Vec<&str> = lines.take_while(|line| !line.starts_with("# ")).copied().collect();
        write!(row, ", {field}: {:?}", words.join(" ").trim()).ok()?;
    }
    Some(row + " },\n")
}

/// The name in `const FAULT: &str = ".."` or `fault: ".."`.
fn fault(text: &str) -> Option<&str> {
    let named =
        ["FAULT: &str = \"", "fault: \""].iter().find_map(|before| Some(text.split_once(before)?.1))?;
    named.split('"').next()
}
