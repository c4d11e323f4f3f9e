//! How much room the sheets of an `.xls` take: the reader makes room for all cells from the first to the last of each sheet, and
//! for each shared text as often as it stands there. Records as in [MS-XLS], 2.3 and 2.4. And the file around them, in which a
//! damaged list of sectors could lead the reader round and round: it gets one that was written anew.

use super::ReadError;
use super::guard::{MOST_TEXT_BYTES, MOST_WHOLE_CELLS};
use std::io::{Cursor, ErrorKind, Read, Write};
use std::path::Path;

const CONTINUE: u16 = 0x3C;
const SHARED_TEXTS: u16 = 0xFC;
const SHEET: u16 = 0x85;
const BEGIN: u16 = 0x809;
const END: u16 = 0x0A;
const DIMENSIONS: u16 = 0x200;
const FORMULA: u16 = 0x06;
const MANY_NUMBERS: u16 = 0xBD;
const SHARED_TEXT: u16 = 0xFD;
/// The other records of a cell: number, label, rich text, truth or error, short number.
const CELLS: [u16; 5] = [0x203, 0x204, 0xD6, 0x205, 0x27E];

/// What a compound file begins with.
const COMPOUND: [u8; 8] = [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];

/// The workbook of an `.xls`, of a sensible size, alone in a file of its own. What is no such file the reader tells.
///
/// # Errors
/// Where its sheets have more cells or more text than there can be, or the file is damaged.
pub fn sound(bytes: Vec<u8>, path: &Path) -> Result<Vec<u8>, ReadError> {
    if !bytes.starts_with(&COMPOUND) {
        return Ok(bytes);
    }
    let told = |why: std::io::Error| match why.kind() {
        ErrorKind::InvalidData => ReadError::new(path, format!("it is damaged: {why}")),
        _ => ReadError::new(path, why),
    };
    let (name, stream) = workbook_stream(&bytes).map_err(told)?;
    drop(bytes);
    check(&stream, path)?;
    alone(name, &stream).map_err(told)
}

/// A compound file with one stream.
fn alone(name: &str, stream: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut file = cfb::CompoundFile::create_with_version(cfb::Version::V3, Cursor::new(Vec::new()))?;
    file.create_stream(name)?.write_all(stream)?;
    file.flush()?;
    Ok(file.into_inner().into_inner())
}

/// Proves that the sheets of a workbook have a sensible size.
fn check(stream: &[u8], path: &Path) -> Result<(), ReadError> {
    let (mut sheets, mut texts) = (Vec::new(), Vec::new());
    for (kind, data, more) in records(stream) {
        match kind {
            SHEET => sheets.extend(long(data, 0)),
            SHARED_TEXTS => texts = lengths(data, &more).unwrap_or_default(),
            END => break,
            _ => {}
        }
    }
    let (mut cells, mut letters) = (0_u64, 0_u64);
    for at in sheets {
        let sheet = stream.get(at as usize..).map(|stream| Sheet::read(stream, &texts)).unwrap_or_default();
        cells = cells.saturating_add(sheet.room());
        letters = letters.saturating_add(sheet.letters);
        if cells > MOST_WHOLE_CELLS as u64 {
            let why = format!(
                "from the first to the last that holds something, its sheets have more than {MOST_WHOLE_CELLS} cells, in rows and columns"
            );
            return Err(ReadError::new(path, why));
        }
        if letters > MOST_TEXT_BYTES as u64 {
            let most = MOST_TEXT_BYTES / 1_000_000;
            return Err(ReadError::new(path, format!("its cells hold more than {most} MB of text")));
        }
    }
    Ok(())
}

/// The stream of a compound file in which a workbook is, and its name.
fn workbook_stream(bytes: &[u8]) -> std::io::Result<(&'static str, Vec<u8>)> {
    let mut file = cfb::CompoundFile::open(Cursor::new(bytes))?;
    if file.is_stream("EncryptedPackage") {
        return Err(std::io::Error::other("it is locked with a password"));
    }
    let name = ["Workbook", "Book"].into_iter().find(|name| file.is_stream(name));
    let name = name.ok_or_else(|| std::io::Error::other("there is no workbook in it"))?;
    let mut stream = file.open_stream(name)?;
    let mut out = Vec::new();
    // No stream is longer than its file.
    (&mut stream).take(bytes.len() as u64).read_to_end(&mut out)?;
    Ok((name, out))
}

