//! The folder `.lineward` in the folder that is written to: who writes there, what is not in place yet, and what a run that was
//! cut off left behind.

use super::journal::{self, Journal};
use super::mark::there;
use crate::base::Shown;
use std::fs::{File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

/// Its name.
const NAME: &str = ".lineward";

/// The file that a run locks: the system lets go of it when the run ends, however it ends.
const LOCK: &str = "lock";

/// How often a folder is made anew that another run takes away at the same moment.
const TRIES: usize = 100;

/// What stands in the way of writing to a folder.
pub enum Hindrance {
    /// Another run writes there now.
    Busy,
    /// Something failed.
    Failed(io::Error),
    /// What was found can't be mended.
    Stuck(String),
}

impl From<io::Error> for Hindrance {
    fn from(why: io::Error) -> Self {
        Self::Failed(why)
    }
}

impl std::fmt::Display for Hindrance {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Busy => write!(f, "another run is writing there now; try again when it is done"),
            Self::Failed(why) => write!(f, "{why}"),
            Self::Stuck(why) => write!(f, "{why}"),
        }
    }
}

/// The folder, held by this run.
pub struct Aside {
    path: PathBuf,
    /// Held until the run is done with it.
    lock: Option<File>,
}

impl Aside {
    /// Takes hold of a folder's own, and mends what a run that was cut off left; what was mended comes with it, in words.
    pub fn take(folder: &Path) -> Result<(Self, Option<String>), Hindrance> {
        let path = folder.join(NAME);
        for _ in 0..TRIES {
            let made = match std::fs::create_dir(&path) {
                Err(why) if why.kind() == io::ErrorKind::AlreadyExists => false,
                made => made.map(|()| true)?,
            };
            if there(&path)?.is_some_and(|found| !found.is_dir()) {
                return Err(Hindrance::Stuck(format!("{} is in the way", path.shown())));
            }
            match lock(&path) {
                Ok(Some(lock)) => {
                    let aside = Self { path, lock: Some(lock) };
                    let mended = mend(folder, &aside.path)?;
                    return Ok((aside, mended));
                }
                // Taken away by a run that is done: once more.
                Ok(None) => {}
                Err(Hindrance::Failed(why)) if why.kind() == io::ErrorKind::NotFound => {}
                Err(why) => {
                    if made && matches!(why, Hindrance::Failed(_)) {
                        sweep(&path);
                    }
                    return Err(why);
                }
            }
        }
        Err(Hindrance::Busy)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl Drop for Aside {
    fn drop(&mut self) {
        sweep(&self.path);
        // On Windows a file goes when nobody has it open any more, and the folder only then.
        if self.lock.take().is_some() {
            let _ = std::fs::remove_dir(&self.path);
        }
    }
}

/// Locks it; `None` where it was taken away meanwhile.
fn lock(aside: &Path) -> Result<Option<File>, Hindrance> {
    let path = aside.join(LOCK);
    if there(&path)?.is_some_and(|found| !found.is_file()) {
        return Err(Hindrance::Stuck(format!("{} is in the way", path.shown())));
    }
    let file = File::options().create(true).truncate(false).write(true).open(&path)?;
    match file.try_lock() {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => return Err(Hindrance::Busy),
        Err(TryLockError::Error(why)) => return Err(why.into()),
    }
    // The one that is locked is the one that others find there.
    Ok(still(&file, &path)?.then_some(file))
}

#[cfg(unix)]
fn still(file: &File, path: &Path) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let place = |found: std::fs::Metadata| (found.dev(), found.ino());
    Ok(there(path)?.map(place) == Some(place(file.metadata()?)))
}

#[cfg(not(unix))]
fn still(_: &File, path: &Path) -> io::Result<bool> {
    Ok(there(path)?.is_some())
}

/// Mends what a run that was cut off left in a folder, for a command that reads there and does not write. Where nothing was left,
/// nothing is touched; where another run writes now, what stands in the folder is whole, or about to be.
pub fn mended(folder: &Path) -> Result<Option<String>, Hindrance> {
    let path = folder.join(NAME);
    if !there(&path).is_ok_and(|found| found.is_some_and(|found| found.is_dir())) {
        return Ok(None);
    }
    let half = there(&path.join(journal::FILE))?.is_some();
    match Aside::take(folder) {
        Ok((_, told)) => Ok(told),
        // Nothing in the folder itself is waiting to be put right.
        Err(_) if !half => Ok(None),
        Err(why) => Err(why),
    }
}

/// Undoes what was not finished, and takes the rest away.
fn mend(folder: &Path, aside: &Path) -> Result<Option<String>, Hindrance> {
    let left = left(aside).next().is_some();
    let unread = |why: io::Error| {
        let kept = aside.shown();
        Hindrance::Stuck(format!(
            "a run was cut off there, and its note in {kept} can't be read ({why}); what stood there before is in that folder"
        ))
    };
    let half = match Journal::found(aside).map_err(unread)? {
        Some(journal) => {
            let told =
                |wrong: String| Hindrance::Stuck(format!("a run was cut off there, and can't be undone: {wrong}"));
            journal.undo(folder, aside).map_err(told)?;
            Journal::close(aside)?;
            true
        }
        None => false,
    };
    let words = match (half, left) {
        (true, _) => "while it put files in place; what stood there before is back",
        (false, true) => "; what it left aside was taken away",
        (false, false) => return Ok(None),
    };
    clear(aside);
    let cut = format!("an earlier run was cut off in {}", folder.shown());
    Ok(Some(format!("{cut}{}{words}", if half { " " } else { "" })))
}

/// The files in it that this program made, the lock left out.
#[expect(clippy::disallowed_methods, reason = "clearing up after itself is this file's job")]
fn left(aside: &Path) -> impl Iterator<Item = PathBuf> {
    let ours = |name: &str| {
        let numbered = |start: &str| name.strip_prefix(start).is_some_and(|rest| rest.parse::<usize>().is_ok());
        // The spreadsheet writer's own begin with `.tmp`, where a file can't do without a name.
        numbered("new-") || numbered("old-") || name == journal::DRAFT || name.starts_with(".tmp")
    };
    let entries = std::fs::read_dir(aside).into_iter().flatten().filter_map(Result::ok);
    entries.filter(move |entry| entry.file_name().to_str().is_some_and(ours)).map(|entry| entry.path())
}

fn clear(aside: &Path) {
    for path in left(aside) {
        // What can't be removed now is removed by the next run.
        let _ = journal::remove(&path);
    }
}

/// Takes the folder away with all that is in it and is ours, unless what stood in the folder before is still in it.
pub fn sweep(aside: &Path) {
    if !there(&aside.join(journal::FILE)).is_ok_and(|found| found.is_none()) {
        return;
    }
    clear(aside);
    // Where this fails, the next run does it.
    let _ = journal::remove(&aside.join(LOCK));
    let _ = std::fs::remove_dir(aside);
}
