//! Writing a set of files whole or not at all: all are written aside first, then put in place together.

use super::Failure;
use std::path::{Path, PathBuf};

/// Files on their way to a folder.
pub struct Output {
    folder: PathBuf,
    aside: tempfile::TempDir,
    files: Vec<PathBuf>,
    gone: Vec<PathBuf>,
}

fn failed(path: &Path, why: impl std::fmt::Display) -> Failure {
    Failure::File(format!("can't write {}: {why}", path.display()))
}

#[expect(clippy::disallowed_methods, reason = "writing files is this file's job")]
impl Output {
    /// Prepares to write to a folder, which is made where it is missing.
    pub fn to(folder: &Path) -> Result<Self, Failure> {
        std::fs::create_dir_all(folder).map_err(|why| failed(folder, why))?;
        let aside =
            tempfile::Builder::new().prefix(".lineward-").tempdir_in(folder).map_err(|why| failed(folder, why))?;
        Ok(Self { folder: folder.to_path_buf(), aside, files: Vec::new(), gone: Vec::new() })
    }

    /// Writes one file aside.
    pub fn add(
        &mut self,
        name: &str,
        write: impl FnOnce(&mut dyn std::io::Write) -> std::io::Result<()>,
    ) -> Result<(), Failure> {
        let path = self.folder.join(name);
        let aside = self.aside.path().join(format!("new-{}", self.files.len()));
        let file = std::fs::File::create(&aside).map_err(|why| failed(&path, why))?;
        let mut buffered = std::io::BufWriter::new(file);
        write(&mut buffered).map_err(|why| failed(&path, why))?;
        buffered
            .into_inner()
            .map_err(|why| failed(&path, why.error()))?
            .sync_all()
            .map_err(|why| failed(&path, why))?;
        self.files.push(path);
        Ok(())
    }

    /// Marks a file of an earlier run that must not be left beside the new ones.
    pub fn remove(&mut self, name: &str) {
        self.gone.push(self.folder.join(name));
    }

    /// Puts everything in place; where one file can't be, all are as they were.
    pub fn finish(self) -> Result<(), Failure> {
        let mut done: Vec<(&Path, PathBuf, bool)> = Vec::new();
        let steps = self.files.iter().map(|path| (path, true)).chain(self.gone.iter().map(|path| (path, false)));
        for (i, (path, new)) in steps.enumerate() {
            let old = self.aside.path().join(format!("old-{i}"));
            let fresh = new.then(|| self.aside.path().join(format!("new-{i}")));
            if let Err(why) = replace(path, &old, fresh.as_deref()) {
                done.iter().rev().for_each(|(path, old, new)| restore(path, old, *new));
                return Err(failed(path, why));
            }
            done.push((path, old, new));
        }
        Ok(())
    }
}

/// Moves what is there aside, and the new file, if there is one, in its place.
#[expect(clippy::disallowed_methods, reason = "writing files is this file's job")]
fn replace(path: &Path, old: &Path, fresh: Option<&Path>) -> std::io::Result<()> {
    if path.is_dir() {
        return Err(std::io::Error::other("a folder of this name is in the way"));
    }
    let there = path.exists();
    if there {
        std::fs::rename(path, old)?;
    }
    let Some(fresh) = fresh else { return Ok(()) };
    let made = path.parent().map_or(Ok(()), std::fs::create_dir_all);
    made.and_then(|()| std::fs::rename(fresh, path)).inspect_err(|_| restore(path, old, false))
}

/// Undoes [`replace`] as far as it can be undone.
#[expect(clippy::disallowed_methods, reason = "writing files is this file's job")]
fn restore(path: &Path, old: &Path, new: bool) {
    let removed = if new { std::fs::remove_file(path) } else { Ok(()) };
    if removed.is_ok() && old.exists() {
        // A failure here leaves the old file aside; the first failure is the one that is told.
        let _ = std::fs::rename(old, path);
    }
}
