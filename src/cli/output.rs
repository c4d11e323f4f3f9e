//! Writing a set of files whole or not at all: all are written aside first, then put in place together.

use super::{Failure, interrupt};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// A file that is being written.
pub type Buffered = std::io::BufWriter<std::fs::File>;

/// What writes the files of a group.
pub type Writer<'w> = Box<dyn FnOnce(&mut [Buffered]) -> std::io::Result<()> + Send + 'w>;

/// How much is written at a time.
const BUFFER: usize = 1 << 20;

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
        interrupt::remember(aside.path());
        Ok(Self { folder: folder.to_path_buf(), aside, files: Vec::new(), gone: Vec::new() })
    }

    /// Writes one file aside.
    pub fn add(
        &mut self,
        name: &str,
        write: impl FnOnce(&mut dyn std::io::Write) -> std::io::Result<()> + Send,
    ) -> Result<(), Failure> {
        let only = |files: &mut [Buffered]| files.iter_mut().next().map_or(Ok(()), |file| write(file));
        self.add_all(vec![(vec![name.to_owned()], Box::new(only))])
    }

    /// Writes several files aside, side by side; those of a group are written by one hand.
    pub fn add_all(&mut self, groups: Vec<(Vec<String>, Writer<'_>)>) -> Result<(), Failure> {
        let mut jobs = Vec::new();
        for (names, write) in groups {
            let first = self.files.len();
            self.files.extend(names.iter().map(|name| self.folder.join(name)));
            jobs.push((first..self.files.len(), write));
        }
        let (paths, aside) = (&self.files, self.aside.path());
        let work = |(numbers, write): (std::ops::Range<usize>, Writer<'_>)| {
            // Of several files it is not known which one it was.
            let path = &paths[numbers.start];
            let path = if numbers.len() == 1 { path } else { path.parent().unwrap_or(path) };
            let told = |why: std::io::Error| failed(path, why);
            let open = |i: usize| std::fs::File::create(aside.join(format!("new-{i}")));
            let open = numbers.clone().map(|i| Ok(Buffered::with_capacity(BUFFER, open(i)?)));
            let mut files = open.collect::<std::io::Result<Vec<Buffered>>>().map_err(told)?;
            write(&mut files).map_err(told)?;
            files.into_iter().try_for_each(|file| file.into_inner()?.sync_all()).map_err(told)
        };
        let outcomes: Vec<Result<(), Failure>> = jobs.into_par_iter().map(work).collect();
        outcomes.into_iter().collect()
    }

    /// Marks a file of an earlier run that must not be left beside the new ones.
    pub fn remove(&mut self, name: &str) {
        self.gone.push(self.folder.join(name));
    }

    /// Puts everything in place; where one file can't be, all are as they were.
    pub fn finish(self) -> Result<(), Failure> {
        let _whole = interrupt::hold();
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