type Record<'s> = (u16, &'s [u8], Vec<&'s [u8]>);

/// The records of a stream, each with those that continue it, as far as they are whole.
fn records(stream: &[u8]) -> impl Iterator<Item = Record<'_>> {
    let mut rest = stream;
    let mut next = move || {
        let (kind, length) = (short(rest, 0)?, short(rest, 2)?);
        let data = rest.get(4..4 + usize::from(length))?;
        rest = &rest[4 + usize::from(length)..];
        Some((kind, data))
    };
    let mut ahead = next();
    std::iter::from_fn(move || {
        let (kind, data) = ahead.take()?;
        let mut more = Vec::new();
        ahead = next();
        while let Some((CONTINUE, data)) = ahead {
            more.push(data);
            ahead = next();
        }
        Some((kind, data, more))
    })
}

fn short(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_le_bytes(bytes.get(at..at + 2)?.try_into().ok()?))
}

fn long(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(bytes.get(at..at + 4)?.try_into().ok()?))
}

/// What is known of a sheet.
#[derive(Default)]
struct Sheet {
    /// First and last row, first and last column that hold something.
    extent: Option<[u32; 4]>,
    /// The same of those with formulas, for which room is made of its own.
    formulas: Option<[u32; 4]>,
    /// The room that the sheet asks for before there are cells.
    said: u64,
    letters: u64,
}

impl Sheet {
    fn read(stream: &[u8], texts: &[u32]) -> Self {
        let (mut sheet, mut depth) = (Self::default(), 0_usize);
        for (kind, data, _) in records(stream) {
            match kind {
                BEGIN => depth += 1,
                END if depth <= 1 => break,
                END => depth -= 1,
                // A chart within the sheet.
                _ if depth > 1 => {}
                DIMENSIONS => sheet.said = sheet.said.saturating_add(said(data).unwrap_or_default()),
                FORMULA | MANY_NUMBERS | SHARED_TEXT => sheet.cell(kind, data, texts),
                _ if CELLS.contains(&kind) => sheet.cell(kind, data, texts),
                _ => {}
            }
        }
        sheet
    }

    fn cell(&mut self, kind: u16, data: &[u8], texts: &[u32]) {
        let (Some(row), Some(first)) = (short(data, 0), short(data, 2)) else { return };
        let last = match kind {
            MANY_NUMBERS => data.len().checked_sub(2).and_then(|at| short(data, at)).unwrap_or(first),
            _ => first,
        };
        widen(&mut self.extent, u32::from(row), [first, last].map(u32::from));
        if kind == FORMULA {
            widen(&mut self.formulas, u32::from(row), [first, last].map(u32::from));
        }
        if kind == SHARED_TEXT {
            let text = long(data, 6).and_then(|at| texts.get(at as usize)).copied().unwrap_or_default();
            // A letter takes up to three bytes.
            self.letters = self.letters.saturating_add(3 * u64::from(text));
        }
    }

    /// The cells for which room is made.
    fn room(&self) -> u64 {
        let area = |extent: &Option<[u32; 4]>| {
            extent.map_or(0, |[top, bottom, left, right]| u64::from(bottom - top + 1) * u64::from(right - left + 1))
        };
        self.said.max(area(&self.extent)).saturating_add(area(&self.formulas))
    }
}

fn widen(extent: &mut Option<[u32; 4]>, row: u32, [first, last]: [u32; 2]) {
    let [top, bottom, left, right] = extent.unwrap_or([row, row, first, first]);
    *extent = Some([top.min(row), bottom.max(row), left.min(first), right.max(first).max(last)]);
}

