//! Writing files so that nothing that stands there is ever lost. Every command writes through here, and nowhere else.
//!
//! *Before* anything is written it is checked what stands where the files are to go. A file may be replaced where the folder's
//! `contents.json` lists it with the checksum that it has: then this program wrote it and nobody changed it since (a manual
//! page, where it says that it is one; a new book or a list of findings replaces nothing). Whatever else stands there is left,
//! and nothing is written: other people's files, changed ones, links and folders, and every file that was read in this run.
//!
//! *Where:* all files are written to `.lineward` in the folder itself, with the sheets that are too long for memory; one run at
//! a time has hold of it, by a lock that ends with the run.
//!
//! *In which order names change:* when all files are whole and on the disk, a journal of all steps is. Then, step by step, what
//! stands there goes aside and the new file comes in its place, only where nothing stands. Then the journal goes, and with it
//! the old files. Where a step fails, all before it are undone. A file alone that replaces nothing needs no journal: it is there
//! or not.
//!
//! *What the next start mends:* where there is a journal, its steps are undone, which may be done twice; then what is left in
//! `.lineward` is taken away, and both are told. What can't be undone, such as where somebody else's file stands there now,
//! is kept there with the journal, and told. Every command that writes to a folder or reads there does so.
//!
//! *What it never touches:* anything but the names it writes, `.lineward`, and files that `contents.json` lists as a plan's.

mod aside;
mod journal;
mod mark;
mod out;
mod single;
mod standing;

pub use out::{Out, Writer};
pub use single::{may_write, write_new};

use super::interrupt::hold;
use super::{Failure, warn};
use crate::base::{Shown, reason};
use crate::report::contents::{self, Contents, Entry, Held};
use crate::report::{self, sheet::Workbook};
use aside::Aside;
use journal::{Journal, Step};
use mark::{Mark, there};
use rayon::prelude::*;
use standing::COMPARE;
use std::io;
use std::path::{Path, PathBuf};

/// What may stand where files are to go.
#[derive(Clone, Debug)]
pub enum Over {
    /// Nothing.
    Nothing,
    /// Manual pages.
    Pages,
    /// What the folder's `contents.json` lists.
    Listed {
        /// The command that writes.
        by: &'static str,
        /// The plan that stands there then; `None` where the files are no plan's.
        plan: Option<Held>,
    },
}

/// What is to be written.
pub struct Wanted<'w> {
    /// The folder, which is made where it is missing.
    pub folder: &'w Path,
    /// The names of the files in it.
    pub names: Vec<PathBuf>,
    /// Names of files of an earlier run that must not be left beside them.
    pub gone: Vec<PathBuf>,
    /// What may stand there.
    pub over: Over,
    /// The files that were read in this run.
    pub read: &'w [PathBuf],
}

/// A name in the folder, and the file that stands there.
struct Slot {
    name: PathBuf,
    old: Option<Mark>,
}

/// Files on their way to a folder.
pub struct Output {
    folder: PathBuf,
    /// Folders that were made, the outer ones first.
    made: Vec<PathBuf>,
    aside: Option<Aside>,
    over: Over,
    before: Contents,
    files: Vec<Slot>,
    gone: Vec<Slot>,
    entries: Vec<Option<Entry>>,
}

fn failed(path: &Path, why: impl ToString) -> Failure {
    Failure::File(format!("can't write {}: {}", path.shown(), reason(why)))
}

/// A folder's own path: `.` where it is blank.
fn named(folder: &Path) -> &Path {
    if folder.as_os_str().is_empty() { Path::new(".") } else { folder }
}

/// The folder of a file, and its name in it.
pub fn folder_and_name(path: &Path) -> Result<(&Path, PathBuf), Failure> {
    let name = path.file_name().ok_or_else(|| failed(path, "it names no file"))?;
    Ok((named(path.parent().unwrap_or(Path::new(""))), name.into()))
}

/// Mends what a run that was cut off left where a book or a plan is to be read: in its folder, or in the one it lies in.
pub fn mend(path: &Path) -> Result<(), Failure> {
    let above = path.parent().map(named);
    for folder in above.into_iter().chain([path]) {
        match aside::mended(folder) {
            Ok(told) => note(told),
            Err(why) => return Err(Failure::File(format!("can't read {}: {}", path.shown(), reason(why)))),
        }
    }
    Ok(())
}

