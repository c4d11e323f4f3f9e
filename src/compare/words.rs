//! What changed, in words that paper and terminal share.

use super::{Act, Code, JobChange, Kit, Lack, Notice, OtherRun, PullChange, ShortageChange, Task, UnitChange, UnitRow};
use crate::base::{Moment, Seconds, count};
use itertools::Itertools;

/// `2 days 3 h 20 min`, without what there is none of.
pub fn span(seconds: Seconds) -> String {
    let seconds = seconds.abs();
    let parts =
        [(seconds / 86_400, "day"), (seconds / 3600 % 24, "h"), (seconds / 60 % 60, "min"), (seconds % 60, "s")];
    let words = parts.iter().filter(|(number, _)| *number > 0).map(|(number, word)| {
        let plural = if *word == "day" && *number > 1 { "s" } else { "" };
        format!("{number} {word}{plural}")
    });
    words.collect::<Vec<_>>().join(" ")
}

/// `1 h later, Tue 14 Sep 07:00 (was Tue 14 Sep 06:00)`.
pub fn moved(old: Moment, new: Moment) -> String {
    let way = if new > old { "later" } else { "earlier" };
    let by = span(new.seconds() - old.seconds());
    format!("{by} {way}, {} (was {})", new.short(), old.short())
}

/// The kit of a unit at a station: `U3 at CB`; bulk: `bulk at CB`.
pub fn kit(kit: &Kit) -> String {
    let who = kit.unit.given().map_or("bulk", Code::text);
    format!("{who} at {}", kit.to)
}

/// A part with what it is, where that is known.
pub fn part(notice: &Notice, code: &Code) -> String {
    match notice.parts.get(code).and_then(|facts| facts.description.given()) {
        Some(description) => format!("{code} {description}"),
        None => code.to_string(),
    }
}

/// How a unit stands: `late, waits for RA-13, clear Thu 16 Sep 09:30`.
pub fn standing(row: &UnitRow) -> String {
    let first = row.first_part.given();
    match (row.status.text(), first, row.clear_at) {
        ("short", Some(part), _) => format!("short of {part}"),
        ("late", Some(part), Some(at)) => format!("late, waits for {part}, clear {}", at.short()),
        ("hold", ..) => "on hold".to_owned(),
        (status, ..) => status.to_owned(),
    }
}

/// What became of a unit.
pub fn unit(change: &UnitChange) -> String {
    match (&change.old, &change.new) {
        (None, Some(new)) => format!("new, {}", place(new)),
        (Some(old), None) => format!("gone, was {}", place(old)),
        (Some(old), Some(new)) => [moves(old, new), build(change, old, new), stands(old, new)].concat().join("; "),
        (None, None) => String::new(),
    }
}

/// Where a unit stands: `T with AC AWN, line L1 seq 40, enters Tue 14 Sep 06:00, clear`.
fn place(row: &UnitRow) -> String {
    let options: Vec<&str> = row.options.iter().map(Code::text).collect();
    let with = if options.is_empty() { String::new() } else { format!(" with {}", options.join(" ")) };
    let enters = row.enters.map(|at| format!(", enters {}", at.short())).unwrap_or_default();
    format!("{}{with}, line {} seq {}{enters}, {}", row.floorplan, row.line, row.seq, standing(row))
}

fn moves(old: &UnitRow, new: &UnitRow) -> Vec<String> {
    let mut words = Vec::new();
    if old.line != new.line {
        words.push(format!("on line {} (was {})", new.line, old.line));
    }
    if old.seq != new.seq {
        words.push(format!("seq {} (was {})", new.seq, old.seq));
    }
    let shift = |times: (Option<Moment>, Option<Moment>)| Some(times.1?.seconds() - times.0?.seconds());
    let (enters, leaves) = ((old.enters, new.enters), (old.leaves, new.leaves));
    words.extend(time("enters", enters));
    if shift(enters) != shift(leaves) {
        words.extend(time("leaves", leaves));
    }
    words
}

fn time(what: &str, times: (Option<Moment>, Option<Moment>)) -> Option<String> {
    match times {
        (Some(old), Some(new)) if old != new => Some(format!("{what} {}", moved(old, new))),
        (Some(old), None) => Some(format!("no longer {what} (was {})", old.short())),
        (None, Some(new)) => Some(format!("{what} {}", new.short())),
        _ => None,
    }
}

fn build(change: &UnitChange, old: &UnitRow, new: &UnitRow) -> Vec<String> {
    let mut words = Vec::new();
    if old.floorplan != new.floorplan {
        words.push(format!("floorplan {} (was {})", new.floorplan, old.floorplan));
    }
    for (word, options) in [("now with", &change.options_came), ("now without", &change.options_went)] {
        if !options.is_empty() {
            let codes: Vec<&str> = options.iter().map(Code::text).collect();
            words.push(format!("{word} {}", codes.join(" ")));
        }
    }
    words
}

fn stands(old: &UnitRow, new: &UnitRow) -> Vec<String> {
    let (was, is) = (standing(old), standing(new));
    if was == is { Vec::new() } else { vec![format!("{is} (was {was})")] }
}

