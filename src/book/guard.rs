//! What a file must be before it is read: a regular file of a sensible size that does not unpack into more than memory holds.

use super::ReadError;
use std::io::{BufReader, Cursor, Read};
use std::path::Path;
use std::time::{Duration, SystemTime};

/// The largest file that is read.
pub const MOST_FILE_BYTES: u64 = 2_000_000_000;

/// The most that a workbook may unpack to.
pub const MOST_UNPACKED_BYTES: u64 = 1_000_000_000;

/// The most that packing can shrink: no byte of a packed file unpacks to more than this.
const MOST_SHRUNK: u64 = 1_033;

/// The most cells of one table, the blank ones before the last of each row counted.
pub const MOST_CELLS: usize = 20_000_000;

/// The most cells of a workbook that is read as a whole (`.ods`, `.xls`), from the first to the last that holds something.
pub const MOST_WHOLE_CELLS: usize = 10_000_000;

/// The most text in the cells of one table, each text counted as often as it stands there.
pub const MOST_TEXT_BYTES: usize = 500_000_000;

/// Whether a table has a sensible number of cells and bytes of text in them; if not, what is too much.
pub fn sensible(cells: usize, letters: usize) -> Result<(), String> {
    if cells > MOST_CELLS {
        return Err(format!("it has more than {MOST_CELLS} cells"));
    }
    if letters > MOST_TEXT_BYTES {
        return Err(format!("its cells hold more than {} MB of text", MOST_TEXT_BYTES / 1_000_000));
    }
    Ok(())
}

/// The most columns of a sheet that may hold something.
pub const MOST_COLUMNS: u32 = 1_000;

/// The longest row of a text file.
pub const MOST_ROW_BYTES: usize = 16_000_000;

/// How often a file is read that changes meanwhile, and how long is waited between.
const TRIES: u32 = 7;
const PAUSE: Duration = Duration::from_millis(25);

/// A file that was written more lately than this may be in the middle of it.
const SETTLED: Duration = Duration::from_millis(20);

/// The bytes of a regular file. One that is written while it is read would be taken half: it is read again until it stays as it
/// is.
pub fn bytes(path: &Path) -> Result<Vec<u8>, ReadError> {
    for i in 0..TRIES {
        if i > 0 {
            std::thread::sleep(PAUSE * (1 << (i - 1)));
        }
        if let Some(bytes) = unchanged(path)? {
            return Ok(bytes);
        }
    }
    Err(ReadError::new(path, "it is being written while it is read; try again when that is done"))
}

/// The bytes of a regular file; `None` where it changed while it was read.
#[expect(clippy::disallowed_methods, reason = "reading a file of the book is this file's job")]
fn unchanged(path: &Path) -> Result<Option<Vec<u8>>, ReadError> {
    let told = |why: std::io::Error| ReadError::new(path, why);
    let found = std::fs::metadata(path).map_err(|why| match why.kind() {
        std::io::ErrorKind::NotFound => ReadError::new(path, "there is no such file"),
        _ => told(why),
    })?;
    if found.is_dir() {
        return Err(ReadError::new(path, "it is a folder, not a file"));
    }
    if !found.is_file() {
        return Err(ReadError::new(path, "it is not a regular file"));
    }
    let too_large = || ReadError::new(path, format!("it is larger than {} MB", MOST_FILE_BYTES / 1_000_000));
    if found.len() > MOST_FILE_BYTES {
        return Err(too_large());
    }
    let mut bytes = Vec::with_capacity(usize::try_from(found.len()).unwrap_or_default());
    let file = std::fs::File::open(path).map_err(told)?;
    let state = || file.metadata().map(|found| (found.len(), found.modified().ok())).map_err(told);
    let before = state()?;
    let age = before.1.and_then(|written| SystemTime::now().duration_since(written).ok());
    if age.is_some_and(|age| age < SETTLED) {
        return Ok(None);
    }
    // It may grow while it is read.
    (&file).take(MOST_FILE_BYTES + 1).read_to_end(&mut bytes).map_err(told)?;
    if bytes.len() as u64 > MOST_FILE_BYTES {
        return Err(too_large());
    }
    let same = state()? == before && bytes.len() as u64 == before.0;
    Ok(same.then_some(bytes))
}

/// The bytes of a workbook that unpacks to a sensible size.
pub fn workbook(path: &Path) -> Result<Vec<u8>, ReadError> {
    let bytes = bytes(path)?;
    if bytes.is_empty() {
        return Err(ReadError::new(path, "it is empty"));
    }
    if bytes.starts_with(b"PK") {
        unpacks(&bytes, path)?;
        if super::extension(path) == "ods" {
            repeats(&bytes, path)?;
        }
        return Ok(bytes);
    }
    super::xls_cells::sound(bytes, path)
}

/// Proves that the sheets of an `.ods` have a sensible size, with all that they repeat.
fn repeats(bytes: &[u8], path: &Path) -> Result<(), ReadError> {
    let told = |why: zip::result::ZipError| ReadError::new(path, why);
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(told)?;
    match archive.by_name("content.xml") {
        Ok(content) => super::ods_cells::check(BufReader::new(content), path),
        Err(why) => Err(told(why)),
    }
}

/// Proves that a packed workbook unpacks to a sensible size. What its directory says is not to be trusted: where so much
/// could come out of its entries, they are unpacked and counted.
fn unpacks(bytes: &[u8], path: &Path) -> Result<(), ReadError> {
    let told = |why: zip::result::ZipError| ReadError::new(path, why);
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(told)?;
    let mut packed = 0_u64;
    let mut said = 0_u64;
    for i in 0..archive.len() {
        let entry = archive.by_index_raw(i).map_err(told)?;
        packed = packed.saturating_add(entry.compressed_size());
        said = said.saturating_add(entry.size());
    }
    let mut left = MOST_UNPACKED_BYTES;
    let too_large = || {
        let megabytes = MOST_UNPACKED_BYTES / 1_000_000;
        ReadError::new(path, format!("it unpacks to more than {megabytes} MB"))
    };
    if said > MOST_UNPACKED_BYTES {
        return Err(too_large());
    }
    let doubtful = packed.saturating_mul(MOST_SHRUNK) > MOST_UNPACKED_BYTES;
    for i in 0..archive.len() {
        let name = archive.by_index_raw(i).map_err(told)?.name().map_err(told)?.to_lowercase();
        let strings = name.ends_with("sharedstrings.xml");
        if !strings && !doubtful {
            continue;
        }
        let mut entry = archive.by_index(i).map_err(told)?.take(left + 1);
        let mut start = Vec::new();
        let damaged = |why: std::io::Error| ReadError::new(path, why);
        (&mut entry).take(2_000).read_to_end(&mut start).map_err(damaged)?;
        if strings && texts_promised(&start) > MOST_CELLS as u64 {
            return Err(ReadError::new(path, "it promises more texts than a workbook can hold"));
        }
        if doubtful {
            let count = start.len() as u64 + std::io::copy(&mut entry, &mut std::io::sink()).map_err(damaged)?;
            left = left.checked_sub(count).ok_or_else(too_large)?;
        }
    }
    Ok(())
}

/// How many texts the start of a list of shared texts says will follow; the reader makes room for them.
fn texts_promised(start: &[u8]) -> u64 {
    let text = String::from_utf8_lossy(start);
    let after = text.split("uniqueCount").nth(1).unwrap_or_default();
    let digits: String =
        after.chars().skip_while(|c| !c.is_ascii_digit()).take_while(char::is_ascii_digit).take(20).collect();
    if digits.is_empty() { 0 } else { digits.parse().unwrap_or(u64::MAX) }
}
