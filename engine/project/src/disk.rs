//! The world on a disk. **Whatever is asked of a root stays below it**: paths are resolved, links included, before
//! anything is opened. **Nothing half-written is left**: files are written beside their place and then renamed.

#![expect(clippy::disallowed_methods, reason = "the one file through which the program touches a disk")]

use crate::world::{
    FileOut, Fill, MANIFEST, MOST_BYTES, World, all_plain, bad_path, is_plain_path, manifest, stale,
};
use slatwork_base::{Diagnostic, Place};
use slatwork_script::{RootInfo, RootKind};
use std::fs::{self, File};
use std::io::{self, BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

/// Deepest folder looked into below a root.
const DEEPEST: usize = 8;
/// Most files of one folder of a root: a folder with more is surely not one of scripts.
const MOST_FILES: usize = 2_000;

/// A folder of the user's scripts.
#[derive(Clone, Debug)]
struct Root {
    info: RootInfo,
    folder: PathBuf,
}

/// The disk, with the roots that the user named.
#[derive(Clone, Debug, Default)]
pub struct Disk {
    roots: Vec<Root>,
}

impl Disk {
    /// A disk without roots: only the built-in scripts and files named by their paths.
    pub fn new() -> Self {
        Disk::default()
    }

    /// Adds a folder of scripts, after those added before. A folder that is not there is empty.
    #[must_use]
    pub fn with_root(mut self, folder: &str, kind: RootKind, trusted: bool) -> Self {
        let trimmed = folder.trim_end_matches('/');
        let shown = if folder == "." { String::new() } else { format!("{trimmed}/") };
        let info = RootInfo { name: folder.to_string(), kind, shown, trusted };
        self.roots.push(Root { info, folder: PathBuf::from(folder) });
        self
    }

    fn root(&self, name: &str) -> Option<&Root> {
        self.roots.iter().find(|root| root.info.name == name)
    }
}

impl World for Disk {
    fn roots(&self) -> Vec<RootInfo> {
        self.roots.iter().map(|root| root.info.clone()).collect()
    }

    fn list(&self, root: &str, folder: &str, ending: &str) -> Result<Vec<String>, Diagnostic> {
        let Some(root) = self.root(root) else { return Ok(Vec::new()) };
        // A folder named by mistake must not pass for an empty one.
        root.folder.read_dir().map_err(|error| unreadable(&root.info.shown, &error))?;
        let mut found = Vec::new();
        walk(&root.folder.join(folder), "", ending, DEEPEST, &mut found)
            .map_err(|error| unreadable(&format!("{}{folder}", root.info.shown), &error))?;
        if found.len() > MOST_FILES {
            let message = format!("there are more than {MOST_FILES} files in {}{folder}", root.info.shown);
            return Err(
                Diagnostic::error("too-many-files", message).help("choose another folder with --root")
            );
        }
        Ok(found)
    }

    fn read_below(&self, root: &str, path: &str) -> Result<String, Diagnostic> {
        let Some(root) = self.root(root).filter(|_| is_plain_path(path)) else { return Err(bad_path(path)) };
        let shown = format!("{}{path}", root.info.shown);
        let resolve = |path: &Path| fs::canonicalize(path).map_err(|error| unreadable(&shown, &error));
        let real = resolve(&root.folder.join(path))?;
        if !real.starts_with(resolve(&root.folder)?) {
            let message = format!("{shown} leads out of its script folder");
            let diagnostic = Diagnostic::error("leaves-root", message).at(Place::Path(shown));
            return Err(diagnostic.help("put the file itself there instead of a link"));
        }
        read_text(&real, &shown)
    }

    fn read(&self, path: &str) -> Result<String, Diagnostic> {
        read_text(Path::new(path), path)
    }

    fn open(&self, path: &str) -> Result<Box<dyn Read + Send + '_>, Diagnostic> {
        Ok(Box::new(BufReader::new(open_file(Path::new(path), path)?)))
    }

    fn create_below(&self, path: &str, bytes: &[u8]) -> Result<String, Diagnostic> {
        let Some(root) = self.roots.first().filter(|_| is_plain_path(path)) else {
            return Err(bad_path(path));
        };
        let (shown, target) = (format!("{}{path}", root.info.shown), root.folder.join(path));
        if target.symlink_metadata().is_ok() {
            return Err(there_already(&shown));
        }
        make_parent(&target)
            .and_then(|()| write_beside(&target, bytes))
            .map_err(|error| unwritable(&shown, &error))?;
        Ok(shown)
    }

    fn write_with(&self, path: &str, fill: &mut Fill<'_>) -> Result<(), Diagnostic> {
        let failed = |error: io::Error| unwritable(path, &error);
        let beside = Beside::of(Path::new(path)).map_err(failed)?;
        let mut out = BufWriter::new(File::create(&beside.path).map_err(failed)?);
        fill(&mut out)?;
        out.flush().and_then(|()| beside.replace(Path::new(path))).map_err(failed)
    }

    fn write_all(
        &self,
        folder: &str,
        design: &str,
        files: &[FileOut<'_>],
    ) -> Result<Vec<String>, Diagnostic> {
        all_plain(files)?;
        let target = Path::new(folder);
        let failed = |error: io::Error| unwritable(folder, &error);
        let existed = target.is_dir();
        let stage = Stage::beside(target).map_err(failed)?;
        stage.fill(files).map_err(failed)?;
        match if existed {
            stage.merge_into(target, design, files)
        } else {
            stage.become_folder(target, design, files)
        } {
            Ok(()) => Ok(files
                .iter()
                .map(|file| format!("{}/{}", folder.trim_end_matches('/'), file.path))
                .collect()),
            Err(error) => Err(failed(error)),
        }
    }
}

/// Files below a folder by their endings. Linked folders are not entered: they may lead anywhere, or round in a circle.
fn walk(folder: &Path, before: &str, ending: &str, deep: usize, found: &mut Vec<String>) -> io::Result<()> {
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        other => other?,
    };
    for entry in entries {
        let entry = entry?;
        let Ok(name) = entry.file_name().into_string() else { continue };
        let (kind, path) = (entry.file_type()?, format!("{before}{name}"));
        if kind.is_dir() && deep > 0 {
            walk(&entry.path(), &format!("{path}/"), ending, deep - 1, found)?;
        } else if !kind.is_dir() && name.ends_with(ending) {
            found.push(path);
        }
        if found.len() > MOST_FILES {
            break;
        }
    }
    Ok(())
}

