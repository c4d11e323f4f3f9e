//! Putting files in place one after the other, with a note of what is being done, so that it can be undone at any moment: by
//! this run where a step fails, by the next one where this one is cut off.

use super::mark::{Mark, there};
use crate::base::{Shown, reason};
use serde::{Deserialize, Serialize};
use std::io;
use std::path::{Path, PathBuf};

/// The note's file. Where it is there, files are being put in place, or were when a run was cut off.
pub const FILE: &str = "journal";

/// The note while it is written.
pub const DRAFT: &str = "journal-draft";

/// One name that changes.
#[derive(Debug, Serialize, Deserialize)]
pub struct Step {
    /// The path in the folder.
    pub path: PathBuf,
    /// What stood there; it goes aside, as `old-` and the step's number.
    pub old: Option<Mark>,
    /// What comes there, from `new-` and the step's number.
    pub new: Option<Mark>,
}

/// All names that change, in order.
#[derive(Debug, Default, Serialize, Deserialize)]
pub struct Journal {
    /// One for each name, in the order in which they are taken; undone in the other.
    pub steps: Vec<Step>,
    /// The folders that are made for them.
    pub made: Vec<PathBuf>,
}

/// A file that is not in place yet.
pub fn new_file(aside: &Path, step: usize) -> PathBuf {
    aside.join(format!("new-{step}"))
}

fn old_file(aside: &Path, step: usize) -> PathBuf {
    aside.join(format!("old-{step}"))
}

#[expect(clippy::disallowed_methods, reason = "writing files is this folder's job")]
impl Journal {
    /// Notes it: from here on it is undone unless it is [closed](Journal::close).
    pub fn open(&self, aside: &Path) -> io::Result<()> {
        let text = serde_json::to_vec(self)?;
        let draft = aside.join(DRAFT);
        let mut file = std::fs::File::create(&draft)?;
        io::Write::write_all(&mut file, &text)?;
        file.sync_all()?;
        std::fs::rename(draft, aside.join(FILE))?;
        sync_folder(aside)
    }

    /// The note of a run that was cut off, if there is one.
    pub fn found(aside: &Path) -> io::Result<Option<Self>> {
        match std::fs::read(aside.join(FILE)) {
            Ok(text) => Ok(Some(serde_json::from_slice(&text)?)),
            Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(why) => Err(why),
        }
    }

    /// Puts all in place. Where a step fails, its path and the reason are given; the steps before it stay.
    pub fn put(&self, folder: &Path, aside: &Path) -> Result<(), (PathBuf, io::Error)> {
        for made in &self.made {
            std::fs::create_dir(folder.join(made)).map_err(|why| (folder.join(made), why))?;
        }
        for (i, step) in self.steps.iter().enumerate() {
            let path = folder.join(&step.path);
            step.put(i, &path, aside).map_err(|why| (path, why))?;
        }
        self.folders(folder).iter().try_for_each(|path| sync_folder(path).map_err(|why| (path.clone(), why)))
    }

    /// Puts back what stood there. It can be done again where it was cut off itself.
    ///
    /// # Errors
    /// What could not be put back, and where it is.
    pub fn undo(&self, folder: &Path, aside: &Path) -> Result<(), String> {
        let undone = self.steps.iter().enumerate().rev().map(|(i, step)| step.undo(i, &folder.join(&step.path), aside));
        let wrong: Vec<String> = undone.filter_map(Result::err).collect();
        for made in self.made.iter().rev() {
            // One that somebody else uses by now stays.
            let _ = std::fs::remove_dir(folder.join(made));
        }
        for path in self.folders(folder) {
            // One that is gone again needs no room on the disk.
            let _ = sync_folder(&path);
        }
        if wrong.is_empty() { Ok(()) } else { Err(wrong.join("; ")) }
    }

    /// Ends it: what is in place stays.
    pub fn close(aside: &Path) -> io::Result<()> {
        std::fs::remove_file(aside.join(FILE))?;
        // After a power failure it may be there again: then all is undone, which is whole, too.
        let _ = sync_folder(aside);
        Ok(())
    }