fn note(mended: Option<String>) {
    if let Some(mended) = mended {
        warn(&format!("lineward: {mended}\n"));
    }
}

/// Takes away what is not in place yet.
pub fn take_away(aside: &Path, made: &[PathBuf]) {
    aside::sweep(aside);
    remove_empty(made);
}

fn remove_empty(made: &[PathBuf]) {
    for folder in made.iter().rev() {
        // One that something stands in by now stays.
        let _ = std::fs::remove_dir(folder);
    }
}

#[expect(clippy::disallowed_methods, reason = "writing files is this folder's job")]
impl Output {
    /// Checks what stands there, and prepares to write.
    pub fn to(wanted: Wanted<'_>) -> Result<Self, Failure> {
        let Wanted { folder, names, gone, over, read } = wanted;
        let folder = named(folder);
        for path in names.iter().chain(&gone).map(|name| folder.join(name)) {
            if let Some(read) = read.iter().find(|read| mark::same(read, &path)) {
                let why = format!("it is {}, which was read for this; choose another folder to write to", read.shown());
                return Err(failed(&path, why));
            }
        }
        let mut holding = hold();
        let missing = folder.ancestors().take_while(|path| !path.as_os_str().is_empty() && !path.exists());
        let mut made: Vec<PathBuf> = missing.map(Path::to_path_buf).collect();
        made.reverse();
        std::fs::create_dir_all(folder).map_err(|why| failed(folder, why))?;
        let taken = Aside::take(folder);
        let (aside, told) = taken.map_err(|why| {
            remove_empty(&made);
            failed(folder, why)
        })?;
        note(told);
        holding.remember(aside.path(), &made);
        drop(holding);
        let folder = folder.to_path_buf();
        let (before, files, entries) = (Contents::default(), Vec::new(), Vec::new());
        let mut output = Self { folder, made, aside: Some(aside), over, before, files, gone: Vec::new(), entries };
        output.look(names, gone)?;
        Ok(output)
    }

    fn aside(&self) -> &Path {
        self.aside.as_ref().map_or(Path::new(""), Aside::path)
    }

    /// A folder for what is too long for memory; it is gone when all is written.
    pub fn room(&self) -> &Path {
        self.aside()
    }

    /// Writes one file aside.
    pub fn add(
        &mut self,
        name: &Path,
        write: impl FnOnce(&mut dyn io::Write) -> io::Result<()> + Send,
    ) -> Result<(), Failure> {
        let only = |files: &mut [Out]| files.iter_mut().next().map_or(Ok(()), |file| write(file));
        self.add_all(vec![(vec![name.to_path_buf()], Box::new(only))])
    }

    /// Makes a workbook and writes it aside.
    pub fn add_workbook(&mut self, workbook: &Workbook<'_>) -> Result<(), Failure> {
        let bytes = report::to_xlsx_in(workbook, self.room())
            .map_err(|why| Failure::File(format!("can't make {}: {why}", workbook.file)))?;
        self.add(Path::new(workbook.file), |file| file.write_all(&bytes))
    }

