//! The outside: files in, files out. Nothing below this room sees more of it.
//!
//! There is no clock here on purpose: papers carry no date, so that the same design gives the same bytes every day.

use slatwork_base::{Diagnostic, Place};
use slatwork_script::RootInfo;
use std::io::{Read, Write};

/// A file to be written, by its path below the folder it is written to, with `/` between folders.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileOut<'a> {
    /// Path below the folder.
    pub path: &'a str,
    /// Contents.
    pub bytes: &'a [u8],
}

/// Where scripts and other files are read and papers are written: a disk, or a memory in tests.
///
/// Every error names the path as the user knows it, says why, and what to do.
pub trait World: Sync {
    /// The roots with the user's scripts, in order of search; the built-in ones come after them by themselves.
    fn roots(&self) -> Vec<RootInfo>;

    /// The files below a folder of a root whose names end in `ending`, relative to that folder, sub-folders included. A
    /// folder that is not there is empty.
    fn list(&self, root: &str, folder: &str, ending: &str) -> Result<Vec<String>, Diagnostic>;

    /// The text of a file below a root. Refuses whatever a link or a name would lead out of the root.
    fn read_below(&self, root: &str, path: &str) -> Result<String, Diagnostic>;

    /// The text of a file that the user named.
    fn read(&self, path: &str) -> Result<String, Diagnostic>;

    /// A file that the user named, read piece by piece.
    fn open(&self, path: &str) -> Result<Box<dyn Read + Send + '_>, Diagnostic>;

    /// Writes a file below the first root, in folders made as needed; refuses one that is there. Gives its path as the
    /// user knows it.
    fn create_below(&self, path: &str, bytes: &[u8]) -> Result<String, Diagnostic>;

    /// Writes one file in place of whatever is there, piece by piece as `fill` gives them: whole, or when `fill` or the
    /// disk fails, not at all.
    fn write_with(&self, path: &str, fill: &mut Fill<'_>) -> Result<(), Diagnostic>;

    /// As [`World::write_with`], all at once.
    fn write(&self, path: &str, bytes: &[u8]) -> Result<(), Diagnostic> {
        self.write_with(path, &mut |out| out.write_all(bytes).map_err(|error| not_written(path, &error)))
    }

    /// Writes files of a design to a folder, made as needed. Either all are written or, when any cannot be, none is. Files that
    /// an earlier call wrote for another design, or in a sub-folder which is written again, and that are no longer among `files`,
    /// are taken away: a paper of another piece would be worse than none. Gives the paths as the user knows them.
    fn write_all(&self, folder: &str, design: &str, files: &[FileOut<'_>])
    -> Result<Vec<String>, Diagnostic>;
}

/// Fills a file.
pub type Fill<'f> = dyn FnMut(&mut (dyn Write + Send)) -> Result<(), Diagnostic> + 'f;

fn not_written(path: &str, error: &std::io::Error) -> Diagnostic {
    Diagnostic::error("folder-not-writable", format!("{path} cannot be written: {error}"))
        .at(Place::Path(path.to_string()))
        .help("choose another place; nothing was written")
}

/// Most bytes of a file that is read whole: far above any script, catalogue or order list.
pub const MOST_BYTES: u64 = 1 << 20;

/// Name of the list of what was written, kept in the folder itself.
pub(crate) const MANIFEST: &str = ".slatwork";

/// What leads the line of the list that tells the design; no path of ours holds a colon.
const DESIGN: &str = "design: ";

/// Of the files written earlier, those to take away: of another design, or in a sub-folder that is written again, and not written
/// again.
pub(crate) fn stale<'m>(manifest: &'m str, design: &str, files: &[FileOut<'_>]) -> Vec<&'m str> {
    let other = manifest.lines().find_map(|line| line.strip_prefix(DESIGN)).is_some_and(|own| own != design);
    let folder = |path: &str| path.split_once('/').map(|(folder, _)| folder.to_string());
    let written: Vec<String> = files.iter().filter_map(|file| folder(file.path)).collect();
    let again = |line: &str| files.iter().any(|file| file.path == line);
    let rewritten = |line: &str| folder(line).is_some_and(|own| written.contains(&own));
    let lines = manifest.lines().filter(|line| is_plain_path(line) && !again(line));
    lines.filter(|line| other || rewritten(line)).collect()
}

/// The list of what lies in the folder after these files are written.
pub(crate) fn manifest(earlier: &str, design: &str, files: &[FileOut<'_>]) -> String {
    let gone = stale(earlier, design, files);
    let kept = earlier.lines().filter(|line| is_plain_path(line) && !gone.contains(line));
    let mut lines: Vec<&str> = kept.chain(files.iter().map(|file| file.path)).collect();
    lines.sort_unstable();
    lines.dedup();
    let paths = lines.iter().map(|line| format!("{line}\n"));
    core::iter::once(format!("{DESIGN}{design}\n")).chain(paths).collect()
}

pub(crate) fn bad_path(path: &str) -> Diagnostic {
    Diagnostic::error("bad-path", format!("{path:?} is no path below a folder"))
        .at(Place::Path(path.to_string()))
        .help("write plain names joined by `/`")
}

/// Refuses files whose paths lead out of their folder.
pub(crate) fn all_plain(files: &[FileOut<'_>]) -> Result<(), Diagnostic> {
    files.iter().find(|file| !is_plain_path(file.path)).map_or(Ok(()), |file| Err(bad_path(file.path)))
}

/// Whether a path is words joined by `/` that lead nowhere else.
pub(crate) fn is_plain_path(path: &str) -> bool {
    let is_word =
        |word: &str| !word.is_empty() && word != "." && word != ".." && !word.contains(['\\', ':', '\0']);
    !path.is_empty() && path.split('/').all(is_word)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn out(path: &str) -> FileOut<'_> {
        FileOut { path, bytes: b"" }
    }

    #[test]
    fn only_own_files_of_rewritten_folders_go() {
        let earlier = "bill.txt\ndrawings/A.svg\ndrawings/B.svg\noutlines/A.dxf\n../secret\ndrawings/../x\n";
        let files = [out("drawings/A.svg"), out("cutlist.txt")];
        assert_eq!(stale(earlier, "a", &files), ["drawings/B.svg"]);
        let now = manifest(earlier, "a", &files);
        assert_eq!(now, "design: a\nbill.txt\ncutlist.txt\ndrawings/A.svg\noutlines/A.dxf\n");
    }

    #[test]
    fn papers_of_another_design_go() {
        let earlier = "design: a\nbill.txt\ndrawings/A.svg\n../secret\n";
        let files = [out("cutlist.txt")];
        assert_eq!(stale(earlier, "a", &files), Vec::<&str>::new());
        assert_eq!(stale(earlier, "b", &files), ["bill.txt", "drawings/A.svg"]);
        assert_eq!(manifest(earlier, "b", &files), "design: b\ncutlist.txt\n");
    }
}