/// The cells that a sheet says it has, from the first row and column to those after the last, as the reader takes them: a first
/// column that can't be is none, and what ends before it begins goes round.
fn said(data: &[u8]) -> Option<u64> {
    let wide = |at| short(data, at).map(u32::from);
    let (top, bottom, left, right) = match data.len() {
        10 => (wide(0)?, wide(2)?, wide(4)?, wide(6)?),
        _ => (long(data, 0)?, long(data, 4)?, wide(8)?, wide(10)?),
    };
    let left = if left > 0xFF || right < left { 0 } else { left };
    Some(u64::from(bottom.wrapping_sub(top)) * u64::from(right - left))
}

/// The lengths of the shared texts, in letters.
fn lengths(data: &[u8], more: &[&[u8]]) -> Option<Vec<u32>> {
    let mut pieces = Pieces { piece: data, more: more.iter() };
    pieces.skip(8)?;
    let mut all = Vec::new();
    while !pieces.piece.is_empty() || pieces.more.len() > 0 {
        let (letters, flags) = (u16::from_le_bytes(pieces.take()?), pieces.take::<1>()?[0]);
        let runs = if flags & 8 > 0 { u16::from_le_bytes(pieces.take()?) } else { 0 };
        let extension = if flags & 4 > 0 { u32::from_le_bytes(pieces.take()?) } else { 0 };
        pieces.letters(usize::from(letters), flags & 1 > 0)?;
        pieces.skip(4 * usize::from(runs) + extension as usize)?;
        all.push(u32::from(letters));
    }
    Some(all)
}

/// A record and those that continue it.
struct Pieces<'p> {
    piece: &'p [u8],
    more: std::slice::Iter<'p, &'p [u8]>,
}

impl<'p> Pieces<'p> {
    fn turn(&mut self) -> Option<()> {
        self.piece = self.more.next()?;
        Some(())
    }

    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        while self.piece.is_empty() {
            self.turn()?;
        }
        let (taken, rest) = self.piece.split_first_chunk()?;
        self.piece = rest;
        Some(*taken)
    }

    fn skip(&mut self, mut bytes: usize) -> Option<()> {
        while bytes > self.piece.len() {
            bytes -= self.piece.len();
            self.turn()?;
        }
        self.piece = &self.piece[bytes..];
        Some(())
    }

    /// Skips the letters of a text: where they go on in another piece, that begins with how wide they are there.
    fn letters(&mut self, mut count: usize, mut wide: bool) -> Option<()> {
        loop {
            let width = if wide { 2 } else { 1 };
            let here = count.min(self.piece.len() / width);
            self.piece = &self.piece[here * width..];
            count -= here;
            if count == 0 {
                return Some(());
            }
            self.turn()?;
            wide = self.take::<1>()?[0] & 1 > 0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two texts, the second of which goes on in another record, with wide letters there.
    #[test]
    fn shared_texts_are_measured_across_records() {
        let first = [&[2, 0, 0, 0, 2, 0, 0, 0][..], &[3, 0, 0], b"abc", &[4, 0, 8, 1, 0], b"de"].concat();
        let second = [&[1][..], &[b'f', 0, b'g', 0], &[0, 0, 0, 0]].concat();
        assert_eq!(lengths(&first, &[&second]), Some(vec![3, 4]));
    }

    #[test]
    fn two_cells_far_apart_take_all_the_room_between() {
        let record = |kind: u16, data: &[u8]| {
            [&kind.to_le_bytes()[..], &u16::try_from(data.len()).unwrap().to_le_bytes(), data].concat()
        };
        let number =
            |row: u16, column: u16| record(0x203, &[&row.to_le_bytes()[..], &column.to_le_bytes(), &[0; 10]].concat());
        let sheet = [record(BEGIN, &[0; 16]), number(0, 0), number(65_535, 65_535), record(END, &[])].concat();
        assert_eq!(Sheet::read(&sheet, &[]).room(), 65_536 * 65_536);
        let chart = [
            record(BEGIN, &[0; 16]),
            number(1, 1),
            record(BEGIN, &[0; 16]),
            number(9, 9),
            record(END, &[]),
            number(1, 2),
            record(END, &[]),
        ]
        .concat();
        assert_eq!(Sheet::read(&chart, &[]).room(), 2);
    }
}