    /// Writes several files aside, side by side; those of a group are written by one hand.
    pub fn add_all(&mut self, groups: Vec<(Vec<PathBuf>, Writer<'_>)>) -> Result<(), Failure> {
        let work = |(names, write): (Vec<PathBuf>, Writer<'_>)| {
            // Of several files it is not known which one it was.
            let path = match names.as_slice() {
                [name] => self.folder.join(name),
                _ => self.folder.join(names.first().and_then(|name| name.parent()).unwrap_or(Path::new(""))),
            };
            self.write(&names, write).map_err(|why| failed(&path, why))
        };
        let outcomes: Vec<Result<_, Failure>> = groups.into_par_iter().map(work).collect();
        for (place, entry) in outcomes.into_iter().collect::<Result<Vec<_>, _>>()?.into_iter().flatten() {
            self.entries[place] = Some(entry);
        }
        Ok(())
    }

    fn write(&self, names: &[PathBuf], write: Writer<'_>) -> io::Result<Vec<(usize, Entry)>> {
        let by = if let Over::Listed { by, .. } = &self.over { by } else { "" };
        let place = |name: &PathBuf| self.files.iter().position(|slot| slot.name == *name);
        let places = names.iter().map(|name| place(name).ok_or_else(|| io::Error::other("it was not announced")));
        let places = places.collect::<io::Result<Vec<usize>>>()?;
        let open = |place: &usize| {
            let _no_end = hold();
            Out::create(&journal::new_file(self.aside(), *place))
        };
        let mut files = places.iter().map(open).collect::<io::Result<Vec<Out>>>()?;
        write(&mut files)?;
        let done = files.into_iter().zip(names).zip(places);
        done.map(|((file, name), place)| Ok((place, file.finish(&name.to_string_lossy(), by)?))).collect()
    }

    /// Puts everything in place; where one file can't be, all are as they were.
    pub fn finish(mut self) -> Result<(), Failure> {
        self.list()?;
        let _whole = hold();
        let journal = self.journal().map_err(|why| failed(&self.folder, why))?;
        let aside = self.aside();
        if let ([Step { path, old: None, new: Some(_) }], []) = (&journal.steps[..], &journal.made[..]) {
            let path = self.folder.join(path);
            journal::place(&journal::new_file(aside, 0), &path).map_err(|why| failed(&path, why))?;
            return journal::sync_folder(&self.folder).map_err(|why| failed(&path, why));
        }
        journal.open(aside).map_err(|why| failed(&self.folder, why))?;
        let put = journal.put(&self.folder, aside);
        let put = put.and_then(|()| Journal::close(aside).map_err(|why| (self.folder.clone(), why)));
        let Err((path, why)) = put else { return Ok(()) };
        let undone = journal.undo(&self.folder, aside);
        match undone.and_then(|()| Journal::close(aside).map_err(|why| why.to_string())) {
            Ok(()) => Err(failed(&path, why)),
            Err(wrong) => {
                let more = format!("{why}; and not all could be put back ({wrong}): the next run here tries again");
                Err(failed(&path, more))
            }
        }
    }

    /// Adds the list of what the folder holds.
    fn list(&mut self) -> Result<(), Failure> {
        let Over::Listed { plan, .. } = &self.over else { return Ok(()) };
        let stays = |entry: &&Entry| {
            let written = self.files.iter().chain(&self.gone).any(|slot| slot.name == Path::new(&entry.name));
            !written && (plan.is_none() || entry.by == COMPARE)
        };
        let old = self.before.files.iter().filter(stays).cloned();
        let mut files: Vec<Entry> = old.chain(self.entries.iter().flatten().cloned()).collect();
        files.sort_by(|a, b| a.name.cmp(&b.name));
        let plan = plan.clone().or_else(|| self.before.plan.clone());
        let contents = Contents { version: env!("CARGO_PKG_VERSION").to_owned(), plan, files };
        let text = contents.text().map_err(|why| failed(&self.folder.join(contents::FILE), why))?;
        self.add(Path::new(contents::FILE), |file| file.write_all(text.as_bytes()))
    }

    /// What is to be done, in order.
    fn journal(&self) -> io::Result<Journal> {
        let aside = self.aside();
        let mut journal = Journal::default();
        for (i, slot) in self.files.iter().enumerate() {
            let new = Mark::at(&journal::new_file(aside, i))?;
            if new.is_none() {
                return Err(io::Error::other(format!("{} was not written", slot.name.shown())));
            }
            journal.steps.push(Step { path: slot.name.clone(), old: slot.old.clone(), new });
            let parent = slot.name.parent().filter(|parent| !parent.as_os_str().is_empty());
            if let Some(parent) = parent.filter(|parent| !journal.made.iter().any(|made| made == parent))
                && there(&self.folder.join(parent))?.is_none()
            {
                journal.made.push(parent.to_path_buf());
            }
        }
        let gone = self.gone.iter().map(|slot| Step { path: slot.name.clone(), old: slot.old.clone(), new: None });
        journal.steps.extend(gone);
        Ok(journal)
    }
}

impl Drop for Output {
    fn drop(&mut self) {
        let mut holding = hold();
        let aside = self.aside().to_path_buf();
        holding.forget(&aside);
        self.aside = None;
        remove_empty(&self.made);
    }
}
