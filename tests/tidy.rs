//! The house: who may import whom, maps that are true, files of a readable size, words that have no place here.

#![expect(clippy::disallowed_methods, reason = "a test of the house reads the house")]

use slatwork::project::explain::explanation;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// What each room may import of the others. Arrows point one way: nothing here may ever be added upward.
const ROOMS: [(&str, &[&str]); 10] = [
    ("base", &[]),
    ("solid", &["base"]),
    ("catalog", &["base"]),
    ("model", &["base", "solid", "catalog"]),
    ("checks", &["base", "solid", "catalog", "model"]),
    ("shop", &["base", "solid", "catalog", "model"]),
    ("script", &["base", "solid", "catalog", "model"]),
    ("output", &["base", "solid", "catalog", "model", "shop"]),
    ("project", &["base", "solid", "catalog", "model", "checks", "shop", "script", "output"]),
    ("cli", &["base", "project", "output"]),
];

/// Longest source file: beyond, nobody reads it whole.
const MOST_LINES: usize = 1_200;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// All files below some folders that end so.
fn files(folders: &[&str], endings: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open: Vec<PathBuf> = folders.iter().map(|folder| root().join(folder)).collect();
    while let Some(path) = open.pop() {
        if path.is_dir() {
            open.extend(fs::read_dir(&path).unwrap().map(|entry| entry.unwrap().path()));
        } else if path.extension().is_some_and(|own| endings.iter().any(|ending| own == *ending)) {
            found.push(path);
        }
    }
    found.sort();
    found
}

#[test]
fn rooms_import_only_what_they_may() {
    for (room, allowed) in ROOMS {
        let manifest: toml::Table =
            read(&root().join("engine").join(room).join("Cargo.toml")).parse().unwrap();
        let names = |section: &str| -> Vec<String> {
            let table = manifest.get(section).and_then(toml::Value::as_table);
            table.map_or(Vec::new(), |table| table.keys().cloned().collect())
        };
        for section in ["dependencies", "dev-dependencies", "build-dependencies"] {
            for own in names(section).iter().filter_map(|name| name.strip_prefix("slatwork-")) {
                assert!(allowed.contains(&own), "`{room}` may not import `{own}` ({section})");
            }
        }
    }
}

#[test]
fn every_room_is_in_the_table() {
    let mut rooms: Vec<String> = fs::read_dir(root().join("engine"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().to_string_lossy().to_string())
        .collect();
    rooms.sort();
    let mut known = ROOMS.map(|(room, _)| room);
    known.sort_unstable();
    assert_eq!(rooms, known);
}

/// The inner room of board layout knows lengths and nothing of furniture.
#[test]
fn the_inner_room_of_layouts_imports_no_furniture() {
    for path in files(&["engine/shop/src/stock"], &["rs"]) {
        let text = read(&path);
        let inside = text.split("#[cfg(test)]").next().unwrap_or("");
        for word in
            ["slatwork_model", "slatwork_catalog", "slatwork_solid", "crate::demand", "crate::purchase"]
        {
            assert!(!inside.contains(word), "{} uses {word}", path.display());
        }
    }
}

/// The inner room of pure solvers knows lengths and directions and nothing of furniture.
#[test]
fn the_inner_room_of_statics_imports_only_base_and_solid() {
    let files = files(&["engine/checks/src/statics"], &["rs"]);
    assert!(!files.is_empty());
    for path in files {
        let text = read(&path);
        for word in
            ["slatwork_model", "slatwork_catalog", "serde", "crate::making", "crate::Case", "crate::Check"]
        {
            assert!(!text.contains(word), "{} uses {word}", path.display());
        }
    }
}

/// The first column of a room's map: names in back-ticks.
fn mapped(lib: &str) -> Vec<String> {
    let rows = lib.lines().filter_map(|line| line.strip_prefix("//! | `"));
    rows.flat_map(|row| {
        let cell = row.split(" |").next().unwrap_or("");
        cell.split(['`', ',', ' '])
            .filter(|name| name.ends_with(".rs") || name.ends_with('/'))
            .map(String::from)
            .collect::<Vec<_>>()
    })
    .collect()
}

#[test]
fn maps_name_the_files_that_are_there_and_all_of_them() {
    for (room, _) in ROOMS {
        let folder = root().join("engine").join(room).join("src");
        let named: BTreeSet<String> = mapped(&read(&folder.join("lib.rs"))).into_iter().collect();
        for name in &named {
            assert!(folder.join(name).exists(), "the map of `{room}` names {name}, which is not there");
        }
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().to_string();
            let (stem, is_dir) = (name.trim_end_matches(".rs"), path.is_dir());
            // A folder of a mapped file's own inner files, and snapshots and tests, need no row.
            let known = named.contains(&name)
                || named.contains(&format!("{name}/"))
                || named.contains(&format!("{stem}.rs"));
            let is_source = name.ends_with(".rs") || is_dir;
            assert!(
                known || !is_source || matches!(stem, "lib" | "snapshots" | "tests"),
                "`{room}`: {name} is not in the map"
            );
        }
    }
}