fn open_file(path: &Path, shown: &str) -> Result<File, Diagnostic> {
    let file = File::open(path).map_err(|error| unreadable(shown, &error))?;
    let about = file.metadata().map_err(|error| unreadable(shown, &error))?;
    if about.is_file() {
        return Ok(file);
    }
    let what = if about.is_dir() { "a folder" } else { "no plain file" };
    let diagnostic = Diagnostic::error("file-not-readable", format!("{shown} cannot be read: it is {what}"));
    Err(diagnostic.at(Place::Path(shown.to_string())).help("name a text file"))
}

fn read_text(path: &Path, shown: &str) -> Result<String, Diagnostic> {
    read_whole(open_file(path, shown)?, shown)
}

/// All that a reader gives, as text.
///
/// # Errors
/// `file-not-readable`, `file-too-large`, `file-not-text`, by the name that the user knows it by.
pub fn read_whole(reader: impl Read, shown: &str) -> Result<String, Diagnostic> {
    let mut bytes = Vec::new();
    reader.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| unreadable(shown, &error))?;
    let at = |diagnostic: Diagnostic| diagnostic.at(Place::Path(shown.to_string()));
    if bytes.len() as u64 > MOST_BYTES {
        let message = format!("{shown} is larger than {} KiB", MOST_BYTES >> 10);
        return Err(at(Diagnostic::error("file-too-large", message)).help("split it"));
    }
    String::from_utf8(bytes).map_err(|_| {
        at(Diagnostic::error("file-not-text", format!("{shown} is not a text in UTF-8")))
            .help("save it as UTF-8 text")
    })
}

fn make_parent(path: &Path) -> io::Result<()> {
    match path.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        Some(parent) => fs::create_dir_all(parent),
        None => Ok(()),
    }
}

/// A file beside its place, under a name nobody else uses, taken away at the end unless it took its place.
struct Beside {
    path: PathBuf,
}