    /// The folders in which names change.
    fn folders(&self, folder: &Path) -> Vec<PathBuf> {
        let parents = self.steps.iter().filter_map(|step| folder.join(&step.path).parent().map(Path::to_path_buf));
        let mut folders: Vec<PathBuf> = parents.chain([folder.to_path_buf()]).collect();
        folders.sort();
        folders.dedup();
        folders
    }
}

#[expect(clippy::disallowed_methods, reason = "writing files is this folder's job")]
impl Step {
    fn put(&self, i: usize, path: &Path, aside: &Path) -> io::Result<()> {
        if let Some(old) = &self.old {
            let kept = old_file(aside, i);
            std::fs::rename(path, &kept)?;
            if Mark::at(&kept)?.as_ref() != Some(old) {
                return Err(io::Error::other("it was changed while this run worked"));
            }
        }
        if self.new.is_some() { place(&new_file(aside, i), path) } else { Ok(()) }
    }

    fn undo(&self, i: usize, path: &Path, aside: &Path) -> Result<(), String> {
        let kept = old_file(aside, i);
        let told = |why: io::Error| format!("{}: {}; what stood there is {}", path.shown(), reason(why), kept.shown());
        let now = Mark::at(path).map_err(told)?;
        let ours = now.is_some() && now == self.new;
        if there(&kept).map_err(told)?.is_none() {
            // It was not moved, was put back already, or there was nothing.
            let away = if ours && self.old.is_none() { std::fs::remove_file(path) } else { Ok(()) };
            return away.map_err(|why| format!("{}: {why}", path.shown()));
        }
        if ours {
            return std::fs::rename(&kept, path).map_err(told);
        }
        // It may have both names already, where this was cut off itself.
        if now.is_none() || now != Mark::at(&kept).map_err(told)? {
            place(&kept, path).map_err(told)?;
        }
        remove(&kept).map_err(told)
    }
}

/// Gives a file a second name where nothing stands, so that nothing that appears there meanwhile is lost.
#[expect(clippy::disallowed_methods, reason = "writing files is this folder's job")]
pub fn place(from: &Path, to: &Path) -> io::Result<()> {
    match std::fs::hard_link(from, to) {
        Ok(()) => Ok(()),
        Err(why) if why.kind() == io::ErrorKind::AlreadyExists => Err(why),
        // A file system without second names: between this look and the move there is a moment in which a file may appear.
        Err(_) if there(to)?.is_none() => std::fs::rename(from, to),
        Err(_) => Err(io::ErrorKind::AlreadyExists.into()),
    }
}

/// Removes a file that may be gone already.
#[expect(clippy::disallowed_methods, reason = "writing files is this folder's job")]
pub fn remove(path: &Path) -> io::Result<()> {
    match std::fs::remove_file(path) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(()),
        // Windows takes away nothing that is marked read-only, as old output may be that somebody wanted to keep from changes.
        Err(why) if why.kind() == io::ErrorKind::PermissionDenied && writable(path) => {
            std::fs::remove_file(path).map_err(|_| why)
        }
        outcome => outcome,
    }
}

/// Takes the mark `read-only` off a file on Windows; whether there was one. Elsewhere it is the folder's rights that count.
#[expect(
    clippy::permissions_set_readonly_false,
    reason = "it is done on Windows alone, where it is a mark of the file"
)]
fn writable(path: &Path) -> bool {
    let Ok(found) = path.symlink_metadata() else { return false };
    let mut rights = found.permissions();
    let marked = cfg!(windows) && rights.readonly();
    rights.set_readonly(false);
    marked && std::fs::set_permissions(path, rights).is_ok()
}

/// Makes sure that the names in a folder outlast a power failure.
#[cfg(unix)]
#[expect(clippy::disallowed_methods, reason = "writing files is this folder's job")]
pub fn sync_folder(path: &Path) -> io::Result<()> {
    match std::fs::File::open(path)?.sync_all() {
        // Some file systems have no such thing.
        Err(why) if matches!(why.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported) => Ok(()),
        outcome => outcome,
    }
}

/// Where folders can't be told to.
#[cfg(not(unix))]
pub fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}
