//! Indented bills, as textbooks print them: a part's components stand below it, one level further in. They become lines that
//! name their parent.

use super::kinds::{BAD_LEVEL, TWO_BILLS};
use super::layout::LeftOut;
use super::raw::Shape;
use super::rows::{Row, Rows};
use crate::base::{Finding, Findings, fold};
use std::collections::{HashMap, HashSet};

/// A part's bill where it is shown: the row of the part, and its lines without their level.
struct Shown<'r> {
    code: &'r str,
    row: u32,
    lines: Vec<Line<'r>>,
}

/// A line: its row, and its cells under the headings of the table.
struct Line<'r> {
    row: u32,
    cells: Vec<&'r str>,
}

/// Where the columns of an indented bill stand.
pub struct Columns<'h> {
    /// The levels, and the heading above them.
    pub level: (usize, &'h str),
    /// The codes of the parts.
    pub part: usize,
    /// The codes of the parents, which come behind the cells that a row has.
    pub parent: usize,
}

/// The lines of an indented bill, each with its parent.
///
/// Rows on the level of the first are the tops and no lines themselves. A part whose bill is shown again with the same lines
/// counts once.
pub fn lines(
    rows: &Rows,
    shape: &Shape,
    Columns { level: (level, heading), part, parent }: Columns<'_>,
    left_out: &mut LeftOut,
    findings: &mut Findings,
) -> Rows {
    let columns: Vec<usize> =
        shape.columns.iter().flatten().map(|(at, _)| *at).filter(|at| *at != parent && *at != level).collect();
    let mut walk = IndentWalk { first: None, path: Vec::new(), shown: Vec::new(), tops: HashSet::new() };
    for row in rows.iter() {
        let text = row.get(level).unwrap_or_default().trim();
        match walk.step(text) {
            Ok(depth) => walk.take(depth, row, part, &columns),
            Err(why) => findings.add(Finding::new(&BAD_LEVEL, shape.place_under(row.number(), heading), text, why)),
        }
    }
    let mut parents: HashMap<u32, &str> = HashMap::new();
    let mut first: HashMap<String, &Shown<'_>> = HashMap::new();
    for shown in walk.shown.iter().filter(|shown| !shown.lines.is_empty()) {
        match first.get(&fold(shown.code)) {
            None => {
                parents.extend(shown.lines.iter().map(|line| (line.row, shown.code)));
                first.insert(fold(shown.code), shown);
            }
            Some(known) if same(&known.lines, &shown.lines) => {
                shown.lines.iter().for_each(|_| left_out.add("shown above already".to_owned()));
            }
            Some(known) => {
                findings.add(differing(known, shown, shape, &columns));
            }
        }
    }
    let mut out = rows.like();
    for row in rows.iter() {
        match parents.get(&row.number()) {
            Some(code) => {
                let own = (0..parent).map(|at| row.get(at).unwrap_or_default());
                out.push(row.number(), own.chain([*code]));
            }
            None if walk.tops.contains(&row.number()) => left_out.add("the top of a bill".to_owned()),
            None => {}
        }
    }
    out
}

/// Where the bill of a part that is shown again differs from the one shown first: the cell of a line, the line, or the part.
fn differing(known: &Shown<'_>, shown: &Shown<'_>, shape: &Shape, columns: &[usize]) -> Finding {
    let (code, first) = (shown.code, known.row);
    let folded = |line: &Line<'_>| line.cells.iter().map(|cell| fold(cell)).collect::<Vec<_>>();
    let mut left: Vec<&Line<'_>> = known.lines.iter().collect();
    let mut other: Vec<&Line<'_>> = Vec::new();
    for line in &shown.lines {
        match left.iter().position(|known| folded(known) == folded(line)) {
            Some(same) => _ = left.remove(same),
            None => other.push(line),
        }
    }
    let counts = "which of the two counts?";
    // Most likely the line is meant that has all else in common.
    let line = other.first();
    let likely = line.and_then(|line| {
        let pairs = left.iter().map(|known| (*known, unlike(known, line)));
        pairs.min_by_key(|(_, cells)| cells.len())
    });
    match (line, likely) {
        (Some(line), Some((known, cells))) if cells.len() == 1 => {
            let at = columns[cells[0]];
            let heading = shape.headings.get(at).map_or("", |heading| &**heading);
            let (here, there) = (line.cells[cells[0]], known.cells[cells[0]]);
            let message = format!("the bill of {code} has '{there}' in row {}; {counts}", known.row);
            Finding::new(&TWO_BILLS, shape.place_under(line.row, heading), here, message)
        }
        (Some(line), _) => {
            let message = format!("the bill of {code} has no such line below row {first}; {counts}");
            Finding::new(&TWO_BILLS, shape.place(line.row, ""), "", message)
        }
        (None, _) => {
            let row = left.first().map_or(first, |line| line.row);
            let message = format!("its bill has the line of row {row}, which is not here; {counts}");
            Finding::new(&TWO_BILLS, shape.place(shown.row, "part"), code, message)
        }
    }
}

/// Which of their cells differ.
fn unlike(a: &Line<'_>, b: &Line<'_>) -> Vec<usize> {
    let cells = a.cells.iter().zip(&b.cells).enumerate();
    cells.filter(|(_, (a, b))| fold(a) != fold(b)).map(|(at, _)| at).collect()
}

/// Whether two bills have the same lines, in whatever order.
fn same(a: &[Line<'_>], b: &[Line<'_>]) -> bool {
    let sorted = |lines: &[Line<'_>]| {
        let mut all: Vec<Vec<String>> =
            lines.iter().map(|line| line.cells.iter().map(|cell| fold(cell)).collect()).collect();
        all.sort_unstable();
        all
    };
    sorted(a) == sorted(b)
}