/// What was decided about a unit, its times left out: `now with AWN`, `on hold (was clear)`.
pub fn decided(change: &UnitChange) -> String {
    let Some((old, new)) = change.both() else { return String::new() };
    let standing = if change.whole() { stands(old, new) } else { Vec::new() };
    [build(change, old, new), standing].concat().join("; ")
}

/// What to do with a line of a kit: `add 2 ea SNK-02 Sink, late`.
pub fn pull(change: &PullChange) -> String {
    let what = format!("{} {} {}", change.uom, change.part, change.description);
    let what = what.trim_end();
    if change.add().is_positive() {
        return format!("add {} {what}{}", change.add(), stands_now(change));
    }
    if change.take_out().is_positive() {
        let rest = if change.new.is_positive() { format!(", {} left", change.new) } else { String::new() };
        return format!("take out {} {what}{rest}", change.take_out());
    }
    format!("{} {what}{}", change.new, stands_now(change))
}

/// `U4 at FN: 3 lines with the Tue 14 Sep 08:30 run (was Tue 14 Sep 06:00); 1 late`
pub fn other_run(kit: &OtherRun<'_>) -> String {
    let Some(first) = kit.lines.first() else { return String::new() };
    let lines = count(kit.lines.len(), "line", "lines");
    let (was, stands) = (kit.was.short(), not_ready(&kit.lines));
    let stands = if stands.is_empty() { stands } else { format!("; {stands}") };
    format!("{} at {}: {lines} with the {} run (was {was}){stands}", first.unit, first.to, first.wave.short())
}

/// How many lines of a kit stand how, where that is not simply ready: `1 late, 2 arriving`.
pub fn not_ready(lines: &[&PullChange]) -> String {
    let stands = lines.iter().filter_map(|line| line.is.as_ref()).map(Code::text).filter(|is| *is != "ready");
    stands.counts().into_iter().sorted().map(|(is, number)| format!("{number} {is}")).join(", ")
}

/// How a line stands, where that is not simply ready.
pub fn stands_now(change: &PullChange) -> String {
    match (&change.was, &change.is) {
        (Some(was), Some(is)) if was != is => format!(", {is} (was {was})"),
        (None, Some(is)) if is.text() != "ready" => format!(", {is}"),
        _ => String::new(),
    }
}

/// What became of a job.
pub fn job(change: &JobChange) -> String {
    let mut words = Vec::new();
    match (&change.old, &change.new) {
        (None, Some(new)) => words.push(format!("new: {} starts {}", new.qty, new.start.short())),
        (Some(old), None) => words.push(format!("gone: {}, was to start {}", old.qty, old.start.short())),
        (Some(old), Some(new)) => {
            if old.shop != new.shop {
                words.push(format!("in {} (was {})", new.shop, old.shop));
            }
            if old.qty != new.qty {
                words.push(format!("{} (was {})", new.qty, old.qty));
            }
            if old.start != new.start {
                words.push(format!("starts {}", moved(old.start, new.start)));
            }
            if old.material != new.material {
                words.push(format!("material {} (was {})", new.material, old.material));
            }
        }
        (None, None) => {}
    }
    words.extend(lateness(change));
    words.join("; ")
}

/// That a job is late, or no longer.
fn lateness(change: &JobChange) -> Option<String> {
    let late = |row: &Option<super::JobRow>| row.as_ref().map_or(0, |row| row.late_minutes);
    match (late(&change.old), late(&change.new)) {
        (0, now @ 1..) => Some(format!("late by {}", span(now * 60))),
        (before @ 1.., 0) if change.new.is_some() => Some(format!("no longer late (was by {})", span(before * 60))),
        _ => None,
    }
}

/// What became of a shortage: `came: short 1`, `went: late 2 (by 45 min)`.
pub fn shortage(change: &ShortageChange) -> String {
    let lack = |lack: &Lack| {
        let late =
            if lack.late_minutes > 0 { format!(" (by {})", span(lack.late_minutes * 60)) } else { String::new() };
        format!("{} {}{late}", lack.qty, change.missing.word())
    };
    match (&change.old, &change.new) {
        (None, Some(new)) => format!("came: {}", lack(new)),
        (Some(old), None) => format!("went: {}", lack(old)),
        (Some(old), Some(new)) => format!("{}: {} (was {})", change.word(), lack(new), lack(old)),
        (None, None) => String::new(),
    }
}

/// What to do with pieces: `move 1 ea MW-07 Microwave from U3 at CB to U6 at CB`.
pub fn task(notice: &Notice, task: &Task) -> String {
    let from = task.from.as_ref().map(|from| format!(" from {}", kit(from))).unwrap_or_default();
    let word = if task.act == Act::Pick { "for" } else { "to" };
    let to = task.to.as_ref().filter(|_| task.act != Act::Leave).map(|to| format!(" {word} {}", kit(to)));
    let (act, part, to) = (task.act.word(), part(notice, &task.part), to.unwrap_or_default());
    format!("{act} {} {} {part}{from}{to}", task.qty, task.uom)
}
