//! What stands where files are to go, and whether it may be replaced.

use super::mark::{Mark, there};
use super::{Output, Over, Slot, failed, out};
use crate::base::Shown;
use crate::book::regular_file;
use crate::cli::Failure;
use crate::report::contents::{self, Contents, Held};
use std::io;
use std::path::{Path, PathBuf};

/// The command whose files stand beside a plan's.
pub(super) const COMPARE: &str = "compare";

/// What begins the name of a manual page in its text.
const PAGE: &[u8] = b".TH lineward";

#[expect(clippy::disallowed_methods, reason = "writing files is this folder's job")]
impl Output {
    /// Looks at what stands there.
    pub(super) fn look(&mut self, mut names: Vec<PathBuf>, gone: Vec<PathBuf>) -> Result<(), Failure> {
        if let Over::Listed { plan, .. } = &self.over {
            let path = self.folder.join(contents::FILE);
            if there(&path).map_err(|why| failed(&path, why))?.is_some() {
                self.before = listed(&path).map_err(|why| failed(&path, why))?;
            }
            let other = |held: &Held| plan.as_ref().is_some_and(|plan| plan.tried) && !held.tried;
            if self.before.plan.as_ref().is_some_and(other) {
                let why =
                    "a plan stands there, and what is only tried must not be mistaken for it; choose another folder";
                return Err(failed(&self.folder, why));
            }
            names.push(contents::FILE.into());
        }
        self.files = names.into_iter().map(|name| self.slot(name)).collect::<Result<_, _>>()?;
        let mut gone = gone.into_iter().map(|name| self.slot(name)).collect::<Result<Vec<_>, _>>()?;
        // What an earlier plan left and this one does not write; where somebody changed it, it is theirs.
        let stale = self.stale();
        let left = stale.into_iter().filter(|name| gone.iter().chain(&self.files).all(|slot| slot.name != *name));
        gone.extend(left.collect::<Vec<_>>().into_iter().filter_map(|name| self.slot(name).ok()));
        gone.retain(|slot| slot.old.is_some());
        self.gone = gone;
        self.entries = self.files.iter().map(|_| None).collect();
        Ok(())
    }

    /// The files that the folder's list says are a plan's.
    fn stale(&self) -> Vec<PathBuf> {
        match &self.over {
            Over::Listed { plan: Some(_), .. } => {
                let plans = self.before.files.iter().filter(|entry| entry.by != COMPARE && entry.is_inside());
                plans.map(|entry| entry.name.clone().into()).collect()
            }
            _ => Vec::new(),
        }
    }

    /// What stands at a name, if it may be replaced.
    fn slot(&self, name: PathBuf) -> Result<Slot, Failure> {
        let path = self.folder.join(&name);
        let told = |why: io::Error| failed(&path, why);
        for folder in name.ancestors().skip(1).filter(|folder| !folder.as_os_str().is_empty()) {
            let folder = self.folder.join(folder);
            if there(&folder).map_err(told)?.is_some_and(|found| !found.is_dir()) {
                return Err(failed(&folder, "it is a link or a file, not a folder; it is left as it is"));
            }
        }
        let Some(found) = there(&path).map_err(told)? else { return Ok(Slot { name, old: None }) };
        if found.is_dir() {
            return Err(failed(&path, "a folder of this name is in the way"));
        }
        if matches!(self.over, Over::Nothing) {
            return Err(Failure::File(format!("{} exists already; nothing was written", path.shown())));
        }
        if !found.is_file() || !self.is_own(&name, &path).map_err(told)? {
            let why = "a file of this name stands there that this program did not write, or that was changed since; \
                       move it away, or choose another folder";
            return Err(failed(&path, why));
        }
        Ok(Slot { name, old: Some(Mark::of(&found)) })
    }

    /// Whether a file is one that this program wrote and nobody changed since.
    fn is_own(&self, name: &Path, path: &Path) -> io::Result<bool> {
        match &self.over {
            Over::Nothing => Ok(false),
            Over::Pages => Ok(std::fs::read(path)?.windows(PAGE.len()).any(|text| text == PAGE)),
            // It has been read as such.
            Over::Listed { .. } if name == Path::new(contents::FILE) => Ok(true),
            Over::Listed { .. } => {
                let entry = name.to_str().and_then(|name| self.before.entry(name));
                entry.map_or(Ok(false), |entry| Ok(entry.differs(&out::sum(path)?).is_none()))
            }
        }
    }
}

/// The list of what a folder holds.
fn listed(path: &Path) -> Result<Contents, String> {
    let is_file = there(path).map_err(|why| why.to_string())?.is_some_and(|found| found.is_file());
    let bytes =
        if is_file { regular_file(path).map_err(|why| why.why) } else { Err("it is no regular file".to_owned()) };
    bytes
        .and_then(|bytes| Contents::parse(&bytes))
        .map_err(|why| format!("it is not this program's ({why}); move it away"))
}
