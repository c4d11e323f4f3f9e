//! Books with one file spoiled: catches a file that is read otherwise than meant while nothing is said.

mod classes;
mod damage;
pub mod text;

use super::support::table_text;
use lineward::base::{Finding, Findings, Level, Moment, Place};
use lineward::report::table::TABLES;
use lineward::{book, check, plan};
use std::collections::HashMap;
use std::io::Write;
use std::path::Path;
use std::time::{Duration, SystemTime};

/// A sound book in a folder of its own, of which one file is spoiled at a time.
pub struct Sound {
    folder: tempfile::TempDir,
    /// Its files, by name, with what they hold.
    pub files: Vec<(String, Vec<u8>)>,
    /// The tables of its plan.
    tables: Vec<String>,
    /// How often each thing is said of it.
    said: HashMap<String, usize>,
}

/// What becomes of a book one of whose files is spoiled.
#[derive(Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Something is said where the damage is.
    Told,
    /// The plan is the same.
    Same,
    /// The book is refused, for something that is said in other places.
    Refused(Vec<String>),
    /// The plan is another, and something is said, but in other places.
    Elsewhere(Vec<String>),
    /// The plan is another, and nothing is said.
    Silent,
}

/// Something that is said of a book.
struct Said {
    place: Place,
    /// What is said, without its place: a row that moves down says the same.
    what: String,
    shown: String,
}

impl Sound {
    /// A copy of a book's folder.
    pub fn new(book: &Path) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let mut files: Vec<(String, Vec<u8>)> = Vec::new();
        for entry in std::fs::read_dir(book).expect("a book") {
            let path = entry.expect("a file").path();
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            let bytes = std::fs::read(&path).expect("a file");
            write(&folder.path().join(&name), &bytes);
            files.push((name, bytes));
        }
        files.sort();
        let mut sound = Self { folder, files, tables: Vec::new(), said: HashMap::new() };
        let (tables, said) = sound.read(|_| false);
        sound.tables = tables.unwrap_or_else(|| panic!("{}", book.display()));
        said.into_iter().for_each(|said| *sound.said.entry(said.what).or_default() += 1);
        sound
    }

    /// What one of its files holds.
    pub fn bytes(&self, file: &str) -> &[u8] {
        let found = self.files.iter().find(|(name, _)| name == file);
        found.map(|(_, bytes)| bytes.as_slice()).unwrap_or_else(|| panic!("no file {file}"))
    }

    /// What becomes of it when one of its files holds something else; `there` says which places are those of the damage.
    pub fn with(&self, file: &str, bytes: &[u8], there: impl Fn(&Place) -> bool) -> Outcome {
        let path = self.folder.path().join(file);
        write(&path, bytes);
        let (tables, said) = self.read(|said| said.iter().any(|said| there(&said.place)));
        write(&path, self.bytes(file));
        let shown = || said.iter().map(|said| said.shown.clone()).collect();
        if said.iter().any(|said| there(&said.place)) {
            Outcome::Told
        } else if tables.as_ref() == Some(&self.tables) {
            Outcome::Same
        } else if said.is_empty() {
            Outcome::Silent
        } else if tables.is_none() {
            Outcome::Refused(shown())
        } else {
            Outcome::Elsewhere(shown())
        }
    }

    /// Reads and plans the book as it stands in the folder: its tables, and what is said that is not said of the sound one. It is
    /// not planned where what reading it says is `enough`.
    fn read(&self, enough: impl Fn(&[Said]) -> bool) -> (Option<Vec<String>>, Vec<Said>) {
        let book = match book::open(self.folder.path()) {
            Ok(book) => book,
            Err(why) => {
                let file = why.path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
                let place = Place { file: file.into(), ..Place::default() };
                return (None, vec![Said { place, what: why.why.clone(), shown: why.to_string() }]);
            }
        };
        let (plant, findings) = check::plant(&book, None, Moment::default());
        let said = self.fresh(&findings);
        if findings.any_error() || enough(&said) {
            return (None, said);
        }
        let (plan, more) = plan::plan(&plant, &plan::Request::default());
        let mut all = findings;
        all.extend(more);
        let tables = plan.filter(|_| all.count(Level::Error) == 0);
        let tables = tables.map(|plan| TABLES.iter().map(|table| table_text(table, &plan)).collect());
        (tables, self.fresh(&all))
    }

    /// What is said that is not said, or not so often, of the sound book.
    fn fresh(&self, findings: &Findings) -> Vec<Said> {
        let mut known = self.said.clone();
        let mut fresh = Vec::new();
        for finding in findings.iter() {
            let what = format!("{} {} {}", finding.kind.name, finding.value, finding.message);
            match known.get_mut(&what).filter(|times| **times > 0) {
                Some(times) => *times -= 1,
                None => fresh.push(Said { place: place_of(finding), what, shown: finding.to_string() }),
            }
        }
        fresh
    }
}

/// Where a finding stands: a file that can't be read is told where a manifest names it.
fn place_of(finding: &Finding) -> Place {
    match finding.kind.name {
        "unreadable-file" => Place { file: finding.value.as_str().into(), ..Place::default() },
        _ => finding.place.clone(),
    }
}

/// Writes a file as one that has been there for a while: whoever reads it need not wait whether it changes.
pub fn write(path: &Path, bytes: &[u8]) {
    let mut file = std::fs::File::create(path).expect("a file");
    file.write_all(bytes).expect("bytes");
    file.set_modified(SystemTime::now() - Duration::from_secs(3_600)).expect("a time");
}