#[test]
fn no_file_is_too_long_to_read() {
    for path in files(&["engine", "tests", "scripts"], &["rs", "rhai", "py"]) {
        let lines = read(&path).lines().count();
        assert!(lines <= MOST_LINES, "{} has {lines} lines", path.display());
    }
}

/// Paths of one machine, put together here so that this file does not hold them itself.
fn forbidden() -> Vec<String> {
    ["work/", "root/", "tmp/t-", "home/"].iter().map(|rest| format!("{}{rest}", '/')).collect()
}

#[test]
fn no_text_names_a_path_of_one_machine() {
    let endings = ["rs", "rhai", "py", "toml", "md", "snap", "json", "csv"];
    let folders =
        ["engine", "tests", "scripts", "examples", ".ci", "README.md", "DEVELOPERS.md", "Cargo.toml"];
    let there: Vec<&str> = folders.into_iter().filter(|folder| root().join(folder).exists()).collect();
    for path in files(&there, &endings) {
        let text = read(&path);
        for (number, line) in text.lines().enumerate() {
            for word in forbidden() {
                let at = line.find(&word);
                // `.ci/work/x` and the like are no absolute paths.
                let absolute = at.is_some_and(|at| {
                    at == 0
                        || !line.as_bytes()[at - 1].is_ascii_alphanumeric()
                            && !"._-/}".contains(line.as_bytes()[at - 1] as char)
                });
                assert!(!absolute, "{}:{} names {word}", path.display(), number + 1);
            }
        }
    }
}

/// Words with hyphens in quotes that are no diagnostics.
const NO_CODES: [&str; 7] =
    ["utf-8", "book-pdf", "board-feet", "built-in", "s-hook", "knock-down", "sub-assembly"];

/// Text of a source file without its tests.
fn without_tests(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or("")
}

/// Texts in quotes that are lower-case words joined by hyphens.
fn hyphened(text: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for piece in text.split('"') {
        let is_code = piece.contains('-')
            && piece.split('-').all(|word| {
                !word.is_empty() && word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit())
            })
            && piece.starts_with(|c: char| c.is_ascii_lowercase());
        if is_code {
            found.insert(piece.to_string());
        }
    }
    found
}

#[test]
fn every_diagnostic_is_explained_and_every_explanation_is_of_one() {
    let mut used = BTreeSet::new();
    let sources = ROOMS.map(|(room, _)| format!("engine/{room}/src"));
    let folders: Vec<&str> = sources.iter().map(String::as_str).collect();
    for path in files(&folders, &["rs"]) {
        if path.components().any(|part| part.as_os_str() == "explain" || part.as_os_str() == "tests") {
            continue;
        }
        for code in hyphened(without_tests(&read(&path))) {
            let known = NO_CODES.contains(&code.as_str()) || explanation(&code).is_some();
            assert!(known, "`{code}` in {} has no explanation in engine/project/src/explain", path.display());
            used.insert(code);
        }
    }
    // Codes of one word look like any other text.
    used.extend(["printed", "remark"].map(String::from));
    for own in slatwork::project::explain::all() {
        assert!(used.contains(own.code), "`{}` is explained and never used", own.code);
    }
}

/// What test runs leave behind has its place, or none.
#[test]
fn test_runs_leave_nothing_lying_about() {
    let seeds = root().join("proptest-regressions");
    assert!(!seeds.exists(), "seeds of property tests belong beside the crate they are of");
    let pending = files(&["engine", "tests"], &["pending-snap"]);
    assert!(pending.is_empty(), "snapshots not looked at: {pending:?}");
}

/// `main.rs` does nothing by itself.
#[test]
fn the_program_is_three_lines() {
    let main = read(&root().join("engine/main.rs"));
    assert_eq!(main.lines().filter(|line| !line.starts_with("//")).count(), 3, "{main}");
}