impl Beside {
    fn of(place: &Path) -> io::Result<Beside> {
        let name = place.file_name().ok_or(io::ErrorKind::InvalidInput)?.to_string_lossy();
        Ok(Beside { path: place.with_file_name(format!(".{name}.{}", std::process::id())) })
    }

    fn replace(self, place: &Path) -> io::Result<()> {
        fs::rename(&self.path, place)
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        // Gone already when it took its place.
        drop(fs::remove_file(&self.path));
    }
}

fn write_beside(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let beside = Beside::of(path)?;
    fs::write(&beside.path, bytes)?;
    beside.replace(path)
}

/// A folder beside the one to be written, filled first and taken away at the end, whatever happens.
struct Stage {
    folder: PathBuf,
}

impl Stage {
    fn beside(target: &Path) -> io::Result<Stage> {
        make_parent(target)?;
        let name = target.file_name().map_or(String::from("out"), |name| name.to_string_lossy().to_string());
        let parent = target.parent().unwrap_or(Path::new(""));
        let folder = match target.file_name() {
            Some(_) => parent.join(format!(".{name}.{}", std::process::id())),
            // `.` and `..` have no place beside them that is surely ours.
            None => target.join(format!(".{name}.{}", std::process::id())),
        };
        fs::create_dir(&folder)?;
        Ok(Stage { folder })
    }

    fn fill(&self, files: &[FileOut<'_>]) -> io::Result<()> {
        for file in files {
            let path = self.folder.join(file.path);
            make_parent(&path)?;
            fs::write(path, file.bytes)?;
        }
        Ok(())
    }

    /// The filled folder becomes the target, in one step.
    fn become_folder(self, target: &Path, design: &str, files: &[FileOut<'_>]) -> io::Result<()> {
        fs::write(self.folder.join(MANIFEST), manifest("", design, files))?;
        fs::rename(&self.folder, target)
    }

    /// Each file is renamed into the target, in the place of its earlier self.
    fn merge_into(self, target: &Path, design: &str, files: &[FileOut<'_>]) -> io::Result<()> {
        let earlier = read_text(&target.join(MANIFEST), MANIFEST).unwrap_or_default();
        // Every place is tried before the first file is moved, so that a folder in the way stops all or nothing.
        for file in files {
            let place = target.join(file.path);
            make_parent(&place)?;
            if place.is_dir() {
                return Err(io::Error::other(format!("{} is a folder", place.display())));
            }
        }
        for file in files {
            fs::rename(self.folder.join(file.path), target.join(file.path))?;
        }
        for gone in stale(&earlier, design, files) {
            match fs::remove_file(target.join(gone)) {
                Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
        write_beside(&target.join(MANIFEST), manifest(&earlier, design, files).as_bytes())
    }
}

impl Drop for Stage {
    fn drop(&mut self) {
        // Gone already when it became the target.
        drop(fs::remove_dir_all(&self.folder));
    }
}

/// The system's reason in plain words, without its number.
fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => String::from("there is no such file or folder"),
        io::ErrorKind::PermissionDenied => String::from("permission is denied"),
        io::ErrorKind::NotADirectory => String::from("a part of its path is a file, not a folder"),
        io::ErrorKind::AlreadyExists => String::from("something of that name is in the way"),
        io::ErrorKind::ReadOnlyFilesystem => String::from("the disk is read-only"),
        io::ErrorKind::StorageFull => String::from("the disk is full"),
        _ => error.to_string(),
    }
}

fn unreadable(shown: &str, error: &io::Error) -> Diagnostic {
    Diagnostic::error("file-not-readable", format!("{shown} cannot be read: {}", reason(error)))
        .at(Place::Path(shown.to_string()))
        .help("check the name and the folder")
}

fn unwritable(shown: &str, error: &io::Error) -> Diagnostic {
    Diagnostic::error("folder-not-writable", format!("{shown} cannot be written: {}", reason(error)))
        .at(Place::Path(shown.to_string()))
        .help("choose another place with --out; nothing was written")
}

pub(crate) fn there_already(shown: &str) -> Diagnostic {
    Diagnostic::error("file-exists", format!("{shown} is there already"))
        .at(Place::Path(shown.to_string()))
        .help("choose another name, or move the file away")
}
