//! Which file stands at a path: enough to know it again after it was moved, and to see that another one stands there now.

use serde::{Deserialize, Serialize};
use std::fs::Metadata;
use std::io;
use std::path::Path;
use std::time::UNIX_EPOCH;

/// A file as it was seen: moving it changes nothing of this; writing to it, or putting another in its place, does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mark {
    bytes: u64,
    /// When it was written last, in nanoseconds since 1970; text, since programs read long numbers as fractions.
    written: String,
    /// Its number in its file system, where files have one.
    number: Option<u64>,
}

/// What stands at a path, links not followed; `None` where nothing does.
pub fn there(path: &Path) -> io::Result<Option<Metadata>> {
    match std::fs::symlink_metadata(path) {
        Ok(found) => Ok(Some(found)),
        Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(why) => Err(why),
    }
}

impl Mark {
    /// The mark of what was found.
    pub fn of(found: &Metadata) -> Self {
        let since = found.modified().ok().and_then(|time| time.duration_since(UNIX_EPOCH).ok());
        Self { bytes: found.len(), written: since.unwrap_or_default().as_nanos().to_string(), number: number(found) }
    }

    /// The mark of the file at a path; `None` where nothing stands there.
    pub fn at(path: &Path) -> io::Result<Option<Self>> {
        Ok(there(path)?.as_ref().map(Self::of))
    }
}

#[cfg(unix)]
fn number(found: &Metadata) -> Option<u64> {
    Some(std::os::unix::fs::MetadataExt::ino(found))
}

#[cfg(not(unix))]
fn number(_: &Metadata) -> Option<u64> {
    None
}

/// Whether two paths lead to one file, by links of either kind or by different spellings.
#[cfg(unix)]
pub fn same(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let place = |path: &Path| std::fs::metadata(path).ok().map(|found| (found.dev(), found.ino()));
    place(one).is_some_and(|place_of_one| place(other) == Some(place_of_one))
}

/// Whether two paths lead to one file by different spellings.
#[cfg(not(unix))]
pub fn same(one: &Path, other: &Path) -> bool {
    one.canonicalize().is_ok_and(|one| other.canonicalize().is_ok_and(|other| one == other))
}
