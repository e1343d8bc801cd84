//! A world in memory: for tests, and for programs that keep their scripts elsewhere.

use crate::world::{FileOut, Fill, MANIFEST, World, all_plain, manifest, stale};
use slatwork_base::{Diagnostic, Place};
use slatwork_script::{RootInfo, RootKind};
use std::collections::BTreeMap;
use std::io::{Cursor, Read};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Files by path. One root, named "memory", holds them all.
#[derive(Debug, Default)]
pub struct Memory {
    files: Mutex<BTreeMap<String, Vec<u8>>>,
}

impl Memory {
    /// A world of these files, each a path and a text.
    pub fn of<'f>(files: impl IntoIterator<Item = (&'f str, &'f str)>) -> Self {
        let files = files.into_iter().map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()));
        Memory { files: Mutex::new(files.collect()) }
    }

    /// The bytes of a file, if it is there.
    pub fn bytes(&self, path: &str) -> Option<Vec<u8>> {
        self.files().get(path).cloned()
    }

    /// All paths, sorted.
    pub fn paths(&self) -> Vec<String> {
        self.files().keys().cloned().collect()
    }

    fn files(&self) -> MutexGuard<'_, BTreeMap<String, Vec<u8>>> {
        self.files.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn missing(path: &str) -> Diagnostic {
    Diagnostic::error("file-not-readable", format!("{path} cannot be read: there is no such file"))
        .at(Place::Path(path.to_string()))
        .help("check the name and the folder")
}

impl World for Memory {
    fn roots(&self) -> Vec<RootInfo> {
        vec![RootInfo {
            name: String::from("memory"),
            kind: RootKind::Project,
            shown: String::new(),
            trusted: true,
        }]
    }

    fn list(&self, _root: &str, folder: &str, ending: &str) -> Result<Vec<String>, Diagnostic> {
        let files = self.files();
        let below = files.keys().filter_map(|path| path.strip_prefix(folder)?.strip_prefix('/'));
        Ok(below.filter(|name| name.ends_with(ending)).map(String::from).collect())
    }

    fn read_below(&self, _root: &str, path: &str) -> Result<String, Diagnostic> {
        self.read(path)
    }

    fn read(&self, path: &str) -> Result<String, Diagnostic> {
        let bytes = self.bytes(path).ok_or_else(|| missing(path))?;
        String::from_utf8(bytes).map_err(|_| {
            Diagnostic::error("file-not-text", format!("{path} is not a text in UTF-8"))
                .at(Place::Path(path.to_string()))
                .help("save it as UTF-8 text")
        })
    }

    fn open(&self, path: &str) -> Result<Box<dyn Read + Send + '_>, Diagnostic> {
        Ok(Box::new(Cursor::new(self.bytes(path).ok_or_else(|| missing(path))?)))
    }

    fn create_below(&self, path: &str, bytes: &[u8]) -> Result<String, Diagnostic> {
        if self.bytes(path).is_some() {
            return Err(crate::disk::there_already(path));
        }
        self.write(path, bytes)?;
        Ok(path.to_string())
    }

    fn write_with(&self, path: &str, fill: &mut Fill<'_>) -> Result<(), Diagnostic> {
        let mut bytes = Vec::new();
        fill(&mut bytes)?;
        self.files().insert(path.to_string(), bytes);
        Ok(())
    }

    fn write_all(
        &self,
        folder: &str,
        design: &str,
        files: &[FileOut<'_>],
    ) -> Result<Vec<String>, Diagnostic> {
        let inside = |path: &str| format!("{folder}/{path}");
        all_plain(files)?;
        let earlier =
            self.bytes(&inside(MANIFEST)).and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default();
        for gone in stale(&earlier, design, files) {
            self.files().remove(&inside(gone));
        }
        for file in files {
            self.write(&inside(file.path), file.bytes)?;
        }
        self.write(&inside(MANIFEST), manifest(&earlier, design, files).as_bytes())?;
        Ok(files.iter().map(|file| inside(file.path)).collect())
    }
}
