//! Embeds the scripts that come with the program: every file of `scripts/` becomes one row of a table.

#![expect(clippy::disallowed_methods, reason = "a build script reads the disk and its environment")]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scripts = Path::new(&std::env::var("CARGO_MANIFEST_DIR")?).join("../../scripts");
    println!("cargo::rerun-if-changed={}", scripts.display());
    let mut files = Vec::new();
    gather(&scripts, &mut files)?;
    files.sort();
    let mut table = String::from("&[\n");
    for file in &files {
        println!("cargo::rerun-if-changed={}", file.display());
        let path = file.strip_prefix(&scripts)?.to_string_lossy().replace('\\', "/");
        writeln!(table, "    ({path:?}, include_str!({:?})),", std::fs::canonicalize(file)?)?;
    }
    table.push_str("]\n");
    let target = Path::new(&std::env::var("OUT_DIR")?).join("built_in.rs");
    Ok(std::fs::write(target, table)?)
}

/// All scripts and catalogue files below a folder.
fn gather(folder: &Path, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    if !folder.is_dir() {
        return Ok(());
    }
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            println!("cargo::rerun-if-changed={}", path.display());
            gather(&path, files)?;
        } else if path.extension().is_some_and(|ending| ending == "rhai" || ending == "toml") {
            files.push(path);
        }
    }
    Ok(())
}
