//! A file that is being written aside: its length and checksum are taken as it passes.

use crate::report::contents::{Entry, Sum};
use std::fs::File;
use std::io::{BufWriter, Read, Result, Write};
use std::path::Path;

/// How much is written or read at a time.
const BUFFER: usize = 1 << 20;

/// What writes the files of a group.
pub type Writer<'w> = Box<dyn FnOnce(&mut [Out]) -> Result<()> + Send + 'w>;

/// A file that is being written.
pub struct Out {
    file: BufWriter<Summed>,
    /// How many rows were written, where it is a table.
    pub rows: Option<u64>,
}

struct Summed {
    file: File,
    sum: Sum,
}

impl Write for Summed {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        let written = self.file.write(bytes)?;
        self.sum.add(&bytes[..written]);
        Ok(written)
    }

    fn flush(&mut self) -> Result<()> {
        self.file.flush()
    }
}

impl Write for Out {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> Result<()> {
        self.file.flush()
    }
}

impl Out {
    /// A new file, where nothing stands.
    pub fn create(path: &Path) -> Result<Self> {
        let file = File::options().write(true).create_new(true).open(path)?;
        let summed = Summed { file, sum: Sum::default() };
        Ok(Self { file: BufWriter::with_capacity(BUFFER, summed), rows: None })
    }

    /// Makes sure that all of it is on the disk.
    pub fn finish(self, name: &str, by: &str) -> Result<Entry> {
        let Summed { file, sum } = self.file.into_inner()?;
        file.sync_all()?;
        Ok(sum.entry(name, by, self.rows))
    }
}

/// The length and checksum of a file.
#[expect(clippy::disallowed_methods, reason = "looking at what was written is this folder's job")]
pub fn sum(path: &Path) -> Result<Sum> {
    let (mut file, mut sum, mut bytes) = (File::open(path)?, Sum::default(), vec![0; BUFFER]);
    loop {
        match file.read(&mut bytes)? {
            0 => return Ok(sum),
            count => sum.add(&bytes[..count]),
        }
    }
}
