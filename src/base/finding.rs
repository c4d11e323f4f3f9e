//! Findings: what is wrong with a book, at its cell, in words.

use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// The plan can't be right.
    Error,
    /// The plan is right for what was read, but someone should look.
    Warning,
    /// Nothing to do.
    Note,
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        })
    }
}

/// A kind of finding: a fixed readable name and what it is about.
#[derive(Debug, PartialEq, Eq)]
pub struct Kind {
    /// The name, such as `unknown-part`.
    pub name: &'static str,
    /// How much it matters.
    pub level: Level,
    /// What is wrong, in a sentence.
    pub what: &'static str,
    /// Why it matters on the floor, in a sentence.
    pub why: &'static str,
    /// What to do, in a sentence or two.
    pub remedy: &'static str,
    /// A small book that has it, and what is told of it: the kind's exhibit in `tests/museum`.
    pub example: &'static str,
}

/// Kinds, and the list of them; none can be left out, and none compiles without an exhibit.
macro_rules! kinds {
    ($all:ident: $($level:ident $name:ident $text:literal $what:literal $why:literal $remedy:literal;)*) => {
        $(#[doc = $what]
        pub static $name: $crate::base::Kind = $crate::base::Kind {
            name: $text,
            level: $crate::base::Level::$level,
            what: $what,
            why: $why,
            remedy: $remedy,
            example: include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/museum/", $text, ".txt")),
        };)*
        /// All of them.
        pub static $all: &[&$crate::base::Kind] = &[$(&$name),*];
    };
}
pub(crate) use kinds;

/// Where in the plant's files a value stands.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Place {
    /// The table of the book, such as `Bills`; blank for the book as a whole.
    pub table: &'static str,
    /// The file, as its name within the book.
    pub file: Arc<str>,
    /// The sheet, where the file has sheets.
    pub sheet: Option<Arc<str>>,
    /// The row as the spreadsheet numbers it; 0 for the table as a whole.
    pub row: u32,
    /// The heading of the column as the file has it; blank for the row as a whole.
    pub column: Arc<str>,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.sheet {
            Some(sheet) => write!(f, "{} sheet {sheet}", self.file)?,
            None => write!(f, "{}", self.file)?,
        }
        if self.row > 0 {
            write!(f, " row {}", self.row)?;
        }
        if !self.column.is_empty() {
            write!(f, " column {}", self.column)?;
        }
        Ok(())
    }
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// What kind it is.
    pub kind: &'static Kind,
    /// Where it stands.
    pub place: Place,
    /// The value found there, as text.
    pub value: String,
    /// What is wrong, or what was expected there.
    pub message: String,
    /// The value that was probably meant.
    pub nearest: Option<String>,
    /// The unit it concerns, where it concerns one unit only and the unit can be set aside.
    pub unit: Option<String>,
}

impl Finding {
    /// A finding at a place.
    pub fn new(kind: &'static Kind, place: Place, value: impl Into<String>, message: impl Into<String>) -> Self {
        Self { kind, place, value: value.into(), message: message.into(), nearest: None, unit: None }
    }

    /// With the value that was probably meant.
    #[must_use]
    pub fn near(mut self, nearest: Option<&str>) -> Self {
        self.nearest = nearest.map(str::to_owned);
        self
    }

    /// As one that concerns a single unit.
    #[must_use]
    pub fn of_unit(mut self, unit: &str) -> Self {
        self.unit = Some(unit.to_owned());
        self
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.kind.level, self.kind.name)?;
        if !self.place.file.is_empty() {
            write!(f, ": {}", self.place)?;
        }
        if !self.value.is_empty() {
            write!(f, ": '{}'", self.value)?;
        }
        write!(f, ": {}", self.message)?;
        if let Some(nearest) = &self.nearest {
            write!(f, " (did you mean {nearest}?)")?;
        }
        Ok(())
    }
}

impl Serialize for Finding {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        #[derive(Serialize)]
        struct Shape<'a> {
            level: Level,
            kind: &'a str,
            #[serde(flatten)]
            place: &'a Place,
            value: &'a str,
            message: &'a str,
            nearest: Option<&'a str>,
            unit: Option<&'a str>,
        }
        let shape = Shape {
            level: self.kind.level,
            kind: self.kind.name,
            place: &self.place,
            value: &self.value,
            message: &self.message,
            nearest: self.nearest.as_deref(),
            unit: self.unit.as_deref(),
        };
        shape.serialize(serializer)
    }
}

/// All findings of a run.
#[derive(Clone, Debug, Default)]
pub struct Findings(Vec<Finding>);

impl Findings {
    /// Adds one.
    pub fn add(&mut self, finding: Finding) {
        self.0.push(finding);
    }

    /// Adds those of another stage.
    pub fn extend(&mut self, others: impl IntoIterator<Item = Finding>) {
        self.0.extend(others);
    }

    /// Whether any of them is an error.
    pub fn any_error(&self) -> bool {
        self.0.iter().any(|finding| finding.kind.level == Level::Error)
    }

    /// Whether any of them is of a kind.
    pub fn any_of(&self, kind: &Kind) -> bool {
        self.0.iter().any(|finding| finding.kind.name == kind.name)
    }

    /// Errors first, then by place, each once.
    pub fn sort(&mut self) {
        self.0.sort_by(|a, b| {
            let key = |f: &Finding| (f.kind.level, f.place.clone(), f.kind.name, f.value.clone(), f.message.clone());
            key(a).cmp(&key(b))
        });
        self.0.dedup();
    }

    /// The findings, in order of addition or, after [`Findings::sort`], of level and place.
    pub fn iter(&self) -> std::slice::Iter<'_, Finding> {
        self.0.iter()
    }

    /// The findings, to add to what they say.
    pub fn iter_mut(&mut self) -> std::slice::IterMut<'_, Finding> {
        self.0.iter_mut()
    }

    /// The findings by kind: the kinds that stop a plan first, then by name; those of a kind by place, once it is sorted.
    pub fn by_kind(&self) -> Vec<(&'static Kind, Vec<&Finding>)> {
        let mut groups: BTreeMap<(Level, &str), (&'static Kind, Vec<&Finding>)> = BTreeMap::new();
        for finding in &self.0 {
            let key = (finding.kind.level, finding.kind.name);
            groups.entry(key).or_insert((finding.kind, Vec::new())).1.push(finding);
        }
        groups.into_values().collect()
    }

    /// How many there are of a level.
    pub fn count(&self, level: Level) -> usize {
        self.0.iter().filter(|finding| finding.kind.level == level).count()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl IntoIterator for Findings {
    type Item = Finding;
    type IntoIter = std::vec::IntoIter<Finding>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}
