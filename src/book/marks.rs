//! Quotation marks that can't be meant: in a text of separated cells they decide where rows end, so one too many swallows rows.

/// What is odd about a quotation mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Oddity {
    /// It opens a cell, and none closes it: the cell reaches to the end of the text.
    Open,
    /// It closes a cell, and more of the cell stands behind it.
    Behind,
    /// Its cell runs over several lines, of which at least one has the separators of a whole row.
    Rows,
    /// Its cell runs over many lines.
    Lines,
    /// It stands within a cell that none opens; a letter like others (RFC 4180, 2.5, does not allow it).
    Within,
    /// The same, right behind a digit, as people write inches.
    Inch,
}

/// An odd quotation mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OddMark {
    /// The row, as a spreadsheet numbers it.
    pub row: u32,
    /// The cell in the row, counted from 0.
    pub cell: usize,
    /// How many line ends the cell holds.
    pub lines: u32,
    /// What is odd.
    pub oddity: Oddity,
}

/// A cell of so many lines and more is no note any longer.
const MANY_LINES: u32 = 10;

/// The odd marks of a text, in its order. `separators` is how many separators a whole row has.
pub fn odd(text: &str, separator: u8, separators: usize) -> Vec<OddMark> {
    let mut walk = MarkScan { row: 1, cell: 0, found: Vec::new(), separator, separators };
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        at = if bytes[at] == b'"' { walk.quoted(bytes, at) } else { walk.within(bytes, at) };
        at = walk.plain(bytes, at);
    }
    walk.found
}

struct MarkScan {
    row: u32,
    cell: usize,
    found: Vec<OddMark>,
    separator: u8,
    separators: usize,
}

impl MarkScan {
    /// Walks a quoted cell from its mark on, to behind the one that closes it.
    fn quoted(&mut self, bytes: &[u8], from: usize) -> usize {
        let (mut at, mut lines, mut within, mut rows) = (from + 1, 0, 0, false);
        let whole = |separators: usize| separators > 0 && separators == self.separators;
        let mut begins_whole = false;
        let closed = loop {
            let Some(byte) = bytes.get(at) else { break false };
            at += 1;
            match *byte {
                b'"' if bytes.get(at) == Some(&b'"') => at += 1,
                b'"' => break true,
                b'\n' => {
                    begins_whole |= lines == 0 && whole(self.cell + within);
                    rows |= lines > 0 && whole(within);
                    (lines, within) = (lines + 1, 0);
                }
                byte if byte == self.separator => within += 1,
                _ => {}
            }
        };
        // What stands before the first line end, and behind the last, may be whole rows, too.
        let rest = bytes[at.min(bytes.len())..].iter().take_while(|byte| !matches!(byte, b'\r' | b'\n'));
        let ends_whole = lines > 0 && whole(within + rest.filter(|byte| **byte == self.separator).count());
        rows |= begins_whole && ends_whole;
        let behind = bytes.get(at).is_some_and(|byte| *byte != self.separator && !matches!(byte, b'\r' | b'\n'));
        let oddity = match (closed, behind) {
            (false, _) => Some(Oddity::Open),
            (_, true) => Some(Oddity::Behind),
            _ if rows => Some(Oddity::Rows),
            _ if lines >= MANY_LINES => Some(Oddity::Lines),
            _ => None,
        };
        self.found.extend(oddity.map(|oddity| OddMark { row: self.row, cell: self.cell, lines, oddity }));
        at
    }

    /// Looks for marks in a cell that none opens; it stays at its start.
    fn within(&mut self, bytes: &[u8], from: usize) -> usize {
        let ends = |byte: &u8| *byte == self.separator || matches!(byte, b'\r' | b'\n');
        let cell = &bytes[from..from + bytes[from..].iter().position(ends).unwrap_or(bytes.len() - from)];
        if cell.contains(&b'"') {
            let inch = (0..cell.len()).all(|at| cell[at] != b'"' || at > 0 && cell[at - 1].is_ascii_digit());
            let oddity = if inch { Oddity::Inch } else { Oddity::Within };
            self.found.push(OddMark { row: self.row, cell: self.cell, lines: 0, oddity });
        }
        from
    }

    /// Walks the rest of a cell, to the start of the next.
    fn plain(&mut self, bytes: &[u8], from: usize) -> usize {
        let Some(length) =
            bytes[from..].iter().position(|byte| *byte == self.separator || matches!(byte, b'\r' | b'\n'))
        else {
            return bytes.len();
        };
        let at = from + length;
        if bytes[at] == self.separator {
            self.cell += 1;
        } else {
            (self.row, self.cell) = (self.row.saturating_add(1), 0);
        }
        at + if bytes[at..].starts_with(b"\r\n") { 2 } else { 1 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(u32, usize, u32, Oddity)> {
        odd(text, b',', 2).iter().map(|mark| (mark.row, mark.cell, mark.lines, mark.oddity)).collect()
    }

    #[test]
    fn marks_that_swallow_rows_are_found_where_they_open() {
        let sound = "part,qty,note\na,1,\"two\nlines, with \"\"marks\"\"\"\r\n\r\nb,2,pipe\n\"\",\"c\",\n";
        assert_eq!(told(sound), []);
        let within = "part,qty,note\na,1,3\" pipe\nb\"b,2,\n";
        assert_eq!(told(within), [(2, 2, 0, Oddity::Inch), (3, 0, 0, Oddity::Within)]);
        assert_eq!(told("part,qty,note\na,1,\"oops\nb,2,\nc,3,"), [(2, 2, 2, Oddity::Open)]);
        assert_eq!(told("part,qty,note\n\na,1,\"oops\nb,2,\"fine\"\n"), [(3, 2, 1, Oddity::Behind)]);
        assert_eq!(told("part,qty,note\na,1,\"oops\nb,2,x\nc,3,\"\nd,4,"), [(2, 2, 2, Oddity::Rows)]);
        assert_eq!(told("part,qty,note\na,1,\"x\nb,2,\"\nc,3,\n"), [(2, 2, 1, Oddity::Rows)]);
        assert_eq!(told("part,qty,note\n\"a, b\nc\",1,\"d\ne\"\n"), []);
        let long = format!("part,qty,note\na,1,\"{}\"\n", "line\n".repeat(10));
        assert_eq!(told(&long), [(2, 2, 10, Oddity::Lines)]);
    }
}