/// A walk down an indented bill.
struct IndentWalk<'r> {
    /// The level of the first row.
    first: Option<u32>,
    /// The bills that are open, from the top down: indices into `shown`.
    path: Vec<usize>,
    shown: Vec<Shown<'r>>,
    /// The rows of the first level.
    tops: HashSet<u32>,
}

impl<'r> IndentWalk<'r> {
    /// How far in a row stands, or why that can't be.
    fn step(&mut self, text: &str) -> Result<usize, String> {
        let digits = text.trim_start_matches(['.', ' ']).trim_end_matches('.');
        let level: u32 = digits.parse().map_err(|_| "expected a level such as 1 or ..2".to_owned())?;
        let first = *self.first.get_or_insert(level);
        let above = self.path.len();
        let depth = level.checked_sub(first).and_then(|depth| usize::try_from(depth).ok());
        let depth = depth.ok_or_else(|| format!("this level is above that of the first row, {first}"))?;
        if depth > above {
            let most = first as usize + above;
            return Err(format!("this level is more than one below the row above; expected {most} at most"));
        }
        Ok(depth)
    }

    fn take(&mut self, depth: usize, row: Row<'r>, part: usize, columns: &[usize]) {
        self.path.truncate(depth);
        let cell = |at: usize| row.get(at).unwrap_or_default().trim();
        if let Some(parent) = self.path.last() {
            let cells = columns.iter().map(|at| cell(*at)).collect();
            self.shown[*parent].lines.push(Line { row: row.number(), cells });
        } else {
            self.tops.insert(row.number());
        }
        self.path.push(self.shown.len());
        self.shown.push(Shown { code: cell(part), row: row.number(), lines: Vec::new() });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::Table;

    /// A kite: two spars and a sail; the sail, shown again for another kite, is made of cloth and thread.
    fn told(levels: &[(&str, &str, &str)]) -> (Vec<String>, Vec<String>, Vec<(String, usize)>) {
        let mut rows = Rows::default();
        (2..).zip(levels).for_each(|(number, (level, part, qty))| rows.push(number, [*level, *part, *qty]));
        let spec = Table::Bills.spec();
        let at = |name: &str| ["level", "part", "qty", "parent"].iter().position(|known| *known == name);
        let columns = spec.columns().map(|name| Some((at(name)?, name.into()))).collect();
        let shape = Shape {
            spec,
            file: "Bills.csv".into(),
            sheet: None,
            columns,
            heading_row: 1,
            headings: ["level", "part", "qty"].map(Into::into).to_vec(),
        };
        let (mut left_out, mut findings) = (LeftOut::default(), Findings::default());
        let columns = Columns { level: (0, "level"), part: 1, parent: 3 };
        let rows = lines(&rows, &shape, columns, &mut left_out, &mut findings);
        let lines =
            rows.iter().map(|row| format!("{} {} {}", row.get(3).unwrap(), row.get(1).unwrap(), row.get(2).unwrap()));
        let told = |f: &Finding| format!("{} {} {}", f.kind.name, f.place.row, f.place.column).trim_end().to_owned();
        let findings = findings.iter().map(told).collect();
        (lines.collect(), findings, left_out.iter().map(|(why, count)| (why.to_owned(), count)).collect())
    }

    #[test]
    fn parents_stand_above_and_further_out() {
        let kites = [
            ("0", "KITE", ""),
            ("1", "SPAR", "2"),
            (".1", "SAIL", "1"),
            ("..2", "CLOTH", "3"),
            ("..2", "THREAD", "9"),
            ("1", "LINE", "1"),
            ("0", "BIG KITE", ""),
            ("1", "SAIL", "2"),
            ("2", "thread", "9"),
            ("2", "CLOTH", "3"),
        ];
        let (lines, findings, left_out) = told(&kites);
        let expected =
            ["KITE SPAR 2", "KITE SAIL 1", "SAIL CLOTH 3", "SAIL THREAD 9", "KITE LINE 1", "BIG KITE SAIL 2"];
        assert_eq!((lines, findings), (expected.map(str::to_owned).to_vec(), vec![]));
        assert_eq!(left_out, [("shown above already".to_owned(), 2), ("the top of a bill".to_owned(), 2)]);
    }

    #[test]
    fn levels_that_lead_nowhere_and_bills_that_differ_are_told() {
        let (_, findings, _) = told(&[("1", "KITE", ""), ("3", "SPAR", "2"), ("x", "SAIL", "1"), ("0", "LINE", "1")]);
        assert_eq!(findings, ["bad-level 3 level", "bad-level 4 level", "bad-level 5 level"]);
        let other =
            [("0", "KITE", ""), ("1", "SAIL", "1"), ("2", "CLOTH", "3"), ("1", "SAIL", "1"), ("2", "CLOTH", "4")];
        assert_eq!(told(&other).1, ["two-bills 6 qty"]);
        let more = [&other[..4], &[("2", "CLOTH", "3"), ("2", "THREAD", "9")]].concat();
        assert_eq!(told(&more).1, ["two-bills 7"]);
        let fewer = [&more[..1], &more[3..], &more[1..3]].concat();
        assert_eq!(told(&fewer).1, ["two-bills 6 part"]);
        let once = [("0", "KITE", ""), ("1", "SAIL", "1"), ("1", "SAIL", "1"), ("2", "CLOTH", "4")];
        assert_eq!(told(&once).0, ["KITE SAIL 1", "KITE SAIL 1", "SAIL CLOTH 4"]);
    }
}
