//! Writing a set of files whole or not at all: all are written aside first, then put in place together.

use super::Failure;
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// What a file is written to.
pub type Sink<'s> = dyn std::io::Write + Send + 's;

/// What writes a file.
pub type Writer<'w> = Box<dyn FnOnce(&mut Sink<'_>) -> std::io::Result<()> + Send + 'w>;

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
        write: impl FnOnce(&mut Sink<'_>) -> std::io::Result<()> + Send,
    ) -> Result<(), Failure> {
        self.add_all(vec![(name.to_owned(), Box::new(write))])
    }

    /// Writes several files aside, side by side.
    pub fn add_all(&mut self, files: Vec<(String, Writer<'_>)>) -> Result<(), Failure> {
        let first = self.files.len();
        let paths: Vec<PathBuf> = files.iter().map(|(name, _)| self.folder.join(name)).collect();
        let write = |(i, (_, write)): (usize, (String, Writer<'_>))| {
            let told = |why: std::io::Error| failed(&paths[i], why);
            let file = std::fs::File::create(self.aside.path().join(format!("new-{}", first + i))).map_err(told)?;
            let mut buffered = std::io::BufWriter::with_capacity(1 << 20, file);
            write(&mut buffered).map_err(told)?;
            buffered.into_inner().map_err(|why| told(why.into_error()))?.sync_all().map_err(told)
        };
        let outcomes: Vec<Result<(), Failure>> = files.into_par_iter().enumerate().map(write).collect();
        outcomes.into_iter().collect::<Result<(), Failure>>()?;
        self.files.extend(paths);
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
